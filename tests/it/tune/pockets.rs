//! Pockets of a captive nut: what they say of a known printer, and of which nut.

use super::ends::tuned;
use super::forms::HEAD;
use super::printers::{Ladder, Printer, filled};
use crate::support::normal::Normal;
use netlead::coupon::{Extent, coupon};
use netlead::diagnostic::{Style, render};
use netlead::kit::Kit;
use netlead::layout::design;
use netlead::printer::{Profile, Term};
use netlead::tuning::LadderKind;
use netlead::tuning::form::read;

/// A kit at the layer of the forms here, its nut printed or bought.
fn kit(nut: &str) -> Kit {
    let text = format!(
        "name = \"n\"\nlayout = \"tandem\"\nhand_torque = 0.5\ndrive = \"M24x3\"\n\
         thin = \"M16x2\"\nnut = \"{nut}\"\nstroke = 10\nlayer = 0.2\n"
    );
    text.parse().expect("a valid kit")
}

/// Its ladder of pockets alone, or all of its ladders.
fn ladders(nut: &str, extent: &Extent) -> Vec<Ladder> {
    let kit = kit(nut);
    let untuned = Profile::untuned_for(&kit);
    let design = design(&kit, &untuned).expect("it can be drawn");
    let coupon = coupon(&kit, &design, &untuned, extent).expect("a coupon");
    coupon.ladders.iter().map(Ladder::of).collect()
}

fn pocket(nut: &str) -> Vec<Ladder> {
    ladders(nut, &Extent::Joint("nut/carriage".into()))
}

/// What an ordinary printer's slots, and slots and outer faces together, are learnt to be beyond what
/// they are, with the error that is told; over some forms of three prints.
fn off(ladders: &[Ladder], rows: bool) -> Vec<[f64; 3]> {
    let one = |seed| {
        let mut normal = Normal::seeded(seed);
        let printer = Printer::ordinary(&mut normal);
        let filled = filled(&printer, ladders, 3, 0.01, &mut normal);
        let profile = tuned(&if rows { filled } else { filled.without_rows() }).profile;
        let off = |term| profile.value(term) - printer.term(term);
        let slot = off(Term::SlotGrowth);
        let both = slot + off(Term::OuterGrowth);
        [slot, both, profile.error(Term::SlotGrowth)]
    };
    (1..=300).map(one).collect()
}

fn deviation(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let count = values.clone().count() as f64;
    (values.map(|one| one * one).sum::<f64>() / count).sqrt()
}

#[test]
fn pockets_alone_tell_what_they_show_of_a_printer_and_no_more() {
    // Of one print and two faces a step leaves 0.05 / sqrt 12, each face 0.6 of 0.04, the print twice 0.02,
    // the hand 0.01: 0.056 in all, 0.032 of three prints; of one face 0.037 and 0.021. What is believed
    // before, 0.03 a face, yields as if it were 2.5 times as large, so it takes off a twentieth. The
    // bounds are three standard errors of a deviation of 300 above.
    let printed = off(&pocket("printed"), false);
    let both = deviation(printed.iter().map(|[_, both, _]| *both));
    assert!(both < 0.035, "both faces: {both}");
    // A blank and a pocket never tell which of their faces grew.
    let slot = deviation(printed.iter().map(|[slot, ..]| *slot));
    assert!(slot > 0.018, "one of them: {slot}");
    let mut narrow = pocket("M16");
    narrow[0].nut = Some([24.0, 23.71]);
    let slot = deviation(off(&narrow, false).iter().map(|[slot, ..]| *slot));
    assert!(slot < 0.024, "beside a bought nut: {slot}");
}

#[test]
fn prop_with_the_plate_a_slots_growth_lies_in_its_interval_at_the_stated_rate() {
    for nut in ["printed", "M16"] {
        let off = off(&ladders(nut, &Extent::Full), true);
        let inside = off
            .iter()
            .filter(|[off, _, error]| off.abs() <= 1.96 * error);
        let share = inside.count() as f64 / off.len() as f64;
        assert!((0.915..=0.985).contains(&share), "{nut}: {share}");
        let mean = off.iter().map(|[off, ..]| off).sum::<f64>() / off.len() as f64;
        assert!(mean.abs() <= 0.004, "{nut}: off by {mean}");
    }
}

#[test]
fn a_narrow_nut_and_a_wide_one_tell_the_same_of_the_printer_since_both_are_measured() {
    let learnt = |width: f64| {
        let mut ladder = pocket("M16");
        ladder[0].nut = Some([24.0, width]);
        let mut normal = Normal::seeded(1);
        let mut printer = Printer::ordinary(&mut normal);
        (printer.within, printer.between) = (0.0, 0.0);
        printer.terms[Term::SlotGrowth as usize] = 0.06;
        let filled = filled(&printer, &ladder, 1, 0.01, &mut normal);
        let step = ladder[0].gaps[1] - ladder[0].gaps[0];
        (tuned(&filled.without_rows()).profile, step)
    };
    for width in [24.0, 23.9, 23.8, 23.67] {
        let (profile, step) = learnt(width);
        let found = profile.value(Term::SlotGrowth);
        // Half a step to either side, and the hand.
        assert!((found - 0.06).abs() < step / 2.0 + 0.02, "{width}: {found}");
    }
}

#[test]
fn what_one_slot_takes_is_never_said_to_be_known_without_error() {
    for (nut, most) in [("printed", 0.060), ("M16", 0.045)] {
        let mut normal = Normal::seeded(2);
        let printer = Printer::ordinary(&mut normal);
        let filled = filled(&printer, &pocket(nut), 1, 0.01, &mut normal);
        let known = tuned(&filled.without_rows()).next.now;
        assert!((0.015..most).contains(&known), "{nut}: {known}");
    }
}

fn form(kind: &str, more: &str, best: &str) -> String {
    format!(
        "{HEAD}[[ladder]]\nname = \"nut/carriage\"\nkind = \"{kind}\"\n{more}\
         gaps = [-0.1, -0.05, 0.0]\nradius = 0\nbest = {best}\n"
    )
}

fn told(text: &str) -> String {
    let problems = read(text).expect_err("a bad form");
    render("form.toml", text, &problems, Style::default())
}

#[test]
fn a_bought_nut_that_was_tried_must_be_measured_and_nothing_else_may_be() {
    let bought = LadderKind::BoughtPocket.word();
    let refused = told(&form(bought, "drawn = 24\nmeasured = []\n", "[2]"));
    assert!(refused.contains("tried and not measured"), "{refused}");
    let unfolded = refused.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(unfolded.contains("as in `measured = [23.8]`"), "{refused}");
    let refused = told(&form(bought, "measured = [23.8]\n", "[2]"));
    assert!(refused.contains("`drawn` is missing"), "{refused}");
    let refused = told(&form(bought, "drawn = 24\nmeasured = [13]\n", "[2]"));
    assert!(refused.contains("beyond belief"), "{refused}");
    for kind in ["pocket", "slide"] {
        let refused = told(&form(kind, "drawn = 24\n", "[2]"));
        assert!(
            refused.contains("`drawn` is of a bought-pocket"),
            "{refused}"
        );
        assert!(read(&form(kind, "", "[2]")).is_ok());
    }
}

#[test]
fn the_gaps_around_a_nut_are_wider_by_half_of_what_it_is_narrower_in_either_unit() {
    let of = |more: &str, inches: bool| {
        let text = form("bought-pocket", more, "[2]");
        let text = match inches {
            true => text.replace("units = \"mm\"", "units = \"inch\""),
            false => text,
        };
        let (form, _) = read(&text).expect("a valid form");
        form.ladders[0].gaps[1].as_mm()
    };
    let three = of("drawn = 24\nmeasured = [23.7, 23.8, 23.9]\n", false);
    approx::assert_abs_diff_eq!(three, -0.05 + 0.1, epsilon = 1e-9);
    let inch = of("drawn = 24\nmeasured = [0.937]\n", true);
    approx::assert_abs_diff_eq!(inch, -0.05 + (24.0 - 0.937 * 25.4) / 2.0, epsilon = 1e-9);
}

#[test]
fn an_answer_at_the_end_of_the_pockets_says_which_ladder_to_print_again() {
    let (_, notes) = read(&form("pocket", "", "[3]")).expect("a valid form");
    let mends = notes.iter().filter_map(|note| note.mend.as_deref());
    let told: Vec<&str> = mends.collect();
    assert!(
        told.iter()
            .any(|mend| mend.contains("--joint nut/carriage")),
        "{told:?}"
    );
}
