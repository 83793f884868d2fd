//! The plant of a station's years as plain data with the chance of each made beforehand, so that others can simulate them,
//! too, and what they come to here. By the values of the file, at the coarse pace.

use serde::Serialize;
use station::Station;
use station::control::{Learned, Mark};
use station::sections::Water;

use super::YearFault;
use super::outside_plant::{
    PlainFeed, PlainMix, PlainPeople, PlainPlant, PlainPurifier, PlainSwitch, PlainTank, PlainTimes,
    PlainVessel, PlainWarmth, PlainWay,
};
use super::prepare::{Prepared, prepare};
use super::run::{BEFORE_DAYS, in_rhythm, one_year};
use crate::plant::{Chance, DAY_S, Plant, State, Stop, Tally, Vessel, Way, YEAR_DAYS, YEAR_S, visit_on};

/// Years of a station by the values of its file.
pub struct PlainYears {
    prepared: Prepared,
    seed: u64,
    /// What the years so far taught of the control's steps.
    learned: Learned,
}

/// What chance brings in one year and in the days before it, from which it finds its rhythm. Times are since the beginning
/// of the year, s.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainDraws {
    /// When the simulation begins: below 0.
    pub from_s: f64,
    /// Who comes when, by the day.
    pub visits: Vec<PlainVisit>,
    /// When trouble begins, tank by tank.
    pub emergencies_s: Vec<Vec<f64>>,
    /// Odd states of the feed in their order.
    pub odd_feeds: Vec<PlainOddFeed>,
    /// The day of each tank's first change; `None` where it has none.
    pub change_day: Vec<Option<f64>>,
}

/// Somebody comes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PlainVisit {
    /// On this day, from 0 at the beginning of the year.
    pub day: i64,
    /// At this time.
    pub at_s: f64,
    /// For so long.
    pub stays_s: f64,
    /// Only for top-off and emergencies.
    pub looks_in: bool,
}

/// An odd state of the feed begins.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PlainOddFeed {
    /// At this time.
    pub at_s: f64,
    /// Which one, among those of the purifier.
    pub feed: usize,
    /// It ends at this time, if no other comes before.
    pub ends_s: f64,
}

/// What one year came to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainTotals {
    /// Runs of the purifier that ended.
    pub runs: usize,
    /// Time that it ran, s.
    pub running_s: f64,
    /// Purified water into vessels, m³.
    pub permeate_m3: f64,
    /// Water to the drain, m³.
    pub reject_m3: f64,
    /// Charge that reached the resin, mol.
    pub load_mol: f64,
    /// Batches of salt water.
    pub batches: u32,
    /// Salt water that was mixed, m³.
    pub batch_m3: f64,
    /// Dry mix, kg.
    pub mix_kg: f64,
    /// Fresh water to the tanks, m³.
    pub fresh_to_tanks_m3: f64,
    /// Salt water to the tanks, m³.
    pub salt_to_tanks_m3: f64,
    /// People's time: top-off, changes, batches, measuring, emergencies, s.
    pub work_s: [f64; 5],
    /// Buckets carried.
    pub carries: f64,
    /// Visits.
    pub visits: u32,
    /// Time that something due had to wait: no fresh water, mixing, no salt water, no time left, s.
    pub waited_s: [f64; 4],
    /// Time that less than the reserve was ready, fresh and salt, s.
    pub under_reserve_s: [f64; 2],
    /// Emergencies, and those that found all their water ready.
    pub emergencies: u32,
    /// Those that found all their water ready.
    pub met_at_once: u32,
    /// Those that were met, and the sum of their waits, s.
    pub met: usize,
    /// The sum of their waits, s.
    pub met_after_s: f64,
    /// The least fresh and salt water at hand at a midnight of each week, m³, summed over the weeks.
    pub least_m3: [f64; 2],
    /// Events that it was walked through in.
    pub events: u64,
}

impl PlainYears {
    /// Of a station.
    ///
    /// # Errors
    /// [`YearFault`].
    pub fn of(station: &Station, seed: u64) -> Result<Self, YearFault> {
        let prepared = prepare(station, false)?;
        Ok(Self {
            prepared,
            seed,
            learned: Learned::nothing(),
        })
    }

    /// Simulates one of them.
    ///
    /// # Errors
    /// [`YearFault::Refused`] where the plant can't be driven.
    pub fn simulate(&mut self, year: u64) -> Result<PlainTotals, YearFault> {
        let chance = Chance::new(self.seed, year);
        let year = one_year(&self.prepared.nominal, chance, &mut self.learned)?;
        Ok(totals(&year.tally))
    }

    /// Simulates no more than the days before one of them, for a measure of the year by itself.
    ///
    /// # Errors
    /// As [`simulate`](Self::simulate).
    pub fn simulate_before(&mut self, year: u64) -> Result<(), YearFault> {
        let plant = &self.prepared.nominal;
        let chance = Chance::new(self.seed, year);
        let mut state = in_rhythm(plant, chance, &mut self.learned)?;
        let program = &plant.wiring.program;
        state.control.swap_learned(program, &mut self.learned);
        Ok(())
    }

    /// The chance of one of them.
    pub fn draws(&self, year: u64) -> PlainDraws {
        let plant = &self.prepared.nominal;
        let chance = Chance::new(self.seed, year);
        let from_s = -BEFORE_DAYS * DAY_S;
        let state = State::begin(plant, from_s, chance);
        let mut emergencies_s = vec![Vec::new(); plant.tanks.len()];
        for (at, (own, begun)) in plant.tanks.iter().zip(&state.tanks).enumerate() {
            let mut now = *begun;
            while now.next_emergency_s < YEAR_S {
                emergencies_s[at].push(now.next_emergency_s);
                now.emergencies += 1;
                now.draw_emergency(own, chance);
            }
        }
        PlainDraws {
            from_s,
            visits: (-BEFORE_DAYS as i64..=i64::from(YEAR_DAYS))
                .filter_map(|day| {
                    let visit = visit_on(plant, chance, day)?;
                    Some(PlainVisit {
                        day,
                        at_s: visit.at_s,
                        stays_s: visit.stays_s,
                        looks_in: visit.looks_in,
                    })
                })
                .collect(),
            emergencies_s,
            odd_feeds: odd_feeds(plant, &state, chance),
            change_day: state
                .change_day
                .iter()
                .map(|day| day.is_finite().then_some(*day))
                .collect(),
        }
    }

    /// Their plant.
    pub fn plant(&self) -> PlainPlant {
        let plant = &self.prepared.nominal;
        PlainPlant {
            water_kg_m3: plant.brine.water_kg_m3,
            salt_m3_kg: plant.brine.salt_m3_kg,
            vessels: (0..plant.vessels.len()).map(|at| vessel(plant, at)).collect(),
            purifier: purifier(plant),
            tanks: plant
                .tanks
                .iter()
                .map(|tank| PlainTank {
                    name: tank.name.clone(),
                    top_off_m3_s: tank.top_off_m3_s.0,
                    top_off: holds(tank.top_off),
                    change_m3: tank.change.map(|(volume_m3, _)| volume_m3),
                    thin_m3: tank.thin_m3,
                    change_every_days: tank.change.map(|(_, days)| days),
                    emergency_m3: tank.emergency.map(|(volume_m3, _)| volume_m3),
                })
                .collect(),
            people: PlainPeople {
                change_s: plant.people.change_s,
                measuring_s: plant.people.measuring_s,
                batch_s: plant.people.batch_s,
            },
            mix: PlainMix {
                strength: plant.mix.strength,
                mixing_s: plant.mix.mixing_s,
                emergency_s: plant.mix.emergency_s,
                below_m3: plant.mix.below_m3,
            },
            between: ways(plant, &plant.ways.between),
            to_tank: ways(plant, &plant.ways.to_tank),
            reserve_m3: plant.reserve_m3,
            room_c: plant.room_c.0,
            laid_up: plant
                .people
                .calendar
                .holidays
                .iter()
                .any(|holiday| holiday.laid_up),
            delivered: plant.deliveries.iter().any(|delivery| delivery.every_s.is_some()),
        }
    }
}

fn odd_feeds(plant: &Plant, state: &State, chance: Chance) -> Vec<PlainOddFeed> {
    let mut all = Vec::new();
    let feeds = plant.purifier.as_ref().map_or(&[][..], |own| &own.feeds);
    for (feed, (own, (first_s, first))) in feeds.iter().zip(&state.feed_next).enumerate() {
        let Some(comes) = own.comes else { continue };
        let (mut at_s, mut count) = (*first_s, *first);
        while at_s < YEAR_S {
            all.push(PlainOddFeed {
                at_s,
                feed,
                ends_s: at_s + comes.lasts_s,
            });
            at_s = comes.next_s(comes.earliest_again_s(at_s), chance, count);
            count += 1;
        }
    }
    all.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    all
}

fn holds(water: Water) -> &'static str {
    match water {
        Water::Fresh => "fresh",
        Water::Salt => "salt",
    }
}

fn mark(mark: Mark) -> &'static str {
    match mark {
        Mark::LowCutout => "low cut-out",
        Mark::HeaterLevel => "heater level",
        Mark::Start => "start",
        Mark::Stop => "stop",
        Mark::Backup => "backup",
        Mark::High => "high",
    }
}

fn vessel(plant: &Plant, at: usize) -> PlainVessel {
    let own: &Vessel = &plant.vessels[at];
    PlainVessel {
        name: own.name.clone(),
        holds: holds(own.holds),
        full_m3: own.full_m3,
        low_m3: own.low_m3,
        target: own.target,
        evaporation_m3_s: own.evaporation_m3_s.0,
        switches: plant.wiring.switches[at]
            .iter()
            .map(|switch| PlainSwitch {
                mark: mark(switch.mark),
                wets_m3: switch.wets_m3,
                dries_m3: switch.dries_m3,
            })
            .collect(),
        float_m3: own.float_m3,
        warmth: own.heat.map(|heat| PlainWarmth {
            set_c: heat.set_c,
            heater_w: heat.heater_w,
            loss_w_k: heat.loss_w_k,
            capacity_j_m3_k: heat.capacity_j_m3_k,
            keeps_warm: heat.keeps_warm,
        }),
    }
}

fn purifier(plant: &Plant) -> Option<PlainPurifier> {
    let own = plant.purifier.as_ref()?;
    Some(PlainPurifier {
        fills: own.fills.clone(),
        feeds: own
            .feeds
            .iter()
            .map(|feed| PlainFeed {
                permeate_m3_s: feed.permeate_m3_s.0,
                reject_m3_s: feed.reject_m3_s.0,
                solids_kg_m3: feed.solids_kg_m3.0,
                feed_kg_m3: feed.feed_kg_m3,
            })
            .collect(),
        reject_runs_on: own.stop == Stop::RejectRunsOn,
        by_switches: own.electric && !own.attended,
        flush_m3: own.flush_m3,
        hold_up_m3: own.hold_up_m3,
        rest_share: own.rest_share,
        rest_s: own.rest_s,
        salt_mol_kg: own.salt_mol_kg,
        gas_mol_m3: own.gas_mol_m3,
        float_mol_m3: own.float_mol_m3,
    })
}

fn ways(plant: &Plant, all: &[Vec<Way>]) -> Vec<Vec<PlainWay>> {
    let plain = |way: &Way| PlainWay {
        rate_m3_s: way.rate_m3_s,
        bucket_m3: way.bucket_m3,
        times: way
            .lineup
            .and_then(|lineup| plant.ways.times.get(lineup)?.as_ref())
            .map(|times| PlainTimes {
                source_m3: times.source_m3.clone(),
                seconds: times.seconds.clone(),
            }),
    };
    all.iter().map(|row| row.iter().map(plain).collect()).collect()
}

fn totals(tally: &Tally) -> PlainTotals {
    PlainTotals {
        runs: tally.runs_m3.len(),
        running_s: tally.running_s,
        permeate_m3: tally.permeate_m3,
        reject_m3: tally.reject_m3 + tally.flushed_m3,
        load_mol: tally.load_mol,
        batches: tally.batches,
        batch_m3: tally.batch_m3,
        mix_kg: tally.mix_kg,
        fresh_to_tanks_m3: tally.to_tanks_m3[0],
        salt_to_tanks_m3: tally.to_tanks_m3[1],
        work_s: tally.work_s,
        carries: tally.carries,
        visits: tally.visits,
        waited_s: tally.waited_s,
        under_reserve_s: tally.under_reserve_s,
        emergencies: tally.emergencies,
        met_at_once: tally.met_at_once,
        met: tally.met_after_s.len(),
        met_after_s: tally.met_after_s.iter().sum(),
        least_m3: tally.least_m3.map(|weeks| weeks.iter().sum()),
        events: tally.events,
    }
}
