//! The network at one moment: every line's flow, every node's pressure.

use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::network::NodeId;
use serde::Serialize;
use station::plumbing::End;
use station::{Situation, Station};

use super::balance::{VesselBalance, balances};
use super::build::Pipework;
use super::paths::Without;
use super::plain_network;
use super::setting::find_setting;
use super::state::{STILL_M3_S, Setting, State};
use crate::assess::{Scope, assess};
use crate::method::Refusal;

/// A line or valve with what flows in it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinkFlow {
    /// Its name in the station file.
    pub name: String,
    /// `line` or `pump`.
    pub kind: &'static str,
    /// Flow from its beginning to its end.
    pub flow_m3_per_s: f64,
    /// Mean velocity in its bore.
    pub velocity_m_per_s: f64,
    /// Head that it takes along the flow's direction; below 0 for a pump that lifts.
    pub head_loss_m: f64,
    /// Reynolds number; `None` for a pump.
    pub reynolds: Option<f64>,
    /// How the water runs in it; a pump is turbulent or still.
    pub regime: Regime,
}

/// How water runs in a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Regime {
    /// Not at all.
    Still,
    /// Smoothly.
    Laminar,
    /// Between the two, where nobody knows which it will be.
    Between,
    /// In eddies.
    Turbulent,
}

impl Regime {
    fn of(flow_m3_s: f64, reynolds: f64) -> Self {
        match reynolds {
            _ if flow_m3_s.abs() <= STILL_M3_S => Self::Still,
            _ if reynolds < BETWEEN.0 => Self::Laminar,
            _ if reynolds <= BETWEEN.1 => Self::Between,
            _ => Self::Turbulent,
        }
    }
}

/// Reynolds numbers between which flow in a tube is neither laminar nor turbulent (Crane TP-410).
const BETWEEN: (f64, f64) = (2000.0, 4000.0);

/// A place with its head and pressure, without velocity head.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NodeHead {
    /// Its name: of a tee, draw point or vessel, `pump inlet`, `line crest`.
    pub name: String,
    /// Height above the room's floor plus head of pressure, of the water that the task moves.
    pub head_m: Option<f64>,
    /// Pressure above the air's; `None` where nothing tells, behind closed valves.
    pub gauge_pressure_pa: Option<f64>,
    /// Height above the room's floor.
    pub height_m: f64,
    /// Whether a line that carries water begins, ends or has its crest here.
    pub in_flow: bool,
}

/// The level in a vessel at the moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VesselLevel {
    /// The vessel.
    pub vessel: String,
    /// Above its floor.
    pub level_m: f64,
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
    /// The levels of the moment, in the order of the station's vessels.
    pub levels: Vec<VesselLevel>,
    /// Every line with its valves, and every pump: those on the way first, from the source on; then the others.
    pub links: Vec<LinkFlow>,
    /// Every place, in the same order.
    pub nodes: Vec<NodeHead>,
    /// What comes into each vessel and leaves it, in the order of the station's vessels.
    pub vessels: Vec<VesselBalance>,
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
    let mut state = State::new(station, &pipework);
    let found = find_setting(station, &mut state, task, &Without::nothing());
    let Some(setting) = found.setting else {
        return Err(FlowFault::NoSetting {
            name: lineup.to_owned(),
        });
    };
    let mut flows = flows_with(station, &mut state, at, &setting, situation)?;
    let (links, nodes) = in_order(station, task.from, &found.lines, &flows);
    flows.links.sort_by_key(|link| {
        let on_way = links
            .iter()
            .position(|(kind, name)| *kind == link.kind && *name == link.name);
        (on_way.unwrap_or(usize::MAX), link.regime == Regime::Still)
    });
    flows.nodes.sort_by_key(|node| {
        let on_way = nodes.iter().position(|name| *name == node.name);
        (on_way.unwrap_or(usize::MAX), !node.in_flow)
    });
    let assessed = assess(station, Scope::WithoutPlumbing);
    let permeate = assessed.sheet.find("permeate");
    let permeate_m3_s = permeate.map_or(0.0, |permeate| assessed.sheet.value(permeate));
    flows.vessels = balances(station, &state, permeate_m3_s);
    flows.put_in_words(station);
    Ok(flows)
}

/// Links and nodes of a way, from its source on.
fn in_order(
    station: &Station,
    from: End,
    way: &[usize],
    flows: &Flows,
) -> (Vec<(&'static str, String)>, Vec<String>) {
    let (mut links, mut nodes) = (Vec::new(), Vec::new());
    let mut here = from;
    for line in way {
        let joined = station.plumbing.lines[*line];
        let own = &station.lines[*line].name;
        let far = if joined.from == here {
            joined.to
        } else {
            joined.from
        };
        links.push(("line", own.clone()));
        nodes.push(node_name(station, *line, here));
        nodes.push(format!("{own} crest"));
        nodes.push(node_name(station, *line, far));
        if let End::Pump(pump) = far {
            links.push(("pump", station.pumps[pump].name.clone()));
        }
        here = far;
    }
    // What carries water beside the way follows, line by line.
    for link in flows.links.iter().filter(|link| link.regime != Regime::Still) {
        if let Some(line) = station.lines.iter().position(|line| line.name == link.name) {
            let joined = station.plumbing.lines[line];
            nodes.push(node_name(station, line, joined.from));
            nodes.push(format!("{} crest", link.name));
            nodes.push(node_name(station, line, joined.to));
        }
    }
    (links, nodes)
}

/// The name of the node at an end of a line.
fn node_name(station: &Station, line: usize, end: End) -> String {
    let own = station.name_of(end);
    match end {
        End::Tee(_) => own.to_owned(),
        End::Pump(_) if station.plumbing.lines[line].to == end => format!("{own} inlet"),
        End::Pump(_) => format!("{own} outlet"),
        End::Vessel(_) | End::Tank(_) | End::Draw(_) => format!("{own} at {}", station.lines[line].name),
    }
}

/// As [`flows`], with a setting that is known.
pub(super) fn flows_with(
    station: &Station,
    state: &mut State<'_>,
    at: usize,
    setting: &Setting,
    situation: &Situation,
) -> Result<Flows, Refusal> {
    let task = &station.plumbing.tasks[at];
    state.begin(situation, setting)?;
    let effort = state.solve(task.from)?;
    let pipework = state.pipework;
    let named = |(valve, open): (&station::Named<station::sections::ValveFields>, &bool)| {
        (*open && valve.fields.kind.value.is_set()).then(|| valve.name.clone())
    };
    Ok(Flows {
        lineup: station.lineups[at].name.clone(),
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
        levels: station
            .vessels
            .iter()
            .enumerate()
            .map(|(at, vessel)| VesselLevel {
                vessel: vessel.name.clone(),
                level_m: state.level_m(at),
            })
            .collect(),
        links: links(station, pipework, state),
        nodes: nodes(station, pipework, state),
        vessels: Vec::new(),
        residual_m3_per_s: state.solver.flow_residual_m3_s(),
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
        let reynolds = velocity.abs() * place.bore_m / viscosity;
        out.push(LinkFlow {
            name: line.name.clone(),
            kind: "line",
            flow_m3_per_s: flow,
            velocity_m_per_s: velocity,
            head_loss_m: place
                .links
                .iter()
                .map(|link| state.solver.head_loss_m(*link))
                .sum(),
            reynolds: Some(reynolds),
            regime: Regime::of(flow, reynolds),
        });
    }
    for (pump, place) in station.pumps.iter().zip(&pipework.pumps) {
        let flow = state.solver.flow_m3_s(place.link);
        out.push(LinkFlow {
            name: pump.name.clone(),
            kind: "pump",
            flow_m3_per_s: flow,
            velocity_m_per_s: 0.0,
            head_loss_m: state.solver.head_loss_m(place.link),
            reynolds: None,
            regime: Regime::of(flow, f64::INFINITY),
        });
    }
    out
}

fn nodes(station: &Station, pipework: &Pipework, state: &State<'_>) -> Vec<NodeHead> {
    let mut out = Vec::new();
    let carries = |line: usize| state.line_flow_m3_s(line).abs() > STILL_M3_S;
    let mut tell = |name: String, node: NodeId, height_m: f64, line: Option<usize>, in_flow: bool| {
        let density = line
            .and_then(|line| pipework.lines[line].links.first())
            .map_or(1000.0, |link| state.solver.water(*link).density_kg_m3());
        let pressure = state.solver.gauge_pressure_pa(node);
        out.push(NodeHead {
            name,
            head_m: pressure.map(|pressure| height_m + pressure / (density * GRAVITY_M_S2)),
            gauge_pressure_pa: pressure,
            height_m,
            in_flow,
        });
    };
    for (at, tee) in station.tees.iter().enumerate() {
        let line = station.plumbing.lines_at(End::Tee(at)).next();
        tell(
            tee.name.clone(),
            pipework.tees[at],
            tee.fields.height.value.m(),
            line,
            station.plumbing.lines_at(End::Tee(at)).any(carries),
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
            side(true).is_some_and(carries),
        );
        tell(
            format!("{} outlet", pump.name),
            place.outlet,
            place.height_m,
            side(false),
            side(false).is_some_and(carries),
        );
    }
    for terminal in &pipework.terminals {
        let name = node_name(station, terminal.line, terminal.end);
        let line = terminal.line;
        tell(name, terminal.node, terminal.height_m, Some(line), carries(line));
    }
    for (at, line) in pipework.lines.iter().enumerate() {
        if let Some((node, height_m)) = line.crest {
            tell(
                format!("{} crest", station.lines[at].name),
                node,
                height_m,
                Some(at),
                carries(at),
            );
        }
    }
    out
}
