//! `pictures/*.svg`: the pictures of the guide as files of their own, where they are wanted.

use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::kit::Product;
use crate::output::sheet;
use crate::picture::Picture;

/// The format.
pub struct PictureFiles;

/// File of a picture, relative to the folder.
fn path(name: &str) -> String {
    format!("pictures/{name}.svg")
}

impl Format<Product> for PictureFiles {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        let album = product.album.as_ref().filter(|album| album.as_files);
        let Some(album) = album else {
            return Ok(Vec::new());
        };
        let file = |picture: &Picture| OutFile::new(path(&picture.name), picture.svg.as_bytes());
        let shaded = album.pictures().map(file);
        let drawn = sheet::all(product);
        let aids = product.bench_aids();
        let aids = aids.flat_map(|aid| &aid.pictures).map(file);
        Ok(shaded.chain(drawn.iter().map(file)).chain(aids).collect())
    }

    fn owns(&self, name: &str) -> bool {
        let inside = name.strip_prefix("pictures/");
        let stem = inside.and_then(|inside| inside.strip_suffix(".svg"));
        stem.is_some_and(|stem| !stem.is_empty() && !stem.contains('/'))
    }
}
