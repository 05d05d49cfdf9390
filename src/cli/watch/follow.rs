//! From the kit's file, each time that it is saved, to what is on show.

use super::board::{Board, OnShow, State};
use super::files::Files;
use crate::check;
use crate::cli::input;
use crate::cli::printer_file::Shelf;
use crate::cli::trouble::{Trouble, shown};
use crate::kit;
use crate::making::{self, Begun, Pictures, Read, Refusal, Sketch};
use crate::output::guide;
use crate::output::page::digest;
use crate::output::viewer::Moving;
use std::path::{Path, PathBuf};

/// Something that is told of a state, with its colours.
pub(super) enum Told {
    /// It passes: the verdict in a line, and remarks (may be empty).
    Ready(String, String),
    /// There is no page of it, and why.
    Refused(String),
}

/// Follows a kit for ever; `tell` is told what comes of each state.
pub(super) fn follow(kit: &Path, board: &Board, mut tell: impl FnMut(&Told, &OnShow)) {
    let mut follower = Follower {
        kit,
        shelf: Shelf::of(kit),
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
    shelf: Shelf,
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
            Ok(Some((told, remarks, guide))) => {
                let on_show = self.hang(|on_show| {
                    on_show.news.state = State::Ready;
                    on_show.news.guide = Some(on_show.news.stamp.clone());
                    on_show.news.told = bare(&told);
                    on_show.news.remarks = bare(&remarks);
                    on_show.guide = Some(guide.into_bytes().into());
                });
                Some((Told::Ready(told, remarks), on_show))
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

    /// The verdict, the remarks and the page of a kit that passes; why there is none.
    fn passing(&mut self) -> Result<Option<(String, String, String)>, String> {
        // The state is taken before the text: what is saved in between is another state.
        let own = Files::now([self.kit.to_owned()]);
        self.files = own.and(&self.profiles);
        let text = input::read(self.kit, &input::KIT).map_err(|trouble| trouble.to_string())?;
        if let Ok((kit, _)) = kit::read(&text, &check::ids()) {
            let printer = kit.printer.as_ref();
            self.profiles = printer.map_or(Vec::new(), |said| self.shelf.places(&said.value));
            self.files = own.and(&self.profiles);
        }
        let read = making::read(&shown(self.kit), &text, &self.shelf).map_err(said)?;
        let sketch = match read.begin(Pictures::Drawn).map_err(said)? {
            Begun::Failing(product) => {
                return Err(read.remarks.clone() + &read.failures(&product, false));
            }
            Begun::Sketched(sketch) => *sketch,
        };
        self.hang_moving(read.moving(&sketch).map_err(said)?);
        if self.files.have_changed() {
            return Ok(None);
        }
        judged(&read, sketch).map(Some)
    }

    fn hang_moving(&mut self, moving: Option<Moving>) {
        let json = moving.and_then(|moving| serde_json::to_vec(&moving).ok());
        if let Some(json) = json {
            self.hang(|on_show| {
                on_show.news.state = State::Drawn;
                on_show.moving = Some(json.into());
            });
        }
    }
}

/// The page of a kit, as `make` writes it, with its verdict and remarks; what fails of it.
fn judged(read: &Read, sketch: Sketch) -> Result<(String, String, String), String> {
    let mut product = read.finish(sketch, &|_| {}).map_err(said)?;
    let remarks = format!("{}{}", read.remarks, read.idle_waivers(&product));
    if product.fails() {
        return Err(remarks + &read.failures(&product, false));
    }
    read.cost_of_tuning(&mut product);
    read.what_gaps_shape(&mut product);
    let page = guide::page(&product).ok_or("there is no page without pictures")?;
    Ok((digest::in_a_line(&product), remarks, page))
}

fn said(refusal: Refusal) -> String {
    match refusal {
        Refusal::Rejected(problems) => problems,
        Refusal::Broken(what) => Trouble::new(what).to_string(),
    }
}

/// A text without its colours.
fn bare(text: &str) -> String {
    anstream::adapter::strip_str(text).to_string()
}
