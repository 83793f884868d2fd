//! From a graph to what the solver works on: links in series become branches, junctions get their order.

use super::branch::Law;
use super::element::Element;
use super::ordering::Pattern;
use super::set::Set;
use super::solver::Arc;
use super::{Link, Network, Node};

/// A link of a branch, and whether the branch runs against it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub(super) link: usize,
    pub(super) reversed: bool,
}

/// Links in series between two ends.
#[derive(Debug, Clone)]
pub(super) struct Branch {
    /// Ends, as indices into the pressures of the solver.
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) steps: Vec<Step>,
    /// Place in the matrix of the entry between both ends, where both are junctions.
    pub(super) between: usize,
    /// To begin with: 0.3 m/s in the narrowest of its bores.
    pub(super) start_flow_m3_s: f64,
}

/// Where a link went.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlaceOfLink {
    pub(super) branch: usize,
    pub(super) reversed: bool,
}

/// What is found out once about a network.
#[derive(Debug, Clone)]
pub(super) struct Compiled {
    pub(super) nodes: Vec<Node>,
    pub(super) links: Vec<Link>,
    pub(super) branches: Vec<Branch>,
    /// The set of all branches.
    pub(super) all: Set,
    pub(super) place_of_link: Vec<PlaceOfLink>,
    /// The nodes that are ends of branches: first the junctions, in the order of elimination, then the terminals.
    pub(super) ends: Vec<usize>,
    /// How many of them are junctions.
    pub(super) junctions: usize,
    /// For each node its place among the ends.
    pub(super) end_of_node: Vec<Option<usize>>,
    /// For each junction the branches that meet in it.
    pub(super) around: Vec<Vec<usize>>,
    pub(super) pattern: Pattern,
}

impl Compiled {
    pub(super) fn new(network: &Network) -> Self {
        let (nodes, links) = (network.nodes.clone(), network.links.clone());
        let mut at_node: Vec<Vec<usize>> = vec![Vec::new(); nodes.len()];
        for (link, ends) in links.iter().enumerate() {
            at_node[ends.from].push(link);
            at_node[ends.to].push(link);
        }
        let mut is_end: Vec<bool> = nodes
            .iter()
            .zip(&at_node)
            .map(|(node, around)| node.terminal || node.joint || around.len() != 2)
            .collect();
        let chains = chains(&links, &at_node, &mut is_end);

        // Junctions by the order of elimination, then terminals.
        let first: Vec<usize> = (0..nodes.len())
            .filter(|node| is_end[*node] && !nodes[*node].terminal)
            .collect();
        let mut number = vec![usize::MAX; nodes.len()];
        for (at, node) in first.iter().enumerate() {
            number[*node] = at;
        }
        let joined = |number: &[usize]| -> Vec<(usize, usize)> {
            chains
                .iter()
                .map(|chain| (number[chain.from], number[chain.to]))
                .filter(|(a, b)| *a != usize::MAX && *b != usize::MAX && a != b)
                .collect()
        };
        let order = Pattern::order(first.len(), &joined(&number));
        let mut ends: Vec<usize> = order.iter().map(|at| first[*at]).collect();
        for (at, node) in ends.iter().enumerate() {
            number[*node] = at;
        }
        let pattern = Pattern::new(ends.len(), &joined(&number));
        let junctions = ends.len();
        ends.extend((0..nodes.len()).filter(|node| nodes[*node].terminal));
        let mut end_of_node = vec![None; nodes.len()];
        for (at, node) in ends.iter().enumerate() {
            end_of_node[*node] = Some(at);
        }

        let mut place_of_link = vec![
            PlaceOfLink {
                branch: 0,
                reversed: false
            };
            links.len()
        ];
        let branches: Vec<Branch> = chains
            .into_iter()
            .enumerate()
            .map(|(branch, chain)| {
                let end = |node: usize| end_of_node[node].unwrap_or(usize::MAX);
                let (from, to) = (end(chain.from), end(chain.to));
                for step in &chain.steps {
                    place_of_link[step.link] = PlaceOfLink {
                        branch,
                        reversed: step.reversed,
                    };
                }
                let between = if from < junctions && to < junctions {
                    pattern.place(from, to)
                } else {
                    usize::MAX
                };
                Branch {
                    from,
                    to,
                    start_flow_m3_s: start_flow_m3_s(&chain.steps, &links),
                    steps: chain.steps,
                    between,
                }
            })
            .collect();
        let mut around = vec![Vec::new(); junctions];
        for (at, branch) in branches.iter().enumerate() {
            for end in [branch.from, branch.to] {
                if end < junctions {
                    around[end].push(at);
                }
            }
        }
        let mut all = Set::none_of(branches.len());
        (0..branches.len()).for_each(|branch| all.put(branch));
        Self {
            nodes,
            links,
            branches,
            all,
            place_of_link,
            ends,
            junctions,
            end_of_node,
            around,
            pattern,
        }
    }
}

impl Compiled {
    /// The branches, each with what its pumps are, and nothing else of it.
    pub(super) fn arcs(&self) -> Vec<Arc> {
        let arc = |branch: &Branch| {
            let pumps = branch
                .steps
                .iter()
                .filter_map(|step| match &self.links[step.link].element {
                    Element::Pump(pump) => Some((pump, step.reversed)),
                    _ => None,
                });
            let mut law = Law::with_room(branch.steps.len(), pumps.clone().count());
            for (pump, reversed) in pumps {
                law.add_pump(&pump.curve, pump.standing_loss_s2_m5, reversed);
            }
            Arc {
                from: branch.from,
                to: branch.to,
                law,
                static_m: 0.0,
                flow: 0.0,
            }
        };
        self.branches.iter().map(arc).collect()
    }
}

struct Chain {
    from: usize,
    to: usize,
    steps: Vec<Step>,
}

/// Follows every link both ways through nodes that only two links meet in.
fn chains(links: &[Link], at_node: &[Vec<usize>], is_end: &mut [bool]) -> Vec<Chain> {
    let mut taken = vec![false; links.len()];
    let mut chains = Vec::new();
    for start in 0..links.len() {
        if taken[start] {
            continue;
        }
        // Back to where the chain begins; a ring without any end begins at this link.
        let (mut link, mut node) = (start, links[start].from);
        while !is_end[node] {
            let before = other(at_node, node, link);
            if before == start {
                is_end[node] = true;
                link = start;
                break;
            }
            node = far_end(&links[before], node);
            link = before;
        }
        let from = node;
        let mut steps = Vec::new();
        loop {
            taken[link] = true;
            let reversed = links[link].from != node;
            steps.push(Step { link, reversed });
            node = far_end(&links[link], node);
            if is_end[node] {
                break;
            }
            link = other(at_node, node, link);
        }
        chains.push(Chain {
            from,
            to: node,
            steps,
        });
    }
    chains
}

fn far_end(link: &Link, node: usize) -> usize {
    if link.from == node { link.to } else { link.from }
}

/// The other of the two links at a node.
fn other(at_node: &[Vec<usize>], node: usize, link: usize) -> usize {
    let [a, b] = at_node[node][..] else {
        return link;
    };
    if a == link { b } else { a }
}

/// 0.3 m/s in the narrowest bore of some steps.
fn start_flow_m3_s(steps: &[Step], links: &[Link]) -> f64 {
    let bore = steps
        .iter()
        .filter_map(|step| match &links[step.link].element {
            Element::Line(line) => Some(line.bore_m),
            Element::Valve(passage) | Element::Passage(passage) | Element::Check { passage, .. } => {
                Some(passage.bore_m)
            }
            Element::Pump(_) => None,
        })
        .fold(f64::INFINITY, f64::min);
    let bore = if bore.is_finite() { bore } else { 0.02 };
    0.3 * core::f64::consts::FRAC_PI_4 * bore * bore
}
