//! Wrong valves and the order of turning: what each wrong move does, what was tried, the least that does harm.

use proof::{Cause, Hazard, Mistakes, REST, SwitchOrder, TriedRemedy};
use station::quantity::{Kind, format_about, format_count, format_plain, format_rough_time, format_tape};
use station::{Station, shown};

use super::{Cell, Column, Table};
use crate::words::capital;

/// Wrong moves by what they lead to, worst first.
pub(super) fn wrong_moves(station: &Station, all: &Mistakes) -> Table {
    let rows = all
        .causes
        .iter()
        .map(|cause| {
            vec![
                Cell::Words(shown(cause.kind.word())),
                Cell::Words(cause.sentence.clone()),
                Cell::Words(cure(station, all, cause)),
            ]
        })
        .collect();
    Table {
        name: "wrong-moves",
        title: "Single wrong moves, what matters most first",
        heads: [
            "what",
            "how, and how soon at the flow it begins with",
            "cheapest cure, tried",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
    }
}

/// The same as a file: with the move, and when its harm comes, in one unit, as their chart shows them.
pub(super) fn wrong_moves_in_full(station: &Station, all: &Mistakes) -> Table {
    let mut table = wrong_moves(station, all);
    let seconds = all.causes.iter().map(|own| own.seconds_to_harm);
    let time = Column::sized(
        station,
        Kind::Time,
        seconds.filter(|own| own.is_finite()).fold(0.0, f64::max),
    );
    table.heads.insert(1, "first move".to_owned());
    table.heads.insert(2, time.head("after"));
    for (row, cause) in table.rows.iter_mut().zip(&all.causes) {
        let after = match cause.seconds_to_harm.is_finite() {
            true => time.exact(cause.seconds_to_harm),
            false => Cell::Empty,
        };
        row.insert(1, Cell::Words(first_move(cause)));
        row.insert(2, after);
    }
    table
}

/// The move that a cause is named by; empty where it is a task that nobody ends.
fn first_move(cause: &Cause) -> String {
    let first = cause.moves.first().filter(|own| !own.moved.is_empty());
    first.map_or_else(String::new, |own| format!("{} {}", own.moved, own.turned))
}

/// The cheapest change that clears a cause, with its price; else what was tried.
pub(crate) fn cure(station: &Station, all: &Mistakes, cause: &Cause) -> String {
    let Some(remedy) = cause.remedy.and_then(|at| all.remedies.get(at)) else {
        return all.no_cure(cause).unwrap_or_default();
    };
    priced(station, remedy)
}

/// A change that was tried, with its price where the file gives one.
pub(crate) fn priced(station: &Station, remedy: &TriedRemedy) -> String {
    match remedy.price {
        Some(price) => format!("{}, about {}", remedy.sentence, money(station, price)),
        None => remedy.sentence.clone(),
    }
}

fn money(station: &Station, price: f64) -> String {
    format_about(price, &station.currency())
}

/// Changes that were tried, cheapest first.
pub(super) fn changes(station: &Station, all: &Mistakes) -> Table {
    let rows = all
        .remedies
        .iter()
        .map(|remedy| {
            vec![
                Cell::Words(capital(&remedy.sentence)),
                remedy
                    .price
                    .map_or(Cell::Empty, |price| Cell::Words(money(station, price))),
                Cell::Tape {
                    value: remedy.clears as f64,
                    shown: format!("{} of {}", remedy.clears, all.causes.len()),
                },
                Cell::Words(remedy.caution.unwrap_or_default().to_owned()),
            ]
        })
        .collect();
    Table {
        name: "changes-tried",
        title: "Changes that were tried, cheapest first",
        heads: ["change", "price", "clears", "mind"].map(str::to_owned).to_vec(),
        rows,
    }
}

/// The least that does each harm.
pub(super) fn least(station: &Station, all: &Mistakes) -> Table {
    let say = |kind: Kind, si: f64| format_plain(kind, si, station.units(), &station.currency());
    let flow = |own: &Hazard| match own.flow_m3_per_s {
        0.0 => Cell::Empty,
        flow => Cell::Words(say(Kind::Flow, flow)),
    };
    let after = |own: &Hazard| {
        Cell::Words(if own.seconds_to_harm < 1.0 {
            "at once".to_owned()
        } else {
            format_rough_time(own.seconds_to_harm)
        })
    };
    least_of(station, all, ["flow".to_owned(), "after".to_owned()], flow, after)
}

/// The same as a file: one unit to a column.
pub(super) fn least_in_full(station: &Station, all: &Mistakes) -> Table {
    let most = |of: fn(&Hazard) -> f64| all.map.hazards.iter().map(of).fold(0.0, f64::max);
    let flow = Column::sized(station, Kind::Flow, most(|own| own.flow_m3_per_s));
    let time = Column::sized(station, Kind::Time, most(|own| own.seconds_to_harm));
    let heads = [flow.head("flow"), time.head("after")];
    least_of(
        station,
        all,
        heads,
        |own| flow.exact(own.flow_m3_per_s),
        |own| time.exact(own.seconds_to_harm),
    )
}

fn least_of(
    station: &Station,
    all: &Mistakes,
    [flow_head, after_head]: [String; 2],
    flow: impl Fn(&Hazard) -> Cell,
    after: impl Fn(&Hazard) -> Cell,
) -> Table {
    let mut hazards: Vec<&Hazard> = all.map.hazards.iter().collect();
    hazards.sort_by_key(|hazard| hazard.kind);
    let rows = hazards
        .into_iter()
        .map(|own| {
            let turns = own.balance.as_ref().map_or_else(String::new, |balance| {
                format!(
                    "{} in {}",
                    format_tape(balance.level_m, station.units()),
                    balance.vessel
                )
            });
            vec![
                Cell::Words(shown(own.kind.word())),
                Cell::Words(own.victim.clone()),
                Cell::Words(own.valves_open.join(", ")),
                Cell::Words(own.pumps_on.join(", ")),
                flow(own),
                after(own),
                Cell::Words(turns),
            ]
        })
        .collect();
    let words = |head: &str| head.to_owned();
    Table {
        name: "least-that-harms",
        title: "The least that does each harm",
        heads: vec![
            words("what"),
            words("to"),
            words("open"),
            words("running"),
            flow_head,
            after_head,
            words("turns round at"),
        ],
        rows,
    }
}

/// How the positions were looked at.
pub(super) fn looked_at(all: &Mistakes) -> Table {
    let map = &all.map;
    let row = |name: &str, states: u64| {
        vec![
            Cell::Words(name.to_owned()),
            Cell::Tape {
                value: states as f64,
                shown: format_count(states),
            },
        ]
    };
    let mut rows = vec![
        row("valves and pumps that can be turned", map.switches as u64),
        row(
            &format!(
                "states: {}, in {} situations",
                map.exhaustive,
                map.situations.len()
            ),
            map.states_tried,
        ),
        row(
            "patterns of joined lines solved for them",
            map.patterns_solved as u64,
        ),
        row("harmless", map.harmless),
    ];
    let harmful = map.counts.iter().filter(|count| count.states > 0);
    rows.extend(harmful.map(|own| row(own.kind.word(), own.states)));
    Table {
        name: "states-looked-at",
        title: "How wrong valves were looked at",
        heads: ["what", "states"].map(str::to_owned).to_vec(),
        rows,
    }
}

/// The order of turning into each task from rest, and between tasks where there is none.
pub(super) fn orders(all: &[SwitchOrder]) -> Table {
    orders_of(
        all.iter()
            .filter(|order| order.from == REST || order.none.is_some()),
    )
}

/// Every order.
pub(super) fn orders_in_full(all: &[SwitchOrder]) -> Table {
    orders_of(all.iter())
}

fn orders_of<'o>(orders: impl Iterator<Item = &'o SwitchOrder>) -> Table {
    let rows = orders
        .map(|order| {
            let moves = match (&order.moves, &order.none) {
                (Some(moves), _) => moves
                    .iter()
                    .map(|own| format!("{} {}", own.turn, own.what))
                    .collect::<Vec<_>>()
                    .join(", "),
                (None, none) => none.clone().unwrap_or_default(),
            };
            [order.from.clone(), order.to.clone(), moves]
                .into_iter()
                .map(Cell::Words)
                .collect()
        })
        .collect();
    Table {
        name: "order-of-turning",
        title: "In which order to turn",
        heads: ["from", "to", "one after the other"].map(str::to_owned).to_vec(),
        rows,
    }
}
