//! The motions of assembling a tandem mechanism, worded for the bench.
//!
//! Which of the two threads catches first follows from the sizes: the one that reaches further back.
//! The words take it from there, and say where the carriage stands when the other one catches.

use super::Tandem;
use super::pieces::Pieces;
use crate::assembly::{Axis, Eye, InstanceId, MotionKind, Script, Step, Wording};
use crate::layout::last_check::{Between, LastCheck};
use crate::layout::proportions::OVER_TRAVEL;
use crate::layout::square_house::nut::PLACES;
use crate::layout::square_house::pieces::Started;
use crate::layout::square_house::steps::Bench;
use crate::layout::turning::{Turning, Way};
use crate::layout::words::{
    BENCH, FINE, called_place, going, inwards, outwards, told_apart, vs, where_a_thread_gap_is_set,
};
use crate::units::Length;

/// One of the two threads.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Which {
    Thick,
    Thin,
}

impl Which {
    fn named(self) -> &'static str {
        match self {
            Self::Thick => "thick thread in the frame",
            Self::Thin => "thin thread in the nut",
        }
    }
}

impl Tandem<'_> {
    pub(super) fn bench<'b>(&'b self, pieces: &'b Pieces) -> Bench<'b> {
        Bench {
            kit: self.kit,
            house: &self.sizes.house,
            head: self.head.as_ref(),
            started: &pieces.started,
            closed: &pieces.closed,
        }
    }

    fn turning(&self, pieces: &Pieces) -> Turning<'_> {
        Turning {
            kit: self.kit,
            drive: &self.sizes.drive,
            stroke: &self.sizes.stroke,
            head: self.head.as_ref(),
            piece: pieces.started.drive,
        }
    }

    /// What it has to say.
    pub(super) fn script(&self, bench: &Bench<'_>, pieces: &Pieces) -> Script {
        let start = self.sizes.stroke.assembly_turn;
        let mut wordings = Vec::new();
        for turn in [start, 0.0] {
            wordings.push(bench.nut_in(turn));
            wordings.push(self.carriage(bench, turn));
        }
        wordings.extend(self.drive_in(pieces));
        wordings.push(self.to_zero(pieces));
        wordings.push(bench.stop_pin());
        wordings.extend(bench.close(&self.mind_the_tip(bench)));
        wordings.extend(bench.index(&[start, 0.0]));
        Script {
            before: vec![self.prepare(bench)],
            wordings,
            after: vec![self.check(bench)],
            apart: Vec::new(),
        }
    }

    /// The thread that catches last, and from how many turns before turn 0 on it does.
    fn second(&self) -> (Which, f64) {
        let [thick, thin] = self.sizes.caught;
        match thick < thin {
            true => (Which::Thick, thick),
            false => (Which::Thin, thin),
        }
    }

    /// The thread that has caught where the drive screw is started; none where neither has.
    fn first(&self) -> Option<Which> {
        let start = self.sizes.stroke.assembly_turn.abs();
        let [thick, thin] = self.sizes.caught;
        match (thick > start, thin > start) {
            (true, _) => Some(Which::Thick),
            (false, true) => Some(Which::Thin),
            (false, false) => None,
        }
    }

    /// The lead of a thread.
    fn lead_of(&self, which: Which) -> Length {
        match which {
            Which::Thick => self.sizes.drive.thread.lead(),
            Which::Thin => self.sizes.thin.thread.lead(),
        }
    }

    /// How far the carriage's far face stands inside the frame's open end, a number of turns from
    /// turn 0 on.
    fn far_face_inside(&self, turn: f64) -> Length {
        let house = &self.sizes.house;
        let face = house.rear_face + house.carriage.length + self.sizes.stroke.net_lead * turn;
        house.frame_length() - face
    }

    fn prepare(&self, bench: &Bench<'_>) -> Step {
        let Started {
            frame, drive, nut, ..
        } = *bench.started;
        let widened = where_a_thread_gap_is_set(self.kit, bench.house.gaps.thread.gap.wanted);
        Step {
            action: "prepare the parts".into(),
            pieces: vec![frame, drive, nut],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Trim the flare of the first layers, and the strings of filament in the holes. With \
                 your fingers only, run the drive screw's thick thread through the frame's tapped end \
                 and its thin one through the nut, over their full lengths. If one binds, stop: force \
                 strips it. Print that pair again with a larger gap ({widened}). Then try what goes \
                 together by hand: the carriage in the frame, the nut in its pocket, the keeper in the \
                 frame's open end, a pin in each hole of the keeper. What binds is filed now, or \
                 printed again with a larger gap (slide or locate)."
            ),
            reason: "once all is put together, it cannot be told which thread binds".into(),
        }
    }

    /// The carriage, to where the second thread catches.
    fn carriage(&self, bench: &Bench<'_>, turn: f64) -> Wording {
        let Started {
            carriage,
            nut,
            frame,
            ..
        } = *bench.started;
        let (_, caught) = self.second();
        let step = Step {
            action: "slide the carriage in".into(),
            pieces: vec![carriage, nut, frame],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Slide the carriage with its nut into the frame's open end, its wide bore first, its \
                 rib in the slot, until its far face stands {} inside the frame's open end: measure \
                 with the caliper's depth rod. It must slide by its own weight; if it does not, file \
                 its sides lightly until it does.",
                bench.told().length(self.far_face_inside(-caught), BENCH)
            ),
            reason: "nothing passes the channel once the keeper is in".into(),
        };
        let mut moved = vec![carriage, nut];
        moved.sort_unstable();
        let together = going(&moved, MotionKind::Straight, Axis::Z, false, turn);
        Wording {
            covers: vec![together],
            step,
            state: None,
        }
    }

    /// The drive screw, alone in the thread that catches first, or in neither yet.
    fn drive_in(&self, pieces: &Pieces) -> Vec<Wording> {
        let turn = self.sizes.stroke.assembly_turn;
        let drive = pieces.started.drive;
        let ways = [MotionKind::Helical, MotionKind::Straight];
        let wording = |kind: MotionKind| Wording {
            covers: vec![going(&[drive], kind, Axis::Z, true, turn)],
            step: self.start_drive(pieces),
            state: None,
        };
        ways.map(wording).into()
    }

    fn start_drive(&self, pieces: &Pieces) -> Step {
        let turning = self.turning(pieces);
        let told = self.kit.told();
        let Started {
            drive, frame, nut, ..
        } = pieces.started;
        let start = self.sizes.stroke.assembly_turn;
        let way = inwards(turning.hand());
        let off = told.length(self.sizes.drive.head_gap(start), BENCH);
        let place = format!(
            "until the {v} on the {head} stands in line with the {v} beside the frame's slot and {} \
             stands {off} off the frame",
            self.head.words().underside,
            v = vs(turning.hand()),
            head = self.head.words().name,
        );
        let called = called_place(start);
        let (pieces, text): (Vec<InstanceId>, String) = match self.first() {
            Some(Which::Thick) => (
                vec![drive, frame],
                format!(
                    "Pass the drive screw's thin end through the frame's tapped end and screw its thick \
                     thread in, {way} seen from the drive head, {place}. {called} The thin thread has \
                     not caught in the nut yet."
                ),
            ),
            Some(Which::Thin) => (
                vec![drive, nut],
                format!(
                    "Pass the drive screw's thin end through the frame's tapped end and into the \
                     carriage. Hold the carriage where it is and screw the thin thread into the nut, \
                     {way} seen from the drive head, {place}. {called} The thick thread has not caught \
                     in the frame yet."
                ),
            ),
            None => (
                vec![drive, frame],
                format!(
                    "Pass the drive screw's thin end through the frame's tapped end and into the \
                     carriage, {place}. {called} Neither thread has caught yet: hold the drive screw \
                     there, to within {} either way.",
                    told.length(self.sizes.drive.thread.lead() / 2.0, BENCH)
                ),
            ),
        };
        Step {
            action: "start the drive screw".into(),
            pieces,
            motion: None,
            eye: self.first().map(|_| Eye::DriveHead),
            shows: None,
            text,
            reason: "where the carriage stands when the second thread catches decides where the \
                     drive screw stands ever after"
                .into(),
        }
    }

    /// On to turn 0, past where the second thread catches.
    fn to_zero(&self, pieces: &Pieces) -> Wording {
        let (second, caught) = self.second();
        let told = self.kit.told();
        let turning = self.turning(pieces);
        turning.to_zero(&Way {
            carriage: format!(
                "within the first turn or so the {} catches; until it does, hold the carriage so that \
                 its far face stands {} inside the frame's open end, to within {} either way, and move \
                 it no further than that to find the catch. Then let go: the carriage comes on by {} a \
                 turn",
                second.named(),
                told.length(self.far_face_inside(-caught), BENCH),
                told.length(self.lead_of(second) / 2.0, BENCH),
                told.length(self.sizes.stroke.net_lead, FINE),
            ),
            more: String::new(),
            reason: "from turn 0 on your count of turns tells where the carriage is".into(),
        })
    }

    /// What comes out of the keeper while the stroke is carried out; nothing where nothing does.
    fn mind_the_tip(&self, bench: &Bench<'_>) -> String {
        let out = self.sizes.tip_out(self.sizes.stroke.turns);
        if out <= Length::ZERO {
            return String::new();
        }
        format!(
            " At the end of the stroke the drive screw's tip comes {} out of the keeper: keep fingers \
             and whatever stands behind it clear of it.",
            bench.told().length(out, BENCH)
        )
    }

    /// The measurement that tells whether the drive screw stands at a place that its threads have room
    /// for.
    fn check(&self, bench: &Bench<'_>) -> Step {
        let (sizes, told) = (&self.sizes, bench.told());
        let [least, most] = self.at_the_stop();
        let head = self.head.words();
        let hand = sizes.drive.thread.hand();
        let (second, _) = self.second();
        let shift = told.length(self.lead_of(second), BENCH);
        let [more, less] = ["towards the drive head", "towards the open end"];
        Step {
            action: "measure, and run the stroke".into(),
            pieces: vec![bench.started.drive, bench.started.frame],
            motion: None,
            eye: Some(Eye::DriveHead),
            shows: None,
            text: format!(
                "Turn the drive screw {} gently until the carriage stops. Measure from the frame to {}: \
                 anything {} will do, since the nut may stand on any of its {PLACES:.0} flats, which \
                 shifts the drive screw by {} each. If it is more, drive the stop pin \
                 out ({way}), go back to where the drive screw was started and hold the carriage {shift} \
                 further {more} there; if it is less, {shift} further {less}. Each such step changes \
                 the distance by {}. If it differs otherwise, look for dirt or a flare that stops the \
                 carriage early, and for parts printed at another scale. Then run the whole stroke once \
                 by hand: at both ends the carriage must stop it, never the {} on the frame. There turn \
                 no harder than {}, now and later.",
                outwards(hand),
                head.underside,
                told.between(least, most, BENCH),
                told.length(sizes.rung / PLACES, BENCH),
                told.length(sizes.rung, BENCH),
                head.name,
                told.torque(*self.kit.hand_torque),
                way = told_apart(),
            ),
            reason: "this one distance tells whether the drive screw's threads last for the whole stroke"
                .into(),
        }
    }
    /// The least and the most that the head stands off the frame with the carriage back on the stop pin,
    /// without play and with all of it, at the outermost places of the nut.
    fn at_the_stop(&self) -> [Length; 2] {
        let (drive, stroke) = (&self.sizes.drive, &self.sizes.stroke);
        let per_travel = drive.thread.lead() / stroke.net_lead;
        let at_stop = drive.head_gap(0.0) + OVER_TRAVEL * per_travel;
        let layer = *self.kit.layer * per_travel;
        let play = stroke.play / 2.0 * per_travel;
        let half = self.sizes.rung / 2.0;
        [at_stop - half - layer, at_stop + half + play + layer]
    }

    /// What is measured there, for a gauge: the next rung begins where this one's places end.
    pub(super) fn last_check(&self, pieces: &Pieces) -> LastCheck {
        LastCheck {
            pieces: [pieces.started.drive, pieces.started.frame],
            faces: [self.sizes.drive.head_face(), Length::ZERO],
            window: self.at_the_stop(),
            wrong: None,
            between: Between::FrameAnd(self.head.words().underside),
        }
    }
}
