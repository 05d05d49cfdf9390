//! The pictures of a kit: the whole, cut along its axis, drawn apart, part by part and step by step.

mod apart;
mod gesture;
mod in_use;
mod inset;
mod on_bed;
mod stage;
mod step;
mod whole;

pub use gesture::{Gesture, Side, eye_of};
pub use in_use::{InUse, in_use};
pub use on_bed::body_on_bed;

use super::words;
use crate::assembly::{Assembly, PartId};
use crate::layout::Design;
use crate::motion::Rate;
use crate::picture::Picture;
use crate::sequence::{self, Order, Removed};
use crate::solid::{self, Mesh, SolidError};
use crate::units::Length;
use rayon::prelude::*;
use stage::Stage;
use std::io;

/// How far chords of the meshes in pictures stand off their curves: less than a dot of a picture at
/// 305 dots an inch and half its size.
pub const COARSE: Length = Length::mm(0.05);

/// All pictures of a kit, and what they are drawn from.
#[derive(Clone, Debug)]
pub struct Album {
    /// Meshes of the parts in their order, each in its print frame, coarser than those that are printed.
    pub meshes: Vec<Mesh>,
    /// The plain screw with the same drive thread and stroke; `None` where the kit is one itself.
    pub plain: Option<Twin>,
    /// The whole from outside, at turn 0.
    pub whole: Picture,
    /// Cut along its axis, at turn 0 and at the end of the stroke.
    pub section: Picture,
    /// Drawn apart along the order in which it goes together, with the numbers of the bill.
    pub exploded: Picture,
    /// Every part as it stands on the bed, in the order of the assembly's parts; bought ones too.
    pub parts: Vec<Picture>,
    /// Every step, in the order of the design's steps; `None` where nothing moves or is handled.
    pub steps: Vec<Option<Picture>>,
    /// What a hand does in every step, in the order of the design's steps, as the pictures show it.
    pub gestures: Vec<Vec<Gesture>>,
    /// Whether the pictures are written as files of their own, too.
    pub as_files: bool,
}

/// Another mechanism to set beside a kit, worked out as far as it is shown.
#[derive(Clone, Debug)]
pub struct Twin {
    /// Parts, joints, stroke.
    pub design: Design,
    /// How each piece moves in one turn of the drive in the direction of the stroke.
    pub rates: Vec<Rate>,
    /// Meshes of its parts, in their order, each in its print frame.
    pub meshes: Vec<Mesh>,
}

/// What pictures and the moving drawing are drawn from.
#[derive(Clone, Debug)]
pub struct Model {
    /// Meshes of the parts in their order, each in its print frame, coarser than those that are printed.
    pub meshes: Vec<Mesh>,
    /// The plain screw with the same drive thread and stroke; `None` where the kit is one itself.
    pub plain: Option<Twin>,
}

impl Model {
    /// Of the parts of a mechanism, and of its plain screw with the rates of its pieces, if it has one.
    ///
    /// # Errors
    /// The first part that cannot be meshed.
    pub fn of(assembly: &Assembly, plain: Option<(Design, Vec<Rate>)>) -> Result<Self, SolidError> {
        let (meshes, plain) = rayon::join(
            || coarse(assembly),
            || {
                plain
                    .map(|(design, rates)| {
                        Ok(Twin {
                            meshes: coarse(&design.assembly)?,
                            design,
                            rates,
                        })
                    })
                    .transpose()
            },
        );
        Ok(Self {
            meshes: meshes?,
            plain: plain?,
        })
    }
}

/// Coarse meshes of all parts.
fn coarse(assembly: &Assembly) -> Result<Vec<Mesh>, SolidError> {
    let parts = assembly.parts.par_iter();
    parts.map(|part| solid::mesh(&part.shape, COARSE)).collect()
}

impl Album {
    /// Draws all pictures of a mechanism that goes together in an order, under the name of its kit.
    ///
    /// # Errors
    /// The first picture that cannot be written down.
    pub fn draw(
        design: &Design,
        rates: &[Rate],
        order: &Order,
        model: Model,
        name: &str,
    ) -> io::Result<Self> {
        let stage = Stage::new(&design.assembly, rates, &model.meshes);
        let name = &words::plain(name);
        let put_in = sequence::put_in(order, &design.script);
        let gestures = gestures(design, &put_in);
        let (parts, (steps, (whole, (section, exploded)))) = rayon::join(
            || part_pictures(&stage),
            || {
                let steps = || step_pictures(&stage, design, &put_in, &gestures);
                let whole = || whole::whole(&stage, name);
                let section = || whole::section(&stage, name, design.course.turns);
                let apart = || apart::apart(&stage, &model.meshes, order, name);
                rayon::join(steps, || rayon::join(whole, || rayon::join(section, apart)))
            },
        );
        Ok(Self {
            whole: whole?,
            section: section?,
            exploded: exploded?,
            parts: parts?,
            steps: steps?,
            gestures,
            as_files: false,
            meshes: model.meshes,
            plain: model.plain,
        })
    }

    /// All of them, in the order of the guide.
    pub fn pictures(&self) -> impl Iterator<Item = &Picture> {
        let first = [&self.whole, &self.section, &self.exploded];
        let steps = self.steps.iter().flatten();
        first.into_iter().chain(&self.parts).chain(steps)
    }

    /// The picture of a part on the bed.
    pub fn of_part(&self, part: PartId) -> Option<&Picture> {
        self.parts.get(part.0)
    }
}

fn part_pictures(stage: &Stage<'_>) -> io::Result<Vec<Picture>> {
    let parts = stage.assembly.parts.par_iter().enumerate();
    parts
        .map(|(index, part)| on_bed::on_bed(stage, index, part))
        .collect()
}

/// A picture for every step that moves or handles a piece of the mechanism.
fn step_pictures(
    stage: &Stage<'_>,
    design: &Design,
    put_in: &[Vec<&Removed>],
    gestures: &[Vec<Gesture>],
) -> io::Result<Vec<Option<Picture>>> {
    let before = design.script.before.len();
    let steps = design.steps.par_iter().zip(gestures).enumerate();
    steps
        .map(|(index, (step, gestures))| {
            let name = format!("step-{}", index + 1);
            let words = (name.as_str(), step.action.as_str());
            match put_in.get(index) {
                Some(told) if !told.is_empty() => step::moving(stage, (told, gestures), words),
                // What is done before anything is put together is done to single parts.
                Some(_) if index >= before => step::handling(stage, &step.pieces, words).map(Some),
                Some(_) | None => Ok(None),
            }
        })
        .collect()
}

/// What a hand does in every step; in none where no order was found.
fn gestures(design: &Design, put_in: &[Vec<&Removed>]) -> Vec<Vec<Gesture>> {
    let of = |told: &Vec<&Removed>| told.iter().map(|removed| Gesture::of(removed)).collect();
    let mut gestures: Vec<Vec<Gesture>> = put_in.iter().map(of).collect();
    gestures.resize(design.steps.len(), Vec::new());
    gestures
}
