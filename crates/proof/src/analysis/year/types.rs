//! What many years come to together, as plain data.

use serde::Serialize;

use super::changes::TriedChange;
use crate::finding::Finding;

/// One figure over all years.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Over {
    /// Mean of the years.
    pub mean: f64,
    /// Ends of the 95 % interval of that mean: what more years would narrow.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
    /// One year in twenty has less.
    pub p05: f64,
    /// One year in twenty has more.
    pub p95: f64,
}

/// Many years of a station.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Year {
    /// Years that were simulated.
    pub years: u32,
    /// What their chance began with: the same seed, the same years.
    pub seed: u64,
    /// Draws of what is doubtful; 0 where nothing is, or where only the values of the file were asked for.
    pub draws: u32,
    /// Runs of the purifier in a year.
    pub runs: Over,
    /// Water of one run, m³; the 5 and 95 % points are over all runs.
    pub run_volume_m3: Over,
    /// How often runs were of which volume: twelve even bins from nothing to the largest; empty where nothing ran.
    pub run_volumes: Vec<RunBin>,
    /// Time that the purifier ran, s.
    pub running_s: Over,
    /// Purified water that came into vessels, m³.
    pub permeate_m3: Over,
    /// Water to the drain, with what was flushed, m³.
    pub reject_m3: Over,
    /// Water from the tap, m³.
    pub feed_m3: Over,
    /// Purified water to a bed of resin, L; `None` without resin.
    pub resin_litres_per_bed: Option<Over>,
    /// Beds that were used up; `None` without resin.
    pub beds: Option<Over>,
    /// Each filter: how many were used up.
    pub filters: Vec<Wear>,
    /// Batches of salt water.
    pub batches: Over,
    /// Salt water that was mixed, m³.
    pub mixed_m3: Over,
    /// Dry salt mix, kg.
    pub mix_kg: Over,
    /// Fresh water to the tanks, m³.
    pub fresh_to_tanks_m3: Over,
    /// Salt water to the tanks, m³.
    pub salt_to_tanks_m3: Over,
    /// Water that was delivered, m³.
    pub delivered_m3: Over,
    /// People's time by what it went into, s.
    pub work: Vec<WorkTime>,
    /// People's time in all, s.
    pub work_s: Over,
    /// Buckets and cans carried.
    pub carries: Over,
    /// Visits.
    pub visits: Over,
    /// Electric energy, by what took it, J.
    pub energy: Vec<EnergyUse>,
    /// What it cost, in the station's currency.
    pub cost: YearCost,
    /// Hours in which a tank waited for something that was due.
    pub shortfall_hours: Over,
    /// Share of the years in which anything waited, with its 95 % interval.
    pub shortfall_years: Option<Share>,
    /// The same by its reason, those that happened, longest first.
    pub shortfalls: Vec<Shortfall>,
    /// Hours in which less fresh water than the reserve was ready; `None` without one.
    pub fresh_under_reserve_hours: Option<Over>,
    /// The same for salt water.
    pub salt_under_reserve_hours: Option<Over>,
    /// Emergencies, and how they were met.
    pub emergencies: Emergencies,
    /// What was ready through the year, week by week.
    pub reserve: Vec<Week>,
    /// The week in which fresh water is least sure; `None` without a reserve of it.
    pub fresh_leanest: Option<Leanest>,
    /// The same for salt water.
    pub salt_leanest: Option<Leanest>,
    /// Mean age of the fresh water that was drawn, s.
    pub fresh_age_s: Over,
    /// The oldest in a year.
    pub oldest_fresh_s: Over,
    /// Mean age of the salt water that was drawn, from its last reading, s.
    pub salt_age_s: Over,
    /// The oldest in a year.
    pub oldest_salt_s: Over,
    /// Salt water that was drawn after the time within which its maker wants it used, m³.
    pub stale_m3: Over,
    /// How far salt water in use was above its target at worst in a year, in practical salinity: what evaporated.
    pub too_salty: Over,
    /// How far below.
    pub too_fresh: Over,
    /// Alarms that somebody found and reset.
    pub alarms: Over,
    /// Largest share of the water that the books of a year didn't hold.
    pub residual_water: f64,
    /// Of the salt.
    pub residual_salt: f64,
    /// Events that a year was walked through in, as a mean.
    pub events: f64,
    /// What the file asks for and these years don't follow, each in a sentence; empty for most stations.
    pub not_followed: Vec<String>,
    /// Changes that were tried in the same chance, whether or not they help.
    pub changes: Vec<TriedChange>,
    /// What there is to say, worst first; each remedy is one of the changes.
    pub findings: Vec<Finding>,
    /// Which of the changes is most worth making; `None` where none is.
    pub best_change: Option<usize>,
}

/// Runs of about one volume.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RunBin {
    /// From this volume on, m³.
    pub from_m3: f64,
    /// Up to this one, m³; the largest run is in the last.
    pub to_m3: f64,
    /// Mean number of such runs in a year.
    pub runs_a_year: f64,
}

/// A filter's wear.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wear {
    /// Its name.
    pub name: String,
    /// How many of it a year uses up.
    pub used: Over,
}

/// People's time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WorkTime {
    /// `top-off`, `changes`, `batches`, `measuring`, `emergencies`.
    pub what: &'static str,
    /// Time, s.
    pub time_s: Over,
}

/// Electric energy.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EnergyUse {
    /// `heaters`, `pumps`, `booster`.
    pub what: &'static str,
    /// Energy, J.
    pub energy_j: Over,
}

/// What a year cost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct YearCost {
    /// In all, as far as prices are given.
    #[serde(flatten)]
    pub total: Over,
    /// By item, dearest first.
    pub items: Vec<CostItem>,
    /// What has no price in the file.
    pub unpriced: Vec<&'static str>,
    /// The currency.
    pub currency: String,
}

/// One item.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CostItem {
    /// `tap water`, `resin`, `filters`, `membranes`, `salt`, `electricity`, `work`, `deliveries`.
    pub item: &'static str,
    /// Its cost.
    pub cost: Over,
    /// Its share of the whole, as means; 0 where nothing costs anything.
    pub share: f64,
}

/// Time that something had to wait.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Shortfall {
    /// Stable name of the reason.
    pub reason: &'static str,
    /// The reason in words.
    pub because: &'static str,
    /// Hours in a year.
    pub hours: Over,
    /// Share of the years in which it happened.
    pub share_of_years: f64,
}

/// Emergencies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Emergencies {
    /// In a year.
    pub count: Over,
    /// All of them, over all years.
    pub all: u32,
    /// Share of those that somebody saw that found all their water ready then, with its 95 % interval (Wilson); `None` where
    /// there was none.
    pub met_at_once: Option<Share>,
    /// Time from when somebody knew until the change was done: median and the time that one in twenty exceeds, s.
    pub median_wait_s: Option<f64>,
    /// One in twenty waits longer, s.
    pub p95_wait_s: Option<f64>,
    /// The longest of all, s.
    pub longest_wait_s: Option<f64>,
}

/// A share with its interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Share {
    /// The share.
    pub share: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// The least that was ready in a week.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Week {
    /// From 1.
    pub week: u32,
    /// Fresh water, m³.
    pub fresh: Band,
    /// Salt water, m³.
    pub salt: Band,
}

/// Where most years lie.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// One year in twenty has less.
    pub p05: f64,
    /// Half of the years have less.
    pub median: f64,
    /// One year in twenty has more.
    pub p95: f64,
}

/// The week in which the reserve is least sure: the one in which one year in twenty has the least at a midnight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Leanest {
    /// The week, from 1.
    pub week: u32,
    /// The month that its middle day lies in.
    pub month: &'static str,
    /// The reserve that the owner wants, m³.
    pub reserve_m3: f64,
    /// What one year in twenty falls under then, m³.
    pub p05_m3: f64,
    /// Weeks in which one year in twenty has less than the reserve.
    pub weeks_under: u32,
}
