//! Several starts buy travel; where one start gives as much, they only cost.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule};
use crate::layout::ThreadPair;
use crate::load::{Case, Change};
use crate::thread::{Thread, series};
use crate::units::Length;

/// Rule: several starts are worth their wrong ways in.
pub(super) const RULE: Rule = Rule {
    id: "several-starts",
    about: "several starts where one start moves the carriage as far",
    why: "A thread of several starts moves further in a turn at the same depth. It goes in in as \
          many ways, of which only one is right, its flanks are finer than those of one start with \
          that lead, and it lets go more easily. Where the carriage moves no further than with one \
          start, all that buys nothing.",
    formula: "Net lead, against the pitch of one start that is common for the thickest thread of \
              the kit that has several: an eighth of its diameter, or its own pitch where that is \
              more. Notes up to there.",
    source: "derived from ISO 261: the coarse pitch of M16 to M24 is an eighth of the diameter",
    mend: "take threads with one start, or with leads that move the carriage further",
    judge: Judge::Design(judge),
};

/// Coarse pitches in diameters (ISO 261, M16 to M24).
const COARSE: f64 = 0.125;
/// Diameters and pitches that differ by less are one. Far below any pitch, far above rounding.
const SAME: Length = Length::mm(1e-6);

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let several = case.design.threads.iter().filter_map(|pair| {
        let joint = case.design.assembly.joint(pair.joint);
        let thread = &joint.thread.as_ref()?.thread;
        (thread.starts() > 1).then_some((pair, thread))
    });
    let most = several.clone().map(|(_, thread)| with_one_start(thread));
    let limit = most.fold(Length::ZERO, Length::max);
    several
        .map(|(pair, thread)| judgement(case, pair, thread, limit))
        .collect()
}

/// The pitch that one start of this diameter commonly has.
fn with_one_start(thread: &Thread) -> Length {
    thread.pitch().max(thread.major() * COARSE)
}

fn judgement(case: &Case<'_>, pair: &ThreadPair, thread: &Thread, limit: Length) -> Judgement {
    let net = case.rates.net_lead();
    Judgement {
        outcome: match net > limit {
            true => Outcome::Pass,
            false => Outcome::Note,
        },
        subject: Subject::Joint(pair.joint),
        value: net.as_mm(),
        limit: Some(limit.as_mm()),
        unit: "mm",
        message: format!(
            "{} has {} starts, and the carriage moves {} in a turn; with one start up to {} is common",
            thread.designation(),
            thread.starts(),
            case.length(net),
            case.length(limit)
        ),
        mend: Some(
            Proposal::first_of(one_start(pair, thread))
                .beside("take threads with one start")
                .into(),
        ),
        at: case.kit.place_of(&[pair.key]),
    }
}

/// The same screw with one start of the same lead: of its standard where that lists it.
fn one_start(pair: &ThreadPair, thread: &Thread) -> Option<Change> {
    let (major, lead) = (thread.major(), thread.lead());
    let same = |one: &Thread| {
        let alike = |a: Length, b: Length| (a - b).abs() < SAME;
        alike(one.major(), major) && alike(one.pitch(), lead)
    };
    let listed = series::all()
        .find(same)
        .map(|one| one.with_hand(thread.hand()));
    let free = || Thread::free(major, lead, thread.hand());
    let one = listed.unwrap_or_else(free);
    // A free thread so coarse that no core is left cannot be typed.
    let typed: Thread = one.designation().parse().ok()?;
    Some(Change::OneStart(pair.key, typed))
}
