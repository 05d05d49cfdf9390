//! Writes the manual of the kit file, from the keys as the code declares them.
//!
//! `cargo run --example kit_file_manual > docs/kit-file.md`; `tests/it/manual.rs` requires that
//! the file is what this prints.

use netlead::kit::{KeyHelp, keys};

const HEAD: &str = "\
# The kit file

Made from the code by `cargo run --example kit_file_manual`; do not edit it by hand.

Five lines make a kit: a name, a layout, its thread, a stroke, and how hard a hand turns it at the stops.
All else follows, or has a default that the table below tells. `netlead check KIT.toml` says what would
go wrong.

```toml
name   = \"my stage\"
layout = \"single\"
drive  = \"M20x2.5\"
stroke = 10
hand_torque = \"1.4 N m\"
```

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

const LAYOUTS: &str = "
## One kit of each layout

Each is whole, and passes `netlead check`; more of them: `netlead presets`.

`single` is one screw; the carriage hangs on it by a swivel:

```toml
name     = \"bench stop\"
layout   = \"single\"
drive    = \"M20x2.5\"
stroke   = 10
layer    = 0.14
hand_torque = \"1.4 N m\"   # a whole hand would bend the swivel's pins
```

`nested` has a second screw in the bore of the first: a turn leaves what their leads differ by.

```toml
name     = \"lens stage\"
layout   = \"nested\"
drive    = \"M20x2.5\"
inner    = \"M12x1.75\"
stroke   = 10
net_lead = 0.75            # what you expect; a kit that differs is refused
layer    = 0.14
hand_torque = \"1.2 N m\"   # by feel: a tool would twist the inner screw off
```

`tandem` has both threads on one screw, the thin one behind the thick one, in a nut that the carriage
holds:

```toml
name     = \"saw stop\"
layout   = \"tandem\"
drive    = \"M24x3\"
thin     = \"M16x2\"
nut      = \"M16\"          # from a shop; without this line it is printed
stroke   = 20
layer    = 0.14
material = \"PETG\"
pins     = { buy = \"5 mm dowel\" }
hand_torque = \"0.9 N m\"   # two fingers: the thin end is slender
```

`opposed` moves two carriages towards each other by threads of either hand:

```toml
name     = \"tube jaws\"
layout   = \"opposed\"
drive    = \"M16x2-LH\"     # left-hand: clockwise closes
far      = \"M16x2\"
stroke   = 25               # of each carriage
layer    = 0.14
material = \"PETG\"
end      = \"jaw\"
mount    = \"foot\"
pins     = { buy = \"4 mm dowel\" }
hand_torque = \"1 N m\"     # two fingers
```

## While you type

`netlead schema > netlead-kit.json` writes these keys as JSON Schema (draft 2020-12). An editor that
takes it offers keys and words, says what each is for, and marks what no kit may have. Many look for
it in the first line of the file, which to TOML is a remark:

```toml
#:schema ./netlead-kit.json
```

The schema refuses no kit that netlead takes; what it lets pass, `netlead check` may still refuse.
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
    format!("{HEAD}{keys}{LAYOUTS}{WAIVERS}")
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
