//! Outlines about an axis as areas with spots around them: exact in area, threads and ribs as the circles
//! of their mean area.
//!
//! Two outlines of one kind at two heights have straight lines between them; what is asked of the outline
//! at a share of the way up is asked of both. In mm, in the frame of the solid.

use super::prism;
use crate::assembly::{Outline, RIB_DIRECTIONS};
use crate::units::{Angle, Length, real};
use std::f64::consts::{PI, TAU};
use std::sync::LazyLock;

/// Corners of a full circle in an outline that has others too: it loses 2.6 % of its area, of holes that
/// take a twentieth of their part.
const AROUND: usize = 16;
/// Spots on a circle at the most.
const SPOTS: usize = 96;
/// In how many evenly spread spots a circle may be divided, of the most that there are.
const DIVISORS: [usize; 9] = [4, 6, 8, 12, 16, 24, 32, 48, SPOTS];
/// Multiples of the golden section and of the root of 2 spread evenly over what is left of them below
/// one, however many are taken.
const SPREAD: [f64; 2] = [0.618_033_988_749_894_9, 0.414_213_562_373_095_1];

/// Spots on a circle of radius 1.
static CIRCLE: LazyLock<[[f64; 2]; SPOTS]> = LazyLock::new(|| {
    std::array::from_fn(|spot| {
        let (sin, cos) = Angle::turns((spot as f64 + 0.5) / SPOTS as f64).sin_cos();
        [cos, sin]
    })
});

/// An outline about the axis.
#[derive(Clone, Debug)]
pub(super) enum Around {
    /// A circle of this radius.
    Round(f64),
    /// Corners counter-clockwise, as many on every level of a solid, star-shaped about the axis.
    Cornered(Vec<[f64; 2]>),
}

/// Two outlines of one solid.
enum Pair<'a> {
    Round(f64, f64),
    Cornered(&'a [[f64; 2]], &'a [[f64; 2]]),
}

/// By what spots are shared out among the edges of an outline.
#[derive(Clone, Copy, Debug)]
pub(super) enum By {
    /// By their lengths.
    Length,
    /// By the areas between them and the axis.
    Area,
}

/// Of each edge of an outline its share of the length around and of the area inside; none of a circle.
#[derive(Clone, Debug, Default)]
pub(super) struct Edges(Vec<[f64; 2]>);

/// A place on an outline.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// Of an outline with corners, the edge; of a circle, the spot on it.
    edge: usize,
    /// Share of the edge before it.
    along: f64,
    /// Share of the edge that it stands for, or spots on the circle.
    part: f64,
    /// Two shares that are spread evenly over all spots.
    pub(super) spread: [f64; 2],
}

/// A spot at a height.
pub(super) struct On {
    pub(super) x: f64,
    pub(super) y: f64,
    /// What it stands for of the outline, counter-clockwise.
    pub(super) across: [f64; 2],
    /// Area between that and the axis.
    pub(super) sector: f64,
}

impl Edges {
    /// Spots around the outline, each for as much of it as the others: no fewer than asked for as far as
    /// there are so many, and one on every edge.
    pub(super) fn spots(&self, count: f64, by: By, mut each: impl FnMut(Spot)) {
        let mut last = [0.5; 2];
        let mut spread = || {
            last = [0, 1].map(|of| match last[of] + SPREAD[of] {
                next if next >= 1.0 => next - 1.0,
                next => next,
            });
            last
        };
        if self.0.is_empty() {
            let parts = DIVISORS.into_iter().find(|parts| *parts as f64 >= count);
            let step = SPOTS / parts.unwrap_or(SPOTS);
            for edge in (step / 2..SPOTS).step_by(step) {
                each(Spot {
                    edge,
                    along: 0.0,
                    part: step as f64,
                    spread: spread(),
                });
            }
            return;
        }
        let most = count.min(SPOTS as f64);
        for (edge, [long, wide]) in self.0.iter().enumerate() {
            let share = match by {
                By::Length => long,
                By::Area => wide,
            };
            let parts = (share * most).round().max(1.0);
            for part in 0..parts as usize {
                each(Spot {
                    edge,
                    along: (part as f64 + 0.5) / parts,
                    part: 1.0 / parts,
                    spread: spread(),
                });
            }
        }
    }
}

impl Around {
    /// Of a shape's outline.
    pub(super) fn of(outline: &Outline) -> Self {
        match outline {
            Outline::Circle { diameter } => Self::Round(diameter.as_mm() / 2.0),
            Outline::Ribbed { diameter, tips } => Self::Round(without_ribs(*diameter, *tips)),
            Outline::Square { .. }
            | Outline::Hexagon { .. }
            | Outline::Rectangle { .. }
            | Outline::Keyed { .. }
            | Outline::Teardrop { .. }
            | Outline::Slotted { .. }
            | Outline::Polygon(_) => Self::Cornered(prism::corners(outline, AROUND)),
        }
    }

    /// Shares of its edges.
    pub(super) fn edges(&self) -> Edges {
        let Self::Cornered(corners) = self else {
            return Edges::default();
        };
        let edge = |edge: usize| {
            let next = after(corners, edge);
            [
                edge_length(corners, edge),
                cross(corners[edge], corners[next]),
            ]
        };
        let edges: Vec<[f64; 2]> = (0..corners.len()).map(edge).collect();
        let sum = |by: usize| edges.iter().map(|edge| edge[by]).sum::<f64>();
        let [around, inside] = [sum(0), sum(1)];
        let shares = edges
            .iter()
            .map(|[long, wide]| [long / around, wide / inside]);
        Edges(shares.collect())
    }

    /// Length around it.
    pub(super) fn length(&self) -> f64 {
        match self {
            Self::Round(radius) => radius * TAU,
            Self::Cornered(corners) => {
                let edges = 0..corners.len();
                edges.map(|edge| edge_length(corners, edge)).sum()
            }
        }
    }

    /// How far it reaches along x and y.
    pub(super) fn reach(&self) -> [f64; 2] {
        match self {
            Self::Round(radius) => [*radius; 2],
            Self::Cornered(corners) => [0, 1].map(|axis| {
                let far = corners.iter().map(|corner| corner[axis].abs());
                far.fold(0.0, f64::max)
            }),
        }
    }

    /// Makes it smaller, as long as it reaches no less than `far` all around.
    pub(super) fn clip(&mut self, far: f64) {
        match self {
            Self::Round(radius) => *radius = radius.min(far),
            Self::Cornered(corners) => {
                let nearest = (0..corners.len()).map(|edge| {
                    let twice = cross(corners[edge], corners[after(corners, edge)]);
                    twice / edge_length(corners, edge)
                });
                let by = (far / nearest.fold(f64::INFINITY, f64::min)).min(1.0);
                if by > 0.0 {
                    for corner in corners {
                        *corner = corner.map(|at| at * by);
                    }
                }
            }
        }
    }

    fn with<'a>(&'a self, above: &'a Self) -> Pair<'a> {
        match (self, above) {
            (Self::Round(low), Self::Round(high)) => Pair::Round(*low, *high),
            (Self::Cornered(low), Self::Cornered(high)) => Pair::Cornered(low, high),
            (Self::Round(_), Self::Cornered(_)) | (Self::Cornered(_), Self::Round(_)) => {
                unreachable!("all outlines of a prism are of one kind")
            }
        }
    }

    /// A spot at a share of the way up to another outline.
    pub(super) fn on(&self, above: &Self, spot: &Spot, t: f64) -> On {
        match self.with(above) {
            Pair::Round(low, high) => {
                let radius = low + (high - low) * t;
                let [cos, sin] = CIRCLE[spot.edge];
                let across = radius * TAU / SPOTS as f64 * spot.part;
                On {
                    x: radius * cos,
                    y: radius * sin,
                    across: [-sin * across, cos * across],
                    sector: radius * across / 2.0,
                }
            }
            Pair::Cornered(low, high) => {
                let ends = [spot.edge, after(low, spot.edge)];
                let [from, to] = ends.map(|edge| mixed(low[edge], high[edge], t));
                let [x, y] = mixed(from, to, spot.along);
                On {
                    x,
                    y,
                    across: [0, 1].map(|axis| (to[axis] - from[axis]) * spot.part),
                    sector: cross(from, to) / 2.0 * spot.part,
                }
            }
        }
    }

    /// How far another outline stands out of this one at a spot.
    pub(super) fn widens(&self, above: &Self, spot: &Spot) -> [f64; 2] {
        match self.with(above) {
            Pair::Round(low, high) => CIRCLE[spot.edge].map(|at| at * (high - low)),
            Pair::Cornered(low, high) => {
                let out = |edge: usize| [0, 1].map(|axis| high[edge][axis] - low[edge][axis]);
                mixed(out(spot.edge), out(after(low, spot.edge)), spot.along)
            }
        }
    }

    /// Area at a share of the way up to another outline.
    pub(super) fn area(&self, above: &Self, t: f64) -> f64 {
        match self.with(above) {
            Pair::Round(low, high) => {
                let radius = low + (high - low) * t;
                PI * radius * radius
            }
            Pair::Cornered(low, high) => {
                let corner = |edge: usize| mixed(low[edge], high[edge], t);
                let edges = 0..low.len();
                let sectors = edges.map(|edge| cross(corner(edge), corner(after(low, edge))));
                sectors.sum::<f64>() / 2.0
            }
        }
    }

    /// Whether a point is inside at a share of the way up to another outline.
    pub(super) fn holds(&self, above: &Self, t: f64, [x, y]: [f64; 2]) -> bool {
        match self.with(above) {
            Pair::Round(low, high) => {
                let radius = low + (high - low) * t;
                x * x + y * y <= radius * radius
            }
            Pair::Cornered(low, high) => {
                let corner = |edge: usize| mixed(low[edge], high[edge], t);
                let mut from = corner(low.len() - 1);
                // Star-shaped about the axis: the edge in the point's direction decides.
                (0..low.len()).any(|edge| {
                    let start = std::mem::replace(&mut from, corner(edge));
                    let within = cross(start, [x, y]) >= 0.0 && cross([x, y], from) >= 0.0;
                    let along = [from[0] - start[0], from[1] - start[1]];
                    within && cross(along, [x - start[0], y - start[1]]) >= 0.0
                })
            }
        }
    }
}

/// Radius of the circle that is as large as one from which three ribs take a segment each.
fn without_ribs(diameter: Length, tips: Length) -> f64 {
    let reach = Angle::from_cos((tips / diameter).min(1.0));
    let segment = reach.as_radians() - reach.sin() * reach.cos();
    let left = 1.0 - RIB_DIRECTIONS.len() as f64 * segment / PI;
    diameter.as_mm() / 2.0 * left.max(0.0).sqrt()
}

/// The corner at which an edge ends.
fn after(corners: &[[f64; 2]], edge: usize) -> usize {
    if edge + 1 == corners.len() {
        0
    } else {
        edge + 1
    }
}

fn edge_length(corners: &[[f64; 2]], edge: usize) -> f64 {
    let next = after(corners, edge);
    let [x, y] = [0, 1].map(|axis| corners[next][axis] - corners[edge][axis]);
    real::hypot(x, y)
}

fn mixed(low: [f64; 2], high: [f64; 2], t: f64) -> [f64; 2] {
    [0, 1].map(|axis| low[axis] + (high[axis] - low[axis]) * t)
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn mm(value: f64) -> Length {
        Length::mm(value)
    }

    #[test]
    fn spots_stand_for_the_whole_outline_and_its_area_however_many_there_are() {
        let circle = Outline::Circle { diameter: mm(8.0) };
        let bar = Outline::Rectangle {
            x: mm(20.0),
            y: mm(3.0),
        };
        for (outline, around, inside) in [(circle, 8.0 * PI, 16.0 * PI), (bar, 46.0, 60.0)] {
            let outline = Around::of(&outline);
            for (count, by) in [(1.0, By::Length), (30.0, By::Area), (1e4, By::Length)] {
                let (mut long, mut wide) = (0.0, 0.0);
                outline.edges().spots(count, by, |spot| {
                    let on = outline.on(&outline, &spot, 0.0);
                    long += real::hypot(on.across[0], on.across[1]);
                    wide += on.sector;
                });
                assert_relative_eq!(long, around, max_relative = 1e-12);
                assert_relative_eq!(wide, inside, max_relative = 1e-12);
            }
        }
    }

    #[test]
    fn half_way_from_a_square_to_a_larger_one_a_point_is_held_as_far_as_the_mean_side() {
        let square = |side: f64| {
            Around::of(&Outline::Square {
                side: mm(side),
                corner: mm(0.5),
            })
        };
        let (low, high) = (square(10.0), square(14.0));
        assert_relative_eq!(low.area(&high, 0.5), 144.0 - 0.5, max_relative = 1e-12);
        for (at, held) in [
            ([5.99, 0.0], true),
            ([6.01, 0.0], false),
            ([0.0, -5.99], true),
            ([5.9, 5.9], false),
        ] {
            assert_eq!(low.holds(&high, 0.5, at), held, "{at:?}");
        }
    }

    #[test]
    fn ribs_take_three_segments_of_their_circle() {
        // A segment 1 high of a radius of 4: 16 acos(3/4) - 3 root 7 mm2.
        let ribbed = Around::of(&Outline::Ribbed {
            diameter: mm(8.0),
            tips: mm(6.0),
        });
        let segment = 16.0 * Angle::from_cos(0.75).as_radians() - 3.0 * 7f64.sqrt();
        let left = 16.0 * PI - 3.0 * segment;
        assert_relative_eq!(ribbed.area(&ribbed, 0.0), left, max_relative = 1e-12);
    }
}
