//! From a shape to a mesh, to a file, and back: the one way on which a part or a test piece is
//! made.

use super::stl::{self, StlError};
use crate::assembly::{Made, Part, Shape};
use crate::coupon::Piece;
use crate::solid::{self, Mesh, SolidError, Unsound, Written};
use crate::units::Length;
use rayon::prelude::*;

/// A part as a body in its print frame. Its mesh stands here once; others borrow it.
#[derive(Clone, Debug)]
pub enum PartBody {
    /// Printed: its file, proved sound, with the mesh that was read back from it.
    Printed(Written),
    /// Bought: the mesh that it was drawn with. It has no file.
    Bought(Mesh),
}

impl PartBody {
    /// Its mesh; of a printed part as the file holds it.
    pub fn mesh(&self) -> &Mesh {
        match self {
            Self::Printed(written) => &written.mesh,
            Self::Bought(mesh) => mesh,
        }
    }

    /// Its file, with what was measured on it; `None` of a bought part.
    pub fn written(&self) -> Option<&Written> {
        match self {
            Self::Printed(written) => Some(written),
            Self::Bought(_) => None,
        }
    }
}

/// Why a part or test piece has no sound mesh. This is a defect of the program, not of the kit.
#[derive(Clone, Debug, thiserror::Error)]
#[error("the mesh of `{name}` is not sound: {fault}")]
pub struct Unmade {
    /// Name of the part or piece.
    pub name: String,
    /// What is wrong with it.
    pub fault: Fault,
}

/// What is wrong with a mesh.
#[derive(Clone, Debug, thiserror::Error)]
pub enum Fault {
    /// It cannot be made.
    #[error(transparent)]
    Solid(#[from] SolidError),
    /// It cannot be written.
    #[error(transparent)]
    Stl(#[from] StlError),
    /// What was written is not one closed body.
    #[error(transparent)]
    Unsound(#[from] Unsound),
}

/// Makes bodies; all of a kit are made alike.
#[derive(Clone, Copy, Debug)]
pub struct Maker<'a> {
    /// Name of the kit, which the files say.
    pub kit: &'a str,
    /// Chord tolerance of the meshes.
    pub tolerance: Length,
}

impl Maker<'_> {
    /// Every part, in their order. `progress` is told the name of each, from any thread.
    ///
    /// # Errors
    /// The first part, in their order, without a sound mesh.
    pub fn bodies(
        &self,
        parts: &[Part],
        progress: &(dyn Fn(&str) + Sync),
    ) -> Result<Vec<PartBody>, Unmade> {
        in_order(parts, |part| {
            progress(&part.name);
            match part.made {
                Made::Bought(_) => self.mesh(&part.name, &part.shape).map(PartBody::Bought),
                Made::Printed => self.written(&part.name, &part.shape).map(PartBody::Printed),
            }
        })
    }

    /// Every test piece, as [`Maker::bodies`].
    ///
    /// # Errors
    /// The first piece, in their order, without a sound mesh.
    pub fn pieces(
        &self,
        pieces: &[Piece],
        progress: &(dyn Fn(&str) + Sync),
    ) -> Result<Vec<Written>, Unmade> {
        in_order(pieces, |piece| {
            progress(&piece.name);
            self.written(&piece.name, &piece.shape)
        })
    }

    /// A shape as its file, proved sound.
    ///
    /// # Errors
    /// The first fault found.
    pub fn written(&self, name: &str, shape: &Shape) -> Result<Written, Unmade> {
        // The mesh goes before the proof, which makes its own from the bytes.
        let bytes = {
            let mesh = self.mesh(name, shape)?;
            stl::write(&mesh, name, self.kit).map_err(|fault| unmade(name, fault))?
        };
        solid::read_back(bytes, shape.genus).map_err(|fault| unmade(name, fault))
    }

    fn mesh(&self, name: &str, shape: &Shape) -> Result<Mesh, Unmade> {
        solid::mesh(shape, self.tolerance).map_err(|fault| unmade(name, fault))
    }
}

fn unmade(name: &str, fault: impl Into<Fault>) -> Unmade {
    Unmade {
        name: name.into(),
        fault: fault.into(),
    }
}

/// Makes all side by side; of several faults always that of the same one is told.
fn in_order<T: Sync, R: Send>(
    items: &[T],
    make: impl Fn(&T) -> Result<R, Unmade> + Sync,
) -> Result<Vec<R>, Unmade> {
    let each: Vec<_> = items.par_iter().map(&make).collect();
    each.into_iter().collect()
}
