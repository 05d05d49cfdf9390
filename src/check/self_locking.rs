//! A screw that the load can turn lets go when the hand does.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use crate::kit::key;
use crate::load::{Case, Trains, leave_out};
use crate::motion::ThreadsOnWay;
use crate::units_told::number;

/// Rule: self-locking.
pub(super) const RULE: Rule = Rule {
    id: "self-locking",
    about: "a push on the carriage turns the drive screw",
    why: "A hand that lets go must not be followed by the load. What friction holds today, \
          shaking or a little grease may let go.",
    formula: "The threads alone hold the load: the torque that lets it down, W [r1 tan(phi - \
              lambda1) + r2 tan(phi + lambda2)], stays above zero. Judged is the least friction \
              against that at which it vanishes, mu = tan(lambda) cos 30 deg for one thread. Fails \
              below it, warns below one and a half times it.",
    source: "self-locking (Shigley, 9th ed., eq. 8-3 with the flank angle of eq. 8-5); warning: \
             guess, against shaking",
    mend: "take a thread with a smaller lead, or do not grease it",
    judge: Judge::Design(judge),
};

/// Friction below this many times what holds is worth a warning. Guess.
const AGAINST_SHAKING: f64 = 1.5;
/// Halvings of the interval in which the friction that just holds is sought.
const HALVINGS: u32 = 50;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let holds = least_friction(case);
    let friction = case.kit.friction().low;
    let wanted = holds * AGAINST_SHAKING;
    vec![Judgement {
        outcome: not_below(friction, holds, wanted, wanted),
        subject: Subject::Piece(case.design.assembly.drive),
        value: friction,
        limit: Some(holds),
        unit: "1",
        message: format!(
            "friction is {} at the least; the threads hold a load by themselves from {} on, with \
             some to spare from {}",
            number(friction, 3),
            number(holds, 3),
            number(wanted, 3)
        ),
        mend: Some(
            Proposal::first_of(leave_out(
                case.kit,
                &[key::FRICTION.name(), key::GREASE.name()],
            ))
            .beside("take threads with a smaller lead")
            .into(),
        ),
        at: case
            .kit
            .place_of(&[key::FRICTION.name(), key::GREASE.name()])
            .or_else(|| case.first_thread()),
    }]
}

/// The friction from which the threads hold a load by themselves.
fn least_friction(case: &Case<'_>) -> f64 {
    // The torque that lets the load down grows with friction; a thread that jams holds too.
    let threads = ThreadsOnWay::of(&case.design.assembly, case.rates);
    let holds = |friction| {
        let trains = Trains::along(&threads, case, friction);
        trains.map_or(true, |trains| trains.pull.self_locking())
    };
    let (mut slips, mut holding) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(slips, holding);
        if holds(middle) {
            holding = middle;
        } else {
            slips = middle;
        }
    }
    holding
}
