//! `watch KIT`: from a kit's file, each time that it is saved, to its guide in an open browser.
//!
//! Nothing is written but a mark that the kit is watched. What is served is the page of the guide, byte for byte
//! as `make` writes it, in a frame of a page that follows the news ([`served`] has the list of all that is).

mod alone;
mod board;
mod files;
mod follow;
mod printers;
mod request;
mod served;

use super::input;
use super::signals;
use super::streams;
use super::trouble::{Ending, Trouble, shown, why};
use alone::Alone;
use board::{Board, OnShow};
use follow::Told;
use printers::Printers;
use serde_json::json;
use std::io;
use std::net::{Ipv4Addr, TcpListener};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::thread;
use std::time::Duration;

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Open the address that it prints in a browser on this machine; no other machine reaches it. Each \
time that the kit or the profile of its printer is saved, the page shows what comes of it and \
stays as it is turned, cut and rolled. What is wrong stands in the page with its line marked. No folder \
is written: `netlead make` does that. Ctrl-C ends it; the exit code is then 0.

Example:
  netlead watch desk-stage.toml")]
pub(super) struct Raw {
    /// The TOML file that describes the kit
    kit: PathBuf,
    /// Take the printer as `netlead tune FORM` would learn it, and follow the form too
    #[arg(long, value_name = "FORM")]
    form: Option<PathBuf>,
    /// Port of the address, 1024 to 65535; if not said one of the kit's own, or any that is free
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1024..))]
    port: Option<u16>,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    kit: PathBuf,
    form: Option<PathBuf>,
    port: Option<u16>,
}

impl From<Raw> for Request {
    fn from(raw: Raw) -> Self {
        let Raw { kit, form, port } = raw;
        Self { kit, form, port }
    }
}

/// How often the end is looked for. Guess: no hand waits for it.
const LOOK: Duration = Duration::from_millis(20);

/// Follows a kit until it is asked to end.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    // A file that is none is told at once; one that becomes none later is told in the page.
    input::read(&request.kit, &input::KIT)?;
    if let Some(form) = &request.form {
        input::read(form, &input::FORM)?;
    }
    let mut alone = Alone::on(&request.kit)?;
    let stop = signals::stopper()?;
    let listener = listener(request.port, alone.port())?;
    let at = listener.local_addr().map_err(|error| unserved(&error))?;
    let address = format!("http://{at}/");
    let board = Arc::new(Board::new());
    served::begin(listener, at.port(), Arc::clone(&board)).map_err(|error| unserved(&error))?;
    alone.tell(&address);
    announce(request, &address, json)?;
    let kit = request.kit.clone();
    let printers = Printers::of(&kit, request.form.as_deref());
    let follower = thread::spawn(move || {
        follow::follow(&kit, &printers, &board, |told, on_show| {
            tell(told, on_show, json)
        });
    });
    while !stop.load(Ordering::SeqCst) {
        if follower.is_finished() {
            return Err(Trouble::new(
                "what follows the kit broke down; please report this kit",
            ));
        }
        thread::sleep(LOOK);
    }
    Ok(Ending::Done)
}

/// A listener on the loopback: at the port that is asked for, else at the kit's own, else at any.
fn listener(asked: Option<u16>, own: u16) -> Result<TcpListener, Trouble> {
    let bind = |port| TcpListener::bind((Ipv4Addr::LOCALHOST, port));
    match asked {
        Some(port) => bind(port).map_err(|error| {
            Trouble::new(format!("cannot serve at port {port}: {}", why(&error)))
                .mend("name another port, or none: then a free one is found")
        }),
        None => bind(own)
            .or_else(|_| bind(0))
            .map_err(|error| unserved(&error)),
    }
}

fn unserved(error: &io::Error) -> Trouble {
    Trouble::new(format!("cannot serve a page: {}", why(error)))
}

fn announce(request: &Request, address: &str, json: bool) -> Result<(), Trouble> {
    let kit = shown(&request.kit);
    match json {
        true => streams::json(&format!("{}\n", json!({ "kit": kit, "address": address }))),
        false => streams::page(&format!(
            "watching {kit}: open {address} in a browser; Ctrl-C ends it\n"
        )),
    }
}

/// What comes of a state, on the terminal too. A terminal that reads no more does not end the page.
fn tell(told: &Told, on_show: &OnShow, json: bool) {
    if json {
        let line = serde_json::to_string(&on_show.news).unwrap_or_default();
        drop(streams::json(&format!("{line}\n")));
        return;
    }
    match told {
        Told::Ready(verdict, remarks) => {
            streams::tell(remarks);
            drop(streams::page(&format!("{verdict}\n")));
        }
        Told::Refused(problems) => streams::tell(problems),
    }
}
