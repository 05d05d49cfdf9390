//! What the carriage's own turning in its slots does to its travel.
//!
//! A carriage does not turn with the drive, but its ears have a gap in their slots. Friction in
//! the threads drags it along until they touch, so that after a reversal it stands at the other
//! wall. Where a thread runs between drive and carriage (*nested*) it has then moved along the
//! axis as well, by that thread's lead; where it only hangs on a swivel (*single*) it has not.

use super::solve::{JointGraph, Link};
use crate::assembly::{Assembly, Constraint, JointId};
use crate::units::Length;

/// How far the carriage moves along the axis in one clockwise turn of what a joint keeps from
/// turning (its first piece: the carriage in its guide, a nut in its pocket), while the drive stands
/// still and that joint is let go.
///
/// Solved from the joints, so it holds for any layout. M12x1.75 between drive and carriage:
/// 1.75 mm. `None` where the piece does not turn about the axis alone: something else holds it.
pub fn advance_in_own_turn(assembly: &Assembly, guide: JointId) -> Option<Length> {
    let mut graph = JointGraph::from(assembly);
    let [turned, _] = assembly.joint(guide).between;
    let mut at = 0;
    graph.links.retain(|_| {
        at += 1;
        at - 1 != guide.0
    });
    graph.links.push(Link {
        name: "drive held".into(),
        constraint: Constraint::Rigid,
        between: [graph.drive, graph.frame],
    });
    graph.drive = turned;
    graph.solve().ok().map(|rates| rates.carriage_advance())
}

/// How far the carriage gets ahead, in the way in which the drive moves it, when it is carried along
/// by one turn of the drive: less than nothing where it falls behind.
///
/// At a reversal a carriage that friction carries along stands at the other wall of its slots only
/// after it turned by its play p; it has then gone k p beyond what its turns give, with its advance k
/// in a turn of its own ([`advance_in_own_turn`]). With two threads of one hand and the coarser in the
/// frame the reversal is answered that much sooner; with opposite hands later (derived). A carriage
/// that nothing carries stands anywhere between. Nothing where more than its guide holds it.
pub fn carried_on(assembly: &Assembly, guide: JointId) -> Length {
    let own = advance_in_own_turn(assembly, guide).unwrap_or(Length::ZERO);
    let net = JointGraph::from(assembly).solve();
    match net.is_ok_and(|rates| rates.carriage_advance() < Length::ZERO) {
        true => -own,
        false => own,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn two_threads_of_one_hand_gain_what_two_of_opposite_hands_lose() {
        // By hand, walking a reversal of M20x2.5 with M12x1.75. Forwards the carriage stands turned
        // by +p/2, backwards by -p/2; z = 2.5 n - 1.75 (n - turned).
        let z = |n: f64, turned: f64, lead: f64| 2.5 * n - lead * (n - turned);
        for (inner, lead) in [("M12x1.75", 1.75), ("M12x1.75-LH", -1.75)] {
            let text = format!(
                "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"{inner}\"\nstroke = 10\n"
            );
            let kit: crate::kit::Kit = text.parse().expect("a valid kit");
            let profile = crate::printer::Profile::untuned_for(&kit);
            let design = crate::layout::design(&kit, &profile).expect("a design");
            let guide = &design.members.guides[0];
            let ahead = z(10.0, 0.5, lead) - z(10.0, -0.5, lead);
            let told = carried_on(&design.assembly, guide.joint).as_mm();
            assert_relative_eq!(told, ahead, max_relative = 1e-9);
        }
    }
}
