//! The first page: one screen for every preset in both units, its figures those of the report, and
//! nothing of what must be acted on left out.

use crate::support::kept::Kept;
use crate::support::shell::{self, code, netlead, preset, presets, stderr, stdout, unfolded};
use netlead::check::Outcome;
use netlead::making::{self, InMemory};
use netlead::output::kit::Product;
use netlead::output::kit::report::Report;
use netlead::output::page::digest::Asked;
use netlead::output::page::terminal::{self, Extent};
use serde_json::Value;
use std::fs;
use std::sync::Arc;

/// Most lines of a digest that warns of nothing: about half of a screen of 24.
const SCREEN: usize = 13;
const COLUMNS: usize = 80;

/// A preset worked out once for all tests, told in inches or not.
fn worked(name: &str, inches: bool) -> Arc<Product> {
    static WORKED: Kept<Product> = Kept::new();
    WORKED.get(format!("{name}, inches: {inches}"), || {
        let shelf = InMemory::none();
        let mut read = making::read("kit.toml", &preset(name), &shelf).unwrap();
        read.kit.inches = inches;
        let mut product = read.work(&|_| {}).unwrap();
        read.cost_of_tuning(&mut product);
        product
    })
}

fn digest(product: &Product, folder: Option<&str>) -> String {
    let asked = Asked {
        kit: "kit.toml",
        folder,
    };
    let page = terminal::page(product, &asked, Extent::Digest);
    anstream::adapter::strip_str(&page).to_string()
}

/// Minutes as a page tells them: whole tens from an hour on.
fn hours(minutes: &Value) -> String {
    let minutes = minutes.as_f64().unwrap();
    let tens = (minutes / 10.0).round() as u64;
    match (minutes < 60.0, tens / 6, tens % 6) {
        (true, ..) => format!("{minutes:.0} min"),
        (false, hours, 0) => format!("{hours} h"),
        (false, hours, tens) => format!("{hours} h {tens}0 min"),
    }
}

/// A number with two decimals at the most and no idle zeros.
fn short(value: &Value) -> String {
    let text = format!("{:.2}", value.as_f64().unwrap());
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[test]
fn the_digest_of_every_preset_fits_one_screen_in_both_units() {
    for name in presets() {
        for inches in [false, true] {
            let product = worked(&name, inches);
            let warned = product.findings.iter();
            let warned = warned.filter(|one| one.outcome == Outcome::Warn).count();
            for folder in [Some("out/kit"), None] {
                let page = digest(&product, folder);
                assert!(page.lines().all(|line| line.chars().count() <= COLUMNS));
                let lines = page.lines().count();
                assert!(lines <= SCREEN || warned > 0, "{name}: {lines}\n{page}");
                assert!(lines <= 2 * SCREEN, "{name}: {lines}\n{page}");
            }
        }
    }
}

#[test]
fn the_figures_of_the_digest_are_those_of_the_report() {
    for name in presets() {
        let product = worked(&name, false);
        let page = unfolded(&digest(&product, Some("out/kit")));
        let report = Report::new(&product, &[]).to_json().unwrap();
        let report: Value = serde_json::from_str(&report).unwrap();
        let (motion, print) = (&report["motion"], &report["print"]);
        let time = &print["time_min"];
        let [least, likely, most] = ["low", "nominal", "high"].map(|end| hours(&time[end]));
        let lost = &motion["lost_motion_turns"];
        let sprung = &motion["preload"]["lost_motion_turns"];
        let without = format!("{} to {}", short(&lost["low"]), short(&lost["high"]));
        let lead = motion["net_lead_mm"].as_f64().unwrap();
        let lead = format!("{lead:.4}");
        let lead = lead.trim_end_matches('0').trim_end_matches('.');
        for said in [
            format!("to print {likely} ({least} to {most})"),
            format!("{:.0} g of", print["mass_g"].as_f64().unwrap()),
            format!("net lead {lead} mm"),
            format!("; {} turns ", short(&motion["turns"])),
            format!("stroke {} mm", short(&motion["stroke_mm"])),
            match sprung["high"].as_f64() {
                Some(left) => format!("lost motion up to {left:.3} turns"),
                None => format!("lost motion {without} turns"),
            },
            without.clone(),
            report["kit"]["name"].as_str().unwrap().to_owned(),
        ] {
            assert!(page.contains(&said), "{name}: {said}\n{page}");
        }
    }
}

#[test]
fn an_inch_kit_is_told_the_same_in_inches() {
    let [metric, inch] = [false, true].map(|inches| digest(&worked("desk-stage", inches), None));
    // 10 mm and 0.75 mm at 25.4 mm an inch (exact by definition).
    assert!(
        inch.contains("0.3937 in (10") && inch.contains("0.0295 in (0.75 mm)"),
        "{inch}"
    );
    assert!(!metric.contains(" in ("), "{metric}");
}

#[test]
fn the_digest_says_to_print_test_pieces_first_and_the_command_is_one_that_works() {
    let room = shell::room();
    let kit = preset("desk-stage") + "tolerance = 0.1\n";
    fs::write(room.path().join("stage.toml"), kit).unwrap();
    let output = netlead(room.path(), &["make", "stage.toml"]);
    let page = unfolded(&stdout(&output));
    let (_, rest) = page.split_once("step 0 ").expect("a step 0");
    let (_, command) = rest.split_once(": netlead ").expect("a command");
    let command: Vec<&str> = command.split(' ').take(3).collect();
    assert_eq!(command, ["coupon", "stage.toml", "--quick"]);
    let done = netlead(room.path(), &command);
    assert_eq!(code(&done), 0, "{}", stderr(&done));
    // What is told of their time is what they take.
    let minutes = rest
        .split("about ")
        .nth(1)
        .unwrap()
        .split(':')
        .next()
        .unwrap();
    assert!(
        unfolded(&stdout(&done)).contains(&format!("about {minutes}")),
        "{minutes}"
    );
    assert!(page.contains("guide.html there"), "{page}");
    let guide = fs::read_to_string(room.path().join("out/desk-stage/guide.md")).unwrap();
    assert!(guide.contains("## Step 0: the quick test pieces"));
    assert!(guide.contains("### 1. "), "steps begin behind step 0");
    assert!(!guide.contains("### 0. "));
}

#[test]
fn a_check_without_all_tells_every_failure_with_its_mend_and_only_counts_notes() {
    let room = shell::room();
    // A whole hand at the stop overloads several places of the desk stage.
    let kit = preset("desk-stage").replace("hand_torque = \"1.2 N m\"", "hand_torque = 2");
    fs::write(room.path().join("kit.toml"), kit).unwrap();
    let output = netlead(room.path(), &["check", "kit.toml"]);
    assert_eq!(code(&output), 1);
    let page = unfolded(&stdout(&output));
    let report = netlead(room.path(), &["check", "kit.toml", "--json"]);
    let report: Value = serde_json::from_str(&stdout(&report)).unwrap();
    let mut notes = 0;
    for check in report["checks"].as_array().unwrap() {
        let outcome = check["outcome"].as_str().unwrap();
        match outcome {
            "fail" | "warn" => {
                let id = check["id"].as_str().unwrap();
                let mend = unfolded(check["mend"].as_str().unwrap());
                assert!(page.contains(&format!("{outcome} {id}")), "{id}: {page}");
                assert!(page.contains(&mend), "{mend}: {page}");
            }
            "note" => notes += 1,
            _ => {}
        }
    }
    let counted = match notes {
        1 => "(1 note)".to_owned(),
        many => format!("({many} notes)"),
    };
    assert!(page.contains(&counted), "{counted}: {page}");
    let all = netlead(room.path(), &["check", "kit.toml", "--all"]);
    assert!(stdout(&all).starts_with(&stdout(&output)));
}
