//! Thread designations: the one place where a kit's text meets the thread room's parser.

use crate::thread::{Hand, Thread};
use crate::units::Length;
use std::ops::Range;

/// Why a text is not a designation: what is wrong, where in the text, what to write.
pub(super) type NotAThread = (String, Range<usize>, Option<String>);

/// The thread that `text` designates.
///
/// TO BE REPLACED by the thread room's own parser. This one only knows `M20x2.5`, `20x2.5`
/// and `7/8-9 UNC`, each with an optional `-LH`.
pub(super) fn designation(text: &str) -> Result<Thread, NotAThread> {
    let fault = || {
        (
            format!("`{text}` is not a thread designation"),
            0..text.len(),
            Some("write a designation such as `M20x2.5`, `M16-LH` or `3/4-10 UNC`".to_owned()),
        )
    };
    let (sizes, hand) = match text.trim().strip_suffix("-LH") {
        Some(sizes) => (sizes, Hand::Left),
        None => (text.trim(), Hand::Right),
    };
    let (major, pitch) = metric(sizes).or_else(|| inch(sizes)).ok_or_else(fault)?;
    let possible = major.as_mm().is_finite() && pitch.as_mm() > 0.0 && major > pitch * 1.1;
    if possible {
        Ok(Thread::free(major, pitch, hand))
    } else {
        Err(fault())
    }
}

/// Whether `text` designates a thread in inches (ASME B1.1 writes a size, a hyphen and the
/// threads per inch; ISO 965-1 writes an M, or sizes parted by an x).
pub(super) fn is_inch(text: &str) -> bool {
    let text = text.trim_start();
    let metric = text.starts_with(['M', 'm']) || text.contains(['x', 'X', '\u{d7}']);
    !metric && text.contains('-')
}

fn metric(text: &str) -> Option<(Length, Length)> {
    let (major, pitch) = text.strip_prefix('M').unwrap_or(text).split_once('x')?;
    Some((
        Length::mm(major.parse().ok()?),
        Length::mm(pitch.parse().ok()?),
    ))
}

fn inch(text: &str) -> Option<(Length, Length)> {
    let (size, series) = text.rsplit_once('-')?;
    let (over, under) = size.split_once('/')?;
    let threads_per_inch: f64 = series.split(' ').next()?.parse().ok()?;
    let size = over.parse::<f64>().ok()? / under.parse::<f64>().ok()?;
    Some((Length::inches(size), Length::inches(1.0 / threads_per_inch)))
}
