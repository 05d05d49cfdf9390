//! `pairs --net-lead L --stroke S`: the threads that move so much in a turn and can be built; one of
//! them as a kit.

use super::check::refused;
use super::new_file::{must_be_new, write_new};
use super::printer_file::Shelf;
use super::trouble::{Ending, Trouble, shown};
use super::{streams, wished};
use crate::check::Outcome;
use crate::diagnostic::Diagnostic;
use crate::kit::{LayoutKind, typed};
use crate::making::{Read, Refusal};
use crate::output::page::pairs_page::{self, Page};
use crate::output::page::{pairs_chart, pairs_data, pairs_plot, pairs_typed};
use crate::output::words::plain;
use crate::pairs::{self, Base, Hands, Row, Series, Wish, designations};
use crate::units::Length;
use std::path::{Path, PathBuf};

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Lengths are in mm, with --inch in inches, and any may carry its own unit (\"1/2 in\"). A pair is sized \
and judged by every rule that needs no mesh, for the printer that --with printer=NAME names, or else \
for the shipped guesses. Without --within, threads up to 40 mm are tried.

--layout takes nested, tandem, single and opposed, or several of them: nested,tandem. --series takes \
iso-coarse, iso-fine, unc and unf, iso and unified for two of them, and all. Where nothing can be \
built, the page says which bound to give up, and by how much.

Example:
  netlead pairs --tick 0.01 --ticks 50 --stroke 15 --with layer=0.12
  netlead pairs --net-lead 0.75 --stroke 10 --load 20 --within 50x50x180
  netlead pairs --per-inch 36 --stroke 3/8 --inch --pick 1 --write stop.toml")]
pub(super) struct Raw {
    /// Travel of the carriage in one turn of the head
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", required_unless_present_any = ["tick", "per_inch", "chart"])]
    net_lead: Option<String>,
    /// Instead: travel in one tick of a dial
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", conflicts_with_all = ["net_lead", "per_inch"])]
    tick: Option<String>,
    /// Ticks of the dial around the head; with --tick 50 if not said
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "N",
        allow_hyphen_values = true
    )]
    ticks: Option<String>,
    /// Instead: turns to an inch
    #[arg(
        long,
        value_name = "N",
        conflicts_with = "net_lead",
        hide_short_help = true
    )]
    per_inch: Option<f64>,
    /// Travel from end to end
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "LENGTH",
        required_unless_present = "chart"
    )]
    stroke: Option<String>,
    /// How far off the travel in a turn may be, in percent; 1 if not said
    #[arg(long, allow_hyphen_values = true, value_name = "PERCENT")]
    tolerance: Option<f64>,
    /// What it pushes or carries: 20, "5 lbf"
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    load: Option<String>,
    /// Room for all of it: 60x60x120
    #[arg(long, value_name = "SIDES")]
    within: Option<String>,
    /// Layouts that serve; nested if not said
    #[arg(long, value_name = "LAYOUTS", value_delimiter = ',')]
    layout: Vec<String>,
    /// Series of threads; iso, with --inch unified, if not said
    #[arg(
        long,
        value_name = "SERIES",
        value_delimiter = ',',
        hide_short_help = true
    )]
    series: Vec<String>,
    /// Let a metric thread go with one in inches
    #[arg(long, hide_short_help = true)]
    mixed: bool,
    /// Try threads of no standard too, their pitches in steps of this
    #[arg(long, value_name = "STEP", hide_short_help = true)]
    pitch_step: Option<String>,
    /// How the second thread winds: same, opposite or either; same if not said
    #[arg(long, value_name = "HANDS", hide_short_help = true)]
    hands: Option<String>,
    /// Starts that a thread may have at the most; 1 if not said
    #[arg(long, value_name = "N", hide_short_help = true)]
    starts: Option<u8>,
    /// Bare lengths are inches, and so is the kit
    #[arg(long, hide_short_help = true)]
    inch: bool,
    /// A key of the kit with its value, as often as wanted: layer=0.12
    #[arg(long, value_name = "KEY=VALUE")]
    with: Vec<String>,
    /// Pairs to show at the most; 10 if not said
    #[arg(long, value_name = "N", hide_short_help = true)]
    most: Option<usize>,
    /// Print CSV
    #[arg(long, conflicts_with = "json", hide_short_help = true)]
    csv: bool,
    /// Draw them, travel in a turn against room, to a new file; of --chart its grid
    #[arg(
        long,
        conflicts_with = "pick",
        value_name = "FILE",
        hide_short_help = true
    )]
    svg: Option<PathBuf>,
    /// Instead: what every two threads of a series move in a turn: iso-coarse, iso-fine, unc, unf
    #[arg(long, value_name = "SERIES", hide_short_help = true, conflicts_with_all = ["net_lead", "tick", "per_inch", "pick", "series", "csv"])]
    chart: Option<String>,
    /// Take the pair of this number
    #[arg(long, value_name = "N", requires = "write")]
    pick: Option<usize>,
    /// Write it as a kit to a new file
    #[arg(long, value_name = "FILE", requires = "pick")]
    write: Option<PathBuf>,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    wish: Wish,
    most: usize,
    csv: bool,
    svg: Option<PathBuf>,
    pick: Option<(usize, PathBuf)>,
    chart: Option<Series>,
}

/// Ticks of a dial that a finger turns by one. Common practice: 50 to 100; guess.
const TICKS: u32 = 50;
/// How far the travel in a turn may be off, in percent, if not said. Guess: a scale is read to that.
const TOLERANCE: f64 = 1.0;
/// The most that makes sense.
const WIDEST_TOLERANCE: f64 = 90.0;
/// Pairs that are shown if not said.
const MOST: usize = 10;

impl Request {
    /// Arguments whose words have a meaning.
    pub(super) fn resolve(raw: Raw) -> Result<Self, Trouble> {
        let name = raw.write.as_deref().map(wished::name_of).transpose()?;
        let name = name.unwrap_or_else(|| "wish".into());
        let wish = wish(&raw, name)?;
        Ok(Self {
            wish,
            most: match raw.most {
                Some(0) => {
                    return Err(
                        Trouble::new("no pairs at all are to be shown").mend("write --most 10")
                    );
                }
                most => most.unwrap_or(MOST),
            },
            csv: raw.csv,
            svg: raw.svg,
            chart: raw.chart.as_deref().map(charted).transpose()?,
            pick: raw.pick.zip(raw.write),
        })
    }
}

/// What was wished.
fn wish(raw: &Raw, name: String) -> Result<Wish, Trouble> {
    let of_inches = raw
        .chart
        .as_deref()
        .map(charted)
        .transpose()?
        .is_some_and(Series::in_inches);
    let inches = raw.inch || of_inches;
    let tolerance = raw.tolerance.unwrap_or(TOLERANCE);
    if !(0.0..=WIDEST_TOLERANCE).contains(&tolerance) {
        return Err(Trouble::new(format!(
            "--tolerance is {tolerance}, from 0 to {WIDEST_TOLERANCE}"
        ))
        .mend("write percent: --tolerance 2"));
    }
    let (net_lead, ticks) = travel(raw)?;
    let settings: Result<Vec<_>, _> = raw.with.iter().map(|text| wished::setting(text)).collect();
    let step = raw.pitch_step.as_deref();
    let step = step
        .map(|text| of(typed::net_lead("--pitch-step", text, inches)))
        .transpose()?;
    Ok(Wish {
        name,
        net_lead,
        tolerance: tolerance / 100.0,
        ticks,
        layouts: layouts(&raw.layout)?,
        stroke: of(typed::stroke(
            "--stroke",
            raw.stroke.as_deref().unwrap_or(CHART_STROKE),
            inches,
        ))?,
        load: raw
            .load
            .as_deref()
            .map(|text| of(typed::load("--load", text, inches)))
            .transpose()?
            .flatten(),
        within: raw
            .within
            .as_deref()
            .map(|text| within(text, inches))
            .transpose()?,
        series: series(&raw.series, inches)?,
        pitch_step: step.map(at_least).transpose()?,
        mixed: raw.mixed,
        hands: hands(raw.hands.as_deref())?,
        starts: starts(raw.starts)?,
        inches,
        settings: wished::by_fingers(settings?, inches),
    })
}

/// Travel in a turn, however it was said, and the ticks that a turn has.
fn travel(raw: &Raw) -> Result<(Length, Option<u32>), Trouble> {
    let inches = raw.inch;
    let ticks = raw.ticks.as_deref();
    let ticks = ticks
        .map(|text| of(typed::ticks("--ticks", text)))
        .transpose()?;
    if let Some(tick) = &raw.tick {
        let ticks = ticks.unwrap_or(TICKS);
        let tick = of(typed::net_lead("--tick", tick, inches))?;
        return Ok((tick * f64::from(ticks), Some(ticks)));
    }
    if let Some(per_inch) = raw.per_inch {
        if !(per_inch.is_finite() && (FEWEST_PER_INCH..=MOST_PER_INCH).contains(&per_inch)) {
            let trouble =
                format!("--per-inch is {per_inch}, from {FEWEST_PER_INCH} to {MOST_PER_INCH}");
            return Err(
                Trouble::new(trouble).mend("write the turns that move it an inch: --per-inch 40")
            );
        }
        return Ok((Length::inches(1.0 / per_inch), ticks));
    }
    // Of a chart no travel in a turn is asked.
    let text = raw.net_lead.as_deref().unwrap_or("1 mm");
    Ok((of(typed::net_lead("--net-lead", text, inches))?, ticks))
}

/// Stroke of a chart, where none is said. Guess: a fine adjustment.
const CHART_STROKE: &str = "10 mm";
/// Turns to an inch: what the net lead of a kit may be. Guess.
const FEWEST_PER_INCH: f64 = 0.5;
const MOST_PER_INCH: f64 = 20_000.0;
/// Steps of free pitches: finer ones are the same print, and their pairs are too many. Guess.
const FINEST_STEP: Length = Length::mm(0.05);

fn at_least(step: Length) -> Result<Length, Trouble> {
    match step >= FINEST_STEP {
        true => Ok(step),
        false => Err(Trouble::new(format!(
            "--pitch-step is {} mm, at least 0.05 mm",
            step.as_mm()
        ))
        .mend("write --pitch-step 0.1")),
    }
}

/// A value of an option, or its trouble.
pub(super) fn of<T>(value: Result<T, Diagnostic>) -> Result<T, Trouble> {
    value.map_err(|problem| {
        let trouble = Trouble::new(problem.message);
        match problem.mend {
            Some(mend) => trouble.mend(mend),
            None => trouble,
        }
    })
}

/// Three sides, `60x60x120`.
fn within(text: &str, inches: bool) -> Result<[Length; 3], Trouble> {
    let bad = || {
        Trouble::new(format!("`{}` is no room of three sides", plain(text)))
            .mend("write them with an x between, as 60x60x120 or 2.5inx2.5inx5in")
    };
    let sides: Vec<&str> = text.split(['x', 'X', '\u{d7}']).map(str::trim).collect();
    let [a, b, c] = <[&str; 3]>::try_from(sides).map_err(|_| bad())?;
    // The last side's unit counts for those that have none.
    let unit: String = c
        .chars()
        .skip_while(|letter| letter.is_ascii_digit() || *letter == '.')
        .collect();
    let side = |text: &str| {
        let bare = text.parse::<f64>().is_ok();
        let text = if bare {
            format!("{text}{unit}")
        } else {
            text.to_owned()
        };
        of(typed::side("--within", &text, inches))
    };
    Ok([side(a)?, side(b)?, side(c)?])
}

fn layouts(words: &[String]) -> Result<Vec<LayoutKind>, Trouble> {
    if words.is_empty() {
        return Ok(vec![LayoutKind::Nested]);
    }
    let each: Result<Vec<LayoutKind>, Trouble> = words
        .iter()
        .map(|word| {
            one_of(
                "layout",
                word.trim(),
                &[
                    ("nested", LayoutKind::Nested),
                    ("tandem", LayoutKind::Tandem),
                    ("single", LayoutKind::Single),
                    ("opposed", LayoutKind::Opposed),
                ],
            )
        })
        .collect();
    let mut known = Vec::new();
    for layout in each? {
        if !known.contains(&layout) {
            known.push(layout);
        }
    }
    Ok(known)
}

fn series(words: &[String], inches: bool) -> Result<Vec<Series>, Trouble> {
    use Series::{IsoCoarse, IsoFine, Unc, Unf};
    const ISO: &[Series] = &[IsoCoarse, IsoFine];
    const UNIFIED: &[Series] = &[Unc, Unf];
    if words.is_empty() {
        return Ok(if inches { UNIFIED } else { ISO }.to_vec());
    }
    let mut all: Vec<Series> = Vec::new();
    for word in words {
        all.extend(one_of(
            "series",
            word.trim(),
            &[
                ("iso-coarse", &[IsoCoarse][..]),
                ("iso-fine", &[IsoFine][..]),
                ("unc", &[Unc][..]),
                ("unf", &[Unf][..]),
                ("iso", ISO),
                ("unified", UNIFIED),
                ("all", &Series::ALL[..]),
            ],
        )?);
    }
    all.sort();
    all.dedup();
    Ok(all)
}

/// The series of a chart.
fn charted(word: &str) -> Result<Series, Trouble> {
    one_of(
        "chart",
        word,
        &[
            ("iso-coarse", Series::IsoCoarse),
            ("iso-fine", Series::IsoFine),
            ("unc", Series::Unc),
            ("unf", Series::Unf),
        ],
    )
}

fn hands(word: Option<&str>) -> Result<Hands, Trouble> {
    let Some(word) = word else {
        return Ok(Hands::Same);
    };
    one_of(
        "hands",
        word,
        &[
            ("same", Hands::Same),
            ("opposite", Hands::Opposite),
            ("either", Hands::Either),
        ],
    )
}

fn starts(starts: Option<u8>) -> Result<u8, Trouble> {
    let most = crate::thread::MAX_STARTS;
    match starts.unwrap_or(1) {
        starts if (1..=most).contains(&starts) => Ok(starts),
        starts => Err(
            Trouble::new(format!("--starts is {starts}, from 1 to {most}"))
                .mend("write --starts 2"),
        ),
    }
}

/// The value of a word that an option takes.
fn one_of<T: Clone>(option: &str, word: &str, known: &[(&str, T)]) -> Result<T, Trouble> {
    let found = known.iter().find(|(name, _)| *name == word);
    found.map(|(_, value)| value.clone()).ok_or_else(|| {
        let names: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
        Trouble::new(format!("--{option} does not know `{}`", plain(word)))
            .mend(format!("write one of {}", names.join(", ")))
    })
}

/// Finds the pairs, prints them, and writes what is to be written.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let wish = &request.wish;
    let files = request.pick.iter().map(|(_, file)| file);
    for file in files.chain(&request.svg) {
        must_be_new(file)?;
    }
    let shelf = Shelf::of(
        request
            .pick
            .as_ref()
            .map_or(Path::new(""), |(_, file)| file),
    );
    let bases = match wished::bases(wish, &shelf) {
        Ok(bases) => bases,
        Err(refusal) => return refused(&refusal),
    };
    if let Some(series) = request.chart {
        return chart(request, &bases, series, json);
    }
    let most = request
        .pick
        .as_ref()
        .map_or(request.most, |(pick, _)| request.most.max(*pick));
    let found = pairs::search(wish, &bases, most);
    if let Some((pick, file)) = &request.pick {
        return write(request, &found.rows, *pick, file, &shelf, json);
    }
    let base = |wish: &Wish, layout| wished::base(wish, layout, &shelf).ok();
    let given_up = match found.rows.first() {
        None => pairs::what_to_give_up(wish, &bases, &base),
        Some(best) => pairs::smaller_with(wish, &bases, best, &base),
    };
    let page = Page {
        wish,
        found: &found,
        to_buy: &pairs::to_buy(wish.net_lead, wish.inches),
        given_up: &given_up,
        hand_torque: wished::hand_torque(&wish.settings),
        unsaid: &wished::unsaid(wish.inches),
        file: "my-stage.toml",
    };
    if json {
        let data = pairs_data::json(&page).map_err(|error| Trouble::new(error.to_string()))?;
        streams::json(&data)?;
    } else if request.csv {
        let rows = pairs_data::csv(&page).map_err(|error| Trouble::new(error.to_string()))?;
        streams::data(&rows)?;
    } else {
        streams::page(&pairs_page::page(&page))?;
    }
    if let Some(file) = &request.svg {
        let picture = pairs_plot::svg(&page).ok_or_else(|| {
            Trouble::new("there is nothing to draw: no pair could be sized")
                .mend("widen the wish, as the page says")
        })?;
        write_new(file, &picture)?;
    }
    Ok(match found.rows.is_empty() {
        true => Ending::Rejected,
        false => Ending::Done,
    })
}

/// Whether a layout has two threads of one hand.
fn layout_has_two(layout: LayoutKind) -> bool {
    match layout {
        LayoutKind::Nested | LayoutKind::Tandem => true,
        LayoutKind::Single | LayoutKind::Opposed => false,
    }
}

/// Prints what every two threads of a series give.
fn chart(request: &Request, bases: &[Base], series: Series, json: bool) -> Result<Ending, Trouble> {
    let base = match bases {
        [base] if layout_has_two(base.layout) => base,
        _ => {
            return Err(
                Trouble::new("a chart is of one layout with two threads of one hand")
                    .mend("write --layout nested or --layout tandem"),
            );
        }
    };
    let wish = &request.wish;
    let chart = pairs::chart(wish, base, series);
    match json {
        true => {
            let data =
                pairs_chart::json(&chart).map_err(|error| Trouble::new(error.to_string()))?;
            streams::json(&data)?;
        }
        false => streams::page(&pairs_chart::text(wish, &chart))?,
    }
    if let Some(file) = &request.svg {
        write_new(file, &pairs_chart::svg(wish, &chart))?;
    }
    Ok(Ending::Done)
}

/// Writes the pair that was picked as a kit, and says how it comes out when it is drawn.
fn write(
    request: &Request,
    rows: &[Row],
    pick: usize,
    file: &Path,
    shelf: &Shelf,
    json: bool,
) -> Result<Ending, Trouble> {
    let row = pick
        .checked_sub(1)
        .and_then(|place| rows.get(place))
        .ok_or_else(|| {
            let typed = pairs_typed::command(&request.wish, &wished::unsaid(request.wish.inches));
            Trouble::new(format!(
                "there is no pair of number {pick}, of {} that can be built",
                rows.len()
            ))
            .mend(format!("see the numbers by `{typed}`"))
        })?;
    let text = wished::text(&request.wish, &row.mechanism)?;
    let read = match wished::read(&request.wish, &row.mechanism, shelf) {
        Ok(read) => read,
        Err(refusal) => return refused(&refusal),
    };
    let comes_out = match comes_out(&read) {
        Ok(comes_out) => comes_out,
        Err(refusal) => return refused(&refusal),
    };
    write_new(file, &text)?;
    let (name, threads) = (shown(file), designations(&row.mechanism).join(" / "));
    if json {
        let told =
            serde_json::json!({ "file": name, "threads": threads, "failing": comes_out.failing });
        streams::json(&format!("{told}\n"))?;
    } else {
        let verdict = comes_out.words();
        streams::page(&format!(
            "wrote {name}, with {threads}: {verdict}\nedit it, then: netlead check {name}\n"
        ))?;
    }
    Ok(Ending::Done)
}

/// How a kit comes out by every rule, its meshes drawn.
pub(super) struct ComesOut {
    /// Names of the rules that fail.
    pub(super) failing: Vec<&'static str>,
    /// Names of those that warn.
    warning: Vec<&'static str>,
}

impl ComesOut {
    fn words(&self) -> String {
        match (self.failing.as_slice(), self.warning.as_slice()) {
            ([], []) => "passes every check, drawn".into(),
            ([], warning) => format!("passes every check, drawn; {} warn", warning.join(", ")),
            (failing, _) => format!(
                "but {} fail once it is drawn; `netlead check` says what to do, or pick another",
                failing.join(", ")
            ),
        }
    }
}

/// Draws a kit and judges it by every rule.
pub(super) fn comes_out(read: &Read) -> Result<ComesOut, Refusal> {
    let product = read.work(&|_| {})?;
    let of = |outcome: Outcome| {
        let mut ids: Vec<&'static str> = product
            .findings
            .iter()
            .filter(|finding| finding.outcome == outcome)
            .map(|finding| finding.id)
            .collect();
        ids.dedup();
        ids
    };
    Ok(ComesOut {
        failing: of(Outcome::Fail),
        warning: of(Outcome::Warn),
    })
}
