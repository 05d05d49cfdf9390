//! One file per command; the only room that touches files and streams.
