//! The purifier on the schematic: feed, filters, booster, membranes with their reject, beds of resin, the vessels that
//! it fills.

use station::sections::{Order, Valve};
use station::{Purifier, Station, spoken};

use super::graph::{Graph, Kind};
use super::tags::{Tags, tag};

/// The path of what the purifier's section stands for.
const OWN: &str = "purifier";

pub(super) fn add(graph: &mut Graph, station: &Station, vessels: &[usize], tags: Tags) {
    let Some(purifier) = &station.purifier else { return };
    let mut last = graph.add(Kind::Feed, "feed", "feed");
    let mut go_on = |graph: &mut Graph, next: usize| {
        graph.join(last, next, OWN);
        last = next;
    };
    // Numbers behind those of the file's own valves and pumps.
    let mut valve = station.valves.len();
    if purifier.fields.feed_valve.value {
        let label = tag(tags, "feed valve", "XV", valve);
        let node = graph.add(Kind::Valve(Valve::Solenoid), "purifier.feed_valve", label);
        go_on(graph, node);
        valve += 1;
    }
    for (at, filter) in purifier.filters.iter().enumerate() {
        let label = tag(tags, &spoken(&filter.name), "F", at);
        let node = graph.add(Kind::Filter, format!("filters.{}", filter.name), label);
        go_on(graph, node);
    }
    if purifier.fields.booster_pressure.is_some() {
        let label = tag(tags, "booster", "P", station.pumps.len());
        let node = graph.add(Kind::Pump, "purifier.booster_pressure", label);
        go_on(graph, node);
    }
    last = membranes(graph, purifier, last, tags);
    if purifier.fields.check_valve.value {
        let label = tag(tags, "check", "CK", valve);
        let node = graph.add(Kind::Valve(Valve::SpringCheck), "purifier.check_valve", label);
        graph.join(last, node, OWN);
        last = node;
    }
    last = beds(graph, purifier, last, tags);
    let filled: Vec<usize> = station
        .filled()
        .into_iter()
        .filter_map(|at| vessels.get(at).copied())
        .collect();
    for (at, vessel) in filled.iter().enumerate() {
        // A joint before each but the last.
        if at + 1 < filled.len() {
            let joint = graph.add(Kind::Joint, OWN, "");
            graph.join(last, joint, OWN);
            last = joint;
        }
        graph.join(last, *vessel, OWN);
    }
}

/// Between two joints where they share the water; otherwise each takes the reject of the one before.
fn membranes(graph: &mut Graph, purifier: &Purifier, mut last: usize, tags: Tags) -> usize {
    let count = purifier.membranes.len();
    if count == 0 {
        return last;
    }
    let nodes: Vec<usize> = purifier
        .membranes
        .iter()
        .enumerate()
        .map(|(at, membrane)| {
            let label = tag(tags, &spoken(&membrane.name), "M", at);
            graph.add(Kind::Membrane, format!("membranes.{}", membrane.name), label)
        })
        .collect();
    let restrictor = graph.add(Kind::Restrictor, "purifier.restrictor_flow", "");
    let drain = graph.add(Kind::Drain, "room.drain_height", "drain");
    let series = purifier.fields.membrane_order.value == Order::Series;
    // What goes on from the membranes, joined two by two, and what they reject likewise.
    let (mut product, mut reject) = (None, None);
    for (at, node) in nodes.iter().enumerate() {
        let more = at + 1 < count;
        match (series, at) {
            (true, 1..) => {
                graph.join(nodes[at - 1], *node, OWN).reject = true;
            }
            (false, _) if more => {
                let joint = graph.add(Kind::Joint, OWN, "");
                graph.join(last, joint, OWN);
                graph.join(joint, *node, OWN);
                last = joint;
            }
            _ => {
                graph.join(last, *node, OWN);
            }
        }
        product = Some(joined(graph, product, *node, false));
        if !series || !more {
            reject = Some(joined(graph, reject, *node, true));
        }
    }
    if let Some(reject) = reject {
        let own = nodes.contains(&reject);
        graph.join(reject, restrictor, OWN).reject = own;
    }
    graph.join(restrictor, drain, OWN);
    product.unwrap_or(last)
}

/// What came before and what a node gives, in one.
fn joined(graph: &mut Graph, before: Option<usize>, node: usize, reject: bool) -> usize {
    let Some(before) = before else { return node };
    let joint = graph.add(Kind::Joint, OWN, "");
    let own = reject && graph.nodes[before].kind == Kind::Membrane;
    graph.join(before, joint, OWN).reject = own;
    graph.join(node, joint, OWN).reject = reject;
    joint
}

fn beds(graph: &mut Graph, purifier: &Purifier, mut last: usize, tags: Tags) -> usize {
    let nodes: Vec<usize> = purifier
        .beds
        .iter()
        .enumerate()
        .map(|(at, bed)| {
            let label = tag(tags, &spoken(&bed.name), "IX", at);
            graph.add(Kind::Bed, format!("resin_beds.{}", bed.name), label)
        })
        .collect();
    if purifier.fields.bed_order.value == Order::Series {
        for node in nodes {
            graph.join(last, node, OWN);
            last = node;
        }
        return last;
    }
    let count = nodes.len();
    let mut product = None;
    for (at, node) in nodes.into_iter().enumerate() {
        if at + 1 < count {
            let joint = graph.add(Kind::Joint, OWN, "");
            graph.join(last, joint, OWN);
            last = joint;
        }
        graph.join(last, node, OWN);
        product = Some(joined(graph, product, node, false));
    }
    product.unwrap_or(last)
}
