//! `take-apart` as a shell sees it: the tree, the data, and what the report keeps of it.

use crate::support::shell::{
    command, data, netlead, of_presets, project, report, room, stdout, unfolded,
};
use serde_json::Value;

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
        let page = stdout(&of_presets(&["take-apart", preset]));
        assert!(
            page.lines().all(|line| line.chars().count() <= 80),
            "{page}"
        );
        let words = unfolded(&page);
        for piece in pieces {
            assert!(words.contains(piece), "{preset}: {piece}");
        }
        // The carriage is the last of what the keeper holds in.
        assert!(words.contains("had to wait for"), "{page}");
    }
}

#[test]
fn the_data_say_what_the_report_says_and_every_wait_is_for_something_earlier() {
    let apart = data(
        &project("presets"),
        &["take-apart", "desk-stage.toml", "--json"],
    );
    let report = report("desk-stage");
    assert_eq!(apart["removals"], report["removals"]);
    assert!(apart["stuck"].is_null());
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
    let report = report("desk-stage");
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
        let arguments = ["take-apart", "board-stop.toml", "--json"];
        let mut command = command(&project("presets"), &arguments);
        stdout(&command.env("RAYON_NUM_THREADS", threads).output().unwrap())
    };
    let alone = on("1");
    assert!(alone.contains("removals"));
    assert_eq!(alone, on("3"));
}

#[test]
fn data_without_removals_say_why() {
    // A gap of -0.09 mm drawn: the screws stand in their holes' flanks.
    let kit = "name = \"t\"\nlayout = \"nested\"\nhand_torque = 0.5\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n\
               stroke = 10\ngaps = { thread = -0.3 }\n";
    let room = room();
    std::fs::write(room.path().join("tight.toml"), kit).unwrap();
    let output = netlead(room.path(), &["take-apart", "tight.toml", "--json"]);
    let apart: Value = serde_json::from_str(&stdout(&output)).unwrap();
    assert!(apart["removals"].is_null());
    let why = apart["stuck"].as_str().unwrap();
    assert!(
        why.starts_with("the frame and the drive screw overlap, by "),
        "{why}"
    );
    // The page says the same.
    let page = stdout(&netlead(room.path(), &["take-apart", "tight.toml"]));
    let words = unfolded(&page);
    let first = why.split(';').next().unwrap();
    assert!(words.contains(&first[1..]), "{page}");
}
