//! The pictures of a kit: the whole, cut along its axis, drawn apart, part by part and step by step.

use crate::assembly::{Assembly, PartId};
use crate::layout::Design;
use crate::motion::Rate;
use crate::picture::Picture;
use crate::sequence::Order;
use crate::solid::{self, Mesh, SolidError};
use crate::units::Length;
use rayon::prelude::*;

/// How far chords of the meshes in pictures stand off their curves: a tenth of a millimetre is a pixel of a
/// picture at 254 dots an inch.
pub const COARSE: Length = Length::mm(0.1);

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

impl Twin {
    /// A mechanism with its meshes.
    ///
    /// # Errors
    /// The first part that cannot be meshed.
    pub fn of(design: Design, rates: Vec<Rate>) -> Result<Self, SolidError> {
        let meshes = coarse(&design.assembly)?;
        Ok(Self {
            design,
            rates,
            meshes,
        })
    }
}

/// Coarse meshes of all parts.
fn coarse(assembly: &Assembly) -> Result<Vec<Mesh>, SolidError> {
    let parts = assembly.parts.par_iter();
    parts.map(|part| solid::mesh(&part.shape, COARSE)).collect()
}

impl Album {
    /// Draws all pictures of a mechanism that goes together in an order.
    ///
    /// # Errors
    /// The first part that cannot be meshed.
    pub fn draw(
        design: &Design,
        _rates: &[Rate],
        _order: &Order,
        plain: Option<Twin>,
    ) -> Result<Self, SolidError> {
        let assembly = &design.assembly;
        let blank = |name: &str, shows: String| Picture {
            name: name.into(),
            shows,
            paper: [80.0, 60.0],
            svg: "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 80 60\" role=\"img\">\
                  <rect width=\"80\" height=\"60\" fill=\"#eee\"/></svg>"
                .into(),
        };
        let part = |part: &crate::assembly::Part| {
            blank(&format!("part-{}", part.name), part.called.into())
        };
        let step = |(index, step): (usize, &crate::assembly::Step)| {
            Some(blank(&format!("step-{}", index + 1), step.action.clone()))
        };
        Ok(Self {
            meshes: coarse(assembly)?,
            plain,
            whole: blank("whole", "the whole".into()),
            section: blank("section", "cut along its axis".into()),
            exploded: blank("exploded", "drawn apart".into()),
            parts: assembly.parts.iter().map(part).collect(),
            steps: design.steps.iter().enumerate().map(step).collect(),
            as_files: false,
        })
    }

    /// The picture of a part on the bed.
    pub fn of_part(&self, part: PartId) -> Option<&Picture> {
        self.parts.get(part.0)
    }
}
