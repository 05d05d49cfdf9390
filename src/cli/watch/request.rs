//! Bytes that came over a connection to what is asked for, or to why it is not answered.
//!
//! As little of HTTP as a browser needs to read a page (RFC 9110, HTTP Semantics; RFC 9112, HTTP/1.1; from
//! memory): a request line, lines of names and values, an empty line. Whatever else comes is refused.

/// Most bytes of a request before its empty line. Guess: many times what a browser sends to a server that
/// sets no cookies; cookies of other programs on this machine come along, since they know no ports.
pub(super) const LONGEST: usize = 32 << 10;
/// What ends a request's head.
const END: &[u8] = b"\r\n\r\n";

/// What is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Asked {
    /// The path, as it was sent: it names something that is kept in memory, letter by letter, or nothing.
    pub(super) path: String,
    /// What stands behind the question mark.
    pub(super) query: String,
    /// Whether the answer's head is wanted alone.
    pub(super) head_alone: bool,
}

/// Why a request is not answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refusal {
    /// It is no request.
    Malformed,
    /// It wants more than to read.
    Method,
    /// It names another host than this one: some page's name was made to lead here.
    Foreign,
    /// Its head does not end.
    TooLong,
}

impl Asked {
    /// What of a query has a name.
    pub(super) fn value(&self, name: &str) -> Option<&str> {
        let mut pairs = self
            .query
            .split('&')
            .filter_map(|pair| pair.split_once('='));
        pairs.find(|(key, _)| *key == name).map(|(_, value)| value)
    }
}

/// What the bytes ask of the server at a port; none as long as the head has not ended.
pub(super) fn read(bytes: &[u8], port: u16) -> Result<Option<Asked>, Refusal> {
    let end = bytes.windows(END.len()).position(|window| window == END);
    let head = match end {
        Some(end) if end <= LONGEST => &bytes[..end],
        None if bytes.len() <= LONGEST => return Ok(None),
        Some(_) | None => return Err(Refusal::TooLong),
    };
    let text = std::str::from_utf8(head).map_err(|_| Refusal::Malformed)?;
    let mut lines = text.split("\r\n");
    let asked = request_line(lines.next().unwrap_or_default())?;
    let mut hosts = 0;
    for line in lines {
        let (name, value) = line.split_once(':').ok_or(Refusal::Malformed)?;
        if name.is_empty() || !name.bytes().all(is_of_a_token) || value.contains(is_a_control) {
            return Err(Refusal::Malformed);
        }
        let value = value.trim_matches([' ', '\t']);
        match name.to_ascii_lowercase().as_str() {
            "host" if is_this(value, port) => hosts += 1,
            "host" => return Err(Refusal::Foreign),
            // Nothing that is asked for has a body.
            "transfer-encoding" => return Err(Refusal::Malformed),
            "content-length" if value != "0" => return Err(Refusal::Malformed),
            _ => {}
        }
    }
    match hosts {
        1 => Ok(Some(asked)),
        _ => Err(Refusal::Malformed),
    }
}

fn request_line(line: &str) -> Result<Asked, Refusal> {
    let words: Vec<&str> = line.split(' ').collect();
    let [method, target, "HTTP/1.1" | "HTTP/1.0"] = words[..] else {
        return Err(Refusal::Malformed);
    };
    let head_alone = match method {
        "GET" => false,
        "HEAD" => true,
        _ if !method.is_empty() && method.bytes().all(is_of_a_token) => {
            return Err(Refusal::Method);
        }
        _ => return Err(Refusal::Malformed),
    };
    if !target.starts_with('/') || !target.bytes().all(|byte| byte.is_ascii_graphic()) {
        return Err(Refusal::Malformed);
    }
    let (path, query) = target.split_once('?').unwrap_or((target, ""));
    Ok(Asked {
        path: path.into(),
        query: query.into(),
        head_alone,
    })
}

/// Whether a host is this machine by a name that no other machine can have.
fn is_this(host: &str, port: u16) -> bool {
    let names = ["127.0.0.1", "localhost"];
    names
        .iter()
        .any(|name| host.eq_ignore_ascii_case(&format!("{name}:{port}")))
}

/// Letters of names in a head: RFC 9110, section 5.6.2, `tchar`.
fn is_of_a_token(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || b"!#$%&'*+-.^_`|~".contains(&byte)
}

fn is_a_control(letter: char) -> bool {
    letter.is_control() && letter != '\t'
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const PORT: u16 = 50_000;

    fn sent(head: &str) -> Result<Option<Asked>, Refusal> {
        read(head.replace('\n', "\r\n").as_bytes(), PORT)
    }

    fn to(host: &str) -> Result<Option<Asked>, Refusal> {
        sent(&format!("GET / HTTP/1.1\nHost: {host}\n\n"))
    }

    #[test]
    fn what_a_browser_asks_is_understood() {
        let asked = sent(
            "GET /news?seen=7-1&hold=0 HTTP/1.1\nHost: 127.0.0.1:50000\nAccept: */*\nCookie: a=\u{e9}\n\n",
        );
        let asked = asked.unwrap().unwrap();
        assert_eq!(asked.path, "/news");
        assert_eq!(asked.value("seen"), Some("7-1"));
        assert_eq!(asked.value("hold"), Some("0"));
        assert_eq!(asked.value("of"), None);
        assert!(!asked.head_alone);
        let head = sent("HEAD / HTTP/1.0\nhost:LOCALHOST:50000\n\n").unwrap();
        assert!(head.unwrap().head_alone);
    }

    #[test]
    fn only_this_machine_by_its_own_name_and_port_is_answered() {
        assert!(to("127.0.0.1:50000").is_ok());
        assert!(to("localhost:50000").is_ok());
        for foreign in [
            "",
            "127.0.0.1",
            "127.0.0.1:50001",
            "localhost.:50000",
            "evil.example:50000",
            "127.0.0.1:50000.evil.example",
            "evil.example@127.0.0.1:50000",
        ] {
            assert_eq!(to(foreign), Err(Refusal::Foreign), "{foreign}");
        }
        assert_eq!(sent("GET / HTTP/1.1\n\n"), Err(Refusal::Malformed));
        let twice = "GET / HTTP/1.1\nHost: 127.0.0.1:50000\nHost: 127.0.0.1:50000\n\n";
        assert_eq!(sent(twice), Err(Refusal::Malformed));
    }

    #[test]
    fn nothing_but_reading_is_understood() {
        for method in ["POST", "PUT", "DELETE", "OPTIONS", "CONNECT", "get"] {
            let head = format!("{method} / HTTP/1.1\nHost: 127.0.0.1:50000\n\n");
            assert_eq!(sent(&head), Err(Refusal::Method), "{method}");
        }
        let body = "GET / HTTP/1.1\nHost: 127.0.0.1:50000\nContent-Length: 3\n\n";
        assert_eq!(sent(body), Err(Refusal::Malformed));
        for line in [
            "GET http://127.0.0.1:50000/ HTTP/1.1",
            "GET  / HTTP/1.1",
            "GET /",
            "GET /\u{e9} HTTP/1.1",
            "GET / HTTP/2.0",
            " GET / HTTP/1.1",
            "",
        ] {
            let head = format!("{line}\nHost: 127.0.0.1:50000\n\n");
            assert_eq!(sent(&head), Err(Refusal::Malformed), "{line}");
        }
    }

    #[test]
    fn a_head_that_does_not_end_is_waited_for_and_then_refused() {
        let begun = b"GET / HTTP/1.1\r\nHost: 127.0.0.1:50000\r\nX: ".to_vec();
        assert_eq!(read(&begun, PORT), Ok(None));
        let long = [begun, vec![b'x'; LONGEST]].concat();
        assert_eq!(read(&long, PORT), Err(Refusal::TooLong));
    }

    proptest! {
        #[test]
        fn prop_no_bytes_panic_and_what_is_answered_names_this_host(
            bytes in prop::collection::vec(any::<u8>(), 0..400),
            line in "(GET|HEAD|POST|[A-Z]{0,5}) [ -~]{0,40}( HTTP/1.1)?",
            host in "(127.0.0.1|localhost|[a-z.]{0,9}):(50000|[0-9]{0,6})",
        ) {
            let has_ended = bytes.windows(END.len()).any(|window| window == END);
            prop_assert!(has_ended || read(&bytes, PORT) == Ok(None));
            let head = format!("{line}\r\nHost: {host}\r\n\r\n");
            let whole = [head.as_bytes(), &bytes].concat();
            if let Ok(Some(asked)) = read(&whole, PORT) {
                prop_assert!(host == "127.0.0.1:50000" || host == "localhost:50000");
                prop_assert!(asked.path.starts_with('/'));
                prop_assert!(line.starts_with("GET ") || line.starts_with("HEAD "));
            }
        }
    }
}
