//! Bench aids in words: what each is for, in which step it is used, and what there is none for.

use super::product::{BenchAid, Product};
use crate::aid::{Gauging, LeftOut, NoGauge, Place, Purpose, Resting};
use crate::assembly::{InstanceId, Made, Step};
use crate::layout::Between;
use crate::layout::proportions::BELOW_FACE;
use crate::output::words::{capital, plain};
use crate::sequence::Speaker;
use crate::units::Length;
use crate::units_told::number;

/// Decimals of a millimetre at the bench.
const BENCH: usize = 1;

/// What one is for, in a clause: `to lie under the frame while pins are pressed`.
pub fn purpose(product: &Product, aid: &BenchAid) -> String {
    let speaker = speaker(product);
    let pins = |places: &[Place]| {
        let mut pins: Vec<InstanceId> = places.iter().map(|place| place.pin).collect();
        pins.sort_unstable();
        speaker.names(&pins)
    };
    match &aid.aid.purpose {
        Purpose::Rest(resting) => format!(
            "two carry the frame while these are pressed: {}",
            speaker.names(&resting.pins)
        ),
        Purpose::EarRest(places) => format!(
            "stands between the rests, under the ear of a carriage, while these are pressed: {}",
            pins(places)
        ),
        Purpose::ShaftRest(place) => format!(
            "stands under the shaft while {} is pressed, in place of a strip of wood",
            speaker.name(place.pin)
        ),
        Purpose::PinGuide { places, .. } => format!(
            "keeps the punch upright over these, and tells how deep it goes: {}",
            pins(places)
        ),
        Purpose::Gauge(gauging) => format!(
            "for the last step's distance: {} goes in, {} does not",
            product.kit.told().length(gauging.lengths[0], BENCH),
            product.kit.told().length(gauging.lengths[1], BENCH)
        ),
    }
}

/// How aids are used in a step; empty in one that needs none.
pub fn in_step(product: &Product, step: &Step, is_last: bool) -> Vec<String> {
    let told = product
        .bench_aids()
        .filter_map(|aid| used(product, aid, step, is_last));
    told.map(|told| plain(&told)).collect()
}

fn used(product: &Product, aid: &BenchAid, step: &Step, is_last: bool) -> Option<String> {
    let file = aid.file();
    let here = |places: &[Place]| {
        let mut places = places.iter();
        places
            .find(|place| step.pieces.contains(&place.pin))
            .cloned()
    };
    match &aid.aid.purpose {
        Purpose::Rest(resting) => rest(product, resting, step, &file),
        Purpose::EarRest(places) => here(places).map(|_| {
            format!(
                "Stand the ear rest (`{file}`) under the ear that the pin goes into last, between the rests, \
                 its pad against the ear's end and a hole under each pin: the pad carries the push, not \
                 the slide."
            )
        }),
        Purpose::ShaftRest(place) => here(std::slice::from_ref(place)).map(|_| {
            format!(
                "The shaft rest (`{file}`) takes the place of the strip of wood: let it down through the slot, \
                 lying along it, pass it beside the shaft and push it under. Draw it out again afterwards, \
                 before anything is turned."
            )
        }),
        Purpose::PinGuide { places, height } => {
            here(places).map(|place| guide(product, *height, place.pin, &file))
        }
        Purpose::Gauge(gauging) => is_last.then(|| gauge(product, gauging, &file)),
    }
}

fn rest(product: &Product, resting: &Resting, step: &Step, file: &str) -> Option<String> {
    let mut places = resting.places.iter();
    let place = places.find(|place| step.pieces.contains(&place.pin))?;
    let assembly = &product.design.assembly;
    let mut joints = assembly.joints.iter();
    let held = joints.any(|joint| joint.between == [place.pin, assembly.frame]);
    let under = match held {
        true => "one right under the pin, so that it ends over a hole",
        false => "one just behind where the pin goes",
    };
    Some(format!(
        "Lay the frame on the two rests (`{file}`), the side where the pin goes in up: {under}, the other as far \
         from it as the frame reaches. What stands out beside or beyond the frame hangs free."
    ))
}

fn guide(product: &Product, height: Length, pin: InstanceId, file: &str) -> String {
    let told = product.kit.told();
    let depth = match &product.design.assembly.part_of(pin).made {
        Made::Printed => format!(
            "Wind tape around the punch {} from its end and stop when the tape meets the guide's top: then the \
             pin's end lies {} below the frame's face.",
            told.length(height + BELOW_FACE, BENCH),
            told.length(BELOW_FACE, BENCH)
        ),
        Made::Bought(_) => "Lift it off to measure both ends.".into(),
    };
    format!(
        "If you tap and do not press: slip the pin guide (`{file}`) over the pin, its foot flat on the frame, \
         the longer side across the slot, and drive the pin with the punch through it. {depth} Hold it by its \
         foot, no finger on its top or under it, and lift it off upwards."
    )
}

fn gauge(product: &Product, gauging: &Gauging, file: &str) -> String {
    let told = product.kit.told();
    let how = match product.design.last_check.between {
        Between::FrameAnd(underside) => format!(
            "stand its straight side on the frame beside the drive screw and push it in between the frame and {underside}"
        ),
        Between::Carriages => {
            "let it down between the carriages through the slot, its straight side on one of them"
                .into()
        }
    };
    format!(
        "Or try the distance with the gauge (`{file}`): {how}. It must go in as far as its step and no further. \
         If it does not go in, the distance is too small; if it goes in beyond the step, too large. Its \
         lengths, {} and {}, are good to {} either way in 19 of 20 prints: where it only just goes, measure.",
        told.length(gauging.lengths[0], BENCH),
        told.length(gauging.lengths[1], BENCH),
        told.length(gauging.error, 2)
    )
}

/// How pins are driven out over the rests; none without rests that have holes under pins of the frame.
pub fn out(product: &Product) -> Option<String> {
    let assembly = &product.design.assembly;
    let mut rests = product
        .bench_aids()
        .filter_map(|aid| match &aid.aid.purpose {
            Purpose::Rest(resting) => Some((resting, aid.file())),
            Purpose::EarRest(_)
            | Purpose::ShaftRest(_)
            | Purpose::PinGuide { .. }
            | Purpose::Gauge(_) => None,
        });
    let held = |pin: &InstanceId| {
        let mut joints = assembly.joints.iter();
        joints.any(|joint| joint.between == [*pin, assembly.frame])
    };
    rests.find_map(|(resting, file)| {
        let pins = resting.places.iter().map(|place| place.pin);
        let mut pins: Vec<InstanceId> = pins.filter(held).collect();
        pins.sort_unstable();
        (!pins.is_empty()).then(|| {
            plain(&format!(
                "On the rests (`{file}`): for {} the frame lies on both, and each pin ends over a hole. To drive \
                 one out turn the frame over onto the side where it went in, and the rest under the pin end for \
                 end: the pin comes down into the hole until it is loose, and is drawn by hand.",
                speaker(product).names(&pins)
            ))
        })
    })
}

/// What there is no aid for, and why.
pub fn left_out(product: &Product) -> Vec<String> {
    let Some(aids) = &product.aids else {
        return Vec::new();
    };
    let left = aids.left_out.iter().map(|left| missing(product, left));
    let refused = aids
        .refused
        .iter()
        .map(|(called, why)| format!("No {called}: {why}."));
    left.chain(refused).map(|line| plain(&line)).collect()
}

fn missing(product: &Product, left: &LeftOut) -> String {
    let speaker = speaker(product);
    let told = product.kit.told();
    match left {
        LeftOut::NoPins => "No pins are pressed into anything: no rest and no guide is needed.".into(),
        LeftOut::Rest(pins) => format!(
            "No rests for {}: the frame lies by itself on its foot there, or too much stands out beside it.",
            speaker.names(pins)
        ),
        LeftOut::ShaftRest(pin) => format!(
            "No rest under the shaft for {}: a bar that stands has no way there.",
            speaker.name(*pin)
        ),
        LeftOut::EarRest(pins) => format!(
            "No rest under the ear for {}: nothing that stands comes under it there.",
            speaker.names(pins)
        ),
        LeftOut::PinGuide(pins) => format!(
            "No guide for {}: it goes in too deep below the frame's face, or something stands beside it.",
            speaker.names(pins)
        ),
        LeftOut::Gauge(NoGauge::Coarse(error)) => {
            let [least, most] = product.design.last_check.window;
            format!(
                "No gauge for the last step's distance, {}: a print of it is good to {} either way in 19 of 20 \
                 prints, and half of what is right is only {} wide; it should be {} times that. Measure with \
                 the caliper.",
                told.between(least, most, BENCH),
                told.length(*error, 2),
                told.length((most - least) / 2.0, 2),
                number(crate::aid::BETTER, 0)
            )
        }
        LeftOut::Gauge(NoGauge::NoRoom) => {
            "No gauge for the last step's distance: no plate comes far enough between its faces. Measure with the \
             caliper."
                .into()
        }
    }
}

/// Whether any were asked for.
pub fn are_wanted(product: &Product) -> bool {
    product.aids.is_some()
}

/// A heading for one: `Rest`.
pub fn title(aid: &BenchAid) -> String {
    capital(aid.aid.part.called)
}

fn speaker(product: &Product) -> Speaker<'_> {
    Speaker {
        assembly: &product.design.assembly,
        told: product.kit.told(),
    }
}
