//! The hand press: rod, anvil and yoke on the meshes where they are told to be, free through the stroke,
//! and put on as the guide says.

use crate::support::bench::{Bench, in_parallel, reach, size};
use crate::support::body::shared;
use crate::support::mm;
use netlead::assembly::{Axis, InstanceId, MotionKind, Pose};
use netlead::kit::Kit;
use netlead::making::{self, InMemory};
use netlead::units::{Length, real};

/// Kits with a press: both layouts that take one, both hands, both units, dowels printed and bought.
const KITS: [&str; 4] = [
    "layout = \"nested\"\ndrive = \"M24x3\"\ninner = \"M14x2\"\nstroke = 20\nmount = \"foot\"\n",
    "layout = \"nested\"\ndrive = \"M20x2.5-LH\"\ninner = \"M12x1.75-LH\"\nstroke = 10\ndial = 25\n",
    "layout = \"single\"\ndrive = \"M12x1.75\"\nstroke = 1\nmount = \"foot\"\n",
    "layout = \"single\"\nunits = \"inch\"\ndrive = \"5/8-11\"\nstroke = 0.75\npins.buy = \"3/16 dowel\"\n",
];

fn text(kit: &str, more: &str) -> String {
    format!("name = \"t\"\nend = \"press\"\nhand_torque = \"0.2 N m\"\n{kit}{more}")
}

fn kit(kit: &str, more: &str) -> Kit {
    let text = text(kit, more);
    text.parse().unwrap_or_else(|why| panic!("{text}: {why:?}"))
}

/// z of the anvil's face: the lowest corners of the hole through the crossbar.
fn anvil(bench: &Bench) -> f64 {
    let yoke = bench.mesh_at(bench.piece("yoke"), 0.0);
    let hole = size(bench, "yoke", "hole") / 2.0;
    reach(&yoke, 2, |c| real::hypot(c[0], c[1]) < hole * 1.5)[0]
}

#[test]
fn the_throat_is_open_from_the_rod_to_the_anvil_and_five_millimetres_are_left() {
    let cases = [
        (KITS[0], "", 25.0),
        (KITS[1], "sizes.throat = 40\n", 40.0),
        (KITS[2], "", 6.0),
        (KITS[3], "", 0.75 * 25.4 + 5.0),
        (KITS[3], "sizes.throat = 1.25\n", 1.25 * 25.4),
    ];
    for (of, more, throat) in cases {
        let kit = kit(of, more);
        let bench = Bench::new(&kit, 0.02);
        let (rod, turns) = (bench.piece("rod"), bench.design.course.turns);
        let anvil = anvil(&bench);
        let tip = |at: f64| reach(&bench.mesh_at(rod, at), 2, |_| true)[1];
        let open = anvil - tip(0.0);
        assert!((open - throat).abs() < 1e-6, "{of}{more}: {open}");
        let left = anvil - tip(turns);
        let expected = throat - kit.stroke.as_mm();
        assert!((left - expected).abs() < 1e-6, "{of}{more}: {left}");
        // And the guide says so.
        let step = netlead::layout::design(&kit, &netlead::printer::Profile::untuned_for(&kit));
        let script = step.unwrap().script;
        // Of the step that puts it on; that of the rod names it, too.
        let yoke = bench.piece("yoke");
        let steps = script.wordings.iter().map(|wording| &wording.step);
        let steps = steps.filter(|step| step.pieces.contains(&yoke));
        let words: Vec<_> = steps.map(|step| &step.text).collect();
        assert!(!words.is_empty());
        let said = [open, left].map(|length| kit.told().length(mm(length), 1));
        for text in words {
            assert!(
                said.iter().all(|said| text.contains(said)),
                "{said:?}: {text}"
            );
        }
    }
}

#[test]
fn the_hole_in_the_anvil_is_on_the_axis_and_a_millimetre_wider_than_the_rod() {
    for of in KITS {
        let bench = Bench::new(&kit(of, ""), 0.02);
        let yoke = bench.mesh_at(bench.piece("yoke"), 0.0);
        let rod = size(&bench, "rod", "diameter");
        let wide = rod + 1.0;
        let from = anvil(&bench);
        let [_, end] = reach(&yoke, 2, |_| true);
        assert!(end - from >= 14.0, "{of}: a crossbar of {}", end - from);
        let hole = yoke.points.iter().filter(|p| real::hypot(p.x, p.y) < wide);
        let mut on = 0;
        for p in hole {
            let out = real::hypot(p.x, p.y);
            assert!(out > wide / 2.0 - 1e-6, "{of}: {p} stands in the hole");
            on += usize::from((out - wide / 2.0).abs() < 1e-6);
        }
        assert!(on >= 24, "{of}: {on}");
        // A pin as thick as the rod falls through: the rod itself, moved on to beyond the crossbar.
        let piece = bench.piece("rod");
        let [low, _] = reach(&bench.mesh_at(piece, 0.0), 2, |_| true);
        let body = bench.at(bench.piece("yoke"), 0.0);
        for on in [0.0, 5.0, 12.0] {
            let way = mm(from - low - on);
            let moved = bench
                .pose(piece, 0.0)
                .shifted(Length::ZERO, Length::ZERO, way);
            assert!(shared(&bench.posed(piece, &moved), &body) < 1e-9, "{of}");
        }
    }
}

#[test]
fn nothing_overlaps_from_stop_to_stop_on_coarse_and_fine_chords() {
    let cases: Vec<(&str, f64)> = KITS
        .into_iter()
        .flat_map(|of| [(of, 0.08), (of, 0.01)])
        .collect();
    let found = in_parallel(&cases, |(of, tolerance)| {
        let kit = kit(of, "");
        let bench = Bench::new(&kit, *tolerance);
        let pieces: Vec<InstanceId> = bench.pieces().collect();
        let turns = bench.design.course.turns;
        [0.0, 0.31, 0.5, 0.83, 1.0]
            .into_iter()
            .flat_map(|part| bench.clashes(&pieces, part * turns, 1e-6))
            .map(|clash| format!("{of}{tolerance}: {clash}"))
            .collect::<Vec<_>>()
    });
    assert_eq!(found.concat(), Vec::<String>::new());
}

#[test]
fn the_yoke_slips_on_from_the_v_side_and_goes_no_other_way() {
    for of in KITS {
        let bench = Bench::new(&kit(of, ""), 0.02);
        let [yoke, keeper, rod] = ["yoke", "keeper", "rod"].map(|name| bench.piece(name));
        let gap = size(&bench, "yoke", "gap");
        let body = |by: [f64; 3]| {
            let [x, y, z] = by.map(mm);
            let pose: Pose = bench.pose(yoke, 0.0).shifted(x, y, z);
            let moved = bench.posed(yoke, &pose);
            let with = |piece| shared(&moved, &bench.at(piece, 0.0));
            with(keeper) + with(rod) + with(bench.piece("frame"))
        };
        // The V is on the +y side.
        for step in 0..40 {
            let off = body([0.0, f64::from(step), 0.0]);
            assert!(off < 1e-9, "{of}: {off} at {step}");
        }
        // In its grooves it has the gap to every side, and the stops stop it.
        for axis in 0..3 {
            for side in [-1.0, 1.0] {
                let by = |length: f64| {
                    let mut by = [0.0; 3];
                    by[axis] = side * length;
                    by
                };
                assert!(body(by(gap * 0.95)) < 1e-9, "{of}: {axis} {side}");
                let beyond = body(by(gap + 0.3));
                let free = axis == 1 && side > 0.0;
                assert_eq!(beyond < 1e-9, free, "{of}: {axis} {side}: {beyond}");
            }
        }
    }
}

#[test]
fn only_the_rod_and_the_measurement_come_after_the_yoke() {
    for of in KITS {
        let text = text(of, "");
        let read = making::read("kit.toml", &text, &InMemory::none());
        let product = read.unwrap_or_else(|_| panic!("{text}")).work(&|_| {});
        let product = product.unwrap_or_else(|_| panic!("{text}"));
        let steps = &product.design.steps;
        let at = steps.iter().position(|step| step.action.contains("yoke"));
        let at = at.unwrap_or_else(|| panic!("{of}: {steps:#?}"));
        let on = &steps[at];
        // A rod may still go in after it, through the anvil, and its step says so.
        for later in &steps[at + 1..] {
            let rod = later.action.contains("rod") && later.text.contains("hole in the anvil");
            assert!(rod || later.action.contains("measure"), "{of}: {steps:#?}");
        }
        assert!(on.text.contains("from the V side"), "{}", on.text);
        let motion = on.motion.expect("a motion");
        assert_eq!((motion.kind, motion.axis), (MotionKind::Straight, Axis::Y));
        assert!(motion.distance < Length::ZERO, "{of}: not from the V side");
    }
}

/// A yoke is in nobody's way: the foot lies below it, and the table below that.
#[test]
fn the_yoke_stays_above_the_foot() {
    for of in [KITS[0], KITS[2]] {
        let bench = Bench::new(&kit(of, ""), 0.02);
        let yoke = bench.mesh_at(bench.piece("yoke"), 0.0);
        let frame = bench.mesh_at(bench.piece("frame"), 0.0);
        let [bottom, _] = reach(&frame, 1, |_| true);
        let [lower, upper] = reach(&yoke, 1, |_| true);
        // A flange of 8, on it a washer of 1.1 (ISO 7089) and a head of 3.65 (ISO 4017, M5), and a
        // millimetre of air.
        assert!(
            lower >= bottom + 8.0 + 1.1 + 3.65 + 1.0 - 1e-6,
            "{of}: {lower} {bottom}"
        );
        assert!((upper + lower).abs() < 1e-6 && (upper - lower - 16.0).abs() < 1e-6);
    }
}

#[test]
fn a_throat_is_refused_where_there_is_no_anvil_and_where_the_rod_would_meet_it() {
    for (end, layout, throat) in [
        ("end = \"rod\"\n", KITS[0], 60),
        ("end = \"ears\"\n", KITS[0], 3),
        ("", KITS[1], 60),
        (
            "",
            "layout = \"tandem\"\ndrive = \"M24x3\"\nthin = \"M16x2\"\nstroke = 15\n",
            60,
        ),
    ] {
        let said = format!("sizes.throat = {throat}\n");
        let text = format!("name = \"t\"\n{end}{layout}{said}");
        let problems = text.parse::<Kit>().unwrap_err();
        assert_eq!(problems.len(), 1, "{text}: {problems:?}");
        let mend = problems[0].mend.as_ref().unwrap();
        let without = text.replace(&said, "");
        assert!(mend.contains("remove `sizes.throat`"), "{mend}");
        assert!(without.parse::<Kit>().is_ok());
        let press = "`end = \"press\"`";
        assert_eq!(mend.contains(press), !layout.contains("tandem"), "{mend}");
        if mend.contains(press) {
            // In place of the throat, as it says, however short that was.
            let with = without.replace(end, "");
            let with = with.replace("name = \"t\"\n", "name = \"t\"\nend = \"press\"\n");
            let with: Kit = with.parse().unwrap();
            let profile = netlead::printer::Profile::untuned_for(&with);
            assert!(netlead::layout::design(&with, &profile).is_ok());
        }
    }
    // The carriage stops half a millimetre and a layer at the most after the stroke; half a millimetre
    // more must be left.
    let design = |throat: f64| {
        let kit = kit(KITS[0], &format!("sizes.throat = {throat}\n"));
        netlead::layout::design(&kit, &netlead::printer::Profile::untuned_for(&kit))
    };
    assert!(design(20.9).is_err() && design(21.2).is_ok());
}
