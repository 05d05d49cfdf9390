//! `take-apart` as a shell sees it: the tree, the data, and what the report keeps of it.
#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot start the program has failed"
)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn netlead(arguments: &[&str], place: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_netlead"))
        .args(arguments)
        .current_dir(place)
        .output()
        .unwrap()
}

fn presets() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("presets")
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn the_tree_of_every_preset_fits_80_columns_and_names_every_piece() {
    for (preset, pieces) in [
        (
            "desk-stage.toml",
            ["inner screw", "cross pin", "keeper pin 2"],
        ),
        (
            "board-stop.toml",
            ["inner screw", "cross pin", "keeper pin 2"],
        ),
        (
            "plain-stage.toml",
            ["drive screw", "swivel pin 2", "keeper pin 1"],
        ),
    ] {
        let output = netlead(&["take-apart", preset], &presets());
        assert_eq!(output.status.code(), Some(0), "{preset}");
        let page = stdout(&output);
        assert!(
            page.lines().all(|line| line.chars().count() <= 80),
            "{page}"
        );
        let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
        for piece in pieces {
            assert!(words.contains(piece), "{preset}: {piece}");
        }
        // The carriage is the last of what the keeper holds in.
        assert!(words.contains("had to wait for"), "{page}");
    }
}

#[test]
fn the_data_say_what_the_report_says_and_every_wait_is_for_something_earlier() {
    let output = netlead(&["take-apart", "desk-stage.toml", "--json"], &presets());
    let data: Value = serde_json::from_str(&stdout(&output)).unwrap();
    let report = netlead(&["check", "desk-stage.toml", "--json"], &presets());
    let report: Value = serde_json::from_str(&stdout(&report)).unwrap();
    assert_eq!(data["removals"], report["removals"]);
    assert!(data["stuck"].is_null());
    let removals = report["removals"].as_array().unwrap();
    for removal in removals {
        let number = removal["number"].as_u64().unwrap();
        for wait in removal["waits_for"].as_array().unwrap() {
            assert!(wait["number"].as_u64().unwrap() < number, "{removal}");
        }
        // A page can play it: from where to where, and how.
        for field in ["pieces", "motion", "turn", "turn_after", "touch", "group"] {
            assert!(removal.get(field).is_some(), "{field}");
        }
    }
    // Right-hand screws come out counter-clockwise, seen by an eye that screws them in.
    let named = |removal: &&Value| removal["pieces"] == serde_json::json!(["drive", "inner"]);
    let drive = removals.iter().find(named).unwrap();
    assert_eq!(drive["clockwise"], false);
    assert!(drive["motion"]["distance_mm"].as_f64().unwrap() < 0.0);
}

#[test]
fn steps_and_removals_are_the_same_motions_in_opposite_orders() {
    let report = netlead(&["check", "desk-stage.toml", "--json"], &presets());
    let report: Value = serde_json::from_str(&stdout(&report)).unwrap();
    let removals = report["removals"].as_array().unwrap();
    let moves = |value: &Value| {
        let motion = &value["motion"];
        let number = |field: &str| motion[field].as_f64().unwrap().abs();
        (
            motion["kind"].clone(),
            number("distance_mm"),
            number("turns"),
        )
    };
    // Every step with a motion has one that was found, and there are steps of every kind.
    let steps = report["steps"].as_array().unwrap();
    let moving: Vec<_> = steps
        .iter()
        .filter(|step| !step["motion"].is_null())
        .collect();
    for step in &moving {
        assert!(
            removals.iter().any(|removal| moves(removal) == moves(step)),
            "{step}"
        );
    }
    for kind in ["straight", "helical", "driven"] {
        assert!(
            moving.iter().any(|step| step["motion"]["kind"] == kind),
            "{kind}"
        );
    }
}

#[test]
fn the_order_is_the_same_on_one_thread_and_on_three() {
    let on = |threads: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_netlead"));
        command
            .args(["take-apart", "board-stop.toml", "--json"])
            .env("RAYON_NUM_THREADS", threads)
            .current_dir(presets());
        stdout(&command.output().unwrap())
    };
    assert!(on("1").contains("removals"));
    assert_eq!(on("1"), on("3"));
}

#[test]
fn data_without_removals_say_why() {
    // A gap of -0.09 mm drawn: the screws stand in their holes' flanks.
    let kit = "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n\
               stroke = 10\ngaps = { thread = -0.3 }\n";
    let place = PathBuf::from(env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(place.join("tight.toml"), kit).unwrap();
    let output = netlead(&["take-apart", "tight.toml", "--json"], &place);
    let data: Value = serde_json::from_str(&stdout(&output)).unwrap();
    assert!(data["removals"].is_null());
    let why = data["stuck"].as_str().unwrap();
    assert!(
        why.starts_with("the frame and the drive screw overlap, by "),
        "{why}"
    );
    // The page says the same.
    let page = stdout(&netlead(&["take-apart", "tight.toml"], &place));
    let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let first = why.split(';').next().unwrap();
    assert!(words.contains(&first[1..]), "{page}");
}
