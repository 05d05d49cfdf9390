//! Random kits over the ranges of their keys, each by a seed and its number alone.

use std::fmt::Write;

/// Weyl step and multipliers of SplitMix64 (Steele, Lea and Flood, 2014).
const STEP: u64 = 0x9e37_79b9_7f4a_7c15;
const FIRST: u64 = 0xbf58_476d_1ce4_e5b9;
const SECOND: u64 = 0x94d0_49bb_1331_11eb;
/// Millimetres in an inch.
const INCH: f64 = 25.4;

/// A stream of random numbers.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(STEP);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(FIRST);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(SECOND);
        mixed ^ (mixed >> 31)
    }

    /// From 0 up to 1.
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// As often between 1 and 2 as between 10 and 20.
    fn scaled(&mut self, low: f64, high: f64) -> f64 {
        low * netlead::units::real::pow(high / low, self.share())
    }

    fn one_in(&mut self, count: u64) -> bool {
        self.next().is_multiple_of(count)
    }

    fn of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[(self.next() % choices.len() as u64) as usize]
    }
}

/// Keys that a kit may leave out, the range that is drawn from, in mm, and how rarely they are
/// written: one in so many. Sizes reach further than what can be drawn, to both sides.
const LENGTHS: [(&str, f64, f64, u64); 24] = [
    ("gaps.thread", -0.3, 1.0, 5),
    ("gaps.slide", 0.0, 1.0, 5),
    ("gaps.locate", 0.0, 1.0, 5),
    ("gaps.swivel", 0.0, 1.0, 5),
    ("gaps.press", -0.3, 0.3, 5),
    ("gaps.seat", 0.0, 1.0, 5),
    ("gaps.joint.\"drive/frame\"", -0.1, 0.6, 8),
    ("gaps.joint.\"keeper pin 2/frame\"", -0.3, 0.3, 12),
    ("layer", 0.04, 0.6, 2),
    ("line", 0.1, 2.0, 3),
    ("head.across_flats", 10.0, 200.0, 8),
    ("head.height", 1.0, 200.0, 8),
    ("load.offset", 0.0, 1000.0, 8),
    ("sizes.thread_gap", 0.0, 1.5, 8),
    ("sizes.tapped_wall", 4.0, 100.0, 10),
    ("sizes.drive_thread", 20.0, 400.0, 14),
    ("sizes.inner_thread", 10.0, 300.0, 14),
    ("sizes.bore", 10.0, 300.0, 14),
    ("sizes.collar", 6.0, 40.0, 10),
    ("sizes.carriage_diameter", 15.0, 120.0, 10),
    ("sizes.carriage_length", 10.0, 200.0, 10),
    ("sizes.ear_width", 3.0, 30.0, 10),
    ("sizes.frame_side", 30.0, 200.0, 10),
    ("sizes.keeper_plug", 2.0, 30.0, 8),
];

/// The same of keys that only a tandem kit has; they have a stream of their own.
const TANDEM_LENGTHS: [(&str, f64, f64, u64); 4] = [
    ("sizes.thin_thread", 10.0, 400.0, 10),
    ("sizes.nut", 4.0, 60.0, 6),
    ("sizes.carriage_width", 15.0, 100.0, 6),
    ("gaps.joint.\"nut/carriage\"", 0.0, 0.5, 8),
];
/// And of keys of an opposed one.
const OPPOSED_LENGTHS: [(&str, f64, f64, u64); 2] = [
    ("sizes.nut", 4.0, 60.0, 6),
    ("sizes.carriage_width", 15.0, 100.0, 6),
];

/// Keys that change nothing in a layout are refused there, and would hide the rest.
const NESTED_ALONE: [&str; 3] = ["sizes.collar", "sizes.inner_thread", "sizes.bore"];
const SINGLE_ALONE: [&str; 1] = ["gaps.swivel"];
const ROUND_ALONE: [&str; 3] = [
    "sizes.carriage_diameter",
    "sizes.ear_width",
    "sizes.frame_side",
];

/// What is not said of an opposed kit, whose shafts have no such ends or whose frame has no tapped wall.
const OPPOSED_IDLE: [&str; 3] = [
    "gaps.joint.\"drive/frame\"",
    "sizes.tapped_wall",
    "sizes.drive_thread",
];

/// Dowel pins to buy.
const DOWELS: [&str; 7] = [
    "3 mm dowel",
    "4 mm dowel",
    "5 mm dowel",
    "6 mm dowel",
    "1/8 dowel",
    "3/16 dowel",
    "1/4 dowel",
];

/// Draws of one number until one is accepted. Some one in four is.
const DRAWS: u64 = 40;

/// The first kit of a number that is accepted, or the last of its draws.
pub(crate) fn accepted(seed: u64, number: u64, accepts: impl Fn(&str) -> bool) -> String {
    let mut draws = (0..DRAWS).map(|draw| kit(seed.wrapping_add(draw.wrapping_mul(STEP)), number));
    let found = draws.find(|text| accepts(text));
    found.unwrap_or_else(|| kit(seed, number))
}

/// Where a second thread runs.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Second {
    None,
    InDrive,
    InNut,
    InFarNut,
}

impl Second {
    fn idle(self) -> Vec<&'static str> {
        match self {
            Self::None => NESTED_ALONE.into(),
            Self::InDrive => SINGLE_ALONE.into(),
            Self::InNut => [&NESTED_ALONE[..], &SINGLE_ALONE, &ROUND_ALONE].concat(),
            Self::InFarNut => [&Self::InNut.idle()[..], &OPPOSED_IDLE].concat(),
        }
    }

    /// Lengths that are drawn for it alone.
    fn own(self) -> &'static [(&'static str, f64, f64, u64)] {
        match self {
            Self::None | Self::InDrive => &[],
            Self::InNut => &TANDEM_LENGTHS,
            Self::InFarNut => &OPPOSED_LENGTHS,
        }
    }
}

/// A thread pair with its stroke, all in mm.
struct Threads {
    drive: String,
    inner: Option<String>,
    second: Second,
    net: f64,
}

impl Threads {
    /// Starts have a stream of their own.
    fn drawn(random: &mut Random, starts: &mut Random, layouts: &mut Random) -> Self {
        let tenth = |value: f64| (value * 10.0).round() / 10.0;
        let nested = !random.one_in(3);
        let drive = tenth(random.between(6.0, 40.0));
        let pitch = tenth(random.between(0.6, 4.5));
        let inner =
            tenth((drive - pitch * random.between(1.0, 2.5) - random.between(0.8, 6.0)).max(3.0));
        let fine = tenth(random.between(0.5, 4.0));
        let hand = |left: bool| if left { "-LH" } else { "" };
        let (drive_left, other_left) = (random.one_in(3), random.one_in(3));
        let two = [
            Second::InDrive,
            Second::InDrive,
            Second::InNut,
            Second::InFarNut,
        ];
        let second = match (nested, layouts.of(&two)) {
            (false, _) => Second::None,
            (true, second) => second,
        };
        // Of one screw both threads have one hand; two carriages that close want two.
        let inner_left = match second {
            Second::InNut => drive_left,
            Second::InFarNut => !drive_left,
            Second::None | Second::InDrive => other_left,
        };
        let [ways, inside] = [(); 2].map(|()| match starts.one_in(6) {
            true => 2 + starts.next() % 3,
            false => 1,
        });
        let [lead, other] = [(pitch, ways), (fine, inside)].map(|(p, n)| p * n as f64);
        let net = match (nested, drive_left == inner_left) {
            (false, _) => lead,
            (true, true) => (lead - other).abs().max(0.1),
            (true, false) => lead + other,
        };
        let advance = |pitch: f64, starts: u64| match starts {
            1 => format!("{pitch}"),
            several => format!("Ph{}P{pitch}", tenth(pitch * several as f64)),
        };
        Self {
            drive: format!("{drive}x{}{}", advance(pitch, ways), hand(drive_left)),
            inner: nested.then(|| format!("{inner}x{}{}", advance(fine, inside), hand(inner_left))),
            second,
            net,
        }
    }

    /// Forty turns at the most, or now and then any stroke that a kit may have.
    fn stroke(&self, random: &mut Random) -> f64 {
        match random.one_in(8) {
            true => random.scaled(0.1, 1000.0),
            false => (self.net * random.scaled(0.5, 40.0)).clamp(0.1, 150.0),
        }
    }
}

/// A line of the kit's text.
type Line<'a> = dyn FnMut(std::fmt::Arguments<'_>) + 'a;

/// The text of a kit that can be read; whether it can be drawn is not said.
pub(crate) fn kit(seed: u64, number: u64) -> String {
    // Neighbouring numbers give streams that share nothing: the first word is thrown away.
    let mut random = Random(seed.wrapping_mul(SECOND) ^ number.wrapping_mul(FIRST));
    random.next();
    let inches = random.one_in(4);
    let unit = if inches { INCH } else { 1.0 };
    let mut starts = Random(seed.wrapping_mul(FIRST) ^ number.wrapping_mul(SECOND));
    starts.next();
    let mut layouts = Random(seed.wrapping_mul(STEP) ^ number.wrapping_mul(SECOND));
    layouts.next();
    let threads = Threads::drawn(&mut random, &mut starts, &mut layouts);
    let mut text = String::from("name = \"random\"\n");
    let mut line = |said: std::fmt::Arguments<'_>| {
        // Writing into a string cannot fail.
        let _ = writeln!(text, "{said}");
    };
    if inches {
        line(format_args!("units = \"inch\""));
    }
    line(format_args!("drive = \"{}\"", threads.drive));
    let inner = threads.inner.as_deref().unwrap_or_default();
    match threads.second {
        Second::InDrive => line(format_args!("layout = \"nested\"\ninner = \"{inner}\"")),
        Second::InNut => line(format_args!("layout = \"tandem\"\nthin = \"{inner}\"")),
        Second::InFarNut => line(format_args!("layout = \"opposed\"\nfar = \"{inner}\"")),
        Second::None => line(format_args!("layout = \"single\"")),
    }
    let stroke = threads.stroke(&mut random) / unit;
    line(format_args!("stroke = {stroke:.4}"));
    let tolerance = random.scaled(0.001, 0.2).max(0.00101) / unit;
    line(format_args!("tolerance = {tolerance:.6}"));
    line(format_args!("walls = {}", 1 + random.next() % 8));
    said_of_print(&mut random, unit, &mut line);
    said_of_load(&mut random, &mut line);
    let mut idle = threads.second.idle();
    let mut heads = Random(seed.wrapping_mul(FIRST) ^ number.wrapping_mul(STEP));
    heads.next();
    idle.extend(said_of_head(&mut heads, unit, &mut line));
    for (key, low, high, rarely) in LENGTHS {
        let value = random.between(low, high) / unit;
        if random.one_in(rarely) && !idle.contains(&key) {
            line(format_args!("{key} = {value:.4}"));
        }
    }
    for (key, low, high, rarely) in threads.second.own() {
        let value = layouts.between(*low, *high) / unit;
        if layouts.one_in(*rarely) {
            line(format_args!("{key} = {value:.4}"));
        }
    }
    // A stream of their own, so that what is drawn beside them stays as it was.
    let mut fitted = Random(seed.wrapping_mul(STEP) ^ number.wrapping_mul(FIRST));
    fitted.next();
    let end = said_of_fittings(&mut fitted, threads.second, &mut line);
    said_of_throat(&mut fitted, end, stroke, unit, &mut line);
    said_of_spring(seed, number, threads.second, unit, &mut line);
    if random.one_in(6) {
        line(format_args!(
            "[[waive]]\ncheck = \"{}\"\nreason = \"drawn by lot, to see it waived\"",
            random.of(&["bed", "stop-load", "clearance", "kit-odds", "buckling"])
        ));
    }
    text
}

/// Filament, pins and the printer's room.
fn said_of_print(random: &mut Random, unit: f64, line: &mut Line<'_>) {
    let material = random.of(&["PLA", "PETG", "ABS", "ASA"]);
    line(format_args!("material = \"{material}\""));
    if random.one_in(5) {
        let grip = random.of(&["ribs", "wall"]);
        line(format_args!("pins.held_by = \"{grip}\""));
    }
    match random.next() % 6 {
        // Thin pins as often as thick ones.
        0 | 1 => line(format_args!(
            "pins.diameter = {:.4}",
            random.scaled(1.0, 20.0) / unit
        )),
        2 => line(format_args!("pins.buy = \"{}\"", random.of(&DOWELS))),
        _ => {}
    }
    if random.one_in(4) {
        let [x, y, z] = [(); 3].map(|()| random.scaled(50.0, 2000.0) / unit);
        line(format_args!("bed = [{x:.3}, {y:.3}, {z:.3}]"));
    }
    if random.one_in(8) {
        let fail = random.share();
        line(format_args!("odds.fail = {fail:.3}"));
        line(format_args!("odds.warn = {:.3}", random.between(fail, 1.0)));
    }
    // The head has a stream of its own.
    random.one_in(8);
    if random.one_in(12) {
        let turning = random.of(&["clockwise", "counter-clockwise"]);
        line(format_args!("advance = \"{turning}\""));
    }
    if random.one_in(16) {
        let lead = random.scaled(0.1, 9.0) / unit;
        line(format_args!("net_lead = {lead:.4}"));
    }
}

/// What the carriage works with, and what the frame is held by: now and then what its layout refuses.
fn said_of_fittings(
    random: &mut Random,
    second: Second,
    line: &mut Line<'_>,
) -> Option<&'static str> {
    let round = match second {
        Second::None | Second::InDrive => true,
        Second::InNut | Second::InFarNut => random.one_in(20),
    };
    let (ends, mounts): (&[&str], &[&str]) = match round {
        true => (&["ears", "jaw", "rod", "press"], &["foot", "1/4-20", "M6"]),
        false => (&["ears", "jaw"], &["foot"]),
    };
    let (end, mount) = (random.of(ends), random.of(mounts));
    let ended = random.one_in(3);
    if ended {
        line(format_args!("end = \"{end}\""));
    }
    if random.one_in(3) {
        line(format_args!("mount = \"{mount}\""));
    }
    ended.then_some(end)
}

/// The throat of a press, from too short to longer than a bed, and now and then of what has none.
fn said_of_throat(
    random: &mut Random,
    end: Option<&str>,
    stroke: f64,
    unit: f64,
    line: &mut Line<'_>,
) {
    let throat = stroke * unit * random.between(0.7, 2.0) + random.scaled(0.3, 200.0);
    let said = match end == Some("press") {
        true => random.one_in(2),
        false => random.one_in(60),
    };
    if said {
        line(format_args!("sizes.throat = {:.4}", throat / unit));
    }
}

/// The head and its ticks; keys that change nothing of it.
fn said_of_head(random: &mut Random, unit: f64, line: &mut Line<'_>) -> Vec<&'static str> {
    let kind = random.of(&["hexagon", "knob", "tommy", "crank"]);
    line(format_args!("head.kind = \"{kind}\""));
    let [diameter, bar] = [random.scaled(8.0, 200.0), random.scaled(2.0, 20.0)];
    let [wide, thick] = [random.one_in(4), random.one_in(3)];
    if wide && kind != "hexagon" {
        line(format_args!("head.diameter = {:.4}", diameter / unit));
    }
    if thick && kind == "tommy" {
        line(format_args!("head.bar = {:.4}", bar / unit));
    }
    if thick && kind == "crank" {
        line(format_args!("head.arm = {:.4}", (bar * 15.0) / unit));
    }
    let ticks = random.scaled(5.0, 200.0).round();
    if random.one_in(2) {
        line(format_args!("dial = {ticks}"));
    }
    match kind {
        "hexagon" => Vec::new(),
        _ => vec!["head.across_flats"],
    }
}

/// A preload spring in one kit of four, where it has a place; it has a stream of its own. Half of them
/// are about as wide and as long as kits ask.
fn said_of_spring(seed: u64, number: u64, second: Second, unit: f64, line: &mut Line<'_>) {
    let mut random = Random(seed.wrapping_mul(STEP) ^ number.wrapping_mul(FIRST));
    random.next();
    if !random.one_in(4) || second == Second::InFarNut {
        return;
    }
    let fits = random.one_in(2);
    let (wire, outside, free) = match fits {
        true => (
            random.between(0.5, 1.6),
            random.between(10.0, 30.0),
            random.between(20.0, 120.0),
        ),
        false => (
            random.scaled(0.2, 6.0),
            random.scaled(2.0, 200.0),
            random.scaled(3.0, 1000.0),
        ),
    };
    let stiff = match random.one_in(3) {
        true => format!(
            "rate = \"{:.4} N/mm\"",
            wound([wire, outside], random.scaled(2.5, 40.0))
        ),
        false => format!("coils = {:.1}", random.scaled(2.0, 40.0)),
    };
    let pull = match random.one_in(3) {
        true => format!(", pull = \"{:.1} N\"", random.scaled(0.1, 50.0)),
        false => String::new(),
    };
    let [wire, outside, free] = [wire, outside, free].map(|size| size / unit);
    line(format_args!(
        "spring = {{ wire = {wire:.4}, outside = {outside:.4}, free = {free:.4}, {stiff}{pull} }}"
    ));
}

/// N/mm of a steel spring of a wire and a width, in mm, with so many coils.
fn wound([wire, outside]: [f64; 2], coils: f64) -> f64 {
    const SHEAR_MODULUS: f64 = 79_300.0;
    let mean = (outside - wire).max(wire);
    SHEAR_MODULUS * wire * wire * wire * wire / (8.0 * mean * mean * mean * coils)
}

/// Loads, torques and friction.
fn said_of_load(random: &mut Random, line: &mut Line<'_>) {
    if random.one_in(4) {
        let torque = random.scaled(0.01, 50.0);
        line(format_args!("hand_torque = \"{torque:.3} N m\""));
    }
    match random.next() % 4 {
        0 => {
            let load = random.scaled(0.1, 20_000.0);
            line(format_args!("load.force = \"{load:.2} N\""));
        }
        1 => {
            let load = random.scaled(0.1, 20_000.0);
            let torque = random.scaled(0.01, 50.0);
            line(format_args!("load.force = \"{load:.2} N\""));
            line(format_args!("load.torque = \"{torque:.3} N m\""));
            line(format_args!("load.lasting = {}", random.one_in(2)));
        }
        2 => {
            let torque = random.scaled(0.01, 50.0);
            line(format_args!("load.torque = \"{torque:.3} N m\""));
        }
        _ => {}
    }
    match random.next() % 4 {
        0 => line(format_args!("friction = {:.3}", random.between(0.02, 1.0))),
        1 => {
            let least = random.between(0.02, 0.6);
            let most = random.between(least, 1.0);
            line(format_args!("friction = [{least:.3}, {most:.3}]"));
        }
        _ => {}
    }
}
