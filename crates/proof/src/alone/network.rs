//! The network of lines with its joints: what flows where at given levels, with some joints apart.
//!
//! A joint that comes apart is a hole of the line's own bore into the air at its height. Lines are taken full of one
//! water; what stands in a vessel weighs what it weighs.

use physics::hydraulics::network::{Element, LinkId, NodeId, Passage};
use physics::hydraulics::parts::LossCoefficient;
use station::Station;
use station::plumbing::End;

use super::fault::{Joint, joints};
use crate::analysis::{Pipework, StateOfNetwork};
use crate::method::Refusal;

/// What water out of a hose's end costs, in velocity heads of its bore: its exit and a little more (house rule).
const OPEN_END: f64 = 1.5;
/// Flow that is rounding, m³/s: over a month less than a drop.
const NONE_M3_S: f64 = 1e-15;
/// Flow by which a pump counts as moving nothing, m³/s: 4 mL in a minute.
pub(super) const TRICKLE_M3_S: f64 = 7e-8;

/// The pipework with a way into the air at each joint.
#[derive(Debug, Clone)]
pub(crate) struct Jointed {
    pub(super) pipework: Pipework,
    pub(super) joints: Vec<Joint>,
    /// The way into the air at each, and where it ends.
    holes: Vec<(LinkId, NodeId)>,
}

impl Jointed {
    pub(super) fn of(station: &Station, mut pipework: Pipework) -> Result<Self, Refusal> {
        let joints = joints(station);
        let mut holes = Vec::with_capacity(joints.len());
        for joint in &joints {
            let (node, height_m, bore_m) = place(station, &pipework, *joint);
            let air = pipework.network.terminal(height_m)?;
            let hole = Element::Valve(Passage {
                bore_m,
                loss: LossCoefficient::constant(OPEN_END),
            });
            holes.push((pipework.network.link(node, air, hole)?, air));
        }
        Ok(Self {
            pipework,
            joints,
            holes,
        })
    }
}

/// Where a joint is: its node, its height, and the widest bore that ends there.
fn place(station: &Station, pipework: &Pipework, joint: Joint) -> (NodeId, f64, f64) {
    let widest = |end: End| {
        station
            .plumbing
            .lines_at(end)
            .map(|line| pipework.lines[line].bore_m)
            .fold(1e-3, f64::max)
    };
    match joint {
        Joint::Outlet { line } => {
            let own = &pipework.lines[line];
            (own.tube_from, own.from_height_m, own.bore_m)
        }
        Joint::Tee(tee) => {
            let height_m = station.tees[tee].fields.height.value.m();
            (pipework.tees[tee], height_m, widest(End::Tee(tee)))
        }
        Joint::PumpIn(pump) => {
            let own = pipework.pumps[pump];
            (own.inlet, own.height_m, widest(End::Pump(pump)))
        }
        Joint::PumpOut(pump) => {
            let own = pipework.pumps[pump];
            (own.outlet, own.height_m, widest(End::Pump(pump)))
        }
    }
}

/// Which valves are open, which pumps run, which joints are apart: as bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Pattern {
    pub(super) open: u64,
    pub(super) runs: u64,
    pub(super) apart: u64,
}

/// Water that arrives at an end of a line, or leaves it (below 0).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct AtEnd {
    pub(super) end: End,
    pub(super) line: usize,
    pub(super) flow_m3_s: f64,
    /// Salinity of what arrives.
    pub(super) salinity: f64,
}

/// How a pump fares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Fares {
    #[default]
    Stands,
    Moves,
    /// Nothing comes to it.
    Dry,
    /// Nothing gets away.
    Closed,
}

/// What flows at a moment.
#[derive(Debug, Clone, Default)]
pub(super) struct Flowing {
    pub(super) ends: Vec<AtEnd>,
    /// Out of joints that are apart: the joint, m³/s.
    pub(super) joints: Vec<(usize, f64)>,
    pub(super) pumps: Vec<Fares>,
}

/// The network, ready to be asked.
pub(crate) struct Lines<'a> {
    station: &'a Station,
    jointed: &'a Jointed,
    state: StateOfNetwork<'a>,
    set: Option<Pattern>,
}

impl<'a> Lines<'a> {
    pub(super) fn new(station: &'a Station, jointed: &'a Jointed) -> Self {
        Self {
            station,
            jointed,
            state: StateOfNetwork::new(station, &jointed.pipework),
            set: None,
        }
    }

    /// Every line full again: before another run.
    pub(super) fn forget(&mut self) {
        self.set = None;
        // A run mustn't hang on the runs before it, not by a rounding either.
        self.state = StateOfNetwork::new(self.station, &self.jointed.pipework);
    }

    /// What flows at these levels and salinities of the vessels.
    pub(super) fn flows(
        &mut self,
        pattern: Pattern,
        vessels: &[(f64, f64)],
        out: &mut Flowing,
    ) -> Result<(), Refusal> {
        if self.set != Some(pattern) {
            self.put(pattern, vessels)?;
            self.set = Some(pattern);
        }
        for (at, (level_m, _)) in vessels.iter().enumerate() {
            self.state.set_level(at, *level_m)?;
        }
        self.state.solve_again()?;
        self.read(pattern, vessels, out);
        Ok(())
    }

    fn put(&mut self, pattern: Pattern, vessels: &[(f64, f64)]) -> Result<(), Refusal> {
        let has = |set: u64, at: usize| set >> at & 1 == 1;
        let mut situation = station::Situation::full(self.station);
        for (moment, (level_m, salinity)) in situation.vessels.iter_mut().zip(vessels) {
            moment.level_m = *level_m;
            moment.practical_salinity = salinity.clamp(0.0, 42.0);
        }
        let shut = crate::analysis::Setting {
            open: vec![false; self.station.valves.len()],
            pump: None,
        };
        self.state.begin(&situation, &shut)?;
        self.state
            .set_switches(|valve| has(pattern.open, valve), |pump| has(pattern.runs, pump))?;
        for (at, (hole, air)) in self.jointed.holes.iter().enumerate() {
            self.state.solver.set_terminal(*air, 0.0, false)?;
            self.state.solver.set_open(*hole, has(pattern.apart, at))?;
        }
        self.state.solve_in_nominal_water()?;
        Ok(())
    }

    fn read(&self, pattern: Pattern, vessels: &[(f64, f64)], out: &mut Flowing) {
        out.ends.clear();
        out.joints.clear();
        out.pumps.clear();
        let mut moves = false;
        for terminal in &self.jointed.pipework.terminals {
            let ends_here = self.jointed.pipework.lines[terminal.line].to == terminal.node;
            let flow_m3_s = self.flow_at(terminal.line, ends_here);
            if flow_m3_s.abs() > NONE_M3_S {
                moves = true;
                out.ends.push(AtEnd {
                    end: terminal.end,
                    line: terminal.line,
                    flow_m3_s,
                    salinity: 0.0,
                });
            }
        }
        if moves {
            // Any source does: lines that stand still aren't asked.
            let waters = self.state.followed(End::Draw(usize::MAX));
            for own in &mut out.ends {
                own.salinity = waters[own.line].0;
            }
        }
        for (at, (hole, _)) in self.jointed.holes.iter().enumerate() {
            if pattern.apart >> at & 1 == 1 {
                let flow = self.state.solver.flow_m3_s(*hole);
                if flow > NONE_M3_S {
                    out.joints.push((at, flow));
                }
            }
        }
        let wet = self.reached(pattern, vessels, false);
        for (at, pump) in self.jointed.pipework.pumps.iter().enumerate() {
            out.pumps.push(if pattern.runs >> at & 1 == 0 {
                Fares::Stands
            } else if self.state.solver.flow_m3_s(pump.link) > TRICKLE_M3_S {
                Fares::Moves
            } else if wet.pump_in(at) || !self.gets_away(pattern, at) {
                Fares::Closed
            } else {
                Fares::Dry
            });
        }
    }

    /// What comes out of a line at one of its ends, m³/s: at its beginning by its first link, at its end by the first link
    /// of its tube. They differ where its joint is apart. What a hole has let air into falls on to the line's end.
    fn flow_at(&self, line: usize, ends_here: bool) -> f64 {
        let own = &self.jointed.pipework.lines[line];
        let flow = |at: usize| {
            own.links
                .get(at)
                .map_or(0.0, |link| self.state.solver.flow_m3_s(*link))
        };
        if ends_here { flow(own.tube_link) } else { -flow(0) }
    }

    /// Whether water that a pump lifts can get to any end, or out of a joint that is apart.
    fn gets_away(&self, pattern: Pattern, pump: usize) -> bool {
        let plumbing = &self.station.plumbing;
        let apart = |joint: Joint| {
            let place = self.jointed.joints.iter().position(|own| *own == joint);
            place.is_some_and(|at| pattern.apart >> at & 1 == 1)
        };
        if apart(Joint::PumpOut(pump)) {
            return true;
        }
        let mut open: Vec<End> = Vec::new();
        let mut done = 0;
        let begins = |line: usize| plumbing.lines[line].from == End::Pump(pump);
        let mut next: Vec<usize> = (0..plumbing.lines.len()).filter(|line| begins(*line)).collect();
        loop {
            for line in next.drain(..) {
                if self.is_open(pattern, line) {
                    for end in [plumbing.lines[line].from, plumbing.lines[line].to] {
                        if !open.contains(&end) {
                            open.push(end);
                        }
                    }
                }
            }
            let Some(end) = open.get(done).copied() else {
                return false;
            };
            done += 1;
            match end {
                End::Vessel(_) | End::Tank(_) | End::Draw(_) => return true,
                End::Tee(tee) if apart(Joint::Tee(tee)) => return true,
                End::Tee(_) => next.extend(plumbing.lines_at(end)),
                End::Pump(_) => {}
            }
        }
    }

    /// Whether every valve of a line stands open.
    fn is_open(&self, pattern: Pattern, line: usize) -> bool {
        self.station.plumbing.valves_of(line).all(|valve| {
            !self.station.valves[valve].fields.kind.value.is_set() || pattern.open >> valve & 1 == 1
        })
    }

    /// What stored water stands in or can run to through open lines: joints as bits, and inlets of pumps. Through pumps
    /// only where that is asked.
    pub(super) fn reached(&self, pattern: Pattern, vessels: &[(f64, f64)], through_pumps: bool) -> Reached {
        let lines = &self.station.plumbing.lines;
        let is_open = |line: usize| self.is_open(pattern, line);
        let mut reached = Reached::default();
        for terminal in &self.jointed.pipework.terminals {
            let gives = match terminal.end {
                End::Vessel(vessel) => {
                    let floor_m = self.station.vessels[vessel].fields.floor_height.value.m();
                    floor_m + vessels[vessel].0 > terminal.height_m
                }
                End::Tank(_) => true,
                _ => false,
            };
            if gives {
                reached.givers.push((terminal.line, terminal.end));
            }
        }
        // Lines whose tube is wet, then tees and pumps, until nothing is added.
        loop {
            let mut grew = false;
            for (line, joined) in lines.iter().enumerate() {
                if reached.lines >> line & 1 == 1 {
                    continue;
                }
                let first = matches!(joined.from, End::Vessel(_) | End::Tank(_));
                let from_wet = reached.has(line, joined.from, true) && (!first || is_open(line));
                let to_wet = reached.has(line, joined.to, false) && (first || is_open(line));
                if from_wet || to_wet {
                    reached.lines |= 1 << line;
                    grew = true;
                    // What it leads on to.
                    if !first || is_open(line) {
                        reached.add(joined.from, true);
                    }
                    if first || is_open(line) {
                        reached.add(joined.to, false);
                    }
                }
            }
            if through_pumps {
                for pump in 0..self.station.pumps.len() {
                    let both = reached.pumps_in | reached.pumps_out;
                    if both >> pump & 1 == 1 && reached.pumps_in & reached.pumps_out & (1 << pump) == 0 {
                        reached.pumps_in |= 1 << pump;
                        reached.pumps_out |= 1 << pump;
                        grew = true;
                    }
                }
            }
            if !grew {
                break;
            }
        }
        for (at, joint) in self.jointed.joints.iter().enumerate() {
            let wet = match *joint {
                Joint::Outlet { line } => reached.lines >> line & 1 == 1,
                Joint::Tee(tee) => reached.tees >> tee & 1 == 1,
                Joint::PumpIn(pump) => reached.pumps_in >> pump & 1 == 1,
                Joint::PumpOut(pump) => reached.pumps_out >> pump & 1 == 1,
            };
            if wet {
                reached.joints |= 1 << at;
            }
        }
        reached
    }
}

/// What water stands in or can run to: as bits.
#[derive(Debug, Clone, Default)]
pub(super) struct Reached {
    pub(super) joints: u64,
    lines: u64,
    tees: u64,
    pumps_in: u64,
    pumps_out: u64,
    givers: Vec<(usize, End)>,
}

impl Reached {
    fn pump_in(&self, pump: usize) -> bool {
        self.pumps_in >> pump & 1 == 1
    }

    /// Whether water stands at an end of a line. A line that begins at a pump begins at its outlet.
    fn has(&self, line: usize, end: End, first: bool) -> bool {
        match end {
            End::Tee(tee) => self.tees >> tee & 1 == 1,
            End::Pump(pump) => {
                let side = if first { self.pumps_out } else { self.pumps_in };
                side >> pump & 1 == 1
            }
            End::Vessel(_) | End::Tank(_) => self.givers.contains(&(line, end)),
            End::Draw(_) => false,
        }
    }

    fn add(&mut self, end: End, first: bool) {
        match end {
            End::Tee(tee) => self.tees |= 1 << tee,
            End::Pump(pump) if first => self.pumps_out |= 1 << pump,
            End::Pump(pump) => self.pumps_in |= 1 << pump,
            End::Vessel(_) | End::Tank(_) | End::Draw(_) => {}
        }
    }
}
