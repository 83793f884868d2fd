//! The workbench: a station in a browser on the same machine.
//!
//! Owns: the server on the loopback address, who may ask it (`guard`), its pages (`page`), what they ask for (`api`), what
//! they are told without asking (`events`). Must not know: formulas; how a station file is edited and kept
//! (`task::desk`); what takes long (`work`).
//!
//! Nothing leaves the machine: every file is built in, and nothing is fetched from elsewhere.

mod answer;
mod api;
mod assets;
mod begin;
mod bench;
mod conflict;
mod cure;
mod events;
mod fields;
mod files;
mod form;
mod frame;
mod guard;
mod known;
mod live;
mod long;
mod page;
mod pages;
mod server;
mod streams;
mod view;
mod work;

use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::middleware::from_fn_with_state;
use axum::routing::{get, post};
use tower_http::CompressionLevel;
use tower_http::compression::CompressionLayer;

use crate::failure::Failure;
use crate::task::desk::Desk;
use bench::Bench;

/// What was asked for on the command line.
#[derive(Debug)]
pub(crate) struct Wanted {
    /// The file; the demo where there is none.
    pub(crate) file: Option<PathBuf>,
    /// Its port; the usual one, or any, where nobody cares.
    pub(crate) port: Option<u16>,
    /// Whether a browser is started.
    pub(crate) browser: bool,
}

/// Serves until somebody stops it; `tell` hears the address as soon as it answers.
///
/// # Errors
/// [`Failure`] where the file can't be read, or the port is taken.
pub(crate) fn serve(wanted: &Wanted, tell: impl FnOnce(&str)) -> Result<(), Failure> {
    let bench = Arc::new(Bench::new(Desk::open(wanted.file.as_deref())?));
    server::run(bench, wanted, tell)
}

/// Everything that is answered.
fn routes(bench: &Arc<Bench>) -> Router {
    Router::new()
        .route("/", get(page::workbench))
        .route("/edit", get(form::edit_page))
        .route("/edit/new/{table}", get(form::new_section))
        .route("/edit/ends/{path}", get(form::section_ends))
        .route("/edit/case/{table}/{name}/{word}", get(form::other_case))
        .route("/{page}", get(pages::page))
        .route("/file/{file}", get(files::file))
        .route("/look/{file}", get(assets::file))
        .route("/favicon.ico", get(assets::sign))
        .route("/api/openapi.json", get(assets::described))
        .route("/api/view", get(api::view))
        .route("/api/profile", get(api::profile))
        .route("/api/figures", get(api::every_figure))
        .route("/api/why", get(api::why))
        .route("/api/proof", get(api::proof))
        .route("/api/text", get(api::text))
        .route("/api/change", post(api::change))
        .route("/api/rename", post(api::rename))
        .route("/api/undo", post(api::undo))
        .route("/api/write-again", post(api::write_again))
        .route("/api/redo", post(api::redo))
        .route("/api/work/begin", post(long::begin))
        .route("/api/work/stop", post(long::stop))
        .route("/api/events", get(events::events))
        .merge(live::routes())
        .merge(begin::routes())
        .fallback(answer::not_there)
        .layer(CompressionLayer::new().quality(CompressionLevel::Fastest))
        // Packing a move's answer, and unpacking it, takes longer than it saves on the way within one machine.
        .route("/api/try", post(api::try_out))
        .layer(axum::extract::DefaultBodyLimit::max(guard::LARGEST_BODY))
        .layer(from_fn_with_state(bench.clone(), guard::guard))
        .with_state(bench.clone())
}
