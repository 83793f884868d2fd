//! What must be said of a control that somebody builds.

use super::super::block::Kind;
use super::super::program::Program;
use super::super::signal::Output;
use super::facts::Facts;

/// The longest time that a 32-bit count of milliseconds with a sign holds, s.
const LONGEST_TIME_S: f64 = 2_147_483.0;

/// The cautions of a program, the gravest first.
pub(super) fn cautions(program: &Program, facts: &Facts) -> Vec<String> {
    let mut all: Vec<String> = [
        "Mains stands near water here. Every socket and every mains load behind an RCD (30 mA) or GFCI (6 mA); drip loop \
         below each socket, sockets above the splash line, low voltage (24 V) where you can. Unplug before hands go into \
         water.",
        "Mains wiring is done by a licensed electrician. Local codes govern and stand above all that is written here.",
        "A heater in air can start a fire, and a relay can weld shut: each heater keeps a cut-out of its own.",
        "A program is no safety device. A mechanical float or backup stays the last line against overflow, and an air gap \
         against backflow.",
        "Wire every contact as the list says, so that a broken wire stops and never starts.",
        "Prove it with the test sheet, each input, each output, each alarm, each wire pulled, before it is left alone; and \
         again after every change.",
    ]
    .into_iter()
    .map(str::to_owned)
    .collect();
    for vessel in &facts.settings.vessels {
        if vessel.heater.is_some_and(|heater| !heater.low_water_cutoff) {
            all.push(format!(
                "The heater of {} has no switch that tells whether water covers it: this only compares temperatures, and \
                 heats it dry.",
                vessel.name
            ));
        }
    }
    if program.output(Output::Feed).is_none() {
        all.push("Nothing electric shuts the feed of this station: no alarm here stops water.".into());
    }
    let longest_s = program
        .blocks()
        .iter()
        .fold(0.0_f64, |longest, block| match block.kind {
            Kind::OnDelay { delay_s } => longest.max(delay_s),
            _ => longest,
        });
    if longest_s > LONGEST_TIME_S {
        all.push(
            "A time in it is longer than 24 days: see that TIME of your controller holds it, or shorten it."
                .into(),
        );
    }
    all
}
