//! From the text of a kit to a worked-out product: the rooms in their order.

use crate::kit::Kit;
use crate::output::{KitFacts, Product, Tool};
use crate::units::Length;

/// How far a kit is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// As far as the checks need it.
    Judged,
    /// With the file of every printed part.
    Written,
}

/// A kit that was read, with remarks that do not stop it, rendered for people (may be empty).
#[derive(Clone, Debug)]
pub struct Read {
    /// The kit.
    pub kit: Kit,
    /// Warnings and notes about it.
    pub remarks: String,
}

/// Why there is no product.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The input is rejected; every problem in it, rendered for people.
    Rejected(String),
    /// Something broke that the input is not to blame for.
    Broken(String),
}

fn not_wired<T>(what: &str) -> Result<T, Refusal> {
    Err(Refusal::Broken(format!("{what} is not wired yet")))
}

/// Reads a kit. `path` is for messages only.
///
/// # Errors
/// Every problem of the text, at once.
pub fn read(_path: &str, _text: &str) -> Result<Read, Refusal> {
    // Stub: kit::read, diagnostic::render.
    not_wired("reading a kit")
}

/// Works a kit out. `progress` is told what is being worked on, from any thread.
///
/// # Errors
/// What keeps it from being sized or meshed. A check that fails is no error: it is among the
/// product's findings.
pub fn work(
    _kit: &Kit,
    _depth: Depth,
    _progress: &(dyn Fn(&str) + Sync),
) -> Result<Product, Refusal> {
    // Stub: layout::design, motion::solve, solids by part in parallel, checks.
    not_wired("working a kit out")
}

/// The sheet of a thread, as text or as JSON, with a line end after the last line.
///
/// # Errors
/// What is wrong with the designation.
pub fn thread_sheet(_designation: &str, _json: bool) -> Result<String, Refusal> {
    // Stub: thread designations, output::thread_sheet.
    not_wired("the sheet of a thread")
}

/// What the outputs say of a kit.
pub fn kit_facts(kit: &Kit) -> KitFacts {
    let waivers = kit.waive.iter();
    KitFacts {
        name: kit.name.value.clone(),
        layout: kit.layout.value,
        material: kit.material.value,
        layer: kit.layer.value,
        line: kit.line.value,
        waivers: waivers
            .map(|waiver| (waiver.check.value.clone(), waiver.reason.value.clone()))
            .collect(),
    }
}

/// What the bench needs: common practice for pressed pins and a hexagon head.
pub fn tools(across_flats: Length, inner_screw: bool) -> Vec<Tool> {
    let tool = |name: &str, description: String| Tool {
        name: name.into(),
        description,
    };
    let mut tools = vec![
        tool(
            "spanner",
            format!(
                "{} across flats, for the hexagon; fingers will do",
                crate::output::words::length(across_flats)
            ),
        ),
        tool("vice", "or a soft mallet, to press the pins in".into()),
        tool(
            "eye protection",
            "for whoever presses pins or stands near".into(),
        ),
        tool(
            "caliper",
            "or a rule, for the last distance of the steps".into(),
        ),
    ];
    if inner_screw {
        tools.push(tool(
            "screwdriver",
            "flat, for the slot of the inner screw".into(),
        ));
    }
    tools
}
