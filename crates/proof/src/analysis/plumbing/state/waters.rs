//! Which water stands in each line: what was put there, or what flows into it.

use physics::hydraulics::LineWater;
use physics::hydraulics::friction::FrictionLaw;
use physics::hydraulics::network::{Effort, LinkId};
use station::plumbing::End;

use super::{STILL_M3_S, State, added};
use crate::method::Refusal;

impl<F: FrictionLaw> State<'_, F> {
    /// Sets the water that stands in a line, and in the pump that it leads to.
    pub(crate) fn set_line_water(&mut self, line: usize, wanted: (f64, f64)) -> Result<(), Refusal> {
        if self.last_water.0 != wanted {
            self.last_water = (wanted, LineWater::of_salinity(wanted.0, wanted.1)?);
        }
        self.fill_line(line, self.last_water.1)
    }

    /// The same with water that has been worked out.
    fn fill_line(&mut self, line: usize, water: LineWater) -> Result<(), Refusal> {
        for stretch in &self.stretches[line] {
            self.solver.set_water(*stretch, water)?;
        }
        Ok(())
    }

    /// What every line holds, stretch by stretch. Of two lines that share a stretch the later counts.
    pub(crate) fn fills(&self, waters: impl Iterator<Item = LineWater>) -> Vec<(LinkId, LineWater)> {
        let mut fills: Vec<(LinkId, LineWater)> = Vec::new();
        for (stretches, water) in self.stretches.iter().zip(waters) {
            for stretch in stretches {
                fills.retain(|(other, _)| other != stretch);
                fills.push((*stretch, water));
            }
        }
        fills
    }

    /// Fills every line.
    pub(crate) fn fill(&mut self, fills: &[(LinkId, LineWater)]) -> Result<(), Refusal> {
        for (stretch, water) in fills {
            self.solver.set_water(*stretch, *water)?;
        }
        Ok(())
    }

    /// Solves, with each line holding the water that flows into it: found by solving, following the flows, and solving
    /// again until no line's water changes.
    ///
    /// Lines that stand still keep the water of `source`.
    pub(crate) fn solve(&mut self, source: End) -> Result<Effort, Refusal> {
        let mut effort = self.solve_with(source)?;
        let mut waters: Vec<(f64, f64)> = vec![self.salinity_of(source); self.station.lines.len()];
        // Each round carries water one line further; flows seldom turn round for a few per cent of density.
        for _ in 0..4 {
            let next = self.followed(source);
            let same = next
                .iter()
                .zip(&waters)
                .all(|(a, b)| (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6);
            if same {
                break;
            }
            for (line, water) in next.iter().enumerate() {
                self.set_line_water(line, *water)?;
            }
            waters = next;
            effort = added(effort, self.solve_with_holes()?);
        }
        Ok(effort)
    }

    /// Salinity and temperature in each line by the present flows: what enters a junction leaves it mixed. Lines that stand
    /// still hold the water of `source`.
    pub(crate) fn followed(&self, source: End) -> Vec<(f64, f64)> {
        let lines = &self.station.plumbing.lines;
        let own = self.salinity_of(source);
        let mut waters: Vec<Option<(f64, f64)>> = vec![None; lines.len()];
        for _ in 0..lines.len() {
            for line in 0..lines.len() {
                let flow = self.line_flow_m3_s(line);
                if flow.abs() < STILL_M3_S || waters[line].is_some() {
                    continue;
                }
                let upstream = if flow > 0.0 {
                    lines[line].from
                } else {
                    lines[line].to
                };
                waters[line] = match upstream {
                    End::Vessel(_) | End::Tank(_) => Some(self.salinity_of(upstream)),
                    End::Draw(_) => Some(own),
                    End::Tee(_) | End::Pump(_) => self.mixed(upstream, &waters),
                };
            }
        }
        waters.into_iter().map(|water| water.unwrap_or(own)).collect()
    }

    /// What a junction is brought; `None` while a line that brings water isn't known.
    fn mixed(&self, junction: End, waters: &[Option<(f64, f64)>]) -> Option<(f64, f64)> {
        let (mut sum, mut salinity, mut temperature) = (0.0, 0.0, 0.0);
        for line in self.station.plumbing.lines_at(junction) {
            let flow = self.line_flow_m3_s(line);
            let brings = if self.station.plumbing.lines[line].to == junction {
                flow
            } else {
                -flow
            };
            if brings > STILL_M3_S {
                let water = waters[line]?;
                sum += brings;
                salinity += brings * water.0;
                temperature += brings * water.1;
            }
        }
        (sum > 0.0).then(|| (salinity / sum, temperature / sum))
    }
}
