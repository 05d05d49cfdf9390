//! Which working end and which mount a mechanism can carry, and why not the others.

use super::words::LayoutKind;
use super::{End, Mechanism, Mount, key, word};
use crate::declared::{Said, Tree, Words};
use crate::diagnostic::Diagnostic;

/// Why a mechanism has no room for what is asked to be fitted to it; empty if it has.
pub(super) fn problems(
    mechanism: &Mechanism,
    end: Option<&Said<End>>,
    mount: Option<&Said<Mount>>,
) -> Vec<Diagnostic> {
    let end = end.and_then(|end| {
        let why = no_end(mechanism.kind(), end.value)?;
        Some(refused(end, key::END.path, why, |other| {
            no_end(mechanism.kind(), other)
        }))
    });
    let mount = mount.and_then(|mount| {
        let why = no_mount(mechanism.kind(), mount.value)?;
        Some(refused(mount, key::MOUNT.path, why, |other| {
            no_mount(mechanism.kind(), other)
        }))
    });
    end.into_iter().chain(mount).collect()
}

/// Whether an end has an anvil, and so a throat before it.
pub(super) const fn has_throat(end: End) -> bool {
    match end {
        End::Flush | End::Ears | End::Jaw | End::Rod => false,
        End::Press => true,
    }
}

/// What is said of a throat that the kit's end does not have.
pub(super) fn idle(
    tree: &Tree<'_>,
    mechanism: &Mechanism,
    end: Option<&Said<End>>,
) -> Option<Diagnostic> {
    let end = end.filter(|end| !has_throat(end.value))?;
    let path = key::THROAT.path;
    let value = tree.fields.get(path)?;
    // The throat that was typed may be too short for a press, which a kit alone does not know.
    let other = match no_end(mechanism.kind(), End::Press) {
        None => format!(
            "; for a press write `{} = \"{}\"` besides, and its throat follows from the stroke",
            key::END.path,
            word(End::Press)
        ),
        Some(_) => String::new(),
    };
    let message = format!(
        "`{path}` has no meaning for a working end \"{}\": there is no anvil",
        word(end.value)
    );
    let problem = Diagnostic::error(message, value.span());
    Some(
        problem
            .label("changes nothing")
            .mend(format!("remove `{path}`{other}")),
    )
}

/// Why a layout has no such end.
pub(super) const fn no_end(layout: LayoutKind, end: End) -> Option<&'static str> {
    match (layout, end) {
        (
            LayoutKind::Nested | LayoutKind::Single,
            End::Flush | End::Ears | End::Jaw | End::Rod | End::Press,
        )
        | (LayoutKind::Tandem | LayoutKind::Opposed, End::Flush | End::Ears | End::Jaw) => None,
        (LayoutKind::Tandem, End::Rod | End::Press) => {
            Some("the drive screw's tip comes out of the keeper, where the rod would")
        }
        (LayoutKind::Opposed, End::Rod | End::Press) => {
            Some("the far shaft stands in the keeper's hole, where the rod would")
        }
    }
}

/// Why a layout has no such mount.
pub(super) const fn no_mount(layout: LayoutKind, mount: Mount) -> Option<&'static str> {
    match (layout, mount) {
        (
            LayoutKind::Nested | LayoutKind::Single,
            Mount::None | Mount::Foot | Mount::QuarterInch | Mount::M6,
        )
        | (LayoutKind::Tandem | LayoutKind::Opposed, Mount::None | Mount::Foot) => None,
        (LayoutKind::Tandem | LayoutKind::Opposed, Mount::QuarterInch | Mount::M6) => {
            Some("the carriage slides on the floor under which the nut would lie")
        }
    }
}

fn refused<T: Words + PartialEq>(
    asked: &Said<T>,
    path: &str,
    why: &str,
    refused: impl Fn(T) -> Option<&'static str>,
) -> Diagnostic {
    let fits = T::KNOWN
        .iter()
        .filter(|(_, other)| refused(*other).is_none());
    let fits: Vec<String> = fits
        .map(|(word, _)| format!("`{path} = \"{word}\"`"))
        .collect();
    Diagnostic::error(
        format!(
            "this layout has no {} \"{}\": {why}",
            T::NOUN,
            word(asked.value)
        ),
        asked.place(),
    )
    .label("not in this layout")
    .mend(format!("write {}", fits.join(" or ")))
}
