//! A pressed pin stretches the wall around its hole, across the layers: too tight, it splits.

use super::{Case, Judge, Judgement, Outcome, Rule};
use crate::assembly::{Fit, Gap, RIB_DIRECTIONS};
use crate::kit::key;
use crate::layout::{End, Sizes};
use crate::strength::{Elastic, Plastic, PressFit, ribs_yield_at};
use crate::units::Length;

/// Rule: hoop stress around pressed pins.
pub(super) const RULE: Rule = Rule {
    id: "press-stress",
    about: "a pressed pin splits the wall around its hole",
    why: "The holes of the pins lie, so what a tight pin stretches is layer from layer. A wall \
          that splits holds nothing, and one that is stretched hard creeps until the pin is loose.",
    formula: "Lame: p = (delta / d) / [(R + nu)/E + (1 - nu)/Ei], hoop stress p R, R = (Do^2 + \
              d^2)/(Do^2 - d^2); delta is the interference across as expected after printing, Do \
              twice the least distance from the pin's axis to a face. Driving in takes mu p pi d L. \
              Crush ribs yield before that: p is at most what their faces bear, half of each chord \
              at the strength in the plane. Fails above the strength across layers, warns from 0.7 \
              of it. An upper bound: printed ridges are crushed first.",
    source: "Lame's thick cylinder (Shigley, 9th ed., eqs. 3-56 and 3-58); warning: guess, a \
             little above 0.045 mm on 6 mm of PLA",
    mend: "press less hard (`gaps.press`)",
    judge: Judge::Design(judge),
};

/// Share of the strength from which the wall is worth a warning. Guess: 0.045 mm on 6 mm, which
/// lying holes of PLA bear, is 11 MPa in a wall of 4.5 mm and 12 MPa in one of 2.5 mm, 0.55 to
/// 0.61 of the strength.
const TIGHT: f64 = 0.7;

/// A pressed hole.
struct Hole {
    subject: &'static str,
    /// Twice the least distance from its axis to a face.
    outside: Length,
    /// Over which the pin is tight.
    length: Length,
}

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let holes = holes(&case.design.sizes, *case.kit.layer);
    holes.iter().map(|hole| judgement(case, hole)).collect()
}

/// The entry sides of the pin holes; the far sides are drawn to locate.
fn holes(sizes: &Sizes, layer: Length) -> [Hole; 2] {
    let half = sizes.frame_side / 2.0;
    let beside = match &sizes.end {
        End::Nested(_) => sizes.ear_width / 2.0,
        End::Single(tip) => sizes.ear_width / 2.0 - tip.pin_offset,
    };
    let above = sizes.frame_length - sizes.keeper_pin_height(layer);
    [
        Hole {
            subject: "carriage",
            outside: beside * 2.0,
            length: half - sizes.socket_diameter / 2.0,
        },
        Hole {
            subject: "frame",
            outside: above.min(half - sizes.keeper_pin_offset) * 2.0,
            length: half - sizes.guide() / 2.0,
        },
    ]
}

fn judgement(case: &Case<'_>, hole: &Hole) -> Judgement {
    let sizes = &case.design.sizes;
    let plastic = Plastic::of(*case.kit.material);
    let interference = interference(case, &sizes.gaps.press);
    let printed = Elastic::printed(plastic.stiffness);
    let fit = PressFit {
        pin: sizes.pin_diameter,
        // A hole with no wall at all has no ring; a hair keeps the formula finite.
        outside: hole.outside.max(sizes.pin_diameter * THINNEST_RING),
        interference,
        pin_made_of: match case.kit.pins.buy {
            Some(_) => Elastic::steel(),
            None => printed,
        },
        ring_made_of: printed,
        crushed_at: sizes.gaps.press.ribs.map(|_| {
            let reach = interference / 2.0;
            ribs_yield_at(
                RIB_DIRECTIONS.len(),
                sizes.pin_diameter,
                reach,
                plastic.flat,
            )
        }),
    };
    let (hoop, limit) = (fit.hoop(), plastic.upright);
    // Written so that what is not a number fails.
    let outcome = if hoop <= limit * TIGHT {
        Outcome::Pass
    } else if hoop <= limit {
        Outcome::Warn
    } else {
        Outcome::Fail
    };
    let friction = Plastic::friction(*case.kit.material);
    let drive_in =
        [friction.low, friction.high].map(|friction| fit.drive_in(hole.length, friction));
    let told = case.kit.told();
    let passing = interference * (TIGHT * (limit / hoop).min(1.0));
    Judgement {
        outcome,
        subject: hole.subject.into(),
        value: hoop.as_megapascals(),
        limit: Some(limit.as_megapascals()),
        unit: "MPa",
        message: format!(
            "a pin in the {} is {} tight, across: it stretches the wall around its hole with {}, at \
             most {}; driving it in takes {}",
            hole.subject,
            told.length(interference, 3),
            told.stress(hoop),
            told.stress(limit),
            told.forces(drive_in)
        ),
        mend: Some(format!(
            "write `gaps = {{ press = \"{:.3} mm\" }}`, which is radial",
            passing.as_mm() / -2.0
        )),
        at: case
            .kit
            .gaps
            .press
            .at
            .clone()
            .or_else(|| case.kit.place_of(&[key::DRIVE.name()])),
    }
}

/// Least outside diameter of a ring, in pin diameters. Guess.
const THINNEST_RING: f64 = 1.01;

/// What is expected to be tight, across; nothing where the pin is loose.
fn interference(case: &Case<'_>, gap: &Gap) -> Length {
    let printed = case.profile.printed(Fit::Press, gap);
    let expected = printed.map_or(gap.wanted, |printed| printed.expected);
    (expected * -2.0).max(Length::ZERO)
}
