//! The text of a kit, and profiles of printers, to a [`Product`]: the rooms in their order.
//!
//! [`read`] takes the text, [`Read::judge`] and [`Read::work`] what comes of it. No file is touched: a
//! program that reads profiles from elsewhere implements [`Profiles`].

mod bench_work;
mod drawing_work;
mod figures;
mod profiles;
mod shapes;

pub use profiles::{Found, InMemory, Profiles};

use crate::aid;
use crate::assembly::Step;
use crate::check::{self, Bodies, Early, Finding, Mends, Outcome};
use crate::coupon;
use crate::diagnostic::{self, Diagnostic, Severity, Source, Style};
use crate::kit::{self, Kit, key};
use crate::layout::{self, Design};
use crate::load::{Case, Trains};
use crate::motion::{self, MotionError, Rate, StrokeRates};
use crate::output::album::{Album, Model};
pub use crate::output::kit::Product;
use crate::output::part::{PartBody, Unmade};
use crate::output::viewer::{self, Moving};
use crate::printer::Profile;
use crate::printing_time::{self, Job};
use crate::sequence::{self, Order, Speaker};
use crate::solid::Mesh;
use bench_work::BenchWork;
use drawing_work::DrawingWork;
use figures::{Plays, joints, kit_facts, moved, odds};
pub(crate) use shapes::{Shapes, Subject};
use std::sync::Arc;

/// A kit that was read, with its text for messages about it.
#[derive(Clone, Debug)]
pub struct Read {
    /// The kit, with what its printer's profile lends it.
    pub kit: Kit,
    /// What is known of its printer.
    pub profile: Profile,
    /// Warnings and notes about it, rendered for people (may be empty).
    pub remarks: String,
    path: String,
    text: String,
}

/// What is wanted of a kit, of what takes longer than all the rest that is known without meshes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Mends of what does not pass.
    pub mends: Mends,
    /// The odds of its copies; `kit-odds` is judged all the same.
    pub odds: bool,
}

impl Wanted {
    /// All of it.
    pub const ALL: Self = Self {
        mends: Mends::Sought,
        odds: true,
    };
}

/// Whether the pictures of a kit are drawn beside its judgement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pictures {
    /// They are not.
    None,
    /// They are, if the kit itself is.
    Drawn,
}

/// A kit that is sized and fails no check that needs no mesh, not judged further yet.
#[derive(Debug)]
pub(crate) struct Sketch {
    design: Design,
    rates: StrokeRates,
    /// What those checks say.
    early: Early,
    model: Option<Model>,
}

/// What is known of a kit before its bodies are made.
#[derive(Debug)]
pub(crate) enum Begun {
    /// A check that needs no mesh fails: all that is known without one.
    Failing(Box<Product>),
    /// None does.
    Sketched(Box<Sketch>),
}

/// Why there is no product. As text it has no colours.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// The input is rejected; every problem in it, rendered for people, with colours of a terminal.
    #[error("{}", anstream::adapter::strip_str(.0))]
    Rejected(String),
    /// Something broke that the input is not to blame for.
    #[error("{0}")]
    Broken(String),
}

/// Reads a kit, and the profile of its printer from among those at hand. `path` is for messages only.
///
/// # Errors
/// Every problem of the text, at once, or of the profile.
pub fn read(path: &str, text: &str, profiles: &dyn Profiles) -> Result<Read, Refusal> {
    let shown = |problems: &[Diagnostic]| rendered(path, text, problems);
    let (mut kit, mut problems) =
        kit::read(text, &check::ids()).map_err(|problems| Refusal::Rejected(shown(&problems)))?;
    let Some(printer) = kit.printer.clone() else {
        return Ok(Read {
            profile: Profile::untuned_for(&kit),
            remarks: shown(&problems),
            kit,
            path: path.into(),
            text: text.into(),
        });
    };
    let found = match profiles.find(&printer) {
        Ok(found) => found,
        Err(problem) => {
            problems.push(problem);
            return Err(Refusal::Rejected(shown(&problems)));
        }
    };
    let (profile, said_of_profile) = read_profile(&found).map_err(|said_of_profile| {
        Refusal::Rejected(joined([shown(&problems), said_of_profile]))
    })?;
    problems.append(&mut profile.lend(&mut kit));
    Ok(Read {
        remarks: joined([shown(&problems), said_of_profile]),
        kit,
        profile,
        path: path.into(),
        text: text.into(),
    })
}

/// The profile and its warnings, or its problems, rendered for people.
fn read_profile(found: &Found) -> Result<(Profile, String), String> {
    let shown = |problems: &[Diagnostic]| rendered(&*found.path, &found.text, problems);
    match Profile::from_toml(&found.text) {
        Ok((profile, remarks)) => Ok((profile, shown(&remarks))),
        Err(problems) => Err(shown(&problems)),
    }
}

/// Texts of whole lines (may be empty), a blank line between them.
pub(crate) fn joined(files: [String; 2]) -> String {
    let said: Vec<String> = files.into_iter().filter(|said| !said.is_empty()).collect();
    said.join("\n")
}

pub(crate) fn rendered<'a>(
    source: impl Into<Source<'a>>,
    text: &str,
    problems: &[Diagnostic],
) -> String {
    if problems.is_empty() {
        return String::new();
    }
    let style = Style {
        colour: true,
        ..Style::default()
    };
    diagnostic::render(source, text, problems, style)
}

impl Read {
    /// Works the kit out, whatever its checks say. `progress` is told what is being worked on, from any
    /// thread.
    ///
    /// # Errors
    /// What keeps it from being sized or meshed. A check that fails is no error: it is among
    /// the product's findings.
    pub fn work(&self, progress: &(dyn Fn(&str) + Sync)) -> Result<Product, Refusal> {
        let (design, rates) = self.sized()?;
        let shapes = Subject::of(&self.kit, &design, &rates).drawn(progress)?;
        let sketch = Sketch {
            early: Early::whatever(&self.case(&design, &rates)),
            design,
            rates,
            model: None,
        };
        self.finish_with(sketch, shapes, Wanted::ALL)
    }

    /// The same, but that a kit which fails a check that needs no mesh is not drawn: all that is known
    /// without one is told of it.
    ///
    /// # Errors
    /// As [`Read::work`].
    pub fn judge(&self, progress: &(dyn Fn(&str) + Sync)) -> Result<Product, Refusal> {
        self.judge_and_draw(Pictures::None, progress)
    }

    /// The same, with its pictures where they are wanted, which are drawn beside the judgement.
    ///
    /// # Errors
    /// As [`Read::work`].
    pub fn judge_and_draw(
        &self,
        pictures: Pictures,
        progress: &(dyn Fn(&str) + Sync),
    ) -> Result<Product, Refusal> {
        match self.begin(pictures, Wanted::ALL)? {
            Begun::Failing(product) => Ok(*product),
            Begun::Sketched(sketch) => self.finish(*sketch, progress),
        }
    }

    /// The first half of [`Read::judge_and_draw`], for whoever shows the mechanism before it is judged. Of
    /// a kit that fails, what is wanted is told.
    ///
    /// # Errors
    /// What keeps it from being sized, or its pictures from being meshed.
    pub(crate) fn begin(&self, pictures: Pictures, wanted: Wanted) -> Result<Begun, Refusal> {
        let (design, rates) = self.sized()?;
        let Some(early) = Early::of(&self.case(&design, &rates)) else {
            let product = self.undrawn(design, &rates, wanted)?;
            return Ok(Begun::Failing(Box::new(product)));
        };
        let model = match pictures {
            Pictures::None => None,
            Pictures::Drawn => Some(self.model(&design)?),
        };
        Ok(Begun::Sketched(Box::new(Sketch {
            design,
            rates,
            early,
            model,
        })))
    }

    /// The second half: the bodies, the judgement and the pictures.
    ///
    /// # Errors
    /// As [`Read::work`].
    pub(crate) fn finish(
        &self,
        sketch: Sketch,
        progress: &(dyn Fn(&str) + Sync),
    ) -> Result<Product, Refusal> {
        let shapes = self.subject(&sketch).drawn(progress)?;
        self.finish_with(sketch, shapes, Wanted::ALL)
    }

    /// All that the shapes of a sketch hang on.
    pub(crate) fn subject(&self, sketch: &Sketch) -> Subject {
        Subject::of(&self.kit, &sketch.design, &sketch.rates)
    }

    /// A sketch as the moving drawing of a page shows it, without order, steps and least gap, which are
    /// not known yet; none of one without pictures.
    ///
    /// # Errors
    /// A force or motion that its layout is to blame for.
    pub(crate) fn moving(&self, sketch: &Sketch) -> Result<Option<Moving>, Refusal> {
        let Some(model) = &sketch.model else {
            return Ok(None);
        };
        let product = self.product(sketch.design.clone(), &sketch.rates, Vec::new())?;
        Ok(Some(viewer::moving(&product, model)))
    }

    /// What the pictures of a design are drawn from.
    fn model(&self, design: &Design) -> Result<Model, Refusal> {
        Model::of(&design.assembly, self.plain_twin())
            .map_err(|fault| Refusal::Broken(fault.to_string()))
    }

    /// The plain screw of the kit, and how its pieces move; none where it is one, or where its plain kit
    /// has no sizes.
    fn plain_twin(&self) -> Option<(Design, Vec<Rate>)> {
        let text = kit::plain_of(&self.text, &self.kit).ok()??;
        let (plain, _) = kit::read(&text, &check::ids()).ok()?;
        let design = layout::design(&plain, &self.profile).ok()?;
        let rates = motion::solve_stroke(&design.assembly, design.net_lead).ok()?;
        let rates = rates.all().to_vec();
        Some((design, rates))
    }

    /// What is known of the kit without drawing it.
    ///
    /// # Errors
    /// What keeps it from being sized, or is too much to be drawn.
    pub fn by_sizes(&self, wanted: Wanted) -> Result<Product, Refusal> {
        let (design, rates) = self.sized()?;
        self.undrawn(design, &rates, wanted)
    }

    /// The mechanism and how it moves, where that is not too much to be drawn.
    fn sized(&self) -> Result<(Design, StrokeRates), Refusal> {
        let (kit, profile) = (&self.kit, &self.profile);
        let design = layout::design(kit, profile).map_err(|problems| self.rejected(&problems))?;
        let rates = motion::solve_stroke(&design.assembly, design.net_lead)
            .map_err(|error| self.unmoved(&error))?;
        self.worth_drawing(&design, &rates)?;
        Ok((design, rates))
    }

    fn case<'a>(&'a self, design: &'a Design, rates: &'a StrokeRates) -> Case<'a> {
        Case {
            kit: &self.kit,
            profile: &self.profile,
            design,
            rates,
        }
    }

    /// [`Read::finish`] with shapes that are there already, those of its [`Read::subject`]: judged, and with
    /// the pictures of what it is drawn from.
    ///
    /// # Errors
    /// As [`Read::work`].
    pub(crate) fn finish_with(
        &self,
        sketch: Sketch,
        shapes: Shapes,
        wanted: Wanted,
    ) -> Result<Product, Refusal> {
        let (kit, profile) = (&self.kit, &self.profile);
        let Sketch {
            mut design,
            rates,
            early,
            model,
        } = sketch;
        let Shapes {
            bodies,
            clearance,
            order,
        } = shapes;
        let meshes: Vec<&Mesh> = bodies.iter().map(PartBody::mesh).collect();
        design.steps = steps(kit, &design, &order);
        let judged = || {
            let seen = Bodies {
                meshes: &meshes,
                clearance: &clearance,
                order: &order,
            };
            early.with_bodies(&self.case(&design, &rates), &seen, wanted.mends)
        };
        let illustrated = |model| Album::draw(&design, rates.all(), &order, model, &self.kit.name);
        let odds = || wanted.odds.then(|| odds(&design.assembly, profile));
        let ((findings, odds), album) = rayon::join(
            || rayon::join(judged, odds),
            || model.map(illustrated).transpose(),
        );
        let album = album.map_err(|fault| Refusal::Broken(fault.to_string()))?;
        let job = job(kit, profile, &design, &meshes);
        let product = self.product(design, &rates, findings)?;
        Ok(Product {
            odds: odds.flatten(),
            bodies,
            job: Some(job),
            clearance: Some(clearance),
            order: Some(order),
            album,
            ..product
        })
    }

    /// A design without meshes.
    fn undrawn(
        &self,
        design: Design,
        rates: &StrokeRates,
        wanted: Wanted,
    ) -> Result<Product, Refusal> {
        let findings = check::before_meshes(&self.case(&design, rates), wanted.mends);
        let odds = wanted.odds.then(|| odds(&design.assembly, &self.profile));
        let product = self.product(design, rates, findings)?;
        Ok(Product {
            odds: odds.flatten(),
            ..product
        })
    }

    /// Says of a product on a printer that was never measured what its quick test pieces take; of one that
    /// was not drawn they are not drawn either.
    pub fn cost_of_tuning(&self, product: &mut Product) {
        if !product.is_drawn() {
            return;
        }
        if let Some(odds) = product.odds.as_mut().filter(|odds| !odds.tuned) {
            let time = coupon::quick_time(&self.kit, &product.design, &self.profile);
            odds.quick_pieces = Some(time);
        }
    }

    /// Says what printing so many pieces of some of a product's parts takes, in the order of its parts, and
    /// lays them on beds; what was not drawn is left as it is.
    pub fn reprint(&self, product: &mut Product, pieces: &[usize]) {
        if !product.is_drawn() {
            return;
        }
        let parts = product.design.assembly.parts.iter();
        let all = parts.zip(product.bodies.iter()).zip(pieces);
        let bodies = all.map(|((part, body), pieces)| {
            let printed = Job::printed(part, || printing_time::Body::of(body.mesh()));
            printed.map(|(body, _)| (body, *pieces))
        });
        let profile = self.profile.as_printed_by(&self.kit);
        product.reprint = Some(Job::new(&bodies.collect::<Vec<_>>(), &profile));
    }

    /// Says which parts another gap of each joint shapes anew, for the guide's page of troubles: the kit
    /// is sized once more for every joint, which nothing else needs.
    pub fn what_gaps_shape(&self, product: &mut Product) {
        let shapes = layout::shaped_by_gaps(&self.kit, &self.profile, &product.design);
        for (joint, shapes) in product.joints.iter_mut().zip(shapes) {
            joint.shapes = shapes;
        }
    }

    /// Makes the bench aids of a product, and draws them in use where its pictures were drawn; of one that was
    /// not drawn there are none.
    ///
    /// # Errors
    /// An aid without a sound mesh, or a picture of one: a defect of the program.
    pub fn aids(
        &self,
        product: &mut Product,
        progress: &(dyn Fn(&str) + Sync),
    ) -> Result<(), Refusal> {
        let Some(order) = &product.order else {
            return Ok(());
        };
        progress("bench aids");
        let meshes: Vec<&Mesh> = product.bodies.iter().map(PartBody::mesh).collect();
        let rates = motion::solve_stroke(&product.design.assembly, product.design.net_lead)
            .map_err(|error| self.unmoved(&error))?;
        let found = aid::aids(aid::Known {
            kit: &self.kit,
            profile: &self.profile,
            design: &product.design,
            rates: rates.all(),
            meshes: &meshes,
            order,
        });
        let made = BenchWork {
            read: self,
            product,
            rates: &rates,
        };
        let aids = made.made(found)?;
        product.aids = Some(aids);
        Ok(())
    }

    /// Seconds of one core that working it out will take, about; none if it cannot be drawn.
    pub(crate) fn core_seconds(&self) -> Option<f64> {
        let design = layout::design(&self.kit, &self.profile).ok()?;
        let work = DrawingWork::of(&design, *self.kit.tolerance);
        // What is too much is refused at once.
        Some(if work.is_too_much() {
            0.0
        } else {
            work.core_seconds()
        })
    }

    /// Whether a design is drawn at all: not if that were too much. What else fails is told beside it.
    fn worth_drawing(&self, design: &Design, rates: &StrokeRates) -> Result<(), Refusal> {
        let work = DrawingWork::of(design, *self.kit.tolerance);
        if !work.is_too_much() {
            return Ok(());
        }
        let case = self.case(design, rates);
        let findings = check::before_meshes(&case, Mends::Sought).into_iter();
        let failing = findings.filter(|finding| finding.outcome == Outcome::Fail);
        let mut problems: Vec<Diagnostic> = failing.map(|finding| located(&finding)).collect();
        problems.push(work.refused(&self.kit, &self.profile));
        Err(self.rejected(&problems))
    }

    /// Puts together what is known of a design without its meshes, but for its odds, which take longest.
    fn product(
        &self,
        design: Design,
        rates: &StrokeRates,
        findings: Vec<Finding>,
    ) -> Result<Product, Refusal> {
        let (kit, profile) = (&self.kit, &self.profile);
        let case = self.case(&design, rates);
        let force = check::force_figures(&case);
        // A load asks for most torque where friction is most, and gets away where it is least.
        let trains = |friction| {
            Trains::at(&case, friction).map_err(|error| self.blamed_on_layout(error.to_string()))
        };
        let train = trains(kit.friction().high)?.harder();
        let holds = trains(kit.friction().low)?.pull.self_locking();
        let plays = Plays::of(profile, &design, rates);
        Ok(Product {
            kit: kit_facts(kit, profile),
            motion: moved(kit, profile, (&design, rates), &plays, (&train, holds)),
            force,
            rates: rates.all().iter().copied().map(Some).collect(),
            joints: joints(*kit.layer, profile, &design, rates, plays.leading.each),
            odds: None,
            bodies: Arc::default(),
            job: None,
            clearance: None,
            findings,
            order: None,
            album: None,
            reprint: None,
            aids: None,
            changes: None,
            design,
        })
    }

    /// Why a mechanism does not move as it was made to.
    pub(crate) fn unmoved(&self, error: &MotionError) -> Refusal {
        match error.is_defect() {
            true => Refusal::Broken(format!("{error}; please report this kit")),
            false => self.blamed_on_layout(error.to_string()),
        }
    }

    fn blamed_on_layout(&self, message: String) -> Refusal {
        let at = self.kit.place_of(&[key::LAYOUT.name()]).unwrap_or(0..0);
        self.rejected(&[Diagnostic::error(message, at)])
    }

    /// What keeps a design from being, pointed at in the kit.
    pub(crate) fn rejected(&self, problems: &[Diagnostic]) -> Refusal {
        Refusal::Rejected(rendered(&self.path, &self.text, problems))
    }

    /// Notes on waivers of checks that find nothing to waive (may be empty).
    pub fn idle_waivers(&self, product: &Product) -> String {
        let used = |check: &str| {
            let mut findings = product.findings.iter();
            findings.any(|finding| finding.id == check && finding.outcome == Outcome::Waived)
        };
        // Of what was not judged nothing is known.
        let judged = |check: &str| {
            product.is_drawn() || check::rule(check).is_some_and(|rule| !rule.needs_meshes())
        };
        let idle = self.kit.waive.iter();
        let idle = idle.filter(|w| judged(&w.check.value) && !used(&w.check.value));
        let notes: Vec<Diagnostic> = idle
            .map(|waiver| {
                let check = &waiver.check;
                let message = format!("the waiver of `{}` waives nothing: it passes", check.value);
                Diagnostic {
                    severity: Severity::Note,
                    message,
                    at: check.at.clone(),
                    label: "nothing to waive".into(),
                    mend: Some("remove the waiver".into()),
                }
            })
            .collect();
        rendered(&self.path, &self.text, &notes)
    }

    /// Failing checks as messages that point at the lines that caused them (may be empty), the
    /// first alone or all of them.
    pub fn failures(&self, product: &Product, first_alone: bool) -> String {
        let failing = product
            .findings
            .iter()
            .filter(|finding| finding.outcome == Outcome::Fail);
        let most = if first_alone { 1 } else { usize::MAX };
        let problems: Vec<Diagnostic> = failing.take(most).map(located).collect();
        rendered(&self.path, &self.text, &problems)
    }
}

/// A failing check as a message; one that no key caused names the file alone.
fn located(finding: &Finding) -> Diagnostic {
    Diagnostic {
        severity: Severity::Error,
        message: format!("{}: {}", finding.id, finding.message),
        at: finding.at.clone(),
        label: String::new(),
        mend: finding.mend.clone(),
    }
}

/// The steps of an order, in a design's words.
fn steps(kit: &Kit, design: &Design, order: &Order) -> Vec<Step> {
    let speaker = Speaker {
        assembly: &design.assembly,
        told: kit.told(),
    };
    sequence::steps(order, &design.script, &speaker)
}

/// That a part or a bench aid has no sound mesh: a defect of the program.
fn unsound(unmade: &Unmade) -> Refusal {
    Refusal::Broken(format!(
        "the mesh of part `{}` is not sound: {}; please report this kit, and try another `tolerance` or a \
         slightly different size meanwhile",
        unmade.name, unmade.fault
    ))
}

/// What printing takes, with the layer, line and walls of the kit.
fn job(kit: &Kit, profile: &Profile, design: &Design, meshes: &[&Mesh]) -> Job {
    let parts = design.assembly.parts.iter().zip(meshes);
    let bodies = parts.map(|(part, mesh)| Job::printed(part, || printing_time::Body::of(mesh)));
    Job::new(&bodies.collect::<Vec<_>>(), &profile.as_printed_by(kit))
}

/// The same without meshes, in 0.2 to 1 ms: see [`printing_time::Body::expected`] for how near it comes.
pub fn expected_job(kit: &Kit, profile: &Profile, design: &Design) -> Job {
    Job::expected(&design.assembly, &profile.as_printed_by(kit))
}
