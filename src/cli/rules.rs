//! `rules`, `rules ID`: what is judged, how, and where its limits come from.

use super::streams;
use super::trouble::{Ending, Trouble};
use crate::check::{self, RULES, Rule};
use crate::output::page::rules_page;
use crate::output::words::plain;

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Without an ID, all rules are listed; with one, its page: why it matters, how the value is \
reckoned and at which values it warns or fails, where the limits come from, and what to do.

Example:
  netlead rules drive-wall")]
pub(super) struct Raw {
    /// One rule, by its name
    id: Option<String>,
}

/// Prints the list or one page.
pub(super) fn run(raw: &Raw, json: bool) -> Result<Ending, Trouble> {
    let rules: Vec<&Rule> = match &raw.id {
        Some(id) => vec![named(id)?],
        None => RULES.iter().collect(),
    };
    if json {
        let data = rules_page::json(&rules).map_err(|error| Trouble::new(error.to_string()))?;
        streams::json(&data)?;
    } else if let (Some(_), [rule]) = (&raw.id, rules.as_slice()) {
        streams::page(&rules_page::page(rule))?;
    } else {
        streams::page(&rules_page::list())?;
    }
    Ok(Ending::Done)
}

/// The rule of a name, or what to type instead.
fn named(id: &str) -> Result<&'static Rule, Trouble> {
    check::rule(id).ok_or_else(|| {
        let trouble = Trouble::new(format!("no rule is called `{}`", plain(id)));
        let mend = match super::presets::nearest(id, check::ids()) {
            Some(near) => {
                format!("write `netlead rules {near}` if that is meant; `netlead rules` lists all")
            }
            None => "name one that `netlead rules` lists".into(),
        };
        trouble.mend(mend)
    })
}
