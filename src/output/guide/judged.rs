//! How its parts fit, what is lost between them, and what was judged.

use super::coded;
use crate::check::{Finding, Outcome};
use crate::output::document::{Block, Cell, Section, Table, Text};
use crate::output::kit::Product;
use crate::output::kit::fits;
use crate::output::words;

/// Fits, play, and checks that want an eye.
pub(super) fn sections(product: &Product) -> Vec<Option<Section>> {
    let plays = coded(fits::plays(product));
    let title = "Play along the axis, lost at a reversal";
    vec![
        fits(product),
        Section::listed("play", title, plays),
        checks(product),
    ]
}

/// A table of all gaps, then what it rests on.
fn fits(product: &Product) -> Option<Section> {
    let rows = fits::rows(product);
    if rows.is_empty() {
        return None;
    }
    let titles = cells(fits::titles(product.kit.told()));
    let words = |cell: Cell| match cell {
        Cell::Text(text) | Cell::Number(text) | Cell::Part { called: text, .. } => text,
        Cell::Picture(_) | Cell::Lines(_) | Cell::Blank => Text::default(),
    };
    let table = Table {
        caption: Text::plain("Gaps of all joints"),
        columns: titles.into_iter().map(words).collect(),
        rows: rows.into_iter().map(cells).collect(),
        named: 0,
        stands: false,
    };
    let basis = [
        Block::Table(table),
        Block::Paragraph(Text::plain(fits::BASIS)),
    ];
    let whole = coded(fits::whole_kit(product))
        .into_iter()
        .map(Block::Paragraph);
    let blocks = basis.into_iter().chain(whole).collect();
    Some(Section::new("fits", "Fits", blocks))
}

fn cells(row: fits::Row) -> Vec<Cell> {
    let fits::Row {
        joint,
        fit,
        wanted,
        drawn,
        printed,
        as_printed,
        usable,
    } = row;
    let words = [joint, fit.into()].map(|words| Cell::Text(Text::plain(&words)));
    let figures = [wanted, drawn, printed, as_printed, usable];
    let figures = figures.map(|figure| Cell::Number(Text::plain(&figure)));
    words.into_iter().chain(figures).collect()
}

/// What did not simply pass. What is waived has a section of its own, with the maker's reason.
fn checks(product: &Product) -> Option<Section> {
    let open = product.open_findings().into_iter();
    let open = open.filter(|finding| finding.outcome != Outcome::Waived);
    let items = open.map(|finding| check(product, finding)).collect();
    Section::listed("checks", "Checks that want your eye", items)
}

fn check(product: &Product, finding: &Finding) -> Text {
    let told = words::finding_line(&product.design.assembly, finding);
    let text = Text::strong(words::outcome_word(finding.outcome));
    let text = text.then(Text::mark(" ")).then(Text::coded(&told));
    match &finding.mend {
        None => text,
        Some(mend) => {
            let text = text.then(Text::mark(" ")).then(Text::emphasis("Mend:"));
            text.then(Text::mark(" ")).then(Text::coded(mend))
        }
    }
}

/// What the kit waives, and why.
pub(super) fn waived(product: &Product) -> Option<Section> {
    let waivers = product.kit.waivers.iter();
    let items = waivers.map(|(id, reason)| {
        let mut line = format!("{id}, because: {reason}");
        let waived =
            |finding: &&Finding| finding.outcome == Outcome::Waived && finding.id == id.as_str();
        for finding in product.findings.iter().filter(waived) {
            let told = words::finding_line(&product.design.assembly, finding);
            line.push_str(&format!(" ({told})"));
        }
        Text::plain(&line)
    });
    Section::listed("waived", "Waived by the kit", items.collect())
}
