//! Straight motions, exact on the meshes: one comparison for the whole way.
//!
//! Along a direction d, on every line that both pieces meet, b must not reach beyond the lowest
//! point of a if a is to leave for good; and a goes until the first facet that faces ahead meets
//! one of b that faces back. Neither asks for poses on the way. The pairs of boxes that promise
//! most are taken first, ties by their place in the trees.

use super::body::Body;
use super::box_tree::{Node, Waiting, opened};
use super::facet::{Facet, SLACK, towards};
use nalgebra::{Point3, Vector3};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Facets whose normal stands nearer to the way than by this cosine face it squarely. A pin's
/// lead-in of 45 degrees (0.71) does not, its wall does over 37 degrees to either side of a way
/// across it. Guess.
const SQUARELY: f64 = 0.8;

/// Meetings narrower than this across the way do not count, in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Across {
    /// Of facets of which either stands at a slant to the way.
    pub(super) slanted: f64,
    /// Of facets that both face it squarely: those bear, however narrow they are.
    pub(super) square: f64,
}

impl Across {
    /// The same width for all.
    pub(super) const fn all(width: f64) -> Self {
        Self {
            slanted: width,
            square: width,
        }
    }

    fn least(&self) -> f64 {
        self.slanted.min(self.square)
    }

    fn of(&self, a: &Facet, b: &Facet, along: &Vector3<f64>) -> f64 {
        let square = |facet: &Facet| facet.normal.dot(along).abs() > SQUARELY;
        if square(a) && square(b) {
            self.square
        } else {
            self.slanted
        }
    }
}

/// A direction with two more square to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    along: Vector3<f64>,
    across: [Vector3<f64>; 2],
}

impl Way {
    /// Along a vector of any length but zero.
    pub(super) fn new(direction: Vector3<f64>) -> Self {
        let along = direction / direction.norm();
        // The axis that the way leans to least, so that the cross product is long and keeps its
        // digits.
        let least = (0..3).fold(0, |least, axis| {
            if along[axis].abs() < along[least].abs() {
                axis
            } else {
                least
            }
        });
        let mut steepest = Vector3::zeros();
        steepest[least] = 1.0;
        let first = along.cross(&steepest).normalize();
        Self {
            along,
            across: [first, along.cross(&first)],
        }
    }

    /// Where a box begins and ends along an axis.
    fn reach(node: &Node, axis: &Vector3<f64>, shift: f64) -> [f64; 2] {
        let (low, high) = (&node.bounds.low, &node.bounds.high);
        let middle = 0.5 * (low.coords + high.coords).dot(axis) + shift;
        let half = 0.5 * (high - low).dot(&axis.abs());
        [middle - half, middle + half]
    }
}

/// Two facets that meet, and where.
#[derive(Clone, Copy, Debug)]
pub(super) struct FacetMeeting {
    /// Positions among the facets of either body.
    pub(super) facets: [usize; 2],
    /// On b, in the assembly frame.
    pub(super) point: Point3<f64>,
    /// How far a goes before, in mm; of a way without end, how far b reaches beyond a's lowest
    /// point.
    pub(super) along: f64,
}

/// Which of two questions is asked.
#[derive(Clone, Copy, PartialEq)]
enum Question {
    /// Does b reach beyond a's lowest point?
    Beyond,
    /// How far does a go before it meets b, if less than this?
    Travel(f64),
}

/// What b has in the way of a that leaves along a direction for good. a stands shifted from
/// where its mesh is. What is narrower than `across` is no meeting.
pub(super) fn beyond(
    a: &Body,
    b: &Body,
    shift: &Vector3<f64>,
    way: &Way,
    across: Across,
) -> Option<FacetMeeting> {
    search(a, b, shift, way, across, Question::Beyond)
}

/// The first thing of b that a meets within a distance. What begins within `SLACK` of where a
/// stands counts as met at once; what a has passed, or stands in, does not.
pub(super) fn first_met(
    a: &Body,
    b: &Body,
    shift: &Vector3<f64>,
    way: &Way,
    across: Across,
    reach: f64,
) -> Option<FacetMeeting> {
    search(a, b, shift, way, across, Question::Travel(reach))
}

struct Search<'a> {
    a: &'a Body,
    b: &'a Body,
    shift: Vector3<f64>,
    way: &'a Way,
    across: Across,
    question: Question,
    /// Facing bits that facets of a and b must have some of.
    facing: [u8; 2],
}

fn search(
    a: &Body,
    b: &Body,
    shift: &Vector3<f64>,
    way: &Way,
    across: Across,
    question: Question,
) -> Option<FacetMeeting> {
    let (ahead, back) = (towards(&way.along), towards(&-way.along));
    let search = Search {
        a,
        b,
        shift: *shift,
        way,
        across,
        question,
        facing: match question {
            Question::Beyond => [back, ahead],
            Question::Travel(_) => [ahead, back],
        },
    };
    search.best_first()
}

impl Search<'_> {
    fn best_first(&self) -> Option<FacetMeeting> {
        let mut heap = BinaryHeap::new();
        if !self.a.facets.is_empty() && !self.b.facets.is_empty() {
            heap.extend(self.waiting([0, 0]));
        }
        let mut best: Option<FacetMeeting> = None;
        while let Some(Waiting { promise, pair }) = heap.pop() {
            // A promise is never less than what its boxes hold, so nothing that waits can be
            // better.
            if best.is_some_and(|best| self.promise_of(&best) >= promise) {
                break;
            }
            let nodes = pair.0;
            match opened(&self.a.tree, &self.b.tree, nodes) {
                Some(pairs) => {
                    let open = pairs.into_iter().filter_map(|pair| self.waiting(pair));
                    heap.extend(open);
                }
                None => self.compare(nodes, &mut best),
            }
            // That something is in the way for good needs no better witness.
            if best.is_some() && self.question == Question::Beyond {
                break;
            }
        }
        best
    }

    fn promise_of(&self, meeting: &FacetMeeting) -> f64 {
        match self.question {
            Question::Beyond => meeting.along,
            Question::Travel(_) => -meeting.along,
        }
    }

    /// A pair of boxes, if anything in it can meet.
    fn waiting(&self, nodes: [u32; 2]) -> Option<Waiting<Reverse<[u32; 2]>>> {
        let a = &self.a.tree.nodes[nodes[0] as usize];
        let b = &self.b.tree.nodes[nodes[1] as usize];
        if a.facing & self.facing[0] == 0 || b.facing & self.facing[1] == 0 {
            return None;
        }
        for axis in &self.way.across {
            let [a_low, a_high] = Way::reach(a, axis, self.shift.dot(axis));
            let [b_low, b_high] = Way::reach(b, axis, 0.0);
            // The lesser of both widths, since which holds is known of facets only, not of boxes.
            let least = self.across.least();
            if a_high - b_low < least || b_high - a_low < least {
                return None;
            }
        }
        let along = &self.way.along;
        let [a_low, a_high] = Way::reach(a, along, self.shift.dot(along));
        let [b_low, b_high] = Way::reach(b, along, 0.0);
        let promise = match self.question {
            Question::Beyond => (b_high - a_low > SLACK).then_some(b_high - a_low),
            Question::Travel(reach) => {
                let (least, most) = (b_low - a_high, b_high - a_low);
                // Boxes that overlap promise a meeting at once; by how much they overlap says
                // nothing of the facets in them.
                (most >= -SLACK && least < reach - SLACK).then_some(-least.max(0.0))
            }
        };
        promise.map(|promise| Waiting {
            promise,
            pair: Reverse(nodes),
        })
    }

    /// Compares the facets of two leaves.
    fn compare(&self, [a, b]: [u32; 2], best: &mut Option<FacetMeeting>) {
        let sign = match self.question {
            Question::Beyond => -1.0,
            Question::Travel(_) => 1.0,
        };
        let along = &self.way.along;
        for first in self.a.tree.held(a) {
            let of_a = &self.a.facets[first];
            if of_a.normal.dot(along) * sign <= 0.0 {
                continue;
            }
            for second in self.b.tree.held(b) {
                let of_b = &self.b.facets[second];
                if of_b.normal.dot(along) * sign >= 0.0 {
                    continue;
                }
                let met = self.meet(of_a, of_b);
                let better = |(far, _): &(f64, _)| {
                    best.is_none_or(|best| match self.question {
                        Question::Beyond => *far > best.along,
                        Question::Travel(_) => *far < best.along,
                    })
                };
                if let Some((along, point)) = met.filter(better) {
                    *best = Some(FacetMeeting {
                        facets: [first, second],
                        point,
                        along,
                    });
                }
            }
        }
    }

    /// Whether two facets meet: seen along the way they share area, and there b's height over
    /// a is what is asked for. Gives that height, and where on b.
    fn meet(&self, a: &Facet, b: &Facet) -> Option<(f64, Point3<f64>)> {
        let [u, v] = &self.way.across;
        let seen = |point: &Point3<f64>| [point.coords.dot(u), point.coords.dot(v)];
        let lift = [self.shift.dot(u), self.shift.dot(v)];
        let a_seen = a.corners.map(|corner| {
            let [x, y] = seen(&corner);
            [x + lift[0], y + lift[1]]
        });
        let b_seen = b.corners.map(|corner| seen(&corner));
        let along = &self.way.along;
        let across = self.across.of(a, b, along);
        let common = Area::common(&a_seen, &b_seen);
        // Width and not area: a touch along an edge of 50 mm has area by rounding alone, and bears
        // nothing.
        if common.thickness() < across {
            return None;
        }
        let a_height = Plane::through(&a_seen, a, along, self.shift.dot(along));
        let b_height = Plane::through(&b_seen, b, along, 0.0);
        let over = |spot: &[f64; 2]| b_height.at(spot) - a_height.at(spot);
        // Only where b is ahead; a mere edge of that, where two facets touch, is no meeting.
        let ahead = match self.question {
            Question::Beyond => SLACK,
            Question::Travel(_) => -SLACK,
        };
        let common = common.cut(|spot| over(spot) - ahead);
        if common.thickness() < across {
            return None;
        }
        // Both heights are linear over what is shared, so their difference is least and greatest at
        // corners.
        let mut best: Option<(f64, [f64; 2])> = None;
        for spot in common.corners() {
            let over = over(spot);
            let better = match self.question {
                Question::Beyond => best.is_none_or(|(so_far, _)| over > so_far),
                Question::Travel(_) => best.is_none_or(|(so_far, _)| over < so_far),
            };
            if better {
                best = Some((over, *spot));
            }
        }
        let (over, spot) = best?;
        let far = match self.question {
            Question::Beyond => over,
            // Where two facets cross, the pieces overlap from the start: met at once.
            Question::Travel(reach) => (over < reach - SLACK).then_some(over.max(0.0))?,
        };
        let point = *u * spot[0] + *v * spot[1] + *along * b_height.at(&spot);
        Some((far, Point3::from(point)))
    }
}

/// Height over the plane across the way, linear in it.
struct Plane {
    base: [f64; 2],
    height: f64,
    slope: [f64; 2],
}

impl Plane {
    fn through(seen: &[[f64; 2]; 3], facet: &Facet, along: &Vector3<f64>, lift: f64) -> Self {
        let heights = facet.corners.map(|corner| corner.coords.dot(along) + lift);
        let side = |to: usize| {
            (
                seen[to][0] - seen[0][0],
                seen[to][1] - seen[0][1],
                heights[to] - heights[0],
            )
        };
        let (one, two) = (side(1), side(2));
        let area = one.0 * two.1 - one.1 * two.0;
        let slope = [
            (one.2 * two.1 - two.2 * one.1) / area,
            (one.0 * two.2 - two.0 * one.2) / area,
        ];
        Self {
            base: seen[0],
            height: heights[0],
            // A facet that is seen on edge has no area, and its slope is no number: taken for
            // level, it is judged by where its first corner is.
            slope: slope.map(|slope| if slope.is_finite() { slope } else { 0.0 }),
        }
    }

    fn at(&self, spot: &[f64; 2]) -> f64 {
        self.height
            + self.slope[0] * (spot[0] - self.base[0])
            + self.slope[1] * (spot[1] - self.base[1])
    }
}

/// Corners of what two triangles share: at most three of each and six crossings.
const MOST_CORNERS: usize = 12;

/// The area that two triangles share in a plane.
struct Area {
    corners: [[f64; 2]; MOST_CORNERS],
    count: usize,
}

impl Area {
    /// The first triangle, cut off at each side of the second.
    fn common(first: &[[f64; 2]; 3], second: &[[f64; 2]; 3]) -> Self {
        let mut area = Self {
            corners: [[0.0; 2]; MOST_CORNERS],
            count: 3,
        };
        area.corners[..3].copy_from_slice(first);
        // Seen along the way a triangle may turn either way round, so the inside is on the side of
        // its own turn.
        let turn = cross(&second[0], &second[1], &second[2]);
        for side in 0..3 {
            let (from, to) = (second[side], second[(side + 1) % 3]);
            area = area.cut(|spot| cross(&from, &to, spot) * turn.signum());
        }
        area
    }

    fn corners(&self) -> &[[f64; 2]] {
        &self.corners[..self.count]
    }

    /// What lies where a linear function of the place is not below zero.
    fn cut(&self, side: impl Fn(&[f64; 2]) -> f64) -> Self {
        let mut kept = Self {
            corners: [[0.0; 2]; MOST_CORNERS],
            count: 0,
        };
        for index in 0..self.count {
            let (here, next) = (self.corners[index], self.corners[(index + 1) % self.count]);
            let (at_here, at_next) = (side(&here), side(&next));
            if at_here >= 0.0 {
                kept.push(here);
            }
            if (at_here > 0.0 && at_next < 0.0) || (at_here < 0.0 && at_next > 0.0) {
                let share = at_here / (at_here - at_next);
                kept.push([
                    here[0] + share * (next[0] - here[0]),
                    here[1] + share * (next[1] - here[1]),
                ]);
            }
        }
        kept
    }

    fn push(&mut self, spot: [f64; 2]) {
        if self.count < MOST_CORNERS {
            self.corners[self.count] = spot;
            self.count += 1;
        }
    }

    /// Twice the area over the way around it: of a long strip its width.
    fn thickness(&self) -> f64 {
        let corners = self.corners();
        let Some(first) = corners.first() else {
            return 0.0;
        };
        let (mut twice, mut around) = (0.0, 0.0);
        for (index, here) in corners.iter().enumerate() {
            let next = &corners[(index + 1) % corners.len()];
            twice += cross(first, here, next);
            let (dx, dy) = (next[0] - here[0], next[1] - here[1]);
            around += (dx * dx + dy * dy).sqrt();
        }
        // A speck has neither area nor a way around it but rounding.
        if around > SLACK {
            twice.abs() / around
        } else {
            0.0
        }
    }
}

fn cross(a: &[f64; 2], b: &[f64; 2], c: &[f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}
