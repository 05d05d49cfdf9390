//! A set of pieces, as bits.

use std::fmt;

/// Most pieces that a plan can hold: one bit each.
pub const MOST_PIECES: usize = 64;

/// A set of pieces by their index, below [`MOST_PIECES`].
#[derive(Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pieces(u64);

impl Pieces {
    /// No piece.
    pub const NONE: Self = Self(0);

    /// One piece.
    pub fn one(piece: usize) -> Self {
        Self(1u64.checked_shl(piece as u32).unwrap_or(0))
    }

    /// The first `count` pieces.
    pub fn first(count: usize) -> Self {
        (0..count.min(MOST_PIECES)).collect()
    }

    /// Whether a piece is in it.
    pub fn has(self, piece: usize) -> bool {
        self.0 & Self::one(piece).0 != 0
    }

    /// Whether it holds none.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many it holds.
    pub fn count(self) -> usize {
        self.0.count_ones() as usize
    }

    /// All of both.
    pub fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Those of this that are not in the other.
    pub fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Those in both.
    pub fn both(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Their indices, ascending.
    pub fn each(self) -> impl Iterator<Item = usize> + Clone {
        let mut rest = self.0;
        std::iter::from_fn(move || {
            if rest == 0 {
                return None;
            }
            let piece = rest.trailing_zeros() as usize;
            rest &= rest - 1;
            Some(piece)
        })
    }
}

impl FromIterator<usize> for Pieces {
    fn from_iter<I: IntoIterator<Item = usize>>(pieces: I) -> Self {
        pieces
            .into_iter()
            .fold(Self::NONE, |all, piece| all.with(Self::one(piece)))
    }
}

impl fmt::Debug for Pieces {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_set().entries(self.each()).finish()
    }
}
