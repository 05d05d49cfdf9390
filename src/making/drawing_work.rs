//! What drawing a kit will take, told before anything is drawn: a stroke of many turns, or a fine
//! tolerance, may ask for meshes that no machine of a maker should be made to hold.

use crate::clearance::LONGEST_SIDE;
use crate::diagnostic::Diagnostic;
use crate::kit::{Kit, key};
use crate::layout::{self, Design};
use crate::printer::Profile;
use crate::solid::expected_facets;
use crate::units::Length;

/// What the bodies of a design will take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct DrawingWork {
    /// Facets of all pieces, the long ones divided.
    facets: f64,
}

/// Most facets that are drawn. They take some five seconds and 450 MB on two cores; measured on
/// kits from 10 000 to 1 700 000.
const MOST_FACETS: f64 = 600_000.0;
/// Seconds and bytes a facet takes, where it takes most. Measured: 3 to 9 microseconds, 0.4 to
/// 0.9 kB.
const SECONDS_A_FACET: f64 = 8e-6;
/// See there.
const BYTES_A_FACET: f64 = 800.0;
/// What it commonly takes of one core, in seconds. Measured on the presets: 5 to 7 microseconds.
const CORE_SECONDS_A_FACET: f64 = 6e-6;

/// Steps in which a stroke is proposed.
const STROKE_STEP: Length = Length::mm(0.1);
/// From one tolerance that is tried to the next.
const COARSER: f64 = 1.25;
/// Halvings that find a stroke of a metre to a tenth of a millimetre. Derived.
const HALVINGS: u32 = 16;

impl DrawingWork {
    /// Of a design with a chord tolerance.
    pub(super) fn of(design: &Design, tolerance: Length) -> Self {
        let assembly = &design.assembly;
        let pieces = assembly.instances.iter().map(|piece| {
            let shape = &assembly.parts[piece.part.0].shape;
            let [_, divided] = expected_facets(shape, tolerance, LONGEST_SIDE);
            divided
        });
        Self {
            facets: pieces.sum(),
        }
    }

    /// Whether it is more than is drawn.
    pub(super) fn is_too_much(self) -> bool {
        self.facets > MOST_FACETS
    }

    /// Seconds that it commonly takes of one core.
    pub(super) fn core_seconds(self) -> f64 {
        self.facets * CORE_SECONDS_A_FACET
    }

    /// In a sentence: facets, time and memory.
    pub(super) fn told(self) -> String {
        format!(
            "about {:.0} thousand facets, {:.0} s and {:.1} GB",
            self.facets / 1e3,
            (self.facets * SECONDS_A_FACET).max(1.0),
            self.facets * BYTES_A_FACET / 1e9
        )
    }

    /// Why a kit is not drawn, with the values of its keys that would be.
    pub(super) fn refused(self, kit: &Kit, profile: &Profile) -> Diagnostic {
        let message = format!(
            "its meshes would take {}, and at most {:.0} thousand facets are drawn",
            self.told(),
            MOST_FACETS / 1e3
        );
        let told = kit.told();
        let mut ways = Vec::new();
        let mut keys = Vec::new();
        if let Some(tolerance) = least_tolerance(kit, profile) {
            keys.push(key::TOLERANCE.name());
            let limit = told.length(tolerance, 3);
            ways.push(format!("{} of at least {limit}", key::TOLERANCE.name()));
        }
        if let Some(stroke) = greatest_stroke(kit, profile) {
            keys.push(key::STROKE.name());
            let limit = told.length(stroke, 1);
            ways.push(format!("{} of at most {limit}", key::STROKE.name()));
        }
        keys.push(key::STROKE.name());
        let at = kit.place_of(&keys).unwrap_or(0..0);
        let mend = match ways.as_slice() {
            [] => {
                "take threads with a larger net lead, or leave out the sizes of its screws".into()
            }
            ways => format!("write {}", ways.join(", or ")),
        };
        Diagnostic::error(message, at).mend(mend)
    }
}

/// Steps in which a tolerance is proposed: the last decimal that is told.
fn tolerance_step(kit: &Kit) -> Length {
    match kit.inches {
        true => Length::inches(1e-4),
        false => Length::mm(1e-3),
    }
}

fn stroke_step(kit: &Kit) -> Length {
    match kit.inches {
        true => Length::inches(1e-2),
        false => STROKE_STEP,
    }
}

/// Whether a kit is drawn.
fn is_drawn(kit: &Kit, profile: &Profile) -> bool {
    layout::design(kit, profile)
        .is_ok_and(|design| !DrawingWork::of(&design, *kit.tolerance).is_too_much())
}

/// The finest coarser tolerance with which it is drawn; none if no tolerance will do.
fn least_tolerance(kit: &Kit, profile: &Profile) -> Option<Length> {
    let mut changed = kit.clone();
    let mut drawn = |tolerance: Length| {
        changed.tolerance.value = tolerance;
        is_drawn(&changed, profile)
    };
    // Too coarse a one would close a gap, so that it is come to from below.
    let most = key::TOLERANCE.limits.most;
    let coarser = |tolerance: &Length| Some(*tolerance * COARSER).filter(|next| *next <= most);
    let mut steps = std::iter::successors(Some(*kit.tolerance), coarser);
    let mut high = steps.find(|tolerance| drawn(*tolerance))?;
    let mut low = high / COARSER;
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if drawn(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    let proposed = high.up_to(tolerance_step(kit));
    drawn(proposed).then_some(proposed)
}

/// The greatest shorter stroke with which it is drawn.
fn greatest_stroke(kit: &Kit, profile: &Profile) -> Option<Length> {
    let mut changed = kit.clone();
    let mut drawn = |stroke: Length| {
        changed.stroke.value = stroke;
        is_drawn(&changed, profile)
    };
    let (mut low, mut high) = (key::STROKE.limits.least, *kit.stroke);
    if !drawn(low) {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if drawn(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    let proposed = low.down_to(stroke_step(kit));
    drawn(proposed).then_some(proposed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid;
    use crate::{kit, layout};

    /// Longer than any facet, so that none is divided.
    const UNDIVIDED: Length = Length::mm(1e6);

    /// Share of the real facets that the estimate has at the least.
    const LEAST: f64 = 0.75;

    /// Estimate over real facets of a kit, all its parts together, printed and bought.
    fn ratio(text: &str) -> f64 {
        let (kit, _) = kit::read(text, &[]).expect("a valid kit");
        let design = layout::design(&kit, &Profile::untuned_for(&kit)).expect("a design");
        let (mut expected, mut real) = (0.0, 0.0);
        for part in &design.assembly.parts {
            let [plain, divided] = expected_facets(&part.shape, *kit.tolerance, UNDIVIDED);
            assert!((divided - plain).abs() < 1e-6 * plain, "{}", part.name);
            expected += plain;
            let mesh = solid::mesh(&part.shape, *kit.tolerance).expect("a mesh");
            real += mesh.triangles.len() as f64;
        }
        expected / real
    }

    #[test]
    fn facets_are_expected_as_they_come_over_a_spread_of_kits() {
        let single = |drive: &str, stroke: f64, more: &str| {
            format!(
                "name = \"t\"\nlayout = \"single\"\ndrive = \"{drive}\"\nstroke = {stroke}\n{more}"
            )
        };
        let nested = |drive: &str, inner: &str, stroke: f64, more: &str| {
            format!(
                "name = \"t\"\nlayout = \"nested\"\ndrive = \"{drive}\"\ninner = \"{inner}\"\n\
                 stroke = {stroke}\n{more}"
            )
        };
        for text in [
            nested("M20x2.5", "M12x1.75", 10.0, ""),
            nested("M20x2.5", "M12x1.75", 40.0, "tolerance = 0.03"),
            nested("M24x3", "M16x2-LH", 60.0, "tolerance = 0.02"),
            nested("27x3", "18x2.5", 10.0, "pins = { diameter = 7 }"),
            single("M16x2", 20.0, ""),
            single("M16x2-LH", 150.0, "tolerance = 0.02"),
            single("M24x3", 20.0, "pins = { diameter = 6 }"),
            single("30x6", 50.0, "tolerance = 0.05"),
        ] {
            // Columns where creases meet and what booleans add are not counted.
            let ratio = ratio(&text);
            assert!((LEAST..=1.0).contains(&ratio), "{ratio}: {text}");
        }
    }
}
