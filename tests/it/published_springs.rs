//! Helical springs against a published worked example, and against values worked by hand.
//!
//! The example is Shigley's Mechanical Engineering Design, 9th ed., example 10-1 (from memory): No. 16
//! music wire, 0.037 in, 7/16 in outside, squared ends, 12.5 coils in all, 10.5 of them active.

use approx::assert_relative_eq;
use netlead::strength::{
    CoilSpring, SPRING_STEEL, Winding, music_wire_strength, music_wire_torsional_yield,
};
use netlead::units::{Force, Length, SpringRate, Stress};

/// Pounds-force on a square inch, in thousands.
fn kpsi(stress: Stress) -> f64 {
    stress.as_psi() / 1000.0
}

#[test]
fn a_spring_of_music_wire_is_as_strong_and_as_stiff_as_the_worked_example() {
    let wire = Length::inches(0.037);
    let spring = CoilSpring {
        wire,
        outside: Length::inches(7.0 / 16.0),
        free: Length::inches(2.06),
        winding: Winding::Coils(10.5),
    };
    // Sut 324 kpsi and Ssy 146 kpsi, rounded there to three digits.
    assert_relative_eq!(kpsi(music_wire_strength(wire)), 324.0, max_relative = 3e-3);
    assert_relative_eq!(
        kpsi(music_wire_torsional_yield(wire)),
        146.0,
        max_relative = 3e-3
    );
    assert_relative_eq!(spring.index(), 10.8, max_relative = 3e-3);
    // 4.13 lbf/in with the 11.85 Mpsi of its table, and D rounded to 0.4 in.
    let rigidity = Stress::megapascals(11.85e6 * 0.006_894_757);
    let rate = spring.rate_of(rigidity).as_pounds_per_inch();
    assert_relative_eq!(rate, 4.13, max_relative = 5e-3);
    // The load that yields, 6.46 lbf with Bergstraesser's factor, which is within a hundredth of Wahl's
    // (the same book, sect. 10-1).
    let stress = spring.stress(Force::pounds(6.46));
    assert_relative_eq!(kpsi(stress), 146.0, max_relative = 1.2e-2);
    // 2.06 over 0.4 in is below 5.26: stable.
    assert_relative_eq!(spring.slenderness(), 5.15, max_relative = 2e-3);
}

#[test]
fn a_rate_is_the_same_by_coils_and_by_itself_and_coils_come_back() {
    // By hand: 79300 x 1 / (8 x 15^3 x 5) = 0.58741 N/mm; 7 coils of 1 mm are solid at 7 mm.
    let spring = CoilSpring {
        wire: Length::mm(1.0),
        outside: Length::mm(16.0),
        free: Length::mm(40.0),
        winding: Winding::Coils(5.0),
    };
    assert_relative_eq!(
        spring.rate().as_newtons_per_mm(),
        0.587_407,
        max_relative = 1e-6
    );
    assert_relative_eq!(spring.solid().as_mm(), 7.0, max_relative = 1e-12);
    let by_rate = CoilSpring {
        winding: Winding::Rate(SpringRate::newtons_per_mm(0.587_407_4)),
        ..spring
    };
    assert_relative_eq!(by_rate.coils(), 5.0, max_relative = 1e-6);
    assert_relative_eq!(by_rate.solid().as_mm(), 7.0, max_relative = 1e-6);
    // A loose spring presses with nothing; 21.8 mm shorter it presses with 12.81 N.
    assert_eq!(spring.force_at(Length::mm(41.0)), Force::ZERO);
    let pressed = spring.force_at(Length::mm(18.2)).as_newtons();
    assert_relative_eq!(pressed, 12.805, max_relative = 1e-4);
    // C = 15: Kw = 59/56 + 0.615/15 = 1.094571; 8 x 18.7 x 15 / pi = 714.29 MPa of it.
    let stress = spring.stress(Force::newtons(18.7)).as_megapascals();
    assert_relative_eq!(stress, 781.84, max_relative = 1e-4);
    // What is taken where nothing is said lies between oil-tempered and music wire, 77.2 and 82.7 GPa.
    let rigidity = SPRING_STEEL.as_megapascals();
    assert!((77_200.0..82_700.0).contains(&rigidity));
}

#[test]
fn a_rate_of_one_pound_an_inch_is_the_published_one() {
    // NIST SP 811 (2008), appendix B.8: 1 lbf/in = 175.1268 N/m.
    let rate = SpringRate::newtons_per_mm(0.175_126_8);
    assert_relative_eq!(rate.as_pounds_per_inch(), 1.0, max_relative = 1e-6);
}
