//! Meshes of solids put together as one part.

use super::kernel::{Operand, Refused};
use super::mesh::Mesh;
use super::sliver::without_slivers;
use super::spare::{self, Reach, Spared};

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

/// A base with these joined to it, and then those cut from it, without facets too thin for 32 bits.
///
/// # Errors
///
/// If the kernel refuses a solid.
pub(super) fn combined_solids(
    base: Mesh,
    joined: &[Mesh],
    cut: &[Mesh],
) -> Result<Mesh, SolidError> {
    if joined.is_empty() && cut.is_empty() {
        return Ok(base);
    }
    // Tried first and given up without a trace: what cannot be sewn is made whole, only slower.
    let part = match combined_but_for_stretches(&base, joined, cut)? {
        Some(part) => part,
        None => combined(&base, joined.iter().collect(), cut.iter().collect())?,
    };
    Ok(without_slivers(part))
}

/// What of a base is within all of these.
pub(super) fn within(base: Mesh, all: &[Mesh]) -> Result<Mesh, SolidError> {
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
pub(super) fn combined(
    base: &Mesh,
    joined: Vec<&Mesh>,
    cut: Vec<&Mesh>,
) -> Result<Mesh, SolidError> {
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
pub(super) fn combined_but_for_stretches(
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
