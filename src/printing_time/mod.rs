//! Pieces to what printing them takes: beds, filament and time.
//!
//! A [`Body`] is what an estimate sees of a piece's mesh as it stands on the bed. Coupons and
//! kits are reckoned by the same formulas; both are told with their likely error.

mod estimate;
mod packing;

pub use estimate::{Body, INFILL, LIKELY, Minutes, PrintEstimate, SOLID_LAYERS};
pub use packing::{
    BETWEEN, BRIM, Place, Room, SLENDER, beds, fits_on, is_slender, laid, laid_in_sets,
};

use crate::assembly::{Assembly, Made, Part};
use crate::printer::Profile;
use std::collections::{BTreeMap, BTreeSet};

/// What all pieces of a kit take.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// One piece of each part, printed alone, in the order of the parts; none for what is not
    /// printed.
    pub each: Vec<Option<PrintEstimate>>,
    /// All pieces, bed after bed.
    pub whole: PrintEstimate,
    /// Beds they fill, one way of many.
    pub beds: Vec<Bed>,
    /// Room of the bed that is reckoned with.
    pub room: Room,
    /// Number of perimeters of what asks for no other.
    pub walls: u32,
}

/// What is printed at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// Places in the list of parts, ascending, each with how many of its pieces lie here.
    pub pieces: Vec<(usize, usize)>,
    /// Where each piece lies; its `piece` is the place of its part in the list of parts.
    pub places: Vec<Place>,
    /// What it takes.
    pub estimate: PrintEstimate,
}

impl Bed {
    /// Of all pieces, each with its part's place in the list of parts, those that lie here.
    fn of(places: &[Place], pieces: &[(usize, Body)], profile: &Profile) -> Self {
        let bodies: Vec<Body> = places.iter().map(|place| pieces[place.piece].1).collect();
        let mut counted: BTreeMap<usize, usize> = BTreeMap::new();
        let part_of = |place: &Place| pieces[place.piece].0;
        for place in places {
            *counted.entry(part_of(place)).or_default() += 1;
        }
        let of_parts = places.iter().map(|place| Place {
            piece: part_of(place),
            ..*place
        });
        Self {
            pieces: counted.into_iter().collect(),
            places: of_parts.collect(),
            estimate: PrintEstimate::new(&bodies, profile),
        }
    }
}

impl Job {
    /// Parts around whose pieces there is room for a brim, by their places in the list of parts, ascending.
    pub fn brimmed(&self) -> BTreeSet<usize> {
        let places = self.beds.iter().flat_map(|bed| &bed.places);
        let brimmed = places.filter(|place| place.brim > 0.0);
        brimmed.map(|place| place.piece).collect()
    }

    /// Of an assembly's printed parts without meshes, from their exact shapes; bed, layer, line and walls
    /// are the profile's.
    pub fn expected(assembly: &Assembly, profile: &Profile) -> Self {
        let body = |part: &Part| Self::printed(part, || Body::expected(&part.shape));
        let parts: Vec<_> = assembly.parts.iter().map(body).collect();
        Self::new(&parts, profile)
    }

    /// A part's body, filled as it asks, and how many are printed; none of what is bought.
    pub fn printed(part: &Part, body: impl FnOnce() -> Body) -> Option<(Body, usize)> {
        match part.made {
            Made::Printed => Some((body().filled(part.perimeters), part.quantity)),
            Made::Bought(_) => None,
        }
    }

    /// Of parts, each a body with the number of its pieces; bed, layer, line and walls are the
    /// profile's.
    pub fn new(parts: &[Option<(Body, usize)>], profile: &Profile) -> Self {
        let printed = parts.iter().enumerate();
        let printed = printed.filter_map(|(part, one)| Some((part, one.as_ref()?)));
        let pieces: Vec<(usize, Body)> = printed
            .flat_map(|(part, (body, count))| std::iter::repeat_n((part, *body), *count))
            .collect();
        let sizes: Vec<[f64; 3]> = pieces.iter().map(|(_, body)| body.size_mm).collect();
        let room = Room::of(profile);
        let filled = laid(&sizes, &room).into_iter();
        let filled: Vec<Bed> = filled
            .map(|places| Bed::of(&places, &pieces, profile))
            .collect();
        let alone = |part: &Option<(Body, usize)>| {
            part.map(|(body, _)| PrintEstimate::new(&[body], profile))
        };
        Self {
            each: parts.iter().map(alone).collect(),
            whole: filled.iter().map(|bed| bed.estimate).sum(),
            beds: filled,
            room,
            walls: profile.walls,
        }
    }
}
