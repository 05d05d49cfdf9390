//! What rules tell a maker to type is what a kit file takes.

use super::*;
use crate::check::judged::Judged;
use crate::check::rule::Judgement;
use crate::kit::keys as declared_keys;
use crate::sequence::Jam;
use toml::de::{DeTable, DeValue};

/// Pieces of a text between backticks, each with the table in which it is said to stand:
/// `` `torque = 2` in `load` ``.
fn quoted(text: &str) -> Vec<(&str, &str)> {
    let parts: Vec<&str> = text.split('`').collect();
    assert!(parts.len() % 2 == 1, "a backtick stands alone: {text}");
    let table = |index: usize| match (parts[index + 1], parts.get(index + 2)) {
        (" in ", Some(table)) => table,
        _ => "",
    };
    let inside = (1..parts.len()).step_by(2);
    inside.map(|index| (parts[index], table(index))).collect()
}

/// Paths of all values of a table, each after the tables in which it stands.
fn paths(within: &str, table: &DeTable<'_>) -> Vec<String> {
    let path = |key: &str| match within {
        "" => key.to_owned(),
        table => format!("{table}.{key}"),
    };
    table
        .iter()
        .flat_map(|(key, value)| {
            let path = path(key.get_ref());
            match value.get_ref() {
                DeValue::Table(inner) => paths(&path, inner),
                _ => vec![path],
            }
        })
        .collect()
}

/// The keys that a text names, and those of the lines that it says to type.
fn named_keys(text: &str) -> Vec<String> {
    let known = |word: &str| word.starts_with("netlead ") || ids().contains(&word);
    let words = quoted(text).into_iter().filter(|(word, _)| !known(word));
    words
        .flat_map(|(word, within)| {
            if !word.contains('=') {
                return vec![word.to_owned()];
            }
            let table = DeTable::parse(word);
            let table = table.unwrap_or_else(|error| panic!("`{word}` is no TOML: {error}"));
            paths(within, table.get_ref())
        })
        .collect()
}

/// Whether a kit file has a key, or a table of keys, of this name.
fn is_declared(name: &str) -> bool {
    let table = format!("{name}.");
    let keys = declared_keys();
    keys.iter()
        .any(|key| key.path == name || key.path.starts_with(&table))
}

#[test]
fn every_key_in_the_manual_of_the_rules_is_one_of_a_kit_file() {
    for rule in RULES {
        for text in [rule.about, rule.why, rule.formula, rule.source, rule.mend] {
            for name in named_keys(text) {
                assert!(is_declared(&name), "{}: {name}", rule.id);
            }
        }
    }
}

/// What every rule says to do about a kit, whether or not it passes.
fn mends(text: &str) -> Vec<(&'static str, String)> {
    let kit = kit(text);
    let profile = Profile::untuned_for(&kit);
    let design = drawn(&kit, &profile);
    let (rates, meshes) = (rates(&design), meshes(&design, *kit.tolerance));
    let case = Case {
        kit: &kit,
        profile: &profile,
        design: &design,
        rates: &rates,
    };
    let ends = design.ends_of_play();
    let clearance = Clearance::of_meshes(&design.assembly, &meshes, *kit.tolerance, &rates, ends);
    let jam = Jam {
        pieces: vec![design.assembly.carriages.leading],
        proved: true,
        cut_short: false,
        causes: Vec::new(),
    };
    let bodies = Bodies {
        meshes: &meshes.iter().collect::<Vec<_>>(),
        clearance: &clearance,
        order: &Order::Stuck(jam),
    };
    let (force, standing) = (force_figures(&case), Standing::of(&case));
    let of = |rule: &'static Rule| {
        let judgements = judgements(rule, &case, Some(&bodies), force.as_ref());
        let judged = Judged::all(judgements.iter().map(Judgement::came_out));
        let said = judgements.into_iter().zip(judged);
        let words = said.filter_map(|(judgement, judged)| {
            Some((rule.id, rule.words(&standing, judged, judgement.mend?)))
        });
        words.collect::<Vec<_>>()
    };
    RULES.iter().flat_map(of).collect()
}

/// Asked for by both kits, so that every rule has something to say.
const ASKED: &str = "net_lead = 1\nadvance = \"clockwise\"\nhand_torque = 50\n\
                     load = { force = 5000, torque = 9, offset = 60 }\n\
                     gaps = { slide = 0.3, thread = 0.3, locate = 0.2 }\n\
                     spring = { wire = 1, outside = 13, free = 70, coils = 5 }\n\
                     bed = [60, 60, 60]\n";

#[test]
fn every_key_in_a_mend_is_one_that_the_kit_may_have() {
    let single = "name = \"t\"\nlayout = \"single\"\ndrive = \"M16xPh2P1\"\nstroke = 40\n\
                  end = \"press\"\n";
    let of_nested = ["inner", "sizes.inner_thread", "sizes.bore", "sizes.collar"];
    let mut spoke = Vec::new();
    for (kit, absent) in [
        (nested(&format!("{GOOD}{ASKED}")), &[][..]),
        (
            format!(
                "{single}{}",
                ASKED.replace("gaps = {", "gaps = { swivel = 0.5,")
            ),
            &of_nested[..],
        ),
    ] {
        for (id, mend) in mends(&kit) {
            spoke.push(id);
            for name in named_keys(&mend) {
                assert!(is_declared(&name), "{id}: `{name}` in: {mend}");
                assert!(!absent.contains(&name.as_str()), "{id}: {mend}");
            }
        }
    }
    let silent = ids().into_iter().filter(|id| !spoke.contains(id));
    assert_eq!(silent.collect::<Vec<_>>(), Vec::<&str>::new());
}
