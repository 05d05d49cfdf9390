//! `coupon` and `tune` as commands: what they write, keep and refuse.

use crate::support::shell::{self, data, done, netlead, refused, unfolded};
use std::fs;
use std::path::Path;

/// A room with the desk stage in it.
fn room() -> tempfile::TempDir {
    let room = shell::room();
    done(room.path(), &["start", "desk-stage"]);
    room
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut names: Vec<String> = entries
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into()
        })
        .collect();
    names.sort();
    names
}

const EXAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/filled-form.toml");

#[test]
fn a_coupon_folder_holds_pieces_sheet_form_and_list_the_same_twice() {
    let room = room();
    for out in ["one", "two"] {
        done(
            room.path(),
            &["coupon", "desk-stage.toml", "--quick", "--out", out],
        );
    }
    let one = room.path().join("one");
    assert_eq!(
        names(&one),
        [
            "bed-1.3mf",
            "coupon.html",
            "coupon.json",
            "coupon.md",
            "form.toml",
            "parts"
        ]
    );
    let list = fs::read(one.join("coupon.json")).expect("a list");
    let list: serde_json::Value = serde_json::from_slice(&list).expect("JSON");
    let files = list["files"].as_array().expect("a list");
    for file in files {
        let file = file.as_str().expect("a name");
        let two = room.path().join("two").join(file);
        assert_eq!(fs::read(one.join(file)).ok(), fs::read(two).ok(), "{file}");
        assert!(one.join(file).exists(), "{file}");
    }
    assert_eq!(files.len(), names(&one.join("parts")).len() + 5);
}

#[test]
fn a_filled_form_is_never_overwritten_and_an_untouched_one_is() {
    let room = room();
    let again = ["coupon", "desk-stage.toml", "--quick"];
    done(room.path(), &again);
    done(room.path(), &again);
    let form = room.path().join("out/desk-stage-coupons-quick/form.toml");
    let filled =
        fs::read_to_string(&form)
            .expect("a form")
            .replacen("best   = []", "best   = [2]", 1);
    fs::write(&form, &filled).expect("written");
    let told = refused(room.path(), 2, &again);
    assert!(
        told.contains("form.toml, which you have filled in"),
        "{told}"
    );
    let make = [
        "make",
        "desk-stage.toml",
        "--out",
        "out/desk-stage-coupons-quick",
    ];
    let told = refused(room.path(), 2, &make);
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("is left as it is"), "{told}");
    assert_eq!(fs::read_to_string(&form).expect("still there"), filled);
}

#[test]
fn the_walk_from_quick_print_to_a_kit_with_the_new_profile_works() {
    let room = room();
    done(room.path(), &["coupon", "desk-stage.toml", "--quick"]);
    let told = done(
        room.path(),
        &[
            "tune",
            "desk-stage.toml",
            "--thread",
            "3",
            "--pin",
            "2",
            "--slide",
            "3",
        ],
    );
    assert!(told.contains("wrote my-printer.printer.toml"), "{told}");
    assert!(told.contains("still only believed"), "{told}");
    let kit = fs::read_to_string(room.path().join("desk-stage.toml")).expect("the kit");
    let kit = format!("printer = \"my-printer\"\n{kit}");
    fs::write(room.path().join("desk-stage.toml"), kit).expect("written");
    done(room.path(), &["make", "desk-stage.toml"]);
}

/// Shares are told to a twentieth; a profile's file rounds its terms to ten thousandths.
const SAME_SHARE: f64 = 0.002;

#[test]
fn the_odds_that_counts_are_told_are_those_that_make_tells_with_the_profile() {
    let room = room();
    let kit = fs::read_to_string(room.path().join("desk-stage.toml")).expect("the kit");
    for counts in [["2", "3", "2"], ["4", "2", "3"]] {
        fs::write(room.path().join("desk-stage.toml"), &kit).expect("written");
        let [thread, pin, slide] = counts;
        let profile = format!("of-{thread}.printer.toml");
        let told = data(
            room.path(),
            &[
                "tune",
                "desk-stage.toml",
                "--thread",
                thread,
                "--pin",
                pin,
                "--slide",
                slide,
                "--json",
                "--out",
                &profile,
            ],
        );
        let named = format!("printer = \"{profile}\"\n{kit}");
        fs::write(room.path().join("desk-stage.toml"), named).expect("written");
        let made = data(room.path(), &["make", "desk-stage.toml", "--json"]);
        for which in ["now", "known"] {
            for share in ["as_printed", "usable"] {
                let of = |odds: &serde_json::Value| odds[which][share].as_f64().expect("a share");
                let (told, made) = (of(&told["kit"]), of(&made["odds"]));
                assert!(
                    (told - made).abs() <= SAME_SHARE,
                    "{which} {share}: {told}, made {made}"
                );
            }
        }
    }
}

#[test]
fn an_existing_profile_is_kept_under_the_forms_date_and_every_copy_stays() {
    let room = room();
    let path = |name: &str| room.path().join(name);
    done(
        room.path(),
        &["tune", EXAMPLE, "--out", "garage.printer.toml"],
    );
    let first = fs::read(path("garage.printer.toml")).expect("a profile");
    fs::write(
        path("garage.printer.toml"),
        [&first[..], b"# mine\n"].concat(),
    )
    .expect("written");
    for copy in [
        "garage.2026-11-20.printer.toml",
        "garage.2026-11-20-2.printer.toml",
    ] {
        let told = done(
            room.path(),
            &["tune", EXAMPLE, "--out", "garage.printer.toml"],
        );
        assert!(told.contains(copy), "{told}");
    }
    let kept = fs::read_to_string(path("garage.2026-11-20.printer.toml")).expect("a copy");
    assert!(kept.ends_with("# mine\n"));
    assert_eq!(
        fs::read(path("garage.printer.toml")).expect("the new one"),
        first
    );
}

#[test]
fn what_is_no_profile_and_what_cannot_be_dated_is_left_as_it_is() {
    let room = room();
    fs::write(room.path().join("note.toml"), "mine = 1\n").expect("written");
    let told = refused(room.path(), 2, &["tune", EXAMPLE, "--out", "note.toml"]);
    assert!(told.contains("is no profile"), "{told}");
    assert_eq!(
        fs::read_to_string(room.path().join("note.toml")).expect("there"),
        "mine = 1\n"
    );
    let counts = ["tune", "desk-stage.toml", "--thread", "2"];
    done(room.path(), &counts);
    let before = fs::read(room.path().join("my-printer.printer.toml")).expect("a profile");
    let told = refused(room.path(), 2, &counts);
    assert!(told.contains("--date"), "{told}");
    assert_eq!(
        fs::read(room.path().join("my-printer.printer.toml")).expect("there"),
        before
    );
}

#[test]
fn a_bad_form_writes_nothing() {
    let room = room();
    let form = fs::read_to_string(EXAMPLE).expect("the example");
    let before = names(room.path()).len() + 1;
    for (good, bad, words) in [
        (
            "drawn    = 62\nmeasured = [",
            "drawn    = 62\nmeasured = [2.441, ",
            "inches",
        ),
        ("measured = [", "measured = [\"x\", ", "this is text"),
        ("[[row]]", "[[rwo]]", "`rwo` is not a key"),
    ] {
        let text = form.replacen(good, bad, 1);
        assert_ne!(text, form);
        fs::write(room.path().join("form.toml"), text).expect("written");
        let told = refused(room.path(), 1, &["tune", "form.toml"]);
        assert!(
            told.contains(words) && told.contains("form.toml, line "),
            "{told}"
        );
        assert_eq!(names(room.path()).len(), before);
    }
}

#[test]
fn the_filled_example_says_that_it_is_invented_and_tunes_without_a_remark() {
    let room = room();
    let text = fs::read_to_string(EXAMPLE).expect("the example");
    assert!(text.lines().next().expect("a line").contains("invented"));
    let output = netlead(room.path(), &["tune", EXAMPLE]);
    assert!(output.status.success());
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    let page = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(page.contains("learnt from 3 prints"), "{page}");
}

#[test]
fn where_another_print_would_hardly_help_no_page_asks_for_one() {
    let room = room();
    let kit = fs::read_to_string(room.path().join("desk-stage.toml")).expect("the kit");
    let check = |kit: &str| {
        fs::write(room.path().join("desk-stage.toml"), kit).expect("written");
        unfolded(&done(room.path(), &["check", "desk-stage.toml", "--all"]))
    };
    // Pieces to be broken tell of strength, whatever is known of gaps.
    let asks = |page: &str| {
        let page = page.replace("netlead coupon KIT --break", "");
        page.contains("netlead coupon") || page.contains("not tuned")
    };
    assert!(asks(&check(&kit)), "of a printer that was never measured");
    let told = done(
        room.path(),
        &["tune", EXAMPLE, "--out", "known.printer.toml"],
    );
    let told = unfolded(&told);
    assert!(
        told.contains("one more print would hardly lower that"),
        "{told}"
    );
    let page = check(&format!("printer = \"known.printer.toml\"\n{kit}"));
    assert!(!asks(&page), "{page}");
}

/// The form of pieces to be broken, with bars of 1.5 kg and necks of 1.25 at 200 mm.
fn broken_form(room: &Path) -> String {
    done(room, &["coupon", "desk-stage.toml", "--break"]);
    let path = "out/desk-stage-break/form.toml";
    let mut text = fs::read_to_string(room.join(path)).expect("a form");
    for load in ["1.2", "1.25", "1.3", "1.45", "1.5", "1.55"] {
        text = text
            .replacen("arm      = \"\"", "arm      = 200", 1)
            .replacen("load     = \"\"", &format!("load     = \"{load} kg\""), 1)
            .replacen("date    = \"\"", "date    = \"2026-11-20\"", 1);
    }
    fs::write(room.join(path), text).expect("written");
    path.into()
}

#[test]
fn the_sheet_of_what_is_to_be_broken_says_how_to_stand_and_what_it_takes() {
    let room = room();
    broken_form(room.path());
    let sheet = fs::read_to_string(room.path().join("out/desk-stage-break/coupon.md"));
    let sheet = sheet.expect("a sheet");
    for said in [
        "safety glasses",
        "thick cloth",
        "slack cord",
        "Stand beside the lever's way",
        "No fingers between",
        "children",
        "no rating",
        "**solid**",
        "32 F a / (pi d^3)",
        "min and ",
    ] {
        assert!(sheet.contains(said), "{said}:\n{sheet}");
    }
}

#[test]
fn broken_pieces_go_into_the_profile_beside_what_is_known_of_gaps_and_into_the_verdict() {
    let room = room();
    let form = broken_form(room.path());
    let before = done(room.path(), &["check", "desk-stage.toml", "--all"]);
    assert!(before.contains("strength of the material"), "{before}");
    assert!(before.contains("not your print"), "{before}");
    done(
        room.path(),
        &[
            "tune",
            "desk-stage.toml",
            "--thread",
            "2",
            "--date",
            "2026-11-19",
        ],
    );
    let profile = room.path().join("my-printer.printer.toml");
    let of_gaps = fs::read_to_string(&profile).expect("a profile");
    let page = done(room.path(), &["tune", &form]);
    assert!(page.contains("of your print"), "{page}");
    let both = fs::read_to_string(&profile).expect("a profile");
    let terms = |text: &str| text[text.find("[terms]").expect("terms")..].to_owned();
    assert_eq!(terms(&of_gaps), terms(&both));
    assert!(both.contains("[strength]\nacross = "), "{both}");
    let kit = room.path().join("desk-stage.toml");
    let text = fs::read_to_string(&kit).expect("a kit");
    fs::write(&kit, format!("printer = \"my-printer\"\n{text}")).expect("written");
    let told = shell::stdout(&netlead(
        room.path(),
        &["check", "desk-stage.toml", "--all"],
    ));
    assert!(told.contains("strength of your print"), "{told}");
    assert!(told.contains("by the pieces you broke"), "{told}");
}

#[test]
fn pieces_of_another_filament_do_not_go_into_a_profile() {
    let room = room();
    let form = broken_form(room.path());
    done(room.path(), &["tune", &form]);
    let path = room.path().join(&form);
    let text = fs::read_to_string(&path).expect("a form");
    fs::write(&path, text.replace("\"PLA\"", "\"PETG\"")).expect("written");
    let told = refused(room.path(), 2, &["tune", &form]);
    assert!(told.contains("profile is of PLA"), "{told}");
}
