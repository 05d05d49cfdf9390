//! Tables of who blocks whom: threads, poses, and what is not proved.

use super::{apart, stuck, told};
use crate::sequence::{Deed, Direction, Move, Obstacles, Passage, Pieces};

/// Everything is blocked but what is listed; poses are joined by the mechanism's own motion.
#[derive(Default)]
struct Listed {
    count: usize,
    moves: Vec<Move>,
    /// (mover, other, motion, pose): may pass, and back if the two change places.
    free: Vec<(usize, usize, Move, usize)>,
    /// As above, but neither proved free nor proved blocked.
    open: Vec<(usize, usize, Move, usize)>,
    /// (mover, other, motion): goes along the thread that the two share.
    threaded: Vec<(usize, usize, Move)>,
    poses: usize,
    /// Pieces that must all be there for the mechanism to be driven.
    joined: Pieces,
    /// A piece that is in the way of the mechanism's own motion, and what it meets.
    stop: Option<[usize; 2]>,
    /// A piece that hangs loose, so that nothing can be driven, once the other that holds it
    /// is gone.
    held: Option<[usize; 2]>,
}

impl Listed {
    fn lists(
        list: &[(usize, usize, Move, usize)],
        mover: usize,
        other: usize,
        motion: Move,
        pose: usize,
    ) -> bool {
        list.contains(&(mover, other, motion, pose))
            || list.contains(&(other, mover, motion.back(), pose))
    }
}

impl Obstacles for Listed {
    fn pieces(&self) -> usize {
        self.count
    }

    fn base(&self) -> usize {
        0
    }

    fn moves(&self) -> &[Move] {
        &self.moves
    }

    fn poses(&self) -> usize {
        self.poses.max(1)
    }

    fn passage(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Passage {
        if Self::lists(&self.free, mover, other, motion, pose) {
            Passage::Free
        } else if Self::lists(&self.open, mover, other, motion, pose) {
            Passage::Unproved
        } else {
            Passage::Blocked
        }
    }

    fn free_travel(&self, _: usize, _: usize, _: Move, _: usize) -> Option<f64> {
        None
    }

    fn turns_engaged(&self, mover: usize, other: usize, motion: Move, _: usize) -> f64 {
        match self.threaded.contains(&(mover, other, motion)) {
            true => 3.0,
            false => 0.0,
        }
    }

    fn meet_driven(&self, a: usize, b: usize, from: usize, to: usize) -> bool {
        let met = |[one, other]: [usize; 2]| [one, other] == [a, b] || [other, one] == [a, b];
        from != to && self.stop.is_some_and(met)
    }

    fn drive(&self, present: Pieces, from: usize, to: usize) -> Option<Vec<[usize; 2]>> {
        let stands = self.joined.both(present) == self.joined && !self.joined.is_empty();
        let met = self
            .stop
            .filter(|[a, b]| from != to && present.has(*a) && present.has(*b));
        let loose = |[held, by]: [usize; 2]| present.has(held) && !present.has(by);
        let stands = stands && !self.held.is_some_and(loose);
        stands.then(|| met.into_iter().collect())
    }
}

const OUT: Move = Move::Straight(Direction::new(2, true));
const SIDE: Move = Move::Straight(Direction::new(0, true));

#[test]
fn a_screw_that_is_only_free_along_a_left_hand_thread_is_unscrewed_clockwise() {
    let left = Move::Helical {
        lead: -2.0,
        positive: false,
    };
    let kit = Listed {
        count: 2,
        moves: Move::all([2.0, -2.0]),
        free: vec![(1, 0, left, 0)],
        ..Listed::default()
    };
    let plan = apart(&kit);
    let Deed::Leave { motion, .. } = plan.removals[0].deed else {
        panic!("the screw leaves")
    };
    // Towards -z, along a left-hand thread: seen along +z, the eye that screws it in sees it
    // turn clockwise as it comes out.
    assert_eq!(motion, left);
    assert_eq!(motion.clockwise(), Some(true));
}

#[test]
fn a_pin_that_is_reached_in_one_pose_only_is_driven_there_after_the_stop_is_out() {
    // 1: carriage, driven while 0 and 1 are there; 2: a pin in it, free in pose 1 only;
    // 3: a keeper that stops the carriage before pose 1.
    let kit = Listed {
        count: 4,
        moves: Move::all([]),
        poses: 2,
        joined: [0, 1, 2].into_iter().collect(),
        stop: Some([1, 3]),
        free: vec![
            (3, 0, OUT, 0),
            (3, 1, OUT, 0),
            (3, 2, OUT, 0),
            (2, 0, SIDE, 1),
            (2, 1, SIDE, 1),
            (1, 0, OUT, 1),
            (1, 0, OUT, 0),
        ],
        ..Listed::default()
    };
    let plan = apart(&kit);
    assert_eq!(told(&plan), ["3 +z", "drive to 1", "2 +x", "1 +z"]);
    let wait = plan.removals[1].waits[0];
    assert_eq!((wait.blocker, wait.blocked), (3, 1));
}

#[test]
fn a_joint_that_is_broken_too_early_does_not_hide_the_way() {
    // The pin leaves in either pose, and with it the motion; the carriage leaves in pose 1
    // only. Taking away whatever can go, at once, would lose the way.
    let kit = Listed {
        count: 3,
        moves: Move::all([]),
        poses: 2,
        joined: [0, 1, 2].into_iter().collect(),
        free: vec![
            (2, 0, SIDE, 0),
            (2, 1, SIDE, 0),
            (2, 0, SIDE, 1),
            (2, 1, SIDE, 1),
            (1, 0, OUT, 1),
        ],
        ..Listed::default()
    };
    assert_eq!(told(&apart(&kit)), ["drive to 1", "2 +x", "1 +z"]);
}

/// 0: base; 1: carriage, which leaves in pose 1 if anywhere; 2: pin; 3: a stop that the pin
/// holds, and that keeps the carriage from pose 1.
fn stop_that_a_pin_holds(leaves: bool) -> Listed {
    let mut free = vec![
        (2, 0, SIDE, 0),
        (2, 1, SIDE, 0),
        (2, 3, SIDE, 0),
        (3, 0, OUT, 0),
        (3, 1, OUT, 0),
    ];
    if leaves {
        free.push((1, 0, OUT, 1));
    }
    Listed {
        count: 4,
        moves: Move::all([]),
        poses: 2,
        joined: [0, 1].into_iter().collect(),
        stop: Some([1, 3]),
        held: Some([3, 2]),
        free,
        ..Listed::default()
    }
}

#[test]
fn a_piece_whose_going_ends_the_motion_may_go_if_the_next_brings_it_back() {
    // Without the pin the stop hangs loose; without both the mechanism can be driven again.
    let plan = apart(&stop_that_a_pin_holds(true));
    assert_eq!(told(&plan), ["2 +x", "3 +z", "drive to 1", "1 +z"]);
    // A carriage that leaves nowhere is stuck in whatever order.
    let found = stuck(&stop_that_a_pin_holds(false));
    assert_eq!((found.pieces, found.proved), (vec![0, 1], true));
}

#[test]
fn what_only_rings_forbid_is_called_not_proved() {
    let kit = |open: Vec<_>| Listed {
        count: 2,
        moves: Move::all([2.0]),
        open,
        ..Listed::default()
    };
    assert!(stuck(&kit(vec![])).proved);
    assert!(!stuck(&kit(vec![(1, 0, OUT, 0)])).proved);
}

#[test]
fn a_screw_that_nothing_lets_out_is_told_to_meet_along_its_thread() {
    let out = Move::Helical {
        lead: 2.0,
        positive: true,
    };
    let kit = |threaded: Vec<_>| Listed {
        count: 2,
        moves: Move::all([2.0]),
        threaded,
        ..Listed::default()
    };
    let told = |kit: &Listed| stuck(kit).causes[0][0].motion;
    assert_eq!(told(&kit(vec![(1, 0, out)])), out);
    assert!(matches!(told(&kit(vec![])), Move::Straight(_)));
}

#[test]
fn two_meetings_that_must_both_go_are_named_together() {
    // Piece 1 is held by 0 and by 2, and 2 by 0 and by 1: one waiver frees neither. 1 would
    // pass 2 and 2 would pass 1 along OUT.
    let kit = Listed {
        count: 3,
        moves: vec![OUT, OUT.back()],
        free: vec![(1, 2, OUT, 0), (2, 1, OUT, 0)],
        ..Listed::default()
    };
    let found = stuck(&kit);
    assert_eq!(found.pieces, [0, 1, 2]);
    assert_eq!(found.causes.len(), 1);
    let pairs: Vec<[usize; 2]> = found.causes[0]
        .iter()
        .map(|m| [m.mover.min(m.other), m.mover.max(m.other)])
        .collect();
    assert_eq!(pairs, [[0, 1], [0, 2]]);
}

#[test]
fn a_search_for_an_order_says_whether_it_was_cut_short() {
    use crate::sequence::greedy::{Outlook, outlook_within};
    use crate::sequence::{blame, greedy, table::Table};
    // The carriage leaves in a pose that the stop keeps it from, and the stop leaves there, too:
    // every order has to be looked at, with the pin and without.
    let mut kit = stop_that_a_pin_holds(true);
    kit.held = None;
    kit.free.retain(|(mover, ..)| *mover != 3);
    kit.free.extend([(3, 0, OUT, 1), (3, 1, OUT, 1)]);
    let all = Pieces::first(4);
    let within = |most| outlook_within(&mut Table::new(&kit), all, most);
    let enough = (0..1000).find(|most| within(*most) != Outlook::Open);
    let enough = enough.expect("a bound that is enough");
    assert!(enough > 0);
    assert_eq!(within(enough), Outlook::Stuck);
    assert_eq!(within(enough - 1), Outlook::Open);
    // What is said of either.
    let found = |outlook| {
        let mut table = Table::new(&kit);
        let rest = greedy::rest(&mut table, all);
        blame::stuck(&mut table, all, rest, outlook)
    };
    assert!(found(Outlook::Stuck).proved && !found(Outlook::Stuck).cut_short);
    // What is proved without what was left open stays proved; what is not says why.
    assert!(found(Outlook::Open).proved && !found(Outlook::Open).cut_short);
    for mover in [1, 3] {
        let others = (0..4).filter(|other| *other != mover);
        kit.open.extend(others.map(|other| (mover, other, SIDE, 0)));
    }
    let mut table = Table::new(&kit);
    let rest = greedy::rest(&mut table, all);
    let told = |table: &mut Table<'_, _>, outlook| {
        let stuck = blame::stuck(table, all, rest, outlook);
        (stuck.proved, stuck.cut_short)
    };
    assert_eq!(told(&mut table, Outlook::Open), (false, true));
    assert_eq!(told(&mut table, Outlook::Stuck), (false, false));
}
