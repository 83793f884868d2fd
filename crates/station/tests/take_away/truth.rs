//! Truth tables, proved against the step.

use station::control::take_away::{Facts, MOST_ROWS, TakeAway, TruthTable};
use station::control::{Block, Event, Input, Kind, Program, Read, State, Wiring};

use super::rigs::{Chance, EXAMPLES, example, mixture};

fn of(facts: &Facts) -> TakeAway {
    TakeAway::told(facts).expect("a small program")
}

fn all() -> impl Iterator<Item = Facts> {
    EXAMPLES.into_iter().map(example).chain((0..40).map(mixture))
}

/// The part of a program that a table tells of, with the columns as inputs of its own: a program that the step can run.
struct Cut<'a> {
    program: &'a Program,
    table: &'a TruthTable,
    wiring: Wiring,
    /// Wires that no row looks at: inputs behind the columns.
    others: Vec<usize>,
}

impl Cut<'_> {
    fn block(&self, wire: usize) -> Option<&Block> {
        self.program
            .blocks()
            .get(wire.checked_sub(self.program.inputs().len())?)
    }

    fn read(&mut self, read: Read) -> Read {
        let wire = usize::from(read.wire);
        // The table's own wire is its memory, which the latch has itself.
        let column = self
            .table
            .columns
            .iter()
            .position(|own| own.wire == wire && wire != self.table.wire);
        let own = match column {
            Some(at) => self.wiring.input(Input::ValveOpen { valve: at }, ""),
            None if self.is_made(wire) => self.made(wire),
            None => {
                let known = self.others.iter().position(|own| *own == wire);
                let at = known.unwrap_or_else(|| {
                    self.others.push(wire);
                    self.others.len() - 1
                });
                let valve = self.table.columns.len() + at;
                self.wiring.input(Input::ValveOpen { valve }, "")
            }
        };
        match read.negated {
            true => !own,
            false => own,
        }
    }

    /// Whether a wire is made of others in an instant.
    fn is_made(&self, wire: usize) -> bool {
        let kind = self.block(wire).map(|block| block.kind);
        matches!(kind, Some(Kind::All | Kind::Any)) || wire == self.table.wire
    }

    fn made(&mut self, wire: usize) -> Read {
        let block = *self.block(wire).expect("a block");
        let reads: Vec<Read> = self.program.reads(&block).to_vec();
        let reads: Vec<Read> = reads.into_iter().map(|read| self.read(read)).collect();
        self.wiring.block(block.kind, &reads, "")
    }
}

/// And how many wires no row looks at.
fn cut(program: &Program, table: &TruthTable) -> (Program, usize) {
    let mut cut = Cut {
        program,
        table,
        wiring: Wiring::default(),
        others: Vec::new(),
    };
    let wire = cut.made(table.wire);
    cut.wiring.output(station::control::Output::Feed, wire);
    (cut.wiring.finish().expect("a small program"), cut.others.len())
}

fn set(cut: &Program, state: &mut State, columns: &[bool]) {
    let changes: Vec<(usize, bool)> = columns
        .iter()
        .enumerate()
        .filter_map(|(at, on)| Some((cut.input(Input::ValveOpen { valve: at })?, *on)))
        .collect();
    cut.step_together(state, 0.0, &changes);
}

/// Every case of every table after every other: what the step makes of it is what the table says. Where a latch
/// remembers, the case before decides, and the table is asked with what the step had then.
#[test]
fn every_case_of_every_table_is_what_the_step_makes_of_it() {
    let mut tables = 0;
    for facts in all() {
        let take = of(&facts);
        for table in &take.truth_tables {
            let (cut, others) = cut(&take.program, table);
            let count = table.columns.len() + others;
            let own = table.columns.iter().position(|column| column.wire == table.wire);
            let free: Vec<usize> = (0..count).filter(|at| Some(*at) != own).collect();
            let cases = 1_usize << free.len();
            let case = |number: usize| {
                let mut columns = vec![false; count];
                for (bit, at) in free.iter().enumerate() {
                    columns[*at] = number >> bit & 1 == 1;
                }
                columns
            };
            // From each of a few kinds of cases to every case: a latch is set, reset, or left by them.
            let befores: Vec<usize> = (0..cases)
                .filter(|number| own.is_some() || *number == 0)
                .collect();
            let mut seen = [false; 2];
            for before in befores {
                for after in 0..cases {
                    let mut state = cut.start(0.0, &[true]);
                    set(&cut, &mut state, &case(before));
                    let was = cut.is_on(&state, 0);
                    set(&cut, &mut state, &case(after));
                    let mut columns = case(after);
                    if let Some(own) = own {
                        columns[own] = was;
                    }
                    let is = cut.is_on(&state, 0);
                    assert_eq!(table.look_up(&columns), Some(is), "{}: {columns:?}", table.says);
                    // Every row that fits says the same.
                    for row in &table.rows {
                        let fits = row
                            .cells
                            .iter()
                            .zip(&columns)
                            .all(|(cell, is)| cell.is_none_or(|cell| cell == *is));
                        assert!(!fits || row.on == is, "{}: {columns:?} {row:?}", table.says);
                    }
                    seen[usize::from(is)] = true;
                }
            }
            assert!(seen[1], "{} is never on", table.says);
            tables += 1;
        }
    }
    assert!(tables > 300, "{tables}");
}

/// Every state of all inputs of an example, one changed at a time (in Gray's order), with pauses in which timers run
/// out or don't: what the tables say of the wires is what they are. Of the largest a fixed share is taken.
#[test]
fn tables_hold_in_every_state_of_the_inputs() {
    for name in EXAMPLES {
        let take = of(&example(name));
        let program = &take.program;
        let inputs = program.inputs().len();
        let power = program.input(Input::Power).expect("power");
        let mut state = program.start(0.0, &[true]);
        let mut chance = Chance(7);
        let mut at_s = 0.0;
        let states = 1_u64 << (inputs - 1);
        for number in 1..states.min(20_000) {
            let at = number.trailing_zeros() as usize;
            let input = at + usize::from(at >= power);
            at_s += chance.one_of(&[0.5, 1.5, 3.0, 61.0, 400.0]);
            while let Some(due_s) = program.due_s(&state).filter(|due_s| *due_s <= at_s) {
                program.step(&mut state, due_s, Event::Due);
            }
            let on = !state.wire(input);
            program.step(&mut state, at_s, Event::Changed { input, on });
            for table in &take.truth_tables {
                // The latch's own wire is what it was before and what it is: in a step that has settled both are one.
                let columns: Vec<bool> = table
                    .columns
                    .iter()
                    .map(|column| state.wire(column.wire))
                    .collect();
                assert_eq!(
                    table.look_up(&columns),
                    Some(state.wire(table.wire)),
                    "{name}: {}",
                    table.says
                );
            }
        }
    }
}

#[test]
fn tables_stay_readable_and_tell_of_every_output() {
    for facts in all() {
        let take = of(&facts);
        for table in &take.truth_tables {
            assert!(
                table.rows.len() <= MOST_ROWS,
                "{}: {} rows",
                table.says,
                table.rows.len()
            );
            for row in &table.rows {
                assert_eq!(row.cells.len(), table.columns.len());
            }
            for (at, column) in table.columns.iter().enumerate() {
                let matters = table.rows.iter().any(|row| row.cells[at].is_some());
                assert!(matters, "{}: {} never matters", table.says, column.says);
            }
        }
        let told = |wire| take.truth_tables.iter().any(|table| table.wire == wire);
        for output in 0..take.program.outputs().len() {
            let wire = take.program.wire_of(output).expect("a wire");
            assert!(told(wire), "{} has no table", take.program.name(wire));
        }
        // Whatever a table reads has a table of its own, or is none.
        for block in take.truth_tables.iter().flat_map(|table| &table.columns) {
            let at = block.wire.checked_sub(take.program.inputs().len());
            let kind = at.map(|at| take.program.blocks()[at].kind);
            let needs = matches!(kind, Some(Kind::All | Kind::Any | Kind::Latch { .. }));
            assert!(!needs || told(block.wire), "{} has no table", block.says);
        }
    }
}
