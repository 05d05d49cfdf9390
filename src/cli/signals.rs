//! What becomes of a signal that asks the program to end (interrupt, terminate, hang-up).
//!
//! While nothing is half written it ends at once, as it would without this. While something is,
//! the writer learns of it between two files, takes back what it wrote, and the program then ends
//! as the signal asks, so that a shell sees which one it was.

use super::trouble::Trouble;
use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
use signal_hook::iterator::Signals;
use signal_hook::{flag, low_level};
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock, PoisonError, RwLock, RwLockReadGuard};
use std::thread;
use std::time::Duration;

/// Signals that ask the program to end.
const ENDING: [i32; 3] = [SIGINT, SIGTERM, SIGHUP];
/// How long a writer that was asked to end waits for its end, so that it says nothing first:
/// guess, far above what a signal takes.
const GRACE: Duration = Duration::from_secs(2);

/// Whether an end was asked for.
static ASKED: AtomicBool = AtomicBool::new(false);
/// Held by whoever writes; all of it by whoever ends the program.
static WRITING: RwLock<()> = RwLock::new(());
/// Whether signals are listened to, or why not.
static LISTENING: OnceLock<Result<(), String>> = OnceLock::new();

/// While there is one, no signal ends the program. Made before all that is to be taken back, so
/// that it goes after it.
pub(super) struct Writing {
    held: Option<RwLockReadGuard<'static, ()>>,
}

impl Writing {
    /// From here on no signal ends the program.
    pub(super) fn begin() -> io::Result<Self> {
        let listening = LISTENING.get_or_init(|| listen().map_err(|error| error.to_string()));
        listening.clone().map_err(io::Error::other)?;
        let held = WRITING.read().unwrap_or_else(PoisonError::into_inner);
        Ok(Self { held: Some(held) })
    }

    /// An error once an end was asked for.
    pub(super) fn go_on(&self) -> io::Result<()> {
        match ASKED.load(Ordering::SeqCst) {
            true => Err(io::Error::other("the program was asked to end")),
            false => Ok(()),
        }
    }
}

impl Drop for Writing {
    fn drop(&mut self) {
        self.held = None;
        if ASKED.load(Ordering::SeqCst) {
            thread::sleep(GRACE);
        }
    }
}

fn listen() -> io::Result<()> {
    let mut signals = Signals::new(ENDING)?;
    thread::Builder::new()
        .name("signals".into())
        .spawn(move || {
            for signal in signals.forever() {
                ASKED.store(true, Ordering::SeqCst);
                let nobody_writes = WRITING.write().unwrap_or_else(PoisonError::into_inner);
                // It ends the program; if it cannot, nothing else could.
                drop(low_level::emulate_default_handler(signal));
                drop(nobody_writes);
            }
        })
        .map(drop)
}

/// A flag that these signals raise, for a command that then ends by itself.
pub(super) fn stopper() -> Result<Arc<AtomicBool>, Trouble> {
    let stop = Arc::new(AtomicBool::new(false));
    for signal in ENDING {
        flag::register(signal, Arc::clone(&stop))
            .map_err(|error| Trouble::new(format!("cannot listen for signals: {error}")))?;
    }
    Ok(stop)
}
