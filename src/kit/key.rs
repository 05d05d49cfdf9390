//! Every key of the kit file, declared once: name, meaning, type, limits and what its absence
//! means.
//!
//! Reading, defaults, messages, did-you-mean and the manual all come from these rows. To add
//! a key, add a row here and take it in `reader.rs`.

use super::dowel::Dowel;
use super::nut::AskedNut;
use super::text::{CHECK_ID, REASON};
use super::words::{HeadKind, LayoutKind};
use super::{End, Grip, Mount, Printer};
use crate::assembly::{Perimeters, Slender, Turning};
use crate::declared::Absent::{Default, Missing, Open};
use crate::declared::{
    Between, FOLDER_NAME, Form, Instead, KeyHelp, Likely, Quantity, Units, from_to, keys, mm, parse,
};
use crate::strength::{Friction, Material};
use crate::thread::Thread;
use crate::units::{Force, Length, SpringRate, Torque};

/// Every key, as a manual shows it, in the order in which a kit is best written.
pub fn keys() -> Vec<KeyHelp> {
    ALL.iter().map(|key| key.help()).collect()
}

/// The table of which a kit may have several.
pub(super) const REPEATED: &str = "waive";

/// The table whose keys are names of joints.
pub(super) const JOINT_GAPS: &str = "gaps.joint";

/// Bytes of a kit file at the most: some fifty times a common one. Guess.
pub(crate) const LONGEST: usize = 64 << 10;

/// The kit file.
pub(super) const FORM: Form = Form {
    what: "kit file",
    holds: "the kit",
    longest: LONGEST,
    keys: ALL,
    repeated: &[REPEATED],
    named: &[JOINT_GAPS],
    likely: LIKELY,
};

/// What makers call things that a kit calls otherwise, as far as no misspelling leads to the key.
const LIKELY: &[Likely] = &[
    likely("nozzle", "line", NOZZLE),
    likely("nozzle_diameter", "line", NOZZLE),
    likely("nozzle_size", "line", NOZZLE),
    likely("line_width", "line", Instead::Key),
    likely("layer_height", "layer", Instead::Key),
    likely("perimeters", "walls", Instead::Key),
    likely("filament", "material", Instead::Key),
    likely("plastic", "material", Instead::Key),
    likely("travel", "stroke", Instead::Key),
    likely(
        "clearance",
        "gaps",
        Instead::Words(
            "write the wanted gap of each kind of joint instead, such as `gaps = { slide = 0.14 }`",
        ),
    ),
];

const fn likely(word: &'static str, key: &'static str, instead: Instead) -> Likely {
    Likely { word, key, instead }
}

/// Width of a printed line over the diameter of its nozzle: common practice, 0.45 mm for 0.4 mm, as
/// the default of `line` has it.
const LINE_OF_NOZZLE: f64 = 1.125;

const NOZZLE: Instead = Instead::Reckoned(
    line_of_nozzle,
    "write the width of a printed line instead: `line = 0.45` for a nozzle of 0.4 mm",
);

/// The line to write for a nozzle, as it is written; none where no such line is laid.
fn line_of_nozzle(written: &str, units: Units) -> Option<String> {
    let nozzle = parse::<Length>(written.trim_matches(['"', '\'']), units);
    let line = nozzle.ok()?.value * LINE_OF_NOZZLE;
    let Between { least, most } = LINE.limits;
    (least..=most).contains(&line).then(|| {
        let line = line.literal(units);
        format!(
            "write the width of a printed line instead, by common practice {LINE_OF_NOZZLE} times \
             the nozzle's: `{} = {line}`",
            LINE.path
        )
    })
}
/// Torque of a whole hand on a small hexagon; below it a kit asks to turn gently. Guess, and the
/// default of `hand_torque`.
pub(crate) const FULL_HAND: Torque = Torque::newton_metres(2.0);
/// Torque of thumb and two fingers on a small head; up to it a kit asks for them. From memory of
/// published pinch torques of adults on knobs and caps of about 30 mm, 0.5 to 1.2 N m.
pub(crate) const FINGERS: Torque = Torque::newton_metres(1.0);

const FROM_PARTS: &str = "follows from the other parts";
const FROM_STROKE: &str = "follows from the stroke and the threads";
/// Any size of a printed part: from about two printed lines to the largest desktop bed. Guess.
const PART: Between<Length> = mm(1.0, 2000.0);
/// Wanted gaps: from touching to a loose fit. Guess.
const GAP: Between<Length> = mm(0.0, 1.0);

/// Prices: from nothing to a week of working hours. Guess.
const PRICE: Between<f64> = from_to(0.0, 40.0);

/// Walls of a part. Guess.
const WALL_COUNT: Between<u32> = from_to(1, 100);
/// Torques at a head: from two fingers to a long spanner. Guess.
const TORQUE: Between<Torque> = from_to(Torque::newton_metres(0.01), Torque::newton_metres(50.0));
/// Rates of springs: from a thread of wire to one that a vice compresses. Guess.
const SPRING_STIFFNESS: Between<SpringRate> = from_to(
    SpringRate::newtons_per_mm(0.001),
    SpringRate::newtons_per_mm(1000.0),
);
/// Loads: from a feather to two tonnes. Guess.
const FORCE: Between<Force> = from_to(Force::newtons(0.1), Force::newtons(20_000.0));

// The limits keep out slips of the pen (a wrong unit, a lost decimal point), not bad designs:
// those are for the checks to judge. All limits and all gaps are guesses unless said otherwise.
keys! {
    NAME: String = "name", "name of the kit and of its folder",
        FOLDER_NAME, Missing("\"focus stage\"");
    LAYOUT: LayoutKind = "layout", "which mechanism", (), Missing("\"nested\"");
    UNITS: Units = "units", "what bare numbers are", (), Default("\"mm\"");
    DRIVE: Thread = "drive", "thread of the drive screw in the frame", (), Missing("\"M20x2.5\"");
    INNER: Thread = "inner", "thread of the inner screw in the drive screw",
        (), Open("required in a nested layout, refused in others");
    THIN: Thread = "thin", "thread of the drive screw's thin end in the carriage's nut",
        (), Open("required in a tandem layout, refused in others");
    FAR: Thread = "far", "thread of the far shaft in the far carriage's nut, wound the other way; `stroke` and `net_lead` are the near carriage's",
        (), Open("required in an opposed layout, refused in others");
    NUT: AskedNut = "nut", "the carriage's nut; in a tandem layout only", (), Open("printed");
    STROKE: Length = "stroke", "travel of the carriage", mm(0.1, 1000.0), Missing("10");
    NET_LEAD: Length = "net_lead", "travel of the carriage in one turn, as you expect it",
        mm(0.001, 100.0), Open("not compared");
    ADVANCE: Turning = "advance",
        "the way to turn that carries out the stroke, seen from the head, as you expect it",
        (), Open("not compared");
    HEAD_KIND: HeadKind = "head.kind", "kind of the drive screw's head", (), Default("\"knob\"");
    HEAD_ACROSS_FLATS: Length = "head.across_flats", "width of the hexagon across its flats",
        mm(5.0, 200.0), Open("the next spanner size above the thread");
    HEAD_DIAMETER: Length = "head.diameter", "diameter of a knob, of a head for a bar, or of a crank's hub",
        mm(5.0, 200.0), Open("follows from the thread");
    HEAD_BAR: Length = "head.bar", "diameter of the bought bar through a tommy head",
        mm(2.0, 20.0), Open("6 mm; in an inch kit 1/4 in");
    HEAD_ARM: Length = "head.arm", "length of a crank's arm, from the axis to the bolt of its handle",
        mm(15.0, 300.0), Open("2.5 times the thread, and no less than 20 mm beyond the hub");
    HEAD_HEIGHT: Length = "head.height", "height of the head, without its dial",
        mm(1.0, 200.0), Open("follows from the thread");
    END: End = "end", "what the carriage works with: its bare face, ears to bolt something to, a jaw against a fixed one, a steel rod that pushes, or that rod against an anvil on a yoke; no rod and no press in a tandem or opposed layout",
        (), Default("\"flush\"");
    MOUNT: Mount = "mount", "what the frame is held by: nothing, a foot with bolt holes, or a nut to buy in a pocket underneath, for a bolt of that thread; no nut in a tandem or opposed layout",
        (), Default("\"none\"");
    DIAL: u32 = "dial", "ticks around the head: one is so many parts of a turn",
        from_to(5, 200), Open("no ticks");
    PINS_DIAMETER: Length = "pins.diameter", "diameter of the cross, swivel, stop and keeper pins",
        mm(1.0, 20.0), Open(FROM_PARTS);
    PINS_BUY: Dowel = "pins.buy", "dowel pins to buy instead of printing them",
        (), Open("pins are printed");
    PINS_HELD_BY: Grip = "pins.held_by", "what holds a pressed pin: ribs that crush, or the whole wall",
        (), Default("\"ribs\"");
    PINS_GRADES: bool = "pins.grades", "whether printed pins come thinner and thicker too, to choose from",
        (), Default("true");
    GAP_THREAD: Length = "gaps.thread", "wanted gap between the threads, radial; negative beds in",
        mm(-0.3, 1.0), Open("of the least expected cost: 0.1 mm, less between fine threads");
    GAP_SLIDE: Length = "gaps.slide", "wanted gap of the carriage in its guide, a side",
        GAP, Open("of the least expected cost: 0.14 mm");
    GAP_LOCATE: Length = "gaps.locate", "wanted gap of parts put in place by hand, radial",
        GAP, Open("of the least expected cost: 0.09 mm");
    GAP_SWIVEL: Length = "gaps.swivel", "wanted gap in the swivel, radial and along the axis; in a single layout only",
        GAP, Open("of the least expected cost: 0.2 mm");
    GAP_PRESS: Length = "gaps.press", "wanted gap of pressed pins, radial, at the tips of the ribs; negative is interference",
        mm(-0.3, 0.3), Open("of the least expected cost: -0.11 mm on ribs, -0.02 mm in the whole wall");
    GAP_SEAT: Length = "gaps.seat", "wanted gap of end faces that carry a push",
        GAP, Default("\"0.1 mm\"");
    GAP_JOINT: Length = "gaps.joint.*",
        "wanted gap of one joint, by its name (`\"drive/frame\" = 0.06`), in place of that of its kind",
        mm(-0.3, 1.0), Open("that of its kind");
    ODDS_WARN: f64 = "odds.warn", "share of copies without a second print below which `kit-odds` warns",
        from_to(0.0, 1.0), Default("0.8");
    ODDS_FAIL: f64 = "odds.fail", "the same below which `kit-odds` fails",
        from_to(0.0, 1.0), Default("0.5");
    PRICE_REPRINT: f64 = "price.reprint", "what a second print of a part costs you, in hours",
        PRICE, Default("1.5");
    PRICE_FITTING: f64 = "price.fitting", "what filing or running in a fit costs you, in hours",
        PRICE, Default("0.5");
    PRICE_PLAY: f64 = "price.play", "what a millimetre of play along the axis is worth to you, in hours",
        PRICE, Default("1");
    PRINTER: Printer = "printer", "profile of the printer: its name, or a path that ends in .toml",
        (), Open("the shipped guesses hold");
    LAYER: Length = "layer", "layer height", mm(0.04, 0.6), Default("\"0.15 mm\"");
    LINE: Length = "line", "width of a printed line", mm(0.1, 2.0), Default("\"0.45 mm\"");
    WALLS: u32 = "walls", "number of perimeters", WALL_COUNT, Default("4");
    PERIMETERS_INNER: Perimeters = "perimeters.inner",
        "walls of the inner screw in place of `walls`; in a nested layout only", WALL_COUNT, Open("solid");
    PERIMETERS_DRIVE: Perimeters = "perimeters.drive", "walls of the drive screw in place of `walls`",
        WALL_COUNT, Open("solid; a nested one as many as fill its tube, if 8 do");
    PERIMETERS_FRAME: Perimeters = "perimeters.frame", "walls of the frame in place of `walls`",
        WALL_COUNT, Open("as `walls`");
    PERIMETERS_CARRIAGE: Perimeters = "perimeters.carriage", "walls of the carriage in place of `walls`",
        WALL_COUNT, Open("as `walls`");
    PERIMETERS_KEEPER: Perimeters = "perimeters.keeper", "walls of the keeper in place of `walls`",
        WALL_COUNT, Open("as `walls`");
    PERIMETERS_NUT: Perimeters = "perimeters.nut",
        "walls of the printed nut in place of `walls`; in a tandem layout only", WALL_COUNT, Open("solid");
    BED: [Length; 3] = "bed", "room on the printer: x, y, z",
        mm(50.0, 2000.0), Default("[\"220 mm\", \"220 mm\", \"250 mm\"]");
    SLENDER: Slender = "slender",
        "whether parts so slender that they want a brim are laid together with the others, or apart on beds of their own",
        (), Default("\"together\"");
    MATERIAL: Material = "material", "filament", (), Default("\"PLA\"");
    HAND_TORQUE: Torque = "hand_torque", "torque of a hand at the stops",
        TORQUE, Default("\"2 N m\"");
    LOAD: Force = "load", "load on the carriage along the axis; or a table of these:",
        FORCE, Open("no torque is told");
    LOAD_FORCE: Force = "load.force", "the same, in the table", FORCE, Open("no torque is told");
    LOAD_TORQUE: Torque = "load.torque", "torque at the head that you mean to work with",
        TORQUE, Open("only a hand at the stops is judged");
    LOAD_LASTING: bool = "load.lasting", "whether the load stays on for hours",
        (), Default("false");
    LOAD_RESERVE: f64 = "load.reserve", "how many times the load the weakest place is to bear",
        from_to(1.5, 4.0), Default("2");
    LOAD_OFFSET: Length = "load.offset", "how far beside the axis the load acts",
        mm(0.0, 1000.0), Default("\"0 mm\"");
    SPRING_WIRE: Length = "spring.wire",
        "diameter of the wire of a spring to buy, between keeper and carriage, that takes up the play; not in an opposed layout",
        mm(0.2, 6.0), Open("no spring");
    SPRING_OUTSIDE: Length = "spring.outside", "its outside diameter", mm(2.0, 200.0), Open("no spring");
    SPRING_FREE: Length = "spring.free", "its length when nothing presses on it", mm(3.0, 1000.0), Open("no spring");
    SPRING_COILS: f64 = "spring.coils", "its active coils: all of them less one at either end",
        from_to(2.0, 100.0), Open("follows from its rate, in steel");
    SPRING_RATE: SpringRate = "spring.rate", "its rate, in place of `coils`", SPRING_STIFFNESS,
        Open("follows from its coils, in steel");
    SPRING_PULL: Force = "spring.pull",
        "what pulls the carriage away from the drive head while it is to have no play",
        from_to(Force::ZERO, Force::newtons(20_000.0)), Open("`load`, which may pull either way");
    FRICTION: Friction = "friction",
        "coefficient of friction in the threads: one, or the least and the most",
        from_to(0.02, 1.0), Open("as was measured of the filament; both ends are judged");
    GREASE: bool = "grease", "whether the threads are greased", (), Default("false");
    TOLERANCE: Length = "tolerance", "chord tolerance of the meshes",
        mm(0.001, 0.2), Default("\"0.01 mm\"");
    THREAD_ROOM: Length = "sizes.thread_gap", "thread gap that lengths leave room for, radial",
        mm(0.0, 1.5), Open("a layer and 0.15 mm");
    TAPPED_WALL: Length = "sizes.tapped_wall", "length of thread in the frame", PART, Open(FROM_STROKE);
    DRIVE_THREAD: Length = "sizes.drive_thread", "length of the drive screw's thread under its head",
        PART, Open(FROM_STROKE);
    INNER_THREAD: Length = "sizes.inner_thread", "length of the inner screw's thread under its collar; in a nested layout only",
        PART, Open(FROM_STROKE);
    BORE: Length = "sizes.bore", "depth of the drive screw's bore; in a nested layout only", PART, Open(FROM_STROKE);
    COLLAR: Length = "sizes.collar", "diameter of the inner screw's collar; in a nested layout only", PART, Open(FROM_PARTS);
    CARRIAGE_DIAMETER: Length = "sizes.carriage_diameter", "diameter of the carriage's round body; not in a tandem layout",
        PART, Open(FROM_PARTS);
    CARRIAGE_LENGTH: Length = "sizes.carriage_length", "length of the carriage",
        PART, Open(FROM_STROKE);
    EAR_WIDTH: Length = "sizes.ear_width", "width of the carriage's ears; not in a tandem layout",
        PART, Open(FROM_PARTS);
    FRAME_SIDE: Length = "sizes.frame_side", "side of the frame's square; not in a tandem layout",
        PART, Open(FROM_PARTS);
    KEEPER_PLUG: Length = "sizes.keeper_plug", "length of the keeper's plug", PART, Open(FROM_PARTS);
    THIN_THREAD: Length = "sizes.thin_thread", "length of the drive screw's thin thread; in a tandem layout only",
        PART, Open(FROM_STROKE);
    NUT_HEIGHT: Length = "sizes.nut", "height of the printed nut; in a tandem layout only",
        PART, Open(FROM_PARTS);
    CARRIAGE_WIDTH: Length = "sizes.carriage_width", "width of the carriage; in a tandem layout only",
        PART, Open(FROM_PARTS);
    THROAT: Length = "sizes.throat", "from the rod of a press at turn 0 to its anvil; with `end = \"press\"` only",
        PART, Open("`stroke` and 5 mm");
    WAIVE_CHECK: String = "waive.check", "id of a check that is waived",
        CHECK_ID, Missing("\"drive-wall\"");
    WAIVE_REASON: String = "waive.reason", "why it may be waived",
        REASON, Missing("\"printed twice, holds\"");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_path_is_declared_once() {
        let mut paths: Vec<&str> = ALL.iter().map(|key| key.path()).collect();
        paths.sort_unstable();
        let all = paths.len();
        paths.dedup();
        assert_eq!(paths.len(), all);
    }
}
