//! From threads, friction and a load to torque, efficiency and self-locking.
//!
//! Every contact on the load's way from the frame to the carriage is a power screw. Turning
//! the drive, a contact either raises the load (lead above zero) or lets it down (below):
//!
//! T = W [ sum of turns r tan(phi + lambda) + sum of mu_c r_c ],
//! lambda = atan(lead / (2 pi r)), phi = atan(mu / cos alpha), r = d2 / 2, alpha the flank angle.
//!
//! One contact: Shigley's Mechanical Engineering Design, 9th ed., sect. 8-2, eqs. 8-1 to 8-6,
//! where eq. 8-5 is the same with mu sec alpha = tan phi. Two contacts, the second letting
//! down what the first raises (tan(phi2 - lambda2), hence the sign of its lead): Khurmi &
//! Gupta, A Textbook of Machine Design, ch. 17, differential and compound screws (from memory).
//! With opposite hands both raise. Worked: M20x2.5 / M12x1.75 (alpha = 30 degrees), 500 N,
//! mu = 0.2: 1.755 N m.

use crate::thread::Thread;
use crate::units::{Angle, Force, Length, Torque};
use std::f64::consts::TAU;

/// A thread that carries the load while it turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// Half the pitch diameter.
    pub radius: Length,
    /// What one turn of this thread adds to the carriage's travel: above zero it raises the
    /// load, below zero it lets it down.
    pub lead: Length,
    /// Friction angle in the axial section, see [`friction_angle`].
    pub friction: Angle,
    /// Turns of screw against nut in one turn of the drive, without sign: 1 in all layouts
    /// whose second thread turns with the drive.
    pub turns: f64,
}

/// A face that turns under the load: a swivel or a collar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collar {
    /// Coefficient of friction.
    pub friction: f64,
    /// Mean radius.
    pub radius: Length,
}

/// Valid contacts and collars between the drive and the load.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerTrain {
    contacts: Vec<Contact>,
    collars: Vec<Collar>,
}

/// Why contacts carry no load at all.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ForceError {
    /// No thread.
    #[error("no thread turns between the drive and the load, so no torque balances it")]
    NoContact,
    /// Sizes that no screw has.
    #[error(
        "thread contact {number} has pitch radius {radius} and {turns} turns; both must be \
         above zero, and all its numbers finite"
    )]
    BadContact {
        /// Place in the list, from 1.
        number: usize,
        /// Its pitch radius.
        radius: Length,
        /// Its turns.
        turns: f64,
    },
    /// phi + lambda reaches a right angle.
    #[error(
        "thread contact {number} jams: friction angle {friction:.1} and lead angle {lead:.1} \
         degrees must be at least zero and add up to less than 90; lower the friction or take \
         a finer thread"
    )]
    Jammed {
        /// Place in the list, from 1.
        number: usize,
        /// Its friction angle in degrees.
        friction: f64,
        /// Its lead angle in degrees, without sign.
        lead: f64,
    },
    /// A collar of less than no size or friction.
    #[error(
        "collar {number} has friction {friction} and mean radius {radius}; neither may be \
         below zero"
    )]
    BadCollar {
        /// Place in the list, from 1.
        number: usize,
        /// Its coefficient of friction.
        friction: f64,
        /// Its mean radius.
        radius: Length,
    },
}

/// Friction angle of a thread: phi = atan(mu / cos alpha), alpha the flank angle.
///
/// Source: Shigley, 9th ed., eq. 8-5 (mu sec alpha stands for mu). Square threads have
/// alpha = 0, Acme 14.5 degrees. mu = 0.2 at 30 degrees gives 13.00 degrees.
pub fn friction_angle(friction: f64, flank: Angle) -> Angle {
    Angle::from_tan(friction / flank.cos())
}

impl Contact {
    /// A thread of any form that turns once in a turn of the drive.
    pub fn new(pitch_radius: Length, lead: Length, friction: Angle) -> Self {
        Self {
            radius: pitch_radius,
            lead,
            friction,
            turns: 1.0,
        }
    }

    /// A thread that raises the load by its lead in a turn of the drive.
    pub fn raising(thread: &Thread, friction: f64) -> Self {
        let phi = friction_angle(friction, thread.form().flank_angle());
        Self::new(thread.pitch_diameter() / 2.0, thread.lead(), phi)
    }

    /// Lead angle at the pitch line, atan(lead / (2 pi r)) with the sign of the lead (Shigley,
    /// 9th ed., fig. 8-5). M16x2 on 14.701 mm: 2.48 degrees.
    pub fn lead_angle(&self) -> Angle {
        Angle::from_tan(self.lead / (TAU * self.radius))
    }

    /// Torque per force of this contact, the drive turned with (+1) or against (-1) the stroke.
    fn arm(&self, sense: f64) -> Length {
        let slope =
            Angle::radians(self.friction.as_radians() + sense * self.lead_angle().as_radians());
        self.radius * slope.tan() * self.turns
    }

    /// Whether this thread alone holds an axial load: lead angle below friction angle
    /// (Shigley, 9th ed., eq. 8-3 with mu sec alpha).
    pub fn self_locking(&self) -> bool {
        self.lead_angle().abs() < self.friction
    }
}

impl PowerTrain {
    /// Contacts and collars, all of them valid.
    ///
    /// # Errors
    /// The first contact or collar whose sizes have no meaning or that jams.
    pub fn new(contacts: Vec<Contact>, collars: Vec<Collar>) -> Result<Self, ForceError> {
        if contacts.is_empty() {
            return Err(ForceError::NoContact);
        }
        for (index, contact) in contacts.iter().enumerate() {
            valid_contact(index + 1, contact)?;
        }
        for (index, collar) in collars.iter().enumerate() {
            let number = index + 1;
            let Collar { friction, radius } = *collar;
            // Written so that a value that is not a number is refused too.
            if !(friction >= 0.0 && radius >= Length::ZERO) {
                return Err(ForceError::BadCollar {
                    number,
                    friction,
                    radius,
                });
            }
        }
        Ok(Self { contacts, collars })
    }

    /// Travel of the load in one turn: the sum of the leads.
    pub fn net_lead(&self) -> Length {
        self.contacts.iter().map(|c| c.lead * c.turns).sum()
    }

    /// Torque of the drive per axial load W: T = W x arm, against the load.
    ///
    /// Same hand: (d1/2) tan(phi + lambda1) + (d2/2) tan(phi - lambda2), plus collars.
    pub fn torque_arm(&self) -> Length {
        self.thread_arm(1.0) + self.collar_arm()
    }

    fn thread_arm(&self, sense: f64) -> Length {
        self.contacts.iter().map(|contact| contact.arm(sense)).sum()
    }

    fn collar_arm(&self) -> Length {
        self.collars.iter().map(|c| c.radius * c.friction).sum()
    }

    /// What of that torque goes on behind the first thread, without sign: to the second screw, or
    /// to the collars. It twists what lies between.
    ///
    /// M20x2.5 / M12x1.75 at mu = 0.25, 459 N: 0.583 N m of 2 N m.
    pub fn passed_on(&self, load: Force) -> Torque {
        let behind = self.contacts.iter().skip(1);
        let arm: Length = behind.map(|contact| contact.arm(1.0)).sum();
        (load * (arm + self.collar_arm())).abs()
    }

    /// Torque that carries out the stroke against a load. See the module for the formula.
    pub fn torque(&self, load: Force) -> Torque {
        load * self.torque_arm()
    }

    /// The load that a torque overcomes, at a stop or on the way; `None` where no torque is
    /// needed, for then the load has no limit.
    ///
    /// W = T / arm. 2 N m on M20x2.5 / M12x1.75 with mu = 0.25: 459 N.
    pub fn load(&self, torque: Torque) -> Option<Force> {
        let arm = self.torque_arm();
        (arm > Length::ZERO).then(|| torque / arm)
    }

    /// Work at the load over work at the drive, W net / (2 pi T); `None` where no torque is
    /// needed.
    ///
    /// Source: Shigley, 9th ed., eq. 8-4. M20x2.5 / M12x1.75, mu = 0.2: 0.034.
    pub fn efficiency(&self) -> Option<f64> {
        let arm = self.torque_arm();
        (arm > Length::ZERO).then(|| self.net_lead() / (TAU * arm))
    }

    /// Whether an axial load cannot turn the drive, judged by the threads alone: a collar's
    /// friction is not relied on.
    ///
    /// One thread: lambda < phi (Shigley, 9th ed., eq. 8-3). Two: the sign of the torque that
    /// lets the load down.
    pub fn self_locking(&self) -> bool {
        self.thread_arm(-1.0) > Length::ZERO
    }

    /// Load over effort at a handle of the given arm, W a / T; `None` where no torque is
    /// needed. Equals [`velocity_ratio`] times efficiency.
    pub fn mechanical_advantage(&self, handle: Length) -> Option<f64> {
        let arm = self.torque_arm();
        (arm > Length::ZERO).then(|| handle / arm)
    }
}

/// Way of the handle over way of the load, 2 pi a / net lead, `None` for a net lead of zero.
///
/// Source: Khurmi, A Textbook of Engineering Mechanics, ch. 11. A 450 mm handle on a 10 mm
/// lead: 282.7.
pub fn velocity_ratio(handle: Length, net_lead: Length) -> Option<f64> {
    (net_lead.abs() > Length::ZERO).then(|| TAU * (handle / net_lead.abs()))
}

fn valid_contact(number: usize, contact: &Contact) -> Result<(), ForceError> {
    let Contact { radius, turns, .. } = *contact;
    let finite = [radius.as_mm(), turns, contact.lead.as_mm()];
    let sound = radius > Length::ZERO && turns > 0.0 && finite.iter().all(|x| x.is_finite());
    if !sound {
        return Err(ForceError::BadContact {
            number,
            radius,
            turns,
        });
    }
    let friction = contact.friction.as_degrees();
    let lead = contact.lead_angle().abs().as_degrees();
    if !(friction >= 0.0 && friction + lead < 90.0) {
        return Err(ForceError::Jammed {
            number,
            friction,
            lead,
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread::Hand;
    use approx::assert_abs_diff_eq;

    fn m16() -> Thread {
        Thread::free(Length::mm(16.0), Length::mm(2.0), Hand::Right)
    }

    #[test]
    fn a_left_hand_thread_raises_as_much_as_a_right_hand_one() {
        let left = Thread::free(Length::mm(16.0), Length::mm(2.0), Hand::Left);
        assert_eq!(Contact::raising(&left, 0.2), Contact::raising(&m16(), 0.2));
    }

    #[test]
    fn a_thread_locks_itself_just_when_friction_passes_its_lead_angle() {
        // Shigley, 9th ed., eq. 8-3 with f sec 30: M16x2 turns over at f = 0.0375.
        let limit = 2.0 / (std::f64::consts::PI * m16().pitch_diameter().as_mm()) * 0.75f64.sqrt();
        let train = |friction| PowerTrain::new(vec![Contact::raising(&m16(), friction)], vec![]);
        assert!(train(limit * 1.001).unwrap().self_locking());
        assert!(!train(limit * 0.999).unwrap().self_locking());
    }

    #[test]
    fn a_collar_does_not_make_a_steep_thread_self_locking() {
        let steep = Contact::new(Length::mm(5.0), Length::mm(20.0), Angle::degrees(5.0));
        let collar = Collar {
            friction: 0.9,
            radius: Length::mm(20.0),
        };
        assert!(
            !PowerTrain::new(vec![steep], vec![collar])
                .unwrap()
                .self_locking()
        );
    }

    #[test]
    fn sizes_without_meaning_are_refused_and_their_neighbours_pass() {
        let contact = |radius, friction| {
            Contact::new(
                Length::mm(radius),
                Length::mm(2.0),
                Angle::degrees(friction),
            )
        };
        let train = |contact| PowerTrain::new(vec![contact], vec![]);
        assert!(matches!(
            train(contact(0.0, 5.0)),
            Err(ForceError::BadContact { number: 1, .. })
        ));
        assert!(matches!(
            train(contact(f64::NAN, 5.0)),
            Err(ForceError::BadContact { .. })
        ));
        // atan(2 / (2 pi 10)) = 1.823 degrees.
        assert!(matches!(
            train(contact(10.0, 88.2)),
            Err(ForceError::Jammed { .. })
        ));
        assert!(train(contact(10.0, 88.1)).is_ok());
        assert!(matches!(
            train(contact(10.0, -0.1)),
            Err(ForceError::Jammed { .. })
        ));
        assert_eq!(PowerTrain::new(vec![], vec![]), Err(ForceError::NoContact));
        let collar = |friction| Collar {
            friction,
            radius: Length::mm(5.0),
        };
        let with = |collar| PowerTrain::new(vec![contact(10.0, 5.0)], vec![collar]);
        assert!(matches!(
            with(collar(-0.1)),
            Err(ForceError::BadCollar { number: 1, .. })
        ));
        assert!(with(collar(0.0)).is_ok());
    }

    #[test]
    fn load_and_torque_undo_each_other() {
        let train = PowerTrain::new(vec![Contact::raising(&m16(), 0.2)], vec![]).unwrap();
        let load = train.load(train.torque(Force::newtons(321.0))).unwrap();
        assert_abs_diff_eq!(load.as_newtons(), 321.0, epsilon = 1e-9);
    }
}
