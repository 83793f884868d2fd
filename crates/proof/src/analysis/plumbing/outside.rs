//! The network of a station as plain data, so that others can solve it, too, and what it comes to here.
//!
//! One water of 1000 kg/m³ in all lines and every siphon hole stopped up: what a program for water networks can say.

use physics::hydraulics::friction::ChurchillUntabled;
use physics::hydraulics::network::Element;
use serde::Serialize;
use station::plumbing::End;
use station::{Situation, Station};

use super::state::{Setting, State};
use super::{LineInNetwork, plain_network};
use crate::method::Refusal;

/// Points of a pump's curve, from no flow to the most.
const POINTS: u32 = 24;

/// A network at a moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainNetwork {
    /// Its lines, as the station has them.
    pub lines: Vec<PlainLine>,
    /// Its pumps.
    pub pumps: Vec<PlainPump>,
    /// Kinematic viscosity of the water.
    pub viscosity_m2_per_s: f64,
}

/// A line with everything in it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainLine {
    /// Its name.
    pub name: String,
    /// Valves that can close it.
    pub valves: Vec<String>,
    /// Where it begins and ends.
    pub ends: [PlainEnd; 2],
    /// Inner diameter.
    pub bore_m: f64,
    /// Length.
    pub length_m: f64,
    /// Height of its roughness.
    pub roughness_m: f64,
    /// Loss coefficient of fittings and open valves at full turbulence, on its bore. Their laminar parts aren't told.
    pub loss: f64,
}

/// An end of a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PlainEnd {
    /// A tee, or a port of a pump.
    Joint(String),
    /// A vessel, a tank or the air.
    Open {
        /// Head above the room's floor.
        head_m: f64,
        /// Whether water can come from there; else it is an outlet in the air.
        gives: bool,
    },
}

/// A pump.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainPump {
    /// Its name; its ports are joints of this name with ` in` and ` out`.
    pub name: String,
    /// Flow and head at the speed of the file.
    pub curve: Vec<(f64, f64)>,
    /// Loss by the square of the flow while it stands still.
    pub standing_loss_s2_per_m5: f64,
}

/// The network of a station at a moment.
///
/// # Errors
/// [`Refusal`] where it can't be computed.
pub fn plain(station: &Station, situation: &Situation) -> Result<PlainNetwork, Refusal> {
    let pipework = plain_network(station)?;
    let lines = pipework.lines.iter().enumerate().map(|(at, line)| {
        let joined = station.plumbing.lines[at];
        let mut own = PlainLine {
            name: station.lines[at].name.clone(),
            valves: station
                .plumbing
                .valves_of(at)
                .map(|valve| station.valves[valve].name.clone())
                .collect(),
            ends: [
                end(station, situation, line, (joined.from, true)),
                end(station, situation, line, (joined.to, false)),
            ],
            bore_m: line.bore_m,
            length_m: 0.0,
            roughness_m: 0.0,
            loss: 0.0,
        };
        for link in &line.links {
            match pipework.network.element(*link) {
                Some(Element::Line(tube)) => {
                    own.length_m += tube.length_m;
                    own.roughness_m = tube.roughness_m;
                    own.loss += tube.loss.turbulent;
                }
                Some(Element::Valve(passage) | Element::Passage(passage)) => {
                    own.loss += passage.loss.turbulent;
                }
                _ => {}
            }
        }
        own
    });
    let pumps = station
        .pumps
        .iter()
        .zip(&pipework.pumps)
        .filter_map(|(pump, place)| {
            let Some(Element::Pump(own)) = pipework.network.element(place.link) else {
                return None;
            };
            let speed = pump.fields.speed.value.of_one();
            let most = own.curve.largest_flow_m3_s() * speed;
            let flows = (0..=POINTS).map(|at| most * f64::from(at) / f64::from(POINTS));
            Some(PlainPump {
                name: pump.name.clone(),
                curve: flows
                    .map(|flow| (flow, own.curve.at_speed(flow, speed).0))
                    .collect(),
                standing_loss_s2_per_m5: own.standing_loss_s2_m5,
            })
        });
    Ok(PlainNetwork {
        lines: lines.collect(),
        pumps: pumps.collect(),
        viscosity_m2_per_s: physics::hydraulics::LineWater::nominal().kinematic_viscosity_m2_s(),
    })
}

fn end(
    station: &Station,
    situation: &Situation,
    line: &LineInNetwork,
    (end, first): (End, bool),
) -> PlainEnd {
    let mouth_m = if first {
        line.from_height_m
    } else {
        line.to_height_m
    };
    let surface_m = match end {
        End::Tee(_) => return PlainEnd::Joint(station.name_of(end).to_owned()),
        End::Pump(_) => {
            let port = if first { "out" } else { "in" };
            return PlainEnd::Joint(format!("{} {port}", station.name_of(end)));
        }
        End::Vessel(at) => {
            Some(station.vessels[at].fields.floor_height.value.m() + situation.vessels[at].level_m)
        }
        End::Tank(at) => {
            let height = station.tanks[at].fields.water_height.as_ref();
            height.map(|height| height.value.m())
        }
        End::Draw(_) => None,
    };
    PlainEnd::Open {
        head_m: surface_m.map_or(mouth_m, |surface| surface.max(mouth_m)),
        gives: surface_m.is_some_and(|surface| match end {
            End::Vessel(_) => surface >= mouth_m,
            _ => surface > mouth_m,
        }),
    }
}

/// The flow of each line, from its beginning to its end, with some valves open and pumps running.
///
/// # Errors
/// [`Refusal`] where it can't be computed.
pub fn plain_flows(
    station: &Station,
    situation: &Situation,
    valves_open: &[String],
    pumps_on: &[String],
) -> Result<Vec<f64>, Refusal> {
    let pipework = plain_network(station)?;
    let mut state = State::<ChurchillUntabled>::new(station, &pipework);
    let mut situation = situation.clone();
    for vessel in &mut situation.vessels {
        vessel.practical_salinity = 0.0;
    }
    let closed = Setting {
        open: vec![false; station.valves.len()],
        pump: None,
    };
    state.begin(&situation, &closed)?;
    state.stop_holes(true);
    state.set_switches(
        |valve| valves_open.contains(&station.valves[valve].name),
        |pump| pumps_on.contains(&station.pumps[pump].name),
    )?;
    state.solve_in_nominal_water()?;
    Ok((0..station.lines.len())
        .map(|line| state.line_flow_m3_s(line))
        .collect())
}
