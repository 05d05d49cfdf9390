//! The carriage must stop on faces that do not turn, before anything else meets.
//!
//! A screw head that runs into the frame jams: it wants as much torque to come loose as went
//! in. Judged with all play used up at the stop, one over-travel past either end.

use super::{Case, Judge, Judgement, Outcome, Rule, not_below};
use crate::layout::End;
use crate::units::Length;

/// Rule: nothing but the carriage's stops meets.
pub(super) const RULE: Rule = Rule {
    id: "stops",
    about: "a head, collar or screw end meets something before the carriage stops",
    why: "A screw head that runs into the frame jams: it wants as much torque to come loose as \
          went in. So the carriage has to stop first, on faces that do not turn.",
    formula: "Distance of head and frame, collar and screw end, screw end and bore floor, with \
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
    let sizes = &case.design.sizes;
    let ends = case.design.ends_of_play();
    let least = |gap: &dyn Fn(f64) -> Length| gap(ends[0]).min(gap(ends[1]));
    let mut judgements = vec![judgement(
        case,
        "drive",
        "the drive head and the frame",
        least(&|n| sizes.head_gap(n)),
        sizes.drive.lead(),
    )];
    if let End::Nested(nested) = &sizes.end {
        let collar = |n: f64| nested.collar_gap(sizes.assembly_turn, n);
        let floor = |n: f64| nested.bore - nested.thread_length + collar(n);
        let lead = nested.thread.lead();
        let between = "the inner screw's collar and the drive screw's end";
        judgements.push(judgement(case, "inner", between, least(&collar), lead));
        let between = "the inner screw's end and the bore's floor";
        judgements.push(judgement(case, "inner", between, least(&floor), lead));
    }
    judgements
}

fn judgement(
    case: &Case<'_>,
    subject: &str,
    between: &str,
    gap: Length,
    lead: Length,
) -> Judgement {
    let good = lead.as_mm() * GOOD_LEADS;
    let overrides = &case.kit.sizes;
    let said = if subject == "inner" {
        vec![&overrides.inner_thread, &overrides.bore]
    } else {
        vec![&overrides.drive_thread, &overrides.tapped_wall]
    };
    let blamed = said.into_iter().flatten().find_map(|said| said.at.clone());
    let outcome = not_below(gap.as_mm(), LEAST_MM, good, good);
    Judgement {
        outcome,
        subject: subject.into(),
        value: gap.as_mm(),
        limit: Some(if outcome == Outcome::Warn {
            good
        } else {
            LEAST_MM
        }),
        unit: "mm",
        message: format!(
            "{between} {} before the carriage stops; at least {} should be left, better {}",
            if gap < Length::ZERO {
                format!("would run {} into each other", case.length(-gap))
            } else {
                format!("come within {} of each other", case.length(gap))
            },
            case.length(Length::mm(LEAST_MM)),
            case.length(Length::mm(good))
        ),
        mend: Some("leave out the sizes that bring them together, or shorten `stroke`".into()),
        at: blamed.or_else(|| case.kit.stroke.at.clone()),
    }
}
