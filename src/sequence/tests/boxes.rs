//! Pieces made of bricks with whole-numbered corners, so that who blocks whom is plain.

use super::{apart, stuck, told};
use crate::sequence::{Answer, Deed, Direction, Move, Obstacles, Passage, Plan, plan};
use proptest::prelude::*;

/// A brick: its lowest and its highest corner.
type Brick = [[i32; 3]; 2];

/// Pieces, each of one or more bricks; the first is the base.
#[derive(Clone, Debug)]
struct Boxes {
    pieces: Vec<Vec<Brick>>,
    base: usize,
    moves: Vec<Move>,
}

impl Boxes {
    fn new(pieces: Vec<Vec<Brick>>) -> Self {
        Self {
            pieces,
            base: 0,
            moves: Move::all([]),
        }
    }

    /// How far brick `a` comes towards `direction` before it meets `b`; `None` if it passes.
    fn travel(a: &Brick, b: &Brick, direction: Direction) -> Option<i32> {
        let axis = usize::from(direction.axis);
        let beside = (0..3)
            .filter(|other| *other != axis)
            .any(|other| a[1][other] <= b[0][other] || b[1][other] <= a[0][other]);
        let (gap, beyond) = if direction.positive {
            (b[0][axis] - a[1][axis], b[1][axis] > a[0][axis])
        } else {
            (a[0][axis] - b[1][axis], b[0][axis] < a[1][axis])
        };
        (!beside && beyond).then_some(gap)
    }
}

impl Obstacles for Boxes {
    fn pieces(&self) -> usize {
        self.pieces.len()
    }

    fn base(&self) -> usize {
        self.base
    }

    fn moves(&self) -> &[Move] {
        &self.moves
    }

    fn passage(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Passage {
        match self.free_travel(mover, other, motion, pose) {
            Some(_) => Passage::Blocked,
            None => Passage::Free,
        }
    }

    fn free_travel(&self, mover: usize, other: usize, motion: Move, _pose: usize) -> Option<f64> {
        let pairs = self.pieces[mover]
            .iter()
            .flat_map(|a| self.pieces[other].iter().map(move |b| (a, b)));
        pairs
            .filter_map(|(a, b)| Self::travel(a, b, motion.direction()))
            .min()
            .map(f64::from)
    }

    fn volume(&self, piece: usize) -> f64 {
        let bricks = self.pieces[piece].iter();
        bricks
            .map(|[low, high]| {
                (0..3)
                    .map(|axis| f64::from(high[axis] - low[axis]))
                    .product::<f64>()
            })
            .sum()
    }
}

fn brick(low: [i32; 3], high: [i32; 3]) -> Brick {
    [low, high]
}

/// A box without a lid, open towards +z, walls 1 thick, 6 wide and 4 deep inside.
fn case() -> Vec<Brick> {
    vec![
        brick([-4, -4, 0], [4, 4, 1]),
        brick([-4, -4, 1], [-3, 4, 5]),
        brick([3, -4, 1], [4, 4, 5]),
        brick([-3, -4, 1], [3, -3, 5]),
        brick([-3, 3, 1], [3, 4, 5]),
    ]
}

#[test]
fn blocks_stacked_in_a_case_leave_from_the_top_down() {
    let layer = |z| vec![brick([-3, -3, z], [3, 3, z + 1])];
    // Listed out of order, on purpose.
    let stack = Boxes::new(vec![case(), layer(2), layer(4), layer(1), layer(3)]);
    let plan = apart(&stack);
    // The case stands open end up, so that everything is put in from above.
    assert_eq!(plan.up, Direction::new(2, true));
    assert_eq!(told(&plan), ["2 +z", "4 +z", "1 +z", "3 +z"]);
    // Each had to wait for the ones above it.
    let waited: Vec<usize> = plan.removals.iter().map(|r| r.waits.len()).collect();
    assert_eq!(waited, [0, 1, 2, 3]);
}

#[test]
fn a_ring_around_a_post_with_a_head_is_stuck_and_the_pair_is_named() {
    // A post 2 wide through a ring whose hole is 4 wide, with a head and a foot 6 wide.
    let post = vec![
        brick([-3, -3, 0], [3, 3, 1]),
        brick([-1, -1, 1], [1, 1, 4]),
        brick([-3, -3, 4], [3, 3, 5]),
    ];
    let ring = vec![
        brick([-4, -4, 2], [-2, 4, 3]),
        brick([2, -4, 2], [4, 4, 3]),
        brick([-2, -4, 2], [2, -2, 3]),
        brick([-2, 2, 2], [2, 4, 3]),
    ];
    let bystander = vec![brick([10, 0, 0], [11, 1, 1])];
    let found = stuck(&Boxes::new(vec![post, bystander, ring]));
    assert_eq!(found.pieces, [0, 2]);
    assert!(found.proved);
    assert_eq!(found.causes.len(), 1);
    let pair = found.causes[0][0];
    assert_eq!(
        [pair.mover.min(pair.other), pair.mover.max(pair.other)],
        [0, 2]
    );
}

#[test]
fn a_captive_nut_goes_in_sideways_before_the_shaft() {
    // A block with a slot for the nut, open towards +x, and a bore along z through both.
    let block = vec![
        brick([-4, -4, 0], [4, -1, 10]),
        brick([-4, 1, 0], [4, 4, 10]),
        brick([-4, -1, 0], [-1, 1, 4]),
        brick([1, -1, 0], [4, 1, 4]),
        brick([-4, -1, 6], [-1, 1, 10]),
        brick([1, -1, 6], [4, 1, 10]),
        brick([-4, -1, 4], [-3, 1, 6]),
    ];
    // The nut, 2 high, around a shaft 1 wide in each direction: four bricks.
    let nut = vec![brick([-3, -1, 4], [-1, 1, 6]), brick([1, -1, 4], [3, 1, 6])];
    let shaft = vec![brick([-1, -1, 0], [1, 1, 14])];
    let plan = apart(&Boxes::new(vec![block, nut, shaft]));
    assert_eq!(told(&plan), ["2 +z", "1 +x"]);
    assert_eq!(plan.removals[1].waits[0].blocker, 2);
}

#[test]
fn what_only_comes_apart_outside_leaves_as_a_group_and_is_taken_apart_on_the_bench() {
    // In a case lie a tray with a tongue through its side; the tongue moves along x, for which
    // the case leaves no room.
    let tray = vec![
        brick([-3, -3, 1], [3, -1, 3]),
        brick([-3, 1, 1], [3, 3, 3]),
        brick([-3, -1, 1], [3, 1, 2]),
        brick([-3, -1, 3], [3, 1, 4]),
        brick([-3, -3, 3], [3, -1, 4]),
        brick([-3, 1, 3], [3, 3, 4]),
    ];
    let tongue = vec![brick([-3, -1, 2], [3, 1, 3])];
    let plan = apart(&Boxes::new(vec![case(), tray, tongue]));
    assert_eq!(told(&plan), ["1 2 +z [2 +x]"]);
    assert_eq!(plan.removals[0].bench.as_ref().unwrap().base, 1);
}

/// What could be added to an assembly: a brick, and the way on which it comes in from outside.
fn bricks() -> impl Strategy<Value = Vec<(Brick, usize)>> {
    let corner = || (-6..6i32, -6..6i32, -6..6i32);
    let size = || (1..5i32, 1..5i32, 1..5i32);
    let one = (corner(), size(), 0..6usize)
        .prop_map(|((x, y, z), (a, b, c), way)| (brick([x, y, z], [x + a, y + b, z + c]), way));
    proptest::collection::vec(one, 1..24)
}

/// Adds those of the bricks whose way in is free, at most seven.
fn built(bricks: &[(Brick, usize)]) -> Boxes {
    let mut boxes = Boxes::new(vec![vec![brick([-2, -2, -2], [2, 2, 2])]]);
    for (brick, way) in bricks {
        let out = Direction::ALL[*way];
        let free = boxes
            .pieces
            .iter()
            .flatten()
            .all(|other| Boxes::travel(brick, other, out).is_none() && !overlap(brick, other));
        if free && boxes.pieces.len() < 8 {
            boxes.pieces.push(vec![*brick]);
        }
    }
    boxes
}

fn overlap(a: &Brick, b: &Brick) -> bool {
    (0..3).all(|axis| a[0][axis] < b[1][axis] && b[0][axis] < a[1][axis])
}

/// Replays a plan on bricks: everything leaves without meeting what stays, and all leaves.
fn replay(boxes: &Boxes, plan: &Plan) -> usize {
    let mut left = 0;
    for removal in &plan.removals {
        let Deed::Leave { motion, .. } = removal.deed else {
            panic!("bricks are not driven")
        };
        for mover in &removal.pieces {
            for other in &removal.rest {
                assert_eq!(boxes.free_travel(*mover, *other, motion, 0), None);
            }
        }
        left += match &removal.bench {
            Some(bench) => 1 + replay(boxes, bench),
            None => 1,
        };
    }
    left
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    #[test]
    fn prop_what_was_built_along_free_ways_comes_apart_again(bricks in bricks()) {
        let boxes = built(&bricks);
        if boxes.pieces.len() > 1 {
            let plan = apart(&boxes);
            prop_assert_eq!(replay(&boxes, &plan), boxes.pieces.len() - 1);
        }
    }

    /// Of any bricks that do not overlap, stuck or not: what the verdict leaves does not
    /// depend on the order of the list.
    #[test]
    fn prop_the_verdict_does_not_depend_on_the_order_of_the_list(bricks in bricks(), turn in 0..24usize) {
        let mut pieces: Vec<Vec<Brick>> = vec![vec![brick([-2, -2, -2], [2, 2, 2])]];
        for (index, (brick, _)) in bricks.iter().enumerate() {
            if pieces.iter().flatten().all(|other| !overlap(brick, other)) {
                // Pieces of two bricks interlock, pieces of one never do.
                let with = pieces.len() - 1;
                if index % 2 == 1 && with > 0 {
                    pieces[with].push(*brick);
                } else {
                    pieces.push(vec![*brick]);
                }
            }
        }
        let boxes = Boxes::new(pieces);
        let mut turned = boxes.clone();
        let by = turn % turned.pieces.len();
        turned.pieces.rotate_left(by);
        let count = turned.pieces.len();
        turned.base = (count - by) % count;
        let names = |answer: Answer, by: usize| match answer {
            Answer::Stuck(stuck) => {
                let mut pieces: Vec<usize> =
                    stuck.pieces.iter().map(|piece| (piece + by) % count).collect();
                pieces.sort_unstable();
                pieces
            }
            _ => Vec::new(),
        };
        prop_assert_eq!(names(plan(&boxes), 0), names(plan(&turned), by));
    }
}
