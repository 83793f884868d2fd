//! Try it, asked as its page asks: a card followed step by step, a kept record put in again. What a person sees is in
//! `validation/bench/try_it.py`.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};

struct Server {
    child: Child,
    host: String,
}

impl Drop for Server {
    fn drop(&mut self) {
        // Where it has ended already there is nothing to end.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Server {
    fn open() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_brinewright"))
            .args([
                "open",
                "../../stations/juniper-street-school.toml",
                "--port",
                "0",
                "--no-browser",
            ])
            .stdout(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut address = String::new();
        let stdout = child.stdout.take().expect("it is piped");
        BufReader::new(stdout)
            .read_line(&mut address)
            .expect("its address");
        let host = address
            .trim()
            .trim_start_matches("http://")
            .trim_end_matches('/')
            .to_owned();
        Self { child, host }
    }

    fn ask(&self, heads: &str, body: &str) -> (u16, Value) {
        let mut stream = TcpStream::connect(&self.host).expect("it listens");
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .expect("set");
        let host = &self.host;
        let sent = format!("{heads} HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n");
        let length = body.len();
        let more = format!(
            "origin: http://{host}\r\ncontent-type: application/json\r\ncontent-length: {length}\r\n"
        );
        // The server may refuse before it has read all of it.
        let _ = stream.write_all(format!("{sent}{more}\r\n{body}").as_bytes());
        let mut text = String::new();
        let _ = stream.read_to_string(&mut text);
        let status = text
            .split(' ')
            .nth(1)
            .and_then(|own| own.parse().ok())
            .unwrap_or(0);
        let body = text.split_once("\r\n\r\n").map_or("", |(_, body)| body);
        (status, serde_json::from_str(body).unwrap_or(Value::Null))
    }

    fn post(&self, path: &str, body: &str) -> (u16, Value) {
        self.ask(&format!("POST {path}"), body)
    }

    fn wish(&self, body: &Value) -> u16 {
        self.post("/api/live/card", &body.to_string()).0
    }

    fn record(&self) -> Value {
        self.ask("GET /api/live/record", "").1
    }

    /// The first moment that the stream tells.
    fn now(&self) -> Value {
        let stream = TcpStream::connect(&self.host).expect("it listens");
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .expect("set");
        let host = &self.host;
        write!(&stream, "GET /api/live/stream HTTP/1.1\r\nhost: {host}\r\n\r\n").expect("sent");
        let lines = BufReader::new(stream).lines().map_while(Result::ok);
        let told = lines
            .into_iter()
            .find_map(|line| line.strip_prefix("data: ").map(str::to_owned));
        serde_json::from_str(&told.expect("a moment")).expect("JSON")
    }
}

/// A card: its steps in their order, one beside them noticed and put back, the watch ended, everything as before; all of it
/// in the record, for whoever looks.
#[test]
fn a_card_is_followed_and_left() {
    let server = Server::open();
    assert_eq!(server.post("/api/live/pace", r#"{"speed":0}"#).0, 200);
    assert_eq!(server.wish(&json!({ "do": "take", "task": "nothing" })), 422);
    assert_eq!(server.wish(&json!({ "do": "take", "task": "bucket" })), 200);
    let card = server.now()["card"].clone();
    assert_eq!(
        (&card["task"], &card["next"]),
        (&"Bucket".into(), &0.into()),
        "{card}"
    );
    assert_eq!(card["steps"][0]["path"], "valves.spigot");
    assert_eq!(card["steps"].as_array().map(Vec::len), Some(3), "{card}");
    assert_eq!(server.wish(&json!({ "do": "step" })), 200);
    let card = server.now()["card"].clone();
    assert!(
        card["watches"] == true && card["left"].as_str().is_some_and(|left| left.ends_with("to go")),
        "{card}"
    );
    assert_eq!(server.wish(&json!({ "do": "enough" })), 200);
    // The step of the card by the valve itself.
    let (status, done) = server.post(
        "/api/live/act",
        r#"{"act":{"act":"valve","valve":"spigot","open":false},"ask_first":true}"#,
    );
    assert_eq!(
        (status, &done["done"], &done["beside"]),
        (200, &true.into(), &false.into()),
        "{done}"
    );
    let card = server.now()["card"].clone();
    assert!(
        card["next"] == 3 && card["says"].as_str().is_some_and(|says| says.starts_with("Done")),
        "{card}"
    );
    // Taken again, and something else is done: first it is asked about, for it harms.
    assert_eq!(server.wish(&json!({ "do": "take", "task": "bucket" })), 200);
    assert_eq!(server.wish(&json!({ "do": "step" })), 200);
    assert_eq!(server.now()["card"]["beside"], Value::Null);
    assert_eq!(server.wish(&json!({ "do": "leave" })), 200);
    assert_eq!(server.now()["card"], Value::Null);
    let acts = server.record()["record"].as_array().map(Vec::len);
    assert_eq!(acts, Some(3));
}

/// A kept record comes back as it was; whatever is wrong with a file, nothing is done.
#[test]
fn a_kept_record_is_put_in_again() {
    let server = Server::open();
    let act = r#"{"act":{"act":"valve","valve":"spigot","open":true}}"#;
    assert_eq!(server.post("/api/live/act", act).0, 200);
    let kept = server.record();
    assert_eq!(
        (&kept["format"], &kept["station"]),
        (&1.into(), &"Juniper Street School, room 12".into())
    );
    for (text, status, says) in [
        ("nonsense".to_owned(), 422, "is no record"),
        (
            kept.to_string().replace("\"format\":1", "\"format\":2"),
            422,
            "format 2",
        ),
        (
            kept.to_string().replace("spigot", "hatch"),
            422,
            "no valve called hatch",
        ),
        (
            kept.to_string().replace("Juniper", "Walnut"),
            409,
            "another station: Walnut",
        ),
        (" ".repeat(300 * 1024), 413, "too large"),
    ] {
        let (answered, told) = server.post("/api/live/put-in", &text);
        let what = told["errors"][0]["what"].as_str().unwrap_or_default();
        let mend = told["errors"][0]["mend"].as_str().unwrap_or_default();
        assert_eq!(answered, status, "{told}");
        assert!(what.contains(says) && !mend.is_empty(), "{says}: {told}");
        assert_eq!(server.record(), kept, "nothing is done");
    }
    let other = kept.to_string().replace("Juniper", "Walnut");
    assert_eq!(server.post("/api/live/put-in?anywhere=true", &other).0, 200);
    assert_eq!(server.post("/api/live/put-in", &kept.to_string()).0, 200);
    // It is played as time goes on, which it does while somebody looks.
    for _ in 0..600 {
        server.now();
        if server.record() == kept {
            return;
        }
        std::thread::sleep(Duration::from_millis(100));
        let _ = server.post("/api/live/skip", r#"{"seconds":60}"#);
    }
    panic!("{} isn't {kept}", server.record());
}
