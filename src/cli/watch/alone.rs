//! One watch on one kit: a second one is told where the first one shows it.
//!
//! The mark is a lock on a file in the user's own folder for running programs, never beside the kit. The system
//! lets go of a lock when its program ends, however it ends, so a mark that was left behind stands in nobody's way.

use crate::cli::trouble::{Trouble, shown};
use rustix::process::geteuid;
use sha2::{Digest, Sha256};
use std::env;
use std::fs::{self, DirBuilder, File, TryLockError};
use std::io::{self, Read, Write};
use std::os::unix::fs::{DirBuilderExt, MetadataExt, OpenOptionsExt};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

/// Most bytes of an address.
const LONGEST: u64 = 256;
/// How often, and after how long each, the first one's address is looked for: it writes it down as soon as it
/// serves. Guess.
const LOOKS: u32 = 20;
const LOOK: Duration = Duration::from_millis(25);
/// Ports that anyone may take, from this one on, and how many: RFC 6335, section 6, dynamic ports (from
/// memory).
const FIRST_PORT: u16 = 49_152;
const PORTS: u16 = 16_384;

/// While there is one, a kit is this program's to watch.
#[derive(Debug)]
pub(super) struct Alone {
    /// None where there is no place for a mark.
    mark: Option<(File, PathBuf)>,
    port: u16,
}

impl Alone {
    /// Takes a kit.
    ///
    /// # Errors
    /// Another one has it.
    pub(super) fn on(kit: &Path) -> Result<Self, Trouble> {
        let whole = fs::canonicalize(kit).map_err(|error| Trouble::io("find", kit, &error))?;
        let digest = Sha256::digest(whole.as_os_str().as_encoded_bytes());
        let port = FIRST_PORT + u16::from_be_bytes([digest[0], digest[1]]) % PORTS;
        let name: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
        // Who has no such folder has no second one that knows of the first.
        let Some(folder) = folder().ok() else {
            return Ok(Self { mark: None, port });
        };
        let path = folder.join(format!("watch-{name}"));
        match locked(&path) {
            Ok(file) => Ok(Self {
                mark: Some((file, path)),
                port,
            }),
            Err(TryLockError::WouldBlock) => Err(taken(kit, &path)),
            Err(TryLockError::Error(_)) => Ok(Self { mark: None, port }),
        }
    }

    /// The port on which its page is served if it is free: the same each time, so that a page that is still open goes on.
    pub(super) fn port(&self) -> u16 {
        self.port
    }

    /// Says where its page is.
    pub(super) fn tell(&mut self, address: &str) {
        if let Some((file, _)) = &mut self.mark {
            // A second one then says that there is a first one, and not where.
            let written = file.write_all(address.as_bytes());
            drop(written);
        }
    }
}

impl Drop for Alone {
    fn drop(&mut self) {
        if let Some((_, path)) = &self.mark {
            // One that stays is in nobody's way.
            drop(fs::remove_file(path));
        }
    }
}

/// The mark's file, locked. One that was taken away by its owner meanwhile is made anew.
fn locked(path: &Path) -> Result<File, TryLockError> {
    loop {
        let file = File::options()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .mode(0o600)
            .open(path)
            .map_err(TryLockError::Error)?;
        file.try_lock()?;
        let own = file.metadata().map_err(TryLockError::Error)?;
        if fs::metadata(path).is_ok_and(|there| there.ino() == own.ino()) {
            file.set_len(0).map_err(TryLockError::Error)?;
            return Ok(file);
        }
    }
}

/// That another one watches the kit, and where.
fn taken(kit: &Path, mark: &Path) -> Trouble {
    let address = (0..LOOKS).find_map(|look| {
        if look > 0 {
            thread::sleep(LOOK);
        }
        told(mark).ok().filter(|address| !address.is_empty())
    });
    let at = address.map_or(String::new(), |address| format!(", at {address}"));
    Trouble::new(format!("{} is watched already{at}", shown(kit)))
        .mend("open its page in a browser, or end the other one with Ctrl-C in its terminal")
}

fn told(mark: &Path) -> io::Result<String> {
    let mut text = String::new();
    let file = File::open(mark)?;
    file.take(LONGEST).read_to_string(&mut text)?;
    Ok(text)
}

/// A folder of the user's own: `netlead` in `$XDG_RUNTIME_DIR` (the XDG Base Directory Specification, version
/// 0.8, where relative paths count for nothing), else one with the user's number among temporary files.
fn folder() -> io::Result<PathBuf> {
    let own = geteuid().as_raw();
    let set = env::var_os("XDG_RUNTIME_DIR").map(PathBuf::from);
    let folder = match set.filter(|folder| folder.is_absolute()) {
        Some(folder) => folder.join("netlead"),
        None => env::temp_dir().join(format!("netlead-{own}")),
    };
    match DirBuilder::new().mode(0o700).create(&folder) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => return Err(error),
        Ok(()) | Err(_) => {}
    }
    // Among temporary files anyone may have made one of that name.
    let found = fs::symlink_metadata(&folder)?;
    match found.is_dir() && found.uid() == own && found.mode() & 0o077 == 0 {
        true => Ok(folder),
        false => Err(io::Error::other("it is somebody else's")),
    }
}
