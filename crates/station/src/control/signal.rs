//! What control senses, what it switches, and what happens to it: closed lists.

/// A mark in a vessel: the level of a switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// Under it the pumps that draw from the vessel stop.
    LowCutout,
    /// Under it the heater isn't covered.
    HeaterLevel,
    /// Under it the fill starts.
    Start,
    /// At it the fill stops.
    Stop,
    /// At it the mechanical backup closes; a contact there tells that the stop mark failed.
    Backup,
    /// At it the pumps that fill the vessel stop. No file gives its level: the freeboard under the rim (house rule).
    High,
}

/// What a person wants. It is a switch that stays where it is put: off always stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Task {
    /// An attended run of the purifier. Only switching it on starts a run.
    Fill,
    /// This pump, by its index in the station. Only switching it on starts it.
    Pump(usize),
    /// Heat in this vessel, for as long as it is on.
    Warm(usize),
}

/// What is sensed: on or off. Vessels, tanks, pumps and valves are indices into the station's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Input {
    /// There is power.
    Power,
    /// The level in a vessel stands at or above a mark.
    LevelAtOrAbove {
        /// The vessel.
        vessel: usize,
        /// The mark.
        mark: Mark,
    },
    /// The level in a tank stands at or above its high cut-out.
    TankHigh {
        /// The tank.
        tank: usize,
    },
    /// There is water on the floor.
    Leak,
    /// Somebody is at the station.
    SomebodyHere,
    /// A person wants this.
    Ask(Task),
    /// A person presses reset.
    Reset,
    /// Water flows through a pump.
    FlowSeen {
        /// The pump.
        pump: usize,
    },
    /// A valve isn't closed.
    ValveOpen {
        /// The valve.
        valve: usize,
    },
}

/// A fault that a person is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Alarm {
    /// Water on the floor: feed and pumps stay off until reset.
    Leak,
    /// The backup mark was reached: the feed stays shut until reset.
    Overfull,
    /// The purifier ran longer than it may: the feed stays shut until reset.
    RunTooLong,
    /// A pump ran without flow: it stays off until reset.
    DryPump(usize),
    /// A vessel was full and low within a minute: its switches can't both be right. Told only; nothing stops.
    Chatter(usize),
}

/// What control switches. Off is the safe state of each, and what each is in without power.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Output {
    /// The electric feed valve is open, or where there is none what else makes the purifier run. A program without
    /// this output has nothing electric that could shut the feed.
    Feed,
    /// A pump runs.
    Pump(usize),
    /// The heater of a vessel heats.
    Heater(usize),
    /// An alarm is shown.
    Alarm(Alarm),
}

/// What happens to control: one at a time, each with its moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Event {
    /// An input, by its index in the program, is on or off now.
    Changed {
        /// Its index; one that the program doesn't have is ignored.
        input: usize,
        /// Whether it is on.
        on: bool,
    },
    /// A thermometer was read.
    Reading {
        /// The vessel that it is in; one without a thermostat is ignored.
        vessel: usize,
        /// The temperature, °C; not finite where the thermometer fails, which stops the heater.
        temperature_c: f64,
    },
    /// A timer ran out.
    Due,
    /// Power is back, or was away so briefly that nothing told of it: control starts anew.
    PowerBack,
}
