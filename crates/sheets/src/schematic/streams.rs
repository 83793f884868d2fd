//! Which of its waters each piece of the purifier's pipe leads: told by where it leads to.

use station::Station;

use super::graph::{Graph, Kind};

/// What each piece of pipe is called on a live drawing: the pieces of lines as ever, those of the purifier by their water.
/// A piece that leads to several vessels has a name for each of them.
pub(super) fn paths(station: &Station, graph: &Graph) -> Vec<Vec<String>> {
    graph
        .edges
        .iter()
        .map(|edge| {
            let mut found = Vec::new();
            if edge.line.is_none() {
                lead(station, graph, edge.to, &mut found);
            }
            if found.is_empty() {
                found.push(edge.path.clone());
            }
            found
        })
        .collect()
}

/// Follows the pipe to the first that parts the waters or takes them.
fn lead(station: &Station, graph: &Graph, node: usize, found: &mut Vec<String>) {
    let path = match graph.nodes[node].kind {
        Kind::Membrane => "purifier.feed".to_owned(),
        Kind::Drain => "purifier.waste".to_owned(),
        // The first nodes are the vessels, in the file's order.
        Kind::Vessel(_) => match station.vessels.get(node) {
            Some(own) => format!("purifier.product.{}", own.name),
            None => return,
        },
        _ => {
            for edge in graph
                .out_of(node)
                .filter(|edge| graph.edges[*edge].line.is_none())
            {
                lead(station, graph, graph.edges[edge].to, found);
            }
            return;
        }
    };
    if !found.contains(&path) {
        found.push(path);
    }
}
