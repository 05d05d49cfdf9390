//! What is on show: the latest news of the kit, and what an open page needs of it.
//!
//! Whoever follows the kit hangs it up, whoever serves pages takes it down, and a page that has seen it all
//! waits here for more. Every state has a stamp, and what belongs to it is given out under that stamp alone,
//! so that no page puts the verdict on one state beside the drawing of another.

use serde::Serialize;
use std::process;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
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
    hung: Mutex<Hung>,
    changed: Condvar,
}

/// What hangs on it, and who looks.
#[derive(Debug)]
struct Hung {
    on_show: OnShow,
    /// How many pages wait for more.
    waiting: usize,
    /// Of what the last page that asked has shown.
    seen: String,
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
            hung: Mutex::new(Hung {
                on_show: OnShow {
                    news,
                    moving: None,
                    guide: None,
                },
                waiting: 0,
                seen: String::new(),
            }),
            changed: Condvar::new(),
        }
    }

    /// What hangs there now.
    pub(super) fn now(&self) -> OnShow {
        self.hung().on_show.clone()
    }

    /// What hangs there once it is another than what was seen, or after some time.
    pub(super) fn other_than(&self, seen: &str, at_most: Duration) -> OnShow {
        let mut hung = self.hung();
        seen.clone_into(&mut hung.seen);
        hung.waiting += 1;
        self.changed.notify_all();
        let mut hung = self.wait(hung, at_most, |hung| hung.on_show.news.stamp == seen);
        hung.waiting -= 1;
        hung.on_show.clone()
    }

    /// Hangs up what a change makes of it, under a stamp of its own.
    pub(super) fn hang(&self, number: u64, change: impl FnOnce(&mut OnShow)) -> OnShow {
        let mut hung = self.hung();
        hung.on_show.news.stamp = stamp(number);
        change(&mut hung.on_show);
        self.changed.notify_all();
        hung.on_show.clone()
    }

    /// The same; if a page waits for it, until one has shown it, or for some time.
    pub(super) fn hang_until_seen(
        &self,
        number: u64,
        at_most: Duration,
        change: impl FnOnce(&mut OnShow),
    ) {
        let is_awaited = self.hung().waiting > 0;
        let stamp = self.hang(number, change).news.stamp;
        if is_awaited {
            drop(self.wait(self.hung(), at_most, |hung| hung.seen != stamp));
        }
    }

    fn hung(&self) -> MutexGuard<'_, Hung> {
        self.hung.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn wait<'a>(
        &self,
        hung: MutexGuard<'a, Hung>,
        at_most: Duration,
        while_so: impl Fn(&Hung) -> bool,
    ) -> MutexGuard<'a, Hung> {
        let waited = self
            .changed
            .wait_timeout_while(hung, at_most, |hung| while_so(hung));
        waited.unwrap_or_else(PoisonError::into_inner).0
    }
}

/// A stamp that no state of another run has.
fn stamp(number: u64) -> String {
    format!("{}-{number}", process::id())
}
