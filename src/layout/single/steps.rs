//! The motions of assembling a single mechanism, worded for the bench.

use super::Single;
use super::pieces::Pieces;
use crate::assembly::Script;
use crate::layout::pressing::press;
use crate::layout::round_house::steps::{Bench, Tells};

impl Single<'_> {
    pub(super) fn bench<'b>(&'b self, pieces: &'b Pieces) -> Bench<'b> {
        Bench {
            kit: self.kit,
            house: &self.sizes.house,
            drive: &self.sizes.drive,
            stroke: &self.sizes.stroke,
            head: self.head.as_ref(),
            started: &pieces.started,
            closed: &pieces.closed,
        }
    }

    /// What it has to say.
    pub(super) fn script(&self, bench: &Bench<'_>, pieces: &Pieces) -> Script {
        let started = &pieces.started;
        let [one, other] = pieces.pins;
        let pins = press(
            "press the swivel pins",
            vec![one, other, started.carriage],
            format!(
                "Push both swivel pins through the frame's slot into the ear with the V{}, then \
                 press them on, one on each side of the drive screw's groove, into the other \
                 ear. {} The drive screw must still turn freely.",
                bench.flats(", their flats outwards"),
                bench.depth("their ends lie")
            ),
            "they pull the carriage along",
        );
        let over = "over the drive screw's tip, until the tip stands on the socket's floor";
        let mut wordings = Vec::new();
        for turn in bench.turns() {
            wordings.push(bench.start_drive(&[], "", turn));
            wordings.push(bench.carriage(over, turn));
            for pair in [[one, other], [other, one]] {
                wordings.push(bench.pins_in(&pair, pins.clone(), turn));
            }
        }
        for turn in bench.turns() {
            let more = [bench.nut(turn), bench.rod(turn), bench.yoke(turn)];
            wordings.extend(more.into_iter().flatten());
        }
        wordings.push(bench.to_zero());
        wordings.extend(bench.close());
        wordings.extend(bench.index());
        wordings.extend(bench.close_with_index());
        Script {
            before: vec![bench.prepare(
                vec![started.frame, started.drive],
                "the drive screw in the frame",
                "the drive screw's tip in the carriage's socket, ",
            )],
            wordings,
            after: vec![bench.check(&Tells::Nothing)],
            apart: Vec::new(),
        }
    }
}
