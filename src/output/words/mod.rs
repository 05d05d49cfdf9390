//! Words that all outputs share: names, cautions, and text that is safe and folded.

mod names;
mod text;

pub use names::{
    CAUTION_IN_A_LINE, CAUTION_IN_SHORT, CAUTIONS, density, finding_line, material_name,
    outcome_word, subject_called, subject_name, turning_words,
};
pub use text::{COLUMNS, capital, folded, markdown, plain};
