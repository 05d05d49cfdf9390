//! The ground of a picture as a PNG of few colours.

use super::tint;
use flate2::Compression;
use flate2::write::ZlibEncoder;
use std::io::{self, Write as _};

/// What the PNG filters nothing of: the byte before each of its rows (PNG specification, clause 9.2).
const NO_FILTER: u8 = 0;
/// DEFLATE's effort, of 9: at 5 the pictures of a guide are a tenth larger than at 6, in seven tenths of the
/// time (measured).
const EFFORT: Compression = Compression::new(5);

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
    let mut writer = encoder.write_header()?;
    writer.write_chunk(png::chunk::IDAT, &deflated(colours, width)?)?;
    writer.finish()?;
    Ok(bytes)
}

/// Rows of dots in a zlib stream. All at once: the encoder of the library hands on row by row, and clears a
/// buffer of 32 kB for each, which took longer than to deflate it.
fn deflated(colours: &[u8], width: usize) -> io::Result<Vec<u8>> {
    let mut rows = Vec::with_capacity(colours.len() + colours.len() / width.max(1));
    for row in colours.chunks(width.max(1)) {
        rows.push(NO_FILTER);
        rows.extend_from_slice(row);
    }
    let mut encoder = ZlibEncoder::new(Vec::new(), EFFORT);
    encoder.write_all(&rows)?;
    encoder.finish()
}
