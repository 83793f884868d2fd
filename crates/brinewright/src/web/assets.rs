//! The style and the scripts of the pages, built in.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::header;
use axum::response::{IntoResponse, Response};

use super::answer;

const BENCH_STYLE: &str = include_str!("assets/bench.css");
const PAGES_STYLE: &str = include_str!("assets/pages.css");
const TRY_STYLE: &str = include_str!("assets/try.css");
const FORM_STYLE: &str = include_str!("assets/form.css");
const BEGIN_STYLE: &str = include_str!("assets/begin.css");
const SCRIPTS: [(&str, &str); 20] = [
    ("adding.js", include_str!("assets/adding.js")),
    ("anew.js", include_str!("assets/anew.js")),
    ("bench.js", include_str!("assets/bench.js")),
    ("drag.js", include_str!("assets/drag.js")),
    ("ask.js", include_str!("assets/ask.js")),
    ("fresh.js", include_str!("assets/fresh.js")),
    ("field.js", include_str!("assets/field.js")),
    ("find.js", include_str!("assets/find.js")),
    ("form.js", include_str!("assets/form.js")),
    ("card.js", include_str!("assets/card.js")),
    ("conflict.js", include_str!("assets/conflict.js")),
    ("begin.js", include_str!("assets/begin.js")),
    ("figures.js", include_str!("assets/figures.js")),
    ("gone.js", include_str!("assets/gone.js")),
    ("ink.js", include_str!("assets/ink.js")),
    ("stream.js", include_str!("assets/stream.js")),
    ("unsaved.js", include_str!("assets/unsaved.js")),
    ("why.js", include_str!("assets/why.js")),
    ("whole.js", include_str!("assets/whole.js")),
    ("try.js", include_str!("assets/try.js")),
];
const SIGN: &str = include_str!("assets/sign.svg");

static STYLE: LazyLock<String> = LazyLock::new(|| {
    format!(
        "{}{BENCH_STYLE}{PAGES_STYLE}{FORM_STYLE}{BEGIN_STYLE}",
        sheets::style()
    )
});

fn given(kind: &'static str, text: &'static str) -> Response {
    (
        [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "no-cache")],
        text,
    )
        .into_response()
}

/// A file of the pages.
pub(super) async fn file(Path(name): Path<String>) -> Response {
    if name == "style.css" {
        return given("text/css; charset=utf-8", STYLE.as_str());
    }
    if name == "try.css" {
        return given("text/css; charset=utf-8", TRY_STYLE);
    }
    match SCRIPTS.iter().find(|(own, _)| *own == name) {
        Some((_, text)) => given("text/javascript; charset=utf-8", text),
        None => answer::not_there().await,
    }
}

/// The JSON interface, described.
pub(super) async fn described() -> Response {
    given(
        "application/json",
        include_str!("../../../../docs/workbench-api.json"),
    )
}

/// The sign on the browser's tab.
pub(super) async fn sign() -> Response {
    given("image/svg+xml", SIGN)
}
