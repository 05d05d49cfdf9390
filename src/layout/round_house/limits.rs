//! What of a round house cannot be drawn.

use super::end::{Ears, End, Jaw, least_floor};
use super::mount::Mount;
use super::press::LEAST_LEFT;
use super::rod::PushRod;
use super::{House, least_ear, least_plug};
use crate::kit::key;
use crate::layout::feature::Head;
use crate::layout::limits::{Bound, LEAST_TURN_BACK, least_thread};
use crate::layout::proportions::*;
use crate::layout::spring::Pocket;
use crate::layout::stroke::{DriveThread, Stroke};
use crate::units::Length;

/// Narrowest hole through the keeper: a wire. Guess.
const LEAST_KEEPER_BORE: Length = Length::mm(1.0);

impl House {
    /// Bounds of its sizes, and of the drive screw in it.
    pub(in crate::layout) fn bounds(
        &self,
        drive: &DriveThread,
        stroke: &Stroke,
        head: &dyn Head,
    ) -> Vec<Bound> {
        let mut bounds = Vec::from(self.of_drive(drive));
        bounds.extend(self.of_carriage(drive));
        bounds.extend(self.of_frame_and_keeper());
        bounds.extend(self.of_spring());
        bounds.extend(head.bounds(drive.thread.major() + EDGE * 2.0));
        let index = self.index.iter();
        bounds.extend(index.flat_map(|index| index.bounds(Some(self.frame_side))));
        bounds.push(Bound::least(
            "drive screw's thread",
            key::DRIVE_THREAD.name(),
            drive.length,
            drive.length - drive.head_gap(stroke.assembly_turn) + LEAST_TURN_BACK,
            "the head would run into the frame before the stroke ends",
        ));
        bounds.push(Bound::least(
            "carriage's body",
            key::CARRIAGE_DIAMETER.name(),
            self.carriage_diameter,
            self.pin * 2.0 + KEEPER_PIN_COVER * 4.0 + LEAST_KEEPER_BORE,
            "the hole through the keeper must pass between the keeper's pins, which stand over its rim",
        ));
        bounds.extend(self.of_end());
        bounds.extend(self.of_mount(drive));
        bounds
    }

    /// Of what the carriage works with.
    fn of_end(&self) -> Vec<Bound> {
        match &self.end {
            End::Flush => Vec::new(),
            End::Ears(ears) => vec![self.longer(
                Ears::LEAST - ears.thickness,
                "its ears must be thick enough for their bolts, and leave the way to the pins free",
            )],
            End::Jaw(jaw) => vec![self.longer(
                Jaw::LEAST - jaw.root,
                "its jaw needs a root, and must leave the way to the pins free",
            )],
            End::Rod(rod) => vec![self.of_rod(rod)],
            End::Press(press) => vec![
                self.of_rod(&press.rod),
                Bound::least(
                    "side of the frame",
                    key::FRAME_SIDE.name(),
                    self.frame_side,
                    press.yoke.least_side(),
                    "the keeper's wings must hold the yoke and its stops side by side",
                ),
                Bound::least(
                    "press's throat",
                    key::THROAT.name(),
                    press.yoke.throat,
                    self.keeper_face - self.far_face() + LEAST_LEFT,
                    "the carriage must come to its stop before the rod comes to the anvil",
                ),
            ],
        }
    }

    /// Of the rod that it pushes.
    fn of_rod(&self, rod: &PushRod) -> Bound {
        let seat = self.socket_depth + least_floor(crate::kit::End::Rod);
        let short = (seat - self.carriage_length).max(Length::ZERO);
        let bore = rod.keeper_bore() - self.widest_bore();
        match short > Length::ZERO {
            true => self.longer(short, "the rod's seat needs a floor under the socket"),
            false => Bound::least(
                "carriage's body",
                key::CARRIAGE_DIAMETER.name(),
                self.carriage_diameter,
                self.carriage_diameter + bore,
                "the rod must pass between the keeper's pins, which stand over its rim",
            ),
        }
    }

    /// A carriage that is too short for its end by so much.
    fn longer(&self, short: Length, reason: &'static str) -> Bound {
        Bound::least(
            "carriage's length",
            key::CARRIAGE_LENGTH.name(),
            self.carriage_length,
            self.carriage_length + short,
            reason,
        )
    }

    /// Of what the frame is held by.
    fn of_mount(&self, drive: &DriveThread) -> Option<Bound> {
        match &self.mount {
            Mount::None => None,
            Mount::Foot => Some(Bound::least(
                "side of the frame",
                key::FRAME_SIDE.name(),
                self.frame_side,
                self.least_half * 2.0,
                "the foot must stay clear of what comes out of the slots, and of the keeper's pins",
            )),
            Mount::Nut(nut) => Some(Bound::least(
                "tapped wall",
                key::TAPPED_WALL.name(),
                drive.tapped_wall,
                drive.tapped_wall + nut.top() - self.shoulder,
                "the nut under the frame must end before the carriage's guide begins",
            )),
        }
    }

    /// The widest hole through the keeper, between its pins.
    fn widest_bore(&self) -> Length {
        self.carriage_diameter - self.pin * 2.0 - KEEPER_PIN_COVER * 4.0
    }

    /// Width of a lying pin hole, and of its broken mouth.
    pub(in crate::layout) fn pin_hole(&self) -> [Length; 2] {
        let hole = self.gaps.pin_hole(self.pin);
        [hole, hole + EDGE * 2.0]
    }

    fn of_drive(&self, drive: &DriveThread) -> [Bound; 2] {
        [
            Bound::least(
                "tapped wall",
                key::TAPPED_WALL.name(),
                drive.tapped_wall,
                chamfer_length(&drive.thread) * 2.0 + drive.thread.pitch(),
                "a turn of thread and two countersinks",
            ),
            Bound::least(
                "drive screw's thread",
                key::DRIVE_THREAD.name(),
                drive.length,
                least_thread(&drive.thread),
                "neck, run-out, a turn and a chamfer",
            ),
        ]
    }

    fn of_carriage(&self, drive: &DriveThread) -> [Bound; 4] {
        let clear = self.clear_bore(drive);
        let [_, mouth] = self.pin_hole();
        [
            Bound::least(
                "carriage's body",
                key::CARRIAGE_DIAMETER.name(),
                self.carriage_diameter,
                (clear + EDGE * 2.0).max(self.socket_diameter / 2.0 + EDGE * 2.0) * 2.0,
                "it must stand on the shoulder around the drive screw and hold its socket",
            ),
            Bound::least(
                "carriage's length",
                key::CARRIAGE_LENGTH.name(),
                self.carriage_length,
                self.socket_depth + BED_EDGE * 2.0,
                "the socket needs a floor",
            ),
            Bound::least(
                "width of the carriage's ears",
                key::EAR_WIDTH.name(),
                self.ear_width,
                least_ear(self.pins_beside, mouth),
                "the pin holes' mouths",
            ),
            Bound::least(
                "carriage's body",
                key::CARRIAGE_DIAMETER.name(),
                self.carriage_diameter,
                self.ear_width + EDGE * 2.0,
                "it must be wider than its ears",
            ),
        ]
    }

    fn of_frame_and_keeper(&self) -> [Bound; 2] {
        let [hole, mouth] = self.pin_hole();
        let beside_pins = self.keeper_pin_offset * 2.0 + mouth + UPRIGHT_EDGE * 2.0;
        [
            Bound::least(
                "side of the frame",
                key::FRAME_SIDE.name(),
                self.frame_side,
                (self.guide() + UPRIGHT_EDGE * 4.0).max(beside_pins),
                "walls around guide and pins",
            ),
            Bound::least(
                "keeper's plug",
                key::KEEPER_PLUG.name(),
                self.keeper_plug,
                least_plug(self.pin, hole) + Pocket::depth_of(self.pocket.as_ref()),
                match self.pocket {
                    None => "it must cover its pins",
                    Some(_) => {
                        "it must cover its pins and hold the spring's pocket in front of them"
                    }
                },
            ),
        ]
    }
}
