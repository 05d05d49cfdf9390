//! A part that does not fit on the printer is found before it is sliced into layers.
//!
//! Judged on the box around each mesh, as the part stands on the bed.

use super::finding::{Outcome, Subject};
use super::mend::Mend;
use super::rule::{Bodies, Judge, Judgement, Rule};
use super::tried::Standing;
use crate::assembly::{Made, PartId};
use crate::kit::key;
use crate::load::{Case, Change, longest_stroke};
use crate::printing_time;
use crate::solid::{Mesh, expected_size};
use crate::units::Length;

/// Rule: every part fits the printer, and stands on it.
pub(super) const RULE: Rule = Rule {
    id: "bed",
    about: "a part is larger than the printer, or so slender that it may fall",
    why: "A part that is taller than the printer cannot be printed, and one that is slender is \
          knocked over.",
    formula: "Height and foot of each printed part, measured on its mesh, against the kit's `bed`. A note above four \
              times as tall as wide.",
    source: "the kit's `bed`; common practice: a brim above four times as tall as wide",
    mend: "shorten the stroke, take a larger net lead, or print with a brim",
    judge: Judge::Bodies(judge, expected),
};

/// Steps in which a throat is tried shorter. Guess.
const TENTHS: u32 = 10;

/// The most that tools and chords take off the size of a part: the flat of the thickest pin, 3 mm,
/// and the corners of a frame's foot. Derived.
const TAKEN_OFF: Length = Length::mm(5.0);

fn judge(case: &Case<'_>, bodies: &Bodies<'_>) -> Vec<Judgement> {
    let parts = case.design.assembly.parts.iter().zip(bodies.meshes);
    parts
        .enumerate()
        .filter(|(_, (part, _))| part.made == Made::Printed)
        .map(|(index, (_, mesh))| of_mesh(case, PartId(index), mesh))
        .collect()
}

/// A part by its mesh.
pub(super) fn of_mesh(case: &Case<'_>, part: PartId, mesh: &Mesh) -> Judgement {
    judgement(case, part, mesh.size().map(Length::mm))
}

/// Printed parts that are larger than the printer by more than their tools may take off them.
pub(super) fn before_meshes(case: &Case<'_>) -> Vec<Judgement> {
    let parts = case.design.assembly.parts.iter().enumerate();
    let printed = parts.filter(|(_, part)| part.made == Made::Printed);
    let judged = printed.filter_map(|(index, part)| {
        let size = expected_size(&part.shape);
        let surely = size.map(|along| along - TAKEN_OFF);
        let part = PartId(index);
        let fails = judgement(case, part, surely).outcome == Outcome::Fail;
        fails.then(|| judgement(case, part, size))
    });
    judged.collect()
}

/// The same of the sizes that are expected without meshes.
fn expected(case: &Case<'_>) -> Vec<Judgement> {
    let parts = case.design.assembly.parts.iter().enumerate();
    let printed = parts.filter(|(_, part)| part.made == Made::Printed);
    printed
        .map(|(index, part)| judgement(case, PartId(index), expected_size(&part.shape)))
        .collect()
}

/// The longest stroke whose parts all fit the printer, a throat with which they do, or a larger printer.
fn fit_the_bed(standing: &Standing<'_>) -> String {
    let fits = |after: &Case<'_>| {
        let all = expected(after);
        all.iter().all(|one| one.outcome < Outcome::Fail)
    };
    let stroke = longest_stroke(standing.case.kit, |change| {
        standing.helps(change, Outcome::Fail, fits)
    });
    // A yoke is as long as its throat asks for.
    let throat = standing.case.kit.sizes.throat.as_ref();
    let throat = throat.and_then(|said| {
        let tenths =
            (1..TENTHS).map(|less| said.value * (1.0 - f64::from(less) / f64::from(TENTHS)));
        let mut nearer = tenths.map(Change::Throat);
        nearer.find(|change| standing.helps(change, Outcome::Fail, fits))
    });
    let beside = format!(
        "take threads with a larger net lead, or say the size of a larger printer in {}",
        key::BED.name()
    );
    let ways: Vec<String> = stroke
        .into_iter()
        .chain(throat)
        .map(|change| change.told(standing.case.kit))
        .chain([beside])
        .collect();
    ways.join(", or ")
}

fn judgement(case: &Case<'_>, part: PartId, [wide, deep, height]: [Length; 3]) -> Judgement {
    let called = case.design.assembly.part_called(part);
    let [x, y, z] = *case.kit.bed;
    let foot = wide.min(deep);
    let told = case.kit.told();
    // A part may be turned on the bed by a quarter.
    let lies = (wide <= x && deep <= y) || (wide <= y && deep <= x);
    let slender = printing_time::is_slender([wide, deep, height].map(Length::as_mm));
    let (outcome, mend) = match (lies && height <= z, slender) {
        (false, _) => (Outcome::Fail, Some(Mend::sought(fit_the_bed))),
        (true, true) => (
            Outcome::Note,
            Some(format!("print the {called} with a brim").into()),
        ),
        (true, false) => (Outcome::Pass, None),
    };
    // The size that is judged: the height, unless the part does not lie on the bed.
    let (value, limit) = if lies {
        (height, z)
    } else {
        (wide.max(deep), x.max(y))
    };
    Judgement {
        outcome,
        subject: Subject::Part(part),
        value: value.as_mm(),
        limit: Some(limit.as_mm()),
        unit: "mm",
        message: format!(
            "the {called} stands {} tall on a foot of {} by {}, {:.1} times as tall as wide; the \
             printer has {} by {} and {} of height",
            told.length(height, 1),
            told.length(wide, 1),
            told.length(deep, 1),
            height / foot,
            told.length(x, 0),
            told.length(y, 0),
            told.length(z, 0)
        ),
        mend,
        at: case.kit.stroke.at.clone(),
    }
}
