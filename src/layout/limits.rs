//! What cannot be drawn: pairs that make no mechanism, and sizes that leave no part.
//!
//! These are not matters of judgement, so no kit can waive them; every one names the line
//! that caused it.

use super::rules::*;
use super::sizes::{End, Nested, Sizes, chamfer_length, net_lead};
use super::tool::run_out;
use crate::diagnostic::{Diagnostic, Severity};
use crate::kit::{Kit, Said, key};
use crate::printer::Profile;
use crate::thread::Thread;
use crate::units::Length;
use std::ops::Range;

/// Least net lead, in mm: below it lost motion is all there is. Guess.
const LEAST_NET_LEAD: Length = Length::mm(0.1);

/// What every bore leaves of the drive screw at the least, whatever the kit waives: one line.
/// Guess.
const LEAST_DRAWN_WALL: Length = Length::mm(0.4);

/// Why a pair of threads makes no mechanism; empty if it does.
pub(super) fn of_threads(kit: &Kit, profile: &Profile) -> Vec<Diagnostic> {
    let Some(inner) = kit.mechanism.inner() else {
        return Vec::new();
    };
    let gap = super::sizes::Gaps::new(kit, profile).thread.drawn;
    let mut problems = Vec::new();
    let drive = kit.mechanism.drive();
    let net = net_lead(drive, Some(inner));
    let told = kit.told();
    if net <= LEAST_NET_LEAD {
        problems.push(no_net_lead(kit, drive, inner, net));
    }
    let wall = (drive.minor_internal() - inner.major()) / 2.0 - gap;
    if wall < LEAST_DRAWN_WALL {
        // What is proposed also passes the check of that wall.
        let good = LEAST_DRAWN_WALL.max(*kit.line * LEAST_WALL_LINES);
        let room = drive.minor_internal() - (gap + good) * 2.0;
        problems.push(problem(
            format!(
                "inner thread {} does not fit inside {}: its bore leaves a wall of {}, at least {}",
                inner.designation(),
                drive.designation(),
                told.length(wall, 3),
                told.length(LEAST_DRAWN_WALL, 3)
            ),
            kit.place_of(&[key::INNER.name()]),
            "too thick for the drive screw",
            format!(
                "write an inner thread of at most {}, or a thicker `drive`",
                told.length(room.down_to(TENTH), 1)
            ),
        ));
    }
    problems
}

fn no_net_lead(kit: &Kit, drive: &Thread, inner: &Thread, net: Length) -> Diagnostic {
    let told = kit.told();
    let (message, mend) = if net <= Length::ZERO {
        (
            format!(
                "{} in {} draws the carriage back by {} a turn; forwards by at least {}",
                inner.designation(),
                drive.designation(),
                told.length(net.abs(), 3),
                told.length(LEAST_NET_LEAD, 3)
            ),
            "give the inner thread a smaller lead than the drive's, or the other hand (`-LH`)",
        )
    } else {
        (
            format!(
                "{} in {} moves the carriage only {} a turn; at least {}",
                inner.designation(),
                drive.designation(),
                told.length(net, 3),
                told.length(LEAST_NET_LEAD, 3)
            ),
            "choose two threads whose leads differ more",
        )
    };
    problem(
        message,
        kit.place_of(&[key::INNER.name()]),
        "against the drive's lead",
        mend.into(),
    )
}

fn problem(message: String, at: Option<Range<usize>>, label: &str, mend: String) -> Diagnostic {
    Diagnostic {
        severity: Severity::Error,
        message,
        at,
        label: label.into(),
        mend: Some(mend),
    }
}

/// A size and the least or greatest that can be drawn.
struct Bound<'a> {
    /// What it is, as people call it.
    name: &'static str,
    /// Its key, by which a kit sets it.
    key: &'static str,
    value: Length,
    least: Option<Length>,
    most: Option<Length>,
    /// What sets the bound.
    reason: &'static str,
    said: Option<&'a Said<Length>>,
    /// What to do when no value of its own key helps.
    no_room: &'static str,
}

/// What to do when no value of a size's own key helps.
const NO_ROOM: &str = "take a thicker `drive`";

/// Steps in which a diameter is proposed.
const TENTH: Length = Length::mm(0.1);

/// Why sizes leave no part to draw; empty if they do.
pub(super) fn of_sizes(kit: &Kit, sizes: &Sizes) -> Vec<Diagnostic> {
    let mut bounds = common_bounds(kit, sizes);
    match &sizes.end {
        End::Nested(nested) => bounds.extend(nested_bounds(kit, sizes, nested)),
        End::Single(tip) => bounds.push(Bound {
            name: "radius of the groove in the drive screw's tip",
            key: "drive",
            value: tip.groove_radius,
            least: Some(SMALLEST_NECK),
            most: None,
            reason: "a swivel's neck must carry the pull",
            said: None,
            no_room: NO_ROOM,
        }),
    }
    bounds
        .iter()
        .filter_map(|bound| bound.broken(kit))
        .collect()
}

/// Way back from touching that a hand can still tell as one: a thin layer. Guess.
const LEAST_TURN_BACK: Length = Length::mm(0.1);

/// Radius of the smallest swivel neck. Guess.
const SMALLEST_NECK: Length = Length::mm(2.5);

impl Bound<'_> {
    fn broken(&self, kit: &Kit) -> Option<Diagnostic> {
        let (limit, word) = match (self.least, self.most) {
            (Some(least), _) if self.value < least - ROUNDING => (least, "at least"),
            (_, Some(most)) if self.value > most + ROUNDING => (most, "at most"),
            _ => return None,
        };
        let told = kit.told();
        let limit = told.length(limit, 2);
        let at = self.said.and_then(|said| said.at.clone());
        // Below the least nothing helps if that is above the most, nor above the most of what
        // follows from everything else.
        let derived = at.is_none() && word == "at most";
        let closed = matches!((self.least, self.most), (Some(least), Some(most)) if least > most);
        let mend = match &at {
            _ if closed || derived => self.no_room.into(),
            Some(_) => format!("write {} of {word} {limit}, or leave it out", self.key),
            None if self.key.starts_with('`') => {
                format!("set {} yourself, or take thicker threads", self.key)
            }
            None => "take a thicker thread".into(),
        };
        let fallback = kit.place_of(&[key::INNER.name()]);
        Some(problem(
            format!(
                "the {} is {}, {word} {limit}: {}",
                self.name,
                told.length(self.value, 2),
                self.reason
            ),
            at.or(fallback)
                .or_else(|| kit.place_of(&[key::DRIVE.name()])),
            "",
            mend,
        ))
    }
}

/// Rounding of sums of doubles. Far below a layer.
const ROUNDING: Length = Length::mm(1e-9);

/// Least thread that has a neck, a run-out, a turn and a chamfer.
fn least_thread(thread: &Thread) -> Length {
    run_out(thread) + chamfer_length(thread) + OVERCUT * 2.0 + thread.pitch()
}

fn common_bounds<'a>(kit: &'a Kit, sizes: &Sizes) -> Vec<Bound<'a>> {
    let overrides = &kit.sizes;
    let gaps = &sizes.gaps;
    let clear = super::frame::clear_bore(sizes);
    let pin_hole = sizes.pin_diameter + gaps.locate_pin.drawn * 2.0;
    let mouth = pin_hole + EDGE * 2.0;
    let least = |name, key, value, least, reason, said: &'a Option<Said<Length>>| Bound {
        name,
        key,
        value,
        least: Some(least),
        most: None,
        reason,
        said: said.as_ref(),
        no_room: NO_ROOM,
    };
    let shaft = sizes.drive.major() + EDGE * 2.0;
    let beside_pins = sizes.keeper_pin_offset * 2.0 + mouth + UPRIGHT_EDGE * 2.0;
    vec![
        least(
            "tapped wall",
            "`sizes.tapped_wall`",
            sizes.tapped_wall,
            chamfer_length(&sizes.drive) * 2.0 + sizes.drive.pitch(),
            "a turn of thread and two countersinks",
            &overrides.tapped_wall,
        ),
        least(
            "drive screw's thread",
            "`sizes.drive_thread`",
            sizes.drive_thread,
            least_thread(&sizes.drive),
            "neck, run-out, a turn and a chamfer",
            &overrides.drive_thread,
        ),
        least(
            "carriage's body",
            "`sizes.carriage_diameter`",
            sizes.carriage_diameter,
            (clear + EDGE * 2.0).max(sizes.socket_diameter / 2.0 + EDGE * 2.0) * 2.0,
            "it must stand on the shoulder around the drive screw and hold its socket",
            &overrides.carriage_diameter,
        ),
        least(
            "carriage's length",
            "`sizes.carriage_length`",
            sizes.carriage_length,
            sizes.socket_depth + BED_EDGE * 2.0,
            "the socket needs a floor",
            &overrides.carriage_length,
        ),
        least(
            "width of the carriage's ears",
            "`sizes.ear_width`",
            sizes.ear_width,
            mouth + EDGE,
            "the pin holes' mouths",
            &overrides.ear_width,
        ),
        least(
            "carriage's body",
            "`sizes.carriage_diameter`",
            sizes.carriage_diameter,
            sizes.ear_width + EDGE * 2.0,
            "it must be wider than its ears",
            &overrides.carriage_diameter,
        ),
        least(
            "side of the frame",
            "`sizes.frame_side`",
            sizes.frame_side,
            (sizes.guide() + UPRIGHT_EDGE * 4.0).max(beside_pins),
            "walls around guide and pins",
            &overrides.frame_side,
        ),
        least(
            "keeper's plug",
            "`sizes.keeper_plug`",
            sizes.keeper_plug,
            sizes.pin_diameter * KEEPER_PIN_PINS + pin_hole / 2.0 + BED_EDGE,
            "it must cover its pins",
            &overrides.keeper_plug,
        ),
        least(
            "hexagon's width",
            "`head.across_flats`",
            sizes.across_flats,
            shaft + EDGE * 2.0,
            "it must hold the shaft's foot",
            &kit.head.across_flats,
        ),
        least(
            "head's height",
            "`head.height`",
            sizes.head_height,
            OVERCUT * 4.0,
            "the shaft is embedded in it",
            &kit.head.height,
        ),
        Bound {
            name: "drive screw's thread",
            key: "`sizes.drive_thread`",
            value: sizes.drive_thread,
            least: Some(sizes.drive_thread - sizes.head_gap(sizes.assembly_turn) + LEAST_TURN_BACK),
            most: None,
            reason: "the head would run into the frame before the stroke ends",
            said: overrides.drive_thread.as_ref(),
            no_room: NO_ROOM,
        },
        Bound {
            name: "hole through the keeper",
            key: "`sizes.carriage_diameter`",
            value: sizes.keeper_bore,
            least: Some(HALF * 2.0),
            most: None,
            reason: "it must pass between the keeper's pins",
            said: overrides.carriage_diameter.as_ref(),
            no_room: NO_ROOM,
        },
    ]
}

fn nested_bounds<'a>(kit: &'a Kit, sizes: &Sizes, nested: &Nested) -> Vec<Bound<'a>> {
    let overrides = &kit.sizes;
    let gap = sizes.gaps.thread.drawn;
    let pin_hole = sizes.pin_diameter + sizes.gaps.locate_pin.drawn * 2.0;
    let passage = sizes.drive.minor_internal() + gap * 2.0 - GAP_AROUND_COLLAR * 2.0;
    let seat = nested.thread.major() + (gap + CHAMFER_BEYOND_THREAD + COLLAR_CONTACT) * 2.0;
    vec![
        Bound {
            name: "inner screw's thread",
            key: "`sizes.inner_thread`",
            value: nested.thread_length,
            least: Some(least_thread(&nested.thread)),
            most: None,
            reason: "neck, run-out, a turn and a chamfer",
            said: overrides.inner_thread.as_ref(),
            no_room: NO_ROOM,
        },
        Bound {
            name: "depth of the drive screw's bore",
            key: "`sizes.bore`",
            value: nested.bore,
            least: Some(
                (chamfer_length(&nested.thread) * 2.0 + nested.thread.pitch())
                    .max(nested.thread_length + LEAST_TURN_BACK),
            ),
            most: Some(sizes.drive_thread + sizes.head_height - FLOOR_UNDER_BORE),
            reason: "it must take the inner screw's thread until the collar touches, and end \
                     before the head does",
            said: overrides.bore.as_ref(),
            no_room: "shorten `stroke`, or take threads with a larger net lead",
        },
        Bound {
            name: "inner screw's collar",
            key: "`sizes.collar`",
            value: nested.collar,
            least: Some(seat.max(pin_hole + EDGE * 4.0)),
            most: Some(passage),
            reason: "it must touch the drive screw's end, hold the cross pin, and pass the \
                     frame's tapped hole",
            said: overrides.collar.as_ref(),
            no_room: "take a thicker `drive`, a thinner `inner`, or thinner pins (`pins.diameter`)",
        },
    ]
}

/// The collar reaches this far over the mouth of the drive screw's bore, to touch it. Guess.
const COLLAR_CONTACT: Length = Length::mm(0.2);

/// The collar passes the frame's tapped hole with this much room on a side. Guess.
const GAP_AROUND_COLLAR: Length = Length::mm(0.2);
