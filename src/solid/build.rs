//! A part's shape to its mesh.

use super::combine::{SolidError, combined_solids, within};
use super::mesh::Mesh;
use super::{prism, spare, turned};
use crate::assembly::{Placed, Shape, Solid, Turned};
use crate::units::Length;

/// A mesh of a part in its print frame, its curves within `tolerance` of the shape.
///
/// # Errors
///
/// If the kernel refuses a solid of the shape.
pub fn mesh(shape: &Shape, tolerance: Length) -> Result<Mesh, SolidError> {
    let placed = |solids: &[Placed]| -> Vec<Mesh> {
        solids
            .iter()
            .map(|solid| placed_mesh(solid, tolerance))
            .collect()
    };
    let base = placed_mesh(&shape.base, tolerance);
    let base = within(base, &placed(&shape.within))?;
    let joined = placed(&shape.joined);
    let cut: Vec<Mesh> = shape
        .cut
        .iter()
        .map(|tool| tool_mesh(tool, tolerance))
        .collect();
    combined_solids(base, &joined, &cut)
}

/// A mesh of one solid in its own frame.
pub fn solid_mesh(solid: &Solid, tolerance: Length) -> Mesh {
    match solid {
        Solid::Turned(turned) => turned::mesh(turned, tolerance),
        Solid::Prism(levels) => prism::mesh(levels, tolerance),
    }
}

fn placed_mesh(placed: &Placed, tolerance: Length) -> Mesh {
    solid_mesh(&placed.solid, tolerance).placed(&placed.pose)
}

/// A mesh of what is cut from a part, with rings through its countersinks.
fn tool_mesh(tool: &Placed, tolerance: Length) -> Mesh {
    match &tool.solid {
        Solid::Turned(turned) => {
            let ringed = Turned {
                outer: spare::ringed(&turned.outer),
                bore: turned.bore.clone(),
            };
            turned::mesh(&ringed, tolerance).placed(&tool.pose)
        }
        Solid::Prism(_) => placed_mesh(tool, tolerance),
    }
}

#[cfg(test)]
mod tests {
    use super::super::combine::{combined, combined_but_for_stretches};
    use super::super::spare::Reach;
    use super::*;
    use crate::assembly::{Contour, Outline, Pose, ThreadForm, ThreadZone};
    use crate::thread::{Hand, Thread};
    use approx::assert_relative_eq;

    /// Chords of a tenth keep the tests short.
    const TOLERANCE: Length = Length::mm(0.1);

    fn contour(corners: &[(f64, f64)], thread: Option<([f64; 2], bool)>) -> Turned {
        let form = |external| ThreadForm {
            thread: Thread::free(Length::mm(16.0), Length::mm(2.0), Hand::Right),
            shift: Length::mm(if external { 0.0 } else { 0.2 }),
            crest: Length::mm(0.3),
            external,
        };
        let zone = |(z, external): ([f64; 2], bool)| ThreadZone {
            z: z.map(Length::mm),
            form: form(external),
        };
        Turned {
            outer: Contour {
                corners: corners
                    .iter()
                    .map(|(z, r)| (Length::mm(*z), Length::mm(*r)))
                    .collect(),
                threads: thread.map(zone).into_iter().collect(),
            },
            bore: None,
        }
    }

    /// A head of radius 10 from z = 0 to 8, a neck to 10, and a thread M16x2 to 40.
    fn screw() -> Turned {
        let corners = [
            (0.0, 10.0),
            (8.0, 10.0),
            (8.0, 6.5),
            (10.0, 6.5),
            (12.5, 9.0),
            (37.0, 9.0),
            (40.0, 6.0),
        ];
        contour(&corners, Some(([10.0, 40.0], true)))
    }

    /// A rod of radius 1.5 along x at a height, from side to side.
    fn across(height: f64) -> Placed {
        Placed {
            pose: Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]).shifted(
                Length::ZERO,
                Length::ZERO,
                Length::mm(height),
            ),
            solid: Solid::Turned(contour(&[(-12.0, 1.5), (12.0, 1.5)], None)),
        }
    }

    fn here(turned: Turned) -> Placed {
        Placed {
            pose: Pose::identity(),
            solid: Solid::Turned(turned),
        }
    }

    /// The base with tools cut from it, by stretches if there are any, and whole.
    fn both_ways(base: Placed, tools: &[Placed]) -> (Option<Mesh>, Mesh) {
        let base = placed_mesh(&base, TOLERANCE);
        let tools: Vec<Mesh> = tools
            .iter()
            .map(|tool| tool_mesh(tool, TOLERANCE))
            .collect();
        let spared = combined_but_for_stretches(&base, &[], &tools).unwrap();
        (
            spared,
            combined(&base, Vec::new(), tools.iter().collect()).unwrap(),
        )
    }

    /// Every edge has one facet on each side.
    fn closed(mesh: &Mesh) -> bool {
        let edges = |mesh: &Mesh, turned: bool| {
            let edges = mesh
                .triangles
                .iter()
                .flat_map(|[a, b, c]| [[*a, *b], [*b, *c], [*c, *a]]);
            let mut edges: Vec<[u32; 2]> = edges
                .map(|[a, b]| if turned { [b, a] } else { [a, b] })
                .collect();
            edges.sort_unstable();
            edges
        };
        let forth = edges(mesh, false);
        forth.windows(2).all(|pair| pair[0] != pair[1]) && forth == edges(mesh, true)
    }

    #[test]
    fn a_hole_through_the_head_leaves_the_thread_out_of_the_boolean_and_the_screw_the_same() {
        let (spared, whole) = both_ways(here(screw()), &[across(4.0)]);
        let spared = spared.unwrap();
        assert!(closed(&spared));
        assert_relative_eq!(
            spared.volume_mm3(),
            whole.volume_mm3(),
            max_relative = 1e-12
        );
        assert_relative_eq!(spared.area_mm2(), whole.area_mm2(), max_relative = 1e-12);
    }

    #[test]
    fn a_hole_through_the_thread_has_no_stretch_to_spare() {
        let (spared, whole) = both_ways(here(screw()), &[across(25.0)]);
        assert!(spared.is_none() && closed(&whole));
    }

    #[test]
    fn a_tapped_block_is_the_same_with_its_thread_sewn_in() {
        let side = Length::mm(24.0);
        let outline = Outline::Rectangle { x: side, y: side };
        let block = Placed {
            pose: Pose::identity(),
            solid: Solid::Prism(vec![
                (Length::ZERO, outline.clone()),
                (Length::mm(20.0), outline),
            ]),
        };
        // Countersinks reach radius 9 at both faces and go on beyond them.
        let corners = [(-1.0, 10.0), (3.0, 6.0), (17.0, 6.0), (21.0, 10.0)];
        let tap = || here(contour(&corners, Some(([-1.0, 21.0], false))));
        let (spared, whole) = both_ways(block.clone(), &[tap()]);
        let spared = spared.unwrap();
        assert!(closed(&spared));
        assert_relative_eq!(
            spared.volume_mm3(),
            whole.volume_mm3(),
            max_relative = 1e-12
        );
        // A hole into the thread from the side: whatever is spared, nothing is lost.
        let both = [tap(), across(10.0)];
        let (spared, whole) = both_ways(block.clone(), &both);
        let shape = Shape {
            base: block,
            within: Vec::new(),
            joined: Vec::new(),
            cut: both.to_vec(),
            genus: 3,
        };
        assert!(spared.is_none());
        let part = mesh(&shape, TOLERANCE).unwrap();
        assert_relative_eq!(part.volume_mm3(), whole.volume_mm3(), max_relative = 1e-12);
    }

    #[test]
    fn a_stretch_whose_lid_was_cut_is_not_sewn_in() {
        let screw = turned::mesh(&screw(), TOLERANCE);
        let hole = Reach::of_facets(&tool_mesh(&across(4.0), TOLERANCE));
        let own = Reach::of_facets(&screw);
        let (left, spared) = spare::split(&screw, &own, &[&hole]).unwrap();
        let sewn = spare::sew(&left, &spared, false).unwrap();
        assert!(closed(&sewn));
        assert_relative_eq!(sewn.volume_mm3(), screw.volume_mm3(), max_relative = 1e-12);
        // A rod along the axis goes through the lids.
        let rod = contour(&[(-1.0, 1.0), (50.0, 1.0)], None);
        let rod = turned::mesh(&rod, TOLERANCE);
        let cut = combined(&left, Vec::new(), vec![&rod]).unwrap();
        assert!(spare::sew(&cut, &spared, false).is_none());
    }

    #[test]
    fn a_ring_through_a_countersink_changes_no_surface() {
        let corners = [
            (0.0, 10.0),
            (4.0, 6.0),
            (17.0, 6.0),
            (17.0, 12.0),
            (20.0, 12.0),
        ];
        let plain = contour(&corners, Some(([0.0, 17.0], false)));
        let ringed = spare::ringed(&plain.outer);
        // Crests are at 16 / 2 + 0.2 mm, so the ring is at 8.3, which the line reaches at 1.7.
        assert_eq!(ringed.corners.len(), corners.len() + 1);
        assert_relative_eq!(ringed.corners[1].0.as_mm(), 1.7, max_relative = 1e-12);
        assert_relative_eq!(ringed.corners[1].1.as_mm(), 8.3, max_relative = 1e-12);
        let ringed = Turned {
            outer: ringed,
            bore: None,
        };
        // So fine that all columns run through: where one stops hangs on the corners near by.
        let fine = Length::mm(0.01);
        let [before, after] = [&plain, &ringed].map(|turned| turned::mesh(turned, fine));
        assert_relative_eq!(
            before.volume_mm3(),
            after.volume_mm3(),
            max_relative = 1e-12
        );
    }
}
