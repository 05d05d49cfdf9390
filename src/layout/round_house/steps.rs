//! Motions of assembly that every round house has, worded for the bench; which of them are made,
//! and in which order, is found elsewhere.
//!
//! Every number is computed from the sizes; n counts turns in the direction of the stroke. The
//! marks line up at turn 0 and at the assembly turn, because both are whole turns. What goes in
//! may go in at either.

use super::House;
use super::mount::Mount;
use super::pieces::{Closed, Started};
use crate::assembly::{Axis, Eye, Fastener, Going, InstanceId, MotionKind, Step, Tool, Wording};
use crate::kit::Kit;
use crate::layout::feature::Head;
use crate::layout::last_check::{Between, LastCheck};
use crate::layout::pressing::Pressing;
use crate::layout::stroke::{DriveThread, Stroke};
use crate::layout::turning::{Turning, Way};
use crate::layout::words::{
    BENCH, PART_OF_A_TURN, called_place, either, going, inwards, ordinal, outwards,
    share_of_a_turn, told_apart, turns_to_touch, vs, where_a_thread_gap_is_set, whole_turns,
};
use crate::thread::Hand;
use crate::units::Length;
use crate::units_told::{Told, number};

/// What turn 0 costs a maker who came to it from beyond.
const CAME_BACK: &str = " You came to it the other way, so what a reversal loses goes off them: the \
                         lost motion, told under Motion.";

/// What the distance at the stop tells of how screws were started.
pub(in crate::layout) enum Tells {
    /// The head stands a rung more or less off the frame after a wrong start, or some of them;
    /// what was started wrong then.
    AtTheStop { rung: Length, started: String },
    /// Nothing, since the carriage hangs on the drive screw: wherever that went in, its head is as
    /// far off when the carriage stops.
    Nothing,
}

/// Every order of two lists that keeps that of each, but for one whole list after the other.
fn mixed(one: &[Going], other: &[Going]) -> Vec<Vec<Going>> {
    let places = one.len() + other.len();
    let orders = 0_u32..1 << places;
    let of_one = |order: &u32| order.count_ones() as usize == one.len();
    let apart = |order: &u32| {
        let first = (1_u32 << one.len()) - 1;
        *order != first && *order != first << other.len()
    };
    let mix = |order: u32| {
        let (mut one, mut other) = (one.iter(), other.iter());
        let place = |place: usize| match order >> place & 1 {
            1 => one.next(),
            _ => other.next(),
        };
        (0..places).filter_map(place).cloned().collect()
    };
    orders.filter(of_one).filter(apart).map(mix).collect()
}

/// Two steps that are done in one.
fn both(one: &Step, other: &Step) -> Step {
    let pieces = one.pieces.iter().chain(&other.pieces).copied();
    let mut all: Vec<InstanceId> = Vec::new();
    for piece in pieces {
        if !all.contains(&piece) {
            all.push(piece);
        }
    }
    Step {
        action: one.action.clone(),
        pieces: all,
        motion: None,
        eye: one.eye.or(other.eye),
        shows: None,
        text: format!("{} {}", one.text, other.text),
        reason: format!("{}; {}", one.reason, other.reason),
    }
}

/// A round house on the bench.
pub(in crate::layout) struct Bench<'a> {
    pub(in crate::layout) kit: &'a Kit,
    pub(in crate::layout) house: &'a House,
    pub(in crate::layout) drive: &'a DriveThread,
    pub(in crate::layout) stroke: &'a Stroke,
    pub(in crate::layout) head: &'a dyn Head,
    pub(in crate::layout) started: &'a Started,
    pub(in crate::layout) closed: &'a Closed,
}

impl Bench<'_> {
    fn turning(&self) -> Turning<'_> {
        Turning {
            kit: self.kit,
            drive: self.drive,
            stroke: self.stroke,
            head: self.head,
            piece: self.started.drive,
        }
    }

    fn pressing(&self) -> Pressing<'_> {
        Pressing {
            kit: self.kit,
            pin: self.house.pin,
        }
    }

    /// What a step says of the flats of printed pins; bought ones are round.
    pub(in crate::layout) fn flats(&self, words: &'static str) -> &'static str {
        self.pressing().flats(words)
    }

    /// How deep pins go.
    pub(in crate::layout) fn depth(&self, ends: &str) -> String {
        self.pressing().depth(ends)
    }

    /// Hand of the drive screw.
    pub(in crate::layout) fn hand(&self) -> Hand {
        self.drive.thread.hand()
    }

    /// The turns of the mechanism at which pieces may go in.
    pub(in crate::layout) fn turns(&self) -> [f64; 2] {
        [self.stroke.assembly_turn, 0.0]
    }

    pub(in crate::layout) fn told(&self) -> Told {
        self.kit.told()
    }

    /// Before anything: `alone` are the screws to run in, `socket` what goes into the carriage.
    pub(in crate::layout) fn prepare(
        &self,
        pieces: Vec<InstanceId>,
        alone: &str,
        socket: &str,
    ) -> Step {
        Step {
            action: "prepare the parts".into(),
            pieces,
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Trim the flare of the first layers, and the strings of filament in the holes. \
                 With your fingers only, run each screw over its full length: {alone}. If one \
                 binds, stop: force strips it. Print that pair again with a larger gap ({}). Then try what goes together by hand: \
                 the carriage in the frame, {socket}the keeper in the frame's open end, a pin in \
                 each hole of the keeper. What binds is filed now, or printed again with a larger \
                 gap (slide or locate).",
                where_a_thread_gap_is_set(self.kit, self.house.gaps.thread.gap.wanted)
            ),
            reason: "once all is put together, it cannot be told which screw binds".into(),
        }
    }

    /// The drive screw with what it carries; `more` is said at the end.
    pub(in crate::layout) fn start_drive(
        &self,
        carried: &[InstanceId],
        more: &str,
        turn: f64,
    ) -> Wording {
        let drive = self.drive;
        let (way_in, way_out) = (inwards(self.hand()), outwards(self.hand()));
        let turns = turns_to_touch(&drive.thread, drive.length, self.house.gaps.thread.drawn());
        let back = drive.head_gap(self.stroke.assembly_turn) / drive.thread.lead();
        let place = ordinal(back.floor() as usize + 1);
        let whole = (self.stroke.assembly_turn - turn).round();
        let (called, reason) = if whole < 1.0 {
            (
                called_place(self.stroke.assembly_turn),
                "all later turns are counted from this place",
            )
        } else {
            (
                format!(
                    "Unscrew it by {} more, still {way_out}, counted by the same marks. {}{CAME_BACK}",
                    whole_turns(whole),
                    self.turning().turn_zero()
                ),
                "from turn 0 on, your count of turns tells where the carriage is",
            )
        };
        let moving = || std::iter::once(self.started.drive).chain(carried.iter().copied());
        let step = Step {
            action: "screw the drive screw into the frame".into(),
            pieces: moving().chain([self.started.frame]).collect(),
            motion: None,
            eye: Some(Eye::DriveHead),
            shows: None,
            text: format!(
                "Screw the drive screw into the frame's tapped end, {way_in} seen from the drive \
                 head, about {turns:.0} turns, until the head touches the frame. Touch, don't \
                 tighten. Unscrew it, {way_out}, to the {place} place where the {v} on the {head} \
                 stands in line with the {v} on the frame: about {back:.1} of a turn. \
                 {ways}{called}{more}",
                v = vs(self.hand()),
                head = self.head.words().name,
                ways = self.ways_of_drive(back),
            ),
            reason: reason.into(),
        };
        let pieces: Vec<InstanceId> = moving().collect();
        Wording {
            covers: vec![going(&pieces, MotionKind::Helical, Axis::Z, true, turn)],
            step,
            state: Some(self.turning().head_state()),
        }
    }

    /// What a drive screw of several starts does that went in another way than the right one, in
    /// which the marks line up after `right` turns back: a pitch further along its lead.
    fn ways_of_drive(&self, right: f64) -> String {
        let thread = &self.drive.thread;
        let ways = thread.starts();
        if ways == 1 {
            return String::new();
        }
        let mut wrong: Vec<f64> = (1..ways)
            .map(|way| (right.fract() + f64::from(way) / f64::from(ways)) % 1.0 + right.floor())
            .collect();
        wrong.sort_by(f64::total_cmp);
        let off = |turns: &f64| self.told().length(thread.lead() * *turns, BENCH);
        format!(
            "It has {ways} starts and goes in in {ways} ways, of which one is right. In {} it comes \
             to that place after about {} of a turn, its head {} off the frame: then take it out, \
             turn it by {} before it catches, and begin again. ",
            if ways == 2 { "the other" } else { "the others" },
            either(wrong.iter().map(|turns| number(*turns, PART_OF_A_TURN))),
            either(wrong.iter().map(off)),
            share_of_a_turn(ways)
        )
    }

    /// The carriage, `over` what stands in its socket.
    pub(in crate::layout) fn carriage(&self, over: &str, turn: f64) -> Wording {
        let Started {
            carriage, frame, ..
        } = *self.started;
        let step = Step {
            action: "slide the carriage in".into(),
            pieces: vec![carriage, frame],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Slide the carriage into the frame's open end, socket first, ears in the slots, \
                 {over}. It must slide by its own weight; if it does not, file the ears lightly \
                 until it does."
            ),
            reason: "nothing passes the guide once the keeper is in".into(),
        };
        Wording {
            covers: vec![going(
                &[carriage],
                MotionKind::Straight,
                Axis::Z,
                false,
                turn,
            )],
            step,
            state: None,
        }
    }

    /// The rod that the carriage pushes, where it has one.
    pub(in crate::layout) fn rod(&self, turn: f64) -> Option<Wording> {
        let rod = self.house.end.rod()?;
        let piece = self.closed.rod?;
        let anvil = match self.closed.yoke {
            None => "",
            Some(_) => " (through the hole in the anvil, if the yoke is on)",
        };
        let outside = self.house.frame_length + self.house.flange();
        let step = Step {
            action: "put the rod in".into(),
            pieces: vec![piece, self.closed.keeper, self.started.carriage],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Put a drop of glue on one end of the rod and push that end through the hole in the \
                 keeper{anvil} into its seat in the carriage, until it stands on the seat's floor. At turn 0 \
                 {} of it stand out of the keeper. It must slide in the keeper by its own weight: if \
                 it does not, break its edges, or open the hole with a drill of the rod's size.",
                self.told().length(rod.proud(outside), BENCH)
            ),
            reason: "the glue only keeps it from falling out: it pushes, and pulls nothing".into(),
        };
        let motion = going(&[piece], MotionKind::Straight, Axis::Z, false, turn);
        Some(Wording {
            covers: vec![motion],
            step,
            state: None,
        })
    }

    /// The yoke of a press, where it has one.
    pub(in crate::layout) fn yoke(&self, turn: f64) -> Option<Wording> {
        let yoke = self.house.end.yoke()?;
        let piece = self.closed.yoke?;
        let left = yoke.throat - self.stroke.length;
        let length = |length| self.told().length(length, BENCH);
        let step = Step {
            action: "slip the yoke on".into(),
            pieces: vec![piece, self.closed.keeper],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Hold the yoke with its crossbar beyond the keeper and slip it on from the V side, the \
                 keeper's wings in its grooves, until it meets the stops on the wings. It goes on and off \
                 by hand; file the grooves if it does not. Nothing but the load holds it: take it off when \
                 the press is not in use. Between rod and anvil {} are free at turn 0, and {} at the end \
                 of the stroke.",
                length(yoke.throat),
                length(left)
            ),
            reason: "what is pressed stands between rod and anvil, and the yoke takes the push back to the \
                     keeper"
                .into(),
        };
        let motion = going(&[piece], MotionKind::Straight, Axis::Y, false, turn);
        Some(Wording {
            covers: vec![motion],
            step,
            state: None,
        })
    }

    /// The nut under the frame, where it has one.
    pub(in crate::layout) fn nut(&self, turn: f64) -> Option<Wording> {
        let Mount::Nut(nut) = &self.house.mount else {
            return None;
        };
        let piece = self.started.nut?;
        let step = Step {
            action: "put the nut under the frame".into(),
            pieces: vec![piece, self.started.frame],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Slide the {} nut into the pocket beside the frame's tapped end, a corner ahead, until \
                 it stands behind the hole in the frame's underside. A strip of tape over the pocket \
                 keeps it there until the bolt is in. The bolt may go in by at most {} from the \
                 underside: a longer one presses on the wall around the drive screw.",
                nut.thread(),
                nut.bolt_told(self.told())
            ),
            reason: "a bolt from below finds nothing to hold without it".into(),
        };
        let motion = going(&[piece], MotionKind::Straight, Axis::Z, true, turn);
        Some(Wording {
            covers: vec![motion],
            step,
            state: None,
        })
    }

    /// Pins that go in through the slot, one after the other.
    pub(in crate::layout) fn pins_in(&self, pins: &[InstanceId], step: Step, turn: f64) -> Wording {
        let pin = |pin: &InstanceId| going(&[*pin], MotionKind::Straight, Axis::X, false, turn);
        Wording {
            covers: pins.iter().map(pin).collect(),
            step,
            state: None,
        }
    }

    /// The spring, if there is one; keeper and its pins, in either order of the two.
    pub(in crate::layout) fn close(&self) -> Vec<Wording> {
        let [one, other] = self.closed.pins;
        let keeper = [[one, other], [other, one]].map(|pins| {
            let keeper = [self.closed.keeper];
            let keeper = going(&keeper, MotionKind::Straight, Axis::Z, false, 0.0);
            let pin = |pin: &InstanceId| going(&[*pin], MotionKind::Straight, Axis::Y, false, 0.0);
            Wording {
                covers: [keeper].into_iter().chain(pins.iter().map(pin)).collect(),
                step: self.keeper(),
                state: None,
            }
        });
        self.spring_in().into_iter().chain(keeper).collect()
    }

    /// The bar at which a dial is read.
    pub(in crate::layout) fn index(&self) -> Vec<Wording> {
        let index = self.house.index.iter().zip(&self.started.index);
        index
            .flat_map(|(index, pieces)| {
                index.wordings(self.kit, pieces, self.started.frame, &self.turns())
            })
            .collect()
    }

    /// Keeper and index bar, whose pins go in along one way, in any order that mixes the two.
    pub(in crate::layout) fn close_with_index(&self) -> Vec<Wording> {
        let mut all = Vec::new();
        for keeper in self.close() {
            for index in self.index().iter().filter(|wording| {
                let mut covers = wording.covers.iter();
                covers.all(|going| going.turn == 0.0)
            }) {
                let mixed = mixed(&keeper.covers, &index.covers).into_iter();
                all.extend(mixed.map(|covers| Wording {
                    covers,
                    step: both(&keeper.step, &index.step),
                    state: None,
                }));
            }
        }
        all
    }

    fn keeper(&self) -> Step {
        let [one, other] = self.closed.pins;
        Step {
            action: "fit the keeper".into(),
            pieces: vec![self.closed.keeper, self.started.frame, one, other],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Push the keeper in, its V to the frame's V side, until its flange lies on the \
                 frame.{} Press both keeper pins in from the V side{}. {}",
                self.against_spring(),
                self.flats(", flats sideways"),
                self.depth("their ends lie")
            ),
            reason: "the keeper stops the carriage at the far end and keeps the frame's open end \
                     from spreading"
                .into(),
        }
    }

    /// From the assembly turn to turn 0.
    pub(in crate::layout) fn to_zero(&self) -> Wording {
        self.turning().to_zero(&Way {
            carriage: "the carriage draws back from the open end".into(),
            more: CAME_BACK.into(),
            reason: format!(
                "at turn {:.0} the carriage stands where the keeper goes, and from turn 0 on your \
                 count of turns tells where it is",
                self.stroke.assembly_turn
            ),
        })
    }

    /// The measurement at the rear stop, and what it tells of how the screws were started.
    pub(in crate::layout) fn check(&self, tells: &Tells) -> Step {
        let [least, most] = self.at_the_stop();
        let otherwise = "look for dirt or a flare that stops the carriage early, and for parts \
                         printed at another scale.";
        let (differs, reason) = match tells {
            Tells::AtTheStop { rung, started } => (
                format!(
                    "If it differs by about {}, or by 2 or 3 times that, {started} {}If it differs \
                     otherwise, {otherwise}",
                    self.told().length(*rung, BENCH),
                    self.hidden_rung(*rung, most - least)
                ),
                "this one distance tells whether every screw was started where it belongs",
            ),
            Tells::Nothing => (
                format!(
                    "If it differs, {otherwise}{}",
                    self.at_the_marks(self.with_play())
                ),
                "the stops carry what the hand presses, so the carriage must come to them first",
            ),
        };
        let head = self.head.words();
        Step {
            action: "measure, and run the stroke".into(),
            pieces: vec![self.started.drive, self.started.frame],
            motion: None,
            eye: Some(Eye::DriveHead),
            shows: None,
            text: format!(
                "Turn the drive screw {} gently until the carriage stops. Measure from the frame \
                 to {}: it should be {}. {differs} Then run the whole stroke once by hand: at both ends \
                 the carriage must stop it, never the {} on the frame. There turn no harder \
                 than {}, now and later.",
                outwards(self.hand()),
                head.underside,
                self.told().between(least, most, BENCH),
                head.name,
                self.told().torque(*self.kit.hand_torque)
            ),
            reason: reason.into(),
        }
    }

    /// What the head stands off the frame at the rear stop, with all play taken up.
    fn with_play(&self) -> Length {
        let (drive, stroke) = (self.drive, self.stroke);
        let without_play = self.house.head_gap_at_rear_stop(drive, stroke.net_lead);
        without_play + drive.thread.lead() * (stroke.play / 2.0 / stroke.net_lead)
    }

    /// The least and the most that the head stands off the frame there.
    fn at_the_stop(&self) -> [Length; 2] {
        let (drive, stroke) = (self.drive, self.stroke);
        let without_play = self.house.head_gap_at_rear_stop(drive, stroke.net_lead);
        // The stop's faces lie on whole layers: one more or less of them shows as so much here.
        let layer = drive.thread.lead() * (*self.kit.layer / stroke.net_lead);
        [without_play - layer, self.with_play() + layer]
    }

    /// What is measured there, for a gauge.
    pub(in crate::layout) fn last_check(&self, tells: &Tells) -> LastCheck {
        LastCheck {
            pieces: [self.started.drive, self.started.frame],
            faces: [self.drive.head_face(), Length::ZERO],
            window: self.at_the_stop(),
            wrong: match tells {
                Tells::AtTheStop { rung, .. } => Some(*rung),
                Tells::Nothing => None,
            },
            between: Between::FrameAnd(self.head.words().underside),
        }
    }

    /// What is said of a rung that play and layers may hide.
    fn hidden_rung(&self, rung: Length, spread: Length) -> String {
        match rung < spread {
            true => format!(
                "Play and layers alone may make {} here: where that leaves it open, only the turns \
                 back from touching tell. ",
                self.told().length(spread, BENCH)
            ),
            false => String::new(),
        }
    }

    /// Of a carriage that hangs on a drive screw of several starts: where its marks stand in line
    /// the head tells in which way that went in. `at_stop` is what it stands off at the rear stop.
    fn at_the_marks(&self, at_stop: Length) -> String {
        let thread = &self.drive.thread;
        let ways = thread.starts();
        if ways == 1 {
            return String::new();
        }
        // The first place of the marks on the way in from the stop.
        let turns = (at_stop - self.drive.head_gap(0.0)) / thread.lead();
        let gap = self.drive.head_gap(-turns.floor().max(0.0));
        let more = match ways {
            2 => String::new(),
            3 => ", or by twice that".into(),
            _ => ", or by 2 or 3 times that".to_owned(),
        };
        format!(
            " This says nothing of the way in which the drive screw went in. Turn it {} to the first \
             place where the {v} on the {head} stands in line with the {v} on the frame, and measure \
             again: it should be {}. If it differs by about {}{more}, the drive screw went in another \
             of its {ways} ways: what you count from the marks is off by as much. Take the mechanism \
             apart ({way}) and begin again with the drive screw.",
            inwards(self.hand()),
            self.told().length(gap, BENCH),
            self.told().length(thread.pitch(), BENCH),
            way = told_apart(),
            v = vs(self.hand()),
            head = self.head.words().name
        )
    }

    /// Bolts, with what belongs to them.
    pub(in crate::layout) fn fasteners(&self) -> Vec<Fastener> {
        let (house, told) = (self.house, self.told());
        let held = house.mount.fasteners(told, house.end.over_bolts());
        [house.end.fasteners(told), held, self.head.fasteners(told)].concat()
    }

    /// What the bench needs: common practice for pressed pins; `more` is what a layout adds.
    pub(in crate::layout) fn tools(&self, more: Vec<Tool>) -> Vec<Tool> {
        let mut tools = self.head.tools(self.told());
        tools.extend(
            self.pressing()
                .tools("with a depth rod, to measure where a step asks for it"),
        );
        tools.extend(more);
        tools
    }
}
