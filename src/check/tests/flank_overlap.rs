//! Rule file `flank_overlap.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_gap_of_more_than_four_tenths_of_the_depth_fails() {
    // M12x1.75 is 0.947 deep: at most 0.379, which is 0.169 wanted at 0.15 layers.
    let with = |gap: &str| {
        let kit = format!("{GOOD}gaps = {{ thread = {gap} }}");
        judged(&nested(&kit), "flank-overlap", "inner/drive").outcome
    };
    assert_eq!(with("0.168"), Outcome::Pass);
    assert_eq!(with("0.170"), Outcome::Fail);
}
