//! `tune FORM` where the form is of pieces that were broken: their strength into a profile.

use super::trouble::{Ending, Trouble, shown};
use super::{profile_file, rendered, streams};
use crate::diagnostic::Diagnostic;
use crate::output::bench::{broken_page, tune_page};
use crate::output::words::material_name;
use crate::printer::Profile;
use crate::tuning::form::{self, FilledForm};
use crate::tuning::{breaking, tune};
use std::path::{Path, PathBuf};

/// Learns what a print bears; `None` where the form is not about that, or is not understood.
pub(super) fn run(
    path: &Path,
    text: &str,
    (old, out): (&Option<Profile>, &Option<PathBuf>),
    json: bool,
) -> Result<Option<Ending>, Trouble> {
    let Ok((form, mut notes)) = form::read(text) else {
        return Ok(None);
    };
    let told = |problems: &[Diagnostic]| streams::tell(&rendered(&shown(path), text, problems));
    let broken = match breaking::broken(&form.breaks) {
        Ok(None) => return Ok(None),
        Ok(Some(broken)) => broken,
        Err(problems) => {
            told(&problems);
            return Ok(Some(Ending::Rejected));
        }
    };
    let default = || PathBuf::from(format!("{}.printer.toml", form.printer));
    let target = out.clone().unwrap_or_else(default);
    let before = match old {
        Some(old) => Some(old.clone()),
        // What was learnt of its gaps stays.
        None if target.exists() => match profile_file::read(&target)? {
            Ok(profile) => Some(profile),
            Err(problems) => {
                streams::tell(&problems);
                return Ok(Some(Ending::Rejected));
            }
        },
        None => None,
    };
    if let Some(before) = before
        .iter()
        .find(|before| before.material != form.made.material)
    {
        return Err(other_material(before, &form));
    }
    let differences = before
        .iter()
        .flat_map(|old| tune_page::other_settings(&form, old));
    notes.extend(differences.map(|what| Diagnostic::warning(what, 0..0)));
    let mut profile = before.unwrap_or_else(|| tune::blank(&form));
    profile.name.clone_from(&form.printer);
    if !form.date.is_empty() {
        profile.date.clone_from(&form.date);
    }
    profile.strength = Some(broken.strength);
    let copy = profile_file::replace(&target, &profile)?;
    told(&notes);
    if json {
        let data = broken_page::json(&broken).map_err(|error| Trouble::new(error.to_string()))?;
        streams::json(&data)?;
        return Ok(Some(Ending::Done));
    }
    let mut page = broken_page::text(&broken, form.made.material);
    page += &format!("wrote {}\n", shown(&target));
    if let Some(copy) = copy {
        page += &format!("the profile that was there is kept as {}\n", shown(&copy));
    }
    page += &format!(
        "a kit beside it uses it by: printer = \"{}\"\n",
        profile.name
    );
    streams::page(&page)?;
    Ok(Some(Ending::Done))
}

/// A profile is of one filament.
fn other_material(before: &Profile, form: &FilledForm) -> Trouble {
    let [was, is] = [before.material, form.made.material].map(material_name);
    Trouble::new(format!(
        "the profile is of {was}, the pieces that were broken of {is}"
    ))
    .mend("name another printer in the form, and its profile by --profile if it has one")
}
