//! What a terminal shows, and the same as data: pages of 80 columns and JSON.

pub mod digest;
pub mod pairs_chart;
pub mod pairs_data;
pub mod pairs_page;
pub mod pairs_plot;
pub mod pairs_typed;
pub mod rules_page;
pub mod savings;
pub mod take_apart;
pub mod terminal;
pub mod thread_sheet;
pub mod vary_table;
