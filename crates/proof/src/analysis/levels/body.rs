//! Findings on the vessel itself: what it stands on, what it is made of, how it gets in.

use station::quantity::Kind;
use station::sections::{Light, Wall, Water};
use station::{Station, Vessel};

use super::VesselLevels;
use crate::analysis::speak::{figure, say, set_length, shown, tape};
use crate::finding::{Finding, Severity};

/// Room for a hand, a bag and a lid over a rim, m (house rule).
const OVER_RIM_M: f64 = 0.3;

/// Findings on the vessel itself: what it stands on, what it is made of, how it gets in.
pub(super) fn find(station: &Station, vessel: &Vessel, entry: &VesselLevels, findings: &mut Vec<Finding>) {
    let name = &shown(&vessel.name);
    let fields = &vessel.fields;
    let at = |key: &str| format!("vessels.{}.{key}", vessel.name);
    let key = |key: &str| format!("{}.{key}", vessel.name);
    let salt = fields.holds.value == Water::Salt;

    if let Some(load) = entry.floor_load_kg_m2
        && load > station.room.floor_allowance.value.kg_m2()
    {
        let allowance = &station.room.floor_allowance;
        let (severity, know) = match allowance.is_given() {
            true => (Severity::Must, "more than the floor may carry"),
            false => (Severity::Note, "more than a dwelling's floor is made for"),
        };
        findings.push(
            Finding::new(
                "floor-load",
                severity,
                format!("vessels.{}", vessel.name),
                format!(
                    "{name} weighs {} when full and presses {} on the floor under it, {know} ({}). Solid ground carries it; ask a structural engineer about anything else.",
                    figure(&key("mass-full")),
                    figure(&key("floor-load")),
                    say(station, Kind::FloorLoad, allowance.value.kg_m2()),
                ),
            )
            .figure(key("floor-load"))
            .figure(key("mass-full")),
        );
    }
    if entry.passes_door == Some(false) {
        findings.push(Finding::new(
            "door-too-narrow",
            Severity::Must,
            format!("vessels.{}", vessel.name),
            format!("{name} doesn't pass the door, upright or lying. Take a narrower one, or measure another way in."),
        ));
    }
    if let Some(ceiling) = &station.room.ceiling
        && entry.rim_above_floor_m + OVER_RIM_M > ceiling.value.m()
    {
        findings.push(
            Finding::new(
                "ceiling-too-low",
                Severity::Should,
                at("floor_height"),
                format!(
                    "Over the rim of {name} there is less than {} to the ceiling: no hand, bag or lid gets in.",
                    tape(station, OVER_RIM_M)
                ),
            )
            .figure(key("rim-height"))
            .recipe(vec![set_length(station, at("floor_height"), ceiling.value.m() - 0.3 - entry.height_m, false)]),
        );
    }
    let pouring = station.people.pouring_height.value.m();
    if salt && entry.rim_above_floor_m > pouring + 1e-9 {
        let mut finding = Finding::new(
            "poured-too-high",
            Severity::Should,
            at("floor_height"),
            format!(
                "The mix is poured into {name} over a rim {} above the floor, higher than the {} that suits whoever does it: dust in eyes and lungs, and a bag at the shoulder.",
                tape(station, entry.rim_above_floor_m),
                tape(station, pouring)
            ),
        )
        .figure(key("rim-height"));
        if pouring > entry.height_m {
            finding = finding.recipe(vec![set_length(
                station,
                at("floor_height"),
                pouring - entry.height_m,
                false,
            )]);
        }
        findings.push(finding);
    }
    if let Some(nominal) = &fields.nominal_volume {
        let ratio = entry.full_volume_m3 / nominal.value.m3();
        if !(0.97..=1.03).contains(&ratio) {
            findings.push(
                Finding::new(
                    "nominal-size",
                    Severity::Note,
                    nominal.path.clone(),
                    format!(
                        "{name} is sold as {} and holds {} to the rim.",
                        say(station, Kind::Volume, nominal.value.m3()),
                        figure(&key("full"))
                    ),
                )
                .figure(key("full")),
            );
        }
    }
    let mut warn = |id, severity, path: &str, sentence: String| {
        findings.push(Finding::new(id, severity, at(path), sentence));
    };
    if fields.made_for_liquids.as_ref().is_some_and(|made| !made.value) {
        warn(
            "not-for-liquids",
            Severity::Should,
            "made_for_liquids",
            format!(
                "{name} wasn't made to hold liquids: its wall bulges and creeps under the load. Take one that is, or support it all round."
            ),
        );
    }
    if fields
        .drinking_water_rated
        .as_ref()
        .is_some_and(|rated| !rated.value)
    {
        warn(
            "plastic-not-rated",
            Severity::Should,
            "drinking_water_rated",
            format!(
                "The plastic of {name} isn't rated for drinking water: what leaches from it goes to the animals. Take one that is."
            ),
        );
    }
    if let Some(light) = &fields.light
        && light.value != Light::Opaque
    {
        warn(
            "lets-light-in",
            Severity::Note,
            "light",
            format!("{name} lets light in, so algae grow in it: cover it, or keep it in the dark."),
        );
    }
    if let Some(wall) = &fields.bulkhead_wall {
        let why = match wall.value {
            Wall::Thin => Some("the wall is thin and creeps under the nut"),
            Wall::Curved => Some("the wall is curved and a flat gasket bridges it"),
            Wall::FlatThick | Wall::Uncut => None,
        };
        if let Some(why) = why {
            warn(
                "bulkhead-may-leak",
                Severity::Should,
                "bulkhead_wall",
                format!(
                    "A bulkhead in {name} may leak: {why}. Use a fitting made for it, or draw over the rim."
                ),
            );
        }
    }
}
