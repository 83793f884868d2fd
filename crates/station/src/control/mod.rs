//! How the station decides: blocks and wires as data, and one step.
//!
//! Owns: what is sensed and switched (`signal`), the primitive blocks (`block`), the functions made of them
//! (`functions`), the program of a station, its step. The same program is simulated, proved and run. It sees inputs
//! and readings, never the station's truth.
//! Must not know: clocks (time arrives in events), devices, how water behaves.
//!
//! What is no block: a float valve, a backup float and the cut-out inside a heater are mechanical devices that work by
//! themselves.

mod block;
mod functions;
mod learned;
mod outputs;
mod practised;
mod program;
mod rows;
mod scan;
mod set;
mod settings;
mod signal;
mod state;
mod step;
pub mod take_away;
mod ways;
mod wiring;

pub use block::{Block, Kind, Read};
pub use learned::Learned;
pub use outputs::Outputs;
pub use practised::Practised;
pub use program::Program;
pub use rows::Row;
pub use set::MOST_BLOCKS;
pub use settings::{HeaterSettings, PumpSettings, PurifierSettings, Recirculation, Settings, VesselSettings};
pub use signal::{Alarm, Event, Input, Mark, Output, Task};
pub use state::State;
pub use ways::Source;
pub use wiring::{Later, MOST_INPUTS, TooLarge, Wiring};

use crate::station::Station;

impl Program {
    /// The program of a station.
    ///
    /// # Errors
    /// A station that takes more blocks or inputs than a program can have.
    pub fn of(station: &Station) -> Result<Self, TooLarge> {
        Self::wired(&Settings::of(station))
    }

    /// The program of these settings.
    ///
    /// # Errors
    /// Settings that take more blocks or inputs than a program can have.
    pub fn wired(settings: &Settings) -> Result<Self, TooLarge> {
        let mut wiring = Wiring::default();
        functions::wire(&mut wiring, settings);
        wiring.finish()
    }
}
