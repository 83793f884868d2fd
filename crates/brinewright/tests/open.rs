//! `open`: the server of the workbench, attacked and asked as a browser asks it. What a person sees is in
//! `validation/bench/check.py`.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::net::TcpStream;
use std::process::Command;

use crate::served::{Bench, TEXT, read};

const CHANGE: &str = r#"{"revision":1,"width_mm":190,"edits":[{"path":"reserve.salt","text":"32 gal"}]}"#;

#[test]
fn a_page_and_its_files_are_there_and_locked() {
    let bench = Bench::open();
    for (path, kind) in [
        ("/", "text/html"),
        ("/look/style.css", "text/css"),
        ("/look/bench.js", "text/javascript"),
        ("/look/drag.js", "text/javascript"),
        ("/look/ask.js", "text/javascript"),
        ("/favicon.ico", "image/svg+xml"),
        ("/api/view?width_mm=190", "application/json"),
        ("/api/text", "application/json"),
        ("/api/proof", "application/json"),
    ] {
        let answer = bench.get(path);
        assert_eq!(answer.status, 200, "{path}: {answer:?}");
        assert!(answer.head.contains(kind), "{path}: {}", answer.head);
        for lock in [
            "content-security-policy: default-src 'none'",
            "x-content-type-options: nosniff",
            "cross-origin-resource-policy: same-origin",
            "x-frame-options: deny",
        ] {
            assert!(answer.head.contains(lock), "{path}: {lock}: {}", answer.head);
        }
        assert!(!answer.head.contains("access-control-allow"), "{path}");
    }
    let page = bench.get("/").body;
    assert!(
        !page.contains("style=") && !page.contains("http:") && !page.contains("https:"),
        "{page}"
    );
}

#[test]
fn a_change_is_kept_and_taken_back() {
    let bench = Bench::open();
    let answer = bench.post("/api/change", CHANGE);
    assert_eq!(answer.status, 200, "{answer:?}");
    assert_eq!(
        bench.text(),
        TEXT.replace("salt = \"30 gal\"", "salt = \"32 gal\"")
    );
    let answer = bench.post("/api/undo", r#"{"width_mm":190}"#);
    assert_eq!(answer.status, 200, "{answer:?}");
    assert_eq!(bench.text(), TEXT);
    // Trying keeps nothing.
    let answer = bench.post("/api/try", &CHANGE.replace("\"revision\":1", "\"revision\":3"));
    assert_eq!(answer.status, 200, "{answer:?}");
    assert_eq!(bench.text(), TEXT);
}

#[test]
fn what_is_wrong_is_told_in_the_words_of_the_command_line() {
    let bench = Bench::open();
    for (body, status, says) in [
        (CHANGE.replace("32 gal", "32 furlongs"), 422, "mend"),
        (CHANGE.replace("reserve.salt", "reserve.beer"), 422, "reserve"),
        (
            CHANGE.replace("\"revision\":1", "\"revision\":1,\"also\":2"),
            422,
            "also",
        ),
        ("{".to_owned(), 400, "errors"),
        (
            CHANGE.replace(
                "\"edits\"",
                "\"remedy\":{\"of\":\"proof\",\"at\":0,\"says\":\"nothing like it\"},\"edits\"",
            ),
            409,
            "cure",
        ),
    ] {
        let answer = bench.post("/api/change", &body);
        assert_eq!(answer.status, status, "{body}: {answer:?}");
        assert!(answer.body.contains(says), "{body}: {}", answer.body);
        assert_eq!(bench.text(), TEXT, "{body}");
    }
}

/// Two pages: the second to change the same value is told of the first.
#[test]
fn the_same_value_changed_twice_is_a_conflict() {
    let bench = Bench::open();
    assert_eq!(bench.post("/api/change", CHANGE).status, 200);
    let answer = bench.post("/api/change", &CHANGE.replace("32 gal", "40 gal"));
    assert_eq!(answer.status, 409, "{answer:?}");
    assert!(
        answer.body.contains("conflicts") && answer.body.contains("32 gal"),
        "{}",
        answer.body
    );
    assert!(bench.text().contains("salt = \"32 gal\""));
    // Told in words, with all that it takes to settle it.
    let told: serde_json::Value = serde_json::from_str(&answer.body).expect("JSON");
    let met = &told["conflicts"][0];
    assert!(
        met["place"]
            .as_str()
            .is_some_and(|place| place.starts_with("Reserve: ")),
        "{met}"
    );
    assert_eq!(
        (&met["theirs"], &met["yours"]),
        (&"32 gal".into(), &"40 gal".into())
    );
    assert_eq!(told["revision"], 2);
    let settled =
        serde_json::json!({ "revision": told["revision"], "width_mm": 190, "settled": told["edits"] });
    assert_eq!(bench.post("/api/change", &settled.to_string()).status, 200);
    assert_eq!(
        bench.text(),
        TEXT.replace("salt = \"30 gal\"", "salt = \"40 gal\"")
    );
    // By then it has met somebody else's again.
    let answer = bench.post("/api/change", &settled.to_string().replace("40 gal", "44 gal"));
    assert_eq!(answer.status, 409, "{answer:?}");
    assert!(bench.text().contains("salt = \"40 gal\""));
}

/// A hostile page in the same browser: it can neither read nor write.
#[test]
fn other_sites_are_refused() {
    let bench = Bench::open();
    let own = bench.host();
    let origin = format!("http://{own}");
    let json = ("content-type", "application/json");
    let host = ("host", own.as_str());
    let ours = ("origin", origin.as_str());
    for (name, method, path, heads, status) in [
        (
            "a name turned to this machine",
            "GET",
            "/",
            vec![("host", "evil.example:7317")],
            421,
        ),
        (
            "another port's name",
            "GET",
            "/api/text",
            vec![("host", "127.0.0.1:1")],
            421,
        ),
        ("no name", "GET", "/", vec![], 421),
        (
            "a foreign origin that reads",
            "GET",
            "/api/text",
            vec![host, ("origin", "http://evil.example")],
            403,
        ),
        (
            "a foreign frame that reads",
            "GET",
            "/api/text",
            vec![host, ("sec-fetch-site", "cross-site")],
            403,
        ),
        (
            "a frame around a page",
            "GET",
            "/needs",
            vec![
                host,
                ("sec-fetch-site", "cross-site"),
                ("sec-fetch-mode", "navigate"),
                ("sec-fetch-dest", "iframe"),
            ],
            403,
        ),
        (
            "a foreign page that asks for one",
            "GET",
            "/",
            vec![
                host,
                ("sec-fetch-site", "cross-site"),
                ("sec-fetch-mode", "no-cors"),
            ],
            403,
        ),
        (
            "a link to a file",
            "GET",
            "/file/sheets.pdf",
            vec![
                host,
                ("sec-fetch-site", "cross-site"),
                ("sec-fetch-mode", "navigate"),
                ("sec-fetch-dest", "document"),
            ],
            403,
        ),
        (
            "a neighbour's port",
            "GET",
            "/api/text",
            vec![host, ("sec-fetch-site", "same-site")],
            403,
        ),
        (
            "a foreign origin that writes",
            "POST",
            "/api/change",
            vec![host, ("origin", "http://evil.example"), json],
            403,
        ),
        ("no origin at all", "POST", "/api/change", vec![host, json], 403),
        (
            "a sandboxed frame",
            "POST",
            "/api/change",
            vec![host, ("origin", "null"), json],
            403,
        ),
        (
            "a form",
            "POST",
            "/api/change",
            vec![host, ours, ("content-type", "text/plain")],
            415,
        ),
        ("a change by asking", "GET", "/api/change", vec![host], 405),
        ("taking back by asking", "GET", "/api/undo", vec![host], 405),
        (
            "leave to write asked for",
            "OPTIONS",
            "/api/change",
            vec![host, ("origin", "http://evil.example")],
            403,
        ),
    ] {
        let body = if method == "POST" { CHANGE } else { "" };
        let answer = bench.ask(method, path, &heads, body);
        assert_eq!(answer.status, status, "{name}: {answer:?}");
        assert!(!answer.body.contains("Juniper"), "{name}: {}", answer.body);
        assert_eq!(bench.text(), TEXT, "{name}");
    }
}

/// A link in a letter leads to any page: in a tab of its own nobody else reads it.
#[test]
fn whoever_follows_a_link_arrives() {
    let bench = Bench::open();
    let host = bench.host();
    let link = [
        ("host", host.as_str()),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-mode", "navigate"),
        ("sec-fetch-dest", "document"),
    ];
    for path in ["/", "/needs", "/try-it", "/edit", "/begin"] {
        let answer = bench.ask("GET", path, &link, "");
        assert_eq!(answer.status, 200, "{path}: {answer:?}");
    }
}

#[test]
fn no_path_leads_out() {
    let bench = Bench::open();
    fs::write(bench.folder.path().join("secret.txt"), "a secret").expect("written");
    for path in [
        "/secret.txt",
        "/station.toml",
        "/look/../secret.txt",
        "/look/..%2fsecret.txt",
        "/look/%2e%2e/%2e%2e/etc/passwd",
        "/look//etc/passwd",
        "/../../etc/passwd",
        "/look/bench.js%00",
        "/look/",
    ] {
        let answer = bench.get(path);
        assert!(matches!(answer.status, 400 | 404), "{path}: {answer:?}");
        assert!(
            !answer.body.contains("secret") && !answer.body.contains("root:"),
            "{path}"
        );
    }
}

#[test]
fn too_much_is_refused_and_others_are_still_answered() {
    let bench = Bench::open();
    let large = format!(
        "{{\"revision\":1,\"width_mm\":190,\"edits\":[],\"x\":\"{}\"}}",
        "y".repeat(600_000)
    );
    let answer = bench.post("/api/change", &large);
    assert_eq!(answer.status, 413, "{answer:?}");
    // A body that never comes holds nobody up.
    let mut slow = bench.stream();
    let head = format!(
        "POST /api/change HTTP/1.1\r\nhost: {0}\r\norigin: http://{0}\r\ncontent-type: application/json\r\ncontent-length: 90\r\n\r\n{{",
        bench.host()
    );
    slow.write_all(head.as_bytes()).expect("sent");
    assert_eq!(bench.get("/api/text").status, 200);
    // It is ended by the server, and nothing came of it.
    let ended = read(slow);
    assert!(matches!(ended.status, 0 | 408), "{ended:?}");
    assert_eq!(bench.text(), TEXT);
}

/// More connections than there are places, none of which says anything: they are ended, and then one is answered.
#[test]
fn silent_connections_are_ended() {
    let bench = Bench::open();
    let silent: Vec<TcpStream> = (0..80).map(|_| bench.stream()).collect();
    // Sixty-four are taken; the others wait at the door, and cost the program nothing.
    #[cfg(target_os = "linux")]
    {
        let held = fs::read_dir(format!("/proc/{}/fd", bench.child.id())).expect("its files");
        let sockets = held.flatten().filter(|own| {
            fs::read_link(own.path()).is_ok_and(|to| to.to_string_lossy().starts_with("socket:"))
        });
        assert!(sockets.count() < 75);
    }
    let answer = bench.get("/api/text");
    assert_eq!(answer.status, 200, "{answer:?}");
    drop(silent);
}

/// More pages than there are places to be told of what happens: those that find none are told, and whoever asks is answered.
#[test]
fn streams_leave_places_for_whoever_asks() {
    let bench = Bench::open();
    let heads: Vec<(TcpStream, String)> = (0..60)
        .map(|at| {
            let mut stream = bench.stream();
            let path = if at % 2 == 0 {
                "/api/events"
            } else {
                "/api/live/stream"
            };
            let head = format!("GET {path} HTTP/1.1\r\nhost: {}\r\n\r\n", bench.host());
            stream.write_all(head.as_bytes()).expect("sent");
            let mut line = String::new();
            let mut answer = BufReader::new(stream.try_clone().expect("a second hand"));
            answer.read_line(&mut line).expect("answered");
            (stream, line)
        })
        .collect();
    let told = heads.iter().filter(|(_, line)| line.contains(" 200 ")).count();
    let refused = heads.iter().filter(|(_, line)| line.contains(" 503 ")).count();
    assert_eq!((told, refused), (40, 20));
    assert_eq!(bench.get("/api/text").status, 200);
    // A place that is left is there for the next.
    drop(heads);
    let mut again = String::new();
    while !again.contains(" 200 ") {
        let mut stream = bench.stream();
        let head = format!("GET /api/events HTTP/1.1\r\nhost: {}\r\n\r\n", bench.host());
        stream.write_all(head.as_bytes()).expect("sent");
        again.clear();
        BufReader::new(stream).read_line(&mut again).expect("answered");
    }
}

/// A stream tells of changes as they come, and doesn't keep the program from ending.
#[cfg(unix)]
#[test]
fn it_stops_cleanly_while_somebody_listens() {
    let mut bench = Bench::open();
    let mut stream = bench.stream();
    let head = format!("GET /api/events HTTP/1.1\r\nhost: {}\r\n\r\n", bench.host());
    stream.write_all(head.as_bytes()).expect("sent");
    let mut lines = BufReader::new(stream.try_clone().expect("a second hand")).lines();
    let mut next_news = || {
        lines
            .find_map(|line| line.ok()?.strip_prefix("data: ").map(str::to_owned))
            .expect("news")
    };
    let revision_1 = next_news();
    assert!(revision_1.contains("\"revision\":1"), "{revision_1}");
    assert_eq!(bench.post("/api/change", CHANGE).status, 200);
    while !next_news().contains("\"revision\":2") {}
    let stopped = Command::new("kill")
        .args(["-INT", &bench.child.id().to_string()])
        .status()
        .expect("asked");
    assert!(stopped.success());
    let code = bench.child.wait().expect("ended").code();
    assert_eq!(code, Some(0));
}

#[test]
fn a_port_that_is_taken_is_told() {
    let bench = Bench::open();
    let output = Command::new(env!("CARGO_BIN_EXE_brinewright"))
        .args(["open", "--no-browser", "--port", &bench.port.to_string()])
        .output()
        .expect("ran");
    assert_eq!(output.status.code(), Some(1));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("--port 0"), "{told}");
}
