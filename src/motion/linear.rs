//! Reduces a small dense linear system and tells the truth about its rank.
//!
//! Gauss-Jordan elimination with full pivoting (Golub & Van Loan, Matrix Computations, on
//! complete pivoting; from memory). Preferred to singular values because the entries of a
//! joint graph are zeros, ones and a few leads: elimination then gives 0.75, not
//! 0.749 999 999 999 999 9.

use nalgebra::{DMatrix, DVector};

/// Pivots and residues up to this count as zero. The rows are scaled so that their entries
/// are at most one; leads that differ by less than this share of the largest are equal.
/// Guess: far above rounding (about 1e-15), far below any difference of real leads.
pub(super) const RANK_TOLERANCE: f64 = 1e-9;

/// What elimination leaves of A x = b.
pub(super) struct Reduced {
    /// False when no x fulfils every row.
    pub(super) consistent: bool,
    /// An x that fulfils the pivot rows, zero where x is not determined.
    pub(super) values: Vec<f64>,
    /// Directions in which x may still move: a basis of the null space of A.
    pub(super) free: Vec<Vec<f64>>,
}

/// Reduces A x = b, for rows with entries of size one.
pub(super) fn reduce(mut a: DMatrix<f64>, mut b: DVector<f64>) -> Reduced {
    let (rows, columns) = a.shape();
    let mut order: Vec<usize> = (0..columns).collect();
    let mut rank = 0;
    while let Some((row, column)) = largest_entry(&a, rank) {
        a.swap_rows(rank, row);
        b.swap_rows(rank, row);
        a.swap_columns(rank, column);
        order.swap(rank, column);
        clear_column(&mut a, &mut b, rank);
        rank += 1;
    }
    let consistent = (rank..rows).all(|row| b[row].abs() <= RANK_TOLERANCE);
    let mut values = vec![0.0; columns];
    for pivot in 0..rank {
        values[order[pivot]] = without_noise(b[pivot]);
    }
    let free = (rank..columns)
        .map(|column| {
            let mut direction = vec![0.0; columns];
            direction[order[column]] = 1.0;
            for pivot in 0..rank {
                direction[order[pivot]] = without_noise(-a[(pivot, column)]);
            }
            direction
        })
        .collect();
    Reduced {
        consistent,
        values,
        free,
    }
}

/// Where the largest entry of the part that is not reduced yet stands; `None` when all of it
/// counts as zero. Of equal entries the first, so that the outcome never varies.
fn largest_entry(a: &DMatrix<f64>, done: usize) -> Option<(usize, usize)> {
    let (rows, columns) = a.shape();
    let mut largest = RANK_TOLERANCE;
    let mut place = None;
    for row in done..rows {
        for column in done..columns {
            if a[(row, column)].abs() > largest {
                largest = a[(row, column)].abs();
                place = Some((row, column));
            }
        }
    }
    place
}

/// Makes the pivot on the diagonal one, and everything above and below it zero.
fn clear_column(a: &mut DMatrix<f64>, b: &mut DVector<f64>, pivot: usize) {
    let (rows, columns) = a.shape();
    let size = a[(pivot, pivot)];
    for column in 0..columns {
        a[(pivot, column)] /= size;
    }
    b[pivot] /= size;
    for row in (0..rows).filter(|&row| row != pivot) {
        let factor = a[(row, pivot)];
        if factor == 0.0 {
            continue;
        }
        for column in 0..columns {
            let part = factor * a[(pivot, column)];
            a[(row, column)] -= part;
        }
        a[(row, pivot)] = 0.0;
        b[row] -= factor * b[pivot];
    }
}

/// Rounding noise, and minus zero, become a plain zero.
fn without_noise(value: f64) -> f64 {
    if value.abs() <= RANK_TOLERANCE {
        0.0
    } else {
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_system_with_one_answer_gives_it() {
        // x + y = 3, x - y = 1.
        let a = DMatrix::from_row_slice(2, 2, &[1.0, 1.0, 1.0, -1.0]);
        let reduced = reduce(a, DVector::from_vec(vec![3.0, 1.0]));
        assert!(reduced.consistent);
        assert!(reduced.free.is_empty());
        assert_eq!(reduced.values, vec![2.0, 1.0]);
    }

    #[test]
    fn a_row_said_twice_is_consistent_and_a_contradicted_row_is_not() {
        let a = DMatrix::from_row_slice(2, 1, &[1.0, 1.0]);
        assert!(reduce(a.clone(), DVector::from_vec(vec![1.0, 1.0])).consistent);
        assert!(!reduce(a, DVector::from_vec(vec![1.0, 0.9])).consistent);
    }

    #[test]
    fn an_unknown_without_a_row_is_free() {
        let a = DMatrix::from_row_slice(1, 2, &[1.0, -1.0]);
        let reduced = reduce(a, DVector::from_vec(vec![0.0]));
        assert_eq!(reduced.free, vec![vec![1.0, 1.0]]);
    }
}
