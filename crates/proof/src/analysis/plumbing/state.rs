//! A network at a moment: levels in the vessels, valves and pumps as a task wants them, the water that is really in
//! each line.

mod waters;

use physics::hydraulics::friction::{ChurchillUntabled, FrictionLaw};
use physics::hydraulics::network::{Effort, Flows, LinkId, Solver};
use physics::hydraulics::{GRAVITY_M_S2, LineWater};
use station::plumbing::End;
use station::{Situation, Station};

use super::build::Pipework;
use crate::method::Refusal;

/// Flow below which a line counts as still, m³/s: 4 mL in an hour.
pub(crate) const STILL_M3_S: f64 = 1e-9;

/// Pressure below the air's at which a hole lets air in, Pa: half a millimetre of water.
const HARDLY_BELOW_AIR_PA: f64 = 5.0;

/// The effort of two solutions.
fn added(first: Effort, second: Effort) -> Effort {
    Effort {
        iterations: first.iterations + second.iterations,
    }
}

/// Valves and pumps: which are open, which run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Setting {
    pub(crate) open: Vec<bool>,
    pub(crate) pump: Option<usize>,
}

/// A network, its solver and the water of the station. Where thousands of settings are solved, a law looked up pays.
pub(crate) struct State<'a, F = ChurchillUntabled> {
    station: &'a Station,
    pub(crate) pipework: &'a Pipework,
    pub(crate) solver: Solver<F>,
    /// Salinity and temperature in each vessel.
    waters: Vec<(f64, f64)>,
    /// By vessel: the water that was last worked out for it, and from what.
    worked_out: Vec<((f64, f64), LineWater)>,
    levels_m: Vec<f64>,
    /// By line, a link for each stretch of it and of the pump that it leads to that carries one water.
    stretches: Vec<Vec<LinkId>>,
    /// The water that was put into a line last: most lines get the same.
    last_water: ((f64, f64), LineWater),
    /// Whether every hole is stopped up, so that a line does what it would do without.
    holes_stopped: bool,
}

impl<'a> State<'a> {
    pub(crate) fn new(station: &'a Station, pipework: &'a Pipework) -> Self {
        Self::by_law(station, pipework)
    }
}

impl<'a, F: FrictionLaw> State<'a, F> {
    /// One that goes by a law of the caller's choice.
    pub(crate) fn by_law(station: &'a Station, pipework: &'a Pipework) -> Self {
        let solver = Solver::new(&pipework.network);
        let stretches = |(at, line): (usize, &station::plumbing::JoinedLine)| {
            let pump = match line.to {
                End::Pump(pump) => Some(pipework.pumps[pump].link),
                _ => None,
            };
            let links = pipework.lines[at].links.iter().copied().chain(pump);
            let mut stretches: Vec<LinkId> = links.filter_map(|link| solver.stands_for(link)).collect();
            stretches.dedup();
            stretches
        };
        Self {
            station,
            pipework,
            stretches: station.plumbing.lines.iter().enumerate().map(stretches).collect(),
            solver,
            waters: vec![(0.0, 20.0); station.vessels.len()],
            worked_out: vec![((f64::NAN, f64::NAN), LineWater::nominal()); station.vessels.len()],
            levels_m: vec![0.0; station.vessels.len()],
            last_water: ((f64::NAN, f64::NAN), LineWater::nominal()),
            holes_stopped: false,
        }
    }

    /// Brings it to a moment, with valves and pumps set.
    pub(crate) fn begin(&mut self, situation: &Situation, setting: &Setting) -> Result<(), Refusal> {
        for (at, vessel) in situation.vessels.iter().enumerate() {
            self.waters[at] = (vessel.practical_salinity, vessel.temperature_c);
            self.set_level(at, vessel.level_m)?;
        }
        self.fill_lines()?;
        for at in 0..self.pipework.terminals.len() {
            let terminal = self.pipework.terminals[at];
            match terminal.end {
                End::Draw(_) => self.solver.set_terminal(terminal.node, 0.0, false)?,
                End::Tank(tank) => {
                    let fields = &self.station.tanks[tank].fields;
                    let surface_m = fields.water_height.as_ref().map(|height| height.value.m());
                    let depth_m = surface_m.map_or(0.0, |surface| surface - terminal.height_m);
                    let water = self.water_of(terminal.end)?;
                    self.set_depth(at, depth_m, water, depth_m > 0.0)?;
                }
                _ => {}
            }
        }
        self.set(setting)
    }

    /// The water at an open end.
    fn water_of(&self, end: End) -> Result<LineWater, Refusal> {
        let (salinity, temperature) = self.salinity_of(end);
        Ok(LineWater::of_salinity(salinity, temperature)?)
    }

    pub(crate) fn salinity_of(&self, end: End) -> (f64, f64) {
        match end {
            End::Vessel(at) => self.waters[at],
            End::Tank(at) => {
                let fields = &self.station.tanks[at].fields;
                (fields.salinity.value.practical(), fields.temperature.value.c())
            }
            _ => (0.0, 20.0),
        }
    }

    /// The level of a vessel, m above its floor.
    pub(crate) fn level_m(&self, vessel: usize) -> f64 {
        self.levels_m[vessel]
    }

    /// Sets the salinity of a vessel's water; it weighs so from the next level on that is set.
    pub(crate) fn set_salinity(&mut self, vessel: usize, practical_salinity: f64) {
        self.waters[vessel].0 = practical_salinity;
    }

    /// Sets the level in a vessel.
    pub(crate) fn set_level(&mut self, vessel: usize, level_m: f64) -> Result<(), Refusal> {
        let same_level = self.levels_m[vessel].to_bits() == level_m.to_bits();
        if self.worked_out[vessel].0 == self.waters[vessel] {
            // Every terminal of it stands so already.
            if same_level {
                return Ok(());
            }
        } else {
            self.worked_out[vessel] = (self.waters[vessel], self.water_of(End::Vessel(vessel))?);
        }
        self.levels_m[vessel] = level_m;
        let surface_m = self.station.vessels[vessel].fields.floor_height.value.m() + level_m;
        let water = self.worked_out[vessel].1;
        for at in 0..self.pipework.terminals.len() {
            let terminal = self.pipework.terminals[at];
            if terminal.end == End::Vessel(vessel) {
                let depth_m = surface_m - terminal.height_m;
                self.set_depth(at, depth_m, water, depth_m >= 0.0)?;
            }
        }
        Ok(())
    }

    /// An end under water can give; one above it can only take.
    fn set_depth(
        &mut self,
        terminal: usize,
        depth_m: f64,
        water: LineWater,
        gives: bool,
    ) -> Result<(), Refusal> {
        let pressure_pa = water.density_kg_m3() * GRAVITY_M_S2 * depth_m.max(0.0);
        let node = self.pipework.terminals[terminal].node;
        Ok(self.solver.set_terminal(node, pressure_pa, gives)?)
    }

    /// Opens valves and runs a pump at the speed of the file.
    fn set(&mut self, setting: &Setting) -> Result<(), Refusal> {
        for (at, valve) in self.station.valves.iter().enumerate() {
            if valve.fields.kind.value.is_set() {
                self.solver.set_open(self.pipework.valves[at], setting.open[at])?;
            }
        }
        for (at, pump) in self.station.pumps.iter().enumerate() {
            let speed = if setting.pump == Some(at) {
                pump.fields.speed.value.of_one()
            } else {
                0.0
            };
            self.solver.set_speed(self.pipework.pumps[at].link, speed)?;
        }
        Ok(())
    }

    /// Opens some valves and runs some pumps, every line full of water.
    pub(crate) fn set_switches(
        &mut self,
        is_open: impl Fn(usize) -> bool,
        runs: impl Fn(usize) -> bool,
    ) -> Result<(), Refusal> {
        self.fill_lines()?;
        for (at, valve) in self.station.valves.iter().enumerate() {
            if valve.fields.kind.value.is_set() {
                self.solver.set_open(self.pipework.valves[at], is_open(at))?;
            }
        }
        for (at, pump) in self.station.pumps.iter().enumerate() {
            let speed = if runs(at) {
                pump.fields.speed.value.of_one()
            } else {
                0.0
            };
            self.solver.set_speed(self.pipework.pumps[at].link, speed)?;
        }
        Ok(())
    }

    /// Solves with the water of one vessel or tank in every line.
    pub(crate) fn solve_with(&mut self, source: End) -> Result<Effort, Refusal> {
        let water = self.water_of(source)?;
        self.solver.set_water_everywhere(water);
        self.solve_with_holes()
    }

    /// Solves with one nominal water in every line.
    pub(crate) fn solve_in_nominal_water(&mut self) -> Result<Effort, Refusal> {
        self.solver.set_water_everywhere(LineWater::nominal());
        self.solve_with_holes()
    }

    /// Starts the next solution from flows that were kept.
    pub(crate) fn start_from(&mut self, kept: &Flows) -> Result<(), Refusal> {
        Ok(self.solver.start_from_kept(kept)?)
    }

    /// Keeps the flows of the last solution.
    pub(crate) fn keep(&self, kept: &mut Flows) {
        self.solver.keep(kept);
    }

    /// Stops up every hole, or opens them again.
    pub(crate) fn stop_holes(&mut self, stopped: bool) {
        self.holes_stopped = stopped;
    }

    /// No hole has let air in yet.
    fn fill_lines(&mut self) -> Result<(), Refusal> {
        for hole in &self.pipework.air_breaks {
            self.solver.set_open(hole.through, true)?;
            self.solver.set_open(hole.air, false)?;
            self.solver.set_terminal(hole.open_air, 0.0, false)?;
        }
        Ok(())
    }

    /// Solves, and lets air in at each hole where the pressure is below the air's, until there is none.
    fn solve_with_holes(&mut self) -> Result<Effort, Refusal> {
        self.solve_looking(|_| {})
    }

    /// The same, each solution looked at before it is known whether a hole lets air in.
    pub(crate) fn solve_looking(&mut self, mut look: impl FnMut(&Self)) -> Result<Effort, Refusal> {
        let mut effort = self.solver.solve()?;
        look(self);
        if self.holes_stopped {
            return Ok(effort);
        }
        for _ in 0..self.pipework.air_breaks.len() {
            let mut broken = false;
            for at in 0..self.pipework.air_breaks.len() {
                broken |= self.let_air_in(at)?;
            }
            if !broken {
                break;
            }
            effort = added(effort, self.solver.solve()?);
            look(self);
        }
        Ok(effort)
    }

    /// Solves once more at other levels, each line holding what it held.
    pub(crate) fn solve_again(&mut self) -> Result<Effort, Refusal> {
        self.solve_with_holes()
    }

    /// Whether a hole lets air in that didn't before.
    fn let_air_in(&mut self, at: usize) -> Result<bool, Refusal> {
        let hole = self.pipework.air_breaks[at];
        // Asked first, since a pressure within a line has to be walked to.
        let flows = self.solver.flow_m3_s(hole.through).abs() > STILL_M3_S;
        if !flows {
            return Ok(false);
        }
        // Under the water that the line ends in a hole lets water in, not air.
        let under_m = match self.station.plumbing.lines[hole.line].to {
            End::Vessel(vessel) => {
                self.station.vessels[vessel].fields.floor_height.value.m() + self.levels_m[vessel]
            }
            End::Tank(tank) => self.station.tanks[tank]
                .fields
                .water_height
                .as_ref()
                .map_or(f64::NEG_INFINITY, |height| height.value.m()),
            _ => f64::NEG_INFINITY,
        };
        if under_m >= hole.height_m {
            return Ok(false);
        }
        let pressure = self.solver.gauge_pressure_pa(hole.node);
        if !pressure.is_some_and(|pressure| pressure < -HARDLY_BELOW_AIR_PA) {
            return Ok(false);
        }
        self.solver.set_open(hole.through, false)?;
        self.solver.set_open(hole.air, true)?;
        Ok(true)
    }

    /// Flow of a line from its beginning to its end.
    pub(crate) fn line_flow_m3_s(&self, line: usize) -> f64 {
        self.pipework.lines[line]
            .links
            .first()
            .map_or(0.0, |link| self.solver.flow_m3_s(*link))
    }

    /// What comes out of the lines at an end, less what goes in, m³/s.
    pub(crate) fn gained_m3_s(&self, end: End) -> f64 {
        self.pipework
            .terminals
            .iter()
            .filter(|terminal| terminal.end == end)
            .map(|terminal| {
                let flow = self.line_flow_m3_s(terminal.line);
                let ends_here = self.pipework.lines[terminal.line].to == terminal.node;
                if ends_here { flow } else { -flow }
            })
            .sum()
    }
}
