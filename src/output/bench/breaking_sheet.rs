//! The part of a sheet on pieces to be broken: how to stand, what to pull, what to write.

use crate::assembly::{Caution, Signal};
use crate::coupon::{ARM, Breaking, STICK};
use crate::output::document::{Block, Cell, Section, Table, Text};
use crate::units_told::{Told, number};

/// Newtons that a luggage scale shows as one kilogram (standard gravity).
const NEWTONS_PER_KILOGRAM: f64 = 9.806_65;

/// How to break the pieces of a set.
pub(super) fn breaking(set: &Breaking) -> Vec<Section> {
    vec![safety(), setting_up(set), pulling(set)]
}

fn paragraph(words: &str) -> Block {
    Block::Paragraph(Text::coded(words))
}

fn safety() -> Section {
    let lines = [
        "Wear safety glasses, and so does everybody in the room; children and animals stay out.",
        "Lay a thick cloth over piece and lever before each pull.",
        "Tie or tape the lever's upper end to the bench by a slack cord, so that it cannot fly.",
        "Stand beside the lever's way, never in line with it, and brace yourself: when the piece breaks, the \
         scale comes at whoever pulls. Pull slowly, with the arm half bent.",
        "No fingers between lever, vice and piece; nothing under a hanging bottle but a tray or a blanket, feet \
         away.",
        "If nothing breaks at twice the most of the table below, stop: something is not as it is meant to be.",
    ];
    let blocks = vec![
        Block::Caution(Caution::new(
            Signal::Warning,
            "Pieces give way at once, and halves fly: they can cost an eye. Do all of what follows, or break \
             nothing.",
        )),
        Block::List(lines.map(Text::plain).into()),
        paragraph("This is no rating. It says what a few pieces of one spool bore on one day."),
    ];
    Section::new("before", "2. Before you break anything", blocks)
}

fn setting_up(set: &Breaking) -> Section {
    let of = match set.as_thick {
        true => "as thick as the kit's thinnest one".into(),
        false => format!(
            "its profile moved to a root of {}, so that a hand can break it and a scale read it",
            root(set)
        ),
    };
    let necks = format!(
        "Necks have the root of {}, {of}; bars are plain and as thick as that root, {}. Let them lie for a day. \
         Measure each bar at its thinnest with a caliper, to 0.05 mm, and write that as its `diameter`. No \
         caliper reaches a neck's root: write the mean of the bars, which are drawn as thick.",
        set.thread.designation(),
        root(set),
    );
    let lever = format!(
        "The lever is a smooth steel stick of {} or 1/4 in, some 250 to 300 mm long, pushed to the end of the \
         hole in the head. Clamp the foot whole in a vice. The pull is at a right angle to the lever, some {} \
         above the thin stretch; file a nick for the hook there.",
        stick(),
        Told::Metric.length(ARM, 0)
    );
    let ways = [
        (
            "Luggage scale",
            " (to 20 kg, in steps of 10 g): the piece stands upright, pull level; read the most that the scale \
             keeps, or film it.",
        ),
        (
            "Bottle of water",
            ": the piece lies in the vice, the lever level. Hang a bottle in the nick, pour water in slowly \
             until it breaks, and weigh bottle and water. Add half the lever's own weight, which hangs there \
             too.",
        ),
    ];
    let ways = ways.map(|(name, words)| Text::strong(name).then(Text::mark(words)));
    let blocks = vec![
        paragraph(&necks),
        paragraph(&lever),
        Block::List(ways.into()),
    ];
    Section::new("set-up", "3. Set up", blocks)
}

fn root(set: &Breaking) -> String {
    let first = set.rows.first();
    first.map_or_else(String::new, |row| Told::Metric.length(row.diameter, 2))
}

/// The metric stick; the hole takes the slightly thicker one in inches.
fn stick() -> String {
    format!("{} mm", number(STICK.as_mm().floor(), 0))
}

fn pulling(set: &Breaking) -> Section {
    let [least, most] = set.loads.map(|load| {
        let newtons = load.as_newtons();
        let kilograms = number(newtons / NEWTONS_PER_KILOGRAM, 2);
        format!("{kilograms} kg ({} N)", number(newtons, 1))
    });
    let cell = |words: &str| Cell::Text(Text::plain(words));
    let table = Table {
        caption: Text::plain("What a pull may come to"),
        columns: vec![
            Text::plain(&format!("at {}", Told::Metric.length(ARM, 0))),
            Text::plain("least"),
            Text::plain("most"),
        ],
        rows: vec![
            vec![cell("a bar may break at"), cell(&least), cell(&most)],
            vec![cell("a neck, at half to all of that"), cell(""), cell("")],
        ],
        named: 0,
        stands: false,
    };
    let blocks = vec![
        Block::Table(table),
        paragraph(
            "Break bars and necks in turn. Of each write the load with its unit, and the arm: from the broken \
             face to the hook, in mm, along the lever. Leave out (`\"\"`) a piece that broke in its head or \
             foot, or whose lever slipped.",
        ),
        paragraph(
            "What comes of it: sigma = 32 F a / (pi d^3), the bending stress in a round bar (Shigley, 9th ed., \
             eq. 3-24), of F in N, a and d in mm. Bars give the strength across the layers, bars over necks \
             what the root costs, both with Student's t for the few pieces.",
        ),
    ];
    Section::new("break", "4. Break them", blocks)
}
