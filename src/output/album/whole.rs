//! Pictures of the whole: from outside, and cut along its axis at both ends of the stroke.

use super::stage::Stage;
use crate::picture::{Canvas, Cut, Overlay, Picture, Reach, Sheet, View};
use crate::units_told::number;
use nalgebra::Point3;
use std::io;

/// An eye before the drive head, above and on the side of the slots: the head lies to the left, the V marks
/// up, so that the face of the head is seen.
pub(super) const HEAD_SIDE: [f64; 3] = [-0.72, 0.50, -0.48];
/// The V marks are up.
pub(super) const UP: [f64; 3] = [0.0, 1.0, 0.0];
/// Width of a picture that goes across the page, in mm: what A4 and Letter both have between margins.
pub(super) const ACROSS: f64 = 160.0;
/// An eye that looks straight at the cut along the axis.
const AT_THE_CUT: [f64; 3] = [-1.0, 0.0, 0.0];
/// How far before the axis the cut stands, in mm: no facet of a mesh lies in it.
const BESIDE: f64 = 0.0013;
/// Room for a line of words, in mm of paper.
const LINE: f64 = 7.5;

/// From outside at turn 0.
pub(super) fn whole(stage: &Stage<'_>, name: &str) -> io::Result<Picture> {
    let sheet = Sheet {
        width: ACROSS,
        height: 75.0,
        margin: 3.0,
    };
    let view = View::from(HEAD_SIDE, UP);
    let canvas = Canvas::draw(view, &stage.standing(0.0), None, sheet, Reach::All(&[]));
    let shows = format!("{name} put together, at turn 0, the drive head on the left");
    Overlay::default().picture(&canvas, "whole", &shows)
}

/// Cut along the axis at turn 0 and at the last turn of the stroke, one above the other at one scale.
pub(super) fn section(stage: &Stage<'_>, name: &str, turns: f64) -> io::Result<Picture> {
    let sheet = Sheet {
        width: ACROSS,
        height: 90.0,
        margin: 2.0,
    };
    let cut = Cut {
        normal: AT_THE_CUT,
        offset: BESIDE,
    };
    let view = View::from(AT_THE_CUT, UP);
    let ends = [0.0, turns];
    // Both reach what either does, so that the frame stands at one place in both.
    let reach: Vec<Point3<f64>> = ends
        .iter()
        .flat_map(|turns| {
            let extents = stage
                .pieces()
                .map(move |piece| stage.extent(piece, &stage.pose(piece, *turns)));
            extents.flat_map(|extent| extent.corners())
        })
        .collect();
    let mut inside = String::new();
    let mut overlay = Overlay::default();
    let mut paper = [0.0, 0.0];
    for turns in ends {
        let canvas = Canvas::draw(
            view,
            &stage.standing(turns),
            Some(cut),
            sheet,
            Reach::All(&reach),
        );
        let [wide, high] = canvas.paper();
        overlay.words(
            [2.0, paper[1] + LINE - 1.5],
            &format!("turn {}", number(turns, 2)),
        );
        inside += &canvas.image([0.0, paper[1] + LINE])?;
        paper = [wide.max(paper[0]), paper[1] + LINE + high];
    }
    let shows = format!(
        "{name} cut along its axis, the drive head on the left and the V marks up: above at turn 0, below \
         at turn {}, the end of the stroke",
        number(turns, 2)
    );
    Ok(Picture::of(
        "section",
        &shows,
        paper,
        &(inside + overlay.svg()),
    ))
}
