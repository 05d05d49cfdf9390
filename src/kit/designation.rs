//! Thread designations: the one place where a kit's text meets the thread room's parser.

use crate::thread::Thread;
use std::ops::Range;

/// Why a text is not a designation: what is wrong, where in the text, what to write.
pub(super) type NotAThread = (String, Range<usize>, Option<String>);

/// The thread that `text` designates.
pub(super) fn designation(text: &str) -> Result<Thread, NotAThread> {
    text.parse::<Thread>().map_err(|error| (error.message, error.at, error.mend))
}

/// Whether `text` designates a thread in inches (ASME B1.1 writes a size, a hyphen and the
/// threads per inch; ISO 965-1 writes an M, or sizes parted by an x).
pub(super) fn is_inch(text: &str) -> bool {
    let text = text.trim_start();
    let metric = text.starts_with(['M', 'm']) || text.contains(['x', 'X', '\u{d7}']);
    !metric && text.contains('-')
}
