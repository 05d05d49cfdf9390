//! Steps from an order: every motion that was found, in the layout's words where it has some.
//!
//! Words attach to a motion, never the other way round. A wording says for which motion it was
//! written: which pieces, how, and at which turn of the mechanism. Where the order has that
//! motion, in that place, it is told in those words; where it has another, in plain ones.

use super::found::{Order, Removed};
use super::speaker::{Speaker, clockwise};
use crate::assembly::{Eye, Going, InstanceId, Motion, MotionKind, Script, State, Step, Wording};
use crate::units::Length;
use crate::units_told::{number, turn};

/// The steps of an order. Where none was found, the layout's words stand without motions, in the
/// order in which it gives them, each once: what a maker who waives the check has to go by.
pub fn steps(order: &Order, script: &Script, speaker: &Speaker<'_>) -> Vec<Step> {
    let mut all = script.before.clone();
    if order.insertions().is_empty() {
        for wording in &script.wordings {
            if !all.iter().any(|step| step.action == wording.step.action) {
                all.push(wording.step.clone());
            }
        }
    }
    for (wording, told) in told_together(order, script) {
        all.push(match (wording, told.as_slice()) {
            (Some(wording), told) => worded(wording, told, speaker),
            (None, [first, ..]) => plain(first, speaker),
            (None, []) => continue,
        });
    }
    all.extend(script.after.iter().cloned());
    all
}

/// What is put in by every step of [`steps`], in the order in which it goes in: empty for those that
/// put nothing in. Empty as a whole where no order was found.
pub fn put_in<'a>(order: &'a Order, script: &Script) -> Vec<Vec<&'a Removed>> {
    let told = told_together(order, script);
    if told.is_empty() {
        return Vec::new();
    }
    let none = |steps: &[Step]| vec![Vec::new(); steps.len()];
    let mut all = none(&script.before);
    all.extend(told.into_iter().map(|(_, told)| told));
    all.extend(none(&script.after));
    all
}

/// Motions that are told in one step, and the words for them where the layout has some.
fn told_together<'a, 's>(
    order: &'a Order,
    script: &'s Script,
) -> Vec<(Option<&'s Wording>, Vec<&'a Removed>)> {
    let insertions = order.insertions();
    let mut all = Vec::new();
    let mut rest = insertions.as_slice();
    while !rest.is_empty() {
        let fits = |wording: &&Wording| {
            let covers = &wording.covers;
            covers.len() <= rest.len()
                && !covers.is_empty()
                && covers
                    .iter()
                    .zip(rest)
                    .all(|(going, found)| going.is(found))
        };
        // Of several that fit, the one that says most.
        let wordings = script.wordings.iter().filter(fits);
        let wording = wordings.max_by_key(|wording| wording.covers.len());
        let (told, left) = rest.split_at(wording.map_or(1, |wording| wording.covers.len()));
        all.push((wording, told.to_vec()));
        rest = left;
    }
    all
}

impl Going {
    fn is(&self, found: &Removed) -> bool {
        let way = found.way_in();
        let mut pieces = found.pieces.clone();
        pieces.sort_unstable();
        let positive = way.distance > Length::ZERO;
        // A motion of the whole mechanism moves whatever is there.
        let same_pieces = way.kind == MotionKind::Driven || self.pieces == pieces;
        same_pieces
            && self.kind == way.kind
            && self.axis == way.axis
            && self.positive.is_none_or(|wanted| wanted == positive)
            && (self.turn - found.turn).abs() < SAME_TURN
    }
}

/// Turns are whole; rounding apart, they are one when they differ by less.
const SAME_TURN: f64 = 1e-6;

fn worded(wording: &Wording, told: &[&Removed], speaker: &Speaker<'_>) -> Step {
    let mut step = wording.step.clone();
    step.motion = told.first().map(|removed| removed.way_in());
    let touch = told.iter().find_map(|removed| removed.touch);
    if let (Some(State { what, from }), Some(touch)) = (&wording.state, touch) {
        let off = speaker.told.length(touch.travel, BENCH);
        let shows = format!("Then {what} stands {off} off {from}.");
        step.text += &format!(" {shows}");
        step.shows = Some(shows);
    }
    // What the pieces of one step owe to each other needs no reason.
    let own: Vec<InstanceId> = told
        .iter()
        .flat_map(|removed| removed.pieces.clone())
        .collect();
    let found = told.iter().filter_map(|removed| {
        let mut removed = (*removed).clone();
        removed.waits.retain(|wait| !own.contains(&wait.blocker));
        speaker.reason(&removed)
    });
    for reason in found {
        if !step.reason.is_empty() {
            step.reason += "; ";
        }
        step.reason += &reason;
    }
    step
}

/// Decimals of a millimetre that a rule or a caliper can tell at the bench.
const BENCH: usize = 1;
/// A piece that could go less than this further in has been pushed until it touches, in mm.
/// Guess: half a layer is drawn where end faces meet.
const TOUCHING: Length = Length::mm(0.3);

/// A motion in words that fit any.
fn plain(removed: &Removed, speaker: &Speaker<'_>) -> Step {
    let way = removed.way_in();
    let who = speaker.names(&removed.pieces);
    let (action, mut text) = match way.kind {
        MotionKind::Driven => driven(removed, way),
        MotionKind::Helical => (
            format!("screw in {who}"),
            format!(
                "Screw {who} into {}, {} seen from the drive head, about {} turns.",
                speaker.names(&mates(removed)),
                clockwise(way.turns),
                number(way.turns.abs(), 0)
            ),
        ),
        MotionKind::Straight => (
            format!("put in {who}"),
            format!("Put in {who}: {}.", speaker.way(way)),
        ),
    };
    let mut shows = None;
    match &removed.touch {
        Some(touch) if way.kind == MotionKind::Straight && touch.travel < TOUCHING => {
            text += &format!(
                " It goes in until it touches {}.",
                speaker.name(touch.other)
            );
        }
        Some(touch) => shows = Some(speaker.state(touch)),
        None => {}
    }
    if let Some(shows) = &shows {
        text += &format!(" {shows}");
    }
    Step {
        action,
        pieces: handled(removed, speaker),
        motion: Some(way),
        eye: match way.kind {
            MotionKind::Straight => None,
            MotionKind::Helical | MotionKind::Driven => Some(Eye::DriveHead),
        },
        shows,
        text,
        reason: speaker.reason(removed).unwrap_or_default(),
    }
}

fn driven(removed: &Removed, way: Motion) -> (String, String) {
    (
        format!("turn the drive to {}", turn(removed.turn, 0)),
        format!(
            "Turn the drive screw {} by {} whole turns and count them: from {} to {}.",
            clockwise(way.turns),
            number(way.turns.abs(), 0),
            turn(removed.turn_after, 0),
            turn(removed.turn, 0)
        ),
    )
}

/// What a piece is screwed into: what it touches at last, or all that is there.
fn mates(removed: &Removed) -> Vec<InstanceId> {
    match removed.touch {
        Some(touch) => vec![touch.other],
        None => removed.rest.clone(),
    }
}

/// The pieces that a step handles.
fn handled(removed: &Removed, speaker: &Speaker<'_>) -> Vec<InstanceId> {
    match removed.is_driven() {
        true => vec![speaker.assembly.drive],
        false => removed.pieces.clone(),
    }
}
