//! An eye drawn in front of what it looks at, for every place that says clockwise.

use super::markup::Markup;
use crate::assembly::Eye;

/// The eye and its line of sight, which ends at x = 50; all in a box of 116 by 36.
const LOOKING: &str = "<path d=\"M3 18Q14 7 25 18Q14 29 3 18Z\"/><circle cx=\"14\" cy=\"18\" r=\"3.4\" \
     fill=\"currentColor\"/><path stroke-dasharray=\"4 3\" d=\"M29 18H44\"/><path fill=\"currentColor\" \
     d=\"M50 18L43 15V21Z\"/>";

/// A screw's shank from x = 68 on, with its thread.
const SHANK: &str = "<path d=\"M68 11H112V25H68M74 11L70 25M81 11L77 25M88 11L84 25M95 11L91 25M102 11L98 \
     25M109 11L105 25\"/>";

/// What an eye looks at, in front of the shank.
fn head(eye: Eye) -> &'static str {
    match eye {
        Eye::DriveHead => {
            "<path d=\"M54 5Q54 3 56 3H66Q68 3 68 5V31Q68 33 66 33H56Q54 33 54 31ZM54 10H68M54 18H68M54 26H68\"/>"
        }
        Eye::SlottedHead => "<path d=\"M56 5H68V31H56V21H61V15H56Z\"/>",
        Eye::Sleeve => {
            "<path d=\"M54 6H72V11M54 30H72V25M54 6V12H66V24H54V30M54 6V30\" stroke-dasharray=\"none\"/>"
        }
    }
}

/// Where the eye is, drawn and in words.
pub(super) fn drawn(markup: &mut Markup, eye: Eye) {
    let words = format!(
        "Clockwise and counter-clockwise: seen from {}.",
        eye.words()
    );
    markup.element("p", &[("class", "eye")], |p| {
        p.fixed(
            "<svg viewBox=\"0 0 116 36\" aria-hidden=\"true\" fill=\"none\" stroke=\"currentColor\" \
             stroke-width=\"1.3\" stroke-linejoin=\"round\">",
        );
        p.fixed(LOOKING);
        p.fixed(head(eye));
        p.fixed(SHANK);
        p.fixed("</svg>");
        p.worded("span", &words);
    });
}
