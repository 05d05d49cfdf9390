//! *single*: the frame is tapped, and the drive screw pushes and pulls the carriage through a
//! swivel, a groove and two pins. Net lead L1.

use super::build::Builder;
use super::carriage::PinHoles;
use super::rules::*;
use super::sizes::{Sizes, Tip};
use super::{common, pin};
use crate::assembly::{Assembly, Constraint, Fit, Pose};
use crate::kit::Kit;
use crate::units::Length;

/// Two pin holes, each with a window into the socket.
const CARRIAGE_WAYS: usize = 4;

/// The mechanism.
pub(super) fn assembly(kit: &Kit, sizes: &Sizes, tip: &Tip) -> Assembly {
    let mut build = Builder::default();
    let depth = tip.groove_centre - THREAD_BEFORE_CARRIAGE;
    let beside = vec![-tip.pin_offset, tip.pin_offset];
    let holes = PinHoles {
        beside,
        depth,
        genus: CARRIAGE_WAYS,
    };
    let pieces = common::start(kit, sizes, &holes, &mut build);
    let gaps = &sizes.gaps;
    build.joint(
        [pieces.drive, pieces.carriage],
        Fit::Swivel,
        Constraint::NoAdvance,
        Some(gaps.swivel),
        Some(gaps.swivel.drawn),
    );
    let seat = Some(gaps.seat.drawn);
    let between = [pieces.drive, pieces.carriage];
    build.joint(between, Fit::Seat, Constraint::Free, Some(gaps.seat), seat);
    for (index, side) in [-1.0, 1.0].into_iter().enumerate() {
        let pose = swivel_pin(sizes, tip, side);
        let pin = build.piece(pieces.pin, format!("swivel pin {}", index + 1), pose);
        let between = [pin, pieces.carriage];
        build.joint(
            between,
            Fit::Press,
            Constraint::Rigid,
            Some(gaps.press),
            None,
        );
        let between = [pieces.drive, pin];
        build.joint(
            between,
            Fit::Swivel,
            Constraint::NoAdvance,
            Some(gaps.swivel),
            None,
        );
    }
    common::close(kit, sizes, &pieces, &mut build);
    build.finish(kit.folder(), pieces.frame, pieces.drive, pieces.carriage)
}

/// Through the ears along x beside the groove, flat outwards.
fn swivel_pin(sizes: &Sizes, tip: &Tip, side: f64) -> Pose {
    let height = sizes.thread_end + tip.groove_centre;
    let flat = pin::flat_height(sizes.pin_diameter);
    // The print frame's z towards the axis.
    Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, side], [0.0, -side, 0.0]).shifted(
        Length::ZERO,
        (tip.pin_offset + flat) * side,
        height,
    )
}
