//! A kit built in code: no file is read, and none is written until `--out DIR` asks for it.
//!
//! `cargo run --release --example kit_in_code`

use netlead::assembly::PartId;
use netlead::kit::Draft;
use netlead::making::{self, InMemory};
use netlead::output::formats::KIT;
use netlead::units::{Force, Length, Torque};
use std::error::Error;
use std::fmt::Write as _;

/// What the kit comes to: its verdict, its parts and its steps, and how many files a folder of it has.
pub(crate) fn told() -> Result<String, Box<dyn Error>> {
    let (drive, inner) = ("M20x2.5".parse()?, "M12x1.75".parse()?);
    let draft = Draft::nested("probe stage", &drive, &inner, Length::mm(12.0))
        .with("load", Force::newtons(20.0))?
        .with("hand_torque", Torque::newton_metres(1.0))?
        .with("head.kind", "hexagon")?
        .with_joint_gap("drive/frame", Length::mm(0.12))?;

    let read = making::read("the draft", &draft.to_string(), &InMemory::none())?;
    let product = read.judge(&|_| {})?;

    let mut told = String::new();
    writeln!(
        told,
        "a turn moves it {:.3} mm",
        product.motion.net_lead.as_mm()
    )?;
    writeln!(told, "it can be printed: {}", !product.fails())?;
    for (index, part) in product.design.assembly.parts.iter().enumerate() {
        let Some(written) = product.written(PartId(index)) else {
            writeln!(told, "{} x {}: bought", part.quantity, part.name)?;
            continue;
        };
        let (count, name) = (part.quantity, &part.name);
        let (facets, bytes) = (written.triangles, written.bytes.len());
        writeln!(
            told,
            "{count} x {name}: {facets} facets, {bytes} bytes of STL"
        )?;
    }
    for (number, step) in (1..).zip(&product.design.steps) {
        writeln!(told, "step {number}: {}", step.text)?;
    }
    let files = KIT.write(&product)?;
    writeln!(told, "{} files would be written", files.len())?;
    Ok(told)
}

#[expect(clippy::print_stdout, reason = "what it tells is what it is for")]
fn main() -> Result<(), Box<dyn Error>> {
    print!("{}", told()?);
    Ok(())
}
