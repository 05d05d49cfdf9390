//! A carriage in its guide: how far off the axis a load may act before it jams, and how far the
//! carriage tilts.

use crate::units::Length;

/// Offset of a load from the axis at which a guided piece jams however hard it is pushed:
/// L / (2 mu).
///
/// Balance: W e = N L for the couple at the guide's ends, and 2 mu N < W to slide (derived; a
/// standard problem of statics on dry friction). 22 mm long, mu = 0.25: 44 mm.
pub fn jamming_offset(guided: Length, friction: f64) -> Length {
    guided / (2.0 * friction)
}

/// How far the rim of a face of the given width goes up and down as the piece tilts in its gap,
/// 2 g / L times the width (derived). 0.14 mm a side, 20 mm long, 28 mm wide: 0.39 mm.
pub fn tilt_across(gap: Length, guided: Length, width: Length) -> Length {
    gap.max(Length::ZERO) * 2.0 * (width / guided)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_drawer_just_slides_where_its_edges_hold_no_more_than_the_push() {
        // Independent: walk the balance of forces. Offset e, length L, push W: N = W e / L at
        // each end, friction 2 mu N against W.
        let (length, friction, push) = (22.0, 0.25, 100.0);
        let held = |offset: f64| 2.0 * friction * (push * offset / length);
        let limit = jamming_offset(Length::mm(length), friction).as_mm();
        assert_relative_eq!(held(limit), push, max_relative = 1e-12);
        assert!(held(limit * 0.99) < push);
    }

    #[test]
    fn a_longer_guide_tilts_less() {
        let tilt = |guided| tilt_across(Length::mm(0.14), Length::mm(guided), Length::mm(28.0));
        // Hand calculation: 2 x 0.14 x 28 / 20 = 0.392.
        assert_relative_eq!(tilt(20.0).as_mm(), 0.392, max_relative = 1e-12);
        assert!(tilt(30.0) < tilt(20.0));
    }
}
