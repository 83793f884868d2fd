//! Try it, asked as its page asks: a card followed step by step, a kept record put in again. What a person sees is in
//! `validation/bench/try_it.py`.

use std::time::Duration;

use serde_json::{Value, json};

use crate::served::Bench;

/// The status, and what is told.
fn post(server: &Bench, path: &str, body: &str) -> (u16, Value) {
    let answer = server.post(path, body);
    (
        answer.status,
        serde_json::from_str(&answer.body).unwrap_or(Value::Null),
    )
}

fn wish(server: &Bench, body: &Value) -> u16 {
    server.post("/api/live/card", &body.to_string()).status
}

fn record(server: &Bench) -> Value {
    serde_json::from_str(&server.get("/api/live/record").body).expect("JSON")
}

/// The next moment that the stream tells; the first is from before somebody listened.
fn now(server: &Bench) -> Value {
    let mut moments = server.events("/api/live/stream");
    moments.next();
    moments.next().1
}

/// A card: its steps in their order, one beside them noticed and put back, the watch ended, everything as before; all of it
/// in the record, for whoever looks.
#[test]
fn a_card_is_followed_and_left() {
    let server = Bench::open();
    assert_eq!(post(&server, "/api/live/pace", r#"{"speed":0}"#).0, 200);
    assert_eq!(wish(&server, &json!({ "do": "take", "task": "nothing" })), 422);
    assert_eq!(wish(&server, &json!({ "do": "take", "task": "bucket" })), 200);
    let card = now(&server)["card"].clone();
    assert_eq!(
        (&card["task"], &card["next"]),
        (&"Bucket".into(), &0.into()),
        "{card}"
    );
    assert_eq!(card["steps"][0]["path"], "valves.spigot");
    assert_eq!(card["steps"].as_array().map(Vec::len), Some(3), "{card}");
    assert_eq!(wish(&server, &json!({ "do": "step" })), 200);
    let card = now(&server)["card"].clone();
    assert!(
        card["watches"] == true && card["left"].as_str().is_some_and(|left| left.ends_with("to go")),
        "{card}"
    );
    assert_eq!(wish(&server, &json!({ "do": "enough" })), 200);
    // The step of the card by the valve itself.
    let (status, done) = post(
        &server,
        "/api/live/act",
        r#"{"act":{"act":"valve","valve":"spigot","open":false},"ask_first":true}"#,
    );
    assert_eq!(
        (status, &done["done"], &done["beside"]),
        (200, &true.into(), &false.into()),
        "{done}"
    );
    let card = now(&server)["card"].clone();
    assert!(
        card["next"] == 3 && card["says"].as_str().is_some_and(|says| says.starts_with("Done")),
        "{card}"
    );
    // Taken again, and something else is done: first it is asked about, for it harms.
    assert_eq!(wish(&server, &json!({ "do": "take", "task": "bucket" })), 200);
    assert_eq!(wish(&server, &json!({ "do": "step" })), 200);
    assert_eq!(now(&server)["card"]["beside"], Value::Null);
    assert_eq!(wish(&server, &json!({ "do": "leave" })), 200);
    assert_eq!(now(&server)["card"], Value::Null);
    let acts = record(&server)["record"].as_array().map(Vec::len);
    assert_eq!(acts, Some(3));
}

/// A kept record comes back as it was; whatever is wrong with a file, nothing is done.
#[test]
fn a_kept_record_is_put_in_again() {
    let server = Bench::open();
    let act = r#"{"act":{"act":"valve","valve":"spigot","open":true}}"#;
    assert_eq!(post(&server, "/api/live/act", act).0, 200);
    let kept = record(&server);
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
        let (answered, told) = post(&server, "/api/live/put-in", &text);
        let what = told["errors"][0]["what"].as_str().unwrap_or_default();
        let mend = told["errors"][0]["mend"].as_str().unwrap_or_default();
        assert_eq!(answered, status, "{told}");
        assert!(what.contains(says) && !mend.is_empty(), "{says}: {told}");
        assert_eq!(record(&server), kept, "nothing is done");
    }
    let other = kept.to_string().replace("Juniper", "Walnut");
    assert_eq!(post(&server, "/api/live/put-in?anywhere=true", &other).0, 200);
    assert_eq!(post(&server, "/api/live/put-in", &kept.to_string()).0, 200);
    // It is played as time goes on, which it does while somebody looks.
    for _ in 0..600 {
        now(&server);
        if record(&server) == kept {
            return;
        }
        std::thread::sleep(Duration::from_millis(100));
        let _ = post(&server, "/api/live/skip", r#"{"seconds":60}"#);
    }
    panic!("{} isn't {kept}", record(&server));
}
