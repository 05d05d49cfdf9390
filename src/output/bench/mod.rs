//! What goes to the bench and comes back from it: the sheet of test pieces, what their
//! readings change in a profile, and a trial.

mod breaking_sheet;
pub(crate) mod broken_page;
pub(crate) mod coupon_form;
pub(crate) mod coupon_list;
pub(crate) mod coupon_product;
pub(crate) mod coupon_sheet;
pub(crate) mod trial_page;
pub(crate) mod trial_plot;
pub(crate) mod trial_report;
pub(crate) mod tune_page;
