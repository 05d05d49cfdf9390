//! Thread designations: the one place where a kit's text meets the thread room's parser.

use crate::thread::Thread;
use std::ops::Range;

/// Why a text is not a designation: what is wrong, where in the text, what to write.
pub(super) type NotAThread = (String, Range<usize>, Option<String>);

/// The thread that `text` designates.
pub(super) fn designation(text: &str) -> Result<Thread, NotAThread> {
    text.parse::<Thread>()
        .map_err(|error| (error.message, error.at, error.mend))
}

/// Whether `text` designates a thread that is laid down in inches.
pub(super) fn is_inch(text: &str) -> bool {
    designation(text).is_ok_and(|thread| thread.threads_per_inch().is_some())
}
