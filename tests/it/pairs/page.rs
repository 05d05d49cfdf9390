//! `pairs` as a shell sees it.

use crate::support::shell::{self, data, done, netlead, refused, stderr, stdout, unfolded};
use std::fs;

const WISH: [&str; 5] = ["pairs", "--net-lead", "0.75", "--stroke", "10"];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    WISH.iter().copied().chain(more.iter().copied()).collect()
}

#[test]
fn what_is_picked_is_written_whole_and_passes_the_check_that_was_promised() {
    let room = shell::room();
    let page = done(room.path(), &WISH);
    let first = page.lines().find(|line| line.starts_with(" 1 ")).unwrap();
    let wrote = done(room.path(), &with(&["--pick", "1", "--write", "mine.toml"]));
    assert!(wrote.contains("passes every check"), "{wrote}");
    let kit = fs::read_to_string(room.path().join("mine.toml")).unwrap();
    let drive = kit
        .lines()
        .find_map(|line| line.strip_prefix("drive    = \""))
        .unwrap();
    assert!(first.contains(drive.split('"').next().unwrap()), "{first}");
    assert!(
        kit.starts_with("# A carriage that moves 0.75 mm a turn, over 10 mm\n"),
        "{kit}"
    );
    let report = data(room.path(), &["check", "mine.toml", "--json"]);
    assert_eq!(report["motion"]["net_lead_mm"], 0.75);
    assert_eq!(report["kit"]["name"], "mine");
    // Never over a file that is there.
    let told = refused(
        room.path(),
        2,
        &with(&["--pick", "1", "--write", "mine.toml"]),
    );
    assert!(told.contains("exists already"), "{told}");
    let told = refused(
        room.path(),
        2,
        &with(&["--pick", "5000", "--write", "other.toml"]),
    );
    assert!(told.contains("there is no pair of number 5000"), "{told}");
    assert!(!room.path().join("other.toml").exists());
}

#[test]
fn the_same_pairs_come_as_a_page_as_json_and_as_csv() {
    let room = shell::room();
    let page = done(room.path(), &WISH);
    let sheet = data(room.path(), &with(&["--json"]));
    let csv = done(room.path(), &with(&["--csv"]));
    let rows = sheet["rows"].as_array().unwrap();
    let mut lines = csv.lines();
    let titles: Vec<&str> = lines.next().unwrap().split(',').collect();
    assert_eq!(
        titles[..5],
        ["rank", "layout", "drive", "second", "net_lead_mm"]
    );
    assert_eq!(rows.len(), 10);
    for (row, line) in rows.iter().zip(lines) {
        let cells: Vec<&str> = line.split(',').collect();
        let (drive, second) = (
            row["drive"].as_str().unwrap(),
            row["second"].as_str().unwrap(),
        );
        assert_eq!([cells[2], cells[3]], [drive, second]);
        assert!(page.contains(&format!("{drive} / {second}")), "{page}");
    }
    let told = unfolded(&page);
    let counts = format!(
        "{} of {} pairs that give the travel can be built",
        sheet["buildable"], sheet["tried"]
    );
    assert!(told.contains(&counts), "{told}");
    // Long designations too.
    let long = "pairs --per-inch 24 --stroke 1/2 --inch --layout nested,tandem";
    let long: Vec<&str> = long.split(' ').collect();
    for page in [page, done(room.path(), &long)] {
        let wide = page.lines().find(|line| line.chars().count() > 80);
        assert_eq!(wide, None, "{page}");
    }
}

#[test]
fn the_first_screw_to_buy_is_told_before_the_pairs() {
    let room = shell::room();
    // ISO 261: the coarse pitch of M6 is 1 mm.
    let page = unfolded(&done(
        room.path(),
        &["pairs", "--net-lead", "1", "--stroke", "10"],
    ));
    let (buy, pairs) = (
        page.find("M6x1 (ISO 261)").unwrap(),
        page.find("threads").unwrap(),
    );
    assert!(buy < pairs);
    let none = done(
        room.path(),
        &[
            "pairs",
            "--net-lead",
            "0.9",
            "--stroke",
            "10",
            "--tolerance",
            "20",
        ],
    );
    assert!(!none.contains("to buy"), "{none}");
}

#[test]
fn what_may_be_given_up_leads_to_pairs_when_it_is_typed() {
    let room = shell::room();
    let hopeless: [&[&str]; 5] = [
        &["pairs", "--net-lead", "0.11", "--stroke", "15"],
        &[
            "pairs",
            "--net-lead",
            "0.5",
            "--stroke",
            "150",
            "--series",
            "iso-coarse",
        ],
        &[
            "pairs",
            "--net-lead",
            "1",
            "--stroke",
            "15",
            "--load",
            "700",
            "--series",
            "iso-coarse",
        ],
        &[
            "pairs",
            "--net-lead",
            "1",
            "--stroke",
            "15",
            "--within",
            "30x30x80",
        ],
        &["pairs", "--net-lead", "0.025", "--stroke", "1/2", "--inch"],
    ];
    let mut followed = 0;
    for wish in hopeless {
        let shown = netlead(room.path(), wish);
        assert_eq!(shown.status.code(), Some(1), "{wish:?}: {}", stderr(&shown));
        let page = unfolded(&stdout(&shown));
        assert!(page.contains("Give up one of these"), "{page}");
        let sheet = netlead(room.path(), &[wish, &["--json"]].concat());
        let sheet: serde_json::Value = serde_json::from_slice(&sheet.stdout).unwrap();
        for typed in sheet["give_up"].as_array().unwrap() {
            let typed = typed.as_str().unwrap();
            assert!(page.contains(typed), "{typed}: {page}");
            let words = words(typed);
            let words: Vec<&str> = words.iter().skip(1).map(String::as_str).collect();
            let again = netlead(room.path(), &words);
            let told = (stdout(&again), stderr(&again));
            assert_eq!(again.status.code(), Some(0), "{typed}: {told:?}");
            assert!(
                told.0.lines().any(|line| line.starts_with(" 1 ")),
                "{typed}: {told:?}"
            );
            followed += 1;
        }
    }
    assert!(followed >= 8, "{followed}");
}

/// The words of a command, as a shell takes them apart: blanks part them but between single quotes.
fn words(typed: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in typed.chars() {
        match letter {
            '\'' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            letter => words.last_mut().unwrap().push(letter),
        }
    }
    words
}

#[test]
fn every_example_of_the_help_does_what_it_says() {
    let room = shell::room();
    for command in ["pairs", "wish"] {
        let help = done(room.path(), &[command, "--help"]);
        let examples = help.split("Example:").nth(1).unwrap().replace('"', "'");
        for example in examples
            .lines()
            .map(str::trim)
            .filter(|line| !line.is_empty())
        {
            let words = words(example);
            let words: Vec<&str> = words.iter().skip(1).map(String::as_str).collect();
            done(room.path(), &words);
        }
    }
}

#[test]
fn a_chart_counts_what_can_be_built_and_draws_it() {
    let room = shell::room();
    let chart = ["pairs", "--chart", "iso-coarse", "--stroke", "10"];
    let cells = data(room.path(), &[&chart[..], &["--json"]].concat());
    let cells = cells.as_array().unwrap();
    let good: Vec<_> = cells
        .iter()
        .filter(|cell| cell["buildable"] == true)
        .collect();
    assert!(
        good.iter()
            .any(|cell| cell["drive"] == "M20x2.5" && cell["second"] == "M12x1.75")
    );
    let typed = [&chart[..], &["--svg", "chart.svg"]].concat();
    let page = done(room.path(), &typed);
    assert!(
        unfolded(&page).contains(&format!(
            "{} of {} pairs can be built",
            good.len(),
            cells.len()
        )),
        "{page}"
    );
    let picture = fs::read_to_string(room.path().join("chart.svg")).unwrap();
    assert_eq!(picture.matches("class=\"good\"").count(), good.len());
    // A lead and its reciprocal: 0.75 mm a turn are 1.333 turns to a millimetre.
    let row = page
        .lines()
        .find(|line| line.trim_start().starts_with("0.75 "))
        .unwrap();
    assert!(row.contains("1.333"), "{row}");
}

#[test]
fn the_picture_marks_every_pair_that_could_be_sized() {
    let room = shell::room();
    let sheet = data(room.path(), &with(&["--json"]));
    done(room.path(), &with(&["--svg", "pairs.svg"]));
    let picture = fs::read_to_string(room.path().join("pairs.svg")).unwrap();
    // One more explains the mark.
    let good = picture.matches("<circle class=\"good\"").count() - 1;
    assert_eq!(sheet["buildable"], good);
}

#[test]
fn what_cannot_be_meant_is_refused_with_what_to_write() {
    let room = shell::room();
    for (typed, told) in [
        (vec!["pairs", "--stroke", "10"], "--net-lead"),
        (
            vec!["pairs", "--net-lead", "0", "--stroke", "10"],
            "--net-lead",
        ),
        (
            vec!["pairs", "--net-lead", "0.5", "--stroke", "a lot"],
            "--stroke",
        ),
        (
            vec!["pairs", "--net-lead", "nan", "--stroke", "10"],
            "--net-lead",
        ),
        (
            with(&["--layout", "neste"]),
            "nested, tandem, single, opposed",
        ),
        (with(&["--series", "metric"]), "iso-coarse"),
        (with(&["--within", "60x60"]), "60x60x120"),
        (with(&["--tolerance", "-1"]), "--tolerance is -1"),
        (with(&["--load", "-5"]), "`--load`"),
        (with(&["--ticks", "0"]), "`--ticks`"),
        (with(&["--within", "0x0x0"]), "`--within`"),
        (with(&["--starts", "9"]), "from 1 to 4"),
        (with(&["--with", "layr=0.1"]), "`layer`"),
        (with(&["--with", "drive=M20"]), "leave it out"),
        (with(&["--pitch-step", "0.001"]), "0.05 mm"),
        (with(&["--pick", "1"]), "--write"),
    ] {
        let told_so = unfolded(&refused(room.path(), 2, &typed));
        assert!(told_so.contains(told), "{typed:?}: {told_so}");
    }
    // A key that the kit does not take is told as in a kit.
    let told = unfolded(&refused(room.path(), 1, &with(&["--with", "layer=9"])));
    assert!(
        told.contains("the kit of this wish") && told.contains("layer"),
        "{told}"
    );
}
