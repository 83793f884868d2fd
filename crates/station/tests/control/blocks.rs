//! The primitive blocks, as timing diagrams and truth tables.
//!
//! Source of TON, R_TRIG and RS: their definitions in IEC 61131-3, from memory.

use station::control::{Event, Input, Kind, Output, Program, Read, Wiring};

use super::rig::Rig;

const CLOCK: Input = Input::ValveOpen { valve: 0 };
const RESET: Input = Input::ValveOpen { valve: 1 };
const OUT: Output = Output::Feed;

/// A program of the blocks that `wire` makes from the two inputs.
fn program(wire: impl Fn(&mut Wiring, Read, Read) -> Read) -> Program {
    let mut wiring = Wiring::default();
    let clock = wiring.input(CLOCK, "clock");
    let reset = wiring.input(RESET, "reset");
    let out = wire(&mut wiring, clock, reset);
    wiring.output(OUT, out);
    wiring.finish().expect("a small program")
}

/// One character a second: what goes in, and what comes out in that second.
fn diagram(program: &Program, clock: &str, reset: &str) -> String {
    let level = |text: &str, at: usize| text.as_bytes().get(at) == Some(&b'1');
    let mut on = vec![];
    if level(clock, 0) {
        on.push(CLOCK);
    }
    if level(reset, 0) {
        on.push(RESET);
    }
    let mut rig = Rig::start(program.clone(), &on);
    let mut out = String::new();
    for (second, at_s) in (0..clock.len()).zip((0..).map(f64::from)) {
        if program.input(RESET).is_some() {
            rig.set(at_s, RESET, level(reset, second));
        }
        rig.set(at_s, CLOCK, level(clock, second));
        out.push(if rig.is_on(OUT) { '1' } else { '0' });
    }
    out
}

#[test]
fn on_delay() {
    // Delay, input, output.
    let cases = [
        (2.0, "0110111100", "0000001100"), // too short; long enough; off at once
        (2.0, "1111000000", "0011000000"), // on from the first scan
        (2.0, "1101101110", "0000000010"), // each gap begins anew
        (0.0, "0110101110", "0110101110"), // no delay
        (9.0, "1111111111", "0000000001"), // on exactly when it has run
    ];
    for (delay_s, input, output) in cases {
        let program = program(|wiring, clock, _| wiring.block(Kind::OnDelay { delay_s }, &[clock], "out"));
        assert_eq!(
            diagram(&program, input, ""),
            output,
            "TON of {delay_s} s on {input}"
        );
    }
}

#[test]
fn rising_edge_sets_once() {
    let program = program(|wiring, clock, reset| {
        let edge = wiring.block(Kind::RisingEdge, &[clock], "edge");
        wiring.block(Kind::Latch { retained: false }, &[edge, reset], "out")
    });
    // Clock, reset, what the edge set.
    let cases = [
        ("0111011100", "0010000010", "0100011100"), // after the reset a clock still on sets nothing
        ("1111100000", "0010000000", "1100000000"), // on at the first scan is an edge
        ("0101010000", "0010101000", "0101010000"), // one for each rise
        ("0111100000", "0100000000", "0000000000"), // an edge under reset is lost
    ];
    for (clock, reset, output) in cases {
        assert_eq!(diagram(&program, clock, reset), output, "R_TRIG on {clock}");
    }
}

#[test]
fn an_edge_is_over_when_the_step_ends() {
    let program = program(|wiring, clock, _| wiring.block(Kind::RisingEdge, &[clock], "out"));
    assert_eq!(diagram(&program, "0110", ""), "0000");
}

#[test]
fn latch_whose_reset_wins() {
    let program =
        program(|wiring, clock, reset| wiring.block(Kind::Latch { retained: false }, &[clock, reset], "out"));
    // Set, reset, held before, held after: RS of IEC 61131-3.
    let table = [
        (0, 0, 0, 0),
        (0, 0, 1, 1),
        (0, 1, 0, 0),
        (0, 1, 1, 0),
        (1, 0, 0, 1),
        (1, 0, 1, 1),
        (1, 1, 0, 0),
        (1, 1, 1, 0),
    ];
    for (set, reset, before, after) in table {
        let mut rig = Rig::start(program.clone(), &[]);
        rig.set(0.0, CLOCK, before == 1);
        rig.set(1.0, CLOCK, false);
        assert_eq!(rig.is_on(OUT), before == 1);
        rig.set(2.0, RESET, reset == 1);
        rig.set(2.0, CLOCK, set == 1);
        assert_eq!(rig.is_on(OUT), after == 1, "S {set}, R1 {reset}, Q1 {before}");
    }
}

#[test]
fn all_any_and_not() {
    // Two inputs; all, any, the first and not the second, neither.
    for (clock, reset, all, any, but, neither) in [
        (false, false, false, false, false, true),
        (false, true, false, true, false, false),
        (true, false, false, true, true, false),
        (true, true, true, true, false, false),
    ] {
        type Wire = fn(&mut Wiring, Read, Read) -> Read;
        let wires: [(Wire, bool); 4] = [
            (|wiring, a, b| wiring.block(Kind::All, &[a, b], "out"), all),
            (|wiring, a, b| wiring.block(Kind::Any, &[a, b], "out"), any),
            (|wiring, a, b| wiring.block(Kind::All, &[a, !b], "out"), but),
            (|wiring, a, b| wiring.block(Kind::All, &[!a, !b], "out"), neither),
        ];
        for (at, (wire, expected)) in wires.into_iter().enumerate() {
            let mut rig = Rig::start(program(wire), &[]);
            rig.set(1.0, CLOCK, clock);
            rig.set(1.0, RESET, reset);
            assert_eq!(rig.is_on(OUT), expected, "case {at} of {clock} and {reset}");
        }
    }
    let nothing = Rig::start(program(|wiring, _, _| wiring.block(Kind::All, &[], "out")), &[]);
    assert!(nothing.is_on(OUT), "all of nothing is on");
    let nothing = Rig::start(program(|wiring, _, _| wiring.block(Kind::Any, &[], "out")), &[]);
    assert!(!nothing.is_on(OUT), "any of nothing is off");
}

#[test]
fn a_comparison_with_hysteresis() {
    let program = program(|wiring, _, _| {
        let colder = Kind::Colder {
            vessel: 0,
            on_below_c: 20.0,
            off_at_c: 21.0,
        };
        wiring.block(colder, &[], "out")
    });
    let mut rig = Rig::start(program, &[]);
    assert!(!rig.is_on(OUT), "without a reading");
    for (temperature_c, expected) in [
        (20.5, false),
        (20.0, false),
        (19.9, true),
        (20.5, true),
        (20.99, true),
        (21.0, false),
        (20.0, false),
        (-5.0, true),
        (f64::NAN, false), // a thermometer that fails heats nothing
        (20.5, false),
        (f64::NEG_INFINITY, false),
        (19.0, true),
        (f64::INFINITY, false),
    ] {
        let reading = Event::Reading {
            vessel: 0,
            temperature_c,
        };
        rig.event(1.0, reading);
        assert_eq!(rig.is_on(OUT), expected, "{temperature_c} °C");
    }
}

#[test]
fn once_a_day() {
    const HOUR_S: f64 = 3600.0;
    // From, for (hours); hour of the clock; on.
    for (from, lasts, hour, expected) in [
        (9.0, 3.0, 0.0, false),
        (9.0, 3.0, 9.0, true),
        (9.0, 3.0, 11.999, true),
        (9.0, 3.0, 12.0, false),
        (9.0, 3.0, 33.0, true),
        (9.0, 3.0, 24.0 * 364.0 + 36.0, false),
        (22.0, 4.0, 1.0, true), // over midnight, begun the day before
        (22.0, 4.0, 2.0, false),
        (9.0, 24.0, 5.0, true),
        (9.0, 0.0, 9.0, false),
    ] {
        let daily = Kind::Daily {
            from_s: from * HOUR_S,
            for_s: lasts * HOUR_S,
        };
        let program = program(|wiring, _, _| wiring.block(daily, &[], "out"));
        let mut rig = Rig::start(program, &[]);
        rig.wait(hour * HOUR_S);
        assert_eq!(rig.is_on(OUT), expected, "{lasts} h from {from}, at {hour}");
    }
}

#[test]
fn power_clears_all_but_what_is_retained() {
    for (retained, expected) in [(false, false), (true, true)] {
        let program =
            program(|wiring, clock, reset| wiring.block(Kind::Latch { retained }, &[clock, reset], "out"));
        let mut rig = Rig::start(program, &[]);
        rig.set(1.0, CLOCK, true);
        rig.set(2.0, CLOCK, false);
        assert!(rig.is_on(OUT));
        rig.set(3.0, Input::Power, false);
        assert!(!rig.is_on(OUT), "nothing is on without power");
        assert_eq!(rig.program.due_s(&rig.state), None);
        rig.event(9.0, Event::PowerBack);
        assert_eq!(rig.is_on(OUT), expected);
    }
}

#[test]
fn a_delay_begins_anew_after_power() {
    let program = program(|wiring, clock, _| wiring.block(Kind::OnDelay { delay_s: 10.0 }, &[clock], "out"));
    let mut rig = Rig::start(program, &[CLOCK]);
    assert_eq!(rig.program.due_s(&rig.state), Some(10.0));
    rig.event(6.0, Event::PowerBack);
    assert_eq!(rig.program.due_s(&rig.state), Some(16.0));
    rig.wait(15.9);
    assert!(!rig.is_on(OUT));
    rig.wait(16.0);
    assert!(rig.is_on(OUT));
}

#[test]
fn what_makes_no_sense_is_ignored() {
    let program = program(|wiring, clock, _| wiring.block(Kind::OnDelay { delay_s: 10.0 }, &[clock], "out"));
    let mut rig = Rig::start(program, &[CLOCK]);
    rig.wait(3.0);
    let before = rig.state.clone();
    for event in [
        Event::Changed { input: 999, on: true },
        Event::Reading {
            vessel: 7,
            temperature_c: 1.0,
        },
        Event::Due,
    ] {
        rig.program.step(&mut rig.state, f64::NAN, event);
        rig.program.step(&mut rig.state, -5.0, event);
        rig.program.step(&mut rig.state, f64::INFINITY, event);
    }
    assert_eq!(rig.state, before);
}

#[test]
fn a_program_has_a_largest_size() {
    let mut wiring = Wiring::default();
    let blocks: Vec<Read> = (0..=station::control::MOST_BLOCKS)
        .map(|_| wiring.block(Kind::All, &[], "on"))
        .collect();
    // What no output depends on doesn't count.
    assert_eq!(wiring.clone().finish().expect("nothing").blocks().len(), 0);
    for block in blocks {
        wiring.output(OUT, block);
    }
    let refused = wiring.finish().expect_err("one block too many");
    assert_eq!((refused.what, refused.count, refused.most), ("blocks", 257, 256));
    assert!(refused.to_string().contains("257 blocks"));
}
