//! Reads Unified designations: a size in inches, threads per inch, a series (ASME B1.1).

use super::scan::{Number, Scanner};
use super::{EXAMPLES, ThreadError, listed, quoted, starts};
use crate::thread::series::{UnifiedThread, unified_threads};
use crate::thread::{MAX_STARTS, Thread};
use crate::units::{Length, MM_PER_INCH};

/// How far a decimal size may be from the listed one, in inches: `0.3125` is exact, and no two
/// sizes are nearer than 1/40 inch. Guess.
const SAME_SIZE: f64 = 1e-6;
/// A numbered screw's major diameter in inches is 0.060 + 0.013 x number (ASME B1.1).
const SCREW_NUMBER: (f64, f64) = (0.06, 0.013);
/// Numbers that mean a numbered screw even without `#`: no series has such a size in inches.
const BARE_NUMBERS: [f64; 2] = [10.0, 12.0];

/// How far a pitch or a lead in inches may be from what it stands for: it is written with four
/// decimals, and a lead is some of these pitches. Guess.
const WRITTEN_INCHES: f64 = 3e-4;
/// The series in which ASME B1.1 puts threads of several starts, from memory: special ones.
const SPECIAL: &str = "UNS";

/// Whether `#10` or `No. 10` follows.
pub(super) fn at_screw_number(scanner: &Scanner<'_>) -> bool {
    let mut ahead = scanner.clone();
    eat_number_mark(&mut ahead) && ahead.at_number()
}

fn eat_number_mark(scanner: &mut Scanner<'_>) -> bool {
    let marked = scanner.eat(&['#']) || scanner.eat_word("No");
    if marked {
        scanner.eat(&['.']);
    }
    marked
}

/// A size as it was written.
struct Size<'a> {
    text: &'a str,
    number: Number,
    inches: f64,
}

/// Reads a Unified thread up to its hand.
pub(super) fn read(scanner: &mut Scanner<'_>) -> Result<Thread, ThreadError> {
    let size = read_size(scanner)?;
    let rows: Vec<&'static UnifiedThread> = unified_threads()
        .filter(|row| (row.major_inches() - size.inches).abs() < SAME_SIZE)
        .collect();
    let per_inch = read_per_inch(scanner);
    if rows.is_empty() && per_inch.is_none() && size.number.whole {
        let message = format!("`{}` is a size without a pitch", quoted(size.text));
        return Err(ThreadError::new(message, size.number.at).with_mend(EXAMPLES));
    }
    if rows.is_empty() {
        return Err(unlisted_size(&size));
    }
    let Some(per_inch) = per_inch else {
        let message = format!("no threads per inch after the size {}", quoted(size.text));
        return Err(ThreadError::new(message, size.number.at).with_mend(write_one_of(&rows)));
    };
    if scanner.eat_letter('P') {
        return read_lead(scanner, &size, &per_inch, &rows);
    }
    let Some(row) = rows
        .iter()
        .find(|row| row.threads_per_inch() == per_inch.value)
    else {
        return Err(unlisted_count(scanner, &size, &per_inch, &rows));
    };
    // People write the starts on either side of the series.
    let before = starts::read(scanner);
    read_series(scanner, row, &rows, before.is_some())?;
    match before.or_else(|| starts::read(scanner)) {
        Some(said) => said.of(Thread::unified(row)),
        None => Ok(Thread::unified(row)),
    }
}

/// Reads what follows the `P` of `1-.125P`: `-.25L (2 STARTS) UNS`.
fn read_lead(
    scanner: &mut Scanner<'_>,
    size: &Size<'_>,
    pitch: &Number,
    rows: &[&'static UnifiedThread],
) -> Result<Thread, ThreadError> {
    let inches = |row: &UnifiedThread| row.pitch().as_inches();
    let near = |row: &&&UnifiedThread| (inches(row) - pitch.value).abs() <= WRITTEN_INCHES;
    let Some(row) = rows.iter().find(near) else {
        let pitches = rows.iter().map(|row| format!("{:.4}", inches(row)));
        let message = format!(
            "pitch {} in is not standard for {}: ASME B1.1 lists {} in",
            quoted(scanner.slice(pitch.at.clone())),
            quoted(size.text),
            listed(&Vec::from_iter(pitches))
        );
        return Err(ThreadError::new(message, pitch.at.clone()).with_mend(write_one_of(rows)));
    };
    let thread = Thread::unified(row);
    scanner.skip_separators();
    let lead = scanner.number().filter(|_| scanner.eat_letter('L'));
    let Some(lead) = lead else {
        let message = format!("no lead in inches after the pitch of {}", name(row));
        return Err(ThreadError::new(message, scanner.here())
            .with_mend(format!("write `{}`", thread.with_starts(2))));
    };
    let ratio = lead.value / inches(row);
    let whole = ratio.round();
    if (lead.value - whole * inches(row)).abs() > WRITTEN_INCHES * whole.max(1.0) {
        let message = format!(
            "lead {} in is no whole number of pitches of {} in",
            quoted(scanner.slice(lead.at.clone())),
            quoted(scanner.slice(pitch.at.clone()))
        );
        let nearest = whole.clamp(1.0, f64::from(MAX_STARTS)) as u8;
        return Err(ThreadError::new(message, lead.at)
            .with_mend(format!("write `{}`", thread.with_starts(nearest))));
    }
    let said = starts::Said {
        count: whole,
        at: lead.at,
    };
    let thread = said.of(thread)?;
    if let Some(said) = starts::read(scanner)
        && said.count != whole
    {
        let message = format!("{} starts, but the lead is {whole} pitches", said.count);
        return Err(ThreadError::new(message, said.at).with_mend(format!("write `{thread}`")));
    }
    read_series(scanner, row, rows, true)?;
    Ok(thread)
}

fn read_size<'a>(scanner: &mut Scanner<'a>) -> Result<Size<'a>, ThreadError> {
    scanner.skip_spaces();
    let start = scanner.position();
    let marked = eat_number_mark(scanner);
    let number = if marked {
        scanner.number()
    } else {
        scanner.fraction()
    };
    let Some(mut number) = number else {
        return Err(ThreadError::new("no size in inches", scanner.here()).with_mend(EXAMPLES));
    };
    number.at.start = start;
    let numbered = marked || (number.whole && BARE_NUMBERS.contains(&number.value));
    if !numbered && !scanner.eat(&['"', '\u{2033}']) {
        scanner.eat_word("in");
    }
    let (least, step) = SCREW_NUMBER;
    let inches = if numbered {
        least + step * number.value
    } else {
        number.value
    };
    Ok(Size {
        text: scanner.slice(number.at.clone()),
        number,
        inches,
    })
}

/// Reads `-10`, or nothing if no number follows a hyphen.
fn read_per_inch(scanner: &mut Scanner<'_>) -> Option<Number> {
    let mut ahead = scanner.clone();
    if !ahead.eat_hyphen() {
        return None;
    }
    let number = ahead.fraction()?;
    *scanner = ahead;
    Some(number)
}

/// Takes the series after the threads per inch, if one is written, and holds it against `row`;
/// `several` starts may be called special.
fn read_series(
    scanner: &mut Scanner<'_>,
    row: &UnifiedThread,
    rows: &[&UnifiedThread],
    several: bool,
) -> Result<(), ThreadError> {
    let mut ahead = scanner.clone();
    ahead.skip_separators();
    let (word, at) = ahead.word();
    let series = word.to_ascii_uppercase();
    if series.is_empty() || !(series.starts_with("UN") || series.starts_with('N')) {
        return Ok(());
    }
    let right = row.standard().name();
    if series == right || several && series == SPECIAL {
        *scanner = ahead;
        return Ok(());
    }
    let written = name(row);
    let other = rows.iter().find(|row| row.standard().name() == series);
    if let Some(other) = other {
        let stem = written.trim_end_matches(right).trim_end();
        let message = format!("{stem} is {right}, not {series}");
        let mend = format!("write `{written}`, or `{}`", name(other));
        return Err(ThreadError::new(message, at).with_mend(mend));
    }
    let message = format!(
        "series `{}` is not kept here: UNC and UNF are",
        quoted(word)
    );
    Err(ThreadError::new(message, at).with_mend(format!("write `{written}`")))
}

fn name(row: &UnifiedThread) -> String {
    let standard = row.standard().name();
    format!("{}-{} {standard}", row.size(), row.threads_per_inch())
}

fn write_one_of(rows: &[&UnifiedThread]) -> String {
    let names: Vec<String> = rows.iter().map(|row| format!("`{}`", name(row))).collect();
    format!("write {}", names.join(" or "))
}

fn unlisted_size(size: &Size<'_>) -> ThreadError {
    let given = quoted(size.text);
    // Of two threads of one size the first, which is the coarse one, is named.
    let below = unified_threads()
        .filter(|row| row.major_inches() < size.inches)
        .reduce(|best, row| {
            if row.major_inches() > best.major_inches() {
                row
            } else {
                best
            }
        });
    let above = unified_threads()
        .filter(|row| row.major_inches() > size.inches)
        .min_by(|a, b| a.major_inches().total_cmp(&b.major_inches()));
    let neighbours: Vec<&UnifiedThread> = below.into_iter().chain(above).collect();
    let sizes: Vec<String> = neighbours.iter().map(|row| row.size().to_owned()).collect();
    let message = match (below, above) {
        (None, Some(first)) => {
            format!(
                "size {given} is below {}, the smallest kept of ASME B1.1",
                first.size()
            )
        }
        (Some(last), None) => {
            format!(
                "size {given} is above {} in, the largest kept of ASME B1.1",
                last.size()
            )
        }
        _ => format!(
            "{given} is not a size of ASME B1.1, which lists {}",
            listed(&sizes)
        ),
    };
    ThreadError::new(message, size.number.at.clone()).with_mend(write_one_of(&neighbours))
}

fn unlisted_count(
    scanner: &Scanner<'_>,
    size: &Size<'_>,
    per_inch: &Number,
    rows: &[&UnifiedThread],
) -> ThreadError {
    let given = quoted(scanner.slice(per_inch.at.clone()));
    let names: Vec<String> = rows.iter().map(|row| name(row)).collect();
    let message = format!(
        "{given} threads per inch are not standard for {}: ASME B1.1 lists {}",
        quoted(size.text),
        listed(&names)
    );
    let mut mend = write_one_of(rows);
    let (major, pitch) = (size.inches * MM_PER_INCH, MM_PER_INCH / per_inch.value);
    // A free thread is written in mm; five decimals hold its lead over any length in use.
    const PER_MM: f64 = 1e5;
    let short = |mm: f64| Length::mm((mm * PER_MM).round() / PER_MM).as_mm();
    let free = format!("{}x{}", short(major), short(pitch));
    if free.parse::<Thread>().is_ok() {
        mend.push_str(&format!(", or `{free}` for a free thread in mm"));
    }
    ThreadError::new(message, per_inch.at.clone()).with_mend(mend)
}
