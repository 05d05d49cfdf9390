//! Sizes of a mechanism in a round house, read from what its design tells to everybody: from what
//! each part is made of by name, from poses, joints and distances. Symbols are those of
//! docs/sizing.md.

use netlead::assembly::{Fit, Gap};
use netlead::layout::Design;
use netlead::thread::Thread;
use netlead::units::Length;

/// Sizes of a mechanism; heights at turn 0 in the assembly.
#[derive(Clone, Debug)]
pub(crate) struct Sizes {
    pub(crate) gaps: Gaps,
    pub(crate) drive: Thread,
    pub(crate) net_lead: Length,
    pub(crate) turns: f64,
    /// J, of all joints as drawn.
    pub(crate) play: Length,
    pub(crate) over_travel: f64,
    pub(crate) assembly_turn: f64,
    pub(crate) across_flats: Length,
    pub(crate) head_height: Length,
    pub(crate) tapped_wall: Length,
    pub(crate) thread_end: Length,
    pub(crate) drive_thread: Length,
    pub(crate) near_face: Length,
    pub(crate) shoulder: Length,
    pub(crate) keeper_face: Length,
    pub(crate) frame_length: Length,
    pub(crate) frame_side: Length,
    pub(crate) carriage_diameter: Length,
    pub(crate) carriage_length: Length,
    pub(crate) ear_width: Length,
    pub(crate) socket_diameter: Length,
    pub(crate) pin_diameter: Length,
    pub(crate) keeper_plug: Length,
    pub(crate) keeper_bore: Length,
    pub(crate) end: End,
}

/// What the drive screw ends in.
#[derive(Clone, Debug)]
pub(crate) enum End {
    Nested(Inner),
    Single(Tip),
}

/// The inner screw and its bore.
#[derive(Clone, Debug)]
pub(crate) struct Inner {
    pub(crate) thread: Thread,
    pub(crate) collar: Length,
    pub(crate) head_height: Length,
    pub(crate) cross_hole: Length,
    pub(crate) collar_face: Length,
    pub(crate) thread_length: Length,
    pub(crate) bore: Length,
}

/// The tip of a single layout.
#[derive(Clone, Debug)]
pub(crate) struct Tip {
    pub(crate) diameter: Length,
    pub(crate) groove_radius: Length,
    pub(crate) length: Length,
}

/// Gaps of the first joint of each fit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gaps {
    pub(crate) thread: Gap,
    pub(crate) slide: Gap,
    /// Of the keeper.
    pub(crate) locate: Gap,
    pub(crate) press: Gap,
    /// In a single layout; that of the thread in a nested one.
    pub(crate) swivel: Gap,
}

/// A size by which a part tells what it is made of; none where it has no such.
pub(crate) fn told(design: &Design, part: &str, size: &str) -> Option<Length> {
    let part = design.assembly.parts.iter().find(|one| one.name == part)?;
    let found = part.recipe.iter().find(|(name, _)| *name == size)?;
    Some(found.1)
}

/// The sizes of a design.
pub(crate) fn sizes(design: &Design) -> Sizes {
    let told = |part: &str, size: &str| told(design, part, size);
    let of = |part: &str, size: &str| {
        told(part, size).unwrap_or_else(|| panic!("the {part} does not tell its {size}"))
    };
    let assembly = &design.assembly;
    let gap = |fit: Fit, name: &str| {
        let mut joints = assembly.joints.iter();
        let joint = joints.find(|joint| joint.fit == fit && joint.name.contains(name));
        joint.and_then(|joint| joint.gap)
    };
    let thread = gap(Fit::Thread, "drive/frame").unwrap();
    let threads: Vec<&Thread> = assembly
        .thread_joints()
        .map(|(_, _, joint)| &joint.thread)
        .collect();
    let carriage = assembly.instance(assembly.carriages.leading).pose;
    let carriage_length = of("carriage", "length");
    let frame_length = of("frame", "length");
    let keeper_plug = of("keeper", "plug");
    let end = match threads.get(1) {
        Some(inner) => End::Nested(Inner {
            thread: (*inner).clone(),
            collar: of("inner", "collar"),
            head_height: of("inner", "head height"),
            cross_hole: of("inner", "cross hole"),
            collar_face: of("inner", "place of its thread"),
            thread_length: of("inner", "thread length"),
            bore: of("drive", "bore"),
        }),
        None => End::Single(Tip {
            diameter: of("drive", "tip diameter"),
            groove_radius: of("drive", "groove radius"),
            length: of("drive", "tip length"),
        }),
    };
    Sizes {
        gaps: Gaps {
            thread,
            slide: gap(Fit::Slide, "").unwrap(),
            locate: gap(Fit::Locate, "keeper/frame").unwrap(),
            press: gap(Fit::Press, "").unwrap(),
            swivel: gap(Fit::Swivel, "").unwrap_or(thread),
        },
        drive: threads[0].clone(),
        net_lead: design.net_lead,
        turns: design.course.turns,
        play: assembly
            .joints
            .iter()
            .filter_map(|joint| joint.axial_play)
            .sum(),
        over_travel: design.course.over_travel,
        assembly_turn: design.course.assembly_turn,
        across_flats: told("drive", "hexagon").unwrap_or(Length::ZERO),
        head_height: of("drive", "head height"),
        tapped_wall: of("frame", "tapped wall"),
        thread_end: of("drive", "thread end"),
        drive_thread: of("drive", "thread length"),
        // Printed upside down: its far face stands where its print frame begins.
        near_face: Length::mm(carriage.to_rows()[2][3]) - carriage_length,
        shoulder: of("frame", "shoulder"),
        keeper_face: frame_length - keeper_plug,
        frame_length,
        frame_side: of("frame", "side"),
        carriage_diameter: of("carriage", "diameter"),
        carriage_length,
        ear_width: of("carriage", "ear width"),
        socket_diameter: of("carriage", "socket diameter"),
        pin_diameter: of("pin", "diameter"),
        keeper_plug,
        keeper_bore: of("keeper", "hole"),
        end,
    }
}

impl Sizes {
    /// Dg, the guide bore.
    pub(crate) fn guide(&self) -> Length {
        self.carriage_diameter + self.gaps.slide.drawn * 2.0
    }

    /// Gap between the drive head and the frame at turn n.
    pub(crate) fn head_gap(&self, n: f64) -> Length {
        self.drive_thread - self.thread_end - self.drive.lead() * n
    }

    /// The same with the carriage on its rear stop and no play taken up.
    pub(crate) fn head_gap_at_rear_stop(&self) -> Length {
        self.head_gap(-(self.near_face - self.shoulder) / self.net_lead)
    }
}
