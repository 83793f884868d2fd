//! The plant of a station: its numbers read from the sheet, by their values or by one draw of what is doubtful.

use std::sync::Arc;

use physics::membrane::TemperatureResponse;
use station::control::{Mark, Program};
use station::sections::{Control, Lid, ShutOff, TopOff, Water};
use station::{Situation, Station, lowest_drawable_m};

use super::amount::Brine;
use super::body::{Comes, Delivery, Feed, Heat, Mix, People, Plant, Purifier, Stop, Tank, Vessel};
use super::calendar::{Calendar, Holiday};
use super::control::Wiring;
use super::season::{ByMonth, Wave};
use super::ways::{Times, Ways};
use super::{DAY_S, YEAR_DAYS};
use crate::analysis::{Ends, Made, PurifierNodes, warming};
use crate::assess::Assessment;
use crate::method::Refusal;
use crate::sheet::NodeId;

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
/// How much above its switch a vessel's own inlet closes, m³ (house rule: 10 mL).
const ABOVE_SWITCH_M3: f64 = 1e-5;
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
        vessels.push(vessel(known, at, fills, &room_c, reader)?);
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
    let carry_s = station.people.carry_time.value.s();
    let open = open_valves(station, lineups);
    let mark_m3 = |vessel: usize, mark: Mark| mark_volume_m3(known, vessel, mark, &vessels[vessel]);
    let wiring = Wiring::new(station, Arc::clone(&known.program), &open, mark_m3);
    Ok(Plant {
        ways: Ways::new(station, lineups, &vessels, carry_s, &known.times),
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

/// A figure of a vessel by its name on the sheet.
fn figure(known: &Known<'_>, vessel: usize, name: &str, reader: &mut dyn Reader) -> Option<f64> {
    let key = format!("{}.{name}", known.station.vessels[vessel].name);
    known.assessment.sheet.find(&key).map(|node| reader.read(node))
}

fn vessel(
    known: &Known<'_>,
    at: usize,
    fills: &[usize],
    room_c: &ByMonth,
    reader: &mut dyn Reader,
) -> Result<Vessel, Refusal> {
    let station = known.station;
    let own = &station.vessels[at];
    let fields = &own.fields;
    let nominal = |level_m: f64| own.shape.volume_m3(level_m.clamp(0.0, own.height_m()));
    let full_level_m = Situation::full(station).vessels[at].level_m;
    let rim_m3 = figure(known, at, "full", reader).unwrap_or(own.shape.full_volume_m3());
    let full_m3 = figure(known, at, "volume-full", reader)
        .unwrap_or(nominal(full_level_m)?)
        .min(rim_m3);
    let low_m3 = match figure(known, at, "drawable-full", reader) {
        Some(drawable_m3) => full_m3 - drawable_m3,
        None => nominal(lowest_drawable_m(own))?,
    };
    let backup_m3 = figure(known, at, "backup", reader);
    let purifier = station.purifier.as_ref().map(|purifier| &purifier.fields);
    let float_alone = purifier.is_some_and(|fields| fields.control.value == Control::Float);
    let reopens_m = purifier.map_or(0.01, |fields| fields.float_reopens.value.m());
    let float_m3 = if !fills.contains(&at) {
        None
    } else {
        // A float alone closes where it hangs; beside switches it is the backup. Of several vessels each shuts its own way.
        let closes_m3 = match (float_alone || fills.len() > 1, backup_m3) {
            // A little above the switch, so that the switch is met first.
            (true, _) if float_alone => Some(full_m3),
            (true, _) => Some(full_m3 + ABOVE_SWITCH_M3),
            (false, backup) => backup,
        };
        match closes_m3 {
            None => None,
            Some(closes_m3) => {
                let level_m = own.shape.level_m(closes_m3.min(own.shape.full_volume_m3()))?;
                Some((closes_m3, nominal(level_m - reopens_m)?.min(closes_m3)))
            }
        }
    };
    let target = match fields.holds.value {
        Water::Fresh => 0.0,
        Water::Salt => fields.target_salinity.value.practical(),
    };
    let level_m = own
        .shape
        .level_m(full_m3.min(own.shape.full_volume_m3()))?
        .max(0.05);
    let surface_m2 = full_m3 / level_m;
    Ok(Vessel {
        name: own.name.clone(),
        holds: fields.holds.value,
        rim_m3,
        full_m3,
        low_m3: low_m3.max(0.0),
        target,
        evaporation_m3_s: evaporation(station, fields.lid.value, surface_m2, target, room_c)?,
        heat: heat(
            station,
            at,
            full_m3,
            station.room.lowest_winter_temperature.value.c(),
        )?,
        float_m3,
    })
}

/// What evaporates from a vessel under its lid, by month: at the temperature of the room, into its air.
fn evaporation(
    station: &Station,
    lid: Lid,
    surface_m2: f64,
    salinity: f64,
    room_c: &ByMonth,
) -> Result<ByMonth, Refusal> {
    let room = &station.room;
    let (summer, winter) = (room.humidity.value.of_one(), room.winter_humidity.value.of_one());
    let coldest = coldest_month(station);
    let humidity = Wave {
        winter,
        summer,
        coldest,
    }
    .by_month();
    let mut months = [0.0; 12];
    for (at, month) in months.iter_mut().enumerate() {
        let air_c = room_c.0[at].clamp(1.0, 40.0);
        let air = physics::evaporation::SurfaceAir {
            water_temperature_c: air_c,
            practical_salinity: salinity,
            air_temperature_c: air_c,
            relative_humidity: humidity.0[at],
            air_speed_m_s: 0.0,
        };
        // A still surface: half of a busy one's (the activity factor of physics::evaporation).
        let rate = physics::evaporation::evaporation_kg_s_m2(&air, 0.5)?.max(0.0);
        *month = rate * surface_m2 * lid.open_share() / 1000.0;
    }
    Ok(ByMonth(months))
}

/// A vessel's warmth; nothing without a heater.
fn heat(station: &Station, at: usize, full_m3: f64, winter_c: f64) -> Result<Option<Heat>, Refusal> {
    let own = &station.vessels[at];
    let fields = &own.fields;
    let Some(heater) = &fields.heater else {
        return Ok(None);
    };
    let winter_c = winter_c.clamp(0.0, 38.0);
    let full = warming(station, at, full_m3, winter_c, winter_c, 0.0)?;
    let heater_level_m = fields
        .heater_level
        .as_ref()
        .map_or(fields.outlet_level.value.m(), |level| level.value.m());
    Ok(Some(Heat {
        set_c: fields.mixing_temperature.value.c(),
        heater_w: heater.value.w(),
        loss_w_k: full.loss_w_k,
        capacity_j_m3_k: full.capacity_j_k / full_m3,
        keeps_warm: fields.keeps_warm.value,
        heater_m3: own.shape.volume_m3(heater_level_m.clamp(0.0, own.height_m()))?,
    }))
}

/// The volume of a mark: by the sheet where it has one.
fn mark_volume_m3(known: &Known<'_>, vessel: usize, mark: Mark, built: &Vessel) -> Option<f64> {
    let own = &known.station.vessels[vessel];
    let fields = &own.fields;
    let level_m = match mark {
        Mark::LowCutout => fields.low_cutout_level.as_ref()?.value.m(),
        Mark::Start => fields.start_level.as_ref()?.value.m(),
        Mark::Stop => return Some(built.full_m3),
        Mark::Backup => fields.backup_level.as_ref()?.value.m(),
        Mark::HeaterLevel => fields.heater_level.as_ref()?.value.m(),
        Mark::High => own.height_m() - fields.freeboard.value.m(),
    };
    let nominal_m3 = own.shape.volume_m3(level_m.clamp(0.0, own.height_m())).ok()?;
    // Wider or narrower than the file says, like the whole vessel.
    Some(nominal_m3 * built.rim_m3 / own.shape.full_volume_m3())
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
    let mut leaf = |path: String, nominal: f64| match sheet.leaf_at(&path) {
        Some(node) => reader.read(node),
        None => nominal,
    };
    let change = fields.change.as_ref().map(|change| {
        let volume_m3 = leaf(format!("tanks.{}.change", own.name), change.value.m3());
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
        emergency: (emergency_m3 > 0.0).then_some((emergency_m3, fields.emergency_every.value.s())),
        salinity: fields.salinity.value.practical(),
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
    let full_m3: f64 = vessels
        .iter()
        .filter(|vessel| vessel.holds == Water::Salt)
        .map(|vessel| (vessel.full_m3 - vessel.low_m3).max(0.0))
        .sum();
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
        below_m3: reserve_m3.unwrap_or(largest_m3).min(BELOW * full_m3),
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

/// The purifier; nothing where it fills no vessel.
fn purifier(known: &Known<'_>, made: &Made, reader: &mut dyn Reader) -> Result<Option<Purifier>, Refusal> {
    let station = known.station;
    let Some(fields) = station.purifier.as_ref().map(|purifier| &purifier.fields) else {
        return Ok(None);
    };
    let fills = station.filled();
    if fills.is_empty() {
        return Ok(None);
    }
    let nodes: &PurifierNodes = &made.nodes;
    let mut by_month = |of: fn(&crate::analysis::MonthOfWater) -> NodeId| {
        let mut months = [0.0; 12];
        for (slot, month) in months.iter_mut().zip(&made.months) {
            *slot = reader.read(of(month)).max(0.0);
        }
        months
    };
    let permeate = by_month(|month| month.permeate_m3_per_s.node);
    let reject = by_month(|month| month.reject_m3_per_s.node);
    let solids = by_month(|month| month.permeate_solids_kg_m3.node);
    let feed_kg_m3 = reader.read(nodes.feed_solids);
    let mut feeds = vec![Feed {
        permeate_m3_s: ByMonth(permeate),
        reject_m3_s: ByMonth(reject),
        solids_kg_m3: ByMonth(solids),
        feed_kg_m3,
        comes: None,
    }];
    for odd in &known.odd {
        let times = |own: &[f64; 12], share: &[f64; 12]| {
            let mut months = *own;
            for (month, share) in months.iter_mut().zip(share) {
                *month *= share;
            }
            ByMonth(months)
        };
        feeds.push(Feed {
            permeate_m3_s: times(&permeate, &odd.permeate),
            reject_m3_s: times(&reject, &odd.reject),
            solids_kg_m3: times(&solids, &odd.solids),
            feed_kg_m3: feed_kg_m3 * odd.feed,
            comes: Some(odd.comes),
        });
    }
    let (hold_up_m3, feed_side_m3) = (reader.read(nodes.hold_up), reader.read(nodes.feed_side));
    let factor = TemperatureResponse::from_output_at_15_c(reader.read(nodes.cold))?
        .factor(reader.read(nodes.mean_temperature))?;
    let salt_m3_s = reader.read(nodes.salt) * factor;
    // Two mixed volumes with diffusion between, at rest (physics::membrane::idle).
    let rest_share = feed_side_m3 / (feed_side_m3 + hold_up_m3);
    let rest_s = hold_up_m3 * rest_share / salt_m3_s;
    let (salt_mol_kg, gas_mol_m3, bed_mol, load_mol_m3) = match &nodes.resin {
        None => (0.0, 0.0, None, 0.0),
        Some(resin) => {
            let [capacity, volume, utilisation] = resin.bed.map(|node| reader.read(node));
            (
                1000.0 / reader.read(resin.equivalent),
                reader.read(resin.gas) + reader.read(resin.silica),
                Some(capacity * volume * utilisation),
                reader.read(resin.load),
            )
        }
    };
    let electric = fields.control.value != Control::Float;
    let sharp_feed = fields.shut_off.value == ShutOff::Sound || (electric && fields.feed_valve.value);
    let stop = match nodes.ends {
        Ends::Sharp | Ends::Slow if sharp_feed || nodes.ends == Ends::Sharp => Stop::Sharp,
        _ => Stop::RejectRunsOn,
    };
    Ok(Some(Purifier {
        fills,
        feeds,
        stop,
        electric,
        attended: fields.control.value == Control::Attended,
        flush_m3: reader.read(nodes.flush).max(0.0),
        hold_up_m3: hold_up_m3.max(1e-7),
        rest_share,
        rest_s,
        salt_mol_kg,
        gas_mol_m3,
        bed_mol,
        float_mol_m3: matches!(nodes.ends, Ends::Slow | Ends::Never).then_some(load_mol_m3),
        booster_w: fields.booster_power.as_ref().map_or(0.0, |power| power.value.w()),
        restart_m3: fields.new_membrane_discard.value.m3(),
    }))
}
