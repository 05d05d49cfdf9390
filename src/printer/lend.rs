//! What a kit takes from the profile that it names, and where the two disagree.

use super::profile::Profile;
use crate::declared::{Said, plain};
use crate::diagnostic::Diagnostic;
use crate::kit::{Kit, word};
use crate::strength::Material;
use crate::units::Length;

/// Settings that differ by less are the same, written twice: a hundredth of the thinnest
/// layer. Guess.
const SAME_SETTING: Length = Length::mm(0.0004);

impl Profile {
    /// Gives a kit the layer, line, walls, bed, way to lay slender parts and material that it does not say itself, and
    /// warns where it says others than were measured.
    pub fn lend(&self, kit: &mut Kit) -> Vec<Diagnostic> {
        lend(&mut kit.bed, self.bed);
        lend(&mut kit.slender, self.slender);
        [
            self.length(
                &mut kit.layer,
                self.layer,
                "layers",
                "its flank extra and growth",
            ),
            self.length(&mut kit.line, self.line, "lines", "its growth"),
            self.walls(&mut kit.walls),
            self.material(&mut kit.material),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// The same printer, with the layer, line, walls and bed that a kit prints with.
    pub fn as_printed_by(&self, kit: &Kit) -> Self {
        let mut profile = self.clone();
        (profile.layer, profile.line, profile.walls) = (*kit.layer, *kit.line, *kit.walls);
        (profile.bed, profile.slender) = (*kit.bed, *kit.slender);
        profile
    }

    fn length(
        &self,
        said: &mut Said<Length>,
        measured: Length,
        what: &str,
        concerned: &str,
    ) -> Option<Diagnostic> {
        lend(said, measured);
        if (said.value - measured).abs() <= SAME_SETTING {
            return None;
        }
        let wanted = format!("{} mm", plain(said.as_mm()));
        let was = plain(measured.as_mm());
        Some(self.differs(
            said,
            &format!("at {was} mm {what}"),
            &wanted,
            concerned,
            &format!("at {wanted} {what}"),
        ))
    }

    fn walls(&self, said: &mut Said<u32>) -> Option<Diagnostic> {
        lend(said, self.walls);
        (said.value != self.walls).then(|| {
            let wanted = said.value.to_string();
            let was = format!("with {} walls", self.walls);
            self.differs(
                said,
                &was,
                &wanted,
                "its growth",
                &format!("with {wanted} walls"),
            )
        })
    }

    fn material(&self, said: &mut Said<Material>) -> Option<Diagnostic> {
        lend(said, self.material);
        (said.value != self.material).then(|| {
            let wanted = word(said.value);
            let was = format!("in {}", word(self.material));
            self.differs(
                said,
                &was,
                wanted,
                "its scales and growth",
                &format!("in {wanted}"),
            )
        })
    }

    fn differs<T>(
        &self,
        said: &Said<T>,
        was: &str,
        wanted: &str,
        concerned: &str,
        again: &str,
    ) -> Diagnostic {
        let message = format!(
            "the profile `{}` was measured {was}, the kit asks for {wanted}: {concerned} may differ",
            self.name
        );
        Diagnostic::warning(message, said.place())
            .label(format!("measured {was}"))
            .mend(format!(
                "print the coupons again {again} and tune, or remove the line to take what \
                 was measured"
            ))
    }
}

fn lend<T>(said: &mut Said<T>, value: T) {
    if said.at.is_none() {
        *said = Said::default_value(value);
    }
}
