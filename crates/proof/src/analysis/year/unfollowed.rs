//! What of this station the simulated years don't follow, so that their figures say so: nothing is left out in silence.

use station::Station;
use station::plumbing::End;
use station::quantity::Kind;
use station::sections::{TopOff, Water};

use super::say::roughly;
use crate::analysis::speak::{list, shown};
use crate::plant::{Plant, YEAR_DAYS, parts_of_pumps, stirring};

/// Salinities that are nearer than that are one (house rule, as the letter has it for changes).
const SAME_SALINITY: f64 = 0.5;

/// Sentences, each about something that the file asks for and the years leave out; `plant` is that by the file's values.
pub(crate) fn unfollowed(station: &Station, plant: &Plant) -> Vec<String> {
    let mut all = Vec::new();
    all.extend(several_waters(station));
    all.extend(other_salinities(station, plant));
    all.extend(topped_off_with_salt(station));
    all.extend(not_stirred(station));
    all
}

/// Targets of the vessels of salt water, with their names.
fn targets(station: &Station) -> Vec<(String, f64)> {
    let salt = station
        .vessels
        .iter()
        .filter(|vessel| vessel.fields.holds.value == Water::Salt);
    salt.map(|vessel| {
        let target = vessel.fields.target_salinity.value.practical();
        (shown(&vessel.name), target)
    })
    .collect()
}

/// Vessels of different salt waters: whichever holds enough is drawn.
fn several_waters(station: &Station) -> Option<String> {
    let targets = targets(station);
    let (_, first) = targets.first()?;
    if targets
        .iter()
        .all(|(_, own)| (own - first).abs() <= SAME_SALINITY)
    {
        return None;
    }
    let each: Vec<String> = targets
        .iter()
        .map(|(name, own)| format!("{name} ({own})"))
        .collect();
    let each: Vec<&str> = each.iter().map(String::as_str).collect();
    Some(format!(
        "{} hold different salt waters; here every tank is given from whichever of them holds enough.",
        list(&each)
    ))
}

/// Tanks that are kept at another salinity than any water that is mixed.
fn other_salinities(station: &Station, plant: &Plant) -> Vec<String> {
    let targets = targets(station);
    let mut told = Vec::new();
    for (tank, built) in station.tanks.iter().zip(&plant.tanks) {
        let own = tank.fields.salinity.value.practical();
        let alike = targets
            .iter()
            .any(|(_, target)| (target - own).abs() <= SAME_SALINITY);
        // Changes that are thinned where they are used are followed; an emergency's aren't.
        let is_thinned = built.thin_m3 > 0.0;
        let undiluted = built.change.filter(|_| !is_thinned);
        let drawn = undiluted.is_some() || built.emergency.is_some();
        if alike || !drawn || targets.is_empty() {
            continue;
        }
        let saltier = targets
            .iter()
            .map(|(_, target)| *target)
            .filter(|target| *target > own);
        let weakest = saltier.fold(f64::INFINITY, f64::min);
        let name = shown(&tank.name);
        if weakest.is_infinite() {
            told.push(format!(
                "{name} is kept at {own}, saltier than any water that is mixed: that its changes thin it isn't followed."
            ));
            continue;
        }
        if is_thinned {
            told.push(format!(
                "{name} is kept at {own}, thinner than the water that is mixed: its changes are thinned, and what an emergency takes is given undiluted here."
            ));
            continue;
        }
        let mut sentence = format!(
            "{name} is kept at {own}, thinner than the water that is mixed, and is given that water undiluted here"
        );
        if let Some((volume_m3, every_days)) = undiluted {
            // Thinning goes nearly by the salinities; what one can read of such a sum needs no more.
            let spared_m3 = volume_m3 * f64::from(YEAR_DAYS) / every_days * (1.0 - own / weakest);
            sentence += &format!(
                ": its changes take some {} of salt water a year too much, and as much fresh water too little",
                roughly(station, Kind::Volume, spared_m3)
            );
        }
        told.push(sentence + ".");
    }
    told
}

/// Tanks that salt water tops off.
fn topped_off_with_salt(station: &Station) -> Option<String> {
    let names: Vec<String> = station
        .tanks
        .iter()
        .filter(|tank| tank.fields.top_off.value == TopOff::Salt)
        .map(|tank| shown(&tank.name))
        .collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let are = match names.as_slice() {
        [] => return None,
        [_] => "is",
        _ => "are",
    };
    Some(format!(
        "{} {are} topped off with salt water: that salt gathers there isn't followed.",
        list(&names)
    ))
}

/// Vessels that are to be stirred, and whose pump stirs another one: between tasks the valves of one way round stay open.
fn not_stirred(station: &Station) -> Vec<String> {
    let tasks = &station.plumbing.tasks;
    let stirred: Vec<(usize, usize)> = stirring(station)
        .into_iter()
        .filter_map(|task| match tasks[task].from {
            End::Vessel(vessel) => Some((tasks[task].pump?, vessel)),
            _ => None,
        })
        .collect();
    let mut told = Vec::new();
    for (at, vessel) in station.vessels.iter().enumerate() {
        if vessel.fields.recirculate_every.is_none() || stirred.iter().any(|(_, own)| *own == at) {
            continue;
        }
        let round = tasks
            .iter()
            .find(|task| task.from == End::Vessel(at) && task.to == task.from && task.pump.is_some());
        let Some(pump) = round.and_then(|task| task.pump) else {
            continue;
        };
        let part_of = parts_of_pumps(station);
        let Some((by, other)) = stirred.iter().find(|(own, _)| part_of[*own] == part_of[pump]) else {
            continue;
        };
        let (name, other) = (shown(&vessel.name), shown(&station.vessels[*other].name));
        let why = match *by == pump {
            true => format!("one pump goes round it and {other}"),
            false => format!("its lines are joined with those of {other}"),
        };
        told.push(format!(
            "{name} isn't stirred by its timer: {why}, and between two tasks the valves of {other} stay open."
        ));
    }
    told
}
