//! A thread's flank hangs over by 60 degrees: each layer must find enough of the one below.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use super::typed::HUNDREDTH;
use crate::load::{Case, Change};
use crate::printer::{layer_of_overlap, line_overlap};
use crate::thread::Thread;
use crate::units::Length;

/// Rule: how far each layer of a flank rests on the line below it.
pub(super) const RULE: Rule = Rule {
    id: "layer-support",
    about: "the layers of a thread's flank hardly rest on each other",
    why: "The flank that looks down steps out by 1.732 layer heights with every layer. A line \
          that hangs in the air curls and droops, and the flank comes out ragged.",
    formula: "1 - 1.732 h / w of the layer height h and the line width w, for flanks of 30 \
              degrees. Fails below 5 percent, warns below 20, a note below 44.",
    source: "derived: step of a 30 degree flank, h / tan 30 deg; 44 percent is what a 45 degree \
             wall has at layers of 0.25 on a line of 0.45, known to print; the others: guess",
    mend: "print thinner layers, or lines as wide as the nozzle lays",
    judge: Judge::Design(judge),
};

/// Least share of the line that rests. Guess.
const LEAST: f64 = 0.05;
/// Below this it may droop. Guess.
const POOR: f64 = 0.20;
/// From here flanks are known to print: a 45 degree wall at 0.25 on 0.45 (derived).
const KNOWN: f64 = 0.44;
/// How much wider than it is a line is proposed: a nozzle lays lines from 1.125 of its diameter, as the default
/// of `line` has it, to 1.5 (common practice). Wider ones ask for another nozzle, and thin the walls out.
const WIDENED: f64 = 1.5 / 1.125;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let kit = case.kit;
    let (layer, line) = (*kit.layer, *kit.line);
    // All threads of a kit share layer and line; the deepest hangs out farthest.
    let joints = case.design.assembly.thread_joints();
    let threads = joints.map(|(_, _, threads)| &threads.thread);
    let deepest = |a: &&Thread, b: &&Thread| a.depth().as_mm().total_cmp(&b.depth().as_mm());
    let Some(thread) = threads.max_by(deepest) else {
        return Vec::new();
    };
    let form = thread.form();
    let share = line_overlap(&form, layer, line);
    let aim = if share < POOR { POOR } else { KNOWN };
    let known = layer_of_overlap(&form, KNOWN, line).down_to(HUNDREDTH);
    let enough = layer_of_overlap(&form, aim, line).down_to(HUNDREDTH);
    let percent = |share: f64| 100.0 * share;
    let wider = (layer / layer_of_overlap(&form, aim, Length::mm(1.0))).max(0.0);
    let wider = Length::mm(wider).up_to(HUNDREDTH);
    let laid = wider <= line * WIDENED;
    let mend = Proposal::first_of([known, enough].map(Change::Layer));
    vec![Judgement {
        outcome: not_below(share, LEAST, POOR, KNOWN),
        subject: Subject::Layer,
        value: share,
        limit: Some(LEAST),
        unit: "1",
        message: format!(
            "a layer of {} steps out by {} on a thread's flank, and {:.0} % of its line of {} \
             rests on the one below; at least {:.0} %, better {:.0} %; {} hangs out by {} in all",
            case.length(layer),
            case.length(layer / form.flank_angle().tan()),
            percent(share.max(0.0)),
            case.length(line),
            percent(LEAST),
            percent(KNOWN),
            thread.designation(),
            case.length(thread.depth())
        ),
        mend: Some(mend.or_first_of(laid.then_some(Change::Line(wider))).into()),
        at: kit.layer.at.clone(),
    }]
}
