//! A document as one page that needs nothing beside it: no network, no script to be read, paper and
//! phones alike.
//!
//! Its script only puts the file of a sheet together; what it makes is text in the page. After HTML and
//! CSS as browsers of 2023 have them.

use super::laid;
use super::markup::Markup;
use super::{Block, Document};

/// What a page may do: show what stands in it, and nothing from elsewhere.
const MAY: &str =
    "default-src 'none'; img-src data:; script-src 'unsafe-inline'; style-src 'unsafe-inline'";
/// How it looks.
const STYLE: &str = include_str!("page.css");
/// What puts the file of a sheet together.
const SCRIPT: &str = include_str!("page.js");
/// Where the text begins, past the list of contents.
const TEXT: &str = "text";

/// The page.
pub(crate) fn written(document: &Document) -> String {
    let mut page = Markup::default();
    page.fixed("<!DOCTYPE html>\n");
    page.element("html", &[("lang", "en")], |html| {
        html.element("head", &[], |inner| head(inner, document));
        html.fixed("\n");
        html.element("body", &[], |inner| body(inner, document));
    });
    page.fixed("\n");
    page.finished()
}

fn head(head: &mut Markup, document: &Document) {
    head.empty("meta", &[("charset", "utf-8")]);
    head.empty(
        "meta",
        &[("http-equiv", "Content-Security-Policy"), ("content", MAY)],
    );
    let scale = "width=device-width, initial-scale=1";
    head.empty("meta", &[("name", "viewport"), ("content", scale)]);
    head.empty(
        "meta",
        &[("name", "color-scheme"), ("content", "light dark")],
    );
    head.worded("title", &document.title.letters());
    head.element("style", &[], |style| style.fixed(STYLE));
}

fn body(body: &mut Markup, document: &Document) {
    body.element("a", &[("class", "skip"), ("href", "#text")], |a| {
        a.text("To the text")
    });
    body.element("header", &[], |header| {
        header.element("h1", &[], |h| laid::text(h, &document.title));
        laid::blocks(header, &document.opening);
    });
    body.fixed("\n");
    body.element("nav", &[("aria-labelledby", "contents")], |nav| {
        contents(nav, document)
    });
    body.fixed("\n");
    body.element("main", &[("id", TEXT), ("tabindex", "-1")], |main| {
        for section in &document.sections {
            laid::section(main, section);
            main.fixed("\n");
        }
    });
    if has_sheet(document) {
        body.element("script", &[], |script| script.fixed(SCRIPT));
    }
}

fn contents(nav: &mut Markup, document: &Document) {
    nav.element("h2", &[("id", "contents")], |h| h.text("Contents"));
    nav.element("ol", &[], |list| {
        for section in &document.sections {
            let to = format!("#{}", section.id);
            let letters = section.title.letters();
            // What a heading has in brackets is not looked for.
            let short = letters.split(" (").next().unwrap_or_default();
            list.element("li", &[], |li| {
                li.element("a", &[("href", to.as_str())], |a| a.text(short));
            });
        }
    });
}

fn has_sheet(document: &Document) -> bool {
    let mut blocks = document.sections.iter().flat_map(|section| &section.blocks);
    blocks.any(|block| matches!(block, Block::Sheet(_)))
}
