//! A printer profile as TOML: from text to a [`Profile`] or every problem in it, and back.
//!
//! What the file does not say of a term is the shipped guess. Numbers are written with so many
//! decimals that nothing a printer does is lost: see [`Profile::to_toml`].

use super::broken::{FromPieces, PrintStrength};
use super::keys::{self, CORRELATION, FORM, SCHEMA_1};
use super::profile::{Correction, Known, Profile, TERMS, Term};
use crate::assembly::Slender;
use crate::declared::{self, Key, Reader, Said, Value, Words};
use crate::diagnostic::Diagnostic;
use crate::kit::word;
use crate::units::Length;
use nalgebra::DMatrix;
use std::fmt::Write as _;
use std::ops::Range;

/// Decimals of a length in mm, of a curvature in mm2 and of a correlation.
const DECIMALS: usize = 6;
/// Decimals of a share of a length: 1e-8 of the largest bed is below a micrometre.
const SHARE_DECIMALS: usize = 8;
/// An eigenvalue of correlations may be this much below zero: what rounding to six decimals
/// adds up to in twelve terms.
const EIGENVALUE_SLACK: f64 = 1e-5;

impl Profile {
    /// Reads a profile; a valid one comes with its warnings.
    ///
    /// # Errors
    /// Every problem of the text in file order, each with its place.
    pub fn from_toml(text: &str) -> Result<(Self, Vec<Diagnostic>), Vec<Diagnostic>> {
        declared::read(&FORM, text, profile)
    }

    /// The profile as a file. `made_by` says in the file's first lines what made it.
    ///
    /// Lengths (mm), curvature (mm2) and correlations have six decimals, scales eight; what is
    /// read back differs by half a step of these at most. The same profile gives the same text.
    ///
    /// # Errors
    /// What [`Self::from_toml`] would refuse in the text: values beyond the limits of the file.
    pub fn to_toml(&self, made_by: &str) -> Result<String, Vec<Diagnostic>> {
        let mut text = head(self, made_by);
        text += &correlations(self);
        text += &tables(self);
        Self::from_toml(&text).map(|_| text)
    }
}

impl Term {
    /// As it is called in a file: `outer_growth`.
    pub fn word(self) -> &'static str {
        let found = Self::KNOWN.iter().find(|(_, term)| *term == self);
        found.map_or("", |(word, _)| word)
    }

    /// Its unit: `mm`, `mm2`, or `share` of a length.
    pub fn unit(self) -> &'static str {
        match self {
            Self::ScaleX | Self::ScaleY | Self::ScaleZ => "share",
            Self::Curvature => "mm2",
            _ => "mm",
        }
    }

    const fn decimals(self) -> usize {
        match self {
            Self::ScaleX | Self::ScaleY | Self::ScaleZ => SHARE_DECIMALS,
            _ => DECIMALS,
        }
    }
}

fn profile(file: &mut Reader<'_>) -> Option<Profile> {
    file.take(&keys::SCHEMA);
    let name = file.take(&keys::NAME);
    let (layer, line) = (file.take(&keys::LAYER), file.take(&keys::LINE));
    let (walls, bed) = (file.take(&keys::WALLS), file.take(&keys::BED));
    let slender = file.take(&keys::SLENDER);
    let material = file.take(&keys::MATERIAL);
    let date = file.take(&keys::DATE);
    let spool = file.take(&keys::SPOOL);
    let prints = file.take(&keys::PRINTS);
    let correction = correction(file);
    let (within, between) = (file.take(&keys::WITHIN), file.take(&keys::BETWEEN));
    let terms: Vec<_> = TERMS
        .iter()
        .map(|term| (*term, take(file, *term)))
        .collect();
    let strength = take_strength(file);
    let correlations = take_correlations(file);
    let mut made = Profile::untuned(*layer?, *line?, *bed?, *walls?, *material?);
    made.name = name?.value;
    made.slender = *slender?;
    made.date = date?.value;
    made.spool = spool?.value;
    made.prints = *prints?;
    made.correction = correction?;
    made.within = *within?;
    made.between = *between?;
    made.strength = strength?;
    for (term, said) in terms {
        let Some((value, error, known)) = said else {
            continue;
        };
        // The limits of the keys keep out all that could be refused here.
        made.set(&[(term, value)], &[vec![error * error]], known)
            .ok()?;
    }
    for (a, b, value) in &correlations {
        made.set_correlation(*a, *b, value.value);
    }
    if let Some((_, _, last)) = correlations.last()
        && !is_possible(&made)
    {
        file.problems.push(
            Diagnostic::error(
                "these correlations contradict each other: no real quantities vary so",
                last.place(),
            )
            .label("with those above")
            .mend("copy them from the fit that gave them, or remove all"),
        );
    }
    Some(made)
}

fn correction(file: &mut Reader<'_>) -> Option<Correction> {
    let said = [
        ("contour", file.take(&keys::CONTOUR)),
        ("hole", file.take(&keys::HOLE)),
        ("first-layer", file.take(&keys::FIRST_LAYER)),
    ];
    let on: Vec<(String, &Said<Length>)> = said
        .iter()
        .filter_map(|(name, said)| Some((*name, said.as_ref()?)))
        .filter(|(_, said)| said.value != Length::ZERO)
        .map(|(name, said)| {
            (
                format!("{name} {} mm", number(said.as_mm(), DECIMALS)),
                said,
            )
        })
        .collect();
    if let Some((_, first)) = on.first() {
        let all: Vec<&str> = on.iter().map(|(words, _)| words.as_str()).collect();
        let all = all.join(", ");
        let message = format!("the toolpath program compensated when this was measured: {all}");
        file.problems.push(
            Diagnostic::warning(message, first.place())
                .label("must stay as recorded")
                .mend("print with the same compensation, or turn it off and tune again"),
        );
    }
    let [(_, contour), (_, hole), (_, first_layer)] = said;
    Some(Correction {
        contour: *contour?,
        hole: *hole?,
        first_layer: *first_layer?,
    })
}

/// What the print bears, where the file says it; an outer none if it says it wrongly.
fn take_strength(file: &mut Reader<'_>) -> Option<Option<PrintStrength>> {
    let across = pieces(
        file,
        &keys::ACROSS,
        &keys::ACROSS_ERROR,
        &keys::ACROSS_PIECES,
    )?;
    let root = pieces(
        file,
        &keys::ROOT_VALUE,
        &keys::ROOT_VALUE_ERROR,
        &keys::ROOT_PIECES,
    )?;
    let across = match (across, &root) {
        (Some((across, _)), _) => across,
        (None, None) => return Some(None),
        (None, Some((_, at))) => {
            let problem =
                Diagnostic::error("a root's notch without the strength it goes by", at.clone())
                    .mend("write `strength.across` too, as `netlead tune` does, or remove this");
            file.problems.push(problem);
            return None;
        }
    };
    let root = root.map(|(root, _)| root);
    Some(Some(PrintStrength { across, root }))
}

/// A mean of broken pieces and its place; an inner none where the file has no such table.
fn pieces(
    file: &mut Reader<'_>,
    value: &Key<f64>,
    error: &Key<f64>,
    pieces: &Key<u32>,
) -> Option<Option<(FromPieces, Range<usize>)>> {
    let path = value.path;
    let table = path.rsplit_once('.').map_or(path, |(table, _)| table);
    if file.tree.table(table).is_none() {
        return Some(None);
    }
    let (value, error, pieces) = (file.take(value), file.take(error), file.take(pieces));
    let (value, error, pieces) = (value?, error?, pieces?);
    let found = FromPieces {
        value: *value,
        error: *error,
        pieces: *pieces,
    };
    if !found.is_telling() {
        let message = format!(
            "with an error of {} of {} pieces next to nothing is known of {table}",
            *error, *pieces
        );
        file.problems.push(
            Diagnostic::error(message, error.place())
                .label(format!("for a value of {}", *value))
                .mend(format!(
                    "break more pieces and tune again, or remove `{table}`"
                )),
        );
        return None;
    }
    Some(Some((found, value.place())))
}

/// Value, standard error and origin of a term, where the file says it.
fn take(file: &mut Reader<'_>, term: Term) -> Option<(f64, f64, Known)> {
    let table = format!("terms.{}", term.word());
    file.tree.table(&table)?;
    macro_rules! three {
        ($read:ident, $value:ident, $error:ident, $known:ident) => {
            $read(file, &keys::$value, &keys::$error, &keys::$known)
        };
    }
    match term {
        Term::ScaleX => three!(numbers, SCALE_X, SCALE_X_ERROR, SCALE_X_KNOWN),
        Term::ScaleY => three!(numbers, SCALE_Y, SCALE_Y_ERROR, SCALE_Y_KNOWN),
        Term::ScaleZ => three!(numbers, SCALE_Z, SCALE_Z_ERROR, SCALE_Z_KNOWN),
        Term::ZOffset => three!(lengths, Z_OFFSET, Z_OFFSET_ERROR, Z_OFFSET_KNOWN),
        Term::OuterGrowth => three!(
            lengths,
            OUTER_GROWTH,
            OUTER_GROWTH_ERROR,
            OUTER_GROWTH_KNOWN
        ),
        Term::SlotGrowth => three!(lengths, SLOT_GROWTH, SLOT_GROWTH_ERROR, SLOT_GROWTH_KNOWN),
        Term::HoleGrowth => three!(lengths, HOLE_GROWTH, HOLE_GROWTH_ERROR, HOLE_GROWTH_KNOWN),
        Term::Curvature => three!(numbers, CURVATURE, CURVATURE_ERROR, CURVATURE_KNOWN),
        Term::LyingGrowth => three!(
            lengths,
            LYING_GROWTH,
            LYING_GROWTH_ERROR,
            LYING_GROWTH_KNOWN
        ),
        Term::LyingSag => three!(lengths, LYING_SAG, LYING_SAG_ERROR, LYING_SAG_KNOWN),
        Term::FlankExtra => three!(lengths, FLANK_EXTRA, FLANK_EXTRA_ERROR, FLANK_EXTRA_KNOWN),
        Term::FirstLayerFlare => three!(
            lengths,
            FIRST_LAYER_FLARE,
            FIRST_LAYER_FLARE_ERROR,
            FIRST_LAYER_FLARE_KNOWN
        ),
    }
}

fn three<T: Value>(
    file: &mut Reader<'_>,
    value: &Key<T>,
    error: &Key<T>,
    known: &Key<Known>,
) -> Option<(T, T, Known)> {
    let (value, error, known) = (file.take(value), file.take(error), file.take(known));
    Some((value?.value, error?.value, known?.value))
}

fn numbers(
    file: &mut Reader<'_>,
    value: &Key<f64>,
    error: &Key<f64>,
    known: &Key<Known>,
) -> Option<(f64, f64, Known)> {
    three(file, value, error, known)
}

fn lengths(
    file: &mut Reader<'_>,
    value: &Key<Length>,
    error: &Key<Length>,
    known: &Key<Known>,
) -> Option<(f64, f64, Known)> {
    let (value, error, known) = three(file, value, error, known)?;
    Some((value.as_mm(), error.as_mm(), known))
}

fn take_correlations(file: &mut Reader<'_>) -> Vec<(Term, Term, Said<f64>)> {
    let tree = file.tree;
    let mut rows: Vec<(Term, Term, Said<f64>)> = Vec::new();
    for row in tree.rows(CORRELATION) {
        let a = file.take_in(row, &keys::CORRELATION_A);
        let b = file.take_in(row, &keys::CORRELATION_B);
        let value = file.take_in(row, &keys::CORRELATION_VALUE);
        let (Some(a), Some(b)) = (a, b) else { continue };
        let pair =
            |(c, d, _): &(Term, Term, Said<f64>)| (*c, *d) == (*a, *b) || (*c, *d) == (*b, *a);
        let problem = if *a == *b {
            Diagnostic::error("a term has no correlation with itself", b.place())
                .label("the same as `a`")
                .mend("name another term, or remove the row")
        } else if rows.iter().any(pair) {
            let (a, b) = (a.word(), b.word());
            Diagnostic::error(
                format!("the correlation of {a} and {b} stands here a second time"),
                row.at.clone(),
            )
            .label("again")
            .mend("remove one of the two")
        } else {
            rows.extend(value.map(|value| (*a, *b, value)));
            continue;
        };
        file.problems.push(problem);
    }
    rows
}

/// Whether no weighted sum of the terms has a variance below zero.
fn is_possible(profile: &Profile) -> bool {
    let correlation = DMatrix::from_fn(TERMS.len(), TERMS.len(), |i, j| {
        profile.correlation(TERMS[i], TERMS[j])
    });
    let eigenvalues = correlation.symmetric_eigenvalues();
    eigenvalues.iter().all(|value| *value >= -EIGENVALUE_SLACK)
}

fn head(profile: &Profile, made_by: &str) -> String {
    let mut text = String::new();
    for line in made_by.lines() {
        let line: String = line.chars().filter(|c| !c.is_control()).collect();
        line_of(&mut text, format!("# {line}"));
    }
    let bed = profile.bed.map(|side| number(side.as_mm(), DECIMALS));
    let material = word(profile.material);
    line_of(
        &mut text,
        "# Lengths are mm. A term that is left out is the shipped guess.".into(),
    );
    line_of(&mut text, format!("schema = {}", quoted(SCHEMA_1)));
    line_of(&mut text, format!("name = {}", quoted(&profile.name)));
    line_of(
        &mut text,
        format!("layer = {}", number(profile.layer.as_mm(), DECIMALS)),
    );
    line_of(
        &mut text,
        format!("line = {}", number(profile.line.as_mm(), DECIMALS)),
    );
    line_of(&mut text, format!("walls = {}", profile.walls));
    line_of(&mut text, format!("bed = [{}]", bed.join(", ")));
    if profile.slender != Slender::default() {
        let word = word(profile.slender);
        line_of(&mut text, format!("slender = {}", quoted(word)));
    }
    line_of(&mut text, format!("material = {}", quoted(material)));
    line_of(&mut text, format!("date = {}", quoted(&profile.date)));
    line_of(&mut text, format!("spool = {}", quoted(&profile.spool)));
    line_of(&mut text, format!("prints = {}", profile.prints));
    text
}

/// The rows of terms that were fitted together; empty where none were.
fn correlations(profile: &Profile) -> String {
    let rounds_to_zero = |term: Term| number(profile.error(term), term.decimals()) == "0";
    let mut rows = String::new();
    for (i, a) in TERMS.iter().enumerate() {
        for b in &TERMS[i + 1..] {
            let value = number(profile.correlation(*a, *b), DECIMALS);
            if value != "0" && !rounds_to_zero(*a) && !rounds_to_zero(*b) {
                let (a, b) = (quoted(a.word()), quoted(b.word()));
                line_of(
                    &mut rows,
                    format!("  {{ a = {a}, b = {b}, value = {value} }},"),
                );
            }
        }
    }
    match rows.is_empty() {
        true => rows,
        false => {
            format!("\n# Terms that were fitted together err together.\ncorrelation = [\n{rows}]\n")
        }
    }
}

fn tables(profile: &Profile) -> String {
    let mut text = String::new();
    let mm = |length: Length| number(length.as_mm(), DECIMALS);
    let correction = profile.correction;
    text += "\n# What the toolpath program compensated on its own. 0 is off. These must stay as\n\
             # they were, or it is compensated twice.\n[correction]\n";
    line_of(&mut text, format!("contour = {}", mm(correction.contour)));
    line_of(&mut text, format!("hole = {}", mm(correction.hole)));
    line_of(
        &mut text,
        format!("first_layer = {}", mm(correction.first_layer)),
    );
    text += "\n# Standard deviation of one printed wall, within a print and from print to print.\n[spread]\n";
    line_of(&mut text, format!("within = {}", mm(profile.within)));
    line_of(&mut text, format!("between = {}", mm(profile.between)));
    text += &strength(profile);
    text += "\n# Value and standard error; known by a guess, a ladder of pieces, or measured.\n[terms]\n";
    for term in TERMS {
        let known = profile.known(term);
        let known = Known::KNOWN.iter().find(|(_, other)| *other == known);
        line_of(
            &mut text,
            format!(
                "{} = {{ value = {}, error = {}, known = {} }} # {}: {}",
                term.word(),
                number(profile.value(term), term.decimals()),
                number(profile.error(term), term.decimals()),
                quoted(known.map_or("", |(word, _)| word)),
                term.unit(),
                meaning(term)
            ),
        );
    }
    text
}

/// What broken pieces told; nothing where none were.
fn strength(profile: &Profile) -> String {
    let Some(strength) = profile.strength else {
        return String::new();
    };
    let mut text = String::from(
        "\n# What pieces of this print bore when they were broken: mean, standard error, pieces.\n\
         [strength]\n",
    );
    let mut row = |name: &str, found: &FromPieces, what: &str| {
        let row = format!(
            "{name} = {{ value = {}, error = {}, pieces = {} }} # {what}",
            number(found.value, DECIMALS),
            number(found.error, DECIMALS),
            found.pieces
        );
        line_of(&mut text, row);
    };
    row("across", &strength.across, "MPa across the layers");
    if let Some(root) = &strength.root {
        row("root", root, "K at a thread's root");
    }
    text
}

fn meaning(term: Term) -> &'static str {
    let path = format!("terms.{}.value", term.word());
    let key = keys::ALL.iter().find(|key| key.path() == path);
    key.map_or("", |key| key.help().meaning)
}

fn line_of(text: &mut String, line: String) {
    *text += &line;
    text.push('\n');
}

/// A number as TOML, rounded, without trailing zeros.
fn number(value: f64, decimals: usize) -> String {
    let fixed = format!("{value:.decimals$}");
    let short = match fixed.contains('.') {
        true => fixed.trim_end_matches('0').trim_end_matches('.'),
        false => &fixed,
    };
    match short {
        "-0" => "0".to_owned(),
        "NaN" => "nan".to_owned(),
        other => other.to_owned(),
    }
}

/// Text as a TOML basic string.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => {
                // Writing to a string cannot fail.
                let _written = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}
