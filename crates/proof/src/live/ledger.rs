//! Where water and salt went since the beginning: each move booked once, out of one account and into another.

use crate::plant::{Amount, Brine};

/// What came and went, beside what stands in the vessels.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ledger {
    /// What stood in all vessels at the beginning.
    pub(super) stood: Amount,
    /// And in all tanks.
    pub(super) stood_in_tanks: Amount,
    /// From the feed: permeate, reject, and what ran out of its tubes.
    pub(super) feed: Amount,
    /// Salt that was poured in.
    pub(super) poured: Amount,
    /// What each tank has gained.
    pub(super) tanks: Vec<Amount>,
    /// What the air took from each tank, m³ of water: part of what it has gained.
    pub(super) dried_m3: Vec<f64>,
    /// What the air took from vessels and tanks, m³ of water.
    pub(super) evaporated_m3: f64,
    /// What stands in the container under each draw point, and what was carried away.
    pub(super) caught: Vec<Amount>,
    pub(super) carried: Amount,
    pub(super) drain: Amount,
    pub(super) floor: Amount,
    pub(super) tray: Amount,
    /// What was wiped up.
    pub(super) wiped: Amount,
    /// All that moved, for a measure of what is lost.
    pub(super) moved: Amount,
}

pub(super) fn add(to: &mut Amount, amount: Amount) {
    to.water_m3 += amount.water_m3;
    to.salt_kg += amount.salt_kg;
}

pub(super) fn take(from: &mut Amount, amount: Amount) {
    add(from, amount.times(-1.0));
}

fn sum<'s>(all: impl IntoIterator<Item = &'s Amount>) -> Amount {
    let mut sum = Amount::default();
    for own in all {
        add(&mut sum, *own);
    }
    sum
}

/// What is lost or made, as shares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Residuals {
    pub(super) water: f64,
    pub(super) salt: f64,
}

impl Ledger {
    pub(super) fn new(contents: &[Amount], tanks: &[Amount], draws: usize) -> Self {
        Self {
            stood: sum(contents),
            stood_in_tanks: sum(tanks),
            feed: Amount::default(),
            poured: Amount::default(),
            tanks: vec![Amount::default(); tanks.len()],
            dried_m3: vec![0.0; tanks.len()],
            evaporated_m3: 0.0,
            caught: vec![Amount::default(); draws],
            carried: Amount::default(),
            drain: Amount::default(),
            floor: Amount::default(),
            tray: Amount::default(),
            wiped: Amount::default(),
            moved: Amount::default(),
        }
    }

    /// What there was and came.
    pub(super) fn came(&self) -> Vec<(&'static str, Amount)> {
        vec![
            ("in the vessels at first", self.stood),
            ("in the tanks at first", self.stood_in_tanks),
            ("from the tap", self.feed),
            ("salt poured in", self.poured),
        ]
    }

    /// What there is and went.
    pub(super) fn there(&self, contents: &[Amount], grains_kg: &[f64]) -> Vec<(&'static str, Amount)> {
        let wet = sum([&self.floor, &self.tray]);
        let taken_away = sum([&self.carried, &self.wiped]);
        vec![
            ("in the vessels", sum(contents)),
            ("salt on their floors", Amount::salt(grains_kg.iter().sum())),
            (
                "in the tanks",
                sum(self.tanks.iter().chain([&self.stood_in_tanks])),
            ),
            ("under the draw points", sum(&self.caught)),
            ("on the floor and in the tray", wet),
            ("carried away and wiped up", taken_away),
            ("to the drain", self.drain),
            ("into the air", Amount::water(self.evaporated_m3)),
        ]
    }

    /// What is lost or made, as a share of all that stood in the vessels and moved. What stands in tanks makes no share
    /// smaller: a tank can be many times as large as the station.
    pub(super) fn residuals(&self, contents: &[Amount], grains_kg: &[f64]) -> Residuals {
        let [came, there] = [self.came(), self.there(contents, grains_kg)].map(|all| total(&all));
        let share = |lost: f64, of: f64| if of > 0.0 { lost.abs() / of } else { lost.abs() };
        let of = sum([&self.stood, &self.feed, &self.poured, &self.moved]);
        Residuals {
            water: share(came.water_m3 - there.water_m3, of.water_m3),
            salt: share(came.salt_kg - there.salt_kg, of.salt_kg),
        }
    }
}

/// The sum of a side.
pub(super) fn total(side: &[(&'static str, Amount)]) -> Amount {
    sum(side.iter().map(|(_, amount)| amount))
}

/// Less than a microlitre is rounding, and has no salinity.
pub(super) const NOTHING_M3: f64 = 1e-9;

/// Practical salinity of what stands somewhere; 0 of nothing.
pub(super) fn salinity(brine: &Brine, amount: Amount) -> f64 {
    if brine.volume_m3(amount) > NOTHING_M3 {
        brine.practical_salinity(amount)
    } else {
        0.0
    }
}

/// What a container still takes, m³.
pub(super) fn room_m3(brine: &Brine, holds_m3: f64, caught: Amount) -> f64 {
    (holds_m3 - brine.volume_m3(caught)).max(0.0)
}
