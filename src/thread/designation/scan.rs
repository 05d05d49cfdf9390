//! Walks over the text of a designation, one sign at a time, keeping the byte positions.

use std::ops::Range;

/// A place in a text.
#[derive(Clone)]
pub(super) struct Scanner<'a> {
    text: &'a str,
    position: usize,
}

/// Signs that stand for a hyphen: hyphens and dashes that editors put in its place, minus.
const HYPHENS: [char; 6] = [
    '-', '\u{2010}', '\u{2011}', '\u{2012}', '\u{2013}', '\u{2212}',
];

/// Signs that stand between a size and a pitch.
pub(super) const TIMES: [char; 3] = ['x', 'X', '\u{d7}'];

/// A number as it was written.
#[derive(Clone, Debug)]
pub(super) struct Number {
    /// Its value; infinite if it has too many digits.
    pub(super) value: f64,
    /// Its bytes.
    pub(super) at: Range<usize>,
    /// Whether it had neither a point nor a fraction.
    pub(super) whole: bool,
}

impl<'a> Scanner<'a> {
    pub(super) const fn new(text: &'a str) -> Self {
        Self { text, position: 0 }
    }

    pub(super) const fn position(&self) -> usize {
        self.position
    }

    /// The whole text.
    pub(super) const fn text(&self) -> &'a str {
        self.text
    }

    /// Whether a letter stands here that does not begin a hand.
    pub(super) fn at_letter(&self) -> bool {
        let mut ahead = self.clone();
        let hand = ahead.eat_word("LH") || ahead.eat_word("RH");
        !hand && self.left().starts_with(char::is_alphabetic)
    }

    fn left(&self) -> &'a str {
        self.text.get(self.position..).unwrap_or_default()
    }

    /// The text between two positions.
    pub(super) fn slice(&self, at: Range<usize>) -> &'a str {
        self.text.get(at).unwrap_or_default()
    }

    /// Where the next sign stands, to blame it.
    pub(super) fn here(&self) -> Range<usize> {
        let length = self.left().chars().next().map_or(0, char::len_utf8);
        self.position..self.position + length
    }

    pub(super) fn at_end(&self) -> bool {
        self.left().is_empty()
    }

    fn skip_while(&mut self, matches: impl Fn(char) -> bool) -> usize {
        let rest = self.left().trim_start_matches(matches);
        let from = self.position;
        self.position = self.text.len() - rest.len();
        self.position - from
    }

    pub(super) fn skip_spaces(&mut self) {
        self.skip_while(char::is_whitespace);
    }

    /// Skips hyphens and the spaces around them.
    pub(super) fn skip_separators(&mut self) {
        self.skip_while(|sign| sign.is_whitespace() || HYPHENS.contains(&sign));
    }

    /// Takes one of `signs`, with the spaces before it; without one nothing is taken.
    pub(super) fn eat(&mut self, signs: &[char]) -> bool {
        let mut ahead = self.clone();
        ahead.skip_spaces();
        let Some(sign) = ahead.left().chars().next() else {
            return false;
        };
        let found = signs.contains(&sign);
        if found {
            self.position = ahead.position + sign.len_utf8();
        }
        found
    }

    pub(super) fn eat_hyphen(&mut self) -> bool {
        self.eat(&HYPHENS)
    }

    /// Takes a letter in either case.
    pub(super) fn eat_letter(&mut self, capital: char) -> bool {
        self.eat(&[capital, capital.to_ascii_lowercase()])
    }

    /// Takes a word in either case, or nothing.
    pub(super) fn eat_word(&mut self, word: &str) -> bool {
        let mut ahead = self.clone();
        ahead.skip_spaces();
        let found = ahead
            .left()
            .get(..word.len())
            .is_some_and(|start| start.eq_ignore_ascii_case(word));
        if found {
            self.position = ahead.position + word.len();
        }
        found
    }

    /// Takes the letters and digits that follow.
    pub(super) fn word(&mut self) -> (&'a str, Range<usize>) {
        self.skip_spaces();
        let from = self.position;
        self.skip_while(char::is_alphanumeric);
        (&self.text[from..self.position], from..self.position)
    }

    /// Takes all that is left but the spaces at the end.
    pub(super) fn rest(&mut self) -> (&'a str, Range<usize>) {
        let from = self.position;
        let rest = self.left().trim_end();
        self.position = self.text.len();
        (rest, from..from + rest.len())
    }

    pub(super) fn at_number(&self) -> bool {
        self.clone().number().is_some()
    }

    /// Takes a number without a sign, with a decimal point or comma.
    pub(super) fn number(&mut self) -> Option<Number> {
        let mut ahead = self.clone();
        ahead.skip_spaces();
        let from = ahead.position;
        let mut digits = ahead.skip_while(|sign| sign.is_ascii_digit());
        let mut fraction = ahead.clone();
        let pointed = fraction.left().starts_with(['.', ',']);
        if pointed {
            fraction.position += 1;
            let decimals = fraction.skip_while(|sign| sign.is_ascii_digit());
            if decimals > 0 {
                digits += decimals;
                ahead = fraction;
            }
        }
        if digits == 0 {
            return None;
        }
        let at = from..ahead.position;
        let written = self.text.get(at.clone())?.replace(',', ".");
        self.position = ahead.position;
        Some(Number {
            value: written.parse().ok()?,
            at,
            whole: !written.contains('.'),
        })
    }

    /// Takes `3/4`, `1 1/4`, `1-1/4` or a plain number.
    pub(super) fn fraction(&mut self) -> Option<Number> {
        let first = self.number()?;
        if !first.whole {
            return Some(first);
        }
        if let Some(share) = self.over(&first) {
            return Some(share);
        }
        let mut ahead = self.clone();
        ahead.eat_hyphen();
        let share = ahead.number().and_then(|top| ahead.over(&top));
        let Some(share) = share else {
            return Some(first);
        };
        self.position = ahead.position;
        Some(Number {
            value: first.value + share.value,
            at: first.at.start..share.at.end,
            whole: false,
        })
    }

    /// Takes `/4` after the number `top`.
    fn over(&mut self, top: &Number) -> Option<Number> {
        let mut ahead = self.clone();
        if !ahead.eat(&['/', '\u{2044}']) {
            return None;
        }
        let bottom = ahead.number().filter(|number| number.whole && top.whole)?;
        self.position = ahead.position;
        Some(Number {
            value: top.value / bottom.value,
            at: top.at.start..bottom.at.end,
            whole: false,
        })
    }
}
