//! How water gets from a vessel into another one or to a tank: by a task of the station, or in buckets.
//!
//! A task's own time for a stretch is read from a table of cumulative time against the source's volume, which the network's
//! solver made once.

use std::sync::Arc;

use station::Station;
use station::plumbing::End;

use super::body::Vessel;
use crate::analysis::{Lineup, Lineups, bucket_m3, bucket_s, dipped_m3};

/// One way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Way {
    /// Mean flow, m³/s.
    pub(crate) rate_m3_s: f64,
    /// What one carries at once, m³; nothing where nobody carries.
    pub(crate) bucket_m3: Option<f64>,
    /// The task that moves it.
    pub(crate) lineup: Option<usize>,
    /// Its pump.
    pub(crate) pump: Option<usize>,
}

/// All ways.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Ways {
    /// From a vessel into another one: `[from][to]`.
    pub(crate) between: Vec<Vec<Way>>,
    /// From a vessel to a tank: `[from][tank]`.
    pub(crate) to_tank: Vec<Vec<Way>>,
    /// Out of a vessel in buckets, where its pump doesn't run.
    pub(crate) by_hand: Vec<Way>,
    /// Of each task, where the network tells.
    pub(crate) times: Vec<Option<Arc<Times>>>,
}

/// Time that a task takes to draw its source down, against the source's volume.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Times {
    /// Volumes of the source, rising, m³.
    pub(crate) source_m3: Vec<f64>,
    /// Time from each of them down to the first, s.
    pub(crate) seconds: Vec<f64>,
    /// Between each of them and the next, s/m³.
    slopes_s_m3: Vec<f64>,
    /// Steps of the table by the cubic metre, as if they were even: near enough to look where a volume stands.
    steps_m3: f64,
}

impl Times {
    /// From flows at volumes of the source: the trapezium of their reciprocals.
    pub(crate) fn of(flows: &[(f64, f64)]) -> Option<Self> {
        let mut times = Self {
            source_m3: Vec::with_capacity(flows.len()),
            seconds: Vec::with_capacity(flows.len()),
            slopes_s_m3: Vec::with_capacity(flows.len()),
            steps_m3: 0.0,
        };
        let mut before: Option<(f64, f64)> = None;
        let mut seconds = 0.0;
        for (volume_m3, flow_m3_s) in flows {
            if *flow_m3_s <= 0.0 {
                continue;
            }
            if let Some((last_m3, last_m3_s)) = before {
                let slope_s_m3 = 0.5 * (1.0 / last_m3_s + 1.0 / flow_m3_s);
                seconds += slope_s_m3 * (volume_m3 - last_m3);
                times.slopes_s_m3.push(slope_s_m3);
            }
            before = Some((*volume_m3, *flow_m3_s));
            times.source_m3.push(*volume_m3);
            times.seconds.push(seconds);
        }
        let (first_m3, last_m3) = (times.source_m3.first()?, times.source_m3.last()?);
        times.steps_m3 = (times.source_m3.len() - 1) as f64 / (last_m3 - first_m3);
        (times.source_m3.len() >= 2).then_some(times)
    }

    /// Time down from a volume to the first, s; beyond the table by its last slope.
    fn at(&self, volume_m3: f64) -> f64 {
        let last = self.source_m3.len() - 1;
        // The first volume that isn't below, from where it would stand in even steps.
        let mut above = (((volume_m3 - self.source_m3[0]) * self.steps_m3) as usize + 1).min(last);
        while above < last && self.source_m3[above] < volume_m3 {
            above += 1;
        }
        while above > 1 && self.source_m3[above - 1] >= volume_m3 {
            above -= 1;
        }
        let below = above - 1;
        self.seconds[below] + (volume_m3 - self.source_m3[below]) * self.slopes_s_m3[below]
    }

    /// Mean flow of a stretch, m³/s; nothing where it has no length.
    pub(crate) fn mean_m3_s(&self, from_m3: f64, volume_m3: f64) -> Option<f64> {
        let seconds = self.at(from_m3) - self.at(from_m3 - volume_m3);
        (seconds > 0.0 && volume_m3 > 0.0).then(|| volume_m3 / seconds)
    }
}

impl Ways {
    pub(crate) fn new(
        station: &Station,
        lineups: Option<&Lineups>,
        vessels: &[Vessel],
        times: &[Option<Arc<Times>>],
    ) -> Self {
        let finder = Finder {
            station,
            lineups,
            vessels,
        };
        let from = |to: &dyn Fn(usize, usize) -> Way, count: usize| {
            (0..station.vessels.len())
                .map(|from| (0..count).map(|at| to(from, at)).collect())
                .collect()
        };
        Self {
            between: from(
                &|from, to| finder.way(from, End::Vessel(to)),
                station.vessels.len(),
            ),
            to_tank: from(&|from, to| finder.way(from, End::Tank(to)), station.tanks.len()),
            times: times.to_vec(),
            by_hand: (0..station.vessels.len())
                .map(|from| finder.buckets(from))
                .collect(),
        }
    }
}

struct Finder<'a> {
    station: &'a Station,
    lineups: Option<&'a Lineups>,
    vessels: &'a [Vessel],
}

impl Finder<'_> {
    /// The quickest task between; without one, buckets.
    fn way(&self, from: usize, to: End) -> Way {
        let mut best: Option<Way> = None;
        for (at, task) in self.station.plumbing.tasks.iter().enumerate() {
            if task.from != End::Vessel(from) || task.to != to {
                continue;
            }
            let Some(rate_m3_s) = self.lineup(at).and_then(mean_flow_m3_s) else {
                continue;
            };
            if best.is_none_or(|best| best.rate_m3_s < rate_m3_s) {
                best = Some(Way {
                    rate_m3_s,
                    bucket_m3: None,
                    lineup: Some(at),
                    pump: task.pump,
                });
            }
        }
        best.unwrap_or_else(|| self.buckets(from))
    }

    fn lineup(&self, at: usize) -> Option<&Lineup> {
        self.lineups?.lineups.get(at)
    }

    /// Carried from where the vessel's water is drawn.
    fn buckets(&self, from: usize) -> Way {
        let drawn = self.station.plumbing.tasks.iter().find_map(|task| match task.to {
            End::Draw(draw) if task.from == End::Vessel(from) => {
                Some(self.station.draw_points[draw].fields.container.value.m3())
            }
            _ => None,
        });
        let bucket_m3 = drawn
            .map_or(dipped_m3(self.station), |drawn_m3| {
                bucket_m3(self.station, drawn_m3)
            })
            .min(self.vessels[from].rim_m3);
        Way {
            rate_m3_s: bucket_m3 / bucket_s(self.station),
            bucket_m3: Some(bucket_m3),
            lineup: None,
            pump: None,
        }
    }
}

/// Over its whole time from a full source, where it has one; otherwise its flow at the beginning.
fn mean_flow_m3_s(lineup: &Lineup) -> Option<f64> {
    let full = lineup.moments.first()?;
    let (flow, seconds) = full.nominal;
    match (full.moved_m3, seconds) {
        (Some(moved_m3), Some(seconds)) if seconds > 0.0 && moved_m3 > 0.0 => Some(moved_m3 / seconds),
        _ => flow.filter(|flow| *flow > 0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A tank of constant area that empties through a hole: `t = 2·(√h₁ − √h₂)/k` (Torricelli), with the flow `k·√h` on an
    /// area of 1 m². Nine points and the trapezium are within half a per cent of it.
    #[test]
    fn times_of_a_vessel_that_empties_itself() {
        let k = 1e-3;
        let flows: Vec<(f64, f64)> = (1..=9)
            .map(|at| (0.1 * f64::from(at), k * (0.1 * f64::from(at)).sqrt()))
            .collect();
        let times = Times::of(&flows).expect("two points and more");
        for (from, volume) in [(0.9, 0.8), (0.9, 0.3), (0.5, 0.2)] {
            let exact = 2.0 * (f64::sqrt(from) - f64::sqrt(from - volume)) / k;
            let mean = times.mean_m3_s(from, volume).expect("a stretch");
            assert!((volume / mean / exact - 1.0).abs() < 0.01, "{from} {volume}");
        }
    }
}
