//! The solver: one network compiled, and the state that it is asked about.

use super::super::GRAVITY_M_S2;
use super::super::error::HydraulicsError;
use super::super::friction::{Churchill, FrictionLaw, FrictionTables};
use super::super::parts::LossCoefficient;
use super::super::pump_curve::SPEED;
use super::super::water::LineWater;
use super::activity::Activity;
use super::branch::{Cost, Friction, Law, NOMINAL_DENSITY_KG_M3};
use super::compile::Compiled;
use super::element::{Element, check_loss};
use super::loss::Loss;
use super::set::Set;
use super::{LinkId, Network, NodeId};
use crate::Range;

/// Vacuum to the pressure that household plumbing bursts at, with room.
const PRESSURE: Range = Range {
    quantity: "gauge pressure",
    unit: "Pa",
    min: -101_325.0,
    max: 1e8,
    source_key: "HOUSE-RULE",
};
/// A flow that no small line carries, for starts.
const START: Range = Range {
    quantity: "flow to start from",
    unit: "m³/s",
    min: -10.0,
    max: 10.0,
    source_key: "HOUSE-RULE",
};

/// What a solution took.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Newton steps.
    pub iterations: u32,
}

/// What is set of a terminal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Given {
    /// Its pressure, nominal m.
    pub(super) head_m: f64,
    pub(super) supplies: bool,
}

/// A branch as it stands.
#[derive(Debug, Clone)]
pub(super) struct Arc {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) law: Law,
    /// What it gains by the height of its ends, nominal m.
    pub(super) static_m: f64,
    /// m³/s.
    pub(super) flow: f64,
}

/// What a step needs of a run of branches, side by side.
#[derive(Debug, Clone, Copy)]
pub(super) struct Work {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) loss: Loss,
    /// What its branches gain by the height of their ends, nominal m.
    pub(super) static_m: f64,
    pub(super) flow: f64,
    pub(super) step: f64,
    /// Of the flow.
    pub(super) cost: Cost,
    /// Flow by head, m²/s.
    pub(super) give: f64,
}

/// What a step needs of an end, side by side.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Point {
    /// Head of pressure, nominal m; at a terminal what is given, elsewhere known where several runs meet.
    pub(super) head_m: f64,
    /// How that changes. Between steps 0, as is what follows.
    pub(super) change_m: f64,
    /// Flow by head of all runs that meet here, m²/s.
    pub(super) give: f64,
}

/// Branches that are out of date.
#[derive(Debug, Clone)]
pub(super) struct Stale {
    /// In what lets water pass.
    pub(super) ways: Set,
    /// In what their losses are, which may let it pass otherwise.
    pub(super) losses: Set,
    /// In what water they hold.
    pub(super) water: Set,
}

impl Stale {
    fn of(branches: usize) -> Self {
        let none = Set::none_of(branches);
        Self {
            ways: none.clone(),
            losses: none.clone(),
            water: none,
        }
    }
}

/// A compiled network with a state of its valves, pumps, levels and waters, and the flows of the last solution.
///
/// A new one has every valve open, every pump standing, every terminal in the open air, and water of 1000 kg/m³
/// and 10⁻⁶ m²/s in every line.
#[derive(Debug, Clone)]
pub struct Solver<F = Churchill> {
    pub(super) compiled: Compiled,
    pub(super) tables: FrictionTables<F>,
    pub(super) closed: Vec<bool>,
    /// A valve's loss, where its position gives another than fully open.
    pub(super) loss: Vec<Option<LossCoefficient>>,
    pub(super) speed: Vec<f64>,
    /// The water in each branch.
    pub(super) water: Vec<LineWater>,
    pub(super) given: Vec<Given>,
    pub(super) stale: Stale,
    pub(super) activity: Activity,
    /// The branches.
    pub(super) arcs: Vec<Arc>,
    /// The runs that take part, as the last steps left them.
    pub(super) work: Vec<Work>,
    /// Their tubes, run by run.
    pub(super) tubes: Vec<Friction>,
    /// The ends.
    pub(super) points: Vec<Point>,
    /// For what is no tree: the matrix, and what changes by junction.
    pub(super) matrix: Vec<f64>,
    pub(super) right: Vec<f64>,
    /// Whether the flows balance at every junction.
    pub(super) balanced: bool,
    /// Whether the runs that take part are laid out as they are, costs and all.
    pub(super) laid_out: bool,
}

impl<F: FrictionLaw> Solver<F> {
    /// Compiles a network.
    pub fn new(network: &Network) -> Self {
        let compiled = Compiled::new(network);
        let (nodes, links) = (network.nodes.len(), network.links.len());
        let (branches, ends) = (compiled.branches.len(), compiled.ends.len());
        let mut solver = Self {
            tables: FrictionTables::new(),
            closed: vec![false; links],
            loss: vec![None; links],
            speed: vec![0.0; links],
            water: vec![LineWater::nominal(); branches],
            given: vec![
                Given {
                    head_m: 0.0,
                    supplies: true
                };
                nodes
            ],
            stale: Stale::of(branches),
            activity: Activity::new(&compiled),
            arcs: compiled.arcs(),
            work: Vec::with_capacity(branches),
            tubes: Vec::with_capacity(links),
            points: vec![Point::default(); ends],
            matrix: vec![0.0; compiled.pattern.len()],
            right: vec![0.0; compiled.junctions],
            balanced: false,
            laid_out: false,
            compiled,
        };
        // All memory is taken now: the tables, and the parts of every branch.
        for branch in 0..branches {
            solver.stale.losses.put(branch);
        }
        solver.refresh();
        solver.forget();
        solver
    }

    /// Sets a terminal: its gauge pressure, and whether it can give water. An outlet in the open air can't, nor a
    /// vessel through an opening above its water.
    ///
    /// # Errors
    /// [`HydraulicsError`] where the node is no terminal or the pressure is out of range.
    pub fn set_terminal(
        &mut self,
        node: NodeId,
        gauge_pressure_pa: f64,
        supplies: bool,
    ) -> Result<(), HydraulicsError> {
        let terminal = self.compiled.nodes.get(node.0).is_some_and(|node| node.terminal);
        if !terminal {
            return Err(HydraulicsError::NotThat {
                node: node.0,
                wanted: "terminal",
            });
        }
        let given = Given {
            head_m: PRESSURE.require(gauge_pressure_pa)? / (NOMINAL_DENSITY_KG_M3 * GRAVITY_M_S2),
            supplies,
        };
        if self.given[node.0].supplies != supplies {
            let end = self.compiled.end_of_node[node.0];
            for (at, branch) in self.compiled.branches.iter().enumerate() {
                if Some(branch.from) == end || Some(branch.to) == end {
                    self.stale.ways.put(at);
                }
            }
        }
        self.given[node.0] = given;
        if let Some(end) = self.compiled.end_of_node[node.0] {
            self.points[end].head_m = given.head_m;
        }
        Ok(())
    }

    /// Opens or closes a valve.
    ///
    /// # Errors
    /// [`HydraulicsError::NotThat`] where the link is no valve.
    pub fn set_open(&mut self, link: LinkId, open: bool) -> Result<(), HydraulicsError> {
        self.valve(link)?;
        if self.closed[link.0] == open {
            self.closed[link.0] = !open;
            self.stale.ways.put(self.compiled.place_of_link[link.0].branch);
        }
        Ok(())
    }

    /// Sets what an open valve costs in its position, on the bore it was built with.
    ///
    /// # Errors
    /// [`HydraulicsError`] where the link is no valve or the loss is out of range.
    pub fn set_loss(&mut self, link: LinkId, loss: LossCoefficient) -> Result<(), HydraulicsError> {
        self.valve(link)?;
        check_loss(&loss)?;
        self.loss[link.0] = Some(loss);
        self.stale.losses.put(self.compiled.place_of_link[link.0].branch);
        Ok(())
    }

    /// Sets the speed of a pump as a share of the speed of its curve, `0..=2`; 0 is standing still.
    ///
    /// # Errors
    /// [`HydraulicsError`] where the link is no pump or the speed is out of range.
    pub fn set_speed(&mut self, link: LinkId, speed: f64) -> Result<(), HydraulicsError> {
        match self.compiled.links.get(link.0).map(|link| &link.element) {
            Some(Element::Pump(_)) => {}
            _ => {
                return Err(HydraulicsError::NotThat {
                    node: link.0,
                    wanted: "pump",
                });
            }
        }
        let speed = SPEED.require(speed)?;
        if self.speed[link.0] != speed {
            self.speed[link.0] = speed;
            self.stale.losses.put(self.compiled.place_of_link[link.0].branch);
        }
        Ok(())
    }

    /// Sets the water in one link.
    ///
    /// Links in series carry one water, up to the next joint; the one that is set last of them counts for all.
    ///
    /// # Errors
    /// [`HydraulicsError::NotThat`] where there is no such link.
    pub fn set_water(&mut self, link: LinkId, water: LineWater) -> Result<(), HydraulicsError> {
        let Some(place) = self.compiled.place_of_link.get(link.0) else {
            return Err(HydraulicsError::NotThat {
                node: link.0,
                wanted: "link",
            });
        };
        if self.water[place.branch] != water {
            self.water[place.branch] = water;
            self.stale.water.put(place.branch);
        }
        Ok(())
    }

    /// Sets one water in every link.
    pub fn set_water_everywhere(&mut self, water: LineWater) {
        for (branch, own) in self.water.iter_mut().enumerate() {
            if *own != water {
                *own = water;
                self.stale.water.put(branch);
            }
        }
    }

    /// Forgets the last solution: the next one starts cold, from 0.3 m/s in every line, and doesn't hang on what was solved
    /// before, not by a rounding either.
    pub fn forget(&mut self) {
        for (branch, arc) in self.compiled.branches.iter().zip(&mut self.arcs) {
            arc.flow = branch.start_flow_m3_s;
        }
        self.points.fill(Point::default());
        for end in self.compiled.junctions..self.compiled.ends.len() {
            self.points[end].head_m = self.given[self.compiled.ends[end]].head_m;
        }
        self.activity.start_over();
        self.balanced = false;
        self.laid_out = false;
    }

    /// Starts the next solution from given flows, `-10..=10` m³/s, one for each link.
    ///
    /// # Errors
    /// [`HydraulicsError`] where a flow is out of range or there isn't one for each link.
    pub fn start_from(&mut self, flow_m3_s: &[f64]) -> Result<(), HydraulicsError> {
        if flow_m3_s.len() != self.compiled.links.len() {
            return Err(HydraulicsError::NotThat {
                node: flow_m3_s.len(),
                wanted: "list of one flow for each link",
            });
        }
        // All are looked at before any is taken: half a list would leave flows that the costs don't belong to.
        for flow in flow_m3_s {
            START.require(*flow)?;
        }
        for (along, place) in flow_m3_s.iter().zip(&self.compiled.place_of_link) {
            self.arcs[place.branch].flow = if place.reversed { -along } else { *along };
        }
        self.starts_anew();
        Ok(())
    }

    /// The flows were given: nothing is known of them.
    pub(super) fn starts_anew(&mut self) {
        self.activity.forget();
        self.balanced = false;
        self.laid_out = false;
    }

    fn valve(&self, link: LinkId) -> Result<(), HydraulicsError> {
        match self.compiled.links.get(link.0).map(|link| &link.element) {
            Some(Element::Valve(_)) => Ok(()),
            _ => Err(HydraulicsError::NotThat {
                node: link.0,
                wanted: "valve",
            }),
        }
    }

    /// Flow through a link, m³/s, positive from its first node to its second; 0 beyond the last link.
    pub fn flow_m3_s(&self, link: LinkId) -> f64 {
        self.compiled.place_of_link.get(link.0).map_or(0.0, |place| {
            let flow = self.arcs[place.branch].flow;
            if place.reversed { -flow } else { flow }
        })
    }

    /// Of the links in series with a link, which carry one flow and one water, the one that stands for all of them.
    pub fn stands_for(&self, link: LinkId) -> Option<LinkId> {
        let place = self.compiled.place_of_link.get(link.0)?;
        let first = self.compiled.branches[place.branch].steps.first()?;
        Some(LinkId(first.link))
    }

    /// The water that counts in a link; nominal water beyond the last.
    pub fn water(&self, link: LinkId) -> LineWater {
        let place = self.compiled.place_of_link.get(link.0);
        place.map_or(LineWater::nominal(), |place| self.water[place.branch])
    }
}
