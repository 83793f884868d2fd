//! What the workbench's own page shows of the station, put together anew with each change.

use core::ops::Range;
use std::sync::Arc;

use proof::{Proof, mark_step_m, sketch, verdict_of};
use serde::Serialize;
use sheets::bench::{Handle, Years, findings, handles, leading_figures, vessels};
use sheets::fragment::{kept, year_in_short};
use station::edit::{Written, remark_beside};
use station::{Edit, Station};

use super::bench::Bench;
use super::fields::place;
use crate::task::desk::Desk;

/// Paper of the drawing, mm: what a phone shows and what a wide screen does.
const WIDTHS_MM: (f64, f64) = (80.0, 320.0);

/// How the text stands: all that a page is told that shows no drawing.
#[derive(Debug, Serialize)]
pub(super) struct Standing {
    /// Of the text that it is of.
    revision: u64,
    /// The file.
    name: String,
    /// Whether changes are kept.
    kept: bool,
    can_undo: bool,
    can_redo: bool,
    /// Remarks that stand beside values which the change has set: they stay as they are, and may be no longer true.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    remarks: Vec<Remark>,
}

/// A remark beside a value that was changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Remark {
    path: String,
    /// `Vessel Fresh: Level at which the fill stops`.
    place: String,
    remark: String,
}

impl Remark {
    /// Those beside the values of the text that edits give another value.
    pub(super) fn beside(desk: &Desk, edits: &[Edit]) -> Vec<Self> {
        let text = desk.text();
        let beside = |value: &dyn Fn(&str) -> Option<Range<usize>>| {
            edits
                .iter()
                .filter(|edit| !edit.text.is_empty())
                .filter_map(|edit| {
                    let value = value(&edit.path)?;
                    let is_other = text.get(value.clone()) != Some(edit.text.as_str());
                    Some(Self {
                        path: edit.path.clone(),
                        place: place(&edit.path),
                        remark: remark_beside(text, value).filter(|_| is_other)?.to_owned(),
                    })
                })
                .collect()
        };
        match desk.station() {
            Ok(station) => beside(&|path| station.value_span(path)),
            Err(_) => {
                let written = Written::of(text);
                beside(&|path| written.span(path))
            }
        }
    }
}

impl Standing {
    /// Revision 0 is of a text that nobody keeps.
    pub(super) fn of(bench: &Bench, revision: u64) -> Self {
        let desk = bench.desk();
        let [can_undo, can_redo] = desk.undoable();
        Self {
            revision: if revision == 0 { desk.revision() } else { revision },
            name: desk.file_name(),
            kept: desk.is_kept(),
            can_undo,
            can_redo,
            remarks: Vec::new(),
        }
    }

    /// After a change.
    pub(super) fn with(mut self, remarks: Vec<Remark>) -> Self {
        self.remarks = remarks;
        self
    }
}

/// What a page shows of the station.
#[derive(Debug, Serialize)]
pub(super) struct View {
    #[serde(flatten)]
    standing: Standing,
    title: String,
    /// Of the proof, and of the years, those of the text before until they are known; nothing as long as the proof isn't
    /// whole: what was told last may still hold.
    verdict: Option<String>,
    /// Whether everything was looked at; else only what moves with the hand.
    whole: bool,
    /// Whether what helps against wrong valves, and the doubt of what they do, is known as well.
    cured: bool,
    /// Whether one can go away, as far as that is known of this text.
    away: Option<String>,
    /// Whether that is known; it may come to nothing that is told.
    away_known: bool,
    /// What a year takes, as far as that is known of this text.
    year: Option<String>,
    /// Whether that is known.
    year_known: bool,
    leading: String,
    findings: String,
    /// What can be put in place of which vessel.
    vessels: String,
    drawing: String,
    /// Millimetres of the drawing's paper for a metre of the station.
    mm_per_m: f64,
    /// From one place of a mark to the next, m.
    step_m: f64,
    handles: Vec<Told>,
}

/// A mark that a hand can move.
#[derive(Debug, Serialize)]
struct Told {
    path: String,
    grip: &'static str,
    label: String,
    level_m: f64,
    least_m: f64,
    /// What is there.
    least: String,
    most_m: f64,
    most: String,
    shown: String,
    holds: String,
}

impl From<Handle> for Told {
    fn from(own: Handle) -> Self {
        Self {
            path: own.path,
            grip: own.grip.word(),
            label: own.label,
            level_m: own.level_m,
            least_m: own.least.0,
            least: own.least.1,
            most_m: own.most.0,
            most: own.most.1,
            shown: own.shown,
            holds: own.holds,
        }
    }
}

impl View {
    /// After a change.
    pub(super) fn with(mut self, remarks: Vec<Remark>) -> Self {
        self.standing = self.standing.with(remarks);
        self
    }
}

/// The paper that is drawn on where so much is asked for.
pub(super) fn paper_mm(asked_mm: f64) -> f64 {
    match asked_mm.is_finite() {
        true => asked_mm.clamp(WIDTHS_MM.0, WIDTHS_MM.1),
        false => WIDTHS_MM.0,
    }
}

/// The station as it is, or as it would be: revision 0 is of a text that nobody keeps.
pub(super) fn told(bench: &Bench, revision: u64, station: &Station, width_mm: f64) -> View {
    let known = bench.proof_of(revision);
    let whole = known.is_some();
    let cured = known.as_ref().is_some_and(|own| own.is_whole());
    let proof: Arc<Proof> = known.unwrap_or_else(|| Arc::new(sketch(station)));
    let drawing = sheets::elevation(station, &proof, paper_mm(width_mm));
    let (away, year) = {
        let results = bench.results();
        let away = results.away.clone().filter(|own| own.revision == revision);
        (
            away,
            results.year.clone().filter(|own| own.revision >= results.since),
        )
    };
    let year_known = year.as_ref().is_some_and(|own| own.revision == revision);
    let walked = year.as_ref().and_then(|own| Some(&own.value.as_ref()?.year));
    let of_years = match walked {
        Some(walked) if year_known => Years::Of(walked),
        Some(walked) => Years::Old(walked),
        None if year_known => Years::Never,
        None => Years::ToCome,
    };
    let years = walked.filter(|_| year_known);
    View {
        standing: Standing::of(bench, revision),
        title: proof.title.clone(),
        verdict: whole.then(|| {
            let of_years = walked.map_or(&[][..], |own| &own.findings);
            let may_leave = away.as_ref().and_then(|own| Some(own.value.as_ref()?.may_leave));
            kept(&verdict_of(proof.findings.iter().chain(of_years), may_leave))
        }),
        whole,
        cured,
        away: away
            .as_ref()
            .and_then(|own| Some(kept(&own.value.as_ref()?.answer))),
        away_known: away.is_some(),
        year: years.map(|own| kept(&year_in_short(station, own))),
        year_known,
        leading: leading_figures(station, &proof),
        findings: findings(&proof, &of_years),
        vessels: vessels(station),
        mm_per_m: drawing
            .as_ref()
            .and_then(|own| own.maps.first())
            .map_or(0.0, |map| map.mm_per_m),
        drawing: drawing
            .as_ref()
            .map_or_else(String::new, |own| sheets::svg(own, false)),
        step_m: mark_step_m(station),
        handles: handles(station, &proof).into_iter().map(Told::from).collect(),
    }
}
