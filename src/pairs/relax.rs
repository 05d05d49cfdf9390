//! Which bound of a wish to give up where nothing can be built: each is loosened by itself until
//! something can, and what is told was found that way.

use super::base::Base;
use super::bound::Bound;
use super::figures::Figures;
use super::judge::{Judged, Sized};
use super::rank::by_rank;
use super::search::{Row, judged};
use super::universe::as_written;
use super::wish::Wish;
use crate::kit::{LayoutKind, key};
use crate::printer::Profile;
use crate::units::{Force, Length};

/// A bound that was given up, how far, and the best pair that can be built then.
#[derive(Clone, Debug)]
pub struct GivenUp {
    /// Which, and how far.
    pub bound: Bound,
    /// The pair.
    pub row: Row,
}

/// Ticks that are tried, the most first. Guess: what is easily counted.
const TICKS: [u32; 5] = [40, 25, 20, 10, 5];
/// Shares of stroke and load that are tried together with the nearest travel in a turn. Guess.
const SHARES: [f64; 4] = [0.7, 0.5, 0.25, 0.1];

/// How far the travel in a turn is let go, one after the other, as shares. Guess.
const TOLERANCES: [f64; 10] = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 20.0];
/// Layers that are tried, the thickest first (common practice for a nozzle of 0.4 mm).
const LAYERS: [Length; 3] = [Length::mm(0.12), Length::mm(0.1), Length::mm(0.08)];
/// Starts that are tried. Guess: entries of two are told apart by a mark.
const STARTS: u8 = 2;
/// Walls that are tried (common practice: up to six of a stout part).
const WALLS: [u32; 2] = [5, 6];
/// Steps of free pitches that are tried lie between these: finer ones make too many pairs, coarser ones
/// hardly any. Guess.
const STEPS: [Length; 2] = [Length::mm(0.05), Length::mm(0.25)];

/// The step of free pitches by which a travel is the difference of two: a whole part of it, in
/// thousandths; none where it would be too fine.
fn free_step(net_lead: Length) -> Option<Length> {
    let [finest, coarsest] = STEPS;
    let step = as_written(net_lead / (net_lead / coarsest).ceil().max(1.0));
    (step >= finest).then_some(step)
}

/// What makes the kit of a changed wish in a layout, or none where that is refused.
pub type Maker<'m> = &'m dyn Fn(&Wish, LayoutKind) -> Option<Base>;

/// Every bound that may be given up by itself so that something can be built, with the best that can.
pub fn what_to_give_up(wish: &Wish, bases: &[Base], base: Maker<'_>) -> Vec<GivenUp> {
    let loosened = Loosened { wish, base };
    let load = |load: Force| loosened.most_of(|share| Bound::Load(load * share));
    let ways = [
        nearest_lead(wish, bases),
        loosened.most_of(|share| Bound::Stroke(wish.stroke * share)),
        wish.load.and_then(load),
        loosened.any_room(bases),
        loosened.first_of(thinner_layers(bases)),
        loosened.first_of(gentler_hand(bases)),
        loosened.first_of(stronger_hand(bases)),
        loosened.first_of(more_walls(bases)),
        loosened.first_of(fewer_ticks(wish)),
    ];
    let others = others(wish).into_iter();
    let found = ways.into_iter().flatten();
    let found: Vec<GivenUp> = found
        .chain(others.filter_map(|bound| loosened.tried(bound)))
        .collect();
    match found.is_empty() {
        true => loosened.several().into_iter().collect(),
        false => found,
    }
}

/// What makes the best pair take clearly less room, for little: thinner layers, a gentler hand. Each was
/// tried by itself.
pub fn smaller_with(wish: &Wish, bases: &[Base], best: &Row, base: Maker<'_>) -> Vec<GivenUp> {
    let loosened = Loosened { wish, base };
    let room = |row: &Row| -> f64 { row.figures.size.iter().map(|side| side.as_mm()).product() };
    let ways = [
        loosened.first_of(thinner_layers(bases)),
        loosened.first_of(gentler_hand(bases)),
    ];
    let clearly = |given: &GivenUp| room(&given.row) < room(best) * CLEARLY_LESS;
    ways.into_iter().flatten().filter(clearly).collect()
}

/// Room of which a pair takes no more than this share takes clearly less. Guess.
const CLEARLY_LESS: f64 = 0.85;

/// A wish of which bounds are given up.
struct Loosened<'a> {
    wish: &'a Wish,
    base: Maker<'a>,
}

impl Loosened<'_> {
    fn bases(&self, wish: &Wish) -> Vec<Base> {
        let layouts = wish.layouts.iter();
        layouts
            .filter_map(|layout| (self.base)(wish, *layout))
            .collect()
    }

    /// What comes of giving up a bound; none where that changes or helps nothing.
    fn tried(&self, bound: Bound) -> Option<GivenUp> {
        let wish = bound.given_up(self.wish);
        if wish == *self.wish {
            return None;
        }
        let row = best(&wish, &self.bases(&wish), by_rank(&wish))?;
        Some(GivenUp { bound, row })
    }

    /// The first of some bounds that helps.
    fn first_of(&self, bounds: Vec<Bound>) -> Option<GivenUp> {
        bounds.into_iter().find_map(|bound| self.tried(bound))
    }

    /// The most of a quantity with which something can be built, to three hundredths of what was wished.
    fn most_of(&self, bound: impl Fn(f64) -> Bound) -> Option<GivenUp> {
        let [mut share, mut too_much] = LEAST_AND_WHOLE;
        let mut given = self.tried(bound(share))?;
        for _ in 0..HALVINGS {
            let more = f64::midpoint(share, too_much);
            match self.tried(bound(more)) {
                Some(better) => (share, given) = (more, better),
                None => too_much = more,
            }
        }
        Some(given)
    }

    /// The room that the smallest takes.
    fn any_room(&self, bases: &[Base]) -> Option<GivenUp> {
        self.wish.within?;
        let wish = Wish {
            within: None,
            ..self.wish.clone()
        };
        let row = best(&wish, bases, by_rank(&wish))?;
        let bound = Bound::Room(row.figures.size);
        Some(GivenUp { bound, row })
    }

    /// The least of several bounds at once.
    fn several(&self) -> Option<GivenUp> {
        SHARES.iter().find_map(|share| {
            let less = Bound::Several(self.wish.net_lead, *share).given_up(self.wish);
            let GivenUp { row, .. } = nearest_lead(&less, &self.bases(&less))?;
            let bound = Bound::Several(row.net_lead, *share);
            Some(GivenUp { bound, row })
        })
    }
}

/// The travel in a turn that comes nearest and can be built.
fn nearest_lead(wish: &Wish, bases: &[Base]) -> Option<GivenUp> {
    let wider = TOLERANCES
        .iter()
        .filter(|tolerance| **tolerance > wish.tolerance);
    wider.copied().find_map(|tolerance| {
        let wish = Wish {
            tolerance,
            ..wish.clone()
        };
        let nearer = |a: &(usize, Judged), b: &(usize, Judged)| {
            let off = |one: &(usize, Judged)| wish.off_by(one.1.candidate.net_lead);
            off(a).total_cmp(&off(b)).then_with(|| by_rank(&wish)(a, b))
        };
        let row = best(&wish, bases, nearer)?;
        let bound = Bound::NetLead(row.net_lead);
        Some(GivenUp { bound, row })
    })
}

/// The least share that is worth telling, and the whole, which is too much. Guess.
const LEAST_AND_WHOLE: [f64; 2] = [0.1, 1.0];
/// How often what lies between is halved: to three hundredths.
const HALVINGS: u32 = 5;

/// Layers thinner than the kits', the thickest first. A printer that was measured was measured with its
/// layer.
fn thinner_layers(bases: &[Base]) -> Vec<Bound> {
    let thinner = |layer: &Length, base: &Base| {
        *layer < *base.kit.layer && base.profile == Profile::untuned_for(&base.kit)
    };
    let all = |layer: &&Length| bases.iter().all(|base| thinner(layer, base));
    LAYERS
        .iter()
        .filter(all)
        .copied()
        .map(Bound::Layer)
        .collect()
}

/// Thumb and two fingers, where they turn less hard.
fn gentler_hand(bases: &[Base]) -> Vec<Bound> {
    let stronger = bases
        .iter()
        .any(|base| *base.kit.hand_torque > key::FINGERS);
    stronger
        .then_some(Bound::HandTorque(key::FINGERS))
        .into_iter()
        .collect()
}

/// A whole hand, where it turns harder.
fn stronger_hand(bases: &[Base]) -> Vec<Bound> {
    let gentler = bases
        .iter()
        .any(|base| *base.kit.hand_torque < key::FULL_HAND);
    gentler
        .then_some(Bound::HandTorque(key::FULL_HAND))
        .into_iter()
        .collect()
}

/// More walls behind the threads.
fn more_walls(bases: &[Base]) -> Vec<Bound> {
    let thicker = |walls: &&u32| bases.iter().all(|base| *base.kit.walls < **walls);
    WALLS
        .iter()
        .filter(thicker)
        .copied()
        .map(Bound::Walls)
        .collect()
}

/// Fewer ticks, the most first, the travel in a turn as it is.
fn fewer_ticks(wish: &Wish) -> Vec<Bound> {
    let fewer = |ticks: &&u32| wish.ticks.is_some_and(|wished| **ticks < wished);
    TICKS
        .iter()
        .filter(fewer)
        .copied()
        .map(Bound::Ticks)
        .collect()
}

/// Bounds that leave out kinds of threads or layouts.
fn others(wish: &Wish) -> Vec<Bound> {
    // Two carriages do what one cannot: no other layout stands in for them.
    let one_carriage = !wish.layouts.contains(&LayoutKind::Opposed);
    let layouts = [LayoutKind::Nested, LayoutKind::Tandem, LayoutKind::Single].into_iter();
    let layouts = layouts.filter(|layout| one_carriage && !wish.layouts.contains(layout));
    let starts = (wish.starts < STARTS).then_some(Bound::Starts(STARTS));
    let step = free_step(wish.net_lead).filter(|_| wish.pitch_step.is_none());
    layouts
        .map(Bound::Layout)
        .chain([Bound::Hands])
        .chain(starts)
        .chain([Bound::Series])
        .chain(step.map(Bound::FreePitches))
        .collect()
}

/// The first of all that can be built, in an order, with its figures.
fn best(
    wish: &Wish,
    bases: &[Base],
    order: impl Fn(&(usize, Judged), &(usize, Judged)) -> std::cmp::Ordering,
) -> Option<Row> {
    let (_, mut judged) = judged(wish, bases);
    judged.retain(|(_, one)| one.verdict.is_buildable());
    judged.sort_by(order);
    judged
        .into_iter()
        .take(LOOKED_AT)
        .find_map(|(place, judged)| {
            let base = &bases[place];
            let sized = Sized::of(base, &judged.candidate).ok()?;
            let verdict = super::figures::of_copies(base, &sized, &judged.verdict);
            verdict.is_buildable().then(|| Row {
                figures: Figures::of(base, &sized, &judged),
                mechanism: judged.candidate.mechanism,
                net_lead: judged.candidate.net_lead,
                verdict,
            })
        })
}

/// Pairs that are looked at with all their copies before a bound is held not to help.
const LOOKED_AT: usize = 3;
