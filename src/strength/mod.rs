//! Strength of printed parts: from forces and sections to stresses, and what a filament bears.
//!
//! Plain formulas of the trade, each with its equation, its source and a worked number:
//! sections in tension, torsion and bending, threads in shear and under pressure, columns,
//! pins in their holes, pressed pins, coil springs, and a carriage in its guide. They know nothing of kits' layouts,
//! layouts or printers; `check` says which of them applies to which part, and holds the result
//! against a [`Plastic`].
//!
//! Lengths are in mm, forces in N, moments in N m, stresses in MPa, as their types say. Nothing
//! here is a proof of safety: printed plastic varies more than any formula.

mod cheek;
mod column;
mod guide;
mod pin;
mod plastic;
mod press;
mod rings;
mod section;
mod spring;
mod thread_shear;

pub use cheek::Cheek;
pub use column::{Column, PINNED_ENDS};
pub use guide::{jamming_offset, taken_by_guide, tilt_across, turning_play};
pub use pin::{LyingPin, ON_FLANK};
pub use plastic::{Friction, LASTING_SHARE, Material, Origin, Plastic};
pub use press::{Elastic, PressFit, ribs_yield_at};
pub use rings::{NOTCH_TENSION, NOTCH_TORSION, Rings, SOLID, TappedTube};
pub use section::{Bar, Rail, Round, SummedRail, tension_with_torsion};
pub use spring::{
    CoilSpring, SPRING_STEEL, Winding, music_wire_strength, music_wire_torsional_yield,
};
pub use thread_shear::MatedThreads;
