//! A thread strips when its ridges shear off: those of the screw, or those of its hole.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, Strength};
use super::strength::NEAR;
use crate::assembly::{JointId, Perimeters};
use crate::kit::key;
use crate::layout::ThreadPair;
use crate::load::{
    Bearer, Borne, Case, Change, Engaged, Loading, Remedy, Stressed, engaged_threads,
};
use crate::strength::Plastic;
use crate::thread::Area;

/// Rule: ridges of both members in shear.
pub(super) const RULE: Rule = Rule {
    id: "thread-strip",
    about: "the ridges of a screw or of its hole shear off",
    why: "A printed thread with few engaged turns, or with a wide gap, gives way all at once: its \
          ridges slide off and the hole is ruined with the screw.",
    formula: "W over the shear area. Screw: pi Le/P Kn [P/2 + tan 30 (Es - Kn)]; hole: pi Le/P Ds \
              [P/2 + tan 30 (Ds - En)]. Le is the engagement at the worst turn of the stroke; Kn \
              and En stand off by the drawn gap, or by the widest that is likely to be printed. \
              Fails above 0.55 of the strength across layers, warns from 0.9 of that. The areas \
              count a mean over all turns; the first ones carry more. Fails too where the walls of a \
              part are thinner than its ridges are high.",
    source: "ASME B1.1-2003, app. B (FED-STD-H28/2B); printed strengths: low end of data sheets, \
             half across layers, 0.55 in shear",
    mend: "engage more of the thread, or draw a closer gap",
    judge: Judge::Strength(Strength {
        before: backing,
        ..Strength::of(places)
    }),
};

/// Ridges of every thread under a loading.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let force = loading.either();
    let place = |joint: JointId, what: &str, area: Area, remedy: Remedy| Stressed {
        bearer: Bearer::Joint(joint),
        what: what.into(),
        force,
        borne: Borne::Stress {
            found: force / area,
            strength: plastic.upright_shear(),
        },
        near: NEAR,
        remedy,
    };
    engaged_threads(case)
        .flat_map(|engaged| {
            let Engaged {
                joint,
                mated,
                length,
            } = &engaged;
            let remedy = remedy(case, &engaged);
            [
                ("the screw's ridges in shear", mated.screw_shear(*length)),
                ("the hole's ridges in shear", mated.hole_shear(*length)),
            ]
            .map(|(what, area)| place(*joint, what, area, remedy))
        })
        .collect()
}

/// What may spare a thread.
pub(super) fn remedy(case: &Case<'_>, engaged: &Engaged) -> Remedy {
    let mut pairs = case.design.threads.iter();
    let pair = pairs.find(|pair| pair.joint == engaged.joint);
    match pair.is_some_and(|pair| pair.lengths.contains(&key::TAPPED_WALL.name())) {
        true => Remedy::TappedWall(engaged.length),
        false => Remedy::Thread,
    }
}

/// Whether the walls of screw and hole are thicker than their ridges are high: a ridge of outer
/// walls alone hangs on sparse filling.
fn backing(case: &Case<'_>) -> Vec<Judgement> {
    let pairs = case.design.threads.iter();
    pairs.flat_map(|pair| backed(case, pair)).collect()
}

fn backed(case: &Case<'_>, pair: &ThreadPair) -> Vec<Judgement> {
    let assembly = &case.design.assembly;
    let joint = assembly.joint(pair.joint);
    let Some(thread) = &joint.thread else {
        return Vec::new();
    };
    let (depth, line) = (thread.thread.depth(), *case.kit.line);
    let least = (depth / line).ceil();
    let of = |(piece, key)| {
        let part = assembly.part(assembly.instance(piece).part);
        let walls = part.perimeters.thickness(line);
        Judgement {
            outcome: match walls >= depth {
                true => Outcome::Pass,
                false => Outcome::Fail,
            },
            subject: Subject::Joint(pair.joint),
            value: walls.as_mm(),
            limit: Some(depth.as_mm()),
            unit: "mm",
            message: format!(
                "a ridge of the {} is {} high, and not backed by walls of {} in all: behind it is \
                 sparse filling",
                part.called,
                case.length(depth),
                case.length(walls)
            ),
            mend: Some(Proposal::first_of([Change::Walls(key, least as u32)]).into()),
            at: case.kit.place_of(&[key, key::WALLS.name()]),
        }
    };
    let sides = joint.between.into_iter().zip(pair.perimeters);
    // Of what is solid nothing is to be said.
    let hollow = sides.filter(|(piece, _)| {
        let part = assembly.part(assembly.instance(*piece).part);
        part.perimeters != Perimeters::Solid
    });
    hollow.map(of).collect()
}
