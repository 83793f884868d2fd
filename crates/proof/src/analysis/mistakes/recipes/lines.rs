//! Changes at lines: holes that let air in, and ends above the water.

use station::plumbing::End;

use super::super::super::plumbing::highest_m;
use super::super::part::{Part, Recipe};
use super::Own;
use crate::analysis::speak::set_length;

/// How far under the top of a line a hole is drilled, m (house rule).
const UNDER_TOP_M: f64 = 0.02;
/// How far over the water a line ends in air, m: twice the bore of a small line, never under 25 mm (common practice, no
/// source).
const AIR_GAP_M: f64 = 0.05;

impl Own<'_> {
    /// A hole that breaks the siphon in each line by which water comes, or leaves a tank, over a high point.
    pub(super) fn breaks(&self, victim: End, all: &mut Vec<Recipe>) {
        for exchange in self.exchanges.iter().filter(|exchange| exchange.end == victim) {
            let (line, fields) = (exchange.line, &self.station.lines[exchange.line].fields);
            let top_m = highest_m(self.pipework, line);
            let surface_m = self.surface_m(victim);
            let opens = self.station.plumbing.lines[line].to == victim;
            if !opens || fields.siphon_break.is_some() || top_m - UNDER_TOP_M <= surface_m {
                continue;
            }
            let path = format!("lines.{}.siphon_break", self.station.lines[line].name);
            let edit = set_length(self.station, path, top_m - UNDER_TOP_M, false);
            all.push(Recipe::of(Part::Hole, vec![edit]));
        }
    }

    /// Ends each line in the air above the water that it ends in.
    pub(super) fn air_gap(&self, victim: End, all: &mut Vec<Recipe>) {
        for exchange in self.exchanges.iter().filter(|exchange| exchange.end == victim) {
            let line = exchange.line;
            if self.station.plumbing.lines[line].to != victim {
                continue;
            }
            let name = &self.station.lines[line].name;
            let edit = match victim {
                End::Vessel(vessel) => set_length(
                    self.station,
                    format!("lines.{name}.to_level"),
                    self.station.vessels[vessel].height_m(),
                    false,
                ),
                _ => set_length(
                    self.station,
                    format!("lines.{name}.tank_height"),
                    self.surface_m(victim) + AIR_GAP_M,
                    true,
                ),
            };
            all.push(Recipe::of(Part::Moved, vec![edit]));
        }
    }
}
