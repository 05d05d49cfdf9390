//! Ladders: one plug, pin or tongue, and what it is tried in, in steps of gap.
//!
//! Every step carries as many grooves as its number. Frame of each piece: its print frame,
//! standing on z = 0.

use super::{GapLadder, Piece};
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::{
    Along, Bore, Line, LyingHole, ScrewThread, Tapped, free_tip, groove, here, prism, run_out,
};
use crate::layout::pin;
use crate::layout::proportions::{BED_EDGE, EDGE, OVERCUT};
use crate::thread::Thread;
use crate::tuning::LadderKind;
use crate::units::{Angle, Length};

/// From one groove of a ring to the next. Guess: told apart by a fingernail on an M8 ring.
const RING_GROOVES: Angle = Angle::degrees(24.0);
/// Depth of a straight ladder's grooves: three layers, so that they show on top. Guess.
const GROOVE_DEPTH: Length = Length::mm(0.5);
/// From one of them to the next: a line of ridge between them.
const GROOVES: Length = Length::mm(1.5);
/// Wall of a pin ladder beside and between its holes. Guess.
const PIN_WALL: Length = Length::mm(4.5);
/// Solid above and below a lying hole. Guess.
const PIN_COVER: Length = Length::mm(2.5);
/// Width of the tongue.
const TONGUE: Length = Length::mm(10.0);
/// Walls and floor of the channels.
const CHANNEL_WALL: Length = Length::mm(3.0);
/// Edges of a tongue and mouths of pin holes.
const LEAD_IN: Length = Length::mm(0.6);

/// How large the pieces of a ladder are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Size {
    /// Room for a hand, and thread enough to feel a drag.
    Full,
    /// As little as still tells the steps apart.
    Quick,
}

impl Size {
    fn pick<T>(self, full: T, quick: T) -> T {
        match self {
            Self::Full => full,
            Self::Quick => quick,
        }
    }
}

/// Rings and their plug.
pub(super) fn thread(ladder: &GapLadder, thread: &Thread, layer: Length, size: Size) -> Vec<Piece> {
    let stem = ladder.stem();
    let height = size
        .pick(Length::mm(8.0), Length::mm(6.0))
        .max(thread.pitch() * size.pick(3.0, 2.0))
        .up_to(layer);
    let wall = size.pick(Length::mm(3.0), Length::mm(2.0));
    let mut pieces = vec![Piece {
        ladder: None,
        name: format!("{stem}-plug"),
        shape: plug(thread, height, layer, size),
        note: "hexagon on the bed, with the kit's own walls and layers".into(),
        mark: "no groove".into(),
    }];
    for (index, gap) in ladder.gaps.iter().enumerate() {
        pieces.push(Piece {
            ladder: None,
            name: format!("{stem}-ring-{}", index + 1),
            shape: ring(thread, *gap, [height, wall], index + 1),
            note: "as it lies, with the kit's own walls and layers".into(),
            mark: format!("{} around it", grooves(index + 1)),
        });
    }
    pieces
}

/// So many grooves, in words.
pub(super) fn grooves(count: usize) -> String {
    match count {
        1 => "1 groove".into(),
        _ => format!("{count} grooves"),
    }
}

/// A tapped ring with grooves all the way up its outside.
fn ring(thread: &Thread, gap: Length, [height, wall]: [Length; 2], count: usize) -> Shape {
    let tapped = Tapped {
        thread,
        gap,
        crest: Length::ZERO,
    };
    let outside = thread.major() / 2.0 + wall;
    let body = Line::from(Length::ZERO, outside - BED_EDGE)
        .to(BED_EDGE, outside)
        .to(height - BED_EDGE, outside)
        .to(height, outside - BED_EDGE);
    let (mouth, behind) = (tapped.mouth(), tapped.behind());
    let bore = Line::from(-OVERCUT, mouth + OVERCUT)
        .to(mouth - behind, behind)
        .to(height - (mouth - behind), behind)
        .to(height + OVERCUT, mouth + OVERCUT)
        .thread([-OVERCUT, height + OVERCUT], tapped.form());
    let mut cut = vec![here(bore.turned())];
    let solid = prism(-OVERCUT, height + OVERCUT, groove(1.0));
    cut.extend((0..count).map(|index| {
        Placed {
            pose: Pose::shift(Length::ZERO, outside, Length::ZERO)
                .screwed(RING_GROOVES * index as f64, Length::ZERO),
            solid: solid.clone(),
        }
    }));
    Shape {
        base: here(body.turned()),
        within: Vec::new(),
        joined: Vec::new(),
        cut,
        genus: 1,
    }
}

/// A screw with a hexagon, long enough to pass a ring.
fn plug(thread: &Thread, ring: Length, layer: Length, size: Size) -> Shape {
    let flats = thread.major() + size.pick(Length::mm(8.0), Length::mm(3.0));
    let head = size.pick(Length::mm(7.0), Length::mm(4.0)).up_to(layer);
    let beyond = thread.pitch() * size.pick(2.0, 0.5);
    let screw = ScrewThread {
        thread,
        gap: Length::ZERO,
        face: head,
        end: (head + run_out(thread) + ring + beyond).up_to(layer),
        crest: head,
        tip: free_tip(thread),
    };
    let hexagon = |set_in: Length| Outline::Hexagon {
        across_flats: flats - set_in * 2.0,
    };
    let foot = Line::from(head / 2.0, screw.neck() + EDGE);
    Shape {
        base: here(Solid::Prism(vec![
            (Length::ZERO, hexagon(BED_EDGE)),
            (BED_EDGE, hexagon(Length::ZERO)),
            (head, hexagon(Length::ZERO)),
        ])),
        within: Vec::new(),
        joined: vec![here(screw.stand_on(foot).turned())],
        cut: Vec::new(),
        genus: 0,
    }
}

/// A block of holes for a pin of this diameter.
pub(super) fn pin_holes(ladder: &GapLadder, diameter: Length, layer: Length, size: Size) -> Piece {
    let count = ladder.gaps.len();
    let pitch = (diameter + PIN_WALL).max(GROOVES * count as f64);
    let long = pitch * count as f64 + Length::mm(2.0);
    let deep = size.pick(diameter * 2.0 + PIN_WALL, diameter + PIN_COVER);
    let lying = ladder.kind != LadderKind::PinUpright;
    let height = (diameter + PIN_COVER * size.pick(2.0, 1.2)).up_to(layer);
    let place = |index: usize| pitch * (index as f64 - (count as f64 - 1.0) / 2.0);
    let mut cut = Vec::new();
    for (index, gap) in ladder.gaps.iter().enumerate() {
        if lying {
            let bore = Bore::new(diameter + *gap * 2.0, ladder.ribs);
            let tool = LyingHole {
                along: Along::Y,
                beside: place(index),
                height: height / 2.0,
                reach: deep / 2.0,
                sides: [bore, bore],
                mouth: LEAD_IN,
            };
            cut.extend(tool.tools());
        } else {
            let radius = diameter / 2.0 + *gap;
            let wide = radius + LEAD_IN + OVERCUT;
            let tool = Line::from(-OVERCUT, wide)
                .to(LEAD_IN, radius)
                .to(height - LEAD_IN, radius)
                .to(height + OVERCUT, wide);
            cut.push(Placed {
                pose: Pose::shift(place(index), Length::ZERO, Length::ZERO),
                solid: tool.turned(),
            });
        }
        // On top beside a lying hole, at the side of an upright one: never across a mouth.
        cut.extend(counted(index + 1, place(index), deep, height, lying));
    }
    Piece {
        ladder: None,
        name: ladder.stem(),
        shape: Shape {
            base: footed(long, deep, height),
            within: Vec::new(),
            joined: Vec::new(),
            cut,
            genus: count,
        },
        note: "as it lies, with the kit's own walls and layers".into(),
        mark: "grooves beside each hole: as many as its number".into(),
    }
}

/// Grooves for one step: along y across the top of a block, or up its -y side.
pub(super) fn counted(
    count: usize,
    at: Length,
    deep: Length,
    height: Length,
    top: bool,
) -> Vec<Placed> {
    let half = GROOVE_DEPTH + OVERCUT;
    let outline = Outline::Polygon(vec![
        [Length::ZERO, -GROOVE_DEPTH],
        [half, OVERCUT],
        [-half, OVERCUT],
    ]);
    let solid = prism(-OVERCUT, height.max(deep) + OVERCUT, outline);
    let pose = if top {
        Pose::axes([-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]).shifted(
            at,
            deep / -2.0,
            height,
        )
    } else {
        Pose::axes([-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]).shifted(
            at,
            deep / -2.0,
            Length::ZERO,
        )
    };
    (0..count)
        .map(|index| Placed {
            pose: pose.shifted(
                GROOVES * (index as f64 - (count as f64 - 1.0) / 2.0),
                Length::ZERO,
                Length::ZERO,
            ),
            solid: solid.clone(),
        })
        .collect()
}

/// The pin that is tried in the holes.
pub(super) fn pin_piece(diameter: Length, size: Size) -> Piece {
    Piece {
        ladder: None,
        name: "pin".into(),
        shape: pin::shape(diameter, diameter * size.pick(5.0, 4.0)),
        note: "lying on its flat, solid".into(),
        mark: "one flat".into(),
    }
}

/// Channels and their tongue.
pub(super) fn slide(ladder: &GapLadder, layer: Length, size: Size) -> Vec<Piece> {
    let (floor, wall) = (size.pick(3.0, 2.0), size.pick(8.0, 4.0));
    let (floor, top) = (
        Length::mm(floor).up_to(layer),
        Length::mm(floor + wall).up_to(layer),
    );
    let deep = Length::mm(size.pick(18.0, 8.0));
    let widths: Vec<Length> = ladder.gaps.iter().map(|g| TONGUE + *g * 2.0).collect();
    let long = widths.iter().copied().sum::<Length>() + CHANNEL_WALL * (widths.len() + 1) as f64;
    let mut from = long / -2.0 + CHANNEL_WALL;
    let mut cut = Vec::new();
    for (index, width) in widths.iter().enumerate() {
        let middle = from + *width / 2.0;
        let outline = Outline::Rectangle {
            x: *width,
            y: deep + OVERCUT * 2.0,
        };
        cut.push(Placed {
            pose: Pose::shift(middle, Length::ZERO, Length::ZERO),
            solid: prism(floor, top + OVERCUT, outline),
        });
        cut.extend(counted(index + 1, middle, deep, top, false));
        from += *width + CHANNEL_WALL;
    }
    let stem = ladder.stem();
    vec![
        Piece {
            ladder: None,
            name: format!("{stem}-channels"),
            shape: Shape {
                base: footed(long, deep, top),
                within: Vec::new(),
                joined: Vec::new(),
                cut,
                genus: 0,
            },
            note: "as it lies, with the kit's own walls and layers".into(),
            mark: "grooves below each channel: as many as its number".into(),
        },
        Piece {
            ladder: None,
            name: format!("{stem}-tongue"),
            shape: tongue(layer, size),
            note: "as it lies, with the kit's own walls and layers".into(),
            mark: "no groove".into(),
        },
    ]
}

/// A bar that slides in a channel, its edges broken above and below.
fn tongue(layer: Length, size: Size) -> Shape {
    let height = Length::mm(size.pick(12.0, 6.0)).up_to(layer);
    let outline = |set_in: Length| Outline::Rectangle {
        x: TONGUE - set_in * 2.0,
        y: Length::mm(size.pick(30.0, 14.0)) - set_in * 2.0,
    };
    Shape {
        base: here(Solid::Prism(vec![
            (Length::ZERO, outline(LEAD_IN)),
            (LEAD_IN, outline(Length::ZERO)),
            (height - LEAD_IN, outline(Length::ZERO)),
            (height, outline(LEAD_IN)),
        ])),
        within: Vec::new(),
        joined: Vec::new(),
        cut: Vec::new(),
        genus: 0,
    }
}

/// A block that stands on a broken edge.
pub(super) fn footed(x: Length, y: Length, height: Length) -> Placed {
    let outline = |set_in: Length| Outline::Rectangle {
        x: x - set_in * 2.0,
        y: y - set_in * 2.0,
    };
    here(Solid::Prism(vec![
        (Length::ZERO, outline(BED_EDGE)),
        (BED_EDGE, outline(Length::ZERO)),
        (height, outline(Length::ZERO)),
    ]))
}
