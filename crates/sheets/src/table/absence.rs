//! A station left alone as tables: what wets the floor, what helps, what to test, what every fault does, what was assumed.

use proof::{Absence, By, FaultSet, MinimalSet, Top, as_often, once_in};
use station::Station;
use station::quantity::{Kind, format_about, format_plain};

use super::{Cell, Column, Table};
use crate::words::capital;

/// Sets that stand on the page, the likeliest of all (house rule: a minute's reading).
const MOST: usize = 12;

/// The tables of an absence, those that have rows; `in_full` for files, which hold every set.
pub fn absence_tables(station: &Station, absence: &Absence, in_full: bool) -> Vec<Table> {
    let mut tables = vec![
        wet_floor(station, absence, in_full),
        what_helps(station, absence),
        test_sheet(absence),
        faults_alone(station, absence, in_full),
        rates_assumed(absence),
    ];
    tables.retain(|table| !table.rows.is_empty());
    for table in &mut tables {
        table.drop_empty_columns();
    }
    tables
}

fn heads(all: &[&str]) -> Vec<String> {
    all.iter().map(|head| (*head).to_owned()).collect()
}

fn words(text: impl Into<String>) -> Cell {
    Cell::Words(text.into())
}

/// The sets that wet the floor, likeliest first.
fn wet_floor(station: &Station, absence: &Absence, in_full: bool) -> Table {
    let most = if in_full { usize::MAX } else { MOST };
    let mut sets: Vec<&MinimalSet> = absence
        .minimal_sets
        .iter()
        .filter(|own| own.harm == Top::WetFloor)
        .collect();
    let soonest = |own: &MinimalSet| own.years.map_or(f64::INFINITY, |[soonest, _]| soonest);
    sets.sort_by(|a, b| {
        soonest(a)
            .total_cmp(&soonest(b))
            .then(b.share.total_cmp(&a.share))
    });
    let largest = sets.iter().map(|own| own.spilled_m3).fold(0.0, f64::max);
    let floor = Column::sized(station, Kind::Volume, largest);
    let rows = sets
        .into_iter()
        .take(most)
        .map(|own| {
            vec![
                words(capital(&own.set.join(", and "))),
                words(match own.by {
                    By::Parts => "parts",
                    By::People => "left open or on, or amid a task",
                }),
                floor.rough(own.spilled_m3),
                after(station, own.hours_to_harm),
                own.years.map_or(Cell::Empty, |years| words(once_in(years))),
            ]
        })
        .collect();
    Table {
        name: "wet-floor",
        title: "What wets the floor with nobody there, likeliest first",
        heads: heads(&[
            "what",
            "by",
            &floor.head("on the floor"),
            after_head(in_full),
            "how often",
        ]),
        rows,
    }
}

/// A file tells its times in hours, a page each in its own unit.
fn after_head(in_full: bool) -> &'static str {
    if in_full { "after, h" } else { "after" }
}

fn after(station: &Station, hours: f64) -> Cell {
    let seconds = hours * 3600.0;
    Cell::Tape {
        value: hours,
        shown: match seconds {
            seconds if seconds < 60.0 => "from the start".to_owned(),
            seconds => format_plain(Kind::Time, seconds, station.units(), &station.currency()),
        },
    }
}

/// Changes that were tried.
fn what_helps(station: &Station, absence: &Absence) -> Table {
    let rows = absence
        .remedies
        .iter()
        .map(|own| {
            let price = own.price.map_or(Cell::Empty, |price| match price {
                0.0 => words("nothing"),
                price => words(format_about(price, &station.currency())),
            });
            vec![
                words(capital(&own.sentence)),
                price,
                words(as_often(own.left)),
                words(as_often(own.left_by_people)),
                own.caution.map_or(Cell::Empty, words),
            ]
        })
        .collect();
    Table {
        name: "what-helps",
        title: "What helps while nobody is there, best for its money first",
        heads: heads(&[
            "change, tried",
            "costs",
            "wet floor by parts then",
            "by something left open or amid a task then",
            "mind",
        ]),
        rows,
    }
}

/// What to wet, lift or unplug.
fn test_sheet(absence: &Absence) -> Table {
    let rows = absence
        .tests
        .iter()
        .map(|own| {
            vec![
                words(capital(&own.part)),
                words(own.every),
                words(own.does.clone()),
                words(capital(&own.must)),
            ]
        })
        .collect();
    Table {
        name: "test-sheet",
        title: "Test sheet: what stands between you and a wet floor",
        heads: heads(&["part", "how often", "do", "what must happen"]),
        rows,
    }
}

/// What every single fault does: in a file from each beginning, on a page from the one where it does most.
fn faults_alone(station: &Station, absence: &Absence, in_full: bool) -> Table {
    let single: Vec<&FaultSet> = absence.faults.iter().filter(|own| own.set.len() == 1).collect();
    let shown = if in_full { single } else { at_their_worst(&single) };
    let rows = shown
        .into_iter()
        .map(|own| {
            vec![
                words(capital(&own.set.concat())),
                words(own.phase.clone()),
                words(own.outcome.join(", ")),
                after(station, own.hours_to_harm),
                words(own.noticed.join(", ")),
            ]
        })
        .collect();
    Table {
        name: "faults-alone",
        title: "What every fault does alone with nobody there",
        heads: heads(&[
            "fault",
            if in_full { "begun" } else { "worst when begun" },
            "what comes of it",
            after_head(in_full),
            "you would notice",
        ]),
        rows,
    }
}

/// Of each fault the beginning with most water on the floor, then with most harms, then with the first of them soonest.
fn at_their_worst<'a>(all: &[&'a FaultSet]) -> Vec<&'a FaultSet> {
    let mut worst: Vec<&FaultSet> = Vec::new();
    let worse = |a: &FaultSet, b: &FaultSet| {
        a.spilled_m3
            .total_cmp(&b.spilled_m3)
            .then(a.outcome.len().cmp(&b.outcome.len()))
            .then(b.hours_to_harm.total_cmp(&a.hours_to_harm))
            .is_gt()
    };
    for own in all {
        match worst.iter_mut().find(|known| known.set == own.set) {
            Some(known) if worse(own, known) => *known = own,
            Some(_) => {}
            None => worst.push(own),
        }
    }
    worst
}

/// What was assumed of each class of parts.
fn rates_assumed(absence: &Absence) -> Table {
    let rows = absence
        .assumptions
        .iter()
        .map(|own| {
            let [soonest, latest] = own.once_in;
            let figure = |value| Cell::Figure {
                value,
                half_width: None,
            };
            vec![
                words(own.class),
                figure(soonest),
                figure(latest),
                words(own.by),
                own.tested_every_years
                    .map_or(Cell::Empty, |years| figure((years * 12.0 * 10.0).round() / 10.0)),
                words(own.source),
            ]
        })
        .collect();
    Table {
        name: "rates-assumed",
        title: "How often parts fail: what was assumed",
        heads: heads(&[
            "class",
            "once in, at the soonest",
            "at the latest",
            "counted in",
            "tested every, months",
            "from",
        ]),
        rows,
    }
}
