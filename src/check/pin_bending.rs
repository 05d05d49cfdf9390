//! Pins that lie across the load are bent between the holes that hold them.

use super::rule::{Judge, Rule, Strength};
use super::strength::NEAR;
use crate::layout::{Bent, Pin};
use crate::load::{Bearer, Borne, Case, Loading, Remedy, Stressed};
use crate::strength::{LyingPin, Plastic};

/// Rule: printed pins in bending.
pub(super) const RULE: Rule = Rule {
    id: "pin-bending",
    about: "a printed pin is bent too far between the holes that hold it",
    why: "A pin that fits its holes is held along its length and bends little; one that spans a \
          wide gap bends until it whitens and snaps.",
    formula: "sigma = M / Z, Z = 0.0945 dp^3 with the flat beside the load. Cross and keeper pins \
              go from one hole into another: M = 0.322 V / beta + V g / 2, V the load of one \
              section and g the free gap between the holes, broken edges included. So does a pin \
              that stops the carriage, which presses on it beside the walls first: g is then the \
              carriage's gap in its channel and its broken edge. The flank \
              of a swivel's groove presses at 45 degrees on the middle of its two pins, so V is \
              W / (4 cos 45 deg), M = V / (2 beta) + V g, Z = 0.0761 dp^3. Holes bed a pin, \
              whichever way it is pushed, over 1/beta = 0.78 dp, as ground of half the plastic's \
              stiffness does. Fails above \
              the strength in the plane of the layers, warns from 0.9 of it.",
    source: "beams on elastic foundation (Hetenyi, 1946, from memory); bedding: guess; printed \
             strengths: low end of data sheets",
    mend: "take thicker pins, or bought ones",
    judge: Judge::Strength(Strength::of(places)),
};

/// Pins under a loading; none where they are bought, of steel.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let printed = case.design.members.pins.iter().filter(|pin| !pin.bought);
    let place = |pin: &Pin| {
        let lying = LyingPin {
            diameter: pin.diameter,
        };
        let force = loading.on(pin.way);
        let shear = pin.shear(force, loading.passed_on);
        let found = match pin.bent {
            Bent::BetweenHoles(gap) | Bent::Coupling { gap, .. } => {
                lying.bending(lying.moment(shear, gap))
            }
            Bent::OnFlank(gap) => lying.bending_askew(lying.moment_in_the_middle(shear, gap)),
        };
        Stressed {
            bearer: Bearer::Part(pin.part),
            what: format!("{} in bending", pin.called),
            force,
            borne: Borne::Stress {
                found,
                strength: plastic.flat,
            },
            near: NEAR,
            remedy: Remedy::Pins(pin.diameter),
        }
    };
    printed.map(place).collect()
}
