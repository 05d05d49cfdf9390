//! The fragment's HTML: heading, what stands there without a program, canvas, controls and data.

use super::kit::Shown;
use super::packed::Packed;
use super::script::script;
use crate::output::kit::Product;

/// Its style, in names that begin with its own.
const STYLE: &str = include_str!("viewer.css");
/// Everything that is the same for every kit; what only some have is shown by the program.
const STAGE: &str = include_str!("stage.html");

/// The whole fragment.
pub(super) fn fragment(product: &Product, shown: &Shown, packed: &Packed) -> String {
    let told = told(shown);
    let turns = product.design.course.turns;
    let stage = STAGE.replace("{turns}", &format!("{turns}"));
    format!(
        "<section id=\"viewer\" class=\"viewer\" aria-labelledby=\"viewer-title\" \
         data-state=\"unread\">\n<style>\n{STYLE}</style>\n{stage}\
         <script type=\"application/json\" id=\"viewer-kit\">{told}</script>\n\
         <script type=\"text/plain\" id=\"viewer-meshes\">{}</script>\n\
         <script>\n{}</script>\n</section>\n",
        packed.text,
        script()
    )
}

/// The kit as the program reads it.
pub(super) fn told(shown: &Shown) -> String {
    serde_json::to_string(shown).map_or_else(|_| "null".into(), |text| in_script(&text))
}

/// JSON in which nothing can end the element that holds it.
fn in_script(json: &str) -> String {
    json.replace('<', "\\u003c")
}
