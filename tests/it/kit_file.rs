//! The kit file, as its writer meets it: what is read, what is refused, and with which words.
//!
//! Each file in `tests/kits/` is a kit with the problems that are expected of it as comments
//! above the line to blame, see `support/case_files.rs`.

use crate::support::case_files::assert_cases;
use crate::support::cases;
use netlead::assembly::{Perimeters, Turning};
use netlead::diagnostic::{Diagnostic, Severity, Style, render};
use netlead::kit::{self, Grip, Head, Kit, Mechanism, NotText, Nut, Tandem};
use netlead::strength::Material;
use netlead::units::Length;
use proptest::prelude::*;
use std::ops::Range;

/// Ids of checks that the case files may waive.
const CHECKS: &[&str] = &["drive-wall", "engagement"];

/// A kit that says everything there is to say.
const FULL: &str = r#"name = "focus stage"
layout = "nested"
units = "inch"
drive = "M20x2.5"
inner = "M12x1.75-LH"
stroke = "3/8 in"
net_lead = "0.75 mm"
advance = "counter-clockwise"
head = { kind = "hexagon", across_flats = "1 5/16", height = 0.5 }
layer = "0.2 mm"
line = "0.5 mm"
walls = 5
bed = ["180 mm", 7, "18 cm"]
material = "petg"
hand_torque = "18 lbf in"
load = "10 lbf"
friction = 0.3
tolerance = "0.02 mm"

[pins]
buy = "3/16 dowel"

[gaps]
thread = "0.05 mm"
slide = 0.005
locate = "0.07 mm"
press = "-0.03 mm"
seat = "0.11 mm"

[sizes]
tapped_wall = "25 mm"
drive_thread = "60 mm"
inner_thread = "50 mm"
bore = "40 mm"
collar = "11 mm"
carriage_diameter = "40 mm"
carriage_length = "45 mm"
ear_width = "16 mm"
frame_side = "58 mm"
keeper_plug = "10 mm"

[[waive]]
check = "drive-wall"
reason = "printed twice, holds"
"#;

/// The shortest tandem kit; what is put behind it are keys of the file itself.
const TANDEM: &str = "name = \"stage\"\nlayout = \"tandem\"\ndrive = \"M24x3\"\n\
                      thin = \"M16-LH\"\nstroke = 10\n";

/// The shortest kit.
const SHORT: &str = "name = \"clamp\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\n";

fn accepted(text: &str) -> Kit {
    match kit::read(text, CHECKS) {
        Ok((kit, warnings)) if warnings.is_empty() => kit,
        Ok((_, problems)) | Err(problems) => {
            panic!("{}", render("kit.toml", text, &problems, Style::default()))
        }
    }
}

fn problems(text: &str) -> Vec<Diagnostic> {
    kit::read(text, CHECKS).map_or_else(|problems| problems, |(_, warnings)| warnings)
}

fn assert_mm(length: Length, mm: f64) {
    approx::assert_abs_diff_eq!(length.as_mm(), mm, epsilon = 1e-9);
}

#[test]
fn every_case_file_gives_the_problems_it_names_and_no_others() {
    assert_cases("kits", problems);
}

#[test]
fn ten_problems_are_ten_reports() {
    let text = include_str!("../kits/ten_problems.toml");
    let problems = problems(text);
    assert_eq!(problems.len(), 10);
    let shown = render("ten.toml", text, &problems, Style::default());
    assert_eq!(shown.matches("Stop at ten.toml, line ").count(), 10);
    assert_eq!(shown.matches("\n  To mend it: ").count(), 10);
}

#[test]
fn a_full_kit_is_read_as_it_is_written() {
    let kit = accepted(FULL);
    assert_eq!(kit.folder(), "focus-stage");
    let Mechanism::Nested(threads) = &kit.mechanism else {
        panic!("a nested layout is read as one");
    };
    assert_mm(threads.drive.major(), 20.0);
    assert_mm(threads.inner.signed_lead(), -1.75);
    assert_mm(*kit.stroke, 9.525);
    assert_mm(*kit.net_lead.unwrap(), 0.75);
    assert_eq!(*kit.advance.unwrap(), Turning::CounterClockwise);
    let Head::Hexagon(hexagon) = kit.head else {
        panic!("a hexagon is read as one");
    };
    assert_mm(*hexagon.across_flats.unwrap(), 33.3375);
    assert_mm(*hexagon.height.unwrap(), 12.7);
    assert_mm(*kit.pins.diameter.unwrap(), 4.7625);
    assert_eq!(*kit.pins.buy.unwrap(), "3/16 dowel");
    assert_mm(*kit.gaps.thread.unwrap(), 0.05);
    assert_mm(*kit.gaps.slide.unwrap(), 0.127);
    assert_mm(*kit.gaps.press.unwrap(), -0.03);
    assert_mm(kit.bed[0], 180.0);
    assert_mm(kit.bed[1], 177.8);
    assert_mm(kit.bed[2], 180.0);
    assert_eq!(*kit.material, Material::Petg);
    assert_eq!(*kit.walls, 5);
    // 18 lbf in and 10 lbf by NIST SP 811 (2008), appendix B.8.
    let torque = kit.hand_torque.as_newton_metres();
    approx::assert_abs_diff_eq!(torque, 2.033_726, epsilon = 1e-6);
    let load = kit.load.force.unwrap().as_newtons();
    approx::assert_abs_diff_eq!(load, 44.482_22, epsilon = 1e-5);
    assert_mm(*kit.sizes.keeper_plug.unwrap(), 10.0);
    assert_eq!(*kit.waive[0].check, "drive-wall");
}

/// The threads and the nut of a tandem kit.
fn tandem(text: &str) -> (Kit, Tandem) {
    let kit = accepted(text);
    match kit.mechanism.clone() {
        Mechanism::Tandem(tandem) => (kit, tandem),
        Mechanism::Single(_) | Mechanism::Nested(_) | Mechanism::Opposed(_) => {
            panic!("a tandem layout is read as one")
        }
    }
}

#[test]
fn a_tandem_kit_is_read_as_it_is_written() {
    let (kit, threads) = tandem(&format!(
        "{TANDEM}nut = \" Printed\"\nperimeters = {{ nut = 6 }}\n\
         sizes = {{ thin_thread = 81, nut = \"3/4 in\", carriage_width = 42 }}\n"
    ));
    assert_mm(threads.drive.signed_lead(), 3.0);
    assert_mm(threads.thin.signed_lead(), -2.0);
    assert!(matches!(threads.nut, Nut::Printed));
    assert_eq!(kit.mechanism.word(), "tandem");
    assert_eq!(*kit.perimeters.nut, Perimeters::Lines(6));
    let sizes = kit.sizes;
    assert_mm(*sizes.thin_thread.unwrap(), 81.0);
    assert_mm(*sizes.nut.unwrap(), 19.05);
    assert_mm(*sizes.carriage_width.unwrap(), 42.0);
}

#[test]
fn the_nut_of_a_tandem_kit_is_printed_solid_where_it_does_not_say_otherwise() {
    let (kit, threads) = tandem(TANDEM);
    assert!(matches!(threads.nut, Nut::Printed));
    assert_eq!(*kit.perimeters.nut, Perimeters::Solid);
    assert!(kit.sizes.nut.is_none() && kit.sizes.thin_thread.is_none());
}

#[test]
fn a_bought_nut_knows_its_standard_and_where_it_was_asked_for() {
    let text = TANDEM.replace("M16-LH", "1/2-13") + "nut = \"1/2-13 nut\"\n";
    let Nut::Bought(nut) = tandem(&text).1.nut else {
        panic!("a bought nut");
    };
    assert_eq!(
        (nut.written.as_str(), nut.standard),
        ("1/2-13 nut", "ASME B18.2.2")
    );
    assert_eq!(&text[nut.written.at.unwrap()], "\"1/2-13 nut\"");
}

#[test]
fn a_load_is_a_force_or_a_table_and_friction_a_number_or_two() {
    let table = accepted(&format!(
        "{SHORT}load = {{ force = 200, torque = \"9 lbf in\", lasting = true, offset = 12 }}\n\
         friction = [0.12, 0.38]\n"
    ));
    let load = table.load.clone();
    assert_eq!(load.force.unwrap().as_newtons(), 200.0);
    // 9 lbf in by NIST SP 811 (2008), appendix B.8.
    let torque = load.torque.unwrap().as_newton_metres();
    approx::assert_abs_diff_eq!(torque, 1.016_863, epsilon = 1e-6);
    assert!(*load.lasting);
    assert_mm(*load.offset, 12.0);
    let friction = table.friction.as_ref().unwrap();
    assert_eq!([friction.low, friction.high], [0.12, 0.38]);
    // A bare force in an inch kit is in newtons too.
    let bare = accepted(&format!(
        "units = \"inch\"\n{}load = 20\n",
        SHORT.replace("10", "1.5")
    ));
    assert_eq!(bare.load.force.unwrap().as_newtons(), 20.0);
    assert!(!*bare.load.lasting && *bare.load.offset == Length::ZERO);
}

#[test]
fn what_a_short_kit_leaves_out_has_the_shipped_default_even_in_inches() {
    let in_inches = format!("units = \"inch\"\n{}", SHORT.replace("10", "1.5"));
    for kit in [accepted(SHORT), accepted(&in_inches)] {
        assert_mm(*kit.layer, 0.15);
        assert_mm(*kit.line, 0.45);
        assert_mm(kit.bed[0], 220.0);
        assert_mm(kit.bed[2], 250.0);
        assert!(kit.gaps.swivel.is_none() && kit.gaps.press.is_none());
        assert_mm(*kit.tolerance, 0.01);
        assert_eq!(*kit.walls, 4);
        assert!(kit.friction.is_none() && !*kit.grease);
        assert_eq!([kit.friction().low, kit.friction().high], [0.12, 0.38]);
        assert_eq!(*kit.load.reserve, 2.0);
        assert_eq!(*kit.perimeters.inner, Perimeters::Solid);
        assert_eq!(kit.hand_torque.as_newton_metres(), 2.0);
        assert_eq!(*kit.material, Material::Pla);
        assert!(kit.layer.at.is_none() && kit.gaps.thread.is_none());
        assert!(matches!(kit.mechanism, Mechanism::Single(_)));
        assert!(kit.load.force.is_none() && kit.pins.diameter.is_none());
    }
}

#[test]
fn a_pin_is_held_by_ribs_or_a_whole_wall() {
    let kit = accepted(&format!("{SHORT}pins = {{ held_by = \"wall\" }}\n"));
    assert_eq!(*kit.pins.held_by, Grip::Wall);
    assert!(kit.gaps.press.is_none());
    let said = format!("{SHORT}pins = {{ held_by = \"wall\" }}\ngaps = {{ press = -0.04 }}\n");
    assert_mm(*accepted(&said).gaps.press.unwrap(), -0.04);
    let glue = format!("{SHORT}pins = {{ held_by = \"glue\" }}\n");
    assert_eq!(problems(&glue).len(), 1);
}

#[test]
fn a_value_knows_the_bytes_that_it_was_read_from() {
    let kit = accepted(FULL);
    let said = |at: Option<Range<usize>>| &FULL[at.unwrap()];
    assert_eq!(said(kit.stroke.at), "\"3/8 in\"");
    assert_eq!(said(kit.walls.at), "5");
    assert_eq!(said(kit.pins.diameter.unwrap().at), "\"3/16 dowel\"");
    assert_eq!(said(kit.sizes.bore.unwrap().at), "\"40 mm\"");
    let reason = said(kit.waive[0].reason.at.clone());
    assert_eq!(reason, "\"printed twice, holds\"");
}

#[test]
fn every_declared_default_may_be_written_out() {
    for key in kit::keys() {
        let Some(default) = key.default else { continue };
        accepted(&format!("{SHORT}{} = {default}\n", key.path));
    }
}

#[test]
fn a_manual_can_be_written_from_the_keys() {
    let keys = kit::keys();
    for key in &keys {
        assert!(!key.meaning.is_empty() && !key.kind.is_empty() && !key.absent.is_empty());
    }
    let layer = keys.iter().find(|key| key.path == "layer").unwrap();
    assert_eq!(layer.absent, "0.15 mm");
    assert_eq!(layer.range.as_deref(), Some("0.04 mm to 0.6 mm"));
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_change_nothing() {
    let windows = format!("\u{feff}{}", FULL.replace('\n', "\r\n"));
    assert_mm(*accepted(&windows).stroke, 9.525);
    let bad = windows.replace("walls = 5", "wals = 5");
    let shown = render("kit.toml", &bad, &problems(&bad), Style::default());
    assert!(shown.contains("kit.toml, line 12, column 1"), "{shown}");
}

#[test]
fn an_impossible_designation_is_marked_inside_its_quotes() {
    for designation in ["twenty", "M20x", "M1x9", "7/0-9", "", "M20x2.5-XH"] {
        let text = SHORT.replace("M20x2.5", designation);
        let problems = problems(&text);
        assert_eq!(problems.len(), 1, "{designation}");
        let marked = &text[problems[0].at.clone().unwrap()];
        assert!(
            !marked.is_empty() && format!("\"{designation}\"").contains(marked),
            "{designation}: {marked}"
        );
        assert!(problems[0].mend.is_some());
    }
}

#[test]
fn a_value_on_its_limit_passes_and_one_just_beyond_does_not() {
    for (key, passes, fails) in [
        ("tolerance", "0.001", "0.0009"),
        ("tolerance", "0.2", "\"0.201 mm\""),
        ("gaps.slide", "0", "-0.001"),
        ("gaps.thread", "-0.3", "-0.301"),
        ("gaps.press", "-0.3", "-0.301"),
        ("friction", "1", "1.001"),
        ("walls", "1.0", "1.5"),
        ("friction", "[0.02, 1]", "[0.019, 1]"),
        ("friction", "[0.3, 0.3]", "[0.31, 0.3]"),
        ("load", "\"20 kN\"", "20001"),
        ("load.force", "20000", "\"20.001 kN\""),
        ("load.torque", "50", "50.01"),
        ("load.offset", "0", "-0.1"),
        ("hand_torque", "50", "\"5001 N cm\""),
        ("bed", "[50, 50, \"200 cm\"]", "[50, 49.9, 200]"),
    ] {
        accepted(&format!("{SHORT}{key} = {passes}\n"));
        let beyond = format!("{SHORT}{key} = {fails}\n");
        assert_eq!(problems(&beyond).len(), 1, "{key} = {fails}");
    }
    accepted(&SHORT.replace("clamp", &"n".repeat(60)));
    accepted(&FULL.replace("printed twice, holds", "ten chars."));
}

#[test]
fn an_escaped_text_is_marked_whole() {
    let text = SHORT.replace("\"clamp\"", "\"cl\\u0061mp!\"");
    let problems = problems(&text);
    let marked = &text[problems[0].at.clone().unwrap()];
    assert_eq!(marked, "\"cl\\u0061mp!\"");
}

#[test]
fn bytes_that_are_not_utf8_are_named_with_their_position() {
    let bytes = b"name = \"clamp\"\nlayout = \"\xe4\"\n";
    let NotText { text, problem } = *kit::decode(bytes).unwrap_err();
    assert!(
        problem
            .message
            .contains("byte 26 (line 2, column 11) is 0xe4"),
        "{}",
        problem.message
    );
    let shown = render("kit.toml", &text, &[problem], Style::default());
    assert!(shown.contains("kit.toml, line 2, column 11"), "{shown}");
}

#[test]
fn a_file_too_long_for_a_kit_is_not_read() {
    let long = "# no kit\n".repeat(10_000);
    assert_eq!(problems(&format!("{SHORT}{long}")).len(), 1);
}

/// A kit is given, or at least one error, and every problem lies in the text.
fn is_judged(text: &str) -> Result<(), TestCaseError> {
    let (problems, rejected) = match kit::read(text, CHECKS) {
        Ok((_, warnings)) => (warnings, false),
        Err(problems) => (problems, true),
    };
    let errors = problems.iter().any(|p| p.severity == Severity::Error);
    prop_assert_eq!(errors, rejected);
    for problem in &problems {
        let at = problem.at.clone().expect("a problem of a kit has a place");
        prop_assert!(text.get(at).is_some(), "{problem:?}");
        prop_assert!(problem.mend.is_some(), "{problem:?}");
    }
    let shown = render("kit.toml", text, &problems, Style::default());
    prop_assert_eq!(shown.is_empty(), problems.is_empty());
    Ok(())
}

/// Signs that hold a kit file together.
const SIGNS: &[&str] = &[
    "=", "[", "]", "\"", "{", "}", "\n", "1", "-", "'''", ",", "#",
];

proptest! {
    #![proptest_config(cases(1000))]

    #[test]
    fn prop_any_text_is_a_kit_or_has_an_error(text in any::<String>()) {
        is_judged(&text)?;
    }

    #[test]
    fn prop_keys_and_signs_in_any_order_are_a_kit_or_have_an_error(
        text in r#"((name|layout|head|gaps|waive|stroke|sizes)[ .=\[\]{},"0-9a-z]{0,12}\n?){0,8}"#
    ) {
        is_judged(&text)?;
    }

    #[test]
    fn prop_a_damaged_kit_is_a_kit_or_has_an_error(
        edits in prop::collection::vec(
            (0usize..2000, 0usize..4, any::<Option<char>>(), prop::sample::select(SIGNS)),
            1..6,
        )
    ) {
        let mut text = FULL.to_owned();
        for (at, removed, other, sign) in edits {
            let start = text.floor_char_boundary(at % (text.len() + 1));
            let end = text.ceil_char_boundary((start + removed).min(text.len()));
            let inserted = other.map_or_else(|| sign.to_owned(), String::from);
            text.replace_range(start..end, &inserted);
        }
        is_judged(&text)?;
    }

    #[test]
    fn prop_damaged_bytes_are_text_or_named(at in 0usize..FULL.len(), byte in any::<u8>()) {
        let mut bytes = FULL.as_bytes().to_vec();
        bytes[at] = byte;
        match kit::decode(&bytes) {
            Ok(text) => is_judged(text)?,
            Err(bad) => prop_assert!(bad.text.get(bad.problem.at.unwrap()).is_some()),
        }
    }

    #[test]
    fn prop_a_stroke_is_the_same_in_mm_and_in_inches(sixteenths in 1u32..600) {
        let kit = |stroke: String| accepted(&SHORT.replace("10", &stroke));
        let inches = f64::from(sixteenths) / 16.0;
        let fraction = kit(format!("\"{} {}/16 in\"", sixteenths / 16, sixteenths % 16));
        let mm = kit(format!("{}", inches * 25.4));
        prop_assert!((*fraction.stroke - *mm.stroke).abs() < Length::mm(1e-9));
    }
}

#[test]
fn each_part_may_have_walls_of_its_own_and_friction_follows_filament_and_grease() {
    let pair = SHORT.replace("single", "nested") + "inner = \"M12x1.75\"\n";
    let kit = accepted(&format!(
        "{pair}walls = 3\nperimeters = {{ inner = 6, drive = \"Solid\", frame = 5 }}\n"
    ));
    assert_eq!(*kit.perimeters.inner, Perimeters::Lines(6));
    let drive = kit.perimeters.drive.as_ref().unwrap();
    assert_eq!(drive.value, Perimeters::Solid);
    let of = |part| kit.perimeters_of(part);
    assert_eq!(of(&kit.perimeters.frame), Perimeters::Lines(5));
    assert_eq!(of(&kit.perimeters.keeper), Perimeters::Lines(3));
    for wrong in ["\"full\"", "0", "2.5", "true", "[4]"] {
        let found = problems(&format!("{SHORT}perimeters = {{ drive = {wrong} }}\n"));
        assert_eq!(found.len(), 1, "{wrong}");
        let mend = found[0].mend.as_deref().unwrap();
        assert_eq!(mend, "write `drive = \"solid\"` or `drive = 6`");
    }
    // Published ranges of static friction, dry; the greased one of all.
    let friction = |more: &str| {
        let friction = accepted(&format!("{SHORT}{more}")).friction();
        [friction.low, friction.high]
    };
    assert_eq!(friction("material = \"PETG\"\n"), [0.13, 0.21]);
    assert_eq!(friction("grease = true\n"), [0.05, 0.20]);
    assert_eq!(friction("friction = 0.3\n"), [0.3, 0.3]);
}

#[test]
fn grease_beside_a_friction_is_warned_of() {
    let warned = |more: &str| {
        let read = netlead::kit::read(&format!("{SHORT}{more}"), &[]);
        read.expect("a valid kit").1.len()
    };
    assert_eq!(warned("grease = true\nfriction = 0.3\n"), 1);
    assert_eq!(warned("grease = true\n"), 0);
    assert_eq!(warned("grease = false\nfriction = 0.3\n"), 0);
}
