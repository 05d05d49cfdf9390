//! Trials of a known mechanism: what is put into the rows comes out of them, each verdict has
//! a case that gives it and a near one that does not, and bad rows are named.
use crate::support::cases;
use netlead::diagnostic::{Style, render};
use netlead::kit::Kit;
use netlead::layout::design;
use netlead::printer::Profile;
use netlead::thread::Thread;
use netlead::trial::{
    Direction, Instrument, LostState, Measured, Prediction, Reading, Row, Trial, Unit, Verdict,
    fit, judge, read, student,
};
use netlead::units::{Angle, Length};
use proptest::prelude::*;

/// M20x2.5 with M12x1.75 inside: 0.75 mm a turn, 13.3 turns for 10 mm.
const KIT: &str = "name = \"stage\"\nlayout = \"nested\"\nhand_torque = 0.5\ndrive = \"M20x2.5\"\n\
                   inner = \"M12x1.75\"\nstroke = 10\nlayer = 0.14\n";
const LEAD: f64 = 0.75;

fn prediction() -> Prediction {
    let kit: Kit = KIT.parse().unwrap();
    let profile = Profile::untuned_for(&kit);
    Prediction::new(&kit, &design(&kit, &profile).unwrap(), &profile).unwrap()
}

/// Noise that is the same on every machine: SplitMix64, and the sum of twelve.
struct Noise(u64);

impl Noise {
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }
}

/// A screw as it is: its lead, its play, where its carriage stands in the play.
#[derive(Clone, Copy)]
struct Screw {
    lead: f64,
    play: f64,
    /// Share of the play that is taken up at turn 0, coming forward.
    taken_up: f64,
    ripple: f64,
    noise: f64,
    step: f64,
}

const GOOD: Screw = Screw {
    lead: LEAD,
    play: 0.4,
    taken_up: 1.0,
    ripple: 0.0,
    noise: 0.0,
    step: 0.02,
};

impl Screw {
    /// Turns the drive to each place in turn and reads the travel. The carriage moves only
    /// when a flank pushes it.
    fn rows(&self, turns: &[f64], seed: u64) -> Measured {
        let mut noise = Noise(seed);
        let mut carriage = (1.0 - self.taken_up) * self.play;
        let mut before = 0.0;
        let mut rows = Vec::new();
        for (index, n) in turns.iter().enumerate() {
            let pushed = self.lead * n + self.ripple * Angle::turns(*n).sin();
            carriage = carriage.clamp(pushed, pushed + self.play);
            let read = carriage + self.noise * noise.normal();
            let back = *n < before || (*n == before && index > 0 && rows_back(&rows));
            rows.push(Row {
                turns: *n,
                reading: Length::mm((read / self.step).round() * self.step),
                direction: if back {
                    Direction::Back
                } else {
                    Direction::Forward
                },
                at: index..index + 1,
            });
            before = *n;
        }
        Measured {
            reading: Reading::Travel,
            reading_at: 0..0,
            unit: Unit::Mm,
            instrument: Instrument {
                resolution: Length::mm(self.step),
                repeatability: Length::ZERO,
            },
            rows,
        }
    }

    fn trial(&self, turns: &[f64]) -> Trial {
        judge(self.rows(turns, 1), prediction()).unwrap()
    }
}

fn rows_back(rows: &[Row]) -> bool {
    rows.last()
        .is_some_and(|row| row.direction == Direction::Back)
}

const OUT: [f64; 7] = [0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0];
const BOTH: [f64; 13] = [
    0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 11.0, 9.0, 7.0, 5.0, 3.0, 1.0,
];

#[test]
fn lead_and_lost_motion_lie_in_their_intervals_at_the_stated_rate() {
    // Noise far above the step, so that the intervals are those of Student's t: 95 % of 2000
    // with a standard deviation of 0.5 %.
    let screw = Screw {
        noise: 0.03,
        step: 1e-3,
        ..GOOD
    };
    let (mut lead, mut lost) = (0, 0);
    const TRIALS: u64 = 2000;
    for seed in 0..TRIALS {
        let fit = fit(&screw.rows(&BOTH, seed)).unwrap();
        lead += u64::from(fit.lead.holds(screw.lead, 0.0));
        lost += u64::from(fit.lost.unwrap().holds(screw.play, 0.0));
    }
    for held in [lead, lost] {
        let rate = held as f64 / TRIALS as f64;
        assert!(
            (0.93..=0.97).contains(&rate),
            "{lead} and {lost} of {TRIALS}"
        );
    }
}

#[test]
fn an_instrument_that_only_rounds_gives_intervals_that_hold_at_least_as_often() {
    let (mut held, mut all) = (0, 0);
    for seed in 0..500u64 {
        let lead = LEAD + 0.01 * Noise(seed).even();
        let screw = Screw {
            lead,
            step: 0.05,
            ..GOOD
        };
        let fit = fit(&screw.rows(&BOTH, seed)).unwrap();
        held += u32::from(fit.lead.holds(lead, 0.0));
        all += 1;
    }
    assert!(f64::from(held) >= 0.95 * f64::from(all), "{held} of {all}");
}

#[test]
fn an_error_within_a_turn_is_found_from_quarter_turns_and_not_claimed_from_whole_ones() {
    let quarters: Vec<f64> = (0..20).map(|i| f64::from(i) / 4.0).collect();
    let screw = Screw {
        ripple: 0.08,
        noise: 0.01,
        step: 0.01,
        ..GOOD
    };
    let found = fit(&screw.rows(&quarters, 5)).unwrap().ripple.unwrap();
    assert!(found.amplitude.holds(0.08, 0.0), "{found:?}");
    assert!(found.chance < 1e-3, "{found:?}");
    let whole = screw.trial(&OUT);
    assert_eq!(whole.fit.ripple, None);
    assert!(netlead::trial::sentences::ripple(&whole.fit).contains("quarter turns"));
}

#[test]
fn the_rows_of_a_take_up_do_not_spoil_the_lost_motion() {
    let turns = [0.0, 2.0, 4.0, 6.0, 8.0, 7.9, 7.8, 7.7, 6.0, 4.0, 2.0, 0.0];
    let lost = GOOD.trial(&turns).fit.lost.unwrap();
    assert!(lost.holds(0.4, 0.0), "{lost:?}");
    assert!(lost.half < 0.03, "{lost:?}");
}

#[test]
fn a_screw_as_predicted_agrees() {
    let trial = GOOD.trial(&BOTH);
    assert_eq!(trial.judgement.verdict, Verdict::Agrees);
    assert_eq!(trial.judgement.lost, LostState::Agrees);
}

#[test]
fn more_play_than_the_gaps_allow_is_named() {
    let trial = Screw { play: 1.6, ..GOOD }.trial(&BOTH);
    assert_eq!(trial.judgement.verdict, Verdict::MorePlay);
    assert_eq!(trial.judgement.lost, LostState::More);
}

#[test]
fn turns_counted_before_the_play_was_taken_up_are_lost_motion() {
    let screw = Screw {
        taken_up: 0.0,
        ..GOOD
    };
    let trial = screw.trial(&OUT);
    assert_eq!(
        trial.judgement.verdict,
        Verdict::LostMotion,
        "{}",
        trial.judgement.sentence
    );
    assert!(trial.fit.lead.holds(LEAD, 0.0));
    // The same screw with its play taken up is not told so.
    assert_eq!(GOOD.trial(&OUT).judgement.verdict, Verdict::Agrees);
}

#[test]
fn two_rows_short_by_a_play_leave_it_open_with_the_play_first() {
    let play = Screw {
        taken_up: 0.0,
        ..GOOD
    }
    .trial(&[0.0, 10.0]);
    assert_eq!(play.judgement.verdict, Verdict::Undecided);
    let first = &play.judgement.tried[0].what;
    assert!(first.contains("play was taken up"), "{first}");
    assert!(!play.next.turns.is_empty());
    // 2 mm of 7.5 are missing, more than the gaps can have.
    let more = Screw { lead: 0.55, ..GOOD }.trial(&[0.0, 10.0]);
    let first = &more.judgement.tried[0].what;
    assert!(!first.contains("play was taken up"), "{first}");
}

#[test]
fn a_coarse_instrument_is_told_and_a_fine_one_is_not() {
    let few = [0.0, 1.0, 2.0];
    let coarse = Screw { step: 0.5, ..GOOD }.trial(&few);
    assert_eq!(
        coarse.judgement.verdict,
        Verdict::Undecided,
        "{}",
        coarse.judgement.sentence
    );
    let fine = Screw {
        step: 0.005,
        ..GOOD
    }
    .trial(&few);
    assert_eq!(
        fine.judgement.verdict,
        Verdict::Agrees,
        "{}",
        fine.judgement.sentence
    );
}

#[test]
fn two_rows_that_fit_are_not_called_proof() {
    assert_eq!(
        GOOD.trial(&[0.0, 12.0]).judgement.verdict,
        Verdict::Undecided
    );
}

#[test]
fn wrong_threads_and_miscounts_are_found_by_their_leads() {
    // L1 alone, the sum, M12x1.5 or M20x2 by mistake, and half turns.
    for (lead, words) in [
        (2.5, "no travel"),
        (4.25, "left-hand"),
        (1.0, "M12x1.5"),
        (0.25, "M20x2"),
        (0.375, "half turns"),
    ] {
        let screw = Screw { lead, ..GOOD };
        let turns: Vec<f64> = (0..8).map(|i| f64::from(i) / 2.0).collect();
        let trial = screw.trial(&turns);
        let sentence = &trial.judgement.sentence;
        assert_eq!(
            trial.judgement.verdict,
            Verdict::WrongThread,
            "{lead}: {sentence}"
        );
        assert!(sentence.contains(words), "{lead}: {sentence}");
        // A lead 5 % beside it is not that mistake.
        let beside = Screw {
            lead: 1.05 * lead,
            ..screw
        }
        .trial(&turns);
        assert_ne!(beside.judgement.verdict, Verdict::WrongThread, "{lead}");
    }
}

#[test]
fn a_lead_off_by_a_percent_is_the_printers_scale_and_by_a_tenth_of_that_is_not() {
    let screw = Screw {
        lead: LEAD * 1.012,
        step: 0.01,
        ..GOOD
    };
    let trial = screw.trial(&BOTH);
    assert_eq!(
        trial.judgement.verdict,
        Verdict::PrinterScale,
        "{}",
        trial.judgement.sentence
    );
    assert!(trial.judgement.scale.unwrap().holds(0.012, 0.0));
    let near = Screw {
        lead: LEAD * 1.001,
        ..screw
    }
    .trial(&BOTH);
    assert_eq!(near.judgement.verdict, Verdict::Agrees);
}

#[test]
fn a_lead_that_nothing_gives_stays_unexplained() {
    let trial = Screw {
        lead: 0.85,
        step: 0.01,
        ..GOOD
    }
    .trial(&BOTH);
    assert_eq!(
        trial.judgement.verdict,
        Verdict::Unexplained,
        "{}",
        trial.judgement.sentence
    );
}

#[test]
fn a_slip_of_one_row_is_named_and_the_others_are_not() {
    let mut measured = Screw {
        noise: 0.01,
        ..GOOD
    }
    .rows(&BOTH, 3);
    measured.rows[4].reading += Length::mm(0.3);
    let trial = judge(measured, prediction()).unwrap();
    assert_eq!(trial.judgement.verdict, Verdict::Misread);
    assert_eq!(trial.judgement.named_row(), Some(4));
}

#[test]
fn the_proposed_measurement_narrows_the_interval_as_it_says() {
    let screw = Screw {
        step: 0.1,
        noise: 0.05,
        ..GOOD
    };
    let short = [0.0, 1.0, 2.0, 3.0, 4.0];
    let trial = screw.trial(&short);
    let proposal = &trial.next;
    assert_eq!(proposal.decides, "net lead");
    let mut turns = short.to_vec();
    for _ in 0..proposal.repeats {
        turns.extend(&proposal.turns);
    }
    let mut measured = screw.rows(&turns, 1);
    for row in &mut measured.rows {
        row.direction = Direction::Forward;
    }
    let [before, after] = proposal.half.unwrap();
    let fitted = fit(&measured).unwrap();
    // With the noise that the proposal could know of, and t for what few rows know of it.
    let (old, new) = (trial.fit.deviation.unwrap(), fitted.deviation.unwrap());
    let expected =
        after * (new / old).max(1.0) * student::two_sided_quantile(0.95, fitted.freedom as f64)
            / 1.96;
    let got = fitted.lead.half;
    assert!(
        got < before && got <= 1.01 * expected,
        "{got} {expected} {proposal:?}"
    );
}

#[test]
fn axial_play_between_limits_of_size_is_that_of_the_published_rows() {
    // (D2 - d2) tan 30 with the limits of ISO 965-1 6g/6H and ASME B1.1 2A/2B (derived).
    for (designation, unit, least, most) in [
        ("M8", 1.0, 0.0162, 0.1767),
        ("M10", 1.0, 0.0185, 0.1986),
        ("M10x1.25", 1.0, 0.0162, 0.1767),
        ("M10x1", 1.0, 0.015, 0.1663),
        ("M12", 1.0, 0.0196, 0.2217),
        ("M12x1.25", 1.0, 0.0162, 0.1963),
        ("M20", 1.0, 0.0242, 0.2517),
        ("M24", 1.0, 0.0277, 0.2962),
        ("M36", 1.0, 0.0346, 0.3372),
        ("1/4-20", 25.4, 0.000_635_085_3, 0.005_600_298),
        ("1/2-13", 25.4, 0.000_866_025_4, 0.007_505_553),
        // The allowance of 5/8-11 is 0.0016 in (ASME B1.1: d2 0.5644 max, D2 0.5660 min).
        ("5/8-11", 25.4, 0.000_923_760, 0.008_256_109),
        ("3/4-10", 25.4, 0.001_039_23, 0.008_891_194),
        ("1-8", 25.4, 0.001_154_701, 0.010_161_36),
    ] {
        let thread: Thread = designation.parse().unwrap();
        let limits = thread.limits().unwrap();
        let (bolt, nut) = (limits.external.pitch, limits.internal.pitch);
        // A radial gap is half of the difference of diameters.
        let play = |d2: Length, d2_bolt: Length| thread.play((d2 - d2_bolt) / 2.0).as_mm();
        let narrow = play(nut.min.unwrap(), bolt.max.unwrap());
        let wide = play(nut.max.unwrap(), bolt.min.unwrap());
        approx::assert_abs_diff_eq!(narrow, least * unit, epsilon = 1e-4);
        approx::assert_abs_diff_eq!(wide, most * unit, epsilon = 1e-4);
    }
}

#[test]
fn lost_rotation_of_differential_pairs_is_that_of_the_published_rows() {
    // 360 degrees (j1 + j2) / (P1 - P2), derived; plays of ISO 965-1 6g/6H pairs.
    for (plays, net, degrees) in [
        (0.0404, 0.5, 29.098_45),
        (0.4353, 0.5, 313.431_9),
        (0.0439, 0.75, 21.061_74),
        (0.4734, 0.75, 227.245_1),
        (0.0624, 1.0, 22.447_38),
        (0.6334, 1.0, 228.007_2),
    ] {
        let screw = Screw {
            lead: net,
            play: plays,
            step: 1e-4,
            ..GOOD
        };
        let fit = fit(&screw.rows(&BOTH, 1)).unwrap();
        let measured = 360.0 * fit.lost.unwrap().value / fit.lead.value;
        approx::assert_abs_diff_eq!(measured, degrees, epsilon = 0.1);
    }
}

fn told(text: &str) -> String {
    let problems = match read(text).and_then(|rows| judge(rows, prediction())) {
        Ok(trial) => panic!("accepted: {}", trial.judgement.sentence),
        Err(problems) => problems,
    };
    render("m.toml", text, &problems, Style::default())
}

#[test]
fn inches_read_as_millimetres_are_told() {
    let text = "reading = \"travel\"\nresolution = 0.001\n\
                rows = [[0, 0], [4, 0.118], [8, 0.236], [12, 0.354]]\n";
    let shown = told(text);
    assert!(shown.contains("look like in, read as mm"), "{shown}");
    assert!(shown.contains("unit = \"in\""), "{shown}");
    let mended = format!("unit = \"in\"\n{text}");
    let trial = judge(read(&mended).unwrap(), prediction()).unwrap();
    assert_eq!(
        trial.judgement.verdict,
        Verdict::Agrees,
        "{}",
        trial.judgement.sentence
    );
}

#[test]
fn a_depth_called_travel_is_told_with_what_to_type() {
    let shown =
        told("reading = \"travel\"\nresolution = 0.05\nrows = [[0, 40], [5, 36.25], [10, 32.5]]\n");
    assert!(shown.contains("m.toml, line 1, column 11"), "{shown}");
    assert!(shown.contains("`reading = \"depth\"`"), "{shown}");
}

#[test]
fn bad_rows_are_all_named_by_line() {
    let shown = told(
        "reading = \"travel\"\nresolution = 0.05\nrows = [\n  [0, 0],\n  [\"two\", 1.5],\n  \
         [4, \"far\"],\n  [6],\n  [8, 6, \"up\"],\n]\n",
    );
    for line in [
        "m.toml, line 5, column 4",
        "m.toml, line 6, column 8",
        "m.toml, line 7, column 3",
        "m.toml, line 8, column 11",
    ] {
        assert!(shown.contains(line), "{line} {shown}");
    }
}

#[test]
fn a_reading_beyond_belief_is_named_by_line() {
    let shown = told(
        "reading = \"travel\"\nresolution = 0.05\nrows = [\n  [0, 0],\n  [2, 1.5],\n  \
         [4, 300],\n  [6, 4.5],\n  [8, 6],\n]\n",
    );
    assert!(shown.contains("m.toml, line 6, column 3"), "{shown}");
    assert!(shown.contains("beyond belief"), "{shown}");
}

#[test]
fn an_empty_form_says_all_that_is_missing() {
    let shown = told("");
    for key in ["reading", "resolution", "rows"] {
        assert!(shown.contains(&format!("`{key}` is missing")), "{shown}");
    }
}

fn form(measured: &Measured, unit: Unit) -> String {
    let number = |length: Length| netlead::trial::in_unit(length, unit);
    let rows: Vec<String> = measured
        .rows
        .iter()
        .map(|row| {
            let way = row.direction.word();
            format!("[{}, {:.12}, \"{way}\"]", row.turns, number(row.reading))
        })
        .collect();
    format!(
        "reading = \"{}\"\nresolution = {:.12}\nunit = \"{}\"\nrows = [{}]\n",
        measured.reading.word(),
        number(measured.instrument.resolution),
        unit.word(),
        rows.join(", ")
    )
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn prop_depth_and_travel_give_the_same_fit(lead in 0.3f64..3.0, play in 0.0f64..1.0, seed in any::<u64>()) {
        let travel = Screw { lead, play, noise: 0.02, ..GOOD }.rows(&BOTH, seed);
        let mut depth = travel.clone();
        depth.reading = Reading::Depth;
        for row in &mut depth.rows {
            row.reading = Length::mm(40.0) - row.reading;
        }
        let (a, b) = (fit(&travel).unwrap(), fit(&depth).unwrap());
        prop_assert!((a.lead.value - b.lead.value).abs() < 1e-9);
        prop_assert!((a.lost.unwrap().value - b.lost.unwrap().value).abs() < 1e-9);
    }

    #[test]
    fn prop_inches_and_millimetres_give_the_same_fit(lead in 0.3f64..3.0, seed in any::<u64>()) {
        let measured = Screw { lead, noise: 0.02, ..GOOD }.rows(&BOTH, seed);
        let (mm, inch) = (form(&measured, Unit::Mm), form(&measured, Unit::Inch));
        let (a, b) = (fit(&read(&mm).unwrap()).unwrap(), fit(&read(&inch).unwrap()).unwrap());
        prop_assert!((a.lead.value - b.lead.value).abs() < 1e-8);
        prop_assert!((a.lead.half - b.lead.half).abs() < 1e-8);
    }

    #[test]
    fn prop_no_form_breaks_the_reader(text in any::<String>(), rows in "\\[[-0-9e., \\[\\]\"a-z]{0,60}") {
        drop(read(&text).and_then(|rows| judge(rows, prediction())));
        let form = format!("reading = \"travel\"\nresolution = 0.05\nrows = {rows}");
        drop(read(&form).and_then(|rows| judge(rows, prediction())));
    }

    #[test]
    fn prop_any_numbers_are_judged_or_refused(rows in prop::collection::vec((-50.0f64..50.0, -1e6f64..1e6), 2..12)) {
        let list: Vec<String> = rows.iter().map(|(n, r)| format!("[{n:.3}, {r:.3}]")).collect();
        let form = format!("reading = \"depth\"\nresolution = 0.05\nrows = [{}]", list.join(", "));
        if let Ok(trial) = judge(read(&form).unwrap(), prediction()) {
            prop_assert!(trial.fit.lead.value.is_finite());
        }
    }
}

#[test]
fn a_good_screw_is_seldom_accused() {
    // One in twenty may miss the lead, one in a hundred seem not taken up at the start.
    let screw = Screw {
        noise: 0.02,
        ..GOOD
    };
    let predicted = prediction();
    let verdict = |seed| {
        let trial = judge(screw.rows(&BOTH, seed), predicted.clone()).unwrap();
        trial.judgement.verdict
    };
    let verdicts: Vec<Verdict> = (0..500).map(verdict).collect();
    let count = |wanted| verdicts.iter().filter(|v| **v == wanted).count();
    assert!(count(Verdict::Agrees) >= 465, "{}", count(Verdict::Agrees));
    assert_eq!(count(Verdict::WrongThread), 0);
    assert!(
        count(Verdict::LostMotion) <= 15,
        "{}",
        count(Verdict::LostMotion)
    );
}
