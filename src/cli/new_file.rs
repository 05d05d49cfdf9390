//! A file of one's own that is begun: it is written whole, and never over another.

use super::signals::Writing;
use super::trouble::{Trouble, shown};
use std::fs::{self, File};
use std::io::{ErrorKind, Write};
use std::path::Path;

/// Writes a file that must not exist yet; a file that could not be filled is taken away.
pub(super) fn write_new(path: &Path, text: &str) -> Result<(), Trouble> {
    if path.is_dir() {
        return Err(is_folder(path));
    }
    let _writing = Writing::begin().map_err(|error| Trouble::io("write", path, &error))?;
    let mut file = File::create_new(path).map_err(|error| {
        if error.kind() == ErrorKind::AlreadyExists {
            exists(path)
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

/// Refuses a file that exists, before anything is done for it.
pub(super) fn must_be_new(path: &Path) -> Result<(), Trouble> {
    match fs::symlink_metadata(path) {
        Ok(_) if path.is_dir() => Err(is_folder(path)),
        Ok(_) => Err(exists(path)),
        Err(_) => Ok(()),
    }
}

fn exists(path: &Path) -> Trouble {
    Trouble::new(format!(
        "{} exists already and is left as it is",
        shown(path)
    ))
    .mend("name another file, or move that one away")
}

fn is_folder(path: &Path) -> Trouble {
    Trouble::new(format!("{} is a folder", shown(path))).mend("name the file to write, too")
}
