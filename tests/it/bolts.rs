//! Bolts to buy: one for every hole, by its standard, and their heads in nothing's way.

use crate::ends::{LAYOUTS, fitted, kit, text};
use crate::support::bench::{Bench, reach};
use crate::support::body::{Body, shared};
use crate::support::mm;
use netlead::assembly::{Made, Outline, Placed, Pose, Shape, Solid};
use netlead::solid::mesh;

/// How many of a fastener a kit takes.
fn count(bench: &Bench, name: &str) -> usize {
    let all = bench.design.fasteners.iter();
    all.filter(|one| one.name == name)
        .map(|one| one.quantity)
        .sum()
}

/// Ways through the pieces of a part, as its mesh is proved to have them.
fn ways(bench: &Bench, part: &str) -> usize {
    let assembly = &bench.design.assembly;
    let index = assembly.parts.iter().position(|one| one.name == part);
    let index = index.unwrap_or_else(|| panic!("no part is called {part}"));
    let (_, written) = bench.written().nth(index).unwrap();
    assert!(written.is_ok(), "{written:?}");
    let pieces = assembly.instances.iter();
    let pieces = pieces.filter(|piece| piece.part.0 == index).count();
    pieces * assembly.parts[index].shape.genus
}

#[test]
fn there_is_a_bolt_to_buy_for_every_hole_and_it_passes_it() {
    for layout in LAYOUTS {
        let bench = |end: &str, mount: &str| {
            Bench::new(&text(layout, end, mount, "").parse().unwrap(), 0.05)
        };
        let plain = bench("flush", "none");
        assert!(plain.design.fasteners.is_empty());
        let (foot, ears) = (bench("flush", "foot"), bench("ears", "none"));
        // Holes are the ways through that a foot or ears add, proved on the written mesh.
        let holes = ways(&foot, "frame") - ways(&plain, "frame");
        assert_eq!(
            [count(&foot, "foot-bolt"), count(&foot, "foot-washer")],
            [holes; 2]
        );
        let holes = ways(&ears, "carriage") - ways(&plain, "carriage");
        assert!(holes > 0, "{layout:?}");
        assert_eq!(count(&ears, "ear-bolt"), holes, "{layout:?}");
        assert_eq!(count(&ears, "ear-nut"), holes);
        assert_eq!(count(&ears, "ear-washer"), 2 * holes);
        // ISO 4017 and ISO 273: M4 for 4.5, M5 for 5.5. No. 8 is 0.164 in, 4.17 mm; No. 10 0.190 in, 4.83 mm.
        let inch = layout.1.contains("inch");
        let named = |bench: &Bench, name: &str| {
            let all = bench.design.fasteners.iter();
            let found = all.clone().find(|one| one.name == name).unwrap();
            found.description.clone()
        };
        for (told, metric, other) in [
            (
                named(&foot, "foot-bolt"),
                "ISO 4017 - M5",
                "No. 10-24 UNC, ASME B18.6.3",
            ),
            (
                named(&ears, "ear-bolt"),
                "ISO 4017 - M4",
                "No. 8-32 UNC, ASME B18.6.3",
            ),
        ] {
            assert!(told.contains(if inch { other } else { metric }), "{told}");
            // Its length hangs on what it holds, and that is said.
            assert!(told.contains("long enough for"), "{told}");
        }
    }
}

#[test]
fn the_bolt_of_a_nut_under_the_frame_is_to_buy_and_how_far_it_may_go_in_is_told_once() {
    for (mount, called) in [
        ("M6", "ISO 4017 - M6"),
        ("1/4-20", "1/4-20 UNC, ASME B18.2.1"),
    ] {
        for layout in ["nested", "single"] {
            let bench = Bench::new(&kit(layout, "flush", mount), 0.05);
            assert_eq!(count(&bench, "mount-bolt"), 1);
            let told = &bench.design.fasteners[0].description;
            assert!(told.contains(called), "{told}");
            let nut = bench.design.assembly.part_of(bench.piece("mount nut"));
            let Made::Bought(stock) = &nut.made else {
                panic!("a nut that is printed");
            };
            let most = |words: &str, before: &str| {
                let rest = words
                    .split(before)
                    .nth(1)
                    .unwrap_or_else(|| panic!("{words}"));
                rest.split(" mm").next().unwrap().to_owned()
            };
            assert_eq!(most(told, "no more than "), most(stock, "at most "));
        }
    }
}

#[test]
fn no_head_of_a_foots_bolts_is_in_the_way_of_what_moves_over_it() {
    // ISO 4017, M5: a head 3.65 high and 8.79 across its corners; ISO 7089: a washer of 10, 1.1 thick.
    let (high, wide) = (3.65 + 1.1, 10.0);
    for (layout, end, _) in fitted().into_iter().filter(|(.., mount)| *mount == "foot") {
        let bench = Bench::new(&text(layout, end, "foot", "").parse().unwrap(), 0.05);
        let frame = bench.mesh_at(bench.piece("frame"), 0.0);
        let [bottom, _] = reach(&frame, 1, |_| true);
        let [_, right] = reach(&frame, 0, |c| c[1] < bottom + 1e-6);
        let [begin, ends] = reach(&frame, 2, |_| true);
        let (x, top) = (right - 14.0 + 7.5, bottom + 8.0);
        let turns = bench.design.course.turns;
        for (side, z) in [
            (-x, begin + 12.0),
            (x, begin + 12.0),
            (-x, ends - 12.0),
            (x, ends - 12.0),
        ] {
            let shape =
                Shape {
                    base: Placed {
                        // Local x, y and z to x, -z and y.
                        pose: Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0])
                            .shifted(mm(side), mm(top), mm(z)),
                        solid: Solid::Prism(
                            [0.05, high]
                                .map(|level| {
                                    let diameter = mm(wide);
                                    (mm(level), Outline::Circle { diameter })
                                })
                                .into(),
                        ),
                    },
                    within: Vec::new(),
                    joined: Vec::new(),
                    cut: Vec::new(),
                    genus: 0,
                };
            let head = mesh(&shape, mm(0.05)).unwrap();
            let head = Body::new(&head);
            for piece in bench.pieces() {
                for at in [0.0, 0.5 * turns, turns] {
                    let shared = shared(&head, &bench.at(piece, at));
                    assert!(
                        shared < 1e-6,
                        "{layout:?} {end} {}: {shared}",
                        bench.name(piece)
                    );
                }
            }
        }
    }
}
