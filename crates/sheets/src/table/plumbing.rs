//! Valve settings: what to open, how much flows and how long it takes; pumps at work.

use proof::{Ending, Estimate, Lineup, LineupMoment, Lineups, PumpAtWork};
use station::quantity::{Kind, UnitSystem, format_interval, format_tape};
use station::{Station, shown};

use super::{Cell, Column, Table};

/// What to open for each task.
pub(super) fn settings(station: &Station, all: &Lineups) -> Table {
    let volume = Column::sized(
        station,
        Kind::Volume,
        all.lineups
            .iter()
            .map(|lineup| lineup.held_m3)
            .fold(0.0, f64::max),
    );
    let held_places = match volume.unit.as_str() {
        "gal" => 2,
        "L" => 1,
        _ => 0,
    };
    let rows = all
        .lineups
        .iter()
        .map(|lineup| {
            vec![
                Cell::Words(shown(&lineup.name)),
                Cell::Words(way(lineup)),
                Cell::Words(to_open(lineup)),
                match lineup.pumps_on.as_slice() {
                    [] => Cell::Empty,
                    pumps => Cell::Words(pumps.join(", ")),
                },
                match lineup.valves_open {
                    Some(_) => fixed(&volume, lineup.held_m3, held_places),
                    None => Cell::Empty,
                },
            ]
        })
        .collect();
    Table {
        name: "valve-settings",
        title: "Valve settings",
        heads: vec![
            "task".to_owned(),
            "way".to_owned(),
            "open these, close the others".to_owned(),
            "pump".to_owned(),
            volume.head("held in its lines"),
        ],
        rows,
    }
}

fn way(lineup: &Lineup) -> String {
    match lineup.from == lineup.to {
        true => format!("round {}", lineup.from),
        false => format!("{} to {}", lineup.from, lineup.to),
    }
}

fn to_open(lineup: &Lineup) -> String {
    match lineup.valves_open.as_deref() {
        None => "no setting does it".to_owned(),
        Some([]) => "none".to_owned(),
        Some(open) => open.join(", "),
    }
}

/// Flow and time of each task from each level of its source, each time in a unit of its own.
pub(super) fn times(station: &Station, all: &Lineups) -> Table {
    let flow = flow_column(station, all);
    let volume = moved_column(station, all);
    let rows = each(all)
        .map(|(lineup, moment)| {
            vec![
                Cell::Words(shown(&lineup.name)),
                Cell::Words(source(station, lineup, moment)),
                flow.maybe(moment.flow.as_ref()),
                moment.flow.as_ref().map_or(Cell::Empty, |own| flow.doubt(own)),
                time(station, moment.time.as_ref()),
                moved(&volume, moment),
                Cell::Words(until(lineup, moment)),
            ]
        })
        .collect();
    Table {
        name: "flows-and-times",
        title: "Flows and times",
        heads: vec![
            "task".to_owned(),
            "source".to_owned(),
            flow.head("flow at first"),
            flow.head("±"),
            "time".to_owned(),
            volume.head("moved"),
            "until".to_owned(),
        ],
        rows,
    }
}

/// The same as a file: one unit to a column, both ends of every interval.
pub(super) fn times_in_full(station: &Station, all: &Lineups) -> Table {
    let flow = flow_column(station, all);
    let volume = moved_column(station, all);
    let length = Column::sized(station, Kind::Length, 1.0);
    let seconds = Column::sized(station, Kind::Time, 1.0);
    let exact = |column: &Column, si: Option<f64>| si.map_or(Cell::Empty, |si| column.exact(si));
    let rows = each(all)
        .map(|(lineup, moment)| {
            let [flow_cells, time_cells] =
                [(&flow, &moment.flow), (&seconds, &moment.time)].map(|(column, own)| {
                    let own = own.as_ref();
                    [
                        exact(column, own.map(|own| own.value)),
                        exact(column, own.and_then(|own| own.low)),
                        exact(column, own.and_then(|own| own.high)),
                    ]
                });
            let mut row = vec![
                Cell::Words(shown(&lineup.name)),
                Cell::Words(moment.source.to_owned()),
                exact(&length, moment.source_level_m),
            ];
            row.extend(flow_cells);
            row.extend(time_cells);
            row.push(moved(&volume, moment));
            row.push(Cell::Words(until(lineup, moment)));
            row
        })
        .collect();
    Table {
        name: "flows-and-times",
        title: "Flows and times",
        heads: vec![
            "task".to_owned(),
            "source".to_owned(),
            length.head("its level"),
            flow.head("flow at first"),
            flow.head("low, 95 %"),
            flow.head("high, 95 %"),
            seconds.head("time"),
            seconds.head("low, 95 %"),
            seconds.head("high, 95 %"),
            volume.head("moved"),
            "until".to_owned(),
        ],
        rows,
    }
}

fn each(all: &Lineups) -> impl Iterator<Item = (&Lineup, &LineupMoment)> {
    all.lineups
        .iter()
        .filter(|lineup| lineup.valves_open.is_some())
        .flat_map(|lineup| lineup.moments.iter().map(move |moment| (lineup, moment)))
}

fn flow_column(station: &Station, all: &Lineups) -> Column {
    let flows = each(all).filter_map(|(_, moment)| moment.flow.as_ref());
    Column::of(station, Kind::Flow, flows)
}

fn moved_column(station: &Station, all: &Lineups) -> Column {
    let most = each(all)
        .filter_map(|(_, moment)| moment.moved_m3)
        .fold(0.0, f64::max);
    Column::sized(station, Kind::Volume, most)
}

fn moved(volume: &Column, moment: &LineupMoment) -> Cell {
    moment.moved_m3.map_or(Cell::Empty, |moved| volume.exact(moved))
}

/// `fresh full, 880 mm`.
fn source(station: &Station, lineup: &Lineup, moment: &LineupMoment) -> String {
    let word = match moment.source {
        "half" => "half full",
        "start" => "at its start level",
        other => other,
    };
    match moment.source_level_m {
        Some(level_m) => format!(
            "{} {word}, {}",
            lineup.from,
            format_tape(level_m, station.units())
        ),
        None => lineup.from.clone(),
    }
}

/// `7.4 min ± 0.3 min`: a bucket takes seconds and a transfer hours, so that each has its unit.
fn time(station: &Station, time: Option<&Estimate>) -> Cell {
    time.map_or(Cell::Empty, |time| Cell::Tape {
        value: time.value,
        shown: format_interval(
            time.kind,
            time.value,
            time.half_width(),
            station.units(),
            &station.currency(),
        )
        .to_string(),
    })
}

/// What ends a task.
fn until(lineup: &Lineup, moment: &LineupMoment) -> String {
    match moment.ending {
        Some(Ending::Moved) => "all is moved".to_owned(),
        Some(Ending::SourceLow) => format!("{} is low", lineup.from),
        Some(Ending::TargetFull) => format!("{} is full", lineup.to),
        Some(Ending::Level) => "the levels are even".to_owned(),
        Some(Ending::Fades) => "no more comes".to_owned(),
        Some(Ending::Endless) => "it goes on for days".to_owned(),
        None if moment.flow.is_none() => "nothing flows".to_owned(),
        None if lineup.from == lineup.to => "you stop it".to_owned(),
        None => String::new(),
    }
}

/// Each pump in each of its tasks.
pub(super) fn pumps(station: &Station, all: &Lineups) -> Table {
    let most = all
        .pumps
        .iter()
        .map(|work| work.flow_m3_per_s)
        .fold(0.0, f64::max);
    let flow = Column::sized(station, Kind::Flow, most);
    let pressure = Column::sized(station, Kind::Pressure, 1e4);
    let length = Column::sized(station, Kind::Length, 1.0);
    let share = Column::sized(station, Kind::Fraction, 1.0);
    let head = heads(station);
    let flow_places = if most / flow.factor < 100.0 { 1 } else { 0 };
    let pressure_places = match station.units() {
        UnitSystem::Si => 3,
        UnitSystem::Us => 2,
    };
    let rows = in_order(&all.pumps)
        .map(|work| {
            vec![
                Cell::Words(shown(&work.lineup)),
                Cell::Words(source_word(work.source).to_owned()),
                Cell::Words(work.pump.clone()),
                fixed(&flow, work.flow_m3_per_s, flow_places),
                fixed(&head, work.head_m, 1),
                work.share_of_best
                    .map_or(Cell::Empty, |own| fixed(&share, own, 0)),
                fixed(&pressure, work.inlet_gauge_pressure_pa, pressure_places),
                fixed(&head, work.npsh_available_m, 1),
                work.npsh_required_m
                    .map_or(Cell::Empty, |npsh_m| fixed(&head, npsh_m, 1)),
                work.least_level_m
                    .map_or(Cell::Empty, |level_m| length.tape(station, level_m)),
                Cell::Words(starts(work)),
            ]
        })
        .collect();
    Table {
        name: "pumps-at-work",
        title: "Pumps at work",
        heads: vec![
            "task".to_owned(),
            "source".to_owned(),
            "pump".to_owned(),
            flow.head("flow"),
            head.head("head"),
            share.head("of best flow"),
            pressure.head("before it"),
            head.head("NPSH there"),
            head.head("NPSH asked"),
            length.head("draws air below"),
            "starts".to_owned(),
        ],
        rows,
    }
}

/// By pump, in the order of their first tasks.
fn in_order(works: &[PumpAtWork]) -> impl Iterator<Item = &PumpAtWork> {
    let mut names: Vec<&str> = Vec::new();
    for work in works {
        if !names.contains(&work.pump.as_str()) {
            names.push(&work.pump);
        }
    }
    names
        .into_iter()
        .flat_map(move |name| works.iter().filter(move |work| work.pump == name))
}

fn source_word(source: &str) -> &str {
    match source {
        "start" => "low",
        other => other,
    }
}

fn starts(work: &PumpAtWork) -> String {
    match (work.flooded, work.primes) {
        (true, _) => "flooded".to_owned(),
        (false, true) => "draws up".to_owned(),
        (false, false) => "stays dry".to_owned(),
    }
}

/// A value without doubt, to so many places behind the point.
fn fixed(column: &Column, si: f64, places: i32) -> Cell {
    Cell::Figure {
        value: (si - column.offset) / column.factor,
        // A doubt of five in the last place ends the figure there.
        half_width: format!("5e{}", -places).parse().ok(),
    }
}

/// Heads as pumps are told: metres or feet of water.
fn heads(station: &Station) -> Column {
    let (unit, factor) = match station.units() {
        UnitSystem::Si => ("m", 1.0),
        UnitSystem::Us => ("ft", 0.3048),
    };
    Column {
        unit: unit.to_owned(),
        factor,
        offset: 0.0,
    }
}
