//! The order of assembly, worded for the bench.
//!
//! Every number is computed from the sizes; n counts turns in the direction of the stroke. The
//! marks line up at turn 0 and at the assembly turn, because both are whole turns.

use super::rules::*;
use super::sizes::{Nested, Sizes, Tip};
use super::tool::run_out;
use crate::assembly::{Axis, Motion, MotionKind, Step};
use crate::kit::Kit;
use crate::thread::{Hand, Thread};
use crate::units::Length;

/// Steps of a nested layout.
pub(super) fn nested(kit: &Kit, sizes: &Sizes, nested: &Nested) -> Vec<Step> {
    let bench = Bench { kit, sizes };
    vec![
        bench.prepare(
            &["frame", "drive", "inner"],
            "the drive in the frame, and the inner screw in the drive",
        ),
        start_inner(sizes, nested),
        bench.start_drive(&["drive", "inner", "frame"], NESTED_START),
        bench.carriage(
            "over the inner screw's head, until the head's end stands on the socket's floor",
        ),
        bench.press(
            "press the cross pin",
            &["cross pin", "carriage", "inner"],
            "Push the cross pin through the slot into the ear with the V, with its flat towards \
             the frame's V side, then press it on through the head into the other ear.",
            "it cannot be reached once the keeper is in, and it turns the inner screw's travel \
             into the carriage's",
        ),
        bench.back_off(),
        bench.close(),
        bench.to_zero(),
        bench.check(Some(nested)),
    ]
}

/// Steps of a single layout.
pub(super) fn single(kit: &Kit, sizes: &Sizes, _tip: &Tip) -> Vec<Step> {
    let bench = Bench { kit, sizes };
    vec![
        bench.prepare(&["frame", "drive"], "the drive in the frame"),
        bench.start_drive(&["drive", "frame"], ""),
        bench.carriage("over the drive screw's tip, until the tip stands on the socket's floor"),
        bench.press(
            "press the swivel pins",
            &["swivel pin 1", "swivel pin 2", "carriage"],
            "Push both swivel pins through the slot into the ear with the V, with their flats \
             outwards, and press them on beside the groove into the other ear. The drive must \
             still turn freely.",
            "they cannot be reached once the keeper is in, and they pull the carriage along",
        ),
        bench.back_off(),
        bench.close(),
        bench.to_zero(),
        bench.check(None),
    ]
}

/// What the drive's start says when an inner screw goes along.
const NESTED_START: &str = " The slot of the inner screw must still point at the Vs: if it has \
                            turned in the drive, go back a step.";

/// Which way a screw of this hand goes in, seen from its own head.
fn inwards(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "clockwise",
        Hand::Left => "counter-clockwise",
    }
}

/// Which way it comes out.
fn outwards(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "counter-clockwise",
        Hand::Left => "clockwise",
    }
}

/// A length for the bench: to the tenth of a millimetre that a rule and a caliper tell.
fn tenths(length: Length) -> String {
    format!("{:.1} mm", length.as_mm())
}

fn pieces(names: &[&str]) -> Vec<String> {
    names.iter().map(ToString::to_string).collect()
}

fn helical(thread: &Thread, turns: f64, towards: f64) -> Motion {
    Motion {
        kind: MotionKind::Helical,
        axis: Axis::Z,
        distance: thread.lead() * turns * towards,
        turns: turns * thread.hand().sign() * towards,
    }
}

/// Turns that a screw makes from the first catch of its thread until its head touches.
fn turns_to_touch(thread: &Thread, length: Length) -> f64 {
    ((length - run_out(thread)) / thread.lead() + 0.5).floor()
}

/// On the bench: the inner screw to its first mark in the drive screw.
fn start_inner(sizes: &Sizes, nested: &Nested) -> Step {
    let (way_in, way_out) = (
        inwards(nested.thread.hand()),
        outwards(nested.thread.hand()),
    );
    let turns = turns_to_touch(&nested.thread, nested.thread_length);
    let further = if nested.same_hand {
        String::new()
    } else {
        let whole = sizes.assembly_turn + nested.early_turns;
        format!(" Then {whole:.0} whole turns further {way_out}, counted by the slot.")
    };
    let back = COLLAR_GAP_LEADS
        + if nested.same_hand {
            0.0
        } else {
            sizes.assembly_turn + nested.early_turns
        };
    Step {
        action: "start the inner screw".into(),
        pieces: pieces(&["inner", "drive"]),
        motion: Some(helical(&nested.thread, (turns - back).max(0.0), -1.0)),
        text: format!(
            "On the bench, screw the inner screw into the drive, {way_in} seen from its slotted \
             head, about {turns:.0} turns, until its collar touches the end of the drive. Touch, \
             don't tighten. Unscrew it, {way_out}, to the first place where its slot points at \
             the V on the hexagon (lay a rule in the slot): about a quarter turn.{further}"
        ),
        reason: "the cross pin holds the inner screw at the angle where it is now: started half \
                 a turn off, the carriage stands off as well"
            .into(),
    }
}

/// Steps that both layouts have.
struct Bench<'a> {
    kit: &'a Kit,
    sizes: &'a Sizes,
}

impl Bench<'_> {
    fn hand(&self) -> Hand {
        self.sizes.drive.hand()
    }

    fn prepare(&self, names: &[&str], alone: &str) -> Step {
        Step {
            action: "prepare the parts".into(),
            pieces: pieces(names),
            motion: None,
            text: format!(
                "Trim the edges of the first layers and every thread of filament in the holes. \
                 Run each screw alone, finger-tight, over its full length: {alone}. If it binds, \
                 stop: force only strips it. Print that pair again with more gap \
                 (`gaps.thread`, {:.2} mm wanted now).",
                self.kit.gaps.thread.as_mm()
            ),
            reason: "a screw that binds alone cannot be told from one that binds in company".into(),
        }
    }

    fn start_drive(&self, names: &[&str], more: &str) -> Step {
        let sizes = self.sizes;
        let (way_in, way_out) = (inwards(self.hand()), outwards(self.hand()));
        let turns = turns_to_touch(&sizes.drive, sizes.drive_thread);
        let back = sizes.head_gap(sizes.assembly_turn) / sizes.drive.lead();
        Step {
            action: "screw the drive into the frame".into(),
            pieces: pieces(names),
            motion: Some(helical(&sizes.drive, turns - back, 1.0)),
            text: format!(
                "Screw the drive into the frame's tapped end, {way_in} seen from the drive head, \
                 about {turns:.0} turns, until the head touches the frame. Touch, don't tighten. \
                 Unscrew it, {way_out}, to the first place where the V on the hexagon stands in \
                 line with the V on the frame: about {back:.1} of a turn. This place is turn \
                 {:.0}.{more}",
                sizes.assembly_turn
            ),
            reason: "all turns are counted from this mark".into(),
        }
    }

    fn carriage(&self, over: &str) -> Step {
        Step {
            action: "slide the carriage in".into(),
            pieces: pieces(&["carriage", "frame"]),
            motion: Some(self.inwards_from_the_end(self.sizes.near_face)),
            text: format!(
                "Slide the carriage into the frame's open end, socket first, ears in the slots, \
                 {over}. It must slide by its own weight; if it does not, ease the guide."
            ),
            reason: "nothing passes the guide once the keeper is in".into(),
        }
    }

    /// A straight way in from the frame's open end to a height at the assembly turn.
    fn inwards_from_the_end(&self, height: Length) -> Motion {
        let travelled = self.sizes.net_lead * self.sizes.assembly_turn;
        Motion {
            kind: MotionKind::Straight,
            axis: Axis::Z,
            distance: height + travelled - self.sizes.frame_length,
            turns: 0.0,
        }
    }

    fn press(&self, action: &str, names: &[&str], how: &str, reason: &str) -> Step {
        Step {
            action: action.into(),
            pieces: pieces(names),
            motion: Some(Motion {
                kind: MotionKind::Straight,
                axis: Axis::X,
                distance: -self.sizes.frame_side,
                turns: 0.0,
            }),
            text: format!(
                "{how} Stop when its ends lie {} below the frame's faces. Press with a vice or a \
                 soft mallet, off the hand; wear eye protection.",
                tenths(BELOW_FACE)
            ),
            reason: reason.into(),
        }
    }

    fn back_off(&self) -> Step {
        let sizes = self.sizes;
        let turns = (sizes.assembly_turn - sizes.turns + 1.0).ceil();
        Step {
            action: "make room for the keeper".into(),
            pieces: pieces(&["drive"]),
            motion: Some(self.driven(turns)),
            text: format!(
                "Turn the drive {}, at least {turns:.0} turns: the carriage draws back from the \
                 open end.",
                outwards(self.hand())
            ),
            reason: "at the assembly turn the carriage stands where the keeper goes".into(),
        }
    }

    fn driven(&self, turns: f64) -> Motion {
        Motion {
            kind: MotionKind::Driven,
            axis: Axis::Z,
            distance: self.sizes.net_lead * -turns,
            turns: -turns * self.hand().sign(),
        }
    }

    fn close(&self) -> Step {
        Step {
            action: "fit the keeper".into(),
            pieces: pieces(&["keeper", "frame", "keeper pin 1", "keeper pin 2"]),
            motion: Some(Motion {
                kind: MotionKind::Straight,
                axis: Axis::Z,
                distance: -self.sizes.keeper_plug,
                turns: 0.0,
            }),
            text: format!(
                "Push the keeper in, its V to the frame's V side, until the flange lies on the \
                 frame. Press both keeper pins in from the V side, flats sideways, until their \
                 ends lie {} below the faces.",
                tenths(BELOW_FACE)
            ),
            reason: "the keeper stops the carriage at the far end and keeps the rails together"
                .into(),
        }
    }

    fn to_zero(&self) -> Step {
        let sizes = self.sizes;
        Step {
            action: "go to turn 0".into(),
            pieces: pieces(&["drive"]),
            motion: Some(self.driven(sizes.assembly_turn)),
            text: format!(
                "Turn the drive {} until it stands {:.0} whole turns back from the mark of turn \
                 {:.0}, Vs in line again. This is turn 0, the start of the stroke. {:.2} turns \
                 {} carry out the stroke of {}.",
                outwards(self.hand()),
                sizes.assembly_turn,
                sizes.assembly_turn,
                sizes.turns,
                inwards(self.hand()),
                tenths(*self.kit.stroke)
            ),
            reason: "so that the dial, your count and the carriage agree".into(),
        }
    }

    fn check(&self, nested: Option<&Nested>) -> Step {
        let sizes = self.sizes;
        let without_play = sizes.head_gap_at_rear_stop();
        let with_play = without_play + sizes.drive.lead() * (sizes.play / 2.0 / sizes.net_lead);
        let advice = match nested {
            Some(nested) => {
                let rung = sizes.drive.lead() * (nested.thread.lead() / (2.0 * sizes.net_lead));
                format!(
                    "If it is off by {} or a multiple, the inner screw was started half a turn \
                     off, or as many: take the kit apart and start it again.",
                    tenths(rung)
                )
            }
            None => format!(
                "If it is off by {} or a multiple, the drive was started that many turns off: \
                 take the kit apart and start it again.",
                tenths(sizes.drive.lead())
            ),
        };
        Step {
            action: "measure".into(),
            pieces: pieces(&["drive", "frame"]),
            motion: None,
            text: format!(
                "Turn the drive {} until the carriage stands on its rear stop; gently, then \
                 measure from the frame to the underside of the head: {} to {}. {advice} Then \
                 run the whole stroke once by hand: it must stop at both ends on the carriage, \
                 never on the head.",
                outwards(self.hand()),
                tenths(without_play),
                tenths(with_play)
            ),
            reason: "this one distance tells whether every screw was started where it belongs"
                .into(),
        }
    }
}
