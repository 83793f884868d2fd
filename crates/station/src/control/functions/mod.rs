//! The functions that a station is controlled by, each made of primitive blocks and each with its safe state.

mod attended;
mod common;
mod feed;
mod heater;
mod leak;
mod level_fill;
mod pump;
mod recirculation;
mod timer_fill;

use super::settings::Settings;
use super::signal::Input;
use super::wiring::Wiring;
use common::Common;

/// Wires a whole station, in the order of evaluation.
pub(super) fn wire(wiring: &mut Wiring, settings: &Settings) {
    let power = wiring.input(Input::Power, "there is power");
    let common = Common::wire(wiring, settings, power);
    if let Some(purifier) = &settings.purifier {
        feed::wire(wiring, settings, purifier, &common);
    }
    for at in 0..settings.pumps.len() {
        pump::wire(wiring, settings, at, &common);
    }
    for (at, vessel) in settings.vessels.iter().enumerate() {
        heater::wire(wiring, at, vessel);
    }
}
