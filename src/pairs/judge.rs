//! Whether threads in a layout can be built: sized like any kit, and judged by every rule as far as
//! that is known without a mesh.

use super::base::Base;
use super::candidate::{Candidate, threads_of};
use super::wish::Wish;
use crate::check::{self, Foreseen, Outcome};
use crate::kit::Kit;
use crate::layout::{self, Design};
use crate::load::{Case, ForceFigures};
use crate::motion::{self, StrokeRates};
use crate::solid::expected_box;
use crate::units::{Force, Length};

/// How threads in a layout come out.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Nothing fails as far as sizes and motion tell.
    Buildable {
        /// Names of the rules that warn.
        warnings: Vec<&'static str>,
        /// Names of the rules that have something to note.
        notes: Vec<&'static str>,
    },
    /// Something keeps them from being built: the first reason.
    Fails(Reason),
}

impl Verdict {
    /// Whether nothing fails.
    pub fn is_buildable(&self) -> bool {
        match self {
            Self::Buildable { .. } => true,
            Self::Fails(_) => false,
        }
    }

    /// How many rules warn; of one that fails, more than any.
    pub(super) fn warnings(&self) -> usize {
        match self {
            Self::Buildable { warnings, .. } => warnings.len(),
            Self::Fails(_) => usize::MAX,
        }
    }
}

/// Why threads cannot be built.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// What stands against them.
    pub against: Against,
    /// In a sentence; lower case, no full stop.
    pub message: String,
    /// How many rules fail.
    pub failing: usize,
}

/// What stands against threads in a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// A rule, by its name.
    Rule(&'static str),
    /// They cannot be sized: one has no room in the other, or a part would have none.
    Size,
    /// There is not so much room as they take.
    Room,
}

/// What is known of threads in a layout before they are compared.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    pub(super) candidate: Candidate,
    pub(super) verdict: Verdict,
    /// Box around the whole through its stroke; none where it cannot be sized.
    pub(super) size: Option<[Length; 3]>,
    /// The thinnest wall between two threads, in printed lines.
    pub(super) wall: Option<f64>,
    /// Load for a short time.
    pub(super) safe_load: Option<Force>,
    /// Load over effort beside the plain screw, at the greatest friction.
    pub(super) times_plain: Option<f64>,
}

/// A kit with the threads in it, sized.
pub(super) struct Sized {
    pub(super) kit: Kit,
    pub(super) design: Design,
    pub(super) rates: StrokeRates,
}

impl Sized {
    /// Of threads in the kit of a wish.
    pub(super) fn of(base: &Base, candidate: &Candidate) -> Result<Self, Reason> {
        let mut kit = base.kit.clone();
        kit.mechanism = candidate.mechanism.clone();
        let refused = |message: String| Reason {
            against: Against::Size,
            message,
            failing: 1,
        };
        let design = layout::design(&kit, &base.profile).map_err(|problems| Reason {
            failing: problems.len(),
            ..refused(
                problems
                    .into_iter()
                    .map(|one| one.message)
                    .next()
                    .unwrap_or_default(),
            )
        })?;
        let rates = motion::solve_stroke(&design.assembly, design.net_lead)
            .map_err(|error| refused(error.to_string()))?;
        Ok(Self { kit, design, rates })
    }

    pub(super) fn case<'a>(&'a self, base: &'a Base) -> Case<'a> {
        Case {
            kit: &self.kit,
            profile: &base.profile,
            design: &self.design,
            rates: &self.rates,
        }
    }

    /// Sides of a box around all that is printed and bought, from turn 0 to the end of the stroke.
    fn room(&self) -> [Length; 3] {
        let assembly = &self.design.assembly;
        let ends = [0.0, self.design.course.turns];
        let boxes = assembly.parts_in_place().flat_map(|(piece, part, pose)| {
            let advance = self.rates.of(piece).advance;
            ends.map(|turns| {
                let pose = pose.shifted(Length::ZERO, Length::ZERO, advance * turns);
                expected_box(&part.shape, &pose)
            })
        });
        let around = boxes.reduce(|[low, high], [below, above]| {
            let least = [0, 1, 2].map(|axis| low[axis].min(below[axis]));
            let most = [0, 1, 2].map(|axis| high[axis].max(above[axis]));
            [least, most]
        });
        let [low, high] = around.unwrap_or_default();
        [0, 1, 2].map(|axis| Length::mm(high[axis] - low[axis]))
    }
}

/// Judges threads in a layout.
pub(super) fn judge(wish: &Wish, base: &Base, candidate: Candidate) -> Judged {
    let failed = |candidate, reason, size| Judged {
        candidate,
        verdict: Verdict::Fails(reason),
        size,
        wall: None,
        safe_load: None,
        times_plain: None,
    };
    // A gap that swallows the flanks needs no sizes to be seen.
    if let Some(reason) = swallowed(base, &candidate) {
        return failed(candidate, reason, None);
    }
    let sized = match Sized::of(base, &candidate) {
        Ok(sized) => sized,
        Err(reason) => return failed(candidate, reason, None),
    };
    let size = sized.room();
    if !wish.has_room_for(size) {
        return failed(candidate, no_room(&sized.kit, size), Some(size));
    }
    let case = sized.case(base);
    let force = check::force_figures(&case);
    let foreseen = check::foreseen(&case, force.as_ref());
    let thinnest = sized.design.members.walls.iter();
    let thinnest = thinnest.map(|wall| wall.thickness / *sized.kit.line);
    Judged {
        candidate,
        verdict: verdict(&foreseen),
        size: Some(size),
        wall: thinnest.reduce(f64::min),
        times_plain: force.as_ref().and_then(times_plain),
        safe_load: force.map(|force| force.safe_load),
    }
}

/// Why the drawn gap leaves too little of a thread; none where it leaves enough of each. The same rule
/// says the same of the sized kit, but a hundred times as slowly.
fn swallowed(base: &Base, candidate: &Candidate) -> Option<Reason> {
    let mut threads = threads_of(&candidate.mechanism).into_iter();
    threads.find_map(|thread| {
        let gap = base.drawn(thread);
        let most = check::most_gap(thread);
        (gap > most).then(|| Reason {
            against: Against::Rule(check::FLANK_OVERLAP),
            message: format!(
                "the drawn gap of {} is {}, more than {}: its flanks hardly meet",
                thread.designation(),
                base.kit.told().length(gap, 3),
                base.kit.told().length(most, 3),
            ),
            failing: 1,
        })
    })
}

fn no_room(kit: &Kit, size: [Length; 3]) -> Reason {
    let told = kit.told();
    let [x, y, z] = size.map(|side| told.length(side, 0));
    Reason {
        against: Against::Room,
        message: format!("it takes {x} by {y} by {z}, more room than there is"),
        failing: 1,
    }
}

/// What all rules say together.
fn verdict(foreseen: &[Foreseen]) -> Verdict {
    let of = |outcome: Outcome| {
        let mut ids: Vec<&'static str> = foreseen
            .iter()
            .filter(|one| one.outcome == outcome)
            .map(|one| one.id)
            .collect();
        ids.dedup();
        ids
    };
    let failing = of(Outcome::Fail);
    let first = foreseen.iter().find(|one| one.outcome == Outcome::Fail);
    match first {
        Some(first) => Verdict::Fails(Reason {
            against: Against::Rule(first.id),
            message: first.message.clone(),
            failing: failing.len(),
        }),
        None => Verdict::Buildable {
            warnings: of(Outcome::Warn),
            notes: of(Outcome::Note),
        },
    }
}

fn times_plain(force: &ForceFigures) -> Option<f64> {
    let [rough, _] = force.advantage;
    let [plain, _] = force.plain.as_ref()?.advantage;
    Some(rough / plain)
}
