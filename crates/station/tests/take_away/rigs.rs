//! What is controlled in these tests: the three examples, and settings with every function in every mixture.

use std::fs;
use std::path::Path;

use station::Station;
use station::control::take_away::Facts;
use station::control::{
    HeaterSettings, PumpSettings, PurifierSettings, Recirculation, Settings, Source, VesselSettings,
};
use station::plumbing::End;
use station::sections::Control;

pub(crate) const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

pub(crate) fn example(name: &str) -> Facts {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../stations")
        .join(format!("{name}.toml"));
    let text = fs::read_to_string(path).expect("an example");
    let station = Station::read(&text).expect("a sound example");
    Facts::of(&station, &format!("{name}.toml"))
}

/// Random numbers that are the same each time: a counter, well mixed (splitmix64).
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number below a limit.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit as u64) as usize
    }

    /// True so many times in a hundred.
    pub(crate) fn percent(&mut self, share: usize) -> bool {
        self.below(100) < share
    }

    pub(crate) fn one_of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }
}

/// Settings by chance; times are short, so that all of them run out.
pub(crate) fn mixture(seed: u64) -> Facts {
    let mut chance = Chance(seed);
    let on = |chance: &mut Chance| chance.percent(70);
    let control = chance.one_of(&[
        Control::Levels,
        Control::Levels,
        Control::Attended,
        Control::Timer,
        Control::Float,
    ]);
    let purifier = PurifierSettings {
        control,
        feed_valve: on(&mut chance),
        fills: vec![0, 1],
        hours_a_day_s: chance.one_of(&[None, Some(40.0), Some(90_000.0), Some(60_000.0)]),
        longest_run_s: chance.one_of(&[None, Some(30.0), Some(700.0)]),
        shut_when_away: chance.percent(30),
        timer_begins_s: chance.one_of(&[20.0, 30.5, 50_000.0]),
    };
    let mut vessel = |name: &str| VesselSettings {
        name: name.into(),
        start: on(&mut chance),
        stop: on(&mut chance),
        backup: on(&mut chance),
        low_cutout: on(&mut chance),
        high_cutout: on(&mut chance),
        heater: on(&mut chance).then_some(HeaterSettings {
            low_water_cutoff: on(&mut chance),
            keeps_warm: on(&mut chance),
            on_below_c: 23.5,
            off_at_c: 24.5,
        }),
        recirculation: chance.one_of(&[
            None,
            Some(Recirculation {
                every_s: 60.0,
                for_s: 7.0,
            }),
            Some(Recirculation {
                every_s: 7.0,
                for_s: 1.0,
            }),
        ]),
    };
    let vessels = vec![vessel("left-butt"), vessel("right-butt"), vessel("if")];
    let mut pump = |name: &str| PumpSettings {
        name: name.into(),
        flow_switch: on(&mut chance),
        runs_only_with: chance.one_of(&[&[][..], &[0, 1], &[2]]).to_vec(),
        sources: (0..=chance.below(2))
            .map(|vessel| Source {
                vessel,
                valves: vec![vessel],
                is_open: chance.percent(20),
            })
            .collect(),
        fills: chance
            .one_of(&[&[][..], &[End::Vessel(1), End::Tank(0)], &[End::Vessel(2)]])
            .to_vec(),
        recirculates: chance.one_of(&[&[][..], &[0], &[0, 1]]).to_vec(),
    };
    let pumps = vec![pump("pump"), pump("the-second-pump-with-a-name-that-is-long")];
    Facts::bare(Settings {
        purifier: Some(purifier),
        leak_detector: chance.percent(50),
        vessels,
        tanks: vec![("pool".into(), true)],
        pumps,
        valves: vec!["left".into(), "right".into(), "spout".into()],
    })
}
