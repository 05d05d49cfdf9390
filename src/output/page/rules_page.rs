//! The manual of the rules: the list, one rule's page, and the document of all of them, all
//! from the text that stands beside each rule.

use crate::check::{RULES, Rule};
use crate::output::words::{capital, folded};
use serde::Serialize;

/// Columns of the names in front of the list's lines.
const NAME_COLUMNS: usize = 20;
/// Columns of the titles in front of a page's paragraphs.
const TITLE_COLUMNS: usize = 10;

/// Name and one line of every rule, in the order in which they are judged.
pub fn list() -> String {
    let row = |rule: &Rule| {
        folded(
            &format!("{:<NAME_COLUMNS$}", rule.id),
            &" ".repeat(NAME_COLUMNS),
            rule.about,
        )
    };
    let rows: String = RULES.iter().map(row).collect();
    let closing = "One rule with its formula, its source and what to do: netlead rules ID.";
    format!("{rows}\n{}", folded("", "", closing))
}

/// The page of one rule.
pub fn page(rule: &Rule) -> String {
    let mut page = folded("", "", &format!("{}: {}", rule.id, rule.about));
    let indent = " ".repeat(2 + TITLE_COLUMNS);
    for (title, text) in paragraphs(rule) {
        page.push('\n');
        page.push_str(&folded(
            &format!("  {title:<TITLE_COLUMNS$}"),
            &indent,
            &text,
        ));
    }
    // As it is typed, so not folded.
    let waiver = [
        "[[waive]]".into(),
        format!("check  = \"{}\"", rule.id),
        "reason = \"why it holds for you\"".into(),
    ];
    page.push_str(&format!(
        "\n  {:<TITLE_COLUMNS$}In the kit:\n\n{}",
        "waive",
        waiver.map(|line| format!("{indent}{line}\n")).concat()
    ));
    page
}

/// Titles and texts of a rule's page.
fn paragraphs(rule: &Rule) -> [(&'static str, String); 4] {
    [
        ("why", rule.why.into()),
        ("reckoned", rule.formula.into()),
        ("source", sentence(rule.source)),
        ("mend", sentence(rule.mend)),
    ]
}

/// A line as a sentence.
fn sentence(line: &str) -> String {
    format!("{}.", capital(line))
}

/// Of the document.
const HEAD: &str = "\
# The rules

Made from the code by `cargo run --example rules_manual`; do not edit it by hand. On the command
line: `netlead rules`, `netlead rules ID`.

Every rule judges a kit before anything is written. It *passes*, *notes* what is worth knowing,
*warns* of what may go wrong, or *fails* on what will: then `make` writes nothing. `--strict`
makes warnings fail. A kit may waive a rule that warns or fails, with a reason that the page, the
guide and the report repeat:

```toml
[[waive]]
check  = \"drive-wall\"
reason = \"printed twice with five perimeters, holds\"
```

Many limits are guesses or common practice, and say so; nothing here is a rated load.
";

/// The document of all rules, in Markdown.
pub fn document() -> String {
    let index: String = RULES
        .iter()
        .map(|rule| format!("| [`{0}`](#{0}) | {1} |\n", rule.id, rule.about))
        .collect();
    let sections: String = RULES.iter().map(section).collect();
    format!("{HEAD}\n| rule | what goes wrong |\n|---|---|\n{index}{sections}")
}

fn section(rule: &Rule) -> String {
    format!(
        "\n## {}\n\n{}\n\n{}\n\n**Reckoned.** {}\n\n**Source.** {}\n\n**Mend.** {}\n",
        rule.id,
        sentence(rule.about),
        rule.why,
        rule.formula,
        sentence(rule.source),
        sentence(rule.mend)
    )
}

/// A rule as data.
#[derive(Serialize)]
struct Entry {
    id: &'static str,
    about: &'static str,
    why: &'static str,
    formula: &'static str,
    source: &'static str,
    mend: &'static str,
}

impl From<&Rule> for Entry {
    fn from(rule: &Rule) -> Self {
        Self {
            id: rule.id,
            about: rule.about,
            why: rule.why,
            formula: rule.formula,
            source: rule.source,
            mend: rule.mend,
        }
    }
}

/// Rules as JSON, with a line end.
///
/// # Errors
/// None that text could cause; what the JSON writer says is handed on.
pub fn json(rules: &[&Rule]) -> serde_json::Result<String> {
    let entries: Vec<Entry> = rules.iter().map(|rule| Entry::from(*rule)).collect();
    serde_json::to_string_pretty(&entries).map(|list| format!("{list}\n"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::words::COLUMNS;

    #[test]
    fn every_rule_is_listed_and_every_page_says_formula_source_and_mend() {
        let list = list();
        for rule in RULES {
            assert!(list.contains(rule.id));
            let page = page(rule);
            let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
            for text in [rule.why, rule.formula, &rule.source[1..], &rule.mend[1..]] {
                assert!(words(&page).contains(&words(text)), "{}: {text}", rule.id);
            }
            let wide = |text: &str| text.lines().any(|line| line.chars().count() > COLUMNS);
            assert!(!wide(&page) && !wide(&list), "{}", rule.id);
        }
    }
}
