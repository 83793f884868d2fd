//! Parts that hold each other: the two ways of a three-way valve, a pump that runs only with valves open.

use super::refuse::Refusals;
use crate::fault::Fault;
use crate::file::{clipped, did_you_mean};
use crate::register::Field;
use crate::station::Station;

/// For each valve the other way of its three-way valve. It is told at one of the two or at both.
pub(super) fn other_ways(station: &Station, faults: &mut Vec<Fault>) -> Vec<Option<usize>> {
    let mut others: Vec<Option<usize>> = vec![None; station.valves.len()];
    for (at, valve) in station.valves.iter().enumerate() {
        let Some(field) = &valve.fields.three_way_with else {
            continue;
        };
        let refusals = &mut Refusals::of("valve", valve, faults);
        let Some(other) = find_valve(station, field, field.value.trim(), refusals) else {
            continue;
        };
        let taken = others[at].is_some_and(|own| own != other) || others[other].is_some_and(|own| own != at);
        if other == at {
            refusals.value(
                field,
                "a three-way valve joins two other lines, and this names the valve itself",
                "name the valve in the other line",
            );
        } else if !station.valves[at].fields.kind.value.is_set()
            || !station.valves[other].fields.kind.value.is_set()
        {
            refusals.value(
                field,
                "only valves that somebody turns can be one three-way valve",
                "give both the kind of the three-way valve, such as \"ball\"",
            );
        } else if taken {
            refusals.value(
                field,
                format!(
                    "`{}` is a way of another three-way valve already",
                    clipped(field.value.trim())
                ),
                "a three-way valve has two ways that are never both open: pair each valve once",
            );
        } else {
            others[at] = Some(other);
            others[other] = Some(at);
        }
    }
    others
}

/// For each pump the valves without which it doesn't run.
pub(super) fn interlocks(station: &Station, faults: &mut Vec<Fault>) -> Vec<Vec<usize>> {
    let mut all = Vec::with_capacity(station.pumps.len());
    for pump in &station.pumps {
        let mut own = Vec::new();
        if let Some(field) = &pump.fields.runs_only_with {
            let refusals = &mut Refusals::of("pump", pump, faults);
            let names = field.value.split(',').map(str::trim);
            for name in names.filter(|name| !name.is_empty()) {
                let Some(valve) = find_valve(station, field, name, refusals) else {
                    continue;
                };
                if station.valves[valve].fields.kind.value.is_set() {
                    own.push(valve);
                } else {
                    refusals.value(
                        field,
                        format!("`{}` opens by itself, so nothing can wait for it", clipped(name)),
                        "name valves that somebody turns",
                    );
                }
            }
        }
        all.push(own);
    }
    all
}

fn find_valve(
    station: &Station,
    field: &Field<String>,
    name: &str,
    refusals: &mut Refusals<'_>,
) -> Option<usize> {
    let found = station.valves.iter().position(|valve| valve.name == name);
    if found.is_none() {
        let known: Vec<&str> = station.valves.iter().map(|valve| valve.name.as_str()).collect();
        refusals.value(
            field,
            format!("no valve is named `{}`", clipped(name)),
            did_you_mean(name, &known),
        );
    }
    found
}
