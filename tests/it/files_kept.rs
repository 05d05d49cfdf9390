//! What is never lost or left behind: edits in a written folder, whole folders on a full disk, and
//! nothing at all after a signal.

use crate::support::shell::{self, command, done, files, netlead, refused, stderr, unfolded};
use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// A small kit, quickly made.
const KIT: &str = "name = \"stage\"\nhand_torque = 0.5\nlayout = \"nested\"\ndrive = \"M20x2.5\"\n\
                   inner = \"M12x1.75\"\nstroke = 10\ntolerance = 0.1\n";
/// Rows that the kit above fits well.
const ROWS: [&str; 12] = [
    "--reading",
    "travel",
    "--resolution",
    "0.01",
    "--row",
    "0 0",
    "--row",
    "4 3",
    "--row",
    "8 6",
    "--row",
    "12 9",
];
const EXAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/filled-form.toml");

fn room() -> tempfile::TempDir {
    let room = shell::room();
    fs::write(room.path().join("kit.toml"), KIT).unwrap();
    room
}

/// Adds a line to a file.
fn edit(path: &Path) {
    let mut bytes = fs::read(path).unwrap();
    bytes.extend_from_slice(b"mine: oil the screw\n");
    fs::write(path, bytes).unwrap();
}

/// What a run that must succeed says on stderr, and its page.
fn said(room: &Path, arguments: &[&str]) -> (String, String) {
    let output = netlead(room, arguments);
    assert!(output.status.success(), "{}", stderr(&output));
    (
        unfolded(&stderr(&output)),
        unfolded(&shell::stdout(&output)),
    )
}

#[test]
fn an_edit_in_any_written_folder_is_kept_beside_and_told() {
    let room = room();
    let trial = [&["trial", "kit.toml"], &ROWS[..]].concat();
    let coupon = ["coupon", "kit.toml", "--quick"];
    for (arguments, folder, file) in [
        (&["make", "kit.toml"][..], "stage", "guide.md"),
        (&["make", "kit.toml"], "stage", "bill.csv"),
        (&coupon, "stage-coupons-quick", "coupon.md"),
        (&coupon, "stage-coupons-quick", "parts/drive_frame_1.stl"),
        (&trial, "stage-trial", "trial.md"),
    ] {
        done(room.path(), arguments);
        let out = room.path().join("out");
        let (written, kept) = (out.join(folder), out.join(format!("{folder}-edited")));
        let file = match file.starts_with("parts/") {
            // Whichever piece comes first.
            true => {
                let parts = fs::read_dir(written.join("parts")).unwrap();
                let mut names: Vec<_> = parts.map(|part| part.unwrap().file_name()).collect();
                names.sort();
                format!("parts/{}", names[0].to_str().unwrap())
            }
            false => file.to_owned(),
        };
        let before = files(&written);
        edit(&written.join(&file));
        let edited = fs::read(written.join(&file)).unwrap();
        let (told, _) = said(room.path(), arguments);
        let place = format!("kept as out/{folder}-edited/{file}");
        assert!(told.contains(&place), "{told}");
        assert_eq!(fs::read(kept.join(&file)).unwrap(), edited, "{file}");
        assert_eq!(files(&written), before, "{file}");
        // Nothing more is kept, and a run over what was not edited says nothing.
        assert_eq!(files(&kept).len(), 1, "{file}");
        let (told, _) = said(room.path(), arguments);
        assert!(!told.contains("edited"), "{told}");
        fs::remove_dir_all(&kept).unwrap();
    }
}

#[test]
fn a_part_edited_by_hand_is_not_said_to_have_changed_by_itself() {
    let room = room();
    done(room.path(), &["make", "kit.toml"]);
    let frame = room.path().join("out/stage/parts/frame.stl");
    edit(&frame);
    let (told, page) = said(room.path(), &["make", "kit.toml", "--all"]);
    assert!(
        told.contains("kept as out/stage-edited/parts/frame.stl"),
        "{told}"
    );
    assert!(page.contains("keep frame if it was printed from the file that netlead wrote"));
    assert!(!page.contains("reprint"), "{page}");
    // One that does change says both.
    edit(&frame);
    let coarser = KIT.replace("tolerance = 0.1", "tolerance = 0.09");
    fs::write(room.path().join("kit.toml"), coarser).unwrap();
    let (_, page) = said(room.path(), &["make", "kit.toml", "--all"]);
    let why =
        "reprint frame: drawn anew: tolerance 0.1 to 0.09 mm; its old file was edited by hand";
    assert!(page.contains(why), "{page}");
    assert!(page.contains("reprint drive: drawn anew: tolerance 0.1 to 0.09 mm"));
}

#[test]
fn a_report_that_was_edited_throws_nothing_away() {
    let room = room();
    done(room.path(), &["make", "kit.toml"]);
    let folder = room.path().join("out/stage");
    let before = files(&folder);
    let report = fs::read_to_string(folder.join("report.json")).unwrap();
    let claim = report.replacen("\"files\": [", "\"files\": [\n    \"letter.txt\",", 1);
    assert_ne!(claim, report);
    fs::write(folder.join("report.json"), &claim).unwrap();
    fs::write(folder.join("letter.txt"), "mine").unwrap();
    let told = unfolded(&refused(room.path(), 2, &["make", "kit.toml"]));
    assert!(told.contains("holds letter.txt, which netlead did not write"));
    assert!(told.contains("--out DIR"), "{told}");
    fs::remove_file(folder.join("letter.txt")).unwrap();
    let (told, _) = said(room.path(), &["make", "kit.toml"]);
    assert!(
        told.contains("all of them are kept in out/stage-edited"),
        "{told}"
    );
    assert_eq!(files(&folder), before);
    let kept = files(&room.path().join("out/stage-edited"));
    assert_eq!(kept["report.json"], claim.into_bytes());
    assert_eq!(kept.len(), before.len());
}

#[test]
fn every_set_of_test_pieces_has_a_folder_of_its_own_and_none_takes_the_place_of_another() {
    let room = room();
    let sets = [
        (&["coupon", "kit.toml"][..], "stage-coupons"),
        (&["coupon", "kit.toml", "--quick"], "stage-coupons-quick"),
        (
            &["coupon", "kit.toml", "--joint", "drive/frame"],
            "stage-coupons-drive-frame",
        ),
        (&["coupon", "kit.toml", "--break"], "stage-break"),
    ];
    let out = room.path().join("out");
    for (arguments, folder) in sets {
        done(room.path(), arguments);
        assert!(out.join(folder).join("coupon.md").is_file(), "{folder}");
    }
    let before = files(&out);
    // Over itself each is written again; over any other only where that is moved away.
    for (arguments, folder) in sets {
        for (_, other) in sets {
            let other = format!("out/{other}");
            let into = [arguments, &["--out", &other]].concat();
            if other.ends_with(folder) && folder.len() + "out/".len() == other.len() {
                done(room.path(), &into);
                continue;
            }
            let told = unfolded(&refused(room.path(), 2, &into));
            assert!(told.contains("it is left as it is"), "{told}");
            assert!(told.contains("--out DIR"), "{told}");
        }
    }
    assert_eq!(files(&out), before);
}

/// The program under a shell's limits or masks.
fn under(room: &Path, before: &str, arguments: &[&str]) -> Output {
    let mut run = command(room, &[]);
    let program = run.get_program().to_owned();
    run = Command::new("sh");
    run.current_dir(room)
        .env_remove("NETLEAD_PRINTERS")
        .env_remove("XDG_CONFIG_HOME")
        .env("HOME", room)
        .args(["-c", &format!("{before}; exec \"$0\" \"$@\"")])
        .arg(program)
        .args(arguments);
    run.output().unwrap()
}

#[test]
fn a_full_disk_leaves_what_was_there_and_no_half_of_anything() {
    let room = room();
    let profile = ["tune", EXAMPLE, "--out", "garage.printer.toml"];
    done(room.path(), &profile);
    done(room.path(), &["make", "kit.toml"]);
    edit(&room.path().join("out/stage/guide.md"));
    let before = files(room.path());
    let trial = [&["trial", "kit.toml"], &ROWS[..]].concat();
    // No file may grow beyond this many blocks; whoever writes gets an error and no signal.
    let full = |blocks: u32| format!("trap '' XFSZ; ulimit -f {blocks}");
    for (blocks, arguments) in [
        (0, &profile[..]),
        (1, &profile),
        (0, &["make", "kit.toml"]),
        (4, &["make", "kit.toml"]),
        (4, &["make", "kit.toml", "--out", "other/place"]),
        (4, &["coupon", "kit.toml", "--quick"]),
        (0, &trial),
        (0, &["start", "desk-stage"]),
    ] {
        let output = under(room.path(), &full(blocks), arguments);
        let told = stderr(&output);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {told}");
        assert!(told.contains("cannot write"), "{told}");
        assert_eq!(files(room.path()), before, "{arguments:?}");
    }
    // With room again the same commands succeed.
    done(room.path(), &profile);
    done(room.path(), &["make", "kit.toml"]);
}

/// The modes of every file and folder below one, but for those that were there before.
fn modes(folder: &Path, except: &[&str]) -> BTreeMap<String, u32> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        if except.contains(&name.as_str()) {
            continue;
        }
        let mode = entry.metadata().unwrap().permissions().mode();
        found.insert(name.clone(), mode & 0o777);
        if entry.file_type().unwrap().is_dir() {
            let below = modes(&entry.path(), &[]);
            found.extend(
                below
                    .into_iter()
                    .map(|(at, mode)| (format!("{name}/{at}"), mode)),
            );
        }
    }
    found
}

#[test]
fn every_file_and_folder_has_the_mode_that_the_users_mask_leaves() {
    for (mask, file, folder) in [("027", 0o640, 0o750), ("002", 0o664, 0o775)] {
        let room = room();
        let trial = [&["trial", "kit.toml"], &ROWS[..]].concat();
        let tune = ["tune", EXAMPLE, "--out", "garage.printer.toml"];
        let make = ["make", "kit.toml"];
        let coupon = ["coupon", "kit.toml", "--quick"];
        let start = ["start", "desk-stage"];
        // A second time for copies: of the profile, and of what was edited.
        for arguments in [&make[..], &tune, &coupon, &trial, &start, &make, &tune] {
            let output = under(room.path(), &format!("umask {mask}"), arguments);
            assert!(output.status.success(), "{}", stderr(&output));
            let guide = room.path().join("out/stage/guide.md");
            edit(&guide);
        }
        let modes = modes(room.path(), &["kit.toml"]);
        for name in [
            "garage.2026-11-20.printer.toml",
            "out/stage-edited/guide.md",
            "out/stage-coupons-quick/parts",
            "desk-stage.toml",
        ] {
            assert!(modes.contains_key(name), "{name} of {modes:?}");
        }
        for (name, mode) in modes {
            let wanted = if room.path().join(&name).is_dir() {
                folder
            } else {
                file
            };
            assert_eq!(mode, wanted, "{name}: {mode:o}");
        }
    }
}

/// Names in the room and in `out` that begin with a dot: what nobody is to see afterwards.
fn hidden(room: &Path) -> Vec<String> {
    let folders = [room.to_path_buf(), room.join("out")];
    let entries = folders
        .iter()
        .filter_map(|folder| fs::read_dir(folder).ok());
    let names = entries.flatten().flatten().map(|entry| entry.file_name());
    let names = names.map(|name| name.to_string_lossy().into_owned());
    names.filter(|name| name.starts_with('.')).collect()
}

/// Runs, sends a signal as soon as something hidden is there, and tells whether that ended it.
fn broken_off(room: &Path, arguments: &[&str], signal: &str) -> Option<i32> {
    let mut run = command(room, arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    while hidden(room).is_empty() && run.try_wait().unwrap().is_none() {
        std::hint::spin_loop();
    }
    let sent = Command::new("kill")
        .args([&format!("-{signal}"), &run.id().to_string()])
        .stderr(Stdio::null())
        .status();
    drop(sent);
    run.wait().unwrap().signal()
}

/// Runs until a signal meets one at its writing; every time nothing may be left but whole folders.
const TRIES: usize = 40;

#[test]
fn a_signal_leaves_nothing_behind_and_ends_as_it_asks() {
    let trial = [&["trial", "kit.toml"], &ROWS[..]].concat();
    let tune = ["tune", EXAMPLE, "--out", "garage.printer.toml"];
    for (signal, number, arguments, written) in [
        ("INT", 2, &["make", "kit.toml"][..], "out/stage"),
        ("TERM", 15, &["coupon", "kit.toml"], "out/stage-coupons"),
        ("HUP", 1, &["make", "kit.toml"], "out/stage"),
        ("INT", 2, &trial, "out/stage-trial"),
        ("TERM", 15, &tune, "garage.printer.toml"),
    ] {
        let whole = room();
        done(whole.path(), arguments);
        let whole = files(whole.path());
        let mut met = 0;
        for _ in 0..TRIES {
            let room = room();
            let ended = broken_off(room.path(), arguments, signal);
            assert!(
                ended.is_none_or(|by| by == number),
                "{arguments:?}: {ended:?}"
            );
            assert_eq!(hidden(room.path()), [""; 0], "{arguments:?}");
            if room.path().join(written).exists() {
                assert_eq!(files(room.path()), whole, "{arguments:?}");
            } else {
                // Not even the folder above.
                assert_eq!(files(room.path()).len(), 1, "{arguments:?}");
                assert_eq!(ended, Some(number), "{arguments:?}");
            }
            met += usize::from(ended.is_some());
            if met > 1 {
                break;
            }
        }
        // The small files of these are written before a signal comes; the others are met.
        let small = ["trial", "tune"].contains(&arguments[0]);
        assert!(met > 0 || small, "{arguments:?}");
    }
}

#[test]
fn no_input_can_hang_or_fill_the_memory() {
    let room = room();
    let made = Command::new("mkfifo")
        .arg(room.path().join("pipe.toml"))
        .status();
    assert!(made.unwrap().success());
    let long = vec![b'#'; 1 << 20];
    fs::write(room.path().join("long.toml"), long).unwrap();
    for (file, words) in [
        ("pipe.toml", "no regular file"),
        ("/dev/zero", "no regular file"),
        ("long.toml", "is larger than"),
    ] {
        let counted = ["tune", file, "--thread", "3"];
        let old = ["tune", EXAMPLE, "--profile", file];
        let out = ["tune", EXAMPLE, "--out", file];
        for arguments in [
            &["check", file][..],
            &["make", file],
            &["coupon", file],
            &["take-apart", file],
            &["vary", file, "stroke=5"],
            &["tune", file],
            &counted,
            &old,
            &out,
            &["trial", "kit.toml", file],
            &["trial", file, "rows.toml"],
        ] {
            let told = unfolded(&refused(room.path(), 2, arguments));
            assert!(told.contains(words), "{arguments:?}: {told}");
        }
        let kit = format!("printer = \"{file}\"\n{KIT}");
        fs::write(room.path().join("named.toml"), kit).unwrap();
        if file.ends_with(".toml") {
            let told = unfolded(&refused(room.path(), 1, &["check", "named.toml"]));
            assert!(told.contains(words), "{told}");
        }
    }
}

#[test]
fn nothing_hidden_in_a_path_or_an_argument_reaches_the_terminal() {
    let room = room();
    let name = "a\u{9b}31m\u{202e}b\u{200b}.toml";
    fs::write(room.path().join(name), "x = \"\u{9b}2J\" # \u{202e}\n").unwrap();
    let hidden = ['\u{9b}', '\u{202e}', '\u{200b}'];
    for (code, arguments) in [
        (1, &["check", name][..]),
        (2, &["check", "kit.toml", name]),
        (2, &["vary", name, name]),
        (2, &["start", name]),
        (2, &["rules", name]),
        (1, &["thread", name]),
        (2, &["tune", name, "--thread", name]),
        (2, &["make", "kit.toml", "--out", name]),
    ] {
        let told = refused(room.path(), code, arguments);
        assert!(!told.contains(hidden), "{arguments:?}: {told:?}");
        assert!(told.contains("\\u{9b}"), "{arguments:?}: {told}");
    }
}
