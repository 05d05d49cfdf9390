//! What a stranger reads: pages of 80 columns, inches first for an inch kit, and a failing
//! check told on stderr beside the data.

use crate::support::shell::{
    self, code, made, netlead, of_presets, preset, report, stderr, stdout, unfolded,
};
use std::fs;
use std::process::Output;

const COLUMNS: usize = 80;

/// The output of `check` on a text, with more arguments.
fn check(text: &str, more: &[&str]) -> Output {
    run("check", text, more)
}

/// The output of a command on a text, with more arguments.
fn run(command: &str, text: &str, more: &[&str]) -> Output {
    let room = shell::room();
    fs::write(room.path().join("kit.toml"), text).unwrap();
    let arguments: Vec<&str> = [command, "kit.toml"].iter().chain(more).copied().collect();
    netlead(room.path(), &arguments)
}

/// What a page says about the turns of the whole stroke.
fn stroke(page: &str) -> &str {
    let mut lines = page.lines();
    let line = lines.find_map(|line| line.trim_start().strip_prefix("turns for stroke"));
    line.expect("a page tells the turns").trim()
}

#[test]
fn the_page_of_every_preset_fits_80_columns_and_speaks_by_the_clock() {
    // Every preset's drive is right-hand and its coarser thread: clockwise carries it in. By hand:
    // 3/8 in at 1/36 in a turn, 10 mm at 0.75 mm, 10 mm at 2.5 mm.
    for (name, turns) in [
        ("board-stop", "13.5 clockwise, seen from the drive head"),
        ("desk-stage", "13.33 clockwise, seen from the drive head"),
        ("plain-stage", "4 clockwise, seen from the drive head"),
    ] {
        let page = stdout(&made(name).output);
        assert_eq!(stroke(&page), turns, "{name}");
        for line in page.lines() {
            assert!(line.chars().count() <= COLUMNS, "{name}: {line}");
        }
        for word in ["positive", "negative"] {
            assert!(!page.contains(word), "{name}: {word}");
        }
    }
}

#[test]
fn a_kit_of_left_hand_threads_is_turned_the_other_way() {
    let kit = preset("desk-stage")
        .replace("M20x2.5", "M20x2.5-LH")
        .replace("M12x1.75", "M12x1.75-LH")
        .replace("\"clockwise\"", "\"counter-clockwise\"");
    let output = check(&kit, &["--all"]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let turns = "13.33 counter-clockwise, seen from the drive head";
    assert_eq!(stroke(&stdout(&output)), turns);
}

#[test]
fn an_inch_kit_reads_in_inches_first_on_page_and_guide() {
    let made = made("board-stop");
    let guide = String::from_utf8(made.files["out/board-stop/guide.md"].clone()).unwrap();
    for text in [unfolded(&stdout(&made.output)), unfolded(&guide)] {
        for sentence in [
            // 1/9 - 1/12 in = 1/36 in.
            "0.0278 in (0.706 mm) in each turn",
            "36 turns per inch of carriage travel",
            "carry out the stroke of 3/8 in (9.53 mm).",
            "1 5/16 in (33.34 mm) across flats",
        ] {
            assert!(text.contains(sentence), "{sentence}: {text}");
        }
        assert!(!text.contains("threads per inch"));
    }
}

#[test]
fn a_check_of_an_inch_kit_tells_inches_first() {
    let kit = preset("board-stop").replace("\"0.14 mm\"", "\"0.14 mm\"\nbed = [9, 9, 4]");
    let output = check(&kit, &["--all"]);
    let page = unfolded(&stdout(&output));
    assert_eq!(code(&output), 1);
    let told = "the printer has 9 in (229 mm) by 9 in (229 mm) and 4 in (102 mm) of height";
    assert!(page.contains(told), "{page}");
}

#[test]
fn bought_pins_are_bought_by_length_and_have_no_flats() {
    let kit = preset("plain-stage") + "pins = { buy = \"3/16 dowel\" }\n";
    let page = unfolded(&stdout(&run("make", &kit, &["--all"])));
    assert!(
        page.contains("6 pin dowel pin 3/16 in x 1 1/2 in (4.76 x 38.1 mm), ASME B18.8.2, hardened and ground, 0.1876 to 0.1878 in across 2 spare"),
        "{page}"
    );
    assert!(
        !page.contains("flats sideways") && !page.contains("flats outwards"),
        "{page}"
    );
}

#[test]
fn a_failing_kit_gives_data_on_stdout_and_its_place_on_stderr() {
    let kit = preset("desk-stage").replace("net_lead = 0.75", "net_lead = 0.8");
    let output = check(&kit, &["--json"]);
    assert_eq!(code(&output), 1);
    let report: serde_json::Value = serde_json::from_str(&stdout(&output)).unwrap();
    let checks = report["checks"].as_array().unwrap();
    assert!(
        checks
            .iter()
            .any(|check| check["id"] == "net-lead" && check["outcome"] == "fail")
    );
    let told = stderr(&output);
    assert!(
        told.contains("kit.toml, line 7, column 12") && told.contains("net-lead"),
        "{told}"
    );
}

#[test]
fn the_torque_of_a_single_counts_its_swivel() {
    // By hand, M16 at friction 0.25 and 100 N: thread 7.3505 mm x tan(16.10 + 2.48 deg) =
    // 2.471 mm; a pulled swivel bears on 45 degree flanks, 0.25 x 7.868 mm = 1.967 mm; 0.444 N m together.
    let kit = "name = \"t\"\nlayout = \"single\"\nhand_torque = 1\ndrive = \"M16\"\nstroke = 10\nload = \"100 N\"\nfriction = 0.25\n";
    let report: serde_json::Value =
        serde_json::from_str(&stdout(&check(kit, &["--json"]))).expect("JSON");
    let torque = report["motion"]["torque_nm"].as_f64().expect("a torque");
    assert!((torque - 0.4438).abs() < 5e-4, "{torque}");
}

#[test]
fn a_long_drive_thread_is_unscrewed_past_the_first_mark() {
    // By hand: the thread ends at zd = 29.20 mm and the mark is turn 16, so 75.35 mm of thread
    // turn back by (75.35 - 29.20) / 2.5 - 16 = 2.46 turns, past two alignments of the Vs.
    let kit = |more: &str| {
        format!(
            "name = \"t\"\nlayout = \"nested\"\nhand_torque = 0.5\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n\
             stroke = 10\ngaps = {{ thread = 0.04, locate = 0.06 }}\n\
             sizes.thread_gap = 0.25\n{more}"
        )
    };
    let page = |more: &str| unfolded(&stdout(&run("make", &kit(more), &["--all"])));
    assert!(page("").contains("to the first place where the V on the knob"));
    let long = page("sizes.drive_thread = 75.35\n");
    assert!(
        long.contains("to the third place where the V on the knob"),
        "{long}"
    );
    assert!(long.contains("about 2.5 of a turn"), "{long}");
}

#[test]
fn forces_stand_beside_those_of_the_plain_screw_and_never_as_a_rating() {
    // By hand, M20x2.5 / M12x1.75 at 0.12 to 0.38: arms of 2.152 and 6.574 mm, 183 to 558 N at 1.2
    // N m; the plain screw 266 to 714 N. The inner screw's core bears 551 N at 0.38.
    let page = unfolded(&stdout(&of_presets(&["check", "desk-stage.toml", "--all"])));
    assert!(
        page.contains("hand 1.2 N m: 180 to 560 N by pull or push; plain 270 to 710 N"),
        "{page}"
    );
    assert!(page.contains(
        "the inner screw's core, at the notch at its root across the layers, at 550 N by the \
             worse of pull and push, at a friction of 0.38"
    ));
    assert!(page.contains("A differential buys fine travel, not force"));
    assert!(page.contains("No working load limit"));
    let single = unfolded(&stdout(&of_presets(&[
        "check",
        "plain-stage.toml",
        "--all",
    ])));
    assert!(single.contains("No working load limit") && !single.contains("; plain "));
    let report = report("desk-stage");
    let hand = &report["force"]["clamping"][0];
    assert!((hand["force_n"][1].as_f64().expect("a force") - 557.6).abs() < 0.1);
    assert!((hand["plain_force_n"][0].as_f64().expect("a force") - 265.7).abs() < 0.1);
    assert_eq!(report["schema"], "netlead-report/1");
}

#[test]
fn every_preset_is_ready_and_warned_only_of_a_printer_that_is_not_tuned() {
    for name in ["board-stop", "desk-stage", "plain-stage"] {
        let report = report(name);
        for check in report["checks"].as_array().expect("checks") {
            let outcome = check["outcome"].as_str().expect("a word");
            let untuned = outcome == "warn" && check["id"] == "kit-odds";
            let ready = matches!(outcome, "pass" | "note") || untuned;
            assert!(ready, "{name}: {check}");
        }
    }
}
