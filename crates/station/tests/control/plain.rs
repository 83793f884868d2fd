//! A plain controller: it scans every block, one after the other, again and again. It knows only what a program says of
//! itself, and the step is held to it.

use station::control::{Event, Input, Kind, Program};

/// All wires and what blocks remember.
#[derive(Clone)]
pub(crate) struct Plain<'a> {
    program: &'a Program,
    pub(crate) wires: Vec<bool>,
    /// What a latch holds, what an edge saw, what a comparison said.
    held: Vec<bool>,
    /// Since when a delay's read is on, s.
    since_s: Vec<Option<f64>>,
    temperature_c: Vec<f64>,
}

impl<'a> Plain<'a> {
    pub(crate) fn new(program: &'a Program) -> Self {
        let blocks = program.blocks().len();
        Self {
            program,
            wires: vec![false; program.inputs().len() + blocks],
            held: vec![false; blocks],
            since_s: vec![None; blocks],
            temperature_c: vec![f64::NAN; 64],
        }
    }

    fn lose_power(&mut self) {
        let inputs = self.program.inputs().len();
        self.wires[inputs..].fill(false);
        self.since_s.fill(None);
        for (held, block) in self.held.iter_mut().zip(self.program.blocks()) {
            if block.kind != (Kind::Latch { retained: true }) {
                *held = false;
            }
        }
    }

    pub(crate) fn take(&mut self, event: Event) {
        match event {
            Event::Changed { input, on } => {
                self.wires[input] = on;
                if self.program.inputs()[input] == Input::Power && !on {
                    self.lose_power();
                }
            }
            Event::Reading {
                vessel,
                temperature_c,
            } => self.temperature_c[vessel] = temperature_c,
            Event::Due => {}
            Event::PowerBack => {
                self.lose_power();
                self.wires[self.program.input(Input::Power).expect("power")] = true;
            }
        }
    }

    /// One scan of all blocks.
    pub(crate) fn scan(&mut self, at_s: f64) {
        let program = self.program;
        let inputs = program.inputs().len();
        if !self.wires[program.input(Input::Power).expect("power")] {
            return;
        }
        for (at, block) in program.blocks().iter().enumerate() {
            let read: Vec<bool> = program
                .reads(block)
                .iter()
                .map(|read| self.wires[usize::from(read.wire)] ^ read.negated)
                .collect();
            let on = match block.kind {
                Kind::All => !read.contains(&false),
                Kind::Any => read.contains(&true),
                Kind::Latch { .. } => {
                    if read[0] {
                        self.held[at] = true;
                    }
                    if read[1] {
                        self.held[at] = false;
                    }
                    self.held[at]
                }
                Kind::OnDelay { delay_s } => {
                    if read[0] {
                        let since_s = *self.since_s[at].get_or_insert(at_s);
                        at_s >= since_s + delay_s
                    } else {
                        self.since_s[at] = None;
                        false
                    }
                }
                Kind::RisingEdge => {
                    let edge = read[0] && !self.held[at];
                    self.held[at] = read[0];
                    edge
                }
                Kind::Colder {
                    vessel,
                    on_below_c,
                    off_at_c,
                } => {
                    let now_c = self.temperature_c[usize::from(vessel)];
                    if now_c < on_below_c {
                        self.held[at] = true;
                    }
                    if now_c >= off_at_c || !now_c.is_finite() {
                        self.held[at] = false;
                    }
                    self.held[at]
                }
                Kind::Daily { from_s, for_s } => (at_s - from_s).rem_euclid(86_400.0) < for_s,
            };
            self.wires[inputs + at] = on;
        }
    }

    /// Scans until nothing changes; whether that came within so many scans.
    pub(crate) fn settle(&mut self, at_s: f64, most: usize) -> bool {
        for _ in 0..most {
            let before = self.wires.clone();
            self.scan(at_s);
            if self.wires == before {
                return true;
            }
        }
        false
    }
}
