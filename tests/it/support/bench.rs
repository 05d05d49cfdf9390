//! A mechanism as solids on a bench: every piece where its joints put it after n turns.

use super::body::{Body, shared};
use super::kept::Kept;
use super::kits::design;
use super::written::proved;
use crate::support::sizes::told;
use netlead::assembly::{Fit, InstanceId, Part, PartId, Pose};
use netlead::kit::Kit;
use netlead::layout::Design;
use netlead::motion::{StrokeRates, solve};
use netlead::solid::{Mesh, Written, mesh};
use netlead::units::{Angle, Length};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};

/// A mechanism with a mesh and a solid for every part.
pub(crate) struct Bench {
    pub(crate) design: Design,
    pub(crate) rates: StrokeRates,
    /// The meshes of the parts, in the order of the design.
    pub(crate) meshes: Vec<Mesh>,
    /// Their solids and files, made by the first who asks.
    solids: Vec<OnceLock<Body>>,
    written: Vec<OnceLock<Result<Written, String>>>,
}

/// The benches that tests share.
static BENCHES: Kept<Bench> = Kept::new();

impl Bench {
    /// Everything that a kit makes, its curves within `tolerance` mm.
    pub(crate) fn new(kit: &Kit, tolerance: f64) -> Self {
        let design = design(kit);
        let rates = solve(&design.assembly).unwrap();
        let direction = rates.stroke_direction().unwrap();
        let parts = &design.assembly.parts;
        let meshes: Vec<Mesh> = parts
            .iter()
            .map(|part| mesh(&part.shape, Length::mm(tolerance)).unwrap())
            .collect();
        Self {
            rates: rates.per_stroke_turn(direction),
            solids: meshes.iter().map(|_| OnceLock::new()).collect(),
            written: meshes.iter().map(|_| OnceLock::new()).collect(),
            meshes,
            design,
        }
    }

    /// The same, made once for all tests: for kits that more than one of them looks at.
    pub(crate) fn kept(kit: &Kit, tolerance: f64) -> Arc<Self> {
        BENCHES.get(format!("{tolerance} {kit:?}"), || Self::new(kit, tolerance))
    }

    /// A piece by its name.
    pub(crate) fn piece(&self, name: &str) -> InstanceId {
        let pieces = &self.design.assembly.instances;
        let found = pieces.iter().position(|piece| piece.name == name);
        InstanceId(found.unwrap_or_else(|| panic!("no piece is called {name}")))
    }

    /// Name of a piece.
    pub(crate) fn name(&self, piece: InstanceId) -> &str {
        &self.design.assembly.instance(piece).name
    }

    /// All pieces.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = InstanceId> + '_ {
        (0..self.design.assembly.instances.len()).map(InstanceId)
    }

    /// Where a piece stands after n turns of the drive in the direction of the stroke.
    pub(crate) fn pose(&self, piece: InstanceId, turns: f64) -> Pose {
        let rate = self.rates.of(piece).after(turns);
        let start = self.design.assembly.instance(piece).pose;
        start.screwed(Angle::turns(rate.turns), rate.advance)
    }

    /// A piece's mesh after n turns.
    pub(crate) fn mesh_at(&self, piece: InstanceId, turns: f64) -> Mesh {
        let part = self.design.assembly.instance(piece).part;
        self.meshes[part.0].placed(&self.pose(piece, turns))
    }

    /// A piece after n turns.
    pub(crate) fn at(&self, piece: InstanceId, turns: f64) -> Body {
        self.posed(piece, &self.pose(piece, turns))
    }

    /// A piece in any pose.
    pub(crate) fn posed(&self, piece: InstanceId, pose: &Pose) -> Body {
        let PartId(part) = self.design.assembly.instance(piece).part;
        let solid = self.solids[part].get_or_init(|| Body::new(&self.meshes[part]));
        solid.placed(pose)
    }

    /// Every part with its file, or why the file is not sound.
    pub(crate) fn written(&self) -> impl Iterator<Item = (&Part, &Result<Written, String>)> {
        let parts = self.design.assembly.parts.iter();
        parts
            .zip(&self.written)
            .zip(&self.meshes)
            .map(|((part, written), mesh)| {
                let proved = || {
                    let proof = proved(mesh, part.shape.genus);
                    proof.map_err(|fault| format!("{}: {fault}", part.name))
                };
                (part, written.get_or_init(proved))
            })
    }

    /// What two pieces share, in mm3, where one is a pin that is pressed into ribs of the other: at
    /// the most, over half of the pin's length.
    pub(crate) fn pressed(&self, a: InstanceId, b: InstanceId) -> f64 {
        let joints = self.design.assembly.joints.iter();
        let mut pressed = joints.filter(|joint| {
            joint.fit == Fit::Press && (joint.between == [a, b] || joint.between == [b, a])
        });
        // Bought pins tell theirs too.
        let half = |size| told(&self.design, "pin", size).map_or(0.0, |size| size.as_mm() / 2.0);
        let (pin, half) = (half("diameter"), half("side of the frame"));
        pressed.next().map_or(0.0, |joint| {
            let drawn = joint.gap.unwrap().drawn.as_mm();
            in_ribs(pin, pin + drawn) * half
        })
    }

    /// Pairs of pieces that share more than `allowed` mm3 and what is pressed after n turns, with
    /// how much.
    pub(crate) fn clashes(&self, pieces: &[InstanceId], turns: f64, allowed: f64) -> Vec<String> {
        let bodies: Vec<Body> = pieces.iter().map(|piece| self.at(*piece, turns)).collect();
        let mut found = Vec::new();
        for (a, first) in pieces.iter().enumerate() {
            for (b, second) in pieces.iter().enumerate().skip(a + 1) {
                let shared = shared(&bodies[a], &bodies[b]);
                if shared > allowed + self.pressed(*first, *second) {
                    let (first, second) = (self.name(*first), self.name(*second));
                    found.push(format!("{first} and {second} at {turns}: {shared} mm3"));
                }
            }
        }
        found
    }
}

/// Least and greatest of a coordinate of a mesh's corners that lie where asked.
pub(crate) fn reach(mesh: &Mesh, axis: usize, within: impl Fn([f64; 3]) -> bool) -> [f64; 2] {
    let corners = mesh.points.iter().map(|p| [p.x, p.y, p.z]);
    let corners = corners.filter(|corner| within(*corner));
    corners.fold([f64::MAX, f64::MIN], |[low, high], corner| {
        [low.min(corner[axis]), high.max(corner[axis])]
    })
}

/// What a part tells of a size of its own, in mm.
pub(crate) fn size(bench: &Bench, part: &str, name: &str) -> f64 {
    told(&bench.design, part, name).unwrap().as_mm()
}

/// Area that three ribs share with a pin of radius `pin`, whose tips stand at `tip`: a segment
/// of the pin's circle each.
pub(crate) fn in_ribs(pin: f64, tip: f64) -> f64 {
    if tip >= pin {
        return 0.0;
    }
    let half = Angle::from_cos(tip / pin).as_radians();
    3.0 * (pin * pin * half - tip * (pin * pin - tip * tip).sqrt())
}

/// Does `work` on every item, on two threads, and gives what each found.
pub(crate) fn in_parallel<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let run = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            match items.get(index) {
                Some(item) => done.push((index, work(item))),
                None => return done,
            }
        }
    };
    let mut results = std::thread::scope(|scope| {
        let other = scope.spawn(run);
        let mut done = run();
        done.extend(other.join().unwrap());
        done
    });
    results.sort_by_key(|(index, _)| *index);
    results.into_iter().map(|(_, result)| result).collect()
}
