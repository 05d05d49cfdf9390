//! The net leads of every two threads of a series: a table for people, a grid in SVG to hang up.

use crate::output::words::folded;
use crate::pairs::{Cell, Chart, Series, Wish};
use crate::thread::Thread;
use crate::units::Length;
use crate::units_told::{CALIPER_OF_INCHES, number};

/// Decimals of net leads in millimetres.
const DECIMALS: usize = 4;
/// Decimals in JSON, in mm: below that is binary rounding.
const JSON_DECIMALS: usize = 6;
/// Leads nearer than this are one, in the series' unit: binary rounding. Guess.
const SAME: f64 = 1e-9;

/// A net lead with the pairs that give it.
struct Lead<'a> {
    value: f64,
    cells: Vec<&'a Cell>,
}

impl Lead<'_> {
    /// The thinnest pair that can be built.
    fn thinnest(&self) -> Option<&Cell> {
        // The threads rise, so the first drive is the thinnest.
        let buildable = self.cells.iter().filter(|cell| cell.is_buildable());
        buildable.min_by_key(|cell| cell.places).copied()
    }
}

/// The table: each net lead with its reciprocal, how many pairs give it, and the thinnest that can be
/// built.
pub(crate) fn text(wish: &Wish, chart: &Chart) -> String {
    let inches = chart.series.in_inches();
    let buildable = chart
        .cells
        .iter()
        .filter(|cell| cell.is_buildable())
        .count();
    let about = format!(
        "What every two {} threads up to {} move in a turn, one in the other and of one hand. Over {} of \
         stroke, {buildable} of {} pairs can be built, as far as is known before anything is drawn.",
        chart.series.name(),
        wish.told().length(wish.largest_major(), 2),
        wish.told().length(wish.stroke, 2),
        chart.cells.len(),
    );
    let [lead, turns] = match inches {
        false => ["mm a turn", "turns a mm"],
        true => ["in a turn", "turns an in"],
    };
    let mut page = folded("", "", &about);
    page += &format!("\n{lead:>10}  {turns:>11}  pairs  to build  the thinnest\n");
    for lead in leads(chart) {
        let thinnest = lead.thinnest().map(|cell| called(chart, cell));
        let count = lead.cells.iter().filter(|cell| cell.is_buildable()).count();
        let decimals = if inches {
            CALIPER_OF_INCHES + 1
        } else {
            DECIMALS
        };
        page += format!(
            "{:>10}  {:>11}  {:>5}  {:>8}  {}",
            number(lead.value, decimals),
            number(1.0 / lead.value, 3),
            lead.cells.len(),
            count,
            thinnest.unwrap_or_else(|| "-".into())
        )
        .trim_end();
        page.push('\n');
    }
    page
}

/// The net leads, rising.
fn leads(chart: &Chart) -> Vec<Lead<'_>> {
    let mut cells: Vec<&Cell> = chart.cells.iter().collect();
    let value = |cell: &Cell| in_units(chart.series, cell.net_lead);
    cells.sort_by(|a, b| value(a).total_cmp(&value(b)));
    let mut leads: Vec<Lead<'_>> = Vec::new();
    for cell in cells {
        match leads.last_mut() {
            Some(last) if value(cell) - last.value < SAME => last.cells.push(cell),
            _ => leads.push(Lead {
                value: value(cell),
                cells: vec![cell],
            }),
        }
    }
    leads
}

fn in_units(series: Series, length: Length) -> f64 {
    match series.in_inches() {
        false => length.as_mm(),
        true => length.as_inches(),
    }
}

fn called(chart: &Chart, cell: &Cell) -> String {
    let [drive, second] = cell.places.map(|place| chart.threads[place].designation());
    format!("{drive} / {second}")
}

/// Every pair as JSON, with a line end after the last line.
///
/// # Errors
/// None that text could cause; what the writer says is handed on.
pub(crate) fn json(chart: &Chart) -> serde_json::Result<String> {
    let cells = chart.cells.iter().map(|cell| {
        let [drive, second] = cell.places.map(|place| chart.threads[place].designation());
        serde_json::json!({
            "drive": drive,
            "second": second,
            "net_lead_mm": number(cell.net_lead.as_mm(), JSON_DECIMALS).parse().unwrap_or(0.0_f64),
            "buildable": cell.is_buildable(),
        })
    });
    let cells: Vec<serde_json::Value> = cells.collect();
    serde_json::to_string_pretty(&cells).map(|text| text + "\n")
}

/// Width and height of a field of the grid, and the room for the names of threads before it.
const FIELD: [f64; 2] = [46.0, 30.0];
const NAMES: f64 = 96.0;
/// Room above the grid: title, legend and the names of the thinner threads, which stand upright.
const HEAD: f64 = 168.0;
/// Baselines in a field: of the net lead, and of the turns below it.
const UPPER: f64 = 14.0;
const LOWER: f64 = 25.0;
/// Free edge around the grid.
const EDGE: f64 = 16.0;
/// Least width, so that the words above the grid have room.
const LEAST_WIDTH: f64 = 760.0;

const STYLE: &str = "\
<style>
text { font: 11px 'Source Sans 3', 'Noto Sans', 'DejaVu Sans', sans-serif; fill: #26323a; }
.title { font-size: 17px; font-weight: 600; }
.small { font-size: 12px; fill: #5a6870; }
.name { font-size: 12px; }
.not { fill: #98a3a9; }
.per { font-size: 9px; fill: #98a3a9; }
.good { fill: #cfe3ea; }
.rule { stroke: #e3e7e9; stroke-width: 1; }
.strong { font-weight: 600; fill: #123e50; }
</style>
";

/// The grid: a row for each thicker thread, a field for each thinner one, with what the two move in a
/// turn and, below, how many turns make a unit; shaded where they can be built.
pub(crate) fn svg(wish: &Wish, chart: &Chart) -> String {
    let count = chart.threads.len() as f64;
    let width = (NAMES + FIELD[0] * count + 2.0 * EDGE).max(LEAST_WIDTH);
    let height = HEAD + FIELD[1] * count + 2.0 * EDGE;
    let [unit, one] = match chart.series.in_inches() {
        false => ["mm", "a mm"],
        true => ["in", "an inch"],
    };
    let title = format!(
        "{}: {unit} a turn of every two threads",
        chart.series.name()
    );
    let below = format!(
        "rows: the drive screw in the frame; columns: the thread in it, of the same hand; below: turns to {one}; shaded: can be built over {} {unit}",
        number(in_units(chart.series, wish.stroke), 3)
    );
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
         height=\"{height}\" role=\"img\">\n<title>{title}</title>\n{STYLE}<rect width=\"{width}\" \
         height=\"{height}\" fill=\"#fff\"/>\n<text class=\"title\" x=\"{EDGE}\" y=\"32\">{title}</text>\n\
         <text class=\"small\" x=\"{EDGE}\" y=\"54\">{below}</text>\n"
    );
    for (place, thread) in chart.threads.iter().enumerate() {
        out += &names(place, thread, width);
    }
    for cell in &chart.cells {
        out += &field(chart, cell);
    }
    out + "</svg>\n"
}

/// The name of a thread before its row and above its column.
fn names(place: usize, thread: &Thread, width: f64) -> String {
    let [x, y] = corner([place, place]);
    let name = thread.designation();
    let right = width - EDGE;
    format!(
        "<line class=\"rule\" x1=\"{EDGE}\" y1=\"{0:.1}\" x2=\"{right}\" y2=\"{0:.1}\"/>\n\
         <text class=\"name\" text-anchor=\"end\" x=\"{1:.1}\" y=\"{2:.1}\">{name}</text>\n\
         <text class=\"name\" transform=\"translate({3:.1} {4:.1}) rotate(-90)\">{name}</text>\n",
        y + FIELD[1],
        EDGE + NAMES - 8.0,
        y + FIELD[1] / 2.0 + 4.0,
        x + FIELD[0] / 2.0 + 4.0,
        HEAD + EDGE - 8.0,
    )
}

fn field(chart: &Chart, cell: &Cell) -> String {
    let [x, y] = corner(cell.places);
    let lead = in_units(chart.series, cell.net_lead);
    let told = match chart.series.in_inches() {
        false => number(lead, 2),
        true => number(lead, CALIPER_OF_INCHES),
    };
    let per = number(1.0 / lead, 2);
    let (shade, class) = match cell.is_buildable() {
        true => (
            format!(
                "<rect class=\"good\" x=\"{:.1}\" y=\"{:.1}\" width=\"{}\" height=\"{}\"/>",
                x + 1.0,
                y + 1.0,
                FIELD[0] - 2.0,
                FIELD[1] - 2.0
            ),
            "strong",
        ),
        false => (String::new(), "not"),
    };
    let middle = x + FIELD[0] / 2.0;
    format!(
        "{shade}<text class=\"{class}\" text-anchor=\"middle\" x=\"{middle:.1}\" y=\"{:.1}\">{told}</text>\
         <text class=\"per\" text-anchor=\"middle\" x=\"{middle:.1}\" y=\"{:.1}\">{per}<title>{}: {told} \
         a turn, {per} turns</title></text>\n",
        y + UPPER,
        y + LOWER,
        called(chart, cell)
    )
}

/// Upper left corner of a field: the row of its drive, the column of its second thread.
fn corner([drive, second]: [usize; 2]) -> [f64; 2] {
    [
        EDGE + NAMES + FIELD[0] * second as f64,
        HEAD + EDGE + FIELD[1] * drive as f64,
    ]
}
