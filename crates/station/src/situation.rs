//! The moment: what stands in each vessel now.

use crate::sections::Water;
use crate::station::{Station, Vessel};

/// The state of the station at one moment. Three moments have names; others come from readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Situation {
    /// Its name: `start`, `full`, `worst`, or the owner's.
    pub name: String,
    /// What stands in each vessel, in the order of the station's vessels.
    pub vessels: Vec<VesselMoment>,
}

/// What stands in one vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VesselMoment {
    /// Level above its floor, m.
    pub level_m: f64,
    /// Practical salinity.
    pub practical_salinity: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
}

impl Situation {
    /// Every vessel at the level where its fill starts, or as low as it can be drawn.
    pub fn at_start(station: &Station) -> Self {
        Self::build("start", station, |vessel| start_level_m(station, vessel))
    }

    /// Every vessel at its stop level, or at its freeboard.
    pub fn full(station: &Station) -> Self {
        Self::build("full", station, full_level_m)
    }

    /// As little as ordinary running ever leaves: fresh vessels at their start level, salt vessels drawn down.
    pub fn worst(station: &Station) -> Self {
        Self::build("worst", station, |vessel| match vessel.fields.holds.value {
            Water::Fresh => start_level_m(station, vessel),
            Water::Salt => lowest_drawable_m(vessel),
        })
    }

    /// Purified water at its start level and salt water full: where salt water stands highest over purified water.
    pub fn crossed(station: &Station) -> Self {
        Self::build("crossed", station, |vessel| match vessel.fields.holds.value {
            Water::Fresh => start_level_m(station, vessel),
            Water::Salt => full_level_m(vessel),
        })
    }

    /// The three with names.
    pub fn named(station: &Station) -> [Self; 3] {
        [Self::at_start(station), Self::full(station), Self::worst(station)]
    }

    fn build(name: &str, station: &Station, level_m: impl Fn(&Vessel) -> f64) -> Self {
        let vessels = station
            .vessels
            .iter()
            .map(|vessel| {
                let salt = vessel.fields.holds.value == Water::Salt;
                VesselMoment {
                    level_m: level_m(vessel).clamp(0.0, vessel.height_m()),
                    practical_salinity: if salt {
                        vessel.fields.target_salinity.value.practical()
                    } else {
                        0.0
                    },
                    temperature_c: if salt {
                        vessel.fields.mixing_temperature.value.c()
                    } else {
                        station.room.lowest_winter_temperature.value.c().clamp(0.0, 35.0)
                    },
                }
            })
            .collect();
        Self {
            name: name.to_owned(),
            vessels,
        }
    }
}

/// Where nothing more can be drawn: the outlet, or the pump's cut-out above it.
pub fn lowest_drawable_m(vessel: &Vessel) -> f64 {
    let outlet = vessel.fields.outlet_level.value.m();
    vessel
        .fields
        .low_cutout_level
        .as_ref()
        .map_or(outlet, |level| level.value.m().max(outlet))
}

fn start_level_m(station: &Station, vessel: &Vessel) -> f64 {
    station
        .starts_m(vessel)
        .unwrap_or_else(|| lowest_drawable_m(vessel))
}

fn full_level_m(vessel: &Vessel) -> f64 {
    // A salt vessel is full when its batch is finished, whatever its switches say.
    if let (Water::Salt, Some(batch)) = (vessel.fields.holds.value, &vessel.fields.batch_volume)
        && let Ok(level) = vessel.shape.level_m(batch.value.m3())
    {
        return level;
    }
    vessel.fields.stop_level.as_ref().map_or_else(
        || vessel.height_m() - vessel.fields.freeboard.value.m(),
        |level| level.value.m(),
    )
}
