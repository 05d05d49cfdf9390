//! Puzzles with a known answer.

use super::pieces::{Puzzle, block, screw, shape, tapped, turned};
use crate::support::{cases, left, mm, right};
use approx::assert_abs_diff_eq;
use netlead::assembly::Shape;
use netlead::sequence::{Jam, Order};
use netlead::thread::Thread;
use proptest::prelude::*;

/// One of every sort, free and stuck.
pub(crate) fn all() -> Vec<Puzzle> {
    vec![
        discs_in_a_cup(),
        captive_nut(),
        tongue_in_a_tray(),
        two_heads(),
        stud(&left(16.0, 2.0)),
    ]
}

/// Why a puzzle does not come apart, or a failure that shows how it does.
fn jam(puzzle: &Puzzle) -> Jam {
    match puzzle.order() {
        Order::Stuck(jam) => jam,
        other => panic!("{other:?}"),
    }
}

/// Names of the stuck pieces, sorted.
fn stuck(puzzle: &Puzzle, jam: &Jam) -> Vec<&'static str> {
    let mut names: Vec<_> = jam.pieces.iter().map(|piece| puzzle.name(*piece)).collect();
    names.sort_unstable();
    names
}

/// A round cup, open towards +z: 15 mm inside, a floor 5 thick.
fn cup() -> Shape {
    shape(
        turned(&[(0.0, 20.0), (40.0, 20.0)]),
        vec![],
        vec![turned(&[(5.0, 15.0), (41.0, 15.0)])],
        0,
    )
}

fn disc(from: f64, to: f64) -> Shape {
    shape(turned(&[(from, 14.8), (to, 14.8)]), vec![], vec![], 0)
}

fn discs_in_a_cup() -> Puzzle {
    Puzzle::new(vec![
        ("cup", cup()),
        ("middle", disc(11.0, 16.0)),
        ("top", disc(17.0, 22.0)),
        ("bottom", disc(5.1, 10.0)),
    ])
}

#[test]
fn discs_in_a_cup_have_one_order_only() {
    let puzzle = discs_in_a_cup();
    assert_eq!(puzzle.told(), ["top +z", "middle +z", "bottom +z"]);
}

/// A plate 10 thick with a hole of a diameter.
fn plate(hole: f64) -> Shape {
    shape(
        block([-20.0, -20.0, 0.0], [20.0, 20.0, 10.0]),
        vec![],
        vec![turned(&[(-1.0, hole / 2.0), (11.0, hole / 2.0)])],
        1,
    )
}

/// A shaft of 10 mm with a head of 16 mm, 3 mm off the plate's upper face.
fn headed() -> Vec<(f64, f64)> {
    vec![(-12.0, 5.0), (13.0, 5.0), (13.0, 8.0), (18.0, 8.0)]
}

#[test]
fn a_shaft_with_one_head_leaves_on_the_heads_side() {
    let pin = shape(turned(&headed()), vec![], vec![], 0);
    let puzzle = Puzzle::new(vec![("plate", plate(10.4)), ("pin", pin)]);
    assert_eq!(puzzle.told(), ["pin +z"]);
}

fn two_heads() -> Puzzle {
    // A second head of 17 mm below, 2 mm off the lower face.
    let mut corners = vec![(-12.0, 8.5), (-2.0, 8.5), (-2.0, 5.0)];
    corners.extend(headed().into_iter().skip(1));
    let pin = shape(turned(&corners), vec![], vec![], 0);
    let other = shape(block([30.0, 0.0, 0.0], [35.0, 5.0, 5.0]), vec![], vec![], 0);
    Puzzle::new(vec![("plate", plate(10.4)), ("block", other), ("pin", pin)])
}

#[test]
fn a_head_that_is_wider_than_the_opening_is_stuck_and_said_so() {
    let puzzle = two_heads();
    let jam = jam(&puzzle);
    assert_eq!(stuck(&puzzle, &jam), ["pin", "plate"]);
    assert!(jam.proved, "{jam:?}");
    assert_eq!(jam.causes.len(), 1);
    let clash = &jam.causes[0][0];
    // The way with the least in it: the smaller head, 3 mm off, (16 - 10.4) / 2 too wide on a
    // side, to within a row of 0.05 and two chords of 0.02.
    assert_abs_diff_eq!(clash.motion.distance.as_mm().abs(), 3.0, epsilon = 1e-6);
    let [least, most] = clash.too_wide.unwrap();
    assert_abs_diff_eq!(most.as_mm(), 2.8, epsilon = 0.1);
    assert!(least <= most && least > mm(0.1));
    assert_abs_diff_eq!(
        clash.point[2].clamp(0.0, 10.0),
        clash.point[2],
        epsilon = 3.001
    );
}

#[test]
fn a_piece_in_a_closed_end_is_stuck() {
    // A tube with two floors around a disc: nothing gets in or out.
    let tube = shape(
        turned(&[(0.0, 20.0), (40.0, 20.0)]),
        vec![],
        vec![
            turned(&[(-1.0, 3.0), (41.0, 3.0)]),
            turned(&[(5.0, 15.0), (35.0, 15.0)]),
        ],
        1,
    );
    let puzzle = Puzzle::new(vec![("tube", tube), ("disc", disc(11.0, 16.0))]);
    let jam = jam(&puzzle);
    assert_eq!(stuck(&puzzle, &jam), ["disc", "tube"]);
    assert!(jam.proved);
}

/// A block tapped from below, with a floor.
fn blind(thread: &Thread) -> Shape {
    shape(
        block([-20.0, -20.0, 0.0], [20.0, 20.0, 30.0]),
        vec![],
        vec![tapped(thread, 0.0, 24.0, true)],
        0,
    )
}

fn stud(thread: &Thread) -> Puzzle {
    let stud = shape(screw(thread, -20.0, 18.0), vec![], vec![], 0);
    Puzzle::new(vec![("block", blind(thread)), ("screw", stud)])
}

#[test]
fn a_screw_in_a_blind_hole_leaves_only_by_unscrewing_its_hand() {
    for (thread, told) in [
        // Out towards -z, seen along +z: a right-hand screw counter-clockwise.
        (right(16.0, 2.0), "screw counter-clockwise -z"),
        (left(16.0, 2.0), "screw clockwise -z"),
    ] {
        let puzzle = stud(&thread);
        assert_eq!(puzzle.told(), [told]);
        let order = puzzle.order();
        // Engaged from the hole's mouth (its tool begins 1 mm below) to the screw's end at 18:
        // 19 mm of a lead of 2 mm.
        let turns = order.removals()[0].motion.turns.abs();
        assert_abs_diff_eq!(turns, 19.0 / 2.0, epsilon = 1e-9);
    }
}

fn captive_nut() -> Puzzle {
    // A block with a slot for the nut, open towards +x, and a bore along z through both.
    let bore = |from: f64, to: f64| turned(&[(from, 5.2), (to, 5.2)]);
    let holder = shape(
        block([-20.0, -20.0, 0.0], [20.0, 20.0, 40.0]),
        vec![],
        vec![
            bore(-1.0, 41.0),
            block([-10.2, -10.2, 14.8], [21.0, 10.2, 25.2]),
        ],
        2,
    );
    let nut = shape(
        block([-10.0, -10.0, 15.0], [10.0, 10.0, 25.0]),
        vec![],
        vec![bore(14.0, 26.0)],
        1,
    );
    let shaft = shape(turned(&[(2.0, 5.0), (60.0, 5.0)]), vec![], vec![], 0);
    Puzzle::new(vec![("holder", holder), ("nut", nut), ("shaft", shaft)])
}

#[test]
fn a_captive_nut_goes_in_sideways_before_the_shaft() {
    let puzzle = captive_nut();
    assert_eq!(puzzle.told(), ["shaft +z", "nut +x"]);
    // Put together, the nut comes first because the shaft would be in its way.
    let order = puzzle.order();
    let wait = order.removals()[1].waits[0];
    assert_eq!(
        (puzzle.name(wait.blocker), puzzle.name(wait.blocked)),
        ("shaft", "nut")
    );
}

fn tongue_in_a_tray() -> Puzzle {
    // A tongue in a tray moves along y alone; the case leaves no room for that.
    let case = shape(
        block([-20.0, -20.0, 0.0], [20.0, 20.0, 30.0]),
        vec![],
        vec![block([-15.0, -15.0, 5.0], [15.0, 15.0, 31.0])],
        0,
    );
    let tray = shape(
        block([-14.8, -14.8, 5.2], [14.8, 14.8, 20.0]),
        vec![],
        vec![block([-5.2, -16.0, 9.8], [5.2, 16.0, 15.2])],
        1,
    );
    let tongue = shape(
        block([-5.0, -14.8, 10.0], [5.0, 14.8, 15.0]),
        vec![],
        vec![],
        0,
    );
    Puzzle::new(vec![("case", case), ("tray", tray), ("tongue", tongue)])
}

#[test]
fn what_only_comes_apart_outside_leaves_as_a_group() {
    let puzzle = tongue_in_a_tray();
    assert_eq!(puzzle.told(), ["tongue tray +z", "- tongue +y"]);
}

#[test]
fn the_order_of_the_list_does_not_matter() {
    let pieces = || {
        vec![
            ("cup", cup()),
            ("middle", disc(11.0, 16.0)),
            ("top", disc(17.0, 22.0)),
            ("bottom", disc(5.0, 10.0)),
        ]
    };
    let told = Puzzle::new(pieces()).told();
    for shift in 1..3 {
        let mut turned = pieces();
        turned[1..].rotate_left(shift);
        assert_eq!(Puzzle::new(turned).told(), told);
    }
}

#[test]
fn pieces_that_overlap_or_hold_each_other_inside_are_said_so_before_any_motion() {
    let cube = |low: f64, high: f64| {
        let base = block([low; 3], [high; 3]);
        shape(base, vec![], vec![], 0)
    };
    // Corner in corner, 1 mm deep; then one wholly inside the other.
    for (other, inside) in [(cube(4.0, 9.0), false), (cube(2.0, 3.0), true)] {
        let puzzle = Puzzle::new(vec![("one", cube(0.0, 5.0)), ("other", other)]);
        let Order::Overlapping(pairs) = puzzle.order() else {
            panic!("{:?}", puzzle.order())
        };
        assert_eq!(pairs.len(), 1);
        assert_eq!(pairs[0].1.depth.as_mm().is_infinite(), inside);
    }
    // Face on face is no overlap.
    let apart = Puzzle::new(vec![("one", cube(0.0, 5.0)), ("other", cube(5.0, 9.0))]);
    assert!(matches!(apart.order(), Order::Apart { .. }));
}

/// A brick's lowest corner and size, and which of the six ways it comes in on.
type Added = ([i32; 3], [i32; 3], usize);

fn added() -> impl Strategy<Value = Vec<Added>> {
    let three = |range: std::ops::Range<i32>| [range.clone(), range.clone(), range];
    let one = (three(-6..6), three(1..5), 0..6usize);
    proptest::collection::vec(one, 4..20)
}

/// Whether a brick passes another on its way out, by whole numbers.
fn passes(brick: [[i32; 3]; 2], other: [[i32; 3]; 2], way: usize) -> bool {
    let axis = way / 2;
    let beside = (0..3)
        .filter(|other_axis| *other_axis != axis)
        .any(|at| brick[1][at] <= other[0][at] || other[1][at] <= brick[0][at]);
    let behind = if way.is_multiple_of(2) {
        other[1][axis] <= brick[0][axis]
    } else {
        other[0][axis] >= brick[1][axis]
    };
    beside || behind
}

proptest! {
    #![proptest_config(cases(12))]

    /// Bricks that were added along ways that whole numbers say are free come apart again on
    /// their meshes, faces in contact and all.
    #[test]
    fn prop_what_was_added_along_free_ways_comes_apart_again(bricks in added()) {
        let mut built = vec![[[-2; 3], [2; 3]]];
        for (low, size, way) in bricks {
            let brick = [low, [0, 1, 2].map(|axis| low[axis] + size[axis])];
            if built.len() < 7 && built.iter().all(|other| passes(brick, *other, way)) {
                built.push(brick);
            }
        }
        let pieces = built.iter().map(|brick| {
            let [low, high] = brick.map(|corner| corner.map(f64::from));
            ("brick", shape(block(low, high), vec![], vec![], 0))
        });
        let order = Puzzle::new(pieces.collect()).order();
        prop_assert!(matches!(order, Order::Apart { .. }), "{built:?}: {order:?}");
    }
}
