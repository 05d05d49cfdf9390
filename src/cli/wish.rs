//! `wish [FILE]`: from five answers to a kit that passes its checks, and a printer's profile to tune.

use super::asked::{Question, ask, someone_is_there};
use super::check::refused;
use super::new_file::{must_be_new, write_new};
use super::pairs::comes_out;
use super::printer_file::Shelf;
use super::trouble::{Ending, Trouble, shown};
use super::uses::{USES, Use};
use super::{pairs as command, streams, wished};
use crate::kit::typed;
use crate::output::page::pairs_data;
use crate::output::page::pairs_page::{self, Page};
use crate::output::words::{folded, plain};
use crate::pairs::{self, Found, Row, Wish, designations};
use crate::printer::Profile;
use crate::units::Length;
use crate::units_told::number;
use std::path::{Path, PathBuf};

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
At a terminal, what is not said is asked, five questions at the most, each with an answer that holds if \
nothing is typed. Elsewhere those answers hold. Lengths are in mm, with --inch in inches, and any may \
carry its own unit. The best pair of threads whose kit passes every check, drawn, is taken; `netlead \
pairs` shows the others.

--use takes stage (moves finely), stop (set finely, on a foot), press (pins into small work), clamp (a \
jaw against a fixed one) and vise (two jaws that close on the middle). A travel of a tick is written \
with its ticks: --travel \"0.01 mm x 50\". A printer that was never measured gets a profile of guesses, \
marked as such.

Example:
  netlead wish my-stage.toml --use stage --travel 0.01x50 --stroke 15
  netlead wish vise.toml --use vise --printer garage --nozzle 0.4")]
pub(super) struct Raw {
    /// Kit file to write; if not said USE.toml in this folder
    file: Option<PathBuf>,
    /// What it is for: stage, stop, press, clamp, vise
    #[arg(long = "use", value_name = "USE")]
    purpose: Option<String>,
    /// Travel in one turn of the head, or in a tick with its ticks: "0.01 mm x 50"
    #[arg(long, value_name = "LENGTH")]
    travel: Option<String>,
    /// Travel from end to end
    #[arg(long, value_name = "LENGTH")]
    stroke: Option<String>,
    /// What it pushes or carries
    #[arg(long, value_name = "FORCE")]
    load: Option<String>,
    /// Name of the printer, as its profile is called
    #[arg(long, value_name = "NAME")]
    printer: Option<String>,
    /// Diameter of its nozzle; 0.4 mm if not said
    #[arg(long, value_name = "LENGTH")]
    nozzle: Option<String>,
    /// Bare lengths are inches, and so is the kit
    #[arg(long)]
    inch: bool,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    file: PathBuf,
    /// A wish for each layer height that is tried, the thickest first.
    wishes: Vec<Wish>,
    printer: Option<String>,
    /// What was not said, and was not asked either: options with what holds.
    unasked: Vec<String>,
}

/// Nozzle that nearly every desktop printer has (common practice).
const NOZZLE: &str = "0.4 mm";
/// Width of a printed line over the diameter of its nozzle (common practice; as the kit's `line` has it).
const LINE_OF_NOZZLE: f64 = 1.125;
/// Layer heights over the diameter of the nozzle that are tried, the thickest first (common practice: a
/// quarter to three quarters; finer threads want thin ones).
const LAYERS_OF_NOZZLE: [f64; 3] = [0.375, 0.3, 0.25];
/// Nozzles that there are (common practice).
const NOZZLES: [Length; 2] = [Length::mm(0.2), Length::mm(1.2)];
/// Pairs that are drawn before another layer height is tried. Guess.
const DRAWN: usize = 6;

impl Request {
    /// What was said, and what is asked for the rest.
    pub(super) fn resolve(raw: Raw) -> Result<Self, Trouble> {
        // What cannot be written is told before anything is asked.
        raw.file.as_deref().map(may_be_written).transpose()?;
        let asked = someone_is_there() && !raw.says_all();
        let purpose = purpose(&raw, asked)?;
        let file = raw.file.clone();
        let file = file.unwrap_or_else(|| format!("{}.toml", purpose.word).into());
        may_be_written(&file)?;
        let inches = raw.inch;
        let [travelled, from_end_to_end, pushed] = purpose.offered[usize::from(inches)];
        let travel = answer(raw.travel.as_deref(), asked, &TRAVEL, travelled, |text| {
            travel(text, inches)
        })?;
        let stroke = answer(
            raw.stroke.as_deref(),
            asked,
            &STROKE,
            from_end_to_end,
            |text| command::of(typed::stroke("--stroke", text, inches)),
        )?;
        let load = answer(raw.load.as_deref(), asked, &LOAD, pushed, |text| {
            command::of(typed::load("--load", text, inches))
        })?;
        let (printer, nozzle) = printer(&raw, asked)?;
        let (net_lead, ticks) = travel;
        let wish = Wish {
            name: wished::name_of(&file)?,
            net_lead,
            ticks,
            layouts: purpose.layouts.to_vec(),
            stroke,
            load,
            settings: wished::by_fingers(settings(purpose), inches),
            ..wished::unsaid(inches)
        };
        let shelf = Shelf::of(&file);
        let known = printer.as_deref().is_some_and(|printer| shelf.has(printer));
        if known && raw.nozzle.is_some() {
            return Err(Trouble::new(format!(
                "there is a profile of {} already, which says its lines",
                printer.unwrap_or_default()
            ))
            .mend("leave --nozzle out, or give the printer another name for that nozzle"));
        }
        let unasked: Vec<String> = [
            ("travel", &raw.travel, travelled),
            ("stroke", &raw.stroke, from_end_to_end),
            ("load", &raw.load, pushed),
        ]
        .into_iter()
        .filter(|(_, said, _)| said.is_none() && !asked)
        .map(|(name, _, value)| format!("--{name} \"{value}\""))
        .collect();
        Ok(Self {
            wishes: wishes(&wish, printer.as_deref(), nozzle, &shelf),
            file,
            printer,
            unasked,
        })
    }
}

/// Refuses a file that cannot be written, before anything is done for it.
fn may_be_written(file: &Path) -> Result<(), Trouble> {
    must_be_new(file)?;
    wished::name_of(file)?;
    let folder = file
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    match folder {
        Some(folder) if !folder.is_dir() => Err(Trouble::new(format!(
            "there is no folder {}",
            shown(folder)
        ))
        .mend("make it first, or name a file elsewhere")),
        _ => Ok(()),
    }
}

impl Raw {
    fn says_all(&self) -> bool {
        let said = [&self.purpose, &self.travel, &self.stroke, &self.load];
        said.iter().all(|said| said.is_some()) && (self.printer.is_some() || self.nozzle.is_some())
    }
}

/// What is asked, and what the answer changes.
type Asks = [&'static str; 2];

const TRAVEL: Asks = [
    "How far in one turn of the head? Or in a tick of a dial, as 0.01 mm x 50",
    "which threads; a tick puts a dial around the head",
];
const STROKE: Asks = [
    "How far in all, from end to end?",
    "how long everything gets",
];
const LOAD: Asks = [
    "What does it push or carry? 0 for nothing to speak of",
    "what must bear it, and the torque at the head",
];

/// The value that was said, or that is answered, or that holds.
fn answer<T>(
    said: Option<&str>,
    asked: bool,
    [asks, changes]: &Asks,
    default: &str,
    understood: impl Fn(&str) -> Result<T, Trouble>,
) -> Result<T, Trouble> {
    match said {
        Some(said) => understood(said),
        None if asked => ask(
            &Question {
                asks,
                changes,
                default,
            },
            understood,
        ),
        None => understood(default),
    }
}

/// What it is for.
fn purpose(raw: &Raw, asked: bool) -> Result<&'static Use, Trouble> {
    let words: Vec<String> = USES
        .iter()
        .map(|known| format!("{:<6} {}", known.word, known.about))
        .collect();
    let asks = format!("What is it for?\n  {}", words.join("\n  "));
    let known = |word: &str| {
        let word = word.to_lowercase();
        let found = USES.iter().find(|known| known.word == word);
        found.ok_or_else(|| {
            let words: Vec<&str> = USES.iter().map(|known| known.word).collect();
            Trouble::new(format!("no use is called `{}`", plain(&word)))
                .mend(format!("write one of {}", words.join(", ")))
        })
    };
    let first = USES.first().map_or("", |first| first.word);
    match &raw.purpose {
        Some(word) => known(word),
        None if asked => ask(
            &Question {
                asks: &asks,
                changes: "layout, working end, mount, and what the other questions offer",
                default: first,
            },
            known,
        ),
        None => known(first),
    }
}

/// Travel in a turn, or a tick with its ticks.
fn travel(text: &str, inches: bool) -> Result<(Length, Option<u32>), Trouble> {
    let Some((tick, ticks)) = text.rsplit_once(['x', 'X', '\u{d7}']) else {
        return Ok((
            command::of(typed::net_lead("--travel", text, inches))?,
            None,
        ));
    };
    let ticks = command::of(typed::ticks("the ticks in --travel", ticks)).map_err(|trouble| {
        trouble.mend("write the travel of a tick and the ticks of a turn: 0.01 mm x 50")
    })?;
    let tick = command::of(typed::net_lead("--travel", tick, inches))?;
    Ok((tick * f64::from(ticks), Some(ticks)))
}

/// The printer's name, if it has one, and its nozzle.
fn printer(raw: &Raw, asked: bool) -> Result<(Option<String>, Length), Trouble> {
    let nozzle = |text: &str| {
        let nozzle = command::of(typed::net_lead("--nozzle", text, false))?;
        let [least, most] = NOZZLES;
        match (least..=most).contains(&nozzle) {
            true => Ok(nozzle),
            false => Err(Trouble::new(format!(
                "the nozzle is {} mm, from {} to {} mm",
                number(nozzle.as_mm(), 3),
                least.as_mm(),
                most.as_mm()
            ))
            .mend("write its diameter: 0.4 mm")),
        }
    };
    let name = |text: &str| {
        let fits = !text.is_empty()
            && text
                .chars()
                .all(|letter| letter.is_ascii_alphanumeric() || "-_".contains(letter));
        match fits {
            true => Ok(text.to_owned()),
            false => Err(Trouble::new(format!(
                "`{}` cannot name the file of a profile",
                plain(text)
            ))
            .mend("write letters, digits and hyphens: garage")),
        }
    };
    if !asked || raw.printer.is_some() || raw.nozzle.is_some() {
        let printer = raw.printer.as_deref().map(name).transpose()?;
        return Ok((printer, nozzle(raw.nozzle.as_deref().unwrap_or(NOZZLE))?));
    }
    let question = Question {
        asks: "Which printer? A name for it, its nozzle, or both: garage 0.4",
        changes: "line width, layers, and under which name test pieces are learnt from",
        default: NOZZLE,
    };
    ask(&question, |text| {
        // What begins with a number is a nozzle.
        let words = text
            .split([' ', ','])
            .filter(|word| !word.is_empty() && *word != "mm");
        let is_nozzle = |word: &&str| word.trim_end_matches("mm").parse::<f64>().is_ok();
        let (sizes, names): (Vec<&str>, Vec<&str>) = words.partition(is_nozzle);
        let printer = match names.as_slice() {
            [] => None,
            names => Some(name(&names.join("-"))?),
        };
        let rest = sizes.first().copied().unwrap_or(NOZZLE);
        Ok((printer, nozzle(rest)?))
    })
}

/// Keys of the kit that a use asks for.
fn settings(purpose: &Use) -> Vec<(String, String)> {
    let each = purpose.settings.iter();
    each.map(|(key, value)| ((*key).to_owned(), (*value).to_owned()))
        .collect()
}

/// The wish for each layer that a nozzle lays; with a printer that has a profile, that profile's alone.
fn wishes(wish: &Wish, printer: Option<&str>, nozzle: Length, shelf: &Shelf) -> Vec<Wish> {
    let with = |settings: Vec<(String, String)>| Wish {
        settings: wish.settings.iter().cloned().chain(settings).collect(),
        ..wish.clone()
    };
    if let Some(printer) = printer.filter(|printer| shelf.has(printer)) {
        return vec![with(vec![("printer".into(), printer.to_owned())])];
    }
    let mm = |length: Length| format!("{} mm", number(length.as_mm(), 3));
    LAYERS_OF_NOZZLE
        .iter()
        .map(|share| {
            let layer = (nozzle * *share).down_to(HUNDREDTH);
            with(vec![
                ("layer".into(), mm(layer)),
                (
                    "line".into(),
                    mm((nozzle * LINE_OF_NOZZLE).down_to(HUNDREDTH)),
                ),
            ])
        })
        .collect()
}

/// Layers and lines are set to this.
const HUNDREDTH: Length = Length::mm(0.01);

/// Finds a pair whose kit passes every check, and writes the kit.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let shelf = Shelf::of(&request.file);
    let mut tried: Option<(&Wish, Found)> = None;
    for wish in &request.wishes {
        let bases = match wished::bases(wish, &shelf) {
            Ok(bases) => bases,
            Err(refusal) => return refused(&refusal),
        };
        let found = pairs::search(wish, &bases, DRAWN);
        for row in &found.rows {
            let read = match wished::read(wish, &row.mechanism, &shelf) {
                Ok(read) => read,
                Err(refusal) => return refused(&refusal),
            };
            if comes_out(&read).is_ok_and(|comes_out| comes_out.failing.is_empty()) {
                let profile = (!shelf.has(request.printer.as_deref().unwrap_or_default()))
                    .then_some(&read.profile);
                return write(request, wish, row, profile, json);
            }
        }
        tried = Some((wish, found));
    }
    let Some((wish, found)) = tried else {
        return Err(Trouble::new("there was nothing to try"));
    };
    nothing(request, wish, &found, json)
}

/// Writes the kit, and the profile of a printer that has none.
fn write(
    request: &Request,
    wish: &Wish,
    row: &Row,
    profile: Option<&Profile>,
    json: bool,
) -> Result<Ending, Trouble> {
    let shelf = Shelf::of(&request.file);
    let new = request.printer.as_ref().zip(profile);
    // The profile has the layer and the line; the kit names it.
    let wish = match new {
        Some((printer, _)) => with_printer(wish, printer),
        None => wish.clone(),
    };
    let text = wished::text(&wish, &row.mechanism)?;
    let written = new
        .map(|(printer, profile)| {
            let path = shelf.beside_kit(printer);
            guessed(&path, printer, profile).map(|()| path)
        })
        .transpose()?;
    write_new(&request.file, &text)?;
    let file = shown(&request.file);
    let threads = designations(&row.mechanism).join(" / ");
    let profile = written.as_deref().map(shown);
    if json {
        let told = serde_json::json!({ "file": file, "threads": threads, "profile": profile });
        return streams::json(&format!("{told}\n")).map(|()| Ending::Done);
    }
    let mut page = folded(
        "",
        "",
        &format!(
            "wrote {file}: {}; it passes every check",
            what(&wish, row, &threads)
        ),
    );
    if let Some(profile) = profile {
        page += &folded(
            "",
            "",
            &format!("wrote {profile}: guesses, until test pieces are printed and read"),
        );
    }
    if !request.unasked.is_empty() {
        page += &folded(
            "",
            "",
            &format!("not said, so taken: {}", request.unasked.join(", ")),
        );
    }
    page += &format!("read and edit it, then: netlead make {file}\n");
    streams::page(&page).map(|()| Ending::Done)
}

/// What the kit is, in a line.
fn what(wish: &Wish, row: &Row, threads: &str) -> String {
    let told = |length: Length| wish.told().length(length, 4);
    format!(
        "{threads}, {} a turn over {}, {} turns",
        told(row.net_lead),
        told(wish.stroke),
        number(row.figures.turns, 1)
    )
}

/// The wish with a profile in place of what that profile says.
fn with_printer(wish: &Wish, printer: &str) -> Wish {
    let mut wish = wish.clone();
    wish.settings
        .retain(|(key, _)| key != "layer" && key != "line");
    wish.settings.push(("printer".into(), printer.to_owned()));
    wish
}

/// Writes a profile of guesses for a printer that was never measured.
fn guessed(path: &Path, printer: &str, profile: &Profile) -> Result<(), Trouble> {
    let mut profile = profile.clone();
    printer.clone_into(&mut profile.name);
    let text = profile.to_toml("netlead wish: guesses, nothing was measured yet");
    let text = text.map_err(|problems| {
        let told: Vec<&str> = problems
            .iter()
            .map(|problem| problem.message.as_str())
            .collect();
        Trouble::new(format!("no printer is like this: {}", told.join("; ")))
    })?;
    write_new(path, &text)
}

/// Tells that nothing can be built, and what to give up.
fn nothing(request: &Request, wish: &Wish, found: &Found, json: bool) -> Result<Ending, Trouble> {
    let (shelf, file) = (&Shelf::of(&request.file), shown(&request.file));
    let bases = match wished::bases(wish, shelf) {
        Ok(bases) => bases,
        Err(refusal) => return refused(&refusal),
    };
    let given_up = pairs::what_to_give_up(wish, &bases, &|wish, layout| {
        wished::base(wish, layout, shelf).ok()
    });
    let page = Page {
        wish,
        found,
        to_buy: &pairs::to_buy(wish.net_lead, wish.inches),
        given_up: &given_up,
        hand_torque: wished::hand_torque(&wish.settings),
        unsaid: &wished::unsaid(wish.inches),
        file: &file,
    };
    if json {
        let data = pairs_data::json(&page).map_err(|error| Trouble::new(error.to_string()))?;
        streams::json(&data)?;
    } else {
        streams::page(&pairs_page::page(&page))?;
    }
    Ok(Ending::Rejected)
}
