//! The trial command as a maker types it: what it prints, writes, refuses and leaves alone.

use crate::support::shell::{self, code, done, netlead, project, refused, stdout, unfolded};
use std::fs;

/// A folder with the desk stage's kit file and the example's rows.
fn room() -> tempfile::TempDir {
    let room = shell::room();
    done(room.path(), &["start", "desk-stage", "kit.toml"]);
    fs::copy(
        project("examples/measured.toml"),
        room.path().join("measured.toml"),
    )
    .unwrap();
    room
}

#[test]
fn the_example_gives_a_page_a_plot_and_a_report_and_says_that_its_data_are_invented() {
    let room = room();
    let page = done(room.path(), &["trial", "kit.toml", "measured.toml"]);
    assert!(
        page.lines().all(|line| line.chars().count() <= 80),
        "{page}"
    );
    assert!(
        page.lines()
            .nth(1)
            .unwrap()
            .starts_with("Lost motion at the start"),
        "{page}"
    );
    let folder = room.path().join("out/desk-stage-trial");
    for file in ["trial.md", "trial.html", "trial.svg", "report.json"] {
        assert!(folder.join(file).is_file(), "{file}");
    }
    let rows = fs::read_to_string(room.path().join("measured.toml")).unwrap();
    assert!(rows.lines().next().unwrap().contains("Invented data"));
}

#[test]
fn rows_of_arguments_and_of_a_file_give_the_same_report() {
    let room = room();
    fs::write(
        room.path().join("short.toml"),
        "reading = \"depth\"\nresolution = 0.05\nrows = [[0, 40], [\"5 1/2\", 35.9], [10, 32.5]]\n",
    )
    .unwrap();
    let file = done(room.path(), &["--json", "trial", "kit.toml", "short.toml"]);
    let rows = [
        "--row",
        "0 40",
        "--row",
        "11/2 35.9",
        "--row",
        "10 32.5mm forward",
    ];
    let settings = [
        "--json",
        "trial",
        "kit.toml",
        "--reading",
        "depth",
        "--resolution",
        "0.05",
    ];
    let typed = done(room.path(), &[&settings[..], &rows[..]].concat());
    assert_eq!(file, typed);
    let report: serde_json::Value = serde_json::from_str(&file).unwrap();
    assert_eq!(report["schema"], "netlead-trial/1");
    assert_eq!(report["rows"].as_array().unwrap().len(), 3);
}

#[test]
fn rows_in_inches_are_told_in_inches_first_everywhere() {
    let room = room();
    fs::write(
        room.path().join("inches.toml"),
        "reading = \"depth\"\nunit = \"in\"\nresolution = 0.001\n\
         rows = [[0, 1.5], [4, 1.382], [8, 1.264], [12, 1.146], [\"8\", 1.25, \"back\"]]\n",
    )
    .unwrap();
    let page = done(room.path(), &["trial", "kit.toml", "inches.toml"]);
    // 0.118 in over 4 turns is 0.0295 in, 0.749 mm, a turn.
    assert!(page.contains("0.0295"), "{page}");
    let words = unfolded(&page);
    // Wherever mm are told they stand in brackets behind inches; a thread's name holds no unit.
    for (at, _) in words.match_indices(" mm") {
        let open = words[..at].rfind('(').unwrap_or(0);
        let close = words[..at].rfind(')').unwrap_or(0);
        assert!(
            open > close && words[..open].ends_with(" in "),
            "{}",
            &words[..at + 3]
        );
    }
    assert!(words.contains(" mm)"), "{words}");
}

#[test]
fn a_trial_replaces_a_trial_and_never_the_parts_of_a_kit() {
    let room = room();
    let into = |out| {
        netlead(
            room.path(),
            &["trial", "kit.toml", "measured.toml", "--out", out],
        )
    };
    assert!(into("page").status.success());
    assert!(into("page").status.success());
    let parts = room.path().join("parts");
    fs::create_dir(&parts).unwrap();
    let report = "{\"schema\":\"netlead-report/1\",\"files\":[\"report.json\"]}";
    fs::write(parts.join("report.json"), report).unwrap();
    let refused = into("parts");
    assert_eq!(code(&refused), 2, "{}", stdout(&refused));
    assert_eq!(
        fs::read_to_string(parts.join("report.json")).unwrap(),
        report
    );
}

#[test]
fn bad_rows_are_rejected_with_their_place_and_nothing_is_written() {
    let room = room();
    let file = "reading = \"travel\"\nresolution = 0.05\nrows = [\n  [0, 0],\n  [\"x\", 1.5],\n]\n";
    fs::write(room.path().join("bad.toml"), file).unwrap();
    let arguments = ["trial", "kit.toml", "bad.toml", "--out", "page"];
    let told = refused(room.path(), 1, &arguments);
    assert!(told.contains("bad.toml, line 5, column 4"), "{told}");
    assert!(!room.path().join("page").exists());
}

#[test]
fn rows_without_reading_or_resolution_are_wrong_usage() {
    let room = room();
    let arguments = ["trial", "kit.toml", "--row", "0 1", "--row", "5 4.7"];
    let told = refused(room.path(), 2, &arguments);
    assert!(told.contains("--reading"), "{told}");
}

#[test]
fn errors_in_rows_of_arguments_say_what_to_type_as_an_argument() {
    let room = room();
    let of = |row: &str| {
        let settings = [
            "--reading",
            "depth",
            "--resolution",
            "0.05",
            "--row",
            "0 40",
            "--row",
        ];
        let arguments = [&["trial", "kit.toml"], &settings[..], &[row]].concat();
        refused(room.path(), 1, &arguments)
    };
    for (row, wrong) in [
        ("x 1", "`x`"),
        ("4 far", "`far`"),
        ("4 38 ell", "ell"),
        ("4", "4"),
    ] {
        let told = of(row);
        assert!(told.contains("--row \""), "{row}: {told}");
        assert!(told.contains(wrong), "{row}: {told}");
    }
    // What it says to type is taken.
    let typed = ["4 38.2", "4 38.2mm back", "9/4 38.2", "4 1 5/16 in"];
    for row in typed {
        let settings = [
            "--reading",
            "depth",
            "--resolution",
            "0.05",
            "--row",
            "0 40",
            "--row",
        ];
        let arguments = [&["trial", "kit.toml"], &settings[..], &[row]].concat();
        let output = netlead(room.path(), &arguments);
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(
            !told.contains("no number") && !told.contains("the reading"),
            "{row}: {told}"
        );
    }
}

#[test]
fn a_depth_is_read_through_the_keepers_hole_or_in_the_slot_as_the_kit_has_it() {
    for (preset, read, never) in [
        (
            "desk-stage",
            "from the keeper to the carriage, through its hole",
            "slot",
        ),
        (
            "fine-stop",
            "in the slot, from the keeper's tongue to the carriage's rib",
            "hole",
        ),
    ] {
        let room = shell::room();
        done(room.path(), &["start", preset, "kit.toml"]);
        let rows = ["--row", "0 30", "--row", "5 25.2", "--row", "10 20.1"];
        let settings = [
            "trial",
            "kit.toml",
            "--reading",
            "depth",
            "--resolution",
            "0.05",
        ];
        let page = unfolded(&done(room.path(), &[&settings[..], &rows[..]].concat()));
        assert!(page.contains(&format!("depth, {read}")), "{page}");
        assert!(!page.contains(never), "{page}");
    }
}
