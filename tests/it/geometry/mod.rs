//! Sizes, solids, parts and mechanisms as they are drawn, against worked values and laws.
//!
//! `sizing` holds sizes against worked tables and the margins they promise; `solids` holds
//! meshes against exact surfaces; `opposed` sizes of opposed kits, and what their joints give; `soundness` what the proof of a file refuses; `parts` whole
//! parts against exact forms; `interference` turns the assembled meshes through the stroke;
//! `phase` measures where crests stand; `path` puts the mechanism together; `ribs` looks at
//! pressed pins along their axes; `grades` at what may be chosen in their place; `starts` counts the
//! ways in which a screw goes in.

mod grades;
mod interference;
mod opposed;
mod parts;
mod path;
mod phase;
mod ribs;
mod sizing;
mod solids;
mod soundness;
mod starts;
