//! What an expert looks at while a pump works: where on its curve, with how much pressure before it, how deep its
//! outlet lies under water, what it does to tube and water.

use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::parts::TubeKind;
use physics::hydraulics::pump_effects::{OperatingRange, heat_into_water_w, operating_range, warming_c_s};
use physics::hydraulics::suction::{
    AirPocket, Filling, SoftMaterial, Start, SuctionHead, SuctionLine, Tube, air_pocket,
    collapse_pressure_pa, least_level_m, mean_velocity_m_s, npsh_available_m, npsh_margin,
    standard_pressure_pa, start_of, water_vapour_pressure_pa,
};
use physics::seawater::{density_kg_m3, heat_capacity_j_kg_k};
use serde::Serialize;
use station::plumbing::End;
use station::{Situation, Station};

use super::build::Pipework;
use super::state::{Setting, State};
use super::{arriving, situation};
use crate::estimate::Estimate;
use crate::method::Refusal;

/// A pump in one task, at one level of its source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PumpAtWork {
    /// The task.
    pub lineup: String,
    /// The pump.
    pub pump: String,
    /// `full` or `start`.
    pub source: &'static str,
    /// Flow through it.
    pub flow_m3_per_s: f64,
    /// Head that it lifts at this flow.
    pub head_m: f64,
    /// That head with its doubt, where the task is told at this level.
    pub head: Option<Estimate>,
    /// Flow by that at which it works best, where that is known.
    pub share_of_best: Option<f64>,
    /// Whether its curve was measured that far.
    pub within_curve: bool,
    /// Pressure at its inlet above the air's.
    pub inlet_gauge_pressure_pa: f64,
    /// Head of pressure at its inlet above the water's own vapour (NPSH).
    pub npsh_available_m: f64,
    /// The same with its doubt.
    pub npsh: Option<Estimate>,
    /// What its maker asks for, where that is known.
    pub npsh_required_m: Option<f64>,
    /// What is left above that; below 0 it is wanting.
    pub npsh_spare_m: Option<f64>,
    /// Level of the source; `None` from a tank.
    pub source_level_m: Option<f64>,
    /// Whether water stands over it when it starts.
    pub flooded: bool,
    /// How high it must draw water up when it is dry; 0 when flooded.
    pub lift_m: f64,
    /// Whether it can.
    pub primes: bool,
    /// How high it draws water up when it is dry; 0 where it doesn't.
    pub dry_lift_m: f64,
    /// Level of the source below which it would draw air from the surface; `None` from a tank.
    pub least_level_m: Option<f64>,
    /// The same with its doubt.
    pub least_level: Option<Estimate>,
    /// Pressure above the air's with its outlet closed.
    pub shut_off_gauge_pressure_pa: f64,
    /// Heat that goes into the water, where its power is known.
    pub heat_w: Option<f64>,
    /// By how much that warms the vessel that it goes round, in an hour.
    pub warming_c_per_h: Option<f64>,
    /// Velocity in its suction line.
    pub suction_velocity_m_per_s: f64,
    /// A line before it with a high point that its water is too slow to carry air out of.
    pub air_stays_in: Option<String>,
    /// Pressure from outside that a soft suction line bears; `None` for a stiff one.
    pub suction_line_bears_pa: Option<f64>,
    /// Bore and level of the source's outlet; 0 from a tank.
    #[serde(skip)]
    pub(super) outlet_bore_m: f64,
    #[serde(skip)]
    pub(super) outlet_level_m: f64,
    /// The water that it moves.
    #[serde(skip)]
    pub(super) temperature_c: f64,
    #[serde(skip)]
    pub(super) practical_salinity: f64,
}

impl PumpAtWork {
    /// Water over the source's outlet at a level.
    pub(super) fn submergence_m(&self, level_m: f64) -> f64 {
        level_m - self.outlet_level_m
    }
}

/// The pump of a task, at one level of its source; `None` where nothing flows.
pub(super) fn look(
    station: &Station,
    state: &mut State<'_>,
    lineup: usize,
    setting: &Setting,
    way: &[usize],
    source: &'static str,
) -> Result<Option<PumpAtWork>, Refusal> {
    let task = &station.plumbing.tasks[lineup];
    let Some(at) = task.pump else { return Ok(None) };
    let situation = situation(station, task, source);
    state.begin(&situation, setting)?;
    state.solve(task.from)?;
    let pipework = state.pipework;
    if arriving(state, task) <= super::state::STILL_M3_S {
        return Ok(None);
    }
    let (pump, place) = (&station.pumps[at], pipework.pumps[at]);
    let flow = state.solver.flow_m3_s(place.link);
    let inlet_pa = state.solver.gauge_pressure_pa(place.inlet).unwrap_or(0.0);
    let (salinity, temperature) = water(station, &situation, task.from);
    let density = density_kg_m3(salinity, temperature)?;
    let air_pa = standard_pressure_pa(station.room.altitude.value.m())?;
    // The pressure before the pump is known as a whole, so that heights and losses are in it already.
    let before = SuctionHead {
        surface_absolute_pa: (air_pa + inlet_pa).max(1e4),
        vapour_pa: water_vapour_pressure_pa(temperature, salinity)?,
        density_kg_m3: density,
        static_head_m: 0.0,
        friction_head_m: 0.0,
    };
    let npsh_required_m = pump.fields.npsh_required.as_ref().map(|head| head.value.m());
    let npsh_spare_m = npsh_required_m
        .map(|required_m| npsh_margin(&before, required_m))
        .transpose()?
        .map(|margin| margin.spare_m);
    let suction = suction_lines(station, way, at);
    let crest_m = suction
        .iter()
        .map(|line| highest_m(pipework, *line))
        .fold(place.height_m, f64::max);
    let surface_m = match task.from {
        End::Vessel(vessel) => {
            station.vessels[vessel].fields.floor_height.value.m() + situation.vessels[vessel].level_m
        }
        _ => suction
            .first()
            .map_or(crest_m, |line| pipework.lines[*line].from_height_m),
    };
    let dry_lift_m = match (pump.fields.primes_itself.value, &pump.fields.dry_lift) {
        (false, _) => 0.0,
        (true, Some(lift)) => lift.value.m(),
        // House rule: a pump that primes itself and says no more lifts a metre dry.
        (true, None) => 1.0,
    };
    let start = start_of(
        &SuctionLine {
            surface_m,
            crest_m,
            pump_m: place.height_m,
        },
        Filling::Air,
        dry_lift_m,
    )?;
    let (mut outlet_bore_m, mut outlet_level_m) = (0.0, 0.0);
    let least_level = match (task.from, suction.first()) {
        (End::Vessel(vessel), Some(line)) => {
            let bore_m = pipework.lines[*line].bore_m;
            let floor_m = station.vessels[vessel].fields.floor_height.value.m();
            let outlet_m = pipework.lines[*line].from_height_m - floor_m;
            (outlet_bore_m, outlet_level_m) = (bore_m, outlet_m);
            Some(least_level_m(outlet_m, bore_m, mean_velocity_m_s(flow, bore_m)?)?)
        }
        _ => None,
    };
    let heat_w = pump.fields.power.as_ref().map(|power| {
        // Power goes with the cube of the speed, as the curve with its square.
        let speed = pump.fields.speed.value.of_one();
        let input_w = power.value.w() * speed * speed * speed;
        heat_into_water_w(input_w, pump.fields.heat_share.value.of_one())
    });
    let heat_w = heat_w.transpose()?;
    let warming_c_per_h = match (heat_w, task.from) {
        (Some(heat_w), End::Vessel(vessel)) if task.from == task.to => {
            let volume = station.vessels[vessel]
                .shape
                .volume_m3(situation.vessels[vessel].level_m)?;
            let capacity = heat_capacity_j_kg_k(salinity, temperature)?;
            Some(3600.0 * warming_c_s(heat_w, volume, density, capacity)?)
        }
        _ => None,
    };
    let speed = pump.fields.speed.value.of_one();
    let curve = &pump.fields.curve.value.curve;
    let last_suction = suction.last().copied();
    Ok(Some(PumpAtWork {
        lineup: station.lineups[lineup].name.clone(),
        pump: pump.name.clone(),
        source,
        flow_m3_per_s: flow,
        head_m: -state.solver.head_loss_m(place.link),
        share_of_best: match &pump.fields.best_flow {
            Some(best) => Some(share_of(operating_range(flow, speed * best.value.m3_s())?)),
            None => None,
        },
        within_curve: flow <= speed * curve.largest_flow_m3_s(),
        inlet_gauge_pressure_pa: inlet_pa,
        npsh_available_m: npsh_available_m(&before)?,
        npsh_required_m,
        npsh_spare_m,
        source_level_m: match task.from {
            End::Vessel(vessel) => Some(situation.vessels[vessel].level_m),
            _ => None,
        },
        flooded: matches!(start, Start::Flooded),
        lift_m: (crest_m - surface_m).max(0.0),
        primes: !matches!(start, Start::AirLocked { .. }),
        dry_lift_m,
        least_level_m: least_level,
        head: None,
        npsh: None,
        least_level: None,
        outlet_bore_m,
        outlet_level_m,
        temperature_c: temperature,
        practical_salinity: salinity,
        shut_off_gauge_pressure_pa: (surface_m - place.height_m + speed * speed * curve.shut_off_head_m())
            * density
            * GRAVITY_M_S2,
        heat_w,
        warming_c_per_h,
        suction_velocity_m_per_s: match last_suction {
            Some(line) => mean_velocity_m_s(flow, pipework.lines[line].bore_m)?,
            None => 0.0,
        },
        air_stays_in: air_stays_in(station, pipework, &suction, flow),
        suction_line_bears_pa: last_suction.and_then(|line| bears_pa(station, line)),
    }))
}

fn share_of(range: OperatingRange) -> f64 {
    match range {
        OperatingRange::Low(share) | OperatingRange::Preferred(share) | OperatingRange::High(share) => share,
    }
}

/// Salinity and temperature of what a task moves.
pub(super) fn water(station: &Station, situation: &Situation, from: End) -> (f64, f64) {
    match from {
        End::Tank(tank) => {
            let fields = &station.tanks[tank].fields;
            (fields.salinity.value.practical(), fields.temperature.value.c())
        }
        End::Vessel(vessel) => {
            let moment = &situation.vessels[vessel];
            (moment.practical_salinity, moment.temperature_c)
        }
        _ => (0.0, 20.0),
    }
}

/// The lines of a way that lie before its pump, from the source on.
pub(super) fn suction_lines(station: &Station, way: &[usize], pump: usize) -> Vec<usize> {
    let at_pump = way
        .iter()
        .position(|line| station.plumbing.lines[*line].to == End::Pump(pump));
    at_pump.map_or(Vec::new(), |at| way[..=at].to_vec())
}

/// The first line before a pump whose crest keeps its air.
fn air_stays_in(station: &Station, pipework: &Pipework, suction: &[usize], flow_m3_s: f64) -> Option<String> {
    let keeps = |line: &&usize| {
        let own = &pipework.lines[**line];
        let pocket =
            mean_velocity_m_s(flow_m3_s, own.bore_m).and_then(|velocity| air_pocket(velocity, own.bore_m));
        own.crest.is_some() && !matches!(pocket, Ok(AirPocket::Clears))
    };
    suction
        .iter()
        .find(keeps)
        .map(|line| station.lines[*line].name.clone())
}

/// The highest point of a line, m above the room's floor.
pub(crate) fn highest_m(pipework: &Pipework, line: usize) -> f64 {
    let line = &pipework.lines[line];
    let ends = line.from_height_m.max(line.to_height_m);
    line.crest.map_or(ends, |(_, crest)| crest.max(ends))
}

/// Pressure from outside that a soft line bears, by the softer end of what its material may be; a third of the theory's,
/// since bends and an oval section take so much of it at most (common practice, no source).
fn bears_pa(station: &Station, line: usize) -> Option<f64> {
    let tube = station.plumbing.lines[line].tube?;
    if tube.kind != TubeKind::VinylHose {
        return None;
    }
    let (least, _) = SoftMaterial::SoftVinyl.modulus_pa();
    collapse_pressure_pa(&Tube {
        outer_m: tube.outer_diameter_m,
        wall_m: (tube.outer_diameter_m - tube.inner_diameter_m) / 2.0,
        modulus_pa: least,
        poisson: SoftMaterial::SoftVinyl.poisson(),
    })
    .ok()
    .map(|pa| pa / 3.0)
}
