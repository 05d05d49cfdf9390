//! The pictures of the guide: what they show is what the motion does and what the words say.

use crate::support::illustrated::illustrated;
use crate::support::shell::project;
use netlead::assembly::{Axis, Eye, Fit, InstanceId};
use netlead::output::album::{Album, Gesture, Side};
use netlead::output::kit::Product;
use netlead::thread::Hand;
use std::collections::BTreeSet;

fn album(product: &Product) -> &Album {
    product.album.as_ref().expect("pictures")
}

/// Kits of every layout, of both hands.
fn kits() -> Vec<(&'static str, &'static str)> {
    vec![
        ("nested", include_str!("../../presets/desk-stage.toml")),
        ("single", include_str!("../../presets/plain-stage.toml")),
        ("tandem", include_str!("../../presets/fine-stop.toml")),
        (
            "opposed",
            include_str!("../../presets/self-centring-vise.toml"),
        ),
        (
            "left-hand",
            "name = \"left\"\nlayout = \"nested\"\ndrive = \"M20x2.5-LH\"\ninner = \"M12x1.75-LH\"\n\
             stroke = 10\nhand_torque = \"1.2 N m\"\n",
        ),
    ]
}

#[test]
fn arrows_and_eyes_say_what_the_words_of_their_steps_say() {
    let mut turns = 0;
    let mut eyes = BTreeSet::new();
    for (name, text) in kits() {
        let product = illustrated(text);
        let steps = product.design.steps.iter().zip(&album(&product).gestures);
        for (step, gestures) in steps {
            let turn = gestures.iter().find_map(|gesture| match gesture {
                Gesture::Turn {
                    clockwise,
                    seen_from,
                } => Some((*clockwise, *seen_from)),
                Gesture::Push { .. } => None,
            });
            let Some((clockwise, side)) = turn else {
                continue;
            };
            turns += 1;
            let told = step.text.find("clockwise").expect("which way");
            let counter = step.text[..told].ends_with("counter-");
            assert_eq!(clockwise, !counter, "{name}: {}", step.text);
            let eye = step.eye.expect("a step that turns has an eye");
            let wanted = match eye {
                Eye::DriveHead | Eye::Sleeve => Side::Head,
                Eye::SlottedHead => Side::Far,
            };
            assert_eq!(side, wanted, "{name}: {}", step.text);
            eyes.insert(eye.words());
        }
    }
    assert!(turns > 6 && eyes.len() == 3);
}

#[test]
fn a_right_hand_screw_goes_in_clockwise_for_the_eye_behind_it() {
    let mut hands = BTreeSet::new();
    for (name, text) in kits() {
        let product = illustrated(text);
        let assembly = &product.design.assembly;
        let steps = product.design.steps.iter().zip(&album(&product).gestures);
        for (step, gestures) in steps {
            let screwed = step
                .motion
                .is_some_and(|way| way.kind == netlead::assembly::MotionKind::Helical);
            let (true, Some(Gesture::Turn { clockwise, .. })) = (screwed, gestures.first()) else {
                continue;
            };
            let pieces = &step.pieces;
            let mut joints = assembly.thread_joints();
            let own = joints.find(|(_, joint, _)| joint.between.iter().all(|p| pieces.contains(p)));
            let Some((_, _, thread)) = own else { continue };
            let right = thread.thread.hand() == Hand::Right;
            assert_eq!(*clockwise, right, "{name}: {}", step.action);
            hands.insert(right);
        }
    }
    assert_eq!(hands.len(), 2);
}

#[test]
fn the_pictures_of_the_docs_are_what_the_program_draws() {
    let product = illustrated(kits()[0].1);
    let mut docs = 0;
    for entry in std::fs::read_dir(project("docs/pictures")).unwrap() {
        let path = entry.unwrap().path();
        let file = path.file_stem().unwrap().to_string_lossy().into_owned();
        let name = file.strip_prefix("desk-stage-").expect("the desk stage's");
        let mut pictures = album(&product).pictures();
        let picture = pictures.find(|picture| picture.name == name).expect(name);
        let written = std::fs::read_to_string(&path).unwrap();
        assert!(
            written == picture.svg,
            "docs/pictures/{file}.svg is not that of make --pictures"
        );
        docs += 1;
    }
    assert!(docs > 2);
}

#[test]
fn balloons_are_the_numbers_of_the_bill() {
    for (name, text) in kits() {
        let product = illustrated(text);
        let assembly = &product.design.assembly;
        let numbers = assembly.item_numbers();
        let distinct: BTreeSet<usize> = numbers.iter().copied().collect();
        assert_eq!(distinct, (1..=assembly.parts.len()).collect());
        let wanted: BTreeSet<usize> = assembly
            .instances
            .iter()
            .map(|piece| numbers[piece.part.0])
            .collect();
        let svg = &album(&product).exploded.svg;
        let told: BTreeSet<usize> = svg
            .split("text-anchor=\"middle\">")
            .skip(1)
            .filter_map(|rest| rest.split('<').next()?.parse().ok())
            .collect();
        assert_eq!(told, wanted, "{name}");
    }
}

#[test]
fn every_part_and_every_step_that_moves_something_has_its_picture() {
    for (name, text) in kits() {
        let product = illustrated(text);
        let album = album(&product);
        assert_eq!(album.parts.len(), product.design.assembly.parts.len());
        assert_eq!(album.steps.len(), product.design.steps.len());
        for (step, picture) in product.design.steps.iter().zip(&album.steps) {
            assert!(
                step.motion.is_none() || picture.is_some(),
                "{name}: {}",
                step.action
            );
        }
        let names: BTreeSet<&str> = album.pictures().map(|p| p.name.as_str()).collect();
        assert_eq!(names.len(), album.pictures().count());
        for picture in album.pictures() {
            let [wide, high] = picture.paper;
            assert!(
                wide > 10.0 && high > 5.0 && wide < 180.0 && high < 200.0,
                "{name}"
            );
            assert!(picture.svg.contains("role=\"img\"") && !picture.svg.contains(" id="));
        }
    }
}

#[test]
fn pins_are_drawn_on_the_side_where_they_go_in() {
    let mut told = 0;
    for (name, text) in kits() {
        let product = illustrated(text);
        let assembly = &product.design.assembly;
        let pressed = |piece: &InstanceId| {
            let mut joints = assembly.joints.iter();
            joints.any(|joint| joint.fit == Fit::Press && joint.between[0] == *piece)
        };
        let steps = product.design.steps.iter().zip(&album(&product).gestures);
        let pins = steps.filter(|(step, _)| step.pieces.iter().any(pressed));
        for (step, gestures) in pins {
            let sideways = gestures.iter().filter_map(|gesture| match gesture {
                Gesture::Push { axis, positive } if *axis != Axis::Z => Some((*axis, *positive)),
                Gesture::Push { .. } | Gesture::Turn { .. } => None,
            });
            // What goes in from the V side goes away from it.
            if !step.text.contains("from the V side") {
                continue;
            }
            let ways = sideways.map(|(axis, positive)| {
                let axis = axis.index();
                assembly.sides.towards[axis][usize::from(positive)]
            });
            let ways: Vec<&str> = ways.collect();
            assert!(
                ways.contains(&"away from the V side"),
                "{name}: {ways:?}: {}",
                step.text
            );
            told += 1;
        }
    }
    assert!(told > 3);
}
