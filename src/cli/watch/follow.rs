//! From the kit's file, each time that it is saved, to what is on show.

use super::board::{Board, OnShow, State};
use super::files::Files;
use super::printers::Printers;
use crate::check;
use crate::cli::input;
use crate::cli::trouble::{Trouble, shown};
use crate::kit;
use crate::making::{
    self, Begun, InMemory, Pictures, Profiles, Read, Refusal, Sketch, Wanted, joined,
};
use crate::output::guide;
use crate::output::kit::Product;
use crate::output::page::digest;
use crate::output::viewer::Moving;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long a page may take to draw what it is handed, before the judgement goes on beside it. Measured on two cores
/// without a graphics card: 180 to 230 ms.
const TO_DRAW: Duration = Duration::from_millis(300);

/// Something that is told of a state, with its colours.
pub(super) enum Told {
    /// It passes: the verdict in a line, and remarks (may be empty).
    Ready(String, String),
    /// There is no page of it, and why.
    Refused(String),
}

/// Follows a kit for ever; `tell` is told what comes of each state.
pub(super) fn follow(
    kit: &Path,
    printers: &Printers,
    board: &Board,
    mut tell: impl FnMut(&Told, &OnShow),
) {
    let mut follower = Follower {
        kit,
        printers,
        board,
        number: 0,
        files: Files::now([kit.to_owned()]),
        profiles: Vec::new(),
    };
    loop {
        if let Some((told, on_show)) = follower.once() {
            tell(&told, &on_show);
        }
        follower.files.wait();
    }
}

struct Follower<'a> {
    kit: &'a Path,
    printers: &'a Printers,
    board: &'a Board,
    /// Of the state that hangs on the board.
    number: u64,
    /// As they stood when they were read.
    files: Files,
    /// Where the profile may be of the kit that could last be read.
    profiles: Vec<PathBuf>,
}

impl Follower<'_> {
    /// Works out the files as they stand; nothing is told if they have changed meanwhile.
    fn once(&mut self) -> Option<(Told, OnShow)> {
        self.hang(|on_show| {
            on_show.news.state = State::Working;
            on_show.news.told.clear();
            on_show.news.remarks.clear();
            on_show.moving = None;
        });
        match self.passing() {
            Ok(Some(passing)) => {
                let Passing {
                    verdict,
                    remarks,
                    page,
                } = passing;
                let on_show = self.hang(|on_show| {
                    on_show.news.state = State::Ready;
                    on_show.news.guide = Some(on_show.news.stamp.clone());
                    on_show.news.told = bare(&verdict);
                    on_show.news.remarks = bare(&remarks);
                    on_show.guide = Some(page.into_bytes().into());
                });
                Some((Told::Ready(verdict, remarks), on_show))
            }
            Ok(None) => None,
            Err(told) => {
                let on_show = self.hang(|on_show| {
                    on_show.news.state = State::Refused;
                    on_show.news.told = bare(&told);
                });
                Some((Told::Refused(told), on_show))
            }
        }
    }

    fn hang(&mut self, change: impl FnOnce(&mut OnShow)) -> OnShow {
        self.number += 1;
        self.board.hang(self.number, change)
    }

    /// What comes of the files as they stand: of a state that passes its page, of others why there is none.
    fn passing(&mut self) -> Result<Option<Passing>, String> {
        // The state is taken before the text: what is saved in between is another state.
        let own = Files::now([self.kit.to_owned()]);
        self.files = own.and(&self.profiles);
        let text = input::read(self.kit, &input::KIT).map_err(|trouble| trouble.to_string())?;
        let mut said = String::new();
        let mut profiles: Box<dyn Profiles + '_> = Box::new(InMemory::none());
        // What is wrong with a kit that cannot be read is found again, and told, below.
        if let Ok((kit, _)) = kit::read(&text, &check::ids()) {
            self.profiles = self.printers.places(kit.printer.as_ref());
            self.files = own.and(&self.profiles);
            (profiles, said) = self.printers.at_hand(kit.printer.is_some())?;
        }
        let kit = making::read(&shown(self.kit), &text, &*profiles).map_err(why_not)?;
        let read = Said {
            before: joined([said, kit.remarks.clone()]),
            kit,
        };
        let sketch = match read
            .kit
            .begin(Pictures::Drawn, Wanted::ALL)
            .map_err(why_not)?
        {
            Begun::Failing(product) => return Err(read.failing(&product)),
            Begun::Sketched(sketch) => *sketch,
        };
        self.hang_moving(read.kit.moving(&sketch).map_err(why_not)?);
        if self.files.have_changed() {
            return Ok(None);
        }
        read.judged(sketch).map(Some)
    }

    /// A page that draws it has the cores to itself for a moment: the eye comes before the verdict.
    fn hang_moving(&mut self, moving: Option<Moving>) {
        let json = moving.and_then(|moving| serde_json::to_vec(&moving).ok());
        if let Some(json) = json {
            self.number += 1;
            self.board.hang_until_seen(self.number, TO_DRAW, |on_show| {
                on_show.news.state = State::Drawn;
                on_show.moving = Some(json.into());
            });
        }
    }
}

/// A state that passes.
struct Passing {
    /// In a line.
    verdict: String,
    /// Warnings and notes beside it (may be empty).
    remarks: String,
    /// As `make` writes it.
    page: String,
}

/// A kit that was read, with all that is to be said of it and its printer beforehand.
struct Said {
    before: String,
    kit: Read,
}

impl Said {
    /// The page of a kit; what fails of it.
    fn judged(&self, sketch: Sketch) -> Result<Passing, String> {
        let mut product = self.kit.finish(sketch, &|_| {}).map_err(why_not)?;
        if product.fails() {
            return Err(self.failing(&product));
        }
        self.kit.cost_of_tuning(&mut product);
        self.kit.what_gaps_shape(&mut product);
        Ok(Passing {
            verdict: digest::in_a_line(&product),
            remarks: joined([self.before.clone(), self.kit.idle_waivers(&product)]),
            page: guide::page(&product).ok_or("there is no page without pictures")?,
        })
    }

    /// Everything that fails, each at its line, behind the remarks.
    fn failing(&self, product: &Product) -> String {
        let remarks = [self.before.clone(), self.kit.idle_waivers(product)];
        joined([joined(remarks), self.kit.failures(product, false)])
    }
}

fn why_not(refusal: Refusal) -> String {
    match refusal {
        Refusal::Rejected(problems) => problems,
        Refusal::Broken(what) => Trouble::new(what).to_string(),
    }
}

/// A text without its colours.
fn bare(text: &str) -> String {
    anstream::adapter::strip_str(text).to_string()
}
