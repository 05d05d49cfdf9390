//! What goes to the bench and comes back from it: the sheet of test pieces, what their
//! readings change in a profile, and a trial.

pub mod coupon_sheet;
pub mod trial_page;
pub(in crate::output) mod trial_plot;
pub mod tune_page;
