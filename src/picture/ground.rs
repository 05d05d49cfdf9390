//! The ground of a picture as a PNG of few colours.

use super::tint;
use std::io;

/// A PNG with a palette, eight bits a dot, and its number of dots an inch left to the page.
///
/// # Errors
/// None that a picture can cause; the writer's type has one.
pub(super) fn png(colours: &[u8], width: usize, height: usize) -> io::Result<Vec<u8>> {
    let side = |dots: usize| u32::try_from(dots).map_err(io::Error::other);
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, side(width)?, side(height)?);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(tint::palette());
    encoder.set_filter(png::Filter::NoFilter);
    encoder.set_compression(png::Compression::Balanced);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(colours)?;
    writer.finish()?;
    Ok(bytes)
}
