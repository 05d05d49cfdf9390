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
/// written: one in so many.
const LENGTHS: [(&str, f64, f64, u64); 19] = [
    ("gaps.thread", -0.1, 0.6, 4),
    ("gaps.slide", 0.0, 0.6, 4),
    ("gaps.locate", 0.0, 0.5, 4),
    ("gaps.swivel", 0.0, 0.6, 4),
    ("gaps.press", -0.3, 0.3, 4),
    ("gaps.seat", 0.0, 0.5, 4),
    ("gaps.joint.\"drive/frame\"", -0.1, 0.6, 6),
    ("pins.diameter", 1.0, 8.0, 3),
    ("layer", 0.04, 0.4, 2),
    ("line", 0.2, 1.0, 3),
    ("head.across_flats", 10.0, 70.0, 5),
    ("head.height", 4.0, 40.0, 5),
    ("sizes.thread_gap", 0.1, 1.0, 8),
    ("sizes.tapped_wall", 8.0, 60.0, 8),
    ("sizes.collar", 6.0, 40.0, 8),
    ("sizes.carriage_diameter", 15.0, 80.0, 8),
    ("sizes.ear_width", 3.0, 20.0, 8),
    ("sizes.frame_side", 30.0, 120.0, 8),
    ("sizes.keeper_plug", 2.0, 15.0, 6),
];

/// The text of a kit that can be read; whether it can be drawn is not said. Its stroke takes at
/// most forty turns.
pub(crate) fn kit(seed: u64, number: u64) -> String {
    // Neighbouring numbers give streams that share nothing: the first word is thrown away.
    let mut random = Random(seed.wrapping_mul(SECOND) ^ number.wrapping_mul(FIRST));
    random.next();
    let inches = random.one_in(4);
    let nested = !random.one_in(3);
    let unit = if inches { INCH } else { 1.0 };
    let tenth = |value: f64| (value * 10.0).round() / 10.0;
    let drive = tenth(random.between(6.0, 40.0));
    let pitch = tenth(random.between(0.6, 4.5));
    let inner =
        tenth((drive - pitch * random.between(1.0, 2.5) - random.between(0.8, 6.0)).max(3.0));
    let fine = tenth(random.between(0.5, 4.0));
    let hand = |left: bool| if left { "-LH" } else { "" };
    let (drive_left, inner_left) = (random.one_in(3), random.one_in(3));
    let mut text = String::from("name = \"random\"\n");
    let mut line = |said: std::fmt::Arguments<'_>| {
        // Writing into a string cannot fail.
        let _ = writeln!(text, "{said}");
    };
    line(format_args!(
        "layout = \"{}\"",
        if nested { "nested" } else { "single" }
    ));
    if inches {
        line(format_args!("units = \"inch\""));
    }
    line(format_args!(
        "drive = \"{drive}x{pitch}{}\"",
        hand(drive_left)
    ));
    let net = match (nested, drive_left == inner_left) {
        (false, _) => pitch,
        (true, true) => (pitch - fine).abs().max(0.1),
        (true, false) => pitch + fine,
    };
    if nested {
        line(format_args!(
            "inner = \"{inner}x{fine}{}\"",
            hand(inner_left)
        ));
    }
    let stroke = (net * random.scaled(0.5, 40.0)).clamp(0.1, 150.0);
    line(format_args!("stroke = {:.4}", stroke / unit));
    line(format_args!(
        "tolerance = {:.6}",
        random.scaled(0.001, 0.2).max(0.00101) / unit
    ));
    line(format_args!("walls = {}", 1 + random.next() % 8));
    line(format_args!(
        "material = \"{}\"",
        random.of(&["PLA", "PETG"])
    ));
    if random.one_in(5) {
        line(format_args!(
            "pins.held_by = \"{}\"",
            random.of(&["ribs", "wall"])
        ));
    }
    for (key, low, high, rarely) in LENGTHS {
        let value = random.between(low, high) / unit;
        // A key that changes nothing in a layout is refused there, and would hide the rest.
        let idle = if nested {
            "gaps.swivel"
        } else {
            "sizes.collar"
        };
        if random.one_in(rarely) && key != idle {
            line(format_args!("{key} = {value:.4}"));
        }
    }
    text
}
