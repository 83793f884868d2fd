//! In which order to turn valves and pumps, as `lineups` tells it.

use proof::{REST, SwitchMove, SwitchOrder};

use super::page::fill;
use super::read;

/// "From rest: open a and b, start pump." for one task.
pub(super) fn from_rest(orders: &[SwitchOrder], lineup: &str) -> String {
    orders
        .iter()
        .find(|order| order.from == REST && order.to == lineup)
        .map_or_else(String::new, |order| {
            fill(&format!("In this order: {}.", in_words(order)), "    ", "    ") + "\n"
        })
}

/// "Between tasks salt-east and jet-east stay open …": how the orders begin and end.
pub(super) fn rest(stand_open: &[String]) -> String {
    if stand_open.is_empty() {
        return String::new();
    }
    let names: Vec<&str> = stand_open.iter().map(String::as_str).collect();
    let text = format!(
        "Between tasks {} stay open, for a timer that stirs: every order begins and ends so.",
        read::list(&names, "and")
    );
    format!("\n{}\n", fill(&text, "", ""))
}

/// Every order between two tasks, or only where there is none.
pub(super) fn between(orders: &[SwitchOrder], all: bool) -> String {
    let tasks = orders
        .iter()
        .filter(|order| order.from != REST && order.to != REST);
    let (shown, found): (Vec<&SwitchOrder>, usize) = {
        let own: Vec<&SwitchOrder> = tasks.collect();
        let found = own.iter().filter(|order| order.moves.is_some()).count();
        let shown = own
            .into_iter()
            .filter(|order| all || order.none.is_some())
            .collect();
        (shown, found)
    };
    if shown.is_empty() && found == 0 {
        return String::new();
    }
    let mut out = String::from("\nFrom one task to the next\n");
    if !all && found > 0 {
        let rest = if shown.is_empty() {
            "Between any two tasks there is an order that passes through no harm"
        } else {
            "Between all others there is an order that passes through no harm"
        };
        out += &(fill(&format!("{rest}: lineups --orders shows each."), "  ", "  ") + "\n");
    }
    for order in shown {
        let text = format!("{} to {}: {}", order.from, order.to, in_words(order));
        out += &(fill(&format!("{text}."), "  ", "    ") + "\n");
    }
    out
}

fn in_words(order: &SwitchOrder) -> String {
    match (&order.moves, &order.none) {
        (Some(moves), _) if moves.is_empty() => "nothing to turn".to_owned(),
        (Some(moves), _) => moves_in_words(moves),
        (None, Some(none)) => none.clone(),
        (None, None) => "not looked for".to_owned(),
    }
}

/// "stop bracket, close jet and salt-outlet, open fresh-spout".
fn moves_in_words(moves: &[SwitchMove]) -> String {
    let mut parts: Vec<(&str, Vec<&str>)> = Vec::new();
    for own in moves {
        match parts.last_mut() {
            Some((turn, whats)) if *turn == own.turn => whats.push(&own.what),
            _ => parts.push((own.turn, vec![&own.what])),
        }
    }
    let parts: Vec<String> = parts
        .iter()
        .map(|(turn, whats)| {
            // One after the other, so a list with "then" in it, not "and".
            format!("{turn} {}", read::list(whats, "then"))
        })
        .collect();
    parts.join(", ")
}
