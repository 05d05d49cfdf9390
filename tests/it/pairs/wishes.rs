//! `wish`: a kit that passes its checks, from answers or from what holds without them.

use crate::support::shell::{self, data, done, netlead, refused, stdout, unfolded};
use std::fs;

#[test]
fn every_use_gives_a_kit_that_passes_its_check() {
    let room = shell::room();
    for (purpose, layout) in [
        ("stage", "nested"),
        ("stop", "nested"),
        ("press", "nested"),
        ("clamp", "single"),
        ("vise", "opposed"),
    ] {
        for inch in [false, true] {
            let file = format!("{purpose}{}.toml", if inch { "-inch" } else { "" });
            let mut typed = vec!["wish", &file, "--use", purpose];
            if inch {
                typed.push("--inch");
            }
            let shown = netlead(room.path(), &typed);
            assert_eq!(
                shown.status.code(),
                Some(0),
                "{typed:?}: {}",
                stdout(&shown)
            );
            let report = data(room.path(), &["check", &file, "--json"]);
            assert_eq!(report["kit"]["layout"], layout);
            // Whoever turns clockwise closes or pushes.
            let page = unfolded(&done(room.path(), &["check", &file]));
            assert!(page.contains(" turns clockwise for the stroke"), "{page}");

            let checks = report["checks"].as_array().unwrap();
            assert!(
                checks.iter().all(|check| check["outcome"] != "fail"),
                "{purpose}"
            );
        }
    }
}

#[test]
fn a_tick_and_its_count_become_a_dial_and_the_printer_a_profile_of_guesses() {
    let room = shell::room();
    let typed = [
        "wish",
        "mine.toml",
        "--use",
        "stage",
        "--travel",
        "0.01 mm x 50",
        "--stroke",
        "12",
        "--load",
        "5",
        "--printer",
        "garage",
        "--nozzle",
        "0.4",
    ];
    let page = unfolded(&done(room.path(), &typed));
    assert!(page.contains("garage.printer.toml: guesses"), "{page}");
    let kit = fs::read_to_string(room.path().join("mine.toml")).unwrap();
    assert!(
        kit.contains("dial     = 50") && kit.contains("a tick is 0.01 mm"),
        "{kit}"
    );
    assert!(
        kit.contains("printer  = \"garage\"") && !kit.contains("layer"),
        "{kit}"
    );
    let profile = fs::read_to_string(room.path().join("garage.printer.toml")).unwrap();
    assert!(
        profile.contains("guesses, nothing was measured yet") && profile.contains("prints = 0")
    );
    assert!(
        profile.contains("layer = 0.15") && profile.contains("line = 0.45"),
        "{profile}"
    );
    let report = data(room.path(), &["check", "mine.toml", "--json"]);
    assert_eq!(report["motion"]["net_lead_mm"], 0.5);
    // The next kit takes the profile as it is, and leaves it.
    let again = ["wish", "next.toml", "--use", "stop", "--printer", "garage"];
    let page = unfolded(&done(room.path(), &again));
    assert!(!page.contains("guesses"), "{page}");
    assert_eq!(
        fs::read_to_string(room.path().join("garage.printer.toml")).unwrap(),
        profile
    );
}

#[test]
fn nothing_is_written_where_a_file_stands_or_an_answer_is_not_understood() {
    let room = shell::room();
    fs::write(room.path().join("stage.toml"), "mine").unwrap();
    let told = refused(room.path(), 2, &["wish", "--printer", "garage"]);
    assert!(told.contains("exists already"), "{told}");
    assert_eq!(
        fs::read_to_string(room.path().join("stage.toml")).unwrap(),
        "mine"
    );
    assert!(!room.path().join("garage.printer.toml").exists());
    let told = refused(
        room.path(),
        2,
        &["wish", "nowhere/a.toml", "--printer", "garage"],
    );
    assert!(told.contains("no folder nowhere"), "{told}");
    assert!(!room.path().join("garage.printer.toml").exists());
    for (typed, said) in [
        (
            ["wish", "a.toml", "--use", "rocket"],
            "stage, stop, press, clamp, vise",
        ),
        (
            ["wish", "a.toml", "--travel", "0.01 x many"],
            "0.01 mm x 50",
        ),
        (["wish", "a.toml", "--nozzle", "40"], "from 0.2 to 1.2 mm"),
        (
            ["wish", "a.toml", "--printer", "a/b"],
            "letters, digits and hyphens",
        ),
        (["wish", "a.toml", "--load", "much"], "--load"),
    ] {
        let told = unfolded(&refused(room.path(), 2, &typed));
        assert!(told.contains(said), "{typed:?}: {told}");
        assert!(!room.path().join("a.toml").exists());
    }
}
