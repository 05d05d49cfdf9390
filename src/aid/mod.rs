//! A mechanism and the order in which it goes together to bench aids: printed parts that are no piece of
//! it, and stay at the bench.
//!
//! Where pins are pressed, and what stands around them then, is found from the order and the meshes, so
//! that an aid fits whatever the layout, its end and its mount are. It knows no layout, no file and no
//! words of the guide.

mod around;
mod block;
mod ear_rest;
mod gauge;
mod pin_guide;
mod pressed;
mod rest;
mod shaft_rest;

pub use gauge::{BETTER, NoGauge};
pub use pressed::Place;

use crate::assembly::{Fit, Gap, InstanceId, Made, Mates, Part, Perimeters, Pose, Shape};
use crate::kit::Kit;
use crate::layout::{self, Design};
use crate::motion::Rate;
use crate::printer::Profile;
use crate::sequence::Order;
use crate::solid::Mesh;
use crate::units::Length;
use around::Standing;
use pressed::Pressed;
use rest::Rest;
use shaft_rest::ShaftRest;

/// A printed part that helps at the bench.
#[derive(Clone, Debug)]
pub struct Aid {
    /// Its form, how it is printed, and how many of it.
    pub part: Part,
    /// What it is for.
    pub purpose: Purpose,
}

/// What an aid is for, and where it stands then.
#[derive(Clone, Debug, PartialEq)]
pub enum Purpose {
    /// The frame lies on two of it while a pin is pressed.
    Rest(Resting),
    /// It stands under the ear of what a pin is pressed into.
    EarRest(Vec<Place>),
    /// It stands under a shaft that a pin is pressed into.
    ShaftRest(Place),
    /// It keeps pins and the punch upright.
    PinGuide {
        /// Where it stands.
        places: Vec<Place>,
        /// Its height.
        height: Length,
    },
    /// It tells whether the last distance is right.
    Gauge(Gauging),
}

/// How a frame lies on rests.
#[derive(Clone, Debug, PartialEq)]
pub struct Resting {
    /// All pins that are pressed while it lies so.
    pub pins: Vec<InstanceId>,
    /// Where both stand, for each of them for which there is room.
    pub places: Vec<Place>,
}

/// What a gauge tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauging {
    /// The length that goes in, and the one behind its step that does not.
    pub lengths: [Length; 2],
    /// What either may be off by, in 19 of 20 prints.
    pub error: Length,
    /// The mechanism's turn at which the faces are as far apart as the first is long.
    pub turn: f64,
    /// From its print frame to where it stands then.
    pub pose: Pose,
}

/// The aids of a mechanism.
#[derive(Clone, Debug, Default)]
pub struct Aids {
    /// In the order in which the guide comes to them.
    pub all: Vec<Aid>,
    /// What there is none for, and why.
    pub left_out: Vec<LeftOut>,
}

/// What an aid is missing for.
#[derive(Clone, Debug, PartialEq)]
pub enum LeftOut {
    /// There are no pins.
    NoPins,
    /// The frame lies by itself better than on rests, or something stands out too far, while these pins
    /// are pressed.
    Rest(Vec<InstanceId>),
    /// A shaft has no room for a bar under it, where this pin goes in.
    ShaftRest(InstanceId),
    /// An ear cannot be reached from below, where these pins go in.
    EarRest(Vec<InstanceId>),
    /// No guide stands where these pins go in.
    PinGuide(Vec<InstanceId>),
    /// There is no gauge.
    Gauge(NoGauge),
}

/// What is known of a mechanism that was drawn.
#[derive(Clone, Copy)]
pub struct Known<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// Of its printer.
    pub profile: &'a Profile,
    /// Sized.
    pub design: &'a Design,
    /// How its pieces move in one turn of the drive in the direction of the stroke.
    pub rates: &'a [Rate],
    /// Of its parts, in their order, each in its print frame.
    pub meshes: &'a [&'a Mesh],
    /// In which it goes together.
    pub order: &'a Order,
}

/// All aids of a mechanism.
pub fn aids(known: Known<'_>) -> Aids {
    let standing = Standing {
        assembly: &known.design.assembly,
        rates: known.rates,
        meshes: known.meshes,
    };
    let pressed = pressed::all(standing, known.order);
    let mut aids = Aids::default();
    if pressed.is_empty() {
        aids.left_out.push(LeftOut::NoPins);
    }
    known.rests(&pressed, &mut aids);
    known.shaft_rests(&pressed, &mut aids);
    known.pin_guides(&pressed, &mut aids);
    known.gauge(standing, &mut aids);
    tell_apart(known.kit, &mut aids.all);
    aids
}

/// Gives aids of one name numbers, and each its revision.
fn tell_apart(kit: &Kit, aids: &mut [Aid]) {
    for at in 0..aids.len() {
        let (before, from) = aids.split_at_mut(at);
        let part = &mut from[0].part;
        let alike = before.iter().filter(|aid| aid.part.called == part.called);
        if let number @ 2.. = alike.count() + 1 {
            part.name = format!("{}-{number}", part.name);
        }
        layout::revised(kit, part);
    }
}

/// Pins that have something in common, in the order of the first of each kind.
fn grouped<'a>(
    pins: impl Iterator<Item = &'a Pressed>,
    alike: impl Fn(&Pressed, &Pressed) -> bool,
) -> Vec<Vec<&'a Pressed>> {
    let mut groups: Vec<Vec<&Pressed>> = Vec::new();
    for pin in pins {
        match groups.iter_mut().find(|group| alike(group[0], pin)) {
            Some(group) => group.push(pin),
            None => groups.push(vec![pin]),
        }
    }
    groups
}

/// In the order of the assembly.
fn named(pins: &[&Pressed]) -> Vec<InstanceId> {
    let mut pins: Vec<InstanceId> = pins.iter().map(|pin| pin.pin).collect();
    pins.sort_unstable();
    pins
}

impl Known<'_> {
    /// Between two walls that stood upright, a side: what the mechanism's own guide is given.
    fn gap(&self, mates: Mates, radius: Length) -> Gap {
        let mut joints = self.design.assembly.joints.iter();
        let slide = joints.find(|joint| joint.fit == Fit::Slide);
        let wanted = slide
            .and_then(|joint| joint.gap)
            .map_or(SLIDES, |gap| gap.wanted);
        self.profile.gap(Fit::Slide, wanted, mates, radius)
    }

    fn layers(&self) -> [Length; 2] {
        [*self.kit.layer, *self.kit.line]
    }

    /// An aid as a part, as many of it as are used at once.
    fn part(&self, name: Name, quantity: usize, shape: Shape) -> Part {
        let perimeters = Perimeters::Lines((*self.kit.walls).min(WALLS));
        Part {
            name: name.file.into(),
            called: name.called,
            made: Made::Printed,
            quantity,
            spares: 0,
            grade: None,
            shape,
            perimeters,
            print_note: format!("{}, {}", name.stands, perimeters.words()),
            mark: name.mark.into(),
            label: None,
            recipe: Vec::new(),
        }
    }

    /// Rests, and what stands between them under an ear.
    fn rests(&self, pressed: &[Pressed], aids: &mut Aids) {
        let frame = self.design.assembly.frame;
        let on_bench = pressed.iter().filter(|pin| !ShaftRest::is_for(pin, frame));
        let groups = grouped(on_bench, |one, other| one.lying == other.lying);
        let gap = self.gap(Mates::BETWEEN_WALLS, Length::ZERO).drawn.as_mm();
        let [layer, _] = self.layers();
        let mut rests: Vec<(Vec<&Pressed>, Rest)> = Vec::new();
        for group in groups {
            match rest::rest(&group, frame, gap, layer) {
                Some(rest) => rests.push((group, rest)),
                None => aids.left_out.push(LeftOut::Rest(named(&group))),
            }
        }
        // The frame lies equally high on all of them, so that one kind does for several ways in.
        let highest = rests
            .iter()
            .map(|(_, rest)| rest.height)
            .fold(0.0, f64::max);
        let holed = rests
            .iter()
            .map(|(_, rest)| rest)
            .find(|rest| rest.has_holes());
        let holed = holed.cloned();
        for (group, rest) in &mut rests {
            rest.height = highest;
            holed.iter().for_each(|holed| rest.made_as(holed));
            rest.stand(group, frame);
        }
        for (group, rest) in &rests {
            self.ear_rests(group, rest, aids);
        }
        self.kinds_of_rests(rests, aids);
    }

    fn ear_rests(&self, group: &[&Pressed], rest: &Rest, aids: &mut Aids) {
        let frame = self.design.assembly.frame;
        let others = group.iter().copied().filter(|pin| pin.holder != frame);
        for pins in grouped(others, |one, other| one.holder == other.holder) {
            let Some(found) = ear_rest::ear_rest(&pins, rest, self.layers()) else {
                aids.left_out.push(LeftOut::EarRest(named(&pins)));
                continue;
            };
            aids.all.push(Aid {
                part: self.part(EAR_REST, 1, found.shape()),
                purpose: Purpose::EarRest(found.places),
            });
        }
    }

    /// One part for all ways in for which the frame lies on the same block.
    fn kinds_of_rests(&self, rests: Vec<(Vec<&Pressed>, Rest)>, aids: &mut Aids) {
        let mut kinds: Vec<(Vec<InstanceId>, Rest)> = Vec::new();
        for (group, mut rest) in rests {
            let pins = named(&group);
            let mut known = kinds.iter_mut();
            match known.find(|(_, known)| known.is_made_as(&rest)) {
                Some((known, kind)) => {
                    known.extend(pins);
                    known.sort_unstable();
                    kind.places.append(&mut rest.places);
                }
                None => kinds.push((pins, rest)),
            }
        }
        let rests = kinds.into_iter().map(|(pins, rest)| Aid {
            part: self.part(REST, RESTS, rest.shape()),
            purpose: Purpose::Rest(Resting {
                pins,
                places: rest.places,
            }),
        });
        let rests: Vec<Aid> = rests.collect();
        aids.all.splice(0..0, rests);
    }

    fn shaft_rests(&self, pressed: &[Pressed], aids: &mut Aids) {
        let frame = self.design.assembly.frame;
        let [layer, _] = self.layers();
        for pin in pressed.iter().filter(|pin| ShaftRest::is_for(pin, frame)) {
            match shaft_rest::shaft_rest(pin, frame, layer) {
                Some(found) => aids.all.push(Aid {
                    part: self.part(SHAFT_REST, 1, found.shape()),
                    purpose: Purpose::ShaftRest(found.place),
                }),
                None => aids.left_out.push(LeftOut::ShaftRest(pin.pin)),
            }
        }
    }

    fn pin_guides(&self, pressed: &[Pressed], aids: &mut Aids) {
        let frame = self.design.assembly.frame;
        let bought = |pin: &Pressed| match self.design.assembly.part_of(pin.pin).made {
            Made::Bought(_) => Mates::BOUGHT,
            Made::Printed => Mates::PRINTED,
        };
        let alike = |one: &Pressed, other: &Pressed| {
            let part = |pin: &Pressed| self.design.assembly.instance(pin.pin).part;
            part(one) == part(other)
        };
        for pins in grouped(pressed.iter(), alike) {
            let radius = Length::mm(pins[0].radius);
            let thicker = self.thicker(pins[0]);
            let mut gap = self.gap(bought(pins[0]), radius);
            gap.drawn += thicker;
            let found = pin_guide::pin_guide(&pins, frame, &gap, self.layers());
            let served = found.as_ref().map_or(&[][..], |guide| &guide.places);
            let without = pins.iter().filter(|pin| {
                let mut served = served.iter();
                served.all(|place| place.pin != pin.pin)
            });
            let without: Vec<InstanceId> = without.map(|pin| pin.pin).collect();
            if !without.is_empty() {
                aids.left_out.push(LeftOut::PinGuide(without));
            }
            aids.all.extend(found.map(|guide| Aid {
                part: self.part(PIN_GUIDE, 1, guide.shape()),
                purpose: Purpose::PinGuide {
                    height: guide.height,
                    places: guide.places,
                },
            }));
        }
    }

    /// By how much the radius of a pin's thickest grade is greater than its own.
    fn thicker(&self, pin: &Pressed) -> Length {
        let part = self.design.assembly.instance(pin.pin).part;
        let grades = self
            .design
            .assembly
            .parts
            .iter()
            .filter_map(|part| part.grade);
        let of_it = grades.filter(|grade| grade.of == part);
        of_it
            .map(|grade| grade.shift)
            .fold(Length::ZERO, Length::max)
    }

    fn gauge(&self, standing: Standing<'_>, aids: &mut Aids) {
        match gauge::gauge(standing, &self.design.last_check, self.profile) {
            Ok(found) => aids.all.push(Aid {
                part: self.part(GAUGE, 1, found.shape()),
                purpose: Purpose::Gauge(Gauging {
                    lengths: found.lengths,
                    error: found.error,
                    turn: found.turn,
                    pose: found.pose,
                }),
            }),
            Err(why) => aids.left_out.push(LeftOut::Gauge(why)),
        }
    }
}

/// What a slide is given where a mechanism has none, in mm. Guess: as kits are given by default.
const SLIDES: Length = Length::mm(0.14);
/// Printed lines along outlines, at the most: nothing pulls at an aid. Guess.
const WALLS: u32 = 3;
/// Rests on which a frame lies.
const RESTS: usize = 2;

/// How an aid is called, stands on the bed, and is known.
struct Name {
    file: &'static str,
    called: &'static str,
    stands: &'static str,
    mark: &'static str,
}

const REST: Name = Name {
    file: "rest",
    called: "rest",
    stands: "as it stands",
    mark: "a block, holed where pins end over it",
};
const EAR_REST: Name = Name {
    file: "ear-rest",
    called: "ear rest",
    stands: "as it stands",
    mark: "a block with a holed pad",
};
const SHAFT_REST: Name = Name {
    file: "shaft-rest",
    called: "shaft rest",
    stands: "as it stands",
    mark: "a bar",
};
const PIN_GUIDE: Name = Name {
    file: "pin-guide",
    called: "pin guide",
    stands: "foot on the bed",
    mark: "a sleeve on a foot",
};
const GAUGE: Name = Name {
    file: "gauge",
    called: "gauge",
    stands: "lying",
    mark: "a stepped plate; the V is at the end that is held",
};
