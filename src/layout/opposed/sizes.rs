//! Every size of an opposed mechanism, from stroke and threads; heights at turn 0, the carriages as
//! far apart as they go, in the assembly. Symbols are those of the sizing table in `docs/sizing.md`.

use super::pair::passes;
use crate::kit::{self, Kit};
use crate::layout::elements::run_out;
use crate::layout::feature::{Head, spanner};
use crate::layout::gaps::{Gaps, JointGapDrawn};
use crate::layout::proportions::*;
use crate::layout::square_house::end::{At, End};
use crate::layout::square_house::nut::Nut;
use crate::layout::square_house::{
    Around, CarriageSizes, FLANGE, House, HouseGaps, PASSAGE, beside_bore, end_wall, footed,
    keeper_plug,
};
use crate::layout::stroke::{DriveThread, Stroke, given, wanted_engagement};
use crate::thread::Thread;
use crate::units::Length;

/// Error of a face that stands upright while its part lies: of a contour in the plane of the layers,
/// in place of the layer that a level face may be off by. Guess.
const IN_PLANE: Length = Length::mm(0.1);
/// The sleeve exceeds the spigot by this: walls of nine lines around the coupling pin. Guess.
const SLEEVE_OVER_SPIGOT: Length = Length::mm(8.0);
/// The spigot is held over so many of its diameters. Guess.
const SPIGOT_LENGTH: f64 = 1.2;
/// The sleeve begins this far before what it holds. Guess.
const SLEEVE_LIP: Length = Length::mm(0.5);
/// Room between the spigot's end and the socket's roof. Guess: flares and strings.
const SOCKET_ROOM: Length = Length::mm(0.8);
/// Radius of the ceiling in which the socket's roof of 45 degrees ends: a short bridge. Guess.
pub(super) const SOCKET_CEILING: Length = Length::mm(3.0);
/// Left between that ceiling and the sleeve's end. Guess: a wall of five lines.
const SLEEVE_END: Length = Length::mm(2.5);
/// The coupling pin as a share of the spigot, at the most: what leaves the spigot and a printed pin
/// about equally strong (derived: the net section in tension across layers, with a notch of 2, against
/// two sections of a lying pin in shear, or its bending, which gives as much; 0.37), rounded so that
/// it comes down to what shops sell.
const COUPLING_PER_SPIGOT: f64 = 0.4;
/// The neck exceeds the spigot by this, a side, before it is rounded up. Guess: what the spigot's hole
/// takes of it the neck has not, so that it is never the weaker.
const NECK_OVER_SPIGOT: Length = Length::mm(0.5);
/// Necks come in these steps.
const WHOLE: Length = Length::mm(1.0);
/// The collar exceeds the neck by this, a side: what the slotted keeper holds it by. Guess.
const COLLAR_OVER_NECK: Length = Length::mm(4.0);
/// And its thread by this: what it bears on the wall with. Guess.
const COLLAR_OVER_THREAD: Length = Length::mm(3.0);
/// Thickness of the collar, and of the slotted keeper around the neck. Guess.
pub(super) const COLLAR: Length = Length::mm(3.0);
/// The bearing journal exceeds its thread by this across, so that the nut's thread never rubs in it.
const JOURNAL_OVER_THREAD: Length = Length::mm(1.0);
/// The bearing wall in diameters of the thread, and at the least. Guess.
const WALL_PER_THREAD: f64 = 0.75;
/// See there.
const LEAST_WALL: Length = Length::mm(10.0);
/// How deep the slotted keeper stands in each cheek. Guess.
const GROOVE: Length = Length::mm(3.5);
/// What is left in front of it. Guess: a wall of eleven lines.
const FRONT_LIP: Length = Length::mm(5.0);
/// The slotted keeper ends this far above the collar, and its pin lies over it by the second. Guess.
const OVER_COLLAR: Length = Length::mm(2.0);
/// See there.
const UNDER_PIN: Length = Length::mm(0.15);
/// The frame over that pin. Guess: as around any pin of a square house.
const OVER_PIN: Length = Length::mm(2.0);
/// The head stands this far off the frame. Guess: it turns and must not rub.
const HEAD_CLEAR: Length = Length::mm(1.0);
/// Between faces that must not meet, at the least. Guess: two faces' errors and a finger's push.
const ROOM: Length = Length::mm(1.0);

/// Gaps of an opposed mechanism's joints.
pub(super) struct OpposedGaps {
    /// Of keeper, carriages and pins; its own pin is the retaining one.
    pub(super) house: HouseGaps,
    /// The far shaft's thread.
    pub(super) far: JointGapDrawn,
    /// gt: the drive screw in its bearing, radial and along the axis.
    pub(super) collar: JointGapDrawn,
    /// gt: the far shaft in the keeper, radial.
    pub(super) journal: JointGapDrawn,
    /// gl: the slotted keeper in the frame.
    pub(super) retainer: JointGapDrawn,
    /// gl: the sleeve on the spigot.
    pub(super) sleeve: JointGapDrawn,
    /// gl: the coupling pin through the spigot.
    pub(super) through: JointGapDrawn,
    /// The coupling pin in the sleeve.
    pub(super) coupling: JointGapDrawn,
}

impl OpposedGaps {
    pub(super) fn new(gaps: &mut Gaps<'_>, threads: &kit::Opposed) -> Self {
        Self {
            house: HouseGaps {
                thread: gaps.thread("drive/near nut", &threads.drive),
                // Both carriages are one part, and run in one channel.
                slide: gaps.slide("near carriage/frame"),
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
                stop_pin: gaps.press("retaining pin/frame"),
                way_in: gaps.way_in(),
                pocket: gaps.locate("near nut/near carriage"),
                seat: gaps.seat(),
                // Its head stays beside a mark of the frame.
                index: None,
            },
            far: gaps.thread("far shaft/far nut", &threads.far),
            collar: gaps.swivel("drive/frame"),
            journal: gaps.swivel("far shaft/keeper"),
            retainer: gaps.locate("slotted keeper/frame"),
            sleeve: gaps.locate("far shaft/drive"),
            through: gaps.pin_through("coupling pin/drive"),
            coupling: gaps.press("coupling pin/far shaft"),
        }
    }
}

/// One of the two shafts with its carriage.
pub(super) struct Half {
    pub(super) thread: Thread,
    pub(super) nut: Nut,
    /// Of its carriage, the face that is nearer to the drive head.
    pub(super) from: Length,
    /// How far it goes in the stroke.
    pub(super) travel: Length,
    /// J, play of its carriage along the axis.
    pub(super) play: Length,
    /// Where its thread ends, away from the drive head.
    pub(super) end: Length,
    /// Its full profile.
    pub(super) full: [Length; 2],
}

/// Spigot, sleeve and the pin through both.
pub(super) struct Coupling {
    /// dsp.
    pub(super) spigot: Length,
    /// Where the spigot ends.
    pub(super) tip: Length,
    /// Dsl.
    pub(super) sleeve: Length,
    /// Where the sleeve begins and ends.
    pub(super) span: [Length; 2],
    /// Radius of the socket.
    pub(super) socket: Length,
    /// Where the socket's roof begins.
    pub(super) roof: Length,
    /// Diameter of the pin.
    pub(super) pin: Length,
    /// Its height.
    pub(super) pin_at: Length,
}

/// The collar and what holds it.
pub(super) struct Bearing {
    /// rn, of the neck under the collar.
    pub(super) neck: Length,
    /// rc.
    pub(super) collar: Length,
    /// Radius of the journal in the wall.
    pub(super) journal: Length,
    /// The wall's outer face, on which the collar runs.
    pub(super) face: Length,
    /// The collar's own, in the middle of its play.
    pub(super) collar_face: Length,
    /// Where the slotted keeper's groove begins and ends.
    pub(super) groove: [Length; 2],
    /// Half the width of the recess that the collar goes in by, and of the groove.
    pub(super) recess: [Length; 2],
    /// y of the slotted keeper's top and of the groove's floor.
    pub(super) retainer: [Length; 2],
    /// y and z of the pin over it.
    pub(super) pin: [Length; 2],
    /// Least height of the frame's top above the axis.
    pub(super) top: Length,
}

impl Bearing {
    fn new(near: &Thread, spigot: Length, pin: Length, gaps: &OpposedGaps) -> Self {
        let turn = gaps.collar.drawn();
        let locate = gaps.retainer.drawn();
        let neck = (spigot / 2.0 + NECK_OVER_SPIGOT).up_to(WHOLE);
        let collar = (neck + COLLAR_OVER_NECK).max(near.major() / 2.0 + COLLAR_OVER_THREAD);
        // Neck and fillet of the thread that stands on it must not overhang it.
        let foot = near.minor_internal() / 2.0 - NECK_BELOW_ROOT + EDGE;
        let journal = (near.major() / 2.0 + JOURNAL_OVER_THREAD / 2.0).max(foot);
        let thick = collar - neck + COLLAR;
        let groove = [FRONT_LIP, FRONT_LIP + thick + locate * 2.0];
        let recess = collar + PASSAGE;
        let top = collar + OVER_COLLAR;
        let pin_above = top + UNDER_PIN + pin / 2.0;
        let face = groove[1] - locate + turn + COLLAR;
        Self {
            neck,
            collar,
            journal,
            face,
            collar_face: face - turn / 2.0,
            groove,
            recess: [recess, recess + GROOVE],
            retainer: [top, -collar],
            pin: [pin_above, (groove[0] + groove[1]) / 2.0],
            top: pin_above + pin / 2.0 + OVER_PIN,
        }
    }

    /// Play of the drive screw along the axis: of the collar before the slotted keeper, and of that
    /// in its groove.
    pub(super) fn play(&self, gaps: [Length; 2]) -> Length {
        let [collar, retainer] = gaps;
        collar + retainer
    }
}

/// Sizes of an opposed mechanism.
pub(super) struct Sizes {
    /// Its keeper, and the far half's carriage and nut; its wall is the bearing wall's inner face.
    pub(super) house: House,
    pub(super) gaps: ShaftGaps,
    pub(super) stroke: Stroke,
    pub(super) near: Half,
    pub(super) far: Half,
    /// The near shaft as a drive screw.
    pub(super) drive: DriveThread,
    pub(super) coupling: Coupling,
    pub(super) bearing: Bearing,
    /// Diameter of the far shaft's journal in the keeper.
    pub(super) journal: Length,
}

/// Gaps of the shafts' joints.
pub(super) struct ShaftGaps {
    pub(super) far: JointGapDrawn,
    pub(super) collar: JointGapDrawn,
    pub(super) journal: JointGapDrawn,
    pub(super) retainer: JointGapDrawn,
    pub(super) sleeve: JointGapDrawn,
    pub(super) through: JointGapDrawn,
    pub(super) coupling: JointGapDrawn,
}

/// What both halves have alike: their carriages are one part.
struct Alike {
    nut_height: Length,
    carriage: CarriageSizes,
}

/// The stroke in turns, and what each half adds to it.
struct Turns {
    stroke: Stroke,
    plays: [Length; 2],
}

impl Turns {
    fn new(kit: &Kit, threads: &kit::Opposed, gaps: &OpposedGaps) -> Self {
        let kit::Opposed { drive, far } = threads;
        let shared = gaps.house.seat.allowed * 2.0 + gaps.collar.allowed + gaps.retainer.allowed;
        let near_play = drive.play(gaps.house.thread.allowed) + shared;
        let far_play = far.play(gaps.far.allowed) + shared + gaps.through.allowed * 2.0;
        let over =
            |play: Length, thread: &Thread| (OVER_TRAVEL + IN_PLANE + play / 2.0) / thread.lead();
        let net_lead = drive.lead();
        Self {
            stroke: Stroke {
                length: *kit.stroke,
                net_lead,
                turns: *kit.stroke / net_lead,
                play: near_play,
                over_travel: over(near_play, drive).max(over(far_play, far)),
                // All of it goes together as it stands at turn 0.
                assembly_turn: 0.0,
            },
            plays: [near_play, far_play],
        }
    }

    /// What a thread reaches beyond its nut at either end of its way: over-travel, chamfer, and half
    /// a turn by which the far shaft may have been set off.
    fn beyond(&self, thread: &Thread) -> Length {
        thread.lead() * (self.stroke.over_travel + 0.5) + chamfer_length(thread)
    }
}

impl Sizes {
    /// Of a pair with opposite hands.
    pub(super) fn new(
        kit: &Kit,
        threads: &kit::Opposed,
        gaps: OpposedGaps,
        head: &dyn Head,
    ) -> Self {
        let kit::Opposed { drive, far } = threads;
        let turns = Turns::new(kit, threads, &gaps);
        let thick = if far.major() > drive.major() {
            far
        } else {
            drive
        };
        let pin = given(&kit.pins.diameter).unwrap_or_else(|| gaps.house.pin_for(thick));
        let spigot = passes(drive);
        let journal = passes(far);
        let bearing = Bearing::new(drive, spigot, pin, &gaps);
        let sleeve = sleeve_diameter(spigot, far);
        let sleeve_length = sleeve_length(spigot, gaps.sleeve.drawn());

        let across_flats = spanner(kit, thick);
        let keeper_bore = journal + gaps.journal.drawn() * 2.0;
        let keeper_pins = beside_bore(keeper_bore, pin);
        let around = Around {
            bore: sleeve / 2.0 + PASSAGE,
            across_flats,
            pin,
            keeper_pins,
            depth: bearing.collar + PASSAGE + OVER_PIN,
            top: bearing.top,
        };
        let section = around.section(kit, &gaps.house, head);
        let end = End::new(kit, At::Rear);
        let long = end.least_carriage(&section, kit.friction().high);
        let alike = Alike::new(kit, threads, &gaps, &turns, (end, long, sleeve_length));

        let wall = bearing.face + (drive.major() * WALL_PER_THREAD).max(LEAST_WALL);
        let length = alike.carriage.length;
        let travels = [drive, far].map(|thread| thread.lead() * turns.stroke.turns);
        let near_from = wall + OVER_TRAVEL;
        let middle = near_from + length + travels[0] + OVER_TRAVEL;
        let far_from = middle + OVER_TRAVEL + travels[1];
        let keeper_face = far_from + length + OVER_TRAVEL;

        let seat = gaps.house.seat.allowed;
        let nut = |thread: &Thread, face: Length, gap: &JointGapDrawn| Nut {
            thread: thread.clone(),
            face,
            height: alike.nut_height,
            across_flats,
            gap: gap.clone(),
        };
        let near_nut = nut(
            drive,
            near_from + alike.carriage.end_wall + seat,
            &gaps.house.thread,
        );
        let far_face = far_from + alike.carriage.rear_bore + alike.carriage.end_wall + seat;
        let far_nut = nut(far, far_face, &gaps.far);

        let start = middle - sleeve_length / 2.0;
        let tip = start + SLEEVE_LIP + spigot * SPIGOT_LENGTH;
        let coupling = Coupling {
            spigot,
            tip,
            sleeve,
            span: [start, start + sleeve_length],
            socket: spigot / 2.0 + gaps.sleeve.drawn(),
            roof: tip + SOCKET_ROOM,
            pin: coupling_pin(spigot, pin),
            pin_at: start + SLEEVE_LIP + spigot * SPIGOT_LENGTH / 2.0,
        };

        let near_end = near_nut.face + alike.nut_height + travels[0] + turns.beyond(drive);
        let far_end = far_nut.face + alike.nut_height + turns.beyond(far);
        let half =
            |thread: &Thread, nut: Nut, at: usize, from: Length, foot: Length, end: Length| Half {
                full: [foot + run_out(thread), end - chamfer_length(thread)],
                thread: thread.clone(),
                nut,
                from,
                travel: travels[at],
                play: turns.plays[at],
                end,
            };
        let near = half(drive, near_nut, 0, near_from, wall, near_end);
        let far_half = half(far, far_nut.clone(), 1, far_from, coupling.span[1], far_end);
        let OpposedGaps {
            house: house_gaps,
            far: far_gap,
            collar,
            journal: journal_gap,
            retainer,
            sleeve: sleeve_gap,
            through,
            coupling: coupling_gap,
        } = gaps;
        Self {
            house: House {
                section,
                nut: far_nut,
                carriage: alike.carriage,
                wall,
                rear_face: far_from,
                keeper_face,
                keeper_plug: keeper_plug(kit, pin, None),
                pin,
                keeper_pins,
                keeper_bore,
                end,
                footed: footed(kit),
                // The carriages move against each other: no spring.
                spring: None,
                bores: [sleeve, thick.major()].map(|passes| passes + PASSAGE * 2.0),
                index: None,
                gaps: house_gaps,
            },
            gaps: ShaftGaps {
                far: far_gap,
                collar,
                journal: journal_gap,
                retainer,
                sleeve: sleeve_gap,
                through,
                coupling: coupling_gap,
            },
            drive: DriveThread {
                thread: drive.clone(),
                engagement: wanted_engagement(drive),
                tapped_wall: alike.nut_height,
                end: near.end,
                length: near.end + HEAD_CLEAR,
            },
            stroke: turns.stroke,
            near,
            far: far_half,
            coupling,
            bearing,
            journal,
        }
    }

    /// Length of the whole frame.
    pub(super) fn frame_length(&self) -> Length {
        self.house.frame_length()
    }

    /// Where the far shaft ends, flush with the keeper's flange.
    pub(super) fn far_end(&self) -> Length {
        self.frame_length() + FLANGE
    }

    /// Least travel of the near carriage that leaves the coupling pin free at turn 0.
    pub(super) fn least_stroke(&self) -> Length {
        let [start, _] = self.coupling.span;
        let pin = self.coupling.pin_at - start - self.coupling.pin / 2.0;
        let half = (self.coupling.span[1] - start) / 2.0;
        half - pin + ROOM - OVER_TRAVEL
    }
}

impl Alike {
    fn new(
        kit: &Kit,
        threads: &kit::Opposed,
        gaps: &OpposedGaps,
        turns: &Turns,
        (end, slender, sleeve): (End, Length, Length),
    ) -> Self {
        let kit::Opposed { drive, far } = threads;
        let high = |thread: &Thread| {
            (wanted_engagement(thread) + chamfer_length(thread) * 2.0).up_to(*kit.layer)
        };
        let nut_height = given(&kit.sizes.nut).unwrap_or_else(|| high(drive).max(high(far)));
        let seat = gaps.house.seat.allowed;
        let end_wall = end_wall(drive).max(end_wall(far));
        let around_nut = end_wall * 2.0 + nut_height + seat * 2.0;
        let long = given(&kit.sizes.carriage_length).unwrap_or(slender);
        // The sleeve, half of it in each carriage while they meet; the near thread ends, and the far
        // one begins, between it and the nut.
        let beside_nut = end_wall + seat + OVER_TRAVEL;
        let near_ends = turns.beyond(drive) - beside_nut + ROOM;
        let far_begins = turns.beyond(far) - chamfer_length(far) * 2.0 + run_out(far) - beside_nut;
        let least = sleeve / 2.0 + ROOM.max(near_ends).max(far_begins);
        let least = least.max(end.beyond_wall(end_wall));
        let rear_bore = least.max(long - around_nut);
        Self {
            nut_height,
            carriage: CarriageSizes {
                length: given(&kit.sizes.carriage_length)
                    .unwrap_or((around_nut + rear_bore).max(long)),
                rear_bore,
                end_wall,
                // It stands beside the rear bore, which is long enough.
                beyond: Length::ZERO,
            },
        }
    }
}

/// Dsl: around the spigot, and no thinner than the foot of the thread that stands on it.
fn sleeve_diameter(spigot: Length, far: &Thread) -> Length {
    let foot = far.minor_internal() + (EDGE - NECK_BELOW_ROOT) * 2.0 + EDGE;
    (spigot + SLEEVE_OVER_SPIGOT).max(foot.up_to(HALF))
}

/// Lsl: what it holds, and a roof of 45 degrees over it.
fn sleeve_length(spigot: Length, gap: Length) -> Length {
    let roof = spigot / 2.0 + gap - SOCKET_CEILING;
    SLEEVE_LIP + spigot * SPIGOT_LENGTH + SOCKET_ROOM + roof + SLEEVE_END
}

/// Of all pins' diameter, or thinner.
fn coupling_pin(spigot: Length, pin: Length) -> Length {
    (spigot * COUPLING_PER_SPIGOT).down_to(HALF).min(pin)
}
