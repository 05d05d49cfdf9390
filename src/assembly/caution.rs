//! A caution with its signal word, by how grave the harm is.
//!
//! Words and their order are those of ANSI Z535.6 and ISO 3864-2 (from memory).

/// How grave the harm is that a caution tells, the gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Death or serious injury will follow.
    Danger,
    /// Death or serious injury can follow.
    Warning,
    /// Minor or moderate injury can follow.
    Caution,
    /// Something breaks, but nobody is hurt.
    Notice,
}

impl Signal {
    /// The signal word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Warning => "WARNING",
            Self::Caution => "CAUTION",
            Self::Notice => "NOTICE",
        }
    }
}

/// What may harm, what follows, and what to do, in whole sentences.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// How grave it is.
    pub signal: Signal,
    /// The sentences.
    pub text: String,
}

impl Caution {
    /// Of a signal word and its sentences.
    pub fn new(signal: Signal, text: impl Into<String>) -> Self {
        Self {
            signal,
            text: text.into(),
        }
    }
}
