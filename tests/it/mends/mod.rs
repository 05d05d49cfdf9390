//! Every mend that names something to type is followed once, in kits that were made for it and in
//! kits drawn by lot: what it stands at is gone or less, and nothing else breaks.

mod files;
mod followed;
mod lot;
mod rules;
mod typed;
