//! One file per format; each returns bytes.
