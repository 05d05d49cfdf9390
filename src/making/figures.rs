//! What is known of a kit without its meshes, as the outputs read it: motion, joints, odds.

use crate::assembly::{Assembly, InstanceId};
use crate::kit::{Kit, word};
use crate::layout::Design;
use crate::load::{self, Case};
use crate::motion::{self, MotionSummary, PowerTrain, StrokeRates};
use crate::output::kit::{
    Interval, JointFigures, KitFacts, MotionFigures, OddsFigures, PreloadMotion,
};
use crate::printer::{self, LayeredThread, Profile};
use crate::units::{Force, Length};

/// What is lost at a reversal, by carriage.
pub(super) struct Plays {
    pub(super) leading: printer::Plays,
    /// Turns that other carriages lose.
    others: Vec<(InstanceId, Interval)>,
}

impl Plays {
    pub(super) fn of(profile: &Profile, design: &Design, rates: &StrokeRates) -> Self {
        let assembly = &design.assembly;
        let swings = design.swings(motion::carried_on);
        let of = |carriage| {
            let beside = motion::beside(assembly, carriage);
            printer::plays(assembly, profile, &swings, &beside)
        };
        let others = assembly.carriages.others.iter().filter_map(|carriage| {
            let lead = rates.of(*carriage).advance.abs();
            let [low, nominal, high] = of(*carriage).sum.map(|play| play / lead);
            let lost = Interval { low, nominal, high };
            (lead > Length::ZERO).then_some((*carriage, lost))
        });
        Self {
            leading: of(assembly.carriages.leading),
            others: others.collect(),
        }
    }
}

/// How it moves as a whole, with what it is driven by, and whether its threads hold a load by themselves.
pub(super) fn moved(
    kit: &Kit,
    profile: &Profile,
    (design, rates): (&Design, &StrokeRates),
    plays: &Plays,
    (train, holds): (&PowerTrain, bool),
) -> MotionFigures {
    // What is pushed goes against the spring.
    let spring = design.members.preload.as_ref();
    let spring = spring.map_or(Force::ZERO, |spring| spring.most());
    let load = kit.load.force.as_ref().map(|load| load.value + spring);
    let lost = Some(plays.leading.sum);
    let summary = MotionSummary::new(rates, &design.course, lost, train, load);
    MotionFigures {
        net_lead: summary.net_lead,
        turning: summary.direction,
        lost_motion_turns: summary.lost_motion.map(|lost| Interval {
            low: lost.low.turns,
            nominal: lost.nominal.turns,
            high: lost.high.turns,
        }),
        self_locking: Some(holds),
        torque: summary.torque,
        efficiency: summary.efficiency,
        preload: preloaded(kit, profile, design, rates),
        lost_beside: plays.others.clone(),
        closing_per_turn: rates.closing(&design.assembly.carriages),
    }
}

/// What is known of each joint.
pub(super) fn joints(
    layer: Length,
    profile: &Profile,
    design: &Design,
    rates: &StrokeRates,
    plays: Vec<Option<[Length; 3]>>,
) -> Vec<JointFigures> {
    let assembly = &design.assembly;
    let printed = printer::judged(assembly, profile);
    let all = assembly.joints.iter().zip(printed).zip(plays);
    let figures = all.map(|((joint, printed), play)| {
        let [a, b] = joint.between.map(|piece| rates.of(piece));
        let thread = joint.thread.as_ref();
        JointFigures {
            thread: thread.map(|threads| threads.thread.designation()),
            engagement: thread.map(|threads| threads.least_engagement(a, b, &design.course)),
            printed,
            layered: LayeredThread::of_joint(assembly, joint, layer, profile),
            play,
            shapes: Vec::new(),
        }
    });
    figures.collect()
}

/// What the kit's spring does; none where it has none.
fn preloaded(
    kit: &Kit,
    profile: &Profile,
    design: &Design,
    rates: &StrokeRates,
) -> Option<PreloadMotion> {
    let spring = design.members.preload.as_ref()?;
    let case = Case {
        kit,
        profile,
        design,
        rates,
    };
    let assembly = &design.assembly;
    let swings = design.swings_under_preload(motion::carried_on);
    let beside = motion::beside(assembly, assembly.carriages.leading);
    let left = printer::plays(assembly, profile, &swings, &beside).turned;
    let lead = rates.net_lead().abs();
    let [low, nominal, high] = left.map(|left| left / lead);
    Some(PreloadMotion {
        figures: load::preload(&case)?,
        rate: spring.coil.rate(),
        lengths: [spring.at_zero, spring.at_end, spring.at_stop],
        solid: spring.coil.solid(),
        lost_motion_turns: (lead > Length::ZERO).then_some(Interval { low, nominal, high }),
    })
}

/// What becomes of the kit's copies; none where no gap scatters.
pub(super) fn odds(assembly: &Assembly, profile: &Profile) -> Option<OddsFigures> {
    let of = |profile: &Profile| printer::kit_odds(assembly, profile, printer::POINTS);
    let (now, known) = rayon::join(|| of(profile), || of(&profile.with_terms_known()));
    (now.fits > 0).then_some(OddsFigures {
        now,
        known,
        tuned: profile.prints > 0,
        quick_pieces: None,
    })
}

/// What the outputs say of a kit.
pub(super) fn kit_facts(kit: &Kit, profile: &Profile) -> KitFacts {
    let waivers = kit.waive.iter();
    KitFacts {
        name: kit.name.value.clone(),
        inches: kit.inches,
        layout: kit.mechanism.word(),
        end: word(*kit.end),
        mount: word(*kit.mount),
        material: kit.material.value,
        gentle: kit.gentle(),
        layer: kit.layer.value,
        line: kit.line.value,
        greased: *kit.grease,
        tolerance: kit.tolerance.value,
        correction: profile.correction,
        waivers: waivers
            .map(|waiver| (waiver.check.value.clone(), waiver.reason.value.clone()))
            .collect(),
    }
}
