//! The moving model of the guide's page: from a product to one fragment of HTML that needs nothing
//! beside it.
//!
//! [`block`] gives a `<section>` under a heading of level 2, with a canvas, its controls, the meshes and the
//! program that draws them. A sentence that points to the pictures stands in it as it is; all else shows itself only where the page's reader runs programs and draws with WebGL2. It draws by
//! parallel projection, so that a length is as long anywhere: a drawing, and no photograph.
//!
//! What the page around it may rely on: its id is `viewer`, those of all in it begin with `viewer-`, and
//! every element of the page that carries `data-part` with a part's name (in a row of the bill) gets a
//! button that picks the part; its row has the class `viewer-picked` while it is. The address's fragment
//! sets the state, as `#turn=3.5&cut=0` (`script/state.js` has the names); the `data-` attributes tell it.

mod apart;
mod hatch;
mod kit;
mod markup;
mod packed;
mod script;

use crate::output::album::Model;
use crate::output::kit::Product;
use serde::Serialize;

pub use apart::step_ranges;
pub use packed::{Packed, PackedMesh, unpacked};

/// The fragment; `None` of a product without an album.
pub fn block(product: &Product) -> Option<String> {
    let album = product.album.as_ref()?;
    let (shown, packed) = kit::shown(product, &album.meshes, album.plain.as_ref());
    Some(markup::fragment(product, &shown, &packed))
}

/// What a fragment that is shown already may take in place of what it holds: the texts of its elements
/// `viewer-kit` and `viewer-meshes`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Moving {
    /// The kit, as JSON.
    pub kit: String,
    /// The meshes.
    pub meshes: String,
}

/// The moving drawing of a product that is not judged yet.
pub fn moving(product: &Product, model: &Model) -> Moving {
    let (shown, packed) = kit::shown(product, &model.meshes, model.plain.as_ref());
    Moving {
        kit: markup::told(&shown),
        meshes: packed.text,
    }
}
