//! *tandem*: one stepped drive screw, whose thick thread runs in the frame's tapped wall and whose
//! thin one in a nut that the carriage holds. Net lead L1 - L2.
//!
//! It stands in a square house.

mod drive;
mod gaps;
mod limits;
mod members;
mod pair;
mod pieces;
mod sizes;
mod steps;

use super::feature::{self, Dial, Head, Index, Reading};
use super::gaps::Gaps;
use super::square_house::DEPTH_READ;
use super::square_house::members::meeting;
use super::words::way_in;
use super::{Design, accepted};
use crate::diagnostic::Diagnostic;
use crate::kit::{self, Kit, key};
use crate::printer::Profile;
use gaps::TandemGaps;
use sizes::Sizes;

/// A tandem mechanism, sized.
struct Tandem<'a> {
    kit: &'a Kit,
    threads: &'a kit::Tandem,
    sizes: Sizes,
    head: Box<dyn Head>,
}

/// The mechanism.
///
/// # Errors
/// Why it cannot be drawn.
pub(super) fn design(
    kit: &Kit,
    threads: &kit::Tandem,
    profile: &Profile,
) -> Result<Design, Vec<Diagnostic>> {
    let mut gaps = Gaps::new(kit, profile);
    let drawn = TandemGaps::new(&mut gaps, threads);
    let mut problems = gaps.problems();
    problems.extend(pair::problems(kit, threads, &drawn));
    accepted(problems)?;
    let reading = Reading {
        net_lead: pair::net_lead(threads),
        advance: way_in(threads.drive.hand()),
        index: Index::Bar,
    };
    let head = feature::head(kit, &threads.drive, reading)?;
    let tandem = Tandem {
        kit,
        threads,
        sizes: Sizes::new(kit, threads, drawn, head.as_ref()),
        head,
    };
    accepted(tandem.cannot_be_drawn())?;
    Ok(tandem.design())
}

impl Tandem<'_> {
    fn design(&self) -> Design {
        let stroke = &self.sizes.stroke;
        let (pieces, assembly, threads) = self.assembled();
        let bench = self.bench(&pieces);
        Design {
            course: self.course(&pieces),
            net_lead: stroke.net_lead,
            steps: Vec::new(),
            script: self.script(&bench, &pieces),
            regions: self.regions(&pieces),
            caption: "In each turn the drive screw goes into the frame by the lead of its thick \
                      thread and draws the carriage's nut back by the lead of its thin one: the \
                      carriage moves by the difference.",
            members: self.members(&pieces),
            threads,
            distances: self.distances(&pieces),
            // Nothing is put in place by touch: the steps say at which distances it starts.
            starts: Vec::new(),
            // The drive screw comes out of the keeper; the rib in the slot is measured instead.
            last_check: self.last_check(&pieces),
            peepholes: Vec::new(),
            depth_read: DEPTH_READ,
            frame_side: None,
            meeting: meeting(&[key::THIN_THREAD.name()]),
            plain: Some(self.sizes.drive.thread.clone()),
            dial: self.head.dial().map(Dial::told),
            fasteners: bench.fasteners(&assembly.carriages),
            tools: bench.tools(),
            cautions: feature::cautions(self.kit),
            assembly,
        }
    }
}
