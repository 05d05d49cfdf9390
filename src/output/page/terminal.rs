//! What `make` and `check` print: a page of 80 columns that reads as well without colour.
//!
//! The text carries ANSI styles; whoever writes it to a stream that shows none strips them.

use crate::check::Outcome;
use crate::output::kit::bill::{self, Kind, Row};
use crate::output::kit::{Product, changes, fits, sentences};
use crate::output::words::{self, capital, folded, plain};
use crate::units_told::Told;
use anstyle::{AnsiColor, Style};

/// Columns of the names in front of a table's values.
const NAME_COLUMNS: usize = 18;
/// Columns of a count in the bill: a blank more than two digits.
const COUNT_COLUMNS: usize = 3;
/// Columns of a mass in grams in the bill.
const MASS_COLUMNS: usize = 7;

/// The page. `folder` is where the files are, if they were written; else the page only judges,
/// and leaves out bill and steps.
pub fn page(product: &Product, folder: Option<&str>) -> String {
    let mut page = Page::default();
    let title = format!("{} ({})", plain(&product.kit.name), product.kit.layout);
    page.styled_line(Style::new().bold(), &title);
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
        parts(&mut page, product);
    }
    fits(&mut page, product);
    findings(&mut page, product);
    page.heading("Cautions");
    page.block("  ", "  ", words::CAUTION_IN_SHORT);
    if folder.is_some() {
        steps(&mut page, product);
    }
    since_last_run(&mut page, product);
    page.0.push('\n');
    closing(&mut page, product, folder);
    page.0
}

/// The gaps of all joints in columns, then what they rest on.
fn fits(page: &mut Page, product: &Product) {
    let rows = fits::rows(product);
    if rows.is_empty() {
        return;
    }
    page.heading("Fits");
    for row in std::iter::once(fits::titles(product.kit.told())).chain(rows) {
        let fits::Row {
            joint,
            fit,
            wanted,
            drawn,
            printed,
            as_printed,
            usable,
        } = row;
        page.0.push_str(&format!(
            "  {joint:<27} {fit:<6} {wanted:>6} {drawn:>6} {printed:>14} {as_printed:>5} {usable:>6}\n"
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
                page.row(&plain(&row.name), &plain(&row.description));
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
    let about = [mass, bill::size(row, told), bill::spares(row), shop];
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
    page.heading("Putting it together (clockwise: as an eye at the drive head sees it)");
    let bold = Style::new().bold();
    for (number, step) in (0..).zip(&product.design.steps) {
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

/// One sentence to act on.
fn closing(page: &mut Page, product: &Product, folder: Option<&str>) {
    let open = product.open_findings();
    let failure = open.iter().find(|finding| finding.outcome == Outcome::Fail);
    let untuned = fits::not_tuned(product);
    let state = untuned.as_ref().map_or("", |_| ", not tuned yet");
    let but = format!("{state}{}", sentences::reservations(product));
    let ready = if sentences::reservations(product).is_empty() {
        Outcome::Pass
    } else {
        Outcome::Warn
    };
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
            outcome_style(ready),
            format!("ready to print{but}: {}", plain(folder)),
        ),
        (None, None) => (
            outcome_style(ready),
            format!("ready to make{but}; nothing was written"),
        ),
    };
    if let (None, Some(words)) = (failure, &untuned) {
        page.block("", "", words);
    }
    if failure.is_none() && folder.is_some() {
        let first = "Before you print, read guide.md: all cautions, print notes and marks.";
        page.block("", "", first);
    }
    page.styled_line(style, &text);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;
    use crate::output::words::COLUMNS;
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
        assert_narrow(&bare(&fixture::nested_in_inches(), None));
        assert_narrow(&bare(&fixture::nested_with_bought_pins(), None));
    }

    #[test]
    fn an_inch_kit_is_told_in_inches_first() {
        let page = bare(&fixture::nested_in_inches(), None);
        assert!(
            page.contains("stroke            0.394 in (10 mm)\n"),
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
        assert!(at("Not for lifting") < at("   0. Start the inner screw\n      Screw the inner"));
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
