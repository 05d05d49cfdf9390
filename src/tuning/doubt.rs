//! What is likely wrong with a form though its fit goes through: jaws that read low, x and y
//! swapped, two ladders swapped.
//!
//! A swap is named where the fit without it is far better: by [`SWAPPED`] of the misfit, which is
//! chi-squared where the spread is right. What no reading shows is not named: x and y swapped in
//! every row of every print give the same fit with both scales exchanged.

use super::clue::SizeKind;
use super::filled::{FilledForm, MeasuredRow};
use super::least_squares::{Observation, Spread, estimate};
use super::observed::{Named, is_end, observations, prints, rows, shown};
use crate::printer::{Known, Profile, Term};
use std::ops::Range;

/// Something that is likely wrong with a form.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubt {
    /// The inside sizes that a caliper read lie off by this from what ladders allow, with its
    /// standard error, in mm; below zero they read low.
    Inside {
        /// How far.
        off: f64,
        /// Its standard error.
        error: f64,
    },
    /// Readings along x and along y are swapped: in one of these places, which no reading tells
    /// apart.
    Axes(Vec<AxesSwapped>),
    /// The scales along x and y are those of the profile before, swapped.
    Scales,
    /// The findings of two ladders are swapped.
    Ladders {
        /// Their names.
        names: [String; 2],
        /// In which print, from 0; in all where there is none.
        print: Option<usize>,
        /// Where the first stands in the form.
        at: Range<usize>,
    },
}

/// A place where x and y look swapped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AxesSwapped {
    /// In which rows.
    pub rows: AxesRows,
    /// In which print, from 0; in all where there is none.
    pub print: Option<usize>,
}

/// Rows that are measured along an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AxesRows {
    /// `outer-x-` and `outer-y-`.
    Outer,
    /// `slot-x-` and `slot-y-`.
    Slot,
    /// All of them.
    All,
}

/// By how much the misfit must fall for a swap to be named. The difference of two misfits is normal
/// with a variance of four times its mean, so a form without fault passes 9 once in 740 at the worst
/// scales for each swap that is tried (derived, normal table).
const SWAPPED: f64 = 9.0;
/// Swaps whose misfits lie nearer to each other than this are not told apart: with odds of less than
/// 7 to 1 (exp of half of it).
const AS_GOOD: f64 = 4.0;
/// Standard errors from which on the caliper and the ladders disagree: one form in forty without
/// fault does (two-sided normal).
const DISAGREE: f64 = 2.24;
/// Prints up to which each is suspected by itself: with more, only all at once. Guess: a form of more
/// prints is not filled in one go.
const MOST_SUSPECTED: usize = 10;

impl Doubt {
    /// Where it stands in the form.
    pub fn at(&self) -> Range<usize> {
        match self {
            Self::Ladders { at, .. } => at.clone(),
            Self::Inside { .. } | Self::Axes(_) | Self::Scales => 0..0,
        }
    }

    /// What looks wrong.
    pub fn message(&self) -> String {
        match self {
            Self::Inside { off, error } => format!(
                "holes and slots read {:.3} mm {} than the ladders allow (standard error {error:.3}); \
                 the profile is between the two",
                off.abs(),
                if *off < 0.0 { "narrower" } else { "wider" }
            ),
            Self::Axes(places) => {
                let places: Vec<String> = places.iter().map(AxesSwapped::told).collect();
                format!("x and y look swapped in {}", places.join(", or in "))
            }
            Self::Scales => {
                "the scales along x and y are those of the profile before, swapped".into()
            }
            Self::Ladders { names, print, .. } => format!(
                "the counts of ladders `{}` and `{}` look swapped{}",
                names[0],
                names[1],
                print.map_or(String::new(), |print| format!(" in print {}", print + 1))
            ),
        }
    }

    /// What to do.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::Inside { off, .. } if *off < 0.0 => {
                "inside jaws read low, up to 0.06 mm in small holes: find what a hole and a slot \
                 really measure with a pin, a drill's shank or a plug that just goes in, add the \
                 difference to the slot and hole rows, and tune again"
            }
            Self::Inside { .. } => {
                "try the ladders again, the tightest step that goes; check that the inside jaws close \
                 to zero; then tune again"
            }
            Self::Axes(_) | Self::Scales => {
                "the comb with one V lies along x, the one with two along y: look at the plate, swap \
                 the readings back where they are swapped, and tune again"
            }
            Self::Ladders { .. } => "count the grooves of both again, and tune again",
        }
    }
}

impl AxesSwapped {
    fn told(&self) -> String {
        let rows = match self.rows {
            AxesRows::Outer => "the outer rows",
            AxesRows::Slot => "the slot rows",
            AxesRows::All => "all rows",
        };
        match self.print {
            None => rows.into(),
            Some(print) => format!("{rows} of print {}", print + 1),
        }
    }
}

/// Rows that look swapped, or ladders; at the most one of both, the likelier.
pub(super) fn swapped(form: &FilledForm, base: &Profile) -> Vec<Doubt> {
    let Some(now) = Misfit::of(form, base) else {
        return Vec::new();
    };
    let gain = |swapped: &FilledForm| now.gain(form, swapped, base);
    let axes: Vec<(f64, AxesSwapped)> = axes(now.prints)
        .into_iter()
        .filter_map(|place| Some((gain(&with_axes_swapped(form, place))?, place)))
        .collect();
    let ladders: Vec<(f64, Doubt)> = ladders(form, now.prints)
        .into_iter()
        .filter_map(|(doubt, swapped)| Some((gain(&swapped)?, doubt)))
        .collect();
    let most = |gains: &mut dyn Iterator<Item = f64>| gains.fold(0.0, f64::max);
    let of_axes = most(&mut axes.iter().map(|(gain, _)| *gain));
    let of_ladders = most(&mut ladders.iter().map(|(gain, _)| *gain));
    if of_axes.max(of_ladders) < SWAPPED {
        return Vec::new();
    }
    if of_axes >= of_ladders {
        let near = axes.iter().filter(|(gain, _)| *gain > of_axes - AS_GOOD);
        return vec![Doubt::Axes(near.map(|(_, place)| *place).collect())];
    }
    let likeliest = ladders.into_iter().find(|(gain, _)| *gain >= of_ladders);
    likeliest.map(|(_, doubt)| doubt).into_iter().collect()
}

/// How ill a form fits.
struct Misfit {
    misfit: f64,
    prints: usize,
}

impl Misfit {
    fn of(form: &FilledForm, base: &Profile) -> Option<Self> {
        let (misfit, _) = misfit(form, base)?;
        Some(Self {
            misfit,
            prints: prints(&observations(form)),
        })
    }

    /// By how much the misfit falls with a swap, in units of the scatter that is left; none where a
    /// bound comes or goes with it, so that the two do not compare.
    fn gain(&self, form: &FilledForm, swapped: &FilledForm, base: &Profile) -> Option<f64> {
        let bounds =
            |form: &FilledForm| observations(form).iter().filter(|one| is_end(one)).count();
        if bounds(form) != bounds(swapped) {
            return None;
        }
        let (then, freedom) = misfit(swapped, base)?;
        let scatter = (then / freedom.max(1) as f64).max(1.0);
        Some((self.misfit - then) / scatter)
    }
}

/// Misfit and degrees of freedom of all that is no bound, at the spread that was believed.
fn misfit(form: &FilledForm, base: &Profile) -> Option<(f64, usize)> {
    let mut inside = observations(form);
    inside.retain(|one| !is_end(one));
    let terms = shown(&inside);
    let rows = rows(&inside, &terms, base.within.as_mm());
    let fit = estimate(&rows, terms.len(), base.between.as_mm())?;
    Some((fit.misfit, fit.freedom))
}

fn suspects(prints: usize) -> Vec<Option<usize>> {
    let each = if prints > 1 && prints <= MOST_SUSPECTED {
        prints
    } else {
        0
    };
    std::iter::once(None).chain((0..each).map(Some)).collect()
}

/// Where x and y may be swapped and it shows.
fn axes(prints: usize) -> Vec<AxesSwapped> {
    let rows = [AxesRows::All, AxesRows::Outer, AxesRows::Slot];
    let places = rows.into_iter().flat_map(|rows| {
        let suspects = suspects(prints).into_iter();
        suspects.map(move |print| AxesSwapped { rows, print })
    });
    // All rows of all prints fit as well either way.
    let shows = |place: &AxesSwapped| place.rows != AxesRows::All || place.print.is_some();
    places.filter(shows).collect()
}

fn with_axes_swapped(form: &FilledForm, place: AxesSwapped) -> FilledForm {
    let other = |kind: SizeKind| match (kind, place.rows) {
        (SizeKind::OuterX, AxesRows::Outer | AxesRows::All) => Some(SizeKind::OuterY),
        (SizeKind::OuterY, AxesRows::Outer | AxesRows::All) => Some(SizeKind::OuterX),
        (SizeKind::SlotX, AxesRows::Slot | AxesRows::All) => Some(SizeKind::SlotY),
        (SizeKind::SlotY, AxesRows::Slot | AxesRows::All) => Some(SizeKind::SlotX),
        _ => None,
    };
    let twin = |row: &MeasuredRow| {
        let kind = other(row.feature.kind)?;
        let mut rows = form.rows.iter();
        rows.find(|one| one.feature.kind == kind && one.feature.drawn == row.feature.drawn)
    };
    let swapped = |row: &MeasuredRow| {
        let Some(twin) = twin(row) else {
            return row.clone();
        };
        let reading = |row: &MeasuredRow, print: usize| row.measured.get(print).copied().flatten();
        let measured = (0..row.measured.len().max(twin.measured.len())).map(|print| {
            let from = match place.print.is_none_or(|only| only == print) {
                true => twin,
                false => row,
            };
            reading(from, print)
        });
        MeasuredRow {
            measured: measured.collect(),
            ..row.clone()
        }
    };
    FilledForm {
        rows: form.rows.iter().map(swapped).collect(),
        ..form.clone()
    }
}

/// Every pair of ladders that may be swapped, and the form as it was meant then.
fn ladders(form: &FilledForm, prints: usize) -> Vec<(Doubt, FilledForm)> {
    let mut found = Vec::new();
    for one in 0..form.ladders.len() {
        for other in one + 1..form.ladders.len() {
            for print in suspects(prints) {
                let doubt = Doubt::Ladders {
                    names: [one, other].map(|at| form.ladders[at].name.clone()),
                    print,
                    at: form.ladders[one].at.clone(),
                };
                found.extend(with_counts_swapped(form, [one, other], print).map(|f| (doubt, f)));
            }
        }
    }
    found
}

/// None where a count is none of the other ladder's, or nothing changes.
fn with_counts_swapped(
    form: &FilledForm,
    [one, other]: [usize; 2],
    only: Option<usize>,
) -> Option<FilledForm> {
    let mut meant = form.clone();
    for print in 0..form.ladders[one].grooves.len() {
        let both = [one, other].map(|at| form.ladders[at].grooves.get(print).copied().flatten());
        let [Some(a), Some(b)] = both else { continue };
        if only.is_some_and(|only| only != print) {
            continue;
        }
        if b > form.ladders[one].gaps.len() || a > form.ladders[other].gaps.len() {
            return None;
        }
        meant.ladders[one].grooves[print] = Some(b);
        meant.ladders[other].grooves[print] = Some(a);
    }
    (meant != *form).then_some(meant)
}

/// Whether the scales are those of a measured profile before, with x and y swapped.
pub(super) fn scales_swapped(before: &Profile, now: &Profile) -> Option<Doubt> {
    let apart = [(Term::ScaleX, 1.0), (Term::ScaleY, -1.0)];
    let measured = |profile: &Profile| {
        apart
            .iter()
            .all(|(term, _)| profile.known(*term) == Known::Measured)
    };
    let difference = |profile: &Profile| profile.value(Term::ScaleX) - profile.value(Term::ScaleY);
    let variance = before.variance_of(&apart) + now.variance_of(&apart);
    if !measured(before) || !measured(now) || variance <= 0.0 {
        return None;
    }
    let square = |off: f64| off * off / variance;
    let as_told = square(difference(now) - difference(before));
    let swapped = square(difference(now) + difference(before));
    (as_told - swapped > SWAPPED).then_some(Doubt::Scales)
}

/// Whether what the caliper says of holes and slots goes with what ladders found: one more unknown,
/// by which every inside reading is off.
pub(super) fn closing(kept: &[Named], spread: Spread) -> Option<Doubt> {
    let read: Vec<Named> = kept
        .iter()
        .filter(|one| one.trial.is_none())
        .cloned()
        .collect();
    let by_caliper = shown(&read);
    let known = |one: &Named| {
        let mut terms = one.weights.iter().filter(|(_, weight)| *weight != 0.0);
        terms.all(|(term, _)| by_caliper.contains(term))
    };
    // A ladder that shows a term of its own says nothing of the caliper's.
    if !kept.iter().any(|one| one.trial.is_some() && known(one)) {
        return None;
    }
    let terms = shown(kept);
    let mut with_off: Vec<Observation> = rows(kept, &terms, spread.within);
    for (row, one) in with_off.iter_mut().zip(kept) {
        // A reading between inner faces loses with more flow.
        let inside = one.trial.is_none() && one.effect < 0.0;
        row.weights.push(f64::from(u8::from(inside)));
    }
    let fit = estimate(&with_off, terms.len() + 1, spread.between)?;
    let off = *fit.values.last()?;
    let scatter = (fit.misfit / fit.freedom.max(1) as f64).max(1.0);
    let last = terms.len();
    let error = (fit.covariance[(last, last)].max(0.0) * scatter).sqrt();
    let told = error > 0.0 && off.abs() > DISAGREE * error;
    told.then_some(Doubt::Inside { off, error })
}
