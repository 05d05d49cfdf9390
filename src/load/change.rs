//! Changes of a kit that a mend may tell to type.

use crate::assembly::{Asked, Fit, Perimeters, Turning};
use crate::kit::{KeyPath, Kit, Mechanism, Said, key, word};
use crate::layout;
use crate::strength::Material;
use crate::thread::Thread;
use crate::units::{Force, Length};
use crate::units_told::{Told, number};
use std::fmt::Display;

/// One key of a kit, said otherwise.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Printed pins of this diameter.
    Pins(Length),
    /// The same, where they become thinner.
    ThinnerPins(Length),
    /// Bought pins of steel, as a kit asks for them, and their diameter.
    Steel(&'static str, Length),
    /// The inner screw filled.
    SolidInner,
    /// The drive screw filled.
    SolidDrive,
    /// The frame filled.
    SolidFrame,
    /// The part of this key filled.
    Filled(KeyPath),
    /// Another drive thread.
    Drive(Thread),
    /// Another inner thread, of a nested layout.
    Inner(Thread),
    /// The thread of this key with one start.
    OneStart(KeyPath, Thread),
    /// A wider frame.
    FrameSide(Length),
    /// A longer plug of the keeper.
    KeeperPlug(Length),
    /// A longer tapped wall of the frame.
    TappedWall(Length),
    /// A thicker carriage.
    CarriageDiameter(Length),
    /// A longer carriage.
    CarriageLength(Length),
    /// A shorter stroke.
    Stroke(Length),
    /// An anvil nearer to the rod.
    Throat(Length),
    /// Greased threads.
    Grease,
    /// A gap as another key or value asks for it, of joints of this fit.
    Gap(Asked, Fit, Length),
    /// Layers of another height.
    Layer(Length),
    /// Lines of another width.
    Line(Length),
    /// Another chord tolerance.
    Tolerance(Length),
    /// A load nearer to the axis.
    Offset(Length),
    /// Another asserted net lead.
    NetLead(Length),
    /// The other asserted way to turn.
    Advance(Turning),
    /// Another filament.
    Material(Material),
    /// So many walls of a part, by its key.
    Walls(KeyPath, u32),
    /// A preload spring of another free length.
    SpringFree(Length),
    /// A preload spring of another wire.
    SpringWire(Length),
    /// What pulls away from the drive head, of a kit with a spring.
    SpringPull(Force),
    /// No preload spring.
    NoSpring,
    /// Keys that the kit need not say.
    LeaveOut(Vec<KeyPath>),
}

impl Change {
    /// The kit with it; none where a limit of a key does not allow it, or the kit has no such key.
    pub fn made(&self, kit: &Kit) -> Option<Kit> {
        self.as_typed(kit.inches).set(kit)
    }

    /// The same change with its length as the line to type has it, so that what is tried is what is
    /// typed.
    fn as_typed(&self, inches: bool) -> Self {
        let size = |to: &Length| rounded(*to, inches, DECIMALS);
        match self {
            Self::Pins(to) => Self::Pins(size(to)),
            Self::ThinnerPins(to) => Self::ThinnerPins(size(to)),
            Self::FrameSide(to) => Self::FrameSide(size(to)),
            Self::KeeperPlug(to) => Self::KeeperPlug(size(to)),
            Self::TappedWall(to) => Self::TappedWall(size(to)),
            Self::CarriageDiameter(to) => Self::CarriageDiameter(size(to)),
            Self::CarriageLength(to) => Self::CarriageLength(size(to)),
            Self::Stroke(to) => Self::Stroke(size(to)),
            Self::Throat(to) => Self::Throat(size(to)),
            Self::Offset(to) => Self::Offset(size(to)),
            Self::Tolerance(to) => Self::Tolerance(rounded(*to, inches, TOLERANCE_DECIMALS)),
            Self::NetLead(to) => Self::NetLead(rounded(*to, inches, LEAD_DECIMALS)),
            Self::SpringFree(to) => Self::SpringFree(size(to)),
            Self::SpringWire(to) => Self::SpringWire(size(to)),
            Self::Steel(..)
            | Self::SolidInner
            | Self::SolidDrive
            | Self::SolidFrame
            | Self::Filled(_)
            | Self::SpringPull(_)
            | Self::NoSpring
            | Self::Drive(_)
            | Self::Inner(_)
            | Self::OneStart(..)
            | Self::Grease
            | Self::Gap(..)
            | Self::Layer(_)
            | Self::Line(_)
            | Self::Advance(_)
            | Self::Material(_)
            | Self::Walls(..)
            | Self::LeaveOut(_) => self.clone(),
        }
    }

    fn set(&self, kit: &Kit) -> Option<Kit> {
        let mut kit = kit.clone();
        let said = Said::default_value;
        match self {
            Self::Pins(diameter) | Self::ThinnerPins(diameter) => {
                let within = key::PINS_DIAMETER.limits.holds(*diameter);
                (kit.pins.diameter, kit.pins.buy) = (Some(said(*diameter)), None);
                return within.then_some(kit);
            }
            Self::Steel(stock, diameter) => {
                kit.pins.diameter = Some(said(*diameter));
                kit.pins.buy = Some(Said::default_value((*stock).into()));
            }
            Self::SolidInner => kit.perimeters.inner.value = Perimeters::Solid,
            Self::SolidDrive => {
                kit.perimeters.drive = Some(Said::default_value(Perimeters::Solid));
            }
            Self::SolidFrame => {
                kit.perimeters.frame = Some(Said::default_value(Perimeters::Solid));
            }
            Self::Filled(part) => kit.fill(*part)?,
            Self::Drive(thread) => match &mut kit.mechanism {
                Mechanism::Single(threads) => threads.drive = thread.clone(),
                Mechanism::Nested(threads) => threads.drive = thread.clone(),
                Mechanism::Tandem(threads) => threads.drive = thread.clone(),
                // The drive alone would leave the far shaft as weak as it is.
                Mechanism::Opposed(_) => return None,
            },
            Self::Inner(thread) => match &mut kit.mechanism {
                Mechanism::Nested(threads) => threads.inner = thread.clone(),
                Mechanism::Single(_) | Mechanism::Tandem(_) | Mechanism::Opposed(_) => return None,
            },
            Self::OneStart(path, thread) if *path == key::DRIVE.name() => {
                return Self::Drive(thread.clone()).made(&kit);
            }
            Self::OneStart(path, thread) if *path == key::INNER.name() => {
                return Self::Inner(thread.clone()).made(&kit);
            }
            Self::OneStart(path, thread) => return second(kit, *path, thread),
            Self::FrameSide(to) => return sized(kit, key::FRAME_SIDE.name(), *to),
            Self::KeeperPlug(to) => return sized(kit, key::KEEPER_PLUG.name(), *to),
            Self::TappedWall(to) => return sized(kit, key::TAPPED_WALL.name(), *to),
            Self::CarriageDiameter(to) => return sized(kit, key::CARRIAGE_DIAMETER.name(), *to),
            Self::CarriageLength(to) => return sized(kit, key::CARRIAGE_LENGTH.name(), *to),
            Self::Throat(to) => return sized(kit, key::THROAT.name(), *to),
            Self::Stroke(stroke) => {
                kit.stroke.value = *stroke;
                return key::STROKE.limits.holds(*stroke).then_some(kit);
            }
            Self::Grease => kit.grease.value = true,
            Self::Gap(asked, fit, wanted) => {
                return layout::with_gap(&kit, asked, *fit, *wanted);
            }
            Self::Layer(layer) => {
                kit.layer.value = *layer;
                return key::LAYER.limits.holds(*layer).then_some(kit);
            }
            Self::Line(line) => {
                kit.line.value = *line;
                return key::LINE.limits.holds(*line).then_some(kit);
            }
            Self::Tolerance(tolerance) => {
                kit.tolerance.value = *tolerance;
                return key::TOLERANCE.limits.holds(*tolerance).then_some(kit);
            }
            Self::Offset(offset) => {
                kit.load.offset.value = *offset;
                return key::LOAD_OFFSET.limits.holds(*offset).then_some(kit);
            }
            Self::NetLead(lead) => kit.net_lead = Some(said(*lead)),
            Self::Advance(turning) => kit.advance = Some(Said::default_value(*turning)),
            Self::Material(material) => kit.material.value = *material,
            Self::Walls(part, count) => {
                kit.set_walls(*part, *count)?;
                return key::WALLS.limits.holds(*count).then_some(kit);
            }
            Self::SpringFree(to) => {
                kit.spring.as_mut()?.coil.free = *to;
                return key::SPRING_FREE.limits.holds(*to).then_some(kit);
            }
            Self::SpringWire(to) => {
                let spring = kit.spring.as_mut()?;
                spring.coil.wire = *to;
                let wound = spring.is_wound() && key::SPRING_WIRE.limits.holds(*to);
                return wound.then_some(kit);
            }
            Self::SpringPull(pull) => kit.spring.as_mut()?.pull = Some(said_force(*pull)),
            Self::NoSpring => kit.spring = None,
            Self::LeaveOut(keys) => {
                let mut left = keys.iter().map(|key| leave_out(&mut kit, *key));
                return left.all(|left| left.is_some()).then_some(kit);
            }
        }
        Some(kit)
    }

    /// Its key and what to type behind it; none of what is typed otherwise.
    fn line(&self, inches: bool) -> Option<(KeyPath, String)> {
        let mm = |length: &Length, decimals| typed_length(*length, inches, decimals);
        let size = |length| mm(length, DECIMALS);
        // A printer's own settings are in millimetres everywhere.
        let setting = |length: &Length| typed_length(*length, false, DECIMALS);
        let quoted = |value: &dyn Display| format!("\"{value}\"");
        let solid = || String::from("\"solid\"");
        Some(match self {
            Self::Pins(to) | Self::ThinnerPins(to) => (key::PINS_DIAMETER.name(), size(to)),
            Self::Steel(stock, _) => (key::PINS_BUY.name(), format!("\"{stock} dowel\"")),
            Self::SolidInner => (key::PERIMETERS_INNER.name(), solid()),
            Self::SolidDrive => (key::PERIMETERS_DRIVE.name(), solid()),
            Self::SolidFrame => (key::PERIMETERS_FRAME.name(), solid()),
            Self::Filled(part) => (*part, solid()),
            Self::Drive(thread) => (key::DRIVE.name(), quoted(thread)),
            Self::Inner(thread) => (key::INNER.name(), quoted(thread)),
            Self::OneStart(path, thread) => (*path, quoted(thread)),
            Self::FrameSide(to) => (key::FRAME_SIDE.name(), size(to)),
            Self::KeeperPlug(to) => (key::KEEPER_PLUG.name(), size(to)),
            Self::TappedWall(to) => (key::TAPPED_WALL.name(), size(to)),
            Self::CarriageDiameter(to) => (key::CARRIAGE_DIAMETER.name(), size(to)),
            Self::CarriageLength(to) => (key::CARRIAGE_LENGTH.name(), size(to)),
            Self::Stroke(to) => (key::STROKE.name(), size(to)),
            Self::Throat(to) => (key::THROAT.name(), size(to)),
            Self::Grease => (key::GREASE.name(), true.to_string()),
            Self::Layer(to) => (key::LAYER.name(), setting(to)),
            Self::Line(to) => (key::LINE.name(), setting(to)),
            Self::Tolerance(to) => (key::TOLERANCE.name(), mm(to, TOLERANCE_DECIMALS)),
            Self::Offset(to) => (key::LOAD_OFFSET.name(), size(to)),
            Self::NetLead(to) => (key::NET_LEAD.name(), mm(to, LEAD_DECIMALS)),
            Self::Advance(turning) => (key::ADVANCE.name(), quoted(&word(*turning))),
            Self::Material(material) => (key::MATERIAL.name(), quoted(&word(*material))),
            Self::Walls(part, count) => (*part, count.to_string()),
            Self::SpringFree(to) => (key::SPRING_FREE.name(), size(to)),
            Self::SpringWire(to) => (key::SPRING_WIRE.name(), size(to)),
            Self::SpringPull(to) => (
                key::SPRING_PULL.name(),
                format!("\"{}\"", Told::of(inches).typed_force(*to)),
            ),
            Self::Gap(..) | Self::NoSpring | Self::LeaveOut(_) => return None,
        })
    }

    /// What it comes to, where its key does not say that by itself: `take thicker pins`.
    fn words(&self) -> Option<&'static str> {
        Some(match self {
            Self::Pins(_) => "take thicker pins",
            Self::ThinnerPins(_) => "take thinner pins",
            Self::Steel(..) => "buy pins of steel",
            Self::SolidInner => "print the inner screw solid",
            Self::SolidDrive => "print the drive screw solid",
            Self::SolidFrame => "print the frame solid",
            Self::Filled(_) => "print it solid",
            Self::Drive(_) => "take a thicker screw",
            Self::Inner(_) => "take a thinner inner screw",
            Self::FrameSide(_) => "widen the frame",
            Self::KeeperPlug(_) => "lengthen the keeper's plug",
            Self::TappedWall(_) => "engage more of the thread",
            Self::CarriageDiameter(_) => "thicken the carriage",
            Self::CarriageLength(_) => "lengthen the carriage",
            Self::Stroke(_) => "shorten the stroke",
            Self::Throat(_) => "bring the anvil nearer to the rod",
            Self::Grease => "grease the threads",
            Self::Offset(_) => "bring the load nearer to the axis",
            Self::SpringFree(_) => "take a spring of another length",
            Self::SpringWire(_) => "take a spring of another wire",
            Self::SpringPull(_) => "say that nothing pulls the carriage away from the drive head",
            Self::Gap(..)
            | Self::OneStart(..)
            | Self::Layer(_)
            | Self::Line(_)
            | Self::Tolerance(_)
            | Self::NetLead(_)
            | Self::Advance(_)
            | Self::Material(_)
            | Self::Walls(..)
            | Self::NoSpring
            | Self::LeaveOut(_) => return None,
        })
    }

    /// What to do and what to type: ``take thicker pins (`diameter = "4 mm"` in `pins`)``.
    pub fn told(&self, kit: &Kit) -> String {
        let typed = match self {
            Self::LeaveOut(keys) => {
                let keys: Vec<String> = keys.iter().map(KeyPath::to_string).collect();
                return format!("leave out {}", keys.join(" and "));
            }
            Self::NoSpring => return "leave out `spring`".into(),
            Self::Gap(asked, fit, wanted) => {
                let radial = if *fit == Fit::Press {
                    ", which is radial"
                } else {
                    ""
                };
                return format!("write `{}`{radial}", asked.to_type(*wanted, kit.inches));
            }
            _ => self.line(kit.inches).map(|(key, value)| key.typed(value)),
        };
        let typed = typed.unwrap_or_default();
        let instead = match self.instead_of(kit).and_then(KeyPath::parted) {
            Some((table, leaf)) => format!(", and no `{leaf}` in `{table}`"),
            None => String::new(),
        };
        match self.words() {
            Some(words) => format!("{words} ({typed}{instead})"),
            None => format!("write {typed}{instead}"),
        }
    }

    /// The key of the kit that says otherwise, and must go.
    fn instead_of(&self, kit: &Kit) -> Option<KeyPath> {
        let key = match self {
            Self::Pins(_) | Self::ThinnerPins(_) => key::PINS_BUY.name(),
            Self::Steel(..) => key::PINS_DIAMETER.name(),
            _ => return None,
        };
        kit.said.contains_key(&key).then_some(key)
    }
}

fn said_force(force: Force) -> Said<Force> {
    Said::default_value(force)
}

/// A length as a kit's file has it: `"5.5 mm"`, in an inch kit `"0.2165 in"`.
fn typed_length(length: Length, inches: bool, decimals: usize) -> String {
    match inches {
        false => format!("\"{} mm\"", number(length.as_mm(), decimals)),
        true => format!(
            "\"{} in\"",
            number(length.as_inches(), decimals + INCH_MORE)
        ),
    }
}

/// The length that is typed for one.
fn rounded(length: Length, inches: bool, decimals: usize) -> Length {
    match inches {
        false => length,
        true => {
            let text = number(length.as_inches(), decimals + INCH_MORE);
            text.parse().map_or(length, Length::inches)
        }
    }
}

/// Decimals that an inch has more than a millimetre.
const INCH_MORE: usize = 2;
/// Decimals of a size that a maker types, in mm.
const DECIMALS: usize = 2;
/// The same of a tolerance: a micrometre.
const TOLERANCE_DECIMALS: usize = 3;
/// The same of a net lead.
const LEAD_DECIMALS: usize = 4;
/// A tandem kit with another thin thread, an opposed one with another far thread; none of any other
/// layout.
fn second(mut kit: Kit, path: KeyPath, thread: &Thread) -> Option<Kit> {
    match &mut kit.mechanism {
        Mechanism::Tandem(threads) if path == key::THIN.name() => threads.thin = thread.clone(),
        Mechanism::Opposed(threads) if path == key::FAR.name() => threads.far = thread.clone(),
        Mechanism::Single(_)
        | Mechanism::Nested(_)
        | Mechanism::Tandem(_)
        | Mechanism::Opposed(_) => return None,
    }
    Some(kit)
}

/// A kit with a size of a printed part.
fn sized(mut kit: Kit, path: KeyPath, length: Length) -> Option<Kit> {
    let (size, limits) = kit.size(path)?;
    *size = Some(Said::default_value(length));
    limits.holds(length).then_some(kit)
}

/// Takes a key out of a kit that says it; none where it is not said, or must be.
fn leave_out(kit: &mut Kit, path: KeyPath) -> Option<()> {
    if path == key::FRICTION.name() {
        return kit.friction.take().map(drop);
    }
    if path == key::GREASE.name() {
        return std::mem::take(&mut kit.grease.value).then_some(());
    }
    kit.size(path)?.0.take().map(drop)
}
