//! A preload spring must outdo what parts the faces that it presses together, and live.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use super::strength::NEAR;
use crate::kit::key;
use crate::layout::Preload;
use crate::load::{Case, Change, PreloadFigures, other_springs, preload, shorter_springs};
use crate::strength::music_wire_torsional_yield;
use crate::units::Force;
use crate::units_told::number;

/// Rule: the preload spring.
pub(super) const RULE: Rule = Rule {
    id: "preload",
    about: "the spring does not take up the play, or does not last",
    why: "A spring takes up the play only while it presses harder than all that would part the faces. \
          One that is pressed too hard takes a set and grows weak, a slender one bows out and rubs, a \
          strong one makes the keeper fly when its pins go in or out.",
    formula: "F = k (L0 - L), k = G d^4 / (8 D^3 Na) or as given. F at turn 0, over the pull away from the \
              drive head (`spring.pull`, else the load, which may pull either way), friction in the \
              guide mu (weight + 2 W e / L) of a load W at e beside the axis, and the weight of carriage \
              and screws, as if the head were up: fails below 1, warns below 1.5. Stress where the \
              carriage stops, Kw 8 F D / (pi d^3), over 0.45 of the tensile strength of music wire: \
              fails above 1, warns from 0.9. L0 / D: fails above 5.26, warns above 4. F at turn 0, \
              against which a hand holds the keeper: fails above 100 N, warns above 50 N. Its coils \
              never touch: the keeper's pocket is deeper than the solid spring.",
    source: "helical springs (Shigley, 9th ed., eqs. 10-4, 10-7, 10-9, sect. 10-5 and tables 10-1, 10-4 \
             and 10-6, from memory); statics; 1.5, 4 and the hand's forces: guess",
    mend: "take a spring with another free length or wire, or none",
    judge: Judge::Design(judge),
};

/// F over what it has to outdo below which it does not hold.
const HOLDS: f64 = 1.0;
/// The same below which it hardly does: friction and rates are never known well. Guess.
const HOLDS_WELL: f64 = 1.5;
/// L0/D from which on a spring between flat parallel plates buckles: 2.63/0.5 (Shigley, 9th ed., eq.
/// 10-12 and table 10-2, from memory).
const BUCKLES: f64 = 5.26;
/// The same from which on it may, its ends not as flat and true as that. Guess (common practice).
const MAY_BUCKLE: f64 = 4.0;
/// What two thumbs hold down. Guess.
const BY_THUMBS: Force = Force::newtons(50.0);
/// What they may not be asked to. Guess.
const TOO_MUCH: Force = Force::newtons(100.0);

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let spring = case.design.members.preload.as_ref();
    let judged = spring.zip(preload(case)).map(|(spring, figures)| {
        vec![
            held(case, spring, &figures),
            lives(case, spring),
            stands(case, spring),
            by_hand(case, spring, &figures),
        ]
    });
    judged.unwrap_or_default()
}

fn judgement(
    case: &Case<'_>,
    spring: &Preload,
    outcome: Outcome,
    (value, limit, unit): (f64, f64, &'static str),
    message: String,
    mend: Proposal,
) -> Judgement {
    Judgement {
        outcome,
        subject: Subject::Part(spring.part),
        value,
        limit: Some(limit),
        unit,
        message,
        mend: Some(mend.into()),
        at: case
            .kit
            .place_of(&[key::SPRING_FREE.name(), key::SPRING_WIRE.name()]),
    }
}

/// Whether the play stays taken up through the stroke.
fn held(case: &Case<'_>, spring: &Preload, figures: &PreloadFigures) -> Judgement {
    let told = case.kit.told();
    let [least, most] = figures.force;
    let holds = figures.holds();
    judgement(
        case,
        spring,
        not_below(holds, HOLDS, HOLDS_WELL, HOLDS_WELL),
        (holds, HOLDS, "1"),
        format!(
            "the spring presses with {} at turn 0 and {} at the end of the stroke; it has to outdo {}: a \
             pull of {}, friction of {}, {} of weight",
            told.fine_force(least),
            told.fine_force(most),
            told.fine_force(figures.needed()),
            told.fine_force(figures.pull),
            told.fine_force(figures.friction),
            told.fine_force(figures.weight)
        ),
        Proposal::first_of(other_springs(case.kit)).or_first_of(without_load(case)),
    )
}

/// A load that is told to pull either way may be none that pulls the spring apart: that is for the kit
/// to say.
fn without_load(case: &Case<'_>) -> Option<Change> {
    let said = case.kit.spring.as_ref()?.pull.is_some();
    (!said && case.kit.load.force.is_some()).then_some(Change::SpringPull(Force::ZERO))
}

/// Whether it takes a set.
fn lives(case: &Case<'_>, spring: &Preload) -> Judgement {
    let told = case.kit.told();
    let stress = spring.coil.stress(spring.most());
    let bears = music_wire_torsional_yield(spring.coil.wire);
    // Written so that what is not a number fails.
    let used = stress / bears;
    let outcome = if used <= NEAR {
        Outcome::Pass
    } else if used <= 1.0 {
        Outcome::Warn
    } else {
        Outcome::Fail
    };
    judgement(
        case,
        spring,
        outcome,
        (stress.as_megapascals(), bears.as_megapascals(), "MPa"),
        format!(
            "where the carriage stops the spring is {} long and presses with {}, which stresses its \
             wire: {}, at most {}",
            case.length(spring.at_stop),
            told.fine_force(spring.most()),
            told.stress(stress),
            told.stress(bears)
        ),
        Proposal::first_of(shorter_springs(case.kit)),
    )
}

/// Whether it bows out.
fn stands(case: &Case<'_>, spring: &Preload) -> Judgement {
    let slender = spring.coil.slenderness();
    judgement(
        case,
        spring,
        not_below(-slender, -BUCKLES, -MAY_BUCKLE, -MAY_BUCKLE),
        (
            spring.coil.free.as_mm(),
            (spring.coil.mean() * BUCKLES).as_mm(),
            "mm",
        ),
        format!(
            "the spring is {} of its mean diameters long when it is free; it buckles from {BUCKLES}, and \
             may from {MAY_BUCKLE}",
            number(slender, 2)
        ),
        Proposal::first_of(shorter_springs(case.kit)),
    )
}

/// Whether a hand holds the keeper down while its pins go in or out.
fn by_hand(case: &Case<'_>, spring: &Preload, figures: &PreloadFigures) -> Judgement {
    let told = case.kit.told();
    let [least, _] = figures.force;
    let newtons = Force::as_newtons;
    let outcome = not_below(
        -newtons(least),
        -newtons(TOO_MUCH),
        -newtons(BY_THUMBS),
        -newtons(BY_THUMBS),
    );
    judgement(
        case,
        spring,
        outcome,
        (newtons(least), newtons(TOO_MUCH), "N"),
        format!(
            "two thumbs hold the keeper down against {} while its pins go in or out; better {}",
            told.fine_force(least),
            told.fine_force(BY_THUMBS)
        ),
        Proposal::first_of(shorter_springs(case.kit)),
    )
}
