//! What the guide tells a maker at the bench: the way apart, pins in and out, grease, seams, and what
//! to do about troubles, held against the data that it is said of.

use crate::random_kits::{accepts, drawn};
use crate::support::shell::{preset, presets};
use netlead::assembly::{Fit, JointId, Made, PartId, Perimeters, TAKING_APART};
use netlead::check;
use netlead::kit::{self, JointGap, Said, edit};
use netlead::layout::{self, Design};
use netlead::making::{self, InMemory, Read};
use netlead::output::guide;
use netlead::output::kit::Product;
use netlead::output::kit::troubles::{Mend, troubles};
use netlead::output::page::take_apart;
use netlead::sequence::Order;
use netlead::units::Length;
use rayon::prelude::*;
use std::sync::OnceLock;

/// A seed of no meaning, and how many random kits of it are looked at beside the presets.
const SEED: u64 = 12;
const SAMPLE: u64 = 10;

/// One kit, worked out.
struct Worked {
    text: String,
    read: Read,
    product: Product,
}

fn worked(text: String) -> Option<Worked> {
    let read = making::read("kit.toml", &text, &InMemory::none()).ok()?;
    let mut product = read.work(&|_| {}).ok()?;
    read.what_gaps_shape(&mut product);
    Some(Worked {
        text,
        read,
        product,
    })
}

/// Every preset and some random kits, worked out once for all tests.
fn kits() -> &'static [Worked] {
    static KITS: OnceLock<Vec<Worked>> = OnceLock::new();
    KITS.get_or_init(|| {
        let presets = presets().into_iter().map(|name| preset(&name));
        let random = (0..SAMPLE).map(|number| drawn::accepted(SEED, number, accepts));
        let texts: Vec<String> = presets.chain(random).collect();
        let worked: Vec<Worked> = texts.into_par_iter().filter_map(worked).collect();
        assert!(worked.len() > presets_count(), "hardly any random kit");
        worked
    })
}

fn presets_count() -> usize {
    presets().len()
}

/// The guide's section of a title, up to the next of its kind.
fn section<'a>(guide: &'a str, title: &str) -> &'a str {
    let (_, rest) = guide
        .split_once(&format!("\n## {title}\n"))
        .unwrap_or_else(|| panic!("no {title}: {guide}"));
    rest.split("\n## ").next().unwrap()
}

/// The design of a kit in which one joint asks for another gap by itself, a little more or less.
fn with_gap(worked: &Worked, joint: &str, wanted: Length) -> Option<Design> {
    [0.02, -0.02].into_iter().find_map(|step| {
        let mut kit = worked.read.kit.clone();
        kit.gaps.joints.retain(|given| given.joint.value != joint);
        kit.gaps.joints.push(JointGap {
            joint: Said::default_value(joint.into()),
            wanted: Said::default_value(wanted + Length::mm(step)),
        });
        layout::design(&kit, &worked.read.profile).ok()
    })
}

/// The joint that a key asks for by itself.
fn joint_of(product: &Product, mend: &Mend) -> Option<JointId> {
    let name = mend.key.strip_prefix("gaps.joint.\"")?.strip_suffix('"')?;
    let joints = &product.design.assembly.joints;
    let place = joints.iter().position(|joint| joint.name == name);
    Some(JointId(place.unwrap_or_else(|| panic!("no joint {name}"))))
}

#[test]
fn every_key_that_a_trouble_names_is_one_of_the_kit_and_every_part_is_printed_in_it() {
    for worked in kits() {
        let Worked { text, product, .. } = worked;
        let all = troubles(product);
        assert!(all.len() >= 4, "{text}");
        let guide = guide::text(product);
        let told = section(&guide, "Troubles");
        let mut own = 0;
        for mend in all.iter().flat_map(|trouble| &trouble.mends) {
            assert!(
                told.contains(&format!("`{}`", mend.key)),
                "{}: {told}",
                mend.key
            );
            assert!(!mend.reprint.is_empty(), "{text}{}", mend.key);
            for part in &mend.reprint {
                let part = &product.design.assembly.parts[part.0];
                assert_eq!(part.made, Made::Printed, "{text}{}", mend.key);
                assert!(told.contains(part.called));
            }
            if joint_of(product, mend).is_some() {
                own += 1;
                continue;
            }
            let typed = edit::with_value(text, &mend.key, "\"77 mm\"").expect("a key");
            let problems = match kit::read(&typed, &check::ids()) {
                Ok(_) => Vec::new(),
                Err(problems) => problems,
            };
            for problem in problems {
                let unknown =
                    problem.message.contains("unknown") || problem.message.contains("no use");
                assert!(!unknown, "{}: {}", mend.key, problem.message);
            }
        }
        assert!(own > 4, "{text}");
    }
}

#[test]
fn what_is_to_be_printed_again_for_a_gap_is_what_that_gap_shapes() {
    for worked in kits() {
        let product = &worked.product;
        let assembly = &product.design.assembly;
        for mend in troubles(product).iter().flat_map(|trouble| &trouble.mends) {
            let Some(joint) = joint_of(product, mend) else {
                continue;
            };
            let joint = assembly.joint(joint);
            let wanted = joint.gap.expect("a gap").wanted;
            let moved = with_gap(worked, &joint.name, wanted);
            let moved = moved.unwrap_or_else(|| panic!("{}: {}", worked.text, mend.key));
            let parts = assembly.parts.iter().zip(&moved.assembly.parts).enumerate();
            let reshaped = parts.filter(|(_, (old, new))| {
                old.made == Made::Printed
                    && format!("{:?}", old.shape) != format!("{:?}", new.shape)
            });
            let reshaped: Vec<PartId> = reshaped.map(|(index, _)| PartId(index)).collect();
            assert_eq!(mend.reprint, reshaped, "{}{}", worked.text, mend.key);
        }
    }
}

#[test]
fn the_way_apart_is_the_order_that_was_found_and_every_step_that_asks_for_it_names_it() {
    let mut asking = 0;
    for Worked { text, product, .. } in kits() {
        let guide = guide::text(product);
        for step in &product.design.steps {
            let asks = ["mechanism apart", "drive it out", "stop pin out"];
            if asks.iter().any(|asks| step.text.contains(asks)) {
                asking += 1;
                assert!(step.text.contains(TAKING_APART), "{}", step.text);
            }
        }
        let Some(Order::Apart { removals, .. }) = &product.order else {
            assert!(!guide.contains(&format!("## {TAKING_APART}")), "{text}");
            continue;
        };
        let way = section(&guide, TAKING_APART);
        let lines: Vec<&str> = way
            .lines()
            .filter(|line| {
                line.split_once(". ")
                    .is_some_and(|(n, _)| n.parse::<u32>().is_ok())
            })
            .collect();
        assert_eq!(lines.len(), removals.len(), "{way}");
        for (line, removed) in lines.iter().zip(removals) {
            if removed.is_driven() {
                assert!(line.contains("drive turned"), "{line}");
                continue;
            }
            for piece in &removed.pieces {
                let called = product.design.assembly.called(*piece);
                let named = line.to_lowercase().contains(called);
                assert!(named, "{called}: {line}");
            }
            // What leaves away from the drive head is seen from the end by which it is turned.
            let far = line.contains("seen from the end that comes out first");
            assert_eq!(
                far,
                removed.motion.turns != 0.0 && removed.motion.distance > Length::ZERO,
                "{line}"
            );
            let turned = removed.motion.turns * if far { -1.0 } else { 1.0 };
            let clockwise = line.contains(": clockwise");
            let counter = line.contains(": counter-clockwise");
            assert_eq!([turned > 0.0, turned < 0.0], [clockwise, counter], "{line}");
        }
        // Every pressed pin has its line among the pins, and its word on ribs.
        let pins = section(&guide, "Pins, in and out");
        for joint in &product.design.assembly.joints {
            if joint.fit == Fit::Press {
                let pin = product.design.assembly.called(joint.between[0]);
                assert!(pins.to_lowercase().contains(pin), "{pin}: {pins}");
                assert!(way.contains(pin), "{pin}: {way}");
            }
        }
    }
    assert!(asking > 0, "no step asks for the way apart");
}

#[test]
fn a_pin_goes_in_against_the_motion_by_which_it_was_found_to_come_out() {
    let Worked { product, .. } = worked(preset("desk-stage")).expect("a kit");
    let pins = section(&guide::text(&product), "Pins, in and out").to_owned();
    // Holes by which pins go in are wider than those that hold them: that is the V side (`hand/sides`).
    let side = "Keeper pin 1: in away from the V side, out towards the V side.";
    assert!(pins.contains(side), "{pins}");
    assert!(pins.contains("the carriage (a V across one ear"), "{pins}");
    // The pins of a printed kit are 2 mm shorter than what they go through.
    assert!(
        pins.contains("tape around the punch 1 mm from its end"),
        "{pins}"
    );
    let Worked { product, .. } = worked(preset("board-stop")).expect("a kit");
    let guide = guide::text(&product);
    assert!(
        !section(&guide, "Pins, in and out").contains("tape"),
        "stock dowels"
    );
    assert!(section(&guide, TAKING_APART).contains("the dowel goes back"));
}

#[test]
fn a_coupling_pin_that_no_punch_reaches_from_below_is_driven_as_far_as_its_sleeve_turns_free() {
    for name in ["centring-jaws", "self-centring-vise"] {
        let Worked { product, .. } = worked(preset(name)).expect("a kit");
        let guide = guide::text(&product);
        let way = section(&guide, TAKING_APART);
        let (_, rest) = way.split_once("until it stands ").expect("how far");
        let out: f64 = rest.split(' ').next().unwrap().parse().unwrap();
        // By the recipes of the parts, which the mesh is made from.
        let recipe = |part: &str, name: &str| {
            let parts = &product.design.assembly.parts;
            let part = parts.iter().find(|known| known.name == part).unwrap();
            let known = part.recipe.iter().find(|(known, _)| *known == name);
            known
                .unwrap_or_else(|| panic!("{name}: {:?}", part.recipe))
                .1
                .as_mm()
        };
        let (width, slide) = (
            recipe("frame", "carriage's width"),
            recipe("frame", "slide gap"),
        );
        let floor = recipe("frame", "channel's floor").abs();
        let radius = recipe("far-shaft", "sleeve") / 2.0;
        assert!(
            radius + out < width / 2.0 + slide,
            "{name}: {radius} + {out} of {width}"
        );
        assert!(
            radius + out < floor + slide,
            "{name}: {radius} + {out} of {floor}"
        );
    }
}

#[test]
fn grease_is_told_for_the_filament_and_for_the_friction_that_was_reckoned_with() {
    let told = |text: &str| {
        let Worked { product, .. } = worked(text.to_owned()).expect("a kit");
        section(&guide::text(&product), "Running in and grease").to_owned()
    };
    let pla = told(&preset("desk-stage"));
    for fact in [
        "silicone grease",
        "None on pins",
        "No mineral oil",
        "solvent",
        "Engine oil",
    ] {
        assert!(pla.contains(fact), "{fact}: {pla}");
    }
    assert!(pla.contains("reckoned for dry threads") && pla.contains("`grease = true`"));
    let abs = preset("desk-stage").replace("\"PLA\"", "\"ABS\"");
    assert!(told(&abs).contains("acetone") && !told(&abs).contains("Engine oil"));
    let greased = preset("desk-stage") + "grease = true\n";
    assert!(told(&greased).contains("reckoned for greased threads"));
}

#[test]
fn every_printed_part_is_told_its_inside_and_where_its_seam_goes_in_guide_and_bill() {
    for Worked { product, .. } in kits() {
        let guide = guide::text(product);
        let notes = section(&guide, "Printing");
        let rows = netlead::output::kit::bill::rows(product);
        for part in &product.design.assembly.parts {
            if part.made != Made::Printed {
                continue;
            }
            let file = format!("parts/{}.stl,", part.name);
            let line = notes
                .lines()
                .find(|line| line.contains(&file))
                .expect("a note");
            let inside = match part.perimeters {
                Perimeters::Solid => "infill 100 %",
                Perimeters::Lines(_) => "infill 20 %",
            };
            assert!(line.contains(inside) && line.contains("seam"), "{line}");
            let row = rows
                .iter()
                .find(|row| row.name == part.name)
                .expect("a row");
            assert!(row.print_note.contains(inside) && row.print_note.contains("seam"));
        }
    }
}

#[test]
fn an_inch_guide_has_millimetres_in_brackets_alone_and_a_metric_one_no_inches() {
    for Worked { text, product, .. } in kits() {
        let guide = guide::text(product);
        for line in guide.lines() {
            for (place, _) in line.match_indices(" mm") {
                let before = &line[..place];
                let bracketed = before.matches('(').count() > before.matches(')').count();
                // A layer and a line are set at the printer, in millimetres everywhere.
                let setting = before.contains("`layer = ") || before.contains("`line = ");
                assert!(
                    !product.kit.inches || bracketed || setting,
                    "{text}: {line}"
                );
            }
            let inches = line.split(" in (").count() > 1 && !line.contains(" mm");
            assert!(product.kit.inches || !inches, "{text}: {line}");
        }
    }
}

#[test]
fn no_turn_is_told_with_a_sign() {
    let mut before = 0;
    for kit in kits() {
        let guide = guide::text(&kit.product);
        let apart = take_apart::page(&kit.product);
        for told in [&guide, &apart] {
            for sign in ["turn -", "turn \\-", "turn \u{2212}"] {
                assert!(!told.contains(sign), "{}: {told}", kit.text);
            }
        }
        let words = guide.split_whitespace().collect::<Vec<_>>().join(" ");
        before += usize::from(words.contains("turns before turn 0"));
    }
    assert!(before >= 2, "{before} kits start before turn 0");
}
