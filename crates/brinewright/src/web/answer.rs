//! Answers that aren't pages: JSON, and refusals in the words of the command line.

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde_json::json;

use super::conflict;
use crate::failure::Fault;
use crate::task::desk::DeskFault;

/// An answer as JSON, with its format.
pub(super) fn json<T: Serialize>(value: T) -> Response {
    #[derive(Serialize)]
    struct Told<T> {
        format: u32,
        #[serde(flatten)]
        value: T,
    }
    Json(Told { format: 1, value }).into_response()
}

/// A refusal with one fault.
pub(super) fn refused(status: StatusCode, what: &str, mend: &str) -> Response {
    faults(status, &[Fault::new("request", what, mend)])
}

fn faults(status: StatusCode, errors: &[Fault]) -> Response {
    (status, Json(json!({ "format": 1, "errors": errors }))).into_response()
}

/// A drawing, as SVG; an empty text where there is none.
pub(super) fn drawn(drawing: String) -> Response {
    #[derive(Serialize)]
    struct Drawn {
        drawing: String,
    }
    json(Drawn { drawing })
}

/// A drawing was asked for without the width of its paper.
pub(super) fn no_width() -> Response {
    refused(
        StatusCode::BAD_REQUEST,
        "the width is missing",
        "ask with width_mm",
    )
}

/// What isn't there.
pub(super) async fn not_there() -> Response {
    refused(
        StatusCode::NOT_FOUND,
        "there is nothing of that name",
        "the workbench is at /",
    )
}

/// What the text of the file is wrong with.
pub(super) fn no_station(errors: &[Fault]) -> Response {
    faults(StatusCode::UNPROCESSABLE_ENTITY, errors)
}

/// Why the desk changed nothing.
pub(super) fn desk(fault: &DeskFault) -> Response {
    match fault {
        DeskFault::Conflict(clash) => {
            let error = Fault::new("file", fault.to_string(), "look at both values and choose one");
            let told = json!({
                "format": 1,
                "errors": [error],
                "revision": clash.revision,
                "conflicts": clash.conflicts.iter().map(conflict::told).collect::<Vec<_>>(),
                "edits": clash.edits.iter().map(conflict::Set::of).collect::<Vec<_>>(),
            });
            (StatusCode::CONFLICT, Json(told)).into_response()
        }
        DeskFault::Refused(errors) => no_station(errors),
        DeskFault::Nothing(_) => refused(StatusCode::CONFLICT, &fault.to_string(), "go on"),
        DeskFault::Outside => refused(StatusCode::CONFLICT, &fault.to_string(), "change it back by hand"),
        DeskFault::File(error) => faults(StatusCode::INTERNAL_SERVER_ERROR, std::slice::from_ref(error)),
    }
}
