//! `check KIT`: what would go wrong, with nothing written.

use super::input;
use super::pipeline::{self, Read, Refusal};
use super::printer_file::Shelf;
use super::streams::{self, Progress};
use super::trouble::{Ending, Trouble, shown};
use crate::output::kit::Product;
use crate::output::kit::report::Report;
use crate::output::page::terminal;
use std::path::PathBuf;

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Prints motion, fits, and everything that is not a pass with its mend; the last line says \
whether to print, or what to mend first. The exit code is 1 if a check fails. `netlead rules` \
says what is judged.

Example:
  netlead check desk-stage.toml --json")]
pub(super) struct Raw {
    /// The TOML file that describes the kit
    kit: PathBuf,
    /// Let warnings fail
    #[arg(long)]
    strict: bool,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    kit: PathBuf,
    strict: bool,
}

impl From<Raw> for Request {
    fn from(raw: Raw) -> Self {
        let Raw { kit, strict } = raw;
        Self { kit, strict }
    }
}

/// Judges a kit.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let text = input::read(&request.kit, &input::KIT)?;
    let read = match pipeline::read(&shown(&request.kit), &text, &Shelf::of(&request.kit)) {
        Ok(read) => read,
        Err(refusal) => return refused(&refusal),
    };
    streams::tell(&read.remarks);
    let progress = Progress::on_stderr();
    match read.work(&|what| progress.say(what)) {
        Ok(mut product) => {
            read.cost_of_tuning(&mut product);
            if request.strict {
                product.hold_to_warnings();
            }
            show(&read, &product, json)
        }
        Err(refusal) => refused(&refusal),
    }
}

/// Prints a product of which nothing was written.
pub(super) fn show(read: &Read, product: &Product, json: bool) -> Result<Ending, Trouble> {
    if json {
        let report = Report::new(product, &[]).to_json();
        streams::json(&report.map_err(|error| Trouble::new(error.to_string()))?)?;
    } else {
        streams::page(&terminal::page(product, None))?;
    }
    streams::tell(&read.idle_waivers(product));
    // The page has told them all; then the place of the one to mend first is enough.
    streams::tell(&read.failures(product, !json));
    Ok(if product.fails() {
        Ending::Rejected
    } else {
        Ending::Done
    })
}

/// Tells why there is no product.
pub(super) fn refused(refusal: &Refusal) -> Result<Ending, Trouble> {
    match refusal {
        Refusal::Rejected(problems) => {
            streams::tell(problems);
            Ok(Ending::Rejected)
        }
        Refusal::Broken(what) => Err(Trouble::new(what.clone())),
    }
}
