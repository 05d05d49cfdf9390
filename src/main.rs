//! Arguments in, exit code out.

use std::process::ExitCode;

fn main() -> ExitCode {
    netlead::cli::run(std::env::args_os())
}
