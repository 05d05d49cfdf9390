//! Every size of a nested mechanism, from stroke and threads; heights at turn 0 in the assembly.
//! Symbols are those of the sizing table in `docs/sizing.md`.

use super::pair;
use crate::kit::{self, Kit};
use crate::layout::feature::Head;
use crate::layout::gaps::{Gaps, JointGapDrawn};
use crate::layout::limits::TENTH;
use crate::layout::proportions::*;
use crate::layout::round_house::{House, HouseGaps, Socket, Wants};
use crate::layout::stroke::{DriveThread, Stroke, given, wanted_engagement};
use crate::thread::Thread;
use crate::units::Length;

/// The collar reaches this far over the mouth of the drive screw's bore, to touch it. Guess.
const COLLAR_CONTACT: Length = Length::mm(0.2);

/// The collar passes the frame's tapped hole with this much room on a side. Guess.
pub(super) const GAP_AROUND_COLLAR: Length = Length::mm(0.2);

/// Gaps of a nested mechanism's joints.
pub(super) struct NestedGaps {
    house: HouseGaps,
    /// Inner screw in the drive screw.
    pub(super) inner: JointGapDrawn,
    /// The inner screw's head in the carriage's socket.
    head: JointGapDrawn,
    /// The cross pin, pressed into the carriage.
    press: JointGapDrawn,
    /// The cross pin through the inner screw.
    through: JointGapDrawn,
}

impl NestedGaps {
    pub(super) fn new(gaps: &mut Gaps<'_>, kit: &Kit, threads: &kit::Nested) -> Self {
        Self {
            house: HouseGaps::new(gaps, kit, &threads.drive),
            inner: gaps.thread("inner/drive", &threads.inner),
            head: gaps.locate("inner/carriage"),
            press: gaps.press("cross pin/carriage"),
            through: gaps.pin_through("cross pin/inner"),
        }
    }
}

/// Sizes of a nested mechanism.
pub(super) struct Sizes {
    pub(super) house: House,
    pub(super) drive: DriveThread,
    pub(super) stroke: Stroke,
    pub(super) inner: Inner,
    /// The drive screw's bore.
    pub(super) bore: Bore,
    /// True when both threads wind the same way.
    pub(super) same_hand: bool,
    /// n0, whole turns by which an opposite hand starts earlier.
    pub(super) early_turns: f64,
    /// The wall that the bore leaves at the drive screw's root.
    pub(super) wall: Length,
    /// Gap of the inner screw's head in the carriage's socket.
    pub(super) head_gap: JointGapDrawn,
    /// Gap of the cross pin where it is pressed into the carriage.
    pub(super) press: JointGapDrawn,
}

/// Sizes of the inner screw.
pub(super) struct Inner {
    pub(super) thread: Thread,
    /// Le2, wanted engagement in the drive screw.
    pub(super) engagement: Length,
    /// Dh, the collar, which is also the head.
    pub(super) collar: Length,
    /// Lh, height of the head.
    pub(super) head_height: Length,
    /// eh, of the cross hole from the head's end.
    pub(super) cross_hole: Length,
    /// zi, the collar's face.
    pub(super) collar_face: Length,
    /// Ls2, thread under the collar, neck included.
    pub(super) thread_length: Length,
    /// dp, of the cross pin.
    pub(super) pin: Length,
    /// Gap of the cross pin through the head.
    pub(super) through: JointGapDrawn,
}

/// The drive screw's tapped bore.
pub(super) struct Bore {
    /// Thread of the inner screw, and its gap.
    pub(super) thread: Thread,
    pub(super) gap: JointGapDrawn,
    /// B, from the drive screw's end to its floor.
    pub(super) depth: Length,
    /// How far its mouth and the screw's tip chamfer go beyond their threads.
    pub(super) chamfer: Length,
}

impl Sizes {
    /// Of a pair whose net lead is positive and whose inner screw fits into the drive.
    pub(super) fn new(kit: &Kit, threads: &kit::Nested, gaps: NestedGaps, head: &dyn Head) -> Self {
        let (layer, line) = (*kit.layer, *kit.line);
        let kit::Nested { drive, inner } = threads;
        let NestedGaps {
            house: house_gaps,
            inner: inner_gap,
            head: head_gap,
            press,
            through,
        } = gaps;
        // Play of every joint between frame and carriage, with the gaps that lengths allow.
        let play = drive.play(house_gaps.thread.allowed)
            + inner.play(inner_gap.allowed)
            + through.allowed
            + house_gaps.seat.allowed;
        let stroke = Stroke::new(kit, pair::net_lead(threads), play);
        let screw = DriveThread::new(kit, drive, &stroke);
        let same_hand = inner.hand() == drive.hand();
        let early_turns = (stroke.over_travel + SPARE_TURNS).ceil();

        let passage = drive.minor_internal() + house_gaps.thread.allowed * 2.0 - COLLAR_PASSAGE;
        let seat = collar_seat(inner, inner_gap.drawn());
        let collar = given(&kit.sizes.collar).unwrap_or_else(|| {
            let common = (inner.major() + COLLAR_OVER_THREAD).min(passage);
            let widest = passage + COLLAR_PASSAGE - GAP_AROUND_COLLAR * 2.0;
            // Where the half millimetres leave none that touches, the narrowest that does.
            common.down_to(HALF).max(seat.up_to(TENTH).min(widest))
        });
        let pin = given(&kit.pins.diameter).unwrap_or_else(|| {
            (collar / HEAD_PER_PIN)
                .down_to(HALF)
                .min(house_gaps.thickest_pin())
                .max(LEAST_PIN)
        });
        let cross_hole = (CROSS_HOLE_COVER + pin * CROSS_HOLE_PINS).up_to(layer);
        let under_face = (pin * COLLAR_PINS).max(house_gaps.under_mark(pin) + COLLAR_PROUD);
        let head_height = (cross_hole + under_face).up_to(layer);
        let engagement = wanted_engagement(inner);
        let gap = |n: f64| {
            inner.lead() * collar_gap_leads(same_hand, stroke.assembly_turn, early_turns, n)
        };
        let widest = gap(-stroke.over_travel).max(gap(stroke.turns + stroke.over_travel));
        let collar_face = screw.end + gap(0.0);
        let needed = engagement + chamfer_length(inner) * 2.0 + widest;
        let thread_length = given(&kit.sizes.inner_thread).unwrap_or_else(|| needed.up_to(layer));
        let depth = given(&kit.sizes.bore)
            .unwrap_or_else(|| (thread_length + inner.lead() * FLOOR_GAP_LEADS).up_to(layer));

        let tube = pair::wall(threads, inner_gap.drawn());
        let wall = SOCKET_WALL.max(line * SOCKET_WALL_LINES);
        let wants = Wants {
            drive: &screw,
            near_face: collar_face + COLLAR_PROUD,
            pin,
            ear_width: given(&kit.sizes.ear_width).unwrap_or(pin + EAR_OVER_PIN),
            pins_beside: Length::ZERO,
            pin_depth: head_height - cross_hole - COLLAR_PROUD,
            body: (drive.major() + CARRIAGE_OVER_DRIVE)
                .max(collar + (head_gap.allowed + wall) * 2.0),
            socket: Socket {
                diameter: collar + head_gap.drawn() * 2.0,
                depth: head_height - COLLAR_PROUD + house_gaps.seat.drawn(),
                holds: collar,
            },
        };
        Self {
            house: House::around(kit, house_gaps, &stroke, head, wants),
            drive: screw,
            stroke,
            inner: Inner {
                thread: inner.clone(),
                engagement,
                collar,
                head_height,
                cross_hole,
                collar_face,
                thread_length,
                pin,
                through,
            },
            wall: tube,
            bore: Bore {
                thread: inner.clone(),
                gap: inner_gap,
                depth,
                chamfer: pair::end_chamfer(tube),
            },
            same_hand,
            early_turns,
            head_gap,
            press,
        }
    }

    /// Gap between the collar and the drive's end at turn n.
    pub(super) fn collar_gap(&self, n: f64) -> Length {
        let (turn, early) = (self.stroke.assembly_turn, self.early_turns);
        self.inner.thread.lead() * collar_gap_leads(self.same_hand, turn, early, n)
    }

    /// How much wider that gap becomes in a turn.
    pub(super) fn collar_rate(&self) -> Length {
        match self.same_hand {
            true => Length::ZERO - self.inner.thread.lead(),
            false => self.inner.thread.lead(),
        }
    }
}

/// The narrowest collar that touches the end of the drive screw around the mouth of its bore.
pub(super) fn collar_seat(inner: &Thread, gap: Length) -> Length {
    inner.major() + (gap + CHAMFER_BEYOND_THREAD + COLLAR_CONTACT) * 2.0
}

/// Gap between the collar and the drive's end at turn n, in leads of the inner screw.
fn collar_gap_leads(same_hand: bool, assembly_turn: f64, early_turns: f64, n: f64) -> f64 {
    let turns = match same_hand {
        true => assembly_turn - n,
        false => n + early_turns,
    };
    COLLAR_GAP_LEADS + turns
}
