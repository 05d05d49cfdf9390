//! What is drawn of a kit, and all that it hangs on, so that kits which differ in nothing else share it.

use super::{Refusal, unsound};
use crate::assembly::{Assembly, Course};
use crate::clearance::{self, Clearance, Fineness};
use crate::kit::Kit;
use crate::layout::Design;
use crate::motion::StrokeRates;
use crate::output::part::{Maker, PartBody};
use crate::sequence::{self, Order};
use crate::solid::Mesh;
use crate::units::Length;
use std::sync::Arc;

/// All that meshes, order and clearance are made from. They see nothing else, so that equal subjects have
/// equal shapes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Subject {
    /// Its name stands in the files.
    assembly: Assembly,
    course: Course,
    rates: StrokeRates,
    /// Turns before 0 and past the last, as [`Design::ends_of_play`] has them.
    ends_of_play: [f64; 2],
    /// Chord tolerance.
    tolerance: Length,
}

/// What meshes tell of a mechanism. A copy shares the bodies, which are nearly all of it.
#[derive(Clone, Debug)]
pub(crate) struct Shapes {
    /// Of each part, in the assembly's order.
    pub(super) bodies: Arc<Vec<PartBody>>,
    pub(super) clearance: Clearance,
    pub(super) order: Order,
}

impl Subject {
    pub(super) fn of(kit: &Kit, design: &Design, rates: &StrokeRates) -> Self {
        Self {
            assembly: design.assembly.clone(),
            course: design.course.clone(),
            rates: rates.clone(),
            ends_of_play: design.ends_of_play(),
            tolerance: *kit.tolerance,
        }
    }

    /// Draws it. `progress` is told what is being worked on, from any thread.
    ///
    /// # Errors
    /// A part without a sound mesh: a defect of the program.
    pub(crate) fn drawn(&self, progress: &(dyn Fn(&str) + Sync)) -> Result<Shapes, Refusal> {
        let Self {
            assembly,
            course,
            rates,
            ends_of_play,
            tolerance,
        } = self;
        let maker = Maker {
            kit: &assembly.name,
            tolerance: *tolerance,
        };
        let bodies = maker
            .bodies(&assembly.parts, progress)
            .map_err(|unmade| unsound(&unmade))?;
        let meshes: Vec<&Mesh> = bodies.iter().map(PartBody::mesh).collect();
        progress("order");
        let pieces = clearance::bodies(assembly, &meshes, *tolerance);
        // Neither needs the other, and either takes about as long.
        let (order, clearance) = rayon::join(
            || sequence::find(assembly, rates, course, &meshes, &pieces, *tolerance),
            || {
                let fineness = Fineness::of(assembly, *tolerance);
                Clearance::through(assembly, &pieces, rates, *ends_of_play, fineness)
            },
        );
        Ok(Shapes {
            bodies: Arc::new(bodies),
            clearance,
            order,
        })
    }
}
