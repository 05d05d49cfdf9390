//! A kit description: from TOML text to a [`Kit`] of valid values, or to every problem in it.
//!
//! What it hands on carries spans, not text. The keys are declared in one table, `key.rs`;
//! the room `declared` finds them in the text and reads each, and `reader.rs` puts the kit
//! together with the rules that need several keys.

mod designation;
mod dowel;
mod draft;
pub mod edit;
mod fitted;
mod heads;
mod idle;
pub(crate) mod key;
mod mechanism;
mod nut;
mod plain;
mod reader;
mod schema;
mod second;
pub(crate) mod spanner;
mod spring;
mod text;
pub(crate) mod typed;
mod value;
mod words;

pub use crate::declared::{KeyHelp, KeyPath, NotText, Said, decode};
pub use draft::{Draft, Saying};
pub use key::keys;
pub use mechanism::{BoughtNut, Mechanism, Nested, Nut, Opposed, Single, Tandem};
pub use plain::plain_of;
pub use schema::schema;
pub use spring::Spring;
pub use words::LayoutKind;

use crate::assembly::{Perimeters, Slender, Turning};
use crate::declared::{self, Between};
use crate::diagnostic::Diagnostic;
use crate::strength::{Friction, Material, Plastic};
use crate::units::{Force, Length, Torque};
use crate::units_told::Told;
use reader::Reader;
use std::collections::BTreeMap;
use std::ops::Range;
use std::str::FromStr;
pub(crate) use words::word;

/// A valid kit description, defaults filled in.
#[derive(Clone, Debug)]
pub struct Kit {
    /// Name, fit for a folder after [`Kit::folder`].
    pub name: Said<String>,
    /// Whether bare numbers of the file are inches.
    pub inches: bool,
    /// Which mechanism, with what that needs.
    pub mechanism: Mechanism,
    /// Travel of the carriage.
    pub stroke: Said<Length>,
    /// Net lead that the maker asserts.
    pub net_lead: Option<Said<Length>>,
    /// The way to turn that carries out the stroke, asserted.
    pub advance: Option<Said<Turning>>,
    /// Head of the drive screw.
    pub head: Head,
    /// What the carriage works with.
    pub end: Said<End>,
    /// What the frame is held by.
    pub mount: Said<Mount>,
    /// Ticks around it.
    pub dial: Option<Said<u32>>,
    /// Cross, swivel, stop and keeper pins.
    pub pins: Pins,
    /// Wanted gaps, one for each kind of fit.
    pub gaps: WantedGaps,
    /// Odds that a fit should have.
    pub odds: Odds,
    /// What gaps cost that are not as wanted.
    pub prices: Prices,
    /// Layer height.
    pub layer: Said<Length>,
    /// Width of a printed line.
    pub line: Said<Length>,
    /// Number of perimeters.
    pub walls: Said<u32>,
    /// Walls of single parts.
    pub perimeters: GivenPerimeters,
    /// Profile of the printer, if the kit names one.
    pub printer: Option<Said<Printer>>,
    /// Room on the printer: x, y, z.
    pub bed: Said<[Length; 3]>,
    /// Where slender parts are laid.
    pub slender: Said<Slender>,
    /// Torque of a hand at the stops.
    pub hand_torque: Said<Torque>,
    /// What the maker says of the load.
    pub load: Load,
    /// The preload spring, if there is one.
    pub spring: Option<Spring>,
    /// Coefficient of friction in the threads, where the kit says one; see [`Kit::friction`].
    pub friction: Option<Said<Friction>>,
    /// Whether the threads are greased.
    pub grease: Said<bool>,
    /// Chord tolerance of the meshes.
    pub tolerance: Said<Length>,
    /// Filament.
    pub material: Said<Material>,
    /// Derived sizes that the maker sets.
    pub sizes: GivenSizes,
    /// Whether its parts get their names sunk into them; a search over many kits leaves them out. No
    /// key of the file.
    pub named: bool,
    /// Checks that the maker waives, with a reason each.
    pub waive: Vec<Waiver>,
    /// Where the file says each key that it says; for messages about what follows from it.
    pub said: BTreeMap<KeyPath, Range<usize>>,
}

/// The profile of a printer that a kit names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Printer {
    /// By its name, which is fit for a file's.
    Named(String),
    /// As the path of its file, from the kit's folder.
    File(String),
}

/// What a maker says of the load.
#[derive(Clone, Debug)]
pub struct Load {
    /// Along the axis, either way.
    pub force: Option<Said<Force>>,
    /// At the drive's head, while working.
    pub torque: Option<Said<Torque>>,
    /// Whether it stays on for hours.
    pub lasting: Said<bool>,
    /// How many times it the weakest place is to bear.
    pub reserve: Said<f64>,
    /// Distance from the axis at which it acts on the carriage.
    pub offset: Said<Length>,
}

/// Head of the drive screw.
#[derive(Clone, Debug)]
pub enum Head {
    /// For a spanner or a socket.
    Hexagon(Hexagon),
    /// For fingers.
    Knob(Knob),
    /// For a bar that goes through it.
    Tommy(Tommy),
    /// With an arm, and a handle on a bolt at its end.
    Crank(Crank),
}

/// What a kit says of a hexagon.
#[derive(Clone, Debug, Default)]
pub struct Hexagon {
    /// Across flats; the next standard spanner size when not given.
    pub across_flats: Option<Said<Length>>,
    /// Height; follows from the thread when not given.
    pub height: Option<Said<Length>>,
}

/// What a carriage works with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Its bare far face.
    Flush,
    /// Ears that stand out of the frame, with bolt holes along the axis.
    Ears,
    /// A jaw beside the frame, against a fixed one.
    Jaw,
    /// A bought steel rod through the keeper, that pushes.
    Rod,
    /// The same, against an anvil on a yoke that hooks behind the keeper.
    Press,
}

/// What a frame is held by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mount {
    /// Nothing.
    None,
    /// Flanges along its underside, with bolt holes.
    Foot,
    /// A bought nut in a pocket underneath, for a 1/4-20 UNC bolt.
    QuarterInch,
    /// The same for an M6 bolt.
    M6,
}

/// What a kit says of a knob.
#[derive(Clone, Debug, Default)]
pub struct Knob {
    /// Across its lobes; follows from the thread when not given.
    pub diameter: Option<Said<Length>>,
    /// Height; a hand's when not given.
    pub height: Option<Said<Length>>,
}

/// What a kit says of a head for a bar.
#[derive(Clone, Debug, Default)]
pub struct Tommy {
    /// Of the head; follows from thread and bar when not given.
    pub diameter: Option<Said<Length>>,
    /// Height; follows from thread and bar when not given.
    pub height: Option<Said<Length>>,
    /// Diameter of the bar; a common one when not given.
    pub bar: Option<Said<Length>>,
}

/// What a kit says of a crank.
#[derive(Clone, Debug, Default)]
pub struct Crank {
    /// Of the hub; follows from the thread when not given.
    pub diameter: Option<Said<Length>>,
    /// Height of the hub; follows from arm and bolt when not given.
    pub height: Option<Said<Length>>,
    /// From the axis to the handle's bolt; follows from thread and hub when not given.
    pub arm: Option<Said<Length>>,
}

/// The pins of a kit, one pattern for all.
#[derive(Clone, Debug)]
pub struct Pins {
    /// Diameter; follows from the parts when not given. With bought pins always given.
    pub diameter: Option<Said<Length>>,
    /// What to buy instead of printing them, as it was written (`3/16 dowel`).
    pub buy: Option<Said<String>>,
    /// What of its hole holds a pressed pin.
    pub held_by: Said<Grip>,
    /// Whether printed pins come a step thinner and a step thicker too.
    pub grades: Said<bool>,
}

/// What of its hole holds a pressed pin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grip {
    /// Three ribs, which crush; the wall behind them stands clear.
    Ribs,
    /// The whole wall.
    Wall,
}

/// Wanted gaps after printing, radial or a side; where a kit does not say one, that of the least
/// expected cost is.
#[derive(Clone, Debug)]
pub struct WantedGaps {
    /// Between the threads, radial.
    pub thread: Option<Said<Length>>,
    /// Carriage in guide, a side.
    pub slide: Option<Said<Length>>,
    /// Parts that find their place by hand, radial.
    pub locate: Option<Said<Length>>,
    /// Swivel, radial and along the axis.
    pub swivel: Option<Said<Length>>,
    /// Pressed pins, radial, at the tips of the ribs; negative is interference.
    pub press: Option<Said<Length>>,
    /// End faces that carry a push.
    pub seat: Said<Length>,
    /// Of single joints, in place of that of their kind.
    pub joints: Vec<JointGap>,
    /// Of threads by their depth, where they were found before; no key of the file.
    pub found: Vec<(Length, Length)>,
}

/// The wanted gap of one joint.
#[derive(Clone, Debug)]
pub struct JointGap {
    /// The joint's name: `drive/frame`.
    pub joint: Said<String>,
    /// Its gap, radial or a side.
    pub wanted: Said<Length>,
}

/// What it costs a maker, in hours, that a gap is not as wanted.
#[derive(Clone, Debug)]
pub struct Prices {
    /// A second print of a part.
    pub reprint: Said<f64>,
    /// Filing or running in a fit.
    pub fitting: Said<f64>,
    /// A millimetre of play along the axis.
    pub play: Said<f64>,
}

/// Shares of copies, from 0 to 1, of which no part must be printed again.
#[derive(Clone, Debug)]
pub struct Odds {
    /// Below these it is worth a warning.
    pub warn: Said<f64>,
    /// Below these it fails.
    pub fail: Said<f64>,
}

/// Derived sizes that a kit may set; what is not set follows from stroke and threads.
#[derive(Clone, Debug, Default)]
pub struct GivenSizes {
    /// Thread gap that lengths leave room for, radial.
    pub thread_gap: Option<Said<Length>>,
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
    /// Thin thread of a tandem layout's drive screw.
    pub thin_thread: Option<Said<Length>>,
    /// Height of the printed nut.
    pub nut: Option<Said<Length>>,
    /// Width of a tandem layout's carriage.
    pub carriage_width: Option<Said<Length>>,
    /// From a press's rod at turn 0 to its anvil.
    pub throat: Option<Said<Length>>,
}

/// How much of each part is to be filled; of those left out the layout knows.
#[derive(Clone, Debug)]
pub struct GivenPerimeters {
    /// The inner screw, whose thread leaves little of thin walls.
    pub inner: Said<Perimeters>,
    /// The drive screw; solid or as many walls as fill its tube where the kit does not say.
    pub drive: Option<Said<Perimeters>>,
    /// The frame; the kit's walls where it does not say.
    pub frame: Option<Said<Perimeters>>,
    /// The carriage; the same.
    pub carriage: Option<Said<Perimeters>>,
    /// The keeper; the same.
    pub keeper: Option<Said<Perimeters>>,
    /// The printed nut, whose thread leaves little of thin walls.
    pub nut: Said<Perimeters>,
}

/// A check that the maker waives.
#[derive(Clone, Debug)]
pub struct Waiver {
    /// Id of the check.
    pub check: Said<String>,
    /// Why.
    pub reason: Said<String>,
}

/// Pins that shops stock, in inches or in millimetres: how a kit asks for them, and their
/// diameters.
pub fn stock_dowels(inches: bool) -> impl Iterator<Item = (&'static str, Length)> {
    dowel::of_system(inches)
}

/// Reads the text of a kit file.
///
/// A valid kit comes with its warnings, an invalid one is every problem in it, in file order.
/// `known_checks` are the ids that a waiver may name.
///
/// # Errors
/// Every error and warning, at least one of them an error, each with its place in `text`.
pub fn read(text: &str, known_checks: &[&str]) -> Result<(Kit, Vec<Diagnostic>), Vec<Diagnostic>> {
    declared::read(&key::FORM, text, |declared| {
        Reader::new(declared).kit(known_checks)
    })
}

/// A torque at the stops that is less than that of a whole hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gentle {
    /// The torque.
    pub torque: Torque,
    /// Whether fingers turn it: a bar through the head, or a crank, is longer than they need.
    pub fingers: bool,
}

impl Gentle {
    /// Whether thumb and two fingers are to turn it: it is what they turn with at the most.
    pub fn by_fingers(self) -> bool {
        self.fingers && self.torque <= key::FINGERS
    }
}

impl Kit {
    /// The units in which people are told what comes of it.
    pub fn told(&self) -> Told {
        Told::of(self.inches)
    }

    /// Where the file says the first of some keys that it says; `None` where it says none.
    pub fn place_of(&self, keys: &[KeyPath]) -> Option<Range<usize>> {
        keys.iter().find_map(|key| self.said.get(key).cloned())
    }

    /// Friction in the threads: what the kit says, else what was measured of its filament, dry or
    /// greased.
    pub fn friction(&self) -> Friction {
        match &self.friction {
            Some(friction) => friction.value,
            None => Plastic::friction(*self.material, *self.grease),
        }
    }

    /// The torque at the stops, where the kit trusts that no whole hand turns.
    pub fn gentle(&self) -> Option<Gentle> {
        let torque = *self.hand_torque;
        let fingers = match &self.head {
            Head::Hexagon(_) | Head::Knob(_) => true,
            Head::Tommy(_) | Head::Crank(_) => false,
        };
        (torque < key::FULL_HAND).then_some(Gentle { torque, fingers })
    }

    /// The walls that the kit gives one of its parts, else those of all.
    pub fn perimeters_of(&self, part: &Option<Said<Perimeters>>) -> Perimeters {
        part.as_ref()
            .map_or(Perimeters::Lines(*self.walls), |said| said.value)
    }

    /// The size of a printed part that a key sets, with the values that it may have; none for any
    /// other key.
    pub(crate) fn size(
        &mut self,
        path: KeyPath,
    ) -> Option<(&mut Option<Said<Length>>, &'static Between<Length>)> {
        let sizes = &mut self.sizes;
        let all = [
            (&key::THREAD_ROOM, &mut sizes.thread_gap),
            (&key::TAPPED_WALL, &mut sizes.tapped_wall),
            (&key::DRIVE_THREAD, &mut sizes.drive_thread),
            (&key::INNER_THREAD, &mut sizes.inner_thread),
            (&key::BORE, &mut sizes.bore),
            (&key::COLLAR, &mut sizes.collar),
            (&key::CARRIAGE_DIAMETER, &mut sizes.carriage_diameter),
            (&key::CARRIAGE_LENGTH, &mut sizes.carriage_length),
            (&key::EAR_WIDTH, &mut sizes.ear_width),
            (&key::FRAME_SIDE, &mut sizes.frame_side),
            (&key::KEEPER_PLUG, &mut sizes.keeper_plug),
            (&key::THIN_THREAD, &mut sizes.thin_thread),
            (&key::NUT_HEIGHT, &mut sizes.nut),
            (&key::CARRIAGE_WIDTH, &mut sizes.carriage_width),
            (&key::THROAT, &mut sizes.throat),
        ];
        let mut all = all.into_iter();
        let (key, size) = all.find(|(key, _)| key.name() == path)?;
        Some((size, &key.limits))
    }

    /// Gives a part so many walls, by the key that does so; none for any other key.
    pub(crate) fn set_walls(&mut self, part: KeyPath, count: u32) -> Option<()> {
        self.set_perimeters(part, Perimeters::Lines(count))
    }

    /// Fills a part, by the key that does so; none for any other key.
    pub(crate) fn fill(&mut self, part: KeyPath) -> Option<()> {
        self.set_perimeters(part, Perimeters::Solid)
    }

    fn set_perimeters(&mut self, part: KeyPath, perimeters: Perimeters) -> Option<()> {
        let walls = Said::default_value(perimeters);
        let of = &mut self.perimeters;
        if part == key::PERIMETERS_INNER.name() {
            of.inner = walls;
            return Some(());
        }
        if part == key::PERIMETERS_NUT.name() {
            of.nut = walls;
            return Some(());
        }
        let parts = [
            (key::PERIMETERS_DRIVE.name(), &mut of.drive),
            (key::PERIMETERS_FRAME.name(), &mut of.frame),
            (key::PERIMETERS_CARRIAGE.name(), &mut of.carriage),
            (key::PERIMETERS_KEEPER.name(), &mut of.keeper),
        ];
        let (_, given) = parts.into_iter().find(|(path, _)| *path == part)?;
        *given = Some(walls);
        Some(())
    }

    /// The name as a folder's: blanks become hyphens.
    pub fn folder(&self) -> String {
        self.name.replace(' ', "-")
    }
}

impl FromStr for Kit {
    type Err = Vec<Diagnostic>;

    /// Reads a kit without waivers; its warnings are dropped.
    fn from_str(text: &str) -> Result<Self, Vec<Diagnostic>> {
        read(text, &[]).map(|(kit, _)| kit)
    }
}
