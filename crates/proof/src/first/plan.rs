//! What is planned: the vessels, what they keep ready, the purifier's sizes, the marks.

use station::Edit;
use station::catalogue::CatalogueVessel;

use super::answers::{Answers, TankAnswer, Thrift};
use super::assumed;
use super::write::Write;
use crate::analysis::MOST_HOURS;

/// Height of the inner floor of the salt vessels above the room's floor, m: a low base that a pump fits beside, and no higher
/// than salt is poured from (house rule).
pub(super) const SALT_BASE_M: f64 = 0.15;
/// The same of the fresh vessels, m: a firm ledge, under whose tap a bucket stands (house rule).
pub(super) const FRESH_BASE_M: f64 = 0.5;
/// Height of the pumps' inlets, m: under every outlet, so that water runs to them (house rule).
pub(super) const PUMP_M: f64 = 0.08;
/// Level of the outlets, m (common practice, no source: a bulkhead low in the wall).
pub(super) const OUTLET_M: f64 = 0.04;
/// Water over the outlet of a fresh vessel at which its pump is switched off, m: more than the bore of the widest pipe, so
/// that it draws no air (house rule).
pub(super) const DROWNED_M: f64 = 0.05;
/// Space under the rim that stays free, m, as the file has it by default.
pub(super) const FREEBOARD_M: f64 = 0.04;
/// Where the pump of a salt vessel is switched off, m: water over the outlet, and over the heater (house rule).
pub(super) const SALT_CUTOUT_M: f64 = 0.15;
/// Level that the heater lies under, m.
pub(super) const HEATER_M: f64 = 0.1;
/// How far the pipes run over the highest rim, m (house rule: a hand's breadth for a hole that lets air in).
pub(super) const OVER_RIM_M: f64 = 0.2;

/// Whole days for which faults with nobody there are followed at the most.
pub(super) fn followed_days() -> f64 {
    libm::floor(MOST_HOURS / 24.0)
}

/// Vessels of one kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stand {
    pub(super) count: usize,
    pub(super) vessel: &'static CatalogueVessel,
}

impl Stand {
    /// Their names in the file.
    pub(super) fn names(&self, word: &str) -> Vec<String> {
        match self.count {
            1 => vec![word.to_owned()],
            count => (1..=count).map(|at| format!("{word}-{at}")).collect(),
        }
    }
}

/// A size in which a membrane is sold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Membranes {
    pub(super) count: usize,
    /// Rated flow of one, US gal a day, as all of them are told.
    pub(super) gallons_a_day: u32,
}

/// Membranes from small to large (common practice, no source: the sizes of small elements, all rated at 60 psi and 250 mg/L).
pub(super) const MEMBRANES: &[Membranes] = &[
    Membranes::of(1, 50),
    Membranes::of(1, 75),
    Membranes::of(1, 100),
    Membranes::of(1, 150),
    Membranes::of(1, 200),
    Membranes::of(1, 400),
    Membranes::of(2, 400),
    Membranes::of(3, 400),
    Membranes::of(4, 400),
];

impl Membranes {
    const fn of(count: usize, gallons_a_day: u32) -> Self {
        Self { count, gallons_a_day }
    }
}

/// Volumes of mixed beds, L (common practice, no source: canisters and cartridges as they are sold).
pub(super) const BEDS_L: &[f64] = &[0.5, 1.0, 2.0, 4.0, 8.0, 16.0];

/// A size in which a block of carbon is sold, as the file writes it in litres and in gallons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Carbon {
    pub(super) bed: [&'static str; 2],
    pub(super) rated_volume: [&'static str; 2],
    /// By a test with chloramine, of those that had one.
    pub(super) rated_chloramine_volume: [&'static str; 2],
    pub(super) rated_flow: [&'static str; 2],
}

/// Blocks of carbon from small to large (common practice, no source: housings of 10 and of 20 inches, slim and wide).
pub(super) const CARBONS: &[Carbon] = &[
    Carbon {
        bed: ["0.5 L", "0.13 gal"],
        rated_volume: ["20000 L", "5300 gal"],
        rated_chloramine_volume: ["10000 L", "2600 gal"],
        rated_flow: ["3.8 L/min", "1 gal/min"],
    },
    Carbon {
        bed: ["2 L", "0.53 gal"],
        rated_volume: ["150 m3", "40000 gal"],
        rated_chloramine_volume: ["40 m3", "10600 gal"],
        rated_flow: ["10 L/min", "2.6 gal/min"],
    },
    Carbon {
        bed: ["5 L", "1.3 gal"],
        rated_volume: ["400 m3", "106000 gal"],
        rated_chloramine_volume: ["110 m3", "29000 gal"],
        rated_flow: ["25 L/min", "6.6 gal/min"],
    },
];

/// The levels of a fresh vessel, m above its floor: low cut-out, start, stop, backup.
pub(super) type Marks = [f64; 4];

/// The whole plan; the text is made from it.
#[derive(Debug, Clone)]
pub(super) struct Plan<'a> {
    pub(super) answers: &'a Answers,
    pub(super) write: Write,
    /// Names of the tanks in the file.
    pub(super) tanks: Vec<String>,
    pub(super) fresh: Stand,
    pub(super) salt: Stand,
    pub(super) reserve_fresh_m3: f64,
    pub(super) reserve_salt_m3: f64,
    /// Of one fresh vessel.
    pub(super) run_m3: f64,
    /// Of one salt vessel.
    pub(super) batch_m3: f64,
    /// Purified water that one batch takes, m³.
    pub(super) batch_fresh_m3: Option<f64>,
    pub(super) membranes: Membranes,
    pub(super) carbon: &'static Carbon,
    pub(super) bed_l: f64,
    pub(super) marks: Option<Marks>,
    /// What the proof had changed on the way: a booster where the pressure is low.
    pub(super) edits: Vec<Edit>,
}

impl Plan<'_> {
    /// Whether the owner may spend at least so much.
    pub(super) fn affords(&self, wanted: Thrift) -> bool {
        let rank = |thrift: Thrift| match thrift {
            Thrift::Least => 0,
            Thrift::Sensible => 1,
            Thrift::WellKept => 2,
        };
        rank(self.answers.money.thrift) >= rank(wanted)
    }

    /// Practical salinity of a batch: that of the saltiest tank, since batches are thinned more easily than strengthened.
    pub(super) fn batch_salinity(&self) -> f64 {
        let tanks = self.answers.tanks.iter();
        tanks.map(|tank| tank.salinity).fold(0.0, f64::max)
    }

    /// Temperature of a batch, °C: that of the tank that most of it goes to; of several such, of the first.
    pub(super) fn batch_c(&self) -> f64 {
        let taken = |tank: &TankAnswer| tank.volume_m3 * tank.change_share / tank.change_every_s;
        let most = (f64::NEG_INFINITY, 0.0);
        let tanks = self.answers.tanks.iter();
        let (_, temperature_c) = tanks.fold(most, |most, tank| match taken(tank) {
            more if more > most.0 => (more, tank.temperature_c),
            _ => most,
        });
        temperature_c
    }

    /// Whether some tank is kept so much warmer or cooler than a batch that its water is brought there first.
    pub(super) fn tempers(&self) -> bool {
        let batch_c = self.batch_c();
        let mut tanks = self.answers.tanks.iter();
        tanks.any(|tank| (tank.temperature_c - batch_c).abs() > assumed::TEMPERED_K)
    }

    /// Whether a batch is saltier than one of the tanks that it goes to.
    pub(super) fn thins(&self) -> bool {
        let salinity = |practical: f64| self.write.salinity(practical);
        let batch = salinity(self.batch_salinity());
        self.answers
            .tanks
            .iter()
            .any(|tank| salinity(tank.salinity) != batch)
    }

    /// Power of a salt vessel's heater, W; nothing where no tank is warmer than a room.
    pub(super) fn heater_w(&self) -> Option<u32> {
        let mut tanks = self.answers.tanks.iter();
        let wanted = tanks.any(|tank| tank.temperature_c > assumed::COOL_C);
        wanted.then(|| assumed::heater_w(self.batch_m3))
    }

    /// Whether chloramine is planned for: where it isn't ruled out.
    pub(super) fn plans_for_chloramine(&self) -> bool {
        self.answers.tap.chloramine != Some(false)
    }

    /// Height of the rim of the fresh vessels above the room's floor, m.
    pub(super) fn fresh_rim_m(&self) -> f64 {
        FRESH_BASE_M + self.fresh.vessel.height_m()
    }

    /// Height of the rim of the salt vessels, m.
    pub(super) fn salt_rim_m(&self) -> f64 {
        SALT_BASE_M + self.salt.vessel.height_m()
    }

    /// Height at which the pipes run over the rims, m.
    pub(super) fn pipes_m(&self) -> f64 {
        self.write
            .mark_m(self.fresh_rim_m().max(self.salt_rim_m()) + OVER_RIM_M)
    }
}
