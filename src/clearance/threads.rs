//! From a shape to its threads as they stand in the assembly, and to which facets are theirs.
//!
//! A screw's facets lie inside its profile, a hole's outside of its own. So two threads of one
//! lead never meet, however far they are screwed along it, if their profiles clear each other
//! in one axial section ([`AxialSection`]). End faces are never a thread's: a plug
//! behind a thread must be met.

use super::facet::nearest_to_axis;
use crate::assembly::{Contour, Placed, Pose, Shape, Solid, ThreadForm, ThreadZone};
use crate::motion::AxialSection;
use crate::thread::Thread;
use crate::units::{Angle, Length};
use nalgebra::Point3;

/// A thread of a piece, along the assembly's axis at turn 0.
#[derive(Clone, Debug)]
pub struct ThreadFeature {
    /// The thread.
    pub thread: Thread,
    /// True for a screw, false for a tapped hole.
    pub external: bool,
    /// From which z to which it stands, run-outs and chamfers included, ascending.
    pub z: [Length; 2],
    /// How far the whole profile is shifted outwards.
    pub shift: Length,
    /// z of a crest centre of the screw, or root centre of the hole, at angle 0.
    pub crest: Length,
}

/// Corners of a mesh lie on a profile to within this, in mm: rounding to 32 bits at 256 mm
/// (0.000 015 mm), and room. Derived.
const ON_PROFILE: f64 = 1e-3;
/// Two leads or diameters are one when they differ by less, in mm. Guess, far below a layer.
const SAME: f64 = 1e-6;

impl ThreadFeature {
    /// The threads of a shape that stand along the assembly's axis when it is posed.
    pub fn of(shape: &Shape, pose: &Pose) -> Vec<Self> {
        let placed = [&shape.base].into_iter().chain(&shape.joined);
        let solid = placed.map(|placed| (placed, false));
        let cut = shape.cut.iter().map(|placed| (placed, true));
        let mut found = Vec::new();
        for (placed, cut) in solid.chain(cut) {
            let Solid::Turned(turned) = &placed.solid else {
                continue;
            };
            // What a tool has outside becomes the inside of a hole; forms say so themselves.
            debug_assert!(!cut || turned.bore.is_none());
            let contours = [Some(&turned.outer), turned.bore.as_ref()];
            let zones = contours.into_iter().flatten().flat_map(zones);
            found.extend(zones.filter_map(|(zone, form)| standing(placed, pose, zone, form)));
        }
        found
    }

    /// Whether a screw stands in a hole of its own size, lead, hand and starts, so that a
    /// motion along the lead keeps the section, and with which gap square to the flanks. The
    /// first is screwed forward by `advance` from turn 0 without turning.
    pub fn mates_with(&self, other: &Self, advance: Length) -> Option<Length> {
        let (screw, hole, advance) = match (self.external, other.external) {
            (true, false) => (self, other, advance),
            (false, true) => (other, self, -advance),
            _ => return None,
        };
        let (a, b) = (&screw.thread, &hole.thread);
        let same = |a: Length, b: Length| (a - b).abs() < Length::mm(SAME);
        let fits = same(a.signed_lead(), b.signed_lead())
            && same(a.pitch(), b.pitch())
            && same(a.major(), b.major())
            && a.form().has_profile_of(&b.form());
        let error = hole.crest - (screw.crest + advance);
        fits.then(|| AxialSection::new(a, hole.shift - screw.shift, error).flank_gap())
    }

    /// Radii of the profile: root and crest of the screw's ridge, or of the hole's groove.
    pub fn radii(&self) -> [Length; 2] {
        let thread = &self.thread;
        [thread.minor_internal(), thread.major()].map(|across| across / 2.0 + self.shift)
    }

    /// Whether a facet is this thread's. `normal_z` is its unit normal's share along the axis,
    /// `chord` what chords may be off.
    pub(super) fn owns(&self, corners: &[Point3<f64>; 3], normal_z: f64, chord: f64) -> bool {
        let [root, crest] = self.radii().map(Length::as_mm);
        let [low, high] = self.z.map(Length::as_mm);
        let (square, along) = self.thread.form().flank_angle().sin_cos();
        // A corner that a cut leaves on a chord is off the profile by the chord tolerance, square
        // to a flank; along the radius by 1 / sin a of it.
        let off = ON_PROFILE + chord / square;
        // Normals of flanks have a part cos a along the axis, those of end faces all of it: what
        // is nearer to these is one.
        if normal_z.abs() > 0.5 * (1.0 + along) {
            return false;
        }
        let mut touches = false;
        for corner in corners {
            if corner.z < low - ON_PROFILE || corner.z > high + ON_PROFILE {
                return false;
            }
            let radius = (corner.x * corner.x + corner.y * corner.y).sqrt();
            if radius > root - off && radius < crest + off {
                touches = true;
                let past = radius - self.profile(corner);
                if past * self.outwards() > off {
                    return false;
                }
            } else if (radius - crest) * self.outwards() > 0.0 {
                return false;
            }
        }
        // A facet across the hole has its corners on the wall, and is no thread.
        touches && (self.external || nearest_to_axis(corners) >= root - off)
    }

    /// The way in which a thread's facets must not leave its profile: a screw's outwards.
    fn outwards(&self) -> f64 {
        if self.external { 1.0 } else { -1.0 }
    }

    /// Radius of the profile at a point's height and angle.
    fn profile(&self, at: &Point3<f64>) -> f64 {
        let turns = Angle::of_point(at.x, at.y).as_turns();
        let along = Length::mm(at.z) - self.crest - self.thread.signed_lead() * turns;
        (self.thread.profile_radius(along) + self.shift).as_mm()
    }
}

fn zones(contour: &Contour) -> impl Iterator<Item = (&ThreadZone, &ThreadForm)> {
    contour.threads.iter().map(|zone| (zone, &zone.form))
}

/// A zone as it stands in the assembly; none if it is not along the assembly's axis.
fn standing(
    placed: &Placed,
    pose: &Pose,
    zone: &ThreadZone,
    form: &ThreadForm,
) -> Option<ThreadFeature> {
    let stands = |x: f64, z: Length| pose.apply(placed.pose.apply(Point3::new(x, 0.0, z.as_mm())));
    let ends = zone.z.map(|z| stands(0.0, z));
    let off_axis = ends.iter().any(|end| end.x.abs().max(end.y.abs()) > SAME);
    if off_axis {
        return None;
    }
    // A turn about x or z keeps the hand; the crest goes to another angle, so back to angle 0.
    let crest = stands(1.0, form.crest);
    let turns = Angle::of_point(crest.x, crest.y).as_turns();
    let mut z = ends.map(|end| Length::mm(end.z));
    z.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
    Some(ThreadFeature {
        thread: form.thread.clone(),
        external: form.external,
        z,
        shift: form.shift,
        crest: Length::mm(crest.z) - form.thread.signed_lead() * turns,
    })
}
