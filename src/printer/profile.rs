//! A printer's profile: what it does to the faces it prints, and how well that is known.
//!
//! The model of a measured size m against a drawn one (L a length, D a diameter, z a height;
//! derived, see `docs/printing.md`):
//!
//! ```text
//! outer   m = L (1 + s_a) + 2 u_o            slot  m = L (1 + s_a) - 2 u_i
//! boss    m = D (1 + (s_x + s_y)/2) + 2 u_o - 4 k/D
//! hole    m = D (1 + (s_x + s_y)/2) - 2 u_h - 4 k/D
//! height  m = z (1 + s_z) + z_0
//! ```

use super::broken::PrintStrength;
use crate::assembly::Slender;
use crate::kit::Kit;
use crate::strength::Material;
use crate::units::Length;

/// Something that the printer does to a face, in mm or as a share.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[repr(usize)]
pub enum Term {
    /// s_x: lengths along x come out longer by this share.
    ScaleX,
    /// s_y.
    ScaleY,
    /// s_z.
    ScaleZ,
    /// z_0: every height comes out higher by this, in mm.
    ZOffset,
    /// u_o: an outer face stands outside its drawn place, in mm.
    OuterGrowth,
    /// u_i: a slot's wall stands inside its drawn place, in mm.
    SlotGrowth,
    /// u_h: an upright hole's wall stands inside its drawn place, in mm.
    HoleGrowth,
    /// k: a curved wall of radius R stands further inside by k/R, hole or boss, in mm2.
    Curvature,
    /// The wall of a hole that was printed lying stands inside its drawn place, in mm.
    LyingGrowth,
    /// The crown of a hole that was printed lying sags by this, in mm.
    LyingSag,
    /// What the flanks of a thread need beyond the growth of both faces, as radial gap in mm.
    FlankExtra,
    /// The first layers flare outwards by this on a side, in mm.
    FirstLayerFlare,
}

/// All terms, in the order of a profile's covariance.
pub const TERMS: [Term; 12] = [
    Term::ScaleX,
    Term::ScaleY,
    Term::ScaleZ,
    Term::ZOffset,
    Term::OuterGrowth,
    Term::SlotGrowth,
    Term::HoleGrowth,
    Term::Curvature,
    Term::LyingGrowth,
    Term::LyingSag,
    Term::FlankExtra,
    Term::FirstLayerFlare,
];

/// How a term came to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Known {
    /// Shipped with the program.
    Guess,
    /// Fitted from a ladder of test pieces.
    Ladder,
    /// Fitted from measured sizes.
    Measured,
}

/// What the program that makes the toolpaths corrects on its own, in mm; netlead expects none
/// of it, so that nothing is compensated twice.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Correction {
    /// Outer contours are moved inwards by this.
    pub contour: Length,
    /// Holes are widened by this, radially.
    pub hole: Length,
    /// The first layer is moved inwards by this.
    pub first_layer: Length,
}

/// What is known of one printer with one filament.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Its name.
    pub name: String,
    /// Width of a printed line.
    pub line: Length,
    /// Layer height.
    pub layer: Length,
    /// Room: x, y, z.
    pub bed: [Length; 3],
    /// Where slender parts are laid.
    pub slender: Slender,
    /// Number of perimeters.
    pub walls: u32,
    /// Filament.
    pub material: Material,
    /// When it was measured, as a date in ISO 8601; empty when it never was.
    pub date: String,
    /// Which spool, in the maker's words.
    pub spool: String,
    /// Prints that were measured.
    pub prints: u32,
    /// What the toolpath program corrects on its own.
    pub correction: Correction,
    /// Standard deviation of one printed wall from its place, within a print, in mm. A reading
    /// across two walls has twice its variance, and so has a gap between two.
    pub within: Length,
    /// Standard deviation of a print's own effect b, by which all its walls move outwards from
    /// their lines, in mm. A reading across two walls moves by 2 b, and so does a gap between
    /// two walls of one print; two parts of two prints each bring a b of their own.
    pub between: Length,
    /// What its print bears, where pieces of it were broken.
    pub strength: Option<PrintStrength>,
    value: [f64; TERMS.len()],
    known: [Known; TERMS.len()],
    /// Of the terms with each other, in the units of the terms.
    covariance: [[f64; TERMS.len()]; TERMS.len()],
}

/// Why values make no profile.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BadProfile {
    /// A value or variance is not a finite number.
    #[error("the profile holds a number that is not finite")]
    NotFinite,
    /// A variance is below zero, or a correlation beyond one.
    #[error("the profile's covariance is not one of real quantities")]
    Covariance,
}

/// Growth of every face of an untuned printer, in mm. Guess.
const SHIPPED_GROWTH: f64 = 0.03;
/// Its standard error: half of what guides recommend differ by. Guess.
const SHIPPED_GROWTH_ERROR: f64 = 0.03;
/// Sag of a lying hole's crown, in mm (common practice: 0.1 to 0.3).
const SHIPPED_SAG: f64 = 0.15;
/// Its standard error. Guess.
const SHIPPED_SAG_ERROR: f64 = 0.05;
/// Standard error of the flank extra as a share of a layer. Guess: layers bed in by none to
/// all of it.
const SHIPPED_FLANK_ERROR: f64 = 0.3;
/// First-layer flare, in mm (common practice: 0.1 to 0.2 on a side).
const SHIPPED_FLARE: f64 = 0.15;
/// Standard error of a scale, as a share. Guess.
const SHIPPED_SCALE_ERROR: f64 = 0.002;
/// Standard error of the height offset, in mm: half a layer's slip. Guess.
const SHIPPED_OFFSET_ERROR: f64 = 0.05;
/// Standard error of the curvature term, in mm2. Guess.
const SHIPPED_CURVATURE_ERROR: f64 = 0.1;
/// Spread of one printed wall within a print (common practice: 0.02 to 0.05 mm).
pub const PRIOR_WITHIN: Length = Length::mm(0.04);
/// Spread of a print's own effect on a wall: 5 % of flow moves one by 0.01 to 0.02 (derived), and
/// filament within 0.05 mm of 1.75 is within 5.8 % of flow. Guess.
pub const PRIOR_BETWEEN: Length = Length::mm(0.02);

impl Profile {
    /// The profile of a printer of which nothing is known: guesses, all.
    ///
    /// The flank extra is one layer height: round-tipped layers stand h/4 proud of a 30 degree
    /// flank along its normal on each part, which is a radial shift of h for the pair (derived
    /// from the step geometry of layered flanks; the parts may bed in and need less).
    pub fn untuned(
        layer: Length,
        line: Length,
        bed: [Length; 3],
        walls: u32,
        material: Material,
    ) -> Self {
        let mut profile = Self {
            name: "untuned".into(),
            line,
            layer,
            bed,
            slender: Slender::default(),
            walls,
            material,
            date: String::new(),
            spool: String::new(),
            prints: 0,
            correction: Correction::default(),
            within: PRIOR_WITHIN,
            between: PRIOR_BETWEEN,
            strength: None,
            value: [0.0; TERMS.len()],
            known: [Known::Guess; TERMS.len()],
            covariance: [[0.0; TERMS.len()]; TERMS.len()],
        };
        let flank = layer.as_mm();
        for (term, value, error) in [
            (Term::ScaleX, 0.0, SHIPPED_SCALE_ERROR),
            (Term::ScaleY, 0.0, SHIPPED_SCALE_ERROR),
            (Term::ScaleZ, 0.0, SHIPPED_SCALE_ERROR),
            (Term::ZOffset, 0.0, SHIPPED_OFFSET_ERROR),
            (Term::OuterGrowth, SHIPPED_GROWTH, SHIPPED_GROWTH_ERROR),
            (Term::SlotGrowth, SHIPPED_GROWTH, SHIPPED_GROWTH_ERROR),
            (Term::HoleGrowth, SHIPPED_GROWTH, SHIPPED_GROWTH_ERROR),
            (Term::Curvature, 0.0, SHIPPED_CURVATURE_ERROR),
            (Term::LyingGrowth, SHIPPED_GROWTH, SHIPPED_GROWTH_ERROR),
            (Term::LyingSag, SHIPPED_SAG, SHIPPED_SAG_ERROR),
            (Term::FlankExtra, flank, flank * SHIPPED_FLANK_ERROR),
            (Term::FirstLayerFlare, SHIPPED_FLARE, SHIPPED_FLARE / 3.0),
        ] {
            profile.value[term as usize] = value;
            profile.covariance[term as usize][term as usize] = error * error;
        }
        profile
    }

    /// The untuned profile of the printer that a kit describes.
    pub fn untuned_for(kit: &Kit) -> Self {
        let profile = Self::untuned(*kit.layer, *kit.line, *kit.bed, *kit.walls, *kit.material);
        Self {
            slender: *kit.slender,
            ..profile
        }
    }

    /// The value of a term, in its unit.
    pub fn value(&self, term: Term) -> f64 {
        self.value[term as usize]
    }

    /// How a term came to be known.
    pub fn known(&self, term: Term) -> Known {
        self.known[term as usize]
    }

    /// Says how a term came to be known.
    pub(crate) fn mark(&mut self, term: Term, known: Known) {
        self.known[term as usize] = known;
    }

    /// Standard error of a term, in its unit.
    pub fn error(&self, term: Term) -> f64 {
        self.covariance(term, term).max(0.0).sqrt()
    }

    /// Covariance of two terms, in their units.
    pub fn covariance(&self, a: Term, b: Term) -> f64 {
        self.covariance[a as usize][b as usize]
    }

    /// Variance of a weighted sum of terms.
    pub fn variance_of(&self, weights: &[(Term, f64)]) -> f64 {
        self.shared_by(weights, weights).max(0.0)
    }

    /// Covariance of two weighted sums of terms.
    pub(crate) fn shared_by(&self, one: &[(Term, f64)], other: &[(Term, f64)]) -> f64 {
        let with = |(a, wa): &(Term, f64)| -> f64 {
            let each = other.iter();
            each.map(|(b, wb)| wa * wb * self.covariance(*a, *b)).sum()
        };
        one.iter().map(with).sum()
    }

    /// The same printer, if it was measured and its terms known without any error: what is left is
    /// its spread.
    pub fn with_terms_known(&self) -> Self {
        Self {
            covariance: [[0.0; TERMS.len()]; TERMS.len()],
            known: [Known::Measured; TERMS.len()],
            prints: self.prints.max(1),
            ..self.clone()
        }
    }

    /// Sets terms that were fitted together; `covariance` is theirs, in the order of `terms`.
    /// What they shared with other terms before is forgotten.
    ///
    /// # Errors
    ///
    /// If a number is not finite, or the covariance is none.
    pub fn set(
        &mut self,
        terms: &[(Term, f64)],
        covariance: &[Vec<f64>],
        known: Known,
    ) -> Result<(), BadProfile> {
        let at = |i: usize, j: usize| covariance.get(i).and_then(|row| row.get(j)).copied();
        let mut next = self.clone();
        for (i, (term, value)) in terms.iter().enumerate() {
            next.value[*term as usize] = *value;
            next.known[*term as usize] = known;
            for other in 0..TERMS.len() {
                next.covariance[*term as usize][other] = 0.0;
                next.covariance[other][*term as usize] = 0.0;
            }
            for (j, (other, _)) in terms.iter().enumerate().take(i + 1) {
                let shared = at(i, j).ok_or(BadProfile::Covariance)?;
                next.covariance[*term as usize][*other as usize] = shared;
                next.covariance[*other as usize][*term as usize] = shared;
            }
        }
        next.checked()?;
        *self = next;
        Ok(())
    }

    /// Correlation of the errors of two terms, from -1 to 1; zero where one has no error.
    pub fn correlation(&self, a: Term, b: Term) -> f64 {
        if a == b {
            return 1.0;
        }
        let both = self.error(a) * self.error(b);
        if both > 0.0 {
            self.covariance(a, b) / both
        } else {
            0.0
        }
    }

    /// Sets what two terms share, by the correlation of their errors.
    pub(crate) fn set_correlation(&mut self, a: Term, b: Term, correlation: f64) {
        let shared = correlation * self.error(a) * self.error(b);
        self.covariance[a as usize][b as usize] = shared;
        self.covariance[b as usize][a as usize] = shared;
    }

    fn checked(&self) -> Result<(), BadProfile> {
        let finite = self
            .value
            .iter()
            .chain(self.covariance.iter().flatten())
            .all(|v| v.is_finite());
        if !finite {
            return Err(BadProfile::NotFinite);
        }
        for a in TERMS {
            for b in TERMS {
                // Rounding of sums of doubles may carry a correlation just past one.
                let most = self.error(a) * self.error(b) * (1.0 + 1e-9);
                if self.covariance(a, a) < 0.0 || self.covariance(a, b).abs() > most {
                    return Err(BadProfile::Covariance);
                }
            }
        }
        Ok(())
    }
}
