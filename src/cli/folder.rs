//! A folder that appears whole or not at all, and never takes the place of anyone's work.
//!
//! The files go into a hidden neighbour first, which then changes places with the folder in
//! one step, so that nobody ever sees half of it. A run that is broken off leaves at most that
//! neighbour, and the next run sweeps it away: a lock tells a left one from one in use.

use super::kit_file;
use super::trouble::{Trouble, shown};
use crate::output::bench::coupon_list::{LIST, LIST_FAMILY};
use crate::output::file::{OutFile, REPORT};
use crate::output::kit::report::SCHEMA_FAMILY;
use rustix::fs::{CWD, RenameFlags, renameat_with};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Component, Path, PathBuf};
use tempfile::TempDir;

/// How the hidden neighbours begin.
const HIDDEN_PREFIX: &str = ".netlead-making-";
/// Name of the folder in the hidden one: that one is for its owner only, this one is not.
const INSIDE: &str = "whole";
/// Files that desktops leave in every folder they show; nobody misses them.
const LITTER: [&str; 4] = [".DS_Store", "Thumbs.db", "desktop.ini", ".directory"];
/// Bytes beyond which a file is not taken for one of ours, so that an endless one never fills the
/// memory: guess, several times a part of the finest tolerance.
const LARGEST_FILE: u64 = 1 << 30;
/// How often a hidden neighbour is made anew when a sweep of another run takes it: guess.
const ATTEMPTS: usize = 8;
/// Letters of a folder's name: guess, far below the 255 bytes of usual file systems.
const NAME_LETTERS: usize = 48;

/// A place for a folder of ours: nothing there yet, an empty folder, or one we wrote.
#[derive(Clone, Debug)]
pub(super) struct Folder {
    /// As the maker said it.
    shown: String,
    /// Where it really is, links followed.
    real: PathBuf,
    /// How the schema of a report begins that makes a folder ours to replace.
    family: &'static str,
}

impl Folder {
    /// Looks whether a kit's folder may stand there.
    pub(super) fn at(path: &Path) -> Result<Self, Trouble> {
        Self::of_family(path, SCHEMA_FAMILY)
    }

    /// Looks whether a folder whose report has a schema of this family may stand there.
    pub(super) fn of_family(path: &Path, family: &'static str) -> Result<Self, Trouble> {
        let real = match fs::symlink_metadata(path) {
            // Follows a link, so that the folder is replaced and not the link to it.
            Ok(_) => fs::canonicalize(path).map_err(|e| Trouble::io("use", path, &e))?,
            Err(error) if error.kind() == ErrorKind::NotFound => path.to_path_buf(),
            Err(error) => return Err(Trouble::io("use", path, &error)),
        };
        let folder = Self {
            shown: shown(path),
            real,
            family,
        };
        folder.examine()?;
        Ok(folder)
    }

    /// Bytes of a file in it; `None` if there is none, or if its name leads out of the folder.
    pub(super) fn read(&self, name: &str) -> Option<Vec<u8>> {
        let inside = Path::new(name)
            .components()
            .all(|part| matches!(part, Component::Normal(_)));
        inside
            .then(|| bytes_of_ours(&self.real.join(name)))
            .flatten()
    }

    /// Puts the files there, whole or not at all.
    pub(super) fn replace(&self, files: &[OutFile]) -> Result<(), Trouble> {
        let parent = match self.real.parent() {
            Some(parent) if parent.as_os_str().is_empty() => Path::new("."),
            Some(parent) => parent,
            None => return Err(self.refusal("is the root of all folders")),
        };
        fs::create_dir_all(parent).map_err(|e| Trouble::io("make folder", parent, &e))?;
        sweep(parent);
        let hidden = Hidden::beside(parent).map_err(|e| Trouble::io("write into", parent, &e))?;
        let inside = hidden.folder.path().join(INSIDE);
        for file in files {
            let path = inside.join(&file.path);
            write(&path, &file.bytes).map_err(|error| {
                Trouble::new(format!(
                    "cannot write {} of {}: {error}; nothing was changed",
                    file.path, self.shown
                ))
            })?;
        }
        // The maker may have put something there in the meantime.
        self.examine()?;
        change_places(&inside, &self.real, hidden.folder.path())
            .map_err(|e| Trouble::io("put in place", &self.real, &e))
        // What stood there before goes with the hidden neighbour.
    }

    /// Refuses whatever is not ours to replace.
    fn examine(&self) -> Result<(), Trouble> {
        let metadata = match fs::metadata(&self.real) {
            Ok(metadata) => metadata,
            Err(error) if error.kind() == ErrorKind::NotFound => {
                return match self.real.file_name() {
                    Some(_) => Ok(()),
                    None => Err(self.refusal("does not end in the name of a folder")),
                };
            }
            Err(error) => return Err(Trouble::io("use", &self.real, &error)),
        };
        if !metadata.is_dir() {
            return Err(self.refusal("is a file"));
        }
        let here = std::env::current_dir().and_then(fs::canonicalize);
        if here.is_ok_and(|here| here.starts_with(&self.real)) {
            // The one who stands in it would be left in a folder that is gone.
            return Err(self.refusal("is the folder you work in, or one around it"));
        }
        let trouble = |error: io::Error| Trouble::io("read", &self.real, &error);
        let Some(manifest) = manifest(&self.real, self.family) else {
            // Not walked through: it could be anyone's whole home.
            return if is_empty(&self.real).map_err(trouble)? {
                Ok(())
            } else {
                Err(self.refusal("exists, and this command did not write it"))
            };
        };
        for (file, text) in &manifest.as_written {
            // A form that the maker filled in is hours of measuring.
            let path = self.real.join(file);
            let gone = fs::symlink_metadata(&path).is_err();
            if !gone && bytes_of_ours(&path).as_deref() != Some(text.as_bytes()) {
                let file = shown(Path::new(file));
                return Err(self.refusal(&format!("holds {file}, which you have filled in")));
            }
        }
        let found = all_files(&self.real).map_err(trouble)?;
        match found
            .into_iter()
            .find(|file| !manifest.files.contains(file))
        {
            Some(other) => Err(self.refusal(&format!(
                "holds {}, which netlead did not write",
                shown(Path::new(&other))
            ))),
            None => Ok(()),
        }
    }

    fn refusal(&self, why: &str) -> Trouble {
        Trouble::new(format!("{} {why}; it is left as it is", self.shown))
            .mend("move that away, or name another folder with --out DIR")
    }
}

/// A kit's name as that of a folder: lower-case letters and digits, hyphens between, never
/// empty, never hidden, never a path.
pub(super) fn fit_name(name: &str) -> String {
    let letters: String = name
        .to_lowercase()
        .chars()
        .map(|letter| {
            if letter.is_alphanumeric() {
                letter
            } else {
                ' '
            }
        })
        .collect();
    let words = letters.split_whitespace().collect::<Vec<_>>().join("-");
    let short: String = words.chars().take(NAME_LETTERS).collect();
    match short.trim_end_matches('-') {
        "" => "kit".into(),
        fit => fit.into(),
    }
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

/// What we read of a report, or of a coupon's list, that may be of any version.
#[derive(Deserialize)]
struct Manifest {
    schema: String,
    #[serde(default)]
    files: BTreeSet<String>,
    /// Files that the maker is to fill in, as they were written.
    #[serde(default)]
    as_written: BTreeMap<String, String>,
}

/// Bytes of a file that this program may have written; `None` for what it never writes.
fn bytes_of_ours(path: &Path) -> Option<Vec<u8>> {
    let bytes = kit_file::bytes(path, LARGEST_FILE).ok()?;
    (bytes.len() as u64 <= LARGEST_FILE).then_some(bytes)
}

/// The list of files in a folder of ours, itself among them; `None` if it is not ours.
fn manifest(folder: &Path, family: &str) -> Option<Manifest> {
    let name = if family == LIST_FAMILY { LIST } else { REPORT };
    let text = bytes_of_ours(&folder.join(name))?;
    let mut manifest: Manifest = serde_json::from_slice(&text).ok()?;
    manifest.files.insert(name.into());
    manifest.schema.starts_with(family).then_some(manifest)
}

/// A hidden folder, empty but for the one inside it, and the lock that says it is in use.
/// The folder goes first when both go, so that no sweep meddles with its going.
struct Hidden {
    folder: TempDir,
    _lock: Option<File>,
}

impl Hidden {
    fn beside(parent: &Path) -> io::Result<Self> {
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
}

/// Takes away hidden neighbours that a broken-off run left; troubles with them are not ours.
fn sweep(parent: &Path) {
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

fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent)?;
    }
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    // Some file systems tell of a full disk only here.
    file.sync_all()
}

/// Puts `new` at `target` in one step; what stood there ends up in `hidden`.
fn change_places(new: &Path, target: &Path, hidden: &Path) -> io::Result<()> {
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn files(mark: &str) -> Vec<OutFile> {
        let report = format!(
            "{{\"schema\":\"netlead-report/1\",\"files\":[\"parts/{mark}.stl\",\"report.json\"]}}"
        );
        [
            (format!("parts/{mark}.stl"), mark.into()),
            (REPORT.into(), report),
        ]
        .map(|(path, text): (String, String)| OutFile {
            path,
            bytes: text.into_bytes(),
        })
        .into()
    }

    fn put(path: &Path, mark: &str) -> Result<(), Trouble> {
        Folder::at(path)?.replace(&files(mark))
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> = entries
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_new_folder_appears_with_its_parents_and_nothing_beside_it() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("out/stage");
        put(&target, "drive").unwrap();
        assert_eq!(names(&target), ["parts", "report.json"]);
        assert_eq!(names(&room.path().join("out")), ["stage"]);
    }

    #[test]
    fn a_folder_of_ours_is_replaced_wholly() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        put(&target, "old").unwrap();
        put(&target, "new").unwrap();
        assert_eq!(names(&target.join("parts")), ["new.stl"]);
        assert_eq!(names(room.path()), ["stage"]);
    }

    #[test]
    fn an_empty_folder_is_filled() {
        let room = tempfile::tempdir().unwrap();
        put(room.path(), "drive").unwrap();
        assert_eq!(names(room.path()), ["parts", "report.json"]);
    }

    #[test]
    fn a_foreign_folder_is_refused_and_untouched() {
        let room = tempfile::tempdir().unwrap();
        for report in [None, Some("{\"schema\":\"other/1\"}"), Some("not json")] {
            let target = room.path().join("photos");
            fs::create_dir_all(&target).unwrap();
            fs::write(target.join("cat.png"), "cat").unwrap();
            if let Some(report) = report {
                fs::write(target.join(REPORT), report).unwrap();
            }
            let before = names(&target);
            let refusal = put(&target, "drive").unwrap_err().to_string();
            assert!(refusal.contains("this command did not write"), "{refusal}");
            assert!(refusal.contains("--out"), "{refusal}");
            assert_eq!(names(&target), before);
        }
    }

    #[test]
    fn a_file_that_the_maker_added_to_our_folder_is_not_lost() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        put(&target, "drive").unwrap();
        fs::write(target.join("parts/drive.gcode"), "hours of work").unwrap();
        let refusal = put(&target, "drive").unwrap_err().to_string();
        assert!(refusal.contains("parts/drive.gcode"), "{refusal}");
        assert!(target.join("parts/drive.gcode").exists());
    }

    #[test]
    fn a_link_stays_a_link_and_what_it_names_is_replaced() {
        let room = tempfile::tempdir().unwrap();
        let (target, link) = (room.path().join("stage"), room.path().join("link"));
        put(&target, "old").unwrap();
        std::os::unix::fs::symlink(&target, &link).unwrap();
        put(&link, "new").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(names(&target.join("parts")), ["new.stl"]);
    }

    #[test]
    fn a_link_to_nowhere_and_a_file_are_refused() {
        let room = tempfile::tempdir().unwrap();
        let link = room.path().join("link");
        std::os::unix::fs::symlink(room.path().join("nowhere"), &link).unwrap();
        assert!(put(&link, "drive").is_err());
        let file = room.path().join("file");
        fs::write(&file, "mine").unwrap();
        assert!(
            put(&file, "drive")
                .unwrap_err()
                .to_string()
                .contains("is a file")
        );
        assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    }

    #[test]
    fn the_folder_one_stands_in_and_the_root_are_refused() {
        for path in [".", "..", "/"] {
            assert!(Folder::at(Path::new(path)).is_err(), "{path}");
        }
    }

    #[test]
    fn what_a_broken_off_run_left_is_swept_but_not_what_is_in_use() {
        let room = tempfile::tempdir().unwrap();
        let left = room.path().join(".netlead-making-left");
        fs::create_dir_all(left.join(INSIDE)).unwrap();
        let in_use = Hidden::beside(room.path()).unwrap();
        fs::write(room.path().join(".netlead-making-note"), "a file").unwrap();
        put(&room.path().join("stage"), "drive").unwrap();
        assert!(!left.exists());
        assert!(in_use.folder.path().join(INSIDE).exists());
        assert!(room.path().join(".netlead-making-note").exists());
    }

    #[test]
    fn a_file_that_cannot_be_written_leaves_the_old_folder() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        put(&target, "old").unwrap();
        // The same name twice: the second cannot be created.
        let twice = [files("new"), files("new")].concat();
        let refusal = Folder::at(&target).unwrap().replace(&twice).unwrap_err();
        assert!(refusal.to_string().contains("nothing was changed"));
        assert_eq!(names(&target.join("parts")), ["old.stl"]);
        assert_eq!(names(room.path()), ["stage"]);
    }

    #[test]
    fn the_folder_may_be_read_by_whoever_may_read_its_neighbours() {
        use std::os::unix::fs::PermissionsExt;
        let room = tempfile::tempdir().unwrap();
        let usual = room.path().join("usual");
        fs::create_dir(&usual).unwrap();
        let target = room.path().join("stage");
        put(&target, "drive").unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
        assert_eq!(mode(&target), mode(&usual));
    }

    #[test]
    fn a_reader_never_sees_half_a_folder() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        put(&target, "drive").unwrap();
        let done = std::sync::atomic::AtomicBool::new(false);
        std::thread::scope(|scope| {
            scope.spawn(|| {
                for _ in 0..30 {
                    put(&target, "drive").unwrap();
                }
                done.store(true, std::sync::atomic::Ordering::Relaxed);
            });
            while !done.load(std::sync::atomic::Ordering::Relaxed) {
                assert!(target.join("report.json").exists());
            }
        });
    }

    #[test]
    fn runs_side_by_side_do_not_hinder_each_other() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        std::thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| {
                    for _ in 0..10 {
                        put(&target, "drive").unwrap();
                    }
                });
            }
        });
        assert_eq!(names(room.path()), ["stage"]);
        assert_eq!(names(&target.join("parts")), ["drive.stl"]);
    }

    #[test]
    fn names_of_kits_become_names_of_folders() {
        assert_eq!(fit_name("Focus stage"), "focus-stage");
        assert_eq!(fit_name("../../etc/passwd"), "etc-passwd");
        assert_eq!(fit_name(" .. "), "kit");
        assert_eq!(fit_name("1/2\" vise"), "1-2-vise");
    }

    proptest! {
        #[test]
        fn prop_any_name_gives_one_visible_short_folder(name in "(?s).{0,300}") {
            let fit = fit_name(&name);
            prop_assert!(!fit.is_empty() && !fit.starts_with('.'));
            prop_assert!(fit.len() <= 255);
            prop_assert_eq!(Path::new(&fit).components().count(), 1);
            prop_assert!(fit.chars().all(|c| c == '-' || c.is_alphanumeric()));
        }
    }
}
