//! What holds for any settings and any course of events.

use proptest::collection::vec;
use proptest::prelude::*;
use station::control::{
    Event, Input, Mark, Output, Outputs, Practised, Program, PumpSettings, PurifierSettings, Recirculation,
    Settings, Source, State, Task, VesselSettings,
};
use station::plumbing::End;
use station::sections::Control;

use super::plain::Plain;
use super::rig::{HEATER, Rig};

/// The debounce and the rest of the functions (their house rules).
const DEBOUNCE_S: f64 = 2.0;
const STARTS_AN_HOUR: usize = 12;

fn any_settings() -> impl Strategy<Value = Settings> {
    let control = prop_oneof![
        3 => Just(Control::Levels),
        2 => Just(Control::Attended),
        1 => Just(Control::Timer),
        1 => Just(Control::Float),
    ];
    let hours = prop_oneof![Just(None), Just(Some(3600.0)), Just(Some(20_000.0))];
    let longest = prop_oneof![Just(None), Just(Some(500.0)), Just(Some(50_000.0))];
    let purifier = (control, any::<bool>(), hours, longest, any::<bool>()).prop_map(
        |(control, feed_valve, hours_a_day_s, longest_run_s, shut_when_away)| PurifierSettings {
            control,
            feed_valve,
            fills: vec![0, 1],
            hours_a_day_s,
            longest_run_s,
            shut_when_away,
            timer_begins_s: 32_400.0,
        },
    );
    let recirculation = prop_oneof![
        Just(None),
        Just(Some(Recirculation {
            every_s: 3600.0,
            for_s: 60.0
        })),
        Just(Some(Recirculation {
            every_s: 7.0,
            for_s: 1.0
        })),
    ];
    let vessel = (any::<[bool; 7]>(), recirculation).prop_map(|(has, recirculation)| VesselSettings {
        name: "butt".into(),
        start: has[0],
        stop: has[1],
        backup: has[2],
        low_cutout: has[3],
        high_cutout: has[4],
        heater: has[5].then_some(station::control::HeaterSettings {
            keeps_warm: has[6],
            ..HEATER
        }),
        recirculation,
    });
    let pump = any::<[bool; 6]>().prop_map(|has| PumpSettings {
        name: "pump".into(),
        flow_switch: has[0],
        runs_only_with: if has[1] { vec![0, 1] } else { vec![] },
        sources: (0..=usize::from(has[2]))
            .map(|vessel| Source {
                vessel,
                valves: vec![vessel],
                is_open: has[3],
            })
            .collect(),
        fills: if has[4] {
            vec![End::Vessel(1), End::Tank(0)]
        } else {
            vec![]
        },
        recirculates: if has[5] { vec![0] } else { vec![] },
    });
    (purifier, any::<bool>(), vec(vessel, 2..4), vec(pump, 0..3)).prop_map(
        |(purifier, leak_detector, vessels, pumps)| Settings {
            purifier: Some(purifier),
            leak_detector,
            vessels,
            tanks: vec![("pool".into(), true)],
            pumps,
            valves: vec!["left".into(), "right".into()],
        },
    )
}

/// A pause, what changes, to what.
type Blow = (usize, usize, bool, u8);

const PAUSES_S: [f64; 12] = [
    0.0, 0.0, 0.5, 1.5, 2.0, 3.0, 9.0, 60.0, 299.0, 301.0, 4000.0, 40_000.0,
];

fn event(program: &Program, blow: Blow) -> Event {
    let (_, what, on, by) = blow;
    let inputs = program.inputs().len();
    // Power goes and comes more rarely than anything else, or nothing would last.
    match what % (inputs + 3) {
        0 if by > 40 => Event::Due,
        at if at < inputs => Event::Changed { input: at, on },
        at if at == inputs && by < 40 => Event::PowerBack,
        at => Event::Reading {
            vessel: at - inputs,
            temperature_c: if by == 255 { f64::NAN } else { f64::from(by) / 5.0 },
        },
    }
}

/// What a witness saw so far.
struct Witness<'a> {
    settings: &'a Settings,
    inputs: Vec<bool>,
    wet_since_s: Vec<Option<f64>>,
    leak: bool,
    overfull: bool,
    feed_since_s: Option<f64>,
    feed_starts_s: Vec<f64>,
    pumps: Vec<bool>,
}

impl<'a> Witness<'a> {
    fn new(settings: &'a Settings, program: &Program) -> Self {
        Self {
            settings,
            inputs: vec![false; program.inputs().len()],
            wet_since_s: vec![None; program.inputs().len()],
            leak: false,
            overfull: false,
            feed_since_s: None,
            feed_starts_s: Vec::new(),
            pumps: vec![false; settings.pumps.len()],
        }
    }

    fn input(&self, program: &Program, input: Input) -> bool {
        program.input(input).is_some_and(|at| self.inputs[at])
    }

    /// Whether the mark of a vessel has been wet beyond the debounce.
    fn is_wet(&self, program: &Program, vessel: usize, mark: Mark, at_s: f64) -> bool {
        program
            .input(Input::LevelAtOrAbove { vessel, mark })
            .and_then(|at| self.wet_since_s[at])
            .is_some_and(|since_s| at_s >= since_s + DEBOUNCE_S)
    }

    fn purifier(&self) -> &PurifierSettings {
        self.settings.purifier.as_ref().expect("a purifier")
    }

    fn see(&mut self, rig: &Rig, at_s: f64, event: Event) {
        let program = &rig.program;
        let mut rose = None;
        match event {
            Event::Changed { input, on } => {
                if on && !self.inputs[input] {
                    rose = Some(program.inputs()[input]);
                    self.wet_since_s[input] = Some(at_s);
                }
                self.inputs[input] = on;
                if !on {
                    self.wet_since_s[input] = None;
                }
            }
            Event::PowerBack => self.inputs[0] = true,
            Event::Reading { .. } | Event::Due => {}
        }
        // Power is there, or nothing is on.
        let powered = self.input(program, Input::Power);
        assert!(
            powered || rig.on().is_empty(),
            "without power {:?} is on",
            rig.on()
        );
        if matches!(event, Event::PowerBack) || rose == Some(Input::Power) {
            // What a debounce saw before counts no more.
            for since_s in self.wet_since_s.iter_mut().flatten() {
                *since_s = at_s;
            }
            self.feed_since_s = None;
            self.pumps.fill(false);
        }

        // Faults hold until reset.
        if rose == Some(Input::Reset) {
            self.leak = false;
            self.overfull = false;
        }
        self.leak |= powered && self.input(program, Input::Leak);
        for vessel in &self.purifier().fills.clone() {
            self.overfull |= powered && self.is_wet(program, *vessel, Mark::Backup, at_s);
        }
        self.feed(rig, at_s, rose);
        self.pumps(rig, rose);
    }

    fn feed(&mut self, rig: &Rig, at_s: f64, rose: Option<Input>) {
        let program = &rig.program;
        let Some(feed) = program.output(Output::Feed) else {
            return;
        };
        let purifier = self.purifier().clone();
        let attended = purifier.control == Control::Attended;
        let on = program.is_on(&rig.state, feed);
        if !on {
            self.feed_since_s = None;
            return;
        }
        assert!(!self.leak, "fed at a leak");
        assert!(!self.overfull, "fed after a backup closed");
        for vessel in &purifier.fills {
            assert!(
                !self.is_wet(program, *vessel, Mark::Stop, at_s),
                "vessel {vessel} is full and fed"
            );
        }
        assert!(
            !purifier.shut_when_away || self.input(program, Input::SomebodyHere),
            "fed with nobody here"
        );
        let since_s = *self.feed_since_s.get_or_insert_with(|| {
            assert!(
                !attended || rose == Some(Input::Ask(Task::Fill)),
                "an attended run began at {rose:?}"
            );
            self.feed_starts_s.push(at_s);
            at_s
        });
        let limit_s = match purifier.control {
            Control::Attended => purifier
                .hours_a_day_s
                .or(purifier.longest_run_s)
                .or(Some(14_400.0)),
            Control::Timer => purifier.hours_a_day_s,
            Control::Levels | Control::Float => None,
        };
        for limit_s in [limit_s, purifier.longest_run_s].into_iter().flatten() {
            assert!(at_s < since_s + limit_s, "a run of more than {limit_s} s");
        }
        let starts = &self.feed_starts_s;
        if !attended && starts.len() > STARTS_AN_HOUR {
            let hour_s = at_s - starts[starts.len() - 1 - STARTS_AN_HOUR];
            assert!(
                hour_s >= 3600.0,
                "{STARTS_AN_HOUR} starts and one more in {hour_s} s"
            );
        }
    }

    fn pumps(&mut self, rig: &Rig, rose: Option<Input>) {
        let program = &rig.program;
        for (at, pump) in self.settings.pumps.iter().enumerate() {
            let on = rig.is_on(Output::Pump(at));
            let before = core::mem::replace(&mut self.pumps[at], on);
            if !on {
                continue;
            }
            assert!(!self.leak, "pumped at a leak");
            for source in &pump.sources {
                let mark = Mark::LowCutout;
                let vessel = source.vessel;
                let low = self.settings.vessels[vessel].low_cutout
                    && !self.input(program, Input::LevelAtOrAbove { vessel, mark });
                let drawn = pump.sources.len() == 1
                    || source.is_open
                    || source
                        .valves
                        .iter()
                        .any(|valve| self.input(program, Input::ValveOpen { valve: *valve }));
                assert!(
                    !(low && drawn),
                    "pump {at} draws vessel {vessel} below its cut-out"
                );
            }
            let by_timer = pump
                .recirculates
                .iter()
                .any(|vessel| self.settings.vessels[*vessel].recirculation.is_some());
            assert!(
                before || by_timer || rose == Some(Input::Ask(Task::Pump(at))),
                "pump {at} began at {rose:?}"
            );
        }
        for (at, vessel) in self.settings.vessels.iter().enumerate() {
            let cut = vessel.heater.is_some_and(|heater| heater.low_water_cutoff);
            let mark = Mark::HeaterLevel;
            if cut && !self.input(program, Input::LevelAtOrAbove { vessel: at, mark }) {
                assert!(!rig.is_on(Output::Heater(at)), "a heater in air");
            }
        }
    }
}

/// Plays a course of events; each step is seen by the witness and by the plain controller.
fn play(settings: &Settings, blows: &[Blow]) -> Rig {
    let program = Program::wired(settings).expect("a small program");
    let mut rig = Rig::start(program.clone(), &[]);
    let mut plain = Plain::new(&program);
    let mut witness = Witness::new(settings, &program);
    let mut practised = Practised::new(rig.state.clone());
    let mut seen = |rig: &Rig, at_s: f64, event: Event| {
        plain.take(event);
        assert!(plain.settle(at_s, 16), "the scans don't settle");
        for (wire, on) in plain.wires.iter().enumerate() {
            let name = program.name(wire);
            assert_eq!(rig.state.wire(wire), *on, "\"{name}\" at {at_s} s, on {event:?}");
        }
        witness.see(rig, at_s, event);
    };
    let power = Event::Changed { input: 0, on: true };
    seen(&rig, 0.0, power);
    let mut at_s = 0.0;
    for (at, blow) in blows.iter().enumerate() {
        let seldom = at % 8 == 7;
        at_s += PAUSES_S[blow.0 % PAUSES_S.len()];
        while let Some(due_s) = rig.program.due_s(&rig.state).filter(|due_s| *due_s <= at_s) {
            let before = rig.state.clone();
            rig.program.step(&mut rig.state, due_s, Event::Due);
            seen(&rig, due_s, Event::Due);
            // What was learned is what a step comes to.
            let switched = practised.step(&program, due_s, Event::Due);
            assert_eq!(switched, switched_between(&program, &before, &rig.state));
            same(&program, &mut practised, &rig.state, seldom);
        }
        let event = event(&rig.program, *blow);
        let before = rig.state.clone();
        rig.program.step(&mut rig.state, at_s, event);
        seen(&rig, at_s, event);
        let switched = practised.step(&program, at_s, event);
        assert_eq!(switched, switched_between(&program, &before, &rig.state));
        same(&program, &mut practised, &rig.state, seldom);
    }
    rig
}

/// A practised control stands where a plain one does. What it tells of itself is held to it each time; the whole state only
/// now and then, for whoever asks for that makes it look for its place again.
fn same(program: &Program, practised: &mut Practised, plain: &State, seldom: bool) {
    for output in 0..program.outputs().len() {
        assert_eq!(practised.is_on(program, output), program.is_on(plain, output));
        let alone = Outputs::default().with(output);
        assert!(practised.may_be_on(alone) || !program.is_on(plain, output));
    }
    assert_eq!(practised.due_s(), program.due_s(plain).unwrap_or(f64::INFINITY));
    if seldom {
        assert!(practised.state(program) == plain);
    }
}

/// Outputs that are on in one of two states and not in the other.
fn switched_between(program: &Program, before: &State, after: &State) -> Outputs {
    (0..program.outputs().len())
        .filter(|output| program.is_on(before, *output) != program.is_on(after, *output))
        .fold(Outputs::default(), Outputs::with)
}

fn blows() -> impl Strategy<Value = Vec<Blow>> {
    vec((0_usize..99, 0_usize..9999, any::<bool>(), any::<u8>()), 1..200)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Every law that the witness knows, the plain scan, and the same bytes twice.
    #[test]
    fn any_course_of_events(settings in any_settings(), blows in blows()) {
        let first = play(&settings, &blows);
        let second = play(&settings, &blows);
        prop_assert_eq!(first.state, second.state);
    }

    /// Noise at every mark of a vessel at once, as fast as it likes: the feed still starts at most twelve times an hour.
    #[test]
    fn noise_at_the_marks(noise in vec((0.01..20.0_f64, 0_usize..3, any::<bool>()), 500..3000)) {
        let mut settings = super::rig::settings(Control::Levels);
        settings.vessels[0].backup = false;
        let mut rig = Rig::start(Program::wired(&settings).expect("a program"), &[]);
        let (mut at_s, mut starts_s, mut before) = (0.0, Vec::new(), false);
        for (pause_s, mark, on) in noise {
            at_s += pause_s;
            let input = [Mark::Start, Mark::Stop, Mark::LowCutout][mark];
            let input = rig.program.input(super::rig::level(input)).expect("a mark");
            let mut look = |rig: &Rig, now_s: f64| {
                let now = rig.is_on(Output::Feed);
                if now && !before {
                    starts_s.push(now_s);
                }
                before = now;
            };
            while let Some(due_s) = rig.program.due_s(&rig.state).filter(|due_s| *due_s <= at_s) {
                rig.program.step(&mut rig.state, due_s, Event::Due);
                look(&rig, due_s);
            }
            rig.program.step(&mut rig.state, at_s, Event::Changed { input, on });
            look(&rig, at_s);
        }
        for hour in starts_s.windows(STARTS_AN_HOUR + 1) {
            prop_assert!(hour[STARTS_AN_HOUR] - hour[0] >= 3600.0);
        }
    }

    /// Whatever is still due lies ahead, and steps at the due times come to an end in any stretch of time.
    #[test]
    fn timers_go_forward(settings in any_settings(), blows in blows()) {
        let mut rig = play(&settings, &blows);
        let end_s = rig.state.at_s() + 86_400.0;
        let mut before_s = rig.state.at_s();
        while let Some(due_s) = rig.program.due_s(&rig.state).filter(|due_s| *due_s <= end_s) {
            prop_assert!(due_s > before_s, "due at {due_s} after {before_s}");
            rig.program.step(&mut rig.state, due_s, Event::Due);
            before_s = due_s;
        }
    }
}
