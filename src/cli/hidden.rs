//! Hidden neighbours: folders in which others are put together before they change places with them.
//!
//! A run that is broken off leaves at most such a neighbour, and the next run sweeps it away: a
//! lock tells a left one from one in use.

use rustix::fs::{CWD, RenameFlags, renameat_with};
use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// How the hidden neighbours begin.
const HIDDEN_PREFIX: &str = ".netlead-making-";
/// Name of the folder in the hidden one: that one is for its owner only, this one is not.
const INSIDE: &str = "whole";
/// How often a hidden neighbour is made anew when a sweep of another run takes it: guess.
const ATTEMPTS: usize = 8;

/// A hidden folder, empty but for the one inside it, and the lock that says it is in use.
/// The folder goes first when both go, so that no sweep meddles with its going.
pub(super) struct Hidden {
    folder: TempDir,
    _lock: Option<File>,
}

impl Hidden {
    /// A new one in a folder.
    pub(super) fn beside(parent: &Path) -> io::Result<Self> {
        for _ in 0..ATTEMPTS {
            let folder = tempfile::Builder::new()
                .prefix(HIDDEN_PREFIX)
                .tempdir_in(parent)?;
            // Where the file system has no locks, no sweep can take one either.
            let lock = File::open(folder.path()).and_then(|open| open.lock().map(|()| open));
            match fs::create_dir(folder.path().join(INSIDE)) {
                Ok(()) => {
                    return Ok(Self {
                        folder,
                        _lock: lock.ok(),
                    });
                }
                // Another run swept it before it was locked.
                Err(error) if error.kind() == ErrorKind::NotFound => {}
                Err(error) => return Err(error),
            }
        }
        Err(io::Error::other(
            "the hidden folder vanishes again and again",
        ))
    }

    /// The hidden folder itself, in which what stood there before may be kept until it goes.
    pub(super) fn path(&self) -> &Path {
        self.folder.path()
    }

    /// The folder that is put together.
    pub(super) fn inside(&self) -> PathBuf {
        self.folder.path().join(INSIDE)
    }
}

/// Takes away hidden neighbours that a broken-off run left; troubles with them are not ours.
pub(super) fn sweep(parent: &Path) {
    let Ok(entries) = fs::read_dir(parent) else {
        return;
    };
    for entry in entries.flatten() {
        let ours = entry
            .file_name()
            .to_string_lossy()
            .starts_with(HIDDEN_PREFIX);
        if !ours || !entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            continue;
        }
        // The lock is held until the folder is gone.
        if let Ok(folder) = File::open(entry.path())
            && folder.try_lock().is_ok()
        {
            let removed = fs::remove_dir_all(entry.path());
            drop(removed);
        }
    }
}

/// Writes a file that is not there yet, with the folders that it needs.
pub(super) fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent)?;
    }
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    // Some file systems tell of a full disk only here.
    file.sync_all()
}

/// Puts `new` at `target` in one step; what stood there ends up in `hidden`.
pub(super) fn change_places(new: &Path, target: &Path, hidden: &Path) -> io::Result<()> {
    // Succeeds where nothing or an empty folder stands.
    match fs::rename(new, target) {
        Err(error)
            if matches!(
                error.kind(),
                ErrorKind::DirectoryNotEmpty | ErrorKind::AlreadyExists
            ) => {}
        result => return result,
    }
    match renameat_with(CWD, new, CWD, target, RenameFlags::EXCHANGE) {
        // A file system that cannot exchange: two steps, the first undone if the second fails.
        Err(rustix::io::Errno::INVAL | rustix::io::Errno::NOSYS | rustix::io::Errno::NOTSUP) => {
            let old = hidden.join("old");
            fs::rename(target, &old)?;
            fs::rename(new, target).inspect_err(|_| drop(fs::rename(&old, target)))
        }
        result => result.map_err(io::Error::from),
    }
}
