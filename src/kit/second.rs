//! The thread that a layout has beside that of the drive: which one it is, and what is wrong
//! where it is missing or another is given.

use super::key;
use super::words::{LayoutKind, word};
use crate::declared::{Said, Tree};
use crate::diagnostic::Diagnostic;

/// A thread of which only some layouts have one.
struct Second {
    /// Its key.
    path: &'static str,
    /// What it is of: `inner screw`.
    noun: &'static str,
    /// The same, with its article.
    one: &'static str,
    /// What a layout needs that has it.
    needed: &'static str,
    /// A layout that has it.
    layout: LayoutKind,
    /// A line that gives it.
    example: &'static str,
}

const INNER: Second = Second {
    path: key::INNER.path,
    noun: "inner screw",
    one: "an inner screw",
    needed: "needs the thread of the inner screw",
    layout: LayoutKind::Nested,
    example: "inner = \"M12x1.75\"",
};

const THIN: Second = Second {
    path: key::THIN.path,
    noun: "thin thread",
    one: "a thin thread",
    needed: "needs the thread of the drive screw's thin end",
    layout: LayoutKind::Tandem,
    example: "thin = \"M14x2\"",
};

const FAR: Second = Second {
    path: key::FAR.path,
    noun: "far shaft",
    one: "a far shaft, wound the other way",
    needed: "needs the thread of the far shaft",
    layout: LayoutKind::Opposed,
    example: "far = \"M16x2-LH\"",
};

/// What a layout has beside the drive's thread.
const fn of(layout: LayoutKind) -> Option<Second> {
    match layout {
        LayoutKind::Single => None,
        LayoutKind::Nested => Some(INNER),
        LayoutKind::Tandem => Some(THIN),
        LayoutKind::Opposed => Some(FAR),
    }
}

/// The key of the second thread that a layout has, and those of the others, which it refuses.
pub(super) fn keys_of(layout: LayoutKind) -> (Option<&'static str>, Vec<&'static str>) {
    let own = of(layout).map(|own| own.path);
    let all = [INNER.path, THIN.path, FAR.path].into_iter();
    (own, all.filter(|path| Some(*path) != own).collect())
}

/// What is wrong with the second threads that a file gives its layout.
pub(super) fn problems(tree: &Tree<'_>, layout: &Said<LayoutKind>) -> Vec<Diagnostic> {
    let own = of(layout.value);
    let is_own = |path| own.as_ref().is_some_and(|own| own.path == path);
    let is_missing = |path: &str| !tree.fields.contains_key(path) && tree.is_absent(path);
    let missing = own.as_ref().filter(|own| is_missing(own.path));
    let others = [INNER, THIN, FAR].into_iter();
    let others = others.filter(|other| !is_own(other.path));
    let mut problems: Vec<Diagnostic> = others
        .filter_map(|other| {
            let value = tree.fields.get(other.path)?;
            let Second { path, noun, .. } = other;
            let (a, layout) = (article(layout.value), word(layout.value));
            let message = format!("{a} {layout} layout has no {noun}");
            let first = match missing {
                Some(own) => format!("write `{}` instead of `{path}`", own.path),
                None => format!("remove `{path}`"),
            };
            let mend = format!("{first}, or write `layout = \"{}\"`", word(other.layout));
            let problem = Diagnostic::error(message, value.span());
            Some(problem.label("no place for this thread").mend(mend))
        })
        .collect();
    // What is given under the wrong key is not told as missing too.
    let missing = missing.filter(|_| problems.is_empty());
    problems.extend(missing.map(|own| {
        let message = format!(
            "`{}` is missing: {} {} layout has {}",
            own.path,
            article(layout.value),
            word(layout.value),
            own.one
        );
        Diagnostic::error(message, layout.place())
            .label(own.needed)
            .mend(format!(
                "add a line such as `{}`, or write `layout = \"{}\"`",
                own.example,
                word(LayoutKind::Single)
            ))
    }));
    problems
}

/// What stands before a layout's word.
pub(super) const fn article(layout: LayoutKind) -> &'static str {
    match layout {
        LayoutKind::Single | LayoutKind::Nested | LayoutKind::Tandem => "a",
        LayoutKind::Opposed => "an",
    }
}
