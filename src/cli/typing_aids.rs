//! `schema`, `completions`, `manual`: what editors, shells and readers of manuals take, made from the
//! declarations by which kits and arguments are read.

use super::pages;
use super::streams;
use super::trouble::{Ending, Trouble};
use crate::{check, kit};
use clap::Command;
use clap_complete::Shell;
use clap_mangen::Man;
use clap_mangen::roff::{Inline, Roff, bold, roman};
use std::io;

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
An editor that knows JSON Schema offers the keys of a kit while it is typed, says what each is \
for, and marks what no kit may have. Many look for the schema in a first line such as

  #:schema ./netlead-kit.json

which to TOML is a remark. Whether a kit is any good, netlead check says.

Example:
  netlead schema  > netlead-kit.json")]
pub(super) struct RawSchema {}

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
The script is printed as it is, with or without --json; where a shell looks for it, the shell's own \
manual says. Here the shell that runs takes it in at once.

Example:
  netlead completions bash  > netlead.bash
  source netlead.bash")]
pub(super) struct RawCompletions {
    /// Which shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
The page is in roff, as man reads it, with or without --json; it has every command with all that \
its own page says.

Example:
  netlead manual  > netlead.1
  man -l netlead.1")]
pub(super) struct RawManual {}

/// Prints the schema of the kit file.
pub(super) fn schema() -> Result<Ending, Trouble> {
    let schema = kit::schema(&check::ids());
    let text = serde_json::to_string_pretty(&schema);
    let text = text.map_err(|error| Trouble::new(error.to_string()))?;
    streams::json(&(text + "\n"))?;
    Ok(Ending::Done)
}

/// Prints what a shell completes words by.
pub(super) fn completions(raw: &RawCompletions, command: &Command) -> Result<Ending, Trouble> {
    let mut script = Vec::new();
    let name = command.get_name().to_owned();
    clap_complete::generate(raw.shell, &mut command.clone(), name, &mut script);
    streams::data(&String::from_utf8_lossy(&script))?;
    Ok(Ending::Done)
}

/// Prints the manual.
pub(super) fn manual(command: &Command) -> Result<Ending, Trouble> {
    let page = roff_page(command).map_err(|error| Trouble::new(error.to_string()))?;
    streams::data(&String::from_utf8_lossy(&page))?;
    Ok(Ending::Done)
}

/// One page with every command: nobody has to look for the page of each.
fn roff_page(command: &Command) -> io::Result<Vec<u8>> {
    let mut page = Vec::new();
    let man = Man::new(command.clone()).manual("netlead");
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    let mut roff = Roff::new();
    roff.control("SH", ["SYNOPSIS"]);
    roff.text([bold(command.get_name()), roman(" COMMAND ...")]);
    roff.control("SH", ["DESCRIPTION"]);
    below(&mut roff, command);
    roff.control("SH", ["WORDS OF ALL COMMANDS"]);
    words(&mut roff, command);
    roff.control("SH", ["COMMANDS"]);
    for sub in command.get_subcommands() {
        let name = format!("{} {}", command.get_name(), sub.get_name());
        roff.control(
            "SS",
            [format!("{name} {}", pages::typed(sub, pages::Length::Long)).trim_end()],
        );
        let about = sub.get_about().map(ToString::to_string);
        roff.text([roman(about.unwrap_or_default() + ".")]);
        words(&mut roff, sub);
        below(&mut roff, sub);
    }
    roff.to_writer(&mut page)?;
    Ok(page)
}

/// The arguments of a command, each with what it is.
fn words(roff: &mut Roff, command: &Command) {
    for arg in command.get_arguments() {
        roff.control("TP", []);
        roff.text([bold(pages::as_typed(arg))]);
        roff.text([roman(pages::meaning(arg))]);
    }
}

/// What stands below a command's arguments: paragraphs to be folded, and lines that stay as they are.
fn below(roff: &mut Roff, command: &Command) {
    let text = command.get_after_long_help().map(ToString::to_string);
    for paragraph in text.unwrap_or_default().split("\n\n") {
        roff.control("PP", []);
        let kept = |line: &str| line.starts_with(' ');
        let (folded, lines): (Vec<&str>, Vec<&str>) =
            paragraph.lines().partition(|line| !kept(line));
        roff.text(
            folded
                .into_iter()
                .map(|line| roman(format!("{line} ")))
                .collect::<Vec<Inline>>(),
        );
        if !lines.is_empty() {
            roff.control("nf", []);
            for line in lines {
                roff.text([roman(line)]);
            }
            roff.control("fi", []);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::Raw;
    use clap::{CommandFactory, ValueEnum};

    fn command() -> Command {
        pages::dressed(Raw::command())
    }

    #[test]
    fn every_command_and_flag_is_completed_in_every_shell() {
        for shell in Shell::value_variants() {
            let mut script = Vec::new();
            clap_complete::generate(*shell, &mut command(), "netlead", &mut script);
            let script = String::from_utf8(script).expect("text");
            for sub in command().get_subcommands() {
                assert!(
                    script.contains(sub.get_name()),
                    "{shell}: {}",
                    sub.get_name()
                );
                for arg in sub.get_arguments().filter_map(|arg| arg.get_long()) {
                    assert!(script.contains(arg), "{shell}: {arg}");
                }
            }
        }
    }

    #[test]
    fn the_manual_has_a_heading_for_every_command_and_all_its_words() {
        let page = String::from_utf8(roff_page(&command()).expect("a page")).expect("text");
        let page = ["\\fB", "\\fR", "\\"]
            .iter()
            .fold(page.replace("\\*(Aq", "'"), |page, mark| {
                page.replace(mark, "")
            });
        for sub in command().get_subcommands() {
            let heading = format!(".SS \"netlead {}", sub.get_name());
            let (_, own) = page
                .split_once(&heading)
                .unwrap_or_else(|| panic!("no {heading} in {page}"));
            let own = own.split(".SS ").next().unwrap_or_default();
            for arg in sub.get_arguments() {
                assert!(own.contains(&pages::as_typed(arg)), "{own}");
                assert!(own.contains(&pages::meaning(arg)), "{own}");
            }
        }
    }
}
