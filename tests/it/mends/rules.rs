//! One table over all rules: the kits in which its mends are followed, or why there is nothing to
//! follow.

use super::followed::{By, fault, found, mendable};
use super::typed::ways;
use netlead::check::{self, Outcome};
use rayon::prelude::*;

/// What is to be done about a rule.
enum Tried {
    /// Kits of which each has a finding of it whose mend names something to type.
    In(By, &'static [&'static str]),
    /// Its mends name nothing to type, for this reason; kits that have a finding of it where one
    /// is known.
    Nothing(&'static str, &'static [&'static str]),
}
use Tried::{In, Nothing};

const NESTED: &str =
    "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10\n";
const NARROW: &str =
    "name = \"t\"\nlayout = \"nested\"\ndrive = \"M16\"\ninner = \"M10\"\nstroke = 10\n";
const OPEN: &str = "name = \"t\"\nlayout = \"nested\"\n";
const SINGLE: &str = "name = \"t\"\nlayout = \"single\"\n";

const INCH: &str = "name = \"t\"\nunits = \"inch\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\n\
     inner = \"M12x1.75\"\nstroke = 0.4\n";

/// A kit by its first word, and what it has besides.
fn text(kit: &str) -> String {
    let (base, more) = kit.split_once(' ').unwrap_or((kit, ""));
    let base = match base {
        "nested" => NESTED,
        "narrow" => NARROW,
        "open" => OPEN,
        "single" => SINGLE,
        "inch" => INCH,
        other => panic!("{other}"),
    };
    format!("{base}{}\n", more.replace("; ", "\n"))
}

const TABLE: &[(&str, Tried)] = &[
    (
        "net-lead",
        In(
            By::Sizes,
            &[
                "nested net_lead = 0.5",
                "single drive = \"M16\"; stroke = 9; net_lead = 1",
            ],
        ),
    ),
    (
        "advance",
        In(
            By::Sizes,
            &[
                "nested advance = \"counter-clockwise\"",
                "single drive = \"M16-LH\"; stroke = 9; advance = \"clockwise\"",
            ],
        ),
    ),
    (
        "drive-wall",
        In(
            By::Sizes,
            &[
                "narrow hand_torque = 0.3",
                "narrow hand_torque = 0.3; line = 0.56",
                "narrow hand_torque = 0.3; line = 0.5",
            ],
        ),
    ),
    (
        "thread-gap",
        In(
            By::Sizes,
            &[
                "nested gaps.thread = -0.3",
                "nested gaps.joint.\"drive/frame\" = -0.28",
            ],
        ),
    ),
    (
        "chords",
        In(
            By::Sizes,
            &["nested tolerance = 0.08", "nested tolerance = 0.04"],
        ),
    ),
    (
        "flank-overlap",
        In(
            By::Sizes,
            &[
                "nested gaps.thread = 0.4",
                "nested gaps.joint.\"inner/drive\" = 0.4",
                "nested layer = 0.3; gaps.thread = 0.3",
            ],
        ),
    ),
    (
        "kit-odds",
        In(
            By::Sizes,
            &[
                "nested gaps = { thread = -0.1, slide = 0, locate = 0 }",
                "nested pins.held_by = \"wall\"; odds = { warn = 0.99, fail = 0.1 }",
                "single drive = \"M16\"; stroke = 9; gaps = { swivel = 0, slide = 0, thread = -0.2 }",
            ],
        ),
    ),
    (
        "as-printed",
        In(
            By::Sizes,
            &[
                "nested gaps.thread = -0.05",
                "nested gaps.slide = 0.01",
                "nested layer = 0.21; gaps.thread = 0.04",
                "single drive = \"M16\"; stroke = 9; gaps.swivel = 0.01",
            ],
        ),
    ),
    (
        "engagement",
        In(
            By::Sizes,
            &[
                "nested sizes.tapped_wall = 12",
                "nested sizes = { inner_thread = 20, bore = 25 }",
                "single drive = \"M16\"; stroke = 9; sizes.tapped_wall = 9",
            ],
        ),
    ),
    (
        "stops",
        In(
            By::Sizes,
            &["nested sizes.thread_gap = 0; gaps.thread = 0.5"],
        ),
    ),
    (
        "clearance",
        Nothing(
            "which size of a kit has moved two meshes together is not told; what is to be left out or widened is named by its table",
            &[],
        ),
    ),
    (
        "several-starts",
        In(
            By::Sizes,
            &[
                "single drive = \"M24xPh2P1\"; stroke = 9; layer = 0.1",
                "single drive = \"24xPh2.4P1.2-LH\"; stroke = 9; layer = 0.1",
            ],
        ),
    ),
    (
        "layers-per-pitch",
        In(
            By::Sizes,
            &[
                "nested layer = 0.3",
                "nested layer = 0.25",
                "nested layer = 0.2",
            ],
        ),
    ),
    (
        "layer-support",
        In(
            By::Sizes,
            &[
                "nested layer = 0.25",
                "nested layer = 0.21",
                "nested layer = 0.2; line = 0.42",
            ],
        ),
    ),
    (
        "overhang",
        Nothing(
            "support is set where files are cut into layers, not in a kit",
            &[],
        ),
    ),
    (
        "thin-wall",
        In(By::Meshes, &["narrow line = 0.6; hand_torque = 0.3"]),
    ),
    (
        "stop-load",
        In(
            By::Sizes,
            &[
                "nested ",
                "nested load = \"250 N\"",
                "nested hand_torque = 45",
                "single drive = \"M16x2\"; stroke = 25; material = \"PETG\"; load = \"400 N\"",
                "single drive = \"M16x2\"; stroke = 25; material = \"PETG\"",
                "single drive = \"M12\"; stroke = 60; hand_torque = 9",
                "nested grease = true",
                "single drive = \"M16\"; stroke = 9; hand_torque = 9",
                "inch hand_torque = 45",
                "inch load = \"60 lbf\"",
            ],
        ),
    ),
    (
        "thread-strip",
        In(
            By::Sizes,
            &[
                "nested hand_torque = 45",
                "nested perimeters = { inner = 2 }; hand_torque = 0.05",
                "single drive = \"M20x2.5\"; stroke = 9; sizes.tapped_wall = 12; hand_torque = 9",
            ],
        ),
    ),
    (
        "flank-pressure",
        In(
            By::Sizes,
            &[
                "nested hand_torque = 45",
                "nested load = { force = 2000, lasting = true }",
            ],
        ),
    ),
    (
        "pin-bending",
        In(
            By::Sizes,
            &[
                "nested ",
                "single drive = \"M16x2\"; stroke = 25; material = \"PETG\"",
                "nested load = { force = 200, lasting = true }",
            ],
        ),
    ),
    (
        "press-stress",
        In(
            By::Sizes,
            &[
                "nested pins.held_by = \"wall\"; gaps.press = -0.08",
                "nested pins.held_by = \"wall\"; gaps.press = -0.03",
            ],
        ),
    ),
    (
        "buckling",
        In(
            By::Sizes,
            &[
                "open drive = \"M20x2.5\"; inner = \"M12x1.75\"; stroke = 60; hand_torque = 9",
                "single drive = \"M12\"; stroke = 60; hand_torque = 9",
            ],
        ),
    ),
    (
        "keeper-bending",
        In(By::Sizes, &["nested hand_torque = 45"]),
    ),
    ("frame-bending", In(By::Sizes, &["nested hand_torque = 45"])),
    (
        "end-bending",
        In(
            By::Sizes,
            &[
                "nested end = \"jaw\"; hand_torque = 1.2; perimeters = { carriage = 3, keeper = 3 }",
                "single drive = \"M20x2.5\"; stroke = 20; end = \"ears\"; hand_torque = 0.8; perimeters = { carriage = 3 }",
                "single drive = \"M24x3\"; stroke = 20; end = \"press\"; hand_torque = 4",
                "single drive = \"M20x2.5\"; stroke = 20; end = \"press\"; hand_torque = 2; perimeters = { keeper = 2 }",
                // The arm of a crank, hollow.
                "nested head.kind = \"crank\"; hand_torque = 10; perimeters.drive = 3",
                "nested head = { kind = \"crank\", arm = 90 }; hand_torque = 12; perimeters.drive = 3",
            ],
        ),
    ),
    (
        "safe-load",
        In(
            By::Sizes,
            &[
                "nested load = \"250 N\"",
                "nested load = { force = 200, lasting = true }",
                "inch load = \"60 lbf\"",
                "single drive = \"M16x2\"; stroke = 25; material = \"PETG\"; load = { force = 400, lasting = true }; hand_torque = 1",
            ],
        ),
    ),
    (
        "load-torque",
        In(
            By::Sizes,
            &[
                "nested load = { force = 40, torque = 0.1 }; hand_torque = 0.2",
                "inch load = { force = \"9 lbf\", torque = \"0.9 lbf in\" }; hand_torque = \"2 lbf in\"",
                "single drive = \"M16x2\"; stroke = 25; material = \"PETG\"; load = { force = 100, torque = 0.1 }; hand_torque = 1.3",
            ],
        ),
    ),
    (
        "tilt",
        In(
            By::Sizes,
            &[
                "nested load = { offset = 30 }; friction = [0.12, 0.38]",
                "nested load = { offset = 60 }",
            ],
        ),
    ),
    (
        "preload",
        In(
            By::Sizes,
            &[
                // Too weak: longer or thicker; the load may pull.
                "nested spring = { wire = 0.5, outside = 16, free = 21, coils = 8 }; hand_torque = 0.5",
                "nested spring = { wire = 1, outside = 16, free = 40, coils = 5 }; load = \"20 N\"; hand_torque = 0.5",
                "single drive = \"M20x2.5\"; stroke = 9; spring = { wire = 1, outside = 16, free = 40, coils = 5, pull = \"13 N\" }; hand_torque = 0.5",
                "inch spring = { wire = \"1 mm\", outside = \"16 mm\", free = \"40 mm\", coils = 5 }; load = \"5 lbf\"; hand_torque = \"4 lbf in\"",
                // It takes a set.
                "nested spring = { wire = 1, outside = 16, free = 60, coils = 5 }; hand_torque = 0.5",
                // It buckles.
                "nested spring = { wire = 1, outside = 10, free = 60, coils = 40 }; hand_torque = 0.5",
                // No thumb holds it down.
                "nested spring = { wire = 2, outside = 18, free = 45, coils = 5 }; hand_torque = 0.5",
                "nested spring = { wire = 2, outside = 18, free = 45, rate = \"6 N/mm\" }; hand_torque = 0.5",
            ],
        ),
    ),
    (
        "self-locking",
        In(
            By::Sizes,
            &[
                "single drive = \"20x4\"; stroke = 9; grease = true; hand_torque = 0.3",
                "single drive = \"M16\"; stroke = 9; friction = 0.04",
            ],
        ),
    ),
    (
        "keeper-bore",
        In(
            By::Sizes,
            &[
                "nested pins = { diameter = 8 }",
                "nested pins = { diameter = 7 }; sizes.carriage_diameter = 26",
            ],
        ),
    ),
    (
        "bed",
        In(
            By::Sizes,
            &[
                "nested bed = [220, 220, 90]",
                "single drive = \"M20x2.5\"; stroke = 90; bed = [200, 200, 150]",
                "nested end = \"press\"; sizes.throat = 230",
            ],
        ),
    ),
    (
        "beds",
        Nothing(
            "it counts runs of the printer",
            &["nested bed = [60, 60, 250]"],
        ),
    ),
    ("material", In(By::Sizes, &["nested material = \"PLA\""])),
    (
        "assembly-order",
        Nothing(
            "what is to be narrower or wider is named by its tables: which size it is, hangs on where the meshes meet",
            &[],
        ),
    ),
    (
        "start-turn",
        In(
            By::Sizes,
            &[
                "nested layer = 0.3; gaps.thread = -0.1",
                "nested layer = 0.35; gaps.thread = -0.1",
            ],
        ),
    ),
];

#[test]
fn every_rule_is_in_the_table_once() {
    let listed: Vec<&str> = TABLE.iter().map(|(id, _)| *id).collect();
    assert_eq!(listed, check::ids());
    let reasons = TABLE.iter().filter_map(|(_, tried)| match tried {
        Nothing(reason, _) => Some(*reason),
        In(..) => None,
    });
    for reason in reasons {
        assert!(reason.len() > 20, "{reason}");
    }
}

/// The faults of all ways of a rule in a kit, and how many ways there are.
fn tried(id: &str, by: By, kit: &str) -> (Vec<String>, usize) {
    let text = text(kit);
    let Some(before) = found(&text, by, false) else {
        return (vec![format!("{id}: refused is {text}")], 0);
    };
    let mut mends = mendable(&before, true);
    mends.retain(|mend| mend.finding.id == id);
    let ways = mends
        .iter()
        .flat_map(|mend| mend.ways.iter().map(|way| (&mend.finding, way)));
    let ways: Vec<_> = ways.collect();
    if ways.is_empty() {
        return (vec![format!("{id}: nothing to follow in {text}")], 0);
    }
    let faults = ways.iter();
    let faults = faults.filter_map(|(finding, way)| fault(&text, &before, finding, way, by));
    (faults.collect(), ways.len())
}

#[test]
fn what_a_rule_tells_to_type_mends_what_it_found() {
    let faults: Vec<String> = TABLE
        .par_iter()
        .flat_map(|(id, how)| match how {
            In(by, kits) => {
                let each: Vec<_> = kits.iter().map(|kit| tried(id, *by, kit)).collect();
                let faults: Vec<String> = each.into_iter().flat_map(|(faults, _)| faults).collect();
                faults
            }
            Nothing(..) => Vec::new(),
        })
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn a_rule_said_to_tell_nothing_to_type_tells_nothing() {
    for (id, how) in TABLE {
        let Nothing(_, kits) = how else { continue };
        let rule = check::rule(id).unwrap();
        assert!(ways(rule.mend).is_empty(), "{id}: {}", rule.mend);
        for kit in *kits {
            let findings = found(&text(kit), By::Meshes, false).unwrap();
            let own = findings.iter().filter(|finding| finding.id == *id);
            let open: Vec<_> = own
                .filter(|finding| finding.outcome > Outcome::Pass)
                .collect();
            assert!(!open.is_empty(), "{id} finds nothing in {kit}");
            for finding in open {
                let mend = finding.mend.as_deref().unwrap_or_default();
                assert!(ways(mend).is_empty(), "{id}: {mend}");
            }
        }
    }
}

#[test]
fn what_an_inch_kit_is_told_to_type_is_in_its_own_units() {
    let mut typed = [0; 2];
    for (id, how) in TABLE {
        let In(_, kits) = how else { continue };
        for kit in kits.iter().filter(|kit| kit.starts_with("inch ")) {
            let findings = found(&text(kit), By::Sizes, false).unwrap();
            for finding in findings {
                let mend = finding.mend.as_deref().unwrap_or_default();
                // Newtons stand in brackets, behind pounds.
                for metric in [" N m\"", " N\"", " N or less"] {
                    assert!(!mend.contains(metric), "{id} in {kit}: {mend}");
                }
                typed[0] += mend.matches(" lbf in\"").count();
                typed[1] += mend.matches(" lbf or less").count() + mend.matches(" lbf\"").count();
            }
        }
    }
    assert!(typed.iter().all(|count| *count > 2), "{typed:?}");
}
