//! What can be seen to be impossible without computing: levels above the rim, a mix without a strength.
//!
//! Owns: refusals. What is possible but unwise is a finding of the proof.

mod failures;
mod feed;
mod overflow;
mod place;
mod purifier;
mod reach;
mod year;

pub use reach::{End, Reach, reach};

use physics::mixing;

use crate::fault::Fault;
use crate::quantity::{Currency, format_tape};
use crate::register::Field;
use crate::sections::{Display, Water};
use crate::station::{Station, Vessel};

/// The currency, or the fault of its code.
pub(crate) fn currency(display: &Display, faults: &mut Vec<Fault>) -> Option<Currency> {
    let code = &display.currency.value;
    let currency = Currency::new(code);
    if currency.is_none() {
        faults.push(Fault {
            span: display.currency.span().unwrap_or(0..0),
            what: format!(
                "`{}` is no code of a currency",
                code.chars().take(20).collect::<String>()
            ),
            why: "three capital letters of ISO 4217".into(),
            mend: "write it as \"EUR\", \"USD\", \"GBP\", …".into(),
        });
    }
    currency
}

/// Checks fields against each other.
pub(crate) fn check(station: &Station, faults: &mut Vec<Fault>) {
    place::check(station, faults);
    for vessel in &station.vessels {
        check_levels(station, vessel, faults);
        overflow::check(station, vessel, faults);
        if let Some(volume) = &vessel.fields.batch_volume
            && volume.value.m3() > vessel.shape.full_volume_m3()
        {
            push(
                faults,
                volume,
                "the batch is larger than the vessel",
                vessel,
                "lower it, or take a larger vessel",
            );
        }
        if let Some(volume) = &vessel.fields.run_volume
            && volume.value.m3() > vessel.shape.full_volume_m3()
        {
            push(
                faults,
                volume,
                "the run is larger than the vessel",
                vessel,
                "lower it, or take a larger vessel",
            );
        }
    }
    check_salt(station, faults);
    check_room(station, faults);
    purifier::check(station, faults);
    year::check(station, faults);
    failures::check(station, faults);
    for tank in &station.tanks {
        if tank.fields.evaporation.is_none() && tank.fields.surface.is_none() {
            faults.push(Fault {
                span: tank.span.clone(),
                what: "nothing tells how much water evaporates".into(),
                why: format!("the tank `{}`", tank.name),
                mend: "add evaporation = \"6 L/day\" as measured from the top-off, or surface = \"1.4 m2\" to have it computed".into(),
            });
        }
        if let Some(change) = &tank.fields.change
            && change.value.m3() > tank.fields.volume.value.m3()
        {
            faults.push(Fault {
                span: change.span().unwrap_or(tank.span.clone()),
                what: "the change is larger than the tank".into(),
                why: format!("the tank `{}`", tank.name),
                mend: "give the water replaced at one change".into(),
            });
        }
        let (t, s) = (
            tank.fields.temperature.value.c(),
            tank.fields.salinity.value.practical(),
        );
        if physics::seawater::freezing_point_c(s).is_ok_and(|freezing| t < freezing) {
            faults.push(Fault {
                span: tank.fields.temperature.span().unwrap_or(tank.span.clone()),
                what: "water of this salinity freezes at this temperature".into(),
                why: format!("the tank `{}`", tank.name),
                mend: "check the unit: C or F".into(),
            });
        }
    }
}

/// A summer that somebody told is no colder than the winter that somebody told.
fn check_room(station: &Station, faults: &mut Vec<Fault>) {
    let (winter, summer) = (
        &station.room.lowest_winter_temperature,
        &station.room.highest_summer_temperature,
    );
    if let (Some(_), Some(span)) = (winter.span(), summer.span())
        && summer.value.c() < winter.value.c()
    {
        faults.push(Fault {
            span,
            what: "the room's warmest summer is colder than its coldest winter".into(),
            why: "both are of the room that the station stands in".into(),
            mend: "check lowest_winter_temperature and highest_summer_temperature, and their units: C or F"
                .into(),
        });
    }
}

fn check_levels(station: &Station, vessel: &Vessel, faults: &mut Vec<Fault>) {
    let fields = &vessel.fields;
    let height = vessel.height_m();
    let units = station.units();
    let named = [
        ("start", fields.start_level.as_ref()),
        ("stop", fields.stop_level.as_ref()),
        ("backup", fields.backup_level.as_ref()),
        ("low cut-out", fields.low_cutout_level.as_ref()),
        ("heater", fields.heater_level.as_ref()),
        ("fill-end", fields.fill_end_level.as_ref()),
        ("outlet", Some(&fields.outlet_level)),
    ];
    for (name, level) in named {
        let Some(level) = level else { continue };
        if level.value.m() > height {
            let room = height - fields.freeboard.value.m();
            faults.push(Fault {
                span: level.span().unwrap_or(vessel.span.clone()),
                what: format!("the {name} level is above the rim"),
                why: format!(
                    "the vessel `{}` is {} high",
                    vessel.name,
                    format_tape(height, units)
                ),
                mend: if name == "fill-end" {
                    // Never advise to lower it into the water.
                    "leave it out where the tube ends in the air above the rim".into()
                } else {
                    format!(
                        "at most {} keeps the freeboard of {}",
                        format_tape(room, units),
                        format_tape(fields.freeboard.value.m(), units)
                    )
                },
            });
        }
    }
    if fields.freeboard.value.m() >= height {
        push(
            faults,
            &fields.freeboard,
            "the freeboard is higher than the vessel",
            vessel,
            "40 mm is usual",
        );
    }
    if let (Some(start), Some(stop)) = (&fields.start_level, &fields.stop_level)
        && start.value.m() >= stop.value.m()
    {
        push(
            faults,
            start,
            "the start level isn't below the stop level",
            vessel,
            "the fill starts low and stops high: exchange them?",
        );
    }
}

fn check_salt(station: &Station, faults: &mut Vec<Fault>) {
    let needs_salt = station
        .vessels
        .iter()
        .find(|vessel| vessel.fields.holds.value == Water::Salt);
    match (&station.salt, needs_salt) {
        (None, Some(vessel)) => faults.push(Fault {
            span: vessel.span.clone(),
            what: "salt water is mixed here, but there is no section [salt]".into(),
            why: format!("the vessel `{}` holds salt water", vessel.name),
            mend: "add [salt] with the label of the mix: label = \"20 kg makes 540 L at 35\"".into(),
        }),
        (Some(salt), _) => match (&salt.label, &salt.anhydrous_fraction) {
            (None, None) => {
                let span = station.span_of("salt").unwrap_or(0..0);
                faults.push(Fault {
                    span,
                    what: "the mix has neither a label nor a strength".into(),
                    why: "[salt]".into(),
                    mend: "add label = \"20 kg makes 540 L at 35\", from the bag".into(),
                });
            }
            (Some(label), Some(_)) => faults.push(Fault {
                span: label.span().unwrap_or(0..0),
                what: "the mix has both a label and a strength".into(),
                why: "one of them would be ignored".into(),
                mend: "keep the label, or keep anhydrous_fraction".into(),
            }),
            (Some(label), None) => check_label(label, faults),
            (None, Some(_)) => {}
        },
        (None, None) => {}
    }
}

/// A label that can't be read, or that promises more salt than the bag holds.
fn check_label(field: &Field<String>, faults: &mut Vec<Fault>) {
    let mut refuse = |what: String, mend: String| {
        faults.push(Fault {
            span: field.span().unwrap_or(0..0),
            what,
            why: "what the label of the mix says".into(),
            mend,
        });
    };
    let said = match crate::label::read_label(&field.value) {
        Ok(said) => said,
        Err(fault) => return refuse(fault.what, fault.mend),
    };
    let label = mixing::Label {
        dry_mass_kg: said.mass.si,
        volume_m3: said.volume.si,
        practical_salinity: said.salinity.map_or(35.0, |amount| amount.si),
        temperature_c: said.temperature.map_or(25.0, |amount| amount.si),
    };
    // Unsaid, the volume may be either; as finished water it takes the least salt.
    let fresh = said.counts == Some(crate::label::LabelVolume::Fresh);
    let per_litre = |mass_kg: f64| mass_kg / label.volume_m3;
    match mixing::strength_from_label(&label, if fresh { 0.0 } else { 1.0 }) {
        Ok(_) => {}
        Err(mixing::MixingError::LabelImpossible {
            least_dry_mass_kg, ..
        }) => refuse(
            format!(
                "this label promises more than salt can do: {:.1} g/L for a salinity of {}, where even pure sea salt takes {:.1} g/L",
                per_litre(label.dry_mass_kg),
                label.practical_salinity,
                per_litre(least_dry_mass_kg)
            ),
            "check mass, volume and salinity against the bag; labels often count at a lower salinity".into(),
        ),
        Err(mixing::MixingError::LabelTooWeak { strength, .. }) => refuse(
            format!(
                "by this label only {:.0} % of the mix would be salt",
                100.0 * strength
            ),
            "check mass, volume and salinity against the bag".into(),
        ),
        Err(error) => refuse(error.to_string(), error.mend().to_owned()),
    }
}

fn push<T>(faults: &mut Vec<Fault>, field: &Field<T>, what: &str, vessel: &Vessel, mend: &str) {
    faults.push(Fault {
        span: field.span().unwrap_or(vessel.span.clone()),
        what: what.into(),
        why: format!("the vessel `{}`", vessel.name),
        mend: mend.into(),
    });
}
