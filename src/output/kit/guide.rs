//! `guide.md`: cautions, what the mechanism does, the bill, how to print and how to put it
//! together, as Markdown that reads well as plain text.
//!
//! Lines are not folded: a folded line could begin with a sign that Markdown takes for a list.

use super::bill::{self, Kind};
use super::product::Product;
use super::{apart, care, dial, fits, sentences, troubles};
use crate::assembly::{Assembly, InstanceId, Step, TAKING_APART};
use crate::check::{Finding, Outcome};
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::words::{self, capital, markdown, plain};

/// Where the eye is when the guide says clockwise.
const EYE: &str = "Clockwise and counter-clockwise are said by an eye in front of the drive head, \
                   looking along the screws at the frame:\n\n```text\n  eye (o)>  [head]======[ frame  [carriage] -> ]\n```\n";

/// Name of the guide.
const GUIDE: &str = "guide.md";

/// The format.
pub struct GuideFile;

impl Format<Product> for GuideFile {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        Ok(vec![OutFile::new(GUIDE, text(product))])
    }

    fn owns(&self, name: &str) -> bool {
        name == GUIDE
    }
}

/// The guide.
pub fn text(product: &Product) -> String {
    let mut page = Page(format!("# {}\n", markdown(&product.kit.name)));
    page.section("Cautions", escaped(sentences::cautions(product)));
    page.section("What it does", escaped(sentences::mechanism(product)));
    page.section("Motion", motion(product));
    page.0.push('\n');
    page.0.push_str(EYE);
    page.section("The dial", escaped(dial::sentences(product)));
    if let Some(force) = &product.force {
        let rows = sentences::force(product, force).into_iter();
        let rows = rows.map(|(name, value)| markdown(&format!("{name}: {value}")));
        page.section(
            &sentences::force_title(force),
            rows.chain([markdown(&sentences::no_rating(product, force))]),
        );
    }
    page.step_zero(product);
    for (kind, title) in [
        (Kind::Printed, "To print"),
        (Kind::Bought, "To buy"),
        (Kind::Tool, "To have at hand"),
    ] {
        page.section(title, bill(product, kind));
    }
    page.section("Printing", printing(product));
    page.section("Marks", marks(product));
    page.fits(product);
    page.section(
        "Play along the axis, lost at a reversal",
        escaped(fits::plays(product)),
    );
    page.section("Checks that want your eye", checks(product));
    page.section("Waived by the kit", waivers(product));
    page.heading("Putting it together");
    for (number, step) in (sentences::FIRST_STEP..).zip(&product.design.steps) {
        page.step(&product.design.assembly, number, step);
    }
    page.apart(product);
    page.section("Running in and grease", coded(care::running_in(product)));
    page.troubles(product);
    page.0
}

/// The text so far.
struct Page(String);

impl Page {
    fn heading(&mut self, title: &str) {
        self.0.push_str(&format!("\n## {title}\n\n"));
    }

    /// A list under a heading, or nothing where the list is empty.
    fn section(&mut self, title: &str, items: impl IntoIterator<Item = String>) {
        let mut items = items.into_iter().peekable();
        if items.peek().is_none() {
            return;
        }
        self.heading(title);
        for item in items {
            self.0.push_str(&format!("- {item}\n"));
        }
    }

    /// A table of all gaps, then what it rests on.
    fn fits(&mut self, product: &Product) {
        let rows = fits::rows(product);
        if rows.is_empty() {
            return;
        }
        self.heading("Fits");
        let titles = fits::titles(product.kit.told());
        for (index, row) in std::iter::once(titles).chain(rows).enumerate() {
            let fits::Row {
                joint,
                fit,
                wanted,
                drawn,
                printed,
                as_printed,
                usable,
            } = row;
            let cells = [&joint, fit, &wanted, &drawn, &printed, &as_printed, &usable];
            self.0.push_str(&format!("| {} |\n", cells.join(" | ")));
            if index == 0 {
                self.0.push_str("|---|---|---|---|---|---|---|\n");
            }
        }
        self.0.push_str(&format!("\n{}\n", fits::BASIS));
        for line in fits::whole_kit(product) {
            self.0.push_str(&format!("\n{}\n", markdown(&line)));
        }
    }

    /// What is printed before any part, on a printer that was not measured.
    fn step_zero(&mut self, product: &Product) {
        let Some(words) = fits::not_tuned(product) else {
            return;
        };
        self.heading("Step 0: the quick test pieces, before any part");
        self.0.push_str(&format!("{}\n", markdown(&words)));
    }

    /// Pins in and out, the way apart, and what is other the second time.
    fn apart(&mut self, product: &Product) {
        self.section("Pins, in and out", escaped(apart::pins(product)));
        let Some(begin) = apart::begin(product) else {
            return;
        };
        self.heading(TAKING_APART);
        self.0.push_str(&format!("{}\n\n", markdown(&begin)));
        for (number, line) in (1..).zip(apart::way(product)) {
            self.0.push_str(&format!("{number}. {}\n", markdown(&line)));
        }
        for line in apart::second_time(product) {
            self.0.push_str(&format!("\n{}\n", markdown(&line)));
        }
    }

    fn troubles(&mut self, product: &Product) {
        self.heading("Troubles");
        self.0.push_str(
            "Look first, then change one key of the kit file, a little at a time, and run `netlead check` \
             before you print again.\n",
        );
        for trouble in troubles::troubles(product) {
            self.0.push_str(&format!("\n### {}\n\n", trouble.what));
            for line in coded(trouble.told(&product.design.assembly)) {
                self.0.push_str(&format!("- {line}\n"));
            }
        }
    }

    fn step(&mut self, assembly: &Assembly, number: usize, step: &Step) {
        let action = markdown(&capital(&step.action));
        if number > sentences::FIRST_STEP {
            self.0.push('\n');
        }
        self.0.push_str(&format!("### {number}. {action}\n\n"));
        if !step.pieces.is_empty() {
            let called = |piece: &InstanceId| words::plain(&assembly.instance(*piece).called);
            let pieces: Vec<String> = step.pieces.iter().map(called).collect();
            let pieces = markdown(&pieces.join(", "));
            self.0.push_str(&format!("Pieces: {pieces}.\n\n"));
        }
        self.0.push_str(&format!("{}\n", markdown(&step.text)));
        if !step.reason.is_empty() {
            let reason = markdown(step.reason.trim_end_matches('.'));
            self.0.push_str(&format!("\n*Why: {reason}.*\n"));
        }
    }
}

/// Lines in which what stands between backticks is code and stays as it is.
fn coded(lines: impl IntoIterator<Item = String>) -> Vec<String> {
    let line = |line: String| {
        let parts = line
            .split('`')
            .enumerate()
            .map(|(index, part)| match index % 2 {
                0 => escaped_part(part),
                _ => format!("`{part}`"),
            });
        parts.collect::<String>()
    };
    lines.into_iter().map(line).collect()
}

/// Part of a line, with the blanks at its ends.
fn escaped_part(part: &str) -> String {
    let [before, after] = [part.starts_with(' '), part.ends_with(' ')].map(|blank| match blank {
        true => " ",
        false => "",
    });
    match part.trim().is_empty() {
        true => part.to_owned(),
        false => format!("{before}{}{after}", markdown(part)),
    }
}

fn escaped(lines: impl IntoIterator<Item = String>) -> Vec<String> {
    lines.into_iter().map(|line| markdown(&line)).collect()
}

fn bill(product: &Product, kind: Kind) -> Vec<String> {
    let told = product.kit.told();
    let rows = bill::rows(product);
    let total = bill::total(product).filter(|_| kind == Kind::Printed);
    let rows = rows.iter().filter(|row| row.kind == kind);
    rows.map(|row| match kind {
        // A bench has one of each.
        Kind::Tool | Kind::Caution => markdown(&format!("{}: {}", row.name, row.description)),
        Kind::Printed | Kind::Bought => markdown(&bill::line(row, told)),
    })
    .chain(total.map(|total| markdown(&total)))
    .collect()
}

fn motion(product: &Product) -> Vec<String> {
    let rows = sentences::motion(product).into_iter();
    rows.map(|(name, value)| format!("{name}: {value}"))
        .collect()
}

/// What applies to all, then each file with its count and its own note.
fn printing(product: &Product) -> Vec<String> {
    let rows = bill::rows(product).into_iter();
    let own = rows
        .filter(|row| row.kind == bill::Kind::Printed)
        .map(|row| {
            let file = row.file.as_deref().unwrap_or("no file");
            let note = plain(&row.print_note);
            markdown(&format!("{file}, {} x: {note}", row.quantity))
        });
    sentences::print_notes(product)
        .into_iter()
        .chain(own)
        .collect()
}

fn marks(product: &Product) -> Vec<String> {
    let parts = product.design.assembly.parts.iter();
    parts
        .filter_map(|part| {
            let name = markdown(&words::plain(part.called));
            let sunk = part.label.as_ref().and_then(|label| label.sunk.as_ref());
            let sunk = sunk.map(|text| format!("{text} sunk into it"));
            let mark = Some(part.mark.clone()).filter(|mark| !mark.is_empty());
            let told: Vec<String> = mark.into_iter().chain(sunk).collect();
            (!told.is_empty()).then(|| format!("{name}: {}", markdown(&told.join("; "))))
        })
        .collect()
}

fn checks(product: &Product) -> Vec<String> {
    let open = product.open_findings().into_iter();
    // What is waived has a section of its own, with the maker's reason.
    open.filter(|finding| finding.outcome != Outcome::Waived)
        .map(|finding| check(product, finding))
        .collect()
}

fn check(product: &Product, finding: &Finding) -> String {
    let told = words::finding_line(&product.design.assembly, finding);
    let word = words::outcome_word(finding.outcome);
    let mut line = format!("**{word}** {}", markdown(&told));
    if let Some(mend) = &finding.mend {
        line.push_str(&format!(" *Mend:* {}", markdown(mend)));
    }
    line
}

fn waivers(product: &Product) -> Vec<String> {
    let waivers = product.kit.waivers.iter();
    waivers
        .map(|(id, reason)| {
            let mut line = format!("{}, because: {}", markdown(id), markdown(reason));
            let waived = |finding: &&Finding| {
                finding.outcome == Outcome::Waived && finding.id == id.as_str()
            };
            for finding in product.findings.iter().filter(waived) {
                let told = words::finding_line(&product.design.assembly, finding);
                line.push_str(&format!(" ({})", markdown(&told)));
            }
            line
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::Turning;
    use crate::output::kit::fixture;

    #[test]
    fn turns_are_told_by_the_clock_and_never_by_sign() {
        for turning in [Turning::Clockwise, Turning::CounterClockwise] {
            let mut product = fixture::nested();
            product.motion.turning = turning;
            let guide = text(&product).to_lowercase();
            assert!(guide.contains("clockwise, seen from the drive head"));
            for word in ["positive", "negative", "plus", "minus"] {
                assert!(!guide.contains(word), "{word}");
            }
        }
    }

    #[test]
    fn an_inch_kit_is_told_in_inches_first() {
        let guide = text(&fixture::nested_in_inches());
        assert!(guide.contains("- stroke: 0.3937 in (10 mm)\n"), "{guide}");
    }

    #[test]
    fn cautions_come_before_anything_else() {
        let guide = text(&fixture::nested());
        let first = guide.find("\n## ").unwrap();
        assert!(guide[first..].starts_with("\n## Cautions"));
        for fact in [
            "lifting",
            "working load limit",
            "eye protection",
            "Local law",
        ] {
            assert!(guide.contains(fact), "{fact}");
        }
    }

    #[test]
    fn a_mirrored_print_is_warned_of() {
        let guide = text(&fixture::nested());
        assert!(guide.contains("100 %") && guide.contains("left-hand thread"));
        assert!(guide.contains("Supports off"));
        assert!(guide.contains("parts/pin.stl, 5 x: upright, 4 walls"));
    }

    #[test]
    fn every_part_step_mark_and_open_check_is_told() {
        let product = fixture::nested_that_fails();
        let guide = text(&product);
        for part in &product.design.assembly.parts {
            assert!(guide.contains(&format!("x {}", part.name)), "{}", part.name);
            assert!(guide.contains(&markdown(&part.mark)));
        }
        for step in &product.design.steps {
            assert!(guide.contains(&markdown(&step.text)));
        }
        assert!(guide.contains("**fail** drive-wall"));
        assert!(guide.contains("*Mend:* inner = \"M12x1.75\""));
        assert!(guide.contains("layers-per-pitch, because: printed well before"));
        assert!(!guide.contains("**pass**"));
    }

    #[test]
    fn a_kit_name_cannot_add_markup_or_lines() {
        let mut product = fixture::nested();
        product.kit.name = "x\n\n## Safe to lift\n<script>".into();
        let guide = text(&product);
        assert!(guide.starts_with("# x \\#\\# Safe to lift \\<script\\>\n"));
    }
}
