//! Rule file `overhang.rs`: ledges, bridges and holes that print, and such that do not.

use super::*;
use crate::assembly::{Contour, Outline, Placed, Pose, Shape, Solid, Turned};

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn turned(corners: &[(f64, f64)]) -> Solid {
    Solid::Turned(Turned {
        outer: Contour {
            corners: corners.iter().map(|(z, r)| (mm(*z), mm(*r))).collect(),
            threads: Vec::new(),
        },
        bore: None,
    })
}

fn uncut(solid: Solid) -> Shape {
    Shape {
        base: Placed {
            pose: Pose::identity(),
            solid,
        },
        within: Vec::new(),
        joined: Vec::new(),
        cut: Vec::new(),
        genus: 0,
    }
}

/// A block, 60 along x, 12 along y and 50 high, with a tool cut through it along y at half its
/// height.
fn cut_through(tool: Solid) -> Shape {
    let outline = Outline::Rectangle {
        x: mm(60.0),
        y: mm(12.0),
    };
    let block = Solid::Prism(vec![(mm(0.0), outline.clone()), (mm(50.0), outline)]);
    // Local z runs along y, local y upwards.
    let pose = Pose::axes([-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]);
    Shape {
        cut: vec![Placed {
            pose: pose.shifted(mm(0.0), mm(0.0), mm(25.0)),
            solid: tool,
        }],
        genus: 1,
        ..uncut(block)
    }
}

fn prism(outline: Outline) -> Solid {
    Solid::Prism(vec![(mm(-10.0), outline.clone()), (mm(10.0), outline)])
}

#[test]
fn a_ledge_holds_to_a_millimetre_and_a_half() {
    let with = |reach: f64| {
        let ledge = turned(&[
            (0.0, 8.0),
            (10.0, 8.0),
            (10.0, 8.0 + reach),
            (14.0, 8.0 + reach),
        ]);
        judged_shape(uncut(ledge), "overhang")
    };
    assert_eq!(with(1.45).outcome, Outcome::Pass);
    let wide = with(1.6);
    assert_eq!(wide.outcome, Outcome::Warn);
    approx::assert_abs_diff_eq!(wide.value.expect("a reach"), 1.6, epsilon = 0.02);
    assert!(wide.message.contains("z 10.0 mm"), "{}", wide.message);
    assert_eq!(with(4.4).outcome, Outcome::Warn);
    assert_eq!(with(4.6).outcome, Outcome::Fail);
}

#[test]
fn a_ceiling_with_a_hole_in_it_is_a_ledge_and_no_bridge() {
    // A bore of 7 under one of 2: the ring between them reaches in by 2.5.
    let contour = |corners: &[(f64, f64)]| Contour {
        corners: corners.iter().map(|(z, r)| (mm(*z), mm(*r))).collect(),
        threads: Vec::new(),
    };
    let block = turned(&[(0.0, 12.0), (20.0, 12.0)]);
    let tool = Solid::Turned(Turned {
        outer: contour(&[(-1.0, 3.5), (8.0, 3.5), (8.0, 1.0), (21.0, 1.0)]),
        bore: None,
    });
    let placed = Placed {
        pose: Pose::identity(),
        solid: tool,
    };
    let shape = Shape {
        cut: vec![placed],
        genus: 1,
        ..uncut(block)
    };
    let found = judged_shape(shape, "overhang");
    assert_eq!(found.outcome, Outcome::Warn);
    approx::assert_abs_diff_eq!(found.value.expect("a reach"), 2.5, epsilon = 0.02);
}

#[test]
fn a_cone_of_45_degrees_prints_and_a_flatter_one_hangs() {
    let with = |rise: f64| {
        let cone = turned(&[(0.0, 6.0), (2.0, 6.0), (2.0 + rise, 16.0), (30.0, 16.0)]);
        judged_shape(uncut(cone), "overhang")
    };
    assert_eq!(with(10.0).outcome, Outcome::Pass);
    assert_eq!(with(10.0).value, Some(0.0));
    // Ten out and nine up: 48 degrees, held at its foot alone.
    let flat = with(9.0);
    assert_eq!(flat.outcome, Outcome::Fail);
    approx::assert_abs_diff_eq!(flat.value.expect("a reach"), 10.0, epsilon = 0.05);
    assert!(flat.message.contains("48 degrees"), "{}", flat.message);
}

#[test]
fn a_ceiling_bridges_eight_millimetres() {
    let with = |span: f64| {
        let tunnel = Outline::Rectangle {
            x: mm(span),
            y: mm(10.0),
        };
        judged_shape(cut_through(prism(tunnel)), "overhang")
    };
    assert_eq!(with(7.9).outcome, Outcome::Pass);
    let wide = with(8.2);
    assert_eq!(wide.outcome, Outcome::Warn);
    approx::assert_abs_diff_eq!(wide.value.expect("a span"), 8.2, epsilon = 0.1);
    assert_eq!(with(24.6).outcome, Outcome::Fail);
}

#[test]
fn round_lying_holes_to_six_millimetres_and_teardrops_print() {
    let round = |diameter: f64| {
        let hole = turned(&[(-10.0, diameter / 2.0), (10.0, diameter / 2.0)]);
        judged_shape(cut_through(hole), "overhang")
    };
    assert_eq!(round(6.0).value, Some(0.0));
    // Above, its ceiling is measured: 0.713 of the diameter leans by more than 45.5 degrees.
    let wide = round(10.0);
    assert_eq!(wide.outcome, Outcome::Pass);
    approx::assert_abs_diff_eq!(wide.value.expect("a span"), 7.0, epsilon = 0.35);
    assert_eq!(round(13.0).outcome, Outcome::Warn);
    let teardrop = Outline::Teardrop {
        diameter: mm(13.0),
        ceiling: mm(3.9),
    };
    let found = judged_shape(cut_through(prism(teardrop)), "overhang");
    assert_eq!(found.outcome, Outcome::Pass);
    approx::assert_abs_diff_eq!(found.value.expect("a span"), 3.9, epsilon = 0.1);
}

#[test]
fn no_part_of_a_kit_needs_support() {
    let single = "name = \"t\"\nlayout = \"single\"\ndrive = \"M36\"\nstroke = 20\n";
    for kit in [&nested(GOOD), single] {
        for found in findings(kit, "overhang") {
            assert_eq!(found.outcome, Outcome::Pass, "{}", found.message);
        }
    }
}

#[test]
fn a_tunnel_spans_from_side_to_side_up_to_its_blind_end() {
    // A block of 30 by 40, with a lying tunnel from its near side, 17 deep: half its width from its
    // end that end is as near as its sides.
    let judged = |width: f64| {
        let outline = |x: f64, y: f64| Outline::Rectangle { x: mm(x), y: mm(y) };
        let standing = |x, y, [low, high]: [f64; 2]| {
            Solid::Prism(vec![(mm(low), outline(x, y)), (mm(high), outline(x, y))])
        };
        let tunnel = Placed {
            pose: Pose::shift(mm(0.0), mm(-12.0), mm(0.0)),
            solid: standing(width, 18.0, [10.0, 18.0]),
        };
        let shape = Shape {
            cut: vec![tunnel],
            ..uncut(standing(30.0, 40.0, [0.0, 30.0]))
        };
        judged_shape(shape, "overhang").outcome
    };
    assert_eq!(judged(6.0), Outcome::Pass);
    assert_eq!(judged(7.9), Outcome::Pass);
    assert_ne!(judged(9.0), Outcome::Pass);
}
