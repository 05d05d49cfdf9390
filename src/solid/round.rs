//! A contour with its threads as plain rings: the bar or bore of the same volume.

use crate::assembly::{Contour, ThreadForm, ThreadZone};
use std::f64::consts::TAU;

/// A circle about the axis, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ring {
    pub(super) z: f64,
    pub(super) radius: f64,
    /// By how much what is above it is longer around than a circle: on flanks that rise within a turn.
    pub(super) longer: f64,
}

/// Rings of a contour, ascending, with straight lines between them.
///
/// In a thread's stretch the radius is that of the circle of the mean area, r^2 = mean of min(r_c, r_t)^2 over
/// a pitch with r_c of the contour and r_t of the thread; of a tapped hole max in place of min
/// (derived; exact for whole turns).
pub(super) fn rings(contour: &Contour) -> Vec<Ring> {
    let mut rings: Vec<Ring> = Vec::with_capacity(contour.corners.len() + 4);
    let mut corners = contour.corners.iter().map(|(z, r)| [z.as_mm(), r.as_mm()]);
    let Some(mut low) = corners.next() else {
        return rings;
    };
    let plain = |[z, radius]: [f64; 2]| Ring {
        z,
        radius,
        longer: 1.0,
    };
    rings.push(plain(low));
    for high in corners {
        let zone = contour
            .threads
            .iter()
            .find(|zone| spans(zone, low[0], high[0]));
        match zone {
            Some(zone) if low[0] < high[0] => {
                threaded(&Profile::of(&zone.form), [low, high], &mut rings)
            }
            Some(_) | None => rings.push(plain(high)),
        }
        low = high;
    }
    rings
}

/// A hair more than rounding, in mm.
const HAIR: f64 = 1e-6;

fn spans(zone: &ThreadZone, low: f64, high: f64) -> bool {
    let [from, to] = zone.z.map(|z| z.as_mm());
    from - HAIR <= low && high <= to + HAIR
}

/// A thread's radii and how much of a pitch each takes.
struct Profile {
    crest: f64,
    root: f64,
    crest_flat: f64,
    root_flat: f64,
    external: bool,
    /// dr/d(angle) on a flank.
    rise: f64,
}

impl Profile {
    fn of(form: &ThreadForm) -> Self {
        let (thread, shift) = (&form.thread, form.shift.as_mm());
        let shape = thread.form();
        Self {
            crest: thread.major().as_mm() / 2.0 + shift,
            root: thread.minor_internal().as_mm() / 2.0 + shift,
            crest_flat: shape.crest_flat(),
            root_flat: shape.root_flat(),
            external: form.external,
            rise: thread.lead().as_mm() / TAU / shape.flank_angle().tan(),
        }
    }

    fn flanks(&self) -> f64 {
        1.0 - self.crest_flat - self.root_flat
    }

    /// Radius of the circle of the mean area where the contour has a radius.
    fn radius(&self, contour: f64) -> f64 {
        let of = |thread: f64| {
            let r = match self.external {
                true => contour.min(thread),
                false => contour.max(thread),
            };
            r * r
        };
        // Over a flank every radius is as frequent; where they cross the contour takes over.
        let cross = contour.clamp(self.root, self.crest);
        let third = |r: f64| r * r * r / 3.0;
        let flank = match self.external {
            true => third(cross) - third(self.root) + contour * contour * (self.crest - cross),
            false => third(self.crest) - third(cross) + contour * contour * (cross - self.root),
        };
        let flank = match self.external && contour < self.root {
            true => contour * contour,
            false => flank / (self.crest - self.root),
        };
        (self.crest_flat * of(self.crest) + self.root_flat * of(self.root) + self.flanks() * flank)
            .sqrt()
    }

    /// By how much the outline is longer than its circle.
    fn longer(&self) -> f64 {
        let slope = self.rise / ((self.crest + self.root) / 2.0);
        1.0 + self.flanks() * ((1.0 + slope * slope).sqrt() - 1.0)
    }
}

/// Adds the rings of a line of the contour that a thread stands on.
fn threaded(profile: &Profile, [low, high]: [[f64; 2]; 2], rings: &mut Vec<Ring>) {
    let share = |radius: f64| (radius - low[1]) / (high[1] - low[1]);
    let mut shares = [0.0, share(profile.root), share(profile.crest), 1.0];
    shares[1..3].sort_by(f64::total_cmp);
    let ring = |share: f64| Ring {
        z: low[0] + (high[0] - low[0]) * share,
        radius: profile.radius(low[1] + (high[1] - low[1]) * share),
        longer: profile.longer(),
    };
    let first = ring(0.0);
    match rings.last_mut() {
        // A level ring where the thread begins in full.
        Some(last) if (last.radius - first.radius).abs() < HAIR => last.longer = first.longer,
        Some(_) | None => rings.push(first),
    }
    let inside = shares
        .into_iter()
        .filter(|share| *share > 0.0 && *share < 1.0);
    rings.extend(inside.map(ring));
    rings.push(ring(1.0));
}
