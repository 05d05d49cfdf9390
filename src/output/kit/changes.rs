//! What a new run changes against an earlier one of the same kit: which parts to print again
//! and why, and which may stay.

use super::product::{Change, Product};
use crate::assembly::{Made, Part};
use crate::output::record::{Record, digest};
use crate::units::Length;
use crate::units_told::Told;
use serde::Deserialize;
use std::collections::BTreeSet;

/// What an earlier run left, as far as it is compared.
#[derive(Clone, Debug)]
pub(crate) struct Earlier {
    report: OldReport,
    /// Digests of its files as they were written.
    record: Record,
    /// Files that were edited since.
    edited: BTreeSet<String>,
}

#[derive(Clone, Debug, Deserialize)]
struct OldReport {
    kit: OldKit,
    parts: Vec<OldPart>,
}

#[derive(Clone, Debug, Deserialize)]
struct OldKit {
    name: String,
    tolerance_mm: Option<f64>,
}

#[derive(Clone, Debug, Deserialize)]
struct OldPart {
    name: String,
    quantity: usize,
    file: Option<String>,
    revision: Option<String>,
    #[serde(default)]
    recipe: Vec<Ingredient>,
}

#[derive(Clone, Debug, Deserialize)]
struct Ingredient {
    name: String,
    value_mm: f64,
}

/// Decimals of a millimetre in what has changed.
const DECIMALS: usize = 3;
/// Values that differ by less are the same, in mm: the report's own rounding.
const SAME: f64 = 1e-6;

impl Earlier {
    /// From the bytes of a report and the names of the files beside it that were edited since;
    /// `None` if it is not one of ours, or was edited itself.
    pub(crate) fn read(report: &[u8], edited: impl IntoIterator<Item = String>) -> Option<Self> {
        Some(Self {
            record: Record::read(report)?,
            report: serde_json::from_slice(report).ok()?,
            edited: edited.into_iter().collect(),
        })
    }

    /// What becomes of every printed part, and of every one that was; `None` if the earlier run was of
    /// another kit.
    pub(crate) fn changes(&self, product: &Product) -> Option<Vec<(String, Change)>> {
        if self.report.kit.name != product.kit.name {
            return None;
        }
        let parts = product.design.assembly.parts.iter().zip(&*product.bodies);
        let change = parts.filter_map(|(part, body)| {
            let bytes = body.written().map(|written| written.bytes.as_slice());
            let tolerance = product.kit.tolerance.as_mm();
            let told = product.kit.told();
            let change = match &part.made {
                Made::Printed => self.change(part, bytes, tolerance, told),
                Made::Bought(_) => self.was_printed(&part.name).then_some(Change::Bought)?,
            };
            Some((part.name.clone(), change))
        });
        Some(change.collect())
    }

    /// Whether an earlier run had a file of a part.
    fn was_printed(&self, name: &str) -> bool {
        let mut parts = self.report.parts.iter();
        parts.any(|old| old.name == name && old.file.is_some())
    }

    fn change(&self, part: &Part, bytes: Option<&[u8]>, tolerance: f64, told: Told) -> Change {
        let Some(old) = self.report.parts.iter().find(|old| old.name == part.name) else {
            return Change::New;
        };
        if old.file.is_none() {
            return Change::New;
        }
        let written = old.file.as_ref().and_then(|file| self.record.of(file));
        let edited = old.file.as_ref().is_some_and(|f| self.edited.contains(f));
        if written.is_some() && written == bytes.map(digest).as_deref() {
            if edited {
                return Change::Edited;
            }
            if part.quantity > old.quantity {
                return Change::More(part.quantity - old.quantity);
            }
            return Change::Keep;
        }
        let mut why = differences(part, &old.recipe, told);
        if why.is_empty() {
            why.push(self.drawn_anew(tolerance, told));
        }
        if edited {
            why.push("its old file was edited by hand".into());
        }
        let new = part.label.as_ref().map(|label| &label.revision);
        if let (Some(new), Some(old)) = (new, &old.revision) {
            why.push(match new == old {
                true => format!("by chance its revision is the old one's, {old}: mark the old one"),
                false => format!("revision {new} for {old}"),
            });
        }
        Change::Reprint(why)
    }

    /// Why a part that is made from the same list has another file.
    fn drawn_anew(&self, tolerance: f64, told: Told) -> String {
        match self.report.kit.tolerance_mm {
            Some(old) if (old - tolerance).abs() >= SAME => format!(
                "drawn anew: tolerance {}",
                told.between(Length::mm(old), Length::mm(tolerance), DECIMALS)
            ),
            _ => "drawn anew: its marks or this program changed".into(),
        }
    }
}

/// What of the list that a part is made from is another.
fn differences(part: &Part, old: &[Ingredient], told: Told) -> Vec<String> {
    let value = |name: &str| old.iter().find(|i| i.name == name).map(|i| i.value_mm);
    let changed = part
        .recipe
        .iter()
        .filter_map(|(name, new)| match value(name) {
            Some(old) if (old - new.as_mm()).abs() < SAME => None,
            Some(old) => {
                let way = told.between(Length::mm(old), *new, DECIMALS);
                Some(format!("{name} {way}"))
            }
            None => Some(format!("{name} {} is new", told.length(*new, DECIMALS))),
        });
    changed.collect()
}

/// Sentences for people: what to print again and why, then what may stay.
pub(crate) fn told(changes: &[(String, Change)]) -> Vec<String> {
    let mut lines: Vec<String> = changes
        .iter()
        .filter_map(|(name, change)| match change {
            Change::Keep => None,
            Change::Reprint(why) => Some(format!("reprint {name}: {}", why.join("; "))),
            Change::Edited => Some(format!(
                "keep {name} if it was printed from the file that netlead wrote: that one is the \
                 same again, and the edited one is beside it"
            )),
            Change::More(pieces) => Some(format!("print {pieces} more of {name}")),
            Change::New => Some(format!("print {name}: it is new")),
            Change::Bought => Some(format!("buy {name}: it is no longer printed")),
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
    use crate::units_told::number;
    use std::sync::Arc;

    fn earlier(product: &Product) -> Earlier {
        earlier_with(product, &[])
    }

    fn earlier_with(product: &Product, edited: &[&str]) -> Earlier {
        let made = KIT.write(product).unwrap();
        let edited = edited.iter().map(|name| name.to_string());
        Earlier::read(KIT.listing(&made), edited).unwrap()
    }

    /// A product whose first printed part has one byte more, and that part's place and name.
    fn with_a_byte_more(product: &Product) -> (Product, String) {
        let mut new = product.clone();
        let PartBody::Printed(written) = &mut Arc::make_mut(&mut new.bodies)[0] else {
            panic!("the frame is printed")
        };
        written.bytes.push(0);
        let name = new.design.assembly.parts[0].name.clone();
        (new, name)
    }

    #[test]
    fn a_part_drawn_anew_from_the_same_list_says_why_only_as_far_as_it_is_known() {
        let old = fixture::nested();
        let (mut new, name) = with_a_byte_more(&old);
        let why = |new: &Product, edited: &[&str]| {
            told(&earlier_with(&old, edited).changes(new).unwrap())[0].clone()
        };
        let reprint = format!("reprint {name}: drawn anew: ");
        assert_eq!(
            why(&new, &[]),
            format!("{reprint}its marks or this program changed")
        );
        assert_eq!(
            why(&new, &[&format!("parts/{name}.stl")]),
            format!("{reprint}its marks or this program changed; its old file was edited by hand")
        );
        let coarser = old.kit.tolerance.as_mm() + 0.01;
        new.kit.tolerance = crate::units::Length::mm(coarser);
        let to = number(coarser, 3);
        let tolerance = why(&new, &[]);
        assert!(
            tolerance.starts_with(&format!("{reprint}tolerance "))
                && tolerance.ends_with(&format!(" to {to} mm")),
            "{tolerance}"
        );
    }

    #[test]
    fn a_part_whose_file_was_edited_is_not_said_to_have_changed() {
        let product = fixture::nested();
        let name = product.design.assembly.parts[0].name.clone();
        let earlier = earlier_with(&product, &[&format!("parts/{name}.stl")]);
        let changes = earlier.changes(&product).unwrap();
        assert_eq!(changes[0], (name.clone(), Change::Edited));
        let lines = told(&changes);
        assert!(
            lines[0].starts_with(&format!("keep {name} if")),
            "{lines:?}"
        );
        assert!(!lines.concat().contains("reprint"), "{lines:?}");
    }

    #[test]
    fn an_edited_report_is_not_compared() {
        let made = KIT.write(&fixture::nested()).unwrap();
        let report = String::from_utf8(KIT.listing(&made).to_vec()).unwrap();
        let edited = report.replacen("\"quantity\": 1", "\"quantity\": 2", 1);
        assert_ne!(edited, report);
        assert!(Earlier::read(edited.as_bytes(), []).is_none());
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
        let PartBody::Printed(written) = &mut Arc::make_mut(&mut new.bodies)[0] else {
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
    fn a_part_that_was_bought_is_printed_anew_and_one_that_was_printed_is_bought() {
        let (printed, bought) = (fixture::nested(), fixture::nested_with_bought_pins());
        let part = printed.design.assembly.parts[0].name.clone();
        let of = |old: &Product, new: &Product| {
            let changes = earlier(old).changes(new).unwrap();
            let found = changes.into_iter().find(|(name, _)| *name == part);
            found.map(|(_, change)| change)
        };
        assert_eq!(of(&printed, &printed), Some(Change::Keep));
        assert_eq!(of(&bought, &printed), Some(Change::New));
        assert_eq!(of(&printed, &bought), Some(Change::Bought));
        assert_eq!(of(&bought, &bought), None);
        let lines = told(&earlier(&printed).changes(&bought).unwrap());
        let told = format!("buy {part}: it is no longer printed");
        assert!(lines.contains(&told), "{lines:?}");
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
        assert!(Earlier::read(b"{}", []).is_none());
        assert!(Earlier::read(b"\xff", []).is_none());
    }
}
