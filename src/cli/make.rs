//! `make KIT`: parts, bill, guide and report in one folder, whole or not at all.

use super::folder::{self, Folder};
use super::printer_file::Shelf;
use super::reprint::Reprint;
use super::streams::{self, Progress};
use super::trouble::{Ending, Trouble, shown};
use super::{check, input};
use crate::making;
use crate::output::formats::KIT;
use crate::output::kit::changes::Earlier;
use crate::output::page::digest::Asked;
use crate::output::page::terminal::{self, Extent};
use std::path::{Path, PathBuf};

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
The folder is replaced only if netlead wrote it and nothing else lies in it. Files that you \
edited in it are kept beside it, in DIR-edited. If a check \
fails, nothing is written and the exit code is 1. The page is a digest of one screen; --all prints \
motion, forces, bill, fits, checks and steps too, which the guide has as well.

Example:
  netlead make desk-stage.toml --out prints/stage")]
pub(super) struct Raw {
    /// The TOML file that describes the kit
    kit: PathBuf,
    /// Folder to write; if not said out/NAME, after the kit's name
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write the pictures of the guide as files too, into the folder pictures
    #[arg(long, conflicts_with = "no_pictures")]
    pictures: bool,
    /// Leave the pictures out, and guide.html with them; guide.md stays
    #[arg(long)]
    no_pictures: bool,
    /// Beds of that alone which is printed again: changed (against what stands in the folder), or parts
    #[arg(long, value_name = "PARTS")]
    reprint: Option<String>,
    /// Make the bench aids too: what pins are pressed on, and a gauge, into the folder bench
    #[arg(long)]
    bench: bool,
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
    out: Destination,
    strict: bool,
    bench: bool,
    extent: Extent,
    pictures: Where,
    reprint: Option<Reprint>,
}

/// Where pictures go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Where {
    /// Nowhere.
    Nowhere,
    /// Into the page of the guide.
    InTheGuide,
    /// There, and into files of their own.
    AsFilesToo,
}

#[derive(Debug)]
enum Destination {
    /// A folder that the maker names.
    Named(PathBuf),
    /// One named after the kit.
    ByName,
}

/// The folder in which folders are made by default, beside the maker's feet.
pub(super) const DEFAULT_PARENT: &str = "out";

impl From<Raw> for Request {
    fn from(raw: Raw) -> Self {
        Self {
            kit: raw.kit,
            out: raw.out.map_or(Destination::ByName, Destination::Named),
            strict: raw.strict,
            bench: raw.bench,
            extent: check::extent(raw.all),
            reprint: raw.reprint.as_deref().map(Reprint::typed),
            pictures: match (raw.no_pictures, raw.pictures) {
                (true, _) => Where::Nowhere,
                (false, false) => Where::InTheGuide,
                (false, true) => Where::AsFilesToo,
            },
        }
    }
}

/// Makes a kit.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let progress = Progress::on_stderr();
    let text = input::read(&request.kit, &input::KIT)?;
    // A folder that may not be replaced is told before the work, not after it.
    let named = match &request.out {
        Destination::Named(path) => Some(Folder::at(path, KIT.mark())?),
        Destination::ByName => None,
    };
    let read = match making::read(&shown(&request.kit), &text, &Shelf::of(&request.kit)) {
        Ok(read) => read,
        Err(refusal) => return check::refused(&refusal),
    };
    streams::tell(&read.remarks);
    let path = match &request.out {
        Destination::Named(path) => path.clone(),
        Destination::ByName => {
            Path::new(DEFAULT_PARENT).join(folder::fit_name(&read.kit.name.value))
        }
    };
    let target = match named {
        Some(named) => named,
        None => Folder::at(&path, KIT.mark())?,
    };
    let earlier = target
        .earlier()
        .and_then(|(report, edited)| Earlier::read(report, edited.iter().cloned()));
    let drawn = match request.pictures {
        Where::Nowhere => making::Pictures::None,
        Where::InTheGuide | Where::AsFilesToo => making::Pictures::Drawn,
    };
    let mut product = match read.judge_and_draw(drawn, &|what| progress.say(what)) {
        Ok(product) => product,
        Err(refusal) => return check::refused(&refusal),
    };
    read.cost_of_tuning(&mut product);
    if request.strict {
        product.hold_to_warnings();
    }
    if product.fails() {
        if target.earlier().is_some() {
            let kept = format!("{} still holds the parts of an earlier run", shown(&path));
            streams::note(Some(kept));
        }
        return check::show(&read, &product, &shown(&request.kit), request.extent, json);
    }
    if request.bench
        && let Err(refusal) = read.aids(&mut product, &|what| progress.say(what))
    {
        return check::refused(&refusal);
    }
    read.what_gaps_shape(&mut product);
    if let Some(album) = &mut product.album {
        album.as_files = request.pictures == Where::AsFilesToo;
    }
    product.changes = earlier.and_then(|earlier| earlier.changes(&product));
    if let Some(reprint) = &request.reprint {
        reprint.lay(&read, &mut product, &path)?;
    }
    let made = KIT
        .write(&product)
        .map_err(|error| Trouble::new(error.to_string()))?;
    progress.say("writing");
    streams::note(target.replace(&made)?);
    streams::tell(&read.idle_waivers(&product));
    if json {
        streams::json(&String::from_utf8_lossy(KIT.listing(&made)))?;
    } else {
        let (kit, folder) = (shown(&request.kit), shown(&path));
        let asked = Asked {
            kit: &kit,
            folder: Some(&folder),
        };
        streams::page(&terminal::page(&product, &asked, request.extent))?;
    }
    Ok(Ending::Done)
}
