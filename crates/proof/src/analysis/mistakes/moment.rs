//! What is known of the vessels, tanks and pumps at one moment, worked out once.

use physics::hydraulics::pump_effects::{ClosedPump, HeatingTime, time_to_rise};
use physics::seawater::{density_kg_m3, heat_capacity_j_kg_k};
use physics::vessel::Shape;
use station::plumbing::End;
use station::sections::{Fill, Water};
use station::{Situation, Station};

use super::super::plumbing::Pipework;
use crate::method::Refusal;

/// Share of a vessel's volume below which it counts as empty (house rule).
pub(super) const HEEL: f64 = 0.03;
/// Practical salinity above which water is no purified water any more (house rule).
pub(crate) const FRESH: f64 = 1.0;
/// Water inside a small pump, m³ (house rule: its housing).
const PUMP_WATER_M3: f64 = 1.5e-4;
/// Temperature at which soft plastic parts and seals of a small pump suffer, °C (house rule).
const PUMP_TOO_HOT_C: f64 = 60.0;
/// Time in which a pump of unknown power suffers against closed valves, s (house rule).
const PUMP_SUFFERS_S: f64 = 300.0;

/// A vessel at a moment.
#[derive(Debug, Clone)]
pub(super) struct VesselFacts<'a> {
    shape: &'a Shape,
    pub(super) water: Water,
    pub(super) level_m: f64,
    pub(super) surface_m: f64,
    pub(super) volume_m3: f64,
    /// To the rim.
    pub(super) free_m3: f64,
    pub(super) salinity: f64,
    pub(super) density_kg_m3: f64,
    /// Salinity beyond which it is spoiled: above it for purified water, below it for a batch.
    pub(super) spoiled_at: f64,
    /// What the purifier adds now, or as soon as it sinks.
    pub(super) fill_m3_s: f64,
    pub(super) has_cutout: bool,
    /// Whether it is as full as it gets.
    pub(super) is_full: bool,
    outlet_m: f64,
    /// Whether a switch stops the pumps that fill it.
    pub(super) has_high_cutout: bool,
    /// Water over its heater; `None` where nothing can happen to a heater.
    pub(super) over_heater_m3: Option<f64>,
    /// Water that it can take before the end of its fill is drowned with nothing to hold it; `None` where that can't be.
    pub(super) to_drowned_fill_m3: Option<f64>,
}

impl VesselFacts<'_> {
    /// Whether a salinity is as far from its batch's as the owner bears, or nearer.
    pub(super) fn is_as_mixed(&self, salinity: f64) -> bool {
        (salinity - self.salinity).abs() <= self.salinity - self.spoiled_at
    }

    /// Whether it holds more than a heel that can be drawn.
    pub(super) fn has_water(&self) -> bool {
        self.above_m3(self.outlet_m) > HEEL * (self.volume_m3 + self.free_m3)
    }

    /// Its water above a height over the room's floor.
    pub(super) fn above_m3(&self, height_m: f64) -> f64 {
        if height_m >= self.surface_m {
            return 0.0;
        }
        let floor_m = self.surface_m - self.level_m;
        let below = self
            .shape
            .volume_m3((height_m - floor_m).clamp(0.0, self.level_m));
        self.volume_m3 - below.unwrap_or(self.volume_m3)
    }
}

/// A tank.
#[derive(Debug, Clone)]
pub(super) struct TankFacts {
    /// Whether a switch stops the pumps that fill it.
    pub(super) has_high_cutout: bool,
    pub(super) surface_m: Option<f64>,
    pub(super) volume_m3: f64,
    pub(super) headroom_m3: f64,
    pub(super) salinity: f64,
    pub(super) density_kg_m3: f64,
    /// Salinity below which its animals suffer.
    pub(super) spoiled_at: f64,
}

/// A draw point.
#[derive(Debug, Clone)]
pub(super) struct DrawFacts {
    pub(super) container_m3: f64,
    /// Whether a valve before it closes by itself.
    pub(super) held: bool,
}

/// A pump.
#[derive(Debug, Clone)]
pub(super) struct PumpFacts {
    pub(super) flow_switch: bool,
    /// Until it suffers against closed valves.
    pub(super) suffers_s: f64,
}

/// Everything at one moment.
#[derive(Debug, Clone)]
pub(super) struct Moment<'a> {
    pub(super) vessels: Vec<VesselFacts<'a>>,
    pub(super) tanks: Vec<TankFacts>,
    pub(super) draws: Vec<DrawFacts>,
    pub(super) pumps: Vec<PumpFacts>,
    /// Water that stands in each line.
    pub(super) line_m3: Vec<f64>,
    /// Longest that a wrong valve stands unnoticed.
    pub(super) unnoticed_s: f64,
}

impl<'a> Moment<'a> {
    /// What water can come to: vessels, tanks, draw points.
    pub(super) fn ends(&self) -> impl Iterator<Item = End> + use<> {
        let vessels = (0..self.vessels.len()).map(End::Vessel);
        let tanks = (0..self.tanks.len()).map(End::Tank);
        let draws = (0..self.draws.len()).map(End::Draw);
        vessels.chain(tanks).chain(draws)
    }

    /// At a situation.
    pub(super) fn of(
        station: &'a Station,
        pipework: &Pipework,
        situation: &Situation,
        permeate_m3_s: f64,
    ) -> Result<Self, Refusal> {
        let vessels = (0..station.vessels.len())
            .map(|at| vessel(station, at, situation, permeate_m3_s))
            .collect::<Result<Vec<_>, Refusal>>()?;
        Ok(Self {
            vessels,
            tanks: (0..station.tanks.len())
                .map(|at| tank(station, at))
                .collect::<Result<Vec<_>, Refusal>>()?,
            draws: (0..station.draw_points.len())
                .map(|at| draw(station, at))
                .collect(),
            pumps: (0..station.pumps.len())
                .map(|at| pump(station, at))
                .collect::<Result<Vec<_>, Refusal>>()?,
            line_m3: pipework
                .lines
                .iter()
                .map(super::super::plumbing::LineInNetwork::volume_m3)
                .collect(),
            unnoticed_s: station.room.unnoticed.value.s(),
        })
    }
}

fn vessel<'a>(
    station: &'a Station,
    at: usize,
    situation: &Situation,
    permeate_m3_s: f64,
) -> Result<VesselFacts<'a>, Refusal> {
    let (vessel, moment) = (&station.vessels[at], &situation.vessels[at]);
    let fields = &vessel.fields;
    let floor_m = fields.floor_height.value.m();
    let volume_m3 = vessel.shape.volume_m3(moment.level_m)?;
    let water = fields.holds.value;
    let stop_m = fields
        .stop_level
        .as_ref()
        .map_or(f64::INFINITY, |level| level.value.m());
    let filled = water == Water::Fresh && fields.fill.value == Fill::Automatic && is_filled(station, at);
    let below = |level_m: f64| vessel.shape.volume_m3(level_m.min(vessel.height_m()));
    let over_heater_m3 = match (&fields.heater, &fields.heater_level, fields.heater_cutout.value) {
        (Some(_), Some(level), false) => Some((volume_m3 - below(level.value.m())?).max(0.0)),
        _ => None,
    };
    let to_drowned_fill_m3 = match &fields.fill_end_level {
        Some(level) if is_filled(station, at) && !holds_back(station) => {
            Some((below(level.value.m())? - volume_m3).max(0.0))
        }
        _ => None,
    };
    let spoiled_at = match water {
        Water::Fresh => fields.spoiled_above.as_ref().map_or_else(
            || fields.used_for.value.spoiled_above(),
            |limit| limit.value.plain(),
        ),
        Water::Salt => moment.practical_salinity - fields.salinity_tolerance.value.plain(),
    };
    Ok(VesselFacts {
        shape: &vessel.shape,
        water,
        level_m: moment.level_m,
        surface_m: floor_m + moment.level_m,
        volume_m3,
        free_m3: vessel.shape.full_volume_m3() - volume_m3,
        salinity: moment.practical_salinity,
        density_kg_m3: density_kg_m3(moment.practical_salinity, moment.temperature_c)?,
        spoiled_at,
        fill_m3_s: if filled && moment.level_m < stop_m - 1e-9 {
            permeate_m3_s
        } else {
            0.0
        },
        has_cutout: fields.low_cutout_level.is_some(),
        has_high_cutout: fields.high_cutout.value,
        is_full: moment.level_m >= Situation::full(station).vessels[at].level_m - 1e-9,
        outlet_m: floor_m + station::lowest_drawable_m(vessel),
        over_heater_m3,
        to_drowned_fill_m3,
    })
}

/// Whether the purifier fills a vessel.
fn is_filled(station: &Station, at: usize) -> bool {
    let Some(purifier) = &station.purifier else {
        return false;
    };
    match &purifier.fields.fills {
        Some(name) => name.value.trim() == station.vessels[at].name,
        None => station.vessels[at].fields.holds.value == Water::Fresh,
    }
}

/// Whether the purifier has a check valve after its membranes.
fn holds_back(station: &Station) -> bool {
    station
        .purifier
        .as_ref()
        .is_some_and(|purifier| purifier.fields.check_valve.value)
}

fn tank(station: &Station, at: usize) -> Result<TankFacts, Refusal> {
    let fields = &station.tanks[at].fields;
    let volume_m3 = fields.volume.value.m3();
    let salinity = fields.salinity.value.practical();
    Ok(TankFacts {
        has_high_cutout: fields.high_cutout.value,
        surface_m: fields.water_height.as_ref().map(|height| height.value.m()),
        volume_m3,
        headroom_m3: station.tanks[at].headroom_m3(),
        salinity,
        density_kg_m3: density_kg_m3(salinity, fields.temperature.value.c())?,
        spoiled_at: salinity - fields.salinity_tolerance.value.plain(),
    })
}

fn draw(station: &Station, at: usize) -> DrawFacts {
    let lines = station.plumbing.lines_at(End::Draw(at));
    let mut valves = lines.flat_map(|line| station.plumbing.valves_of(line));
    DrawFacts {
        container_m3: station.draw_points[at].fields.container.value.m3(),
        held: valves.any(|valve| station.valves[valve].fields.closes_by_itself()),
    }
}

/// How long a pump bears water that can't get away, s.
///
/// # Errors
/// [`Refusal`] where the room's temperature lies outside what is known.
pub(crate) fn pump_suffers_s(station: &Station, at: usize) -> Result<f64, Refusal> {
    Ok(pump(station, at)?.suffers_s)
}

fn pump(station: &Station, at: usize) -> Result<PumpFacts, Refusal> {
    let fields = &station.pumps[at].fields;
    let room_c = station.room.air_temperature.value.c();
    let suffers_s = match &fields.power {
        Some(power) => {
            let closed = ClosedPump {
                heat_w: power.value.w() * fields.heat_share.value.of_one(),
                volume_m3: PUMP_WATER_M3,
                density_kg_m3: 1000.0,
                heat_capacity_j_kg_k: heat_capacity_j_kg_k(0.0, room_c)?,
                loss_w_k: 0.0,
                room_c,
            };
            match time_to_rise(&closed, room_c, PUMP_TOO_HOT_C) {
                Ok(HeatingTime::After(seconds)) => seconds,
                _ => f64::INFINITY,
            }
        }
        None => PUMP_SUFFERS_S,
    };
    Ok(PumpFacts {
        flow_switch: fields.flow_switch.value,
        suffers_s,
    })
}
