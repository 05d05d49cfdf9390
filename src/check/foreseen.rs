//! How a design comes out as far as that is known of sizes and motion, without looking for mends:
//! what a search over many designs asks.

use super::finding::Outcome;
use super::rule::{Judge, Judgement, Rule};
use super::{RULES, judgements};
use crate::load::{Case, ForceFigures};

/// What a rule says of a design before it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Foreseen {
    /// Name of the rule.
    pub id: &'static str,
    /// How it came out; of a rule that judges meshes, how it is expected to.
    pub outcome: Outcome,
    /// One sentence with value and limit; lower case, no full stop.
    pub message: String,
}

/// By every rule that is not waived, in the order of the rules, but for those that reckon with all
/// the copies of a kit.
pub fn foreseen(case: &Case<'_>, force: Option<&ForceFigures>) -> Vec<Foreseen> {
    let each = RULES.iter().filter(|rule| !rule.is_waived(case));
    each.flat_map(|rule| of(rule, case, force)).collect()
}

/// How each rule that does comes out: ten times as long.
pub fn foreseen_of_copies(case: &Case<'_>) -> Vec<(&'static str, Outcome)> {
    let each = RULES.iter().filter(|rule| !rule.is_waived(case));
    each.flat_map(|rule| {
        let outcomes = match rule.judge {
            Judge::Copies(_, outcomes) => outcomes(case),
            Judge::Design(_) | Judge::Bodies(..) | Judge::Strength(_) => Vec::new(),
        };
        outcomes.into_iter().map(|outcome| (rule.id, outcome))
    })
    .collect()
}

fn of(rule: &Rule, case: &Case<'_>, force: Option<&ForceFigures>) -> Vec<Foreseen> {
    let judged: Vec<Judgement> = match rule.judge {
        Judge::Copies(..) => Vec::new(),
        Judge::Bodies(_, expected) => expected(case),
        Judge::Design(_) | Judge::Strength(_) => judgements(rule, case, None, force),
    };
    let told = |judgement: Judgement| Foreseen {
        id: rule.id,
        outcome: judgement.outcome,
        message: judgement.message,
    };
    judged.into_iter().map(told).collect()
}
