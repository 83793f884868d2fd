//! What does in place of a task that is lost.

use station::plumbing::{End, Task};

use super::tasks::{Out, Tasks};
use super::{How, Instead};
use crate::analysis::bucket::{bucket_m3, bucket_s, buckets, carry_s, dipped_m3};
use crate::analysis::plumbing::Tried;

impl Tasks<'_> {
    /// The best that does in place of a task, in this order: another vessel, gravity, another pump, buckets from a draw
    /// point, dipped buckets.
    pub(super) fn instead(&mut self, at: usize, task: &Task, out: &Out<'_>) -> Option<Instead> {
        if out.has(task.from) || out.has(task.to) {
            return self.other_vessel(at, task, out);
        }
        if task.from == task.to {
            return self.stirred(task, out);
        }
        let volume_m3 = self.volume_m3(at, task);
        if task.pump.is_some() {
            let by_gravity = Task {
                pump: None,
                ..task.clone()
            };
            if let Some(tried) = self.attempt(&by_gravity, &out.shut) {
                return Some(self.by_lines(How::Gravity, &by_gravity, &tried, volume_m3));
            }
        }
        for pump in 0..self.station.pumps.len() {
            let by_pump = Task {
                pump: Some(pump),
                ..task.clone()
            };
            if task.pump != Some(pump)
                && let Some(tried) = self.attempt(&by_pump, &out.shut)
            {
                return Some(self.by_lines(How::OtherPump, &by_pump, &tried, volume_m3));
            }
        }
        self.in_buckets(task, out, volume_m3)
    }

    fn by_lines(&self, how: How, task: &Task, tried: &Tried, volume_m3: f64) -> Instead {
        let (seconds, moved) = match tried.moves {
            // It goes on for longer than this takes; the flow that it begins with is near enough for a stopgap.
            Some((seconds, moved)) if moved > volume_m3 => {
                (Some(seconds * volume_m3 / moved), Some(volume_m3))
            }
            Some((seconds, moved)) => (Some(seconds), Some(moved)),
            None => (None, None),
        };
        Instead {
            how,
            from: self.station.name_of(task.from).to_owned(),
            to: self.station.name_of(task.to).to_owned(),
            valves_open: self.names(&tried.open),
            pump: task.pump.map(|pump| self.station.pumps[pump].name.clone()),
            seconds,
            moved_m3: moved,
            buckets: None,
            bucket_m3: None,
        }
    }

    /// The same task out of or into a vessel that holds the same water.
    fn other_vessel(&mut self, at: usize, task: &Task, out: &Out<'_>) -> Option<Instead> {
        let others = |end: End| -> Vec<End> {
            let End::Vessel(own) = end else {
                return vec![end];
            };
            if !out.has(end) {
                return vec![end];
            }
            let holds = self.station.vessels[own].fields.holds.value;
            (0..self.station.vessels.len())
                .filter(|other| {
                    self.station.vessels[*other].fields.holds.value == holds && !out.has(End::Vessel(*other))
                })
                .map(End::Vessel)
                .collect()
        };
        let (sources, targets) = (others(task.from), others(task.to));
        let round = task.from == task.to;
        let volume_m3 = self.volume_m3(at, task);
        for from in &sources {
            for to in &targets {
                if out.has(*from) || out.has(*to) || (from == to) != round {
                    continue;
                }
                for pump in self.pumps_for(task) {
                    let other = Task {
                        from: *from,
                        to: *to,
                        pump,
                        open: None,
                    };
                    if let Some(tried) = self.attempt(&other, &out.shut) {
                        return Some(self.by_lines(How::OtherVessel, &other, &tried, volume_m3));
                    }
                }
                if !round && !matches!(task.to, End::Draw(_)) {
                    let other = Task {
                        from: *from,
                        to: *to,
                        pump: task.pump,
                        open: None,
                    };
                    return self.in_buckets(&other, out, volume_m3);
                }
            }
        }
        None
    }

    /// Its own mover first, then gravity, then the other pumps.
    fn pumps_for(&self, task: &Task) -> Vec<Option<usize>> {
        let mut movers = vec![task.pump];
        let others = [None].into_iter().chain((0..self.station.pumps.len()).map(Some));
        for other in others {
            if !movers.contains(&other) && (other.is_some() || task.from != task.to) {
                movers.push(other);
            }
        }
        movers
    }

    fn stirred(&mut self, task: &Task, out: &Out<'_>) -> Option<Instead> {
        for pump in 0..self.station.pumps.len() {
            let round = Task {
                pump: Some(pump),
                ..task.clone()
            };
            if task.pump != Some(pump)
                && let Some(tried) = self.attempt(&round, &out.shut)
            {
                return Some(self.by_lines(How::OtherPump, &round, &tried, 0.0));
            }
        }
        let name = self.station.name_of(task.from).to_owned();
        Some(Instead {
            how: How::Stirring,
            from: name.clone(),
            to: name,
            valves_open: Vec::new(),
            pump: None,
            seconds: None,
            moved_m3: None,
            buckets: None,
            bucket_m3: None,
        })
    }

    /// Buckets filled at the draw point that gives most, by gravity or else by a pump; without one, dipped.
    fn in_buckets(&mut self, task: &Task, out: &Out<'_>, volume_m3: f64) -> Option<Instead> {
        let movers = [None].into_iter().chain((0..self.station.pumps.len()).map(Some));
        for pump in movers {
            if let Some((draw, to_draw, tried)) = self.best_draw(task.from, pump, &out.shut) {
                let container_m3 = self.station.draw_points[draw].fields.container.value.m3();
                let each_m3 = bucket_m3(self.station, container_m3);
                let count = buckets(volume_m3, each_m3);
                let each_s = bucket_s(self.station).max(each_m3 / tried.flow_m3_s + carry_s(self.station));
                return Some(Instead {
                    seconds: Some(f64::from(count) * each_s),
                    moved_m3: Some(volume_m3),
                    buckets: Some(count),
                    bucket_m3: Some(each_m3),
                    ..self.by_lines(How::Bucket, &to_draw, &tried, volume_m3)
                });
            }
        }
        let each_m3 = dipped_m3(self.station);
        let count = buckets(volume_m3, each_m3);
        Some(Instead {
            how: How::Dipping,
            from: self.station.name_of(task.from).to_owned(),
            to: self.station.name_of(task.to).to_owned(),
            valves_open: Vec::new(),
            pump: None,
            seconds: Some(f64::from(count) * bucket_s(self.station)),
            moved_m3: Some(volume_m3),
            buckets: Some(count),
            bucket_m3: Some(each_m3),
        })
    }
}
