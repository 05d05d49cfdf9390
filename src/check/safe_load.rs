//! A load that the weakest place bears once, without reserve, is no load to work with.

use super::eased::NEAR_SAFE;
use super::finding::{Outcome, Subject};
use super::mend::{Mend, NOTHING_HELPS};
use super::rule::{Judge, Judgement, Rule};
use super::tried::Standing;
use super::{eased, force_figures};
use crate::kit::key;
use crate::load::{Case, Cause, Change, Trains};
use crate::units::Torque;
use crate::units_told::number;

/// Rule: the kit's load against the safe load.
pub(super) const SAFE_LOAD: Rule = Rule {
    id: "safe-load",
    about: "the load that the kit gives is more than the safe load",
    why: "Strengths of good prints scatter by a third, of poor ones by more. A load just below \
          what the weakest place bears on paper breaks one print in a few.",
    formula: "The load at which the weakest place of all rules of strength reaches its limit, at \
              the friction that is worse for it, by 2 or what the kit writes as `load.reserve`: \
              the safe load that the page tells. Of a load that stays, a fifth of the breaking one \
              if that is less. Fails above it, warns from 0.9 of it.",
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
              share, at the greatest friction of the filament, dry or greased (or of the kit, where it says one), \
              the harder of pull and push. Fails where `load.torque` is less.",
    source: "power screw formula (Shigley, 9th ed., sect. 8-2); friction: measured ranges of the \
             filament",
    mend: "give the torque that the load needs, a smaller load, or a thread with a smaller lead",
    judge: Judge::Design(torque),
};

fn reserve(case: &Case<'_>) -> Vec<Judgement> {
    let load = case.kit.load.force.as_ref();
    let judged = load.zip(force_figures(case)).map(|(load, figures)| {
        let most = eased::allowed(case, &figures);
        let told = case.kit.told();
        let stays = match *case.kit.load.lasting {
            true => "lasting ",
            false => "",
        };
        let outcome = if **load > most {
            Outcome::Fail
        } else if **load > most * NEAR_SAFE {
            Outcome::Warn
        } else {
            Outcome::Pass
        };
        Judgement {
            outcome,
            subject: Subject::Load,
            value: load.as_newtons(),
            limit: Some(most.as_newtons()),
            unit: "N",
            message: format!(
                "the kit's {stays}load is {}, the safe one {}: the weakest place, {}, gives way at \
                 {}, and a reserve of {} is kept",
                told.force(**load),
                told.force(most),
                figures.weakest,
                told.force(figures.breaking),
                number(*case.kit.load.reserve, 2)
            ),
            mend: Some(Mend::sought(move |standing| {
                // What a torque asks of the load is told with it, so that following it once is enough.
                let less = eased::mend(standing.case, &figures.weakest);
                less.unwrap_or_else(|| NOTHING_HELPS.into())
            })),
            at: load.at.clone(),
        }
    });
    Vec::from_iter(judged)
}

fn torque(case: &Case<'_>) -> Vec<Judgement> {
    let judged = case.kit.load.torque.as_ref().zip(needed(case));
    let judged = judged.map(|(meant, needed)| {
        let told = case.kit.told();
        let fails = meant.value < needed;
        Judgement {
            outcome: if fails { Outcome::Fail } else { Outcome::Pass },
            subject: Subject::Load,
            value: meant.as_newton_metres(),
            limit: Some(needed.as_newton_metres()),
            unit: "N m",
            message: format!(
                "the torque to work with is {}, and the load needs {} at a friction of {}",
                told.torque(meant.value),
                told.torque(needed),
                number(case.kit.friction().high, 3)
            ),
            mend: Some(Mend::sought({
                let meant = meant.value;
                move |standing| enough(standing, meant, needed)
            })),
            at: meant.at.clone(),
        }
    });
    Vec::from_iter(judged)
}

/// What makes the torque enough for the load: more of it where every place bears that, grease,
/// else a smaller load.
fn enough(standing: &Standing<'_>, meant: Torque, needed: Torque) -> String {
    let case = standing.case;
    let told = case.kit.told();
    let mut ways = Vec::new();
    let typed = eased::up_torque(told, needed);
    if eased::torque(case, Cause::Torque).is_some_and(|borne| typed <= borne) {
        let torque = format!("\"{}\"", told.typed_torque(typed));
        ways.push(format!("write {}", key::LOAD_TORQUE.name().typed(torque)));
    }
    ways.extend(grease(standing, |after| {
        self::needed(after).is_some_and(|needed| needed <= meant)
    }));
    if let Some(moved) = eased::moved(case, meant) {
        let most = eased::load(case).map_or(moved, |least| moved.min(least));
        let most = eased::down_force(told, most);
        ways.push(format!(
            "write a load of {} or less",
            told.typed_force(most)
        ));
    }
    ways.join(", or ")
}

/// Grease, where it does what is asked and overloads nothing: a hand presses harder on it.
pub(super) fn grease(standing: &Standing<'_>, does: impl Fn(&Case<'_>) -> bool) -> Option<String> {
    let case = standing.case;
    if case.kit.friction.is_some() || *case.kit.grease {
        return None;
    }
    let helps = standing.helps(&Change::Grease, Outcome::Fail, does);
    helps.then(|| Change::Grease.told(case.kit))
}

/// What the kit's load asks of the head where friction is greatest; none where a thread jams.
pub(super) fn needed(case: &Case<'_>) -> Option<Torque> {
    let load = case.kit.load.force.as_ref()?;
    let rough = Trains::of(case, case.kit.friction().high)?;
    Some(rough.under(load.value).torque)
}
