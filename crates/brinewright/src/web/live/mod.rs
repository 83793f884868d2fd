//! Try it: one live station for all who look, on a page of its own.
//!
//! Owns: its pace (`stage`), the time of its week (`clock`), what is asked of it (`ask`), what is told ten times a second (`told`), a card that is
//! followed (`card`), records that come from files (`record`), its page (`page`).
//! Must not know: how water goes (`proof::live`).

mod ask;
mod card;
mod clock;
mod page;
mod record;
mod stage;
mod told;

use std::sync::Arc;

use axum::routing::{get, post};
use axum::{Extension, Router};

use super::bench::Bench;
use stage::Stage;

/// What is answered here.
pub(super) fn routes() -> Router<Arc<Bench>> {
    Router::new()
        .route("/try-it", get(page::try_it))
        .route("/api/live/stream", get(ask::stream))
        .route("/api/live/drawing", get(ask::drawing))
        .route("/api/live/record", get(ask::record))
        .route("/api/live/act", post(ask::act))
        .route("/api/live/pace", post(ask::pace))
        .route("/api/live/skip", post(ask::skip))
        .route("/api/live/again", post(ask::again))
        .route("/api/live/card", post(ask::card))
        .route("/api/live/put-in", post(ask::put_in))
        .layer(Extension(Arc::new(Stage::default())))
}
