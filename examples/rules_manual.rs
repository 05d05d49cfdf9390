//! Writes the manual of the rules, from the text that stands beside each.
//!
//! `cargo run --example rules_manual > docs/rules.md`; `tests/it/manual.rs` requires that the file
//! is what this prints.

#[expect(clippy::print_stdout, reason = "the manual is what this prints")]
fn main() {
    print!("{}", netlead::output::page::rules_page::document());
}
