//! Which pairs of threads make a nested mechanism.

use super::super::limits::{TENTH, problem};
use super::super::proportions::LEAST_WALL_LINES;
use crate::diagnostic::Diagnostic;
use crate::kit::{self, Kit, key};
use crate::thread::Thread;
use crate::units::Length;

/// Least net lead, in mm: below it lost motion is all there is. Guess.
const LEAST_NET_LEAD: Length = Length::mm(0.1);

/// Leads that differ by less are one. Far below any pitch, far above rounding.
const SAME_LEAD: Length = Length::mm(1e-9);

/// What every bore leaves of the drive screw at the least, whatever the kit waives: one line.
/// Guess.
const LEAST_DRAWN_WALL: Length = Length::mm(0.4);

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
