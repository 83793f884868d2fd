//! The two things that the page asks for: a plan, which nobody keeps, and the file.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use axum::extract::rejection::JsonRejection;
use axum::response::Response;
use serde::{Deserialize, Serialize};

use super::super::answer;
use super::super::api::{blocking, with};
use super::super::bench::Bench;
use super::told;
use crate::failure::{Failure, Fault};
use crate::task::begin::{Asked, free_name, named, plan as planned};
use crate::task::new::write_new;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Plan {
    answers: Asked,
    width_mm: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Write {
    answers: Asked,
    name: String,
}

/// What comes of the answers, to look at.
#[derive(Serialize)]
struct Planned {
    verdict: String,
    pictured: String,
    chosen: String,
    left: String,
    /// A name in the folder that is free.
    name: String,
}

/// Plans; nobody keeps it.
pub(super) async fn plan(
    State(bench): State<Arc<Bench>>,
    asked: Result<Json<Plan>, JsonRejection>,
) -> Response {
    with(asked, |asked| {
        blocking(move || match planned(&asked.answers) {
            Ok(first) => {
                let told = told::plan(&first, asked.width_mm);
                answer::json(Planned {
                    verdict: told.verdict,
                    pictured: told.pictured.into_string(),
                    chosen: told.chosen.into_string(),
                    left: told.left.into_string(),
                    name: free_name(&bench.desk().folder()),
                })
            }
            Err(faults) => answer::no_station(&faults),
        })
    })
    .await
}

/// Plans the same once more, writes it to a file that isn't there yet, and lays that on the desk.
pub(super) async fn write(
    State(bench): State<Arc<Bench>>,
    asked: Result<Json<Write>, JsonRejection>,
) -> Response {
    with(asked, |asked| blocking(move || written(&bench, &asked))).await
}

fn written(bench: &Bench, asked: &Write) -> Response {
    #[derive(Serialize)]
    struct Written {
        name: String,
        revision: u64,
    }
    let folder = bench.desk().folder();
    let path = match named(&folder, &asked.name) {
        Ok(path) => path,
        Err(fault) => return answer::no_station(&[fault]),
    };
    let first = match planned(&asked.answers) {
        Ok(first) => first,
        Err(faults) => return answer::no_station(&faults),
    };
    if let Err(failure) = write_new(&shown(path.clone()), &first.text) {
        return answer::no_station(&by_name(&failure, &folder));
    }
    let mut desk = bench.desk();
    let laid = desk.exchange(&shown(path));
    let (name, revision) = (desk.file_name(), desk.revision());
    drop(desk);
    if let Err(failure) = laid {
        return answer::no_station(&by_name(&failure, &folder));
    }
    bench.results().since = revision;
    bench.tell(|news| news.revision = revision);
    answer::json(Written { name, revision })
}

/// A file of the folder that the program was started in is called by its name alone.
fn shown(path: PathBuf) -> PathBuf {
    path.strip_prefix(".")
        .map_or_else(|_| path.clone(), Path::to_path_buf)
}

/// The faults of writing, at the field of the name, with another name that is free.
fn by_name(failure: &Failure, folder: &Path) -> Vec<Fault> {
    let free = free_name(folder);
    let faults = failure.faults.iter();
    faults
        .map(|fault| {
            Fault::new(
                "name",
                fault.what.clone(),
                format!("{}; {free} is free", fault.mend),
            )
        })
        .collect()
}
