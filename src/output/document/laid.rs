//! Blocks of a document as elements of a page.

use super::drawn_eye;
use super::markup::Markup;
use super::{Block, Cell, Figure, Part, Run, Section, Sheet, SheetRow, Table, Text};
use crate::assembly::{Caution, Signal};
use crate::picture::Picture;

/// A section with its heading.
pub(super) fn section(markup: &mut Markup, section: &Section) {
    let heading = format!("{}-title", section.id);
    let attributes = [("id", section.id), ("aria-labelledby", heading.as_str())];
    markup.element("section", &attributes, |inner| {
        inner.element("h2", &[("id", heading.as_str())], |h| {
            text(h, &section.title);
        });
        blocks(inner, &section.blocks);
    });
}

/// Blocks after each other.
pub(super) fn blocks(markup: &mut Markup, all: &[Block]) {
    for one in all {
        block(markup, one);
    }
}

fn block(markup: &mut Markup, block: &Block) {
    match block {
        Block::Paragraph(words) => paragraph(markup, words),
        Block::Orders(words) => markup.element("div", &[("class", "orders")], |inner| {
            words
                .sentences()
                .iter()
                .for_each(|one| paragraph(inner, one));
        }),
        Block::List(items) => list(markup, "ul", items),
        Block::Numbered(items) => list(markup, "ol", items),
        Block::Facts(facts) => markup.element("dl", &[], |inner| {
            for (name, value) in facts {
                inner.element("dt", &[], |dt| text(dt, name));
                inner.element("dd", &[], |dd| text(dd, value));
            }
        }),
        Block::Table(table) => of_table(markup, table),
        Block::Caution(caution) => of_caution(markup, caution),
        Block::Part(part) => of_part(markup, part),
        Block::Figure(figure) => of_figure(markup, figure),
        Block::Gallery(figures) => markup.element("div", &[("class", "gallery")], |inner| {
            figures.iter().for_each(|figure| of_figure(inner, figure));
        }),
        Block::Verbatim(lines) => markup.element("pre", &[], |inner| inner.text(lines)),
        Block::Eye(eye) => drawn_eye::drawn(markup, *eye),
        Block::PictureFile { .. } => {}
        Block::TwoWays { page, .. } => blocks(markup, page),
        Block::Sheet(sheet) => of_sheet(markup, sheet),
        Block::Viewer(viewer) => markup.of_a_room(viewer),
    }
}

fn paragraph(markup: &mut Markup, words: &Text) {
    markup.element("p", &[], |inner| text(inner, words));
}

fn list(markup: &mut Markup, name: &'static str, items: &[Text]) {
    markup.element(name, &[], |inner| {
        for item in items {
            inner.element("li", &[], |li| text(li, item));
        }
    });
}

/// A text in its runs.
pub(super) fn text(markup: &mut Markup, text: &Text) {
    for run in &text.0 {
        match run {
            Run::Words(words) => markup.text(words),
            Run::Code(code) => markup.worded("code", code),
            Run::Strong(words) => markup.worded("strong", words),
            Run::Emphasis(words) => markup.worded("em", words),
        }
    }
}

/// The safety alert symbol of ANSI Z535.4 (from memory), of harm to people alone.
const ALERT: &str = "<svg viewBox=\"0 0 22 20\" aria-hidden=\"true\"><path fill=\"currentColor\" \
     fill-rule=\"evenodd\" d=\"M11 1L21 19H1ZM10 7V13.4H12V7ZM10 14.8V16.8H12V14.8Z\"/></svg>";

fn of_caution(markup: &mut Markup, caution: &Caution) {
    let class = match caution.signal {
        Signal::Danger | Signal::Warning => "caution grave",
        Signal::Caution => "caution",
        Signal::Notice => "caution notice",
    };
    markup.element("div", &[("class", class)], |inner| {
        inner.element("p", &[("class", "signal")], |p| {
            if caution.signal != Signal::Notice {
                p.fixed(ALERT);
            }
            p.text(caution.signal.word());
        });
        paragraph(inner, &Text::coded(&caution.text));
    });
}

/// A part: its cautions first, then its pictures beside its words.
fn of_part(markup: &mut Markup, part: &Part) {
    let heading = format!("{}-title", part.id);
    let class = match part.whole {
        true => "part whole",
        false => "part",
    };
    let attributes = [
        ("id", part.id.as_str()),
        ("class", class),
        ("aria-labelledby", heading.as_str()),
    ];
    markup.element("section", &attributes, |inner| {
        inner.element("h3", &[("id", heading.as_str())], |h| text(h, &part.title));
        let is_caution = |one: &&Block| matches!(one, Block::Caution(_));
        let is_figure = |one: &&Block| matches!(one, Block::Figure(_));
        let all = || part.blocks.iter();
        all().filter(is_caution).for_each(|one| block(inner, one));
        let words = |inner: &mut Markup| {
            let rest = all().filter(|one| !is_caution(one) && !is_figure(one));
            rest.for_each(|one| block(inner, one));
        };
        if all().any(|one| is_figure(&one)) {
            inner.element("div", &[("class", "beside")], |beside| {
                beside.element("div", &[("class", "pictures")], |pictures| {
                    all().filter(is_figure).for_each(|one| block(pictures, one));
                });
                beside.element("div", &[("class", "words")], words);
            });
        } else {
            words(inner);
        }
    });
}

fn of_figure(markup: &mut Markup, figure: &Figure) {
    markup.element("figure", &[], |inner| {
        on_paper(inner, &figure.picture, figure.framed);
        if let Some(words) = &figure.caption {
            inner.element("figcaption", &[], |caption| text(caption, words));
        }
    });
}

/// A picture on paper of its own width.
fn on_paper(markup: &mut Markup, picture: &Picture, framed: bool) {
    let [width, _] = picture.paper;
    let style = format!("--wide:{width:.1}mm");
    let attributes = [("class", "paper"), ("style", style.as_str())];
    markup.element("div", &attributes, |paper| match framed {
        true => paper.framed_picture(picture),
        false => paper.picture(picture),
    });
}

fn of_table(markup: &mut Markup, table: &Table) {
    let label = table.caption.letters();
    let region = [
        ("class", "across"),
        ("role", "region"),
        ("aria-label", label.as_str()),
        ("tabindex", "0"),
    ];
    match table.stands {
        true => grid(markup, table, "stands"),
        false => markup.element("div", &region, |inner| grid(inner, table, "plain")),
    }
}

/// The table itself. Its roles are said in words too, for a narrow page stands its cells below each other,
/// and what is laid out so is no table any more to whoever has it read aloud.
fn grid(markup: &mut Markup, table: &Table, class: &'static str) {
    markup.element("table", &[("class", class), ("role", "table")], |inner| {
        inner.element("caption", &[], |caption| text(caption, &table.caption));
        inner.element("thead", &[("role", "rowgroup")], |head| {
            head.element("tr", &[("role", "row")], |row| {
                for (title, column) in table.columns.iter().zip(0..) {
                    let class = kind(table.rows.first().and_then(|row| row.get(column)));
                    let attributes = [("scope", "col"), ("role", "columnheader"), ("class", class)];
                    row.element("th", &attributes, |th| text(th, title));
                }
            });
        });
        inner.element("tbody", &[("role", "rowgroup")], |body| {
            for cells in &table.rows {
                body.element("tr", &[("role", "row")], |row| of_row(row, table, cells));
            }
        });
    });
}

fn of_row(markup: &mut Markup, table: &Table, cells: &[Cell]) {
    for (index, (one, title)) in cells.iter().zip(&table.columns).enumerate() {
        let label = title.letters();
        let label = ("data-label", label.as_str());
        let class = ("class", kind(Some(one)));
        if index == table.named {
            let attributes = [("scope", "row"), ("role", "rowheader"), class, label];
            markup.element("th", &attributes, |th| cell(th, one));
        } else {
            markup.element("td", &[("role", "cell"), class, label], |td| cell(td, one));
        }
    }
}

fn kind(cell: Option<&Cell>) -> &'static str {
    match cell {
        Some(Cell::Number(_)) => "number",
        Some(Cell::Picture(_)) => "picture",
        Some(Cell::Blank) => "blank",
        Some(Cell::Text(_) | Cell::Part { .. } | Cell::Lines(_)) | None => "words",
    }
}

fn cell(markup: &mut Markup, cell: &Cell) {
    match cell {
        Cell::Text(words) | Cell::Number(words) => text(markup, words),
        Cell::Part { name, called } => {
            markup.element("span", &[("data-part", name.as_str())], |span| {
                text(span, called);
            });
        }
        Cell::Picture(picture) => on_paper(markup, picture, false),
        Cell::Blank => {}
        Cell::Lines(all) => all.iter().for_each(|line| {
            markup.element("span", &[("class", "line")], |span| text(span, line));
        }),
    }
}

/// A sheet: what is asked once, the rows with a box each, the file that comes of them, and the button that
/// puts it together, which shows itself where it works.
fn of_sheet(markup: &mut Markup, sheet: &Sheet) {
    markup.element("div", &[("class", "sheet")], |inner| {
        inner.element("div", &[("class", "heads")], |heads| {
            for head in &sheet.heads {
                heads.element("label", &[], |label| {
                    label.element("span", &[], |span| text(span, &head.label));
                    match head.choices.as_slice() {
                        [] => label.empty("input", &[("type", "text"), ("data-key", head.key)]),
                        choices => label.element("select", &[("data-key", head.key)], |select| {
                            choices.iter().for_each(|one| select.worded("option", one));
                        }),
                    }
                });
            }
        });
        inner.element("table", &[("class", "rows")], |table| {
            table.element("thead", &[], |head| {
                head.element("tr", &[], |row| {
                    for title in &sheet.columns {
                        row.element("th", &[("scope", "col")], |th| text(th, title));
                    }
                });
            });
            table.element("tbody", &[], |body| {
                sheet
                    .rows
                    .iter()
                    .for_each(|row| sheet_row(body, sheet, row));
            });
        });
        inner.element("pre", &[("class", "file")], |pre| pre.text(&sheet.file));
        inner.element("button", &[("type", "button"), ("hidden", "")], |button| {
            text(button, &sheet.button)
        });
        inner.fixed("<p role=\"status\"></p>");
    });
}

fn sheet_row(markup: &mut Markup, sheet: &Sheet, row: &SheetRow) {
    markup.element("tr", &[], |tr| {
        tr.element("th", &[("scope", "row")], |th| text(th, &row.at));
        tr.element("td", &[], |td| text(td, &row.way));
        tr.element("td", &[], |td| text(td, &row.expected));
        let [at, way, _, reading] = &sheet.columns;
        let label = format!(
            "{}: {} {}, {} {}",
            reading.letters(),
            at.letters(),
            row.at.letters(),
            way.letters(),
            row.way.letters()
        );
        let attributes = [
            ("type", "text"),
            ("inputmode", "decimal"),
            ("aria-label", label.as_str()),
        ];
        tr.element("td", &[("class", "box")], |td| {
            td.empty("input", &attributes)
        });
    });
}
