//! `make` and `check` from the kit file to the folder, as a shell sees them.

use crate::support::shell::{
    self, code, command, done, files, made, netlead, preset, stderr, stdout,
};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Output, Stdio};

/// A folder with the preset in it, its chords coarse: what is asked here is where files go.
fn room() -> tempfile::TempDir {
    let room = shell::room();
    let kit = preset("desk-stage") + "tolerance = 0.1\n";
    fs::write(room.path().join("desk-stage.toml"), kit).unwrap();
    room
}

fn make(room: &Path, more: &[&str]) -> Output {
    netlead(room, &[&["make", "desk-stage.toml"], more].concat())
}

#[test]
fn make_writes_the_files_that_its_report_lists_and_no_others() {
    let files = &made("desk-stage").files;
    let report: Value = serde_json::from_slice(&files["out/desk-stage/report.json"]).unwrap();
    let listed = report["files"].as_array().unwrap();
    let listed = listed.iter().map(|file| file.as_str().unwrap());
    let mut expected: BTreeSet<_> = listed
        .map(|file| format!("out/desk-stage/{file}"))
        .collect();
    // Nothing hidden stays beside it.
    expected.insert("kit.toml".into());
    assert_eq!(expected, files.keys().cloned().collect());
    for part in report["parts"].as_array().unwrap() {
        if part["made"] == "printed" {
            let bytes = &files[&format!("out/desk-stage/{}", part["file"].as_str().unwrap())];
            let triangles = part["triangles"].as_u64().unwrap();
            assert_eq!(bytes.len() as u64, 84 + 50 * triangles);
        }
    }
}

#[test]
fn the_same_kit_gives_the_same_bytes() {
    let room = shell::room();
    done(room.path(), &["start", "desk-stage", "kit.toml"]);
    let page = done(room.path(), &["make", "kit.toml", "--all"]);
    let once = made("desk-stage");
    assert_eq!(files(room.path()), once.files);
    assert_eq!(page, stdout(&once.output));
}

#[test]
fn a_folder_of_ours_is_replaced() {
    let room = room();
    assert_eq!(code(&make(room.path(), &[])), 0);
    let guide = room.path().join("out/desk-stage/guide.md");
    fs::write(&guide, "spoilt").unwrap();
    assert_eq!(code(&make(room.path(), &[])), 0);
    assert_ne!(fs::read_to_string(&guide).unwrap(), "spoilt");
}

#[test]
fn a_file_that_the_maker_added_is_not_lost() {
    let room = room();
    make(room.path(), &[]);
    let own = room.path().join("out/desk-stage/notes.txt");
    fs::write(&own, "mine").unwrap();
    let output = make(room.path(), &[]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("notes.txt"));
    assert_eq!(fs::read_to_string(&own).unwrap(), "mine");
}

#[test]
fn the_page_ends_with_ready_to_print_and_fits_80_columns() {
    let output = &made("desk-stage").output;
    let page = stdout(output);
    assert!(page.lines().last().unwrap().starts_with("ready to print"));
    for line in page.lines() {
        assert!(line.chars().count() <= 80, "{line}");
        assert!(!line.contains('\u{1b}'), "colour in a pipe: {line}");
    }
    // Progress is for those who look on.
    assert!(stderr(output).is_empty(), "{}", stderr(output));
}

#[test]
fn json_on_stdout_is_the_report_in_the_folder() {
    let room = room();
    let output = make(room.path(), &["--json"]);
    let written = fs::read(room.path().join("out/desk-stage/report.json")).unwrap();
    assert_eq!(output.stdout, written);
}

#[test]
fn check_writes_nothing_and_names_no_file() {
    let room = room();
    let output = netlead(room.path(), &["check", "desk-stage.toml", "--json"]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(report["schema"], "netlead-report/1");
    // 10 mm at 2.5 - 1.75 mm a turn.
    assert!((report["motion"]["turns"].as_f64().unwrap() - 40.0 / 3.0).abs() < 1e-6);
    for part in report["parts"].as_array().unwrap() {
        assert!(part["file"].is_null());
    }
    assert_eq!(fs::read_dir(room.path()).unwrap().count(), 1);
}

#[test]
fn a_kit_that_is_rejected_exits_with_1_and_writes_nothing() {
    let room = room();
    fs::write(
        room.path().join("bad.toml"),
        "layout = \"nestd\"\nstroke = -1\n",
    )
    .unwrap();
    for command in ["make", "check"] {
        let output = netlead(room.path(), &[command, "bad.toml"]);
        assert_eq!(code(&output), 1, "{}", stderr(&output));
        assert!(stderr(&output).contains("bad.toml"));
        assert!(output.stdout.is_empty());
    }
    assert!(!room.path().join("out").exists());
}

#[test]
fn a_kit_whose_check_fails_exits_with_1_and_writes_nothing() {
    // M20 over M16 leaves a wall of less than three lines (mechanism table: refused).
    let room = room();
    let kit = fs::read_to_string(room.path().join("desk-stage.toml")).unwrap();
    let thin = kit.replace("M12x1.75", "M16x1.5");
    assert_ne!(kit, thin);
    fs::write(room.path().join("thin.toml"), thin).unwrap();
    let output = netlead(room.path(), &["make", "thin.toml"]);
    assert_eq!(code(&output), 1, "{}", stderr(&output));
    assert!(!room.path().join("out").exists());
}

#[test]
fn a_closed_pipe_does_not_keep_the_folder_from_being_made() {
    let room = room();
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let output = command(room.path(), &["make", "desk-stage.toml"])
        .stdout(writer)
        .stderr(Stdio::piped())
        .output()
        .unwrap();
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    assert!(room.path().join("out/desk-stage/report.json").exists());
}

#[test]
fn thread_prints_a_sheet_and_refuses_nonsense() {
    let room = room();
    let output = netlead(room.path(), &["thread", "M20x2.5", "--json"]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let sheet: Value = serde_json::from_slice(&output.stdout).unwrap();
    // ISO 724: M20 has a pitch diameter of 18.376 mm.
    assert!((sheet["pitch_diameter_mm"].as_f64().unwrap() - 18.376).abs() < 5e-4);
    assert_eq!(code(&netlead(room.path(), &["thread", "Mtwenty"])), 1);
}
