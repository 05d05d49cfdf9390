//! Threads and printers as values of a kit file.

use super::Printer;
use super::designation::designation;
use super::text::{PRINTER_RULE, is_path};
use crate::declared::{Context, Raw, Value};
use crate::diagnostic::Diagnostic;
use crate::thread::Thread;

impl Value for Thread {
    type Limits = ();

    fn read(raw: Raw<'_>, _: &(), _: Context) -> Result<Self, Diagnostic> {
        let mend = format!(
            "write a designation in quotes, such as `{} = \"M20x2.5\"`",
            raw.leaf()
        );
        let text = raw.string("thread designation", &mend)?;
        designation(text).map_err(|(message, at, better)| {
            Diagnostic::error(format!("`{}`: {message}", raw.path), raw.within(at))
                .label("wrong here")
                .mend(better.unwrap_or(mend))
        })
    }
    fn kind(_: &()) -> String {
        "thread designation".to_owned()
    }
    fn range(_: &()) -> Option<String> {
        None
    }
}

impl Value for Printer {
    type Limits = ();

    fn read(raw: Raw<'_>, _: &(), context: Context) -> Result<Self, Diagnostic> {
        let text = String::read(raw, &PRINTER_RULE, context)?;
        Ok(match is_path(&text) {
            true => Self::File(text),
            false => Self::Named(text),
        })
    }
    fn kind(_: &()) -> String {
        String::kind(&PRINTER_RULE)
    }
    fn range(_: &()) -> Option<String> {
        String::range(&PRINTER_RULE)
    }
}
