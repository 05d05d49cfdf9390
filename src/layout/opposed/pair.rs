//! Which pairs of threads make an opposed mechanism.

use crate::diagnostic::Diagnostic;
use crate::kit::{self, Kit, key};
use crate::layout::limits::{LEAST_NET_LEAD, TENTH, problem};
use crate::layout::proportions::HALF;
use crate::thread::Thread;
use crate::units::Length;

/// A spigot, or the journal at the far end, is thinner than the bore of the nut that goes over it by
/// this. Guess: twice a thread's radial gap and what two printed parts may lean.
const UNDER_MINOR: Length = Length::mm(0.8);

/// Thinnest spigot: less is left beside its pin than bears two fingers. Guess.
const LEAST_SPIGOT: Length = Length::mm(8.0);

/// Diameter of a plain stretch that the nut of a thread goes over.
pub(super) fn passes(thread: &Thread) -> Length {
    (thread.minor_internal() - UNDER_MINOR).down_to(HALF)
}

/// Why a pair of threads makes no mechanism; empty if it does.
pub(super) fn problems(kit: &Kit, threads: &kit::Opposed) -> Vec<Diagnostic> {
    let kit::Opposed { drive, far } = threads;
    let mut problems = Vec::new();
    if drive.hand() == far.hand() {
        problems.push(same_hands(kit, threads));
    }
    problems.extend(too_thin(kit, drive, key::DRIVE.name()));
    problems.extend(too_thin(kit, far, key::FAR.name()));
    for (thread, key) in [(drive, key::DRIVE.name()), (far, key::FAR.name())] {
        if thread.lead() <= LEAST_NET_LEAD {
            problems.push(too_fine(kit, thread, key));
        }
    }
    problems
}

/// Two nuts that one screw moves the same way.
fn same_hands(kit: &Kit, threads: &kit::Opposed) -> Diagnostic {
    let kit::Opposed { drive, far } = threads;
    let other = far.clone().with_hand(far.hand().other());
    problem(
        format!(
            "{} and {} have the same hand: both carriages would go the same way, and come nearer to \
             each other only by the difference of their leads",
            drive.designation(),
            far.designation()
        ),
        kit.place_of(&[key::FAR.name(), key::DRIVE.name()]),
        "winds the same way",
        format!(
            "write `far = \"{}\"`, or take `layout = \"tandem\"` for a difference of leads",
            other.designation()
        ),
    )
}

/// A thread whose shaft would be too thin where the other one, or the keeper, holds it.
fn too_thin(kit: &Kit, thread: &Thread, key: kit::KeyPath) -> Option<Diagnostic> {
    if passes(thread) >= LEAST_SPIGOT {
        return None;
    }
    let told = kit.told();
    let least = LEAST_SPIGOT + UNDER_MINOR + (thread.major() - thread.minor_internal());
    Some(problem(
        format!(
            "{} leaves {} of its shaft where its nut has to go over it, at least {}",
            thread.designation(),
            told.length(passes(thread).max(Length::ZERO), 2),
            told.length(LEAST_SPIGOT, 2)
        ),
        kit.place_of(&[key]),
        "too thin for a shaft in two pieces",
        format!(
            "write a diameter of at least {}, or a smaller pitch",
            told.length(least.up_to(TENTH), 1)
        ),
    ))
}

fn too_fine(kit: &Kit, thread: &Thread, key: kit::KeyPath) -> Diagnostic {
    let told = kit.told();
    problem(
        format!(
            "{} moves its carriage {} a turn; at least {}",
            thread.designation(),
            told.length(thread.lead(), 3),
            told.length(LEAST_NET_LEAD, 3)
        ),
        kit.place_of(&[key]),
        "too fine",
        "write a coarser pitch".into(),
    )
}
