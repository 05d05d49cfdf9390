//! The sheet of a picture, and words on it that no markup can hide in.

/// A drawing that needs nothing beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Name of its file without the ending, also unique among a folder's pictures: `section`.
    pub name: String,
    /// What it shows, in words, for whoever does not see it.
    pub shows: String,
    /// Width and height on paper, in mm.
    pub paper: [f64; 2],
    /// A whole `<svg>` element, which may stand in a page as it is: it has no id and no style sheet.
    pub svg: String,
}

impl Picture {
    /// A picture from what stands in it, on white paper of a width and a height in mm.
    pub fn of(name: &str, shows: &str, [wide, high]: [f64; 2], inside: &str) -> Self {
        let label = escaped(shows);
        Self {
            name: name.into(),
            shows: shows.into(),
            paper: [wide, high],
            svg: format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"{label}\" \
                 width=\"{wide:.2}mm\" height=\"{high:.2}mm\" viewBox=\"0 0 {wide:.2} {high:.2}\">\
                 <rect width=\"{wide:.2}\" height=\"{high:.2}\" fill=\"#fff\"/>{inside}</svg>"
            ),
        }
    }
}

/// Text in which XML sees no markup. Line ends stay, other control letters become blanks.
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\n' => safe.push('\n'),
            control if control.is_control() => safe.push(' '),
            other => safe.push(other),
        }
    }
    safe
}
