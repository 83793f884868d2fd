//! Networks: what flows where, between open vessels, through lines, valves and pumps.
//!
//! Owns: the graph ([`Network`]), what its links are made of ([`Element`]), and the [`Solver`] that is compiled
//! from it once and then answers for any state of valves, pumps, levels and waters without allocating.
//!
//! Doesn't own: time (levels stand still here), which water is in which line, what any of it is called.
//!
//! The problem that is solved has one solution. Every link's loss of head rises with its flow, so the flows are
//! the minimum of a convex function (the *content* of the network, `COLLINS-1978`), and Newton's method with a
//! search along its steps finds it from any start. One step of it is the *global gradient* step of `TODINI-1988`,
//! which keeps the balance of every junction to rounding; what is left to lower is the error in the heads.

mod activity;
mod balance;
mod branch;
mod compile;
mod element;
mod flows;
mod loss;
mod ordering;
mod plan;
mod pressure;
mod refresh;
mod runs;
mod set;
mod solver;
mod steps;

pub use element::{Element, Line, Passage, Pump};
pub use flows::Flows;
pub use solver::{Effort, Solver};

use super::error::HydraulicsError;
use crate::Range;

/// Index of a node, in the order of adding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct NodeId(pub usize);

/// Index of a link, in the order of adding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct LinkId(pub usize);

/// Above this, nodes or links, no station goes; it bounds what compiling costs.
const MOST: usize = 2_000;
const ELEVATION: Range = Range {
    quantity: "elevation",
    unit: "m",
    min: -1_000.0,
    max: 1_000.0,
    source_key: "HOUSE-RULE",
};

#[derive(Debug, Clone, Copy, PartialEq)]
struct Node {
    elevation_m: f64,
    /// Its pressure is given: an open vessel, an outlet, a supply.
    terminal: bool,
    /// Other water may begin here, though only two links meet.
    joint: bool,
}

#[derive(Debug, Clone, PartialEq)]
struct Link {
    from: usize,
    to: usize,
    element: Element,
}

/// A graph of nodes and links. Flow counts positive from a link's first node to its second.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Network {
    nodes: Vec<Node>,
    links: Vec<Link>,
}

impl Network {
    /// Nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a node where lines meet and nothing enters or leaves.
    ///
    /// # Errors
    /// [`HydraulicsError`] for an elevation outside `-1000..=1000` and for too many nodes.
    pub fn junction(&mut self, elevation_m: f64) -> Result<NodeId, HydraulicsError> {
        self.node(elevation_m, false, false)
    }

    /// Adds a junction where other water may begin: two links that meet in it aren't taken for one line with one water.
    ///
    /// # Errors
    /// As [`junction`](Self::junction).
    pub fn joint(&mut self, elevation_m: f64) -> Result<NodeId, HydraulicsError> {
        self.node(elevation_m, false, true)
    }

    /// Adds a node whose pressure is given: where a line ends in a vessel, in the open air, at a supply.
    ///
    /// # Errors
    /// As [`junction`](Self::junction).
    pub fn terminal(&mut self, elevation_m: f64) -> Result<NodeId, HydraulicsError> {
        self.node(elevation_m, true, false)
    }

    fn node(&mut self, elevation_m: f64, terminal: bool, joint: bool) -> Result<NodeId, HydraulicsError> {
        let elevation_m = ELEVATION.require(elevation_m)?;
        if self.nodes.len() >= MOST {
            return Err(HydraulicsError::TooLarge {
                most: MOST,
                given: self.nodes.len() + 1,
            });
        }
        self.nodes.push(Node {
            elevation_m,
            terminal,
            joint,
        });
        Ok(NodeId(self.nodes.len() - 1))
    }

    /// Joins two nodes.
    ///
    /// # Errors
    /// [`HydraulicsError`] for ends that aren't two nodes of this network, an element out of range, too many links.
    pub fn link(&mut self, from: NodeId, to: NodeId, element: Element) -> Result<LinkId, HydraulicsError> {
        let link = self.links.len();
        if link >= MOST {
            return Err(HydraulicsError::TooLarge {
                most: MOST,
                given: link + 1,
            });
        }
        if from == to || from.0 >= self.nodes.len() || to.0 >= self.nodes.len() {
            return Err(HydraulicsError::Ends { link });
        }
        element.check()?;
        self.links.push(Link {
            from: from.0,
            to: to.0,
            element,
        });
        Ok(LinkId(link))
    }

    /// What a link is made of; `None` beyond the last.
    pub fn element(&self, link: LinkId) -> Option<&Element> {
        self.links.get(link.0).map(|link| &link.element)
    }

    /// How many nodes there are.
    pub fn node_count(&self) -> usize {
        self.nodes.len()
    }

    /// How many links there are.
    pub fn link_count(&self) -> usize {
        self.links.len()
    }
}
