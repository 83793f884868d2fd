//! Long work behind the pages: it tells how far it is, is stopped, leaves what was done, and is begun again.

use crate::served::Bench;
use serde_json::Value;

const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");

fn is_done(work: &str) -> impl Fn(&Value) -> bool + use<'_> {
    move |news| news[work] == news["revision"] && news["work"].is_null()
}

/// Everything that a fresh text asks for is there.
fn settled(news: &Value) -> bool {
    is_done("year")(news) && is_done("away")(news) && news["whole"] == news["revision"]
}

fn goes(work: &str) -> impl Fn(&Value) -> bool + use<'_> {
    move |news| news["work"]["work"] == work
}

const BEGIN: &str = r#"{"work":"year","years":10000}"#;
const STOP: &str = r#"{"work":"year"}"#;

/// The years that a page was made of.
fn years_of(page: &str) -> u32 {
    let page = plain(page);
    let end = page.find(" years were walked through").expect("how many years");
    let begin = page[..end].rfind('>').expect("an element") + 1;
    page[begin..end].replace(' ', "").parse().expect("a number")
}

/// Blanks at which no line ends are blanks.
fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

#[test]
fn years_tell_how_far_they_are_and_leave_what_was_done() {
    let served = Bench::of(LARKHAVEN);
    let mut events = served.events("/api/events");
    events.until(settled);
    assert_eq!(years_of(&served.get("/year").body), 100);
    assert_eq!(served.post("/api/work/begin", BEGIN).status, 200);
    let going = events.until(goes("year"));
    let said = plain(going["work"]["said"].as_str().expect("words"));
    assert!(said.is_empty() || said.ends_with(" of 10 000 years"), "{said}");
    let page = served.get("/year").body;
    for part in [
        "<progress id=\"share\" max=\"1\"",
        "data-stop=\"year\"",
        "data-years=\"10000\" aria-pressed=\"true\"",
    ] {
        assert!(page.contains(part), "{part}: {page}");
    }
    // What was known stays until there is more.
    assert_eq!(years_of(&page), 100);
    let far = |news: &Value| {
        news["work"]["said"]
            .as_str()
            .is_some_and(|said| !said.starts_with("0 ") && !said.is_empty())
    };
    events.until(far);
    let (status, body) = served.post("/api/work/stop", STOP).told();
    assert_eq!(status, 200, "{body}");
    events.until(settled);
    let page = served.get("/year").body;
    let years = years_of(&page);
    assert!((100..10_000).contains(&years), "{years}");
    // The thousands of a number stay on one line.
    assert!(page.contains(" of 10\u{a0}000"), "{page}");
    for part in ["Stopped: ", "data-begin=\"year\">Begin again"] {
        assert!(page.contains(part), "{part}: {page}");
    }
    assert!(!page.contains("<progress"), "nothing goes on");
    assert_eq!(
        served.post("/api/work/stop", STOP).status,
        409,
        "nothing is left to stop"
    );
    // Begun again with few years, it comes to its end, and nothing is said of a stop.
    assert_eq!(
        served
            .post("/api/work/begin", r#"{"work":"year","years":20}"#)
            .status,
        200
    );
    loop {
        let page = served.get("/year").body;
        if years_of(&page) == 20 {
            assert!(!page.contains("Stopped"), "{page}");
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
}

/// A change of the text breaks off what is of the old one: its proof doesn't wait for ten thousand years, nor does the end
/// of the program.
#[test]
fn a_change_breaks_off_what_is_past() {
    let mut served = Bench::of(LARKHAVEN);
    let mut events = served.events("/api/events");
    events.until(settled);
    assert_eq!(served.post("/api/work/begin", BEGIN).status, 200);
    events.until(goes("year"));
    let changed = LARKHAVEN.replacen("change_every = \"2 weeks\"", "change_every = \"1 week\"", 1);
    assert_ne!(changed, LARKHAVEN);
    std::fs::write(served.file(), changed).expect("written");
    let proved = events.until(|news| news["proved"] == 2);
    assert_ne!(proved["year"], 2, "its years are still to come: {proved}");
    assert_ne!(
        proved["work"]["revision"], 1,
        "nothing goes on for the old text: {proved}"
    );
    // The years of the new text are as many as were wanted, and compared: they are in hand when the program is to end.
    let going = events.until(goes("year"));
    assert_eq!(going["work"]["revision"], 2);
    #[cfg(unix)]
    {
        let id = served.child.id().to_string();
        let asked = std::process::Command::new("kill").args(["-INT", &id]).status();
        assert!(asked.expect("kill is there").success());
        assert_eq!(served.child.wait().expect("it ends").code(), Some(0));
    }
}

/// The long weekend on its page is the whole one: with what takes long to try.
#[test]
fn the_long_weekend_comes_with_what_helps() {
    let served = Bench::of(LARKHAVEN);
    served.events("/api/events").until(settled);
    let page = served.get("/away").body;
    assert!(page.contains("Best worth doing: "), "{page}");
    assert!(page.contains("/file/what-helps.csv"), "{page}");
}

#[test]
fn what_cant_be_begun_is_refused() {
    let served = Bench::of(JUNIPER);
    for body in [
        r#"{"work":"year","years":1}"#,
        r#"{"work":"year","years":10001}"#,
        r#"{"work":"year","years":-3}"#,
        r#"{"work":"tea"}"#,
        r#"{"work":"year","also":1}"#,
        r#"{}"#,
    ] {
        for path in ["/api/work/begin", "/api/work/stop"] {
            let (status, told) = served.post(path, body).told();
            assert!(
                matches!(status, 400 | 409 | 422),
                "{path} {body}: {status} {told}"
            );
            assert!(told.contains("\"mend\""), "{path} {body}: {told}");
        }
    }
}
