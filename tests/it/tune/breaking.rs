//! Broken pieces: what a form of them gives back, and what a bad one is told.

use crate::support::normal::Normal;
use netlead::diagnostic::{Style, render};
use netlead::printer::{PrintStrength, Profile};
use netlead::strength::Material;
use netlead::tuning::breaking::{BENT_OVER_PULLED, FIRST_TURN, PULLED_NOTCH, broken};
use netlead::tuning::form::read;
use netlead::units::Length;
use std::fmt::Write as _;

const HEAD: &str = "form = \"netlead-form/1\"\nprinter = \"made up\"\n\
    made = { layer = 0.2, line = 0.45, walls = 4, bed = [220, 220, 250], material = \"PLA\" }\n";

/// A row.
fn row(piece: &str, arm: &str, load: &str) -> String {
    format!("[[break]]\npiece = \"{piece}\"\ndiameter = 10\narm = {arm}\nload = {load}\n")
}

/// A form of necks and bars that break at these bending stresses, in MPa.
fn form(necks: &[f64], bars: &[f64]) -> String {
    let mut text = String::from(HEAD);
    for (word, stresses) in [("neck", necks), ("bar", bars)] {
        for (index, stress) in stresses.iter().enumerate() {
            // F = pi d^3 sigma / (32 a) with d = 10 and a = 200.
            let load = std::f64::consts::PI * 1000.0 * stress / 6400.0;
            let row = row(
                &format!("{word}-{}", index + 1),
                "200",
                &format!("\"{load:.6} N\""),
            );
            write!(text, "{row}").expect("writing to a string never fails");
        }
    }
    text
}

fn told(text: &str) -> String {
    let problems = match read(text) {
        Err(problems) => problems,
        Ok((form, _)) => broken(&form.breaks).expect_err("pieces that say too little"),
    };
    render("form.toml", text, &problems, Style::default())
}

fn strength(text: &str) -> PrintStrength {
    let (form, _) = read(text).unwrap_or_else(|problems| panic!("{problems:?}"));
    let broken = broken(&form.breaks).unwrap_or_else(|problems| panic!("{problems:?}"));
    broken.expect("broken pieces").strength
}

#[test]
fn kilograms_newtons_and_pounds_of_one_pull_are_one_stress() {
    // 15 N at 200 mm on 10 mm: 32 x 15 x 200 / (pi 1000) = 30.558 MPa; 15 N are 1.52957 kg of
    // standard gravity and 3.37213 lb.
    let load = |load: &str| HEAD.to_owned() + &row("bar-1", "200", &format!("\"{load}\""));
    for written in [
        "15 N",
        "1.52957 kg",
        "1.52957kg",
        "3.37213 lb",
        "1.52957 kgf",
    ] {
        let (form, _) = read(&load(written)).expect("a form");
        let stress = form.breaks[0].stress().expect("a broken bar");
        approx::assert_abs_diff_eq!(stress.as_megapascals(), 30.558, epsilon = 1e-3);
    }
}

#[test]
fn pieces_without_scatter_give_what_the_books_make_of_them() {
    let found = strength(&form(&[25.0; 3], &[30.0; 3]));
    approx::assert_relative_eq!(found.across.value, 20.0, max_relative = 1e-6);
    let root = found.root.expect("a root");
    approx::assert_relative_eq!(root.value, 1.2 * 1.15 * 1.55, max_relative = 1e-6);
    // What all pieces share is left: 3.7 %, of two means in a ratio.
    approx::assert_relative_eq!(found.across.error, 20.0 * 0.037, max_relative = 1e-6);
    let of_two = 0.037 * 2f64.sqrt();
    approx::assert_relative_eq!(root.error / root.value, of_two, max_relative = 1e-6);
    assert_eq!((found.across.pieces, root.pieces), (3, 3));
}

#[test]
fn bars_alone_leave_the_root_unknown() {
    assert_eq!(strength(&form(&[], &[30.0, 31.0])).root, None);
}

#[test]
fn the_bounds_hold_for_19_of_20_prints_at_the_least_and_are_not_far_off() {
    // A tenth of scatter, a scale and arms off by 1.5 % each, the diameter of all necks and of all
    // bars by 1 %, whose cube counts. t of two degrees of freedom counts for what pieces share too, and
    // of the root the fewer pieces count, so the bounds hold more often than they must.
    let mut normal = Normal::seeded(11);
    let prints = 4000;
    let (mut held, mut root_held, mut told, mut refused) = (0, 0, 0, 0);
    for _ in 0..prints {
        let shared = (1.0 + normal.of(0.015)) * (1.0 + normal.of(0.015));
        let mut three = |mean: f64| {
            let kind = shared * mean * (1.0 + normal.of(0.03));
            [(); 3].map(|()| kind * (1.0 + normal.of(0.1)))
        };
        let (necks, bars) = (three(25.0), three(30.0));
        let text = form(&necks, &bars);
        let (form, _) = read(&text).expect("a form");
        let Ok(found) = broken(&form.breaks) else {
            refused += 1;
            continue;
        };
        let found = found.expect("broken pieces").strength;
        told += 1;
        held += u32::from(found.across.least() <= 30.0 / BENT_OVER_PULLED);
        let root = found.root.expect("a root").most();
        root_held += u32::from(root >= 1.2 * PULLED_NOTCH * FIRST_TURN);
    }
    assert!(f64::from(refused) < 0.02 * f64::from(prints), "{refused}");
    let rate = |count: u32| f64::from(count) / f64::from(told);
    assert!((0.95..0.998).contains(&rate(held)), "{}", rate(held));
    assert!(
        (0.95..0.998).contains(&rate(root_held)),
        "{}",
        rate(root_held)
    );
}

#[test]
fn bad_rows_are_told_with_line_limit_and_what_to_write() {
    let good = row("bar-1", "200", "\"15 N\"");
    for (bad, messages) in [
        (
            good.replace("bar-1", "beam-1"),
            ["`beam-1` is not a piece", "neck- or bar-"],
        ),
        (good.replace("15 N", "15"), ["has no unit", "\"1.6 kg\""]),
        (
            good.replace("15 N", "15 stone"),
            ["is not understood", "\"15.7 N\""],
        ),
        (
            good.replace("15 N", "900 N"),
            ["0.2 to 500 N", "what the scale showed"],
        ),
        (
            good.replace("200", "2000"),
            ["it may be 20 to 1000", "from the break to the pull"],
        ),
        (
            good.replace("200", "\"\""),
            ["has a load and no arm", "`arm = 200`"],
        ),
        (good.replace("\"15 N\"", "15"), ["needs text", "`load`"]),
        (
            good.replace("= 10\n", "= 80\n"),
            ["it may be 2 to 40", "`diameter`"],
        ),
        (
            good.replace("15 N", "15 kg").replace("= 10\n", "= 2\n"),
            ["beyond belief", "1 to 250 MPa"],
        ),
        (good.clone() + &good, ["there twice", "neck-4, bar-4"]),
        (good.clone(), ["1 bars and 0 necks", "two of each"]),
        (
            good.replace("200", "\"\"").replace("15 N", ""),
            ["no piece is broken", "`arm = 200`"],
        ),
        (
            good.clone() + "[[row]]\nname = \"outer-x-62\"\ndrawn = 62\nmeasured = [62.0]\n",
            ["among rows and ladders", "form of their own"],
        ),
    ] {
        let told = told(&format!("{HEAD}{bad}"));
        for message in messages {
            assert!(told.contains(message), "{message}:\n{told}");
        }
        assert!(told.contains("Stop at form.toml, line "), "{told}");
    }
}

#[test]
fn pieces_that_agree_in_nothing_are_refused_and_near_ones_are_not() {
    // Of two bars t is 6.31: 30 +- 2.5 leaves less than a quarter, 30 +- 1 does not.
    let far = told(&form(&[], &[26.0, 34.0]));
    assert!(far.contains("scatter too much: bars 26.0, 34.0"), "{far}");
    strength(&form(&[], &[29.0, 31.0]));
}

#[test]
fn a_profile_keeps_what_pieces_told_and_refuses_what_says_nothing() {
    let bed = [Length::mm(220.0); 3];
    let (layer, line) = (Length::mm(0.2), Length::mm(0.45));
    let mut profile = Profile::untuned(layer, line, bed, 4, Material::Pla);
    profile.strength = Some(strength(&form(&[24.0, 25.0, 26.0], &[29.0, 30.0, 31.0])));
    let text = profile.to_toml("test").expect("a profile");
    let (again, _) = Profile::from_toml(&text).expect("the same profile");
    let (was, is) = (profile.strength.expect("one"), again.strength.expect("one"));
    approx::assert_abs_diff_eq!(was.across.least(), is.across.least(), epsilon = 1e-4);
    let roots = [was, is].map(|strength| strength.root.expect("a root").most());
    approx::assert_abs_diff_eq!(roots[0], roots[1], epsilon = 1e-4);
    let refused = |from: &str, to: &str, message: &str| {
        let bad = text.replacen(from, to, 1);
        assert_ne!(bad, text);
        let problems = Profile::from_toml(&bad).expect_err("no profile");
        let told = render("p.toml", &bad, &problems, Style::default());
        assert!(told.contains(message), "{message}:\n{told}");
    };
    let across = text
        .lines()
        .find(|line| line.starts_with("across"))
        .expect("a line");
    refused(
        across,
        "across = { value = 20, error = 9, pieces = 3 }",
        "next to nothing is known",
    );
    refused(
        across,
        "across = { value = 20, error = 1, pieces = 1 }",
        "strength.across.pieces",
    );
    refused(
        across,
        "across = { value = 0.1, error = 0, pieces = 3 }",
        "strength.across.value",
    );
    refused(across, "", "without the strength it goes by");
    refused(", pieces = 3 } # MPa", "} # MPa", "`pieces` is missing");
}
