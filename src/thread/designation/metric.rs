//! Reads metric and free designations: a size in millimetres, then a pitch or a lead.

use std::ops::RangeInclusive;

use super::scan::{Number, Scanner, TIMES};
use super::{EXAMPLES, LEAD_STEPS_PER_MM, ThreadError, listed, quoted, unlike_any};
use crate::thread::series::{MetricSize, metric_sizes};
use crate::thread::{Hand, MAX_STARTS, Thread};
use crate::units::Length;

/// Major diameters of a free thread, in mm. Guess: below a millimetre nothing prints, above
/// 200 mm few desktop printers have the room.
pub(crate) const FREE_MAJOR: RangeInclusive<f64> = 1.0..=200.0;
/// Smallest pitch of a free thread: the finest that ISO 261 lists for its smallest size, M1.
pub(crate) const FREE_PITCH_MIN: Length = Length::mm(0.2);
/// How far a lead may be from a whole number of pitches, in pitches: decimals as they are
/// written, `Ph7.2P2.4`, do not divide exactly. Guess, far below any tolerance.
const WHOLE_SLACK: f64 = 1e-6;

/// What stands after the size.
struct Advance {
    pitch: Number,
    starts: u8,
}

/// Whether a number follows, then perhaps `mm`, then `x`.
pub(super) fn looks_free(scanner: &Scanner<'_>) -> bool {
    let mut ahead = scanner.clone();
    ahead.number().is_some() && {
        ahead.eat_word("mm");
        ahead.eat(&TIMES)
    }
}

/// Reads what follows the `M` of an ISO metric thread.
pub(super) fn read_iso(scanner: &mut Scanner<'_>) -> Result<Thread, ThreadError> {
    let Some(number) = scanner.number() else {
        return Err(ThreadError::new("no size after `M`", scanner.here())
            .with_mend("write a size such as `M20` or `M20x1.5`"));
    };
    let advance = read_advance(scanner)?;
    let listed_size = metric_sizes().find(|size| size.major().as_mm() == number.value);
    let Some(size) = listed_size else {
        // `M2O` with a letter O is a slip of the finger, not the size M2.
        if advance.is_none() && scanner.at_letter() {
            return Err(unlike_any(scanner));
        }
        return Err(unlisted_size(scanner, &number, advance.as_ref()));
    };
    let Some(advance) = advance else {
        let coarse = size.coarse().and_then(|pitch| Thread::metric(size, pitch));
        return coarse.ok_or_else(|| no_coarse(size, &number));
    };
    let pitch = Length::mm(advance.pitch.value);
    let thread =
        Thread::metric(size, pitch).ok_or_else(|| unlisted_pitch(scanner, size, &advance))?;
    Ok(thread.with_starts(advance.starts))
}

/// Reads a free thread: its major diameter, then a pitch or a lead, in millimetres.
pub(super) fn read_free(scanner: &mut Scanner<'_>) -> Result<Thread, ThreadError> {
    let incomplete =
        |scanner: &Scanner<'_>| ThreadError::new("no major diameter and pitch", scanner.here());
    let major = scanner.number().ok_or_else(|| incomplete(scanner))?;
    scanner.eat_word("mm");
    let advance = read_advance(scanner)?.ok_or_else(|| incomplete(scanner))?;
    scanner.eat_word("mm");
    check_free(scanner, &major, &advance.pitch)?;
    let thread = Thread::free(
        Length::mm(major.value),
        Length::mm(advance.pitch.value),
        Hand::Right,
    );
    Ok(thread.with_starts(advance.starts))
}

/// Reads `x2.5`, `xPh5P2.5` or `x5(P2.5)`; `None` if no `x` follows.
fn read_advance(scanner: &mut Scanner<'_>) -> Result<Option<Advance>, ThreadError> {
    if !scanner.eat(&TIMES) {
        return Ok(None);
    }
    scanner.skip_spaces();
    let lead_at = scanner.position();
    if scanner.eat_word("Ph") {
        return read_lead(scanner, lead_at).map(Some);
    }
    // A lone `P` before the pitch says no more than the pitch itself.
    let lone = scanner.eat_letter('P');
    let Some(pitch) = scanner.number() else {
        return Err(ThreadError::new("no pitch after `x`", scanner.here())
            .with_mend("write the pitch in millimetres, as in `M20x2.5`"));
    };
    if !lone && let Some(advance) = read_pitch_behind(scanner, lead_at, &pitch)? {
        return Ok(Some(advance));
    }
    Ok(Some(Advance { pitch, starts: 1 }))
}

/// Reads `(P2.5)` or `P2.5` behind a lead, which stands at `lead_at`; `None` if neither follows.
fn read_pitch_behind(
    scanner: &mut Scanner<'_>,
    lead_at: usize,
    lead: &Number,
) -> Result<Option<Advance>, ThreadError> {
    let mut ahead = scanner.clone();
    ahead.eat_word("mm");
    let opened = ahead.eat(&['(']);
    if !ahead.eat_letter('P') {
        return Ok(None);
    }
    let Some(pitch) = ahead.number() else {
        return Ok(None);
    };
    *scanner = ahead;
    let advance = advance_by(scanner, lead_at, lead, pitch)?;
    if opened && !scanner.eat(&[')']) {
        let whole = quoted(scanner.slice(0..scanner.position()).trim_start());
        return Err(ThreadError::new("no `)` after the pitch", scanner.here())
            .with_mend(format!("write `{whole})`")));
    }
    Ok(Some(advance))
}

/// Reads what follows `Ph`, which stands at `lead_at`: `5P2.5`, the lead and the pitch of a thread
/// with several starts (ISO 965-1).
fn read_lead(scanner: &mut Scanner<'_>, lead_at: usize) -> Result<Advance, ThreadError> {
    let incomplete = |scanner: &Scanner<'_>, what: &str| {
        ThreadError::new(format!("no {what} in millimetres"), scanner.here())
            .with_mend("write lead and pitch as in `M20xPh5P2.5`: lead 5 mm, pitch 2.5 mm")
    };
    let lead = scanner
        .number()
        .ok_or_else(|| incomplete(scanner, "lead after `Ph`"))?;
    if !scanner.eat_letter('P') {
        return Err(incomplete(scanner, "`P` and pitch after the lead"));
    }
    let pitch = scanner
        .number()
        .ok_or_else(|| incomplete(scanner, "pitch after `P`"))?;
    advance_by(scanner, lead_at, &lead, pitch)
}

/// The starts of a thread with this lead, which stands at `lead_at`, and pitch.
fn advance_by(
    scanner: &Scanner<'_>,
    lead_at: usize,
    lead: &Number,
    pitch: Number,
) -> Result<Advance, ThreadError> {
    let ratio = lead.value / pitch.value;
    let starts = (2..=MAX_STARTS).find(|n| (ratio - f64::from(*n)).abs() <= WHOLE_SLACK);
    match starts {
        Some(starts) => Ok(Advance { pitch, starts }),
        None => Err(wrong_lead(scanner, lead_at, lead, &pitch)),
    }
}

fn wrong_lead(scanner: &Scanner<'_>, lead_at: usize, lead: &Number, pitch: &Number) -> ThreadError {
    let lead_text = quoted(scanner.slice(lead.at.clone()));
    let pitch_text = quoted(scanner.slice(pitch.at.clone()));
    // What stands before the lead is right as far as it is known, so the mend keeps it.
    let before = quoted(scanner.slice(0..lead_at).trim_start());
    let at = lead_at..pitch.at.end;
    let ratio = lead.value / pitch.value;
    if (ratio - 1.0).abs() <= WHOLE_SLACK {
        let message = format!("lead {lead_text} mm is one pitch, which is a single start");
        return ThreadError::new(message, at).with_mend(format!("write `{before}{pitch_text}`"));
    }
    let error = ThreadError::new(
        format!("lead {lead_text} mm is not 2 to {MAX_STARTS} times the pitch {pitch_text} mm"),
        at,
    );
    let nearest = ratio.round().clamp(2.0, f64::from(MAX_STARTS)) * pitch.value;
    if !nearest.is_finite() || nearest <= 0.0 {
        return error.with_mend(EXAMPLES);
    }
    // 3 x 2.4 is 7.199 999... in binary; what is told is what a maker would type.
    let nearest = (nearest * LEAD_STEPS_PER_MM).round() / LEAD_STEPS_PER_MM;
    // A pitch that its standard does not list for the size has to become a free one.
    let is_read = |before: &str| format!("{before}{pitch_text}").parse::<Thread>().is_ok();
    let free = before.trim_start_matches(['M', 'm']).trim_start();
    let before = if !is_read(&before) && is_read(free) {
        free
    } else {
        &before
    };
    error.with_mend(format!("write `{before}Ph{nearest}P{pitch_text}`"))
}

fn may_be_free(major: f64, pitch: f64) -> bool {
    let thread = Thread::free(Length::mm(major), Length::mm(pitch), Hand::Right);
    FREE_MAJOR.contains(&major)
        && pitch >= FREE_PITCH_MIN.as_mm()
        && thread.minor_external() > Length::ZERO
}

fn check_free(scanner: &Scanner<'_>, major: &Number, pitch: &Number) -> Result<(), ThreadError> {
    let (least, most) = (FREE_MAJOR.start(), FREE_MAJOR.end());
    if !FREE_MAJOR.contains(&major.value) {
        let given = quoted(scanner.slice(major.at.clone()));
        let message =
            format!("major diameter {given} mm is outside {least} to {most} mm for a free thread");
        let nearest = major.value.clamp(*least, *most);
        return Err(ThreadError::new(message, major.at.clone())
            .with_mend(format!("write {least} to {most}; the nearest is {nearest}")));
    }
    if may_be_free(major.value, pitch.value) {
        return Ok(());
    }
    let given = quoted(scanner.slice(pitch.at.clone()));
    let finest = FREE_PITCH_MIN.as_mm();
    let coarsest = coarsest_free(major.value);
    let message = format!(
        "pitch {given} mm is outside {finest} to {coarsest} mm, what a core of a {} mm thread allows",
        major.value
    );
    let (nearest, way) = if pitch.value < finest {
        (finest, "coarser")
    } else {
        (coarsest, "finer")
    };
    Err(ThreadError::new(message, pitch.at.clone())
        .with_mend(format!("write `{}x{nearest}` or {way}", major.value)))
}

/// The coarsest pitch that leaves a core, in mm, rounded down to 0.01 mm.
fn coarsest_free(major: f64) -> f64 {
    const PER_MM: f64 = 100.0;
    // d3 = d - k P stays above zero as long as P is below d / k.
    let unit = Thread::free(Length::ZERO, Length::mm(1.0), Hand::Right);
    (major / -unit.minor_external().as_mm() * PER_MM).floor() / PER_MM
}

/// Names the sizes on either side of one that is not listed.
fn unlisted_size(scanner: &Scanner<'_>, number: &Number, advance: Option<&Advance>) -> ThreadError {
    let given = quoted(scanner.slice(number.at.clone()));
    // Sizes without a coarse pitch cannot be written without more thought, so they are left out.
    let with_coarse = || metric_sizes().filter(|size| size.coarse().is_some());
    let below = with_coarse()
        .filter(|size| size.major().as_mm() < number.value)
        .last();
    let above = with_coarse().find(|size| size.major().as_mm() > number.value);
    let name = |size: &MetricSize| format!("M{}", size.major().as_mm());
    let message = match (below, above) {
        (None, Some(first)) => {
            format!(
                "M{given} is below {}, the smallest ISO 261 size kept",
                name(first)
            )
        }
        (Some(last), None) => {
            format!(
                "M{given} is above {}, the largest ISO 261 size kept",
                name(last)
            )
        }
        _ => {
            let names: Vec<String> = below.into_iter().chain(above).map(name).collect();
            format!(
                "M{given} is not a size of ISO 261, which lists {}",
                listed(&names)
            )
        }
    };
    let with_pitch = |size: &'static MetricSize| {
        let pitch = advance.map(|advance| Length::mm(advance.pitch.value));
        match pitch.filter(|pitch| size.pitches().any(|listed| listed == *pitch)) {
            Some(pitch) => format!("`{}x{}`", name(size), pitch.as_mm()),
            None => format!("`{}`", name(size)),
        }
    };
    let written: Vec<String> = below.into_iter().chain(above).map(with_pitch).collect();
    let mut mend = format!("write {}", written.join(" or "));
    if let Some(free) = advance.filter(|free| may_be_free(number.value, free.pitch.value)) {
        let free = free_text(number.value, free);
        mend.push_str(&format!(", or `{free}` for a free thread"));
    }
    ThreadError::new(message, number.at.clone()).with_mend(mend)
}

fn free_text(major: f64, advance: &Advance) -> String {
    let pitch = Length::mm(advance.pitch.value);
    let thread = Thread::free(Length::mm(major), pitch, Hand::Right);
    thread.with_starts(advance.starts).designation()
}

fn pitch_names(size: &MetricSize) -> Vec<String> {
    size.pitches()
        .map(|pitch| pitch.as_mm().to_string())
        .collect()
}

fn no_coarse(size: &MetricSize, number: &Number) -> ThreadError {
    let major = size.major().as_mm();
    let pitches = pitch_names(size);
    let message = format!(
        "M{major} has no coarse pitch: ISO 261 lists {} mm",
        listed(&pitches)
    );
    let written: Vec<String> = pitches
        .iter()
        .map(|pitch| format!("`M{major}x{pitch}`"))
        .collect();
    ThreadError::new(message, number.at.clone())
        .with_mend(format!("write {}", written.join(" or ")))
}

fn unlisted_pitch(
    scanner: &Scanner<'_>,
    size: &'static MetricSize,
    advance: &Advance,
) -> ThreadError {
    let pitch = &advance.pitch;
    let given = quoted(scanner.slice(pitch.at.clone()));
    let major = size.major().as_mm();
    let message = format!(
        "pitch {given} mm is not standard for M{major}: ISO 261 lists {} mm",
        listed(&pitch_names(size))
    );
    let off = |listed: &Length| (listed.as_mm() - pitch.value).abs();
    let nearest = size.pitches().min_by(|a, b| off(a).total_cmp(&off(b)));
    let mut mends: Vec<String> = nearest
        .and_then(|near| Thread::metric(size, near))
        .map(|near| format!("write `{}`", near.with_starts(advance.starts)))
        .into_iter()
        .collect();
    if may_be_free(major, pitch.value) {
        mends.push(format!("`{}` for a free pitch", free_text(major, advance)));
    }
    ThreadError::new(message, pitch.at.clone()).with_mend(mends.join(", or "))
}
