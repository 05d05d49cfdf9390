//! A kit judged before and after a mend was followed.

use super::typed::{Edit, Way, followed, ways};
use netlead::check::{self, Finding, Mends, Outcome, Subject};
use netlead::load::Case;
use netlead::making::{self, InMemory, Read};
use netlead::printer::Profile;
use netlead::units_told::of_copies;

/// How a kit is judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum By {
    /// By all that is known without meshes.
    Sizes,
    /// By everything.
    Meshes,
}

fn read(text: &str) -> Option<Read> {
    making::read("kit.toml", text, &InMemory::none()).ok()
}

/// What is found in a kit; none where it is refused.
pub(super) fn found(text: &str, by: By, tuned: bool) -> Option<Vec<Finding>> {
    let mut read = read(text)?;
    if tuned {
        read.profile = known(&read.profile);
    }
    if by == By::Meshes {
        return read.work(&|_| {}).ok().map(|product| product.findings);
    }
    let design = netlead::layout::design(&read.kit, &read.profile).ok()?;
    let rates = netlead::motion::solve_stroke(&design.assembly, design.net_lead).ok()?;
    let case = Case {
        kit: &read.kit,
        profile: &read.profile,
        design: &design,
        rates: &rates,
    };
    Some(check::before_meshes(&case, Mends::Sought))
}

/// The printer as its test pieces would tell it if they found what is guessed.
fn known(profile: &Profile) -> Profile {
    profile.with_terms_known()
}

/// What a finding is about, told apart from others of its rule.
fn about(finding: &Finding) -> (&'static str, String, &'static str, String) {
    let words = ["stresses ", "pushes ", "falls on ", "a ridge of "];
    let message = &finding.message;
    let place = words.iter().find_map(|word| message.split(word).nth(1));
    let place = place.and_then(|place| place.split([':', ',']).next());
    let place = place.unwrap_or_default();
    // A kit that buys what it printed numbers its parts anew; a place has a name.
    let subject = match finding.subject {
        Subject::Part(_) | Subject::Piece(_) if !place.is_empty() => String::new(),
        subject => format!("{subject:?}"),
    };
    (finding.id, subject, finding.unit, place.into())
}

/// The worst that is found about the same.
fn worst(of: &Finding, among: &[Finding]) -> Outcome {
    let same = among.iter().filter(|other| about(other) == about(of));
    let outcomes = same.map(|finding| finding.outcome);
    outcomes.max().unwrap_or(Outcome::Pass)
}

/// A finding with all the ways of its mend; none where that names nothing to type.
pub(super) struct Mendable {
    pub(super) finding: Finding,
    pub(super) ways: Vec<Way>,
}

/// What may be mended in a kit by typing: failures and warnings, and notes if asked for.
pub(super) fn mendable(findings: &[Finding], notes: bool) -> Vec<Mendable> {
    let least = if notes { Outcome::Note } else { Outcome::Warn };
    let open = findings
        .iter()
        .filter(|finding| (least..=Outcome::Fail).contains(&finding.outcome));
    open.map(|finding| Mendable {
        finding: finding.clone(),
        ways: ways(finding.mend.as_deref().unwrap_or_default()),
    })
    .collect()
}

/// What is wrong with a way once it was followed; nothing where it leads to success.
pub(super) fn fault(
    text: &str,
    before: &[Finding],
    finding: &Finding,
    way: &Way,
    by: By,
) -> Option<String> {
    let mended = followed(text, way);
    let told = |what: String| {
        let Finding {
            id, message, mend, ..
        } = finding;
        Some(format!(
            "{text}\n{id}: {message}\n{mend:?}\n{way:?}\n{what}\n"
        ))
    };
    let Some(after) = found(&mended, by, way.contains(&Edit::Tune)) else {
        return told("the kit is refused".into());
    };
    let left = worst(finding, &after);
    if (left >= finding.outcome || left == Outcome::Fail) && !is_as_told(finding, &after) {
        return told(format!("{left:?} is left"));
    }
    let newly = newly_failing(before, &after);
    // What is not sure without meshes may have failed before all the same.
    let newly = match (newly.is_empty(), by) {
        (true, _) => return None,
        (false, By::Meshes) => newly,
        (false, By::Sizes) => {
            let before = found(text, By::Meshes, false);
            before.map_or(newly, |before| newly_failing(&before, &after))
        }
    };
    match newly.is_empty() {
        true => None,
        false => told(format!("now fails: {newly:?}")),
    }
}

fn newly_failing(before: &[Finding], after: &[Finding]) -> Vec<String> {
    let fails = after.iter().filter(|other| other.outcome == Outcome::Fail);
    let newly = fails.filter(|other| worst(other, before) < Outcome::Fail);
    newly
        .map(|other| format!("{}: {}", other.id, other.message))
        .collect()
}

/// The mend of odds tells how far it reaches, which may be short of the limit: whether that comes
/// of it, and is worth it.
fn is_as_told(finding: &Finding, after: &[Finding]) -> bool {
    let words = finding.mend.as_deref().unwrap_or_default();
    let Some((_, reaches)) = words.split_once(": then ") else {
        return false;
    };
    let odds = |finding: &Finding| finding.value.filter(|_| finding.id == "kit-odds");
    let then = after.iter().find_map(odds);
    let said = |then: f64| reaches.contains(&format!("and {} after", of_copies(then)));
    odds(finding)
        .zip(then)
        .is_some_and(|(now, then)| then > now + 0.015 && said(then))
}
