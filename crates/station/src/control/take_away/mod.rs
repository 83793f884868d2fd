//! Control to take away: the program of a station as Structured Text, as truth tables, as a list of inputs and outputs,
//! and as wires, for whoever builds its panel.
//!
//! Owns: names in a program text, contacts and what a broken wire does, terminals, the cautions. It prints the blocks and
//! decides nothing: what a block does is `step`'s.
//! Must not know: files, terminals of a computer, JSON, how water behaves.

mod cautions;
mod contacts;
mod cubes;
mod facts;
mod identifiers;
mod page;
mod parts;
mod points;
mod spelled;
mod statements;
mod structured_text;
mod truth_table;
mod wires;

pub use contacts::Contact;
pub use facts::Facts;
pub use points::{Point, Signal};
pub use spelled::StructuredText;
pub use truth_table::{Column, MOST_ROWS, TruthRow, TruthTable};
pub use wires::Wire;

use super::{Program, TooLarge};
use crate::station::Station;

/// A station's control, to take away.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeAway {
    /// The program.
    pub program: Program,
    /// What must be said first.
    pub cautions: Vec<String>,
    /// Inputs, thermometers, outputs.
    pub points: Vec<Point>,
    /// Wires from terminal to terminal.
    pub wires: Vec<Wire>,
    /// What is switched in which case.
    pub truth_tables: Vec<TruthTable>,
    /// The program as Structured Text.
    pub structured_text: StructuredText,
}

impl TakeAway {
    /// The control of a station that was read from a file of this name.
    ///
    /// # Errors
    /// A station that takes more blocks or inputs than a program can have.
    pub fn of(station: &Station, file: &str) -> Result<Self, TooLarge> {
        Self::told(&Facts::of(station, file))
    }

    /// The control of these facts.
    ///
    /// # Errors
    /// Settings that take more blocks or inputs than a program can have.
    pub fn told(facts: &Facts) -> Result<Self, TooLarge> {
        let program = Program::wired(&facts.settings)?;
        let points = points::points(&program, facts);
        let cautions = cautions::cautions(&program, facts);
        Ok(Self {
            wires: wires::wires(&program, facts, &points),
            truth_tables: truth_table::truth_tables(&program, facts),
            structured_text: structured_text::structured_text(&program, facts, &points, &cautions),
            cautions,
            points,
            program,
        })
    }
}
