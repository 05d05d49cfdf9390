//! What `make` and `check` print: a page of 80 columns that reads as well without colour.
//!
//! The text carries ANSI styles; whoever writes it to a stream that shows none strips them.

use super::words::{self, plain};
use super::{Product, bill};
use crate::check::Outcome;
use anstyle::{AnsiColor, Style};
use textwrap::{Options, WordSplitter};

/// Columns of the page.
pub const COLUMNS: usize = 80;
/// Columns of the names in front of a table's values.
const NAME_COLUMNS: usize = 16;

/// The page. `folder` is where the files are, if they were written.
pub fn page(product: &Product, folder: Option<&str>) -> String {
    let mut page = Page::default();
    let title = format!(
        "{} ({})",
        plain(&product.kit.name),
        words::layout_name(product.kit.layout)
    );
    page.styled_line(Style::new().bold(), &title);
    for sentence in words::mechanism(product) {
        page.block("  ", "  ", &sentence);
    }
    page.heading("Motion");
    for (name, value) in words::motion(product) {
        page.row(name, &value);
    }
    page.heading("Bill");
    for row in bill::rows(product) {
        page.row(row.kind.word(), &bill::line(&row));
    }
    findings(&mut page, product);
    steps(&mut page, product);
    changes(&mut page, product);
    page.0.push('\n');
    closing(&mut page, product, folder);
    page.0
}

/// What becomes of the parts that an earlier run left.
fn changes(page: &mut Page, product: &Product) {
    let Some(changes) = &product.changes else {
        return;
    };
    page.heading("Since the last run");
    for line in super::changes::told(changes) {
        page.block("  ", "    ", &line);
    }
}

/// Text folded to the page's columns, without styles, with a line end after each line.
pub fn folded(first: &str, rest: &str, text: &str) -> String {
    let options = Options::new(COLUMNS)
        .initial_indent(first)
        .subsequent_indent(rest)
        // A designation or a kit key is not torn at its hyphen.
        .word_splitter(WordSplitter::NoHyphenation);
    let mut lines = textwrap::wrap(text, options).join("\n");
    lines.push('\n');
    lines
}

/// The page so far.
#[derive(Default)]
struct Page(String);

impl Page {
    fn styled_line(&mut self, style: Style, text: &str) {
        for line in folded("", "", text).lines() {
            self.0.push_str(&format!("{style}{line}{style:#}\n"));
        }
    }

    fn heading(&mut self, title: &str) {
        self.0.push('\n');
        self.styled_line(Style::new().bold(), title);
    }

    fn block(&mut self, first: &str, rest: &str, text: &str) {
        self.0.push_str(&folded(first, rest, text));
    }

    /// A name, then its value beside it.
    fn row(&mut self, name: &str, value: &str) {
        let indent = " ".repeat(2 + NAME_COLUMNS);
        self.block(&format!("  {name:<NAME_COLUMNS$}"), &indent, value);
    }
}

/// What is not a pass, each with its mend; a line that says so when all passes.
fn findings(page: &mut Page, product: &Product) {
    page.heading("Checks");
    let open = product.open_findings();
    let passes = product.findings.len() - open.len();
    page.block(
        "  ",
        "  ",
        &format!("{passes} of {} pass", product.findings.len()),
    );
    for finding in open {
        let word = words::outcome_word(finding.outcome);
        let text = folded(
            &format!("  {word:<8}"),
            "          ",
            &words::finding_line(finding),
        );
        let style = outcome_style(finding.outcome);
        page.0
            .push_str(&text.replacen(word, &format!("{style}{word}{style:#}"), 1));
        if finding.outcome == Outcome::Waived {
            // The maker has decided; the reason stands where the mend would.
            let mut waivers = product.kit.waivers.iter();
            if let Some((_, reason)) = waivers.find(|(id, _)| id == finding.id) {
                page.block("          because: ", "                   ", &plain(reason));
            }
        } else if let Some(mend) = &finding.mend {
            page.block("          mend: ", "                ", &plain(mend));
        }
    }
}

fn outcome_style(outcome: Outcome) -> Style {
    match outcome {
        Outcome::Fail => AnsiColor::Red.on_default().bold(),
        Outcome::Warn => AnsiColor::Yellow.on_default().bold(),
        Outcome::Note | Outcome::Waived => AnsiColor::Cyan.on_default(),
        Outcome::Pass => AnsiColor::Green.on_default(),
    }
}

fn steps(page: &mut Page, product: &Product) {
    if product.design.steps.is_empty() {
        return;
    }
    page.heading("Putting it together");
    for (number, step) in (0..).zip(&product.design.steps) {
        page.block(&format!("  {number:>2}. "), "      ", &plain(&step.text));
    }
}

/// One sentence to act on.
fn closing(page: &mut Page, product: &Product, folder: Option<&str>) {
    let open = product.open_findings();
    let failure = open.iter().find(|finding| finding.outcome == Outcome::Fail);
    let (style, text) = match (failure, folder) {
        (Some(failure), _) => {
            let mend = failure.mend.as_deref().unwrap_or(&failure.message);
            (
                outcome_style(Outcome::Fail),
                format!("not ready: first mend {}: {}", failure.id, plain(mend)),
            )
        }
        // Silence is no proof.
        (None, _) if product.findings.is_empty() => (
            outcome_style(Outcome::Warn),
            "not judged: no check was made".into(),
        ),
        (None, Some(folder)) => (
            outcome_style(Outcome::Pass),
            format!("ready to print: {}", plain(folder)),
        ),
        (None, None) => (outcome_style(Outcome::Pass), "ready to print".into()),
    };
    page.styled_line(style, &text);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::fixture;
    use proptest::prelude::*;

    /// The page as a stream without colour gets it.
    fn bare(product: &Product, folder: Option<&str>) -> String {
        anstream::adapter::strip_str(&page(product, folder)).to_string()
    }

    fn assert_narrow(page: &str) {
        for line in page.lines() {
            assert!(line.chars().count() <= COLUMNS, "too wide: {line}");
            assert!(line.chars().all(|letter| !letter.is_control()), "{line:?}");
        }
    }

    #[test]
    fn no_line_is_wider_than_80_columns() {
        assert_narrow(&bare(&fixture::nested(), Some("out/desk-stage")));
        assert_narrow(&bare(&fixture::nested_that_fails(), None));
    }

    #[test]
    fn the_last_line_says_ready_and_where() {
        let page = bare(&fixture::nested(), Some("out/desk-stage"));
        assert_eq!(
            page.lines().last().unwrap(),
            "ready to print: out/desk-stage"
        );
    }

    #[test]
    fn what_no_check_has_judged_is_not_called_ready() {
        let mut product = fixture::nested();
        product.findings.clear();
        assert!(!bare(&product, None).contains("ready"));
    }

    #[test]
    fn the_last_line_says_what_to_mend_first() {
        let page = bare(&fixture::nested_that_fails(), None);
        assert!(
            page.lines()
                .last()
                .unwrap()
                .starts_with("not ready: first mend drive-wall: inner = \"M12x1.75\"")
        );
    }

    #[test]
    fn the_worst_finding_stands_first_and_passes_are_only_counted() {
        let page = bare(&fixture::nested_that_fails(), None);
        let fail = page.find("fail ").unwrap();
        assert!(fail < page.find("note ").unwrap());
        assert!(page.contains("1 of 4 pass"));
        assert!(page.contains("because: printed well before"));
    }

    #[test]
    fn colour_adds_nothing_to_the_words() {
        let styled = page(&fixture::nested_that_fails(), None);
        assert!(styled.contains('\u{1b}'));
        assert!(bare(&fixture::nested_that_fails(), None).contains("  fail    drive-wall"));
    }

    proptest! {
        #[test]
        fn prop_no_text_of_a_kit_breaks_the_page(
            name in "(?s).{0,200}", mend in "(?s).{0,200}", text in "[a-z ]{0,300}",
        ) {
            let mut product = fixture::nested_that_fails();
            product.kit.name = name;
            product.findings[3].mend = Some(mend);
            product.design.steps[0].text = text;
            assert_narrow(&bare(&product, None));
        }
    }
}
