//! From a thread joint to its section as it will be printed: both members as stairs of layers.
//!
//! Each layer ends in a half circle of its height, whose outermost point lies on the contour as printed
//! (see [`LayeredThread`]). Layers stand where they do at turn 0: a whole number of them over the bed that
//! the part stood on.

use super::dimension::{self, Beside, Span};
use super::foot;
use super::hatching;
use super::paper::{ARROW, Anchor, At, Group, LETTER, Line, Paper};
use super::thread_view::{Corner, TOP, ThreadView, WIDTH};
use crate::assembly::{InstanceId, Source};
use crate::output::kit::{Product, fits};
use crate::picture::Picture;
use crate::printer::LayeredThread;
use crate::units::{Angle, Length};
use crate::units_told::Told;
use nalgebra::Point3;

/// Straight lines of the half circle in which a layer ends.
const STEPS: u32 = 8;
/// Where the gap has its shelf, and where a layer is dimensioned.
const SHELF: f64 = 8.0;
const LAYER_LINE: f64 = 20.0;
/// Decimals of a gap between flanks, in mm.
const OF_A_FLANK: usize = 3;

/// The sheet; none of a joint that was not worked out as printed, or whose axis does not stand upright.
pub(super) fn sheet(product: &Product, view: &ThreadView<'_>, number: usize) -> Option<Picture> {
    let layered = view.figures.layered.as_ref()?;
    let mates = view.joint.gap?.mates;
    let sources = [mates.male, mates.female];
    let stairs = [0, 1].map(|member| match sources[member] {
        Source::Bought => Some(on_paper(view, &view.profiles()[member])),
        Source::Printed => stairs(product, view, layered, member),
    });
    let [Some(screw), Some(hole)] = stairs else {
        return None;
    };
    let notes = notes(product, view, layered, sources);
    let height = view.bottom() + 16.0 + foot::height(&notes) + foot::STRIP;
    let mut paper = Paper::new([WIDTH, height], Group::Half);
    for (member, outline) in [&screw, &hole].into_iter().enumerate() {
        let [whole, broken] = view.metal(member, outline);
        let lines = hatching::lines(view.hatches[member], &[whole], &[]);
        paper.lines(Line::Thin, &lines);
        paper.polyline(Line::Thin, &broken);
    }
    for profile in view.profiles() {
        paper.polyline(Line::Other, &on_paper(view, &profile));
    }
    paper.polyline(Line::Outline, &screw);
    paper.polyline(Line::Outline, &hole);
    ways_up(&mut paper, product, view, sources);
    sizes(&mut paper, product, view, layered, sources);
    balloons(&mut paper, view);
    foot::write(&mut paper, view.bottom() + 17.0, &notes);
    let members = view.members(product);
    let how = format!("as printed, {}", view.units_and_scale());
    foot::title(&mut paper, &members, &how);
    let shows = format!(
        "Section through the axis of {members}, as printed, {}. {}",
        view.units_and_scale(),
        notes.join(" ")
    );
    Some(paper.picture(format!("thread-{number}-as-printed"), shows))
}

fn on_paper(view: &ThreadView<'_>, corners: &[Corner]) -> Vec<At> {
    corners.iter().map(|corner| view.at(*corner)).collect()
}

/// Height at which a piece stood on its bed, in the assembly at turn 0, and whether up from there is to
/// the right; `None` where it lay down.
fn bed(product: &Product, piece: InstanceId) -> Option<(Length, bool)> {
    /// Half an upright piece's share of its own axis along the assembly's.
    const UPRIGHT: f64 = 0.5;
    let pose = product.design.assembly.instance(piece).pose;
    let [foot, above] = [0.0, 1.0].map(|z| pose.apply(Point3::new(0.0, 0.0, z)).z);
    ((above - foot).abs() > UPRIGHT).then_some((Length::mm(foot), above > foot))
}

/// The outline of a member in layers, on paper from left to right.
fn stairs(
    product: &Product,
    view: &ThreadView<'_>,
    layered: &LayeredThread,
    member: usize,
) -> Option<Vec<At>> {
    let (foot, _) = bed(product, view.joint.between[member])?;
    let layer = product.kit.layer;
    let half = layer / 2.0;
    let [from, to] = view.window;
    let first = ((from - foot) / layer).ceil();
    let count = ((to - foot) / layer).floor() - first;
    // The layered thread counts the whole gap on the hole; where it is drawn on the screw, both stand lower.
    let lower = view.shifts[0];
    let layers = (0..count.max(0.0) as usize).map(|index| {
        let middle = foot + layer * (first + index as f64 + 0.5);
        match member {
            0 => (
                middle,
                layered.male_radius(middle - view.threads.male_crest) + lower,
                -1.0,
            ),
            _ => (
                middle,
                layered.female_radius(middle - view.threads.female_root) + lower,
                1.0,
            ),
        }
    });
    let tip = |(middle, radius, inwards): (Length, Length, f64)| {
        (0..=STEPS).map(move |step| {
            let angle = Angle::turns(f64::from(step) / f64::from(STEPS) / 2.0 - 0.25);
            let (sin, cos) = angle.sin_cos();
            let into = half * ((1.0 - cos) * inwards);
            view.at((middle + half * sin, radius + into))
        })
    };
    Some(layers.flat_map(tip).collect())
}

/// Which way up each member stood on the bed.
fn ways_up(paper: &mut Paper, product: &Product, view: &ThreadView<'_>, sources: [Source; 2]) {
    /// Length of the arrow.
    const LONG: f64 = 14.0;
    let left = view.x(view.crest) + 8.0;
    let rows = [view.bottom() + 8.0, TOP - 4.0];
    for member in [0, 1] {
        let y = rows[member];
        let item = view.items[member];
        let bed = bed(product, view.joint.between[member]);
        let (Source::Printed, Some((_, right))) = (sources[member], bed) else {
            paper.text(
                [left, y],
                Anchor::Start,
                LETTER,
                &format!("{item} is bought"),
            );
            continue;
        };
        let [tail, head] = match right {
            true => [left, left + LONG],
            false => [left + LONG, left],
        };
        let level = y - LETTER / 2.0;
        paper.line(Line::Thin, [tail, level], [head, level]);
        paper.arrowhead([head, level], [head - tail, 0.0]);
        let words = format!("{item} printed this way up");
        paper.text([left + LONG + ARROW, y], Anchor::Start, LETTER, &words);
    }
}

/// A layer's height, and the gap between the tips over a root.
fn sizes(
    paper: &mut Paper,
    product: &Product,
    view: &ThreadView<'_>,
    layered: &LayeredThread,
    sources: [Source; 2],
) {
    let thread = view.thread();
    let layer = product.kit.layer;
    let member = usize::from(sources[1] == Source::Printed);
    if let Some((foot, _)) = bed(product, view.joint.between[member]) {
        // The first layer that stands right of the crest's middle.
        let near = view.crest;
        let low = foot + layer * ((near - foot) / layer).ceil();
        let radius = layered.female_radius(near - view.threads.female_root) + view.shifts[0];
        let span = Span {
            ends: [view.x(low), view.x(low + layer)],
            features: [view.y(radius); 2],
            line: LAYER_LINE,
            beside: Beside::Right,
        };
        let words = format!("layer {}", view.dimension(layer, 2));
        dimension::level(paper, span, &words);
    }
    // Over the screw's root left of the ridge.
    let root = view.crest - thread.pitch() / 2.0;
    let screw = layered.male_radius(root - view.threads.male_crest) + view.shifts[0];
    let hole = layered.female_radius(root - view.threads.female_root) + view.shifts[0];
    let value = fits::length(view.told, layered.radial_gap());
    let told = match view.told {
        Told::Metric => value,
        Told::Inch => format!("{value} ({:.2})", layered.radial_gap().as_mm()),
    };
    if sources == [Source::Printed; 2] {
        let words = format!("{told} radial gap as printed");
        let edges = [view.y(screw), view.y(hole)];
        dimension::gap(paper, view.x(root), edges, SHELF, &words);
    }
}

fn balloons(paper: &mut Paper, view: &ThreadView<'_>) {
    let [_, right] = view.sides();
    let root = view.thread().major() / 2.0 + view.shifts[1];
    let hole = [right - 5.0, f64::midpoint(TOP, view.y(root))];
    dimension::balloon(paper, [right + 10.0, TOP + 4.0], hole, view.items[1]);
    let root = view.thread().minor_internal() / 2.0 + view.shifts[0];
    let screw = [right - 5.0, f64::midpoint(view.y(root), view.bottom())];
    dimension::balloon(
        paper,
        [right + 10.0, view.bottom() - 4.0],
        screw,
        view.items[0],
    );
}

/// What the layers do to the gap, at the middle and at the worst, and how it is drawn.
fn notes(
    product: &Product,
    view: &ThreadView<'_>,
    layered: &LayeredThread,
    sources: [Source; 2],
) -> Vec<String> {
    let told = |gap: Length| view.told.length(gap, OF_A_FLANK);
    let layer = view.told.length(product.kit.layer, 2);
    let printer = match product.odds.as_ref().map(|odds| odds.tuned) {
        Some(true) => "your printer as measured",
        Some(false) => "a printer like most, not yet measured",
        None => "the profile of the printer",
    };
    let mut notes = vec![format!(
        "{}. Layers of {layer} as they stand at the start of the stroke, by {printer}; \
         double-dotted chain line: as drawn.",
        view.designation(view.told)
    )];
    if sources != [Source::Printed; 2] {
        notes.push("What is bought has no layers, and is shown on its basic profile.".into());
        return notes;
    }
    let (middle, worst) = (layered.middle_gap(), layered.least_gap());
    notes.push(match middle >= Length::ZERO {
        true => format!(
            "Middle: half of the layers on a flank have {} or more to the nearest of the other's.",
            told(middle)
        ),
        false => format!(
            "Middle: half of the layers on a flank overlap the nearest of the other's by {} or more.",
            told(-middle)
        ),
    });
    notes.push(match worst >= Length::ZERO {
        true => format!(
            "Worst: where tip meets tip, flanks still stand {} apart.",
            told(worst)
        ),
        false => format!(
            "Worst: where tip meets tip, flanks overlap by {}, which running in has to take off.",
            told(-worst)
        ),
    });
    notes
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::assembly::JointId;
    use crate::output::sheet::thread_view::Shown;

    /// Middle and outermost radius, in mm, of every layer that the sheet of a joint draws on a member;
    /// `None` of a member without layers.
    pub(in crate::output::sheet) fn layers_of(
        product: &Product,
        id: JointId,
        member: usize,
    ) -> Option<Vec<(f64, f64)>> {
        let view = ThreadView::of(product, id, Shown::Ridge)?;
        let mates = view.joint.gap?.mates;
        if [mates.male, mates.female][member] == Source::Bought {
            return None;
        }
        let layered = view.figures.layered.as_ref()?;
        let stairs = stairs(product, &view, layered, member)?;
        let [origin, one] = [0.0, 1.0].map(Length::mm).map(|mm| view.at((mm, mm)));
        let back = |place: At| {
            [0, 1].map(|axis| (place[axis] - origin[axis]) / (one[axis] - origin[axis]))
        };
        let layers = stairs.chunks(STEPS as usize + 1);
        let tips = layers.map(|layer| back(layer[layer.len() / 2]));
        Some(tips.map(|[z, radius]| (z, radius)).collect())
    }
}
