//! What the two layouts list for those that judge them: members, thread pairs, distances, starts,
//! peepholes and tools, one function a list, from their sizes and pieces.

use super::member::{
    Bent, Distance, Guide, Leg, Members, Peephole, Pin, Plate, Press, Rod, Rub, Strut, ThreadPair,
    TouchStart, Twist, Wall, Way,
};
use super::rules::{BED_EDGE, COLLAR_GAP_LEADS, EDGE};
use super::sizes::{End, Nested, Sizes, Tip};
use crate::assembly::{Assembly, Fit, InstanceId, JointId, PartId, Tool};
use crate::kit::{KeyPath, Kit, key};
use crate::strength::{Bar, LyingPin, Rail, Round};
use crate::thread::Thread;
use crate::units::Length;
use std::f64::consts::PI;

/// What the lists are made from.
#[derive(Clone, Copy)]
pub(super) struct Sized<'a> {
    pub(super) kit: &'a Kit,
    pub(super) sizes: &'a Sizes,
    pub(super) assembly: &'a Assembly,
}

/// Layers that hide the head's way back from the frame. Guess.
const HEAD_LAYERS: f64 = 2.0;
/// Layers that hide the collar's way back from the drive screw. Guess.
const COLLAR_LAYERS: f64 = 1.5;
/// Share of a rail that its pin holes leave at the least. Guess: it keeps the stress finite
/// where pins as wide as the rail could not be drawn anyway.
const LEAST_LEFT: f64 = 0.05;

/// Pieces, parts and joints by the names that the layouts give them.
impl Sized<'_> {
    fn piece(&self, name: &str) -> InstanceId {
        let pieces = &self.assembly.instances;
        let found = pieces.iter().position(|piece| piece.name == name);
        InstanceId(found.expect("a layout names its own pieces; please report this"))
    }

    fn part(&self, piece: &str) -> PartId {
        self.assembly.instance(self.piece(piece)).part
    }

    fn joint(&self, fit: Fit, one: &str, other: &str) -> JointId {
        let between = [self.piece(one), self.piece(other)];
        let joints = &self.assembly.joints;
        let found = joints
            .iter()
            .position(|joint| joint.fit == fit && joint.between == between);
        JointId(found.expect("a layout names its own joints; please report this"))
    }
}

/// Everything that carries load.
pub(super) fn members(sized: &Sized<'_>) -> Members {
    Members {
        rods: rods(sized),
        columns: vec![column(sized)],
        pins: pins(sized),
        walls: walls(sized),
        presses: presses(sized),
        plates: vec![keeper_plate(sized)],
        legs: vec![rail(sized)],
        collars: match &sized.sizes.end {
            End::Nested(_) => Vec::new(),
            End::Single(tip) => swivel_rubs(tip),
        },
        guides: vec![guide(sized)],
    }
}

/// What the bore leaves of the drive screw.
fn tube(sizes: &Sizes, nested: &Nested) -> Round {
    Round {
        outer: sizes.drive.minor_internal(),
        inner: nested.thread.major() + sizes.gaps.thread.drawn * 2.0,
    }
}

fn rods(sized: &Sized<'_>) -> Vec<Rod> {
    let sizes = sized.sizes;
    let rod = |piece: &str, what, section, way, twist| Rod {
        part: sized.part(piece),
        what,
        section,
        way,
        twist,
    };
    match &sizes.end {
        End::Nested(nested) => vec![
            rod(
                "inner",
                "the inner screw's core, across its layers",
                Round::solid(nested.thread.minor_internal()),
                Way::Either,
                Twist::PassedOn,
            ),
            // Within the frame's thread the tube takes part of both; all of both is on the safe
            // side.
            rod(
                "drive",
                "the drive screw's tube, across its layers",
                tube(sizes, nested),
                Way::Either,
                Twist::AtHead,
            ),
        ],
        End::Single(tip) => vec![
            rod(
                "drive",
                "the drive screw's core, across its layers",
                Round::solid(sizes.drive.minor_internal()),
                Way::Either,
                Twist::AtHead,
            ),
            rod(
                "drive",
                "the drive screw's neck in the swivel, across its layers",
                Round::solid(tip.groove_radius * 2.0),
                Way::Pull,
                Twist::PassedOn,
            ),
        ],
    }
}

/// The screws from the tapped wall to the carriage at the far stop.
fn column(sized: &Sized<'_>) -> Strut {
    let sizes = sized.sizes;
    let length = sizes.keeper_face - sizes.carriage_length - sizes.tapped_wall;
    match &sizes.end {
        End::Nested(nested) => Strut {
            part: sized.part("inner"),
            what: "the screws towards bowing out",
            sections: vec![
                Round::solid(nested.thread.minor_internal()),
                tube(sizes, nested),
            ],
            length,
            threads: vec![key::INNER.name(), key::DRIVE.name()],
        },
        End::Single(_) => Strut {
            part: sized.part("drive"),
            what: "the drive screw towards bowing out",
            sections: vec![Round::solid(sizes.drive.minor_internal())],
            length,
            threads: vec![key::DRIVE.name()],
        },
    }
}

fn pins(sized: &Sized<'_>) -> Vec<Pin> {
    let sizes = sized.sizes;
    let pin = |piece, called, sections, way, bent| Pin {
        part: sized.part(piece),
        called,
        diameter: sizes.pin_diameter,
        bought: sized.kit.pins.buy.is_some(),
        sections,
        way,
        bent,
    };
    let carriage = match &sizes.end {
        End::Nested(nested) => {
            let bent = Bent::BetweenHoles(beside_head(sizes, nested));
            pin("cross pin", "the cross pin", 2, Way::Either, bent)
        }
        End::Single(tip) => {
            let bent = Bent::InTheMiddle(beside_groove(sizes, tip));
            pin("swivel pin 1", "the swivel pins", 4, Way::Pull, bent)
        }
    };
    let bent = Bent::BetweenHoles(beside_plug(sizes));
    let keeper = pin("keeper pin 1", "the keeper pins", 4, Way::Push, bent);
    vec![carriage, keeper]
}

/// From the hole in the inner screw's head to that in the carriage: the room beside the head,
/// and the hole's broken mouth.
fn beside_head(sizes: &Sizes, nested: &Nested) -> Length {
    (sizes.socket_diameter - nested.collar) / 2.0 + EDGE
}

/// From the middle of a swivel pin to where the carriage's hole holds it: half the chord of the
/// socket at the pin's axis, which as drawn is nothing.
fn beside_groove(sizes: &Sizes, tip: &Tip) -> Length {
    let socket = Rail {
        side: sizes.frame_side,
        bore: sizes.socket_diameter,
        slot: Length::ZERO,
    };
    socket.inner_edge(tip.pin_offset)
}

/// From the keeper's plug to the frame, along a keeper pin.
fn beside_plug(sizes: &Sizes) -> Length {
    let plug = |gap: Length| Rail {
        side: sizes.frame_side,
        bore: sizes.guide() - gap * 2.0,
        slot: sizes.slot_width() - gap * 2.0,
    };
    let at = sizes.keeper_pin_offset;
    let gap = sizes.gaps.locate.drawn;
    plug(Length::ZERO).inner_edge(at) - plug(gap).inner_edge(at)
}

fn walls(sized: &Sized<'_>) -> Vec<Wall> {
    let sizes = sized.sizes;
    match &sizes.end {
        End::Nested(nested) => vec![Wall {
            part: sized.part("drive"),
            thickness: sizes.drive.minor_internal() / 2.0
                - (nested.thread.major() / 2.0 + sizes.gaps.thread.drawn),
            outside: (sizes.drive.clone(), key::DRIVE.name()),
            inside: (nested.thread.clone(), key::INNER.name()),
        }],
        End::Single(_) => Vec::new(),
    }
}

/// The entry sides of the pin holes; the far sides are drawn to locate.
fn presses(sized: &Sized<'_>) -> Vec<Press> {
    let sizes = sized.sizes;
    let half = sizes.frame_side / 2.0;
    let (carriage_pin, beside) = match &sizes.end {
        End::Nested(_) => ("cross pin", sizes.ear_width / 2.0),
        End::Single(tip) => ("swivel pin 1", sizes.ear_width / 2.0 - tip.pin_offset),
    };
    let above = sizes.frame_length - sizes.keeper_pin_height(*sized.kit.layer);
    let press = |pin, holder, outside, length| Press {
        part: sized.part(holder),
        joint: sized.joint(Fit::Press, pin, holder),
        pin: sizes.pin_diameter,
        bought: sized.kit.pins.buy.is_some(),
        outside,
        length,
    };
    vec![
        press(
            carriage_pin,
            "carriage",
            beside * 2.0,
            half - sizes.socket_diameter / 2.0,
        ),
        press(
            "keeper pin 1",
            "frame",
            above.min(half - sizes.keeper_pin_offset) * 2.0,
            half - sizes.guide() / 2.0,
        ),
    ]
}

/// The keeper's plug, pressed on by the carriage's face and held by two pins.
fn keeper_plate(sized: &Sized<'_>) -> Plate {
    let sizes = sized.sizes;
    let pressed = centroid(sizes.carriage_diameter / 2.0, sizes.keeper_bore / 2.0);
    Plate {
        part: sized.part("keeper"),
        what: "the keeper's plug in bending",
        section: Bar {
            width: sizes.guide() - sizes.gaps.locate.drawn * 2.0 - sizes.keeper_bore,
            height: sizes.keeper_plug,
        },
        lever: (sizes.keeper_pin_offset - pressed).abs(),
        called: "its plug",
        key: key::KEEPER_PLUG.name(),
    }
}

/// Distance of the centroid of half a ring from its diameter.
fn centroid(outer: Length, inner: Length) -> Length {
    let (outer, inner) = (outer.as_mm(), inner.as_mm());
    let cubes = outer * outer * outer - inner * inner * inner;
    Length::mm(4.0 / (3.0 * PI) * cubes / (outer * outer - inner * inner))
}

/// One of the frame's rails, pulled by the keeper pins at half their bedding outside its inner
/// edge.
fn rail(sized: &Sized<'_>) -> Leg {
    let sizes = sized.sizes;
    let rail = Rail {
        side: sizes.frame_side,
        bore: sizes.guide(),
        slot: sizes.slot_width(),
    };
    let pin = LyingPin {
        diameter: sizes.pin_diameter,
    };
    let inner = rail.inner_edge(sizes.keeper_pin_offset);
    let whole = rail.area().as_square_mm();
    let holes = 2.0 * sizes.pin_diameter.as_mm() * (sizes.frame_side / 2.0 - inner).as_mm();
    let left = (whole - holes).max(whole * LEAST_LEFT);
    Leg {
        part: sized.part("frame"),
        what: "the frame's rails, across their layers",
        section: rail,
        at: inner + pin.bedding_length() / 2.0,
        weakened: whole / left,
        key: key::FRAME_SIDE.name(),
    }
}

/// Pulled, the carriage hangs on the groove's flank; pushed, on the pip.
fn swivel_rubs(tip: &Tip) -> Vec<Rub> {
    vec![
        Rub {
            radius: tip.pull_radius(),
            way: Way::Pull,
        },
        Rub {
            radius: tip.push_radius(),
            way: Way::Push,
        },
    ]
}

fn guide(sized: &Sized<'_>) -> Guide {
    let sizes = sized.sizes;
    Guide {
        part: sized.part("carriage"),
        joint: sized.joint(Fit::Slide, "carriage", "frame"),
        length: sizes.carriage_length - EDGE - BED_EDGE,
        edges: EDGE + BED_EDGE,
        across: sizes.carriage_diameter,
        key: key::CARRIAGE_LENGTH.name(),
    }
}

/// Every pair of threads, the drive's first.
pub(super) fn threads(sized: &Sized<'_>) -> Vec<ThreadPair> {
    let sizes = sized.sizes;
    let allowed = sizes.allowed.thread.drawn;
    let [wall, length] = [key::TAPPED_WALL.name(), key::DRIVE_THREAD.name()];
    let mut pairs = vec![ThreadPair {
        joint: sized.joint(Fit::Thread, "drive", "frame"),
        key: key::DRIVE.name(),
        wanted: sizes.drive_engagement,
        allowed,
        lengths: vec![wall, length],
        engage_more: format!("leave out {length}, or write more of {wall}"),
    }];
    if let End::Nested(nested) = &sizes.end {
        let [length, bore] = [key::INNER_THREAD.name(), key::BORE.name()];
        pairs.push(ThreadPair {
            joint: sized.joint(Fit::Thread, "inner", "drive"),
            key: key::INNER.name(),
            wanted: nested.engagement,
            allowed,
            lengths: vec![length, bore],
            engage_more: format!("leave out {length} and {bore}, or write more of both"),
        });
    }
    pairs
}

/// What must not meet before the carriage stops.
pub(super) fn distances(sized: &Sized<'_>) -> Vec<Distance> {
    let sizes = sized.sizes;
    let (drive, stroke) = (&sizes.drive, key::STROKE.name());
    let mut distances = vec![Distance {
        part: sized.part("drive"),
        between: "the drive head and the frame",
        at_zero: sizes.head_gap(0.0),
        per_turn: -drive.lead(),
        lead: drive.lead(),
        blame: vec![key::DRIVE_THREAD.name(), key::TAPPED_WALL.name(), stroke],
    }];
    if let End::Nested(nested) = &sizes.end {
        let collar = nested.collar_gap(sizes.assembly_turn, 0.0);
        let lead = nested.thread.lead();
        let distance = |between, at_zero| Distance {
            part: sized.part("inner"),
            between,
            at_zero,
            per_turn: if nested.same_hand { -lead } else { lead },
            lead,
            blame: vec![key::INNER_THREAD.name(), key::BORE.name(), stroke],
        };
        distances.extend([
            distance("the inner screw's collar and the drive screw's end", collar),
            distance(
                "the inner screw's end and the bore's floor",
                nested.bore - nested.thread_length + collar,
            ),
        ]);
    }
    distances
}

/// Screws that touch and are turned back.
pub(super) fn starts(sized: &Sized<'_>) -> Vec<TouchStart> {
    let sizes = sized.sizes;
    let mut starts = vec![TouchStart {
        part: sized.part("drive"),
        way: sizes.head_gap(sizes.assembly_turn),
        hidden_by: HEAD_LAYERS,
        key: key::DRIVE.name(),
    }];
    if let End::Nested(nested) = &sizes.end {
        starts.push(TouchStart {
            part: sized.part("inner"),
            // The first place at which the slot points at the mark.
            way: nested.thread.lead() * COLLAR_GAP_LEADS,
            hidden_by: COLLAR_LAYERS,
            key: key::INNER.name(),
        });
    }
    starts
}

/// The hole through the keeper, between its pins.
pub(super) fn peepholes(sized: &Sized<'_>) -> Vec<Peephole> {
    let sizes = sized.sizes;
    vec![Peephole {
        part: sized.part("keeper"),
        called: "the hole through the keeper",
        diameter: sizes.keeper_bore,
        pins: sizes.pin_diameter,
        around: (sized.part("carriage"), key::CARRIAGE_DIAMETER.name()),
        // Pins to buy say their diameter, too.
        blame: vec![
            key::PINS_BUY.name(),
            key::PINS_DIAMETER.name(),
            key::DRIVE.name(),
        ],
    }]
}

/// The screw that a differential is compared with.
pub(super) fn plain(sizes: &Sizes) -> Option<Thread> {
    match &sizes.end {
        End::Nested(_) => Some(sizes.drive.clone()),
        End::Single(_) => None,
    }
}

/// Sizes that a kit may set so that pieces meet which the layout would keep apart.
pub(super) fn meeting(sizes: &Sizes) -> Vec<KeyPath> {
    let mut keys = vec![key::TAPPED_WALL.name(), key::DRIVE_THREAD.name()];
    match &sizes.end {
        End::Nested(_) => keys.extend([
            key::INNER_THREAD.name(),
            key::BORE.name(),
            key::COLLAR.name(),
        ]),
        End::Single(_) => {}
    }
    keys.extend([
        key::CARRIAGE_DIAMETER.name(),
        key::CARRIAGE_LENGTH.name(),
        key::EAR_WIDTH.name(),
        key::FRAME_SIDE.name(),
        key::KEEPER_PLUG.name(),
        key::THREAD_ROOM.name(),
    ]);
    keys
}

/// What the bench needs: common practice for pressed pins and a hexagon head.
pub(super) fn tools(kit: &Kit, sizes: &Sizes) -> Vec<Tool> {
    let tool = |name: &str, description: String| Tool {
        name: name.into(),
        description,
    };
    let mut tools = vec![
        tool(
            "spanner",
            format!(
                "{} across flats, only to hold the hexagon: turn with your fingers, a spanner's \
                 length breaks it",
                kit.told().length(sizes.across_flats, 2)
            ),
        ),
        tool("vice", "or a soft mallet, to press the pins in".into()),
        tool(
            "pin punch",
            "or a rod thinner than the pins, to set their ends below the faces and to drive \
             them out again"
                .into(),
        ),
        tool(
            "eye protection",
            "for whoever presses pins, and whoever stands near".into(),
        ),
        tool(
            "knife",
            "or a file, to trim first layers and strings".into(),
        ),
        tool("caliper", "or a rule, to measure in the last step".into()),
    ];
    match &sizes.end {
        End::Nested(_) => tools.push(tool(
            "screwdriver",
            "flat blade, for the slot of the inner screw".into(),
        )),
        End::Single(_) => {}
    }
    tools
}

#[cfg(test)]
mod tests {
    use crate::assembly::JointId;
    use crate::kit::Kit;
    use crate::layout::design;
    use crate::printer::Profile;

    const NESTED: &str = "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\n\
                          inner = \"M12x1.75-LH\"\nstroke = 10\n";
    const SINGLE: &str = "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\n";

    #[test]
    fn every_thread_joint_is_among_the_thread_pairs() {
        for text in [NESTED, SINGLE] {
            let kit: Kit = text.parse().expect("a valid kit");
            let design = design(&kit, &Profile::untuned_for(&kit)).expect("a kit to draw");
            let joints: Vec<JointId> = design.assembly.thread_joints().map(|j| j.0).collect();
            let listed: Vec<JointId> = design.threads.iter().map(|pair| pair.joint).collect();
            assert_eq!(listed, joints);
        }
    }
}
