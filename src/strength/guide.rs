//! A carriage in its guide: how far off the axis a load may act before it jams, how far the
//! carriage tilts, and how far it turns in its slots.

use crate::units::{Angle, Length};

/// Offset of a load from the axis at which a guided piece jams however hard it is pushed:
/// L / (2 mu).
///
/// Balance: W e = N L for the couple at the guide's ends, and 2 mu N < W to slide (derived; a
/// standard problem of statics on dry friction). 22 mm long, mu = 0.25: 44 mm.
pub fn jamming_offset(guided: Length, friction: f64) -> Length {
    guided / (2.0 * friction)
}

/// Share of what pushes a guided piece that friction at the guide's ends takes while the piece presses at
/// an offset from the axis: 2 mu e / (L + 2 mu e).
///
/// Balance: the push F = W + 2 mu N, W e = N L for the couple at the guide's ends (derived; the same
/// problem of statics as of [`jamming_offset`], short of jamming). 22 mm long, e = 11 mm, mu = 0.25: 1/5.
pub fn taken_by_guide(guided: Length, offset: Length, friction: f64) -> f64 {
    let taken = offset * (2.0 * friction);
    taken / (guided + taken)
}

/// How far the rim of a face of the given width goes up and down as the piece tilts in its gap,
/// 2 g / L times the width (derived). 0.14 mm a side, 20 mm long, 28 mm wide: 0.39 mm.
pub fn tilt_across(gap: Length, guided: Length, width: Length) -> Length {
    gap.max(Length::ZERO) * 2.0 * (width / guided)
}

/// How far a piece turns about its axis from where one side of its ears touches a slot to where
/// the other does; `None` where ears are so short for the gap that they turn right round.
///
/// Ears as wide as `width`, out to `reach` from the axis, with `gap` on each side in slots with
/// parallel walls. Either way the outermost corner touches first: R sin a + b cos a = b + g with
/// b = half the width; the whole way is 2 a (derived). Ears 11 mm wide, out to 20 mm, 0.2 mm a
/// side: 0.02 rad, 0.0032 turns.
pub fn turning_play(gap: Length, width: Length, reach: Length) -> Option<Angle> {
    let [gap, half, reach] = [gap.max(Length::ZERO), width / 2.0, reach].map(Length::as_mm);
    let under_root = reach * reach - gap * (2.0 * half + gap);
    // With t = tan(a / 2) a quadratic; this root keeps its figures where the gap is small.
    let tangent_of_half = gap / (reach + under_root.sqrt());
    (under_root >= 0.0).then(|| Angle::radians(4.0 * Angle::from_tan(tangent_of_half).as_radians()))
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
    fn ears_turn_until_a_corner_touches_and_no_further() {
        // Independent: turn all four corners and look, halving the step.
        for (gap, width, reach) in [(0.2, 11.0, 20.0), (0.14, 9.5, 18.0), (1.5, 30.0, 25.0)] {
            let inside = |turn: f64| {
                let (sin, cos) = Angle::radians(turn).sin_cos();
                let corners = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
                corners.iter().all(|(right, up)| {
                    let (x, y) = (right * reach, up * width / 2.0);
                    (x * sin + y * cos).abs() <= width / 2.0 + gap
                })
            };
            let (mut free, mut stuck) = (0.0, 0.7);
            assert!(inside(free) && !inside(stuck));
            for _ in 0..60 {
                let middle = (free + stuck) / 2.0;
                *(if inside(middle) {
                    &mut free
                } else {
                    &mut stuck
                }) = middle;
            }
            let [g, w, r] = [gap, width, reach].map(Length::mm);
            let whole = turning_play(g, w, r).unwrap().as_radians();
            assert_relative_eq!(whole, 2.0 * free, max_relative = 1e-9);
        }
    }

    #[test]
    fn ears_without_a_gap_do_not_turn_and_ears_too_short_for_it_turn_right_round() {
        let [zero, width] = [0.0, 10.0].map(Length::mm);
        let still = turning_play(zero, width, Length::mm(20.0)).unwrap();
        assert_eq!(still.as_radians(), 0.0);
        // A 10 mm square in a slot of 14.2 mm, and in one of 14.1: its diagonal is 14.14 mm.
        let square = |slot: f64| turning_play(Length::mm((slot - 10.0) / 2.0), width, width / 2.0);
        assert!(square(14.2).is_none() && square(14.1).is_some());
    }

    #[test]
    fn a_longer_guide_tilts_less() {
        let tilt = |guided| tilt_across(Length::mm(0.14), Length::mm(guided), Length::mm(28.0));
        // Hand calculation: 2 x 0.14 x 28 / 20 = 0.392.
        assert_relative_eq!(tilt(20.0).as_mm(), 0.392, max_relative = 1e-12);
        assert!(tilt(30.0) < tilt(20.0));
    }
}
