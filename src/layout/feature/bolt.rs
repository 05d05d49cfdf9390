//! Bolts that hold something to a part or a part to something: their holes, and nuts for them.

use crate::assembly::{Fastener, Outline, Shape};
use crate::layout::elements::{here, prism};
use crate::units::Length;
use crate::units_told::Told;

/// A bolt, the hole that it goes through, and what shops sell for that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct Bolt {
    /// Diameter of its hole.
    pub(in crate::layout) hole: Length,
    /// For a kit in millimetres, and for one in inches.
    sold: [Sold; 2],
}

/// A bolt and its kin, as shops sell them.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Sold {
    /// Its thread.
    thread: &'static str,
    /// Major diameter of that.
    major: Length,
    /// The bolt's designation; its length follows on it.
    bolt: &'static str,
    /// Greatest height of its head.
    head: Length,
    /// The washer's designation.
    washer: &'static str,
    /// Greatest thickness of that.
    thick: Length,
    /// The nut's designation.
    nut: &'static str,
}

/// For ears of a carriage (ISO 273, medium series). An inch kit takes the thickest bolt that passes the same
/// hole with room: No. 8, between the close and the normal fit of ASME B18.2.8. Heads: ISO 4017; ASME
/// B18.6.3; washers: ISO 7089; ASME B18.22.1, type A; all but the hole from memory.
pub(in crate::layout) const M4: Bolt = Bolt {
    hole: Length::mm(4.5),
    sold: [
        Sold {
            thread: "M4",
            major: Length::mm(4.0),
            bolt: "hexagon head screw ISO 4017 - M4",
            head: Length::mm(2.925),
            washer: "washer ISO 7089 - 4",
            thick: Length::mm(0.9),
            nut: "hexagon nut ISO 4032 - M4 - 8",
        },
        Sold {
            thread: "No. 8-32 UNC",
            major: Length::inches(0.164),
            bolt: "hex head machine screw No. 8-32 UNC, ASME B18.6.3",
            head: Length::inches(0.110),
            washer: "plain washer No. 8, ASME B18.22.1 type A",
            thick: Length::inches(0.065),
            nut: "hex machine screw nut No. 8-32 UNC, ASME B18.6.3",
        },
    ],
};

/// For a foot (ISO 273, medium series); in an inch kit No. 10, between the normal and the loose fit of ASME
/// B18.2.8. Standards as of [`M4`].
pub(in crate::layout) const M5: Bolt = Bolt {
    hole: Length::mm(5.5),
    sold: [
        Sold {
            thread: "M5",
            major: Length::mm(5.0),
            bolt: "hexagon head screw ISO 4017 - M5",
            head: Length::mm(3.65),
            washer: "washer ISO 7089 - 5",
            thick: Length::mm(1.1),
            nut: "hexagon nut ISO 4032 - M5 - 8",
        },
        Sold {
            thread: "No. 10-24 UNC",
            major: Length::inches(0.190),
            bolt: "hex head machine screw No. 10-24 UNC, ASME B18.6.3",
            head: Length::inches(0.120),
            washer: "plain washer No. 10, ASME B18.22.1 type A",
            thick: Length::inches(0.065),
            nut: "hex machine screw nut No. 10-24 UNC, ASME B18.6.3",
        },
    ],
};

impl Bolt {
    fn sold(&self, told: Told) -> &Sold {
        let [metric, inch] = &self.sold;
        match told {
            Told::Metric => metric,
            Told::Inch => inch,
        }
    }

    /// As shops call its thread.
    pub(in crate::layout) fn thread(&self, told: Told) -> &'static str {
        self.sold(told).thread
    }

    /// So many of it, and how long they are.
    pub(in crate::layout) fn bolts(
        &self,
        told: Told,
        [name, called]: [&'static str; 2],
        quantity: usize,
        long: &str,
    ) -> Fastener {
        Fastener {
            name,
            called,
            quantity,
            description: format!("{}, {long}", self.sold(told).bolt),
        }
    }

    /// Washers for it.
    pub(in crate::layout) fn washers(
        &self,
        told: Told,
        [name, called]: [&'static str; 2],
        quantity: usize,
        place: &str,
    ) -> Fastener {
        Fastener {
            name,
            called,
            quantity,
            description: format!("{}, {place}", self.sold(told).washer),
        }
    }

    /// Nuts for it.
    pub(in crate::layout) fn nuts(
        &self,
        told: Told,
        [name, called]: [&'static str; 2],
        quantity: usize,
    ) -> Fastener {
        Fastener {
            name,
            called,
            quantity,
            description: self.sold(told).nut.into(),
        }
    }

    /// How high head and washer stand at the most, in either kind of kit.
    pub(in crate::layout) fn head_and_washer(&self) -> Length {
        let high = self.sold.map(|sold| sold.head + sold.thick);
        high[0].max(high[1])
    }
}

/// The bolts, nuts and washers of so many bolts of ears or lugs, each through plastic of a thickness.
pub(in crate::layout) fn of_ears(told: Told, count: usize, thick: Length) -> Vec<Fastener> {
    let long = format!(
        "long enough for the ear's {}, whatever you bolt to it, two washers and the nut",
        told.length(thick, 1)
    );
    vec![
        M4.bolts(told, ["ear-bolt", "bolt of an ear"], count, &long),
        M4.washers(
            told,
            ["ear-washer", "washer of an ear"],
            count * 2,
            "one under the bolt's head and one under its nut",
        ),
        M4.nuts(told, ["ear-nut", "nut of an ear"], count),
    ]
}

/// A bolt that goes into a nut or through a hole, where its layout tells what it holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct Stud {
    /// As shops call its thread.
    pub(in crate::layout) thread: &'static str,
    /// Diameter of its hole.
    pub(in crate::layout) hole: Length,
    /// Its designation; its length follows on it.
    pub(in crate::layout) stock: &'static str,
}

/// A hexagon nut to buy, at its largest, and the bolt that goes into it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct HexNut {
    pub(in crate::layout) bolt: Stud,
    /// Across its flats.
    pub(in crate::layout) across_flats: Length,
    pub(in crate::layout) height: Length,
    /// Major diameter of its thread.
    pub(in crate::layout) major: Length,
    /// What to ask for in a shop.
    pub(in crate::layout) stock: &'static str,
}

/// ASME B18.2.2, hex nuts; the hole is the close fit of ASME B18.2.8, from memory.
pub(in crate::layout) const QUARTER_INCH: HexNut = HexNut {
    bolt: Stud {
        thread: "1/4-20 UNC",
        hole: Length::inches(0.266),
        stock: "hex tap bolt 1/4-20 UNC, ASME B18.2.1, threaded to its head",
    },
    across_flats: Length::inches(0.438),
    height: Length::inches(0.226),
    major: Length::inches(0.25),
    stock: "hex nut 1/4-20 UNC, ASME B18.2.2, steel",
};

/// ISO 4032; the hole is of the medium series of ISO 273.
pub(in crate::layout) const M6: HexNut = HexNut {
    bolt: Stud {
        thread: "M6",
        hole: Length::mm(6.6),
        stock: "hexagon head screw ISO 4017 - M6, threaded to its head",
    },
    across_flats: Length::mm(10.0),
    height: Length::mm(5.2),
    major: Length::mm(6.0),
    stock: "hexagon nut ISO 4032 - M6 - 8",
};

impl HexNut {
    /// e, across its corners.
    pub(in crate::layout) fn corners(&self) -> Length {
        self.across_flats * (2.0 / 3f64.sqrt())
    }

    /// Along z from 0, two flats square to y; its thread is a plain hole.
    pub(in crate::layout) fn shape(&self) -> Shape {
        let hexagon = Outline::Hexagon {
            across_flats: self.across_flats,
        };
        let thread = Outline::Circle {
            diameter: self.major,
        };
        Shape {
            base: here(prism(Length::ZERO, self.height, hexagon)),
            within: Vec::new(),
            joined: Vec::new(),
            cut: vec![here(prism(
                -crate::layout::proportions::OVERCUT,
                self.height + crate::layout::proportions::OVERCUT,
                thread,
            ))],
            genus: 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bolt_that_is_told_passes_its_hole_with_room_and_no_more_than_a_loose_fit() {
        for bolt in [M4, M5] {
            for sold in bolt.sold {
                let room = bolt.hole - sold.major;
                // ASME B18.2.8, loose: No. 10 in 0.221, which is 0.031 more (from memory).
                let loose = Length::inches(0.031);
                assert!(room > Length::mm(0.2) && room <= loose, "{}", sold.thread);
            }
        }
    }

    #[test]
    fn a_bolt_and_its_kin_are_of_one_thread() {
        // Designations end in the size, before the standard in inches.
        for (bolt, metric, inch) in [(M4, "M4", "No. 8"), (M5, "M5", "No. 10")] {
            let [of_metric, of_inch] = bolt.sold;
            for words in [of_metric.thread, of_metric.bolt, of_metric.nut] {
                assert!(words.contains(metric), "{words}");
            }
            for words in [of_inch.thread, of_inch.bolt, of_inch.nut, of_inch.washer] {
                assert!(words.contains(inch), "{words}");
            }
        }
    }
}
