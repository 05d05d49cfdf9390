//! What `take-apart` prints: the tree of removals, each with what it had to wait for.
//!
//! Taken apart from turn 0 until the frame is left; read from the end, that is the order of
//! assembly. What leaves as a group is taken apart on the bench, further in.

use crate::assembly::InstanceId;
use crate::clearance::Standing;
use crate::output::kit::Product;
use crate::output::kit::report::SCHEMA;
use crate::output::kit::report_order::{RemovalEntry, removals};
use crate::output::kit::sentences;
use crate::output::words::{capital, folded, plain};
use crate::sequence::{Order, Removed, Speaker};
use crate::units_told::turn;
use serde::Serialize;

/// The page, of 80 columns.
pub fn page(product: &Product) -> String {
    let speaker = speaker(product);
    let frame = speaker.name(product.design.assembly.frame);
    let name = plain(&product.kit.name);
    let mut page = folded("", "", &format!("{name}, taken apart"));
    match &product.order {
        Some(Order::Apart { up, removals }) => {
            let begin = format!("From turn 0, until {frame} is left, {}:", speaker.lies(*up));
            page += &folded("  ", "  ", &begin);
            if let Some(caution) = sentences::keeper_under_spring(product) {
                page += &folded("  Caution: ", "  ", &caution.text);
            }
            for (index, removed) in removals.iter().enumerate() {
                page += &removal(&speaker, removals, index, removed);
            }
            let end = "Put together from the last to the first, each motion backwards; the steps \
                       of `make` say how.";
            page.push('\n');
            page += &folded("  ", "  ", end);
        }
        Some(Order::Stuck(jam)) => {
            page += &folded(
                "  ",
                "  ",
                &format!("{}.", capital(&speaker.jam(jam, &product.design.regions))),
            );
            for cause in jam.causes.iter().skip(1) {
                for clash in cause {
                    let or = speaker.clash(clash, &product.design.regions);
                    page += &folded("  or: ", "      ", &or);
                }
            }
        }
        Some(Order::Overlapping(pairs)) => {
            for (pair, standing) in pairs {
                let overlap = overlapping(product, &speaker, *pair, standing);
                page += &folded("  ", "  ", &format!("{}.", capital(&overlap)));
            }
        }
        Some(Order::TooMany(count)) => {
            page += &folded("  ", "  ", &format!("{}.", too_many(*count)));
        }
        None => page += &folded("  ", "  ", "Its order was not looked for."),
    }
    page
}

/// The same as data.
///
/// # Errors
/// None that it can cause; the serialiser's type has one.
pub fn json(product: &Product) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct Data<'a> {
        schema: &'static str,
        kit: &'a str,
        removals: Option<Vec<RemovalEntry>>,
        stuck: Option<String>,
    }
    let data = Data {
        schema: SCHEMA,
        kit: &product.kit.name,
        removals: removals(product),
        stuck: stuck(product),
    };
    let mut text = serde_json::to_string_pretty(&data)?;
    text.push('\n');
    Ok(text)
}

/// Why there are no removals; `None` if there are.
fn stuck(product: &Product) -> Option<String> {
    let speaker = speaker(product);
    Some(match &product.order {
        Some(Order::Apart { .. }) => return None,
        Some(Order::Stuck(jam)) => speaker.jam(jam, &product.design.regions),
        Some(Order::Overlapping(pairs)) => {
            let told = pairs
                .iter()
                .map(|(pair, standing)| overlapping(product, &speaker, *pair, standing));
            told.collect::<Vec<_>>().join("; ")
        }
        Some(Order::TooMany(count)) => too_many(*count),
        None => "its order was not looked for".into(),
    })
}

/// Two pieces that overlap as they stand, without a full stop.
fn overlapping(
    product: &Product,
    speaker: &Speaker<'_>,
    pair: [InstanceId; 2],
    standing: &Standing,
) -> String {
    let names = speaker.names(&pair);
    if standing.depth.as_mm().is_finite() {
        let depth = product.kit.told().length(standing.depth, 2);
        format!("{names} overlap, by {depth} or more, where they stand")
    } else {
        format!("of {names} one is inside the other")
    }
}

fn too_many(count: usize) -> String {
    format!("{count} pieces are too many to look for an order")
}

fn speaker(product: &Product) -> Speaker<'_> {
    Speaker {
        assembly: &product.design.assembly,
        told: product.kit.told(),
    }
}

/// Decimals of a turn.
const TURN: usize = 2;
/// Columns by which what is done on the bench stands further in.
const INDENT: usize = 4;

fn removal(speaker: &Speaker<'_>, removals: &[Removed], index: usize, removed: &Removed) -> String {
    let depth = std::iter::successors(removed.group, |group| removals[*group].group).count();
    let margin = " ".repeat(INDENT * depth);
    let rest = format!("{margin}      ");
    let way = speaker.way(removed.motion);
    let what = if removed.is_driven() {
        format!(
            "{way}, from {} to {}",
            turn(removed.turn, TURN),
            turn(removed.turn_after, TURN)
        )
    } else {
        format!("{}: {way}", speaker.names(&removed.pieces))
    };
    let what = if removed.group.is_some() {
        format!("{what}, on the bench")
    } else {
        what
    };
    let mut text = folded(
        &format!("{margin}  {:>2}. ", index + 1),
        &rest,
        &plain(&what),
    );
    if let Some(waited) = speaker.waited(removed) {
        text += &folded(&rest, &rest, &plain(&waited));
    }
    text
}
