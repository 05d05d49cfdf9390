//! What a mechanism may be for, and what that asks of its kit.

use crate::kit::LayoutKind;

/// A use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Use {
    /// The word by which it is asked for.
    pub(super) word: &'static str,
    /// What it is, in a few words.
    pub(super) about: &'static str,
    /// Layouts that serve it, the likeliest first.
    pub(super) layouts: &'static [LayoutKind],
    /// Keys of the kit with their values.
    pub(super) settings: &'static [(&'static str, &'static str)],
    /// Travel in a turn that is offered.
    pub(super) net_lead: &'static str,
    /// Travel from end to end that is offered.
    pub(super) stroke: &'static str,
    /// Load that is offered.
    pub(super) load: &'static str,
}

/// All of them, the likeliest first.
pub(super) const USES: &[Use] = &[
    Use {
        word: "stage",
        about: "moves something finely, turned by fingers",
        layouts: &[LayoutKind::Nested],
        settings: &[],
        net_lead: "0.5 mm",
        stroke: "10 mm",
        load: "5 N",
    },
    Use {
        word: "stop",
        about: "a stop on a bench that is set finely",
        layouts: &[LayoutKind::Nested],
        settings: &[("mount", "foot")],
        net_lead: "1 mm",
        stroke: "12 mm",
        load: "20 N",
    },
    Use {
        word: "press",
        about: "presses pins and plugs into small work",
        layouts: &[LayoutKind::Nested],
        settings: &[("end", "press"), ("mount", "foot")],
        net_lead: "1 mm",
        stroke: "15 mm",
        load: "60 N",
    },
    Use {
        word: "clamp",
        about: "holds work against a fixed jaw",
        layouts: &[LayoutKind::Single, LayoutKind::Nested],
        settings: &[("end", "jaw")],
        net_lead: "3 mm",
        stroke: "30 mm",
        load: "60 N",
    },
    Use {
        word: "vise",
        about: "two jaws that close on the middle",
        layouts: &[LayoutKind::Opposed],
        settings: &[("end", "jaw"), ("mount", "foot")],
        net_lead: "2 mm",
        stroke: "20 mm",
        load: "60 N",
    },
];
