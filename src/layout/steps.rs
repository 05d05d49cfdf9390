//! The motions of assembly, worded for the bench; which of them are made, and in which order,
//! is found elsewhere.
//!
//! Every number is computed from the sizes; n counts turns in the direction of the stroke. The
//! marks line up at turn 0 and at the assembly turn, because both are whole turns. What goes in
//! may go in at either.

use super::rules::*;
use super::sizes::{Nested, Sizes, Tip};
use crate::assembly::{
    Assembly, Axis, Going, InstanceId, MotionKind, Script, State, Step, Wording,
};
use crate::kit::{Grip, Kit};
use crate::thread::{Hand, StartLadder, Thread};
use crate::units::Length;
use crate::units_told::{Told, number};

/// What a nested layout has to say.
pub(super) fn nested(kit: &Kit, sizes: &Sizes, nested: &Nested, assembly: &Assembly) -> Script {
    let bench = Bench {
        kit,
        sizes,
        assembly,
    };
    let pin = bench.press(
        "press the cross pin",
        &["cross pin", "carriage", "inner"],
        &format!(
            "Push the cross pin through the frame's slot into the ear with the V{}, then \
             press it on through the inner screw's head into the other ear. {}",
            bench.flats(", its flat towards the frame's V side"),
            bench.depth("its ends lie")
        ),
        "it turns the inner screw's travel into the carriage's",
    );
    let over = "over the inner screw's head, until the head's end stands on the socket's floor";
    let mut wordings = Vec::new();
    for turn in [sizes.assembly_turn, 0.0] {
        wordings.push(bench.start_inner(nested, turn));
        wordings.push(bench.start_drive(&["drive", "inner"], NESTED_START, turn));
        wordings.push(bench.carriage(over, turn));
        wordings.push(bench.pins_in(&["cross pin"], pin.clone(), turn));
    }
    wordings.push(bench.to_zero());
    wordings.extend(bench.close());
    Script {
        before: vec![bench.prepare(
            &["frame", "drive", "inner"],
            "the drive screw in the frame, and the inner screw in the drive screw",
            "the inner screw's head in the carriage's socket, the cross pin in that head, ",
        )],
        wordings,
        after: vec![bench.check(Some(nested))],
    }
}

/// What a single layout has to say.
pub(super) fn single(kit: &Kit, sizes: &Sizes, _tip: &Tip, assembly: &Assembly) -> Script {
    let bench = Bench {
        kit,
        sizes,
        assembly,
    };
    let pins = bench.press(
        "press the swivel pins",
        &["swivel pin 1", "swivel pin 2", "carriage"],
        &format!(
            "Push both swivel pins through the frame's slot into the ear with the V{}, then \
             press them on, one on each side of the drive screw's groove, into the other \
             ear. {} The drive screw must still turn freely.",
            bench.flats(", their flats outwards"),
            bench.depth("their ends lie")
        ),
        "they pull the carriage along",
    );
    let over = "over the drive screw's tip, until the tip stands on the socket's floor";
    let mut wordings = Vec::new();
    for turn in [sizes.assembly_turn, 0.0] {
        wordings.push(bench.start_drive(&["drive"], "", turn));
        wordings.push(bench.carriage(over, turn));
        for pair in [
            ["swivel pin 1", "swivel pin 2"],
            ["swivel pin 2", "swivel pin 1"],
        ] {
            wordings.push(bench.pins_in(&pair, pins.clone(), turn));
        }
    }
    wordings.push(bench.to_zero());
    wordings.extend(bench.close());
    Script {
        before: vec![bench.prepare(
            &["frame", "drive"],
            "the drive screw in the frame",
            "the drive screw's tip in the carriage's socket, ",
        )],
        wordings,
        after: vec![bench.check(None)],
    }
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

/// `16 whole turns`.
fn whole_turns(turns: f64) -> String {
    let plural = if turns < 1.5 { "" } else { "s" };
    format!("{turns:.0} whole turn{plural}")
}

fn pieces(names: &[&str]) -> Vec<String> {
    names.iter().map(ToString::to_string).collect()
}

/// Turns that a screw makes from the first catch of its thread until its head touches, in a hole
/// that is wider by a gap, radially.
///
/// Ridges pass each other until the chamfer at the screw's end and the countersink, both at 45
/// degrees and both reaching beyond the thread, leave as much of them as they have to climb.
fn turns_to_touch(thread: &Thread, length: Length, gap: Length) -> f64 {
    let caught = thread.depth() + gap + CHAMFER_BEYOND_THREAD * 2.0;
    ((length - caught) / thread.lead() + 0.5).floor()
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
    assembly: &'a Assembly,
}

impl Bench<'_> {
    fn hand(&self) -> Hand {
        self.sizes.drive.hand()
    }

    /// As drawn, radially.
    fn thread_gap(&self) -> Length {
        self.sizes.gaps.thread.drawn
    }

    /// Pieces by their names, as motions have them.
    fn ids(&self, names: &[&str]) -> Vec<InstanceId> {
        let pieces = self.assembly.instances.iter().enumerate();
        pieces
            .filter(|(_, piece)| names.contains(&piece.name.as_str()))
            .map(|(index, _)| InstanceId(index))
            .collect()
    }

    /// A motion along an axis, done at a turn.
    fn going(
        &self,
        names: &[&str],
        kind: MotionKind,
        axis: Axis,
        positive: bool,
        turn: f64,
    ) -> Going {
        Going {
            pieces: self.ids(names),
            kind,
            axis,
            positive: Some(positive),
            turn,
        }
    }

    /// On the bench: the inner screw to its first mark in the drive screw, and on to where it
    /// belongs at a turn of the mechanism.
    fn start_inner(&self, nested: &Nested, turn: f64) -> Wording {
        let hand = nested.thread.hand();
        let (way_in, way_out) = (inwards(hand), outwards(hand));
        let turns = turns_to_touch(&nested.thread, nested.thread_length, self.thread_gap());
        // Where the inner screw belongs at that turn, in whole turns from its first mark.
        let gap = nested.collar_gap(self.sizes.assembly_turn, turn);
        let whole = (gap / nested.thread.lead() - COLLAR_GAP_LEADS).round();
        let further = if whole < 1.0 {
            String::new()
        } else {
            format!(
                " Then unscrew it by {} more, still {way_out}; count by the {} on its head, for the \
                 slot looks alike every half turn.",
                whole_turns(whole),
                vs(nested.thread.hand())
            )
        };
        let step = Step {
            action: "start the inner screw".into(),
            pieces: pieces(&["inner", "drive"]),
            motion: None,
            text: format!(
                "On the bench, screw the inner screw into the drive screw, {way_in} seen from \
                 its own slotted head, about {turns:.0} turns, until its collar touches the end \
                 of the drive screw. Touch, don't tighten. Unscrew it, {way_out}, to the first \
                 place where its slot points at the {} on the hexagon (lay a rule in the slot): \
                 about a quarter turn.{further}",
                vs(self.hand())
            ),
            reason: self.first_rung(nested),
        };
        Wording {
            covers: vec![self.going(&["inner"], MotionKind::Helical, Axis::Z, false, turn)],
            step,
            state: Some(State {
                what: "the collar",
                from: "the drive screw's end",
            }),
        }
    }

    /// Why the inner screw starts at the first mark: what each later one costs.
    fn first_rung(&self, nested: &Nested) -> String {
        let starts = nested.thread.starts();
        let leads = [&self.sizes.drive, &nested.thread].map(Thread::signed_lead);
        let later =
            StartLadder::nested(leads[0], leads[1], starts).map_or(String::new(), |ladder| {
                format!(
                    "; each later one moves the carriage by {} and costs the screws {} of their \
                 thread",
                    self.told().length(ladder.carriage_step, FINE),
                    self.told().length(ladder.drive_step, BENCH)
                )
            });
        format!(
            "the cross pin will hold the inner screw at the angle where it is now, and only the \
             first mark keeps the whole stroke{later}"
        )
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

    fn prepare(&self, names: &[&str], alone: &str, socket: &str) -> Step {
        Step {
            action: "prepare the parts".into(),
            pieces: pieces(names),
            motion: None,
            text: format!(
                "Trim the flare of the first layers, and the strings of filament in the holes. \
                 With your fingers only, run each screw over its full length: {alone}. If one \
                 binds, stop: force strips it. Print that pair again with a larger gap (thread \
                 in the table gaps of the kit file, {} now). Then try what goes together by hand: \
                 the carriage in the frame, {socket}the keeper in the frame's open end, a pin in \
                 each hole of the keeper. What binds is filed now, or printed again with a larger \
                 gap (slide or locate).",
                self.told().length(*self.kit.gaps.thread, FINE)
            ),
            reason: "once all is put together, it cannot be told which screw binds".into(),
        }
    }

    fn start_drive(&self, names: &[&str], more: &str, turn: f64) -> Wording {
        let sizes = self.sizes;
        let (way_in, way_out) = (inwards(self.hand()), outwards(self.hand()));
        let turns = turns_to_touch(&sizes.drive, sizes.drive_thread, self.thread_gap());
        let back = sizes.head_gap(sizes.assembly_turn) / sizes.drive.lead();
        let place = ordinal(back.floor() as usize + 1);
        let whole = (sizes.assembly_turn - turn).round();
        let (called, reason) = if whole < 1.0 {
            (
                format!("Call this place turn {:.0}.", sizes.assembly_turn),
                "all later turns are counted from this place",
            )
        } else {
            (
                format!(
                    "Unscrew it by {} more, still {way_out}, counted by the same marks. {}",
                    whole_turns(whole),
                    self.turn_zero()
                ),
                "from turn 0 on, your count of turns tells where the carriage is",
            )
        };
        let handled: Vec<&str> = names.iter().copied().chain(["frame"]).collect();
        let step = Step {
            action: "screw the drive screw into the frame".into(),
            pieces: pieces(&handled),
            motion: None,
            text: format!(
                "Screw the drive screw into the frame's tapped end, {way_in} seen from the drive \
                 head, about {turns:.0} turns, until the head touches the frame. Touch, don't \
                 tighten. Unscrew it, {way_out}, to the {place} place where the {v} on the hexagon \
                 stands in line with the {v} on the frame: about {back:.1} of a turn. \
                 {called}{more}",
                v = vs(self.hand())
            ),
            reason: reason.into(),
        };
        Wording {
            covers: vec![self.going(names, MotionKind::Helical, Axis::Z, true, turn)],
            step,
            state: Some(self.head()),
        }
    }

    fn head(&self) -> State {
        State {
            what: "the underside of the hexagon",
            from: "the frame",
        }
    }

    /// What turn 0 is.
    fn turn_zero(&self) -> String {
        format!(
            "This is turn 0, the start of the stroke: from here, {} turns {} carry out the \
             stroke of {}.",
            number(self.sizes.turns, 2),
            inwards(self.hand()),
            self.told().length(*self.kit.stroke, FINE)
        )
    }

    fn carriage(&self, over: &str, turn: f64) -> Wording {
        let step = Step {
            action: "slide the carriage in".into(),
            pieces: pieces(&["carriage", "frame"]),
            motion: None,
            text: format!(
                "Slide the carriage into the frame's open end, socket first, ears in the slots, \
                 {over}. It must slide by its own weight; if it does not, file the ears lightly \
                 until it does."
            ),
            reason: "nothing passes the guide once the keeper is in".into(),
        };
        Wording {
            covers: vec![self.going(&["carriage"], MotionKind::Straight, Axis::Z, false, turn)],
            step,
            state: None,
        }
    }

    /// Pins that go in from the side, one after the other.
    fn pins_in(&self, names: &[&str], step: Step, turn: f64) -> Wording {
        let pin = |name: &&str| self.going(&[name], MotionKind::Straight, Axis::X, false, turn);
        Wording {
            covers: names.iter().map(pin).collect(),
            step,
            state: None,
        }
    }

    fn press(&self, action: &str, names: &[&str], text: &str, reason: &str) -> Step {
        Step {
            action: action.into(),
            pieces: pieces(names),
            motion: None,
            text: text.into(),
            reason: reason.into(),
        }
    }

    /// Keeper and its pins, in either order of the two.
    fn close(&self) -> [Wording; 2] {
        [
            ["keeper pin 1", "keeper pin 2"],
            ["keeper pin 2", "keeper pin 1"],
        ]
        .map(|pins| {
            let keeper = self.going(&["keeper"], MotionKind::Straight, Axis::Z, false, 0.0);
            let pin = |name: &&str| self.going(&[name], MotionKind::Straight, Axis::Y, false, 0.0);
            Wording {
                covers: [keeper].into_iter().chain(pins.iter().map(pin)).collect(),
                step: self.keeper(),
                state: None,
            }
        })
    }

    fn keeper(&self) -> Step {
        Step {
            action: "fit the keeper".into(),
            pieces: pieces(&["keeper", "frame", "keeper pin 1", "keeper pin 2"]),
            motion: None,
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

    /// From the assembly turn to turn 0.
    fn to_zero(&self) -> Wording {
        let sizes = self.sizes;
        let step = Step {
            action: "go to turn 0".into(),
            pieces: pieces(&["drive"]),
            motion: None,
            text: format!(
                "Turn the drive screw {} by {turns}, counted by the Vs of hexagon and frame, which stand in line again at the end: the carriage draws back \
                 from the open end. {}",
                outwards(self.hand()),
                self.turn_zero(),
                turns = whole_turns(sizes.assembly_turn)
            ),
            reason: format!(
                "at turn {:.0} the carriage stands where the keeper goes, and from turn 0 on your \
                 count of turns tells where it is",
                sizes.assembly_turn
            ),
        };
        Wording {
            covers: vec![Going {
                pieces: Vec::new(),
                kind: MotionKind::Driven,
                axis: Axis::Z,
                positive: None,
                turn: 0.0,
            }],
            step,
            state: Some(self.head()),
        }
    }

    fn check(&self, nested: Option<&Nested>) -> Step {
        let sizes = self.sizes;
        let without_play = sizes.head_gap_at_rear_stop();
        let with_play = without_play + sizes.drive.lead() * (sizes.play / 2.0 / sizes.net_lead);
        // The stop's faces lie on whole layers: one more or less of them shows as so much here.
        let layer = sizes.drive.lead() * (*self.kit.layer / sizes.net_lead);
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
                 the carriage must stop it, never the hexagon on the frame. There turn no harder \
                 than {}, now and later.",
                outwards(self.hand()),
                self.told()
                    .between(without_play - layer, with_play + layer, BENCH),
                self.told().torque(*self.kit.hand_torque)
            ),
            reason: "this one distance tells whether every screw was started where it belongs"
                .into(),
        }
    }
}
