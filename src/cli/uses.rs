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
    /// Travel in a turn, travel from end to end and load that are offered, to a metric maker and to one who
    /// thinks in inches.
    pub(super) offered: [[&'static str; 3]; 2],
}

/// All of them, the likeliest first.
pub(super) const USES: &[Use] = &[
    Use {
        word: "stage",
        about: "moves something finely, turned by fingers",
        layouts: &[LayoutKind::Nested],
        settings: &[],
        offered: [["0.5 mm", "10 mm", "5 N"], ["0.0278 in", "3/8 in", "1 lbf"]],
    },
    Use {
        word: "stop",
        about: "a stop on a bench that is set finely",
        layouts: &[LayoutKind::Nested],
        settings: &[("mount", "foot")],
        offered: [["1 mm", "12 mm", "20 N"], ["0.0341 in", "1/2 in", "4 lbf"]],
    },
    Use {
        word: "press",
        about: "presses pins and plugs into small work",
        layouts: &[LayoutKind::Nested],
        settings: &[("end", "press"), ("mount", "foot")],
        offered: [["1 mm", "15 mm", "60 N"], ["0.0341 in", "1/2 in", "12 lbf"]],
    },
    Use {
        word: "clamp",
        about: "holds work against a fixed jaw",
        layouts: &[LayoutKind::Single, LayoutKind::Nested],
        settings: &[("end", "jaw")],
        offered: [["3 mm", "30 mm", "60 N"], ["0.125 in", "1 in", "12 lbf"]],
    },
    Use {
        word: "vise",
        about: "two jaws that close on the middle",
        layouts: &[LayoutKind::Opposed],
        settings: &[("end", "jaw"), ("mount", "foot")],
        offered: [["2 mm", "20 mm", "60 N"], ["0.0909 in", "3/4 in", "12 lbf"]],
    },
];
