//! Finding the printer profile that a kit names: beside the kit, then in the user's folder.

use super::input;
use super::trouble::shown;
use crate::diagnostic::Diagnostic;
use crate::kit::{Printer, Said};
use crate::making::{Found, Profiles};
use std::env;
use std::ffi::OsString;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// How the file of a profile is called, behind its name.
const ENDING: &str = ".printer.toml";
/// Where profiles are looked for.
#[derive(Clone, Debug)]
pub(super) struct Shelf {
    /// The kit's folder.
    kit: PathBuf,
    /// The user's folder; `None` where the environment names none.
    user: Option<PathBuf>,
}

impl Shelf {
    /// The shelf for a kit file: `$NETLEAD_PRINTERS`, else `netlead/printers` below
    /// `$XDG_CONFIG_HOME` or below `.config` in `$HOME`, is the user's folder.
    pub(super) fn of(kit: &Path) -> Self {
        let folder = kit.parent().unwrap_or(Path::new(""));
        Self {
            kit: folder.to_owned(),
            user: user_folder(|name| env::var_os(name)),
        }
    }

    /// Whether there is a profile of a name, readable or not.
    pub(super) fn has(&self, name: &str) -> bool {
        let places = self.places(&Printer::Named(name.to_owned()));
        places.iter().any(|place| place.exists())
    }

    /// Where the profile of a name stands beside the kit.
    pub(super) fn beside_kit(&self, name: &str) -> PathBuf {
        self.kit.join(format!("{name}{ENDING}"))
    }

    /// The files that a name or path may mean, in the order in which they are looked for.
    fn places(&self, printer: &Printer) -> Vec<PathBuf> {
        match printer {
            Printer::File(path) => vec![self.kit.join(path)],
            Printer::Named(name) => {
                let file = format!("{name}{ENDING}");
                let user = self.user.iter().map(|folder| folder.join(&file));
                std::iter::once(self.kit.join(&file)).chain(user).collect()
            }
        }
    }
}

impl Profiles for Shelf {
    fn find(&self, printer: &Said<Printer>) -> Result<Found, Diagnostic> {
        let places = self.places(&printer.value);
        for place in &places {
            match input::text(place, &input::PROFILE) {
                Ok(text) => {
                    return Ok(Found {
                        path: shown(place),
                        text,
                    });
                }
                Err((ErrorKind::NotFound, _)) => {}
                Err((_, message)) => {
                    return Err(Diagnostic::error(message, printer.place())
                        .label("names this profile")
                        .mend("mend the file, or leave `printer` out to use the shipped guesses"));
                }
            }
        }
        let looked: Vec<String> = places.iter().map(|place| shown(place)).collect();
        let (Printer::Named(name) | Printer::File(name)) = &printer.value;
        let message = format!(
            "there is no profile of the printer `{name}`; looked for {}",
            looked.join(", then ")
        );
        Err(Diagnostic::error(message, printer.place())
            .label("not found")
            .mend(
                "write one with `netlead tune`, or leave `printer` out to use the shipped guesses",
            ))
    }
}

fn user_folder(variable: impl Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    let set = |name| variable(name).filter(|value| !value.is_empty());
    if let Some(folder) = set("NETLEAD_PRINTERS") {
        return Some(folder.into());
    }
    // The XDG Base Directory Specification, version 0.8, lets relative paths count for nothing.
    let configuration = set("XDG_CONFIG_HOME")
        .map(PathBuf::from)
        .filter(|folder| folder.is_absolute())
        .or_else(|| set("HOME").map(|home| Path::new(&home).join(".config")))?;
    Some(configuration.join("netlead").join("printers"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(variables: &[(&str, &str)]) -> Option<PathBuf> {
        user_folder(|name| {
            let found = variables.iter().find(|(other, _)| *other == name);
            found.map(|(_, value)| value.into())
        })
    }

    #[test]
    fn the_users_folder_is_the_first_that_the_environment_names() {
        let home = ("HOME", "/home/maker");
        let xdg = ("XDG_CONFIG_HOME", "/settings");
        let own = ("NETLEAD_PRINTERS", "profiles");
        let is = |variables: &[(&str, &str)], path: &str| {
            assert_eq!(folder(variables).as_deref(), Some(Path::new(path)));
        };
        is(&[home, xdg, own], "profiles");
        is(&[home, xdg], "/settings/netlead/printers");
        is(&[home], "/home/maker/.config/netlead/printers");
        is(
            &[home, ("XDG_CONFIG_HOME", "here")],
            "/home/maker/.config/netlead/printers",
        );
        is(
            &[home, ("NETLEAD_PRINTERS", "")],
            "/home/maker/.config/netlead/printers",
        );
        assert_eq!(folder(&[]), None);
    }
}
