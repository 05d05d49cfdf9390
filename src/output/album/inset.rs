//! The inset of a step: how marks point and flats stand when what goes in is in place, as the eye sees it
//! that tells clockwise, or the hand that presses a pin.

use super::stage::{Extent, Stage, towards};
use super::whole::UP;
use crate::assembly::{Axis, Fit, InstanceId, MotionKind};
use crate::picture::{Canvas, Item, Reach, Sheet, Tint, View};
use crate::sequence::Removed;

/// Side of it, in mm of paper.
pub(super) const INSET: f64 = 38.0;
/// What is seen around a pin and around a screw in the inset, in mm.
const PIN_ROOM: f64 = 6.0;
const SCREW_ROOM: f64 = 14.0;
/// So much of the frame beside a head shows its V, so much of it is shown where it would not, in mm.
const SEEN: f64 = 0.5;
const CLEAR: f64 = 3.0;
/// The most by which the eye goes up for that, of its distance: 20 degrees, so that a head is seen from before.
const MOST_TILT: f64 = 0.36;

/// What the eye sees that tells clockwise, or the hand that presses a pin, when it is in place: where marks
/// point, and how flats stand. None of motions in which nothing can stand wrong.
pub(super) fn inset(
    stage: &Stage<'_>,
    put_in: &[&Removed],
    shown: &[InstanceId],
) -> Option<(Canvas, [&'static str; 2])> {
    let pressed = |piece: &InstanceId| {
        let mut joints = stage.assembly.joints.iter();
        joints.any(|joint| joint.fit == Fit::Press && joint.between[0] == *piece)
    };
    let wrong = |removed: &&&Removed| match removed.motion.kind {
        MotionKind::Helical => true,
        MotionKind::Straight => removed.pieces.iter().any(pressed),
        MotionKind::Driven => false,
    };
    let removed = put_in.iter().find(wrong)?;
    let (eye, words) = match removed.motion.kind {
        MotionKind::Helical | MotionKind::Driven => (
            above_the_head(stage, removed),
            ["in place,", "as the eye sees it"],
        ),
        MotionKind::Straight => (
            towards(removed.motion),
            ["in place, as", "a hand presses it"],
        ),
    };
    let up = match removed.motion.axis {
        Axis::X | Axis::Z => UP,
        Axis::Y => [1.0, 0.0, 0.0],
    };
    let items: Vec<Item<'_>> = shown
        .iter()
        .filter_map(|piece| {
            let tint = match removed.pieces.contains(piece) {
                true => Tint::Spot,
                false => Tint::Pale,
            };
            stage.item(*piece, stage.pose(*piece, removed.turn), tint)
        })
        .collect();
    let around = removed.pieces.iter().map(|piece| {
        let extent = stage.extent(*piece, &stage.pose(*piece, removed.turn));
        match removed.motion.kind {
            MotionKind::Straight => extent.widened(PIN_ROOM),
            MotionKind::Helical | MotionKind::Driven => extent.widened(SCREW_ROOM),
        }
    });
    let window = around.fold(Extent::NONE, Extent::and).corners();
    let sheet = Sheet {
        width: INSET,
        height: INSET,
        margin: 1.0,
    };
    let view = View::from(eye, up);
    let canvas = Canvas::draw(view, &items, None, sheet, Reach::Window(&window));
    Some((canvas, words))
}

/// Along the axis, as the eye sees a head; where that would hide the frame's edge with its V, from just so
/// far above that the edge stands clear of it.
fn above_the_head(stage: &Stage<'_>, removed: &Removed) -> [f64; 3] {
    let along = towards(removed.motion);
    let frame = stage.assembly.frame;
    if !removed.rest.contains(&frame) {
        return along;
    }
    let placed = |piece: &InstanceId| stage.extent(*piece, &stage.pose(*piece, removed.turn));
    let own = removed.pieces.iter().map(placed);
    let (own, frame) = (own.fold(Extent::NONE, Extent::and), placed(&frame));
    let beyond = own.high[1] - frame.high[1];
    let front = |extent: &Extent| match along[2] > 0.0 {
        true => extent.high[2],
        false => -extent.low[2],
    };
    let before = front(&own) - front(&frame);
    if beyond < -SEEN || before <= 0.0 {
        return along;
    }
    let tilt = ((beyond + CLEAR) / before).min(MOST_TILT);
    [0, 1, 2].map(|axis| along[axis] + tilt * UP[axis])
}

#[cfg(test)]
mod tests {
    use super::super::coarse;
    use super::*;
    use crate::making::{self, InMemory, Pictures};
    use crate::sequence;
    use nalgebra::Point3;

    #[test]
    fn no_head_hides_the_edge_with_the_frames_v_in_the_inset_of_its_step() {
        let mut insets = 0;
        for text in [
            include_str!("../../../presets/fine-stop.toml"),
            include_str!("../../../presets/desk-stage.toml"),
        ] {
            let read = making::read("kit.toml", text, &InMemory::none()).expect("a preset");
            let product = read
                .judge_and_draw(Pictures::None, &|_| {})
                .expect("a preset");
            let (design, order) = (&product.design, product.order.as_ref().expect("an order"));
            let rates: Vec<_> = product.rates.iter().flatten().copied().collect();
            let meshes = coarse(&design.assembly).expect("meshes");
            let stage = Stage::new(&design.assembly, &rates, &meshes);
            let put_in = sequence::put_in(order, &design.script);
            let frame = design.assembly.frame;
            for told in &put_in {
                let screwed = |removed: &&Removed| {
                    removed.motion.kind == MotionKind::Helical && removed.rest.contains(&frame)
                };
                let Some(removed) = told.iter().copied().find(screwed) else {
                    continue;
                };
                let shown: Vec<InstanceId> = removed
                    .pieces
                    .iter()
                    .chain(&removed.rest)
                    .copied()
                    .collect();
                let (canvas, _) = inset(&stage, told, &shown).expect("an inset");
                let extent = stage.extent(frame, &stage.pose(frame, removed.turn));
                let edge = Point3::new(0.0, extent.high[1], extent.low[2]);
                assert!(canvas.shows(edge), "{text}");
                insets += 1;
            }
        }
        assert!(insets >= 2, "{insets}");
    }
}
