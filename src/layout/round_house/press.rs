//! A hand press: the rod that a carriage pushes, and an anvil against it on a yoke that hooks behind the
//! keeper.
//!
//! The keeper's flange goes on as wings beside the frame. The yoke is a U that is cut from a plate and
//! printed on its side, so that it is pulled and bent in the plane of its layers: grooves of its legs
//! take the wings, so that it slips on along y and goes no other way, until it meets the stops on the
//! wings.

use super::added::{Additions, WITHIN, block};
use super::rod::PushRod;
use crate::assembly::{
    Constraint, Fit, InstanceId, Outline, Perimeters, Placed, Pose, Shape, Solid,
};
use crate::layout::build::{Builder, Name, Note};
use crate::layout::elements::{Along, Bore, LyingHole, here, under_bed};
use crate::layout::gaps::JointGapDrawn;
use crate::layout::letters::Panel;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;

/// Flange of a keeper with wings. Guess: twice the common one, as that of a jaw.
pub(super) const FLANGE: Length = Length::mm(8.0);
/// The yoke stands off the frame's sides by this. Guess: what a slide needs, five times.
const OFF_THE_FRAME: Length = Length::mm(1.0);
/// A lip lies behind its wing by this. Guess: a dozen lines.
const LIP: Length = Length::mm(6.0);
/// Thickness of a lip along the axis. Guess: as thick as the wing.
const LIP_THICK: Length = Length::mm(8.0);
/// Thickness of the plate. Guess: beside the anvil's hole, as much again as that is wide.
const PLATE: Length = Length::mm(16.0);
/// Thickness of a leg beside its groove. Guess: the lip's and a quarter more.
const LEG: Length = Length::mm(10.0);
/// Height of the crossbar, the anvil, along the axis. Guess: so that a kit's screws break first.
const CROSSBAR: Length = Length::mm(18.0);
/// The corners between legs and anvil are filled so far, at 45 degrees. Guess.
const CORNER: Length = Length::mm(4.0);
/// The yoke's outer corners are broken by this.
const OUTER_CORNER: Length = Length::mm(3.0);
/// The hole in the anvil is wider than the rod by this: a pin that is pressed out finds its way.
const WIDER: Length = Length::mm(1.0);
/// What is left between rod and anvil at the end of the stroke where the kit does not say. Guess: a
/// pin's head.
pub(super) const LEFT: Length = Length::mm(5.0);
/// What is left where the carriage has stopped, at the least: the stop stops, never the anvil. Guess.
pub(super) const LEAST_LEFT: Length = Length::mm(0.5);
/// The stops on the wings: how far they stand out beyond those, and their least length along y. Guess.
const STOP_OUT: Length = Length::mm(5.0);
/// See there.
const STOP_LONG: Length = Length::mm(3.0);
/// The wings end before the frame's broken edges by this.
const BESIDE_EDGE: Length = Length::mm(1.0);
/// Below the bed, where keeper, wings and stops are cut off together.
const UNDER_BED: [Length; 3] = [Length::mm(2.0), Length::mm(1.5), Length::mm(1.0)];

/// A rod and the yoke against it.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct Press {
    pub(super) rod: PushRod,
    pub(super) yoke: Yoke,
}

/// The yoke; heights in the assembly's frame at turn 0.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct Yoke {
    pub(super) gap: JointGapDrawn,
    /// From the axis to the frame's sides.
    pub(super) half: Length,
    /// Outer face of the keeper's flange.
    pub(super) outside: Length,
    /// The anvil's face.
    pub(super) anvil: Length,
    /// From the rod's end to that.
    pub(super) throat: Length,
    /// Diameter of the hole in it.
    pub(super) hole: Length,
}

/// Half of the frame's side at the least, for plate and stops beside each other.
pub(super) fn least_half(gap: &JointGapDrawn) -> Length {
    let gap = gap.allowed.max(gap.drawn());
    PLATE / 2.0 + gap + STOP_LONG + WITHIN + BESIDE_EDGE + UPRIGHT_EDGE
}

/// Half of the yoke along y, which must stay clear of a foot as what comes out of the slots must.
pub(super) const fn half_width() -> Length {
    Length::mm(PLATE.as_mm() / 2.0)
}

impl Press {
    /// With a throat, the frame's half side and the height of the flange's outer face.
    pub(super) fn new(
        rod: PushRod,
        gap: JointGapDrawn,
        throat: Length,
        [half, outside]: [Length; 2],
    ) -> Self {
        let yoke = Yoke {
            gap,
            half,
            outside,
            anvil: rod.end() + throat,
            throat,
            hole: rod.diameter + WIDER,
        };
        Self { rod, yoke }
    }
}

impl Yoke {
    /// How far the wings reach from the axis.
    fn wing(&self) -> Length {
        self.half + OFF_THE_FRAME + LIP
    }

    /// From the axis to the middle of a lip, which pulls at its wing there.
    pub(super) fn lip(&self) -> Length {
        self.half + OFF_THE_FRAME + LIP / 2.0
    }

    /// From the axis to the floor of a leg's groove.
    fn groove(&self) -> Length {
        self.wing() + self.gap.drawn()
    }

    /// How far the yoke reaches from the axis.
    pub(super) fn reach(&self) -> Length {
        self.groove() + LEG
    }

    /// What of a wing lies on the yoke's lip: the wing's face towards the drive head.
    fn wing_face(&self) -> Length {
        self.outside - FLANGE + WITHIN / 2.0
    }

    /// Where the yoke ends towards the drive head.
    fn tip(&self) -> Length {
        self.wing_face() - self.gap.drawn() - LIP_THICK
    }

    /// Section of the crossbar beside its hole, width and height.
    pub(super) fn crossbar(&self) -> [Length; 2] {
        [PLATE - self.hole, CROSSBAR]
    }

    /// Lever of half the push on the crossbar: a lip is pulled no further out than its wing ends.
    pub(super) fn crossbar_lever(&self) -> Length {
        self.wing()
    }

    /// Section of a leg beside its groove.
    pub(super) fn leg(&self) -> [Length; 2] {
        [PLATE, LEG]
    }

    /// Lever of half the push on it: from the lip's middle to the leg's, and a sixth of the leg, by which
    /// the pull itself counts: P / (b h) is 6 P (h / 6) / (b h^2).
    pub(super) fn leg_lever(&self) -> Length {
        self.groove() + LEG / 2.0 - self.lip() + LEG / 6.0
    }

    /// Section of a lip.
    pub(super) fn lip_section(&self) -> [Length; 2] {
        [PLATE, LIP_THICK]
    }

    /// Lever of half the push on it.
    pub(super) fn lip_lever(&self) -> Length {
        self.groove() - self.lip()
    }

    /// Width of the wings along y.
    pub(super) fn wing_width(&self) -> Length {
        (self.half - UPRIGHT_EDGE - BESIDE_EDGE) * 2.0
    }

    /// The frame's side at the least: see [`least_half`].
    pub(super) fn least_side(&self) -> Length {
        least_half(&self.gap) * 2.0
    }

    /// What it adds to the keeper, whose flange lies on the bed: wings, and stops on the side that is
    /// away from the V.
    pub(super) fn of_keeper(&self) -> Additions {
        let [body, under_wings, under_stops] = UNDER_BED;
        let wings = block(
            [self.wing() * 2.0, self.wing_width()],
            -under_wings,
            FLANGE - WITHIN / 2.0,
        );
        let from = PLATE / 2.0 + self.gap.drawn();
        let to = self.wing_width() / 2.0 - WITHIN;
        let reach = self.wing() + STOP_OUT;
        let stops = block([reach * 2.0, to - from], -under_stops, FLANGE - WITHIN);
        Additions {
            reach: None,
            below: body,
            joined: vec![
                here(wings),
                Placed {
                    pose: Pose::shift(Length::ZERO, (from + to) / 2.0, Length::ZERO),
                    solid: stops,
                },
            ],
            cut: vec![under_bed(reach)],
            genus: 0,
        }
    }

    /// What of it shapes the keeper.
    pub(super) fn keeper_recipe(&self) -> Recipe {
        vec![
            ("wings", self.wing()),
            ("gap of the yoke", self.gap.drawn()),
        ]
    }

    fn recipe(&self) -> Recipe {
        let Self {
            gap,
            half,
            outside,
            anvil,
            // From the rod, which the bill tells.
            throat: _,
            hole,
        } = self;
        vec![
            ("side of the frame", *half * 2.0),
            ("gap", gap.drawn()),
            ("anvil before the keeper", *anvil - *outside),
            ("hole", *hole),
        ]
    }

    /// The yoke, on the keeper that it hooks behind.
    pub(super) fn piece(&self, keeper: InstanceId, build: &mut Builder) -> InstanceId {
        let yoke = build.single(
            Name::plain("yoke"),
            self.shape(),
            Note {
                perimeters: Perimeters::Solid,
                stands: "flat side on the bed".into(),
                more: "",
                mark: "a U with a hole in its crossbar, the anvil".into(),
                recipe: self.recipe(),
                panels: self.panels(),
            },
            self.pose(),
        );
        build.joint(
            [yoke, keeper],
            Fit::Locate,
            Constraint::Rigid,
            &self.gap,
            None,
        );
        yoke
    }

    /// From the print frame, whose origin is in the crossbar's middle and whose y is the assembly's z, to
    /// the assembly: the side that lay on the bed is that with the V.
    fn pose(&self) -> Pose {
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
            Length::ZERO,
            PLATE / 2.0,
            self.anvil + CROSSBAR / 2.0,
        )
    }

    /// A height of the assembly, as y of the print frame.
    fn print_y(&self, z: Length) -> Length {
        z - self.anvil - CROSSBAR / 2.0
    }

    fn shape(&self) -> Shape {
        let (bottom, top) = (self.print_y(self.tip()), CROSSBAR / 2.0);
        // Its outside, y from its middle.
        let centre = (bottom + top) / 2.0;
        let outside = |set_in: Length| {
            let (x, corner) = (self.reach() - set_in, OUTER_CORNER);
            let y = top - centre - set_in;
            Outline::Polygon(vec![
                [-x, -y],
                [x, -y],
                [x, y - corner],
                [x - corner, y],
                [-(x - corner), y],
                [-x, y - corner],
            ])
        };
        let body = Placed {
            pose: Pose::shift(Length::ZERO, centre, Length::ZERO),
            solid: Solid::Prism(vec![
                (Length::ZERO, outside(BED_EDGE)),
                (BED_EDGE, outside(Length::ZERO)),
                (PLATE, outside(Length::ZERO)),
            ]),
        };
        let anvil = self.print_y(self.anvil);
        // Between the legs, from beyond their ends to the anvil; y from its middle.
        let middle = (bottom - OVERCUT + anvil) / 2.0;
        let long = (anvil - middle) * 2.0;
        let opening = |wider: Length| {
            let x = self.half + OFF_THE_FRAME + wider;
            let (low, high) = (long / -2.0, long / 2.0 + wider);
            Outline::Polygon(vec![
                [-x, low],
                [x, low],
                [x, high - CORNER],
                [x - CORNER, high],
                [-(x - CORNER), high],
                [-x, high - CORNER],
            ])
        };
        let gap = self.gap.drawn();
        let from = self.print_y(self.wing_face() - gap);
        let to = self.print_y(self.outside + gap);
        let grooves = |wider: Length| Outline::Rectangle {
            x: (self.groove() + wider) * 2.0,
            y: to - from + wider * 2.0,
        };
        let bore = Bore::new(self.hole, None);
        let hole = LyingHole {
            along: Along::Y,
            beside: Length::ZERO,
            height: PLATE / 2.0,
            reach: CROSSBAR / 2.0,
            sides: [bore, bore],
            mouth: Length::ZERO,
        };
        let mut cut = vec![
            through(middle, opening),
            through((from + to) / 2.0, grooves),
        ];
        cut.extend(hole.tools());
        Shape {
            base: body,
            within: Vec::new(),
            joined: Vec::new(),
            cut,
            genus: 1,
        }
    }

    /// The legs between wing and anvil, where little bends them; the crossbar where they are too short.
    fn panels(&self) -> Vec<Panel> {
        let down = [0.0, 0.0, -1.0];
        let [from, to] = [self.outside + self.gap.drawn(), self.anvil - CORNER];
        let inner = self.half + OFF_THE_FRAME;
        let edges = BED_EDGE * 2.0;
        let leg = |side: f64| {
            let middle = self.print_y((from + to) / 2.0);
            let place = [(inner + self.reach()) / 2.0 * side, middle, Length::ZERO];
            let size = [to - from - edges, self.reach() - inner - edges];
            Panel::flat(down, [0.0, 1.0, 0.0], place, size)
        };
        let crossbar = Panel::flat(
            down,
            [1.0, 0.0, 0.0],
            [Length::ZERO; 3],
            [
                self.reach() * 2.0 - OUTER_CORNER * 2.0 - edges,
                CROSSBAR - edges,
            ],
        );
        vec![leg(1.0), leg(-1.0), crossbar]
    }
}

/// What cuts through the plate around a y, wider by the broken edge at the bed.
fn through(y: Length, outline: impl Fn(Length) -> Outline) -> Placed {
    let beyond = OVERCUT + BED_EDGE;
    Placed {
        pose: Pose::shift(Length::ZERO, y, Length::ZERO),
        solid: Solid::Prism(vec![
            (-OVERCUT, outline(beyond)),
            (BED_EDGE, outline(Length::ZERO)),
            (PLATE + OVERCUT, outline(Length::ZERO)),
        ]),
    }
}
