//! The purifier's parts: what comes out of their housings, and what water there is without them.
//!
//! The limits of water without resin stand here, in one place; the owner's own counts in place of that of its use.

use station::quantity::Kind;
use station::sections::{FilterKind, Purpose};
use station::{Purifier, Station};

use super::PartService;
use super::part::PartKind;
use crate::analysis::speak::{list, say};
use crate::analysis::{Made, Supply};

/// Water in a cartridge's housing, m³ (common practice, no source: a cartridge of 10 inches stands in about a litre).
const HOUSING_M3: f64 = 1e-3;

/// A use of purified water, and the conductivity up to which water without resin does for it, S/m.
#[derive(Clone, Copy)]
struct Use {
    what: Purpose,
    limit_s_m: f64,
}

/// House rule: 20 µS/cm as for water that is delivered. What evaporates leaves its solids behind, so that top-off adds
/// them up; a batch brings them once and is changed out again, so that twice as much does. What is rinsed is measured with
/// afterwards: 5 µS/cm as for laboratory water of grade 3 (ISO 3696:1987, from memory).
const USES: [Use; 3] = [
    Use {
        what: Purpose::TopOff,
        limit_s_m: 20e-4,
    },
    Use {
        what: Purpose::Mixing,
        limit_s_m: 40e-4,
    },
    Use {
        what: Purpose::Rinsing,
        limit_s_m: 5e-4,
    },
];

/// Every part of the purifier.
pub(super) fn parts(station: &Station, supply: &Supply) -> Vec<PartService> {
    let Some(purifier) = &station.purifier else {
        return Vec::new();
    };
    let stores = stores(station, supply);
    let mut out = Vec::new();
    for filter in &purifier.filters {
        let carbon = filter.fields.kind.value != FilterKind::Sediment;
        let bed_m3 = filter
            .fields
            .bed_volume
            .as_ref()
            .map_or(0.0, |bed| bed.value.m3());
        out.push(part(
            &filter.name,
            if carbon {
                PartKind::Carbon
            } else {
                PartKind::SedimentFilter
            },
            bed_m3.max(HOUSING_M3),
            without_filter(station, carbon).into_iter().chain(stores.clone()),
        ));
    }
    let membrane_m3 = purifier.fields.feed_side.value.m3() + purifier.fields.hold_up.value.m3();
    for membrane in &purifier.membranes {
        let nothing = "Nothing is made: tap water is no substitute, nor is tap water through resin, which it spends at once.";
        out.push(part(
            &membrane.name,
            PartKind::Membrane,
            membrane_m3,
            [nothing.to_owned()].into_iter().chain(stores.clone()),
        ));
    }
    for bed in &purifier.beds {
        out.push(part(
            &bed.name,
            PartKind::ResinBed,
            bed.fields.volume.value.m3(),
            without_bed(station, purifier, &bed.name, supply.purifier.as_ref()),
        ));
    }
    let all_m3 = out.iter().map(|part| part.spilled_m3).sum();
    out.push(part(
        "purifier",
        PartKind::Purifier,
        all_m3,
        ["Nothing is made.".to_owned()].into_iter().chain(stores),
    ));
    out
}

fn part(
    name: &str,
    kind: PartKind,
    spilled_m3: f64,
    without: impl IntoIterator<Item = String>,
) -> PartService {
    PartService {
        part: name.to_owned(),
        kind,
        first: vec![
            "Shut the feed, let the pressure off, lift the end of the permeate line out of the water."
                .to_owned(),
        ],
        close: vec!["feed".to_owned()],
        drain: Vec::new(),
        spilled_m3,
        lines_m3: spilled_m3,
        still: Vec::new(),
        capped: Vec::new(),
        lost: Vec::new(),
        without: without.into_iter().collect(),
        cautions: vec![
            "A housing under pressure bursts off its thread: nothing runs when it is opened.".to_owned(),
        ],
    }
}

/// How long the stores last when nothing is made.
fn stores(station: &Station, supply: &Supply) -> Option<String> {
    let full = supply.endurance.iter().find(|stores| stores.at == "full")?;
    let least = full
        .tanks
        .iter()
        .filter_map(|tank| Some((tank.top_off_s.as_ref()?.value, tank.name.as_str())))
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(format!(
        "Full stores top off for {}.",
        say(station, Kind::Time, least.0)
    ))
}

fn without_filter(station: &Station, carbon: bool) -> Vec<String> {
    let feed = station.feed.as_ref();
    let chlorine =
        feed.is_none_or(|feed| feed.free_chlorine.value.kg_m3() > 0.0 || feed.chloramine.value.kg_m3() > 0.0);
    match (carbon, chlorine) {
        (true, true) => vec![
            "Not to be run: chlorine destroys a thin-film membrane, and tap water is no substitute."
                .to_owned(),
        ],
        (true, false) => {
            let states: Vec<&str> = station
                .feed_states
                .iter()
                .filter(|state| {
                    let fields = &state.fields;
                    [&fields.free_chlorine, &fields.chloramine]
                        .into_iter()
                        .flatten()
                        .any(|chlorine| chlorine.value.kg_m3() > 0.0)
                })
                .map(|state| state.name.as_str())
                .collect();
            let but = match states.as_slice() {
                [] => "test the tap for it first".to_owned(),
                states => format!("not in {}", list(states)),
            };
            vec![format!(
                "It may run for a day without: the feed has no chlorine; {but}, since chlorine destroys a membrane."
            )]
        }
        (false, _) => vec![
            "Not to be run: grit clogs the carbon and scratches the membrane, and tap water is no substitute."
                .to_owned(),
        ],
    }
}

/// Without one of several beds in a row the others do; without the last there is permeate.
fn without_bed(station: &Station, purifier: &Purifier, name: &str, made: Option<&Made>) -> Vec<String> {
    let others: Vec<&str> = purifier
        .beds
        .iter()
        .map(|bed| bed.name.as_str())
        .filter(|other| *other != name)
        .collect();
    let mut out = Vec::new();
    if !others.is_empty() {
        out.push(format!(
            "With its two tubes joined, the water passes {} alone: measure it behind.",
            list(&others)
        ));
    }
    let Some((solids, conductivity_s_m)) = worst_permeate(station, made) else {
        return out;
    };
    let ratio = conductivity_s_m / solids.max(1e-12);
    let uses = uses(station, ratio);
    let (good, bad): (Vec<&Use>, Vec<&Use>) = uses.iter().partition(|own| conductivity_s_m <= own.limit_s_m);
    let named = |uses: &[&Use]| {
        let words: Vec<String> = uses
            .iter()
            .map(|own| {
                format!(
                    "{} (up to {})",
                    own.what.word(),
                    say(station, Kind::Conductivity, own.limit_s_m)
                )
            })
            .collect();
        list(&words.iter().map(String::as_str).collect::<Vec<_>>())
    };
    let has = format!(
        "Permeate without resin has up to {} in the worst month, {}",
        say(station, Kind::Concentration, solids),
        say(station, Kind::Conductivity, conductivity_s_m)
    );
    out.push(match (good.as_slice(), bad.as_slice()) {
        (good, []) => format!("{has}: good enough for {}.", named(good)),
        ([], bad) => format!("{has}: not good enough for {}.", named(bad)),
        (good, bad) => format!("{has}: good enough for {}, not for {}.", named(good), named(bad)),
    });
    out
}

/// The limits that hold: the owner's, where a vessel of purified water has one, counts for what the vessel is used for.
///
/// `ratio`: conductivity by solids, S/m for each kg/m³. A practical salinity is taken as grams of solids in a litre.
fn uses(station: &Station, ratio: f64) -> [Use; 3] {
    USES.map(|own| {
        let told = station
            .vessels
            .iter()
            .filter(|vessel| vessel.fields.used_for.value == own.what)
            .filter_map(|vessel| vessel.fields.spoiled_above.as_ref())
            .map(|limit| limit.value.plain() * ratio)
            .min_by(f64::total_cmp);
        Use {
            limit_s_m: told.unwrap_or(own.limit_s_m),
            ..own
        }
    })
}

/// Solids of the permeate in the worst month, kg/m³, and its conductivity, S/m, by the feed's own ratio of the two.
fn worst_permeate(station: &Station, made: Option<&Made>) -> Option<(f64, f64)> {
    let factor = station.feed.as_ref()?.solids_per_conductivity.value.plain();
    let solids = made?
        .months
        .iter()
        .map(|month| month.permeate_solids_kg_m3.value)
        .fold(0.0, f64::max);
    // mg/L for each µS/cm, as for the feed.
    Some((solids, solids * 1e3 / factor * 1e-4))
}
