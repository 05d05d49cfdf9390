//! Which pairs of threads make a nested mechanism.

use super::super::elements::free_tip;
use super::super::limits::{LEAST_NET_LEAD, TENTH, problem};
use super::super::proportions::{
    CHAMFER_BEYOND_THREAD, LEAST_WALL_LINES, NECK_BELOW_ROOT, chamfer_length,
};
use crate::diagnostic::Diagnostic;
use crate::kit::{self, Kit, key};
use crate::thread::Thread;
use crate::units::Length;

/// Leads that differ by less are one. Far below any pitch, far above rounding.
const SAME_LEAD: Length = Length::mm(1e-9);

/// What every bore leaves of the drive screw at the least, whatever the kit waives: one line.
/// Guess.
const LEAST_DRAWN_WALL: Length = Length::mm(0.4);

/// Least radius in which a screw's tip ends, so that its end is still a face: half a line. Guess.
const LEAST_TIP: Length = Length::mm(0.2);

/// Least that a chamfer of the drive screw's end goes beyond its thread: the root must not lie on
/// the contour.
const LEAST_BEYOND_THREAD: Length = NECK_BELOW_ROOT;

/// Steps in which those chamfers shrink, so that none leaves a sliver beside the full one.
const HUNDREDTH: Length = Length::mm(0.01);

/// The travel of the carriage in one turn that carries out the stroke; negative or zero when
/// the pair does not make a mechanism.
pub(super) fn net_lead(threads: &kit::Nested) -> Length {
    let kit::Nested { drive, inner } = threads;
    match inner.hand() == drive.hand() {
        true => drive.lead() - inner.lead(),
        false => drive.lead() + inner.lead(),
    }
}

/// What a bore leaves of the drive screw at its root.
pub(super) fn wall(threads: &kit::Nested, gap: Length) -> Length {
    threads.drive.minor_internal() / 2.0 - (threads.inner.major() / 2.0 + gap)
}

/// How far the tip's chamfer and the bore's mouth each go beyond their threads at the drive
/// screw's end, whose wall this is: as anywhere, or less where else no ring of end face were left
/// between them. A wall of [`LEAST_DRAWN_WALL`] keeps 0.3 mm, more than the coarsest tolerance.
pub(super) fn end_chamfer(wall: Length) -> Length {
    ((wall - LEAST_DRAWN_WALL) / 2.0)
        .down_to(HUNDREDTH)
        .max(LEAST_BEYOND_THREAD)
        .min(CHAMFER_BEYOND_THREAD)
}

/// Why a pair of threads makes no mechanism, with the gap between them as drawn; empty if it
/// does.
pub(super) fn problems(kit: &Kit, threads: &kit::Nested, gap: Length) -> Vec<Diagnostic> {
    let kit::Nested { drive, inner } = threads;
    let mut problems = Vec::new();
    let net = net_lead(threads);
    let told = kit.told();
    if net <= LEAST_NET_LEAD {
        problems.push(no_net_lead(kit, drive, inner, net));
    }
    if free_tip(inner) < LEAST_TIP {
        problems.push(no_tip(kit, inner));
    }
    let wall = wall(threads, gap);
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

/// An inner screw whose thread is so coarse for its diameter that nothing is left of its tip.
fn no_tip(kit: &Kit, inner: &Thread) -> Diagnostic {
    let told = kit.told();
    // The depth goes with the pitch.
    let deepest = (inner.major() / 2.0 - CHAMFER_BEYOND_THREAD - LEAST_TIP).max(Length::ZERO);
    let pitch = (inner.pitch() * (deepest / inner.depth())).down_to(HUNDREDTH);
    let thickest = (chamfer_length(inner) + LEAST_TIP) * 2.0;
    problem(
        format!(
            "inner thread {} is too coarse for its diameter: its tip has a radius of {}, at least {}",
            inner.designation(),
            told.length(free_tip(inner), 3),
            told.length(LEAST_TIP, 3)
        ),
        kit.place_of(&[key::INNER.name()]),
        "cut too deep",
        format!(
            "write a pitch of at most {}, or a diameter of at least {}",
            told.length(pitch, 2),
            told.length(thickest.up_to(TENTH), 1)
        ),
    )
}

fn no_net_lead(kit: &Kit, drive: &Thread, inner: &Thread, net: Length) -> Diagnostic {
    let told = kit.told();
    let (message, mend) = if net.abs() < SAME_LEAD {
        (
            format!(
                "{} in {} moves the carriage nowhere: both leads are alike; at least {}",
                inner.designation(),
                drive.designation(),
                told.length(LEAST_NET_LEAD, 3)
            ),
            "give the inner thread a smaller lead than the drive's, or the other hand (`-LH`)",
        )
    } else if net < Length::ZERO {
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
