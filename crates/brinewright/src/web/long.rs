//! Long work, begun and stopped from a page.

use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use axum::extract::rejection::JsonRejection;
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use serde_json::json;

use super::answer;
use super::api::with;
use super::bench::Bench;
use super::known::Long;

/// The fewest and the most years that a page may ask for: an interval needs two, and ten thousand take some seconds
/// (house rule; the command line takes more).
const YEARS: std::ops::RangeInclusive<u32> = 2..=10_000;

/// What is to be begun.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Begin {
    work: Long,
    /// How many years, from now on; as many as before where nobody says.
    #[serde(default)]
    years: Option<u32>,
}

/// What is to be stopped.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Stop {
    work: Long,
}

/// Begins it, or begins it anew; what was shown stays until there is more.
pub(super) async fn begin(
    State(bench): State<Arc<Bench>>,
    body: Result<Json<Begin>, JsonRejection>,
) -> Response {
    with(body, |own| async move {
        if own.years.is_some_and(|years| !YEARS.contains(&years)) {
            return answer::refused(
                StatusCode::UNPROCESSABLE_ENTITY,
                "so many years aren't walked through here",
                "ask for 2 to 10000, or use the command line",
            );
        }
        let mut results = bench.results();
        results.years = own.years.unwrap_or(results.years);
        results.again[own.work as usize] = true;
        // What is under way is of fewer or more years than are wanted now.
        if let Some(going) = results.going.as_ref().filter(|going| going.work == own.work) {
            going.progress.stop();
        }
        answer::json(json!({ "done": true }))
    })
    .await
}

/// Ends it: what is known by then is told.
pub(super) async fn stop(
    State(bench): State<Arc<Bench>>,
    body: Result<Json<Stop>, JsonRejection>,
) -> Response {
    with(body, |own| async move {
        let mut results = bench.results();
        match results.going.as_mut().filter(|going| going.work == own.work) {
            Some(going) => {
                let reached = going.progress.reached();
                going.stopped_at.get_or_insert(reached);
                going.progress.enough();
                answer::json(json!({ "done": true }))
            }
            None => answer::refused(
                StatusCode::CONFLICT,
                "nothing of that is being computed",
                "it may be there already",
            ),
        }
    })
    .await
}
