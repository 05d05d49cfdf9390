//! Play along the axis as printed: of each joint, and of all between frame and carriage.
//!
//! Reckoned over the same copies as the odds, of which those count whose parts need no second
//! print: a gap below nothing has no play, and two of one bed move together.

use super::copies::Sequence;
use super::normal;
use super::profile::{Profile, Term};
use super::scatter::Scatter;
use crate::assembly::{Assembly, Gap, Joint, JointId, Lay, Source};
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
    /// What carriages add to that or take from it by turning in their guides, without its sign: all
    /// that is left where a spring takes up the play along the axis.
    pub turned: Interval,
}

/// What a carriage adds by turning in its guide: at a reversal the screw's friction carries it along
/// until the other side of its ears meets the guide, and while it turns with the screw it goes
/// further, or less far, than it should.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// The carriage in its guide.
    pub joint: JointId,
    /// How far it gets ahead, along the axis, for each mm of that gap; less than nothing where it
    /// falls behind.
    pub ahead: f64,
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
/// A carriage that swings in its guide may take from the sum or add to it, from nothing to all: it
/// is carried along as far as nothing else holds it. The sum leaves out the joints `beside`, which lie
/// on other carriages' ways.
pub fn plays(
    assembly: &Assembly,
    profile: &Profile,
    swings: &[Swing],
    beside: &[JointId],
) -> Plays {
    plays_of(COPIES, assembly, profile, swings, beside)
}

/// The same, roughly: of an eighth of the copies.
pub fn rough_plays(
    assembly: &Assembly,
    profile: &Profile,
    swings: &[Swing],
    beside: &[JointId],
) -> Plays {
    plays_of(COPIES / 8, assembly, profile, swings, beside)
}

fn plays_of(
    count: usize,
    assembly: &Assembly,
    profile: &Profile,
    swings: &[Swing],
    beside: &[JointId],
) -> Plays {
    let scatter = Scatter::of(assembly, profile);
    let joints = assembly.joints.iter().enumerate();
    let links: Vec<Link> = joints
        .filter_map(|(index, joint)| Link::of(index, joint, &scatter))
        .collect();
    let copies = copies(count, &scatter, &links, swings, profile);
    let mut each = vec![None; assembly.joints.len()];
    for (place, link) in links.iter().enumerate() {
        each[link.index] = Some(interval(&copies, |copy| copy.plays[place]));
    }
    let counts = |link: &Link| !beside.contains(&JointId(link.index));
    let summed = |copy: &Copy| -> f64 {
        let own = links.iter().zip(&copy.plays);
        own.filter(|(link, _)| counts(link))
            .map(|(_, play)| play)
            .sum()
    };
    Plays {
        each,
        sum: interval(&copies, |copy| (summed(copy) + copy.swung).max(0.0)),
        turned: interval(&copies, |copy| copy.swung.abs()),
    }
}

/// One copy.
struct Copy {
    /// How much it counts: the chance that its other fits can be put to use.
    weight: f64,
    /// Of each link, in mm.
    plays: Vec<f64>,
    /// What the carriage adds by turning in its guide, in mm.
    swung: f64,
}

fn copies(
    count: usize,
    scatter: &Scatter,
    links: &[Link],
    swings: &[Swing],
    profile: &Profile,
) -> Vec<Copy> {
    let rank = scatter.rank();
    // What is shared, one gap for each link, sag with its error, and how far a carriage is carried.
    let dimensions = rank + links.len() + 3;
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
        let carried = normal::below(sags[2]);
        let swung = swings.iter().map(|swing| {
            let fit = scatter.fits.iter().position(|fit| fit.joint == swing.joint);
            let gap = fit.map_or(0.0, |fit| scatter.gap(fit, shared));
            -swing.ahead * gap.max(0.0) * carried
        });
        Copy {
            weight,
            plays,
            swung: swung.sum(),
        }
    };
    (0..count).map(copy).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kit::Kit;
    use crate::layout;

    const KIT: &str = "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\nstroke = 10\n";

    fn of(inner: &str, change: impl Fn(&mut Profile)) -> Plays {
        let text = format!("{KIT}inner = \"{inner}\"\n");
        let kit: Kit = text.parse().expect("a valid kit");
        let mut profile = Profile::untuned_for(&kit);
        let design = layout::design(&kit, &profile).expect("a kit that can be drawn");
        change(&mut profile);
        plays(
            &design.assembly,
            &profile,
            &design.swings(crate::motion::carried_on),
            &[],
        )
    }

    /// A printer that prints every copy alike, and no crown that sags.
    fn exact(profile: &mut Profile) {
        let sag = [(Term::LyingSag, 0.0)];
        let set = profile.set(&sag, &[vec![0.0]], crate::printer::Known::Measured);
        set.expect("a valid profile");
        *profile = profile.with_terms_known();
        (profile.within, profile.between) = (Length::ZERO, Length::ZERO);
    }

    #[test]
    fn the_play_of_exact_copies_is_that_of_their_gaps() {
        let plays = of("M12x1.75", exact);
        // Threads at 0.10: 2 tan 30 deg of it, twice; the seat's 0.1; the cross pin's 0.09 once.
        let each: Vec<f64> = plays
            .each
            .iter()
            .flatten()
            .map(|play| play[1].as_mm())
            .collect();
        let sum: f64 = each.iter().sum();
        approx::assert_abs_diff_eq!(sum, 2.0 * 0.11547 + 0.1 + 0.09, epsilon = 1e-4);
        for play in plays.each.iter().flatten() {
            assert_eq!(play[0], play[2]);
        }
        // The carriage may be carried along in its slots, 0.14 a side at its ears, and its screw
        // then goes on by its own lead: so much less is lost, at the most.
        let [low, _, high] = plays.sum.map(Length::as_mm);
        assert!(high <= sum + 1e-9, "{low} {high} {sum}");
        // Ears that reach some 20 mm turn by 2 x 0.14 / 20 of a radian, 0.0022 turns of 1.75 mm; 39 of
        // 40 copies are carried less than all the way.
        let carried = sum - low;
        assert!((0.003..0.004).contains(&carried), "{carried}");
    }

    #[test]
    fn a_carriage_carried_along_loses_more_where_the_hands_differ() {
        let same = of("M12x1.75", exact).sum.map(Length::as_mm);
        let opposite = of("M12x1.75-LH", exact).sum.map(Length::as_mm);
        approx::assert_abs_diff_eq!(opposite[0], same[2], epsilon = 2e-3);
        assert!(opposite[2] > opposite[0] + 0.003);
    }

    #[test]
    fn what_is_certain_is_never_told_as_nothing_and_scatter_widens_both_ends() {
        let plain = of("M12x1.75", |_| ());
        // The seat's faces stand 0.1 apart whatever the printer does.
        assert!(plain.sum[0].as_mm() >= 0.1 - 0.05, "{plain:?}");
        let wide = of("M12x1.75", |profile| profile.between = Length::mm(0.05));
        assert!(wide.sum[2] > plain.sum[2]);
        assert!(wide.sum[2] - wide.sum[0] > plain.sum[2] - plain.sum[0]);
    }
}
