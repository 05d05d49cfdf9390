//! The drive screw: a hexagon head, a thread, and either a tapped bore or a grooved tip.
//!
//! Print frame: the hexagon's end face lies on the bed. In the assembly it is only shifted.

use super::rules::*;
use super::sizes::{End, Nested, Sizes, Tip};
use super::tool::{Line, ScrewThread, Tapped, free_tip, here, prism, v_marks};
use crate::assembly::{Contour, Outline, Placed, Pose, Shape, Solid, Turned};
use crate::units::Length;

/// The drive screw's shape.
pub(super) fn shape(sizes: &Sizes) -> Shape {
    let (flats, height) = (sizes.across_flats - SPANNER_EASE, sizes.head_height);
    let hexagon = prism(
        Length::ZERO,
        height,
        Outline::Hexagon {
            across_flats: flats,
        },
    );
    let marks = v_marks(sizes.drive.hand(), flats / 2.0, Length::ZERO, height);
    let (shaft, bore) = shaft(sizes);
    Shape {
        base: here(hexagon),
        within: vec![here(bed_edge(flats, height))],
        joined: vec![here(shaft)],
        cut: marks.into_iter().chain(bore).collect(),
        genus: 0,
    }
}

/// From the print frame to the assembly at turn 0.
pub(super) fn pose(sizes: &Sizes) -> Pose {
    Pose::shift(Length::ZERO, Length::ZERO, -lift(sizes))
}

/// Height in the print frame of the assembly's z = 0.
fn lift(sizes: &Sizes) -> Length {
    sizes.head_height + sizes.drive_thread - sizes.thread_end
}

/// A cone that breaks the hexagon's corners at the bed, clear of it above.
fn bed_edge(flats: Length, height: Length) -> Solid {
    let start = (flats - HEAD_BED_EDGE) / 2.0;
    let clear = flats;
    Line::from(-OVERCUT, start - OVERCUT)
        .to(clear - start, clear)
        .to((clear - start).max(height) + OVERCUT, clear)
        .turned()
}

/// The shaft, embedded in the head; a bore that reaches into the head is cut afterwards.
fn shaft(sizes: &Sizes) -> (Solid, Option<Placed>) {
    let (face, lift) = (sizes.head_height, lift(sizes));
    let thread = ScrewThread {
        thread: &sizes.drive,
        face,
        end: sizes.thread_end + lift,
        crest: lift,
        tip: match &sizes.end {
            End::Nested(_) => free_tip(&sizes.drive),
            End::Single(tip) => tip.diameter / 2.0,
        },
    };
    let foot = Line::from(face - EMBEDDED, thread.neck() + EDGE);
    let outer = thread.stand_on(foot);
    match &sizes.end {
        End::Single(tip) => (grooved_tip(outer, &thread, tip).turned(), None),
        End::Nested(nested) => {
            let contour = bore(sizes, nested, thread.end, lift);
            if thread.end - nested.bore > face + OVERCUT {
                (
                    Solid::Turned(Turned {
                        outer: outer.end(),
                        bore: Some(contour),
                    }),
                    None,
                )
            } else {
                (outer.turned(), Some(here(over_cut(contour))))
            }
        }
    }
}

/// How deep the shaft's foot stands in the head.
const EMBEDDED: Length = Length::mm(2.0);

/// The tapped bore from its floor up; a relief at the floor lets the thread run out.
fn bore(sizes: &Sizes, nested: &Nested, end: Length, lift: Length) -> Contour {
    let tapped = Tapped {
        thread: &nested.thread,
        gap: sizes.gaps.thread.drawn,
        crest: lift,
    };
    let floor = end - nested.bore;
    let relief = nested.thread.major() / 2.0 + tapped.gap + NECK_BELOW_ROOT;
    let (mouth, behind) = (tapped.mouth(), tapped.behind());
    Line::from(floor, relief)
        .to(floor + (relief - behind), behind)
        .to(end - (mouth - behind), behind)
        .to(end, mouth)
        .thread([floor, end], tapped.form())
        .end()
}

/// A bore as a tool, its mouth carried on beyond the end.
fn over_cut(mut bore: Contour) -> Solid {
    if let (Some((z, radius)), Some(zone)) = (bore.corners.last_mut(), bore.threads.last_mut()) {
        *z += OVERCUT;
        *radius += OVERCUT;
        zone.z[1] = *z;
    }
    Solid::Turned(Turned {
        outer: bore,
        bore: None,
    })
}

/// A tip beyond the thread, with a 45 degree groove for the swivel pins and a pip that takes
/// the push.
fn grooved_tip(line: Line, thread: &ScrewThread<'_>, tip: &Tip) -> Line {
    let (radius, floor) = (tip.diameter / 2.0, tip.groove_radius);
    let (start, end) = (thread.end, thread.end + tip.length);
    let centre = start + tip.groove_centre;
    let depth = radius - floor;
    let half_floor = depth * GROOVE_FLOOR;
    let pip = tip.diameter * (PIP_PER_TIP / 2.0);
    line.to(centre - half_floor - depth, radius)
        .to(centre - half_floor, floor)
        .to(centre + half_floor, floor)
        .to(centre + half_floor + depth, radius)
        .to(end - EDGE, radius)
        .to(end, radius - EDGE)
        .to(end, pip)
        .to(end + PIP_HEIGHT, pip)
}
