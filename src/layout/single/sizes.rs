//! Every size of a single mechanism, from stroke and thread; heights at turn 0 in the assembly.
//! Symbols are those of the sizing table in `docs/sizing.md`.

use crate::kit::{self, Kit};
use crate::layout::feature::Head;
use crate::layout::gaps::{Gaps, JointGapDrawn};
use crate::layout::proportions::*;
use crate::layout::round_house::{House, HouseGaps, Socket, Wants, least_ear};
use crate::layout::stroke::{DriveThread, Stroke, given};
use crate::strength::ON_FLANK;
use crate::units::Length;

/// Gaps of a single mechanism's joints.
pub(super) struct SingleGaps {
    house: HouseGaps,
    /// The drive screw's tip in the carriage's socket.
    tip: JointGapDrawn,
    /// Of each swivel pin: pressed into the carriage, and in the tip's groove.
    pins: [[JointGapDrawn; 2]; 2],
}

impl SingleGaps {
    pub(super) fn new(gaps: &mut Gaps<'_>, kit: &Kit, threads: &kit::Single) -> Self {
        Self {
            house: HouseGaps::new(gaps, kit, &threads.drive),
            tip: gaps.swivel("drive/carriage"),
            pins: [
                [
                    gaps.press("swivel pin 1/carriage"),
                    gaps.swivel_pin("drive/swivel pin 1"),
                ],
                [
                    gaps.press("swivel pin 2/carriage"),
                    gaps.swivel_pin("drive/swivel pin 2"),
                ],
            ],
        }
    }
}

/// Sizes of a single mechanism.
pub(super) struct Sizes {
    pub(super) house: House,
    pub(super) drive: DriveThread,
    pub(super) stroke: Stroke,
    pub(super) tip: Tip,
    /// Gap of the tip in its socket, radial and along the axis.
    pub(super) tip_gap: JointGapDrawn,
    /// The swivel's pins.
    pub(super) pins: [SwivelPin; 2],
}

/// The drive screw's tip.
pub(super) struct Tip {
    /// Dt.
    pub(super) diameter: Length,
    /// rg, radius of the groove's floor.
    pub(super) groove_radius: Length,
    /// Of the groove's centre from the thread's end.
    pub(super) groove_centre: Length,
    /// From the thread's end to the tip's end, pip not counted.
    pub(super) length: Length,
}

/// One of the swivel's pins.
pub(super) struct SwivelPin {
    /// yp, beside the axis, signed.
    pub(super) beside: Length,
    /// Where it is pressed into the carriage.
    pub(super) press: JointGapDrawn,
    /// In the tip's groove.
    pub(super) groove: JointGapDrawn,
}

impl Sizes {
    pub(super) fn new(kit: &Kit, threads: &kit::Single, gaps: SingleGaps, head: &dyn Head) -> Self {
        let drive = &threads.drive;
        let SingleGaps {
            house: house_gaps,
            tip: tip_gap,
            pins,
        } = gaps;
        // Play of every joint between frame and carriage, with the gaps that lengths allow.
        let play =
            drive.play(house_gaps.thread.allowed) + tip_gap.allowed + house_gaps.seat.allowed;
        let stroke = Stroke::new(kit, drive.lead(), play);
        let screw = DriveThread::new(kit, drive, &stroke);

        let diameter = drive.minor_internal() - TIP_UNDER_ROOT;
        let nearest = |length: Length| (length + HALF / 2.0).down_to(HALF);
        let pin = given(&kit.pins.diameter).unwrap_or_else(|| {
            nearest(diameter * PIN_PER_TIP)
                .min(house_gaps.thickest_pin())
                .max(LEAST_PIN)
        });
        let radius = pin / 2.0;
        let groove_radius = diameter / 2.0 - radius;
        let under_face = (pin * GROOVE_PINS).max(house_gaps.under_mark(pin));
        let groove_centre = THREAD_BEFORE_CARRIAGE + under_face;
        let land = GROOVE_LAND.max(pin * GROOVE_LAND_PINS);
        let tip = Tip {
            diameter,
            groove_radius,
            groove_centre,
            length: groove_centre + radius * (1.0 + GROOVE_FLOOR) + land,
        };
        let allowed = pins.iter().map(|[_, groove]| groove.allowed);
        let widest = allowed.fold(Length::ZERO, Length::max);
        let outside = groove_radius + radius + widest;
        let drawn = pins.iter().map(|[_, groove]| groove.drawn());
        let pins_beside = groove_radius + radius + drawn.fold(Length::ZERO, Length::max);
        let mouth = house_gaps.pin_hole(pin) + EDGE * 2.0;
        let ear = given(&kit.sizes.ear_width).unwrap_or_else(|| {
            let covered = (outside + radius + EAR_COVER) * 2.0;
            covered.max(least_ear(pins_beside, mouth))
        });
        let wants = Wants {
            drive: &screw,
            near_face: screw.end + THREAD_BEFORE_CARRIAGE,
            pin,
            ear_width: ear,
            pins_beside,
            pin_depth: tip.groove_centre - THREAD_BEFORE_CARRIAGE,
            body: (drive.major() + CARRIAGE_OVER_DRIVE).max(ear + BODY_OVER_EARS),
            socket: Socket {
                diameter: diameter + tip_gap.drawn() * 2.0,
                depth: tip.length + PIP_HEIGHT - THREAD_BEFORE_CARRIAGE + house_gaps.seat.drawn(),
                holds: diameter,
            },
        };
        let pin_beside = |side: f64, [press, groove]: [JointGapDrawn; 2]| SwivelPin {
            beside: (groove_radius + radius + groove.drawn()) * side,
            press,
            groove,
        };
        let [one, other] = pins;
        Self {
            house: House::around(kit, house_gaps, &stroke, head, wants),
            drive: screw,
            stroke,
            tip,
            tip_gap,
            pins: [pin_beside(-1.0, one), pin_beside(1.0, other)],
        }
    }

    /// z of the swivel's pins.
    pub(super) fn pin_height(&self) -> Length {
        self.drive.end + self.tip.groove_centre
    }

    /// Arm of friction while the carriage is pulled, over the pull: two pins bear on the groove's
    /// flank with W / (2 cos 45 deg) each, where the flank's normal meets them.
    ///
    /// sqrt 2 (yp - cos 45 deg dp/2), yp the mean of the two (derived, statics). Both touch
    /// beside the axis, so friction runs along the pins and does not change what they press with.
    /// Pins of 5 mm, 8.71 mm beside the axis: 9.82 mm.
    pub(super) fn pull_arm(&self) -> Length {
        let [one, other] = &self.pins;
        let beside = (one.beside.abs() + other.beside.abs()) / 2.0;
        (beside - self.house.pin / (2.0 * ON_FLANK)) * ON_FLANK
    }
}

impl Tip {
    /// Mean radius at which friction acts while the carriage is pushed: two thirds of the
    /// pip's radius, uniform pressure on a disc (Shigley, 9th ed., sect. 16-5).
    pub(super) fn push_radius(&self) -> Length {
        self.diameter * (PIP_PER_TIP / 3.0)
    }
}
