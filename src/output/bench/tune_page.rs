//! What `tune` prints: what changed in the profile, what was left out, what looks wrong, and what
//! another print would bring; as text and as data.

use crate::printer::{KitOdds, PRIOR_BETWEEN, PRIOR_WITHIN, Term};
use crate::tuning::Doubt;
use crate::tuning::form::FilledForm;
use crate::tuning::tune::{Judged, OUTLIER, Tuned, term_words};
use crate::units_told::{Told, number, of_copies};
use serde::Serialize;

/// Schema of the data.
const SCHEMA: &str = "netlead-tune/1";
/// Scatter beyond what was assumed, squared, from which it is told. Guess: with 17 degrees of
/// freedom a chi-squared share of 2 happens once in a hundred (from memory).
const LOUD: f64 = 2.0;

/// The odds of the kit whose pieces were counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct KitGain {
    /// As it was drawn before.
    pub before: KitOdds,
    /// As it is drawn with what was learnt.
    pub now: KitOdds,
    /// The same with every term known without error, which is the most that further prints bring.
    pub known: KitOdds,
}

/// The page for people.
pub(crate) fn text(tuned: &Tuned, kit: Option<&KitGain>) -> String {
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
    page + &bounds(tuned)
        + &doubts(tuned)
        + &own_gaps(tuned)
        + &next(tuned)
        + "\n"
        + &kit.map_or(String::new(), gain)
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
        "no one profile gives all ladders of threads the gap that is wanted; ask for each joint \
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

/// What is known of a joint's closing, and what one more print would make of that. Whether a kit
/// gains by it hangs on the kit, whose odds say so.
fn next(tuned: &Tuned) -> String {
    let next = tuned.next;
    let known = format!(
        "what a joint's walls take from its gap is known to {:.3} mm (standard error)",
        next.now
    );
    let then = if next.lowers_it() {
        format!("one more print would make that {:.3} mm", next.then)
    } else {
        "one more print would hardly lower that".into()
    };
    format!("{known}; {then}")
}

/// What the kit gains, and what further prints would bring at the most.
fn gain(kit: &KitGain) -> String {
    let of = |odds: &KitOdds| {
        let (printed, fitted) = (of_copies(odds.as_printed), of_copies(odds.usable));
        format!("{printed} of 100 copies go together as printed, {fitted} after fitting")
    };
    let gains = |then: f64, now: f64| of_copies(then) != of_copies(now);
    let (now, known) = (&kit.now, &kit.known);
    let more = gains(known.as_printed, now.as_printed) || gains(known.usable, now.usable);
    let then = match more {
        true => format!(
            "with every term known: {}; more prints bring that at the most",
            of(known)
        ),
        false => "more prints bring this kit nothing: what is left is the printer's spread".into(),
    };
    format!(
        "this kit before: {}\nthis kit now: {}\n{then}\n",
        of(&kit.before),
        of(now)
    )
}

/// Ladders whose best step is an end.
fn bounds(tuned: &Tuned) -> String {
    let told = |one: &Judged| {
        let (edge, above) = one.bound?;
        Some(format!(
            "`{}` of print {} has its {} step as the tightest that goes: at {} {:.3} mm taken from the \
             gap; that is a bound, not a value\n",
            one.name,
            one.print + 1,
            if above { "widest" } else { "narrowest" },
            if above { "least" } else { "most" },
            edge + 0.0,
        ))
    };
    tuned.judged.iter().filter_map(told).collect()
}

/// What is likely wrong.
fn doubts(tuned: &Tuned) -> String {
    let told = |doubt: &Doubt| format!("doubtful: {}; {}\n", doubt.message(), doubt.mend());
    tuned.doubts.iter().map(told).collect()
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
    doubts: Vec<DoubtData>,
    kit: Option<KitData>,
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
    /// Of a ladder whose best step is an end: what was taken from the gap lies beyond this.
    bound: Option<BoundData>,
}

#[derive(Serialize)]
struct KitData {
    before: OddsData,
    now: OddsData,
    known: OddsData,
}

#[derive(Serialize)]
struct OddsData {
    as_printed: f64,
    usable: f64,
}

#[derive(Serialize)]
struct BoundData {
    taken_mm: f64,
    at: &'static str,
}

#[derive(Serialize)]
struct DoubtData {
    what: &'static str,
    message: String,
    mend: &'static str,
}

#[derive(Serialize)]
struct ClosingData {
    error_mm: f64,
    with_another_print_mm: f64,
    lowered_by_another_print: bool,
}

/// The data for programs, with a line end.
///
/// # Errors
/// None that a fit can cause.
pub(crate) fn json(tuned: &Tuned, kit: Option<&KitGain>) -> Result<String, serde_json::Error> {
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
                bound: one.bound.map(|(taken_mm, above)| BoundData {
                    taken_mm,
                    at: if above { "least" } else { "most" },
                }),
            })
            .collect(),
        closing: ClosingData {
            error_mm: tuned.next.now,
            with_another_print_mm: tuned.next.then,
            lowered_by_another_print: tuned.next.lowers_it(),
        },
        own_gaps: (tuned.own_gaps.iter())
            .map(|own| OwnGapData {
                joint: &own.joint,
                wanted_mm: own.wanted.as_mm(),
            })
            .collect(),
        doubts: tuned.doubts.iter().map(doubt_data).collect(),
        kit: kit.map(kit_data),
    };
    Ok(serde_json::to_string_pretty(&data)? + "\n")
}

fn doubt_data(doubt: &Doubt) -> DoubtData {
    DoubtData {
        what: match doubt {
            Doubt::Inside { .. } => "inside_sizes",
            Doubt::Axes(_) => "axes_swapped",
            Doubt::Scales => "scales_swapped",
            Doubt::Ladders { .. } => "ladders_swapped",
        },
        message: doubt.message(),
        mend: doubt.mend(),
    }
}

fn kit_data(kit: &KitGain) -> KitData {
    let of = |odds: &KitOdds| OddsData {
        as_printed: odds.as_printed,
        usable: odds.usable,
    };
    KitData {
        before: of(&kit.before),
        now: of(&kit.now),
        known: of(&kit.known),
    }
}

/// How a profile that was made for other settings differs from what a form was printed with.
pub(crate) fn other_settings(form: &FilledForm, old: &crate::printer::Profile) -> Vec<String> {
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
