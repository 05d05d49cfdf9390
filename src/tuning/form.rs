//! A filled form: from its TOML text to readings and findings, or to every problem in it.
//!
//! ```toml
//! form    = "netlead-form/1"
//! printer = "garage printer"      # name of the profile
//! date    = "2026-11-20"          # of the first print
//! units   = "mm"                  # of `measured`; "inch" for an inch caliper
//! made    = { layer = 0.14, line = 0.45, walls = 4, bed = [220, 220, 250], material = "PLA" }
//!
//! [[row]]
//! name     = "outer-x-62"
//! drawn    = 62
//! measured = [62.07, 62.03]       # one for each print; "" where a print has none
//!
//! [[ladder]]
//! name   = "drive/frame"
//! kind   = "thread"
//! wanted = 0.1                    # by the kit, radial; of threads alone
//! gaps   = [0.15, 0.20, 0.25]     # of one groove, of two, of three; radial or a side
//! radius = 10
//! best   = [2]                    # grooves of the tightest step that goes, one for each print
//!
//! [[ladder]]
//! name     = "nut/carriage"
//! kind     = "bought-pocket"
//! drawn    = 24                   # across the nut's flats, in mm: the gaps are those of such a nut
//! measured = [23.8, 23.82, 23.8]  # across those of the nut that was tried
//! gaps     = [-0.15, -0.1, -0.05]
//! radius   = 0
//! best     = [2]
//! ```

use super::breaking;
use super::form_head::{date, in_inches, made, named, version};
use super::form_rows::{ladder, row};
use super::ladder::LadderKind;
use super::toml_values::Reader;
use crate::declared::{FOLDER_NAME, REMARK};
use crate::diagnostic::{Diagnostic, Severity, file_order};

pub use super::filled::{FilledForm, MadeWith, MeasuredRow, TriedLadder};
pub use super::form_head::{FORM, UNNAMED, is_date};

/// Longest form in bytes. Guess.
pub const LONGEST: usize = 64 << 10;
/// Most rows and ladders together. Guess, some five times a full form's.
const MOST_ROWS: usize = 200;
/// Most readings and findings together. Guess, twice 25 prints of the plate.
const MOST_READINGS: usize = 1500;
/// Problems that are told at the most; nobody mends more in one go. Guess.
const MOST_TOLD: usize = 60;
/// Reads a form. A valid one comes with its notes.
///
/// # Errors
/// Every problem, at least one of them an error, in file order.
pub fn read(text: &str) -> Result<(FilledForm, Vec<Diagnostic>), Vec<Diagnostic>> {
    if text.len() > LONGEST {
        return Err(vec![
            Diagnostic::error("the file is too long for a form", 0..0)
                .mend("name the form.toml that `netlead coupon` wrote"),
        ]);
    }
    let mut reader = Reader::new(text);
    let form = form(&mut reader);
    let mut problems = reader.problems;
    problems.sort_by_key(file_order);
    // Errors first, where not all can be told.
    if problems.len() > MOST_TOLD {
        problems.sort_by_key(|problem| problem.severity != Severity::Error);
        problems.truncate(MOST_TOLD);
        problems.sort_by_key(file_order);
    }
    if problems
        .iter()
        .any(|problem| problem.severity == Severity::Error)
    {
        return Err(problems);
    }
    Ok((form, problems))
}

fn form(reader: &mut Reader) -> FilledForm {
    let root = reader.root(&[
        "form", "kit", "printer", "date", "spool", "units", "made", "row", "ladder", "break",
    ]);
    version(reader, &root);
    let inches = in_inches(reader, &root);
    let printer = named(reader, &root, "printer", &FOLDER_NAME);
    let spool = named(reader, &root, "spool", &REMARK);
    let date = date(reader, &root);
    let made = made(reader, &root);
    let mut names = Vec::new();
    let mut rows = Vec::new();
    for field in reader.tables(&root, "row", &["name", "drawn", "measured"]) {
        if let Some(row) = row(reader, &field, inches, &mut names) {
            rows.push(row);
        }
    }
    let mut ladders = Vec::new();
    let keys = [
        "name", "kind", "wanted", "drawn", "measured", "gaps", "radius", "best",
    ];
    for field in reader.tables(&root, "ladder", &keys) {
        if let Some(ladder) = ladder(reader, &field, inches, &mut names) {
            ladders.push(ladder);
        }
    }
    let fields = reader.tables(&root, "break", &breaking::KEYS);
    let breaks = breaking::pieces(reader, &fields);
    let form = FilledForm {
        printer: printer.unwrap_or_else(|| UNNAMED.into()),
        date,
        spool: spool.unwrap_or_default(),
        made,
        rows,
        ladders,
        breaks,
    };
    refuse_long(reader, &form);
    let alone = form.rows.is_empty() && form.ladders.is_empty();
    breaking::refuse_mixed(reader, &form.breaks, alone);
    refuse_empty(reader, &form);
    form
}

/// A form that is longer than anyone measures.
fn refuse_long(reader: &mut Reader, form: &FilledForm) {
    let readings = form
        .rows
        .iter()
        .map(|row| row.measured.len())
        .sum::<usize>()
        + form
            .ladders
            .iter()
            .map(|ladder| ladder.grooves.len())
            .sum::<usize>();
    let tables = form.rows.len() + form.ladders.len() + form.breaks.len();
    for (what, count, most) in [
        ("rows and ladders", tables, MOST_ROWS),
        ("readings", readings, MOST_READINGS),
    ] {
        if count > most {
            let message = format!("the form has {count} {what}, at most {most}");
            reader
                .problems
                .push(Diagnostic::error(message, 0..0).mend("leave some of it out"));
        }
    }
}

/// A form without a single reading, and notes on rows that have none.
fn refuse_empty(reader: &mut Reader, form: &FilledForm) {
    let measured = |row: &&MeasuredRow| row.measured.iter().any(Option::is_some);
    let tried = |ladder: &&TriedLadder| ladder.grooves.iter().any(Option::is_some);
    let broken = form.breaks.iter().filter(|piece| piece.broke.is_some());
    let filled = form.rows.iter().filter(measured).count()
        + form.ladders.iter().filter(tried).count()
        + broken.count();
    if filled == 0 && breaking::refuse_empty(reader, &form.breaks) {
        return;
    }
    if filled == 0 {
        let places = form.rows.iter().map(|row| &row.at);
        let first = places
            .chain(form.ladders.iter().map(|ladder| &ladder.at))
            .next();
        let first = first.cloned().unwrap_or(0..0);
        if reader.problems.is_empty() {
            reader.problems.push(
                Diagnostic::error(
                    "the form is empty: no row is measured and no ladder tried",
                    first,
                )
                .mend("write readings between the brackets, as in `measured = [62.07]`"),
            );
        }
        return;
    }
    let rejected = |problem: &Diagnostic| problem.severity == Severity::Error;
    if reader.problems.iter().any(rejected) {
        // What is left out is told when the rest is right.
        return;
    }
    let any_row = form.rows.iter().any(|row| measured(&row));
    for row in form.rows.iter().filter(|row| any_row && !measured(row)) {
        reader.problems.push(
            Diagnostic::warning(
                format!("row `{}` is not measured and left out", row.name),
                row.at.clone(),
            )
            .mend("measure it too, as in `measured = [62.07]`"),
        );
    }
    for ladder in form.ladders.iter().filter(|ladder| !tried(ladder)) {
        reader.problems.push(
            Diagnostic::warning(
                format!("ladder `{}` is not tried and left out", ladder.name),
                ladder.at.clone(),
            )
            .mend("try it too, as in `best = [2]`"),
        );
    }
    breaking::left_out(reader, &form.breaks);
    for ladder in form.ladders.iter().filter(|ladder| at_end(ladder)) {
        let drawn_anew = match ladder.kind {
            LadderKind::Thread | LadderKind::Pocket | LadderKind::BoughtPocket => {
                format!("netlead coupon KIT.toml --joint {}", ladder.name)
            }
            LadderKind::PinOnRibs
            | LadderKind::BoughtPinOnRibs
            | LadderKind::PinLying
            | LadderKind::BoughtPinLying
            | LadderKind::PinUpright
            | LadderKind::Slide => "netlead coupon KIT.toml".into(),
        };
        reader.problems.push(
            Diagnostic::warning(
                format!(
                    "the best step of ladder `{}` is at its end: a bound, not a value",
                    ladder.name
                ),
                ladder.at.clone(),
            )
            .mend(format!(
                "the right gap may lie beyond: tune with this, name the profile in the kit, and \
                 print `{drawn_anew}`, whose steps lie around what is known then"
            )),
        );
    }
}

/// Whether the best step of some print is at the end of its ladder.
fn at_end(ladder: &TriedLadder) -> bool {
    let mut found = ladder.best().flatten();
    found.any(|step| step.end.is_some())
}
