//! All analyses over one station, without intervals and without remedies: what a remedy is judged by.

use station::Station;

use crate::analysis::{self, Batch, Cost, KnownOfPlumbing, Levels, Lineups, Needs, Supply};
use crate::finding::Finding;
use crate::sheet::Sheet;

/// The analyses of one station.
pub(crate) struct Assessment {
    pub(crate) sheet: Sheet,
    pub(crate) needs: Needs,
    pub(crate) levels: Levels,
    pub(crate) batch: Batch,
    pub(crate) supply: Supply,
    pub(crate) cost: Cost,
    pub(crate) lineups: Option<Lineups>,
    pub(crate) findings: Vec<Finding>,
}

/// What takes longer than an odd day to matter: wear, and what runs cost.
const SLOW: [&str; 4] = [
    "carbon-spent-early",
    "drain-costs-most",
    "restrictor-wrong",
    "run-too-short",
];

/// Runs them in the order in which they build on each other.
pub(crate) fn assess(station: &Station) -> Assessment {
    let mut sheet = Sheet::default();
    let mut findings = Vec::new();
    let levels = analysis::levels(station, &mut sheet, &mut findings);
    let batch = analysis::batch(station, &mut sheet, &mut findings);
    let needs = analysis::needs(station, &batch, &mut sheet, &mut findings);
    let supply = analysis::supply(station, &levels, &batch, &needs, &mut sheet, &mut findings);
    let cost = analysis::cost(station, &batch, &supply, &mut sheet);
    let known = KnownOfPlumbing {
        permeate_m3_s: sheet
            .find("permeate")
            .map_or(0.0, |permeate| sheet.value(permeate)),
    };
    let lineups = analysis::lineups(station, &known, &mut sheet, &mut findings);
    if station.feed_state.is_some() {
        findings.retain(|finding| !SLOW.contains(&finding.id));
    }
    for finding in &mut findings {
        finding.line = station
            .span_of(&finding.place)
            .map(|span| station::Position::of(&station.text, span.start).line);
    }
    findings.sort_by(|a, b| {
        b.severity
            .cmp(&a.severity)
            .then(a.line.cmp(&b.line))
            .then(a.id.cmp(b.id))
    });
    Assessment {
        sheet,
        needs,
        levels,
        batch,
        supply,
        cost,
        lineups,
        findings,
    }
}
