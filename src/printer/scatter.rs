//! How the gaps of one kit scatter together: what its copies share, and what each gap has alone.
//!
//! The printed gap of a joint is what is drawn, less what the profile's terms take, less an effect
//! of each printed face: that of its print, b; that of its part's place on the bed, p; and that
//! of the face itself, m.
//!
//! ```text
//! gap = drawn - sum of w (value + e) - sum over printed faces of (b + p + m)
//! ```

use super::outcome::Outcomes;
use super::profile::Profile;
use crate::assembly::{Assembly, Fit, InstanceId, Joint, JointId, Made};

/// Of the spread between prints, what two parts of one print differ by: their place on the bed
/// and how long their layers cool. Guess.
pub const PART_SHARE: f64 = 0.3;

/// Of the spread within a print, which is that of single places of a wall, what a whole face stands
/// off by. High spots meet first, and the highest of 30 to 100 stands out by much the same from
/// face to face: its scatter is 0.43 to 0.50 of theirs (derived, normal), and that it stands out
/// is in the growth that calipers and ladders measure, which touch high spots as well. With a
/// quarter of the variance common to a whole face (a guess) sqrt(0.25 + 0.46^2 0.75) is 0.62.
pub const FACE_SHARE: f64 = 0.6;

/// One joint's gap over all copies, in mm.
#[derive(Clone, Debug)]
pub(super) struct FitGap {
    pub(super) joint: JointId,
    /// Most likely.
    pub(super) mean: f64,
    /// Variance that no other gap shares, in mm2.
    pub(super) own: f64,
    pub(super) outcomes: Outcomes,
}

/// All gaps of a kit whose parts come from one bed.
#[derive(Clone, Debug)]
pub(super) struct Scatter {
    pub(super) fits: Vec<FitGap>,
    /// For each fit, how far it moves with each of the standard normal factors that gaps share.
    pub(super) factors: Vec<Vec<f64>>,
}

/// The faces of a joint that come off the printer.
struct Faces<'a> {
    joint: &'a Joint,
    /// Printed pieces of the joint.
    pieces: Vec<InstanceId>,
    /// A pin, whose outside is the face that all its joints share.
    pin: Option<InstanceId>,
}

impl<'a> Faces<'a> {
    fn of(assembly: &Assembly, joint: &'a Joint) -> Self {
        let printed = |piece: &InstanceId| assembly.part_of(*piece).made == Made::Printed;
        let pieces: Vec<InstanceId> = joint.between.into_iter().filter(printed).collect();
        let pin = pieces
            .iter()
            .copied()
            .find(|piece| is_pin(assembly, *piece));
        Self { joint, pieces, pin }
    }

    /// Faces that no other joint has.
    fn alone(&self) -> f64 {
        (self.pieces.len() - usize::from(self.pin.is_some())) as f64
    }

    /// Variance that the gaps of two joints share, beside that of the profile's terms, in mm2.
    fn shared_with(&self, other: &Self, profile: &Profile) -> f64 {
        let between = profile.between.as_mm();
        let part = PART_SHARE * between;
        let face = FACE_SHARE * profile.within.as_mm();
        let count = |faces: &Self| faces.pieces.len() as f64;
        let parts = self
            .pieces
            .iter()
            .filter(|piece| other.pieces.contains(piece));
        let pin = self.pin.is_some() && self.pin == other.pin;
        count(self) * count(other) * between * between
            + parts.count() as f64 * part * part
            + f64::from(u8::from(pin)) * face * face
    }
}

/// Whether a piece is a pin: it is pressed into another, and is one round outside to all that it
/// meets.
pub(super) fn is_pin(assembly: &Assembly, piece: InstanceId) -> bool {
    let mut joints = assembly.joints.iter();
    joints.any(|joint| joint.fit == Fit::Press && joint.between[0] == piece)
}

/// Of the whole variance, what is rounding when the factors are drawn out of it.
const ROUNDING: f64 = 1e-12;

impl Scatter {
    /// Of an assembly as it was drawn, on a printer.
    pub(super) fn of(assembly: &Assembly, profile: &Profile) -> Self {
        let mut fits = Vec::new();
        let mut faces: Vec<Faces<'_>> = Vec::new();
        let alone = FACE_SHARE * profile.within.as_mm();
        for (index, joint) in assembly.joints.iter().enumerate() {
            let (Some(gap), Some(outcomes)) = (&joint.gap, Outcomes::of(joint, profile)) else {
                continue;
            };
            let of_joint = Faces::of(assembly, joint);
            fits.push(FitGap {
                joint: JointId(index),
                mean: profile.expected(joint.fit, gap).as_mm(),
                own: of_joint.alone() * alone * alone,
                outcomes,
            });
            faces.push(of_joint);
        }
        let taken = |faces: &Faces<'_>| {
            let gap = faces.joint.gap.as_ref()?;
            Some(Profile::taken(faces.joint.fit, gap.mates, gap.radius))
        };
        let taken: Vec<_> = faces.iter().filter_map(taken).collect();
        let shared = |i: usize, j: usize| {
            profile.shared_by(&taken[i], &taken[j]) + faces[i].shared_with(&faces[j], profile)
        };
        Self {
            factors: factors(fits.len(), shared),
            fits,
        }
    }

    /// How many factors the gaps share.
    pub(super) fn rank(&self) -> usize {
        self.factors.first().map_or(0, Vec::len)
    }

    /// A fit's own variance and what it shares, in mm2.
    pub(super) fn variance(&self, fit: usize) -> f64 {
        let shared: f64 = self.factors[fit].iter().map(|factor| factor * factor).sum();
        self.fits[fit].own + shared
    }

    /// A fit's gap for values of the shared factors, in mm.
    pub(super) fn gap(&self, fit: usize, factors: &[f64]) -> f64 {
        let moved = self.factors[fit].iter().zip(factors);
        self.fits[fit].mean + moved.map(|(loading, value)| loading * value).sum::<f64>()
    }
}

/// A matrix F with F F^T the covariance of so many gaps, with as many columns as it takes:
/// Cholesky's with the largest pivot first.
fn factors(count: usize, covariance: impl Fn(usize, usize) -> f64) -> Vec<Vec<f64>> {
    let mut found: Vec<Vec<f64>> = vec![Vec::new(); count];
    let mut left: Vec<f64> = (0..count).map(|i| covariance(i, i)).collect();
    let least = ROUNDING * left.iter().sum::<f64>();
    for _ in 0..count {
        let Some(pivot) = (0..count).max_by(|a, b| left[*a].total_cmp(&left[*b])) else {
            break;
        };
        if left[pivot] <= least {
            break;
        }
        let root = left[pivot].sqrt();
        let of_pivot = found[pivot].clone();
        for i in 0..count {
            let known: f64 = found[i].iter().zip(&of_pivot).map(|(a, b)| a * b).sum();
            let loading = match i == pivot {
                true => root,
                false => (covariance(i, pivot) - known) / root,
            };
            found[i].push(loading);
            left[i] = match i == pivot {
                true => 0.0,
                false => left[i] - loading * loading,
            };
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_give_back_the_covariance_with_no_more_columns_than_its_rank() {
        // Two factors behind four gaps.
        let loadings = [[1.0, 0.5], [0.3, -0.2], [0.0, 2.0], [1.0, 0.5]];
        let covariance = |i: usize, j: usize| -> f64 {
            loadings[i]
                .iter()
                .zip(&loadings[j])
                .map(|(a, b)| a * b)
                .sum()
        };
        let found = factors(4, covariance);
        assert!(found.iter().all(|row| row.len() == 2));
        for i in 0..4 {
            for j in 0..4 {
                let product: f64 = found[i].iter().zip(&found[j]).map(|(a, b)| a * b).sum();
                approx::assert_abs_diff_eq!(product, covariance(i, j), epsilon = 1e-12);
            }
        }
        assert!(factors(3, |_, _| 0.0).iter().all(Vec::is_empty));
    }
}
