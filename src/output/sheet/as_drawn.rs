//! From a thread joint to its section as it is drawn: both profiles, their gap and all their sizes.

use super::dimension::{self, Beside, Diameter, Span};
use super::foot;
use super::hatching;
use super::paper::{Anchor, At, Group, LETTER, Line, Paper};
use super::thread_view::{TOP, ThreadView, WIDTH};
use crate::assembly::Source;
use crate::output::kit::{Product, fits};
use crate::picture::Picture;
use crate::units::{Angle, Length};
use crate::units_told::number;

/// Distance of dimension lines that stand side by side, on paper.
const APART: f64 = 8.5;
/// Where the words of the gap have their shelf, and where pitch and lead are dimensioned.
const SHELF: f64 = 8.0;
const LEAD_LINE: f64 = 20.0;
const PITCH_LINE: f64 = 28.0;
/// Decimals of a diameter in mm, as a caliper reads, and of a pitch.
const CALIPER: usize = 2;
const OF_A_PITCH: usize = 3;

/// The sheet; `number` tells it from those of other joints.
pub(super) fn sheet(product: &Product, view: &ThreadView<'_>, number: usize) -> Picture {
    let notes = notes(view);
    let height = view.axis() + 10.0 + foot::height(&notes) + foot::STRIP;
    let mut paper = Paper::new([WIDTH, height], Group::Half);
    metal(&mut paper, view);
    view.centre_lines(&mut paper);
    diameters(&mut paper, view);
    lengths(&mut paper, view);
    gap(&mut paper, view);
    balloons(&mut paper, view);
    foot::write(&mut paper, view.axis() + 11.0, &notes);
    let members = view.members(product);
    let how = format!("as drawn, {}", view.units_and_scale());
    foot::title(&mut paper, &members, &how);
    let shows = format!(
        "Section through the axis of {members}, {}, as drawn, {}: both profiles with a radial gap of {}.",
        view.designation(view.told),
        view.units_and_scale(),
        view.told.length(
            view.joint.gap.map_or(Length::ZERO, |gap| gap.drawn),
            CALIPER
        )
    );
    paper.picture(format!("thread-{number}-as-drawn"), shows)
}

/// Both members in section, and the basic profile.
fn metal(paper: &mut Paper, view: &ThreadView<'_>) {
    let on_paper = |profile: &[(Length, Length)]| -> Vec<At> {
        profile.iter().map(|corner| view.at(*corner)).collect()
    };
    let angle = angle_box(view);
    let profiles = view.profiles();
    for (member, profile) in profiles.iter().enumerate() {
        let [whole, broken] = view.metal(member, &on_paper(profile));
        let lines = hatching::lines(view.hatches[member], &[whole], &[angle]);
        paper.lines(Line::Thin, &lines);
        paper.polyline(Line::Thin, &broken);
    }
    paper.polyline(Line::Other, &on_paper(&view.basic()));
    for profile in &profiles {
        paper.polyline(Line::Outline, &on_paper(profile));
    }
    flank_angle(paper, view);
}

/// Where the angle between the flanks of a tooth of the hole is dimensioned: apex, reach, words.
fn angle_place(view: &ThreadView<'_>) -> (At, f64, String) {
    /// Share of the flank, from its apex, at which the arc stands.
    const ON_FLANK: f64 = 0.93;
    let thread = view.thread();
    let flank = thread.form().flank_angle();
    // Sharp triangles reach from P / (4 tan a) within the pitch line to as much beyond it.
    let half = thread.pitch() / (4.0 * flank.tan());
    let apex = thread.pitch_diameter() / 2.0 + view.shifts[1] - half;
    let top = thread.major() / 2.0 + view.shifts[1];
    let reach = (top - apex).as_mm() * view.scale / flank.cos() * ON_FLANK;
    let z = view.crest - thread.pitch() / 2.0;
    let words = format!("{}°", number(flank.as_degrees() * 2.0, 1));
    (view.at((z, apex)), reach, words)
}

fn angle_words_at(view: &ThreadView<'_>) -> At {
    let (apex, reach, _) = angle_place(view);
    [apex[0], apex[1] - reach - 0.8]
}

fn angle_box(view: &ThreadView<'_>) -> hatching::Free {
    let (_, _, words) = angle_place(view);
    dimension::room_for(angle_words_at(view), Anchor::Middle, &words)
}

/// The angle between two flanks, as an arc with arrowheads.
fn flank_angle(paper: &mut Paper, view: &ThreadView<'_>) {
    const STEPS: u32 = 16;
    let (apex, reach, words) = angle_place(view);
    let flank = view.thread().form().flank_angle();
    let at = |angle: Angle| {
        let (sin, cos) = angle.sin_cos();
        [apex[0] + reach * sin, apex[1] - reach * cos]
    };
    let step = |index: u32| flank * (f64::from(index) / f64::from(STEPS) * 2.0 - 1.0);
    let arc: Vec<At> = (0..=STEPS).map(|index| at(step(index))).collect();
    paper.polyline(Line::Thin, &arc);
    let (sin, cos) = flank.sin_cos();
    paper.arrowhead(at(flank), [cos, sin]);
    paper.arrowhead(at(-flank), [-cos, sin]);
    paper.text(angle_words_at(view), Anchor::Middle, LETTER, &words);
}

/// Major and minor diameters: the screw's to the left, the hole's and the pitch diameter to the right.
fn diameters(paper: &mut Paper, view: &ThreadView<'_>) {
    let thread = view.thread();
    let [left, right] = view.sides();
    let [major, minor] = [thread.major(), thread.minor_internal()];
    let [male, female] = view.shifts.map(|shift| shift * 2.0);
    let pitch = thread.pitch();
    let first_root = view.x(first_at_or_after(view, view.crest + pitch / 2.0));
    let last_root = view.x(last_at_or_before(view, view.crest + pitch / 2.0));
    let first_crest = view.x(first_at_or_after(view, view.crest));
    let last_crest = view.x(last_at_or_before(view, view.crest));
    let all = [
        (left - APART, first_root, minor + male),
        (left - 2.0 * APART, first_crest, major + male),
        (right + APART, last_root, minor + female),
        (right + 2.0 * APART, last_crest, major + female),
        (right + 3.0 * APART, right, thread.pitch_diameter()),
    ];
    for (x, from, diameter) in all {
        let words = format!("Ø{}", view.dimension(diameter, CALIPER));
        let dimension = Diameter {
            feature: [from, view.y(diameter / 2.0)],
            x,
            axis: view.axis(),
            words_at: view.words_at(),
            words: &words,
        };
        dimension::diameter(paper, &dimension);
    }
}

/// The first place a whole number of pitches from another that the sheet shows.
fn first_at_or_after(view: &ThreadView<'_>, place: Length) -> Length {
    let pitch = view.thread().pitch();
    place + pitch * ((view.window[0] - place) / pitch).ceil()
}

/// The last such place.
fn last_at_or_before(view: &ThreadView<'_>, place: Length) -> Length {
    let pitch = view.thread().pitch();
    place + pitch * ((view.window[1] - place) / pitch).floor()
}

/// Pitch from the middle crest on, and the lead where it is another.
fn lengths(paper: &mut Paper, view: &ThreadView<'_>) {
    let thread = view.thread();
    let top = view.y(thread.major() / 2.0 + view.shifts[1]);
    let mut span = |from: Length, to: Length, line: f64, words: String| {
        let span = Span {
            ends: [view.x(from), view.x(to)],
            features: [top; 2],
            line,
            beside: Beside::Right,
        };
        dimension::level(paper, span, &words);
    };
    let last = last_at_or_before(view, view.crest);
    let (pitch, lead) = (thread.pitch(), thread.lead());
    let words = |length| view.dimension(length, OF_A_PITCH);
    if last - pitch >= view.window[0] {
        span(
            last - pitch,
            last,
            PITCH_LINE,
            format!("P = {}", words(pitch)),
        );
    }
    if thread.starts() > 1 && last - lead >= view.window[0] {
        let lead_words = format!("lead = {} P = {}", thread.starts(), words(lead));
        span(last - lead, last, LEAD_LINE, lead_words);
    }
}

/// The radial gap over a crest, as large as it is drawn.
fn gap(paper: &mut Paper, view: &ThreadView<'_>) {
    let Some(gap) = view.joint.gap else {
        return;
    };
    let crest = view.thread().major() / 2.0;
    let edges = view.shifts.map(|shift| view.y(crest + shift));
    let x = view.x(first_at_or_after(view, view.crest));
    let value = fits::length(view.told, gap.drawn);
    let told = match view.told {
        crate::units_told::Told::Metric => value,
        crate::units_told::Told::Inch => format!("{value} ({:.2})", gap.drawn.as_mm()),
    };
    let above = format!("{told} radial gap as drawn");
    dimension::gap(paper, x, edges, SHELF, &above);
}

/// Item numbers of both members.
fn balloons(paper: &mut Paper, view: &ThreadView<'_>) {
    let [left, _] = view.sides();
    let groove = view.y(view.thread().major() / 2.0 + view.shifts[1]);
    let hole = [left + 5.0, f64::midpoint(TOP, groove)];
    dimension::balloon(paper, [left - 6.0, PITCH_LINE - 6.0], hole, view.items[1]);
    let screw_x = view.x(view.crest) + 12.0;
    let root = view.y(view.thread().minor_internal() / 2.0 + view.shifts[0]);
    let screw = [screw_x - 6.0, f64::midpoint(root, view.bottom())];
    let centre = [screw_x, view.bottom() + 12.0];
    dimension::balloon(paper, centre, screw, view.items[0]);
}

/// What lines and dimensions do not say.
fn notes(view: &ThreadView<'_>) -> Vec<String> {
    let gap = view.joint.gap;
    let drawn_on = match gap.map(|gap| (gap.mates.male, gap.mates.female)) {
        Some((Source::Printed, Source::Bought)) => {
            "The hole is bought and shown on its basic profile; the screw is drawn thinner by the gap."
        }
        _ => {
            "The screw is drawn on its basic profile; the hole is that profile moved outwards by the gap."
        }
    };
    let flank =
        gap.map_or(Length::ZERO, |gap| gap.drawn) * view.thread().form().flank_angle().sin();
    vec![
        format!("{}.", view.designation(view.told)),
        format!(
            "{drawn_on} Flanks stand {} apart, square to them.",
            view.told.length(flank, 3)
        ),
        format!(
            "Double-dotted chain line: {}; where it lies on an outline, the outline shows. The axis is \
             drawn nearer than it is.",
            view.basic_profile_words()
        ),
    ]
}
