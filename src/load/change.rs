//! Changes of a kit that may spare a place that bears too little.

use crate::assembly::Perimeters;
use crate::kit::{KeyPath, Kit, Mechanism, Said, Single, key};
use crate::thread::Thread;
use crate::thread::series::all;
use crate::units::Length;

/// One key of a kit, said otherwise.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Printed pins of this diameter.
    Pins(Length),
    /// Bought pins of steel, as a kit asks for them, and their diameter.
    Steel(&'static str, Length),
    /// The inner screw filled.
    SolidInner,
    /// The drive screw filled.
    SolidDrive,
    /// Of a single layout, another drive thread.
    Drive(Thread),
    /// A wider frame.
    FrameSide(Length),
    /// A longer plug of the keeper.
    KeeperPlug(Length),
    /// A longer tapped wall of the frame.
    TappedWall(Length),
    /// A shorter stroke.
    Stroke(Length),
    /// Greased threads.
    Grease,
}

impl Change {
    /// The kit with it.
    pub fn made(&self, kit: &Kit) -> Kit {
        let mut kit = kit.clone();
        let said = Said::default_value;
        match self {
            Self::Pins(diameter) => {
                (kit.pins.diameter, kit.pins.buy) = (Some(said(*diameter)), None);
            }
            Self::Steel(stock, diameter) => {
                kit.pins.diameter = Some(said(*diameter));
                kit.pins.buy = Some(Said::default_value((*stock).into()));
            }
            Self::SolidInner => kit.perimeters.inner.value = Perimeters::Solid,
            Self::SolidDrive => {
                kit.perimeters.drive = Some(Said::default_value(Perimeters::Solid));
            }
            Self::Drive(drive) => {
                let drive = drive.clone();
                kit.mechanism = Mechanism::Single(Single { drive });
            }
            Self::FrameSide(side) => kit.sizes.frame_side = Some(said(*side)),
            Self::KeeperPlug(length) => kit.sizes.keeper_plug = Some(said(*length)),
            Self::TappedWall(length) => kit.sizes.tapped_wall = Some(said(*length)),
            Self::Stroke(stroke) => kit.stroke.value = *stroke,
            Self::Grease => kit.grease.value = true,
        }
        kit
    }

    /// Its key.
    pub fn key(&self) -> KeyPath {
        match self {
            Self::Pins(_) => key::PINS_DIAMETER.name(),
            Self::Steel(..) => key::PINS_BUY.name(),
            Self::SolidInner => key::PERIMETERS_INNER.name(),
            Self::SolidDrive => key::PERIMETERS_DRIVE.name(),
            Self::Drive(_) => key::DRIVE.name(),
            Self::FrameSide(_) => key::FRAME_SIDE.name(),
            Self::KeeperPlug(_) => key::KEEPER_PLUG.name(),
            Self::TappedWall(_) => key::TAPPED_WALL.name(),
            Self::Stroke(_) => key::STROKE.name(),
            Self::Grease => key::GREASE.name(),
        }
    }

    /// What to type behind it.
    pub fn value(&self) -> String {
        match self {
            Self::Pins(length)
            | Self::FrameSide(length)
            | Self::KeeperPlug(length)
            | Self::TappedWall(length)
            | Self::Stroke(length) => format!("\"{} mm\"", length.as_mm()),
            Self::Steel(stock, _) => format!("\"{stock} dowel\""),
            Self::SolidInner | Self::SolidDrive => "\"solid\"".into(),
            Self::Drive(thread) => format!("\"{}\"", thread.designation()),
            Self::Grease => "true".into(),
        }
    }

    /// What it comes to: `take thicker pins`.
    pub fn words(&self) -> &'static str {
        match self {
            Self::Pins(_) => "take thicker pins",
            Self::Steel(..) => "buy pins of steel",
            Self::SolidInner => "print the inner screw solid",
            Self::SolidDrive => "print the drive screw solid",
            Self::Drive(_) => "take a thicker screw",
            Self::FrameSide(_) => "widen the frame",
            Self::KeeperPlug(_) => "lengthen the keeper's plug",
            Self::TappedWall(_) => "engage more of the thread",
            Self::Stroke(_) => "shorten the stroke",
            Self::Grease => "grease the threads",
        }
    }
}

/// What may spare a place, by what it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Remedy {
    /// Pins of this diameter.
    Pins(Length),
    /// The section of a screw under its thread.
    Screws,
    /// A column of screws.
    Column,
    /// A frame this wide.
    Frame(Length),
    /// The keeper's plug, this long.
    Plug(Length),
    /// A thread in the frame's tapped wall, engaged over this length.
    TappedWall(Length),
    /// Another thread.
    Thread,
}

/// From step to step of a size that is tried: what a maker types. Guess.
const STEP: Length = Length::mm(0.5);
/// Steps that are tried: beyond that it is another design. Guess.
const STEPS: u32 = 16;

impl Remedy {
    /// What may spare the place, the least change first; whether it does is for whoever asks to
    /// try.
    pub fn changes(self, kit: &Kit) -> Vec<Change> {
        match self {
            Self::Pins(diameter) => stronger_pins(kit, diameter),
            Self::Screws => stronger_screws(kit),
            Self::Column => stouter_column(kit),
            Self::Frame(side) => larger(side).map(Change::FrameSide).collect(),
            Self::Plug(length) => larger(length).map(Change::KeeperPlug).collect(),
            Self::TappedWall(length) => {
                let longer = larger(length).map(Change::TappedWall);
                longer.chain(thicker_drive(kit)).collect()
            }
            Self::Thread => thicker_drive(kit),
        }
    }
}

/// Sizes from the next half millimetre on.
fn larger(size: Length) -> impl Iterator<Item = Length> {
    let first = size.down_to(STEP) + STEP;
    (0..STEPS).map(move |step| first + STEP * f64::from(step))
}

fn stronger_pins(kit: &Kit, diameter: Length) -> Vec<Change> {
    let thicker = larger(diameter).map(Change::Pins);
    let mut stock: Vec<_> = crate::kit::stock_dowels(kit.inches).collect();
    // The nearest to what is drawn changes least.
    let off = |size: Length| (size - diameter).abs().as_mm();
    stock.sort_by(|one, other| off(one.1).total_cmp(&off(other.1)));
    let steel = stock.into_iter();
    let steel = steel.map(|(stock, size)| Change::Steel(stock, size));
    thicker.chain(steel).collect()
}

fn stronger_screws(kit: &Kit) -> Vec<Change> {
    let inner = match kit.mechanism {
        Mechanism::Nested(_) => Some(Change::SolidInner),
        Mechanism::Single(_) => None,
    };
    let solid = inner.into_iter().chain([Change::SolidDrive]);
    solid.chain(thicker_drive(kit)).collect()
}

/// The next sizes of a single screw's series; of two screws each hangs on the other.
fn thicker_drive(kit: &Kit) -> Vec<Change> {
    let Mechanism::Single(Single { drive }) = &kit.mechanism else {
        return Vec::new();
    };
    let thicker =
        all().filter(|one| one.major() > drive.major() && one.standard() == drive.standard());
    let next = thicker.take(STEPS as usize);
    next.map(|one| Change::Drive(one.with_hand(drive.hand())))
        .collect()
}

fn stouter_column(kit: &Kit) -> Vec<Change> {
    let stroke = *kit.stroke;
    let shorter = (1..STEPS / 2).map(|part| {
        let share = 1.0 - f64::from(part) / f64::from(STEPS);
        (stroke * share).down_to(STEP)
    });
    let shorter = shorter.filter(|shorter| *shorter > Length::ZERO);
    let screws = stronger_screws(kit).into_iter();
    screws.chain(shorter.map(Change::Stroke)).collect()
}
