//! Test pieces: from a kit and what is known of its printer to shapes, and what to measure.
//!
//! A *plate* is measured with a caliper; *ladders* are tried by hand: one plug, pin or tongue,
//! and what it goes into, in steps of gap around the one at which it should begin to go. From both,
//! `tune` learns the printer. It knows nothing of files or meshes.

mod breaking;
mod ladder;
mod plate;
mod pocket;
mod spacing;

use crate::assembly::{Fit, Joint, Shape, Source};
use crate::kit::Kit;
use crate::layout::{Design, wanted_of_thread};
use crate::printer::Profile;
use crate::printing_time::{Body, Minutes, PrintEstimate, Room, fits_on};
use crate::solid::mesh;
use crate::strength::Plastic;
use crate::thread::Thread;
use crate::tuning::{BestStep, CaliperSize, End, LadderKind};
use crate::units::Length;
use ladder::Size;
use rayon::prelude::*;
use spacing::{GAP_STEP, PIN_STEP, Spacing};

pub use breaking::{ARM, BreakRow, Breaking, STICK};

/// Everything to print, to measure and to try.
#[derive(Clone, Debug)]
pub struct Coupon {
    /// Printed once each.
    pub pieces: Vec<Piece>,
    /// What to measure, in the order of the sheet.
    pub rows: Vec<Row>,
    /// What to try.
    pub ladders: Vec<GapLadder>,
    /// What to break.
    pub breaking: Option<Breaking>,
}

/// One test piece.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Fit for a file.
    pub name: String,
    /// In its print frame.
    pub shape: Shape,
    /// How it lies on the bed.
    pub note: String,
    /// By what it is told from its neighbours.
    pub mark: String,
    /// The ladder of whose pieces it is one, by its place among the coupon's; none of a piece alone.
    pub ladder: Option<usize>,
}

/// A size to be measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// As the form names it: `outer-x-62`.
    pub name: String,
    /// What it says of the printer.
    pub feature: CaliperSize,
    /// Where to put the caliper.
    pub place: String,
}

/// Pieces in steps of gap, of which the tightest that goes is named.
#[derive(Clone, Debug, PartialEq)]
pub struct GapLadder {
    /// Of a thread the joint's name, else the kind of fit.
    pub name: String,
    /// What is tried.
    pub kind: LadderKind,
    /// Of a thread ladder the gap that the kit wants of such threads, radial. No step lies where it
    /// does for that: it is what a joint's own gap is told from.
    pub wanted: Option<Length>,
    /// Gaps as drawn, radial or a side, the step of one groove first.
    pub gaps: Vec<Length>,
    /// From one step to the next.
    pub step: Length,
    /// Radius of the mating faces; zero for flat ones.
    pub radius: Length,
    /// Of a thread ladder.
    pub thread: Option<Thread>,
    /// Height of the crush ribs in its holes, at whose tips the gaps are; none without.
    pub ribs: Option<Length>,
    /// Of a nut's pockets, across the flats for which they are drawn.
    pub flats: Option<Length>,
}

/// What to print.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Extent {
    /// Plate and ladders.
    Full,
    /// Ladders alone, small, for one bed.
    Quick,
    /// The ladder of one joint, by the joint's name.
    Joint(String),
    /// Pieces to be broken.
    Break,
}

/// Why a joint has no ladder.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no joint of this kit with a ladder is called `{name}`")]
pub struct NoLadder {
    /// As it was asked for.
    pub name: String,
    /// Joints that have one.
    pub known: Vec<String>,
}

/// Steps of a quick ladder, the most that stay within [`QUICK_TIME`] are taken.
const QUICK_STEPS: [usize; 3] = [5, 4, 3];
/// Time that a quick print should stay below.
pub const QUICK_TIME: Minutes = Minutes(45.0);
/// Rough meshes are taken to stay below it by this share: their chords take off up to 1 % of the
/// time. Guess.
const ROUGHLY: f64 = 0.98;

impl GapLadder {
    /// Its pieces' common name.
    pub fn stem(&self) -> String {
        match self.kind {
            LadderKind::Thread => format!("thread-{}", self.name.replace(['/', ' '], "-")),
            LadderKind::PinOnRibs
            | LadderKind::BoughtPinOnRibs
            | LadderKind::PinLying
            | LadderKind::BoughtPinLying => "pin-lying".into(),
            LadderKind::PinUpright => "pin-upright".into(),
            LadderKind::Slide => "slide".into(),
            LadderKind::Pocket | LadderKind::BoughtPocket => "nut-pocket".into(),
        }
    }

    /// What it finds out if the step of so many grooves is the tightest that goes; `None` if it has
    /// no such.
    pub fn trial(&self, grooves: usize) -> Option<BestStep> {
        let drawn = *self.gaps.get(grooves.checked_sub(1)?)?;
        Some(BestStep {
            kind: self.kind,
            drawn,
            step: self.step,
            radius: self.radius,
            end: End::of(grooves, self.gaps.len()),
        })
    }
}

/// Test pieces for a kit, their steps around the gaps at which a printer's fits should begin to go.
///
/// # Errors
/// If a joint is asked for that has no ladder.
pub fn coupon(
    kit: &Kit,
    design: &Design,
    profile: &Profile,
    extent: &Extent,
) -> Result<Coupon, NoLadder> {
    match extent {
        Extent::Full => {
            let ladders = ladders(kit, design, Spacing::full(profile));
            let mut coupon = of_ladders(kit, ladders, Size::Full);
            coupon.pieces.insert(0, plate::piece(*kit.layer));
            coupon.rows = plate::rows(*kit.layer);
            Ok(coupon)
        }
        Extent::Quick => Ok(quick(kit, design, profile).0),
        Extent::Joint(name) => {
            let of_joint = one_joint(kit, design, profile, name)?;
            Ok(of_ladders(kit, of_joint, Size::Full))
        }
        Extent::Break => {
            let plastic = Plastic::of(*kit.material);
            let broken = breaking::coupon(design, &plastic, *kit.layer);
            broken.ok_or_else(|| NoLadder {
                name: "any thread".into(),
                known: Vec::new(),
            })
        }
    }
}

/// What the caliper plate has to measure, for a layer height.
pub fn plate_rows(layer: Length) -> Vec<Row> {
    plate::rows(layer)
}

/// The ladders of a quick print of so many steps: one thread, lying pins, one slide.
///
/// A gap is a length that does not grow with the thread (derived: no term of the model scales
/// with the diameter), so the thinnest thread stands for all.
pub fn quick_ladders(
    kit: &Kit,
    design: &Design,
    profile: &Profile,
    steps: usize,
) -> Vec<GapLadder> {
    let all = ladders(kit, design, Spacing::quick(profile, steps));
    let thinnest = all
        .iter()
        .filter(|ladder| ladder.kind == LadderKind::Thread)
        .min_by(|a, b| a.radius.as_mm().total_cmp(&b.radius.as_mm()))
        .map(|ladder| ladder.name.clone());
    all.into_iter()
        .filter(|ladder| match ladder.kind {
            LadderKind::Thread => Some(&ladder.name) == thinnest.as_ref(),
            // A nut's pockets are too large for a quick print.
            LadderKind::PinUpright | LadderKind::Pocket | LadderKind::BoughtPocket => false,
            LadderKind::PinOnRibs
            | LadderKind::BoughtPinOnRibs
            | LadderKind::PinLying
            | LadderKind::BoughtPinLying
            | LadderKind::Slide => true,
        })
        .collect()
}

/// What printing the quick pieces takes.
pub fn quick_time(kit: &Kit, design: &Design, profile: &Profile) -> Minutes {
    quick(kit, design, profile).1
}

/// The quick print of a kit, and what it takes: the ladders with the most steps that stay below
/// [`QUICK_TIME`] and on one bed, else those with the fewest.
fn quick(kit: &Kit, design: &Design, profile: &Profile) -> (Coupon, Minutes) {
    let made = |steps| {
        let ladders = quick_ladders(kit, design, profile, steps);
        let coupon = of_ladders(kit, ladders, Size::Quick);
        let bodies = rough(&coupon);
        let time = PrintEstimate::new(&bodies, profile).time;
        let good = time.0 <= QUICK_TIME.0 * ROUGHLY && fits_on(&bodies, &Room::of(profile));
        (good, (coupon, time))
    };
    let [most, fewer @ ..] = QUICK_STEPS;
    let (mut good, mut last) = made(most);
    for steps in fewer {
        if good {
            break;
        }
        (good, last) = made(steps);
    }
    last
}

/// Chord tolerance of the meshes by which a print is judged before it is made.
const ROUGH: Length = Length::mm(0.1);

/// Bodies of a coupon's pieces, coarsely; a piece that cannot be meshed is left out, and is
/// told of when it is made.
fn rough(coupon: &Coupon) -> Vec<Body> {
    let meshes = coupon
        .pieces
        .par_iter()
        .filter_map(|piece| mesh(&piece.shape, ROUGH).ok());
    meshes.map(|mesh| Body::of(&mesh)).collect()
}

/// Every ladder of a kit.
fn ladders(kit: &Kit, design: &Design, spacing: Spacing<'_>) -> Vec<GapLadder> {
    let joints = &design.assembly.joints;
    let mut ladders: Vec<GapLadder> = joints
        .iter()
        .filter_map(|joint| {
            let thread = joint.thread.as_ref()?.thread.clone();
            joint.gap?;
            let radius = thread.major() / 2.0;
            let (gaps, step) = spacing.steps(LadderKind::Thread, radius, [GAP_STEP, Length::ZERO]);
            Some(GapLadder {
                name: joint.name.clone(),
                kind: LadderKind::Thread,
                wanted: Some(wanted_of_thread(kit, spacing.profile(), &thread)),
                gaps,
                step,
                radius,
                thread: Some(thread),
                ribs: None,
                flats: None,
            })
        })
        .collect();
    // One pressed pin stands for all: they are of one pattern.
    let press = design.members.presses.first();
    let press = press.and_then(|press| Some((press.pin, design.assembly.joint(press.joint).gap?)));
    ladders.extend(press.map_or(Vec::new(), |(pin, gap)| {
        pin_ladders(kit, gap.ribs, pin, spacing)
    }));
    if joints.iter().any(|joint| joint.fit == Fit::Slide) {
        let (gaps, step) = spacing.steps(LadderKind::Slide, Length::ZERO, [GAP_STEP, Length::ZERO]);
        ladders.push(GapLadder {
            name: "slide".into(),
            kind: LadderKind::Slide,
            wanted: None,
            gaps,
            step,
            radius: Length::ZERO,
            thread: None,
            ribs: None,
            flats: None,
        });
    }
    ladders.extend(pocket_ladder(design, spacing));
    ladders
}

/// The ladder of a captive nut's pocket; one stands for all, for they are of one pattern.
fn pocket_ladder(design: &Design, spacing: Spacing<'_>) -> Option<GapLadder> {
    let captive = design.members.captives.first()?;
    let joint = design.assembly.joint(captive.joint);
    let kind = match joint.gap?.mates.male {
        Source::Printed => LadderKind::Pocket,
        Source::Bought => LadderKind::BoughtPocket,
    };
    let narrower = (captive.across_flats - captive.narrowest) / 2.0;
    let (gaps, step) = spacing.steps(kind, Length::ZERO, [GAP_STEP, narrower]);
    Some(GapLadder {
        name: joint.name.clone(),
        kind,
        wanted: None,
        gaps,
        step,
        radius: Length::ZERO,
        thread: None,
        ribs: None,
        flats: Some(captive.across_flats),
    })
}

/// Ladders of holes for the kit's pins, printed as those of the kit are, and for printed pins
/// upright holes too: they tell the growth of upright walls.
fn pin_ladders(
    kit: &Kit,
    ribs: Option<Length>,
    pin: Length,
    spacing: Spacing<'_>,
) -> Vec<GapLadder> {
    let of = |name: &str, kind: LadderKind, ribs: Option<Length>| {
        let least = match ribs {
            Some(_) => GAP_STEP,
            None => PIN_STEP,
        };
        let (gaps, step) = spacing.steps(kind, pin / 2.0, [least, Length::ZERO]);
        GapLadder {
            name: name.into(),
            kind,
            wanted: None,
            gaps,
            step,
            radius: pin / 2.0,
            thread: None,
            ribs,
            flats: None,
        }
    };
    let bought = kit.pins.buy.is_some();
    let lying = match (bought, ribs) {
        (false, Some(_)) => LadderKind::PinOnRibs,
        (false, None) => LadderKind::PinLying,
        (true, Some(_)) => LadderKind::BoughtPinOnRibs,
        (true, None) => LadderKind::BoughtPinLying,
    };
    let mut ladders = vec![of("pin", lying, ribs)];
    if !bought {
        ladders.push(of("upright pin", LadderKind::PinUpright, None));
    }
    ladders
}

/// The ladders for one joint of the kit.
fn one_joint(
    kit: &Kit,
    design: &Design,
    profile: &Profile,
    name: &str,
) -> Result<Vec<GapLadder>, NoLadder> {
    let all = ladders(kit, design, Spacing::full(profile));
    let tried = |fit: Fit, joint: &str| -> Vec<GapLadder> {
        let of_fit = |ladder: &&GapLadder| match fit {
            Fit::Thread | Fit::Locate => ladder.name == joint,
            Fit::Press => ladder.kind.fit().0 == Fit::Press,
            Fit::Slide => ladder.kind == LadderKind::Slide,
            Fit::Swivel | Fit::Seat | Fit::Stop => false,
        };
        all.iter().filter(of_fit).cloned().collect()
    };
    let joints = &design.assembly.joints;
    let found = joints
        .iter()
        .filter(|joint| joint.name == name)
        .map(|joint| tried(joint.fit, &joint.name))
        .find(|ladders| !ladders.is_empty());
    found.ok_or_else(|| {
        let has_ladder = |joint: &&Joint| !tried(joint.fit, &joint.name).is_empty();
        let mut known: Vec<String> = joints
            .iter()
            .filter(has_ladder)
            .map(|joint| joint.name.clone())
            .collect();
        known.dedup();
        NoLadder {
            name: name.into(),
            known,
        }
    })
}

/// The pieces of some ladders.
fn of_ladders(kit: &Kit, ladders: Vec<GapLadder>, size: Size) -> Coupon {
    let layer = *kit.layer;
    let mut pieces: Vec<Piece> = Vec::new();
    let mut printed_pin = None;
    for (index, ladder) in ladders.iter().enumerate() {
        let before = pieces.len();
        let across = ladder.radius * 2.0;
        match ladder.kind {
            LadderKind::Thread => {
                let thread = ladder.thread.iter();
                pieces.extend(thread.flat_map(|t| ladder::thread(ladder, t, layer, size)));
            }
            LadderKind::Slide => pieces.extend(ladder::slide(ladder, layer, size)),
            LadderKind::PinOnRibs | LadderKind::PinLying | LadderKind::PinUpright => {
                pieces.push(ladder::pin_holes(ladder, across, layer, size));
                printed_pin = Some((across, index));
            }
            LadderKind::Pocket | LadderKind::BoughtPocket => {
                let flats = ladder.flats.iter();
                pieces.extend(flats.flat_map(|flats| pocket::pieces(ladder, *flats, layer)));
            }
            LadderKind::BoughtPinOnRibs | LadderKind::BoughtPinLying => {
                pieces.push(ladder::pin_holes(ladder, across, layer, size));
            }
        }
        for piece in &mut pieces[before..] {
            piece.ladder = Some(index);
        }
    }
    pieces.extend(printed_pin.map(|(across, index)| Piece {
        ladder: Some(index),
        ..ladder::pin_piece(across, size)
    }));
    Coupon {
        pieces,
        rows: Vec::new(),
        ladders,
        breaking: None,
    }
}
