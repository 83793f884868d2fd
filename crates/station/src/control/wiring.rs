//! Joining blocks to a program.

use thiserror::Error;

use super::block::{Block, Kind, Read};
use super::program::{POWER, Program, Sensed};
use super::scan::Places;
use super::set::{MOST_BLOCKS, Set};
use super::signal::{Input, Output};

/// The most inputs that a program can have.
pub const MOST_INPUTS: usize = 1024;

/// The most reads that all its blocks together can have.
const MOST_READS: usize = 0x7FFF;

/// Why a station has no program.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("control of this station takes {count} {what}, and {most} is the most: divide it into two stations")]
pub struct TooLarge {
    /// `blocks` or `inputs`.
    pub what: &'static str,
    /// How many it takes.
    pub count: usize,
    /// How many there may be.
    pub most: usize,
}

/// A block that was placed before what it reads was made: what it reads of later blocks is what they gave last.
#[derive(Debug, Clone)]
pub struct Later {
    block: usize,
    /// The wire that it writes.
    pub wire: Read,
}

/// A program while it is made: inputs, blocks in the order of their evaluation, outputs. The input of power is its first.
///
/// What it hands out as [`Read`] holds for this wiring only. Wires are numbered with inputs and blocks apart and put behind each other at the end, so that an input can be found
/// at any time.
#[derive(Debug, Clone)]
pub struct Wiring {
    inputs: Vec<(Input, String)>,
    blocks: Vec<(Kind, Vec<Read>, String)>,
    outputs: Vec<(Output, Read)>,
}

/// Wires of inputs are counted from here while the program is made, so that blocks can be counted from 0.
const INPUT: u16 = 0x8000;

fn index(at: usize) -> u16 {
    // What doesn't fit is refused by `finish`, by its count.
    u16::try_from(at).unwrap_or(u16::MAX) & !INPUT
}

impl Default for Wiring {
    fn default() -> Self {
        Self {
            inputs: vec![(Input::Power, "there is power".into())],
            blocks: Vec::new(),
            outputs: Vec::new(),
        }
    }
}

impl Wiring {
    /// A wire that says whether this input is on.
    pub fn input(&mut self, input: Input, name: impl Into<String>) -> Read {
        let known = self.inputs.iter().position(|(own, _)| *own == input);
        let at = known.unwrap_or_else(|| {
            self.inputs.push((input, name.into()));
            self.inputs.len() - 1
        });
        Read {
            wire: index(at) | INPUT,
            negated: false,
        }
    }

    /// A block, and the wire that it writes. `name` is what that says when it is on.
    pub fn block(&mut self, kind: Kind, reads: &[Read], name: impl Into<String>) -> Read {
        self.blocks.push((kind, reads.to_vec(), name.into()));
        Read {
            wire: index(self.blocks.len() - 1),
            negated: false,
        }
    }

    /// A block whose reads come later.
    pub fn later(&mut self, kind: Kind, name: impl Into<String>) -> Later {
        let wire = self.block(kind, &[], name);
        Later {
            block: self.blocks.len() - 1,
            wire,
        }
    }

    /// Gives such a block its reads.
    pub fn join(&mut self, later: &Later, reads: &[Read]) {
        if let Some((_, own, _)) = self.blocks.get_mut(later.block) {
            *own = reads.to_vec();
        }
    }

    pub(super) fn all(&mut self, reads: &[Read], name: impl Into<String>) -> Read {
        self.block(Kind::All, reads, name)
    }

    pub(super) fn any(&mut self, reads: &[Read], name: impl Into<String>) -> Read {
        self.block(Kind::Any, reads, name)
    }

    pub(super) fn on_delay(&mut self, read: Read, delay_s: f64, name: impl Into<String>) -> Read {
        self.block(Kind::OnDelay { delay_s }, &[read], name)
    }

    /// A latch that forgets when power goes.
    pub(super) fn latch(&mut self, set: Read, reset: Read, name: impl Into<String>) -> Read {
        self.block(Kind::Latch { retained: false }, &[set, reset], name)
    }

    pub(super) fn rising_edge(&mut self, read: Read, name: impl Into<String>) -> Read {
        self.block(Kind::RisingEdge, &[read], name)
    }

    /// An output that follows a wire, as that is.
    pub fn output(&mut self, output: Output, wire: Read) {
        self.outputs.push((output, wire));
    }

    /// The program, with its wires numbered. Blocks and inputs that no output depends on are left out.
    ///
    /// # Errors
    /// More inputs, blocks or wires than a program can have.
    pub fn finish(self) -> Result<Program, TooLarge> {
        // Within these counts every index that was given out is right.
        limit("blocks", self.blocks.len(), usize::from(INPUT) - 1)?;
        limit("inputs", self.inputs.len(), usize::from(INPUT) - 1)?;
        let used = self.used();
        limit("blocks", used.blocks.iter().flatten().count(), MOST_BLOCKS)?;
        limit("inputs", used.inputs.iter().flatten().count(), MOST_INPUTS)?;
        let inputs = used.inputs.iter().flatten().count();
        let numbered = |read: Read| {
            let (list, base) = if read.wire & INPUT == 0 {
                (&used.blocks, inputs)
            } else {
                (&used.inputs, 0)
            };
            let at = list.get(usize::from(read.wire & !INPUT)).copied().flatten();
            Read {
                wire: index(base + at.unwrap_or_default()),
                negated: read.negated,
            }
        };

        let mut program = Program::default();
        for ((input, name), at) in self.inputs.into_iter().zip(&used.inputs) {
            if at.is_some() {
                program.inputs.push(input);
                program.names.push(name);
                program.input_readers.push(Set::default());
            }
        }
        let count = used.blocks.iter().flatten().count();
        program.places = Places::new(inputs, count);
        program.later_readers = vec![Set::default(); count];
        program.earlier_readers = vec![Set::default(); count];
        for ((kind, reads, name), at) in self.blocks.into_iter().zip(&used.blocks) {
            let Some(at) = *at else {
                continue;
            };
            if let Kind::Colder { vessel, .. } = kind {
                program.thermostats.insert(at);
                program.thermometers = program.thermometers.max(usize::from(vessel) + 1);
            }
            if matches!(kind, Kind::Colder { .. } | Kind::Daily { .. }) {
                program.by_value.insert(at);
            }
            let first = index(program.reads.len());
            for read in reads.into_iter().map(numbered) {
                let readers = match usize::from(read.wire).checked_sub(inputs) {
                    None => &mut program.input_readers[usize::from(read.wire)],
                    Some(block) if block < at => &mut program.later_readers[block],
                    Some(block) => &mut program.earlier_readers[block],
                };
                readers.insert(at);
                program.reads.push(read);
            }
            limit("wires to blocks", program.reads.len(), MOST_READS)?;
            let own = &program.reads[usize::from(first)..];
            program.terms.push(kind, own, &program.places);
            program.blocks.push(Block {
                kind,
                first,
                count: index(program.reads.len()) - first,
            });
            program.names.push(name);
        }
        program.sensed = (program.input_readers.iter().enumerate())
            .map(|(input, readers)| {
                let (word, bit) = program.places.of(input);
                let others = input != POWER;
                Sensed {
                    word,
                    bit: if others { bit } else { 0 },
                    is_read: others && !readers.is_empty(),
                    by_value: others && readers.meets(&program.by_value),
                }
            })
            .collect();
        for (output, wire) in self.outputs {
            let wire = numbered(wire).wire;
            if let Some(block) = usize::from(wire).checked_sub(inputs) {
                program.switching.insert(block);
            }
            program.outputs.push((output, wire));
            program.output_places.push(program.places.of(usize::from(wire)));
        }
        Ok(program)
    }

    /// What some output depends on, each with its new number.
    fn used(&self) -> Used {
        let mut inputs = vec![false; self.inputs.len()];
        let mut blocks = vec![false; self.blocks.len()];
        // Power stands in every program.
        if let Some(power) = inputs.first_mut() {
            *power = true;
        }
        let mut todo: Vec<Read> = self.outputs.iter().map(|(_, wire)| *wire).collect();
        while let Some(read) = todo.pop() {
            let at = usize::from(read.wire & !INPUT);
            if read.wire & INPUT != 0 {
                if let Some(input) = inputs.get_mut(at) {
                    *input = true;
                }
            } else if let Some((_, reads, _)) = self.blocks.get(at)
                && !core::mem::replace(&mut blocks[at], true)
            {
                todo.extend(reads);
            }
        }
        Used {
            inputs: counted(&inputs),
            blocks: counted(&blocks),
        }
    }
}

/// For each input and block its number in the program, where it is in it.
struct Used {
    inputs: Vec<Option<usize>>,
    blocks: Vec<Option<usize>>,
}

fn counted(used: &[bool]) -> Vec<Option<usize>> {
    let mut count = 0;
    used.iter()
        .map(|used| {
            used.then(|| {
                count += 1;
                count - 1
            })
        })
        .collect()
}

fn limit(what: &'static str, count: usize, most: usize) -> Result<(), TooLarge> {
    if count > most {
        return Err(TooLarge { what, count, most });
    }
    Ok(())
}
