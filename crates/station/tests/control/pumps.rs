//! What starts and stops pumps and heaters, as sequences of events with what is on after each.

use station::control::{
    Alarm, HeaterSettings, Input, Mark, Program, Recirculation, Source, Task, VesselSettings,
};
use station::plumbing::End;
use station::sections::Control;

use super::rig::{HEATER, POWER, PUMP, level, settings};
use super::sequence::{CUTOUT, Celsius, HEATS, Off, On, PowerBack, RUNS, Wait, alarm, run};

#[test]
fn a_pump_and_its_low_cutout() {
    let rows = [
        (10.0, On(PUMP), &[][..]), // too low
        (20.0, On(level(CUTOUT)), &[]),
        (30.0, Wait, &[]), // switched on too early: it waits for a person
        (31.0, Off(PUMP), &[]),
        (32.0, On(PUMP), &[RUNS]),
        (40.0, Off(level(CUTOUT)), &[]), // at once
        (41.0, On(level(CUTOUT)), &[]),
        (99.0, Wait, &[]),
        (100.0, Off(PUMP), &[]),
        (101.0, On(PUMP), &[RUNS]),
        (102.0, PowerBack, &[]),
        (200.0, Wait, &[]), // never by itself
        (201.0, Off(PUMP), &[]),
        (202.0, On(PUMP), &[RUNS]),
        (203.0, Off(PUMP), &[]),
    ];
    run("a pump", &settings(Control::Attended), &[], &rows);
}

#[test]
fn only_the_vessel_that_is_open_counts() {
    let mut own = settings(Control::Attended);
    own.vessels.push(VesselSettings {
        name: "drum".into(),
        low_cutout: true,
        ..VesselSettings::default()
    });
    let source = |vessel, valves| Source {
        vessel,
        valves,
        is_open: false,
    };
    own.pumps[0].sources = vec![source(0, vec![0]), source(1, vec![1])];
    let valve = |valve| Input::ValveOpen { valve };
    let rows = [
        (10.0, On(PUMP), &[RUNS][..]), // both closed: what it draws from is neither of them
        (20.0, On(valve(0)), &[RUNS]), // the full one
        (30.0, On(valve(1)), &[]),     // the empty one too
        (40.0, Off(valve(1)), &[]),
        (41.0, Off(PUMP), &[]),
        (42.0, On(PUMP), &[RUNS]),
        (50.0, Off(level(CUTOUT)), &[]),
    ];
    run("two vessels", &own, &[level(CUTOUT)], &rows);
}

#[test]
fn a_pump_runs_only_with_a_valve_open() {
    let mut own = settings(Control::Attended);
    own.vessels[0].low_cutout = false;
    own.pumps[0].runs_only_with = vec![0, 1];
    let valve = |valve| Input::ValveOpen { valve };
    let rows = [
        (10.0, On(PUMP), &[][..]),
        (20.0, On(valve(0)), &[]),
        (30.0, Off(PUMP), &[]),
        (31.0, On(PUMP), &[RUNS]),
        (40.0, On(valve(1)), &[RUNS]),
        (50.0, Off(valve(0)), &[RUNS]),
        (60.0, Off(valve(1)), &[]),
        (70.0, On(valve(1)), &[]),
    ];
    run("an interlock", &own, &[], &rows);
}

#[test]
fn a_pump_without_flow_is_a_fault() {
    let mut own = settings(Control::Attended);
    own.vessels[0].low_cutout = false;
    own.pumps[0].flow_switch = true;
    let flow = Input::FlowSeen { pump: 0 };
    let told = alarm(Alarm::DryPump(0));
    let rows = [
        (10.0, On(PUMP), &[RUNS][..]),
        (15.0, On(flow), &[RUNS]),
        (100.0, Off(flow), &[RUNS]),
        (105.0, On(flow), &[RUNS]), // a bubble
        (200.0, Off(flow), &[RUNS]),
        (210.0, Wait, &[told]),
        (220.0, Off(PUMP), &[told]),
        (221.0, On(PUMP), &[told]),
        (222.0, On(Input::Reset), &[]),
        (223.0, Off(PUMP), &[]),
        (224.0, On(PUMP), &[RUNS]),
        (234.0, Wait, &[told]),
    ];
    run("a dry pump", &own, &[], &rows);
}

#[test]
fn a_high_cutout_stops_what_fills_it() {
    let mut own = settings(Control::Attended);
    own.vessels[0].low_cutout = false;
    own.vessels[0].high_cutout = true;
    own.tanks = vec![("pool".into(), true), ("ring".into(), false)];
    own.pumps[0].fills = vec![End::Vessel(0), End::Tank(0), End::Tank(1)];
    let tank = Input::TankHigh { tank: 0 };
    let rows = [
        (10.0, On(PUMP), &[RUNS][..]),
        (20.0, On(level(Mark::High)), &[]),
        (30.0, Off(level(Mark::High)), &[]),
        (31.0, Off(PUMP), &[]),
        (32.0, On(PUMP), &[RUNS]),
        (33.0, On(tank), &[]),
    ];
    run("high cut-outs", &own, &[], &rows);
    let program = Program::wired(&own).expect("a program");
    assert_eq!(
        program.input(Input::TankHigh { tank: 1 }),
        None,
        "it has no switch"
    );
}

#[test]
fn recirculation_by_a_timer() {
    let mut own = settings(Control::Attended);
    own.pumps[0].recirculates = vec![0];
    own.vessels[0].recirculation = Some(Recirculation {
        every_s: 1000.0,
        for_s: 100.0,
    });
    let rows = [
        (901.9, Wait, &[][..]),
        (902.0, Wait, &[RUNS]), // the pause counts from when the pump may run
        (1001.9, Wait, &[RUNS]),
        (1002.0, Wait, &[]),
        (1902.0, Wait, &[RUNS]),
        (1950.0, Off(level(CUTOUT)), &[]),
        (1960.0, On(level(CUTOUT)), &[]),
        (2861.9, Wait, &[]),
        (2862.0, Wait, &[RUNS]), // the whole pause again
        (2900.0, PowerBack, &[]),
        (3801.9, Wait, &[]),
        (3802.0, Wait, &[RUNS]),
        (3810.0, On(PUMP), &[RUNS]),
        (3902.0, Wait, &[RUNS]), // a person has it on
        (3903.0, Off(PUMP), &[]),
    ];
    run("a timer", &own, &[level(CUTOUT)], &rows);
    for (every_s, for_s) in [
        (100.0, 100.0),
        (100.0, 0.0),
        (100.0, f64::NAN),
        (0.0, 5.0),
        (-5.0, -9.0),
    ] {
        own.vessels[0].recirculation = Some(Recirculation { every_s, for_s });
        run("never", &own, &[level(CUTOUT)], &[(1e4, Wait, &[])]);
    }
}

#[test]
fn a_thermostat_with_a_cutoff() {
    let mut own = settings(Control::Attended);
    own.vessels[0].heater = Some(HEATER);
    let covered = level(Mark::HeaterLevel);
    let rows = [
        (10.0, Wait, &[][..]), // no reading
        (11.0, Celsius(20.0), &[HEATS]),
        (12.0, Celsius(24.0), &[HEATS]),
        (13.0, Celsius(24.5), &[]),
        (14.0, Celsius(23.5), &[]),
        (15.0, Celsius(23.4), &[HEATS]),
        (20.0, Off(covered), &[]), // at once
        (21.0, On(covered), &[]),
        (22.9, Wait, &[]),
        (23.0, Wait, &[HEATS]),
        (24.0, Celsius(f64::NAN), &[]),
        (25.0, Celsius(20.0), &[HEATS]),
        (26.0, Off(POWER), &[]),
        (27.0, On(POWER), &[]),
        (29.0, Wait, &[HEATS]), // it keeps warm by itself
    ];
    run("kept warm", &own, &[covered], &rows);

    own.vessels[0].heater = Some(HeaterSettings {
        keeps_warm: false,
        ..HEATER
    });
    let warm = Input::Ask(Task::Warm(0));
    let rows = [
        (11.0, Celsius(20.0), &[][..]),
        (12.0, On(warm), &[HEATS]),
        (13.0, Off(warm), &[]),
    ];
    run("warm for a person", &own, &[covered], &rows);
}

#[test]
fn a_timer_waits_for_its_vessel_to_be_open() {
    let mut own = settings(Control::Attended);
    own.vessels.push(VesselSettings {
        name: "drum".into(),
        ..VesselSettings::default()
    });
    own.vessels[1].recirculation = Some(Recirculation {
        every_s: 1000.0,
        for_s: 100.0,
    });
    let source = |vessel, valves| Source {
        vessel,
        valves,
        is_open: false,
    };
    own.pumps[0].sources = vec![source(0, vec![0]), source(1, vec![1])];
    own.pumps[0].recirculates = vec![1];
    let open = Input::ValveOpen { valve: 1 };
    let rows = [
        (5000.0, Wait, &[][..]), // another vessel's turn
        (5001.0, On(open), &[]),
        (5901.0, Wait, &[RUNS]),
        (5950.0, Off(open), &[]),
        (9999.0, Wait, &[]),
    ];
    run("a closed vessel", &own, &[level(CUTOUT)], &rows);
}

#[test]
fn a_reset_that_is_stuck_resets_nothing_when_power_comes() {
    let mut own = settings(Control::Attended);
    own.leak_detector = true;
    let told = alarm(Alarm::Leak);
    let rows = [
        (10.0, On(Input::Leak), &[told][..]),
        (20.0, Off(Input::Leak), &[told]),
        (30.0, Off(POWER), &[]),
        (40.0, On(Input::Reset), &[]),
        (50.0, PowerBack, &[told]),
        (99.0, Wait, &[told]),
        (100.0, Off(Input::Reset), &[told]),
        (101.0, On(Input::Reset), &[]),
    ];
    run("a stuck button", &own, &[], &rows);
}
