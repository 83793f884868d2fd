//! A program as rows of text.

use core::fmt;

use super::block::{Block, Kind};
use super::program::Program;

/// One block in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it does: `on-delay 2 s`.
    pub block: String,
    /// What it reads, by what the wires say.
    pub reads: Vec<String>,
    /// What its own wire says.
    pub writes: String,
}

impl Program {
    /// Its blocks in words, in the order in which they are evaluated.
    pub fn rows(&self) -> Vec<Row> {
        let row = |(at, block): (usize, &Block)| Row {
            block: kind_in_words(block.kind),
            reads: self
                .reads(block)
                .iter()
                .map(|read| {
                    let name = self.name(usize::from(read.wire));
                    if read.negated {
                        format!("not: {name}")
                    } else {
                        name.to_owned()
                    }
                })
                .collect(),
            writes: self.name(self.inputs.len() + at).to_owned(),
        };
        self.blocks.iter().enumerate().map(row).collect()
    }
}

fn kind_in_words(kind: Kind) -> String {
    match kind {
        Kind::All => "all".into(),
        Kind::Any => "any".into(),
        Kind::Latch { retained: false } => "latch".into(),
        Kind::Latch { retained: true } => "latch, kept without power".into(),
        Kind::OnDelay { delay_s } => format!("on-delay {delay_s} s"),
        Kind::RisingEdge => "rising edge".into(),
        Kind::Colder {
            on_below_c, off_at_c, ..
        } => format!("on below {on_below_c:.1} °C, off at {off_at_c:.1} °C"),
        Kind::Daily { from_s, for_s } => format!("daily from {from_s} s after midnight for {for_s} s"),
    }
}

impl fmt::Display for Program {
    /// A line for each block: what it does, what it reads, what it writes.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for row in self.rows() {
            writeln!(out, "{} ({}) -> {}", row.block, row.reads.join("; "), row.writes)?;
        }
        Ok(())
    }
}
