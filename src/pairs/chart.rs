//! The net lead of every two threads of a series, and which of them can be built.

use super::base::Base;
use super::candidate::{Candidate, put_together};
use super::judge::{Verdict, judge};
use super::series::Series;
use super::wish::Wish;
use crate::thread::Thread;
use crate::units::Length;
use rayon::prelude::*;

/// Every two threads of a series.
#[derive(Clone, Debug)]
pub struct Chart {
    /// The series.
    pub series: Series,
    /// Its threads, the thinnest first.
    pub threads: Vec<Thread>,
    /// The pairs whose leads differ.
    pub cells: Vec<Cell>,
}

/// A thread with a thinner one.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Places among the threads: of the drive's, and of the one in it or behind it.
    pub places: [usize; 2],
    /// Difference of their leads, without sign.
    pub net_lead: Length,
    /// How it came out.
    pub verdict: Verdict,
}

impl Cell {
    /// Whether it can be built, as far as that is known without a mesh.
    pub fn is_buildable(&self) -> bool {
        self.verdict.is_buildable()
    }
}

/// Leads nearer than this are one lead: binary rounding. Guess.
const SAME: Length = Length::mm(1e-9);

/// Judges every two threads of a series, of one hand, in the layout of a base. The wish gives stroke,
/// load and room; its travel in a turn is not asked for.
pub fn chart(wish: &Wish, base: &Base, series: Series) -> Chart {
    let largest = wish.largest_major();
    let mut threads = series.threads();
    threads.retain(|thread| thread.major() <= largest);
    let pairs =
        (0..threads.len()).flat_map(|drive| (0..threads.len()).map(move |second| [drive, second]));
    let pairs: Vec<[usize; 2]> = pairs.collect();
    let cell = |places: [usize; 2]| {
        let [drive, second] = places.map(|place| &threads[place]);
        let net_lead = (drive.lead() - second.lead()).abs();
        if second.major() >= drive.major() || net_lead < SAME {
            return None;
        }
        let mechanism = put_together(base.layout, drive.clone(), second.clone());
        let judged = judge(
            wish,
            base,
            Candidate {
                mechanism,
                net_lead,
            },
        );
        Some(Cell {
            places,
            net_lead,
            verdict: judged.verdict,
        })
    };
    Chart {
        series,
        cells: pairs.into_par_iter().filter_map(cell).collect(),
        threads,
    }
}
