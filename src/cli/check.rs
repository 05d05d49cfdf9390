//! `check KIT`: what would go wrong, with nothing written.

use super::input;
use super::printer_file::Shelf;
use super::savings;
use super::streams::{self, Progress};
use super::trouble::{Ending, Trouble, shown};
use crate::making::{self, Read, Refusal};
use crate::output::kit::Product;
use crate::output::kit::report::Report;
use crate::output::page::digest::Asked;
use crate::output::page::savings::section;
use crate::output::page::terminal::{self, Extent};
use std::path::PathBuf;

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Prints a digest of one screen: whether to print or what to mend first, what fails or warns, hours \
and grams, what to print first, net lead and lost motion. --all prints motion, forces, fits and every \
check that is not a pass too. The exit code is 1 if a check fails. `netlead rules` says what is judged.

Example:
  netlead check desk-stage.toml --json")]
pub(super) struct Raw {
    /// The TOML file that describes the kit
    kit: PathBuf,
    /// Let warnings fail
    #[arg(long)]
    strict: bool,
    /// Print all of it, not the digest alone
    #[arg(long)]
    all: bool,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    kit: PathBuf,
    strict: bool,
    extent: Extent,
}

/// What of the page an option asks for.
pub(super) fn extent(all: bool) -> Extent {
    match all {
        true => Extent::All,
        false => Extent::Digest,
    }
}

impl From<Raw> for Request {
    fn from(raw: Raw) -> Self {
        let Raw { kit, strict, all } = raw;
        Self {
            kit,
            strict,
            extent: extent(all),
        }
    }
}

/// Judges a kit.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let text = input::read(&request.kit, &input::KIT)?;
    let read = match making::read(&shown(&request.kit), &text, &Shelf::of(&request.kit)) {
        Ok(read) => read,
        Err(refusal) => return refused(&refusal),
    };
    streams::tell(&read.remarks);
    let progress = Progress::on_stderr();
    match read.judge(&|what| progress.say(what)) {
        Ok(mut product) => {
            read.cost_of_tuning(&mut product);
            if request.strict {
                product.hold_to_warnings();
            }
            let kit = shown(&request.kit);
            let ending = show(&read, &product, &kit, request.extent, json)?;
            if request.extent == Extent::All && !json {
                let shelf = Shelf::of(&request.kit);
                let savings = savings::of(&text, &kit, &shelf, &product);
                streams::page(&section(&savings))?;
            }
            Ok(ending)
        }
        Err(refusal) => refused(&refusal),
    }
}

/// Prints a product of which nothing was written.
pub(super) fn show(
    read: &Read,
    product: &Product,
    kit: &str,
    extent: Extent,
    json: bool,
) -> Result<Ending, Trouble> {
    if json {
        let report = Report::new(product, &[]).to_json();
        streams::json(&report.map_err(|error| Trouble::new(error.to_string()))?)?;
    } else {
        let asked = Asked { kit, folder: None };
        streams::page(&terminal::page(product, &asked, extent))?;
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
