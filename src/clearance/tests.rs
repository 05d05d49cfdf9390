//! Hand-made bodies of which a hand calculation tells what stands in whose way, and the
//! pieces of a preset.

use super::distance::Asked;
use super::*;
use crate::assembly::{
    Contour, Outline, Placed, Pose, Shape, Solid, ThreadForm, ThreadZone, Turned,
};
use crate::motion::Rate;
use crate::solid::{Mesh, mesh, overlap_volume, solid_mesh};
use crate::thread::{Hand, Thread};
use crate::units::Length;
use nalgebra::Vector3;

const X: [f64; 3] = [1.0, 0.0, 0.0];
const UP: [f64; 3] = [0.0, 0.0, 1.0];
const DOWN: [f64; 3] = [0.0, 0.0, -1.0];

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn fineness(chord: f64) -> Fineness {
    Fineness {
        row: mm(0.05),
        chord: mm(chord),
    }
}

fn contour(corners: &[(f64, f64)]) -> Contour {
    Contour {
        corners: corners.iter().map(|(z, r)| (mm(*z), mm(*r))).collect(),
        threads: Vec::new(),
    }
}

/// A solid about the axis, its chords within 0.01 mm.
fn turned(corners: &[(f64, f64)]) -> Solid {
    Solid::Turned(Turned {
        outer: contour(corners),
        bore: None,
    })
}

fn body_of(solid: &Solid) -> Body {
    body(&solid_mesh(solid, mm(0.01)))
}

fn body(mesh: &Mesh) -> Body {
    Body::with_threads(mesh, Vec::new(), fineness(0.01))
}

fn rod(radius: f64, from: f64, to: f64) -> Body {
    body_of(&turned(&[(from, radius), (to, radius)]))
}

/// A block about the axis, x by y, from a height to another.
fn block(x: f64, y: f64, from: f64, to: f64) -> Solid {
    let outline = Outline::Rectangle { x: mm(x), y: mm(y) };
    Solid::Prism(vec![(mm(from), outline.clone()), (mm(to), outline)])
}

fn here(solid: Solid) -> Placed {
    Placed {
        pose: Pose::identity(),
        solid,
    }
}

fn plain(base: Solid, cut: Vec<Solid>, genus: usize) -> Shape {
    Shape {
        base: here(base),
        within: Vec::new(),
        joined: Vec::new(),
        cut: cut.into_iter().map(here).collect(),
        genus,
    }
}

/// A block 30 x 30 x 20 with a bore through it.
fn bored(radius: f64) -> Body {
    let bore = turned(&[(-1.0, radius), (21.0, radius)]);
    let shape = plain(block(30.0, 30.0, 0.0, 20.0), vec![bore], 1);
    body(&mesh(&shape, mm(0.01)).unwrap())
}

fn straight(along: [f64; 3], reach: f64) -> Trajectory {
    Trajectory::Straight {
        along,
        reach: Some(mm(reach)),
    }
}

fn turning(lead: f64, reach: f64) -> Trajectory {
    Trajectory::Turning {
        lead: mm(lead),
        reach: Some(mm(reach)),
        up: reach > 0.0,
    }
}

#[test]
fn a_pin_leaves_its_bore_along_the_axis_but_not_across() {
    let (pin, hole) = (rod(4.9, -3.0, 23.0), bored(5.0));
    let pair = Pair::new(&pin, &hole);
    for way in [UP, DOWN] {
        assert!(!pair.blocked(&Trajectory::away(way)));
        assert_eq!(pair.obstacle(&Trajectory::away(way)), None);
    }
    for way in [X, [0.0, -1.0, 0.0], [1.0, 1.0, 0.3]] {
        assert!(pair.blocked(&Trajectory::away(way)), "{way:?}");
    }
    // Chords of both within 0.01 mm: the pin is met after 0.08 to 0.1 mm.
    let met = pair.obstacle(&Trajectory::away(X)).unwrap();
    let travel = met.free_travel.as_mm();
    assert!((0.08..=0.1).contains(&travel), "{travel}");
    let [x, y, _] = met.point;
    assert!(
        met.proven && ((x * x + y * y).sqrt() - 5.0).abs() < 0.011,
        "{met:?}"
    );
}

#[test]
fn a_head_is_met_by_a_bore_that_its_shank_passes() {
    // A head of radius 6 above, 2.5 mm off the face at 20.
    let screw = body_of(&turned(&[
        (-3.0, 4.9),
        (22.5, 4.9),
        (22.5, 6.0),
        (26.0, 6.0),
    ]));
    let hole = bored(5.0);
    let pair = Pair::new(&screw, &hole);
    assert!(!pair.blocked(&Trajectory::away(UP)));
    let met = pair.obstacle(&Trajectory::away(DOWN)).unwrap();
    approx::assert_abs_diff_eq!(met.free_travel.as_mm(), 2.5, epsilon = 1e-6);
    approx::assert_abs_diff_eq!(met.point[2], 20.0, epsilon = 1e-6);
    // From radius 5 to radius 6 it is too wide, to within a chord and a row.
    let too_wide = met.too_wide.unwrap().as_mm();
    assert!((too_wide - 1.0).abs() <= 0.05 + 0.02, "{too_wide}");
    let passes = met.passes.unwrap().as_mm();
    assert!((passes - 5.0).abs() <= 0.05 + 0.02, "{passes}");
    // Touching is free, a little more is not; turning meets the same face.
    for motion in [straight, |along: [f64; 3], by| turning(1.5, by * along[2])] {
        assert_eq!(pair.obstacle(&motion(DOWN, 2.5)), None);
        assert!(pair.obstacle(&motion(DOWN, 2.51)).is_some());
        assert_eq!(pair.obstacle(&motion(UP, 100.0)), None);
    }
    // Brought down onto the face, it cannot go on, and can leave.
    let down = pair.advanced(mm(-2.5));
    for motion in [straight, |along: [f64; 3], by| turning(1.5, by * along[2])] {
        assert!(down.obstacle(&motion(DOWN, 0.1)).is_some());
        assert_eq!(down.obstacle(&motion(UP, 0.1)), None);
    }
    assert_eq!(down.obstacle(&turning(0.0, 0.0)), None);
}

#[test]
fn faces_in_contact_slide_and_part_but_do_not_press() {
    let lower = body_of(&block(10.0, 10.0, 0.0, 5.0));
    let upper = body_of(&block(10.0, 10.0, 5.0, 9.0));
    let pair = Pair::new(&upper, &lower);
    for way in [UP, X, [0.0, 1.0, 0.0]] {
        assert!(!pair.blocked(&Trajectory::away(way)), "{way:?}");
        assert_eq!(pair.obstacle(&straight(way, 3.0)), None, "{way:?}");
    }
    assert!(pair.blocked(&Trajectory::away(DOWN)));
    let met = pair.obstacle(&straight(DOWN, 3.0)).unwrap();
    assert_eq!(met.free_travel, Length::ZERO);
}

#[test]
fn a_key_slides_out_of_its_slot_but_rings_do_not_let_it_turn() {
    // A bar across a slotted tube: turning, it would meet the slot's sides.
    let key = body_of(&block(28.0, 4.0, 5.0, 9.0));
    let slot = block(40.0, 4.4, 3.0, 30.0);
    let shape = plain(block(30.0, 30.0, 0.0, 20.0), vec![slot], 0);
    let slotted = body(&mesh(&shape, mm(0.01)).unwrap());
    let pair = Pair::new(&key, &slotted);
    assert!(!pair.blocked(&Trajectory::away(UP)));
    assert!(!pair.blocked(&Trajectory::away(X)));
    assert!(pair.blocked(&Trajectory::away(DOWN)));
    let met = pair.obstacle(&turning(0.0, 0.0)).unwrap();
    assert!(!met.proven);
}

#[test]
fn press_faces_can_be_relieved() {
    let (pin, hole) = (led_in(5.03, 0.01), bored(5.0));
    let pair = Pair::new(&pin, &hole);
    assert!(pair.blocked(&Trajectory::away(UP)));
    // 0.03 of press and two chords of 0.01.
    let relieved = pair.relieved(mm(0.05));
    assert_eq!(relieved.obstacle(&Trajectory::away(UP)), None);
    assert!(!relieved.blocked(&Trajectory::away(UP)));
    assert!(pair.relieved(mm(0.05)).blocked(&Trajectory::away(X)));
}

/// A pin from z -3 to 23 with a 45 degree lead-in of 0.5 mm at both ends.
fn led_in(radius: f64, chord: f64) -> Body {
    let solid = turned(&[
        (-3.0, radius - 0.5),
        (-2.5, radius),
        (22.5, radius),
        (23.0, radius - 0.5),
    ]);
    let mesh = solid_mesh(&solid, mm(chord));
    Body::with_threads(&mesh, Vec::new(), fineness(chord))
}

#[test]
fn a_pressed_pin_does_not_go_sideways_through_its_plate_however_fine_its_chords() {
    // A pin of 5.5 in a hole of 5.3, 0.1 a side. The facets of the finest are 0.15 mm wide
    // (2 root of 2 r c), what is relieved is 0.1 mm and two chords.
    for chord in [0.001, 0.01, 0.02] {
        let pin = led_in(2.75, chord);
        let bore = turned(&[(-1.0, 2.65), (21.0, 2.65)]);
        let shape = plain(block(30.0, 30.0, 0.0, 20.0), vec![bore], 1);
        let plate = mesh(&shape, mm(chord)).unwrap();
        let plate = Body::with_threads(&plate, Vec::new(), fineness(chord));
        for [a, b] in [[&pin, &plate], [&plate, &pin]] {
            let pair = Pair::new(a, b).relieved(mm(0.1 + 2.0 * chord));
            for way in [UP, DOWN] {
                assert!(!pair.blocked(&Trajectory::away(way)), "{chord} {way:?}");
            }
            for way in [X, [0.0, -1.0, 0.0], [1.0, 1.0, 0.0]] {
                assert!(pair.blocked(&Trajectory::away(way)), "{chord} {way:?}");
            }
        }
    }
}

/// M20x2.5 from z 0 to 20 with a chamfered end, or the block tapped for it with a radial gap.
fn screw(pitch: f64, crest: f64) -> Body {
    let thread = Thread::free(mm(20.0), mm(pitch), Hand::Right);
    let mut outer = contour(&[(0.0, 8.0), (3.0, 11.0), (17.0, 11.0), (20.0, 8.0)]);
    outer
        .threads
        .push(zone(&thread, [0.0, 20.0], 0.0, crest, true));
    threaded(Solid::Turned(Turned { outer, bore: None }), Vec::new(), 0)
}

fn zone(thread: &Thread, z: [f64; 2], shift: f64, crest: f64, external: bool) -> ThreadZone {
    ThreadZone {
        z: z.map(mm),
        form: ThreadForm {
            thread: thread.clone(),
            shift: mm(shift),
            crest: mm(crest),
            external,
        },
    }
}

fn threaded(base: Solid, cut: Vec<Solid>, genus: usize) -> Body {
    let shape = plain(base, cut, genus);
    let mesh = mesh(&shape, mm(0.02)).unwrap();
    Body::new(&mesh, &shape, &Pose::identity(), fineness(0.02))
}

/// Tapped from 2 to 14; closed by a plug at 14 to 15 if asked.
fn nut(shift: f64, crest: f64, plugged: bool) -> Body {
    let thread = Thread::free(mm(20.0), mm(2.5), Hand::Right);
    // Countersunk beyond the crests, as every hole that a screw is to enter.
    let [start, top, end] = if plugged {
        [11.5, 14.0, 10.5]
    } else {
        [12.0, 16.0, 12.0]
    };
    let mut outer = contour(&[(1.0, 12.0), (5.0, 8.0), (start, 8.0), (top, end)]);
    outer
        .threads
        .push(zone(&thread, [1.0, top], shift, crest, false));
    let tool = Solid::Turned(Turned { outer, bore: None });
    threaded(
        block(40.0, 40.0, 2.0, 15.0),
        vec![tool],
        usize::from(!plugged),
    )
}

#[test]
fn a_screw_turns_out_of_its_hole_along_its_lead_alone() {
    let (screw, nut) = (screw(2.5, 0.4), nut(0.2, 0.4, false));
    let pair = Pair::new(&screw, &nut);
    assert!(pair.engaged());
    assert_eq!((screw.threads().len(), nut.threads().len()), (1, 1));
    for up in [true, false] {
        assert_eq!(pair.obstacle(&Trajectory::unscrewed(mm(2.5), up)), None);
        // Another lead, or the other hand, jams.
        assert!(pair.blocked(&Trajectory::unscrewed(mm(2.0), up)));
        assert!(pair.blocked(&Trajectory::unscrewed(mm(-2.5), up)));
    }
    for way in [UP, DOWN, X] {
        assert!(pair.blocked(&Trajectory::away(way)));
        assert!(pair.obstacle(&Trajectory::away(way)).is_some());
    }
}

#[test]
fn a_screw_out_of_phase_does_not_turn() {
    // Touching at c tan 30 = 0.1155 mm for a radial gap of 0.2 mm.
    let nut = nut(0.2, 0.4, false);
    for (off, blocked) in [(0.11, false), (0.12, true)] {
        let screw = screw(2.5, 0.4 + off);
        let pair = Pair::new(&screw, &nut);
        assert_eq!(pair.blocked(&Trajectory::unscrewed(mm(2.5), true)), blocked);
    }
}

#[test]
fn a_screw_does_not_turn_through_the_plug_behind_its_thread() {
    let (screw, nut) = (screw(2.5, 0.4), nut(0.2, 0.4, true));
    // Three whole turns out, its end at 12.5 stands before the plug at 14.
    let pair = Pair::new(&screw, &nut).advanced(mm(-7.5));
    assert!(pair.engaged());
    assert_eq!(pair.obstacle(&Trajectory::unscrewed(mm(2.5), false)), None);
    let met = pair
        .obstacle(&Trajectory::unscrewed(mm(2.5), true))
        .unwrap();
    approx::assert_abs_diff_eq!(met.free_travel.as_mm(), 1.5, epsilon = 1e-3);
    approx::assert_abs_diff_eq!(met.point[2], 14.0, epsilon = 1e-3);
}

fn least(a: &Body, b: &Body, way: f64, apart: &dyn Fn(u8, u8) -> bool) -> distance::Nearest {
    let asked = Asked {
        shift: Vector3::zeros(),
        way: Vector3::new(0.0, 0.0, way),
        cap: 10.0,
        precision: 1e-4,
        enough: 0.0,
        apart,
    };
    distance::nearest(a, b, &asked).unwrap()
}

#[test]
fn a_pin_in_a_bore_leaves_the_difference_of_the_radii() {
    // 5.000 - 4.875 = 0.125; chords of both take up to 0.01 each.
    let (pin, hole) = (rod(4.875, -3.0, 23.0), bored(5.0));
    for way in [0.0, 7.5, -7.5] {
        let found = least(&pin, &hole, way, &|_, _| false);
        let gap = found.distance;
        assert!((0.105..=0.125 + 1e-4).contains(&gap), "{way}: {gap}");
        let [a, b] = found.points;
        approx::assert_abs_diff_eq!((a - b).norm(), gap, epsilon = 1e-9);
    }
}

#[test]
fn a_head_that_slides_is_nearest_where_it_ends() {
    let screw = body_of(&turned(&[
        (-3.0, 4.0),
        (23.0, 4.0),
        (23.0, 6.0),
        (26.0, 6.0),
    ]));
    let hole = bored(5.0);
    // The face at 20 is 3 below the head; 2.6 further down it is 0.4 off, less than 1 beside.
    approx::assert_abs_diff_eq!(
        least(&screw, &hole, -2.6, &|_, _| false).distance,
        0.4,
        epsilon = 1e-9
    );
    // A way past the face meets it.
    assert_eq!(least(&screw, &hole, -3.1, &|_, _| false).distance, 0.0);
}

#[test]
fn rings_leave_the_same_gap_as_a_turning_pin_has() {
    let (pin, hole) = (rod(4.875, -3.0, 23.0), bored(5.0));
    let apart = |_, _| false;
    let found = turning::least_gap(&pin, &hole, [-1.0, 2.0], 1.0, &apart).unwrap();
    assert!((0.105..=0.125 + 1e-9).contains(&found.gap), "{}", found.gap);
    // A head 2.5 above the face, brought down by 2.3.
    let screw = body_of(&turned(&[
        (-3.0, 4.0),
        (22.5, 4.0),
        (22.5, 6.0),
        (26.0, 6.0),
    ]));
    let found = turning::least_gap(&screw, &hole, [-2.3, 0.0], 1.0, &apart).unwrap();
    approx::assert_abs_diff_eq!(found.gap, 0.2, epsilon = 1e-9);
    approx::assert_abs_diff_eq!(found.advance, -2.3, epsilon = 1e-9);
}

#[test]
fn threads_leave_on_their_meshes_what_their_section_says() {
    // c / 2 - |e| cos 30 (ISO 68-1): c = 0.2 in phase, and 0.05 off.
    let nut = nut(0.2, 0.4, false);
    for (off, expected) in [(0.0, 0.1), (0.05, 0.1 - 0.05 * 3f64.sqrt() / 2.0)] {
        let screw = screw(2.5, 0.4 + off);
        let by_section = screw.threads()[0].mates_with(&nut.threads()[0], Length::ZERO);
        approx::assert_abs_diff_eq!(by_section.unwrap().as_mm(), expected, epsilon = 1e-9);
        // Chords within 0.02 of both flanks.
        let gap = least(&screw, &nut, 0.0, &|_, _| false).distance;
        assert!((expected - 0.04..=expected + 1e-3).contains(&gap), "{gap}");
        // And no facet of the threads comes nearer than that, or counts as something else.
        let bodies = least(&screw, &nut, 0.0, &|a, b| a > 0 && b > 0).distance;
        assert!(bodies > gap, "{bodies}");
    }
}

/// A block from z 0 to 2 that advances by 1 mm a turn towards one that stands at a height, over
/// a stroke of 10 turns and half a turn past either end.
fn towards_a_stop<'a>(bodies: [&'a Body; 2]) -> stroke::PairCourse<'a> {
    let rate = |advance: f64| Rate {
        advance: mm(advance),
        turns: 0.0,
    };
    stroke::PairCourse {
        bodies,
        rates: [rate(1.0), rate(0.0)],
        turns: [-0.5, 10.5],
        fineness: fineness(0.01),
    }
}

#[test]
fn what_is_met_within_the_stroke_is_no_stop_but_an_overlap() {
    let carriage = body_of(&block(10.0, 10.0, 0.0, 2.0));
    let between = [0, 1].map(crate::assembly::InstanceId);
    // Met at 5 of 10 turns: in the way. At 10.2, when the stroke is over: a stop. Touched at the
    // very end: a stop as well.
    for (height, end) in [(7.0, 10.5), (12.2, 10.2), (12.0, 10.0)] {
        let other = body_of(&block(10.0, 10.0, height, height + 3.0));
        let course = towards_a_stop([&carriage, &other]);
        let stop = course.stop().expect("a slide");
        let judged = course.ended_by(&[stop]).judged(between);
        approx::assert_abs_diff_eq!(judged.turns[1], end, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(judged.turns[0], -0.5, epsilon = 1e-9);
        let turn = judged.overlap.map(|overlap| overlap.at_turn);
        if height < 12.0 {
            approx::assert_abs_diff_eq!(turn.unwrap(), 5.0, epsilon = 1e-9);
        } else {
            assert_eq!(turn, None, "{height}");
        }
    }
    // What overlaps from the start stops nothing.
    let other = body_of(&block(10.0, 10.0, 1.0, 5.0));
    assert!(towards_a_stop([&carriage, &other]).stop().is_none());
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(60))]

    #[test]
    fn prop_pieces_overlap_where_the_boolean_kernel_says_so(
        x in -12.0..12.0f64, y in -12.0..12.0f64, z in -12.0..12.0f64, inside in 0.2..1.5f64
    ) {
        let post = solid_mesh(&turned(&[(-4.0, 3.0), (4.0, 3.0 * inside)]), mm(0.05));
        let cube = solid_mesh(&block(12.0, 9.0, -5.0, 5.0), mm(0.05));
        let (a, b) = (body(&post), body(&cube));
        let shift = Vector3::new(x, y, z);
        let found = overlap::deepest(&a, &b, &shift, &|_, _| false);
        let moved = post.placed(&Pose::shift(mm(x), mm(y), mm(z)));
        let volume = overlap_volume(&moved, &cube).unwrap();
        // Grazing by less than the slack may go either way.
        proptest::prop_assume!(volume == 0.0 || volume > 1e-3);
        proptest::prop_assert_eq!(found.is_some(), volume > 0.0);
    }
}

#[test]
fn a_question_over_many_poses_says_whether_it_was_cut_short() {
    // A rod beside a block until a quarter turn brings it there: nothing is met before.
    let bar = body_of(&block(30.0, 2.0, 0.0, 4.0));
    let post = solid_mesh(&block(4.0, 4.0, 1.0, 9.0), mm(0.01));
    let post = body(&post.placed(&Pose::shift(mm(0.0), mm(12.0), mm(0.0))));
    let asked = |most| {
        let poses = (0..=4).map(|step| {
            overlap::Screwed::by(crate::units::Angle::turns(f64::from(step) / 16.0), 0.0)
        });
        overlap::in_any_pose_within(&bar, &post, poses, &|_, _| false, most)
    };
    let enough = (0..10_000)
        .find(|most| asked(*most).is_some())
        .expect("a bound that is enough");
    assert!(enough > 1);
    assert_eq!(asked(enough), Some(true));
    assert_eq!(asked(enough - 1), None);
}

#[test]
fn a_floor_inside_a_countersink_is_known_to_stop_a_screw() {
    // Tapped from 2 on, its countersink closed at 22.5 and at a radius of 9, between root and crest.
    let thread = Thread::free(mm(20.0), mm(2.5), Hand::Right);
    let cavity = |floor: f64| {
        let radius = 8.0 + floor - 21.5;
        let mut outer = contour(&[(1.0, 12.0), (5.0, 8.0), (21.5, 8.0), (floor, radius)]);
        outer
            .threads
            .push(zone(&thread, [1.0, floor], 0.2, 0.4, false));
        let tool = Solid::Turned(Turned { outer, bore: None });
        threaded(block(40.0, 40.0, 2.0, 30.0), vec![tool], 0)
    };
    let screw = screw(2.5, 0.4);
    for floor in [22.0, 22.5, 23.0, 23.5, 24.5] {
        let nut = cavity(floor);
        let pair = Pair::new(&screw, &nut);
        let [up, down] = [true, false].map(|up| Trajectory::unscrewed(mm(2.5), up));
        assert_eq!(pair.meets_on(&up), Met::Surely, "{floor}");
        assert!(pair.obstacle(&down).is_none(), "{floor}");
    }
}
