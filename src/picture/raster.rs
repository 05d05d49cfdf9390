//! The depth buffer: which facet stands nearest to the eye at every dot.

use super::surface::{Facet, Surface};
use super::view::View;
use crate::assembly::Pose;
use nalgebra::Vector3;

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
        let rows = pose.to_rows();
        let turned = |vector: &Vector3<f32>| {
            let v = vector.map(f64::from);
            let world = [0, 1, 2].map(|row| {
                let r = rows[row];
                r[0] * v.x + r[1] * v.y + r[2] * v.z
            });
            Vector3::from(view.seen_direction(world)).cast::<f32>()
        };
        for facet in &surface.facets {
            let corners = facet.corners.map(|corner| seen[corner as usize]);
            let normal = turned(&facet.normal);
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
            let lights = lights(facet, turned);
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
        let past = |most: f32, end: usize| (((most - 0.5).floor() + 1.0).max(0.0) as usize).min(end);
        let rows = first(a.y.min(b.y).min(c.y))..past(a.y.max(b.y).max(c.y), self.height);
        let columns = first(a.x.min(b.x).min(c.x))..past(a.x.max(b.x).max(c.x), self.width);
        let share = 1.0 / double_area;
        // Shares of b and c grow evenly along a row.
        let (b_x, b_y) = ((c.y - a.y) * share, (a.x - c.x) * share);
        let (c_x, c_y) = ((a.y - b.y) * share, (b.x - a.x) * share);
        for row in rows {
            let y = row as f32 + 0.5 - a.y;
            for column in columns.clone() {
                let x = column as f32 + 0.5 - a.x;
                let of_b = x * b_x + y * b_y;
                let of_c = x * c_x + y * c_y;
                if of_b < 0.0 || of_c < 0.0 || of_b + of_c > 1.0 {
                    continue;
                }
                let mean = |of: [f32; 3]| of[0] + (of[1] - of[0]) * of_b + (of[2] - of[0]) * of_c;
                let near = mean([a.near, b.near, c.near]);
                let dot = row * self.width + column;
                if near <= self.depth[dot] {
                    continue;
                }
                if a.beyond.is_finite() && mean([a.beyond, b.beyond, c.beyond]) > 0.0 {
                    continue;
                }
                self.depth[dot] = near;
                self.facet[dot] = number;
                self.light[dot] = (mean(lights).clamp(0.0, 1.0) * f32::from(u8::MAX)) as u8;
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

/// How light a facet is at its corners.
fn lights(facet: &Facet, turned: impl Fn(&Vector3<f32>) -> Vector3<f32>) -> [f32; 3] {
    let light = Vector3::from(LIGHT);
    facet.smooth.map(|normal| {
        let lit = turned(&normal).dot(&light).max(0.0);
        EVERYWHERE + (1.0 - EVERYWHERE) * lit
    })
}
