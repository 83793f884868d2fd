//! Who may ask, and how much: only pages that this server gave out, on this machine.
//!
//! A page of another site in the same browser can send requests to the loopback address. It can't read answers, for none is
//! marked as shared; it can't change anything, for every change must carry this server's own origin and JSON; a name
//! that was turned to the loopback address doesn't help it, for only our own names are answered.

use std::sync::Arc;
use std::time::Duration;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::Response;

use super::answer;
use super::bench::Bench;
use super::frame::Place;

/// The largest body, bytes: a whole station file fits several times.
pub(super) const LARGEST_BODY: usize = 256 * 1024;

/// How long a request may take from its head to the head of its answer: a body that trickles in ends there.
const LONGEST: Duration = Duration::from_secs(20);

/// Nothing from elsewhere, nothing inline; no page of another site may frame this one.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self' data:; img-src 'self'; \
                      connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// Lets a request pass, or refuses it; marks every answer.
pub(super) async fn guard(State(bench): State<Arc<Bench>>, request: Request, next: Next) -> Response {
    let mut response = match refusal(&bench, &request) {
        Some(refused) => refused,
        None => match tokio::time::timeout(LONGEST, next.run(request)).await {
            Ok(response) => response,
            Err(_) => answer::refused(StatusCode::REQUEST_TIMEOUT, "that took too long", "try it again"),
        },
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

fn refusal(bench: &Bench, request: &Request) -> Option<Response> {
    let headers = request.headers();
    let port = bench.port();
    if !is_ours(text(headers, &header::HOST), port, "") {
        let what = "this name isn't the workbench's";
        return Some(answer::refused(
            StatusCode::MISDIRECTED_REQUEST,
            what,
            "open the address that was printed",
        ));
    }
    if let Some(origin) = headers.get(header::ORIGIN)
        && !is_ours(origin.to_str().ok(), port, "http://")
    {
        return Some(foreign());
    }
    // Browsers tell where a request comes from, even where it carries no origin.
    let site = text(headers, &HeaderName::from_static("sec-fetch-site"));
    if !is_arrival(request) && site.is_some_and(|site| site != "same-origin" && site != "none") {
        return Some(foreign());
    }
    if matches!(*request.method(), Method::GET | Method::HEAD) {
        return None;
    }
    if headers.get(header::ORIGIN).is_none() {
        return Some(foreign());
    }
    let is_json = text(headers, &header::CONTENT_TYPE)
        .is_some_and(|kind| kind.split(';').next().unwrap_or_default().trim() == "application/json");
    if !is_json {
        let what = "a change is told as JSON";
        return Some(answer::refused(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            what,
            "send content-type: application/json",
        ));
    }
    None
}

/// Whether somebody comes to a page, by a link from wherever: it stands in a tab of its own then, and where it came from can't
/// read it. A page that asks for one, or frames it, says so.
fn is_arrival(request: &Request) -> bool {
    let path = request.uri().path();
    let is_page = Place::ALL
        .iter()
        .chain([&Place::Begin])
        .any(|own| own.path() == path);
    let says = |name: &'static str, own: &str| {
        text(request.headers(), &HeaderName::from_static(name)).is_none_or(|said| said == own)
    };
    is_page && says("sec-fetch-mode", "navigate") && says("sec-fetch-dest", "document")
}

fn foreign() -> Response {
    let what = "another site asked";
    answer::refused(
        StatusCode::FORBIDDEN,
        what,
        "open the address that was printed in a tab of its own",
    )
}

fn text<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    headers.get(name)?.to_str().ok()
}

/// Whether a host or an origin is this server.
fn is_ours(given: Option<&str>, port: u16, scheme: &str) -> bool {
    let Some(host) = given.and_then(|given| given.strip_prefix(scheme)) else {
        return false;
    };
    ["127.0.0.1", "localhost"]
        .iter()
        .any(|own| host == format!("{own}:{port}"))
}
