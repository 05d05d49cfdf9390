//! What presses on a mechanism, and what it bears: from a design and its motion to the forces
//! on every member, and to the figures of what a hand, a tool and a load do to it.
//!
//! Four things may press: a hand at the stop, the torque that the kit gives, the load that it gives,
//! and the preload spring; each is a [`Loading`]. A place that one of them stresses is [`Stressed`]. Which
//! places there are, the rules of `check` say; this room knows none of them.

mod case;
mod change;
mod engaged;
mod figures;
mod preload;
mod remedy;
mod stressed;
mod trains;

pub use case::Case;
pub use change::Change;
pub use engaged::{Engaged, engaged_threads};
pub use figures::{Clamping, ForceFigures, InGuide, Plain, SPANNER, TURNERS, Turner, figures};
pub use preload::{PreloadFigures, preload};
pub use remedy::{
    Remedy, leave_out, longer, longest_stroke, other_springs, shorter_springs, shorter_stroke,
    thicker_carriage, thinner_layers,
};
pub use stressed::{Bearer, Borne, Places, Stressed};
pub use trains::{Cause, Loading, Trains, loadings};
