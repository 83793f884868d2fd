//! A function as a sequence of events, with all that is on after each.

use station::control::{Alarm, Event, Input, Mark, Output, Program, Settings};

use super::rig::Rig;

/// What happens.
pub(crate) enum Do {
    /// An input goes on.
    On(Input),
    /// An input goes off.
    Off(Input),
    /// Vessel 0 is read.
    Celsius(f64),
    /// Power is back.
    PowerBack,
    /// Timers run out.
    Wait,
}
pub(crate) use Do::{Celsius, Off, On, PowerBack, Wait};

pub(crate) const FEED: Output = Output::Feed;
pub(crate) const RUNS: Output = Output::Pump(0);
pub(crate) const HEATS: Output = Output::Heater(0);
pub(crate) const START: Mark = Mark::Start;
pub(crate) const STOP: Mark = Mark::Stop;
pub(crate) const BACKUP: Mark = Mark::Backup;
pub(crate) const CUTOUT: Mark = Mark::LowCutout;

pub(crate) fn alarm(alarm: Alarm) -> Output {
    Output::Alarm(alarm)
}

/// When, what happens, and what is on then: all of it, in the order of the program's outputs.
pub(crate) type Row<'a> = (f64, Do, &'a [Output]);

/// Plays the rows on the program of these settings.
pub(crate) fn run(what: &str, settings: &Settings, on: &[Input], rows: &[Row<'_>]) {
    let mut rig = Rig::start(Program::wired(settings).expect("a small program"), on);
    for (at_s, act, expected) in rows {
        match act {
            On(input) => rig.set(*at_s, *input, true),
            Off(input) => rig.set(*at_s, *input, false),
            Celsius(temperature_c) => rig.event(
                *at_s,
                Event::Reading {
                    vessel: 0,
                    temperature_c: *temperature_c,
                },
            ),
            PowerBack => rig.event(*at_s, Event::PowerBack),
            Wait => rig.wait(*at_s),
        }
        assert_eq!(rig.on(), *expected, "{what}, at {at_s} s");
    }
}
