//! What a terminal shows, and the same as data: pages of 80 columns and JSON.

pub mod digest;
pub(crate) mod pairs_chart;
pub(crate) mod pairs_data;
pub(crate) mod pairs_page;
pub(crate) mod pairs_plot;
pub(crate) mod pairs_typed;
pub mod rules_page;
pub(crate) mod savings;
pub mod take_apart;
pub mod terminal;
pub mod thread_sheet;
pub mod vary_table;
