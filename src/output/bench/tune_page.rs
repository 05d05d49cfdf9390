//! What `tune` prints: what changed in the profile, what was left out, and whether another
//! print is worth it; as text and as data.

use crate::printer::{PRIOR_BETWEEN, PRIOR_WITHIN, Term};
use crate::tuning::form::FilledForm;
use crate::tuning::tune::{Judged, OUTLIER, Tuned, term_words};
use crate::units_told::{Told, number};
use serde::Serialize;

/// Schema of the data.
const SCHEMA: &str = "netlead-tune/1";
/// Scatter beyond what was assumed, squared, from which it is told. Guess: with 17 degrees of
/// freedom a chi-squared share of 2 happens once in a hundred (from memory).
const LOUD: f64 = 2.0;

/// The page for people.
pub fn text(tuned: &Tuned) -> String {
    let mut page = format!("{}\n", prints(tuned.prints));
    page += "\n                                   before           now\n";
    for change in &tuned.changes {
        let percent = is_share(change.term);
        let shown = |(value, error): (f64, f64)| {
            let factor = if percent { 100.0 } else { 1.0 };
            format!("{:+.3} +- {:.3}", value * factor, error * factor)
        };
        page += &format!(
            "  {:<28} {} -> {} {}\n",
            term_words(change.term),
            shown(change.old),
            shown(change.new),
            unit(change.term)
        );
    }
    page += &format!("\n{}\n", spread(tuned));
    for outlier in tuned.judged.iter().filter(|one| one.outlier) {
        page += &format!("left out: {}\n", off(outlier));
    }
    if tuned.misfit.is_some_and(|misfit| misfit > LOUD) {
        page += &format!(
            "the readings scatter {} times as much as the profile believes: measure with more \
             care, or print again; the errors above are too small by that\n",
            number(tuned.misfit.unwrap_or(1.0).sqrt(), 1)
        );
    }
    page + &own_gaps(tuned) + &next(tuned) + "\n"
}

/// What the kit may ask for its joints by themselves; nothing where one gap serves all.
fn own_gaps(tuned: &Tuned) -> String {
    if tuned.own_gaps.is_empty() {
        return String::new();
    }
    let asked = tuned.own_gaps.iter();
    let asked: Vec<String> = asked
        .map(|own| format!("\"{}\" = \"{:.3} mm\"", own.joint, own.wanted.as_mm() + 0.0))
        .collect();
    format!(
        "the ladders of threads fit best at gaps that no one profile gives; ask for each joint \
         by itself, in the kit:\n\n[gaps.joint]\n{}\n\n\
         kit-odds goes by the profile, the mean of them all, and only warns of such a joint\n\n",
        asked.join("\n")
    )
}

fn prints(count: usize) -> String {
    match count {
        1 => "learnt from 1 print".into(),
        _ => format!("learnt from {count} prints"),
    }
}

fn spread(tuned: &Tuned) -> String {
    let profile = &tuned.profile;
    let origin = if tuned.spread_estimated {
        "estimated from the prints and the belief before"
    } else {
        "still only believed: that takes three prints or more"
    };
    format!(
        "spread of a wall {} within a print, {} between prints ({origin})",
        thousandths(profile.within),
        thousandths(profile.between)
    )
}

fn off(outlier: &Judged) -> String {
    format!(
        "`{}` of print {} is off by {:+.3} mm, {:.1} standard errors (at most {OUTLIER}); \
         measure it again",
        outlier.name,
        outlier.print + 1,
        outlier.residual.unwrap_or(0.0),
        outlier.studentised.unwrap_or(0.0).abs()
    )
}

fn next(tuned: &Tuned) -> String {
    let next = tuned.next;
    let errors = format!(
        "standard error of what a joint's two walls take from its gap: {:.3} mm, with one more \
         print {:.3} mm",
        next.now, next.then
    );
    let verdict = if next.is_worth_it() {
        "another print is worth it"
    } else {
        "another print is not worth it"
    };
    format!("{errors}: {verdict}")
}

/// Whether a term is a share of a length.
fn is_share(term: Term) -> bool {
    matches!(term, Term::ScaleX | Term::ScaleY | Term::ScaleZ)
}

fn unit(term: Term) -> &'static str {
    match term {
        Term::ScaleX | Term::ScaleY | Term::ScaleZ => "%",
        Term::Curvature => "mm2",
        _ => "mm",
    }
}

#[derive(Serialize)]
struct Data<'a> {
    schema: &'static str,
    prints: usize,
    spread: SpreadData,
    terms: Vec<TermData>,
    covariance: Vec<Vec<f64>>,
    rows: Vec<RowData<'a>>,
    closing: ClosingData,
    own_gaps: Vec<OwnGapData<'a>>,
}

#[derive(Serialize)]
struct OwnGapData<'a> {
    joint: &'a str,
    wanted_mm: f64,
}

#[derive(Serialize)]
struct SpreadData {
    within_mm: f64,
    between_mm: f64,
    estimated: bool,
    shipped_within_mm: f64,
    shipped_between_mm: f64,
}

#[derive(Serialize)]
struct TermData {
    term: &'static str,
    unit: &'static str,
    value: f64,
    error: f64,
    old_value: f64,
    old_error: f64,
}

#[derive(Serialize)]
struct RowData<'a> {
    name: &'a str,
    print: usize,
    residual_mm: Option<f64>,
    studentised: Option<f64>,
    left_out: bool,
}

#[derive(Serialize)]
struct ClosingData {
    error_mm: f64,
    with_another_print_mm: f64,
    worth_it: bool,
}

/// The data for programs, with a line end.
///
/// # Errors
/// None that a fit can cause.
pub fn json(tuned: &Tuned) -> Result<String, serde_json::Error> {
    let terms = || tuned.changes.iter().map(|change| change.term);
    let profile = &tuned.profile;
    let data = Data {
        schema: SCHEMA,
        prints: tuned.prints,
        spread: SpreadData {
            within_mm: profile.within.as_mm(),
            between_mm: profile.between.as_mm(),
            estimated: tuned.spread_estimated,
            shipped_within_mm: PRIOR_WITHIN.as_mm(),
            shipped_between_mm: PRIOR_BETWEEN.as_mm(),
        },
        terms: tuned
            .changes
            .iter()
            .map(|change| TermData {
                term: change.term.word(),
                unit: change.term.unit(),
                value: change.new.0,
                error: change.new.1,
                old_value: change.old.0,
                old_error: change.old.1,
            })
            .collect(),
        covariance: terms()
            .map(|a| terms().map(|b| profile.covariance(a, b)).collect())
            .collect(),
        rows: tuned
            .judged
            .iter()
            .map(|one| RowData {
                name: &one.name,
                print: one.print + 1,
                residual_mm: one.residual,
                studentised: one.studentised,
                left_out: one.outlier,
            })
            .collect(),
        closing: ClosingData {
            error_mm: tuned.next.now,
            with_another_print_mm: tuned.next.then,
            worth_it: tuned.next.is_worth_it(),
        },
        own_gaps: (tuned.own_gaps.iter())
            .map(|own| OwnGapData {
                joint: &own.joint,
                wanted_mm: own.wanted.as_mm(),
            })
            .collect(),
    };
    Ok(serde_json::to_string_pretty(&data)? + "\n")
}

/// How a profile that was made for other settings differs from what a form was printed with.
pub fn other_settings(form: &FilledForm, old: &crate::printer::Profile) -> Vec<String> {
    let made = &form.made;
    let mut differences = Vec::new();
    let mut differ = |what: &str, old: String, new: String| {
        if old != new {
            differences.push(format!(
                "the old profile is for {what} {old}, the form for {new}"
            ));
        }
    };
    let length = |value| Told::Metric.length(value, 2);
    differ("layers of", length(old.layer), length(made.layer));
    differ("lines of", length(old.line), length(made.line));
    differ("walls:", old.walls.to_string(), made.walls.to_string());
    differences
}

/// A length to a thousandth of a millimetre.
fn thousandths(length: crate::units::Length) -> String {
    format!("{} mm", number(length.as_mm(), 3))
}
