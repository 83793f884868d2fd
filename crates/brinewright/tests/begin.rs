//! `/begin`: a first station asked for as the page asks, written once and never over a file. What a person sees is in
//! `validation/bench/begin.py`.

use std::fs;

use crate::served::{Bench, TEXT, answers};
use serde_json::{Value, json};

fn write(name: &str) -> String {
    json!({ "answers": answers(), "name": name }).to_string()
}

fn names(bench: &Bench) -> Vec<String> {
    let all = fs::read_dir(bench.folder.path()).expect("a folder");
    let mut names: Vec<String> = all
        .map(|own| own.expect("a file").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn the_demo_leads_to_a_file_of_ones_own_that_lies_open_then() {
    let bench = Bench::demo();
    assert!(bench.get("/").body.contains("href=\"/begin\""));
    assert_eq!(bench.get("/begin").status, 200);
    let plan = json!({ "answers": answers(), "width_mm": 190.0 }).to_string();
    let planned = bench.post("/api/begin/plan", &plan);
    assert_eq!(planned.status, 200, "{}", planned.body);
    let told: Value = serde_json::from_str(&planned.body).expect("JSON");
    assert_eq!(told["name"], "station.toml");
    assert!(told["verdict"].as_str().expect("words").starts_with("Sound"));
    assert!(names(&bench).is_empty(), "a plan writes nothing");
    let written = bench.post("/api/begin/write", &write("station.toml"));
    assert_eq!(written.status, 200, "{}", written.body);
    assert_eq!(names(&bench), ["station.toml"]);
    let view: Value = serde_json::from_str(&bench.get("/api/view?width_mm=190").body).expect("JSON");
    assert_eq!(
        (&view["name"], &view["kept"]),
        (&json!("station.toml"), &json!(true))
    );
    // It is a file like any other: a change is saved in it.
    let change = json!({
        "revision": view["revision"], "width_mm": 190, "edits": [{ "path": "reserve.salt", "text": "125 L" }]
    });
    assert_eq!(bench.post("/api/change", &change.to_string()).status, 200);
    assert!(bench.text().contains("salt = \"125 L\""));
}

#[test]
fn a_file_that_is_there_is_never_overwritten_and_no_name_leads_out() {
    let bench = Bench::open();
    for (name, words) in [
        ("station.toml", "station-2.toml is free"),
        ("../out.toml", "not a path"),
        ("/tmp/out.toml", "not a path"),
        ("..\\\\out.toml", "not a path"),
        (".hidden.toml", "begins with a letter"),
        ("station.txt", "ends in .toml"),
        ("", "begins with a letter"),
    ] {
        let refused = bench.post("/api/begin/write", &write(name));
        assert_eq!(refused.status, 422, "{name}: {}", refused.body);
        assert!(
            refused.body.contains("\"where\":\"name\"") && refused.body.contains(words),
            "{}",
            refused.body
        );
    }
    assert_eq!(
        (bench.text().as_str(), names(&bench)),
        (TEXT, vec!["station.toml".to_owned()])
    );
    let beside = bench.post("/api/begin/write", &write("station-2.toml"));
    assert_eq!(beside.status, 200, "{}", beside.body);
    assert_eq!(bench.text(), TEXT, "the old one is as it was");
    // A page that still looks at the old file changes nothing of the new one.
    let late = r#"{"revision":1,"width_mm":190,"edits":[{"path":"reserve.salt","text":"32 gal"}]}"#;
    assert_eq!(bench.post("/api/change", late).status, 409);
}

#[test]
fn other_sites_and_looking_write_nothing() {
    let bench = Bench::demo();
    let host = format!("127.0.0.1:{}", bench.port);
    let own = format!("http://{host}");
    let body = write("station.toml");
    let json = ("content-type", "application/json");
    for (method, heads, status) in [
        ("GET", vec![("host", host.as_str())], 405),
        ("POST", vec![("host", host.as_str()), json], 403),
        (
            "POST",
            vec![
                ("host", host.as_str()),
                json,
                ("origin", "http://elsewhere.example"),
            ],
            403,
        ),
        (
            "POST",
            vec![
                ("host", host.as_str()),
                ("origin", own.as_str()),
                ("content-type", "text/plain"),
            ],
            415,
        ),
        (
            "POST",
            vec![("host", "elsewhere.example"), json, ("origin", own.as_str())],
            421,
        ),
    ] {
        let answer = bench.ask(method, "/api/begin/write", &heads, &body);
        assert_eq!(answer.status, status, "{method} {heads:?}: {}", answer.body);
    }
    assert!(names(&bench).is_empty());
}
