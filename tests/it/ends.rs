//! Working ends and mounts in every layout: what is made goes together, stays free through the stroke
//! and is printable; jaws, holes and feet stand on the meshes where they are told to; what has no
//! place is refused with a way out.

use crate::support::bench::{Bench, in_parallel, reach, size};
use crate::support::body::shared;
use crate::support::mm;
use crate::support::sizes::told;
use netlead::assembly::{InstanceId, Made};
use netlead::check::Outcome;
use netlead::kit::Kit;
use netlead::making::{self, InMemory};
use netlead::output::page::digest::Asked;
use netlead::output::page::terminal::{self, Extent};
use netlead::solid::Mesh;
use netlead::units::{Length, real};

/// A kit of each layout, by its name, and the ends and mounts that it takes; hands turn gently, so that
/// strength is no matter here.
pub(crate) const LAYOUTS: [(&str, &str); 5] = [
    (
        "nested",
        "drive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10\n",
    ),
    ("single", "drive = \"M16x2\"\nstroke = 20\n"),
    (
        "tandem",
        "drive = \"M24x3\"\nthin = \"M16x2\"\nstroke = 15\n",
    ),
    (
        "opposed",
        "drive = \"5/8-11-LH\"\nfar = \"5/8-11\"\nstroke = 15\n",
    ),
    (
        "nested",
        "units = \"inch\"\ndrive = \"1-8\"\ninner = \"5/8-11\"\nstroke = 0.5\npins.buy = \"3/16 dowel\"\n",
    ),
];
const ENDS: [&str; 5] = ["flush", "ears", "jaw", "rod", "press"];
const MOUNTS: [&str; 4] = ["none", "foot", "1/4-20", "M6"];

pub(crate) fn text((layout, threads): (&str, &str), end: &str, mount: &str, more: &str) -> String {
    format!(
        "name = \"t\"\nlayout = \"{layout}\"\n{threads}end = \"{end}\"\nmount = \"{mount}\"\n\
         hand_torque = \"0.2 N m\"\n{more}"
    )
}

/// Of a layout all that it takes.
pub(crate) fn fitted() -> Vec<((&'static str, &'static str), &'static str, &'static str)> {
    let mut all = Vec::new();
    for layout in LAYOUTS {
        for end in ENDS {
            for mount in MOUNTS {
                if text(layout, end, mount, "").parse::<Kit>().is_ok() {
                    all.push((layout, end, mount));
                }
            }
        }
    }
    all
}

pub(crate) fn kit(layout: &str, end: &str, mount: &str) -> Kit {
    let found = LAYOUTS.into_iter().find(|(name, _)| *name == layout);
    text(found.unwrap(), end, mount, "").parse().unwrap()
}

#[test]
fn each_layout_takes_the_ends_and_mounts_that_the_docs_say() {
    let count = |layout: &str| {
        let all = fitted();
        all.iter().filter(|((name, _), ..)| *name == layout).count()
    };
    // Two kits of a nested one. Neither rod, press nor nut in a square house.
    assert_eq!(count("nested"), 2 * 20);
    assert_eq!(count("single"), 20);
    assert_eq!(count("tandem"), 3 * 2);
    assert_eq!(count("opposed"), 3 * 2);
}

/// Everything that is judged on meshes.
fn faults(text: &str) -> Vec<String> {
    let read = making::read("kit.toml", text, &InMemory::none());
    let Ok(read) = read else {
        return vec![format!("{text}\nis refused")];
    };
    let Ok(product) = read.work(&|_| {}) else {
        return vec![format!("{text}\nis not made")];
    };
    let looked = [
        "clearance",
        "assembly-order",
        "overhang",
        "thin-wall",
        "tilt",
    ];
    let open = product.findings.iter().filter(|finding| {
        let bad = matches!(finding.outcome, Outcome::Fail | Outcome::Warn);
        bad && looked.contains(&finding.id)
    });
    open.map(|finding| format!("{text}\n{}: {}", finding.id, finding.message))
        .collect()
}

#[test]
fn whatever_is_fitted_goes_together_stays_clear_and_prints() {
    // Chords near the coarsest that the narrowest gap allows; finer ones for the ends of one layout.
    let coarse = fitted()
        .into_iter()
        .map(|one| (one, "tolerance = \"0.08 mm\"\n"));
    let fine = fitted()
        .into_iter()
        .filter(|((layout, _), _, mount)| *mount == "foot" && *layout == "nested");
    let all: Vec<_> = coarse
        .chain(fine.map(|one| (one, "tolerance = \"0.03 mm\"\n")))
        .collect();
    let found = in_parallel(&all, |((layout, end, mount), more)| {
        faults(&text(*layout, end, mount, more))
    });
    assert_eq!(found.concat(), Vec::<String>::new());
}

#[test]
fn no_piece_overlaps_another_with_any_end_or_mount() {
    let all: Vec<_> = fitted()
        .into_iter()
        .filter(|(_, end, mount)| match *mount {
            "none" => *end != "flush",
            "foot" => *end == "jaw" || *end == "ears",
            _ => *end == "flush",
        })
        .collect();
    let clashes = in_parallel(&all, |(layout, end, mount)| {
        let kit: Kit = text(*layout, end, mount, "").parse().unwrap();
        let bench = Bench::new(&kit, 0.02);
        let pieces: Vec<InstanceId> = bench.pieces().collect();
        let turns = bench.design.course.turns;
        let found: Vec<String> = [0.0, 0.37 * turns, turns]
            .into_iter()
            .flat_map(|at| bench.clashes(&pieces, at, 1e-6))
            .map(|clash| format!("{} {end} {mount}: {clash}", layout.0))
            .collect();
        found
    });
    assert_eq!(clashes.concat(), Vec::<String>::new());
}

#[test]
fn jaws_meet_at_the_end_of_the_stroke_before_carriage_and_keeper_would() {
    for layout in ["nested", "single"] {
        let bench = Bench::new(&kit(layout, "jaw", "none"), 0.02);
        let turns = bench.design.course.turns;
        let [carriage, keeper] = ["carriage", "keeper"].map(|name| bench.piece(name));
        let [moved, still] = [carriage, keeper].map(|piece| bench.mesh_at(piece, turns));
        let side = size(&bench, "frame", "side") / 2.0;
        // The jaws stand a millimetre beside the frame, and are 14 mm deep.
        let jaw = |c: [f64; 3]| c[0] > side + 0.9;
        let (from, to) = (side + 1.0, side + 15.0);
        let [near, far] = reach(&moved, 0, jaw);
        assert!(
            (near - from).abs() < 1e-6 && (far - to).abs() < 1e-6,
            "{layout}: {near} {far}"
        );
        let [_, moving] = reach(&moved, 2, jaw);
        let [fixed, _] = reach(&still, 2, jaw);
        let apart = fixed - moving;
        // A layer of the frame's length and one of the jaw's height may part them.
        assert!((0.0..=0.31).contains(&apart), "{layout}: {apart}");
        // In the middle carriage and plug still stand apart by half a millimetre more, less a layer.
        let inside = |c: [f64; 3]| c[0].abs() < side - 2.0;
        let [_, face] = reach(&moved, 2, inside);
        let [plug, _] = reach(&still, 2, inside);
        assert!(
            plug - face > apart + 0.34,
            "{layout}: {} {apart}",
            plug - face
        );
        // Pressed on by a fifth of a millimetre only the jaws share room: their face, 14 by 24 with
        // broken edges on the moving one, or as wide as the ears ask for.
        let on = bench.design.net_lead;
        let body = |more: f64| bench.at(carriage, turns + mm(apart + more) / on);
        let still = bench.at(keeper, 0.0);
        assert!(shared(&body(-0.01), &still) < 1e-6);
        let width = size(&bench, "carriage", "width of the jaw");
        let face = (14.0 - 1.2) * (width - 1.2);
        let pressed = shared(&body(0.2), &still);
        let most = 14.0 * width * 0.2;
        assert!(
            pressed > 0.2 * face - 1e-6 && pressed < most,
            "{layout}: {pressed}"
        );
    }
}

#[test]
fn the_jaws_of_a_vise_meet_a_tenth_before_its_carriages_do() {
    let bench = Bench::new(&kit("opposed", "jaw", "foot"), 0.02);
    let turns = bench.design.course.turns;
    let carriages = bench.design.assembly.carriages.all();
    let [near, far] = <[InstanceId; 2]>::try_from(carriages.collect::<Vec<_>>()).unwrap();
    let [one, other] = [near, far].map(|piece| bench.mesh_at(piece, turns));
    let [_, top] = reach(&one, 1, |_| true);
    // A jaw is 14 mm high.
    let jaw = |c: [f64; 3]| c[1] > top - 10.0;
    let [_, moving] = reach(&one, 2, jaw);
    let [fixed, _] = reach(&other, 2, jaw);
    assert!((fixed - moving - 0.1).abs() < 1e-6, "{fixed} {moving}");
    let below = |c: [f64; 3]| c[1] < 0.0;
    let [[_, face], [other_face, _]] = [reach(&one, 2, below), reach(&other, 2, below)];
    assert!(
        (other_face - face - 1.0).abs() < 1e-6,
        "{face} {other_face}"
    );
    // As wide as told, on both sides of the slot.
    let [left, right] = reach(&one, 0, jaw);
    assert!((right - left - 23.8).abs() < 1e-6);
}

/// How many corners stand on the wall of a hole along an axis, and that none stands inside it.
fn on_wall(mesh: &Mesh, along: usize, at: [f64; 2], diameter: f64, within: [f64; 2]) -> usize {
    let [a, b] = match along {
        0 => [1, 2],
        1 => [0, 2],
        _ => [0, 1],
    };
    let mut on = 0;
    for p in &mesh.points {
        let c = [p.x, p.y, p.z];
        if c[along] < within[0] || c[along] > within[1] {
            continue;
        }
        let out = real::hypot(c[a] - at[0], c[b] - at[1]);
        assert!(out > diameter / 2.0 - 1e-6, "{c:?} stands in the hole");
        on += usize::from((out - diameter / 2.0).abs() < 1e-6);
    }
    on
}

#[test]
fn ears_have_holes_for_m4_where_their_bolts_are_told() {
    // ISO 273, medium series: 4.5 mm for M4.
    for layout in ["nested", "single"] {
        let bench = Bench::new(&kit(layout, "ears", "none"), 0.02);
        let carriage = &bench.meshes[bench
            .design
            .assembly
            .instance(bench.piece("carriage"))
            .part
            .0];
        let side = size(&bench, "frame", "side") / 2.0;
        let bolt = size(&bench, "carriage", "bolt's place");
        assert!((bolt - side - 6.0).abs() < 1e-9);
        let thick = size(&bench, "carriage", "thickness of the ears");
        for x in [-bolt, bolt] {
            let on = on_wall(carriage, 2, [x, 0.0], 4.5, [-0.1, thick + 0.1]);
            assert!(on >= 24, "{layout}: {on}");
        }
        let [left, right] = reach(carriage, 0, |_| true);
        assert!((right - left - 2.0 * (side + 12.0)).abs() < 1e-9);
    }
    for layout in ["tandem", "opposed"] {
        let bench = Bench::new(&kit(layout, "ears", "none"), 0.02);
        let part = bench
            .design
            .assembly
            .parts
            .iter()
            .position(|part| part.name == "carriage");
        let carriage = &bench.meshes[part.unwrap()];
        // Printed lying: its hole goes along x, seven below its top.
        let [_, top] = reach(carriage, 2, |_| true);
        let lug = |c: [f64; 3]| c[2] > top - 5.0;
        let [from, to] = reach(carriage, 1, lug);
        let on = on_wall(
            carriage,
            0,
            [(from + to) / 2.0, top - 7.0],
            4.5,
            [-7.0, 7.0],
        );
        assert!(on >= 24, "{layout}: {on}");
    }
}

#[test]
fn a_foot_stands_flat_and_has_holes_for_m5() {
    // ISO 273, medium series: 5.5 mm for M5.
    for layout in ["nested", "single", "tandem", "opposed"] {
        let bench = Bench::new(&kit(layout, "flush", "foot"), 0.02);
        let frame = bench.mesh_at(bench.piece("frame"), 0.0);
        let [bottom, _] = reach(&frame, 1, |_| true);
        let [left, right] = reach(&frame, 0, |c| c[1] < bottom + 1e-6);
        let [begin, end] = reach(&frame, 2, |_| true);
        let half = (right - left) / 2.0;
        assert!((left + right).abs() < 1e-6, "{layout}");
        // The flanges stand out by 14 mm; the bolts 7.5 mm, and 12 mm from the ends.
        let x = half - 14.0 + 7.5;
        for side in [-x, x] {
            for z in [begin + 12.0, end - 12.0] {
                let on = on_wall(&frame, 1, [side, z], 5.5, [bottom - 0.1, bottom + 8.1]);
                assert!(on >= 24, "{layout}: {on} at {side} {z}");
            }
        }
        // Nothing else reaches down to the table but the foot: not the keeper, nor the head's circle.
        let keeper = bench.mesh_at(bench.piece("keeper"), 0.0);
        assert!(reach(&keeper, 1, |_| true)[0] > bottom - 1e-6, "{layout}");
        let drive = bench.mesh_at(bench.piece("drive"), 0.0);
        let corner = drive
            .points
            .iter()
            .map(|p| real::hypot(p.x, p.y))
            .fold(0.0, f64::max);
        assert!(corner < -bottom, "{layout}");
    }
}

#[test]
fn a_nut_under_the_frame_is_the_published_one_and_stands_before_its_hole() {
    // ISO 4032: 10 across flats, 5.2 high at the most; ASME B18.2.2: 0.438 and 0.226 in.
    for (mount, flats, height, hole) in [
        ("M6", 10.0, 5.2, 6.6),
        ("1/4-20", 0.438 * 25.4, 0.226 * 25.4, 0.266 * 25.4),
    ] {
        let bench = Bench::new(&kit("nested", "flush", mount), 0.02);
        let nut = bench.piece("mount nut");
        let part = bench.design.assembly.part_of(nut);
        let Made::Bought(stock) = &part.made else {
            panic!("a nut that is printed");
        };
        let standard = if mount == "M6" {
            "ISO 4032"
        } else {
            "ASME B18.2.2"
        };
        assert!(
            stock.contains(standard) && stock.contains("at most"),
            "{stock}"
        );
        let mesh = bench.mesh_at(nut, 0.0);
        let [left, right] = reach(&mesh, 0, |_| true);
        let [lower, upper] = reach(&mesh, 1, |_| true);
        assert!(
            (right - left - flats).abs() < 1e-6,
            "{mount}: {}",
            right - left
        );
        assert!((upper - lower - height).abs() < 1e-6, "{mount}");
        let [low, high] = reach(&mesh, 2, |_| true);
        let centre = (low + high) / 2.0;
        let frame = bench.mesh_at(bench.piece("frame"), 0.0);
        let [bottom, _] = reach(&frame, 1, |_| true);
        // Below it the hole's round goes through to the underside; its roof is a teardrop's.
        let on = on_wall(&frame, 1, [0.0, centre], hole, [bottom - 0.1, lower - 1.0]);
        assert!(on >= 12, "{mount}: {on}");
        // The told length ends behind the nut, in front of the screw's thread.
        let most = stock.split("at most ").nth(1).unwrap();
        let most: f64 = most.split(' ').next().unwrap().parse().unwrap();
        assert!(
            most > upper - bottom && most < upper - bottom + 2.0,
            "{stock}"
        );
    }
}

#[test]
fn a_rod_is_bought_by_a_stock_name_and_comes_out_of_the_keeper_as_told() {
    for (layout, inches) in [("nested", false), ("single", false), ("nested", true)] {
        let (name, threads) = LAYOUTS
            .into_iter()
            .find(|(name, threads)| *name == layout && threads.contains("inch") == inches)
            .unwrap();
        let kit: Kit = text((name, threads), "rod", "none", "").parse().unwrap();
        let bench = Bench::new(&kit, 0.02);
        let rod = bench.piece("rod");
        let Made::Bought(stock) = &bench.design.assembly.part_of(rod).made else {
            panic!("a rod that is printed");
        };
        assert!(
            stock.contains("ISO 2338") || stock.contains("drawn steel bar"),
            "{stock}"
        );
        assert!(stock.contains(" in ") == inches, "{stock}");
        let keeper = bench.mesh_at(bench.piece("keeper"), 0.0);
        let [_, outside] = reach(&keeper, 2, |_| true);
        let stroke = kit.stroke.as_mm();
        let turns = bench.design.course.turns;
        let out = |at: f64| reach(&bench.mesh_at(rod, at), 2, |_| true)[1] - outside;
        assert!(out(0.0) >= 3.0, "{}", out(0.0));
        assert!((out(turns) - out(0.0) - stroke).abs() < 1e-6);
        // It is guided: the hole is as wide as rod and gap, not as wide as there is room.
        let bore = size(&bench, "keeper", "hole");
        let across = size(&bench, "rod", "diameter");
        assert!((0.2..0.6).contains(&(bore - across)), "{bore} {across}");
    }
}

#[test]
fn what_has_no_place_is_refused_and_the_mend_leads_out() {
    let mut refused = 0;
    for layout in LAYOUTS {
        for (key, words) in [("end", &ENDS[..]), ("mount", &MOUNTS[..])] {
            for word in words.iter().copied() {
                let (end, mount) = if key == "end" {
                    (word, "none")
                } else {
                    ("flush", word)
                };
                let text = text(layout, end, mount, "");
                let Err(problems) = text.parse::<Kit>() else {
                    continue;
                };
                refused += 1;
                assert_eq!(problems.len(), 1, "{text}");
                let mend = problems[0].mend.as_ref().unwrap();
                // Every one of the lines that it offers is taken.
                let lines: Vec<&str> = mend.split('`').skip(1).step_by(2).collect();
                assert!(!lines.is_empty(), "{mend}");
                for line in lines {
                    let mended = text.replace(&format!("{key} = \"{word}\""), line);
                    assert!(mended.parse::<Kit>().is_ok(), "{mended}");
                }
            }
        }
    }
    // A rod, a press and two nuts in each of two layouts.
    assert_eq!(refused, 8);
}

#[test]
fn sizes_that_leave_an_end_or_a_mount_no_room_are_refused_and_followed() {
    let [nested, single, _, _, inch] = LAYOUTS;
    for (layout, end, mount, more) in [
        (nested, "ears", "none", "sizes.carriage_length = 17.2\n"),
        (nested, "jaw", "none", "sizes.carriage_length = 20.5\n"),
        (nested, "rod", "none", "sizes.carriage_length = 20.5\n"),
        (
            nested,
            "flush",
            "foot",
            "sizes.frame_side = 39\nsizes.ear_width = 26\n",
        ),
        (single, "flush", "M6", "sizes.tapped_wall = 9\n"),
        (nested, "press", "none", "sizes.throat = 10.5\n"),
        (inch, "press", "foot", "sizes.throat = 0.51\n"),
    ] {
        let kit = text(layout, end, mount, more);
        let design = |text: &str| {
            let kit: Kit = text.parse().unwrap();
            netlead::layout::design(&kit, &netlead::printer::Profile::untuned_for(&kit))
        };
        let problems = design(&kit).err().unwrap_or_else(|| panic!("{kit}"));
        let mend = problems[0].mend.clone().unwrap();
        // `write sizes.tapped_wall of at least 16.2 mm`
        let words: Vec<&str> = mend.split(' ').collect();
        assert_eq!(words[0], "write", "{mend}");
        let (key, value) = (words[1].trim_matches('`'), words[5]);
        let key = key.split(' ').next().unwrap();
        let lines = kit.lines().map(|line| match line.starts_with(key) {
            true => format!("{key} = {value}"),
            false => line.into(),
        });
        let mended = lines.collect::<Vec<_>>().join("\n");
        assert!(
            design(&mended).is_ok(),
            "{mend}\n{mended}\n{:?}",
            design(&mended).err()
        );
    }
}

#[test]
fn what_clamps_or_presses_has_its_cautions_first_and_the_report_names_it() {
    for (layout, end, mount, said) in [
        (
            "nested",
            "jaw",
            "foot",
            ["Clamping", "no lifting device", "Bolt the foot down"],
        ),
        (
            "opposed",
            "jaw",
            "none",
            ["Clamping", "eye protection", "fingers out of the jaws"],
        ),
        (
            "single",
            "rod",
            "M6",
            ["Pressing", "flies", "not hang it overhead"],
        ),
        (
            "nested",
            "press",
            "foot",
            [
                "Pressing",
                "Nothing but the load holds the yoke",
                "Bolt the foot down",
            ],
        ),
        (
            "tandem",
            "ears",
            "none",
            ["bolted to the ears", "fingers", "reserve"],
        ),
    ] {
        let found = LAYOUTS
            .into_iter()
            .find(|(name, _)| *name == layout)
            .unwrap();
        let text = text(found, end, mount, "");
        let read = making::read("kit.toml", &text, &InMemory::none());
        let product = read.unwrap_or_else(|_| panic!("{text}")).work(&|_| {});
        let product = product.unwrap_or_else(|_| panic!("{text}"));
        assert_eq!((product.kit.end, product.kit.mount), (end, mount));
        let own = product.design.cautions.iter();
        let own: Vec<&str> = own.map(|caution| caution.text.as_str()).collect();
        let own = own.join(" ");
        for words in said {
            assert!(own.contains(words), "{layout} {end}: {words}\n{own}");
        }
        let all = netlead::output::guide::text(&product);
        let (cautions, rest) = all.split_once("## What it does").unwrap();
        let first = said[0];
        assert!(
            cautions.contains(first) && !rest.contains("## Cautions"),
            "{all}"
        );
    }
}

/// A carriage with a jaw is as long as friction asks: it slides however far off its middle the jaw is
/// pressed.
#[test]
fn a_jaw_makes_its_carriage_longer_by_friction() {
    let long = |friction: &str| {
        let kit: Kit = text(
            LAYOUTS[0],
            "jaw",
            "none",
            &format!("friction = {friction}\n"),
        )
        .parse()
        .unwrap();
        let bench = Bench::new(&kit, 0.1);
        size(&bench, "carriage", "length")
    };
    // M20 in a frame of 42 mm: e = 21 + 1 + 7 = 29; 4 x 0.25 x 29 + 1.6 = 30.6, on layers of 0.15.
    assert!((long("0.25") - 30.75).abs() < 0.151, "{}", long("0.25"));
    // 4 x 0.38 x 29 + 1.6 = 45.68.
    assert!((long("[0.12, 0.38]") - 45.75).abs() < 0.151);
    let plain = told(
        &Bench::new(&kit("nested", "flush", "none"), 0.1).design,
        "carriage",
        "length",
    );
    assert!(plain.unwrap() < Length::mm(23.0));
}

#[test]
fn what_the_guide_takes_of_a_jaws_push_is_told_and_is_what_statics_has() {
    // F = W + 2 mu N and W e = N L: of a push F friction takes 2 mu e / (L + 2 mu e).
    for (layout, end) in [
        (LAYOUTS[0], "jaw"),
        (LAYOUTS[1], "jaw"),
        (LAYOUTS[2], "jaw"),
        (LAYOUTS[4], "jaw"),
        (LAYOUTS[3], "ears"),
    ] {
        let text = text(
            layout,
            end,
            "none",
            "friction = [0.1, 0.3]\ntolerance = \"0.05 mm\"\n",
        );
        let read = making::read("kit.toml", &text, &InMemory::none());
        let product = read.unwrap_or_else(|_| panic!("{text}")).work(&|_| {});
        let product = product.unwrap_or_else(|_| panic!("{text}"));
        let figures = product.force.as_ref().unwrap().in_guide.expect(end);
        let guide = &product.design.members.guides[0];
        // Of a round house e is the jaw's middle, as meshed.
        let offset = guide.offset.as_mm();
        assert!((figures.offset.as_mm() - offset).abs() < 1e-9 && offset > 5.0);
        let [most, least] = [0.3, 0.1].map(|friction| {
            let taken = 2.0 * friction * offset;
            taken / (guide.length.as_mm() + taken)
        });
        assert!((figures.taken[0] - most).abs() < 1e-9 && (figures.taken[1] - least).abs() < 1e-9);
        // Its carriage is as long as leaves two thirds at the worst.
        assert!(most <= 1.0 / 3.0 + 1e-9 && most > 0.1, "{most}");
        let percent = |share: f64| netlead::units_told::rounded(share * 100.0);
        let words = format!(
            "its friction takes {} to {} % of a push",
            percent(least),
            percent(most)
        );
        let guide = netlead::output::guide::text(&product);
        let asked = Asked {
            kit: "kit.toml",
            folder: None,
        };
        let digest = terminal::page(&product, &asked, Extent::Digest);
        let digest = anstream::adapter::strip_str(&digest).to_string();
        for page in [guide, digest] {
            let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(page.contains(&words), "{words}\n{page}");
        }
    }
    // What presses in its axis loses nothing there, and nothing is said.
    let text = text(LAYOUTS[0], "rod", "none", "tolerance = \"0.05 mm\"\n");
    let read = making::read("kit.toml", &text, &InMemory::none()).unwrap_or_else(|_| panic!());
    let product = read.work(&|_| {}).unwrap_or_else(|_| panic!());
    assert!(product.force.as_ref().unwrap().in_guide.is_none());
    assert!(!netlead::output::guide::text(&product).contains("in the guide:"));
}
