//! The doubt of plumbing: flows, times and what stands before a pump, told to the sheet with the computation behind
//! them.

use std::sync::Arc;

use physics::hydraulics::network::Flows;
use station::plumbing::End;
use station::quantity::{Kind, Spread};
use station::{Situation, Station};

use super::build::{Pipework, build};
use super::look::{PumpAtWork, suction_lines};
use super::numbers::Listed;
use super::state::{STILL_M3_S, Setting, State};
use super::{Lineup, Plan, arriving};
use crate::method::{Method, Refusal};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet, Told, When};

/// Values of one task at one level, in their order in the solution.
const FLOW: usize = 0;
const TIME: usize = 1;
const HEAD: usize = 2;
const INLET: usize = 3;
const VALUES: usize = 4;

/// Tells the values of every task and level, with what they rest on.
pub(super) fn doubt(
    (station, pipework): (&Station, &Pipework),
    sheet: &mut Sheet,
    (inputs, names): (Vec<NodeId>, Vec<String>),
    plans: Vec<Plan>,
    lineups: &mut [Lineup],
    pumps: &mut [PumpAtWork],
) {
    let shown: Vec<Vec<usize>> = plans.iter().map(|plan| rests_on(station, plan, &names)).collect();
    let copies = plans.clone();
    // The station goes along: a draw builds its network anew.
    let again = Again {
        station: Arc::new(station.clone()),
        starts: starts(station, pipework, &plans),
        plans,
    };
    let solve = Arc::new(move |values: &[f64]| again.solve(values));
    let solution = sheet.solution(inputs, names, (When::AtOnce, solve));
    let mut at = 0_usize;
    for (place, lineup) in lineups.iter_mut().enumerate() {
        let plan = &copies[place];
        for moment in &mut lineup.moments {
            let told = Telling {
                solution,
                at,
                lineup: lineup.name.clone(),
                source: moment.source,
                shown: &shown[place],
            };
            at += VALUES;
            let (flow, time) = moment.nominal;
            let flow = flow.map(|flow| told.tell(sheet, FLOW, flow, "flow", "flow", &m::LINEUP_FLOW));
            let time = time.map(|time| told.tell(sheet, TIME, time, "time", "time", &m::LINEUP_TIME));
            moment.flow = flow.map(|node| sheet.estimate(node));
            moment.time = time.map(|node| sheet.estimate(node));
            let work = pumps
                .iter_mut()
                .find(|work| work.lineup == lineup.name && work.source == moment.source);
            if let (Some(work), Some(flow)) = (work, flow) {
                // What can't be told keeps its plain value.
                let _ = pump(station, sheet, &told, plan, flow, work);
            }
        }
    }
}

/// Where a value of the solution is told.
struct Telling<'a> {
    solution: usize,
    at: usize,
    lineup: String,
    source: &'static str,
    shown: &'a [usize],
}

impl Telling<'_> {
    fn key(&self, what: &str) -> String {
        match self.source {
            "full" => format!("lineups.{}.{what}", self.lineup),
            source => format!("lineups.{}.{what}-{source}", self.lineup),
        }
    }

    fn title(&self, what: &str) -> String {
        let with = match self.source {
            "full" => "with the source full",
            "half" => "with the source half full",
            _ => "with the source at its start level",
        };
        format!("{what} of {}, {with}", self.lineup)
    }

    fn tell(
        &self,
        sheet: &mut Sheet,
        offset: usize,
        value: f64,
        key: &str,
        title: &str,
        method: &'static Method,
    ) -> NodeId {
        let told = Told {
            key: self.key(key),
            title: self.title(title),
            method,
            shown: self.shown.to_vec(),
        };
        sheet.output(self.solution, self.at + offset, value, told)
    }
}

/// Head, pressure before it and least level of a pump at work.
fn pump(
    station: &Station,
    sheet: &mut Sheet,
    told: &Telling<'_>,
    plan: &Plan,
    flow: NodeId,
    work: &mut PumpAtWork,
) -> Result<(), Refusal> {
    let Some(pump) = plan.task.pump else { return Ok(()) };
    let head = told.tell(
        sheet,
        HEAD,
        work.head_m,
        "head",
        "head of the pump",
        &m::LINEUP_HEAD,
    );
    let inlet = told.tell(
        sheet,
        INLET,
        work.inlet_gauge_pressure_pa,
        "inlet",
        "pressure before the pump",
        &m::LINEUP_INLET,
    );
    work.head = Some(sheet.estimate(head));
    let altitude = sheet.given(&station.room.altitude);
    let mut known = |path: &str, value: f64, kind: Kind, reason: &str| {
        sheet.assumed(
            &format!("lineups.{}.{path}", told.lineup),
            value,
            kind,
            Spread::NONE,
            reason,
        )
    };
    let temperature = known(
        "temperature",
        work.temperature_c,
        Kind::Temperature,
        "of the water that it moves",
    );
    let salinity = known(
        "salinity",
        work.practical_salinity,
        Kind::Salinity,
        "of the water that it moves",
    );
    let npsh = sheet.figure(
        told.key("npsh"),
        told.title("head of pressure above the vapour's (NPSH) before the pump"),
        &m::NPSH_AVAILABLE,
        &[inlet, altitude, temperature, salinity],
    )?;
    work.npsh = Some(sheet.estimate(npsh));
    let first = suction_lines(station, &plan.lines, pump).first().copied();
    if let (End::Vessel(vessel), Some(line)) = (plan.task.from, first) {
        let fields = &station.lines[line].fields;
        let outlet = match &fields.from_level {
            Some(level) => sheet.given(level),
            None => sheet.given(&station.vessels[vessel].fields.outlet_level),
        };
        let path = format!("lines.{}.bore", station.lines[line].name);
        if let Some(bore) = sheet.leaf_at(&path) {
            let least = sheet.figure(
                told.key("least-level"),
                told.title("level of the source below which the pump draws air"),
                &m::LEAST_LEVEL,
                &[outlet, bore, flow],
            )?;
            work.least_level = Some(sheet.estimate(least));
        }
    }
    Ok(())
}

/// What every draw shares.
struct Again {
    station: Arc<Station>,
    plans: Vec<Plan>,
    /// For each plan and moment the flows that it comes to by the values of the file; empty where it comes to none.
    starts: Vec<Flows>,
}

/// The flows of every plan and moment by the values of the file, in order.
fn starts(station: &Station, pipework: &Pipework, plans: &[Plan]) -> Vec<Flows> {
    let mut state = State::new(station, pipework);
    let moments = plans
        .iter()
        .flat_map(|plan| plan.moments.iter().map(move |moment| (plan, moment)));
    moments
        .map(|(plan, (situation, flow, _))| {
            let mut flows = Flows::default();
            if let (Some(setting), Some(_)) = (&plan.setting, flow)
                && drawn(&mut state, plan, setting, situation).is_ok()
            {
                state.keep(&mut flows);
            }
            flows
        })
        .collect()
}

impl Again {
    /// All values of every plan and moment, in order, for one draw of the numbers.
    ///
    /// The time goes with the flow at the beginning: what differs from draw to draw, losses and bores, acts much alike at
    /// every level of one task.
    fn solve(&self, values: &[f64]) -> Vec<f64> {
        let pipework = build(&self.station, &mut Listed::of(values));
        let mut state = pipework
            .as_ref()
            .ok()
            .map(|pipework| State::new(&self.station, pipework));
        let mut starts = self.starts.iter();
        let mut out = Vec::new();
        for plan in &self.plans {
            for (situation, flow, time) in &plan.moments {
                let start = starts.next().filter(|start| !start.is_empty());
                let drawn = match (&mut state, &plan.setting, flow) {
                    (Some(state), Some(setting), Some(_)) => start
                        .map_or(Ok(()), |start| state.start_from(start))
                        .and_then(|()| drawn(state, plan, setting, situation))
                        .ok(),
                    _ => None,
                };
                let mut own = [f64::NAN; VALUES];
                if let (Some(drawn), Some(flow)) = (drawn, flow) {
                    own[FLOW] = drawn.flow_m3_s;
                    own[TIME] = time.map_or(f64::NAN, |time| time * flow / drawn.flow_m3_s);
                    (own[HEAD], own[INLET]) = (drawn.head_m, drawn.inlet_pa);
                }
                out.extend(own);
            }
        }
        out
    }
}

struct Drawn {
    flow_m3_s: f64,
    head_m: f64,
    inlet_pa: f64,
}

fn drawn(
    state: &mut State<'_>,
    plan: &Plan,
    setting: &Setting,
    situation: &Situation,
) -> Result<Drawn, Refusal> {
    state.begin(situation, setting)?;
    state.solve_with(plan.task.from)?;
    let flow_m3_s = arriving(state, &plan.task);
    if flow_m3_s <= STILL_M3_S {
        return Err(Refusal::NoFlow);
    }
    let (head_m, inlet_pa) = match plan.task.pump {
        Some(pump) => {
            let place = state.pipework.pumps[pump];
            let inlet = state.solver.gauge_pressure_pa(place.inlet);
            (-state.solver.head_loss_m(place.link), inlet.unwrap_or(f64::NAN))
        }
        None => (f64::NAN, f64::NAN),
    };
    Ok(Drawn {
        flow_m3_s,
        head_m,
        inlet_pa,
    })
}

/// The inputs that a task rests on: what its lines, valves and pump are, and what holds for all.
fn rests_on(station: &Station, plan: &Plan, names: &[String]) -> Vec<usize> {
    lines_rest_on(station, &plan.lines, names)
}

/// The inputs that some lines rest on.
pub(crate) fn lines_rest_on(station: &Station, lines: &[usize], names: &[String]) -> Vec<usize> {
    let mut sections = vec!["plumbing.".to_owned()];
    for line in lines.iter().copied() {
        let joined = &station.plumbing.lines[line];
        sections.push(format!("lines.{}.", station.lines[line].name));
        sections.extend([joined.from, joined.to].map(|end| match end {
            End::Vessel(at) => format!("vessels.{}.", station.vessels[at].name),
            End::Tank(at) => format!("tanks.{}.", station.tanks[at].name),
            End::Pump(at) => format!("pumps.{}.", station.pumps[at].name),
            End::Tee(at) => format!("tees.{}.", station.tees[at].name),
            End::Draw(at) => format!("draw_points.{}.", station.draw_points[at].name),
        }));
        let valves = station.plumbing.valves_of(line);
        sections.extend(valves.map(|valve| format!("valves.{}.", station.valves[valve].name)));
    }
    let mut shown: Vec<usize> = Vec::new();
    for (at, name) in names.iter().enumerate() {
        let counts = sections.iter().any(|section| name.starts_with(section.as_str()));
        if counts && shown.iter().all(|before| names[*before] != *name) {
            shown.push(at);
        }
    }
    shown
}
