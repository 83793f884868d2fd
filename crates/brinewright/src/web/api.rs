//! What pages ask for and change, as JSON.

use std::sync::Arc;

use axum::Json;
use axum::extract::rejection::{JsonRejection, QueryRejection};
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use proof::{another_vessel, mark_edit, sketch};
use serde::{Deserialize, Serialize};
use sheets::bench::{figures, why_of};
use station::catalogue::CATALOGUE;
use station::edit::{Written, hanging};
use station::{Edit, Station};

use super::answer;
use super::bench::Bench;
use super::conflict;
use super::cure::Cure;
use super::fields;
use super::view::{Remark, Standing, paper_mm, told};
use crate::task::desk::{Desk, DeskFault};
use crate::task::proved::Proved;

#[derive(Debug, Deserialize)]
pub(super) struct Asked {
    width_mm: f64,
}

/// A change: marks that were moved, another vessel, values that were set, a remedy of a finding.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Change {
    /// The revision that was looked at.
    revision: u64,
    /// Paper of the drawing that is shown; a page that shows none is told how the text stands, and no more.
    #[serde(default)]
    width_mm: Option<f64>,
    #[serde(default)]
    marks: Vec<Moved>,
    #[serde(default)]
    vessel: Option<Another>,
    #[serde(default)]
    edits: Vec<fields::Set>,
    /// Values that are taken out.
    #[serde(default)]
    remove: Vec<String>,
    /// Sections that are put in.
    #[serde(default)]
    add: Vec<fields::Added>,
    /// A section that is taken out, with what hangs on it.
    #[serde(default)]
    take_out: Option<String>,
    /// Values as they are to stand in the file, quotes and all; without text they are taken out. By these a conflict is settled.
    #[serde(default)]
    settled: Vec<conflict::Set>,
    /// A cure that is on offer for that revision.
    #[serde(default)]
    remedy: Option<Cure>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Moved {
    path: String,
    level_m: f64,
}

/// A vessel of the catalogue, by its place there, in place of one of the station.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Another {
    name: String,
    catalogue: usize,
}

/// Another name for a section; what names it follows.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Rename {
    path: String,
    name: String,
    /// As of [`Change`].
    #[serde(default)]
    width_mm: Option<f64>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Step {
    /// As of [`Change`].
    #[serde(default)]
    width_mm: Option<f64>,
}

/// The station as it is.
pub(super) async fn view(
    State(bench): State<Arc<Bench>>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    match asked {
        Ok(Query(asked)) => blocking(move || seen(&bench, Some(asked.width_mm), Vec::new())).await,
        Err(error) => answer::refused(StatusCode::BAD_REQUEST, &error.body_text(), "ask with width_mm"),
    }
}

/// The pipes by their heights, on paper of a width; empty where they can't be drawn on it.
pub(super) async fn profile(
    State(bench): State<Arc<Bench>>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let Ok(Query(asked)) = asked else {
        return answer::no_width();
    };
    blocking(move || {
        let Some((revision, station)) = bench.station() else {
            return no_station(&bench);
        };
        let proof = bench.proof_of(revision);
        let proof = proof.unwrap_or_else(|| Arc::new(sketch(&station)));
        let drawing = sheets::profile(&station, &proof, paper_mm(asked.width_mm));
        answer::drawn(drawing.map_or_else(String::new, |own| sheets::svg(&own, false)))
    })
    .await
}

/// The whole proof, as `prove --json` tells it, once it is there.
pub(super) async fn proof(State(bench): State<Arc<Bench>>) -> Response {
    blocking(move || {
        let Some((revision, station)) = bench.station() else {
            return no_station(&bench);
        };
        let proof = bench
            .whole_proof_of(revision)
            .unwrap_or_else(|| Arc::new(proof::prove(&station)));
        answer::json(Proved::of(&station, &proof))
    })
    .await
}

/// Every headline figure with its why, as a page shows it.
pub(super) async fn every_figure(State(bench): State<Arc<Bench>>) -> Response {
    #[derive(Serialize)]
    struct Figures {
        figures: String,
    }
    blocking(move || {
        let Some((revision, station)) = bench.station() else {
            return no_station(&bench);
        };
        let proof = bench
            .proof_of(revision)
            .unwrap_or_else(|| Arc::new(sketch(&station)));
        answer::json(Figures {
            figures: figures(&station, &proof),
        })
    })
    .await
}

/// Which figure is asked for.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OfFigure {
    key: String,
}

/// The why of one figure, as a page shows it.
pub(super) async fn why(
    State(bench): State<Arc<Bench>>,
    asked: Result<Query<OfFigure>, QueryRejection>,
) -> Response {
    #[derive(Serialize)]
    struct Why {
        why: String,
    }
    let key = match asked {
        Ok(Query(asked)) => asked.key,
        Err(error) => {
            return answer::refused(
                StatusCode::BAD_REQUEST,
                &error.body_text(),
                "ask with the key of a figure",
            );
        }
    };
    blocking(move || {
        let Some((revision, station)) = bench.station() else {
            return no_station(&bench);
        };
        let proof = bench
            .proof_of(revision)
            .unwrap_or_else(|| Arc::new(proof::prove(&station)));
        match why_of(&station, &proof, &key) {
            Some(why) => answer::json(Why { why }),
            None => answer::refused(
                StatusCode::NOT_FOUND,
                &format!("no figure has the key `{key}`"),
                "the keys stand in /api/proof",
            ),
        }
    })
    .await
}

/// The text of the file.
pub(super) async fn text(State(bench): State<Arc<Bench>>) -> Response {
    #[derive(Serialize)]
    struct Text<'t> {
        revision: u64,
        name: &'t str,
        text: &'t str,
    }
    let desk = bench.desk();
    answer::json(Text {
        revision: desk.revision(),
        name: desk.name(),
        text: desk.text(),
    })
}

/// What a change would come to; nobody keeps it.
pub(super) async fn try_out(
    State(bench): State<Arc<Bench>>,
    change: Result<Json<Change>, JsonRejection>,
) -> Response {
    with(change, |change| blocking(move || tried(&bench, &change))).await
}

/// Makes a change and keeps it.
pub(super) async fn change(
    State(bench): State<Arc<Bench>>,
    change: Result<Json<Change>, JsonRejection>,
) -> Response {
    with(change, |change| {
        blocking(move || {
            let edits = match edits(&bench, &change) {
                Ok(edits) => edits,
                Err(refused) => return *refused,
            };
            kept(&bench, change.width_mm, |desk| {
                // What stood there when it was changed, whoever wrote it.
                desk.catch_up()?;
                let remarks = Remark::beside(desk, &edits);
                desk.change(change.revision, &edits)?;
                Ok(remarks)
            })
        })
    })
    .await
}

/// Gives a section another name.
pub(super) async fn rename(
    State(bench): State<Arc<Bench>>,
    rename: Result<Json<Rename>, JsonRejection>,
) -> Response {
    with(rename, |rename| {
        blocking(move || {
            kept(&bench, rename.width_mm, |desk| {
                desk.rename(&rename.path, rename.name.trim())?;
                Ok(Vec::new())
            })
        })
    })
    .await
}

/// Takes the last change back.
pub(super) async fn undo(
    State(bench): State<Arc<Bench>>,
    step: Result<Json<Step>, JsonRejection>,
) -> Response {
    with(step, |step| {
        blocking(move || kept(&bench, step.width_mm, |desk| desk.undo().map(|_| Vec::new())))
    })
    .await
}

/// Writes the file anew where it is gone.
pub(super) async fn write_again(
    State(bench): State<Arc<Bench>>,
    step: Result<Json<Step>, JsonRejection>,
) -> Response {
    with(step, |step| {
        blocking(move || {
            let answer = kept(&bench, step.width_mm, |desk| {
                desk.write_again().map(|_| Vec::new())
            });
            let gone = bench.desk().is_gone();
            bench.tell(|news| news.gone = gone);
            answer
        })
    })
    .await
}

/// Brings it back.
pub(super) async fn redo(
    State(bench): State<Arc<Bench>>,
    step: Result<Json<Step>, JsonRejection>,
) -> Response {
    with(step, |step| {
        blocking(move || kept(&bench, step.width_mm, |desk| desk.redo().map(|_| Vec::new())))
    })
    .await
}

/// Does something with a body that can be read.
pub(super) async fn with<T, F>(body: Result<Json<T>, JsonRejection>, act: impl FnOnce(T) -> F) -> Response
where
    F: Future<Output = Response>,
{
    match body {
        Ok(Json(body)) => act(body).await,
        Err(error) => answer::refused(
            error.status(),
            &error.body_text(),
            "send what the workbench's own pages send",
        ),
    }
}

/// Computing is done beside what answers others.
pub(super) async fn blocking(act: impl FnOnce() -> Response + Send + 'static) -> Response {
    match tokio::task::spawn_blocking(act).await {
        Ok(response) => response,
        Err(_) => answer::refused(
            StatusCode::INTERNAL_SERVER_ERROR,
            "something broke while this was computed",
            "take the last change back, and report it",
        ),
    }
}

fn no_station(bench: &Bench) -> Response {
    match bench.desk().station() {
        Err(faults) => answer::no_station(&faults),
        // It was mended meanwhile.
        Ok(_) => answer::refused(StatusCode::CONFLICT, "the file changed meanwhile", "ask again"),
    }
}

fn seen(bench: &Bench, width_mm: Option<f64>, remarks: Vec<Remark>) -> Response {
    match bench.station() {
        Some((revision, station)) => shown(bench, revision, &station, width_mm, remarks),
        None => no_station(bench),
    }
}

fn shown(
    bench: &Bench,
    revision: u64,
    station: &Station,
    width_mm: Option<f64>,
    remarks: Vec<Remark>,
) -> Response {
    match width_mm {
        Some(width_mm) => answer::json(told(bench, revision, station, width_mm).with(remarks)),
        None => answer::json(Standing::of(bench, revision).with(remarks)),
    }
}

fn tried(bench: &Bench, change: &Change) -> Response {
    bench.take_in_hand();
    let edits = match edits(bench, change) {
        Ok(edits) => edits,
        Err(refused) => return *refused,
    };
    let desk = bench.desk();
    let station = desk.tried(&edits);
    let remarks = Remark::beside(&desk, &edits);
    drop(desk);
    match station {
        // Of a text that nobody keeps there is no whole proof.
        Ok(station) => shown(bench, 0, &station, change.width_mm, remarks),
        Err(fault) => answer::desk(&fault),
    }
}

/// Does something to the file, and tells what comes of it, with the remarks that stand beside what was set.
fn kept(
    bench: &Bench,
    width_mm: Option<f64>,
    act: impl FnOnce(&mut Desk) -> Result<Vec<Remark>, DeskFault>,
) -> Response {
    bench.let_go();
    let mut desk = bench.desk();
    let done = act(&mut desk);
    let revision = desk.revision();
    drop(desk);
    bench.tell(|news| news.revision = revision);
    match done {
        Ok(remarks) => seen(bench, width_mm, remarks),
        Err(fault) => answer::desk(&fault),
    }
}

/// The edits of the file that a change is.
fn edits(bench: &Bench, change: &Change) -> Result<Vec<Edit>, Box<Response>> {
    let text = bench.desk().text().clone();
    let mut set = set(&text, &change.edits)?;
    set.extend(sections(&text, change)?);
    let settled = change.settled.iter().map(conflict::Set::edit);
    let Some((revision, station)) = bench.station() else {
        // A text that is no station may be mended by setting values.
        return Ok(set.into_iter().chain(settled).collect());
    };
    let mut edits: Vec<Edit> = settled.collect();
    for mark in &change.marks {
        if !mark.level_m.is_finite() {
            let what = "that is no level";
            return Err(Box::new(answer::refused(
                StatusCode::BAD_REQUEST,
                what,
                "send metres",
            )));
        }
        edits.push(mark_edit(&station, &mark.path, mark.level_m));
    }
    if let Some(another) = &change.vessel {
        let old = station.vessels.iter().find(|own| own.name == another.name);
        let (Some(old), Some(new)) = (old, CATALOGUE.get(another.catalogue)) else {
            let what = "there is no such vessel";
            return Err(Box::new(answer::refused(
                StatusCode::CONFLICT,
                what,
                "choose again",
            )));
        };
        edits.extend(another_vessel(&station, old, new));
    }
    edits.extend(set);
    edits.extend(change.remove.iter().map(|path| Edit {
        path: path.clone(),
        text: String::new(),
    }));
    if let Some(cure) = &change.remedy {
        match cure.edits(bench, change.revision) {
            Some(own) if revision == change.revision => edits.extend(own),
            _ => {
                let what = "that cure belongs to an older text";
                return Err(Box::new(answer::refused(
                    StatusCode::CONFLICT,
                    what,
                    "look at the findings again",
                )));
            }
        }
    }
    Ok(edits)
}

/// Sections that are put in and taken out.
fn sections(text: &str, change: &Change) -> Result<Vec<Edit>, Box<Response>> {
    let (mut edits, mut faults) = (Vec::new(), Vec::new());
    if !change.add.is_empty() {
        let written = Written::of(text);
        for own in &change.add {
            match own.edit(&written) {
                Ok(edit) => edits.push(edit),
                Err(own) => faults.extend(own),
            }
        }
    }
    if let Some(path) = &change.take_out {
        let own = hanging(text, path);
        edits.extend(own.values);
        edits.extend(own.sections.iter().chain([path]).map(|path| Edit {
            path: path.clone(),
            text: String::new(),
        }));
    }
    match faults.is_empty() {
        true => Ok(edits),
        false => Err(Box::new(answer::no_station(&faults))),
    }
}

/// Values that were typed, as they stand in the file; every fault at once.
fn set(text: &str, typed: &[fields::Set]) -> Result<Vec<Edit>, Box<Response>> {
    let (mut edits, mut faults) = (Vec::new(), Vec::new());
    if typed.is_empty() {
        return Ok(edits);
    }
    let written = Written::of(text);
    for own in typed {
        match own.edit(&written) {
            Ok(edit) => edits.push(edit),
            Err(fault) => faults.push(fault),
        }
    }
    match faults.is_empty() {
        true => Ok(edits),
        false => Err(Box::new(answer::no_station(&faults))),
    }
}
