//! The round house: a square frame with a round guide and two slots, a round carriage with ears in
//! them, a keeper that closes it, and the pins that hold both. Nested and single layouts stand in
//! it; each says what it wants of it, and puts its screws and its own pins inside.
//!
//! Frame of the heights: +z from the drive head into the frame, z = 0 the frame's outer end
//! face. Symbols in the comments are those of the sizing tables in `docs/sizing.md`.

mod added;
pub(super) mod carriage;
pub(super) mod end;
mod frame;
mod keeper;
mod limits;
pub(super) mod members;
mod mount;
pub(super) mod pieces;
mod press;
mod rod;
mod spring;
pub(super) mod steps;

use super::elements::Tapped;
use super::feature::Head;
use super::feature::bolt::HexNut;
use super::gaps::{Gaps, JointGapDrawn};
use super::index::{Beside, IndexBar, IndexGaps};
use super::pins::Pins;
use super::proportions::*;
use super::spring::Pocket;
use super::stroke::{DriveThread, Stroke, given};
use crate::kit::{self, Kit};
use crate::strength::{Rail, SOLID};
use crate::thread::Thread;
use crate::units::Length;
use end::End;
use mount::{HeldNut, Mount};
use press::Press;
use rod::{PushRod, RodGaps};

/// From where to where a depth is read.
const DEPTH_READ: &str = "from the keeper to the carriage, through its hole";
/// The same where a rod stands in that hole.
const ROD_READ: &str = "in the slot, from the keeper's plug to the carriage's ear (what the rod stands out is a travel)";

/// Gaps of the joints that every round house has.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct HouseGaps {
    /// c: drive screw in the frame.
    pub(super) thread: JointGapDrawn,
    /// gs: carriage in its guide, a side.
    pub(super) slide: JointGapDrawn,
    /// gl: keeper in the frame.
    pub(super) keeper: JointGapDrawn,
    /// Of each keeper pin: where it is pressed into the frame, and through the keeper.
    pub(super) keeper_pins: [[JointGapDrawn; 2]; 2],
    /// Of the holes by which pins go in.
    pub(super) way_in: JointGapDrawn,
    /// ga: end faces that carry a push.
    pub(super) seat: JointGapDrawn,
    /// Of a rod that the carriage pushes, where it has one.
    rod: Option<RodGaps>,
    /// Of a yoke on the keeper's wings, where it has one.
    yoke: Option<JointGapDrawn>,
    /// Of a nut under the frame, with that nut.
    nut: Option<(HexNut, JointGapDrawn)>,
    /// Of the bar at which a dial is read.
    pub(super) index: Option<IndexGaps>,
}

/// Radius of the bore that a drive screw passes freely, behind a tapped wall with a gap.
fn drive_bore(thread: &Thread, gap: Length) -> Length {
    let free = thread.major() / 2.0 + FREE_PASSAGE;
    let tapped = Tapped {
        thread,
        gap,
        crest: Length::ZERO,
    };
    free.max(tapped.mouth())
}

/// What the carriage's broken edges take of its length.
const CARRIAGE_EDGES: Length = Length::mm(EDGE.as_mm() + BED_EDGE.as_mm());

impl HouseGaps {
    pub(super) fn new(gaps: &mut Gaps<'_>, kit: &Kit, drive: &Thread) -> Self {
        Self {
            rod: match *kit.end {
                kit::End::Rod | kit::End::Press => Some(RodGaps::new(gaps)),
                kit::End::Flush | kit::End::Ears | kit::End::Jaw => None,
            },
            yoke: match *kit.end {
                kit::End::Press => Some(gaps.locate("yoke/keeper")),
                kit::End::Flush | kit::End::Ears | kit::End::Jaw | kit::End::Rod => None,
            },
            nut: mount::nut(*kit.mount, gaps),
            thread: gaps.thread("drive/frame", drive),
            slide: gaps.slide("carriage/frame"),
            keeper: gaps.locate("keeper/frame"),
            keeper_pins: [
                [
                    gaps.press("keeper pin 1/frame"),
                    gaps.pin_through("keeper pin 1/keeper"),
                ],
                [
                    gaps.press("keeper pin 2/frame"),
                    gaps.pin_through("keeper pin 2/keeper"),
                ],
            ],
            way_in: gaps.way_in(),
            seat: gaps.seat(),
            index: IndexGaps::new(gaps),
        }
    }

    /// The thickest pin whose lying holes need no teardrop.
    pub(super) fn thickest_pin(&self) -> Length {
        (ROUND_LYING_HOLE - self.way_in.allowed * 2.0).down_to(HALF)
    }

    /// Width of a lying pin hole.
    pub(super) fn pin_hole(&self, pin: Length) -> Length {
        pin + self.way_in.drawn() * 2.0
    }

    /// Least depth of a pin's axis under the carriage's near face: the V across the ear by which
    /// it goes in must not break into its hole.
    pub(super) fn under_mark(&self, pin: Length) -> Length {
        let gap = self.way_in.allowed.max(self.way_in.drawn());
        pin / 2.0 + gap + V_DEPTH + UNDER_MARK
    }
}

/// The shortest plug that covers a pin and its hole.
pub(super) fn least_plug(pin: Length, hole: Length) -> Length {
    pin * KEEPER_PIN_PINS + hole / 2.0 + BED_EDGE
}

/// The narrowest ear that holds the mouths of pins beside its middle.
pub(super) fn least_ear(pins_beside: Length, mouth: Length) -> Length {
    pins_beside * 2.0 + mouth + EDGE
}

/// The socket in the carriage and the diameter of what stands in it.
pub(super) struct Socket {
    pub(super) diameter: Length,
    pub(super) depth: Length,
    pub(super) holds: Length,
}

/// What a layout asks of the house around its screws.
pub(super) struct Wants<'a> {
    /// zc, near face of the carriage at turn 0.
    pub(super) near_face: Length,
    /// dp, of all pins.
    pub(super) pin: Length,
    /// be, of the carriage's ears.
    pub(super) ear_width: Length,
    /// From the carriage's axis to that of the farthest pin through its ears.
    pub(super) pins_beside: Length,
    /// From the carriage's near face to the axes of pins through its ears.
    pub(super) pin_depth: Length,
    /// Dc, of the carriage's body where the kit does not say.
    pub(super) body: Length,
    /// What opens in the carriage towards the drive screw.
    pub(super) socket: Socket,
    /// The drive screw's thread.
    pub(super) drive: &'a DriveThread,
}

/// Sizes of frame, carriage and keeper; heights at turn 0 in the assembly's frame.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct House {
    pub(super) gaps: HouseGaps,
    /// zc, near face of the carriage.
    pub(super) near_face: Length,
    /// zsh, the shoulder that stops the carriage at the rear.
    pub(super) shoulder: Length,
    /// zk, the keeper's face that stops it at the far end.
    pub(super) keeper_face: Length,
    /// Hf, length of the frame.
    pub(super) frame_length: Length,
    /// A, side of the frame's square.
    pub(super) frame_side: Length,
    /// Half of the side at the least that its mount asks for.
    pub(super) least_half: Length,
    /// Dc, the carriage's round body.
    pub(super) carriage_diameter: Length,
    /// Lc, length of the carriage along the axis.
    pub(super) carriage_length: Length,
    /// be, width of the carriage's ears.
    pub(super) ear_width: Length,
    /// From its axis to that of the farthest pin through them.
    pub(super) pins_beside: Length,
    /// Diameter of the socket in the carriage.
    pub(super) socket_diameter: Length,
    /// Its depth.
    pub(super) socket_depth: Length,
    /// dp, diameter of every pin.
    pub(super) pin: Length,
    /// hk, length of the keeper's plug.
    pub(super) keeper_plug: Length,
    /// xp, keeper pins beside the axis.
    pub(super) keeper_pin_offset: Length,
    /// z of the keeper pins.
    pub(super) keeper_pin_height: Length,
    /// dk, hole through the keeper.
    pub(super) keeper_bore: Length,
    /// What the carriage works with.
    pub(super) end: End,
    /// What the frame is held by.
    pub(super) mount: Mount,
    /// The bar at which a dial is read.
    pub(super) index: Option<IndexBar>,
    /// The preload spring's pocket in the keeper's plug.
    pub(super) pocket: Option<Pocket>,
}

impl House {
    /// The house around a drive screw with this head.
    pub(super) fn around(
        kit: &Kit,
        gaps: HouseGaps,
        stroke: &Stroke,
        head: &dyn Head,
        wants: Wants<'_>,
    ) -> Self {
        let (layer, line) = (*kit.layer, *kit.line);
        let Wants {
            near_face,
            pin,
            ear_width,
            pins_beside,
            pin_depth,
            body,
            socket,
            drive,
        } = wants;
        let carriage_diameter = given(&kit.sizes.carriage_diameter).unwrap_or(body);
        let wall = GUIDE_WALL.max(line * GUIDE_WALL_LINES);
        let guide = carriage_diameter + gaps.slide.allowed * 2.0;
        let keeper_pin_offset = carriage_diameter / 2.0 - pin / 2.0 - KEEPER_PIN_COVER;
        let mouths = keeper_pin_offset + gaps.pin_hole(pin) / 2.0 + EDGE;
        let (half_width, above) = end::half_width(*kit.end, ear_width);
        let out_of_slots = (half_width + gaps.slide.allowed, above);
        let least_half = mount::least_half(*kit.mount, out_of_slots, mouths);
        let beside_plate = gaps.yoke.as_ref().map_or(Length::ZERO, press::least_half);
        let frame_side = given(&kit.sizes.frame_side).unwrap_or_else(|| {
            (guide + wall * 2.0)
                .max(head.around() + HEAD_ON_TABLE)
                .max(least_half * 2.0)
                .max(beside_plate * 2.0)
                .up_to(EVEN)
        });
        let around = end::Around {
            frame_side,
            ear_width,
            pin_depth,
            pin_hole: gaps.pin_hole(pin),
            friction: kit.friction().high,
            edges: CARRIAGE_EDGES,
        };
        let floor = SOCKET_FLOOR.max(socket.holds * SOCKET_FLOOR_SHARE);
        let floor = floor.max(end::least_floor(*kit.end));
        let carriage_length = given(&kit.sizes.carriage_length).unwrap_or_else(|| {
            (socket.depth + floor)
                .max(carriage_diameter * CARRIAGE_SLENDERNESS)
                .max(around.least_carriage(*kit.end))
                .up_to(layer)
        });
        let pocket = Pocket::of(kit);
        let keeper_plug = given(&kit.sizes.keeper_plug).unwrap_or_else(|| {
            let hole = gaps.pin_hole(pin);
            let around_pins = (pin * KEEPER_PLUG_PINS).max(least_plug(pin, hole));
            around_pins.up_to(layer) + Pocket::depth_of(pocket.as_ref())
        });
        let frame_length =
            (near_face + stroke.length + carriage_length + OVER_TRAVEL + keeper_plug).up_to(layer);
        let beside = Beside::new(
            drive.head_face(),
            drive.tapped_wall,
            &drive.thread,
            &gaps.thread,
        );
        let index = IndexBar::new(gaps.index.clone(), head, beside, frame_side / 2.0);
        let between = (keeper_pin_offset - pin / 2.0 - KEEPER_PIN_COVER) * 2.0;
        let bore = WIDEST_KEEPER_BORE.min(between);
        let bore = pocket.map_or(bore, |pocket| bore.min(pocket.widest_bore()));
        let widest = bore.down_to(HALF);
        // A rod goes out through a flange.
        let rod = |gaps: &RodGaps, flange: Length| {
            let start = near_face + carriage_length - rod::SEAT;
            PushRod::new(
                PushRod::thickness(widest, kit.inches, gaps),
                [start, frame_length + flange],
                kit.inches,
                gaps.clone(),
            )
        };
        let end = match (*kit.end, &gaps.rod, &gaps.yoke) {
            (kit::End::Ears, ..) => End::Ears(around.ears(carriage_length)),
            (kit::End::Jaw, ..) => End::Jaw(around.jaw(carriage_length, keeper_plug, layer)),
            (kit::End::Rod, Some(gaps), _) => End::Rod(Box::new(rod(gaps, KEEPER_FLANGE))),
            (kit::End::Press, Some(gaps), Some(yoke)) => {
                let throat = given(&kit.sizes.throat).unwrap_or(stroke.length + press::LEFT);
                End::Press(Box::new(Press::new(
                    rod(gaps, press::FLANGE),
                    yoke.clone(),
                    throat,
                    [frame_side / 2.0, frame_length + press::FLANGE],
                )))
            }
            (kit::End::Flush, ..)
            | (kit::End::Rod, None, _)
            | (kit::End::Press, None, _)
            | (kit::End::Press, Some(_), None) => End::Flush,
        };
        let keeper_bore = end.rod().map_or(widest, PushRod::keeper_bore);
        let mount = match (*kit.mount, &gaps.nut) {
            (kit::Mount::QuarterInch | kit::Mount::M6, Some(nut)) => {
                let bore = drive_bore(&drive.thread, gaps.thread.allowed);
                Mount::Nut(Box::new(HeldNut::new(
                    nut.clone(),
                    bore,
                    frame_side / 2.0,
                    line,
                )))
            }
            (kit::Mount::Foot, _) => Mount::Foot,
            (kit::Mount::None, _) | (kit::Mount::QuarterInch | kit::Mount::M6, None) => Mount::None,
        };
        Self {
            gaps,
            mount,
            least_half,
            near_face,
            shoulder: (near_face - OVER_TRAVEL).down_to(layer),
            keeper_face: frame_length - keeper_plug,
            frame_length,
            frame_side,
            carriage_diameter,
            carriage_length,
            ear_width,
            pins_beside,
            socket_diameter: socket.diameter,
            socket_depth: socket.depth,
            pin,
            keeper_plug,
            keeper_pin_offset,
            keeper_pin_height: frame_length - (pin * KEEPER_PIN_PINS).up_to(layer),
            keeper_bore,
            end,
            index,
            pocket,
        }
    }

    /// bs, width of the slots.
    pub(super) fn slot_width(&self) -> Length {
        self.ear_width + self.gaps.slide.drawn() * 2.0
    }

    /// Dg, the guide bore.
    pub(super) fn guide(&self) -> Length {
        self.carriage_diameter + self.gaps.slide.drawn() * 2.0
    }

    /// From where to where a depth is read.
    pub(super) fn depth_read(&self) -> &'static str {
        match &self.end {
            End::Flush | End::Ears(_) | End::Jaw(_) => DEPTH_READ,
            End::Rod(_) | End::Press(_) => ROD_READ,
        }
    }

    /// Thickness of the keeper's flange.
    pub(super) fn flange(&self) -> Length {
        self.end.flange()
    }

    /// Where the carriage's far face stands at turn 0.
    pub(super) fn far_face(&self) -> Length {
        self.near_face + self.carriage_length
    }

    /// From the axis to the ends of ears and pins.
    pub(super) fn reach(&self) -> Length {
        self.frame_side / 2.0 - BELOW_FACE
    }

    /// From the frame's open end to its pins.
    fn pins_from_end(&self) -> Length {
        self.frame_length - self.keeper_pin_height
    }

    /// The pins, which go through the whole house.
    pub(super) fn pins(&self) -> Pins {
        Pins {
            diameter: self.pin,
            span: self.frame_side,
            in_first_wall: self.pin_in_first_wall(),
        }
    }

    /// How much of any pin lies in the wall by which it went in, at the least.
    fn pin_in_first_wall(&self) -> Length {
        let rail = Rail {
            side: self.frame_side,
            bore: self.guide(),
            slot: self.slot_width(),
            walls: SOLID,
        };
        let keeper = rail.inner_edge(self.keeper_pin_offset - self.pin / 2.0);
        self.reach() - keeper.max(self.socket_diameter / 2.0)
    }

    /// Radius of the bore behind the tapped wall, which the drive screw passes freely.
    pub(super) fn clear_bore(&self, drive: &DriveThread) -> Length {
        drive_bore(&drive.thread, self.gaps.thread.drawn())
    }

    /// The tapped hole in the frame.
    fn tapped<'a>(&self, drive: &'a DriveThread) -> Tapped<'a> {
        Tapped {
            thread: &drive.thread,
            gap: self.gaps.thread.drawn(),
            crest: Length::ZERO,
        }
    }

    /// Gap between head and frame with the carriage on its rear stop and no play taken up.
    pub(super) fn head_gap_at_rear_stop(&self, drive: &DriveThread, net_lead: Length) -> Length {
        drive.head_gap(-(self.near_face - self.shoulder) / net_lead)
    }
}
