//! Pairs of threads that give a wish, as data: JSON, and CSV of the same rows.
//!
//! A contract: fields may be added, never renamed; what is not known is null, in CSV empty. The unit of
//! each number stands in its name.

use super::pairs_page::{Page, grams, hours};
use super::pairs_typed::command;
use crate::kit::word;
use crate::pairs::{Against, Reason, Row, Verdict, designations, layout_of};
use crate::units::Length;
use crate::units_told::number;
use serde::Serialize;

/// Decimals of numbers: a millionth of a millimetre keeps binary rounding out of sight.
const DECIMALS: usize = 6;

#[derive(Serialize)]
struct Sheet {
    wish: WishData,
    to_buy: Vec<ToBuyData>,
    tried: usize,
    buildable: usize,
    rows: Vec<RowData>,
    near: Vec<NearData>,
    /// What may be given up where nothing is found, or makes it smaller: commands.
    give_up: Vec<String>,
}

#[derive(Serialize)]
struct WishData {
    net_lead_mm: f64,
    tolerance: f64,
    ticks: Option<u32>,
    stroke_mm: f64,
    load_n: Option<f64>,
    within_mm: Option<[f64; 3]>,
}

#[derive(Serialize)]
struct ToBuyData {
    designation: String,
    standard: &'static str,
    lead_mm: f64,
}

/// Titles of the CSV: the fields of a row.
const TITLES: [&str; 19] = [
    "rank",
    "layout",
    "drive",
    "second",
    "net_lead_mm",
    "turns",
    "across_mm",
    "deep_mm",
    "along_mm",
    "lost_motion_turns",
    "torque_nm",
    "times_plain",
    "safe_load_n",
    "wall_lines",
    "mass_g",
    "time_h",
    "verdict",
    "warnings",
    "notes",
];

/// A pair; every field is a column of the CSV.
#[derive(Serialize)]
struct RowData {
    rank: usize,
    layout: &'static str,
    drive: String,
    second: Option<String>,
    net_lead_mm: f64,
    turns: f64,
    across_mm: f64,
    deep_mm: f64,
    along_mm: f64,
    lost_motion_turns: f64,
    torque_nm: Option<f64>,
    times_plain: Option<f64>,
    safe_load_n: Option<f64>,
    wall_lines: Option<f64>,
    mass_g: f64,
    time_h: f64,
    verdict: &'static str,
    warnings: String,
    notes: String,
}

#[derive(Serialize)]
struct NearData {
    layout: &'static str,
    drive: String,
    second: Option<String>,
    net_lead_mm: f64,
    against: &'static str,
    reason: String,
    alike: usize,
}

/// All of it as JSON, with a line end after the last line.
///
/// # Errors
/// None that text could cause; what the writer says is handed on.
pub(crate) fn json(page: &Page<'_>) -> serde_json::Result<String> {
    let Page { wish, found, .. } = page;
    let sheet = Sheet {
        wish: WishData {
            net_lead_mm: mm(wish.net_lead),
            tolerance: wish.tolerance,
            ticks: wish.ticks,
            stroke_mm: mm(wish.stroke),
            load_n: wish.load.map(|load| rounded(load.as_newtons())),
            within_mm: wish.within.map(|sides| sides.map(mm)),
        },
        to_buy: page
            .to_buy
            .iter()
            .map(|screw| ToBuyData {
                designation: screw.designation.clone(),
                standard: screw.standard,
                lead_mm: mm(screw.lead),
            })
            .collect(),
        tried: found.tried,
        buildable: found.buildable,
        rows: rows(page),
        near: found
            .near
            .iter()
            .map(|miss| {
                let (drive, second) = threads(&miss.mechanism);
                let Reason {
                    against, message, ..
                } = miss.reason.clone();
                NearData {
                    layout: word(layout_of(&miss.mechanism)),
                    drive,
                    second,
                    net_lead_mm: mm(miss.net_lead),
                    against: match against {
                        Against::Rule(rule) => rule,
                        Against::Size => "size",
                        Against::Room => "room",
                    },
                    reason: message,
                    alike: miss.alike,
                }
            })
            .collect(),
        give_up: page
            .given_up
            .iter()
            .map(|given| command(&given.bound.given_up(wish), page.unsaid))
            .collect(),
    };
    serde_json::to_string_pretty(&sheet).map(|text| text + "\n")
}

/// The pairs as CSV, with titles.
///
/// # Errors
/// As [`json`].
pub(crate) fn csv(page: &Page<'_>) -> csv::Result<String> {
    let mut builder = csv::WriterBuilder::new();
    let mut writer = builder.has_headers(false).from_writer(Vec::new());
    writer.write_record(TITLES)?;
    for row in rows(page) {
        writer.serialize(row)?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn rows(page: &Page<'_>) -> Vec<RowData> {
    let rows = page.found.rows.iter().enumerate();
    rows.map(|(place, row)| data(place + 1, row)).collect()
}

fn data(rank: usize, row: &Row) -> RowData {
    let (drive, second) = threads(&row.mechanism);
    let figures = &row.figures;
    let [across, deep, along] = figures.size;
    let (verdict, warnings, notes) = match &row.verdict {
        Verdict::Buildable { warnings, notes } if warnings.is_empty() => {
            ("buildable", String::new(), notes.join(" "))
        }
        Verdict::Buildable { warnings, notes } => ("warns", warnings.join(" "), notes.join(" ")),
        Verdict::Fails(reason) => ("fails", String::new(), reason.message.clone()),
    };
    RowData {
        rank,
        layout: word(layout_of(&row.mechanism)),
        drive,
        second,
        net_lead_mm: mm(row.net_lead),
        turns: rounded(figures.turns),
        across_mm: mm(across),
        deep_mm: mm(deep),
        along_mm: mm(along),
        lost_motion_turns: rounded(figures.lost_motion),
        torque_nm: figures
            .torque
            .map(|torque| rounded(torque.as_newton_metres())),
        times_plain: figures.times_plain.map(rounded),
        safe_load_n: figures.safe_load.map(|load| rounded(load.as_newtons())),
        wall_lines: figures.wall.map(rounded),
        mass_g: rounded(grams(figures)),
        time_h: rounded(hours(figures)),
        verdict,
        warnings,
        notes,
    }
}

fn threads(mechanism: &crate::kit::Mechanism) -> (String, Option<String>) {
    let mut each = designations(mechanism).into_iter();
    (each.next().unwrap_or_default(), each.next())
}

fn mm(length: Length) -> f64 {
    rounded(length.as_mm())
}

fn rounded(value: f64) -> f64 {
    number(value, DECIMALS).parse().unwrap_or(value)
}
