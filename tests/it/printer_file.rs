//! The printer profile, as its writer meets it, and as a kit takes from it.
//!
//! Each file in `tests/printers/` is a profile with the problems that are expected of it as
//! comments above the line to blame, see `support/case_files.rs`.

use crate::support::case_files::assert_cases;
use netlead::diagnostic::{Severity, Style, render};
use netlead::kit::{self, Printer};
use netlead::printer::{Known, PRIOR_BETWEEN, PRIOR_WITHIN, Profile, TERMS, Term};
use netlead::strength::Material;
use netlead::units::Length;
use proptest::prelude::*;

const SHORT: &str = include_str!("../printers/valid_short.toml");
const FULL: &str = include_str!("../printers/valid_full.toml");
/// Half a step of six and of eight decimals, with room for binary rounding.
const HALF_STEP: f64 = 0.5001e-6;
const HALF_SHARE_STEP: f64 = 0.5001e-8;

fn mm(length: f64) -> Length {
    Length::mm(length)
}

fn read(text: &str) -> Profile {
    match Profile::from_toml(text) {
        Ok((profile, _)) => profile,
        Err(problems) => panic!("{}", render("p.toml", text, &problems, Style::default())),
    }
}

fn untuned() -> Profile {
    let bed = [mm(220.0), mm(220.0), mm(250.0)];
    Profile::untuned(mm(0.2), mm(0.45), bed, 4, Material::Petg)
}

#[test]
fn every_case_file_gives_the_problems_it_names_and_no_others() {
    assert_cases("printers", |text| {
        Profile::from_toml(text).map_or_else(|problems| problems, |(_, warnings)| warnings)
    });
}

#[test]
fn what_a_profile_leaves_out_is_the_shipped_guess() {
    let mut guesses = untuned();
    guesses.name = "garage".into();
    assert_eq!(read(SHORT), guesses);
    assert_eq!(guesses.within, PRIOR_WITHIN);
    assert_eq!(guesses.between, PRIOR_BETWEEN);
}

#[test]
fn a_full_profile_is_read_as_it_is_written() {
    let profile = read(FULL);
    assert_eq!(profile.spool, "grey, dried \"twice\"");
    assert_eq!((profile.date.as_str(), profile.prints), ("2024-02-29", 3));
    assert_eq!(profile.within, mm(0.03));
    assert_eq!(profile.between, mm(0.02));
    assert_eq!(profile.value(Term::OuterGrowth), 0.04);
    assert_eq!(profile.known(Term::OuterGrowth), Known::Ladder);
    assert_eq!(profile.known(Term::ScaleX), Known::Measured);
    assert_eq!(profile.known(Term::SlotGrowth), Known::Guess);
    // -0.5 x 0.01 mm x 0 mm, and 1 x 0.0002 x 0.01 mm.
    assert_eq!(profile.covariance(Term::OuterGrowth, Term::HoleGrowth), 0.0);
    let shared = profile.covariance(Term::OuterGrowth, Term::ScaleX);
    approx::assert_relative_eq!(shared, 2e-6, max_relative = 1e-12);
}

#[test]
fn a_written_profile_says_what_made_it_and_the_unit_of_every_term() {
    let text = untuned()
        .to_toml("written by a test\nfrom nothing")
        .unwrap();
    assert!(
        text.starts_with("# written by a test\n# from nothing\n"),
        "{text}"
    );
    for term in TERMS {
        let line = text
            .lines()
            .find(|line| line.starts_with(&format!("{} = ", term.word())));
        let line = line.unwrap();
        assert!(line.contains("known = \"guess\""), "{line}");
        assert!(line.contains(&format!("# {}: ", term.unit())), "{line}");
    }
    assert!(!text.contains("correlation"), "{text}");
}

#[test]
fn text_with_quotes_and_a_comment_with_controls_stay_one_line_each() {
    let mut profile = untuned();
    profile.spool = "red \"PETG\" \\ 2".into();
    let text = profile.to_toml("made by\u{7} hand\rname = 3").unwrap();
    assert_eq!(read(&text).spool, profile.spool);
}

#[test]
fn a_profile_beyond_the_limits_of_the_file_is_not_written() {
    let mut profile = untuned();
    let growth = [(Term::OuterGrowth, 1.0)];
    profile
        .set(&growth, &[vec![1e-4]], Known::Measured)
        .unwrap();
    assert!(profile.to_toml("").is_ok());
    let growth = [(Term::OuterGrowth, 1.01)];
    profile
        .set(&growth, &[vec![1e-4]], Known::Measured)
        .unwrap();
    let problems = profile.to_toml("").unwrap_err();
    assert!(problems[0].message.contains("outer_growth"), "{problems:?}");
}

const KIT: &str = "name = \"clamp\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\nprinter = \"garage\"\n";

fn lent(more: &str) -> (kit::Kit, Vec<(Severity, String)>) {
    let text = format!("{KIT}{more}");
    let (mut kit, warnings) = kit::read(&text, &[]).unwrap();
    assert!(warnings.is_empty(), "{warnings:?}");
    let problems = read(SHORT).lend(&mut kit).into_iter().map(|problem| {
        let marked = &text[problem.at.unwrap()];
        (problem.severity, format!("{marked}: {}", problem.message))
    });
    (kit, problems.collect())
}

#[test]
fn a_kit_takes_from_its_profile_what_it_does_not_say() {
    let (kit, warnings) = lent("");
    assert!(warnings.is_empty());
    assert_eq!(*kit.layer, mm(0.2));
    assert_eq!(*kit.material, Material::Petg);
    let (kit, warnings) = lent("bed = [100, 100, 100]\nlayer = 0.2\nwalls = 4\n");
    assert!(warnings.is_empty(), "{warnings:?}");
    assert_eq!(kit.bed[2], mm(100.0));
}

#[test]
fn a_kit_with_other_settings_than_were_measured_is_warned_of_each() {
    let (kit, warnings) = lent("layer = \"0.15 mm\"\nline = 0.6\nwalls = 3\nmaterial = \"ABS\"\n");
    assert_eq!(*kit.layer, mm(0.15));
    let said: Vec<&str> = warnings.iter().map(|(_, said)| said.as_str()).collect();
    assert_eq!(
        said,
        [
            "\"0.15 mm\": the profile `garage` was measured at 0.2 mm layers, the kit asks for \
             0.15 mm: its flank extra and growth may differ",
            "0.6: the profile `garage` was measured at 0.45 mm lines, the kit asks for 0.6 mm: \
             its growth may differ",
            "3: the profile `garage` was measured with 4 walls, the kit asks for 3: its growth \
             may differ",
            "\"ABS\": the profile `garage` was measured in PETG, the kit asks for ABS: its \
             scales and growth may differ",
        ]
    );
    assert!(warnings.iter().all(|(how, _)| *how == Severity::Warning));
}

#[test]
fn a_printer_is_a_name_or_the_path_of_a_file() {
    let printer = |text: &str| {
        let (kit, _) = kit::read(&KIT.replace("garage", text), &[]).unwrap();
        kit.printer.unwrap().value
    };
    for name in ["garage", "my printer"] {
        assert_eq!(printer(name), Printer::Named(name.into()));
    }
    for path in ["../shared/garage.toml", "garage.printer.toml"] {
        assert_eq!(printer(path), Printer::File(path.into()));
    }
    for bad in ["", "../garage", "a/b", "nul", "a\\u0007.toml"] {
        let text = KIT.replace("garage", bad);
        let problems = kit::read(&text, &[]).unwrap_err();
        assert_eq!(problems.len(), 1, "{bad}: {problems:?}");
        assert!(problems[0].mend.is_some());
    }
}

/// A profile as a fit could leave it: some terms fitted together, the covariance of which is
/// that of random weighted sums.
fn fitted() -> impl Strategy<Value = Profile> {
    let values = prop::collection::vec(-0.04f64..0.04, TERMS.len());
    let weights = prop::collection::vec(-0.04f64..0.04, TERMS.len() * TERMS.len());
    (
        values,
        weights,
        0..=TERMS.len(),
        any::<bool>(),
        "[a-z \"\\\\é]{0,20}",
    )
        .prop_map(|(values, weights, fitted, ladder, spool)| {
            let mut profile = untuned();
            profile.spool = spool;
            profile.layer = mm(0.2 + values[0]);
            profile.correction.hole = mm(values[1]);
            profile.within = mm(values[2].abs());
            let terms: Vec<(Term, f64)> = TERMS.into_iter().zip(values).take(fitted).collect();
            // A scale's error is limited to 0.05: rows of 12 weights below 0.04 / 12 stay within.
            let row = |i: usize| weights[i * TERMS.len()..].iter().take(TERMS.len());
            let covariance: Vec<Vec<f64>> = (0..fitted)
                .map(|i| {
                    let sum = |j| row(i).zip(row(j)).map(|(a, b)| a * b / 12.0).sum();
                    (0..fitted).map(sum).collect()
                })
                .collect();
            let known = if ladder {
                Known::Ladder
            } else {
                Known::Measured
            };
            profile.set(&terms, &covariance, known).unwrap();
            profile
        })
}

fn near(a: f64, b: f64, term: Term) -> bool {
    let half = if term.unit() == "share" {
        HALF_SHARE_STEP
    } else {
        HALF_STEP
    };
    (a - b).abs() <= half
}

proptest! {
    #[test]
    fn prop_a_profile_reads_back_as_it_was_written(profile in fitted()) {
        let text = profile.to_toml("made by a test").unwrap();
        let back = read(&text);
        prop_assert!((back.layer - profile.layer).abs() <= mm(HALF_STEP));
        prop_assert!((back.within - profile.within).abs() <= mm(HALF_STEP));
        let hole = back.correction.hole - profile.correction.hole;
        prop_assert!(hole.abs() <= mm(HALF_STEP));
        prop_assert_eq!(&back.spool, &profile.spool);
        for a in TERMS {
            prop_assert!(near(back.value(a), profile.value(a), a));
            prop_assert!(near(back.error(a), profile.error(a), a));
            prop_assert_eq!(back.known(a), profile.known(a));
            for b in TERMS {
                let lost = back.correlation(a, b) - profile.correlation(a, b);
                prop_assert!(lost.abs() <= HALF_STEP, "{a:?} {b:?} {lost}");
            }
        }
        // What was rounded once is not rounded again.
        prop_assert_eq!(back.to_toml("made by a test").unwrap(), text);
    }

    #[test]
    fn prop_a_damaged_profile_is_a_profile_or_has_an_error(
        at in 0usize..FULL.len(), removed in 0usize..9, sign in "[=\\[\\]{}\",\n0-9a-z.-]{0,3}"
    ) {
        let mut text = FULL.to_owned();
        let start = text.floor_char_boundary(at);
        let end = text.ceil_char_boundary((start + removed).min(text.len()));
        text.replace_range(start..end, &sign);
        if let Err(problems) = Profile::from_toml(&text) {
            prop_assert!(problems.iter().any(|p| p.severity == Severity::Error));
            for problem in problems {
                prop_assert!(text.get(problem.at.unwrap()).is_some());
                prop_assert!(problem.mend.is_some());
            }
        }
    }
}
