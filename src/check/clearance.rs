//! Pieces that meet where they should not jam, or are one body to the printer.
//!
//! Judged on the meshes, every pair through the whole stroke, with all play used up at the ends.

use super::finding::{Outcome, Subject};
use super::rule::{Bodies, Judge, Judgement, Rule, not_below};
use crate::assembly::{Fit, Gap, InstanceId, Joint, Mates};
use crate::clearance::{Fineness, FoundBy, LeastGap, PRECISION, PairClearance};
use crate::layout::TOUCHING;
use crate::load::Case;
use crate::units::Length;

/// Rule: gaps between all pieces through the stroke.
pub(super) const RULE: Rule = Rule {
    id: "clearance",
    about: "two pieces overlap, or come too near each other, somewhere in the stroke",
    why: "Pieces that overlap as drawn are one body to the printer, or jam where they meet. Those \
          that no joint holds together should never touch, however the printer errs.",
    formula: "Least gap of every pair of pieces, measured on their meshes over the whole stroke \
              and on until all play is used up at the stops; of threads in closed form. Fails \
              where a pair overlaps; warns where only its rings do, for the pieces may pass at \
              some angle. Left out is an overlap of pieces that a joint presses together, or \
              whose curved faces are drawn to touch or bed in, if it is no deeper than \
              the drawn interference a side and two chords are along a face of 45 degrees; a \
              `tolerance` whose chords would close a gap is refused. Pieces without a joint: the \
              drawn gap less the growth of both faces; warns below 0.2 mm. Pieces with one: \
              warns where anything comes nearer than the joint's own gap less two chords (and a \
              ring's row and a half between pieces that turn).",
    source: "derived: no two solids share room; guess: 0.2 mm as printed between pieces that no \
             joint holds together",
    mend: "leave out the sizes that bring them together, or ask for wider `gaps`",
    judge: Judge::Bodies(judge, |_| Vec::new()),
};

/// Gap as printed below which two pieces without a joint are too near, in mm. Guess: a spread
/// of both walls of 0.05 mm, four times.
const FREE_MM: f64 = 0.2;
/// Gaps that stand this near to the axis lie between end faces, which come as whole layers and
/// do not grow: the cosine of 25 degrees. Guess.
const END_FACES: f64 = 0.9;

/// How much longer an interference is along a face at 45 degrees to it, as lead-ins and the
/// flanks of crush ribs are: root 2. Depths are measured along faces. Derived.
const ALONG_A_SLANT: f64 = std::f64::consts::SQRT_2;

fn judge(case: &Case<'_>, bodies: &Bodies<'_>) -> Vec<Judgement> {
    let pairs = bodies.clearance.pairs.iter();
    pairs.filter_map(|pair| judgement(case, pair)).collect()
}

fn judgement(case: &Case<'_>, pair: &PairClearance) -> Option<Judgement> {
    let assembly = &case.design.assembly;
    let joints: Vec<&Joint> = assembly
        .joints
        .iter()
        .filter(|joint| same(joint.between, pair.between))
        .collect();
    // Chords of two faces may cross where less than two tolerances lies between them.
    let chords = *case.kit.tolerance * 2.0;
    let declared = joints.iter().filter_map(|joint| declared(joint));
    let tightest = declared.fold(None, |least: Option<Length>, gap| {
        Some(least.map_or(gap, |least| least.min(gap)))
    });
    let mut judgement = match (pair.overlap, pair.least) {
        (Some(overlap), _) if overlap.depth <= meant(&joints, tightest, chords) => return None,
        (Some(_), _) => overlapping(case, pair),
        (None, Some(least)) => match tightest {
            Some(gap) => jointed(case, pair, &least, gap - chords - understated(case, &least)),
            None => free(case, pair, &least),
        },
        (None, None) => return None,
    };
    // Only sizes that the kit sets bring pieces together that the layout would keep apart.
    judgement.at = case.kit.place_of(&case.design.meeting);
    Some(judgement)
}

/// By how much a gap may be found less than it is. A slanted face fills the corner of each row
/// of a ring that it crosses: at 45 degrees half of the row's diagonal, once for either piece.
fn understated(case: &Case<'_>, least: &LeastGap) -> Length {
    match least.by {
        FoundBy::Meshes | FoundBy::Section => PRECISION,
        FoundBy::Rings => {
            let fineness = Fineness::of(&case.design.assembly, *case.kit.tolerance);
            PRECISION + fineness.row * 2.0_f64.sqrt()
        }
    }
}

fn same(one: [InstanceId; 2], other: [InstanceId; 2]) -> bool {
    one == other || one == [other[1], other[0]]
}

/// The gap that a joint leaves square to its faces as drawn; touching for stops.
fn declared(joint: &Joint) -> Option<Length> {
    let drawn = joint.gap.map(|gap| gap.drawn);
    match joint.fit {
        // The sine of the flank angle of a radial gap stands square to flanks.
        Fit::Thread => {
            let thread = &joint.thread.as_ref()?.thread;
            drawn.map(|gap| gap * thread.form().flank_angle().sin())
        }
        // Pins bear on the 45 degree flanks of their groove.
        Fit::Swivel => drawn.map(|gap| gap * 0.5_f64.sqrt()),
        Fit::Stop => Some(Length::ZERO),
        Fit::Slide | Fit::Locate | Fit::Press | Fit::Seat => drawn,
    }
}

/// How deep meshes may overlap because their joints are drawn that tight: by the interference
/// and by the chords of both faces; end faces have no chords. Zero if they are to stay apart.
fn meant(joints: &[&Joint], tightest: Option<Length>, chords: Length) -> Length {
    // A gap that is drawn open stays open: its tolerance is refused before. Pressed pins meet their
    // holes, and what is drawn to touch does.
    let tight = joints.iter().any(|joint| {
        let gap = declared(joint);
        match joint.fit {
            Fit::Seat | Fit::Stop => false,
            Fit::Press => gap.is_some_and(|gap| gap < chords),
            Fit::Thread | Fit::Slide | Fit::Locate | Fit::Swivel => {
                joint.gap.is_some_and(|gap| gap.drawn <= TOUCHING)
            }
        }
    });
    match tightest {
        Some(gap) if tight || gap < Length::ZERO => {
            ((Length::ZERO - gap).max(Length::ZERO) + chords) * ALONG_A_SLANT
        }
        _ => Length::ZERO,
    }
}

/// Both pieces in a sentence.
fn called<'a>(case: &'a Case<'_>, pair: &PairClearance) -> [&'a str; 2] {
    pair.between.map(|piece| case.design.assembly.called(piece))
}

fn place(case: &Case<'_>, point: [f64; 3]) -> String {
    let [x, y, z] = point.map(|along| case.length(Length::mm(along)));
    format!("x {x}, y {y}, z {z}")
}

fn overlapping(case: &Case<'_>, pair: &PairClearance) -> Judgement {
    let [one, other] = called(case, pair);
    let (depth, said, at) = match pair.overlap {
        Some(overlap) => (
            overlap.depth,
            format!(
                "from {} on, at {}{}",
                case.turn(overlap.at_turn),
                place(case, overlap.point),
                if overlap.proven {
                    ""
                } else {
                    "; at some angle they may pass"
                }
            ),
            overlap.proven,
        ),
        None => (Length::ZERO, String::new(), true),
    };
    let inside = !depth.as_mm().is_finite();
    let value = if inside { 0.0 } else { -depth.as_mm() };
    let deep = if inside {
        "stand one inside the other".into()
    } else {
        format!("overlap, by {} or more", case.length(depth))
    };
    Judgement {
        outcome: if at { Outcome::Fail } else { Outcome::Warn },
        subject: Subject::Pair(pair.between),
        value,
        limit: Some(0.0),
        unit: "mm",
        message: format!("the {one} and the {other} {deep}, {said}; they must stay apart",),
        mend: Some(RULE.mend.into()),
        at: None,
    }
}

fn jointed(case: &Case<'_>, pair: &PairClearance, least: &LeastGap, limit: Length) -> Judgement {
    let [one, other] = called(case, pair);
    let limit = limit.max(Length::ZERO).as_mm();
    Judgement {
        outcome: not_below(least.gap.as_mm(), 0.0, limit, limit),
        subject: Subject::Pair(pair.between),
        value: least.gap.as_mm(),
        limit: Some(limit),
        unit: "mm",
        message: format!(
            "the {one} and the {other} come within {} of each other as drawn, at {}{}, at {}; their \
             joint leaves at least {}",
            case.length(least.gap),
            case.turn(least.at_turn),
            about(least),
            place(case, least.points[1]),
            case.length(Length::mm(limit))
        ),
        mend: Some(RULE.mend.into()),
        at: None,
    }
}

fn free(case: &Case<'_>, pair: &PairClearance, least: &LeastGap) -> Judgement {
    let [one, other] = called(case, pair);
    let printed = printed(case, least);
    Judgement {
        outcome: not_below(printed.as_mm(), f64::NEG_INFINITY, FREE_MM, FREE_MM),
        subject: Subject::Pair(pair.between),
        value: printed.as_mm(),
        limit: Some(FREE_MM),
        unit: "mm",
        message: format!(
            "the {one} and the {other} come within {} of each other as printed, {} as drawn, at \
             {}{}, at {}; better {}",
            case.length(printed),
            case.length(least.gap),
            case.turn(least.at_turn),
            about(least),
            place(case, least.points[1]),
            case.length(Length::mm(FREE_MM))
        ),
        mend: Some(RULE.mend.into()),
        at: None,
    }
}

/// What rings say is not less than the truth, so it is told as a bound.
fn about(least: &LeastGap) -> &'static str {
    match least.by {
        FoundBy::Rings => " or near it",
        FoundBy::Meshes | FoundBy::Section => "",
    }
}

/// The gap less what both faces grow; end faces do not.
fn printed(case: &Case<'_>, least: &LeastGap) -> Length {
    let [one, other] = least.points;
    let across = [0, 1, 2].map(|axis| other[axis] - one[axis]);
    let long = across.iter().map(|along| along * along).sum::<f64>().sqrt();
    if across[2].abs() >= END_FACES * long {
        return least.gap;
    }
    let gap = Gap {
        wanted: least.gap,
        drawn: least.gap,
        mates: Mates::PRINTED,
        radius: Length::ZERO,
        ribs: None,
    };
    let printed = case.profile.printed(Fit::Locate, &gap);
    printed.map_or(least.gap, |printed| printed.expected)
}
