//! What pages hear without asking: that the text changed, that something slow is fresh again. Server-sent events.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::State;
use axum::response::sse::{Event, KeepAlive};
use axum::response::{IntoResponse, Response, Sse};
use futures_util::stream;

use super::bench::{Bench, News};

/// The news now, and each time that there is some, until everything ends.
pub(super) async fn events(State(bench): State<Arc<Bench>>) -> Response {
    let place = match bench.streams.place() {
        Ok(place) => place,
        Err(full) => return *full,
    };
    let mut listener = bench.listen();
    listener.mark_changed();
    let news = stream::unfold((listener, place), |(mut listener, place)| async move {
        listener.changed().await.ok()?;
        let news: News = listener.borrow_and_update().clone();
        if news.closing {
            return None;
        }
        let event = Event::default().event("news").json_data(news).unwrap_or_default();
        Some((Ok::<_, Infallible>(event), (listener, place)))
    });
    Sse::new(news)
        .keep_alive(KeepAlive::new().interval(Duration::from_secs(15)))
        .into_response()
}
