//! Rule file `layers.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn layers_a_pitch_refuse_below_six_warn_below_eight_note_below_nearly_twelve() {
    let with = |layer: &str| {
        let kit = format!("{GOOD}layer = {layer}\ngaps = {{ thread = -0.1 }}");
        judged(&nested(&kit), "layers-per-pitch", "inner/drive").outcome
    };
    assert_eq!(with("0.14"), Outcome::Pass); // 1.75 / 0.14 = 12.5
    assert_eq!(with("0.152"), Outcome::Pass); // 11.51
    assert_eq!(with("0.153"), Outcome::Note); // 11.44
    assert_eq!(with("0.22"), Outcome::Warn); // 7.95
    assert_eq!(with("0.29"), Outcome::Warn); // 6.03
    assert_eq!(with("0.30"), Outcome::Fail); // 5.83
}
