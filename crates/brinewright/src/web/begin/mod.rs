//! A first station from a few questions, on a page of its own: typed answers in, a plan to look at, and one press that
//! writes the file and lays it on the desk.
//!
//! Owns: the questions in words (`page`), how the plan is shown (`told`), what is asked and written (`ask`). Must not know:
//! what is chosen (`proof::first`), how a new file is written (`task::new`).

mod ask;
mod page;
mod told;

use std::sync::Arc;

use axum::Router;
use axum::routing::{get, post};

use super::bench::Bench;

/// What is answered here.
pub(super) fn routes() -> Router<Arc<Bench>> {
    Router::new()
        .route("/begin", get(page::begin))
        .route("/api/begin/plan", post(ask::plan))
        .route("/api/begin/write", post(ask::write))
}
