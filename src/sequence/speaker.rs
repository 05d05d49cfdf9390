//! An order, said in the words of the bench: ways in and out, what to wait for, what to measure.
//!
//! Clockwise and counter-clockwise are said by an eye in front of the drive head.

use super::found::{Clash, Jam, Order, Removed, Touch};
use super::greedy::MOST_STATES;
use super::motion::Direction;
use crate::assembly::{Assembly, InstanceId, Motion, MotionKind, NamedRegion};
use crate::clearance::Feature;
use crate::units::Length;
use crate::units_told::{Told, number};

/// Decimals of a millimetre that a rule or a caliper can tell at the bench.
const BENCH: usize = 1;
/// Decimals of a millimetre of what is too wide.
const FINE: usize = 2;

/// Who says it: the pieces' names and the maker's units.
#[derive(Clone, Copy)]
pub struct Speaker<'a> {
    /// Names of the pieces, and what meets at which place.
    pub assembly: &'a Assembly,
    /// Units.
    pub told: Told,
}

impl Speaker<'_> {
    /// `inner screw`, `keeper pin 1`.
    pub fn bare(&self, piece: InstanceId) -> String {
        let name = self.assembly.instances.get(piece.0);
        name.map_or_else(|| "piece".into(), |piece| piece.called.clone())
    }

    /// `the inner screw`; a numbered piece has no article: `keeper pin 1`.
    pub fn name(&self, piece: InstanceId) -> String {
        let bare = self.bare(piece);
        if bare.ends_with(|last: char| last.is_ascii_digit()) {
            bare
        } else {
            format!("the {bare}")
        }
    }

    /// `the drive screw, the inner screw and keeper pin 1`.
    pub fn names(&self, pieces: &[InstanceId]) -> String {
        listed(pieces.iter().map(|piece| self.name(*piece)).collect())
    }

    /// How what stays had best lie.
    pub fn lies(&self, up: Direction) -> &'static str {
        self.assembly.sides.up[usize::from(up.axis)][usize::from(up.positive)]
    }

    /// Where a motion goes.
    fn towards(&self, motion: Motion) -> &'static str {
        let axis = motion.axis.index();
        let positive = motion.distance >= Length::ZERO;
        self.assembly.sides.towards[axis][usize::from(positive)]
    }

    /// How a motion goes: `straight, towards the V side, 12.3 mm`.
    pub fn way(&self, motion: Motion) -> String {
        match motion.kind {
            MotionKind::Straight => format!(
                "straight {}, {}",
                self.towards(motion),
                self.told.length(motion.distance.abs(), BENCH)
            ),
            MotionKind::Helical => format!(
                "{}, about {} turns, {}",
                clockwise(motion.turns),
                number(motion.turns.abs(), 0),
                self.towards(motion)
            ),
            MotionKind::Driven => format!(
                "the drive turned {} by {} turns",
                clockwise(motion.turns),
                number(motion.turns.abs(), 0)
            ),
        }
    }

    /// What a removal had to wait for, in a sentence without a full stop; none if for nothing.
    /// Removals are known by their place in the list, from 1.
    pub fn waited(&self, removed: &Removed) -> Option<String> {
        let numbered = |blocker: &InstanceId| {
            let wait = removed.waits.iter().find(|wait| wait.blocker == *blocker);
            let number = wait.map_or(0, |wait| wait.removal + 1);
            format!("{} ({number})", self.name(*blocker))
        };
        let said: Vec<String> = by_blocked(removed)
            .iter()
            .map(|(blocked, blockers)| {
                let blockers = listed(blockers.iter().map(numbered).collect());
                format!("{blockers}, in the way of {}", self.name(*blocked))
            })
            .collect();
        (!said.is_empty()).then(|| format!("had to wait for {}", said.join("; for ")))
    }

    /// Why a piece goes in before others: those stand in its way afterwards.
    pub fn reason(&self, removed: &Removed) -> Option<String> {
        let said: Vec<String> = by_blocked(removed)
            .iter()
            .map(|(blocked, blockers)| {
                let are = if blockers.len() > 1 { "are" } else { "is" };
                let way = if removed.is_driven() { "path" } else { "way" };
                format!(
                    "once {} {are} in, the {way} of {} is closed",
                    self.names(blockers),
                    self.name(*blocked)
                )
            })
            .collect();
        (!said.is_empty()).then(|| said.join("; "))
    }

    /// What a rule or a caliper should show when a screw is where it belongs.
    pub fn state(&self, touch: &Touch) -> String {
        format!(
            "Check: {} stands {} short of touching {}.",
            self.name(touch.piece),
            self.told.length(touch.travel, BENCH),
            self.name(touch.other)
        )
    }

    /// Why it does not come apart, in one sentence without a full stop.
    pub fn jam(&self, jam: &Jam, regions: &[NamedRegion]) -> String {
        let verdict = if jam.proved {
            "cannot be put together with these motions"
        } else {
            "are not proved to go together"
        };
        let stuck = format!("{} {verdict}", self.names(&jam.pieces));
        let stuck = match jam.cut_short {
            true => format!(
                "{stuck} (the search was cut short at {MOST_STATES} states, so an order may have been \
                 missed)"
            ),
            false => stuck,
        };
        match jam.causes.first() {
            None => stuck,
            Some(cause) => {
                let clashes: Vec<String> = cause
                    .iter()
                    .map(|clash| self.clash(clash, regions))
                    .collect();
                format!("{stuck}: {}", clashes.join(", and "))
            }
        }
    }

    /// `the inner screw's collar meets the frame's tapped hole after 3 mm: 0.9 mm too wide, make
    /// it at most 17.3 mm there`.
    pub fn clash(&self, clash: &Clash, regions: &[NamedRegion]) -> String {
        let [one, other] = [
            (clash.mover, clash.features[0]),
            (clash.other, clash.features[1]),
        ]
        .map(|(piece, feature)| self.feature(piece, feature, clash.point[2], regions));
        let after = self.told.length(clash.motion.distance.abs(), BENCH);
        let how = match clash.motion.kind {
            MotionKind::Helical => "unscrewed",
            _ => "drawn out straight",
        };
        let open = match clash.cut_short {
            true => " (at some angle they may pass: the search for one was cut short)",
            false => "",
        };
        let met = format!(
            "{one}, {how} {}, meets {other} after {after}{open}",
            self.towards(clash.motion)
        );
        match clash.too_wide {
            Some([least, most]) if most < least * AGREED => {
                let wide = format!("{met}: {} too wide", self.told.length(most * 2.0, FINE));
                match clash.passes {
                    Some(radius) => {
                        let across = self.told.length(radius * 2.0, FINE);
                        format!("{wide}, make it at most {across} there")
                    }
                    None => wide,
                }
            }
            Some([least, _]) => {
                let least = self.told.length(least * 2.0, FINE);
                format!("{met}: at least {least} too wide")
            }
            None => met,
        }
    }

    /// `the inner screw's collar`.
    fn feature(
        &self,
        piece: InstanceId,
        feature: Feature,
        height: f64,
        regions: &[NamedRegion],
    ) -> String {
        let name = self.name(piece);
        let at = |region: &&NamedRegion| {
            let [low, high] = region.z.map(Length::as_mm);
            region.piece == piece && (low - NEAR..=high + NEAR).contains(&height)
        };
        match (feature, regions.iter().find(at)) {
            (Feature::Thread(_), _) => format!("{name}'s thread"),
            (Feature::Body, Some(region)) => format!("{name}'s {}", region.name),
            (Feature::Body, None) => name,
        }
    }
}

/// Two bounds that differ by less than this factor mean the same thing, the greater. Guess: what
/// is round is met by facets that reach across half of the overlap or more.
const AGREED: f64 = 3.0;

/// A place of a name reaches this far beyond its ends, in mm: a chamfer. Guess.
const NEAR: f64 = 0.5;

/// Pieces whose way was closed, each with those that closed it; every one of these once.
fn by_blocked(removed: &Removed) -> Vec<(InstanceId, Vec<InstanceId>)> {
    let mut all: Vec<(InstanceId, Vec<InstanceId>)> = Vec::new();
    for wait in &removed.waits {
        if all
            .iter()
            .any(|(_, blockers)| blockers.contains(&wait.blocker))
        {
            continue;
        }
        match all.iter_mut().find(|(blocked, _)| *blocked == wait.blocked) {
            Some((_, blockers)) => blockers.push(wait.blocker),
            None => all.push((wait.blocked, vec![wait.blocker])),
        }
    }
    all
}

/// `a, b and c`.
pub(crate) fn listed(mut names: Vec<String>) -> String {
    let last = names.pop().unwrap_or_default();
    if names.is_empty() {
        last
    } else {
        format!("{} and {last}", names.join(", "))
    }
}

/// The way to turn, for an eye at the drive head.
pub(super) fn clockwise(turns: f64) -> &'static str {
    if turns < 0.0 {
        "counter-clockwise"
    } else {
        "clockwise"
    }
}

impl Order {
    /// The removals in the order of putting together: last out, first in; what is put together
    /// on the bench before the group that it makes.
    pub fn insertions(&self) -> Vec<&Removed> {
        let removals = self.removals();
        let mut all = Vec::with_capacity(removals.len());
        insert(removals, None, &mut all);
        all
    }
}

fn insert<'a>(removals: &'a [Removed], group: Option<usize>, all: &mut Vec<&'a Removed>) {
    for (index, removed) in removals.iter().enumerate().rev() {
        if removed.group == group {
            insert(removals, Some(index), all);
            all.push(removed);
        }
    }
}

impl Removed {
    /// The motion by which it goes in.
    pub fn way_in(&self) -> Motion {
        Motion {
            distance: Length::ZERO - self.motion.distance,
            turns: 0.0 - self.motion.turns,
            ..self.motion
        }
    }
}
