//! From shapes to watertight meshes, verified as they are written.
//!
//! Coaxial solids are meshed directly along their creases ([`turned`](self)); the boolean
//! kernel joins and cuts what is not coaxial. A [`Mesh`] is what the kernel works on, in 64
//! bits; a [`Written`] is a part's file, read back as 32 bits and proved sound.

#[cfg(test)]
mod awkward;
mod box_tree;
mod build;
mod combine;
mod crossing;
mod expected;
mod expected_body;
mod facet;
mod kernel;
mod mesh;
mod orientation;
mod outline;
mod parted;
mod plane;
mod prism;
mod round;
mod section;
mod sliver;
mod sound;
mod spare;
mod stack;
mod step_box;
mod turned;
mod weld;

pub use build::{mesh, solid_mesh};
pub use combine::SolidError;
pub use expected::{expected_box, expected_facets, expected_size};
pub use expected_body::{ExpectedBody, expected_body};
pub use facet::{MOST_FACETS_A_TURN, facets_a_turn};
#[cfg(test)]
pub(crate) use kernel::overlap_volume;
pub use mesh::Mesh;
pub use section::{Stretch, sections};
pub use sound::{Unsound, Written, read_back};
