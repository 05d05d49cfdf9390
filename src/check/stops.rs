//! The carriage must stop on faces that do not turn, before anything else meets.
//!
//! A screw head that runs into the frame jams: it wants as much torque to come loose as went
//! in. Judged with all play used up at the stop, one over-travel past either end.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use crate::layout::Distance;
use crate::load::{Case, leave_out, shorter_stroke};
use crate::units::Length;

/// Rule: nothing but the carriage's stops meets.
pub(super) const RULE: Rule = Rule {
    id: "stops",
    about: "a head, collar or screw end meets something before the carriage stops",
    why: "A screw head that runs into the frame jams: it wants as much torque to come loose as \
          went in. So the carriage has to stop first, on faces that do not turn.",
    formula: "Distance of head and frame, collar and screw end, screw end and bore floor, shoulder and carriage, with \
              all play used up at the stop, one over-travel past either end. Fails below 0.3 mm, \
              warns below a quarter of the lead.",
    source: "derived: positions one over-travel past either end of the stroke",
    mend: "leave out the sizes that bring them together, or shorten the stroke",
    judge: Judge::Design(judge),
};

/// Least distance at the stop, in mm, and as a share of the lead. Guess: a layer or two.
const LEAST_MM: f64 = 0.3;
/// The same as a share of the lead; below it a warning.
const GOOD_LEADS: f64 = 0.25;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let distances = case.design.distances.iter();
    distances
        .map(|distance| judgement(case, distance))
        .collect()
}

fn judgement(case: &Case<'_>, distance: &Distance) -> Judgement {
    let [first, last] = case.design.ends_of_play().map(|turn| distance.at(turn));
    let gap = first.min(last);
    let good = distance.lead.as_mm() * GOOD_LEADS;
    let outcome = not_below(gap.as_mm(), LEAST_MM, good, good);
    Judgement {
        outcome,
        subject: Subject::Part(distance.part),
        value: gap.as_mm(),
        limit: Some(if outcome == Outcome::Warn {
            good
        } else {
            LEAST_MM
        }),
        unit: "mm",
        message: format!(
            "{} {} before the carriage stops; at least {} should be left, better {}",
            distance.between,
            if gap < Length::ZERO {
                format!("would run {} into each other", case.length(-gap))
            } else {
                format!("come within {} of each other", case.length(gap))
            },
            case.length(Length::mm(LEAST_MM)),
            case.length(Length::mm(good))
        ),
        mend: Some(
            Proposal::first_of(leave_out(case.kit, &distance.blame))
                .or_first_of(leave_out(case.kit, &case.design.meeting))
                .or_first_of(shorter_stroke(case.kit))
                .into(),
        ),
        at: case.kit.place_of(&distance.blame),
    }
}
