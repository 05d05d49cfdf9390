//! The keeper is a beam on its two pins, bent by the carriage that presses on it.

use super::loads::{self, Borne, Loading, NEAR, Place};
use super::{Case, Judge, Rule};
use crate::strength::{Bar, Plastic};
use crate::units::Length;
use std::f64::consts::PI;

/// Rule: the keeper's plug in bending.
pub(super) const RULE: Rule = Rule {
    id: "keeper-bending",
    about: "the keeper bends between its pins",
    why: "At the far stop the carriage presses on the keeper, which only its two pins hold. A thin \
          plug bends and splits at the hole through its middle.",
    formula: "sigma = 6 M / (b h^2) in the middle, b the plug's width less the hole through it, h \
              the plug's length; the flange is not counted. M = W/2 |xp - x0|: pins at xp, each \
              half of the carriage's face presses at its centroid x0 = 4 (R^3 - r^3) / (3 pi (R^2 - \
              r^2)). Fails above the strength in the plane of the layers, warns from 0.9 of it.",
    source: "beam of rectangular section (Shigley, 9th ed., eq. 3-24); printed strengths: low end \
             of data sheets",
    mend: "lengthen the keeper's plug (`sizes.keeper_plug`)",
    judge: Judge::Design(|case| loads::judge(case, places)),
};

/// The plug under a loading.
pub(super) fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Place> {
    let sizes = &case.design.sizes;
    let plug = Bar {
        width: sizes.guide() - sizes.gaps.locate.drawn * 2.0 - sizes.keeper_bore,
        height: sizes.keeper_plug,
    };
    let pressed = centroid(sizes.carriage_diameter / 2.0, sizes.keeper_bore / 2.0);
    let moment = loading.push / 2.0 * (sizes.keeper_pin_offset - pressed).abs();
    vec![Place {
        subject: "keeper".into(),
        what: "the keeper's plug in bending",
        force: loading.push,
        borne: Borne::Stress {
            found: plug.bending(moment),
            strength: plastic.flat,
        },
        near: NEAR,
        mend: "lengthen its plug (`sizes.keeper_plug`)",
    }]
}

/// Distance of the centroid of half a ring from its diameter.
fn centroid(outer: Length, inner: Length) -> Length {
    let (outer, inner) = (outer.as_mm(), inner.as_mm());
    let cubes = outer * outer * outer - inner * inner * inner;
    Length::mm(4.0 / (3.0 * PI) * cubes / (outer * outer - inner * inner))
}
