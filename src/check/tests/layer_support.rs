//! Rule file `layer_support.rs`: one failing and one just-passing case of each limit.

use super::*;

#[test]
fn a_flank_that_hardly_rests_on_its_layers_is_refused() {
    let with = |layer: &str| {
        let kit = format!("{GOOD}layer = {layer}\ngaps = {{ thread = -0.1 }}");
        judged(&nested(&kit), "layer-support", "layer")
    };
    // 1 - 1.732 h / 0.45
    for (layer, outcome) in [
        ("0.145", Outcome::Pass), // 44.2 %
        ("0.146", Outcome::Note), // 43.8
        ("0.207", Outcome::Note), // 20.3
        ("0.209", Outcome::Warn), // 19.6
        ("0.246", Outcome::Warn), // 5.3
        ("0.248", Outcome::Fail), // 4.5
    ] {
        assert_eq!(with(layer).outcome, outcome, "{layer}");
    }
    let mend = with("0.25").mend.expect("a mend");
    assert_eq!(
        mend,
        "write `layer = \"0.2 mm\"`, or write `line = \"0.55 mm\"`"
    );
    assert_eq!(with("0.2").outcome, Outcome::Note);
}
