//! `start PRESET [FILE]`: a kit file to begin with. `start --plain KIT [FILE]`: the plain screw of a
//! kit, to stand beside it.

use super::check::refused;
use super::input;
use super::new_file::write_new;
use super::presets::Preset;
use super::printer_file::Shelf;
use super::streams;
use super::trouble::{Ending, Trouble, shown};
use crate::kit;
use crate::making;
use std::path::{Path, PathBuf};

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
A file that exists is never overwritten.

Example:
  netlead start desk-stage my-stage.toml
  netlead start --plain my-stage.toml    writes my-stage-plain.toml: its drive
                                         screw alone, to stand beside it")]
pub(super) struct Raw {
    /// Name of the preset; `netlead presets` lists them
    preset: String,
    /// File to write; if not said PRESET.toml in this folder, or KIT-plain.toml beside the kit
    file: Option<PathBuf>,
    /// Take PRESET for the kit file of a differential screw, and write the plain screw of it: the
    /// same drive thread and stroke, alone in a single layout
    #[arg(long)]
    plain: bool,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    origin: Origin,
    file: PathBuf,
}

/// What the new file is made of.
#[derive(Debug)]
enum Origin {
    Preset(&'static Preset),
    /// The kit whose plain screw is wanted.
    PlainOf(PathBuf),
}

impl Request {
    /// Finds the preset and names the file.
    pub(super) fn resolve(raw: Raw) -> Result<Self, Trouble> {
        let file = raw.file;
        if raw.plain {
            let kit = PathBuf::from(raw.preset);
            let beside = || {
                let stem = kit.file_stem().map(|stem| stem.to_string_lossy());
                kit.with_file_name(format!("{}-plain.toml", stem.unwrap_or_default()))
            };
            return Ok(Self {
                file: file.unwrap_or_else(beside),
                origin: Origin::PlainOf(kit),
            });
        }
        let preset = Preset::named(&raw.preset)?;
        Ok(Self {
            origin: Origin::Preset(preset),
            file: file.unwrap_or_else(|| format!("{}.toml", preset.name).into()),
        })
    }
}

/// The text of the plain kit of a file, or how it ended without one.
fn plain(path: &Path) -> Result<Result<String, Ending>, Trouble> {
    let text = input::read(path, &input::KIT)?;
    let read = match making::read(&shown(path), &text, &Shelf::of(path)) {
        Ok(read) => read,
        Err(refusal) => return refused(&refusal).map(Err),
    };
    let plain = kit::plain_of(&text, &read.kit);
    let plain = plain.map_err(|why| Trouble::new(why.to_string()))?;
    plain.map(Ok).ok_or_else(|| {
        let already = format!("{} is a plain screw already", shown(path));
        Trouble::new(already).mend("name the kit of a differential screw")
    })
}

/// Writes the kit to begin with.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let file = &request.file;
    let (text, from) = match &request.origin {
        Origin::Preset(preset) => (
            preset.text.to_owned(),
            ["preset", preset.name].map(String::from),
        ),
        Origin::PlainOf(kit) => match plain(kit)? {
            Ok(text) => (text, ["plain_of".to_owned(), shown(kit)]),
            Err(ending) => return Ok(ending),
        },
    };
    write_new(file, &text)?;
    let name = shown(file);
    if json {
        let [key, value] = from;
        let told = serde_json::json!({ key: value, "file": name });
        streams::json(&format!("{told}\n"))?;
    } else {
        streams::page(&format!(
            "wrote {name}\nedit it, then: netlead check {name}\n"
        ))?;
    }
    Ok(Ending::Done)
}
