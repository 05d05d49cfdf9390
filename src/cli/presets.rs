//! `presets`: the kits that come with the program, and the table of them.

use super::streams;
use super::trouble::{Ending, Trouble};
use crate::output::words;
use serde::Serialize;

/// A kit that comes with the program.
#[derive(Debug)]
pub(super) struct Preset {
    /// By which it is asked for.
    pub(super) name: &'static str,
    /// The kit file.
    pub(super) text: &'static str,
}

/// All of them, in the order in which they are listed.
pub(super) const PRESETS: &[Preset] = &[
    Preset {
        name: "desk-stage",
        text: include_str!("../../presets/desk-stage.toml"),
    },
    Preset {
        name: "focus-stage",
        text: include_str!("../../presets/focus-stage.toml"),
    },
    Preset {
        name: "gauge-pusher",
        text: include_str!("../../presets/gauge-pusher.toml"),
    },
    Preset {
        name: "levelling-foot",
        text: include_str!("../../presets/levelling-foot.toml"),
    },
    Preset {
        name: "board-stop",
        text: include_str!("../../presets/board-stop.toml"),
    },
    Preset {
        name: "connector-press",
        text: include_str!("../../presets/connector-press.toml"),
    },
    Preset {
        name: "pin-press",
        text: include_str!("../../presets/pin-press.toml"),
    },
    Preset {
        name: "plain-stage",
        text: include_str!("../../presets/plain-stage.toml"),
    },
    Preset {
        name: "hold-down",
        text: include_str!("../../presets/hold-down.toml"),
    },
    Preset {
        name: "glue-clamp",
        text: include_str!("../../presets/glue-clamp.toml"),
    },
    Preset {
        name: "fine-stop",
        text: include_str!("../../presets/fine-stop.toml"),
    },
    Preset {
        name: "slide-copier",
        text: include_str!("../../presets/slide-copier.toml"),
    },
    Preset {
        name: "self-centring-vise",
        text: include_str!("../../presets/self-centring-vise.toml"),
    },
    Preset {
        name: "centring-jaws",
        text: include_str!("../../presets/centring-jaws.toml"),
    },
];

/// Similarity (Jaro-Winkler, 0 to 1) from which a name is offered for a misspelt one: guess.
const SIMILAR: f64 = 0.7;

impl Preset {
    /// The first comment of the kit file.
    pub(super) fn description(&self) -> &'static str {
        let first = self.text.lines().find_map(|line| line.strip_prefix('#'));
        first.unwrap_or_default().trim()
    }

    /// The preset of a name, or what to type instead.
    pub(super) fn named(name: &str) -> Result<&'static Self, Trouble> {
        PRESETS
            .iter()
            .find(|preset| preset.name == name)
            .ok_or_else(|| {
                let trouble = Trouble::new(format!("no preset is called `{}`", words::plain(name)));
                match nearest(name, PRESETS.iter().map(|preset| preset.name)) {
                    Some(near) => trouble.mend(format!(
                        "write `netlead start {near}` if that is meant; `netlead presets` lists all"
                    )),
                    None => trouble.mend("name one that `netlead presets` lists"),
                }
            })
    }
}

/// The nearest of some names to one that is none of them, if any is near.
pub(super) fn nearest<'k>(name: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let name = name.to_lowercase();
    known
        .into_iter()
        .map(|known| (strsim::jaro_winkler(&name, known), known))
        .filter(|(similarity, _)| *similarity >= SIMILAR)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}

#[derive(Serialize)]
struct Entry {
    name: &'static str,
    description: &'static str,
}

/// Lists them.
pub(super) fn run(json: bool) -> Result<Ending, Trouble> {
    if json {
        let entries: Vec<Entry> = PRESETS
            .iter()
            .map(|preset| Entry {
                name: preset.name,
                description: preset.description(),
            })
            .collect();
        let list = serde_json::to_string_pretty(&entries)
            .map_err(|error| Trouble::new(error.to_string()))?;
        streams::json(&format!("{list}\n"))?;
    } else {
        let widest = PRESETS.iter().map(|preset| preset.name.len()).max();
        let width = widest.unwrap_or_default() + 2;
        let lines = PRESETS.iter().map(|preset| {
            let name = format!("{:<width$}", preset.name);
            words::folded(&name, &" ".repeat(width), preset.description())
        });
        streams::page(&lines.collect::<String>())?;
    }
    Ok(Ending::Done)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_has_its_own_name_and_a_description() {
        let mut names: Vec<_> = PRESETS.iter().map(|preset| preset.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), PRESETS.len());
        for preset in PRESETS {
            assert!(!preset.description().is_empty(), "{}", preset.name);
        }
    }

    #[test]
    fn a_misspelt_name_gets_the_nearest_and_nonsense_gets_the_list() {
        let told = |name| Preset::named(name).unwrap_err().to_string();
        assert!(told("desk-stag").contains("`netlead start desk-stage`"));
        assert!(!told("zzz").contains("netlead start"));
    }
}
