//! A program under test: events in, outputs out, timers run out when they are due.

use station::control::{
    Event, HeaterSettings, Input, Mark, Output, Program, PumpSettings, PurifierSettings, Settings, Source,
    State, Task, VesselSettings,
};
use station::sections::Control;

pub(crate) struct Rig {
    pub(crate) program: Program,
    pub(crate) state: State,
}

impl Rig {
    /// Power on at 0 s, with these inputs on as well.
    pub(crate) fn start(program: Program, on: &[Input]) -> Self {
        let on: Vec<bool> = program
            .inputs()
            .iter()
            .map(|input| *input == Input::Power || on.contains(input))
            .collect();
        let state = program.start(0.0, &on);
        Self { program, state }
    }

    /// Lets every timer run out that is due until then.
    pub(crate) fn wait(&mut self, until_s: f64) {
        while let Some(due_s) = self.program.due_s(&self.state).filter(|due_s| *due_s <= until_s) {
            self.program.step(&mut self.state, due_s, Event::Due);
        }
    }

    pub(crate) fn event(&mut self, at_s: f64, event: Event) {
        self.wait(at_s);
        self.program.step(&mut self.state, at_s, event);
    }

    pub(crate) fn set(&mut self, at_s: f64, input: Input, on: bool) {
        let input = self.program.input(input).expect("the program senses it");
        self.event(at_s, Event::Changed { input, on });
    }

    pub(crate) fn is_on(&self, output: Output) -> bool {
        let output = self.program.output(output).expect("the program switches it");
        self.program.is_on(&self.state, output)
    }

    /// What is on.
    pub(crate) fn on(&self) -> Vec<Output> {
        let outputs = self.program.outputs().enumerate();
        outputs
            .filter(|(at, _)| self.program.is_on(&self.state, *at))
            .map(|(_, output)| output)
            .collect()
    }
}

pub(crate) fn level(mark: Mark) -> Input {
    Input::LevelAtOrAbove { vessel: 0, mark }
}

pub(crate) const POWER: Input = Input::Power;
pub(crate) const FILL: Input = Input::Ask(Task::Fill);
pub(crate) const PUMP: Input = Input::Ask(Task::Pump(0));

/// A vessel with every switch, filled by a purifier, drawn by one pump that needs valve 0 or 1.
pub(crate) fn settings(control: Control) -> Settings {
    Settings {
        purifier: Some(PurifierSettings {
            control,
            feed_valve: true,
            fills: vec![0],
            hours_a_day_s: Some(7200.0),
            longest_run_s: None,
            shut_when_away: false,
            timer_begins_s: 32_400.0,
        }),
        leak_detector: false,
        vessels: vec![VesselSettings {
            name: "butt".into(),
            start: true,
            stop: true,
            backup: true,
            low_cutout: true,
            high_cutout: false,
            heater: None,
            recirculation: None,
        }],
        tanks: Vec::new(),
        pumps: vec![PumpSettings {
            name: "pump".into(),
            sources: vec![Source {
                vessel: 0,
                valves: Vec::new(),
                is_open: true,
            }],
            ..PumpSettings::default()
        }],
        valves: vec!["left".into(), "right".into()],
    }
}

pub(crate) const HEATER: HeaterSettings = HeaterSettings {
    low_water_cutoff: true,
    keeps_warm: true,
    on_below_c: 23.5,
    off_at_c: 24.5,
};
