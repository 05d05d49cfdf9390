//! What working ends, mounts and cranks ask whoever uses a mechanism to heed, beside what every kit asks.

use crate::assembly::Caution;
use crate::assembly::Signal::{self, Caution as Care, Warning};
use crate::kit::{End, Head, Kit, Mount};

/// The cautions of a kit's working end, mount and crank, in whole sentences; common practice for hand
/// tools that clamp and press.
pub(in crate::layout) fn cautions(kit: &Kit) -> Vec<Caution> {
    let end: &[(Signal, &str)] = match *kit.end {
        End::Flush => &[],
        End::Ears => &[(
            Care,
            "What is bolted to the ears moves with them beside the frame and pinches: keep fingers out from \
             between, and nothing heavier on them than the mechanism bears with its reserve.",
        )],
        End::Jaw => &[
            (
                Warning,
                "Clamping: keep fingers out of the jaws, and wear eye protection: what is clamped too hard, \
             or sits askew, flies out, and so does a jaw that breaks.",
            ),
            (
                Warning,
                "Clamp by hand and no harder than holds the work. A clamp is no lifting device and holds \
             nothing over people, for it lets go as plastic creeps; let go of the work before you open it, and open it when you leave.",
            ),
        ],
        End::Rod => &[
            (
                Warning,
                "Pressing: wear eye protection, bystanders too. A pin that slips or splits under the rod \
             flies, and so do chips of plastic.",
            ),
            (
                Warning,
                "Press by hand only, never with a tool on the head, the work held so that it cannot kick out \
             and no finger is under the rod. Stop when it no longer goes.",
            ),
        ],
        End::Press => &[
            (
                Warning,
                "Pressing: wear eye protection, bystanders too. A pin that slips, bends or splits between rod \
             and anvil flies, and so do chips of plastic, and a yoke that breaks.",
            ),
            (
                Warning,
                "Press by hand only, never with a tool on the head, and strike neither head nor yoke. Set the \
             work square to the rod and hold it so that it cannot kick out, no finger between rod and \
             anvil. Stop when it no longer goes.",
            ),
            (
                Warning,
                "Nothing but the load holds the yoke: push it against its stops before each stroke, and take \
             it off when you leave, or it drops on a foot or a hand.",
            ),
        ],
    };
    let mount: &[(Signal, &str)] = match *kit.mount {
        Mount::None => &[],
        Mount::Foot => &[(
            Care,
            "Bolt the foot down before you work with it, to something that does not tip over, and do not hang it overhead: what tips or falls crushes a foot.",
        )],
        Mount::QuarterInch | Mount::M6 => &[(
            Warning,
            "The nut under the frame holds it upright on its bolt and carries nothing else: do not hang \
             it overhead, and keep people and lenses from under it: it may fall.",
        )],
    };
    let head: &[(Signal, &str)] = match &kit.head {
        Head::Hexagon(_) | Head::Knob(_) | Head::Tommy(_) => &[],
        Head::Crank(_) => &[(
            Care,
            "The crank sweeps out below the frame: let the head stand over the edge of the table, a foot's \
             too, and keep fingers, sleeves and cords from between crank and table, which pinch and catch.",
        )],
    };
    end.iter()
        .chain(mount)
        .chain(head)
        .map(|(signal, text)| Caution::new(*signal, *text))
        .collect()
}
