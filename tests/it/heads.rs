//! Heads and their dials, on the meshes: ticks are as many, as far apart and where it is said; the count
//! rises while the stroke is carried out; nothing touches that should not.

use crate::support::bench::{Bench, in_parallel};
use netlead::assembly::{InstanceId, Turning};
use netlead::kit::Kit;
use netlead::layout::Design;
use netlead::printer::Profile;
use netlead::units::Angle;

/// Chord tolerance of these meshes, in mm.
const TOLERANCE: f64 = 0.02;
/// What rounding leaves where faces meet exactly, in mm3.
const TOUCH: f64 = 1e-6;
/// Ticks are grooves 0.6 mm deep at a line of 0.45 mm; this deep are only their roots, in mm.
const IN_A_TICK: f64 = 0.4;
/// No tick is as long, in mm: a dial is 7 mm high at these lines and layers.
const LONGEST: f64 = 6.5;
/// Least distance of ticks, in mm: what is told apart at arm's length (common practice).
const APART: f64 = 2.0;

/// A kit by its lines.
fn kit(lines: &str) -> Kit {
    format!("name = \"t\"\nhand_torque = 0.1\n{lines}\n")
        .parse()
        .unwrap_or_else(|problems| panic!("{lines}: {problems:?}"))
}

/// Every layout with every head, both hands, both units; dials whose last long tick tells the way in
/// which they count.
fn kits() -> Vec<(String, Kit)> {
    let nested = "layout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 6";
    let single = "layout = \"single\"\ndrive = \"M16x2\"\nstroke = 20";
    let tandem = "layout = \"tandem\"\ndrive = \"M24x3\"\nthin = \"M16x2\"\nstroke = 12";
    let opposed = "layout = \"opposed\"\ndrive = \"M16x2\"\nfar = \"M16x2-LH\"\nstroke = 20";
    let inch = "units = \"inch\"\nlayout = \"nested\"\ndrive = \"7/8-9\"\ninner = \"9/16-12\"\nstroke = 0.5";
    let left = |lines: &str| {
        let turned = lines.replace("M20x2.5\"", "M20x2.5-LH\"");
        let turned = turned.replace("M12x1.75\"", "M12x1.75-LH\"");
        let turned = turned.replace("far = \"M16x2-LH\"", "far = \"M16x2 RH\"");
        let turned = turned.replace("\"M16x2\"", "\"M16x2-LH\"");
        let turned = turned.replace("M16x2 RH", "M16x2");
        turned.replace("M24x3\"", "M24x3-LH\"")
    };
    let opposite = nested.replace("M12x1.75\"", "M12x1.75-LH\"");
    let heads = ["hexagon", "knob", "tommy"];
    let ticks = [36, 47, 33];
    let all = [
        nested.to_owned(),
        left(nested),
        opposite,
        single.to_owned(),
        left(single),
        inch.to_owned(),
        tandem.to_owned(),
        left(tandem),
        tandem.to_owned(),
        opposed.to_owned(),
        left(opposed),
        opposed.to_owned(),
    ];
    let dialled = all.iter().enumerate().map(|(index, lines)| {
        let (head, ticks) = (heads[index % 3], ticks[index % 3]);
        format!("{lines}\nhead.kind = \"{head}\"\ndial = {ticks}")
    });
    let bare = all.iter().enumerate().map(|(index, lines)| {
        let head = heads[(index + 1) % 3];
        format!("{lines}\nhead.kind = \"{head}\"")
    });
    // A crank carries a dial only where its head does not travel.
    let cranks = [
        nested.to_owned(),
        left(nested),
        single.to_owned(),
        inch.to_owned(),
        tandem.to_owned(),
        opposed.to_owned(),
        format!("{opposed}\ndial = 41"),
        format!("{}\ndial = 41", left(opposed)),
    ];
    let cranks = cranks.map(|lines| format!("{lines}\nhead.kind = \"crank\""));
    dialled
        .chain(bare)
        .chain(cranks)
        .map(|lines| (lines.clone(), kit(&lines)))
        .collect()
}

/// A groove of a dial.
struct Tick {
    /// Where its root stands, in turns from +x, from 0 to 1.
    at: f64,
    /// Half its width, in mm.
    half: f64,
    /// Its length from the dial's face, in mm.
    long: f64,
}

/// Radius of a head, the arm of a crank not counted: that stands towards -y at turn 0.
fn hub(bench: &Bench) -> f64 {
    let mesh = bench.mesh_at(bench.piece("drive"), 0.0);
    let head = mesh.points.iter().filter(|point| point.z < 1e-6);
    let beside = head.filter(|point| point.y >= 0.0);
    let far = beside.map(|point| (point.x * point.x + point.y * point.y).sqrt());
    far.fold(0.0, f64::max)
}

/// The ticks that a drive screw's mesh has at a turn, counter-clockwise about z, and the dial's radius.
fn ticks(bench: &Bench, turn: f64) -> (Vec<Tick>, f64) {
    let mesh = bench.mesh_at(bench.piece("drive"), turn);
    let polar = mesh.points.iter().map(|point| {
        let at = Angle::of_point(point.x, point.y).as_turns();
        let far = (point.x * point.x + point.y * point.y).sqrt();
        (at.rem_euclid(1.0), far, point.z)
    });
    // The head stands before the frame.
    let head: Vec<(f64, f64, f64)> = polar.filter(|(_, _, z)| *z < 1e-6).collect();
    let outside = hub(bench);
    let outer = || head.iter().filter(|(_, far, _)| *far > 0.8 * outside);
    let face = outer()
        .map(|(_, _, z)| *z)
        .fold(f64::NEG_INFINITY, f64::max);
    let on_face: Vec<_> = outer()
        .filter(|(_, _, z)| (z - face).abs() < 1e-6)
        .collect();
    let radius = on_face.iter().map(|(_, far, _)| *far).fold(0.0, f64::max);
    let off = |a: f64, b: f64| {
        let off = (a - b).rem_euclid(1.0);
        off.min(1.0 - off)
    };
    let in_a_tick = |far: f64| far < radius - IN_A_TICK;
    let mut roots: Vec<f64> = on_face
        .iter()
        .filter(|(_, far, _)| in_a_tick(*far))
        .map(|(at, _, _)| *at)
        .collect();
    roots.sort_by(f64::total_cmp);
    let found = roots.iter().map(|root| {
        let rim = on_face.iter().filter(|(_, far, _)| *far > radius - 1e-3);
        let half = rim.map(|(at, _, _)| off(*at, *root)).fold(1.0, f64::min);
        // The head under the dial may have corners and marks there too.
        let along = outer()
            .filter(|(at, far, z)| in_a_tick(*far) && off(*at, *root) < 1e-6 && face - z < LONGEST);
        let lowest = along.map(|(_, _, z)| *z).fold(face, f64::min);
        Tick {
            at: *root,
            half: half * std::f64::consts::TAU * radius,
            long: face - lowest,
        }
    });
    (found.collect(), radius)
}

/// The ticks from the wide one on, counter-clockwise.
fn from_zero(mut ticks: Vec<Tick>) -> Vec<Tick> {
    let widest = (0..ticks.len()).max_by(|a, b| ticks[*a].half.total_cmp(&ticks[*b].half));
    ticks.rotate_left(widest.expect("a tick"));
    ticks
}

/// Where a dial is read on the meshes, in turns from +x: at the edge of the bar, or where the frame's V
/// along the +x side is deepest.
fn index(bench: &Bench) -> f64 {
    let bar = bench
        .pieces()
        .find(|piece| bench.name(*piece) == "index-bar");
    match bar {
        Some(bar) => {
            let mesh = bench.mesh_at(bar, 0.0);
            let edge = mesh
                .points
                .iter()
                .map(|point| point.x)
                .fold(f64::MIN, f64::max);
            let near = mesh
                .points
                .iter()
                .filter(|point| (point.x - edge).abs() < 1e-6);
            assert!(near.clone().all(|point| point.y > 0.0));
            let lowest = near.map(|point| point.y).fold(f64::MAX, f64::min);
            Angle::of_point(edge, lowest).as_turns()
        }
        None => {
            let mesh = bench.mesh_at(bench.piece("frame"), 0.0);
            let side = mesh
                .points
                .iter()
                .map(|point| point.x)
                .fold(f64::MIN, f64::max);
            let in_v = mesh
                .points
                .iter()
                .filter(|point| (point.x - (side - 0.8)).abs() < 1e-6 && point.z.abs() < 1e-6);
            let mut at = in_v.map(|point| Angle::of_point(point.x, point.y).as_turns());
            at.next().expect("a V at the frame's face")
        }
    }
}

fn dialled() -> Vec<(String, Kit)> {
    kits()
        .into_iter()
        .filter(|(_, kit)| kit.dial.is_some())
        .collect()
}

#[test]
fn a_dial_has_as_many_ticks_as_is_said_evenly_apart_and_its_wide_one_at_the_index() {
    in_parallel(&dialled(), |(lines, kit)| {
        let bench = Bench::new(kit, TOLERANCE);
        let (found, radius) = ticks(&bench, 0.0);
        let count = f64::from(**kit.dial.as_ref().unwrap());
        assert_eq!(found.len() as f64, count, "{lines}");
        assert!(
            std::f64::consts::TAU * radius / count >= APART - 1e-6,
            "{lines}"
        );
        let found = from_zero(found);
        for (place, tick) in found.iter().enumerate() {
            let off = (tick.at - found[0].at - place as f64 / count).rem_euclid(1.0);
            assert!(off.min(1.0 - off) < 1e-6, "{lines}: {place}");
        }
        let next = found[1..].iter().map(|tick| tick.half).fold(0.0, f64::max);
        assert!(found[0].half > 1.5 * next, "{lines}");
        let off = (found[0].at - index(&bench)).rem_euclid(1.0);
        assert!(off.min(1.0 - off) < 1e-6, "{lines}: zero is off by {off}");
    });
}

#[test]
fn the_count_rises_while_the_stroke_is_carried_out() {
    in_parallel(&dialled(), |(lines, kit)| {
        let bench = Bench::new(kit, TOLERANCE);
        let ticks_said = bench.design.dial.expect("a dial");
        let count = ticks_said.count as usize;
        let rate = bench.rates.of(bench.piece("drive"));
        // A positive turn is clockwise seen from the head.
        let clockwise = rate.turns > 0.0;
        assert_eq!(ticks_said.rises == Turning::Clockwise, clockwise, "{lines}");
        let found = from_zero(ticks(&bench, 0.0).0);
        let longest = found[0].long - 1e-6;
        // The tick that comes to the index k ticks later stands as much against the turning.
        let tick = |k: usize| match clockwise {
            true => &found[(count - k) % count],
            false => &found[k],
        };
        for k in 0..count {
            assert_eq!(tick(k).long >= longest, k % 10 == 0, "{lines}: {k}");
        }
        let medium = tick(5).long;
        assert!(medium < longest && medium > tick(1).long + 0.5, "{lines}");
        // On the meshes: ten ticks on, a long one stands at the index.
        let at = index(&bench);
        let (moved, _) = ticks(&bench, 10.0 / count as f64);
        let here = moved.iter().min_by(|a, b| {
            let off = |tick: &Tick| {
                let off = (tick.at - at).rem_euclid(1.0);
                off.min(1.0 - off)
            };
            off(a).total_cmp(&off(b))
        });
        assert!(here.expect("a tick").long >= longest, "{lines}");
    });
}

#[test]
fn a_tick_is_the_travel_of_the_leading_carriage_over_their_number() {
    for (lines, kit) in dialled() {
        let bench = Bench::new(&kit, 0.2);
        let ticks = bench.design.dial.expect("a dial");
        let carriage = bench.design.assembly.carriages.leading;
        let travel = bench.rates.of(carriage).advance.abs();
        let told = ticks.each * f64::from(ticks.count);
        assert!((travel - told).abs().as_mm() < 1e-9, "{lines}");
    }
}

#[test]
fn heads_dials_and_bars_touch_nothing_from_stop_to_stop_and_turn_on_a_table() {
    let clashes = in_parallel(&kits(), |(lines, kit)| {
        let bench = Bench::new(kit, TOLERANCE);
        let pieces: Vec<InstanceId> = bench.pieces().collect();
        let course = &bench.design.course;
        let around = hub(&bench);
        let frame = bench.mesh_at(bench.piece("frame"), 0.0);
        let underside = frame
            .points
            .iter()
            .map(|point| point.y)
            .fold(f64::MAX, f64::min);
        assert!(-underside >= around + 0.99, "{lines}: {underside} {around}");
        let mut found: Vec<String> = [0.0, 0.37 * course.turns, course.turns]
            .into_iter()
            .flat_map(|turns| bench.clashes(&pieces, turns, TOUCH))
            .collect();
        // Past the stops only the carriages meet what stops them.
        let screws: Vec<InstanceId> = bench
            .pieces()
            .filter(|piece| {
                let name = bench.name(*piece);
                name == "drive" || name == "frame" || name.starts_with("index")
            })
            .collect();
        for turns in [-course.over_travel, course.turns + course.over_travel] {
            found.extend(bench.clashes(&screws, turns, TOUCH));
        }
        found
            .into_iter()
            .map(|clash| format!("{lines}: {clash}"))
            .collect::<Vec<String>>()
    });
    assert_eq!(clashes.concat(), Vec::<String>::new());
}

#[test]
fn every_part_of_a_kit_with_a_head_is_sound_as_its_file_has_it() {
    in_parallel(&kits(), |(lines, kit)| {
        for tolerance in [0.01, 0.1] {
            let bench = Bench::new(kit, tolerance);
            for (part, written) in bench.written() {
                assert!(written.is_ok(), "{lines}: {} {written:?}", part.name);
            }
        }
    });
}

/// What is told of a kit that cannot be drawn.
fn refused(kit: &Kit) -> Vec<(String, String)> {
    let problems = netlead::layout::design(kit, &Profile::untuned_for(kit)).err();
    let problems = problems.unwrap_or_default().into_iter();
    problems
        .map(|problem| (problem.message, problem.mend.unwrap_or_default()))
        .collect()
}

fn drawn(kit: &Kit) -> Option<Design> {
    netlead::layout::design(kit, &Profile::untuned_for(kit)).ok()
}

const NESTED: &str = "layout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10";

const OPPOSED: &str = "layout = \"opposed\"\ndrive = \"M16x2\"\nfar = \"M16x2-LH\"\nstroke = 20";

/// The least that a message asks of a key, as its line.
fn asked(mend: &str, key: &str) -> String {
    let sought = format!("`{key}` to at least ");
    let at = mend.find(&sought).expect(mend);
    let rest = &mend[at + sought.len()..];
    let value: String = rest
        .chars()
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    format!("{key} = {value}")
}

#[test]
fn the_most_ticks_that_are_offered_fit_and_so_does_a_head_as_wide_as_is_asked() {
    for (mechanism, head, key) in [
        (NESTED, "hexagon", "head.across_flats"),
        (NESTED, "knob", "head.diameter"),
        (NESTED, "tommy", "head.diameter"),
        (OPPOSED, "crank", "head.diameter"),
    ] {
        for ticks in [61, 100, 200] {
            let lines = format!("{mechanism}\nhead.kind = \"{head}\"\n");
            let problems = refused(&kit(&format!("{lines}dial = {ticks}")));
            let [(message, mend)] = &problems[..] else {
                panic!("{head} {ticks}: {problems:?}");
            };
            assert!(message.contains("do not fit"), "{message}");
            let offered = mend.split('`').nth(1).expect("a line to write");
            assert!(
                drawn(&kit(&format!("{lines}{offered}"))).is_some(),
                "{offered}"
            );
            let most: u32 = message
                .split(": ")
                .nth(1)
                .and_then(|rest| rest.split(' ').next()?.parse().ok())
                .expect("the most");
            assert!(drawn(&kit(&format!("{lines}dial = {most}"))).is_some());
            let one_more = kit(&format!("{lines}dial = {}", most + 1));
            assert!(!refused(&one_more).is_empty(), "{head}: {most}");
            let wider = asked(mend, key);
            let wide = kit(&format!("{lines}dial = {ticks}\n{wider}"));
            assert!(drawn(&wide).is_some(), "{wider}: {:?}", refused(&wide));
        }
    }
}

#[test]
fn a_crank_that_is_told_to_be_wider_is_told_the_arm_that_goes_with_it() {
    for (units, arm, ticks) in [
        ("", 30.0, 61),
        ("", 30.0, 100),
        ("units = \"inch\"\n", 1.2, 100),
    ] {
        let opposed = match units {
            "" => OPPOSED.to_owned(),
            _ => OPPOSED.replace("stroke = 10", "stroke = 0.4"),
        };
        let lines = format!("{units}{opposed}\nhead.kind = \"crank\"\nhead.arm = {arm}\n");
        assert!(drawn(&kit(&lines)).is_some(), "{lines}");
        let problems = refused(&kit(&format!("{lines}dial = {ticks}")));
        let [(_, mend)] = &problems[..] else {
            panic!("{problems:?}");
        };
        let [wider, longer] = ["head.diameter", "head.arm"].map(|key| asked(mend, key));
        let lines = lines.replace(&format!("head.arm = {arm}"), &longer);
        let both = kit(&format!("{lines}dial = {ticks}\n{wider}"));
        assert!(drawn(&both).is_some(), "{mend}: {:?}", refused(&both));
    }
    // An arm that is long enough is left alone.
    let long = format!("{OPPOSED}\nhead.kind = \"crank\"\nhead.arm = 150\ndial = 61");
    assert!(!refused(&kit(&long))[0].1.contains("head.arm"));
    // A hub that is too narrow and an arm that is too short beside one that is not are told at once.
    let narrow = format!("{OPPOSED}\nhead = {{ kind = \"crank\", diameter = 5.5, arm = 16 }}");
    let problems = refused(&kit(&narrow));
    let told = |key: &str| {
        problems
            .iter()
            .find_map(|(_, mend)| mend.contains(key).then_some(mend))
    };
    let least = |key: &str| -> f64 {
        let mend = told(key).unwrap_or_else(|| panic!("{problems:?}"));
        let rest = mend.split("at least ").nth(1).unwrap();
        rest.split(' ').next().unwrap().parse().unwrap()
    };
    let [wide, long] = ["head.diameter", "head.arm"].map(least);
    let mended = narrow
        .replace("5.5", &wide.to_string())
        .replace("= 16", &format!("= {long}"));
    assert!(drawn(&kit(&mended)).is_some(), "{mended}");
}

#[test]
fn a_bore_that_would_meet_the_bar_is_refused_until_the_head_is_as_high_as_is_asked() {
    let lines = format!("{NESTED}\nhead.kind = \"tommy\"");
    let free = drawn(&kit(&lines));
    assert!(free.is_some(), "a common bore ends before the head");
    // The same pair with a stroke so short that its bore is longer than the drive screw's thread.
    let deep = format!(
        "{}\nsizes.drive_thread = 38",
        lines.replace("stroke = 10", "stroke = 0.5")
    );
    let problems = refused(&kit(&deep));
    let bore = problems
        .iter()
        .find(|(message, _)| message.contains("bore"));
    if let Some((_, mend)) = bore {
        let higher = asked(mend, "head.height");
        let high = kit(&format!("{deep}\n{higher}"));
        let still = refused(&high);
        assert!(
            still.iter().all(|(message, _)| !message.contains("bore")),
            "{still:?}"
        );
    }
}

#[test]
fn the_least_of_every_bound_of_a_head_is_drawn_and_a_tenth_less_is_not() {
    for (mechanism, head, key, little) in [
        (NESTED, "knob", "head.diameter", 5.5),
        (NESTED, "knob", "head.height", 5.5),
        (NESTED, "tommy", "head.diameter", 5.5),
        (NESTED, "tommy", "head.height", 5.5),
        (OPPOSED, "crank", "head.diameter", 5.5),
        (OPPOSED, "crank", "head.height", 5.5),
        (OPPOSED, "crank", "head.arm", 15.5),
    ] {
        for dial in ["", "dial = 5"] {
            let lines = format!("{mechanism}\nhead.kind = \"{head}\"\n{dial}\n");
            let small = refused(&kit(&format!("{lines}{key} = {little}")));
            let (_, mend) = small.first().unwrap_or_else(|| panic!("{lines}{key}"));
            let least = mend.split("at least ").nth(1).expect(mend);
            let least: f64 = least.split(' ').next().unwrap().parse().unwrap();
            let at = |value: f64| kit(&format!("{lines}{key} = {value:.3}"));
            let sound = Bench::new(&at(least), TOLERANCE);
            assert!(
                sound.written().all(|(_, written)| written.is_ok()),
                "{lines}{key}"
            );
            assert!(drawn(&at(least - 0.1)).is_none(), "{lines}{key} {least}");
        }
    }
}

/// Points of a drive screw's mesh at a turn that belong to a crank's arm: beyond its hub.
fn arm_at(bench: &Bench, turn: f64) -> Vec<[f64; 3]> {
    let hub = hub(bench);
    let mesh = bench.mesh_at(bench.piece("drive"), turn);
    let points = mesh.points.iter().map(|point| [point.x, point.y, point.z]);
    points
        .filter(|[x, y, _]| (x * x + y * y).sqrt() > hub + 1e-3)
        .collect()
}

fn cranks() -> Vec<(String, Kit)> {
    let all = kits().into_iter();
    all.filter(|(lines, _)| lines.contains("crank")).collect()
}

#[test]
fn a_cranks_hole_takes_its_bolt_as_far_from_the_axis_as_is_said_opposite_to_the_mark() {
    // ISO 273, medium series: 6.6 for M6. ASME B18.2.8, close: 0.266 in for 1/4 (from memory).
    for (lines, hole) in [
        (NESTED.to_owned(), 6.6),
        (
            format!("units = \"inch\"\n{}", NESTED.replace("= 10", "= 0.4")),
            0.266 * 25.4,
        ),
    ] {
        for (more, arm) in [("", 50.0), ("head.arm = \"62.5 mm\"", 62.5)] {
            let lines = format!("{lines}\nhead.kind = \"crank\"\n{more}");
            let bench = Bench::new(&kit(&lines), TOLERANCE);
            let arm_points = arm_at(&bench, 0.0);
            assert!(arm_points.iter().all(|[_, y, _]| *y < 0.0), "{lines}");
            let from_bolt = arm_points
                .iter()
                .map(|[x, y, _]| (x * x + (y + arm) * (y + arm)).sqrt());
            let least = from_bolt.fold(f64::MAX, f64::min);
            assert!((least - hole / 2.0).abs() < TOLERANCE, "{lines}: {least}");
            let tools = &bench.design.tools;
            let handle = tools
                .iter()
                .find(|tool| tool.name == "handle")
                .expect(&lines);
            let called = match hole == 6.6 {
                true => ["ISO 4017 - M6", "ISO 7089 - 6", "ISO 4032 - M6"],
                false => [
                    "1/4-20 UNC, ASME B18.2.1",
                    "1/4 in, ASME B18.22.1",
                    "ASME B18.2.2",
                ],
            };
            // A washer on either side of the arm; one nut at the arm, two locked behind the sleeve.
            let bought = ["handle-bolt", "handle-washer", "handle-nut"];
            for ((name, called), count) in bought.into_iter().zip(called).zip([1, 2, 3]) {
                let fasteners = &bench.design.fasteners;
                let found = fasteners.iter().find(|one| one.name == name).expect(name);
                assert!(found.description.contains(called), "{found:?}");
                assert_eq!(found.quantity, count, "{found:?}");
            }
            // 0.1 N m on an arm of 50 mm.
            if more.is_empty() && hole == 6.6 {
                assert!(
                    handle.description.contains("no more than 2 N"),
                    "{}",
                    handle.description
                );
            }
        }
    }
}

#[test]
fn the_bolt_of_a_crank_stays_off_the_frame_at_the_stop_and_under_the_hubs_face() {
    in_parallel(&cranks(), |(lines, kit)| {
        let bench = Bench::new(kit, TOLERANCE);
        let course = &bench.design.course;
        let frame = bench.mesh_at(bench.piece("frame"), 0.0);
        let face = frame
            .points
            .iter()
            .map(|point| point.z)
            .fold(f64::MAX, f64::min);
        for turn in [-course.over_travel, 0.0, course.turns + course.over_travel] {
            let arm = arm_at(&bench, turn);
            let top = arm.iter().map(|[_, _, z]| *z).fold(f64::MIN, f64::max);
            // ISO 4017, M6: a head 4.15 high at the most; ISO 7089: a washer of 1.8.
            assert!(face - top > 4.15 + 1.8, "{lines}: {turn} {face} {top}");
        }
    });
}

#[test]
fn a_crank_makes_no_frame_wider_than_a_head_for_a_bar() {
    for lines in [NESTED, OPPOSED] {
        let frame = |head: &str| {
            let lines = format!("{lines}\nhead.kind = \"{head}\"");
            let bench = Bench::new(&kit(&lines), 0.1);
            let frame = bench.mesh_at(bench.piece("frame"), 0.0);
            frame
                .points
                .iter()
                .map(|point| point.x)
                .fold(f64::MIN, f64::max)
        };
        assert_eq!(frame("crank"), frame("tommy"), "{lines}");
    }
}

#[test]
fn a_crank_with_a_dial_that_travels_is_refused_until_what_is_said_is_written() {
    let base = format!("{NESTED}\ndial = 20\n");
    for more in ["", "arm = 60"] {
        let problems = refused(&kit(&format!("{base}[head]\nkind = \"crank\"\n{more}")));
        let [(message, mend)] = &problems[..] else {
            panic!("{problems:?}");
        };
        assert!(message.contains("crank"), "{message}");
        assert!(mend.contains("remove `dial`"), "{mend}");
        assert!(mend.contains("`kind = \"knob\"`"), "{mend}");
        assert_eq!(mend.contains("no `arm`"), !more.is_empty(), "{mend}");
        let without = kit(&format!("{NESTED}\n[head]\nkind = \"crank\"\n{more}"));
        assert!(drawn(&without).is_some());
        assert!(drawn(&kit(&format!("{base}[head]\nkind = \"knob\""))).is_some());
    }
    let beside = kit(&format!("{OPPOSED}\ndial = 20\nhead.kind = \"crank\""));
    assert!(drawn(&beside).is_some(), "{:?}", refused(&beside));
}

#[test]
fn a_crank_says_that_it_sweeps_below_the_table() {
    for mount in ["none", "foot"] {
        let lines = format!("{NESTED}\nmount = \"{mount}\"\nhead.kind = \"crank\"");
        let design = drawn(&kit(&lines)).expect(&lines);
        let said = design
            .cautions
            .iter()
            .any(|caution| caution.text.contains("over the edge of the table"));
        assert!(said, "{lines}");
    }
}

/// Digits as they are sunk, from above, in five columns and five rows: what is sunk (#), what is not (.),
/// and what lies at the edge of a stroke (?).
const DIGITS: [[&str; 5]; 10] = [
    ["#####", "#??##", "#?#?#", "##??#", "#####"],
    ["??#?.", "#?#?.", ".?#?.", ".?#?.", ".?#?."],
    ["#####", "...?#", "#####", "#?...", "#####"],
    ["#####", "...?#", ".?###", "...?#", "#####"],
    ["#?.?#", "#?.?#", "#####", "...?#", "...?#"],
    ["#####", "#?...", "#####", "...?#", "#####"],
    ["#####", "#?...", "#####", "#?.?#", "#####"],
    ["#####", "..???", "..?#?", "..??.", ".?#?."],
    ["#####", "#?.?#", "#####", "#?.?#", "#####"],
    ["#####", "#?.?#", "#####", "...?#", "#####"],
];
/// Width of a stroke and height and width of a digit, in mm, at a line of 0.45 mm; what is free beside.
const STROKE: f64 = 1.08;
const DIGIT: [f64; 2] = [3.3048, 4.86];
const BESIDE: f64 = 0.65;
/// From a dial's face to the middle of its figures, in mm: ticks of 7, half of a band of 6.2.
const FIGURES: f64 = 10.1;
/// So deep a place is sunk, in mm; strokes are 0.4 deep.
const SUNK: f64 = 0.15;

/// Length of the figure of a tick.
fn figure(tick: usize) -> f64 {
    tick.to_string().len() as f64 * (DIGIT[0] + STROKE) - STROKE
}

/// The outside of a drive screw at turn 0: how far from the axis it ends in a direction, at a height.
struct Outside(Vec<[[f64; 3]; 3]>);

impl Outside {
    fn new(bench: &Bench, [low, high]: [f64; 2]) -> Self {
        let mesh = bench.mesh_at(bench.piece("drive"), 0.0);
        let facets = mesh.triangles.iter();
        let corners = facets.map(|corners| {
            corners.map(|corner| {
                let point = &mesh.points[corner as usize];
                [point.x, point.y, point.z]
            })
        });
        let within = |facet: &[[f64; 3]; 3]| {
            facet.iter().any(|corner| corner[2] >= low)
                && facet.iter().any(|corner| corner[2] <= high)
        };
        Self(corners.filter(within).collect())
    }

    fn far(&self, turns: f64, z: f64) -> f64 {
        let (sin, cos) = Angle::turns(turns).sin_cos();
        let sub = |a: [f64; 3], b: [f64; 3]| [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
        let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
        let cross = |a: [f64; 3], b: [f64; 3]| {
            [
                a[1] * b[2] - a[2] * b[1],
                a[2] * b[0] - a[0] * b[2],
                a[0] * b[1] - a[1] * b[0],
            ]
        };
        let way = [cos, sin, 0.0];
        let hit = |[a, b, c]: &[[f64; 3]; 3]| {
            let (ab, ac) = (sub(*b, *a), sub(*c, *a));
            let across = cross(way, ac);
            let det = dot(ab, across);
            let from = sub([0.0, 0.0, z], *a);
            let u = dot(from, across) / det;
            let other = cross(from, ab);
            let v = dot(way, other) / det;
            let inside = det.abs() > 1e-12 && u >= 0.0 && v >= 0.0 && u + v <= 1.0;
            inside.then(|| dot(ac, other) / det)
        };
        self.0.iter().filter_map(hit).fold(0.0, f64::max)
    }
}

#[test]
fn every_tenth_tick_carries_its_figure_where_the_bar_leaves_it_free() {
    let figured = in_parallel(&dialled(), |(lines, kit)| {
        let bench = Bench::new(kit, TOLERANCE);
        let ticks_said = bench.design.dial.expect("a dial");
        let count = ticks_said.count as usize;
        let (found, radius) = ticks(&bench, 0.0);
        let found = from_zero(found);
        let mesh = bench.mesh_at(bench.piece("drive"), 0.0);
        let rim = mesh.points.iter().filter(|point| {
            ((point.x * point.x + point.y * point.y).sqrt() - radius).abs() < 1e-6 && point.z < 1e-6
        });
        let face = rim.map(|point| point.z).fold(f64::MIN, f64::max);
        let middle = face - FIGURES;
        let outside = Outside::new(&bench, [middle - 4.0, middle + 4.0]);
        let turns = |along: f64| along / (std::f64::consts::TAU * radius);
        let travels = bench.pieces().any(|piece| bench.name(piece) == "index-bar");
        let read = |k: usize| -> Option<usize> {
            let at = match ticks_said.rises {
                Turning::Clockwise => found[(count - k) % count].at,
                Turning::CounterClockwise => found[k].at,
            };
            let begins = match travels {
                true => -figure(k) - BESIDE,
                false => figure(k) / -2.0,
            };
            let digit = |place: usize| {
                let centre = begins + DIGIT[0] / 2.0 + place as f64 * (DIGIT[0] + STROKE);
                let is_sunk = |row: usize, column: usize| {
                    let across = (column as f64 / 4.0 - 0.5) * (DIGIT[0] - STROKE);
                    let up = (0.5 - row as f64 / 4.0) * (DIGIT[1] - STROKE);
                    let far = outside.far(at + turns(centre + across), middle + up);
                    far < radius - SUNK
                };
                let alike = |shape: &[&str; 5]| {
                    shape.iter().enumerate().all(|(row, told)| {
                        told.bytes().enumerate().all(|(column, told)| match told {
                            b'#' => is_sunk(row, column),
                            b'.' => !is_sunk(row, column),
                            _ => true,
                        })
                    })
                };
                DIGITS.iter().position(alike)
            };
            let digits = (0..k.to_string().len()).map(digit);
            digits.reduce(|all, digit| Some(all? * 10 + digit?))?
        };
        for k in (0..count).step_by(10) {
            let to_zero = (count - k) as f64 / count as f64 * std::f64::consts::TAU * radius;
            let room = k == 0 || to_zero >= figure(k) + 2.0 * BESIDE;
            assert_eq!(read(k), room.then_some(k), "{lines}");
        }
        let drive = bench
            .design
            .assembly
            .parts
            .iter()
            .find(|part| part.name == "drive");
        let mark = &drive.expect("a drive screw").mark;
        assert!(mark.contains("every tenth with its figure"), "{mark}");
        (0..count)
            .step_by(10)
            .filter(|k| read(*k).is_none())
            .count()
    });
    assert!(
        figured.iter().any(|left_out| *left_out > 0),
        "one is crowded out"
    );
}
