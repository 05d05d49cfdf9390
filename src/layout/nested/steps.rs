//! The motions of assembling a nested mechanism, worded for the bench.

use super::Nested;
use super::pieces::Pieces;
use crate::assembly::{Axis, Eye, MotionKind, Script, State, Step, Tool, Wording};
use crate::layout::pressing::press;
use crate::layout::proportions::COLLAR_GAP_LEADS;
use crate::layout::round_house::steps::{Bench, Tells};
use crate::layout::words::{
    BENCH, FINE, PART_OF_A_TURN, either, going, inwards, outwards, share_of_a_turn, told_apart,
    turns_to_touch, vs, whole_turns,
};
use crate::thread::StartLadder;
use crate::units_told::number;

/// What the drive's start says when an inner screw goes along.
const DRIVE_START: &str = " The slot of the inner screw must still point at the Vs: if it has \
                           turned in the drive screw, take both out and go back one step.";

/// What a wrong start of the inner screw asks for.
fn begin_again() -> String {
    format!(
        "take the mechanism apart ({}) and begin again with the inner screw.",
        told_apart()
    )
}

/// What the bench needs beside what any house needs.
pub(super) fn tools() -> Vec<Tool> {
    vec![Tool::new(
        "screwdriver",
        "flat blade, for the slot of the inner screw",
    )]
}

impl Nested<'_> {
    pub(super) fn bench<'b>(&'b self, pieces: &'b Pieces) -> Bench<'b> {
        Bench {
            kit: self.kit,
            house: &self.sizes.house,
            drive: &self.sizes.drive,
            stroke: &self.sizes.stroke,
            head: self.head.as_ref(),
            started: &pieces.started,
            closed: &pieces.closed,
        }
    }

    /// What it has to say.
    pub(super) fn script(&self, bench: &Bench<'_>, pieces: &Pieces) -> Script {
        let Pieces {
            started,
            inner,
            cross,
            ..
        } = pieces;
        let pin = press(
            "press the cross pin",
            vec![*cross, started.carriage, *inner],
            format!(
                "Push the cross pin through the frame's slot into the ear with the V{}, then \
                 press it on through the inner screw's head into the other ear. {}",
                bench.flats(", its flat towards the frame's V side"),
                bench.depth("its ends lie")
            ),
            "it turns the inner screw's travel into the carriage's",
        );
        let over = "over the inner screw's head, until the head's end stands on the socket's floor";
        let mut wordings = Vec::new();
        for turn in bench.turns() {
            wordings.push(self.start_inner(bench, pieces, turn));
            wordings.push(bench.start_drive(&[*inner], DRIVE_START, turn));
            wordings.push(bench.carriage(over, turn));
            wordings.push(bench.pins_in(&[*cross], pin.clone(), turn));
        }
        for turn in bench.turns() {
            let more = [bench.nut(turn), bench.rod(turn), bench.yoke(turn)];
            wordings.extend(more.into_iter().flatten());
        }
        wordings.push(bench.to_zero());
        wordings.extend(bench.close());
        wordings.extend(bench.index());
        wordings.extend(bench.close_with_index());
        Script {
            before: vec![bench.prepare(
                vec![started.frame, started.drive, *inner],
                "the drive screw in the frame, and the inner screw in the drive screw",
                "the inner screw's head in the carriage's socket, the cross pin in that head, ",
            )],
            wordings,
            after: vec![bench.check(&self.told_at_the_stop())],
            apart: Vec::new(),
        }
    }

    /// How far the head stands off at the stop after a wrong start of either screw.
    pub(super) fn told_at_the_stop(&self) -> Tells {
        let drive = &self.sizes.drive.thread;
        let Some(ladder) = self.start_ladder() else {
            return Tells::Nothing;
        };
        let share = match ladder.rungs_a_turn {
            2 => "half turns".into(),
            4 => "quarter turns".into(),
            parts => format!("times 1/{parts} of a turn"),
        };
        let started = match drive.starts() {
            1 => format!(
                "the inner screw was started as many {share} off: {}",
                begin_again()
            ),
            ways => format!(
                "the drive screw went in another of its {ways} ways, or the inner screw was \
                 started as many {share} off: {}",
                begin_again()
            ),
        };
        Tells::AtTheStop {
            rung: ladder.drive_step,
            started,
        }
    }

    /// Where the inner screw may be started; none for a pair without net lead.
    fn start_ladder(&self) -> Option<StartLadder> {
        let (drive, inner) = (&self.sizes.drive.thread, &self.sizes.inner.thread);
        StartLadder::nested(drive, inner)
    }

    /// On the bench: the inner screw to its first mark in the drive screw, and on to where it
    /// belongs at a turn of the mechanism.
    fn start_inner(&self, bench: &Bench<'_>, pieces: &Pieces, turn: f64) -> Wording {
        let inner = &self.sizes.inner;
        let hand = inner.thread.hand();
        let (way_in, way_out) = (inwards(hand), outwards(hand));
        let turns = turns_to_touch(
            &inner.thread,
            inner.thread_length,
            self.sizes.bore.gap.drawn(),
        );
        // Where the inner screw belongs at that turn, in whole turns from its first mark.
        let gap = self.sizes.collar_gap(turn);
        let whole = (gap / inner.thread.lead() - COLLAR_GAP_LEADS).round();
        let further = if whole < 1.0 {
            String::new()
        } else {
            format!(
                " Then unscrew it by {} more, still {way_out}; count by the {} on its head, for the \
                 slot looks alike every half turn.",
                whole_turns(whole),
                vs(hand)
            )
        };
        let ways = self.ways_of_inner(bench);
        let step = Step {
            action: "start the inner screw".into(),
            pieces: vec![pieces.inner, pieces.started.drive],
            motion: None,
            eye: Some(Eye::SlottedHead),
            shows: None,
            text: format!(
                "On the bench, screw the inner screw into the drive screw, {way_in} seen from \
                 its own slotted head, about {turns:.0} turns, until its collar touches the end \
                 of the drive screw. Touch, don't tighten. Unscrew it, {way_out}, to the first \
                 place where its slot points at the {} on the {} (lay a rule in the slot): \
                 about a quarter turn.{ways}{further}",
                vs(bench.hand()),
                self.head.words().name
            ),
            reason: self.first_rung(bench),
        };
        Wording {
            covers: vec![going(
                &[pieces.inner],
                MotionKind::Helical,
                Axis::Z,
                false,
                turn,
            )],
            step,
            state: Some(State {
                what: "the collar",
                from: "the drive screw's end",
            }),
        }
    }

    /// What an inner screw of several starts does that went in another way than the right one.
    fn ways_of_inner(&self, bench: &Bench<'_>) -> String {
        let thread = &self.sizes.inner.thread;
        let ways = thread.starts();
        let wrong = StartLadder::wrong_places(thread, COLLAR_GAP_LEADS);
        if ways == 1 {
            return String::new();
        }
        if wrong.is_empty() {
            return format!(
                " It has {ways} starts and goes in in {ways} ways: either will do, for its slot \
                 looks alike every half turn."
            );
        }
        let places = wrong.iter().map(|turns| number(*turns, PART_OF_A_TURN));
        format!(
            " It has {ways} starts and goes in in {ways} ways. In a wrong one its slot points there \
             after about {} of a turn, its collar {} off: then take it out, turn it by {} before it \
             catches, and begin again.",
            either(places),
            either(
                wrong
                    .iter()
                    .map(|turns| bench.told().length(thread.lead() * *turns, BENCH))
            ),
            share_of_a_turn(ways)
        )
    }

    /// Why the inner screw starts at the first mark: what each later one costs.
    fn first_rung(&self, bench: &Bench<'_>) -> String {
        let later = self.start_ladder().map_or(String::new(), |ladder| {
            let [carriage, drive] = ladder.next_mark;
            format!(
                "; each later one moves the carriage by {} and costs the screws {} of their \
                 thread",
                bench.told().length(carriage, FINE),
                bench.told().length(drive, BENCH)
            )
        });
        format!(
            "the cross pin will hold the inner screw at the angle where it is now, and only the \
             first mark keeps the whole stroke{later}"
        )
    }
}
