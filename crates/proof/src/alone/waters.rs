//! Which water flows where: from its source through tees and pumps, mixed where waters meet.
//!
//! What is mixed is salt in a cubic metre, since volumes add (`plant::Brine`): so what arrives is what left, to rounding.

use station::Station;
use station::plumbing::{End, JoinedLine};

use super::fault::Joint;
use super::flow::Now;
use super::ground::Ground;
use super::network::{Flowing, InLine};
use super::state::State;
use crate::plant::{Amount, Brine};

/// Flow that is rounding, m³/s.
const STILL_M3_S: f64 = 1e-15;
/// Rounds after which water that only goes round among pipes is taken as it is.
const MOST_ROUNDS: usize = 200;

/// A water.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Water {
    pub(crate) salt_kg_m3: f64,
    pub(crate) temperature_c: f64,
}

impl Water {
    /// So much of it.
    pub(crate) fn amount(self, brine: &Brine, volume_m3: f64) -> Amount {
        let salt_kg = self.salt_kg_m3 * volume_m3;
        Amount {
            water_m3: volume_m3 - brine.salt_m3_kg * salt_kg,
            salt_kg,
        }
    }
}

/// The water of each vessel as it leaves in a step: as it stands, or thinned by what comes in where most of it goes on at
/// once.
pub(crate) fn waters_of(ground: &Ground<'_>, state: &State, now: &Now, seconds: f64) -> Vec<Water> {
    (0..state.contents.len())
        .map(|vessel| {
            let mut volume_m3 = state.volume_m3(ground, vessel);
            if now.goes.get(vessel).copied().unwrap_or_default() * seconds > 0.5 * volume_m3 {
                volume_m3 += now.comes[vessel] * seconds;
            }
            Water {
                salt_kg_m3: if volume_m3 > 0.0 {
                    state.contents[vessel].salt_kg / volume_m3
                } else {
                    0.0
                },
                temperature_c: state.temperature_c[vessel],
            }
        })
        .collect()
}

/// Follows the waters of a moment, from vessels and tanks. What comes in at an open end, where anything does, is as warm as
/// `else_c`.
pub(crate) fn follow(
    ground: &Ground<'_>,
    (vessels, tanks): (&[Water], &[Water]),
    else_c: f64,
    now: &Now,
) -> Waters {
    let sources = Sources {
        station: ground.station,
        vessels,
        tanks,
        else_c,
    };
    sources.follow(&now.lines, &ground.joints)
}

/// The waters of a step with nobody there, from vessels and tanks: one where only one leaves, followed where several do.
pub(super) fn waters_with_nobody_there(ground: &Ground<'_>, vessels: &[Water], now: &Now) -> Waters {
    let mut leave = now
        .lines
        .ends
        .iter()
        .filter(|own| own.flow_m3_s < 0.0)
        .map(|own| match own.end {
            End::Vessel(at) => vessels[at],
            End::Tank(at) => ground.tanks[at],
            End::Draw(_) | End::Pump(_) | End::Tee(_) => Water::default(),
        });
    let first = leave.next().unwrap_or_default();
    if leave.all(|own| own.salt_kg_m3 == first.salt_kg_m3) {
        return Waters {
            ends: vec![first; now.lines.ends.len()],
            joints: vec![first; now.lines.joints.len()],
            lines: Vec::new(),
        };
    }
    follow(ground, (vessels, &ground.tanks), ground.room_c.0, now)
}

/// The water of each source.
struct Sources<'s> {
    station: &'s Station,
    vessels: &'s [Water],
    tanks: &'s [Water],
    else_c: f64,
}

/// The water at every place where some leaves the lines.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Waters {
    /// As the ends of [`Flowing`].
    pub(crate) ends: Vec<Water>,
    /// As its joints.
    pub(crate) joints: Vec<Water>,
    /// By line.
    pub(crate) lines: Vec<Water>,
}

/// A mean of waters, weighted by their flows.
#[derive(Default)]
struct Mix {
    flow: f64,
    salt: f64,
    heat: f64,
}

impl Mix {
    fn add(&mut self, flow: f64, water: Water) {
        self.flow += flow;
        self.salt += flow * water.salt_kg_m3;
        self.heat += flow * water.temperature_c;
    }

    fn water(&self) -> Option<Water> {
        (self.flow > 0.0).then(|| Water {
            salt_kg_m3: self.salt / self.flow,
            temperature_c: self.heat / self.flow,
        })
    }
}

/// Waters of one moment's flows.
struct Mains<'s> {
    sources: &'s Sources<'s>,
    lines: &'s [JoinedLine],
    flows: &'s [InLine],
    tees: Vec<Option<Water>>,
    pumps: Vec<Option<Water>>,
}

impl Sources<'_> {
    /// Follows each water to where it leaves the lines.
    fn follow(&self, flowing: &Flowing, joints: &[Joint]) -> Waters {
        let mut mains = Mains {
            sources: self,
            lines: &self.station.plumbing.lines,
            flows: &flowing.lines,
            tees: vec![None; self.station.tees.len()],
            pumps: vec![None; self.station.pumps.len()],
        };
        mains.settle();
        Waters {
            ends: flowing
                .ends
                .iter()
                .map(|own| {
                    let ends_here = mains.lines[own.line].to == own.end && own.flow_m3_s > 0.0;
                    // Out of its source, or where it arrives from the other end.
                    if own.flow_m3_s < 0.0 {
                        mains.at(own.end)
                    } else if ends_here {
                        mains.at(mains.lines[own.line].from)
                    } else {
                        mains.at(mains.lines[own.line].to)
                    }
                })
                .collect(),
            joints: flowing
                .joints
                .iter()
                .map(|(joint, _)| mains.out_of(joints[*joint]))
                .collect(),
            lines: (0..flowing.lines.len()).map(|line| mains.inside(line)).collect(),
        }
    }
}

impl Mains<'_> {
    /// The water that goes out of an end into a line.
    fn at(&self, end: End) -> Water {
        let air = Water {
            salt_kg_m3: 0.0,
            temperature_c: self.sources.else_c,
        };
        match end {
            End::Vessel(at) => self.sources.vessels[at],
            End::Tank(at) => self.sources.tanks[at],
            End::Tee(at) => self.tees[at].unwrap_or(air),
            End::Pump(at) => self.pumps[at].unwrap_or(air),
            End::Draw(_) => air,
        }
    }

    fn known(&self, end: End) -> Option<Water> {
        match end {
            End::Tee(at) => self.tees[at],
            End::Pump(at) => self.pumps[at],
            End::Vessel(_) | End::Tank(_) | End::Draw(_) => Some(self.at(end)),
        }
    }

    /// Mixes at every tee and pump until nothing changes.
    fn settle(&mut self) {
        for _ in 0..MOST_ROUNDS {
            let mut changed = false;
            for at in 0..self.tees.len() {
                let mixed = self.mixed(End::Tee(at));
                changed |= mixed != self.tees[at];
                self.tees[at] = mixed;
            }
            for at in 0..self.pumps.len() {
                let mixed = self.mixed(End::Pump(at));
                changed |= mixed != self.pumps[at];
                self.pumps[at] = mixed;
            }
            if !changed {
                break;
            }
        }
    }

    /// What a tee or a pump is brought by what is known so far.
    fn mixed(&self, here: End) -> Option<Water> {
        let mut mix = Mix::default();
        for (line, joined) in self.lines.iter().enumerate() {
            let flow = self.flows.get(line).copied().unwrap_or_default();
            if joined.to == here
                && flow.ends_m3_s > STILL_M3_S
                && let Some(water) = self.known(joined.from)
            {
                mix.add(flow.ends_m3_s, water);
            }
            if joined.from == here
                && flow.begins_m3_s < -STILL_M3_S
                && let Some(water) = self.known(joined.to)
            {
                mix.add(-flow.begins_m3_s, water);
            }
        }
        mix.water()
    }

    /// What runs out of a joint that is apart.
    fn out_of(&self, joint: Joint) -> Water {
        match joint {
            // It is in its line: water may come to it from both ends.
            Joint::Outlet { line } => {
                let flow = self.flows.get(line).copied().unwrap_or_default();
                let joined = &self.lines[line];
                let mut mix = Mix::default();
                mix.add(flow.begins_m3_s.max(0.0), self.at(joined.from));
                mix.add((-flow.ends_m3_s).max(0.0), self.at(joined.to));
                mix.water().unwrap_or_else(|| self.at(joined.from))
            }
            Joint::Tee(tee) => self.at(End::Tee(tee)),
            Joint::PumpIn(pump) | Joint::PumpOut(pump) => self.at(End::Pump(pump)),
        }
    }

    /// The water in a line, for a picture of it.
    fn inside(&self, line: usize) -> Water {
        let flow = self.flows[line];
        let joined = &self.lines[line];
        let more = if flow.begins_m3_s.abs() > flow.ends_m3_s.abs() {
            flow.begins_m3_s
        } else {
            flow.ends_m3_s
        };
        self.at(if more >= 0.0 { joined.from } else { joined.to })
    }
}
