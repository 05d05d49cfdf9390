//! What is bought to bolt something together or down. It stands in no pose and has no mesh: how long it is
//! hangs on what it holds.

/// Some pieces of one kind that a shop sells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fastener {
    /// Lower-case name, unique among parts and fasteners: `foot-bolt`.
    pub name: &'static str,
    /// How people call it: `bolt of the foot`.
    pub called: &'static str,
    /// How many a kit takes; at least 1.
    pub quantity: usize,
    /// What to ask for in the shop, by its standard, and how long.
    pub description: String,
}
