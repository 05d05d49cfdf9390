//! What moves when: the stroke and the way together as stages, in each of which all that moves turns and
//! goes evenly.

use super::tracks::Track;
use crate::assembly::InstanceId;
use crate::output::apart::{Leaving, Moved, Parting, Progress};

/// What a turn of the drive takes in the stroke, in seconds: slow enough to see which way it goes.
pub const STROKE_SECONDS_A_TURN: f64 = 1.0;
/// What a straight way takes while it goes together, in seconds. Guess: long enough to see where from.
pub const WAY_SECONDS: f64 = 0.8;
/// What a turn takes while it goes together, in seconds: a tenth of it is all that anybody wants to see.
const SCREWED_SECONDS_A_TURN: f64 = 0.25;
/// What lies between one piece and the next, in seconds. Guess.
const PAUSE_SECONDS: f64 = 0.3;
/// The most that a piece turns from one key to the next, in turns: readers take the short way round, which
/// is the right one below half a turn.
const KEY_TURNS: f64 = 0.125;
/// Turns that are none.
const NO_TURN: f64 = 1e-9;

/// Stages, one after the other.
#[derive(Clone, Debug)]
pub(super) struct Timeline {
    stages: Vec<Stage>,
}

/// From how far apart to how far.
#[derive(Clone, Copy, Debug)]
struct Stage {
    seconds: f64,
    from: Progress,
    to: Progress,
}

impl Timeline {
    /// The stroke of so many turns, from turn 0.
    pub(super) fn of_stroke(turns: f64) -> Self {
        let stage = Stage {
            seconds: turns * STROKE_SECONDS_A_TURN,
            from: Parting::together(0.0),
            to: Parting::together(turns),
        };
        Self {
            stages: vec![stage],
        }
    }

    /// From all apart to all together at turn 0; no stages where nothing comes apart.
    pub(super) fn of_assembly(parting: &Parting) -> Self {
        let mut timeline = Self { stages: Vec::new() };
        let mut now = parting.apart();
        let leavings = parting.leavings.iter().enumerate();
        for (index, leaving) in leavings.rev() {
            timeline.wait(now);
            now = timeline.turned(now, leaving.turn_after);
            now = timeline.joins(now, index, leaving);
        }
        timeline.turned(now, 0.0);
        timeline
    }

    fn wait(&mut self, now: Progress) {
        self.stages.push(Stage {
            seconds: PAUSE_SECONDS,
            from: now,
            to: now,
        });
    }

    /// Turns the mechanism, as far as it is together.
    fn turned(&mut self, now: Progress, turn: f64) -> Progress {
        let turns = (turn - now.turn).abs();
        if turns < NO_TURN {
            return now;
        }
        self.go(
            now,
            Progress { turn, ..now },
            turns * SCREWED_SECONDS_A_TURN,
        )
    }

    /// What left last comes back.
    fn joins(&mut self, now: Progress, index: usize, leaving: &Leaving) -> Progress {
        let at = |led: f64, on: f64, turn: f64| Progress {
            done: index,
            led,
            on,
            turn,
        };
        let away = at(1.0, 1.0, now.turn);
        let there = at(0.0, 0.0, leaving.turn);
        let driven = (leaving.turn_after - leaving.turn).abs();
        let screwed = leaving.turns.abs();
        if driven > NO_TURN {
            self.go(away, there, driven * SCREWED_SECONDS_A_TURN)
        } else if screwed > NO_TURN {
            let before = self.go(away, at(1.0, 0.0, now.turn), WAY_SECONDS);
            self.go(before, there, screwed * SCREWED_SECONDS_A_TURN)
        } else {
            self.go(away, there, WAY_SECONDS)
        }
    }

    fn go(&mut self, from: Progress, to: Progress, seconds: f64) -> Progress {
        self.stages.push(Stage { seconds, from, to });
        to
    }

    /// How a piece moves along it.
    pub(super) fn track(&self, parting: &Parting, piece: InstanceId) -> Track {
        let first = self.stages.first();
        let begin = first.map_or(Moved::NOT, |stage| parting.moved(piece, stage.from));
        let mut track = Track::from(begin);
        let mut time = 0.0;
        for stage in &self.stages {
            let [from, to] = [stage.from, stage.to].map(|at| parting.moved(piece, at));
            track.turn(time, stage.seconds, [from.turns, to.turns], KEY_TURNS);
            track.shift(time, stage.seconds, [from.shift, to.shift]);
            time += stage.seconds;
        }
        track
    }
}
