//! Threads put together as each layout has them, as far as their leads meet a wish.

use super::wish::{Hands, Wish};
use crate::kit::{LayoutKind, Mechanism, Nested, Nut, Opposed, Single, Tandem};
use crate::thread::{Hand, Standard, Thread};
use crate::units::Length;

/// Threads in a layout, and what they give.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// The layout with its threads.
    pub(super) mechanism: Mechanism,
    /// Travel of the carriage in one turn, without sign.
    pub(super) net_lead: Length,
}

/// Threads in a layout: the drive's, and the second one where the layout has one.
pub(super) fn put_together(layout: LayoutKind, drive: Thread, second: Thread) -> Mechanism {
    match layout {
        LayoutKind::Single => Mechanism::Single(Single { drive }),
        // Clockwise closes, as vises do.
        LayoutKind::Opposed => Mechanism::Opposed(Opposed {
            drive: drive.clone().with_hand(Hand::Left),
            far: drive.with_hand(Hand::Right),
        }),
        LayoutKind::Nested => Mechanism::Nested(Nested {
            drive,
            inner: second,
        }),
        LayoutKind::Tandem => Mechanism::Tandem(Tandem {
            drive,
            thin: second,
            nut: Nut::Printed,
        }),
    }
}

/// Every way to put threads together in a layout that gives the wished travel.
pub(super) fn candidates(wish: &Wish, layout: LayoutKind, threads: &[Thread]) -> Vec<Candidate> {
    match layout {
        LayoutKind::Single | LayoutKind::Opposed => alone(wish, layout, threads),
        LayoutKind::Nested | LayoutKind::Tandem => pairs(wish, layout, threads),
    }
}

/// Threads whose own lead is the travel.
fn alone(wish: &Wish, layout: LayoutKind, threads: &[Thread]) -> Vec<Candidate> {
    let met = threads
        .iter()
        .filter(|thread| wish.is_met_by(thread.lead()));
    met.map(|thread| Candidate {
        mechanism: put_together(layout, thread.clone(), thread.clone()),
        net_lead: thread.lead(),
    })
    .collect()
}

/// A thread with a thinner one, in or behind it.
fn pairs(wish: &Wish, layout: LayoutKind, threads: &[Thread]) -> Vec<Candidate> {
    let mut found = Vec::new();
    for drive in threads {
        for second in threads {
            if second.major() >= drive.major() || !(wish.mixed || go_together(drive, second)) {
                continue;
            }
            for hand in hands(wish.hands) {
                let net_lead = net_lead(drive, second, *hand);
                if wish.is_met_by(net_lead) {
                    let second = second.clone().with_hand(*hand);
                    found.push(Candidate {
                        mechanism: put_together(layout, drive.clone(), second),
                        net_lead,
                    });
                }
            }
        }
    }
    found
}

/// Hands that a second thread may have beside a right-hand one.
fn hands(hands: Hands) -> &'static [Hand] {
    match hands {
        Hands::Same => &[Hand::Right],
        Hands::Opposite => &[Hand::Left],
        Hands::Either => &[Hand::Right, Hand::Left],
    }
}

/// The difference of the leads of one hand, the sum of those of two.
fn net_lead(drive: &Thread, second: &Thread, hand: Hand) -> Length {
    (drive.signed_lead() - second.lead() * hand.sign()).abs()
}

/// Whether both are metric, or both in inches; free threads are metric.
fn go_together(one: &Thread, other: &Thread) -> bool {
    is_in_inches(one) == is_in_inches(other)
}

/// Whether a thread's sizes are laid down in inches.
pub(super) fn is_in_inches(thread: &Thread) -> bool {
    match thread.standard() {
        Standard::IsoCoarse | Standard::IsoFine | Standard::Free => false,
        Standard::Unc | Standard::Unf => true,
    }
}

/// The threads of a mechanism, the drive's first; one that is the other's mirror image left out.
pub(super) fn threads_of(mechanism: &Mechanism) -> Vec<&Thread> {
    match mechanism {
        Mechanism::Single(Single { drive }) | Mechanism::Opposed(Opposed { drive, .. }) => {
            vec![drive]
        }
        Mechanism::Nested(Nested { drive, inner }) => vec![drive, inner],
        Mechanism::Tandem(Tandem { drive, thin, .. }) => vec![drive, thin],
    }
}

/// What the threads of a mechanism give, without sign: of an opposed one, what each carriage does.
pub(super) fn net_lead_of(mechanism: &Mechanism) -> Length {
    match mechanism {
        Mechanism::Single(Single { drive }) | Mechanism::Opposed(Opposed { drive, .. }) => {
            drive.lead()
        }
        Mechanism::Nested(Nested {
            drive,
            inner: second,
        })
        | Mechanism::Tandem(Tandem {
            drive,
            thin: second,
            ..
        }) => (drive.signed_lead() - second.signed_lead()).abs(),
    }
}

/// The designations of a pair, the drive's first.
pub fn designations(mechanism: &Mechanism) -> Vec<String> {
    let threads = threads_of(mechanism).into_iter();
    threads.map(Thread::designation).collect()
}

/// The layout of a mechanism.
pub fn layout_of(mechanism: &Mechanism) -> LayoutKind {
    match mechanism {
        Mechanism::Single(_) => LayoutKind::Single,
        Mechanism::Nested(_) => LayoutKind::Nested,
        Mechanism::Tandem(_) => LayoutKind::Tandem,
        Mechanism::Opposed(_) => LayoutKind::Opposed,
    }
}
