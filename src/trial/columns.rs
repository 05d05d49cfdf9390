//! The unknowns of the fit and their columns, and whether rows can tell them apart.

use super::measured::Direction;
use crate::units::Angle;
use nalgebra::DMatrix;

/// Singular values below this share of the largest are none: rounding of doubles.
pub(super) const RANK_TOLERANCE: f64 = 1e-9;

/// Which unknowns there are, and the columns they have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Columns {
    /// Turns from which the lead's column counts, so that it hardly depends on the offset's.
    pub(super) centre: f64,
    pub(super) lost: Option<usize>,
    pub(super) ripple: Option<usize>,
    pub(super) start: Option<usize>,
    pub(super) shift: Option<usize>,
    pub(super) count: usize,
}

/// Offset and lead come first.
pub(super) const LEAD: usize = 1;

impl Columns {
    pub(super) fn new(centre: f64, [lost, ripple, start, shift]: [bool; 4]) -> Self {
        let mut count = LEAD + 1;
        let mut next = |wanted: bool, width: usize| {
            let at = count;
            count += if wanted { width } else { 0 };
            wanted.then_some(at)
        };
        let (lost, ripple) = (next(lost, 1), next(ripple, 2));
        let (start, shift) = (next(start, 1), next(shift, 1));
        Self {
            centre,
            lost,
            ripple,
            start,
            shift,
            count,
        }
    }

    /// Entries of a row that is settled.
    pub(super) fn settled(&self, turns: f64, direction: Direction) -> Vec<f64> {
        let mut row = vec![0.0; self.count];
        row[0] = 1.0;
        row[LEAD] = turns - self.centre;
        if let (Some(lost), Direction::Back) = (self.lost, direction) {
            row[lost] = 1.0;
        }
        if let Some(ripple) = self.ripple {
            let (sine, cosine) = Angle::turns(turns - turns.floor()).sin_cos();
            row[ripple] = sine;
            row[ripple + 1] = cosine;
        }
        row
    }
}

/// (X'X)^-1 by the singular values of X with columns of unit length; `None` where they are
/// further apart than `worst`.
pub(super) fn unit_covariance(design: &DMatrix<f64>, worst: f64) -> Option<DMatrix<f64>> {
    let lengths: Vec<f64> = design.column_iter().map(|column| column.norm()).collect();
    if lengths.iter().any(|length| *length <= RANK_TOLERANCE) {
        return None;
    }
    let mut scaled = design.clone();
    for (mut column, length) in scaled.column_iter_mut().zip(&lengths) {
        column /= *length;
    }
    let svd = scaled.svd(false, true);
    let values = &svd.singular_values;
    let (largest, least) = (values.max(), values.min());
    let sound = largest.is_finite() && least * worst > largest;
    let axes = svd.v_t.filter(|_| sound)?;
    let entry = |i: usize, j: usize| {
        let sum: f64 = (0..values.len())
            .map(|k| axes[(k, i)] * axes[(k, j)] / (values[k] * values[k]))
            .sum();
        sum / (lengths[i] * lengths[j])
    };
    Some(DMatrix::from_fn(lengths.len(), lengths.len(), entry))
}
