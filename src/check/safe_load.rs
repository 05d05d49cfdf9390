//! A load that the weakest place bears once, without reserve, is no load to work with.

use super::finding::{Outcome, Subject};
use super::force_figures;
use super::rule::{Judge, Judgement, Rule};
use super::strength::rounded_down;
use super::typed::under_table;
use crate::kit::{Said, key};
use crate::load::{Case, RESERVE, Trains, friction};
use crate::units::{Force, Torque};

/// Rule: the kit's load against the safe load.
pub(super) const SAFE_LOAD: Rule = Rule {
    id: "safe-load",
    about: "the load that the kit gives is more than the safe load",
    why: "Strengths of good prints scatter by a third, of poor ones by more. A load just below \
          what the weakest place bears on paper breaks one print in a few.",
    formula: "The load at which the weakest place of all rules of strength reaches its limit, at \
              the greatest friction of the filament (or of the kit, where it says one), by 2: the \
              safe load that the page tells. Of a load that stays, a fifth of the breaking one if \
              that is less. Fails above it.",
    source: "reserve of 2: guess, for the scatter of prints; lasting share: common practice",
    mend: "take thicker threads or pins, or a smaller load",
    judge: Judge::Design(reserve),
};

/// Rule: the torque that the kit means to work with against that which its load needs.
pub(super) const LOAD_TORQUE: Rule = Rule {
    id: "load-torque",
    about: "the torque that the kit means to work with does not move its load",
    why: "Whoever gives a load and a torque expects the one to do the other. Where it does not, \
          the maker turns harder than planned, and finds the weakest place.",
    formula: "T = W [(d1/2) tan(phi + lambda1) + (d2/2) tan(phi - lambda2)] and the swivel's \
              share, at the greatest friction of the filament (or of the kit, where it says one), \
              the harder of pull and push. Fails where `load.torque` is less.",
    source: "power screw formula (Shigley, 9th ed., sect. 8-2); friction: measured ranges of the \
             filament",
    mend: "give the torque that the load needs, a smaller load, or a thread with a smaller lead",
    judge: Judge::Design(torque),
};

fn reserve(case: &Case<'_>) -> Vec<Judgement> {
    let load = case.kit.load.force.as_ref();
    let figures = force_figures(case);
    let judged = load.zip(figures).map(|(load, figures)| {
        let lasting = *case.kit.load.lasting;
        let most = match lasting {
            true => figures.safe_load.min(figures.lasting_load),
            false => figures.safe_load,
        };
        let told = case.kit.told();
        let stays = if lasting { "lasting " } else { "" };
        Judgement {
            outcome: fails(**load > most),
            subject: Subject::Load,
            value: load.as_newtons(),
            limit: Some(most.as_newtons()),
            unit: "N",
            message: format!(
                "the kit's {stays}load is {}, the safe one {}: the weakest place, {}, gives way at \
                 {}, and a reserve of {RESERVE} is kept",
                told.force(**load),
                told.force(most),
                figures.weakest,
                told.force(figures.breaking)
            ),
            mend: Some(format!(
                "take thicker threads or pins, or write a load of {} N or less",
                rounded_down(most.as_newtons())
            )),
            at: load.at.clone(),
        }
    });
    Vec::from_iter(judged)
}

fn torque(case: &Case<'_>) -> Vec<Judgement> {
    let load = &case.kit.load;
    let needed = load.force.as_ref().and_then(|force| needed(case, force));
    let judged = load.torque.as_ref().zip(needed).map(|(meant, needed)| {
        let told = case.kit.told();
        Judgement {
            outcome: fails(meant.value < needed),
            subject: Subject::Load,
            value: meant.as_newton_metres(),
            limit: Some(needed.as_newton_metres()),
            unit: "N m",
            message: format!(
                "the torque to work with is {}, and the load needs up to {}",
                told.torque(meant.value),
                told.torque(needed)
            ),
            // A hundredth more than is needed, so that what is typed passes.
            mend: Some(format!(
                "write {}, a smaller load, or take a thread with a smaller lead",
                under_table(
                    key::LOAD_TORQUE.name(),
                    format!(
                        "\"{:.2} N m\"",
                        (needed.as_newton_metres() * 100.0).ceil() / 100.0
                    )
                )
            )),
            at: meant.at.clone(),
        }
    });
    Vec::from_iter(judged)
}

/// What the load asks of the head where friction is greatest; none where a thread jams.
fn needed(case: &Case<'_>, load: &Said<Force>) -> Option<Torque> {
    let rough = Trains::of(case, friction(case).high)?;
    Some(rough.under(load.value).torque)
}

fn fails(broken: bool) -> Outcome {
    match broken {
        true => Outcome::Fail,
        false => Outcome::Pass,
    }
}
