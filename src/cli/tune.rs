//! `tune FORM`, or `tune KIT --thread 3 --pin 2 --slide 3`: a profile from what was measured.

use super::printer_file::Shelf;
use super::trouble::{Ending, Trouble, shown};
use super::{broken, input, profile_file, rendered, streams};
use crate::coupon::{self, Extent};
use crate::diagnostic::Diagnostic;
use crate::kit::Kit;
use crate::layout;
use crate::making;
use crate::output::bench::tune_page::{self, KitGain};
use crate::printer::{self, Profile};
use crate::tuning::form::{self, FilledForm};
use crate::tuning::tune::{self, Tuned};
use crate::tuning::{BestStep, CaliperSize, LadderKind};
use std::path::{Path, PathBuf};

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
From a form: every reading and finding in it. From a kit: the groove counts of the tightest \
pieces of `netlead coupon KIT --quick` that go; no caliper is needed.

A profile that exists already is kept as a copy with the date.

Example:
  netlead tune out/desk-stage-coupons/form.toml
  netlead tune desk-stage.toml --thread 3 --pin 2 --slide 3")]
pub(super) struct Raw {
    /// The filled form, or the kit when counts are given
    #[arg(value_name = "FORM|KIT")]
    file: PathBuf,
    /// Grooves of the tightest ring that the plug runs through
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    thread: Option<usize>,
    /// Grooves of the tightest lying hole that takes the pin
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pin: Option<usize>,
    /// Grooves of the tightest channel in which the tongue slides
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    slide: Option<usize>,
    /// What was known of the printer before
    #[arg(long, value_name = "OLD")]
    profile: Option<PathBuf>,
    /// File to write; if not said NAME.printer.toml in this folder
    #[arg(long, value_name = "NEW")]
    out: Option<PathBuf>,
    /// Date of the print, when a kit is named: 2026-11-20
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    file: PathBuf,
    from: From,
    profile: Option<PathBuf>,
    out: Option<PathBuf>,
}

#[derive(Debug)]
enum From {
    Form,
    Counts {
        counts: [Option<usize>; 3],
        date: String,
    },
}

impl Request {
    /// Tells a form from a kit by the counts.
    pub(super) fn resolve(raw: Raw) -> Result<Self, Trouble> {
        let counts = [raw.thread, raw.pin, raw.slide];
        let from = if counts.iter().any(Option::is_some) {
            let date = raw.date.unwrap_or_default();
            if !date.is_empty() && !form::is_date(&date) {
                return Err(Trouble::new("the date is none").mend("write --date 2026-11-20"));
            }
            From::Counts { counts, date }
        } else if raw.date.is_some() {
            return Err(Trouble::new("a form has its own date").mend("write it in the form"));
        } else {
            From::Form
        };
        Ok(Self {
            file: raw.file,
            from,
            profile: raw.profile,
            out: raw.out,
        })
    }
}

/// Learns the printer.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let kind = match &request.from {
        From::Form => &input::FORM,
        From::Counts { .. } => &input::KIT,
    };
    let text = input::read(&request.file, kind)?;
    let old = match &request.profile {
        None => None,
        Some(path) => match profile_file::read(path)? {
            Ok(profile) => Some(profile),
            Err(problems) => {
                streams::tell(&problems);
                return Ok(Ending::Rejected);
            }
        },
    };
    if let From::Form = request.from
        && let Some(ending) = broken::run(&request.file, &text, (&old, &request.out), json)?
    {
        return Ok(ending);
    }
    let learnt = match &request.from {
        From::Form => by_form(&request.file, &text, old).map(|tuned| (tuned, None)),
        From::Counts { counts, date } => by_counts(&request.file, &text, *counts, date, old)?,
    };
    let (tuned, kit) = match learnt {
        Ok(learnt) => learnt,
        Err(problems) => {
            streams::tell(&problems);
            return Ok(Ending::Rejected);
        }
    };
    let default = || PathBuf::from(format!("{}.printer.toml", tuned.profile.name));
    let path = request.out.clone().unwrap_or_else(default);
    let copy = profile_file::replace(&path, &tuned.profile)?;
    if json {
        let data = tune_page::json(&tuned, kit.as_ref())
            .map_err(|error| Trouble::new(error.to_string()))?;
        streams::json(&data)?;
        return Ok(Ending::Done);
    }
    let mut page = tune_page::text(&tuned, kit.as_ref());
    page += &format!("wrote {}\n", shown(&path));
    if let Some(copy) = copy {
        page += &format!("the profile that was there is kept as {}\n", shown(&copy));
    }
    page += &format!(
        "a kit beside it uses it by: printer = \"{}\"\n",
        tuned.profile.name
    );
    streams::page(&page)?;
    Ok(Ending::Done)
}

/// Learns from a form; the problems are rendered.
fn by_form(path: &Path, text: &str, old: Option<Profile>) -> Result<Tuned, String> {
    let told = |problems: &[Diagnostic]| rendered(&shown(path), text, problems);
    let (form, mut notes) = form::read(text).map_err(|problems| told(&problems))?;
    let plate: Vec<(String, CaliperSize)> = coupon::plate_rows(form.made.layer)
        .into_iter()
        .map(|row| (row.name, row.feature))
        .collect();
    notes.extend(missing_rows(&form, &plate));
    if let Some(old) = &old {
        let differences = tune_page::other_settings(&form, old);
        notes.extend(
            differences
                .into_iter()
                .map(|what| Diagnostic::warning(what, 0..0)),
        );
    }
    let old = old.unwrap_or_else(|| tune::blank(&form));
    let tuned = tune::tune(&form, &old, &plate).map_err(|problems| told(&problems))?;
    streams::tell(&told(&notes));
    Ok(tuned)
}

/// A note on the rows of the plate that a form with readings does not have at all.
fn missing_rows(form: &FilledForm, plate: &[(String, CaliperSize)]) -> Option<Diagnostic> {
    let last = form.rows.last()?;
    let missing: Vec<&str> = plate
        .iter()
        .map(|(name, _)| name.as_str())
        .filter(|name| form.rows.iter().all(|row| row.name != *name))
        .collect();
    if missing.is_empty() {
        return None;
    }
    let message = format!("the form has no row {}", missing.join(", "));
    Some(
        Diagnostic::warning(message, last.at.clone())
            .label("rows end here")
            .mend("write the form anew with `netlead coupon KIT` to have them all"),
    )
}

/// Learns from counted grooves of a kit's quick print.
fn by_counts(
    path: &Path,
    text: &str,
    counts: [Option<usize>; 3],
    date: &str,
    old: Option<Profile>,
) -> Result<Result<Counted, String>, Trouble> {
    let name = shown(path);
    let read = match making::read(&name, text, &Shelf::of(path)) {
        Ok(read) => read,
        Err(refusal) => return broken(&refusal),
    };
    let kit = &read.kit;
    let design = match layout::design(kit, &read.profile) {
        Ok(design) => design,
        Err(problems) => return Ok(Err(rendered(&name, text, &problems))),
    };
    let coupon = coupon::coupon(kit, &design, &read.profile, &Extent::Quick)
        .map_err(|missing| Trouble::new(missing.to_string()))?;
    let mut trials: Vec<(String, BestStep)> = Vec::new();
    for ladder in &coupon.ladders {
        let (flag, count) = match ladder.kind {
            // No part of a quick print.
            LadderKind::Pocket | LadderKind::BoughtPocket => continue,
            LadderKind::Thread => ("--thread", counts[0]),
            LadderKind::Slide => ("--slide", counts[2]),
            LadderKind::PinOnRibs
            | LadderKind::BoughtPinOnRibs
            | LadderKind::PinLying
            | LadderKind::BoughtPinLying
            | LadderKind::PinUpright => ("--pin", counts[1]),
        };
        let Some(count) = count else { continue };
        let trial = ladder.trial(count).ok_or_else(|| {
            Trouble::new(format!("no step of `{}` has {count} grooves", ladder.name))
                .mend(format!("write {flag} 1 to {flag} {}", ladder.gaps.len()))
        })?;
        trials.push((ladder.name.clone(), trial));
    }
    let mut base = old.unwrap_or_else(|| read.profile.clone());
    if base.name.is_empty() || base.name == "untuned" {
        base.name = form::UNNAMED.into();
    }
    base.date = date.into();
    let tuned = tune::tune_by_trials(&trials, &base).ok_or_else(|| {
        Trouble::new("nothing was counted").mend("write --thread N, --pin N or --slide N")
    })?;
    let gain = gain(kit, &read.profile, &tuned.profile);
    Ok(Ok((tuned, gain)))
}

/// What was learnt, and what the kit gains by it.
type Counted = (Tuned, Option<KitGain>);

/// The kit's odds as it was drawn and as it is drawn now; none where no gap scatters, or where it
/// cannot be drawn with what was learnt, which `make` tells with its reasons.
fn gain(kit: &Kit, before: &Profile, now: &Profile) -> Option<KitGain> {
    let drawn = |profile: &Profile| Some(layout::design(kit, profile).ok()?.assembly);
    let odds = |assembly, profile: &Profile| printer::kit_odds(assembly, profile, printer::POINTS);
    let (old, new) = (drawn(before)?, drawn(now)?);
    let told = KitGain {
        before: odds(&old, before),
        now: odds(&new, now),
        known: odds(&new, &now.with_terms_known()),
    };
    (told.now.fits > 0).then_some(told)
}

fn broken(refusal: &making::Refusal) -> Result<Result<Counted, String>, Trouble> {
    match refusal {
        making::Refusal::Rejected(problems) => Ok(Err(problems.clone())),
        making::Refusal::Broken(what) => Err(Trouble::new(what.clone())),
    }
}
