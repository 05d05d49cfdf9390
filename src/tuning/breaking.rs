//! Broken pieces: from a form's `[[break]]` rows to what the print bears across its layers.
//!
//! ```toml
//! [[break]]
//! piece    = "neck-1"
//! diameter = 10.1          # at the root, or of the bar, in mm
//! arm      = 195           # from the break to the pull, in mm; "" where it is not broken
//! load     = "1.6 kg"      # or "15.7 N", "3.5 lb"; "" where it is not broken
//! ```

use super::toml_values::{Field, Reader};
use crate::declared::{Units, Written, parse};
use crate::diagnostic::Diagnostic;
use crate::printer::{FromPieces, PrintStrength};
use crate::strength::Round;
use crate::units::{Force, Length, Stress};
use std::ops::Range;

/// What was broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BrokenKind {
    /// A neck with the root of a thread.
    Neck,
    /// A plain bar.
    Bar,
}

/// A piece that was broken, or is still to be.
#[derive(Clone, Debug, PartialEq)]
pub struct BrokenPiece {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: BrokenKind,
    /// Diameter where it broke.
    pub diameter: Length,
    /// Arm and load that broke it; `None` where it is whole.
    pub broke: Option<(Length, Force)>,
    /// Where the row stands in the form.
    pub at: Range<usize>,
}

/// What broken pieces say, before and after it is carried over to a pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Broken {
    /// Every broken piece with its bending stress.
    pub pieces: Vec<(BrokenPiece, Stress)>,
    /// Mean bending stress of the bars, in MPa.
    pub bars: FromPieces,
    /// Bars over necks.
    pub ratio: Option<FromPieces>,
    /// What the profile gets.
    pub strength: PrintStrength,
}

/// Bending strength over tensile strength: 1 of a brittle bar without scatter, 16 / (3 pi) = 1.70
/// of a round one that yields through before it breaks (derived: plastic over elastic modulus).
/// Guess between them; on the same prints bending gives more than a pull (common practice).
pub const BENT_OVER_PULLED: f64 = 1.5;
/// A groove's Kt in tension over that in bending. Guess, from memory of the charts for grooved
/// round bars in Peterson's Stress Concentration Factors: 1.1 to 1.2.
pub const PULLED_NOTCH: f64 = 1.15;
/// The first turn in a nut over a root that the load passes by (Hetenyi, 1943, in Peterson, from
/// memory); no neck has a nut.
pub const FIRST_TURN: f64 = 1.55;
/// What all pieces of a form share, as a share of the stress: a scale within 2 %, an arm within 2
/// of 200 mm, a diameter of 10 within 0.1, whose cube counts. Guess: the root of their squares, 3.7
/// %. It goes into a ratio too, where diameters of necks and bars differ.
pub const SHARED_ERROR: f64 = 0.037;
/// The fewest pieces of a kind with an error.
const FEWEST: usize = 2;
/// Diameters of pieces, in mm.
const DIAMETERS: [f64; 2] = [2.0, 40.0];
/// Arms, in mm: shorter ones bend no lever, longer ones are none.
const ARMS: [f64; 2] = [20.0, 1000.0];
/// Loads, in N: below, no scale shows them; above, no hand pulls so.
const LOADS: [f64; 2] = [0.2, 500.0];
/// Bending stresses that printed plastic may break at, in MPa. Guess, far beyond any.
const STRESSES: [f64; 2] = [1.0, 250.0];
/// The keys of a row.
pub(super) const KEYS: [&str; 4] = ["piece", "diameter", "arm", "load"];

impl BrokenKind {
    /// As pieces are named: `neck`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Neck => "neck",
            Self::Bar => "bar",
        }
    }

    fn of_name(name: &str) -> Option<Self> {
        let kinds = [Self::Neck, Self::Bar].into_iter();
        let named = |kind: &Self| {
            let number = name.strip_prefix(kind.word());
            number.is_some_and(|number| number.starts_with('-'))
        };
        kinds.into_iter().find(named)
    }
}

impl BrokenPiece {
    /// Bending stress at which it broke: 32 F a / (pi d^3) (Shigley, 9th ed., eq. 3-24, with I/c of
    /// a round bar). 15 N at 200 mm on a bar of 10: 30.6 MPa.
    pub fn stress(&self) -> Option<Stress> {
        let (arm, load) = self.broke?;
        Some(Round::solid(self.diameter).bending(load * arm))
    }
}

/// Reads the rows.
pub(super) fn pieces(reader: &mut Reader, tables: &[Field]) -> Vec<BrokenPiece> {
    let mut names: Vec<String> = Vec::new();
    let mut pieces = Vec::new();
    for field in tables {
        if let Some(piece) = piece(reader, field) {
            if names.contains(&piece.name) {
                let message = format!("`{}` is there twice", piece.name);
                reader.problems.push(
                    Diagnostic::error(message, piece.at.clone())
                        .mend("name the pieces of another print neck-4, bar-4 and on"),
                );
            }
            names.push(piece.name.clone());
            pieces.push(piece);
        }
    }
    pieces
}

fn piece(reader: &mut Reader, field: &Field) -> Option<BrokenPiece> {
    let Some((name, at)) = reader.text(field, "piece") else {
        reader.missing(field, "piece", "piece = \"neck-1\"");
        return None;
    };
    let Some(kind) = BrokenKind::of_name(&name) else {
        reader.problems.push(
            Diagnostic::error(format!("`{name}` is not a piece to be broken"), at)
                .mend("pieces are called neck- or bar- and a number, as in `neck-1`"),
        );
        return None;
    };
    let diameter = reader.number_in(field, "diameter", DIAMETERS)?;
    let arm = arm(reader, field);
    let load = load(reader, field);
    let broke = match (arm, load) {
        (Some(Some(arm)), Some(Some(load))) => Some((arm, load)),
        (Some(None), Some(Some(_))) => {
            let problem = Diagnostic::error(format!("`{name}` has a load and no arm"), at.clone());
            let mend = "write the arm from the break to the pull in mm, as in `arm = 200`";
            reader.problems.push(problem.mend(mend));
            None
        }
        _ => None,
    };
    let piece = BrokenPiece {
        name,
        kind,
        diameter: Length::mm(diameter),
        broke,
        at,
    };
    believed(reader, &piece);
    Some(piece)
}

/// An arm, an inner none where it is empty.
fn arm(reader: &mut Reader, field: &Field) -> Option<Option<Length>> {
    let [least, most] = ARMS;
    let Some((arm, at)) = reader.readings(field, "arm").into_iter().next().flatten() else {
        return Some(None);
    };
    if !(least..=most).contains(&arm) {
        let message = format!("`arm` is {arm}, it may be {least} to {most}");
        let mend = "write the distance from the break to the pull in mm, as in `arm = 200`";
        reader
            .problems
            .push(Diagnostic::error(message, at).mend(mend));
        return None;
    }
    Some(Some(Length::mm(arm)))
}

/// A load, an inner none where it is empty.
fn load(reader: &mut Reader, field: &Field) -> Option<Option<Force>> {
    let Some((text, at)) = reader.text(field, "load") else {
        return Some(None);
    };
    if text.trim().is_empty() {
        return Some(None);
    }
    let example = "write what the scale showed with its unit: \"1.6 kg\", \"15.7 N\" or \"3.5 lb\"";
    let [least, most] = LOADS;
    // What a luggage scale calls kg is the force on one.
    let force = match text.trim_end().ends_with("kg") {
        true => format!("{}f", text.trim_end()),
        false => text.clone(),
    };
    let problem = match parse::<Force>(&force, Units::Mm) {
        Err(_) => format!("the load `{text}` is not understood"),
        Ok(Written {
            with_unit: false, ..
        }) => format!("the load `{text}` has no unit"),
        Ok(Written { value, .. }) if (least..=most).contains(&value.as_newtons()) => {
            return Some(Some(value));
        }
        Ok(Written { value, .. }) => format!(
            "the load is {:.1} N, it may be {least} to {most} N",
            value.as_newtons()
        ),
    };
    reader
        .problems
        .push(Diagnostic::error(problem, at).mend(example));
    None
}

/// A stress that no printed plastic breaks at is a slip.
fn believed(reader: &mut Reader, piece: &BrokenPiece) {
    let [least, most] = STRESSES;
    let Some(stress) = piece.stress() else { return };
    let stress = stress.as_megapascals();
    if !(least..=most).contains(&stress) {
        let message = format!(
            "`{}` would have broken at {stress:.1} MPa, which is beyond belief",
            piece.name
        );
        let mend = "check the unit of the load, the arm and the diameter, both in mm";
        let problem = Diagnostic::error(message, piece.at.clone());
        let problem = problem.label(format!("{least} to {most} MPa"));
        reader.problems.push(problem.mend(mend));
    }
}

/// What broken pieces say of a print stands in a form of its own.
pub(super) fn refuse_mixed(reader: &mut Reader, breaks: &[BrokenPiece], alone: bool) {
    if let Some(first) = breaks.first().filter(|_| !alone) {
        let problem = Diagnostic::error(
            "pieces to be broken stand among rows and ladders",
            first.at.clone(),
        );
        let mend = "put all `[[break]]` into a form of their own, with the same `made`";
        reader.problems.push(problem.mend(mend));
    }
}

/// Says that nothing is broken, in a form that is about that; false in any other.
pub(super) fn refuse_empty(reader: &mut Reader, breaks: &[BrokenPiece]) -> bool {
    let Some(first) = breaks.first() else {
        return false;
    };
    if reader.problems.is_empty() {
        let problem = Diagnostic::error("the form is empty: no piece is broken", first.at.clone());
        let mend = "write arm and load of each, as in `arm = 200` and `load = \"1.6 kg\"`";
        reader.problems.push(problem.mend(mend));
    }
    true
}

/// Notes on pieces that are left out.
pub(super) fn left_out(reader: &mut Reader, breaks: &[BrokenPiece]) {
    for piece in breaks.iter().filter(|piece| piece.broke.is_none()) {
        let message = format!("piece `{}` is not broken and left out", piece.name);
        let problem = Diagnostic::warning(message, piece.at.clone());
        let mend = "break it too; leave out only what broke elsewhere";
        reader.problems.push(problem.mend(mend));
    }
}

/// What broken pieces say; `None` where none is broken.
///
/// # Errors
/// If they are too few, or scatter so much that they say next to nothing.
pub fn broken(breaks: &[BrokenPiece]) -> Result<Option<Broken>, Vec<Diagnostic>> {
    let pieces: Vec<(BrokenPiece, Stress)> = breaks
        .iter()
        .filter_map(|piece| Some((piece.clone(), piece.stress()?)))
        .collect();
    let Some((first, _)) = pieces.first() else {
        return Ok(None);
    };
    let of = |kind| {
        let some = pieces.iter().filter(|(piece, _)| piece.kind == kind);
        some.map(|(_, stress)| stress.as_megapascals()).collect()
    };
    let (bars, necks): (Vec<f64>, Vec<f64>) = (of(BrokenKind::Bar), of(BrokenKind::Neck));
    let refuse =
        |message: String, mend: &str| vec![Diagnostic::error(message, first.at.clone()).mend(mend)];
    let few = |count: usize| count == 1 || count == 0;
    if few(bars.len()) || necks.len() == 1 {
        return Err(refuse(
            format!(
                "{} bars and {} necks are broken: of one piece no scatter is known",
                bars.len(),
                necks.len()
            ),
            "break all bars and necks, two of each at the least, and write their loads",
        ));
    }
    let bent = mean(&bars);
    let ratio = (necks.len() >= FEWEST).then(|| over(&bent, &mean(&necks)));
    let strength = PrintStrength {
        across: scaled(&bent, 1.0 / BENT_OVER_PULLED),
        root: ratio.map(|ratio| scaled(&ratio, PULLED_NOTCH * FIRST_TURN)),
    };
    let root = strength.root.iter();
    if !std::iter::once(&strength.across)
        .chain(root)
        .all(FromPieces::is_telling)
    {
        return Err(refuse(
            format!(
                "the pieces scatter too much: bars {}, necks {} MPa in bending",
                listed(&bars),
                listed(&necks)
            ),
            "check each load and arm; leave out pieces that broke elsewhere, or break more",
        ));
    }
    Ok(Some(Broken {
        pieces,
        bars: bent,
        ratio,
        strength,
    }))
}

fn listed(stresses: &[f64]) -> String {
    let each = stresses.iter().map(|stress| format!("{stress:.1}"));
    each.collect::<Vec<String>>().join(", ")
}

/// Mean of some stresses and its standard error: scatter over the root of their number, and what
/// they share.
fn mean(stresses: &[f64]) -> FromPieces {
    let count = stresses.len() as f64;
    let value = stresses.iter().sum::<f64>() / count;
    let squares = stresses.iter().map(|one| (one - value) * (one - value));
    let scatter = squares.sum::<f64>() / (count - 1.0) / count;
    let shared = SHARED_ERROR * value;
    FromPieces {
        value,
        error: (scatter + shared * shared).sqrt(),
        pieces: u32::try_from(stresses.len()).unwrap_or(u32::MAX),
    }
}

/// One mean over another: relative errors add as squares, and the fewer pieces count, which is on
/// the safe side (degrees of freedom by Welch lie between that and the sum; from memory).
fn over(one: &FromPieces, other: &FromPieces) -> FromPieces {
    let value = one.value / other.value;
    let [a, b] = [one, other].map(|mean| mean.error / mean.value);
    FromPieces {
        value,
        error: value * (a * a + b * b).sqrt(),
        pieces: one.pieces.min(other.pieces),
    }
}

fn scaled(found: &FromPieces, by: f64) -> FromPieces {
    FromPieces {
        value: found.value * by,
        error: found.error * by,
        ..*found
    }
}
