//! From what was worked out to bytes and text, one file per format; none touches a file.
//!
//! [`words`] is what all share, [`kit`] the folder that `make` writes, [`page`] what a terminal
//! shows of it, [`bench`] what is printed, measured and tried before and after.

pub mod bench;
pub mod file;
pub mod kit;
pub mod page;
pub mod words;
