//! Bench aids on their meshes, with what they are for: nothing overlaps while a pin is pressed, what lies on
//! an aid touches it right under the pin, the pin's way is free, nothing tips, a gauge tells what the last
//! step measures.

use crate::ends::{self, LAYOUTS};
use crate::random_kits::{accepts, drawn};
use crate::support::bench::in_parallel;
use crate::support::body::{Body, shared};
use crate::support::shell;
use netlead::aid::{LeftOut, NoGauge, Place, Purpose};
use netlead::assembly::{InstanceId, Pose};
use netlead::making::{self, InMemory};
use netlead::output::kit::{BenchAid, Product};
use netlead::solid::Mesh;
use netlead::units::{Angle, Length};
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Volume that rounding to 32 bits may share between faces that touch, in mm3.
const TOUCH: f64 = 0.05;

/// A kit with its aids.
struct Aided {
    product: Product,
    text: String,
}

impl Aided {
    fn new(text: &str) -> Self {
        let read = making::read("kit.toml", text, &InMemory::none());
        let read = read.unwrap_or_else(|_| panic!("{text}"));
        let mut product = read
            .work(&|_| {})
            .unwrap_or_else(|_| panic!("not made: {text}"));
        read.aids(&mut product, &|_| {})
            .unwrap_or_else(|why| panic!("{why:?}: {text}"));
        // What is left out is left out for what it is for, and for no fault of its mesh.
        let refused = &product.aids.as_ref().unwrap().refused;
        let unsound = refused.iter().find(|(_, why)| why.contains("sound"));
        assert_eq!(unsound, None, "{text}");
        Self {
            product,
            text: text.into(),
        }
    }

    fn each(&self) -> &[BenchAid] {
        &self.product.aids.as_ref().unwrap().each
    }

    fn pose(&self, piece: InstanceId, turn: f64) -> Pose {
        let rate = self.product.rate(piece).unwrap().after(turn);
        let start = self.product.design.assembly.instance(piece).pose;
        start.screwed(Angle::turns(rate.turns), rate.advance)
    }

    fn mesh(&self, piece: InstanceId) -> &Mesh {
        let part = self.product.design.assembly.instance(piece).part;
        self.product.bodies[part.0].mesh()
    }

    fn body(&self, piece: InstanceId, pose: &Pose) -> Body {
        Body::new(self.mesh(piece)).placed(pose)
    }

    /// What is said of an aid that stands at a place and should not be so.
    fn faults(&self, aid: &BenchAid, place: &Place) -> Vec<String> {
        let solid = Body::new(&aid.written.mesh);
        let stands: Vec<Body> = place.poses.iter().map(|pose| solid.placed(pose)).collect();
        let pin_pose = self.pose(place.pin, place.turn);
        let way = into(place);
        let assembly = &self.product.design.assembly;
        let mut faults = Vec::new();
        let mut say = |what: String| {
            let pin = &assembly.instance(place.pin).name;
            faults.push(format!(
                "{}\n{} at {pin}: {what}",
                self.text, aid.aid.part.name
            ));
        };
        for piece in &place.present {
            let body = self.body(*piece, &self.pose(*piece, place.turn));
            for stand in &stands {
                let common = shared(stand, &body);
                if common > TOUCH {
                    let name = &assembly.instance(*piece).name;
                    say(format!("overlaps {name} by {common:.2} mm3"));
                }
            }
        }
        // On its way in, in its place, and tapped out through what holds it.
        let tapped_out: &[f64] = match aid.aid.purpose {
            // A floor is under it: nothing is tapped out there.
            Purpose::ShaftRest(_) => &[],
            _ => &[3.0, 8.0],
        };
        for further in [-25.0, -12.0, -5.0, 0.0].iter().chain(tapped_out) {
            let there = moved(pin_pose, way, *further);
            let body = self.body(place.pin, &there);
            for stand in &stands {
                let common = shared(stand, &body);
                if common > TOUCH {
                    say(format!(
                        "meets its pin {further} mm further: {common:.2} mm3"
                    ));
                }
            }
        }
        faults
    }

    /// Volume that an aid at a place shares with a piece, moved by so much against the way of the pin.
    fn against(&self, aid: &BenchAid, place: &Place, piece: InstanceId, up: f64) -> f64 {
        let solid = Body::new(&aid.written.mesh);
        let body = self.body(piece, &self.pose(piece, place.turn));
        let stand = solid.placed(&moved(place.poses[0], into(place), -up));
        shared(&stand, &body)
    }
}

/// Where a pin goes.
fn into(place: &Place) -> [f64; 3] {
    let (axis, positive) = place.into;
    let mut way = [0.0; 3];
    way[axis.index()] = if positive { 1.0 } else { -1.0 };
    way
}

fn moved(pose: Pose, way: [f64; 3], by: f64) -> Pose {
    let [x, y, z] = way.map(|part| Length::mm(part * by));
    pose.shifted(x, y, z)
}

fn places(aid: &BenchAid) -> Vec<Place> {
    match &aid.aid.purpose {
        Purpose::Rest(resting) => resting.places.clone(),
        Purpose::EarRest(places) | Purpose::PinGuide { places, .. } => places.clone(),
        Purpose::ShaftRest(place) => vec![place.clone()],
        Purpose::Gauge(_) => Vec::new(),
    }
}

/// Kits of every layout with their ends, some on a foot, one with bought pins, some with a dial; each made
/// once for all tests.
fn kits() -> &'static [Aided] {
    static KITS: OnceLock<Vec<Aided>> = OnceLock::new();
    KITS.get_or_init(|| {
        let [.., inch] = LAYOUTS;
        let fitted = ends::fitted().into_iter().filter(|(layout, end, mount)| {
            let stands_out = matches!(*end, "ears" | "jaw");
            let flush_inch = *end == "flush" && *mount == "none";
            // A single one differs in its pins alone.
            let single = *layout == LAYOUTS[1];
            match (*layout == inch, *mount) {
                (true, _) => flush_inch,
                (false, "none") => !single || flush_inch || *end == "jaw",
                (false, "foot") => stands_out && !single,
                (false, _) => false,
            }
        });
        let mut texts: Vec<String> = fitted
            .map(|(layout, end, mount)| ends::text(layout, end, mount, COARSE))
            .collect();
        for layout in [LAYOUTS[0], LAYOUTS[2]] {
            let more = format!("dial = 50\n{COARSE}");
            texts.push(ends::text(layout, "flush", "none", &more));
        }
        in_parallel(&texts, |text| Aided::new(text))
    })
}

/// Chords near the coarsest that the narrowest gap allows.
const COARSE: &str = "tolerance = \"0.08 mm\"\n";

/// What is found of all kits, side by side.
fn of_all(look: impl Fn(&Aided) -> Vec<String> + Sync) -> Vec<String> {
    let all: Vec<&Aided> = kits().iter().collect();
    in_parallel(&all, |kit| look(kit)).concat()
}

#[test]
fn aids_fit_what_they_are_for_and_pins_have_their_way() {
    let found = of_all(|kit| {
        let each = kit.each().iter();
        let placed = each.flat_map(|aid| places(aid).into_iter().map(move |place| (aid, place)));
        placed
            .flat_map(|(aid, place)| kit.faults(aid, &place))
            .collect()
    });
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn aids_of_kits_by_lot_fit_too() {
    const SEED: u64 = 7;
    let texts: Vec<String> = (0..3)
        .map(|number| drawn::accepted(SEED, number, accepts))
        .collect();
    let found = in_parallel(&texts, |text| {
        let read = making::read("kit.toml", text, &InMemory::none());
        let drawn = read.is_ok_and(|read| read.work(&|_| {}).is_ok());
        let kit = drawn.then(|| Aided::new(text));
        let mut faults = Vec::new();
        let each = kit.iter().flat_map(Aided::each);
        for (kit, aid) in each.map(|aid| (kit.as_ref().unwrap(), aid)) {
            for place in places(aid) {
                faults.extend(kit.faults(aid, &place));
            }
        }
        (kit.map_or(0, |kit| kit.each().len()), faults)
    });
    let made: usize = found.iter().map(|(made, _)| made).sum();
    assert!(made > 6, "{made}");
    let faults: Vec<String> = found.into_iter().flat_map(|(_, faults)| faults).collect();
    assert_eq!(faults, Vec::<String>::new());
}

#[test]
fn what_lies_on_an_aid_touches_it_right_under_the_pin() {
    let found = of_all(|kit| {
        let text = &kit.text;
        let frame = kit.product.design.assembly.frame;
        let joints = &kit.product.design.assembly.joints;
        let holder = |pin: InstanceId| {
            let held = joints.iter().find(|joint| {
                joint.fit == netlead::assembly::Fit::Press && joint.between[0] == pin
            });
            held.unwrap().between[1]
        };
        let mut faults = Vec::new();
        for aid in kit.each() {
            for place in places(aid) {
                // How far a hair more brings the two together: face on face, or as near as a layer and
                // the slide let them be.
                let (piece, up) = match &aid.aid.purpose {
                    Purpose::Rest(_) => (frame, 0.02),
                    // A layer less, and what the carriage sinks in its guide.
                    Purpose::EarRest(_) => (holder(place.pin), 0.17),
                    Purpose::ShaftRest(_) => (holder(place.pin), 0.4),
                    Purpose::PinGuide { .. } => (frame, -0.02),
                    Purpose::Gauge(_) => continue,
                };
                // Square millimetres that bear, at the least.
                let bears = kit.against(aid, &place, piece, up) / 0.02;
                if bears < 4.0 {
                    let name = &kit.product.design.assembly.instance(place.pin).name;
                    faults.push(format!("{text}\n{} at {name}: {bears}", aid.aid.part.name));
                }
            }
        }
        faults
    });
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn a_frame_on_its_rests_does_not_tip() {
    let found = of_all(|kit| {
        let text = &kit.text;
        let mut faults = Vec::new();
        for aid in kit.each() {
            let Purpose::Rest(resting) = &aid.aid.purpose else {
                continue;
            };
            for place in &resting.places {
                let (mut weight, mut moment) = (0.0, 0.0);
                for piece in &place.present {
                    let placed = kit.mesh(*piece).placed(&kit.pose(*piece, place.turn));
                    let (volume, middle) = (placed.volume_mm3(), centre(&placed));
                    weight += volume;
                    moment += volume * middle;
                }
                let ends = place.poses.iter().map(|pose| {
                    let [low, high] = aid.written.mesh.placed(pose).bounds();
                    [low[2], high[2]]
                });
                let ends: Vec<[f64; 2]> = ends.collect();
                let from = ends.iter().map(|end| end[0]).fold(f64::INFINITY, f64::min);
                let to = ends
                    .iter()
                    .map(|end| end[1])
                    .fold(f64::NEG_INFINITY, f64::max);
                let at = moment / weight;
                if !(from..to).contains(&at) {
                    faults.push(format!("{text}\nweight at {at}, rests from {from} to {to}"));
                }
            }
        }
        faults
    });
    assert_eq!(found, Vec::<String>::new());
}

/// z of a body's middle: tetrahedra on the origin.
fn centre(mesh: &Mesh) -> f64 {
    let moment: f64 = mesh
        .facets()
        .map(|[a, b, c]| {
            let volume = a.coords.dot(&b.coords.cross(&c.coords)) / 6.0;
            volume * (a.z + b.z + c.z) / 4.0
        })
        .sum();
    moment / mesh.volume_mm3()
}

#[test]
fn a_gauge_goes_in_where_the_distance_is_right_and_not_beyond_its_step() {
    let found = of_all(|kit| {
        let text = &kit.text;
        let check = &kit.product.design.last_check;
        let mut faults = Vec::new();
        let mut told = 0;
        for aid in kit.each() {
            let Purpose::Gauge(gauging) = &aid.aid.purpose else {
                continue;
            };
            told += 1;
            let [least, most] = check.window;
            let [goes, stays] = gauging.lengths;
            assert!(goes <= least && stays >= most, "{text}");
            // What it may be off by is a quarter of what is right, at the most.
            assert!(gauging.error * 8.0 <= most - least, "{text}");
            let solid = Body::new(&aid.written.mesh);
            let meets = |turn: f64, pose: Pose| {
                let stand = solid.placed(&pose);
                let pieces = 0..kit.product.design.assembly.instances.len();
                let each = pieces
                    .map(InstanceId)
                    .map(|piece| shared(&stand, &kit.body(piece, &kit.pose(piece, turn))));
                each.fold(0.0, f64::max)
            };
            // Between faces as far apart as its first length, it touches nothing more than them.
            let here = meets(gauging.turn, gauging.pose);
            if here > TOUCH {
                faults.push(format!("{text}\noverlaps by {here}"));
            }
            // A tenth of a millimetre longer, either way along the axis, and it does not go.
            for along in [-0.1, 0.1] {
                let tight = meets(gauging.turn, moved(gauging.pose, [0.0, 0.0, 1.0], along));
                if tight < 0.5 {
                    faults.push(format!("{text}\nplay at {along}: {tight}"));
                }
            }
            // Pushed on, its step meets a face.
            let rows = gauging.pose.to_rows();
            let out = [0, 1, 2].map(|row: usize| rows[row][1]);
            let pushed = meets(gauging.turn, moved(gauging.pose, out, -1.5));
            if pushed < 0.5 {
                faults.push(format!("{text}\ngoes on beyond its step: {pushed}"));
            }
        }
        let why = &kit.product.aids.as_ref().unwrap().left_out;
        let said = why.iter().any(|left| matches!(left, LeftOut::Gauge(_)));
        assert_eq!(told == 0, said, "{text}");
        faults
    });
    assert_eq!(found, Vec::<String>::new());
    let gauges = kits().iter().flat_map(Aided::each);
    let gauges = gauges.filter(|aid| matches!(aid.aid.purpose, Purpose::Gauge(_)));
    assert!(gauges.count() > 3);
}

#[test]
fn a_window_that_no_print_could_tell_has_no_gauge_and_says_so() {
    // A single screw's window: two layers and the play, 0.6 mm.
    let kit = Aided::new(&ends::text(LAYOUTS[1], "flush", "none", ""));
    let aids = kit.product.aids.as_ref().unwrap();
    let coarse = aids
        .left_out
        .iter()
        .any(|left| matches!(left, LeftOut::Gauge(NoGauge::Coarse(_))));
    assert!(coarse, "{:?}", aids.left_out);
    assert!(
        kit.each()
            .iter()
            .all(|aid| !matches!(aid.aid.purpose, Purpose::Gauge(_)))
    );
}

#[test]
fn aids_are_written_where_they_are_asked_for_and_told_where_they_are_used() {
    let room = shell::room();
    let kit = shell::preset("desk-stage") + "tolerance = 0.1\n";
    std::fs::write(room.path().join("kit.toml"), kit).unwrap();
    shell::done(room.path(), &["make", "kit.toml", "--no-pictures"]);
    let without = shell::files(room.path());
    let arguments = ["make", "kit.toml", "--no-pictures", "--bench"];
    let page = shell::unfolded(&shell::done(room.path(), &arguments));
    let with = shell::files(room.path());
    let text = |files: &BTreeMap<String, Vec<u8>>, name: &str| {
        String::from_utf8(files[&format!("out/desk-stage/{name}")].clone()).unwrap()
    };
    let report: Value = serde_json::from_str(&text(&with, "report.json")).unwrap();
    let bill = text(&with, "bill.csv");
    let guide = text(&with, "guide.md");
    let aids = report["bench"].as_array().unwrap();
    assert!(aids.len() > 2);
    let pieces: u64 = aids
        .iter()
        .map(|aid| aid["quantity"].as_u64().unwrap())
        .sum();
    assert!(
        page.contains(&format!("bench/: {pieces} to print, about")),
        "{page}"
    );
    for aid in aids {
        let file = aid["file"].as_str().unwrap();
        assert!(
            with.contains_key(&format!("out/desk-stage/{file}")),
            "{file}"
        );
        assert!(
            bill.lines()
                .any(|line| line.starts_with("tool,") && line.contains(file))
        );
        // In a step, beside the list of tools and its own section.
        let (_, steps) = guide.split_once("## Putting it together").unwrap();
        assert!(steps.contains(file), "{file}");
    }
    // Without them all is as if there were none, and with them the parts are the same.
    assert!(without.keys().all(|name| !name.contains("/bench/")));
    assert!(!text(&without, "guide.md").contains("bench/"));
    let parts = |files: &BTreeMap<String, Vec<u8>>| {
        let parts = files.iter().filter(|(name, _)| name.contains("/parts/"));
        parts
            .map(|(name, bytes)| (name.clone(), bytes.clone()))
            .collect::<Vec<_>>()
    };
    assert_eq!(parts(&without), parts(&with));
    // Asked for no longer, they are gone.
    shell::done(room.path(), &["make", "kit.toml", "--no-pictures"]);
    assert_eq!(shell::files(room.path()), without);
}
