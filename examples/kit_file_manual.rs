//! Writes the manual of the kit file, from the keys as the code declares them.
//!
//! `cargo run --example kit_file_manual > docs/kit-file.md`; `tests/it/manual.rs` requires that
//! the file is what this prints.

use netlead::kit::{KeyHelp, keys};

const HEAD: &str = "\
# The kit file

Made from the code by `cargo run --example kit_file_manual`; do not edit it by hand.

A kit file is TOML. A bare number is a length in millimetres, or in inches after
`units = \"inch\"`; a length in quotes may carry its own unit: `\"3/8 in\"`, `\"1 5/16 in\"`,
`\"9.5 mm\"`. A bare torque is in newton metres and a bare force in newtons, whatever the
units of the kit; in quotes either carries its unit: `\"18 lbf in\"`, `\"5 lbf\"`. Words may be
written in any case.

Threads are designations: `M20x2.5`, `M12`, `M12x1.75-LH`, `7/8-9 UNC`. `netlead thread M20x2.5`
shows what one means.

A key with a dot stands in a table, written as `gaps.thread = 0.05`, as
`gaps = { thread = 0.05 }` or under `[gaps]`. Ranges keep out slips of the pen; whether a
design is any good is for the checks to say.

## Keys

| key | what it sets | value | range | if it is not there |
|---|---|---|---|---|
";

const WAIVERS: &str = "
## Waivers

A check that warns or fails may be waived, with a reason that the report and the guide repeat.
What cannot be drawn at all is refused before any check, and cannot be waived.

```toml
[[waive]]
check  = \"drive-wall\"
reason = \"printed twice with five perimeters, holds\"
```

The rules and their names: [rules.md](rules.md), or `netlead rules`.
";

/// The whole manual.
pub(crate) fn manual() -> String {
    let keys: String = keys().iter().map(key_row).collect();
    format!("{HEAD}{keys}{WAIVERS}")
}

fn key_row(key: &KeyHelp) -> String {
    format!(
        "| `{}` | {} | {} | {} | {} |\n",
        key.path,
        key.meaning,
        key.kind,
        key.range.as_deref().unwrap_or_default(),
        key.absent
    )
}

#[expect(clippy::print_stdout, reason = "the manual is what this prints")]
fn main() {
    print!("{}", manual());
}
