//! Words that several outputs share: the mechanism and its motion said plainly, cautions,
//! print notes, and text made safe for a terminal and for Markdown.
//!
//! People are told clockwise or counter-clockwise, seen from the drive head; signs stay inside.

use super::Product;
use crate::assembly::Fit;
use crate::check::{Finding, Outcome};
use crate::kit::{LayoutKind, Material, Turning};
use crate::thread::Hand;
use crate::units::Length;

/// Name of a layout, as the kit file has it.
pub fn layout_name(layout: LayoutKind) -> &'static str {
    match layout {
        LayoutKind::Single => "single",
        LayoutKind::Nested => "nested",
    }
}

/// Usual name of a filament.
pub fn material_name(material: Material) -> &'static str {
    match material {
        Material::Pla => "PLA",
        Material::Petg => "PETG",
        Material::Abs => "ABS",
        Material::Asa => "ASA",
    }
}

/// The way to turn, with the place of the eye.
pub fn turning_words(turning: Turning) -> &'static str {
    match turning {
        Turning::Clockwise => "clockwise, seen from the drive head",
        Turning::CounterClockwise => "counter-clockwise, seen from the drive head",
    }
}

/// Word for an outcome, as contracts and people read it.
pub fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Note => "note",
        Outcome::Warn => "warn",
        Outcome::Fail => "fail",
        Outcome::Waived => "waived",
    }
}

/// A number with up to `decimals` decimals and no idle zeros: `0.75`, `13.3`, `10`.
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    // A value that rounds to nothing keeps no sign.
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

/// A length with its unit, to a hundredth of a millimetre, as a caliper reads it.
pub fn length(value: Length) -> String {
    format!("{} mm", number(value.as_mm(), 2))
}

/// Sentences on what turns in what, and what comes of it.
pub fn mechanism(product: &Product) -> Vec<String> {
    let assembly = &product.design.assembly;
    let mut sentences = Vec::new();
    for (index, joint) in assembly.joints.iter().enumerate() {
        let (Fit::Thread, Some(joint_thread)) = (joint.fit, &joint.thread) else {
            continue;
        };
        let hand = match joint_thread.thread.hand() {
            Hand::Right => "right-hand",
            Hand::Left => "left-hand",
        };
        let [male, female] = joint.between.map(|id| plain(&assembly.instance(id).name));
        let known = product.joints.get(index);
        let designation = known
            .and_then(|figures| figures.thread.as_deref())
            .map_or_else(
                || format!("a {} thread", length(joint_thread.thread.major())),
                plain,
            );
        sentences.push(format!(
            "The {male} runs in the {female}: {designation}, {hand}, lead {} mm.",
            number(joint_thread.thread.lead().as_mm(), 4)
        ));
    }
    sentences.push(match product.kit.layout {
        LayoutKind::Single => "The carriage hangs on the drive by a swivel and moves by the \
             whole lead in each turn."
            .into(),
        LayoutKind::Nested => "Drive and inner screw work against each other; what is left \
             between their two leads is what the carriage moves by."
            .into(),
    });
    sentences
}

/// The motion as rows of name and value.
pub fn motion(product: &Product) -> Vec<(&'static str, String)> {
    let (motion, course) = (&product.motion, &product.design.course);
    let mut rows = vec![
        (
            "net lead",
            format!("{} mm in each turn", number(motion.net_lead.as_mm(), 4)),
        ),
        ("stroke", length(course.stroke)),
        (
            "turns for it",
            format!(
                "{} {}",
                number(course.turns, 2),
                turning_words(motion.turning)
            ),
        ),
        ("drive travel", length(course.drive_travel)),
    ];
    if let Some(inner) = course.inner_travel {
        rows.push(("inner travel", length(inner)));
    }
    if let Some(direction) = carriage_direction(product) {
        rows.push(("carriage moves", direction.into()));
    }
    if let Some(closing) = motion.closing_per_turn {
        rows.push((
            "closing",
            format!("{} mm in each turn", number(closing.as_mm(), 4)),
        ));
    }
    if let Some(lost) = motion.lost_motion_turns {
        let (low, high) = (number(lost.low, 2), number(lost.high, 2));
        rows.push((
            "lost motion",
            format!("{low} to {high} turns at each reversal"),
        ));
    }
    if let Some(locking) = motion.self_locking {
        let words = if locking {
            "yes, a push on the carriage does not turn the drive"
        } else {
            "no, a push on the carriage can turn the drive"
        };
        rows.push(("self-locking", words.into()));
    }
    if let Some(torque) = motion.torque {
        let torque = number(torque.as_newton_metres(), 2);
        rows.push(("torque", format!("{torque} N m at the load of the kit")));
    }
    if let Some(efficiency) = motion.efficiency {
        let percent = number(efficiency * 100.0, 1);
        rows.push(("efficiency", format!("{percent} % of the work arrives")));
    }
    rows
}

fn carriage_direction(product: &Product) -> Option<&'static str> {
    let rate = product.rate(product.design.assembly.carriage)?;
    let advance = rate.advance.as_mm();
    if advance > 0.0 {
        Some("away from the drive head")
    } else if advance < 0.0 {
        Some("towards the drive head")
    } else {
        None
    }
}

/// What applies to every print of a kit.
pub fn print_notes(product: &Product) -> Vec<String> {
    let kit = &product.kit;
    vec![
        "Scale 100 % and never mirrored: a mirror makes a left-hand thread of a right-hand \
         one, and the parts no longer fit."
            .into(),
        "Supports off. Every part stands in its file as it is printed; do not turn it over.".into(),
        format!(
            "{}, layers of {} and lines of {}, as the kit says; the gaps are drawn for them.",
            material_name(kit.material),
            length(kit.layer),
            length(kit.line)
        ),
        "Let the bed cool before you take a part off, and clear the first layer of its flare."
            .into(),
    ]
}

/// Cautions, the gravest first.
pub const CAUTIONS: [&str; 7] = [
    "A hand tool for light holding. Not for lifting, hanging or holding up people or loads; \
     nobody stands under it or in front of it.",
    "Not a rated device: prints differ, and no figure here is a working load limit.",
    "Keep fingers out of the closing gap and away from the ends of the carriage.",
    "Wear eye protection when driving pins, bystanders too. Press them in with a vice or a \
     soft mallet, never against your hand.",
    "Turn by hand. A drill driver only at its lowest speed and clutch, and never past the \
     end stop.",
    "Plastic creeps and softens: release the load when you leave, and keep it from heat, sun \
     and cars. Look for whitening, cracks and worn threads, and throw away what shows them.",
    "Local law, workplace rules and qualified people come before anything written here.",
];

/// A finding in one line: `drive-wall (drive): message`.
pub fn finding_line(finding: &Finding) -> String {
    let subject = plain(&finding.subject);
    let message = plain(&finding.message);
    if subject.is_empty() {
        format!("{}: {message}", finding.id)
    } else {
        format!("{} ({subject}): {message}", finding.id)
    }
}

/// Text on one line, without anything that could drive a terminal or turn the reading
/// direction: runs of such letters and of blanks become one blank.
pub fn plain(text: &str) -> String {
    let letters: String = text
        .chars()
        .map(|letter| if is_hidden(letter) { ' ' } else { letter })
        .collect();
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Control letters (Unicode category Cc), and the marks that reorder or hide text (Unicode
/// Standard Annex 9, and the zero-width letters).
fn is_hidden(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

/// Plain text in which Markdown sees no markup.
pub fn markdown(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for letter in plain(text).chars() {
        if matches!(
            letter,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '&' | '~'
        ) {
            escaped.push('\\');
        }
        escaped.push(letter);
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::fixture;
    use proptest::prelude::*;

    #[test]
    fn numbers_lose_idle_zeros_but_not_their_own() {
        assert_eq!(number(0.75, 4), "0.75");
        assert_eq!(number(10.0, 2), "10");
        assert_eq!(number(100.0, 0), "100");
        assert_eq!(number(13.333_333, 2), "13.33");
        assert_eq!(number(-0.001, 2), "0");
    }

    #[test]
    fn a_right_hand_drive_is_turned_clockwise_and_pushes_away() {
        let rows = motion(&fixture::nested());
        let value = |name| &rows.iter().find(|(row, _)| *row == name).unwrap().1;
        assert_eq!(
            value("turns for it"),
            "13.33 clockwise, seen from the drive head"
        );
        assert_eq!(value("carriage moves"), "away from the drive head");
        assert_eq!(value("net lead"), "0.75 mm in each turn");
    }

    #[test]
    fn what_was_not_worked_out_is_not_told() {
        let rows = motion(&fixture::nested());
        assert!(rows.iter().all(|(name, _)| *name != "torque"));
    }

    #[test]
    fn both_threads_are_told_with_their_leads() {
        let sentences = mechanism(&fixture::nested()).join(" ");
        assert!(sentences.contains("M20x2.5, right-hand, lead 2.5 mm"));
        assert!(sentences.contains("M12x1.75, right-hand, lead 1.75 mm"));
    }

    #[test]
    fn markdown_of_a_kit_name_is_text() {
        assert_eq!(markdown("a *b* <i>\n# c"), "a \\*b\\* \\<i\\> \\# c");
    }

    proptest! {
        #[test]
        fn prop_plain_text_has_no_control_letters_and_is_plain_already(text in "\\PC*|.*|[\\x00-\\x7f]*") {
            let once = plain(&text);
            prop_assert!(once.chars().all(|letter| !letter.is_control()));
            prop_assert_eq!(plain(&once), once.clone());
        }
    }
}
