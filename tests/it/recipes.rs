//! A part that changed says why: what a part tells that it is made from changes whenever its mesh
//! does, for that is all that a maker learns of why a part must be printed again; and so does its
//! revision, by which the old one is told from the new.

use crate::support::kits::{buildable, said};
use crate::support::{cases, mm};
use netlead::assembly::Part;
use netlead::kit::{Crank, Grip, Head, Hexagon, Kit, Knob, Said, Spring, Tommy};
use netlead::layout::design;
use netlead::output::part::stl;
use netlead::printer::Profile;
use netlead::solid::mesh;
use netlead::strength::{CoilSpring, Winding};
use netlead::units::Length;
use proptest::prelude::*;

/// Something that a maker may change of a kit, by its number; the tolerance is not among them, for
/// it changes every mesh.
fn changed(mut kit: Kit, which: usize) -> Kit {
    let more = |length: &mut Length| *length += mm(0.05);
    let gap = |said: &mut Option<Said<Length>>| more(&mut said.as_mut().unwrap().value);
    match which {
        0 => kit.layer = said(*kit.layer + mm(0.01)),
        1 => gap(&mut kit.gaps.thread),
        2 => gap(&mut kit.gaps.slide),
        3 => gap(&mut kit.gaps.locate),
        4 => gap(&mut kit.gaps.press),
        5 => gap(&mut kit.gaps.swivel),
        6 => more(&mut kit.gaps.seat.value),
        7 => kit.pins.held_by = said(Grip::Wall),
        8 => more(&mut kit.stroke.value),
        9 => kit.line = said(*kit.line + mm(0.2)),
        10 => {
            kit.head = Head::Hexagon(Hexagon {
                height: Some(said(mm(19.8))),
                ..Hexagon::default()
            });
        }
        11 => kit.sizes.frame_side = Some(said(mm(90.0))),
        12 => kit.sizes.keeper_plug = Some(said(mm(21.0))),
        13 => kit.sizes.carriage_length = Some(said(mm(45.0))),
        14 => kit.sizes.tapped_wall = Some(said(mm(41.0))),
        15 => kit.pins.diameter = Some(said(mm(3.5))),
        16 => kit.head = Head::Knob(Knob::default()),
        17 => kit.head = Head::Tommy(Tommy::default()),
        20 => kit.head = Head::Crank(Crank::default()),
        18 => kit.dial = Some(said(20)),
        19 => {
            kit.spring = Some(Spring {
                coil: CoilSpring {
                    wire: mm(0.8),
                    outside: mm(11.0),
                    free: mm(300.0),
                    winding: Winding::Coils(5.0),
                },
                pull: None,
            });
        }
        _ => kit.sizes.thread_gap = Some(said(mm(0.45))),
    }
    kit
}

/// How many changes there are.
const CHANGES: usize = 22;

/// The parts of a kit; none where it cannot be drawn.
fn parts(kit: &Kit) -> Vec<Part> {
    let profile = Profile::untuned_for(kit);
    design(kit, &profile).map_or(Vec::new(), |design| design.assembly.parts)
}

/// The parts of a kit of another name. Three letters are the same by chance once in 10648 changes;
/// under another name, of which every revision is made too, they are not by the same chance again.
fn renamed_parts(kit: &Kit) -> Vec<Part> {
    parts(&Kit {
        name: said("again".to_owned()),
        ..kit.clone()
    })
}

/// The revision of a printed part.
fn revision(part: &Part) -> String {
    part.label.as_ref().unwrap().revision.clone()
}

/// The file of a part.
fn written(part: &Part) -> Vec<u8> {
    let mesh = mesh(&part.shape, mm(0.2)).unwrap();
    stl::write(&mesh, &part.name, "test").unwrap()
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn prop_a_part_whose_mesh_changes_tells_another_list(kit in buildable(), which in 0..CHANGES) {
        let changed = changed(kit.clone(), which);
        let (before, after) = (parts(&kit), parts(&changed));
        for (at, (old, new)) in before.iter().zip(&after).enumerate() {
            let alike = old.recipe == new.recipe;
            let same = revision(old) == revision(new);
            if !(alike || same) {
                continue;
            }
            let [was, is] = [old, new].map(written);
            if alike {
                prop_assert!(was == is, "the {} changed by {which} and does not say why", new.name);
                prop_assert!(same, "the {} is as it was", &new.name);
            } else if was != is {
                let [old, new] = [&kit, &changed].map(|kit| revision(&renamed_parts(kit)[at]));
                prop_assert!(old != new, "the {} changed by {which}: same revision", after[at].name);
            }
        }
    }
}

#[test]
fn another_throat_of_a_press_is_another_yoke_and_no_other_part() {
    for layout in [
        "layout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n",
        "layout = \"single\"\ndrive = \"M20x2.5\"\n",
    ] {
        let [before, after] = [30, 31].map(|throat| {
            let text = format!(
                "name = \"t\"\n{layout}stroke = 10\nend = \"press\"\nsizes.throat = {throat}\n"
            );
            parts(&text.parse().unwrap())
        });
        assert_eq!(before.len(), after.len());
        for (old, new) in before.iter().zip(&after) {
            let is_yoke = old.name == "yoke";
            assert_eq!(old.recipe != new.recipe, is_yoke, "{layout}{}", old.name);
            let revision = |part: &Part| part.label.as_ref().map(|label| label.revision.clone());
            assert_eq!(
                revision(old) != revision(new),
                is_yoke,
                "{layout}{}",
                old.name
            );
            let bought = old.label.is_none();
            assert!(
                bought || (written(old) != written(new)) == is_yoke,
                "{layout}{}",
                old.name
            );
        }
        assert!(before.iter().any(|part| part.name == "yoke"));
    }
}
