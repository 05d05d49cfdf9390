//! A solid of a shape as outlines stacked along its own axis, each exact in area: what it holds, what is
//! inside it, and points spread over its faces.
//!
//! Threads come in as the round bars of their volume. In mm; a stack's own frame is that of its solid,
//! all that is given out stands in the print frame.

use super::expected::reach;
use super::prism;
use super::round::{self, Ring};
use crate::assembly::{Outline, Placed, Pose, RIB_DIRECTIONS, Solid};
use crate::units::{Angle, Length, real};
use nalgebra::{Matrix3, Point3, Vector3};
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

/// How spots are shared out among edges: by their lengths, or by the areas between them and the axis.
const BY_LENGTH: usize = 0;
const BY_AREA: usize = 1;

/// Lowest and highest corner of a box.
pub(super) type Span = [[f64; 3]; 2];

/// An outline about the axis.
#[derive(Clone, Debug)]
enum Section {
    Round(f64),
    /// Corners counter-clockwise, as many on every level of a stack.
    Cornered(Vec<[f64; 2]>),
}

/// An outline at its height.
#[derive(Clone, Debug)]
struct Level {
    z: f64,
    section: Section,
    /// By how much the walls above it are longer around than its outline.
    longer: f64,
}

/// Outlines stacked along z, where they stand.
#[derive(Clone, Debug)]
pub(super) struct Stack {
    turned: Matrix3<f64>,
    shift: Vector3<f64>,
    levels: Vec<Level>,
    /// Of an outline with corners, each edge's share of the length around, and of the area inside.
    edges: Vec<[f64; 2]>,
    /// The box around it.
    pub(super) span: Span,
    /// Of its own z, between which there is anything to be cut.
    window: [f64; 2],
}

/// A place on an outline.
#[derive(Clone, Copy, Debug)]
struct Spot {
    /// Of an outline with corners, the edge; of a circle, the spot on it.
    edge: usize,
    /// Share of the edge before it.
    along: f64,
    /// Share of the edge that it stands for, or spots on the circle.
    part: f64,
    /// Two shares that are spread evenly over all spots.
    spread: [f64; 2],
}

/// A patch of a surface: its middle, and its area as a vector out of the solid.
pub(super) struct Patch {
    pub(super) at: Point3<f64>,
    pub(super) area: Vector3<f64>,
    /// By how much its outline is longer than it is drawn.
    pub(super) longer: f64,
}

/// Some of a solid's volume, at a point.
pub(super) struct Bit {
    pub(super) at: Point3<f64>,
    pub(super) volume: f64,
}

impl Stack {
    /// The stacks of a placed solid: what it is, and its bore if it has one.
    pub(super) fn of(placed: &Placed) -> [Option<Self>; 2] {
        let stack = |levels| Some(Self::new(&placed.pose, levels));
        match &placed.solid {
            Solid::Turned(turned) => [
                stack(round_levels(round::rings(&turned.outer))),
                turned
                    .bore
                    .as_ref()
                    .and_then(|bore| stack(round_levels(round::rings(bore)))),
            ],
            Solid::Prism(levels) => {
                let level = |(z, outline): &(Length, Outline)| Level {
                    z: z.as_mm(),
                    section: section(outline),
                    longer: 1.0,
                };
                [stack(levels.iter().map(level).collect()), None]
            }
        }
    }

    fn new(pose: &Pose, levels: Vec<Level>) -> Self {
        let origin = pose.apply(Point3::origin());
        let axis = |x, y, z| pose.apply(Point3::new(x, y, z)) - origin;
        let mut stack = Self {
            turned: Matrix3::from_columns(&[
                axis(1.0, 0.0, 0.0),
                axis(0.0, 1.0, 0.0),
                axis(0.0, 0.0, 1.0),
            ]),
            shift: origin.coords,
            window: [f64::NEG_INFINITY, f64::INFINITY],
            span: [[0.0; 3]; 2],
            edges: levels
                .first()
                .map_or(Vec::new(), |level| level.section.edges()),
            levels,
        };
        stack.span = stack.boxed();
        stack
    }

    /// The box around it where it stands.
    fn boxed(&self) -> Span {
        let corners = self.levels.iter().flat_map(|level| {
            let [x, y] = level.section.reach();
            [[-x, -y], [-x, y], [x, -y], [x, y]].map(|at| self.place(at, level.z))
        });
        spanned(corners)
    }

    /// Cuts off what reaches further than a box, all around: what is outside of it stays unknown.
    pub(super) fn clipped(&mut self, within: &Span) {
        let [low, high] = within;
        let corner = |index: usize| {
            let side = |axis: usize| if index >> axis & 1 == 0 { low } else { high }[axis];
            self.local(&Point3::new(side(0), side(1), side(2)))
        };
        let corners: Vec<Point3<f64>> = (0..8).map(corner).collect();
        let far = corners.iter().map(|c| real::hypot(c.x, c.y));
        let far = far.fold(0.0, f64::max);
        let [bottom, top] = spanned(corners.iter().copied());
        self.window = [bottom[2], top[2]];
        for level in &mut self.levels {
            level.section.clip(far);
        }
        self.span = self.boxed();
    }

    fn place(&self, [x, y]: [f64; 2], z: f64) -> Point3<f64> {
        Point3::from(self.turned * Vector3::new(x, y, z) + self.shift)
    }

    fn local(&self, point: &Point3<f64>) -> Point3<f64> {
        Point3::from(self.turned.tr_mul(&(point.coords - self.shift)))
    }

    /// Whether a point is inside.
    pub(super) fn holds(&self, point: &Point3<f64>) -> bool {
        let [low, high] = &self.span;
        let boxed = (0..3).all(|axis| low[axis] <= point[axis] && point[axis] <= high[axis]);
        if !boxed {
            return false;
        }
        let at = self.local(point);
        self.levels.windows(2).any(|pair| {
            let [low, high] = [&pair[0], &pair[1]];
            let stands = low.z <= at.z && at.z <= high.z && low.z < high.z;
            stands
                && low
                    .section
                    .holds(&high.section, (at.z - low.z) / (high.z - low.z), &at)
        })
    }

    /// Volume of it all.
    pub(super) fn volume(&self) -> f64 {
        self.stretches().map(|stretch| stretch.volume()).sum()
    }

    /// Stretches between two levels, within the window.
    fn stretches(&self) -> impl Iterator<Item = Stretch<'_>> {
        let [bottom, top] = self.window;
        self.levels.windows(2).filter_map(move |pair| {
            let [low, high] = [&pair[0], &pair[1]];
            let tall = high.z - low.z;
            let share = |z: f64| match tall > 0.0 {
                true => ((z - low.z) / tall).clamp(0.0, 1.0),
                false => f64::from(z > low.z),
            };
            let shares = [share(bottom), share(top)];
            (shares[0] < shares[1]).then_some(Stretch { low, high, shares })
        })
    }

    /// Points spread over its inside, each with its part of the volume: so many in each cubic
    /// millimetre, as far as its outlines allow.
    pub(super) fn bits(&self, dense: f64, each: &mut impl FnMut(Bit)) {
        for stretch in self.stretches().filter(|stretch| stretch.tall() > 0.0) {
            let tall = stretch.tall() * (stretch.shares[1] - stretch.shares[0]);
            let count = stretch.volume() * dense;
            self.spots(count, BY_AREA, |spot| {
                let t = stretch.at(spot.spread[0]);
                let (on, out) = (stretch.on(&spot, t), spot.spread[1].sqrt());
                each(Bit {
                    at: self.place([on.x * out, on.y * out], stretch.z(t)),
                    volume: on.sector * tall,
                });
            });
        }
    }

    /// Points spread over its surface: so many on each square millimetre, as far as its outlines allow.
    pub(super) fn patches(&self, dense: f64, each: &mut impl FnMut(Patch)) {
        for stretch in self.stretches() {
            let part = stretch.shares[1] - stretch.shares[0];
            let count = stretch.wall() * dense;
            self.spots(count, BY_LENGTH, |spot| {
                let t = stretch.at(spot.spread[0]);
                let on = stretch.on(&spot, t);
                let [x, y] = stretch.widens(&spot);
                let up = Vector3::new(x, y, stretch.tall());
                let across = Vector3::new(on.across[0], on.across[1], 0.0);
                each(Patch {
                    at: self.place([on.x, on.y], stretch.z(t)),
                    area: self.turned * across.cross(&up) * part,
                    longer: stretch.low.longer,
                });
            });
        }
        for (stretch, up) in self.ends() {
            let count = stretch.area(0.0) * dense;
            self.spots(count, BY_AREA, |spot| {
                let on = stretch.on(&spot, 0.0);
                let out = spot.spread[0].sqrt();
                each(Patch {
                    at: self.place([on.x * out, on.y * out], stretch.low.z),
                    area: self.turned * Vector3::new(0.0, 0.0, on.sector * up),
                    longer: 1.0,
                });
            });
        }
    }

    /// Area of its surface, in mm2.
    pub(super) fn surface(&self) -> f64 {
        let walls = self.stretches().map(|stretch| stretch.wall());
        let ends = self.ends().map(|(stretch, _)| stretch.area(0.0));
        walls.sum::<f64>() + ends.sum::<f64>()
    }

    /// Its end faces, and which way along its axis each looks.
    fn ends(&self) -> impl Iterator<Item = (Stretch<'_>, f64)> {
        let ends = [(self.levels.first(), -1.0), (self.levels.last(), 1.0)];
        let [bottom, top] = self.window;
        ends.into_iter().filter_map(move |(level, up)| {
            let level = level.filter(|level| bottom <= level.z && level.z <= top)?;
            let stretch = Stretch {
                low: level,
                high: level,
                shares: [0.0, 1.0],
            };
            Some((stretch, up))
        })
    }

    /// Spots around its outlines, each for as much of the length or of the area: no fewer than asked for,
    /// and one on every edge.
    fn spots(&self, count: f64, by: usize, mut each: impl FnMut(Spot)) {
        let mut last = [0.5; 2];
        let mut spread = || {
            last = [0, 1].map(|of| match last[of] + SPREAD[of] {
                next if next >= 1.0 => next - 1.0,
                next => next,
            });
            last
        };
        if self.edges.is_empty() {
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
        for (edge, shares) in self.edges.iter().enumerate() {
            let parts = (shares[by] * count.min(SPOTS as f64)).round().max(1.0);
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

/// A spot at a height.
struct On {
    x: f64,
    y: f64,
    /// What it stands for of the outline, counter-clockwise.
    across: [f64; 2],
    /// Area between that and the axis.
    sector: f64,
}

/// Volume of a box around a solid in its own frame, no matter how wide its outlines are between levels, in
/// mm3: no less than the solid's.
pub(super) fn boxed_volume(solid: &Solid) -> f64 {
    let (mut wide, mut deep) = (0.0f64, 0.0f64);
    let (low, high) = match solid {
        Solid::Turned(turned) => {
            let corners = &turned.outer.corners;
            for (_, radius) in corners {
                wide = wide.max(radius.as_mm());
            }
            deep = wide;
            (
                corners.first().map(|at| at.0),
                corners.last().map(|at| at.0),
            )
        }
        Solid::Prism(levels) => {
            for (_, outline) in levels {
                let [x, y] = reach(outline);
                (wide, deep) = (wide.max(x), deep.max(y));
            }
            (levels.first().map(|at| at.0), levels.last().map(|at| at.0))
        }
    };
    let tall = low
        .zip(high)
        .map_or(0.0, |(low, high)| (high - low).as_mm());
    4.0 * wide * deep * tall
}

/// What is between two levels, or a share of it.
struct Stretch<'a> {
    low: &'a Level,
    high: &'a Level,
    shares: [f64; 2],
}

impl Stretch<'_> {
    fn tall(&self) -> f64 {
        self.high.z - self.low.z
    }

    fn z(&self, t: f64) -> f64 {
        self.low.z + self.tall() * t
    }

    /// Of a share of what is in the window.
    fn at(&self, along: f64) -> f64 {
        self.shares[0] + (self.shares[1] - self.shares[0]) * along
    }

    /// A spot at a share of the way up.
    fn on(&self, spot: &Spot, t: f64) -> On {
        match (&self.low.section, &self.high.section) {
            (Section::Round(low), Section::Round(high)) => {
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
            (Section::Cornered(low), Section::Cornered(high)) => {
                let next = if spot.edge + 1 == low.len() {
                    0
                } else {
                    spot.edge + 1
                };
                let [from, to] = [spot.edge, next].map(|edge| mixed(low[edge], high[edge], t));
                let [x, y] = mixed(from, to, spot.along);
                On {
                    x,
                    y,
                    across: [0, 1].map(|axis| (to[axis] - from[axis]) * spot.part),
                    sector: cross(from, to) / 2.0 * spot.part,
                }
            }
            (Section::Round(_), Section::Cornered(_))
            | (Section::Cornered(_), Section::Round(_)) => {
                unreachable!("all outlines of a prism are of one kind")
            }
        }
    }

    /// How far its upper end stands out of its lower one at a spot.
    fn widens(&self, spot: &Spot) -> [f64; 2] {
        match (&self.low.section, &self.high.section) {
            (Section::Round(low), Section::Round(high)) => {
                CIRCLE[spot.edge].map(|at| at * (high - low))
            }
            (Section::Cornered(low), Section::Cornered(high)) => {
                let next = if spot.edge + 1 == low.len() {
                    0
                } else {
                    spot.edge + 1
                };
                let out = |edge: usize| [0, 1].map(|axis| high[edge][axis] - low[edge][axis]);
                mixed(out(spot.edge), out(next), spot.along)
            }
            (Section::Round(_), Section::Cornered(_))
            | (Section::Cornered(_), Section::Round(_)) => {
                unreachable!("all outlines of a prism are of one kind")
            }
        }
    }

    /// Area of its walls, but for what they lean by.
    fn wall(&self) -> f64 {
        let [low, high] = [self.low, self.high].map(|level| level.section.around());
        let [from, to] = self.shares;
        let tall = self
            .tall()
            .max((self.area(1.0) - self.area(0.0)).abs() / low.max(high));
        (low + high) / 2.0 * tall * (to - from)
    }

    fn area(&self, t: f64) -> f64 {
        match (&self.low.section, &self.high.section) {
            (Section::Round(low), Section::Round(high)) => {
                let radius = low + (high - low) * t;
                PI * radius * radius
            }
            (Section::Cornered(low), Section::Cornered(high)) => {
                let corner = |edge: usize| mixed(low[edge], high[edge], t);
                let sectors =
                    (0..low.len()).map(|edge| cross(corner(edge), corner((edge + 1) % low.len())));
                sectors.sum::<f64>() / 2.0
            }
            (Section::Round(_), Section::Cornered(_))
            | (Section::Cornered(_), Section::Round(_)) => {
                unreachable!("all outlines of a prism are of one kind")
            }
        }
    }

    /// Simpson's rule is exact for outlines that grow evenly.
    fn volume(&self) -> f64 {
        let [from, to] = self.shares;
        let mean = (self.area(from) + 4.0 * self.area((from + to) / 2.0) + self.area(to)) / 6.0;
        mean * self.tall() * (to - from)
    }
}

impl Section {
    /// Of corners, each edge's share of the length around and of the area inside.
    fn edges(&self) -> Vec<[f64; 2]> {
        match self {
            Self::Round(_) => Vec::new(),
            Self::Cornered(corners) => {
                let edge = |edge: usize| {
                    let next = if edge + 1 == corners.len() {
                        0
                    } else {
                        edge + 1
                    };
                    [
                        edge_length(corners, edge),
                        cross(corners[edge], corners[next]),
                    ]
                };
                let edges: Vec<[f64; 2]> = (0..corners.len()).map(edge).collect();
                let [around, inside] =
                    [0, 1].map(|by| edges.iter().map(|edge| edge[by]).sum::<f64>());
                edges
                    .iter()
                    .map(|[long, wide]| [long / around, wide / inside])
                    .collect()
            }
        }
    }

    /// Length around it.
    fn around(&self) -> f64 {
        match self {
            Self::Round(radius) => radius * TAU,
            Self::Cornered(corners) => (0..corners.len())
                .map(|edge| edge_length(corners, edge))
                .sum(),
        }
    }

    /// How far it reaches along x and y.
    fn reach(&self) -> [f64; 2] {
        match self {
            Self::Round(radius) => [*radius; 2],
            Self::Cornered(corners) => [0, 1].map(|axis| {
                let far = corners.iter().map(|corner| corner[axis].abs());
                far.fold(0.0, f64::max)
            }),
        }
    }

    /// Makes it smaller, as long as it reaches no less than `far` all around.
    fn clip(&mut self, far: f64) {
        match self {
            Self::Round(radius) => *radius = radius.min(far),
            Self::Cornered(corners) => {
                let edges = (0..corners.len()).map(|edge| {
                    let (a, b) = (corners[edge], corners[(edge + 1) % corners.len()]);
                    cross(a, b) / real::hypot(b[0] - a[0], b[1] - a[1])
                });
                let nearest = edges.fold(f64::INFINITY, f64::min);
                let by = (far / nearest).min(1.0);
                if by > 0.0 {
                    corners
                        .iter_mut()
                        .for_each(|corner| *corner = corner.map(|at| at * by));
                }
            }
        }
    }

    /// Whether a point is inside of the outline at a share of the way to another.
    fn holds(&self, above: &Self, t: f64, at: &Point3<f64>) -> bool {
        match (self, above) {
            (Self::Round(low), Self::Round(high)) => {
                let radius = low + (high - low) * t;
                at.x * at.x + at.y * at.y <= radius * radius
            }
            (Self::Cornered(low), Self::Cornered(high)) => {
                let point = [at.x, at.y];
                let corner = |edge: usize| mixed(low[edge], high[edge], t);
                let mut from = corner(low.len() - 1);
                // Star-shaped about the axis: the edge in the point's direction decides.
                (0..low.len()).any(|edge| {
                    let start = std::mem::replace(&mut from, corner(edge));
                    cross(start, point) >= 0.0
                        && cross(point, from) >= 0.0
                        && cross(
                            [from[0] - start[0], from[1] - start[1]],
                            [point[0] - start[0], point[1] - start[1]],
                        ) >= 0.0
                })
            }
            (Self::Round(_), Self::Cornered(_)) | (Self::Cornered(_), Self::Round(_)) => false,
        }
    }
}

fn round_levels(rings: Vec<Ring>) -> Vec<Level> {
    let level = |ring: Ring| Level {
        z: ring.z,
        section: Section::Round(ring.radius),
        longer: ring.longer,
    };
    rings.into_iter().map(level).collect()
}

fn section(outline: &Outline) -> Section {
    match outline {
        Outline::Circle { diameter } => Section::Round(diameter.as_mm() / 2.0),
        Outline::Ribbed { diameter, tips } => {
            // What three ribs leave of a circle: each takes a segment.
            let reach = Angle::from_cos((*tips / *diameter).min(1.0));
            let segment = reach.as_radians() - reach.sin() * reach.cos();
            let left = 1.0 - RIB_DIRECTIONS.len() as f64 * segment / PI;
            Section::Round(diameter.as_mm() / 2.0 * left.max(0.0).sqrt())
        }
        Outline::Square { .. }
        | Outline::Hexagon { .. }
        | Outline::Rectangle { .. }
        | Outline::Keyed { .. }
        | Outline::Teardrop { .. }
        | Outline::Slotted { .. }
        | Outline::Polygon(_) => Section::Cornered(prism::corners(outline, AROUND)),
    }
}

fn edge_length(corners: &[[f64; 2]], edge: usize) -> f64 {
    let next = if edge + 1 == corners.len() {
        0
    } else {
        edge + 1
    };
    let [x, y] = [0, 1].map(|axis| corners[next][axis] - corners[edge][axis]);
    (x * x + y * y).sqrt()
}

fn mixed(low: [f64; 2], high: [f64; 2], t: f64) -> [f64; 2] {
    [0, 1].map(|axis| low[axis] + (high[axis] - low[axis]) * t)
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

/// The box around points.
fn spanned(points: impl Iterator<Item = Point3<f64>>) -> Span {
    let none = [[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]];
    points.fold(none, |[low, high], point| {
        [
            [0, 1, 2].map(|axis| low[axis].min(point[axis])),
            [0, 1, 2].map(|axis| high[axis].max(point[axis])),
        ]
    })
}
