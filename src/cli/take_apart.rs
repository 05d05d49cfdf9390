//! `take-apart KIT`: how a kit comes apart, with nothing written.

use super::check::refused;
use super::input;
use super::printer_file::Shelf;
use super::streams::{self, Progress};
use super::trouble::{Ending, Trouble, shown};
use crate::making;
use crate::output::page::take_apart;
use crate::sequence::Order;
use std::path::PathBuf;

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Prints what is taken away, one after the other, until the frame is left, and what each had to \
wait for. It is found on the meshes and proved; read from the end it is the order of assembly. \
The exit code is 1 if the kit does not come apart.

Example:
  netlead take-apart desk-stage.toml --json")]
pub(super) struct Raw {
    /// The TOML file that describes the kit
    kit: PathBuf,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    kit: PathBuf,
}

impl From<Raw> for Request {
    fn from(raw: Raw) -> Self {
        Self { kit: raw.kit }
    }
}

/// Takes a kit apart.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let text = input::read(&request.kit, &input::KIT)?;
    let read = match making::read(&shown(&request.kit), &text, &Shelf::of(&request.kit)) {
        Ok(read) => read,
        Err(refusal) => return refused(&refusal),
    };
    streams::tell(&read.remarks);
    let progress = Progress::on_stderr();
    let product = match read.work(&|what| progress.say(what)) {
        Ok(product) => product,
        Err(refusal) => return refused(&refusal),
    };
    if json {
        let data = take_apart::json(&product);
        streams::json(&data.map_err(|error| Trouble::new(error.to_string()))?)?;
    } else {
        streams::page(&take_apart::page(&product))?;
    }
    Ok(match product.order {
        Some(Order::Apart { .. }) => Ending::Done,
        _ => Ending::Rejected,
    })
}
