//! What the layouts have in common: frame, drive screw, carriage, keeper and their joints.

use super::build::{Builder, Note};
use super::rules::*;
use super::sizes::{Sizes, chamfer_length};
use super::tool::run_out;
use super::{carriage, drive, frame, keeper, pin, recipe};
use crate::assembly::{Constraint, Fit, Gap, InstanceId, Made, PartId, Pose, ThreadJoint};
use crate::kit::Kit;
use crate::thread::Hand;
use crate::units::Length;
use crate::units_told::{fraction, number};

/// The pieces that every layout has.
pub(super) struct Common {
    pub(super) frame: InstanceId,
    pub(super) drive: InstanceId,
    pub(super) carriage: InstanceId,
    pub(super) pin: PartId,
}

/// One V, or two on what carries a left-hand thread.
pub(super) fn v_words(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "one V",
        Hand::Left => "two Vs (left-hand thread)",
    }
}

/// Frame, drive screw and carriage; the pins' part.
pub(super) fn start(
    kit: &Kit,
    sizes: &Sizes,
    holes: &carriage::PinHoles,
    build: &mut Builder,
) -> Common {
    let walls = format!("{} walls", *kit.walls);
    let v = v_words(sizes.drive.hand());
    let frame = build.single(
        "frame",
        frame::shape(sizes, *kit.layer),
        Note {
            print: format!("tapped end on the bed, {walls}"),
            mark: format!("{v} along one side: keeper pins go in from this side"),
            recipe: recipe::frame(sizes),
        },
        Pose::identity(),
    );
    let drive = build.single(
        "drive",
        drive::shape(sizes),
        Note {
            print: format!("hexagon on the bed, {walls}, brim if it is slender"),
            mark: format!("{v} on one flat of the hexagon"),
            recipe: recipe::drive(sizes),
        },
        drive::pose(sizes),
    );
    let carriage = build.single(
        "carriage",
        carriage::shape(sizes, holes),
        Note {
            print: format!("closed face on the bed, {walls}"),
            mark: "a V across one ear: pins go in at this ear".into(),
            recipe: recipe::carriage(sizes),
        },
        carriage::pose(sizes),
    );
    let pin = pin_part(kit, sizes, build);
    join(sizes, frame, drive, carriage, build);
    Common {
        frame,
        drive,
        carriage,
        pin,
    }
}

fn pin_part(kit: &Kit, sizes: &Sizes, build: &mut Builder) -> PartId {
    let length = sizes.frame_side - BELOW_FACE * 2.0;
    let made = match &kit.pins.buy {
        None => Made::Printed,
        Some(_) => Made::Bought(bought_pin(sizes.pin_diameter, length)),
    };
    let note = match &kit.pins.buy {
        None => Note {
            print: format!("lying on its flat, {} walls, solid", *kit.walls),
            mark: "one flat; all pins are alike".into(),
            recipe: recipe::pin(sizes),
        },
        Some(_) => Note {
            print: String::new(),
            mark: "all pins are alike".into(),
            recipe: recipe::pin(sizes),
        },
    };
    let part = build.part("pin", made, pin::shape(sizes.pin_diameter, length), note);
    build.spares(part, SPARE_PINS);
    part
}

/// Lengths in which metric dowels are sold, in mm (ISO 2338, preferred lengths, from memory).
const METRIC_DOWELS: [f64; 26] = [
    10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0, 26.0, 28.0, 30.0, 32.0, 35.0, 40.0, 45.0, 50.0,
    55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 85.0, 90.0, 95.0, 100.0,
];

/// Inch dowels are sold in quarter inches (common practice).
const INCH_DOWEL_STEP: Length = Length::inches(0.25);

/// A stock dowel no longer than `length`, of an inch size if the diameter is one.
fn bought_pin(diameter: Length, length: Length) -> String {
    let quarters = length.down_to(INCH_DOWEL_STEP);
    if let (Some(across), Some(long)) = (fraction(diameter), fraction(quarters)) {
        let [across_mm, long_mm] = [diameter, quarters].map(|size| number(size.as_mm(), 2));
        format!("dowel pin {across} in x {long} in ({across_mm} x {long_mm} mm)")
    } else {
        let stock = METRIC_DOWELS
            .iter()
            .rev()
            .find(|stock| **stock <= length.as_mm());
        format!(
            "dowel pin {} x {} mm",
            number(diameter.as_mm(), 2),
            stock.unwrap_or(&METRIC_DOWELS[0])
        )
    }
}

fn join(
    sizes: &Sizes,
    frame: InstanceId,
    drive: InstanceId,
    carriage: InstanceId,
    build: &mut Builder,
) {
    let gaps = &sizes.gaps;
    let countersink = chamfer_length(&sizes.drive);
    let head_face = sizes.thread_end - sizes.drive_thread;
    build.thread(
        [drive, frame],
        ThreadJoint {
            thread: sizes.drive.clone(),
            male: [
                head_face + run_out(&sizes.drive),
                sizes.thread_end - countersink,
            ],
            female: [countersink, sizes.tapped_wall - countersink],
            male_crest: Length::ZERO,
            female_root: Length::ZERO,
        },
        gaps.thread,
        sizes.drive.play(gaps.thread.drawn),
    );
    build.joint(
        [carriage, frame],
        Fit::Slide,
        Constraint::NoTurn,
        Some(gaps.slide),
        None,
    );
    build.joint([carriage, frame], Fit::Stop, Constraint::Free, None, None);
}

/// The keeper and its two pins.
pub(super) fn close(kit: &Kit, sizes: &Sizes, common: &Common, build: &mut Builder) {
    let gaps = &sizes.gaps;
    let keeper = build.single(
        "keeper",
        keeper::shape(sizes, *kit.layer),
        Note {
            print: format!("flange on the bed, {} walls", *kit.walls),
            mark: "one V on the flange's edge: to the frame's V side".into(),
            recipe: recipe::keeper(sizes),
        },
        keeper::pose(sizes),
    );
    build.joint(
        [keeper, common.frame],
        Fit::Locate,
        Constraint::NoTurn,
        Some(gaps.locate),
        None,
    );
    // The flange lies on the frame's end without a gap.
    let flush = Gap::flat(Length::ZERO);
    build.joint(
        [keeper, common.frame],
        Fit::Seat,
        Constraint::Free,
        Some(flush),
        None,
    );
    build.joint(
        [common.carriage, keeper],
        Fit::Stop,
        Constraint::Free,
        None,
        None,
    );
    for (index, pose) in keeper::pin_poses(sizes, *kit.layer).into_iter().enumerate() {
        let pin = build.piece(common.pin, format!("keeper pin {}", index + 1), pose);
        build.joint(
            [pin, common.frame],
            Fit::Press,
            Constraint::Rigid,
            Some(gaps.press),
            None,
        );
        build.joint(
            [pin, keeper],
            Fit::Locate,
            Constraint::Rigid,
            Some(gaps.locate_pin),
            None,
        );
    }
}
