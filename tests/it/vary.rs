//! `vary`: its rows are what `check` reports of each kit, and a stop keeps those worked out.

use crate::support::shell::{self, command, data, done, netlead, refused, stdout, unfolded};
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::process::{Command, Stdio};

const KIT: &str = "name = \"t\"\nlayout = \"nested\"\nhand_torque = 0.5\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n\
                   stroke = 10\ntolerance = 0.1\n";

fn room() -> tempfile::TempDir {
    let room = shell::room();
    fs::write(room.path().join("kit.toml"), KIT).unwrap();
    room
}

#[test]
fn a_row_is_what_check_reports_of_that_kit() {
    let room = room();
    let vary = ["vary", "kit.toml", "inner=M12x1.75,M10", "stroke=5..10:5"];
    let tell = ["--tell", "net-lead,parts.frame.volume_mm3", "--json"];
    let rows = data(room.path(), &[&vary[..], &tell[..]].concat());
    let rows = rows.as_array().unwrap();
    assert_eq!(rows.len(), 4);
    for row in rows {
        let (inner, stroke) = (&row["set"]["inner"], &row["set"]["stroke"]);
        let kit = KIT.replace("\"M12x1.75\"", &inner.to_string()).replace(
            "stroke = 10",
            &format!("stroke = {}", stroke.as_str().unwrap()),
        );
        fs::write(room.path().join("one.toml"), kit).unwrap();
        let one = data(room.path(), &["check", "one.toml", "--json"]);
        let frame = one["parts"].as_array().unwrap();
        let frame = frame.iter().find(|part| part["name"] == "frame").unwrap();
        assert_eq!(
            row["told"]["motion.net_lead_mm"],
            one["motion"]["net_lead_mm"]
        );
        assert_eq!(row["told"]["parts.frame.volume_mm3"], frame["volume_mm3"]);
        // A row says of the kit what the verdict on its own page says.
        let page = unfolded(&stdout(&netlead(room.path(), &["check", "one.toml"])));
        let verdict = row["verdict"].as_str().unwrap();
        let last = match verdict.strip_prefix("ready") {
            Some(but) => format!("ready to make, not tuned yet{but}; nothing was written"),
            None => "not ready: first mend".to_owned(),
        };
        assert!(page.contains(&last), "{verdict}: {page}");
    }
    // Two leads of 2.5 and 1.75 mm, then 2.5 and 1.5.
    assert_eq!(rows[0]["told"]["motion.net_lead_mm"], 0.75);
    assert_eq!(rows[2]["told"]["motion.net_lead_mm"], 1.0);
}

#[test]
fn the_example_of_the_help_gives_a_table_without_a_failure() {
    let room = room();
    done(room.path(), &["start", "desk-stage"]);
    let help = done(room.path(), &["vary", "--help"]);
    let example = help.split("Example:").nth(1).unwrap();
    let arguments: Vec<&str> = example.split_whitespace().skip(1).collect();
    let table = done(room.path(), &arguments);
    let rows: Vec<&str> = table.lines().skip(1).collect();
    assert!(rows.len() > 4, "{table}");
    for row in rows {
        // It tells nothing that hangs on meshes.
        assert!(row.contains("  nothing fails so far"), "{row}");
        assert!(row.ends_with("meshes not judged"), "{row}");
    }
}

#[test]
fn a_kit_that_cannot_be_keeps_its_row_and_says_why() {
    let room = room();
    let tell = ["--csv", "--tell", "net-lead,turns,lost-motion"];
    let vary = ["vary", "kit.toml", "inner=M12,M18,M20"];
    let table = done(room.path(), &[&vary[..], &tell[..]].concat());
    let rows: Vec<&str> = table.lines().collect();
    assert_eq!(
        rows[0],
        "inner,motion.net_lead_mm,motion.turns,motion.lost_motion_turns.high,verdict"
    );
    assert!(rows[1].starts_with("M12,0.75,13.333333,"), "{table}");
    assert!(rows[2].starts_with("M18,,,,"), "{table}");
    assert!(
        rows[2].contains("refused: M18") || rows[2].contains("M18x2.5 in M20x2.5"),
        "{table}"
    );
    assert_eq!(rows.len(), 4);
}

#[test]
fn what_cannot_be_varied_or_told_is_said_with_what_to_type() {
    let room = room();
    for (arguments, words) in [
        (&["strok=5"][..], "write `stroke`"),
        (&["stroke"], "stroke=5..20:5"),
        (&["stroke=5..20"], "no step"),
        (&["stroke=5..1:1"], "must rise"),
        (&["stroke=5..20:0"], "must rise"),
        (&["stroke=5..x:1"], "`x` is no number"),
        (&["stroke=0..1e9:1"], "more than 5000 values"),
        (&["stroke=1..3000:1", "layer=0.1,0.2"], "rows, at most 5000"),
        (&["stroke=5,,6"], "empty value"),
        (&["stroke=5", "stroke=6"], "varied twice"),
        (
            &["stroke=5", "--tell", "motion.net_led_mm"],
            "no report has `motion.net_led_mm`",
        ),
    ] {
        let vary = [&["vary", "kit.toml"], arguments].concat();
        let said = unfolded(&refused(room.path(), 2, &vary));
        assert!(said.contains(words), "{arguments:?}: {said}");
    }
}

#[cfg(unix)]
#[test]
fn an_interrupt_ends_it_with_the_rows_so_far() {
    let room = room();
    let mut child = command(
        room.path(),
        &["vary", "kit.toml", "stroke=5..800:0.5", "--csv"],
    )
    .stdout(Stdio::piped())
    .stderr(Stdio::piped())
    .spawn()
    .unwrap();
    let mut rows = BufReader::new(child.stdout.take().unwrap());
    let mut first = String::new();
    rows.read_line(&mut first).unwrap();
    rows.read_line(&mut first).unwrap();
    let interrupted = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(interrupted.unwrap().success());
    let mut rest = String::new();
    rows.read_to_string(&mut rest).unwrap();
    let mut said = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut said)
        .unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(2));
    // Every row that was begun is whole, and they are told to be some of all.
    let table = first + &rest;
    assert!(table.ends_with('\n') && table.lines().all(|row| row.split(',').count() >= 5));
    assert!(
        said.contains(&format!(
            "stopped after {} of 1591 rows",
            table.lines().count() - 1
        )),
        "{said}"
    );
}

#[test]
fn a_closed_pipe_ends_it_before_the_last_row() {
    let room = room();
    // A name that no report has is told after the last row, and fails the run.
    let tell = ["--tell", "net-lead,checks.nothing"];
    let vary = ["vary", "kit.toml", "stroke=1..12:1"];
    let mut run = command(room.path(), &[&vary[..], &tell[..]].concat())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(run.stdout.take().unwrap());
    let mut first = String::new();
    lines.read_line(&mut first).unwrap();
    drop(lines);
    assert!(run.wait().unwrap().success());
}
