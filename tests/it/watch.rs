//! `watch`: what is saved is seen in the page or told there, nothing but the page is served, one watch on a
//! kit is enough, and nothing stays behind.

use crate::support::shell::{
    code, command, done, made, netlead, preset, project, refused, room, stderr,
};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs::{self, DirBuilder};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::os::unix::fs::DirBuilderExt;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// Longer than a kit takes to be worked out, with the cores busy.
const PATIENCE: Duration = Duration::from_secs(60);
/// Shorter than news are waited for.
const SOON: Duration = Duration::from_secs(12);
/// The quickest of the presets.
const PRESET: &str = "plain-stage";

/// A folder with a kit, and a place for running programs.
fn bench(kit: &str) -> TempDir {
    let room = room();
    fs::write(room.path().join("kit.toml"), kit).unwrap();
    let run = room.path().join("run");
    DirBuilder::new().mode(0o700).create(run).unwrap();
    room
}

fn watching(room: &Path, arguments: &[&str]) -> Command {
    let mut command = command(room, &[&["watch", "kit.toml"], arguments].concat());
    command.env("XDG_RUNTIME_DIR", room.join("run"));
    command
}

/// The program at work, as whoever opens its page sees it.
struct Watch {
    program: Child,
    /// `127.0.0.1:PORT`.
    at: String,
}

impl Watch {
    fn begin(room: &Path) -> Self {
        Self::begin_with(room, &[])
    }

    fn begin_with(room: &Path, arguments: &[&str]) -> Self {
        let mut command = watching(room, arguments);
        let mut program = command
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        let mut said = BufReader::new(program.stdout.take().unwrap());
        said.read_line(&mut line).unwrap();
        // What is said later has to go somewhere.
        std::thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
        let (_, address) = line.split_once("http://").unwrap();
        let (at, _) = address.split_once('/').unwrap();
        Self {
            program,
            at: at.to_owned(),
        }
    }

    /// The answer to these bytes: its number, its head, its body.
    fn sent(&self, bytes: &[u8]) -> (u16, String, Vec<u8>) {
        let mut stream = TcpStream::connect(&self.at).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream.write_all(bytes).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let end = answer
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap();
        let head = String::from_utf8(answer[..end].to_vec()).unwrap();
        let number = head.split(' ').nth(1).unwrap().parse().unwrap();
        (number, head, answer[end + 4..].to_vec())
    }

    fn got(&self, path: &str) -> (u16, Vec<u8>) {
        let head = format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", self.at);
        let (number, _, body) = self.sent(head.as_bytes());
        (number, body)
    }

    /// The news behind those that were seen.
    fn news(&self, seen: &str) -> Value {
        let (number, body) = self.got(&format!("/news?seen={seen}"));
        assert_eq!(number, 200);
        serde_json::from_slice(&body).unwrap()
    }

    /// The states that follow those that were seen, up to a verdict, which comes last.
    fn verdict_after(&self, seen: &str) -> Vec<Value> {
        let began = Instant::now();
        let mut all = vec![self.news(seen)];
        loop {
            let last = all.last().unwrap();
            if last["state"] == "ready" || last["state"] == "refused" {
                return all;
            }
            assert!(began.elapsed() < PATIENCE, "{all:?}");
            all.push(self.news(last["stamp"].as_str().unwrap()));
        }
    }

    /// The verdict that stands, which is to be this one.
    fn verdict(&self, state: &str, after: &str) -> Value {
        let last = self.verdict_after(after).pop().unwrap();
        assert_eq!(last["state"], state, "{last}");
        last
    }

    fn page(&self) -> String {
        let (number, body) = self.got("/guide.html");
        assert_eq!(number, 200);
        String::from_utf8(body).unwrap()
    }

    fn signal(&mut self, signal: &str) -> std::process::ExitStatus {
        let id = self.program.id().to_string();
        let sent = Command::new("kill").args([signal, &id]).status().unwrap();
        assert!(sent.success());
        self.program.wait().unwrap()
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        // It may have ended by itself.
        drop(self.program.kill());
        drop(self.program.wait());
    }
}

fn stamp(news: &Value) -> &str {
    news["stamp"].as_str().unwrap()
}

/// Saves as editors do that write a file of their own and then give it the name.
fn renamed_to(file: &Path, text: &str) {
    let beside = file.with_extension("swap");
    fs::write(&beside, text).unwrap();
    fs::rename(&beside, file).unwrap();
}

#[test]
fn the_page_is_the_one_that_make_writes_and_follows_each_saving() {
    let kit = preset(PRESET);
    let room = bench(&kit);
    let file = room.path().join("kit.toml");
    let watch = Watch::begin(room.path());
    let first = watch.verdict("ready", "");
    let written = made(PRESET);
    let mut files = written.files.iter();
    let (_, bytes) = files
        .find(|(path, _)| path.ends_with("guide.html"))
        .unwrap();
    assert!(watch.page().as_bytes() == bytes.as_slice());

    // In place, then by a renamed file.
    let mut seen = stamp(&first).to_owned();
    type Saving = fn(&Path, &str);
    let savings: [(Saving, &str); 2] = [
        (|file, text| fs::write(file, text).unwrap(), "12"),
        (renamed_to, "14"),
    ];
    for (save, stroke) in savings {
        let (before, line) = (
            watch.page(),
            kit.lines().find(|line| line.starts_with("stroke")),
        );
        save(
            &file,
            &kit.replace(line.unwrap(), &format!("stroke = {stroke}")),
        );
        let states = watch.verdict_after(&seen);
        let last = states.last().unwrap();
        assert_eq!(last["state"], "ready", "{last}");
        assert!(last["told"].as_str().unwrap().contains("ready to make"));
        let page = watch.page();
        assert!(page.contains(&format!("stroke {stroke} mm")) && page != before);
        // What belonged to the state before is given out no more.
        assert_eq!(watch.got(&format!("/guide.html?of={seen}")).0, 404);
        seen = stamp(last).to_owned();
        assert_eq!(watch.got(&format!("/guide.html?of={seen}")).0, 200);
        let (number, moving) = watch.got(&format!("/moving.json?of={seen}"));
        assert_eq!(number, 200);
        let moving: Value = serde_json::from_slice(&moving).unwrap();
        let told: Value = serde_json::from_str(moving["kit"].as_str().unwrap()).unwrap();
        // The drawing of before the verdict holds the meshes of the page.
        assert!(page.contains(moving["meshes"].as_str().unwrap()));
        assert!(told["steps"].as_array().unwrap().is_empty());
    }
}

#[test]
fn what_is_wrong_is_told_in_the_words_of_the_terminal_and_mended() {
    let kit = preset(PRESET);
    let room = bench(&kit);
    let file = room.path().join("kit.toml");
    let watch = Watch::begin(room.path());
    let ready = watch.verdict("ready", "");
    let page = watch.page();

    let refusing = [
        ("a key that is none", format!("{kit}\nlenght = 3 # <b>\n")),
        ("text that is no TOML", kit.replacen('=', "", 1)),
        (
            "a hand that bends pins",
            kit.replace("hand_torque", "# hand_torque"),
        ),
    ];
    let mut seen = stamp(&ready).to_owned();
    for (what, text) in refusing {
        fs::write(&file, &text).unwrap();
        let refused = watch.verdict("refused", &seen);
        let output = netlead(room.path(), &["check", "kit.toml"]);
        assert_eq!(code(&output), 1, "{what}");
        let told = refused["told"].as_str().unwrap();
        // `check` tells the place of the first failure, the page of all.
        assert!(
            told.starts_with(stderr(&output).trim_end()),
            "{what}: {told}"
        );
        assert!(told.contains("kit.toml, line"), "{what}: {told}");
        // The last page that passed stands, under its own stamp.
        assert_eq!(refused["guide"], ready["stamp"]);
        assert!(watch.page() == page);
        seen = stamp(&refused).to_owned();
    }
    fs::remove_file(&file).unwrap();
    let gone = watch.verdict("refused", &seen);
    assert!(gone["told"].as_str().unwrap().contains("there is no file"));

    fs::write(&file, &kit).unwrap();
    let mended = watch.verdict("ready", stamp(&gone));
    assert_eq!(mended["guide"], mended["stamp"]);
    assert!(watch.page() == page);
}

#[test]
fn a_profile_counts_that_is_changed_or_only_then_made() {
    let kit = format!("printer = \"garage\"\n{}", preset(PRESET));
    let room = bench(&kit);
    let watch = Watch::begin(room.path());
    let refused = watch.verdict("refused", "");
    assert!(
        refused["told"]
            .as_str()
            .unwrap()
            .contains("no profile of the printer")
    );

    // In the user's folder, then beside the kit, which comes first.
    let valid = fs::read_to_string(project("tests/printers/valid_short.toml")).unwrap();
    let valid = valid.replace("0.2\n", "0.14\n").replace("PETG", "PLA");
    let users = room.path().join(".config/netlead/printers");
    fs::create_dir_all(&users).unwrap();
    fs::write(users.join("garage.printer.toml"), &valid).unwrap();
    let ready = watch.verdict("ready", stamp(&refused));
    let beside = room.path().join("garage.printer.toml");
    fs::write(&beside, "clearance = 3\n").unwrap();
    let refused = watch.verdict("refused", stamp(&ready));
    assert!(
        refused["told"]
            .as_str()
            .unwrap()
            .contains("garage.printer.toml, line 1")
    );
    renamed_to(&beside, &valid);
    watch.verdict("ready", stamp(&refused));
}

#[test]
fn a_form_counts_as_if_it_had_been_tuned() {
    let kit = preset(PRESET);
    let room = bench(&kit);
    let form = fs::read_to_string(project("examples/filled-form.toml")).unwrap();
    let file = room.path().join("form.toml");
    fs::write(&file, &form).unwrap();
    let watch = Watch::begin_with(room.path(), &["--form", "form.toml"]);
    let refused = watch.verdict("refused", "");
    assert!(
        refused["told"]
            .as_str()
            .unwrap()
            .contains("names no printer")
    );

    let named = format!("printer = \"garage\"\n{kit}");
    fs::write(room.path().join("kit.toml"), &named).unwrap();
    let ready = watch.verdict("ready", stamp(&refused));
    assert!(
        ready["remarks"]
            .as_str()
            .unwrap()
            .contains("what form.toml teaches")
    );
    // No profile was written, and the page is that of the one that would be.
    let beside = room.path().join("garage.printer.toml");
    assert!(!beside.exists());
    done(room.path(), &["tune", "form.toml"]);
    done(room.path(), &["make", "kit.toml", "--out", "made"]);
    let made = fs::read(room.path().join("made/guide.html")).unwrap();
    assert!(watch.page().as_bytes() == made.as_slice());

    let wrong = form.replace("drawn    = 16\n", "drawn    = 16 mm\n");
    assert_ne!(wrong, form);
    renamed_to(&file, &wrong);
    let refused = watch.verdict("refused", stamp(&ready));
    assert!(
        refused["told"]
            .as_str()
            .unwrap()
            .contains("form.toml, line")
    );
    fs::write(&file, form.replacen("62.04", "62.10", 1)).unwrap();
    watch.verdict("ready", stamp(&refused));
    assert!(watch.page().as_bytes() != made.as_slice());
}

#[test]
fn nothing_but_the_page_is_served_and_to_this_machine_alone() {
    let room = bench(&preset(PRESET));
    let watch = Watch::begin(room.path());
    watch.verdict("ready", "");
    // Whoever sends nothing, or half a line, keeps nobody waiting.
    let mut idle = TcpStream::connect(&watch.at).unwrap();
    let half = TcpStream::connect(&watch.at)
        .and_then(|mut half| half.write_all(b"GET / HT").map(|()| half));
    let (_, port) = watch.at.split_once(':').unwrap();
    for (host, number) in [
        (watch.at.clone(), 200),
        (format!("localhost:{port}"), 200),
        ("evil.example".into(), 421),
        (format!("evil.example:{port}"), 421),
        ("127.0.0.1".into(), 421),
        (format!("[::1]:{port}"), 421),
    ] {
        let head = format!("GET / HTTP/1.1\r\nHost: {host}\r\n\r\n");
        assert_eq!(watch.sent(head.as_bytes()).0, number, "{host}");
    }
    for path in [
        "/kit.toml",
        "/../kit.toml",
        "/..%2fkit.toml",
        "/%2e%2e/kit.toml",
        "//etc/passwd",
        "/etc/passwd",
        "/guide.html/",
        "/guide.html/../kit.toml",
        "/Guide.html",
        "/%00",
        "/guide.html?of=..",
        "/moving.json?of=",
    ] {
        assert_eq!(watch.got(path).0, 404, "{path}");
    }
    let lines = [
        ("GET ../kit.toml HTTP/1.1", 400),
        ("GET file:///etc/passwd HTTP/1.1", 400),
        ("GET / HTTP/9.9", 400),
        ("POST / HTTP/1.1", 405),
        ("DELETE /guide.html HTTP/1.1", 405),
        ("\u{1}\u{2}", 400),
    ];
    for (line, number) in lines {
        let head = format!("{line}\r\nHost: {}\r\n\r\n", watch.at);
        assert_eq!(watch.sent(head.as_bytes()).0, number, "{line}");
    }
    let long = format!("GET / HTTP/1.1\r\nX: {}", "x".repeat(60_000));
    assert_eq!(watch.sent(long.as_bytes()).0, 431);

    let head = format!("HEAD /guide.html HTTP/1.1\r\nHost: {}\r\n\r\n", watch.at);
    let (number, head, body) = watch.sent(head.as_bytes());
    assert_eq!((number, body.len()), (200, 0));
    let lower = head.to_lowercase();
    assert!(!lower.contains("access-control-allow"), "{head}");
    for said in [
        "content-security-policy",
        "nosniff",
        "same-origin",
        "no-store",
    ] {
        assert!(lower.contains(said), "{head}");
    }
    // Whoever asks for news and closes his page gets no answer, and keeps no thread.
    let tasks = format!("/proc/{}/task", watch.program.id());
    let threads = || fs::read_dir(&tasks).map_or(0, Iterator::count);
    let before = threads();
    let seen = watch.news("");
    for _ in 0..20 {
        let mut asking = TcpStream::connect(&watch.at).unwrap();
        let ask = format!("GET /news?seen={}", stamp(&seen));
        let head = format!("{ask} HTTP/1.1\r\nHost: {}\r\n\r\n", watch.at);
        asking.write_all(head.as_bytes()).unwrap();
    }
    let began = Instant::now();
    while threads() > before {
        assert!(began.elapsed() < SOON, "threads are kept");
        std::thread::sleep(Duration::from_millis(50));
    }
    idle.set_nonblocking(true).unwrap();
    assert!(idle.read(&mut [0]).is_err() && half.is_ok());
}

#[test]
fn a_second_one_names_the_first_and_an_end_leaves_nothing() {
    let room = bench(&preset(PRESET));
    let files = || -> BTreeSet<String> {
        let names = |folder: &Path| fs::read_dir(folder).unwrap().collect::<Vec<_>>();
        let all = names(room.path())
            .into_iter()
            .chain(names(&room.path().join("run/netlead")));
        all.map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect()
    };
    let kept = BTreeSet::from(["kit.toml".to_owned(), "run".to_owned()]);
    let mut first = Watch::begin(room.path());
    // By another name of the same file, too.
    std::os::unix::fs::symlink("kit.toml", room.path().join("other.toml")).unwrap();
    for name in ["kit.toml", "other.toml"] {
        let mut second = command(room.path(), &["watch", name]);
        let second = second
            .env("XDG_RUNTIME_DIR", room.path().join("run"))
            .output()
            .unwrap();
        assert_eq!(code(&second), 2);
        assert!(
            stderr(&second).contains(&format!("http://{}/", first.at)),
            "{}",
            stderr(&second)
        );
    }
    fs::remove_file(room.path().join("other.toml")).unwrap();

    // What is killed can clear nothing away, and is in nobody's way.
    first.signal("-KILL");
    let mut next = Watch::begin(room.path());
    next.verdict("ready", "");
    // An open page asks for news, and keeps nothing alive.
    let mut open = TcpStream::connect(&next.at).unwrap();
    let ask = format!(
        "GET /news?seen={} HTTP/1.1\r\nHost: {}\r\n\r\n",
        stamp(&next.news("")),
        next.at
    );
    open.write_all(ask.as_bytes()).unwrap();
    assert_eq!(next.signal("-INT").code(), Some(0));
    assert!(TcpStream::connect(&next.at).is_err());
    assert_eq!(files(), kept);
}

#[test]
fn what_cannot_be_watched_is_refused_at_once() {
    let room = bench(&preset(PRESET));
    let told = refused(room.path(), 2, &["watch", "other.toml"]);
    assert!(told.contains("there is no file other.toml"), "{told}");
    let other = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let port = other.local_addr().unwrap().port().to_string();
    let output = watching(room.path(), &["--port", &port]).output().unwrap();
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains(&format!("cannot serve at port {port}")));
}
