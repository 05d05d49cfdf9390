//! Test pieces with everything that was worked out about them, as their formats read it.

use crate::assembly::Perimeters;
use crate::coupon::{Coupon, Extent};
use crate::kit::Kit;
use crate::output::words::density;
use crate::printer::Profile;
use crate::printing_time::{Body, Place, PrintEstimate, Room, fits_on, laid_in_sets};
use crate::solid::Written;

/// Cubic millimetres in a cubic centimetre.
const CUBIC_MM_PER_CUBIC_CM: f64 = 1000.0;

/// Test pieces, meshed, with what else the outputs say of them.
#[derive(Clone, Debug)]
pub struct CouponProduct {
    /// The kit they are for.
    pub kit: Kit,
    /// The pieces.
    pub coupon: Coupon,
    /// What was asked for.
    pub extent: Extent,
    /// The file of each piece, in their order.
    pub written: Vec<Written>,
    /// What the print takes.
    pub estimate: PrintEstimate,
    /// Mass of the filament in it, in grams.
    pub grams: f64,
    /// Whether all pieces fit on one bed.
    pub one_bed: bool,
    /// Where they lie, bed after bed.
    pub beds: Vec<Vec<Place>>,
}

impl CouponProduct {
    /// Puts it together, with what the print takes on a printer. `written` are the files of the
    /// pieces, in their order.
    pub fn new(
        kit: Kit,
        coupon: Coupon,
        extent: Extent,
        written: Vec<Written>,
        profile: &Profile,
    ) -> Self {
        let body = |written: &Written| match extent {
            Extent::Break => Body::of(&written.mesh).filled(Perimeters::Solid),
            _ => Body::of(&written.mesh),
        };
        let bodies: Vec<Body> = written.iter().map(body).collect();
        let estimate = PrintEstimate::new(&bodies, profile);
        let sizes: Vec<[f64; 3]> = bodies.iter().map(|body| body.size_mm).collect();
        let room = Room::of(profile);
        let sets: Vec<Option<usize>> = coupon.pieces.iter().map(|piece| piece.ladder).collect();
        let grams = estimate.plastic_mm3 / CUBIC_MM_PER_CUBIC_CM * density(*kit.material);
        Self {
            one_bed: fits_on(&bodies, &room),
            beds: laid_in_sets(&sizes, &sets, &room),
            kit,
            coupon,
            extent,
            written,
            grams,
            estimate,
        }
    }
}
