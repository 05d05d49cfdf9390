//! How many beds the whole kit fills, spares included.

use super::finding::{Outcome, Subject};
use super::rule::{Bodies, Judge, Judgement, Rule};
use crate::assembly::Made;
use crate::load::Case;
use crate::printing_time::{self, BETWEEN, Room};
use crate::units::Length;

/// Rule: the kit's beds are counted.
pub(super) const RULE: Rule = Rule {
    id: "beds",
    about: "the kit does not fit on one bed",
    why: "Who starts a print wants to know how many there are, and of what is left over at the \
          end of the first.",
    formula: "The boxes around all printed pieces, spares included, in rows with 5 mm between \
              them, the deepest first; pieces may be turned by a quarter. A note from two beds \
              on.",
    source: "derived: rows filled first fit by falling depth, never fewer beds than are needed; \
             5 mm between pieces: common practice",
    mend: "print it in so many runs, or say the size of a larger printer in `bed`",
    judge: Judge::Bodies(judge, |_| Vec::new()),
};

fn judge(case: &Case<'_>, bodies: &Bodies<'_>) -> Vec<Judgement> {
    let parts = case.design.assembly.parts.iter().zip(bodies.meshes);
    let sizes: Vec<[f64; 3]> = parts
        .filter(|(part, _)| part.made == Made::Printed)
        .flat_map(|(part, mesh)| std::iter::repeat_n(mesh.size(), part.quantity))
        .collect();
    let beds = printing_time::beds(&sizes, &Room::of(&case.profile.as_printed_by(case.kit)));
    let each: Vec<String> = beds.iter().map(|bed| bed.len().to_string()).collect();
    let told = case.kit.told();
    let [x, y, _] = *case.kit.bed;
    vec![Judgement {
        outcome: if beds.len() > 1 {
            Outcome::Note
        } else {
            Outcome::Pass
        },
        subject: Subject::Kit,
        value: beds.len() as f64,
        limit: Some(1.0),
        unit: "1",
        message: format!(
            "the {} pieces of the kit fill {} of {} by {}, with {} between them ({} pieces)",
            sizes.len(),
            match beds.len() {
                1 => "one bed".to_string(),
                several => format!("{several} beds"),
            },
            told.length(x, 0),
            told.length(y, 0),
            told.length(Length::mm(BETWEEN), 0),
            each.join(", then ")
        ),
        mend: Some(format!("print it in {} runs", beds.len()).into()),
        at: case.kit.bed.at.clone(),
    }]
}
