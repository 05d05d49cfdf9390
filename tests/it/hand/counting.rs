//! Turns as they are counted at the bench, against the written meshes: how far a screw is from
//! touching, how far it goes before it comes free, and where its marks stand in line.

use super::made::{Made, Piece, every_kit, number, text};
use super::words::{between, count, millimetres, ordinal};
use netlead::solid::Mesh;

/// What is told in tenths of a turn may be off by this.
const TENTH: f64 = 0.06;
/// What is told in tenths of a millimetre, or in hundredths of an inch, may be off by this, in mm.
const BENCH: f64 = 0.14;
/// A count of turns may be off by this: half a turn, since it is told whole, and what the facets of
/// a thread's end leave.
const HALF_TURN: f64 = 0.55;
/// A facet is square to z if its normal leaves it by no more.
const LEVEL: f64 = 1e-3;
/// Heights nearer than this are one, in mm.
const SAME: f64 = 2e-3;
/// Two rings meet where they have so much of a radius in common, in mm.
const MEETS: f64 = 0.1;

/// A flat face square to z.
#[derive(Clone, Copy, Debug)]
struct Ring {
    z: f64,
    /// Least and most distance of its corners from the axis.
    radii: [f64; 2],
}

/// The flat faces of a mesh that look towards +z (`way` 1) or -z.
fn rings(mesh: &Mesh, way: f64) -> Vec<Ring> {
    let mut rings: Vec<Ring> = Vec::new();
    for [a, b, c] in mesh.facets() {
        let normal = (b - a).cross(&(c - a));
        if normal.norm() == 0.0 || normal.z * way < normal.norm() * (1.0 - LEVEL) {
            continue;
        }
        let at = rings.iter().position(|ring| (ring.z - a.z).abs() < SAME);
        let ring = match at {
            Some(index) => &mut rings[index],
            None => {
                rings.push(Ring {
                    z: a.z,
                    radii: [f64::INFINITY, 0.0],
                });
                rings.last_mut().unwrap()
            }
        };
        for corner in [a, b, c] {
            let radius = corner.xy().coords.norm();
            ring.radii = [ring.radii[0].min(radius), ring.radii[1].max(radius)];
        }
    }
    rings
}

/// The two faces that meet first when `mover` goes along z, and how far it goes.
fn first_to_meet(mover: &Mesh, other: &Mesh, way: f64) -> Option<(f64, Ring)> {
    let faces = rings(other, -way);
    let met = rings(mover, way).into_iter().flat_map(|ring| {
        let across = faces.iter().filter(move |face| {
            let common = face.radii[1].min(ring.radii[1]) - face.radii[0].max(ring.radii[0]);
            common > MEETS && (face.z - ring.z) * way > -SAME
        });
        across.map(move |face| ((face.z - ring.z) * way, ring))
    });
    met.min_by(|(a, _), (b, _)| a.total_cmp(b))
}

/// A piece after n turns of the stroke, along z alone: flats and marks aside, it is round.
fn at_turn(made: &Made, piece: &str, n: f64) -> Mesh {
    let advance = made.told.piece(piece).advance;
    let mut mesh = made.stands(piece);
    mesh.points
        .iter_mut()
        .for_each(|point| point.z += advance * n);
    mesh
}

/// A screw and what it runs in, where they stand at a turn of the mechanism.
struct Pair {
    screw: Mesh,
    hole: Mesh,
    lead: f64,
    /// 1 if the screw goes in towards +z.
    way: f64,
}

impl Pair {
    fn new(made: &Made, [screw, hole]: [&str; 2], n: f64) -> Self {
        let [one, other]: [Piece; 2] = [screw, hole].map(|piece| made.told.piece(piece));
        Self {
            screw: at_turn(made, screw, n),
            hole: at_turn(made, hole, n),
            lead: ((one.advance - other.advance) / (one.turns - other.turns)).abs(),
            way: if screw == "inner" { -1.0 } else { 1.0 },
        }
    }

    /// Distance until it touches; the face that does has to be outside the thread.
    fn to_touch(&self) -> f64 {
        let (far, ring) = first_to_meet(&self.screw, &self.hole, self.way).unwrap();
        assert!(ring.radii[1] > self.thread_radius(), "{ring:?}");
        far
    }

    /// Of the crests of the screw's thread: the most that runs in the hole.
    fn thread_radius(&self) -> f64 {
        let forward = |mesh: &Mesh| {
            let heights = mesh.points.iter().map(|point| point.z * self.way);
            heights.fold(f64::NEG_INFINITY, f64::max)
        };
        // Half of a screw is thread, seen from its end; heads and collars are in the other half.
        let [low, high] = self.screw.bounds().map(|[_, _, z]| z);
        let from = forward(&self.screw) - (high - low) / 2.0;
        let half = self
            .screw
            .points
            .iter()
            .filter(|point| point.z * self.way > from);
        half.map(|point| point.xy().coords.norm())
            .fold(0.0, f64::max)
    }

    /// Distance by which it is in when its thread first catches: ridges pass each other until the
    /// screw's chamfered end and the hole's countersink leave them too high.
    fn since_catch(&self) -> f64 {
        let most = self.thread_radius();
        let seen = |mesh: &Mesh| -> Vec<(f64, f64)> {
            let corners = mesh.points.iter();
            let seen = corners.map(|point| (point.xy().coords.norm(), point.z * self.way));
            seen.filter(|(radius, _)| *radius <= most + SAME).collect()
        };
        let (mut ridges, mut hole) = (seen(&self.screw), seen(&self.hole));
        // For every radius: the foremost place where the screw is as thick, and the outermost
        // where the hole is as narrow.
        ridges.sort_by(|a, b| b.0.total_cmp(&a.0));
        hole.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut outermost: Vec<(f64, f64)> = Vec::new();
        for (radius, z) in hole.into_iter().rev() {
            let least = outermost.last().map_or(z, |(_, last)| z.min(*last));
            outermost.push((radius, least));
        }
        let mut foremost = f64::NEG_INFINITY;
        let mut most_out = 0.0f64;
        for (radius, z) in ridges {
            foremost = foremost.max(z);
            let narrower = outermost.partition_point(|(narrow, _)| *narrow < radius);
            if let Some((_, z)) = narrower.checked_sub(1).map(|index| outermost[index]) {
                most_out = most_out.max(foremost - z);
            }
        }
        most_out
    }
}

/// Steps that start a screw: what they are called, the screw, its hole, and what goes along.
fn starts(made: &Made) -> Vec<(&'static str, [&'static str; 2], &'static [&'static str])> {
    let drive = "screw the drive screw into the frame";
    if made.is_nested() {
        vec![
            ("start the inner screw", ["inner", "drive"], &["inner"]),
            (drive, ["drive", "frame"], &["drive", "inner"]),
        ]
    } else {
        vec![(drive, ["drive", "frame"], &["drive"])]
    }
}

/// What a step says of a screw.
struct Said {
    /// Turns in until it touches.
    turns: f64,
    /// Turns back to the place where its marks stand in line, and which of those that is.
    back: f64,
    place: usize,
    /// Whole turns more.
    more: f64,
    /// How far off it stands then, in mm.
    off: f64,
}

impl Said {
    fn read(text: &str) -> Option<Self> {
        let back = if text.contains("about a quarter turn") {
            0.25
        } else {
            count(text, "about ", " of a turn")?
        };
        let last = text.rfind(" stands ")?;
        Some(Self {
            turns: count(text, "about ", " turns, until")?,
            back,
            place: ordinal(text.split_once(" place where")?.0.rsplit(' ').next()?)?,
            more: count(text, "nscrew it by ", " whole turn").unwrap_or(0.0),
            off: millimetres(&text[last..], " stands ", " off")?,
        })
    }
}

#[test]
fn turns_to_touch_and_back_are_as_many_as_the_meshes_have() {
    every_kit(|made| {
        let mut faults = Vec::new();
        for (action, names, handled) in starts(made) {
            let said = text(&made.told.step(action).unwrap()["text"]);
            let Some(read) = Said::read(said) else {
                faults.push(format!("not understood: {said}"));
                continue;
            };
            let n = number(&made.told.removal(handled)["turn"]);
            let pair = Pair::new(made, names, n);
            let (touch, catch) = (pair.to_touch(), pair.since_catch());
            let turns = (touch + catch) / pair.lead;
            if (read.turns - turns).abs() > HALF_TURN {
                faults.push(format!("{turns} turns from catch to touch: {said}"));
            }
            let back = touch / pair.lead;
            if (read.back + read.more - back).abs() > TENTH {
                faults.push(format!(
                    "{back} turns from touch to where it belongs: {said}"
                ));
            }
            if (read.off - touch).abs() > BENCH {
                faults.push(format!("{touch} mm off: {said}"));
            }
            // Vs stand in line every turn, a slot points at them every half; where it belongs
            // they do, so that the first such place is what is left of the turns back.
            let period = if names[0] == "inner" { 0.5 } else { 1.0 };
            let places = ((back - read.more) / period).floor() as usize + 1;
            if n.fract() != 0.0 || read.place != places {
                faults.push(format!("place {places}, at turn {n}: {said}"));
            }
        }
        faults
    });
}

#[test]
fn the_turn_that_a_place_is_called_is_the_turn_at_which_it_is() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let (action, _, handled) = starts(made).pop().unwrap();
        let said = text(&made.told.step(action).unwrap()["text"]);
        let n = number(&made.told.removal(handled)["turn"]);
        let called = count(said, "Call this place turn ", ".");
        let called = called.or_else(|| count(said, "This is turn ", ","));
        if called != Some(n) {
            faults.push(format!("turn {n}, called {called:?}: {said}"));
        }
        let zero = made.told.steps().iter().map(|step| text(&step["text"]));
        let zero: Vec<&str> = zero
            .filter(|text| text.contains("This is turn 0"))
            .collect();
        let [zero] = zero[..] else {
            return vec![format!("turn 0 is told {} times", zero.len())];
        };
        let [turns, stroke] = ["from here, ", " carry out the stroke of "]
            .map(|words| zero.split_once(words).map_or("", |(_, rest)| rest));
        let turns: Option<f64> = turns.split(' ').next().and_then(|word| word.parse().ok());
        let stroke = millimetres(&format!("{stroke} "), "", ". ");
        let asked = number(&made.told.report["motion"]["stroke_mm"]);
        let travel = made.told.piece("carriage").advance;
        let right =
            turns.is_some_and(|turns| (turns * travel - asked).abs() <= 0.005 * travel + 1e-6);
        if !right || stroke.is_none_or(|stroke| (stroke - asked).abs() > 0.006) {
            faults.push(format!("{travel} a turn, {asked} in all: {zero}"));
        }
        // There the head stands as far off as it is told.
        let off = zero
            .rfind(" stands ")
            .and_then(|at| millimetres(&zero[at..], " stands ", " off"));
        let found = Pair::new(made, ["drive", "frame"], 0.0).to_touch();
        if off.is_none_or(|off| (off - found).abs() > BENCH) {
            faults.push(format!("{found} mm off: {zero}"));
        }
        faults
    });
}

#[test]
fn what_is_measured_at_last_is_what_the_meshes_have_at_the_stop() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let said = text(&made.told.step("measure, and run the stroke").unwrap()["text"]);
        let [drive, carriage] = ["drive", "carriage"].map(|piece| made.told.piece(piece));
        // Back until the carriage meets the frame, without any play.
        let [frame, near] = ["frame", "carriage"].map(|piece| made.stands(piece));
        let (back, _) = first_to_meet(&near, &frame, -1.0).unwrap();
        let per_travel = drive.advance / carriage.advance;
        let head = Pair::new(made, ["drive", "frame"], 0.0).to_touch() + back * per_travel;
        // In an inch kit millimetres stand behind, in parentheses.
        let range = between(said, "it should be ", " mm").unwrap();
        let range = range.rsplit('(').next().unwrap();
        let (least, most) = range.split_once(" to ").unwrap();
        let [least, most]: [f64; 2] = [least, most].map(|end| end.parse().unwrap());
        // The stop's faces lie on whole layers.
        let layer = made.told.asked.layer() * per_travel;
        if (head - layer - least).abs() > BENCH || most < head + layer - BENCH {
            faults.push(format!("{head} at the stop, {layer} for a layer: {said}"));
        }
        faults.extend(match made.is_nested() {
            true => wrong_starts_at_the_stop(made, said, per_travel),
            false => wrong_starts_at_the_marks(made, said),
        });
        faults
    });
}

/// A wrong start of a nested kit shows at the stop: half turns of the inner screw, its other ways
/// in, and those of the drive. All of them are tried here, by the motion alone.
fn wrong_starts_at_the_stop(made: &Made, said: &str, per_travel: f64) -> Vec<String> {
    let inner = Pair::new(made, ["inner", "drive"], 0.0).lead;
    let drive = Pair::new(made, ["drive", "frame"], 0.0).lead;
    let [ways, inside] = made.told.asked.starts();
    // In leads of the drive over the net lead: what the carriage is off, or would be at the same
    // place of the drive.
    let turn = inner * per_travel;
    let mut off: Vec<f64> = Vec::new();
    for way in 0..ways {
        for start in 0..inside {
            for half in 0..2 {
                let moved = drive * way as f64 / ways as f64;
                let carriage = inner * (start as f64 / inside as f64 + f64::from(half) / 2.0);
                // The drive turns on until the carriage is back, and goes by its own lead for it.
                let net = drive / per_travel;
                let back = (moved + carriage) / net * drive - moved;
                off.push(back.rem_euclid(turn) / turn);
            }
        }
    }
    let near_a_turn = |share: &f64| *share < 1e-6 || *share > 1.0 - 1e-6;
    off.retain(|share| !near_a_turn(share));
    let least = off.iter().copied().fold(1.0, f64::min) * turn;
    let told = millimetres(said, "If it differs by about ", ", or by 2 or 3 times that");
    let words = match (turn / least).round() as usize {
        2 => "half turns off: ",
        4 => "quarter turns off: ",
        _ => "of a turn off: ",
    };
    let of_drive = said.contains(&format!("another of its {ways} ways"));
    let right = told.is_some_and(|told| (told - least).abs() <= BENCH);
    match right && said.contains(words) && of_drive == (ways > 1) {
        true => Vec::new(),
        false => vec![format!("{least} for a wrong start: {said}")],
    }
}

/// A single kit's carriage hangs on the drive screw, whose head is as far off at the stop wherever
/// it went in: of several starts the marks tell, and of one there is nothing to tell.
fn wrong_starts_at_the_marks(made: &Made, said: &str) -> Vec<String> {
    let [ways, _] = made.told.asked.starts();
    let again = said.contains("measure again");
    if ways == 1 {
        let wrong = again || said.contains("begin again") || said.contains("differs by");
        return if wrong { vec![said.into()] } else { Vec::new() };
    }
    let pair = Pair::new(made, ["drive", "frame"], 0.0);
    let gap = millimetres(said, "measure again: it should be ", ". If it differs by");
    let after = [", the drive screw", ", or by twice", ", or by 2 or 3 times"][ways - 2];
    let (_, rest) = said.split_once("measure again").unwrap_or_default();
    let pitch = millimetres(rest, "If it differs by about ", after);
    let near =
        |told: Option<f64>, found: f64| told.is_some_and(|told| (told - found).abs() <= BENCH);
    match near(gap, pair.to_touch()) && near(pitch, pair.lead / ways as f64) {
        true => Vec::new(),
        false => vec![format!("{} at the marks: {said}", pair.to_touch())],
    }
}

#[test]
fn a_screw_in_a_wrong_one_of_its_ways_comes_to_its_mark_after_the_turns_that_are_told() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let starts_of = made.told.asked.starts();
        for (action, names, handled) in starts(made) {
            let said = text(&made.told.step(action).unwrap()["text"]);
            let inner = names[0] == "inner";
            let ways = starts_of[usize::from(inner)];
            let told = between(said, &format!("goes in in {ways} ways"), " of a turn, its ");
            if ways == 1 {
                if said.contains(" starts") {
                    faults.push(said.into());
                }
                continue;
            }
            let n = number(&made.told.removal(handled)["turn"]);
            let pair = Pair::new(made, names, n);
            // Vs stand in line every turn, a slot every half; another way is a pitch further.
            let period = if inner { 0.5 } else { 1.0 };
            let more = count(said, "nscrew it by ", " whole turn").unwrap_or(0.0);
            let right = pair.to_touch() / pair.lead - more;
            let whole = (right / period).floor() * period;
            let mut wrong: Vec<f64> = (1..ways)
                .map(|way| (right - whole + way as f64 / ways as f64).rem_euclid(period) + whole)
                .map(|turns| {
                    if turns < TENTH / 10.0 {
                        turns + period
                    } else {
                        turns
                    }
                })
                .filter(|turns| (turns - right).abs() > TENTH / 10.0)
                .collect();
            wrong.sort_by(f64::total_cmp);
            wrong.dedup_by(|a, b| (*a - *b).abs() < TENTH / 10.0);
            let told: Vec<f64> = told.map_or(Vec::new(), |told| {
                let (_, numbers) = told.rsplit_once("about ").unwrap();
                let numbers = numbers.replace(" or ", ", ");
                numbers
                    .split(", ")
                    .map(|one| one.parse().unwrap())
                    .collect()
            });
            let near = |(a, b): (&f64, &f64)| (a - b).abs() <= TENTH / 6.0;
            if told.len() != wrong.len() || !told.iter().zip(&wrong).all(near) {
                faults.push(format!("{wrong:?} of a turn in a wrong way: {said}"));
            }
            if wrong.is_empty() && !said.contains("either will do") {
                faults.push(format!("no way is wrong: {said}"));
            }
        }
        faults
    });
}
