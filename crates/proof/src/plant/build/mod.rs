//! The plant of a station: its numbers read from the sheet, by their values or by one draw of what is doubtful.

mod purifier;
mod vessel;

use std::sync::Arc;

use station::Station;
use station::control::{Mark, Program};
use station::sections::{TopOff, Water};

use crate::assess::Assessment;
use crate::method::Refusal;
use crate::plant::amount::Brine;
use crate::plant::body::{Comes, Delivery, Mix, People, Plant, Tank, Vessel};
use crate::plant::calendar::{Calendar, Holiday};
use crate::plant::control::Wiring;
use crate::plant::season::Wave;
use crate::plant::ways::{Times, Ways};
use crate::plant::{DAY_S, NameKey, YEAR_DAYS};
use crate::sheet::NodeId;

use purifier::purifier;
use vessel::{mark_volume_m3, vessel};

/// Reads a node: its value, or what one draw made of it.
pub(crate) trait Reader {
    /// The number behind a node.
    fn read(&mut self, node: NodeId) -> f64;
}

impl<F: FnMut(NodeId) -> f64> Reader for F {
    fn read(&mut self, node: NodeId) -> f64 {
        self(node)
    }
}

/// What is known of the station before its plant is built; the same for every draw.
pub(crate) struct Known<'a> {
    pub(crate) station: &'a Station,
    pub(crate) assessment: &'a Assessment,
    pub(crate) program: Arc<Program>,
    /// Odd states of the feed, each over the usual one: permeate, reject, salt of the permeate by month, salt of the feed;
    /// nothing where no water comes then.
    pub(crate) odd: Vec<Odd>,
    /// Cumulative times of the tasks, by the network.
    pub(crate) times: Vec<Option<Arc<Times>>>,
}

/// An odd state of the feed, as shares of the usual one.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Odd {
    pub(crate) permeate: [f64; 12],
    pub(crate) reject: [f64; 12],
    pub(crate) solids: [f64; 12],
    pub(crate) feed: f64,
    pub(crate) comes: Comes,
}

/// How an odd state that has no duration lasts, s (house rule).
pub(crate) const USUAL_ODD_S: f64 = 7.0 * DAY_S;
/// Time until a batch is mixed well enough for a reading where the network tells none, s (house rule: by a paddle).
const BY_PADDLE_S: f64 = 1800.0;
/// Share of what full salt vessels hold at which the next batch is mixed at the latest, whatever the reserve (house rule: a
/// vessel that must always be full could never be drawn from).
const BELOW: f64 = 0.75;

/// Builds the plant.
///
/// # Errors
/// [`Refusal`] where densities or temperatures lie outside what is known.
pub(crate) fn build(known: &Known<'_>, reader: &mut dyn Reader) -> Result<Plant, Refusal> {
    let station = known.station;
    let target = station
        .vessels
        .iter()
        .find(|vessel| vessel.fields.holds.value == Water::Salt);
    let brine = Brine::new(
        target.map_or(35.0, |vessel| vessel.fields.target_salinity.value.practical()),
        target.map_or(20.0, |vessel| vessel.fields.mixing_temperature.value.c()),
    )?;
    let coldest = coldest_month(station);
    let wave = |winter: f64, summer: f64| {
        Wave {
            winter,
            summer,
            coldest,
        }
        .by_month()
    };
    let winter_c = station.room.lowest_winter_temperature.value.c();
    let room_c = wave(
        winter_c,
        station.room.highest_summer_temperature.value.c().max(winter_c),
    );
    let purifier = match &known.assessment.supply.purifier {
        Some(made) => purifier(known, made, reader)?,
        None => None,
    };
    let fills: &[usize] = purifier.as_ref().map_or(&[], |purifier| &purifier.fills);
    let mut vessels = Vec::with_capacity(station.vessels.len());
    for at in 0..station.vessels.len() {
        vessels.push(vessel(known, (at, fills), (&brine, &room_c), reader)?);
    }
    let tanks = (0..station.tanks.len())
        .map(|at| tank(known, at, coldest, reader))
        .collect();
    let people = People {
        calendar: calendar(station),
        change_s: station.people.change_time.value.s(),
        measuring_s: station.people.measuring_time.value.s(),
        batch_s: station.people.batch_time.value.s(),
    };
    let lineups = known.assessment.lineups.as_ref();
    let open = open_valves(station, lineups);
    let mark_m3 = |vessel: usize, mark: Mark| mark_volume_m3(known, vessel, mark, &vessels[vessel]);
    let wiring = Wiring::new(station, Arc::clone(&known.program), &open, mark_m3);
    Ok(Plant {
        ways: Ways::new(station, lineups, &vessels, &known.times),
        mix: mix(known, &vessels, reader),
        deliveries: deliveries(station),
        reserve_m3: [&station.reserve.fresh, &station.reserve.salt]
            .map(|reserve| reserve.as_ref().map_or(0.0, |reserve| reserve.value.m3())),
        script: Vec::new(),
        pumps_w: station
            .pumps
            .iter()
            .map(|pump| pump.fields.power.as_ref().map_or(0.0, |power| power.value.w()))
            .collect(),
        brine,
        vessels,
        purifier,
        tanks,
        people,
        wiring,
        room_c,
    })
}

/// Months are counted from January; without a feed the coldest is February, as its default has it.
fn coldest_month(station: &Station) -> usize {
    let month = station.feed.as_ref().map(|feed| feed.coldest_month.value);
    month.map_or(1, |month| month.months_after(station::sections::Month::January))
}

fn tank(known: &Known<'_>, at: usize, coldest: usize, reader: &mut dyn Reader) -> Tank {
    let own = &known.station.tanks[at];
    let fields = &own.fields;
    let sheet = &known.assessment.sheet;
    let need = known.assessment.needs.tanks.get(at);
    let (summer, winter) = need
        .and_then(|need| need.evaporation)
        .map_or((0.0, 0.0), |(summer, winter)| {
            (reader.read(summer), reader.read(winter))
        });
    // What tops off with salt water gets no fresh water here: its changes stay as strong as the batch.
    let thinned = need.and_then(|need| need.thinned.filter(|_| fields.top_off.value == TopOff::Fresh));
    let thinned = thinned.map(|own| (reader.read(own.salt), reader.read(own.fresh)));
    let mut leaf = |path: String, nominal: f64| match sheet.leaf_at(&path) {
        Some(node) => reader.read(node),
        None => nominal,
    };
    let change = fields.change.as_ref().map(|change| {
        let whole_m3 = leaf(format!("tanks.{}.change", own.name), change.value.m3());
        let volume_m3 = thinned.map_or(whole_m3, |(salt_m3, _)| salt_m3);
        (
            volume_m3.max(0.0),
            (fields.change_every.value.s() / DAY_S).max(1.0 / 24.0),
        )
    });
    let share = leaf(
        format!("tanks.{}.emergency_change", own.name),
        fields.emergency_change.value.of_one(),
    );
    let volume_m3 = leaf(format!("tanks.{}.volume", own.name), fields.volume.value.m3());
    let emergency_m3 = share * volume_m3;
    Tank {
        name: own.name.clone(),
        key: NameKey::of(&own.name),
        top_off_m3_s: Wave {
            winter: winter.max(0.0),
            summer: summer.max(0.0),
            coldest,
        }
        .by_month(),
        top_off: match fields.top_off.value {
            TopOff::Fresh => Water::Fresh,
            TopOff::Salt => Water::Salt,
        },
        change,
        thin_m3: thinned.map_or(0.0, |(_, fresh_m3)| fresh_m3.max(0.0)),
        emergency: (emergency_m3 > 0.0).then_some((emergency_m3, fields.emergency_every.value.s())),
    }
}

fn calendar(station: &Station) -> Calendar {
    let people = &station.people;
    Calendar {
        weekdays: people.days.value.from_monday(),
        arrives_s: people.arrives.value.s_after_midnight(),
        stays_s: people.stays.value.s(),
        late_by_s: people.late_by.value.s(),
        holidays: station
            .holidays
            .iter()
            .map(|holiday| {
                let fields = &holiday.fields;
                Holiday {
                    from: u32::from(fields.from.value.index()),
                    to: u32::from(fields.to.value.index()),
                    laid_up: fields.laid_up.value,
                    looks_in_days: fields.looks_in.as_ref().map(|looks_in| {
                        let days = libm::round(looks_in.value.s() / DAY_S);
                        (days as u32).clamp(1, YEAR_DAYS)
                    }),
                }
            })
            .collect(),
    }
}

/// The valves that are open in each task.
fn open_valves(station: &Station, lineups: Option<&crate::analysis::Lineups>) -> Vec<Vec<usize>> {
    let lineups = lineups.map_or(&[][..], |all| &all.lineups);
    lineups
        .iter()
        .map(|lineup| {
            let open = lineup.valves_open.iter().flatten();
            open.filter_map(|name| station.valves.iter().position(|valve| valve.name == *name))
                .collect()
        })
        .collect()
}

fn mix(known: &Known<'_>, vessels: &[Vessel], reader: &mut dyn Reader) -> Mix {
    let station = known.station;
    let salt = station.salt.as_ref();
    let drawn_m3 = |holds: Water| -> f64 {
        vessels
            .iter()
            .filter(|vessel| vessel.holds == holds)
            .map(|vessel| (vessel.full_m3 - vessel.low_m3).max(0.0))
            .sum()
    };
    let reserve_m3 = station.reserve.salt.as_ref().map(|reserve| reserve.value.m3());
    let largest_m3 = station
        .tanks
        .iter()
        .filter_map(|tank| tank.fields.change.as_ref())
        .map(|change| change.value.m3())
        .fold(0.0, f64::max);
    let first_mixed = known
        .assessment
        .lineups
        .as_ref()
        .and_then(|all| all.mixing.first())
        .map(|mixing| reader.read(mixing.first_measurement.node));
    Mix {
        strength: known.assessment.batch.strength_node.map(|node| reader.read(node)),
        mixing_s: salt.map_or(0.0, |salt| salt.mixing_time.value.s()),
        emergency_s: first_mixed
            .filter(|seconds| seconds.is_finite())
            .unwrap_or(BY_PADDLE_S),
        use_within_s: salt.map_or(f64::INFINITY, |salt| salt.use_within.value.s()),
        below_m3: reserve_m3
            .unwrap_or(largest_m3)
            .min(BELOW * drawn_m3(Water::Salt)),
        fresh_m3: drawn_m3(Water::Fresh),
    }
}

fn deliveries(station: &Station) -> Vec<Delivery> {
    station
        .delivered
        .iter()
        .map(|delivery| {
            let fields = &delivery.fields;
            Delivery {
                holds: fields.holds.value,
                volume_m3: fields.volume.value.m3(),
                every_s: fields.every.as_ref().map(|every| every.value.s()),
                notice_s: fields.notice.value.s(),
                salinity: match fields.holds.value {
                    Water::Fresh => 0.0,
                    Water::Salt => fields
                        .salinity
                        .as_ref()
                        .map_or(35.0, |salinity| salinity.value.practical()),
                },
            }
        })
        .collect()
}
