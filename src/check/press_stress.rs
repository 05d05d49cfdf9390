//! A pressed pin stretches the wall around its hole, across the layers: too tight, it splits.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule};
use super::typed::gap_at;
use crate::assembly::{Asked, Fit, Gap, RIB_DIRECTIONS};
use crate::layout::Press;
use crate::load::{Case, Change};
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
/// Steps in which a gap is proposed.
const STEP: Length = Length::mm(0.001);

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let presses = case.design.members.presses.iter();
    presses.filter_map(|press| judgement(case, press)).collect()
}

/// How tight a pin sits in its hole with so much of it, across.
fn fit(press: &Press, gap: &Gap, plastic: &Plastic, interference: Length) -> PressFit {
    let printed = Elastic::printed(plastic.stiffness);
    PressFit {
        pin: press.pin,
        // A hole with no wall at all has no ring; a hair keeps the formula finite.
        outside: press.outside.max(press.pin * THINNEST_RING),
        interference,
        pin_made_of: if press.bought {
            Elastic::steel()
        } else {
            printed
        },
        ring_made_of: printed,
        crushed_at: gap.ribs.map(|_| {
            let reach = interference / 2.0;
            ribs_yield_at(RIB_DIRECTIONS.len(), press.pin, reach, plastic.flat)
        }),
    }
}

fn judgement(case: &Case<'_>, press: &Press) -> Option<Judgement> {
    let assembly = &case.design.assembly;
    let joint = assembly.joint(press.joint);
    let gap = joint.gap.as_ref()?;
    let plastic = case.plastic();
    let fit = fit(press, gap, &plastic, interference(case, gap));
    let (hoop, limit) = (fit.hoop(), plastic.upright);
    // Written so that what is not a number fails.
    let outcome = if hoop <= limit * TIGHT {
        Outcome::Pass
    } else if hoop <= limit {
        Outcome::Warn
    } else {
        Outcome::Fail
    };
    let friction = Plastic::friction(*case.kit.material, false);
    let drive_in =
        [friction.low, friction.high].map(|friction| fit.drive_in(press.length, friction));
    let told = case.kit.told();
    Some(Judgement {
        outcome,
        subject: Subject::Part(press.part),
        value: hoop.as_megapascals(),
        limit: Some(limit.as_megapascals()),
        unit: "MPa",
        message: format!(
            "a pin in the {} is {} tight, across: it stretches the wall around its hole with {}, at \
             most {}; driving it in takes {}",
            assembly.part(press.part).name,
            told.length(fit.interference, 3),
            told.stress(hoop),
            told.stress(limit),
            told.forces(drive_in)
        ),
        mend: joint.asked.clone().map(|asked| {
            // Of all that are pressed by the same key, so that none is left.
            let alike = case.design.members.presses.iter();
            let passing = alike.filter_map(|other| passing(case, other, &asked, &plastic));
            let passing = passing.fold(fit.interference, Length::min);
            let wanted = (passing / -2.0).up_to(STEP);
            Proposal::first_of([Change::Gap(asked, joint.fit, wanted)]).into()
        }),
        at: gap_at(joint.asked.as_ref()).or_else(|| case.first_thread()),
    })
}

/// The most across by which a pin passes whose gap is asked for so; ribs yield, so that the stress does
/// not go with it.
fn passing(case: &Case<'_>, press: &Press, asked: &Asked, plastic: &Plastic) -> Option<Length> {
    let joint = case.design.assembly.joint(press.joint);
    let gap = joint.gap.as_ref()?;
    let same = joint.asked.as_ref() == Some(asked);
    let passes =
        |across: &Length| fit(press, gap, plastic, *across).hoop() <= plastic.upright * TIGHT;
    let whole = interference(case, gap);
    let share = |step: u32| 1.0 - f64::from(step) / f64::from(LESSER);
    let mut lesser = (1..=LESSER).map(|step| whole * share(step));
    same.then(|| lesser.find(passes)).flatten()
}

/// Parts of an interference in which it is taken back.
const LESSER: u32 = 40;

/// Least outside diameter of a ring, in pin diameters. Guess.
const THINNEST_RING: f64 = 1.01;

/// What is expected to be tight, across; nothing where the pin is loose.
fn interference(case: &Case<'_>, gap: &Gap) -> Length {
    let printed = case.profile.printed(Fit::Press, gap);
    let expected = printed.map_or(gap.wanted, |printed| printed.expected);
    (expected * -2.0).max(Length::ZERO)
}
