//! Changes at switches: what stops a pump in time, or doesn't let it start.

use station::Edit;
use station::plumbing::End;

use super::super::super::plumbing::STILL_M3_S;
use super::super::kind::Kind;
use super::super::part::{Part, Recipe};
use super::{Own, yes};
use crate::analysis::speak::set_length;

/// How far over its outlet a pump's cut-out is set, m (house rule).
const CUTOUT_OVER_OUTLET_M: f64 = 0.04;

impl Own<'_> {
    pub(super) fn pump_switches(&self, pump: usize, kind: Kind, all: &mut Vec<Recipe>) {
        let name = &self.station.pumps[pump].name;
        let path = format!("pumps.{name}.flow_switch");
        all.push(Recipe::of(Part::FlowSwitch, vec![yes(path)]));
        if kind != Kind::PumpDry {
            self.interlock(pump, all);
            return;
        }
        for exchange in &self.exchanges {
            let End::Vessel(vessel) = exchange.end else {
                continue;
            };
            let own = &self.station.vessels[vessel];
            if exchange.flow_m3_s < -STILL_M3_S && own.fields.low_cutout_level.is_none() {
                // Where no task tells from which level on its pump draws air.
                let over_outlet_m = own.fields.outlet_level.value.m() + CUTOUT_OVER_OUTLET_M;
                let least_m = self.lineups.draws_air_below_m(&own.name);
                let level_m = least_m.map_or(over_outlet_m, |least_m| least_m.max(over_outlet_m));
                let path = format!("vessels.{}.low_cutout_level", own.name);
                let edit = set_length(self.station, path, level_m, true);
                all.push(Recipe::of(Part::Cutout, vec![edit]));
            }
        }
    }

    /// The pump runs only where one of the valves that its tasks end with is open.
    pub(super) fn interlock(&self, pump: usize, all: &mut Vec<Recipe>) {
        let own = &self.station.pumps[pump];
        if own.fields.runs_only_with.is_some() {
            return;
        }
        let mut names: Vec<&str> = Vec::new();
        for lineup in self
            .lineups
            .lineups
            .iter()
            .filter(|lineup| lineup.pumps_on.contains(&own.name))
        {
            let last = lineup.lines.iter().rev().find_map(|line| {
                let line = self.station.lines.iter().position(|own| own.name == *line)?;
                let mut valves = self.station.plumbing.valves_of(line);
                valves.find(|valve| self.station.valves[*valve].fields.kind.value.is_set())
            });
            if let Some(valve) = last.map(|valve| self.station.valves[valve].name.as_str())
                && !names.contains(&valve)
            {
                names.push(valve);
            }
        }
        if !names.is_empty() {
            let path = format!("pumps.{}.runs_only_with", own.name);
            all.push(Recipe::of(
                Part::Interlock,
                vec![Edit::quoted(path, &names.join(", "))],
            ));
        }
    }

    /// A switch that stops the pumps before it runs over.
    pub(super) fn high_cutout(&self, victim: End, all: &mut Vec<Recipe>) {
        let path = match victim {
            End::Vessel(vessel) => format!("vessels.{}.high_cutout", self.station.vessels[vessel].name),
            End::Tank(tank) => format!("tanks.{}.high_cutout", self.station.tanks[tank].name),
            End::Draw(_) | End::Pump(_) | End::Tee(_) => return,
        };
        all.push(Recipe::of(Part::Cutout, vec![yes(path)]));
    }
}
