//! Ladders of threads that disagree: from the form to a kit of which each joint is printed with the gap
//! that is wanted.

use crate::support::shell::{self, data, done};
use serde_json::Value;
use std::fs;
use std::path::Path;

const KIT: &str = "name = \"n\"\nlayout = \"nested\"\nhand_torque = 0.5\ndrive = \"M20x2.5\"\n\
    inner = \"M12x1.75\"\nstroke = 10\n";

/// A ladder of a form: its name and the gaps of its steps, in mm.
struct Ladder {
    name: String,
    gaps: Vec<f64>,
    wanted: f64,
}

/// The ladders of a form's text, which is read here as any TOML.
fn ladders(form: &str) -> Vec<Ladder> {
    let table: toml_edit::DocumentMut = form.parse().unwrap();
    let number = |value: &toml_edit::Value| {
        let whole = value.as_integer().map(|whole| whole as f64);
        value.as_float().or(whole).unwrap()
    };
    let rows = table["ladder"].as_array_of_tables().unwrap().iter();
    rows.map(|row| Ladder {
        name: row["name"].as_str().unwrap().into(),
        gaps: (row["gaps"].as_array().unwrap().iter())
            .map(number)
            .collect(),
        // Only of threads something is wanted.
        wanted: row
            .get("wanted")
            .map_or(f64::NAN, |wanted| number(wanted.as_value().unwrap())),
    })
    .collect()
}

/// Prints the coupons of the kit, and fills both thread ladders of its form in; gives the form's
/// own ladders.
fn filled(room: &Path, best: [&str; 2]) -> Vec<Ladder> {
    fs::write(room.join("kit.toml"), KIT).unwrap();
    done(room, &["coupon", "kit.toml", "--out", "c"]);
    let form = fs::read_to_string(room.join("c/form.toml")).unwrap();
    let mut text = form.clone();
    for (joint, best) in ["drive/frame", "inner/drive"].into_iter().zip(best) {
        let (before, after) = text.split_once(&format!("\"{joint}\"\n")).unwrap();
        let after = after.replacen("best   = []", &format!("best   = [{best}]"), 1);
        text = format!("{before}\"{joint}\"\n{after}");
    }
    assert_ne!(text, form);
    fs::write(room.join("form.toml"), text).unwrap();
    ladders(&form)
}

#[test]
fn what_tune_says_to_paste_leaves_every_joint_the_gap_that_is_wanted() {
    let room = shell::room();
    let room = room.path();
    let ladders = filled(room, ["3, 3, 3", "5, 5, 5"]);
    let page = done(room, &["tune", "form.toml", "--out", "mine.printer.toml"]);
    let lines = page.split_once("[gaps.joint]").unwrap().1;
    let lines: Vec<&str> = lines
        .lines()
        .take_while(|line| !line.starts_with("kit-odds"))
        .collect();
    let pasted = format!(
        "printer = \"mine.printer.toml\"\n{KIT}[gaps.joint]{}\n",
        lines.join("\n")
    );
    fs::write(room.join("kit.toml"), pasted).unwrap();
    let report = data(
        room,
        &["make", "kit.toml", "--no-pictures", "--out", "o", "--json"],
    );
    for (joint, best) in [("drive/frame", 3), ("inner/drive", 5)] {
        let ladder = ladders.iter().find(|ladder| ladder.name == joint).unwrap();
        let joints = report["joints"].as_array().unwrap();
        let found = joints.iter().find(|found| found["name"] == joint).unwrap();
        let drawn = found["gap_mm"]["drawn"].as_f64().unwrap();
        // The plug runs in this ring and not in the next: no gap is left half-way between them.
        let leaves = drawn - (ladder.gaps[best - 1] + ladder.gaps[best - 2]) / 2.0;
        // The page gives thousandths, the profile's file ten thousandths of each term.
        let wanted = ladder.wanted;
        assert!(
            (leaves - wanted).abs() < 1.5e-3,
            "{joint}: {leaves}, wanted {wanted}"
        );
    }
}

#[test]
fn the_data_say_the_same_gaps_and_ladders_that_agree_ask_for_none() {
    let told = |best: [&str; 2]| {
        let room = shell::room();
        filled(room.path(), best);
        let page = done(
            room.path(),
            &["tune", "form.toml", "--out", "one.printer.toml"],
        );
        let again = ["tune", "form.toml", "--json", "--out", "two.printer.toml"];
        let data = data(room.path(), &again);
        (page, data["own_gaps"].as_array().unwrap().clone())
    };
    let (page, apart) = told(["3, 3, 3", "5, 5, 5"]);
    assert_eq!(apart.len(), 2);
    for own in &apart {
        let (joint, wanted) = (
            own["joint"].as_str().unwrap(),
            own["wanted_mm"].as_f64().unwrap(),
        );
        assert!(
            page.contains(&format!("\"{joint}\" = \"{wanted:.3} mm\"")),
            "{page}"
        );
    }
    let wanted = |own: &Value| own["wanted_mm"].as_f64().unwrap();
    // Two steps apart, of 0.055 each.
    assert!((wanted(&apart[1]) - wanted(&apart[0]) - 0.11).abs() < 1e-9);
    for agree in [
        ["4, 4, 4", "4, 4, 4"],
        ["4, 4, 4", "5, 5, 5"],
        ["4, 4, 5", "5, 5, 4"],
    ] {
        let (page, none) = told(agree);
        assert!(
            none.is_empty() && !page.contains("gaps.joint"),
            "{agree:?}: {page}"
        );
    }
}

#[test]
fn ladders_lie_where_threads_begin_to_run_whatever_a_kit_wants() {
    let room = shell::room();
    let drawn = |kit: &str, arguments: &[&str]| {
        fs::write(room.path().join("kit.toml"), kit).unwrap();
        // Every set of test pieces has a folder of its own.
        let folder = format!("c{}", arguments.len());
        let all = [&["coupon", "kit.toml", "--out", &folder], arguments].concat();
        done(room.path(), &all);
        let form = fs::read_to_string(room.path().join(folder).join("form.toml")).unwrap();
        let told = |ladder: Ladder| (ladder.name, ladder.gaps, ladder.wanted);
        let all: Vec<_> = ladders(&form).into_iter().map(told).collect();
        all
    };
    let gaps = |kit: &str| -> Vec<Vec<f64>> {
        let all = drawn(kit, &[]).into_iter();
        all.map(|(_, gaps, _)| gaps).collect()
    };
    let wide = format!("{KIT}gaps.thread = 0.2\ngaps.slide = 0.3\ngaps.press = -0.2\n");
    let narrow = format!("{KIT}gaps.thread = 0.0\ngaps.slide = 0.05\ngaps.press = -0.05\n");
    assert_eq!(gaps(KIT), gaps(&wide));
    assert_eq!(gaps(KIT), gaps(&narrow));
    // A joint that asks for its own gap is tried as any other, and its own is told anew from what the
    // kit wants of threads.
    let own = format!("{KIT}gaps.joint.\"inner/drive\" = 0.14\n");
    let joint = ["--joint", "inner/drive"];
    let (plain, asked) = (drawn(KIT, &joint), drawn(&own, &joint));
    assert_eq!(plain, asked);
    assert_eq!(plain[0].2, 0.1);
}
