//! From the years one by one to what they come to together.

use station::Station;

use super::cost::cost;
use super::prepare::Prepared;
use super::reserve::{leanest, weeks};
use super::run::OneYear;
use super::statistics::at;
use super::types::{Emergencies, EnergyUse, Over, RunBin, Share, Shortfall, Wear, WorkTime, Year};
use crate::plant::{Reason, Tally, Work};

const HOUR_S: f64 = 3600.0;

/// Sums them up.
pub(crate) fn summary(station: &Station, prepared: &Prepared, all: &[OneYear], seed: u64) -> Year {
    let over = |of: &dyn Fn(&OneYear) -> f64| Over::of(&all.iter().map(of).collect::<Vec<f64>>());
    let of = |of: fn(&Tally) -> f64| over(&|year: &OneYear| of(&year.tally));
    let resin = prepared
        .nominal
        .purifier
        .as_ref()
        .is_some_and(|purifier| purifier.bed_mol.is_some());
    let beds: Vec<f64> = all.iter().filter_map(OneYear::beds).collect();
    let permeate: Vec<f64> = all.iter().map(|year| year.tally.permeate_m3).collect();
    let reserve_hours = |at: usize| {
        (prepared.nominal.reserve_m3[at] > 0.0)
            .then(|| over(&|year: &OneYear| year.tally.under_reserve_s[at] / HOUR_S))
    };
    let largest = |of: fn(&OneYear) -> f64| all.iter().map(of).fold(0.0, f64::max);
    let reserve = weeks(all);
    Year {
        years: all.len() as u32,
        seed,
        draws: prepared.drawn.len() as u32,
        runs: of(|tally| tally.runs_m3.len() as f64),
        run_volume_m3: run_volume(all),
        run_volumes: run_volumes(all),
        running_s: of(|tally| tally.running_s),
        permeate_m3: of(|tally| tally.permeate_m3),
        reject_m3: of(|tally| tally.reject_m3 + tally.flushed_m3),
        feed_m3: over(&OneYear::feed_m3),
        resin_litres_per_bed: resin.then(|| per_bed(&permeate, &beds)),
        beds: resin.then(|| Over::of(&beds)),
        filters: wear(station, all),
        batches: of(|tally| f64::from(tally.batches)),
        mixed_m3: of(|tally| tally.batch_m3),
        mix_kg: of(|tally| tally.mix_kg),
        fresh_to_tanks_m3: of(|tally| tally.to_tanks_m3[0]),
        salt_to_tanks_m3: of(|tally| tally.to_tanks_m3[1]),
        delivered_m3: of(|tally| tally.delivered_m3.iter().sum()),
        work: Work::ALL
            .iter()
            .enumerate()
            .map(|(at, work)| WorkTime {
                what: work.word(),
                time_s: over(&|year: &OneYear| year.tally.work_s[at]),
            })
            .collect(),
        work_s: of(|tally| tally.work_s.iter().sum()),
        carries: of(|tally| tally.carries),
        visits: of(|tally| f64::from(tally.visits)),
        energy: ["heaters", "pumps", "booster"]
            .into_iter()
            .enumerate()
            .map(|(at, what)| EnergyUse {
                what,
                energy_j: over(&|year: &OneYear| year.tally.energy_j[at]),
            })
            .collect(),
        cost: cost(station, all),
        shortfall_hours: of(|tally| tally.waited_s.iter().sum::<f64>() / HOUR_S),
        shortfall_years: Share::of(
            all.iter()
                .filter(|year| year.tally.waited_s.iter().any(|waited| *waited > 0.0))
                .count() as u32,
            all.len() as u32,
        ),
        shortfalls: shortfalls(all),
        fresh_under_reserve_hours: reserve_hours(0),
        salt_under_reserve_hours: reserve_hours(1),
        emergencies: emergencies(all),
        fresh_leanest: leanest(&reserve, |week| week.fresh, prepared.nominal.reserve_m3[0]),
        salt_leanest: leanest(&reserve, |week| week.salt, prepared.nominal.reserve_m3[1]),
        reserve,
        fresh_age_s: age(all, 0),
        oldest_fresh_s: of(|tally| tally.oldest_s[0]),
        salt_age_s: age(all, 1),
        oldest_salt_s: of(|tally| tally.oldest_s[1]),
        stale_m3: of(|tally| tally.stale_m3),
        too_salty: of(|tally| tally.too_salty),
        too_fresh: of(|tally| tally.too_fresh),
        alarms: of(|tally| f64::from(tally.alarms)),
        residual_water: largest(|year| year.residual_water),
        residual_salt: largest(|year| year.residual_salt),
        events: of(|tally| tally.events as f64).mean,
        not_followed: super::unfollowed(station, &prepared.nominal),
        changes: Vec::new(),
        findings: Vec::new(),
        best_change: None,
    }
}

fn run_volume(all: &[OneYear]) -> Over {
    let sums: Vec<f64> = all.iter().map(|year| year.tally.runs_m3.iter().sum()).collect();
    let counts: Vec<f64> = all.iter().map(|year| year.tally.runs_m3.len() as f64).collect();
    let each: Vec<f64> = all
        .iter()
        .flat_map(|year| year.tally.runs_m3.iter().copied())
        .collect();
    Over::ratio(&sums, &counts, &each)
}

/// Bins of the run volumes.
const BINS: usize = 12;

fn run_volumes(all: &[OneYear]) -> Vec<RunBin> {
    let each = || all.iter().flat_map(|year| year.tally.runs_m3.iter().copied());
    let largest = each().fold(0.0, f64::max);
    if largest <= 0.0 {
        return Vec::new();
    }
    let width = largest / BINS as f64;
    let mut counts = [0_u32; BINS];
    for run in each() {
        counts[((run / width) as usize).min(BINS - 1)] += 1;
    }
    counts
        .iter()
        .enumerate()
        .map(|(at, count)| RunBin {
            from_m3: at as f64 * width,
            to_m3: (at + 1) as f64 * width,
            runs_a_year: f64::from(*count) / all.len() as f64,
        })
        .collect()
}

fn per_bed(permeate: &[f64], beds: &[f64]) -> Over {
    let litres: Vec<f64> = permeate.iter().map(|m3| 1000.0 * m3).collect();
    let each: Vec<f64> = litres
        .iter()
        .zip(beds)
        .filter(|(_, beds)| **beds > 0.0)
        .map(|(litres, beds)| litres / beds)
        .collect();
    Over::ratio(&litres, beds, &each)
}

fn age(all: &[OneYear], at: usize) -> Over {
    let ages: Vec<f64> = all.iter().map(|year| year.tally.age_m3_s[at]).collect();
    let drawn: Vec<f64> = all.iter().map(|year| year.tally.drawn_m3[at]).collect();
    let each: Vec<f64> = ages
        .iter()
        .zip(&drawn)
        .filter(|(_, drawn)| **drawn > 0.0)
        .map(|(age, drawn)| age / drawn)
        .collect();
    Over::ratio(&ages, &drawn, &each)
}

fn wear(station: &Station, all: &[OneYear]) -> Vec<Wear> {
    let filters = station
        .purifier
        .as_ref()
        .map_or(&[][..], |purifier| &purifier.filters);
    filters
        .iter()
        .map(|filter| Wear {
            name: filter.name.clone(),
            used: Over::of(
                &all.iter()
                    .map(|year| year.filter_wear(&filter.fields))
                    .collect::<Vec<f64>>(),
            ),
        })
        .collect()
}

fn shortfalls(all: &[OneYear]) -> Vec<Shortfall> {
    let mut rows: Vec<Shortfall> = Reason::ALL
        .iter()
        .enumerate()
        .filter_map(|(at, reason)| {
            let hours: Vec<f64> = all.iter().map(|year| year.tally.waited_s[at] / HOUR_S).collect();
            let years = hours.iter().filter(|hours| **hours > 0.0).count();
            (years > 0).then(|| Shortfall {
                reason: reason.key(),
                because: reason.words(),
                hours: Over::of(&hours),
                share_of_years: years as f64 / all.len() as f64,
            })
        })
        .collect();
    rows.sort_by(|a, b| b.hours.mean.total_cmp(&a.hours.mean));
    rows
}

fn emergencies(all: &[OneYear]) -> Emergencies {
    let counts: Vec<f64> = all.iter().map(|year| f64::from(year.tally.emergencies)).collect();
    let at_once: u32 = all.iter().map(|year| year.tally.met_at_once).sum();
    let mut waits: Vec<f64> = all
        .iter()
        .flat_map(|year| year.tally.met_after_s.iter().copied())
        .collect();
    waits.sort_by(f64::total_cmp);
    // Whoever knew of one and had no water for it to the end of the year counts as well.
    let seen = waits.len() as u32 + all.iter().map(|year| year.tally.unmet).sum::<u32>();
    let wait = |share: f64| (!waits.is_empty()).then(|| at(&waits, share));
    Emergencies {
        count: Over::of(&counts),
        all: all.iter().map(|year| year.tally.emergencies).sum(),
        met_at_once: Share::of(at_once, seen),
        median_wait_s: wait(0.5),
        p95_wait_s: wait(0.95),
        longest_wait_s: wait(1.0),
    }
}
