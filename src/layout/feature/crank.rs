//! A crank: a hub, and an arm with a hole for a bought bolt, on which the handle turns.
//!
//! Print frame: the hub's end face lies on the bed, the arm beside it towards -y, away from the marks. In
//! the assembly the bed's side looks away from the frame: there the handle stands. The bolt's head lies on
//! the arm towards the frame, below the hub's face, which alone comes near that.

use super::bolt::{M6, QUARTER_INCH};
use super::dial::Dial;
use super::handle::Handle;
use super::{Feature, Head, Index, OnTop, Seat, Solids, Words, no_deeper, wider_round};
use crate::assembly::{Fastener, Outline, PartId, Placed, Pose, Solid, Tool};
use crate::diagnostic::Diagnostic;
use crate::kit::{self, KeyPath, Kit, Said, key};
use crate::layout::elements::{Line, under_bed};
use crate::layout::letters::{Panel, on_end};
use crate::layout::limits::{Bound, problem};
use crate::layout::member::{self, Members};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::stroke::given;
use crate::strength::Bar;
use crate::thread::{Hand, Thread};
use crate::units::{Angle, Length, Torque};
use crate::units_told::Told;
use std::f64::consts::{FRAC_PI_2, PI};

/// A hub is wider than its thread by this. Guess: a fillet and a wall of nine lines beside it.
const OVER_THREAD: Length = Length::mm(14.0);
/// Height of an arm. Guess: about half of its breadth, so that it is stiff across its layers, too.
const ARM_HEIGHT: Length = Length::mm(8.0);
/// Least breadth of an arm, and across the boss at its end: a washer (12 across, ISO 7089, M6; 15.9, ASME
/// B18.22.1, 1/4, from memory) and a millimetre beside it.
const LEAST_BREADTH: Length = Length::mm(18.0);
/// Breadth as a share of the hub. Guess: a thicker screw is turned with more.
const BREADTH: f64 = 0.6;
/// A hub is wider than its arm by this at the least: so the arm stands out of it as one.
const HUB_OVER_ARM: Length = Length::mm(4.0);
/// Arm length in thread diameters, and at the least beyond the hub. Guess: room for a fist's side.
const ARM: f64 = 2.5;
/// See there.
const ARM_BESIDE_HUB: Length = Length::mm(20.0);
/// Least of an arm beyond the hub: the bolt's head, and a spanner around it. Guess.
const BOLT_BESIDE_HUB: Length = Length::mm(12.0);
/// The hub goes on below the bed by this, and the arm by that: no two faces lie in one plane.
const HUB_BELOW_BED: Length = Length::mm(2.0);
/// See there.
const ARM_BELOW_BED: Length = Length::mm(1.5);
/// Density of steel over that of the lightest plastic of those known here, rounded up (steel 7.85, ABS
/// 1.04; from memory).
const STEEL: f64 = 8.0;

/// A crank.
pub(super) struct Crank {
    /// Of its hub.
    diameter: Length,
    /// Of its hub.
    height: Length,
    /// From the axis to its bolt.
    arm: Length,
    /// Whether the kit says that.
    is_arm_said: bool,
    /// Of its arm.
    thick: Length,
    handle: &'static Handle,
    /// What a hand may turn it with.
    torque: Torque,
    /// Chord tolerance.
    tolerance: Length,
    on_top: OnTop,
}

impl Crank {
    /// As the kit has it; what it leaves open follows from the thread.
    pub(super) fn new(kit: &Kit, said: &kit::Crank, drive: &Thread, on_top: OnTop) -> Self {
        let thick = ARM_HEIGHT.up_to(*kit.layer);
        let handle = Handle::of(kit);
        let hub = (drive.major() + OVER_THREAD).max(LEAST_BREADTH + HUB_OVER_ARM);
        let diameter = given(&said.diameter).unwrap_or(hub);
        let arm = (drive.major() * ARM).max(diameter / 2.0 + ARM_BESIDE_HUB);
        Self {
            diameter,
            height: given(&said.height)
                .unwrap_or_else(|| (thick + handle.over_arm()).up_to(*kit.layer)),
            is_arm_said: said.arm.is_some(),
            arm: given(&said.arm).unwrap_or_else(|| arm.up_to(Length::mm(1.0))),
            thick,
            handle,
            torque: *kit.hand_torque,
            tolerance: *kit.tolerance,
            on_top,
        }
    }

    fn radius(&self) -> Length {
        self.diameter / 2.0
    }

    /// Breadth of the arm, and across its end.
    fn breadth(&self) -> Length {
        LEAST_BREADTH.max(self.diameter * BREADTH)
    }

    /// From the axis to its far end.
    fn reach(&self) -> Length {
        self.arm + self.breadth() / 2.0
    }

    /// The arm from the axis to its round end, its sides set in.
    fn outline(&self, set_in: Length) -> Outline {
        let radius = self.breadth() / 2.0;
        // A chord's sagitta is r a^2 / 8.
        let most = (8.0 * (self.tolerance / radius)).sqrt();
        let parts = (PI / most).ceil().max(2.0);
        let radius = radius - set_in;
        let end = (0..=parts as usize).map(|part| {
            let angle = PI + PI * (part as f64 / parts);
            let (sin, cos) = Angle::turns(angle / (FRAC_PI_2 * 4.0)).sin_cos();
            [radius * cos, radius * sin - self.arm]
        });
        let root = [[radius, Length::ZERO], [-radius, Length::ZERO]];
        Outline::Polygon(end.chain(root).collect())
    }

    /// The arm, which goes on below the bed.
    fn arm(&self) -> Solid {
        let whole = Length::ZERO;
        Solid::Prism(vec![
            (-ARM_BELOW_BED, self.outline(BED_EDGE)),
            (Length::ZERO, self.outline(BED_EDGE)),
            (BED_EDGE, self.outline(whole)),
            (self.thick - BED_EDGE, self.outline(whole)),
            (self.thick, self.outline(BED_EDGE)),
        ])
    }

    /// The bolt's hole, its mouths broken.
    fn hole(&self) -> Placed {
        let (radius, top) = (self.handle.bolt.hole / 2.0, self.thick);
        let beyond = BED_EDGE + OVERCUT;
        let solid = Line::from(-OVERCUT, radius + beyond)
            .to(BED_EDGE, radius)
            .to(top - BED_EDGE, radius)
            .to(top + OVERCUT, radius + beyond)
            .turned();
        Placed {
            pose: Pose::shift(Length::ZERO, -self.arm, Length::ZERO),
            solid,
        }
    }

    /// Where the arm's sides leave the hub, from the axis.
    fn root(&self) -> Length {
        let half = self.breadth() / self.diameter;
        self.radius() * (1.0 - half * half).max(0.0).sqrt()
    }
}

/// Length of an arm at the least beside a hub of a radius.
fn least_arm(hub: Length) -> Length {
    hub + BOLT_BESIDE_HUB
}

/// Why a dial that is read there has no place on a crank; nothing where it has one.
pub(super) fn barred(said: &kit::Crank, ticks: &Said<u32>, index: Index) -> Option<Diagnostic> {
    let other = match &said.arm {
        Some(_) => "write `kind = \"knob\"` in `head`, and no `arm`",
        None => "write `kind = \"knob\"` in `head`",
    };
    match index {
        Index::SideMark => None,
        Index::Bar => Some(problem(
            "a dial whose head travels is read at a bar beside the head, and a crank's arm would strike \
             that"
            .into(),
            ticks.at.clone(),
            "its bar stands in the arm's way",
            format!("remove `dial`, or {other}"),
        )),
    }
}

impl Feature for Crank {
    fn solids(&self) -> Solids {
        let (radius, height) = (self.radius(), self.height);
        let line = Line::from(-HUB_BELOW_BED, radius - EDGE)
            .to(Length::ZERO, radius - EDGE)
            .to(EDGE, radius);
        let line = match self.on_top {
            OnTop::Shaft => line.to(height - EDGE, radius).to(height, radius - EDGE),
            OnTop::Dial => line.to(height, radius),
        };
        Solids {
            base: line.turned(),
            within: Vec::new(),
            joined: vec![self.arm()],
            cut: vec![under_bed(self.reach()), self.hole()],
            ways: 1,
        }
    }

    fn marks(&self, hand: Hand) -> Vec<Placed> {
        self.on_top.marks(hand, self.radius(), self.height)
    }

    fn words(&self) -> Words {
        Words {
            name: "crank",
            marked: "the crank's hub, opposite to its arm",
            underside: "the underside of the crank's hub",
        }
    }

    fn tools(&self, told: Told) -> Vec<Tool> {
        vec![Tool::new(
            "handle",
            format!(
                "put its {thread} bolt through the crank's arm from the frame's side, a washer on either \
                 side of the arm, and clamp it with one nut; then the sleeve, and two nuts locked against \
                 each other that leave it loose. The hole is {hole} across. At a stop push at the handle \
                 with no more than {force}: harder breaks the drive screw",
                thread = self.handle.bolt.thread,
                hole = told.length(self.handle.bolt.hole, 2),
                force = told.force(self.torque / self.arm),
            ),
        )]
    }

    fn fasteners(&self, told: Told) -> Vec<Fastener> {
        self.handle.fasteners(told, self.thick)
    }

    fn members(&self, part: PartId, walls: Length, members: &mut Members) {
        let breadth = self.breadth();
        // What is hollow in the middle of a section bends it the less.
        let hollow = (1.0 - (walls * 2.0) / breadth).max(0.0);
        members.cranks.push(member::Crank {
            part,
            what: "the crank's arm at the hub",
            section: Bar {
                width: self.thick * (1.0 - hollow * hollow * hollow),
                height: breadth,
            },
            share: 1.0 - self.root() / self.arm,
            walls: key::PERIMETERS_DRIVE.name(),
        });
    }

    fn recipe(&self) -> Recipe {
        let Self {
            diameter,
            height,
            arm,
            thick,
            handle,
            // Its length tells.
            is_arm_said: _,
            // Said, not drawn.
            torque: _,
            // Every curve's.
            tolerance: _,
            on_top: _,
        } = self;
        vec![
            ("hub's diameter", *diameter),
            ("head height", *height),
            ("arm's length", *arm),
            ("arm's height", *thick),
            ("hole for the handle", handle.bolt.hole),
        ]
    }

    fn bounds(&self, shaft: Length) -> Vec<Bound> {
        let hub = (shaft + EDGE * 4.0).max(LEAST_BREADTH + HUB_OVER_ARM);
        vec![
            Bound::least(
                "hub's diameter",
                key::HEAD_DIAMETER.name(),
                self.diameter,
                hub,
                "it must hold the shaft's foot and the arm's root",
            ),
            Bound::least(
                "hub's height",
                key::HEAD_HEIGHT.name(),
                self.height,
                self.thick + self.handle.over_arm(),
                "the head of the handle's bolt must stay below its face",
            ),
            Bound::least(
                "arm's length",
                key::HEAD_ARM.name(),
                self.arm,
                // Of a hub that is too narrow, beside one that is not: both are mended at once.
                least_arm(self.diameter.max(hub) / 2.0),
                "the head of the handle's bolt and its spanner need room beside the hub",
            ),
        ]
    }
}

impl Head for Crank {
    fn height(&self) -> Length {
        self.height
    }

    // The arm stands away from the frame, which is no wider for it.
    fn around(&self) -> Length {
        self.diameter
    }

    fn weighs_as(&self) -> [Length; 2] {
        let (handle, height) = (self.handle, self.height);
        let arm = self.breadth() * (self.thick / height);
        // Bolt, nuts and sleeve as one rod as thick as a nut is across.
        let bolt = M6.corners().max(QUARTER_INCH.corners());
        let rod = bolt * bolt.as_mm() * (handle.length(self.thick) / height) * STEEL;
        let square =
            self.diameter * self.diameter.as_mm() + (arm * self.reach().as_mm()) * (4.0 / PI) + rod;
        [Length::mm(square.as_mm().sqrt()), height]
    }

    fn bore_room(&self) -> Length {
        self.height - FLOOR_UNDER_BORE
    }

    fn deeper(&self, _: &Kit, _: Length) -> String {
        no_deeper()
    }

    fn seat(&self) -> Seat {
        Seat::on_round(self.radius())
    }

    // An arm that is typed stays as it is, and may be too short beside a wider hub.
    fn wider(&self, radius: Length, step: Length) -> Vec<(KeyPath, Length)> {
        let (key, wide) = wider_round(radius, step);
        let arm = least_arm(wide / 2.0);
        let longer = self.is_arm_said && self.arm < arm;
        let longer = longer.then(|| (key::HEAD_ARM.name(), arm.up_to(step)));
        std::iter::once((key, wide)).chain(longer).collect()
    }

    fn dial(&self) -> Option<&Dial> {
        None
    }

    fn panels(&self) -> Vec<Panel> {
        vec![on_end(self.diameter - EDGE * 2.0)]
    }
}
