//! One block as statements, with a comment that says in words what it does.

use super::super::block::{Block, Kind};
use super::super::program::Program;
use super::facts::{Facts, milliseconds, time};
use super::page::Lines;
use super::spelled::Names;

/// A day, s.
const DAY_S: f64 = 86_400.0;

/// One block.
pub(super) fn statements(
    out: &mut Lines,
    program: &Program,
    facts: &Facts,
    names: &Names,
    at: usize,
    block: &Block,
) {
    let wire = program.inputs().len() + at;
    let said = program.name(wire);
    let own = &names.wires[wire];
    let instance = &names.instances[at];
    let reads: Vec<String> = program.reads(block).iter().map(|read| names.wire(read)).collect();
    let joined = |word: &str, none: &str| match reads.is_empty() {
        true => none.to_owned(),
        false => reads.join(word),
    };
    let read = |at: usize| reads.get(at).map_or("FALSE", String::as_str);
    let told = |at: usize| {
        program
            .reads(block)
            .get(at)
            .map_or_else(String::new, |read| facts.said(program, read))
    };
    match block.kind {
        Kind::All => {
            out.comment("", &format!("{said}: while all of this is so"));
            out.statement("", &format!("{own} := {};", joined(" AND ", "TRUE")));
        }
        Kind::Any => {
            out.comment("", &format!("{said}: while any of this is so"));
            out.statement("", &format!("{own} := {};", joined(" OR ", "FALSE")));
        }
        Kind::Latch { retained } => {
            let kept = if retained { "; kept without power" } else { "" };
            let words = format!(
                "{said}: from [{}] until [{}], whose word counts more{kept}",
                told(0),
                told(1)
            );
            out.comment("", &words);
            out.statement("", &format!("IF {} THEN", read(1)));
            out.line(&format!("    {own} := FALSE;"));
            out.statement("", &format!("ELSIF {} THEN", read(0)));
            out.line(&format!("    {own} := TRUE;"));
            out.line("END_IF;");
        }
        Kind::OnDelay { delay_s } => {
            out.comment("", &format!("{said}: [{}] for {}", told(0), time(delay_s)));
            out.statement(
                "",
                &format!(
                    "{instance}(IN := {}, PT := {});",
                    read(0),
                    literal(milliseconds(delay_s))
                ),
            );
            out.statement("", &format!("{own} := {instance}.Q;"));
        }
        Kind::RisingEdge => {
            out.comment("", &format!("{said}: once, as this begins: [{}]", told(0)));
            out.statement("", &format!("{instance}(CLK := {});", read(0)));
            out.statement("", &format!("{own} := {instance}.Q;"));
        }
        Kind::Colder {
            vessel,
            on_below_c,
            off_at_c,
        } => {
            let (low, high) = (facts.temperature(on_below_c), facts.temperature(off_at_c));
            out.comment(
                "",
                &format!(
                    "{said}: on below {low}, off from {high} on, in between as it was; off without a reading"
                ),
            );
            let vessel = usize::from(vessel);
            let Some((_, celsius, sound)) = names.readings.iter().find(|(own, ..)| *own == vessel) else {
                return;
            };
            out.line(&format!("IF NOT {sound} THEN"));
            out.line(&format!("    {own} := FALSE;"));
            out.line(&format!("ELSIF {celsius} < {} THEN", real(on_below_c)));
            out.line(&format!("    {own} := TRUE;"));
            out.line(&format!("ELSIF {celsius} >= {} THEN", real(off_at_c)));
            out.line(&format!("    {own} := FALSE;"));
            out.line("END_IF;");
        }
        Kind::Daily { from_s, for_s } => {
            let from_s = from_s.rem_euclid(DAY_S);
            let (from, until) = (
                time_of_day(from_s),
                time_of_day((from_s + for_s).rem_euclid(DAY_S)),
            );
            let clock = &names.clock;
            let (begin, end) = (
                literal(milliseconds(from_s)),
                literal(milliseconds((from_s + for_s).rem_euclid(DAY_S))),
            );
            if for_s >= DAY_S {
                out.comment("", &format!("{said}: day and night"));
                out.statement("", &format!("{own} := TRUE;"));
            } else if for_s <= 0.0 {
                out.comment("", &format!("{said}: never"));
                out.statement("", &format!("{own} := FALSE;"));
            } else {
                out.comment("", &format!("{said}: from {from} until {until}"));
                let word = if from_s + for_s < DAY_S { "AND" } else { "OR" };
                out.statement(
                    "",
                    &format!("{own} := {clock} >= {begin} {word} {clock} < {end};"),
                );
            }
        }
    }
}

/// `T#11h40m`.
fn literal(ms: u64) -> String {
    let mut out = "T#".to_owned();
    let mut rest = ms;
    for (name, unit) in [
        ("d", 86_400_000),
        ("h", 3_600_000),
        ("m", 60_000),
        ("s", 1000),
        ("ms", 1),
    ] {
        if rest >= unit {
            out += &format!("{}{name}", rest / unit);
            rest %= unit;
        }
    }
    if out.len() == 2 {
        out += "0s";
    }
    out
}

/// A number with its point; as many digits as a REAL holds.
fn real(value: f64) -> String {
    format!("{:?}", value as f32)
}

/// `09:00`.
fn time_of_day(seconds: f64) -> String {
    let minutes = milliseconds(seconds) / 60_000;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn literals_of_time_and_temperature() {
        for (ms, expected) in [
            (0, "T#0s"),
            (2000, "T#2s"),
            (300_000, "T#5m"),
            (42_000_000, "T#11h40m"),
            (90_061_001, "T#1d1h1m1s1ms"),
        ] {
            assert_eq!(literal(ms), expected);
        }
        assert_eq!(real(19.5), "19.5");
        assert_eq!(real(20.0), "20.0");
        assert_eq!(real(-1.25), "-1.25");
    }
}
