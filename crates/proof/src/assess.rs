//! The analyses that a station's findings come from, without intervals and without remedies: what a remedy is judged by.

use station::Station;

use crate::analysis::{
    self, Batch, Cost, Depth, FactsOfLeadTime, KnownOfPlumbing, LeadTime, Levels, Lineups, Needs, Supply,
};
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
    pub(crate) lead_time: Option<LeadTime>,
    pub(crate) findings: Vec<Finding>,
}

/// What takes longer than an odd day to matter: wear, and what runs cost.
const SLOW: [&str; 4] = [
    "carbon-spent-early",
    "drain-costs-most",
    "restrictor-wrong",
    "run-too-short",
];

/// How much is assessed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scope {
    /// Everything.
    All,
    /// Every finding, without what only figures need.
    Findings,
    /// Without the network of lines, where what is tried doesn't touch it.
    WithoutPlumbing,
}

impl Scope {
    /// Sections that the network of lines is made of. A feed or a purifier changes how fast a vessel fills meanwhile, too
    /// little to matter.
    const PLUMBING: [&str; 9] = [
        "room",
        "tanks",
        "vessels",
        "pumps",
        "tees",
        "draw_points",
        "lines",
        "valves",
        "lineups",
    ];

    /// What must be assessed again when a value at this path changes.
    pub(crate) fn of(path: &str) -> Self {
        let section = path.split('.').next().unwrap_or_default();
        if Self::PLUMBING.contains(&section) {
            Self::Findings
        } else {
            Self::WithoutPlumbing
        }
    }
}

/// Runs them in the order in which they build on each other.
pub(crate) fn assess(station: &Station, scope: Scope) -> Assessment {
    let mut sheet = Sheet::default();
    let mut findings = Vec::new();
    let levels = analysis::levels(station, &mut sheet, &mut findings);
    let batch = analysis::batch(station, &mut sheet, &mut findings);
    let needs = analysis::needs(station, &batch, &mut sheet, &mut findings);
    let supply = analysis::supply(station, &levels, &batch, &needs, &mut sheet, &mut findings);
    let cost = analysis::cost(station, &batch, &supply, &mut sheet);
    let lineups = match scope {
        Scope::All | Scope::Findings => {
            let permeate = sheet.find("permeate");
            let known = KnownOfPlumbing {
                permeate_m3_s: permeate.map_or(0.0, |permeate| sheet.value(permeate)),
                depth: if scope == Scope::All {
                    Depth::Whole
                } else {
                    Depth::Findings
                },
            };
            analysis::lineups(station, &known, &mut sheet, &mut findings)
        }
        Scope::WithoutPlumbing => None,
    };
    if lineups.is_some() {
        analysis::findings_of_service(station, &needs, &mut findings);
    }
    // The largest single emergency, with as little in the vessels as there ever is.
    let lead_time = (scope == Scope::All && needs.emergency_m3 > 0.0)
        .then(|| {
            let facts = FactsOfLeadTime {
                tag: "emergency",
                is_told: true,
                strength: batch.strength,
                permeate: analysis::PermeateOfLeadTime::of(&supply),
                lineups: lineups.as_ref(),
            };
            let worst = station::Situation::worst(station);
            analysis::lead_time_plan(station, needs.emergency_m3, &worst, &facts, &mut sheet).ok()
        })
        .flatten();
    if let Some(lead) = &lead_time {
        analysis::find_lead_time(station, lead, &mut findings);
    }
    if station.feed_state.is_some() {
        findings.retain(|finding| !SLOW.contains(&finding.id));
    }
    place_and_sort(station, &mut findings);
    Assessment {
        sheet,
        needs,
        levels,
        batch,
        supply,
        cost,
        lineups,
        lead_time,
        findings,
    }
}

/// Finds the line of each, and puts the worst first.
pub(crate) fn place_and_sort(station: &Station, findings: &mut [Finding]) {
    let lines = station::Lines::of(&station.text);
    for finding in findings.iter_mut() {
        let span = station.span_of(&finding.place);
        finding.line = span.map(|span| lines.of_byte(span.start));
    }
    findings.sort_by(|a, b| {
        b.severity
            .cmp(&a.severity)
            .then(a.line.cmp(&b.line))
            .then(a.id.cmp(b.id))
    });
}
