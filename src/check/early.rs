//! What is said before anything is drawn, and kept until it is: odds take longer than all other rules
//! together, and nobody wants them reckoned twice.

use super::rule::{Bodies, Judge, Judgement, Mends, Rule};
use super::tried::Standing;
use super::{Finding, Outcome, RULES, bed, force_figures, judgements};
use crate::load::Case;
use rayon::prelude::*;
use std::fmt;

/// What the rules that need no mesh say of a case, in the order of all rules; of the others nothing yet.
pub struct Early(Vec<Vec<Judgement>>);

impl fmt::Debug for Early {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let said: usize = self.0.iter().map(Vec::len).sum();
        f.debug_tuple("Early").field(&said).finish()
    }
}

impl Early {
    /// Of a case that none of them fails; none of one that fails by a rule that the kit does not waive, or by
    /// what is sure of meshes without them. No mend is sought. Rules are asked side by side.
    pub fn of(case: &Case<'_>) -> Option<Self> {
        let passing = |rule: &Rule, judged: Vec<Judgement>| {
            let fails = judged.iter().any(|one| one.outcome == Outcome::Fail);
            (!fails || rule.is_waived(case)).then_some(judged)
        };
        let force = force_figures(case);
        let asked = |rule: &Rule| passing(rule, judgements(rule, case, None, force.as_ref()));
        let each: Option<Vec<_>> = RULES.par_iter().map(asked).collect();
        let early = Self(each?);
        passing(&bed::RULE, bed::before_meshes(case)).map(|_| early)
    }

    /// Whatever they say.
    pub fn whatever(case: &Case<'_>) -> Self {
        let force = force_figures(case);
        let asked = |rule: &Rule| judgements(rule, case, None, force.as_ref());
        Self(RULES.par_iter().map(asked).collect())
    }

    /// The findings of every rule, with the bodies of the same case: as [`super::all`] tells them.
    pub fn with_bodies(self, case: &Case<'_>, bodies: &Bodies<'_>, mends: Mends) -> Vec<Finding> {
        let standing = Standing::of(case);
        let findings = |(rule, early): (&Rule, Vec<Judgement>)| {
            let judged = match rule.judge {
                Judge::Bodies(..) => judgements(rule, case, Some(bodies), None),
                Judge::Design(_) | Judge::Copies(..) | Judge::Strength(_) => early,
            };
            rule.findings(&standing, judged, mends)
        };
        let each: Vec<_> = RULES.par_iter().zip(self.0).map(findings).collect();
        each.into_iter().flatten().collect()
    }
}
