//! Pairs of threads that give a wish, for people.

use super::pairs_typed::command;
use crate::kit::{LayoutKind, word};
use crate::output::words::{COLUMNS, density, folded};
use crate::pairs::{
    Against, Bound, EXACT, Figures, Found, GivenUp, NearMiss, Row, ToBuy, Verdict, Wish,
    designations, layout_of,
};
use crate::units::Length;
use crate::units_told::{CALIPER_OF_INCHES, number, rounded};

/// What a page tells.
#[derive(Debug)]
pub(crate) struct Page<'a> {
    /// What was wished.
    pub wish: &'a Wish,
    /// What was found.
    pub found: &'a Found,
    /// Screws to buy whose own lead is the wish.
    pub to_buy: &'a [ToBuy],
    /// Where nothing was found, bounds that may be given up; else what takes less room.
    pub given_up: &'a [GivenUp],
    /// Torque of a hand at the stops, as the kit of the wish has it.
    pub hand_torque: Option<&'a str>,
    /// What holds where a command says nothing.
    pub unsaid: &'a Wish,
    /// File to which a pair is to be written.
    pub file: &'a str,
}

/// Near misses that are told beside pairs, at the most. Guess: enough to see the pattern.
const NEAR_MISSES: usize = 5;
/// Columns of a pair's number.
const NUMBER: usize = 2;
/// Between columns.
const GUTTER: &str = " ";
/// In front of what belongs to a row.
const INDENT: &str = "    ";

/// The page.
pub(crate) fn page(page: &Page<'_>) -> String {
    let mut text = folded("", "", &asked(page.wish));
    text += &bought(page);
    if page.found.rows.is_empty() {
        text += &nothing(page);
    } else {
        text += &table(page);
        text += &smaller(page);
        text += &legend(page);
    }
    text + &near(page)
}

/// What was asked, in a sentence.
fn asked(wish: &Wish) -> String {
    let told = |length: Length, decimals| wish.told().length(length, decimals);
    let ticks = wish.ticks.map(|ticks| {
        let tick = wish.net_lead / f64::from(ticks);
        format!(" ({} a tick, {ticks} ticks)", told(tick, 4))
    });
    let load = wish
        .load
        .map(|load| format!(", against {}", wish.told().force(load)));
    format!(
        "{} {}{} a turn, within {} %, over {}{}: {} turns.",
        match wish.layouts.contains(&LayoutKind::Opposed) {
            true => "Two carriages, each of which moves",
            false => "A carriage that moves",
        },
        told(wish.net_lead, 4),
        ticks.unwrap_or_default(),
        number(wish.tolerance * 100.0, 2),
        told(wish.stroke, 2),
        load.unwrap_or_default(),
        number(wish.stroke / wish.net_lead, 1)
    )
}

/// Screws to buy instead.
fn bought(page: &Page<'_>) -> String {
    let mut each = page
        .to_buy
        .iter()
        .map(|screw| format!("{} ({})", screw.designation, screw.standard));
    let Some(first) = each.next() else {
        return String::new();
    };
    let more: Vec<String> = each.collect();
    let or = match more.is_empty() {
        true => String::new(),
        false => format!(", or {}", more.join(", ")),
    };
    let text = format!(
        "Look first at a screw to buy with a nut of its own: {first}{or} moves just that in a turn, with \
         less friction than two printed threads. Print a pair if it has to be stout, or has to hold \
         what it moves."
    );
    format!("\n{}", folded("", "", &text))
}

/// A column: its title, above it a word more, and what stands in it.
struct Column {
    titles: [&'static str; 2],
    cell: fn(&Wish, &Row) -> String,
}

const fn column(
    above: &'static str,
    title: &'static str,
    cell: fn(&Wish, &Row) -> String,
) -> Column {
    Column {
        titles: [above, title],
        cell,
    }
}

/// The columns behind the threads.
fn columns(wish: &Wish) -> Vec<Column> {
    let (room, torque) = match wish.inches {
        false => ("room, mm", "N mm"),
        true => ("room, in", "lbf in"),
    };
    let all = vec![
        column("", "a turn", |wish, row| length(wish, row.net_lead, 4)),
        column("", room, |wish, row| column_room(wish)(row.figures.size)),
        column("", "turns", |_, row| number(row.figures.turns, 1)),
        column("turns", "lost", |_, row| number(row.figures.lost_motion, 1)),
        column("torque", torque, |wish, row| {
            let told = |torque: crate::units::Torque| match wish.inches {
                false => rounded(torque.as_newton_metres() * NEWTON_MM_PER_NEWTON_METRE),
                true => rounded(torque.as_pound_inches()),
            };
            or_hyphen(row.figures.torque.map(told))
        }),
        column("times", "plain", |_, row| {
            or_hyphen(row.figures.times_plain.map(|times| number(times, 1)))
        }),
        column("wall,", "lines", |_, row| {
            or_hyphen(row.figures.wall.map(|wall| number(wall, 1)))
        }),
        column("", "g", |_, row| number(grams(&row.figures), 0)),
        column("", "h", |_, row| number(hours(&row.figures), 1)),
    ];
    // Without a load there is no torque to tell.
    let told = |column: &Column| wish.load.is_some() || column.titles[1] != torque;
    all.into_iter().filter(told).collect()
}

/// N mm in a N m.
const NEWTON_MM_PER_NEWTON_METRE: f64 = 1000.0;

/// Filament that all parts take, in grams.
pub(super) fn grams(figures: &Figures) -> f64 {
    figures.print.plastic_mm3 / CUBIC_MM_PER_CUBIC_CM * density(figures.material)
}

/// Hours that printing all parts takes, as expected.
pub(super) fn hours(figures: &Figures) -> f64 {
    figures.print.time.0 / MINUTES_PER_HOUR
}

/// Cubic millimetres in a cubic centimetre.
const CUBIC_MM_PER_CUBIC_CM: f64 = 1000.0;
/// Minutes in an hour.
const MINUTES_PER_HOUR: f64 = 60.0;

fn or_hyphen(text: Option<String>) -> String {
    text.unwrap_or_else(|| "-".into())
}

/// A length in the units of the wish, without its unit.
fn length(wish: &Wish, length: Length, decimals: usize) -> String {
    match wish.inches {
        false => number(length.as_mm(), decimals),
        true => number(length.as_inches(), CALIPER_OF_INCHES),
    }
}

/// The pairs, the best first, with what each warns of below it.
fn table(page: &Page<'_>) -> String {
    let Page { wish, found, .. } = page;
    let columns = columns(wish);
    let threads: Vec<String> = found.rows.iter().map(|row| called(wish, row)).collect();
    let cells: Vec<Vec<String>> = found
        .rows
        .iter()
        .map(|row| {
            columns
                .iter()
                .map(|column| (column.cell)(wish, row))
                .collect()
        })
        .collect();
    let widest = |texts: &mut dyn Iterator<Item = usize>| texts.max().unwrap_or_default();
    let first = widest(&mut threads.iter().map(|text| text.chars().count())).max("threads".len());
    let widths: Vec<usize> = columns
        .iter()
        .enumerate()
        .map(|(place, column)| {
            let cells = cells.iter().map(|row| row[place].chars().count());
            let titles = column.titles.iter().map(|title| title.chars().count());
            widest(&mut cells.chain(titles))
        })
        .collect();
    // Long designations stand on a line of their own.
    let all: usize = widths.iter().map(|width| width + GUTTER.len()).sum();
    let own_line = NUMBER + GUTTER.len() + first + all > COLUMNS;
    let line = |number: &str, threads: &str, cells: &mut dyn Iterator<Item = String>| {
        let each = cells
            .zip(&widths)
            .map(|(cell, width)| format!("{GUTTER}{cell:>width$}"));
        let each: String = each.collect();
        let line = match own_line {
            true if number.is_empty() => format!("{INDENT}{each}"),
            true => format!("{number:>NUMBER$}{GUTTER}{threads}\n{INDENT}{each}"),
            false => format!("{number:>NUMBER$}{GUTTER}{threads:<first$}{each}"),
        };
        format!("{}\n", line.trim_end())
    };
    let common = common_notes(&found.rows);
    let mut text = "\n".to_owned();
    for (level, threads) in [(0, ""), (1, "threads")] {
        let mut titles = columns.iter().map(|column| column.titles[level].to_owned());
        text += &line("", threads, &mut titles);
    }
    for (place, ((row, threads), cells)) in found.rows.iter().zip(&threads).zip(cells).enumerate() {
        text += &line(&(place + 1).to_string(), threads, &mut cells.into_iter());
        text += &reservations(&row.verdict, &common);
    }
    text
}

/// The threads of a row, with its layout where several are wished.
fn called(wish: &Wish, row: &Row) -> String {
    let threads = designations(&row.mechanism).join(" / ");
    match wish.layouts.len() {
        0 | 1 => threads,
        _ => format!("{} {threads}", word(layout_of(&row.mechanism))),
    }
}

/// Notes that every pair has.
fn common_notes(rows: &[Row]) -> Vec<&'static str> {
    let mut each = rows.iter().map(|row| notes(&row.verdict));
    let first = each.next().unwrap_or_default().to_vec();
    let rest: Vec<&[&str]> = each.collect();
    let in_all = |note: &&str| rest.iter().all(|notes| notes.contains(note));
    first.into_iter().filter(in_all).collect()
}

fn notes(verdict: &Verdict) -> &[&'static str] {
    match verdict {
        Verdict::Buildable { notes, .. } => notes,
        Verdict::Fails(_) => &[],
    }
}

/// What rules warn of, and note of this one alone, below a row; nothing of one that passes them all.
fn reservations(verdict: &Verdict, common: &[&'static str]) -> String {
    let warnings: &[&str] = match verdict {
        Verdict::Buildable { warnings, .. } => warnings,
        Verdict::Fails(_) => &[],
    };
    let own: Vec<&str> = notes(verdict)
        .iter()
        .copied()
        .filter(|note| !common.contains(note))
        .collect();
    let said = [("warns", warnings), ("notes", &own)];
    let said = said.into_iter().filter(|(_, rules)| !rules.is_empty());
    let said: Vec<String> = said
        .map(|(what, rules)| format!("{what}: {}", rules.join(", ")))
        .collect();
    match said.is_empty() {
        true => String::new(),
        false => folded(INDENT, INDENT, &said.join("; ")),
    }
}

/// What the columns are, what was judged, and what to type next.
fn legend(page: &Page<'_>) -> String {
    let Page { wish, found, .. } = page;
    let some = match found.buildable == found.rows.len() {
        true => "All are shown".to_owned(),
        false => format!("The first {} are shown", found.rows.len()),
    };
    let exact = match found
        .rows
        .iter()
        .all(|row| wish.off_by(row.net_lead) <= EXACT)
    {
        true => "",
        false => " Those that meet the travel exactly stand first.",
    };
    let judged = format!(
        "{} of {} pairs that give the travel can be built, as far as is known before anything is drawn. \
         {some}, the best first: fewest warnings, least room, threads that everybody has.{exact}",
        found.buildable, found.tried
    );
    let noted = common_notes(&found.rows);
    let noted = match noted.is_empty() {
        true => String::new(),
        false => folded(
            "",
            "",
            &format!(
                "All of these note: {} (`netlead rules {}` says what that is).",
                noted.join(", "),
                noted.first().copied().unwrap_or_default()
            ),
        ),
    };
    let lost = "turns lost: what the head turns back before the carriage follows. times plain: the \
                force for one effort, over that of the plain screw. wall: between the two threads, in \
                printed lines. g and h: filament and printing, estimated.";
    let hand = page.hand_torque.map_or_else(String::new, |torque| {
        let words = format!(
            "Each is turned by {torque} at the stops; `--with hand_torque=...` says another hand."
        );
        folded("", "", &words)
    });
    let next = format!(
        "To write one as a kit: {} --pick 1 --write {}",
        command(wish, page.unsaid),
        page.file
    );
    format!(
        "\n{}{noted}{hand}{}{}",
        folded("", "", &judged),
        folded("", "", lost),
        folded("", "  ", &next)
    )
}

/// Pairs that give the travel and cannot be built, each with its first reason.
fn near(page: &Page<'_>) -> String {
    let near = &page.found.near;
    if near.is_empty() {
        return String::new();
    }
    let told = near.iter().take(NEAR_MISSES).map(|miss| {
        let threads = designations(&miss.mechanism).join(" / ");
        folded("  ", INDENT, &format!("{threads}: {}", reason(miss)))
    });
    let heading = match page.found.rows.is_empty() {
        true => "What stands against them, each with the pair that comes nearest:\n",
        false => "What stands against the others, each with the pair that comes nearest:\n",
    };
    format!("\n{heading}{}", told.collect::<String>())
}

fn reason(miss: &NearMiss) -> String {
    let what = match miss.reason.against {
        Against::Rule(rule) => rule,
        Against::Size => "cannot be sized",
        Against::Room => "room",
    };
    let more = match miss.alike - 1 {
        0 => String::new(),
        1 => "; one more pair".into(),
        more => format!("; {more} more pairs"),
    };
    format!("{} ({what}{more})", miss.reason.message)
}

/// That nothing can be built, and which bound may be given up.
fn nothing(page: &Page<'_>) -> String {
    let Page {
        found, given_up, ..
    } = page;
    let why = match found.tried {
        0 => "No two threads of these series give that travel.".to_owned(),
        1 => "One pair gives that travel, and it cannot be built.".to_owned(),
        tried => format!("{tried} pairs give that travel, and none can be built."),
    };
    let mut text = format!("\n{}", folded("", "", &why));
    if given_up.is_empty() {
        let words = "Nothing helps that was tried, one bound at a time and several at once: another use, or \
                     another printer, is what is left.";
        return text + &folded("", "", words);
    }
    text += "Give up one of these; each was tried, and what is typed below it finds pairs:\n";
    for given in *given_up {
        text += &told(page, given);
    }
    text
}

/// A bound that may be given up: what comes of that, and what to type.
fn told(page: &Page<'_>, given: &GivenUp) -> String {
    let threads = designations(&given.row.mechanism).join(" / ");
    let turns = number(given.row.figures.turns, 1);
    let room = column_room(page.wish)(given.row.figures.size);
    let what = to_give_up(page.wish, &given.bound);
    let typed = command(&given.bound.given_up(page.wish), page.unsaid);
    let what = format!("{what}: {threads}, {turns} turns, {room}");
    folded("  ", INDENT, &what) + &folded(INDENT, "      ", &typed)
}

/// What would take less room.
fn smaller(page: &Page<'_>) -> String {
    let Page { given_up, .. } = page;
    let told: String = given_up.iter().map(|given| told(page, given)).collect();
    match told.is_empty() {
        true => told,
        false => {
            format!("\nSmaller ones can be built with one of these, each tried by itself:\n{told}")
        }
    }
}

/// How sides are told in the units of a wish.
fn column_room(wish: &Wish) -> impl Fn([Length; 3]) -> String {
    let inches = wish.inches;
    move |sides| {
        let side = |side: Length| match inches {
            false => number(side.as_mm(), 0),
            true => number(side.as_inches(), 1),
        };
        sides.map(side).join("x")
    }
}

/// A bound that is given up.
fn to_give_up(wish: &Wish, bound: &Bound) -> String {
    let told = |length: Length, decimals| wish.told().length(length, decimals);
    let off = |lead: Length| number(wish.off_by(lead) * 100.0, 1);
    match *bound {
        Bound::NetLead(lead) => format!("{} a turn, {} % off", told(lead, 4), off(lead)),
        Bound::Stroke(stroke) => format!("{} of stroke", told(stroke, 2)),
        Bound::Load(load) => format!("a load of {}", wish.told().force(load)),
        Bound::Room(sides) => {
            let sides = sides.map(|side| told(side.up_to(WHOLE), 0));
            format!("room of {}", sides.join(" by "))
        }
        Bound::Layer(layer) => format!("layers of {}", told(layer, 2)),
        Bound::HandTorque(torque) => {
            format!("another hand at the head, {}", wish.told().torque(torque))
        }
        Bound::Walls(walls) => format!("{walls} walls in every part"),
        Bound::Layout(layout) => match layout {
            LayoutKind::Single => "a plain screw with that lead".into(),
            LayoutKind::Nested | LayoutKind::Tandem | LayoutKind::Opposed => {
                format!("the {} layout", word(layout))
            }
        },
        Bound::Hands => "threads of opposite hands".into(),
        Bound::Starts(starts) => format!("threads of {starts} starts"),
        Bound::Series => "threads of all series, mixed".into(),
        Bound::FreePitches(_) => "pitches of no standard, which print as well".into(),
        Bound::Ticks(ticks) => format!("{ticks} ticks"),
        Bound::Several(lead, share) => format!(
            "several at once: {} a turn, {} of stroke{}",
            told(lead, 4),
            told(wish.stroke * share, 2),
            wish.load.map_or_else(String::new, |load| {
                format!(", a load of {}", wish.told().force(load * share))
            })
        ),
    }
}

/// Room is told in whole millimetres.
const WHOLE: Length = Length::mm(1.0);
