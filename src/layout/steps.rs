//! The order of assembly, worded for the bench.
//!
//! Every number is computed from the sizes; n counts turns in the direction of the stroke. The
//! marks line up at turn 0 and at the assembly turn, because both are whole turns.

use super::rules::*;
use super::sizes::{Nested, Sizes, Tip};
use super::tool::run_out;
use crate::assembly::{Axis, Motion, MotionKind, Step};
use crate::kit::{Grip, Kit};
use crate::thread::{Hand, Thread};
use crate::told::{Told, number};
use crate::units::Length;

/// Steps of a nested layout.
pub(super) fn nested(kit: &Kit, sizes: &Sizes, nested: &Nested) -> Vec<Step> {
    let bench = Bench { kit, sizes };
    vec![
        bench.prepare(
            &["frame", "drive", "inner"],
            "the drive screw in the frame, and the inner screw in the drive screw",
        ),
        bench.start_inner(nested),
        bench.start_drive(&["drive", "inner", "frame"], NESTED_START),
        bench.carriage(
            "over the inner screw's head, until the head's end stands on the socket's floor",
        ),
        bench.press(
            "press the cross pin",
            &["cross pin", "carriage", "inner"],
            &format!(
                "Push the cross pin through the frame's slot into the ear with the V{}, then \
                 press it on through the inner screw's head into the other ear. {}",
                bench.flats(", its flat towards the frame's V side"),
                bench.depth("its ends lie")
            ),
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
        bench.prepare(&["frame", "drive"], "the drive screw in the frame"),
        bench.start_drive(&["drive", "frame"], ""),
        bench.carriage("over the drive screw's tip, until the tip stands on the socket's floor"),
        bench.press(
            "press the swivel pins",
            &["swivel pin 1", "swivel pin 2", "carriage"],
            &format!(
                "Push both swivel pins through the frame's slot into the ear with the V{}, then \
                 press them on, one on each side of the drive screw's groove, into the other \
                 ear. {} The drive screw must still turn freely.",
                bench.flats(", their flats outwards"),
                bench.depth("their ends lie")
            ),
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
                            turned in the drive screw, take both out and go back one step.";
/// What a hand feels of crush ribs.
const FEELS_RIBS: &str = "It runs freely up to the last wall; there three ribs crush and hold it: \
                          a pin that still slips in is too loose, one that will not start too \
                          tight. ";
/// How pins go in.
const PRESSING: &str = "Press with a vice, or tap with a soft mallet, never against your hand; \
                        wear eye protection.";

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

/// Decimals of a millimetre that a maker with a rule or a caliper can tell at the bench.
const BENCH: usize = 1;
/// Decimals of a millimetre in sizes that the kit file says.
const FINE: usize = 2;

/// The marks of a screw and of what it runs in: two Vs tell a left-hand thread.
fn vs(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "V",
        Hand::Left => "pair of Vs",
    }
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

/// `first`, `second`, and so on.
fn ordinal(place: usize) -> String {
    const WORDS: [&str; 5] = ["first", "second", "third", "fourth", "fifth"];
    match WORDS.get(place.saturating_sub(1)) {
        Some(word) => (*word).into(),
        None => format!("{place}th"),
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

    /// On the bench: the inner screw to its first mark in the drive screw.
    fn start_inner(&self, nested: &Nested) -> Step {
        let hand = nested.thread.hand();
        let (way_in, way_out) = (inwards(hand), outwards(hand));
        let turns = turns_to_touch(&nested.thread, nested.thread_length);
        // Screws of opposite hands approach each other: the inner screw begins further out.
        let whole = if nested.same_hand {
            0.0
        } else {
            self.sizes.assembly_turn + nested.early_turns
        };
        let further = if nested.same_hand {
            String::new()
        } else {
            format!(
                " Then unscrew it by {whole:.0} whole turns more, still {way_out}; count them by \
                 the {} on its head, for the slot looks alike every half turn.",
                vs(nested.thread.hand())
            )
        };
        let back = COLLAR_GAP_LEADS + whole;
        Step {
            action: "start the inner screw".into(),
            pieces: pieces(&["inner", "drive"]),
            motion: Some(helical(&nested.thread, (turns - back).max(0.0), -1.0)),
            text: format!(
                "On the bench, screw the inner screw into the drive screw, {way_in} seen from \
                 its own slotted head, about {turns:.0} turns, until its collar touches the end \
                 of the drive screw. Touch, don't tighten. Unscrew it, {way_out}, to the first \
                 place where its slot points at the {} on the hexagon (lay a rule in the slot): \
                 about a quarter turn.{further}",
                vs(self.hand())
            ),
            reason: "the cross pin will hold the inner screw at the angle where it is now; \
                     started half a turn off, the carriage would stand off as well"
                .into(),
        }
    }

    /// What a step says of the flats of printed pins; bought ones are round.
    fn flats(&self, words: &'static str) -> &'static str {
        if self.bought_pins() { "" } else { words }
    }

    fn bought_pins(&self) -> bool {
        self.kit.pins.buy.is_some()
    }

    /// How deep pins go. Bought pins come in stock lengths, so their depth is told by the eye.
    fn depth(&self, ends: &str) -> String {
        let feel = match *self.kit.pins.held_by {
            Grip::Ribs => FEELS_RIBS,
            Grip::Wall => "",
        };
        if self.bought_pins() {
            format!("Stop when {ends} equally far below the frame's two faces. {feel}{PRESSING}")
        } else {
            let below = self.told().length(BELOW_FACE, BENCH);
            format!("Stop when {ends} {below} below the frame's faces. {feel}{PRESSING}")
        }
    }

    fn told(&self) -> Told {
        self.kit.told()
    }

    fn prepare(&self, names: &[&str], alone: &str) -> Step {
        Step {
            action: "prepare the parts".into(),
            pieces: pieces(names),
            motion: None,
            text: format!(
                "Trim the flare of the first layers, and the strings of filament in the holes. \
                 With your fingers only, run each screw over its full length: {alone}. If one \
                 binds, stop: force strips it. Print that pair again with a larger gap (thread \
                 in the table gaps of the kit file, {} now).",
                self.told().length(*self.kit.gaps.thread, FINE)
            ),
            reason: "once all is put together, it cannot be told which screw binds".into(),
        }
    }

    fn start_drive(&self, names: &[&str], more: &str) -> Step {
        let sizes = self.sizes;
        let (way_in, way_out) = (inwards(self.hand()), outwards(self.hand()));
        let turns = turns_to_touch(&sizes.drive, sizes.drive_thread);
        let back = sizes.head_gap(sizes.assembly_turn) / sizes.drive.lead();
        let place = ordinal(back.floor() as usize + 1);
        Step {
            action: "screw the drive screw into the frame".into(),
            pieces: pieces(names),
            motion: Some(helical(&sizes.drive, turns - back, 1.0)),
            text: format!(
                "Screw the drive screw into the frame's tapped end, {way_in} seen from the drive \
                 head, about {turns:.0} turns, until the head touches the frame. Touch, don't \
                 tighten. Unscrew it, {way_out}, to the {place} place where the {v} on the hexagon \
                 stands in line with the {v} on the frame: about {back:.1} of a turn. Call this \
                 place turn {:.0}.{more}",
                sizes.assembly_turn,
                v = vs(self.hand())
            ),
            reason: "all later turns are counted from this place".into(),
        }
    }

    fn carriage(&self, over: &str) -> Step {
        Step {
            action: "slide the carriage in".into(),
            pieces: pieces(&["carriage", "frame"]),
            motion: Some(self.inwards_from_the_end(self.sizes.near_face)),
            text: format!(
                "Slide the carriage into the frame's open end, socket first, ears in the slots, \
                 {over}. It must slide by its own weight; if it does not, file the ears lightly \
                 until it does."
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

    fn press(&self, action: &str, names: &[&str], text: &str, reason: &str) -> Step {
        Step {
            action: action.into(),
            pieces: pieces(names),
            motion: Some(Motion {
                kind: MotionKind::Straight,
                axis: Axis::X,
                distance: -self.sizes.frame_side,
                turns: 0.0,
            }),
            text: text.into(),
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
                "Turn the drive screw {} by {turns:.0} turns, or a few more, and count them: the \
                 carriage draws back from the open end.",
                outwards(self.hand())
            ),
            reason: format!(
                "at turn {:.0} the carriage stands where the keeper goes",
                sizes.assembly_turn
            ),
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
                "Push the keeper in, its V to the frame's V side, until its flange lies on the \
                 frame. Press both keeper pins in from the V side{}. {}",
                self.flats(", flats sideways"),
                self.depth("their ends lie")
            ),
            reason: "the keeper stops the carriage at the far end and keeps the frame's open end \
                     from spreading"
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
                "Turn the drive screw {} until it stands {turn:.0} whole turns back from turn \
                 {turn:.0}, the turns that made room for the keeper included, with the Vs of \
                 hexagon and frame in line again. This is turn 0, the start of the stroke. From \
                 here, {} turns {} carry out the stroke of {}.",
                outwards(self.hand()),
                number(sizes.turns, 2),
                inwards(self.hand()),
                self.told().length(*self.kit.stroke, FINE),
                turn = sizes.assembly_turn
            ),
            reason: "from turn 0 on, your count of turns tells where the carriage is".into(),
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
                    "If it differs by about {}, or by 2 or 3 times that, the inner screw was \
                     started as many half turns off: take the mechanism apart and begin again \
                     with the inner screw.",
                    self.told().length(rung, BENCH)
                )
            }
            None => format!(
                "If it differs by about {}, or by 2 or 3 times that, the drive screw was started \
                 as many turns off: take the mechanism apart and begin again with the drive \
                 screw.",
                self.told().length(sizes.drive.lead(), BENCH)
            ),
        };
        Step {
            action: "measure, and run the stroke".into(),
            pieces: pieces(&["drive", "frame"]),
            motion: None,
            text: format!(
                "Turn the drive screw {} gently until the carriage stops. Measure from the frame \
                 to the underside of the hexagon: it should be {}. {advice} If it differs \
                 otherwise, look for dirt or a flare that stops the carriage early, and for parts \
                 printed at another scale. Then run the whole stroke once by hand: at both ends \
                 the carriage must stop it, never the hexagon on the frame.",
                outwards(self.hand()),
                self.told().between(without_play, with_play, BENCH)
            ),
            reason: "this one distance tells whether every screw was started where it belongs"
                .into(),
        }
    }
}
