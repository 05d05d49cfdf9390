//! Dowels to buy, as the bill names them, against published values; and that nothing that is bought
//! ever has a file, while all of it stands in the checks as a solid.

use crate::support::bench::Bench;
use crate::support::kits::{self, said};
use crate::support::{left, mm, right};
use netlead::assembly::{Made, Part};
use netlead::kit::{BoughtNut, Kit, Mechanism, Nut, Pins, Spring, Tandem};
use netlead::layout::Design;
use netlead::output::part::{Maker, PartBody};
use netlead::strength::{CoilSpring, Winding};
use netlead::thread::Thread;
use netlead::units::Length;

/// Nominal diameter in mm, m6 in micrometres and the longest in mm. Diameters: published list of sizes
/// after ISO 2338; m6: published page of dowel pins after ISO m6; longest: ISO 2338, from memory.
const ROWS: [(f64, [f64; 2], f64); 2] = [(3.0, [2.0, 8.0], 30.0), (4.0, [4.0, 12.0], 40.0)];

/// A thread of a standard.
fn standard(designation: &str) -> Thread {
    designation.parse().unwrap()
}

/// A kit that buys pins, its frame of a side in mm.
fn with_pins(mut kit: Kit, diameter: Length, side: Option<f64>) -> Kit {
    kit.pins = Pins {
        diameter: Some(said(diameter)),
        buy: Some(said("dowel".into())),
        held_by: kit.pins.held_by,
        grades: said(false),
    };
    kit.sizes.frame_side = side.map(|side| said(mm(side)));
    kit
}

/// What is bought, each part with its description.
fn bought(design: &Design) -> Vec<(&Part, &str)> {
    let parts = design.assembly.parts.iter();
    let bought = parts.filter_map(|part| match &part.made {
        Made::Bought(named) => Some((part, named.as_str())),
        Made::Printed => None,
    });
    bought.collect()
}

fn named(kit: &Kit) -> String {
    let design = kits::design(kit);
    let [(_, named)] = bought(&design)[..] else {
        panic!("one sort of part to buy");
    };
    named.into()
}

#[test]
fn a_metric_dowel_has_the_diameter_tolerance_and_length_of_its_standard() {
    for (diameter, [low, high], longest) in ROWS {
        // Pins end 1 mm below both faces.
        let kit = |room: f64| {
            let base = kits::kit(right(12.0, 1.75), None, 10.0);
            with_pins(base, mm(diameter), Some(room + 2.0))
        };
        // No frame is narrower than its bore asks.
        let length = longest.max(32.0);
        let told = named(&kit(length));
        if length <= longest {
            let designation = format!("ISO 2338 - {diameter} m6 x {length} - St");
            assert!(told.contains(&designation), "{told}");
            let across = format!("{} to {} mm", diameter + low / 1e3, diameter + high / 1e3);
            assert!(told.contains(&across), "{told}");
        }
        let beyond = named(&kit(longest + 15.0));
        assert!(beyond.contains("cut from ground steel bar"), "{beyond}");
    }
}

/// One kit of every sort of part to buy.
fn kits_that_buy() -> Vec<Kit> {
    let spring = |outside: f64| {
        Some(Spring {
            coil: CoilSpring {
                wire: mm(1.2),
                outside: mm(outside),
                free: mm(60.0),
                winding: Winding::Coils(5.0),
            },
            pull: None,
        })
    };
    let mut nested = with_pins(kits::m20_m12(), mm(5.0), None);
    nested.spring = spring(16.0);
    let single = with_pins(kits::left_single(), Length::inches(0.1875), None);
    let nut = BoughtNut {
        written: said("M16".into()),
        standard: "ISO 4032",
        across_flats: mm(24.0),
        least_across_flats: mm(23.67),
        height: mm(14.8),
        least_height: mm(14.1),
    };
    let mut tandem = kits::tandem(standard("M24x3"), standard("M16x2"), 10.0);
    tandem.mechanism = Mechanism::Tandem(Tandem {
        drive: standard("M24x3"),
        thin: standard("M16x2"),
        nut: Nut::Bought(nut),
    });
    tandem.spring = spring(22.5);
    let opposed = kits::opposed(right(16.0, 2.0), left(16.0, 2.0), 15.0);
    vec![
        nested,
        single,
        with_pins(tandem, mm(5.0), None),
        with_pins(opposed, mm(5.0), None),
    ]
}

#[test]
fn whatever_is_bought_is_a_solid_with_a_description_and_never_a_file() {
    let mut sorts = std::collections::BTreeSet::new();
    for kit in kits_that_buy() {
        let bench = Bench::kept(&kit, 0.05);
        let maker = Maker {
            kit: "test",
            tolerance: mm(0.05),
        };
        for (part, told) in bought(&bench.design) {
            sorts.insert(part.name.clone());
            let whole = [
                "ISO 2338 - ",
                "ASME B18.8.2",
                "ISO 4032 - ",
                "ground steel bar, ",
                "compression spring, wire ",
            ];
            assert!(whole.iter().any(|words| told.contains(words)), "{told}");
            // Its print note would say how it lies on a bed.
            assert!(part.print_note.is_empty(), "{}", part.print_note);
            let bodies = maker.bodies(std::slice::from_ref(part), &|_| {}).unwrap();
            let [PartBody::Bought(mesh)] = &bodies[..] else {
                panic!("the {} has a file", part.name);
            };
            assert!(bodies[0].written().is_none());
            assert!(mesh.volume_mm3() > 1.0);
        }
    }
    let sorts: Vec<_> = sorts.iter().map(String::as_str).collect();
    assert_eq!(sorts, ["coupling-pin", "nut", "pin", "spring"]);
}
