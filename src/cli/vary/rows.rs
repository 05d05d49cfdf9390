//! Rows of a table of varied kits, worked out some at a time; those of equal shapes are drawn once.

use super::Request;
use crate::check::Outcome;
use crate::cli::printer_file::Shelf;
use crate::cli::trouble::{Trouble, shown};
use crate::diagnostic::first_message;
use crate::kit::edit;
use crate::making::{self, Begun, Pictures, Read, Refusal, Shapes, Sketch, Subject};
use crate::output::kit::Product;
use crate::output::kit::report::Report;
use crate::output::kit::sentences;
use crate::output::page::vary_table::Row;
use crate::output::words::plain;
use rayon::prelude::*;

/// Mechanisms whose shapes are kept beside those of the rows at work, the last that were drawn. Guess: a row of a
/// common kit takes some 10 MB, and of two keys it is the last that changes fastest.
const KEPT: usize = 4;

/// The text of the kit with the values of a row.
pub(super) fn edited(request: &Request, text: &str, choice: &[String]) -> Result<String, Trouble> {
    let mut edited = text.to_owned();
    for (setting, value) in request.settings.iter().zip(choice) {
        edited = edit::with_value(&edited, &setting.key, value)
            .map_err(|error| Trouble::new(error.to_string()))?;
    }
    Ok(edited)
}

/// Shapes that were drawn for earlier rows.
#[derive(Default)]
pub(super) struct Drawings(Vec<(Subject, Shapes)>);

impl Drawings {
    /// The shapes of some subjects: those that are not known are drawn, equal ones once, and of the others the
    /// oldest forgotten where there are too many.
    fn know(&mut self, subjects: &[&Subject]) -> Result<(), Refusal> {
        let mut unknown: Vec<&Subject> = Vec::new();
        for subject in subjects {
            if self.of(subject).is_none() && !unknown.contains(subject) {
                unknown.push(subject);
            }
        }
        let drawn: Vec<(Subject, Shapes)> = unknown
            .into_par_iter()
            .map(|subject| Ok((subject.clone(), subject.drawn(&|_| {})?)))
            .collect::<Result<_, Refusal>>()?;
        let wanted = |one: &Subject| subjects.contains(&one);
        let others = self.0.iter().filter(|(one, _)| !wanted(one)).count();
        let mut spare = others.saturating_sub(KEPT);
        self.0.retain(|(one, _)| {
            let forgotten = spare > 0 && !wanted(one);
            spare -= usize::from(forgotten);
            !forgotten
        });
        self.0.extend(drawn);
        Ok(())
    }

    fn of(&self, subject: &Subject) -> Option<&Shapes> {
        let mut known = self.0.iter();
        known.find_map(|(one, shapes)| (one == subject).then_some(shapes))
    }
}

/// How far a row has come.
enum Started {
    Done(Result<Box<Product>, Refusal>),
    /// Its shapes are wanted.
    Sketched(Box<Read>, Box<Sketch>, Box<Subject>),
}

/// Some rows. What one is refused for stands in it.
pub(super) fn worked(
    request: &Request,
    text: &str,
    shelf: &Shelf,
    choices: &[Vec<String>],
    drawings: &mut Drawings,
) -> Result<Vec<Row>, Trouble> {
    let started: Vec<Started> = choices
        .par_iter()
        .map(|choice| {
            let edited = edited(request, text, choice)?;
            Ok(started(request, &edited, shelf))
        })
        .collect::<Result<_, Trouble>>()?;
    let subjects = started.iter().filter_map(|one| match one {
        Started::Done(_) => None,
        Started::Sketched(_, _, subject) => Some(&**subject),
    });
    // Before the rows that share them, which could only wait for each other.
    drawings
        .know(&subjects.collect::<Vec<_>>())
        .map_err(broken)?;
    let drawings = &*drawings;
    let rows = choices.par_iter().zip(started);
    rows.map(|(choice, one)| row(choice, finished(request, one, drawings)))
        .collect()
}

fn started(request: &Request, text: &str, shelf: &Shelf) -> Started {
    let begun = making::read(&shown(&request.kit), text, shelf).and_then(|read| {
        if !request.drawn {
            let product = read.by_sizes(request.wanted)?;
            return Ok(Started::Done(Ok(Box::new(product))));
        }
        Ok(match read.begin(Pictures::None, request.wanted)? {
            Begun::Failing(product) => Started::Done(Ok(product)),
            Begun::Sketched(sketch) => {
                let subject = read.subject(&sketch);
                Started::Sketched(Box::new(read), sketch, Box::new(subject))
            }
        })
    });
    begun.unwrap_or_else(|refusal| Started::Done(Err(refusal)))
}

fn finished(
    request: &Request,
    started: Started,
    drawings: &Drawings,
) -> Result<Box<Product>, Refusal> {
    match started {
        Started::Done(product) => product,
        Started::Sketched(read, sketch, subject) => {
            let shapes = match drawings.of(&subject) {
                Some(shapes) => shapes.clone(),
                // All of them are known by now; a slip would cost time alone.
                None => subject.drawn(&|_| {})?,
            };
            let product = read.finish_with(*sketch, shapes, request.wanted)?;
            Ok(Box::new(product))
        }
    }
}

fn row(choice: &[String], worked: Result<Box<Product>, Refusal>) -> Result<Row, Trouble> {
    let row = |report, verdict| Row {
        set: choice.to_vec(),
        report,
        verdict,
    };
    match worked {
        Ok(product) => {
            let report = Report::new(&product, &[]).to_json();
            let report = report.and_then(|text| serde_json::from_str(&text));
            let report = report.map_err(|error| Trouble::new(error.to_string()))?;
            Ok(row(Some(report), verdict(&product)))
        }
        Err(Refusal::Rejected(problems)) => {
            let why = plain(&first_message(&problems));
            Ok(row(None, format!("refused: {why}")))
        }
        Err(refusal @ Refusal::Broken(_)) => Err(broken(refusal)),
    }
}

fn broken(refusal: Refusal) -> Trouble {
    Trouble::new(refusal.to_string())
}

/// What comes of a row, and what of it was judged.
fn verdict(product: &Product) -> String {
    let fails = product.findings.iter();
    let fails = fails.filter(|finding| finding.outcome == Outcome::Fail);
    let mut ids: Vec<&str> = fails.map(|finding| finding.id).collect();
    ids.dedup();
    let but = sentences::reservations(product);
    match (ids.is_empty(), product.is_drawn()) {
        (true, true) => format!("ready{but}"),
        (true, false) => format!("nothing fails so far{but}, meshes not judged"),
        (false, true) => format!("fails {}", ids.join(", ")),
        (false, false) => format!("fails {}, meshes not judged", ids.join(", ")),
    }
}
