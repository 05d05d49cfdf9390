//! The kit file of a wish: complete, each line with what it means.

use super::candidate::{layout_of, net_lead_of};
use super::wish::Wish;
use crate::kit::edit::{self, CannotSet};
use crate::kit::{LayoutKind, Mechanism, Nested, Opposed, Single, Tandem, key, keys, word};
use crate::units::{Force, Length};
use crate::units_told::number;

/// Longer meanings than this are left to the manual, in letters.
const LONGEST_COMMENT: usize = 60;
/// Where the comments begin.
const COMMENTS: usize = 25;
/// Decimals of a net lead: a tenth of a micrometre, of an inch a millionth.
const LEAD_DECIMALS: [usize; 2] = [4, 6];
/// Decimals of other lengths.
const DECIMALS: [usize; 2] = [3, 5];

/// The text of a kit with the threads of a mechanism that do what is wished.
///
/// # Errors
/// Where one of the wish's further settings names no key of a kit.
pub fn kit_text(wish: &Wish, mechanism: &Mechanism) -> Result<String, CannotSet> {
    let net_lead = net_lead_of(mechanism);
    let mut lines = vec![format!("# {}", about(wish, net_lead))];
    let mut line = |key: &str, value: String, comment: &str| {
        let set = format!("{key:<8} = {value}");
        lines.push(match comment.is_empty() {
            true => set,
            false => format!("{set:<COMMENTS$} # {comment}"),
        });
    };
    line(key::NAME.leaf(), quoted(&wish.name), "");
    let layout = layout_of(mechanism);
    line(
        key::LAYOUT.leaf(),
        quoted(word(layout)),
        layout_words(layout),
    );
    if wish.inches {
        line(key::UNITS.leaf(), quoted("inch"), "bare numbers are inches");
    }
    for (key, designation, meaning) in threads(mechanism) {
        line(key, quoted(&designation), meaning);
    }
    let lead = bare(net_lead, wish.inches, LEAD_DECIMALS);
    line(
        key::NET_LEAD.leaf(),
        lead,
        &how_it_comes(mechanism, wish.inches),
    );
    let stroke = bare(wish.stroke, wish.inches, DECIMALS);
    let turns = number(wish.stroke / net_lead, 1);
    line(key::STROKE.leaf(), stroke, &format!("{turns} turns"));
    if let Some(load) = wish.load {
        line(
            key::LOAD.leaf(),
            quoted(&force(load, wish.inches)),
            "along the axis, either way",
        );
    }
    if let Some(ticks) = wish.ticks {
        let tick = net_lead / f64::from(ticks);
        let tick = bare(tick, wish.inches, LEAD_DECIMALS);
        let unit = if wish.inches { "in" } else { "mm" };
        line(
            key::DIAL.leaf(),
            ticks.to_string(),
            &format!("a tick is {tick} {unit}"),
        );
    }
    let meanings = keys();
    let meaning = |key: &str| meanings.iter().find(|known| known.path == key);
    // Keys of tables stand behind all others.
    let (of_tables, of_none): (Vec<_>, Vec<_>) =
        wish.settings.iter().partition(|(key, _)| key.contains('.'));
    for (key, value) in of_none {
        let meaning = meaning(key).map(|known| known.meaning);
        let meaning = meaning.filter(|meaning| meaning.chars().count() <= LONGEST_COMMENT);
        line(key, edit::literal(value), meaning.unwrap_or_default());
    }
    let mut text = lines.join("\n") + "\n";
    for (key, value) in of_tables {
        text = edit::with_value(&text, key, value)?;
    }
    Ok(text)
}

/// What the kit is, for its first line.
fn about(wish: &Wish, net_lead: Length) -> String {
    let told = |length: Length| {
        let unit = if wish.inches { "in" } else { "mm" };
        format!("{} {unit}", bare(length, wish.inches, LEAD_DECIMALS))
    };
    format!(
        "A carriage that moves {} a turn, over {}",
        told(net_lead),
        told(wish.stroke)
    )
}

const fn layout_words(layout: LayoutKind) -> &'static str {
    match layout {
        LayoutKind::Single => "one plain screw",
        LayoutKind::Nested => "a screw inside another",
        LayoutKind::Tandem => "one stepped screw",
        LayoutKind::Opposed => "two carriages; clockwise closes",
    }
}

/// The keys of the threads, with their designations and what they are.
fn threads(mechanism: &Mechanism) -> Vec<(&'static str, String, &'static str)> {
    match mechanism {
        Mechanism::Single(Single { drive }) => {
            vec![(key::DRIVE.leaf(), drive.designation(), "in the frame")]
        }
        Mechanism::Nested(Nested { drive, inner }) => vec![
            (key::DRIVE.leaf(), drive.designation(), "in the frame"),
            (key::INNER.leaf(), inner.designation(), "in the drive screw"),
        ],
        Mechanism::Tandem(Tandem { drive, thin, .. }) => vec![
            (key::DRIVE.leaf(), drive.designation(), "in the frame"),
            (
                key::THIN.leaf(),
                thin.designation(),
                "in the carriage's nut",
            ),
        ],
        Mechanism::Opposed(Opposed { drive, far }) => vec![
            (
                key::DRIVE.leaf(),
                drive.designation(),
                "in the near carriage",
            ),
            (key::FAR.leaf(), far.designation(), "in the far one"),
        ],
    }
}

/// The net lead as it comes of the leads.
fn how_it_comes(mechanism: &Mechanism, inches: bool) -> String {
    let lead = |thread: &crate::thread::Thread| match thread.threads_per_inch() {
        Some(per_inch) if inches => match thread.starts() {
            1 => format!("1/{per_inch}"),
            starts => format!("{starts}/{per_inch}"),
        },
        _ => bare(thread.lead(), inches, LEAD_DECIMALS),
    };
    let joined = |drive: &crate::thread::Thread, second: &crate::thread::Thread| {
        let (one, other) = (lead(drive), lead(second));
        match (drive.hand() == second.hand(), drive.lead() >= second.lead()) {
            (true, true) => format!("{one} less {other}"),
            (true, false) => format!("{other} less {one}"),
            (false, _) => format!("{one} and {other}"),
        }
    };
    match mechanism {
        Mechanism::Single(_) => "the lead of the screw".into(),
        Mechanism::Opposed(_) => "of each carriage".into(),
        Mechanism::Nested(Nested { drive, inner }) => joined(drive, inner),
        Mechanism::Tandem(Tandem { drive, thin, .. }) => joined(drive, thin),
    }
}

/// A length as a bare number of the kit.
fn bare(length: Length, inches: bool, [mm, inch]: [usize; 2]) -> String {
    match inches {
        false => number(length.as_mm(), mm),
        true => number(length.as_inches(), inch),
    }
}

fn force(force: Force, inches: bool) -> String {
    match inches {
        false => format!("{} N", number(force.as_newtons(), 2)),
        true => format!("{} lbf", number(force.as_pounds(), 2)),
    }
}

/// As TOML has it.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}
