//! What a maker may type, and what is said to one who types something else.

use proptest::prelude::*;

use super::*;
use crate::thread::{MAX_STARTS, Standard};
use crate::units::Length;

fn read(text: &str) -> Thread {
    text.parse()
        .unwrap_or_else(|error: ThreadError| panic!("`{text}`: {error}, {:?}", error.mend))
}

fn refused(text: &str) -> ThreadError {
    match text.parse::<Thread>() {
        Err(error) => error,
        Ok(thread) => panic!("`{text}` was read as {thread}"),
    }
}

#[test]
fn every_way_the_shop_writes_a_thread_is_read_as_the_same_thread() {
    let same: &[(&str, &[&str])] = &[
        (
            "M20x2.5",
            &[
                "M20",
                "m20",
                "M 20",
                "M 20 x 2.5",
                "M20X2.5",
                "M20×2,5",
                " M20x2.50 ",
                "M20-RH",
            ],
        ),
        ("M20x1.5", &["M20x1.5", "M 20 × 1.5"]),
        (
            "M16x2-LH",
            &["M16-LH", "M16 LH", "m16-lh", "M16x2 - LH", "M16x2–LH"],
        ),
        (
            "M20xPh5P2.5",
            &["M20 x Ph5 P2.5", "M20xPh5P2.5", "M20xph5p2.5"],
        ),
        (
            "M20xPh5P2.5-LH",
            &["M20xPh5P2.5-LH", "M20x5(P2.5)-LH", "m20 x 5 ( p2,5 ) LH"],
        ),
        ("M24xPh6P3", &["M24x6(P3)", "M24x6P3", "M24 x 6 mm (P 3)"]),
        (
            "1-8 UNC 2-start",
            &[
                "1-8 2-start",
                "1-8 UNC 2 starts",
                "1\"-8 UNC (2 STARTS)",
                "1-8 (TWO STARTS) UNC",
                "1-8 (two starts) UNS",
                "1-.125P-.25L (2 STARTS) UNS",
                "1-0.1250P-0.2500L (TWO STARTS) UNS",
                "1-.125P-.25L",
            ],
        ),
        (
            "1/2-13 UNC 3-start-LH",
            &[
                "1/2-13 3-start LH",
                ".500-.0769P-.2308L (THREE STARTS) UNS-LH",
            ],
        ),
        ("1-8 UNC", &["1-8 1-start", "1-.125P-.125L (1 START)"]),
        (
            "3/4-10 UNC",
            &[
                "3/4-10",
                "3/4 - 10 UNC",
                "3/4-10UNC",
                "0.75-10",
                ".750-10 unc",
                "3/4\"-10",
            ],
        ),
        (
            "3/4-10 UNC-LH",
            &["3/4-10 UNC-LH", "3/4-10-LH", "3/4-10 UNC LH"],
        ),
        (
            "1 1/4-7 UNC",
            &[
                "1 1/4-7",
                "1-1/4-7",
                "1.25-7",
                "1 1/4 in - 7 UNC",
                "1-1/4-7 UNC",
            ],
        ),
        ("1-8 UNC", &["1-8", "1\"-8 UNC"]),
        ("2-4.5 UNC", &["2-4.5", "2-4 1/2 UNC"]),
        (
            "#10-24 UNC",
            &[
                "#10-24",
                "No. 10-24",
                "no 10-24",
                "10-24",
                ".190-24 UNC",
                "# 10 - 24",
            ],
        ),
        ("#12-28 UNF", &["#12-28", "12-28 UNF"]),
        ("1/2-20 UNF", &["1/2-20 UNF", "1/2-20", "1⁄2-20"]),
        (
            "24x2.4",
            &["24x2.4", "24 x 2.4", "24.0×2,4", "24 mm x 2.4 mm"],
        ),
        ("24x2.4-LH", &["24x2.4-LH", "24x2.4 lh"]),
        (
            "24xPh7.2P2.4",
            &["24xPh7.2P2.4", "24 x Ph 7.2 P 2.4", "24x7.2(P2.4)"],
        ),
    ];
    for (canonical, ways) in same {
        assert_eq!(read(canonical).designation(), *canonical);
        for way in *ways {
            assert_eq!(read(way), read(canonical), "{way}");
        }
    }
}

#[test]
fn the_standard_of_a_thread_follows_from_its_designation() {
    for (text, standard) in [
        ("M20", Standard::IsoCoarse),
        ("M20x2", Standard::IsoFine),
        ("3/4-10", Standard::Unc),
        ("3/4-16", Standard::Unf),
        ("20x2.5", Standard::Free),
    ] {
        assert_eq!(read(text).standard(), standard, "{text}");
    }
}

#[test]
fn lead_is_starts_times_pitch_and_negative_for_a_left_hand() {
    let thread = read("M20xPh7.5P2.5-LH");
    assert_eq!(thread.starts(), 3);
    assert_eq!(thread.signed_lead(), Length::mm(-7.5));
    assert_eq!(read("24xPh7.2P2.4").starts(), 3);
}

/// Text, what the message must say, the blamed piece, what the mend must say.
const REFUSALS: &[(&str, &str, &str, &str)] = &[
    ("M19", "lists M18 and M20", "19", "`M18` or `M20`"),
    (
        "M19x2.5",
        "lists M18 and M20",
        "19",
        "`19x2.5` for a free thread",
    ),
    ("M2", "below M3", "2", "`M3`"),
    ("M80x6", "above M64", "80", "`80x6` for a free thread"),
    (
        "M20x2.4",
        "ISO 261 lists 2.5, 2, 1.5 and 1 mm",
        "2.4",
        "`M20x2.5`, or `20x2.4` for a free pitch",
    ),
    (
        "M25",
        "no coarse pitch: ISO 261 lists 2, 1.5 and 1 mm",
        "25",
        "`M25x2`",
    ),
    ("M", "no size after `M`", "", "`M20`"),
    ("M20x", "no pitch after `x`", "", "`M20x2.5`"),
    (
        "M20xPh6P2.5",
        "lead 6 mm is not 2 to 4 times the pitch 2.5 mm",
        "Ph6P2.5",
        "`M20xPh5P2.5`",
    ),
    ("M20xPh2.5P2.5", "one pitch", "Ph2.5P2.5", "`M20x2.5`"),
    ("M64xPh30P6", "2 to 4 times", "Ph30P6", "`M64xPh24P6`"),
    (
        "M24x7(P3)",
        "lead 7 mm is not 2 to 4 times",
        "7(P3",
        "`M24xPh6P3`",
    ),
    ("M24x6(P3", "no `)` after the pitch", "", "`M24x6(P3)`"),
    ("M24x6(P4)", "2 to 4 times", "6(P4", "`24xPh8P4`"),
    (
        "24xPh3P1.23456789",
        "2 to 4 times",
        "Ph3P1.23456789",
        "`24xPh2.46913578P1.23456789`",
    ),
    (
        "M24xPh8P4",
        "pitch 4 mm is not standard for M24",
        "4",
        "`M24xPh6P3`, or `24xPh8P4` for a free pitch",
    ),
    (
        "M24x3 2-start",
        "written with lead and pitch",
        "2-start",
        "`M24xPh6P3` if 3 mm is the pitch, or `M24xPh3P1.5` if it is the lead",
    ),
    (
        "20x5 2 starts",
        "written with lead and pitch",
        "2 starts",
        "`20xPh10P5` if 5 mm is the pitch, or `M20xPh5P2.5` if it is the lead",
    ),
    (
        "1-8 5-start",
        "with 5 starts: 1 to 4",
        "5-start",
        "`1-8 UNC 4-start`",
    ),
    ("1-8 0 starts", "with 0 starts", "0 starts", "`1-8 UNC`"),
    (
        "1-.125P-.3L",
        "lead .3 in is no whole number of pitches",
        ".3",
        "`1-8 UNC 2-start`",
    ),
    (
        "1-.125P-.25L (3 STARTS)",
        "3 starts, but the lead is 2 pitches",
        "(3 STARTS)",
        "`1-8 UNC 2-start`",
    ),
    ("1-.125P", "no lead in inches", "", "`1-8 UNC 2-start`"),
    (
        "1-.1P-.2L",
        "ASME B1.1 lists 0.1250 and 0.0833 in",
        ".1",
        "`1-8 UNC` or `1-12 UNF`",
    ),
    ("M20-6g", "tolerance class", "6g", "`M20x2.5`"),
    (
        "3/4-10 UNC-2A-LH",
        "tolerance class",
        "2A-LH",
        "`3/4-10 UNC-LH`",
    ),
    ("M20 zinc", "`zinc` after `M20x2.5`", "zinc", "`M20x2.5`"),
    ("M20-", "hyphen", "-", "`M20x2.5-LH`"),
    (
        "3/4-11",
        "lists 3/4-10 UNC and 3/4-16 UNF",
        "11",
        "`3/4-10 UNC` or `3/4-16 UNF`, or `19.05x2.30909`",
    ),
    (
        "3/4-10 UNF",
        "3/4-10 is UNC, not UNF",
        "UNF",
        "`3/4-10 UNC`, or `3/4-16 UNF`",
    ),
    ("2-4.5 UNF", "series `UNF`", "UNF", "`2-4.5 UNC`"),
    (
        "1/2-20 UNEF",
        "series `UNEF` is not kept",
        "UNEF",
        "`1/2-20 UNF`",
    ),
    (
        "3/4",
        "no threads per inch",
        "3/4",
        "`3/4-10 UNC` or `3/4-16 UNF`",
    ),
    (
        "9/32-20",
        "lists 1/4 and 5/16",
        "9/32",
        "`1/4-20 UNC` or `5/16-18 UNC`",
    ),
    ("#8-32", "below #10", "#8", "`#10-24 UNC`"),
    ("2 1/4-4", "above 2 in", "2 1/4", "`2-4.5 UNC`"),
    ("1/0-5", "above 2 in", "1/0", "`2-4.5 UNC`"),
    ("3/4-0", "0 threads per inch", "0", "`3/4-10 UNC`"),
    ("20", "`20` is a size without a pitch", "20", "`M20x2.5`"),
    (
        "0.9x0.2",
        "major diameter 0.9 mm is outside 1 to 200 mm",
        "0.9",
        "1",
    ),
    ("201x5", "outside 1 to 200 mm", "201", "200"),
    (
        "24x0.1",
        "outside 0.2 to 19.56 mm",
        "0.1",
        "`24x0.2` or coarser",
    ),
    (
        "24x19.57",
        "outside 0.2 to 19.56 mm",
        "19.57",
        "`24x19.56` or finer",
    ),
    ("", "empty", "", "`M20x2.5`"),
    ("   ", "empty", "   ", "`M20x2.5`"),
    (
        "hello",
        "`hello` is not a thread designation",
        "hello",
        "`24x2.4`",
    ),
    (
        "W20x2.5",
        "not a thread designation",
        "W20x2.5",
        "`M20x2.5`",
    ),
    (
        "-20x2.5",
        "not a thread designation",
        "-20x2.5",
        "`M20x2.5`",
    ),
    (
        "M2Ox2.5",
        "not a thread designation",
        "M2Ox2.5",
        "`M20x2.5`, if that is meant",
    ),
    ("M1e9", "not a thread designation", "M1e9", "write"),
    ("MNaN", "no size after `M`", "N", "`M20`"),
    ("infx2", "not a thread designation", "infx2", "write"),
];

#[test]
fn a_refused_designation_says_what_where_and_what_to_type() {
    for (text, message, blamed, mend) in REFUSALS {
        let error = refused(text);
        let hint = error.mend.clone().unwrap_or_default();
        assert!(
            error.message.contains(message),
            "`{text}`: {}",
            error.message
        );
        assert_eq!(
            &text[error.at.clone()],
            *blamed,
            "`{text}`: {}",
            error.message
        );
        assert!(hint.contains(mend), "`{text}`: {hint}");
    }
}

#[test]
fn every_mend_that_shows_a_thread_shows_one_that_is_read() {
    for (text, ..) in REFUSALS {
        let hint = refused(text).mend.unwrap_or_default();
        for shown in hint.split('`').skip(1).step_by(2) {
            read(shown);
        }
    }
}

#[test]
fn the_finest_and_coarsest_free_threads_just_pass() {
    for text in [
        "1x0.2",
        "200x0.2",
        "200x163",
        "24x19.56",
        "24x0.2",
        "M64xPh24P6",
    ] {
        read(text);
    }
}

#[test]
fn numbers_of_any_length_are_refused_and_not_repeated_whole() {
    let digits = "9".repeat(4000);
    for text in [
        format!("M{digits}"),
        format!("M20x{digits}"),
        format!("{digits}x{digits}"),
        format!("24xPh{digits}P{digits}"),
        format!("24xPh{digits}P0"),
        format!("{digits}/{digits}-{digits}"),
        format!("#{digits}-{digits}"),
        format!("3/4-{digits}"),
    ] {
        let error = refused(&text);
        assert!(error.message.len() < 200, "{}", error.message);
    }
}

fn any_standard_thread() -> impl Strategy<Value = Thread> {
    let all: Vec<Thread> = series::all().collect();
    (prop::sample::select(all), 1..=MAX_STARTS, any::<bool>()).prop_map(|(thread, starts, left)| {
        let hand = if left { Hand::Left } else { Hand::Right };
        thread.with_hand(hand).with_starts(starts)
    })
}

fn any_free_thread() -> impl Strategy<Value = Thread> {
    // Below 1/1.2269 of the major diameter a pitch leaves a core.
    (1.0..200.0, 0.0..1.0, 1..=MAX_STARTS, any::<bool>()).prop_map(
        |(major, share, starts, left): (f64, f64, u8, bool)| {
            let pitch = 0.2 + share * (major / 1.2269 - 0.2);
            let hand = if left { Hand::Left } else { Hand::Right };
            Thread::free(Length::mm(major), Length::mm(pitch), hand).with_starts(starts)
        },
    )
}

proptest! {
    #[test]
    fn prop_a_written_standard_thread_reads_back_as_itself(thread in any_standard_thread()) {
        prop_assert_eq!(read(&thread.designation()), thread);
    }

    #[test]
    fn prop_a_written_free_thread_reads_back_as_itself(thread in any_free_thread()) {
        prop_assert_eq!(read(&thread.designation()), thread);
    }

    #[test]
    fn prop_no_text_panics_and_every_error_points_into_the_text(text in ".{0,40}") {
        if let Err(error) = text.parse::<Thread>() {
            prop_assert!(text.get(error.at).is_some());
            prop_assert!(error.mend.is_some());
        }
    }

    #[test]
    fn prop_no_text_of_thread_signs_panics(
        text in "[Mm#xX×PhNo. 0-9/\\-–,\"UNCFLRHin½é]{0,16}",
    ) {
        if let Err(error) = text.parse::<Thread>() {
            prop_assert!(text.get(error.at).is_some());
            prop_assert!(!error.message.ends_with('.'));
            prop_assert!(error.mend.is_some());
        }
    }
}
