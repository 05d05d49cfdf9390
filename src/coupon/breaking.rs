//! Pieces to be broken by a lever: necks with a thread's root, and plain bars as thick as that.
//!
//! All stand upright, so that the bending pulls across their layers. Frame of each: its print
//! frame, the foot on z = 0, the lever's hole open at the top.

use super::{Coupon, Piece};
use crate::assembly::{Outline, Shape, Solid, ThreadForm};
use crate::layout::Design;
use crate::layout::elements::{Line, here};
use crate::layout::proportions::{BED_EDGE, NECK_BELOW_ROOT, OVERCUT};
use crate::strength::Plastic;
use crate::thread::Thread;
use crate::tuning::breaking::{BENT_OVER_PULLED, BrokenKind};
use crate::units::{Angle, Force, Length, Stress, real};
use std::f64::consts::PI;

/// A piece to be broken.
#[derive(Clone, Debug, PartialEq)]
pub struct BreakRow {
    /// As the form names it: `neck-1`.
    pub name: String,
    /// What it is.
    pub kind: BrokenKind,
    /// Diameter at the root, or of the bar.
    pub diameter: Length,
}

/// Pieces to be broken, with what to expect of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Breaking {
    /// The pieces.
    pub rows: Vec<BreakRow>,
    /// The thread whose root the necks have.
    pub thread: Thread,
    /// Whether their root is as thick as that thread's, or made to suit a lever.
    pub as_thick: bool,
    /// What a plain bar may break at with the lever of [`ARM`], least and most.
    pub loads: [Force; 2],
}

/// Of each kind: the fewest that give an error with some use; Student's t of two pieces is 6.3.
const EACH: usize = 3;
/// The lever, from the break to the hook.
pub const ARM: Length = Length::mm(200.0);
/// The lever's stick: a drill's shank or bright bar, 6 mm or a quarter of an inch.
pub const STICK: Length = Length::mm(6.35);
/// What a print may bear, of what its material's figures say: half to twice. Guess; good prints
/// differ by a third.
const RANGE: [f64; 2] = [0.5, 2.0];
/// Most that a piece may break at: what a hand pulls steadily, and lets go of without harm when
/// the piece gives way. Guess.
const MOST_PULL: Force = Force::newtons(32.0);
/// Least that a piece of the material's figures may break at: fifty times the 10 g that a luggage
/// scale shows (common practice). Guess.
const LEAST_PULL: Force = Force::newtons(5.0);
/// Free play of the stick in its hole, in diameter. Guess: it goes in after a hole shrank.
const STICK_PLAY: Length = Length::mm(0.4);
/// Solid below its hole. Guess.
const STICK_FLOOR: Length = Length::mm(2.0);
/// Depth of its hole: three of its diameters hold it straight. Guess.
const STICK_DEPTH: Length = Length::mm(20.0);
/// Plastic around it: the head has four times a neck's modulus. Guess.
const STICK_WALL: Length = Length::mm(5.0);
/// Height of the foot that a vice takes. Guess.
const FOOT: Length = Length::mm(12.0);
/// Least width of foot and head.
const LEAST_WIDTH: Length = Length::mm(18.0);
/// The bar is thickened by this on a side before it runs into foot and head, at [`GENTLE`], so
/// that no corner breaks before it. Guess.
const THICKENED: Length = Length::mm(0.6);
/// Slope of that off the axis: a notch of next to nothing.
const GENTLE: Angle = Angle::degrees(15.0);
/// From there it widens at 45 degrees by this, to the foot. Guess.
const SHOULDER: Length = Length::mm(2.5);
/// Ridges that the necks have.
const RIDGES: f64 = 3.0;

/// Pieces with the root of the weakest printed core of a kit; `None` where it has no thread.
pub(super) fn coupon(design: &Design, plastic: &Plastic, layer: Length) -> Option<Coupon> {
    let joints = design.assembly.joints.iter();
    let threads = joints.filter_map(|joint| Some(&joint.thread.as_ref()?.thread));
    let core = |thread: &&Thread| thread.minor_internal().as_mm();
    let thread = threads.min_by(|a, b| core(a).total_cmp(&core(b)))?;
    let root = sized(thread.minor_internal(), plastic);
    let sizes = Sizes::new(thread, root, layer);
    let kinds = [BrokenKind::Neck, BrokenKind::Bar];
    let rows: Vec<BreakRow> = kinds
        .into_iter()
        .flat_map(|kind| (1..=EACH).map(move |number| (kind, number)))
        .map(|(kind, number)| BreakRow {
            name: format!("{}-{number}", kind.word()),
            kind,
            diameter: root,
        })
        .collect();
    let pieces = rows.iter().map(|row| Piece {
        ladder: None,
        name: row.name.clone(),
        shape: match row.kind {
            BrokenKind::Neck => sizes.shape(sizes.neck(thread)),
            BrokenKind::Bar => sizes.shape(sizes.bar()),
        },
        note: "foot on the bed, solid (all of it filled), the kit's own layers".into(),
        mark: match row.kind {
            BrokenKind::Neck => "ridges; number it with a pen".into(),
            BrokenKind::Bar => "plain; number it with a pen".into(),
        },
    });
    Some(Coupon {
        pieces: pieces.collect(),
        rows: Vec::new(),
        ladders: Vec::new(),
        breaking: Some(Breaking {
            rows: rows.clone(),
            thread: thread.clone(),
            as_thick: root == thread.minor_internal(),
            loads: RANGE.map(|share| load(root, bends_at(plastic) * share)),
        }),
    })
}

/// Bending stress at which a bar of the material's figures breaks.
fn bends_at(plastic: &Plastic) -> Stress {
    plastic.upright * BENT_OVER_PULLED
}

/// Load at the lever's end that gives a bar a bending stress: pi d^3 sigma / (32 a).
fn load(diameter: Length, stress: Stress) -> Force {
    let d = diameter.as_mm();
    Force::newtons(PI * d * d * d * stress.as_megapascals() / (32.0 * ARM.as_mm()))
}

/// The same the other way round.
fn diameter(load: Force, stress: Stress) -> Length {
    let cube = 32.0 * load.as_newtons() * ARM.as_mm() / (PI * stress.as_megapascals());
    Length::mm(real::cbrt(cube))
}

/// A root as thick as a core, where a hand and a luggage scale can break and read that.
///
/// PLA, M12x1.75: 10.106 mm, since twice 30 MPa in a bar of 10.28 take 32 N.
fn sized(core: Length, plastic: &Plastic) -> Length {
    let bends_at = bends_at(plastic);
    let thickest = diameter(MOST_PULL, bends_at * RANGE[1]);
    let thinnest = diameter(LEAST_PULL, bends_at);
    core.min(thickest).max(thinnest)
}

/// Sizes of a piece, from the bed upwards.
struct Sizes {
    /// Radius at the root.
    root: Length,
    /// Depth of the ridges.
    depth: Length,
    /// Height of the foot, and its width.
    foot: [Length; 2],
    /// From where to where it is thin.
    thin: [Length; 2],
    /// Radius of the head.
    head: Length,
    /// Where the head is at its full width.
    wide: Length,
    /// Top of it all.
    top: Length,
}

impl Sizes {
    fn new(thread: &Thread, root: Length, layer: Length) -> Self {
        let radius = root / 2.0;
        let width = LEAST_WIDTH.max(root + SHOULDER * 4.0);
        let foot = FOOT.up_to(layer);
        let head = LEAST_WIDTH
            .max(STICK + STICK_WALL * 2.0)
            .max(root + SHOULDER * 3.0)
            / 2.0;
        let low = foot + SHOULDER + gentle();
        let run_outs = (thread.depth() + NECK_BELOW_ROOT + OVERCUT) * 2.0;
        let high = low + thread.pitch() * RIDGES + run_outs;
        let wide = high + gentle() + (head - radius - THICKENED);
        Self {
            root: radius,
            depth: thread.depth(),
            foot: [foot, width],
            thin: [low, high],
            head,
            wide,
            top: (wide + STICK_FLOOR + STICK_DEPTH).up_to(layer),
        }
    }

    /// What stands on the foot up to the thin stretch, which begins with this radius.
    fn below(&self, radius: Length) -> Line {
        let thick = self.root + THICKENED;
        let [foot, low] = [self.foot[0], self.thin[0]];
        Line::from(foot - OVERCUT * 2.0, thick + SHOULDER)
            .to(foot, thick + SHOULDER)
            .to(foot + SHOULDER, thick)
            .to(low, radius)
    }

    /// A bar.
    fn bar(&self) -> Line {
        self.below(self.root).to(self.thin[1], self.root)
    }

    /// A neck under ridges, as a screw of the kit has it; its profile moved to this root.
    fn neck(&self, thread: &Thread) -> Line {
        let [low, high] = self.thin;
        // The contour runs clear of the crest, so that the crest never lies on it.
        let (under, clear) = (
            self.root - NECK_BELOW_ROOT,
            self.root + self.depth + OVERCUT,
        );
        let form = ThreadForm {
            thread: thread.clone(),
            shift: self.root - thread.minor_internal() / 2.0,
            crest: (low + high) / 2.0,
            external: true,
        };
        self.below(under)
            .to(low + (clear - under), clear)
            .to(high - (clear - under), clear)
            .to(high, under)
            .thread([low, high], form)
    }

    /// A thin stretch between foot and head.
    fn shape(&self, thin: Line) -> Shape {
        let [foot, width] = self.foot;
        let square = |set_in: Length| Outline::Rectangle {
            x: width - set_in * 2.0,
            y: width - set_in * 2.0,
        };
        let upright = thin
            .to(self.thin[1] + gentle(), self.root + THICKENED)
            .to(self.wide, self.head)
            .to(self.top - BED_EDGE, self.head)
            .to(self.top, self.head - BED_EDGE);
        let hole = (STICK + STICK_PLAY) / 2.0;
        let floor = self.top - STICK_DEPTH;
        let hole = Line::from(floor, hole).to(self.top + OVERCUT, hole);
        Shape {
            base: here(Solid::Prism(vec![
                (Length::ZERO, square(BED_EDGE)),
                (BED_EDGE, square(Length::ZERO)),
                (foot, square(Length::ZERO)),
            ])),
            within: Vec::new(),
            joined: vec![here(upright.turned())],
            cut: vec![here(hole.turned())],
            genus: 0,
        }
    }
}

/// Height over which a bar thickens gently.
fn gentle() -> Length {
    THICKENED / GENTLE.tan()
}
