//! Text made safe for a terminal and for Markdown, and folded to a page's columns.

use crate::diagnostic::visible_but;
use textwrap::{Options, WordSplitter};

/// Columns of the page.
pub const COLUMNS: usize = 80;

/// Text on one line, in which nothing can drive a terminal, turn the reading direction or hide:
/// letters that could are written as their numbers, and runs of blanks become one blank.
pub fn plain(text: &str) -> String {
    let visible = visible_but(text, |letter| matches!(letter, '\n' | '\r' | '\t'));
    visible.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Plain text in which Markdown sees no markup.
pub fn markdown(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for letter in plain(text).chars() {
        if matches!(
            letter,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '&' | '~'
        ) {
            escaped.push('\\');
        }
        escaped.push(letter);
    }
    escaped
}

/// Plain text that begins with a capital, as a heading does.
pub fn capital(text: &str) -> String {
    let text = plain(text);
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Text folded to the page's columns, without styles, with a line end after each line.
pub fn folded(first: &str, rest: &str, text: &str) -> String {
    let options = Options::new(COLUMNS)
        .initial_indent(first)
        .subsequent_indent(rest)
        // A designation or a kit key is not torn at its hyphen.
        .word_splitter(WordSplitter::NoHyphenation);
    let mut lines = textwrap::wrap(text, options).join("\n");
    lines.push('\n');
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn markdown_of_a_kit_name_is_text() {
        assert_eq!(markdown("a *b* <i>\n# c"), "a \\*b\\* \\<i\\> \\# c");
    }

    proptest! {
        #[test]
        fn prop_plain_text_has_no_control_letters_and_is_plain_already(text in "\\PC*|.*|[\\x00-\\x7f]*") {
            let once = plain(&text);
            prop_assert!(once.chars().all(|letter| !letter.is_control()));
            prop_assert_eq!(plain(&once), once.clone());
        }
    }
}
