//! The page's own program, in the order in which it is read: one function around all of its files.

/// Files of the program, those that others use first.
const FILES: [&str; 12] = [
    include_str!("script/kit.js"),
    include_str!("script/surface.js"),
    include_str!("script/state.js"),
    include_str!("script/motion.js"),
    include_str!("script/look.js"),
    include_str!("script/painter.js"),
    include_str!("script/drawing.js"),
    include_str!("script/readings.js"),
    include_str!("script/parts.js"),
    include_str!("script/hand.js"),
    include_str!("script/controls.js"),
    include_str!("script/start.js"),
];

/// The program, without its element.
pub(super) fn script() -> String {
    format!("(() => {{\n\"use strict\";\n{}}})();\n", FILES.join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A name of the drawing's language, by which no reader asks for anything.
    const NAMESPACE: &str = "http://www.w3.org/2000/svg";

    #[test]
    fn nothing_in_the_program_ends_its_element_or_leaves_the_page() {
        let script = script().replace(NAMESPACE, "");
        for word in ["</script", "<!--", "://", "fetch(", "import(", "eval("] {
            assert!(!script.contains(word), "{word}");
        }
    }
}
