//! Pieces to what printing them takes: beds, filament and time.
//!
//! A [`Body`] is what an estimate sees of a piece's mesh as it stands on the bed. Coupons and
//! kits are reckoned by the same formulas; both are told with their likely error.

mod estimate;
mod packing;

pub use estimate::{Body, INFILL, LIKELY, Minutes, PrintEstimate, SOLID_LAYERS};
pub use packing::{BETWEEN, beds, fits_on};

use crate::assembly::{Assembly, Made, Part};
use crate::printer::Profile;
use crate::units::Length;

/// What all pieces of a kit take.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// One piece of each part, printed alone, in the order of the parts; none for what is not
    /// printed.
    pub each: Vec<Option<PrintEstimate>>,
    /// All pieces, bed after bed.
    pub whole: PrintEstimate,
    /// Beds they fill.
    pub beds: usize,
    /// Number of perimeters of what asks for no other.
    pub walls: u32,
}

impl Job {
    /// Of an assembly's printed parts without meshes, from their exact shapes; layer, line and walls are
    /// the profile's.
    pub fn expected(assembly: &Assembly, bed: [Length; 3], profile: &Profile) -> Self {
        let body = |part: &Part| Self::printed(part, || Body::expected(&part.shape));
        let parts: Vec<_> = assembly.parts.iter().map(body).collect();
        Self::new(&parts, bed, profile)
    }

    /// A part's body, filled as it asks, and how many are printed; none of what is bought.
    pub fn printed(part: &Part, body: impl FnOnce() -> Body) -> Option<(Body, usize)> {
        match part.made {
            Made::Printed => Some((body().filled(part.perimeters), part.quantity)),
            Made::Bought(_) => None,
        }
    }

    /// Of parts, each a body with the number of its pieces; layer, line and walls are the
    /// profile's.
    pub fn new(parts: &[Option<(Body, usize)>], bed: [Length; 3], profile: &Profile) -> Self {
        let pieces: Vec<Body> = parts
            .iter()
            .flatten()
            .flat_map(|(body, count)| std::iter::repeat_n(*body, *count))
            .collect();
        let sizes: Vec<[f64; 3]> = pieces.iter().map(|piece| piece.size_mm).collect();
        let filled = beds(&sizes, bed);
        let of_bed = |bed: &Vec<usize>| {
            let on_it: Vec<Body> = bed.iter().map(|piece| pieces[*piece]).collect();
            PrintEstimate::new(&on_it, profile)
        };
        let alone = |part: &Option<(Body, usize)>| {
            part.map(|(body, _)| PrintEstimate::new(&[body], profile))
        };
        Self {
            each: parts.iter().map(alone).collect(),
            whole: filled.iter().map(of_bed).sum(),
            beds: filled.len(),
            walls: profile.walls,
        }
    }
}
