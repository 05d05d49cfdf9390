//! Case files of kits: what their messages tell to type.
