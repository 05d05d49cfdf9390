//! What may spare a place that bears too little, the least change first.

use super::change::Change;
use crate::kit::{KeyPath, Kit, Mechanism, Single, key};
use crate::thread::series::all;
use crate::units::Length;

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
    /// A frame whose sides are of one thickness.
    SolidFrame,
    /// The keeper's plug, this long.
    Plug(Length),
    /// The part of this key, filled.
    Filled(KeyPath),
    /// A thread in the frame's tapped wall, engaged over this length.
    TappedWall(Length),
    /// Another thread.
    Thread,
    /// Nothing but turning less hard.
    None,
}

/// From step to step of a size that is tried: what a maker types. Guess.
const STEP: Length = Length::mm(0.5);
/// Steps in which lengths of springs are tried, and how many.
const SPRING_STEP: Length = Length::mm(1.0);
/// See there.
const SPRING_STEPS: u32 = 30;
/// Steps in which their wires are.
const WIRE_STEP: Length = Length::mm(0.1);
/// The same of a layer.
const LAYER_STEP: Length = Length::mm(0.01);
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
            Self::SolidFrame => vec![Change::SolidFrame],
            Self::Filled(part) => vec![Change::Filled(part)],
            Self::Plug(length) => larger(length).map(Change::KeeperPlug).collect(),
            Self::TappedWall(length) => {
                let longer = larger(length).map(Change::TappedWall);
                longer.chain(thicker_drive(kit)).collect()
            }
            Self::Thread => thicker_drive(kit),
            Self::None => Vec::new(),
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
        Mechanism::Single(_) | Mechanism::Tandem(_) | Mechanism::Opposed(_) => None,
    };
    let solid = inner.into_iter().chain([Change::SolidDrive]);
    solid.chain(thicker_drive(kit)).collect()
}

/// The next sizes of a single screw's series; of two screws each hangs on the other.
fn thicker_drive(kit: &Kit) -> Vec<Change> {
    let drive = match &kit.mechanism {
        Mechanism::Single(Single { drive }) => drive,
        Mechanism::Nested(_) | Mechanism::Tandem(_) | Mechanism::Opposed(_) => return Vec::new(),
    };
    let thicker =
        all().filter(|one| one.major() > drive.major() && one.standard() == drive.standard());
    let next = thicker.take(STEPS as usize);
    next.map(|one| Change::Drive(one.with_hand(drive.hand())))
        .collect()
}

fn stouter_column(kit: &Kit) -> Vec<Change> {
    let screws = stronger_screws(kit).into_iter();
    screws.chain(shorter_stroke(kit)).collect()
}

/// Shorter strokes, down to half.
pub fn shorter_stroke(kit: &Kit) -> Vec<Change> {
    let shorter = (1..STEPS / 2).map(|part| {
        let share = 1.0 - f64::from(part) / f64::from(STEPS);
        (*kit.stroke * share).down_to(STEP)
    });
    let shorter = shorter.filter(|shorter| *shorter > Length::ZERO);
    shorter.map(Change::Stroke).collect()
}

/// The longest stroke that does what is asked, sought where every shorter one does it too.
pub fn longest_stroke(kit: &Kit, does: impl Fn(&Change) -> bool) -> Option<Change> {
    let stroke = |steps: u32| Change::Stroke(STEP * f64::from(steps));
    // A stroke is bounded by its key; a conversion from a float saturates.
    let (mut does_it, mut too_long) = (0, (*kit.stroke / STEP).ceil() as u32);
    while too_long - does_it > 1 {
        let middle = u32::midpoint(does_it, too_long);
        match does(&stroke(middle)) {
            true => does_it = middle,
            false => too_long = middle,
        }
    }
    (does_it > 0).then(|| stroke(does_it))
}

/// Thinner layers, down to half.
pub fn thinner_layers(kit: &Kit) -> Vec<Change> {
    let thinner = (1..=STEPS / 2).map(|part| {
        let share = 1.0 - f64::from(part) / f64::from(STEPS);
        (*kit.layer * share).down_to(LAYER_STEP)
    });
    thinner.map(Change::Layer).collect()
}

/// Of some keys those that the kit says, left out: each alone, then all of them.
pub fn leave_out(kit: &Kit, keys: &[KeyPath]) -> Vec<Change> {
    let said = |key: &KeyPath| kit.said.contains_key(key) && *key != key::STROKE.name();
    let said: Vec<KeyPath> = keys.iter().copied().filter(said).collect();
    let alone = said.iter().map(|key| Change::LeaveOut(vec![*key]));
    let mut ways: Vec<Change> = alone.collect();
    if said.len() > 1 {
        ways.push(Change::LeaveOut(said));
    }
    ways
}

/// A longer tapped wall, where that is among the keys of a thread's lengths and the kit says it.
pub fn longer(kit: &Kit, lengths: &[KeyPath]) -> Vec<Change> {
    let wall = kit.sizes.tapped_wall.as_ref();
    let wall = wall.filter(|_| lengths.contains(&key::TAPPED_WALL.name()));
    let longer = wall.into_iter().flat_map(|wall| larger(wall.value));
    longer.map(Change::TappedWall).collect()
}

/// Springs that press harder, the least change first: longer ones, then of thicker wire; none where
/// nothing else helps.
pub fn other_springs(kit: &Kit) -> Vec<Change> {
    let Some(spring) = &kit.spring else {
        return Vec::new();
    };
    let free = spring.coil.free.down_to(SPRING_STEP);
    let longer =
        (1..=SPRING_STEPS).map(|step| Change::SpringFree(free + SPRING_STEP * f64::from(step)));
    let wire = spring.coil.wire.down_to(WIRE_STEP);
    let thicker = (1..=STEPS).map(|step| Change::SpringWire(wire + WIRE_STEP * f64::from(step)));
    longer.chain(thicker).chain([Change::NoSpring]).collect()
}

/// Springs that press less hard and stand straighter: shorter ones, then of thinner wire; none where
/// nothing else helps.
pub fn shorter_springs(kit: &Kit) -> Vec<Change> {
    let Some(spring) = &kit.spring else {
        return Vec::new();
    };
    let free = spring.coil.free.up_to(SPRING_STEP);
    let shorter = (1..=SPRING_STEPS).map(|step| free - SPRING_STEP * f64::from(step));
    let shorter = shorter.filter(|free| *free > Length::ZERO);
    let wire = spring.coil.wire.up_to(WIRE_STEP);
    let thinner = (1..=STEPS).map(|step| wire - WIRE_STEP * f64::from(step));
    let thinner = thinner.filter(|wire| *wire > Length::ZERO);
    let shorter = shorter.map(Change::SpringFree);
    let springs = shorter.chain(thinner.map(Change::SpringWire));
    springs.chain([Change::NoSpring]).collect()
}

/// Thicker carriages than one of this diameter.
pub fn thicker_carriage(diameter: Length) -> Vec<Change> {
    larger(diameter).map(Change::CarriageDiameter).collect()
}
