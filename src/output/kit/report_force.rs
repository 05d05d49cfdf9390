//! The figures of force in `report.json`, from a product's [`ForceFigures`]: pairs go from least
//! to most, as friction goes from most to least.

use super::report_numbers::{mm, rounded};
use crate::load::{ForceFigures, SPANNER};
use crate::units::Force;
use serde::Serialize;

/// Estimates; no figure is a rated load.
#[derive(Clone, Debug, Serialize)]
pub(super) struct ForceEntry {
    friction: [Option<f64>; 2],
    breaking_n: Option<f64>,
    weakest: String,
    safe_load_n: Option<f64>,
    lasting_load_n: Option<f64>,
    safe_torque_nm: Option<f64>,
    /// By a hand and by tools; forces and what follows from least to most.
    clamping: Vec<ClampingEntry>,
    efficiency: [Option<f64>; 2],
    /// Load over effort at a spanner of `spanner_mm`.
    mechanical_advantage: [Option<f64>; 2],
    spanner_mm: Option<f64>,
    /// Of a differential: the plain screw of its drive thread.
    plain: Option<PlainEntry>,
    /// Only of a kit whose working end is loaded beside the axis.
    guide: Option<GuideEntry>,
}

/// Friction in the guide.
#[derive(Clone, Debug, Serialize)]
struct GuideEntry {
    offset_mm: Option<f64>,
    /// Share of a push that it takes, from least to most.
    share_taken: [Option<f64>; 2],
}

#[derive(Clone, Debug, Serialize)]
struct ClampingEntry {
    by: &'static str,
    torque_nm: Option<f64>,
    force_n: [Option<f64>; 2],
    plain_force_n: Option<[Option<f64>; 2]>,
}

#[derive(Clone, Debug, Serialize)]
struct PlainEntry {
    thread: String,
    efficiency: [Option<f64>; 2],
    mechanical_advantage: [Option<f64>; 2],
}

fn newtons(force: Force) -> Option<f64> {
    rounded(force.as_newtons())
}

/// The entry of a product's figures.
pub(super) fn force(force: &ForceFigures) -> ForceEntry {
    let clamping = force.clamping.iter().map(|clamping| ClampingEntry {
        by: clamping.by,
        torque_nm: rounded(clamping.torque.as_newton_metres()),
        force_n: clamping.force.map(newtons),
        plain_force_n: clamping.plain.map(|plain| plain.map(newtons)),
    });
    ForceEntry {
        friction: [force.friction.low, force.friction.high].map(rounded),
        breaking_n: newtons(force.breaking),
        weakest: force.weakest.clone(),
        safe_load_n: newtons(force.safe_load),
        lasting_load_n: newtons(force.lasting_load),
        safe_torque_nm: rounded(force.safe_torque.as_newton_metres()),
        clamping: clamping.collect(),
        efficiency: force.efficiency.map(rounded),
        mechanical_advantage: force.advantage.map(rounded),
        spanner_mm: mm(SPANNER),
        plain: force.plain.as_ref().map(|plain| PlainEntry {
            thread: plain.thread.clone(),
            efficiency: plain.efficiency.map(rounded),
            mechanical_advantage: plain.advantage.map(rounded),
        }),
        guide: force.in_guide.map(|guide| {
            let [most, least] = guide.taken;
            GuideEntry {
                offset_mm: mm(guide.offset),
                share_taken: [least, most].map(rounded),
            }
        }),
    }
}
