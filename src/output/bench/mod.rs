//! What goes to the bench and comes back from it: the sheet of test pieces, what their
//! readings change in a profile, and a trial.

mod breaking_sheet;
pub mod broken_page;
pub mod coupon_form;
pub mod coupon_list;
pub mod coupon_product;
pub mod coupon_sheet;
pub mod trial_page;
pub mod trial_plot;
pub mod trial_report;
pub mod tune_page;
