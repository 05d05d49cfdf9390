//! The depth buffer: which facet stands nearest to the eye at every dot.

use super::surface::{Facet, Surface};
use super::view::View;
use crate::assembly::Pose;
use nalgebra::{Matrix3, Vector3};

/// What is taken away so that the inside is seen: everything beyond a plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Unit normal of the plane, towards what is taken away.
    pub normal: [f64; 3],
    /// Distance of the plane from the origin along its normal, in mm.
    pub offset: f64,
}

/// Nothing is seen at a dot.
pub(super) const NOTHING: u32 = u32::MAX;

/// What is seen at every dot, row by row from the top.
pub(super) struct Buffer {
    pub(super) width: usize,
    pub(super) height: usize,
    /// Towards the eye, in mm.
    pub(super) depth: Vec<f32>,
    /// Number of the facet in [`Buffer::normals`], or [`NOTHING`].
    pub(super) facet: Vec<u32>,
    /// How light its face is, from 0 to 1 in 255 steps.
    pub(super) light: Vec<u8>,
    /// Normals of all facets in the picture's frame: to the right, upwards, towards the eye.
    pub(super) normals: Vec<Vector3<f32>>,
    /// Which piece each facet belongs to.
    pub(super) piece: Vec<u8>,
}

/// How pictures' dots lie over what is seen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    /// What stands at the left edge and at the top, in mm.
    pub(super) left: f64,
    pub(super) top: f64,
    /// Dots a mm of the things.
    pub(super) dots: f64,
}

/// From above, left and the front of the page.
const LIGHT: [f32; 3] = [-0.36, 0.56, 0.75];
/// Light that reaches every face.
const EVERYWHERE: f32 = 0.30;

impl Buffer {
    pub(super) fn new(width: usize, height: usize) -> Self {
        let dots = width * height;
        Self {
            width,
            height,
            depth: vec![f32::NEG_INFINITY; dots],
            facet: vec![NOTHING; dots],
            light: vec![0; dots],
            normals: Vec::new(),
            piece: Vec::new(),
        }
    }

    /// Draws a surface in a pose as a piece of a number.
    pub(super) fn add(
        &mut self,
        surface: &Surface,
        pose: &Pose,
        (view, grid): (&View, &Grid),
        cut: Option<Cut>,
        piece: u8,
    ) {
        let placed = surface.points.iter().map(|point| pose.apply(*point));
        let plane = cut.map(|cut| (Vector3::from(cut.normal), cut.offset));
        let seen: Vec<Corner> = placed
            .map(|point| {
                let [right, up, near] = view.seen(point);
                let beyond = plane.map_or(f64::NEG_INFINITY, |(normal, offset)| {
                    point.coords.dot(&normal) - offset
                });
                Corner {
                    x: ((right - grid.left) * grid.dots) as f32,
                    y: ((grid.top - up) * grid.dots) as f32,
                    near: near as f32,
                    beyond: beyond as f32,
                }
            })
            .collect();
        let turned = turned(pose, view);
        self.normals.reserve(surface.facets.len());
        self.piece.reserve(surface.facets.len());
        for facet in &surface.facets {
            let corners = facet.corners.map(|corner| seen[corner as usize]);
            let normal = turned * facet.normal;
            // A cut shows the back of faces; else what looks away from the eye is behind something.
            if cut.is_none() && normal.z <= 0.0 {
                continue;
            }
            if cut.is_some() && corners.iter().all(|corner| corner.beyond > 0.0) {
                continue;
            }
            let number = self.normals.len() as u32;
            self.normals.push(normal);
            self.piece.push(piece);
            let lights = lights(facet, &turned);
            self.fill(corners, lights, number);
        }
    }

    /// Fills a triangle.
    fn fill(&mut self, [a, b, c]: [Corner; 3], lights: [f32; 3], number: u32) {
        let double_area = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
        if double_area == 0.0 || !double_area.is_finite() {
            return;
        }
        // A conversion from a float saturates.
        let first = |least: f32| (least - 0.5).ceil().max(0.0) as usize;
        let past =
            |most: f32, end: usize| (((most - 0.5).floor() + 1.0).max(0.0) as usize).min(end);
        let rows = first(a.y.min(b.y).min(c.y))..past(a.y.max(b.y).max(c.y), self.height);
        let share = 1.0 / double_area;
        // Shares of b and c grow evenly along a row, and so does what is mixed with them.
        let (b_x, b_y) = ((c.y - a.y) * share, (a.x - c.x) * share);
        let (c_x, c_y) = ((a.y - b.y) * share, (b.x - a.x) * share);
        let mixed = |of: [f32; 3]| Mixed {
            at_a: of[0],
            b: of[1] - of[0],
            c: of[2] - of[0],
        };
        let near = mixed([a.near, b.near, c.near]);
        let light = mixed(lights);
        let beyond = mixed([a.beyond, b.beyond, c.beyond]);
        let is_cut = [a, b, c].iter().any(|corner| corner.beyond > 0.0);
        let ends = [
            first(a.x.min(b.x).min(c.x)),
            past(a.x.max(b.x).max(c.x), self.width),
        ];
        for row in rows {
            let y = row as f32 + 0.5 - a.y;
            let (b_row, c_row) = (y * b_y, y * c_y);
            // A dot is inside where both shares are at least 0 and make 1 at the most.
            let mut from = ends[0] as f32 + 0.5 - a.x;
            let mut to = ends[1] as f32 - 0.5 - a.x;
            for (at_zero, growth) in [
                (b_row, b_x),
                (c_row, c_x),
                (1.0 - b_row - c_row, -b_x - c_x),
            ] {
                if growth > 0.0 {
                    from = from.max(-at_zero / growth);
                } else if growth < 0.0 {
                    to = to.min(-at_zero / growth);
                } else if at_zero < 0.0 {
                    to = f32::NEG_INFINITY;
                }
            }
            let begin = first(from + a.x);
            let end = past(to + a.x, ends[1]);
            if begin >= end {
                continue;
            }
            let dots = row * self.width + begin..row * self.width + end;
            let depths = &mut self.depth[dots.clone()];
            let facets = &mut self.facet[dots.clone()];
            let lights = &mut self.light[dots];
            for (step, ((depth, facet), lit)) in
                depths.iter_mut().zip(facets).zip(lights).enumerate()
            {
                let x = (begin + step) as f32 + 0.5 - a.x;
                let shares = (x * b_x + b_row, x * c_x + c_row);
                let here = near.at(shares);
                if here <= *depth || is_cut && beyond.at(shares) > 0.0 {
                    continue;
                }
                *depth = here;
                *facet = number;
                *lit = (light.at(shares).clamp(0.0, 1.0) * f32::from(u8::MAX)) as u8;
            }
        }
    }

    /// Whether the inside of a piece is seen at a dot, so that it is a cut face.
    pub(super) fn is_cut_face(&self, dot: usize) -> bool {
        let facet = self.facet[dot];
        facet != NOTHING && self.normals[facet as usize].z < 0.0
    }
}

/// A corner on the picture.
#[derive(Clone, Copy)]
struct Corner {
    x: f32,
    y: f32,
    near: f32,
    /// Beyond the plane of a cut, in mm.
    beyond: f32,
}

/// What is known at three corners, between them.
#[derive(Clone, Copy)]
struct Mixed {
    at_a: f32,
    b: f32,
    c: f32,
}

impl Mixed {
    fn at(self, (of_b, of_c): (f32, f32)) -> f32 {
        self.at_a + self.b * of_b + self.c * of_c
    }
}

/// How directions of a print frame turn into those of the picture.
fn turned(pose: &Pose, view: &View) -> Matrix3<f32> {
    let rows = pose.to_rows();
    let column = |axis: usize| {
        let world = [rows[0][axis], rows[1][axis], rows[2][axis]];
        Vector3::from(view.seen_direction(world)).cast::<f32>()
    };
    Matrix3::from_columns(&[column(0), column(1), column(2)])
}

/// How light a facet is at its corners.
fn lights(facet: &Facet, turned: &Matrix3<f32>) -> [f32; 3] {
    // Turned back once instead of every normal forth.
    let light = turned.tr_mul(&Vector3::from(LIGHT));
    facet.smooth.map(|normal| {
        let lit = normal.dot(&light).max(0.0);
        EVERYWHERE + (1.0 - EVERYWHERE) * lit
    })
}
