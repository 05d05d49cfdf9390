//! The plot of a trial in SVG: travel over turns, predicted against measured, and below it
//! what is measured less what is predicted.
//!
//! Measured points carry bars of two standard uncertainties of the instrument. The pale band
//! is where the rows of the way back are predicted: one lost motion further on.

use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::svg::{Axis, line, text};
use crate::output::words::plain;
use crate::picture::escaped;
use crate::trial::{Direction, State, Trial};
use crate::units::Length;

/// Size of the picture.
const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 620.0;
/// Left and right edge of both panels.
const SIDES: [f64; 2] = [74.0, 736.0];
/// Upper and lower edge of each panel.
const TRAVEL_PANEL: [f64; 2] = [92.0, 344.0];
const REST_PANEL: [f64; 2] = [386.0, 566.0];
/// Standard uncertainties that a bar spans to each side.
const BAR: f64 = 2.0;

/// Name of the plot.
pub(super) const PLOT: &str = "trial.svg";

/// The format.
pub(crate) struct PlotFile;

impl Format<Trial> for PlotFile {
    fn files(&self, trial: &Trial) -> Result<Vec<OutFile>, FormatError> {
        Ok(vec![OutFile::new(PLOT, svg(trial))])
    }

    fn owns(&self, name: &str) -> bool {
        name == PLOT
    }
}

const STYLE: &str = "\
<style>
text { font: 13px 'Source Sans 3', 'Noto Sans', 'DejaVu Sans', sans-serif; fill: #26323a; }
.title { font-size: 17px; font-weight: 600; }
.small { font-size: 12px; fill: #5a6870; }
.grid { stroke: #e3e7e9; stroke-width: 1; }
.edge { stroke: #8b979e; stroke-width: 1; fill: none; }
.band { fill: #2d6a80; fill-opacity: 0.11; }
.predicted { stroke: #2d6a80; stroke-width: 1.6; fill: none; }
.fitted { stroke: #a4472b; stroke-width: 1.2; stroke-dasharray: 5 4; fill: none; }
.bar { stroke: #a4472b; stroke-width: 1; }
.forward { fill: #a4472b; stroke: #a4472b; stroke-width: 1.4; }
.back { fill: #fff; stroke: #a4472b; stroke-width: 1.4; }
.loose { fill: #c9cfd2; stroke: #7d8a91; stroke-width: 1.4; }
</style>
";

/// What is drawn of a row.
struct Point {
    turns: f64,
    travel: f64,
    rest: f64,
    class: &'static str,
}

/// The picture.
pub(super) fn svg(trial: &Trial) -> String {
    let points = points(trial);
    let bar = BAR * trial.fit.instrument;
    let [low, _, high] = trial.prediction.lost_motion.map(Length::as_mm);
    let turns = Axis::over(points.iter().map(|p| p.turns).chain([0.0]), SIDES);
    let with_bar = |v: f64| [v - bar, v + bar];
    let travels = points.iter().flat_map(|p| with_bar(p.travel));
    let up = |paper: [f64; 2]| [paper[1], paper[0]];
    let travel = Axis::over(travels, up(TRAVEL_PANEL));
    let has_back = trial
        .measured
        .rows
        .iter()
        .any(|row| row.direction == Direction::Back);
    let band = if has_back {
        vec![low, high]
    } else {
        Vec::new()
    };
    let rests = points
        .iter()
        .flat_map(|p| with_bar(p.rest))
        .chain([0.0])
        .chain(band);
    let rest = Axis::over(rests, up(REST_PANEL));
    let mut out = head(trial);
    for (id, edges) in [("upper", TRAVEL_PANEL), ("lower", REST_PANEL)] {
        out.push_str(&format!(
            "<clipPath id=\"{id}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n",
            SIDES[0],
            edges[0],
            SIDES[1] - SIDES[0],
            edges[1] - edges[0]
        ));
    }
    panel(&mut out, &turns, &travel, TRAVEL_PANEL);
    panel(&mut out, &turns, &rest, REST_PANEL);
    labels(&mut out, &turns);
    lines(&mut out, trial, [&turns, &travel, &rest], has_back);
    for point in &points {
        mark(
            &mut out,
            point.class,
            turns.at(point.turns),
            &travel,
            point.travel,
            bar,
        );
        mark(
            &mut out,
            point.class,
            turns.at(point.turns),
            &rest,
            point.rest,
            bar,
        );
    }
    out.push_str("</svg>\n");
    out
}

fn points(trial: &Trial) -> Vec<Point> {
    let lead = trial.prediction.printed_lead().as_mm();
    let rows = trial.measured.rows.iter().zip(trial.measured.travels());
    rows.zip(&trial.fit.states)
        .map(|((row, travel), state)| Point {
            turns: row.turns,
            travel: travel - trial.fit.offset,
            rest: travel - trial.fit.offset - lead * row.turns,
            class: match (state, row.direction) {
                (State::TakingUp | State::Start, _) => "loose",
                (State::Settled, Direction::Forward) => "forward",
                (State::Settled, Direction::Back) => "back",
            },
        })
        .collect()
}

fn head(trial: &Trial) -> String {
    let name = escaped(&plain(&trial.prediction.name));
    let verdict = trial.judgement.verdict.word();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" \
         width=\"{WIDTH}\" height=\"{HEIGHT}\" role=\"img\">\n<title>Trial of {name}: \
         {verdict}</title>\n{STYLE}<rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#fff\"/>\n\
         <text class=\"title\" x=\"{0}\" y=\"28\">{name}: predicted against measured</text>\n",
        SIDES[0]
    )
}

fn panel(out: &mut String, turns: &Axis, values: &Axis, edges: [f64; 2]) {
    for (value, _) in turns.ticks() {
        let x = turns.at(value);
        line(out, "grid", [x, edges[0]], [x, edges[1]]);
    }
    for (value, words) in values.ticks() {
        let y = values.at(value);
        line(out, "grid", [SIDES[0], y], [SIDES[1], y]);
        text(out, "small", "end", [SIDES[0] - 8.0, y + 4.0], &words);
    }
    out.push_str(
        &(format!(
            "<rect class=\"edge\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            SIDES[0],
            edges[0],
            SIDES[1] - SIDES[0],
            edges[1] - edges[0]
        ) + "\n"),
    );
}

fn labels(out: &mut String, turns: &Axis) {
    for (value, words) in turns.ticks() {
        let at = [turns.at(value), REST_PANEL[1] + 18.0];
        text(out, "small", "middle", at, &words);
    }
    let middle = f64::midpoint(SIDES[0], SIDES[1]);
    let under = [middle, REST_PANEL[1] + 40.0];
    text(out, "", "middle", under, "turns of the drive, forward");
    text(
        out,
        "",
        "start",
        [SIDES[0], TRAVEL_PANEL[0] - 8.0],
        "travel of the carriage, mm",
    );
    let above = [SIDES[0], REST_PANEL[0] - 8.0];
    text(out, "", "start", above, "measured less predicted, mm");
}

/// Prediction and fit, in both panels, and what the marks mean.
fn lines(out: &mut String, trial: &Trial, [turns, travel, rest]: [&Axis; 3], has_back: bool) {
    let lead = trial.prediction.printed_lead().as_mm();
    let fitted = trial.fit.lead.value;
    let [low, _, high] = trial.prediction.lost_motion.map(Length::as_mm);
    let ends = [turns.from, turns.to];
    let mut both = |class: &str, slope: f64, above: f64| {
        for (axis, less, panel) in [(travel, 0.0, "upper"), (rest, lead, "lower")] {
            let end = |n: f64| [turns.at(n), axis.at((slope - less) * n + above)];
            out.push_str(&format!("<g clip-path=\"url(#{panel})\">"));
            line(out, class, end(ends[0]), end(ends[1]));
            out.push_str("</g>\n");
        }
    };
    both("predicted", lead, 0.0);
    both("fitted", fitted, 0.0);
    if let Some(lost) = &trial.fit.lost {
        both("fitted", fitted, lost.value);
    }
    if has_back {
        let (top, bottom) = (rest.at(high), rest.at(low));
        out.push_str(&(format!(
"<rect class=\"band\" x=\"{:.2}\" y=\"{top:.2}\" width=\"{:.2}\" height=\"{:.2}\"/>",
            SIDES[0],
            SIDES[1] - SIDES[0],
            bottom - top
        ) + "\n"));
    }
    legend(out, trial, has_back);
}

/// The key to marks and lines, under the title.
fn legend(out: &mut String, trial: &Trial, has_back: bool) {
    const BASELINE: f64 = 50.0;
    let loose = trial
        .fit
        .states
        .iter()
        .any(|state| *state != State::Settled);
    let mut x = SIDES[0];
    let mut entry = |mark: &str, words: &str, width: f64| {
        out.push_str(
            &(format!(
                "<g transform=\"translate({x} {})\">{mark}</g>",
                BASELINE - 4.0
            ) + "\n"),
        );
        text(out, "small", "start", [x + 24.0, BASELINE], words);
        x += width;
    };
    let dot = |class: &str| format!("<circle class=\"{class}\" cx=\"10\" cy=\"0\" r=\"3.6\"/>");
    let dash =
        |class: &str| format!("<line class=\"{class}\" x1=\"0\" x2=\"19\" y1=\"0\" y2=\"0\"/>");
    entry(&dash("predicted"), "predicted", 92.0);
    entry(&dash("fitted"), "fitted", 72.0);
    entry(&dot("forward"), "forward", 82.0);
    if has_back {
        entry(&dot("back"), "back", 68.0);
        let band = "<rect class=\"band\" width=\"19\" height=\"10\" y=\"-5\"/>";
        entry(band, "back, predicted", 122.0);
    }
    if loose {
        entry(&dot("loose"), "play not taken up", 0.0);
    }
}

fn mark(out: &mut String, class: &str, x: f64, axis: &Axis, value: f64, bar: f64) {
    let (top, bottom) = (axis.at(value + bar), axis.at(value - bar));
    line(out, "bar", [x, top], [x, bottom]);
    out.push_str(
        &(format!(
            "<circle class=\"{class}\" cx=\"{x:.2}\" cy=\"{:.2}\" r=\"3.6\"/>",
            axis.at(value)
        ) + "\n"),
    );
}
