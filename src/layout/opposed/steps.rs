//! The motions of assembling an opposed mechanism, worded for the bench.
//!
//! All of it goes together as it stands at turn 0, the carriages as far apart as they go. The far
//! shaft goes into its nut before both go into the frame; how far decides where the far carriage
//! stands, and the coupling pin keeps that.

use super::Opposed;
use super::pieces::Pieces;
use crate::assembly::{
    Axis, Carriages, Eye, Fastener, Going, InstanceId, MotionKind, Script, Step, Tool, WayOut,
    Wording,
};
use crate::layout::last_check::{Between, LastCheck};
use crate::layout::pressing::Pressing;
use crate::layout::proportions::{BELOW_FACE, OVER_TRAVEL};
use crate::layout::square_house::nut::PLACES;
use crate::layout::square_house::pieces::Started;
use crate::layout::square_house::steps::Bench;
use crate::layout::words::{
    BENCH, FINE, going, inwards, ordinal, outwards, told_apart, v_words, vs,
    where_a_thread_gap_is_set,
};
use crate::thread::Hand;
use crate::units::Length;
use crate::units_told::number;

/// Left between a pin that stands out of its sleeve and what is around it. Guess.
const FREE_BELOW: Length = Length::mm(0.5);

impl Opposed<'_> {
    pub(super) fn bench<'b>(&'b self, pieces: &'b Pieces) -> Bench<'b> {
        Bench {
            kit: self.kit,
            house: &self.sizes.house,
            head: self.head.as_ref(),
            started: &pieces.started,
            closed: &pieces.closed,
        }
    }

    /// What it has to say.
    pub(super) fn script(&self, bench: &Bench<'_>, pieces: &Pieces) -> Script {
        let mut wordings = vec![
            self.nut_in(pieces, false),
            self.nut_in(pieces, true),
            self.put_near_carriage(pieces),
            self.put_near_shaft(pieces),
            self.put_far_shaft(pieces),
            self.put_coupling(bench, pieces),
        ];
        wordings.extend(self.put_retainer(bench, pieces));
        wordings.extend(self.put_far_half(pieces));
        wordings.extend(self.put_keeper(bench, pieces));
        wordings.extend(bench.close(""));
        Script {
            before: vec![self.prepare(bench, pieces)],
            wordings,
            after: vec![self.check(bench, pieces)],
            apart: vec![self.coupling_out(pieces)],
        }
    }

    fn hands(&self) -> [Hand; 2] {
        [self.sizes.near.thread.hand(), self.sizes.far.thread.hand()]
    }

    fn prepare(&self, bench: &Bench<'_>, pieces: &Pieces) -> Step {
        let Started {
            frame, drive, nut, ..
        } = *bench.started;
        let widened = where_a_thread_gap_is_set(self.kit, bench.house.gaps.thread.gap.wanted);
        let [near, far] = self.hands();
        Step {
            action: "prepare the parts".into(),
            pieces: vec![frame, drive, pieces.far, pieces.near_nut, nut],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Trim the flare of the first layers, and the strings of filament in the holes. With \
                 your fingers only, run each nut over the full length of its thread: the near nut, \
                 which has {}, on the drive screw, and the far nut, which has {}, on the far shaft. \
                 If one binds, stop: force strips it. Print that pair again with a larger gap \
                 ({widened}). Then try what goes together by hand: the sleeve on the spigot, the \
                 drive screw in its bearing, the slotted keeper in its groove, both carriages in the \
                 frame, the nuts in their pockets, the keeper in the frame's open end and on the far \
                 shaft's journal, a pin in each hole of the keeper. What binds is filed now, or \
                 printed again with a larger gap (slide, swivel or locate).",
                v_words(near),
                v_words(far)
            ),
            reason: "once all is put together, it cannot be told which thread binds".into(),
        }
    }

    fn nut_in(&self, pieces: &Pieces, far: bool) -> Wording {
        let (nut, carriage, which) = match far {
            true => (pieces.started.nut, pieces.started.carriage, "far"),
            false => (pieces.near_nut, pieces.near_carriage, "near"),
        };
        let [near_hand, far_hand] = self.hands();
        let hand = if far { far_hand } else { near_hand };
        Wording {
            covers: vec![going(&[nut], MotionKind::Straight, Axis::Y, false, 0.0)],
            step: Step {
                action: format!("put the {which} nut into its carriage"),
                pieces: vec![nut, carriage],
                motion: None,
                eye: None,
                shows: None,
                text: format!(
                    "Let the {which} nut, which has {}, into the pocket of one of the two carriages from \
                     above, a flat to either side: any of its six flats will do. It must stand upright \
                     and be free to move a little along the bore; if it does not go in by hand, file \
                     the pocket's sides. This is now the {which} carriage.",
                    v_words(hand)
                ),
                reason: "the frame covers the pocket once the carriage is in".into(),
            },
            state: None,
        }
    }

    fn put_near_carriage(&self, pieces: &Pieces) -> Wording {
        let (carriage, nut) = (pieces.near_carriage, pieces.near_nut);
        Wording {
            covers: vec![going(
                &[carriage, nut],
                MotionKind::Straight,
                Axis::Z,
                false,
                0.0,
            )],
            step: Step {
                action: "slide the near carriage in".into(),
                pieces: vec![carriage, nut, pieces.started.frame],
                motion: None,
                eye: None,
                shows: None,
                text: "Slide the near carriage with its nut into the frame's open end, its narrow bore \
                       first and its rib in the slot, all the way until it touches the bearing wall. It \
                       must slide by its own weight; if it does not, file its sides lightly until it \
                       does."
                    .into(),
                reason: "nothing passes the channel once the far carriage is in".into(),
            },
            state: None,
        }
    }

    fn put_near_shaft(&self, pieces: &Pieces) -> Wording {
        let [hand, _] = self.hands();
        let drive = pieces.started.drive;
        let near = &self.sizes.near;
        let on = (OVER_TRAVEL + near.play / 2.0) / near.thread.lead();
        Wording {
            covers: vec![going(&[drive], MotionKind::Helical, Axis::Z, true, 0.0)],
            step: Step {
                action: "screw the drive screw in".into(),
                pieces: vec![drive, pieces.started.frame, pieces.near_nut],
                motion: None,
                eye: Some(Eye::DriveHead),
                shows: None,
                text: format!(
                    "Pass the drive screw's spigot through the bearing and the near nut. Hold the near \
                     carriage against the bearing wall and screw the thread into that nut, {way} seen \
                     from the drive head, until the collar touches the wall from outside; on the way \
                     guide the spigot into the sleeve by a finger through the slot. Touch, don't \
                     tighten. Then hold the collar on the wall, let go of the carriage, and turn the \
                     drive screw {close} to the {place} place where the {v} on the {head} stands in line \
                     with the {v} on the bearing wall, about {on:.1} of a turn: the near carriage leaves \
                     the wall, and the hole through the spigot stands upright under the slot. This is \
                     turn 0, the start of the stroke.",
                    way = inwards(hand),
                    close = closes(hand),
                    place = ordinal(on.floor() as usize + 1),
                    v = vs(hand),
                    head = self.head.words().name,
                ),
                reason: "all turns are counted from here".into(),
            },
            state: None,
        }
    }

    /// The slotted keeper and its pin.
    fn put_retainer(&self, bench: &Bench<'_>, pieces: &Pieces) -> Vec<Wording> {
        let (retainer, pin) = (pieces.retainer, pieces.closed.stop);
        let pressing = bench.pressing();
        let step = Step {
            action: "lock the collar".into(),
            pieces: vec![retainer, pieces.started.frame, pin],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Let the slotted keeper down into its groove, its countersink towards the collar, until \
                 it stands on the groove's floor. The drive screw must turn freely now and move along by \
                 no more than {play}. Press the retaining pin in over it, from the V side{flat}. {depth}",
                play = bench.told().length(self.end_play(), BENCH),
                flat = pressing.flats(", its flat down"),
                depth = pressing.depth("its ends lie"),
            ),
            reason:
                "it holds the drive screw where it is, and the pin keeps it from climbing on the \
                     collar"
                    .into(),
        };
        let down = going(&[retainer], MotionKind::Straight, Axis::Y, false, 0.0);
        let across = going(&[pin], MotionKind::Straight, Axis::X, false, 0.0);
        vec![Wording {
            covers: vec![down, across],
            step,
            state: None,
        }]
    }

    /// Play of the drive screw along the axis, and a layer.
    fn end_play(&self) -> Length {
        let gaps = &self.sizes.gaps;
        let play = [gaps.collar.drawn(), gaps.retainer.drawn()];
        self.sizes.bearing.play(play) + *self.kit.layer
    }

    /// The far shaft into its nut, on the bench.
    fn put_far_shaft(&self, pieces: &Pieces) -> Wording {
        let [_, hand] = self.hands();
        let far = pieces.far;
        let told = self.kit.told();
        let sizes = &self.sizes;
        let out = sizes.far_end() - (sizes.far.from + sizes.house.carriage.length);
        let kind = MotionKind::Helical;
        Wording {
            covers: vec![going(&[far], kind, Axis::Z, true, 0.0)],
            step: Step {
                action: "screw the far shaft into its carriage".into(),
                pieces: vec![far, pieces.started.nut, pieces.started.carriage],
                motion: None,
                eye: Some(Eye::Sleeve),
                shows: None,
                text: format!(
                    "Screw the far shaft through the far nut from the carriage's wide bore, journal first, \
                     {} seen from the sleeve, until the journal stands {} out of the carriage's far face, \
                     to within half a turn: the next steps set it.",
                    inwards(hand),
                    told.length(out, BENCH)
                ),
                reason: "its sleeve passes no nut, so it goes in before the carriage does".into(),
            },
            state: None,
        }
    }

    /// The far carriage with what it carries.
    fn put_far_half(&self, pieces: &Pieces) -> Vec<Wording> {
        let started = &pieces.started;
        let (far, carriage, nut) = (pieces.far, started.carriage, started.nut);
        let moved: [InstanceId; 3] = [far, carriage, nut];
        let covers: Vec<Going> = vec![going(&moved, MotionKind::Straight, Axis::Z, false, 0.0)];
        let inside =
            self.sizes.frame_length() - (self.sizes.far.from + self.sizes.house.carriage.length);
        vec![Wording {
            covers,
            step: Step {
                action: "slide the far carriage in".into(),
                pieces: vec![carriage, nut, far, started.frame],
                motion: None,
                eye: None,
                shows: None,
                text: format!(
                    "Slide the far carriage with its shaft into the frame's open end, its wide bore first and \
                     its rib in the slot, until its far face stands {} inside the frame's open end. It must \
                     slide by its own weight; if it does not, file its sides lightly until it does.",
                    self.kit.told().length(inside, BENCH)
                ),
                reason: "nothing passes the channel once the keeper is in".into(),
            },
            state: None,
        }]
    }

    /// Keeper and its pins, where something else comes between them.
    fn put_keeper(&self, bench: &Bench<'_>, pieces: &Pieces) -> Vec<Wording> {
        let (keeper, [one, other]) = (pieces.closed.keeper, pieces.closed.pins);
        let frame = pieces.started.frame;
        let pressing = bench.pressing();
        let alone = Wording {
            covers: vec![going(&[keeper], MotionKind::Straight, Axis::Z, false, 0.0)],
            step: Step {
                action: "fit the keeper".into(),
                pieces: vec![keeper, frame, pieces.far],
                motion: None,
                eye: None,
                shows: None,
                text: "Push the keeper in over the far shaft's journal, its tongue in the slot and its V to \
                       the frame's V side, until its flange lies on the frame."
                    .into(),
                reason: "it holds the far shaft, and stops the far carriage".into(),
            },
            state: None,
        };
        let step = Step {
            action: "press the keeper pins".into(),
            pieces: vec![keeper, frame, one, other],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Press both keeper pins in from the V side{}. {}",
                pressing.flats(", flats away from the slot"),
                pressing.depth("their ends lie")
            ),
            reason: "they hold the keeper".into(),
        };
        let pin = |pin: InstanceId| going(&[pin], MotionKind::Straight, Axis::X, false, 0.0);
        let pins = [[one, other], [other, one]].map(|pins| Wording {
            covers: pins.map(pin).into(),
            step: step.clone(),
            state: None,
        });
        std::iter::once(alone).chain(pins).collect()
    }

    /// From the channel's floor to the sleeve.
    fn under_sleeve(&self) -> Length {
        let section = &self.sizes.house.section;
        section.slide - section.floor - self.sizes.coupling.sleeve / 2.0
    }

    /// Bolts, with what belongs to them.
    pub(super) fn fasteners(&self, carriages: &Carriages) -> Vec<Fastener> {
        let told = self.kit.told();
        let house = &self.sizes.house;
        [house.fasteners(told, carriages), self.head.fasteners(told)].concat()
    }

    /// What the bench needs: a punch that goes into the thinnest pin's hole.
    pub(super) fn tools(&self) -> Vec<Tool> {
        let pressing = Pressing {
            kit: self.kit,
            pin: self.sizes.coupling.pin,
        };
        let mut tools = self.head.tools(self.kit.told());
        tools.extend(pressing.tools("with a depth rod, to measure where a step asks for it"));
        tools.push(Tool::new(
            "pliers",
            "to draw the coupling pin, when it is taken apart",
        ));
        tools.push(Tool::new(
            "strip of wood",
            format!(
                "about {} thick and narrower than the slot, to stand under the sleeve while its pin goes \
                 in",
                self.kit.told().length(self.under_sleeve(), BENCH)
            ),
        ));
        tools
    }

    /// The coupling pin, and where the far carriage stands when it goes in.
    fn put_coupling(&self, bench: &Bench<'_>, pieces: &Pieces) -> Wording {
        let pin = pieces.coupling;
        let told = bench.told();
        let sizes = &self.sizes;
        let [_, hand] = self.hands();
        let pressing = bench.pressing();
        let flats = match self.coupling_is_bought() {
            true => "",
            false => ", its flat to one side",
        };
        let gap = self.gap_at_zero();
        let step = Step {
            action: "press the coupling pin".into(),
            pieces: vec![pin, pieces.far, pieces.started.drive],
            motion: None,
            eye: Some(Eye::DriveHead),
            shows: None,
            text: format!(
                "With the Vs in line at turn 0 and the collar on the wall, measure between the two carriages: {} are wanted. While the sleeve is turned by a finger, {} seen from the drive head, the far \
                 carriage comes nearer by {} a turn, the other way it goes off; the holes of sleeve and \
                 spigot stand in line every half turn. Take the place that comes nearest to what is \
                 wanted: it is off by {} at most. Then let a strip of wood about {} thick in through the slot and push it \
                 under the sleeve, so that the shafts do not bend, and press the coupling pin down \
                 through the slot{flats}. {}",
                told.length(gap, BENCH),
                inwards(hand),
                told.length(sizes.far.thread.lead(), FINE),
                told.length(sizes.far.thread.lead() / 4.0, BENCH),
                told.length(self.under_sleeve(), BENCH),
                pressing.own_depth("the sleeve's", self.coupling_is_bought())
            ),
            reason:
                "from here on both shafts turn as one, and the middle between the carriages is set"
                    .into(),
        };
        Wording {
            covers: vec![going(&[pin], MotionKind::Straight, Axis::Y, false, 0.0)],
            step,
            state: None,
        }
    }

    /// The coupling pin comes out by the slot, where it went in, and the frame's floor keeps a punch
    /// from under it: half of a turn brings its other end up.
    fn coupling_out(&self, pieces: &Pieces) -> WayOut {
        let section = &self.sizes.house.section;
        let sleeve = self.sizes.coupling.sleeve / 2.0;
        // As far as it may stand out of the sleeve and still turn between cheeks and floor.
        let beside =
            (section.width / 2.0 + section.slide).min(section.slide - section.floor) - sleeve;
        let out = (beside - FREE_BELOW).down_to(FREE_BELOW);
        let told = self.kit.told();
        let pin = self.sizes.coupling.pin;
        // Half a turn brings the carriages nearer, and the pin stands between them.
        let lead = self
            .sizes
            .near
            .thread
            .lead()
            .max(self.sizes.far.thread.lead());
        let between = self.gap_at_zero() / 2.0 - lead / 2.0 - pin / 2.0;
        let [hand, _] = self.hands();
        let text = match out > BELOW_FACE && between >= FREE_BELOW {
            true => format!(
                "The frame's floor leaves no room for a punch under it. Hold the collar on the wall and turn the drive screw {close} by \
                 half a turn, so that the pin's other end points up through the slot, and drive it down \
                 with the punch until it stands {} out of the sleeve below, no further. Turn back by \
                 half a turn and pull it out through the slot with pliers.",
                told.length(out, BENCH),
                close = closes(hand),
            ),
            false => format!(
                "The frame's floor leaves no room for a punch under it, and the carriages none for its \
                 end below: drill it out through the slot, by hand, with a drill of {}, or pull it by a \
                 small screw turned into its end.",
                told.length(pin, BENCH)
            ),
        };
        WayOut {
            piece: pieces.coupling,
            text,
        }
    }

    /// Between the two carriages at turn 0.
    fn gap_at_zero(&self) -> Length {
        self.sizes.far.from - (self.sizes.near.from + self.sizes.house.carriage.length)
    }

    /// The least and the most between the carriages where one of them stops, as far apart as they go.
    fn at_the_stop(&self) -> [Length; 2] {
        let far = &self.sizes.far;
        let gap = self.gap_at_zero();
        let half = far.thread.lead() / 4.0 + far.play / 2.0 + *self.kit.layer;
        [gap - half, gap + half + OVER_TRAVEL * 2.0]
    }

    /// What is measured there, for a gauge: half a turn of the coupling more begins where this ends.
    pub(super) fn last_check(&self, pieces: &Pieces) -> LastCheck {
        let near = self.sizes.near.from + self.sizes.house.carriage.length;
        LastCheck {
            pieces: [pieces.near_carriage, pieces.started.carriage],
            faces: [near, self.sizes.far.from],
            window: self.at_the_stop(),
            wrong: None,
            between: Between::Carriages,
        }
    }

    /// The measurements that tell whether both carriages stand where they belong.
    fn check(&self, bench: &Bench<'_>, pieces: &Pieces) -> Step {
        let (sizes, told) = (&self.sizes, bench.told());
        let [hand, _] = self.hands();
        let lead = sizes.far.thread.lead();
        let travel = [sizes.near.travel, sizes.far.travel].map(|way| told.length(way, FINE));
        let [near, far] = travel;
        let [least, most] = self.at_the_stop();
        let ends = OVER_TRAVEL * 2.0;
        Step {
            action: "measure, and run the stroke".into(),
            pieces: vec![
                bench.started.drive,
                pieces.near_carriage,
                bench.started.carriage,
            ],
            motion: None,
            eye: Some(Eye::DriveHead),
            shows: None,
            text: format!(
                "Turn the drive screw {open} gently until a carriage stops: the gap between the two is \
                 then {wide}. If it is not, the coupling pin stands half a turn or more off: drive it out \
                 ({way}) and set the far carriage again; turning the far nut by one flat in its pocket shifts \
                 that carriage by {flat}. Then run the whole stroke once by hand, {close}: {turns} turns \
                 carry the near carriage {near} and the far one {far}, and the two stop each other, \
                 {ends} later together. There turn no harder than {torque}, now and later.",
                open = opens(hand),
                close = closes(hand),
                wide = told.between(least, most, BENCH),
                flat = told.length(lead / PLACES, BENCH),
                turns = number(sizes.stroke.turns, 2),
                ends = told.length(ends, BENCH),
                torque = told.torque(*self.kit.hand_torque),
                way = told_apart(),
            ),
            reason: "these distances tell whether both threads last for the whole stroke".into(),
        }
    }
}

/// The way to turn that draws the near carriage to the drive head: that in which its screw goes in.
fn opens(near: Hand) -> &'static str {
    inwards(near)
}

/// The way to turn that draws the carriages together.
fn closes(near: Hand) -> &'static str {
    outwards(near)
}
