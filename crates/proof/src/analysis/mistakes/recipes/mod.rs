//! Parts and changes that may clear a cause: a few for each kind of harm. Whether one does is tried.
//!
//! Owns: which are tried for which kind. The changes themselves stand in the files beside: at valves, at lines, at switches.

mod lines;
mod switches;
mod valves;

use station::plumbing::End;
use station::{Edit, Station};

use super::super::plumbing::{Lineups, Pipework};
use super::cause::Group;
use super::kind::Kind;
use super::outcome::Exchange;
use super::part::{Part, Recipe};
use super::survey::{Ground, Survey};
use crate::analysis::speak::set_length;
use crate::method::Refusal;

/// What may clear a cause.
pub(super) fn recipes(
    ground: &Ground<'_>,
    lineups: &Lineups,
    surveys: &mut [Survey<'_>],
    group: &Group,
) -> Result<Vec<Recipe>, Refusal> {
    let (station, worst) = (ground.station, *group.worst());
    // Where waters mix, the least that does it says most of what is wrong.
    let position = if group.least == 0 {
        worst.position
    } else {
        group.least
    };
    let exchanges = surveys[worst.situation].exchanges(position)?;
    let own = Own {
        station,
        pipework: ground.pipework,
        lineups,
        exchanges,
    };
    let mut all = Vec::new();
    match (group.kind, group.victim) {
        (Kind::SaltIntoFresh | Kind::FreshIntoSalt, victim) => {
            let open = ground.switches.open_valves(group.least);
            for valve in &open {
                own.three_way(*valve, &mut all);
            }
            own.checks(victim, &open, &mut all);
            for valve in &open {
                own.elsewhere(*valve, &mut all);
            }
            own.breaks(victim, &mut all);
        }
        (Kind::WrongWaterDrawn, _) => {
            for valve in ground.switches.open_valves(group.least) {
                own.three_way(valve, &mut all);
            }
        }
        (Kind::ToFloor, End::Draw(draw)) => own.self_closing(draw, &mut all),
        (Kind::PumpDry | Kind::PumpAgainstClosed, End::Pump(pump)) => {
            own.pump_switches(pump, group.kind, &mut all);
        }
        (Kind::OverRim | Kind::SiphonIntoTank | Kind::TankDrawnBack, victim) => {
            own.breaks(victim, &mut all);
            own.air_gap(victim, &mut all);
            own.checks_at(victim, &mut all);
            if group.kind == Kind::OverRim {
                own.high_cutout(victim, &mut all);
            }
        }
        (Kind::BackflowToFeed, End::Vessel(vessel)) => {
            let fill = format!("vessels.{}.fill_end_level", station.vessels[vessel].name);
            let rim_m = station.vessels[vessel].height_m();
            all.push(Recipe::of(
                Part::Moved,
                vec![set_length(station, fill, rim_m, false)],
            ));
            all.push(Recipe::of(
                Part::Check,
                vec![yes("purifier.check_valve".to_owned())],
            ));
        }
        (Kind::HeaterUncovered, End::Vessel(vessel)) => {
            let path = format!("vessels.{}.heater_cutout", station.vessels[vessel].name);
            all.push(Recipe::of(Part::HeaterCutout, vec![yes(path)]));
        }
        (
            Kind::ToFloor
            | Kind::PumpDry
            | Kind::PumpAgainstClosed
            | Kind::BackflowToFeed
            | Kind::HeaterUncovered,
            _,
        ) => {}
    }
    Ok(all)
}

fn yes(path: String) -> Edit {
    Edit {
        path,
        text: "true".to_owned(),
    }
}

/// What the recipes are made from.
struct Own<'a> {
    station: &'a Station,
    pipework: &'a Pipework,
    lineups: &'a Lineups,
    exchanges: Vec<Exchange>,
}

impl Own<'_> {
    /// Lines by which water comes to an end.
    pub(super) fn arriving(&self, end: End) -> impl Iterator<Item = usize> + '_ {
        self.exchanges
            .iter()
            .filter(move |exchange| exchange.end == end && exchange.flow_m3_s > 0.0)
            .map(|exchange| exchange.line)
    }

    pub(super) fn surface_m(&self, end: End) -> f64 {
        match end {
            End::Tank(tank) => self.station.tanks[tank]
                .fields
                .water_height
                .as_ref()
                .map_or(0.0, |height| height.value.m()),
            // A hole must stay above all that the vessel can hold.
            End::Vessel(vessel) => {
                let own = &self.station.vessels[vessel];
                own.fields.floor_height.value.m() + own.height_m() - own.fields.freeboard.value.m()
            }
            End::Draw(_) | End::Pump(_) | End::Tee(_) => 0.0,
        }
    }

    /// A name that no valve has.
    pub(super) fn unused(&self, wanted: &str) -> String {
        let taken = |name: &str| self.station.valves.iter().any(|valve| valve.name == name);
        let mut name = wanted.to_owned();
        while taken(&name) {
            name.push_str("-2");
        }
        name
    }
}
