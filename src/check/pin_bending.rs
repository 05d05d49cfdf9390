//! Pins that lie across the load are bent between the holes that hold them.

use super::loads::{self, Borne, Loading, NEAR, Place};
use super::{Case, Judge, Rule};
use crate::layout::rules::EDGE;
use crate::layout::{End, Nested, Sizes, Tip};
use crate::strength::{LyingPin, Plastic, Rail};
use crate::units::{Force, Length, Torque};

/// Rule: printed pins in bending.
pub(super) const RULE: Rule = Rule {
    id: "pin-bending",
    about: "a printed pin is bent too far between the holes that hold it",
    why: "A pin that fits its holes is held along its length and bends little; one that spans a \
          wide gap bends until it whitens and snaps.",
    formula: "sigma = M / Z, Z = 0.0945 dp^3 with the flat beside the load. Cross and keeper pins \
              go from one hole into another: M = 0.322 V / beta + V g / 2, V the load of one \
              section and g the free gap between the holes, broken edges included. A swivel's \
              groove presses on the middle of its pins: M = V / (2 beta) + V g. Holes bed a pin \
              over 1/beta = 0.78 dp, as ground of half the plastic's stiffness does. Fails above \
              the strength in the plane of the layers, warns from 0.9 of it.",
    source: "beams on elastic foundation (Hetenyi, 1946, from memory); bedding: guess; printed \
             strengths: low end of data sheets",
    mend: "take thicker pins, or bought ones",
    judge: Judge::Design(|case| loads::judge(case, places)),
};

const THICKER: &str = "take thicker pins (`pins.diameter`) or bought ones (`pins.buy`)";

/// Pins under a loading; none where they are bought, of steel.
pub(super) fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Place> {
    if case.kit.pins.buy.is_some() {
        return Vec::new();
    }
    let sizes = &case.design.sizes;
    let pin = LyingPin {
        diameter: sizes.pin_diameter,
    };
    let bent = |what, force: Force, moment: Torque| Place {
        subject: "pin".into(),
        what,
        force,
        borne: Borne::Stress {
            found: pin.bending(moment),
            strength: plastic.flat,
        },
        near: NEAR,
        mend: THICKER,
    };
    let carriage = match &sizes.end {
        End::Nested(nested) => {
            let load = loading.either();
            let moment = pin.moment(load / 2.0, beside_head(sizes, nested));
            bent("the cross pin in bending", load, moment)
        }
        End::Single(tip) => {
            let load = loading.pull;
            let moment = pin.moment_in_the_middle(load / 4.0, beside_groove(sizes, tip));
            bent("the swivel pins in bending", load, moment)
        }
    };
    let moment = pin.moment(loading.push / 4.0, beside_plug(sizes));
    let keeper = bent("the keeper pins in bending", loading.push, moment);
    vec![carriage, keeper]
}

/// From the hole in the inner screw's head to that in the carriage: the room beside the head,
/// and the hole's broken mouth.
fn beside_head(sizes: &Sizes, nested: &Nested) -> Length {
    (sizes.socket_diameter - nested.collar) / 2.0 + EDGE
}

/// From the middle of a swivel pin to where the carriage's hole holds it: half the chord of the
/// socket at the pin's axis, which as drawn is nothing.
fn beside_groove(sizes: &Sizes, tip: &Tip) -> Length {
    let socket = Rail {
        side: sizes.frame_side,
        bore: sizes.socket_diameter,
        slot: Length::ZERO,
    };
    socket.inner_edge(tip.pin_offset)
}

/// From the keeper's plug to the frame, along a keeper pin.
fn beside_plug(sizes: &Sizes) -> Length {
    let plug = |gap: Length| Rail {
        side: sizes.frame_side,
        bore: sizes.guide() - gap * 2.0,
        slot: sizes.slot_width() - gap * 2.0,
    };
    let at = sizes.keeper_pin_offset;
    let gap = sizes.gaps.locate.drawn;
    plug(Length::ZERO).inner_edge(at) - plug(gap).inner_edge(at)
}
