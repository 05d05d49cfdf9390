//! A folder that appears whole or not at all, and never takes the place of anyone's work.
//!
//! The files go into a hidden neighbour first, which then changes places with the folder in
//! one step, so that nobody ever sees half of it. What the maker edited in a folder of ours is put
//! beside it before.

use super::hidden::{self, Hidden};
use super::input;
use super::signals::Writing;
use super::standing::Standing;
use super::trouble::{Trouble, shown, why};
use crate::output::file::OutFile;
use crate::output::format::FolderMark;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// Letters of a folder's name: guess, far below the 255 bytes of usual file systems.
const NAME_LETTERS: usize = 48;
/// What the name of a folder for edited files has more than that of the folder they were in.
const EDITED: &str = "-edited";
/// Most folders of edited files beside one folder: guess.
const MOST_EDITED: usize = 1000;
/// Edited files that are named one by one: guess.
const MOST_NAMED: usize = 3;

/// A place for a folder of ours: nothing there yet, an empty folder, or one we wrote.
pub(super) struct Folder {
    /// As the maker said it.
    said: PathBuf,
    /// Where it really is, links followed.
    real: PathBuf,
    /// What makes a folder ours to replace.
    mark: FolderMark,
    /// What stood there when it was looked at.
    standing: Standing,
}

/// Edited files that were put beside a folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Kept {
    place: PathBuf,
    files: Vec<String>,
    /// Whether it was the listing that was edited, so that nothing can be told.
    unknown: bool,
}

impl Folder {
    /// Looks whether a folder with this mark may stand there.
    pub(super) fn at(path: &Path, mark: FolderMark) -> Result<Self, Trouble> {
        let real = match fs::symlink_metadata(path) {
            // Follows a link, so that the folder is replaced and not the link to it.
            Ok(_) => fs::canonicalize(path).map_err(|e| Trouble::io("use", path, &e))?,
            Err(error) if error.kind() == ErrorKind::NotFound => path.to_path_buf(),
            Err(error) => return Err(Trouble::io("use", path, &error)),
        };
        let mut folder = Self {
            said: path.to_path_buf(),
            real,
            mark,
            standing: Standing::Empty,
        };
        folder.standing = folder.examine()?;
        Ok(folder)
    }

    /// The file that lists all others, if a folder of ours stood there; and what of it was edited.
    pub(super) fn earlier(&self) -> Option<(&[u8], &[String])> {
        match &self.standing {
            Standing::Ours { listing, edited } => Some((listing, edited)),
            _ => None,
        }
    }

    /// Puts the files there, whole or not at all. What the maker had edited is kept beside.
    pub(super) fn replace(&self, files: &[OutFile]) -> Result<Option<Kept>, Trouble> {
        let parent = match self.real.parent() {
            Some(parent) if parent.as_os_str().is_empty() => Path::new("."),
            Some(parent) => parent,
            None => return Err(self.refusal("is the root of all folders")),
        };
        let unwritten = |what: &str, error: &io::Error| {
            Trouble::new(format!(
                "cannot write {what} of {}: {}; nothing was changed",
                shown(&self.said),
                why(error)
            ))
        };
        let writing = Writing::begin().map_err(|error| unwritten("a file", &error))?;
        let on_the_way =
            OnTheWay::to(parent).map_err(|e| Trouble::io("make folder", parent, &e))?;
        hidden::sweep(parent);
        let beside = |error: io::Error| Trouble::io("write into", parent, &error);
        let hidden = Hidden::beside(parent).map_err(beside)?;
        for file in files {
            let path = hidden.inside().join(&file.path);
            writing
                .go_on()
                .and_then(|()| hidden::write(&path, &file.bytes))
                .map_err(|error| unwritten(&file.path, &error))?;
        }
        // The maker may have put something there in the meantime.
        let kept = match self.examine()? {
            Standing::Ours { edited, .. } if !edited.is_empty() => {
                let kept = self.keep(edited, parent);
                Some(kept.map_err(|error| unwritten("the edited files", &error))?)
            }
            _ => None,
        };
        hidden::change_places(&hidden.inside(), &self.real, hidden.path())
            .map_err(|e| Trouble::io("put in place", &self.real, &e))?;
        on_the_way.stay();
        // What stood there before goes with the hidden neighbour.
        Ok(kept)
    }

    /// Copies edited files into a folder beside this one, under names that say which they were.
    fn keep(&self, edited: Vec<String>, parent: &Path) -> io::Result<Kept> {
        let hidden = Hidden::beside(parent)?;
        for name in &edited {
            copy(&self.real.join(name), &hidden.inside().join(name))?;
        }
        for number in 1..=MOST_EDITED {
            let place = self.neighbour(&self.real, number);
            if fs::symlink_metadata(&place).is_err() {
                fs::rename(hidden.inside(), &place)?;
            } else if !edited
                .iter()
                .all(|name| same(&place.join(name), &hidden.inside().join(name)))
            {
                continue;
            }
            let linked = fs::symlink_metadata(&self.said).is_ok_and(|said| said.is_symlink());
            return Ok(Kept {
                place: match linked {
                    true => place,
                    false => self.neighbour(&self.said, number),
                },
                unknown: edited.iter().any(|name| name == self.mark.listing),
                files: edited,
            });
        }
        Err(io::Error::other("too many folders of edited files"))
    }

    /// The folder for edited files beside a folder.
    fn neighbour(&self, folder: &Path, number: usize) -> PathBuf {
        let mut name = folder.file_name().unwrap_or_default().to_owned();
        name.push(EDITED);
        if number > 1 {
            name.push(format!("-{number}"));
        }
        folder.with_file_name(name)
    }

    /// What stands there; whatever is not ours to replace is refused.
    fn examine(&self) -> Result<Standing, Trouble> {
        let metadata = match fs::metadata(&self.real) {
            Ok(metadata) => metadata,
            Err(error) if error.kind() == ErrorKind::NotFound => {
                return match self.real.file_name() {
                    Some(_) => Ok(Standing::Empty),
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
        match Standing::of(&self.real, &self.mark) {
            Ok(Standing::Foreign(why)) => Err(self.refusal(&why)),
            Ok(standing) => Ok(standing),
            Err(error) => Err(Trouble::io("read", &self.real, &error)),
        }
    }

    fn refusal(&self, why: &str) -> Trouble {
        Trouble::new(format!("{} {why}; it is left as it is", shown(&self.said)))
            .mend("move that away, or name another folder with --out DIR")
    }
}

impl fmt::Display for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = shown(&self.place);
        let name = |file: &String| shown(Path::new(file));
        if self.unknown {
            return write!(
                f,
                "the list of what netlead had written there was edited, so that your files cannot \
                 be told from it: all of them are kept in {place}"
            );
        }
        match self.files.as_slice() {
            [one] => {
                let one = name(one);
                write!(
                    f,
                    "{one} had been edited; your version is kept as {place}/{one}"
                )
            }
            some if some.len() <= MOST_NAMED => {
                let names: Vec<String> = some.iter().map(name).collect();
                let names = names.join(", ");
                write!(
                    f,
                    "{names} had been edited; your versions are kept in {place}"
                )
            }
            many => {
                let count = many.len();
                write!(
                    f,
                    "{count} files had been edited; your versions are kept in {place}"
                )
            }
        }
    }
}

/// Folders that were made on the way, taken away again unless what they were made for is there.
struct OnTheWay(Vec<PathBuf>);

impl OnTheWay {
    fn to(parent: &Path) -> io::Result<Self> {
        let above = parent.ancestors();
        let missing = above.take_while(|at| !at.as_os_str().is_empty() && !at.exists());
        let missing = Self(missing.map(Path::to_path_buf).collect());
        fs::create_dir_all(parent).map(|()| missing)
    }

    fn stay(mut self) {
        self.0.clear();
    }
}

impl Drop for OnTheWay {
    fn drop(&mut self) {
        for folder in &self.0 {
            // One that is not empty is in use by now.
            drop(fs::remove_dir(folder));
        }
    }
}

/// Copies a file, with the folders that it needs.
fn copy(from: &Path, to: &Path) -> io::Result<()> {
    if let Some(parent) = to.parent() {
        fs::create_dir_all(parent)?;
    }
    let mut copy = File::create_new(to)?;
    io::copy(&mut input::opened(from, &input::WRITTEN)?, &mut copy)?;
    copy.sync_all()
}

/// Whether two files hold the same.
fn same(one: &Path, other: &Path) -> bool {
    let bytes = |path| input::bytes(path, &input::WRITTEN).ok();
    bytes(one).is_some_and(|one| bytes(other) == Some(one))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::file::REPORT;
    use crate::output::formats::KIT;
    use crate::output::record;
    use proptest::prelude::*;

    fn files(mark: &str) -> Vec<OutFile> {
        let part = OutFile::new(format!("parts/{mark}.stl"), mark);
        let guide = OutFile::new("guide.md", format!("how to print {mark}"));
        let list = format!(
            "{{\n  \"schema\": \"netlead-report/1\",\n  \"files\": [\"parts/{mark}.stl\"]\n}}\n"
        );
        let mut files = vec![part, guide];
        let list = record::recorded(list.as_bytes(), &files).unwrap();
        files.push(OutFile::new(REPORT, list));
        files
    }

    fn at(path: &Path) -> Result<Folder, Trouble> {
        Folder::at(path, KIT.mark())
    }

    fn put(path: &Path, mark: &str) -> Result<Option<Kept>, Trouble> {
        at(path)?.replace(&files(mark))
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
        assert_eq!(names(&target), ["guide.md", "parts", "report.json"]);
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
        assert_eq!(names(room.path()), ["guide.md", "parts", "report.json"]);
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
    fn an_edited_file_is_kept_beside_and_every_other_is_new() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        put(&target, "old").unwrap();
        assert_eq!(put(&target, "old").unwrap(), None);
        fs::write(target.join("parts/old.stl"), "filed by hand").unwrap();
        let kept = put(&target, "new").unwrap().unwrap().to_string();
        assert!(kept.contains("stage-edited/parts/old.stl"), "{kept}");
        let edited = room.path().join("stage-edited");
        assert_eq!(
            fs::read_to_string(edited.join("parts/old.stl")).unwrap(),
            "filed by hand"
        );
        assert_eq!(names(&edited), ["parts"]);
        assert_eq!(names(&target.join("parts")), ["new.stl"]);
        assert_eq!(names(room.path()), ["stage", "stage-edited"]);
    }

    #[test]
    fn no_edit_takes_the_place_of_an_earlier_one_and_the_same_is_kept_once() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        for edit in ["one", "two", "two", "one"] {
            put(&target, "drive").unwrap();
            fs::write(target.join("guide.md"), edit).unwrap();
            put(&target, "drive").unwrap();
        }
        let guide =
            |folder: &str| fs::read_to_string(room.path().join(folder).join("guide.md")).unwrap();
        assert_eq!(
            names(room.path()),
            ["stage", "stage-edited", "stage-edited-2"]
        );
        assert_eq!(
            ["stage-edited", "stage-edited-2"].map(guide),
            ["one", "two"]
        );
    }

    #[test]
    fn a_claim_in_the_report_makes_no_file_ours() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        put(&target, "drive").unwrap();
        let claimed = |name: &str, bytes: &str| {
            fs::write(target.join(name), bytes).unwrap();
            let report = fs::read_to_string(target.join(REPORT)).unwrap();
            let claim = format!(
                "\"digests\": {{\n    \"{name}\": \"{}\",",
                record::digest(bytes.as_bytes())
            );
            fs::write(
                target.join(REPORT),
                report.replacen("\"digests\": {", &claim, 1),
            )
            .unwrap();
        };
        // A name that we never write is refused, one that we might have written is kept.
        claimed("diary.txt", "mine");
        let refusal = put(&target, "drive").unwrap_err().to_string();
        assert!(refusal.contains("diary.txt"), "{refusal}");
        assert_eq!(
            fs::read_to_string(target.join("diary.txt")).unwrap(),
            "mine"
        );
        fs::remove_file(target.join("diary.txt")).unwrap();
        claimed("parts/knob.stl", "mine too");
        let kept = put(&target, "drive").unwrap().unwrap().to_string();
        assert!(kept.contains("was edited"), "{kept}");
        let edited = room.path().join("stage-edited");
        assert_eq!(
            fs::read_to_string(edited.join("parts/knob.stl")).unwrap(),
            "mine too"
        );
        assert_eq!(names(&edited), ["guide.md", "parts", "report.json"]);
    }

    #[test]
    fn a_sealed_record_of_a_name_that_is_never_written_makes_no_file_ours() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        let mut with_diary = vec![OutFile::new("diary.txt", "mine")];
        let list = b"{\n  \"schema\": \"netlead-report/1\"\n}\n";
        let list = record::recorded(list, &with_diary).unwrap();
        with_diary.push(OutFile::new(REPORT, list));
        at(&target).unwrap().replace(&with_diary).unwrap();
        let refusal = put(&target, "drive").unwrap_err().to_string();
        assert!(refusal.contains("diary.txt"), "{refusal}");
    }

    #[test]
    fn a_pipe_in_the_place_of_our_file_is_refused_at_once() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        put(&target, "drive").unwrap();
        for name in ["guide.md", REPORT] {
            let before = fs::read(target.join(name)).unwrap();
            fs::remove_file(target.join(name)).unwrap();
            let (mode, kind) = (rustix::fs::Mode::RUSR, rustix::fs::FileType::Fifo);
            rustix::fs::mknodat(rustix::fs::CWD, target.join(name), kind, mode, 0).unwrap();
            let refusal = put(&target, "drive").unwrap_err().to_string();
            assert!(refusal.contains("left as it is"), "{refusal}");
            fs::remove_file(target.join(name)).unwrap();
            fs::write(target.join(name), before).unwrap();
        }
        assert!(put(&target, "drive").unwrap().is_none());
    }

    #[test]
    fn folders_made_on_the_way_go_when_nothing_comes_into_them() {
        let room = tempfile::tempdir().unwrap();
        let twice = [files("new"), files("new")].concat();
        let target = room.path().join("out/deep/stage");
        assert!(at(&target).unwrap().replace(&twice).is_err());
        assert!(names(room.path()).is_empty());
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
            assert!(at(Path::new(path)).is_err(), "{path}");
        }
    }

    #[test]
    fn what_a_broken_off_run_left_is_swept_but_not_what_is_in_use() {
        let room = tempfile::tempdir().unwrap();
        let left = room.path().join(".netlead-making-left");
        fs::create_dir_all(left.join("whole")).unwrap();
        let in_use = Hidden::beside(room.path()).unwrap();
        fs::write(room.path().join(".netlead-making-note"), "a file").unwrap();
        put(&room.path().join("stage"), "drive").unwrap();
        assert!(!left.exists());
        assert!(in_use.inside().exists());
        assert!(room.path().join(".netlead-making-note").exists());
    }

    #[test]
    fn a_file_that_cannot_be_written_leaves_the_old_folder() {
        let room = tempfile::tempdir().unwrap();
        let target = room.path().join("stage");
        put(&target, "old").unwrap();
        // The same name twice: the second cannot be created.
        let twice = [files("new"), files("new")].concat();
        let refusal = at(&target).unwrap().replace(&twice).unwrap_err();
        let refusal = refusal.to_string();
        let words: Vec<&str> = refusal.split_whitespace().collect();
        assert!(words.join(" ").contains("nothing was changed"), "{refusal}");
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
