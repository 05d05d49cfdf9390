//! The mechanism, its motion and its force said plainly, and what applies to every print.
//!
//! People are told clockwise or counter-clockwise, seen from the drive head; signs stay inside.

use super::dial;
use super::preload_words;
use super::product::{Interval, Product};
use crate::assembly::{Caution, Fit, InstanceId, Signal, Turning};
use crate::check::Outcome;
use crate::kit::key::FULL_HAND;
use crate::load::{ForceFigures, InGuide, SPANNER};
use crate::output::words::{CAUTIONS, material_name, plain, turning_words};
use crate::printer::Correction;
use crate::strength::{Material, Origin};
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
        let starts = match thread.starts() {
            1 => String::new(),
            several => format!(" {several} starts,"),
        };
        sentences.push(format!(
            "The {male} runs in the {female}: {designation}, {hand},{starts} lead {}.",
            told.length(thread.lead(), 3)
        ));
    }
    sentences.push(product.design.caption.into());
    sentences
}

/// Number of the first step of putting it together; before it stands step 0, the test pieces.
pub const FIRST_STEP: usize = 1;

/// What it is, in one line: its name, its layout, and which thread runs in what.
pub fn in_short(product: &Product) -> String {
    let name = plain(&product.kit.name);
    format!("{name} ({}): {}", product.kit.layout, threads(product))
}

/// The same without its name.
pub fn threads_in_short(product: &Product) -> String {
    format!("{}: {}", product.kit.layout, threads(product))
}

/// Which thread runs in what, and how far.
fn threads(product: &Product) -> String {
    let assembly = &product.design.assembly;
    let joints = assembly.joints.iter().enumerate();
    let threads = joints.filter_map(|(index, joint)| {
        joint.thread.as_ref()?;
        let designation = product.joints.get(index)?.thread.as_deref()?;
        let [_, hole] = joint.between.map(|id| plain(&assembly.instance(id).called));
        Some(format!("{} in the {hole}", plain(designation)))
    });
    let threads: Vec<String> = threads.collect();
    let stroke = product.design.course.stroke;
    let stroke = product.kit.told().length(stroke, CALIPER);
    format!("{}; stroke {stroke}", threads.join(", "))
}

/// Net lead and turns for the stroke.
pub fn turn_in_short(product: &Product) -> String {
    let (motion, told) = (&product.motion, product.kit.told());
    let closing = motion.closing_per_turn.map_or(String::new(), |closing| {
        format!(", together {}", travel(told, closing))
    });
    format!(
        "net lead {}{closing}; {} turns {} for the stroke",
        travel(told, motion.net_lead),
        number(product.design.course.turns, 2),
        match motion.turning {
            Turning::Clockwise => "clockwise",
            Turning::CounterClockwise => "counter-clockwise",
        }
    )
}

/// What a reversal loses, by each carriage; none where that was not worked out.
pub fn lost_in_short(product: &Product) -> Option<String> {
    let span = |lost: &Interval| format!("{} to {}", number(lost.low, 2), number(lost.high, 2));
    let leading = product.motion.lost_motion_turns.as_ref()?;
    if let Some(sprung) = preload_words::in_short(product) {
        return Some(format!("{sprung}; without it {}", span(leading)));
    }
    let beside = product.motion.lost_beside.iter().map(|(carriage, lost)| {
        let called = plain(&product.design.assembly.instance(*carriage).called);
        format!("; {} of the {called}", span(lost))
    });
    Some(format!(
        "{} turns at each reversal{}",
        span(leading),
        beside.collect::<String>()
    ))
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

/// That nothing was drawn, and what is not known for that; none where it was.
pub fn not_judged(product: &Product) -> Option<&'static str> {
    (!product.is_drawn()).then_some(
        "nothing was drawn, since what fails comes first: fit of the meshes, walls and overhangs, order of \
         assembly, beds, hours and grams follow once none of it does",
    )
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
    ];
    if course.drive_travel > Length::ZERO {
        rows.push((
            "drive travel",
            format!(
                "the drive screw goes {}",
                told.length(course.drive_travel, CALIPER)
            ),
        ));
    }
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
        let moves = match product.design.assembly.carriages.others.is_empty() {
            true => "carriage moves",
            false => "near one moves",
        };
        rows.push((moves, direction.into()));
    }
    if let Some(closing) = motion.closing_per_turn {
        rows.push(("closing", per_turn(told, closing)));
    }
    if let Some(ticks) = &product.design.dial {
        rows.push(("dial", dial::line(product, ticks)));
    }
    rows.extend(effort(product));
    for (carriage, lost) in &motion.lost_beside {
        let (low, high) = (number(lost.low, 2), number(lost.high, 2));
        let called = plain(&product.design.assembly.instance(*carriage).called);
        rows.push((
            "lost motion",
            format!("{low} to {high} turns of the {called} at each reversal"),
        ));
    }
    rows
}

/// Decimals of a millimetre that a caliper reads.
pub const CALIPER: usize = 2;

/// Travel in one turn: `0.75 mm in each turn`; `0.0342 in (0.868 mm) in each turn`.
fn per_turn(told: Told, lead: Length) -> String {
    format!("{} in each turn", travel(told, lead))
}

/// Travel in one turn, without a word.
fn travel(told: Told, lead: Length) -> String {
    match told {
        Told::Metric => told.length(lead, 4),
        Told::Inch => told.length(lead, 3),
    }
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
    rows.extend(preload_words::rows(product));
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
            match motion.preload {
                None => format!("up to {torque} at the head, for the kit's load"),
                Some(_) => format!("up to {torque} at the head, for the kit's load and the spring"),
            },
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
    format!(
        "Force along the axis (estimates, {}, at a friction of {friction})",
        match force.plastic.upright_of {
            Origin::Material => "strength of the material",
            Origin::Print => "strength of your print",
        }
    )
}

/// Of what the strengths are behind the figures on force, and which of them are guesses.
fn strengths(product: &Product, force: &ForceFigures) -> String {
    let (told, plastic) = (product.kit.told(), &force.plastic);
    let across = told.stress(plastic.upright);
    let root = number(plastic.root, 2);
    let rest = "pins and shear go by the material's";
    match (plastic.upright_of, plastic.root_of) {
        (Origin::Print, Origin::Print) => format!(
            "Your print, by the pieces you broke: {across} across its layers at the least, K {root} \
             at a thread's root at the most; {rest}."
        ),
        (Origin::Print, Origin::Material) => format!(
            "Your print, by the pieces you broke: {across} across its layers at the least; K {root} \
             at a thread's root is a guess; {rest}."
        ),
        (Origin::Material, _) => {
            let name = material_name(product.kit.material);
            let known = match product.kit.material {
                Material::Pla => "measured by others",
                Material::Petg | Material::Abs | Material::Asa => "a guess",
            };
            format!(
                "{name}, not your print: {across} across its layers is {known}, K {root} at a \
                 thread's root a guess; `netlead coupon KIT --break` finds yours."
            )
        }
    }
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
        Some(plain) if product.motion.closing_per_turn.is_some() => format!(
            "What is told of a force presses on each of both carriages, which share the torque. Plain: \
             one {} with one carriage, without a swivel. ",
            plain.thread
        ),
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
        "{plain}{} No working load limit: local rules, makers of tools and qualified people come first.",
        strengths(product, force)
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
                "{} ({} if it stays), to work with: the breaking one by the reserve; {} at the \
                 head never presses harder",
                one(force.safe_load),
                one(force.lasting_load),
                told.torque(safe_torque)
            ),
        ),
        (
            "weakest",
            format!(
                "{}, at {} by the worse of pull and push{}",
                force.weakest,
                one(force.breaking),
                at_friction(force, told)
            ),
        ),
        (
            "at a stop",
            format!(
                "{} at the head breaks nothing at any friction: the strength itself, without a \
                 reserve",
                told.torque(Torque::newton_metres(down_to_two(force.breaking_torque())))
            ),
        ),
    ];
    rows.extend(force.clamping.iter().map(|clamping| {
        let [rough, slippery] = force.breaking_torque_at;
        let breaks = if clamping.torque > rough && clamping.torque > slippery {
            "; breaks"
        } else if clamping.torque > rough || clamping.torque > slippery {
            "; may break"
        } else {
            ""
        };
        let plain = clamping.plain.map_or_else(String::new, |plain| {
            format!("; plain {}", told.forces(plain))
        });
        let torque = told.torque(clamping.torque);
        let pressed = told.forces(clamping.force);
        let ways = "by pull or push";
        (
            clamping.by,
            format!("{torque}: {pressed} {ways}{plain}{breaks}"),
        )
    }));
    let percent = |shares: [f64; 2]| format!("{} %", span(shares.map(|share| share * 100.0)));
    rows.extend(force.in_guide.map(|guide| {
        let taken = taken(guide);
        let offset = told.length(guide.offset, 1);
        (
            "in the guide",
            format!(
                "{taken}, since the working end is loaded {offset} beside the axis: so much less arrives \
                 there than the screw presses with, as told above"
            ),
        )
    }));
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
    rows.push(("gain", format!("{times} times at the end of {arm}{gain}")));
    rows
}

/// What the guide takes of a push, from least to most friction.
fn taken(guide: InGuide) -> String {
    let [most, least] = guide.taken.map(|share| share * 100.0);
    format!("its friction takes {} % of a push", span([least, most]))
}

/// The same for the digest; none of a kit that presses in its axis.
pub fn in_guide_in_short(product: &Product) -> Option<String> {
    Some(taken(product.force.as_ref()?.in_guide?))
}

/// At which friction the least breaking load holds, and the other one at the other friction: a
/// hand presses hardest where friction is least, and a load twists most where it is greatest.
fn at_friction(force: &ForceFigures, told: Told) -> String {
    let friction = force.friction;
    if friction.is_single() {
        return String::new();
    }
    let [rough, slippery] = force.breaking_at;
    let (here, there, other) = match rough <= slippery {
        true => (friction.high, friction.low, slippery),
        false => (friction.low, friction.high, rough),
    };
    format!(
        ", at a friction of {}, {} at {}",
        number(here, 3),
        told.forces([other, other]),
        number(there, 3)
    )
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
pub fn cautions(product: &Product) -> Vec<Caution> {
    let told = product.kit.told();
    let gently = product.kit.gentle.map(|gentle| {
        let most = told.torque(gentle.torque);
        let asked = match gentle.by_fingers() {
            true => format!("Turn it with two fingers only, at a stop no harder than {most}."),
            false => format!("At a stop turn no harder than {most}."),
        };
        let force = product.force.as_ref();
        let breaks = match force.is_some_and(|force| force.breaking_torque() < FULL_HAND) {
            true => " and may break it",
            false => "",
        };
        let hand = told.torque(FULL_HAND);
        let text = format!("{asked} A whole hand gives {hand}{breaks}, a tool far more.");
        Caution::new(Signal::Notice, text)
    });
    let all = CAUTIONS.map(|(signal, text)| Caution::new(signal, text));
    let own = product.design.cautions.iter().cloned();
    let spring = keeper_under_spring(product);
    gently
        .into_iter()
        .chain(spring)
        .chain(own)
        .chain(all)
        .collect()
}

/// What to heed where the keeper goes in or out against a spring; none without one.
pub fn keeper_under_spring(product: &Product) -> Option<Caution> {
    let text = preload_words::caution(product)?;
    Some(Caution::new(Signal::Warning, text))
}

/// What to heed before the step at a place in the list, if it presses pins; none before any other. Once a
/// spring is in, what pins are pressed into is held down against it.
pub fn pressing(product: &Product, place: usize) -> Vec<Caution> {
    let (assembly, steps) = (&product.design.assembly, &product.design.steps);
    let Some(step) = steps.get(place) else {
        return Vec::new();
    };
    let mut joints = assembly.joints.iter();
    let presses = joints.any(|joint| {
        joint.fit == Fit::Press
            && joint
                .between
                .iter()
                .all(|piece| step.pieces.contains(piece))
    });
    if !presses {
        return Vec::new();
    }
    let preload = product.design.members.preload.as_ref();
    let is_spring = |piece: &InstanceId| {
        preload.is_some_and(|preload| assembly.instance(*piece).part == preload.part)
    };
    let mut before = steps.iter().take(place).flat_map(|step| &step.pieces);
    let spring = before.any(is_spring).then(|| keeper_under_spring(product));
    spring.flatten().into_iter().chain([pins_fly()]).collect()
}

/// What to heed wherever pins go in or out.
pub fn pins_fly() -> Caution {
    Caution::new(
        Signal::Warning,
        "A pin that slips, bends or splits under vice or mallet flies, and can cost an eye; it goes \
         through a hand that holds against it. Eye protection on, bystanders too; work on wood or on the \
         jaws of the vice.",
    )
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
        correction(product),
        "Let the bed cool before you take a part off, and clear the first layer of its flare."
            .into(),
        "When the first part is cold, hold its sides against its size in the list: one that is off by \
         more than a hundredth was scaled, and one whose letters read backwards was mirrored. Neither fits."
            .into(),
    ]
}

/// What the program that makes the toolpaths is to correct by itself, as the printer's profile has it.
fn correction(product: &Product) -> String {
    let (told, set) = (product.kit.told(), product.kit.correction);
    if set == Correction::default() {
        return "Size compensation of the program that makes the toolpaths off, of outlines, of holes and of \
                the first layer alike: the gaps are drawn for what the printer does without."
            .into();
    }
    let by = |length: Length, what: &str| match length == Length::ZERO {
        true => format!("{what} nothing"),
        false => format!("{what} {}", told.length(length, GAP)),
    };
    format!(
        "Size compensation of the program that makes the toolpaths as it was when the printer was measured: \
         {}, {}, {}. With any other the gaps are no longer those that were drawn.",
        by(set.contour, "outlines moved inwards by"),
        by(set.hole, "holes widened a side by"),
        by(set.first_layer, "the first layer moved inwards by")
    )
}

/// Decimals of a millimetre in which a size compensation is set.
const GAP: usize = 3;

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
    fn only_a_torque_of_fingers_asks_for_fingers_and_nothing_is_said_to_break_unjudged() {
        let said = |torque: f64| {
            let mut product = fixture::nested();
            let torque = Torque::newton_metres(torque);
            product.kit.gentle = Some(crate::kit::Gentle {
                torque,
                fingers: true,
            });
            cautions(&product).remove(0).text
        };
        assert_eq!(
            said(1.8),
            "At a stop turn no harder than 1.8 N m. A whole hand gives 2 N m, a tool far more."
        );
        assert_eq!(
            said(1.0),
            "Turn it with two fingers only, at a stop no harder than 1 N m. A whole hand gives 2 N \
             m, a tool far more."
        );
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

    #[test]
    fn a_size_compensation_is_to_be_as_it_was_when_the_printer_was_measured() {
        let told = |product: &Product| print_notes(product).join(" ");
        let mut product = fixture::nested();
        assert!(
            told(&product).contains("toolpaths off, of outlines, of holes and of the first layer")
        );
        product.kit.correction = Correction {
            contour: Length::mm(0.05),
            hole: Length::ZERO,
            first_layer: Length::mm(0.2),
        };
        let told = told(&product);
        for set in [
            "outlines moved inwards by 0.05 mm",
            "holes widened a side by nothing",
            "the first layer moved inwards by 0.2 mm",
        ] {
            assert!(told.contains(set), "{set}: {told}");
        }
        assert!(!told.contains("toolpaths off"));
    }
}
