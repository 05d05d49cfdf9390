//! One page of a trial: for a terminal, as Markdown beside its plot, and for a browser with the plot in it.

use super::trial_plot;
use crate::output::document::{
    Block, Cell, Document, Figure, Section, Table, Text, markdown, page,
};
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::words::{folded, plain};
use crate::picture::Picture;
use crate::trial::sentences::{
    around, between, interval, length as told, lost_motion, ripple, scatter,
};
use crate::trial::{Reading, State, Trial, Tried, Unit, Verdict, in_unit};
use crate::units::Length;
use crate::units_told::number;
use anstyle::{AnsiColor, Style};

/// Columns of the names in front of values.
const NAME_COLUMNS: usize = 16;
/// Explanations that the page lists. Guess.
const LISTED: usize = 4;

/// Name of the page as Markdown.
const PAGE: &str = "trial.md";
/// Name of the page as a browser shows it.
const WEB_PAGE: &str = "trial.html";

/// The format.
pub(crate) struct PageFile;

impl Format<Trial> for PageFile {
    fn files(&self, trial: &Trial) -> Result<Vec<OutFile>, FormatError> {
        let text = markdown::written(&document(trial));
        Ok(vec![OutFile::new(PAGE, text)])
    }

    fn owns(&self, name: &str) -> bool {
        name == PAGE
    }
}

/// The format of the page that a browser shows.
pub(crate) struct WebPage;

impl Format<Trial> for WebPage {
    fn files(&self, trial: &Trial) -> Result<Vec<OutFile>, FormatError> {
        let page = page::written(&document(trial));
        Ok(vec![OutFile::new(WEB_PAGE, page)])
    }

    fn owns(&self, name: &str) -> bool {
        name == WEB_PAGE
    }
}

/// Rows of name and value that say it all.
fn facts(trial: &Trial) -> Vec<(&'static str, String)> {
    let (fit, prediction) = (&trial.fit, &trial.prediction);
    let own = 1.96 * prediction.printed_lead_error().as_mm();
    let (rows, unit) = (trial.measured.rows.len(), trial.measured.unit);
    let [low, _, high] = prediction.lost_motion.map(Length::as_mm);
    let mut list = vec![
        ("rows", format!("{rows}, {}", kinds(trial))),
        (
            "net lead",
            format!("{} measured", interval(&fit.lead, unit)),
        ),
        (
            "",
            format!(
                "{} predicted",
                around(prediction.printed_lead().as_mm(), own, 4, unit)
            ),
        ),
    ];
    if let Some(lost) = &fit.lost {
        list.push(("lost motion", format!("{} measured", interval(lost, unit))));
    }
    let name = if fit.lost.is_some() {
        ""
    } else {
        "lost motion"
    };
    list.push((name, format!("{} predicted", between(low, high, 2, unit))));
    list.push(("instrument", instrument(trial)));
    list
}

fn kinds(trial: &Trial) -> String {
    let word = match trial.measured.reading {
        Reading::Travel => "travel of the carriage".to_owned(),
        Reading::Depth => format!("depth, {}", trial.prediction.depth_read),
    };
    let loose = trial.fit.count(State::TakingUp) + trial.fit.count(State::Start);
    match loose {
        0 => word,
        1 => format!("{word}; 1 read before the play was taken up"),
        more => format!("{word}; {more} read before the play was taken up"),
    }
}

fn instrument(trial: &Trial) -> String {
    let instrument = &trial.measured.instrument;
    format!(
        "steps of {}, standard uncertainty {}",
        length(instrument.resolution, trial.measured.unit),
        told(instrument.uncertainty().as_mm(), 3, trial.measured.unit)
    )
}

fn length(value: Length, unit: Unit) -> String {
    const DECIMALS: usize = 4;
    format!("{} {}", number(in_unit(value, unit), DECIMALS), unit.word())
}

/// A reading with the decimals of the instrument's step, as it was read.
fn read(reading: Length, trial: &Trial) -> String {
    const MOST: usize = 4;
    let unit = trial.measured.unit;
    let step = number(in_unit(trial.measured.instrument.resolution, unit), MOST);
    let decimals = step.split_once('.').map_or(0, |(_, after)| after.len());
    format!("{:.decimals$} {}", in_unit(reading, unit), unit.word())
}

/// Sentences on what the rows say beside the verdict.
fn remarks(trial: &Trial) -> Vec<String> {
    let fit = &trial.fit;
    let mut list = vec![
        lost_motion(&trial.judgement, fit, &trial.prediction),
        ripple(fit),
        scatter(fit),
    ];
    for row in &fit.outliers {
        list.push(format!(
            "Row {} (turn {}) stands off by {}, more than chance: read it again.",
            row + 1,
            number(trial.measured.rows[*row].turns, 3),
            told(fit.residuals[*row], 3, fit.unit)
        ));
    }
    list
}

/// The page for a terminal of 80 columns. `folder` is where the files are, if they were
/// written.
pub(crate) fn terminal(trial: &Trial, folder: Option<&str>) -> String {
    let bold = Style::new().bold();
    let mut page = String::new();
    let heading = |page: &mut String, words: &str| {
        page.push_str(&format!(
            "{bold}{}{bold:#}\n",
            folded("", "", words).trim_end()
        ));
    };
    heading(
        &mut page,
        &format!("Trial of {}", plain(&trial.prediction.name)),
    );
    page.push_str(&found(trial));
    page.push('\n');
    for (name, value) in facts(trial) {
        let indent = " ".repeat(2 + NAME_COLUMNS);
        page.push_str(&folded(
            &format!("  {name:<NAME_COLUMNS$}"),
            &indent,
            &value,
        ));
    }
    page.push('\n');
    heading(&mut page, "Rows");
    for line in table(trial) {
        page.push_str(&format!("  {}\n", line.columns()));
    }
    page.push('\n');
    heading(
        &mut page,
        "What could be behind the rows, in chances of 100",
    );
    for line in explanations(trial) {
        page.push_str(&folded("  ", "        ", &line));
    }
    page.push('\n');
    for remark in remarks(trial) {
        page.push_str(&folded("  ", "  ", &remark));
    }
    page.push_str(&folded("  next: ", "        ", &trial.next.sentence));
    if let Some(folder) = folder {
        page.push_str(&folded(
            "  page: ",
            "        ",
            &format!("{}/trial.md", plain(folder)),
        ));
    }
    page
}

/// What was found, how sure that is, what to do.
fn found(trial: &Trial) -> String {
    let judgement = &trial.judgement;
    let style = match judgement.verdict {
        Verdict::Agrees => AnsiColor::Green.on_default(),
        Verdict::Undecided | Verdict::LostMotion => AnsiColor::Yellow.on_default(),
        _ => AnsiColor::Red.on_default().bold(),
    };
    let mut told = String::new();
    for words in [&judgement.sentence, &judgement.sure, &judgement.mend] {
        for line in folded("", "", &plain(words)).lines() {
            told.push_str(&format!("{style}{line}{style:#}\n"));
        }
    }
    told
}

/// Explanations with their chances, in hundredths.
fn explanations(trial: &Trial) -> Vec<String> {
    let line = |one: &Tried| match 100.0 * one.chance {
        chance if chance > 99.5 => format!("> 99  {}", one.what),
        chance => format!("{chance:4.0}  {}", one.what),
    };
    trial
        .judgement
        .tried
        .iter()
        .take(LISTED)
        .map(line)
        .collect()
}

/// A line of the table of rows.
struct Line([String; 6]);

impl Line {
    fn columns(&self) -> String {
        let [turns, way, reading, travel, rest, note] = &self.0;
        let line = format!("{turns:>7} {way:<8}{reading:>12}{travel:>11}{rest:>9}  {note}");
        line.trim_end().to_owned()
    }
}

fn table(trial: &Trial) -> Vec<Line> {
    let head = ["turns", "way", "reading", "travel", "off fit", ""];
    let mut lines = vec![Line(head.map(String::from))];
    let travels = trial.measured.travels();
    let unit = trial.measured.unit;
    let shown = |mm: f64| in_unit(Length::mm(mm), unit);
    let decimals = match unit {
        Unit::Mm => 3,
        Unit::Inch => 4,
    };
    for (index, row) in trial.measured.rows.iter().enumerate() {
        let note = match trial.fit.states[index] {
            _ if trial.fit.outliers.contains(&index) => "stands off",
            State::Settled => "",
            State::TakingUp => "taking up play",
            State::Start => "play not taken up",
        };
        lines.push(Line([
            number(row.turns, 3),
            row.direction.word().into(),
            read(row.reading, trial),
            format!(
                "{:.decimals$} {}",
                shown(travels[index] - trial.fit.offset),
                unit.word()
            ),
            format!("{:+.decimals$}", shown(trial.fit.residuals[index])),
            note.into(),
        ]));
    }
    lines
}

/// All of it, as its two files have it.
pub(crate) fn document(trial: &Trial) -> Document {
    let judgement = &trial.judgement;
    let picture = Picture {
        name: "trial".into(),
        shows: PLOT_SHOWS.into(),
        paper: PLOT_PAPER,
        svg: trial_plot::svg(trial),
    };
    let plot = Figure {
        framed: true,
        ..Figure::new(picture, Text::plain(PLOT_SHOWS))
    };
    Document {
        title: Text::plain(&format!("Trial of {}", trial.prediction.name)),
        opening: vec![
            Block::Paragraph(Text::strong(&judgement.sentence)),
            Block::Paragraph(Text::coded(&judgement.sure)),
            Block::Paragraph(Text::coded(&judgement.mend)),
            Block::TwoWays {
                page: vec![Block::Figure(plot)],
                markdown: vec![Block::PictureFile {
                    path: trial_plot::PLOT,
                    shows: PLOT_SHOWS,
                }],
            },
            Block::Facts(named_facts(trial)),
        ],
        sections: sections(trial),
    }
}

/// What the plot shows.
const PLOT_SHOWS: &str = "travel over turns, predicted against measured, and below it what is measured less \
                          what is predicted";
/// Its size on paper, in mm: as wide as the text of A4 and Letter leaves room for.
const PLOT_PAPER: [f64; 2] = [176.0, 143.6];

/// Facts, each with a name.
fn named_facts(trial: &Trial) -> Vec<(Text, Text)> {
    let mut last = "";
    let facts = facts(trial).into_iter();
    let named = facts.map(|(name, value)| {
        last = if name.is_empty() { last } else { name };
        (Text::plain(last), Text::coded(&value))
    });
    named.collect()
}

fn sections(trial: &Trial) -> Vec<Section> {
    let list =
        |lines: Vec<String>| Block::List(lines.iter().map(|line| Text::coded(line)).collect());
    let next = Text::strong("Next:").then(Text::mark(" "));
    let next = next.then(Text::coded(&trial.next.sentence));
    let rows = table(trial).into_iter().skip(1);
    let cells = |line: Line| {
        let [turns, way, reading, travel, rest, note] = line.0.map(|words| Text::plain(&words));
        let figures = [reading, travel, rest].map(Cell::Number);
        let mut cells = vec![Cell::Number(turns), Cell::Text(way)];
        cells.extend(figures);
        cells.push(Cell::Text(note));
        cells
    };
    let off = format!("off the fit, {}", trial.measured.unit.word());
    let titles = ["turns", "way", "reading", "travel", off.as_str(), "note"];
    let rows = Table {
        caption: Text::plain("Rows as they were read"),
        columns: titles.map(Text::plain).into(),
        rows: rows.map(cells).collect(),
        named: 0,
        stands: false,
    };
    let basis = "Intervals are for 95 % confidence. Travel counts from the carriage's place at turn 0 with the \
                 play taken up. The prediction is that of the kit's threads and the printer's profile.";
    vec![
        Section::new(
            "what-they-say",
            "What the rows say",
            vec![list(remarks(trial)), Block::Paragraph(next)],
        ),
        Section::new(
            "behind",
            "What could be behind the rows, in chances of 100",
            vec![list(explanations(trial))],
        ),
        Section::new(
            "rows",
            "Rows",
            vec![Block::Table(rows), Block::Paragraph(Text::plain(basis))],
        ),
    ]
}
