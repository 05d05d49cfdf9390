//! `report.json`: everything as data, under the schema `netlead-report/1`.
//!
//! Fields may be added to the schema, never renamed. What was not computed is null. STL files
//! are in a part's print frame; at turn 0 a piece stands at `assembly_from_print` times that
//! point, and at turn n it is turned by n times `per_turn.turns` about z (positive: clockwise
//! seen from the drive head) and advanced by n times `per_turn.advance_mm` along z. n counts
//! turns of the drive in the direction that carries out the stroke.

use super::bill::solid_mass;
use super::product::Product;
use super::report_aids::{AidEntry, aid};
use super::report_force::{ForceEntry, force};
use super::report_numbers::{fine, mm, rounded};
use super::report_odds::{FitOddsEntry, OddsEntry, OutcomesEntry, fit_odds, odds, outcomes};
use super::report_order::{RemovalEntry, StepMotionEntry, removals, step_motion};
use super::report_preload::{PreloadEntry, preload};
use super::sentences::FIRST_STEP;
use crate::assembly::{Assembly, Fastener, InstanceId, Joint, Lay, Made, PartId, Step};
use crate::check::Finding;
use crate::clearance::{FoundBy, Kind};
use crate::layout::Ticks;
use crate::output::file::REPORT;
use crate::output::format::{FormatError, Listing};
use crate::output::words::{outcome_word, subject_name, turning_words};
use crate::printing_time::{INFILL, Job, PrintEstimate};
use serde::Serialize;

/// The schema, with its version.
pub const SCHEMA: &str = "netlead-report/1";
/// What every version of the schema begins with.
pub const SCHEMA_FAMILY: &str = "netlead-report/";

/// The format: the report as a file.
pub struct ReportFile;

impl Listing<Product> for ReportFile {
    fn path(&self) -> &'static str {
        REPORT
    }

    fn family(&self) -> &'static str {
        SCHEMA_FAMILY
    }

    fn bytes(&self, product: &Product, files: &[String]) -> Result<Vec<u8>, FormatError> {
        let text = Report::new(product, files).to_json();
        text.map(String::into_bytes)
            .map_err(FormatError::of("the report"))
    }
}

/// The report.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    schema: &'static str,
    /// Whether the parts were drawn; where not, nothing is said or judged of what needs their meshes.
    drawn: bool,
    kit: KitEntry,
    motion: MotionEntry,
    dial: Option<DialEntry>,
    force: Option<ForceEntry>,
    odds: Option<OddsEntry>,
    print: Option<PrintEntry>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reprint: Option<PrintEntry>,
    parts: Vec<PartEntry>,
    /// Bolts and their kin to buy, which stand in no pose.
    fasteners: Vec<FastenerEntry>,
    /// Printed parts that help at the bench; null where none were asked for.
    bench: Option<Vec<AidEntry>>,
    joints: Vec<JointEntry>,
    least_gap_mm: Option<f64>,
    pairs: Vec<PairEntry>,
    checks: Vec<CheckEntry>,
    steps: Vec<StepEntry>,
    removals: Option<Vec<RemovalEntry>>,
    files: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
struct KitEntry {
    name: String,
    layout: &'static str,
    end: &'static str,
    mount: &'static str,
    layer_mm: Option<f64>,
    line_mm: Option<f64>,
    tolerance_mm: Option<f64>,
}

/// Some pieces of one kind to buy.
#[derive(Clone, Debug, Serialize)]
struct FastenerEntry {
    name: &'static str,
    quantity: usize,
    description: String,
}

#[derive(Clone, Debug, Serialize)]
struct MotionEntry {
    net_lead_mm: Option<f64>,
    turns_per_mm: Option<f64>,
    stroke_mm: Option<f64>,
    turns: Option<f64>,
    drive_travel_mm: Option<f64>,
    inner_travel_mm: Option<f64>,
    closing_mm_per_turn: Option<f64>,
    lost_motion_turns: Option<IntervalEntry>,
    /// Only of a kit with a preload spring.
    preload: Option<PreloadEntry>,
    self_locking: Option<bool>,
    torque_nm: Option<f64>,
    efficiency: Option<f64>,
}

/// Ticks around the head, and how many of them a reversal loses.
#[derive(Clone, Debug, Serialize)]
struct DialEntry {
    ticks: u32,
    tick_mm: Option<f64>,
    /// The way to turn by which the count rises, seen from the head.
    rises: &'static str,
    ticks_lost: Option<IntervalEntry>,
}

/// What printing all pieces takes, spares included.
#[derive(Clone, Debug, Serialize)]
struct PrintEntry {
    beds: usize,
    walls: u32,
    /// Infill: the share of the inside that is filled, from 0 to 1.
    infill: Option<f64>,
    plastic_mm3: Option<f64>,
    mass_g: Option<f64>,
    time_min: IntervalEntry,
}

#[derive(Clone, Debug, Serialize)]
struct IntervalEntry {
    low: Option<f64>,
    nominal: Option<f64>,
    high: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct PartEntry {
    name: String,
    quantity: usize,
    spares: usize,
    /// Of which other part it is a thinner or thicker copy.
    grade: Option<GradeEntry>,
    made: &'static str,
    /// Another one whenever the part is; none of a bought part.
    revision: Option<String>,
    /// What is sunk into it to be read there.
    sunk: Option<String>,
    description: Option<String>,
    file: Option<String>,
    triangles: Option<usize>,
    volume_mm3: Option<f64>,
    area_mm2: Option<f64>,
    /// Of one piece as if printed solid: the volume times the filament's density.
    mass_g: Option<f64>,
    /// Of one piece with walls and infill, as `print` has them.
    printed_mass_g: Option<f64>,
    /// Of one piece printed alone.
    time_min: Option<IntervalEntry>,
    size_mm: Option<[Option<f64>; 3]>,
    recipe: Vec<IngredientEntry>,
    instances: Vec<InstanceEntry>,
}

/// How a part differs from the one that it may stand in for.
#[derive(Clone, Debug, Serialize)]
struct GradeEntry {
    /// Name of the part that the mechanism is drawn with.
    of: String,
    /// How much its radius is greater; negative where it is thinner.
    radius_more_mm: Option<f64>,
    notches: usize,
}

/// Something that shapes a part.
#[derive(Clone, Debug, Serialize)]
struct IngredientEntry {
    name: &'static str,
    value_mm: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct InstanceEntry {
    name: String,
    assembly_from_print: [[Option<f64>; 4]; 4],
    per_turn: Option<RateEntry>,
}

#[derive(Clone, Debug, Serialize)]
struct RateEntry {
    advance_mm: Option<f64>,
    turns: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct JointEntry {
    name: String,
    kind: &'static str,
    /// Names of the two parts; of a thread the male first.
    parts: [String; 2],
    thread: Option<String>,
    /// Of its profile, screw and hole overlapping by all of it where no gap is drawn.
    thread_depth_mm: Option<f64>,
    /// Which piece of each part: index into its `instances`.
    instances: [usize; 2],
    engagement_mm: Option<EngagementEntry>,
    gap_mm: Option<GapEntry>,
    axial_play_mm: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct EngagementEntry {
    least: Option<f64>,
    at_turn: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct GapEntry {
    /// Radial or a side; where crush ribs hold a pin, at their tips. So are those below.
    wanted: Option<f64>,
    drawn: Option<f64>,
    /// The least that the files leave of it, whose chords stand in it.
    written: Option<f64>,
    /// How far crush ribs stand out of the wall; null without.
    ribs: Option<f64>,
    printed_low: Option<f64>,
    printed_high: Option<f64>,
    /// Whether the hole was printed lying.
    lying: bool,
    /// Of curved faces; zero of flat ones.
    radius: Option<f64>,
    outcomes: Option<OutcomesEntry>,
    odds: Option<FitOddsEntry>,
}

/// Two pieces that come near each other, or overlap.
#[derive(Clone, Debug, Serialize)]
struct PairEntry {
    /// Names of the pieces.
    pieces: [String; 2],
    /// `still`, `sliding` or `turning`, against each other.
    kind: &'static str,
    /// From which turn n of the drive to which they were compared.
    turns: [Option<f64>; 2],
    least_gap_mm: Option<LeastGapEntry>,
    overlap_mm: Option<OverlapEntry>,
}

#[derive(Clone, Debug, Serialize)]
struct LeastGapEntry {
    /// As drawn.
    value: Option<f64>,
    at_turn: Option<f64>,
    /// The nearest points at that turn, one of each piece, in the assembly.
    points: [[Option<f64>; 3]; 2],
    /// `meshes`, `rings` or `section`.
    by: &'static str,
}

#[derive(Clone, Debug, Serialize)]
struct OverlapEntry {
    /// How deep; null where one piece is inside the other.
    depth: Option<f64>,
    at_turn: Option<f64>,
    point: [Option<f64>; 3],
    proven: bool,
}

#[derive(Clone, Debug, Serialize)]
struct CheckEntry {
    id: &'static str,
    outcome: &'static str,
    subject: String,
    value: Option<f64>,
    limit: Option<f64>,
    unit: &'static str,
    message: String,
    mend: Option<String>,
    source: &'static str,
}

#[derive(Clone, Debug, Serialize)]
struct StepEntry {
    number: usize,
    action: String,
    parts: Vec<String>,
    motion: Option<StepMotionEntry>,
    text: String,
    reason: String,
}

impl Report {
    /// The report of a product. `files` are those that are written beside it, relative to its
    /// folder; a part's file is named only if it is among them.
    pub fn new(product: &Product, files: &[String]) -> Self {
        let assembly = &product.design.assembly;
        Self {
            schema: SCHEMA,
            drawn: product.is_drawn(),
            kit: KitEntry {
                name: product.kit.name.clone(),
                layout: product.kit.layout,
                end: product.kit.end,
                mount: product.kit.mount,
                layer_mm: mm(product.kit.layer),
                line_mm: mm(product.kit.line),
                tolerance_mm: mm(product.kit.tolerance),
            },
            motion: motion(product),
            dial: product
                .design
                .dial
                .as_ref()
                .map(|ticks| dial(product, ticks)),
            force: product.force.as_ref().map(force),
            odds: product.odds.as_ref().map(odds),
            print: product.job.as_ref().map(|job| print(product, job)),
            reprint: product.reprint.as_ref().map(|job| print(product, job)),
            parts: (0..assembly.parts.len())
                .map(|index| part(product, PartId(index), files))
                .collect(),
            fasteners: product.design.fasteners.iter().map(fastener).collect(),
            bench: product.aids.as_ref().map(|aids| {
                let each = aids.each.iter();
                each.map(|made| aid(product, made, files)).collect()
            }),
            joints: (0..assembly.joints.len())
                .map(|index| joint(product, index))
                .collect(),
            least_gap_mm: product
                .least_gap()
                .and_then(|(gap, _)| rounded(gap.as_mm())),
            pairs: pairs(product),
            checks: product
                .findings
                .iter()
                .map(|finding| check(assembly, finding))
                .collect(),
            steps: (FIRST_STEP..)
                .zip(&product.design.steps)
                .map(|(number, each)| step(assembly, number, each))
                .collect(),
            removals: removals(product),
            files: files.to_vec(),
        }
    }

    /// The file: indented, with a line end after the last line.
    ///
    /// # Errors
    /// None that a report can cause; the serialiser's type has one.
    pub fn to_json(&self) -> Result<String, serde_json::Error> {
        let mut text = rows_on_one_line(&serde_json::to_string_pretty(self)?);
        text.push('\n');
        Ok(text)
    }
}

/// JSON with each list of bare numbers on one line, as a matrix is read; the data is the same.
///
/// Strings of pretty JSON hold no line ends, so what ends a line is never inside one.
fn rows_on_one_line(pretty: &str) -> String {
    let mut text = String::with_capacity(pretty.len());
    let mut lines = pretty.lines().peekable();
    while let Some(line) = lines.next() {
        text.push_str(line);
        if line.ends_with('[') {
            let mut inside = lines.clone();
            let numbers: Vec<&str> = std::iter::from_fn(|| inside.next_if(|line| is_number(line)))
                .map(str::trim)
                .collect();
            let end = inside.next().map(str::trim);
            if let (false, Some(end @ ("]" | "],"))) = (numbers.is_empty(), end) {
                text.push_str(&numbers.join(" "));
                text.push_str(end);
                lines = inside;
            }
        }
        text.push('\n');
    }
    text.truncate(text.trim_end().len());
    text
}

fn is_number(line: &str) -> bool {
    let item = line.trim().trim_end_matches(',');
    item == "null" || item.parse::<f64>().is_ok()
}

fn motion(product: &Product) -> MotionEntry {
    let (motion, course) = (&product.motion, &product.design.course);
    MotionEntry {
        net_lead_mm: mm(motion.net_lead),
        turns_per_mm: rounded(1.0 / motion.net_lead.as_mm()),
        stroke_mm: mm(course.stroke),
        turns: rounded(course.turns),
        drive_travel_mm: mm(course.drive_travel),
        inner_travel_mm: course.further.first().and_then(|travel| mm(travel.length)),
        closing_mm_per_turn: motion.closing_per_turn.and_then(mm),
        lost_motion_turns: motion.lost_motion_turns.map(|lost| IntervalEntry {
            low: rounded(lost.low),
            nominal: rounded(lost.nominal),
            high: rounded(lost.high),
        }),
        preload: motion.preload.as_ref().map(preload),
        self_locking: motion.self_locking,
        torque_nm: motion.torque.and_then(|t| rounded(t.as_newton_metres())),
        efficiency: motion.efficiency.and_then(rounded),
    }
}

fn dial(product: &Product, ticks: &Ticks) -> DialEntry {
    let count = f64::from(ticks.count);
    DialEntry {
        ticks: ticks.count,
        tick_mm: mm(ticks.each),
        rises: turning_words(ticks.rises),
        ticks_lost: product.motion.lost_motion_turns.map(|lost| IntervalEntry {
            low: rounded(lost.low * count),
            nominal: rounded(lost.nominal * count),
            high: rounded(lost.high * count),
        }),
    }
}

fn print(product: &Product, job: &Job) -> PrintEntry {
    let plastic = job.whole.plastic_mm3;
    PrintEntry {
        beds: job.beds.len(),
        walls: job.walls,
        infill: rounded(INFILL),
        plastic_mm3: rounded(plastic),
        mass_g: rounded(solid_mass(plastic, &product.kit)),
        time_min: time(&job.whole),
    }
}

fn time(estimate: &PrintEstimate) -> IntervalEntry {
    IntervalEntry {
        low: rounded(estimate.least.0),
        nominal: rounded(estimate.time.0),
        high: rounded(estimate.most.0),
    }
}

fn fastener(fastener: &Fastener) -> FastenerEntry {
    FastenerEntry {
        name: fastener.name,
        quantity: fastener.quantity,
        description: fastener.description.clone(),
    }
}

fn part(product: &Product, id: PartId, files: &[String]) -> PartEntry {
    let part = &product.design.assembly.parts[id.0];
    let written = product.written(id);
    let job = product.job.as_ref();
    let alone = job.and_then(|job| job.each.get(id.0).copied().flatten());
    let (made, description) = match &part.made {
        Made::Printed => ("printed", None),
        Made::Bought(description) => ("bought", Some(description.clone())),
    };
    PartEntry {
        name: part.name.clone(),
        quantity: part.quantity,
        spares: part.spares,
        grade: part.grade.map(|grade| GradeEntry {
            of: product.design.assembly.part(grade.of).name.clone(),
            radius_more_mm: mm(grade.shift),
            notches: grade.notches,
        }),
        made,
        revision: part.label.as_ref().map(|label| label.revision.clone()),
        sunk: part.label.as_ref().and_then(|label| label.sunk.clone()),
        description,
        file: product.file_of(id).filter(|file| files.contains(file)),
        triangles: written.map(|file| file.triangles),
        volume_mm3: written.and_then(|file| rounded(file.volume_mm3)),
        area_mm2: written.and_then(|file| rounded(file.area_mm2)),
        mass_g: written.and_then(|file| rounded(solid_mass(file.volume_mm3, &product.kit))),
        printed_mass_g: alone
            .and_then(|alone| rounded(solid_mass(alone.plastic_mm3, &product.kit))),
        time_min: alone.as_ref().map(time),
        size_mm: written.map(|file| file.size_mm.map(rounded)),
        recipe: part
            .recipe
            .iter()
            .map(|(name, value)| IngredientEntry {
                name,
                value_mm: mm(*value),
            })
            .collect(),
        instances: instances(product, id),
    }
}

fn instances(product: &Product, id: PartId) -> Vec<InstanceEntry> {
    let pieces = product.design.assembly.instances.iter().enumerate();
    pieces
        .filter(|(_, piece)| piece.part == id)
        .map(|(index, piece)| InstanceEntry {
            name: piece.name.clone(),
            assembly_from_print: piece.pose.to_rows().map(|row| row.map(fine)),
            per_turn: product.rate(InstanceId(index)).map(|rate| RateEntry {
                advance_mm: fine(rate.advance.as_mm()),
                turns: fine(rate.turns),
            }),
        })
        .collect()
}

fn joint(product: &Product, index: usize) -> JointEntry {
    let assembly = &product.design.assembly;
    let joint: &Joint = &assembly.joints[index];
    let figures = product.joints.get(index);
    // Which piece of its part a piece is: the number of earlier pieces of the same part.
    let ordinal = |id: InstanceId| {
        let part = assembly.instance(id).part;
        let earlier = assembly.instances.iter().take(id.0);
        earlier.filter(|piece| piece.part == part).count()
    };
    let printed = figures.and_then(|figures| figures.printed);
    let [low, high] = match printed {
        Some(printed) => printed.gap.interval().map(mm),
        None => [None, None],
    };
    JointEntry {
        name: joint.name.clone(),
        kind: joint.fit.word(),
        parts: joint.between.map(|id| assembly.part_of(id).name.clone()),
        thread: figures.and_then(|figures| figures.thread.clone()),
        thread_depth_mm: joint
            .thread
            .as_ref()
            .and_then(|pair| mm(pair.thread.depth())),
        instances: joint.between.map(ordinal),
        engagement_mm: figures.and_then(|figures| {
            figures.engagement.map(|engagement| EngagementEntry {
                least: mm(engagement.least),
                at_turn: rounded(engagement.at_turn),
            })
        }),
        gap_mm: joint.gap.map(|gap| GapEntry {
            wanted: mm(gap.wanted),
            drawn: mm(gap.drawn),
            written: joint.gap_written(product.kit.tolerance).and_then(mm),
            ribs: gap.ribs.and_then(mm),
            printed_low: low,
            printed_high: high,
            lying: gap.mates.lay == Lay::Lying,
            radius: mm(gap.radius),
            outcomes: printed.as_ref().map(outcomes),
            odds: printed.as_ref().map(fit_odds),
        }),
        axial_play_mm: joint.axial_play.and_then(mm),
    }
}

/// Pairs that come nearer than what is looked for, or overlap.
fn pairs(product: &Product) -> Vec<PairEntry> {
    let assembly = &product.design.assembly;
    let found = product.clearance.iter().flat_map(|all| &all.pairs);
    found
        .filter(|pair| pair.least.is_some() || pair.overlap.is_some())
        .map(|pair| PairEntry {
            pieces: pair.between.map(|id| assembly.instance(id).name.clone()),
            kind: match pair.kind {
                Kind::Still => "still",
                Kind::Sliding => "sliding",
                Kind::Turning => "turning",
            },
            turns: pair.turns.map(rounded),
            least_gap_mm: pair.least.map(|least| LeastGapEntry {
                value: mm(least.gap),
                at_turn: rounded(least.at_turn),
                points: least.points.map(|point| point.map(rounded)),
                by: match least.by {
                    FoundBy::Meshes => "meshes",
                    FoundBy::Rings => "rings",
                    FoundBy::Section => "section",
                },
            }),
            overlap_mm: pair.overlap.map(|overlap| OverlapEntry {
                depth: mm(overlap.depth),
                at_turn: rounded(overlap.at_turn),
                point: overlap.point.map(rounded),
                proven: overlap.proven,
            }),
        })
        .collect()
}

fn check(assembly: &Assembly, finding: &Finding) -> CheckEntry {
    CheckEntry {
        id: finding.id,
        outcome: outcome_word(finding.outcome),
        subject: subject_name(assembly, finding.subject),
        value: finding.value.and_then(rounded),
        limit: finding.limit.and_then(rounded),
        unit: finding.unit,
        message: finding.message.clone(),
        mend: finding.mend.clone(),
        source: finding.source,
    }
}

fn step(assembly: &Assembly, number: usize, step: &Step) -> StepEntry {
    let name = |piece: &InstanceId| assembly.instance(*piece).name.clone();
    StepEntry {
        number,
        action: step.action.clone(),
        parts: step.pieces.iter().map(name).collect(),
        motion: step.motion.map(step_motion),
        text: step.text.clone(),
        reason: step.reason.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;
    use serde_json::Value;

    fn json(product: &Product, files: &[String]) -> Value {
        serde_json::from_str(&Report::new(product, files).to_json().unwrap()).unwrap()
    }

    fn has_fields(value: &Value, fields: &str) {
        for field in fields.split_whitespace() {
            assert!(value.get(field).is_some(), "{field} is missing in {value}");
        }
    }

    #[test]
    fn every_field_of_the_contract_is_there() {
        let report = json(&fixture::nested(), &["parts/drive.stl".into()]);
        assert_eq!(report["schema"], "netlead-report/1");
        has_fields(&report, "kit motion print parts joints checks steps");
        has_fields(&report["kit"], "name layout");
        has_fields(
            &report["motion"],
            "net_lead_mm turns_per_mm stroke_mm turns drive_travel_mm lost_motion_turns \
             self_locking torque_nm efficiency",
        );
        has_fields(&report["motion"]["lost_motion_turns"], "low nominal high");
        for part in report["parts"].as_array().unwrap() {
            has_fields(
                part,
                "name quantity grade made file triangles volume_mm3 mass_g printed_mass_g time_min \
                 size_mm instances",
            );
            for instance in part["instances"].as_array().unwrap() {
                has_fields(instance, "assembly_from_print per_turn");
                has_fields(&instance["per_turn"], "advance_mm turns");
            }
        }
        for joint in report["joints"].as_array().unwrap() {
            has_fields(
                joint,
                "kind parts thread instances engagement_mm gap_mm axial_play_mm",
            );
        }
        for pair in report["pairs"].as_array().unwrap() {
            has_fields(pair, "pieces kind turns least_gap_mm overlap_mm");
            has_fields(&pair["least_gap_mm"], "value at_turn points by");
        }
        let thread = &report["joints"][0];
        has_fields(&thread["engagement_mm"], "least at_turn");
        has_fields(
            &thread["gap_mm"],
            "wanted drawn written ribs printed_low printed_high",
        );
        for check in report["checks"].as_array().unwrap() {
            has_fields(
                check,
                "id outcome subject value limit unit message mend source",
            );
        }
        for step in report["steps"].as_array().unwrap() {
            has_fields(step, "number action parts motion text reason");
        }
        has_fields(&report["steps"][0]["motion"], "kind axis distance_mm turns");
    }

    #[test]
    fn ten_millimetres_at_three_quarters_take_thirteen_and_a_third_turns() {
        let report = json(&fixture::nested(), &[]);
        assert_eq!(report["motion"]["net_lead_mm"], 0.75);
        assert_eq!(report["motion"]["turns"], 13.333_333);
        assert_eq!(report["motion"]["turns_per_mm"], 1.333_333);
    }

    #[test]
    fn what_was_not_computed_is_null() {
        let report = json(&fixture::nested(), &[]);
        assert!(report["motion"]["torque_nm"].is_null());
        assert!(report["joints"][0]["gap_mm"]["printed_low"].is_null());
        let mut product = fixture::nested();
        product.rates.clear();
        product.bodies = Default::default();
        product.joints.clear();
        let report = json(&product, &[]);
        assert!(report["parts"][0]["instances"][0]["per_turn"].is_null());
        assert!(report["parts"][0]["triangles"].is_null());
        assert!(report["print"].is_null());
        assert!(report["parts"][0]["printed_mass_g"].is_null());
        assert!(report["joints"][0]["thread"].is_null());
    }

    #[test]
    fn a_number_that_is_none_becomes_null_and_not_an_error() {
        let mut product = fixture::nested();
        product.motion.net_lead = crate::units::Length::ZERO;
        product.motion.efficiency = Some(f64::NAN);
        let report = json(&product, &[]);
        assert!(report["motion"]["turns_per_mm"].is_null());
        assert!(report["motion"]["efficiency"].is_null());
    }

    #[test]
    fn a_file_is_named_only_when_it_is_written() {
        let written = json(&fixture::nested(), &["parts/frame.stl".into()]);
        assert_eq!(written["parts"][0]["file"], "parts/frame.stl");
        let judged = json(&fixture::nested(), &[]);
        assert!(judged["parts"][0]["file"].is_null());
        assert!(judged["parts"][0]["volume_mm3"].is_number());
    }

    #[test]
    fn poses_are_row_major_with_the_shift_in_the_last_column() {
        let report = json(&fixture::nested(), &[]);
        let pose = &report["parts"][1]["instances"][0]["assembly_from_print"];
        assert_eq!(pose[2][3], -61.1);
        assert_eq!(pose[3], serde_json::json!([0.0, 0.0, 0.0, 1.0]));
    }

    #[test]
    fn a_joint_says_which_piece_of_its_part_it_holds() {
        let report = json(&fixture::nested(), &[]);
        let joints = report["joints"].as_array().unwrap();
        let press = joints.iter().filter(|joint| joint["kind"] == "press");
        let pieces: Vec<_> = press
            .map(|joint| (joint["parts"][0].clone(), joint["instances"][0].clone()))
            .collect();
        assert_eq!(pieces, [("pin".into(), 0.into()), ("pin".into(), 1.into())]);
    }

    #[test]
    fn a_row_of_a_matrix_stands_on_one_line_and_the_data_stays() {
        let report = Report::new(&fixture::nested(), &["a [".into()]);
        let text = report.to_json().unwrap();
        assert!(
            text.contains("\n            [0.0, 0.0, 0.0, 1.0]\n"),
            "{text}"
        );
        let folded: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(folded, serde_json::to_value(&report).unwrap());
    }

    #[test]
    fn no_number_is_negative_zero() {
        let text = Report::new(&fixture::nested(), &[]).to_json().unwrap();
        assert!(!text.contains("-0.0,") && !text.contains("-0.0\n"));
    }
}
