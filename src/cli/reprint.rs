//! What `make --reprint` asks for: how many pieces of which parts are printed again.

use super::streams;
use super::trouble::{Trouble, shown};
use crate::assembly::Made;
use crate::making::Read;
use crate::output::kit::{Change, Product};
use std::path::Path;

/// What is to be printed again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Reprint {
    /// What another run left otherwise.
    Changed,
    /// All pieces of these parts.
    Parts(Vec<String>),
}

/// The word for [`Reprint::Changed`].
const CHANGED: &str = "changed";

impl Reprint {
    /// From the word that was typed: `changed`, or names with commas between.
    pub(super) fn typed(word: &str) -> Self {
        match word {
            CHANGED => Self::Changed,
            names => Self::Parts(names.split(',').map(|name| name.trim().into()).collect()),
        }
    }

    /// Lays on beds what is asked for of a product that is to be written into a folder.
    pub(super) fn lay(
        &self,
        read: &Read,
        product: &mut Product,
        folder: &Path,
    ) -> Result<(), Trouble> {
        let pieces = match self {
            Self::Changed => match &product.changes {
                Some(changes) => changed(product, changes),
                None => {
                    let folder = shown(folder);
                    streams::note(Some(format!(
                        "{folder} held no earlier run of this kit that what changed could be told by: there \
                         is no bed of it"
                    )));
                    return Ok(());
                }
            },
            Self::Parts(names) => named(product, names)?,
        };
        read.reprint(product, &pieces);
        Ok(())
    }
}

/// How many pieces of each part the changes of an earlier run ask for.
fn changed(product: &Product, changes: &[(String, Change)]) -> Vec<usize> {
    let parts = product.design.assembly.parts.iter();
    let pieces = parts.map(|part| {
        let change = changes.iter().find(|(name, _)| *name == part.name);
        match change.map(|(_, change)| change) {
            Some(Change::Reprint(_) | Change::New) => part.quantity,
            Some(Change::More(pieces)) => *pieces,
            Some(Change::Keep | Change::Edited | Change::Bought) | None => 0,
        }
    });
    pieces.collect()
}

/// All pieces of the parts of these names.
fn named(product: &Product, names: &[String]) -> Result<Vec<usize>, Trouble> {
    let parts = &product.design.assembly.parts;
    let printed = || parts.iter().filter(|part| part.made == Made::Printed);
    if let Some(unknown) = names
        .iter()
        .find(|name| !printed().any(|part| part.name == **name))
    {
        let all: Vec<&str> = printed().map(|part| part.name.as_str()).collect();
        return Err(Trouble::new(format!(
            "`--reprint` names `{}`, which is no printed part of this kit; name some of {}, with commas \
             between, or write {CHANGED}",
            shown(Path::new(unknown)),
            all.join(", ")
        )));
    }
    let pieces = parts.iter().map(|part| match names.contains(&part.name) {
        true => part.quantity,
        false => 0,
    });
    Ok(pieces.collect())
}
