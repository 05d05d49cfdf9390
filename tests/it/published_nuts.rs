//! Sizes of nuts to buy, as a kit gets them, against published values.
//!
//! Each row names its source; "from memory" says that nobody has read the value in print. Sizes
//! are printed numbers, so a row holds only if the printed figure comes out.

use netlead::kit::{BoughtNut, Kit, Mechanism, Nut};
use netlead::units::Length;

const ISO_4032: &str = "published table of nuts after ISO 4032";
const B18_2_2: &str = "published table of hex nuts after ASME B18.2.2";
const ISO_4014: &str = "published chart of bolt heads after ISO 4014; nut and head have one width";
const ISO_4014_MEMORY: &str = "ISO 4014, from memory; nut and head have one width";

/// Binary rounding; a printed figure is far coarser.
const SAME: f64 = 1e-9;

#[derive(Clone, Copy, Debug)]
enum What {
    /// Across flats, the most.
    AcrossFlats,
    /// The most.
    Height,
    LeastHeight,
    /// Across flats, the least.
    LeastAcrossFlats,
}
use What::*;

/// Thread, what of its nut, in mm or in inches as the thread is, and where it stands.
type Row = (&'static str, What, f64, &'static str);

const ROWS: &[Row] = &[
    ("M8", LeastAcrossFlats, 12.73, ISO_4032),
    ("M10", LeastAcrossFlats, 15.73, ISO_4032),
    ("M12", LeastAcrossFlats, 17.73, ISO_4032),
    ("M14", LeastAcrossFlats, 20.67, ISO_4032),
    ("M20", LeastAcrossFlats, 29.16, ISO_4032),
    ("M24", LeastAcrossFlats, 35.0, ISO_4032),
    ("M36", LeastAcrossFlats, 53.8, ISO_4032),
    ("5/16-18", LeastAcrossFlats, 0.489, B18_2_2),
    ("1/2-13", LeastAcrossFlats, 0.736, B18_2_2),
    ("5/8-11", LeastAcrossFlats, 0.922, B18_2_2),
    ("3/4-10", LeastAcrossFlats, 1.088, B18_2_2),
    ("7/8-9", LeastAcrossFlats, 1.269, B18_2_2),
    ("1-8", LeastAcrossFlats, 1.45, B18_2_2),
    ("1 1/8-7", LeastAcrossFlats, 1.631, B18_2_2),
    ("1 1/4-7", LeastAcrossFlats, 1.812, B18_2_2),
    ("1 1/2-6", LeastAcrossFlats, 2.175, B18_2_2),
    ("M8", AcrossFlats, 13.0, ISO_4032),
    ("M8", Height, 6.8, ISO_4032),
    ("M8", LeastHeight, 6.44, ISO_4032),
    ("M10", AcrossFlats, 16.0, ISO_4032),
    ("M10", Height, 8.4, ISO_4032),
    ("M10", LeastHeight, 8.04, ISO_4032),
    ("M12", AcrossFlats, 18.0, ISO_4032),
    ("M12", Height, 10.8, ISO_4032),
    ("M12", LeastHeight, 10.37, ISO_4032),
    ("M14", AcrossFlats, 21.0, ISO_4032),
    ("M14", Height, 12.8, ISO_4032),
    ("M14", LeastHeight, 12.1, ISO_4032),
    ("M20", AcrossFlats, 30.0, ISO_4032),
    ("M20", Height, 18.0, ISO_4032),
    ("M20", LeastHeight, 16.9, ISO_4032),
    ("M24", AcrossFlats, 36.0, ISO_4032),
    ("M24", Height, 21.5, ISO_4032),
    ("M24", LeastHeight, 20.2, ISO_4032),
    ("M36", AcrossFlats, 55.0, ISO_4032),
    ("M36", Height, 31.0, ISO_4032),
    ("M36", LeastHeight, 29.4, ISO_4032),
    ("M10", AcrossFlats, 16.0, ISO_4014),
    ("M16", AcrossFlats, 24.0, ISO_4014),
    ("M30", AcrossFlats, 46.0, ISO_4014),
    ("M36", AcrossFlats, 55.0, ISO_4014_MEMORY),
    ("5/16-18", AcrossFlats, 0.5, B18_2_2),
    ("5/16-18", LeastHeight, 0.258, B18_2_2),
    ("5/16-18", Height, 0.273, B18_2_2),
    ("1/2-13", AcrossFlats, 0.75, B18_2_2),
    ("1/2-13", LeastHeight, 0.427, B18_2_2),
    ("1/2-13", Height, 0.448, B18_2_2),
    ("5/8-11", AcrossFlats, 0.938, B18_2_2),
    ("5/8-11", LeastHeight, 0.535, B18_2_2),
    ("5/8-11", Height, 0.559, B18_2_2),
    ("3/4-10", AcrossFlats, 1.125, B18_2_2),
    ("3/4-10", LeastHeight, 0.617, B18_2_2),
    ("3/4-10", Height, 0.665, B18_2_2),
    ("7/8-9", AcrossFlats, 1.312, B18_2_2),
    ("7/8-9", LeastHeight, 0.724, B18_2_2),
    ("7/8-9", Height, 0.776, B18_2_2),
    ("1-8", AcrossFlats, 1.5, B18_2_2),
    ("1-8", LeastHeight, 0.831, B18_2_2),
    ("1-8", Height, 0.887, B18_2_2),
    ("1 1/8-7", AcrossFlats, 1.688, B18_2_2),
    ("1 1/8-7", LeastHeight, 0.939, B18_2_2),
    ("1 1/8-7", Height, 0.999, B18_2_2),
    ("1 1/4-7", AcrossFlats, 1.875, B18_2_2),
    ("1 1/4-7", LeastHeight, 1.03, B18_2_2),
    ("1 1/4-7", Height, 1.094, B18_2_2),
    ("1 1/2-6", AcrossFlats, 2.25, B18_2_2),
    ("1 1/2-6", LeastHeight, 1.245, B18_2_2),
    ("1 1/2-6", Height, 1.317, B18_2_2),
];

/// The nut of a kit that buys one.
fn bought(thread: &str) -> BoughtNut {
    let text = format!(
        "name = \"n\"\nlayout = \"tandem\"\ndrive = \"M64\"\nthin = \"{thread}\"\n\
         nut = \"{thread} nut\"\nstroke = 10\n"
    );
    let kit: Kit = text.parse().unwrap_or_else(|_| panic!("{text}"));
    match kit.mechanism {
        Mechanism::Tandem(tandem) => match tandem.nut {
            Nut::Bought(nut) => nut,
            Nut::Printed => panic!("{thread} is bought"),
        },
        Mechanism::Single(_) | Mechanism::Nested(_) | Mechanism::Opposed(_) => {
            panic!("a tandem kit")
        }
    }
}

#[test]
fn a_bought_nut_has_the_sizes_of_its_standard() {
    for (thread, what, published, source) in ROWS {
        let nut = bought(thread);
        let length = match what {
            AcrossFlats => nut.across_flats,
            Height => nut.height,
            LeastHeight => nut.least_height,
            LeastAcrossFlats => nut.least_across_flats,
        };
        let metric = thread.starts_with('M');
        let read: fn(Length) -> f64 = if metric {
            Length::as_mm
        } else {
            Length::as_inches
        };
        let found = read(length);
        assert!(
            (found - published).abs() < SAME,
            "{thread} {what:?}: {found} against {published} ({source})"
        );
        let standard = if metric { "ISO 4032" } else { "ASME B18.2.2" };
        assert_eq!(nut.standard, standard, "{thread}");
    }
}
