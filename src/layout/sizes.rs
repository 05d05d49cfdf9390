//! Every size of a mechanism, from stroke and threads.
//!
//! Frame of the heights: +z from the drive head into the frame, z = 0 the frame's outer end
//! face; n counts turns in the direction that carries out the stroke. Symbols in the comments
//! are those of the sizing tables in `docs/sizing.md`.

use super::rules::*;
use crate::assembly::{Fit, Gap, Mates};
use crate::kit::{Grip, Kit, Mechanism, Said};
use crate::printer::Profile;
use crate::thread::Thread;
use crate::units::Length;

/// Every size of a mechanism; heights at turn 0 in the assembly's frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizes {
    /// Gaps as drawn, one for each kind of fit.
    pub gaps: Gaps,
    /// Gaps that the lengths leave room for: those of an untuned printer. A tuned one then
    /// changes the female parts only.
    pub allowed: Gaps,
    /// Thread of the drive screw.
    pub drive: Thread,
    /// Ln, travel of the carriage in one turn.
    pub net_lead: Length,
    /// N, turns for the stroke.
    pub turns: f64,
    /// J, play of the carriage along the axis when nothing presses it.
    pub play: Length,
    /// m, turns past the stroke until all play is used up at the stop.
    pub over_travel: f64,
    /// Na, the whole turn at which the marks line up for assembly.
    pub assembly_turn: f64,
    /// Le1, wanted engagement of the drive screw in the frame.
    pub drive_engagement: Length,
    /// AF, of the hexagon as its spanner is called.
    pub across_flats: Length,
    /// k.
    pub head_height: Length,
    /// Lw, tapped wall of the frame.
    pub tapped_wall: Length,
    /// zd, end of the drive screw's thread.
    pub thread_end: Length,
    /// Ls1, thread under the head, neck included.
    pub drive_thread: Length,
    /// zc, near face of the carriage.
    pub near_face: Length,
    /// zsh, the shoulder that stops the carriage at the rear.
    pub shoulder: Length,
    /// zk, the keeper's face that stops it at the far end.
    pub keeper_face: Length,
    /// Hf, length of the frame.
    pub frame_length: Length,
    /// A, side of the frame's square.
    pub frame_side: Length,
    /// Dc, the carriage's round body.
    pub carriage_diameter: Length,
    /// Lc.
    pub carriage_length: Length,
    /// be, width of the carriage's ears.
    pub ear_width: Length,
    /// Diameter of the socket in the carriage.
    pub socket_diameter: Length,
    /// Its depth.
    pub socket_depth: Length,
    /// dp.
    pub pin_diameter: Length,
    /// hk, the keeper's plug.
    pub keeper_plug: Length,
    /// xp, keeper pins beside the axis.
    pub keeper_pin_offset: Length,
    /// dk, hole through the keeper.
    pub keeper_bore: Length,
    /// What the drive screw ends in.
    pub end: End,
}

/// What the drive screw ends in.
#[derive(Clone, Debug, PartialEq)]
pub enum End {
    /// A tapped bore with an inner screw.
    Nested(Nested),
    /// A grooved tip in a swivel.
    Single(Tip),
}

/// Sizes of a nested layout's inner screw and its bore.
#[derive(Clone, Debug, PartialEq)]
pub struct Nested {
    /// Thread of the inner screw.
    pub thread: Thread,
    /// True when both threads wind the same way.
    pub same_hand: bool,
    /// Le2, wanted engagement of the inner screw.
    pub engagement: Length,
    /// Dh, the collar, which is also the head.
    pub collar: Length,
    /// Lh, height of the head.
    pub head_height: Length,
    /// eh, of the cross hole from the head's end.
    pub cross_hole: Length,
    /// zi, the collar's face.
    pub collar_face: Length,
    /// Ls2, thread under the collar, neck included.
    pub thread_length: Length,
    /// B, depth of the bore.
    pub bore: Length,
    /// n0, whole turns by which an opposite hand starts earlier.
    pub early_turns: f64,
}

/// Sizes of a single layout's tip.
#[derive(Clone, Debug, PartialEq)]
pub struct Tip {
    /// Dt.
    pub diameter: Length,
    /// rg, radius of the groove's floor.
    pub groove_radius: Length,
    /// Of the groove's centre from the thread's end.
    pub groove_centre: Length,
    /// From the thread's end to the tip's end, pip not counted.
    pub length: Length,
    /// yp, of the swivel pins beside the axis.
    pub pin_offset: Length,
}

/// Gaps of all kinds of fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gaps {
    /// c, radial.
    pub thread: Gap,
    /// gs, a side.
    pub slide: Gap,
    /// gl, radial.
    pub locate: Gap,
    /// Locating pins, radial.
    pub locate_pin: Gap,
    /// gp, pressed pins, radial, at the tips of the ribs.
    pub press: Gap,
    /// gt, radial and along the axis.
    pub swivel: Gap,
    /// ga.
    pub seat: Gap,
}

impl Gaps {
    pub(super) fn new(kit: &Kit, profile: &Profile) -> Self {
        let lying = match &kit.pins.buy {
            Some(_) => Mates::BoughtInLying,
            None => Mates::Lying,
        };
        let gap =
            |fit, wanted: &Said<Length>, mates| profile.gap(fit, **wanted, mates, NOMINAL_PIN);
        let printed = |fit, wanted| gap(fit, wanted, Mates::Printed);
        Self {
            thread: printed(Fit::Thread, &kit.gaps.thread),
            slide: printed(Fit::Slide, &kit.gaps.slide),
            locate: printed(Fit::Locate, &kit.gaps.locate),
            locate_pin: gap(Fit::Locate, &kit.gaps.locate, lying),
            press: Gap {
                ribs: rib_height(kit),
                ..gap(Fit::Press, &kit.gaps.press, lying)
            },
            swivel: printed(Fit::Swivel, &kit.gaps.swivel),
            seat: printed(Fit::Seat, &kit.gaps.seat),
        }
    }
}

/// How far the ribs of a pressed pin's hole stand out of its wall; none where the wall holds it.
/// The printer's growth moves ribs and wall alike.
fn rib_height(kit: &Kit) -> Option<Length> {
    match *kit.pins.held_by {
        Grip::Ribs => Some((BEHIND_RIBS - *kit.gaps.press).max(LEAST_RIB)),
        Grip::Wall => None,
    }
}

/// Radial thread gap, beyond one layer, that lengths leave room for when the kit does not say:
/// what an untuned printer draws (0.04 wanted, and growth of both faces).
const ALLOWED_BEYOND_LAYER: Length = Length::mm(0.10);

/// Gaps of one mechanism.
struct Drawn {
    gaps: Gaps,
    allowed: Gaps,
}

impl Gaps {
    fn allowed(kit: &Kit) -> Self {
        let untuned = Self::new(kit, &Profile::untuned_for(kit));
        let thread = given(&kit.sizes.thread_gap).unwrap_or(*kit.layer + ALLOWED_BEYOND_LAYER);
        Self {
            thread: Gap {
                drawn: thread,
                ..untuned.thread
            },
            ..untuned
        }
    }
}

/// Radius at which a pin hole's curvature is taken; pins are 3 to 6 mm thick, and their size
/// follows from the gap.
const NOMINAL_PIN: Length = Length::mm(2.5);

/// cs: length of a 45 degree countersink or tip chamfer along the axis.
pub fn chamfer_length(thread: &Thread) -> Length {
    thread.depth() + CHAMFER_BEYOND_THREAD
}

/// Le: wanted engagement of full profile at the worst place of the stroke.
fn wanted_engagement(thread: &Thread) -> Length {
    (thread.major() * ENGAGED_DIAMETERS).max(thread.pitch() * ENGAGED_PITCHES)
}

fn given(said: &Option<Said<Length>>) -> Option<Length> {
    said.as_ref().map(|said| said.value)
}

impl Sizes {
    /// Sizes of a kit whose net lead is positive and whose inner screw fits into the drive.
    pub(super) fn new(kit: &Kit, profile: &Profile) -> Self {
        let gaps = Drawn {
            gaps: Gaps::new(kit, profile),
            allowed: Gaps::allowed(kit),
        };
        match &kit.mechanism {
            Mechanism::Nested(threads) => nested(kit, &gaps, &threads.inner),
            Mechanism::Single(_) => single(kit, &gaps),
        }
    }

    /// bs, width of the slots.
    pub fn slot_width(&self) -> Length {
        self.ear_width + self.gaps.slide.drawn * 2.0
    }

    /// Dg, the guide bore.
    pub fn guide(&self) -> Length {
        self.carriage_diameter + self.gaps.slide.drawn * 2.0
    }

    /// z of the keeper pins.
    pub fn keeper_pin_height(&self, layer: Length) -> Length {
        self.frame_length - (self.pin_diameter * KEEPER_PIN_PINS).up_to(layer)
    }

    /// Gap between the drive head and the frame at turn n.
    pub fn head_gap(&self, n: f64) -> Length {
        self.drive_thread - self.thread_end - self.drive.lead() * n
    }

    /// Gap between head and frame with the carriage on its rear stop and no play taken up.
    pub fn head_gap_at_rear_stop(&self) -> Length {
        self.head_gap(-(self.near_face - self.shoulder) / self.net_lead)
    }
}

impl Tip {
    /// Mean radius at which friction acts while the carriage is pulled: on the groove's flank.
    pub fn pull_radius(&self) -> Length {
        self.groove_radius + PULL_BEYOND_FLOOR
    }

    /// Mean radius at which friction acts while the carriage is pushed: two thirds of the
    /// pip's radius, uniform pressure on a disc (Shigley, 9th ed., sect. 16-5).
    pub fn push_radius(&self) -> Length {
        self.diameter * (PIP_PER_TIP / 3.0)
    }
}

impl Nested {
    /// Gap between the collar and the drive's end at turn n.
    pub fn collar_gap(&self, assembly_turn: f64, n: f64) -> Length {
        let turns = if self.same_hand {
            assembly_turn - n
        } else {
            n + self.early_turns
        };
        self.thread.lead() * (COLLAR_GAP_LEADS + turns)
    }
}

/// What both layouts derive first.
struct Stroke {
    net_lead: Length,
    turns: f64,
    play: Length,
    over_travel: f64,
    assembly_turn: f64,
}

impl Stroke {
    fn new(kit: &Kit, net_lead: Length, play: Length) -> Self {
        let turns = *kit.stroke / net_lead;
        let over_travel = (OVER_TRAVEL + *kit.layer + play / 2.0) / net_lead;
        let assembly_turn = (turns + over_travel + SPARE_TURNS).ceil();
        Self {
            net_lead,
            turns,
            play,
            over_travel,
            assembly_turn,
        }
    }
}

/// The travel of the carriage in one turn that carries out the stroke; negative or zero when
/// the pair does not make a mechanism.
pub fn net_lead(drive: &Thread, inner: Option<&Thread>) -> Length {
    match inner {
        None => drive.lead(),
        Some(inner) if inner.hand() == drive.hand() => drive.lead() - inner.lead(),
        Some(inner) => drive.lead() + inner.lead(),
    }
}

fn nested(kit: &Kit, drawn: &Drawn, inner: &Thread) -> Sizes {
    let (layer, line) = (*kit.layer, *kit.line);
    let Drawn { gaps, allowed } = drawn;
    let (c, gl, ga) = (allowed.thread.drawn, gaps.locate.drawn, gaps.seat.drawn);
    let drive = kit.mechanism.drive();
    let play = drive.play(c) + inner.play(c) + allowed.locate.drawn + allowed.seat.drawn;
    let stroke = Stroke::new(kit, net_lead(drive, Some(inner)), play);
    let screw = Screw::new(kit, &stroke);

    let passage = drive.minor_internal() + c * 2.0 - COLLAR_PASSAGE;
    let collar = given(&kit.sizes.collar).unwrap_or_else(|| {
        (inner.major() + COLLAR_OVER_THREAD)
            .min(passage)
            .down_to(HALF)
    });
    let thickest = (ROUND_LYING_HOLE - allowed.locate_pin.drawn * 2.0).down_to(HALF);
    let pin = given(&kit.pins.diameter).unwrap_or_else(|| {
        (collar / HEAD_PER_PIN)
            .down_to(HALF)
            .min(thickest)
            .max(LEAST_PIN)
    });
    let cross_hole = (CROSS_HOLE_COVER + pin * CROSS_HOLE_PINS).up_to(layer);
    let mut inside = Nested {
        thread: inner.clone(),
        same_hand: inner.hand() == drive.hand(),
        engagement: wanted_engagement(inner),
        collar,
        head_height: (cross_hole + pin * COLLAR_PINS).up_to(layer),
        cross_hole,
        collar_face: Length::ZERO,
        thread_length: Length::ZERO,
        bore: Length::ZERO,
        early_turns: (stroke.over_travel + SPARE_TURNS).ceil(),
    };
    let gap = |n: f64| inside.collar_gap(stroke.assembly_turn, n);
    let widest = gap(-stroke.over_travel).max(gap(stroke.turns + stroke.over_travel));
    let collar_face = screw.thread_end + gap(0.0);
    let needed = inside.engagement + chamfer_length(inner) * 2.0 + widest;
    inside.collar_face = collar_face;
    inside.thread_length = given(&kit.sizes.inner_thread).unwrap_or_else(|| needed.up_to(layer));
    inside.bore = given(&kit.sizes.bore)
        .unwrap_or_else(|| (inside.thread_length + inner.lead() * FLOOR_GAP_LEADS).up_to(layer));

    let socket = Socket {
        diameter: collar + gl * 2.0,
        depth: inside.head_height - COLLAR_PROUD + ga,
        holds: collar,
    };
    let ear = given(&kit.sizes.ear_width).unwrap_or(pin + EAR_OVER_PIN);
    let wall = SOCKET_WALL.max(line * SOCKET_WALL_LINES);
    let body =
        (drive.major() + CARRIAGE_OVER_DRIVE).max(collar + (allowed.locate.drawn + wall) * 2.0);
    let near_face = collar_face + COLLAR_PROUD;
    housing(
        kit,
        drawn,
        stroke,
        screw,
        near_face,
        pin,
        ear,
        body,
        socket,
        End::Nested(inside),
    )
}

fn single(kit: &Kit, drawn: &Drawn) -> Sizes {
    let Drawn { gaps, allowed } = drawn;
    let gt = gaps.swivel.drawn;
    let drive = kit.mechanism.drive();
    let play = drive.play(allowed.thread.drawn) + allowed.swivel.drawn + allowed.seat.drawn;
    let stroke = Stroke::new(kit, drive.lead(), play);
    let screw = Screw::new(kit, &stroke);

    let diameter = drive.minor_internal() - TIP_UNDER_ROOT;
    let thickest = (ROUND_LYING_HOLE - allowed.locate_pin.drawn * 2.0).down_to(HALF);
    let nearest = |length: Length| (length + HALF / 2.0).down_to(HALF);
    let pin = given(&kit.pins.diameter)
        .unwrap_or_else(|| nearest(diameter * PIN_PER_TIP).min(thickest).max(LEAST_PIN));
    let radius = pin / 2.0;
    let groove_radius = diameter / 2.0 - radius;
    let groove_centre = THREAD_BEFORE_CARRIAGE + pin * GROOVE_PINS;
    let land = GROOVE_LAND.max(pin * GROOVE_LAND_PINS);
    let tip = Tip {
        diameter,
        groove_radius,
        groove_centre,
        length: groove_centre + radius * (1.0 + GROOVE_FLOOR) + land,
        pin_offset: groove_radius + radius + gt,
    };
    let socket = Socket {
        diameter: diameter + gt * 2.0,
        depth: tip.length + PIP_HEIGHT - THREAD_BEFORE_CARRIAGE + gaps.seat.drawn,
        holds: diameter,
    };
    let outside = groove_radius + radius + allowed.swivel.drawn;
    let ear = given(&kit.sizes.ear_width).unwrap_or((outside + radius + EAR_COVER) * 2.0);
    let body = (drive.major() + CARRIAGE_OVER_DRIVE).max(ear + BODY_OVER_EARS);
    let near_face = screw.thread_end + THREAD_BEFORE_CARRIAGE;
    housing(
        kit,
        drawn,
        stroke,
        screw,
        near_face,
        pin,
        ear,
        body,
        socket,
        End::Single(tip),
    )
}

/// The drive screw in the frame's tapped wall.
struct Screw {
    engagement: Length,
    tapped_wall: Length,
    thread_end: Length,
    drive_thread: Length,
}

impl Screw {
    fn new(kit: &Kit, stroke: &Stroke) -> Self {
        let drive = kit.mechanism.drive();
        let (layer, chamfer) = (*kit.layer, chamfer_length(drive));
        let engagement = wanted_engagement(drive);
        let tapped_wall = given(&kit.sizes.tapped_wall)
            .unwrap_or_else(|| (engagement + chamfer * 2.0).up_to(layer));
        let thread_end = tapped_wall + drive.lead() * stroke.over_travel + chamfer;
        let run = drive.lead() * (stroke.assembly_turn + HEAD_GAP_LEADS);
        let drive_thread =
            given(&kit.sizes.drive_thread).unwrap_or_else(|| (thread_end + run).up_to(layer));
        Self {
            engagement,
            tapped_wall,
            thread_end,
            drive_thread,
        }
    }
}

/// The socket in the carriage and the diameter of what stands in it.
struct Socket {
    diameter: Length,
    depth: Length,
    holds: Length,
}

/// Frame, carriage and keeper around the screws.
#[expect(
    clippy::too_many_arguments,
    reason = "each is a result that both layouts derive their own way"
)]
fn housing(
    kit: &Kit,
    drawn: &Drawn,
    stroke: Stroke,
    screw: Screw,
    near_face: Length,
    pin: Length,
    ear_width: Length,
    body: Length,
    socket: Socket,
    end: End,
) -> Sizes {
    let (layer, line) = (*kit.layer, *kit.line);
    let drive = kit.mechanism.drive();
    let across_flats = given(&kit.head.across_flats).unwrap_or_else(|| spanner(kit));
    let head_height = given(&kit.head.height).unwrap_or_else(|| {
        (drive.major() * HEAD_HEIGHT_PER_DIAMETER)
            .max(LEAST_HEAD_HEIGHT)
            .up_to(layer)
    });
    let carriage_diameter = given(&kit.sizes.carriage_diameter).unwrap_or(body);
    let floor = SOCKET_FLOOR.max(socket.holds * SOCKET_FLOOR_SHARE);
    let carriage_length = given(&kit.sizes.carriage_length).unwrap_or_else(|| {
        (socket.depth + floor)
            .max(carriage_diameter * CARRIAGE_SLENDERNESS)
            .up_to(layer)
    });
    let keeper_plug =
        given(&kit.sizes.keeper_plug).unwrap_or_else(|| (pin * KEEPER_PLUG_PINS).up_to(layer));
    let frame_length =
        (near_face + *kit.stroke + carriage_length + OVER_TRAVEL + keeper_plug).up_to(layer);
    let wall = GUIDE_WALL.max(line * GUIDE_WALL_LINES);
    let guide = carriage_diameter + drawn.allowed.slide.drawn * 2.0;
    let corners = across_flats * (2.0 / 3f64.sqrt());
    let frame_side = given(&kit.sizes.frame_side).unwrap_or_else(|| {
        (guide + wall * 2.0)
            .max(corners + HEAD_ON_TABLE)
            .up_to(EVEN)
    });
    let keeper_pin_offset = carriage_diameter / 2.0 - pin / 2.0 - KEEPER_PIN_COVER;
    let between = (keeper_pin_offset - pin / 2.0 - KEEPER_PIN_COVER) * 2.0;
    Sizes {
        gaps: drawn.gaps,
        allowed: drawn.allowed,
        drive: drive.clone(),
        net_lead: stroke.net_lead,
        turns: stroke.turns,
        play: stroke.play,
        over_travel: stroke.over_travel,
        assembly_turn: stroke.assembly_turn,
        drive_engagement: screw.engagement,
        across_flats,
        head_height,
        tapped_wall: screw.tapped_wall,
        thread_end: screw.thread_end,
        drive_thread: screw.drive_thread,
        near_face,
        shoulder: (near_face - OVER_TRAVEL).down_to(layer),
        keeper_face: frame_length - keeper_plug,
        frame_length,
        frame_side,
        carriage_diameter,
        carriage_length,
        ear_width,
        socket_diameter: socket.diameter,
        socket_depth: socket.depth,
        pin_diameter: pin,
        keeper_plug,
        keeper_pin_offset,
        keeper_bore: WIDEST_KEEPER_BORE.min(between).down_to(HALF),
        end,
    }
}

/// The first spanner size that is wide enough for the drive screw.
fn spanner(kit: &Kit) -> Length {
    let least = kit.mechanism.drive().major() * FLATS_PER_DIAMETER;
    let sizes: Vec<Length> = if kit.inches {
        INCH_FLATS
            .iter()
            .map(|size| Length::inches(*size))
            .collect()
    } else {
        METRIC_FLATS.iter().map(|size| Length::mm(*size)).collect()
    };
    sizes
        .into_iter()
        .find(|size| *size >= least)
        .unwrap_or(least)
}
