//! A picture being drawn: pieces in their poses, seen from a side, fitted to a size on paper.

use super::ground;
use super::ink;
use super::raster::{Buffer, Cut, Grid};
use super::surface::Surface;
use super::tint::Tint;
use super::view::View;
use crate::assembly::Pose;
use crate::units::Angle;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use nalgebra::Point3;
use std::io;

/// Dots a mm of paper: 305 to the inch, what a printer of pages shows.
pub(super) const DOTS: f64 = 12.0;
/// How far behind what is seen a point may lie and still count as seen, in mm: half a facet's chord.
const JUST_BEHIND: f32 = 0.6;

/// A piece to be drawn.
#[derive(Clone, Copy, Debug)]
pub struct Item<'a> {
    /// Its surface, in its print frame.
    pub surface: &'a Surface,
    /// Where it stands.
    pub pose: Pose,
    /// Its colour.
    pub tint: Tint,
    /// Which of the [`HATCHES`](super::HATCHES) its cut faces bear.
    pub hatch: usize,
}

/// How large a picture is on paper, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Widest, margins included.
    pub width: f64,
    /// Highest, margins included.
    pub height: f64,
    /// What is left free at every side, for arrows and numbers.
    pub margin: f64,
}

/// What a picture has to reach.
#[derive(Clone, Copy, Debug)]
pub enum Reach<'a> {
    /// All pieces, and these points.
    All(&'a [Point3<f64>]),
    /// These points alone, whatever stands beyond them.
    Window(&'a [Point3<f64>]),
}

/// Pieces drawn, with what is needed to write over them.
pub struct Canvas {
    view: View,
    grid: Grid,
    pub(super) buffer: Buffer,
    pub(super) colours: Vec<u8>,
}

impl Canvas {
    /// Draws pieces, what a cut takes away left out.
    pub fn draw(
        view: View,
        items: &[Item<'_>],
        cut: Option<Cut>,
        sheet: Sheet,
        reach: Reach<'_>,
    ) -> Self {
        let (fitted, also) = match reach {
            Reach::All(also) => (items, also),
            Reach::Window(points) => (&[][..], points),
        };
        let placed = fitted.iter().flat_map(|item| {
            let points = item.surface.points.iter();
            points.map(|point| item.pose.apply(*point))
        });
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for point in placed.chain(also.iter().copied()) {
            let seen = view.seen(point);
            for axis in [0, 1] {
                low[axis] = low[axis].min(seen[axis]);
                high[axis] = high[axis].max(seen[axis]);
            }
        }
        let size = [0, 1].map(|axis| (high[axis] - low[axis]).max(1.0));
        let free = [sheet.width, sheet.height].map(|side| (side - 2.0 * sheet.margin).max(1.0));
        let scale = (free[0] / size[0]).min(free[1] / size[1]);
        let dots = scale * DOTS;
        let margin = sheet.margin / scale;
        let grid = Grid {
            left: low[0] - margin,
            top: high[1] + margin,
            dots,
        };
        let side = |size: f64| ((size + 2.0 * margin) * dots).ceil().max(1.0) as usize;
        let mut buffer = Buffer::new(side(size[0]), side(size[1]));
        for (number, item) in items.iter().enumerate() {
            let number = u8::try_from(number).unwrap_or(u8::MAX);
            buffer.add(item.surface, &item.pose, (&view, &grid), cut, number);
        }
        let looks: Vec<(Tint, usize)> = items.iter().map(|item| (item.tint, item.hatch)).collect();
        let colours = ink::inked(&buffer, &looks, (1.0 / dots) as f32);
        Self {
            view,
            grid,
            buffer,
            colours,
        }
    }

    /// Width and height on paper, in mm.
    pub fn paper(&self) -> [f64; 2] {
        [self.buffer.width, self.buffer.height].map(|dots| dots as f64 / DOTS)
    }

    /// mm of paper a mm of the things.
    pub fn scale(&self) -> f64 {
        self.grid.dots / DOTS
    }

    /// Where a point stands on paper: from the left and from the top, in mm.
    pub fn at(&self, point: Point3<f64>) -> [f64; 2] {
        let [right, up, _] = self.view.seen(point);
        [
            (right - self.grid.left) * self.scale(),
            (self.grid.top - up) * self.scale(),
        ]
    }

    /// The direction about the axis that looks most at the eye.
    pub fn front(&self) -> Angle {
        let to_eye = self.view.to_eye();
        Angle::of_point(to_eye.x, to_eye.y)
    }

    /// Whether nothing stands before a point.
    pub fn shows(&self, point: Point3<f64>) -> bool {
        let near = self.view.seen(point)[2] as f32;
        self.dot(self.at(point))
            .is_none_or(|dot| self.buffer.depth[dot] <= near + JUST_BEHIND)
    }

    pub(super) fn dot(&self, [x, y]: [f64; 2]) -> Option<usize> {
        let inside = |at: f64, end: usize| {
            let at = (at * DOTS).floor();
            (at >= 0.0 && at < end as f64).then_some(at as usize)
        };
        let (column, row) = (
            inside(x, self.buffer.width)?,
            inside(y, self.buffer.height)?,
        );
        Some(row * self.buffer.width + column)
    }

    /// A place on paper, in mm, where an item is seen, with as much of it around as can be; `None` if all
    /// of it is hidden.
    pub fn anchor(&self, item: usize) -> Option<[f64; 2]> {
        let buffer = &self.buffer;
        let mine = |dot: usize| {
            let facet = buffer.facet[dot];
            facet != super::raster::NOTHING && usize::from(buffer.piece[facet as usize]) == item
        };
        // Of each row the longest stretch that is seen, weighed by those next to it: a coarse step suffices.
        const STEP: usize = 4;
        let mut best: Option<(usize, usize, usize)> = None;
        for row in (0..buffer.height).step_by(STEP) {
            let mut run = 0;
            for column in 0..=buffer.width {
                if column < buffer.width && mine(row * buffer.width + column) {
                    run += 1;
                    continue;
                }
                if run > 0 {
                    let middle = column - run / 2 - 1;
                    let high = self.column_run(middle, row, &mine);
                    let worth = run.min(high);
                    if best.is_none_or(|(most, _, _)| worth > most) {
                        best = Some((worth, middle, row));
                    }
                }
                run = 0;
            }
        }
        best.map(|(_, column, row)| [column, row].map(|dot| (dot as f64 + 0.5) / DOTS))
    }

    /// How far the same item is seen above and below a dot, the lesser of both twice.
    fn column_run(&self, column: usize, row: usize, mine: &impl Fn(usize) -> bool) -> usize {
        let width = self.buffer.width;
        let up = (0..row).rev().take_while(|row| mine(row * width + column));
        let down = (row..self.buffer.height).take_while(|row| mine(row * width + column));
        2 * up.count().min(down.count()) + 1
    }

    /// The shaded ground as an `<image>` whose left upper corner stands at a place, in mm.
    ///
    /// # Errors
    /// None that a picture can cause.
    pub fn image(&self, [x, y]: [f64; 2]) -> io::Result<String> {
        let (width, height) = (self.buffer.width, self.buffer.height);
        let png = STANDARD.encode(ground::png(&self.colours, width, height)?);
        let [wide, high] = self.paper();
        Ok(format!(
            "<image x=\"{x:.2}\" y=\"{y:.2}\" width=\"{wide:.2}\" height=\"{high:.2}\" \
             href=\"data:image/png;base64,{png}\"/>"
        ))
    }
}
