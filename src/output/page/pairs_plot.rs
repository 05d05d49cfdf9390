//! The pairs of a wish in SVG: travel in a turn against the room that they take.

use super::pairs_page::Page;
use crate::output::svg::{Axis, line, text};
use crate::output::words::plain;
use crate::pairs::{Point, designations};
use crate::units::Length;
use crate::units_told::number;

/// Size of the picture.
const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 470.0;
/// Left and right edge, upper and lower edge of the panel.
const SIDES: [f64; 2] = [74.0, 736.0];
const EDGES: [f64; 2] = [76.0, 404.0];
/// The travel in a turn is drawn with so much room to either side, as a share, however near all pairs come.
const LEAST_SPREAD: f64 = 0.01;
/// Cubic millimetres in a cubic centimetre.
const CUBIC_MM_PER_CUBIC_CM: f64 = 1000.0;

const STYLE: &str = "\
<style>
text { font: 13px 'Source Sans 3', 'Noto Sans', 'DejaVu Sans', sans-serif; fill: #26323a; }
.title { font-size: 17px; font-weight: 600; }
.small { font-size: 12px; fill: #5a6870; }
.grid { stroke: #e3e7e9; stroke-width: 1; }
.edge { stroke: #8b979e; stroke-width: 1; fill: none; }
.wish { stroke: #2d6a80; stroke-width: 1.4; stroke-dasharray: 5 4; }
.band { fill: #2d6a80; fill-opacity: 0.08; }
.good { fill: #2d6a80; }
.not { fill: #fff; stroke: #a5afb4; stroke-width: 1.2; }
.told { fill: #a4472b; }
</style>
";

/// The picture; none where no pair could be sized.
pub(crate) fn svg(page: &Page<'_>) -> Option<String> {
    let points = &page.found.sized;
    if points.is_empty() {
        return None;
    }
    let wish = page.wish;
    let lead = |length: Length| match wish.inches {
        false => length.as_mm(),
        true => length.as_inches(),
    };
    let spread =
        [1.0 - wish.tolerance, 1.0 + wish.tolerance].map(|share| lead(wish.net_lead) * share);
    let leads = points
        .iter()
        .map(|point| lead(point.net_lead))
        .chain(spread)
        .chain([1.0 - LEAST_SPREAD, 1.0 + LEAST_SPREAD].map(|share| lead(wish.net_lead) * share));
    let across = Axis::over(leads, SIDES);
    let up = Axis::over(
        points.iter().map(|point| volume(point.size)).chain([0.0]),
        [EDGES[1], EDGES[0]],
    );
    let unit = if wish.inches { "in" } else { "mm" };
    let title = format!(
        "Pairs that move {} {unit} a turn",
        number(lead(wish.net_lead), 4)
    );
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" \
         height=\"{HEIGHT}\" role=\"img\">\n<title>{title}</title>\n{STYLE}<rect width=\"{WIDTH}\" \
         height=\"{HEIGHT}\" fill=\"#fff\"/>\n<text class=\"title\" x=\"{}\" y=\"28\">{title}</text>\n",
        SIDES[0]
    );
    frame(&mut out, &across, &up, unit);
    let [low, high] = spread.map(|lead| across.at(lead));
    out += &format!(
        "<rect class=\"band\" x=\"{low:.2}\" y=\"{}\" width=\"{:.2}\" height=\"{}\"/>\n",
        EDGES[0],
        (high - low).max(1.0),
        EDGES[1] - EDGES[0]
    );
    line(
        &mut out,
        "wish",
        [across.at(lead(wish.net_lead)), EDGES[0]],
        [across.at(lead(wish.net_lead)), EDGES[1]],
    );
    let mut dot = |point: &Point, class: &str, radius: f64| {
        let (x, y) = (across.at(lead(point.net_lead)), up.at(volume(point.size)));
        out += &format!("<circle class=\"{class}\" cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{radius}\"/>\n");
    };
    let (good, not): (Vec<&Point>, Vec<&Point>) = points.iter().partition(|point| point.buildable);
    not.into_iter().for_each(|point| dot(point, "not", 3.2));
    good.into_iter().for_each(|point| dot(point, "good", 3.6));
    if let Some(best) = page.found.rows.first() {
        let (x, y) = (
            across.at(lead(best.net_lead)),
            up.at(volume(best.figures.size)),
        );
        out += &format!("<circle class=\"told\" cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"5\"/>\n");
        let name = plain(&designations(&best.mechanism).join(" / "));
        text(&mut out, "small", "start", [x + 9.0, y + 4.0], &name);
    }
    legend(&mut out);
    Some(out + "</svg>\n")
}

/// Grid, edge, numbers and titles of the axes.
fn frame(out: &mut String, across: &Axis, up: &Axis, unit: &str) {
    for (value, words) in across.ticks() {
        let x = across.at(value);
        line(out, "grid", [x, EDGES[0]], [x, EDGES[1]]);
        text(out, "small", "middle", [x, EDGES[1] + 18.0], &words);
    }
    for (value, words) in up.ticks() {
        let y = up.at(value);
        line(out, "grid", [SIDES[0], y], [SIDES[1], y]);
        text(out, "small", "end", [SIDES[0] - 8.0, y + 4.0], &words);
    }
    *out += &format!(
        "<rect class=\"edge\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>\n",
        SIDES[0],
        EDGES[0],
        SIDES[1] - SIDES[0],
        EDGES[1] - EDGES[0]
    );
    let middle = f64::midpoint(SIDES[0], SIDES[1]);
    text(
        out,
        "",
        "middle",
        [middle, EDGES[1] + 40.0],
        &format!("travel in a turn, {unit}"),
    );
    text(
        out,
        "",
        "start",
        [SIDES[0], EDGES[0] - 8.0],
        "room through the stroke, cubic centimetres",
    );
}

fn legend(out: &mut String) {
    const BASELINE: f64 = 46.0;
    let mut x = SIDES[0];
    for (class, radius, words, width) in [
        ("told", 5.0, "first in the table", 140.0),
        ("good", 3.6, "can be built", 110.0),
        ("not", 3.2, "cannot", 70.0),
    ] {
        *out += &format!(
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{radius}\"/>\n",
            x + 6.0,
            BASELINE - 4.0
        );
        text(out, "small", "start", [x + 18.0, BASELINE], words);
        x += width;
    }
}

fn volume(size: [Length; 3]) -> f64 {
    size.iter().map(|side| side.as_mm()).product::<f64>() / CUBIC_MM_PER_CUBIC_CM
}
