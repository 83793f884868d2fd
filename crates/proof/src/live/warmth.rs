//! The warmth of a vessel: a stirred body that loses heat to the room and is heated while its relay is closed.
//!
//! Loss goes with what stands in the vessel, as in the plant's years, so that a vessel left to itself comes to the room's
//! temperature in the same time full or half full.

use station::Station;

use crate::alone::{CHILLED_K, COOKED_K};
use crate::alone::{Ground, Hands, HarmKind, State};
use crate::analysis::warming;
use crate::method::Refusal;

/// A vessel's numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Body {
    /// Loss of a cubic metre, W/(m³·K), and its heat, J/(m³·K).
    loss_w_m3_k: f64,
    capacity_j_m3_k: f64,
    /// Kept at, °C, by a heater of so many watts; nothing without one.
    heater: Option<(f64, f64)>,
}

/// Water from which on a heater heats something, m³: under a litre its temperature isn't followed.
const LITTLE_M3: f64 = 1e-3;
/// Water is taken to stay water, °C.
const COLDEST_C: f64 = 0.0;
const HOTTEST_C: f64 = crate::alone::HOTTEST_C;

/// The bodies of a station's vessels.
pub(super) fn bodies(station: &Station, ground: &Ground<'_>, room_c: f64) -> Result<Vec<Body>, Refusal> {
    let air_c = room_c.clamp(1.0, 38.0);
    ground
        .plant
        .vessels
        .iter()
        .enumerate()
        .map(|(at, own)| {
            let full_m3 = own.full_m3.max(LITTLE_M3);
            let (loss_w_k, capacity_j_m3_k) = match own.heat {
                Some(heat) => (heat.loss_w_k, heat.capacity_j_m3_k),
                None => {
                    let full = warming(station, at, full_m3, air_c, air_c, 0.0)?;
                    (full.loss_w_k, full.capacity_j_k / full_m3)
                }
            };
            Ok(Body {
                loss_w_m3_k: loss_w_k / full_m3,
                capacity_j_m3_k,
                heater: own.heat.map(|heat| (heat.set_c, heat.heater_w)),
            })
        })
        .collect()
}

impl Body {
    /// Its temperature after a time, °C, heated with so much power.
    fn after_c(&self, volume_m3: f64, from_c: f64, room_c: f64, power_w: f64, seconds: f64) -> f64 {
        let volume_m3 = volume_m3.max(LITTLE_M3);
        let rest_c = room_c + power_w / (self.loss_w_m3_k * volume_m3).max(1e-9);
        let share = libm::exp(-seconds * self.loss_w_m3_k / self.capacity_j_m3_k);
        // What would boil is as hot as the laws of water go here.
        (rest_c + (from_c - rest_c) * share).clamp(COLDEST_C, HOTTEST_C)
    }
}

/// The warmth of all vessels over a step, and the harm of a heater.
pub(super) fn warm(hands: &Hands<'_, '_>, state: &mut State, bodies: &[Body], room_c: f64, seconds: f64) {
    for (vessel, body) in bodies.iter().enumerate() {
        let volume_m3 = state.volume_m3(hands.ground, vessel);
        let from_c = state.temperature_c[vessel];
        let mut power_w = 0.0;
        let mut on = false;
        let own = &hands.ground.plant.vessels[vessel];
        let covered = own.heat.is_some_and(|heat| volume_m3 >= heat.heater_m3);
        if let Some((_, heater_w)) = body.heater {
            on = hands.heats(state, vessel);
            if hands.heats_dry(state, vessel) {
                state.heater_dry_s[vessel] += seconds;
            }
            if on && covered {
                power_w = heater_w;
            }
        }
        let after_c = body.after_c(volume_m3, from_c, room_c, power_w, seconds);
        state.temperature_c[vessel] = after_c;
        let Some((set_c, _)) = body.heater else { continue };
        let keeps_warm = own.heat.is_some_and(|heat| heat.keeps_warm);
        if on && after_c >= set_c + COOKED_K {
            state.harm(HarmKind::Cooked(vessel), state.t_s + seconds, after_c);
        } else if keeps_warm && covered && after_c <= set_c - CHILLED_K && from_c > after_c {
            state.harm(HarmKind::Chilled(vessel), state.t_s + seconds, after_c);
        }
    }
}
