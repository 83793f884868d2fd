//! The program: blocks and wires as plain data.

use super::block::{Block, Kind, Read};
use super::scan::{Places, Terms};
use super::set::Set;
use super::signal::{Input, Output};

/// The input that tells of power: the first of every program.
pub(super) const POWER: usize = 0;

/// What control does, as data: blocks in the order in which they are evaluated, each reading wires and writing its own.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Program {
    pub(super) inputs: Vec<Input>,
    pub(super) blocks: Vec<Block>,
    pub(super) reads: Vec<Read>,
    /// Where each wire stands in the words of a state.
    pub(super) places: Places,
    /// The same reads, as masks over those words.
    pub(super) terms: Terms,
    /// An output and the wire that it follows.
    pub(super) outputs: Vec<(Output, u16)>,
    /// Where each output's wire stands: its word and its bit there.
    pub(super) output_places: Vec<(usize, u64)>,
    /// What each wire says when it is on.
    pub(super) names: Vec<String>,
    /// For each input where it stands, and whether anything reads it.
    pub(super) sensed: Vec<Sensed>,
    /// For each input the blocks that read it.
    pub(super) input_readers: Vec<Set>,
    /// For each block those behind it that read its wire: they follow in the same scan.
    pub(super) later_readers: Vec<Set>,
    /// For each block those before it, and itself, that read its wire: they follow in the next scan.
    pub(super) earlier_readers: Vec<Set>,
    /// The blocks whose wires outputs follow.
    pub(super) switching: Set,
    /// The blocks that go by a temperature or the time of day, which wires don't tell.
    pub(super) by_value: Set,
    /// The blocks that read a temperature.
    pub(super) thermostats: Set,
    /// Vessels up to the last one with a thermostat.
    pub(super) thermometers: usize,
}

/// What a change of an input comes to, but for the blocks that read it; of power, which is no input like others, nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Sensed {
    /// Its word and its bit there.
    pub(super) word: usize,
    pub(super) bit: u64,
    /// Whether any block reads it, and whether one that goes by a temperature or the time of day.
    pub(super) is_read: bool,
    pub(super) by_value: bool,
}

impl Program {
    /// What it senses, in the order of the indices of [`Event::Changed`](super::Event::Changed).
    pub fn inputs(&self) -> &[Input] {
        &self.inputs
    }

    /// What it switches, in the order of the indices of [`Program::is_on`].
    pub fn outputs(&self) -> impl ExactSizeIterator<Item = Output> + '_ {
        self.outputs.iter().map(|(output, _)| *output)
    }

    /// The index of an input; `None` where the program doesn't sense it.
    pub fn input(&self, input: Input) -> Option<usize> {
        self.inputs.iter().position(|own| *own == input)
    }

    /// The index of an output; `None` where the program doesn't switch it.
    pub fn output(&self, output: Output) -> Option<usize> {
        self.outputs.iter().position(|(own, _)| *own == output)
    }

    /// The temperatures of a vessel below which its thermostat calls for heat, and from which on it no longer does, °C;
    /// `None` where it has none.
    pub fn thermostat_c(&self, vessel: usize) -> Option<(f64, f64)> {
        self.blocks.iter().find_map(|block| match block.kind {
            Kind::Colder {
                vessel: own,
                on_below_c,
                off_at_c,
            } if usize::from(own) == vessel => Some((on_below_c, off_at_c)),
            _ => None,
        })
    }

    /// The wire that an output follows, by the output's index.
    pub fn wire_of(&self, output: usize) -> Option<usize> {
        self.outputs.get(output).map(|(_, wire)| usize::from(*wire))
    }

    /// Its blocks, in the order in which they are evaluated. Block `n` writes wire `inputs + n`.
    pub fn blocks(&self) -> &[Block] {
        &self.blocks
    }

    /// What a block reads.
    pub fn reads(&self, block: &Block) -> &[Read] {
        let first = usize::from(block.first);
        self.reads
            .get(first..first + usize::from(block.count))
            .unwrap_or_default()
    }

    /// What a wire says when it is on.
    pub fn name(&self, wire: usize) -> &str {
        self.names.get(wire).map_or("", String::as_str)
    }
}
