//! A mesh handed to another crate: which way a part's weight pulls it, by the mass properties that
//! a collision library finds from the same triangles.
//!
//! `cargo run --release --example mesh_elsewhere`

use netlead::kit::Draft;
use netlead::making::{self, InMemory};
use netlead::solid::Mesh;
use netlead::units::Length;
use parry3d_f64::math::Vector;
use parry3d_f64::shape::{Shape, TriMesh};
use std::error::Error;
use std::fmt::Write as _;

/// The mesh as the other crate has it: points in mm and triples of their numbers, as they are.
fn handed_on(mesh: &Mesh) -> Result<TriMesh, Box<dyn Error>> {
    let points = mesh.points.iter().map(|p| Vector::new(p.x, p.y, p.z));
    Ok(TriMesh::new(points.collect(), mesh.triangles.clone())?)
}

/// Of every part its volume by either crate, and how high above the bed its middle of mass lies.
pub(crate) fn told() -> Result<String, Box<dyn Error>> {
    let draft = Draft::nested(
        "stage",
        &"M20x2.5".parse()?,
        &"M12x1.75".parse()?,
        Length::mm(10.0),
    )
    .with("tolerance", Length::mm(0.05))?;
    let read = making::read("the draft", &draft.to_string(), &InMemory::none())?;
    let product = read.work(&|_| {})?;
    let mut told =
        String::from("part            mm3   mm3 there   middle of mass above the bed, mm\n");
    for (part, body) in product
        .design
        .assembly
        .parts
        .iter()
        .zip(product.bodies.iter())
    {
        let there = handed_on(body.mesh())?.mass_properties(1.0);
        writeln!(
            told,
            "{:<12} {:>8.1} {:>10.1} {:>10.2}",
            part.name,
            body.mesh().volume_mm3(),
            there.mass(),
            there.local_com.z
        )?;
    }
    Ok(told)
}

#[expect(clippy::print_stdout, reason = "what it tells is what it is for")]
fn main() -> Result<(), Box<dyn Error>> {
    print!("{}", told()?);
    Ok(())
}
