//! Crush ribs as they are written: how many, where, how far they stand in, and on what of a pin.
//!
//! A hole is seen along its pin: sections of the female part's written mesh, in polar coordinates
//! about the pin's axis, 0 degrees towards the bed on which the female was printed.

use crate::support::bench::in_parallel;
use crate::support::kits::{self, design, said};
use crate::support::mm;
use crate::support::shape::alone;
use crate::support::sizes::sizes;
use crate::support::written::proved;
use nalgebra::{Point3, Vector3};
use netlead::assembly::{Fit, InstanceId, Joint, Outline, Solid};
use netlead::kit::{Grip, Kit};
use netlead::layout::Design;
use netlead::solid::{Mesh, mesh};
use netlead::units::Angle;
use std::f64::consts::PI;

/// Chord tolerance of the meshes.
const TOLERANCE: f64 = 0.01;
/// Rays about a pin's axis.
const RAYS: usize = 720;

/// A pin's axis where it stands, and directions square to it.
struct Axis {
    origin: Point3<f64>,
    along: Vector3<f64>,
    /// Towards the bed of the female.
    down: Vector3<f64>,
    beside: Vector3<f64>,
    /// Angle of the pin's flat, in degrees.
    flat: f64,
}

impl Axis {
    fn of(design: &Design, pin: InstanceId, female: InstanceId) -> Self {
        let direction = |piece: InstanceId, x: f64, y: f64, z: f64| {
            let pose = design.assembly.instance(piece).pose;
            pose.apply(Point3::new(x, y, z)) - pose.apply(Point3::origin())
        };
        // A pin lies on its flat along x; the flat is 0.707 d wide, so d / sqrt 8 below the axis.
        let lifted = sizes(design).pin_diameter.as_mm() / 8f64.sqrt();
        let pose = design.assembly.instance(pin).pose;
        let along = direction(pin, 1.0, 0.0, 0.0);
        let down = direction(female, 0.0, 0.0, -1.0);
        let beside = along.cross(&down);
        let flat = direction(pin, 0.0, 0.0, -1.0);
        Self {
            origin: pose.apply(Point3::new(0.0, 0.0, lifted)),
            along,
            down,
            beside,
            flat: Angle::of_point(flat.dot(&down), flat.dot(&beside)).as_degrees(),
        }
    }

    /// From the axis to the first wall in every direction, in a section so far along the pin.
    fn section(&self, mesh: &Mesh, at: f64) -> Vec<f64> {
        let mut walls = Vec::new();
        for corners in mesh.facets() {
            let seen = corners.map(|corner| {
                let from = corner - self.origin;
                [
                    from.dot(&self.along) - at,
                    from.dot(&self.down),
                    from.dot(&self.beside),
                ]
            });
            let crossing = [(0, 1), (1, 2), (2, 0)].into_iter().filter_map(|(a, b)| {
                let ([u, v, w], [up, vp, wp]) = (seen[a], seen[b]);
                let share = u / (u - up);
                (u * up < 0.0).then_some([v + (vp - v) * share, w + (wp - w) * share])
            });
            if let [a, b] = crossing.collect::<Vec<_>>()[..] {
                walls.push((a, b));
            }
        }
        (0..RAYS)
            .map(|ray| {
                let (sin, cos) = Angle::turns((ray as f64 + 0.5) / RAYS as f64).sin_cos();
                let met = walls.iter().filter_map(|([v, w], [vp, wp])| {
                    // The ray meets the stretch where both have no part beside it.
                    let (beside, other) = (cos * w - sin * v, cos * wp - sin * vp);
                    if beside * other > 0.0 || beside == other {
                        return None;
                    }
                    let share = beside / (beside - other);
                    let out = cos * (v + (vp - v) * share) + sin * (w + (wp - w) * share);
                    (out > 0.0).then_some(out)
                });
                met.fold(f64::INFINITY, f64::min)
            })
            .collect()
    }
}

/// Between two directions, in degrees, at the most 180.
fn apart(a: f64, b: f64) -> f64 {
    let turn = (a - b).rem_euclid(360.0);
    turn.min(360.0 - turn)
}

fn degrees(ray: usize) -> f64 {
    360.0 * (ray as f64 + 0.5) / RAYS as f64
}

/// The middles of the stretches of rays that end nearer than `limit`.
fn ribs(section: &[f64], limit: f64) -> Vec<f64> {
    let inside = |ray: usize| section[ray % RAYS] < limit;
    let starts = (0..RAYS).filter(|ray| inside(*ray) && !inside(ray + RAYS - 1));
    starts
        .map(|start| {
            let length = (0..RAYS).take_while(|more| inside(start + more)).count();
            degrees(start) + (length as f64 - 1.0) * 180.0 / RAYS as f64
        })
        .collect()
}

/// What is wrong with the ribs of one pressed pin.
fn faults(design: &Design, joint: &Joint, named: &str) -> Vec<String> {
    let [pin, female] = joint.between;
    let part = design.assembly.part_of(female);
    let written = proved(&mesh(&part.shape, mm(TOLERANCE)).unwrap(), part.shape.genus).unwrap();
    let stands = written.mesh.placed(&design.assembly.instance(female).pose);
    let axis = Axis::of(design, pin, female);
    let gap = joint.gap.unwrap();
    let radius = sizes(design).pin_diameter.as_mm() / 2.0;
    let tip = radius + gap.drawn.as_mm();
    let wall = tip + gap.ribs.unwrap().as_mm();
    let mut faults = Vec::new();
    let mut fault = |holds: bool, what: String| {
        if !holds {
            faults.push(format!("{named}, {}: {what}", joint.name));
        }
    };
    // In the middle of the wall in which the pin ends: ears and pins end 1 mm inside the frame's
    // face, mouths are 1 mm deep, and ribs begin 0.15 to 0.3 mm behind them.
    let out = sizes(design).frame_side.as_mm() / 2.0 - 3.5;
    let sections = [-out, out].map(|at| axis.section(&stands, at));
    let found = sections.map(|section| (ribs(&section, (tip + wall) / 2.0), section));
    let ribbed: Vec<_> = found
        .into_iter()
        .filter(|(ribs, _)| !ribs.is_empty())
        .collect();
    let [(ribs, section)] = &ribbed[..] else {
        return vec![format!(
            "{named}, {}: ribs in {} walls",
            joint.name,
            ribbed.len()
        )];
    };
    // Up is 180 degrees here: one rib lies at the bottom, two 30 degrees beside the crown.
    for (expected, rib) in [0.0, 150.0, 210.0].into_iter().zip(sorted(ribs)) {
        fault(
            apart(expected, rib) < 1.0,
            format!("a rib at {rib}, not at {expected} degrees"),
        );
        // The pin's flat ends 45 degrees beside its middle.
        let beside = apart(axis.flat, rib).min(apart(axis.flat + 180.0, rib));
        fault(
            beside > 45.0 + 10.0,
            format!("a rib at {rib}, {beside} from a flat's place"),
        );
    }
    fault(ribs.len() == 3, format!("{} ribs", ribs.len()));
    let nearest = section.iter().copied().fold(f64::INFINITY, f64::min);
    fault(
        (nearest - tip).abs() < 1e-3,
        format!("tips at {nearest}, drawn {tip}"),
    );
    for (ray, found) in section.iter().enumerate() {
        let off = ribs
            .iter()
            .map(|rib| apart(degrees(ray), *rib))
            .fold(180.0, f64::min);
        // A flat face d from the axis is d / cos(angle) away: where the wall ends it.
        let (sin, cos) = Angle::degrees(off).sin_cos();
        let exact = if sin < cos {
            (tip / cos).min(wall)
        } else {
            wall
        };
        fault(
            *found < exact + 1e-3 && *found > exact - TOLERANCE - 2e-3,
            format!("{found} at {off} degrees from a rib, drawn {exact}"),
        );
    }
    faults
}

fn sorted(angles: &[f64]) -> Vec<f64> {
    let mut angles: Vec<f64> = angles.iter().map(|angle| (angle + 10.0) % 360.0).collect();
    angles.sort_by(f64::total_cmp);
    angles.into_iter().map(|angle| angle - 10.0).collect()
}

fn pressed(design: &Design) -> impl Iterator<Item = &Joint> {
    let joints = design.assembly.joints.iter();
    joints.filter(|joint| joint.fit == Fit::Press)
}

#[test]
fn every_pressed_pin_of_every_sort_of_kit_stands_on_three_ribs_that_meet_its_round() {
    let kits = kits::one_of_each();
    let faults = in_parallel(&kits, |(name, kit)| {
        let design = design(kit);
        pressed(&design)
            .flat_map(|joint| faults(&design, joint, name))
            .collect::<Vec<_>>()
    });
    assert_eq!(faults.concat(), Vec::<String>::new());
}

/// A kit with another wanted gap at the ribs.
fn wanting(gap: f64) -> Kit {
    let mut kit = kits::m20_m12();
    kit.gaps.press = Some(said(mm(gap)));
    kit
}

#[test]
fn ribs_are_drawn_where_the_wanted_gap_and_the_printers_growth_put_them() {
    // Untuned, 0.03 of growth on both faces: tips at 2.75 + wanted + 0.06, wall at 2.75 + 0.10.
    for (wanted, drawn, height) in [
        (-0.11, -0.05, 0.15),
        (-0.20, -0.14, 0.24),
        (0.0, 0.06, 0.05),
    ] {
        let design = design(&wanting(wanted));
        let gap = sizes(&design).gaps.press;
        assert!((gap.drawn.as_mm() - drawn).abs() < 1e-9, "{wanted}");
        assert!(
            (gap.ribs.unwrap().as_mm() - height).abs() < 1e-9,
            "{wanted}"
        );
        let joint = pressed(&design).next().unwrap();
        assert_eq!(faults(&design, joint, "wanted"), Vec::<String>::new());
    }
}

#[test]
fn a_whole_wall_has_no_ribs() {
    let mut kit = wanting(-0.02);
    kit.pins.held_by = said(Grip::Wall);
    let design = design(&kit);
    let joint = pressed(&design).next().unwrap();
    assert_eq!(joint.gap.unwrap().ribs, None);
    let [pin, female] = joint.between;
    let stands = mesh(&design.assembly.part_of(female).shape, mm(TOLERANCE)).unwrap();
    let stands = stands.placed(&design.assembly.instance(female).pose);
    let out = sizes(&design).frame_side.as_mm() / 2.0 - 3.5;
    for at in [-out, out] {
        let section = Axis::of(&design, pin, female).section(&stands, at);
        let spread = |pick: fn(f64, f64) -> f64| section.iter().copied().reduce(pick).unwrap();
        assert!(spread(f64::max) - spread(f64::min) < TOLERANCE + 1e-3);
    }
}

#[test]
fn the_deepest_ribs_on_the_thinnest_pin_are_still_one_sound_hole() {
    // The least gap that a kit may ask for, on the thinnest printed pin and on a thinner one: tips
    // at 1.25 - 0.3 + 0.06 = 1.01 in a wall of 1.35, so that the faces of the two upper ribs,
    // which meet 1.01 / cos 30 degrees = 1.17 from the axis, meet below the crown.
    for (pin, wanted) in [(2.5, -0.3), (3.0, -0.3)] {
        let mut kit = wanting(wanted);
        kit.pins.diameter = Some(said(mm(pin)));
        // The default plug does not cover so thin a pin.
        kit.sizes.keeper_plug = Some(said(mm(9.0)));
        let parts = design(&kit).assembly.parts;
        for part in parts
            .iter()
            .filter(|part| ["frame", "carriage"].contains(&&*part.name))
        {
            let mesh = mesh(&part.shape, mm(TOLERANCE)).unwrap();
            let fault = proved(&mesh, part.shape.genus).err();
            assert!(fault.is_none(), "{pin}, {}: {fault:?}", part.name);
        }
    }
}

#[test]
fn a_ribbed_outline_leaves_three_segments_of_its_circle() {
    let ribbed = |diameter: f64, tips: f64| Outline::Ribbed {
        diameter: mm(diameter),
        tips: mm(tips),
    };
    for (diameter, tips) in [(5.7, 5.4), (5.7, 5.69), (5.7, 5.7), (4.0, 3.5)] {
        let outline = ribbed(diameter, tips);
        let solid = alone(Solid::Prism(vec![
            (mm(0.0), outline.clone()),
            (mm(10.0), outline),
        ]));
        let found = mesh(&solid, mm(0.001)).unwrap();
        let (r, t): (f64, f64) = (diameter / 2.0, tips / 2.0);
        // Segment beyond a chord t from the centre: r^2 acos(t/r) - t sqrt(r^2 - t^2).
        let half = Angle::from_cos(t / r).as_radians();
        let exact = 10.0 * (PI * r * r - 3.0 * (r * r * half - t * (r * r - t * t).sqrt()));
        // Chords stand inside by the tolerance at the most, over the whole circumference.
        let chords = 0.001 * 2.0 * PI * r * 10.0;
        let volume = found.volume_mm3();
        assert!(
            volume <= exact + 1e-6 && volume >= exact - chords,
            "{tips}: {volume} of {exact}"
        );
        proved(&found, 0).unwrap();
    }
}
