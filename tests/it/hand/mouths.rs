//! What enters finds a wider mouth, and what stops is alone in stopping.

use super::made::{Made, every_kit, number};
use super::section::{Bore, Loop, Section, bounds, towards};
use netlead::solid::Mesh;

/// Mouths of guide, socket and pin holes are broken by this a side, in mm (docs/sizing.md).
const MOUTH: f64 = 1.0;
/// A countersink reaches so far beyond the thread's groove, radially, in mm (docs/sizing.md).
const BEYOND_GROOVE: f64 = 0.5;
/// The slots' floor lies so far below the shoulder outside the guide, in mm (docs/sizing.md).
const DROP: f64 = 2.0;
/// A section this far inside a face shows its mouth, in mm.
const JUST_IN: f64 = 0.01;
/// What chords, rounding and that section take from a mouth, in mm.
const OFF: f64 = 0.04;
/// A hole is as wide as it is high, or nearly; a letter is 0.68 as wide (docs/sizing.md).
const SLENDER: f64 = 0.8;
/// Directions beside the slots, in degrees.
const BESIDE_SLOTS: [f64; 6] = [75.0, 90.0, 105.0, 255.0, 270.0, 285.0];

/// The least and the most way from the axis to a wall of a section, over a full turn.
fn radii(section: &Section) -> [f64; 2] {
    let around = (0..360).map(|degrees| section.reach([0.0, 0.0], towards(f64::from(degrees))));
    let around: Vec<f64> = around.collect();
    [f64::min, f64::max].map(|pick| around.iter().copied().reduce(pick).unwrap())
}

/// Of a mesh at a height, seen from the axis.
fn around(mesh: &Mesh, z: f64) -> [f64; 2] {
    radii(&Section::new(mesh, 2, z))
}

/// The outermost corners between two heights, from the axis.
fn outermost(mesh: &Mesh, from: f64, to: f64) -> f64 {
    let within = mesh
        .points
        .iter()
        .filter(|point| (from..=to).contains(&point.z));
    within
        .map(|point| point.xy().coords.norm())
        .fold(0.0, f64::max)
}

/// Faults of what is too narrow.
#[derive(Default)]
struct Faults(Vec<String>);

impl Faults {
    fn wider(&mut self, mouth: f64, enters: f64, by: f64, what: &str) {
        if mouth.is_nan() || mouth < enters + by - OFF {
            self.0
                .push(format!("{what}: {mouth} for {enters}, not wider by {by}"));
        }
    }
}

/// A recipe's value of a part.
fn size(made: &Made, part: &str, name: &str) -> f64 {
    let parts = made.told.report["parts"].as_array().unwrap().iter();
    let mut part = parts.filter(|found| found["name"] == part);
    let recipe = part.next().unwrap()["recipe"].as_array().unwrap();
    number(&recipe.iter().find(|entry| entry["name"] == name).unwrap()["value_mm"])
}

#[test]
fn guide_takes_carriage_and_keeper_with_a_mouth_and_they_lead_in() {
    every_kit(|made| {
        let mut faults = Faults::default();
        let [frame, carriage, keeper] = ["frame", "carriage", "keeper"].map(|part| made.part(part));
        let [frame_top, carriage_top, keeper_top] =
            [frame, carriage, keeper].map(|mesh| mesh.bounds()[1][2]);
        let mouth = Section::new(frame, 2, frame_top - JUST_IN);
        // Both go in with what looks up as they are printed: half-way and at the end.
        let body = Section::new(carriage, 2, carriage_top / 2.0);
        let plug = Section::new(keeper, 2, keeper_top - 2.0 * MOUTH);
        for (what, mesh, top, full) in [
            ("carriage", carriage, carriage_top, &body),
            ("keeper's plug", keeper, keeper_top, &plug),
        ] {
            let end = Section::new(mesh, 2, top - JUST_IN);
            // From outside, since a socket or a hole is in the middle.
            let outside = |section: &Section, way: [f64; 2]| {
                let far = [way[0] * FAR, way[1] * FAR];
                FAR - section.reach(far, way.map(|k| -k))
            };
            for degrees in BESIDE_SLOTS {
                let way = towards(degrees);
                let enters = outside(full, way);
                let wide = mouth.reach([0.0, 0.0], way);
                faults.wider(
                    wide,
                    enters,
                    MOUTH,
                    &format!("guide for the {what} at {degrees}"),
                );
                faults.wider(
                    enters,
                    outside(&end, way),
                    MOUTH,
                    &format!("{what}'s end at {degrees}"),
                );
            }
            // Slots have no mouth: what goes into them is broken in width at its end.
            let reach = full
                .loops
                .concat()
                .iter()
                .map(|[x, _]| x.abs())
                .fold(0.0, f64::max);
            for side in [-1.0, 1.0] {
                let x = side * (reach - 2.0 * MOUTH);
                let width = |section: &Section| section.reach([x, FAR], [0.0, -1.0]);
                faults.wider(
                    width(&end),
                    width(full),
                    MOUTH,
                    &format!("{what}'s ear at {x}"),
                );
            }
        }
        faults.0
    });
}

/// Farther than anything reaches, in mm.
const FAR: f64 = 500.0;

#[test]
fn the_socket_takes_collar_or_tip_with_a_mouth() {
    every_kit(|made| {
        let mut faults = Faults::default();
        let carriage = made.part("carriage");
        // The socket opens upwards on the bed.
        let [mouth, _] = around(carriage, carriage.bounds()[1][2] - JUST_IN);
        let enters = if made.is_nested() {
            let inner = made.part("inner");
            // Its head stands on the bed.
            outermost(inner, 0.0, size(made, "inner", "head height"))
        } else {
            let drive = made.part("drive");
            let top = drive.bounds()[1][2];
            outermost(drive, top - size(made, "drive", "tip length"), top)
        };
        faults.wider(mouth, enters, MOUTH, "socket");
        faults.0
    });
}

#[test]
fn every_hole_that_a_pin_enters_has_a_mouth() {
    every_kit(|made| {
        let mut faults = Faults::default();
        let pin = made.pin_diameter() / 2.0;
        for (part, axis, count) in [
            ("frame", 1, 2),
            ("carriage", 0, if made.is_nested() { 1 } else { 2 }),
        ] {
            let mesh = made.part(part);
            let [low, high] = mesh.bounds();
            for at in [low[axis] + JUST_IN, high[axis] - JUST_IN] {
                let section = Section::new(mesh, axis, at);
                // Letters are holes in a section, too, but no pin goes into their strokes.
                let bored = |hole: &&Loop| {
                    let (low, high) = bounds(hole);
                    let [wide, tall] = [0, 1].map(|axis| high[axis] - low[axis]);
                    wide > SLENDER * tall && tall > SLENDER * wide
                };
                let holes: Vec<_> = section.holes().into_iter().filter(bored).collect();
                if holes.len() != count {
                    faults
                        .0
                        .push(format!("{} holes in the {part} at {at}", holes.len()));
                }
                for hole in holes {
                    faults.wider(Bore::of(hole).inscribed, pin, MOUTH, part);
                }
            }
        }
        if made.is_nested() {
            let inner = made.part("inner");
            let head = outermost(inner, 0.0, size(made, "inner", "head height"));
            let height = size(made, "inner", "cross hole");
            // Its end is round: half-way down the mouth it is still closed above and below.
            for side in [-1.0, 1.0] {
                let section = Section::new(inner, 0, side * (head - MOUTH / 2.0));
                for way in [[0.0, 1.0], [0.0, -1.0]] {
                    let wide = section.reach([0.0, height], way);
                    faults.wider(wide, pin, MOUTH / 2.0, &format!("inner at {side}, {way:?}"));
                }
            }
        }
        faults.0
    });
}

#[test]
fn tapped_holes_are_countersunk_beyond_the_thread_that_enters() {
    every_kit(|made| {
        let mut faults = Faults::default();
        let gap = |pieces: [&str; 2]| {
            let joints = made.told.report["joints"].as_array().unwrap().iter();
            let mut joints = joints.filter(|joint| joint["kind"] == "thread");
            let joint = joints
                .find(|joint| joint["parts"] == serde_json::json!(pieces))
                .unwrap();
            number(&joint["gap_mm"]["drawn"])
        };
        let [frame, drive] = ["frame", "drive"].map(|part| made.part(part));
        let top = drive.bounds()[1][2];
        let head = size(made, "drive", "head height");
        let thread = outermost(drive, head + MOUTH, top);
        let wall = size(made, "frame", "tapped wall");
        let beyond = gap(["drive", "frame"]) + BEYOND_GROOVE;
        for z in [JUST_IN, wall - JUST_IN] {
            faults.wider(
                around(frame, z)[0],
                thread,
                beyond,
                &format!("tapped hole at {z}"),
            );
        }
        if made.is_nested() {
            let inner = made.part("inner");
            let from = size(made, "inner", "head height") + JUST_IN;
            let thread = outermost(inner, from, inner.bounds()[1][2]);
            let beyond = gap(["inner", "drive"]) + BEYOND_GROOVE;
            let mouth = Section::new(drive, 2, top - JUST_IN);
            faults.wider(radii(&mouth)[0], thread, beyond, "bore of the drive");
            // The drive's own end passes the ridges of the frame's hole.
            let end = outermost(drive, top - JUST_IN, top);
            let [ridges, _] = around(frame, wall / 2.0);
            faults.wider(
                ridges,
                end,
                gap(["drive", "frame"]) + BEYOND_GROOVE,
                "drive's end",
            );
        }
        faults.0
    });
}

#[test]
fn the_shoulder_alone_stops_the_carriage() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let frame = made.part("frame");
        let [_, [half, _, top]] = frame.bounds();
        // Down the slots outside the guide, and down the guide beside them.
        let down = |axis: usize, at: f64, beside: f64| {
            let section = Section::new(frame, axis, at);
            top + 1.0 - (section.reach([beside, top + 1.0], [0.0, -1.0]))
        };
        let body = size(made, "frame", "carriage's diameter") / 2.0;
        let shoulder = down(0, 0.0, body - MOUTH / 2.0);
        let slot = size(made, "frame", "ear width") / 2.0;
        for side in [-1.0, 1.0] {
            // Across the whole width of an ear, from the guide outwards.
            for share in [-0.95, -0.5, 0.0, 0.5, 0.95] {
                for x in [body + 2.0 * MOUTH, half - MOUTH] {
                    let floor = down(1, share * slot, side * x);
                    if floor > shoulder - DROP + OFF + corner(share * slot, slot) {
                        faults.push(format!("slot's floor at {floor}, shoulder at {shoulder}"));
                    }
                }
            }
        }
        // The shoulder is there, below the keeper and above the tapped wall.
        let wall = size(made, "frame", "tapped wall");
        if !(wall..top).contains(&shoulder) {
            faults.push(format!("a shoulder at {shoulder}"));
        }
        faults
    });
}

/// How much higher the floor of a slot may be beside its middle: its corners are broken by 1.5 mm
/// at 45 degrees, in slots that are wider than the ears by a slide gap, which is left out here.
fn corner(beside: f64, half: f64) -> f64 {
    const CORNER: f64 = 1.5;
    (beside.abs() - (half - CORNER)).max(0.0)
}
