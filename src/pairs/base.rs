//! The kit of a wish, into which each pair is put.

use super::universe::threads;
use super::wish::Wish;
use crate::kit::{Kit, LayoutKind};
use crate::layout;
use crate::printer::Profile;
use crate::thread::Thread;
use crate::units::Length;
use rayon::prelude::*;

/// The kit of a wish in one layout, with any threads in it, and what is known of its printer.
#[derive(Clone, Debug)]
pub struct Base {
    /// The layout.
    pub layout: LayoutKind,
    /// The kit; its threads are put in by the search.
    pub kit: Kit,
    /// What is known of its printer.
    pub profile: Profile,
    /// What the gap of a thread of each depth is drawn with.
    drawn: Vec<(Length, Length)>,
}

impl Base {
    /// Of a kit that was read from [`kit_text`](super::kit_text).
    pub fn new(wish: &Wish, layout: LayoutKind, mut kit: Kit, profile: Profile) -> Self {
        // Each pair has a lead of its own, which its kit will assert.
        kit.net_lead = None;
        kit.named = false;
        let kit = layout::with_wanted_gaps(kit, &threads(wish));
        // The gap of a thread hangs on its depth alone, and many have the same.
        let mut depths: Vec<(Length, Thread)> = Vec::new();
        for thread in threads(wish) {
            if depths.iter().all(|(depth, _)| *depth != thread.depth()) {
                depths.push((thread.depth(), thread));
            }
        }
        let drawn = depths.into_par_iter().map(|(depth, thread)| {
            let gap = layout::drawn_of_thread(&kit, &profile, &thread);
            (depth, gap)
        });
        Self {
            layout,
            drawn: drawn.collect(),
            kit,
            profile,
        }
    }

    /// What the gap of a thread is drawn with.
    pub(super) fn drawn(&self, thread: &Thread) -> Length {
        let mut known = self.drawn.iter();
        let known = known.find(|(depth, _)| *depth == thread.depth());
        known.map_or_else(
            || layout::drawn_of_thread(&self.kit, &self.profile, thread),
            |(_, gap)| *gap,
        )
    }
}
