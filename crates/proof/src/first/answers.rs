//! What is asked, and what stands there already: whoever presses straight through has answered too.

use station::quantity::UnitSystem;

/// The answers, in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// The owner's units.
    pub units: UnitSystem,
    /// Code of the currency, three capital letters of ISO 4217.
    pub currency: String,
    /// The tanks, at least one.
    pub tanks: Vec<TankAnswer>,
    /// The tap water.
    pub tap: Tap,
    /// Where the station is to stand.
    pub space: Space,
    /// What may be spent, and what water and electricity cost.
    pub money: Money,
    /// Longest time away, d.
    pub days_away: f64,
}

/// One tank.
#[derive(Debug, Clone, PartialEq)]
pub struct TankAnswer {
    /// The owner's name for it.
    pub name: String,
    /// Water in the whole system, m³.
    pub volume_m3: f64,
    /// Practical salinity that it is kept at.
    pub salinity: f64,
    /// Temperature that it is kept at, °C.
    pub temperature_c: f64,
    /// Share of it that is changed at a time.
    pub change_share: f64,
    /// Time from one change to the next, s.
    pub change_every_s: f64,
    /// What evaporates.
    pub evaporation: Evaporation,
}

/// What evaporates from a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Evaporation {
    /// As measured from the top-off, m³/s.
    Measured(f64),
    /// Nobody knows; it stands open.
    Open,
    /// Nobody knows; it has a lid.
    Covered,
}

/// The tap water; nothing where the owner doesn't know.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Tap {
    /// What is dissolved in it.
    pub minerals: Option<Minerals>,
    /// Pressure at the tap, Pa gauge.
    pub pressure_pa: Option<f64>,
    /// In the coldest month, °C.
    pub coldest_c: Option<f64>,
    /// In the warmest month, °C.
    pub warmest_c: Option<f64>,
    /// Whether the supplier uses chloramine.
    pub chloramine: Option<bool>,
}

/// What is dissolved in the tap water, by what was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Minerals {
    /// Conductivity at 25 °C, S/m.
    Conductivity(f64),
    /// Dissolved solids, kg/m³.
    Solids(f64),
}

/// Where the station is to stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Space {
    /// Free floor along the wall, m.
    pub width_m: f64,
    /// Free floor from the wall, m.
    pub depth_m: f64,
    /// Floor to ceiling, m.
    pub ceiling_m: f64,
    /// Clear width of the narrowest door on the way in, m.
    pub door_m: f64,
    /// Whether there is a drain in the floor.
    pub floor_drain: bool,
}

/// What may be spent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thrift {
    /// As little as possible.
    Least,
    /// What is sensible.
    Sensible,
    /// Well kept: what guards cost is worth it.
    WellKept,
}

/// Money.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Money {
    /// What may be spent.
    pub thrift: Thrift,
    /// Price of tap water, money/m³, where it is known.
    pub water_per_m3: Option<f64>,
    /// Price of electricity, money/J, where it is known.
    pub electricity_per_j: Option<f64>,
}

impl Answers {
    /// The answers that stand there already: one tank of a usual size, nothing known of the tap, a corner of a room (house
    /// rule: common sizes, rounded in the owner's units).
    pub fn usual(units: UnitSystem) -> Self {
        let (volume_m3, currency, space) = match units {
            UnitSystem::Si => (
                0.3,
                "EUR",
                Space {
                    width_m: 2.0,
                    depth_m: 1.0,
                    ceiling_m: 2.4,
                    door_m: 0.8,
                    floor_drain: false,
                },
            ),
            UnitSystem::Us => (
                75.0 * GALLON_M3,
                "USD",
                Space {
                    width_m: 6.0 * FOOT_M,
                    depth_m: 3.0 * FOOT_M,
                    ceiling_m: 8.0 * FOOT_M,
                    door_m: 32.0 * INCH_M,
                    floor_drain: false,
                },
            ),
        };
        Self {
            units,
            currency: currency.to_owned(),
            tanks: vec![TankAnswer {
                name: "Reef".to_owned(),
                volume_m3,
                salinity: SEA_WATER,
                temperature_c: WARM_REEF_C,
                change_share: 0.1,
                change_every_s: WEEK_S,
                evaporation: Evaporation::Open,
            }],
            tap: Tap::default(),
            space,
            money: Money {
                thrift: Thrift::Sensible,
                water_per_m3: None,
                electricity_per_j: None,
            },
            days_away: 7.0,
        }
    }
}

/// Practical salinity of a usual tank (common practice, no source: natural sea water).
const SEA_WATER: f64 = 35.0;
/// Temperature of a usual tank, °C (common practice, no source: a warm reef tank).
const WARM_REEF_C: f64 = 25.0;
const WEEK_S: f64 = 7.0 * 86_400.0;
const GALLON_M3: f64 = 3.785_411_784e-3;
const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;
