//! *nested*: drive screw in the frame, inner screw in the drive screw's tapped bore, pinned to
//! the carriage. Net lead L1 - L2 for the same hand, L1 + L2 for opposite hands.
//!
//! It stands in a round house.

mod drive;
mod inner;
mod limits;
mod members;
mod pair;
mod pieces;
mod sizes;
mod steps;

use super::feature::{self, Dial, Head, Index, Reading};
use super::gaps::Gaps;
use super::round_house::members::meeting;
use super::words::way_in;
use super::{Design, accepted};
use crate::diagnostic::Diagnostic;
use crate::kit::{self, Kit, key};
use crate::printer::Profile;
use sizes::{NestedGaps, Sizes};

/// A nested mechanism, sized.
struct Nested<'a> {
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
    threads: &kit::Nested,
    profile: &Profile,
) -> Result<Design, Vec<Diagnostic>> {
    let mut gaps = Gaps::new(kit, profile);
    let drawn = NestedGaps::new(&mut gaps, kit, threads);
    let mut problems = gaps.problems();
    problems.extend(pair::problems(kit, threads, drawn.inner.drawn()));
    accepted(problems)?;
    let reading = Reading {
        net_lead: pair::net_lead(threads),
        advance: way_in(threads.drive.hand()),
        index: Index::Bar,
    };
    let head = feature::head(kit, &threads.drive, reading)?;
    let nested = Nested {
        kit,
        sizes: Sizes::new(kit, threads, drawn, head.as_ref()),
        head,
    };
    accepted(nested.cannot_be_drawn())?;
    Ok(nested.design())
}

impl Nested<'_> {
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
            course: self.course(&pieces),
            net_lead: stroke.net_lead,
            steps: Vec::new(),
            script: self.script(&bench, &pieces),
            regions: self.regions(&pieces),
            caption: self.caption(),
            members: self.members(&pieces),
            threads,
            distances: self.distances(&pieces),
            starts: self.starts(&pieces),
            last_check: bench.last_check(&self.told_at_the_stop()),
            peepholes: house.peepholes(pieces.parts.keeper),
            depth_read: house.depth_read(),
            frame_side: Some(house.frame_side),
            meeting: meeting(&[
                key::INNER_THREAD.name(),
                key::BORE.name(),
                key::COLLAR.name(),
            ]),
            plain: Some(drive.thread.clone()),
            dial: self.head.dial().map(Dial::told),
            fasteners: bench.fasteners(),
            tools: bench.tools(steps::tools()),
            cautions: feature::cautions(self.kit),
            assembly,
        }
    }

    /// How it moves.
    fn caption(&self) -> &'static str {
        match self.sizes.same_hand {
            true => {
                "In each turn the drive screw goes into the frame by its lead and draws the inner \
                 screw into itself by the other lead: the carriage moves by the difference."
            }
            false => {
                "In each turn the drive screw goes into the frame by its lead and pushes the \
                 inner screw out of itself by the other lead, which has the opposite hand: the \
                 carriage moves by the sum."
            }
        }
    }
}
