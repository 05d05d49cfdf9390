//! What the maker asserts must be what the threads give.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule};
use crate::assembly::Turning;
use crate::load::{Case, Change};
use crate::units::Length;

/// Rule: the asserted net lead.
pub(super) const NET_LEAD: Rule = Rule {
    id: "net-lead",
    about: "the threads do not give the net lead that the kit asserts",
    why: "A maker who wants half a millimetre a turn builds a scale or a dial on it. Two pitches \
          mixed up give a mechanism that works and reads wrong.",
    formula: "Same hand: L1 - L2. Opposite hands: L1 + L2. A single screw: L1. A lead is pitch \
              times starts.",
    source: "net lead = L1 - L2 for one hand, L1 + L2 for opposite hands",
    mend: "write the lead that the threads give, or take threads whose leads give the one you want",
    judge: Judge::Design(net_lead),
};

/// Rule: the asserted way to turn.
pub(super) const ADVANCE: Rule = Rule {
    id: "advance",
    about: "the carriage advances the other way than the kit asserts",
    why: "Whoever turns the head expects one way to close and the other to open.",
    formula: "The sign of the drive's lead in a frame that stands: a right-hand thread turned \
              clockwise goes away from the one who turns it.",
    source: "a right-hand screw turned clockwise goes away from the one who turns",
    mend: "write the way that the threads give, or give both threads the other hand",
    judge: Judge::Design(advance),
};

/// An asserted net lead may be rounded by so much, in mm, or by so much of itself: a maker
/// writes three or four digits. Guess.
const ASSERTED_MM: f64 = 0.001;
/// The share.
const ASSERTED_SHARE: f64 = 0.001;

fn net_lead(case: &Case<'_>) -> Vec<Judgement> {
    let Some(asserted) = &case.kit.net_lead else {
        return Vec::new();
    };
    let (given, wanted) = (case.rates.net_lead().as_mm(), asserted.as_mm());
    let allowed = ASSERTED_MM.max(ASSERTED_SHARE * given.abs());
    let told = |lead: f64| case.kit.told().length(Length::mm(lead), 4);
    let agrees = (given - wanted).abs() <= allowed;
    vec![Judgement {
        outcome: if agrees { Outcome::Pass } else { Outcome::Fail },
        subject: Subject::Piece(case.design.assembly.carriages.leading),
        value: given,
        limit: Some(wanted),
        unit: "mm",
        message: format!(
            "the threads move the carriage {} a turn, the kit asserts {}",
            told(given),
            told(wanted)
        ),
        mend: Some(
            Proposal::first_of([Change::NetLead(Length::mm(given))])
                .beside(format!(
                    "choose other threads, whose leads give {}",
                    told(wanted)
                ))
                .into(),
        ),
        at: asserted.at.clone(),
    }]
}

fn advance(case: &Case<'_>) -> Vec<Judgement> {
    let Some(asserted) = &case.kit.advance else {
        return Vec::new();
    };
    let given = case.rates.direction();
    let word = |turning: Turning| match turning {
        Turning::Clockwise => "clockwise",
        Turning::CounterClockwise => "counter-clockwise",
    };
    vec![Judgement {
        outcome: if given == **asserted {
            Outcome::Pass
        } else {
            Outcome::Fail
        },
        subject: Subject::Piece(case.design.assembly.drive),
        value: case.rates.net_lead().as_mm(),
        limit: None,
        unit: "mm",
        message: format!(
            "the carriage advances when the head is turned {}, the kit asserts {}",
            word(given),
            word(**asserted)
        ),
        mend: Some(
            Proposal::first_of([Change::Advance(given)])
                .beside("give each thread the other hand")
                .into(),
        ),
        at: asserted.at.clone(),
    }]
}
