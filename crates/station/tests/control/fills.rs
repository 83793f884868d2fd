//! What starts and stops the feed, as sequences of events with what is on after each.

use station::control::{Alarm, Input, Program, VesselSettings};
use station::sections::Control;

use super::rig::{FILL, POWER, PUMP, Rig, level, settings};
use super::sequence::{BACKUP, CUTOUT, FEED, Off, On, PowerBack, RUNS, START, STOP, Wait, alarm, run};

#[test]
fn level_fill() {
    let rows = [
        (0.0, Wait, &[][..]),
        (301.0, Wait, &[]), // rested, but between the marks
        (400.0, Off(level(START)), &[]),
        (401.0, On(level(START)), &[]), // a wave
        (402.0, Off(level(START)), &[]),
        (403.9, Wait, &[]),
        (404.0, Wait, &[FEED]), // dry for the debounce
        (5000.0, On(level(START)), &[FEED]),
        (9000.0, On(level(STOP)), &[FEED]),
        (9001.0, Off(level(STOP)), &[FEED]), // a wave
        (9002.0, On(level(STOP)), &[FEED]),
        (9004.0, Wait, &[]),
        (9005.0, Off(level(STOP)), &[]), // a falling level starts nothing
        (9400.0, Off(level(START)), &[]),
        (9402.0, Wait, &[FEED]),
    ];
    run(
        "between two marks",
        &settings(Control::Levels),
        &[level(START)],
        &rows,
    );
}

#[test]
fn level_fill_after_power() {
    let rows = [
        (0.0, Wait, &[][..]),
        (300.0, Wait, &[FEED]), // low from the beginning, after the rest
        (400.0, On(level(START)), &[FEED]),
        (500.0, Off(POWER), &[]),
        (600.0, On(level(STOP)), &[]),
        (601.0, Off(level(STOP)), &[]),
        (700.0, PowerBack, &[]),
        (5000.0, Wait, &[]), // between the marks it waits for the start mark
        (5001.0, Off(level(START)), &[]),
        (5003.0, Wait, &[FEED]),
        (5004.0, PowerBack, &[]), // power was away for less than anybody saw
        (5303.9, Wait, &[]),
        (5304.0, Wait, &[FEED]),
    ];
    run("power", &settings(Control::Levels), &[], &rows);
}

#[test]
fn level_fill_with_one_switch() {
    let mut only_stop = settings(Control::Levels);
    only_stop.vessels[0].start = false;
    let rows = [
        (300.0, Wait, &[FEED][..]),
        (400.0, On(level(STOP)), &[FEED]),
        (402.0, Wait, &[]),
        (403.0, Off(level(STOP)), &[]),
        (701.9, Wait, &[]),
        (702.0, Wait, &[FEED]), // as soon as it has rested
    ];
    run("a stop mark alone", &only_stop, &[], &rows);

    let mut only_start = settings(Control::Levels);
    only_start.vessels[0].stop = false;
    let rows = [
        (300.0, Wait, &[FEED][..]),
        (400.0, On(level(START)), &[]), // no water above the only mark
        (800.0, Off(level(START)), &[]),
        (802.0, Wait, &[FEED]),
    ];
    run("a start mark alone", &only_start, &[], &rows);

    let mut none = settings(Control::Levels);
    none.vessels[0] = VesselSettings::default();
    run("no marks: never", &none, &[], &[(1e6, Wait, &[])]);
}

#[test]
fn switches_that_contradict_each_other_fill_nothing() {
    let told = alarm(Alarm::Chatter(0));
    let rows = [
        (2.0, Wait, &[told][..]), // stop wet, start dry
        (400.0, Wait, &[told]),
        (401.0, On(Input::Reset), &[told]), // the cause is still there
        (410.0, Off(Input::Reset), &[told]),
        (500.0, Off(level(STOP)), &[told, FEED]), // low, and full a moment ago: told, but filled
        (600.0, On(Input::Reset), &[FEED]),
    ];
    run("contradiction", &settings(Control::Levels), &[level(STOP)], &rows);
}

#[test]
fn attended_fill() {
    let rows = [
        (0.0, Wait, &[][..]),
        (10.0, On(FILL), &[FEED]), // a person starts it, low or not
        (20.0, Off(FILL), &[]),    // and stops it
        (30.0, On(FILL), &[FEED]),
        (7229.9, Wait, &[FEED]),
        (7230.0, Wait, &[]), // its longest time
        (90_000.0, Wait, &[]),
        (90_001.0, Off(FILL), &[]),
        (90_002.0, On(FILL), &[FEED]),
        (90_010.0, On(level(STOP)), &[FEED]),
        (90_012.0, Wait, &[]), // full
        (90_020.0, Off(level(STOP)), &[]),
        (99_999.0, Wait, &[]), // never by itself
    ];
    run("a run", &settings(Control::Attended), &[], &rows);
}

#[test]
fn attended_fill_and_power() {
    let rows = [
        (0.0, Wait, &[][..]),
        (60.0, Wait, &[]), // switched on before power came
        (61.0, Off(FILL), &[]),
        (62.0, On(FILL), &[FEED]),
        (63.0, Off(POWER), &[]),
        (64.0, On(POWER), &[]),
        (9999.0, Wait, &[]), // the switch was left on
        (10_000.0, Off(FILL), &[]),
        (10_001.0, On(FILL), &[FEED]),
        (10_002.0, PowerBack, &[]),
        (20_000.0, Wait, &[]),
    ];
    run("power", &settings(Control::Attended), &[FILL], &rows);
}

#[test]
fn attended_fill_takes_the_shorter_limit() {
    // Hours a day, longest run, how long it lasts, s.
    for (hours_s, longest_s, lasts_s) in [
        (Some(7200.0), None, 7200.0),
        (None, Some(3600.0), 3600.0),
        (Some(7200.0), Some(3600.0), 3600.0),
        (None, None, 14_400.0), // house rule: half a person's day
    ] {
        let mut own = settings(Control::Attended);
        let purifier = own.purifier.as_mut().expect("a purifier");
        purifier.hours_a_day_s = hours_s;
        purifier.longest_run_s = longest_s;
        let mut rig = Rig::start(Program::wired(&own).expect("a program"), &[]);
        rig.set(10.0, FILL, true);
        rig.wait(10.0 + lasts_s - 0.1);
        assert!(rig.is_on(FEED), "{hours_s:?} {longest_s:?}");
        rig.wait(10.0 + lasts_s);
        assert!(!rig.is_on(FEED), "{hours_s:?} {longest_s:?}");
    }
}

#[test]
fn timer_fill() {
    const DAY_S: f64 = 86_400.0;
    const NINE_S: f64 = 32_400.0;
    let rows = [
        (NINE_S - 1.0, Wait, &[][..]),
        (NINE_S, Wait, &[FEED]),
        (NINE_S + 7199.0, Wait, &[FEED]),
        (NINE_S + 7200.0, Wait, &[]), // two hours
        (DAY_S + NINE_S, Wait, &[FEED]),
        (DAY_S + NINE_S + 100.0, On(level(STOP)), &[FEED]),
        (DAY_S + NINE_S + 102.0, Wait, &[]), // full
        (DAY_S + NINE_S + 1000.0, Off(level(STOP)), &[FEED]),
        (DAY_S + NINE_S + 2000.0, Off(POWER), &[]),
        (DAY_S + NINE_S + 7000.0, PowerBack, &[]),
        (DAY_S + NINE_S + 7100.0, Wait, &[]), // it rests after power came back; the clock goes on
        (2.0 * DAY_S + NINE_S, Wait, &[FEED]),
    ];
    run("a clock", &settings(Control::Timer), &[], &rows);
    let mut hourless = settings(Control::Timer);
    hourless.purifier.as_mut().expect("a purifier").hours_a_day_s = None;
    run("a clock without hours", &hourless, &[], &[(1e6, Wait, &[FEED])]);
}

#[test]
fn a_float_alone() {
    let mut bare = settings(Control::Float);
    bare.purifier.as_mut().expect("a purifier").feed_valve = false;
    let program = Program::wired(&bare).expect("a program");
    assert_eq!(program.output(FEED), None, "nothing electric could shut it");

    let mut valved = settings(Control::Float);
    valved.leak_detector = true;
    valved.vessels[0] = VesselSettings::default();
    let rows = [
        (300.0, Wait, &[FEED][..]), // always, after the rest
        (1e6, Wait, &[FEED]),
        (1e6 + 1.0, On(Input::Leak), &[alarm(Alarm::Leak)]),
    ];
    run("a float with an electric valve", &valved, &[], &rows);
}

#[test]
fn a_leak_shuts_feed_and_pump_until_reset() {
    let mut own = settings(Control::Levels);
    own.leak_detector = true;
    let told = alarm(Alarm::Leak);
    let rows = [
        (300.0, Wait, &[FEED][..]),
        (310.0, On(level(CUTOUT)), &[FEED]),
        (320.0, On(PUMP), &[FEED, RUNS]),
        (330.0, On(Input::Leak), &[told]),
        (340.0, On(Input::Reset), &[told]), // still wet
        (350.0, Off(Input::Reset), &[told]),
        (360.0, Off(Input::Leak), &[told]), // dry, but nobody has looked
        (9000.0, Wait, &[told]),
        (9010.0, Off(POWER), &[]),
        (9020.0, PowerBack, &[told]), // it outlasts power
        (9030.0, On(Input::Reset), &[]),
        (9319.9, Wait, &[]),
        (9320.0, Wait, &[FEED]), // low as ever; the pump waits for a person
        (9330.0, Off(PUMP), &[FEED]),
        (9340.0, On(PUMP), &[FEED, RUNS]),
    ];
    // The alarm is the first of the outputs, so what is on stands in this order.
    run("a leak", &own, &[], &rows);
}

#[test]
fn a_backup_that_was_reached_is_a_fault() {
    let told = alarm(Alarm::Overfull);
    let rows = [
        (300.0, Wait, &[FEED][..]),
        (400.0, On(level(BACKUP)), &[FEED]),
        (402.0, Wait, &[told]),
        (500.0, Off(level(BACKUP)), &[told]),
        (9000.0, Wait, &[told]),
        (9001.0, On(Input::Reset), &[FEED]),
    ];
    run("a stop mark that fails", &settings(Control::Levels), &[], &rows);
}

#[test]
fn a_run_that_is_too_long_is_a_fault() {
    let mut own = settings(Control::Levels);
    own.purifier.as_mut().expect("a purifier").longest_run_s = Some(1000.0);
    let told = alarm(Alarm::RunTooLong);
    let rows = [
        (300.0, Wait, &[FEED][..]),
        (1299.9, Wait, &[FEED]),
        (1300.0, Wait, &[told]),
        (50_000.0, Wait, &[told]),
        (50_001.0, PowerBack, &[told]),
        (51_000.0, On(Input::Reset), &[FEED]),
        (51_999.9, Wait, &[FEED]),
        (52_000.0, Wait, &[told]), // and again
        (52_001.0, Off(Input::Reset), &[told]),
    ];
    run("a run without an end", &own, &[], &rows);
}

#[test]
fn nobody_here_nothing_fed() {
    let mut own = settings(Control::Levels);
    own.purifier.as_mut().expect("a purifier").shut_when_away = true;
    let rows = [
        (400.0, Wait, &[][..]),
        (500.0, On(Input::SomebodyHere), &[FEED]),
        (600.0, Off(Input::SomebodyHere), &[]),
        (700.0, On(Input::SomebodyHere), &[]), // it rests first
        (900.0, Wait, &[FEED]),
    ];
    run("away", &own, &[], &rows);
}
