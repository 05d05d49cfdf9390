//! From a wish to the kits in which its pairs are tried, and to the kit of one of them.

use super::printer_file::Shelf;
use super::trouble::{Trouble, shown};
use crate::kit::{LayoutKind, Mechanism};
use crate::making::{self, Read, Refusal};
use crate::output::words::plain;
use crate::pairs::{self, Base, Hands, Series, Wish};
use crate::units::Length;
use std::path::Path;

/// How messages call the kit of a wish, which stands in no file.
const CALLED: &str = "the kit of this wish";

/// The kit of a wish with some threads in it.
pub(super) fn read(wish: &Wish, mechanism: &Mechanism, shelf: &Shelf) -> Result<Read, Refusal> {
    let text = text(wish, mechanism).map_err(|trouble| Refusal::Rejected(trouble.to_string()))?;
    making::read(CALLED, &text, shelf)
}

/// Its text.
pub(super) fn text(wish: &Wish, mechanism: &Mechanism) -> Result<String, Trouble> {
    pairs::kit_text(wish, mechanism).map_err(|why| {
        Trouble::new(why.to_string()).mend("docs/kit-file.md lists the keys that --with may set")
    })
}

/// The kit of a wish in one layout, for the search.
pub(super) fn base(wish: &Wish, layout: LayoutKind, shelf: &Shelf) -> Result<Base, Refusal> {
    let mechanism = pairs::any_mechanism(layout)
        .ok_or_else(|| Refusal::Broken("no layout has these threads; please report this".into()))?;
    let read = read(wish, &mechanism, shelf)?;
    Ok(Base::new(wish, layout, read.kit, read.profile))
}

/// The same in each of its layouts.
pub(super) fn bases(wish: &Wish, shelf: &Shelf) -> Result<Vec<Base>, Refusal> {
    let layouts = wish.layouts.iter();
    layouts.map(|layout| base(wish, *layout, shelf)).collect()
}

/// A key with its value, `layer=0.12`.
pub(super) fn setting(text: &str) -> Result<(String, String), Trouble> {
    let example =
        "write a key of a kit and its value: layer=0.12, material=PETG, pins.buy=\"m3 dowel\"";
    let Some((key, value)) = text.split_once('=') else {
        return Err(
            Trouble::new(format!("`{}` is no key with a value", plain(text))).mend(example),
        );
    };
    let (key, value) = (key.trim(), value.trim());
    if OF_THE_WISH.contains(&key) {
        return Err(Trouble::new(format!("the wish itself says `{key}`"))
            .mend("leave it out of --with; the other words of this command say it"));
    }
    if !crate::kit::edit::settable().contains(&key) {
        let trouble = Trouble::new(format!("no key of a kit is called `{}`", plain(key)));
        let near = super::presets::nearest(key, crate::kit::edit::settable());
        return Err(trouble.mend(match near {
            Some(near) => {
                format!("write `{near}` if that is meant; docs/kit-file.md lists all keys")
            }
            None => "docs/kit-file.md lists all keys".into(),
        }));
    }
    if value.is_empty() {
        return Err(Trouble::new(format!("`{}` has no value", plain(key))).mend(example));
    }
    Ok((key.into(), value.into()))
}

/// Keys that follow from a wish.
const OF_THE_WISH: [&str; 13] = [
    "name",
    "layout",
    "units",
    "drive",
    "inner",
    "thin",
    "far",
    "nut",
    "stroke",
    "net_lead",
    "advance",
    "load",
    "load.force",
];

/// The key of the torque of a hand at the stops.
const HAND_TORQUE: &str = "hand_torque";

/// Settings with the torque of thumb and two fingers, where they say no other: what turns a knob, and
/// a whole hand asks for parts twice as stout.
pub(super) fn by_fingers(
    mut settings: Vec<(String, String)>,
    inches: bool,
) -> Vec<(String, String)> {
    if settings.iter().all(|(key, _)| key != HAND_TORQUE) {
        // Both are told as what fingers turn with at the most; an inch's is rounded down.
        let torque = if inches { "8.8 lbf in" } else { "1 N m" };
        settings.push((HAND_TORQUE.into(), torque.into()));
    }
    settings
}

/// The torque of a hand at the stops that settings say.
pub(super) fn hand_torque(settings: &[(String, String)]) -> Option<&str> {
    let said = settings.iter().find(|(key, _)| key == HAND_TORQUE);
    said.map(|(_, torque)| torque.as_str())
}

/// How far the travel in a turn may be off, as a share, if not said. Guess: a scale is read to that.
const TOLERANCE: f64 = 0.01;

/// What holds where a command says nothing; its travel and stroke are always said.
pub(super) fn unsaid(inches: bool) -> Wish {
    Wish {
        name: String::new(),
        net_lead: Length::ZERO,
        tolerance: TOLERANCE,
        ticks: None,
        layouts: vec![LayoutKind::Nested],
        stroke: Length::ZERO,
        load: None,
        within: None,
        series: match inches {
            false => vec![Series::IsoCoarse, Series::IsoFine],
            true => vec![Series::Unc, Series::Unf],
        },
        pitch_step: None,
        mixed: false,
        hands: Hands::Same,
        starts: 1,
        inches,
        settings: by_fingers(Vec::new(), inches),
    }
}

/// The name of the kit in a file.
pub(super) fn name_of(file: &Path) -> Result<String, Trouble> {
    let stem = file
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned());
    stem.filter(|stem| !stem.is_empty()).ok_or_else(|| {
        Trouble::new(format!("{} names no file", shown(file)))
            .mend("name the kit file to write: my-stage.toml")
    })
}
