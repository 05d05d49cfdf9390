//! Terms in words.

use crate::printer::Term;

/// A term in words.
pub fn term_words(term: Term) -> &'static str {
    match term {
        Term::ScaleX => "scale along x",
        Term::ScaleY => "scale along y",
        Term::ScaleZ => "scale of heights",
        Term::ZOffset => "offset of heights",
        Term::OuterGrowth => "growth of outer faces",
        Term::SlotGrowth => "growth of slot walls",
        Term::HoleGrowth => "growth of hole walls",
        Term::Curvature => "curvature",
        Term::LyingGrowth => "growth of lying holes' walls",
        Term::LyingSag => "sag of lying holes",
        Term::FlankExtra => "flank extra",
        Term::FirstLayerFlare => "first-layer flare",
    }
}
