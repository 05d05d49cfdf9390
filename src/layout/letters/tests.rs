use super::*;
use crate::assembly::{Made, Outline, Placed, Shape, Solid};
use crate::kit;
use crate::layout::design;
use crate::printer::Profile;
use crate::solid::mesh;
use approx::assert_relative_eq;
use proptest::prelude::*;

const TOLERANCE: Length = Length::mm(0.05);

/// Whether a part has no face wide enough for letters: on a round side of 12 mm a revision would meet
/// the mouths of the cross hole.
fn is_slender(part: &Part) -> bool {
    let collar = part.recipe.iter().find(|(name, _)| *name == "collar");
    let slender = |(_, collar): &(&str, Length)| *collar < Length::mm(12.5);
    match &*part.name {
        "inner" => collar.is_some_and(slender),
        name => name.contains("pin") || name == "slotted-keeper",
    }
}

fn parts(toml: &str) -> Vec<Part> {
    let (kit, _) = kit::read(toml, &[]).unwrap_or_else(|problems| panic!("{toml}: {problems:?}"));
    let profile = Profile::untuned_for(&kit);
    let design = design(&kit, &profile).unwrap_or_else(|found| panic!("{toml}: {found:?}"));
    design.assembly.parts
}

/// Kits of every layout, of slender and of stout threads, in both units, fine and coarse lines.
fn kits() -> [&'static str; 9] {
    [
        "name = \"desk stage\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10",
        "name = \"desk stage\"\nlayout = \"nested\"\ndrive = \"M16x2-LH\"\ninner = \"M8x1.25-LH\"\nstroke = 6",
        "name = \"big one\"\nlayout = \"nested\"\ndrive = \"M36x4\"\ninner = \"M20x2.5\"\nstroke = 40\nline = 0.8",
        "name = \"stop\"\nlayout = \"single\"\ndrive = \"M12x1.75\"\nstroke = 10\nline = 0.3",
        "name = \"inch stop\"\nunits = \"inch\"\nlayout = \"single\"\ndrive = \"7/8-9 UNC\"\nstroke = 1",
        "name = \"fine stop\"\nlayout = \"tandem\"\ndrive = \"M24x3\"\nthin = \"M16x2\"\nstroke = 20",
        "name = \"fine stop\"\nlayout = \"tandem\"\ndrive = \"22x2.8-LH\"\nthin = \"15x2.1-LH\"\nstroke = 12",
        "name = \"v\"\nlayout = \"opposed\"\ndrive = \"M16x2-LH\"\nfar = \"M16x2\"\nstroke = 25",
        "name = \"v i s\"\nlayout = \"opposed\"\ndrive = \"5/8-11 UNC-LH\"\nfar = \"5/8-11 UNC\"\nstroke = 15",
    ]
}

/// How many troughs write a text.
fn troughs(text: &str) -> usize {
    text.chars().filter_map(font::strokes).map(<[_]>::len).sum()
}

/// What tools take out of a solid, in mm3.
fn taken(base: &Placed, cut: &[Placed]) -> f64 {
    let shape = |cut: Vec<Placed>| Shape {
        base: base.clone(),
        within: Vec::new(),
        joined: Vec::new(),
        cut,
        genus: 0,
    };
    let [whole, left] =
        [shape(Vec::new()), shape(cut.to_vec())].map(|s| mesh(&s, TOLERANCE).unwrap().volume_mm3());
    whole - left
}

#[test]
fn every_part_with_a_face_for_it_carries_its_name_and_only_slender_parts_have_none() {
    let mut wrong = Vec::new();
    for toml in kits() {
        for part in parts(toml) {
            let slender = is_slender(&part);
            let bought = part.made != Made::Printed;
            let right = match &part.label {
                None => bought,
                Some(Label { revision, sunk }) => {
                    let ends = |text: &String| text.ends_with(revision);
                    revision.len() == REVISION
                        && sunk.as_ref().map_or(slender, |text| !slender && ends(text))
                }
            };
            if !right {
                wrong.push(format!("{}: {:?} in {toml}", part.name, part.label));
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
}

/// Letters that fell into a hole, off an edge, or on a mark would take less out of the part than out
/// of a plain block.
#[test]
fn letters_take_as_much_out_of_a_part_as_out_of_a_plain_block() {
    for toml in kits() {
        for part in parts(toml) {
            let Some(text) = part.label.as_ref().and_then(|label| label.sunk.as_ref()) else {
                continue;
            };
            let (mut bare, count) = (part.shape.clone(), troughs(text));
            let tools = bare.cut.split_off(bare.cut.len() - count);
            let [with, without] =
                [&part.shape, &bare].map(|shape| mesh(shape, TOLERANCE).unwrap().volume_mm3());
            // Under the face that the first trough is sunk into.
            let block = Placed {
                pose: tools[0].pose,
                solid: Solid::Prism(
                    [-2.0, 0.0]
                        .map(|z| {
                            let wide = Length::mm(500.0);
                            (Length::mm(z), Outline::Rectangle { x: wide, y: wide })
                        })
                        .to_vec(),
                ),
            };
            let round = ["inner", "far-shaft"].contains(&&*part.name);
            let expected = taken(&block, &tools);
            let found = without - with;
            match round {
                false => assert_relative_eq!(found, expected, max_relative = 1e-6),
                // Each stands square to its own place on the round; the block only to the first.
                true => {
                    let alone = tools.iter().map(|tool| {
                        let pose = tool.pose;
                        taken(
                            &Placed {
                                pose,
                                ..block.clone()
                            },
                            std::slice::from_ref(tool),
                        )
                    });
                    let alone: f64 = alone.sum();
                    assert!(found > 0.6 * alone, "{toml}: {} of {alone}", found);
                }
            }
        }
    }
}

#[test]
fn a_tag_is_of_the_first_letters_of_a_kits_name() {
    for (name, expected) in [
        ("desk stage", "DS"),
        ("self-centring vise", "SC"),
        ("stop", "ST"),
        ("x", "X"),
        ("2 inch press", "2I"),
        ("über-stage", "BS"),
    ] {
        assert_eq!(tag(name), expected, "{name}");
    }
}

proptest! {
    #[test]
    fn prop_what_is_written_on_a_panel_stays_on_it(
        width in 3.0..80.0f64, height in 3.0..30.0f64, line in 0.1..2.0f64, digits in 0..4usize,
    ) {
        let panel = Panel::flat(
            [0.0, 0.0, 1.0],
            [1.0, 0.0, 0.0],
            [Length::ZERO; 3],
            [width, height].map(Length::mm),
        );
        let text = &"MW4X"[..=digits];
        let Some(troughs) = panel.written(&[vec!["BK"], vec![text]], Length::mm(line)) else {
            return Ok(());
        };
        for trough in &troughs {
            let mesh = mesh(
                &Shape {
                    base: trough.clone(),
                    within: Vec::new(),
                    joined: Vec::new(),
                    cut: Vec::new(),
                    genus: 0,
                },
                TOLERANCE,
            )
            .unwrap();
            for point in &mesh.points {
                prop_assert!(point.x.abs() <= width / 2.0 && point.y.abs() <= height / 2.0);
                // No deeper than a line and a few staggered strokes.
                prop_assert!(point.z > -line - 0.1);
            }
        }
    }
}
