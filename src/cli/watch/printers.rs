//! Where the profile of a kit's printer comes from while it is watched: from the shelf, as for every command, or
//! from a filled form, as `tune` would learn it, with no file written.

use crate::cli::printer_file::Shelf;
use crate::cli::trouble::{Trouble, shown};
use crate::cli::{input, profile_file, tune};
use crate::diagnostic::{Diagnostic, Severity, remark};
use crate::kit::{Printer, Said};
use crate::making::{Found, Profiles};
use std::path::{Path, PathBuf};

/// Where profiles come from.
#[derive(Debug)]
pub(super) enum Printers {
    /// Beside the kit, then the user's folder.
    Shelf(Shelf),
    /// What a form teaches of the printer that the kit names.
    Form(PathBuf),
}

/// A profile that a form taught.
struct Learnt(Found);

impl Profiles for Learnt {
    fn find(&self, _: &Said<Printer>) -> Result<Found, Diagnostic> {
        Ok(self.0.clone())
    }
}

impl Printers {
    /// For a kit, with the form that is to be learnt from, if one is.
    pub(super) fn of(kit: &Path, form: Option<&Path>) -> Self {
        form.map_or_else(
            || Self::Shelf(Shelf::of(kit)),
            |form| Self::Form(form.to_owned()),
        )
    }

    /// Files on which the profile of the printer that a kit names hangs, there or not.
    pub(super) fn places(&self, printer: Option<&Said<Printer>>) -> Vec<PathBuf> {
        match (self, printer) {
            (Self::Shelf(shelf), Some(printer)) => shelf.places(&printer.value),
            (Self::Shelf(_), None) => Vec::new(),
            (Self::Form(form), _) => vec![form.clone()],
        }
    }

    /// Profiles as the files stand now, for a kit that names a printer or none, and what is to be said of
    /// them (may be empty).
    ///
    /// # Errors
    /// What is wrong with a form, rendered for people.
    pub(super) fn at_hand(
        &self,
        is_named: bool,
    ) -> Result<(Box<dyn Profiles + '_>, String), String> {
        let form = match self {
            Self::Shelf(shelf) => return Ok((Box::new(shelf.clone()), String::new())),
            Self::Form(form) => form,
        };
        if !is_named {
            let message = "the kit names no printer, so the form says nothing of it";
            let mend = "write `printer = \"NAME\"` into the kit, with the form's name of it";
            return Err(remark(Severity::Error, message, Some(mend)));
        }
        let broken = |trouble: Trouble| trouble.to_string();
        let text = input::read(form, &input::FORM).map_err(broken)?;
        let (tuned, notes) = tune::by_form(form, &text, None)?;
        let text = profile_file::written(&tuned.profile).map_err(broken)?;
        let said = format!(
            "the printer's profile is what {0} teaches; `netlead tune {0}` writes it down",
            shown(form)
        );
        let learnt = Learnt(Found {
            path: shown(form),
            text,
        });
        let said = remark(Severity::Note, &said, None);
        Ok((Box::new(learnt), notes + &said))
    }
}
