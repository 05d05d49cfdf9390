//! Threads of several starts, as drawn: a screw goes into its hole in as many ways as it has
//! starts, and in no other.

use crate::support::bench::Bench;
use crate::support::body::shared;
use crate::support::kits;
use netlead::assembly::Fit;
use netlead::units::{Angle, Length};

/// Chord tolerance, in mm.
const TOLERANCE: f64 = 0.02;
/// What two meshes that are free of each other may share, in mm3: nothing but rounding.
const FREE: f64 = 1e-3;
/// What they share where ridge stands on ridge over a wall: far more than this, in mm3.
const MET: f64 = 5.0;

#[test]
fn a_screw_of_several_starts_goes_in_after_each_share_of_a_turn_and_nowhere_between() {
    for kit in [
        kits::m16(),
        kits::two_start_single(),
        kits::two_start_drive(),
        kits::two_in_three(),
    ] {
        let bench = Bench::kept(&kit, TOLERANCE);
        let joints = &bench.design.assembly.joints;
        for joint in joints.iter().filter(|joint| joint.fit == Fit::Thread) {
            let starts = joint.thread.as_ref().unwrap().thread.starts();
            let [male, female] = joint.between;
            let hole = bench.at(female, 0.0);
            let turned = |turns: f64| {
                let pose = bench.pose(male, 0.0);
                let pose = pose.screwed(Angle::turns(turns), Length::ZERO);
                shared(&bench.posed(male, &pose), &hole)
            };
            for way in 0..starts {
                let turns = f64::from(way) / f64::from(starts);
                let (free, met) = (turned(turns), turned(turns + 0.5 / f64::from(starts)));
                assert!(free <= FREE, "{} {way} of {starts}: {free}", joint.name);
                assert!(met >= MET, "{} {way} of {starts}: {met}", joint.name);
            }
        }
    }
}
