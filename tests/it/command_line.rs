//! The program as a shell sees it: exit codes, streams, files left alone.

use crate::support::shell::{code, command, netlead, room, stderr, stdout, unfolded};
use std::fs;
use std::process::Stdio;

#[test]
fn help_names_every_command_on_stdout() {
    let room = room();
    for flag in ["-h", "--help"] {
        let output = netlead(room.path(), &[flag]);
        assert_eq!(code(&output), 0);
        for command in ["make", "check", "start", "presets", "thread"] {
            assert!(stdout(&output).contains(command), "{command}");
        }
        assert!(stderr(&output).is_empty());
    }
}

#[test]
fn long_help_adds_units_exit_codes_and_an_example() {
    let room = room();
    let long = stdout(&netlead(room.path(), &["--help"]));
    for word in ["Units:", "Exit codes:", "Example:"] {
        assert!(long.contains(word), "{word}");
    }
    for command in ["make", "check", "start", "thread"] {
        let long = stdout(&netlead(room.path(), &[command, "--help"]));
        assert!(long.contains("Example:"), "{command}");
    }
}

#[test]
fn wrong_usage_exits_with_2_and_leaves_stdout_empty() {
    let room = room();
    for arguments in [
        &[][..],
        &["mak"],
        &["make"],
        &["make", "a", "b"],
        &["presets", "--bogus"],
    ] {
        let output = netlead(room.path(), arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert!(!output.stderr.is_empty(), "{arguments:?}");
    }
}

#[test]
fn presets_are_listed_with_a_description_each() {
    let room = room();
    let output = netlead(room.path(), &["presets"]);
    assert_eq!(code(&output), 0);
    let text = stdout(&output);
    let line = text.lines().find(|line| line.starts_with("desk-stage"));
    assert!(line.unwrap().len() > "desk-stage".len() + 10);
    assert!(text.lines().all(|line| line.chars().count() <= 80));
}

#[test]
fn presets_are_data_when_asked_for_as_json() {
    let room = room();
    let output = netlead(room.path(), &["presets", "--json"]);
    let list: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(list[0]["name"], "desk-stage");
    assert!(list[0]["description"].is_string());
}

#[test]
fn start_writes_a_kit_named_after_the_preset_or_as_told() {
    let room = room();
    assert_eq!(code(&netlead(room.path(), &["start", "desk-stage"])), 0);
    assert_eq!(
        code(&netlead(
            room.path(),
            &["start", "desk-stage", "my kit.toml"]
        )),
        0
    );
    let named = fs::read_to_string(room.path().join("desk-stage.toml")).unwrap();
    assert_eq!(
        named,
        fs::read_to_string(room.path().join("my kit.toml")).unwrap()
    );
    assert!(named.contains("layout"));
}

#[test]
fn start_never_overwrites() {
    let room = room();
    let file = room.path().join("desk-stage.toml");
    fs::write(&file, "my own work").unwrap();
    let output = netlead(room.path(), &["start", "desk-stage"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("desk-stage.toml"));
    assert!(stderr(&output).contains("name another file"));
    assert_eq!(fs::read_to_string(&file).unwrap(), "my own work");
    // A folder in the place of the file is refused as well.
    assert_eq!(
        code(&netlead(room.path(), &["start", "desk-stage", "."])),
        2
    );
}

#[test]
fn an_unknown_preset_suggests_the_nearest() {
    let room = room();
    let output = netlead(room.path(), &["start", "desk-stag"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("`desk-stage`"));
    assert_eq!(fs::read_dir(room.path()).unwrap().count(), 0);
}

#[test]
fn a_missing_kit_exits_with_2_and_names_the_path() {
    let room = room();
    for command in ["make", "check"] {
        let output = netlead(room.path(), &[command, "no-such.toml"]);
        assert_eq!(code(&output), 2);
        assert!(stderr(&output).contains("no-such.toml"));
        assert!(output.stdout.is_empty());
    }
    assert_eq!(fs::read_dir(room.path()).unwrap().count(), 0);
}

#[test]
fn a_path_cannot_drive_the_terminal() {
    let room = room();
    let output = netlead(room.path(), &["check", "\u{1b}[31mred\u{7}.toml"]);
    assert_eq!(code(&output), 2);
    assert!(!stderr(&output).contains(['\u{1b}', '\u{7}']));
}

#[test]
fn a_foreign_folder_is_refused_and_untouched() {
    let room = room();
    netlead(room.path(), &["start", "desk-stage"]);
    let photos = room.path().join("photos");
    fs::create_dir(&photos).unwrap();
    fs::write(photos.join("cat.png"), "cat").unwrap();
    let output = netlead(room.path(), &["make", "desk-stage.toml", "--out", "photos"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("photos") && stderr(&output).contains("--out"));
    let left: Vec<_> = fs::read_dir(&photos).unwrap().collect();
    assert_eq!(left.len(), 1);
    assert_eq!(fs::read_to_string(photos.join("cat.png")).unwrap(), "cat");
}

#[test]
fn a_closed_pipe_is_not_an_error() {
    let room = room();
    for arguments in [&["presets"][..], &["--help"], &["presets", "--json"]] {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let output = command(room.path(), arguments)
            .stdout(writer)
            .stderr(Stdio::piped())
            .output()
            .unwrap();
        assert_eq!(code(&output), 0, "{arguments:?}");
        assert!(stderr(&output).is_empty(), "{arguments:?}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_an_error() {
    let room = room();
    for arguments in [&["presets"][..], &["--help"], &["presets", "--json"]] {
        let full = fs::File::options().write(true).open("/dev/full").unwrap();
        let output = command(room.path(), arguments)
            .stdout(full)
            .stderr(Stdio::piped())
            .output()
            .unwrap();
        assert_eq!(code(&output), 2, "{arguments:?}");
        assert!(stderr(&output).contains("cannot write to stdout"));
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_device_without_end_is_not_read_for_ever() {
    let room = room();
    let output = netlead(room.path(), &["check", "/dev/zero"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("it is no regular file"));
}

#[test]
fn a_rule_is_printed_by_its_name_and_a_misspelt_one_gets_the_nearest() {
    let room = room();
    let list = stdout(&netlead(room.path(), &["rules"]));
    assert!(list.contains("drive-wall") && list.contains("stop-load"));
    let page = netlead(room.path(), &["rules", "drive-wall"]);
    assert_eq!(code(&page), 0);
    for word in ["why", "reckoned", "source", "mend", "[[waive]]"] {
        assert!(stdout(&page).contains(word), "{word}");
    }
    let wrong = netlead(room.path(), &["rules", "drive-wal"]);
    assert_eq!(code(&wrong), 2);
    assert!(wrong.stdout.is_empty());
    assert!(stderr(&wrong).contains("did you mean `drive-wall`"));
    let data = stdout(&netlead(room.path(), &["rules", "drive-wall", "--json"]));
    let data: serde_json::Value = serde_json::from_str(&data).unwrap();
    assert_eq!(data[0]["id"], "drive-wall");
}

/// M16 over M10 leaves 3.7 lines of wall: a warning, and the only one.
const WARNED: &str = "name = \"warned\"\nlayout = \"nested\"\ndrive = \"M16\"\ninner = \"M10\"\n\
                      stroke = 10\nhand_torque = \"0.5 N m\"\nodds = { warn = 0.1, fail = 0.1 }\ntolerance = 0.04\n";

#[test]
fn a_warning_fails_only_when_strictness_is_asked_for() {
    let room = room();
    fs::write(room.path().join("kit.toml"), WARNED).unwrap();
    for command in ["check", "make"] {
        let lenient = netlead(room.path(), &[command, "kit.toml"]);
        assert_eq!(code(&lenient), 0, "{command}: {}", stderr(&lenient));
        assert!(stdout(&lenient).contains("warn         drive-wall"));
        fs::remove_dir_all(room.path().join("out")).ok();
        let strict = netlead(room.path(), &[command, "kit.toml", "--strict"]);
        assert_eq!(code(&strict), 1, "{command}");
        assert!(stdout(&strict).contains("not ready: first mend drive-wall"));
        assert!(!room.path().join("out").exists(), "{command}");
    }
}

#[test]
fn a_waiver_that_waives_nothing_is_told() {
    let room = room();
    let waiver = |check: &str| {
        format!("{WARNED}[[waive]]\ncheck = \"{check}\"\nreason = \"printed twice, holds\"\n")
    };
    fs::write(room.path().join("idle.toml"), waiver("bed")).unwrap();
    fs::write(room.path().join("used.toml"), waiver("drive-wall")).unwrap();
    let idle = netlead(room.path(), &["check", "idle.toml"]);
    assert!(stderr(&idle).contains("the waiver of `bed` waives nothing"));
    let used = netlead(room.path(), &["check", "used.toml"]);
    assert!(stderr(&used).is_empty(), "{}", stderr(&used));
    let verdict = "ready to make, not tuned yet, but for what the kit waives (drive-wall); nothing was \
                   written";
    let page = unfolded(&stdout(&used));
    assert!(page.contains(verdict), "{page}");
}
