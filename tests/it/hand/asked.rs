//! Kits as text, and what is asked for in them.

use std::fmt::Write as _;

/// Chord tolerance of the kits, in mm: a third of the least difference of gaps that is looked for.
pub(crate) const CHORD: f64 = 0.02;

/// Layer height of a kit that asks for none, in mm (docs/kit-file.md).
const LAYER: f64 = 0.15;

/// The kit's file.
pub(crate) const KIT: &str = "kit.toml";

/// A hand of a thread, as the kit's own text has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hand {
    Right,
    Left,
}

impl Hand {
    /// 1 where a turn clockwise leads away from the eye.
    pub(crate) fn sign(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }

    /// How many Vs mark it.
    pub(crate) fn marks(self) -> usize {
        match self {
            Self::Right => 1,
            Self::Left => 2,
        }
    }
}

/// A kit as text, and what was asked for in it.
#[derive(Clone, Debug)]
pub(crate) struct Asked {
    pub(crate) text: String,
    pub(crate) drive: String,
    pub(crate) inner: Option<String>,
}

impl Asked {
    /// A single kit, or a nested one where there is an inner thread.
    pub(crate) fn new(drive: &str, inner: Option<&str>, stroke: f64, more: &[&str]) -> Self {
        let layout = if inner.is_some() { "nested" } else { "single" };
        let mut text = format!(
            "name = \"kit\"\nlayout = \"{layout}\"\ndrive = \"{drive}\"\nstroke = \"{stroke} mm\"\nhand_torque = 0.1\n"
        );
        if let Some(inner) = inner {
            writeln!(text, "inner = \"{inner}\"").unwrap();
        }
        for line in more {
            writeln!(text, "{line}").unwrap();
        }
        Self {
            text,
            drive: drive.into(),
            inner: inner.map(Into::into),
        }
    }

    /// A folder with the kit in it.
    pub(crate) fn room(&self) -> tempfile::TempDir {
        let room = tempfile::tempdir().unwrap();
        std::fs::write(room.path().join(KIT), &self.text).unwrap();
        room
    }

    /// Layer height, in mm.
    pub(crate) fn layer(&self) -> f64 {
        super::words::count(&self.text, "layer = \"", " mm").unwrap_or(LAYER)
    }

    pub(crate) fn drive_hand(&self) -> Hand {
        hand(&self.drive)
    }

    /// Starts of the drive screw's thread, and of the inner one's.
    pub(crate) fn starts(&self) -> [usize; 2] {
        [Some(&self.drive), self.inner.as_ref()].map(|thread| thread.map_or(1, |text| starts(text)))
    }

    pub(crate) fn inner_hand(&self) -> Option<Hand> {
        self.inner.as_deref().map(hand)
    }
}

fn hand(thread: &str) -> Hand {
    if thread.ends_with("-LH") {
        Hand::Left
    } else {
        Hand::Right
    }
}

/// Of `M24xPh6P3`: the lead over the pitch; of `1-8 UNC 2-start` what it says.
fn starts(thread: &str) -> usize {
    if let Some((said, _)) = thread.split_once("-start") {
        return said.rsplit(' ').next().unwrap().parse().unwrap();
    }
    let Some((_, rest)) = thread.split_once("Ph") else {
        return 1;
    };
    let (lead, pitch) = rest.trim_end_matches("-LH").split_once('P').unwrap();
    let [lead, pitch]: [f64; 2] = [lead, pitch].map(|text| text.parse().unwrap());
    (lead / pitch).round() as usize
}

/// Kits of both layouts and both hands, of one start and of several, with printed and bought pins, in millimetres and inches,
/// up to the ends of what they may ask.
pub(crate) fn all() -> Vec<(&'static str, Asked)> {
    // How likely a fit is on a printer that nobody knows is not the matter here.
    let coarse = &*format!("tolerance = \"{CHORD} mm\"\nodds.fail = 0");
    let nested = |drive, inner, stroke, more: &[&str]| {
        Asked::new(drive, Some(inner), stroke, &[more, &[coarse]].concat())
    };
    let single =
        |drive, stroke, more: &[&str]| Asked::new(drive, None, stroke, &[more, &[coarse]].concat());
    vec![
        ("nested", nested("M20x2.5", "M12x1.75", 10.0, &[])),
        (
            "nested, left hands",
            nested("M20x2.5-LH", "M12x1.75-LH", 14.0, &["layer = \"0.2 mm\""]),
        ),
        (
            "nested, left in right, whole walls",
            nested("M24x3", "M14x2-LH", 35.0, &["pins.held_by = \"wall\""]),
        ),
        (
            "nested, right in left, bought pins",
            nested(
                "M20x2.5-LH",
                "M12x1.75",
                30.0,
                &["pins.buy = \"5 mm dowel\""],
            ),
        ),
        (
            "nested, inches, left hands, bought pins",
            nested(
                "1-8 UNC-LH",
                "5/8-11 UNC-LH",
                15.0,
                &["units = \"inch\"", "pins.buy = \"3/16 dowel\""],
            ),
        ),
        (
            "nested, teardrops",
            nested("M27x3", "M18x2.5", 10.0, &["pins.diameter = 7"]),
        ),
        (
            "nested, two starts in the frame",
            nested("M24xPh6P3", "M14x2", 20.0, &[]),
        ),
        (
            "nested, two starts in two, left hands",
            nested("M27xPh6P3-LH", "M16xPh4P2-LH", 15.0, &[]),
        ),
        (
            "nested, three starts in three",
            nested("30xPh9P3", "16xPh6P2", 20.0, &[]),
        ),
        ("single, two starts", single("1-8 UNC 2-start", 30.0, &[])),
        (
            "single, four starts, left hand",
            single("30xPh12P3-LH", 60.0, &[]),
        ),
        ("single", single("M16x2", 30.0, &[])),
        (
            "single, left hand, bought pins",
            single("M20x2.5-LH", 45.0, &["pins.buy = \"4 mm dowel\""]),
        ),
        (
            "single, left hand, whole walls",
            single("M24x3-LH", 12.0, &["pins.held_by = \"wall\""]),
        ),
        (
            "single, coarse, high ribs",
            single(
                "M30x3.5",
                20.0,
                &[
                    "gaps.press = -0.2",
                    "gaps.locate = 0.12",
                    // Its ridges are as high as five walls.
                    "perimeters.frame = 5",
                ],
            ),
        ),
    ]
}
