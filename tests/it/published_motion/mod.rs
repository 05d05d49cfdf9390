//! Motion and forces against published examples, and the laws that both obey.
//!
//! Each case names where its value comes from. `derived` stands beside a value that follows
//! by hand from the stated relation, `from memory` beside a printed answer that was recalled
//! and recomputed, not read again.

mod forces;
mod laws;
mod mechanisms;
mod rates;
