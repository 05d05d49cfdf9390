//! No bytes make the program panic, and what passes every check can be meshed.
//!
//! Drives the bodies of the fuzz targets (`fuzz/bodies.rs`) with random bytes, with presets
//! into which something was typed, and with values drawn from the range that `kit::keys`
//! declares for each key.

#[path = "../../fuzz/bodies.rs"]
mod bodies;

use crate::support;
use netlead::assembly::{Made, Part};
use netlead::check::Outcome;
use netlead::kit::{self, KeyHelp};
use netlead::output::part::Maker;
use netlead::units::{Length, real};
use proptest::prelude::*;
use proptest::sample::{Index, select};
use std::collections::BTreeMap;

const PRESETS: [&str; 3] = [
    include_str!("../../presets/desk-stage.toml"),
    include_str!("../../presets/board-stop.toml"),
    include_str!("../../presets/plain-stage.toml"),
];

/// What a slip of the hand or a hostile one types into a kit file.
const TYPED: [&str; 44] = [
    "0",
    "-0",
    "-1",
    "1e308",
    "-1e308",
    "1e-308",
    "nan",
    "inf",
    "-inf",
    "99999999999999999999",
    "0x7fffffffffffffff",
    "1_0",
    "1.",
    ".5",
    "\"",
    "'",
    "\"\"\"",
    "[",
    "]",
    "{",
    "}",
    "=",
    "\n",
    "\r",
    "\t",
    "#",
    ",",
    ".",
    " ",
    "\u{0}",
    "\u{feff}",
    "\u{301}",
    "\u{1f529}",
    "é",
    "\\u0000",
    "\"1/0\"",
    "\"3/8 in\"",
    "\"M1x99\"",
    "\"M999x0.001-LH\"",
    "\"#0-80 UNF\"",
    "true",
    "1979-05-27",
    "[sizes]",
    "[[waive]]",
];

/// Settings of a property that is cheap to shrink and whose values are often thrown away.
fn cases(usual: u32) -> ProptestConfig {
    ProptestConfig {
        max_shrink_iters: 200,
        max_global_rejects: 1_000_000,
        ..support::cases(usual)
    }
}

/// A change to a text at one place.
#[derive(Clone, Debug)]
enum Slip {
    /// Takes bytes away and puts others there.
    Bytes(Index, usize, Vec<u8>),
    /// Puts a word in place of the value of a line.
    Value(Index, &'static str),
    /// Writes a line of one preset into another.
    Line(Index, usize, Index),
}

fn slip() -> impl Strategy<Value = Slip> {
    let typed = select(TYPED.to_vec());
    let bytes = prop_oneof![
        typed.clone().prop_map(|word| word.as_bytes().to_vec()),
        proptest::collection::vec(any::<u8>(), 0..6),
    ];
    prop_oneof![
        (any::<Index>(), 0..12usize, bytes)
            .prop_map(|(at, less, more)| Slip::Bytes(at, less, more)),
        (any::<Index>(), typed).prop_map(|(line, word)| Slip::Value(line, word)),
        (any::<Index>(), 0..PRESETS.len(), any::<Index>())
            .prop_map(|(at, other, line)| Slip::Line(at, other, line)),
    ]
}

impl Slip {
    fn apply(&self, text: Vec<u8>) -> Vec<u8> {
        match self {
            Self::Bytes(at, less, more) => {
                let start = at.index(text.len() + 1);
                let end = (start + less).min(text.len());
                [&text[..start], more, &text[end..]].concat()
            }
            Self::Value(line, word) => changed_lines(&text, line, |line| {
                let key = line.split('=').next().unwrap_or_default();
                vec![format!("{key}= {word}")]
            }),
            Self::Line(at, other, line) => {
                let lines: Vec<&str> = PRESETS[*other].lines().collect();
                let stranger = lines[line.index(lines.len())];
                changed_lines(&text, at, |line| vec![line.to_owned(), stranger.to_owned()])
            }
        }
    }
}

/// The text with one of its lines changed, or made into several.
fn changed_lines(text: &[u8], at: &Index, change: impl Fn(&str) -> Vec<String>) -> Vec<u8> {
    let text = String::from_utf8_lossy(text).into_owned();
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    if !lines.is_empty() {
        let at = at.index(lines.len());
        let changed = change(&lines[at]);
        lines.splice(at..=at, changed);
    }
    lines.join("\n").into_bytes()
}

/// Every key with a value of the kind and range that its declaration names, as TOML.
fn valid(key: &KeyHelp) -> BoxedStrategy<String> {
    let range = key.range.clone().unwrap_or_default();
    let quoted = |unit: &'static str, range: &str| {
        between(range)
            .prop_map(move |value| format!("\"{value} {unit}\""))
            .boxed()
    };
    match key.kind.as_str() {
        "length" => quoted("mm", &range),
        "torque" => quoted("N m", &range),
        "force" => quoted("N", &range),
        "spring rate" => quoted("N/mm", &range),
        "number" => between(&range).prop_map(|value| value.to_string()).boxed(),
        "number, or a list of two" => {
            let one = between(range.trim_start_matches("each "));
            let two = [one.clone(), one.clone()]
                .prop_map(|[a, b]| format!("[{}, {}]", a.min(b), a.max(b)));
            prop_oneof![one.prop_map(|value| value.to_string()), two].boxed()
        }
        "true or false" => any::<bool>().prop_map(|value| value.to_string()).boxed(),
        "whole number" => between(&range)
            .prop_map(|value| value.round().to_string())
            .boxed(),
        "\"solid\", or whole number" => {
            let count = between(&range).prop_map(|value| value.round().to_string());
            prop_oneof![count, Just("\"solid\"".to_owned())].boxed()
        }
        "list of three lengths" => {
            let length = between(range.trim_start_matches("each "));
            [length.clone(), length.clone(), length]
                .prop_map(|[x, y, z]| format!("[\"{x} mm\", \"{y} mm\", \"{z} mm\"]"))
                .boxed()
        }
        "thread designation" => designation().boxed(),
        "\"printed\", or thread of a nut to buy" => {
            select(vec!["printed", "M16", "M12 nut", "1/2-13", "5/8-11 UNC"])
                .prop_map(|nut| format!("\"{nut}\""))
                .boxed()
        }
        _ if range.starts_with('"') => {
            let words: Vec<String> = range
                .split('"')
                .skip(1)
                .step_by(2)
                .map(str::to_owned)
                .collect();
            select(words).prop_map(|word| format!("\"{word}\"")).boxed()
        }
        "dowel pin" => {
            let sizes: Vec<String> = range.split(", ").map(str::to_owned).collect();
            select(sizes)
                .prop_map(|size| format!("\"{size} dowel\""))
                .boxed()
        }
        other => panic!("no values are drawn for a {other}"),
    }
}

/// Values from the least to the most of a range in words, in equal shares of every ratio; the
/// ends themselves are among them.
fn between(range: &str) -> BoxedStrategy<f64> {
    let ends: Vec<f64> = range
        .split(" to ")
        .map(|end| {
            let number = end.split_whitespace().next().unwrap_or_default();
            number.replace(' ', "").parse().unwrap_or(f64::NAN)
        })
        .collect();
    let [low, high] = ends[..] else {
        panic!("no range in {range:?}");
    };
    assert!(low < high, "{range:?} is read as {low} to {high}");
    let share = (0.0..=1.0f64).prop_map(move |share| {
        let value = if low > 0.0 {
            low * real::pow(high / low, share)
        } else {
            low + (high - low) * share
        };
        // As people type: to a thousandth, which stays within ends that are typed so too.
        ((value * 1000.0).round() / 1000.0).clamp(low, high)
    });
    prop_oneof![8 => share, 1 => Just(low), 1 => Just(high)].boxed()
}

/// Threads as they are drawn in plastic, standard or not, of either hand.
fn designation() -> impl Strategy<Value = String> {
    let sizes = vec![
        "M8",
        "M10x1.25",
        "M12",
        "M12x1.75",
        "M14x1.5",
        "M16",
        "M20x2.5",
        "M22",
        "M24x3",
        "M27x3",
        "M30",
        "M36x4",
        "1/2-13 UNC",
        "3/4-10 UNC",
        "7/8-9 UNC",
        "1-8 UNC",
    ];
    (select(sizes), any::<bool>()).prop_map(|(size, left)| {
        let hand = if left { "-LH" } else { "" };
        format!("\"{size}{hand}\"")
    })
}

/// A preset with up to six keys at valid values.
fn valid_kit() -> impl Strategy<Value = String> {
    let mut keys = kit::keys();
    // Names are no measures, and waivers would let through what fails.
    keys.retain(|key| !["name", "printer"].contains(&key.path) && !key.path.starts_with("waive."));
    let chosen = proptest::sample::subsequence(keys, 0..=6);
    let values = chosen.prop_flat_map(|keys| {
        let values: Vec<_> = keys.iter().map(valid).collect();
        (Just(keys), values)
    });
    (0..PRESETS.len(), values).prop_map(|(preset, (keys, values))| {
        let mut kit: BTreeMap<String, String> = BTreeMap::new();
        for line in PRESETS[preset]
            .lines()
            .filter(|line| !line.starts_with('#'))
        {
            if let Some((key, value)) = line.split_once('=') {
                let value = value.split(" #").next().unwrap_or_default();
                kit.insert(key.trim().to_owned(), value.trim().to_owned());
            }
        }
        // An assertion of the preset does not hold for another kit, nor does its table.
        kit.retain(|key, _| !matches!(key.as_str(), "net_lead" | "advance" | "head"));
        for (key, value) in keys.iter().zip(values) {
            kit.insert(key.path.to_owned(), value);
        }
        // A load is a force or a table, not both.
        if kit.keys().any(|key| key.starts_with("load.")) {
            kit.remove("load");
        }
        kit.iter()
            .map(|(key, value)| format!("{key} = {value}\n"))
            .collect()
    })
}

/// Writes a printed part and proves the file.
fn proved(part: &Part, tolerance: Length) -> Result<(), String> {
    let maker = Maker {
        kit: "kit",
        tolerance,
    };
    let written = maker.written(&part.name, &part.shape);
    written.map(|_| ()).map_err(|error| error.to_string())
}

proptest! {
    #![proptest_config(cases(2000))]

    #[test]
    fn prop_random_bytes_are_read_without_a_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        bodies::kit_read(&bytes);
        bodies::thread_designation(&bytes);
    }

    #[test]
    fn prop_a_preset_with_slips_is_judged_or_refused(
        preset in 0..PRESETS.len(), slips in proptest::collection::vec(slip(), 1..8),
    ) {
        let start = PRESETS[preset].as_bytes().to_vec();
        let text = slips.iter().fold(start, |text, slip| slip.apply(text));
        bodies::kit_read(&text);
    }

    #[test]
    fn prop_a_designation_with_slips_is_read_or_refused(
        words in proptest::collection::vec(select(vec![
            "M", "20", "x", "2.5", "Ph", "P", "-LH", "-", " ", "/", "UNC", "UNF", "UN", "#", "1",
            "3/4", "10", "0", "LH", "1e9", "\u{b5}", "in", "\"", "99999999999999999999",
        ]), 0..9),
    ) {
        bodies::thread_designation(words.concat().as_bytes());
    }

    #[test]
    fn prop_values_within_their_ranges_are_judged_or_refused(text in valid_kit()) {
        bodies::kit_read(text.as_bytes());
    }
}

proptest! {
    #![proptest_config(cases(8))]

    /// Chords far coarser than a maker's keep the test short.
    #[test]
    fn prop_a_kit_that_fails_no_check_has_sound_parts(text in valid_kit(), coarse in 0.04..0.2f64) {
        let judged = bodies::kit_read(text.as_bytes());
        prop_assume!(judged.is_some());
        let Some(judged) = judged else { return Ok(()) };
        prop_assume!(judged.findings.iter().all(|finding| finding.outcome != Outcome::Fail));
        let tolerance = Length::mm(coarse).max(*judged.kit.tolerance);
        for part in &judged.design.assembly.parts {
            if part.made == Made::Printed {
                let proof = proved(part, tolerance);
                prop_assert!(proof.is_ok(), "{}: {proof:?}\n{text}", part.name);
            }
        }
    }
}

/// The properties above would hold of kits that are all refused.
#[test]
fn enough_drawn_kits_pass_for_the_laws_to_mean_something() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let mut outcomes = [0usize; 3];
    for _ in 0..300 {
        let Ok(text) = valid_kit().new_tree(&mut runner) else {
            continue;
        };
        let place = match bodies::kit_read(text.current().as_bytes()) {
            None => 0,
            Some(judged) if judged.findings.iter().any(|f| f.outcome == Outcome::Fail) => 1,
            Some(_) => 2,
        };
        outcomes[place] += 1;
    }
    // A sixth each is far below what the strategy gives, and far above none.
    assert!(
        outcomes[1] + outcomes[2] > 50 && outcomes[2] > 50,
        "{outcomes:?}"
    );
}
