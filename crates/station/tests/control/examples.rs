//! The programs of the three examples, as rows of text, and what stands out in them.
//!
//! The rows are kept; they are made again with BLESS=1.

use std::fs;
use std::path::Path;

use station::control::{Alarm, Event, Input, Mark, Output, Program, Task};
use station::{Edit, Station};

use super::rig::Rig;

fn text(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../stations")
        .join(format!("{name}.toml"));
    fs::read_to_string(path).expect("an example")
}

fn program(name: &str) -> (Station, Program) {
    let station = Station::read(&text(name)).expect("a sound example");
    let program = Program::of(&station).expect("a small program");
    (station, program)
}

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

#[test]
fn rows_of_the_examples() {
    for name in EXAMPLES {
        let (_, program) = program(name);
        let now = program.to_string();
        let file = format!("{}/tests/control/{name}.txt", env!("CARGO_MANIFEST_DIR"));
        if std::env::var_os("BLESS").is_some() {
            fs::write(&file, &now).expect("written");
        }
        let before = fs::read_to_string(&file).unwrap_or_default();
        assert!(now == before, "{name}.txt has changed:\n{now}");
    }
}

#[test]
fn every_wire_has_a_name_of_its_own() {
    for name in EXAMPLES {
        let (_, program) = program(name);
        let wires = program.inputs().len() + program.blocks().len();
        let mut names: Vec<&str> = (0..wires).map(|wire| program.name(wire)).collect();
        names.sort_unstable();
        for pair in names.windows(2) {
            assert_ne!(pair[0], pair[1], "{name}");
        }
    }
}

#[test]
fn larkhaven_through_a_fill_and_a_batch() {
    let (station, program) = program("larkhaven");
    let vessel = |name: &str| {
        station
            .vessels
            .iter()
            .position(|own| own.name == name)
            .expect("a vessel")
    };
    let valve = |name: &str| Input::ValveOpen {
        valve: station
            .valves
            .iter()
            .position(|own| own.name == name)
            .expect("a valve"),
    };
    let (fresh, salt) = (vessel("fresh"), vessel("salt"));
    let at = |mark| Input::LevelAtOrAbove { vessel: fresh, mark };
    let covered = Input::LevelAtOrAbove {
        vessel: salt,
        mark: Mark::HeaterLevel,
    };
    assert_eq!(
        program.thermostat_c(salt),
        Some((19.5, 20.5)),
        "1 K about its 20 °C"
    );
    assert_eq!(program.thermostat_c(fresh), None);
    let mut rig = Rig::start(program, &[at(Mark::LowCutout), at(Mark::Start)]);

    // A batch is drawn; on the way the fill begins.
    rig.set(1000.0, valve("fresh-outlet"), true);
    rig.set(1010.0, Input::Ask(Task::Pump(0)), true);
    assert_eq!(rig.on(), [Output::Pump(0)]);
    rig.set(1300.0, at(Mark::Start), false);
    rig.wait(1302.0);
    assert_eq!(rig.on(), [Output::Feed, Output::Pump(0)]);
    rig.set(1400.0, covered, true);
    rig.event(
        1410.0,
        Event::Reading {
            vessel: salt,
            temperature_c: 11.0,
        },
    );
    // The heater is its own business: it keeps the batch warm once it is covered.
    assert_eq!(rig.on(), [Output::Feed, Output::Pump(0), Output::Heater(salt)]);
    rig.set(1500.0, at(Mark::LowCutout), false);
    assert_eq!(rig.on(), [Output::Feed, Output::Heater(salt)]);

    // The fresh vessel's cut-out doesn't matter while its outlet is closed: the batch is mixed.
    rig.set(1600.0, valve("fresh-outlet"), false);
    rig.set(1610.0, Input::Ask(Task::Pump(0)), false);
    rig.set(1620.0, Input::Ask(Task::Pump(0)), true);
    assert!(rig.is_on(Output::Pump(0)));

    rig.set(9000.0, at(Mark::LowCutout), true);
    rig.set(20_000.0, at(Mark::Start), true);
    rig.set(60_000.0, at(Mark::Stop), true);
    rig.wait(60_002.0);
    assert!(!rig.is_on(Output::Feed));
    assert_eq!(
        rig.program.output(Output::Alarm(Alarm::Leak)),
        None,
        "no detector is told of"
    );
}

#[test]
fn a_float_alone_makes_no_feed() {
    let (station, program) = program("juniper-street-school");
    assert_eq!(program.output(Output::Feed), None);
    let drum = station
        .vessels
        .iter()
        .position(|own| own.name == "drum")
        .expect("a drum");
    assert!(program.output(Output::Heater(drum)).is_some());
    for mark in [Mark::Start, Mark::Stop, Mark::Backup, Mark::HeaterLevel] {
        let input = Input::LevelAtOrAbove { vessel: drum, mark };
        assert_eq!(program.input(input), None, "the float is no switch");
    }
}

#[test]
fn what_skelder_senses_at_its_pumps() {
    let (station, program) = program("skelder-hatchery");
    let name = |input: &Input| match input {
        Input::ValveOpen { valve } => Some(station.valves[*valve].name.as_str()),
        _ => None,
    };
    let mut valves: Vec<&str> = program.inputs().iter().filter_map(name).collect();
    valves.sort_unstable();
    assert_eq!(valves, ["fresh-north", "fresh-south", "salt-east", "salt-west"]);
    // Each pump can fill both salt vessels: the high cut-outs of both stop both.
    for name in ["salt-east", "salt-west"] {
        let vessel = station
            .vessels
            .iter()
            .position(|own| own.name == name)
            .expect("a vessel");
        let high = Input::LevelAtOrAbove {
            vessel,
            mark: Mark::High,
        };
        let wire = program.input(high).expect("a high cut-out");
        let readers = program.blocks().iter().filter(|block| {
            let reads = program.reads(block);
            reads.iter().any(|read| usize::from(read.wire) == wire)
        });
        assert_eq!(readers.count(), 2, "{name}");
    }
}

#[test]
fn keys_of_the_file_reach_the_program() {
    // Path, value, an input or an output that comes of it.
    let larkhaven = text("larkhaven");
    let (station, _) = program("larkhaven");
    let pool = station
        .tanks
        .iter()
        .position(|tank| tank.name == "touch-pool")
        .expect("the pool");
    for (path, value, input, output) in [
        (
            "purifier.leak_detector",
            "true",
            Some(Input::Leak),
            Output::Alarm(Alarm::Leak),
        ),
        (
            "purifier.longest_run",
            "\"30 h\"",
            None,
            Output::Alarm(Alarm::RunTooLong),
        ),
        (
            "purifier.shut_when_away",
            "true",
            Some(Input::SomebodyHere),
            Output::Feed,
        ),
        (
            "purifier.control",
            "\"attended\"",
            Some(Input::Ask(Task::Fill)),
            Output::Feed,
        ),
        (
            "vessels.salt.keeps_warm",
            "false",
            Some(Input::Ask(Task::Warm(1))),
            Output::Heater(1),
        ),
        (
            "pumps.bracket.flow_switch",
            "true",
            Some(Input::FlowSeen { pump: 0 }),
            Output::Alarm(Alarm::DryPump(0)),
        ),
        (
            "tanks.touch-pool.high_cutout",
            "true",
            Some(Input::TankHigh { tank: pool }),
            Output::Pump(0),
        ),
    ] {
        let before = Program::of(&Station::read(&larkhaven).expect("the example")).expect("a program");
        let edit = Edit {
            path: path.into(),
            text: value.into(),
        };
        let edited = station::edit::apply(&larkhaven, &[edit]).expect("an edit");
        let station = Station::read(&edited).expect("still sound");
        let after = Program::of(&station).expect("a program");
        if let Some(input) = input {
            assert_eq!(before.input(input), None, "{path}");
            assert!(after.input(input).is_some(), "{path}");
        }
        assert!(after.output(output).is_some(), "{path}");
        assert_ne!(before.rows(), after.rows(), "{path}");
    }
}

#[test]
fn a_step_allocates_nothing() {
    let (_, program) = program("skelder-hatchery");
    let all_on = vec![true; program.inputs().len()];
    let mut state = program.start(0.0, &all_on);
    let taken = allocation_counter::measure(|| {
        let mut at_s = 0.0;
        for round in 0..1000_usize {
            at_s += 7.0;
            let input = round % program.inputs().len();
            let on = round % 3 == 0;
            program.step(&mut state, at_s, Event::Changed { input, on });
            if let Some(due_s) = program.due_s(&state) {
                program.step(&mut state, due_s, Event::Due);
                at_s = at_s.max(due_s);
            }
            program.step(&mut state, at_s, Event::PowerBack);
        }
    });
    assert_eq!(taken.count_total, 0);
}
