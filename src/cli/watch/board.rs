//! What is on show: the latest news of the kit, and what an open page needs of it.
//!
//! Whoever follows the kit hangs it up, whoever serves pages takes it down, and a page that has seen it all
//! waits here for more. Every state has a stamp, and what belongs to it is given out under that stamp alone,
//! so that no page puts the verdict on one state beside the drawing of another.

use serde::Serialize;
use std::process;
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::Duration;

/// Bytes that several may hold.
pub(super) type Bytes = Arc<[u8]>;

/// How far a state of the kit has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum State {
    /// It was saved and is being worked out.
    Working,
    /// It is drawn, and not judged yet.
    Drawn,
    /// It passes, and its page is there.
    Ready,
    /// There is no page of it.
    Refused,
}

/// What is told of a state, to pages and to programs.
#[derive(Clone, Debug, Serialize)]
pub(super) struct News {
    /// Of this state; another run of the program has other stamps.
    pub(super) stamp: String,
    /// How far it has come.
    pub(super) state: State,
    /// Stamp of the last state that passed, if one did.
    pub(super) guide: Option<String>,
    /// The verdict in a line; what is to be mended, with its lines marked; remarks. Without colour.
    pub(super) told: String,
    /// Warnings and notes beside a verdict (may be empty).
    pub(super) remarks: String,
}

/// All that hangs there.
#[derive(Clone, Debug)]
pub(super) struct OnShow {
    pub(super) news: News,
    /// The moving drawing of this state.
    pub(super) moving: Option<Bytes>,
    /// The page of the last state that passed.
    pub(super) guide: Option<Bytes>,
}

/// The board.
#[derive(Debug)]
pub(super) struct Board {
    on_show: Mutex<OnShow>,
    changed: Condvar,
}

impl Board {
    /// A board on which nothing hangs yet.
    pub(super) fn new() -> Self {
        let news = News {
            stamp: stamp(0),
            state: State::Working,
            guide: None,
            told: String::new(),
            remarks: String::new(),
        };
        Self {
            on_show: Mutex::new(OnShow {
                news,
                moving: None,
                guide: None,
            }),
            changed: Condvar::new(),
        }
    }

    /// What hangs there now.
    pub(super) fn now(&self) -> OnShow {
        let on_show = self.on_show.lock().unwrap_or_else(PoisonError::into_inner);
        on_show.clone()
    }

    /// What hangs there once it is another than what was seen, or after some time.
    pub(super) fn other_than(&self, seen: &str, at_most: Duration) -> OnShow {
        let on_show = self.on_show.lock().unwrap_or_else(PoisonError::into_inner);
        let same = |on_show: &mut OnShow| on_show.news.stamp == seen;
        let waited = self.changed.wait_timeout_while(on_show, at_most, same);
        let (on_show, _) = waited.unwrap_or_else(PoisonError::into_inner);
        on_show.clone()
    }

    /// Hangs up what a change makes of it, under a stamp of its own.
    pub(super) fn hang(&self, number: u64, change: impl FnOnce(&mut OnShow)) -> OnShow {
        let mut on_show = self.on_show.lock().unwrap_or_else(PoisonError::into_inner);
        on_show.news.stamp = stamp(number);
        change(&mut on_show);
        self.changed.notify_all();
        on_show.clone()
    }
}

/// A stamp that no state of another run has.
fn stamp(number: u64) -> String {
    format!("{}-{number}", process::id())
}
