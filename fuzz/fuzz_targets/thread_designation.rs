//! Any bytes as a thread designation.
#![no_main]

#[path = "../bodies.rs"]
#[expect(dead_code, reason = "the other target drives the other body")]
mod bodies;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| bodies::thread_designation(bytes));
