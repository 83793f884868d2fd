//! What the tanks need: top-off, changes, emergencies; and what holds their pollutants down.

mod changes;
mod evaporation;
mod fresh_vessel;
mod pollutant;

use serde::Serialize;
use station::sections::{TopOff, Water};
use station::{Station, Tank};

use super::batch::{Batch, SaltBatch};
use super::delivered::delivered;
use crate::finding::Finding;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};
use changes::Thinned;
use evaporation::Evaporation;

pub(crate) use evaporation::months_after_coldest;

/// All tanks together.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Needs {
    /// Fresh water for top-off, m³/s.
    pub top_off_m3_per_s: f64,
    /// Salt water for regular changes, m³/s.
    pub salt_m3_per_s: f64,
    /// Fresh water in all, with what goes into salt water, m³/s.
    pub fresh_m3_per_s: f64,
    /// Largest single emergency change, m³.
    pub emergency_m3: f64,
    /// Salt water on a day when all changes fall together, m³.
    pub peak_day_salt_m3: f64,
    /// Fresh and salt water drawn on such a day, m³.
    pub peak_day_m3: f64,
    /// One entry for each tank.
    pub tanks: Vec<TankNeed>,
    #[serde(skip)]
    pub(crate) fresh: Option<NodeId>,
    #[serde(skip)]
    pub(crate) salt: Option<NodeId>,
    /// Top-off in summer and in winter.
    #[serde(skip)]
    pub(crate) top_off_by_season: Option<(NodeId, NodeId)>,
    /// Fresh water that goes into salt water: into batches, and into changes that are thinned where they are used.
    #[serde(skip)]
    pub(crate) fresh_for_salt: Option<NodeId>,
    /// Of it into batches.
    #[serde(skip)]
    pub(crate) fresh_in_batches: Option<NodeId>,
    /// Salt water that it makes.
    #[serde(skip)]
    pub(crate) salt_to_mix: Option<NodeId>,
}

/// One tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankNeed {
    /// The owner's name for it.
    pub name: String,
    /// Top-off with fresh water, m³/s.
    pub top_off_m3_per_s: f64,
    /// Top-off with salt water, m³/s.
    pub salt_top_off_m3_per_s: f64,
    /// Mean of its regular changes, m³/s.
    pub salt_m3_per_s: f64,
    /// One emergency change, m³.
    pub emergency_m3: f64,
    /// What its pollutant settles at before each change, kg/m³.
    pub pollutant_before_change_kg_m3: Option<f64>,
    /// Share of each change that holds it at its limit.
    pub fraction_to_hold: Option<f64>,
    /// Share of one change that brings it to its limit now.
    pub one_change_now: Option<f64>,
    /// Water passed through without a break that brings it to its limit now, m³.
    pub exchange_now_m3: Option<f64>,
    /// What evaporates from it in summer and in winter, whatever tops it off.
    #[serde(skip)]
    pub(crate) evaporation: Option<(NodeId, NodeId)>,
    /// Its top-off in the coldest month.
    #[serde(skip)]
    pub(crate) top_off: Option<NodeId>,
    /// Its regular changes.
    #[serde(skip)]
    pub(crate) salt: Option<NodeId>,
    /// Salt and fresh water in one of its changes, where it is kept weaker than the batch.
    #[serde(skip)]
    pub(crate) thinned: Option<Thinned>,
    /// Its top-off, where that is salt water.
    #[serde(skip)]
    pub(crate) salt_top_off: Option<NodeId>,
}

/// What all tanks add to.
#[derive(Default)]
struct Sums {
    top_off: Vec<Evaporation>,
    salt: Vec<NodeId>,
    changes: Vec<NodeId>,
    /// Fresh water that changes are thinned with: as a mean, and in one change each.
    thin: Vec<NodeId>,
    thin_at_once: Vec<NodeId>,
}

/// What the tanks need.
pub(crate) fn needs(
    station: &Station,
    batch: &Batch,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Needs {
    let mut out = Needs::default();
    let mut sums = Sums::default();
    for tank in &station.tanks {
        let need = one_tank(station, tank, batch, sheet, findings, &mut sums);
        out.emergency_m3 = out.emergency_m3.max(need.emergency_m3);
        out.tanks.push(need);
    }
    if station.tanks.is_empty() {
        return out;
    }
    let sum = |sheet: &mut Sheet, key: &str, title: &str, of: fn(&Evaporation) -> NodeId| {
        let nodes: Vec<NodeId> = sums.top_off.iter().map(of).collect();
        sheet.figure(key, title, &m::DAILY_SUM, &nodes).ok()
    };
    if let Some(id) = sum(sheet, "top-off", "fresh water for top-off", |e| e.mean) {
        out.top_off_m3_per_s = sheet.value(id);
        let topped_off: Vec<&str> = out
            .tanks
            .iter()
            .filter(|tank| tank.top_off_m3_per_s > 0.0)
            .map(|tank| tank.name.as_str())
            .collect();
        fresh_vessel::find(station, &topped_off, out.top_off_m3_per_s, findings);
        out.fresh = Some(id);
        out.top_off_by_season = Some((id, id));
    }
    if sums.top_off.iter().any(|e| e.summer != e.winter) {
        let summer = sum(
            sheet,
            "top-off-summer",
            "fresh water for top-off in summer",
            |e| e.summer,
        );
        let winter = sum(
            sheet,
            "top-off-winter",
            "fresh water for top-off in winter",
            |e| e.winter,
        );
        out.top_off_by_season = summer.zip(winter).or(out.top_off_by_season);
    }
    peak_day(&sums, &mut out, sheet);
    if let Ok(id) = sheet.figure(
        "salt-need",
        "salt water that the tanks take",
        &m::DAILY_SUM,
        &sums.salt,
    ) {
        sheet.headline(id);
        out.salt_m3_per_s = sheet.value(id);
        out.salt = Some(id);
    }
    out.fresh_m3_per_s = out.top_off_m3_per_s;
    let to_mix = out.salt.map(|salt| to_mix(station, salt, sheet));
    // Salt water is mostly fresh water; the mix and the first salt vessel say how much.
    let vessel = station
        .vessels
        .iter()
        .find(|vessel| vessel.fields.holds.value == Water::Salt);
    if let (Some(strength), Some(vessel), Some(top_off), Some(salt)) =
        (batch.strength_node, vessel, out.fresh, to_mix)
    {
        let target = sheet.given(&vessel.fields.target_salinity);
        let temperature = sheet.given(&vessel.fields.mixing_temperature);
        if let Ok(in_salt) = sheet.figure(
            "fresh-for-salt",
            "fresh water that goes into salt water",
            &m::SALT_RATE_AS_FRESH,
            &[salt, target, temperature, strength],
        ) {
            out.fresh_in_batches = Some(in_salt);
            out.salt_to_mix = Some(salt);
            let in_salt = with_what_thins(sheet, in_salt, &sums);
            out.fresh_for_salt = Some(in_salt);
            if let Ok(id) = sheet.figure(
                "fresh-need",
                "fresh water in all",
                &m::DAILY_SUM,
                &[top_off, in_salt],
            ) {
                sheet.headline(id);
                out.fresh_m3_per_s = sheet.value(id);
                out.fresh = Some(id);
            }
        }
    } else if let Some(id) = out.fresh {
        sheet.headline(id);
    }
    changes::emergency(station, batch, &out, findings);
    out
}

/// Fresh water that goes into batches, with what thins changes where they are used.
fn with_what_thins(sheet: &mut Sheet, in_batches: NodeId, sums: &Sums) -> NodeId {
    if sums.thin.is_empty() {
        return in_batches;
    }
    let mut parts = vec![in_batches];
    parts.extend(&sums.thin);
    sheet
        .figure(
            "fresh-with-salt",
            "fresh water that goes into salt water, with what thins changes where they are used",
            &m::DAILY_SUM,
            &parts,
        )
        .unwrap_or(in_batches)
}

/// Salt water that must be mixed: what the tanks take, less what is delivered.
fn to_mix(station: &Station, salt: NodeId, sheet: &mut Sheet) -> NodeId {
    let Ok(Some(delivered)) = delivered(station, Water::Salt, sheet) else {
        return salt;
    };
    sheet
        .figure(
            "salt-to-mix",
            "salt water to mix, beyond what is delivered",
            &m::NEED_BEYOND,
            &[salt, delivered],
        )
        .unwrap_or(salt)
}

/// Everything on one day: the changes of all tanks, and the top-off.
fn peak_day(sums: &Sums, out: &mut Needs, sheet: &mut Sheet) {
    let Some((summer, winter)) = out.top_off_by_season else {
        return;
    };
    let most = larger(sheet, summer, winter);
    let Ok(changes) = sheet.figure(
        "peak-day-salt",
        "salt water on a day when all changes fall together",
        &m::SUM_OF_VOLUMES,
        &sums.changes,
    ) else {
        return;
    };
    out.peak_day_salt_m3 = sheet.value(changes);
    let mut at_once = vec![changes];
    at_once.extend(&sums.thin_at_once);
    let all = match at_once.as_slice() {
        [_] => Ok(changes),
        parts => sheet.figure(
            "peak-day-changes",
            "water of all changes together, with what thins them",
            &m::SUM_OF_VOLUMES,
            parts,
        ),
    };
    let Ok(all) = all else { return };
    if let Ok(id) = sheet.figure(
        "peak-day",
        "water drawn on a day when all changes fall together",
        &m::PEAK_DAY,
        &[most, all],
    ) {
        sheet.headline(id);
        out.peak_day_m3 = sheet.value(id);
    }
}

/// The larger of two seasons.
fn larger(sheet: &Sheet, summer: NodeId, winter: NodeId) -> NodeId {
    match sheet.value(summer) > sheet.value(winter) {
        true => summer,
        false => winter,
    }
}

impl Needs {
    /// Top-off of all tanks in the season that takes most.
    pub(crate) fn most_top_off(&self, sheet: &Sheet) -> Option<NodeId> {
        self.top_off_by_season
            .map(|(summer, winter)| larger(sheet, summer, winter))
    }

    /// Fresh water in all in the season that takes most.
    pub(crate) fn fresh_in_worst_season(&self, sheet: &mut Sheet) -> Option<NodeId> {
        let most = self.most_top_off(sheet)?;
        match self.fresh_for_salt {
            _ if self.season_of_most(sheet).is_empty() => self.fresh,
            None => Some(most),
            Some(in_salt) => sheet
                .figure(
                    "fresh-need-worst",
                    "fresh water in all, in the season that takes most",
                    &m::DAILY_SUM,
                    &[most, in_salt],
                )
                .ok(),
        }
    }

    /// That season in a title, where they differ.
    pub(crate) fn season_of_most(&self, sheet: &Sheet) -> &'static str {
        match self.top_off_by_season {
            Some((summer, winter)) if sheet.value(summer) > sheet.value(winter) => ", in summer",
            Some((summer, winter)) if sheet.value(summer) < sheet.value(winter) => ", in winter",
            _ => "",
        }
    }
}

fn one_tank(
    station: &Station,
    tank: &Tank,
    batch: &Batch,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
    sums: &mut Sums,
) -> TankNeed {
    let name = &tank.name;
    let fields = &tank.fields;
    let evaporation = evaporation::evaporation(station, tank, sheet);
    evaporation::computed(tank, sheet, findings);
    let volume = sheet.given(&fields.volume);
    let mut top_off_m3_per_s = 0.0;
    if let Some(evaporation) = evaporation {
        match fields.top_off.value {
            TopOff::Fresh => {
                top_off_m3_per_s = sheet.value(evaporation.mean);
                sums.top_off.push(evaporation);
            }
            TopOff::Salt => {
                sums.salt.push(evaporation.mean);
                evaporation::drift(station, tank, batch, evaporation.mean, volume, sheet, findings);
            }
        }
    }
    let mut need = TankNeed {
        name: name.clone(),
        top_off_m3_per_s,
        salt_top_off_m3_per_s: 0.0,
        salt_m3_per_s: 0.0,
        emergency_m3: 0.0,
        pollutant_before_change_kg_m3: None,
        fraction_to_hold: None,
        one_change_now: None,
        exchange_now_m3: None,
        evaporation: evaporation.map(|evaporation| (evaporation.summer, evaporation.winter)),
        top_off: None,
        salt: None,
        thinned: None,
        salt_top_off: None,
    };
    let share = sheet.given(&fields.emergency_change);
    if let Ok(id) = sheet.figure(
        format!("{name}.emergency"),
        format!("{name}: salt water for one emergency change"),
        &m::EMERGENCY_VOLUME,
        &[share, volume],
    ) {
        need.emergency_m3 = sheet.value(id);
    }
    let every = sheet.given(&fields.change_every);
    let change = fields.change.as_ref().map(|change| sheet.given(change));
    need.thinned = change.and_then(|change| changes::thinned(station, tank, change, batch, sheet));
    if let Some(thinned) = need.thinned
        && let Ok(id) = sheet.figure(
            format!("{name}.thin-need"),
            format!("{name}: fresh water that thins its changes"),
            &m::CHANGE_RATE,
            &[thinned.fresh, every],
        )
    {
        sums.thin.push(id);
        sums.thin_at_once.push(thinned.fresh);
    }
    if let Some(change) = need.thinned.map(|own| own.salt).or(change)
        && let Ok(id) = sheet.figure(
            format!("{name}.salt-need"),
            format!("{name}: salt water for regular changes"),
            &m::CHANGE_RATE,
            &[change, every],
        )
    {
        need.salt_m3_per_s = sheet.value(id);
        need.salt = Some(id);
        sums.salt.push(id);
        sums.changes.push(change);
    }
    need.top_off = evaporation
        .filter(|_| fields.top_off.value == TopOff::Fresh)
        .map(|evaporation| larger(sheet, evaporation.summer, evaporation.winter));
    need.salt_top_off = evaporation
        .filter(|_| fields.top_off.value == TopOff::Salt)
        .map(|evaporation| evaporation.mean);
    need.salt_top_off_m3_per_s = need.salt_top_off.map_or(0.0, |id| sheet.value(id));
    pollutant::pollutant(station, tank, change, every, volume, sheet, findings, &mut need);
    changes::other_salinity(station, tank, batch, sheet, findings);
    need
}

/// The target salinity of the vessel that a batch is made in.
fn target_of(station: &Station, batch: Option<&SaltBatch>, sheet: &mut Sheet) -> Option<NodeId> {
    let vessel = station.vessel(&batch?.vessel)?;
    Some(sheet.given(&vessel.fields.target_salinity))
}
