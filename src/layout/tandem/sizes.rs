//! Every size of a tandem mechanism, from stroke and threads; heights at turn 0 in the assembly.
//! Symbols are those of the sizing table in `docs/sizing.md`.
//!
//! With the carriage at one place the drive screw can stand only at places Q = L1 L2 / (L1 - L2)
//! apart, and which of them it comes to stand at follows from where its threads caught. Both threads
//! are longer by Q, so that any place within Q/2 of the middle one will do.

use super::gaps::TandemGaps;
use super::pair;
use crate::kit::{self, Kit};
use crate::layout::feature::{Head, spanner};
use crate::layout::proportions::*;
use crate::layout::square_house::end::{At, End};
use crate::layout::square_house::nut::Nut;
use crate::layout::square_house::{CarriageSizes, Crossing, House, Placing, end_wall};
use crate::layout::stroke::{DriveThread, Stroke, given, wanted_engagement};
use crate::thread::Thread;
use crate::units::Length;

/// The head stands this many leads off the frame at the far stop, at the worst place of the drive
/// screw. Guess: a turn back that hands can tell.
const HEAD_CLEAR_LEADS: f64 = 0.7;
/// Between the shoulder and the floor of the carriage's rear bore at the far stop, and between
/// carriage and wall where the threads catch. Guess: two faces' errors, and a finger's push.
const ROOM: Length = Length::mm(1.0);
/// The stop pin's own room behind the carriage. Guess: a wall of four lines.
const STOP_ROOM: Length = Length::mm(2.0);

/// Sizes of a tandem mechanism.
pub(super) struct Sizes {
    pub(super) house: House,
    /// The thick thread; it ends at the shoulder.
    pub(super) drive: DriveThread,
    pub(super) thin: ThinThread,
    pub(super) stroke: Stroke,
    /// Q, from one place of the drive screw to the next.
    pub(super) rung: Length,
    /// Turns before turn 0 from which on the thick thread, and the thin one, are in what they run in,
    /// the nut as it is drawn.
    pub(super) caught: [f64; 2],
}

/// The drive screw's thin end.
pub(super) struct ThinThread {
    pub(super) thread: Thread,
    /// Le2, engagement in the nut.
    pub(super) engagement: Length,
    /// Radial gap that is drawn on it: all of it where the nut is bought.
    pub(super) gap: Length,
    /// ztip, where it ends.
    pub(super) tip: Length,
}

/// What the nut is, before it is known where it stands.
struct NutSizes {
    across_flats: Length,
    height: Length,
    engagement: Length,
}

impl NutSizes {
    fn of(kit: &Kit, threads: &kit::Tandem) -> Self {
        let thin = &threads.thin;
        let countersinks = chamfer_length(thin) * 2.0;
        match &threads.nut {
            kit::Nut::Printed => {
                let engagement = wanted_engagement(thin);
                Self {
                    across_flats: spanner(kit, thin),
                    height: given(&kit.sizes.nut)
                        .unwrap_or_else(|| (engagement + countersinks).up_to(*kit.layer)),
                    engagement,
                }
            }
            // What a shop sells is as high as it is: the lowest one's full threads are wanted.
            kit::Nut::Bought(bought) => Self {
                across_flats: bought.across_flats,
                height: bought.height,
                engagement: (bought.least_height - countersinks).max(thin.pitch()),
            },
        }
    }
}

impl Sizes {
    /// Of a pair whose net lead is positive and whose thin thread passes the wall.
    pub(super) fn new(kit: &Kit, threads: &kit::Tandem, gaps: TandemGaps, head: &dyn Head) -> Self {
        let layer = *kit.layer;
        let (thick, thin) = (&threads.drive, &threads.thin);
        let TandemGaps {
            house: gaps,
            nut: nut_gap,
        } = gaps;
        let [lead, thin_lead] = [thick.lead(), thin.lead()];
        let net = pair::net_lead(threads);
        let seats = gaps.seat.allowed * 2.0;
        let play = thick.play(gaps.thread.allowed) + thin.play(nut_gap.allowed) + seats;
        let mut stroke = Stroke::new(kit, net, play);
        let (turns, over) = (stroke.turns, stroke.over_travel);
        let rung = lead * (thin_lead / net);
        let nut = NutSizes::of(kit, threads);

        let engagement = wanted_engagement(thick);
        let wall = given(&kit.sizes.tapped_wall)
            .unwrap_or_else(|| (engagement + chamfer_length(thick) * 2.0).up_to(layer));
        let shoulder = wall + rung / 2.0 + lead * over + chamfer_length(thick);
        let run = lead * (turns + over + HEAD_CLEAR_LEADS) + rung / 2.0;
        let length =
            given(&kit.sizes.drive_thread).unwrap_or_else(|| (shoulder + run).up_to(layer));

        // Behind the nut: what the thick thread needs in front of it.
        let need = rung + lead * over + chamfer_length(thick) + thin_lead * (turns + over) + ROOM;
        let through = nut.height + rung / 2.0 + thin_lead * over + chamfer_length(thin);
        let caught = [shoulder / lead, through / thin_lead];
        // At the outermost place of the drive screw both catch so much earlier.
        let earliest = [
            caught[0] + rung / 2.0 / lead,
            caught[1] + rung / 2.0 / thin_lead,
        ];
        let pin = given(&kit.pins.diameter).unwrap_or_else(|| gaps.pin_for(thin));
        let back = net * earliest[0].min(earliest[1]).ceil();
        let assembly_room = (pin + STOP_ROOM).max(back + ROOM);

        let crossing = Crossing {
            thick,
            thin,
            across_flats: nut.across_flats,
            pin,
        };
        let section = crossing.section(kit, &gaps, head);
        let end = End::new(kit, At::Far);
        let end_wall = end_wall(thin);
        let beyond = end.beyond_wall(end_wall);
        let around_nut = end_wall * 2.0 + beyond + nut.height + seats;
        let slender = end.least_carriage(&section, kit.friction().high);
        let long = given(&kit.sizes.carriage_length).unwrap_or(slender);
        let rear_bore = (need - assembly_room)
            .min(long - around_nut)
            .max(Length::ZERO);
        let carriage = CarriageSizes {
            length: given(&kit.sizes.carriage_length)
                .unwrap_or_else(|| (around_nut + rear_bore).max(long)),
            rear_bore,
            end_wall,
            beyond,
        };
        let behind = (need - rear_bore).max(assembly_room);
        let rear_face = (wall + behind).up_to(layer);
        let face = rear_face + rear_bore + end_wall + gaps.seat.allowed;
        let tip =
            given(&kit.sizes.thin_thread).map_or_else(|| face + through, |said| shoulder + said);
        let caught = [caught[0], (tip - face) / thin_lead];
        stroke.assembly_turn = -started(caught, back / net);
        let on_screw = nut_gap.gap.on_male();
        let placed = Placing {
            wall,
            head_face: shoulder - length,
            rear_face,
            carriage,
            nut: Nut {
                thread: thin.clone(),
                face,
                height: nut.height,
                across_flats: nut.across_flats,
                gap: nut_gap,
            },
            end,
        };
        Self {
            house: House::around(kit, gaps, &stroke, head, &crossing, placed),
            drive: DriveThread {
                thread: thick.clone(),
                engagement,
                tapped_wall: wall,
                end: shoulder,
                length,
            },
            thin: ThinThread {
                thread: thin.clone(),
                engagement: nut.engagement,
                gap: on_screw,
                tip,
            },
            stroke,
            rung,
            caught,
        }
    }

    /// How far the tip stands out of the keeper's flange at turn n; less than nothing inside.
    pub(super) fn tip_out(&self, n: f64) -> Length {
        let out = self.thin.tip + self.drive.thread.lead() * n;
        out - self.house.frame_length() - self.house.flange()
    }
}

/// The whole turn before turn 0 at which the drive screw is started: the first at which one of its
/// threads has not caught yet, or, where the other would hold by less than a turn, the next, if the
/// carriage can go so far back.
fn started(caught: [f64; 2], most: f64) -> f64 {
    let [one, other] = caught;
    let first = one.min(other).ceil();
    let hooked = (one.max(other) - first).max(0.0);
    match hooked > 0.0 && hooked < 1.0 && first + 1.0 <= most + ROUNDING {
        true => first + 1.0,
        false => first,
    }
}

/// Rounding of sums of turns.
const ROUNDING: f64 = 1e-9;
