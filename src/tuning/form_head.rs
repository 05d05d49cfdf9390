//! The head of a form: version, units, names, date, and with what the pieces were printed.

use super::filled::MadeWith;
use super::toml_values::{Field, Reader};
use crate::declared::TextRule;
use crate::diagnostic::Diagnostic;
use crate::strength::Material;
use crate::units::Length;

/// The word by which a form is known, and the version that this program writes.
pub const FORM: &str = "netlead-form/1";

/// The version, which must be this one.
pub(super) fn version(reader: &mut Reader, root: &Field) {
    match reader.text(root, "form") {
        Some((word, _)) if word == FORM => {}
        Some((word, at)) => reader.problems.push(
            Diagnostic::error(format!("`{word}` is not a form this program reads"), at)
                .mend(format!("write `form = \"{FORM}\"`")),
        ),
        None => reader.missing(root, "form", &format!("form = \"{FORM}\"")),
    }
}

/// Whether readings are in inches.
pub(super) fn in_inches(reader: &mut Reader, root: &Field) -> bool {
    let Some((unit, at)) = reader.text(root, "units") else {
        return false;
    };
    if unit != "mm" && unit != "inch" {
        reader.problems.push(
            Diagnostic::error(format!("`{unit}` is no unit of a caliper here"), at)
                .mend("write `units = \"mm\"` or `units = \"inch\"`"),
        );
    }
    unit == "inch"
}

/// The name of a profile that nobody named.
pub const UNNAMED: &str = "my-printer";

/// Text that goes into the profile and keeps its rule there; `None` where it is left out.
pub(super) fn named(
    reader: &mut Reader,
    root: &Field,
    key: &str,
    rule: &TextRule,
) -> Option<String> {
    let (text, at) = reader
        .text(root, key)
        .filter(|(text, _)| !text.is_empty())?;
    if let Err(fault) = (rule.check)(key, &text) {
        reader
            .problems
            .push(Diagnostic::error(fault.message, at).mend(fault.mend));
    }
    Some(text)
}

/// `2026-11-20`, or empty.
pub(super) fn date(reader: &mut Reader, root: &Field) -> String {
    let Some((date, at)) = reader.text_or_date(root, "date") else {
        return String::new();
    };
    if !date.is_empty() && !is_date(&date) {
        reader.problems.push(
            Diagnostic::error(format!("`{date}` is not a date"), at)
                .mend("write year, month and day: `date = \"2026-11-20\"`"),
        );
    }
    date
}

/// Whether text is a calendar date in ISO 8601's extended form.
pub fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts[..] else {
        return false;
    };
    let digits = |part: &str, count: usize| {
        part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    let between = |part: &str, most: u32| (1..=most).contains(&part.parse().unwrap_or(0));
    digits(year, 4) && digits(month, 2) && digits(day, 2) && between(month, 12) && between(day, 31)
}

/// Limits of what pieces are printed with: layer and line in mm, walls, bed in mm; those of a
/// profile.
const MADE: [[f64; 2]; 4] = [[0.04, 0.6], [0.1, 2.0], [1.0, 100.0], [50.0, 2000.0]];

/// With what the pieces were printed.
pub(super) fn made(reader: &mut Reader, root: &Field) -> MadeWith {
    let example = "made = { layer = 0.15, line = 0.45, walls = 4, bed = [220, 220, 250], \
                   material = \"PLA\" }";
    let keys = ["layer", "line", "walls", "bed", "material"];
    let Some(made) = reader.table(root, "made", &keys) else {
        reader.missing(root, "made", example);
        return MadeWith {
            layer: Length::mm(0.15),
            line: Length::mm(0.45),
            walls: 4,
            bed: [Length::mm(220.0); 3],
            material: Material::Pla,
        };
    };
    let layer = reader.number_in(&made, "layer", MADE[0]).unwrap_or(0.15);
    let line = reader.number_in(&made, "line", MADE[1]).unwrap_or(0.45);
    let walls = reader.number_in(&made, "walls", MADE[2]).unwrap_or(4.0);
    let told = reader.problems.len();
    let bed = reader.numbers_in(&made, "bed", MADE[3]);
    let told = reader.problems.len() > told;
    let at = made.at.clone();
    let bed: [f64; 3] = bed.try_into().unwrap_or_else(|_| {
        if !told {
            reader.problems.push(
                Diagnostic::error("`bed` needs three sizes", at)
                    .mend("write `bed = [220, 220, 250]`"),
            );
        }
        [220.0; 3]
    });
    let material = match reader.text(&made, "material") {
        None => {
            reader.missing(&made, "material", "material = \"PLA\"");
            Material::Pla
        }
        Some((word, at)) => match word.to_uppercase().as_str() {
            "PLA" => Material::Pla,
            "PETG" => Material::Petg,
            "ABS" => Material::Abs,
            "ASA" => Material::Asa,
            _ => {
                reader.problems.push(
                    Diagnostic::error(format!("`{word}` is not a filament that is known"), at)
                        .mend("write PLA, PETG, ABS or ASA"),
                );
                Material::Pla
            }
        },
    };
    MadeWith {
        layer: Length::mm(layer),
        line: Length::mm(line),
        walls: walls as u32,
        bed: bed.map(Length::mm),
        material,
    }
}
