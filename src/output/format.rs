//! What a format is, and the one way on which all of a folder's are written.

use super::file::OutFile;
use super::record;
use rayon::prelude::*;
use std::error::Error;

/// One format: from a product to the files of it.
pub trait Format<P>: Sync {
    /// Its files, in the order in which reports list them.
    ///
    /// # Errors
    /// What keeps a file from being put together.
    fn files(&self, product: &P) -> Result<Vec<OutFile>, FormatError>;

    /// Whether a file of this name, relative to the folder, may be one of its own. What no format
    /// could have written is never taken for ours.
    fn owns(&self, name: &str) -> bool;

    /// Whether the maker is to write into its files.
    fn is_to_be_filled(&self) -> bool {
        false
    }
}

/// The format that lists the files of all others and its own, by which a folder is known.
pub trait Listing<P>: Sync {
    /// Its file, relative to the folder.
    fn path(&self) -> &'static str;

    /// How the schema in every version of it begins.
    fn family(&self) -> &'static str;

    /// What its file holds, an indented JSON object. `files` are the names of all files, its own the last.
    ///
    /// # Errors
    /// What keeps it from being put together.
    fn bytes(&self, product: &P, files: &[String]) -> Result<Vec<u8>, FormatError>;
}

/// Why a file could not be put together.
#[derive(Debug, thiserror::Error)]
#[error("cannot put {what} together: {reason}")]
pub struct FormatError {
    what: &'static str,
    reason: Box<dyn Error + Send + Sync>,
}

impl FormatError {
    /// Of a reason, and what it keeps from being: `the bill`.
    pub fn of<E: Into<Box<dyn Error + Send + Sync>>>(what: &'static str) -> impl FnOnce(E) -> Self {
        move |reason| Self {
            what,
            reason: reason.into(),
        }
    }
}

/// The formats of one kind of product.
pub struct Formats<P: 'static> {
    /// In the order of their files.
    pub(super) each: &'static [&'static dyn Format<P>],
    pub(super) listing: &'static dyn Listing<P>,
}

impl<P: Sync> Formats<P> {
    /// All files of a product's folder; the one that lists them, and records their digests, is
    /// the last.
    ///
    /// # Errors
    /// The first format that cannot be put together; no product can cause it.
    pub fn write(&self, product: &P) -> Result<Vec<OutFile>, FormatError> {
        // Side by side; in the order of the list whatever is done first.
        let each: Vec<_> = self.each.par_iter().map(|f| f.files(product)).collect();
        let mut files = Vec::new();
        for made in each {
            files.append(&mut made?);
        }
        let mut names: Vec<String> = files.iter().map(|file| file.path.clone()).collect();
        names.push(self.listing.path().into());
        let listing = self.listing.bytes(product, &names)?;
        let bytes = record::recorded(&listing, &files)
            .map_err(FormatError::of("the record of the files"))?;
        files.push(OutFile::new(self.listing.path(), bytes));
        Ok(files)
    }

    /// What tells a folder of these formats from any other.
    pub fn mark(&'static self) -> FolderMark {
        FolderMark {
            listing: self.listing.path(),
            family: self.listing.family(),
            names: self,
        }
    }

    /// What the file holds, among all files, that lists them; empty if there is none.
    pub fn listing<'a>(&self, files: &'a [OutFile]) -> &'a [u8] {
        let found = files.iter().find(|file| file.path == self.listing.path());
        found.map_or(&[], |file| &file.bytes)
    }
}

/// What tells a folder that this program wrote from any other.
#[derive(Clone, Copy)]
pub struct FolderMark {
    /// Name of the file that lists all others.
    pub listing: &'static str,
    /// How the schema in it begins.
    pub family: &'static str,
    names: &'static dyn Names,
}

impl FolderMark {
    /// Whether a file of this name may be one that was written.
    pub fn owns(&self, name: &str) -> bool {
        name == self.listing || self.names.owns(name)
    }

    /// Whether a file of this name is one into which the maker is to write.
    pub fn is_to_be_filled(&self, name: &str) -> bool {
        self.names.is_to_be_filled(name)
    }
}

/// Names of files, of whatever product.
trait Names: Sync {
    fn owns(&self, name: &str) -> bool;
    fn is_to_be_filled(&self, name: &str) -> bool;
}

impl<P> Names for Formats<P> {
    fn owns(&self, name: &str) -> bool {
        self.each.iter().any(|format| format.owns(name))
    }

    fn is_to_be_filled(&self, name: &str) -> bool {
        let mut each = self.each.iter();
        each.any(|format| format.owns(name) && format.is_to_be_filled())
    }
}
