//! Every pair that a wish allows, judged, the best first; and why the smaller ones are not among them.

use super::base::Base;
use super::candidate::{Candidate, candidates, put_together};
use super::figures::{Figures, of_copies};
use super::judge::{Judged, Reason, Sized, Verdict, judge};
use super::rank::{Nearness, by_rank, nearness};
use super::universe::threads;
use super::wish::Wish;
use crate::kit::{LayoutKind, Mechanism};
use crate::thread::Thread;
use crate::units::Length;
use rayon::prelude::*;
use std::cmp::Ordering;

/// A pair that can be built, as far as that is known without a mesh.
#[derive(Clone, Debug)]
pub struct Row {
    /// The layout with its threads.
    pub mechanism: Mechanism,
    /// Travel of the carriage in one turn.
    pub net_lead: Length,
    /// What it gives.
    pub figures: Figures,
    /// How it came out.
    pub verdict: Verdict,
}

/// A pair that gives the travel and cannot be built.
#[derive(Clone, Debug)]
pub struct NearMiss {
    /// The layout with its threads.
    pub mechanism: Mechanism,
    /// Travel of the carriage in one turn.
    pub net_lead: Length,
    /// Why it cannot be built.
    pub reason: Reason,
    /// Pairs against which the same stands first, this one among them.
    pub alike: usize,
}

/// What comes of a wish.
#[derive(Clone, Debug)]
pub struct Found {
    /// Pairs whose leads give the travel.
    pub tried: usize,
    /// Of these, pairs that can be built as far as single kits go, before their copies are looked at.
    pub buildable: usize,
    /// The best of them, the best first.
    pub rows: Vec<Row>,
    /// Of those that cannot, the one that comes nearest for each thing that stands against them, the
    /// nearest first.
    pub near: Vec<NearMiss>,
    /// Every pair that could be sized.
    pub sized: Vec<Point>,
}

/// A pair that could be sized, in short.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Travel of the carriage in one turn.
    pub net_lead: Length,
    /// Sides of a box around the whole through its stroke.
    pub size: [Length; 3],
    /// Whether it can be built as far as single kits go.
    pub buildable: bool,
}

/// Pairs that are looked at with all their copies before the best are told, over those that are told.
const LOOKED_AT: usize = 1;

/// Any threads that a layout may have, to read the kit of a wish with; none where its leads are refused.
pub fn any_mechanism(layout: LayoutKind) -> Option<Mechanism> {
    let [drive, second] = ANY.map(|designation| designation.parse::<Thread>().ok());
    Some(put_together(layout, drive?, second?))
}

/// Two threads that go together in every layout: those of the desk stage.
const ANY: [&str; 2] = ["M20x2.5", "M12x1.75"];

/// Judges every pair that gives the wished travel. `bases` are the kits of the wish, one for each of
/// its layouts; of the best pairs `most` are told.
pub fn search(wish: &Wish, bases: &[Base], most: usize) -> Found {
    let (tried, judged) = judged(wish, bases);
    let sized = judged.iter().filter_map(|(_, judged)| {
        Some(Point {
            net_lead: judged.candidate.net_lead,
            size: judged.size?,
            buildable: judged.verdict.is_buildable(),
        })
    });
    let sized = sized.collect();
    let (mut good, failing): (Vec<_>, Vec<_>) = judged
        .into_iter()
        .partition(|(_, judged)| judged.verdict.is_buildable());
    good.sort_by(by_rank(wish));
    let buildable = good.len();
    let mut rows = Vec::new();
    let mut lost = Vec::new();
    for some in good.chunks(most.max(1) * LOOKED_AT) {
        let looked: Vec<(&Judged, Figures, Verdict)> = some
            .par_iter()
            .filter_map(|(base, judged)| looked_at(&bases[*base], judged))
            .collect();
        for (judged, figures, verdict) in looked {
            let Candidate {
                mechanism,
                net_lead,
            } = judged.candidate.clone();
            match verdict {
                Verdict::Fails(reason) => lost.push(NearMiss {
                    mechanism,
                    net_lead,
                    reason,
                    alike: 1,
                }),
                verdict @ Verdict::Buildable { .. } => rows.push(Row {
                    mechanism,
                    net_lead,
                    figures,
                    verdict,
                }),
            }
        }
        if rows.len() >= most {
            break;
        }
    }
    // What copies warn of comes behind what they do not; among equals the order stays.
    rows.sort_by_key(|row| row.verdict.warnings());
    rows.truncate(most);
    let mut failing: Vec<(Nearness, Judged)> = failing
        .into_iter()
        .map(|(_, judged)| (nearness(&judged), judged))
        .collect();
    failing.sort_by(|(a, _), (b, _)| a.partial_cmp(b).unwrap_or(Ordering::Equal));
    let near = failing.iter().filter_map(|(_, judged)| near_miss(judged));
    Found {
        tried,
        buildable,
        rows,
        near: one_for_each(lost.into_iter().chain(near)),
        sized,
    }
}

/// Every pair that gives the wished travel in one layout, whether or not it can be built: its threads, and
/// what they give.
pub fn giving(wish: &Wish, layout: LayoutKind) -> Vec<(Mechanism, Length)> {
    let each = candidates(wish, layout, &threads(wish)).into_iter();
    each.map(|candidate| (candidate.mechanism, candidate.net_lead))
        .collect()
}

/// How many pairs give the travel, and each of them judged, with the place of its base.
pub(super) fn judged(wish: &Wish, bases: &[Base]) -> (usize, Vec<(usize, Judged)>) {
    let threads = threads(wish);
    let of_base = |(place, base): (usize, &Base)| {
        let each = candidates(wish, base.layout, &threads).into_iter();
        each.map(move |candidate| (place, candidate))
    };
    let all: Vec<(usize, Candidate)> = bases.iter().enumerate().flat_map(of_base).collect();
    let judge =
        |(place, candidate): (usize, Candidate)| (place, judge(wish, &bases[place], candidate));
    (all.len(), all.into_par_iter().map(judge).collect())
}

/// A pair with what it gives, judged with all its copies.
fn looked_at<'j>(base: &Base, judged: &'j Judged) -> Option<(&'j Judged, Figures, Verdict)> {
    let sized = Sized::of(base, &judged.candidate).ok()?;
    let verdict = of_copies(base, &sized, &judged.verdict);
    Some((judged, Figures::of(base, &sized, judged), verdict))
}

/// The first for each thing that stands against them, with how many there are.
fn one_for_each(misses: impl Iterator<Item = NearMiss>) -> Vec<NearMiss> {
    let mut each: Vec<NearMiss> = Vec::new();
    for miss in misses {
        let mut known = each.iter_mut();
        match known.find(|known| known.reason.against == miss.reason.against) {
            Some(known) => known.alike += 1,
            None => each.push(miss),
        }
    }
    each
}

fn near_miss(judged: &Judged) -> Option<NearMiss> {
    let Candidate {
        mechanism,
        net_lead,
    } = judged.candidate.clone();
    match &judged.verdict {
        Verdict::Fails(reason) => Some(NearMiss {
            mechanism,
            net_lead,
            reason: reason.clone(),
            alike: 1,
        }),
        Verdict::Buildable { .. } => None,
    }
}
