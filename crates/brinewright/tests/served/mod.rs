//! The server of the workbench as a test starts it and a browser asks it.

use std::fs;
use std::io::{BufRead, BufReader, Lines, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

/// The example that lies open.
pub(crate) const TEXT: &str = include_str!("../../../../stations/juniper-street-school.toml");

/// A server with a folder of its own; it ends with the test.
pub(crate) struct Bench {
    pub(crate) child: Child,
    pub(crate) port: u16,
    pub(crate) folder: tempfile::TempDir,
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The head and the body of an answer.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Answer {
    /// Its status and its body.
    pub(crate) fn told(self) -> (u16, String) {
        (self.status, self.body)
    }
}

/// So long somebody waits for what a server says: it judges nothing, and ends a test that would never end.
const PATIENCE: Duration = Duration::from_secs(300);

/// A stream of events.
pub(crate) struct Events(Lines<BufReader<TcpStream>>);

impl Events {
    /// The next event's name and what it says.
    pub(crate) fn next(&mut self) -> (String, Value) {
        self.next_before(Instant::now() + PATIENCE)
    }

    fn next_before(&mut self, end: Instant) -> (String, Value) {
        let mut name = String::new();
        loop {
            // The server says every few seconds that it is still there, so that this is asked.
            assert!(Instant::now() < end, "what is waited for never came");
            let line = self.0.next().expect("the stream goes on").expect("a line");
            if let Some(own) = line.strip_prefix("event: ") {
                name = own.to_owned();
            } else if let Some(own) = line.strip_prefix("data: ") {
                return (name, serde_json::from_str(own).expect("JSON"));
            }
        }
    }

    /// The first that is so.
    pub(crate) fn until(&mut self, so: impl Fn(&Value) -> bool) -> Value {
        let end = Instant::now() + PATIENCE;
        loop {
            let (_, told) = self.next_before(end);
            if so(&told) {
                return told;
            }
        }
    }
}

impl Bench {
    /// With a copy of an example that lies open.
    pub(crate) fn open() -> Self {
        Self::with(&[])
    }

    /// The same, with more words on the command line.
    pub(crate) fn with(more: &[&str]) -> Self {
        Self::lies_open(TEXT, more)
    }

    /// With a text that lies open.
    pub(crate) fn of(text: &str) -> Self {
        Self::lies_open(text, &[])
    }

    fn lies_open(text: &str, more: &[&str]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("station.toml");
        fs::write(&file, text).expect("written");
        let file = file.to_string_lossy().into_owned();
        Self::started(folder, &[&[file.as_str()], more].concat())
    }

    /// The demo, started in an empty folder.
    pub(crate) fn demo() -> Self {
        Self::started(tempfile::tempdir().expect("a folder"), &[])
    }

    fn started(folder: tempfile::TempDir, words: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_brinewright"))
            .arg("open")
            .args(words)
            .args(["--port", "0", "--no-browser"])
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .expect("started");
        let mut line = String::new();
        let out = child.stdout.take().expect("its output");
        BufReader::new(out).read_line(&mut line).expect("a line");
        let port = line
            .trim()
            .trim_end_matches('/')
            .rsplit(':')
            .next()
            .expect("a port");
        Self {
            port: port.parse().unwrap_or_else(|_| panic!("{line}")),
            child,
            folder,
        }
    }

    pub(crate) fn file(&self) -> PathBuf {
        self.folder.path().join("station.toml")
    }

    pub(crate) fn text(&self) -> String {
        fs::read_to_string(self.file()).expect("read")
    }

    pub(crate) fn stream(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("connected");
        stream
            .set_read_timeout(Some(Duration::from_secs(120)))
            .expect("set");
        stream
    }

    pub(crate) fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// Asks with heads of its own, a body, and reads until the server ends it.
    pub(crate) fn ask(&self, method: &str, path: &str, heads: &[(&str, &str)], body: &str) -> Answer {
        let mut stream = self.stream();
        let mut text = format!("{method} {path} HTTP/1.1\r\nconnection: close\r\n");
        for (name, value) in heads {
            text += &format!("{name}: {value}\r\n");
        }
        if !body.is_empty() {
            text += &format!("content-length: {}\r\n", body.len());
        }
        // The server may refuse before it has read all of it.
        let _ = stream.write_all(format!("{text}\r\n{body}").as_bytes());
        read(stream)
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[("host", &self.host())], "")
    }

    /// What a stream tells.
    pub(crate) fn events(&self, path: &str) -> Events {
        let mut stream = self.stream();
        write!(stream, "GET {path} HTTP/1.1\r\nhost: {}\r\n\r\n", self.host()).expect("sent");
        Events(BufReader::new(stream).lines())
    }

    pub(crate) fn post(&self, path: &str, body: &str) -> Answer {
        self.own("POST", path, body)
    }

    /// As the workbench's own pages do.
    pub(crate) fn own(&self, method: &str, path: &str, body: &str) -> Answer {
        let (host, origin) = (self.host(), format!("http://{}", self.host()));
        let heads = [
            ("host", host.as_str()),
            ("origin", origin.as_str()),
            ("sec-fetch-site", "same-origin"),
            ("content-type", "application/json"),
        ];
        self.ask(method, path, &heads, body)
    }
}

pub(crate) fn read(mut stream: TcpStream) -> Answer {
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    let text = String::from_utf8_lossy(&bytes);
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|own| own.parse().ok())
        .unwrap_or(0);
    Answer {
        status,
        head: head.to_lowercase(),
        body: body.to_owned(),
    }
}

/// Answers to the questions of `/begin`, as a page sends them.
pub(crate) fn answers() -> Value {
    serde_json::from_str(include_str!("answers.json")).expect("JSON")
}
