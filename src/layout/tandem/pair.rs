//! Which pairs of threads make a tandem mechanism.

use super::gaps::TandemGaps;
use crate::diagnostic::Diagnostic;
use crate::kit::{self, Kit, key};
use crate::layout::elements::free_tip;
use crate::layout::limits::{LEAST_NET_LEAD, TENTH, problem};
use crate::layout::proportions::{CHAMFER_BEYOND_THREAD, EDGE, NECK_BELOW_ROOT};
use crate::thread::Thread;
use crate::units::Length;

/// The thin thread passes the frame's tapped wall with this much room on a side, as drawn. Guess.
const WALL_PASSAGE: Length = Length::mm(0.3);

/// Least radius in which the thin end's tip ends, so that its end is still a face. Guess: half a
/// line.
const LEAST_TIP: Length = Length::mm(0.2);

/// The travel of the carriage in one turn that carries out the stroke; negative or zero when the
/// pair does not make a mechanism.
pub(super) fn net_lead(threads: &kit::Tandem) -> Length {
    threads.drive.lead() - threads.thin.lead()
}

/// How far a shoulder's rim stands below the thick thread's root, so that the root clears it.
pub(super) const RIM_BELOW_ROOT: Length = NECK_BELOW_ROOT;

/// Radius of the neck on which the thin thread stands, fillet included.
fn foot(thin: &Thread, gap: Length) -> Length {
    thin.minor_internal() / 2.0 - NECK_BELOW_ROOT - gap + EDGE
}

/// Radius in which the thick thread ends at the shoulder: its tip's, or that of the thin end's foot
/// where that is wider.
pub(super) fn shoulder_rim(threads: &kit::Tandem, gap: Length) -> Length {
    free_tip(&threads.drive).max(foot(&threads.thin, gap))
}

/// Why a pair of threads makes no mechanism, with its gaps as drawn; empty if it does.
pub(super) fn problems(kit: &Kit, threads: &kit::Tandem, gaps: &TandemGaps) -> Vec<Diagnostic> {
    let mut problems = Vec::new();
    if threads.drive.hand() != threads.thin.hand() {
        problems.push(opposite_hands(kit, threads));
    }
    let net = net_lead(threads);
    if net <= LEAST_NET_LEAD {
        problems.push(no_net_lead(kit, threads, net));
    }
    problems.extend(too_thick(kit, threads, gaps));
    if free_tip(&threads.thin) < LEAST_TIP {
        problems.push(no_tip(kit, &threads.thin));
    }
    problems
}

fn opposite_hands(kit: &Kit, threads: &kit::Tandem) -> Diagnostic {
    let kit::Tandem { drive, thin, .. } = threads;
    problem(
        format!(
            "{} and {} have opposite hands: on one screw they would move the carriage by the sum \
             of their leads, more than either thread alone",
            drive.designation(),
            thin.designation()
        ),
        kit.place_of(&[key::THIN.name(), key::DRIVE.name()]),
        "winds the other way",
        format!(
            "write `thin = \"{}\"`, or take `layout = \"nested\"` for a quick feed",
            thin.clone().with_hand(drive.hand()).designation()
        ),
    )
}

fn no_net_lead(kit: &Kit, threads: &kit::Tandem, net: Length) -> Diagnostic {
    let kit::Tandem { drive, thin, .. } = threads;
    let told = kit.told();
    let mend = match net < -LEAST_NET_LEAD && thin.major() > drive.major() {
        true => "exchange the two: the coarser thread is the thick one in the frame".to_owned(),
        false => "give the thin thread a smaller lead than the drive's".to_owned(),
    };
    problem(
        format!(
            "{} behind {} moves the carriage {} a turn; at least {}",
            thin.designation(),
            drive.designation(),
            told.length(net, 3),
            told.length(LEAST_NET_LEAD, 3)
        ),
        kit.place_of(&[key::THIN.name()]),
        "against the drive's lead",
        mend,
    )
}

/// A thin thread that does not pass the wall, or stands on no shoulder.
fn too_thick(kit: &Kit, threads: &kit::Tandem, gaps: &TandemGaps) -> Option<Diagnostic> {
    let kit::Tandem { drive, thin, .. } = threads;
    let told = kit.told();
    let gap = gaps.house.thread.drawn();
    let passes = drive.minor_internal() + (gap - WALL_PASSAGE) * 2.0;
    // Its foot, which grows with it, must stay below the thick thread's root.
    let on_screw = gaps.nut.gap.on_male();
    let root = drive.minor_internal() / 2.0 - RIM_BELOW_ROOT;
    let beyond = (foot(thin, on_screw) - root) * 2.0;
    let most = passes.min(thin.major() - beyond);
    if thin.major() <= most {
        return None;
    }
    Some(problem(
        format!(
            "thin thread {} does not pass the frame's tapped wall for {}: it is {} thick, at most {}",
            thin.designation(),
            drive.designation(),
            told.length(thin.major(), 2),
            told.length(most, 2)
        ),
        kit.place_of(&[key::THIN.name()]),
        "too thick to go through",
        format!(
            "write a thin thread of at most {}, or a thicker `drive`",
            told.length(most.down_to(TENTH), 1)
        ),
    ))
}

/// A thin thread so coarse for its diameter that nothing is left of its tip.
fn no_tip(kit: &Kit, thin: &Thread) -> Diagnostic {
    let told = kit.told();
    let least = (thin.depth() + CHAMFER_BEYOND_THREAD + LEAST_TIP) * 2.0;
    problem(
        format!(
            "thin thread {} is too coarse for its diameter: its tip has a radius of {}, at least {}",
            thin.designation(),
            told.length(free_tip(thin), 3),
            told.length(LEAST_TIP, 3)
        ),
        kit.place_of(&[key::THIN.name()]),
        "cut too deep",
        format!(
            "write a diameter of at least {}, or a smaller pitch",
            told.length(least.up_to(TENTH), 1)
        ),
    )
}
