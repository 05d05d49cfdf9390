//! What a new run changes against an earlier one of the same kit: which parts to print again
//! and why, and which may stay.

use super::product::{Change, Product};
use crate::assembly::{Made, Part};
use crate::units_told::number;
use serde::Deserialize;
use std::collections::BTreeMap;

/// What an earlier run left, as far as it is compared.
#[derive(Clone, Debug)]
pub struct Earlier {
    report: OldReport,
    /// Bytes of its files, by the names its report gives them.
    files: BTreeMap<String, Vec<u8>>,
}

#[derive(Clone, Debug, Deserialize)]
struct OldReport {
    kit: OldKit,
    parts: Vec<OldPart>,
}

#[derive(Clone, Debug, Deserialize)]
struct OldKit {
    name: String,
}

#[derive(Clone, Debug, Deserialize)]
struct OldPart {
    name: String,
    quantity: usize,
    file: Option<String>,
    #[serde(default)]
    recipe: Vec<Ingredient>,
}

#[derive(Clone, Debug, Deserialize)]
struct Ingredient {
    name: String,
    value_mm: f64,
}

/// Values that differ by less are the same, in mm: the report's own rounding.
const SAME: f64 = 1e-6;

impl Earlier {
    /// From the bytes of a report and a way to read the files it names; `None` if it is not
    /// one of ours.
    pub fn read(report: &[u8], file: impl Fn(&str) -> Option<Vec<u8>>) -> Option<Self> {
        let report: OldReport = serde_json::from_slice(report).ok()?;
        let names = report.parts.iter().filter_map(|part| part.file.clone());
        let files = names
            .filter_map(|name| file(&name).map(|bytes| (name, bytes)))
            .collect();
        Some(Self { report, files })
    }

    /// What becomes of every printed part; `None` if the earlier run was of another kit.
    pub fn changes(&self, product: &Product) -> Option<Vec<(String, Change)>> {
        if self.report.kit.name != product.kit.name {
            return None;
        }
        let parts = product.design.assembly.parts.iter().zip(&product.bodies);
        let printed = parts.filter(|(part, _)| part.made == Made::Printed);
        let change = printed.map(|(part, body)| {
            let bytes = body.written().map(|written| &written.bytes);
            (part.name.clone(), self.change(part, bytes))
        });
        Some(change.collect())
    }

    fn change(&self, part: &Part, bytes: Option<&Vec<u8>>) -> Change {
        let Some(old) = self.report.parts.iter().find(|old| old.name == part.name) else {
            return Change::New;
        };
        let old_bytes = old.file.as_ref().and_then(|file| self.files.get(file));
        if old_bytes.is_some() && old_bytes == bytes {
            if part.quantity > old.quantity {
                return Change::Reprint(vec![format!("{} more", part.quantity - old.quantity)]);
            }
            return Change::Keep;
        }
        Change::Reprint(differences(part, &old.recipe))
    }
}

fn differences(part: &Part, old: &[Ingredient]) -> Vec<String> {
    let value = |name: &str| old.iter().find(|i| i.name == name).map(|i| i.value_mm);
    let told = |mm: f64| number(mm, 3);
    let changed = part.recipe.iter().filter_map(|(name, new)| {
        let new = new.as_mm();
        match value(name) {
            Some(old) if (old - new).abs() < SAME => None,
            Some(old) => Some(format!("{name} {} to {} mm", told(old), told(new))),
            None => Some(format!("{name} {} mm is new", told(new))),
        }
    });
    let changed: Vec<String> = changed.collect();
    if changed.is_empty() {
        return vec!["drawn anew: tolerance, marks or this program changed".into()];
    }
    changed
}

/// Sentences for people: what to print again and why, then what may stay.
pub fn told(changes: &[(String, Change)]) -> Vec<String> {
    let mut lines: Vec<String> = changes
        .iter()
        .filter_map(|(name, change)| match change {
            Change::Keep => None,
            Change::Reprint(why) => Some(format!("reprint {name}: {}", why.join("; "))),
            Change::New => Some(format!("print {name}: it is new")),
        })
        .collect();
    let kept: Vec<&str> = changes
        .iter()
        .filter(|(_, change)| *change == Change::Keep)
        .map(|(name, _)| name.as_str())
        .collect();
    if !kept.is_empty() {
        lines.push(format!("keep {}", kept.join(", ")));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::super::fixture;
    use super::*;
    use crate::output::formats::KIT;
    use crate::output::part::PartBody;

    fn earlier(product: &Product) -> Earlier {
        let made = KIT.write(product).unwrap();
        let find = |name: &str| {
            made.iter()
                .find(|file| file.path == name)
                .map(|file| file.bytes.clone())
        };
        Earlier::read(KIT.listing(&made), find).unwrap()
    }

    #[test]
    fn a_run_that_changes_nothing_keeps_everything() {
        let product = fixture::nested();
        let changes = earlier(&product).changes(&product).unwrap();
        assert!(changes.iter().all(|(_, change)| *change == Change::Keep));
        assert_eq!(told(&changes).len(), 1);
    }

    #[test]
    fn a_part_that_differs_says_by_what() {
        let old = fixture::nested();
        let mut new = old.clone();
        new.design.assembly.parts[0].recipe[0].1 = crate::units::Length::mm(10.25);
        let PartBody::Printed(written) = &mut new.bodies[0] else {
            panic!("the frame is printed")
        };
        written.bytes.push(0);
        let changes = earlier(&old).changes(&new).unwrap();
        let name = &new.design.assembly.parts[0].name;
        assert_eq!(
            changes[0],
            (
                name.clone(),
                Change::Reprint(vec!["side 10 to 10.25 mm".into()])
            )
        );
        assert!(
            changes[1..]
                .iter()
                .all(|(_, change)| *change == Change::Keep)
        );
    }

    #[test]
    fn another_kit_is_not_compared() {
        let old = fixture::nested();
        let mut new = old.clone();
        new.kit.name = "another".into();
        assert_eq!(earlier(&old).changes(&new), None);
    }

    #[test]
    fn what_is_not_a_report_is_not_compared() {
        assert!(Earlier::read(b"{}", |_| None).is_none());
        assert!(Earlier::read(b"\xff", |_| None).is_none());
    }
}
