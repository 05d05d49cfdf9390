//! Net leads of published pairs.

use super::wish;
use netlead::kit::LayoutKind;
use netlead::pairs::{self, Series, Wish, designations};
use netlead::units::Length;

/// Whether a pair is among those that give a travel, of all series, exactly.
fn gives(net_lead: Length, drive: &str, second: &str) -> bool {
    let wish = Wish {
        series: Series::ALL.to_vec(),
        mixed: true,
        // Published values are rounded to two or three digits.
        tolerance: 0.01,
        ..wish(net_lead)
    };
    let given = pairs::giving(&wish, LayoutKind::Nested).into_iter();
    let mut given = given.map(|(mechanism, _)| designations(&mechanism));
    given.any(|threads| threads == [drive, second])
}

#[test]
fn published_pairs_are_among_those_that_give_their_published_travel() {
    // 16 and 24 threads to an inch: 0.0208 in (encyclopedia article on the differential screw).
    assert!(gives(Length::inches(0.0208), "3/8-16 UNC", "#10-24 UNC"));
    // M8x1.25 with M5x0.8: 0.45 mm (teaching page on mechanisms: nut-screw differential).
    assert!(gives(Length::mm(0.45), "M8x1.25", "M5x0.8"));
    // 20 and 28 threads to an inch: 70 turns to an inch (workshop forum on differential screws).
    assert!(gives(
        Length::inches(1.0 / 70.0),
        "7/16-20 UNF",
        "1/4-28 UNF"
    ));
    // 1/4-28 with M4x0.7: 0.0082 in (home workshop forum on fine threads).
    assert!(gives(Length::inches(0.0082), "1/4-28 UNF", "M4x0.7"));
    // M5x0.8 with M4x0.7: 0.1 mm (article on fine adjustment by differential screws).
    assert!(gives(Length::mm(0.1), "M5x0.8", "M4x0.7"));
    // And none that do not.
    assert!(!gives(Length::mm(0.2), "M5x0.8", "M4x0.7"));
}

#[test]
fn opposite_hands_add_and_starts_multiply() {
    let of = |wish: Wish| {
        let given = pairs::giving(&wish, LayoutKind::Nested).into_iter();
        given
            .map(|(mechanism, _)| designations(&mechanism))
            .collect::<Vec<_>>()
    };
    // Compound screw: L1 + L2 (Khurmi and Gupta, section on compound screws, from memory).
    let opposite = Wish {
        hands: pairs::Hands::Opposite,
        ..wish(Length::mm(4.25))
    };
    assert!(of(opposite).contains(&vec!["M20x2.5".to_owned(), "M12x1.75-LH".to_owned()]));
    let two = Wish {
        starts: 2,
        ..wish(Length::mm(3.25))
    };
    // Two starts of pitch 2.5 (ISO 965-1 writes Ph for the lead): 5 less 1.75.
    assert!(of(two).contains(&vec!["M20xPh5P2.5".to_owned(), "M12x1.75".to_owned()]));
}

#[test]
fn a_lead_at_the_very_edge_of_the_tolerance_is_met() {
    // 0.75 is a quarter more than 0.6, in binary a hair more.
    let wish = Wish {
        tolerance: 0.25,
        ..wish(Length::mm(0.6))
    };
    assert!(wish.is_met_by(Length::mm(0.75)) && !wish.is_met_by(Length::mm(0.7501)));
}
