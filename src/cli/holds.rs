//! What a file holds that a maker names: told by its own marks, so that a form that is given to
//! `check`, or a kit to `tune`, is answered with what to write.
//!
//! The marks are looked for line by line, so that a slip in a file does not hide what it is.

use super::presets::{PRESETS, nearest};
use super::trouble::shown;
use std::fs;
use std::path::{Path, PathBuf};

/// What a file of ours, or beside ours, holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Holds {
    /// A kit.
    Kit,
    /// A printer's profile.
    Profile,
    /// A form to fill in.
    Form,
    /// Measured rows.
    Rows,
    /// What netlead writes and does not read.
    Written,
    /// The shape of a part.
    Mesh,
}

/// Keys of which a kit has at least this many: one alone may stand in any file.
const KIT_KEYS: [&str; 6] = ["layout", "drive", "inner", "thin", "far", "stroke"];
const LEAST_KIT_KEYS: usize = 2;
/// Files of a folder that are looked at, and bytes of each: guesses, above what a maker keeps in one.
const MOST_FILES: usize = 200;
const MOST_BYTES: u64 = 64 << 10;

impl Holds {
    /// For messages.
    fn told(self) -> &'static str {
        match self {
            Self::Kit => "a kit",
            Self::Profile => "a printer profile",
            Self::Form => "a form",
            Self::Rows => "a file of measured rows",
            Self::Written => "written by netlead to be read by people and programs",
            Self::Mesh => "a mesh",
        }
    }

    /// What a text holds by its marks.
    fn of(text: &str) -> Vec<Self> {
        let key = |line: &str| line.split('=').next().unwrap_or_default().trim().to_owned();
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        // Guides, sheets and pages show what other files hold.
        let fenced = lines.iter().any(|line| line.starts_with("```"));
        if fenced || text.starts_with("<!DOCTYPE") {
            return vec![Self::Written];
        }
        let keys: Vec<String> = lines.iter().map(|line| key(line)).collect();
        let has = |name: &str| keys.iter().any(|key| key == name);
        let says = |name: &str, family: &str| {
            lines
                .iter()
                .any(|line| key(line) == name && line.contains(family))
        };
        let kit = KIT_KEYS.iter().filter(|name| has(name)).count() >= LEAST_KIT_KEYS;
        let marks = [
            (Self::Kit, kit),
            (Self::Profile, says("schema", "netlead-printer/")),
            (Self::Form, says("form", "netlead-form/")),
            (
                Self::Rows,
                has("rows") && (has("reading") || has("resolution")),
            ),
            (
                Self::Written,
                text.trim_start().starts_with('{') && text.contains("netlead-"),
            ),
            (
                Self::Mesh,
                text.starts_with("solid") && text.contains("facet"),
            ),
        ];
        let found = marks.into_iter().filter(|(_, holds)| *holds);
        found.map(|(what, _)| what).collect()
    }

    /// What a file holds by the end of its name, where that is no text of ours.
    pub(super) fn by_name(path: &Path) -> Option<Self> {
        let end = path.extension()?.to_string_lossy().to_lowercase();
        match end.as_str() {
            "stl" => Some(Self::Mesh),
            "md" | "html" | "csv" | "json" | "svg" => Some(Self::Written),
            _ => None,
        }
    }

    /// What the text of a file holds instead of this, if its marks or its name say so.
    pub(super) fn instead(self, path: &Path, text: &str) -> Option<Self> {
        let found = Self::of(text);
        match found.contains(&self) {
            true => None,
            false => found.first().copied().or_else(|| Self::by_name(path)),
        }
    }

    /// What is wrong with a file that holds `found` where this is wanted, and what to write.
    pub(super) fn wrong(self, found: Self, path: &Path) -> (String, String) {
        let file = shown(path);
        let message = format!(
            "{file} is {}, and {} is wanted here",
            found.told(),
            self.told()
        );
        let reader = match found {
            Self::Kit => format!("`netlead check {file}` judges a kit"),
            Self::Profile => {
                let name = path.file_name().unwrap_or_default().to_string_lossy();
                let name = name.strip_suffix(".printer.toml").unwrap_or(&name);
                let name = shown(Path::new(name));
                format!("a kit beside it uses this profile by a line `printer = \"{name}\"`")
            }
            Self::Form => format!("`netlead tune {file}` reads the form"),
            Self::Rows => format!("`netlead trial KIT {file}` reads the rows, behind their kit"),
            Self::Written | Self::Mesh => {
                let kit = "the kit file from which it was made";
                return (
                    message,
                    format!("{}: {kit} says all there is to say", self.to_name()),
                );
            }
        };
        let mend = match (self, found) {
            (Self::Form, Self::Kit) => format!(
                "name the form.toml that `netlead coupon {file}` wrote, or say behind the kit how \
                 many grooves you counted: `netlead tune {file} --thread 3 --pin 2 --slide 3`"
            ),
            _ => format!("{}; {reader}", self.to_name()),
        };
        (message, mend)
    }

    /// What to name.
    fn to_name(self) -> &'static str {
        match self {
            Self::Kit => "name the TOML file that describes the kit",
            Self::Profile => "name the TOML file that describes the printer",
            Self::Form => "name the form.toml that `netlead coupon` wrote",
            Self::Rows => "name the TOML file that holds the measured rows",
            Self::Written | Self::Mesh => "name another file",
        }
    }

    /// What to name of the files in a folder that was named.
    pub(super) fn inside(self, folder: &Path) -> Option<String> {
        let holds = |path: &PathBuf| {
            let is_short = fs::metadata(path).is_ok_and(|it| it.is_file() && it.len() < MOST_BYTES);
            is_short && fs::read_to_string(path).is_ok_and(|text| Self::of(&text).contains(&self))
        };
        let found = toml_files(folder).into_iter().find(holds)?;
        Some(format!(
            "name a file in that folder, such as {}",
            shown(&found)
        ))
    }
}

/// TOML files of a folder, by name.
fn toml_files(folder: &Path) -> Vec<PathBuf> {
    let folder = match folder.as_os_str().is_empty() {
        true => Path::new("."),
        false => folder,
    };
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let paths = entries
        .take(MOST_FILES)
        .filter_map(Result::ok)
        .map(|entry| entry.path());
    let mut files: Vec<PathBuf> = paths
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    files
}

/// What was probably meant by a file that is not there.
pub(super) fn meant(path: &Path) -> Option<String> {
    let file = path.with_extension("toml");
    if path.extension().is_none() && file.is_file() {
        return Some(format!("name the file with its ending: {}", shown(&file)));
    }
    let stem = path.file_stem()?;
    // A preset is no file: it is copied to one, which is then named.
    if let Some(preset) = PRESETS.iter().find(|preset| stem == preset.name) {
        let file = shown(&file);
        let here = Path::new("presets").join(format!("{}.toml", preset.name));
        let or = match here.is_file() {
            true => format!("; or name {} as it is", shown(&here)),
            false => String::new(),
        };
        return Some(format!(
            "`{name}` is a preset, to be copied first: `netlead start {name} {file}` writes {file}, \
             then name that{or}",
            name = preset.name,
        ));
    }
    let wanted = path.file_name()?.to_string_lossy().into_owned();
    let beside = toml_files(path.parent()?);
    let names = beside.iter().filter_map(|path| path.file_name()?.to_str());
    let near = nearest(&wanted, names)?;
    let near = path.with_file_name(near);
    Some(format!("name {} if that is meant", shown(&near)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROWS: &str = "reading = \"depth\"\nresolution = 0.05\nrows = [\n  [0, 1],\n]\n";
    const FORM: &str = "form    = \"netlead-form/1\"\n\n[[row]]\nname = \"outer\"\n";
    const PROFILE: &str = "schema = \"netlead-printer/1\"\nname = \"garage\"\n";

    #[test]
    fn every_kind_is_told_by_its_marks_and_a_slip_hides_none() {
        let all = PRESETS.iter().map(|preset| (Holds::Kit, preset.text));
        let others = [
            (Holds::Rows, ROWS),
            (Holds::Form, FORM),
            (Holds::Profile, PROFILE),
            (Holds::Written, "{\n  \"schema\": \"netlead-report/1\"\n}"),
            (Holds::Mesh, "solid part\n facet normal 0 0 1\n"),
        ];
        for (holds, text) in all.chain(others) {
            for text in [text.to_owned(), format!("{text}\nx = = [\n")] {
                assert_eq!(Holds::of(&text), [holds], "{text}");
                assert_eq!(holds.instead(Path::new("guide.md"), &text), None);
            }
        }
        // What only shows rows is no file of rows.
        for text in [
            format!("# A stage\n```toml\n{ROWS}```\n"),
            format!("<!DOCTYPE html>\n{ROWS}"),
        ] {
            assert_eq!(Holds::of(&text), [Holds::Written], "{text}");
        }
        // What has no marks is for its reader to judge.
        for text in ["", "name = \"stage\"\n", "stroke = 10\n", "rows = []\n"] {
            assert_eq!(
                Holds::Kit.instead(Path::new("a.toml"), text),
                None,
                "{text}"
            );
            let written = Holds::Kit.instead(Path::new("guide.md"), text);
            assert_eq!(written, Some(Holds::Written), "{text}");
        }
    }

    #[test]
    fn whatever_is_given_for_another_the_message_says_what_to_write() {
        let given = |wanted: Holds, text: &str, file: &str| {
            let file = Path::new(file);
            let found = wanted.instead(file, text).unwrap();
            let (message, mend) = wanted.wrong(found, file);
            format!("{message}. {mend}")
        };
        let kit = PRESETS[0].text;
        for (wanted, text, file, told) in [
            (Holds::Kit, FORM, "form.toml", "`netlead tune form.toml`"),
            (
                Holds::Kit,
                ROWS,
                "rows.toml",
                "`netlead trial KIT rows.toml`",
            ),
            (
                Holds::Kit,
                PROFILE,
                "a/garage.printer.toml",
                "`printer = \"garage\"`",
            ),
            (
                Holds::Form,
                kit,
                "k.toml",
                "`netlead tune k.toml --thread 3 --pin 2 --slide 3`",
            ),
            (Holds::Form, kit, "k.toml", "`netlead coupon k.toml` wrote"),
            (
                Holds::Rows,
                kit,
                "k.toml",
                "name the TOML file that holds the measured rows",
            ),
            (Holds::Profile, kit, "k.toml", "describes the printer"),
            (Holds::Rows, FORM, "form.toml", "is a form"),
        ] {
            let said = given(wanted, text, file);
            assert!(said.contains(told), "{said}");
        }
    }
}
