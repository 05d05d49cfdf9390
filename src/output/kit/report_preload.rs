//! What `report.json` says of a preload spring.

use super::product::PreloadMotion;
use super::report_numbers::{mm, rounded};
use crate::units::{Force, Torque};
use serde::Serialize;

/// A preload spring in its mechanism.
#[derive(Clone, Debug, Serialize)]
pub(super) struct PreloadEntry {
    /// What is still lost at a reversal while it holds.
    lost_motion_turns: Option<LeftEntry>,
    rate_n_per_mm: Option<f64>,
    length_mm: LengthEntry,
    force_n: ForcesEntry,
    /// What it has to outdo.
    needed_n: NeededEntry,
    /// What it adds to the torque at the head, at the greatest friction.
    torque_added_nm: TorqueEntry,
}

#[derive(Clone, Debug, Serialize)]
struct LeftEntry {
    low: Option<f64>,
    nominal: Option<f64>,
    high: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct LengthEntry {
    turn_0: Option<f64>,
    end: Option<f64>,
    /// Where the carriage has stopped.
    stop: Option<f64>,
    /// All its coils touching.
    solid: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct ForcesEntry {
    turn_0: Option<f64>,
    end: Option<f64>,
    stop: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct NeededEntry {
    pull: Option<f64>,
    friction: Option<f64>,
    weight: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct TorqueEntry {
    turn_0: Option<f64>,
    end: Option<f64>,
}

/// The entry of a spring.
pub(super) fn preload(preload: &PreloadMotion) -> PreloadEntry {
    let PreloadMotion {
        figures,
        rate,
        lengths: [zero, end, stop],
        solid,
        lost_motion_turns,
    } = preload;
    let newtons = |force: Force| rounded(force.as_newtons());
    let [force_zero, force_end] = figures.force;
    let [torque_zero, torque_end] = figures
        .torque
        .map(|torque: Torque| rounded(torque.as_newton_metres()));
    PreloadEntry {
        lost_motion_turns: lost_motion_turns.map(|lost| LeftEntry {
            low: rounded(lost.low),
            nominal: rounded(lost.nominal),
            high: rounded(lost.high),
        }),
        rate_n_per_mm: rounded(rate.as_newtons_per_mm()),
        length_mm: LengthEntry {
            turn_0: mm(*zero),
            end: mm(*end),
            stop: mm(*stop),
            solid: mm(*solid),
        },
        force_n: ForcesEntry {
            turn_0: newtons(force_zero),
            end: newtons(force_end),
            stop: newtons(figures.most),
        },
        needed_n: NeededEntry {
            pull: newtons(figures.pull),
            friction: newtons(figures.friction),
            weight: newtons(figures.weight),
        },
        torque_added_nm: TorqueEntry {
            turn_0: torque_zero,
            end: torque_end,
        },
    }
}
