//! A part that does not fit on the printer is found before it is sliced into layers.

use super::{Case, Judgement, Outcome, Rule};
use crate::layout::{End, Sizes};
use crate::units::Length;

/// Rule: every part fits the printer, and stands on it.
pub(super) const RULE: Rule = Rule {
    id: "bed",
    about: "a part is larger than the printer, or so slender that it may fall",
    why: "A part that is taller than the printer cannot be printed, and one that is slender is \
          knocked over.",
    formula: "Height and foot of each upright part against the kit's `bed`. A note above four \
              times as tall as wide.",
    source: "the kit's `bed`; common practice: a brim above four times as tall as wide",
    mend: "shorten the stroke, take a larger net lead, or print with a brim",
    judge,
};

/// Taller than this many widths wants a brim (common practice: 4 to 5).
const SLENDER: f64 = 4.0;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    tall_parts(&case.design.sizes)
        .into_iter()
        .map(|part| judgement(case, part))
        .collect()
}

/// Name, width of the foot, height.
type Tall = (&'static str, Length, Length);

/// Parts that stand upright; the others are flatter than the frame is wide.
fn tall_parts(sizes: &Sizes) -> Vec<Tall> {
    let shaft = sizes.head_height + sizes.drive_thread;
    let mut parts = vec![("frame", sizes.frame_side, sizes.frame_length)];
    match &sizes.end {
        End::Single(tip) => parts.push(("drive", sizes.across_flats, shaft + tip.length)),
        End::Nested(nested) => {
            parts.push(("drive", sizes.across_flats, shaft));
            parts.push((
                "inner",
                nested.collar,
                nested.head_height + nested.thread_length,
            ));
        }
    }
    parts
}

/// A part's name in a sentence.
fn spoken(name: &str) -> &str {
    match name {
        "drive" => "drive screw",
        "inner" => "inner screw",
        other => other,
    }
}

fn judgement(case: &Case<'_>, (name, foot, height): Tall) -> Judgement {
    let [x, y, z] = *case.kit.bed;
    let told = case.kit.told();
    let fits = height <= z && foot <= x.min(y);
    let slender = height / foot > SLENDER;
    let (outcome, mend) = match (fits, slender) {
        (false, _) => (
            Outcome::Fail,
            "shorten `stroke`, take threads with a larger net lead, or say the size of a larger \
             printer in `bed`"
                .to_string(),
        ),
        (true, true) => (
            Outcome::Note,
            format!("print the {} with a brim", spoken(name)),
        ),
        (true, false) => (Outcome::Pass, String::new()),
    };
    Judgement {
        outcome,
        subject: name.into(),
        value: height.as_mm(),
        limit: Some(z.as_mm()),
        unit: "mm",
        message: format!(
            "the {} stands {} tall on a foot {} wide, {:.1} times as tall as wide; the printer \
             has {} by {} and {} of height",
            spoken(name),
            told.length(height, 1),
            told.length(foot, 1),
            height / foot,
            told.length(x, 0),
            told.length(y, 0),
            told.length(z, 0)
        ),
        mend: Some(mend).filter(|mend| !mend.is_empty()),
        at: case.kit.stroke.at.clone(),
    }
}
