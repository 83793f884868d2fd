//! Changes of the station that were sent through the same years: what each saves, and what it costs elsewhere.
//!
//! A change is a list of edits of the file. It is applied to a copy, and offered only where the copy has nothing new in
//! the letter that must be mended; what is new and merely worth fixing is told with it. Both stations meet the same chance, so that few years tell.

use serde::Serialize;
use station::quantity::Kind;
use station::sections::{Control, ShutOff, Water};
use station::{Edit, Station, Vessel, edit};

use super::prepare::{Prepared, prepare};
use super::run::{OneYear, many_years};
use super::types::{Over, Year};
use crate::analysis::compare::{Difference, between};
use crate::analysis::speak::{mark_step_m, set_length, set_round, set_volume};
use crate::assess::{Scope, assess};
use crate::finding::{RemedyEdit, Severity};
use crate::method::Refusal;
use crate::plant::{DAY_S, Plant};
use crate::progress::{Progress, Stage};
use crate::remedy::{told_edits, told_in_short};

/// Years that a change is tried in.
pub(crate) const TRIED_YEARS: u32 = 60;
/// Most changes that are tried.
const MOST: usize = 10;
/// Reject for each part of purified water above which less is tried, and what is tried (common practice, no source: 4 to 1
/// and less on ordinary tap water).
const MUCH_REJECT: f64 = 5.0;
const USUAL_REJECT: f64 = 4.0;
/// Share of all salt water from which one change is large (house rule).
const LARGE_CHANGE: f64 = 0.25;
/// Share of the year's cost from which heat is worth a change (house rule).
const HEAT_COUNTS: f64 = 0.01;

/// A change that was tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TriedChange {
    /// What to do, made from the edits.
    pub sentence: String,
    /// The edits.
    pub edits: Vec<RemedyEdit>,
    /// Years that it was tried in, by the values of the file.
    pub years: u32,
    /// The cost of a year less that of the station as it is.
    pub cost: Over,
    /// What else differs, and is sure; what changes most, by its share, first.
    pub differences: Vec<Difference>,
    /// Findings of the letter that it brings and that are worth fixing.
    pub brings: Vec<&'static str>,
    /// What each of them says, up to its reason.
    pub brings_told: Vec<String>,
    /// What it is meant for.
    #[serde(skip)]
    pub(crate) aim: Aim,
}

/// What a change is meant for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Aim {
    Reject,
    Runs,
    Fresh,
    Salt,
    Age,
    Heat,
    Drift,
    Time,
    Absence,
    Thin,
}

struct Candidate {
    aim: Aim,
    edits: Vec<Edit>,
}

/// Tries what may help, by what the year showed; those only that were done where somebody asked for an end.
///
/// # Errors
/// [`Refusal`] where somebody asked for a stop.
pub(crate) fn changes(
    station: &Station,
    prepared: &Prepared,
    year: &Year,
    threads: usize,
    progress: &Progress,
) -> Result<Vec<TriedChange>, Refusal> {
    let candidates = candidates(station, &prepared.nominal, year);
    if candidates.is_empty() {
        return Ok(Vec::new());
    }
    progress.begin(Stage::Changes, candidates.len().min(MOST));
    let base = match nominal_years(prepared, year.seed, threads, progress) {
        Err(Refusal::Stopped) if !progress.is_stopped() => return Ok(Vec::new()),
        base => base?,
    };
    let known = findings(station);
    let mut all = Vec::new();
    for candidate in candidates.into_iter().take(MOST) {
        match tried(station, (&base, year.seed), &known, candidate, threads, progress) {
            Ok(own) => all.extend(own),
            // Of fewer years than the others it isn't told.
            Err(Refusal::Stopped) if !progress.is_stopped() => break,
            Err(refusal) => return Err(refusal),
        }
        progress.step();
    }
    Ok(all)
}

/// A change sent through the same years as the station as it is; nothing where it isn't to be offered.
fn tried(
    station: &Station,
    (base, seed): (&[OneYear], u64),
    known: &[(&'static str, String, Severity)],
    candidate: Candidate,
    threads: usize,
    progress: &Progress,
) -> Result<Option<TriedChange>, Refusal> {
    let Some((mended, brings, brings_told)) = mended(station, &candidate.edits, known) else {
        return Ok(None);
    };
    let Ok(then) = prepare(&mended, false) else {
        return Ok(None);
    };
    let after = nominal_years(&then, seed, threads, progress)?;
    let all = between((station, base), (&mended, &after));
    let Some(cost) = all.iter().find(|row| row.key == "cost").map(|row| row.difference) else {
        return Ok(None);
    };
    Ok(Some(TriedChange {
        sentence: told_edits(&candidate.edits),
        edits: candidate.edits.iter().map(RemedyEdit::of).collect(),
        years: TRIED_YEARS,
        cost,
        differences: ranked(all)
            .into_iter()
            .filter(|row| row.matters && row.key != "cost")
            .collect(),
        brings,
        brings_told,
        aim: candidate.aim,
    }))
}

/// All the years that a change is tried in.
///
/// # Errors
/// [`Refusal::Stopped`] where somebody asked for a stop or an end before they were done.
fn nominal_years(
    prepared: &Prepared,
    seed: u64,
    threads: usize,
    progress: &Progress,
) -> Result<Vec<OneYear>, Refusal> {
    let nominal = Prepared {
        nominal: prepared.nominal.clone(),
        drawn: Vec::new(),
        membranes: Vec::new(),
    };
    let years = many_years(&nominal, TRIED_YEARS, seed, threads, &progress.beside())?;
    match years.len() == TRIED_YEARS as usize {
        true => Ok(years),
        false => Err(Refusal::Stopped),
    }
}

/// What changes most, by its share, first.
fn ranked(mut rows: Vec<Difference>) -> Vec<Difference> {
    let share = |row: &Difference| row.share.map_or(0.0, f64::abs);
    rows.sort_by(|a, b| share(b).total_cmp(&share(a)));
    rows
}

/// What the letter says of a station: id, place, severity.
fn findings(station: &Station) -> Vec<(&'static str, String, Severity)> {
    assess(station, Scope::Findings)
        .findings
        .into_iter()
        .map(|finding| (finding.id, finding.place, finding.severity))
        .collect()
}

/// The station with the edits made, what the letter then says that it didn't, and that in words.
type Mended = (Station, Vec<&'static str>, Vec<String>);

/// The station with the edits made, and what the letter then says that it didn't; nothing where the edits can't be made, or
/// something must be mended that needn't before.
fn mended(station: &Station, edits: &[Edit], known: &[(&'static str, String, Severity)]) -> Option<Mended> {
    let text = edit::apply(&station.text, edits).ok()?;
    let mended = Station::read(&text).ok()?;
    let assessed = assess(&mended, Scope::Findings);
    let mut brings = Vec::new();
    for own in &assessed.findings {
        let had = known
            .iter()
            .any(|(old, at, before)| (*old, at.as_str()) == own.identity() && *before >= own.severity);
        match own.severity {
            _ if had => {}
            Severity::Must => return None,
            Severity::Should => brings.push(own),
            Severity::Note => {}
        }
    }
    let told = told_in_short(&mended, &assessed, &brings);
    let ids = brings.iter().map(|own| own.id).collect();
    Some((mended, ids, told))
}

/// A run between these levels as the one that is wanted, where it is shorter than that: who takes the change wants less, or the
/// letter would ask for the old run back.
fn shorter_run(station: &Station, vessel: &Vessel, start_m: f64, stop_m: f64) -> Option<Edit> {
    let wanted = vessel.fields.run_volume.as_ref()?;
    let volume_m3 = |level_m: f64| vessel.shape.volume_m3(level_m).ok();
    // The start is set a mark higher at the most.
    let run_m3 = volume_m3(stop_m)? - volume_m3(start_m + mark_step_m(station))?;
    let path = format!("vessels.{}.run_volume", vessel.name);
    (run_m3 > 0.0 && run_m3 < wanted.value.m3()).then(|| set_volume(station, path, run_m3, false))
}

/// What may help.
fn candidates(station: &Station, plant: &Plant, year: &Year) -> Vec<Candidate> {
    let mut all = Vec::new();
    let mut add = |aim: Aim, edits: Vec<Edit>| {
        if !edits.is_empty() {
            all.push(Candidate { aim, edits });
        }
    };
    if let Some(purifier) = &station.purifier {
        let fields = &purifier.fields;
        if fields.shut_off.value != ShutOff::Sound {
            add(Aim::Reject, vec![Edit::quoted("purifier.shut_off", "sound")]);
        }
        let ratio = year.reject_m3.mean / year.permeate_m3.mean.max(1e-9);
        if fields.shut_off.value == ShutOff::Sound && ratio > MUCH_REJECT {
            if let Some(flow) = &fields.restrictor_flow {
                let less = flow.value.m3_s() * USUAL_REJECT / ratio;
                add(
                    Aim::Reject,
                    vec![set_round(station, "purifier.restrictor_flow", Kind::Flow, less)],
                );
            } else if fields.waste_ratio.is_some() {
                add(
                    Aim::Reject,
                    vec![Edit::quoted("purifier.waste_ratio", &USUAL_REJECT.to_string())],
                );
            }
        }
        let filled = station.filled();
        let salt_fills_itself = filled
            .iter()
            .any(|at| station.vessels[*at].fields.holds.value == Water::Salt);
        if salt_fills_itself && fields.control.value != Control::Attended {
            add(Aim::Thin, vec![Edit::quoted("purifier.control", "attended")]);
        }
        if fields.control.value == Control::Float && !salt_fills_itself {
            add(
                Aim::Runs,
                vec![Edit::quoted("purifier.control", "level switches")],
            );
        }
        for at in filled {
            let vessel = &station.vessels[at];
            if let (Some(start), Some(stop)) = (&vessel.fields.start_level, &vessel.fields.stop_level)
                && !station.floats(vessel)
            {
                let path = format!("vessels.{}.start_level", vessel.name);
                let higher_m = 0.5 * (start.value.m() + stop.value.m());
                let mut edits = vec![set_length(station, path, higher_m, true)];
                edits.extend(shorter_run(station, vessel, higher_m, stop.value.m()));
                add(Aim::Fresh, edits);
            }
        }
    }
    for (at, vessel) in station.vessels.iter().enumerate() {
        let (fields, name) = (&vessel.fields, &vessel.name);
        if fields.holds.value != Water::Salt {
            continue;
        }
        let full_m3 = plant.vessels[at].full_m3;
        let highest_m = vessel.height_m() - fields.freeboard.value.m();
        let path = format!("vessels.{name}.batch_volume");
        if fields.batch_volume.is_some() {
            let most = vessel.shape.volume_m3(highest_m.max(0.0)).ok();
            if let Some(most_m3) = most.filter(|most| *most > 1.03 * full_m3) {
                add(Aim::Salt, vec![set_volume(station, path.clone(), most_m3, false)]);
            }
            if year.stale_m3.mean > 0.01 * year.salt_to_tanks_m3.mean {
                add(Aim::Age, vec![set_volume(station, path, 0.6 * full_m3, true)]);
            }
        }
        let heat = year.energy.first().map_or(0.0, |heat| heat.energy_j.mean);
        let price = station
            .prices
            .electricity
            .as_ref()
            .map_or(0.0, |price| price.value.per_j());
        let keeps = fields.heater.is_some() && fields.keeps_warm.value;
        if keeps && heat * price > HEAT_COUNTS * year.cost.total.mean {
            let edit = Edit {
                path: format!("vessels.{name}.keeps_warm"),
                text: "false".to_owned(),
            };
            add(Aim::Heat, vec![edit]);
        }
        if year.too_salty.mean > 0.3 && fields.lid.value != station::sections::Lid::Tight {
            add(
                Aim::Drift,
                vec![Edit::quoted(format!("vessels.{name}.lid"), "tight")],
            );
        }
    }
    // The largest change in two halves, twice as often.
    let salt_m3: f64 = station
        .vessels
        .iter()
        .zip(&plant.vessels)
        .filter(|(vessel, _)| vessel.fields.holds.value == Water::Salt)
        .map(|(_, built)| built.full_m3)
        .sum();
    let largest = station
        .tanks
        .iter()
        .zip(&plant.tanks)
        .filter_map(|(tank, built)| Some((tank, built.change?.0)))
        .max_by(|(_, a), (_, b)| a.total_cmp(b));
    if let Some((tank, volume_m3)) = largest
        && volume_m3 > LARGE_CHANGE * salt_m3
    {
        let path = |key: &str| format!("tanks.{}.{key}", tank.name);
        let every_s = 0.5 * tank.fields.change_every.value.s();
        let text = if every_s >= DAY_S {
            format!("{} days", libm::round(10.0 * every_s / DAY_S) / 10.0)
        } else {
            format!("{} h", libm::round(every_s / 3600.0).max(1.0))
        };
        let edits = vec![
            set_volume(station, path("change"), 0.5 * volume_m3, true),
            Edit::quoted(path("change_every"), &text),
        ];
        add(Aim::Salt, edits);
    }
    let waits_for = |reason: &str| {
        year.shortfalls
            .iter()
            .any(|row| row.reason == reason && row.hours.mean > 1.0)
    };
    if waits_for("no-time") {
        let stays_s = station.people.stays.value.s() + 3600.0;
        let text = format!("{} h", libm::round(stays_s / 360.0) / 10.0);
        add(Aim::Time, vec![Edit::quoted("people.stays", &text)]);
    }
    for holiday in &station.holidays {
        let every = holiday.fields.looks_in.as_ref().map(|every| every.value.s());
        if every.is_none_or(|every_s| every_s > 3.0 * DAY_S) {
            let path = format!("holidays.{}.looks_in", holiday.name);
            add(Aim::Absence, vec![Edit::quoted(path, "3 days")]);
        }
    }
    all
}
