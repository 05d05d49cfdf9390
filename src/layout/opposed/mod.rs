//! *opposed*: a drive screw that does not travel, of two shafts of opposite hands, and two carriages
//! whose nuts run on them against each other. Closing lead L1 + L2; with equal leads the middle
//! between the carriages stays where it is.
//!
//! Frame, carriages and keeper have the section of a square house. The near shaft is held along the
//! axis by a collar between the frame's bearing wall and a slotted keeper; the far one sits on its
//! spigot by a sleeve, and a pin through both, which is reached through the frame's slot.

mod far;
mod frame;
mod limits;
mod members;
mod near;
mod pair;
mod pieces;
mod retainer;
mod sizes;
mod steps;

use super::feature::{self, Dial, Head, Index, Reading};
use super::gaps::Gaps;
use super::words::way_out;
use super::{Design, accepted};
use crate::diagnostic::Diagnostic;
use crate::kit::{self, Kit, key};
use crate::printer::Profile;
use sizes::{OpposedGaps, Sizes};

/// An opposed mechanism, sized.
struct Opposed<'a> {
    kit: &'a Kit,
    sizes: Sizes,
    head: Box<dyn Head>,
}

/// The mechanism.
///
/// # Errors
/// Why it cannot be drawn.
pub(super) fn design(
    kit: &Kit,
    threads: &kit::Opposed,
    profile: &Profile,
) -> Result<Design, Vec<Diagnostic>> {
    let mut gaps = Gaps::new(kit, profile);
    let drawn = OpposedGaps::new(&mut gaps, threads);
    let mut problems = gaps.problems();
    problems.extend(pair::problems(kit, threads));
    accepted(problems)?;
    let reading = Reading {
        net_lead: threads.drive.lead(),
        advance: way_out(threads.drive.hand()),
        index: Index::SideMark,
    };
    let head = feature::head(kit, &threads.drive, reading)?;
    let opposed = Opposed {
        kit,
        sizes: Sizes::new(kit, threads, drawn, head.as_ref()),
        head,
    };
    accepted(opposed.cannot_be_drawn())?;
    Ok(opposed.design())
}

impl Opposed<'_> {
    fn design(&self) -> Design {
        let (pieces, assembly, threads) = self.assembled();
        let bench = self.bench(&pieces);
        Design {
            course: self.course(&pieces),
            net_lead: self.sizes.stroke.net_lead,
            steps: Vec::new(),
            script: self.script(&bench, &pieces),
            regions: self.regions(&pieces),
            caption: "The drive screw turns and stays where it is; its two shafts wind opposite ways, \
                      so that each turn draws the carriages together by the sum of their leads.",
            members: self.members(&pieces),
            threads,
            distances: self.distances(&pieces),
            // Nothing is put in place by touch and turned back.
            starts: Vec::new(),
            // The far shaft fills the keeper's bore; the ribs in the slot are measured instead.
            last_check: self.last_check(&pieces),
            peepholes: Vec::new(),
            // The far carriage stands between, so no rod reaches; both ribs stand out of the frame.
            depth_read: "along the slot, a rule beside it, from the keeper's flange to the near carriage's rib",
            frame_side: None,
            meeting: vec![
                key::NUT_HEIGHT.name(),
                key::CARRIAGE_LENGTH.name(),
                key::CARRIAGE_WIDTH.name(),
                key::KEEPER_PLUG.name(),
                key::THREAD_ROOM.name(),
            ],
            plain: Some(self.sizes.near.thread.clone()),
            dial: self.head.dial().map(Dial::told),
            fasteners: self.fasteners(&assembly.carriages),
            tools: self.tools(),
            cautions: feature::cautions(self.kit),
            assembly,
        }
    }
}
