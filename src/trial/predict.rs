//! What a kit should do: net lead and lost motion with their uncertainty, and the leads that
//! it would have if it had been made or counted another way.
//!
//! No layout has a formula here. A rival lead is found by changing one thread of the joint
//! graph and solving it anew.

use crate::assembly::{Assembly, Constraint, Joint};
use crate::kit::Kit;
use crate::layout::Design;
use crate::motion::{self, JointGraph, MotionError};
use crate::printer::{self, Profile, Term};
use crate::thread::{Hand, Standard, Thread, series};
use crate::units::Length;

/// What a kit is predicted to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Prediction {
    /// Name of the kit.
    pub name: String,
    /// Net lead of the threads as they are drawn.
    pub net_lead: Length,
    /// s_z of the printer's profile: leads come out longer by this share.
    pub scale: f64,
    /// Its standard error.
    pub scale_error: f64,
    /// What a reversal loses at the carriage, as printed: least, expected, most; with a spring what that
    /// leaves.
    pub lost_motion: [Length; 3],
    /// Whether a spring should take up the play along the axis.
    pub sprung: bool,
    /// Travel of the carriage.
    pub stroke: Length,
    /// Turns for it.
    pub turns: f64,
    /// From where to where a depth is read, in a sentence.
    pub depth_read: &'static str,
    /// Leads of kits made or counted another way.
    pub rivals: Vec<Rival>,
}

/// A lead that a mistake would give.
#[derive(Clone, Debug, PartialEq)]
pub struct Rival {
    /// The mistake: `the frame's thread is M20x2, not M20x2.5`.
    pub what: String,
    /// Its net lead towards the end of the stroke; below zero it runs back.
    pub lead: Length,
    /// What to do about it.
    pub mend: String,
}

/// Leads closer than this share of the net lead are one: rounding of sums of doubles.
const SAME_LEAD: f64 = 1e-9;

impl Prediction {
    /// Of a design whose gaps were drawn for `profile`.
    ///
    /// # Errors
    /// When the mechanism is locked or loose, its carriage stands still, or its sizes were made for
    /// another net lead.
    pub fn new(kit: &Kit, design: &Design, profile: &Profile) -> Result<Self, MotionError> {
        let assembly = &design.assembly;
        let rates = motion::solve_stroke(assembly, design.net_lead)?;
        let net_lead = rates.net_lead();
        // +1 where a clockwise turn carries out the stroke, else -1.
        let towards = rates.of(assembly.drive).turns;
        Ok(Self {
            name: kit.name.value.clone(),
            net_lead,
            scale: profile.value(Term::ScaleZ),
            scale_error: profile.error(Term::ScaleZ),
            lost_motion: lost_motion(design, profile),
            sprung: design.members.preload.is_some(),
            stroke: design.course.stroke,
            turns: design.course.turns,
            depth_read: design.depth_read,
            rivals: rivals(assembly, net_lead, towards),
        })
    }

    /// Net lead as printed.
    pub fn printed_lead(&self) -> Length {
        self.net_lead * (1.0 + self.scale)
    }

    /// Its standard error.
    pub fn printed_lead_error(&self) -> Length {
        self.net_lead * self.scale_error
    }
}

/// What a reversal should lose at the carriage: under a spring only what turning leaves.
fn lost_motion(design: &Design, profile: &Profile) -> [Length; 3] {
    let assembly = &design.assembly;
    let beside = motion::beside(assembly, assembly.carriages.leading);
    match design.members.preload {
        None => {
            let swings = design.swings(motion::carried_on);
            printer::plays(assembly, profile, &swings, &beside).sum
        }
        Some(_) => {
            let swings = design.swings_under_preload(motion::carried_on);
            printer::plays(assembly, profile, &swings, &beside).turned
        }
    }
}

/// The leads of mistakes, the predicted one left out and equal ones told together.
fn rivals(assembly: &Assembly, net_lead: Length, towards: f64) -> Vec<Rival> {
    let mut found = counted_otherwise(net_lead);
    for (index, joint) in assembly.joints.iter().enumerate() {
        let Some(thread) = joint.thread.as_ref().map(|t| &t.thread) else {
            continue;
        };
        for (lead, what, mend) in mistakes(assembly, joint, thread) {
            let mut graph = JointGraph::from(assembly);
            graph.links[index].constraint = Constraint::Helical(lead);
            if let Ok(rates) = graph.solve() {
                found.push(Rival {
                    what,
                    lead: rates.carriage_advance() / towards,
                    mend,
                });
            }
        }
    }
    let near = |a: Length, b: Length| (a - b).abs() <= net_lead * SAME_LEAD;
    let mut kept: Vec<Rival> = Vec::new();
    for rival in found {
        if near(rival.lead, Length::ZERO) || near(rival.lead, net_lead) {
            continue;
        }
        // Threads of one net lead cannot be told apart by it: all are named.
        match kept.iter_mut().find(|other| near(other.lead, rival.lead)) {
            Some(other) => {
                other.what = format!("{}, or {}", other.what, rival.what);
                if !other.mend.contains(&rival.mend) {
                    other.mend = format!("{}; {}", other.mend, rival.mend);
                }
            }
            None => kept.push(rival),
        }
    }
    kept
}

fn counted_otherwise(net_lead: Length) -> Vec<Rival> {
    [
        ("half turns were counted as turns", 0.5),
        ("every second turn was counted", 2.0),
    ]
    .map(|(what, share)| Rival {
        what: what.into(),
        lead: net_lead * share,
        mend: "mark the head, count again from the mark, and measure again".into(),
    })
    .into()
}

/// Leads that a thread could have been given by mistake.
fn mistakes(assembly: &Assembly, joint: &Joint, thread: &Thread) -> Vec<(Length, String, String)> {
    let [male, female] = joint.between.map(|piece| assembly.part_of(piece));
    let place = format!("between {} and {}", male.name, female.name);
    let reprint = format!(
        "measure the pitch of {} over ten threads; if it is not {}, print {} and {} again",
        male.name, thread, male.name, female.name
    );
    let other_hand = match thread.hand() {
        Hand::Right => "left",
        Hand::Left => "right",
    };
    let mut list = vec![
        (
            Length::ZERO,
            format!("the thread {place} gives no travel: its parts turn as one, or slip"),
            format!(
                "hold the head and see whether {} turns against {}; free it, or pin what should \
                 not turn",
                male.name, female.name
            ),
        ),
        (
            -thread.signed_lead(),
            format!("the thread {place} is {other_hand}-hand"),
            reprint.clone(),
        ),
    ];
    for other in neighbours(thread) {
        let lead = other.pitch() * f64::from(thread.starts()) * thread.hand().sign();
        list.push((
            lead,
            format!("the thread {place} has the pitch of {other}, not of {thread}"),
            reprint.clone(),
        ));
    }
    list
}

/// Listed threads that could be taken for this one: the other pitches of its size, and the
/// next coarser and finer pitch of its series.
fn neighbours(thread: &Thread) -> Vec<Thread> {
    let inches = |other: &Thread| matches!(other.standard(), Standard::Unc | Standard::Unf);
    let alike: Vec<Thread> = series::all()
        .filter(|other| inches(other) == inches(thread) && other.pitch() != thread.pitch())
        .collect();
    let distance = |other: &Thread| (other.major() - thread.major()).abs().as_mm();
    // Of one pitch, the thread nearest in diameter.
    let nearest = |side: fn(Length, Length) -> bool| {
        let on_side = alike.iter().filter(|o| side(o.pitch(), thread.pitch()));
        on_side.min_by(|a, b| {
            let step = |o: &Thread| (o.pitch() - thread.pitch()).abs().as_mm();
            (step(a).total_cmp(&step(b))).then(distance(a).total_cmp(&distance(b)))
        })
    };
    let same_size = alike.iter().filter(|o| o.major() == thread.major());
    same_size
        .chain(nearest(|a, b| a < b))
        .chain(nearest(|a, b| a > b))
        .cloned()
        .collect()
}
