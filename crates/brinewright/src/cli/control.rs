//! `brinewright control`: the station's control to take away.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;
use station::Station;
use station::control::take_away::{Point, Signal, TakeAway, TruthTable};

use super::page::{WIDTH, fill, json};
use super::{Answer, Output};
use crate::failure::Failure;
use crate::task;
use crate::task::station::load_on;

/// The control to take away: inputs and outputs, wires, truth tables, a program for a controller
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Folder for control.st, the program as Structured Text of IEC 61131-3, and control.csv, the list of inputs and
    /// outputs; it is made where it isn't there
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

#[derive(Serialize)]
struct Machine<'c> {
    format: u32,
    program: Vec<BlockOf>,
    truth_table: Vec<TableOf<'c>>,
    inputs_outputs: Vec<PointOf<'c>>,
    wiring: Vec<WireOf<'c>>,
    structured_text: &'c str,
    cautions: &'c [String],
}

#[derive(Serialize)]
struct BlockOf {
    block: String,
    reads: Vec<String>,
    writes: String,
}

#[derive(Serialize)]
struct TableOf<'c> {
    says: &'c str,
    switches: &'c [String],
    columns: Vec<&'c str>,
    rows: Vec<RowOf<'c>>,
}

#[derive(Serialize)]
struct RowOf<'c> {
    /// On, off, or nothing where it doesn't matter.
    cells: &'c [Option<bool>],
    on: bool,
}

#[derive(Serialize)]
struct PointOf<'c> {
    tag: &'c str,
    channel: &'c str,
    what: &'c str,
    place: &'c str,
    contact: &'static str,
    /// Whether the program takes a closed contact for on.
    on_when_closed: bool,
    closed_while: &'c str,
    why: &'static str,
    voltage: &'static str,
    broken_wire: &'static str,
    variable: &'c str,
}

#[derive(Serialize)]
struct WireOf<'c> {
    number: usize,
    from: &'c str,
    to: &'c str,
    what: &'c str,
}

/// Reads, makes, prints, writes.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let loaded = load_on(options.file.as_deref(), None, output.asked())?;
    let control = task::control::control(&loaded.station, &loaded.name)?;
    let mut text = page(&loaded.station, &control);
    match &options.out {
        Some(folder) => {
            task::control::write(&control, folder)?;
            let written = format!(
                "Written to {}: control.st, the program, and control.csv, the list of inputs and outputs.",
                folder.display()
            );
            text += &format!("\n{}\n", fill(&written, "", ""));
        }
        None => text += "\nThe program for a controller: --out FOLDER writes control.st\n",
    }
    if options.file.is_none() {
        text += "Larkhaven and its numbers are invented. Yours: brinewright new FILE\n";
    }
    Ok(Answer {
        text,
        json: json(&machine(&control)),
        ..Answer::default()
    })
}

fn machine(control: &TakeAway) -> Machine<'_> {
    let rows = control.program.rows().into_iter();
    let variables = &control.structured_text.points;
    Machine {
        format: 1,
        program: rows
            .map(|row| BlockOf {
                block: row.block,
                reads: row.reads,
                writes: row.writes,
            })
            .collect(),
        truth_table: control.truth_tables.iter().map(table_of).collect(),
        inputs_outputs: control
            .points
            .iter()
            .zip(variables)
            .map(|(point, variable)| point_of(point, variable))
            .collect(),
        wiring: control
            .wires
            .iter()
            .map(|wire| WireOf {
                number: wire.number,
                from: &wire.from,
                to: &wire.to,
                what: &wire.what,
            })
            .collect(),
        structured_text: &control.structured_text.text,
        cautions: &control.cautions,
    }
}

fn table_of(table: &TruthTable) -> TableOf<'_> {
    TableOf {
        says: &table.says,
        switches: &table.switches,
        columns: table.columns.iter().map(|column| &*column.says).collect(),
        rows: table
            .rows
            .iter()
            .map(|row| RowOf {
                cells: &row.cells,
                on: row.on,
            })
            .collect(),
    }
}

fn point_of<'c>(point: &'c Point, variable: &'c str) -> PointOf<'c> {
    PointOf {
        tag: &point.tag,
        channel: &point.channel,
        what: &point.what,
        place: &point.place,
        contact: point.contact.words(),
        on_when_closed: point.on_when_closed,
        closed_while: &point.closed_while,
        why: point.why,
        voltage: point.voltage,
        broken_wire: point.broken_wire,
        variable,
    }
}

fn page(station: &Station, control: &TakeAway) -> String {
    let mut out = format!("{}: control to take away\n", station.title.title.value);
    out += "\nCautions\n";
    for caution in &control.cautions {
        out += &(fill(caution, "  ", "    ") + "\n");
    }
    out += "\nInputs and outputs\n";
    for point in &control.points {
        out += &point_in_words(point);
    }
    out += "\nCase by case: 1 on, 0 off, - makes no difference\n";
    for table in &control.truth_tables {
        out += &table_in_words(table);
    }
    out += "\nWires, each to be marked with its number at both ends\n";
    let width = |of: fn(&station::control::take_away::Wire) -> &str| {
        let widths = control.wires.iter().map(|wire| of(wire).chars().count());
        widths.max().unwrap_or_default()
    };
    let (from, to) = (width(|wire| &wire.from), width(|wire| &wire.to));
    for wire in &control.wires {
        let first = format!("  {:>3}  {:<from$}  {:<to$}  ", wire.number, wire.from, wire.to);
        let rest = " ".repeat(first.chars().count());
        out += &(fill(&wire.what, &first, &rest) + "\n");
    }
    out
}

fn point_in_words(point: &Point) -> String {
    let head = format!("{}: {}, {}", point.tag, point.what, point.place);
    let is = match point.signal {
        Signal::Input(_) => format!(
            "{}, closed while {}: {}",
            point.contact.words(),
            point.closed_while,
            point.why
        ),
        Signal::Temperature(_) => format!("{}: {}", point.closed_while, point.why),
        Signal::Output(_) => format!("on while {}", point.closed_while),
    };
    let first = format!("  {:<5} ", point.channel);
    let rest = " ".repeat(10);
    let mut out = String::new();
    for (line, first) in [
        (head, &*first),
        (is, &rest),
        (
            format!("{}; wire broken: {}", point.voltage, point.broken_wire),
            &*rest,
        ),
    ] {
        out += &(fill(&line, first, &rest) + "\n");
    }
    out
}

/// Columns by letters, told above their rows.
fn table_in_words(table: &TruthTable) -> String {
    let mut head = table.says.clone();
    if !table.switches.is_empty() {
        head = format!("{}: {head}", table.switches.join(", "));
    }
    let mut out = format!("\n{}\n", fill(&head, "  ", "    "));
    let letters = || (b'a'..=b'z').map(char::from);
    for (letter, column) in letters().zip(&table.columns) {
        out += &(fill(&column.says, &format!("    {letter}  "), "       ") + "\n");
    }
    let names: Vec<String> = letters().take(table.columns.len()).map(String::from).collect();
    if !names.is_empty() {
        out += &format!("       {}\n", names.join(" "));
    }
    for row in &table.rows {
        let cells: Vec<&str> = row
            .cells
            .iter()
            .map(|cell| match cell {
                Some(true) => "1",
                Some(false) => "0",
                None => "-",
            })
            .collect();
        let line = format!(
            "       {}   {}",
            cells.join(" "),
            if row.on { "on" } else { "off" }
        );
        debug_assert!(line.len() <= WIDTH);
        out += &format!("{line}\n");
    }
    out
}
