//! Odds of a whole kit: of all copies that could come off one bed, how many go together as printed,
//! after filing or running in, or not at all.
//!
//! Given what gaps share, they are independent: so the chance that all are right is the product of
//! theirs, averaged over fixed points of what they share (quasi-random, after Richtmyer, 1951, from
//! memory; the class of method: Genz, "Numerical Computation of Multivariate Normal Probabilities",
//! 1992). No random number, so the same kit has the same odds everywhere.

use super::normal;
use super::profile::Profile;
use super::scatter::{Scatter, is_pin};
use crate::assembly::{Assembly, InstanceId, JointId};
use crate::units::Length;

/// What becomes of a fit's copies, as shares from 0 to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FitOdds {
    /// Goes together by hand as it comes off the bed, and does its work.
    pub as_printed: f64,
    /// The same, or after filing, running in, glue or tape.
    pub usable: f64,
}

/// What becomes of a kit's copies, as shares from 0 to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct KitOdds {
    /// Every fit goes together as printed.
    pub as_printed: f64,
    /// Every fit, after filing or running in.
    pub usable: f64,
    /// A part must be printed again because a fit is too tight to save.
    pub too_tight: f64,
    /// The same because one is too loose.
    pub too_loose: f64,
    /// Fits to be filed or run in, on average.
    pub to_fit: f64,
    /// Fits in all.
    pub fits: usize,
}

impl KitOdds {
    /// Why a part must be printed again, where one cause leads by far: `, mostly for a fit too loose`.
    pub fn causes(&self) -> &'static str {
        if self.too_loose > BY_FAR * self.too_tight {
            ", mostly for a fit too loose"
        } else if self.too_tight > BY_FAR * self.too_loose {
            ", mostly for a fit too tight"
        } else if self.usable < 1.0 {
            ", for a fit too tight or too loose"
        } else {
            ""
        }
    }
}

/// How many times as often one cause must be met to be named alone. Guess.
const BY_FAR: f64 = 2.0;

/// How many points the odds of a kit are averaged over; over 60 drawn profiles the largest error at
/// twice as many was 0.6 hundredths (measured against 131 072), the middle one 0.07.
pub const POINTS: usize = 2048;

/// The odds of each of an assembly's fits, in the order of its joints.
pub fn fit_odds(assembly: &Assembly, profile: &Profile) -> Vec<(JointId, FitOdds)> {
    let copies = Copies::new(assembly, profile);
    let of = |fit: usize| (copies.scatter.fits[fit].joint, copies.alone(fit));
    (0..copies.scatter.fits.len()).map(of).collect()
}

/// The odds of an assembly whose parts come off one bed, over so many points.
pub fn kit_odds(assembly: &Assembly, profile: &Profile, points: usize) -> KitOdds {
    Copies::new(assembly, profile).odds(points)
}

/// A pin, or another fit alone: what is right or wrong together once what is shared is given.
struct Group {
    fits: Vec<usize>,
    /// How much thicker than drawn the pins at hand are, radial, ascending, in mm; one of nothing
    /// where there is only one.
    shifts: Vec<f64>,
}

/// All copies of a kit.
struct Copies {
    scatter: Scatter,
    groups: Vec<Group>,
}

/// The chances that a gap, or all of several, goes together as printed; is usable; is not too tight; and is
/// not too loose.
type Chances = [f64; 4];

impl Copies {
    fn new(assembly: &Assembly, profile: &Profile) -> Self {
        let scatter = Scatter::of(assembly, profile);
        let pins = (0..assembly.instances.len())
            .map(InstanceId)
            .filter(|piece| is_pin(assembly, *piece));
        let mut groups: Vec<Group> = Vec::new();
        let mut taken = vec![false; scatter.fits.len()];
        for pin in pins {
            let of_pin = |fit: &usize| {
                let joint = assembly.joint(scatter.fits[*fit].joint);
                !taken[*fit] && joint.between.contains(&pin)
            };
            let fits: Vec<usize> = (0..scatter.fits.len()).filter(of_pin).collect();
            fits.iter().for_each(|fit| taken[*fit] = true);
            groups.push(Group {
                fits,
                shifts: assembly
                    .shifts(pin)
                    .into_iter()
                    .map(Length::as_mm)
                    .collect(),
            });
        }
        let alone = (0..scatter.fits.len()).filter(|fit| !taken[*fit]);
        groups.extend(alone.map(|fit| Group {
            fits: vec![fit],
            shifts: vec![0.0],
        }));
        Self { scatter, groups }
    }

    /// Of one fit alone, whatever becomes of the others.
    fn alone(&self, fit: usize) -> FitOdds {
        let shifts = self.groups.iter().find(|group| group.fits.contains(&fit));
        let parts = shifts.map_or(&[0.0][..], |group| &group.shifts);
        let (mean, variance) = (self.scatter.fits[fit].mean, self.scatter.variance(fit));
        let [as_printed, usable, ..] =
            united(parts, |moved| self.chances(fit, mean, variance, moved));
        FitOdds { as_printed, usable }
    }

    /// Of a fit with a gap of this mean and variance.
    fn chances(&self, fit: usize, mean: f64, variance: f64, moved: Moved) -> Chances {
        let outcomes = &self.scatter.fits[fit].outcomes;
        let [tight, lost] = shifted([outcomes.tight.as_mm(), outcomes.lost.as_mm()], moved);
        let [free, loose] = shifted([outcomes.free.as_mm(), outcomes.loose.as_mm()], moved);
        let ends = [f64::NEG_INFINITY, tight, free, loose, lost, f64::INFINITY];
        let [least, tight, free, loose, lost, most] = normal::limits(ends, mean, variance);
        [
            free.to(&loose),
            tight.to(&lost),
            tight.to(&most),
            least.to(&lost),
        ]
    }

    fn odds(&self, points: usize) -> KitOdds {
        let rank = self.scatter.rank();
        let mut sums = [0.0; 4];
        let sequence = Sequence::new(rank);
        for point in 0..points {
            let factors = sequence.point(point);
            let gaps: Vec<f64> = (0..self.scatter.fits.len())
                .map(|fit| self.scatter.gap(fit, &factors))
                .collect();
            let all = product(self.groups.iter().map(|group| self.right(group, &gaps)));
            sums = [0, 1, 2, 3].map(|chance| sums[chance] + all[chance]);
        }
        let [as_printed, usable, not_tight, not_loose] = sums.map(|sum| sum / points as f64);
        let fits = self.scatter.fits.len();
        let to_fit = |odds: FitOdds| odds.usable - odds.as_printed;
        KitOdds {
            as_printed,
            usable,
            too_tight: 1.0 - not_tight,
            too_loose: 1.0 - not_loose,
            to_fit: (0..fits).map(|fit| to_fit(self.alone(fit))).sum(),
            fits,
        }
    }

    /// The chances of a group with one of its pins, given the gaps but for what each has alone.
    fn right(&self, group: &Group, gaps: &[f64]) -> Chances {
        united(&group.shifts, |moved| {
            let fits = group
                .fits
                .iter()
                .map(|fit| self.chances(*fit, gaps[*fit], self.scatter.fits[*fit].own, moved));
            product(fits)
        })
    }
}

/// That all of some are right which have nothing to do with each other.
fn product(each: impl Iterator<Item = Chances>) -> Chances {
    each.fold([1.0; 4], |all, one| {
        [0, 1, 2, 3].map(|chance| all[chance] * one[chance])
    })
}

/// How far the pins at hand move both ends of a window: the least and the most of some pins.
type Moved = [f64; 2];

/// The gaps, as drawn, with which all of some pins are right.
fn shifted([least, most]: [f64; 2], [thinnest, thickest]: Moved) -> [f64; 2] {
    [least + thickest, most + thinnest]
}

/// The chances that at least one of some pins is right, from the chances that all from one to another
/// are. What two pins allow, every one between them does; so the union is what each allows, less
/// what each allows with the next.
fn united<const N: usize>(shifts: &[f64], all: impl Fn(Moved) -> [f64; N]) -> [f64; N] {
    let sum = |sums: [f64; N], moved: Moved| {
        let more = all(moved);
        std::array::from_fn(|chance| sums[chance] + more[chance])
    };
    let each = shifts.iter().map(|shift| [*shift, *shift]);
    let each = each.fold([0.0; N], sum);
    let twice = shifts.windows(2).map(|pair| [pair[0], pair[1]]);
    let twice = twice.fold([0.0; N], sum);
    std::array::from_fn(|chance| (each[chance] - twice[chance]).clamp(0.0, 1.0))
}

/// Fixed points of standard normal values: fractions of multiples of the roots of primes, which are
/// independent over the whole numbers.
pub(super) struct Sequence(Vec<f64>);

impl Sequence {
    pub(super) fn new(dimensions: usize) -> Self {
        let roots = primes().map(|prime| f64::from(prime).sqrt());
        Self(roots.take(dimensions).collect())
    }

    pub(super) fn point(&self, point: usize) -> Vec<f64> {
        let of = |root: &f64| {
            let place = (point as f64 + 1.0) * root + 0.5;
            // Folded, so that both ends meet.
            let folded = 1.0 - (2.0 * (place - place.floor()) - 1.0).abs();
            normal::quantile(folded)
        };
        self.0.iter().map(of).collect()
    }
}

fn primes() -> impl Iterator<Item = u32> {
    (2u32..).filter(|number| {
        (2..*number)
            .take_while(|d| d * d <= *number)
            .all(|d| number % d != 0)
    })
}

#[cfg(test)]
mod tests;
