//! One file per command; the only room that touches files and streams.
//!
//! What the command line says is parsed into raw arguments beside each command, and resolved
//! into a request before anything is done. Data goes to stdout, all else to stderr.

mod asked;
mod broken;
mod check;
mod coupon;
mod folder;
mod hidden;
mod holds;
mod input;
mod make;
mod new_file;
mod pages;
mod pairs;
mod presets;
mod printer_file;
mod profile_file;
mod reprint;
mod rules;
mod savings;
mod signals;
mod standing;
mod start;
mod streams;
mod take_apart;
mod thread;
mod trial;
mod trouble;
mod tune;
mod typing_aids;
mod usage;
mod uses;
mod vary;
mod wish;
mod wished;

use crate::diagnostic::{self, Diagnostic, Style};
use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};
use std::ffi::OsString;
use std::process::ExitCode;
use trouble::{Ending, Trouble};

/// Printable differential screws: one TOML file in, parts that fit out.
#[derive(Debug, Parser)]
#[command(name = "netlead", version)]
#[command(
    after_help = "Start with: netlead start desk-stage; typing aids: schema, completions, manual"
)]
#[command(after_long_help = EXAMPLE)]
struct Raw {
    /// Print data for programs (JSON) on stdout
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Command,
}

/// Text below the long help.
const EXAMPLE: &str = "\
Units: lengths in a kit are mm, unless it says `units = \"inch\"`, and any length may carry \
its own unit (\"1 5/16 in\"). JSON and CSV name the unit of each number.

Exit codes: 0 done; 1 the kit is rejected or a check fails; 2 wrong usage or trouble with a \
file.

Example:
  netlead start desk-stage        writes desk-stage.toml, to be edited
  netlead check desk-stage.toml   says what would go wrong, writes nothing
  netlead make desk-stage.toml    writes parts, bill and guide to out/desk-stage";

#[derive(Debug, Subcommand)]
enum Command {
    /// Write the parts of a kit, its bill and its guide into one folder
    Make(make::Raw),
    /// Judge a kit and write nothing
    Check(check::Raw),
    /// Take a kit apart on its meshes, and say what waits for what
    TakeApart(take_apart::Raw),
    /// Write test pieces for a kit, with a sheet and a form to fill in
    Coupon(coupon::Raw),
    /// Learn the printer from a filled form, or from pieces that fitted
    Tune(tune::Raw),
    /// Answer five questions, and have a kit that passes its checks
    Wish(wish::Raw),
    /// Find threads that move so much in a turn; one pair as a kit
    Pairs(Box<pairs::Raw>),
    /// Copy a preset kit to a file, to be edited
    Start(start::Raw),
    /// List the preset kits
    Presets,
    /// List what is judged, or print one rule with formula and source
    Rules(rules::Raw),
    /// Print the sizes and limits of a thread
    Thread(thread::Raw),
    /// Tabulate what comes of other values of one or two keys
    Vary(vary::Raw),
    /// Set measured turns and travel against what a kit should do
    Trial(trial::Raw),
    /// Print the kit file as JSON Schema, for editors
    Schema(typing_aids::RawSchema),
    /// Print what a shell completes words by
    Completions(typing_aids::RawCompletions),
    /// Print a page for man, with every command
    Manual(typing_aids::RawManual),
    /// Print the page of a command
    Help(usage::Raw),
}

/// Does what the arguments say (the first is the program's own name).
///
/// Exit code 0: done; 1: the kit is rejected or a check fails; 2: usage or file trouble.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let command = pages::dressed(Raw::command());
    let mut reader = command.clone();
    let read = reader.try_get_matches_from_mut(&arguments);
    let ending = match read.and_then(|words| Raw::from_arg_matches(&words)) {
        Ok(raw) => dispatch(raw, &command),
        Err(error) => usage::answer(&error, &command, &arguments),
    };
    match ending {
        Ok(ending) => ending.into(),
        Err(trouble) => {
            streams::tell(&trouble.to_string());
            ExitCode::from(trouble::TROUBLE)
        }
    }
}

/// Problems of a file as text for people; colour goes where none can be shown.
fn rendered(path: &str, text: &str, problems: &[Diagnostic]) -> String {
    let style = Style {
        colour: true,
        ..Style::default()
    };
    diagnostic::render(path, text, problems, style)
}

fn dispatch(raw: Raw, command: &clap::Command) -> Result<Ending, Trouble> {
    let json = raw.json;
    match raw.command {
        Command::Make(raw) => make::run(&make::Request::from(raw), json),
        Command::Check(raw) => check::run(&check::Request::from(raw), json),
        Command::TakeApart(raw) => take_apart::run(&take_apart::Request::from(raw), json),
        Command::Coupon(raw) => coupon::run(&coupon::Request::from(raw), json),
        Command::Tune(raw) => tune::run(&tune::Request::resolve(raw)?, json),
        Command::Wish(raw) => wish::run(&wish::Request::resolve(raw)?, json),
        Command::Pairs(raw) => pairs::run(&pairs::Request::resolve(*raw)?, json),
        Command::Start(raw) => start::run(&start::Request::resolve(raw)?, json),
        Command::Presets => presets::run(json),
        Command::Rules(raw) => rules::run(&raw, json),
        Command::Thread(raw) => thread::run(&raw, json),
        Command::Vary(raw) => vary::run(&vary::Request::resolve(raw)?, json),
        Command::Trial(raw) => trial::run(&trial::Request::resolve(raw)?, json),
        Command::Schema(typing_aids::RawSchema {}) => typing_aids::schema(),
        Command::Completions(raw) => typing_aids::completions(&raw, command),
        Command::Manual(typing_aids::RawManual {}) => typing_aids::manual(command),
        Command::Help(raw) => usage::help(&raw, command),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pages::Length;

    #[test]
    fn the_arguments_do_not_contradict_each_other() {
        pages::dressed(Raw::command()).debug_assert();
    }

    #[test]
    fn short_help_fits_a_screen_of_24_lines() {
        let command = pages::dressed(Raw::command());
        let subs = command.get_subcommands().map(|sub| Some(sub.get_name()));
        for sub in std::iter::once(None).chain(subs) {
            let page = pages::page(&command, sub, Length::Short);
            assert!(page.lines().count() <= 24, "{page}");
        }
    }

    #[test]
    fn every_page_is_of_80_columns_and_names_all_that_may_be_typed() {
        let command = pages::dressed(Raw::command());
        let subs = command.get_subcommands().map(|sub| Some(sub.get_name()));
        for sub in std::iter::once(None).chain(subs) {
            let page = pages::page(&command, sub, Length::Long);
            let wide = page.lines().find(|line| line.chars().count() > 80);
            assert_eq!(wide, None, "{page}");
            let own = sub.and_then(|name| command.find_subcommand(name));
            for arg in own.unwrap_or(&command).get_arguments() {
                assert!(page.contains(&pages::as_typed(arg)), "{page}");
                assert!(!pages::meaning(arg).is_empty(), "{page}");
            }
        }
    }

    #[test]
    fn the_first_example_on_every_page_is_understood() {
        let command = pages::dressed(Raw::command());
        for sub in command.get_subcommands() {
            let Some(example) = pages::example(sub) else {
                let bare = sub.get_positionals().all(|arg| !arg.is_required_set());
                assert!(bare, "{} has no example", sub.get_name());
                continue;
            };
            let words = example.replace('"', "");
            let read = command.clone().try_get_matches_from(words.split(' '));
            assert!(read.is_ok(), "{example}");
        }
    }
}
