//! What somebody may do at the station, and the record of it.

use serde::{Deserialize, Serialize};

/// One act. Parts are called by their names in the station file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "act", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Act {
    /// A hand valve is put open or shut. Of a three-way valve, opening one way shuts the other.
    Valve {
        /// Its name.
        valve: String,
        /// Whether it is open from now on.
        open: bool,
    },
    /// A pump's switch is put on or off; control may still stop it.
    Pump {
        /// Its name.
        pump: String,
        /// Whether it is asked for from now on.
        on: bool,
    },
    /// The valves and the pump are put as the card of a task says, all others shut. With a draw point an empty container is
    /// put under it. It ends by itself, when what the card says has been moved.
    Begin {
        /// The task's name.
        task: String,
    },
    /// The task in hand is ended: pump off, valves as between tasks.
    End,
    /// The switch of an attended run of the purifier.
    Fill {
        /// Whether it is on from now on.
        on: bool,
    },
    /// The switch that asks for warmth in a vessel.
    Warm {
        /// The vessel's name.
        vessel: String,
        /// Whether it is on from now on.
        on: bool,
    },
    /// Alarms are reset.
    Reset,
    /// An empty container is put under a draw point, and what was caught is carried away.
    Bucket {
        /// The draw point's name.
        draw: String,
    },
    /// Dry sea salt is poured into a vessel: what of it is sea salt, without the water in its crystals.
    Salt {
        /// The vessel's name.
        vessel: String,
        /// How much, kg.
        mass_kg: f64,
    },
    /// Water is taken out of a tank and carried away, as before a change.
    TakeOut {
        /// The tank's name.
        tank: String,
        /// How much, m³.
        volume_m3: f64,
    },
    /// A fault comes.
    Break {
        /// In the words of [`super::Live::faults`].
        fault: String,
    },
    /// A fault is mended.
    Mend {
        /// In the same words.
        fault: String,
    },
    /// Water on the floor and in the tray is wiped up.
    Wipe,
}

/// An act and when it was done.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recorded {
    /// Simulated time, s.
    pub at_s: f64,
    /// What was done.
    #[serde(flatten)]
    pub act: Act,
}
