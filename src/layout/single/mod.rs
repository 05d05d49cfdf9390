//! *single*: the frame is tapped, and the drive screw pushes and pulls the carriage through a
//! swivel, a groove and two pins. Net lead L1.
//!
//! It stands in a round house.

mod drive;
mod limits;
mod members;
mod pieces;
mod sizes;
mod steps;

use super::feature::{self, Dial, Head, Index, Reading};
use super::gaps::Gaps;
use super::round_house::members::meeting;
use super::round_house::steps::Tells;
use super::words::way_in;
use super::{Design, accepted};
use crate::diagnostic::Diagnostic;
use crate::kit::{self, Kit};
use crate::printer::Profile;
use sizes::{SingleGaps, Sizes};

/// A single mechanism, sized.
struct Single<'a> {
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
    threads: &kit::Single,
    profile: &Profile,
) -> Result<Design, Vec<Diagnostic>> {
    let mut gaps = Gaps::new(kit, profile);
    let drawn = SingleGaps::new(&mut gaps, kit, threads);
    accepted(gaps.problems())?;
    let reading = Reading {
        net_lead: threads.drive.lead(),
        advance: way_in(threads.drive.hand()),
        index: Index::Bar,
    };
    let head = feature::head(kit, &threads.drive, reading)?;
    let single = Single {
        kit,
        sizes: Sizes::new(kit, threads, drawn, head.as_ref()),
        head,
    };
    accepted(single.cannot_be_drawn())?;
    Ok(single.design())
}

impl Single<'_> {
    fn design(&self) -> Design {
        let Sizes {
            house,
            drive,
            stroke,
            ..
        } = &self.sizes;
        let (pieces, assembly, threads) = self.assembled();
        let bench = self.bench(&pieces);
        Design {
            course: stroke.course(&drive.thread),
            net_lead: stroke.net_lead,
            steps: Vec::new(),
            script: self.script(&bench, &pieces),
            regions: self.regions(&pieces),
            caption: "The carriage hangs on the drive screw by a swivel and moves by its whole \
                      lead in each turn.",
            members: self.members(&pieces),
            threads,
            distances: self.distances(&pieces),
            starts: self.starts(&pieces),
            last_check: bench.last_check(&Tells::Nothing),
            peepholes: house.peepholes(pieces.parts.keeper),
            depth_read: house.depth_read(),
            frame_side: Some(house.frame_side),
            meeting: meeting(&[]),
            // It is the plain screw.
            plain: None,
            dial: self.head.dial().map(Dial::told),
            fasteners: bench.fasteners(),
            tools: bench.tools(Vec::new()),
            cautions: feature::cautions(self.kit),
            assembly,
        }
    }
}
