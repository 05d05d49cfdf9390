//! What somebody holds who builds a kit: `guide.md` and `guide.html`, from one source of words.
//!
//! Each file here tells a few sections. Their order is that of IEC/IEEE 82079-1 (from memory) on the page:
//! what it is, safety, what to get ready, putting together, use, what goes wrong. Plain text
//! tells how it moves first, for it has no picture that shows it.

mod bench;
mod drawings;
mod getting;
mod judged;
mod moving;
mod opening;
mod putting;
mod trial_sheet;

use crate::output::document::{Block, Document, Section, Text, markdown, page};
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::kit::Product;

/// Name of the guide as plain text.
const GUIDE: &str = "guide.md";
/// Name of the guide as a page.
const PAGE: &str = "guide.html";

/// The format of the guide as plain text.
pub struct GuideFile;

impl Format<Product> for GuideFile {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        Ok(vec![OutFile::new(GUIDE, text(product))])
    }

    fn owns(&self, name: &str) -> bool {
        name == GUIDE
    }
}

/// The format of the guide as a page, of a product that has pictures.
pub struct GuidePage;

impl Format<Product> for GuidePage {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        let page = page(product).map(|page| OutFile::new(PAGE, page));
        Ok(page.into_iter().collect())
    }

    fn owns(&self, name: &str) -> bool {
        name == PAGE
    }
}

/// The guide as Markdown.
pub fn text(product: &Product) -> String {
    let sections = [
        vec![opening::cautions(product), moving::mechanism(product)],
        moving::motion(product),
        vec![moving::dial(product), moving::force(product)],
        vec![getting::step_zero(product)],
        getting::bill(product),
        vec![getting::printing(product), getting::marks(product)],
        vec![getting::beds(product), getting::folder(product)],
        judged::sections(product),
        vec![bench::aids_section(product)],
        vec![judged::waived(product), putting::section(product)],
        bench::sections(product),
        vec![trial_sheet::section(product)],
    ];
    markdown::written(&document(product, Vec::new(), sections))
}

/// The guide as a page; none of a product without pictures.
pub fn page(product: &Product) -> Option<String> {
    let album = product.album.as_ref()?;
    let sections = [
        vec![opening::cautions(product), getting::folder(product)],
        vec![getting::step_zero(product)],
        getting::bill(product),
        vec![getting::printing(product), getting::beds(product)],
        vec![getting::marks_shown(product), bench::aids_section(product)],
        vec![putting::section(product), moving::mechanism(product)],
        moving::motion(product),
        vec![moving::dial(product), moving::force(product)],
        judged::sections(product),
        vec![drawings::section(product)],
        bench::sections(product),
        vec![judged::waived(product), trial_sheet::section(product)],
    ];
    let opening = opening::blocks(product, album);
    Some(page::written(&document(product, opening, sections)))
}

fn document(
    product: &Product,
    opening: Vec<Block>,
    sections: impl IntoIterator<Item = Vec<Option<Section>>>,
) -> Document {
    Document {
        title: Text::plain(&product.kit.name),
        opening,
        sections: sections.into_iter().flatten().flatten().collect(),
    }
}

/// Lines that may hold code between backticks.
fn coded(lines: impl IntoIterator<Item = String>) -> Vec<Text> {
    lines.into_iter().map(|line| Text::coded(&line)).collect()
}

/// Values by their names.
fn facts<N: AsRef<str>>(rows: impl IntoIterator<Item = (N, String)>) -> Block {
    let rows = rows.into_iter();
    let rows = rows.map(|(name, value)| (Text::plain(name.as_ref()), Text::coded(&value)));
    Block::Facts(rows.collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::Turning;
    use crate::output::kit::fixture;
    use crate::output::words::markdown;

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
