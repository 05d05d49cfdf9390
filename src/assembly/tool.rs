//! What a bench needs to put the mechanism together.

/// Name of the tool that sets pins and drives them out, which the guide comes back to.
pub const PIN_PUNCH: &str = "pin punch";

/// What the bench needs and no bill of parts would list.
#[derive(Clone, Debug, PartialEq)]
pub struct Tool {
    /// Short name: `spanner`.
    pub name: String,
    /// Size and purpose.
    pub description: String,
}

impl Tool {
    /// By its name and what it is for.
    pub fn new(name: &str, description: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            description: description.into(),
        }
    }
}
