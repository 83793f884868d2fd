//! Stages and deliveries that can't be as they are told; the feed and its states are asked for in `feed`.

use physics::membrane::{Element, MembraneError, Rating, TemperatureResponse};

use super::feed::check_feed;
use crate::fault::Fault;
use crate::quantity::{Kind, format_plain};
use crate::register::Field;
use crate::sections::{BedKind, DeliveredFields, DeliveredKind, MembraneFields, Water};
use crate::station::{Named, Purifier, Station};

/// Checks the feed, each of its states, and the purifier.
pub(super) fn check(station: &Station, faults: &mut Vec<Fault>) {
    if let Some(feed) = &station.feed {
        check_feed(feed, faults);
    }
    for state in &station.feed_states {
        let before = faults.len();
        match station.feed_in(&state.fields) {
            Some(feed) => check_feed(&feed, faults),
            None => faults.push(Fault {
                span: state.span.clone(),
                what: "a state of the feed stands here, but there is no section [feed]".into(),
                why: "a state says only what differs".into(),
                mend: "add [feed] with pressure, coldest and warmest".into(),
            }),
        }
        // A fault of the usual feed isn't told again for each state.
        let (known, new) = faults.split_at(before);
        let fresh: Vec<Fault> = new
            .iter()
            .filter(|fault| !known.iter().any(|old| old.span == fault.span))
            .cloned()
            .collect();
        faults.truncate(before);
        faults.extend(fresh);
    }
    if let Some(purifier) = &station.purifier {
        check_purifier(station, purifier, faults);
    }
    for delivery in &station.delivered {
        check_delivery(delivery, faults);
    }
}

/// Salt water that would be counted as fresh, and the other way round.
fn check_delivery(delivery: &Named<DeliveredFields>, faults: &mut Vec<Fault>) {
    let fields = &delivery.fields;
    let fresh = fields.holds.value == Water::Fresh;
    let mend = "set holds to \"salt\", or take kind = \"purified\" and leave the salinity out";
    if fresh && fields.kind.value != DeliveredKind::Purified {
        faults.push(fault(
            &fields.kind,
            format!(
                "{} water is salt, and this delivery holds fresh",
                fields.kind.value.word()
            ),
            "it would be counted as water for top-off",
            mend,
        ));
    } else if !fresh && fields.kind.value == DeliveredKind::Purified {
        faults.push(fault(
            &fields.kind,
            "purified water is fresh, and this delivery holds salt",
            "it would be counted as water for changes",
            "set holds to \"fresh\", or kind to \"mixed\" or \"natural\"",
        ));
    }
    if let Some(salinity) = fields.salinity.as_ref().filter(|_| fresh) {
        faults.push(fault(
            salinity,
            "fresh water has no salinity",
            "it would be counted as water for top-off",
            mend,
        ));
    }
}

pub(super) fn fault<T>(
    field: &Field<T>,
    what: impl Into<String>,
    why: impl Into<String>,
    mend: impl Into<String>,
) -> Fault {
    Fault {
        span: field.span().unwrap_or(0..0),
        what: what.into(),
        why: why.into(),
        mend: mend.into(),
    }
}

/// The first of two fields that somebody gave, where a fault lies between them.
pub(super) fn given<'f>(first: &'f Field<f64>, second: &'f Field<f64>) -> &'f Field<f64> {
    if first.is_given() { first } else { second }
}

/// A rating at which the membrane would give nothing, or more than any does.
fn check_rating(station: &Station, membrane: &Named<MembraneFields>, faults: &mut Vec<Fault>) {
    let fields = &membrane.fields;
    let rating = Rating {
        permeate_flow_m3_s: fields.rated_flow.value.m3_s(),
        pressure_pa: fields.rated_pressure.value.pa_gauge(),
        temperature_c: fields.rated_temperature.value.c(),
        dissolved_solids_kg_m3: fields.rated_solids.value.kg_m3(),
        recovery: fields.rated_recovery.value.of_one(),
        rejection: fields.rejection.value.of_one(),
    };
    let built = TemperatureResponse::from_output_at_15_c(fields.output_at_15_c.value.of_one())
        .and_then(|response| Element::from_rating(&rating, &response));
    let say = |pa: f64| format_plain(Kind::Pressure, pa, station.units(), &station.currency());
    match built {
        Ok(_) => {}
        Err(MembraneError::RatingTooWeak {
            pressure_pa,
            osmotic_pa,
        }) => faults.push(fault(
            &fields.rated_pressure,
            "at this rating the membrane would give no water",
            format!(
                "osmosis takes {} at the rated solids, and {} are rated",
                say(osmotic_pa),
                say(pressure_pa)
            ),
            "check rated_pressure and rated_solids against the data sheet, and their units",
        )),
        Err(error) => faults.push(fault(
            &fields.rated_flow,
            "no membrane has such a rating",
            error.to_string(),
            error.mend(),
        )),
    }
}

fn check_purifier(station: &Station, purifier: &Purifier, faults: &mut Vec<Fault>) {
    let here = |what: &str, why: &str, mend: &str| Fault {
        span: purifier.span.clone(),
        what: what.into(),
        why: why.into(),
        mend: mend.into(),
    };
    if station.feed.is_none() {
        faults.push(here(
            "there is a purifier, but no section [feed]",
            "what it gives depends on pressure and temperature",
            "add [feed] with pressure, coldest and warmest",
        ));
    }
    if purifier.membranes.is_empty() {
        faults.push(here(
            "the purifier has no membrane",
            "the membrane makes the water; the resin only polishes it",
            "add [membranes.first] with rated_flow, rated_pressure, rated_solids and rejection, from its data sheet",
        ));
    }
    for membrane in &purifier.membranes {
        check_rating(station, membrane, faults);
    }
    let fields = &purifier.fields;
    let ways: Vec<&str> = [
        fields.restrictor_flow.as_ref().map(|f| f.path.as_str()),
        fields.restrictor_bore.as_ref().map(|f| f.path.as_str()),
        fields.waste_ratio.as_ref().map(|f| f.path.as_str()),
    ]
    .into_iter()
    .flatten()
    .collect();
    if let [_, second, ..] = ways.as_slice() {
        faults.push(Fault {
            span: station.span_of(second).unwrap_or(purifier.span.clone()),
            what: "the restrictor is told twice".into(),
            why: "one of them would be ignored".into(),
            mend: "keep one of restrictor_flow, restrictor_bore and waste_ratio".into(),
        });
    }
    if fields.shut_off_reopens.value.of_one() >= fields.shut_off_closes.value.of_one() {
        faults.push(fault(
            given(
                &Field::of(&fields.shut_off_reopens),
                &Field::of(&fields.shut_off_closes),
            ),
            "the shut-off valve would open again before it closes",
            "shut_off_reopens isn't below shut_off_closes",
            "about 0.45 and 0.65 are usual",
        ));
    }
    if let Some(fills) = &fields.fills {
        match station.vessel(&fills.value) {
            Some(vessel) if vessel.fields.holds.value == Water::Fresh => {}
            Some(_) => faults.push(fault(
                fills,
                "the purifier can't fill a vessel of salt water",
                "each litre would thin the batch",
                "name a vessel that holds fresh water",
            )),
            None => {
                let names: Vec<&str> = station.vessels.iter().map(|v| v.name.as_str()).collect();
                faults.push(fault(
                    fills,
                    format!(
                        "there is no vessel `{}`",
                        fills.value.chars().take(40).collect::<String>()
                    ),
                    "the vessel that the purifier fills",
                    crate::file::did_you_mean(&fills.value, &names),
                ));
            }
        }
    }
    let has = |kind| purifier.beds.iter().any(|bed| bed.fields.kind.value == kind);
    if has(BedKind::Cation) != has(BedKind::Anion) {
        let bed = purifier
            .beds
            .iter()
            .find(|bed| bed.fields.kind.value != BedKind::Mixed);
        if let Some(bed) = bed {
            faults.push(Fault {
                span: bed.span.clone(),
                what: "a bed for one kind of ion stands without its partner".into(),
                why: "cations and anions are both wanted out".into(),
                mend: "add the other bed, or make this one kind = \"mixed\"".into(),
            });
        }
    }
    // A mixed bed may only polish: none before a bed of another kind.
    let last_separate = purifier
        .beds
        .iter()
        .rposition(|bed| bed.fields.kind.value != BedKind::Mixed);
    let early = purifier
        .beds
        .iter()
        .enumerate()
        .find(|(at, bed)| bed.fields.kind.value == BedKind::Mixed && Some(*at) < last_separate);
    if let Some((_, bed)) = early {
        faults.push(Fault {
            span: bed.span.clone(),
            what: "a mixed bed stands before separate beds".into(),
            why: "the mixed bed polishes what the separate ones leave".into(),
            mend: "put [resin_beds] of kind cation and anion first in the file".into(),
        });
    }
}
