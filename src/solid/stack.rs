//! A solid of a shape as outlines stacked along its own axis, each exact in area: what it holds, what is
//! inside it, and points spread over its faces.
//!
//! Threads come in as the round bars of their volume. In mm; a stack's own frame is that of its solid,
//! all that is given out stands in the print frame.

use super::expected::reach;
use super::outline::{Around, By, Edges, On, Spot};
use super::round::{self, Ring};
use crate::assembly::{Outline, Placed, Pose, Solid};
use crate::units::{Length, real};
use nalgebra::{Matrix3, Point3, Vector3};

/// Lowest and highest corner of a box.
pub(super) type Span = [[f64; 3]; 2];

/// An outline at its height.
#[derive(Clone, Debug)]
struct Level {
    z: f64,
    outline: Around,
    /// By how much the walls above it are longer around than its outline.
    longer: f64,
}

/// Outlines stacked along z, where they stand.
#[derive(Clone, Debug)]
pub(super) struct Stack {
    turned: Matrix3<f64>,
    shift: Vector3<f64>,
    levels: Vec<Level>,
    /// Edges of its outlines.
    edges: Edges,
    /// The box around it.
    pub(super) span: Span,
    /// Of its own z, between which there is anything to be cut.
    window: [f64; 2],
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
                    outline: Around::of(outline),
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
                .map_or_else(Edges::default, |level| level.outline.edges()),
            levels,
        };
        stack.span = stack.boxed();
        stack
    }

    /// The box around it where it stands.
    fn boxed(&self) -> Span {
        let corners = self.levels.iter().flat_map(|level| {
            let [x, y] = level.outline.reach();
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
            level.outline.clip(far);
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
                && low.outline.holds(
                    &high.outline,
                    (at.z - low.z) / (high.z - low.z),
                    [at.x, at.y],
                )
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
            self.edges.spots(count, By::Area, |spot| {
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
            self.edges.spots(count, By::Length, |spot| {
                let t = stretch.at(spot.spread[0]);
                let on = stretch.on(&spot, t);
                let [x, y] = stretch.low.outline.widens(&stretch.high.outline, &spot);
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
            self.edges.spots(count, By::Area, |spot| {
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

    fn on(&self, spot: &Spot, t: f64) -> On {
        self.low.outline.on(&self.high.outline, spot, t)
    }

    fn area(&self, t: f64) -> f64 {
        self.low.outline.area(&self.high.outline, t)
    }

    /// Area of its walls, but for what they lean by.
    fn wall(&self) -> f64 {
        let [low, high] = [self.low, self.high].map(|level| level.outline.length());
        let [from, to] = self.shares;
        let tall = self
            .tall()
            .max((self.area(1.0) - self.area(0.0)).abs() / low.max(high));
        (low + high) / 2.0 * tall * (to - from)
    }

    /// Simpson's rule is exact for outlines that grow evenly.
    fn volume(&self) -> f64 {
        let [from, to] = self.shares;
        let mean = (self.area(from) + 4.0 * self.area((from + to) / 2.0) + self.area(to)) / 6.0;
        mean * self.tall() * (to - from)
    }
}

fn round_levels(rings: Vec<Ring>) -> Vec<Level> {
    let level = |ring: Ring| Level {
        z: ring.z,
        outline: Around::Round(ring.radius),
        longer: ring.longer,
    };
    rings.into_iter().map(level).collect()
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
