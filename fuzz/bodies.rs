//! What the fuzz targets do with their bytes; `tests/it/never_panics.rs` does the same on stable.
//!
//! Bytes are taken all the way from a kit file to its findings. Whatever they are, the end is
//! a kit that was judged or a list of problems that can be shown; a panic is a defect.

use netlead::check::{self, Finding};
use netlead::diagnostic::{self, Diagnostic};
use netlead::kit::{self, Kit};
use netlead::layout::{self, Design};
use netlead::load::Case;
use netlead::motion;
use netlead::printer::Profile;
use netlead::thread::Thread;

/// A kit that got as far as its findings.
pub(crate) struct Judged {
    /// The kit.
    pub(crate) kit: Kit,
    /// Its mechanism.
    pub(crate) design: Design,
    /// What the checks say of it.
    pub(crate) findings: Vec<Finding>,
}

/// Reads, sizes, moves and judges a kit file; `None` where it is rejected.
pub(crate) fn kit_read(bytes: &[u8]) -> Option<Judged> {
    let text = match kit::decode(bytes) {
        Ok(text) => text,
        Err(not_text) => return shown(&not_text.text, std::slice::from_ref(&not_text.problem)),
    };
    let kit = match kit::read(text, &check::ids()) {
        Ok((kit, remarks)) => {
            shown(text, &remarks);
            kit
        }
        Err(problems) => return shown(text, &problems),
    };
    let profile = Profile::untuned_for(&kit);
    let design = match layout::design(&kit, &profile) {
        Ok(design) => design,
        Err(problems) => return shown(text, &problems),
    };
    let rates = motion::solve(&design.assembly).ok()?;
    let rates = rates.per_stroke_turn(rates.stroke_direction()?);
    let train =
        motion::power_train(&design.assembly, &rates, kit.friction().high, Vec::new()).ok()?;
    // Only that it comes to an end is of interest here.
    let _efficiency = train.efficiency();
    let case = Case {
        kit: &kit,
        profile: &profile,
        design: &design,
        rates: &rates,
    };
    let _figures = check::force_figures(&case);
    let findings = check::of_design(&case);
    Some(Judged {
        kit,
        design,
        findings,
    })
}

/// Reads a designation and everything that is derived from it.
pub(crate) fn thread_designation(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    match text.parse::<Thread>() {
        Ok(thread) => {
            let again = thread.designation().parse::<Thread>();
            assert!(again.is_ok(), "{} is not read back", thread.designation());
            netlead::output::page::thread_sheet::text(&thread);
            netlead::output::page::thread_sheet::json(&thread);
        }
        Err(error) => {
            shown(text, &[Diagnostic::error(error.message, error.at)]);
        }
    }
}

/// Renders problems, since their places may be as odd as the bytes.
fn shown(text: &str, problems: &[Diagnostic]) -> Option<Judged> {
    diagnostic::render("kit.toml", text, problems, diagnostic::Style::default());
    None
}
