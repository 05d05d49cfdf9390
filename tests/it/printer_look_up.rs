//! Where a shell's `netlead` finds the profile that a kit names, and what it says of it.

use crate::support::shell::{self, stderr, unfolded};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const PROFILE: &str = include_str!("../printers/valid_short.toml");
const FOLDERS: [&str; 4] = [
    "kits",
    "own",
    "settings/netlead/printers",
    "home/.config/netlead/printers",
];

/// A folder with a kit in `kits/` that names the printer `garage`.
fn room(more: &str) -> tempfile::TempDir {
    let room = shell::room();
    for folder in FOLDERS {
        fs::create_dir_all(room.path().join(folder)).unwrap();
    }
    let kit = format!(
        "name = \"clamp\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nhand_torque = 1\nstroke = 10\n\
         printer = \"garage\"\n{more}tolerance = 0.1\ngaps.thread = 0.04\n"
    );
    fs::write(room.path().join("kits/clamp.toml"), kit).unwrap();
    room
}

/// A profile that can be told from others by its layer.
fn put(room: &Path, file: &str, layer: &str) {
    let profile = PROFILE.replace("layer = 0.2", &format!("layer = {layer}"));
    fs::write(room.join(file), profile).unwrap();
}

fn command(room: &Path) -> Command {
    let mut command = shell::command(room, &["check", "kits/clamp.toml", "--json"]);
    command
        .env("XDG_CONFIG_HOME", room.join("settings"))
        .env("HOME", room.join("home"));
    command
}

/// The drawn gap of the thread, in mm.
fn thread_gap(output: &Output) -> f64 {
    let report: serde_json::Value =
        serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", stderr(output)));
    assert_eq!(report["joints"][0]["kind"], "thread");
    report["joints"][0]["gap_mm"]["drawn"].as_f64().unwrap()
}

/// Fails unless the profile measured at this layer was used: the thread wants 0.04 mm and the
/// shipped guesses add 0.03 mm for each face, and one layer.
fn assert_layer(output: &Output, layer: f64) {
    approx::assert_abs_diff_eq!(thread_gap(output), 0.1 + layer, epsilon = 1e-6);
}

#[test]
fn the_profile_beside_the_kit_comes_before_those_in_the_users_folder() {
    let room = room("");
    let room = room.path();
    put(
        room,
        "home/.config/netlead/printers/garage.printer.toml",
        "0.12",
    );
    let home = command(room)
        .env_remove("XDG_CONFIG_HOME")
        .output()
        .unwrap();
    assert_layer(&home, 0.12);
    put(
        room,
        "settings/netlead/printers/garage.printer.toml",
        "0.16",
    );
    assert_layer(&command(room).output().unwrap(), 0.16);
    put(room, "own/garage.printer.toml", "0.2");
    let own = command(room)
        .env("NETLEAD_PRINTERS", "own")
        .output()
        .unwrap();
    assert_layer(&own, 0.2);
    put(room, "kits/garage.printer.toml", "0.1");
    let beside = command(room)
        .env("NETLEAD_PRINTERS", "own")
        .output()
        .unwrap();
    assert_layer(&beside, 0.1);
}

#[test]
fn a_path_is_taken_from_the_folder_of_the_kit_alone() {
    let room = room("");
    let room = room.path();
    let kit = room.join("kits/clamp.toml");
    let text = fs::read_to_string(&kit).unwrap();
    fs::write(&kit, text.replace("\"garage\"", "\"../own/bench.toml\"")).unwrap();
    put(room, "own/bench.toml", "0.12");
    assert_layer(&command(room).output().unwrap(), 0.12);
    fs::remove_file(room.join("own/bench.toml")).unwrap();
    let missing = command(room).output().unwrap();
    assert_eq!(missing.status.code(), Some(1));
    assert!(
        unfolded(&stderr(&missing)).contains("looked for kits/../own/bench.toml To mend it: "),
        "{}",
        stderr(&missing)
    );
}

#[test]
fn a_missing_profile_is_an_error_at_the_kits_line_with_the_places_and_the_mend() {
    let room = room("");
    let output = command(room.path())
        .env("NETLEAD_PRINTERS", "own")
        .output()
        .unwrap();
    let said = unfolded(&stderr(&output));
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
    let places = "looked for kits/garage.printer.toml, then own/garage.printer.toml";
    for part in [
        "kits/clamp.toml, line 6, column 11",
        places,
        "netlead tune",
        "leave `printer` out",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn another_layer_than_the_profiles_is_warned_of_and_made() {
    let room = room("layer = 0.15\n");
    put(room.path(), "kits/garage.printer.toml", "0.2");
    let output = command(room.path()).output().unwrap();
    let said = stderr(&output);
    assert_layer(&output, 0.2);
    assert_eq!(output.status.code(), Some(0), "{said}");
    for part in [
        "Warning at ",
        "kits/clamp.toml, line 7, column 9",
        "measured at 0.2 mm layers",
        "0.15 mm",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn the_problems_of_a_profile_are_told_with_their_place_in_its_file() {
    let room = room("");
    put(room.path(), "kits/garage.printer.toml", "2");
    let output = command(room.path()).output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    let said = stderr(&output);
    for part in [
        "kits/garage.printer.toml, line 4, column 9",
        "`layer` is 2 mm",
        "0.6 mm",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn compensation_by_the_toolpath_program_is_warned_of_once() {
    let room = room("");
    let profile = PROFILE.replace("contour = 0", "contour = 0.05");
    fs::write(room.path().join("kits/garage.printer.toml"), profile).unwrap();
    let output = command(room.path()).output().unwrap();
    let said = stderr(&output);
    assert_eq!(
        said.matches("the toolpath program compensated").count(),
        1,
        "{said}"
    );
    assert_eq!(output.status.code(), Some(0), "{said}");
}

#[test]
fn what_the_profile_measured_changes_the_gaps_that_are_drawn() {
    let room = room("");
    put(room.path(), "kits/garage.printer.toml", "0.2");
    let guessed = command(room.path()).output().unwrap();
    let grown = format!(
        "{PROFILE}[terms]\nouter_growth = {{ value = 0.08, error = 0.01, known = \"measured\" }}\n"
    );
    fs::write(room.path().join("kits/garage.printer.toml"), grown).unwrap();
    let measured = command(room.path()).output().unwrap();
    // The shipped growth is 0.03 mm: 0.05 more on the screw is drawn as 0.05 more of gap.
    approx::assert_abs_diff_eq!(
        thread_gap(&measured) - thread_gap(&guessed),
        0.05,
        epsilon = 1e-9
    );
}
