//! Connections to answers: what is on show, and nothing else.
//!
//! A name that is asked for is one of a list, letter by letter; no file is ever opened by it. Whoever connects has
//! a thread and a time, so one who sends or reads slowly, or nothing, keeps nobody waiting.

use super::board::{Board, Bytes, OnShow};
use super::request::{self, Asked, Refusal};
use std::io::{self, ErrorKind, Read, Write};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

/// How long a request may take to come, and its answer to go. Guess: a browser on the same machine takes
/// milliseconds.
const PATIENCE: Duration = Duration::from_secs(10);
/// How long a page waits for news before it asks again. Guess, below what browsers wait.
const HELD: Duration = Duration::from_secs(20);
/// How often it is seen meanwhile whether the page is still open. Guess.
const GLANCE: Duration = Duration::from_millis(500);
/// Most connections at once. Guess: a browser opens six to a server, and each open page holds one.
const MOST: usize = 64;
/// From a connection that could not be had to the next attempt. Guess.
const BREATH: Duration = Duration::from_millis(20);
/// Bytes of what was sent beside a request that is refused, which are read so that its answer arrives.
const LET_GO: usize = 64 << 10;

/// The page around the guide, its program and its look.
const SHELL: &str = include_str!("shell/index.html");
const PROGRAM: &str = include_str!("shell/watch.js");
const LOOK: &str = include_str!("shell/watch.css");

/// What the page around the guide may do: run its own program, ask this server, and frame what it serves.
const SHELL_MAY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; \
                         frame-src 'self'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
/// What the guide may do is in the guide; no page of another server may frame it.
const GUIDE_MAY: &str = "frame-ancestors 'self'";

/// An answer.
struct Answer {
    /// Its number and what that means.
    status: &'static str,
    kind: &'static str,
    may: &'static str,
    body: Bytes,
}

impl Answer {
    fn of(kind: &'static str, may: &'static str, body: impl Into<Bytes>) -> Self {
        Self {
            status: "200 OK",
            kind,
            may,
            body: body.into(),
        }
    }

    fn refusing(status: &'static str) -> Self {
        Self {
            status,
            ..Self::of(TEXT, SHELL_MAY, format!("{status}\n").into_bytes())
        }
    }

    fn head(&self) -> String {
        let allow = match self.status {
            NOT_ALLOWED => "Allow: GET, HEAD\r\n",
            _ => "",
        };
        format!(
            "HTTP/1.1 {}\r\nContent-Type: {}\r\nContent-Length: {}\r\n{allow}\
             Content-Security-Policy: {}\r\nCache-Control: no-store\r\nX-Content-Type-Options: nosniff\r\n\
             Cross-Origin-Resource-Policy: same-origin\r\nReferrer-Policy: no-referrer\r\n\
             Connection: close\r\n\r\n",
            self.status,
            self.kind,
            self.body.len(),
            self.may
        )
    }
}

const HTML: &str = "text/html; charset=utf-8";
const JSON: &str = "application/json";
const TEXT: &str = "text/plain; charset=utf-8";
const NOT_ALLOWED: &str = "405 Method Not Allowed";
const NOT_FOUND: &str = "404 Not Found";

/// Serves a board from now on, in threads of their own, which end with the program.
///
/// # Errors
/// The system gives no thread.
pub(super) fn begin(listener: TcpListener, port: u16, board: Arc<Board>) -> io::Result<()> {
    let open = Arc::new(AtomicUsize::new(0));
    let accept = move || {
        for stream in listener.incoming() {
            let Ok(stream) = stream else {
                // Out of connections, most likely: at once there would be none either.
                thread::sleep(BREATH);
                continue;
            };
            let place = Place::taken(&open);
            if place.number >= MOST {
                continue;
            }
            let board = Arc::clone(&board);
            let serve = move || {
                // Whoever went away meanwhile gets no answer.
                drop(serve(stream, port, &board));
                drop(place);
            };
            // Without a thread the connection is closed, and a browser asks again.
            drop(
                thread::Builder::new()
                    .name("connection".into())
                    .spawn(serve),
            );
        }
    };
    thread::Builder::new()
        .name("server".into())
        .spawn(accept)
        .map(drop)
}

/// A place among those that are connected.
struct Place {
    open: Arc<AtomicUsize>,
    number: usize,
}

impl Place {
    fn taken(open: &Arc<AtomicUsize>) -> Self {
        Self {
            number: open.fetch_add(1, Ordering::SeqCst),
            open: Arc::clone(open),
        }
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.open.fetch_sub(1, Ordering::SeqCst);
    }
}

/// One request and its answer.
fn serve(mut stream: TcpStream, port: u16, board: &Board) -> io::Result<()> {
    let asked = match asked(&mut stream, port)? {
        Ok(asked) => asked,
        Err(refusal) => {
            send(&mut stream, &refused(refusal), false)?;
            return let_go(stream);
        }
    };
    let answer = match asked.path.as_str() {
        "/news" => news(&asked, board, &stream)?,
        _ => answer(&asked, board),
    };
    send(&mut stream, &answer, asked.head_alone)?;
    stream.shutdown(Shutdown::Write)
}

/// What is asked for, once it has come.
fn asked(stream: &mut TcpStream, port: u16) -> io::Result<Result<Asked, Refusal>> {
    let until = Instant::now() + PATIENCE;
    let mut bytes = Vec::new();
    let mut some = [0; 4096];
    loop {
        match request::read(&bytes, port) {
            Ok(None) => {}
            Ok(Some(asked)) => return Ok(Ok(asked)),
            Err(refusal) => return Ok(Err(refusal)),
        }
        stream.set_read_timeout(Some(left(until)?))?;
        match stream.read(&mut some)? {
            0 => return Err(ErrorKind::UnexpectedEof.into()),
            count => bytes.extend_from_slice(&some[..count]),
        }
    }
}

/// The time that is left.
fn left(until: Instant) -> io::Result<Duration> {
    let left = until.saturating_duration_since(Instant::now());
    match left.is_zero() {
        true => Err(ErrorKind::TimedOut.into()),
        false => Ok(left),
    }
}

fn refused(refusal: Refusal) -> Answer {
    Answer::refusing(match refusal {
        Refusal::Malformed => "400 Bad Request",
        Refusal::Method => NOT_ALLOWED,
        Refusal::Foreign => "421 Misdirected Request",
        Refusal::TooLong => "431 Request Header Fields Too Large",
    })
}

/// What is on show under a path.
fn answer(asked: &Asked, board: &Board) -> Answer {
    let fixed = |kind, text: &str| Answer::of(kind, SHELL_MAY, text.as_bytes());
    match asked.path.as_str() {
        "/" => fixed(HTML, SHELL),
        "/watch.js" => fixed("text/javascript; charset=utf-8", PROGRAM),
        "/watch.css" => fixed("text/css; charset=utf-8", LOOK),
        "/guide.html" => {
            let on_show = board.now();
            let guide = given(asked, on_show.news.guide, on_show.guide);
            guide.map_or_else(missing, |bytes| Answer::of(HTML, GUIDE_MAY, bytes))
        }
        "/moving.json" => {
            let on_show = board.now();
            let moving = given(asked, Some(on_show.news.stamp), on_show.moving);
            moving.map_or_else(missing, |bytes| Answer::of(JSON, SHELL_MAY, bytes))
        }
        _ => missing(),
    }
}

fn missing() -> Answer {
    Answer::refusing(NOT_FOUND)
}

/// What is there, unless it is of another state than the one that is asked for.
fn given(asked: &Asked, stamp: Option<String>, bytes: Option<Bytes>) -> Option<Bytes> {
    match asked.value("of") {
        Some(of) if stamp.as_deref() != Some(of) => None,
        Some(_) | None => bytes,
    }
}

/// The news, as soon as they are others than those that were seen; `hold=0` waits for nothing.
fn news(asked: &Asked, board: &Board, stream: &TcpStream) -> io::Result<Answer> {
    let on_show = match (asked.value("seen"), asked.value("hold")) {
        (Some(seen), None) => other_news(seen, board, stream)?,
        (None, _) | (_, Some(_)) => board.now(),
    };
    let json = serde_json::to_vec(&on_show.news)?;
    Ok(Answer::of(JSON, SHELL_MAY, json))
}

/// What hangs on the board once it is another than what was seen, or has been waited for long enough.
fn other_news(seen: &str, board: &Board, stream: &TcpStream) -> io::Result<OnShow> {
    let until = Instant::now() + HELD;
    loop {
        let on_show = board.other_than(seen, GLANCE);
        if on_show.news.stamp != seen || Instant::now() >= until {
            return Ok(on_show);
        }
        still_there(stream)?;
    }
}

/// An error once whoever asked has gone, so that a page that is closed keeps no thread.
fn still_there(stream: &TcpStream) -> io::Result<()> {
    stream.set_nonblocking(true)?;
    let more = stream.peek(&mut [0]);
    stream.set_nonblocking(false)?;
    match more {
        Ok(0) => Err(ErrorKind::UnexpectedEof.into()),
        Err(error) if error.kind() != ErrorKind::WouldBlock => Err(error),
        Ok(_) | Err(_) => Ok(()),
    }
}

fn send(stream: &mut TcpStream, answer: &Answer, head_alone: bool) -> io::Result<()> {
    let until = Instant::now() + PATIENCE;
    let head = answer.head();
    let body = match head_alone {
        true => &[],
        false => &answer.body[..],
    };
    for mut rest in [head.as_bytes(), body] {
        while !rest.is_empty() {
            stream.set_write_timeout(Some(left(until)?))?;
            match stream.write(rest)? {
                0 => return Err(ErrorKind::WriteZero.into()),
                count => rest = &rest[count..],
            }
        }
    }
    Ok(())
}

/// Closes a connection on which more was sent than is read: closed at once, the answer would be lost.
fn let_go(mut stream: TcpStream) -> io::Result<()> {
    stream.shutdown(Shutdown::Write)?;
    let until = Instant::now() + PATIENCE;
    let mut some = [0; 4096];
    let mut read = 0;
    while read < LET_GO {
        stream.set_read_timeout(Some(left(until)?))?;
        match stream.read(&mut some)? {
            0 => break,
            count => read += count,
        }
    }
    Ok(())
}
