//! Files that a page hangs on, and when one of them has been saved.
//!
//! They are looked at instead of being listened to: a handful of looks take microseconds, work alike on every
//! file system, and see a file that is created, replaced by a renamed one, or gone for a moment. What tells one state of
//! a file from another is its place on the disk, its size and its times.

use std::fs;
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

/// From look to look. Guess: a tenth of what an eye waits for gladly, and far above the grain of a file's
/// times, so that what is written after two equal looks has another time.
const LOOK: Duration = Duration::from_millis(20);
/// How long a file that was there may be away or empty before that counts. Guess: many times what an editor
/// needs from taking the old file away to putting the new one there.
const AWAY: Duration = Duration::from_millis(300);
/// How long a file may go on changing before it is read all the same. Guess.
const RESTLESS: Duration = Duration::from_secs(2);

/// One state of a file: where it lies, how long it is, and when it was changed. None if it is not there.
type Print = Option<[i128; 6]>;

/// Some files in a state.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Files {
    each: Vec<(PathBuf, Print)>,
    /// How long one of them may be away or empty.
    away: Duration,
}

impl Files {
    /// These files as they stand now.
    pub(super) fn now(paths: impl IntoIterator<Item = PathBuf>) -> Self {
        let each = paths.into_iter().map(|path| {
            let print = print(&path);
            (path, print)
        });
        Self {
            each: each.collect(),
            away: AWAY,
        }
    }

    /// The same, and others as they stand now.
    pub(super) fn and(&self, others: &[PathBuf]) -> Self {
        let known = |path: &PathBuf| self.each.iter().any(|(each, _)| each == path);
        let new = others.iter().filter(|path| !known(path)).cloned();
        let each = self.each.iter().cloned().chain(Self::now(new).each);
        Self {
            each: each.collect(),
            ..*self
        }
    }

    /// Whether they stand otherwise by now.
    pub(super) fn have_changed(&self) -> bool {
        self.each.iter().any(|(path, seen)| print(path) != *seen)
    }

    /// Waits until one of them is another, and then until whoever writes has come to an end.
    pub(super) fn wait(&self) {
        loop {
            thread::sleep(LOOK);
            if self.have_changed() && self.settled() != *self {
                return;
            }
        }
    }

    /// The same files once two looks at them are alike.
    fn settled(&self) -> Self {
        let began = Instant::now();
        let again = || Self {
            away: self.away,
            ..Self::now(self.each.iter().map(|(path, _)| path.clone()))
        };
        let mut last = again();
        loop {
            thread::sleep(LOOK);
            let now = again();
            let waits_for = match self.lacks(&now) {
                true => self.away,
                false => Duration::ZERO,
            };
            let alike = now == last && began.elapsed() >= waits_for;
            if alike || began.elapsed() >= RESTLESS.max(self.away) {
                return now;
            }
            last = now;
        }
    }

    /// Whether a file that was there is away or empty by now.
    fn lacks(&self, now: &Self) -> bool {
        let has = |print: &Print| print.is_some_and(|[_, _, length, ..]| length > 0);
        let pairs = self.each.iter().zip(&now.each);
        pairs
            .into_iter()
            .any(|((_, was), (_, is))| has(was) && !has(is))
    }
}

fn print(path: &Path) -> Print {
    let metadata = fs::metadata(path).ok()?;
    // Seconds and parts of them: less than 2^64 times 10^9 in all.
    let time = |seconds: i64, parts: i64| i128::from(seconds) * 1_000_000_000 + i128::from(parts);
    Some([
        metadata.dev().into(),
        metadata.ino().into(),
        metadata.len().into(),
        metadata.mode().into(),
        time(metadata.mtime(), metadata.mtime_nsec()),
        time(metadata.ctime(), metadata.ctime_nsec()),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc;

    /// Longer than a change takes to be seen, with the cores busy.
    const PATIENCE: Duration = Duration::from_secs(20);

    /// What two files hold once a change of them is told, where a file may be away for so long.
    fn seen_after(away: Duration, change: impl FnOnce(&Path, &Path)) -> [Option<String>; 2] {
        let room = tempfile::tempdir().unwrap();
        let [kit, profile] =
            ["kit.toml", "workshop.printer.toml"].map(|name| room.path().join(name));
        fs::write(&kit, "first").unwrap();
        let files = Files {
            away,
            ..Files::now([kit.clone(), profile.clone()])
        };
        let (tell, told) = mpsc::channel();
        let watched = [kit.clone(), profile.clone()];
        thread::spawn(move || {
            files.wait();
            tell.send(watched.map(|file| fs::read_to_string(file).ok()))
                .unwrap();
        });
        change(&kit, &profile);
        told.recv_timeout(PATIENCE).unwrap()
    }

    fn text(text: &str) -> Option<String> {
        Some(text.into())
    }

    #[test]
    fn a_file_saved_in_place_in_two_strokes_is_seen_whole() {
        let seen = seen_after(PATIENCE, |kit, _| {
            // Emptied first, as editors do, and written a moment later.
            fs::write(kit, "").unwrap();
            thread::sleep(3 * LOOK);
            fs::write(kit, "second").unwrap();
        });
        assert_eq!(seen, [text("second"), None]);
    }

    #[test]
    fn a_file_taken_away_and_replaced_by_a_renamed_one_is_seen_whole() {
        let seen = seen_after(PATIENCE, |kit, _| {
            let beside = kit.with_extension("new");
            fs::write(&beside, "other").unwrap();
            fs::rename(kit, kit.with_extension("old")).unwrap();
            thread::sleep(3 * LOOK);
            fs::rename(&beside, kit).unwrap();
        });
        assert_eq!(seen, [text("other"), None]);
    }

    #[test]
    fn a_file_that_is_created_or_gone_for_good_is_seen() {
        let seen = seen_after(AWAY, |_, profile| fs::write(profile, "made").unwrap());
        assert_eq!(seen, [text("first"), text("made")]);
        let seen = seen_after(AWAY, |kit, _| fs::remove_file(kit).unwrap());
        assert_eq!(seen, [None, None]);
    }
}
