//! The rows and ladders of a form.

use super::clue::{CaliperSize, SizeKind};
use super::filled::{MeasuredRow, TriedLadder};
use super::ladder::LadderKind;
use super::toml_values::{Field, Reader};
use crate::diagnostic::Diagnostic;
use crate::units::{Length, MM_PER_INCH};
use std::ops::Range;

/// Most that a reading may be off, in mm and as a share of the size: guess, three times the
/// largest errors that guides tell of (0.5 mm on holes), and more than any plastic shrinks.
const BELIEF: (f64, f64) = (1.5, 0.03);
/// A reading so near, as a share, to the size in another unit is taken for one in that unit.
const SAME_SIZE: f64 = 0.1;
/// Most prints in one form. Guess, far above the 25 of formal practice.
const MOST_PRINTS: usize = 50;
/// Sizes that can be drawn, in mm.
const SIZES: [f64; 2] = [0.2, 1000.0];

/// A row with its readings.
pub(super) fn row(
    reader: &mut Reader,
    field: &Field,
    inches: bool,
    names: &mut Vec<String>,
) -> Option<MeasuredRow> {
    let (name, at) = name(reader, field, names, "name = \"outer-x-62\"")?;
    let Some(kind) = SizeKind::of_name(&name) else {
        reader.problems.push(
            Diagnostic::error(format!("`{name}` is not a row that can be measured"), at).mend(
                "rows are called outer-x-, outer-y-, slot-x-, slot-y-, boss-, hole- or height- \
                 and a size, as in `outer-x-62`",
            ),
        );
        return None;
    };
    let drawn = reader.number_in(field, "drawn", SIZES)?;
    let feature = CaliperSize {
        kind,
        drawn: Length::mm(drawn),
    };
    let mut measured = Vec::new();
    for value in reader.readings(field, "measured") {
        measured.push(value.map(|(value, at)| {
            let (read, unit) = (value, if inches { MM_PER_INCH } else { 1.0 });
            let value = read * unit;
            if let Some(problem) = disbelief(&name, drawn, (read, value), inches, at) {
                reader.problems.push(problem);
            }
            Length::mm(value)
        }));
    }
    too_many(reader, measured.len(), field);
    Some(MeasuredRow {
        name,
        feature,
        measured,
        at: field.at.clone(),
    })
}

fn too_many(reader: &mut Reader, prints: usize, field: &Field) {
    if prints > MOST_PRINTS {
        let message = format!("{prints} prints in one row, at most {MOST_PRINTS}");
        reader
            .problems
            .push(Diagnostic::error(message, field.at.clone()).mend("leave some prints out"));
    }
}

/// Why a reading, as it was read and in mm, cannot be one of a size.
fn disbelief(
    name: &str,
    drawn: f64,
    (read, value): (f64, f64),
    inches: bool,
    at: Range<usize>,
) -> Option<Diagnostic> {
    if (value - drawn).abs() <= BELIEF.0 + BELIEF.1 * drawn {
        return None;
    }
    let near = |size: f64| (value - size).abs() <= SAME_SIZE * size;
    let unit = if near(drawn / MM_PER_INCH) {
        Some(("inches, and the form says millimetres", "inch"))
    } else if inches && near(drawn * MM_PER_INCH) {
        Some(("millimetres, and the form says inches", "mm"))
    } else {
        None
    };
    let problem = match unit {
        Some((words, unit)) => Diagnostic::error(
            format!("{read} for `{name}`, drawn {drawn} mm, looks like a reading in {words}"),
            at,
        )
        .mend(format!(
            "set the caliper to the other unit, or write `units = \"{unit}\"` for all rows"
        )),
        None => Diagnostic::error(
            format!("{read} for `{name}`, drawn {drawn} mm, is beyond belief"),
            at,
        )
        .label(format!(
            "within {:.2} mm of the drawn size",
            BELIEF.0 + BELIEF.1 * drawn
        ))
        .mend("measure again; check the row's name, and that the print was not scaled"),
    };
    Some(problem)
}

/// The name of a row or ladder, which no other may have.
fn name(
    reader: &mut Reader,
    field: &Field,
    names: &mut Vec<String>,
    example: &str,
) -> Option<(String, Range<usize>)> {
    let Some((name, at)) = reader.text(field, "name") else {
        reader.missing(field, "name", example);
        return None;
    };
    if names.contains(&name) {
        reader.problems.push(
            Diagnostic::error(format!("`{name}` is there twice"), at.clone())
                .mend("write several prints into one row: `measured = [62.07, 62.03]`"),
        );
    }
    names.push(name.clone());
    Some((name, at))
}

/// Gaps that are drawn, in mm.
const GAPS: [f64; 2] = [-1.0, 3.0];

/// A ladder with its findings.
pub(super) fn ladder(
    reader: &mut Reader,
    field: &Field,
    inches: bool,
    names: &mut Vec<String>,
) -> Option<TriedLadder> {
    let (name, _) = name(reader, field, names, "name = \"drive/frame\"")?;
    let kind = match reader.text(field, "kind") {
        None => {
            reader.missing(field, "kind", "kind = \"thread\"");
            None
        }
        Some((word, at)) => LadderKind::of_word(&word).or_else(|| {
            let message = format!("`{word}` is not a kind of ladder");
            let kinds = LadderKind::words().join(", ");
            reader
                .problems
                .push(Diagnostic::error(message, at).mend(format!("write one of {kinds}")));
            None
        }),
    };
    let wanted = match (kind, field.place("wanted")) {
        (Some(LadderKind::Thread), None) => {
            reader.missing(field, "wanted", "wanted = 0.1");
            None
        }
        (_, None) => None,
        (_, Some(_)) => Some(reader.number_in(field, "wanted", GAPS)?),
    };
    let radius = reader.number_in(field, "radius", [0.0, SIZES[1]])?;
    let gaps = reader.numbers_in(field, "gaps", GAPS);
    let climbs = gaps.windows(2).all(|pair| pair[1] > pair[0]);
    if gaps.len() < 2 || !climbs {
        reader.problems.push(
            Diagnostic::error(
                format!("the gaps of `{name}` are not two or more, rising"),
                field.at.clone(),
            )
            .mend("copy them from the form that `netlead coupon` wrote"),
        );
        return None;
    }
    let mut grooves = Vec::new();
    for value in reader.readings(field, "best") {
        grooves.push(value.and_then(|(value, at)| {
            let fits = value.fract() == 0.0 && value >= 1.0 && value <= gaps.len() as f64;
            if !fits {
                let message = format!("ladder `{name}` has no step of {value} grooves");
                reader.problems.push(
                    Diagnostic::error(message, at).mend(format!("write 1 to {}", gaps.len())),
                );
            }
            fits.then_some(value as usize)
        }));
    }
    too_many(reader, grooves.len(), field);
    let tried = grooves.iter().any(Option::is_some);
    let wider = match kind? {
        LadderKind::BoughtPocket => around_nut(reader, field, inches, (&name, tried))?,
        LadderKind::Thread
        | LadderKind::PinOnRibs
        | LadderKind::BoughtPinOnRibs
        | LadderKind::PinLying
        | LadderKind::BoughtPinLying
        | LadderKind::PinUpright
        | LadderKind::Slide
        | LadderKind::Pocket => {
            measured_in_vain(reader, field);
            0.0
        }
    };
    let (kind, wanted) = match (kind?, wanted) {
        (LadderKind::Thread, wanted) => (LadderKind::Thread, wanted.map(Length::mm)),
        (kind, None) => (kind, None),
        (kind, Some(wanted)) => (wished(reader, field, kind, wanted, &gaps), None),
    };
    Some(TriedLadder {
        name,
        kind,
        wanted,
        gaps: gaps
            .into_iter()
            .map(|gap| Length::mm(gap + wider))
            .collect(),
        radius: Length::mm(radius),
        grooves,
        at: field.at.clone(),
    })
}

/// By how much the gaps around a bought nut are wider, a side, than around the widest that shops may
/// sell, for which they are drawn: nothing while it is neither measured nor tried.
fn around_nut(
    reader: &mut Reader,
    field: &Field,
    inches: bool,
    (name, tried): (&str, bool),
) -> Option<f64> {
    let drawn = reader.number_in(field, "drawn", SIZES)?;
    let unit = if inches { MM_PER_INCH } else { 1.0 };
    let mut widths = Vec::new();
    for (read, at) in reader.readings(field, "measured").into_iter().flatten() {
        let width = read * unit;
        match disbelief(name, drawn, (read, width), inches, at) {
            Some(problem) => reader.problems.push(problem),
            None => widths.push(width),
        }
    }
    if !widths.is_empty() {
        return Some((drawn - widths.iter().sum::<f64>() / widths.len() as f64) / 2.0);
    }
    if tried {
        let message = format!("the nut of ladder `{name}` was tried and not measured");
        let mend = "write what a caliper reads across its flats, as in `measured = [23.8]`: nuts of \
                    one size differ by more than a step";
        reader
            .problems
            .push(Diagnostic::error(message, field.at.clone()).mend(mend));
        return None;
    }
    Some(0.0)
}

/// Says that of ladders only those with a bought nut are measured.
fn measured_in_vain(reader: &mut Reader, field: &Field) {
    for key in ["drawn", "measured"] {
        if let Some(at) = field.place(key) {
            let word = LadderKind::BoughtPocket.word();
            let message = format!("`{key}` is of a {word} ladder alone");
            reader
                .problems
                .push(Diagnostic::error(message, at).mend("leave this line out"));
        }
    }
}

/// By how much a number of a form may be off for its decimals, in mm: half the last of each of two.
const ROUNDED: f64 = 1e-4;

/// The kind of a ladder whose form still says what was wished of it, which counts for nothing; but it
/// is what told holes with ribs, of which half a step was wished, from those without. Says so.
fn wished(
    reader: &mut Reader,
    field: &Field,
    kind: LadderKind,
    wanted: f64,
    gaps: &[f64],
) -> LadderKind {
    let half = gaps.first().zip(gaps.last()).map_or(0.0, |(first, last)| {
        (last - first) / (gaps.len().max(2) - 1) as f64 / 2.0
    });
    let on_ribs = match kind {
        LadderKind::PinLying => Some(LadderKind::PinOnRibs),
        LadderKind::BoughtPinLying => Some(LadderKind::BoughtPinOnRibs),
        LadderKind::Thread
        | LadderKind::PinOnRibs
        | LadderKind::BoughtPinOnRibs
        | LadderKind::PinUpright
        | LadderKind::Slide
        | LadderKind::Pocket
        | LadderKind::BoughtPocket => None,
    };
    let kind_now = on_ribs.filter(|_| (wanted - half).abs() <= ROUNDED);
    let at = field.place("wanted").unwrap_or(0..0);
    let note = Diagnostic::warning(
        format!(
            "`wanted` of a {} ladder counts for nothing now",
            kind.word()
        ),
        at,
    );
    reader.problems.push(match kind_now {
        Some(now) => note
            .label(format!(
                "half a step: this ladder is taken for {}",
                now.word()
            ))
            .mend(format!(
                "write `kind = \"{}\"`, and leave this line out",
                now.word()
            )),
        None => note.mend("leave this line out: where the fit begins is known of its kind"),
    });
    kind_now.unwrap_or(kind)
}
