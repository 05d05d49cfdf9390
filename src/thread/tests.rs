//! Laws that hold for every thread of the series.

use super::*;

#[test]
fn every_standard_thread_has_a_core_below_the_nut_bore_below_the_pitch_line_below_the_crest() {
    for thread in series::all() {
        assert!(Length::ZERO < thread.minor_external(), "{thread}");
        assert!(
            thread.minor_external() < thread.minor_internal(),
            "{thread}"
        );
        assert!(
            thread.minor_internal() < thread.pitch_diameter(),
            "{thread}"
        );
        assert!(thread.pitch_diameter() < thread.major(), "{thread}");
    }
}

#[test]
fn every_standard_thread_has_limits_and_its_largest_screw_enters_its_smallest_nut() {
    for thread in series::all() {
        let limits = thread
            .limits()
            .unwrap_or_else(|| panic!("{thread} has no limits"));
        let (screw, nut) = (limits.external, limits.internal);
        assert!(screw.major.max < nut.major.min, "{thread}");
        assert!(screw.pitch.max < nut.pitch.min, "{thread}");
        assert!(screw.minor.max < nut.minor.min, "{thread}");
        for limit in [screw.major, screw.pitch, nut.minor, nut.pitch] {
            assert!(limit.min < limit.max, "{thread}");
        }
        // The crest of the smallest screw still reaches past the bore of the largest nut.
        assert!(screw.major.min > nut.minor.max, "{thread}");
    }
}

#[test]
fn limits_are_the_same_for_either_hand_and_none_for_several_starts() {
    let right: Thread = "M20".parse().unwrap();
    let left = right.clone().with_hand(Hand::Left);
    assert_eq!(right.limits(), left.limits());
    let two_starts: Thread = "M20xPh5P2.5".parse().unwrap();
    assert_eq!(two_starts.limits(), None);
    assert_eq!("24x2.4".parse::<Thread>().unwrap().limits(), None);
}

#[test]
fn the_series_rise_and_hold_every_size_once() {
    for series in [
        series::iso_coarse().collect::<Vec<_>>(),
        series::unc().collect(),
        series::unf().collect(),
    ] {
        for pair in series.windows(2) {
            assert!(pair[0].major() < pair[1].major(), "{} {}", pair[0], pair[1]);
        }
    }
    for size in series::metric_sizes() {
        let pitches: Vec<Length> = size.pitches().collect();
        assert!(
            pitches.windows(2).all(|pair| pair[0] > pair[1]),
            "M{:?}",
            size.major()
        );
    }
}

#[test]
fn a_pitch_that_iso_261_does_not_list_makes_no_metric_thread() {
    let m20 = series::metric_sizes()
        .find(|size| size.major() == Length::mm(20.0))
        .unwrap();
    assert!(Thread::metric(m20, Length::mm(2.5)).is_some());
    assert!(Thread::metric(m20, Length::mm(2.4)).is_none());
}
