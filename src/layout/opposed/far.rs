//! The far shaft: a sleeve that goes over the near one's spigot, a thread, and the journal that the
//! keeper holds.
//!
//! Print frame: the sleeve's mouth lies on the bed; its socket closes at 45 degrees. In the assembly
//! it is only shifted.

use super::Opposed;
use super::sizes::SOCKET_CEILING;
use crate::assembly::{Pose, Shape, Solid};
use crate::layout::elements::{Along, Bore, Line, LyingHole, ScrewThread, free_tip, here, v_marks};
use crate::layout::letters::Panel;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::{Angle, Length};

/// The coupling pin's hole, on either side of the socket.
const WAYS_THROUGH: usize = 2;

impl Opposed<'_> {
    /// Its shape.
    pub(super) fn far_shape(&self) -> Shape {
        let (sizes, coupling) = (&self.sizes, &self.sizes.coupling);
        let [start, end] = coupling.span;
        let gaps = [&sizes.gaps.coupling, &sizes.house.gaps.way_in];
        let hole = LyingHole {
            along: Along::Y,
            beside: Length::ZERO,
            height: coupling.pin_at - start,
            reach: coupling.sleeve / 2.0,
            // Pressed on the side where y is negative, opposite to that where the pin goes in.
            sides: gaps.map(|gap| Bore::around(coupling.pin, &gap.gap)),
            mouth: EDGE,
        };
        let mut cut = vec![here(self.socket())];
        cut.extend(hole.tools());
        let hand = sizes.far.thread.hand();
        cut.extend(v_marks(
            hand,
            coupling.sleeve / 2.0,
            Length::ZERO,
            end - start,
        ));
        Shape {
            base: here(self.far_shaft()),
            within: Vec::new(),
            joined: Vec::new(),
            cut,
            genus: WAYS_THROUGH,
        }
    }

    fn far_shaft(&self) -> Solid {
        let sizes = &self.sizes;
        let [start, sleeve_end] = sizes.coupling.span;
        let sleeve = sizes.coupling.sleeve / 2.0;
        let (thread, journal) = (&sizes.far.thread, sizes.journal / 2.0);
        let screw = ScrewThread {
            thread,
            gap: Length::ZERO,
            face: sleeve_end - start,
            end: sizes.far.end - start,
            crest: -start,
            tip: free_tip(thread).max(journal),
        };
        let end = sizes.far_end() - start;
        let foot = Line::from(Length::ZERO, sleeve - BED_EDGE)
            .to(BED_EDGE, sleeve)
            .to(screw.face - EDGE, sleeve)
            .to(screw.face, sleeve - EDGE);
        screw
            .stand_on(foot)
            .to(screw.end, journal)
            .to(end - EDGE, journal)
            .to(end, journal - EDGE)
            .turned()
    }

    /// The socket, with a broken mouth and a roof of 45 degrees.
    fn socket(&self) -> Solid {
        let coupling = &self.sizes.coupling;
        let [start, _] = coupling.span;
        let (radius, roof) = (coupling.socket, coupling.roof - start);
        Line::from(-OVERCUT, radius + EDGE + OVERCUT)
            .to(EDGE, radius)
            .to(roof, radius)
            .to(roof + (radius - SOCKET_CEILING), SOCKET_CEILING)
            .turned()
    }

    /// The sleeve's side, a quarter turn from its marks and from its pin.
    pub(super) fn far_panel(&self) -> Panel {
        let coupling = &self.sizes.coupling;
        let [start, end] = coupling.span;
        let radius = coupling.sleeve / 2.0;
        let gap = self.sizes.house.gaps.way_in.drawn();
        let mouth = coupling.pin / 2.0 + gap + EDGE;
        let beside = Angle::from_sin((mouth / radius).min(1.0));
        let z = [BED_EDGE, end - start - EDGE];
        Panel::round(radius, [1.0, 0.0, 0.0], z, Angle::TURN / 4.0 - beside)
    }

    /// From the print frame to the assembly at turn 0.
    pub(super) fn far_pose(&self) -> Pose {
        let [start, _] = self.sizes.coupling.span;
        Pose::shift(Length::ZERO, Length::ZERO, start)
    }

    /// What shapes it.
    pub(super) fn far_recipe(&self) -> Recipe {
        let sizes = &self.sizes;
        let coupling = &sizes.coupling;
        let [start, end] = coupling.span;
        let press = &sizes.gaps.coupling;
        vec![
            ("thread's diameter", sizes.far.thread.major()),
            ("thread's lead", sizes.far.thread.signed_lead()),
            ("sleeve", coupling.sleeve),
            ("length of the sleeve", end - start),
            // Its thread begins where it does because it stands there.
            ("place", start),
            ("socket", coupling.socket),
            ("depth of the socket", coupling.roof - start),
            ("thread's end", sizes.far.end - start),
            ("journal", sizes.journal),
            ("length", sizes.far_end() - start),
            ("coupling pin", coupling.pin),
            ("coupling pin's place", coupling.pin_at - start),
            ("press gap", press.drawn()),
            ("crush ribs", press.ribs()),
            ("pin's locating gap", sizes.house.gaps.way_in.drawn()),
        ]
    }
}
