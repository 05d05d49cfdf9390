//! A kit that cannot be put together is found before its parts are printed.
//!
//! The order is found from the meshes by taking the mechanism apart; docs/order.md says how.

use super::finding::{Outcome, Subject};
use super::mend::Mend;
use super::rule::{Bodies, Judge, Judgement, Rule};
use super::typed::table;
use crate::kit::key;
use crate::load::Case;
use crate::sequence::{Jam, Order, Speaker};

/// Rule: everything comes apart, so everything goes together.
pub(super) const RULE: Rule = Rule {
    id: "assembly-order",
    about: "the parts cannot be put together, or it is not proved that they can",
    why: "Parts may fit each other well where they stand and still have no way to get there. \
          That shows when the last of them is printed.",
    formula: "The mechanism is taken apart on its meshes, by straight motions along the axes, \
              along each thread's lead, and by its own motion; the value is how many pieces are \
              left beside the frame. Fails if pieces surely meet whichever of these ways they \
              go, warns if that is only not ruled out.",
    source: "derived: taking parts away adds no obstacle, so what is left does not depend on the \
             order",
    mend: "make what meets narrower, or what it must pass wider",
    judge: Judge::Bodies(judge, |_| Vec::new()),
};

fn judge(case: &Case<'_>, bodies: &Bodies<'_>) -> Vec<Judgement> {
    let speaker = Speaker {
        assembly: &case.design.assembly,
        told: case.kit.told(),
    };
    let pieces = case.design.assembly.instances.len();
    let judgement = |outcome, left: usize, message, mend: Option<Mend>| Judgement {
        outcome,
        subject: Subject::Piece(case.design.assembly.frame),
        value: left as f64,
        limit: Some(0.0),
        unit: "1",
        message,
        mend,
        at: case.kit.place_of(&[key::LAYOUT.name()]),
    };
    let found = match bodies.order {
        Order::Apart { removals, .. } => judgement(
            Outcome::Pass,
            0,
            format!(
                "all {pieces} pieces come apart, in {} motions, so they go together",
                removals.len()
            ),
            None,
        ),
        Order::Stuck(jam) => judgement(
            if jam.proved {
                Outcome::Fail
            } else {
                Outcome::Warn
            },
            jam.pieces.len().saturating_sub(1),
            speaker.jam(jam, &case.design.regions),
            Some(mend(jam).into()),
        ),
        Order::Overlapping(pairs) => {
            let names = pairs.iter().map(|(pair, _)| speaker.names(pair));
            let names: Vec<String> = names.collect();
            judgement(
                Outcome::Fail,
                pairs.len(),
                format!(
                    "pieces overlap where they stand together: {}",
                    names.join("; ")
                ),
                Some("mend what the check `clearance` finds".into()),
            )
        }
        Order::TooMany(count) => judgement(
            Outcome::Warn,
            *count,
            format!("{count} pieces are more than an order is looked for"),
            None,
        ),
    };
    vec![found]
}

fn mend(jam: &Jam) -> String {
    let (sizes, gaps) = (
        table(key::TAPPED_WALL.name()),
        table(key::GAP_THREAD.name()),
    );
    match (jam.proved, jam.causes.is_empty()) {
        (true, false) => format!(
            "make what meets narrower, or what it must pass wider: look at what this kit sets in \
             {sizes} and {gaps}"
        ),
        (true, true) => format!("leave out what this kit sets in {sizes} and {gaps}"),
        (false, _) => "try it on the parts with the narrowest way, or give them more room".into(),
    }
}
