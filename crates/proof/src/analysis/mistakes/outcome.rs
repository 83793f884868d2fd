//! What flows in one pattern at one moment: what each open end gains or gives, and how its pumps fare.

use physics::hydraulics::friction::{ChurchillUntabled, FrictionLaw};
use physics::hydraulics::network::{LinkId, NodeId};
use physics::hydraulics::{GRAVITY_M_S2, LineWater};
use smallvec::SmallVec;
use station::plumbing::End;
use station::{Situation, Station};

use super::super::plumbing::{Pipework, STILL_M3_S, Setting, State};
use super::graph::{Graph, Pattern};
use super::switches::{Position, Switch, Switches};
use super::waters::{Following, Kind, usual_sources};
use crate::method::Refusal;

/// A pump counts as working against closed valves below this share of the most that it moves (house rule).
const HARDLY_MOVES: f64 = 0.01;
/// Head by which a place must be below an open mouth for air to be drawn in there, m.
const AIR_DRAWN_M: f64 = 1e-3;
/// Rounds of following water from line to line and solving again.
const ROUNDS: usize = 4;
/// Salinity and temperature, K, that count as the same: such water weighs the same to 10⁻⁷ and is as viscous to 2·10⁻⁶.
const SAME_WATER: f64 = 1e-4;

/// What a line brings to an open end, or takes from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Exchange {
    pub(super) end: End,
    pub(super) line: usize,
    /// Above 0 where water arrives.
    pub(super) flow_m3_s: f64,
    /// Of the water that moves.
    pub(super) salinity: f64,
    /// Height of the end above the room's floor.
    pub(super) height_m: f64,
}

/// How a running pump fares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Fares {
    /// It moves water.
    Moves(f64),
    /// It moves none: what is behind it is closed or too high.
    Closed,
    /// It has no water before it.
    Dry,
    /// It draws air with its water.
    Air,
}

/// What a pattern does at a moment.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Outcome {
    pub(super) exchanges: Vec<Exchange>,
    /// The running pumps, by their place in the station.
    pub(super) pumps: SmallVec<[(usize, Fares); 1]>,
    /// A bit for each line on which what it does may hang. Without the others it does the same.
    pub(super) counting: u128,
}

/// The numbers of some outcomes: few, and thousands of such lists.
pub(super) type Numbers = SmallVec<[usize; 4]>;

/// A network at one of the moments, ready to be asked about any pattern.
pub(super) struct Bench<'a, F = ChurchillUntabled> {
    station: &'a Station,
    switches: &'a Switches,
    graph: &'a Graph,
    pub(super) state: State<'a, F>,
    /// The water that usually stands in each line.
    usual: Vec<Kind>,
    /// The same as the network takes it.
    fills: Vec<(LinkId, LineWater)>,
    /// The water that stands in each line now.
    standing: Vec<Kind>,
    following: Following,
}

impl<'a, F: FrictionLaw> Bench<'a, F> {
    /// At a moment.
    pub(super) fn new(
        station: &'a Station,
        (switches, graph): (&'a Switches, &'a Graph),
        pipework: &'a Pipework,
        situation: &Situation,
    ) -> Result<Self, Refusal> {
        let mut bench = Self {
            station,
            switches,
            graph,
            state: State::by_law(station, pipework),
            standing: Vec::new(),
            usual: Vec::new(),
            fills: Vec::new(),
            following: Following::of(station),
        };
        bench.begin(situation)?;
        Ok(bench)
    }

    /// Brings it to a moment, everything closed.
    pub(super) fn begin(&mut self, situation: &Situation) -> Result<(), Refusal> {
        let closed = Setting {
            open: vec![false; self.station.valves.len()],
            pump: None,
        };
        self.state.begin(situation, &closed)?;
        self.usual = usual_sources(self.station)
            .into_iter()
            .map(|source| source.map_or((0.0, 20.0), |source| self.state.salinity_of(source)))
            .collect();
        let waters = self.usual.iter().map(|own| LineWater::of_salinity(own.0, own.1));
        let waters = waters.collect::<Result<Vec<_>, _>>()?;
        self.fills = self.state.fills(waters.into_iter());
        self.standing.clone_from(&self.usual);
        Ok(())
    }

    /// The lines that don't meet the same as at another moment; `None` where no vessel stands as it does there.
    pub(super) fn differs_from(&self, other: &Self) -> Option<u128> {
        let lines = 0..self.station.lines.len();
        let water = lines.filter(|line| self.usual[*line] != other.usual[*line]);
        let mut differs = water.fold(0, |differs, line| differs | 1 << line);
        let mut same = false;
        for terminal in &self.state.pipework.terminals {
            let End::Vessel(vessel) = terminal.end else {
                continue;
            };
            let surfaces = [self, other].map(|own| own.surface_m(vessel));
            let waters = [self, other].map(|own| own.state.salinity_of(terminal.end));
            let level = surfaces[0] == surfaces[1];
            same |= level && waters[0] == waters[1];
            // Over the water in both, what stands in the vessel doesn't count.
            let alike = level || surfaces.iter().all(|own| *own < terminal.height_m);
            differs |= u128::from(!alike || waters[0] != waters[1]) << terminal.line;
        }
        for hole in &self.state.pipework.air_breaks {
            if let End::Vessel(vessel) = self.station.plumbing.lines[hole.line].to {
                let under = [self, other].map(|own| own.surface_m(vessel) >= hole.height_m);
                differs |= u128::from(under[0] != under[1]) << hole.line;
            }
        }
        same.then_some(differs)
    }

    /// The surface of a vessel above the room's floor.
    fn surface_m(&self, vessel: usize) -> f64 {
        self.station.vessels[vessel].fields.floor_height.value.m() + self.state.level_m(vessel)
    }

    /// What a pattern does.
    pub(super) fn outcome(&mut self, pattern: Pattern) -> Result<Outcome, Refusal> {
        let mut out = Outcome {
            counting: self.solve(pattern)?,
            exchanges: Vec::with_capacity(pattern.lines.count_ones() as usize),
            ..Outcome::default()
        };
        for terminal in &self.state.pipework.terminals {
            if !pattern.has(terminal.line) {
                continue;
            }
            let along = self.state.line_flow_m3_s(terminal.line);
            let ends_here = self.state.pipework.lines[terminal.line].to == terminal.node;
            let flow_m3_s = if ends_here { along } else { -along };
            if flow_m3_s.abs() > STILL_M3_S {
                let salinity = if flow_m3_s > 0.0 {
                    self.standing[terminal.line].0
                } else {
                    self.state.salinity_of(terminal.end).0
                };
                out.exchanges.push(Exchange {
                    end: terminal.end,
                    line: terminal.line,
                    flow_m3_s,
                    salinity,
                    height_m: terminal.height_m,
                });
            }
        }
        for pump in 0..self.station.pumps.len() {
            if pattern.pumps & self.switches.mask_of(Switch::Pump(pump)) != 0 {
                // Within its pattern: other lines aren't joined to it.
                let opened = self.opened_by(pattern);
                let suction = self.graph.suction_of(pump, opened) & pattern.lines;
                // Where it moves nothing, all lines have their part in that.
                let moves = self.state.solver.flow_m3_s(self.state.pipework.pumps[pump].link) > STILL_M3_S;
                out.counting |= if moves { suction } else { pattern.lines };
                // Where nothing behind it leads anywhere, a ring of lines at most, it moves nothing.
                let fares = match moves || self.leads_on(pump, opened) {
                    true => self.fares(pump, suction),
                    false => self.stalled(pump, opened),
                };
                out.pumps.push((pump, fares));
            }
        }
        Ok(out)
    }

    /// Solves a pattern with the water that really flows in each of its lines, and tells the lines that carried any on the
    /// way to the answer.
    fn solve(&mut self, pattern: Pattern) -> Result<u128, Refusal> {
        let (station, switches) = (self.station, self.switches);
        self.state.set_switches(
            |valve| pattern.has(station.plumbing.line_of_valve[valve]),
            |pump| pattern.pumps & switches.mask_of(Switch::Pump(pump)) != 0,
        )?;
        // All of them, so that what is found never hangs on what was solved before.
        self.standing.copy_from_slice(&self.usual);
        self.state.fill(&self.fills)?;
        let mut carried = self.solve_again(pattern)?;
        for round in 0..ROUNDS {
            let mut changed = false;
            let state = &self.state;
            let flows = lines_of(pattern.lines).map(|line| (line, state.line_flow_m3_s(line)));
            if round > 0 && self.following.are_brought_the_same(flows.clone()) {
                break;
            }
            self.following.follow(flows, |end| state.salinity_of(end));
            for line in lines_of(pattern.lines) {
                if let Some(water) = self.following.brought(line) {
                    changed |= self.stand(line, water)?;
                }
            }
            if !changed {
                break;
            }
            carried |= self.solve_again(pattern)?;
        }
        Ok(carried)
    }

    fn solve_again(&mut self, pattern: Pattern) -> Result<u128, Refusal> {
        let mut carried = 0;
        self.state.solve_looking(|state| {
            let own = lines_of(pattern.lines).filter(|line| state.line_flow_m3_s(*line) != 0.0);
            carried |= own.fold(0, |lines, line| lines | 1 << line);
        })?;
        Ok(carried)
    }

    /// Puts water into a line; whether it held other water.
    fn stand(&mut self, line: usize, water: Kind) -> Result<bool, Refusal> {
        let old = self.standing[line];
        if (old.0 - water.0).abs() < SAME_WATER && (old.1 - water.1).abs() < SAME_WATER {
            return Ok(false);
        }
        self.state.set_line_water(line, water)?;
        self.standing[line] = water;
        Ok(true)
    }

    /// How a pump fares, with the lines before it.
    fn fares(&self, pump: usize, suction: u128) -> Fares {
        let place = self.state.pipework.pumps[pump];
        let flow = self.state.solver.flow_m3_s(place.link);
        let (mut ends, mut wet, mut air) = (false, false, false);
        for terminal in &self.state.pipework.terminals {
            if suction >> terminal.line & 1 == 0 {
                continue;
            }
            ends = true;
            if self.gives(terminal.end, terminal.height_m) {
                wet = true;
            } else if self.head_below(terminal.line, terminal.height_m) {
                air = true;
            }
        }
        let most = self.station.pumps[pump]
            .fields
            .curve
            .value
            .curve
            .largest_flow_m3_s();
        if !ends {
            // Round and round in lines that are closed in.
            Fares::Closed
        } else if !wet {
            Fares::Dry
        } else if air {
            Fares::Air
        } else if flow < HARDLY_MOVES * most {
            Fares::Closed
        } else {
            Fares::Moves(flow)
        }
    }

    /// Whether an open way leads on from a pump's outlet.
    fn leads_on(&self, pump: usize, position: Position) -> bool {
        let discharge = self.graph.discharge_of(pump, position);
        let mut terminals = self.state.pipework.terminals.iter();
        terminals.any(|own| discharge >> own.line & 1 == 1)
    }

    /// How a running pump fares through which no way leads.
    pub(super) fn stalled(&self, pump: usize, position: Position) -> Fares {
        let suction = self.graph.suction_of(pump, position);
        let pump_m = self.state.pipework.pumps[pump].height_m;
        // What stands before it is trapped unless it can run out of an open end below.
        let mut wet = false;
        let mut drained = false;
        for terminal in &self.state.pipework.terminals {
            if suction >> terminal.line & 1 == 1 {
                wet |= self.gives(terminal.end, terminal.height_m);
                drained |= terminal.height_m < pump_m;
            }
        }
        if drained && !wet {
            Fares::Dry
        } else {
            Fares::Closed
        }
    }

    /// Every valve of a pattern's lines.
    fn opened_by(&self, pattern: Pattern) -> Position {
        let valves = self.station.plumbing.line_of_valve.iter().enumerate();
        valves
            .filter(|(_, line)| pattern.has(**line))
            .map(|(valve, _)| self.switches.mask_of(Switch::Valve(valve)))
            .fold(pattern.pumps, |a, b| a | b)
    }

    /// Whether an end stands under water.
    fn gives(&self, end: End, height_m: f64) -> bool {
        match end {
            End::Vessel(vessel) => self.surface_m(vessel) >= height_m,
            End::Tank(tank) => self.station.tanks[tank]
                .fields
                .water_height
                .as_ref()
                .is_some_and(|surface| surface.value.m() > height_m),
            End::Draw(_) | End::Tee(_) | End::Pump(_) => false,
        }
    }

    /// Whether the water at the other end of a line stands lower than its open end.
    fn head_below(&self, line: usize, height_m: f64) -> bool {
        let joined = &self.station.plumbing.lines[line];
        [(joined.from, true), (joined.to, false)]
            .into_iter()
            .filter_map(|(end, begins)| self.node_of(end, begins))
            .any(|(node, node_m)| {
                self.state.solver.gauge_pressure_pa(node).is_some_and(|pressure| {
                    node_m + pressure / (1000.0 * GRAVITY_M_S2) < height_m - AIR_DRAWN_M
                })
            })
    }

    fn node_of(&self, end: End, begins: bool) -> Option<(NodeId, f64)> {
        match end {
            End::Tee(tee) => Some((
                self.state.pipework.tees[tee],
                self.station.tees[tee].fields.height.value.m(),
            )),
            End::Pump(pump) => {
                let place = self.state.pipework.pumps[pump];
                Some((if begins { place.outlet } else { place.inlet }, place.height_m))
            }
            End::Vessel(_) | End::Tank(_) | End::Draw(_) => None,
        }
    }
}

/// The lines of a set.
pub(super) fn lines_of(set: u128) -> impl Iterator<Item = usize> + Clone {
    let mut left = set;
    core::iter::from_fn(move || {
        let line = (left != 0).then(|| left.trailing_zeros() as usize)?;
        left &= left - 1;
        Some(line)
    })
}
