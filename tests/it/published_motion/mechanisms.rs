//! The mechanisms of the cases, by their joints, and short ways to write screws.

use netlead::assembly::{
    Assembly, Carriages, Constraint, Course, Fit, Instance, InstanceId, Joint, Made, Outline, Part,
    PartId, Placed, Pose, Shape, Sides, Solid, ThreadJoint,
};
use netlead::motion::{Contact, PowerTrain, friction_angle, solve};
use netlead::thread::{Hand, Thread};
use netlead::units::{Angle, Length};

pub(crate) const FRAME: InstanceId = InstanceId(0);
pub(crate) const DRIVE: InstanceId = InstanceId(1);
pub(crate) const INNER: InstanceId = InstanceId(2);
pub(crate) const PIN: InstanceId = InstanceId(3);
pub(crate) const CARRIAGE: InstanceId = InstanceId(4);

/// Half the included angle of the Acme form (ASME B1.5).
pub(crate) const ACME_FLANK: Angle = Angle::degrees(14.5);

pub(crate) fn metric(major: f64, pitch: f64) -> Thread {
    Thread::free(Length::mm(major), Length::mm(pitch), Hand::Right)
}

pub(crate) fn inch(major: f64, threads_per_inch: f64) -> Thread {
    let pitch = Length::inches(1.0 / threads_per_inch);
    Thread::free(Length::inches(major), pitch, Hand::Right)
}

pub(crate) fn left(thread: &Thread) -> Thread {
    Thread::free(thread.major(), thread.pitch(), Hand::Left)
}

/// Any form will do: motion reads names and joints.
fn peg() -> Shape {
    let circle = Outline::Circle {
        diameter: Length::mm(5.0),
    };
    Shape {
        base: Placed {
            pose: Pose::identity(),
            solid: Solid::Prism(vec![
                (Length::ZERO, circle.clone()),
                (Length::mm(10.0), circle),
            ]),
        },
        within: vec![],
        joined: vec![],
        cut: vec![],
        genus: 0,
    }
}

pub(crate) fn joint(
    name: &str,
    fit: Fit,
    constraint: Constraint,
    between: [InstanceId; 2],
) -> Joint {
    Joint {
        name: name.to_owned(),
        fit,
        constraint,
        between,
        thread: None,
        gap: None,
        asked: None,
        axial_play: None,
    }
}

pub(crate) fn thread_joint(
    name: &str,
    thread: &Thread,
    between: [InstanceId; 2],
    crest: Length,
) -> Joint {
    let lead = Constraint::Helical(thread.signed_lead());
    Joint {
        thread: Some(ThreadJoint {
            thread: thread.clone(),
            male: [Length::mm(-50.0), Length::mm(30.0)],
            female: [Length::ZERO, Length::mm(24.0)],
            male_crest: crest,
            // Three ridges further on a groove has the same phase.
            female_root: crest + thread.pitch() * 3.0,
        }),
        axial_play: Some(thread.play(Length::mm(0.2))),
        ..joint(name, Fit::Thread, lead, between)
    }
}

/// No sentence is made of these mechanisms.
const NAMELESS: Sides = Sides {
    up: [[""; 2]; 3],
    towards: [[""; 2]; 3],
};

fn assembly(pieces: &[&str], carriage: InstanceId, joints: Vec<Joint>) -> Assembly {
    let part = |name: &&str| Part {
        name: (*name).to_owned(),
        called: "piece",
        made: Made::Printed,
        quantity: 1,
        spares: 0,
        grade: None,
        shape: peg(),
        perimeters: netlead::assembly::Perimeters::Solid,
        print_note: String::new(),
        mark: String::new(),
        label: None,
        recipe: Vec::new(),
    };
    let instance = |(index, name): (usize, &&str)| Instance {
        part: PartId(index),
        name: (*name).to_owned(),
        called: (*name).to_owned(),
        pose: Pose::identity(),
    };
    Assembly {
        name: "example".to_owned(),
        parts: pieces.iter().map(part).collect(),
        instances: pieces.iter().enumerate().map(instance).collect(),
        joints,
        frame: FRAME,
        drive: DRIVE,
        carriages: Carriages::one(carriage),
        sides: NAMELESS,
    }
}

/// Drive screw in the frame, inner screw in the drive screw, pinned to the sliding carriage.
pub(crate) fn nested(drive: &Thread, inner: &Thread) -> Assembly {
    let crest = Length::mm(7.3);
    assembly(
        &[
            "frame",
            "drive screw",
            "inner screw",
            "cross pin",
            "carriage",
        ],
        CARRIAGE,
        vec![
            thread_joint("drive/frame", drive, [DRIVE, FRAME], crest),
            thread_joint("inner/drive", inner, [INNER, DRIVE], crest),
            joint("pin/inner", Fit::Locate, Constraint::Rigid, [PIN, INNER]),
            joint(
                "pin/carriage",
                Fit::Press,
                Constraint::Rigid,
                [PIN, CARRIAGE],
            ),
            joint(
                "carriage/frame",
                Fit::Slide,
                Constraint::NoTurn,
                [CARRIAGE, FRAME],
            ),
            joint("rear stop", Fit::Stop, Constraint::Free, [CARRIAGE, FRAME]),
        ],
    )
}

/// Drive screw in the frame, carriage on its tip by a swivel.
pub(crate) fn single(drive: &Thread) -> Assembly {
    let carriage = InstanceId(2);
    assembly(
        &["frame", "drive screw", "carriage"],
        carriage,
        vec![
            thread_joint("drive/frame", drive, [DRIVE, FRAME], Length::ZERO),
            joint(
                "swivel",
                Fit::Swivel,
                Constraint::NoAdvance,
                [carriage, DRIVE],
            ),
            joint(
                "carriage/frame",
                Fit::Slide,
                Constraint::NoTurn,
                [carriage, FRAME],
            ),
        ],
    )
}

/// A coupling nut, or a shaft with two threads, between two pieces that only slide. The
/// frame holds the driven piece along the axis.
pub(crate) fn opposed(near: &Thread, far: &Thread) -> Assembly {
    let (first, second) = (InstanceId(2), InstanceId(3));
    let mut opposed = assembly(
        &["frame", "shaft", "near carriage", "far carriage"],
        first,
        vec![
            joint(
                "journal",
                Fit::Swivel,
                Constraint::NoAdvance,
                [DRIVE, FRAME],
            ),
            thread_joint("shaft/near", near, [DRIVE, first], Length::ZERO),
            thread_joint("shaft/far", far, [DRIVE, second], Length::ZERO),
            joint("near slide", Fit::Slide, Constraint::NoTurn, [first, FRAME]),
            joint("far slide", Fit::Slide, Constraint::NoTurn, [second, FRAME]),
        ],
    );
    opposed.carriages.others.push(second);
    opposed
}

pub(crate) fn net_by_solver(drive: &Thread, inner: &Thread) -> Length {
    solve(&nested(drive, inner))
        .expect("a nested kit has one motion")
        .carriage_advance()
}

pub(crate) fn net_by_formula(drive: &Thread, inner: &Thread) -> Length {
    drive.signed_lead() - inner.signed_lead()
}

pub(crate) fn train(contacts: Vec<Contact>) -> PowerTrain {
    PowerTrain::new(contacts, vec![]).expect("the contacts of an example are sound")
}

/// A square or angled thread by its mean diameter and lead.
pub(crate) fn screw(mean_diameter: Length, lead: Length, friction: f64, flank: Angle) -> Contact {
    Contact::new(mean_diameter / 2.0, lead, friction_angle(friction, flank))
}

/// The same thread letting its load down: its lead changes its sign (Shigley, 9th ed., eq. 8-2).
pub(crate) fn lowering(raising: Contact) -> Contact {
    Contact {
        lead: -raising.lead,
        ..raising
    }
}

/// A screw of the given lead whose friction gives the stated efficiency, whatever its size:
/// tan(lambda + phi) = tan(lambda) / efficiency.
pub(crate) fn screw_of_efficiency(lead: Length, efficiency: f64) -> Contact {
    let radius = lead;
    let smooth = Contact::new(radius, lead, Angle::ZERO);
    let sum = Angle::from_tan(smooth.lead_angle().tan() / efficiency);
    Contact::new(radius, lead, sum - smooth.lead_angle())
}

pub(crate) fn course() -> Course {
    Course {
        stroke: Length::mm(10.0),
        turns: 10.0 / 0.75,
        over_travel: 1.46,
        assembly_turn: 16.0,
        drive_travel: Length::mm(10.0 / 0.75 * 2.5),
        further: Vec::new(),
    }
}
