//! What stands in a folder that is to be replaced: nothing, ours, or anyone else's.
//!
//! A file counts as ours when its name is one that we would write and its digest is the one that our
//! record gives it. No claim in the folder is taken for more: a record that was edited is none, and
//! a file of which the record knows nothing is the maker's.

use super::input;
use super::trouble::shown;
use crate::output::format::FolderMark;
use crate::output::record::{Record, digest_of};
use serde::Deserialize;
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::Path;

/// Files that desktops leave in every folder they show; nobody misses them.
const LITTER: [&str; 4] = [".DS_Store", "Thumbs.db", "desktop.ini", ".directory"];

/// What stands in a folder.
#[derive(Debug)]
pub(super) enum Standing {
    /// Nothing, or nothing that anyone misses.
    Empty,
    /// A folder that was written before.
    Ours {
        /// The file that lists all others.
        listing: Vec<u8>,
        /// Files that were edited since, by name.
        edited: Vec<String>,
    },
    /// What must not be replaced, and why.
    Foreign(String),
}

impl Standing {
    /// What stands in a folder that there is, held against the mark of what may replace it.
    pub(super) fn of(folder: &Path, mark: &FolderMark) -> io::Result<Self> {
        let Some(listing) = listing(folder, mark) else {
            // Not walked through: it could be anyone's whole home.
            return Ok(match is_empty(folder)? {
                true => Self::Empty,
                false => Self::Foreign("exists, and this command did not write it".into()),
            });
        };
        let record = Record::read(&listing);
        let mut edited = Vec::new();
        for name in all_files(folder)? {
            match origin(folder, &name, mark, record.as_ref()) {
                Origin::Written => {}
                // It is hours of measuring, and belongs to the pieces beside it.
                Origin::Edited if mark.is_to_be_filled(&name) => {
                    let name = shown(Path::new(&name));
                    let why = format!("holds {name}, which you have filled in");
                    return Ok(Self::Foreign(why));
                }
                Origin::Edited => edited.push(name),
                Origin::Foreign => {
                    let name = shown(Path::new(&name));
                    let why = format!("holds {name}, which netlead did not write");
                    return Ok(Self::Foreign(why));
                }
            }
        }
        Ok(Self::Ours { listing, edited })
    }
}

enum Origin {
    Written,
    Edited,
    Foreign,
}

/// Where a file of a folder of ours comes from.
fn origin(folder: &Path, name: &str, mark: &FolderMark, record: Option<&Record>) -> Origin {
    let now = || {
        let opened = input::opened(&folder.join(name), &input::WRITTEN).ok()?;
        digest_of(opened).ok()
    };
    match (mark.owns(name), record) {
        (false, _) => Origin::Foreign,
        // What was recorded can no longer be told; then nothing of it is thrown away.
        (true, None) => Origin::Edited,
        // Its seal has been held against it.
        (true, Some(_)) if name == mark.listing => Origin::Written,
        (true, Some(record)) => match (record.of(name), now()) {
            (Some(written), Some(now)) if written == now => Origin::Written,
            (Some(_), Some(_)) => Origin::Edited,
            _ => Origin::Foreign,
        },
    }
}

/// The listing in a folder of ours; `None` if it is not ours.
fn listing(folder: &Path, mark: &FolderMark) -> Option<Vec<u8>> {
    #[derive(Deserialize)]
    struct Schema {
        schema: String,
    }
    let listing = input::bytes(&folder.join(mark.listing), &input::LISTING).ok()?;
    let Schema { schema } = serde_json::from_slice(&listing).ok()?;
    schema.starts_with(mark.family).then_some(listing)
}

/// Whether nothing but litter lies in a folder.
fn is_empty(folder: &Path) -> io::Result<bool> {
    for entry in fs::read_dir(folder)? {
        if !LITTER.contains(&entry?.file_name().to_string_lossy().as_ref()) {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Every file below a folder, relative to it with `/` between; empty folders do not count,
/// nor does litter. Links are not followed.
fn all_files(folder: &Path) -> io::Result<BTreeSet<String>> {
    let mut found = BTreeSet::new();
    let mut waiting = vec![(folder.to_path_buf(), String::new())];
    while let Some((path, prefix)) = waiting.pop() {
        for entry in fs::read_dir(path)? {
            let entry = entry?;
            let file_name = entry.file_name();
            let name = file_name.to_string_lossy();
            if entry.file_type()?.is_dir() {
                waiting.push((entry.path(), format!("{prefix}{name}/")));
            } else if !LITTER.contains(&name.as_ref()) {
                found.insert(format!("{prefix}{name}"));
            }
        }
    }
    Ok(found)
}
