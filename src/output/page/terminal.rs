//! What `make` and `check` print: a page of 80 columns that reads as well without colour. It begins
//! with the digest, which is all of it unless the maker asks for more.
//!
//! The text carries ANSI styles; whoever writes it to a stream that shows none strips them.

use super::digest::{self, Asked, outcome_style};
use crate::check::Outcome;
use crate::output::kit::bill::{self, Kind, Row};
use crate::output::kit::{Product, changes, fits, sentences};
use crate::output::words::{self, capital, folded, plain};
use crate::units_told::Told;
use anstyle::Style;

/// Columns of the names in front of a table's values.
const NAME_COLUMNS: usize = 18;
/// Columns of a count in the bill: a blank more than two digits.
const COUNT_COLUMNS: usize = 3;
/// Columns of a mass in grams in the bill.
const MASS_COLUMNS: usize = 7;

/// How much of the page is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// The digest: one screen.
    Digest,
    /// Everything that is told of a kit.
    All,
}

/// The page: the digest, and behind it everything if that is wanted. Where no files were written it
/// only judges, and leaves out bill and steps.
pub fn page(product: &Product, asked: &Asked<'_>, extent: Extent) -> String {
    let mut page = Page::default();
    for line in digest::lines(product, asked) {
        match line {
            digest::Line::Styled(style, text) => page.styled_line(style, &text),
            digest::Line::Row(style, name, text) => page.styled_row(style, name, &text),
        }
    }
    match extent {
        Extent::Digest => {}
        Extent::All => all(&mut page, product, asked.folder),
    }
    page.0
}

/// What stands behind the digest.
fn all(page: &mut Page, product: &Product, folder: Option<&str>) {
    page.heading("What it does");
    for sentence in sentences::mechanism(product) {
        page.block("  ", "  ", &sentence);
    }
    page.heading("Motion");
    for (name, value) in sentences::motion(product) {
        page.row(name, &value);
    }
    if let Some(force) = &product.force {
        page.heading(&sentences::force_title(force));
        for (name, value) in sentences::force(product, force) {
            page.row(name, &value);
        }
        page.block("  ", "  ", &sentences::no_rating(product, force));
    }
    if folder.is_some() {
        parts(page, product);
    }
    fits(page, product);
    findings(page, product);
    page.heading("Cautions");
    page.block("  ", "  ", words::CAUTION_IN_SHORT);
    if folder.is_some() {
        steps(page, product);
    }
    since_last_run(page, product);
    to_print_again(page, product);
    page.0.push('\n');
    closing(page, product, folder);
}

/// The gaps of all joints in columns, then what they rest on.
fn fits(page: &mut Page, product: &Product) {
    let rows = fits::rows(product);
    if rows.is_empty() {
        return;
    }
    page.heading("Fits");
    let told = product.kit.told();
    for row in std::iter::once(fits::titles(told)).chain(rows) {
        let fits::Row {
            joint,
            fit,
            wanted,
            drawn,
            printed,
            as_printed,
            usable,
        } = row;
        // Decimals of an inch have no zero before the point (ASME Y14.5), which spares the columns.
        let [wanted, drawn, printed] = [wanted, drawn, printed].map(|gap| match told {
            Told::Metric => gap,
            Told::Inch => without_zeros(&gap),
        });
        let wide = match told {
            Told::Metric => 14,
            Told::Inch => 15,
        };
        page.0.push_str(&format!(
            "  {joint:<27} {fit:<6} {wanted:>6} {drawn:>6} {printed:>wide$} {as_printed:>5} {usable:>6}\n"
        ));
    }
    page.block("  ", "  ", fits::BASIS);
    for line in fits::whole_kit(product) {
        page.block("  ", "  ", &line);
    }
    page.heading("Play along the axis, lost at a reversal");
    for line in fits::plays(product) {
        page.block("  ", "    ", &line);
    }
}

/// Numbers below one without the zero before their point.
fn without_zeros(numbers: &str) -> String {
    let bare = |number: &str| match (number.strip_prefix("0."), number.strip_prefix("-0.")) {
        (Some(rest), _) => format!(".{rest}"),
        (None, Some(rest)) => format!("-.{rest}"),
        (None, None) => number.to_owned(),
    };
    let numbers: Vec<String> = numbers.split(' ').map(bare).collect();
    numbers.join(" ")
}

/// What becomes of the parts that an earlier run left.
fn since_last_run(page: &mut Page, product: &Product) {
    let Some(parts) = &product.changes else {
        return;
    };
    page.heading("Since the last run");
    for line in changes::told(parts) {
        page.block("  ", "    ", &line);
    }
}

/// What is to be printed again, where that was asked for.
fn to_print_again(page: &mut Page, product: &Product) {
    if let Some(again) = bill::again_in_short(product) {
        page.heading("To print again");
        page.block("  ", "    ", &again);
    }
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

    /// The same of the digest, whose name has a style.
    fn styled_row(&mut self, style: Style, name: &str, value: &str) {
        let indent = " ".repeat(2 + digest::NAME_COLUMNS);
        let text = folded(
            &format!("  {name:<width$}", width = digest::NAME_COLUMNS),
            &indent,
            value,
        );
        self.0
            .push_str(&text.replacen(name, &format!("{style}{name}{style:#}"), 1));
    }

    /// A name, then its value beside it.
    fn row(&mut self, name: &str, value: &str) {
        let indent = " ".repeat(2 + NAME_COLUMNS);
        self.block(&format!("  {name:<NAME_COLUMNS$}"), &indent, value);
    }
}

/// The bill by where things come from.
fn parts(page: &mut Page, product: &Product) {
    let told = product.kit.told();
    let rows = bill::rows(product);
    let material = words::material_name(product.kit.material);
    let printed = format!("To print, in {material} (weight of each as printed)");
    for (kind, title) in [
        (Kind::Printed, printed.as_str()),
        (Kind::Bought, "To buy"),
        (Kind::Tool, "To have at hand"),
    ] {
        let mut rows = rows.iter().filter(|row| row.kind == kind).peekable();
        if rows.peek().is_some() {
            page.heading(title);
        }
        for row in rows {
            if kind == Kind::Tool {
                page.row(&plain(&row.called), &plain(&row.description));
                continue;
            }
            let name = plain(&row.called);
            let width = NAME_COLUMNS - COUNT_COLUMNS;
            let name = format!("{:<COUNT_COLUMNS$}{name:<width$}", row.quantity);
            page.row(&name, &about(row, told));
        }
        if kind == Kind::Printed
            && let Some(total) = bill::total(product)
        {
            page.block("  ", "  ", &total);
        }
    }
}

/// What the bill says of a part behind its name.
fn about(row: &Row, told: Told) -> String {
    let mass = bill::weight(row).map(|mass| format!("{mass:>MASS_COLUMNS$}"));
    let shop = Some(plain(&row.description)).filter(|words| !words.is_empty());
    let about = [mass, bill::size(row, told), shop, bill::spares(row)];
    about.into_iter().flatten().collect::<Vec<_>>().join("  ")
}

/// What is not a pass, each with its mend; a line that says so when all passes.
fn findings(page: &mut Page, product: &Product) {
    page.heading("Checks");
    let open = product.open_findings();
    let passes = product.findings.len() - open.len();
    let count = match product.findings.len() {
        all if all == passes => format!("all {all} pass"),
        all => format!("{passes} of {all} pass"),
    };
    page.block("  ", "  ", &count);
    if let Some(text) = sentences::not_judged(product) {
        page.row("not judged", text);
    }
    for finding in open {
        let word = words::outcome_word(finding.outcome);
        let text = folded(
            &format!("  {word:<8}"),
            "          ",
            &words::finding_line(&product.design.assembly, finding),
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

fn steps(page: &mut Page, product: &Product) {
    if product.design.steps.is_empty() {
        return;
    }
    page.heading("Putting it together (clockwise: as an eye at the drive head sees it)");
    let bold = Style::new().bold();
    for (number, step) in (sentences::FIRST_STEP..).zip(&product.design.steps) {
        let title = folded(
            &format!("  {number:>2}. "),
            "      ",
            &capital(&step.action),
        );
        for line in title.lines() {
            page.0.push_str(&format!("{bold}{line}{bold:#}\n"));
        }
        page.block("      ", "      ", &plain(&step.text));
    }
}

/// What to do before printing, and one sentence to act on.
fn closing(page: &mut Page, product: &Product, folder: Option<&str>) {
    if !product.fails()
        && let Some(words) = fits::not_tuned(product)
    {
        page.block("", "", &words);
    }
    if !product.fails() && folder.is_some() {
        let first = "Before you print, read guide.md: all cautions, print notes and marks.";
        page.block("", "", first);
    }
    let (style, text) = digest::verdict(product, folder);
    page.styled_line(style, &text);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::{Change, fixture};
    use crate::output::words::COLUMNS;
    use proptest::prelude::*;

    fn told(product: &Product, folder: Option<&str>, extent: Extent) -> String {
        let asked = Asked {
            kit: "kit.toml",
            folder,
        };
        page(product, &asked, extent)
    }

    /// All of the page, as a stream without colour gets it.
    fn bare(product: &Product, folder: Option<&str>) -> String {
        anstream::adapter::strip_str(&told(product, folder, Extent::All)).to_string()
    }

    /// The digest alone.
    fn digest(product: &Product, folder: Option<&str>) -> String {
        anstream::adapter::strip_str(&told(product, folder, Extent::Digest)).to_string()
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
        assert_narrow(&bare(&fixture::nested_in_inches(), None));
        assert_narrow(&bare(&fixture::nested_with_bought_pins(), None));
    }

    #[test]
    fn an_inch_kit_is_told_in_inches_first() {
        let page = bare(&fixture::nested_in_inches(), None);
        assert!(
            page.contains("stroke            0.3937 in (10 mm)\n"),
            "{page}"
        );
    }

    #[test]
    fn cautions_stand_before_the_steps_and_a_step_under_its_action() {
        let page = bare(&fixture::nested(), Some("out/desk-stage"));
        let at = |words: &str| {
            page.find(words)
                .unwrap_or_else(|| panic!("{words}: {page}"))
        };
        assert!(at("Not for lifting") < at("   1. Start the inner screw\n      Screw the inner"));
    }

    #[test]
    fn the_last_line_says_ready_and_where() {
        let page = bare(&fixture::nested(), Some("out/desk-stage"));
        assert_eq!(
            page.lines().last().unwrap(),
            "ready to print, but for what the kit waives (layers-per-pitch): out/desk-stage"
        );
        let mut product = fixture::nested();
        product
            .findings
            .retain(|finding| finding.outcome != Outcome::Waived);
        let page = bare(&product, Some("out/desk-stage"));
        assert_eq!(
            page.lines().last().unwrap(),
            "ready to print: out/desk-stage"
        );
    }

    #[test]
    fn the_digest_is_the_whole_page_unless_more_is_asked_for_and_the_page_begins_with_it() {
        for product in [fixture::nested(), fixture::nested_that_fails()] {
            for folder in [Some("out"), None] {
                let digest = digest(&product, folder);
                assert!(bare(&product, folder).starts_with(&digest));
                assert!(digest.lines().count() < bare(&product, folder).lines().count() / 2);
                assert!(!digest.contains("\n\n"), "{digest}");
            }
        }
    }

    #[test]
    fn the_digest_tells_what_fails_with_its_mend_and_counts_the_notes() {
        let mut product = fixture::nested_that_fails();
        let digested = digest(&product, None);
        let verdict = "not ready: first mend drive-wall: inner";
        assert!(unfolded(&digested).contains(verdict), "{digested}");
        assert!(unfolded(&digested).contains("fail drive-wall (drive screw): the wall between"));
        assert!(unfolded(&digested).contains("mend: inner = \"M12x1.75\""));
        assert!(unfolded(&digested).contains("(1 note)"), "{digested}");
        let note = product.findings.iter_mut();
        for finding in note.filter(|finding| finding.outcome == Outcome::Note) {
            finding.outcome = Outcome::Pass;
        }
        assert!(!digest(&product, None).contains("note"));
        // A warning keeps nothing from being made, and is told all the same.
        for finding in &mut product.findings {
            if finding.outcome == Outcome::Fail {
                finding.outcome = Outcome::Warn;
            }
        }
        let warned = unfolded(&digest(&product, Some("out")));
        assert!(
            warned.contains("warn drive-wall (drive screw): the wall between"),
            "{warned}"
        );
        assert!(warned.contains("mend: inner = \"M12x1.75\""));
    }

    #[test]
    fn the_digest_says_what_to_print_again_and_why_only_when_asked() {
        let mut product = fixture::nested();
        let change = |name: &str, change| (name.to_string(), change);
        product.changes = Some(vec![
            change("frame", Change::Reprint(vec!["side 10 to 10.25 mm".into()])),
            change("drive", Change::Keep),
            change("pin", Change::Keep),
        ]);
        let short = digest(&product, Some("out"));
        assert!(short.contains("reprint frame; keep the other 2"), "{short}");
        assert!(!short.contains("10.25"));
        assert!(bare(&product, Some("out")).contains("side 10 to 10.25 mm"));
    }

    fn unfolded(text: &str) -> String {
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_page_of_which_nothing_was_written_judges_and_leaves_out_bill_and_steps() {
        let judged = bare(&fixture::nested(), None);
        for title in ["To print", "Putting it together"] {
            assert!(!judged.contains(title), "{title}: {judged}");
            assert!(
                bare(&fixture::nested(), Some("out")).contains(title),
                "{title}"
            );
        }
        assert!(judged.contains("Checks\n") && judged.contains("Not for lifting"));
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
        let styled = told(&fixture::nested_that_fails(), None, Extent::All);
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
