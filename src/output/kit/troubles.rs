//! What may go wrong at the bench, and what to do: where to look, which key of the kit to change, what
//! to print again.
//!
//! All of it is worded from the kit's own joints, gaps, distances and threads, so that a key that is
//! named is one of the kit's and a part that is named is in it.

use super::product::{JointFigures, Product};
use super::sentences::CALIPER;
use crate::assembly::{Asked, Assembly, Fit, Joint, Made, PartId, TAKING_APART};
use crate::output::words::plain;
use crate::units::Length;
use crate::units_told::number;

/// One way in which it goes wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Trouble {
    /// What a hand notices: `It binds`.
    pub what: &'static str,
    /// What to look at first, in sentences.
    pub look: Vec<String>,
    /// What of the kit to change, and what to print again then.
    pub mends: Vec<Mend>,
}

/// A change of the kit and what it asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// What it is about, and which way: `the drive screw in the frame: more than the 0.1 mm of now`.
    pub about: String,
    /// The key, as a kit's file has it: `gaps.joint."drive/frame"`.
    pub key: String,
    /// The parts that are printed again.
    pub reprint: Vec<PartId>,
}

impl Mend {
    /// In a sentence.
    fn told(&self, assembly: &Assembly) -> String {
        let parts = self
            .reprint
            .iter()
            .map(|part| plain(assembly.part_called(*part)));
        format!(
            "{}: `{}`; reprint {}.",
            plain(&self.about),
            self.key,
            parts.collect::<Vec<_>>().join(", ")
        )
    }
}

impl Trouble {
    /// In sentences: what to look at, then what to change.
    pub fn told(&self, assembly: &Assembly) -> Vec<String> {
        let mends = self.mends.iter().map(|mend| mend.told(assembly));
        self.look.iter().cloned().chain(mends).collect()
    }
}

/// Ten pitches are measured at once: a rule then tells a pitch to a tenth of its division (common
/// practice).
const PITCHES: f64 = 10.0;

/// The troubles of a kit, the commonest first.
pub fn troubles(product: &Product) -> Vec<Trouble> {
    let mut all = vec![binds(product), rattles(product)];
    all.extend(loose_pin(product));
    all.extend(stuck(product));
    all.push(travel(product));
    all
}

/// What has a fit by which it moves or goes in by hand.
fn by_hand(fit: Fit) -> bool {
    match fit {
        Fit::Thread | Fit::Slide | Fit::Swivel | Fit::Locate => true,
        Fit::Press | Fit::Seat | Fit::Stop => false,
    }
}

fn binds(product: &Product) -> Trouble {
    let mut look = vec![
        format!(
            "Find out which pair it is before anything is changed: take it apart as far as that needs (see \
             {TAKING_APART}), and try each pair alone by hand."
        ),
        "Dust, strings, the flare of the first layer and the seam bind first: scrape, brush, run it in \
         again."
            .into(),
    ];
    look.push(
        "What binds only when all is together stands askew: a pin that is not all the way in, a keeper \
         that does not lie flat."
            .into(),
    );
    Trouble {
        what: "It binds",
        look,
        mends: gaps(product, by_hand, "more than"),
    }
}

fn rattles(product: &Product) -> Trouble {
    Trouble {
        what: "It rattles, or loses too much at a reversal",
        look: vec![
            "Some play is meant: a reversal loses what is told under Motion. Come to every place from one \
             side, and it is not felt."
                .into(),
            "Hold the carriage and the drive head and shake: feel which pair moves.".into(),
        ],
        mends: gaps(product, plays, "less than"),
    }
}

/// Which fits' play is felt along the axis or as a rattle.
fn plays(fit: Fit) -> bool {
    match fit {
        Fit::Thread | Fit::Slide | Fit::Swivel => true,
        Fit::Locate | Fit::Press | Fit::Seat | Fit::Stop => false,
    }
}

/// A gap of each joint of some fits, to be more or less.
fn gaps(product: &Product, of: fn(Fit) -> bool, way: &str) -> Vec<Mend> {
    let joints = product.design.assembly.joints.iter();
    let mends = joints
        .zip(&product.joints)
        .filter(|(joint, _)| of(joint.fit));
    mends
        .filter_map(|(joint, figures)| gap(product, joint, figures, way))
        .collect()
}

/// The gap of one joint by itself, to be more or less.
fn gap(product: &Product, joint: &Joint, figures: &JointFigures, way: &str) -> Option<Mend> {
    let assembly = &product.design.assembly;
    let gap = joint.gap.as_ref()?;
    if figures.shapes.is_empty() {
        return None;
    }
    let [male, female] = joint
        .between
        .map(|piece| plain(&assembly.instance(piece).called));
    let now = product.kit.told().length(gap.wanted, CALIPER);
    Some(Mend {
        about: format!("{male} in {female}, {way} the {now} of now"),
        key: Asked::own_path(&joint.name),
        reprint: figures.shapes.clone(),
    })
}

fn loose_pin(product: &Product) -> Option<Trouble> {
    let assembly = &product.design.assembly;
    let mends = gaps(product, |fit| fit == Fit::Press, "less than");
    if mends.is_empty() {
        return None;
    }
    let graded = assembly.parts.iter().find(|part| {
        let grade = part.grade;
        grade.is_some_and(|grade| grade.shift > Length::ZERO)
    });
    let mut look = Vec::new();
    if let Some(thicker) = graded {
        look.push(format!(
            "Take the {} first: {}.",
            plain(thicker.called),
            plain(&thicker.mark)
        ));
    }
    look.push(
        "Look whether its hole was greased, or crushed by a pin before: wipe it dry, then glue the pin or \
         wrap it in a turn of tape."
            .into(),
    );
    look.push(format!(
        "A pin that will not go in wants the opposite: the thinner grade where there is one, else more \
         of the same gap. How a pin comes out is told under {TAKING_APART}."
    ));
    Some(Trouble {
        what: "A pin is loose",
        look,
        mends,
    })
}

/// A head that was turned onto the frame; none where nothing of it can touch.
fn stuck(product: &Product) -> Option<Trouble> {
    let assembly = &product.design.assembly;
    let mends: Vec<Mend> = product
        .design
        .distances
        .iter()
        .filter_map(|distance| {
            (assembly.part(distance.part).made == Made::Printed).then_some(())?;
            Some(Mend {
                about: format!("room between {} hangs on", distance.between),
                key: distance.blame.first()?.as_str().into(),
                reprint: vec![distance.part],
            })
        })
        .collect();
    let turns = product.design.course.turns;
    (!mends.is_empty()).then(|| Trouble {
        what: "The head or a screw is stuck at an end",
        look: vec![
            "Turn it back by hand, the frame held in the other; no spanner, no pliers. If it stays, warm \
             the frame in the hand and try again."
                .into(),
            format!(
                "At both ends the carriage has to stop it. If something else did, a screw was started \
                 wrong, or it was turned past the {} turns of the stroke: measure again as in the last \
                 step, and begin again from there.",
                number(turns, 2)
            ),
            "Only where that step measured right, and the check of the stops still passes, is a size to \
             blame."
                .into(),
        ],
        mends,
    })
}

fn travel(product: &Product) -> Trouble {
    let (assembly, told) = (&product.design.assembly, product.kit.told());
    let mends = product.design.threads.iter().filter_map(|pair| {
        let joint = assembly.joints.get(pair.joint.0)?;
        let thread = &joint.thread.as_ref()?.thread;
        let screw = assembly.part_of(joint.between[0]);
        let long = told.length(thread.pitch() * PITCHES, CALIPER);
        (screw.made == Made::Printed).then(|| Mend {
            about: format!(
                "ten ridges of {} on the {} are {long} long; if not, its thread or its scale is another",
                thread.designation(),
                plain(screw.called)
            ),
            key: pair.key.as_str().into(),
            reprint: vec![assembly.instance(joint.between[0]).part],
        })
    });
    Trouble {
        what: "The travel is wrong",
        look: vec![
            "Count whole turns by the marks, from turn 0, in one direction: the first part of a turn after \
             a reversal moves nothing."
                .into(),
            "Measure several turns at once, and write turns and travel down: `netlead trial` says from \
             such rows what it is and how sure that is."
                .into(),
            "A print that was scaled or mirrored shows in every size of its box, which the bill has.".into(),
        ],
        mends: mends.collect(),
    }
}
