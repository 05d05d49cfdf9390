//! From outlines to hatching: which lines a part has, and those lines cut off at the outlines.
//!
//! Hatching of ISO 128-3 (from memory): narrow lines at 45 degrees to the outlines or the axis; parts that
//! touch differ in the direction of their lines, and all areas of one part have lines alike. Lines are
//! real ones, cut at the edges, with room left for letters.

use super::paper::At;
use crate::assembly::Assembly;
use crate::units::Angle;

/// Directions of hatching in degrees, those first that are used first.
const DIRECTIONS: [f64; 6] = [45.0, 135.0, 60.0, 120.0, 30.0, 150.0];
/// Distances of lines on paper, those first that are used first. Common practice: 1.5 to 3 mm.
const SPACINGS: [f64; 3] = [2.0, 3.0, 1.5];
/// Shorter lines are left out, in mm on paper: no pen draws them.
const SHORTEST: f64 = 0.1;

/// How a part is hatched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hatch {
    /// Direction of the lines from the right, upwards.
    pub(super) angle: Angle,
    /// Distance from line to line, in mm on paper.
    pub(super) spacing: f64,
}

/// A box that hatching leaves free: lowest and highest x and y.
pub(super) type Free = [At; 2];

/// How every part of an assembly is hatched, in their order: parts that meet in a joint differ in the
/// direction of their lines as far as there are directions, those of one direction in their spacing.
pub(super) fn of_parts(assembly: &Assembly) -> Vec<Hatch> {
    let chosen = assembly.told_apart(DIRECTIONS.len());
    let hatch = |(index, direction): (usize, &usize)| {
        let alike = chosen[..index].iter().filter(|other| *other == direction);
        Hatch {
            angle: Angle::degrees(DIRECTIONS[*direction]),
            spacing: SPACINGS[alike.count() % SPACINGS.len()],
        }
    };
    chosen.iter().enumerate().map(hatch).collect()
}

/// The lines of a hatch inside closed outlines, even-odd: an outline within another is a hole.
pub(super) fn lines(hatch: Hatch, loops: &[Vec<At>], free: &[Free]) -> Vec<[At; 2]> {
    let (sin, cos) = hatch.angle.sin_cos();
    // y runs downwards, and lines that rise to the right do so on the paper.
    let (along, across) = ([cos, -sin], [sin, cos]);
    let mut met: Vec<(i64, f64)> = Vec::new();
    for points in loops {
        for (index, from) in points.iter().enumerate() {
            let to = &points[(index + 1) % points.len()];
            crossings(*from, *to, hatch.spacing, (along, across), &mut met);
        }
    }
    met.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut lines = Vec::new();
    for row in met.chunk_by(|a, b| a.0 == b.0) {
        for pair in row.chunks_exact(2) {
            let offset = offset_of(pair[0].0, hatch.spacing);
            let at = |t: f64| [0, 1].map(|axis| along[axis] * t + across[axis] * offset);
            for [from, to] in outside(at, [pair[0].1, pair[1].1], (along, free)) {
                if to - from >= SHORTEST {
                    lines.push([at(from), at(to)]);
                }
            }
        }
    }
    lines
}

/// How far the line of a number lies from the corner of the paper.
fn offset_of(line: i64, spacing: f64) -> f64 {
    (line as f64 + 0.5) * spacing
}

/// Where lines of a hatch meet an edge: number of the line and place along it. An end that lies on a line
/// counts as above it, so that every outline is met an even number of times.
fn crossings(from: At, to: At, spacing: f64, (along, across): (At, At), met: &mut Vec<(i64, f64)>) {
    let dot = |a: At, b: At| a[0] * b[0] + a[1] * b[1];
    let ends = [dot(from, across), dot(to, across)];
    let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    if !(low.is_finite() && high.is_finite() && high > low) {
        return;
    }
    let mut line = (low / spacing - 0.5).floor() as i64;
    while offset_of(line, spacing) < low {
        line += 1;
    }
    while offset_of(line, spacing) < high {
        let share = (offset_of(line, spacing) - ends[0]) / (ends[1] - ends[0]);
        let place = [0, 1].map(|axis| from[axis] + (to[axis] - from[axis]) * share);
        met.push((line, dot(place, along)));
        line += 1;
    }
}

/// What of a stretch of a line lies in no free box.
fn outside(
    at: impl Fn(f64) -> At,
    stretch: [f64; 2],
    (along, free): (At, &[Free]),
) -> Vec<[f64; 2]> {
    let mut left = vec![stretch];
    for [low, high] in free {
        // From where to where the line is within the box.
        let origin = at(0.0);
        let mut span = [f64::NEG_INFINITY, f64::INFINITY];
        for axis in 0..2 {
            let (a, b) = (low[axis] - origin[axis], high[axis] - origin[axis]);
            if along[axis].abs() > f64::EPSILON {
                let (a, b) = (a / along[axis], b / along[axis]);
                span = [span[0].max(a.min(b)), span[1].min(a.max(b))];
            } else if a > 0.0 || b < 0.0 {
                span = [f64::INFINITY, f64::NEG_INFINITY];
            }
        }
        if span[0] < span[1] {
            let cut = |[from, to]: [f64; 2]| [[from, to.min(span[0])], [from.max(span[1]), to]];
            left = left.into_iter().flat_map(cut).collect();
            left.retain(|[from, to]| to > from);
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Whether a place lies inside closed outlines, even-odd, by a ray to the right.
    fn inside(loops: &[Vec<At>], [x, y]: At) -> bool {
        let mut met = false;
        for points in loops {
            for (index, a) in points.iter().enumerate() {
                let b = points[(index + 1) % points.len()];
                if (a[1] <= y) != (b[1] <= y) {
                    let at = a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]);
                    met ^= at > x;
                }
            }
        }
        met
    }

    /// An outline about a place, whose corners stand at even angles at distances of their own.
    fn star(reaches: &[f64], turned: f64) -> Vec<At> {
        let corner = |(index, reach): (usize, &f64)| {
            let turns = turned + index as f64 / reaches.len() as f64;
            let (sin, cos) = Angle::turns(turns).sin_cos();
            [60.0 + reach * cos, 50.0 + reach * sin]
        };
        reaches.iter().enumerate().map(corner).collect()
    }

    fn area(points: &[At]) -> f64 {
        let next = points.iter().cycle().skip(1);
        let twice = points
            .iter()
            .zip(next)
            .map(|(a, b)| a[0] * b[1] - a[1] * b[0]);
        twice.sum::<f64>().abs() / 2.0
    }

    proptest! {
        #[test]
        fn prop_hatching_lies_inside_its_outline_and_out_of_holes_and_free_boxes(
            reaches in proptest::collection::vec(8.0..40.0f64, 5..24),
            hole in proptest::collection::vec(1.0..4.0f64, 3..8),
            turned in 0.0..1.0f64,
            angle in 0usize..6,
            corner in (30.0..80.0f64, 30.0..80.0f64),
        ) {
            let loops = vec![star(&reaches, turned), star(&hole, 0.1)];
            let free = [[corner.0, corner.1], [corner.0 + 9.0, corner.1 + 4.0]];
            let hatch = Hatch { angle: Angle::degrees(DIRECTIONS[angle]), spacing: 2.0 };
            let whole = lines(hatch, &loops, &[]);
            for [from, to] in &whole {
                for share in [0.001, 0.3, 0.5, 0.7, 0.999] {
                    let place = [0, 1].map(|axis| from[axis] + (to[axis] - from[axis]) * share);
                    prop_assert!(inside(&loops, place), "{place:?}");
                }
            }
            // As much line as there is area for: each stands for a strip as wide as the spacing.
            let long = |lines: &[[At; 2]]| -> f64 {
                let one = |[a, b]: &[At; 2]| crate::units::real::hypot(b[0] - a[0], b[1] - a[1]);
                lines.iter().map(one).sum()
            };
            let metal = area(&loops[0]) - area(&loops[1]);
            prop_assert!((long(&whole) * 2.0 - metal).abs() < 0.12 * metal + 40.0);
            let left = lines(hatch, &loops, &[free]);
            prop_assert!(long(&left) <= long(&whole));
            for [from, to] in left {
                let middle = [0, 1].map(|axis| f64::midpoint(from[axis], to[axis]));
                let in_box = (0..2).all(|a| free[0][a] < middle[a] && middle[a] < free[1][a]);
                prop_assert!(!in_box);
            }
        }
    }

    #[test]
    fn parts_that_meet_are_hatched_in_different_directions() {
        for text in [
            "layout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n",
            "layout = \"single\"\ndrive = \"M20x2.5\"\n",
            "layout = \"tandem\"\ndrive = \"M24x3\"\nthin = \"M16x2\"\n",
            "layout = \"opposed\"\ndrive = \"M16x2-LH\"\nfar = \"M16x2\"\n",
        ] {
            let text = format!("name = \"t\"\n{text}stroke = 20\n");
            let kit: crate::kit::Kit = text.parse().unwrap();
            let profile = crate::printer::Profile::untuned_for(&kit);
            let assembly = crate::layout::design(&kit, &profile).unwrap().assembly;
            let hatches = of_parts(&assembly);
            for joint in &assembly.joints {
                let [a, b] = joint.between.map(|piece| assembly.instance(piece).part.0);
                if a != b {
                    let apart = hatches[a].angle != hatches[b].angle;
                    assert!(apart, "{}: {:?}", joint.name, hatches[a]);
                }
            }
        }
    }
}
