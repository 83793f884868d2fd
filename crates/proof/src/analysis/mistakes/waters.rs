//! Where the water of a line comes from: usually, and when it flows.

use station::Station;
use station::plumbing::End;

use super::super::plumbing::STILL_M3_S;

/// Salinity and temperature of some water.
pub(super) type Kind = (f64, f64);

/// Where the water comes from that flows along a line, or against it.
#[derive(Debug, Clone, Copy)]
enum Source {
    /// A vessel or a tank.
    Body(End),
    Air,
    /// By number.
    Joint(usize),
}

/// Follows water from line to line.
#[derive(Debug, Clone)]
pub(super) struct Following {
    /// By line: along it, and against it.
    sources: Vec<[Source; 2]>,
    /// By joint: the lines that meet in it, each with whether it ends there.
    joints: Vec<Vec<(usize, bool)>>,
    /// The lines that flow.
    flowing: Vec<usize>,
    /// By line, m³/s; 0 in those that don't flow.
    flow_m3_s: Vec<f64>,
    /// By line what it is brought, as far as it is known.
    brought: Vec<Option<Kind>>,
}

impl Following {
    /// Through the lines of a station, none of which flows yet.
    pub(super) fn of(station: &Station) -> Self {
        let lines = &station.plumbing.lines;
        let tees = station.tees.len();
        let joint = |end: End| match end {
            End::Tee(tee) => Some(tee),
            End::Pump(pump) => Some(tees + pump),
            End::Vessel(_) | End::Tank(_) | End::Draw(_) => None,
        };
        let source = |end: End| match (end, joint(end)) {
            (_, Some(joint)) => Source::Joint(joint),
            (End::Draw(_), None) => Source::Air,
            (_, None) => Source::Body(end),
        };
        let mut joints = vec![Vec::new(); tees + station.pumps.len()];
        for (at, line) in lines.iter().enumerate() {
            let [from, to] = [joint(line.from), joint(line.to)];
            if let Some(to) = to {
                joints[to].push((at, true));
            }
            if let Some(from) = from.filter(|from| Some(*from) != to) {
                joints[from].push((at, false));
            }
        }
        Self {
            sources: lines
                .iter()
                .map(|line| [source(line.from), source(line.to)])
                .collect(),
            joints,
            flowing: Vec::with_capacity(lines.len()),
            flow_m3_s: vec![0.0; lines.len()],
            brought: vec![None; lines.len()],
        }
    }

    /// Lets some lines flow, m³/s.
    pub(super) fn follow(
        &mut self,
        flows: impl Iterator<Item = (usize, f64)>,
        water_of: impl Fn(End) -> Kind,
    ) {
        self.flowing.clear();
        self.flow_m3_s.fill(0.0);
        self.brought.fill(None);
        for (line, flow_m3_s) in flows.filter(|(_, flow_m3_s)| flow_m3_s.abs() > STILL_M3_S) {
            self.flowing.push(line);
            self.flow_m3_s[line] = flow_m3_s;
        }
        // Each round carries water at least one line further, and a joint waits for all that it is brought. Where water
        // goes round, a joint waits for itself: then it goes by what is known of it, and is gone over again.
        for all_known in [true, false] {
            for _ in 0..self.flowing.len() {
                if !self.carry(all_known, &water_of) {
                    break;
                }
            }
            if self.flowing.iter().all(|line| self.brought[*line].is_some()) {
                break;
            }
        }
    }

    /// The water that a line is brought; `None` where it stands still, or air follows.
    pub(super) fn brought(&self, line: usize) -> Option<Kind> {
        self.brought[line]
    }

    /// Carries water one line further; whether any line's changed.
    fn carry(&mut self, all_known: bool, water_of: impl Fn(End) -> Kind) -> bool {
        let mut changed = false;
        for line in self.flowing.iter().copied() {
            if all_known && self.brought[line].is_some() {
                continue;
            }
            let water = match self.sources[line][usize::from(self.flow_m3_s[line] < 0.0)] {
                Source::Body(end) => Some(water_of(end)),
                Source::Air => None,
                Source::Joint(joint) => self.mixed(joint, all_known),
            };
            changed |= self.brought[line] != water;
            self.brought[line] = water;
        }
        changed
    }

    /// What a joint is brought; `None` while a line that brings water isn't known, and with `all_known` not asked while
    /// none is.
    fn mixed(&self, joint: usize, all_known: bool) -> Option<Kind> {
        let (mut sum, mut salinity, mut temperature) = (0.0, 0.0, 0.0);
        for (line, ends) in self.joints[joint].iter().copied() {
            let flow_m3_s = self.flow_m3_s[line];
            let brings = if ends { flow_m3_s } else { -flow_m3_s };
            if brings > STILL_M3_S {
                match self.brought[line] {
                    Some(water) => {
                        sum += brings;
                        salinity += brings * water.0;
                        temperature += brings * water.1;
                    }
                    None if all_known => return None,
                    None => {}
                }
            }
        }
        (sum > 0.0).then(|| (salinity / sum, temperature / sum))
    }
}

/// The vessel that each line is fewest lines away from, the first of several: whose water usually stands in it.
pub(super) fn usual_sources(station: &Station) -> Vec<Option<End>> {
    let lines = &station.plumbing.lines;
    let mut sources: Vec<Option<End>> = lines
        .iter()
        .map(|line| {
            [line.from, line.to]
                .into_iter()
                .find(|end| matches!(end, End::Vessel(_)))
        })
        .collect();
    for _ in 0..lines.len() {
        let before = sources.clone();
        for (line, source) in sources
            .iter_mut()
            .enumerate()
            .filter(|(_, source)| source.is_none())
        {
            let ends = [lines[line].from, lines[line].to];
            let beside = lines.iter().zip(&before).filter(|(other, _)| {
                [other.from, other.to]
                    .iter()
                    .any(|end| ends.contains(end) && matches!(end, End::Tee(_) | End::Pump(_)))
            });
            *source = beside.filter_map(|(_, source)| *source).min();
        }
        if before == sources {
            break;
        }
    }
    sources
}
