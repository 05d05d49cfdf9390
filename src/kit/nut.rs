//! Nuts to buy: from `M16` or `5/8-11 nut` to the sizes of a standard hexagon nut.

use super::designation::designation;
use super::mechanism::{BoughtNut, Nut};
use crate::declared::schema::{Kind, either, with_digits, words};
use crate::declared::{Context, Fault, Raw, Said, Value, closest};
use crate::diagnostic::Diagnostic;
use crate::thread::{Hand, Standard, Thread};
use crate::units::Length;
use std::ops::Range;

/// What a kit says of the nut.
#[derive(Clone, Debug)]
pub(crate) enum AskedNut {
    /// To be printed.
    Printed,
    /// To be bought.
    Bought(Stock),
}

/// A nut that shops stock.
#[derive(Clone, Debug)]
pub(crate) struct Stock {
    /// As it was written.
    written: String,
    thread: Thread,
    /// What lays its sizes down.
    standard: &'static str,
    sizes: &'static Sizes,
}

/// Sizes of a hexagon nut.
#[derive(Debug)]
struct Sizes {
    major: Length,
    across_flats: Length,
    least_across_flats: Length,
    height: Length,
    least_height: Length,
}

const fn in_mm(major: f64, across_flats: [f64; 2], height: [f64; 2]) -> Sizes {
    Sizes {
        major: Length::mm(major),
        across_flats: Length::mm(across_flats[0]),
        least_across_flats: Length::mm(across_flats[1]),
        height: Length::mm(height[0]),
        least_height: Length::mm(height[1]),
    }
}

const fn in_inches(major: f64, across_flats: [f64; 2], height: [f64; 2]) -> Sizes {
    Sizes {
        major: Length::inches(major),
        across_flats: Length::inches(across_flats[0]),
        least_across_flats: Length::inches(across_flats[1]),
        height: Length::inches(height[0]),
        least_height: Length::inches(height[1]),
    }
}

/// Nominal diameter, greatest and least width across flats s, greatest and least height m, in mm. ISO
/// 4032, tables 1 and 2, but M16, M18, M22, M27, M30 and M33 from memory.
static ISO_4032: [Sizes; 13] = [
    in_mm(8.0, [13.0, 12.73], [6.8, 6.44]),
    in_mm(10.0, [16.0, 15.73], [8.4, 8.04]),
    in_mm(12.0, [18.0, 17.73], [10.8, 10.37]),
    in_mm(14.0, [21.0, 20.67], [12.8, 12.1]),
    in_mm(16.0, [24.0, 23.67], [14.8, 14.1]),
    in_mm(18.0, [27.0, 26.16], [15.8, 15.1]),
    in_mm(20.0, [30.0, 29.16], [18.0, 16.9]),
    in_mm(22.0, [34.0, 33.0], [19.4, 18.1]),
    in_mm(24.0, [36.0, 35.0], [21.5, 20.2]),
    in_mm(27.0, [41.0, 40.0], [23.8, 22.5]),
    in_mm(30.0, [46.0, 45.0], [25.6, 24.3]),
    in_mm(33.0, [50.0, 49.0], [28.7, 27.4]),
    in_mm(36.0, [55.0, 53.8], [31.0, 29.4]),
];

/// Nominal diameter, greatest and least width across flats F, greatest and least height H, in inches.
/// ASME B18.2.2, table of hex nuts, but 3/8, 7/16, 9/16 and 1 3/8 from memory.
static B18_2_2: [Sizes; 13] = [
    in_inches(0.3125, [0.500, 0.489], [0.273, 0.258]),
    in_inches(0.375, [0.562, 0.551], [0.337, 0.320]),
    in_inches(0.4375, [0.688, 0.675], [0.385, 0.365]),
    in_inches(0.5, [0.750, 0.736], [0.448, 0.427]),
    in_inches(0.5625, [0.875, 0.861], [0.496, 0.473]),
    in_inches(0.625, [0.938, 0.922], [0.559, 0.535]),
    in_inches(0.75, [1.125, 1.088], [0.665, 0.617]),
    in_inches(0.875, [1.312, 1.269], [0.776, 0.724]),
    in_inches(1.0, [1.500, 1.450], [0.887, 0.831]),
    in_inches(1.125, [1.688, 1.631], [0.999, 0.939]),
    in_inches(1.25, [1.875, 1.812], [1.094, 1.030]),
    in_inches(1.375, [2.062, 1.994], [1.206, 1.138]),
    in_inches(1.5, [2.250, 2.175], [1.317, 1.245]),
];

/// Which threads have a row in the tables, in words.
const STOCK: &str = "M8 to M36 or 5/16-18 to 1 1/2-6, coarse and right-hand";
/// The word for a nut that is printed.
const PRINTED: &str = "printed";
/// What to do where no nut can be bought.
const PRINT_IT: &str = "print it: write `nut = \"printed\"`";
/// What may stand behind the thread of a nut.
const NOUNS: [&str; 4] = ["hex nuts", "hex nut", "nuts", "nut"];

impl Value for AskedNut {
    type Limits = ();

    fn read(raw: Raw<'_>, _: &(), _: Context) -> Result<Self, Diagnostic> {
        let key = raw.leaf();
        let mend = format!("write `{key} = \"{PRINTED}\"`, or the thread of a stock nut: {STOCK}");
        let text = raw.string("nut", &mend)?;
        if text.trim().eq_ignore_ascii_case(PRINTED) {
            return Ok(Self::Printed);
        }
        let mend = match closest(text.trim(), [PRINTED]) {
            Some(word) => format!("write `{key} = \"{word}\"`"),
            None => mend,
        };
        let stock = stock(text, mend).map_err(|fault| raw.fault("stock nut", fault))?;
        Ok(Self::Bought(stock))
    }
    fn kind(_: &()) -> String {
        format!("\"{PRINTED}\", or thread of a nut to buy")
    }
    fn range(_: &()) -> Option<String> {
        Some(STOCK.to_owned())
    }
    fn schema(_: &()) -> Kind {
        Kind::plain(either(words(std::iter::once(PRINTED)), with_digits()))
    }
}

/// The stock nut that `text` asks for.
fn stock(text: &str, mend: String) -> Result<Stock, Fault> {
    let lower = text.to_ascii_lowercase();
    let named = NOUNS.iter();
    let length = named
        .filter_map(|noun| lower.trim_end().strip_suffix(noun))
        .map(str::len)
        .min();
    let size = length.and_then(|length| text.get(..length));
    let size = size.unwrap_or(text).trim_end();
    let thread = designation(size).map_err(|(message, at, _)| Fault { message, at, mend })?;
    let (standard, sizes) = stock_of(&thread).ok_or_else(|| Fault {
        message: format!("nuts of {thread} are not stock, only those of {STOCK}"),
        at: 0..text.len(),
        mend: PRINT_IT.to_owned(),
    })?;
    Ok(Stock {
        written: text.to_owned(),
        thread,
        standard,
        sizes,
    })
}

/// The stock nut of a thread and its standard, if there is one: shops stock nuts of coarse thread,
/// right-hand and of one start (common practice).
fn stock_of(thread: &Thread) -> Option<(&'static str, &'static Sizes)> {
    let (standard, nuts) = match thread.standard() {
        Standard::IsoCoarse => ("ISO 4032", &ISO_4032),
        Standard::Unc => ("ASME B18.2.2", &B18_2_2),
        Standard::IsoFine | Standard::Unf | Standard::Free => return None,
    };
    if thread.hand() == Hand::Left || thread.starts() > 1 {
        return None;
    }
    let sizes = nuts.iter().find(|nut| nut.major == thread.major())?;
    Some((standard, sizes))
}

/// The nut that a kit asks for, held against the thread of the screw in it.
pub(super) fn held(asked: Said<AskedNut>, thin: &Thread) -> Result<Nut, Diagnostic> {
    let at = asked.place();
    let Stock {
        written,
        thread,
        standard,
        sizes,
    } = match asked.value {
        AskedNut::Printed => return Ok(Nut::Printed),
        AskedNut::Bought(stock) => stock,
    };
    if thread != *thin {
        return Err(of_another_thread(&thread, thin, at));
    }
    Ok(Nut::Bought(BoughtNut {
        written: Said::at(written, at),
        standard,
        across_flats: sizes.across_flats,
        least_across_flats: sizes.least_across_flats,
        height: sizes.height,
        least_height: sizes.least_height,
    }))
}

fn of_another_thread(nut: &Thread, thin: &Thread, at: Range<usize>) -> Diagnostic {
    let message = format!("the nut to buy has the thread {nut}, but `thin` is {thin}");
    let (label, mend) = match stock_of(thin) {
        Some(_) => (
            "another thread than `thin`".to_owned(),
            format!("write `nut = \"{thin}\"`, or `nut = \"{PRINTED}\"` to print it"),
        ),
        None => (format!("nuts of {thin} are not stock"), PRINT_IT.to_owned()),
    };
    Diagnostic::error(message, at).label(label).mend(mend)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Stock, Fault> {
        stock(text, String::from("as it was"))
    }

    #[test]
    fn every_nut_of_the_tables_can_be_asked_for_and_grows_with_its_thread() {
        for nuts in [ISO_4032.as_slice(), &B18_2_2] {
            for pair in nuts.windows(2) {
                let [small, large] = pair else { continue };
                assert!(small.major < large.major);
                assert!(small.across_flats < large.across_flats);
                assert!(small.least_across_flats < large.least_across_flats);
                assert!(small.height < large.height);
                assert!(small.least_height < large.least_height);
            }
            for nut in nuts {
                assert!(nut.least_height < nut.height && nut.height < nut.major);
                // Tolerances of a nut's width are 1.5 to 3 % of it in both standards.
                let narrower = 1.0 - nut.least_across_flats / nut.across_flats;
                assert!((0.01..0.035).contains(&narrower), "{nut:?}");
                assert!(nut.across_flats > nut.major * 1.4, "{nut:?}");
                let threads = || crate::thread::series::all();
                let of_nut = |thread: &Thread| {
                    stock_of(thread).is_some_and(|(_, sizes)| std::ptr::eq(sizes, nut))
                };
                assert_eq!(threads().filter(of_nut).count(), 1, "{nut:?}");
            }
        }
    }

    #[test]
    fn a_nut_is_asked_for_by_its_thread_with_or_without_the_noun() {
        for (text, thread) in [
            ("M16", "M16x2"),
            ("m16x2 nut", "M16x2"),
            ("M16 Hex Nuts ", "M16x2"),
            ("1/2-13", "1/2-13 UNC"),
            ("1/2-13 nut", "1/2-13 UNC"),
            ("1/2-13 UNC hex nut", "1/2-13 UNC"),
            ("1 1/2-6nut", "1 1/2-6 UNC"),
        ] {
            let nut = read(text).unwrap();
            assert_eq!(
                (nut.thread.designation().as_str(), nut.written.as_str()),
                (thread, text)
            );
        }
    }

    #[test]
    fn what_no_shop_has_on_its_shelf_is_to_be_printed() {
        for text in [
            "M16x1.5",
            "1/2-20",
            "M16-LH",
            "16x2",
            "M6",
            "M42",
            "1/4-20",
            "M16xPh4P2 nut",
        ] {
            assert_eq!(read(text).unwrap_err().mend, PRINT_IT, "{text}");
        }
        for text in ["", "nut", "wing nut", "16 mm", "\u{212a} nut", "M16 nutnut"] {
            assert_eq!(read(text).unwrap_err().mend, "as it was", "{text}");
        }
    }
}
