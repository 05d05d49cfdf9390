//! The way apart, in sentences: the order that was found, pins in and out, and what crush ribs do the
//! second time.
//!
//! Which side a pin goes in at, and so which side is laid on something, follows from the motion that
//! was found for it; the punch is the one among the tools.

use super::product::Product;
use crate::assembly::{Fit, InstanceId, Made, Motion, MotionKind, PIN_PUNCH};
use crate::layout::proportions::BELOW_FACE;
use crate::output::words::{capital, plain};
use crate::sequence::{Order, Removed, Speaker};
use crate::units::Length;
use crate::units_told::turn;

/// Decimals of a turn.
const TURN: usize = 2;
/// Decimals of a millimetre at the bench.
const BENCH: usize = 1;

/// The removals in their order, each in sentences; empty where no order was found.
pub(crate) fn way(product: &Product) -> Vec<String> {
    let Some(Order::Apart { removals, .. }) = &product.order else {
        return Vec::new();
    };
    removals
        .iter()
        .map(|removed| removal(product, removed))
        .collect()
}

/// How it lies while it is taken apart, and from where on; none where no order was found.
pub(crate) fn begin(product: &Product) -> Option<String> {
    let Some(Order::Apart { up, .. }) = &product.order else {
        return None;
    };
    let lies = speaker(product).lies(*up);
    Some(format!(
        "The way apart is the way together read backwards. Release the load, take it off what it is bolted \
         or clamped to, go to turn 0 by the marks, and wear eye protection. Keep the frame {lies}, so that \
         nothing slides out; where a pin is driven, lay it as Pins, in and out tells."
    ))
}

fn removal(product: &Product, removed: &Removed) -> String {
    let speaker = speaker(product);
    let way = match removed.motion.kind {
        MotionKind::Helical => unscrewed(&speaker, removed.motion),
        MotionKind::Straight | MotionKind::Driven => speaker.way(removed.motion),
    };
    let what = match removed.motion.kind {
        MotionKind::Driven => format!(
            "{}, from {} to {}",
            capital(&way),
            turn(removed.turn, TURN),
            turn(removed.turn_after, TURN)
        ),
        MotionKind::Straight | MotionKind::Helical => {
            format!("{}: {way}", capital(&speaker.names(&removed.pieces)))
        }
    };
    let bench = match removed.group {
        Some(_) => ", on the bench",
        None => "",
    };
    let more = match pin_of(product, removed) {
        Some(pin) => format!(" {}", out(product, pin)),
        None => String::new(),
    };
    plain(&format!("{what}{bench}.{more}"))
}

/// How a screw comes out, for an eye on the side of the hand that turns it: what leaves away from the
/// drive head is held by its far end.
fn unscrewed(speaker: &Speaker<'_>, motion: Motion) -> String {
    let far = motion.distance.as_mm() > 0.0;
    let seen = Motion {
        turns: if far {
            0.0 - motion.turns
        } else {
            motion.turns
        },
        ..motion
    };
    let from = match far {
        true => "the end that comes out first",
        false => "the drive head",
    };
    format!("{}, seen from {from}", speaker.way(seen))
}

/// The pressed pin that a removal takes out alone; none where it takes something else.
fn pin_of(product: &Product, removed: &Removed) -> Option<InstanceId> {
    let [piece] = removed.pieces.as_slice() else {
        return None;
    };
    is_pressed(product, *piece).then_some(*piece)
}

/// Whether a piece is pressed into another.
fn is_pressed(product: &Product, piece: InstanceId) -> bool {
    let mut joints = product.design.assembly.joints.iter();
    joints.any(|joint| joint.fit == Fit::Press && joint.between[0] == piece)
}

/// How a pin is driven out.
fn out(product: &Product, pin: InstanceId) -> String {
    let mut own = product.design.script.apart.iter();
    match own.find(|way| way.piece == pin) {
        Some(way) => way.text.clone(),
        None => "Drive it with the punch, from the other end.".into(),
    }
}

/// Pins in and out: what is laid under, how they are set, and by which side each of them goes.
pub(crate) fn pins(product: &Product) -> Vec<String> {
    let Some(Order::Apart { removals, .. }) = &product.order else {
        return Vec::new();
    };
    let pins: Vec<(InstanceId, &Removed)> = removals
        .iter()
        .filter_map(|removed| Some((pin_of(product, removed)?, removed)))
        .collect();
    if pins.is_empty() {
        return Vec::new();
    }
    let mut lines: Vec<String> = punch(product).into_iter().collect();
    lines.push(
        "In: lay the side that is opposite to where the pin goes in on a flat of wood, and press or tap \
         until its end is level with the face. Neither vice nor mallet gets it further: the punch does."
            .into(),
    );
    lines.extend(blocked(product, &pins));
    lines.push(set(product, &pins));
    lines.push(
        "Out: the way it came in. Lay the side where it went in on the open jaws of the vice or on wood \
         with a hole under the pin, and drive it with the punch from the opposite side. Nobody's hand \
         or eye is in its way."
            .into(),
    );
    lines.extend(
        pins.iter()
            .map(|(pin, removed)| side(product, *pin, removed)),
    );
    lines
}

/// The punch, as the tools have it.
fn punch(product: &Product) -> Option<String> {
    let mut tools = product.design.tools.iter();
    let tool = tools.find(|tool| tool.name == PIN_PUNCH)?;
    Some(format!(
        "{}: {}.",
        capital(&tool.name),
        plain(&tool.description)
    ))
}

/// Something that stands out further than this beside the faces where a pin ends keeps them off a flat
/// support, in mm. Guess: more than a chamfer and the depth of the ends.
const STANDS_OUT: f64 = 3.0;

/// What to lay under and between, where what holds pins stands out beyond both faces at which they end.
fn blocked(product: &Product, pins: &[(InstanceId, &Removed)]) -> Option<String> {
    let assembly = &product.design.assembly;
    let around = |piece: InstanceId| {
        let placed = assembly.instance(piece);
        let mesh = product.bodies.get(placed.part.0)?.mesh();
        Some(mesh.placed(&placed.pose).bounds())
    };
    let standing_out = pins.iter().filter_map(|(pin, removed)| {
        let mut joints = assembly.joints.iter();
        let held = joints.find(|joint| joint.fit == Fit::Press && joint.between[0] == *pin)?;
        let holder = held.between[1];
        let axis = removed.motion.axis.index();
        let ([inner_low, inner_high], [low, high]) = (around(*pin)?, around(holder)?);
        let least = (inner_low[axis] - low[axis]).min(high[axis] - inner_high[axis]);
        (least > STANDS_OUT).then_some((holder, least))
    });
    let (holder, by) = standing_out.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(format!(
        "The {} stands up to {} beyond the faces where pins end: lay a block of wood thicker than that \
         between face and support, clear of the pin, and press with another between face and jaw.",
        plain(assembly.part_of(holder).called),
        product.kit.told().length(Length::mm(by), BENCH)
    ))
}

/// How the ends come to lie below the faces: printed pins are made for it, bought ones come in lengths
/// from stock.
fn set(product: &Product, pins: &[(InstanceId, &Removed)]) -> String {
    let assembly = &product.design.assembly;
    let bought = |(pin, _): &(InstanceId, &Removed)| match &assembly.part_of(*pin).made {
        Made::Printed => false,
        Made::Bought(_) => true,
    };
    let below = product.kit.told().length(BELOW_FACE, BENCH);
    let printed = format!(
        "wind tape around the punch {below} from its end, and stop when the tape meets the face: then \
         both ends lie {below} below"
    );
    let stock =
        "measure both ends with the caliper's depth rod, and stop when they lie equally deep";
    match (pins.iter().any(bought), pins.iter().all(bought)) {
        (_, true) => format!("Set: {stock}."),
        (true, false) => format!("Set: of a printed pin {printed}; of a bought one {stock}."),
        (false, _) => format!("Set: {printed}."),
    }
}

/// Where one pin goes in, and so what is laid on the support.
fn side(product: &Product, pin: InstanceId, removed: &Removed) -> String {
    let assembly = &product.design.assembly;
    let name = capital(&speaker(product).name(pin));
    if let Some(own) = product
        .design
        .script
        .apart
        .iter()
        .find(|way| way.piece == pin)
    {
        return plain(&format!("{name}, out: {}", own.text));
    }
    let [back, ahead] = assembly.sides.towards[removed.motion.axis.index()];
    let [out, into] = match removed.motion.distance.as_mm() >= 0.0 {
        true => [ahead, back],
        false => [back, ahead],
    };
    if out != into {
        return plain(&format!("{name}: in {into}, out {out}."));
    }
    // Both ways have one name: the mark of what holds it tells them apart.
    let mut joints = assembly.joints.iter();
    let held = joints.find(|joint| joint.fit == Fit::Press && joint.between[0] == pin);
    let mark = held.map_or(String::new(), |joint| {
        let holder = assembly.part_of(joint.between[1]);
        format!(
            ", that of the mark on the {} ({})",
            holder.called, holder.mark
        )
    });
    plain(&format!("{name}: in and out by one side{mark}."))
}

/// What ribs do the second time, and what goes in then; empty where nothing is pressed.
pub(crate) fn second_time(product: &Product) -> Vec<String> {
    let assembly = &product.design.assembly;
    let pressed: Vec<_> = assembly
        .joints
        .iter()
        .filter(|joint| joint.fit == Fit::Press)
        .collect();
    if pressed.is_empty() {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let ribbed = |ribs: bool| {
        let of = pressed.iter().filter(|joint| {
            let gap = joint.gap;
            gap.is_some_and(|gap| gap.ribs.is_some()) == ribs
        });
        let mut names: Vec<InstanceId> = of.map(|joint| joint.between[0]).collect();
        names.sort_unstable();
        names.dedup();
        names
    };
    let (with, without) = (ribbed(true), ribbed(false));
    if !with.is_empty() {
        lines.push(format!(
            "Crush ribs have taken the form of the first pin and hold less the second time. That is so of \
             {}.",
            speaker(product).names(&with)
        ));
    }
    if !without.is_empty() {
        lines.push(format!(
            "A wall that held a pin holds a little less the second time: {}.",
            speaker(product).names(&without)
        ));
    }
    let mut all: Vec<InstanceId> = pressed.iter().map(|joint| joint.between[0]).collect();
    all.sort_unstable();
    all.dedup();
    let graded = |pin: &InstanceId| assembly.shifts(*pin).len() > 1;
    let bought = |pin: &InstanceId| matches!(assembly.part_of(*pin).made, Made::Bought(_));
    let of = |is: &dyn Fn(&InstanceId) -> bool| {
        let some: Vec<InstanceId> = all.iter().copied().filter(|pin| is(pin)).collect();
        (!some.is_empty()).then(|| speaker(product).names(&some))
    };
    if let Some(names) = of(&graded) {
        lines.push(format!(
            "For {names} take the next thicker grade: after the one with a notch the one without, after \
             that the one with two. Where the thickest was in already, glue it or wrap it in a turn of \
             tape, or print what holds it again."
        ));
    }
    if let Some(names) = of(&|pin| bought(pin)) {
        lines.push(format!(
            "For {names} the dowel goes back where it was. If it slips in by thumb, glue it or wrap it in \
             a turn of tape, or print what holds it again."
        ));
    }
    if let Some(names) = of(&|pin| !graded(pin) && !bought(pin)) {
        lines.push(format!(
            "For {names} take a spare. If it slips in by thumb, glue it or wrap it in a turn of tape, or \
             print what holds it again."
        ));
    }
    lines.iter().map(|line| plain(line)).collect()
}

fn speaker(product: &Product) -> Speaker<'_> {
    Speaker {
        assembly: &product.design.assembly,
        told: product.kit.told(),
    }
}
