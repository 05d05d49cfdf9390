//! What `tune` prints of pieces that were broken; as text and as data.

use crate::output::words::material_name;
use crate::printer::FromPieces;
use crate::strength::{Material, Plastic};
use crate::tuning::breaking::{BENT_OVER_PULLED, Broken, FIRST_TURN, PULLED_NOTCH};
use crate::units_told::number;
use serde::Serialize;

/// Schema of the data.
const SCHEMA: &str = "netlead-break/1";

/// The page for people.
pub(crate) fn text(broken: &Broken, material: Material) -> String {
    let mut page = String::from("bending stress at which each piece broke\n\n");
    for (piece, stress) in &broken.pieces {
        page += &format!(
            "  {:<10} {:>6} MPa\n",
            piece.name,
            number(stress.as_megapascals(), 1)
        );
    }
    let usual = Plastic::of(material);
    let strength = &broken.strength;
    page += &format!(
        "\nbars, in bending            {} MPa\n\
         across layers, in a pull    {} MPa (bending / {BENT_OVER_PULLED}, a guess)\n",
        told(&broken.bars),
        told(&strength.across)
    );
    page += &format!(
        "rules take                  {} MPa at the least, of your print; {} has {} as a rule\n",
        number(strength.across.least(), 1),
        material_name(material),
        number(usual.upright.as_megapascals(), 1)
    );
    if let (Some(ratio), Some(root)) = (&broken.ratio, &strength.root) {
        page += &format!(
            "\nbars over necks             {}\n\
             K of a pull in a nut        {} (times {PULLED_NOTCH} and {FIRST_TURN}, of the books)\n\
             rules take                  {} at the most, of your print; {} as a rule\n",
            told(ratio),
            told(root),
            number(root.most().max(1.0), 2),
            number(usual.root, 2)
        );
    } else {
        page += "\nno neck is broken: K at a root stays the guess that it was\n";
    }
    page + "\nnot a rating: what a few pieces of one spool bore, on one day\n"
}

fn told(found: &FromPieces) -> String {
    format!(
        "{} +- {} of {} pieces",
        number(found.value, 2),
        number(found.error, 2),
        found.pieces
    )
}

#[derive(Serialize)]
struct Data<'a> {
    schema: &'static str,
    pieces: Vec<PieceData<'a>>,
    bars_in_bending_mpa: MeanData,
    across_layers_mpa: MeanData,
    across_layers_at_least_mpa: f64,
    bars_over_necks: Option<MeanData>,
    root: Option<MeanData>,
    root_at_most: Option<f64>,
}

#[derive(Serialize)]
struct PieceData<'a> {
    name: &'a str,
    bending_stress_mpa: f64,
}

#[derive(Serialize)]
struct MeanData {
    value: f64,
    error: f64,
    pieces: u32,
}

impl From<&FromPieces> for MeanData {
    fn from(found: &FromPieces) -> Self {
        Self {
            value: found.value,
            error: found.error,
            pieces: found.pieces,
        }
    }
}

/// The data for programs, with a line end.
///
/// # Errors
/// None that broken pieces can cause.
pub(crate) fn json(broken: &Broken) -> Result<String, serde_json::Error> {
    let strength = &broken.strength;
    let pieces = broken.pieces.iter();
    let data = Data {
        schema: SCHEMA,
        pieces: pieces
            .map(|(piece, stress)| PieceData {
                name: &piece.name,
                bending_stress_mpa: stress.as_megapascals(),
            })
            .collect(),
        bars_in_bending_mpa: (&broken.bars).into(),
        across_layers_mpa: (&strength.across).into(),
        across_layers_at_least_mpa: strength.across.least(),
        bars_over_necks: broken.ratio.as_ref().map(Into::into),
        root: strength.root.as_ref().map(Into::into),
        root_at_most: strength.root.as_ref().map(|root| root.most().max(1.0)),
    };
    Ok(serde_json::to_string_pretty(&data)? + "\n")
}
