//! A kit description: from TOML text to a [`Kit`] of valid values, or to every problem in it.
//!
//! Only this room (and the printer's) knows TOML. What it hands on carries spans, not text.

use crate::thread::Thread;
use crate::units::{Force, Length, Torque};
use std::ops::{Deref, Range};

/// A value and where in the kit file it was said; `at` is `None` for a default.
#[derive(Clone, Debug, PartialEq)]
pub struct Said<T> {
    /// The value.
    pub value: T,
    /// Bytes of the kit file from which it came.
    pub at: Option<Range<usize>>,
}

impl<T> Deref for Said<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

/// A valid kit description, defaults filled in.
#[derive(Clone, Debug)]
pub struct Kit {
    /// Name, fit for a folder after [`Kit::folder`].
    pub name: Said<String>,
    /// True when bare numbers of the file are inches.
    pub inches: bool,
    /// Which mechanism.
    pub layout: Said<LayoutKind>,
    /// Thread of the drive screw in the frame.
    pub drive: Said<Thread>,
    /// Thread of the inner screw in the drive screw; `None` in a single layout.
    pub inner: Option<Said<Thread>>,
    /// Travel of the carriage.
    pub stroke: Said<Length>,
    /// Net lead that the maker asserts.
    pub net_lead: Option<Said<Length>>,
    /// The way to turn that carries out the stroke, asserted.
    pub advance: Option<Said<Turning>>,
    /// Head of the drive screw.
    pub head: Head,
    /// Cross, swivel and keeper pins.
    pub pins: Pins,
    /// Wanted gaps, one for each kind of fit.
    pub gaps: Gaps,
    /// Layer height.
    pub layer: Said<Length>,
    /// Width of a printed line.
    pub line: Said<Length>,
    /// Number of outlines that a printed wall is made of.
    pub walls: Said<u8>,
    /// Room on the printer: x, y, z.
    pub bed: Said<[Length; 3]>,
    /// Torque of a hand at the stops.
    pub hand_torque: Said<Torque>,
    /// Load along the axis, if the maker gives one.
    pub load: Option<Said<Force>>,
    /// Coefficient of friction in the threads.
    pub friction: Said<f64>,
    /// Chord tolerance of the meshes.
    pub tolerance: Said<Length>,
    /// Filament.
    pub material: Said<Material>,
    /// Derived sizes that the maker sets.
    pub sizes: Sizes,
    /// Checks that the maker waives, with a reason each.
    pub waive: Vec<Waiver>,
}

/// Which mechanism a kit describes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayoutKind {
    /// Drive screw and carriage on a swivel.
    Single,
    /// Inner screw in the drive screw.
    Nested,
}

/// A way to turn, seen from the drive head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turning {
    /// As a clock's hands.
    Clockwise,
    /// Against them.
    CounterClockwise,
}

/// Head of the drive screw.
#[derive(Clone, Debug)]
pub struct Head {
    /// Hexagon across flats; the next standard spanner size when not given.
    pub across_flats: Option<Said<Length>>,
    /// Height; follows from the thread when not given.
    pub height: Option<Said<Length>>,
}

/// The pins of a kit, one pattern for all.
#[derive(Clone, Debug)]
pub struct Pins {
    /// Diameter; follows from the parts when not given. With bought pins always given.
    pub diameter: Option<Said<Length>>,
    /// What to buy instead of printing them, as it was written (`3/16 dowel`).
    pub buy: Option<Said<String>>,
}

/// Wanted gaps after printing, radial or a side.
#[derive(Clone, Debug)]
pub struct Gaps {
    /// Between the threads, radial.
    pub thread: Said<Length>,
    /// Carriage in guide, a side.
    pub slide: Said<Length>,
    /// Parts that find their place by hand, radial.
    pub locate: Said<Length>,
    /// Swivel, radial and along the axis.
    pub swivel: Said<Length>,
    /// Pressed pins, radial; negative is interference.
    pub press: Said<Length>,
    /// End faces that carry a push.
    pub seat: Said<Length>,
}

/// Filament that a kit is printed from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Polylactide.
    Pla,
    /// Glycol-modified polyester.
    Petg,
    /// Acrylonitrile butadiene styrene.
    Abs,
    /// Acrylonitrile styrene acrylate.
    Asa,
}

/// Derived sizes that a kit may set; what is not set follows from stroke and threads.
#[derive(Clone, Debug, Default)]
pub struct Sizes {
    /// Tapped wall of the frame.
    pub tapped_wall: Option<Said<Length>>,
    /// Thread of the drive screw under its head.
    pub drive_thread: Option<Said<Length>>,
    /// Thread of the inner screw under its collar.
    pub inner_thread: Option<Said<Length>>,
    /// Depth of the drive screw's bore.
    pub bore: Option<Said<Length>>,
    /// Diameter of the inner screw's collar.
    pub collar: Option<Said<Length>>,
    /// Round body of the carriage.
    pub carriage_diameter: Option<Said<Length>>,
    /// Length of the carriage.
    pub carriage_length: Option<Said<Length>>,
    /// Width of the carriage's ears.
    pub ear_width: Option<Said<Length>>,
    /// Side of the frame's square.
    pub frame_side: Option<Said<Length>>,
    /// Length of the keeper's plug.
    pub keeper_plug: Option<Said<Length>>,
}

/// A check that the maker waives.
#[derive(Clone, Debug)]
pub struct Waiver {
    /// Id of the check.
    pub check: Said<String>,
    /// Why.
    pub reason: Said<String>,
}

impl Kit {
    /// The name as a folder's.
    pub fn folder(&self) -> String {
        self.name.trim().to_lowercase().replace(' ', "-")
    }
}
