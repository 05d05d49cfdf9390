//! Gaps that a kit gives to one joint by itself, from the kit file to the written parts.

use crate::support::bench::in_parallel;
use crate::support::shell::{self, done, refused, unfolded};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Chords are coarse here: what is asked is which files change.
const NESTED: &str = "name = \"n\"\nlayout = \"nested\"\nhand_torque = 0.5\ndrive = \"M20x2.5\"\n\
    inner = \"M12x1.75\"\nstroke = 10\ntolerance = \"0.05 mm\"\n";
const INCH: &str = "name = \"i\"\nlayout = \"nested\"\nhand_torque = 0.5\nunits = \"inch\"\ndrive = \"1-8\"\n\
    inner = \"5/8-11\"\nstroke = 0.6\ntolerance = \"0.05 mm\"\npins = { buy = \"3/16 dowel\" }\n";
const SINGLE: &str = "name = \"s\"\nlayout = \"single\"\ndrive = \"M16x2\"\nstroke = 30\n\
    hand_torque = \"0.4 N m\"\ntolerance = \"0.05 mm\"\n";

/// Joints of the frame, with the parts that change with the gap of each.
///
/// The keeper's plug fills the guide, whose width goes with the slide.
const OF_ALL: [(&str, &str, &[&str]); 7] = [
    ("drive/frame", "thread", &["frame"]),
    ("carriage/frame", "slide", &["frame", "keeper"]),
    ("keeper/frame", "locate", &["keeper"]),
    ("keeper pin 1/frame", "press", &["frame"]),
    ("keeper pin 1/keeper", "locate", &["keeper"]),
    ("keeper pin 2/frame", "press", &["frame"]),
    ("keeper pin 2/keeper", "locate", &["keeper"]),
];
/// The inner screw's head grows with the hole of the cross pin, and what makes room for it.
const OF_NESTED: [(&str, &str, &[&str]); 4] = [
    ("inner/drive", "thread", &["drive"]),
    ("inner/carriage", "locate", &["carriage"]),
    ("cross pin/carriage", "press", &["carriage"]),
    ("cross pin/inner", "locate", &["drive", "frame", "inner"]),
];
/// The swivel's pins stand farther out where they have more room in the drive's groove.
const OF_SINGLE: [(&str, &str, &[&str]); 5] = [
    ("drive/carriage", "swivel", &["carriage", "drive"]),
    ("swivel pin 1/carriage", "press", &["carriage"]),
    (
        "drive/swivel pin 1",
        "swivel",
        &["carriage", "frame", "keeper"],
    ),
    ("swivel pin 2/carriage", "press", &["carriage"]),
    (
        "drive/swivel pin 2",
        "swivel",
        &["carriage", "frame", "keeper"],
    ),
];

/// What `make` wrote.
struct Made {
    report: Value,
    /// The mesh files by their parts' names.
    meshes: BTreeMap<String, Vec<u8>>,
}

fn made(kit: &str) -> Made {
    let room = shell::room();
    made_in(room.path(), kit)
}

fn made_in(room: &Path, kit: &str) -> Made {
    fs::write(room.join("kit.toml"), kit).unwrap();
    let told = done(
        room,
        &["make", "kit.toml", "--no-pictures", "--out", "o", "--json"],
    );
    let report: Value = serde_json::from_str(&told).unwrap();
    let files = report["files"].as_array().unwrap().iter();
    let files = files.filter_map(|file| file.as_str().unwrap().strip_suffix(".stl"));
    let meshes = files.map(|file| {
        let bytes = fs::read(room.join("o").join(format!("{file}.stl"))).unwrap();
        (file.strip_prefix("parts/").unwrap().to_owned(), bytes)
    });
    Made {
        meshes: meshes.collect(),
        report,
    }
}

impl Made {
    /// Wanted and drawn gap of every joint that has one to ask for, by name and kind.
    fn gaps(&self) -> BTreeMap<(String, String), [f64; 2]> {
        let joints = self.report["joints"].as_array().unwrap().iter();
        let word = |value: &Value| value.as_str().unwrap().to_owned();
        let own =
            joints.filter(|joint| !["seat", "stop"].contains(&joint["kind"].as_str().unwrap()));
        own.map(|joint| {
            let gap = ["wanted", "drawn"].map(|of| joint["gap_mm"][of].as_f64().unwrap());
            ((word(&joint["name"]), word(&joint["kind"])), gap)
        })
        .collect()
    }

    fn gap(&self, joint: &str, kind: &str) -> [f64; 2] {
        self.gaps()[&(joint.to_owned(), kind.to_owned())]
    }

    /// Names of the parts whose files differ.
    fn changed_from(&self, before: &Self) -> Vec<&str> {
        assert!(self.meshes.keys().eq(before.meshes.keys()));
        let pairs = self.meshes.iter().zip(before.meshes.values());
        let changed = pairs.filter(|((_, now), then)| now != then);
        changed.map(|((name, _), _)| name.as_str()).collect()
    }

    /// Whether nothing overlaps on the way, which at least one pair has to say.
    fn is_clear(&self) -> bool {
        let checks = self.report["checks"].as_array().unwrap().iter();
        let mut found = checks.filter(|check| check["id"] == "clearance").peekable();
        found.peek().is_some() && found.all(|check| check["outcome"] == "pass")
    }
}

#[test]
fn a_joint_with_a_gap_by_itself_changes_that_gap_alone_and_the_parts_that_carry_it() {
    for (kit, own) in [
        (NESTED, &OF_NESTED[..]),
        (INCH, &OF_NESTED),
        (SINGLE, &OF_SINGLE),
    ] {
        let before = made(kit);
        let joints = [&OF_ALL[..], own].concat();
        let named: Vec<_> = joints
            .iter()
            .map(|(joint, kind, _)| (*joint, *kind))
            .collect();
        for (joint, kind) in before.gaps().keys() {
            assert!(named.contains(&(joint, kind)), "{joint} has no row here");
        }
        // As much as threads bear; elsewhere more than half a layer, which moves all that follows.
        let more = |kind: &str| if kind == "thread" { 0.03 } else { 0.08 };
        let given = |(joint, kind, _): &(&str, &str, &[&str])| {
            let [wanted, _] = before.gap(joint, kind);
            made(&format!(
                "{kit}gaps.joint.\"{joint}\" = \"{:.3} mm\"\n",
                wanted + more(kind)
            ))
        };
        let all = in_parallel(&joints, given);
        for ((joint, kind, parts), after) in joints.iter().zip(all) {
            let mut expected = before.gaps();
            let key = ((*joint).to_owned(), (*kind).to_owned());
            let [wanted, drawn] = expected[&key];
            expected.insert(key, [wanted + more(kind), drawn + more(kind)]);
            for ((key, expected), found) in expected.iter().zip(after.gaps().values()) {
                for (expected, found) in expected.iter().zip(found) {
                    assert!(
                        (expected - found).abs() < 2e-6,
                        "{joint}: {key:?} is {found}"
                    );
                }
            }
            assert_eq!(after.changed_from(&before), *parts, "{joint}");
            assert!(after.is_clear(), "{joint}");
        }
    }
}

#[test]
fn the_gap_of_a_kind_moves_all_joints_of_it_but_one_that_has_its_own() {
    let plain = made(NESTED);
    let both = made(&format!("{NESTED}gaps = {{ thread = 0.07 }}\n"));
    let one = made(&format!(
        "{NESTED}gaps = {{ thread = 0.07, joint = {{ \"inner/drive\" = 0.1 }} }}\n"
    ));
    for joint in ["drive/frame", "inner/drive"] {
        assert_eq!(plain.gap(joint, "thread"), [0.1, 0.31]);
        assert_eq!(both.gap(joint, "thread"), [0.07, 0.28]);
    }
    assert_eq!(both.changed_from(&plain), ["drive", "frame"]);
    assert_eq!(one.gap("drive/frame", "thread"), [0.07, 0.28]);
    assert_eq!(one.gap("inner/drive", "thread"), [0.1, 0.31]);
    assert_eq!(one.changed_from(&plain), ["frame"]);
}

/// Least distance from the axis of the corners of a binary STL, between two depths below its top,
/// in mm.
fn least_radius(stl: &[u8], depths: [f32; 2]) -> f64 {
    let facets = stl[84..].chunks_exact(50);
    let corners = facets.flat_map(|facet| facet[12..48].chunks_exact(12));
    let points: Vec<[f32; 3]> = corners
        .map(|corner| {
            [0, 4, 8].map(|at| f32::from_le_bytes(corner[at..at + 4].try_into().unwrap()))
        })
        .collect();
    let top = points.iter().fold(f32::MIN, |top, point| top.max(point[2]));
    let inside = points
        .iter()
        .filter(|point| (depths[0]..depths[1]).contains(&(top - point[2])));
    let squares =
        inside.map(|[x, y, _]| f64::from(*x) * f64::from(*x) + f64::from(*y) * f64::from(*y));
    squares.fold(f64::MAX, f64::min).sqrt()
}

#[test]
fn two_threads_with_different_gaps_are_written_with_different_bores() {
    let made = made(&format!(
        "{NESTED}[gaps.joint]\n\"drive/frame\" = 0.02\n\"inner/drive\" = 0.11\n"
    ));
    // Minor diameters of ISO 724: 17.294 and 10.106 mm. Nothing of the frame stands nearer to the
    // axis than its tapped wall; the drive's bore is tapped below its mouth.
    for (part, minor, joint, wanted, depths) in [
        ("frame", 17.294, "drive/frame", 0.02, [-1.0, f32::MAX]),
        ("drive", 10.106, "inner/drive", 0.11, [4.0, 12.0]),
    ] {
        let [told, drawn] = made.gap(joint, "thread");
        assert!((told - wanted).abs() < 1e-9 && (drawn - wanted - 0.21).abs() < 1e-9);
        let bore = least_radius(&made.meshes[part], depths);
        assert!((bore - minor / 2.0 - drawn).abs() < 1e-3, "{part}: {bore}");
    }
}

#[test]
fn a_later_run_names_the_part_to_reprint_and_its_gap() {
    let room = shell::room();
    made_in(room.path(), NESTED);
    let kit = format!("{NESTED}gaps.joint.\"inner/drive\" = 0.07\n");
    fs::write(room.path().join("kit.toml"), kit).unwrap();
    let page = done(
        room.path(),
        &["make", "kit.toml", "--no-pictures", "--out", "o", "--all"],
    );
    let since = unfolded(page.split("Since the last run").nth(1).unwrap());
    assert!(
        since.starts_with("reprint drive: thread gap 0.31 to 0.28 mm; revision "),
        "{since}"
    );
    let kept = since.split("keep ").nth(1).unwrap();
    for part in ["frame", "carriage", "pin", "inner", "keeper"] {
        assert!(kept.contains(part), "{since}");
    }
    assert_eq!(since.matches("reprint").count(), 1, "{since}");
}

/// What `check` says of a kit that it refuses.
fn told(kit: &str) -> String {
    let room = shell::room();
    fs::write(room.path().join("kit.toml"), kit).unwrap();
    unfolded(&refused(room.path(), 1, &["check", "kit.toml"]))
}

#[test]
fn a_joint_that_a_kit_has_not_is_refused_at_its_place_with_a_name_that_it_has() {
    let near = told(&format!("{NESTED}gaps.joint.\"drive/frme\" = 0.1\n"));
    assert!(near.contains("there is no joint `drive/frme`"), "{near}");
    assert!(near.contains("kit.toml, line 8, column 12"), "{near}");
    assert!(near.contains("write `\"drive/frame\"`"), "{near}");
    // A joint of the other layout.
    let other = told(&format!("{SINGLE}gaps.joint.\"inner/drive\" = 0.1\n"));
    assert!(other.contains("there is no joint `inner/drive`"), "{other}");
    assert!(other.contains("kit.toml, line 7, column 12"), "{other}");
    // None is near: all are named.
    let none = told(&format!("{NESTED}gaps.joint.\"gizmo\" = 0.1\n"));
    let joints = OF_ALL.iter().chain(&OF_NESTED);
    for (joint, _, _) in joints {
        assert!(none.contains(joint), "{joint}: {none}");
    }
}

#[test]
fn a_gap_below_the_least_of_its_fit_is_refused_and_the_mend_is_taken() {
    let kit = format!("{NESTED}[gaps.joint]\n\"carriage/frame\" = -0.1\n");
    let tight = told(&kit);
    assert!(tight.contains("kit.toml, line 9, column 20"), "{tight}");
    assert!(
        tight.contains("is -0.1 mm, at least 0 mm for a slide fit"),
        "{tight}"
    );
    let mend = tight
        .split("write `")
        .nth(1)
        .unwrap()
        .split('`')
        .next()
        .unwrap();
    let room = shell::room();
    let mended = kit.replace("\"carriage/frame\" = -0.1", mend);
    assert_ne!(mended, kit);
    fs::write(room.path().join("kit.toml"), mended).unwrap();
    let output = shell::netlead(room.path(), &["check", "kit.toml"]);
    // A slide without a gap is a finding of the rules, no fault of the file.
    let said = shell::stderr(&output);
    assert!(!said.contains("for a slide fit"), "{said}");
    // A thread may bed in, a press has to.
    made(&format!(
        "{NESTED}gaps.joint.\"cross pin/carriage\" = -0.14\n"
    ));
}
