//! A workbench that runs, and a hand that asks it as its own pages do.

use std::io::{BufRead, BufReader, Lines, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::Value;

/// A workbench with a file of its own; it ends with the test.
pub(crate) struct Served {
    pub(crate) child: Child,
    port: u16,
    folder: tempfile::TempDir,
}

impl Drop for Served {
    fn drop(&mut self) {
        // Where it has ended already there is nothing to end.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A stream of events.
pub(crate) struct Events(Lines<BufReader<TcpStream>>);

impl Events {
    /// The next event's name and what it says.
    pub(crate) fn next(&mut self) -> (String, Value) {
        let mut name = String::new();
        loop {
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
        loop {
            let (_, told) = self.next();
            if so(&told) {
                return told;
            }
        }
    }
}

impl Served {
    pub(crate) fn open(text: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("station.toml");
        std::fs::write(&file, text).expect("written");
        let mut child = Command::new(env!("CARGO_BIN_EXE_brinewright"))
            .arg("open")
            .arg(&file)
            .args(["--port", "0", "--no-browser"])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .spawn()
            .expect("started");
        let mut line = String::new();
        let out = child.stdout.take().expect("its output");
        BufReader::new(out).read_line(&mut line).expect("a line");
        let port = line.trim().trim_end_matches('/').rsplit(':').next();
        let port = port.and_then(|own| own.parse().ok());
        Self {
            port: port.unwrap_or_else(|| panic!("no address: {line}")),
            child,
            folder,
        }
    }

    pub(crate) fn file(&self) -> PathBuf {
        self.folder.path().join("station.toml")
    }

    fn sent(&self, method: &str, path: &str, body: &str) -> TcpStream {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("connected");
        stream
            .set_read_timeout(Some(Duration::from_secs(120)))
            .expect("set");
        let host = format!("127.0.0.1:{}", self.port);
        let mut text = format!("{method} {path} HTTP/1.1\r\nhost: {host}\r\n");
        if method != "GET" {
            text += &format!(
                "origin: http://{host}\r\ncontent-type: application/json\r\ncontent-length: {}\r\n",
                body.len()
            );
        }
        stream
            .write_all(format!("{text}connection: close\r\n\r\n{body}").as_bytes())
            .expect("sent");
        stream
    }

    /// The status and the body of what is answered.
    pub(crate) fn ask(&self, method: &str, path: &str, body: &str) -> (u16, String) {
        let mut bytes = Vec::new();
        self.sent(method, path, body)
            .read_to_end(&mut bytes)
            .expect("an answer");
        let text = String::from_utf8(bytes).expect("UTF-8");
        let (head, body) = text.split_once("\r\n\r\n").expect("heads");
        let status = head.split(' ').nth(1).and_then(|own| own.parse().ok());
        (status.expect("a status"), body.to_owned())
    }

    pub(crate) fn get(&self, path: &str) -> (u16, String) {
        self.ask("GET", path, "")
    }

    pub(crate) fn post(&self, path: &str, body: &str) -> (u16, String) {
        self.ask("POST", path, body)
    }

    /// What a stream tells.
    pub(crate) fn events(&self, path: &str) -> Events {
        Events(BufReader::new(self.sent("GET", path, "")).lines())
    }
}
