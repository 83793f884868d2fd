//! The picture of a moment: plain data.

use serde::Serialize;

/// Shares up to this are rounding (the design's bound of every simulation).
const ROUNDING: f64 = 1e-9;

/// Everything that can be seen of the station at a moment. Parts stand in the order of the station file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Snapshot {
    /// Simulated time since the beginning, s.
    pub t_s: f64,
    /// Vessels.
    pub vessels: Vec<VesselNow>,
    /// Lines.
    pub lines: Vec<LineNow>,
    /// Valves.
    pub valves: Vec<ValveNow>,
    /// Pumps.
    pub pumps: Vec<PumpNow>,
    /// The purifier, where there is one.
    pub purifier: Option<PurifierNow>,
    /// Draw points.
    pub draws: Vec<DrawNow>,
    /// Tanks.
    pub tanks: Vec<TankNow>,
    /// Water on the floor, place by place.
    pub floor: Vec<FloorNow>,
    /// What stands in the tray, m³.
    pub tray_m3: f64,
    /// What went to the drain since the beginning, m³.
    pub drain_m3: f64,
    /// The task in hand.
    pub task: Option<TaskNow>,
    /// When the last task ended by itself, s.
    pub ended_s: Option<f64>,
    /// Whether there is power.
    pub powered: bool,
    /// Alarms that stand.
    pub alarms: Vec<AlarmNow>,
    /// Harm that was done so far, first things first.
    pub harms: Vec<HarmNow>,
    /// Faults that are in.
    pub faults: Vec<String>,
    /// The balance of water and salt.
    pub balance: Balances,
}

impl Snapshot {
    /// All that lies on the floor, m³.
    pub fn wet_m3(&self) -> f64 {
        self.floor.iter().map(|own| own.volume_m3).sum()
    }
}

/// A vessel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VesselNow {
    /// Its name.
    pub name: String,
    /// Level over its floor, m, and the rim's.
    pub level_m: f64,
    /// The rim over its floor, m.
    pub height_m: f64,
    /// What stands in it, m³.
    pub volume_m3: f64,
    /// What it is filled to, m³.
    pub full_m3: f64,
    /// Practical salinity.
    pub practical_salinity: f64,
    /// Salt on its floor that isn't dissolved yet, kg.
    pub grains_kg: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
    /// What it gains, m³/s; below 0 what it loses.
    pub gains_m3_per_s: f64,
    /// Whether permeate comes into it.
    pub fills: bool,
    /// How much, m³/s.
    pub permeate_m3_per_s: f64,
    /// Whether its heater is on; nothing without one.
    pub heats: Option<bool>,
}

/// A line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineNow {
    /// Its name.
    pub name: String,
    /// Flow from its beginning to its end, m³/s; below 0 the other way.
    pub flow_m3_per_s: f64,
    /// Practical salinity of what flows; 0 where nothing does.
    pub practical_salinity: f64,
}

/// A valve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ValveNow {
    /// Its name.
    pub name: String,
    /// Whether it is set by hand.
    pub by_hand: bool,
    /// Whether it stands open.
    pub open: bool,
}

/// A pump.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PumpNow {
    /// Its name.
    pub name: String,
    /// Whether somebody asks for it.
    pub asked: bool,
    /// Whether it runs.
    pub runs: bool,
    /// `stands`, `moves`, `dry` (no water comes to it) or `closed` (none gets away).
    pub does: &'static str,
    /// What goes through it, m³/s.
    pub flow_m3_per_s: f64,
}

/// The purifier.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PurifierNow {
    /// Whether its feed stands open.
    pub feed_open: bool,
    /// Whether permeate is made.
    pub runs: bool,
    /// What its membranes take from the feed, m³/s.
    pub feed_m3_per_s: f64,
    /// Permeate, m³/s.
    pub permeate_m3_per_s: f64,
    /// Reject, m³/s.
    pub reject_m3_per_s: f64,
    /// Permeate since the beginning, m³.
    pub made_m3: f64,
    /// Whether somebody asks for an attended run; nothing where none is attended.
    pub asked: Option<bool>,
}

/// A draw point with the container under it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawNow {
    /// Its name.
    pub name: String,
    /// What runs out of it, m³/s.
    pub flow_m3_per_s: f64,
    /// What stands in the container, m³.
    pub caught_m3: f64,
    /// What the container holds, m³.
    pub container_m3: f64,
    /// Practical salinity of what stands in it.
    pub practical_salinity: f64,
}

/// A tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankNow {
    /// Its name.
    pub name: String,
    /// What it has gained since the beginning, m³; below 0 what was drawn from it and what the air took.
    pub gained_m3: f64,
    /// What the air took from it since then, m³.
    pub evaporated_m3: f64,
    /// What it holds now, m³.
    pub volume_m3: f64,
    /// What it holds up to its rim, m³.
    pub full_m3: f64,
    /// Its salinity; `None` of one that was drawn empty.
    pub practical_salinity: Option<f64>,
}

/// Water on the floor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FloorNow {
    /// Where, in words.
    pub place: String,
    /// How much, m³.
    pub volume_m3: f64,
}

/// The task in hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TaskNow {
    /// Its name.
    pub name: String,
    /// What its card still wants moved, m³; nothing where the card says no volume.
    pub left_m3: Option<f64>,
    /// When it is over by its time, s; nothing where it goes by volume.
    pub until_s: Option<f64>,
}

/// An alarm that stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AlarmNow {
    /// What it says.
    pub says: String,
}

/// A harm that was done.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HarmNow {
    /// When, s.
    pub at_s: f64,
    /// What, in words, as it stands now.
    pub harm: String,
}

/// Water and salt since the beginning: what there was and came against what is there and went.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Balances {
    /// What there was and came, entry by entry.
    pub came: Vec<Entry>,
    /// What is there and went, entry by entry.
    pub there: Vec<Entry>,
    /// Water that there was and came, m³ without its salt.
    pub water_came_m3: f64,
    /// Water that is there and went.
    pub water_there_m3: f64,
    /// What of it is lost or made, as a share of all that stood in the vessels and moved.
    pub water_residual: f64,
    /// Salt that there was and came, kg.
    pub salt_came_kg: f64,
    /// Salt that is there and went.
    pub salt_there_kg: f64,
    /// What of it is lost or made, as a share of all that stood in the vessels and moved.
    pub salt_residual: f64,
}

impl Balances {
    /// Whether nothing is lost and nothing made, but for rounding: the bound that every simulation is held to.
    pub fn holds(&self) -> bool {
        self.water_residual < ROUNDING && self.salt_residual < ROUNDING
    }
}

/// An entry of the balance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Entry {
    /// Where that is, or which way it came or went.
    pub place: &'static str,
    /// Water, m³ without its salt.
    pub water_m3: f64,
    /// Salt, kg.
    pub salt_kg: f64,
}
