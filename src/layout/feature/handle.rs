//! What is bought for a crank's handle: a bolt through its arm, a sleeve that turns on it, washers and nuts.

use super::bolt::{M6, QUARTER_INCH, Stud};
use crate::assembly::Fastener;
use crate::kit::Kit;
use crate::units::Length;
use crate::units_told::Told;

/// The bolt's head stays below the hub's face by this at the least. Guess: a bolt that sits askew, and
/// the sag of an arm that is leaned on.
const BELOW_FACE_OF_HUB: Length = Length::mm(2.0);
/// Length of the sleeve that turns on the bolt. Guess: thumb and two fingers.
const SLEEVE: Length = Length::mm(30.0);
/// What the sleeve has along the bolt. Guess: it turns though the nuts are locked to each other.
const SLEEVE_ROOM: Length = Length::mm(0.5);
/// Washers: one on either side of the arm.
const WASHERS: usize = 2;
/// Nuts: one clamps the bolt to the arm.
const NUTS_ON_ARM: usize = 1;
/// Two are locked against each other behind the sleeve.
const NUTS_ON_SLEEVE: usize = 2;
/// A bolt comes out of its last nut by this at the least: a pitch and a half (common practice).
const OUT_OF_NUT: Length = Length::mm(1.5);

/// What is bought for the handle.
pub(super) struct Handle {
    pub(super) bolt: Stud,
    /// Greatest height of its head.
    head: Length,
    /// Greatest height of a washer.
    washer: Length,
    /// Greatest height of a nut.
    nut: Length,
    /// In which bolts of its length come.
    step: Length,
    /// How shops call a washer and a nut.
    words: [&'static str; 2],
}

/// Head: ISO 4017, grade A; washer: ISO 7089, 1.6 + 0.2, from memory; nut: ISO 4032.
const METRIC: Handle = Handle {
    bolt: M6.bolt,
    head: Length::mm(4.15),
    washer: Length::mm(1.8),
    nut: M6.height,
    step: Length::mm(5.0),
    words: ["washer ISO 7089 - 6", M6.stock],
};

/// Head: ASME B18.2.1, hex cap screw; washer: ASME B18.22.1, type A, narrow; all from memory.
const INCH: Handle = Handle {
    bolt: QUARTER_INCH.bolt,
    head: Length::inches(0.188),
    washer: Length::inches(0.08),
    nut: QUARTER_INCH.height,
    step: Length::inches(0.25),
    words: [
        "plain washer 1/4 in, ASME B18.22.1 type A, narrow",
        QUARTER_INCH.stock,
    ],
};

impl Handle {
    pub(super) fn of(kit: &Kit) -> &'static Self {
        match kit.inches {
            true => &INCH,
            false => &METRIC,
        }
    }

    /// How far the hub stands over its arm at the least: the head of the bolt is below its face.
    pub(super) fn over_arm(&self) -> Length {
        self.washer + self.head + BELOW_FACE_OF_HUB
    }

    /// Length of its bolt: through washers, arm and nuts, and the sleeve with its room.
    pub(super) fn length(&self, arm: Length) -> Length {
        let washers = self.washer * WASHERS as f64;
        let nuts = self.nut * (NUTS_ON_ARM + NUTS_ON_SLEEVE) as f64;
        (washers + arm + nuts + SLEEVE + SLEEVE_ROOM + OUT_OF_NUT).up_to(self.step)
    }

    /// All of it, on an arm of a height.
    pub(super) fn fasteners(&self, told: Told, arm: Length) -> Vec<Fastener> {
        let [washer, nut] = self.words;
        let bought = |name, called, quantity, description: String| Fastener {
            name,
            called,
            quantity,
            description,
        };
        let Stud { stock, hole, .. } = self.bolt;
        vec![
            bought(
                "handle-bolt",
                "bolt of the handle",
                1,
                format!("{stock}, {} long", told.length(self.length(arm), 2)),
            ),
            bought(
                "handle-washer",
                "washer of the handle",
                WASHERS,
                washer.into(),
            ),
            bought(
                "handle-nut",
                "nut of the handle",
                NUTS_ON_ARM + NUTS_ON_SLEEVE,
                nut.into(),
            ),
            bought(
                "handle-sleeve",
                "sleeve of the handle",
                1,
                format!(
                    "a tube that turns freely on the bolt, its bore about {}, {} long; no standard has it",
                    told.length(hole, 1),
                    told.length(SLEEVE, 0)
                ),
            ),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bolt_is_as_long_as_what_it_goes_through_and_comes_in_its_step() {
        // ISO 4017, M6: 2 x 1.8 + 8 + 5.2 + 30.5 + 2 x 5.2 + 1.5 = 59.2, to be bought as 60.
        let length = METRIC.length(Length::mm(8.0));
        approx::assert_abs_diff_eq!(length.as_mm(), 60.0, epsilon = 1e-9);
        // 2 x 2.032 + 8 + 5.74 + 30.5 + 2 x 5.74 + 1.5 = 61.3, in quarters of an inch 2 1/2.
        let length = INCH.length(Length::mm(8.0));
        approx::assert_abs_diff_eq!(length.as_inches(), 2.5, epsilon = 1e-9);
    }
}
