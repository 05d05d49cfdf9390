//! One failing and one just-passing case for every rule, in a file of the rule's name.

mod as_printed;
mod assembly_order;
mod asserted;
mod bed;
mod beds;
mod buckling;
mod chords;
mod clearance;
mod end_bending;
mod engagement;
mod flank_overlap;
mod flank_pressure;
mod forces;
mod frame_bending;
mod keeper_bending;
mod keeper_bore;
mod keys;
mod kit_odds;
mod layer_support;
mod layers;
mod material;
mod mends;
mod overhang;
mod pin_bending;
mod preload;
mod press_stress;
mod safe_load;
mod self_locking;
mod several_starts;
mod start;
mod stop_load;
mod stops;
mod thin_wall;
mod thread_gap;
mod thread_strip;
mod tilt;
mod wall;
mod worked_kits;

use super::*;
use crate::assembly::{Assembly, InstanceId};
use crate::clearance::Clearance;
use crate::declared::Said;
use crate::kit::{Grip, Kit};
use crate::layout::{Design, design};
use crate::motion::{StrokeRates, solve};
use crate::printer::Profile;
use crate::sequence::Order;
use crate::solid::Mesh;
use crate::units::Length;

/// The finding of a rule about a subject, for a kit text.
fn judged(text: &str, id: &str, subject: &str) -> Finding {
    judged_like(text, id, subject, "")
}

/// The same, of the finding that says a word.
fn judged_like(text: &str, id: &str, subject: &str, word: &str) -> Finding {
    let kit = kit(text);
    let found = findings_about(&kit, &Profile::untuned_for(&kit), id, subject);
    let mut found = found.into_iter().filter(|f| f.message.contains(word));
    found
        .next()
        .expect("a finding of this rule about this subject")
}

/// A kit that may waive checks, with the gaps of the hand calculations in these tests where it says
/// no others.
fn kit(text: &str) -> Kit {
    let mut kit = crate::kit::read(text, &ids()).expect("a valid kit").0;
    let room = kit.layer.as_mm() + 0.10;
    let gaps = &mut kit.gaps;
    for (gap, by_hand) in [
        (&mut gaps.thread, 0.04),
        (&mut gaps.slide, 0.14),
        (&mut gaps.locate, 0.06),
        (&mut gaps.swivel, 0.24),
        (&mut gaps.press, pressed(*kit.pins.held_by)),
        (&mut kit.sizes.thread_gap, room),
    ] {
        gap.get_or_insert(Said::default_value(Length::mm(by_hand)));
    }
    kit
}

/// Gap of a pressed pin in the hand calculations, in mm.
fn pressed(grip: Grip) -> f64 {
    match grip {
        Grip::Ribs => -0.11,
        Grip::Wall => -0.02,
    }
}

/// Everything that a rule finds in a kit, on an untuned printer.
fn findings(text: &str, id: &str) -> Vec<Finding> {
    let kit = kit(text);
    findings_on(&kit, &Profile::untuned_for(&kit), id)
}

/// What a rule that judges meshes finds in the frame of a kit when that has another shape.
fn judged_shape(frame: crate::assembly::Shape, id: &str) -> Finding {
    let kit = kit(&nested(GOOD));
    let profile = Profile::untuned_for(&kit);
    let mut design = design(&kit, &profile).expect("a kit that can be drawn");
    let mesh = crate::solid::mesh(&frame, *kit.tolerance).expect("a sound shape");
    let parts = &mut design.assembly.parts;
    let frames = parts.iter_mut().filter(|part| part.name == "frame");
    frames.for_each(|part| part.shape = frame.clone());
    // No other part is looked at.
    let meshes = vec![mesh; parts.len()];
    let mut found = findings_of(&kit, &profile, &design, &meshes, id);
    found.retain(|finding| named(&design.assembly, finding.subject) == "frame");
    found.remove(0)
}

/// Everything that a rule finds, on a printer of which something is known.
fn findings_on(kit: &Kit, profile: &Profile, id: &str) -> Vec<Finding> {
    findings_in(kit, profile, &drawn(kit, profile), id)
}

/// What a rule finds about a subject, as reports name it.
fn findings_about(kit: &Kit, profile: &Profile, id: &str, subject: &str) -> Vec<Finding> {
    let design = drawn(kit, profile);
    let mut found = findings_in(kit, profile, &design, id);
    found.retain(|finding| named(&design.assembly, finding.subject) == subject);
    found
}

fn drawn(kit: &Kit, profile: &Profile) -> Design {
    design(kit, profile).expect("a kit that can be drawn")
}

/// A subject in a word or two.
fn named(assembly: &Assembly, subject: Subject) -> String {
    let piece = |piece: InstanceId| assembly.instance(piece).name.clone();
    let pair = |[one, other]: [InstanceId; 2]| format!("{}/{}", piece(one), piece(other));
    match subject {
        Subject::Part(part) => assembly.part(part).name.clone(),
        Subject::Piece(one) => piece(one),
        Subject::Joint(joint) => pair(assembly.joint(joint).between),
        Subject::Pair(pieces) => pair(pieces),
        Subject::Fit(fit) => fit.word().into(),
        other => format!("{other:?}").to_lowercase(),
    }
}

fn findings_in(kit: &Kit, profile: &Profile, design: &Design, id: &str) -> Vec<Finding> {
    let meshes = match rule(id).expect("a rule of this name").judge {
        Judge::Design(_) | Judge::Copies(..) | Judge::Strength(_) => Vec::new(),
        Judge::Bodies(..) => meshes(design, *kit.tolerance),
    };
    findings_of(kit, profile, design, &meshes, id)
}

fn findings_of(
    kit: &Kit,
    profile: &Profile,
    design: &Design,
    meshes: &[Mesh],
    id: &str,
) -> Vec<Finding> {
    let rates = rates(design);
    let case = Case {
        kit,
        profile,
        design,
        rates: &rates,
    };
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
        meshes: &meshes.iter().collect::<Vec<_>>(),
        clearance: &clearance,
        order: &order,
    };
    let rule = rule(id).expect("a rule of this name");
    let force = force_figures(&case);
    rule.findings(
        &Standing::of(&case),
        judgements(rule, &case, Some(&bodies), force.as_ref()),
        Mends::Sought,
    )
}

fn rates(design: &Design) -> StrokeRates {
    let rates = solve(&design.assembly).expect("a mechanism that moves");
    let direction = rates.stroke_direction().expect("a carriage that advances");
    rates.per_stroke_turn(direction)
}

fn ordered(kit: &Kit, design: &Design, rates: &StrokeRates, meshes: &[Mesh]) -> Order {
    let (assembly, tolerance) = (&design.assembly, *kit.tolerance);
    let pieces = crate::clearance::bodies(assembly, meshes, tolerance);
    crate::sequence::find(assembly, rates, &design.course, meshes, &pieces, tolerance)
}

fn meshes(design: &Design, tolerance: Length) -> Vec<Mesh> {
    let parts = design.assembly.parts.iter();
    parts
        .map(|part| crate::solid::mesh(&part.shape, tolerance).expect("a sound shape"))
        .collect()
}

fn nested(more: &str) -> String {
    format!("name = \"t\"\nlayout = \"nested\"\n{more}")
}

/// What the worked values of the rules of strength rest on, whatever a kit's defaults are.
const WORKED: &str = "friction = 0.25\ngaps = { thread = 0.04, slide = 0.14, locate = 0.06 }\n";

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
