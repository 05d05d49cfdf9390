//! From the meshes of a product to a section of the whole through its axis, as it stands at turn 0.
//!
//! Only what the plane cuts is shown. Each part is hatched its own way and has its item number; bought
//! parts are not hatched, as pins, bolts and nuts are not in sections along them (ISO 128-3). Where
//! carriages stand at the end of the stroke is drawn in double-dotted chain lines (ISO 128-2).

use super::cut::{self, Plane};
use super::dimension::{self, BALLOON, Beside, Span};
use super::foot;
use super::hatching::{self, Hatch};
use super::paper::{At, Group, Line, Paper};
use super::thread_view::{self, WIDTH, dimension as told_length, scale_words, unit_words};
use crate::assembly::{InstanceId, Made, Pose};
use crate::output::kit::Product;
use crate::output::words::plain;
use crate::picture::Picture;
use crate::solid::Mesh;
use crate::units::{Angle, Length};

/// Scales, the largest first (ISO 5455).
const SCALES: [f64; 9] = [10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02];
/// Room for the section on paper.
const ROOM: [f64; 2] = [150.0, 150.0];
/// From the upper edge of the paper to the section: balloons and their leaders.
const ABOVE: f64 = 22.0;
/// From the section to the notes: designations of threads, and dimensions.
const BELOW: f64 = 36.0;
/// Below the section: where designations have their shelves, and where stroke and length are dimensioned.
const SHELF: f64 = 8.0;
const STROKE_LINE: f64 = 18.0;
const LENGTH_LINE: f64 = 28.0;
/// Corners that stand off a line by less are left out, in mm on paper: a pen's width hides them.
const FINE: f64 = Group::Third.wide() / 30.0;
/// Decimals of a dimension in mm: what a caliper reads.
const CALIPER: usize = 2;

/// One piece in the section.
struct Cut {
    piece: InstanceId,
    /// Its outlines: z, and x or y, in mm.
    outlines: Vec<Vec<[f64; 2]>>,
}

/// The section; none where nothing was drawn or nothing lies in the plane.
pub(super) fn sheet(product: &Product) -> Option<Picture> {
    let [along_x, along_y] = [Plane::AlongX, Plane::AlongY].map(|plane| cuts(product, plane, 0.0));
    // The plane that cuts more pieces shows more.
    let (plane, cuts) = match along_y.len() > along_x.len() {
        true => (Plane::AlongY, along_y),
        false => (Plane::AlongX, along_x),
    };
    let moved = moved(product, plane);
    let frame = Frame::around(&cuts, &moved)?;
    let legend = legend(product, &cuts);
    let mut notes = foot::listed(&legend);
    notes.push(
        "Section through the axis at the start of the stroke; bought parts are not hatched. Double-dotted \
         chain lines: where it ends."
            .into(),
    );
    let height = frame.bottom() + BELOW + foot::height(&notes) + foot::STRIP;
    let mut paper = Paper::new([WIDTH, height], Group::Third);
    metal(&mut paper, product, &frame, &cuts);
    for cut in &moved {
        paper.outlines(Line::Other, &frame.on_paper(&cut.outlines));
    }
    frame.axis(&mut paper);
    balloons(&mut paper, product, &frame, &cuts);
    threads(&mut paper, product, &frame);
    sizes(&mut paper, product, &frame, &cuts, &moved);
    foot::write(&mut paper, frame.bottom() + BELOW, &notes);
    let how = format!(
        "{}, scale {}",
        unit_words(product.kit.told()),
        scale_words(frame.scale)
    );
    let name = plain(&product.kit.name);
    foot::title(&mut paper, &format!("{name}, section"), &how);
    let shows = format!(
        "Section through the axis of {name} at the start of the stroke, {how}: {}.",
        legend.join(", ")
    );
    Some(paper.picture("section-to-scale".into(), shows))
}

/// The mesh of a piece: coarse where there is one.
fn mesh(product: &Product, piece: InstanceId) -> Option<&Mesh> {
    let part = product.design.assembly.instance(piece).part.0;
    let coarse = product
        .album
        .as_ref()
        .and_then(|album| album.meshes.get(part));
    coarse.or_else(|| Some(product.bodies.get(part)?.mesh()))
}

/// Where a piece stands after so many turns.
fn pose(product: &Product, piece: InstanceId, turns: f64) -> Option<Pose> {
    let start = product.design.assembly.instance(piece).pose;
    let rate = product.rate(piece)?.after(turns);
    Some(start.screwed(Angle::turns(rate.turns), rate.advance))
}

/// All pieces that a plane cuts after so many turns.
fn cuts(product: &Product, plane: Plane, turns: f64) -> Vec<Cut> {
    let pieces = (0..product.design.assembly.instances.len()).map(InstanceId);
    let cuts = pieces.filter_map(|piece| {
        let pose = pose(product, piece, turns)?;
        let outlines = cut::outlines(mesh(product, piece)?, &pose, plane);
        (!outlines.is_empty()).then_some(Cut { piece, outlines })
    });
    cuts.collect()
}

/// The carriages at the end of the stroke.
fn moved(product: &Product, plane: Plane) -> Vec<Cut> {
    let turns = product.design.course.turns;
    let cuts = product.design.assembly.carriages.all().filter_map(|piece| {
        let pose = pose(product, piece, turns)?;
        let outlines = cut::outlines(mesh(product, piece)?, &pose, plane);
        Some(Cut { piece, outlines })
    });
    cuts.collect()
}

/// Where the section stands on the paper.
struct Frame {
    low: [f64; 2],
    high: [f64; 2],
    scale: f64,
}

impl Frame {
    fn around(cuts: &[Cut], moved: &[Cut]) -> Option<Self> {
        if cuts.is_empty() {
            return None;
        }
        let points = || {
            let outlines = cuts.iter().chain(moved).flat_map(|cut| &cut.outlines);
            outlines.flatten()
        };
        let bound = |pick: fn(f64, f64) -> f64, start: f64| {
            [0, 1].map(|axis| points().map(|point| point[axis]).fold(start, pick))
        };
        let low = bound(f64::min, f64::INFINITY);
        let high = bound(f64::max, f64::NEG_INFINITY);
        let fits =
            |scale: &&f64| (0..2).all(|axis| (high[axis] - low[axis]) * **scale <= ROOM[axis]);
        let scale = *SCALES.iter().find(fits)?;
        Some(Self { low, high, scale })
    }

    /// Where a place stands: z to the right, about the middle of the paper.
    fn at(&self, [z, across]: [f64; 2]) -> At {
        let long = (self.high[0] - self.low[0]) * self.scale;
        [
            (WIDTH - long) / 2.0 + (z - self.low[0]) * self.scale,
            ABOVE + (self.high[1] - across) * self.scale,
        ]
    }

    fn bottom(&self) -> f64 {
        self.at(self.low)[1]
    }

    fn on_paper(&self, outlines: &[Vec<[f64; 2]>]) -> Vec<Vec<At>> {
        let outlines = outlines.iter().map(|outline| {
            let on_paper: Vec<At> = outline.iter().map(|point| self.at(*point)).collect();
            cut::simplified(&on_paper, FINE)
        });
        outlines.filter(|outline| !outline.is_empty()).collect()
    }

    fn axis(&self, paper: &mut Paper) {
        /// How far the axis goes past what it is the axis of.
        const PAST: f64 = 3.0;
        let [left, y] = self.at([self.low[0], 0.0]);
        let [right, _] = self.at([self.high[0], 0.0]);
        paper.line(Line::Centre, [left - PAST, y], [right + PAST, y]);
    }
}

/// Hatching and outlines of all pieces.
fn metal(paper: &mut Paper, product: &Product, frame: &Frame, cuts: &[Cut]) {
    let assembly = &product.design.assembly;
    let hatches = hatching::of_parts(assembly);
    for cut in cuts {
        let part = assembly.instance(cut.piece).part;
        let outlines = frame.on_paper(&cut.outlines);
        if assembly.part(part).made == Made::Printed {
            let lines = hatching::lines(hatches[part.0], &outlines, &[]);
            paper.lines(Line::Thin, &lines);
        }
        paper.outlines(Line::Outline, &outlines);
    }
}

/// Item numbers of all parts that show, with their names.
fn legend(product: &Product, cuts: &[Cut]) -> Vec<String> {
    let assembly = &product.design.assembly;
    let numbers = assembly.item_numbers();
    let mut shown: Vec<(usize, String)> = cuts
        .iter()
        .map(|cut| {
            let part = assembly.instance(cut.piece).part;
            (numbers[part.0], plain(assembly.part_called(part)))
        })
        .collect();
    shown.sort();
    shown.dedup();
    let told = shown
        .into_iter()
        .map(|(number, called)| format!("{number} {called}"));
    told.collect()
}

/// One balloon for each part, in a row above, in the order of what they point at.
fn balloons(paper: &mut Paper, product: &Product, frame: &Frame, cuts: &[Cut]) {
    /// From balloon to balloon.
    const APART: f64 = 2.0 * BALLOON + 2.5;
    let assembly = &product.design.assembly;
    let numbers = assembly.item_numbers();
    let mut faces: Vec<(usize, At)> = Vec::new();
    for cut in cuts {
        let number = numbers[assembly.instance(cut.piece).part.0];
        let known = faces.iter().any(|(other, _)| *other == number);
        if let Some(face) = face(frame, cut).filter(|_| !known) {
            faces.push((number, face));
        }
    }
    faces.sort_by(|a, b| a.1[0].total_cmp(&b.1[0]).then(a.0.cmp(&b.0)));
    // Pushed right where they are crowded, then left where the paper ends.
    let mut places: Vec<f64> = Vec::new();
    for (_, face) in &faces {
        let least = places.last().map_or(f64::NEG_INFINITY, |last| last + APART);
        places.push(face[0].max(least));
    }
    let mut most = WIDTH - BALLOON - 2.0;
    for place in places.iter_mut().rev() {
        *place = place.min(most);
        most = *place - APART;
    }
    for ((number, face), x) in faces.iter().zip(places) {
        dimension::balloon(paper, [x, BALLOON + 3.0], *face, *number);
    }
}

/// The place of a cut face that is farthest from its edges.
fn face(frame: &Frame, cut: &Cut) -> Option<At> {
    /// Lines on which places are looked at, on paper, and places on each.
    const LEVEL: Hatch = Hatch {
        angle: Angle::ZERO,
        spacing: 0.5,
    };
    const PLACES: u32 = 8;
    let outlines = frame.on_paper(&cut.outlines);
    let lines = hatching::lines(LEVEL, &outlines, &[]);
    let places = lines.iter().flat_map(|[from, to]| {
        (0..PLACES).map(move |index| {
            let share = (f64::from(index) + 0.5) / f64::from(PLACES);
            [from[0] + (to[0] - from[0]) * share, from[1]]
        })
    });
    let room = |place: At| {
        let edges = outlines.iter().flat_map(|outline| {
            let next = outline.iter().cycle().skip(1);
            outline.iter().zip(next)
        });
        edges
            .map(|(from, to)| cut::distance(place, *from, *to))
            .fold(f64::INFINITY, f64::min)
    };
    let roomy = places.map(|place| (room(place), place));
    let best = roomy.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(best.1)
}

/// Designations of all threads, with leaders to crests of the screws where they are engaged.
fn threads(paper: &mut Paper, product: &Product, frame: &Frame) {
    let joints = product.design.assembly.thread_joints();
    let mut tips: Vec<(At, String)> = joints
        .map(|(id, _, threads)| {
            let crest = thread_view::middle_crest(threads).as_mm();
            // On the other side of the axis crests of one start stand half a lead off.
            let lead = threads.thread.lead().as_mm();
            let tip = [crest + lead / 2.0, threads.thread.major().as_mm() / -2.0];
            let known = product
                .joints
                .get(id.0)
                .and_then(|known| known.thread.as_deref());
            let words = known.map_or_else(|| threads.thread.designation(), plain);
            (frame.at(tip), words)
        })
        .collect();
    tips.sort_by(|a, b| a.0[0].total_cmp(&b.0[0]).then(a.1.cmp(&b.1)));
    let knee = frame.bottom() + SHELF;
    for (index, (tip, words)) in tips.iter().enumerate() {
        // The first to the left, so that two near each other have room.
        let (side, lean) = match index {
            0 => (Beside::Left, -4.0),
            _ => (Beside::Right, 4.0),
        };
        dimension::leader(paper, *tip, [tip[0] + lean, knee], side, words);
    }
}

/// From where to where outlines reach along an axis of the section.
fn reach<'a>(cuts: impl Iterator<Item = &'a Cut>, axis: usize) -> [f64; 2] {
    let points = cuts.flat_map(|cut| cut.outlines.iter().flatten());
    points.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], point| {
        [low.min(point[axis]), high.max(point[axis])]
    })
}

/// Length over all, stroke of the leading carriage, and width across the axis.
fn sizes(paper: &mut Paper, product: &Product, frame: &Frame, cuts: &[Cut], moved: &[Cut]) {
    let told = product.kit.told();
    let words = |length: f64| told_length(told, Length::mm(length), CALIPER);
    let bottom = frame.bottom();
    let x = |z: f64| frame.at([z, 0.0])[0];
    let whole = reach(cuts.iter(), 0);
    let span = Span {
        ends: whole.map(x),
        features: [bottom; 2],
        line: bottom + LENGTH_LINE,
        beside: Beside::Right,
    };
    dimension::level(paper, span, &words(whole[1] - whole[0]));
    let leading = product.design.assembly.carriages.leading;
    let of = |cuts: &[Cut]| {
        let own = cuts.iter().find(|cut| cut.piece == leading);
        own.map(|cut| reach([cut].into_iter(), 0))
    };
    if let (Some(start), Some(end)) = (of(cuts), of(moved)) {
        // Measured at the face that leads the way.
        let face = usize::from(end[1] > start[1]);
        let span = Span {
            ends: [x(start[face]), x(end[face])],
            features: [bottom; 2],
            line: bottom + STROKE_LINE,
            beside: Beside::Left,
        };
        let stroke = (end[face] - start[face]).abs();
        dimension::level(paper, span, &format!("stroke {}", words(stroke)));
    }
    let wide = reach(cuts.iter(), 1);
    let left = frame.at(frame.low)[0];
    let across = Span {
        ends: wide.map(|across| frame.at([0.0, across])[1]),
        features: [left; 2],
        line: left - 8.0,
        beside: Beside::Right,
    };
    dimension::upright(paper, across, &words(wide[1] - wide[0]));
}
