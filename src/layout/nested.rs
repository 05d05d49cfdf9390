//! *nested*: drive screw in the frame, inner screw in the drive screw's tapped bore, pinned to
//! the carriage. Net lead L1 - L2 for the same hand, L1 + L2 for opposite hands.

use super::build::{Builder, Note};
use super::carriage::PinHoles;
use super::rules::*;
use super::sizes::{Nested, Sizes, chamfer_length};
use super::tool::run_out;
use super::{common, inner, pin, recipe};
use crate::assembly::{Assembly, Constraint, Fit, InstanceId, Pose, ThreadJoint};
use crate::kit::Kit;
use crate::units::Length;

/// The socket and the cross pin's two holes in its wall.
const CARRIAGE_WAYS: usize = 2;

/// The mechanism.
pub(super) fn assembly(kit: &Kit, sizes: &Sizes, nested: &Nested) -> Assembly {
    let mut build = Builder::default();
    let depth = nested.head_height - nested.cross_hole - COLLAR_PROUD;
    let holes = PinHoles {
        beside: vec![Length::ZERO],
        depth,
        genus: CARRIAGE_WAYS,
    };
    let pieces = common::start(kit, sizes, &holes, &mut build);
    let v = common::v_words(nested.thread.hand());
    let inner = build.single(
        "inner",
        inner::shape(sizes, nested),
        Note {
            print: format!(
                "slotted head on the bed, {} walls, brim if it is slender",
                *kit.walls
            ),
            mark: format!("{v} on the side of the head; a slot across its end"),
            recipe: recipe::inner(sizes),
        },
        inner::pose(nested),
    );
    let gaps = &sizes.gaps;
    build.thread(
        [inner, pieces.drive],
        thread_joint(sizes, nested),
        gaps.thread,
        nested.thread.play(gaps.thread.drawn),
    );
    build.joint(
        [inner, pieces.carriage],
        Fit::Locate,
        Constraint::Free,
        Some(gaps.locate),
        None,
    );
    let seat = Some(gaps.seat.drawn);
    build.joint(
        [inner, pieces.carriage],
        Fit::Seat,
        Constraint::Free,
        Some(gaps.seat),
        seat,
    );
    let cross = build.piece(pieces.pin, "cross pin".into(), cross_pin(sizes, nested));
    cross_pin_joints(sizes, [cross, inner, pieces.carriage], &mut build);
    common::close(kit, sizes, &pieces, &mut build);
    build.finish(kit.folder(), pieces.frame, pieces.drive, pieces.carriage)
}

fn cross_pin_joints(sizes: &Sizes, [pin, inner, carriage]: [InstanceId; 3], build: &mut Builder) {
    let gaps = &sizes.gaps;
    build.joint(
        [pin, carriage],
        Fit::Press,
        Constraint::Rigid,
        Some(gaps.press),
        None,
    );
    let play = Some(gaps.locate_pin.drawn);
    build.joint(
        [pin, inner],
        Fit::Locate,
        Constraint::Rigid,
        Some(gaps.locate_pin),
        play,
    );
}

fn thread_joint(sizes: &Sizes, nested: &Nested) -> ThreadJoint {
    let countersink = chamfer_length(&nested.thread);
    let tip = nested.collar_face - nested.thread_length;
    // At the bore's floor the thread runs out into a relief as long as a countersink.
    let floor = sizes.thread_end - nested.bore;
    ThreadJoint {
        thread: nested.thread.clone(),
        male: [
            tip + countersink,
            nested.collar_face - run_out(&nested.thread),
        ],
        female: [floor + countersink, sizes.thread_end - countersink],
        male_crest: Length::ZERO,
        female_root: Length::ZERO,
    }
}

/// Through ears and head along x, its flat towards +y.
fn cross_pin(sizes: &Sizes, nested: &Nested) -> Pose {
    let height = nested.collar_face + nested.head_height - nested.cross_hole;
    let flat = pin::flat_height(sizes.pin_diameter);
    // The print frame's z along -y.
    Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
        Length::ZERO,
        flat,
        height,
    )
}
