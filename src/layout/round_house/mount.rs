//! What the frame of a round house is held by: a foot, or a bought nut in a pocket underneath. Its
//! underside is the side away from the V.

use super::House;
use super::added::block;
use crate::assembly::{
    Constraint, Fastener, Fit, InstanceId, Made, Outline, Perimeters, Placed, Pose, Solid,
};
use crate::kit;
use crate::layout::build::{Builder, Name, Note};
use crate::layout::elements::prism;
use crate::layout::feature::bolt::{HexNut, M6, QUARTER_INCH};
use crate::layout::feature::foot::{self, Above, Foot};
use crate::layout::gaps::{Gaps, JointGapDrawn};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;
use crate::units_told::Told;

/// Below the bed, where frame and mount are cut off together.
const UNDER_BED: [Length; 2] = [Length::mm(2.0), Length::mm(1.5)];

/// Walls around the nut: to the outside, and towards the screw, this or four lines. Guess.
const OUTSIDE_NUT: Length = Length::mm(3.5);
/// See there.
const INSIDE_NUT: Length = Length::mm(1.8);
/// The same in printed lines.
const INSIDE_LINES: f64 = 4.0;
/// The bolt's tip has this much room behind the nut. Guess.
const BEHIND_NUT: Length = Length::mm(1.2);
/// Beside the nut's pocket, and above it. Guess.
const BESIDE_NUT: Length = Length::mm(4.0);
/// From the bed to the nut's lower corner. Guess: the nut stays in when the frame stands on its end.
const UNDER_NUT: Length = Length::mm(4.5);
/// The pocket's roof closes at 45 degrees to a ceiling of this half width, and stands above the nut's
/// upper corner by this: at half of it the slopes would meet the nut's shoulders.
const CEILING: Length = Length::mm(2.0);
/// See there.
const OVER_NUT: Length = Length::mm(0.6);

/// What the frame is held by, sized.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) enum Mount {
    /// Nothing.
    None,
    /// Flanges along its underside.
    Foot,
    /// A nut in a pocket underneath.
    Nut(Box<HeldNut>),
}

/// A nut in its pocket; lengths below the axis.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct HeldNut {
    nut: HexNut,
    gap: JointGapDrawn,
    /// z of its axis.
    centre: Length,
    /// Its face towards the screw.
    face: Length,
    /// The frame's underside there.
    outside: Length,
}

/// The nut that a kit's mount holds, and its gap in its pocket.
pub(super) fn nut(mount: kit::Mount, gaps: &mut Gaps<'_>) -> Option<(HexNut, JointGapDrawn)> {
    let nut = match mount {
        kit::Mount::None | kit::Mount::Foot => return None,
        kit::Mount::QuarterInch => QUARTER_INCH,
        kit::Mount::M6 => M6,
    };
    Some((nut, gaps.locate_bought_between_walls(NUT_IN_FRAME)))
}

const NUT_IN_FRAME: &str = "mount nut/frame";

/// Half of the frame's side at the least that leaves a foot clear of what comes out of the slots, so
/// wide to either side, and of the mouths of the keeper's pins, which end there.
pub(super) fn least_half(
    mount: kit::Mount,
    (out_of_slots, above): (Length, Above),
    mouths: Length,
) -> Length {
    match mount {
        kit::Mount::None | kit::Mount::QuarterInch | kit::Mount::M6 => Length::ZERO,
        kit::Mount::Foot => foot::least_under(out_of_slots, above).max(foot::least_half(mouths)),
    }
}

impl HeldNut {
    /// Under a screw's bore of a radius, in walls of lines of a width.
    pub(super) fn new(
        (nut, gap): (HexNut, JointGapDrawn),
        bore: Length,
        half: Length,
        line: Length,
    ) -> Self {
        let face = bore + INSIDE_NUT.max(line * INSIDE_LINES) + BEHIND_NUT + gap.allowed;
        let outside = face + nut.height + gap.allowed + OUTSIDE_NUT;
        Self {
            centre: nut.corners() / 2.0 + UNDER_NUT,
            face,
            // A pad that is no thicker than its own broken edges is none.
            outside: half + (outside - half).max(EDGE).up_to(HALF),
            nut,
            gap,
        }
    }

    /// Half of the pocket across, between its sides.
    fn side(&self) -> Length {
        self.nut.across_flats / 2.0 + self.gap.drawn()
    }

    /// Its roof above the nut's axis: above the corner, and so high that its slopes, at 45 degrees,
    /// clear the nut's shoulders, which stand a quarter of its corners above the axis, by the gap.
    fn roof(&self) -> Length {
        let corners = self.nut.corners();
        let shoulders = corners / 4.0 + self.side() - CEILING + self.gap.drawn();
        (corners / 2.0 + OVER_NUT).max(shoulders)
    }

    /// Where the pocket ends above the bed.
    pub(super) fn top(&self) -> Length {
        self.centre + self.roof() + BESIDE_NUT
    }

    /// How far a bolt may go in from the underside.
    fn longest_bolt(&self) -> Length {
        self.outside - self.face + BEHIND_NUT
    }

    /// The pad that the pocket is in.
    fn pad(&self, half: Length) -> Placed {
        let [_, pad] = UNDER_BED;
        let wide = self.side() + BESIDE_NUT;
        let (from, to) = (half - EDGE * 3.0, self.outside);
        let solid = block([wide * 2.0, to - from], -pad, self.top());
        Placed {
            pose: Pose::shift(Length::ZERO, (from + to) / -2.0, Length::ZERO),
            solid,
        }
    }

    /// The pocket, open at the bed, and the bolt's hole.
    fn cut(&self) -> [Placed; 2] {
        let (side, roof, gap) = (self.side(), self.roof(), self.gap.drawn());
        let shoulder = roof - (side - CEILING);
        let down = -self.centre - OVERCUT - UNDER_BED[0];
        let corners = vec![
            [-side, down],
            [side, down],
            [side, shoulder],
            [CEILING, roof],
            [-CEILING, roof],
            [-side, shoulder],
        ];
        let near = self.face - gap;
        let far = self.face + self.nut.height + gap;
        let hole = Outline::Teardrop {
            diameter: self.nut.bolt.hole,
            ceiling: self.nut.bolt.hole * (TEARDROP_CEILING / 2.0),
        };
        let tip = self.face - BEHIND_NUT;
        [
            self.under(prism(near, far, Outline::Polygon(corners))),
            self.under(prism(tip, self.outside + OVERCUT, hole)),
        ]
    }

    /// Local x, y and z to x, z and -y, at the nut's height.
    fn under(&self, solid: Solid) -> Placed {
        Placed {
            pose: self.pose(),
            solid,
        }
    }

    fn pose(&self) -> Pose {
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
            Length::ZERO,
            Length::ZERO,
            self.centre,
        )
    }

    /// The nut in the frame.
    pub(super) fn piece(&self, frame: InstanceId, told: Told, build: &mut Builder) -> InstanceId {
        let part = build.part(
            Name("mount-nut", "nut under the frame"),
            Made::Bought(format!(
                "{}; the bolt in it may go in by at most {} from the frame's underside",
                self.nut.stock,
                told.length(self.longest_bolt(), 1)
            )),
            self.nut.shape(),
            Note {
                perimeters: Perimeters::Solid,
                stands: String::new(),
                more: "",
                mark: String::new(),
                recipe: vec![
                    ("across flats", self.nut.across_flats),
                    ("height", self.nut.height),
                ],
                panels: Vec::new(),
            },
        );
        // A corner up: its own y, square to two flats, along x.
        let turned = Pose::axes([0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]);
        let lifted = turned.shifted(Length::ZERO, Length::ZERO, self.face);
        let nut = build.piece(
            part,
            "mount nut".into(),
            "nut under the frame".into(),
            lifted.then(&self.pose()),
        );
        build.joint(
            [nut, frame],
            Fit::Locate,
            Constraint::Rigid,
            &self.gap,
            None,
        );
        nut
    }

    pub(super) fn thread(&self) -> &'static str {
        self.nut.bolt.thread
    }

    /// The bolt that goes into it.
    fn fasteners(&self, told: Told) -> Vec<Fastener> {
        vec![Fastener {
            name: "mount-bolt",
            called: "bolt under the frame",
            quantity: 1,
            description: format!(
                "{}, long enough for what you fasten the frame to, with no more than {} of it beyond that; \
                 none to buy where a stand has its own",
                self.nut.bolt.stock,
                told.length(self.longest_bolt(), 1)
            ),
        }]
    }

    /// For the bench.
    pub(super) fn bolt_told(&self, told: Told) -> String {
        told.length(self.longest_bolt(), 1)
    }
}

/// What a mount adds to the frame.
#[derive(Default)]
pub(super) struct Additions {
    /// How far the frame is drawn below the bed, where it is cut off.
    pub(super) below: Length,
    pub(super) joined: Vec<Placed>,
    pub(super) cut: Vec<Placed>,
    /// Ways through that it makes.
    pub(super) genus: usize,
    /// How far out it reaches.
    pub(super) reach: Length,
}

impl Mount {
    /// What it adds to a frame of a side and a length.
    pub(super) fn of_frame(&self, house: &House) -> Additions {
        let half = house.frame_side / 2.0;
        let [below, _] = UNDER_BED;
        match self {
            Self::None => Additions::default(),
            Self::Foot => {
                let foot = Foot {
                    half,
                    under: half,
                    length: house.frame_length,
                };
                Additions {
                    below,
                    joined: foot.standing().into(),
                    cut: foot.holes(),
                    genus: foot::WAYS_THROUGH,
                    reach: half + foot::out(),
                }
            }
            Self::Nut(nut) => Additions {
                below,
                joined: vec![nut.pad(half)],
                cut: nut.cut().into(),
                // From the bed to the underside, by way of the pocket.
                genus: 1,
                reach: nut.outside,
            },
        }
    }

    /// What of it shapes the frame.
    pub(super) fn recipe(&self) -> Recipe {
        match self {
            Self::None => Vec::new(),
            Self::Foot => Foot::recipe(),
            Self::Nut(held) => {
                let HeldNut {
                    nut,
                    gap,
                    centre,
                    face,
                    outside,
                } = held.as_ref();
                vec![
                    ("nut across flats", nut.across_flats),
                    ("height of the nut", nut.height),
                    ("gap of the nut", gap.drawn()),
                    ("nut above the bed", *centre),
                    ("nut below the axis", *face),
                    ("underside", *outside),
                ]
            }
        }
    }

    /// What is bought to fasten it; `first` is said of a foot's bolts.
    pub(super) fn fasteners(&self, told: Told, first: &str) -> Vec<Fastener> {
        match self {
            Self::None => Vec::new(),
            Self::Foot => foot::fasteners(told, first),
            Self::Nut(nut) => nut.fasteners(told),
        }
    }

    /// How it shows on the frame, for its mark; empty, or begun with a semicolon.
    pub(super) fn mark(&self, told: Told) -> String {
        match self {
            Self::None => String::new(),
            Self::Foot => foot::mark(told),
            Self::Nut(nut) => format!("; a pocket for a {} nut on its underside", nut.thread()),
        }
    }
}
