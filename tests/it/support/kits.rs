//! Kits by hand, and random ones that can be built.

use super::{left, mm, right, thread};
use crate::support::sizes::{End, sizes};
use netlead::assembly::{Perimeters, Slender};
use netlead::kit::{
    GivenPerimeters, GivenSizes, Grip, Head, Hexagon, Kit, Load, Mechanism, Nested, Nut, Odds,
    Opposed, Pins, Prices, Said, Single, Tandem, WantedGaps,
};
use netlead::layout::Design;
use netlead::printer::Profile;
use netlead::strength::{Friction, Material};
use netlead::thread::{Hand, Thread};
use netlead::units::{Length, Torque};
use proptest::prelude::*;

/// The mechanism of a kit that can be drawn, its gaps those of an untuned printer.
pub(crate) fn design(kit: &Kit) -> Design {
    netlead::layout::design(kit, &Profile::untuned_for(kit)).expect("a kit that can be drawn")
}

/// A default.
pub(crate) fn said<T>(value: T) -> Said<T> {
    Said { value, at: None }
}

/// A kit with the shipped defaults at 0.15 mm layers, but for the gaps of the hand calculations in
/// these tests; single without an inner thread.
pub(crate) fn kit(drive: Thread, inner: Option<Thread>, stroke: f64) -> Kit {
    let mechanism = match inner {
        Some(inner) => Mechanism::Nested(Nested { drive, inner }),
        None => Mechanism::Single(Single { drive }),
    };
    Kit {
        name: said("test".into()),
        inches: false,
        mechanism,
        stroke: said(mm(stroke)),
        net_lead: None,
        advance: None,
        head: Head::Hexagon(Hexagon::default()),
        end: said(netlead::kit::End::Flush),
        mount: said(netlead::kit::Mount::None),
        dial: None,
        pins: Pins {
            diameter: None,
            buy: None,
            held_by: said(Grip::Ribs),
            grades: said(true),
        },
        gaps: WantedGaps {
            thread: Some(said(mm(0.04))),
            slide: Some(said(mm(0.14))),
            locate: Some(said(mm(0.06))),
            swivel: Some(said(mm(0.24))),
            press: Some(said(mm(-0.11))),
            seat: said(mm(0.1)),
            joints: Vec::new(),
            found: Vec::new(),
        },
        odds: Odds {
            warn: said(0.8),
            fail: said(0.5),
        },
        prices: Prices {
            reprint: said(1.5),
            fitting: said(0.5),
            play: said(1.0),
        },
        layer: said(mm(0.15)),
        line: said(mm(0.45)),
        walls: said(4),
        perimeters: GivenPerimeters {
            inner: said(Perimeters::Solid),
            nut: said(Perimeters::Solid),
            drive: None,
            frame: None,
            carriage: None,
            keeper: None,
        },
        printer: None,
        bed: said([mm(220.0), mm(220.0), mm(250.0)]),
        slender: said(Slender::Together),
        hand_torque: said(Torque::newton_metres(2.0)),
        load: Load {
            force: None,
            torque: None,
            lasting: said(false),
            reserve: said(2.0),
            offset: said(mm(0.0)),
        },
        spring: None,
        friction: Some(said(Friction::of(0.25))),
        grease: said(false),
        tolerance: said(mm(0.01)),
        material: said(Material::Pla),
        sizes: GivenSizes {
            thread_gap: Some(said(mm(0.25))),
            ..GivenSizes::default()
        },
        named: true,
        waive: Vec::new(),
        said: Default::default(),
    }
}

/// The same with the thin thread behind the thick one, in a printed nut.
pub(crate) fn tandem(drive: Thread, thin: Thread, stroke: f64) -> Kit {
    Kit {
        mechanism: Mechanism::Tandem(Tandem {
            drive: drive.clone(),
            thin,
            nut: Nut::Printed,
        }),
        ..kit(drive, None, stroke)
    }
}

/// An opposed kit, the near thread first.
pub(crate) fn opposed(drive: Thread, far: Thread, stroke: f64) -> Kit {
    let mut kit = kit(drive.clone(), None, stroke);
    kit.mechanism = Mechanism::Opposed(Opposed { drive, far });
    kit
}

/// M20x2.5 with M12x1.75 inside, 10 mm of stroke.
pub(crate) fn m20_m12() -> Kit {
    kit(right(20.0, 2.5), Some(right(12.0, 1.75)), 10.0)
}

/// The same threads with the inner one left-hand.
pub(crate) fn opposite_hands() -> Kit {
    kit(right(20.0, 2.5), Some(left(12.0, 1.75)), 30.0)
}

/// M16x2 alone, 30 mm of stroke.
pub(crate) fn m16() -> Kit {
    kit(right(16.0, 2.0), None, 30.0)
}

/// An inch pair, 1-8 with 5/8-11, and bought 3/16 pins.
pub(crate) fn inch_pair() -> Kit {
    let tpi = |major: f64, threads: f64| right(major * 25.4, 25.4 / threads);
    let mut kit = kit(tpi(1.0, 8.0), Some(tpi(0.625, 11.0)), 15.0);
    kit.inches = true;
    kit.pins = Pins {
        diameter: Some(said(Length::inches(3.0 / 16.0))),
        buy: Some(said("3/16 dowel".into())),
        held_by: said(Grip::Ribs),
        grades: said(true),
    };
    kit
}

/// The inner screw left-hand, the drive too.
pub(crate) fn left_pair() -> Kit {
    kit(left(20.0, 2.5), Some(left(12.0, 1.75)), 10.0)
}

/// A left-hand single.
pub(crate) fn left_single() -> Kit {
    kit(left(16.0, 2.0), None, 30.0)
}

/// Pins so thick that their holes are drawn as teardrops.
pub(crate) fn thick_pins(mut kit: Kit, diameter: f64) -> Kit {
    kit.pins.diameter = Some(said(mm(diameter)));
    kit
}

/// A drive screw of two starts over an inner one of one.
pub(crate) fn two_start_drive() -> Kit {
    kit(
        right(24.0, 3.0).with_starts(2),
        Some(right(14.0, 2.0)),
        20.0,
    )
}

/// Two starts outside and three inside, of opposite hands.
pub(crate) fn two_in_three() -> Kit {
    let inner = left(16.0, 2.0).with_starts(3);
    kit(right(30.0, 3.0).with_starts(2), Some(inner), 40.0)
}

/// A left-hand single of two starts.
pub(crate) fn two_start_single() -> Kit {
    kit(left(20.0, 2.5).with_starts(2), None, 30.0)
}

/// One kit of every sort, with a name.
pub(crate) fn one_of_each() -> Vec<(&'static str, Kit)> {
    vec![
        ("nested", m20_m12()),
        ("nested, left hands", left_pair()),
        ("nested, opposite hands", opposite_hands()),
        ("nested, inches, bought pins", inch_pair()),
        (
            "nested, teardrops",
            thick_pins(kit(right(27.0, 3.0), Some(right(18.0, 2.5)), 10.0), 7.0),
        ),
        ("nested, two starts", two_start_drive()),
        ("nested, two starts and three", two_in_three()),
        ("single, two starts", two_start_single()),
        ("single", m16()),
        ("single, left hand", left_single()),
        (
            "single, teardrops",
            thick_pins(kit(right(24.0, 3.0), None, 20.0), 6.0),
        ),
    ]
}

/// Least wall of the drive between bore and root, in lines, and layers in a pitch: what the
/// material on feasibility refuses below.
const WALL_LINES: f64 = 3.0;
/// Layers in a pitch, at the least.
const LAYERS_A_PITCH: f64 = 6.0;
/// Share of the depth of thread that the drawn gap may take, at the most.
const GAP_OF_DEPTH: f64 = 0.4;

/// A kit that none of the feasibility limits of threads, walls and heights refuses.
pub(crate) fn buildable() -> impl Strategy<Value = Kit> {
    prop_oneof![3 => nested(), 1 => single()]
}

/// Solid between the bore's floor and the head's end face, at the least, in mm.
const UNDER_THE_BORE: f64 = 4.0;
/// Hole through the keeper, at the least, in mm.
const KEEPER_HOLE: f64 = 5.0;

/// Whether bore, keeper and bed leave room for what the threads ask.
fn has_room(kit: &Kit) -> bool {
    let Ok(design) = netlead::layout::design(kit, &Profile::untuned_for(kit)) else {
        return false;
    };
    let sizes = sizes(&design);
    let screw = sizes.drive_thread + sizes.head_height;
    let tip = match &sizes.end {
        End::Nested(inner) if inner.bore > screw - mm(UNDER_THE_BORE) => return false,
        End::Nested(_) => mm(0.0),
        End::Single(tip) => tip.length,
    };
    let [_, _, height] = *kit.bed;
    sizes.keeper_bore.as_mm() >= KEEPER_HOLE && sizes.frame_length.max(screw + tip) <= height
}

/// Least pitch that a layer height allows.
fn least_pitch(layer: f64) -> f64 {
    // The untuned profile draws the wanted 0.04 as one layer height and 0.1 mm.
    let drawn = layer + 0.1;
    (LAYERS_A_PITCH * layer).max(drawn / GAP_OF_DEPTH / 0.5413)
}

/// Any hand.
pub(crate) fn any_hand() -> impl Strategy<Value = Hand> {
    prop_oneof![Just(Hand::Right), Just(Hand::Left)]
}

/// Drive screw and layer height.
fn drive() -> impl Strategy<Value = (f64, f64, f64)> {
    (0.1..0.3f64, 0.0..1.0f64, 0.0..1.0f64).prop_map(|(layer, size, coarse)| {
        let least = least_pitch(layer);
        let diameter = 12.0 + 24.0 * size;
        let pitch = least + coarse * (0.16 * diameter - least).max(0.3);
        (layer, diameter, pitch)
    })
}

/// Starts of a drive and of an inner screw: now and then more than one.
fn starts() -> impl Strategy<Value = (u8, u8)> {
    let each = || prop_oneof![4 => Just(1u8), 1 => 2..=3u8];
    (each(), each())
}

/// A nested kit: the inner thread leaves a wall, and opposite hands or a coarser drive.
pub(crate) fn nested() -> impl Strategy<Value = Kit> {
    let shares = (0.0..1.0f64, 0.0..1.0f64);
    let hands = (any_hand(), any_hand());
    (drive(), shares, hands, starts(), 5.0..40.0f64).prop_filter_map(
        "no inner screw fits",
        |((layer, diameter, pitch), (thin, fine), (hand, other), (ways, inside), stroke)| {
            let drive = thread(diameter, pitch, hand).with_starts(ways);
            // Of one hand the lead inside has to stay the smaller.
            let inside = if hand == other {
                inside.min(ways)
            } else {
                inside
            };
            let wall = WALL_LINES * 0.45 + layer + 0.1;
            let widest = drive.minor_internal().as_mm() - 2.0 * wall;
            let least = least_pitch(layer);
            let coarsest = if hand == other { pitch - 0.15 } else { 4.0 };
            if widest < 8.0 || coarsest < least {
                return None;
            }
            let inner_diameter = 8.0 + thin * (widest - 8.0);
            let inner_pitch = least + fine * (coarsest.min(0.16 * inner_diameter) - least);
            if inner_pitch < least {
                return None;
            }
            // The head must stay on the bed: long strokes go with quick net leads.
            let inner = thread(inner_diameter, inner_pitch, other).with_starts(inside);
            let net = (drive.signed_lead() - inner.signed_lead()).abs().as_mm();
            let stroke = stroke.min(net * 40.0).max(2.0);
            let mut kit = kit(drive, Some(inner), stroke);
            kit.layer = said(mm(layer));
            kit.sizes.thread_gap = Some(said(mm(layer + 0.1)));
            has_room(&kit).then_some(kit)
        },
    )
}

/// A single kit with a neck that is no thinner than its pins allow.
pub(crate) fn single() -> impl Strategy<Value = Kit> {
    (drive(), any_hand(), starts(), 5.0..40.0f64).prop_filter_map(
        "the neck is too thin",
        |((layer, diameter, pitch), hand, (ways, _), stroke)| {
            let drive = thread(diameter, pitch, hand).with_starts(ways);
            let mut kit = kit(drive, None, stroke);
            kit.layer = said(mm(layer));
            kit.sizes.thread_gap = Some(said(mm(layer + 0.1)));
            (diameter > 14.0 && has_room(&kit)).then_some(kit)
        },
    )
}
