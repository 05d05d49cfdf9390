//! Gaps of joints: as the kit asks for them, one joint by itself or all of a kind, and as they are
//! drawn for a printer.
//!
//! The gap of a joint is the only truth: shapes, plays and checks ask for that of their joint.

use super::proportions::{BEHIND_RIBS, LEAST_RIB};
use crate::assembly::{Asked, Fit, Gap, Lay, Mates};
use crate::declared::{Key, closest};
use crate::diagnostic::Diagnostic;
use crate::kit::{Grip, JointGap, Kit, Said, key};
use crate::printer::{Profile, best_gap};
use crate::thread::Thread;
use crate::units::Length;
use crate::units_told::number;
use rayon::prelude::*;
use std::ops::Range;

/// A joint's gap.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct JointGapDrawn {
    /// As it is drawn.
    pub(super) gap: Gap,
    /// What lengths leave room for: the gap of an untuned printer. A tuned one then changes
    /// the parts that carry the gap only.
    pub(super) allowed: Length,
    /// What asks for it.
    pub(super) asked: Asked,
}

impl JointGapDrawn {
    /// As drawn.
    pub(super) fn drawn(&self) -> Length {
        self.gap.drawn
    }

    /// Height of its crush ribs.
    pub(super) fn ribs(&self) -> Length {
        self.gap.ribs.unwrap_or(Length::ZERO)
    }
}

/// Hands out the gaps of a kit's joints, and knows which of the kit's own were asked for.
pub(super) struct Gaps<'a> {
    kit: &'a Kit,
    profile: &'a Profile,
    untuned: Profile,
    known: Vec<&'static str>,
    problems: Vec<Diagnostic>,
}

/// Radial thread gap, beyond one layer, that lengths leave room for when the kit does not say:
/// what an untuned printer draws (0.09 wanted, and growth of both faces).
const ALLOWED_BEYOND_LAYER: Length = Length::mm(0.15);

/// Radius at which a pin hole's curvature is taken; pins are 3 to 6 mm thick, and their size
/// follows from the gap.
const NOMINAL_PIN: Length = Length::mm(2.5);

impl<'a> Gaps<'a> {
    /// Of a kit, for a printer.
    pub(super) fn new(kit: &'a Kit, profile: &'a Profile) -> Self {
        Self {
            kit,
            profile,
            untuned: Profile::untuned_for(kit),
            known: Vec::new(),
            problems: Vec::new(),
        }
    }

    /// Between a screw and what it runs in, both printed upright; radial.
    pub(super) fn thread(&mut self, joint: &'static str, thread: &Thread) -> JointGapDrawn {
        let mut drawn = self.joint(joint, Wish::of_thread(thread));
        let room = self.kit.sizes.thread_gap.as_ref().map(|said| said.value);
        drawn.allowed = room.unwrap_or(*self.kit.layer + ALLOWED_BEYOND_LAYER);
        drawn
    }

    /// Between a printed screw and a bought nut: all of it on the screw; radial.
    pub(super) fn thread_bought(&mut self, joint: &'static str, thread: &Thread) -> JointGapDrawn {
        let wish = Wish {
            mates: Mates::IN_BOUGHT,
            ..Wish::of_thread(thread)
        };
        let mut drawn = self.joint(joint, wish);
        let room = self.kit.sizes.thread_gap.as_ref().map(|said| said.value);
        drawn.allowed = room.unwrap_or(*self.kit.layer + ALLOWED_BEYOND_LAYER);
        drawn
    }

    /// Of a carriage in its guide; a side.
    pub(super) fn slide(&mut self, joint: &'static str) -> JointGapDrawn {
        self.joint(joint, Wish::of(Fit::Slide, Mates::PRINTED))
    }

    /// Of a swivel; radial and along the axis.
    pub(super) fn swivel(&mut self, joint: &'static str) -> JointGapDrawn {
        self.joint(joint, Wish::of(Fit::Swivel, Mates::PRINTED))
    }

    /// Of a pin that turns in the groove of an upright screw; radial and along the axis.
    pub(super) fn swivel_pin(&mut self, joint: &'static str) -> JointGapDrawn {
        let mates = Mates {
            lay: Lay::Upright,
            ..self.pin_mates()
        };
        self.joint(joint, Wish::of(Fit::Swivel, mates))
    }

    /// Of what goes into an upright hole by hand; radial.
    pub(super) fn locate(&mut self, joint: &'static str) -> JointGapDrawn {
        self.joint(joint, Wish::of(Fit::Locate, Mates::PRINTED))
    }

    /// The same of what is bought.
    pub(super) fn locate_bought(&mut self, joint: &'static str) -> JointGapDrawn {
        self.joint(joint, Wish::of(Fit::Locate, Mates::BOUGHT))
    }

    /// Of what is bought and slides in an upright hole; radial.
    pub(super) fn slide_bought(&mut self, joint: &'static str) -> JointGapDrawn {
        self.joint(joint, Wish::of(Fit::Slide, Mates::BOUGHT))
    }

    /// Of what goes between two upright walls by hand; a side.
    pub(super) fn locate_between_walls(&mut self, joint: &'static str) -> JointGapDrawn {
        self.joint(joint, Wish::of(Fit::Locate, Mates::BETWEEN_WALLS))
    }

    /// The same of what is bought.
    pub(super) fn locate_bought_between_walls(&mut self, joint: &'static str) -> JointGapDrawn {
        self.joint(joint, Wish::of(Fit::Locate, Mates::BOUGHT_BETWEEN_WALLS))
    }

    /// Of a pin in a lying hole that it goes through by hand; radial.
    pub(super) fn pin_through(&mut self, joint: &'static str) -> JointGapDrawn {
        self.joint(joint, Wish::of(Fit::Locate, self.pin_mates()))
    }

    /// Of a pin in the lying hole that holds it; radial, at the tips of its ribs.
    pub(super) fn press(&mut self, joint: &'static str) -> JointGapDrawn {
        self.pressed(joint, self.pin_mates())
    }

    /// The same of a pin that is printed even where others are bought.
    pub(super) fn press_printed(&mut self, joint: &'static str) -> JointGapDrawn {
        self.pressed(joint, Mates::LYING)
    }

    fn pressed(&mut self, joint: &'static str, mates: Mates) -> JointGapDrawn {
        let wish = Wish {
            ribs: *self.kit.pins.held_by == Grip::Ribs,
            ..Wish::of(Fit::Press, mates)
        };
        let mut drawn = self.joint(joint, wish);
        drawn.gap.ribs = rib_height(self.kit, drawn.gap.wanted);
        drawn
    }

    /// Whether the kit asks for ticks around the head.
    pub(super) fn has_dial(&self) -> bool {
        self.kit.dial.is_some()
    }

    /// Of the hole by which pins go in, which is no joint: as any lying hole that a pin goes
    /// through by hand.
    pub(super) fn way_in(&self) -> JointGapDrawn {
        let wish = Wish::of(Fit::Locate, self.pin_mates());
        let (wanted, asked) = self.of_kind(&wish);
        self.drawn(&wish, wanted, asked)
    }

    /// Between end faces that carry a push, which a kit sets for all of them.
    pub(super) fn seat(&self) -> JointGapDrawn {
        let said = &self.kit.gaps.seat;
        let asked = of_key(&key::GAP_SEAT, said.at.clone());
        self.drawn(&Wish::of(Fit::Seat, Mates::PRINTED), **said, asked)
    }

    /// Why a gap that the kit gives to a joint cannot be drawn; empty if all can.
    pub(super) fn problems(mut self) -> Vec<Diagnostic> {
        let known = std::mem::take(&mut self.known);
        let given = self.kit.gaps.joints.iter();
        let unknown = given.filter(|given| !known.contains(&given.joint.as_str()));
        self.problems
            .extend(unknown.map(|given| no_joint(given, &known)));
        self.problems
    }

    fn pin_mates(&self) -> Mates {
        match &self.kit.pins.buy {
            Some(_) => Mates::BOUGHT_IN_LYING,
            None => Mates::LYING,
        }
    }

    fn joint(&mut self, joint: &'static str, wish: Wish) -> JointGapDrawn {
        self.known.push(joint);
        let fit = wish.fit;
        let least = key_of(fit).limits.least;
        let mut given = self.kit.gaps.joints.iter();
        let given = given.find(|given| given.joint.as_str() == joint);
        let (wanted, asked) = match given {
            Some(given) => {
                if *given.wanted < least {
                    self.problems.push(too_tight(given, fit, least));
                }
                let asked = Asked {
                    name: joint,
                    by_itself: true,
                    at: given.wanted.at.clone(),
                };
                (*given.wanted, asked)
            }
            None => self.of_kind(&wish),
        };
        self.drawn(&wish, wanted, asked)
    }

    /// What the kit says of a kind of fit; where it says nothing, the gap of the least expected cost.
    fn of_kind(&self, wish: &Wish) -> (Length, Asked) {
        let gaps = &self.kit.gaps;
        let said = match wish.fit {
            Fit::Thread => gaps.thread.as_ref(),
            Fit::Slide => gaps.slide.as_ref(),
            Fit::Swivel => gaps.swivel.as_ref(),
            Fit::Locate => gaps.locate.as_ref(),
            Fit::Press => gaps.press.as_ref(),
            Fit::Seat | Fit::Stop => Some(&gaps.seat),
        };
        let found = |depth: Length| {
            let mut found = gaps.found.iter();
            found
                .find(|(known, _)| *known == depth)
                .map(|(_, gap)| *gap)
        };
        let best = || {
            let Wish {
                fit, ribs, depth, ..
            } = *wish;
            if let Some(found) = depth.and_then(found) {
                return found;
            }
            // Faces that only meet have a gap in any case.
            best_gap(fit, ribs, depth, &self.untuned, &self.kit.prices).unwrap_or(Length::ZERO)
        };
        let asked = of_key(key_of(wish.fit), said.and_then(|said| said.at.clone()));
        (said.map_or_else(best, |said| said.value), asked)
    }

    fn drawn(&self, wish: &Wish, wanted: Length, asked: Asked) -> JointGapDrawn {
        let radius = match wish.mates.lay {
            Lay::Upright | Lay::Lying => NOMINAL_PIN,
            Lay::Walls => Length::ZERO,
        };
        let gap = |profile: &Profile| profile.gap(wish.fit, wanted, wish.mates, radius);
        JointGapDrawn {
            gap: gap(self.profile),
            allowed: gap(&self.untuned).drawn,
            asked,
        }
    }
}

/// How far the ribs of a pressed pin's hole stand out of its wall; none where the wall holds it.
/// The printer's growth moves ribs and wall alike.
fn rib_height(kit: &Kit, wanted: Length) -> Option<Length> {
    match *kit.pins.held_by {
        Grip::Ribs => Some((BEHIND_RIBS - wanted).max(LEAST_RIB)),
        Grip::Wall => None,
    }
}

/// The gap that a kit wants of a thread of which no joint asks for its own; radial.
pub fn wanted_of_thread(kit: &Kit, profile: &Profile, thread: &Thread) -> Length {
    Gaps::new(kit, profile).of_kind(&Wish::of_thread(thread)).0
}

/// The gap that a printed thread of which no joint asks for its own is drawn with for a printer; radial.
pub fn drawn_of_thread(kit: &Kit, profile: &Profile, thread: &Thread) -> Length {
    let gaps = Gaps::new(kit, profile);
    let wish = Wish::of_thread(thread);
    let (wanted, asked) = gaps.of_kind(&wish);
    gaps.drawn(&wish, wanted, asked).drawn()
}

/// A kit that says the gaps that it wants, where it left them to be found: of every kind but threads, and of
/// some threads by their depth. They are the same in whatever mechanism, and found once.
pub fn with_wanted_gaps(mut kit: Kit, threads: &[Thread]) -> Kit {
    let untuned = Profile::untuned_for(&kit);
    let prices = kit.prices.clone();
    let ribs = *kit.pins.held_by == Grip::Ribs;
    let best = |fit: Fit, ribs: bool| {
        best_gap(fit, ribs, None, &untuned, &prices).map(Said::default_value)
    };
    let mut depths: Vec<Length> = threads.iter().map(Thread::depth).collect();
    depths.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
    depths.dedup();
    let found = depths.into_par_iter().map(|depth| {
        let gap = best_gap(Fit::Thread, false, Some(depth), &untuned, &prices);
        (depth, gap.unwrap_or(Length::ZERO))
    });
    let found = found.collect();
    let gaps = &mut kit.gaps;
    gaps.found = found;
    for (said, fit, ribs) in [
        (&mut gaps.slide, Fit::Slide, false),
        (&mut gaps.locate, Fit::Locate, false),
        (&mut gaps.swivel, Fit::Swivel, false),
        (&mut gaps.press, Fit::Press, ribs),
    ] {
        if said.is_none() {
            *said = best(fit, ribs);
        }
    }
    kit
}

/// A kit that asks another gap of joints of a fit, by the key that asks for it; none where its
/// limits do not allow it.
pub fn with_gap(kit: &Kit, asked: &Asked, fit: Fit, wanted: Length) -> Option<Kit> {
    if !key_of(fit).limits.holds(wanted) {
        return None;
    }
    let mut kit = kit.clone();
    let gaps = &mut kit.gaps;
    if asked.by_itself {
        let mut given = gaps.joints.iter_mut();
        given
            .find(|given| given.joint.as_str() == asked.name)?
            .wanted
            .value = wanted;
        return Some(kit);
    }
    let said = match fit {
        Fit::Thread => &mut gaps.thread,
        Fit::Slide => &mut gaps.slide,
        Fit::Swivel => &mut gaps.swivel,
        Fit::Locate => &mut gaps.locate,
        Fit::Press => &mut gaps.press,
        Fit::Seat | Fit::Stop => return None,
    };
    *said = Some(Said::default_value(wanted));
    Some(kit)
}

/// A kit in which a joint asks for a gap by itself; none where the gap's key does not allow it.
pub(super) fn with_own_gap(kit: &Kit, joint: &str, fit: Fit, wanted: Length) -> Option<Kit> {
    if !key_of(fit).limits.holds(wanted) {
        return None;
    }
    let mut kit = kit.clone();
    let joints = &mut kit.gaps.joints;
    joints.retain(|given| given.joint.as_str() != joint);
    joints.push(JointGap {
        joint: Said::default_value(joint.into()),
        wanted: Said::default_value(wanted),
    });
    Some(kit)
}

/// What a joint is, as far as its gap hangs on it.
struct Wish {
    fit: Fit,
    mates: Mates,
    /// Whether ribs meet the pin.
    ribs: bool,
    /// Of a thread.
    depth: Option<Length>,
}

impl Wish {
    fn of(fit: Fit, mates: Mates) -> Self {
        Self {
            fit,
            mates,
            ribs: false,
            depth: None,
        }
    }

    fn of_thread(thread: &Thread) -> Self {
        Self {
            depth: Some(thread.depth()),
            ..Self::of(Fit::Thread, Mates::PRINTED)
        }
    }
}

/// The key that asks for the gaps of a kind of fit.
fn key_of(fit: Fit) -> &'static Key<Length> {
    match fit {
        Fit::Thread => &key::GAP_THREAD,
        Fit::Slide => &key::GAP_SLIDE,
        Fit::Swivel => &key::GAP_SWIVEL,
        Fit::Locate => &key::GAP_LOCATE,
        Fit::Press => &key::GAP_PRESS,
        Fit::Seat | Fit::Stop => &key::GAP_SEAT,
    }
}

fn of_key(key: &Key<Length>, at: Option<Range<usize>>) -> Asked {
    Asked {
        name: key.leaf(),
        by_itself: false,
        at,
    }
}

fn too_tight(given: &JointGap, fit: Fit, least: Length) -> Diagnostic {
    Diagnostic::error(
        format!(
            "the gap of {} is {}, at least {} for a {} fit",
            given.joint.value,
            millimetres(*given.wanted),
            millimetres(least),
            fit.word()
        ),
        given.wanted.at.clone().unwrap_or(0..0),
    )
    .mend(format!(
        "write `\"{}\" = \"{}\"` or more",
        given.joint.value,
        millimetres(least)
    ))
}

fn no_joint(given: &JointGap, known: &[&str]) -> Diagnostic {
    let name = given.joint.as_str();
    let mend = match closest(name, known.iter().copied()) {
        Some(near) => format!("write `\"{near}\"`"),
        None => format!("write one of {}", known.join(", ")),
    };
    Diagnostic::error(
        format!("there is no joint `{name}` with a gap of its own"),
        given.joint.at.clone().unwrap_or(0..0),
    )
    .label("not a joint of this kit")
    .mend(mend)
}

fn millimetres(length: Length) -> String {
    format!("{} mm", number(length.as_mm(), 3))
}
