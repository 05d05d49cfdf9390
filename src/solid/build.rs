//! A part's shape to its mesh.

use super::kernel::{Operand, Refused};
use super::mesh::Mesh;
use super::sliver::without_slivers;
use super::spare::{self, Reach, Spared};
use super::{prism, turned};
use crate::assembly::{Placed, Shape, Solid, Turned};
use crate::units::Length;

/// A shape could not be meshed. This is a defect of the program, not of the kit.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the boolean kernel refused to {step}: {reason}")]
pub struct SolidError {
    /// What was being done.
    pub step: &'static str,
    /// The kernel's word for it.
    pub reason: String,
}

impl SolidError {
    fn at(step: &'static str) -> impl Fn(Refused) -> Self {
        move |Refused(reason)| Self { step, reason }
    }
}

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
    if joined.is_empty() && cut.is_empty() {
        return Ok(base);
    }
    // Tried first and given up without a trace: what cannot be sewn is made whole, only slower.
    let part = match combined_but_for_stretches(&base, &joined, &cut)? {
        Some(part) => part,
        None => combined(&base, joined.iter().collect(), cut.iter().collect())?,
    };
    Ok(without_slivers(part))
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

/// What of a base is within all of these.
fn within(base: Mesh, all: &[Mesh]) -> Result<Mesh, SolidError> {
    if all.is_empty() {
        return Ok(base);
    }
    let mut part = Operand::new(&base).map_err(SolidError::at("take the base"))?;
    for one in all {
        part = part
            .intersection(&taken(one)?)
            .map_err(SolidError::at("intersect"))?;
    }
    Ok(part.mesh())
}

/// A base with these joined to it, and then those cut from it.
///
/// The order among the joined does not matter, nor that among the cut, so the crowded come last:
/// each boolean takes its time for all facets that there are by then.
fn combined(base: &Mesh, joined: Vec<&Mesh>, cut: Vec<&Mesh>) -> Result<Mesh, SolidError> {
    let mut part = Operand::new(base).map_err(SolidError::at("take the base"))?;
    for batch in batches(joined) {
        part = part
            .union(&taken(&batch)?)
            .map_err(SolidError::at("join"))?;
    }
    for batch in batches(cut) {
        part = part
            .difference(&taken(&batch)?)
            .map_err(SolidError::at("cut"))?;
    }
    Ok(part.mesh())
}

/// The same, with crowded stretches that nothing else comes near left out of the booleans;
/// `None` if there are none, or one cannot be sewn back in.
fn combined_but_for_stretches(
    base: &Mesh,
    joined: &[Mesh],
    cut: &[Mesh],
) -> Result<Option<Mesh>, SolidError> {
    let solids: Vec<&Mesh> = std::iter::once(base).chain(joined).chain(cut).collect();
    // Every facet's own reach, not that of a solid: a frame encloses its tapped hole, and comes
    // near its facets only at the ends.
    let reaches: Vec<Vec<Reach>> = solids.iter().map(|solid| Reach::of_facets(solid)).collect();
    let split = |at: usize| {
        let others = (0..solids.len()).filter(|other| *other != at);
        let others: Vec<&[Reach]> = others.map(|other| reaches[other].as_slice()).collect();
        spare::split(solids[at], &reaches[at], &others)
    };
    let splits: Vec<Option<(Mesh, Spared)>> = (0..solids.len()).map(split).collect();
    if splits.iter().all(Option::is_none) {
        return Ok(None);
    }
    let left: Vec<&Mesh> = solids
        .iter()
        .zip(&splits)
        .map(|(solid, split)| split.as_ref().map_or(*solid, |(left, _)| left))
        .collect();
    let (joining, cutting) = left[1..].split_at(joined.len());
    let mut part = combined(left[0], joining.to_vec(), cutting.to_vec())?;
    for (at, split) in splits.iter().enumerate() {
        if let Some((_, spared)) = split {
            match spare::sew(&part, spared, at > joined.len()) {
                Some(sewn) => part = sewn,
                None => return Ok(None),
            }
        }
    }
    Ok(Some(part))
}

/// Solids put together as far as their boxes keep apart, the crowded last.
fn batches(mut solids: Vec<&Mesh>) -> Vec<Mesh> {
    // Stable, so the same shape gives the same mesh.
    solids.sort_by_key(|solid| solid.triangles.len());
    let mut batches: Vec<(Mesh, Vec<[[f64; 3]; 2]>)> = Vec::new();
    for solid in solids {
        let own = span(solid);
        let apart = |boxes: &[[[f64; 3]; 2]]| {
            boxes.iter().all(|[low, high]| {
                (0..3).any(|axis| low[axis] > own[1][axis] || own[0][axis] > high[axis])
            })
        };
        match batches.iter_mut().find(|batch| apart(&batch.1)) {
            Some((batch, boxes)) => {
                batch.append(solid);
                boxes.push(own);
            }
            None => batches.push((solid.clone(), vec![own])),
        }
    }
    batches.sort_by_key(|(batch, _)| batch.triangles.len());
    batches.into_iter().map(|(batch, _)| batch).collect()
}

/// The lowest and the highest corner of the box around a solid.
fn span(mesh: &Mesh) -> [[f64; 3]; 2] {
    let bound = |pick: fn(f64, f64) -> f64, start: f64| {
        [0, 1, 2].map(|axis| mesh.points.iter().map(|p| p[axis]).fold(start, pick))
    };
    [
        bound(f64::min, f64::INFINITY),
        bound(f64::max, f64::NEG_INFINITY),
    ]
}

fn taken(mesh: &Mesh) -> Result<Operand, SolidError> {
    Operand::new(mesh).map_err(SolidError::at("take a solid"))
}

#[cfg(test)]
mod tests {
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
