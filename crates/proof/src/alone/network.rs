//! The network of lines with its joints: what flows where at given levels, with some joints apart.
//!
//! A joint that comes apart is a hole of the line's own bore into the air at its height. Lines are taken full of one
//! water; what stands in a vessel weighs what it weighs.

use std::sync::Arc;

use physics::hydraulics::friction::Churchill;
use physics::hydraulics::network::{Element, LinkId, NodeId, Passage};
use physics::hydraulics::parts::LossCoefficient;
use station::Station;
use station::plumbing::End;

use super::fault::{Joint, joints};
use super::path::{Along, Path};
use super::reach::Known;
use crate::analysis::{Pipework, StateOfNetwork};
use crate::method::Refusal;

/// What water out of a hose's end costs, in velocity heads of its bore: its exit and a little more (house rule).
const OPEN_END: f64 = 1.5;
/// Flow that is rounding, m³/s: over a month less than a drop.
const NONE_M3_S: f64 = 1e-15;
/// The most that a vessel's water counts as, where it weighs (practical salinity).
const MOST_SALINITY: f64 = 42.0;
/// Salinity by which a vessel's water weighs otherwise than it was told: seven parts in a million (house rule).
const OTHER_WATER: f64 = 0.01;
/// Flow by which a pump counts as moving nothing, m³/s: 4 mL in a minute.
pub(crate) const TRICKLE_M3_S: f64 = 7e-8;

/// The pipework with a way into the air at each joint.
#[derive(Debug, Clone)]
pub(crate) struct Jointed {
    pub(crate) pipework: Pipework,
    pub(crate) joints: Vec<Joint>,
    /// The way into the air at each, and where it ends.
    holes: Vec<(LinkId, NodeId)>,
    /// By line: the joint that lies at its vessel itself, with no valve between. What runs out there leaves the vessel by no
    /// link of the line.
    at_vessel: Vec<Option<usize>>,
}

impl Jointed {
    pub(crate) fn of(station: &Station, mut pipework: Pipework) -> Result<Self, Refusal> {
        let joints = joints(station);
        let mut holes = Vec::with_capacity(joints.len());
        let mut at_vessel = vec![None; pipework.lines.len()];
        for (at, joint) in joints.iter().enumerate() {
            if let Joint::Outlet { line } = *joint
                && pipework.lines[line].tube_link == 0
            {
                at_vessel[line] = Some(at);
            }
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
            at_vessel,
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
pub(crate) struct Pattern {
    pub(crate) open: u64,
    pub(crate) runs: u64,
    pub(crate) apart: u64,
}

/// What the lines are asked.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Question<'q> {
    pub(crate) pattern: Pattern,
    /// Level and salinity by vessel.
    pub(crate) vessels: &'q [(f64, f64)],
    /// Whether the flow of each line is told too, wherever water comes from.
    pub(crate) tells_lines: bool,
}

/// Flow of water that arrives at an end of a line, or leaves it (below 0).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct AtEnd {
    pub(crate) end: End,
    pub(crate) line: usize,
    pub(crate) flow_m3_s: f64,
}

/// How a pump fares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Fares {
    #[default]
    Stands,
    Moves,
    /// Nothing comes to it.
    Dry,
    /// Nothing gets away.
    Closed,
}

/// What flows in a line from its beginning to its end, m³/s: they differ where its joint is apart.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct InLine {
    pub(crate) begins_m3_s: f64,
    pub(crate) ends_m3_s: f64,
}

/// What flows at a moment.
#[derive(Debug, Clone, Default)]
pub(crate) struct Flowing {
    /// Every line; only where water leaves from more than one vessel or tank, or where the lines are asked to tell them.
    pub(crate) lines: Vec<InLine>,
    pub(crate) ends: Vec<AtEnd>,
    /// Out of joints that are apart: the joint, m³/s.
    pub(crate) joints: Vec<(usize, f64)>,
    pub(crate) pumps: Vec<Fares>,
}

/// The network, ready to be asked.
pub(crate) struct Lines<'a> {
    pub(crate) station: &'a Station,
    pub(crate) jointed: &'a Jointed,
    // Thousands of settings are solved: a law that is looked up pays.
    state: StateOfNetwork<'a, Churchill>,
    set: Option<Pattern>,
    /// Whether the flow of every line is told, not only what arrives at ends.
    tells_lines: bool,
    /// What was reached last, not through pumps and through them.
    pub(super) known: [Option<Known>; 2],
    /// Runs that this one may go beside.
    pub(super) along: Along,
}

impl<'a> Lines<'a> {
    pub(crate) fn new(station: &'a Station, jointed: &'a Jointed) -> Self {
        Self {
            station,
            jointed,
            state: StateOfNetwork::by_law(station, &jointed.pipework),
            set: None,
            tells_lines: false,
            known: [None; 2],
            along: Along::default(),
        }
    }

    /// Lets the next run take its answers from others as long as it asks the same.
    pub(crate) fn beside<'p>(&mut self, paths: impl IntoIterator<Item = &'p Arc<Path>>) {
        self.along.offer(paths);
    }

    /// Keeps what runs ask from now on.
    pub(crate) fn keep_paths(&mut self) {
        self.along.keep();
    }

    /// What the last run has asked, for others beside it.
    pub(crate) fn path(&mut self) -> Arc<Path> {
        self.along.path()
    }

    /// The same; nothing where it only followed others.
    pub(crate) fn new_path(&mut self) -> Option<Arc<Path>> {
        let followed = self.along.was_followed();
        (!followed).then(|| self.along.path())
    }

    /// Tells the flow of every line from now on.
    pub(crate) fn tell_lines(&mut self) {
        self.tells_lines = true;
    }

    /// Every line full again: before another run.
    pub(crate) fn forget(&mut self) {
        self.set = None;
        self.along.begin();
        // A run mustn't hang on the runs before it, not by a rounding either.
        self.state.solver.forget();
    }

    /// What flows at these levels and salinities of the vessels.
    pub(crate) fn flows(&mut self, question: Question<'_>, out: &mut Flowing) -> Result<(), Refusal> {
        if !self.along.answer(question, out) {
            if let Some((path, count)) = self.along.leave() {
                for earlier in path.questions(count) {
                    self.solve(earlier.pattern, earlier.vessels)?;
                }
            }
            self.solve(question.pattern, question.vessels)?;
            self.read(question, out);
        }
        self.along.note(question, out);
        Ok(())
    }

    fn solve(&mut self, pattern: Pattern, vessels: &[(f64, f64)]) -> Result<(), Refusal> {
        if self.set != Some(pattern) {
            self.put(pattern, vessels)?;
            self.set = Some(pattern);
        }
        for (at, (level_m, salinity)) in vessels.iter().enumerate() {
            let told = self.state.salinity_of(End::Vessel(at)).0;
            let salinity = salinity.clamp(0.0, MOST_SALINITY);
            if (salinity - told).abs() > OTHER_WATER {
                self.state.set_salinity(at, salinity);
            }
            self.state.set_level(at, *level_m)?;
        }
        self.state.solve_again()?;
        Ok(())
    }

    fn put(&mut self, pattern: Pattern, vessels: &[(f64, f64)]) -> Result<(), Refusal> {
        let has = |set: u64, at: usize| set >> at & 1 == 1;
        let mut situation = station::Situation::full(self.station);
        for (moment, (level_m, salinity)) in situation.vessels.iter_mut().zip(vessels) {
            moment.level_m = *level_m;
            moment.practical_salinity = salinity.clamp(0.0, MOST_SALINITY);
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

    fn read(&mut self, question: Question<'_>, out: &mut Flowing) {
        let Question { pattern, vessels, .. } = question;
        out.ends.clear();
        out.joints.clear();
        out.pumps.clear();
        out.lines.clear();
        let (mut from, mut several) = (None, false);
        for terminal in &self.jointed.pipework.terminals {
            let ends_here = self.jointed.pipework.lines[terminal.line].to == terminal.node;
            let flow_m3_s = self.flow_at(terminal.line, ends_here);
            if flow_m3_s.abs() > NONE_M3_S {
                out.ends.push(AtEnd {
                    end: terminal.end,
                    line: terminal.line,
                    flow_m3_s,
                });
            }
            if flow_m3_s < -NONE_M3_S {
                several |= from.is_some_and(|own| own != terminal.end);
                from = Some(terminal.end);
            }
        }
        if self.tells_lines || question.tells_lines || several {
            out.lines
                .extend((0..self.jointed.pipework.lines.len()).map(|line| InLine {
                    begins_m3_s: -self.flow_at(line, false),
                    ends_m3_s: self.flow_at(line, true),
                }));
        }
        for (at, (hole, _)) in self.jointed.holes.iter().enumerate() {
            if pattern.apart >> at & 1 == 1 {
                let flow = self.state.solver.flow_m3_s(*hole);
                if flow > NONE_M3_S {
                    out.joints.push((at, flow));
                }
            }
        }
        for at in 0..self.jointed.pipework.pumps.len() {
            let link = self.jointed.pipework.pumps[at].link;
            out.pumps.push(if pattern.runs >> at & 1 == 0 {
                Fares::Stands
            } else if self.state.solver.flow_m3_s(link) > TRICKLE_M3_S {
                Fares::Moves
            } else if self.reached(pattern, vessels, false).pump_in(at) || !self.gets_away(pattern, at) {
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
        if ends_here {
            return flow(own.tube_link);
        }
        let apart = self.set.map_or(0, |set| set.apart);
        let beside = self.jointed.at_vessel[line]
            .filter(|joint| apart >> joint & 1 == 1)
            .map_or(0.0, |joint| {
                self.state.solver.flow_m3_s(self.jointed.holes[joint].0)
            });
        -flow(0) - beside
    }
}
