//! The page's own program, in the order in which it is read: one function around all of its files.

/// Files of the program, those that others use first.
const FILES: [&str; 9] = [
    include_str!("script/kit.js"),
    include_str!("script/surface.js"),
    include_str!("script/state.js"),
    include_str!("script/motion.js"),
    include_str!("script/look.js"),
    include_str!("script/painter.js"),
    include_str!("script/drawing.js"),
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

    #[test]
    fn nothing_in_the_program_ends_its_element_or_leaves_the_page() {
        let script = script();
        for word in ["</script", "<!--", "://", "fetch(", "import(", "eval("] {
            let allowed = word == "://"
                && script.matches(word).count()
                    == script.matches("http://www.w3.org/2000/svg").count();
            assert!(allowed || !script.contains(word), "{word}");
        }
    }
}
