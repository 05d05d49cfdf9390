//! Pages of help, from the same declarations by which arguments are read.
//!
//! A page says what a command does, how it is typed, and what each word of that stands for.

use crate::output::words::{COLUMNS, folded};
use clap::{Arg, ArgAction, Command};

/// How much of a page is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Length {
    /// What fits a small screen.
    Short,
    /// All of it, with an example.
    Long,
}

/// Columns of the names in front of their meanings, at the most; a meaning behind a longer name
/// begins on a line of its own.
const MOST_NAME: usize = 22;
/// In front of what stands below a heading.
const INDENT: &str = "  ";
/// Between a name and its meaning.
const BETWEEN: &str = "  ";
/// The words of the program itself, on its short page.
const WORDS_IN_SHORT: &str =
    "With each: --json, data for programs; --help, its page. Alone: --version.";
/// What ends the text of a page and begins its examples.
const EXAMPLE: &str = "Example:\n";

/// Commands that no mechanism comes of; the short list of commands has no room for them, and its last line
/// names them.
const TYPING_AIDS: [&str; 3] = ["schema", "completions", "manual"];

/// The arguments as they are declared, with flags for help and version that speak our words.
pub(super) fn dressed(command: Command) -> Command {
    let flag = |name: &'static str, short: char, action: ArgAction, help: &'static str| {
        Arg::new(name)
            .long(name)
            .short(short)
            .action(action)
            .help(help)
    };
    command
        .disable_help_flag(true)
        .disable_version_flag(true)
        .disable_help_subcommand(true)
        .arg(
            flag(
                "help",
                'h',
                ArgAction::Help,
                "This page; with -h the short one",
            )
            .global(true),
        )
        .arg(flag(
            "version",
            'V',
            ArgAction::Version,
            "Which version of netlead this is",
        ))
}

/// The page of the program, or that of one of its commands.
pub(super) fn page(command: &Command, of: Option<&str>, length: Length) -> String {
    let about = |command: &Command| command.get_about().map(ToString::to_string);
    let shown = of.and_then(|name| command.find_subcommand(name));
    let (own, typed) = match shown {
        Some(sub) => (sub, typed(sub, length)),
        None => (command, "COMMAND ...".to_owned()),
    };
    let mut page = folded("", "", &about(own).unwrap_or_default());
    let name = match shown {
        Some(sub) => format!("{} {}", command.get_name(), sub.get_name()),
        None => command.get_name().to_owned(),
    };
    page.push('\n');
    page += &folded("To type: ", "  ", format!("{name} {typed}").trim_end());
    let mut rows: Vec<(String, String)> = Vec::new();
    if shown.is_none() {
        page += "\nCommands:\n";
        let commands = command.get_subcommands();
        let shown =
            |sub: &&Command| length == Length::Long || !TYPING_AIDS.contains(&sub.get_name());
        rows.extend(
            commands
                .filter(shown)
                .map(|sub| (sub.get_name().to_owned(), about(sub).unwrap_or_default())),
        );
        page += &table(&rows);
        rows.clear();
    }
    page.push('\n');
    if shown.is_none() && length == Length::Short {
        page += &folded("", "", WORDS_IN_SHORT);
        return below(page, own, length);
    }
    page += "Words:\n";
    let of_all = command.get_arguments().filter(|arg| arg.is_global_set());
    let own_arguments = own.get_arguments().filter(|arg| !arg.is_global_set());
    let arguments = own_arguments
        .chain(of_all)
        .filter(|arg| is_told(arg, length));
    rows.extend(arguments.map(|arg| (as_typed(arg), meaning(arg))));
    page += &table(&rows);
    below(page, own, length)
}

/// The first example on the page of a command, on one line, as it is to be typed.
pub(super) fn example(command: &Command) -> Option<String> {
    let text = command.get_after_long_help()?.to_string();
    let (_, examples) = text.split_once(EXAMPLE)?;
    let first = examples
        .replace("\\\n", " ")
        .lines()
        .next()?
        .trim()
        .to_owned();
    // What it does stands behind it, further off.
    let typed = first.split(BETWEEN).next()?.to_owned();
    Some(typed)
}

/// What an argument is, as a sentence goes on with it.
pub(super) fn meaning(arg: &Arg) -> String {
    arg.get_help().map(ToString::to_string).unwrap_or_default()
}

/// An argument as it is typed: `KIT`, `--out DIR`.
pub(super) fn as_typed(arg: &Arg) -> String {
    let mut names = arg.get_value_names().unwrap_or_default().iter();
    let name = names.next().map(ToString::to_string).unwrap_or_default();
    match arg.get_long() {
        Some(long) if arg.get_action().takes_values() => format!("--{long} {name}"),
        Some(long) => format!("--{long}"),
        None => name,
    }
}

/// What a page ends with.
fn below(mut page: String, own: &Command, length: Length) -> String {
    let below = match length {
        Length::Short => own.get_after_help(),
        Length::Long => own.get_after_long_help(),
    };
    if let Some(below) = below {
        page.push('\n');
        page += &paragraphs(&below.to_string());
    }
    page
}

/// Whether a page of a length tells of an argument.
fn is_told(arg: &Arg, length: Length) -> bool {
    match length {
        Length::Short => !arg.is_hide_short_help_set(),
        Length::Long => true,
    }
}

/// What is typed behind the name of a command.
pub(super) fn typed(command: &Command, length: Length) -> String {
    let arguments = command.get_arguments().filter(|arg| !arg.is_global_set());
    let arguments = arguments.filter(|arg| is_told(arg, length));
    let each = arguments.map(|arg| {
        let name = as_typed(arg);
        match arg.is_required_set() {
            true => name,
            false => format!("[{name}]"),
        }
    });
    each.collect::<Vec<_>>().join(" ")
}

/// Names and what each means, in two columns.
fn table(rows: &[(String, String)]) -> String {
    let widest = rows.iter().map(|(name, _)| name.chars().count()).max();
    let width = widest.unwrap_or_default().min(MOST_NAME);
    let rest = " ".repeat(INDENT.len() + width + BETWEEN.len());
    let row = |(name, meaning): &(String, String)| match name.chars().count() <= width {
        true => folded(&format!("{INDENT}{name:width$}{BETWEEN}"), &rest, meaning),
        false => format!("{INDENT}{name}\n{}", folded(&rest, &rest, meaning)),
    };
    rows.iter().map(row).collect()
}

/// Text whose lines fit the page; one that is further in, and short enough, stays as it is.
fn paragraphs(text: &str) -> String {
    let mut told = String::new();
    for line in text.lines() {
        match line.chars().count() <= COLUMNS {
            true => {
                told += line;
                told.push('\n');
            }
            false => told += &folded("", "", line),
        }
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_example_is_taken_without_what_it_does_and_over_its_lines() {
        let of = |text: &'static str| example(&Command::new("any").after_long_help(text)).unwrap();
        assert_eq!(
            of("Words.\n\nExample:\n  netlead a b   does it\n  netlead c"),
            "netlead a b"
        );
        assert_eq!(of("Example:\n  netlead a \\\n      --row"), "netlead a");
    }
}
