//! The preload spring: its numbers against a table worked by hand, its pocket on the mesh, its solid
//! through the stroke, what is left of the lost motion, what the bench is told, and refusals that are
//! followed.

use crate::support::bench::Bench;
use crate::support::body::{Body, shared};
use crate::support::kits::{self, said};
use crate::support::shell::{data, done, room, unfolded};
use crate::support::sizes::{End, sizes};
use crate::support::{left, mm, right};
use approx::assert_relative_eq;
use netlead::assembly::{Made, Pose};
use netlead::kit::{self, Kit, Spring};
use netlead::layout::Design;
use netlead::load::{Case, PreloadFigures, preload};
use netlead::motion::{self, solve_stroke};
use netlead::printer::Profile;
use netlead::strength::{CoilSpring, Winding};
use netlead::trial::Prediction;
use netlead::units::{Length, real};
use std::fs;

/// A steel spring by its active coils.
fn spring(wire: f64, outside: f64, free: f64, coils: f64) -> Spring {
    Spring {
        coil: CoilSpring {
            wire: mm(wire),
            outside: mm(outside),
            free: mm(free),
            winding: Winding::Coils(coils),
        },
        pull: None,
    }
}

/// The kit with one of 1 mm wire, 16 mm outside, as long as it takes.
fn sprung(mut kit: Kit, free: f64) -> Kit {
    kit.spring = Some(spring(1.0, 16.0, free, 5.0));
    kit
}

fn figures(kit: &Kit, design: &Design) -> PreloadFigures {
    let case = Case {
        kit,
        profile: &Profile::untuned_for(kit),
        design,
        rates: &solve_stroke(&design.assembly, design.net_lead).unwrap(),
    };
    preload(&case).unwrap()
}

/// Sprung kits of every layout that has a place for one, both hands, both units, coarse and fine.
fn sprung_kits() -> Vec<(&'static str, Kit)> {
    let mut inches = sprung(
        kits::kit(
            right(25.4, 25.4 / 8.0),
            Some(right(15.875, 25.4 / 11.0)),
            12.7,
        ),
        45.0,
    );
    inches.inches = true;
    let mut tandem = kits::tandem(right(20.0, 2.5), right(14.0, 2.0), 8.0);
    tandem.spring = Some(spring(1.2, 20.0, 40.0, 5.0));
    let mut left_tandem = kits::tandem(left(24.0, 3.0), left(16.0, 2.0), 12.0);
    left_tandem.spring = Some(spring(1.2, 22.5, 60.0, 6.0));
    let mut coarse = sprung(kits::m16(), 60.0);
    coarse.layer = said(mm(0.2));
    coarse.sizes.thread_gap = Some(said(mm(0.3)));
    coarse.spring = Some(spring(1.0, 13.0, 60.0, 5.0));
    vec![
        ("nested", sprung(kits::m20_m12(), 40.0)),
        ("nested, left", sprung(kits::left_pair(), 40.0)),
        ("nested, opposite", sprung(kits::opposite_hands(), 70.0)),
        ("nested, inches", inches),
        ("single, coarse layers", coarse),
        ("tandem", tandem),
        ("tandem, left", left_tandem),
    ]
}

/// Wire, outside, free length, active coils; N/mm, solid length, pocket, N at turn 0 and at the end, MPa
/// at the end, N m added at both: of M20x2.5 over M12x1.75, stroke 10, layers of 0.14, friction 0.25;
/// worked by hand with 79.3 GPa.
type Row = ([f64; 4], f64, f64, f64, [f64; 2], f64, [f64; 2]);
const BY_HAND: [Row; 5] = [
    (
        [0.6, 10.0, 35.0, 8.0],
        0.193,
        6.0,
        6.72,
        [3.4, 5.4],
        649.0,
        [0.015, 0.023],
    ),
    (
        [0.8, 14.0, 40.0, 6.0],
        0.294,
        6.4,
        7.14,
        [6.6, 9.5],
        679.0,
        [0.029, 0.041],
    ),
    (
        [1.0, 16.0, 40.0, 5.0],
        0.587,
        7.0,
        7.70,
        [12.8, 18.7],
        781.0,
        [0.056, 0.081],
    ),
    (
        [1.2, 20.0, 45.0, 6.0],
        0.516,
        9.6,
        10.36,
        [12.4, 17.6],
        532.0,
        [0.054, 0.077],
    ),
    (
        [1.0, 18.0, 50.0, 6.0],
        0.336,
        8.0,
        8.82,
        [10.3, 13.7],
        641.0,
        [0.045, 0.060],
    ),
];

#[test]
fn springs_press_and_add_torque_as_worked_by_hand() {
    for (sizes, rate, solid, pocket, forces, stress, torques) in BY_HAND {
        let [wire, outside, free, coils] = sizes;
        let mut kit = kits::m20_m12();
        kit.layer = said(mm(0.14));
        kit.spring = Some(spring(wire, outside, free, coils));
        let design = kits::design(&kit);
        let held = design.members.preload.as_ref().unwrap();
        // As many digits as the table has.
        assert_relative_eq!(held.coil.rate().as_newtons_per_mm(), rate, epsilon = 5e-4);
        assert_relative_eq!(held.coil.solid().as_mm(), solid, epsilon = 1e-9);
        assert_relative_eq!(held.at_stop.as_mm(), pocket, epsilon = 1e-9);
        let figures = figures(&kit, &design);
        // The frame is rounded up to whole layers, by which the spring is longer.
        let rounded = held.at_end.as_mm() - (pocket + 0.5);
        assert!((-1e-9..0.14).contains(&rounded), "{rounded}");
        for (force, by_hand) in figures.force.iter().zip(forces) {
            let by_hand = by_hand - rate * rounded;
            assert_relative_eq!(force.as_newtons(), by_hand, epsilon = 0.06);
        }
        let at_end = held.coil.stress(figures.force[1]).as_megapascals();
        assert_relative_eq!(at_end, stress, max_relative = 8e-3);
        for (torque, by_hand) in figures.torque.iter().zip(torques) {
            assert_relative_eq!(torque.as_newton_metres(), by_hand, epsilon = 1e-3);
        }
    }
}

/// Heights and radii of a mesh's points.
fn points(bench: &Bench, part: &str) -> Vec<[f64; 2]> {
    let parts = &bench.design.assembly.parts;
    let index = parts.iter().position(|one| one.name == part).unwrap();
    let points = bench.meshes[index].points.iter();
    points.map(|p| [p.z, real::hypot(p.x, p.y)]).collect()
}

#[test]
fn the_pocket_on_the_mesh_takes_the_spring_and_never_lets_it_go_solid() {
    for (name, kit) in sprung_kits() {
        let bench = Bench::kept(&kit, 0.01);
        let coil = kit.spring.as_ref().unwrap().coil;
        let pocket = (coil.outside.as_mm() + 1.0) / 2.0;
        let all = points(&bench, "keeper");
        let end = all.iter().map(|[z, _]| *z).fold(0.0, f64::max);
        let on_wall = |[_, radius]: &&[f64; 2]| (radius - pocket).abs() < 1e-6;
        let heights = || all.iter().filter(on_wall).map(|[z, _]| *z);
        let floor = heights().fold(f64::INFINITY, f64::min);
        let mouth = heights().fold(0.0, f64::max);
        // Its mouth is broken by 0.6.
        assert_relative_eq!(mouth, end - 0.6, epsilon = 1e-6);
        let depth = end - floor;
        // 0.7 and at most a layer deeper than the solid spring.
        let solid = coil.wire.as_mm() * (coil.coils() + 2.0);
        let spare = depth - solid;
        assert!(
            (0.7..0.7 + kit.layer.as_mm() + 1e-9).contains(&(spare + 1e-9)),
            "{name}: {spare}"
        );
        // Nothing stands in it, and the ring around it that stops the carriage is 3.5 wide.
        let inside = |[z, radius]: &&[f64; 2]| *z > floor + 1e-6 && *radius < pocket - 1e-6;
        assert_eq!(all.iter().filter(inside).count(), 0, "{name}");
        let outside = |[z, radius]: &&[f64; 2]| *z > floor + 1e-6 && *radius > pocket + 1.0;
        let ring = all.iter().filter(outside).map(|[_, radius]| *radius);
        let ring = ring.fold(f64::INFINITY, f64::min);
        // The ring's rim is broken by 1 at its end.
        assert!(ring + 1.0 - pocket >= 3.5 - 0.02, "{name}: {ring}");
        // The spring stands on the floor wherever in the pocket it stands: its inside is wider than the
        // hole by what it can shift.
        let hole = |[z, _]: &&[f64; 2]| (z - floor).abs() < 1e-6;
        let hole = all.iter().filter(hole).map(|[_, radius]| *radius);
        let hole = hole.fold(f64::INFINITY, f64::min);
        assert!(coil.inside().as_mm() / 2.0 - hole >= 0.5 - 1e-9, "{name}");
    }
}

#[test]
fn the_spring_is_a_solid_that_nothing_meets_before_the_carriage_has_stopped() {
    for (name, kit) in sprung_kits() {
        let bench = Bench::kept(&kit, 0.01);
        let spring = bench.piece("spring");
        let turns = bench.design.course.turns;
        for turn in [0.0, 0.37, turns / 2.0, turns] {
            let body = bench.at(spring, turn);
            for other in bench.pieces().filter(|other| *other != spring) {
                let common = shared(&body, &bench.at(other, turn));
                assert!(common < 1e-6, "{name}: {} {common}", bench.name(other));
            }
        }
        // At turn 0 the carriage is as far from it as the spring still goes.
        let carriage = bench.piece("carriage");
        let body = bench.at(spring, 0.0);
        let at = |beyond: f64| -> f64 {
            let net = bench.design.net_lead;
            let to_stop = bench.design.members.preload.as_ref().unwrap();
            let to_stop = to_stop.at_zero - to_stop.at_stop;
            let turn = (to_stop + mm(beyond)) / net;
            shared(&body, &bench.at(carriage, turn))
        };
        assert_eq!(at(-0.02), 0.0, "{name}");
        // Were it to go on, it would press the shortest spring together.
        assert!(at(0.2) > 0.1, "{name}");
    }
}

#[test]
fn the_spring_stands_in_its_pocket_and_leaves_it_with_the_keeper_gone() {
    for (name, kit) in sprung_kits() {
        let bench = Bench::kept(&kit, 0.01);
        let [spring, keeper] = ["spring", "keeper"].map(|piece| bench.piece(piece));
        let [of_spring, of_keeper] = [spring, keeper].map(|piece| bench.at(piece, 0.0));
        assert!(shared(&of_spring, &of_keeper) < 1e-6);
        // A little further in, all of its end stands in the pocket's floor.
        let pose = bench.pose(spring, 0.0).shifted(mm(0.0), mm(0.0), mm(0.1));
        let deeper: Body = bench.posed(spring, &pose);
        let coil = kit.spring.as_ref().unwrap().coil;
        let [outside, inside] = [coil.outside, coil.inside()].map(|across| across.as_mm() / 2.0);
        let area = std::f64::consts::PI * (outside * outside - inside * inside);
        assert_relative_eq!(shared(&deeper, &of_keeper), area * 0.1, max_relative = 0.02);
        // A little aside, but by less than its room, it touches nothing.
        let pose: Pose = bench.pose(spring, 0.0).shifted(mm(0.48), mm(0.0), mm(0.0));
        let aside = bench.posed(spring, &pose);
        assert!(shared(&aside, &of_keeper) < 1e-6, "{name}");
    }
}

#[test]
fn a_spring_changes_nothing_of_carriage_screws_and_stops() {
    let plain = kits::m20_m12();
    let with = sprung(plain.clone(), 40.0);
    let [plain, with] = [plain, with].map(|kit| Bench::kept(&kit, 0.01));
    let mut changed = Vec::new();
    for (index, part) in plain.design.assembly.parts.iter().enumerate() {
        if plain.meshes[index].points != with.meshes[index].points {
            changed.push(part.name.clone());
        }
    }
    // Both are longer by the pocket.
    assert_eq!(changed, ["frame", "keeper"]);
    let [one, other] = [&plain, &with].map(|bench| sizes(&bench.design));
    assert_eq!(one.keeper_face, other.keeper_face);
    let longer = (other.frame_length - one.frame_length).as_mm();
    assert_relative_eq!(longer, 7.8, epsilon = 1e-9);
    assert_relative_eq!(
        (other.keeper_plug - one.keeper_plug).as_mm(),
        7.8,
        epsilon = 1e-9
    );
}

#[test]
fn all_play_along_the_axis_goes_and_what_the_carriage_turns_stays() {
    let kit = sprung(kits::m20_m12(), 40.0);
    let design = kits::design(&kit);
    let swings = design.swings_under_preload(motion::carried_on);
    let left: f64 = swings
        .iter()
        .map(|swing| {
            let gap = design.assembly.joint(swing.joint).gap.unwrap();
            gap.wanted.as_mm() * swing.ahead
        })
        .sum();
    // By hand: the carriage turns by 2 gs over the ears' reach, the inner screw's head by 2 gl over its
    // radius, and the inner screw's lead goes with both.
    let sizes = sizes(&design);
    let End::Nested(inner) = &sizes.end else {
        panic!("a nested kit");
    };
    let reach = sizes.frame_side.as_mm() / 2.0 - 1.0;
    let radians = 2.0 * 0.14 / reach + 2.0 * 0.06 / (inner.collar.as_mm() / 2.0);
    let by_hand = radians / std::f64::consts::TAU * 1.75;
    assert_relative_eq!(left, by_hand, max_relative = 0.03);
    // A trial expects that alone of a kit with a spring, and the play of one without.
    let lost = |kit: &Kit| {
        let profile = Profile::untuned_for(kit);
        let design = netlead::layout::design(kit, &profile).unwrap();
        let prediction = Prediction::new(kit, &design, &profile).unwrap();
        prediction.lost_motion.map(Length::as_mm)
    };
    let [low, middle, high] = lost(&kit);
    assert!(
        0.0 <= low && low <= middle && middle <= high,
        "{low} {high}"
    );
    assert!(
        (by_hand * 0.6..by_hand * 1.8).contains(&high),
        "{high} {by_hand}"
    );
    assert!(lost(&kits::m20_m12())[2] > 10.0 * high);
}

#[test]
fn a_spring_takes_its_share_of_a_safe_push() {
    let base = |more: &str| {
        format!(
            "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10\n\
             material = \"PETG\"\nhand_torque = 1\nload = \"100 N\"\n{more}"
        )
    };
    let room = room();
    let told = |more: &str| {
        fs::write(room.path().join("kit.toml"), base(more)).unwrap();
        data(room.path(), &["check", "kit.toml", "--json"])
    };
    let plain = told("");
    let with = told("spring = { wire = 1, outside = 16, free = 40, coils = 5, pull = 0 }\n");
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    let at_stop = number(&with["motion"]["preload"]["force_n"]["stop"]);
    let less = number(&plain["force"]["safe_load_n"]) - number(&with["force"]["safe_load_n"]);
    // The weakest place is the same pin in both.
    assert_relative_eq!(less, at_stop, max_relative = 1e-6);
    // And the load's torque is that of load and spring.
    let torque = |report: &serde_json::Value| number(&report["motion"]["torque_nm"]);
    assert_relative_eq!(
        torque(&with) / torque(&plain),
        1.0 + at_stop / 100.0,
        max_relative = 1e-5
    );
    assert!(plain["motion"]["preload"].is_null());
    let added = &with["motion"]["preload"]["torque_added_nm"];
    let force = &with["motion"]["preload"]["force_n"];
    assert_relative_eq!(
        number(&added["end"]) / number(&added["turn_0"]),
        number(&force["end"]) / number(&force["turn_0"]),
        max_relative = 1e-4
    );
}

#[test]
fn a_spring_is_bought_goes_in_before_the_keeper_and_is_cautioned_of() {
    let room = room();
    for (layout, second) in [
        ("nested", "inner = \"M12x1.75\""),
        ("tandem", "thin = \"M14x2\""),
    ] {
        let outside = if layout == "tandem" { 20 } else { 16 };
        let text = format!(
            "name = \"sprung\"\nlayout = \"{layout}\"\ndrive = \"M20x2.5\"\n{second}\nstroke = 8\n\
             material = \"PETG\"\nhand_torque = 0.8\ntolerance = 0.03\n\
             spring = {{ wire = 1.2, outside = {outside}, free = 36, coils = 5 }}\n"
        );
        fs::write(room.path().join("kit.toml"), text).unwrap();
        let page = unfolded(&done(
            room.path(),
            &["make", "kit.toml", "--out", layout, "--all"],
        ));
        assert!(page.contains("with the spring"), "{page}");
        let folder = room.path().join(layout);
        let stl: Vec<_> = fs::read_dir(folder.join("parts"))
            .unwrap()
            .map(|file| file.unwrap().file_name().into_string().unwrap())
            .collect();
        assert!(stl.iter().all(|name| !name.contains("spring")), "{stl:?}");
        let bill = fs::read_to_string(folder.join("bill.csv")).unwrap();
        let row = bill.lines().find(|row| row.starts_with("bought,spring,1"));
        let row = row.expect("a row");
        for said in [
            "wire 1.2 mm",
            "free length 36 mm",
            "5 active coils",
            "N/mm",
            "ground",
        ] {
            assert!(row.contains(said), "{row}");
        }
        let report = fs::read_to_string(folder.join("report.json")).unwrap();
        let report: serde_json::Value = serde_json::from_str(&report).unwrap();
        let steps = report["steps"].as_array().unwrap();
        let at = |action: &str| {
            let step = steps.iter().position(|step| step["action"] == action);
            step.unwrap_or_else(|| panic!("no step to {action}"))
        };
        let (spring, keeper) = (at("put the spring in"), at("fit the keeper"));
        assert_eq!(spring + 1, keeper);
        // The motion is the one found: towards the drive head.
        assert!(steps[spring]["motion"]["distance_mm"].as_f64().unwrap() < 0.0);
        let force = report["motion"]["preload"]["force_n"]["turn_0"]
            .as_f64()
            .unwrap();
        let said = format!("{force:.1} N");
        let keeper = steps[keeper]["text"].as_str().unwrap();
        assert!(
            keeper.contains(&said) && keeper.contains("both thumbs"),
            "{keeper}"
        );
        assert!(keeper.contains("eye protection"), "{keeper}");
        let guide = unfolded(&fs::read_to_string(folder.join("guide.md")).unwrap());
        assert!(
            guide.contains(&format!("presses the keeper out with {said}")),
            "{guide}"
        );
        let apart = unfolded(&done(room.path(), &["take-apart", "kit.toml"]));
        assert!(
            apart.contains("Drive its pins in or out at turn 0 only"),
            "{apart}"
        );
    }
}

/// The message and the mend of every problem of a kit with a spring.
fn problems(text: &str) -> Vec<[String; 2]> {
    let told = |problems: Vec<netlead::diagnostic::Diagnostic>| {
        let told = problems.into_iter();
        told.map(|problem| [problem.message, problem.mend.unwrap_or_default()])
            .collect()
    };
    match kit::read(text, &[]) {
        Err(problems) => told(problems),
        Ok((kit, _)) => match netlead::layout::design(&kit, &Profile::untuned_for(&kit)) {
            Err(problems) => told(problems),
            Ok(_) => Vec::new(),
        },
    }
}

const NESTED: &str =
    "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10\n";

#[test]
fn what_no_keeper_takes_is_refused_with_a_size_that_it_does() {
    let tandem = NESTED
        .replace("nested", "tandem")
        .replace("inner = \"M12x1.75\"", "thin = \"M14x2\"");
    for (base, key, refused, others) in [
        (NESTED, "outside", 23.0, "wire = 1, free = 60, coils = 5"),
        (NESTED, "outside", 7.0, "wire = 1, free = 60, coils = 5"),
        (NESTED, "outside", 3.0, "wire = 1, free = 60, coils = 5"),
        (NESTED, "free", 15.0, "wire = 1, outside = 16, coils = 5"),
        (&tandem, "outside", 15.0, "wire = 1, free = 60, coils = 5"),
        (&tandem, "outside", 40.0, "wire = 1, free = 90, coils = 5"),
        (&tandem, "free", 15.0, "wire = 1, outside = 20, coils = 5"),
    ] {
        let text = |value: f64| format!("{base}spring = {{ {key} = {value}, {others} }}\n");
        let mut value = refused;
        // One limit may stand behind another: each mend is followed once.
        let mut rounds = 0;
        while let Some([message, mend]) = problems(&text(value)).first() {
            assert!(message.contains("spring"), "{message}");
            let words = ["at least ", "at most "];
            let limit = words.iter().find_map(|word| mend.split(word).nth(1));
            let limit = limit.unwrap_or_else(|| panic!("{message}: {mend}"));
            value = limit.split(' ').next().unwrap().parse().unwrap();
            rounds += 1;
            assert!(rounds <= 2, "{message}: {mend}");
        }
        assert!(rounds >= 1, "{key} = {refused} is not refused");
    }
    // A plug that the kit makes too short for the pocket.
    let short = format!(
        "{NESTED}sizes.keeper_plug = 14\nspring = {{ wire = 1, outside = 16, free = 40, coils = 5 }}\n"
    );
    let [message, mend] = &problems(&short)[0];
    assert!(message.contains("hold the spring's pocket"), "{message}");
    let least = mend.split("at least ").nth(1).unwrap();
    let least = least.split(' ').next().unwrap();
    assert!(
        problems(&short.replace("= 14", &format!("= {least}"))).is_empty(),
        "{mend}"
    );
}

#[test]
fn a_spring_half_said_is_refused_with_what_it_lacks() {
    let told = |spring: &str| problems(&format!("{NESTED}spring = {{ {spring} }}\n"));
    for (spring, says, mend) in [
        (
            "wire = 1",
            "`spring.outside` is missing",
            "give the spring in whole",
        ),
        (
            "pull = 5",
            "`spring.wire` is missing",
            "give the spring in whole",
        ),
        (
            "wire = 1, outside = 16, free = 40",
            "neither `coils` nor `rate`",
            "add `coils = 5`",
        ),
        (
            "wire = 1, outside = 16, free = 40, coils = 5, rate = 0.6",
            "both `coils` and `rate`",
            "remove `coils`",
        ),
        (
            "wire = 1, outside = 16, free = 40, rate = 50",
            "can be wound",
            "write `rate` from",
        ),
    ] {
        let found = told(spring);
        let fits = |one: &[String; 2]| one[0].contains(says) && one[1].contains(mend);
        assert!(found.iter().any(fits), "{spring}: {found:?}");
    }
    // Both ends of the rates that are offered are taken.
    let found = told("wire = 1, outside = 16, free = 90, rate = 50");
    let offered = found[0][1].split("from ").nth(1).unwrap();
    for rate in offered
        .split(" to ")
        .map(|rate| rate.split(' ').next().unwrap())
    {
        let kit =
            format!("{NESTED}spring = {{ wire = 1, outside = 16, free = 300, rate = {rate} }}\n");
        assert!(kit::read(&kit, &[]).is_ok(), "{rate}");
    }
    // An opposed kit says why.
    let opposed = "name = \"t\"\nlayout = \"opposed\"\ndrive = \"M16\"\nfar = \"M16-LH\"\nstroke = 20\n\
                   spring = { wire = 1, outside = 16, free = 40, coils = 5 }\n";
    let [message, mend] = &problems(opposed)[0];
    assert!(message.contains("move against each other"), "{message}");
    assert_eq!(mend, "remove `spring`");
}

#[test]
fn a_rate_in_pounds_is_told_in_pounds_first() {
    let text = NESTED.replace("stroke = 10", "stroke = 0.4\nunits = \"inch\"")
        + "spring = { wire = 0.04, outside = 0.63, free = 1.6, rate = \"3.5 lbf/in\" }\n";
    let kit: Kit = text.parse().unwrap();
    let design = kits::design(&kit);
    let mut parts = design.assembly.parts.iter();
    let part = parts.find(|part| part.name == "spring").unwrap();
    let Made::Bought(asked) = &part.made else {
        panic!("a bought spring");
    };
    assert!(asked.contains("0.04 in (1.02 mm)"), "{asked}");
    assert!(asked.contains("3.5 lbf/in (0.613 N/mm)"), "{asked}");
}

#[test]
fn a_trial_that_finds_play_under_a_spring_sends_to_the_spring() {
    let room = room();
    let rows = [
        "0 30.77",
        "4 27.77",
        "8 24.77",
        "12 21.77",
        "8 24.27 back",
        "4 27.27 back",
        "0 30.27 back",
    ];
    let mut arguments = vec![
        "trial",
        "kit.toml",
        "--reading",
        "depth",
        "--resolution",
        "0.01",
    ];
    arguments.extend(rows.iter().flat_map(|row| ["--row", row]));
    for (spring, sent) in [
        (
            "spring = { wire = 1, outside = 16, free = 40, coils = 5 }\n",
            true,
        ),
        ("", false),
    ] {
        fs::write(room.path().join("kit.toml"), format!("{NESTED}{spring}")).unwrap();
        let page = unfolded(&done(room.path(), &arguments));
        assert_eq!(page.contains("Look at the spring first"), sent, "{page}");
    }
}
