//! Where the profiles of printers come from that kits name.

use crate::diagnostic::Diagnostic;
use crate::kit::{Printer, Said};
use std::collections::BTreeMap;

/// Profiles of printers at hand, wherever they are kept.
pub trait Profiles: Sync {
    /// The profile that a kit names.
    ///
    /// # Errors
    /// That there is none, or that it cannot be had; it points at the kit's key.
    fn find(&self, printer: &Said<Printer>) -> Result<Found, Diagnostic>;
}

/// The text of a profile, and where it was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// For people.
    pub path: String,
    /// TOML, as `netlead tune` writes it.
    pub text: String,
}

/// Profiles that a program holds as texts, by what a kit's `printer` says: a name, or a path.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct InMemory(BTreeMap<String, String>);

impl InMemory {
    /// None at all: a kit that names a printer is refused.
    pub fn none() -> Self {
        Self::default()
    }

    /// These and one more, in place of what had its name.
    #[must_use]
    pub fn with(mut self, name: impl Into<String>, text: impl Into<String>) -> Self {
        self.0.insert(name.into(), text.into());
        self
    }
}

impl Profiles for InMemory {
    fn find(&self, printer: &Said<Printer>) -> Result<Found, Diagnostic> {
        let (Printer::Named(name) | Printer::File(name)) = &printer.value;
        let text = self.0.get(name).cloned();
        text.map(|text| Found {
            path: name.clone(),
            text,
        })
        .ok_or_else(|| {
            let message = format!("there is no profile of the printer `{name}` at hand");
            Diagnostic::error(message, printer.place())
                .label("not at hand")
                .mend("give its text along, or leave `printer` out to use the shipped guesses")
        })
    }
}
