//! Pins that are bought: the longest stock dowel that the frame has room for, and no longer one.

use super::asked::Asked;
use super::made::{Told, every_kit, number};
use crate::support::kits;
use crate::support::mm;
use netlead::assembly::Made;
use netlead::kit::{Kit, Pins};
use netlead::units::Length;

/// A pin ends this far below both faces of the frame, in mm (docs/sizing.md).
const BELOW: f64 = 1.0;
/// Lengths of metric dowels from the least frame's up, in mm (ISO 2338, from memory).
const METRIC: [f64; 16] = [
    28.0, 30.0, 32.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 85.0, 90.0, 95.0,
];
/// Inch dowels come in quarters (common practice); an inch is 25.4 mm.
const INCH: f64 = 25.4;
/// What is told in hundredths of a millimetre may be off by this, and a length may be rounded.
const ROUNDED: f64 = 0.006;

/// A dowel pin as the bill names it, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Dowel {
    pub(crate) diameter: f64,
    pub(crate) length: f64,
}

impl Dowel {
    /// `dowel pin ISO 2338 - 5 m6 x 32 - St, ...`, `dowel pin 3/16 in x 1 1/2 in (4.76 x 38.1 mm), ...`,
    /// or cut from `ground steel bar, 5 h8 x 55 mm, ...`.
    pub(crate) fn read(bought: &str) -> Self {
        let begins = ["(", "ISO 2338 - ", "bar, "];
        let sizes = begins.iter().find_map(|begin| bought.split(begin).nth(1));
        let (diameter, length) = sizes.unwrap().split_once(" x ").unwrap();
        let first = |text: &'_ str| -> String { text.split([' ', ')']).next().unwrap().into() };
        let (diameter, length) = (first(diameter), first(length));
        Self {
            diameter: diameter.parse().unwrap(),
            length: length.parse().unwrap(),
        }
    }
}

/// Stock lengths for a diameter.
fn stock(diameter: f64) -> Vec<f64> {
    let eighths = diameter / INCH * 16.0;
    if (eighths - eighths.round()).abs() < ROUNDED {
        (4..16)
            .map(|quarters| f64::from(quarters) * INCH / 4.0)
            .collect()
    } else {
        METRIC.into()
    }
}

/// What is wrong with a dowel in a frame of a side.
fn misfit(dowel: Dowel, side: f64) -> Option<String> {
    let room = side - 2.0 * BELOW;
    let stock = stock(dowel.diameter);
    let place = stock
        .iter()
        .position(|length| (length - dowel.length).abs() < ROUNDED);
    let longer = place.and_then(|place| stock.get(place + 1));
    let fits = dowel.length <= room + ROUNDED && longer.is_some_and(|longer| *longer > room);
    (!fits).then(|| format!("{dowel:?} in {side}, the next is {longer:?}"))
}

#[test]
fn a_bought_pin_is_as_long_as_the_written_frame_has_room_for() {
    let mut bought = 0;
    for made in super::made::kits() {
        bought += usize::from(made.told.bought("pin").is_some());
    }
    assert!(bought >= 3, "{bought} kits buy their pins");
    every_kit(|made| {
        let Some(named) = made.told.bought("pin") else {
            return Vec::new();
        };
        let [across, deep, _] = made.part("frame").size();
        let mut faults: Vec<String> = misfit(Dowel::read(named), across).into_iter().collect();
        if (across - deep).abs() > 1e-3 {
            faults.push(format!("a frame of {across} x {deep}"));
        }
        faults
    });
}

/// A single kit that buys its pins, its frame of a side in mm.
fn kit(diameter: Length, inches: bool, side: f64) -> Kit {
    let mut kit = kits::kit(crate::support::right(12.0, 1.75), None, 10.0);
    kit.inches = inches;
    kit.pins = Pins {
        diameter: Some(kits::said(diameter)),
        buy: Some(kits::said("dowel".into())),
        ..kit.pins
    };
    kit.sizes.frame_side = Some(kits::said(mm(side)));
    kit
}

/// Every bought pin of a kit.
fn named(kit: &Kit) -> Vec<Dowel> {
    let parts = kits::design(kit).assembly.parts;
    let bought = parts.iter().filter_map(|part| match &part.made {
        Made::Bought(named) => Some(Dowel::read(named)),
        Made::Printed => None,
    });
    bought.collect()
}

#[test]
fn a_dowel_is_named_up_to_the_last_hundredth_of_its_room_and_never_beyond() {
    let metric = METRIC
        .iter()
        .copied()
        .filter(|length| *length >= 32.0 && *length < 95.0);
    let inch = (5..15).map(|quarters| f64::from(quarters) * INCH / 4.0);
    let all = metric
        .map(|length| (Length::mm(3.0), false, length))
        .chain(inch.map(|length| (Length::inches(0.125), true, length)));
    let mut wrong = Vec::new();
    for (diameter, inches, length) in all {
        // Just room for it, as much as it is long, and just none.
        for (spare, fits) in [(0.01, true), (0.0, true), (-0.01, false)] {
            let side = length + 2.0 * BELOW + spare;
            let [dowel] = named(&kit(diameter, inches, side))[..] else {
                panic!("a kit buys one sort of pin");
            };
            let whole = (dowel.length - length).abs() < ROUNDED;
            if whole != fits || (dowel.diameter - diameter.as_mm()).abs() > ROUNDED {
                wrong.push(format!("{dowel:?} for {length} in {side}"));
            }
            wrong.extend(misfit(dowel, side));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_kit_file_at_the_boundary_gets_the_dowel_that_just_fits() {
    for (side, buy, length) in [
        ("42", "5 mm", 40.0),
        ("41.99", "5 mm", 35.0),
        ("82", "6 mm", 80.0),
        ("40.1", "3/16", 1.5 * INCH),
        ("40.09", "3/16", 1.25 * INCH),
    ] {
        let buy = format!("pins.buy = \"{buy} dowel\"");
        let lines = [
            &*buy,
            &*format!("sizes.frame_side = {side}"),
            "tolerance = 0.05",
        ];
        let told = Told::new(&Asked::new("M16x2", None, 20.0, &lines)).unwrap();
        let dowel = Dowel::read(told.bought("pin").unwrap());
        assert!(
            (dowel.length - length).abs() < ROUNDED,
            "{dowel:?} in {side}"
        );
        let frame = told.report["parts"].as_array().unwrap().iter();
        let mut frame = frame.filter(|part| part["name"] == "frame");
        let across = number(&frame.next().unwrap()["size_mm"][0]);
        assert_eq!(misfit(dowel, across), None, "{side}");
    }
}
