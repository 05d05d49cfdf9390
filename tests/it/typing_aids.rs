//! What editors, shells and `man` take: whole, and understood by those that read it where they are here.

use crate::support::shell::{data, done, room, stderr};
use netlead::kit;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Every command, as the page of all of them lists it.
fn commands(folder: &Path) -> Vec<String> {
    let page = done(folder, &["--help"]);
    let list = page.split("Commands:\n").nth(1).unwrap();
    let rows = list.lines().take_while(|line| !line.is_empty());
    let names = rows.filter(|line| !line.starts_with("   "));
    names
        .map(|line| line.split_whitespace().next().unwrap().to_owned())
        .collect()
}

/// What a program says of a text on its standard input; none where it is not installed.
fn judged(program: &str, arguments: &[&str], text: &str) -> Option<Output> {
    let mut started = Command::new(program)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .ok()?;
    let mut input = started.stdin.take().unwrap();
    let text = text.to_owned();
    let writer = std::thread::spawn(move || input.write_all(text.as_bytes()));
    let output = started.wait_with_output().unwrap();
    writer.join().unwrap().unwrap();
    Some(output)
}

#[test]
fn the_schema_is_json_that_names_every_key_with_and_without_json_asked_for() {
    let room = room();
    let schema = data(room.path(), &["schema"]);
    assert_eq!(schema, data(room.path(), &["--json", "schema"]));
    assert_eq!(schema["type"], "object");
    let text = schema.to_string();
    for key in kit::keys() {
        let leaf = key.path.rsplit('.').next().unwrap();
        let named = text.contains(&format!("\"{leaf}\":")) || leaf == "*";
        assert!(named, "{}", key.path);
    }
    for needed in ["name", "layout", "drive", "stroke"] {
        let required = schema["required"].as_array().unwrap();
        assert!(required.iter().any(|key| key == needed), "{needed}");
    }
}

#[test]
fn completions_have_every_command_and_a_shell_can_read_them() {
    let room = room();
    for shell in ["bash", "zsh", "fish"] {
        let script = done(room.path(), &["completions", shell]);
        for command in commands(room.path()) {
            assert!(script.contains(&command), "{shell}: {command}");
        }
        if let Some(said) = judged(shell, &["-n"], &script) {
            assert!(said.status.success(), "{shell}: {}", stderr(&said));
        }
    }
}

#[test]
fn the_manual_has_every_command_and_can_be_set() {
    let room = room();
    let page = done(room.path(), &["manual"]);
    assert!(page.contains("\n.SH NAME\n"));
    let bare = page.replace('\\', "");
    for command in commands(room.path()) {
        let heading = [
            format!(".SS \"netlead {command} "),
            format!(".SS \"netlead {command}\""),
        ];
        assert!(
            heading.iter().any(|heading| bare.contains(heading)),
            "{command}"
        );
    }
    if let Some(said) = judged("groff", &["-man", "-Tascii", "-ww"], &page) {
        assert!(
            said.status.success() && stderr(&said).is_empty(),
            "{}",
            stderr(&said)
        );
    }
}
