//! Everything that was worked out about one kit, as the outputs read it.
//!
//! These are plain values, so that an output depends neither on how a kit is read nor on how
//! motion is solved. Lists that speak of parts, pieces or joints stand in the order of the
//! assembly's own lists; what is missing from them counts as not computed.

use crate::aid::{Aid, LeftOut};
use crate::assembly::{Fit, InstanceId, PartId, Turning};
use crate::check::{Finding, Outcome};
use crate::clearance::Clearance;
use crate::kit::Gentle;
use crate::layout::Design;
use crate::load::{ForceFigures, PreloadFigures};
use crate::motion::{Engagement, Rate};
use crate::output::album::Album;
use crate::output::part::{self, PartBody};
use crate::picture::Picture;
use crate::printer::{Correction, KitOdds, LayeredThread, PrintedJoint};
use crate::printing_time::{Job, Minutes, PrintEstimate};
use crate::sequence::Order;
use crate::solid::Written;
use crate::strength::Material;
use crate::units::{Length, SpringRate, Torque};
use crate::units_told::Told;
use std::sync::Arc;

/// One kit, worked out.
#[derive(Clone, Debug)]
pub struct Product {
    /// What the outputs say of the kit itself.
    pub kit: KitFacts,
    /// The mechanism, its stroke and its steps.
    pub design: Design,
    /// How it moves as a whole.
    pub motion: MotionFigures,
    /// What it bears and presses with; `None` where that was not worked out.
    pub force: Option<ForceFigures>,
    /// How each piece moves; `None` where that was not worked out.
    pub rates: Vec<Option<Rate>>,
    /// What was worked out about each joint.
    pub joints: Vec<JointFigures>,
    /// What becomes of its copies; `None` where that was not worked out.
    pub odds: Option<OddsFigures>,
    /// Each part as a body, bought ones too; none where nothing was drawn. Products that differ in no shape
    /// may share them.
    pub bodies: Arc<Vec<PartBody>>,
    /// What printing takes; `None` if it was not worked out.
    pub job: Option<Job>,
    /// What printing takes of that which is to be printed again, where that was asked for.
    pub reprint: Option<Job>,
    /// What every pair of pieces leaves between them through the stroke; `None` where nothing was drawn.
    pub clearance: Option<Clearance>,
    /// Everything that was judged, passes included; where nothing was drawn, what needs no mesh.
    pub findings: Vec<Finding>,
    /// How it comes apart; `None` where that was not worked out.
    pub order: Option<Order>,
    /// Its pictures; `None` where none are wanted.
    pub album: Option<Album>,
    /// Its bench aids; `None` where none are wanted.
    pub aids: Option<BenchAids>,
    /// What becomes of every printed part of an earlier run; `None` if there was none. It
    /// stands in no file, so that one kit always gives the same bytes.
    pub changes: Option<Vec<(String, Change)>>,
}

/// Printed parts that help at the bench, made and judged.
#[derive(Clone, Debug, Default)]
pub struct BenchAids {
    /// Each of them.
    pub each: Vec<BenchAid>,
    /// What there is none for, and why.
    pub left_out: Vec<LeftOut>,
    /// Those that their checks refuse, by their names, with the message of the check.
    pub refused: Vec<(&'static str, String)>,
}

/// One of them.
#[derive(Clone, Debug)]
pub struct BenchAid {
    /// What it is, and where it stands in use.
    pub aid: Aid,
    /// Its file, proved sound.
    pub written: Written,
    /// What one of it takes to be printed alone.
    pub estimate: PrintEstimate,
    /// What the checks of printed parts say of it.
    pub findings: Vec<Finding>,
    /// It as it stands on the bed, and in use; none where no pictures are wanted.
    pub pictures: Vec<Picture>,
}

impl BenchAid {
    /// Its file, relative to the folder.
    pub fn file(&self) -> String {
        part::aid_path(&self.aid.part.name)
    }
}

/// What the outputs say of the kit itself.
#[derive(Clone, Debug, PartialEq)]
pub struct KitFacts {
    /// As the maker wrote it.
    pub name: String,
    /// Whether people are told inches first.
    pub inches: bool,
    /// Which mechanism.
    pub layout: &'static str,
    /// The carriage's working end, as the kit has it.
    pub end: &'static str,
    /// What the frame is held by.
    pub mount: &'static str,
    /// Filament.
    pub material: Material,
    /// The torque at the stops, where it is less than that of a whole hand.
    pub gentle: Option<Gentle>,
    /// Layer height.
    pub layer: Length,
    /// Width of a printed line.
    pub line: Length,
    /// Whether friction is reckoned for greased threads.
    pub greased: bool,
    /// Chord tolerance of the meshes.
    pub tolerance: Length,
    /// What the program that makes the toolpaths is to correct on its own, as when the printer was measured.
    pub correction: Correction,
    /// Checks that are waived, each with its reason.
    pub waivers: Vec<(String, String)>,
}

impl KitFacts {
    /// The units in which people are told.
    pub fn told(&self) -> Told {
        Told::of(self.inches)
    }
}

/// What becomes of the copies of a kit, and what the printer's profile has to do with it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OddsFigures {
    /// With what is known of the printer.
    pub now: KitOdds,
    /// If every term of its profile were known: the most that test pieces can bring.
    pub known: KitOdds,
    /// Whether the printer was measured.
    pub tuned: bool,
    /// What printing the quick test pieces takes; `None` where that was not worked out.
    pub quick_pieces: Option<Minutes>,
}

/// How the mechanism moves as a whole.
#[derive(Clone, Debug, PartialEq)]
pub struct MotionFigures {
    /// Travel of the carriage in one turn of the drive, without sign; of an opposed kit the
    /// faster carriage's.
    pub net_lead: Length,
    /// The way to turn that carries out the stroke.
    pub turning: Turning,
    /// Turns that are lost when the direction is reversed.
    pub lost_motion_turns: Option<Interval>,
    /// Whether a load cannot turn the drive.
    pub self_locking: Option<bool>,
    /// Torque on the drive at the kit's load.
    pub torque: Option<Torque>,
    /// Work out over work in, from 0 to 1.
    pub efficiency: Option<f64>,
    /// How fast two carriages close; only of an opposed kit.
    pub closing_per_turn: Option<Length>,
    /// What a preload spring does; `None` without one.
    pub preload: Option<PreloadMotion>,
    /// Turns that other carriages than the leading one lose at a reversal.
    pub lost_beside: Vec<(InstanceId, Interval)>,
}

/// A preload spring as it is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PreloadMotion {
    /// What it presses with, has to outdo and asks of a hand.
    pub figures: PreloadFigures,
    /// Its rate.
    pub rate: SpringRate,
    /// Its length at turn 0, at the end of the stroke, and where the carriage has stopped.
    pub lengths: [Length; 3],
    /// Its length when all its coils touch.
    pub solid: Length,
    /// Turns that are still lost at a reversal while it holds.
    pub lost_motion_turns: Option<Interval>,
}

/// A value that the printer spreads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Least.
    pub low: f64,
    /// Expected.
    pub nominal: f64,
    /// Most.
    pub high: f64,
}

/// What was worked out about one joint.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JointFigures {
    /// Designation of a thread joint's thread.
    pub thread: Option<String>,
    /// Of a thread joint.
    pub engagement: Option<Engagement>,
    /// The joint as it will be printed.
    pub printed: Option<PrintedJoint>,
    /// Of a thread joint, both members cut into the layers of the kit.
    pub layered: Option<LayeredThread>,
    /// Its play along the axis as it will be printed: low, middle and high.
    pub play: Option<[Length; 3]>,
    /// The printed parts that another gap of it alone shapes anew; empty where that was not worked out.
    pub shapes: Vec<PartId>,
}

/// What becomes of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// It is the same to the byte.
    Keep,
    /// It is the same to the byte, but its file was edited by hand after it was written.
    Edited,
    /// It is another; what shapes it and changed, in words.
    Reprint(Vec<String>),
    /// It is the same to the byte, and so many more are wanted.
    More(usize),
    /// There was none, or it was bought.
    New,
    /// It was printed before, and is bought now.
    Bought,
}

impl Product {
    /// Whether its parts were drawn, and what needs that was judged.
    pub fn is_drawn(&self) -> bool {
        self.clearance.is_some()
    }

    /// File of a part, relative to the folder; `None` if it has none.
    pub fn file_of(&self, part: PartId) -> Option<String> {
        self.written(part)?;
        let name = &self.design.assembly.parts.get(part.0)?.name;
        Some(part::path(name))
    }

    /// What was written of a part; `None` if it has no file.
    pub fn written(&self, part: PartId) -> Option<&Written> {
        self.bodies.get(part.0)?.written()
    }

    /// The bench aids that were made; none where none are wanted.
    pub fn bench_aids(&self) -> impl Iterator<Item = &BenchAid> {
        self.aids.iter().flat_map(|aids| &aids.each)
    }

    /// How a piece moves.
    pub fn rate(&self, piece: InstanceId) -> Option<Rate> {
        *self.rates.get(piece.0)?
    }

    /// The least gap through the stroke of any two pieces that are neither meant to touch nor
    /// pressed, as drawn; `None` if none come near each other.
    pub fn least_gap(&self) -> Option<(Length, [InstanceId; 2])> {
        let joints = &self.design.assembly.joints;
        let meant_to_touch = |between: [InstanceId; 2]| {
            let [a, b] = between;
            joints.iter().any(|joint| {
                let same = joint.between == [a, b] || joint.between == [b, a];
                same && matches!(joint.fit, Fit::Press | Fit::Stop | Fit::Seat)
            })
        };
        let pairs = self.clearance.as_ref()?.pairs.iter();
        let free = pairs.filter(|pair| !meant_to_touch(pair.between));
        free.filter_map(|pair| Some((pair.least.as_ref()?.gap, pair.between)))
            .min_by(|a, b| a.0.as_mm().total_cmp(&b.0.as_mm()))
    }

    /// Findings that a maker has to read: everything but passes, the worst first, and in the
    /// order of the rules among equals.
    pub fn open_findings(&self) -> Vec<&Finding> {
        let rank = |finding: &&Finding| match finding.outcome {
            Outcome::Fail => 0,
            Outcome::Warn => 1,
            Outcome::Waived => 2,
            Outcome::Note => 3,
            Outcome::Pass => 4,
        };
        let mut open: Vec<&Finding> = self
            .findings
            .iter()
            .filter(|finding| finding.outcome != Outcome::Pass)
            .collect();
        open.sort_by_key(rank);
        open
    }

    /// Makes every warning a failure.
    pub fn hold_to_warnings(&mut self) {
        for finding in &mut self.findings {
            if finding.outcome == Outcome::Warn {
                finding.outcome = Outcome::Fail;
            }
        }
    }

    /// Whether any check fails.
    pub fn fails(&self) -> bool {
        self.findings
            .iter()
            .any(|finding| finding.outcome == Outcome::Fail)
    }
}
