//! The name that a printed part carries.

/// What tells a printed part from an older one of its kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Letters that change when the part does.
    pub revision: String,
    /// What is sunk into it to be read there: `DS K4F`, the kit's tag and the revision, or the
    /// revision alone; none where no face of it has room for letters.
    pub sunk: Option<String>,
}
