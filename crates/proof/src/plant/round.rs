//! Rounds of top-off: what each tank is owed, and how long somebody is on their way with it.
//!
//! A round goes through the tanks of one water in the order of the file, every time somebody comes. So what it asks of each
//! tank lies side by side in that order, apart from all else that a tank is.

use station::sections::Water;

use super::body::{Plant, Tank};
use super::season::{ByMonth, Season};
use super::state::sooner;

/// Less than that is owed to nobody, m³: rounding.
const NOTHING_M3: f64 = 1e-9;

/// The tanks that one water tops off.
#[derive(Debug, Clone)]
pub(crate) struct Round {
    /// Their indices.
    tanks: Vec<usize>,
    /// What evaporates from each, m³/s.
    rates_m3_s: Vec<ByMonth>,
    /// What was asked for at the last round and wasn't there, m³.
    owed_m3: Vec<f64>,
    /// The way to each of them from each vessel, vessel by vessel.
    legs: Vec<Leg>,
}

/// The way to a tank.
#[derive(Debug, Clone, Copy)]
struct Leg {
    seconds_per_m3: f64,
    /// Infinite where nobody carries.
    bucket_m3: f64,
}

/// What a round takes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    pub(super) seconds: f64,
    /// Buckets carried, with those that were carried before it.
    pub(super) carried: f64,
}

impl Round {
    /// Of the tanks that a water tops off, none of which is owed anything.
    pub(super) fn begin(plant: &Plant, water: Water) -> Self {
        let is_own = |tank: &usize| plant.tanks[*tank].top_off == water;
        let tanks: Vec<usize> = (0..plant.tanks.len()).filter(is_own).collect();
        let own = |tank: &usize| -> &Tank { &plant.tanks[*tank] };
        let legs = plant.ways.to_tank.iter().flat_map(|ways| {
            tanks.iter().map(|tank| Leg {
                seconds_per_m3: 1.0 / ways[*tank].rate_m3_s,
                bucket_m3: ways[*tank].bucket_m3.unwrap_or(f64::INFINITY),
            })
        });
        Self {
            rates_m3_s: tanks.iter().map(|tank| own(tank).top_off_m3_s).collect(),
            owed_m3: vec![0.0; tanks.len()],
            legs: legs.collect(),
            tanks,
        }
    }

    /// Whether there are none.
    #[inline]
    pub(super) fn is_empty(&self) -> bool {
        self.tanks.is_empty()
    }

    /// What has evaporated over a time, by the rates of a season, is owed from now on; all that is owed, m³.
    #[inline]
    pub(super) fn evaporate(&mut self, season: Season, seconds: f64) -> f64 {
        let mut wanted_m3 = 0.0;
        for (owed_m3, rate_m3_s) in self.owed_m3.iter_mut().zip(&self.rates_m3_s) {
            *owed_m3 += rate_m3_s.of(season) * seconds;
            wanted_m3 += *owed_m3;
        }
        wanted_m3
    }

    /// What it takes to carry a volume out of a vessel: to each tank by its own way, one after the other, as long as there is
    /// water.
    #[inline]
    pub(super) fn effort(&self, from: usize, volume_m3: f64, carried: f64) -> Effort {
        let mut effort = Effort {
            seconds: 0.0,
            carried,
        };
        let mut left_m3 = volume_m3;
        let legs = &self.legs[from * self.tanks.len()..];
        for (owed_m3, leg) in self.owed_m3.iter().zip(legs) {
            let share_m3 = sooner(*owed_m3, left_m3);
            if share_m3 > 0.0 {
                left_m3 -= share_m3;
                effort.seconds += share_m3 * leg.seconds_per_m3;
                if leg.bucket_m3 < f64::INFINITY {
                    effort.carried += carries(share_m3, leg.bucket_m3);
                }
            }
        }
        effort
    }

    /// Shares what was brought among them, one after the other.
    #[inline]
    pub(super) fn supply(&mut self, volume_m3: f64) {
        let mut left_m3 = volume_m3;
        for owed_m3 in &mut self.owed_m3 {
            let share_m3 = sooner(*owed_m3, left_m3);
            left_m3 -= share_m3;
            let still_m3 = *owed_m3 - share_m3;
            *owed_m3 = if still_m3 < NOTHING_M3 { 0.0 } else { still_m3 };
        }
    }

    /// A tank is owed so much more with the next round.
    pub(super) fn owe(&mut self, tank: usize, volume_m3: f64) {
        if let Some(place) = self.tanks.iter().position(|own| *own == tank) {
            self.owed_m3[place] += volume_m3;
        }
    }

    /// Each tank with what it is owed, m³.
    pub(super) fn owed(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.tanks.iter().copied().zip(self.owed_m3.iter().copied())
    }
}

/// How often somebody goes with a bucket; a drop more than full isn't carried by itself.
#[inline]
pub(super) fn carries(volume_m3: f64, bucket_m3: f64) -> f64 {
    if volume_m3 <= bucket_m3 && volume_m3 > 1e-6 * bucket_m3 {
        return 1.0;
    }
    let buckets = volume_m3 / bucket_m3 - 1e-9;
    // The cast rounds down.
    let whole = f64::from(buckets as u32);
    if whole < buckets { whole + 1.0 } else { whole }
}
