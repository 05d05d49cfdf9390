//! A fit that this printer seldom prints right is found before a part is printed for it.
//!
//! Joints of one kind share their gap, so they are told by kind, but for one that has a gap by
//! itself: what fails is told for itself, what is only worth a warning together.

use super::finding::{Outcome, Subject};
use super::rule::{Judge, Judgement, Rule, not_below};
use super::typed::gap_at;
use crate::assembly::{Asked, Fit, JointId};
use crate::load::Case;
use crate::printer::{self, PrintedJoint, Window, window};
use crate::units::Length;
use crate::units_told::number;

/// Rule: odds of every gap.
pub(super) const RULE: Rule = Rule {
    id: "fit-odds",
    about: "a fit is more likely to bind, rattle or fall out than the maker will stand",
    why: "Most printed mechanisms that fail do so by a fit: threads that bind at the first turn, \
          pins that snap or fall out, slides that jam. How far a gap may be off depends on the \
          printer, and on how much is known of it.",
    formula: "The printed gap is taken as Gaussian: the drawn gap less what the printer's profile \
              takes from it, with the profile's errors and the printer's spread. The odds are the \
              share of it inside the window in which the fit does its work. Fails below 50 %, \
              warns below 90 %; `odds.fail` and `odds.warn` set others. A joint that is asked for \
              by itself on a measured printer only warns: its own ladder knows it better.",
    source: "guess: both limits and the windows of the fits (docs/printing.md)",
    mend: "print test pieces (`netlead coupon KIT.toml`) and let `netlead tune` learn the printer",
    judge: Judge::Design(judge),
};

/// The worst joint of those that share a gap: all of a kind of fit, or one with a gap by itself.
struct Kind {
    fit: Fit,
    joint: String,
    id: JointId,
    asked: Option<Asked>,
    printed: PrintedJoint,
    window: Option<Window>,
}

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let limits = [*case.kit.odds.fail, *case.kit.odds.warn];
    let kinds = kinds(case);
    let poor = |kind: &&Kind| outcome(case, kind, limits) == Outcome::Warn;
    let mut judgements: Vec<Judgement> = kinds
        .iter()
        .filter(|kind| !poor(kind))
        .map(|kind| judgement(case, kind, limits))
        .collect();
    let warned: Vec<&Kind> = kinds.iter().filter(poor).collect();
    judgements.extend(together(case, &warned, limits[1]));
    judgements
}

/// A joint that is asked for by itself on a printer that was measured was tried by hand; of it the
/// profile, which is the mean of all joints, knows less than its ladder did, so it only warns.
fn outcome(case: &Case<'_>, kind: &Kind, [fail, warn]: [f64; 2]) -> Outcome {
    let tried = case.profile.prints > 0 && matches!(kind.subject(), Subject::Joint(_));
    match not_below(kind.printed.odds, fail, warn, warn) {
        Outcome::Fail if tried => Outcome::Warn,
        judged => judged,
    }
}

impl Kind {
    fn subject(&self) -> Subject {
        match &self.asked {
            Some(asked) if asked.by_itself => Subject::Joint(self.id),
            _ => Subject::Fit(self.fit),
        }
    }

    /// Whether both go by the same gap of the kit.
    fn shares_gap(&self, other: &Self) -> bool {
        self.subject() == other.subject()
    }
}

/// The worst joint of each gap that the kit asks for, in the order of the joints.
fn kinds(case: &Case<'_>) -> Vec<Kind> {
    let assembly = &case.design.assembly;
    let judged = printer::judged(assembly, case.profile);
    let mut kinds: Vec<Kind> = Vec::new();
    for (index, (joint, printed)) in assembly.joints.iter().zip(judged).enumerate() {
        let Some(printed) = printed else { continue };
        let worst = Kind {
            fit: joint.fit,
            joint: joint.name.clone(),
            id: JointId(index),
            asked: joint.asked.clone(),
            printed,
            window: window(joint.fit, joint.gap.and_then(|gap| gap.ribs).is_some()),
        };
        match kinds.iter_mut().find(|kind| kind.shares_gap(&worst)) {
            Some(known) if printed.odds < known.printed.odds => *known = worst,
            Some(_) => {}
            None => kinds.push(worst),
        }
    }
    kinds
}

/// A kind by its word, a joint by its name, with its odds: `thread 63 %`.
fn told(kind: &Kind) -> String {
    let name = match kind.subject() {
        Subject::Joint(_) => kind.joint.as_str(),
        _ => kind.fit.word(),
    };
    format!("{name} {:.0} %", kind.printed.odds * 100.0)
}

fn judgement(case: &Case<'_>, kind: &Kind, [fail, warn]: [f64; 2]) -> Judgement {
    let odds = kind.printed.odds;
    Judgement {
        outcome: outcome(case, kind, [fail, warn]),
        subject: kind.subject(),
        value: odds,
        limit: Some(fail),
        unit: "1",
        message: format!(
            "the {} fit of {} comes out right in {:.0} of 100 copies; at least {:.0}, better {:.0}",
            kind.fit.word(),
            kind.joint,
            odds * 100.0,
            fail * 100.0,
            warn * 100.0
        ),
        mend: Some(mend(case, kind)),
        at: gap_at(kind.asked.as_ref()),
    }
}

/// All kinds that are worth a warning, the worst as the value.
fn together(case: &Case<'_>, kinds: &[&Kind], warn: f64) -> Option<Judgement> {
    let worst = kinds
        .iter()
        .min_by(|a, b| a.printed.odds.total_cmp(&b.printed.odds))?;
    let list: Vec<String> = kinds.iter().map(|kind| told(kind)).collect();
    Some(Judgement {
        outcome: Outcome::Warn,
        subject: Subject::Fits,
        value: worst.printed.odds,
        limit: Some(warn),
        unit: "1",
        message: format!(
            "odds that a copy comes out right: {}; better {:.0} %",
            list.join(", "),
            warn * 100.0
        ),
        mend: Some(mend(case, worst)),
        at: gap_at(worst.asked.as_ref()),
    })
}

/// A gap that the kit asks for is the first to be doubted; then an unknown printer is to be
/// learnt; a known one may be asked for another gap.
fn mend(case: &Case<'_>, kind: &Kind) -> String {
    let asked = kind.asked.as_ref();
    if let Some(asked) = asked.filter(|asked| asked.at.is_some()) {
        let middle = kind
            .window
            .map_or(Length::ZERO, |window| (window.least + window.most) / 2.0);
        let (path, middle) = (asked.path(), number(middle.as_mm(), 2));
        return format!(
            "leave out `{path}`, or write `{path} = \"{middle} mm\"`, the middle of what does \
             its work"
        );
    }
    if case.profile.prints == 0 {
        return "print test pieces, `netlead coupon KIT.toml`, and let `netlead tune` learn the \
                printer"
            .into();
    }
    let step = if kind.printed.odds_with_more > kind.printed.odds {
        "wider"
    } else {
        "narrower"
    };
    let again = "measure one more print for `netlead tune`";
    match asked {
        Some(asked) => format!("{again}, or ask for a {step} `{}`", asked.path()),
        None => again.into(),
    }
}
