//! Margins and proportions of the layouts, each with its origin, in mm unless a ratio.

use crate::thread::Thread;
use crate::units::Length;

/// Carriage run past the stroke at each end: two faces, each off by half a layer, and spare.
pub(crate) const OVER_TRAVEL: Length = Length::mm(0.5);
/// A countersink or tip chamfer reaches this far beyond the thread's depth. Guess.
pub(crate) const CHAMFER_BEYOND_THREAD: Length = Length::mm(0.5);
/// Least engagement in diameters, for a full-strength nut (common practice).
pub(crate) const ENGAGED_DIAMETERS: f64 = 1.0;
/// Least engagement in pitches (common practice).
pub(crate) const ENGAGED_PITCHES: f64 = 6.0;
/// Turns from the end of all play to the next whole turn, at the least. Guess.
pub(crate) const SPARE_TURNS: f64 = 0.3;
/// The head stands this many leads off the frame at the assembly turn. Guess: a turn back
/// that hands can tell.
pub(crate) const HEAD_GAP_LEADS: f64 = 0.4;
/// The collar stands this many leads off the drive at the assembly turn: a quarter turn back.
pub(crate) const COLLAR_GAP_LEADS: f64 = 0.25;
/// The inner screw's tip stays this many leads off the bore's floor. Guess.
pub(crate) const FLOOR_GAP_LEADS: f64 = 0.75;
/// The collar stands this far out of the carriage's socket.
pub(crate) const COLLAR_PROUD: Length = Length::mm(0.6);
/// The thread's end stands this far before the carriage of a single layout.
pub(crate) const THREAD_BEFORE_CARRIAGE: Length = Length::mm(1.0);

/// Solid left between the bore's floor and the head's end face.
pub(crate) const FLOOR_UNDER_BORE: Length = Length::mm(4.0);

/// The neck is turned this far below the thread's root, so that the run-out clears it.
pub(crate) const NECK_BELOW_ROOT: Length = Length::mm(0.05);
/// Fillets, mouths and edges are broken by this.
pub(crate) const EDGE: Length = Length::mm(1.0);
/// Edges on the bed, against the flare of the first layers.
pub(crate) const BED_EDGE: Length = Length::mm(0.6);
/// Tools reach out of what they cut, and solids into what they join, by this: what a boolean
/// kernel needs to give sound results.
pub(crate) const OVERCUT: Length = Length::mm(1.0);
/// Upright edges of frame and keeper.
pub(crate) const UPRIGHT_EDGE: Length = Length::mm(2.0);
/// Depth of a V mark.
pub(crate) const V_DEPTH: Length = Length::mm(0.8);
/// Left between a V mark and the hole under it: a printed line or two layers. Guess.
pub(crate) const UNDER_MARK: Length = Length::mm(0.4);
/// From the middle of V marks to where letters may begin: two of them, and a land.
pub(crate) const BESIDE_MARKS: Length = Length::mm(3.0);
/// Distance between the two marks of a double V.
pub(crate) const DOUBLE_V_PITCH: Length = Length::mm(3.0);

/// The drive screw passes the clear bore with this much room on a side.
pub(crate) const FREE_PASSAGE: Length = Length::mm(1.0);
/// Least wall between guide and outside, and in lines.
pub(crate) const GUIDE_WALL: Length = Length::mm(6.0);
/// The same in printed lines. Guess.
pub(crate) const GUIDE_WALL_LINES: f64 = 12.0;
/// The frame's side exceeds the head's corners by this: the head turns on a table.
pub(crate) const HEAD_ON_TABLE: Length = Length::mm(2.0);
/// The frame's side is a whole number of these.
pub(crate) const EVEN: Length = Length::mm(2.0);
/// Beside the shoulder the slots' floor lies deeper by this, so that only the shoulder stops.
pub(crate) const SLOT_FLOOR_DROP: Length = Length::mm(2.0);
/// Corners of that floor.
pub(crate) const SLOT_FLOOR_CORNER: Length = Length::mm(1.5);
/// Ears and pins end this far inside the frame's face.
pub(crate) const BELOW_FACE: Length = Length::mm(1.0);

/// The carriage's body exceeds the drive screw by this: a shoulder 3 mm wide at the least.
pub(crate) const CARRIAGE_OVER_DRIVE: Length = Length::mm(8.0);
/// Least wall of a socket, and in lines.
pub(crate) const SOCKET_WALL: Length = Length::mm(3.0);
/// The same in printed lines (common practice: four perimeters).
pub(crate) const SOCKET_WALL_LINES: f64 = 4.0;
/// Least floor of a socket, and as a share of what stands in it.
pub(crate) const SOCKET_FLOOR: Length = Length::mm(4.0);
/// The same as a share of the diameter.
pub(crate) const SOCKET_FLOOR_SHARE: f64 = 0.25;
/// A carriage is at least this many of its diameters long, against tilting (common practice).
pub(crate) const CARRIAGE_SLENDERNESS: f64 = 0.8;
/// An ear exceeds its pin by this.
pub(crate) const EAR_OVER_PIN: Length = Length::mm(6.0);
/// An ear of a single layout covers its pins by this.
pub(crate) const EAR_COVER: Length = Length::mm(2.5);
/// The body of a single layout's carriage exceeds its ears by this.
pub(crate) const BODY_OVER_EARS: Length = Length::mm(4.0);

/// The collar exceeds its thread by this, if the frame's tapped hole lets it pass.
pub(crate) const COLLAR_OVER_THREAD: Length = Length::mm(4.0);
/// Room for the collar in the frame's tapped hole.
pub(crate) const COLLAR_PASSAGE: Length = Length::mm(0.8);
/// Collar, pins and keeper bore come in these steps.
pub(crate) const HALF: Length = Length::mm(0.5);
/// The inner head's diameter is this many pin diameters.
pub(crate) const HEAD_PER_PIN: f64 = 2.6;
/// The cross hole stands this far from the head's end, plus so many pin diameters.
pub(crate) const CROSS_HOLE_COVER: Length = Length::mm(2.0);
/// The same in pin diameters: half a pin, and 0.9 of cover beside the slot.
pub(crate) const CROSS_HOLE_PINS: f64 = 1.4;
/// From the cross hole to the collar face, in pin diameters.
pub(crate) const COLLAR_PINS: f64 = 1.2;
/// Slot across the head's end: width and depth.
pub(crate) const SLOT: [Length; 2] = [Length::mm(2.5), Length::mm(2.0)];

/// Thinnest printed pin.
pub(crate) const LEAST_PIN: Length = Length::mm(3.0);
/// Lying round holes sag; above this they are drawn as teardrops.
pub(crate) const ROUND_LYING_HOLE: Length = Length::mm(6.0);
/// Radial gap wanted between a pin and the wall behind its crush ribs. Guess: so the wall is drawn
/// 0.1 wide of the pin on a printer of which nothing is known, and ribs at the gap that is wanted
/// when the kit does not say stand 0.15 out of it, as far as the crown may sag.
pub(crate) const BEHIND_RIBS: Length = Length::mm(0.04);
/// Least height of a rib: a tenth of a printed line, less is lost in the wall. Guess.
pub(crate) const LEAST_RIB: Length = Length::mm(0.05);
/// The ceiling of a truncated teardrop as a share of its radius, and the longest bridge.
pub(crate) const TEARDROP_CEILING: f64 = 0.6;
/// The longest ceiling.
pub(crate) const LONGEST_CEILING: Length = Length::mm(8.0);
/// Width of a pin's flat in diameters: the flat's edges leave the bed at 45 degrees.
pub(crate) const PIN_FLAT: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// A pin's lead-in as a share of its diameter, and at the most.
pub(crate) const PIN_LEAD_IN: f64 = 0.2;
/// The most.
pub(crate) const LONGEST_LEAD_IN: Length = Length::mm(0.8);
/// Spare pins in a kit whose pins come in one grade.
pub(crate) const SPARE_PINS: usize = 2;
/// Radial step from one grade of pins to the next. Guess: about the spread that is left of a wall
/// when the mean growth is known (see `docs/printing.md`), so that three grades cover most of it;
/// and a tenth of a millimetre across, which a caliper and the fingers still tell apart.
pub(crate) const GRADE_STEP: Length = Length::mm(0.05);
/// A punch is thinner than the pins by this at the least. Guess: more than a hole may close by
/// where its pin was pressed.
pub(crate) const FREE_IN_HOLE: Length = Length::mm(0.5);
/// Depth of a pin's notches in printed lines: deep enough to be seen and felt through the marks of
/// the layers. Guess.
pub(crate) const NOTCH_LINES: f64 = 1.5;
/// The same in pin diameters at the most: the notched end still bears in its hole. Guess.
pub(crate) const NOTCH_PER_PIN: f64 = 0.2;
/// What stands beside a notch, in printed lines: less is not filled (common practice).
pub(crate) const NOTCH_LAND_LINES: f64 = 2.0;

/// The swivel's pin as a share of the tip's diameter.
pub(crate) const PIN_PER_TIP: f64 = 0.3;
/// The tip stands this far inside the thread's root, across.
pub(crate) const TIP_UNDER_ROOT: Length = Length::mm(0.4);
/// Least land behind the groove, and in pin diameters.
pub(crate) const GROOVE_LAND: Length = Length::mm(3.0);
/// The same in pin diameters.
pub(crate) const GROOVE_LAND_PINS: f64 = 0.8;
/// The groove's centre stands so many pin diameters inside the carriage.
pub(crate) const GROOVE_PINS: f64 = 1.5;
/// The pip that takes the push: its diameter as a share of the tip's, and its height.
pub(crate) const PIP_PER_TIP: f64 = 0.6;
/// Its height.
pub(crate) const PIP_HEIGHT: Length = Length::mm(0.6);
/// Half-width of the groove's floor in pin radii: a pin on 45 degree flanks, tan 22.5 deg.
pub(crate) const GROOVE_FLOOR: f64 = std::f64::consts::SQRT_2 - 1.0;

/// Flange of the keeper.
pub(crate) const KEEPER_FLANGE: Length = Length::mm(4.0);
/// The keeper's plug in pin diameters.
pub(crate) const KEEPER_PLUG_PINS: f64 = 2.3;
/// Keeper pins stand so many pin diameters from the frame's end.
pub(crate) const KEEPER_PIN_PINS: f64 = 1.5;
/// Wall beside the keeper's pins.
pub(crate) const KEEPER_PIN_COVER: Length = Length::mm(2.0);
/// Widest hole through the keeper.
pub(crate) const WIDEST_KEEPER_BORE: Length = Length::mm(10.0);

/// Fewest printed lines in a wall that carries load (common practice).
pub(crate) const LEAST_WALL_LINES: f64 = 3.0;

/// A height beyond any part, up or down.
pub(crate) const BEYOND_ALL: Length = Length::mm(1e4);

/// cs: length of a 45 degree countersink or tip chamfer along the axis.
pub(crate) fn chamfer_length(thread: &Thread) -> Length {
    thread.depth() + CHAMFER_BEYOND_THREAD
}
