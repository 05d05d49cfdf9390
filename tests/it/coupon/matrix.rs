//! The plate's design matrix against its published figures.

use nalgebra::{DMatrix, DVector};
use netlead::coupon::plate_rows;
use netlead::printer::Term;
use netlead::units::Length;

/// The order in which the design's tables have the terms.
const TERMS: [Term; 8] = [
    Term::ScaleX,
    Term::ScaleY,
    Term::ScaleZ,
    Term::OuterGrowth,
    Term::SlotGrowth,
    Term::HoleGrowth,
    Term::Curvature,
    Term::ZOffset,
];

/// Matrix and print effects at layers of 0.2 mm, on which the heights 2, 5, 10 and 16 lie.
fn design() -> (DMatrix<f64>, DVector<f64>) {
    let rows = plate_rows(Length::mm(0.2));
    let weight = |row: usize, column: usize| {
        let weights = rows[row].feature.weights();
        let found = weights.iter().find(|(term, _)| *term == TERMS[column]);
        found.map_or(0.0, |(_, weight)| *weight)
    };
    let effects = DVector::from_fn(rows.len(), |row, _| rows[row].feature.print_effect());
    (DMatrix::from_fn(rows.len(), TERMS.len(), weight), effects)
}

fn condition(matrix: &DMatrix<f64>) -> f64 {
    let values = matrix.singular_values();
    values.max() / values.min()
}

#[test]
fn the_plate_tells_eight_terms_apart_in_25_rows() {
    // Design of the plate: 25 rows, rank 8, condition 147 raw, 4.4 with unit columns.
    let (matrix, _) = design();
    assert_eq!(matrix.nrows(), 25);
    assert_eq!(matrix.rank(1e-9), 8);
    assert_eq!(condition(&matrix).round(), 147.0);
    let mut unit = matrix.clone();
    for mut column in unit.column_iter_mut() {
        column.normalize_mut();
    }
    approx::assert_abs_diff_eq!(condition(&unit), 4.4, epsilon = 0.05);
}

#[test]
fn standard_errors_for_one_to_five_prints_match_the_designs_table() {
    // n, uo+uh, uo+ui, uo, uh, k, sx %, sz %, z0; within 0.04, between 0.03 mm.
    let table = [
        (1.0, [0.062, 0.061, 0.032, 0.035, 0.067, 0.072, 0.38, 0.037]),
        (2.0, [0.044, 0.043, 0.023, 0.025, 0.047, 0.051, 0.27, 0.026]),
        (3.0, [0.036, 0.035, 0.018, 0.020, 0.038, 0.042, 0.22, 0.021]),
        (5.0, [0.028, 0.027, 0.014, 0.016, 0.030, 0.032, 0.17, 0.017]),
    ];
    let (matrix, effects) = design();
    let spread = DMatrix::identity(25, 25) * 0.04 * 0.04 + &effects * effects.transpose() * 0.0009;
    let inverse = spread.try_inverse().expect("a covariance");
    let covariance = (matrix.transpose() * inverse * &matrix)
        .try_inverse()
        .expect("rank 8");
    let weights: [(&[usize], f64); 8] = [
        (&[3, 5], 1.0),
        (&[3, 4], 1.0),
        (&[3], 1.0),
        (&[5], 1.0),
        (&[6], 1.0),
        (&[0], 100.0),
        (&[2], 100.0),
        (&[7], 1.0),
    ];
    for (prints, expected) in table {
        for ((columns, factor), expected) in weights.iter().zip(expected) {
            let sum: f64 = columns
                .iter()
                .flat_map(|a| columns.iter().map(move |b| (*a, *b)))
                .map(|at| covariance[at])
                .sum();
            let error = factor * (sum / prints).sqrt();
            let rounding = if *factor > 1.0 && expected > 0.1 {
                0.006
            } else {
                0.0006
            };
            assert!(
                (error - expected).abs() < rounding,
                "{columns:?}: {error} for {expected}"
            );
        }
    }
}
