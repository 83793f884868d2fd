//! Mixing: what the pump does to a batch while it goes round.
//!
//! Owns: turnover, mixing by the jet, whether salt keeps moving, what to flush before sampling, when to measure. Doesn't
//! own: the correlations (physics').

use physics::hydraulics::LineWater;
use physics::jet::{
    DeadLeg, Grain, GrainShape, LayerFate, Liquid, Nozzle, SaltOnFloor, floor_transport, flush, layer_fate,
};
use physics::seawater;
use serde::Serialize;
use station::plumbing::End;
use station::quantity::{Kind, Spread, SpreadShape};
use station::sections::Aim;
use station::{Situation, Station};

use super::build::Pipework;
use super::{Lineup, Plan};
use crate::estimate::Estimate;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// A vessel that its pump goes round.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mixing {
    /// The task.
    pub lineup: String,
    /// The vessel.
    pub vessel: String,
    /// Water in it.
    pub volume_m3: f64,
    /// Time in which the pump moves that once.
    pub turnover: Estimate,
    /// Whether the jet is strong enough for the correlations of jets; if not, the times are by turnovers.
    pub by_jet: bool,
    /// Velocity at the end of its line.
    pub nozzle_m_per_s: f64,
    /// Time to mix it to 95 %, by the shortest of the published correlations; nothing by turnovers.
    pub to_95_shortest: Option<Estimate>,
    /// By the longest, which is counted with.
    pub to_95: Estimate,
    /// To 99 %.
    pub to_99: Estimate,
    /// What salt that sank does at the far wall, under this jet along the floor.
    pub salt_on_floor: &'static str,
    /// What becomes of brine under a heap of salt there; nothing where the jet isn't along the floor.
    pub brine_on_floor: Option<&'static str>,
    /// Time in which a grain dissolves while it drifts.
    pub grain_dissolves: Estimate,
    /// Time from the last salt to the first measurement that counts.
    pub first_measurement: Estimate,
    /// Water to let run from the lines before sampling, m³, for 1 % of the old.
    pub flush_m3: Option<f64>,
}

impl Mixing {
    /// Every estimate, for its interval.
    pub(super) fn each(&mut self, fill: &mut impl FnMut(&mut Estimate)) {
        for estimate in [
            Some(&mut self.turnover),
            self.to_95_shortest.as_mut(),
            Some(&mut self.to_95),
            Some(&mut self.to_99),
            Some(&mut self.grain_dissolves),
            Some(&mut self.first_measurement),
        ]
        .into_iter()
        .flatten()
        {
            fill(estimate);
        }
    }
}

/// Diameter of a grain of the mix, m, and its doubt (common practice, no source: fine to coarse table salt).
const GRAIN_M: (f64, f64) = (1e-3, 0.6e-3);
/// Time for a meter's or a sample's temperature to settle, s (house rule).
const TEMPERATURE_S: f64 = 300.0;
/// A layer of brine as it forms under a heap of salt, m (house rule), and its density when saturated, kg/m³ (from memory).
const BRINE_M: f64 = 0.02;
const BRINE_KG_M3: f64 = 1197.0;
/// Share of old water that a sample may hold.
const OLD_SHARE: f64 = 0.01;

/// The mixing of one task round a vessel; nothing for another.
pub(super) fn mixing(
    station: &Station,
    pipework: &Pipework,
    plan: &Plan,
    lineup: &Lineup,
    sheet: &mut Sheet,
) -> Result<Option<Mixing>, Refusal> {
    let (End::Vessel(vessel), true) = (plan.task.from, plan.task.from == plan.task.to) else {
        return Ok(None);
    };
    let Some((flow, last)) = lineup
        .moments
        .first()
        .and_then(|moment| moment.flow.as_ref())
        .zip(plan.lines.last())
    else {
        return Ok(None);
    };
    let full = Situation::full(station).vessels[vessel];
    let own = &station.vessels[vessel];
    let volume_m3 = own.shape.volume_m3(full.level_m)?;
    let line = &pipework.lines[*last];
    let fields = &station.lines[*last].fields;
    let nozzle_m = fields
        .nozzle
        .as_ref()
        .map_or(line.bore_m, |nozzle| nozzle.value.m());
    let water = LineWater::of_salinity(full.practical_salinity, full.temperature_c)?;
    // The sheet comes in by hand: given values go onto it between these.
    let known = |sheet: &mut Sheet, path: &str, value: f64, kind: Kind, half_width: f64, reason: &str| {
        let spread = Spread {
            half_width,
            shape: SpreadShape::Normal,
        };
        sheet.assumed(
            &format!("mixing.{}.{path}", lineup.name),
            value,
            kind,
            spread,
            reason,
        )
    };
    let flow_node = flow.node;
    let volume = known(
        sheet,
        "volume",
        volume_m3,
        Kind::Volume,
        0.0,
        "the vessel when its batch is finished",
    );
    let depth = known(sheet, "depth", full.level_m, Kind::Length, 0.0, "its level then");
    let nozzle = match &fields.nozzle {
        Some(given) => sheet.given(given),
        None => known(
            sheet,
            "nozzle",
            nozzle_m,
            Kind::Length,
            0.0,
            "the bore of the line's end",
        ),
    };
    let viscosity = known(
        sheet,
        "viscosity",
        water.kinematic_viscosity_m2_s(),
        Kind::Number,
        0.0,
        "kinematic viscosity of the batch in m2/s, after SHARQAWY-2010",
    );
    let up = f64::from(fields.aim.value == Aim::Up);
    let aim = known(
        sheet,
        "aim",
        up,
        Kind::Number,
        0.0,
        "where its jet points, by the file",
    );
    let factor = known(
        sheet,
        "correlations",
        1.0,
        Kind::Number,
        0.5,
        "published correlations of mixing times differ by a factor of 2",
    );
    let grain = known(
        sheet,
        "grain",
        GRAIN_M.0,
        Kind::Length,
        GRAIN_M.1,
        "common practice, no source: fine to coarse salt",
    );
    let salinity = known(
        sheet,
        "salinity",
        full.practical_salinity,
        Kind::Salinity,
        0.0,
        "the batch's target",
    );
    let temperature = known(
        sheet,
        "temperature",
        full.temperature_c,
        Kind::Temperature,
        0.0,
        "at which it is mixed",
    );
    let settles = known(
        sheet,
        "settling",
        TEMPERATURE_S,
        Kind::Time,
        0.0,
        "house rule: a sample takes the meter's temperature",
    );
    let name = &lineup.name;
    let mut tell = |key: &str, title: &str, method, inputs: &[NodeId]| {
        sheet.figure(
            format!("lineups.{name}.{key}"),
            format!("{title}, {name}"),
            method,
            inputs,
        )
    };
    let turnover = tell(
        "turnover",
        "turnover of the vessel",
        &m::TURNOVER,
        &[volume, flow_node],
    )?;
    let jet = [flow_node, nozzle, volume, depth, viscosity, aim, factor];
    // Only an end under water is a jet.
    let drowned = line.to_height_m < own.fields.floor_height.value.m() + full.level_m;
    let mut jet_time =
        |key: &str, title: &str, method| drowned.then(|| tell(key, title, method, &jet).ok()).flatten();
    let shortest = jet_time(
        "mixed-95-shortest",
        "mixed to 95 % at the earliest",
        &m::JET_SHORTEST,
    );
    let longest = jet_time("mixed-95", "mixed to 95 %", &m::JET_LONGEST);
    let to_95 = match longest {
        Some(node) => node,
        None => tell(
            "mixed-95",
            "mixed to 95 %",
            &m::TURNOVER_MIXING,
            &[turnover, factor],
        )?,
    };
    let to_99 = tell("mixed-99", "mixed to 99 %", &m::TO_99, &[to_95])?;
    let dissolves = tell(
        "grain",
        "a grain dissolves",
        &m::GRAIN_DISSOLVES,
        &[grain, salinity, temperature],
    )?;
    let first = tell(
        "first-measurement",
        "first measurement after the last salt",
        &m::FIRST_MEASUREMENT,
        &[dissolves, to_95, settles],
    )?;
    let nozzle_jet = Nozzle {
        flow_m3_s: flow.value,
        bore_m: nozzle_m,
    };
    let on_floor = salt_on_floor(&nozzle_jet, volume_m3, &full, fields.aim.value)?;
    Ok(Some(Mixing {
        lineup: name.clone(),
        vessel: own.name.clone(),
        volume_m3,
        turnover: sheet.estimate(turnover),
        by_jet: longest.is_some(),
        nozzle_m_per_s: nozzle_jet.speed_m_s()?,
        to_95_shortest: shortest.map(|node| sheet.estimate(node)),
        to_95: sheet.estimate(to_95),
        to_99: sheet.estimate(to_99),
        salt_on_floor: on_floor.0,
        brine_on_floor: on_floor.1,
        grain_dissolves: sheet.estimate(dissolves),
        first_measurement: sheet.estimate(first),
        flush_m3: flushed(pipework, plan, flow.value, water),
    }))
}

/// What sunk salt does at the far wall, and a layer of brine. Only a jet along the floor is aimed at it; others reach it as a faint return, of
/// which nothing is claimed.
fn salt_on_floor(
    nozzle: &Nozzle,
    volume_m3: f64,
    full: &station::VesselMoment,
    aim: Aim,
) -> Result<(&'static str, Option<&'static str>), Refusal> {
    if aim != Aim::Floor {
        return Ok(("not reckoned: only a jet along the floor is", None));
    }
    let across_m = libm::sqrt(4.0 * volume_m3 / (core::f64::consts::PI * full.level_m.max(0.05)));
    let liquid = Liquid {
        density_kg_m3: seawater::density_kg_m3(full.practical_salinity, full.temperature_c)?,
        viscosity_pa_s: seawater::viscosity_pa_s(full.practical_salinity, full.temperature_c)?,
    };
    let grain = Grain {
        diameter_m: GRAIN_M.0,
        density_kg_m3: 2165.0,
        shape: GrainShape::Natural,
    };
    let transport = floor_transport(nozzle, &grain, &liquid, across_m)?;
    let salt = match transport.verdict {
        SaltOnFloor::LiesStill => "lies still",
        SaltOnFloor::InDoubt => "may or may not move",
        SaltOnFloor::Rolls => "rolls along",
        SaltOnFloor::Suspended => "is carried off the floor",
    };
    // Saturated brine under the water that it is to be mixed into.
    let brine = |speed_m_s| layer_fate(BRINE_KG_M3, liquid.density_kg_m3, BRINE_M, speed_m_s);
    let brine = match (brine(transport.speed.low_m_s)?, brine(transport.speed.high_m_s)?) {
        (LayerFate::BreaksUp, _) => "breaks up",
        (_, LayerFate::LiesStill) => "lies still, and is worn down from above",
        _ => "may or may not break up",
    };
    Ok((salt, Some(brine)))
}

/// What to let run before sampling: every line on the way, one after the other.
fn flushed(pipework: &Pipework, plan: &Plan, flow_m3_s: f64, water: LineWater) -> Option<f64> {
    plan.lines
        .iter()
        .map(|line| {
            let line = &pipework.lines[*line];
            let leg = DeadLeg {
                length_m: line.length_m,
                bore_m: line.bore_m,
            };
            flush(&leg, flow_m3_s, water.kinematic_viscosity_m2_s(), OLD_SHARE)
                .ok()
                .map(|flush| flush.volume_m3)
        })
        .sum()
}
