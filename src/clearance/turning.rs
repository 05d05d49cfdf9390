//! Turning motions, judged by rings: a piece that turns while it advances meets another only
//! if its rings do.

use super::body::{Body, Feature, feature};
use super::facet::SLACK;
use super::rings::Span;

/// How a stands and goes along the axis against b, in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Advance {
    /// How far it stands from where its mesh is.
    pub(super) from: f64,
    /// How far it goes from there; may be without end.
    pub(super) by: f64,
}

/// Rings that meet.
#[derive(Clone, Copy, Debug)]
pub(super) struct RingMeeting {
    pub(super) features: [Feature; 2],
    /// Radius and height at which, as b stands.
    pub(super) radius: f64,
    pub(super) height: f64,
    /// How far a goes before.
    pub(super) travel: f64,
    /// How much too wide a is: radii, side by side, in which the two meet.
    pub(super) too_wide: f64,
    /// The least of these radii: what is no wider passes.
    pub(super) passes: f64,
}

/// Where rings are nearest.
#[derive(Clone, Copy, Debug)]
pub(super) struct RingGap {
    /// The least distance.
    pub(super) gap: f64,
    /// How far a then stands from where its mesh is, along the axis.
    pub(super) advance: f64,
    /// The spans that come so near.
    pub(super) spans: [Span; 2],
}

/// The first rings of b that a meets; of equally near ones the innermost. Pairs of threads for
/// which `apart` holds are left out: their section clears them.
pub(super) fn first_met(
    a: &Body,
    b: &Body,
    way: Advance,
    apart: &dyn Fn(Feature, Feature) -> bool,
) -> Option<RingMeeting> {
    let ends = [way.from, way.from + way.by];
    if between(a, b, [ends[0].min(ends[1]), ends[0].max(ends[1])]) > SLACK {
        return None;
    }
    let mut best: Option<(usize, RingMeeting)> = None;
    let rows = a.rings().rows().len().min(b.rings().rows().len());
    let mut common = vec![0.0_f64; rows];
    for (index, (of_a, of_b)) in a.rings().rows().iter().zip(b.rings().rows()).enumerate() {
        for one in of_a {
            for other in of_b {
                let Some(travel) = meets(one, other, way) else {
                    continue;
                };
                let features = [feature(one.feature), feature(other.feature)];
                if apart(features[0], features[1]) {
                    continue;
                }
                let (low, high) = (one.r[0].max(other.r[0]), one.r[1].min(other.r[1]));
                common[index] = common[index].max(high - low);
                if best.is_none_or(|(_, best)| travel < best.travel) {
                    let found = RingMeeting {
                        features,
                        radius: low,
                        height: other.z[if way.by < 0.0 { 1 } else { 0 }],
                        travel,
                        too_wide: 0.0,
                        passes: low,
                    };
                    best = Some((index, found));
                }
            }
        }
    }
    best.map(|(index, mut found)| {
        let side = |row: &&f64| **row > 0.0;
        let outwards: f64 = common[index..].iter().take_while(side).sum();
        let inwards: f64 = common[..index].iter().rev().take_while(side).sum();
        found.too_wide = outwards + inwards;
        found.passes = found.radius - inwards;
        found
    })
}

/// What lies along the axis between the boxes of two pieces while the first stands anywhere from
/// one place to another; below zero where they are beside each other.
fn between(a: &Body, b: &Body, [from, to]: [f64; 2]) -> f64 {
    let (a, b) = (a.tree.bounds(), b.tree.bounds());
    (b.low.z - (a.high.z + to)).max(a.low.z + from - b.high.z)
}

/// How far a span goes before it meets another, if it does. Touching is free, unless the way
/// leads into what is touched.
fn meets(a: &Span, b: &Span, way: Advance) -> Option<f64> {
    if a.r[0] > b.r[1] || b.r[0] > a.r[1] {
        return None;
    }
    let [low, high] = a.z.map(|z| z + way.from);
    let swept = [low + way.by.min(0.0), high + way.by.max(0.0)];
    let ahead = if way.by < 0.0 {
        low - b.z[1]
    } else {
        b.z[0] - high
    };
    let passes = b.z[0] < swept[1] - SLACK && b.z[1] > swept[0] + SLACK;
    let faces = if way.by < 0.0 {
        a.faces[1] && b.faces[0]
    } else {
        a.faces[0] && b.faces[1]
    };
    let leads_in = way.by.abs() > SLACK && ahead.abs() <= SLACK && faces;
    (passes || leads_in).then_some(ahead.max(0.0))
}

/// The least distance of rings while a stands anywhere from `from` to `to` along the axis, if
/// it is less than `cap`; and where a then stands, as near to where its mesh is as can be.
pub(super) fn least_gap(
    a: &Body,
    b: &Body,
    [from, to]: [f64; 2],
    cap: f64,
    apart: &dyn Fn(Feature, Feature) -> bool,
) -> Option<RingGap> {
    if between(a, b, [from, to]) >= cap {
        return None;
    }
    let (rows_a, rows_b) = (a.rings().rows(), b.rings().rows());
    let width = a.rings().width().min(b.rings().width());
    let mut best: Option<RingGap> = None;
    let most = rows_a.len().max(rows_b.len());
    for offset in 0..most {
        let least = (offset as f64 - 1.0) * width;
        if least >= best.map_or(cap, |best| best.gap) {
            break;
        }
        for (index, of_a) in rows_a.iter().enumerate() {
            let inwards = index.checked_sub(offset).filter(|_| offset > 0);
            for other in [Some(index + offset), inwards].into_iter().flatten() {
                let Some(of_b) = rows_b.get(other) else {
                    continue;
                };
                for one in of_a {
                    for two in of_b {
                        nearer(one, two, [from, to], cap, apart, &mut best);
                    }
                }
            }
        }
    }
    best
}

fn nearer(
    a: &Span,
    b: &Span,
    [from, to]: [f64; 2],
    cap: f64,
    apart: &dyn Fn(Feature, Feature) -> bool,
    best: &mut Option<RingGap>,
) {
    let beside = (b.r[0] - a.r[1]).max(a.r[0] - b.r[1]).max(0.0);
    let limit = best.map_or(cap, |best| best.gap);
    if beside >= limit {
        return;
    }
    // Where a stands level with b, and the nearest place to that on its way.
    let level = [b.z[0] - a.z[1], b.z[1] - a.z[0]];
    let over = if to < level[0] {
        level[0] - to
    } else if from > level[1] {
        from - level[1]
    } else {
        0.0
    };
    let gap = (beside * beside + over * over).sqrt();
    if gap >= limit || apart(feature(a.feature), feature(b.feature)) {
        return;
    }
    let reached = if over > 0.0 {
        if to < level[0] { to } else { from }
    } else {
        0.0_f64.clamp(from.max(level[0]), to.min(level[1]))
    };
    *best = Some(RingGap {
        gap,
        advance: reached,
        spans: [*a, *b],
    });
}
