//! The frame's two rails are pulled off their middle by the keeper pins, and bend.
//!
//! Not judged, since they are far from any limit: the tapped wall, whose ridges hang from the
//! body beside them with less than a pitch of arm (`thread-strip` judges them), and the rails
//! bent sideways by the carriage's ears, which press with a few tens of newtons.

use super::loads::{self, Borne, Loading, NEAR, Place};
use super::{Case, Judge, Rule};
use crate::strength::{LyingPin, Plastic, Rail};

/// Rule: the frame's rails in tension and bending.
pub(super) const RULE: Rule = Rule {
    id: "frame-bending",
    about: "the frame's rails are pulled apart beside the slots",
    why: "A carriage that presses on the keeper stretches the two rails that the slots leave, \
          across their layers, and bends them, since the pins pull at their inner edge.",
    formula: "sigma = F/A + F e c / I with F = W/2 in each rail, at half the bedding of a pin (0.39 \
              dp) outside its inner edge, times A over what the holes of two pins leave of it. \
              Sections are summed over strips. Fails above the strength across layers, warns from \
              0.9 of it.",
    source: "eccentric pull (Shigley, 9th ed., sect. 3-14); printed strengths: low end of data \
             sheets, half across layers",
    mend: "widen the frame (`sizes.frame_side`)",
    judge: Judge::Design(|case| loads::judge(case, places)),
};

/// A rail under a loading.
pub(super) fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Place> {
    let sizes = &case.design.sizes;
    let rail = Rail {
        side: sizes.frame_side,
        bore: sizes.guide(),
        slot: sizes.slot_width(),
    };
    let pin = LyingPin {
        diameter: sizes.pin_diameter,
    };
    let inner = rail.inner_edge(sizes.keeper_pin_offset);
    let at = inner + pin.bedding_length() / 2.0;
    let whole = rail.area().as_square_mm();
    let holes = 2.0 * sizes.pin_diameter.as_mm() * (sizes.frame_side / 2.0 - inner).as_mm();
    let left = (whole - holes).max(whole * LEAST_LEFT);
    vec![Place {
        subject: "frame".into(),
        what: "the frame's rails, across their layers",
        force: loading.push,
        borne: Borne::Stress {
            found: rail.pulled(loading.push / 2.0, at) * (whole / left),
            strength: plastic.upright,
        },
        near: NEAR,
        mend: "widen the frame (`sizes.frame_side`)",
    }]
}

/// Share of a rail that its pin holes leave at the least. Guess: it keeps the stress finite
/// where pins as wide as the rail could not be drawn anyway.
const LEAST_LEFT: f64 = 0.05;
