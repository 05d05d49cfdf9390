//! Whether a point lies in the exact form of a part, and the part's volume from that.

use super::exact;
use netlead::assembly::{Outline, Placed, Pose, Shape, Solid, Turned};
use netlead::units::{Angle, Length};

/// A shape, its poses turned round once and for all.
pub(crate) struct Exact<'a> {
    base: Local<'a>,
    within: Vec<Local<'a>>,
    joined: Vec<Local<'a>>,
    cut: Vec<Local<'a>>,
}

struct Local<'a> {
    /// Rows of the rotation, and the shift.
    rows: [[f64; 4]; 4],
    solid: &'a Solid,
}

impl<'a> Exact<'a> {
    pub(crate) fn new(shape: &'a Shape) -> Self {
        let all = |placed: &'a [Placed]| placed.iter().map(Local::new).collect();
        Self {
            base: Local::new(&shape.base),
            within: all(&shape.within),
            joined: all(&shape.joined),
            cut: all(&shape.cut),
        }
    }

    /// (base, inside every `within`, joined with every `joined`) without every `cut`.
    pub(crate) fn holds(&self, point: [f64; 3]) -> bool {
        let at = |local: &Local| local.holds(point);
        let base = || at(&self.base) && self.within.iter().all(at);
        (base() || self.joined.iter().any(at)) && !self.cut.iter().any(at)
    }
}

impl<'a> Local<'a> {
    fn new(placed: &'a Placed) -> Self {
        Self {
            rows: placed.pose.to_rows(),
            solid: &placed.solid,
        }
    }

    fn holds(&self, point: [f64; 3]) -> bool {
        let from: [f64; 3] = [0, 1, 2].map(|row| point[row] - self.rows[row][3]);
        let [x, y, z] = [0, 1, 2].map(|column| {
            (0..3)
                .map(|row| self.rows[row][column] * from[row])
                .sum::<f64>()
        });
        match self.solid {
            Solid::Turned(turned) => in_turned(turned, x, y, z),
            Solid::Prism(levels) => levels.windows(2).any(|pair| {
                let (low, high) = (pair[0].0.as_mm(), pair[1].0.as_mm());
                let share = (z - low) / (high - low);
                (0.0..=1.0).contains(&share) && in_outline(&pair[0].1, &pair[1].1, share, x, y)
            }),
        }
    }
}

fn in_turned(turned: &Turned, x: f64, y: f64, z: f64) -> bool {
    let angle = || Angle::of_point(x, y).as_radians();
    let rho = (x * x + y * y).sqrt();
    let inside = |contour| exact::holds(contour, rho, z, angle);
    inside(&turned.outer) && !turned.bore.as_ref().is_some_and(inside)
}

/// Whether a point lies in the outline that is `share` of the way from one to another.
fn in_outline(low: &Outline, high: &Outline, share: f64, x: f64, y: f64) -> bool {
    let mix = |a: &Length, b: &Length| a.as_mm() + (b.as_mm() - a.as_mm()) * share;
    let rho = (x * x + y * y).sqrt();
    match (low, high) {
        (Outline::Circle { diameter: a }, Outline::Circle { diameter: b }) => rho < mix(a, b) / 2.0,
        (Outline::Square { side: a, corner: c }, Outline::Square { side: b, corner: d }) => {
            let half = mix(a, b) / 2.0;
            x.abs() < half && y.abs() < half && x.abs() + y.abs() < 2.0 * half - mix(c, d)
        }
        (Outline::Hexagon { across_flats: a }, Outline::Hexagon { across_flats: b }) => {
            let half = mix(a, b) / 2.0;
            y.abs() < half && x.abs() * 3f64.sqrt() / 2.0 + y.abs() / 2.0 < half
        }
        (Outline::Rectangle { x: a, y: c }, Outline::Rectangle { x: b, y: d }) => {
            x.abs() < mix(a, b) / 2.0 && y.abs() < mix(c, d) / 2.0
        }
        (
            Outline::Keyed {
                diameter: a,
                width: c,
                span: e,
            },
            Outline::Keyed {
                diameter: b,
                width: d,
                span: f,
            },
        ) => rho < mix(a, b) / 2.0 || (y.abs() < mix(c, d) / 2.0 && x.abs() < mix(e, f) / 2.0),
        (
            Outline::Teardrop {
                diameter: a,
                ceiling: c,
            },
            Outline::Teardrop {
                diameter: b,
                ceiling: d,
            },
        ) => {
            // Two tangents at 45 degrees touch at r / sqrt 2 and would meet at r sqrt 2.
            let (r, half) = (mix(a, b) / 2.0, mix(c, d) / 2.0);
            let tip = r * 2f64.sqrt();
            rho < r || (y > r / 2f64.sqrt() && y < tip - half && x.abs() + y < tip)
        }
        (
            Outline::Ribbed {
                diameter: a,
                tips: c,
            },
            Outline::Ribbed {
                diameter: b,
                tips: d,
            },
        ) => {
            // Each face is half the tips' width from the axis, towards 60, 120 and 270 degrees.
            let (half, tip) = (3f64.sqrt() / 2.0, mix(c, d) / 2.0);
            let across = [half * y + x / 2.0, half * y - x / 2.0, -y];
            rho < mix(a, b) / 2.0 && across.iter().all(|reach| *reach < tip)
        }
        (Outline::Polygon(a), Outline::Polygon(b)) => {
            let corners: Vec<[f64; 2]> = a
                .iter()
                .zip(b)
                .map(|(p, q)| [mix(&p[0], &q[0]), mix(&p[1], &q[1])])
                .collect();
            in_polygon(&corners, x, y)
        }
        _ => panic!("outlines of two kinds in one prism"),
    }
}

/// Even-odd rule.
fn in_polygon(corners: &[[f64; 2]], x: f64, y: f64) -> bool {
    let crosses = |[x0, y0]: [f64; 2], [x1, y1]: [f64; 2]| {
        (y0 > y) != (y1 > y) && x < x0 + (x1 - x0) * (y - y0) / (y1 - y0)
    };
    let next = |index: usize| corners[(index + 1) % corners.len()];
    (0..corners.len())
        .filter(|i| crosses(corners[*i], next(*i)))
        .count()
        % 2
        == 1
}

/// A volume with the standard error of its sampling, in mm3.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Estimate {
    pub(crate) volume: f64,
    pub(crate) error: f64,
}

/// Point sets in an estimate: their spread gives its error.
const SETS: usize = 8;

/// Volume of a shape inside a box, by 8 Halton sets of `points` each, every set shifted by
/// another amount (Cranley and Patterson, 1976; from memory).
pub(crate) fn volume(shape: &Shape, low: [f64; 3], size: [f64; 3], points: u32) -> Estimate {
    let exact = Exact::new(shape);
    let whole: f64 = size.iter().product();
    let shifts: [[f64; 3]; SETS] = std::array::from_fn(|number| {
        [2.0, 3.0, 5.0].map(|root: f64| (number as f64 * root.sqrt()).fract())
    });
    let mut inside = [0u32; SETS];
    for index in 1..=points {
        let unit = [2, 3, 5].map(|base| halton(index, base));
        for (count, shift) in inside.iter_mut().zip(&shifts) {
            let at =
                [0, 1, 2].map(|axis| low[axis] + size[axis] * (unit[axis] + shift[axis]).fract());
            *count += u32::from(exact.holds(at));
        }
    }
    let volumes = inside.map(|count| whole * f64::from(count) / f64::from(points));
    let mean = volumes.iter().sum::<f64>() / SETS as f64;
    let square: f64 = volumes.iter().map(|v| (v - mean) * (v - mean)).sum();
    Estimate {
        volume: mean,
        error: (square / ((SETS - 1) * SETS) as f64).sqrt(),
    }
}

/// Radical inverse of `index` in `base` (Halton, 1960; from memory).
fn halton(mut index: u32, base: u32) -> f64 {
    let (mut value, mut share) = (0.0, 1.0);
    while index > 0 {
        share /= f64::from(base);
        value += share * f64::from(index % base);
        index /= base;
    }
    value
}

/// A solid alone as a shape.
pub(crate) fn alone(solid: Solid) -> Shape {
    Shape {
        base: here(solid),
        within: Vec::new(),
        joined: Vec::new(),
        cut: Vec::new(),
        genus: 0,
    }
}

/// A solid where it is.
pub(crate) fn here(solid: Solid) -> Placed {
    Placed {
        pose: Pose::identity(),
        solid,
    }
}
