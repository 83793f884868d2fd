//! The same station twice: by the step, and by its program text at 100 ms scans. What is sensed reaches both at a scan.

use station::control::take_away::{Facts, Signal, TakeAway};
use station::control::{Event, Input, State};

use super::machine::{Machine, Value};

/// From scan to scan, ms.
pub(crate) const SCAN_MS: i64 = 100;
/// The step's time runs faster by a hundred-millionth, so that a delay which ends at a scan has ended there, whatever the
/// last digit of a sum of seconds is. In the longest run here, 31 h, it gains a millisecond.
const SCAN_S: f64 = 0.1 * (1.0 + 1e-8);

pub(crate) struct Twin {
    pub(crate) take: TakeAway,
    machine: Machine,
    state: State,
    scans: i64,
    /// What is sensed now, by the program's inputs.
    pub(crate) inputs: Vec<bool>,
    powered: bool,
    /// Places of the variables of the points, of their soundness, of the wires.
    points: Vec<usize>,
    sound: Vec<(usize, usize)>,
    clock: Option<usize>,
    wires: Vec<Option<(usize, usize)>>,
    instance: usize,
}

/// Where the two differ.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Apart {
    pub(crate) scan: i64,
    pub(crate) wire: String,
}

impl Twin {
    /// With these inputs on, and power.
    pub(crate) fn start(facts: &Facts, inputs: Vec<bool>) -> Self {
        Self::of(TakeAway::told(facts).expect("a small program"), inputs)
    }

    /// As [`Twin::start`], of what is taken away, whose text a test may have changed.
    pub(crate) fn of(take: TakeAway, inputs: Vec<bool>) -> Self {
        let text = &take.structured_text;
        let machine = Machine::new(&text.text).unwrap_or_else(|outside| panic!("{outside:?}\n{}", text.text));
        let points = text.points.iter().map(|name| machine.place(name)).collect();
        let sound = text
            .sound
            .iter()
            .map(|(vessel, name)| (*vessel, machine.place(name)));
        let wires = text.wires.iter().map(|name| match name.as_str() {
            "TRUE" => None,
            name => Some(machine.place_in(&text.instance, name)),
        });
        let mut twin = Self {
            points,
            sound: sound.collect(),
            clock: text.clock.as_ref().map(|name| machine.place(name)),
            wires: wires.collect(),
            instance: machine.place(&text.instance),
            state: take.program.start(0.0, &[]),
            machine,
            scans: 0,
            powered: false,
            inputs: vec![false; inputs.len()],
            take,
        };
        twin.scan(&inputs, Some(true), &[]);
        twin
    }

    pub(crate) fn power(&self) -> usize {
        self.take.program.input(Input::Power).expect("power")
    }

    /// Whether an output is on by the step.
    pub(crate) fn is_on(&self, output: usize) -> bool {
        self.take.program.is_on(&self.state, output)
    }

    pub(crate) fn powered(&self) -> bool {
        self.powered
    }

    /// One scan: inputs as they are now, power where it changes (off and on again within a scan where it was on), new
    /// temperatures.
    pub(crate) fn scan(&mut self, inputs: &[bool], power: Option<bool>, readings: &[(usize, f64)]) {
        let at_s = self.scans as f64 * SCAN_S;
        let power_input = self.power();
        let program = &self.take.program;
        let set_power = |state: &mut State, on: bool| {
            let event = Event::Changed {
                input: power_input,
                on,
            };
            program.step(state, at_s, event);
        };
        if power.is_some() {
            set_power(&mut self.state, false);
            self.powered = false;
        }
        let changes: Vec<(usize, bool)> = inputs
            .iter()
            .copied()
            .enumerate()
            .filter(|(at, on)| self.inputs[*at] != *on)
            .collect();
        program.step_together(&mut self.state, at_s, &changes);
        // After power came back nothing has been read yet.
        let unread = self
            .sound
            .iter()
            .filter(|_| power == Some(true))
            .map(|(vessel, _)| (*vessel, f64::NAN));
        for (vessel, temperature_c) in unread.chain(readings.iter().copied()) {
            let event = Event::Reading {
                vessel,
                temperature_c,
            };
            program.step(&mut self.state, at_s, event);
        }
        if power == Some(true) {
            set_power(&mut self.state, true);
            self.powered = true;
            self.machine.restart();
        }
        self.inputs.copy_from_slice(inputs);
        self.wire_up(readings);
        if self.powered {
            self.machine.scan(self.scans * SCAN_MS);
        }
        self.scans += 1;
    }

    /// The terminals of the text, as the contacts have it.
    fn wire_up(&mut self, readings: &[(usize, f64)]) {
        for (point, at) in self.take.points.iter().zip(&self.points) {
            match point.signal {
                Signal::Input(input) => {
                    let closed = self.inputs[input] == point.on_when_closed;
                    self.machine.set(*at, Value::Bool(closed));
                }
                Signal::Temperature(vessel) => {
                    let Some((_, celsius)) = readings.iter().find(|(own, _)| *own == vessel) else {
                        continue;
                    };
                    let (_, sound) = self
                        .sound
                        .iter()
                        .find(|(own, _)| *own == vessel)
                        .expect("its soundness");
                    // A broken sensor shows anything, here ice.
                    let shown = if celsius.is_finite() { *celsius as f32 } else { 0.0 };
                    self.machine.set(*at, Value::Real(shown));
                    self.machine.set(*sound, Value::Bool(celsius.is_finite()));
                }
                Signal::Output(_) => {}
            }
        }
        if let Some(clock) = self.clock {
            self.machine
                .set(clock, Value::Time(self.scans * SCAN_MS % 86_400_000));
        }
    }

    /// The first wire or output in which the two differ after the last scan.
    pub(crate) fn apart(&self) -> Option<Apart> {
        let apart = |wire: String| Apart {
            scan: self.scans - 1,
            wire,
        };
        if !self.powered {
            // A controller without power switches nothing; nor does the step.
            let on = (0..self.take.program.outputs().len()).find(|output| self.is_on(*output));
            return on.map(|output| apart(format!("output {output} without power")));
        }
        for (wire, place) in self.wires.iter().enumerate() {
            if let Some(place) = place
                && self.machine.is_on_in(*place) != self.state.wire(wire)
            {
                return Some(apart(self.take.program.name(wire).to_owned()));
            }
        }
        for (point, at) in self.take.points.iter().zip(&self.points) {
            if let Signal::Output(output) = point.signal
                && self.machine.is_on(*at) != self.is_on(output)
            {
                return Some(apart(point.what.clone()));
            }
        }
        None
    }

    /// Whether the text hasn't settled: one more call would change something.
    pub(crate) fn is_unsettled(&self) -> bool {
        self.powered
            && self
                .machine
                .would_change(self.instance, (self.scans - 1) * SCAN_MS)
    }
}
