//! Works random kits out, a line for each:
//! `cargo run --release --example random_kits -- SEED FROM COUNT`.
//!
//! A kit follows from its seed and number alone, so that a run that was broken off goes on
//! from any number. Exits with 1 if a kit ended in an internal error.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "its lines are what it is for"
)]

mod drawn;

use netlead::check::Outcome;
use netlead::cli::pipeline::{self, Refusal};
use netlead::cli::printer_file::Shelf;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

/// Longest message that stands in a line, in letters.
const SHOWN: usize = 110;

fn main() -> ExitCode {
    let asked: Option<Vec<u64>> = std::env::args().skip(1).map(|n| n.parse().ok()).collect();
    let Some([seed, from, count]) = asked.as_deref() else {
        eprintln!("random_kits SEED FROM COUNT, all of them whole numbers");
        return ExitCode::from(2);
    };
    let defects = (*from..from + count)
        .filter(|number| !holds(*seed, *number))
        .count();
    println!("{count} kits, {defects} defects");
    ExitCode::from(u8::from(defects > 0))
}

/// Prints what comes of a kit; whether that is no internal error.
fn holds(seed: u64, number: u64) -> bool {
    let text = drawn::kit(seed, number);
    let shelf = Shelf::of(Path::new("random.toml"));
    let started = Instant::now();
    let worked = pipeline::read("random", &text, &shelf).and_then(|read| read.work(&|_| {}));
    let took = started.elapsed().as_secs_f64();
    match worked {
        Ok(product) => {
            let mut findings = product.findings.iter();
            let fails = findings.any(|finding| finding.outcome == Outcome::Fail);
            println!(
                "{number} {took:.2} s {}",
                if fails { "fails" } else { "ready" }
            );
            true
        }
        Err(Refusal::Rejected(problems)) => {
            let bare = anstream::adapter::strip_str(&problems).to_string();
            let first: String = bare
                .lines()
                .next()
                .unwrap_or_default()
                .chars()
                .take(SHOWN)
                .collect();
            println!("{number} {took:.2} s refused {first}");
            true
        }
        Err(Refusal::Broken(what)) => {
            println!("{number} {took:.2} s DEFECT {what}\n{text}");
            false
        }
    }
}
