//! The joint graph: pieces and the joints between them become advance and turn per turn of
//! the drive, or the list of joints that fight, or of pieces that nothing holds.
//!
//! Unknowns of each piece: its advance z along the axis and its turn t, both per turn of the
//! drive. Every joint gives rows ([`Constraint`]); the frame has z = t = 0, the drive t = 1.
//! A screw thread is the helical pair of lead L: z = L t between its members (Hartenberg &
//! Denavit, Kinematic Synthesis of Linkages, 1964; from memory). There is no formula for a
//! layout in here: M20x2.5 in the frame with M12x1.75 inside it gives 0.75 mm by elimination.
//!
//! Advances are counted in the largest lead of the mechanism, so that rows in mm and rows in
//! turns have entries of one size and one rank tolerance fits both.

use super::linear::{RANK_TOLERANCE, Reduced, reduce};
use crate::assembly::{Assembly, Carriages, Constraint, InstanceId, Turning};
use crate::units::Length;
use nalgebra::{DMatrix, DVector};
use std::fmt;

/// Pieces and joints, and nothing of their form.
#[derive(Clone, Debug, PartialEq)]
pub struct JointGraph {
    /// Names of the pieces; an [`InstanceId`] is an index into them.
    pub pieces: Vec<String>,
    /// What holds them together.
    pub links: Vec<Link>,
    /// The piece that stays.
    pub frame: InstanceId,
    /// The piece that is turned.
    pub drive: InstanceId,
    /// The piece whose travel is the stroke.
    pub carriage: InstanceId,
}

/// A joint as far as motion is concerned.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// Name for people.
    pub name: String,
    /// What it forbids.
    pub constraint: Constraint,
    /// The two pieces, of a thread the male first.
    pub between: [InstanceId; 2],
}

/// How one piece moves in one turn of the drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Along the axis, towards +z.
    pub advance: Length,
    /// About the axis, clockwise seen from the drive head.
    pub turns: f64,
}

/// How every piece moves in one clockwise turn of the drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Rates {
    rates: Vec<Rate>,
    carriage: InstanceId,
}

/// How every piece moves in one turn of the drive in the direction that carries out the
/// stroke. The drive's own turn is +1 when that is clockwise, else -1.
#[derive(Clone, Debug, PartialEq)]
pub struct StrokeRates {
    rates: Vec<Rate>,
    carriage: InstanceId,
    direction: Turning,
}

/// A piece that nothing holds, and how it can move while the drive stands still.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loose {
    /// Name of the piece.
    pub piece: String,
    /// How it can move.
    pub freedom: Freedom,
}

/// A motion that is left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Freedom {
    /// Along the axis.
    Advance,
    /// About the axis.
    Turn,
    /// Both.
    AdvanceAndTurn,
}

/// Why a mechanism has no single motion, or not the one that it was made for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MotionError {
    /// Joints forbid the drive to turn.
    #[error(
        "the drive cannot turn: {} contradict each other and lock {}; take away any one of \
         them, or give its thread another lead, and the drive turns",
        list(joints),
        list(pieces)
    )]
    Locked {
        /// The joints that fight: without any one of them the others let the drive turn.
        joints: Vec<String>,
        /// The pieces that they join.
        pieces: Vec<String>,
    },
    /// Pieces move while the drive stands still.
    #[error(
        "not everything follows the drive: while the drive stands still, {} can still move; \
         a joint is missing",
        list(pieces)
    )]
    Loose {
        /// What nothing holds.
        pieces: Vec<Loose>,
    },
    /// The drive is the frame.
    #[error("the drive and the frame are the same piece, `{piece}`, so nothing can be turned")]
    DriveIsFrame {
        /// Its name.
        piece: String,
    },
    /// A joint, or a role, names a piece that is not there.
    #[error("{what} names piece number {number}, but there are only {count} pieces")]
    UnknownPiece {
        /// The joint or the role.
        what: String,
        /// Index of the piece.
        number: usize,
        /// How many there are.
        count: usize,
    },
    /// The carriage stands still.
    #[error("the carriage does not move when the drive turns")]
    Still,
    /// The sizes were made for another net lead than the joints give: whoever made them is wrong.
    #[error(
        "the sizes were made for a net lead of {} mm, the joints give {} mm",
        sized.as_mm(),
        solved.as_mm()
    )]
    NetLead {
        /// What the sizes were made for.
        sized: Length,
        /// What the joints give.
        solved: Length,
    },
}

impl MotionError {
    /// Whether the program that made the mechanism is to blame, and no kit.
    pub fn is_defect(&self) -> bool {
        match self {
            Self::NetLead { .. } | Self::DriveIsFrame { .. } | Self::UnknownPiece { .. } => true,
            Self::Locked { .. } | Self::Loose { .. } | Self::Still => false,
        }
    }
}

/// Rates of an assembly, per clockwise turn of its drive.
///
/// # Errors
/// When the mechanism is locked (names the joints that fight) or loose (names the pieces that
/// nothing holds).
pub fn solve(assembly: &Assembly) -> Result<Rates, MotionError> {
    JointGraph::from(assembly).solve()
}

/// Rates of an assembly per turn of its stroke, whose net lead must be the one that its sizes were
/// made for: there is one truth of it, the joints'.
///
/// # Errors
/// As [`solve`]; when the carriage stands still; when the net lead is another one.
pub fn solve_stroke(assembly: &Assembly, sized: Length) -> Result<StrokeRates, MotionError> {
    let rates = solve(assembly)?;
    let direction = rates.stroke_direction().ok_or(MotionError::Still)?;
    let rates = rates.per_stroke_turn(direction);
    let solved = rates.net_lead();
    if (solved - sized).abs() > sized.abs() * SAME_NET_LEAD {
        return Err(MotionError::NetLead { sized, solved });
    }
    Ok(rates)
}

/// Net leads that differ by less than this share are one: rounding of sums of doubles.
const SAME_NET_LEAD: f64 = 1e-9;

impl From<&Assembly> for JointGraph {
    fn from(assembly: &Assembly) -> Self {
        let link = |joint: &crate::assembly::Joint| Link {
            name: joint.name.clone(),
            constraint: joint.constraint,
            between: joint.between,
        };
        Self {
            pieces: assembly.instances.iter().map(|i| i.name.clone()).collect(),
            links: assembly.joints.iter().map(link).collect(),
            frame: assembly.frame,
            drive: assembly.drive,
            carriage: assembly.carriages.leading,
        }
    }
}

impl JointGraph {
    /// Rates per clockwise turn of the drive.
    ///
    /// # Errors
    /// As [`solve`].
    pub fn solve(&self) -> Result<Rates, MotionError> {
        self.know_all_pieces()?;
        if self.frame == self.drive {
            return Err(MotionError::DriveIsFrame {
                piece: self.pieces[self.drive.0].clone(),
            });
        }
        let reduced = self.reduce(&vec![true; self.links.len()]);
        if !reduced.consistent {
            return Err(self.locked());
        }
        if !reduced.free.is_empty() {
            return Err(self.loose(&reduced));
        }
        let scale = self.scale();
        let rate = |pair: &[f64]| Rate {
            advance: pair[0] * scale,
            turns: pair[1],
        };
        Ok(Rates {
            rates: reduced.values.chunks_exact(2).map(rate).collect(),
            carriage: self.carriage,
        })
    }

    /// Refuses joints and roles of pieces that are not there.
    fn know_all_pieces(&self) -> Result<(), MotionError> {
        let roles = [
            ("the role of the frame", self.frame),
            ("the role of the drive", self.drive),
            ("the role of the carriage", self.carriage),
        ];
        let joined = self
            .links
            .iter()
            .flat_map(|link| link.between.map(|piece| (link.name.as_str(), piece)));
        for (what, piece) in roles.into_iter().chain(joined) {
            if piece.0 >= self.pieces.len() {
                return Err(MotionError::UnknownPiece {
                    what: what.to_owned(),
                    number: piece.0,
                    count: self.pieces.len(),
                });
            }
        }
        Ok(())
    }

    /// The length in which advances are counted: the largest lead.
    fn scale(&self) -> Length {
        let lead = |link: &Link| match link.constraint {
            Constraint::Helical(lead) => lead.abs(),
            _ => Length::ZERO,
        };
        let largest = self.links.iter().map(lead).fold(Length::ZERO, Length::max);
        if largest > Length::ZERO {
            largest
        } else {
            Length::mm(1.0)
        }
    }

    /// The linear system of the frame, the drive and the joints that are kept, reduced.
    fn reduce(&self, kept: &[bool]) -> Reduced {
        let scale = self.scale();
        let mut rows: Vec<(Vec<(usize, f64)>, f64)> = vec![
            (vec![(advance_of(self.frame), 1.0)], 0.0),
            (vec![(turn_of(self.frame), 1.0)], 0.0),
            (vec![(turn_of(self.drive), 1.0)], 1.0),
        ];
        for (link, _) in self.links.iter().zip(kept).filter(|(_, kept)| **kept) {
            rows.extend(link.rows(scale).into_iter().map(|row| (row, 0.0)));
        }
        let mut a = DMatrix::zeros(rows.len(), 2 * self.pieces.len());
        let mut b = DVector::zeros(rows.len());
        for (index, (entries, right)) in rows.into_iter().enumerate() {
            // A sum, so that a joint of a piece with itself cancels to nothing.
            for (column, entry) in entries {
                a[(index, column)] += entry;
            }
            b[index] = right;
        }
        reduce(a, b)
    }

    /// Joints that fight, none of them to spare, by a deletion filter: leave each joint out in
    /// turn, and take it back only if the drive turns without it (Chinneck & Dravnieks,
    /// Locating minimal infeasible constraint sets in linear programs, ORSA J. Computing 3,
    /// 1991; from memory).
    fn locked(&self) -> MotionError {
        let mut kept = vec![true; self.links.len()];
        for index in 0..kept.len() {
            kept[index] = false;
            kept[index] = self.reduce(&kept).consistent;
        }
        let fighting = || self.links.iter().zip(&kept).filter(|(_, kept)| **kept);
        let joined =
            |piece: &usize| fighting().any(|(link, _)| link.between.contains(&InstanceId(*piece)));
        MotionError::Locked {
            joints: fighting().map(|(link, _)| link.name.clone()).collect(),
            pieces: (0..self.pieces.len())
                .filter(joined)
                .map(|piece| self.pieces[piece].clone())
                .collect(),
        }
    }

    /// The pieces that move along one of the free directions.
    fn loose(&self, reduced: &Reduced) -> MotionError {
        let moves = |column: usize| {
            let moved = |direction: &Vec<f64>| direction[column].abs() > RANK_TOLERANCE;
            reduced.free.iter().any(moved)
        };
        let freedom = |index: usize| {
            let piece = InstanceId(index);
            match (moves(advance_of(piece)), moves(turn_of(piece))) {
                (true, true) => Some(Freedom::AdvanceAndTurn),
                (true, false) => Some(Freedom::Advance),
                (false, true) => Some(Freedom::Turn),
                (false, false) => None,
            }
        };
        let pieces = self
            .pieces
            .iter()
            .enumerate()
            .filter_map(|(index, name)| {
                freedom(index).map(|freedom| Loose {
                    piece: name.clone(),
                    freedom,
                })
            })
            .collect();
        MotionError::Loose { pieces }
    }
}

/// Column of a piece's advance.
fn advance_of(piece: InstanceId) -> usize {
    2 * piece.0
}

/// Column of a piece's turn.
fn turn_of(piece: InstanceId) -> usize {
    2 * piece.0 + 1
}

impl Link {
    /// Entries of the rows "... = 0" that the joint gives, advances counted in `scale`.
    fn rows(&self, scale: Length) -> Vec<Vec<(usize, f64)>> {
        let [a, b] = self.between;
        let advance = vec![(advance_of(a), 1.0), (advance_of(b), -1.0)];
        let turn = vec![(turn_of(a), 1.0), (turn_of(b), -1.0)];
        match self.constraint {
            Constraint::Helical(lead) => {
                let mut row = advance;
                row.push((turn_of(a), -(lead / scale)));
                row.push((turn_of(b), lead / scale));
                vec![row]
            }
            Constraint::NoTurn => vec![turn],
            Constraint::NoAdvance => vec![advance],
            Constraint::Rigid => vec![advance, turn],
            Constraint::Free => Vec::new(),
        }
    }
}

impl Rates {
    /// Of one piece.
    pub fn of(&self, piece: InstanceId) -> Rate {
        self.rates[piece.0]
    }

    /// Of all pieces, in their order.
    pub fn all(&self) -> &[Rate] {
        &self.rates
    }

    /// Advance of the carriage in one clockwise turn of the drive, with its sign.
    pub fn carriage_advance(&self) -> Length {
        self.of(self.carriage).advance
    }

    /// The way to turn the drive that moves the carriage towards +z; `None` if it stands still.
    pub fn stroke_direction(&self) -> Option<Turning> {
        let advance = self.carriage_advance();
        if advance > Length::ZERO {
            Some(Turning::Clockwise)
        } else if advance < Length::ZERO {
            Some(Turning::CounterClockwise)
        } else {
            None
        }
    }

    /// The same motion, per turn of the drive in the given direction.
    pub fn per_stroke_turn(&self, direction: Turning) -> StrokeRates {
        // A turn back undoes a turn; a zero stays a plain zero for those who print it.
        let along = |rate: &Rate| match direction {
            Turning::Clockwise => *rate,
            Turning::CounterClockwise => Rate {
                advance: Length::ZERO - rate.advance,
                turns: 0.0 - rate.turns,
            },
        };
        StrokeRates {
            rates: self.rates.iter().map(along).collect(),
            carriage: self.carriage,
            direction,
        }
    }
}

impl StrokeRates {
    /// Of one piece.
    pub fn of(&self, piece: InstanceId) -> Rate {
        self.rates[piece.0]
    }

    /// Of all pieces, in their order.
    pub fn all(&self) -> &[Rate] {
        &self.rates
    }

    /// Net lead: advance of the carriage per turn, above zero when the direction is the one
    /// that carries out the stroke.
    pub fn net_lead(&self) -> Length {
        self.of(self.carriage).advance
    }

    /// The way the drive is turned.
    pub fn direction(&self) -> Turning {
        self.direction
    }

    /// How much nearer two carriages come to each other in one turn, without sign: the leading one
    /// and the one that moves most against it. `None` where there is only one.
    pub fn closing(&self, carriages: &Carriages) -> Option<Length> {
        let leading = self.of(carriages.leading).advance;
        let closing = |other: &InstanceId| (leading - self.of(*other).advance).abs();
        carriages.others.iter().map(closing).reduce(Length::max)
    }
}

impl Rate {
    /// Where the piece is after `turns` turns of the drive: its advance and its turns.
    pub fn after(&self, turns: f64) -> Self {
        Self {
            advance: self.advance * turns,
            turns: self.turns * turns,
        }
    }
}

impl fmt::Display for Loose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let how = match self.freedom {
            Freedom::Advance => "along the axis",
            Freedom::Turn => "about the axis",
            Freedom::AdvanceAndTurn => "along and about the axis",
        };
        write!(f, "{} ({how})", self.piece)
    }
}

/// `a`, `a and b`, `a, b and c`.
fn list<T: fmt::Display>(items: &[T]) -> String {
    let words: Vec<String> = items.iter().map(ToString::to_string).collect();
    match words.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}
