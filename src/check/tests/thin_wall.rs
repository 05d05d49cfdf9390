//! Rule file `thin_wall.rs`: failing and just-passing walls of parts and of made-up tubes.

use super::*;
use crate::assembly::{Contour, Placed, Pose, Shape, Solid, Turned};

/// A tube 20 mm tall on a floor, open at the top.
fn tube(outside: f64, wall: f64) -> Shape {
    let contour = |corners: [(f64, f64); 2]| Contour {
        corners: corners.map(|(z, r)| (Length::mm(z), Length::mm(r))).into(),
        threads: Vec::new(),
    };
    let tube = Turned {
        outer: contour([(0.0, outside), (20.0, outside)]),
        bore: Some(contour([(5.0, outside - wall), (20.0, outside - wall)])),
    };
    Shape {
        base: Placed {
            pose: Pose::identity(),
            solid: Solid::Turned(tube),
        },
        within: Vec::new(),
        joined: Vec::new(),
        cut: Vec::new(),
        genus: 0,
    }
}

#[test]
fn a_tube_below_two_lines_fails_and_below_three_warns() {
    // Lines of 0.45: 0.90 and 1.35. Chords of 0.01 on both faces move a wall by so much.
    for (wall, outcome) in [
        (1.37, Outcome::Pass),
        (1.33, Outcome::Warn),
        (0.92, Outcome::Warn),
        (0.88, Outcome::Fail),
    ] {
        for outside in [6.0, 30.0] {
            let found = judged_shape(tube(outside, wall), "thin-wall");
            assert_eq!(found.outcome, outcome, "{wall} at {outside}");
            let measured = found.value.expect("a wall");
            approx::assert_abs_diff_eq!(measured, wall, epsilon = 0.011);
        }
    }
}

#[test]
fn the_wall_between_two_threads_is_found_on_the_mesh() {
    // M16 over M10, drawn gap 0.25: (13.835 - 10)/2 - 0.25 = 1.667 mm.
    let with = |line: &str| {
        let kit = format!("drive = \"M16\"\ninner = \"M10\"\nstroke = 10\nline = {line}");
        judged(&nested(&kit), "thin-wall", "drive")
    };
    let wall = with("0.45").value.expect("a wall");
    approx::assert_abs_diff_eq!(wall, 1.667, epsilon = 0.02);
    assert_eq!(with("0.54").outcome, Outcome::Pass);
    assert_eq!(with("0.57").outcome, Outcome::Warn);
    assert_eq!(with("0.82").outcome, Outcome::Warn);
    assert_eq!(with("0.85").outcome, Outcome::Fail);
}

#[test]
fn crests_of_threads_and_broken_edges_are_no_walls() {
    // A single layout's drive is solid, its crest 0.31 mm wide.
    let kit = "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\n";
    let drive = judged(kit, "thin-wall", "drive");
    assert!(drive.message.contains("no wall"), "{}", drive.message);
}
