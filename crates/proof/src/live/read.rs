//! The picture of a moment, read from the walk.

use station::control::{Input, Output, Task};
use station::plumbing::End;

use super::books::container_m3;
use super::ledger::{NOTHING_M3, salinity, total};
use super::picture::{
    AlarmNow, Balances, DrawNow, Entry, FloorNow, HarmNow, LineNow, PumpNow, PurifierNow, Snapshot, TankNow,
    TaskNow, ValveNow, VesselNow,
};
use super::walk::{Place, Shown, Walk, hands};
use super::words::Names;
use crate::alone::{Fares, Harm};
use crate::method::Refusal;
use crate::plant::Amount;

/// Flow that isn't shown, m³/s: a drop in a minute.
const SHOWN_M3_S: f64 = 1e-9;

struct Reader<'r, 'g> {
    place: &'r Place<'g>,
    names: &'r Names<'g>,
    shown: Shown,
}

/// Reads the picture of the time that is shown.
pub(super) fn read(place: &Place<'_>, names: &Names<'_>, walk: &Walk) -> Result<Snapshot, Refusal> {
    let reader = Reader {
        place,
        names,
        shown: walk.shown(place),
    };
    reader.snapshot()
}

impl Reader<'_, '_> {
    fn snapshot(&self) -> Result<Snapshot, Refusal> {
        let walk = &self.shown.walk;
        let state = &walk.state;
        let station = self.place.ground.station;
        Ok(Snapshot {
            t_s: walk.shown_s,
            vessels: (0..station.vessels.len())
                .map(|vessel| self.vessel(vessel))
                .collect::<Result<_, _>>()?,
            lines: (0..station.lines.len()).map(|line| self.line(line)).collect(),
            valves: (0..station.valves.len()).map(|valve| self.valve(valve)).collect(),
            pumps: (0..station.pumps.len()).map(|pump| self.pump(pump)).collect(),
            purifier: self.purifier(),
            draws: (0..station.draw_points.len())
                .map(|draw| self.draw(draw))
                .collect(),
            tanks: (0..station.tanks.len())
                .map(|tank| {
                    let (own, gained_m3) = (&station.tanks[tank], state.gained_m3[tank]);
                    let at_first_m3 = own.fields.volume.value.m3();
                    TankNow {
                        name: own.name.clone(),
                        gained_m3,
                        evaporated_m3: walk.ledger.dried_m3[tank],
                        volume_m3: (at_first_m3 + gained_m3).max(0.0),
                        full_m3: at_first_m3 + own.headroom_m3(),
                        practical_salinity: walk.tank_salinity(self.place.ground, tank),
                    }
                })
                .collect(),
            floor: state
                .floor
                .iter()
                .filter(|(_, volume_m3)| *volume_m3 > NOTHING_M3)
                .map(|(spot, volume_m3)| FloorNow {
                    place: self.names.words.spot(*spot),
                    volume_m3: *volume_m3,
                })
                .collect(),
            tray_m3: state.tray_m3,
            drain_m3: state.drain_m3,
            task: walk.task.map(|task| self.task(task)),
            ended_s: state.outcome.ended_s,
            powered: state.powered,
            alarms: self.alarms(),
            harms: self.harms(),
            faults: walk
                .faults
                .iter()
                .map(|fault| self.names.words.fault(*fault))
                .collect(),
            balance: self.balance(),
        })
    }

    fn vessel(&self, vessel: usize) -> Result<VesselNow, Refusal> {
        let ground = self.place.ground;
        let walk = &self.shown.walk;
        let (state, now) = (&walk.state, &self.shown.now);
        let own = &ground.station.vessels[vessel];
        let volume_m3 = state.volume_m3(ground, vessel);
        let hands = hands(ground, &walk.lens, &walk.start);
        let gains = now.comes.get(vessel).zip(now.goes.get(vessel));
        let fills = now.made.fills >> vessel & 1 == 1;
        Ok(VesselNow {
            name: own.name.clone(),
            level_m: ground.level_m(vessel, volume_m3.max(0.0))?,
            height_m: own.height_m(),
            volume_m3,
            full_m3: ground.plant.vessels[vessel].full_m3,
            practical_salinity: salinity(&ground.plant.brine, state.contents[vessel]),
            grains_kg: walk.grains_kg[vessel],
            temperature_c: state.temperature_c[vessel],
            gains_m3_per_s: shown(gains.map_or(0.0, |(comes, goes)| comes - goes)),
            fills,
            permeate_m3_per_s: if fills { now.made.share_m3_s } else { 0.0 },
            heats: ground.plant.vessels[vessel]
                .heat
                .map(|_| hands.heats(state, vessel)),
        })
    }

    fn line(&self, line: usize) -> LineNow {
        let flow = self.shown.now.lines.lines.get(line).copied().unwrap_or_default();
        let more = if flow.begins_m3_s.abs() > flow.ends_m3_s.abs() {
            flow.begins_m3_s
        } else {
            flow.ends_m3_s
        };
        let flow_m3_per_s = shown(more);
        let water = self.shown.waters.lines.get(line).copied().unwrap_or_default();
        let brine = &self.place.ground.plant.brine;
        LineNow {
            name: self.place.ground.station.lines[line].name.clone(),
            flow_m3_per_s,
            practical_salinity: if flow_m3_per_s == 0.0 {
                0.0
            } else {
                brine.practical_salinity(water.amount(brine, 1.0))
            },
        }
    }

    fn valve(&self, valve: usize) -> ValveNow {
        let own = &self.place.ground.station.valves[valve];
        let by_hand = own.fields.kind.value.is_set();
        ValveNow {
            name: own.name.clone(),
            by_hand,
            open: by_hand && self.shown.walk.state.valves >> valve & 1 == 1,
        }
    }

    fn pump(&self, pump: usize) -> PumpNow {
        let ground = self.place.ground;
        let state = &self.shown.walk.state;
        let ask = ground.program().input(Input::Ask(Task::Pump(pump)));
        let flow_m3_per_s = ground
            .station
            .plumbing
            .lines
            .iter()
            .zip(&self.shown.now.lines.lines)
            .filter(|(joined, _)| joined.to == End::Pump(pump))
            .map(|(_, flow)| flow.ends_m3_s)
            .sum();
        PumpNow {
            name: ground.station.pumps[pump].name.clone(),
            asked: ask.is_some_and(|ask| state.truth[ask]),
            runs: state.runs >> pump & 1 == 1,
            does: match self.shown.now.lines.pumps.get(pump) {
                Some(Fares::Moves) => "moves",
                Some(Fares::Dry) => "dry",
                Some(Fares::Closed) => "closed",
                Some(Fares::Stands) | None => "stands",
            },
            flow_m3_per_s: shown(flow_m3_per_s),
        }
    }

    fn purifier(&self) -> Option<PurifierNow> {
        let ground = self.place.ground;
        let purifier = ground.plant.purifier.as_ref()?;
        let state = &self.shown.walk.state;
        let made = &self.shown.now.made;
        let ask = ground.plant.wiring.ask_fill.filter(|_| purifier.attended);
        Some(PurifierNow {
            feed_open: state.open,
            runs: made.permeate_m3_s > 0.0,
            feed_m3_per_s: made.permeate_m3_s + made.reject_m3_s,
            permeate_m3_per_s: made.permeate_m3_s,
            reject_m3_per_s: made.reject_m3_s,
            made_m3: state.made_m3,
            asked: ask.map(|ask| state.truth[ask]),
        })
    }

    fn draw(&self, draw: usize) -> DrawNow {
        let ground = self.place.ground;
        let brine = &ground.plant.brine;
        let caught = self.shown.walk.ledger.caught[draw];
        let ends = self.shown.now.lines.ends.iter();
        let flow: f64 = ends
            .filter(|own| own.end == End::Draw(draw))
            .map(|own| own.flow_m3_s)
            .sum();
        DrawNow {
            name: ground.station.draw_points[draw].name.clone(),
            flow_m3_per_s: shown(flow),
            caught_m3: brine.volume_m3(caught),
            container_m3: container_m3(ground, draw),
            practical_salinity: salinity(brine, caught),
        }
    }

    fn task(&self, task: usize) -> TaskNow {
        let finite = |own: f64| own.is_finite().then_some(own);
        let in_hand = self.shown.walk.state.in_hand;
        TaskNow {
            name: self.place.ground.station.lineups[task].name.clone(),
            left_m3: in_hand.and_then(|(left_m3, _)| finite(left_m3)),
            until_s: in_hand.and_then(|(_, until_s)| finite(until_s)),
        }
    }

    fn alarms(&self) -> Vec<AlarmNow> {
        let program = self.place.ground.program();
        let control = &self.shown.walk.state.control;
        program
            .outputs()
            .enumerate()
            .filter(|(at, output)| matches!(output, Output::Alarm(_)) && program.is_on(control, *at))
            .filter_map(|(at, _)| self.names.words.alarm(at))
            .map(|says| AlarmNow { says })
            .collect()
    }

    fn harms(&self) -> Vec<HarmNow> {
        let state = &self.shown.walk.state;
        let mut harms: Vec<Harm> = state.outcome.harms.clone();
        harms.sort_by(|a, b| a.at_s.total_cmp(&b.at_s).then(a.kind.cmp(&b.kind)));
        harms
            .iter()
            .map(|harm| HarmNow {
                at_s: harm.at_s,
                harm: self.names.harm(state, harm),
            })
            .collect()
    }

    fn balance(&self) -> Balances {
        let walk = &self.shown.walk;
        let (contents, grains_kg) = (&walk.state.contents, &walk.grains_kg);
        let (came, there) = (walk.ledger.came(), walk.ledger.there(contents, grains_kg));
        let residuals = walk.ledger.residuals(contents, grains_kg);
        let (sum_came, sum_there) = (total(&came), total(&there));
        let entries = |side: Vec<(&'static str, Amount)>| {
            let entry = |(place, amount): (&'static str, Amount)| Entry {
                place,
                water_m3: amount.water_m3,
                salt_kg: amount.salt_kg,
            };
            side.into_iter().map(entry).collect()
        };
        Balances {
            came: entries(came),
            there: entries(there),
            water_came_m3: sum_came.water_m3,
            water_there_m3: sum_there.water_m3,
            water_residual: residuals.water,
            salt_came_kg: sum_came.salt_kg,
            salt_there_kg: sum_there.salt_kg,
            salt_residual: residuals.salt,
        }
    }
}

fn shown(flow_m3_s: f64) -> f64 {
    if flow_m3_s.abs() < SHOWN_M3_S {
        0.0
    } else {
        flow_m3_s
    }
}
