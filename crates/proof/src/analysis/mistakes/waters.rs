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
    /// Those of them whose water isn't known yet.
    waiting: Vec<usize>,
    /// By line, m³/s; 0 in those that don't flow.
    flow_m3_s: Vec<f64>,
    /// By line what it is brought, as far as it is known.
    brought: Vec<Option<Kind>>,
    /// A bit for each line that flows along itself, and against itself.
    ways: [u128; 2],
    /// Whether waters that differ meet anywhere.
    mixes: bool,
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
            waiting: Vec::with_capacity(lines.len()),
            flow_m3_s: vec![0.0; lines.len()],
            brought: vec![None; lines.len()],
            ways: [0; 2],
            mixes: false,
        }
    }

    /// Whether some lines, m³/s, are brought what they were brought last: where each flows the same way and nothing mixes,
    /// how much flows doesn't matter.
    pub(super) fn are_brought_the_same(&self, flows: impl Iterator<Item = (usize, f64)>) -> bool {
        let mut ways = [0; 2];
        for (line, flow_m3_s) in flows.filter(flows_at_all) {
            ways[usize::from(flow_m3_s < 0.0)] |= 1 << line;
        }
        !self.mixes && ways == self.ways
    }

    /// Lets some lines flow, m³/s.
    pub(super) fn follow(
        &mut self,
        flows: impl Iterator<Item = (usize, f64)>,
        water_of: impl Fn(End) -> Kind,
    ) {
        self.flowing.clear();
        (self.ways, self.mixes) = ([0; 2], false);
        self.flow_m3_s.fill(0.0);
        self.brought.fill(None);
        for (line, flow_m3_s) in flows.filter(flows_at_all) {
            self.flowing.push(line);
            self.flow_m3_s[line] = flow_m3_s;
            self.ways[usize::from(flow_m3_s < 0.0)] |= 1 << line;
        }
        // Each round carries water at least one line further, and a joint waits for all that it is brought.
        let mut waiting = core::mem::take(&mut self.waiting);
        waiting.clone_from(&self.flowing);
        let mut waited = usize::MAX;
        while waiting.len() < waited {
            waited = waiting.len();
            waiting.retain(|line| {
                self.brought[*line] = self.water_of(*line, true, &water_of);
                self.brought[*line].is_none()
            });
        }
        // Where water goes round, a joint waits for itself: then it goes by what is known of it, and is gone over again.
        if !waiting.is_empty() {
            for _ in 0..self.flowing.len() {
                if !self.carry(&water_of) {
                    break;
                }
            }
        }
        self.waiting = waiting;
    }

    /// The water that a line is brought; `None` where it stands still, or air follows.
    pub(super) fn brought(&self, line: usize) -> Option<Kind> {
        self.brought[line]
    }

    /// Carries water one line further, by what is known; whether any line's changed.
    fn carry(&mut self, water_of: impl Fn(End) -> Kind) -> bool {
        let mut changed = false;
        for at in 0..self.flowing.len() {
            let line = self.flowing[at];
            let water = self.water_of(line, false, &water_of);
            changed |= self.brought[line] != water;
            self.brought[line] = water;
        }
        changed
    }

    /// What a line that flows is brought, as far as it is known.
    fn water_of(&mut self, line: usize, all_known: bool, water_of: impl Fn(End) -> Kind) -> Option<Kind> {
        match self.sources[line][usize::from(self.flow_m3_s[line] < 0.0)] {
            Source::Body(end) => Some(water_of(end)),
            Source::Air => None,
            Source::Joint(joint) => self.mixed(joint, all_known),
        }
    }

    /// What a joint is brought; `None` while a line that brings water isn't known, and with `all_known` not asked while
    /// none is.
    fn mixed(&mut self, joint: usize, all_known: bool) -> Option<Kind> {
        let (mut sum, mut salinity, mut temperature) = (0.0, 0.0, 0.0);
        let (mut first, mut differs): (Option<Kind>, bool) = (None, false);
        for (line, ends) in self.joints[joint].iter().copied() {
            let flow_m3_s = self.flow_m3_s[line];
            let brings = if ends { flow_m3_s } else { -flow_m3_s };
            if brings > STILL_M3_S {
                match self.brought[line] {
                    Some(water) => {
                        differs |= *first.get_or_insert(water) != water;
                        sum += brings;
                        salinity += brings * water.0;
                        temperature += brings * water.1;
                    }
                    None if all_known => return None,
                    None => {}
                }
            }
        }
        self.mixes |= differs;
        if differs {
            Some((salinity / sum, temperature / sum))
        } else {
            first
        }
    }
}

/// Whether a line flows at all.
fn flows_at_all((_, flow_m3_s): &(usize, f64)) -> bool {
    flow_m3_s.abs() > STILL_M3_S
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
