//! The pages of the analyses, asked for as a browser asks: each is there, holds nothing inline, and every file that it
//! offers can be had.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

/// The pages, each with its name at the head.
const PAGES: [(&str, &str); 8] = [
    ("/needs", "Needs"),
    ("/supply", "Supply"),
    ("/levels", "Levels"),
    ("/plumbing", "Plumbing"),
    ("/mistakes", "Mistakes"),
    ("/away", "While away"),
    ("/year", "A year of it"),
    ("/compare", "Compare"),
];

/// A workbench that runs; it ends with the test.
struct Server {
    child: Child,
    port: u16,
}

impl Drop for Server {
    fn drop(&mut self) {
        // Where it has ended already there is nothing to end.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

struct Answer {
    status: u16,
    heads: String,
    body: Vec<u8>,
}

impl Answer {
    fn text(&self) -> &str {
        std::str::from_utf8(&self.body).expect("UTF-8")
    }

    fn head(&self, name: &str) -> &str {
        let begin = format!("{name}: ");
        let line = self
            .heads
            .lines()
            .find(|line| line.to_lowercase().starts_with(&begin));
        line.map_or("", |line| &line[begin.len()..])
    }
}

impl Server {
    fn open(station: &str) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_brinewright"))
            .args(["open", station, "--port", "0", "--no-browser"])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut address = String::new();
        let stdout = child.stdout.take().expect("it is piped");
        BufReader::new(stdout)
            .read_line(&mut address)
            .expect("its address");
        let port = address
            .trim()
            .trim_end_matches('/')
            .rsplit(':')
            .next()
            .and_then(|port| port.parse().ok());
        let port = port.unwrap_or_else(|| panic!("no address: {address}"));
        Self { child, port }
    }

    fn get(&self, path: &str) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        let host = format!("127.0.0.1:{}", self.port);
        write!(
            stream,
            "GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
        )
        .expect("sent");
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).expect("an answer");
        let end = bytes
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .expect("heads");
        let heads = String::from_utf8_lossy(&bytes[..end]).into_owned();
        let status = heads
            .split(' ')
            .nth(1)
            .and_then(|code| code.parse().ok())
            .expect("a status");
        Answer {
            status,
            heads,
            body: bytes.split_off(end + 4),
        }
    }

    /// A page once all of its result is there.
    fn fresh(&self, path: &str) -> String {
        loop {
            let answer = self.get(path);
            assert_eq!(answer.status, 200, "{path}");
            let text = answer.text().to_owned();
            if !text.contains("data-state=\"waiting\"")
                && !text.contains("is still to be tried")
                && !text.contains("data-stop")
            {
                return text;
            }
            thread::sleep(Duration::from_millis(50));
        }
    }
}

/// What stands between two marks, each time.
fn between<'t>(text: &'t str, begin: &str, end: &str) -> Vec<&'t str> {
    text.split(begin)
        .skip(1)
        .filter_map(|rest| rest.split(end).next())
        .collect()
}

fn holds_nothing_inline(page: &str, path: &str) {
    assert!(!page.contains(" style="), "{path}: a style of its own");
    assert!(!page.contains("<style"), "{path}: a style sheet of its own");
    for event in [" onclick=", " onload=", "javascript:"] {
        assert!(!page.contains(event), "{path}: {event}");
    }
    for script in between(page, "<script", "</script>") {
        let (head, body) = script.split_once('>').expect("an element");
        assert!(
            head.contains(" src=\"/look/") && body.is_empty(),
            "{path}: {script}"
        );
    }
}

fn is_what_it_says(answer: &Answer, path: &str) {
    assert_eq!(answer.status, 200, "{path}: {}", answer.heads);
    let ending = path.rsplit('.').next().unwrap_or_default();
    let (kind, begins): (&str, &[u8]) = match ending {
        "svg" => ("image/svg+xml", b"<svg xmlns="),
        "png" => ("image/png", b"\x89PNG\r\n\x1a\n"),
        "pdf" => ("application/pdf", b"%PDF-"),
        "html" => ("text/html; charset=utf-8", b"<!DOCTYPE html>"),
        "csv" => ("text/csv; charset=utf-8", b""),
        other => panic!("{path}: {other}"),
    };
    assert_eq!(answer.head("content-type"), kind, "{path}");
    let name = path.rsplit('/').next().unwrap_or_default();
    assert_eq!(
        answer.head("content-disposition"),
        format!("attachment; filename=\"{name}\""),
        "{path}"
    );
    assert!(
        answer.body.starts_with(begins) && answer.body.len() > 40,
        "{path}"
    );
    if ending == "csv" {
        let rows: Vec<&str> = answer.text().split_terminator("\r\n").collect();
        assert!(rows.len() > 1 && rows[0].contains(','), "{path}: {rows:?}");
    }
}

fn each_page_is_whole(station: &str, least_files: usize) {
    let server = Server::open(station);
    let mut files = BTreeSet::new();
    for (path, name) in PAGES {
        let page = server.fresh(path);
        assert!(page.contains(&format!("<title>{name}, Brinewright: ")), "{path}");
        assert!(page.contains("data-state=\"fresh\""), "{path}");
        let headings = between(&page, "<h1>", "</h1>");
        assert!(
            headings.len() == 1 && headings[0].len() > 10,
            "{path}: {headings:?}"
        );
        // Its name, once in the row and once in the list that unfolds, is marked as the place where one is.
        let current = format!("<a href=\"{path}\" aria-current=\"page\">{name}</a>");
        assert_eq!(page.matches(&current).count(), 2, "{path}");
        assert_eq!(page.matches("aria-current").count(), 2, "{path}");
        for (other, name) in PAGES {
            assert!(
                page.contains(&format!("href=\"{other}\"")) && page.contains(name),
                "{path} to {other}"
            );
        }
        holds_nothing_inline(&page, path);
        assert!(!page.contains("NaN"), "{path}");
        let offered = between(&page, "href=\"/file/", "\"");
        assert!(offered.len() > 2, "{path}: {offered:?}");
        files.extend(offered.into_iter().map(|name| format!("/file/{name}")));
    }
    assert!(files.len() >= least_files, "{files:?}");
    for path in &files {
        is_what_it_says(&server.get(path), path);
    }
}

#[test]
fn each_page_of_larkhaven_is_whole() {
    each_page_is_whole("../../stations/larkhaven.toml", 55);
}

#[test]
fn each_page_of_a_small_station_is_whole() {
    each_page_is_whole("../../stations/juniper-street-school.toml", 30);
}

#[test]
fn what_isnt_there_is_not_there() {
    let server = Server::open("../../stations/juniper-street-school.toml");
    for path in [
        "/nothing",
        "/needs/more",
        "/file/nothing.svg",
        "/file/marks",
        "/file/marks.exe",
        "/file/sheets.html",
        "/file/page.pdf",
        "/file/card-0.svg",
        "/file/card-99.svg",
        "/file/level-against-volume-0.png",
        "/file/..%2f..%2fCargo.toml",
        "/file/..%2fmarks.csv",
        "/file/../Cargo.toml",
        "/look/pages.css",
    ] {
        let answer = server.get(path);
        assert_eq!(answer.status, 404, "{path}: {}", answer.heads);
    }
}

/// The workbench stands in the same frame, as the first of the pages.
#[test]
fn the_workbench_is_the_first_of_the_pages() {
    let server = Server::open("../../stations/juniper-street-school.toml");
    let page = server.get("/").text().to_owned();
    holds_nothing_inline(&page, "/");
    assert_eq!(
        page.matches("<a href=\"/\" aria-current=\"page\">Workbench</a>")
            .count(),
        2
    );
    let style = server.get("/look/style.css");
    assert!(style.text().contains(".names"));
}

/// A file that is no station any more is told on every page, with what is wrong with it; mended, the pages come back.
#[test]
fn a_broken_file_is_told_on_each_page() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("station.toml");
    let sound = include_str!("../../../stations/juniper-street-school.toml");
    std::fs::write(&file, sound).expect("written");
    let server = Server::open(&file.display().to_string());
    assert!(server.fresh("/levels").contains("data-state=\"fresh\""));
    std::fs::write(&file, sound.replacen("[vessels.", "[vesels.", 1)).expect("written");
    let until = |state: &str| {
        loop {
            let page = server.get("/levels").text().to_owned();
            if page.contains(&format!("data-state=\"{state}\"")) {
                return page;
            }
            thread::sleep(Duration::from_millis(50));
        }
    };
    let broken = until("broken");
    assert!(
        broken.contains("be read as it is now") && broken.contains("vesels"),
        "{broken}"
    );
    assert_eq!(server.get("/file/marks.csv").status, 422);
    std::fs::write(&file, sound).expect("written");
    until("fresh");
}

/// What was changed since the station was opened stands beside it; taken back, nothing does.
#[test]
fn a_change_is_compared_with_the_station_as_it_was_opened() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("station.toml");
    let sound = include_str!("../../../stations/juniper-street-school.toml");
    std::fs::write(&file, sound).expect("written");
    let server = Server::open(&file.display().to_string());
    let table = "A mean year as it was opened, and now";
    assert!(!server.fresh("/compare").contains(table));
    assert_eq!(server.get("/file/as-opened-and-now.csv").status, 404);
    let changed = sound.replacen("change_every = \"2 weeks\"", "change_every = \"1 week\"", 1);
    assert_ne!(changed, sound);
    std::fs::write(&file, changed).expect("written");
    let until = |holds: bool| {
        loop {
            let page = server.fresh("/compare");
            if page.contains(table) == holds {
                return page;
            }
            thread::sleep(Duration::from_millis(50));
        }
    };
    let page = until(true);
    assert!(
        page.contains("Worse: ") || page.contains("Better than "),
        "{page}"
    );
    let csv = server.get("/file/as-opened-and-now.csv");
    is_what_it_says(&csv, "/file/as-opened-and-now.csv");
    // Twice as many changes take more buckets.
    let carried = csv.text().lines().find(|row| row.starts_with("buckets carried,"));
    let carried = carried.unwrap_or_else(|| panic!("no buckets: {}", csv.text()));
    let cells: Vec<f64> = carried.split(',').filter_map(|cell| cell.parse().ok()).collect();
    assert!(
        cells.len() == 3 && cells[1] > 1.1 * cells[0] && cells[2] > 0.0,
        "{carried}"
    );
    std::fs::write(&file, sound).expect("written");
    until(false);
}

/// The style is one file for all pages but Try it, which has some more. What it says of an id is meant for one page, or for the same thing on each that has
/// it: two pages that call different things by one name once moved each other's buttons.
#[test]
fn a_name_that_the_style_knows_means_one_thing() {
    /// Of every page that has it, or of all analyses.
    const MEANT_FOR_ALL: [&str; 4] = ["verdict", "said", "gone", "gone-says"];
    let server = Server::open("../../stations/larkhaven.toml");
    let style = server.get("/look/style.css");
    let named: BTreeSet<&str> = style
        .text()
        .split('#')
        .skip(1)
        .map(|rest| {
            let end = rest.find(|own: char| !own.is_ascii_lowercase() && own != '-');
            &rest[..end.unwrap_or(rest.len())]
        })
        .filter(|own| own.len() > 3)
        .collect();
    assert!(named.contains("verdict") && named.len() > 10, "{named:?}");
    let analyses = PAGES.iter().map(|(path, _)| (*path, "an analysis"));
    let others = ["/", "/try-it", "/edit", "/begin"].map(|path| (path, path));
    let mut seen: BTreeSet<(&str, &str)> = BTreeSet::new();
    for (path, kind) in analyses.chain(others) {
        let page = server.get(path);
        for name in &named {
            if page.text().contains(&format!("id=\"{name}\"")) {
                seen.insert((name, kind));
            }
        }
    }
    for name in named {
        let kinds: Vec<&str> = seen.iter().filter(|own| own.0 == name).map(|own| own.1).collect();
        assert!(
            kinds.len() < 2 || MEANT_FOR_ALL.contains(&name),
            "#{name} is on {kinds:?}"
        );
    }
}
