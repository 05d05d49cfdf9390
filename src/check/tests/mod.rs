//! One failing and one just-passing case for every rule, in a file of the rule's name.

mod as_printed;
mod assembly_order;
mod asserted;
mod bed;
mod beds;
mod buckling;
mod clearance;
mod engagement;
mod fit_odds;
mod flank_overlap;
mod flank_pressure;
mod forces;
mod frame_bending;
mod keeper_bending;
mod keeper_bore;
mod layer_support;
mod layers;
mod material;
mod overhang;
mod pin_bending;
mod press_stress;
mod self_locking;
mod start;
mod stop_load;
mod stops;
mod thin_wall;
mod thread_gap;
mod thread_strip;
mod tilt;
mod wall;

use super::*;
use crate::layout::design;
use crate::motion::solve;
use crate::printer::Profile;

/// The finding of a rule about a subject, for a kit text.
fn judged(text: &str, id: &str, subject: &str) -> Finding {
    judged_like(text, id, subject, "")
}

/// The same, of the finding that says a word.
fn judged_like(text: &str, id: &str, subject: &str, word: &str) -> Finding {
    let found = findings(text, id)
        .into_iter()
        .find(|f| f.subject == subject && f.message.contains(word));
    found.expect("a finding of this rule about this subject")
}

/// Everything that a rule finds in a kit, on an untuned printer.
fn findings(text: &str, id: &str) -> Vec<Finding> {
    let (kit, _) = crate::kit::read(text, &ids()).expect("a valid kit");
    let profile = Profile::untuned_for(&kit);
    findings_on(&kit, &profile, id)
}

/// What a rule that judges meshes finds in the frame of a kit when that has another shape.
fn judged_shape(frame: crate::assembly::Shape, id: &str) -> Finding {
    let (kit, _) = crate::kit::read(&nested(GOOD), &ids()).expect("a valid kit");
    let profile = Profile::untuned_for(&kit);
    let mut design = design(&kit, &profile).expect("a kit that can be drawn");
    let mesh = crate::solid::mesh(&frame, *kit.tolerance).expect("a sound shape");
    let parts = &mut design.assembly.parts;
    // No other part is looked at.
    parts.retain(|part| part.name == "frame");
    parts[0].shape = frame;
    let mut found = findings_of(&kit, &profile, &design, &[mesh], id).into_iter();
    found.next().expect("a finding about the frame")
}

/// Everything that a rule finds, on a printer of which something is known.
fn findings_on(kit: &Kit, profile: &Profile, id: &str) -> Vec<Finding> {
    let design = design(kit, profile).expect("a kit that can be drawn");
    let meshes = match rule(id).expect("a rule of this name").judge {
        Judge::Design(_) => Vec::new(),
        Judge::Bodies(_) => meshes(&design, *kit.tolerance),
    };
    findings_of(kit, profile, &design, &meshes, id)
}

fn findings_of(
    kit: &Kit,
    profile: &Profile,
    design: &crate::layout::Design,
    meshes: &[Mesh],
    id: &str,
) -> Vec<Finding> {
    let rates = solve(&design.assembly).expect("a mechanism that moves");
    let direction = rates.stroke_direction().expect("a carriage that advances");
    let rates = rates.per_stroke_turn(direction);
    let case = Case {
        kit,
        profile,
        design,
        rates: &rates,
    };
    let rule = rule(id).expect("a rule of this name");
    let judgements = match rule.judge {
        Judge::Design(judge) => judge(&case),
        Judge::Bodies(judge) => {
            let clearance = match id {
                "clearance" => {
                    let (assembly, ends) = (&design.assembly, design.ends_of_play());
                    Clearance::of_meshes(assembly, meshes, *kit.tolerance, &rates, ends)
                }
                _ => Clearance::default(),
            };
            let order = match id {
                "assembly-order" => ordered(kit, design, &rates, meshes),
                // No other rule looks at it.
                _ => Order::TooMany(0),
            };
            let bodies = Bodies {
                meshes,
                clearance: &clearance,
                order: &order,
            };
            judge(&case, &bodies)
        }
    };
    rule.findings(&case, judgements)
}

fn ordered(
    kit: &Kit,
    design: &crate::layout::Design,
    rates: &StrokeRates,
    meshes: &[Mesh],
) -> Order {
    let (assembly, tolerance) = (&design.assembly, *kit.tolerance);
    let pieces = crate::clearance::bodies(assembly, meshes, tolerance);
    crate::sequence::find(assembly, rates, &design.course, meshes, &pieces, tolerance)
}

fn meshes(design: &crate::layout::Design, tolerance: Length) -> Vec<Mesh> {
    let parts = design.assembly.parts.iter();
    parts
        .map(|part| crate::solid::mesh(&part.shape, tolerance).expect("a sound shape"))
        .collect()
}

fn nested(more: &str) -> String {
    format!("name = \"t\"\nlayout = \"nested\"\n{more}")
}

const GOOD: &str = "drive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10\n";

#[test]
fn a_waiver_keeps_a_finding_but_not_its_verdict() {
    let kit = format!(
        "{GOOD}net_lead = 0.5\n[[waive]]\ncheck = \"net-lead\"\nreason = \"only a mock-up for the shelf\"\n"
    );
    assert_eq!(
        judged(&nested(&kit), "net-lead", "carriage").outcome,
        Outcome::Waived
    );
}

#[test]
fn every_rule_has_a_name_of_its_own() {
    let mut names = ids();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), RULES.len());
}

#[test]
fn every_rule_has_a_page_that_says_all_a_maker_needs() {
    for rule in RULES {
        let line = [rule.about, rule.source, rule.mend];
        let sentences = [rule.why, rule.formula];
        assert!(line.iter().all(|text| !text.ends_with('.')), "{}", rule.id);
        assert!(
            sentences.iter().all(|text| text.ends_with('.')),
            "{}",
            rule.id
        );
        let all = line.into_iter().chain(sentences);
        assert!(all.into_iter().all(|text| text.len() > 10), "{}", rule.id);
    }
}
