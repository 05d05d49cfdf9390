//! What is judged before plastic is spent: one rule a file, each reads and never changes.
//!
//! A [`Rule`] looks at a [`Case`], a kit with its design and motion, and gives a [`Finding`]
//! for each subject it judged. [`all`] runs every rule and applies the kit's waivers. To add a
//! rule, add a file with a `RULE` and name it in [`RULES`]: a rule of strength counts for the
//! load that a mechanism bears by being there.

mod as_printed;
mod assembly_order;
mod asserted;
mod bed;
mod beds;
mod buckling;
mod chords;
mod clearance;
mod early;
mod eased;
mod end_bending;
mod engagement;
mod finding;
mod flank_overlap;
mod flank_pressure;
mod foreseen;
mod frame_bending;
mod judged;
mod keeper_bending;
mod keeper_bore;
mod kit_odds;
mod layer_support;
mod layers;
mod material;
mod mend;
mod odds_mend;
mod overhang;
mod pin_bending;
mod preload;
mod press_stress;
mod rule;
mod safe_load;
mod self_locking;
mod several_starts;
mod start;
mod stop_load;
mod stops;
mod strength;
mod thin_wall;
mod thread_gap;
mod thread_strip;
mod tilt;
mod tried;
mod typed;
mod wall;

pub use early::Early;
pub use finding::{Finding, Outcome, Subject};
pub use flank_overlap::{FLANK_OVERLAP, most_gap};
pub use foreseen::{Foreseen, foreseen, foreseen_of_copies};
pub use rule::{Bodies, Mends, Rule};

use crate::assembly::PartId;
use crate::load::{self, Case, ForceFigures, Places};
use crate::solid::Mesh;
use judged::Judged;
use rule::{Judge, Judgement, Strength};
use tried::Standing;

/// All rules, in the order in which a maker wants to read them.
pub const RULES: &[Rule] = &[
    asserted::NET_LEAD,
    asserted::ADVANCE,
    wall::RULE,
    thread_gap::RULE,
    chords::RULE,
    flank_overlap::RULE,
    kit_odds::RULE,
    as_printed::RULE,
    engagement::RULE,
    stops::RULE,
    clearance::RULE,
    several_starts::RULE,
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
    end_bending::RULE,
    safe_load::SAFE_LOAD,
    safe_load::LOAD_TORQUE,
    tilt::RULE,
    preload::RULE,
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
/// that the kit waives comes out as waived. Mends are sought where they are wanted.
pub fn all(case: &Case<'_>, bodies: &Bodies<'_>, mends: Mends) -> Vec<Finding> {
    Early::whatever(case).with_bodies(case, bodies, mends)
}

/// Judges printed parts by themselves, whatever they are parts of: whether they lie on the bed, hang in the
/// air, or have thin walls. `case` is one whose parts they are, in their order, as the meshes are. No mends
/// are sought.
pub fn of_printed(case: &Case<'_>, meshes: &[&Mesh]) -> Vec<Finding> {
    let standing = Standing::of(case);
    let rules = [
        (
            bed::RULE,
            bed::of_mesh as fn(&Case<'_>, PartId, &Mesh) -> Judgement,
        ),
        (overhang::RULE, overhang::judgement),
        (thin_wall::RULE, thin_wall::judgement),
    ];
    let each = rules.into_iter().flat_map(|(rule, judge)| {
        let judged = meshes.iter().enumerate();
        let judged = judged.map(|(index, mesh)| judge(case, PartId(index), mesh));
        rule.findings(&standing, judged.collect(), Mends::LeftOut)
    });
    each.collect()
}

/// The same by the rules that need no meshes: what can be said of a design before it is drawn.
pub fn of_design(case: &Case<'_>) -> Vec<Finding> {
    without_bodies(&Standing::of(case), Mends::Sought)
}

fn without_bodies(standing: &Standing<'_>, mends: Mends) -> Vec<Finding> {
    let case = standing.case;
    let force = force_figures(case);
    let findings = |rule: &Rule| {
        rule.findings(
            standing,
            judgements(rule, case, None, force.as_ref()),
            mends,
        )
    };
    RULES.iter().flat_map(findings).collect()
}

/// The same, and what of the rules that judge meshes is sure without them: parts that stand out
/// of the printer.
pub fn before_meshes(case: &Case<'_>, mends: Mends) -> Vec<Finding> {
    let standing = Standing::of(case);
    let mut findings = without_bodies(&standing, mends);
    findings.extend(bed::RULE.findings(&standing, bed::before_meshes(case), mends));
    findings
}

/// What a mechanism bears and presses with, by every place that a rule of strength judges; none
/// where a thread jams or a torque has no end.
pub fn force_figures(case: &Case<'_>) -> Option<ForceFigures> {
    load::figures(case, &case.plastic(), &strength_places())
}

/// The places of every rule of strength.
fn strength_places() -> Vec<Places> {
    let places = |rule: &Rule| match rule.judge {
        Judge::Strength(strength) => Some(strength.places),
        Judge::Design(_) | Judge::Copies(..) | Judge::Bodies(..) => None,
    };
    RULES.iter().filter_map(places).collect()
}

/// How a rule that is not waived comes out, as far as that is known of sizes and motion.
fn without_meshes(rule: &Rule, case: &Case<'_>) -> Vec<Judged> {
    match rule.is_waived(case) {
        true => Vec::new(),
        false => rule.without_meshes(case),
    }
}

/// What a rule says of a case; nothing where it wants meshes and there are none.
fn judgements(
    rule: &Rule,
    case: &Case<'_>,
    bodies: Option<&Bodies<'_>>,
    force: Option<&ForceFigures>,
) -> Vec<Judgement> {
    match (rule.judge, bodies) {
        (Judge::Design(judge) | Judge::Copies(judge, _), _) => judge(case),
        (Judge::Bodies(judge, _), Some(bodies)) => judge(case, bodies),
        (Judge::Bodies(..), None) => Vec::new(),
        (Judge::Strength(strength), _) => of_strength(&strength, case, force),
    }
}

fn of_strength(
    strength: &Strength,
    case: &Case<'_>,
    force: Option<&ForceFigures>,
) -> Vec<Judgement> {
    let Strength {
        places,
        before,
        after,
    } = strength;
    let mut judgements = before(case);
    judgements.extend(strength::judge(case, *places));
    judgements.extend(force.into_iter().flat_map(|force| after(case, force)));
    judgements
}

#[cfg(test)]
mod tests;
