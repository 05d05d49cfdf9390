//! Works random kits out, a line for each:
//! `cargo run --release --example random_kits -- SEED FROM COUNT`.
//!
//! Of each number the first draw is taken that the layout accepts.
//! A kit follows from its seed and number alone, so that a run that was broken off goes on
//! from any number. A kit that is made is told with how far its filament and time are off where they are
//! reckoned without its meshes. With `--print DIR` behind them, the kits are written there as files instead.
//! The last line has the slowest kit and the most memory that the run has held,
//! where the system tells it. Exits with 1 if a kit ended in an internal error.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "its lines are what it is for"
)]

mod drawn;

use netlead::check::Outcome;
use netlead::diagnostic::first_message;
use netlead::making::{self, InMemory, Read, Refusal};
use netlead::output::kit::Product;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

/// Longest message that stands in a line, in letters.
const SHOWN: usize = 110;

/// A kit that takes longer is shown, in seconds.
const LONG: f64 = 10.0;

fn main() -> ExitCode {
    let mut words: Vec<String> = std::env::args().skip(1).collect();
    let folder = match words.iter().position(|word| word == "--print") {
        Some(at) => words.split_off(at).into_iter().nth(1),
        None => None,
    };
    let asked: Option<Vec<u64>> = words.iter().map(|n| n.parse().ok()).collect();
    let Some([seed, from, count]) = asked.as_deref() else {
        eprintln!("random_kits SEED FROM COUNT [--print DIR], all but DIR whole numbers");
        return ExitCode::from(2);
    };
    if let Some(folder) = folder {
        return print_kits(Path::new(&folder), *seed, *from..from + count);
    }
    let (mut defects, mut slowest) = (0, (0.0, *from));
    for number in *from..from + count {
        let before = peak_mb();
        let (holds, took) = holds(*seed, number);
        defects += usize::from(!holds);
        if took > slowest.0 {
            slowest = (took, number);
        }
        if let (Some(before), Some(after)) = (before, peak_mb())
            && after > before
        {
            println!("{number} peak {after} MB");
        }
    }
    let (took, number) = slowest;
    println!("{count} kits, {defects} defects, slowest {took:.2} s (kit {number})");
    ExitCode::from(u8::from(defects > 0))
}

/// Writes kits as files, those alone that their layout accepts.
fn print_kits(folder: &Path, seed: u64, numbers: std::ops::Range<u64>) -> ExitCode {
    for number in numbers {
        let text = drawn::accepted(seed, number, accepts);
        let file = folder.join(format!("random-{number}.toml"));
        if accepts(&text)
            && let Err(error) = std::fs::write(&file, text)
        {
            eprintln!("{}: {error}", file.display());
            return ExitCode::from(2);
        }
    }
    ExitCode::SUCCESS
}

/// Whether a layout accepts a kit.
fn accepts(text: &str) -> bool {
    let shelf = InMemory::none();
    let read = making::read("random", text, &shelf);
    read.is_ok_and(|read| netlead::layout::design(&read.kit, &read.profile).is_ok())
}

/// The most memory that this process has held, in MB, where the system tells it as Linux does.
fn peak_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: u64 = line.trim().trim_end_matches("kB").trim().parse().ok()?;
    Some(kilobytes / 1024)
}

/// How far a kit's filament and time are off that are reckoned without its meshes.
fn unmeshed(read: &Read, product: &Product) -> String {
    let expected = making::expected_job(&read.kit, &read.profile, &product.design).whole;
    product.job.as_ref().map_or_else(String::new, |job| {
        let off = |expected: f64, made: f64| (expected / made - 1.0) * 100.0;
        format!(
            ", without meshes mass {:+.1} %, time {:+.1} %",
            off(expected.plastic_mm3, job.whole.plastic_mm3),
            off(expected.time.0, job.whole.time.0)
        )
    })
}

/// Prints what comes of a kit; whether that is no internal error, and the seconds that it took.
fn holds(seed: u64, number: u64) -> (bool, f64) {
    let shelf = InMemory::none();
    let text = drawn::accepted(seed, number, accepts);
    let started = Instant::now();
    let read = making::read("random", &text, &shelf);
    let worked = match &read {
        Ok(read) => read.work(&|_| {}),
        Err(refusal) => Err(refusal.clone()),
    };
    let took = started.elapsed().as_secs_f64();
    let holds = match worked {
        Ok(product) => {
            let mut findings = product.findings.iter();
            let fails = findings.any(|finding| finding.outcome == Outcome::Fail);
            let off = read.map_or_else(|_| String::new(), |read| unmeshed(&read, &product));
            println!(
                "{number} {took:.2} s {}{off}",
                if fails { "fails" } else { "ready" }
            );
            true
        }
        Err(Refusal::Rejected(problems)) => {
            let first: String = first_message(&problems).chars().take(SHOWN).collect();
            println!("{number} {took:.2} s refused {first}");
            true
        }
        Err(Refusal::Broken(what)) => {
            println!("{number} {took:.2} s DEFECT {what}\n{text}");
            false
        }
    };
    if took > LONG {
        println!("{number} LONG\n{text}");
    }
    (holds, took)
}
