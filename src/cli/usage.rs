//! Arguments that cannot be understood: what is wrong with them, and what to type instead, in the
//! words of every other message.

use super::pages::{self, Length};
use super::presets::{Preset, nearest};
use super::streams;
use super::trouble::{Ending, Trouble};
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Arg, Command};
use std::error::Error;
use std::ffi::OsString;
use std::num::{ParseFloatError, ParseIntError};
use std::path::Path;

/// Words that people type for commands, as far as no misspelling leads to them.
const LIKELY: [(&str, &str); 16] = [
    ("build", "make"),
    ("generate", "make"),
    ("print", "make"),
    ("write", "make"),
    ("verify", "check"),
    ("judge", "check"),
    ("test", "coupon"),
    ("calibrate", "tune"),
    ("new", "start"),
    ("init", "start"),
    ("list", "presets"),
    ("disassemble", "take-apart"),
    ("measure", "trial"),
    ("sweep", "vary"),
    ("man", "manual"),
    ("editor", "schema"),
];

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
pub(super) struct Raw {
    /// The command; without it, the page of all commands
    command: Option<String>,
}

/// Prints the page of a command.
pub(super) fn help(raw: &Raw, command: &Command) -> Result<Ending, Trouble> {
    let name = raw.command.as_deref();
    if let Some(name) = name.filter(|name| command.find_subcommand(name).is_none()) {
        return Err(no_command(command, name));
    }
    streams::page(&pages::page(command, name, Length::Long))?;
    Ok(Ending::Done)
}

/// What was typed, with what may be typed.
struct Typed<'a> {
    command: &'a Command,
    arguments: &'a [OsString],
}

/// Answers arguments that ask for a page, or that cannot be understood.
pub(super) fn answer(
    error: &clap::Error,
    command: &Command,
    arguments: &[OsString],
) -> Result<Ending, Trouble> {
    let typed = Typed { command, arguments };
    let sub = typed.sub().map(Command::get_name);
    match error.kind() {
        ErrorKind::DisplayHelp => {
            let short = arguments.iter().any(|word| word == "-h");
            let length = if short { Length::Short } else { Length::Long };
            streams::page(&pages::page(command, sub, length))?;
            Ok(Ending::Done)
        }
        ErrorKind::DisplayVersion => {
            let version = command.get_version().unwrap_or_default();
            streams::page(&format!("{} {version}\n", command.get_name()))?;
            Ok(Ending::Done)
        }
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand | ErrorKind::MissingSubcommand => {
            streams::tell(&pages::page(command, sub, Length::Short));
            Ok(Ending::Misused)
        }
        _ => Err(typed.complaint(error)),
    }
}

impl Typed<'_> {
    /// The command that was asked for, if there is one of that name.
    fn sub(&self) -> Option<&Command> {
        let words = self.arguments.iter().skip(1);
        let mut names = words.filter(|word| !word.to_string_lossy().starts_with('-'));
        self.command.find_subcommand(names.next()?)
    }

    /// The command as it is typed: `netlead make`.
    fn name(&self) -> String {
        match self.sub() {
            Some(sub) => format!("{} {}", self.command.get_name(), sub.get_name()),
            None => self.command.get_name().to_owned(),
        }
    }

    fn complaint(&self, error: &clap::Error) -> Trouble {
        let name = self.name();
        let blamed = strings(error, ContextKind::InvalidArg);
        let first = blamed.first().map(String::as_str).unwrap_or_default();
        let value = strings(error, ContextKind::InvalidValue).concat();
        match error.kind() {
            ErrorKind::MissingRequiredArgument => self.missing(&blamed),
            ErrorKind::UnknownArgument if first.starts_with('-') => {
                let near = strings(error, ContextKind::SuggestedArg);
                let trouble = Trouble::new(format!("`{name}` has no `{first}`"));
                trouble.mend(match near.first() {
                    Some(near) => format!("write `{}` instead, or leave it out", bare(near)),
                    None => format!("leave it out, or choose from {}", self.flags()),
                })
            }
            ErrorKind::UnknownArgument | ErrorKind::TooManyValues => {
                let extra = if value.is_empty() { first } else { &value };
                Trouble::new(format!("`{name}` has no place for `{extra}`")).mend(format!(
                    "leave it out, or put a name that holds blanks in quotes; {}",
                    self.for_example()
                ))
            }
            ErrorKind::InvalidSubcommand => {
                let word = strings(error, ContextKind::InvalidSubcommand).concat();
                no_command(self.command, &word)
            }
            ErrorKind::InvalidValue if value.is_empty() => self.nothing_behind(first),
            ErrorKind::InvalidValue => {
                let known = strings(error, ContextKind::ValidValue);
                let near = strings(error, ContextKind::SuggestedValue);
                let flag = flag(first);
                let trouble = Trouble::new(format!(
                    "behind `{flag}` stands `{value}`, which is none of {}",
                    known.join(", ")
                ));
                match near.first().or(known.first()) {
                    Some(word) => trouble.mend(format!("write `{flag} {word}`")),
                    None => trouble,
                }
            }
            ErrorKind::ValueValidation => no_number(first, &value, error.source()),
            ErrorKind::ArgumentConflict => {
                let prior = strings(error, ContextKind::PriorArg);
                let others: Vec<&str> = prior.iter().map(|other| flag(other)).collect();
                let first = flag(first);
                let message = match others.as_slice() {
                    [other] if *other == first => format!("`{first}` stands there twice"),
                    [] => format!("`{first}` does not go with what else is asked for"),
                    others => {
                        let others = others.join("` or `");
                        format!("`{first}` does not go together with `{others}`")
                    }
                };
                Trouble::new(message).mend("leave one of the two out")
            }
            ErrorKind::InvalidUtf8 => Trouble::new("an argument is not UTF-8 text")
                .mend("type it anew, without letters that the terminal cannot show"),
            // Kinds that no argument of ours can bring about, and those that are yet to come.
            _ => Trouble::new(format!("`{name}` does not understand its arguments"))
                .mend(self.for_example()),
        }
    }

    /// Arguments without which nothing can be done.
    fn missing(&self, names: &[String]) -> Trouble {
        let wanted = names.iter().map(|name| {
            let name = bare(name);
            match self.argument(name) {
                Some(arg) => format!("{}: {}", pages::as_typed(arg), lower(&pages::meaning(arg))),
                None => name.to_owned(),
            }
        });
        let wanted = wanted.collect::<Vec<_>>().join("; and ");
        Trouble::new(format!("`{}` also wants {wanted}", self.name())).mend(self.for_example())
    }

    /// A flag behind which its value is missing.
    fn nothing_behind(&self, first: &str) -> Trouble {
        let flag = flag(first);
        let (typed, meaning) = match self.argument(flag) {
            Some(arg) => (pages::as_typed(arg), lower(&pages::meaning(arg))),
            None => (flag.to_owned(), String::new()),
        };
        match flag.starts_with('-') {
            true => Trouble::new(format!(
                "nothing stands behind `{flag}`: {typed}, {meaning}"
            ))
            .mend(format!("write it behind `{flag}`, or leave `{flag}` out")),
            false => Trouble::new(format!("the name of {typed} is empty: {meaning}"))
                .mend(self.for_example()),
        }
    }

    /// An argument of the command by its name as it is typed.
    fn argument(&self, name: &str) -> Option<&Arg> {
        let command = self.sub().unwrap_or(self.command);
        let mut all = command.get_arguments().chain(self.command.get_arguments());
        all.find(|arg| flag(&pages::as_typed(arg)) == flag(name))
    }

    /// The flags that a command has.
    fn flags(&self) -> String {
        let command = self.sub().unwrap_or(self.command);
        let mut flags: Vec<String> = Vec::new();
        let of_all = self
            .command
            .get_arguments()
            .filter(|arg| arg.is_global_set());
        for arg in command.get_arguments().chain(of_all) {
            let flag = arg.get_long().map(|long| format!("--{long}"));
            flags.extend(flag.filter(|flag| !flags.contains(flag)));
        }
        flags.join(", ")
    }

    /// What a whole command looks like.
    fn for_example(&self) -> String {
        let name = self.name();
        match self.sub().and_then(pages::example) {
            Some(example) => {
                format!("write, for example, `{example}`; `{name} --help` says what all words mean")
            }
            None => format!("`{name} --help` says what there is"),
        }
    }
}

/// A word that is no command.
fn no_command(command: &Command, word: &str) -> Trouble {
    let program = command.get_name();
    let trouble = Trouble::new(format!("{program} has no command `{word}`"));
    let names = command.get_subcommands().map(Command::get_name);
    let likely = LIKELY.iter().find(|(other, _)| *other == word);
    let likely = likely
        .map(|(_, name)| *name)
        .or_else(|| nearest(word, names));
    trouble.mend(if Preset::named(word).is_ok() {
        format!("`{word}` is a preset: write `{program} start {word}`")
    } else if Path::new(word).extension().is_some() {
        format!("say what is to be done with it: write `{program} check {word}`")
    } else if let Some(name) = likely {
        format!("write `{program} {name}`; `{program} --help` lists all commands")
    } else {
        format!("`{program} --help` lists all commands")
    })
}

/// A value that is no number.
fn no_number(arg: &str, value: &str, why: Option<&(dyn Error + 'static)>) -> Trouble {
    let flag = flag(arg);
    let is = |whole: bool| match whole {
        true => why.is_some_and(|why| why.is::<ParseIntError>()),
        false => why.is_some_and(|why| why.is::<ParseFloatError>()),
    };
    let trouble = |what: &str| Trouble::new(format!("behind `{flag}` stands `{value}`, {what}"));
    if is(true) {
        trouble("which is no whole number").mend(format!("write a count, such as `{flag} 3`"))
    } else if is(false) {
        trouble("which is no number").mend(format!(
            "write a number without its unit, such as `{flag} 0.05`"
        ))
    } else {
        trouble("which it does not take").mend(format!("write another, or leave `{flag}` out"))
    }
}

/// What an error says of one thing, as words.
fn strings(error: &clap::Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(one)) => vec![one.clone()],
        Some(ContextValue::Strings(many)) => many.clone(),
        Some(ContextValue::StyledStr(one)) => vec![one.to_string()],
        _ => Vec::new(),
    }
}

/// An argument without the brackets around its value: `--out DIR`.
fn bare(name: &str) -> &str {
    let name = name.trim_end_matches("...");
    match (name.starts_with('-'), name.split_once([' ', '='])) {
        (true, Some((flag, _))) => flag,
        _ => name.trim_matches(['<', '>', '[', ']']),
    }
}

/// An argument by its name alone: `--out`, `KIT`.
fn flag(name: &str) -> &str {
    let name = bare(name);
    name.split(' ').next().unwrap_or(name)
}

/// A meaning as a sentence goes on with it.
fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
