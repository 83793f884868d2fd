//! What can be wrong with one part, and the list of all of it for a station.

use station::Station;
use station::control::{Input, Mark, Output, Program};
use station::plumbing::End;
use station::sections::{Control, ShutOff, Tube};

use crate::plant::{Plant, Vessel};

/// One part that doesn't do what it should.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Fault {
    /// A switch says the same whatever happens: its input of the program, and what it says.
    Switch { input: usize, on: bool },
    /// A level switch has slid down to the floor of its vessel.
    SwitchFallen { input: usize },
    /// A relay of the controller is welded (on) or never closes (off): its output of the program.
    Relay { output: usize, on: bool },
    /// The electric feed valve stays open, or shut.
    FeedValve { open: bool },
    /// A float valve in a vessel.
    Float {
        vessel: usize,
        at: FloatAt,
        how: FloatFault,
    },
    /// The controller has stopped: everything is off.
    ControllerDead,
    /// The controller hangs: everything stays as it is.
    ControllerHung,
    /// Power is away; and comes back after an hour, or not at all.
    PowerOut { comes_back: bool },
    /// What comes from the tap.
    Feed(FeedFault),
    /// The valve that should stop the reject doesn't.
    RejectRunsOn,
    /// The check valve behind the membranes leaks, so that the purifier starts for a cupful every few minutes.
    Cycles,
    /// A membrane is torn: feed water goes through.
    MembraneTorn,
    /// A filter housing weeps after its cartridge was changed.
    HousingWeeps,
    /// A push-in fitting between feed valve and membranes weeps.
    FittingWeeps,
    /// The feed tube is off, before its electric valve or behind it.
    FeedTubeOff { before_valve: bool },
    /// The permeate tube is off.
    PermeateTubeOff,
    /// The drain is blocked, or the reject tube has slipped out of it.
    DrainBlocked,
    /// A joint of the lines has come apart.
    Apart(Joint),
    /// The end of a line has slipped out of what it should run into.
    Slipped { line: usize },
    /// A pump stands still.
    PumpStands { pump: usize },
    /// A pump was left switched on.
    PumpLeftOn { pump: usize },
    /// A hand valve was left open, or shut, other than it should be.
    Valve { valve: usize, open: bool },
    /// A heater heats without end, or not at all.
    Heater { vessel: usize, on: bool },
    /// The person who had something in hand was called away: nobody ends it.
    NobodyEndsIt,
}

/// Which float of a vessel: those on one way in, by the height at which they close.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum FloatAt {
    /// The one that closes each fill, or the only one.
    First,
    /// The one over it, which holds the water should the first not close.
    Second,
}

impl FloatAt {
    pub(crate) const ALL: [Self; 2] = [Self::First, Self::Second];

    /// Where that float closes and opens, m³; nothing where there is none.
    pub(crate) fn of(self, vessel: &Vessel) -> Option<(f64, f64)> {
        match self {
            Self::First => vessel.float_m3,
            Self::Second => vessel.second_float_m3,
        }
    }
}

/// What a float valve does instead of its work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum FloatFault {
    /// It stays open.
    Open,
    /// It stays shut.
    Shut,
    /// It shuts, but some water goes on coming.
    Weeps,
}

/// What comes from the tap instead of the usual water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum FeedFault {
    /// Nothing.
    Lost,
    /// Half as much pressure again.
    High,
    /// Nothing for a day; then the thaw shows that the tube has split.
    Frozen,
}

/// Where lines are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Joint {
    /// Where a line leaves a vessel or tank, behind its valves.
    Outlet { line: usize },
    /// A tee.
    Tee(usize),
    /// The inlet of a pump.
    PumpIn(usize),
    /// The outlet of a pump.
    PumpOut(usize),
}

impl Fault {
    /// Whether two faults are of one part and can't both be so.
    pub(crate) fn excludes(self, other: Self) -> bool {
        use Fault::{
            ControllerDead, ControllerHung, Feed, FeedTubeOff, FeedValve, Float, Heater, PowerOut,
            PumpLeftOn, PumpStands, Relay, Switch, SwitchFallen, Valve,
        };
        if self == other {
            return true;
        }
        match (self, other) {
            (
                Switch { input: a, .. } | SwitchFallen { input: a },
                Switch { input: b, .. } | SwitchFallen { input: b },
            ) => a == b,
            (Relay { output: a, .. }, Relay { output: b, .. }) => a == b,
            (FeedValve { .. }, FeedValve { .. })
            | (Feed(_), Feed(_))
            | (PowerOut { .. }, PowerOut { .. })
            | (ControllerDead | ControllerHung, ControllerDead | ControllerHung)
            | (FeedTubeOff { .. }, FeedTubeOff { .. }) => true,
            (
                Float {
                    vessel: a, at: one, ..
                },
                Float {
                    vessel: b, at: other, ..
                },
            ) => (a, one) == (b, other),
            (Heater { vessel: a, .. }, Heater { vessel: b, .. }) => a == b,
            (PumpStands { pump: a }, PumpLeftOn { pump: b })
            | (PumpLeftOn { pump: a }, PumpStands { pump: b }) => a == b,
            (Valve { valve: a, .. }, Valve { valve: b, .. }) => a == b,
            _ => false,
        }
    }
}

/// A room that gets no colder than this doesn't freeze its tubes, °C (house rule: a corner is colder than the room).
const FROST_C: f64 = 2.0;

/// All faults that the parts of a station can have, part by part.
pub(crate) fn faults(station: &Station, plant: &Plant, program: &Program) -> Vec<Fault> {
    let mut all = Vec::new();
    switches(program, &mut all);
    outputs(station, program, &mut all);
    purifier(station, plant, &mut all);
    for (vessel, own) in station.vessels.iter().enumerate() {
        if own.fields.heater.is_some() {
            all.extend([true, false].map(|on| Fault::Heater { vessel, on }));
        }
    }
    lines(station, &mut all);
    all.push(Fault::NobodyEndsIt);
    all
}

fn switches(program: &Program, all: &mut Vec<Fault>) {
    for (input, sensed) in program.inputs().iter().enumerate() {
        match sensed {
            Input::LevelAtOrAbove { mark, .. } => {
                all.extend([true, false].map(|on| Fault::Switch { input, on }));
                // A cut-out that slid down says "wet" to the last; a backup's contact is part of its float.
                if *mark != Mark::Backup {
                    all.push(Fault::SwitchFallen { input });
                }
            }
            Input::TankHigh { .. } | Input::FlowSeen { .. } => {
                all.extend([true, false].map(|on| Fault::Switch { input, on }));
            }
            // A detector that tells water where there is none stops everything; one that is blind tells none.
            Input::Leak => all.extend([true, false].map(|on| Fault::Switch { input, on })),
            Input::Power | Input::SomebodyHere | Input::Ask(_) | Input::Reset | Input::ValveOpen { .. } => {}
        }
    }
}

fn outputs(station: &Station, program: &Program, all: &mut Vec<Fault>) {
    let electric = program.outputs().len() > 0;
    for (output, switched) in program.outputs().enumerate() {
        match switched {
            Output::Feed | Output::Pump(_) => all.extend([true, false].map(|on| Fault::Relay { output, on })),
            // A heater's relay is told with the heater.
            Output::Heater(_) | Output::Alarm(_) => {}
        }
    }
    for pump in 0..station.pumps.len() {
        all.extend([Fault::PumpStands { pump }, Fault::PumpLeftOn { pump }]);
    }
    if electric {
        all.extend([Fault::ControllerDead, Fault::ControllerHung]);
        all.extend([true, false].map(|comes_back| Fault::PowerOut { comes_back }));
    }
}

fn purifier(station: &Station, plant: &Plant, all: &mut Vec<Fault>) {
    let (Some(purifier), Some(own)) = (&station.purifier, &plant.purifier) else {
        return;
    };
    let fields = &purifier.fields;
    if fields.feed_valve.value {
        all.extend([true, false].map(|open| Fault::FeedValve { open }));
    }
    for vessel in &own.fills {
        let is_there = |at: &FloatAt| at.of(&plant.vessels[*vessel]).is_some();
        for at in FloatAt::ALL.into_iter().filter(is_there) {
            let all_three = [FloatFault::Open, FloatFault::Shut, FloatFault::Weeps];
            all.extend(all_three.map(|how| Fault::Float {
                vessel: *vessel,
                at,
                how,
            }));
        }
    }
    all.extend([FeedFault::Lost, FeedFault::High].map(Fault::Feed));
    if station.room.lowest_winter_temperature.value.c() < FROST_C {
        all.push(Fault::Feed(FeedFault::Frozen));
    }
    if fields.shut_off.value == ShutOff::Sound {
        all.push(Fault::RejectRunsOn);
        if fields.control.value == Control::Float || fields.check_valve.value {
            all.push(Fault::Cycles);
        }
    }
    all.extend([Fault::MembraneTorn, Fault::FittingWeeps]);
    if !purifier.filters.is_empty() {
        all.push(Fault::HousingWeeps);
    }
    all.push(Fault::FeedTubeOff { before_valve: true });
    if fields.feed_valve.value {
        all.push(Fault::FeedTubeOff { before_valve: false });
    }
    all.extend([Fault::PermeateTubeOff, Fault::DrainBlocked]);
}

fn lines(station: &Station, all: &mut Vec<Fault>) {
    all.extend(joints(station).into_iter().map(Fault::Apart));
    for (line, own) in station.lines.iter().enumerate() {
        let soft = matches!(own.fields.tube.value, Tube::VinylHose | Tube::CorrugatedHose);
        let ends = station.plumbing.lines[line].to;
        if soft && matches!(ends, End::Tank(_) | End::Vessel(_)) {
            all.push(Fault::Slipped { line });
        }
    }
    for (valve, own) in station.valves.iter().enumerate() {
        if own.fields.kind.value.is_set() {
            all.extend([true, false].map(|open| Fault::Valve { valve, open }));
        }
    }
}

/// All joints of a station's lines: each place once.
pub(super) fn joints(station: &Station) -> Vec<Joint> {
    let mut all = Vec::new();
    for (line, joined) in station.plumbing.lines.iter().enumerate() {
        if matches!(joined.from, End::Vessel(_) | End::Tank(_)) {
            all.push(Joint::Outlet { line });
        }
    }
    all.extend((0..station.tees.len()).map(Joint::Tee));
    for pump in 0..station.pumps.len() {
        all.extend([Joint::PumpIn(pump), Joint::PumpOut(pump)]);
    }
    all
}
