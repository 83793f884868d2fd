//! The blocks as Structured Text of IEC 61131-3.
//!
//! Two parts: a function block that holds the blocks, one statement for each in their order, and a program that knows the
//! contacts. The program calls the function block four times a scan, since a step (`step`) means all blocks, again until
//! nothing changes, and what the functions wire settles in four. Used of the language: BOOL, REAL, TIME; IF; assignment;
//! comparison; AND, OR, NOT; TON, R_TRIG. A test interprets exactly that, and holds the text to the step at each scan.
//!
//! Power is the controller's own: its input is TRUE wherever the program runs, and its loss is a restart that keeps what is
//! RETAIN and nothing else.

use super::super::block::{Block, Kind};
use super::super::program::{POWER, Program};
use super::facts::Facts;
use super::page::Lines;
use super::parts::parts;
use super::points::{Point, Signal};
use super::spelled::{Names, StructuredText};
use super::statements::statements;

/// How often the function block is called in one scan: as many passes as a step takes at the most.
const PASSES: usize = 4;

/// The text of a program.
pub(super) fn structured_text(
    program: &Program,
    facts: &Facts,
    points: &[Point],
    cautions: &[String],
) -> StructuredText {
    let names = Names::of(program, facts, points);
    let has_clock = program
        .blocks()
        .iter()
        .any(|block| matches!(block.kind, Kind::Daily { .. }));
    let mut out = Lines::default();
    head(&mut out, facts, cautions);
    function_block(&mut out, program, facts, &names, has_clock);
    out.line("");
    main(&mut out, program, points, &names, has_clock);
    StructuredText {
        text: out.text,
        program: names.program,
        points: names.points,
        sound: names.sound,
        clock: has_clock.then_some(names.clock),
        instance: names.instance,
        wires: names.wires,
    }
}

fn head(out: &mut Lines, facts: &Facts, cautions: &[String]) {
    let title = match facts.title.as_str() {
        "" => "Control of a station.".to_owned(),
        title => format!("Control of: {title}."),
    };
    out.comment("", &title);
    if !facts.file.is_empty() {
        let made = format!(
            "Made by brinewright from the file {}. Change that file and make this anew; what is changed here is lost.",
            facts.file
        );
        out.comment("", &made);
    }
    out.line("");
    for caution in cautions {
        out.comment("", &format!("CAUTION. {caution}"));
    }
    out.line("");
    out.comment(
        "",
        "Structured Text of IEC 61131-3, with BOOL, REAL, TIME, IF, assignment, comparison, AND, OR, NOT, TON and R_TRIG. \
         Run the program every 100 ms or faster, in one task.",
    );
    out.line("");
}

fn function_block(out: &mut Lines, program: &Program, facts: &Facts, names: &Names, has_clock: bool) {
    let inputs = program.inputs().len();
    out.comment(
        "",
        "What decides. It knows what is so, not by which contact that is told.",
    );
    out.line(&format!("FUNCTION_BLOCK {}", names.block));
    out.line("VAR_INPUT");
    for (at, input) in program.inputs().iter().enumerate().filter(|(at, _)| *at != POWER) {
        let said = format!("{}{}", program.name(at), facts.height_of(*input));
        declared(out, &names.wires[at], "BOOL", &said);
    }
    for (vessel, celsius, sound) in &names.readings {
        let name = facts.vessel(*vessel);
        declared(
            out,
            celsius,
            "REAL",
            &format!("temperature of {name}, degrees Celsius"),
        );
        declared(
            out,
            sound,
            "BOOL",
            &format!("that temperature of {name} is sound"),
        );
    }
    if has_clock {
        declared(out, &names.clock, "TIME", "time since midnight, by the clock");
    }
    out.line("END_VAR");
    out.line("VAR_OUTPUT");
    for (at, name) in names.outputs.iter().enumerate() {
        declared(
            out,
            name,
            "BOOL",
            program.wire_of(at).map_or("", |wire| program.name(wire)),
        );
    }
    out.line("END_VAR");
    let retained = |block: &Block| block.kind == Kind::Latch { retained: true };
    let blocks = || program.blocks().iter().enumerate();
    if blocks().any(|(_, block)| retained(block)) {
        out.line("VAR RETAIN");
        for (at, _) in blocks().filter(|(_, block)| retained(block)) {
            declared(
                out,
                &names.wires[inputs + at],
                "BOOL",
                "a fault, kept without power",
            );
        }
        out.line("END_VAR");
    }
    out.line("VAR");
    for (at, _) in blocks().filter(|(_, block)| !retained(block)) {
        declared(out, &names.wires[inputs + at], "BOOL", "");
    }
    for (at, block) in blocks() {
        match block.kind {
            Kind::OnDelay { .. } => declared(out, &names.instances[at], "TON", ""),
            Kind::RisingEdge => declared(out, &names.instances[at], "R_TRIG", ""),
            _ => {}
        }
    }
    out.line("END_VAR");
    let mut last = String::new();
    for ((at, block), part) in blocks().zip(parts(program, facts)) {
        out.line("");
        if part != last {
            out.comment("", &format!("---- {part} ----"));
            out.line("");
            last = part;
        }
        statements(out, program, facts, names, at, block);
    }
    out.line("");
    out.comment("", "---- what is switched ----");
    out.line("");
    for (at, name) in names.outputs.iter().enumerate() {
        let wire = program.wire_of(at).unwrap_or_default();
        out.statement("", &format!("{name} := {};", names.wires[wire]));
    }
    out.line("END_FUNCTION_BLOCK");
}

fn declared(out: &mut Lines, name: &str, kind: &str, said: &str) {
    if !said.is_empty() {
        out.comment("    ", said);
    }
    out.line(&format!("    {name} : {kind};"));
}

/// The program that knows the contacts.
fn main(out: &mut Lines, program: &Program, points: &[Point], names: &Names, has_clock: bool) {
    out.comment(
        "",
        "What is wired. TRUE is a closed contact, or an output that is on.",
    );
    out.line(&format!("PROGRAM {}", names.program));
    out.line("VAR_INPUT");
    let mut given: Vec<String> = Vec::new();
    for (point, name) in points.iter().zip(&names.points) {
        match point.signal {
            Signal::Input(at) => {
                let said = format!(
                    "{}: {}; closed while {}",
                    point.channel, point.what, point.closed_while
                );
                declared(out, name, "BOOL", &said);
                let not = if point.on_when_closed { "" } else { "NOT " };
                given.push(format!("{} := {not}{name}", names.wires[at]));
            }
            Signal::Temperature(vessel) => {
                declared(
                    out,
                    name,
                    "REAL",
                    &format!("{}: {}, degrees Celsius", point.channel, point.what),
                );
                let sound = names.sound.iter().find(|(own, _)| *own == vessel);
                let reading = names.readings.iter().find(|(own, ..)| *own == vessel);
                if let (Some((_, sound)), Some((_, celsius, is_sound))) = (sound, reading) {
                    declared(
                        out,
                        sound,
                        "BOOL",
                        "TRUE while that reading is sound: its wires whole, its value possible",
                    );
                    given.push(format!("{celsius} := {name}"));
                    given.push(format!("{is_sound} := {sound}"));
                }
            }
            Signal::Output(_) => {}
        }
    }
    if has_clock {
        declared(
            out,
            &names.clock,
            "TIME",
            "time since midnight, by the controller's clock",
        );
        given.push(format!("{0} := {0}", names.clock));
    }
    out.line("END_VAR");
    out.line("VAR_OUTPUT");
    let outputs = || {
        points
            .iter()
            .zip(&names.points)
            .filter_map(|(point, name)| match point.signal {
                Signal::Output(at) => Some((point, name, at)),
                _ => None,
            })
    };
    for (point, name, _) in outputs() {
        declared(out, name, "BOOL", &format!("{}: {}", point.channel, point.what));
    }
    out.line("END_VAR");
    out.line("VAR");
    out.line(&format!("    {} : {};", names.instance, names.block));
    out.line("END_VAR");
    out.line("");
    out.comment(
        "",
        "Called four times: what one block gives another that stands before it counts in the same scan.",
    );
    let count = given.len();
    // A station may sense nothing.
    let open = if count == 0 { "();" } else { "(" };
    out.line(&format!("{}{open}", names.instance));
    for (at, given) in given.iter().enumerate() {
        let end = if at + 1 == count { ");" } else { "," };
        out.statement("    ", &format!("{given}{end}"));
    }
    for _ in 1..PASSES {
        out.line(&format!("{}();", names.instance));
    }
    for (_, name, at) in outputs() {
        out.statement(
            "",
            &format!("{name} := {}.{};", names.instance, names.outputs[at]),
        );
    }
    out.line("END_PROGRAM");
    debug_assert_eq!(outputs().count(), program.outputs().len());
}
