//! Markup of which no text can become a part: names of elements and attributes are the program's own,
//! whatever else is written is escaped.
//!
//! After the HTML standard's rules for writing text and quoted attributes (from memory).

use crate::diagnostic::visible_but;
use crate::picture::{self, Picture};

/// A piece of a page.
#[derive(Default)]
pub(super) struct Markup(String);

impl Markup {
    /// Letters; what could be markup is written as what it is.
    pub(super) fn text(&mut self, letters: &str) {
        self.0.push_str(&escaped(letters));
    }

    /// An element with what stands in it.
    pub(super) fn element(
        &mut self,
        name: &'static str,
        attributes: &[(&'static str, &str)],
        inner: impl FnOnce(&mut Self),
    ) {
        self.empty(name, attributes);
        inner(self);
        self.0.push_str(&format!("</{name}>"));
    }

    /// The tag of an element that has nothing in it and no end.
    pub(super) fn empty(&mut self, name: &'static str, attributes: &[(&'static str, &str)]) {
        self.0.push_str(&format!("<{name}"));
        for (attribute, value) in attributes {
            self.0
                .push_str(&format!(" {attribute}=\"{}\"", escaped(value)));
        }
        self.0.push('>');
    }

    /// An element with letters alone in it.
    pub(super) fn worded(&mut self, name: &'static str, letters: &str) {
        self.element(name, &[], |inner| inner.text(letters));
    }

    /// Markup that the program's source has as it is.
    pub(super) fn fixed(&mut self, markup: &'static str) {
        self.0.push_str(markup);
    }

    /// A picture, with its words for whoever does not see it.
    pub(super) fn picture(&mut self, picture: &Picture) {
        let svg = picture.svg.as_str();
        let end = svg.find('>').unwrap_or_default();
        match svg.split_at_checked("<svg".len()) {
            Some(("<svg", rest)) if !svg[..end].contains("aria-label") => {
                let label = escaped(&picture.shows);
                self.0
                    .push_str(&format!("<svg aria-label=\"{label}\"{rest}"));
            }
            _ => self.0.push_str(svg),
        }
    }

    /// A picture in a frame of its own, so that its styles stay in it.
    pub(super) fn framed_picture(&mut self, picture: &Picture) {
        let source = format!("data:image/svg+xml,{}", in_an_address(&picture.svg));
        self.empty("img", &[("alt", &picture.shows), ("src", &source)]);
    }

    /// What another room wrote as markup, and answers for.
    pub(super) fn of_a_room(&mut self, markup: &str) {
        self.0.push_str(markup);
    }

    /// All of it.
    pub(super) fn finished(self) -> String {
        self.0
    }
}

/// Bytes as they stand in an address (RFC 3986, from memory): letters, digits and a few signs as they are,
/// all else by its number.
fn in_an_address(text: &str) -> String {
    let byte = |byte: u8| match byte {
        b'a'..=b'z'
        | b'A'..=b'Z'
        | b'0'..=b'9'
        | b' '
        | b'-'
        | b'.'
        | b'_'
        | b'='
        | b'/'
        | b':'
        | b',' => char::from(byte).to_string(),
        other => format!("%{other:02X}"),
    };
    text.bytes().map(byte).collect()
}

/// Letters that stand in text and in quoted attributes as what they are. Line ends stay, other letters
/// that drive, hide or turn the reading direction are written as their numbers.
fn escaped(letters: &str) -> String {
    picture::escaped(&visible_but(letters, |letter| letter == '\n'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_hostile_name_stays_text_in_elements_and_attributes() {
        let name = "</p><img src=x onerror=\"alert(1)\">\u{202e}'";
        let mut markup = Markup::default();
        markup.element("p", &[("title", name)], |inner| inner.text(name));
        let written = markup.finished();
        assert_eq!(written.matches('<').count(), 2, "{written}");
        assert_eq!(written.matches('"').count(), 2, "{written}");
        assert!(!written.contains('\u{202e}'));
    }

    proptest! {
        #[test]
        fn prop_text_opens_no_element_and_ends_no_attribute(text in any::<String>()) {
            let written = escaped(&text);
            prop_assert!(!written.contains(['<', '>', '"', '\'']));
        }
    }
}
