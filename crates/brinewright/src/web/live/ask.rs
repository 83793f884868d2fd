//! What pages ask of the live station.

use std::convert::Infallible;
use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, JsonRejection, QueryRejection};
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::sse::{Event, KeepAlive};
use axum::response::{IntoResponse, Response, Sse};
use axum::{Extension, Json};
use futures_util::stream;
use proof::live::{Act, Beginning, Foretold, LiveFault, Recorded};
use serde::{Deserialize, Serialize};
use sheets::{Shows, Tags};
use tokio::sync::oneshot;

use super::super::answer;
use super::super::bench::Bench;
use super::card;
use super::record::{self, MOST_ACTS, Unsound};
use super::stage::{FASTEST, Heard, LONGEST_SKIP_S, Open, Stage, Wish};

type Here = (State<Arc<Bench>>, Extension<Arc<Stage>>);

/// What happens, about ten times a second, until everything ends.
pub(super) async fn stream((State(bench), Extension(stage)): Here) -> Response {
    let place = match bench.streams.place() {
        Ok(place) => place,
        Err(full) => return *full,
    };
    let Open { mut news, .. } = stage.open(&bench);
    news.mark_changed();
    let closing = bench.listen();
    let told = stream::unfold(
        (news, closing, place),
        |(mut news, mut closing, place)| async move {
            loop {
                tokio::select! {
                    ended = closing.wait_for(|news| news.closing) => {
                        let _ = ended;
                        return None;
                    }
                    changed = news.changed() => changed.ok()?,
                }
                let heard = news.borrow_and_update().clone();
                let event = match heard {
                    None => continue,
                    Some(Heard::Told(told)) => Event::default().event("now").json_data(told.as_ref()),
                    Some(Heard::Refused(what)) => Event::default().event("refused").json_data(what.as_ref()),
                };
                return Some((
                    Ok::<_, Infallible>(event.unwrap_or_default()),
                    (news, closing, place),
                ));
            }
        },
    );
    Sse::new(told).keep_alive(KeepAlive::default()).into_response()
}

#[derive(Debug, Deserialize)]
pub(super) struct Width {
    width_mm: f64,
}

/// The schematic, on paper of the page's width.
pub(super) async fn drawing(
    (State(bench), _): Here,
    asked: Result<Query<Width>, QueryRejection>,
) -> Response {
    let Ok(Query(asked)) = asked else {
        return answer::no_width();
    };
    let Some((_, station)) = bench.station() else {
        return answer::refused(
            StatusCode::CONFLICT,
            "the text is no station just now",
            "mend it first",
        );
    };
    let width_mm = if asked.width_mm.is_finite() {
        asked.width_mm.clamp(80.0, 320.0)
    } else {
        190.0
    };
    let drawn = tokio::task::spawn_blocking(move || {
        let drawing = sheets::schematic(&station, Shows::Live, Tags::Owner, width_mm);
        drawing.map_or_else(String::new, |own| sheets::svg(&own, false))
    });
    match drawn.await {
        Ok(drawing) => answer::drawn(drawing),
        Err(_) => answer::refused(
            StatusCode::INTERNAL_SERVER_ERROR,
            "it can't be drawn",
            "report it",
        ),
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Wanted {
    act: Act,
    /// Whether it is left undone where it would do harm.
    #[serde(default)]
    ask_first: bool,
}

/// Does an act, or says what it would harm.
pub(super) async fn act(
    (State(bench), Extension(stage)): Here,
    body: Result<Json<Wanted>, JsonRejection>,
) -> Response {
    #[derive(Serialize)]
    struct Done {
        done: bool,
        word: Option<Foretold>,
        says: Option<String>,
        beside: bool,
    }
    let body = match body {
        Ok(Json(body)) => body,
        Err(error) => return unread(&error),
    };
    let (reply, answered) = oneshot::channel();
    let wish = Wish::Act {
        act: body.act,
        ask_first: body.ask_first,
        reply,
    };
    if stage.open(&bench).wishes.send(wish).is_err() {
        return gone();
    }
    match answered.await {
        Ok(Ok(own)) => answer::json(Done {
            done: own.done,
            word: own.word,
            says: own.says,
            beside: own.beside,
        }),
        Ok(Err(fault)) => answer::refused(
            StatusCode::UNPROCESSABLE_ENTITY,
            &fault.to_string(),
            "try another",
        ),
        Err(_) => gone(),
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Pace {
    speed: f64,
}

/// How fast time runs: 0 stands still, else 1 to 600 times real time. Answers with the number of the choice.
pub(super) async fn pace(
    (State(bench), Extension(stage)): Here,
    body: Result<Json<Pace>, JsonRejection>,
) -> Response {
    match body {
        Ok(Json(own)) if own.speed == 0.0 || (1.0..=FASTEST).contains(&own.speed) => {
            match stage.pace(&bench, own.speed) {
                Some(paced) => answer::json(serde_json::json!({ "done": true, "paced": paced })),
                None => gone(),
            }
        }
        Ok(_) => answer::refused(
            StatusCode::UNPROCESSABLE_ENTITY,
            "time runs 1 to 600 times as fast",
            "or 0, to stand still",
        ),
        Err(error) => unread(&error),
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Skip {
    seconds: f64,
}

/// So much further as fast as it goes.
pub(super) async fn skip(here: Here, body: Result<Json<Skip>, JsonRejection>) -> Response {
    match body {
        Ok(Json(own)) if (0.0..=LONGEST_SKIP_S).contains(&own.seconds) => {
            wished(here, Wish::Skip(own.seconds))
        }
        Ok(_) => answer::refused(
            StatusCode::UNPROCESSABLE_ENTITY,
            "that can't be skipped",
            "64 hours at most",
        ),
        Err(error) => unread(&error),
    }
}

/// A beginning, and the acts that are played from there.
#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Script {
    #[serde(default)]
    beginning: Beginning,
    #[serde(default)]
    record: Vec<Recorded>,
}

/// Begins anew, and plays a record where one is given.
pub(super) async fn again(here: Here, body: Result<Json<Script>, JsonRejection>) -> Response {
    match body {
        Ok(Json(own)) if own.record.len() <= MOST_ACTS => {
            wished(here, Wish::Again(own.beginning, own.record))
        }
        Ok(_) => answer::refused(
            StatusCode::UNPROCESSABLE_ENTITY,
            "that record is too long",
            "2000 acts at most",
        ),
        Err(error) => unread(&error),
    }
}

/// What was done since the beginning, as it is kept in a file.
pub(super) async fn record((State(bench), Extension(stage)): Here) -> Response {
    #[derive(Serialize)]
    struct Kept {
        station: String,
        beginning: Beginning,
        record: Vec<Recorded>,
    }
    let (reply, answered) = oneshot::channel();
    if stage.open(&bench).wishes.send(Wish::Record(reply)).is_err() {
        return gone();
    }
    match answered.await {
        Ok((station, beginning, record)) => answer::json(Kept {
            station,
            beginning,
            record,
        }),
        Err(_) => gone(),
    }
}

#[derive(Debug, Deserialize)]
pub(super) struct Where {
    /// Whether a record of another station is played too.
    #[serde(default)]
    anywhere: bool,
}

/// Plays a record that was kept in a file; the body is the file's text. Whatever is wrong with it, nothing is done.
pub(super) async fn put_in(
    here: Here,
    asked: Result<Query<Where>, QueryRejection>,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    let anywhere = asked.is_ok_and(|Query(asked)| asked.anywhere);
    let body = match body {
        Ok(body) => body,
        Err(error) => {
            let what = "that file is too large to be a record, or didn't come whole";
            return answer::refused(error.status(), what, "256 kB at most: choose another file");
        }
    };
    let Some((_, station)) = here.0.station() else {
        let what = "the text is no station just now";
        return answer::refused(StatusCode::CONFLICT, what, "mend it on the workbench first");
    };
    let text = String::from_utf8_lossy(&body).into_owned();
    let read = tokio::task::spawn_blocking(move || record::read(&text, &station, anywhere)).await;
    match read {
        Ok(Ok(own)) => wished(here, Wish::Again(own.beginning, own.record)),
        Ok(Err(wrong)) => {
            let status = match wrong {
                Unsound::Elsewhere { .. } => StatusCode::CONFLICT,
                _ => StatusCode::UNPROCESSABLE_ENTITY,
            };
            answer::refused(status, &wrong.to_string(), &wrong.mend())
        }
        Err(_) => answer::refused(
            StatusCode::INTERNAL_SERVER_ERROR,
            "something broke while it was read",
            "report it",
        ),
    }
}

/// Takes a card in hand, does its step, puts back, goes on, or leaves it.
pub(super) async fn card(
    (State(bench), Extension(stage)): Here,
    body: Result<Json<card::Wanted>, JsonRejection>,
) -> Response {
    let wanted = match body {
        Ok(Json(wanted)) => wanted,
        Err(error) => return unread(&error),
    };
    let (reply, answered) = oneshot::channel();
    if stage
        .open(&bench)
        .wishes
        .send(Wish::Card { wanted, reply })
        .is_err()
    {
        return gone();
    }
    match answered.await {
        Ok(Ok(())) => answer::json(serde_json::json!({ "done": true })),
        Ok(Err(fault)) => {
            let mend = match fault {
                LiveFault::NothingToCome { .. } => "draw water from there first",
                LiveFault::NoOrder { .. } => "shut what stands open beside, and ask again",
                _ => "put it back, or leave the card",
            };
            answer::refused(StatusCode::UNPROCESSABLE_ENTITY, &fault.to_string(), mend)
        }
        Err(_) => gone(),
    }
}

fn wished((State(bench), Extension(stage)): Here, wish: Wish) -> Response {
    match stage.open(&bench).wishes.send(wish) {
        Ok(()) => answer::json(serde_json::json!({ "done": true })),
        Err(_) => gone(),
    }
}

fn unread(error: &JsonRejection) -> Response {
    answer::refused(error.status(), &error.body_text(), "send what the page sends")
}

fn gone() -> Response {
    answer::refused(
        StatusCode::CONFLICT,
        "the live station has ended",
        "load the page again",
    )
}
