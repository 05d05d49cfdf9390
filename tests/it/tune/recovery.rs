//! Known parameters come back, inside their stated intervals at the stated rate.

use super::forms::{TRUTH, plate, plate_of, truth};
use netlead::coupon::plate_rows;
use netlead::printer::{Known, Term};
use netlead::tuning::CaliperSize;
use netlead::tuning::form::{FilledForm, read};
use netlead::tuning::tune::{Tuned, blank, tune};
use netlead::units::Length;

pub(crate) fn form(text: &str) -> FilledForm {
    read(text)
        .unwrap_or_else(|problems| panic!("{problems:?}"))
        .0
}

pub(crate) fn sizes() -> Vec<(String, CaliperSize)> {
    let rows = plate_rows(Length::mm(0.2)).into_iter();
    rows.map(|row| (row.name, row.feature)).collect()
}

pub(crate) fn tuned(text: &str) -> Tuned {
    let form = form(text);
    tune(&form, &blank(&form), &sizes()).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// The terms that the plate shows.
fn plate_terms() -> impl Iterator<Item = Term> {
    let only_ladders = [Term::LyingGrowth, Term::FlankExtra];
    TRUTH
        .into_iter()
        .map(|(term, _)| term)
        .filter(move |term| !only_ladders.contains(term))
}

#[test]
fn readings_without_noise_give_the_parameters_back() {
    let tuned = tuned(&plate(1, 0.0, 0.0, 1));
    for term in plate_terms() {
        approx::assert_abs_diff_eq!(tuned.profile.value(term), truth(term), epsilon = 2e-6);
        assert_eq!(tuned.profile.known(term), Known::Measured);
    }
    assert_eq!(tuned.profile.known(Term::FlankExtra), Known::Guess);
}

/// Two-sided 95 % of the normal table.
const NINETEEN_OF_TWENTY: f64 = 1.96;
const SEEDS: u64 = 2000;

/// Share of seeds for which each term lies in its interval.
fn coverage(prints: usize) -> Vec<(Term, f64)> {
    let runs: Vec<Tuned> = (0..SEEDS)
        .map(|seed| tuned(&plate(prints, 0.04, 0.02, seed + 1)))
        .collect();
    let inside = |term: Term, run: &&Tuned| {
        let off = run.profile.value(term) - truth(term);
        off.abs() <= NINETEEN_OF_TWENTY * run.profile.error(term)
    };
    plate_terms()
        .map(|term| {
            let hits = runs.iter().filter(|run| inside(term, run)).count();
            (term, hits as f64 / SEEDS as f64)
        })
        .collect()
}

#[test]
fn prop_one_print_recovers_parameters_at_the_stated_rate() {
    for (term, share) in coverage(1) {
        assert!((share - 0.95).abs() <= 0.02, "{term:?}: {share}");
    }
}

#[test]
fn prop_three_prints_recover_parameters_at_the_stated_rate() {
    for (term, share) in coverage(3) {
        assert!((share - 0.95).abs() <= 0.02, "{term:?}: {share}");
    }
}

#[test]
fn the_closing_error_of_one_two_and_three_prints_is_that_of_the_designs_table() {
    // uo + uh: 0.062, 0.044, 0.036 mm where a reading scatters by 0.04, so each of its two walls
    // by 0.04 / sqrt 2. Three prints estimate the spread, which moves it a bit.
    let within = 0.04 / 2f64.sqrt();
    for (prints, expected, slack) in [(1, 0.062, 6e-4), (2, 0.044, 6e-4), (3, 0.036, 0.008)] {
        let form = form(&plate(prints, within, 0.03, 3));
        let mut old = blank(&form);
        old.within = Length::mm(within);
        old.between = Length::mm(0.03);
        let tuned = tune(&form, &old, &sizes()).unwrap_or_else(|problems| panic!("{problems:?}"));
        assert!(
            (tuned.next.now - expected).abs() < slack,
            "{prints}: {}",
            tuned.next.now
        );
    }
}

#[test]
fn a_second_and_a_third_print_lower_the_closing_error_and_a_fifth_hardly() {
    for (prints, worth) in [(1, true), (2, true), (4, false)] {
        let tuned = tuned(&plate(prints, 0.04, 0.03, 5));
        assert_eq!(tuned.next.lowers_it(), worth, "{prints}: {:?}", tuned.next);
    }
}

#[test]
fn fewer_than_three_prints_leave_the_spread_as_it_was_believed() {
    for prints in [1, 2] {
        let tuned = tuned(&plate(prints, 0.02, 0.08, 7));
        assert!(!tuned.spread_estimated);
        assert_eq!(tuned.profile.within, Length::mm(0.04));
        assert_eq!(tuned.profile.between, Length::mm(0.02));
    }
}

#[test]
fn many_prints_move_the_spread_towards_what_they_show() {
    let mean = |pick: fn(&Tuned) -> f64| {
        let runs = (0..30).map(|seed| tuned(&plate(12, 0.02, 0.08, 100 + seed)));
        runs.map(|run| pick(&run)).sum::<f64>() / 30.0
    };
    let within = mean(|run| run.profile.within.as_mm());
    let between = mean(|run| run.profile.between.as_mm());
    // Believed: 0.04 and 0.02.
    assert!((within - 0.02).abs() < 0.004, "{within}");
    assert!((between - 0.08).abs() < 0.02, "{between}");
}

#[test]
fn one_misread_row_is_named_left_out_and_does_no_harm() {
    let clean = plate(2, 0.01, 0.0, 9);
    let line = clean
        .lines()
        .position(|line| line.contains("hole-14"))
        .expect("the row");
    let mut lines: Vec<&str> = clean.lines().collect();
    lines[line + 2] = "measured = [14.4, 13.76]";
    let tuned = tuned(&lines.join("\n"));
    let outliers: Vec<_> = tuned.judged.iter().filter(|one| one.outlier).collect();
    assert_eq!(outliers.len(), 1, "{outliers:?}");
    assert_eq!(
        (outliers[0].name.as_str(), outliers[0].print),
        ("hole-14", 0)
    );
    let off = tuned.profile.value(Term::HoleGrowth) - truth(Term::HoleGrowth);
    assert!(off.abs() < 0.03, "{off}");
}

#[test]
fn readings_of_honest_noise_are_hardly_ever_left_out() {
    let sets = (0..200).map(|seed| tuned(&plate(1, 0.04, 0.03, 1000 + seed)));
    let with_outlier = sets
        .filter(|set| set.judged.iter().any(|one| one.outlier))
        .count();
    // 25 readings beyond 3.5: 25 x 0.00047 (normal table), about one set in eighty.
    assert!(with_outlier <= 8, "{with_outlier} of 200");
}

#[test]
fn sizes_that_do_not_tell_scale_from_growth_are_refused_with_the_row_that_would() {
    let one_size = |name: &str| name == "outer-x-16" || name == "outer-y-16";
    let form = form(&plate_of(1, 0.0, 0.0, 1, one_size));
    let problems = tune(&form, &blank(&form), &sizes()).expect_err("three unknowns, two rows");
    let told = format!(
        "{} {}",
        problems[0].message,
        problems[0].mend.clone().unwrap_or_default()
    );
    assert!(told.contains("scale along"), "{told}");
    assert!(told.contains("growth of outer faces"), "{told}");
    // What it names is enough.
    let enough = |name: &str| one_size(name) || told.contains(&format!("`{name}`"));
    let text = plate_of(1, 0.0, 0.0, 1, enough);
    approx::assert_abs_diff_eq!(
        tuned(&text).profile.value(Term::ScaleX),
        -0.002,
        epsilon = 1e-6
    );
}

#[test]
fn rows_along_x_alone_fit_what_they_show_and_leave_the_rest() {
    let tuned = tuned(&plate_of(1, 0.0, 0.0, 1, |name| {
        name.starts_with("outer-x")
    }));
    approx::assert_abs_diff_eq!(tuned.profile.value(Term::OuterGrowth), 0.06, epsilon = 1e-5);
    assert_eq!(tuned.profile.known(Term::ScaleY), Known::Guess);
    assert_eq!(tuned.profile.value(Term::HoleGrowth), 0.03);
}
