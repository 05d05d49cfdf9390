//! What the proof of a written file refuses, each fault beside a file that only just passes.

use crate::support::mm;
use crate::support::written::{proved, stl};
use nalgebra::Point3;
use netlead::assembly::{Outline, Solid};
use netlead::solid::{Mesh, Unsound, read_back, solid_mesh};

/// A block of 4 by 4 by 2 on the bed, its caps closed from a corner on the axis.
fn block() -> Mesh {
    let outline = Outline::Rectangle {
        x: mm(4.0),
        y: mm(4.0),
    };
    let levels = vec![(mm(0.0), outline.clone()), (mm(2.0), outline)];
    solid_mesh(&Solid::Prism(levels), mm(0.1))
}

/// The block with the middle of its top at another height.
fn with_its_top_at(z: f64) -> Mesh {
    let mut mesh = block();
    let middle = |point: &&mut Point3<f64>| point.x == 0.0 && point.y == 0.0 && point.z == 2.0;
    mesh.points.iter_mut().find(middle).unwrap().z = z;
    mesh
}

#[test]
fn a_top_pushed_through_the_floor_cuts_itself() {
    // The middle of the floor is a corner at the origin. A step of a 32-bit float above it the
    // two sheets are still apart.
    assert!(proved(&with_its_top_at(1e-6), 0).is_ok());
    assert_eq!(
        proved(&with_its_top_at(-0.25), 0).unwrap_err(),
        Unsound::CutsItself
    );
}

#[test]
fn a_side_folded_flat_onto_another_cuts_itself() {
    // With the middle of the top moved out to one side, the facet between the two stands in the
    // side's plane: above the side it carries it on, below the rim it lies over it.
    let moved = |z: f64| {
        let mut mesh = block();
        let middle = |point: &&mut Point3<f64>| point.x == 0.0 && point.y == 0.0 && point.z == 2.0;
        *mesh.points.iter_mut().find(middle).unwrap() = Point3::new(2.0, 0.0, z);
        mesh
    };
    assert!(
        proved(&moved(2.5), 0).is_ok(),
        "a facet above the side goes on in its plane"
    );
    assert_eq!(proved(&moved(1.5), 0).unwrap_err(), Unsound::CutsItself);
}

#[test]
fn bodies_that_stand_in_each_other_are_refused_for_being_two() {
    let mut mesh = block();
    let other = block();
    let first = mesh.points.len() as u32;
    mesh.points.extend(
        other
            .points
            .iter()
            .map(|p| Point3::new(p.x + 1.0, p.y, p.z)),
    );
    let moved = other
        .triangles
        .iter()
        .map(|facet| facet.map(|corner| corner + first));
    mesh.triangles.extend(moved);
    assert_eq!(proved(&mesh, 0).unwrap_err(), Unsound::Bodies(2));
}

#[test]
fn a_facet_without_area_is_refused_though_its_corners_differ() {
    let mut mesh = block();
    let facets = mesh.triangles.len() as u32;
    let at = mesh.points.len() as u32;
    let [a, b, c] = mesh.triangles[0];
    // Splitting a facet's edge on one side alone leaves a facet of three corners on a line.
    let [p, q] = [a, b].map(|corner| mesh.points[corner as usize]);
    mesh.points.push(p + (q - p) * 0.25);
    mesh.triangles[0] = [at, b, c];
    mesh.triangles.extend([[a, at, c], [a, b, at]]);
    assert_eq!(
        proved(&mesh, 0).unwrap_err(),
        Unsound::Collapsed(facets as usize + 1)
    );
    // Off the line by little, and outwards, it has an area.
    let outwards = (q - p).cross(&(mesh.points[c as usize] - p)).normalize();
    mesh.points[at as usize] += outwards * 1e-3;
    assert!(proved(&mesh, 0).is_ok());
}

#[test]
fn holes_doubled_facets_and_turned_facets_leave_edges_open() {
    assert!(proved(&block(), 0).is_ok());
    let mut hole = block();
    hole.triangles.pop();
    let mut doubled = block();
    doubled.triangles.push(doubled.triangles[3]);
    let mut turned = block();
    turned.triangles[3].swap(0, 1);
    for mesh in [hole, doubled, turned] {
        assert!(matches!(proved(&mesh, 0), Err(Unsound::Open { .. })));
    }
}

#[test]
fn a_body_turned_inside_out_or_with_another_number_of_ways_through_it_is_refused() {
    let mut inside_out = block();
    inside_out
        .triangles
        .iter_mut()
        .for_each(|facet| facet.swap(0, 1));
    // 4 x 4 x 2 mm.
    assert_eq!(proved(&inside_out, 0).unwrap_err(), Unsound::Volume(-32.0));
    let expected = Unsound::Genus {
        found: 0,
        expected: 1,
    };
    assert_eq!(proved(&block(), 1).unwrap_err(), expected);
}

#[test]
fn a_corner_that_is_no_finite_number_is_refused() {
    for value in [f64::NAN, f64::INFINITY] {
        assert!(matches!(
            proved(&with_its_top_at(value), 0),
            Err(Unsound::Unreadable(_))
        ));
    }
    assert!(proved(&with_its_top_at(1e6), 0).is_ok());
    let mut short = stl(&block());
    short.pop();
    assert!(matches!(read_back(short, 0), Err(Unsound::Unreadable(_))));
}
