//! The mechanism, its motion and its force said plainly, and what applies to every print.
//!
//! People are told clockwise or counter-clockwise, seen from the drive head; signs stay inside.

use super::product::Product;
use crate::assembly::Fit;
use crate::check::Outcome;
use crate::kit::key::FULL_HAND;
use crate::load::{ForceFigures, SPANNER};
use crate::output::words::{CAUTIONS, material_name, plain, turning_words};
use crate::thread::Hand;
use crate::units::{Length, Torque};
use crate::units_told::{Told, number, rounded};

/// Sentences on what turns in what, and what comes of it.
pub fn mechanism(product: &Product) -> Vec<String> {
    let assembly = &product.design.assembly;
    let told = product.kit.told();
    let mut sentences = Vec::new();
    let mut hands = Vec::new();
    for (index, joint) in assembly.joints.iter().enumerate() {
        let (Fit::Thread, Some(joint_thread)) = (joint.fit, &joint.thread) else {
            continue;
        };
        let thread = &joint_thread.thread;
        hands.push(thread.hand());
        let hand = match thread.hand() {
            Hand::Right => "right-hand",
            Hand::Left => "left-hand",
        };
        let [male, female] = joint.between.map(|id| plain(&assembly.instance(id).called));
        let known = product.joints.get(index);
        let designation = known
            .and_then(|figures| figures.thread.as_deref())
            .map_or_else(
                || format!("a {} thread", told.length(thread.major(), CALIPER)),
                plain,
            );
        sentences.push(format!(
            "The {male} runs in the {female}: {designation}, {hand}, lead {}.",
            told.length(thread.lead(), 3)
        ));
    }
    sentences.push(product.design.caption.into());
    sentences
}

/// What a closing line has to add: `, with warnings (wall), but for what the kit waives (bed)`.
pub fn reservations(product: &Product) -> String {
    let open = product.open_findings();
    let told = |outcome: Outcome, words: &str| {
        let of = open.iter().filter(|finding| finding.outcome == outcome);
        let mut ids: Vec<&str> = of.map(|finding| finding.id).collect();
        ids.dedup();
        (!ids.is_empty()).then(|| format!(", {words} ({})", ids.join(", ")))
    };
    let warned = told(Outcome::Warn, "with warnings");
    let waived = told(Outcome::Waived, "but for what the kit waives");
    [warned, waived].into_iter().flatten().collect()
}

/// The motion as rows of name and value.
pub fn motion(product: &Product) -> Vec<(&'static str, String)> {
    let (motion, course) = (&product.motion, &product.design.course);
    let told = product.kit.told();
    let mut rows = vec![
        ("net lead", per_turn(told, motion.net_lead)),
        ("turns", turns_for_travel(told, motion.net_lead)),
        ("stroke", told.length(course.stroke, CALIPER)),
        (
            "turns for stroke",
            format!(
                "{} {}",
                number(course.turns, 2),
                turning_words(motion.turning)
            ),
        ),
        (
            "drive travel",
            format!(
                "the drive screw goes {}",
                told.length(course.drive_travel, CALIPER)
            ),
        ),
    ];
    for travel in &course.further {
        let assembly = &product.design.assembly;
        let joint = &assembly.joints[travel.joint.0];
        let [screw, hole] = joint.between.map(|id| plain(&assembly.instance(id).called));
        let length = told.length(travel.length, CALIPER);
        rows.push((
            travel.title,
            format!("{length} of the {screw} in the {hole}"),
        ));
    }
    if let Some(direction) = carriage_direction(product) {
        rows.push(("carriage moves", direction.into()));
    }
    if let Some(closing) = motion.closing_per_turn {
        rows.push(("closing", per_turn(told, closing)));
    }
    rows.extend(effort(product));
    rows
}

/// Decimals of a millimetre that a caliper reads.
pub const CALIPER: usize = 2;

/// Travel in one turn: `0.75 mm in each turn`; `0.0342 in (0.868 mm) in each turn`.
fn per_turn(told: Told, lead: Length) -> String {
    let travel = match told {
        Told::Metric => told.length(lead, 4),
        Told::Inch => told.length(lead, 3),
    };
    format!("{travel} in each turn")
}

/// Turns for one unit of the carriage's travel. Threads per inch is said of a thread alone.
fn turns_for_travel(told: Told, net_lead: Length) -> String {
    match told {
        Told::Metric => {
            let turns = number(1.0 / net_lead.as_mm(), 3);
            format!("{turns} turns per millimetre of carriage travel")
        }
        Told::Inch => {
            let turns = number(1.0 / net_lead.as_inches(), 2);
            format!("{turns} turns per inch of carriage travel")
        }
    }
}

/// What a hand feels of it, as far as it was worked out.
fn effort(product: &Product) -> Vec<(&'static str, String)> {
    let motion = &product.motion;
    let mut rows = Vec::new();
    if let Some(lost) = motion.lost_motion_turns {
        let (low, high) = (number(lost.low, 2), number(lost.high, 2));
        rows.push((
            "lost motion",
            format!("{low} to {high} turns at each reversal"),
        ));
    }
    if let Some(locking) = motion.self_locking {
        let words = if locking {
            "yes, a push on the carriage does not turn the drive screw"
        } else {
            "no, a push on the carriage can turn the drive screw"
        };
        rows.push(("self-locking", words.into()));
    }
    if let Some(torque) = motion.torque {
        let torque = product.kit.told().torque(torque);
        rows.push((
            "torque",
            format!("up to {torque} at the head, for the kit's load"),
        ));
    }
    if let Some(efficiency) = motion.efficiency {
        let percent = number(efficiency * 100.0, 1);
        rows.push((
            "efficiency",
            format!("{percent} % at the least, the rest is friction in the threads"),
        ));
    }
    rows
}

/// Heading of the figures on force.
pub fn force_title(force: &ForceFigures) -> String {
    let friction = match force.friction.is_single() {
        true => number(force.friction.low, 3),
        false => format!(
            "{} to {}",
            number(force.friction.low, 3),
            number(force.friction.high, 3)
        ),
    };
    format!("Force along the axis (estimates, at a friction of {friction})")
}

/// What stands under every figure on force.
pub fn no_rating(product: &Product, force: &ForceFigures) -> String {
    let net_lead = product.motion.net_lead;
    let adds = product
        .design
        .plain
        .as_ref()
        .is_some_and(|plain| net_lead > plain.lead());
    let plain = match &force.plain {
        // Threads of opposite hands add their leads.
        Some(plain) if adds => format!(
            "Two threads of opposite hands add their leads and their friction. Plain: one {} \
             without a swivel. ",
            plain.thread
        ),
        Some(plain) => format!(
            "A differential buys fine travel, not force: friction eats most of it. Plain: one {} \
             without a swivel. ",
            plain.thread
        ),
        None => String::new(),
    };
    format!(
        "{plain}No working load limit: local rules, makers of tools and qualified people come first."
    )
}

/// What it bears and presses with, as rows of name and value.
pub fn force(product: &Product, force: &ForceFigures) -> Vec<(&'static str, String)> {
    let told = product.kit.told();
    let one = |force| told.forces([force, force]);
    let safe_torque = Torque::newton_metres(down_to_two(force.safe_torque));
    let mut rows = vec![
        (
            "safe load",
            format!(
                "{} ({} if it stays), {} at the head",
                one(force.safe_load),
                one(force.lasting_load),
                told.torque(safe_torque)
            ),
        ),
        (
            "weakest",
            format!("{}, at {}", force.weakest, one(force.breaking)),
        ),
    ];
    rows.extend(force.clamping.iter().map(|clamping| {
        let [least, most] = clamping.force;
        let [rough, slippery] = force.breaking_at;
        let breaks = if least > rough && most > slippery {
            "; breaks"
        } else if least > rough || most > slippery {
            "; may break"
        } else {
            ""
        };
        let plain = clamping.plain.map_or_else(String::new, |plain| {
            format!("; plain {}", told.forces(plain))
        });
        let torque = told.torque(clamping.torque);
        let pressed = told.forces(clamping.force);
        (clamping.by, format!("{torque}: {pressed}{plain}{breaks}"))
    }));
    let percent = |shares: [f64; 2]| format!("{} %", span(shares.map(|share| share * 100.0)));
    let plain = force.plain.as_ref();
    let [efficiency, gain] = [
        plain.map(|plain| format!("; plain {}", percent(plain.efficiency))),
        plain.map(|plain| format!("; plain {}", span(plain.advantage))),
    ]
    .map(Option::unwrap_or_default);
    rows.push((
        "efficiency",
        format!("{}{efficiency}", percent(force.efficiency)),
    ));
    let arm = told.length(SPANNER, 0);
    let times = span(force.advantage);
    rows.push(("gain", format!("{times} times at a {arm} spanner{gain}")));
    rows
}

/// From one estimate to another, to two digits.
fn span([low, high]: [f64; 2]) -> String {
    match (rounded(low), rounded(high)) {
        (low, high) if low == high => low,
        (low, high) => format!("{low} to {high}"),
    }
}

/// A torque in newton metres with two digits that count, never more than it is.
fn down_to_two(torque: Torque) -> f64 {
    let value = torque.as_newton_metres();
    let step = if value < 1.0 { 0.01 } else { 0.1 };
    (value / step).floor() * step
}

fn carriage_direction(product: &Product) -> Option<&'static str> {
    let rate = product.rate(product.design.assembly.carriages.leading)?;
    let advance = rate.advance.as_mm();
    if advance > 0.0 {
        Some("away from the drive head")
    } else if advance < 0.0 {
        Some("towards the drive head")
    } else {
        None
    }
}

/// Cautions, what this kit asks of whoever turns it first.
pub fn cautions(product: &Product) -> Vec<String> {
    let told = product.kit.told();
    let two_fingers = product.kit.two_fingers.map(|torque| {
        format!(
            "Turn it with two fingers only: at a stop no more than {}. A whole hand gives {} and may \
             break it, a tool does.",
            told.torque(torque),
            told.torque(FULL_HAND)
        )
    });
    let all = CAUTIONS.map(String::from);
    two_fingers.into_iter().chain(all).collect()
}

/// What applies to every print of a kit.
pub fn print_notes(product: &Product) -> Vec<String> {
    let kit = &product.kit;
    vec![
        "Scale 100 % and never mirrored: a mirror makes a left-hand thread of a right-hand \
         one, and the parts no longer fit."
            .into(),
        "Supports off. Every part stands in its file as it is printed; do not turn it over.".into(),
        format!(
            "{}, layers of {} and lines of {}, as the kit says; the gaps are drawn for them.",
            material_name(kit.material),
            kit.told().length(kit.layer, CALIPER),
            kit.told().length(kit.line, CALIPER)
        ),
        "Let the bed cool before you take a part off, and clear the first layer of its flare."
            .into(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;

    #[test]
    fn a_right_hand_drive_is_turned_clockwise_and_pushes_away() {
        let rows = motion(&fixture::nested());
        let value = |name| &rows.iter().find(|(row, _)| *row == name).unwrap().1;
        assert_eq!(
            value("turns for stroke"),
            "13.33 clockwise, seen from the drive head"
        );
        assert_eq!(value("carriage moves"), "away from the drive head");
        assert_eq!(value("net lead"), "0.75 mm in each turn");
        assert_eq!(
            value("turns"),
            "1.333 turns per millimetre of carriage travel"
        );
    }

    #[test]
    fn an_inch_kit_is_told_in_inches_first() {
        let mut product = fixture::nested_in_inches();
        // 7/8-9 UNC over 1/2-13 UNC: 1/9 - 1/13 in.
        product.motion.net_lead = Length::inches(1.0 / 9.0 - 1.0 / 13.0);
        let rows = motion(&product);
        let value = |name| &rows.iter().find(|(row, _)| *row == name).unwrap().1;
        assert_eq!(value("net lead"), "0.0342 in (0.868 mm) in each turn");
        assert_eq!(value("turns"), "29.25 turns per inch of carriage travel");
        assert!(
            rows.iter()
                .all(|(_, value)| !value.contains("threads per inch"))
        );
    }

    #[test]
    fn opposite_hands_add_up_and_equal_hands_do_not() {
        let last = |inner: &str| {
            let text = format!(
                "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"{inner}\"\n\
                 stroke = 10\n"
            );
            let kit: crate::kit::Kit = text.parse().unwrap();
            let mut product = fixture::nested();
            let profile = crate::printer::Profile::untuned_for(&kit);
            product.design = crate::layout::design(&kit, &profile).unwrap();
            mechanism(&product).pop().unwrap()
        };
        assert!(last("M12x1.75").ends_with("the difference."));
        assert!(last("M12x1.75-LH").ends_with("the sum."));
    }

    #[test]
    fn what_was_not_worked_out_is_not_told() {
        let rows = motion(&fixture::nested());
        assert!(rows.iter().all(|(name, _)| *name != "torque"));
    }

    #[test]
    fn both_threads_are_told_with_their_leads() {
        let sentences = mechanism(&fixture::nested()).join(" ");
        assert!(sentences.contains("M20x2.5, right-hand, lead 2.5 mm"));
        assert!(sentences.contains("M12x1.75, right-hand, lead 1.75 mm"));
    }
}
