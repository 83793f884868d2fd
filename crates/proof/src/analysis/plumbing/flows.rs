//! The network at one moment: every line's flow, every node's pressure.

use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::network::NodeId;
use serde::Serialize;
use station::plumbing::End;
use station::{Situation, Station};

use super::build::Pipework;
use super::plain_network;
use super::setting::find_setting;
use super::state::State;
use crate::method::Refusal;

/// A line or valve with what flows in it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinkFlow {
    /// Its name in the station file.
    pub name: String,
    /// Flow from its beginning to its end.
    pub flow_m3_per_s: f64,
    /// Mean velocity in its bore.
    pub velocity_m_per_s: f64,
    /// Head that it takes along the flow's direction; below 0 for a pump that lifts.
    pub head_loss_m: f64,
    /// Reynolds number; `None` for a pump.
    pub reynolds: Option<f64>,
}

/// A place with its head and pressure, without velocity head.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NodeHead {
    /// Its name: of a tee, draw point or vessel, `pump inlet`, `line crest`.
    pub name: String,
    /// Height above the room's floor plus head of pressure, of the water that the task moves.
    pub head_m: Option<f64>,
    /// Pressure above the air's; `None` where nothing tells, behind closed valves.
    pub gauge_pressure_pa: Option<f64>,
}

/// The network at one moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Flows {
    /// The task.
    pub lineup: String,
    /// The moment.
    pub situation: String,
    /// Valves that are open.
    pub valves_open: Vec<String>,
    /// Pumps that run.
    pub pumps_on: Vec<String>,
    /// Every line, valve and pump.
    pub links: Vec<LinkFlow>,
    /// Every place.
    pub nodes: Vec<NodeHead>,
    /// Largest sum of flows at a junction.
    pub residual_m3_per_s: f64,
    /// Steps of the solver.
    pub iterations: u32,
}

/// Why there are no flows to tell.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FlowFault {
    /// No such task.
    #[error("no lineup is named `{name}`")]
    NoSuchLineup {
        /// The name asked for.
        name: String,
        /// Those there are.
        known: Vec<String>,
    },
    /// The task has no setting.
    #[error("no setting of the valves does `{name}`")]
    NoSetting {
        /// The task.
        name: String,
    },
    /// The network can't be computed.
    #[error("the network can't be computed: {0}")]
    Refused(#[from] Refusal),
}

/// What flows where in one task at one moment.
///
/// # Errors
/// [`FlowFault`].
pub fn flows(station: &Station, lineup: &str, situation: &Situation) -> Result<Flows, FlowFault> {
    let at = station
        .lineups
        .iter()
        .position(|own| own.name == lineup)
        .ok_or_else(|| FlowFault::NoSuchLineup {
            name: lineup.to_owned(),
            known: station.lineups.iter().map(|own| own.name.clone()).collect(),
        })?;
    let pipework = plain_network(station)?;
    let task = &station.plumbing.tasks[at];
    let Some(setting) = find_setting(station, &pipework, task).setting else {
        return Err(FlowFault::NoSetting {
            name: lineup.to_owned(),
        });
    };
    let mut state = State::new(station, &pipework, situation)?;
    state.set(&setting)?;
    let effort = state.solve(task.from)?;
    let named = |(valve, open): (&station::Named<station::sections::ValveFields>, &bool)| {
        (*open && !valve.fields.kind.value.is_check()).then(|| valve.name.clone())
    };
    Ok(Flows {
        lineup: lineup.to_owned(),
        situation: situation.name.clone(),
        valves_open: station
            .valves
            .iter()
            .zip(&setting.open)
            .filter_map(named)
            .collect(),
        pumps_on: task
            .pump
            .iter()
            .map(|pump| station.pumps[*pump].name.clone())
            .collect(),
        links: links(station, &pipework, &state),
        nodes: nodes(station, &pipework, &state),
        residual_m3_per_s: effort.residual_m3_s,
        iterations: effort.iterations,
    })
}

fn links(station: &Station, pipework: &Pipework, state: &State<'_>) -> Vec<LinkFlow> {
    let mut out = Vec::new();
    for (line, place) in station.lines.iter().zip(&pipework.lines) {
        let flow = place
            .links
            .first()
            .map_or(0.0, |link| state.solver.flow_m3_s(*link));
        let area_m2 = core::f64::consts::FRAC_PI_4 * place.bore_m * place.bore_m;
        let viscosity = place
            .links
            .first()
            .map_or(1e-6, |link| state.solver.water(*link).kinematic_viscosity_m2_s());
        let velocity = flow / area_m2;
        out.push(LinkFlow {
            name: line.name.clone(),
            flow_m3_per_s: flow,
            velocity_m_per_s: velocity,
            head_loss_m: place
                .links
                .iter()
                .map(|link| state.solver.head_loss_m(*link))
                .sum(),
            reynolds: Some(velocity.abs() * place.bore_m / viscosity),
        });
    }
    for (pump, place) in station.pumps.iter().zip(&pipework.pumps) {
        out.push(LinkFlow {
            name: pump.name.clone(),
            flow_m3_per_s: state.solver.flow_m3_s(place.link),
            velocity_m_per_s: 0.0,
            head_loss_m: state.solver.head_loss_m(place.link),
            reynolds: None,
        });
    }
    out
}

fn nodes(station: &Station, pipework: &Pipework, state: &State<'_>) -> Vec<NodeHead> {
    let mut out = Vec::new();
    let mut tell = |name: String, node: NodeId, height_m: f64, line: Option<usize>| {
        let density = line
            .and_then(|line| pipework.lines[line].links.first())
            .map_or(1000.0, |link| state.solver.water(*link).density_kg_m3());
        let pressure = state.solver.gauge_pressure_pa(node);
        out.push(NodeHead {
            name,
            head_m: pressure.map(|pressure| height_m + pressure / (density * GRAVITY_M_S2)),
            gauge_pressure_pa: pressure,
        });
    };
    for (at, tee) in station.tees.iter().enumerate() {
        let line = station.plumbing.lines_at(End::Tee(at)).next();
        tell(
            tee.name.clone(),
            pipework.tees[at],
            tee.fields.height.value.m(),
            line,
        );
    }
    for (at, pump) in station.pumps.iter().enumerate() {
        let place = pipework.pumps[at];
        let side = |end_is_pump: bool| {
            station.plumbing.lines.iter().position(|line| {
                if end_is_pump {
                    line.to == End::Pump(at)
                } else {
                    line.from == End::Pump(at)
                }
            })
        };
        tell(
            format!("{} inlet", pump.name),
            place.inlet,
            place.height_m,
            side(true),
        );
        tell(
            format!("{} outlet", pump.name),
            place.outlet,
            place.height_m,
            side(false),
        );
    }
    for terminal in &pipework.terminals {
        let line = &station.lines[terminal.line].name;
        let name = format!("{} at {line}", station.name_of(terminal.end));
        tell(name, terminal.node, terminal.height_m, Some(terminal.line));
    }
    for (at, line) in pipework.lines.iter().enumerate() {
        if let Some((node, height_m)) = line.crest {
            tell(
                format!("{} crest", station.lines[at].name),
                node,
                height_m,
                Some(at),
            );
        }
    }
    out
}
