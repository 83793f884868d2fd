//! On-delays and edges by the timing diagrams of IEC 61131-3: the interpreter's, and the step's own.
//!
//! The diagrams are from memory. The text of `R_TRIG` is `Q := CLK AND NOT M; M := CLK;` with M FALSE at first, as
//! public libraries quote it from the standard's second edition.

use station::control::{Alarm, Event, Input, Kind, Output, Program, Wiring};

use super::machine::{Machine, Ton, Trigger, Value};

/// Moment in scans of 100 ms, IN, and then Q and ET in scans. PT is five scans.
type TonRow = (i64, bool, bool, i64);
const PRESET: i64 = 5;

const TON_CASES: [(&str, &[TonRow]); 5] = [
    (
        "IN shorter than PT gives no Q, and ET falls with it",
        &[
            (0, false, false, 0),
            (1, true, false, 0),
            (5, true, false, 4),
            (6, false, false, 0),
            (12, false, false, 0),
        ],
    ),
    (
        "Q rises as ET reaches PT; ET stays at PT while IN lasts; both fall with IN",
        &[
            (0, true, false, 0),
            (4, true, false, 4),
            (5, true, true, 5),
            (6, true, true, 5),
            (50, true, true, 5),
            (51, false, false, 0),
        ],
    ),
    (
        "IN in the first scan counts from there",
        &[(0, true, false, 0), (5, true, true, 5)],
    ),
    (
        "a gap of one scan begins anew",
        &[
            (0, true, false, 0),
            (4, true, false, 4),
            (5, false, false, 0),
            (6, true, false, 0),
            (10, true, false, 4),
            (11, true, true, 5),
        ],
    ),
    (
        "after Q, again",
        &[
            (0, true, false, 0),
            (5, true, true, 5),
            (6, false, false, 0),
            (7, true, false, 0),
            (11, true, false, 4),
            (12, true, true, 5),
        ],
    ),
];

/// CLK and Q, scan by scan.
const TRIGGER_CASES: [(&str, &[(bool, bool)]); 4] = [
    (
        "one scan from FALSE to TRUE",
        &[
            (false, false),
            (true, true),
            (true, false),
            (true, false),
            (false, false),
        ],
    ),
    (
        "TRUE in the first scan is an edge",
        &[(true, true), (true, false)],
    ),
    (
        "each rise anew",
        &[
            (false, false),
            (true, true),
            (false, false),
            (true, true),
            (true, false),
        ],
    ),
    ("a fall is none", &[(true, true), (false, false), (false, false)]),
];

#[test]
fn the_interpreters_timer_is_the_standards() {
    for (what, rows) in TON_CASES {
        let mut ton = Ton {
            preset_ms: PRESET * 100,
            ..Ton::default()
        };
        let mut rows = rows.iter().peekable();
        // Called at each scan, as a controller does.
        let mut scan = 0;
        while let Some((at, input, q, elapsed)) = rows.next() {
            ton.input = *input;
            ton.call(at * 100);
            assert_eq!((ton.q, ton.elapsed_ms), (*q, elapsed * 100), "{what}, scan {at}");
            scan = scan.max(*at);
            let until = rows.peek().map_or(scan, |(at, ..)| *at);
            for between in at + 1..until {
                ton.call(between * 100);
            }
        }
    }
}

#[test]
fn the_interpreters_edge_is_the_standards() {
    for (what, rows) in TRIGGER_CASES {
        let mut trigger = Trigger::default();
        for (scan, (clock, q)) in rows.iter().enumerate() {
            trigger.clock = *clock;
            trigger.call();
            assert_eq!(trigger.q, *q, "{what}, scan {scan}");
        }
    }
}

/// The same through a text, so that the words IN, PT, Q, ET and CLK mean what they should.
#[test]
fn a_text_calls_them_so() {
    let text = "
        FUNCTION_BLOCK B VAR_INPUT i : BOOL; END_VAR VAR_OUTPUT q : BOOL; e : BOOL; late : BOOL; END_VAR
        VAR t : TON; r : R_TRIG; END_VAR
        t(IN := i, PT := T#500ms); q := t.Q; late := t.ET >= T#400ms; r(CLK := i); e := r.Q;
        END_FUNCTION_BLOCK
        PROGRAM P VAR_INPUT i : BOOL; END_VAR VAR b : B; END_VAR b(i := i); END_PROGRAM";
    for (what, rows) in TON_CASES {
        let mut machine = Machine::new(text).expect("in the subset");
        let input = machine.place("i");
        for (at, on, q, elapsed) in rows {
            machine.set(input, Value::Bool(*on));
            machine.scan(at * 100);
            assert_eq!(
                machine.is_on_in(machine.place_in("b", "q")),
                *q,
                "{what}, scan {at}"
            );
            assert_eq!(
                machine.is_on_in(machine.place_in("b", "late")),
                *elapsed >= 4,
                "{what}, scan {at}"
            );
        }
    }
    for (what, rows) in TRIGGER_CASES {
        let mut machine = Machine::new(text).expect("in the subset");
        let input = machine.place("i");
        for (scan, (clock, q)) in rows.iter().enumerate() {
            machine.set(input, Value::Bool(*clock));
            machine.scan(scan as i64 * 100);
            assert_eq!(
                machine.is_on_in(machine.place_in("b", "e")),
                *q,
                "{what}, scan {scan}"
            );
        }
    }
}

/// One block that reads one input.
fn single(kind: Kind) -> Program {
    let mut wiring = Wiring::default();
    let read = wiring.input(Input::Leak, "in");
    let wire = wiring.block(kind, &[read], "out");
    wiring.output(Output::Alarm(Alarm::Leak), wire);
    wiring.finish().expect("a small program")
}

#[test]
fn the_steps_timer_is_the_standards() {
    // Halves of a second and their sums are exact.
    const SCAN_S: f64 = 0.5;
    for (what, rows) in TON_CASES {
        let program = single(Kind::OnDelay {
            delay_s: PRESET as f64 * SCAN_S,
        });
        let input = program.input(Input::Leak).expect("the input");
        let mut state = program.start(0.0, &[true]);
        for (at, on, q, _) in rows {
            let at_s = *at as f64 * SCAN_S;
            while let Some(due_s) = program.due_s(&state).filter(|due_s| *due_s < at_s) {
                program.step(&mut state, due_s, Event::Due);
            }
            program.step(&mut state, at_s, Event::Changed { input, on: *on });
            assert_eq!(program.is_on(&state, 0), *q, "{what}, scan {at}");
        }
    }
}

/// An edge is over when a step is, so a latch tells of it.
#[test]
fn the_steps_edge_is_the_standards() {
    for (what, rows) in TRIGGER_CASES {
        let mut wiring = Wiring::default();
        let read = wiring.input(Input::Leak, "clk");
        let clear = wiring.input(Input::Reset, "clear");
        let edge = wiring.block(Kind::RisingEdge, &[read], "edge");
        let latch = wiring.block(Kind::Latch { retained: false }, &[edge, clear], "was an edge");
        wiring.output(Output::Alarm(Alarm::Leak), latch);
        let program = wiring.finish().expect("a small program");
        let at = |input| program.input(input).expect("an input");
        let (clock, reset) = (at(Input::Leak), at(Input::Reset));
        let mut first = [true, false, false];
        first[clock] = rows[0].0;
        let mut state = program.start(0.0, &first);
        for (scan, (on, q)) in rows.iter().enumerate() {
            let at_s = scan as f64;
            program.step(
                &mut state,
                at_s,
                Event::Changed {
                    input: clock,
                    on: *on,
                },
            );
            assert_eq!(program.is_on(&state, 0), *q, "{what}, scan {scan}");
            for on in [true, false] {
                program.step(&mut state, at_s, Event::Changed { input: reset, on });
            }
        }
    }
}
