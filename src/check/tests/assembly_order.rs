//! A carriage with a ring around it that stands in a groove of the frame: narrow enough to leave
//! through the guide, or not.

use super::*;
use crate::assembly::{Contour, Placed, Pose, Solid, Turned};

/// A disc about the axis.
fn disc(from: Length, to: Length, radius: Length) -> Placed {
    Placed {
        pose: Pose::identity(),
        solid: Solid::Turned(Turned {
            outer: Contour {
                corners: vec![(from, radius), (to, radius)],
                threads: Vec::new(),
            },
            bore: None,
        }),
    }
}

/// The finding of a nested kit whose carriage carries a ring that is so much wider than the
/// guide, a side; the groove around it leaves it 5 mm either way.
fn with_ring(wider: Length) -> Finding {
    let (kit, _) = crate::kit::read(&nested(GOOD), &ids()).expect("a valid kit");
    let profile = Profile::untuned_for(&kit);
    let mut design = design(&kit, &profile).expect("a kit that can be drawn");
    // As the parts tell what they are made from; the carriage is printed upside down.
    let told = |design: &Design, part: &str, name: &str| {
        let part = design.assembly.parts.iter().find(|one| one.name == part);
        let recipe = &part.expect("a part of this name").recipe;
        let found = recipe.iter().find(|(known, _)| *known == name);
        found.expect("a size of this name").1
    };
    let long = told(&design, "carriage", "length");
    let gap = told(&design, "frame", "slide gap");
    let guide = told(&design, "frame", "carriage's diameter") / 2.0 + gap;
    let carriage = design.assembly.instance(design.assembly.carriages.leading);
    let near = Length::mm(carriage.pose.to_rows()[2][3]) - long;
    let [low, high] = [10.0, 12.0].map(Length::mm);
    for part in &mut design.assembly.parts {
        match part.name.as_str() {
            "frame" => part.shape.cut.push(disc(
                near + low - Length::mm(5.0),
                near + high + Length::mm(5.0),
                guide + Length::mm(2.0),
            )),
            // Printed upside down: heights are counted from its far face.
            "carriage" => {
                let far = long;
                part.shape
                    .joined
                    .push(disc(far - high, far - low, guide + wider));
            }
            _ => {}
        }
    }
    let rates = solve(&design.assembly).expect("a mechanism that moves");
    let direction = rates.stroke_direction().expect("a carriage that advances");
    let rates = rates.per_stroke_turn(direction);
    let meshes = meshes(&design, *kit.tolerance);
    let order = ordered(&kit, &design, &rates, &meshes);
    let clearance = Clearance::default();
    let case = Case {
        kit: &kit,
        profile: &profile,
        design: &design,
        rates: &rates,
    };
    let bodies = Bodies {
        meshes: &meshes.iter().collect::<Vec<_>>(),
        clearance: &clearance,
        order: &order,
    };
    let rule = rule("assembly-order").expect("a rule of this name");
    let Judge::Bodies(judge, _) = rule.judge else {
        panic!("it looks at meshes")
    };
    rule.findings(&Standing::of(&case), judge(&case, &bodies), Mends::Sought)
        .remove(0)
}

#[test]
fn a_ring_that_just_passes_the_guide_goes_together() {
    let found = with_ring(Length::mm(-0.05));
    assert_eq!(found.outcome, Outcome::Pass, "{}", found.message);
    assert_eq!(found.value, Some(0.0));
}

#[test]
fn a_ring_that_is_too_wide_for_the_guide_is_refused_with_what_meets_where() {
    let found = with_ring(Length::mm(0.5));
    assert_eq!(found.outcome, Outcome::Fail, "{}", found.message);
    // 5 mm off the end of its groove. Half a millimetre too wide on each side; the ears, which
    // pass through the slots, hide that from rings, so that a bound is told.
    let said = [
        "the carriage",
        "the frame's guide after 5 mm",
        "at least",
        "too wide",
    ];
    for words in said {
        assert!(found.message.contains(words), "{}", found.message);
    }
}
