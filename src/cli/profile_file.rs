//! Reading and replacing a profile's file; the one that is replaced is kept as a dated copy.

use super::input;
use super::signals::Writing;
use super::trouble::{Trouble, shown};
use crate::printer::Profile;
use std::fs;
use std::io::{self, ErrorKind, Write};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// How a profile's file name ends.
const ENDING: &str = ".printer.toml";
/// Mode that a new file asks for, as any program's does; the user's mask takes from it.
const SHARED: u32 = 0o666;
/// Most copies of one day.
const MOST_COPIES: usize = 1000;

/// A profile, or every problem of its text, rendered for people.
pub(super) fn read(path: &Path) -> Result<Result<Profile, String>, Trouble> {
    let text = input::read(path, &input::PROFILE)?;
    Ok(parsed(path, &text))
}

/// Writes a profile. What stands there already must be a profile, and is kept beside it under
/// the new profile's date; the path of that copy is given.
pub(super) fn replace(path: &Path, profile: &Profile) -> Result<Option<PathBuf>, Trouble> {
    let text = written(profile)?;
    let old = match fs::symlink_metadata(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => None,
        Err(error) => return Err(Trouble::io("use", path, &error)),
        Ok(_) => Some(input::read(path, &input::PROFILE)?),
    };
    // No signal comes between the copy and what takes its place.
    let _writing = Writing::begin().map_err(|error| Trouble::io("write", path, &error))?;
    let copy = match old {
        None => None,
        Some(old) if parsed(path, &old).is_err() => {
            return Err(Trouble::new(format!(
                "{} exists and is no profile; it is left as it is",
                shown(path)
            ))
            .mend("name another file with --out NEW.printer.toml"));
        }
        Some(old) => Some(keep(path, &old, &profile.date)?),
    };
    put(path, &text)?;
    Ok(copy)
}

/// Writes a copy beside a profile, named by the date: `garage.2026-11-20.printer.toml`.
fn keep(path: &Path, text: &str, date: &str) -> Result<PathBuf, Trouble> {
    if date.is_empty() {
        return Err(Trouble::new(format!(
            "{} exists, and without a date no copy of it can be named",
            shown(path)
        ))
        .mend("write the date in the form, as `date = \"2026-11-20\"`, or --date 2026-11-20"));
    }
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let name = name.unwrap_or_default();
    let stem = name.strip_suffix(ENDING).unwrap_or(&name);
    for number in 1..=MOST_COPIES {
        let again = if number == 1 {
            String::new()
        } else {
            format!("-{number}")
        };
        let copy = path.with_file_name(format!("{stem}.{date}{again}{ENDING}"));
        match put_new(&copy, text) {
            Ok(()) => return Ok(copy),
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            Err(error) => return Err(Trouble::io("write", &copy, &error)),
        }
    }
    Err(Trouble::new(format!(
        "{} has too many copies of {date}",
        shown(path)
    )))
}

/// Puts a text in place whole or not at all.
fn put(path: &Path, text: &str) -> Result<(), Trouble> {
    // A link stays a link: what it names is replaced.
    let real = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    filled(&real, text)
        .and_then(|file| file.persist(&real).map_err(|error| error.error))
        .map(drop)
        .map_err(|error| Trouble::io("write", path, &error))
}

/// Puts a text where nothing is yet, whole or not at all.
fn put_new(path: &Path, text: &str) -> io::Result<()> {
    let file = filled(path, text)?;
    file.persist_noclobber(path)
        .map(drop)
        .map_err(|error| error.error)
}

/// A neighbour that holds a text; it goes unless it is put in place.
fn filled(path: &Path, text: &str) -> io::Result<NamedTempFile> {
    let parent = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut file = tempfile::Builder::new()
        .permissions(fs::Permissions::from_mode(SHARED))
        .tempfile_in(parent)?;
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// What the first lines of a written profile say of its origin.
const MADE_BY: &str = "netlead tune";

fn parsed(path: &Path, text: &str) -> Result<Profile, String> {
    let told = |problems: &[_]| super::rendered(&shown(path), text, problems);
    Profile::from_toml(text)
        .map(|(profile, _)| profile)
        .map_err(|problems| told(&problems))
}

/// The text of a profile; values beyond what a printer does are refused.
pub(super) fn written(profile: &Profile) -> Result<String, Trouble> {
    profile.to_toml(MADE_BY).map_err(|problems| {
        let told: Vec<&str> = problems.iter().map(|p| p.message.as_str()).collect();
        Trouble::new(format!("no printer is like this: {}", told.join("; ")))
            .mend("measure again; check the rows that are furthest off")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::MetadataExt;

    #[test]
    fn a_profile_has_the_mode_of_any_new_file() {
        let room = tempfile::tempdir().unwrap();
        let mode = |name: &str| fs::metadata(room.path().join(name)).unwrap().mode();
        fs::write(room.path().join("any"), "").unwrap();
        put(&room.path().join("profile"), "").unwrap();
        assert_eq!(mode("profile"), mode("any"));
    }
}
