//! What the carriage's own turning in its slots does to its travel.
//!
//! A carriage does not turn with the drive, but its ears have a gap in their slots. Friction in
//! the threads drags it along until they touch, so that after a reversal it stands at the other
//! wall. Where a thread runs between drive and carriage (*nested*) it has then moved along the
//! axis as well, by that thread's lead; where it only hangs on a swivel (*single*) it has not.

use super::solve::{JointGraph, Link};
use crate::assembly::{Assembly, Constraint, JointId};
use crate::units::{Angle, Length};

/// How far the carriage moves along the axis in one clockwise turn of its own, while the drive
/// stands still and the joint that keeps it from turning is let go.
///
/// Solved from the joints, so it holds for any layout. M12x1.75 between drive and carriage:
/// 1.75 mm. `None` where the carriage does not turn about the axis alone: something else holds it.
pub fn advance_in_own_turn(assembly: &Assembly, guide: JointId) -> Option<Length> {
    let mut graph = JointGraph::from(assembly);
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
    graph.drive = graph.carriage;
    graph.solve().ok().map(|rates| rates.carriage_advance())
}

/// Turns of the drive that a reversal costs because the carriage turns in its slots by `play`, from
/// wall to wall, dragged the way in which the drive turns: added to what the joints' plays cost.
///
/// -k p / N, with the carriage's advance k in a clockwise turn of its own
/// ([`advance_in_own_turn`]), its turning p in turns, and N the advance of the carriage in a
/// clockwise turn of the drive (derived). Below zero where the dragged carriage runs ahead of what
/// it should travel, as with two threads of one hand and the coarser in the frame: there the
/// reversal is answered that much sooner. A carriage that no friction drags stands anywhere
/// between, so this is the most of either sign. None for a net lead of zero.
pub fn turns_lost_in_slots(own: Length, play: Angle, net_lead: Length) -> Option<f64> {
    (net_lead.abs() > Length::ZERO).then(|| -(own * play.as_turns() / net_lead))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn two_threads_of_one_hand_gain_what_two_of_opposite_hands_lose() {
        // By hand, walking a reversal of M20x2.5 with M12x1.75. Forwards the carriage stands turned
        // by +p/2, backwards by -p/2; z = 2.5 n - 1.75 (n - turned).
        let play = Angle::turns(0.003);
        let z = |n: f64, turned: f64, lead: f64| 2.5 * n - lead * (n - turned);
        for lead in [1.75, -1.75] {
            let net = 2.5 - lead;
            // What the drive must go back until the carriage stands where it stood.
            let ahead = z(10.0, 0.0015, lead) - z(10.0, -0.0015, lead);
            let [own, net_lead] = [lead, net].map(Length::mm);
            let lost = turns_lost_in_slots(own, play, net_lead).unwrap();
            assert_relative_eq!(lost, -ahead / net, max_relative = 1e-9);
            assert_eq!(lost < 0.0, lead > 0.0);
        }
        assert_eq!(
            turns_lost_in_slots(Length::mm(1.75), play, Length::ZERO),
            None
        );
    }
}
