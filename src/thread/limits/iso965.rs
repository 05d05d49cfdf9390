//! Turns a metric size and pitch into the 6g and 6H limits of ISO 965-1.
//!
//! The tolerance tables are from memory. They are the values the standard prints: its
//! formulas, rounded to R40 preferred numbers, miss some of them by one step (the tests say
//! which), so the tables rule. Basic diameters are rounded to 0.001 mm first, as in ISO 724.

use super::{HalfLimits, Limit, Limits};
use crate::thread::Thread;
use crate::units::Length;

/// One row of ISO 965-1: a pitch with its deviations and diameter tolerances.
struct PitchRow {
    /// Pitch in mm.
    pitch_mm: f64,
    /// Fundamental deviation es of position e, micrometres, below zero; the standard gives
    /// none for the finest pitches.
    deviation_e_um: Option<f64>,
    /// Fundamental deviation es of position g, micrometres, below zero.
    deviation_g_um: f64,
    /// Td, grade 6: major diameter of a screw, micrometres.
    external_major_um: f64,
    /// TD1, grade 6: minor diameter of a nut, micrometres.
    internal_minor_um: f64,
}

const fn row(
    pitch_mm: f64,
    deviation_e_um: Option<f64>,
    deviation_g_um: f64,
    external_major_um: f64,
    internal_minor_um: f64,
) -> PitchRow {
    PitchRow {
        pitch_mm,
        deviation_e_um,
        deviation_g_um,
        external_major_um,
        internal_minor_um,
    }
}

/// ISO 965-1, tables of fundamental deviations, TD1 and Td, from memory.
const BY_PITCH: [PitchRow; 19] = [
    row(0.35, None, -19.0, 85.0, 100.0),
    row(0.5, Some(-50.0), -20.0, 106.0, 140.0),
    row(0.6, Some(-53.0), -21.0, 125.0, 160.0),
    row(0.7, Some(-56.0), -22.0, 140.0, 180.0),
    row(0.75, Some(-56.0), -22.0, 140.0, 190.0),
    row(0.8, Some(-60.0), -24.0, 150.0, 200.0),
    row(1.0, Some(-60.0), -26.0, 180.0, 236.0),
    row(1.25, Some(-63.0), -28.0, 212.0, 265.0),
    row(1.5, Some(-67.0), -32.0, 236.0, 300.0),
    row(1.75, Some(-71.0), -34.0, 265.0, 335.0),
    row(2.0, Some(-71.0), -38.0, 280.0, 375.0),
    row(2.5, Some(-80.0), -42.0, 335.0, 450.0),
    row(3.0, Some(-85.0), -48.0, 375.0, 500.0),
    row(3.5, Some(-90.0), -53.0, 425.0, 560.0),
    row(4.0, Some(-95.0), -60.0, 475.0, 600.0),
    row(4.5, Some(-100.0), -63.0, 500.0, 670.0),
    row(5.0, Some(-106.0), -71.0, 530.0, 710.0),
    row(5.5, Some(-112.0), -75.0, 560.0, 750.0),
    row(6.0, Some(-118.0), -80.0, 600.0, 800.0),
];

/// Pitch, Td2 and TD2 of grade 6, in mm and micrometres.
type PitchDiameterRow = (f64, f64, f64);

/// ISO 965-1, tables of Td2 and TD2, grade 6, by range of the major diameter (above the
/// first, up to and including the second, mm), from memory.
const BY_RANGE: [(f64, f64, &[PitchDiameterRow]); 5] = [
    (
        2.8,
        5.6,
        &[
            (0.35, 67.0, 90.0),
            (0.5, 75.0, 100.0),
            (0.6, 85.0, 112.0),
            (0.7, 90.0, 118.0),
            (0.75, 90.0, 118.0),
            (0.8, 95.0, 125.0),
        ],
    ),
    (
        5.6,
        11.2,
        &[
            (0.75, 100.0, 132.0),
            (1.0, 112.0, 150.0),
            (1.25, 118.0, 160.0),
            (1.5, 132.0, 180.0),
        ],
    ),
    (
        11.2,
        22.4,
        &[
            (1.0, 118.0, 160.0),
            (1.25, 132.0, 180.0),
            (1.5, 140.0, 190.0),
            (1.75, 150.0, 200.0),
            (2.0, 160.0, 212.0),
            (2.5, 170.0, 224.0),
        ],
    ),
    (
        22.4,
        45.0,
        &[
            (1.0, 125.0, 170.0),
            (1.5, 150.0, 200.0),
            (2.0, 170.0, 224.0),
            (3.0, 200.0, 265.0),
            (3.5, 212.0, 280.0),
            (4.0, 224.0, 300.0),
            (4.5, 236.0, 315.0),
        ],
    ),
    (
        45.0,
        90.0,
        &[
            (1.5, 160.0, 212.0),
            (2.0, 180.0, 236.0),
            (3.0, 212.0, 280.0),
            (4.0, 236.0, 315.0),
            (5.0, 250.0, 335.0),
            (5.5, 265.0, 355.0),
            (6.0, 280.0, 375.0),
        ],
    ),
];

/// d2 min - d3 min in pitches: the rounded root below the smallest pitch diameter
/// (Machinery's Handbook 27th ed., p. 1794).
const ROOT_BELOW_PITCH_MIN: f64 = 0.616_025;
/// Sharp crest of a nut above its largest pitch diameter, in pitches: 11/12 H
/// (Machinery's Handbook 27th ed., p. 1794).
const CREST_ABOVE_PITCH_MAX: f64 = 0.793_857;
/// Step to which ISO 724 and the limit tables print diameters.
const PRINTED_STEP: Length = Length::mm(0.001);

/// Slack in mm when two R40 numbers are equally near, far below their least distance. Guess.
const R40_TIE_SLACK: f64 = 1e-9;

/// Position of a screw's tolerance zone below the basic size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Position {
    /// es = -(50 + 11 P) micrometres before rounding.
    E,
    /// es = -(15 + 11 P) micrometres before rounding.
    G,
}

fn micrometres(value: f64) -> Length {
    Length::mm(value / 1000.0)
}

fn printed(length: Length) -> Length {
    // Division by the step's inverse keeps 14.663 the nearest number to 14.663.
    let per_mm = (Length::mm(1.0) / PRINTED_STEP).round();
    Length::mm((length.as_mm() * per_mm).round() / per_mm)
}

fn pitch_row(pitch: Length) -> Option<&'static PitchRow> {
    BY_PITCH.iter().find(|row| row.pitch_mm == pitch.as_mm())
}

fn pitch_diameter_row(major: Length, pitch: Length) -> Option<&'static PitchDiameterRow> {
    let (major, pitch) = (major.as_mm(), pitch.as_mm());
    let (_, _, rows) = BY_RANGE
        .iter()
        .find(|(above, to, _)| *above < major && major <= *to)?;
    rows.iter().find(|(listed, _, _)| *listed == pitch)
}

/// es, the fundamental deviation of a screw (below zero); `None` where none is listed.
pub fn fundamental_deviation(position: Position, pitch: Length) -> Option<Length> {
    let row = pitch_row(pitch)?;
    match position {
        Position::E => row.deviation_e_um.map(micrometres),
        Position::G => Some(micrometres(row.deviation_g_um)),
    }
}

/// Td, grade 6: tolerance of a screw's major diameter.
pub fn external_major_tolerance(pitch: Length) -> Option<Length> {
    Some(micrometres(pitch_row(pitch)?.external_major_um))
}

/// TD1, grade 6: tolerance of a nut's minor diameter.
pub fn internal_minor_tolerance(pitch: Length) -> Option<Length> {
    Some(micrometres(pitch_row(pitch)?.internal_minor_um))
}

/// Td2, grade 6: tolerance of a screw's pitch diameter. M20x2.5 gives 0.170 mm.
pub fn external_pitch_tolerance(major: Length, pitch: Length) -> Option<Length> {
    pitch_diameter_row(major, pitch).map(|(_, external, _)| micrometres(*external))
}

/// TD2, grade 6: tolerance of a nut's pitch diameter. M20x2.5 gives 0.224 mm.
pub fn internal_pitch_tolerance(major: Length, pitch: Length) -> Option<Length> {
    pitch_diameter_row(major, pitch).map(|(_, _, internal)| micrometres(*internal))
}

/// The R40 preferred numbers of one decade (ISO 3), to which tolerances are rounded
/// (ASME B1.13M-2005, par. 6.2).
const R40: [f64; 40] = [
    1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.12, 2.24, 2.36, 2.5,
    2.65, 2.8, 3.0, 3.15, 3.35, 3.55, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.3, 5.6, 6.0, 6.3, 6.7,
    7.1, 7.5, 8.0, 8.5, 9.0, 9.5,
];

/// Tolerances of the other grades in shares of grade 6 (ISO 965-1; Machinery's Handbook
/// 27th ed., p. 1797): (grade, share).
const GRADE_SHARES: [(u8, f64); 7] = [
    (3, 0.5),
    (4, 0.63),
    (5, 0.8),
    (6, 1.0),
    (7, 1.25),
    (8, 1.6),
    (9, 2.0),
];

/// A tolerance of grade 6 carried to another grade (3 to 9) and rounded to an R40 number, the
/// larger of two equally near ones. Td2 0.132 mm of grade 6 gives 0.170 mm in grade 7.
pub fn tolerance_of_grade(grade_6: Length, grade: u8) -> Option<Length> {
    let (_, share) = GRADE_SHARES.iter().find(|(listed, _)| *listed == grade)?;
    let wanted = grade_6.as_mm() * share;
    let numbers = [0.001, 0.01, 0.1, 1.0]
        .into_iter()
        .flat_map(|decade| R40.map(|number| number * decade));
    // Two numbers are equally near only but for binary rounding, so the slack decides.
    let nearest = numbers.reduce(|best, number| {
        let closer = (number - wanted).abs() <= (best - wanted).abs() + R40_TIE_SLACK;
        if closer { number } else { best }
    });
    nearest.map(Length::mm)
}

/// Largest major diameter of a nut with sharp crests: D2 max + 11/12 H. A reference size of
/// the tables, not a limit of the standard.
pub fn internal_major_reference(pitch_diameter_max: Length, pitch: Length) -> Length {
    printed(pitch_diameter_max + CREST_ABOVE_PITCH_MAX * pitch)
}

pub(super) fn limits(thread: &Thread) -> Option<Limits> {
    let (major, pitch) = (thread.major(), thread.pitch());
    let deviation = fundamental_deviation(Position::G, pitch)?;
    let pitch_basic = printed(thread.pitch_diameter());
    let minor_basic = printed(thread.minor_internal());

    let major_max = major + deviation;
    let major_min = major_max - external_major_tolerance(pitch)?;
    let pitch_max = pitch_basic + deviation;
    let pitch_min = pitch_max - external_pitch_tolerance(major, pitch)?;
    let root_min = pitch_min - ROOT_BELOW_PITCH_MIN * pitch;
    let between = |min, max| Limit::between(printed(min), printed(max));
    let external = HalfLimits {
        class: "6g",
        major: between(major_min, major_max),
        pitch: between(pitch_min, pitch_max),
        minor: between(root_min, minor_basic + deviation),
    };

    let pitch_top = pitch_basic + internal_pitch_tolerance(major, pitch)?;
    let minor_top = minor_basic + internal_minor_tolerance(pitch)?;
    let internal = HalfLimits {
        class: "6H",
        major: Limit {
            min: Some(major),
            max: None,
        },
        pitch: between(pitch_basic, pitch_top),
        minor: between(minor_basic, minor_top),
    };
    Some(Limits { external, internal })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::real;

    fn steps_from_r40(value: f64, wanted: f64) -> usize {
        let series: Vec<f64> = [10.0, 100.0, 1000.0]
            .iter()
            .flat_map(|decade| R40.iter().map(move |number| number * decade))
            .collect();
        let place = |sought: f64| {
            let distance = |index: &usize| (series[*index] - sought).abs();
            (0..series.len())
                .min_by(|a, b| distance(a).total_cmp(&distance(b)))
                .unwrap()
        };
        place(value).abs_diff(place(wanted))
    }

    /// Compares each tabulated value with the formula of ISO 965-1 (from memory) and returns
    /// those that are not the nearest R40 number.
    fn off_by_one(rows: impl Iterator<Item = (String, f64, f64)>) -> Vec<String> {
        rows.filter_map(
            |(name, formula, table)| match steps_from_r40(formula, table) {
                0 => None,
                1 => Some(name),
                more => panic!("{name}: {formula} is {more} steps from {table}"),
            },
        )
        .collect()
    }

    #[test]
    fn diameter_tolerances_follow_the_formulas_but_for_four_printed_values() {
        // Td = 180 P^(2/3) - 3.15 / sqrt P; TD1 = 230 P^0.7 from P = 1, else
        // 433 P - 190 P^1.22 (ISO 965-1, from memory).
        let rows = BY_PITCH.iter().flat_map(|row| {
            let p = row.pitch_mm;
            let major = 180.0 * real::pow(p, 2.0 / 3.0) - 3.15 / p.sqrt();
            let minor = if p < 1.0 {
                433.0 * p - 190.0 * real::pow(p, 1.22)
            } else {
                230.0 * real::pow(p, 0.7)
            };
            [
                (format!("Td {p}"), major, row.external_major_um),
                (format!("TD1 {p}"), minor, row.internal_minor_um),
            ]
        });
        assert_eq!(off_by_one(rows), ["TD1 0.5", "TD1 1", "TD1 2.5", "Td 4"]);
    }

    #[test]
    fn pitch_diameter_tolerances_follow_the_formulas_but_for_eight_printed_values() {
        // Td2 = 90 P^0.4 d^0.1, d the geometric mean of the range; TD2 = 1.32 Td2
        // (ISO 965-1, from memory; Machinery's Handbook 27th ed., p. 1797 for the ratio).
        let rows = BY_RANGE.iter().flat_map(|(above, to, rows)| {
            let mean = (above * to).sqrt();
            rows.iter().flat_map(move |(p, external, internal)| {
                let formula = 90.0 * real::pow(*p, 0.4) * real::pow(mean, 0.1);
                [
                    (format!("Td2 {to}/{p}"), formula, *external),
                    (format!("TD2 {to}/{p}"), 1.32 * formula, *internal),
                ]
            })
        });
        assert_eq!(
            off_by_one(rows),
            [
                "Td2 5.6/0.5",
                "TD2 5.6/0.5",
                "TD2 5.6/0.75",
                "TD2 11.2/1.5",
                "TD2 22.4/1.25",
                "TD2 22.4/1.5",
                "TD2 45/4.5",
                "Td2 90/5",
            ]
        );
    }

    #[test]
    fn deviations_follow_the_formulas_to_the_printed_step() {
        // es(g) = -(15 + 11 P), es(e) = -(50 + 11 P) micrometres (ISO 965-1, from memory).
        // The printed values are rounded, and e lies up to 6 off for the finest pitches.
        for row in &BY_PITCH {
            let by_pitch = 11.0 * row.pitch_mm;
            let g_off = (row.deviation_g_um + 15.0 + by_pitch).abs();
            assert!(g_off <= 1.5, "g at {}", row.pitch_mm);
            if let Some(e) = row.deviation_e_um {
                let allowed = if row.pitch_mm < 0.75 { 6.0 } else { 3.0 };
                assert!(
                    (e + 50.0 + by_pitch).abs() <= allowed,
                    "e at {}",
                    row.pitch_mm
                );
            }
        }
    }
}
