//! The search, judged on obstacles that can be seen with the eye: pieces made of bricks, and
//! tables of who blocks whom.

mod boxes;
mod tables;

use super::*;

/// The plan, or a failure that shows the answer.
fn apart(obstacles: &impl Obstacles) -> Plan {
    match plan(obstacles) {
        Answer::Apart(plan) => plan,
        other => panic!("{other:?}"),
    }
}

/// Why it is stuck, or a failure that shows the answer.
fn stuck(obstacles: &impl Obstacles) -> Stuck {
    match plan(obstacles) {
        Answer::Stuck(stuck) => stuck,
        other => panic!("{other:?}"),
    }
}

/// Pieces and direction of every removal, in words: `1 2 +x`; those on the bench in brackets.
fn told(plan: &Plan) -> Vec<String> {
    let removal = |removal: &Removal| {
        let names: Vec<String> = removal.pieces.iter().map(ToString::to_string).collect();
        let deed = match removal.deed {
            Deed::Leave { motion, .. } => {
                let direction = motion.direction();
                let sign = if direction.positive { '+' } else { '-' };
                let axis = ["x", "y", "z"][usize::from(direction.axis)];
                format!("{} {sign}{axis}", names.join(" "))
            }
            Deed::Drive { to, .. } => format!("drive to {to}"),
        };
        match &removal.bench {
            Some(bench) => format!("{deed} [{}]", self::told(bench).join(", ")),
            None => deed,
        }
    };
    plan.removals.iter().map(removal).collect()
}
