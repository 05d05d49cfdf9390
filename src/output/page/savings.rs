//! What would make a kit quicker to print, as lines of a page.

use crate::kit::KeyPath;
use crate::output::words::folded;
use crate::printing_time::Minutes;

/// One key said otherwise, by which nothing comes out worse.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Saving {
    /// The key.
    pub key: KeyPath,
    /// What it then says, as it is typed.
    pub value: String,
    /// Printing time that it saves.
    pub time: Minutes,
    /// Filament that it saves, in grams; less than nothing where it takes more.
    pub grams: f64,
}

/// A section of the page.
pub(crate) fn section(savings: &[Saving]) -> String {
    let told = |saving: &Saving| {
        let grams = match saving.grams {
            grams if grams >= 0.5 => format!(" and {grams:.0} g"),
            grams if grams <= -0.5 => format!(", and costs {:.0} g", -grams),
            _ => String::new(),
        };
        let typed = saving.key.typed(&saving.value);
        folded(
            "  ",
            "    ",
            &format!("{typed} saves {}{grams}", saving.time.told()),
        )
    };
    let lines: String = match savings {
        [] => folded(
            "  ",
            "  ",
            "none of what was tried (thicker layers, a wall less, a narrower frame) saves ten minutes and \
             brings no new note or warning",
        ),
        some => some.iter().map(told).collect(),
    };
    format!("\nQuicker to print, each tried by itself, with nothing else coming out worse\n{lines}")
}
