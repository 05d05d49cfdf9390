//! From what was worked out to bytes and text, one file per format, all named in
//! [`formats`]; none touches a file.
//!
//! [`words`] is what all share, [`part`] what is printed, [`kit`] the folder that `make` writes,
//! [`page`] what a terminal shows of it, `bench` what is printed, measured and tried before and
//! after.

pub mod aid_files;
pub mod album;
pub mod apart;
pub mod assembly_file;
pub mod bed_files;
pub(crate) mod bench;
mod document;
pub mod file;
pub mod format;
pub mod formats;
pub mod guide;
pub mod kit;
pub mod page;
pub mod part;
mod part_files;
mod picture_files;
pub(crate) mod record;
mod sheet;
mod svg;
pub mod viewer;
pub mod words;
