//! Which bound of a wish to give up where nothing can be built: each is loosened by itself until
//! something can, and what is told was found that way.

use super::base::Base;
use super::figures::Figures;
use super::judge::{Judged, Sized, Verdict};
use super::rank::by_rank;
use super::search::{Row, judged};
use super::series::Series;
use super::universe::as_written;
use super::wish::{Hands, Wish};
use crate::kit::{KeyPath, LayoutKind, Said, key};
use crate::printer::Profile;
use crate::units::{Force, Length, Torque};
use crate::units_told::number;

/// A bound that was given up, how far, and the best pair that can be built then.
#[derive(Clone, Debug)]
pub struct GivenUp {
    /// Which, and how far.
    pub bound: Bound,
    /// The pair.
    pub row: Row,
}

/// A bound of a wish, with what it must become.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound {
    /// The travel in a turn: this one instead.
    NetLead(Length),
    /// The travel from end to end: this much instead.
    Stroke(Length),
    /// The load: so much instead.
    Load(Force),
    /// The room: the sides that it takes.
    Room([Length; 3]),
    /// The layer height.
    Layer(Length),
    /// The torque of a hand at the stops.
    HandTorque(Torque),
    /// Walls of every part.
    Walls(u32),
    /// The layout: another.
    Layout(LayoutKind),
    /// The second thread's hand: either.
    Hands,
    /// Starts: so many at the most.
    Starts(u8),
    /// Series: all, and mixed.
    Series,
    /// Threads of the maker's own pitches, in these steps.
    FreePitches(Length),
    /// Ticks around the head.
    Ticks(u32),
    /// Several at once: this travel in a turn, and these shares of stroke and load.
    Several(Length, f64),
}

impl Bound {
    /// A wish with the bound given up, so that what is typed for it finds the same.
    pub fn given_up(self, wish: &Wish) -> Wish {
        let mut wish = wish.clone();
        let mut set = |key: KeyPath, value: String| {
            wish.settings.retain(|(known, _)| known != key.as_str());
            wish.settings.push((key.as_str().to_owned(), value));
        };
        match self {
            Self::NetLead(lead) => wish.net_lead = lead,
            Self::Stroke(stroke) => wish.stroke = stroke,
            Self::Load(load) => wish.load = Some(load),
            Self::Room(sides) => wish.within = Some(sides.map(|side| side.up_to(ROOM_STEP))),
            Self::Layer(layer) => {
                set(
                    key::LAYER.name(),
                    format!("{} mm", number(layer.as_mm(), 3)),
                );
            }
            Self::HandTorque(torque) => {
                let torque = number(torque.as_newton_metres(), 3);
                set(key::HAND_TORQUE.name(), format!("{torque} N m"));
            }
            Self::Walls(walls) => set(key::WALLS.name(), walls.to_string()),
            Self::Layout(layout) => wish.layouts = vec![layout],
            Self::Hands => wish.hands = Hands::Either,
            Self::Starts(starts) => wish.starts = starts,
            Self::Series => {
                wish.series = Series::ALL.to_vec();
                wish.mixed = true;
            }
            Self::FreePitches(step) => wish.pitch_step = Some(step),
            Self::Ticks(ticks) => wish.ticks = Some(ticks),
            Self::Several(lead, share) => {
                wish.net_lead = lead;
                wish.stroke = wish.stroke * share;
                wish.load = wish.load.map(|load| load * share);
            }
        }
        wish
    }
}

/// Room is given in whole steps. Guess.
const ROOM_STEP: Length = Length::mm(1.0);
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

/// Every bound that may be given up by itself so that something can be built, with the best that can.
/// `base` makes the kit of a changed wish in a layout, or none where that is refused.
pub fn what_to_give_up(
    wish: &Wish,
    bases: &[Base],
    base: impl Fn(&Wish, LayoutKind) -> Option<Base>,
) -> Vec<GivenUp> {
    let mut found = Vec::new();
    found.extend(nearest_lead(wish, bases));
    found.extend(less(wish, bases, wish.stroke, |base, stroke| {
        base.kit.stroke = Said::default_value(stroke);
        Bound::Stroke(stroke)
    }));
    found.extend(wish.load.and_then(|load| {
        less(wish, bases, load, |base, load| {
            base.kit.load.force = Some(Said::default_value(load));
            Bound::Load(load)
        })
    }));
    found.extend(any_room(wish, bases));
    found.extend(thinner_layers(wish, bases));
    found.extend(by_fingers(wish, bases));
    found.extend(by_whole_hand(wish, bases));
    found.extend(more_walls(wish, bases));
    found.extend(fewer_ticks(wish, &base));
    found.extend(others(wish).into_iter().filter_map(|(bound, wish)| {
        let layouts = wish.layouts.iter();
        let bases: Vec<Base> = layouts.filter_map(|layout| base(&wish, *layout)).collect();
        best(&wish, &bases, by_rank(&wish)).map(|row| GivenUp { bound, row })
    }));
    if found.is_empty() {
        found.extend(several(wish, &base));
    }
    found
}

/// The most ticks with which something can be built, the travel in a turn as it is.
fn fewer_ticks(wish: &Wish, base: &impl Fn(&Wish, LayoutKind) -> Option<Base>) -> Option<GivenUp> {
    let ticks = wish.ticks?;
    let fewer = TICKS.iter().filter(|fewer| **fewer < ticks);
    fewer
        .copied()
        .find_map(|fewer| tried(wish, Bound::Ticks(fewer), base))
}

/// The least of several bounds at once.
fn several(wish: &Wish, base: &impl Fn(&Wish, LayoutKind) -> Option<Base>) -> Option<GivenUp> {
    SHARES.iter().find_map(|share| {
        let less = Bound::Several(wish.net_lead, *share).given_up(wish);
        let layouts = less.layouts.iter();
        let bases: Vec<Base> = layouts.filter_map(|layout| base(&less, *layout)).collect();
        let nearest = nearest_lead(&less, &bases)?;
        Some(GivenUp {
            bound: Bound::Several(nearest.row.net_lead, *share),
            row: nearest.row,
        })
    })
}

/// What comes of a wish with a bound given up.
fn tried(
    wish: &Wish,
    bound: Bound,
    base: &impl Fn(&Wish, LayoutKind) -> Option<Base>,
) -> Option<GivenUp> {
    let wish = bound.given_up(wish);
    let layouts = wish.layouts.iter();
    let bases: Vec<Base> = layouts.filter_map(|layout| base(&wish, *layout)).collect();
    best(&wish, &bases, by_rank(&wish)).map(|row| GivenUp { bound, row })
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

/// The most of a quantity with which something can be built, to three hundredths of what was wished.
fn less<Q: Copy + std::ops::Mul<f64, Output = Q>>(
    wish: &Wish,
    bases: &[Base],
    whole: Q,
    set: impl Fn(&mut Base, Q) -> Bound,
) -> Option<GivenUp> {
    let with = |share: f64| {
        let mut bases = bases.to_vec();
        let bounds: Vec<Bound> = bases
            .iter_mut()
            .map(|base| set(base, whole * share))
            .collect();
        let bound = *bounds.first()?;
        best(wish, &bases, by_rank(wish)).map(|row| GivenUp { bound, row })
    };
    let [mut share, mut too_much] = LEAST_AND_WHOLE;
    let mut given = with(share)?;
    for _ in 0..HALVINGS {
        let more = f64::midpoint(share, too_much);
        match with(more) {
            Some(better) => (share, given) = (more, better),
            None => too_much = more,
        }
    }
    Some(given)
}

/// The least share that is worth telling, and the whole, which is too much. Guess.
const LEAST_AND_WHOLE: [f64; 2] = [0.1, 1.0];
/// How often what lies between is halved: to three hundredths.
const HALVINGS: u32 = 5;

/// The room that the smallest takes.
fn any_room(wish: &Wish, bases: &[Base]) -> Option<GivenUp> {
    wish.within?;
    let wish = Wish {
        within: None,
        ..wish.clone()
    };
    let row = best(&wish, bases, by_rank(&wish))?;
    let bound = Bound::Room(row.figures.size);
    Some(GivenUp { bound, row })
}

/// The thickest of some thinner layers with which something can be built. A printer that was measured
/// was measured with its layer.
fn thinner_layers(wish: &Wish, bases: &[Base]) -> Option<GivenUp> {
    LAYERS.iter().find_map(|layer| {
        let thinner = bases.iter().filter_map(|base| {
            let untuned = base.profile == Profile::untuned_for(&base.kit);
            (untuned && *layer < *base.kit.layer).then(|| {
                let mut kit = base.asked.clone();
                kit.layer = Said::default_value(*layer);
                let profile = Profile::untuned_for(&kit);
                Base::new(wish, base.layout, kit, profile)
            })
        });
        let bases: Vec<Base> = thinner.collect();
        let bound = Bound::Layer(*layer);
        best(wish, &bases, by_rank(wish)).map(|row| GivenUp { bound, row })
    })
}

/// The same kits, turned by thumb and two fingers; none where all are turned as gently already.
fn by_fingers(wish: &Wish, bases: &[Base]) -> Option<GivenUp> {
    let stronger = |base: &&Base| *base.kit.hand_torque > key::FINGERS;
    by_hand(wish, bases.iter().filter(stronger), key::FINGERS)
}

/// The same kits, turned by a whole hand; none where all are turned as hard already.
fn by_whole_hand(wish: &Wish, bases: &[Base]) -> Option<GivenUp> {
    let gentler = |base: &&Base| *base.kit.hand_torque < key::FULL_HAND;
    by_hand(wish, bases.iter().filter(gentler), key::FULL_HAND)
}

fn by_hand<'b>(
    wish: &Wish,
    bases: impl Iterator<Item = &'b Base>,
    torque: Torque,
) -> Option<GivenUp> {
    let turned = bases.map(|base| {
        let mut base = base.clone();
        base.kit.hand_torque = Said::default_value(torque);
        base
    });
    let bases: Vec<Base> = turned.collect();
    let bound = Bound::HandTorque(torque);
    best(wish, &bases, by_rank(wish)).map(|row| GivenUp { bound, row })
}

/// The same kits, each part with more walls behind its threads.
fn more_walls(wish: &Wish, bases: &[Base]) -> Option<GivenUp> {
    WALLS.iter().find_map(|walls| {
        let thicker = bases.iter().filter(|base| *base.kit.walls < *walls);
        let thicker = thicker.map(|base| {
            let mut base = base.clone();
            base.kit.walls = Said::default_value(*walls);
            base
        });
        let bases: Vec<Base> = thicker.collect();
        let bound = Bound::Walls(*walls);
        best(wish, &bases, by_rank(wish)).map(|row| GivenUp { bound, row })
    })
}

/// What makes the best pair take clearly less room, for little: thinner layers, a gentler hand. Each was
/// tried by itself.
pub fn smaller_with(wish: &Wish, bases: &[Base], best: &Row) -> Vec<GivenUp> {
    let room = |row: &Row| {
        row.figures
            .size
            .iter()
            .map(|side| side.as_mm())
            .product::<f64>()
    };
    let ways = [thinner_layers(wish, bases), by_fingers(wish, bases)];
    let clearly = |given: &GivenUp| room(&given.row) < room(best) * CLEARLY_LESS;
    ways.into_iter().flatten().filter(clearly).collect()
}

/// Room of which a pair takes no more than this share takes clearly less. Guess.
const CLEARLY_LESS: f64 = 0.85;

/// Wishes that allow more kinds of threads or layouts.
fn others(wish: &Wish) -> Vec<(Bound, Wish)> {
    let mut others = Vec::new();
    let mut other = |bound: Bound, change: &dyn Fn(&mut Wish)| {
        let mut changed = wish.clone();
        change(&mut changed);
        if changed != *wish {
            others.push((bound, changed));
        }
    };
    // Two carriages do what one cannot: no other layout stands in for them.
    let one_carriage = !wish.layouts.contains(&LayoutKind::Opposed);
    for layout in [LayoutKind::Nested, LayoutKind::Tandem, LayoutKind::Single] {
        if one_carriage && !wish.layouts.contains(&layout) {
            other(Bound::Layout(layout), &|wish| wish.layouts = vec![layout]);
        }
    }
    other(Bound::Hands, &|wish| wish.hands = Hands::Either);
    other(Bound::Starts(STARTS), &|wish| {
        wish.starts = wish.starts.max(STARTS)
    });
    other(Bound::Series, &|wish| {
        wish.series = Series::ALL.to_vec();
        wish.mixed = true;
    });
    if let Some(step) = free_step(wish.net_lead) {
        other(Bound::FreePitches(step), &|wish| {
            wish.pitch_step = wish.pitch_step.or(Some(step));
        });
    }
    others
}

/// The first of all that can be built, in an order, with its figures.
fn best(
    wish: &Wish,
    bases: &[Base],
    order: impl Fn(&(usize, Judged), &(usize, Judged)) -> std::cmp::Ordering,
) -> Option<Row> {
    let (_, mut judged) = judged(wish, bases);
    judged.retain(|(_, one)| matches!(one.verdict, Verdict::Buildable { .. }));
    judged.sort_by(order);
    judged
        .into_iter()
        .take(LOOKED_AT)
        .find_map(|(place, judged)| {
            let base = &bases[place];
            let sized = Sized::of(base, &judged.candidate).ok()?;
            let verdict = super::figures::of_copies(base, &sized, &judged.verdict);
            let buildable = matches!(verdict, Verdict::Buildable { .. });
            buildable.then(|| Row {
                figures: Figures::of(base, &sized, &judged),
                mechanism: judged.candidate.mechanism,
                net_lead: judged.candidate.net_lead,
                verdict,
            })
        })
}

/// Pairs that are looked at with all their copies before a bound is held not to help.
const LOOKED_AT: usize = 3;
