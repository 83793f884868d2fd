//! The test sheet: what to wet, lift or unplug, and what must happen.
//!
//! Intervals are house rules: what hides is tested each month, for its doubt grows with the time since; what works at
//! every fill shows by itself and is looked at each quarter.

use station::control::{Input, Mark, Output};
use station::sections::Control;

use super::Looked;
use super::types::TestRow;
use crate::alone::{Fault, FloatAt};

const MONTH: &str = "each month";
const QUARTER: &str = "each quarter";

/// How a part that protects is tested, in a sentence.
pub(super) fn how(looked: &Looked<'_>, fault: Fault) -> String {
    row(looked, fault).map_or_else(
        || "by making it work".to_owned(),
        |row| format!("{}; {}", row.does, row.must),
    )
}

/// All rows, each part once.
pub(super) fn rows(looked: &Looked<'_>) -> Vec<TestRow> {
    let mut all: Vec<TestRow> = Vec::new();
    for fault in &looked.survey.faults {
        if let Some(row) = row(looked, *fault)
            && !all.iter().any(|own| own.part == row.part)
        {
            all.push(row);
        }
    }
    all
}

fn row(looked: &Looked<'_>, fault: Fault) -> Option<TestRow> {
    let part = looked.words().part(fault);
    let (does, must, every) = match fault {
        Fault::Switch { input, .. } | Fault::SwitchFallen { input } => switch(looked, input)?,
        Fault::Float {
            at: FloatAt::Second,
            vessel,
            ..
        } => (
            "While water runs in hold the lower float down, and lift the upper one by hand",
            match tells(looked, vessel) {
                true => {
                    "the water must stop at once; its contact shuts the feed two seconds later, until you press reset"
                }
                false => "the water must stop at once",
            },
            MONTH,
        ),
        Fault::Float { .. } if is_alone(looked) => (
            "Lift the float by hand while water runs in",
            "the water must stop within seconds, and the reject with it where a shut-off valve is fitted",
            MONTH,
        ),
        Fault::Float { vessel, .. } if tells(looked, vessel) => (
            "During a fill hold the stop switch down as if it were dry, and lift the float by hand",
            "the water must stop at the float at once; its contact shuts the feed two seconds later, until you press reset",
            MONTH,
        ),
        Fault::Float { .. } => (
            "During a fill hold the stop switch down as if it were dry, and lift the float by hand",
            "the water must stop at the float, with the feed valve still open",
            MONTH,
        ),
        Fault::FeedValve { .. } => (
            "Pull the plug of the feed valve while the purifier runs",
            "permeate and reject must stop within a minute",
            QUARTER,
        ),
        Fault::PowerOut { .. } => (
            "Switch the station off at its plug in the midst of a task, wait, and switch it on again",
            // What the station has: a feed valve, pumps.
            match (shuts_without_power(looked), !looked.station.pumps.is_empty()) {
                (true, true) => "the feed must shut without power, and no pump may start by itself",
                (true, false) => "the feed must shut without power",
                (false, true) => "no pump may start by itself",
                (false, false) => "nothing may run that didn't run before",
            },
            QUARTER,
        ),
        Fault::RejectRunsOn => (
            "Let the vessel fill until its float is shut, and look at the reject tube",
            "it must be dry within ten minutes",
            QUARTER,
        ),
        Fault::DrainBlocked => (
            "Pour a bucket into the drain at once",
            "it must swallow it without standing",
            QUARTER,
        ),
        Fault::HousingWeeps => (
            "After each change of a cartridge leave dry paper under the housings for an hour of running",
            "it must stay dry",
            "after each change",
        ),
        Fault::Heater { on: true, .. } => (
            "Set the thermostat two degrees lower for a minute",
            "the heater's lamp must go out",
            QUARTER,
        ),
        _ => return None,
    };
    Some(TestRow {
        part,
        does: does.to_owned(),
        must: must.to_owned(),
        every,
    })
}

/// Whether its feed has a valve, which shuts without power.
fn shuts_without_power(looked: &Looked<'_>) -> bool {
    let purifier = looked.station.purifier.as_ref();
    purifier.is_some_and(|own| own.fields.feed_valve.value)
}

/// Whether a vessel's backup float tells by a contact that it closes.
fn tells(looked: &Looked<'_>, vessel: usize) -> bool {
    let mark = Mark::Backup;
    let contact = Input::LevelAtOrAbove { vessel, mark };
    looked.ground.program().input(contact).is_some()
}

fn is_alone(looked: &Looked<'_>) -> bool {
    let purifier = looked.station.purifier.as_ref();
    purifier.is_some_and(|own| own.fields.control.value == Control::Float)
}

fn switch(looked: &Looked<'_>, input: usize) -> Option<(&'static str, &'static str, &'static str)> {
    let program = looked.ground.program();
    let has_feed = program.output(Output::Feed).is_some();
    Some(match program.inputs().get(input)? {
        Input::LevelAtOrAbove { mark, .. } => match mark {
            Mark::Start => (
                "Hold the start switch down as if the vessel were low",
                "the purifier must start within five minutes",
                QUARTER,
            ),
            Mark::Stop => (
                "Lift the stop switch by hand during a fill",
                "the feed must shut within a few seconds",
                QUARTER,
            ),
            Mark::Backup => (
                "Lift the backup's contact by hand during a fill",
                "the feed must shut and stay shut until you press reset",
                MONTH,
            ),
            Mark::LowCutout => (
                "Hold the low cut-out down as if the vessel were empty, while its pump runs",
                "the pump must stop at once, and not start again by itself",
                MONTH,
            ),
            Mark::HeaterLevel => (
                "Hold the heater's low-water switch down while it heats",
                "the heater must go off at once",
                MONTH,
            ),
            Mark::High => (
                "Lift the high cut-out by hand while a pump fills the vessel",
                "the pump must stop at once",
                MONTH,
            ),
        },
        Input::TankHigh { .. } => (
            "Lift the tank's high cut-out by hand while a pump fills it",
            "the pump must stop at once",
            MONTH,
        ),
        Input::Leak if has_feed => (
            "Pour a cup of water over the leak detector during a fill",
            "the feed must shut, pumps must stop, and both stay so until it is dry and you press reset",
            MONTH,
        ),
        Input::Leak => (
            "Pour a cup of water over the leak detector while a pump runs",
            "the pump must stop, and stay so until it is dry and you press reset",
            MONTH,
        ),
        Input::FlowSeen { .. } => (
            "Close the valve behind the pump while it runs",
            "the pump must stop within ten seconds, and stay so until reset",
            MONTH,
        ),
        Input::Power | Input::SomebodyHere | Input::Ask(_) | Input::Reset | Input::ValveOpen { .. } => {
            return None;
        }
    })
}
