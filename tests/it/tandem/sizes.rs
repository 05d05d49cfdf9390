//! Sizes against a table that was worked by hand from the sizing rules, at layers of 0.15 mm and a
//! drawn thread gap of 0.25 mm, and proved on meshes of another kernel.

use super::{inches, metric};
use crate::support::kits::{self, design};
use crate::support::right;
use crate::support::sizes::told;
use netlead::kit::Kit;
use netlead::layout::Design;

/// What rounding in the table and the last digit of inch threads leave, in mm or turns.
const TABLED: f64 = 0.0051;

/// One column: names and values.
type Column = [(&'static str, f64); 24];

fn columns() -> [(Kit, Column); 3] {
    let stout = kits::tandem(right(30.0, 3.5), right(20.0, 2.5), 25.0);
    [
        (
            metric(),
            [
                ("net lead", 0.50),
                ("turns", 16.00),
                ("play", 0.777),
                ("over-travel", 2.08),
                ("nut height", 17.25),
                ("pin", 5.00),
                ("tapped wall", 23.85),
                ("shoulder", 35.90),
                ("thick thread", 87.90),
                ("head face", -52.00),
                ("rear bore", 15.55),
                ("rear face", 62.55),
                ("carriage length", 45.00),
                ("carriage width", 30.00),
                ("frame width", 40.40),
                ("floor", -16.60),
                ("frame top", 19.88),
                ("keeper pins", 12.10),
                ("nut", 84.20),
                ("tip", 112.19),
                ("keeper face", 116.10),
                ("plug", 13.05),
                ("frame length", 129.15),
                ("head gap at the far end", 12.00),
            ],
        ),
        (
            stout,
            [
                ("net lead", 1.00),
                ("turns", 25.00),
                ("play", 0.777),
                ("over-travel", 1.04),
                ("nut height", 23.85),
                ("pin", 5.50),
                ("tapped wall", 34.80),
                ("shoulder", 45.20),
                ("thick thread", 143.25),
                ("head face", -98.05),
                ("rear bore", 23.95),
                ("rear face", 91.80),
                ("carriage length", 60.00),
                ("carriage width", 40.00),
                ("frame width", 50.40),
                ("floor", -21.55),
                ("frame top", 24.15),
                ("keeper pins", 15.35),
                ("nut", 121.85),
                ("tip", 154.52),
                ("keeper face", 177.30),
                ("plug", 13.50),
                ("frame length", 190.80),
                ("head gap at the far end", 10.55),
            ],
        ),
        (
            inches(),
            [
                ("net lead", 0.866),
                ("turns", 14.67),
                ("play", 0.777),
                ("over-travel", 1.20),
                ("nut height", 19.50),
                ("pin", 5.00),
                ("tapped wall", 29.85),
                ("shoulder", 40.11),
                ("thick thread", 97.05),
                ("head face", -56.94),
                ("rear bore", 22.30),
                ("rear face", 59.70),
                ("carriage length", 54.00),
                ("carriage width", 36.00),
                ("frame width", 46.40),
                ("floor", -18.75),
                ("frame top", 20.90),
                ("keeper pins", 13.04),
                ("nut", 88.10),
                ("tip", 116.35),
                ("keeper face", 126.90),
                ("plug", 13.05),
                ("frame length", 139.95),
                ("head gap at the far end", 10.37),
            ],
        ),
    ]
}

/// What a design has of the table's sizes.
fn found(design: &Design, name: &str) -> f64 {
    let of = |part: &str, size: &str| {
        let size = told(design, part, size);
        size.unwrap_or_else(|| panic!("the {part} does not tell its {size:?}"))
            .as_mm()
    };
    let course = &design.course;
    let lead = of("drive", "drive thread's lead");
    let head_face = of("drive", "thread end") - of("drive", "thread length");
    match name {
        "net lead" => design.net_lead.as_mm(),
        "turns" => course.turns,
        "play" => {
            let joints = design.assembly.joints.iter();
            joints
                .filter_map(|joint| joint.axial_play)
                .map(|play| play.as_mm())
                .sum()
        }
        "over-travel" => course.over_travel,
        "nut height" => of("nut", "height"),
        "pin" => of("pin", "diameter"),
        "tapped wall" => of("frame", "tapped wall"),
        "shoulder" => of("drive", "thread end"),
        "thick thread" => of("drive", "thread length"),
        "head face" => head_face,
        "rear bore" => of("carriage", "depth of the rear bore"),
        "rear face" => of("nut", "place") - of("carriage", "nut's place"),
        "carriage length" => of("carriage", "length"),
        "carriage width" => of("carriage", "width"),
        "frame width" => of("pin", "side of the frame"),
        "floor" => of("carriage", "floor"),
        "frame top" => {
            // The rib, 12 mm wide, stands on a roof of 45 degrees; 3 mm of frame beside the slot.
            let foot = of("carriage", "roof") + (of("carriage", "width") - 12.0) / 2.0;
            foot + of("frame", "slide gap") * 2f64.sqrt() + 3.0
        }
        "keeper pins" => of("keeper", "pin offset"),
        "nut" => of("nut", "place"),
        "tip" => of("drive", "thin thread's end"),
        "keeper face" => of("frame", "length") - of("keeper", "plug"),
        "plug" => of("keeper", "plug"),
        "frame length" => of("frame", "length"),
        "head gap at the far end" => -head_face - lead * course.turns,
        other => panic!("no size is called {other}"),
    }
}

#[test]
fn sizes_are_those_of_the_worked_table() {
    for (kit, column) in columns() {
        let design = design(&kit);
        for (name, value) in column {
            let found = found(&design, name);
            assert!(
                (found - value).abs() < TABLED,
                "{name}: {found}, not {value}"
            );
        }
    }
}

#[test]
fn what_breaks_the_thin_core_does_not_bend_the_walls_around_its_nut_beyond_their_strength() {
    // PLA: 20 MPa across the layers at a notch of 2, 40 MPa in their plane (docs/printing.md). A strip
    // clamped at both ends and evenly pressed bears 6 (W l / 12) / (l tw^2).
    for (thick, thin) in [
        ((20.0, 2.5), (12.0, 1.75)),
        ((24.0, 3.0), (16.0, 2.0)),
        ((30.0, 3.5), (20.0, 2.5)),
        ((36.0, 4.0), (27.0, 3.0)),
        ((45.0, 4.5), (36.0, 4.0)),
    ] {
        let design = design(&kits::tandem(
            right(thick.0, thick.1),
            right(thin.0, thin.1),
            10.0,
        ));
        let of = |part: &str, size: &str| told(&design, part, size).unwrap().as_mm();
        let before = of("carriage", "nut's place")
            - of("carriage", "depth of the rear bore")
            - of("carriage", "nut's axial gap");
        let behind = of("carriage", "length")
            - of("carriage", "nut's place")
            - of("nut", "height")
            - of("carriage", "nut's axial gap");
        let wall = before.min(behind);
        let core = thin.0 - 1.0825 * thin.1;
        let push = 20.0 / 2.0 * std::f64::consts::PI / 4.0 * core * core;
        let bent = push / (2.0 * wall * wall);
        assert!(bent < 40.0, "{thin:?}: {bent} MPa in {wall} mm");
    }
}
