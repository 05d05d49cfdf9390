//! Level sections of a mesh: what the printer fills in one layer.
//!
//! Each facet that a level plane passes gives one stretch of the section's outline, with the
//! metal's side and whether the face stands upright there. In mm, in the frame of the mesh.

use super::mesh::Mesh;

/// A straight stretch of a section's outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// One end: x and y.
    pub from: [f64; 2],
    /// The other.
    pub to: [f64; 2],
    /// Unit vector into the metal, square to the stretch.
    pub inward: [f64; 2],
    /// Upright part of the facet's unit normal, without sign: 0 for a wall, 1 for a level face.
    pub lean: f64,
}

/// The outlines of a mesh at ascending heights `start + i * step`, `count` of them.
///
/// A corner that lies in a plane counts as above it, so that no outline has a gap.
pub fn sections(mesh: &Mesh, start: f64, step: f64, count: usize) -> Vec<Vec<Stretch>> {
    let mut all = vec![Vec::new(); count];
    for corners in mesh.facets() {
        let [a, b, c] = corners;
        let (low, high) = (a.z.min(b.z).min(c.z), a.z.max(b.z).max(c.z));
        // Planes with low < z <= high; a conversion from a float saturates.
        let first = ((low - start) / step).floor() + 1.0;
        let first = first.max(0.0) as usize;
        if first >= count || start + first as f64 * step > high {
            continue;
        }
        let normal = (b - a).cross(&(c - a));
        let across = (normal.x * normal.x + normal.y * normal.y).sqrt();
        let long = normal.norm();
        if across <= 0.0 {
            continue;
        }
        let inward = [-normal.x / across, -normal.y / across];
        for (index, section) in all.iter_mut().enumerate().skip(first) {
            let z = start + index as f64 * step;
            if z > high {
                break;
            }
            let mut ends = [[0.0; 2]; 2];
            let mut met = 0;
            for (p, q) in [(a, b), (b, c), (c, a)] {
                if (p.z < z) != (q.z < z) && met < 2 {
                    let share = (z - p.z) / (q.z - p.z);
                    ends[met] = [p.x + (q.x - p.x) * share, p.y + (q.y - p.y) * share];
                    met += 1;
                }
            }
            if met == 2 {
                section.push(Stretch {
                    from: ends[0],
                    to: ends[1],
                    inward,
                    lean: normal.z.abs() / long,
                });
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::{Contour, Outline, Solid, Turned};
    use crate::solid::solid_mesh;
    use crate::units::Length;

    fn length(section: &[Stretch]) -> f64 {
        let one = |s: &Stretch| {
            let (x, y) = (s.to[0] - s.from[0], s.to[1] - s.from[1]);
            (x * x + y * y).sqrt()
        };
        section.iter().map(one).sum()
    }

    #[test]
    fn a_box_has_its_outline_at_every_height_even_at_its_edges() {
        let outline = Outline::Rectangle {
            x: Length::mm(6.0),
            y: Length::mm(4.0),
        };
        let levels = vec![(Length::ZERO, outline.clone()), (Length::mm(10.0), outline)];
        let mesh = solid_mesh(&Solid::Prism(levels), Length::mm(0.01));
        // The plane at 10 is the top face itself, whose edges count as above it; that at 0
        // finds nothing below.
        let sections = sections(&mesh, 0.0, 2.5, 6);
        let outlines: Vec<f64> = sections.iter().map(|section| length(section)).collect();
        assert_eq!(outlines, [0.0, 20.0, 20.0, 20.0, 20.0, 0.0]);
        assert!(sections[1].iter().all(|stretch| stretch.lean < 1e-12));
    }

    #[test]
    fn the_metal_of_a_cone_lies_towards_its_axis_and_its_lean_is_that_of_its_flank() {
        // Radii 6 to 2 over 4: the flank leans by 45 degrees.
        let corners = [(0.0, 6.0), (4.0, 2.0)];
        let outer = Contour {
            corners: corners
                .iter()
                .map(|(z, r)| (Length::mm(*z), Length::mm(*r)))
                .collect(),
            threads: Vec::new(),
        };
        let mesh = solid_mesh(
            &Solid::Turned(Turned { outer, bore: None }),
            Length::mm(0.001),
        );
        let section = &sections(&mesh, 1.0, 1.0, 1)[0];
        // The circle of radius 5.
        approx::assert_relative_eq!(
            length(section),
            std::f64::consts::TAU * 5.0,
            max_relative = 1e-3
        );
        for stretch in section {
            let [x, y] = stretch.from;
            assert!(stretch.inward[0] * x + stretch.inward[1] * y < -4.9);
            approx::assert_abs_diff_eq!(stretch.lean, 0.5f64.sqrt(), epsilon = 1e-3);
        }
    }
}
