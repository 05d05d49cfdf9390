//! Words for pressing pins, and what it takes: of every house whose pins are all alike.

use super::pins::{THICKER, THINNER, graded};
use super::proportions::{BELOW_FACE, FREE_IN_HOLE, GRADE_STEP};
use super::words::{BENCH, notched};
use crate::assembly::{InstanceId, PIN_PUNCH, Step, Tool};
use crate::kit::{Grip, Kit};
use crate::units::Length;

/// What a hand feels of crush ribs.
const FEELS_RIBS: &str = "It runs freely up to the last wall; there three ribs crush and hold it: \
                          a pin that still slips in is too loose, one that will not start too \
                          tight. ";
/// How the pin that suits a hole is chosen from its grades, and what to do if none does.
///
/// First the one that is drawn, since no thinner pin holds in ribs that a thicker one crushed, and
/// a thinner one than need be has play in the walls where it is not pressed.
fn choosing(grip: Grip) -> String {
    let wall = match grip {
        Grip::Ribs => "; there three ribs crush and hold it",
        Grip::Wall => ", which holds it",
    };
    format!(
        "First try a pin with {drawn}. By thumb it runs freely up to the last wall and no further\
         {wall}: go on with the vice, and before it is all the way in, pull: it must hold. If the \
         thumb pushes it on into that wall, or it comes out again, take a thicker pin ({thicker}). \
         If it binds before that wall, or will not start in it in the vice, take a thinner one \
         ({thinner}). Notches go in last, where they can be seen. If the thicker one slips too, \
         glue it, or wrap it in a turn of tape; if the thinner one binds too, file it. ",
        drawn = notched(0),
        thicker = notched(THICKER.notches),
        thinner = notched(THINNER.notches),
    )
}
/// How pins go in.
const PRESSING: &str = "Press with a vice, or tap with a soft mallet, never against your hand; \
                        wear eye protection.";

/// How a pin of its own goes in where no vice reaches.
const TAPPING: &str = "If it slips, glue it, or wrap it in a turn of tape; if it binds, file it. Tap \
                       with a soft mallet and the punch, never against your hand; wear eye \
                       protection.";

/// Pins of a kit at the bench, all of one diameter.
#[derive(Clone, Copy)]
pub(super) struct Pressing<'a> {
    pub(super) kit: &'a Kit,
    /// As drawn.
    pub(super) pin: Length,
}

impl Pressing<'_> {
    /// What a step says of the flats of printed pins; bought ones are round.
    pub(super) fn flats(&self, words: &'static str) -> &'static str {
        if self.bought_pins() { "" } else { words }
    }

    fn bought_pins(&self) -> bool {
        self.kit.pins.buy.is_some()
    }

    /// How deep pins go. Bought pins come in stock lengths, so their depth is told by the eye.
    pub(super) fn depth(&self, ends: &str) -> String {
        let feel = match (graded(self.kit), *self.kit.pins.held_by) {
            (true, grip) => choosing(grip),
            (false, Grip::Ribs) => FEELS_RIBS.into(),
            (false, Grip::Wall) => String::new(),
        };
        if self.bought_pins() {
            format!("Stop when {ends} equally far below the frame's two faces. {feel}{PRESSING}")
        } else {
            let below = self.kit.told().length(BELOW_FACE, BENCH);
            format!("Stop when {ends} {below} below the frame's faces. {feel}{PRESSING}")
        }
    }

    /// How deep a pin of its own goes, of which there is one grade, where no vice reaches: into what
    /// has two faces, `the sleeve's`. Only one that is bought may be shorter than drawn.
    pub(super) fn own_depth(&self, whose: &str, bought: bool) -> String {
        let feel = match *self.kit.pins.held_by {
            Grip::Ribs => FEELS_RIBS,
            Grip::Wall => "",
        };
        let stop = match bought {
            true => format!("Stop when its ends lie equally far below {whose} two faces."),
            false => {
                let below = self.kit.told().length(BELOW_FACE, BENCH);
                format!("Stop when its ends lie {below} below {whose} faces.")
            }
        };
        format!("{stop} {feel}{TAPPING}")
    }

    /// What sets pins below the faces, which neither vice nor mallet can, and drives them out: it
    /// goes into their holes, so it is thinner than the thinnest of them.
    fn punch(&self) -> String {
        let thinner = match graded(self.kit) {
            true => GRADE_STEP * 2.0,
            false => Length::ZERO,
        };
        let most = (self.pin - thinner - FREE_IN_HOLE).down_to(FREE_IN_HOLE);
        format!(
            "or a flat-ended rod, {} across at the most, to set the pins' ends below the faces \
             and to drive them out again; rest the far side on the open jaws of the vice, or on \
             wood with a hole under the pin",
            self.kit.told().length(most, BENCH)
        )
    }

    /// What the bench needs: common practice for pressed pins; `measured` is what a caliper is for.
    pub(super) fn tools(&self, measured: &'static str) -> Vec<Tool> {
        vec![
            Tool::new("vice", "or a soft mallet, to press the pins in"),
            Tool::new(PIN_PUNCH, self.punch()),
            Tool::new(
                "eye protection",
                "for whoever presses pins, and whoever stands near",
            ),
            Tool::new("knife", "or a file, to trim first layers and strings"),
            Tool::new("caliper", measured),
        ]
    }
}

/// A step that presses pins.
pub(super) fn press(action: &str, pieces: Vec<InstanceId>, text: String, reason: &str) -> Step {
    Step {
        action: action.into(),
        pieces,
        motion: None,
        eye: None,
        shows: None,
        text,
        reason: reason.into(),
    }
}
