//! A kit of which too many copies need a second print of a part is found before plastic is spent,
//! and what would help is tried before it is told.

use super::finding::{Outcome, Subject};
use super::mend::Mend;
use super::odds_mend::{Tried, best};
use super::rule::{Judge, Judgement, Rule, not_below};
use crate::assembly::JointId;
use crate::load::Case;
use crate::printer::{self, FitOdds, KitOdds};
use crate::units_told::{of_copies, percent};

/// Rule: odds of all fits at once.
pub(super) const RULE: Rule = Rule {
    id: "kit-odds",
    about: "too many copies of the kit would need a second print of a part",
    why: "Most printed mechanisms that fail do so by a fit: threads that bind at the first turn, pins \
          that snap or fall out, slides that jam. A single fit may well be right and the kit wrong, \
          for all must be right at once.",
    formula: "The printed gap of each joint is Gaussian: the drawn gap less what the printer's profile \
              takes from it, with the profile's errors, and what scatters with the print, the part \
              and the face; all parts come from one bed, so gaps move together. A copy is good when \
              no gap is so tight or so loose that a part must be printed again. Fails where fewer \
              than 50 % of copies are good, warns below 80 %; `odds.fail` and `odds.warn` set others. \
              Notes, on a measured printer, where fewer than half go together without a file. A joint that is asked for by \
              itself on a measured printer only warns: its own ladder knows it better.",
    source: "guess: both limits and the boundaries of the fits (docs/printing.md)",
    mend: "print test pieces (`netlead coupon KIT.toml`) and let `netlead tune` learn the printer, or \
           ask for other gaps",
    judge: Judge::Copies(judge, outcome),
};

/// Share of copies that go together without a file below which it is worth a note: as many again
/// want one. Guess.
const SELDOM_AS_PRINTED: f64 = 0.5;
/// A fit is named where fewer of its copies than this are good. Guess.
const WEAK_FIT: f64 = 0.9;

/// Points that tell odds which are far from every limit, and how far that is: the odds of so few points are
/// off by less than that (a test holds it over presets and printers).
pub(super) const ROUGHLY: usize = 128;
/// That far.
pub(super) const FAR: f64 = 0.05;

/// The outcome alone, of few copies where they leave no doubt.
fn outcome(case: &Case<'_>) -> Vec<Outcome> {
    let assembly = &case.design.assembly;
    let limits = [*case.kit.odds.fail, *case.kit.odds.warn, SELDOM_AS_PRINTED];
    let rough = printer::kit_odds(assembly, case.profile, ROUGHLY);
    let near = |limit: &f64| {
        let each = [rough.usable, rough.as_printed];
        each.iter().any(|odds| (odds - limit).abs() < FAR)
    };
    let odds = match limits.iter().any(near) {
        true => printer::kit_odds(assembly, case.profile, printer::POINTS),
        false => rough,
    };
    (odds.fits > 0)
        .then(|| came_out(case, &odds))
        .into_iter()
        .collect()
}

/// How odds come out.
fn came_out(case: &Case<'_>, odds: &KitOdds) -> Outcome {
    let [fail, warn] = [*case.kit.odds.fail, *case.kit.odds.warn];
    let measured = case.profile.prints > 0;
    match not_below(odds.usable, fail, warn, warn) {
        Outcome::Fail if tried_by_hand(case) => Outcome::Warn,
        // What test pieces bring an unknown printer is told with the last line.
        Outcome::Pass if measured && odds.as_printed < SELDOM_AS_PRINTED => Outcome::Note,
        judged => judged,
    }
}

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let [fail, warn] = [*case.kit.odds.fail, *case.kit.odds.warn];
    let assembly = &case.design.assembly;
    let odds = printer::kit_odds(assembly, case.profile, printer::POINTS);
    if odds.fits == 0 {
        return Vec::new();
    }
    let outcome = came_out(case, &odds);
    vec![Judgement {
        outcome,
        subject: Subject::Kit,
        value: odds.usable,
        limit: Some(if outcome == Outcome::Fail { fail } else { warn }),
        unit: "1",
        message: format!("{}{}", sentence(&odds), weakest(case)),
        mend: Some(Mend::sought(move |standing| match best(standing, odds) {
            Some(tried) => told(&tried),
            None => NOTHING_HELPS.into(),
        })),
        at: None,
    }]
}

/// Whether a joint is asked for by itself on a printer that was measured: it was tried by hand, and
/// of it the profile, the mean of all joints, knows less than its ladder did.
fn tried_by_hand(case: &Case<'_>) -> bool {
    let by_itself = |joint: &crate::assembly::Joint| {
        let asked = joint.asked.as_ref();
        asked.is_some_and(|asked| asked.by_itself)
    };
    case.profile.prints > 0 && case.design.assembly.joints.iter().any(by_itself)
}

/// What is left when no key, and no test piece that was not printed yet, brings more.
const NOTHING_HELPS: &str = "nothing in the kit helps: what is left is this printer's spread within a print \
                             and from print to print; print all parts from one spool, at one \
                             temperature, on one bed";

/// The odds in one sentence.
fn sentence(odds: &KitOdds) -> String {
    format!(
        "of 100 copies {} go together as printed, {} after filing or running in; {} want a part \
         again{}",
        of_copies(odds.as_printed),
        of_copies(odds.usable),
        of_copies(1.0 - odds.usable),
        odds.causes(),
    )
}

/// The fit of which most copies are lost, where that is worth a word.
fn weakest(case: &Case<'_>) -> String {
    let assembly = &case.design.assembly;
    let fits = printer::fit_odds(assembly, case.profile).into_iter();
    let least = fits.min_by(|(_, a), (_, b)| a.usable.total_cmp(&b.usable));
    let weak = |(joint, odds): (JointId, FitOdds)| {
        let joint = assembly.joint(joint);
        let names = joint.between.map(|piece| assembly.called(piece));
        let share = percent(odds.usable);
        format!(
            "; the least sure is the {} in the {}, with {share}",
            names[0], names[1]
        )
    };
    let least = least.filter(|(_, odds)| odds.usable < WEAK_FIT);
    least.map(weak).unwrap_or_default()
}

/// What was tried, and what comes of it.
fn told(tried: &Tried) -> String {
    format!(
        "{}: then {} of 100 go together as printed and {} after fitting",
        tried.what,
        of_copies(tried.odds.as_printed),
        of_copies(tried.odds.usable),
    )
}
