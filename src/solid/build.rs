//! A part's shape to its mesh.

use super::kernel::{Operand, Refused};
use super::mesh::Mesh;
use super::{prism, turned};
use crate::assembly::{Placed, Shape, Solid};
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
    let base = placed_mesh(&shape.base, tolerance);
    if shape.within.is_empty() && shape.joined.is_empty() && shape.cut.is_empty() {
        return Ok(base);
    }
    let operand = |placed: &Placed| {
        Operand::new(&placed_mesh(placed, tolerance)).map_err(SolidError::at("take a solid"))
    };
    let mut part = Operand::new(&base).map_err(SolidError::at("take the base"))?;
    for placed in &shape.within {
        part = part
            .intersection(&operand(placed)?)
            .map_err(SolidError::at("intersect"))?;
    }
    for placed in &shape.joined {
        part = part
            .union(&operand(placed)?)
            .map_err(SolidError::at("join"))?;
    }
    for placed in &shape.cut {
        part = part
            .difference(&operand(placed)?)
            .map_err(SolidError::at("cut"))?;
    }
    Ok(part.mesh())
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
