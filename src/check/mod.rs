//! What is judged before plastic is spent: one rule a file, each reads and never changes.
//!
//! A [`Rule`] looks at a [`Case`], a kit with its design and motion, and gives a [`Finding`]
//! for each subject it judged. [`all`] runs every rule and applies the kit's waivers. To add a
//! rule, add a file with a `RULE` and name it in [`RULES`].

mod as_printed;
mod assembly_order;
mod asserted;
mod bed;
mod beds;
mod buckling;
mod clearance;
mod engagement;
mod fit_odds;
mod flank_overlap;
mod flank_pressure;
mod forces;
mod frame_bending;
mod keeper_bending;
mod keeper_bore;
mod layer_support;
mod layers;
mod loads;
mod material;
mod overhang;
mod pin_bending;
mod press_stress;
mod self_locking;
mod start;
mod stop_load;
mod stops;
mod thin_wall;
mod thread_gap;
mod thread_strip;
mod tilt;
mod wall;

pub use forces::{Clamping, ForceFigures, Plain, RESERVE, SPANNER, TURNERS, Turner, force_figures};

use crate::clearance::Clearance;
use crate::kit::Kit;
use crate::layout::Design;
use crate::motion::StrokeRates;
use crate::printer::Profile;
use crate::sequence::Order;
use crate::solid::Mesh;
use crate::units::Length;
use crate::units_told::number;
use rayon::prelude::*;
use std::ops::Range;

/// How a check came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Within its limit.
    Pass,
    /// Worth knowing.
    Note,
    /// May go wrong.
    Warn,
    /// Will go wrong: nothing is written.
    Fail,
    /// Would fail or warn, but the kit waives it with a reason.
    Waived,
}

/// What a rule has to say about one subject.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Name of the rule: `drive-wall`.
    pub id: &'static str,
    /// How it came out.
    pub outcome: Outcome,
    /// Of what: `drive`, `drive/frame`.
    pub subject: String,
    /// The value judged, in `unit`.
    pub value: Option<f64>,
    /// The limit it is held against, in `unit`.
    pub limit: Option<f64>,
    /// `mm`, `MPa`, `N`, `C` for degrees Celsius, `1` for a ratio or count.
    pub unit: &'static str,
    /// One sentence with value and limit; lower case, no full stop.
    pub message: String,
    /// What to type in the kit, or to do, when it does not pass.
    pub mend: Option<String>,
    /// Where the limit comes from.
    pub source: &'static str,
    /// Bytes of the kit file that caused it, if one key did.
    pub at: Option<Range<usize>>,
}

/// What rules look at.
#[derive(Clone, Copy, Debug)]
pub struct Case<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// What is known of its printer.
    pub profile: &'a Profile,
    /// Its mechanism.
    pub design: &'a Design,
    /// How that moves, per turn in the direction of the stroke.
    pub rates: &'a StrokeRates,
}

/// What rules look at that judge the meshes.
#[derive(Clone, Copy, Debug)]
pub struct Bodies<'a> {
    /// The mesh of every part, bought ones too, in its print frame, in the order of the parts;
    /// of a printed part as its file holds it.
    pub meshes: &'a [Mesh],
    /// How they come apart.
    pub order: &'a Order,
    /// What every pair of pieces leaves between them through the stroke.
    pub clearance: &'a Clearance,
}

impl Case<'_> {
    /// A length in the units of the kit's maker, to a hundredth of a millimetre.
    fn length(&self, length: Length) -> String {
        self.kit.told().length(length, 2)
    }

    /// A turn of the drive for people, who are told no signs: `turn 13.3`, `0.8 turns before
    /// turn 0`.
    fn turn(&self, turn: f64) -> String {
        let told = number(turn.abs(), 1);
        if turn < 0.0 && told != "0" {
            format!("{told} turns before turn 0")
        } else {
            format!("turn {told}")
        }
    }
}

/// A rule, with its page of the manual.
pub struct Rule {
    /// Its name, as waivers and reports say it.
    pub id: &'static str,
    /// What goes wrong, in a line: lower case, no full stop.
    pub about: &'static str,
    /// Why a maker should care, in whole sentences.
    pub why: &'static str,
    /// How the value is reckoned and at which values it fails, warns or notes, in whole
    /// sentences.
    pub formula: &'static str,
    /// Where its limits come from.
    pub source: &'static str,
    /// What to do about it, in general; a finding says it for its kit. Lower case, no full stop.
    pub mend: &'static str,
    judge: Judge,
}

/// What a rule needs to see.
enum Judge {
    /// Sizes and motion alone.
    Design(fn(&Case<'_>) -> Vec<Judgement>),
    /// The meshes too.
    Bodies(fn(&Case<'_>, &Bodies<'_>) -> Vec<Judgement>),
}

/// All rules, in the order in which a maker wants to read them.
pub const RULES: &[Rule] = &[
    asserted::NET_LEAD,
    asserted::ADVANCE,
    wall::RULE,
    thread_gap::RULE,
    flank_overlap::RULE,
    fit_odds::RULE,
    as_printed::RULE,
    engagement::RULE,
    stops::RULE,
    clearance::RULE,
    layers::RULE,
    layer_support::RULE,
    overhang::RULE,
    thin_wall::RULE,
    stop_load::RULE,
    thread_strip::RULE,
    flank_pressure::RULE,
    pin_bending::RULE,
    press_stress::RULE,
    buckling::RULE,
    keeper_bending::RULE,
    frame_bending::RULE,
    tilt::RULE,
    self_locking::RULE,
    keeper_bore::RULE,
    bed::RULE,
    beds::RULE,
    material::RULE,
    assembly_order::RULE,
    start::RULE,
];

/// Names of all rules.
pub fn ids() -> Vec<&'static str> {
    RULES.iter().map(|rule| rule.id).collect()
}

/// The rule of a name.
pub fn rule(id: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.id == id)
}

/// Judges a case by every rule, side by side. The findings stand in the order of the rules; one
/// that the kit waives comes out as waived.
pub fn all(case: &Case<'_>, bodies: &Bodies<'_>) -> Vec<Finding> {
    let each: Vec<_> = RULES
        .par_iter()
        .map(|rule| match rule.judge {
            Judge::Design(judge) => rule.findings(case, judge(case)),
            Judge::Bodies(judge) => rule.findings(case, judge(case, bodies)),
        })
        .collect();
    each.into_iter().flatten().collect()
}

/// The same by the rules that need no meshes: what can be said of a design before it is drawn.
pub fn of_design(case: &Case<'_>) -> Vec<Finding> {
    let findings = |rule: &Rule| match rule.judge {
        Judge::Design(judge) => rule.findings(case, judge(case)),
        Judge::Bodies(_) => Vec::new(),
    };
    RULES.iter().flat_map(findings).collect()
}

impl Rule {
    fn findings(&self, case: &Case<'_>, judgements: Vec<Judgement>) -> Vec<Finding> {
        let waived = case
            .kit
            .waive
            .iter()
            .any(|waiver| waiver.check.value == self.id);
        let finding = |judgement: Judgement| Finding {
            id: self.id,
            outcome: match judgement.outcome {
                Outcome::Warn | Outcome::Fail if waived => Outcome::Waived,
                outcome => outcome,
            },
            subject: judgement.subject,
            value: Some(judgement.value),
            limit: judgement.limit,
            unit: judgement.unit,
            message: judgement.message,
            mend: judgement
                .mend
                .filter(|_| judgement.outcome != Outcome::Pass),
            source: self.source,
            at: judgement.at,
        };
        judgements.into_iter().map(finding).collect()
    }
}

/// A finding without what its rule says once for all.
struct Judgement {
    outcome: Outcome,
    subject: String,
    value: f64,
    limit: Option<f64>,
    unit: &'static str,
    message: String,
    mend: Option<String>,
    at: Option<Range<usize>>,
}

/// The outcome of a value that must not be below `fail`, and had better not be below `warn`
/// or `note`.
fn not_below(value: f64, fail: f64, warn: f64, note: f64) -> Outcome {
    // Sums that land on a limit but for binary rounding pass it.
    let below = |limit: f64| value < limit - ROUNDING * limit.abs().max(1.0);
    if below(fail) {
        Outcome::Fail
    } else if below(warn) {
        Outcome::Warn
    } else if below(note) {
        Outcome::Note
    } else {
        Outcome::Pass
    }
}

/// Rounding of sums of doubles, relative. Guess, far below a printable size.
const ROUNDING: f64 = 1e-9;

#[cfg(test)]
mod tests;
