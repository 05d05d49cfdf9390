//! A document as Markdown that reads well as plain text.
//!
//! Lines are not folded: a folded line could begin with a sign that Markdown takes for a list.

use super::{Block, Cell, Document, Part, Run, Section, Sheet, Table, Text};
use crate::output::words::markdown as escaped;

/// The document, without its pictures.
pub(crate) fn written(document: &Document) -> String {
    let mut page = format!("# {}\n", inline(&document.title));
    let opening = blocks(&document.opening);
    if !opening.is_empty() {
        page.push_str(&format!("\n{opening}"));
    }
    for section in &document.sections {
        page.push_str(&of_section(section));
    }
    page
}

/// A section with its heading.
fn of_section(section: &Section) -> String {
    let title = inline(&section.title);
    format!("\n## {title}\n\n{}", blocks(&section.blocks))
}

/// Blocks with a blank line between them.
fn blocks(all: &[Block]) -> String {
    let each = all.iter().map(block).filter(|text| !text.is_empty());
    each.collect::<Vec<_>>().join("\n")
}

/// A block with a line end behind each of its lines; nothing of what only a page has.
fn block(block: &Block) -> String {
    match block {
        Block::Paragraph(text) | Block::Orders(text) => format!("{}\n", inline(text)),
        Block::List(items) => lines(items.iter().map(|item| format!("- {}", inline(item)))),
        Block::Numbered(items) => {
            let numbered = (1..).zip(items);
            lines(numbered.map(|(number, item)| format!("{number}. {}", inline(item))))
        }
        Block::Facts(facts) => {
            let facts = facts.iter();
            lines(facts.map(|(name, value)| format!("- {}: {}", inline(name), inline(value))))
        }
        Block::Table(table) => of_table(table),
        Block::Caution(caution) => {
            let word = caution.signal.word();
            format!("**{word}:** {}\n", inline(&Text::coded(&caution.text)))
        }
        Block::Part(part) => of_part(part),
        Block::Verbatim(text) => format!("```text\n{text}\n```\n"),
        Block::PictureFile { path, shows } => format!("![{}]({path})\n", escaped(shows)),
        Block::TwoWays { markdown, .. } => blocks(markdown),
        Block::Sheet(sheet) => of_sheet(sheet),
        Block::Figure(_) | Block::Gallery(_) | Block::Eye(_) | Block::Viewer(_) => String::new(),
    }
}

fn of_part(part: &Part) -> String {
    format!("### {}\n\n{}", inline(&part.title), blocks(&part.blocks))
}

fn lines(all: impl Iterator<Item = String>) -> String {
    all.map(|line| line + "\n").collect()
}

fn of_table(table: &Table) -> String {
    let titles = table.columns.iter().map(inline).collect();
    let rows = table.rows.iter().map(|row| row.iter().map(cell).collect());
    grid(titles, rows)
}

/// A table of cells that are written already.
fn grid(titles: Vec<String>, rows: impl Iterator<Item = Vec<String>>) -> String {
    let rule = format!("|{}", "---|".repeat(titles.len()));
    let row = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
    let head = [row(titles), rule].into_iter();
    lines(head.chain(rows.map(row)))
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) | Cell::Number(text) | Cell::Part { called: text, .. } => inline(text),
        Cell::Picture(_) => String::new(),
        Cell::Blank => " ".into(),
        Cell::Lines(all) => all.iter().map(inline).collect::<Vec<_>>().join("; "),
    }
}

fn of_sheet(sheet: &Sheet) -> String {
    let heads = sheet.heads.iter().map(|head| {
        let choices = head.choices.iter().map(|choice| format!("`{choice}`"));
        let choices = choices.collect::<Vec<_>>().join(" or ");
        let asked = inline(&head.label);
        match choices.is_empty() {
            true => format!("- {asked}: {}", escaped(Sheet::BLANK)),
            false => format!("- {asked}: {choices}"),
        }
    });
    let rows = sheet.rows.iter().map(|row| {
        let [at, way, expected] = [&row.at, &row.way, &row.expected].map(inline);
        vec![at, way, expected, " ".into()]
    });
    let titles = sheet.columns.iter().map(inline).collect();
    format!(
        "{}\n{}\n```toml\n{}```\n",
        lines(heads),
        grid(titles, rows),
        sheet.file
    )
}

/// A text in one line.
fn inline(text: &Text) -> String {
    text.0.iter().map(run).collect()
}

fn run(run: &Run) -> String {
    match run {
        Run::Words(words) => kept_blanks(words),
        Run::Code(code) => format!("`{code}`"),
        Run::Strong(words) => format!("**{}**", escaped(words)),
        Run::Emphasis(words) => format!("*{}*", escaped(words)),
    }
}

/// Escaped words, with the blanks at their ends.
fn kept_blanks(words: &str) -> String {
    let [before, after] = [words.starts_with(' '), words.ends_with(' ')].map(|blank| match blank {
        true => " ",
        false => "",
    });
    match words.trim().is_empty() {
        true => words.to_owned(),
        false => format!("{before}{}{after}", escaped(words)),
    }
}
