//! The motions that take a piece away.

/// One of the six directions along the axes of the assembly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Direction {
    /// 0, 1, 2 for x, y, z.
    pub axis: u8,
    /// Whether it goes towards the axis' positive end.
    pub positive: bool,
}

impl Direction {
    /// All six: z first, since screws lie along it.
    pub const ALL: [Self; 6] = [
        Self::new(2, true),
        Self::new(2, false),
        Self::new(0, true),
        Self::new(0, false),
        Self::new(1, true),
        Self::new(1, false),
    ];

    /// Along an axis (0, 1, 2 for x, y, z).
    pub const fn new(axis: u8, positive: bool) -> Self {
        Self { axis, positive }
    }

    /// The other way.
    pub const fn back(self) -> Self {
        Self::new(self.axis, !self.positive)
    }

    /// +1 or -1.
    pub const fn sign(self) -> f64 {
        if self.positive { 1.0 } else { -1.0 }
    }

    /// As a unit vector.
    pub fn vector(self) -> [f64; 3] {
        let mut vector = [0.0; 3];
        vector[usize::from(self.axis) % 3] = self.sign();
        vector
    }
}

/// A motion to far away, in the frame of the assembly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Move {
    /// Straight on.
    Straight(Direction),
    /// Along z, and about it as a thread leads.
    Helical {
        /// mm in each clockwise turn (seen along +z), signed by the thread's hand.
        lead: f64,
        /// Whether it goes towards +z.
        positive: bool,
    },
}

impl Move {
    /// Where to, straight or turning.
    pub const fn direction(self) -> Direction {
        match self {
            Self::Straight(direction) => direction,
            Self::Helical { positive, .. } => Direction::new(2, positive),
        }
    }

    /// The same way back.
    pub const fn back(self) -> Self {
        match self {
            Self::Straight(direction) => Self::Straight(direction.back()),
            Self::Helical { lead, positive } => Self::Helical {
                lead,
                positive: !positive,
            },
        }
    }

    /// Whether it turns clockwise, seen by an eye that looks along +z; `None` if straight.
    pub const fn clockwise(self) -> Option<bool> {
        match self {
            Self::Straight(_) => None,
            // z = lead x turns, and a turn is positive when clockwise.
            Self::Helical { lead, positive } => Some((lead > 0.0) == positive),
        }
    }

    /// Turns in which it advances by `travel` mm, without sign; zero if straight.
    pub fn turns_over(self, travel: f64) -> f64 {
        match self {
            Self::Straight(_) => 0.0,
            Self::Helical { lead, .. } => travel / lead.abs(),
        }
    }

    /// Straight along all six directions, then both ways along each of the given leads (mm a
    /// clockwise turn), each lead once.
    pub fn all(leads: impl IntoIterator<Item = f64>) -> Vec<Self> {
        let mut distinct: Vec<f64> = Vec::new();
        for lead in leads {
            let known = distinct.iter().any(|other| same_lead(*other, lead));
            if !known && lead != 0.0 && lead.is_finite() {
                distinct.push(lead);
            }
        }
        // Not in the order of the joints, so that shuffled kits are planned alike.
        distinct.sort_by(f64::total_cmp);
        let straight = Direction::ALL.into_iter().map(Self::Straight);
        let helical = distinct
            .into_iter()
            .flat_map(|lead| [false, true].map(|positive| Self::Helical { lead, positive }));
        straight.chain(helical).collect()
    }
}

/// Leads that differ by less are one, in mm: far below what any thread is made to, far above
/// rounding. Guess.
const SAME_LEAD: f64 = 1e-6;

/// Whether two signed leads are one and the same.
pub fn same_lead(a: f64, b: f64) -> bool {
    (a - b).abs() < SAME_LEAD
}
