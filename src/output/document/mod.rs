//! A text in sections, and how it is written: as Markdown that reads well as plain text, and as a page
//! that needs nothing beside it.
//!
//! What is said stands in the [`Document`] once; [`markdown`] and [`page`] differ in how they lay it out
//! and in that only a page has pictures. Text is text: neither writer lets it become markup.

mod drawn_eye;
mod laid;
pub(crate) mod markdown;
mod markup;
pub(crate) mod page;

use super::words::plain;
use crate::assembly::{Caution, Eye};
use crate::picture::Picture;

/// A text in sections.
#[derive(Clone, Debug)]
pub(crate) struct Document {
    /// What it is about.
    pub title: Text,
    /// What stands before all sections.
    pub opening: Vec<Block>,
    /// The sections, in their order.
    pub sections: Vec<Section>,
}

/// A part of a text with a heading.
#[derive(Clone, Debug)]
pub(crate) struct Section {
    /// By which links find it: lower-case, unique in the document.
    pub id: &'static str,
    /// Its heading.
    pub title: Text,
    /// What it says.
    pub blocks: Vec<Block>,
}

impl Section {
    /// A section under a plain heading.
    pub(crate) fn new(id: &'static str, title: &str, blocks: Vec<Block>) -> Self {
        Self {
            id,
            title: Text::plain(title),
            blocks,
        }
    }

    /// A list under a heading; nothing where the list is empty.
    pub(crate) fn listed(id: &'static str, title: &str, items: Vec<Text>) -> Option<Self> {
        (!items.is_empty()).then(|| Self::new(id, title, vec![Block::List(items)]))
    }
}

/// One thing that a section says.
#[derive(Clone, Debug)]
pub(crate) enum Block {
    /// Sentences that belong together.
    Paragraph(Text),
    /// Orders for a hand that follow each other; a page gives each sentence a line of its own.
    Orders(Text),
    /// Things beside each other.
    List(Vec<Text>),
    /// Things after each other.
    Numbered(Vec<Text>),
    /// Values by their names.
    Facts(Vec<(Text, Text)>),
    /// Rows and columns.
    Table(Table),
    /// What may harm, and what to do.
    Caution(Caution),
    /// A part of its own below the section's heading.
    Part(Part),
    /// A picture, on a page alone.
    Figure(Figure),
    /// Pictures beside each other, on a page alone.
    Gallery(Vec<Figure>),
    /// A picture that lies beside the text in a file of its own, in Markdown alone.
    PictureFile {
        /// Relative to the folder.
        path: &'static str,
        /// What it shows.
        shows: &'static str,
    },
    /// Lines of text as they are typed or drawn.
    Verbatim(String),
    /// Where the eye is for which a way to turn is said, on a page alone.
    Eye(Eye),
    /// What a page lays out otherwise than Markdown does; the words are the same.
    TwoWays {
        /// On a page.
        page: Vec<Block>,
        /// In Markdown.
        markdown: Vec<Block>,
    },
    /// A sheet to write readings into.
    Sheet(Sheet),
    /// Markup of a room of its own, on a page alone.
    Viewer(String),
}

/// A part of a section.
#[derive(Clone, Debug)]
pub(crate) struct Part {
    /// By which links find it, unique in the document.
    pub id: String,
    /// Its heading.
    pub title: Text,
    /// What it says.
    pub blocks: Vec<Block>,
    /// Whether a page keeps it together on paper.
    pub whole: bool,
}

/// A picture with its words.
#[derive(Clone, Debug)]
pub(crate) struct Figure {
    /// The picture.
    pub picture: Picture,
    /// What it shows; none of a drawing, which has its words in it.
    pub caption: Option<Text>,
    /// Whether it has a style of its own, and so is shown in a frame of its own.
    pub framed: bool,
}

impl Figure {
    /// A picture that stands in a page as it is.
    pub(crate) fn new(picture: Picture, caption: Text) -> Self {
        Self {
            picture,
            caption: Some(caption),
            framed: false,
        }
    }
}

/// Rows and columns.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    /// What it lists.
    pub caption: Text,
    /// The titles of its columns.
    pub columns: Vec<Text>,
    /// Its rows, a cell for each column; the cell of the column `named` names the row.
    pub rows: Vec<Vec<Cell>>,
    /// Which column names a row.
    pub named: usize,
    /// Whether a narrow page stands each row's cells below each other.
    pub stands: bool,
}

/// A cell of a table.
#[derive(Clone, Debug)]
pub(crate) enum Cell {
    /// Words.
    Text(Text),
    /// Words for a part, by whose name a page's moving drawing finds them.
    Part {
        /// The part's name.
        name: String,
        /// How it is called.
        called: Text,
    },
    /// A figure, to the right.
    Number(Text),
    /// A picture, on a page alone.
    Picture(Picture),
    /// Several lines.
    Lines(Vec<Text>),
    /// Room to write into, on paper.
    Blank,
}

/// A sheet to write readings into, by hand on paper or in its boxes on a page.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    /// The titles of its columns.
    pub columns: [Text; 4],
    /// Its rows.
    pub rows: Vec<SheetRow>,
    /// What is written beside the rows: label and what stands there at first.
    pub heads: Vec<SheetHead>,
    /// The file that the readings make, with [`Sheet::BLANK`] for each of them.
    pub file: String,
    /// What the button says that puts it together.
    pub button: Text,
}

impl Sheet {
    /// What stands for a reading that is not there yet.
    pub(crate) const BLANK: &'static str = "____";
}

/// A row of a sheet.
#[derive(Clone, Debug)]
pub(crate) struct SheetRow {
    /// Where to read.
    pub at: Text,
    /// How to come there.
    pub way: Text,
    /// What is to be expected.
    pub expected: Text,
}

/// What a sheet asks once.
#[derive(Clone, Debug)]
pub(crate) struct SheetHead {
    /// The key of the file.
    pub key: &'static str,
    /// What it asks.
    pub label: Text,
    /// What may be chosen; empty where it is written.
    pub choices: Vec<&'static str>,
}

/// A text of runs, each of one kind.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Text(pub Vec<Run>);

/// A run of letters of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Run {
    /// Words.
    Words(String),
    /// What is typed as it stands.
    Code(String),
    /// Words that stand out.
    Strong(String),
    /// Words said in another tone.
    Emphasis(String),
}

impl Text {
    /// Words alone; what stands between backticks stays as it is, for whoever wrote it may be anyone.
    pub(crate) fn plain(words: &str) -> Self {
        Self(vec![Run::Words(plain(words))])
    }

    /// Words in which what stands between two backticks is code. A backtick without its like is a letter.
    pub(crate) fn coded(words: &str) -> Self {
        let words = plain(words);
        let parts: Vec<&str> = words.split('`').collect();
        // Of so many backticks each has its like.
        let paired = (parts.len() - 1) / 2 * 2;
        let run = |(index, part): (usize, &&str)| match index {
            lone if lone > paired => Run::Words(format!("`{part}")),
            inside if inside % 2 == 1 => Run::Code((*part).into()),
            _ => Run::Words((*part).into()),
        };
        let runs = parts.iter().enumerate().map(run);
        let runs = runs.filter(|run| !matches!(run, Run::Words(words) if words.is_empty()));
        let runs = runs.collect();
        Self(runs)
    }

    /// With more words behind.
    #[must_use]
    pub(crate) fn then(mut self, more: impl Into<Self>) -> Self {
        self.0.extend(more.into().0);
        self
    }

    /// Words that stand out.
    pub(crate) fn strong(words: &str) -> Self {
        Self(vec![Run::Strong(plain(words))])
    }

    /// Words said in another tone.
    pub(crate) fn emphasis(words: &str) -> Self {
        Self(vec![Run::Emphasis(plain(words))])
    }

    /// A blank or a mark between others, as it is.
    pub(crate) fn mark(letters: &'static str) -> Self {
        Self(vec![Run::Words(letters.into())])
    }

    /// The letters alone.
    pub(crate) fn letters(&self) -> String {
        let letters = self.0.iter().map(|run| match run {
            Run::Words(words) | Run::Code(words) | Run::Strong(words) | Run::Emphasis(words) => {
                words.as_str()
            }
        });
        letters.collect()
    }

    /// Whether there is nothing in it.
    pub(crate) fn is_empty(&self) -> bool {
        self.letters().is_empty()
    }

    /// Its sentences, each a text: words end one where a blank and a capital follow on a full stop.
    fn sentences(&self) -> Vec<Self> {
        let mut all = vec![Self::default()];
        for run in &self.0 {
            let Run::Words(words) = run else {
                all.last_mut()
                    .into_iter()
                    .for_each(|text| text.0.push(run.clone()));
                continue;
            };
            for (index, sentence) in split(words).into_iter().enumerate() {
                if index > 0 {
                    all.push(Self::default());
                }
                let run = Run::Words(sentence.to_owned());
                all.last_mut()
                    .into_iter()
                    .for_each(|text| text.0.push(run.clone()));
            }
        }
        all.retain(|text| !text.is_empty());
        all
    }
}

/// Words, cut behind each full stop that a blank and a capital follow.
fn split(words: &str) -> Vec<&str> {
    let mut cut = Vec::new();
    let mut start = 0;
    for (at, _) in words.match_indices(". ") {
        let next = &words[at + 2..];
        if next.starts_with(|letter: char| letter.is_uppercase()) {
            cut.push(&words[start..=at]);
            start = at + 2;
        }
    }
    cut.push(&words[start..]);
    cut
}

impl From<&str> for Text {
    fn from(words: &str) -> Self {
        Self::plain(words)
    }
}

impl From<String> for Text {
    fn from(words: String) -> Self {
        Self::plain(&words)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_stands_between_backticks_is_code_and_a_lone_one_is_a_letter() {
        let code = |words: &str| Run::Code(words.into());
        let words = |words: &str| Run::Words(words.into());
        assert_eq!(
            Text::coded("write `a = 1`, or `b`").0,
            [words("write "), code("a = 1"), words(", or "), code("b")]
        );
        assert_eq!(Text::coded("a ` b").0, [words("a "), words("` b")]);
        assert_eq!(Text::coded("`a` and `b").letters(), "a and `b");
    }

    #[test]
    fn orders_are_cut_into_sentences_and_nowhere_else() {
        let text = Text::coded("Turn 0.4 of a turn. Then stop: e.g. here. Write `a. B` down. End");
        let cut: Vec<String> = text.sentences().iter().map(Text::letters).collect();
        assert_eq!(
            cut,
            [
                "Turn 0.4 of a turn.",
                "Then stop: e.g. here.",
                "Write a. B down.",
                "End"
            ]
        );
    }

    proptest! {
        #[test]
        fn prop_no_letter_is_lost_in_sentences(words in "[a-zA-Z. `]{0,40}") {
            let text = Text::coded(&words);
            let cut: Vec<String> = text.sentences().iter().map(Text::letters).collect();
            let joined: String = cut.join(" ").split_whitespace().collect();
            let whole: String = text.letters().split_whitespace().collect();
            prop_assert_eq!(joined, whole);
        }
    }
}
