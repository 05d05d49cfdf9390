//! What working ends, mounts and cranks ask whoever uses a mechanism to heed, beside what every kit asks.

use crate::kit::{End, Head, Kit, Mount};

/// The cautions of a kit's working end, mount and crank, in whole sentences; common practice for hand
/// tools that clamp and press.
pub(in crate::layout) fn cautions(kit: &Kit) -> Vec<String> {
    let end: &[&str] = match *kit.end {
        End::Flush => &[],
        End::Ears => &[
            "What is bolted to the ears moves with them beside the frame: keep fingers out from between, \
             and nothing heavier on them than the mechanism bears with its reserve.",
        ],
        End::Jaw => &[
            "Clamping: keep fingers out of the jaws, and wear eye protection: what is clamped too hard, \
             or sits askew, flies out, and so does a jaw that breaks.",
            "Clamp by hand and no harder than holds the work. A clamp is no lifting device and holds \
             nothing over people; let go of the work before you open it, and open it when you leave.",
        ],
        End::Rod => &[
            "Pressing: wear eye protection, bystanders too. A pin that slips or splits under the rod \
             flies, and so do chips of plastic.",
            "Press by hand only, never with a tool on the head, the work held so that it cannot kick out \
             and no finger is under the rod. Stop when it no longer goes.",
        ],
        End::Press => &[
            "Pressing: wear eye protection, bystanders too. A pin that slips, bends or splits between rod \
             and anvil flies, and so do chips of plastic, and a yoke that breaks.",
            "Press by hand only, never with a tool on the head, and strike neither head nor yoke. Set the \
             work square to the rod and hold it so that it cannot kick out, no finger between rod and \
             anvil. Stop when it no longer goes.",
            "Nothing but the load holds the yoke: push it against its stops before each stroke, and take \
             it off when you leave.",
        ],
    };
    let mount: &[&str] = match *kit.mount {
        Mount::None => &[],
        Mount::Foot => &[
            "Bolt the foot down before you turn the screw, to something that does not tip over, and do \
             not hang it overhead.",
        ],
        Mount::QuarterInch | Mount::M6 => &[
            "The nut under the frame holds it upright on its bolt and carries nothing else: do not hang \
             it overhead, and keep people and lenses from under it.",
        ],
    };
    let head: &[&str] = match &kit.head {
        Head::Hexagon(_) | Head::Knob(_) | Head::Tommy(_) => &[],
        Head::Crank(_) => &[
            "The crank sweeps out below the frame: let the head stand over the edge of the table, a foot's \
             too, and keep fingers, sleeves and cords from between crank and table.",
        ],
    };
    end.iter()
        .chain(mount)
        .chain(head)
        .map(|text| (*text).into())
        .collect()
}
