//! A thermostat with a low-water cut-off.
//!
//! The heater heats while the vessel is colder than it is kept, the water covers it, and somebody asks for heat or the
//! vessel is kept warm by itself. Water that no longer covers it stops it at once; it must cover it for the debounce
//! before it heats again. Without a reading it doesn't heat. Safe state: off.
//!
//! Caution: a heater in air can start a fire. Where no cut-off is wired this only compares temperatures.

use super::super::block::{Kind, Read};
use super::super::settings::VesselSettings;
use super::super::signal::{Input, Mark, Output, Task};
use super::super::wiring::Wiring;
use super::common::{DEBOUNCE_S, switch};

pub(super) fn wire(wiring: &mut Wiring, at: usize, vessel: &VesselSettings) {
    let (Some(heater), Ok(thermometer)) = (vessel.heater, u16::try_from(at)) else {
        return;
    };
    let name = &vessel.name;
    let colder = Kind::Colder {
        vessel: thermometer,
        on_below_c: heater.on_below_c,
        off_at_c: heater.off_at_c,
    };
    let mut needs: Vec<Read> = vec![wiring.block(colder, &[], format!("{name} is colder than it is kept"))];
    if heater.low_water_cutoff {
        let wet = switch(wiring, at, vessel, Mark::HeaterLevel);
        needs.push(wiring.on_delay(wet, DEBOUNCE_S, format!("the heater of {name} is covered")));
    }
    if !heater.keeps_warm {
        needs.push(wiring.input(Input::Ask(Task::Warm(at)), format!("a person wants {name} warm")));
    }
    let heats = wiring.all(&needs, format!("the heater of {name} heats"));
    wiring.output(Output::Heater(at), heats);
}
