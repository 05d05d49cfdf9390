//! From a wish to pairs of threads, and to a kit of one of them.

mod laws;
mod page;
mod published;
mod wishes;

use netlead::kit::LayoutKind;
use netlead::making::{self, InMemory};
use netlead::pairs::{self, Base, Hands, Series, Wish};
use netlead::units::Length;

/// A wish of so much travel in a turn, turned by fingers, in the nested layout.
fn wish(net_lead: Length) -> Wish {
    Wish {
        name: "wish".into(),
        net_lead,
        tolerance: 0.01,
        ticks: None,
        layouts: vec![LayoutKind::Nested],
        stroke: Length::mm(10.0),
        load: None,
        within: None,
        series: vec![Series::IsoCoarse, Series::IsoFine],
        pitch_step: None,
        mixed: false,
        hands: Hands::Same,
        starts: 1,
        inches: false,
        settings: vec![("hand_torque".into(), "1 N m".into())],
    }
}

/// A folder without profiles.
fn shelf() -> InMemory {
    InMemory::none()
}

/// The kits of a wish, as the search wants them.
fn bases(wish: &Wish) -> Vec<Base> {
    let base = |layout: &LayoutKind| {
        let any = pairs::any_mechanism(*layout).unwrap();
        let text = pairs::kit_text(wish, &any).unwrap();
        let read = making::read("wish.toml", &text, &shelf()).unwrap();
        Base::new(wish, *layout, read.kit, read.profile)
    };
    wish.layouts.iter().map(base).collect()
}
