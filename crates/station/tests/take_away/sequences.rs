//! Sequences of what is sensed, by chance but the same each time: the program text and the step agree in every wire and
//! every output, at every scan.
//!
//! An ordinary run takes a fixed share of the thousand and more; SHARE=1 takes all.

use station::control::take_away::{Facts, Signal, TakeAway};
use station::control::{Input, Mark, Output, Program, Recirculation};

use super::rigs::{Chance, EXAMPLES, example, mixture};
use super::twin::Twin;

/// All sequences: of each example, and of mixtures of settings.
const OF_EACH_EXAMPLE: u64 = 200;
const OF_MIXTURES: u64 = 600;

/// One sequence in so many is played by `scripts/test`; `SHARE=1` plays all, as `scripts/test-long` does.
const SHARE: usize = 40;

fn share() -> usize {
    let wanted = std::env::var("SHARE").ok().and_then(|share| share.parse().ok());
    wanted.unwrap_or(SHARE).max(1)
}

/// Scans from one change to the next: about every delay of the functions, and just before, at and after each.
const PAUSES: [i64; 22] = [
    1, 1, 1, 2, 3, 5, 7, 10, 19, 20, 21, 22, 40, 69, 71, 99, 100, 101, 301, 599, 601, 3001,
];
const TEMPERATURES_C: [f64; 8] = [11.0, 19.4, 19.5, 20.5, 22.0, 23.5, 24.5, f64::NAN];

/// What lets things run: faults are reset, vessels neither full nor empty, people may ask.
fn calms(input: Input, chance: &mut Chance) -> bool {
    match input {
        Input::Leak | Input::TankHigh { .. } => false,
        Input::LevelAtOrAbove { mark, .. } => match mark {
            Mark::Stop | Mark::Backup | Mark::High => false,
            Mark::Start => chance.percent(30),
            Mark::LowCutout | Mark::HeaterLevel => true,
        },
        Input::Power | Input::SomebodyHere => true,
        Input::Reset | Input::FlowSeen { .. } | Input::ValveOpen { .. } | Input::Ask(_) => chance.percent(50),
    }
}

/// Plays a sequence and tells which outputs were on.
fn play(facts: &Facts, seed: u64, scans: i64) -> Vec<bool> {
    let mut chance = Chance(seed);
    let sensed = Program::wired(&facts.settings)
        .expect("a small program")
        .inputs()
        .to_vec();
    let count = sensed.len();
    let first: Vec<bool> = (0..count).map(|_| chance.percent(60)).collect();
    let mut twin = Twin::start(facts, first);
    let outputs = twin.take.program.outputs().len();
    let mut seen = vec![false; outputs];
    let vessels: Vec<usize> = twin
        .take
        .points
        .iter()
        .filter_map(|point| match point.signal {
            Signal::Temperature(vessel) => Some(vessel),
            _ => None,
        })
        .collect();
    let mut done = 1;
    let mut next = 1;
    while done < scans {
        let before = twin.inputs.clone();
        let mut inputs = before.clone();
        let mut power = None;
        let mut readings = Vec::new();
        if done >= next {
            let calm = chance.percent(20);
            if calm {
                for (at, input) in sensed.iter().enumerate() {
                    inputs[at] = calms(*input, &mut chance);
                }
                readings.extend(vessels.iter().map(|vessel| (*vessel, 11.0)));
            }
            for _ in 0..chance.one_of(&[1, 1, 1, 2, 3]) {
                let at = chance.below(count);
                // What is toggled back soon is what bounces.
                inputs[at] = !inputs[at];
            }
            inputs[twin.power()] = twin.inputs[twin.power()];
            if chance.percent(2) || !twin.powered() && chance.percent(50) {
                let on = !twin.powered() || chance.percent(50);
                inputs[twin.power()] = on;
                power = Some(on);
            }
            for vessel in &vessels {
                if chance.percent(25) && !calm {
                    readings.push((*vessel, chance.one_of(&TEMPERATURES_C)));
                }
            }
            next = done + if calm { 3010 } else { chance.one_of(&PAUSES) };
        }
        twin.scan(&inputs, power, &readings);
        if let Some(apart) = twin.apart() {
            panic!("seed {seed}: {apart:?}");
        }
        // What four calls don't settle shows where something has just changed.
        if inputs != before || done % 10 == 0 {
            assert!(!twin.is_unsettled(), "seed {seed}: four calls are too few");
        }
        for (output, seen) in seen.iter_mut().enumerate() {
            *seen |= twin.is_on(output);
        }
        done += 1;
    }
    seen
}

#[test]
fn text_and_step_agree_on_the_examples() {
    for name in EXAMPLES {
        let facts = example(name);
        let mut ever: Vec<bool> = Vec::new();
        for seed in (0..OF_EACH_EXAMPLE).step_by(share()) {
            let seen = play(&facts, seed, 6000);
            ever.resize(seen.len(), false);
            ever.iter_mut().zip(seen).for_each(|(ever, seen)| *ever |= seen);
        }
        assert!(!ever.contains(&false), "{name}: an output was never on: {ever:?}");
    }
}

#[test]
fn text_and_step_agree_on_every_mixture_of_functions() {
    for seed in (0..OF_MIXTURES).step_by(share()) {
        play(&mixture(seed), seed ^ 0x5EED, 4000);
    }
}

/// Stirring every ten minutes.
fn hurry(facts: &mut Facts) {
    for vessel in &mut facts.settings.vessels {
        vessel.recirculation = vessel.recirculation.map(|_| Recirculation {
            every_s: 600.0,
            for_s: 20.0,
        });
    }
}

/// Nobody asks and nothing is full.
fn left_alone(program: &Program) -> Vec<bool> {
    program
        .inputs()
        .iter()
        .map(|input| {
            !matches!(
                input,
                Input::Ask(_)
                    | Input::Reset
                    | Input::LevelAtOrAbove {
                        mark: Mark::High | Mark::Backup,
                        ..
                    }
            )
        })
        .collect()
}

/// Stirring by a timer, three times. SHARE=1 takes the times of the file, which are the longest of the examples.
#[test]
fn text_and_step_agree_while_a_timer_stirs() {
    let mut facts = example("skelder-hatchery");
    if share() > 1 {
        hurry(&mut facts);
    }
    let stirred = facts
        .settings
        .vessels
        .iter()
        .find_map(|vessel| vessel.recirculation);
    let every_s = stirred.expect("a vessel that is stirred").every_s;
    let program = Program::wired(&facts.settings).expect("a small program");
    let inputs = left_alone(&program);
    let mut twin = Twin::start(&facts, inputs.clone());
    let pump = program.output(Output::Pump(1)).expect("the salt pump");
    let mut starts = 0;
    // Three pauses and what they end with, and a little.
    for _ in 0..(every_s * 30.5) as usize {
        let before = twin.is_on(pump);
        twin.scan(&inputs, None, &[]);
        assert_eq!(twin.apart(), None);
        starts += usize::from(twin.is_on(pump) && !before);
    }
    assert_eq!(starts, 3);
}

/// Why four calls: with one the text is late, and these tests see it.
#[test]
fn a_single_call_is_late() {
    let mut facts = example("skelder-hatchery");
    hurry(&mut facts);
    let mut take = TakeAway::told(&facts).expect("a small program");
    let again = format!("{}();\n", take.structured_text.instance);
    take.structured_text.text = take.structured_text.text.replace(&again, "");
    let inputs = left_alone(&take.program);
    let mut twin = Twin::of(take, inputs.clone());
    let apart = (0..6100).find_map(|_| {
        twin.scan(&inputs, None, &[]);
        twin.apart()
    });
    let apart = apart.expect("a difference");
    assert!(
        apart.scan < 6100 && apart.wire.contains("recirculated"),
        "{apart:?}"
    );
}
