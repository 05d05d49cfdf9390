//! A small nested mechanism made by hand, for the tests of the outputs: M20x2.5 over
//! M12x1.75, stroke 10, with forms that are placeholders.

use super::*;
use crate::assembly::{
    Assembly, Axis, Carriages, Constraint, Course, Fit, Gap, Instance, InstanceId, Joint, JointId,
    Made, Mates, Motion, MotionKind, Outline, Part, PartId, Placed, Pose, ScrewTravel, Shape,
    Sides, Solid, Step, ThreadJoint, Turning,
};
use crate::check::{Finding, Outcome, Subject};
use crate::clearance::{Clearance, Feature, FoundBy, Kind, LeastGap, PairClearance};
use crate::layout::Design;
use crate::motion::{Engagement, Rate};
use crate::output::part::{PartBody, stl};
use crate::solid::{Mesh, Written};
use crate::strength::Material;
use crate::thread::{Hand, Thread};
use crate::units::Length;
use nalgebra::Point3;
use std::sync::Arc;

const fn mm(value: f64) -> Length {
    Length::mm(value)
}

/// One pair, as if measured.
fn fixture_clearance() -> Clearance {
    Clearance {
        pairs: vec![PairClearance {
            between: [InstanceId(0), InstanceId(1)],
            kind: Kind::Turning,
            turns: [-1.0, 14.0],
            least: Some(LeastGap {
                gap: mm(0.125),
                at_turn: 0.0,
                points: [[9.0, 0.0, 5.0], [9.1, 0.0, 5.1]],
                features: [Feature::Thread(0), Feature::Thread(0)],
                by: FoundBy::Section,
            }),
            overlap: None,
        }],
    }
}

/// Four corners, ten apart along the axes; seen from outside counter-clockwise.
pub(crate) fn tetrahedron() -> Mesh {
    Mesh {
        points: vec![
            Point3::new(0.0, 0.0, 0.0),
            Point3::new(10.0, 0.0, 0.0),
            Point3::new(0.0, 10.0, 0.0),
            Point3::new(0.0, 0.0, 10.0),
        ],
        triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
    }
}

/// How people call a part or piece.
fn called(name: &'static str) -> &'static str {
    match name {
        "drive" => "drive screw",
        "inner" => "inner screw",
        other => other,
    }
}

fn part(name: &'static str, quantity: usize, spares: usize, mark: &str) -> Part {
    let square = Outline::Square {
        side: mm(10.0),
        corner: Length::ZERO,
    };
    Part {
        name: name.into(),
        called: called(name),
        made: Made::Printed,
        quantity,
        spares,
        grade: None,
        shape: Shape {
            base: Placed {
                pose: Pose::identity(),
                solid: Solid::Prism(vec![(mm(0.0), square.clone()), (mm(10.0), square)]),
            },
            within: vec![],
            joined: vec![],
            cut: vec![],
            genus: 0,
        },
        perimeters: crate::assembly::Perimeters::Lines(4),
        print_note: "upright, 4 walls".into(),
        mark: mark.into(),
        label: None,
        recipe: vec![("side", mm(10.0))],
    }
}

fn instance(part: usize, name: &'static str, z: f64) -> Instance {
    Instance {
        part: PartId(part),
        name: name.into(),
        called: called(name).into(),
        pose: Pose::shift(mm(0.0), mm(0.0), mm(z)),
    }
}

fn joint(name: &str, fit: Fit, constraint: Constraint, a: usize, b: usize) -> Joint {
    Joint {
        name: name.into(),
        fit,
        constraint,
        between: [InstanceId(a), InstanceId(b)],
        thread: None,
        gap: Some(Gap {
            wanted: mm(0.04),
            drawn: mm(0.25),
            mates: Mates::PRINTED,
            radius: mm(9.0),
            ribs: None,
        }),
        asked: None,
        axial_play: None,
    }
}

fn thread_joint(name: &str, major: f64, pitch: f64, a: usize, b: usize) -> Joint {
    let thread = Thread::free(mm(major), mm(pitch), Hand::Right);
    Joint {
        thread: Some(ThreadJoint {
            thread: thread.clone(),
            male: [mm(-40.0), mm(29.0)],
            female: [mm(2.0), mm(22.0)],
            male_crest: mm(0.0),
            female_root: mm(0.0),
        }),
        axial_play: Some(mm(0.29)),
        ..joint(
            name,
            Fit::Thread,
            Constraint::Helical(thread.signed_lead()),
            a,
            b,
        )
    }
}

fn finding(id: &'static str, outcome: Outcome, message: &str, mend: Option<&str>) -> Finding {
    Finding {
        id,
        outcome,
        // The drive screw.
        subject: Subject::Part(PartId(1)),
        value: Some(1.9),
        limit: Some(1.35),
        unit: "mm",
        message: message.into(),
        mend: mend.map(Into::into),
        source: "common practice",
        at: None,
    }
}

fn step(action: &str, pieces: &[usize], motion: Option<Motion>, text: &str) -> Step {
    Step {
        action: action.into(),
        pieces: pieces.iter().map(|&piece| InstanceId(piece)).collect(),
        motion,
        eye: None,
        shows: None,
        text: text.into(),
        reason: "Later the frame hides the slot of the inner screw.".into(),
    }
}

fn assembly() -> Assembly {
    Assembly {
        name: "desk-stage".into(),
        parts: vec![
            part("frame", 1, 0, "a V groove along the whole +y side"),
            part("drive", 1, 0, "a V on one flat of the hexagon"),
            part("inner", 1, 0, "a slot across the collar"),
            part("carriage", 1, 0, ""),
            part("keeper", 1, 0, "a V on one edge"),
            part("pin", 5, 2, "one flat"),
        ],
        instances: vec![
            instance(0, "frame", 0.0),
            instance(1, "drive", -61.1),
            instance(2, "inner", 12.0),
            instance(3, "carriage", 58.35),
            instance(4, "keeper", 91.4),
            instance(5, "cross pin", 66.0),
            instance(5, "keeper pin 1", 96.0),
            instance(5, "keeper pin 2", 96.0),
        ],
        joints: vec![
            thread_joint("drive/frame", 20.0, 2.5, 1, 0),
            thread_joint("inner/drive", 12.0, 1.75, 2, 1),
            joint("carriage/frame", Fit::Slide, Constraint::NoTurn, 3, 0),
            joint("cross pin/carriage", Fit::Press, Constraint::Rigid, 5, 3),
            joint("cross pin/inner", Fit::Locate, Constraint::Rigid, 5, 2),
            joint("keeper pin 1/frame", Fit::Press, Constraint::Rigid, 6, 0),
            joint("keeper/frame", Fit::Locate, Constraint::Rigid, 4, 0),
        ],
        frame: InstanceId(0),
        drive: InstanceId(1),
        carriages: Carriages::one(InstanceId(3)),
        sides: Sides {
            up: [[""; 2]; 3],
            towards: [[""; 2]; 3],
        },
    }
}

/// The design of a real kit, for what the outputs do not read.
fn real() -> Design {
    let text = "name = \"desk stage\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\n\
                inner = \"M12x1.75\"\nstroke = 10\n";
    let kit: crate::kit::Kit = text.parse().expect("a valid kit");
    crate::layout::design(&kit, &crate::printer::Profile::untuned_for(&kit))
        .expect("a kit that can be drawn")
}

fn rates() -> Vec<Option<Rate>> {
    let rate = |advance, turns| {
        Some(Rate {
            advance: mm(advance),
            turns,
        })
    };
    let still = rate(0.0, 0.0);
    let moved = rate(0.75, 0.0);
    vec![
        still,
        rate(2.5, 1.0),
        moved,
        moved,
        still,
        moved,
        still,
        still,
    ]
}

/// The mechanism, with one note, one waived check and no failure.
pub(crate) fn nested() -> Product {
    let helical = Motion {
        kind: MotionKind::Helical,
        axis: Axis::Z,
        distance: mm(-28.0),
        turns: -16.0,
    };
    let thread = |designation: &str| JointFigures {
        thread: Some(designation.into()),
        engagement: Some(Engagement {
            least: mm(20.0),
            at_turn: 13.333_333_333,
        }),
        printed: None,
        layered: None,
        play: None,
        shapes: Vec::new(),
    };
    let mut joints = vec![thread("M20x2.5"), thread("M12x1.75")];
    joints.resize(7, JointFigures::default());
    let written = Written {
        bytes: stl::write(&tetrahedron(), "part", "desk stage").unwrap(),
        triangles: 4,
        volume_mm3: 1000.0 / 6.0,
        area_mm2: 236.602_540_378,
        size_mm: [10.0; 3],
        low_mm: [0.0; 3],
        mesh: tetrahedron(),
    };
    Product {
        odds: None,
        kit: KitFacts {
            name: "desk stage".into(),
            inches: false,
            layout: "nested",
            end: "flush",
            mount: "none",
            gentle: None,
            material: Material::Pla,
            layer: mm(0.15),
            line: mm(0.45),
            greased: false,
            tolerance: mm(0.01),
            correction: crate::printer::Correction::default(),
            waivers: vec![("layers-per-pitch".into(), "printed well before".into())],
        },
        design: Design {
            assembly: assembly(),
            course: Course {
                stroke: mm(10.0),
                turns: 10.0 / 0.75,
                over_travel: 1.46,
                assembly_turn: 16.0,
                drive_travel: mm(10.0 / 0.75 * 2.5),
                further: vec![ScrewTravel {
                    title: "inner travel",
                    joint: JointId(1),
                    length: mm(10.0 / 0.75 * 1.75),
                }],
            },
            steps: vec![
                step(
                    "start the inner screw",
                    &[2, 1],
                    Some(helical),
                    "Screw the inner screw into the drive until the collar touches, then back \
                     to the first place where its slot points at the V on the hexagon.",
                ),
                step(
                    "fit the keeper",
                    &[4, 6, 7],
                    None,
                    "Put the keeper in and press both pins home.",
                ),
            ],
            script: crate::assembly::Script::default(),
            regions: Vec::new(),
            caption: "The carriage moves by the difference.",
            cautions: Vec::new(),
            // They name parts of the real one.
            distances: Vec::new(),
            tools: vec![Tool {
                name: "vice".into(),
                description: "or a soft mallet, to press the pins".into(),
            }],
            ..real()
        },
        motion: MotionFigures {
            net_lead: mm(0.75),
            turning: Turning::Clockwise,
            preload: None,
            lost_motion_turns: Some(Interval {
                low: 0.6,
                nominal: 0.95,
                high: 1.3,
            }),
            self_locking: Some(true),
            torque: None,
            efficiency: Some(0.03),
            closing_per_turn: None,
            lost_beside: Vec::new(),
        },
        force: None,
        rates: rates(),
        joints,
        bodies: Arc::new(vec![PartBody::Printed(written); 6]),
        job: None,
        clearance: Some(fixture_clearance()),
        findings: vec![
            finding(
                "drive-wall",
                Outcome::Pass,
                "wall 1.9 mm, at least 1.35",
                None,
            ),
            finding(
                "head-spanner",
                Outcome::Note,
                "hexagon 30 mm takes a 30 mm spanner",
                None,
            ),
            finding(
                "layers-per-pitch",
                Outcome::Waived,
                "7.5 layers in a pitch, at least 8",
                Some("layer = 0.15"),
            ),
        ],
        order: None,
        album: None,
        reprint: None,
        aids: None,
        changes: None,
    }
}

/// The same with pins from a shop.
pub(crate) fn nested_with_bought_pins() -> Product {
    let mut product = nested();
    // Not the last part, so that the order of the bill is put to the test.
    product.design.assembly.parts[0].made = Made::Bought("5 mm dowel".into());
    Arc::make_mut(&mut product.bodies)[0] = PartBody::Bought(tetrahedron());
    product
}

/// The same, told in inches.
pub(crate) fn nested_in_inches() -> Product {
    let mut product = nested();
    product.kit.inches = true;
    product
}

/// The same with a wall that is too thin.
pub(crate) fn nested_that_fails() -> Product {
    let mut product = nested();
    product.findings.push(finding(
        "drive-wall",
        Outcome::Fail,
        "wall between bore and thread 0.97 mm, at least 1.35 mm (three lines)",
        Some("inner = \"M12x1.75\", or a larger drive"),
    ));
    product
}
