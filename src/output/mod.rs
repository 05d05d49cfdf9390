//! One file per format; each returns bytes.

pub mod thread_sheet;
