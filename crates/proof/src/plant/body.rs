//! What the plant is: its parts with their numbers, SI, for one draw of what is doubtful. Nothing here moves.

use station::sections::Water;

use super::amount::{Brine, SaltWater};
use super::calendar::Calendar;
use super::chance::NameKey;
use super::control::Wiring;
use super::season::ByMonth;
use super::ways::Ways;

/// The station as the simulation knows it.
#[derive(Debug, Clone)]
pub(crate) struct Plant {
    pub(crate) brine: Brine,
    pub(crate) vessels: Vec<Vessel>,
    pub(crate) purifier: Option<Purifier>,
    pub(crate) tanks: Vec<Tank>,
    pub(crate) people: People,
    pub(crate) mix: Mix,
    pub(crate) ways: Ways,
    pub(crate) wiring: Wiring,
    /// What each pump takes from the socket, W.
    pub(crate) pumps_w: Vec<f64>,
    pub(crate) deliveries: Vec<Delivery>,
    /// What must be ready at any time, fresh and salt, m³.
    pub(crate) reserve_m3: [f64; 2],
    /// Temperature of the room through the year, °C.
    pub(crate) room_c: ByMonth,
    /// Draws that come by the clock and need nobody: what tests and other programs ask of the plant.
    pub(crate) script: Vec<Asked>,
}

/// A draw at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Asked {
    pub(crate) at_s: f64,
    pub(crate) vessel: usize,
    pub(crate) volume_m3: f64,
}

/// A vessel.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Vessel {
    pub(crate) name: String,
    pub(crate) holds: Water,
    /// Volume to the rim, m³.
    pub(crate) rim_m3: f64,
    /// Volume under which nothing is drawn, m³.
    pub(crate) low_m3: f64,
    /// Volume that it is filled to: by its switches, or of a finished batch, m³.
    pub(crate) full_m3: f64,
    /// Practical salinity that it is mixed to.
    pub(crate) target: f64,
    /// Water of that salinity.
    pub(crate) mixed: SaltWater,
    /// Water that evaporates from it under its lid, m³/s.
    pub(crate) evaporation_m3_s: ByMonth,
    pub(crate) heat: Option<Heat>,
    /// What the pump that mixes its batches takes from the socket, W; 0 without one.
    pub(crate) mixing_w: f64,
    /// Float in it that stops the water by itself: closes at the first volume, opens again at the second, m³. Of two the
    /// lower one, which is all that matters as long as it works.
    pub(crate) float_m3: Option<(f64, f64)>,
    /// A second one on the same way in, which holds the water should the first not close; likewise.
    pub(crate) second_float_m3: Option<(f64, f64)>,
}

/// A vessel's warmth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Heat {
    /// Kept at, °C.
    pub(crate) set_c: f64,
    /// Heater, W.
    pub(crate) heater_w: f64,
    /// What it loses when full, W/K.
    pub(crate) loss_w_k: f64,
    /// Heat of a cubic metre, J/(m³·K).
    pub(crate) capacity_j_m3_k: f64,
    /// Whether it is kept warm as long as water stands in it; otherwise only while a batch is mixed.
    pub(crate) keeps_warm: bool,
    /// Volume under which the heater must be off, m³.
    pub(crate) heater_m3: f64,
}

/// How the purifier's run ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stop {
    /// With its feed.
    Sharp,
    /// The permeate stops; the reject runs on.
    RejectRunsOn,
}

/// A float valve that throttles the permeate along its travel, until the shut-off valve closes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Taper {
    /// Volume along its travel, m³.
    pub(crate) band_m3: f64,
    /// Share of the flow that is left when the shut-off valve closes.
    pub(crate) share: f64,
}

/// The purifier.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Purifier {
    /// Vessels that it fills.
    pub(crate) fills: Vec<usize>,
    /// By state of the feed: the usual one first.
    pub(crate) feeds: Vec<Feed>,
    pub(crate) stop: Stop,
    /// Whether an electric control starts and stops it; otherwise the float alone.
    pub(crate) electric: bool,
    /// Whether a person starts each run.
    pub(crate) attended: bool,
    /// Permeate that goes to the drain at each start, m³.
    pub(crate) flush_m3: f64,
    /// Permeate behind the membranes, m³.
    pub(crate) hold_up_m3: f64,
    /// Share of the way to the feed side that a long rest makes, and the time constant of that rest, s.
    pub(crate) rest_share: f64,
    pub(crate) rest_s: f64,
    /// Charge that a kilogram of salt puts on the resin, mol/kg; and gas and silica in a cubic metre, mol/m³.
    pub(crate) salt_mol_kg: f64,
    pub(crate) gas_mol_m3: f64,
    /// Charge that the bed which is changed takes up, mol; nothing without resin.
    pub(crate) bed_mol: Option<f64>,
    /// Load by the cubic metre instead, where a float's slow stop or no stop at all decides it, mol/m³.
    pub(crate) float_mol_m3: Option<f64>,
    /// A float that ends a run slowly; nothing where a run ends at once, or never.
    pub(crate) taper: Option<Taper>,
    /// Booster, W.
    pub(crate) booster_w: f64,
    /// Permeate thrown away after a lay-up, as of a new membrane, m³.
    pub(crate) restart_m3: f64,
}

/// The purifier on one state of the feed, by month.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Feed {
    /// Permeate while it runs, m³/s.
    pub(crate) permeate_m3_s: ByMonth,
    /// Reject while it runs, m³/s.
    pub(crate) reject_m3_s: ByMonth,
    /// Salt of the permeate in a long run, kg/m³.
    pub(crate) solids_kg_m3: ByMonth,
    /// Salt of the feed, kg/m³.
    pub(crate) feed_kg_m3: f64,
    /// How it comes; the usual one doesn't.
    pub(crate) comes: Option<Comes>,
}

/// How an odd state of the feed comes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Comes {
    /// What its chance is drawn by: its name.
    pub(crate) key: NameKey,
    /// Mean time between two, s; or every year in a month, from 0.
    pub(crate) every_s: Option<f64>,
    pub(crate) in_month: Option<usize>,
    /// How long it lasts, s.
    pub(crate) lasts_s: f64,
}

/// A tank.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tank {
    pub(crate) name: String,
    /// What its chance is drawn by: its name.
    pub(crate) key: NameKey,
    /// What evaporates from it and is topped off, m³/s.
    pub(crate) top_off_m3_s: ByMonth,
    /// What tops it off.
    pub(crate) top_off: Water,
    /// A regular change, m³, and the days from one to the next; nothing where there are none.
    pub(crate) change: Option<(f64, f64)>,
    /// Fresh water that each regular change is thinned with where it is used, m³; it comes with the next top-off.
    pub(crate) thin_m3: f64,
    /// An emergency change, m³, and the mean time between two, s.
    pub(crate) emergency: Option<(f64, f64)>,
}

/// The people, and how long they take.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct People {
    pub(crate) calendar: Calendar,
    pub(crate) change_s: f64,
    pub(crate) measuring_s: f64,
    pub(crate) batch_s: f64,
}

/// The salt mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Mix {
    /// Sea salt in a kilogram of dry mix; nothing where nothing is known of it.
    pub(crate) strength: Option<f64>,
    /// Time until it is ready as usual, and in an emergency, s.
    pub(crate) mixing_s: f64,
    pub(crate) emergency_s: f64,
    /// Time within which it should be used, s.
    pub(crate) use_within_s: f64,
    /// Stock under which the next batch is mixed, m³.
    pub(crate) below_m3: f64,
    /// Fresh water at hand when every fresh vessel is full, m³: no batch can begin with more.
    pub(crate) fresh_m3: f64,
}

/// Water that is delivered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Delivery {
    pub(crate) holds: Water,
    pub(crate) volume_m3: f64,
    /// Time from one to the next, s; nothing where it is called.
    pub(crate) every_s: Option<f64>,
    pub(crate) notice_s: f64,
    /// Practical salinity.
    pub(crate) salinity: f64,
}
