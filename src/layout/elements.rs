//! Small solids that every part is made with: placed bodies, holes and marks.

use super::proportions::*;
use crate::assembly::{Contour, Gap, Outline, Placed, Pose, Solid, ThreadForm, ThreadZone, Turned};
use crate::thread::{Hand, Thread};
use crate::units::Length;

/// A contour under construction: corners that only repeat the last one are left out.
#[derive(Clone, Debug, Default)]
pub(crate) struct Line(Contour);

/// Two corners nearer than this are one. Far below a layer, far above rounding.
const SAME_CORNER: Length = Length::mm(1e-6);

impl Line {
    /// Starts at a height with a radius.
    pub(crate) fn from(z: Length, radius: Length) -> Self {
        Self::default().to(z, radius)
    }

    /// Goes straight to a height and radius.
    pub(crate) fn to(mut self, z: Length, radius: Length) -> Self {
        let repeats = self.0.corners.last().is_some_and(|(last_z, last_radius)| {
            (z - *last_z).abs() < SAME_CORNER && (radius - *last_radius).abs() < SAME_CORNER
        });
        if !repeats {
            self.0.corners.push((z, radius));
        }
        self
    }

    /// Puts a thread on a stretch.
    pub(crate) fn thread(mut self, z: [Length; 2], form: ThreadForm) -> Self {
        self.0.threads.push(ThreadZone { z, form });
        self
    }

    /// The contour.
    pub(crate) fn end(self) -> Contour {
        self.0
    }

    /// A solid inside this contour.
    pub(crate) fn turned(self) -> Solid {
        Solid::Turned(Turned {
            outer: self.0,
            bore: None,
        })
    }
}

/// Where the male thread of a screw stands, from its head's face to its end.
pub(crate) struct ScrewThread<'a> {
    pub(crate) thread: &'a Thread,
    /// Radial gap that is drawn on the screw: none where what it runs in is printed.
    pub(crate) gap: Length,
    /// Height of the face under the head.
    pub(crate) face: Length,
    /// Height of the thread's end.
    pub(crate) end: Length,
    /// Height of a crest centre at angle 0.
    pub(crate) crest: Length,
    /// Radius in which it ends, below the thread's root.
    pub(crate) tip: Length,
}

/// Radius in which a screw ends that nothing stands on.
pub(crate) fn free_tip(thread: &Thread) -> Length {
    thread.minor_internal() / 2.0 - CHAMFER_BEYOND_THREAD
}

impl ScrewThread<'_> {
    /// Radius of the neck, a little below the thread's root.
    pub(crate) fn neck(&self) -> Length {
        self.thread.minor_internal() / 2.0 - NECK_BELOW_ROOT - self.gap
    }

    /// Length of the neck: one pitch, but no shorter than its fillet.
    pub(crate) fn neck_length(&self) -> Length {
        neck_length(self.thread)
    }

    /// Continues a contour that stands on the head's face: fillet, neck, run-out, thread, and
    /// the 45 degree chamfer at its end.
    pub(crate) fn stand_on(&self, line: Line) -> Line {
        let (neck, start) = (self.neck(), self.face + self.neck_length());
        // The contour runs clear of the crest, so that the crest never lies on it.
        let clear = self.thread.major() / 2.0 + OVERCUT;
        // A 45 degree cone that would reach the free tip's radius at the end.
        let cone = |radius: Length| self.end - (radius + self.gap - free_tip(self.thread));
        let form = ThreadForm {
            thread: self.thread.clone(),
            shift: Length::ZERO - self.gap,
            crest: self.crest,
            external: true,
        };
        line.to(self.face, neck + EDGE)
            .to(self.face + EDGE, neck)
            .to(start, neck)
            .to(start + (clear - neck), clear)
            .to(cone(clear), clear)
            .to(cone(self.tip), self.tip)
            .to(self.end, self.tip)
            .thread([start, self.end], form)
    }
}

/// Length of a screw's neck: one pitch, but no shorter than its fillet.
pub(crate) fn neck_length(thread: &Thread) -> Length {
    thread.pitch().max(EDGE)
}

/// From a screw's head face to where its profile is full.
pub(crate) fn run_out(thread: &Thread) -> Length {
    neck_length(thread) + thread.depth() + NECK_BELOW_ROOT
}

/// A tapped hole's thread and gap.
pub(crate) struct Tapped<'a> {
    pub(crate) thread: &'a Thread,
    pub(crate) gap: Length,
    /// Height of a root centre at angle 0.
    pub(crate) crest: Length,
}

impl Tapped<'_> {
    /// Radius at which a countersink meets the face.
    pub(crate) fn mouth(&self) -> Length {
        self.thread.major() / 2.0 + self.gap + CHAMFER_BEYOND_THREAD
    }

    /// Radius of the contour behind the thread, clear of its minor diameter.
    pub(crate) fn behind(&self) -> Length {
        self.thread.minor_internal() / 2.0 + self.gap - CHAMFER_BEYOND_THREAD
    }

    /// The thread's form.
    pub(crate) fn form(&self) -> ThreadForm {
        ThreadForm {
            thread: self.thread.clone(),
            shift: self.gap,
            crest: self.crest,
            external: false,
        }
    }
}

/// A solid where it is.
pub(crate) fn here(solid: Solid) -> Placed {
    Placed {
        pose: Pose::identity(),
        solid,
    }
}

/// How deep below the bed a part is cut off, where one that is joined of several solids is drawn on
/// there: their lower faces then lie in no common plane.
const BELOW_BED: Length = Length::mm(3.0);

/// All that is below the bed, out to a reach and beyond.
pub(crate) fn under_bed(reach: Length) -> Placed {
    let radius = reach * 2.0;
    here(
        Line::from(-BELOW_BED, radius)
            .to(Length::ZERO, radius)
            .turned(),
    )
}

/// A prism between two heights.
pub(crate) fn prism(from: Length, to: Length, outline: Outline) -> Solid {
    Solid::Prism(vec![(from, outline.clone()), (to, outline)])
}

/// A hole that is printed lying down, through a body from face to face.
pub(crate) struct LyingHole {
    /// Direction of its axis.
    pub(crate) along: Along,
    /// Beside the axis of the part, in y for a hole along x, in x for one along y.
    pub(crate) beside: Length,
    /// Height of its axis.
    pub(crate) height: Length,
    /// From the part's axis to the faces it goes through.
    pub(crate) reach: Length,
    /// On the side where the axis comes from and on the far side.
    pub(crate) sides: [Bore; 2],
    /// Depth of the 45 degree mouths at both faces.
    pub(crate) mouth: Length,
}

/// How wide a lying hole is.
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct Bore {
    /// Diameter of its wall.
    wall: Length,
    /// Diameter of the circle inside its ribs; that of the wall where it has none.
    tips: Length,
}

impl Bore {
    /// Of a diameter, at the tips of its ribs where it has some; `ribs` is their height.
    pub(crate) fn new(tips: Length, ribs: Option<Length>) -> Self {
        Self {
            wall: tips + ribs.unwrap_or(Length::ZERO) * 2.0,
            tips,
        }
    }

    /// What takes a pin of a diameter with a gap.
    pub(crate) fn around(pin: Length, gap: &Gap) -> Self {
        Self::new(pin + gap.drawn * 2.0, gap.ribs)
    }

    /// How far its ribs stand out of its wall.
    fn rise(self) -> Length {
        (self.wall - self.tips) / 2.0
    }

    /// Whether ribs hold the pin.
    fn is_ribbed(self) -> bool {
        self.rise() > SAME_CORNER
    }
}

/// Direction of a lying hole.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Along {
    X,
    Y,
}

impl LyingHole {
    /// The tools that cut it.
    pub(crate) fn tools(&self) -> Vec<Placed> {
        // Local z runs along the hole, local y upwards: x, y, z are the images of the axes.
        let axes = match self.along {
            Along::X => Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]),
            Along::Y => Pose::axes([-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]),
        };
        let pose = match self.along {
            Along::X => axes.shifted(Length::ZERO, self.beside, self.height),
            Along::Y => axes.shifted(self.beside, Length::ZERO, self.height),
        };
        self.solids()
            .into_iter()
            .map(|solid| Placed { pose, solid })
            .collect()
    }

    fn solids(&self) -> Vec<Solid> {
        let round = |bore: Bore| bore.is_ribbed() || bore.wall <= ROUND_LYING_HOLE;
        let [near, far] = self.sides;
        if round(near) && round(far) {
            return vec![if near.is_ribbed() || far.is_ribbed() {
                self.ribbed()
            } else {
                self.plain()
            }];
        }
        let (end, mouth) = (self.reach, self.mouth);
        let cone = |from: (Length, Length), to: (Length, Length)| {
            Line::from(from.0, from.1).to(to.0, to.1).turned()
        };
        let [wide_near, wide_far] = self.sides.map(|bore| bore.wall / 2.0);
        // The wider hole reaches past the middle; the mouths start inside the holes.
        let mut solids = match near == far {
            // Of two alike the walls would coincide.
            true => vec![prism(-end - OVERCUT, end + OVERCUT, outline(near))],
            false => vec![
                prism(-end - OVERCUT, OVERCUT, outline(near)),
                prism(-OVERCUT, end + OVERCUT, outline(far)),
            ],
        };
        if mouth == Length::ZERO {
            return solids;
        }
        solids.extend([
            cone(
                (-end - OVERCUT, wide_near + mouth + OVERCUT),
                (-end + mouth + OVERCUT, wide_near - OVERCUT),
            ),
            cone(
                (end - mouth - OVERCUT, wide_far - OVERCUT),
                (end + OVERCUT, wide_far + mouth + OVERCUT),
            ),
        ]);
        solids
    }

    /// Round from end to end.
    fn plain(&self) -> Solid {
        let [near, far] = self.sides.map(|bore| bore.wall / 2.0);
        let (end, mouth) = (self.reach, self.mouth);
        Line::from(-end - OVERCUT, near + mouth + OVERCUT)
            .to(-end + mouth, near)
            .to(Length::ZERO, near)
            .to(Length::ZERO, far)
            .to(end - mouth, far)
            .to(end + OVERCUT, far + mouth + OVERCUT)
            .turned()
    }

    /// Round, with ribs on one side or on both. The mouths go on at 45 degrees through the ribs,
    /// which end at 45 degrees towards the other side, too: one solid, so that no two walls
    /// nearly meet.
    fn ribbed(&self) -> Solid {
        let [near, far] = self.sides;
        let (end, mouth) = (self.reach, self.mouth);
        let open = |wall: Length| Outline::Ribbed {
            diameter: wall,
            tips: wall,
        };
        let beyond = (mouth + OVERCUT) * 2.0;
        let mut levels = vec![
            (-end - OVERCUT, open(near.wall + beyond)),
            (-end + mouth, open(near.wall)),
        ];
        if near.is_ribbed() {
            levels.push((-end + mouth + near.rise(), ribs(near)));
        }
        let step = (near.wall - far.wall)
            .abs()
            .max((near.tips - far.tips).abs());
        if step > SAME_CORNER {
            levels.extend([(step / -2.0, ribs(near)), (Length::ZERO, ribs(far))]);
        }
        if far.is_ribbed() {
            levels.push((end - mouth - far.rise(), ribs(far)));
        }
        levels.extend([
            (end - mouth, open(far.wall)),
            (end + OVERCUT, open(far.wall + beyond)),
        ]);
        Solid::Prism(levels)
    }
}

/// What cuts a blind hole along y, printed lying down, at x and z, from its floor to a face at y that is
/// positive, its mouth broken. It is no wider than [`ROUND_LYING_HOLE`].
pub(crate) fn blind_hole(
    bore: Bore,
    [x, z]: [Length; 2],
    [floor, face]: [Length; 2],
    mouth: Length,
) -> Placed {
    let open = |beyond: Length| Outline::Ribbed {
        diameter: bore.wall + beyond * 2.0,
        tips: bore.wall + beyond * 2.0,
    };
    let mut levels = vec![(floor, ribs(bore))];
    if bore.is_ribbed() {
        levels.push((face - mouth - bore.rise(), ribs(bore)));
    }
    levels.extend([
        (face - mouth, open(Length::ZERO)),
        (face + OVERCUT, open(mouth + OVERCUT)),
    ]);
    let axes = Pose::axes([-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]);
    Placed {
        pose: axes.shifted(x, Length::ZERO, z),
        solid: Solid::Prism(levels),
    }
}

/// The section of a bore beyond [`ROUND_LYING_HOLE`]. Ribs carry the roof of theirs: what is left
/// between them is 7 mm wide on a pin of 20, less than the longest ceiling.
fn outline(bore: Bore) -> Outline {
    if bore.is_ribbed() {
        return ribs(bore);
    }
    Outline::Teardrop {
        diameter: bore.wall,
        ceiling: (bore.wall * (TEARDROP_CEILING / 2.0)).min(LONGEST_CEILING),
    }
}

fn ribs(bore: Bore) -> Outline {
    Outline::Ribbed {
        diameter: bore.wall,
        tips: bore.tips,
    }
}

/// V marks along z on a face square to y, one for a right-hand part and two for a left-hand
/// one; `face` is the face's y, signed.
pub(crate) fn v_marks(hand: Hand, face: Length, from: Length, to: Length) -> Vec<Placed> {
    let places = match hand {
        Hand::Right => vec![Length::ZERO],
        Hand::Left => vec![DOUBLE_V_PITCH / -2.0, DOUBLE_V_PITCH / 2.0],
    };
    let solid = prism(
        from - OVERCUT,
        to + OVERCUT,
        groove(if face > Length::ZERO { 1.0 } else { -1.0 }),
    );
    places
        .into_iter()
        .map(|x| Placed {
            pose: Pose::shift(x, face, Length::ZERO),
            solid: solid.clone(),
        })
        .collect()
}

/// V marks from below a part that stands on z = 0 up to a height, on a face at y that is positive: right
/// through, or running out at 45 degrees just before it.
pub(crate) fn v_marks_to(hand: Hand, face: Length, height: Length, runs_out: bool) -> Vec<Placed> {
    let through = v_marks(hand, face, Length::ZERO, height);
    if !runs_out {
        return through;
    }
    let out = V_DEPTH + OVERCUT;
    let end = height - UNDER_MARK - V_DEPTH;
    let moved = |by: Length| Outline::Polygon(groove_corners(1.0).map(|[x, y]| [x, y + by]).into());
    let solid = Solid::Prism(vec![
        (-OVERCUT, moved(Length::ZERO)),
        (end, moved(Length::ZERO)),
        (end + out, moved(out)),
    ]);
    let placed = |mark: Placed| Placed {
        solid: solid.clone(),
        ..mark
    };
    through.into_iter().map(placed).collect()
}

/// A 90 degree groove along y, `deep` below a top at (x, z), from -half to half.
pub(crate) fn v_across(deep: Length, [x, z]: [Length; 2], half: Length) -> Placed {
    let wide = deep + OVERCUT;
    let corners = vec![[Length::ZERO, -deep], [wide, OVERCUT], [-wide, OVERCUT]];
    // Local x, y, z to x, z, -y.
    let pose =
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(x, Length::ZERO, z);
    Placed {
        pose,
        solid: prism(-half, half, Outline::Polygon(corners)),
    }
}

/// A 90 degree groove, `V_DEPTH` below the origin, opening towards +y or -y.
pub(crate) fn groove(opening: f64) -> Outline {
    Outline::Polygon(groove_corners(opening).into())
}

fn groove_corners(opening: f64) -> [[Length; 2]; 3] {
    let (deep, wide) = (V_DEPTH * -opening, V_DEPTH + OVERCUT);
    let top = OVERCUT * opening;
    // Counter-clockwise either way: both coordinates change sign together.
    [
        [Length::ZERO, deep],
        [wide * opening, top],
        [wide * -opening, top],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::Shape;
    use crate::solid::{Mesh, mesh, read_back};
    use crate::units::real;

    const TOLERANCE: Length = Length::mm(0.01);

    /// A screw of 30 mm on a plate, its gap drawn on itself.
    fn screw(thread: &Thread, gap: f64) -> Shape {
        let gap = Length::mm(gap);
        let screw = ScrewThread {
            thread,
            gap,
            face: Length::mm(4.0),
            end: Length::mm(34.0),
            crest: Length::mm(20.0),
            tip: free_tip(thread) - gap,
        };
        let plate = Line::from(Length::ZERO, thread.major())
            .to(Length::mm(4.0), thread.major())
            .turned();
        let foot = Line::from(Length::mm(2.0), screw.neck() + EDGE);
        Shape {
            base: here(plate),
            within: Vec::new(),
            joined: vec![here(screw.stand_on(foot).turned())],
            cut: Vec::new(),
            genus: 0,
        }
    }

    fn meshed(thread: &Thread, gap: f64) -> Mesh {
        mesh(&screw(thread, gap), TOLERANCE).expect("a screw that can be meshed")
    }

    /// Least and greatest distance from the axis of the corners between two heights.
    fn radii(mesh: &Mesh, from: f64, to: f64) -> [f64; 2] {
        let between = mesh.points.iter().filter(|p| (from..to).contains(&p.z));
        let far = between.map(|p| real::hypot(p.x, p.y));
        far.fold([f64::MAX, 0.0], |[least, most], r| {
            [least.min(r), most.max(r)]
        })
    }

    #[test]
    fn a_gap_drawn_on_a_screw_makes_crest_root_neck_and_tip_thinner_by_as_much() {
        let thread: Thread = "M12x1.75-LH".parse().expect("a thread");
        let (plain, thin) = (meshed(&thread, 0.0), meshed(&thread, 0.15));
        // Crests and roots: between run-out and end cone, more than a pitch from both.
        let [root, crest] = radii(&plain, 10.0, 28.0);
        let [thin_root, thin_crest] = radii(&thin, 10.0, 28.0);
        // Basic profile, ISO 68-1: M12 has a crest of 6 mm, a minor diameter of 10.106 mm.
        approx::assert_abs_diff_eq!(crest, 6.0, epsilon = 0.01);
        approx::assert_abs_diff_eq!(root, 5.053, epsilon = 0.01);
        approx::assert_abs_diff_eq!(crest - thin_crest, 0.15, epsilon = 1e-3);
        approx::assert_abs_diff_eq!(root - thin_root, 0.15, epsilon = 1e-3);
        // The neck's corners stand one fillet above the head, the tip's on the end face.
        for (from, to) in [
            (4.0 + EDGE.as_mm() - 1e-6, 4.0 + EDGE.as_mm() + 1e-6),
            (34.0 - 1e-6, 34.1),
        ] {
            let [_, thick] = radii(&plain, from, to);
            let [_, thinner] = radii(&thin, from, to);
            approx::assert_abs_diff_eq!(thick - thinner, 0.15, epsilon = 1e-3);
        }
    }

    #[test]
    fn a_screw_with_a_gap_on_it_is_sound_as_its_file_has_it() {
        for (designation, gap) in [("M12x1.75", 0.15), ("M20x2.5-LH", 0.25), ("5/8-11", 0.2)] {
            let thread: Thread = designation.parse().expect("a thread");
            let mesh = meshed(&thread, gap);
            let mut stl = vec![0u8; 80];
            stl.extend((mesh.triangles.len() as u32).to_le_bytes());
            for facet in mesh.facets() {
                stl.extend([0u8; 12]);
                for corner in facet.iter().flat_map(|corner| corner.iter()) {
                    stl.extend((*corner as f32 + 0.0).to_le_bytes());
                }
                stl.extend([0u8; 2]);
            }
            let sound = read_back(stl, 0);
            assert!(sound.is_ok(), "{designation}: {:?}", sound.err());
        }
    }
}
