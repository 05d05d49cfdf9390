//! Play along the axis as printed: of each joint, and of all between frame and carriage.
//!
//! Reckoned over the same copies as the odds, of which those count whose parts need no second
//! print: a gap below nothing has no play, and two of one bed move together.

use super::copies::Sequence;
use super::normal;
use super::profile::{Profile, Term};
use super::scatter::Scatter;
use crate::assembly::{Assembly, Gap, Joint, Lay, Source};
use crate::units::Length;

/// Play along the axis: low, middle and high, for 19 of 20 copies that are put to use.
type Interval = [Length; 3];

/// What a mechanism's joints leave along the axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Plays {
    /// Of each joint, in the order of the assembly's; none where one has no say.
    pub each: Vec<Option<Interval>>,
    /// Of the carriage: their sum.
    pub sum: Interval,
}

/// How many copies are looked at.
const COPIES: usize = 2048;
/// Of copies, the shares below which the ends and the middle of an interval lie.
const SHARES: [f64; 3] = [0.025, 0.5, 0.975];
/// A fit that was filed or run in has at least this gap, radial or a side. Guess.
const FITTED: f64 = 0.02;

/// One joint of the chain between frame and carriage.
struct Link {
    index: usize,
    /// Play along the axis for a gap of 1 mm; for faces that only meet, their play in mm.
    share: f64,
    /// The fit whose gap it is; faces that only meet lie on whole layers and do not scatter.
    fit: Option<usize>,
    /// What the crown of a lying hole stands out of the way by, before it sags, in mm; none where no
    /// hole lay.
    behind: Option<f64>,
}

impl Link {
    fn of(index: usize, joint: &Joint, scatter: &Scatter) -> Option<Self> {
        let (play, gap) = (joint.axial_play?, joint.gap.as_ref()?);
        let mut fits = scatter.fits.iter();
        let fit = fits.position(|fit| fit.joint.0 == index);
        let share = match fit {
            // At a gap of nothing, the play of a pin or swivel: its gap once.
            Some(_) if gap.drawn <= Length::ZERO => 1.0,
            Some(_) => play / gap.drawn,
            None => play.as_mm(),
        };
        Some(Self {
            index,
            share,
            fit,
            behind: lying(gap).then(|| gap.ribs.map_or(0.0, Length::as_mm)),
        })
    }
}

/// Whether a gap's hole was printed lying, so that its crown sags.
fn lying(gap: &Gap) -> bool {
    matches!(
        (gap.mates.female, gap.mates.lay),
        (Source::Printed, Lay::Lying)
    )
}

/// Of an assembly whose parts come off one bed.
///
/// The play of a thread is 2 tan 30 deg of its gap (flank geometry of ISO 68-1); that of a swivel or
/// pin its gap once. The crown of a lying hole takes from nothing to all of its sag.
pub fn plays(assembly: &Assembly, profile: &Profile) -> Plays {
    let scatter = Scatter::of(assembly, profile);
    let joints = assembly.joints.iter().enumerate();
    let links: Vec<Link> = joints
        .filter_map(|(index, joint)| Link::of(index, joint, &scatter))
        .collect();
    let copies = copies(&scatter, &links, profile);
    let mut each = vec![None; assembly.joints.len()];
    for (place, link) in links.iter().enumerate() {
        each[link.index] = Some(interval(&copies, |copy| copy.plays[place]));
    }
    Plays {
        each,
        sum: interval(&copies, |copy| copy.plays.iter().sum()),
    }
}

/// One copy.
struct Copy {
    /// How much it counts: the chance that its other fits can be put to use.
    weight: f64,
    /// Of each link, in mm.
    plays: Vec<f64>,
}

fn copies(scatter: &Scatter, links: &[Link], profile: &Profile) -> Vec<Copy> {
    let rank = scatter.rank();
    // What is shared, one gap for each link, and sag with its error.
    let dimensions = rank + links.len() + 2;
    let sequence = Sequence::new(dimensions);
    let in_chain = |fit: &usize| links.iter().any(|link| link.fit == Some(*fit));
    let others: Vec<usize> = (0..scatter.fits.len())
        .filter(|fit| !in_chain(fit))
        .collect();
    let copy = |point: usize| {
        let values = sequence.point(point);
        let (shared, rest) = values.split_at(rank);
        let (own, sags) = rest.split_at(links.len());
        let sag = profile.value(Term::LyingSag) + profile.error(Term::LyingSag) * sags[0];
        // From none to all of it, evenly.
        let sag = sag * normal::below(sags[1]);
        let other = |fit: &usize| {
            let window = window(scatter, *fit);
            normal::inside(window, scatter.gap(*fit, shared), scatter.fits[*fit].own)
        };
        let mut weight: f64 = others.iter().map(other).product();
        let mut plays = Vec::with_capacity(links.len());
        for (link, value) in links.iter().zip(own) {
            let Some(fit) = link.fit else {
                plays.push(link.share);
                continue;
            };
            let gap = scatter.gap(fit, shared) + scatter.fits[fit].own.sqrt() * value;
            let [least, most] = window(scatter, fit);
            if !(least..=most).contains(&gap) {
                weight = 0.0;
            }
            let sagged = link.behind.map_or(0.0, |behind| (sag - behind).max(0.0));
            let opened = match gap < scatter.fits[fit].outcomes.free.as_mm() {
                true => gap.max(FITTED),
                false => (gap - sagged).max(0.0),
            };
            plays.push(opened * link.share);
        }
        Copy { weight, plays }
    };
    (0..COPIES).map(copy).collect()
}

/// Gaps with which a fit can be put to use, in mm.
fn window(scatter: &Scatter, fit: usize) -> [f64; 2] {
    let outcomes = &scatter.fits[fit].outcomes;
    [outcomes.tight.as_mm(), outcomes.lost.as_mm()]
}

/// The middle 19 of 20 of what copies have, and their median; nothing where no copy is of use.
fn interval(copies: &[Copy], of: impl Fn(&Copy) -> f64) -> Interval {
    let mut all: Vec<(f64, f64)> = copies.iter().map(|copy| (of(copy), copy.weight)).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let whole: f64 = all.iter().map(|(_, weight)| weight).sum();
    SHARES.map(|share| {
        let mut sum = 0.0;
        let reached = all.iter().find(|(_, weight)| {
            sum += weight;
            sum > 0.0 && sum >= share * whole
        });
        Length::mm(reached.map_or(0.0, |(play, _)| *play))
    })
}
