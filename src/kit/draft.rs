//! A kit that a program puts together, key by key, without a file.
//!
//! What is said is checked where every kit is, when it is read: each problem then points at its line in
//! the draft's text, which is a kit file and may be written as one.

use super::edit::{self, CannotSet};
use super::{LayoutKind, key, word};
use crate::declared::{Quantity, Units};
use crate::thread::Thread;
use crate::units::{Force, Length, SpringRate, Torque};
use std::fmt;
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, Value};

/// The text of a kit in the making.
///
/// ```
/// use netlead::kit::Draft;
/// use netlead::units::Length;
///
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// let draft = Draft::nested("stage", &"M20x2.5".parse()?, &"M12x1.75".parse()?, Length::mm(12.0))
///     .with("layer", Length::mm(0.2))?
///     .with("head.kind", "hexagon")?;
/// assert!(draft.to_string().contains("stroke = \"12 mm\""));
/// # Ok(())
/// # }
/// ```
#[derive(Clone, Debug)]
pub struct Draft(DocumentMut);

/// What a program may say of a key: lengths, forces and torques with their units, numbers, words.
#[derive(Clone, Debug)]
pub struct Saying(Value);

impl Draft {
    /// A screw in the frame and another in its bore.
    pub fn nested(name: &str, drive: &Thread, inner: &Thread, stroke: Length) -> Self {
        Self::of(name, LayoutKind::Nested, drive, stroke).set(key::INNER.path, inner)
    }

    /// One screw, with the carriage on a swivel: the plain one.
    pub fn single(name: &str, drive: &Thread, stroke: Length) -> Self {
        Self::of(name, LayoutKind::Single, drive, stroke)
    }

    /// One stepped screw: its thick thread in the frame, its thin one in the carriage's nut.
    pub fn tandem(name: &str, drive: &Thread, thin: &Thread, stroke: Length) -> Self {
        Self::of(name, LayoutKind::Tandem, drive, stroke).set(key::THIN.path, thin)
    }

    /// Two shafts of opposite hands, which move two carriages against each other; the stroke is the near
    /// one's.
    pub fn opposed(name: &str, drive: &Thread, far: &Thread, stroke: Length) -> Self {
        Self::of(name, LayoutKind::Opposed, drive, stroke).set(key::FAR.path, far)
    }

    fn of(name: &str, layout: LayoutKind, drive: &Thread, stroke: Length) -> Self {
        Self(DocumentMut::new())
            .set(key::NAME.path, name)
            .set(key::LAYOUT.path, word(layout))
            .set(key::DRIVE.path, drive)
            .set(key::STROKE.path, stroke)
    }

    /// A key of the kit file's top, said.
    fn set(mut self, path: &'static str, saying: impl Into<Saying>) -> Self {
        self.0.insert(path, Item::Value(saying.into().0));
        self
    }

    /// The same with a key said, or said otherwise: a dotted path as [`keys`](super::keys) lists them,
    /// `"gaps.slide"`. Whether the value will do is told when the draft is read.
    ///
    /// # Errors
    /// If the kit file has no such key.
    pub fn with(mut self, path: &str, saying: impl Into<Saying>) -> Result<Self, CannotSet> {
        edit::set(&mut self.0, path, saying.into().0)?;
        Ok(self)
    }

    /// The same with a wanted gap of one joint, by its name: `"drive/frame"`.
    ///
    /// # Errors
    /// None that a draft can come to: as [`Draft::with`].
    pub fn with_joint_gap(mut self, joint: &str, gap: Length) -> Result<Self, CannotSet> {
        let saying = Saying::from(gap).0;
        edit::insert(&mut self.0, key::JOINT_GAPS, joint, saying)?;
        Ok(self)
    }

    /// The same with a check waived for a reason.
    #[must_use]
    pub fn waiving(mut self, check: &str, reason: &str) -> Self {
        let mut waiver = Table::new();
        for (path, said) in [
            (key::WAIVE_CHECK.leaf(), check),
            (key::WAIVE_REASON.leaf(), reason),
        ] {
            waiver.insert(path, Item::Value(said.into()));
        }
        let all = self.0.entry(key::REPEATED);
        let all = all.or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
        if let Item::ArrayOfTables(waivers) = all {
            waivers.push(waiver);
        }
        self
    }
}

impl fmt::Display for Draft {
    /// As a kit file.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Quantities stand with their units, so that they mean the same whatever bare numbers are.
macro_rules! with_unit {
    ($($quantity:ty),*) => { $(
        impl From<$quantity> for Saying {
            fn from(quantity: $quantity) -> Self {
                Self(quantity.show(Units::Mm).into())
            }
        }
    )* };
}

with_unit!(Length, Force, Torque, SpringRate);

impl From<[Length; 3]> for Saying {
    fn from(sides: [Length; 3]) -> Self {
        let sides = sides.map(|side| Self::from(side).0);
        Self(Value::Array(Array::from_iter(sides)))
    }
}

impl From<&Thread> for Saying {
    fn from(thread: &Thread) -> Self {
        Self(thread.designation().into())
    }
}

impl From<&str> for Saying {
    fn from(word: &str) -> Self {
        Self(word.into())
    }
}

impl From<f64> for Saying {
    fn from(number: f64) -> Self {
        Self(number.into())
    }
}

impl From<u32> for Saying {
    fn from(count: u32) -> Self {
        Self(i64::from(count).into())
    }
}

impl From<bool> for Saying {
    fn from(yes: bool) -> Self {
        Self(yes.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kit;

    fn thread(designation: &str) -> Thread {
        designation.parse().unwrap()
    }

    fn stage() -> Draft {
        Draft::nested(
            "stage",
            &thread("M20x2.5"),
            &thread("M12x1.75"),
            Length::mm(12.0),
        )
    }

    #[test]
    fn a_draft_is_read_with_what_was_said_and_every_default() {
        let draft = stage()
            .with("gaps.slide", Length::inches(0.01))
            .and_then(|draft| draft.with("load.force", Force::newtons(20.0)))
            .and_then(|draft| draft.with("hand_torque", Torque::newton_metres(0.4)))
            .and_then(|draft| draft.with("bed", [180.0, 170.0, 160.0].map(Length::mm)))
            .and_then(|draft| draft.with("dial", 40_u32))
            .and_then(|draft| draft.with("grease", true))
            .and_then(|draft| draft.with("odds.warn", 0.9))
            .and_then(|draft| draft.with("units", "inch"))
            .and_then(|draft| draft.with_joint_gap("drive/frame", Length::mm(0.12)))
            .unwrap()
            .waiving("drive-wall", "printed twice, \"holds\"");
        let (kit, problems) = kit::read(&draft.to_string(), &["drive-wall"]).unwrap();
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!(*kit.stroke, Length::mm(12.0));
        assert_eq!(*kit.gaps.slide.unwrap(), Length::inches(0.01));
        assert_eq!(*kit.load.force.unwrap(), Force::newtons(20.0));
        assert_eq!(*kit.hand_torque, Torque::newton_metres(0.4));
        assert_eq!(*kit.bed, [180.0, 170.0, 160.0].map(Length::mm));
        assert_eq!(kit.dial.map(|ticks| *ticks), Some(40));
        assert!(*kit.grease && kit.inches);
        assert_eq!(*kit.odds.warn, 0.9);
        assert_eq!(*kit.layer, Length::mm(0.15));
        assert_eq!(kit.gaps.joints.len(), 1);
        assert_eq!(kit.waive[0].reason.value, "printed twice, \"holds\"");
    }

    #[test]
    fn each_layout_is_drafted_with_its_second_thread() {
        let stroke = Length::mm(10.0);
        let drive = thread("M24x3");
        for (draft, layout) in [
            (Draft::single("a", &drive, stroke), "single"),
            (
                Draft::nested("a", &drive, &thread("M12x1.75"), stroke),
                "nested",
            ),
            (
                Draft::tandem("a", &drive, &thread("M16x2"), stroke),
                "tandem",
            ),
            (
                Draft::opposed("a", &drive, &thread("20x2.5-LH"), stroke),
                "opposed",
            ),
        ] {
            let (kit, _) = kit::read(&draft.to_string(), &[]).unwrap();
            assert_eq!(kit.mechanism.word(), layout);
        }
    }

    #[test]
    fn a_value_that_will_not_do_is_told_at_its_line_and_a_key_that_is_none_at_once() {
        let wide = stage().with("gaps.slide", Length::mm(7.0)).unwrap();
        let text = wide.to_string();
        let problems = kit::read(&text, &[]).unwrap_err();
        assert_eq!(problems.len(), 1);
        let at = problems[0].at.clone().unwrap();
        assert_eq!(&text[at], "\"7 mm\"");
        let unknown = stage().with("gaps.slid", Length::mm(0.2)).unwrap_err();
        assert_eq!(unknown, CannotSet::UnknownKey("gaps.slid".into()));
    }
}
