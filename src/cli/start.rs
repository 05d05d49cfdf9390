//! `start PRESET [FILE]`: a kit file to begin with.

use super::presets::Preset;
use super::signals::Writing;
use super::streams;
use super::trouble::{Ending, Trouble, shown};
use std::fs::{self, File};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
A file that exists is never overwritten.

Example:
  netlead start desk-stage my-stage.toml")]
pub(super) struct Raw {
    /// Name of the preset; `netlead presets` lists them
    preset: String,
    /// File to write [default: PRESET.toml in this folder]
    file: Option<PathBuf>,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    preset: &'static Preset,
    file: PathBuf,
}

impl Request {
    /// Finds the preset and names the file.
    pub(super) fn resolve(raw: Raw) -> Result<Self, Trouble> {
        let preset = Preset::named(&raw.preset)?;
        let file = raw.file;
        Ok(Self {
            preset,
            file: file.unwrap_or_else(|| format!("{}.toml", preset.name).into()),
        })
    }
}

/// Copies the preset.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let file = &request.file;
    write_new(file, request.preset.text)?;
    let name = shown(file);
    if json {
        let told = serde_json::json!({ "preset": request.preset.name, "file": name });
        streams::json(&format!("{told}\n"))?;
    } else {
        streams::page(&format!(
            "wrote {name}\nedit it, then: netlead check {name}\n"
        ))?;
    }
    Ok(Ending::Done)
}

/// Writes a file that must not exist yet; a file that could not be filled is taken away.
fn write_new(path: &Path, text: &str) -> Result<(), Trouble> {
    if path.is_dir() {
        return Err(Trouble::new(format!("{} is a folder", shown(path)))
            .mend("name the file to write, too"));
    }
    let _writing = Writing::begin().map_err(|error| Trouble::io("write", path, &error))?;
    let mut file = File::create_new(path).map_err(|error| {
        if error.kind() == ErrorKind::AlreadyExists {
            Trouble::new(format!(
                "{} exists already and is left as it is",
                shown(path)
            ))
            .mend("name another file, or move that one away")
        } else {
            Trouble::io("write", path, &error)
        }
    })?;
    file.write_all(text.as_bytes())
        .and_then(|()| file.sync_all())
        .map_err(|error| {
            // Half a kit would be taken for a whole one; if it cannot go, the error stands.
            let removed = fs::remove_file(path);
            drop(removed);
            Trouble::io("write", path, &error)
        })
}
