//! The program as a shell sees it: exit codes, streams, files left alone.

use crate::support::shell::{
    code, command, done, netlead, preset, refused, room, stderr, stdout, unfolded,
};
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

/// What the library that reads the arguments would say by itself, and what else has the look of a
/// program for programmers.
const FOREIGN: [&str; 13] = [
    "Usage:",
    "Options:",
    "Arguments:",
    "[default",
    "[possible",
    "error:",
    "help:",
    "tip:",
    "For more information",
    "-->",
    "os error",
    "^^",
    " | ",
];

#[test]
fn arguments_are_answered_in_our_own_words_with_what_to_type() {
    let room = room();
    for (arguments, wrong, mend) in [
        (&["mak"][..], "no command `mak`", "`netlead make`"),
        (&["build"], "no command `build`", "`netlead make`"),
        (
            &["desk-stage"],
            "no command `desk-stage`",
            "`netlead start desk-stage`",
        ),
        (&["a.toml"], "no command `a.toml`", "`netlead check a.toml`"),
        (&["help", "mak"], "no command `mak`", "`netlead make`"),
        (
            &["make"],
            "wants KIT: the TOML file",
            "`netlead make desk-stage.toml",
        ),
        (
            &["start"],
            "wants PRESET",
            "`netlead start desk-stage my-stage.toml`",
        ),
        (
            &["vary", "k"],
            "wants KEY=VALUES",
            "`netlead vary desk-stage.toml ",
        ),
        (&["make", "a", "b"], "no place for `b`", "in quotes"),
        (
            &["make", "k", "--outt", "x"],
            "no `--outt`",
            "write `--out`",
        ),
        (&["presets", "--bogus"], "no `--bogus`", "leave it out"),
        (
            &["make", "k", "--out"],
            "nothing stands behind `--out`",
            "write it behind `--out`",
        ),
        (
            &["make", "k", "--out", "a", "--out", "b"],
            "twice",
            "leave one",
        ),
        (
            &["check", ""],
            "the name of KIT is empty",
            "`netlead check desk-stage.toml",
        ),
        (
            &["coupon", "k", "--quick", "--joint", "a/b"],
            "`--quick` does not go together with `--joint`",
            "leave one",
        ),
        (
            &["vary", "k", "stroke=5", "--csv", "--json"],
            "`--csv` does not go together with `--json`",
            "leave one",
        ),
        (
            &["tune", "k", "--thread", "x"],
            "no whole number",
            "`--thread 3`",
        ),
        (
            &["tune", "k", "--thread", "-1"],
            "no whole number",
            "`--thread 3`",
        ),
        (
            &["trial", "k", "--reading", "deep"],
            "none of travel, depth",
            "`--reading ",
        ),
        (
            &["trial", "k", "--resolution", "0,05"],
            "`0,05`, which is no number",
            "`--resolution 0.05`",
        ),
    ] {
        let told = refused(room.path(), 2, arguments);
        assert!(told.starts_with("Stop: "), "{arguments:?}: {told}");
        assert!(
            told.lines().all(|line| line.chars().count() <= 80),
            "{told}"
        );
        for foreign in FOREIGN {
            assert!(!told.contains(foreign), "{foreign} in {told}");
        }
        let told = unfolded(&told);
        let (message, rest) = told.split_once(" To mend it: ").unwrap();
        assert!(message.contains(wrong), "{arguments:?}: {told}");
        assert!(rest.contains(mend), "{arguments:?}: {told}");
    }
}

#[test]
fn pages_of_help_speak_our_own_words_by_every_way_to_them() {
    let room = room();
    let list = done(room.path(), &["--help"]);
    let commands = list.split("Commands:\n").nth(1).unwrap();
    let rows = commands.lines().take_while(|line| !line.is_empty());
    let names: Vec<&str> = rows
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(names.len() > 10, "{names:?}");
    for name in &names {
        let long = done(room.path(), &[name, "--help"]);
        assert_eq!(long, done(room.path(), &["help", name]));
        let short = done(room.path(), &[name, "-h"]);
        assert!(long.starts_with(short.split("\n\n").next().unwrap()));
        for page in [&long, &short, &list] {
            for foreign in FOREIGN {
                assert!(!page.contains(foreign), "{foreign} in {page}");
            }
        }
    }
    assert_eq!(list, done(room.path(), &["help"]));
    assert!(done(room.path(), &["--version"]).starts_with("netlead "));
}

#[test]
fn trial_without_rows_tells_a_line_that_works() {
    let room = room();
    done(room.path(), &["start", "desk-stage", "kit.toml"]);
    let row = ["--row", "0 40"];
    for (more, missing) in [
        (&[][..], "nothing says what was measured"),
        (&["--reading", "depth"], "nothing says what was measured"),
        (&row, "--reading"),
        (
            &[&row[..], &["--reading", "depth"]].concat(),
            "--resolution",
        ),
    ] {
        let arguments = [&["trial", "kit.toml"], more].concat();
        let told = unfolded(&refused(room.path(), 2, &arguments));
        let (message, mend) = told.split_once(" To mend it: ").unwrap();
        assert!(message.contains(missing), "{told}");
        let (_, line) = mend.split_once("`netlead ").unwrap();
        let (line, _) = line.split_once('`').unwrap();
        // Every second piece stands in quotes.
        let pieces = line.split('"').enumerate();
        let words: Vec<&str> = pieces
            .flat_map(|(index, piece)| match index % 2 {
                0 => piece.split_whitespace().collect(),
                _ => vec![piece],
            })
            .collect();
        done(room.path(), &words);
    }
    let told = refused(
        room.path(),
        2,
        &["trial", "kit.toml", "m.toml", "--unit", "in"],
    );
    assert!(unfolded(&told).contains("m.toml says it itself"), "{told}");
}

#[test]
fn a_file_of_another_kind_is_answered_with_what_to_name() {
    let room = room();
    let put = |name: &str, text: &str| fs::write(room.path().join(name), text).unwrap();
    put("kit.toml", &preset("desk-stage"));
    put("form.toml", "form = \"netlead-form/1\"\n[[row]]\n");
    put("rows.toml", "reading = \"depth\"\nrows = [[0, 40]]\n");
    put("garage.printer.toml", "schema = \"netlead-printer/1\"\n");
    put("guide.md", "# Desk stage\n");
    let mut mesh = vec![0u8; 84];
    mesh.extend_from_slice(&[0xff; 50]);
    fs::write(room.path().join("frame.stl"), &mesh).unwrap();
    fs::write(room.path().join("large.stl"), vec![0xff; 100 << 10]).unwrap();
    fs::create_dir(room.path().join("kits")).unwrap();
    put("kits/a.toml", "mine = 1\n");
    put("kits/stage.toml", &preset("desk-stage"));
    for (arguments, wrong, mend) in [
        (
            &["make", "form.toml"][..],
            "is a form",
            "`netlead tune form.toml`",
        ),
        (
            &["check", "rows.toml"],
            "is a file of measured rows",
            "`netlead trial KIT rows.toml`",
        ),
        (
            &["check", "garage.printer.toml"],
            "is a printer profile",
            "`printer = \"garage\"`",
        ),
        (&["check", "frame.stl"], "is a mesh", "describes the kit"),
        (&["check", "large.stl"], "is a mesh", "describes the kit"),
        (
            &["make", "guide.md"],
            "written by netlead",
            "describes the kit",
        ),
        (
            &["tune", "kit.toml"],
            "is a kit",
            "`netlead tune kit.toml --thread 3 --pin 2 --slide 3`",
        ),
        (
            &["trial", "rows.toml", "kit.toml"],
            "is a file of measured rows",
            "behind their kit",
        ),
        (
            &["trial", "kit.toml", "kit.toml"],
            "kit.toml is a kit",
            "measured rows",
        ),
        (&["check", "kits"], "kits is a folder", "kits/stage.toml"),
        (
            &["check", "kit.tml"],
            "there is no file kit.tml",
            "name kit.toml",
        ),
        (
            &["check", "kit"],
            "there is no file kit",
            "with its ending: kit.toml",
        ),
        (
            &["check", "fine-stop"],
            "there is no file",
            "`netlead start fine-stop fine-stop.toml`",
        ),
    ] {
        let told = unfolded(&refused(room.path(), 2, arguments));
        let (message, rest) = told.split_once(" To mend it: ").unwrap();
        assert!(message.contains(wrong), "{arguments:?}: {told}");
        assert!(rest.contains(mend), "{arguments:?}: {told}");
    }
    // What was told to type is taken.
    done(
        room.path(),
        &[
            "tune", "kit.toml", "--thread", "3", "--pin", "2", "--slide", "3",
        ],
    );
}

#[test]
fn a_nozzle_is_answered_with_the_line_that_makes_the_kit_whole() {
    let room = room();
    for (units, nozzle, line) in [
        ("", "0.4", "line = 0.45"),
        ("", "0.25", "line = 0.2812"),
        ("", "\"0.6 mm\"", "line = 0.675"),
        ("units = \"inch\"\n", "\"0.4 mm\"", "line = \"0.45 mm\""),
        ("units = \"inch\"\n", "0.016", "line = \"0.4572 mm\""),
    ] {
        let kit = |line: &str| {
            format!(
                "name = \"nozzle\"\nlayout = \"single\"\n{units}drive = \"M20x2.5\"\n\
                 stroke = \"10 mm\"\n{line}\n"
            )
        };
        fs::write(
            room.path().join("kit.toml"),
            kit(&format!("nozzle = {nozzle}")),
        )
        .unwrap();
        let told = unfolded(&refused(room.path(), 1, &["check", "kit.toml"]));
        assert!(told.contains(&format!("`{line}`")), "{nozzle}: {told}");
        assert!(told.contains("common practice"), "{told}");
        fs::write(room.path().join("kit.toml"), kit(line)).unwrap();
        let told = stderr(&netlead(room.path(), &["coupon", "kit.toml", "--quick"]));
        assert!(!told.contains("Stop"), "{told}");
    }
    // Where the line is said already, the nozzle goes.
    let both = "name = \"n\"\nlayout = \"single\"\ndrive = \"M20\"\nstroke = 10\nline = 0.5\nnozzle = 0.4\n";
    fs::write(room.path().join("kit.toml"), both).unwrap();
    let told = unfolded(&refused(room.path(), 1, &["check", "kit.toml"]));
    assert!(
        told.contains("remove it: `line` is there already"),
        "{told}"
    );
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
    assert!(unfolded(&stderr(&output)).contains("`netlead start desk-stage`"));
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
    assert!(stderr(&wrong).contains("`netlead rules drive-wall`"));
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
