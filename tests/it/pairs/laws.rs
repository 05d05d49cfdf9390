//! What is returned meets every bound of its wish when its kit is checked, and nothing is missing.

use super::{bases, shelf, wish};
use netlead::check::{self, Outcome};
use netlead::kit::LayoutKind;
use netlead::layout;
use netlead::load::Case;
use netlead::making::{self, Read};
use netlead::motion;
use netlead::pairs::{self, Hands, Row, Series, Verdict, Wish, designations};
use netlead::thread::series;
use netlead::units::{Force, Length};
use proptest::prelude::*;

fn read(wish: &Wish, row: &Row) -> Read {
    let text = pairs::kit_text(wish, &row.mechanism).unwrap();
    making::read("wish.toml", &text, &shelf()).unwrap_or_else(|why| panic!("{text}\n{why:?}"))
}

fn wishes() -> impl Strategy<Value = Wish> {
    let leads = prop_oneof![
        Just(0.5),
        Just(0.75),
        Just(1.0),
        Just(1.25),
        Just(2.0),
        0.4..3.0_f64,
    ];
    let layouts = prop_oneof![
        Just(LayoutKind::Nested),
        Just(LayoutKind::Tandem),
        Just(LayoutKind::Single),
        Just(LayoutKind::Opposed),
    ];
    let series = prop_oneof![
        Just((vec![Series::IsoCoarse, Series::IsoFine], false)),
        Just((vec![Series::Unc, Series::Unf], true)),
        Just((Series::ALL.to_vec(), false)),
    ];
    let hands = prop_oneof![Just(Hands::Same), Just(Hands::Either)];
    let room = proptest::option::of((40.0..90.0_f64, 100.0..300.0_f64));
    let load = proptest::option::of(1.0..60.0_f64);
    let layers = prop_oneof![Just("0.12"), Just("0.15"), Just("0.2")];
    let more = (0.01..0.08_f64, hands, 1_u8..=2, any::<bool>(), layers);
    (leads, layouts, 4.0..25.0_f64, load, room, series, more).prop_map(
        |(lead, layout, stroke, load, room, (series, inches), more)| {
            let (tolerance, hands, starts, mixed, layer) = more;
            let mut wish = Wish {
                tolerance,
                layouts: vec![layout],
                stroke: Length::mm(stroke),
                load: load.map(Force::newtons),
                within: room.map(|(side, long)| [side, side, long].map(Length::mm)),
                series,
                mixed,
                hands,
                starts,
                inches,
                ..wish(Length::mm(lead))
            };
            let layer = format!("\"{layer} mm\"");
            wish.settings.push(("layer".into(), layer));
            wish
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn prop_the_best_pair_meets_every_bound_when_its_kit_is_drawn_and_checked(wish in wishes()) {
        let found = pairs::search(&wish, &bases(&wish), 2);
        prop_assert!(found.rows.len() <= found.buildable && found.buildable <= found.tried);
        // Wishes that cannot be are for other tests.
        prop_assume!(!found.rows.is_empty());
        let row = &found.rows[0];
        let product = read(&wish, row).work(&|_| {}).unwrap();
        let motion = &product.motion;
        prop_assert!(wish.is_met_by(motion.net_lead));
        prop_assert!((motion.net_lead - row.net_lead).abs() < Length::mm(1e-9));
        prop_assert!((product.design.course.stroke - wish.stroke).abs() < Length::mm(1e-3));
        let failing = product.findings.iter().filter(|one| one.outcome == Outcome::Fail);
        let failing: Vec<&str> = failing.map(|one| one.id).collect();
        prop_assert!(failing.is_empty(), "{:?}: {failing:?}", designations(&row.mechanism));
        // Its warnings are those that were promised, but for what only meshes show.
        let Verdict::Buildable { warnings, .. } = &row.verdict else { panic!("a row that fails") };
        let warned = product.findings.iter().filter(|one| one.outcome == Outcome::Warn);
        let warned: Vec<&str> = warned.map(|one| one.id).collect();
        for promised in warnings {
            prop_assert!(warned.contains(promised), "{promised}: {warned:?}");
        }
        // No mesh stands out of the room that was told.
        let [low, high] = around(&product);
        for (axis, told) in row.figures.size.iter().enumerate() {
            let taken = high[axis] - low[axis];
            prop_assert!(taken <= told.as_mm() + 1e-3, "axis {axis}: {taken} of {told:?}");
        }
        if wish.within.is_some() {
            prop_assert!(wish.has_room_for([0, 1, 2].map(|axis| Length::mm(high[axis] - low[axis]))));
        }
    }
}

/// The least and the greatest x, y and z of all pieces at both ends of the stroke.
fn around(product: &netlead::output::kit::Product) -> [[f64; 3]; 2] {
    let assembly = &product.design.assembly;
    let mut around = [[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]];
    for (place, piece) in assembly.instances.iter().enumerate() {
        let advance = product.rates[place].unwrap().advance;
        let mesh = product.bodies[piece.part.0].mesh();
        for turns in [0.0, product.design.course.turns] {
            let pose = piece
                .pose
                .shifted(Length::ZERO, Length::ZERO, advance * turns);
            let [low, high] = mesh.placed(&pose).bounds();
            for axis in 0..3 {
                around[0][axis] = around[0][axis].min(low[axis]);
                around[1][axis] = around[1][axis].max(high[axis]);
            }
        }
    }
    around
}

#[test]
fn nothing_is_missing_in_a_small_universe_and_nothing_is_there_that_fails() {
    // By other means: kits written by hand, each judged by itself.
    let coarse: Vec<(String, f64, f64)> = series::iso_coarse()
        .map(|thread| {
            (
                thread.designation(),
                thread.major().as_mm(),
                thread.pitch().as_mm(),
            )
        })
        .filter(|(_, major, _)| (9.0..=27.0).contains(major))
        .collect();
    let mut listed = 0;
    for (net_lead, stroke) in [(1.0, 8.0), (0.75, 12.0), (0.5, 6.0)] {
        let wish = Wish {
            series: vec![Series::IsoCoarse],
            stroke: Length::mm(stroke),
            within: Some([27.0, 27.0, 1000.0].map(Length::mm)),
            ..wish(Length::mm(net_lead))
        };
        // So much room that only the threads are bounded by it.
        let wide = Wish {
            within: Some([1000.0; 3].map(Length::mm)),
            ..wish.clone()
        };
        let found = pairs::search(&wide, &bases(&wide), usize::MAX / 4);
        let found: Vec<Vec<String>> = found
            .rows
            .iter()
            .map(|row| designations(&row.mechanism))
            .collect();
        for (drive, drive_major, drive_pitch) in &coarse {
            for (inner, inner_major, inner_pitch) in &coarse {
                let given = drive_pitch - inner_pitch;
                if inner_major >= drive_major || (given - net_lead).abs() > 0.01 * net_lead {
                    continue;
                }
                let text = format!(
                    "name = \"t\"\nlayout = \"nested\"\ndrive = \"{drive}\"\ninner = \"{inner}\"\n\
                     stroke = {stroke}\nhand_torque = \"1 N m\"\n"
                );
                let is_listed = found.contains(&vec![drive.clone(), inner.clone()]);
                assert_eq!(
                    is_listed,
                    can_be_built(&text),
                    "{drive} / {inner} for {net_lead}"
                );
                listed += usize::from(is_listed);
            }
        }
    }
    assert!(listed >= 10, "{listed}");
}

/// Whether no rule that needs no mesh fails.
fn can_be_built(text: &str) -> bool {
    let read = making::read("t.toml", text, &shelf()).unwrap();
    let Ok(design) = layout::design(&read.kit, &read.profile) else {
        return false;
    };
    let rates = motion::solve_stroke(&design.assembly, design.net_lead).unwrap();
    let case = Case {
        kit: &read.kit,
        profile: &read.profile,
        design: &design,
        rates: &rates,
    };
    let findings = check::before_meshes(&case, check::Mends::LeftOut);
    findings
        .iter()
        .all(|finding| finding.outcome != Outcome::Fail)
}
