//! All tests that look at netlead from outside: its rooms by what they make public, the program
//! as a shell sees it, and the documents.
//!
//! One binary, so that it is linked once and every core has work until the last test ends. So no
//! test may change what all of the process shares: its folder, its environment, its streams.

#![expect(
    clippy::unwrap_used,
    reason = "in a test a value that is not there is a failure"
)]

mod album;
mod assembly_file;
mod at_the_bench;
mod beds;
mod bench_aids;
mod bolts;
mod clearance;
mod command_line;
mod coupon;
mod coupon_tune_files;
mod digest;
mod ends;
mod expected_job;
mod files_kept;
mod geometry;
mod guide_page;
mod hand;
mod hand_press;
mod heads;
mod joint_gaps;
mod kit_file;
mod library;
mod lighter;
mod make_whole;
mod manual;
mod map;
mod mends;
mod never_panics;
mod opposed;
mod pairs;
mod printer_file;
mod printer_look_up;
mod published_dowels;
mod published_limits;
mod published_motion;
mod published_nuts;
mod published_springs;
mod published_strength;
mod published_threads;
mod random_kits;
mod readme;
mod recipes;
mod sequence;
mod spring;
mod support;
mod take_apart;
mod tandem;
mod thread_form;
mod trial;
mod trial_causes;
mod trial_command;
mod tune;
mod typing_aids;
mod undrawn;
mod vary;
mod viewer;
mod watch;
mod words;
