//! Places for what is said without being asked: fewer than there are connections, so that whoever asks finds one.

use std::sync::Arc;

use axum::http::StatusCode;
use axum::response::Response;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use super::answer;

/// So many pages are told of what happens at a time (house rule: a wall of windows).
pub(super) const MOST: usize = 40;

/// The places.
pub(super) struct Streams(Arc<Semaphore>);

impl Default for Streams {
    fn default() -> Self {
        Self(Arc::new(Semaphore::new(MOST)))
    }
}

impl Streams {
    /// A place, as long as it is held.
    ///
    /// # Errors
    /// The answer to whoever finds none.
    pub(super) fn place(&self) -> Result<OwnedSemaphorePermit, Box<Response>> {
        self.0.clone().try_acquire_owned().map_err(|_full| {
            Box::new(answer::refused(
                StatusCode::SERVICE_UNAVAILABLE,
                "more pages are open than can be told of what happens",
                "close some of them",
            ))
        })
    }
}
