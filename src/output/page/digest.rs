//! The first lines of `make` and `check`: what a kit is, whether it is ready, what it costs, what to
//! print first, how it moves, and where the rest is. They fit one screen, and are all that is printed
//! unless more is asked for.
//!
//! Nothing that a maker has to act on is left out: every check that fails or warns stands there with
//! its mend, shortly. What is only worth knowing is counted.

use crate::check::{self, Finding, Outcome};
use crate::output::kit::{Change, Product, aid_prints, bill, fits, sentences};
use crate::output::words::{self, plain};
use anstyle::{AnsiColor, Style};

/// Columns of the names in front of the digest's values.
pub(super) const NAME_COLUMNS: usize = 13;

/// What the page is printed for.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The kit's file, as it was typed.
    pub kit: &'a str,
    /// Where the files are, if they were written.
    pub folder: Option<&'a str>,
}

/// Option that prints everything.
pub const ALL: &str = "--all";

/// A line of the digest, before it is folded.
pub(super) enum Line {
    /// Words alone.
    Styled(Style, String),
    /// A name and what stands beside it.
    Row(Style, &'static str, String),
}

/// The digest.
pub(super) fn lines(product: &Product, asked: &Asked<'_>) -> Vec<Line> {
    let (style, verdict) = verdict(product, asked.folder);
    let row = |name, text| Line::Row(Style::new(), name, text);
    let mut lines = vec![
        Line::Styled(Style::new().bold(), sentences::in_short(product)),
        Line::Styled(style, format!("{verdict}{}", notes(product))),
    ];
    lines.extend(to_act_on(product));
    lines.extend(sentences::not_judged(product).map(|text| row("not judged", text.into())));
    lines.extend(since_last_run(product).map(|text| row("last run", text)));
    lines.extend(bill::again_in_short(product).map(|text| row("print again", text)));
    lines.extend(first_print(product, asked).map(|text| row("step 0", text)));
    lines.extend(bill::in_short(product).map(|text| row("to print", text)));
    lines.extend(aid_prints::in_short(product).map(|text| row("bench aids", text)));
    lines.push(row("a turn", sentences::turn_in_short(product)));
    lines.extend(sentences::lost_in_short(product).map(|text| row("lost motion", text)));
    lines.extend(sentences::in_guide_in_short(product).map(|text| row("in the guide", text)));
    lines.push(row("cautions", words::CAUTION_IN_A_LINE.into()));
    lines.push(row("the rest", rest(product, asked)));
    lines
}

/// The verdict alone, in a line, on a kit of which nothing was written.
pub fn in_a_line(product: &Product) -> String {
    let (style, verdict) = verdict(product, None);
    format!("{style}{verdict}{}{style:#}", notes(product))
}

/// Whether to print, in one sentence to act on; the mend of what fails first.
pub(super) fn verdict(product: &Product, folder: Option<&str>) -> (Style, String) {
    let open = product.open_findings();
    let failure = open.iter().find(|finding| finding.outcome == Outcome::Fail);
    let state = fits::not_tuned(product).map_or("", |_| ", not tuned yet");
    let but = sentences::reservations(product);
    let ready = outcome_style(match but.is_empty() {
        true => Outcome::Pass,
        false => Outcome::Warn,
    });
    match (failure, folder) {
        (Some(failure), _) => {
            let mend = failure.mend.as_deref().unwrap_or(&failure.message);
            (
                outcome_style(Outcome::Fail),
                format!("not ready: first mend {}: {}", failure.id, plain(mend)),
            )
        }
        // Silence is no proof.
        (None, _) if product.findings.is_empty() => (
            outcome_style(Outcome::Warn),
            "not judged: no check was made".into(),
        ),
        (None, Some(folder)) => (
            ready,
            format!("ready to print{state}{but}: {}", plain(folder)),
        ),
        (None, None) => (
            ready,
            format!("ready to make{state}{but}; nothing was written"),
        ),
    }
}

/// How an outcome looks where there is colour.
pub(super) fn outcome_style(outcome: Outcome) -> Style {
    match outcome {
        Outcome::Fail => AnsiColor::Red.on_default().bold(),
        Outcome::Warn => AnsiColor::Yellow.on_default().bold(),
        Outcome::Note | Outcome::Waived => AnsiColor::Cyan.on_default(),
        Outcome::Pass => AnsiColor::Green.on_default(),
    }
}

/// How many notes there are, behind the verdict.
fn notes(product: &Product) -> String {
    let all = product.findings.iter();
    match all.filter(|one| one.outcome == Outcome::Note).count() {
        0 => String::new(),
        1 => " (1 note)".into(),
        many => format!(" ({many} notes)"),
    }
}

/// What has to be acted on, the worst first: a row for each rule with what it is about, the subjects it
/// found, and every mend once.
fn to_act_on(product: &Product) -> Vec<Line> {
    let mut rows: Vec<ToActOn<'_>> = Vec::new();
    for finding in product.open_findings() {
        match finding.outcome {
            Outcome::Fail | Outcome::Warn => {}
            Outcome::Waived | Outcome::Note | Outcome::Pass => continue,
        }
        let same =
            |row: &ToActOn<'_>| row.first.id == finding.id && row.first.outcome == finding.outcome;
        let row = match rows.iter().position(same) {
            Some(known) => &mut rows[known],
            None => {
                rows.push(ToActOn {
                    first: finding,
                    subjects: Vec::new(),
                    mends: Vec::new(),
                });
                let last = rows.len() - 1;
                &mut rows[last]
            }
        };
        let subject = words::subject_called(&product.design.assembly, finding.subject);
        if !row.subjects.contains(&subject) {
            row.subjects.push(subject);
        }
        let mend = finding.mend.as_deref().map(plain);
        row.mends
            .extend(mend.filter(|mend| !row.mends.contains(mend)));
    }
    rows.iter().map(ToActOn::line).collect()
}

/// What one rule found that has to be acted on.
struct ToActOn<'a> {
    first: &'a Finding,
    subjects: Vec<String>,
    mends: Vec<String>,
}

impl ToActOn<'_> {
    fn line(&self) -> Line {
        let Finding {
            id,
            outcome,
            message,
            ..
        } = self.first;
        let about = check::rule(id).map_or(message.as_str(), |rule| rule.about);
        let mends = self.mends.iter().map(|mend| format!("; mend: {mend}"));
        Line::Row(
            outcome_style(*outcome),
            words::outcome_word(*outcome),
            format!(
                "{id} ({}): {}{}",
                self.subjects.join(", "),
                plain(about),
                mends.collect::<String>()
            ),
        )
    }
}

/// What becomes of the parts of an earlier run, without the reasons.
fn since_last_run(product: &Product) -> Option<String> {
    let changes = product.changes.as_ref()?;
    let named = |is: fn(&Change) -> bool| {
        let names = changes.iter().filter(|(_, change)| is(change));
        names.map(|(name, _)| name.as_str()).collect::<Vec<_>>()
    };
    let said = |what: &str, names: Vec<&str>| {
        (!names.is_empty()).then(|| format!("{what} {}", names.join(", ")))
    };
    let all = [
        said(
            "reprint",
            named(|change| matches!(change, Change::Reprint(_))),
        ),
        said(
            "print more of",
            named(|change| matches!(change, Change::More(_))),
        ),
        said("print", named(|change| *change == Change::New)),
        said("buy", named(|change| *change == Change::Bought)),
        said(
            "keep, if its file was not edited before it was printed,",
            named(|change| *change == Change::Edited),
        ),
        match named(|change| *change == Change::Keep).len() {
            0 => None,
            kept if kept == changes.len() => Some("keep all parts".into()),
            kept => Some(format!("keep the other {kept}")),
        },
    ];
    let all: Vec<String> = all.into_iter().flatten().collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// What to print before anything else; none where nothing is known of fits.
fn first_print(product: &Product, asked: &Asked<'_>) -> Option<String> {
    let odds = product.odds.as_ref()?;
    if odds.tuned {
        return Some("done: the printer was measured, and the fits go by it".into());
    }
    let time = odds
        .quick_pieces
        .map_or(String::new(), |time| format!(", about {}", time.told()));
    Some(format!(
        "before any part, the quick test pieces{time}: netlead coupon {} --quick",
        plain(asked.kit)
    ))
}

/// Where everything else is.
fn rest(product: &Product, asked: &Asked<'_>) -> String {
    match asked.folder {
        // Of a kit that fails nothing is written.
        _ if product.fails() => format!("add {ALL}"),
        Some(_) => {
            let guide = match product.album {
                Some(_) => "guide.html",
                None => "guide.md",
            };
            format!("{guide} there (read it first), report.json; or add {ALL}")
        }
        None => format!(
            "add {ALL}; guide.md and report.json from: netlead make {}",
            plain(asked.kit)
        ),
    }
}
