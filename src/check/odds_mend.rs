//! What would raise the odds of a kit: every lever is pulled, and what it brings is what is told.

use super::tried::Standing;
use super::typed;
use crate::assembly::Joint;
use crate::kit::{Grip, Kit, Said, key};
use crate::layout;
use crate::printer::{self, KitOdds, Profile};
use crate::units::Length;
use rayon::prelude::*;

/// Something a maker can do, and the odds that come of it.
pub(super) struct Tried {
    /// What to do.
    pub(super) what: String,
    /// The odds then.
    pub(super) odds: KitOdds,
}

/// A gain of less than two copies in a hundred is not worth a maker's trouble. Guess.
const WORTH_IT: f64 = 0.02;
/// Points while levers are compared; what is told is reckoned over all of them.
const ROUGHLY: usize = 128;
/// Steps by which a gap is moved, of this size: up to the width of any window. A gap may be moved
/// again, so nearer ones follow.
const STEPS: [i32; 8] = [-8, -4, -2, -1, 1, 2, 4, 8];
const STEP: Length = Length::mm(0.02);

/// A change of the kit, or of what is known of its printer.
struct Lever {
    /// What it moves: of two pulls at one, the later counts.
    on: String,
    what: String,
    kit: Kit,
    profile: Profile,
}

/// What helps most; if that is not enough, what helps most beside it, and so on, all told at once.
/// None where nothing is worth it.
pub(super) fn best(standing: &Standing<'_>, now: KitOdds) -> Option<Tried> {
    let case = standing.case;
    let warn = *case.kit.odds.warn;
    let mut reached = Tried {
        what: String::new(),
        odds: now,
    };
    let (mut kit, mut profile) = (case.kit.clone(), case.profile.clone());
    let mut pulled: Vec<(String, String)> = Vec::new();
    while reached.odds.usable < warn || pulled.is_empty() {
        let mut tried: Vec<(KitOdds, Lever)> = levers(&kit, &profile)
            .into_par_iter()
            .filter_map(|lever| Some((odds(&lever, ROUGHLY)?, lever)))
            .collect();
        tried.sort_by(|(a, _), (b, _)| worth(b).total_cmp(&worth(a)));
        let bears = |lever: &Lever| standing.bears_kit(&lever.kit, &lever.profile);
        let best = tried
            .into_iter()
            .take_while(|(odds, _)| worth(odds) > worth(&reached.odds))
            .find(|(_, lever)| bears(lever));
        let Some((_, lever)) = best else {
            break;
        };
        let Some(odds) = odds(&lever, printer::POINTS) else {
            break;
        };
        if worth(&odds) < worth(&reached.odds) + WORTH_IT {
            break;
        }
        pulled.retain(|(on, _)| *on != lever.on);
        pulled.push((lever.on, lever.what));
        reached.odds = odds;
        (kit, profile) = (lever.kit, lever.profile);
    }
    let said: Vec<String> = pulled.into_iter().map(|(_, what)| what).collect();
    (!said.is_empty()).then(|| Tried {
        what: said.join(", and "),
        ..reached
    })
}

/// Copies that need no second print count most; among equals those that need no file.
fn worth(odds: &KitOdds) -> f64 {
    odds.usable + odds.as_printed / 2.0
}

/// The odds with a lever pulled; none where the kit cannot be drawn so.
fn odds(lever: &Lever, points: usize) -> Option<KitOdds> {
    let design = layout::design(&lever.kit, &lever.profile).ok()?;
    Some(printer::kit_odds(&design.assembly, &lever.profile, points))
}

fn levers(kit: &Kit, profile: &Profile) -> Vec<Lever> {
    let Ok(design) = layout::design(kit, profile) else {
        return Vec::new();
    };
    let joints = &design.assembly.joints;
    let mut levers = gaps(kit, profile, joints);
    if *kit.pins.held_by == Grip::Wall {
        let mut ribs = kit.clone();
        ribs.pins.held_by = Said::default_value(Grip::Ribs);
        ribs.gaps.press = None;
        levers.push(Lever {
            on: key::PINS_HELD_BY.name().as_str().into(),
            what: format!(
                "let ribs hold the pins: {}, and no `press` in {}",
                typed::in_table(key::PINS_HELD_BY.name(), "\"ribs\""),
                typed::table(key::GAP_PRESS.name()),
            ),
            kit: ribs,
            profile: profile.clone(),
        });
    }
    if kit.pins.buy.is_none() && !*kit.pins.grades {
        let mut graded = kit.clone();
        graded.pins.grades = Said::default_value(true);
        levers.push(Lever {
            on: key::PINS_GRADES.name().as_str().into(),
            what: format!(
                "print thinner and thicker pins too, to choose from: {}",
                typed::in_table(key::PINS_GRADES.name(), true)
            ),
            kit: graded,
            profile: profile.clone(),
        });
    }
    if joints.iter().any(|joint| profile.guesses(joint)) {
        levers.push(Lever {
            on: "test pieces".into(),
            what: "print and read test pieces (`netlead coupon KIT.toml`, then `netlead tune`)"
                .into(),
            kit: kit.clone(),
            profile: profile.with_terms_known(),
        });
    }
    levers
}

/// Every kind of gap, moved either way.
fn gaps(kit: &Kit, profile: &Profile, joints: &[Joint]) -> Vec<Lever> {
    let mut found = Vec::new();
    let mut seen = Vec::new();
    for joint in joints {
        let (Some(asked), Some(gap)) = (&joint.asked, &joint.gap) else {
            continue;
        };
        let scatters = printer::Outcomes::of(joint, profile).is_some();
        if !scatters || seen.contains(&asked.path()) {
            continue;
        }
        seen.push(asked.path());
        for step in STEPS {
            let wanted = gap.wanted + STEP * f64::from(step);
            let Some(moved) = layout::with_gap(kit, asked, joint.fit, wanted) else {
                continue;
            };
            found.push(Lever {
                on: asked.path(),
                what: format!("write `{}`", asked.to_type(wanted, kit.inches)),
                kit: moved,
                profile: profile.clone(),
            });
        }
    }
    found
}
