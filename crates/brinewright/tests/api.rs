//! The workbench's JSON interface against its description: every route is described and there, every answer holds just the
//! keys that are described, every request that is described is taken, and none with a key more.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use crate::served::{Bench, answers};
use jsonschema::Validator;
use serde_json::{Value, json};

const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");

fn described() -> Value {
    serde_json::from_str(include_str!("../../../docs/workbench-api.json")).expect("JSON")
}

/// A schema of the description, with all that it refers to.
fn schema(of: &Value) -> Validator {
    let whole = json!({ "allOf": [of], "components": described()["components"] });
    jsonschema::draft202012::meta::validate(&whole).expect("a schema");
    jsonschema::draft202012::new(&whole).expect("it compiles")
}

#[track_caller]
fn fits(of: &Value, value: &Value, what: &str) {
    let faults: Vec<String> = schema(of)
        .iter_errors(value)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{what}: {faults:?}");
}

/// What a route answers with a status, by the description.
fn answer<'d>(described: &'d Value, method: &str, path: &str, status: u16) -> &'d Value {
    let answers = &described["paths"][path][method]["responses"];
    let own = &answers[status.to_string()]["content"]["application/json"]["schema"];
    assert!(!own.is_null(), "{method} {path}: {status} isn't described");
    own
}

/// Asks, holds the answer against the description, and gives it.
#[track_caller]
fn asked(served: &Bench, path: &str, body: Option<&Value>, status: u16) -> Value {
    let described = described();
    let bare = path.split('?').next().unwrap_or_default();
    let method = if body.is_some() { "post" } else { "get" };
    let text = body.map(Value::to_string).unwrap_or_default();
    let (given, told) = served.own(&method.to_uppercase(), path, &text).told();
    assert_eq!(given, status, "{path} {text}: {told}");
    let told = serde_json::from_str(&told).unwrap_or_else(|error| panic!("{path}: {error}: {told}"));
    fits(
        answer(&described, method, bare, status),
        &told,
        &format!("{path} {text}"),
    );
    told
}

/// Every path that stands in the workbench's own code.
fn in_code(folder: &Path, all: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            in_code(&path, all);
        } else if path.extension().is_some_and(|own| own == "rs") {
            let text = fs::read_to_string(&path).expect("a text");
            let routes = text
                .split("\"/api/")
                .skip(1)
                .filter_map(|rest| rest.split('"').next());
            all.extend(routes.map(|rest| format!("/api/{rest}")));
        }
    }
}

#[test]
fn every_route_is_described_and_none_besides() {
    let described = described();
    let paths = described["paths"].as_object().expect("paths");
    let mut own = BTreeSet::new();
    in_code(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src/web"), &mut own);
    assert_eq!(paths.keys().cloned().collect::<BTreeSet<_>>(), own);
    let served = Bench::of(JUNIPER);
    for (path, methods) in paths {
        let methods = methods.as_object().expect("methods");
        assert_eq!(methods.len(), 1, "{path}");
        // A change by asking, and asking by a change, are no way in; what is described is one.
        let other = if methods.contains_key("get") {
            "POST"
        } else {
            "GET"
        };
        assert_eq!(served.own(other, path, "{}").status, 405, "{other} {path}");
    }
    let given: Value = serde_json::from_str(&served.get("/api/openapi.json").body).expect("JSON");
    assert_eq!(given, described, "what is served is what the docs have");
}

/// The description itself: each of its schemas is one, and is used.
#[test]
fn the_description_is_whole() {
    let described = described();
    assert_eq!(described["openapi"], "3.1.0");
    let text = described.to_string();
    let schemas = described["components"]["schemas"].as_object().expect("schemas");
    for (name, own) in schemas {
        schema(own);
        let at = format!("\"$ref\":\"#/components/schemas/{name}\"");
        assert!(text.contains(&at), "{name} isn't used");
    }
    for name in text
        .split("#/components/schemas/")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
    {
        assert!(schemas.contains_key(name), "{name} isn't described");
    }
}

#[test]
fn what_is_asked_for_is_answered_as_described() {
    let served = Bench::of(LARKHAVEN);
    served.events("/api/events").until(|news| news["away"] == 1);
    for path in [
        "/api/openapi.json",
        "/api/view?width_mm=190",
        "/api/figures",
        "/api/why?key=fresh.run",
        "/api/proof",
        "/api/text",
        "/api/profile?width_mm=204",
        "/api/live/drawing?width_mm=190",
        "/api/live/record",
    ] {
        asked(&served, path, None, 200);
    }
    let view = asked(&served, "/api/view?width_mm=190", None, 200);
    assert!(
        view["away"].is_string() && view["handles"].as_array().is_some_and(|own| own.len() > 3),
        "{view}"
    );
    for path in [
        "/api/view",
        "/api/profile",
        "/api/live/drawing?width_mm=wide",
        "/api/why",
    ] {
        asked(&served, path, None, 400);
    }
    asked(&served, "/api/why?key=nothing", None, 404);
}

/// A request with every key that is described; each is refused with one more.
fn taken(served: &Bench, path: &str, body: Value, status: u16) -> Value {
    let described = described();
    let of = &described["paths"][path]["post"]["requestBody"]["content"]["application/json"]["schema"];
    fits(of, &body, path);
    let name = of["$ref"]
        .as_str()
        .and_then(|own| own.rsplit('/').next())
        .expect("a name");
    let own = &described["components"]["schemas"][name];
    if own["properties"].is_object() {
        let keys = |own: &Value| {
            own.as_object()
                .expect("an object")
                .keys()
                .cloned()
                .collect::<BTreeSet<_>>()
        };
        assert_eq!(
            keys(&own["properties"]),
            keys(&body),
            "{path}: every key is tried"
        );
    }
    let mut more = body.clone();
    more["one_more"] = json!(1);
    assert!(!schema(of).is_valid(&more), "{path}: a key more is described");
    asked(served, path, Some(&more), 422);
    asked(served, path, Some(&json!("no object")), 422);
    asked(served, path, Some(&body), status)
}

#[test]
fn what_is_sent_is_taken_as_described() {
    let served = Bench::of(JUNIPER);
    let edit = json!([{ "path": "reserve.salt", "text": "32 gal" }]);
    let change = json!({ "revision": 1, "width_mm": 190, "marks": [], "vessel": null, "edits": &edit, "remove": [],
            "add": [], "take_out": null, "settled": [], "remedy": null });
    taken(&served, "/api/try", change.clone(), 200);
    taken(&served, "/api/change", change.clone(), 200);
    // The same again, to another value: somebody changed it meanwhile.
    let mut other = change;
    other["edits"][0]["text"] = json!("40 gal");
    let told = asked(&served, "/api/change", Some(&other), 409);
    assert_eq!(told["conflicts"][0]["theirs"], "32 gal", "{told}");
    // A vessel of the catalogue in place of the first, and back: a place that isn't there is refused.
    let another = json!({ "revision": 2, "width_mm": 190, "vessel": { "name": "milk", "catalogue": 0 } });
    asked(&served, "/api/try", Some(&another), 409);
    taken(&served, "/api/undo", json!({ "width_mm": 190 }), 200);
    taken(&served, "/api/redo", json!({ "width_mm": 190 }), 200);
    asked(&served, "/api/redo", Some(&json!({ "width_mm": 190 })), 409);
    // A page that shows no drawing is sent none.
    for (path, body) in [
        ("/api/undo", json!({})),
        ("/api/redo", json!({})),
        ("/api/try", json!({ "revision": 5, "edits": edit })),
        ("/api/change", json!({ "revision": 5, "edits": edit })),
    ] {
        let told = asked(&served, path, Some(&body), 200);
        assert!(
            told.get("drawing").is_none() && told["kept"] == true,
            "{path}: {told}"
        );
    }
    sections_are_taken(&served);
    taken(
        &served,
        "/api/work/begin",
        json!({ "work": "year", "years": 50 }),
        200,
    );
    // Nothing is left to stop once all of the newest text is there.
    let newest = asked(&served, "/api/text", None, 200)["revision"].clone();
    let mut events = served.events("/api/events");
    events.until(|news| news["whole"] == newest && news["work"].is_null());
    let stop = json!({ "work": "away" });
    taken(&served, "/api/work/stop", stop, 409);
    // A text that is no station.
    fs::write(served.file(), JUNIPER.replacen("[vessels.", "[vesels.", 1)).expect("written");
    events.until(|news| news["revision"].as_u64() > newest.as_u64());
    asked(&served, "/api/proof", None, 422);
    asked(&served, "/api/view?width_mm=190", None, 422);
    asked(&served, "/api/live/drawing?width_mm=190", None, 409);
    asked(&served, "/api/profile?width_mm=190", None, 422);
}

/// A section is put in, renamed, and taken out again with what hangs on it; the text is as it was.
fn sections_are_taken(served: &Bench) {
    let text = || fs::read_to_string(served.file()).expect("a text");
    let revision = || asked(served, "/api/text", None, 200)["revision"].clone();
    let before = text();
    let tank = |name: &str| {
        json!({ "of": "tanks", "name": name, "values": [
            { "key": "volume", "text": "40" }, { "key": "salinity", "text": "35" },
            { "key": "temperature", "text": "75 F" }, { "key": "evaporation", "text": "0.5 gal/day" } ] })
    };
    let add = json!({ "revision": revision(), "add": [tank("lagoon")] });
    asked(served, "/api/change", Some(&add), 200);
    let block = "\n[tanks.lagoon]\nvolume = \"40 gal\"\nsalinity = 35\ntemperature = \"75 F\"\nevaporation = \"0.5 gal/day\"\n";
    assert_eq!(text().replacen(block, "", 1), before);
    // Once more, and one without what it needs: refused, at its place.
    let again = json!({ "revision": revision(), "add": [tank("lagoon")] });
    let told = asked(served, "/api/change", Some(&again), 422);
    assert_eq!(told["errors"][0]["path"], "tanks.lagoon", "{told}");
    let mut bare = tank("pond");
    bare["values"] = json!([{ "key": "volume", "text": "forty" }]);
    let told = asked(
        served,
        "/api/change",
        Some(&json!({ "revision": revision(), "add": [bare] })),
        422,
    );
    let paths: Vec<&Value> = told["errors"]
        .as_array()
        .expect("errors")
        .iter()
        .map(|own| &own["path"])
        .collect();
    assert_eq!(paths, ["tanks.pond", "tanks.pond", "tanks.pond.volume"], "{told}");
    let rename = json!({ "path": "tanks.lagoon", "name": "mangrove", "width_mm": 190 });
    taken(served, "/api/rename", rename.clone(), 200);
    assert_eq!(
        text().replace("mangrove", "lagoon").replacen(block, "", 1),
        before
    );
    asked(served, "/api/rename", Some(&rename), 422);
    let out = json!({ "revision": revision(), "take_out": "tanks.mangrove" });
    asked(served, "/api/change", Some(&out), 200);
    assert_eq!(text(), before);
}

#[test]
fn the_live_station_is_as_described() {
    let served = Bench::of(LARKHAVEN);
    let described = described();
    let mut events = served.events("/api/live/stream");
    let told = &described["paths"]["/api/live/stream"]["get"]["responses"]["200"]["content"]["text/event-stream"]
        ["x-events"];
    let (name, moment) = events.next();
    fits(&told[&name], &moment, "a moment");
    assert!(
        moment["lines"].as_array().is_some_and(|own| !own.is_empty()),
        "{moment}"
    );
    let valve = json!({ "act": "valve", "valve": "fresh-spout", "open": true });
    let word = taken(
        &served,
        "/api/live/act",
        json!({ "act": valve, "ask_first": true }),
        200,
    );
    assert!(word["word"].is_object() && word["done"] == false, "{word}");
    // Each act that is described is known; most of them name what this station hasn't.
    let acts = described["components"]["schemas"]["Act"]["oneOf"]
        .as_array()
        .expect("acts");
    for own in acts {
        let properties = own["properties"].as_object().expect("properties");
        let act: Value = properties
            .iter()
            .map(|(key, kind)| {
                let value = match (kind["const"].as_str(), kind["type"].as_str()) {
                    (Some(act), _) => json!(act),
                    (None, Some("boolean")) => json!(true),
                    (None, Some("number")) => json!(0.1),
                    _ => json!("nothing of that name"),
                };
                (key.clone(), value)
            })
            .collect::<serde_json::Map<_, _>>()
            .into();
        let (status, told) = served
            .post("/api/live/act", &json!({ "act": act }).to_string())
            .told();
        assert!(status == 200 || !told.contains("unknown"), "{act}: {told}");
        let told: Value = serde_json::from_str(&told).expect("JSON");
        fits(
            answer(&described, "post", "/api/live/act", status),
            &told,
            &act.to_string(),
        );
    }
    taken(&served, "/api/live/pace", json!({ "speed": 600 }), 200);
    taken(&served, "/api/live/skip", json!({ "seconds": 60 }), 200);
    let record = asked(&served, "/api/live/record", None, 200);
    let script = json!({ "beginning": record["beginning"], "record": record["record"] });
    taken(&served, "/api/live/again", script, 200);
    asked(&served, "/api/live/put-in", Some(&record), 200);
    asked(&served, "/api/live/put-in", Some(&json!({ "format": 1 })), 422);
    taken_as_one_of(&served, &described);
    for (path, body) in [
        ("/api/live/pace", json!({ "speed": 601 })),
        ("/api/live/skip", json!({ "seconds": -1 })),
    ] {
        asked(&served, path, Some(&body), 422);
    }
}

/// Each wish about a card is described and known; most can't be had while none is in hand.
fn taken_as_one_of(served: &Bench, described: &Value) {
    let wishes = described["components"]["schemas"]["Card"]["oneOf"]
        .as_array()
        .expect("wishes");
    for own in wishes {
        let mut wish = json!({ "do": own["properties"]["do"]["const"] });
        if own["properties"]["task"].is_object() {
            wish["task"] = json!("fresh-bucket");
        }
        fits(own, &wish, "a wish");
        let (status, told) = served.post("/api/live/card", &wish.to_string()).told();
        assert!(status == 200 || !told.contains("unknown"), "{wish}: {told}");
        let told: Value = serde_json::from_str(&told).expect("JSON");
        let answer = answer(described, "post", "/api/live/card", status);
        fits(answer, &told, &wish.to_string());
    }
}

#[test]
fn a_first_station_is_asked_for_as_described() {
    let served = Bench::demo();
    let answers = answers();
    let plan = json!({ "answers": answers, "width_mm": 190 });
    let told = taken(&served, "/api/begin/plan", plan, 200);
    let write = json!({ "answers": answers, "name": told["name"] });
    taken(&served, "/api/begin/write", write.clone(), 200);
    // It is there by now.
    asked(&served, "/api/begin/write", Some(&write), 422);
}

#[test]
fn news_are_as_described() {
    let served = Bench::of(LARKHAVEN);
    let described = described();
    let told = &described["paths"]["/api/events"]["get"]["responses"]["200"]["content"]["text/event-stream"]
        ["x-events"];
    let mut events = served.events("/api/events");
    let mut worked = false;
    let mut begun = false;
    loop {
        let (name, news) = events.next();
        fits(&told[&name], &news, "news");
        worked |= news["work"].is_object();
        if worked {
            return;
        }
        if !begun && news["year"] == 1 {
            begun = true;
            asked(
                &served,
                "/api/work/begin",
                Some(&json!({ "work": "year", "years": 10000 })),
                200,
            );
        }
    }
}
