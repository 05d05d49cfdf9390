//! A kit that is accepted comes out whole, at the edges of what may be drawn and at random.

#[path = "../../examples/random_kits/drawn.rs"]
pub(crate) mod drawn;

use netlead::check::{Finding, Outcome};
use netlead::kit::edit;
use netlead::making::{self, InMemory, Refusal};
use rayon::prelude::*;

/// A seed of no meaning, and how many kits of it are worked out.
const SEED: u64 = 1;
const SAMPLE: u64 = 16;

fn worked(text: &str) -> Result<(), Refusal> {
    let shelf = InMemory::none();
    let read = making::read("kit.toml", text, &shelf)?;
    read.work(&|_| {}).map(|_| ())
}

/// Whether a layout accepts it.
pub(crate) fn accepts(text: &str) -> bool {
    let shelf = InMemory::none();
    let read = making::read("kit.toml", text, &shelf);
    read.is_ok_and(|read| netlead::layout::design(&read.kit, &read.profile).is_ok())
}

fn thin_walled(inner: &str, tolerance: f64) -> String {
    format!(
        "name = \"thin\"\nlayout = \"nested\"\ndrive = \"M24x3\"\ninner = \"{inner}\"\nstroke = 5\n\
         gaps.thread = 0.04\nlayer = 0.25\ntolerance = {tolerance}\n"
    )
}

fn rejection(text: &str) -> String {
    match worked(text) {
        Err(Refusal::Rejected(problems)) => anstream::adapter::strip_str(&problems).to_string(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_thin_wall_keeps_a_ring_of_end_face_at_every_tolerance_or_is_refused() {
    // The bore of M24x3 over 20 to 18 leaves from less than may be drawn to 1.4 mm.
    for tolerance in [0.02, 0.05, 0.1] {
        for inner in [
            "18x2.5", "18.2x2.5", "18.5x2.5", "18.8x2.5", "19x2.5", "20x2.5",
        ] {
            let text = thin_walled(inner, tolerance);
            if let Err(Refusal::Broken(what)) = worked(&text) {
                panic!("{text}{what}");
            }
        }
        assert_eq!(worked(&thin_walled("18x2.5", tolerance)), Ok(()));
    }
}

#[test]
fn a_thread_too_coarse_for_its_diameter_is_refused_with_a_pitch_that_works() {
    let text = "name = \"coarse\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"4x3-LH\"\nstroke = 5\n";
    let said = rejection(text);
    let (_, pitch) = said
        .split_once("write a pitch of at most ")
        .expect("a mend");
    let pitch = pitch.split(' ').next().unwrap();
    let mended = edit::with_value(text, "inner", &format!("4x{pitch}-LH")).unwrap();
    if let Err(refusal) = worked(&mended) {
        assert!(
            !format!("{refusal:?}").contains("too coarse"),
            "{refusal:?}"
        );
        assert!(matches!(refusal, Refusal::Rejected(_)), "{refusal:?}");
    }
}

#[test]
fn random_kits_end_in_a_verdict_or_a_refusal() {
    let each: Vec<Option<String>> = (0..SAMPLE)
        .into_par_iter()
        .map(|number| {
            let text = drawn::accepted(SEED, number, accepts);
            match worked(&text) {
                Err(Refusal::Broken(what)) => panic!("kit {number}: {what}\n{text}"),
                Err(Refusal::Rejected(why)) => Some(why),
                Ok(()) => None,
            }
        })
        .collect();
    let accepted = each.iter().filter(|refused| refused.is_none()).count();
    assert!(
        accepted * 8 >= each.len(),
        "only {accepted} were accepted: {each:?}"
    );
}

/// What a message names after a word, as it can be typed.
fn proposed(said: &str, before: &str) -> String {
    let bare = said.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, rest) = bare
        .split_once(before)
        .unwrap_or_else(|| panic!("no `{before}` in {bare}"));
    let end = rest.find([',', '(']).unwrap_or(rest.len());
    rest[..end]
        .split(" mm")
        .next()
        .unwrap_or(rest)
        .trim()
        .to_owned()
}

#[test]
fn work_without_end_is_refused_before_it_begins_with_a_tolerance_and_a_stroke_that_work() {
    // A net lead of 0.12 mm: 616 mm of stroke take 5000 turns, and screws of 20 m.
    let text = "name = \"long\"\nlayout = \"nested\"\ndrive = \"39x4\"\ninner = \"14.5x3.88\"\n\
                stroke = 616\n";
    let said = rejection(text);
    let shelf = InMemory::none();
    let is_refused = |text: &str| match making::read("kit.toml", text, &shelf) {
        Ok(read) => match read.judge(&|_| {}) {
            Err(Refusal::Rejected(said)) => said
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .contains("thousand facets are drawn"),
            _ => false,
        },
        Err(_) => true,
    };
    let stroke = proposed(&said, "`stroke` of at most ");
    let shorter = |stroke: &str| edit::with_value(text, "stroke", stroke).unwrap();
    assert!(!is_refused(&shorter(&stroke)), "{stroke}");
    let longer: f64 = stroke.parse::<f64>().unwrap() * 1.1;
    assert!(is_refused(&shorter(&longer.to_string())), "{longer}");
    // It is too tall for its printer, too, so that none of these kits costs a mesh; a tolerance is proposed where one is enough.
    let fine = "name = \"fine\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n\
                stroke = 60\ntolerance = 0.001\n";
    let finer = edit::with_value(fine, "stroke", "100").unwrap();
    let said = rejection(&finer);
    let tolerance = proposed(&said, "`tolerance` of at least ");
    let coarser = edit::with_value(&finer, "tolerance", &tolerance).unwrap();
    assert!(!is_refused(&coarser), "{tolerance}: {said}");
}

#[test]
fn a_long_kit_that_is_too_tall_for_the_printer_is_told_so_without_a_mesh() {
    let text = "name = \"tall\"\nlayout = \"nested\"\ndrive = \"39x4\"\ninner = \"14.5x3.88\"\n\
                stroke = 30\n";
    let read = making::read("kit.toml", text, &InMemory::none());
    let product = read
        .unwrap()
        .judge(&|part| panic!("{part} is drawn"))
        .unwrap();
    let fails = |finding: &Finding| finding.outcome == Outcome::Fail && finding.id == "bed";
    assert!(!product.is_drawn() && product.findings.iter().any(fails));
}

#[test]
fn pins_as_thin_as_a_kit_may_have_pass_under_the_mark_of_their_ear() {
    let nested = [(1.0, 0.06), (1.828, 0.5), (2.107, 0.0)];
    let single = [(1.828, 0.5)];
    for (layout, pins) in [
        ("nested\"\ninner = \"M12x1.75", &nested[..]),
        ("single", &single[..]),
    ] {
        for (diameter, gap) in pins {
            let text = format!(
                "name = \"thin\"\nlayout = \"{layout}\"\ndrive = \"M20x2.5\"\nstroke = 3\n\
                 tolerance = 0.05\npins.diameter = {diameter}\ngaps.locate = {gap}\n"
            );
            assert_eq!(worked(&text), Ok(()), "{text}");
        }
    }
}

/// The lines that the mends of a refusal tell to type: key and value.
fn lines_to_type(text: &str) -> Vec<(String, String)> {
    let shelf = InMemory::none();
    let read = making::read("kit.toml", text, &shelf).expect("a kit that can be read");
    let Err(problems) = netlead::layout::design(&read.kit, &read.profile) else {
        return Vec::new();
    };
    let mends = problems.into_iter().filter_map(|problem| problem.mend);
    mends
        .filter_map(|mend| {
            let (_, rest) = mend.split_once('`')?;
            let (key, rest) = rest.split_once('`')?;
            let words = [
                " of at least ",
                " of at most ",
                " to at least ",
                " to at most ",
            ];
            let value = words.iter().find_map(|word| rest.strip_prefix(word))?;
            let value = value.split(" (").next()?.split(',').next()?;
            Some((key.to_owned(), value.to_owned()))
        })
        .collect()
}

#[test]
fn what_a_refusal_tells_to_type_mends_it() {
    let shelf = InMemory::none();
    let (mut followed, mut mended) = (0, 0);
    for number in 0..400 {
        let first = drawn::kit(SEED, number);
        if making::read("kit.toml", &first, &shelf).is_err() {
            continue;
        }
        let mut text = first.clone();
        // Several refusals may stand, and one may show when another is gone; none comes back.
        let mut typed: Vec<(String, String)> = Vec::new();
        for line in std::iter::from_fn(|| {
            let line = lines_to_type(&text).into_iter().next()?;
            text = edit::with_value(&text, &line.0, &line.1).ok()?;
            Some(line)
        }) {
            assert!(!typed.contains(&line), "{line:?} did not help:\n{first}");
            typed.push(line);
            followed += 1;
        }
        mended += usize::from(!typed.is_empty() && accepts(&text));
    }
    assert!(
        followed > 100 && mended > 50,
        "{followed} followed, {mended} accepted"
    );
}

#[test]
fn a_tolerance_whose_chords_close_a_gap_is_refused_with_one_that_leaves_it_open() {
    let text = "name = \"coarse\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n\
                stroke = 4\ngaps.locate = 0.06\ngaps.thread = 0.04\ntolerance = 0.2\n";
    let said = rejection(text);
    assert!(
        said.split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains("may close the gap between"),
        "{said}"
    );
    let lines = lines_to_type(text);
    let [(key, most)] = lines.as_slice() else {
        panic!("{lines:?}");
    };
    assert_eq!(key, "tolerance");
    let mended = edit::with_value(text, key, most).unwrap();
    let shelf = InMemory::none();
    let read = making::read("kit.toml", &mended, &shelf).unwrap();
    let product = read.work(&|_| {}).unwrap();
    // Nothing is excused: no pair of the files overlaps but pressed pins.
    for pair in &product.clearance.as_ref().unwrap().pairs {
        if pair.overlap.is_some() {
            let joints = product.design.assembly.joints.iter();
            let mut fits = joints.filter(|joint| {
                joint
                    .between
                    .iter()
                    .all(|piece| pair.between.contains(piece))
            });
            assert!(
                fits.any(|joint| joint.fit == netlead::assembly::Fit::Press),
                "{pair:?}"
            );
        }
    }
    let coarser = most.split(' ').next().unwrap().parse::<f64>().unwrap() + 0.002;
    let coarser = edit::with_value(text, key, &coarser.to_string()).unwrap();
    assert!(!accepts(&coarser));
}

#[test]
fn starts_that_cannot_be_are_refused_with_a_thread_that_is_accepted() {
    for (drive, mends) in [
        ("M20xPh6P2.5", 1),
        ("M20xPh25P2.5", 1),
        ("20x5 2 starts", 2),
        ("1-8 6-start", 1),
        ("24xPh39.2P19.6", 1),
    ] {
        let kit = |drive: &str| {
            format!("name = \"two\"\nlayout = \"single\"\ndrive = \"{drive}\"\nstroke = 5\n")
        };
        let said = rejection(&kit(drive));
        let bare = said.split_whitespace().collect::<Vec<_>>().join(" ");
        let (_, mend) = bare.split_once("To mend it: ").expect("a mend");
        let typed: Vec<&str> = mend.split('`').skip(1).step_by(2).take(mends).collect();
        assert_eq!(typed.len(), mends, "{bare}");
        let shelf = InMemory::none();
        for thread in typed {
            let read = making::read("kit.toml", &kit(thread), &shelf);
            assert!(read.is_ok(), "{drive}: {bare}");
        }
    }
}

/// Kits of two and three starts that are no presets, one of each sort.
const SEVERAL_STARTS: [&str; 5] = [
    "name = \"drive\"\nlayout = \"nested\"\ndrive = \"M24xPh6P3\"\ninner = \"M14x2\"\nstroke = 20\n",
    "name = \"both\"\nlayout = \"nested\"\ndrive = \"M27x6(P3)-LH\"\ninner = \"M16xPh4P2\"\nstroke = 50\n",
    "name = \"thirds\"\nlayout = \"nested\"\ndrive = \"30xPh9P3\"\ninner = \"16xPh6P2\"\nstroke = 20\n",
    "name = \"single\"\nlayout = \"single\"\ndrive = \"1-8 2-start\"\nstroke = 30\n",
    "name = \"four\"\nlayout = \"single\"\ndrive = \"30xPh12P3-LH\"\nstroke = 60\n",
];

#[test]
fn kits_of_several_starts_are_drawn_free_of_each_other_and_their_order_is_found() {
    SEVERAL_STARTS.par_iter().for_each(|text| {
        let shelf = InMemory::none();
        let text = format!(
            "{text}tolerance = 0.02\nodds.fail = 0\nhand_torque = 0.1\nfriction = [0.2, 0.4]\n"
        );
        let read = making::read("kit.toml", &text, &shelf).unwrap();
        let product = read
            .work(&|_| {})
            .unwrap_or_else(|refusal| panic!("{text}{refusal:?}"));
        let joints = &product.design.assembly.joints;
        for pair in &product.clearance.as_ref().unwrap().pairs {
            let pressed = joints.iter().any(|joint| {
                joint.fit == netlead::assembly::Fit::Press
                    && joint
                        .between
                        .iter()
                        .all(|piece| pair.between.contains(piece))
            });
            assert!(pair.overlap.is_none() || pressed, "{text}{pair:?}");
        }
        let joint = joints.iter().find(|joint| joint.thread.is_some()).unwrap();
        let thread = &joint.thread.as_ref().unwrap().thread;
        let apart = matches!(product.order, Some(netlead::sequence::Order::Apart { .. }));
        assert!(thread.starts() > 1 && apart, "{text}");
    });
}

#[test]
fn a_collar_without_room_is_mended_by_what_is_in_its_way() {
    let kit = |drive: &str, inner: &str, more: &str| {
        format!(
            "name = \"collar\"\nlayout = \"nested\"\ndrive = \"{drive}\"\ninner = \"{inner}\"\nstroke = 2\ngaps.thread = 0.04\ngaps.locate = 0.06\n{more}"
        )
    };
    // M16 over M12 has a collar that passes, between two half millimetres.
    assert!(accepts(&kit("M16x2", "M12x1.75", "")));
    // The pin alone is in the way: a thinner one, and the layout accepts it.
    let thick = kit("M16x2", "M8x1.25", "pins.diameter = 12\n");
    let said = rejection(&thick);
    assert!(said.contains("`pins.diameter` of at most"), "{said}");
    // The thread alone is: pins are not named.
    let close = kit("16x0.8", "13.5x0.5", "");
    let said = rejection(&close);
    assert!(
        said.contains("take a thicker `drive`") && !said.contains("pins.diameter"),
        "{said}"
    );
}

/// A wall that stands beside an edge by less than a file's numbers can tell, or a facet of a face
/// that is thinner than they are; drawn at random.
const WITHIN_ROUNDING: [&str; 4] = [
    "name = \"keeper\"\ndrive = \"12.5x2.2-LH\"\nlayout = \"nested\"\ninner = \"4.9x1.7\"\n\
     stroke = 55.7857\ntolerance = 0.003046\nwalls = 1\nmaterial = \"ABS\"\n\
     advance = \"counter-clockwise\"\nhand_torque = \"0.041 N m\"\ngaps.locate = 0.6769\n\
     sizes.thread_gap = 0.7567\n",
    "name = \"side\"\ndrive = \"29.6x3.7-LH\"\nlayout = \"single\"\nstroke = 49.8840\n\
     tolerance = 0.001775\nwalls = 2\nhand_torque = \"0.014 N m\"\nload.torque = \"0.783 N m\"\n\
     friction = 0.025\ngaps.thread = 0.6495\ngaps.seat = 0.1442\nlayer = 0.1645\n",
    "name = \"dowel\"\ndrive = \"27.5x4.3\"\nlayout = \"single\"\nstroke = 3.9561\n\
     tolerance = 0.005096\nwalls = 2\npins.buy = \"3/16 dowel\"\nbed = [1779.466, 69.938, 138.153]\n\
     load.torque = \"6.463 N m\"\nhead.height = 194.0886\nsizes.carriage_diameter = 46.4754\n",
    "name = \"slot\"\ndrive = \"18.5x4.2\"\nlayout = \"nested\"\ninner = \"9x2\"\nstroke = 5.6207\n\
     tolerance = 0.001596\nwalls = 2\npins.diameter = 5.9810\nload.force = \"2087.10 N\"\n\
     load.torque = \"11.761 N m\"\nload.lasting = false\nfriction = [0.139, 0.465]\n\
     gaps.thread = -0.1388\nline = 0.4721\nsizes.thread_gap = 0.3528\n",
];

/// Panics unless a kit's own files come out whole, whatever rules say of it.
fn is_whole(text: &str) {
    if let Err(Refusal::Broken(what)) = worked(text) {
        panic!("{text}{what}");
    }
}

#[test]
fn walls_within_a_rounding_of_an_edge_leave_sound_files() {
    WITHIN_ROUNDING.par_iter().for_each(|text| is_whole(text));
    // The same coincidence from either side of it: the keeper's hole past an edge of its plug.
    let [keeper, ..] = WITHIN_ROUNDING;
    (-10..=10i32)
        .into_par_iter()
        .map(|half| 2 * half)
        .for_each(|step| {
            let locate = 0.6769 + f64::from(step) * 1e-6 * f64::from(step.abs());
            is_whole(&edit::with_value(keeper, "gaps.locate", &format!("{locate:.7}")).unwrap());
        });
}

#[test]
fn ears_too_narrow_for_pins_beside_the_screw_are_refused_with_a_width_that_works() {
    for text in [
        "name = \"ears\"\ndrive = \"27.8x1.3\"\nlayout = \"single\"\nstroke = 9.7264\n\
         pins.diameter = 10.2464\ngaps.locate = 0.1790\nline = 0.4183\nsizes.tapped_wall = 57.1998\n\
         sizes.ear_width = 26.1345\n",
        "name = \"ears\"\ndrive = \"25.9x2.5\"\nlayout = \"single\"\nstroke = 23.7972\n\
         pins.diameter = 11.7669\ngaps.locate = 0.8534\nlayer = 0.2392\nsizes.ear_width = 18.8398\n",
    ] {
        let said = rejection(text);
        let bare = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            bare.contains("the width of the carriage's ears is"),
            "{said}"
        );
        let width = proposed(&said, "write `sizes.ear_width` of at least ");
        let mut mended = edit::with_value(text, "sizes.ear_width", &width).unwrap();
        // What else its width asks of the carriage is told once that is known.
        while let Err(Refusal::Rejected(said)) = worked(&mended) {
            let body = proposed(&said, "sizes.carriage_diameter` to at least ");
            let longer = format!("{mended}sizes.carriage_diameter = {body}\n");
            assert!(!mended.contains("sizes.carriage_diameter"), "{said}");
            mended = longer;
        }
        is_whole(&mended);
    }
}
