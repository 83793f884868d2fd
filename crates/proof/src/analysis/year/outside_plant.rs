//! What a plant is, as plain data for checks from outside. SI; what changes through the year has twelve values, each at the
//! middle of its month, straight between.

use serde::Serialize;

/// The plant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainPlant {
    /// Density of water without salt, kg/m³.
    pub water_kg_m3: f64,
    /// Volume that a kilogram of salt adds to it, m³/kg.
    pub salt_m3_kg: f64,
    /// The vessels.
    pub vessels: Vec<PlainVessel>,
    /// The purifier.
    pub purifier: Option<PlainPurifier>,
    /// The tanks.
    pub tanks: Vec<PlainTank>,
    /// How long people take.
    pub people: PlainPeople,
    /// The salt mix.
    pub mix: PlainMix,
    /// Ways from a vessel into another: `[from][to]`.
    pub between: Vec<Vec<PlainWay>>,
    /// Ways from a vessel to a tank: `[from][tank]`.
    pub to_tank: Vec<Vec<PlainWay>>,
    /// What must be ready at any time, fresh and salt, m³.
    pub reserve_m3: [f64; 2],
    /// Temperature of the room, °C.
    pub room_c: [f64; 12],
    /// Whether the purifier is laid up at some time.
    pub laid_up: bool,
    /// Whether water is delivered by itself.
    pub delivered: bool,
}

/// A vessel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainVessel {
    /// Its name.
    pub name: String,
    /// `fresh` or `salt`.
    pub holds: &'static str,
    /// Volume that it is filled to, m³.
    pub full_m3: f64,
    /// Volume under which nothing is drawn, m³.
    pub low_m3: f64,
    /// Practical salinity that it is mixed to.
    pub target: f64,
    /// Water that evaporates from it, m³/s.
    pub evaporation_m3_s: [f64; 12],
    /// Its level switches.
    pub switches: Vec<PlainSwitch>,
    /// Float that closes at the first volume and opens again at the second, m³.
    pub float_m3: Option<(f64, f64)>,
    /// Its warmth, where it has a heater.
    pub warmth: Option<PlainWarmth>,
}

/// A level switch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainSwitch {
    /// Its mark.
    pub mark: &'static str,
    /// Volume at which it wets when the level rises, m³.
    pub wets_m3: f64,
    /// Volume at which it falls dry when the level falls, m³.
    pub dries_m3: f64,
}

/// A vessel's warmth.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainWarmth {
    /// Kept at, °C.
    pub set_c: f64,
    /// Heater, W.
    pub heater_w: f64,
    /// What it loses when full, W/K.
    pub loss_w_k: f64,
    /// Heat of a cubic metre, J/(m³·K).
    pub capacity_j_m3_k: f64,
    /// Whether it is kept warm at all times.
    pub keeps_warm: bool,
}

/// The purifier.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainPurifier {
    /// Vessels that it fills.
    pub fills: Vec<usize>,
    /// By state of the feed, the usual one first.
    pub feeds: Vec<PlainFeed>,
    /// Whether reject runs on when it stands.
    pub reject_runs_on: bool,
    /// Whether level switches start and stop it.
    pub by_switches: bool,
    /// Permeate to the drain at each start, m³.
    pub flush_m3: f64,
    /// Permeate behind the membranes, m³.
    pub hold_up_m3: f64,
    /// Share of the way to the feed side that a long rest makes of the hold-up's salt.
    pub rest_share: f64,
    /// Time constant of that rest, s.
    pub rest_s: f64,
    /// Charge that a kilogram of salt puts on the resin, mol/kg.
    pub salt_mol_kg: f64,
    /// Gas and silica in a cubic metre of permeate, as charge, mol/m³.
    pub gas_mol_m3: f64,
    /// Load by the cubic metre instead, mol/m³.
    pub float_mol_m3: Option<f64>,
}

/// The purifier on one state of the feed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainFeed {
    /// Permeate while it runs, m³/s.
    pub permeate_m3_s: [f64; 12],
    /// Reject while it runs, m³/s.
    pub reject_m3_s: [f64; 12],
    /// Salt of the permeate in a long run, kg/m³.
    pub solids_kg_m3: [f64; 12],
    /// Salt of the feed, kg/m³.
    pub feed_kg_m3: f64,
}

/// A tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainTank {
    /// Its name.
    pub name: String,
    /// What evaporates and is topped off, m³/s.
    pub top_off_m3_s: [f64; 12],
    /// What tops it off: `fresh` or `salt`.
    pub top_off: &'static str,
    /// A regular change, m³.
    pub change_m3: Option<f64>,
    /// Fresh water that each of them is thinned with; it comes with the next top-off, m³.
    pub thin_m3: f64,
    /// Days from one to the next.
    pub change_every_days: Option<f64>,
    /// An emergency change, m³.
    pub emergency_m3: Option<f64>,
}

/// How long people take.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainPeople {
    /// For a change, apart from moving its water, s.
    pub change_s: f64,
    /// For a reading, s.
    pub measuring_s: f64,
    /// For the salt of a batch, s.
    pub batch_s: f64,
}

/// The salt mix.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainMix {
    /// Sea salt in a kilogram of it.
    pub strength: Option<f64>,
    /// Time until a batch is ready as usual, s.
    pub mixing_s: f64,
    /// The same in an emergency, s.
    pub emergency_s: f64,
    /// Stock under which the next batch is mixed, m³.
    pub below_m3: f64,
}

/// A way of water.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainWay {
    /// Its mean flow, m³/s.
    pub rate_m3_s: f64,
    /// What one carries at once, m³, where it is carried.
    pub bucket_m3: Option<f64>,
    /// How long it takes to draw its source down, where the network tells.
    pub times: Option<PlainTimes>,
}

/// Time that it takes to draw a source down.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlainTimes {
    /// Volumes of the source, rising, m³.
    pub source_m3: Vec<f64>,
    /// Time from each of them down to the first, s.
    pub seconds: Vec<f64>,
}
