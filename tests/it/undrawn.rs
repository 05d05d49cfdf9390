//! What needs no mesh is judged first: a kit that fails by it is not drawn, and what is told of it is what
//! would be told if it were.

use crate::support::shell::{self, command, data, done, netlead, refused, room, stdout, unfolded};
use netlead::check::{self, Outcome};
use netlead::making::{self, InMemory, Read, Wanted};
use netlead::output::kit::Product;
use netlead::output::kit::report::Report;
use netlead::output::page::vary_table::needs_meshes;
use serde_json::Value;
use std::fs;
use std::sync::atomic::{AtomicUsize, Ordering};

/// A hand breaks it, and its tolerance keeps the tests short.
const WEAK: &str = "name = \"weak\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n\
                    stroke = 10\nhand_torque = 45\ntolerance = 0.08\n";

fn read(text: &str) -> Read {
    making::read("kit.toml", text, &InMemory::none()).unwrap()
}

fn never(part: &str) {
    panic!("{part} is drawn");
}

fn report(product: &Product) -> Value {
    serde_json::from_str(&Report::new(product, &[]).to_json().unwrap()).unwrap()
}

/// The presets by name, with their text.
fn presets() -> Vec<(String, String)> {
    let names = shell::presets().into_iter();
    names
        .map(|name| (name.clone(), shell::preset(&name)))
        .collect()
}

/// The checks of a report by the rules that need no meshes.
fn of_sizes(report: &Value) -> Vec<&Value> {
    let checks = report["checks"].as_array().unwrap().iter();
    let rule = |check: &&Value| check::rule(check["id"].as_str().unwrap()).unwrap();
    checks.filter(|check| !rule(check).needs_meshes()).collect()
}

#[test]
fn whatever_is_told_without_meshes_is_told_the_same_with_them() {
    for (name, text) in presets() {
        let read = read(&text);
        let [drawn, undrawn] = [read.work(&|_| {}), read.by_sizes(Wanted::ALL)]
            .map(|product| product.unwrap_or_else(|why| panic!("{name}: {why:?}")));
        assert!(drawn.is_drawn() && !undrawn.is_drawn());
        let [drawn, undrawn] = [&drawn, &undrawn].map(report);
        let mut same = 0;
        for (section, value) in undrawn.as_object().unwrap() {
            if !needs_meshes(section) {
                assert_eq!(*value, drawn[section], "{name}: {section}");
                same += 1;
            }
        }
        assert!(same >= 7, "{same}");
        assert_eq!(of_sizes(&undrawn), of_sizes(&drawn), "{name}");
        // What hangs on meshes is left out, not made up.
        for missing in ["print", "least_gap_mm", "removals"] {
            assert!(
                undrawn[missing].is_null() && !drawn[missing].is_null(),
                "{name}: {missing}"
            );
        }
        for missing in ["pairs", "steps"] {
            assert_eq!(
                undrawn[missing].as_array().map(Vec::len),
                Some(0),
                "{name}: {missing}"
            );
        }
        for part in undrawn["parts"].as_array().unwrap() {
            assert!(
                part["volume_mm3"].is_null() && part["mass_g"].is_null(),
                "{part}"
            );
        }
    }
}

#[test]
fn a_kit_that_fails_without_meshes_costs_none_and_one_that_passes_or_waives_it_is_drawn() {
    let product = read(WEAK).judge(&never).unwrap();
    assert!(product.fails() && !product.is_drawn());
    let failed: Vec<&str> = product
        .findings
        .iter()
        .filter(|one| one.outcome == Outcome::Fail)
        .map(|one| one.id)
        .collect();
    // Every one of them has its mend, and every one that would fail with meshes is there.
    let all = read(WEAK).work(&|_| {}).unwrap();
    let failing = all
        .findings
        .iter()
        .filter(|one| one.outcome == Outcome::Fail);
    let failing: Vec<&str> = failing
        .map(|one| one.id)
        .filter(|id| !check::rule(id).unwrap().needs_meshes())
        .collect();
    assert_eq!(failed, failing);
    assert!(
        product
            .findings
            .iter()
            .filter(|one| one.outcome == Outcome::Fail)
            .all(|one| one.mend.is_some())
    );
    let mut rules = failed.clone();
    rules.dedup();
    let waivers = rules.iter().map(|id| {
        format!("[[waive]]\ncheck = \"{id}\"\nreason = \"it is turned by two fingers\"\n")
    });
    let waived = format!("{WEAK}{}", waivers.collect::<String>());
    let gentle = WEAK.replace("hand_torque = 45", "hand_torque = 0.3");
    for text in [waived, gentle] {
        let drawn = AtomicUsize::new(0);
        let product = read(&text).judge(&|_| {
            drawn.fetch_add(1, Ordering::Relaxed);
        });
        assert!(
            product.unwrap().is_drawn() && drawn.into_inner() > 3,
            "{text}"
        );
    }
    // A part that stands out of the printer is known before it is drawn.
    let low = WEAK.replace(
        "hand_torque = 45",
        "hand_torque = 0.3\nbed = [220, 220, 60]",
    );
    let product = read(&low).judge(&never).unwrap();
    assert!(
        product
            .findings
            .iter()
            .any(|one| one.id == "bed" && one.outcome == Outcome::Fail)
    );
}

#[test]
fn the_page_of_a_kit_that_is_not_drawn_tells_what_is_known_and_that_the_rest_is_not_judged() {
    let room = room();
    fs::write(room.path().join("kit.toml"), WEAK).unwrap();
    for arguments in [
        &["check", "kit.toml"][..],
        &["make", "kit.toml"],
        &["check", "kit.toml", "--all"],
    ] {
        let ran = netlead(room.path(), arguments);
        assert_eq!(ran.status.code(), Some(1), "{arguments:?}");
        let page = unfolded(&stdout(&ran));
        for words in [
            "not ready: first mend stop-load",
            "nothing was drawn, since what fails comes first",
            "net lead 0.75 mm",
            "lost motion",
        ] {
            assert!(page.contains(words), "{arguments:?}: {words}\n{page}");
        }
        // Nothing is told that was not worked out.
        assert!(!page.contains("to print "), "{page}");
    }
    assert!(!room.path().join("out").exists());
    let told = netlead(room.path(), &["check", "kit.toml", "--json"]);
    let told: Value = serde_json::from_slice(&told.stdout).unwrap();
    assert_eq!(told["drawn"], false);
    assert_eq!(told["motion"]["net_lead_mm"], 0.75);
    // A waiver of what was not judged is not said to be idle.
    let waived = format!("{WEAK}[[waive]]\ncheck = \"overhang\"\nreason = \"it was looked at\"\n");
    fs::write(room.path().join("kit.toml"), waived).unwrap();
    let said = refused(room.path(), 1, &["check", "kit.toml"]);
    assert!(!said.contains("waives nothing"), "{said}");
}

#[test]
fn a_row_of_a_table_is_the_same_with_meshes_and_without() {
    let room = room();
    let told = "net-lead,turns,lost-motion,torque,efficiency,safe-load,checks.stop-load.value,checks.stops.value";
    for (name, text) in presets() {
        fs::write(room.path().join("kit.toml"), text).unwrap();
        let rows = |tell: &str| {
            let arguments = [
                "vary",
                "kit.toml",
                "tolerance=0.05 mm",
                "--json",
                "--tell",
                tell,
            ];
            data(room.path(), &arguments)[0].clone()
        };
        let (quick, slow) = (rows(told), rows(&format!("{told},mass")));
        for (place, value) in quick["told"].as_object().unwrap() {
            assert_eq!(*value, slow["told"][place], "{name}: {place}");
            assert!(
                !value.is_null() || place.contains("torque") || place.contains("efficiency"),
                "{name}: {place}"
            );
        }
        let [quick, slow] = [&quick, &slow].map(|row| row["verdict"].as_str().unwrap().to_owned());
        assert!(
            quick.starts_with("nothing fails so far") && quick.ends_with("meshes not judged"),
            "{name}: {quick}"
        );
        assert!(slow.starts_with("ready"), "{name}: {slow}");
    }
}

#[test]
fn a_row_that_fails_by_sizes_says_so_and_leaves_out_what_hangs_on_meshes() {
    let room = room();
    fs::write(room.path().join("kit.toml"), WEAK).unwrap();
    let vary = [
        "vary",
        "kit.toml",
        "hand_torque=0.3,45",
        "--csv",
        "--tell",
        "net-lead,mass",
    ];
    let table = done(room.path(), &vary);
    let rows: Vec<Vec<&str>> = table
        .lines()
        .skip(1)
        .map(|row| row.split(',').collect())
        .collect();
    assert!(
        rows[0][2].parse::<f64>().unwrap() > 10.0 && rows[0][3].contains("ready"),
        "{table}"
    );
    assert_eq!(rows[1][1..3], ["0.75", ""], "{table}");
    assert!(
        table.lines().last().unwrap().contains("meshes not judged"),
        "{table}"
    );
    // If all rows fail, a name that hangs on meshes is no slip; one that no report has still is.
    let all = ["vary", "kit.toml", "hand_torque=45", "--tell", "mass"];
    assert!(done(room.path(), &all).contains("fails stop-load"));
    let slip = command(
        room.path(),
        &[
            "vary",
            "kit.toml",
            "hand_torque=45",
            "--tell",
            "motion.net_led_mm",
        ],
    )
    .output()
    .unwrap();
    assert_eq!(slip.status.code(), Some(2));
}
