//! Reading a file that the maker names: a regular one, no longer than its kind is.
//!
//! A pipe or a device may never end, and opening one alone can wait for ever.

use super::holds::{Holds, meant};
use super::trouble::{Trouble, shown, why};
use crate::{kit, printer, trial, tuning};
use rustix::fs::OFlags;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read};
use std::os::unix::fs::OpenOptionsExt;
use std::path::Path;

/// What a file holds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kind {
    /// For messages: `a kit file`.
    what: &'static str,
    /// Most bytes. That of a text is its room's, which holds what it is given to the same.
    longest: u64,
    /// What to do about one that is too long.
    mend: &'static str,
    /// What to do about one that is not there.
    absent: &'static str,
    /// What it must not be taken for; nothing of what netlead alone reads.
    holds: Option<Holds>,
}

/// A kit.
pub(super) const KIT: Kind = Kind {
    what: "a kit file",
    longest: kit::key::LONGEST as u64,
    mend: "name the TOML file that describes the kit",
    absent: "check the path, or write a kit with `netlead start PRESET FILE`; `netlead presets` lists \
             what there is to begin with",
    holds: Some(Holds::Kit),
};
/// A printer's profile.
pub(super) const PROFILE: Kind = Kind {
    what: "a printer profile",
    longest: printer::LONGEST as u64,
    mend: "name the TOML file that describes the printer",
    absent: "check the path, or write a profile with `netlead tune`",
    holds: Some(Holds::Profile),
};
/// A filled form.
pub(super) const FORM: Kind = Kind {
    what: "a form",
    longest: tuning::form::LONGEST as u64,
    mend: "name the form.toml that `netlead coupon` wrote",
    absent: "check the path, or write a form with `netlead coupon KIT`",
    holds: Some(Holds::Form),
};
/// Measured rows.
pub(super) const ROWS: Kind = Kind {
    what: "a file of measured rows",
    longest: trial::LONGEST as u64,
    mend: "name the TOML file that holds the measured rows",
    absent: "check the path, or give the rows by --row; `netlead trial --help` has an example",
    holds: Some(Holds::Rows),
};
/// The listing of a folder that this program wrote. Guess, some hundred times a usual report.
pub(super) const LISTING: Kind = Kind {
    what: "a report",
    longest: 16 << 20,
    mend: "name another folder with --out DIR",
    absent: "check the path",
    holds: None,
};
/// Any other file in such a folder. Guess, several times a part of the finest tolerance.
pub(super) const WRITTEN: Kind = Kind {
    what: "a file of netlead",
    longest: 1 << 30,
    mend: "name another folder with --out DIR",
    absent: "check the path",
    holds: None,
};

/// The text of a file that holds what its kind does.
pub(super) fn read(path: &Path, kind: &Kind) -> Result<String, Trouble> {
    let other = |found: Holds| {
        let (message, mend) = kind.holds?.wrong(found, path);
        Some(Trouble::new(message).mend(mend))
    };
    let text = text(path, kind).map_err(|(error, message)| {
        let trouble = Trouble::new(message);
        match error {
            ErrorKind::NotFound => trouble.mend(meant(path).unwrap_or_else(|| kind.absent.into())),
            ErrorKind::IsADirectory => {
                let inside = kind.holds.and_then(|holds| holds.inside(path));
                trouble.mend(inside.unwrap_or_else(|| kind.mend.into()))
            }
            ErrorKind::FileTooLarge | ErrorKind::InvalidData => {
                let mend = match error {
                    ErrorKind::InvalidData => "save the file as UTF-8 text",
                    _ => kind.mend,
                };
                let found = Holds::by_name(path).and_then(other);
                found.unwrap_or_else(|| trouble.mend(mend))
            }
            ErrorKind::InvalidInput => trouble.mend(kind.mend),
            _ => trouble,
        }
    })?;
    let found = kind.holds.and_then(|holds| holds.instead(path, &text));
    match found.and_then(other) {
        Some(trouble) => Err(trouble),
        None => Ok(text),
    }
}

/// The text of a file, or what keeps it from being read, and which kind of thing that is.
pub(super) fn text(path: &Path, kind: &Kind) -> Result<String, (ErrorKind, String)> {
    let bytes = bytes(path, kind).map_err(|error| {
        let file = shown(path);
        let told = match error.kind() {
            ErrorKind::FileTooLarge => format!("{file} {error}"),
            ErrorKind::NotFound => format!("there is no file {file}"),
            ErrorKind::IsADirectory => format!("{file} is a folder, and {} is wanted", kind.what),
            _ => format!("cannot read {file}: {}", why(&error)),
        };
        (error.kind(), told)
    })?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let message = format!("{} is not UTF-8 text at byte {at}", shown(path));
        (ErrorKind::InvalidData, message)
    })
}

/// The bytes of a file. What grows while it is read is cut off one byte above the most.
pub(super) fn bytes(path: &Path, kind: &Kind) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = kind.longest + 1;
    opened(path, kind)?.take(most).read_to_end(&mut bytes)?;
    match bytes.len() as u64 {
        length if length < most => Ok(bytes),
        _ => Err(too_large(kind)),
    }
}

/// A file to be read, that is a regular one and not longer than its kind.
pub(super) fn opened(path: &Path, kind: &Kind) -> io::Result<File> {
    is_regular(&fs::metadata(path)?)?;
    // It may have become a pipe in between; this way not even that makes us wait.
    let nonblocking = i32::try_from(OFlags::NONBLOCK.bits()).map_err(io::Error::other)?;
    let file = File::options()
        .read(true)
        .custom_flags(nonblocking)
        .open(path)?;
    let metadata = file.metadata()?;
    is_regular(&metadata)?;
    match metadata.len() > kind.longest {
        true => Err(too_large(kind)),
        false => Ok(file),
    }
}

fn is_regular(metadata: &fs::Metadata) -> io::Result<()> {
    let kind = match (metadata.is_file(), metadata.is_dir()) {
        (true, _) => return Ok(()),
        (_, true) => ErrorKind::IsADirectory,
        _ => ErrorKind::InvalidInput,
    };
    Err(io::Error::new(kind, "it is no regular file"))
}

/// Bytes in a KiB.
const KIB: u64 = 1 << 10;

fn too_large(kind: &Kind) -> io::Error {
    let message = format!(
        "is larger than {} KiB, so it is not {}",
        kind.longest / KIB,
        kind.what
    );
    io::Error::new(ErrorKind::FileTooLarge, message)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_bytes(bytes: &[u8]) -> Result<String, Trouble> {
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), bytes).unwrap();
        read(file.path(), &KIT)
    }

    #[test]
    fn the_longest_of_every_kind_is_read_and_one_byte_more_is_refused() {
        let file = tempfile::NamedTempFile::new().unwrap();
        for kind in [KIT, PROFILE, FORM, ROWS, LISTING] {
            let longest = vec![b' '; kind.longest as usize];
            fs::write(file.path(), &longest).unwrap();
            assert!(read(file.path(), &kind).is_ok(), "{}", kind.what);
            fs::write(file.path(), [&longest[..], b" "].concat()).unwrap();
            let refusal = read(file.path(), &kind).unwrap_err().to_string();
            assert!(refusal.contains("is larger than"), "{refusal}");
            assert!(refusal.contains(kind.mend), "{refusal}");
        }
    }

    #[test]
    fn a_preset_named_as_a_file_and_a_file_without_its_ending_are_known() {
        let room = tempfile::tempdir().unwrap();
        let told = |name: &str| {
            let refusal = read(&room.path().join(name), &KIT).unwrap_err().to_string();
            refusal.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        for name in ["desk-stage", "desk-stage.toml"] {
            assert!(told(name).contains("netlead start desk-stage"), "{name}");
        }
        assert!(told("focus").contains("netlead start PRESET FILE"));
        fs::write(room.path().join("focus.toml"), "").unwrap();
        assert!(told("focus").contains("with its ending"));
    }

    #[test]
    fn text_that_is_not_utf_8_is_refused_with_the_place() {
        let refusal = read_bytes(b"name = \"\xff\"").unwrap_err();
        assert!(refusal.to_string().contains("at byte 8"));
    }

    #[test]
    fn a_named_pipe_and_an_endless_device_are_refused_at_once() {
        let room = tempfile::tempdir().unwrap();
        let pipe = room.path().join("kit.toml");
        let (mode, kind) = (rustix::fs::Mode::RUSR, rustix::fs::FileType::Fifo);
        rustix::fs::mknodat(rustix::fs::CWD, &pipe, kind, mode, 0).unwrap();
        let link = room.path().join("link.toml");
        std::os::unix::fs::symlink("/dev/zero", &link).unwrap();
        for path in [pipe.as_path(), link.as_path()] {
            let refusal = read(path, &KIT).unwrap_err();
            assert!(refusal.to_string().contains("no regular file"), "{refusal}");
        }
    }

    #[test]
    fn a_folder_is_not_read_as_a_kit() {
        assert!(read(&std::env::temp_dir(), &KIT).is_err());
    }
}
