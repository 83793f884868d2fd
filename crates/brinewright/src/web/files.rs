//! What pages give out as files: drawings and charts as SVG and PNG, tables as comma-separated values, the sheets, the page.
//!
//! A name is looked up among those that there are; it is never a path.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use proof::{Absence, Progress, Proof};
use sheets::{Drawing, Paper, Table};
use station::Station;
use station::quantity::UnitSystem;

use super::answer;
use super::api::blocking;
use super::bench::Bench;
use super::known::{End, Years};
use super::work::years;
use crate::task::absence::{in_short, is_table as is_of_absence};
use crate::task::{paper, year};

/// What a file is of: its name without the ending.
struct Wanted {
    name: String,
    ending: Ending,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ending {
    Svg,
    Png,
    Csv,
    Pdf,
    Html,
}

impl Ending {
    const fn kind(self) -> &'static str {
        match self {
            Self::Svg => "image/svg+xml",
            Self::Png => "image/png",
            Self::Csv => "text/csv; charset=utf-8",
            Self::Pdf => "application/pdf",
            Self::Html => "text/html; charset=utf-8",
        }
    }
}

impl Wanted {
    fn read(file: &str) -> Option<Self> {
        let (name, ending) = file.rsplit_once('.')?;
        let ending = match ending {
            "svg" => Ending::Svg,
            "png" => Ending::Png,
            "csv" => Ending::Csv,
            "pdf" => Ending::Pdf,
            "html" => Ending::Html,
            _ => return None,
        };
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        (!name.is_empty() && name.chars().all(plain)).then(|| Self {
            name: name.to_owned(),
            ending,
        })
    }
}

/// A file, to be kept.
pub(super) async fn file(State(bench): State<Arc<Bench>>, Path(file): Path<String>) -> Response {
    let Some(wanted) = Wanted::read(&file) else {
        return answer::not_there().await;
    };
    let made = blocking(move || made(&bench, &wanted)).await;
    match made.status() {
        StatusCode::NOT_FOUND => answer::not_there().await,
        _ => made,
    }
}

fn made(bench: &Bench, wanted: &Wanted) -> Response {
    let source = match Source::of(bench) {
        Ok(source) => source,
        Err(refused) => return *refused,
    };
    let bytes = match wanted.ending {
        Ending::Svg => source
            .drawing(&wanted.name)
            .map(|own| Ok(sheets::svg_to_keep(&own).into_bytes())),
        Ending::Png => source
            .drawing(&wanted.name)
            .map(|own| paper::picture(&wanted.name, &own)),
        Ending::Csv => source
            .table(numbers_of(&wanted.name).unwrap_or(&wanted.name))
            .map(|own| Ok(own.csv().into_bytes())),
        Ending::Pdf => (wanted.name == "sheets").then(|| source.sheets()),
        Ending::Html => (wanted.name == "page").then(|| Ok(source.page().into_bytes())),
    };
    match bytes {
        None => StatusCode::NOT_FOUND.into_response(),
        Some(Err(_)) => answer::refused(
            StatusCode::INTERNAL_SERVER_ERROR,
            "this file can't be made",
            "take it in another form, and report it",
        ),
        Some(Ok(bytes)) => given(wanted, bytes),
    }
}

/// The table that holds what a chart shows; nothing of other drawings.
pub(super) fn numbers_of(chart: &str) -> Option<&'static str> {
    Some(match chart {
        "needs-by-tank" => "needs",
        "supply-by-month" => "months",
        "cost-against-run" => "runs",
        "reserve-of-fresh-water" | "reserve-of-salt-water" => "reserve-by-week",
        "cost-by-item" => "cost-by-item",
        "run-volumes" => "run-volumes",
        "cost-of-changes" => "changes-by-year",
        "wrong-moves" => "wrong-moves",
        "fault-tree" => "faults-alone",
        own if own.starts_with("level-against-volume-") => "soundings",
        _ => return None,
    })
}

fn given(wanted: &Wanted, bytes: Vec<u8>) -> Response {
    let ending = match wanted.ending {
        Ending::Svg => "svg",
        Ending::Png => "png",
        Ending::Csv => "csv",
        Ending::Pdf => "pdf",
        Ending::Html => "html",
    };
    let kept = format!("attachment; filename=\"{}.{ending}\"", wanted.name);
    let heads = [
        (header::CONTENT_TYPE, wanted.ending.kind().to_owned()),
        (header::CONTENT_DISPOSITION, kept),
    ];
    (heads, bytes).into_response()
}

/// What files are made of: the newest text, with what is known of it already; the rest is computed when it is asked for.
struct Source<'b> {
    bench: &'b Bench,
    revision: u64,
    station: Arc<Station>,
    name: String,
    proof: Arc<Proof>,
}

impl<'b> Source<'b> {
    fn of(bench: &'b Bench) -> Result<Self, Box<Response>> {
        let (revision, station, name) = {
            let desk = bench.desk();
            let station = desk
                .station()
                .map_err(|faults| Box::new(answer::no_station(&faults)))?;
            // What is passed on has no use for the folders of whoever made it.
            (desk.revision(), station, desk.file_name())
        };
        let proof = bench
            .whole_proof_of(revision)
            .unwrap_or_else(|| Arc::new(proof::prove(&station)));
        Ok(Self {
            bench,
            revision,
            station,
            name,
            proof,
        })
    }

    /// Whether what is known is of this text, and all that will be.
    fn is_all(&self, revision: u64, end: &End) -> bool {
        revision == self.revision && *end != End::More
    }

    fn away(&self) -> Option<Arc<Absence>> {
        let known = self.bench.results().away.clone();
        match known {
            Some(known) if self.is_all(known.revision, &known.end) => known.value,
            _ => in_short(&self.station, true).map(Arc::new),
        }
    }

    fn year(&self) -> Option<Arc<Years>> {
        let known = self.bench.results().year.clone();
        match known {
            Some(known) if self.is_all(known.revision, &known.end) => known.value,
            _ => years(
                self.bench.desk().station_as_opened(),
                &self.station,
                year::FEW,
                &Progress::default(),
                |_| (),
            )
            .map(Arc::new),
        }
    }

    fn drawing(&self, name: &str) -> Option<Drawing> {
        if name == "fault-tree" {
            return sheets::fault_tree(
                &self.station,
                self.away()?.as_ref(),
                paper::PAPER_MM,
                f64::INFINITY,
            );
        }
        if year::is_chart(name) {
            return year::chart(&self.station, &self.year()?.year, name);
        }
        paper::drawing(&self.station, &self.proof, name, paper::PAPER_MM)
    }

    fn table(&self, name: &str) -> Option<Table> {
        let of = |tables: Vec<Table>| tables.into_iter().find(|table| table.name == name);
        if year::is_table(name) {
            return of(year::tables(&self.station, &self.year()?.year));
        }
        if name == "as-opened-and-now" {
            return sheets::comparison_table(&self.station, self.year()?.compared.as_ref()?);
        }
        if is_of_absence(name) {
            return of(sheets::absence_tables(&self.station, self.away()?.as_ref(), true));
        }
        of(sheets::files(&self.station, &self.proof))
    }

    fn page(&self) -> String {
        sheets::page(&self.station, &self.proof, self.away().as_deref(), &self.name)
    }

    fn sheets(&self) -> Result<Vec<u8>, crate::failure::Failure> {
        let size = match self.station.units() {
            UnitSystem::Si => Paper::A4,
            UnitSystem::Us => Paper::Letter,
        };
        paper::sheets(
            &self.station,
            &self.proof,
            self.away().as_deref(),
            &self.name,
            size,
        )
    }
}
