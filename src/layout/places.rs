//! Names of parts of pieces, by where they stand at turn 0: for messages about what meets what.

use super::sizes::{End, Sizes};
use crate::assembly::{Assembly, InstanceId, Place};
use crate::units::Length;

/// Far beyond any part.
const FAR: Length = Length::mm(1e4);

/// Every named part of the pieces.
pub(super) fn of(sizes: &Sizes, assembly: &Assembly) -> Vec<Place> {
    let head = sizes.thread_end - sizes.drive_thread;
    let mut places = vec![
        ("drive", [-FAR, head], "head"),
        ("frame", [-FAR, sizes.tapped_wall], "tapped wall"),
        ("frame", [sizes.tapped_wall, sizes.shoulder], "clear bore"),
        ("frame", [sizes.shoulder, FAR], "guide"),
        ("keeper", [sizes.frame_length, FAR], "flange"),
        ("keeper", [-FAR, sizes.frame_length], "plug"),
    ];
    match &sizes.end {
        End::Nested(nested) => places.push(("inner", [nested.collar_face, FAR], "collar")),
        End::Single(_) => places.push(("drive", [sizes.thread_end, FAR], "tip")),
    }
    let piece = |name: &str| {
        assembly
            .instances
            .iter()
            .position(|piece| piece.name == name)
    };
    places
        .into_iter()
        .filter_map(|(name, z, called)| {
            Some(Place {
                piece: InstanceId(piece(name)?),
                z,
                name: called,
            })
        })
        .collect()
}
