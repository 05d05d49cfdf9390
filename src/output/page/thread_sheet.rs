//! Turns a [`Thread`] into its data sheet: JSON for programs, 80 columns of text for people.
//!
//! The JSON is a contract: fields may be added, never renamed, and what a standard does not
//! give is null. Millimetres always; a Unified thread has the inches beside them.

use serde::Serialize;

use crate::thread::limits::{HalfLimits, Limit};
use crate::thread::{Area, Hand, Thread};
use crate::units::Length;

/// Steps in one unit to which JSON numbers are rounded: a millionth of a millimetre or inch is
/// below any gauge and keeps binary rounding out of sight.
const STEPS: f64 = 1e6;

#[derive(Serialize)]
struct Sheet {
    designation: String,
    standard: &'static str,
    hand: &'static str,
    starts: u8,
    pitch_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pitch_in: Option<f64>,
    lead_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    lead_in: Option<f64>,
    major_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    major_in: Option<f64>,
    pitch_diameter_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pitch_diameter_in: Option<f64>,
    minor_internal_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    minor_internal_in: Option<f64>,
    minor_external_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    minor_external_in: Option<f64>,
    stress_area_mm2: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    stress_area_in2: Option<f64>,
    limits: SheetLimits,
    #[serde(skip_serializing_if = "Option::is_none")]
    threads_per_inch: Option<f64>,
}

#[derive(Serialize)]
struct SheetLimits {
    external: ExternalLimits,
    internal: InternalLimits,
}

#[derive(Serialize)]
struct ExternalLimits {
    class: Option<&'static str>,
    major: Option<SheetLimit>,
    pitch: Option<SheetLimit>,
    minor: Option<SheetLimit>,
}

#[derive(Serialize)]
struct InternalLimits {
    class: Option<&'static str>,
    minor: Option<SheetLimit>,
    pitch: Option<SheetLimit>,
    major: Option<SheetLimit>,
}

#[derive(Serialize)]
struct SheetLimit {
    min_mm: Option<f64>,
    max_mm: Option<f64>,
    /// The outer layer is whether the key is there, the inner one whether the limit is.
    #[serde(skip_serializing_if = "Option::is_none")]
    min_in: Option<Option<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    max_in: Option<Option<f64>>,
}

fn rounded(value: f64) -> f64 {
    (value * STEPS).round() / STEPS
}

fn mm(length: Length) -> f64 {
    rounded(length.as_mm())
}

fn inches(length: Length) -> f64 {
    rounded(length.as_inches())
}

fn sheet_limit(limit: Limit, in_inches: bool) -> SheetLimit {
    SheetLimit {
        min_mm: limit.min.map(mm),
        max_mm: limit.max.map(mm),
        min_in: in_inches.then(|| limit.min.map(inches)),
        max_in: in_inches.then(|| limit.max.map(inches)),
    }
}

impl Sheet {
    fn of(thread: &Thread) -> Self {
        let in_inches = thread.threads_per_inch().is_some();
        let beside = |length: Length| in_inches.then(|| inches(length));
        let area: Area = thread.stress_area();
        Self {
            designation: thread.designation(),
            standard: thread.standard().name(),
            hand: hand_name(thread.hand()),
            starts: thread.starts(),
            pitch_mm: mm(thread.pitch()),
            pitch_in: beside(thread.pitch()),
            lead_mm: mm(thread.lead()),
            lead_in: beside(thread.lead()),
            major_mm: mm(thread.major()),
            major_in: beside(thread.major()),
            pitch_diameter_mm: mm(thread.pitch_diameter()),
            pitch_diameter_in: beside(thread.pitch_diameter()),
            minor_internal_mm: mm(thread.minor_internal()),
            minor_internal_in: beside(thread.minor_internal()),
            minor_external_mm: mm(thread.minor_external()),
            minor_external_in: beside(thread.minor_external()),
            stress_area_mm2: rounded(area.as_square_mm()),
            stress_area_in2: in_inches.then(|| rounded(area.as_square_inches())),
            limits: sheet_limits(thread),
            threads_per_inch: thread.threads_per_inch(),
        }
    }
}

fn sheet_limits(thread: &Thread) -> SheetLimits {
    let limits = thread.limits();
    let in_inches = thread.threads_per_inch().is_some();
    let (external, internal) = (limits.map(|l| l.external), limits.map(|l| l.internal));
    let diameter = |half: Option<HalfLimits>, pick: fn(HalfLimits) -> Limit| {
        half.map(|half| sheet_limit(pick(half), in_inches))
    };
    SheetLimits {
        external: ExternalLimits {
            class: external.map(|half| half.class),
            major: diameter(external, |half| half.major),
            pitch: diameter(external, |half| half.pitch),
            minor: diameter(external, |half| half.minor),
        },
        internal: InternalLimits {
            class: internal.map(|half| half.class),
            minor: diameter(internal, |half| half.minor),
            pitch: diameter(internal, |half| half.pitch),
            major: diameter(internal, |half| half.major),
        },
    }
}

const fn hand_name(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
    }
}

/// The sheet as JSON, indented, with a line end after the last brace.
///
/// # Panics
///
/// Never: the sheet holds plain numbers and text only, and those always have a JSON form.
pub fn json(thread: &Thread) -> Vec<u8> {
    let sheet = Sheet::of(thread);
    let mut bytes = serde_json::to_vec_pretty(&sheet).expect("numbers and text have a JSON form");
    bytes.push(b'\n');
    bytes
}

/// The sheet as text of at most 80 columns, with a line end after the last line.
pub fn text(thread: &Thread) -> Vec<u8> {
    let inch = thread.threads_per_inch().is_some();
    let mut lines = vec![heading(thread), String::new()];
    lines.push(columns("basic size", &["mm", if inch { "in" } else { "" }]));
    let sizes = [
        ("pitch P", thread.pitch()),
        ("lead", thread.lead()),
        ("major diameter d = D", thread.major()),
        ("pitch diameter d2 = D2", thread.pitch_diameter()),
        ("minor diameter of the nut D1", thread.minor_internal()),
        ("minor diameter of the screw d3", thread.minor_external()),
    ];
    for (name, length) in sizes {
        lines.push(columns(name, &in_units(Some(length), inch)));
    }
    let area = thread.stress_area();
    let mut areas = format!("{:.2} mm2", area.as_square_mm());
    if inch {
        areas.push_str(&format!(", {:.4} in2", area.as_square_inches()));
    }
    lines.push(String::new());
    lines.push(format!("stress area  {areas}"));
    let angle = thread.lead_angle().as_degrees();
    lines.push(format!(
        "lead angle   {angle:.2} degrees at the pitch diameter"
    ));
    lines.push(String::new());
    lines.extend(limit_lines(thread, inch));
    let mut text = String::new();
    for line in lines {
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text.into_bytes()
}

fn heading(thread: &Thread) -> String {
    let hand = hand_name(thread.hand());
    let starts = match thread.starts() {
        1 => "single start".to_owned(),
        several => format!("{several} starts"),
    };
    let per_inch = thread
        .threads_per_inch()
        .map_or_else(String::new, |count| format!(", {count} threads per inch"));
    let standard = thread.standard().name();
    format!("{thread}: {standard}, {hand} hand, {starts}{per_inch}")
}

fn limit_lines(thread: &Thread, inch: bool) -> Vec<String> {
    let Some(limits) = thread.limits() else {
        return vec!["limits       none: the standards give none for this thread".to_owned()];
    };
    let (screw, nut) = (limits.external, limits.internal);
    let halves = [
        (
            format!("screw, class {}", screw.class),
            [
                ("major", screw.major),
                ("pitch", screw.pitch),
                ("minor", screw.minor),
            ],
        ),
        (
            format!("nut, class {}", nut.class),
            [
                ("minor", nut.minor),
                ("pitch", nut.pitch),
                ("major", nut.major),
            ],
        ),
    ];
    let units: &[&str] = if inch {
        &["min mm", "max mm", "min in", "max in"]
    } else {
        &["min mm", "max mm"]
    };
    let mut lines = Vec::new();
    for (title, diameters) in halves {
        lines.push(columns(&title, units));
        for (name, limit) in diameters {
            let [min_mm, min_in] = in_units(limit.min, inch);
            let [max_mm, max_in] = in_units(limit.max, inch);
            let cells = [min_mm, max_mm, min_in, max_in];
            lines.push(columns(&format!("{name} diameter"), &cells));
        }
    }
    lines
}

/// A length in mm to three decimals and, if wanted, in inches to four; `-` if there is none.
fn in_units(length: Option<Length>, inch: bool) -> [String; 2] {
    let cell = |number: Option<String>| number.unwrap_or_else(|| "-".to_owned());
    let mm = cell(length.map(|length| format!("{:.3}", length.as_mm())));
    let inches = cell(length.map(|length| format!("{:.4}", length.as_inches())));
    [mm, if inch { inches } else { String::new() }]
}

/// One line: a name, then right-aligned cells.
fn columns<Cell: AsRef<str>>(name: &str, cells: &[Cell]) -> String {
    let mut line = format!("{name:<32}");
    for cell in cells {
        line.push_str(&format!("{:>11}", cell.as_ref()));
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;

    fn parsed(designation: &str) -> Value {
        serde_json::from_slice(&json(&designation.parse().unwrap())).unwrap()
    }

    /// The keys in the order in which they stand in the bytes.
    fn keys_in_order(designation: &str) -> Vec<String> {
        let bytes = json(&designation.parse().unwrap());
        String::from_utf8(bytes)
            .unwrap()
            .lines()
            .filter_map(|line| line.strip_prefix("  \"")?.split_once('"'))
            .map(|(key, _)| key.to_owned())
            .collect()
    }

    #[test]
    fn the_json_of_a_metric_thread_has_the_fields_of_the_contract_in_order() {
        assert_eq!(
            keys_in_order("M20-LH"),
            [
                "designation",
                "standard",
                "hand",
                "starts",
                "pitch_mm",
                "lead_mm",
                "major_mm",
                "pitch_diameter_mm",
                "minor_internal_mm",
                "minor_external_mm",
                "stress_area_mm2",
                "limits",
            ]
        );
        let sheet = parsed("M20-LH");
        assert_eq!(sheet["designation"], "M20x2.5-LH");
        assert_eq!(sheet["standard"], "ISO metric coarse");
        assert_eq!(sheet["hand"], "left");
    }

    #[test]
    fn a_thread_in_inches_has_its_inches_beside_the_millimetres() {
        let sheet = parsed("3/4-10");
        // ASME B1.1, Table 2, from memory: 2A major 0.7482 to 0.7353, 2B minor 0.642 to 0.663.
        let (screw, nut) = (&sheet["limits"]["external"], &sheet["limits"]["internal"]);
        assert_eq!(screw["major"]["max_in"], 0.7482);
        assert_eq!(screw["major"]["min_in"], 0.7353);
        assert_eq!(nut["minor"]["max_in"], 0.663);
        assert_eq!(sheet["pitch_mm"], 2.54);
        assert_eq!(sheet["threads_per_inch"], 10.0);
        assert_eq!(sheet["major_in"], 0.75);
    }

    #[test]
    fn a_limit_that_the_standard_does_not_give_is_null() {
        let metric = parsed("M20");
        assert_eq!(metric["limits"]["internal"]["major"]["min_mm"], 20.0);
        assert!(metric["limits"]["internal"]["major"]["max_mm"].is_null());
        assert!(
            metric["limits"]["internal"]["major"]
                .get("max_in")
                .is_none()
        );
        let unified = parsed("1/2-13");
        let minor = &unified["limits"]["external"]["minor"];
        assert!(minor["min_in"].is_null() && minor.get("min_in").is_some());
        let free = parsed("24x2.4");
        assert!(free["limits"]["external"]["class"].is_null());
        assert!(free["limits"]["internal"]["pitch"].is_null());
    }

    #[test]
    fn the_text_sheet_fits_eighty_columns_and_names_every_limit() {
        for designation in [
            "M20",
            "M20xPh5P2.5-LH",
            "1 1/4-7 UNC-LH",
            "24x2.4",
            "200x2.123456789",
        ] {
            let sheet = String::from_utf8(text(&designation.parse().unwrap())).unwrap();
            for line in sheet.lines() {
                assert!(line.chars().count() <= 80, "{designation}: {line}");
            }
        }
        let sheet = String::from_utf8(text(&"M10x1.25".parse().unwrap())).unwrap();
        // Published tables of 6g and 6H threads: 9.972 to 9.76, nut pitch diameter to 9.348.
        for figure in ["9.972", "9.760", "9.348", "6g", "6H"] {
            assert!(sheet.contains(figure), "{figure} in:\n{sheet}");
        }
    }
}
