//! Rule file `material.rs`: a filament that a car's heat softens, and one that bears it.

use super::*;

#[test]
fn pla_is_noted_for_its_heat_and_petg_passes() {
    let with = |material: &str| {
        let kit = format!("{GOOD}material = \"{material}\"\n");
        judged(&nested(&kit), "material", "kit")
    };
    assert_eq!(with("PLA").outcome, Outcome::Note);
    assert_eq!(with("PETG").outcome, Outcome::Pass);
    assert!(!with("PLA").message.contains("creeps"));
    let loaded = nested(&format!("{GOOD}load = \"20 N\"\n"));
    assert!(
        judged(&loaded, "material", "kit")
            .message
            .contains("creeps")
    );
}
