//! The temperature of a batch that is ready, against the tanks that take it.

use physics::heat::mixed_temperature_c;
use physics::mixing::Water;
use station::Station;
use station::quantity::{Kind, UnitSystem};

use super::LeadTime;
use super::heat::Warming;
use super::season::Season;
use crate::analysis::speak::{say, shown};
use crate::finding::{Finding, Severity};

/// How far new water may be from a tank's for one change, K (common practice, no source: one to two degrees).
pub(super) const TOLERANCE_K: f64 = 2.0;
/// Shift of a tank that is worth telling, K (house rule).
const WORTH_TELLING_K: f64 = 1.0;
/// Time in which a heater or chiller that is worth having brings a batch there, s: half a day (house rule).
const WORTH_HAVING_S: f64 = 43_200.0;

/// How a batch ends.
pub(super) struct Ends {
    pub(super) temperature_c: f64,
    /// At which the vessel keeps its batches.
    pub(super) kept_c: f64,
    /// The heat of a batch that doesn't get there.
    pub(super) unreached: Option<Warming>,
}

impl Ends {
    /// What would bring it there in half a day, W.
    pub(super) fn lacking_w(&self) -> Option<f64> {
        self.unreached
            .as_ref()
            .map(|heat| heat.lacking_w(WORTH_HAVING_S).abs())
    }
}

/// `4 K too warm`.
pub(super) fn off_by(station: &Station, off_k: f64) -> String {
    format!(
        "{} too {}",
        say(station, Kind::TemperatureDifference, whole(station, off_k.abs())),
        if off_k > 0.0 { "warm" } else { "cold" }
    )
}

/// To half a kelvin, or a degree Fahrenheit: no model of a room knows more.
fn whole(station: &Station, off_k: f64) -> f64 {
    let step_k = match station.units() {
        UnitSystem::Si => 0.5,
        UnitSystem::Us => 5.0 / 9.0,
    };
    step_k * libm::round(off_k / step_k)
}

/// Tanks whose water is further off than new water may be: their names, and by how much they get it too warm, K.
fn off(station: &Station, temperature_c: f64) -> Vec<(&str, f64)> {
    station
        .tanks
        .iter()
        .map(|tank| {
            (
                tank.name.as_str(),
                temperature_c - tank.fields.temperature.value.c(),
            )
        })
        .filter(|(_, off_k)| off_k.abs() > TOLERANCE_K + 1e-9)
        .collect()
}

/// Which tanks get it too warm or too cold, in words; nothing where it suits them all.
pub(super) fn caution(station: &Station, temperature_c: f64) -> Option<String> {
    let off = off(station, temperature_c);
    if off.is_empty() {
        return None;
    }
    let mut shifts = false;
    let each: Vec<String> = off
        .iter()
        .map(|(name, off_k)| {
            let told = format!("{} for {}", off_by(station, *off_k), shown(name).to_lowercase());
            match shift_k(station, name, temperature_c) {
                Some(shift_k) if shift_k.abs() >= WORTH_TELLING_K => {
                    shifts = true;
                    let by = whole(station, shift_k.abs());
                    format!("{told} ({})", say(station, Kind::TemperatureDifference, by))
                }
                _ => told,
            }
        })
        .collect();
    let brackets = if shifts {
        " In brackets: by how much an emergency change at once would shift the tank."
    } else {
        ""
    };
    Some(format!(
        "At {} it is {}: bring it nearer on the way, or pour it in slowly.{brackets}",
        say(station, Kind::Temperature, temperature_c),
        each.join(", ")
    ))
}

/// What an emergency change with water of a temperature does to a tank's, K: waters mixed.
fn shift_k(station: &Station, name: &str, temperature_c: f64) -> Option<f64> {
    let fields = &station.tanks.iter().find(|tank| tank.name == name)?.fields;
    let share = fields.emergency_change.value.of_one();
    let (volume_m3, own_c) = (fields.volume.value.m3(), fields.temperature.value.c());
    let practical_salinity = fields.salinity.value.practical();
    let water = |share: f64, temperature_c| Water {
        volume_m3: share * volume_m3,
        practical_salinity,
        temperature_c,
    };
    let waters: Vec<Water> = [water(1.0 - share, own_c), water(share, temperature_c)]
        .into_iter()
        .filter(|water| water.volume_m3 > 0.0)
        .collect();
    Some(mixed_temperature_c(&waters).ok()? - own_c)
}

/// A batch that is ready but too warm or too cold for tanks that its own temperature would suit.
pub(crate) fn find(station: &Station, lead: &LeadTime, findings: &mut Vec<Finding>) {
    let Some(vessel) = lead.vessel.as_deref().and_then(|name| station.vessel(name)) else {
        return;
    };
    let kept_c = vessel.fields.mixing_temperature.value.c();
    for one in &lead.in_seasons {
        let Some(lacking_w) = one.lacking_w else { continue };
        let suited = |name: &str| {
            let tank = station.tanks.iter().find(|tank| tank.name == name);
            tank.is_some_and(|tank| (kept_c - tank.fields.temperature.value.c()).abs() <= TOLERANCE_K + 1e-9)
        };
        let worst = off(station, one.temperature_c)
            .into_iter()
            // Wrong on the side on which the heater or chiller is lacking.
            .filter(|(name, off_k)| suited(name) && (*off_k > 0.0) == (one.temperature_c > kept_c))
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        let Some((tank, off_k)) = worst else { continue };
        let warm = off_k > 0.0;
        let part = if warm { "chiller" } else { "heater" };
        let has = match (warm, &vessel.fields.chiller, &vessel.fields.heater) {
            (true, Some(own), _) | (false, _, Some(own)) => {
                format!(
                    "its {part} of {} is too weak",
                    say(station, Kind::Power, own.value.w())
                )
            }
            _ => format!("it has no {part}"),
        };
        let sentence = format!(
            "{}: in {} an emergency's water is ready but {} for {}: it stands at {} in a room of {}, and {has}. About {} more would bring it to {} in half a day.",
            shown(&vessel.name),
            one.season.word(),
            off_by(station, off_k),
            shown(tank).to_lowercase(),
            say(station, Kind::Temperature, one.temperature_c),
            say(station, Kind::Temperature, one.season.room_c(station)),
            say(station, Kind::Power, rounded_w(lacking_w)),
            say(station, Kind::Temperature, kept_c)
        );
        let id = match one.season {
            Season::Winter => "batch-cold-in-winter",
            Season::Summer => "batch-warm-in-summer",
        };
        findings.push(
            Finding::new(id, Severity::Should, format!("vessels.{}", vessel.name), sentence).gap(off_k.abs()),
        );
    }
}

/// Up to the next ten watts.
fn rounded_w(watts: f64) -> f64 {
    10.0 * libm::ceil(watts / 10.0)
}
