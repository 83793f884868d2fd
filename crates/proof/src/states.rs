//! The named states of the feed: each is proved in turn, and what it changes is told, with what to test that day.

use serde::Serialize;
use station::quantity::Kind;
use station::sections::{FeedFields, FeedState};
use station::{Named, Station};

use crate::analysis::speak::{print_figures, say};
use crate::assess::{Scope, assess};
use crate::finding::{Finding, Severity};
use crate::sheet::{Cautions, Intervals};

/// What a state of the feed does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StateOfFeed {
    /// The owner's name for it.
    pub name: String,
    /// How long such a state lasts, s.
    pub lasts_s: Option<f64>,
    /// Purified water made a day in the leanest month, m³/s; nothing where none comes.
    pub made_m3_per_s: Option<f64>,
    /// What is needed then, m³/s.
    pub need_m3_per_s: Option<f64>,
    /// Water that a bed purifies, m³.
    pub resin_life_m3: Option<f64>,
    /// A cubic metre of purified water, in money.
    pub cost_per_m3: Option<f64>,
    /// What it makes wrong that is right with the usual feed, worst first.
    pub findings: Vec<StateFinding>,
    /// What to test on such a day.
    pub tests: Vec<String>,
}

/// A finding that only this state brings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StateFinding {
    /// Stable name.
    pub id: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// In words.
    pub sentence: String,
}

/// A finding that the usual feed brings too.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Known {
    id: &'static str,
    severity: Severity,
}

impl Known {
    pub(crate) fn of(finding: &Finding) -> Self {
        Self {
            id: finding.id,
            severity: finding.severity,
        }
    }
}

/// Proves each state of the feed, and tells what it changes.
pub(crate) fn states(station: &Station, usual: &[Known]) -> Vec<StateOfFeed> {
    if station.feed_state.is_some() || station.purifier.is_none() {
        return Vec::new();
    }
    station
        .feed_states
        .iter()
        .filter_map(|state| one_state(station, state, usual))
        .collect()
}

/// What to test today, where a state of the feed holds.
pub(crate) fn tests_today(station: &Station) -> Vec<String> {
    let state = station
        .feed_states
        .iter()
        .find(|state| Some(&state.name) == station.feed_state.as_ref());
    match (state, &station.usual_feed) {
        (Some(state), Some(usual)) => tests(station, usual, &state.fields),
        _ => Vec::new(),
    }
}

fn one_state(station: &Station, state: &Named<FeedState>, usual: &[Known]) -> Option<StateOfFeed> {
    let then = station.in_feed_state(&state.name).ok()?;
    let assessment = assess(&then, Scope::WithoutPlumbing);
    let figures = assessment.sheet.figures(&Intervals::none(), &Cautions::default());
    let findings = assessment
        .findings
        .iter()
        .filter(|finding| finding.severity > Severity::Note)
        .filter(|finding| {
            !usual
                .iter()
                .any(|old| old.id == finding.id && old.severity >= finding.severity)
        })
        .map(|finding| StateFinding {
            id: finding.id,
            severity: finding.severity,
            sentence: print_figures(&then, &finding.sentence, &figures),
        })
        .collect();
    let made = assessment.supply.purifier.as_ref();
    Some(StateOfFeed {
        name: state.name.clone(),
        lasts_s: state.fields.lasts.as_ref().map(|lasts| lasts.value.s()),
        made_m3_per_s: assessment.supply.made_m3_per_s,
        need_m3_per_s: assessment.supply.need_m3_per_s,
        resin_life_m3: made.and_then(|made| made.run.resin_life_m3.as_ref().map(|life| life.value)),
        cost_per_m3: made.and_then(|made| made.run.cost_per_m3.as_ref().map(|cost| cost.value)),
        findings,
        tests: tests(station, station.feed.as_ref()?, &state.fields),
    })
}

/// What to test, by what differs.
fn tests(station: &Station, usual: &FeedFields, state: &FeedState) -> Vec<String> {
    let mut tests = Vec::new();
    let mg_l = |si: f64| say(station, Kind::Concentration, si);
    let chloramine = state
        .chloramine
        .as_ref()
        .is_some_and(|bound| bound.value.kg_m3() > usual.chloramine.value.kg_m3());
    if chloramine {
        tests.push(
            "total chlorine behind the carbon before each run; a test for free chlorine misses chloramine"
                .to_owned(),
        );
        tests.push("ammonia in the finished water".to_owned());
    }
    let more_free = state
        .free_chlorine
        .as_ref()
        .filter(|free| free.value.kg_m3() > usual.free_chlorine.value.kg_m3());
    if let Some(free) = more_free
        && !chloramine
    {
        tests.push(format!(
            "free chlorine behind the carbon before each run: none, while the tap has {}",
            mg_l(free.value.kg_m3())
        ));
    }
    if state.cloudy.value {
        tests.push("the tap by eye: let it run clear before the feed is opened".to_owned());
        tests.push(
            "pressure before and behind the sediment filter: a growing difference means change it".to_owned(),
        );
    }
    if state
        .pressure
        .as_ref()
        .is_some_and(|pressure| pressure.value.pa_gauge() < usual.pressure.value.pa_gauge())
    {
        tests.push("pressure at the membrane while it runs".to_owned());
        let boosted = station
            .purifier
            .as_ref()
            .is_some_and(|purifier| purifier.fields.booster_pressure.is_some());
        if boosted {
            tests.push(
                "pressure before the booster while it runs: it holds its own only as long as the tap gives the flow"
                    .to_owned(),
            );
        }
    }
    if state
        .temperature
        .as_ref()
        .is_some_and(|temperature| temperature.value.c() < usual.coldest.value.c())
    {
        tests.push("time in which the purifier fills a jug".to_owned());
    }
    if state.conductivity.is_some() || state.dissolved_solids.is_some() || state.hardness.is_some() {
        tests.push("conductivity of the tap, of the permeate and behind the resin".to_owned());
    }
    if state.ph.is_some() || state.alkalinity.is_some() {
        tests.push("pH of the tap, at once: it decides how long the resin lasts".to_owned());
    }
    if let Some(own) = &state.test {
        tests.push(own.value.clone());
    }
    tests
}
