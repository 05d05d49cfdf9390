//! What the tests share: the program as a shell runs it, case files, kits, a way to write a mesh,
//! and the exact form of a part.
//!
//! The exact forms ([`exact`], [`shape`]) are written here a second time, from the standard's
//! sharp triangle and from the shapes' own description, so that they judge the mesher instead
//! of repeating it.

pub(crate) mod bench;
pub(crate) mod body;
pub(crate) mod case_files;
pub(crate) mod exact;
pub(crate) mod illustrated;
pub(crate) mod kept;
pub(crate) mod kits;
pub(crate) mod normal;
pub(crate) mod shape;
pub(crate) mod shell;
pub(crate) mod sizes;
pub(crate) mod written;

use netlead::thread::{Hand, Thread};
use netlead::units::Length;

/// A length in mm.
pub(crate) fn mm(value: f64) -> Length {
    Length::mm(value)
}

/// A thread of one start.
pub(crate) fn thread(major: f64, pitch: f64, hand: Hand) -> Thread {
    Thread::free(mm(major), mm(pitch), hand)
}

/// A right-hand thread.
pub(crate) fn right(major: f64, pitch: f64) -> Thread {
    thread(major, pitch, Hand::Right)
}

/// A left-hand thread.
pub(crate) fn left(major: f64, pitch: f64) -> Thread {
    thread(major, pitch, Hand::Left)
}

/// How many cases a property runs: the given number, unless `PROPTEST_CASES` asks for another.
pub(crate) fn cases(usual: u32) -> proptest::prelude::ProptestConfig {
    let asked = std::env::var("PROPTEST_CASES")
        .ok()
        .and_then(|n| n.parse().ok());
    proptest::prelude::ProptestConfig {
        cases: asked.unwrap_or(usual),
        max_shrink_iters: 60,
        ..Default::default()
    }
}
