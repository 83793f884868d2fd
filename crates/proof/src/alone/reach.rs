//! Where stored water stands, and where it can run to, through open lines: found from the plan alone, without flows.

use station::plumbing::End;

use super::fault::Joint;
use super::network::{Lines, Pattern};

impl Lines<'_> {
    /// Whether water that a pump lifts can get to any end, or out of a joint that is apart.
    pub(super) fn gets_away(&self, pattern: Pattern, pump: usize) -> bool {
        let plumbing = &self.station.plumbing;
        let apart = |joint: Joint| {
            let place = self.jointed.joints.iter().position(|own| *own == joint);
            place.is_some_and(|at| pattern.apart >> at & 1 == 1)
        };
        if apart(Joint::PumpOut(pump)) {
            return true;
        }
        let mut open: Vec<End> = Vec::new();
        let mut done = 0;
        let begins = |line: usize| plumbing.lines[line].from == End::Pump(pump);
        let mut next: Vec<usize> = (0..plumbing.lines.len()).filter(|line| begins(*line)).collect();
        loop {
            for line in next.drain(..) {
                if self.is_open(pattern, line) {
                    for end in [plumbing.lines[line].from, plumbing.lines[line].to] {
                        if !open.contains(&end) {
                            open.push(end);
                        }
                    }
                }
            }
            let Some(end) = open.get(done).copied() else {
                return false;
            };
            done += 1;
            match end {
                End::Vessel(_) | End::Tank(_) | End::Draw(_) => return true,
                End::Tee(tee) if apart(Joint::Tee(tee)) => return true,
                End::Tee(_) => next.extend(plumbing.lines_at(end)),
                End::Pump(_) => {}
            }
        }
    }

    /// Whether every valve of a line stands open.
    fn is_open(&self, pattern: Pattern, line: usize) -> bool {
        self.station.plumbing.valves_of(line).all(|valve| {
            !self.station.valves[valve].fields.kind.value.is_set() || pattern.open >> valve & 1 == 1
        })
    }

    /// What stored water stands in or can run to through open lines: joints as bits, and inlets of pumps. Through pumps
    /// only where that is asked.
    pub(super) fn reached(
        &mut self,
        pattern: Pattern,
        vessels: &[(f64, f64)],
        through_pumps: bool,
    ) -> Reached {
        let gives = self.gives(vessels);
        let slot = usize::from(through_pumps);
        if let Some(known) = self.known[slot]
            && (known.pattern, known.reached.gives) == (pattern, gives)
        {
            return known.reached;
        }
        let reached = self.reach(pattern, gives, through_pumps);
        self.known[slot] = Some(Known { pattern, reached });
        reached
    }

    /// Lines at whose beginning, and at whose end, stored water stands over them: as bits.
    fn gives(&self, vessels: &[(f64, f64)]) -> [u64; 2] {
        let mut both = [0; 2];
        for terminal in &self.jointed.pipework.terminals {
            let gives = match terminal.end {
                End::Vessel(vessel) => {
                    let floor_m = self.station.vessels[vessel].fields.floor_height.value.m();
                    floor_m + vessels[vessel].0 > terminal.height_m
                }
                End::Tank(_) => true,
                _ => false,
            };
            let ends_here = self.jointed.pipework.lines[terminal.line].to == terminal.node;
            both[usize::from(ends_here)] |= u64::from(gives) << terminal.line;
        }
        both
    }

    fn reach(&self, pattern: Pattern, gives: [u64; 2], through_pumps: bool) -> Reached {
        let lines = &self.station.plumbing.lines;
        let is_open = |line: usize| self.is_open(pattern, line);
        let mut reached = Reached {
            gives,
            ..Reached::default()
        };
        // Lines whose tube is wet, then tees and pumps, until nothing is added.
        loop {
            let mut grew = false;
            for (line, joined) in lines.iter().enumerate() {
                if reached.lines >> line & 1 == 1 {
                    continue;
                }
                let first = matches!(joined.from, End::Vessel(_) | End::Tank(_));
                let from_wet = reached.has(line, joined.from, true) && (!first || is_open(line));
                let to_wet = reached.has(line, joined.to, false) && (first || is_open(line));
                if from_wet || to_wet {
                    reached.lines |= 1 << line;
                    grew = true;
                    // What it leads on to.
                    if !first || is_open(line) {
                        reached.add(joined.from, true);
                    }
                    if first || is_open(line) {
                        reached.add(joined.to, false);
                    }
                }
            }
            if through_pumps {
                for pump in 0..self.station.pumps.len() {
                    let both = reached.pumps_in | reached.pumps_out;
                    if both >> pump & 1 == 1 && reached.pumps_in & reached.pumps_out & (1 << pump) == 0 {
                        reached.pumps_in |= 1 << pump;
                        reached.pumps_out |= 1 << pump;
                        grew = true;
                    }
                }
            }
            if !grew {
                break;
            }
        }
        for (at, joint) in self.jointed.joints.iter().enumerate() {
            let wet = match *joint {
                Joint::Outlet { line } => reached.lines >> line & 1 == 1,
                Joint::Tee(tee) => reached.tees >> tee & 1 == 1,
                Joint::PumpIn(pump) => reached.pumps_in >> pump & 1 == 1,
                Joint::PumpOut(pump) => reached.pumps_out >> pump & 1 == 1,
            };
            if wet {
                reached.joints |= 1 << at;
            }
        }
        reached
    }
}

/// What was reached for a pattern.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known {
    pattern: Pattern,
    reached: Reached,
}

/// What water stands in or can run to: as bits.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Reached {
    pub(super) joints: u64,
    lines: u64,
    tees: u64,
    pumps_in: u64,
    pumps_out: u64,
    /// Lines at whose beginning, and at whose end, stored water stands over them.
    gives: [u64; 2],
}

impl Reached {
    pub(super) fn pump_in(&self, pump: usize) -> bool {
        self.pumps_in >> pump & 1 == 1
    }

    /// Whether water stands at an end of a line. A line that begins at a pump begins at its outlet.
    fn has(&self, line: usize, end: End, first: bool) -> bool {
        match end {
            End::Tee(tee) => self.tees >> tee & 1 == 1,
            End::Pump(pump) => {
                let side = if first { self.pumps_out } else { self.pumps_in };
                side >> pump & 1 == 1
            }
            End::Vessel(_) | End::Tank(_) => self.gives[usize::from(!first)] >> line & 1 == 1,
            End::Draw(_) => false,
        }
    }

    fn add(&mut self, end: End, first: bool) {
        match end {
            End::Tee(tee) => self.tees |= 1 << tee,
            End::Pump(pump) if first => self.pumps_out |= 1 << pump,
            End::Pump(pump) => self.pumps_in |= 1 << pump,
            End::Vessel(_) | End::Tank(_) | End::Draw(_) => {}
        }
    }
}
