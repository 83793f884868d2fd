//! The integrator: against closed forms, of the order it claims, and never quiet about a bad question.

use physics::numerics::ode::{
    Direction, Never, OdeError, Outcome, Seen, Settings, Step, StepError, System, Watch, Workspace, integrate,
};
use proptest::prelude::*;

const FINE: Settings<'static> = Settings {
    relative_tolerance: 1e-11,
    absolute_tolerance: &[1e-12],
    first_step: None,
    longest_step: f64::INFINITY,
    most_steps: 10_000,
    event_tolerance: 1e-12,
    watches: &[],
};

const FALLING_ENDS: &[Watch] = &[Watch {
    direction: Direction::Falling,
    ends: true,
}];

/// Slopes and watched functions as plain functions.
struct Watched {
    slopes: fn(f64, &[f64], &mut [f64]),
    events: fn(f64, &[f64], &mut [f64]),
}

impl System for Watched {
    type Refusal = Never;

    fn slopes(&mut self, t: f64, state: &[f64], slopes: &mut [f64]) -> Result<(), Never> {
        (self.slopes)(t, state, slopes);
        Ok(())
    }

    fn events(&mut self, t: f64, state: &[f64], values: &mut [f64]) -> Result<(), Never> {
        (self.events)(t, state, values);
        Ok(())
    }
}

struct Case {
    name: &'static str,
    slopes: fn(f64, &[f64], &mut [f64]),
    start: &'static [f64],
    to: f64,
    end: &'static [f64],
    tolerance: f64,
    /// Pinned: a change means that the choice of steps has changed.
    steps: u32,
    rejected: u32,
    source: &'static str,
}

// Tolerances: a hundred times the relative tolerance of a step, as errors of steps add up.
#[rustfmt::skip]
const CASES: &[Case] = &[
    Case { name: "decay", slopes: |_, y, d| d[0] = -y[0], start: &[1.0], to: 5.0, end: &[6.737_946_999_085_467e-3], tolerance: 1e-11, steps: 178, rejected: 0, source: "exp(-5), closed form" },
    Case { name: "growth, back to its start", slopes: |_, y, d| d[0] = y[0], start: &[1.0], to: -1.0, end: &[0.367_879_441_171_442_33], tolerance: 1e-11, steps: 43, rejected: 0, source: "exp(-1), closed form" },
    Case { name: "oscillator, once round", slopes: |_, y, d| { d[0] = y[1]; d[1] = -y[0]; }, start: &[1.0, 0.0], to: std::f64::consts::TAU, end: &[1.0, 0.0], tolerance: 1e-9, steps: 295, rejected: 0, source: "cosine, closed form" },
    Case { name: "draining by its root", slopes: |_, y, d| d[0] = -y[0].sqrt(), start: &[1.0], to: 1.9, end: &[0.0025], tolerance: 1e-9, steps: 127, rejected: 0, source: "(1 - t/2)², closed form" },
    Case { name: "time alone", slopes: |t, _, d| d[0] = 5.0 * t * t * t * t, start: &[0.0], to: 2.0, end: &[32.0], tolerance: 1e-12, steps: 102, rejected: 0, source: "a fifth power is exact for order 5" },
    Case { name: "a narrow peak on the way", slopes: |t, _, d| d[0] = 0.01 / (1e-4 + (t - 0.5) * (t - 0.5)), start: &[0.0], to: 1.0, end: &[3.101_597_985_643_492], tolerance: 1e-9, steps: 280, rejected: 4, source: "2·atan(50), closed form" },
    Case { name: "nothing happens", slopes: |_, _, d| d[0] = 0.0, start: &[3.0], to: 1e6, end: &[3.0], tolerance: 0.0, steps: 10, rejected: 0, source: "exact" },
];

#[test]
fn closed_forms_are_met_with_the_pinned_effort() {
    for case in CASES {
        let Case { name, source, .. } = case;
        let mut state = case.start.to_vec();
        let absolute_tolerance = &vec![1e-12; state.len()][..];
        let settings = Settings {
            absolute_tolerance,
            ..FINE
        };
        let mut system = Watched {
            slopes: case.slopes,
            events: |_, _, _| {},
        };
        let mut workspace = Workspace::new(state.len(), 0);
        let outcome = integrate(
            &mut system,
            0.0,
            case.to,
            &mut state,
            &settings,
            &mut workspace,
            |_| {},
        )
        .unwrap();
        assert_eq!((outcome.t, outcome.event), (case.to, None), "{name}");
        for (got, expected) in state.iter().zip(case.end) {
            let off = (got - expected).abs();
            assert!(off <= case.tolerance, "{name}: {got}, off by {off:e} ({source})");
        }
        let effort = outcome.effort;
        assert_eq!(
            (effort.steps, effort.rejected),
            (case.steps, case.rejected),
            "{name}"
        );
        // Six a step, one at the start, one for the first step.
        assert!(
            effort.evaluations <= 6 * (effort.steps + effort.rejected) + 2,
            "{name}"
        );
    }
}

/// Steps of one length: the tolerance lets every error pass.
fn fixed(length: f64) -> Settings<'static> {
    Settings {
        relative_tolerance: 1.0,
        absolute_tolerance: &[1e9],
        first_step: Some(length),
        longest_step: length,
        ..FINE
    }
}

/// From a tenth, towards one.
fn logistic(t: f64) -> f64 {
    1.0 / (1.0 + 9.0 * libm::exp(-t))
}

#[test]
fn half_the_step_is_a_thirty_second_of_the_error() {
    let error = |length: f64| {
        let mut state = [0.1];
        // The logistic equation, so that the order isn't that of a linear one.
        let mut slopes = |_: f64, y: &[f64], d: &mut [f64]| {
            d[0] = y[0] * (1.0 - y[0]);
            Ok::<(), Never>(())
        };
        let outcome = integrate(
            &mut slopes,
            0.0,
            2.0,
            &mut state,
            &fixed(length),
            &mut Workspace::new(1, 0),
            |_| {},
        )
        .unwrap();
        assert!((f64::from(outcome.effort.steps) - 2.0 / length).abs() < 1e-9);
        (state[0] - logistic(2.0)).abs()
    };
    let order = |length: f64| libm::log2(error(length) / error(length / 2.0));
    // Terms of the next order: a tenth at these lengths.
    for length in [0.1, 0.05] {
        assert!((order(length) - 5.0).abs() < 0.2, "{}", order(length));
    }
}

#[test]
fn between_steps_the_order_is_four() {
    // One step from the exact start: its own error is of order 6, that inside of order 5.
    let errors = |length: f64| {
        let mut state = [0.1];
        let mut inside = 0.0_f64;
        let mut slopes = |_: f64, y: &[f64], d: &mut [f64]| {
            d[0] = y[0] * (1.0 - y[0]);
            Ok::<(), Never>(())
        };
        let watch = |seen: Seen<'_>| {
            if let Seen::Step(step) = seen {
                for share in [0.1, 0.3, 0.5, 0.7, 0.9] {
                    let mut at = [0.0];
                    step.state_at(share * length, &mut at).unwrap();
                    inside = inside.max((at[0] - logistic(share * length)).abs());
                }
            }
        };
        integrate(
            &mut slopes,
            0.0,
            length,
            &mut state,
            &fixed(length),
            &mut Workspace::new(1, 0),
            watch,
        )
        .unwrap();
        ((state[0] - logistic(length)).abs(), inside)
    };
    let (coarse, fine) = (errors(0.1), errors(0.05));
    assert!(
        (libm::log2(coarse.0 / fine.0) - 6.0).abs() < 0.3,
        "{coarse:?} {fine:?}"
    );
    assert!(
        (libm::log2(coarse.1 / fine.1) - 5.0).abs() < 0.3,
        "{coarse:?} {fine:?}"
    );
}

fn check_step(step: &Step<'_>) {
    let mut at = [0.0; 2];
    for t in [step.from, step.to, (step.from + step.to) / 2.0] {
        step.state_at(t, &mut at).unwrap();
        assert!((at[0] - libm::cos(t)).abs() < 1e-8 && (at[1] + libm::sin(t)).abs() < 1e-8);
    }
    assert!(matches!(
        step.state_at(step.to + 0.1, &mut at),
        Err(StepError::Outside { .. })
    ));
    assert!(matches!(
        step.state_at(f64::NAN, &mut at),
        Err(StepError::Outside { .. })
    ));
    let refusal = step.state_at(step.from, &mut [0.0]).unwrap_err();
    assert_eq!(
        refusal,
        StepError::Length {
            given: 1,
            expected: 2
        }
    );
    assert!(!refusal.mend().is_empty());
}

#[test]
fn steps_follow_each_other_and_give_the_state_between() {
    let mut oscillator = |_: f64, y: &[f64], d: &mut [f64]| {
        (d[0], d[1]) = (y[1], -y[0]);
        Ok::<(), Never>(())
    };
    let settings = Settings {
        absolute_tolerance: &[1e-12; 2],
        ..FINE
    };
    let (mut reached, mut count) = (0.0, 0);
    let watch = |seen: Seen<'_>| {
        if let Seen::Step(step) = seen {
            assert_eq!(step.from, reached);
            (reached, count) = (step.to, count + 1);
            check_step(step);
        }
    };
    let outcome = integrate(
        &mut oscillator,
        0.0,
        3.0,
        &mut [1.0, 0.0],
        &settings,
        &mut Workspace::new(2, 0),
        watch,
    )
    .unwrap();
    assert_eq!((reached, count), (3.0, outcome.effort.steps));
}

#[test]
fn a_vessel_drains_to_its_switch() {
    // Torricelli: the root of the level falls by g·a/(A·√(2g)) a second, here 0.005. From 0.80 to 0.10 m.
    let mut vessel = Watched {
        slopes: |_, level, d| d[0] = -0.01 * level[0].sqrt(),
        events: |_, level, g| g[0] = level[0] - 0.10,
    };
    let settings = Settings {
        watches: FALLING_ENDS,
        ..FINE
    };
    let mut level = [0.80];
    let mut shown = Vec::new();
    let outcome = integrate(
        &mut vessel,
        0.0,
        1e4,
        &mut level,
        &settings,
        &mut Workspace::new(1, 1),
        |seen| match seen {
            Seen::Event { index, t, state } => shown.push((index, t, state[0])),
            Seen::Step(step) => assert!(shown.is_empty() || step.to == shown[0].1),
        },
    )
    .unwrap();
    let expected_s = (0.80_f64.sqrt() - 0.10_f64.sqrt()) / 0.005;
    // A hundred seconds to 10⁻⁹ of it.
    assert!(
        (outcome.t - expected_s).abs() < 1e-7,
        "{} for {expected_s}",
        outcome.t
    );
    assert_eq!(outcome.event, Some(0));
    // At or beyond the switch, so that going on doesn't meet it again.
    assert!(level[0] <= 0.10 && level[0] > 0.10 - 1e-12);
    assert_eq!(shown, [(0, outcome.t, level[0])]);

    let again = integrate(
        &mut vessel,
        outcome.t,
        115.0,
        &mut level,
        &settings,
        &mut Workspace::new(1, 1),
        |_| {},
    );
    assert_eq!(again.unwrap().event, None);
}

/// Events of a cosine at one level and directions, all kept.
fn crossings(directions: [Direction; 2], to: f64) -> Vec<(usize, f64)> {
    let mut system = Watched {
        slopes: |t, _, d| d[0] = -libm::sin(t),
        events: |_, y, g| (g[0], g[1]) = (y[0], y[0] - 0.5),
    };
    let watches = directions.map(|direction| Watch {
        direction,
        ends: false,
    });
    let settings = Settings {
        longest_step: 0.5,
        watches: &watches,
        ..FINE
    };
    let mut found = Vec::new();
    integrate(
        &mut system,
        0.0,
        to,
        &mut [1.0],
        &settings,
        &mut Workspace::new(1, 2),
        |seen| {
            if let Seen::Event { index, t, .. } = seen {
                found.push((index, t));
            }
        },
    )
    .unwrap();
    found
}

#[test]
fn events_come_in_order_and_in_their_direction() {
    use std::f64::consts::PI;
    let rows: [([Direction; 2], f64, &[(usize, f64)]); 4] = [
        (
            [Direction::Any, Direction::Any],
            6.0,
            &[(1, PI / 3.0), (0, PI / 2.0), (0, 1.5 * PI), (1, PI * 5.0 / 3.0)],
        ),
        (
            [Direction::Falling, Direction::Rising],
            6.0,
            &[(0, PI / 2.0), (1, PI * 5.0 / 3.0)],
        ),
        (
            [Direction::Rising, Direction::Falling],
            6.0,
            &[(1, PI / 3.0), (0, 1.5 * PI)],
        ),
        // Backwards the cosine looks the same: directions are those of the way that time is gone.
        (
            [Direction::Falling, Direction::Rising],
            -6.0,
            &[(0, -PI / 2.0), (1, -PI * 5.0 / 3.0)],
        ),
    ];
    for (directions, to, expected) in rows {
        let found = crossings(directions, to);
        assert_eq!(found.len(), expected.len(), "{directions:?}: {found:?}");
        for (got, want) in found.iter().zip(expected) {
            assert_eq!(got.0, want.0, "{directions:?}");
            assert!((got.1 - want.1).abs() < 1e-9, "{directions:?}: {found:?}");
        }
    }
}

#[test]
fn a_ball_bounces_and_no_bounce_is_met_twice() {
    // Thrown up from the ground: the event is zero at the start, which doesn't count.
    let mut ball = Watched {
        slopes: |_, y, d| (d[0], d[1]) = (y[1], -9.806_65),
        events: |_, y, g| g[0] = y[0],
    };
    let settings = Settings {
        absolute_tolerance: &[1e-12; 2],
        watches: FALLING_ENDS,
        ..FINE
    };
    let mut workspace = Workspace::new(2, 1);
    let (mut state, mut t, mut speed) = ([0.0, 5.0], 0.0, 5.0);
    let mut expected_s = 0.0;
    for _ in 0..8 {
        let outcome = integrate(&mut ball, t, 100.0, &mut state, &settings, &mut workspace, |_| {}).unwrap();
        assert_eq!(outcome.event, Some(0));
        // A parabola, exact for the integrator: 2·v/g.
        expected_s += 2.0 * speed / 9.806_65;
        assert!(
            (outcome.t - expected_s).abs() < 1e-9,
            "{} for {expected_s}",
            outcome.t
        );
        speed *= 0.5;
        t = outcome.t;
        state[1] *= -0.5;
    }
}

#[test]
fn what_is_zero_at_the_start_waits_until_it_has_left() {
    // Value at the start, slope, direction, whether there is an event.
    let rows = [
        (0.0, 1.0, Direction::Rising, None),
        (0.0, -1.0, Direction::Falling, None),
        (0.0, 1.0, Direction::Any, None),
        (-0.5, 1.0, Direction::Rising, Some(0.5)),
        (-0.5, 1.0, Direction::Falling, None),
        (0.5, -1.0, Direction::Any, Some(0.5)),
    ];
    for (start, slope, direction, expected) in rows {
        struct Line(f64);
        impl System for Line {
            type Refusal = Never;
            fn slopes(&mut self, _: f64, _: &[f64], slopes: &mut [f64]) -> Result<(), Never> {
                slopes[0] = self.0;
                Ok(())
            }
            fn events(&mut self, _: f64, y: &[f64], values: &mut [f64]) -> Result<(), Never> {
                values[0] = y[0];
                Ok(())
            }
        }
        let settings = Settings {
            watches: &[Watch {
                direction,
                ends: true,
            }],
            ..FINE
        };
        let outcome = integrate(
            &mut Line(slope),
            0.0,
            1.0,
            &mut [start],
            &settings,
            &mut Workspace::new(1, 1),
            |_| {},
        )
        .unwrap();
        assert_eq!(
            outcome.event.is_some(),
            expected.is_some(),
            "{start} {slope} {direction:?}"
        );
        assert!(
            (outcome.t - expected.unwrap_or(1.0)).abs() < 1e-12,
            "{start} {slope} {direction:?}"
        );
    }
}

#[test]
fn of_events_at_the_same_time_none_is_lost() {
    let mut system = Watched {
        slopes: |_, _, d| d[0] = 1.0,
        events: |_, y, g| (g[0], g[1], g[2]) = (y[0] - 0.3, 0.3 - y[0], y[0] - 0.7),
    };
    let watches = [false, true, false].map(|ends| Watch {
        direction: Direction::Any,
        ends,
    });
    let settings = Settings {
        watches: &watches,
        ..FINE
    };
    let mut shown = Vec::new();
    let outcome = integrate(
        &mut system,
        0.0,
        1.0,
        &mut [0.0],
        &settings,
        &mut Workspace::new(1, 3),
        |seen| {
            if let Seen::Event { index, .. } = seen {
                shown.push(index);
            }
        },
    )
    .unwrap();
    assert_eq!((outcome.event, shown), (Some(1), vec![0, 1]));
}

type Refusable = Result<Outcome, OdeError<&'static str>>;

fn run(
    from: f64,
    to: f64,
    start: f64,
    settings: &Settings<'_>,
    slopes: fn(f64, f64) -> Result<f64, &'static str>,
) -> Refusable {
    let mut system = |t: f64, y: &[f64], d: &mut [f64]| {
        d[0] = slopes(t, y[0])?;
        Ok(())
    };
    integrate(
        &mut system,
        from,
        to,
        &mut [start],
        settings,
        &mut Workspace::new(1, 0),
        |_| {},
    )
}

#[test]
fn a_bad_question_is_refused() {
    let decay: fn(f64, f64) -> Result<f64, &'static str> = |_, y| Ok(-y);
    for (from, to) in [(1.0, 1.0), (f64::NAN, 1.0), (0.0, f64::INFINITY), (-1e308, 1e308)] {
        assert!(matches!(
            run(from, to, 1.0, &FINE, decay),
            Err(OdeError::NotAnInterval { .. })
        ));
    }
    for bad in [f64::NAN, f64::INFINITY] {
        assert!(matches!(
            run(0.0, 1.0, bad, &FINE, decay),
            Err(OdeError::NotFinite { .. })
        ));
    }
    for bad in [f64::NAN, 0.0, -1.0] {
        let settings = [
            Settings {
                relative_tolerance: bad,
                ..FINE
            },
            Settings {
                absolute_tolerance: &[bad],
                ..FINE
            },
            Settings {
                first_step: Some(bad),
                ..FINE
            },
            Settings {
                longest_step: bad,
                ..FINE
            },
            Settings {
                event_tolerance: bad,
                ..FINE
            },
            Settings {
                most_steps: 0,
                ..FINE
            },
            Settings {
                first_step: Some(2.0),
                longest_step: 1.0,
                ..FINE
            },
        ];
        for settings in settings {
            let refusal = run(0.0, 1.0, 1.0, &settings, decay).unwrap_err();
            assert!(matches!(refusal, OdeError::Setting { .. }), "{settings:?}");
            assert!(!refusal.mend().is_empty() && !refusal.to_string().is_empty());
        }
    }
    let two = Settings {
        absolute_tolerance: &[1e-9; 2],
        ..FINE
    };
    assert!(matches!(
        run(0.0, 1.0, 1.0, &two, decay),
        Err(OdeError::Length {
            given: 2,
            expected: 1,
            ..
        })
    ));
    let watching = Settings {
        watches: FALLING_ENDS,
        ..FINE
    };
    assert!(matches!(
        run(0.0, 1.0, 1.0, &watching, decay),
        Err(OdeError::Length {
            given: 1,
            expected: 0,
            ..
        })
    ));
    let mut nothing = |_: f64, _: &[f64], _: &mut [f64]| Ok::<(), Never>(());
    let none = Settings {
        absolute_tolerance: &[],
        ..FINE
    };
    let refusal = integrate(
        &mut nothing,
        0.0,
        1.0,
        &mut [],
        &none,
        &mut Workspace::new(0, 0),
        |_| {},
    );
    assert!(matches!(refusal, Err(OdeError::Length { .. })));
    // A slope that is never written.
    let refusal = integrate(
        &mut nothing,
        0.0,
        1.0,
        &mut [1.0],
        &FINE,
        &mut Workspace::new(1, 0),
        |_| {},
    );
    assert!(matches!(refusal, Err(OdeError::NotFinite { .. })));
}

#[test]
fn an_equation_that_leads_nowhere_is_given_up() {
    // Runs off to infinity at 1: the step shrinks until time can't tell it.
    let gone = run(0.0, 2.0, 1.0, &FINE, |_, y| Ok(y * y)).unwrap_err();
    assert!(
        matches!(gone, OdeError::StepTooShort { t } | OdeError::NotFinite { t, .. } | OdeError::TooManySteps { t, .. } if (t - 1.0).abs() < 1e-3),
        "{gone:?}"
    );
    let few = Settings {
        most_steps: 5,
        ..FINE
    };
    assert!(matches!(
        run(0.0, 50.0, 1.0, &few, |_, y| Ok(-y)),
        Err(OdeError::TooManySteps { most: 5, .. })
    ));
    // Stiff: bounded all the same.
    let stiff = Settings {
        most_steps: 500,
        ..FINE
    };
    assert!(matches!(
        run(0.0, 1.0, 1.0, &stiff, |_, y| Ok(-1e9 * y)),
        Err(OdeError::TooManySteps { .. })
    ));
    // Refused at the start, and from some time on.
    assert_eq!(
        run(0.0, 1.0, 1.0, &FINE, |_, _| Err("no")),
        Err(OdeError::Refused {
            t: 0.0,
            refusal: "no"
        })
    );
    let late = run(0.0, 1.0, 1.0, &FINE, |t, _| {
        if t > 0.5 { Err("too late") } else { Ok(1.0) }
    });
    assert!(
        matches!(late, Err(OdeError::Refused { t, refusal: "too late" }) if (t - 0.5).abs() < 1e-9),
        "{late:?}"
    );
    // A refusal that only a trial step meets is none: the level ends above what is refused.
    let brink = run(
        0.0,
        1.0,
        1.0,
        &Settings {
            first_step: Some(1.0),
            ..FINE
        },
        |_, y| {
            if y < 0.0 {
                Err("below the floor")
            } else {
                Ok(-4.0 * y)
            }
        },
    );
    assert!(brink.is_ok(), "{brink:?}");
}

#[test]
fn events_may_fail_too() {
    struct Odd(u8, u32);
    impl System for Odd {
        type Refusal = &'static str;
        fn slopes(&mut self, _: f64, _: &[f64], slopes: &mut [f64]) -> Result<(), &'static str> {
            slopes[0] = 1.0;
            Ok(())
        }
        fn events(&mut self, t: f64, _: &[f64], values: &mut [f64]) -> Result<(), &'static str> {
            self.1 += 1;
            values[0] = match self.0 {
                0 if t > 0.5 => f64::NAN,
                1 if t > 0.5 => return Err("no"),
                // A different answer at every look.
                2 => f64::from(self.1 % 2) - 0.5,
                3 => return Ok(()),
                _ => 1.0,
            };
            Ok(())
        }
    }
    let watches = &[Watch {
        direction: Direction::Any,
        ends: false,
    }];
    let settings = Settings { watches, ..FINE };
    let outcome = |kind| {
        integrate(
            &mut Odd(kind, 0),
            0.0,
            1.0,
            &mut [0.0],
            &settings,
            &mut Workspace::new(1, 1),
            |_| {},
        )
    };
    assert!(matches!(outcome(0), Err(OdeError::EventNotFinite { .. })));
    assert!(matches!(outcome(1), Err(OdeError::Refused { refusal: "no", .. })));
    // Whatever comes of it, it comes to an end.
    let _ = outcome(2);
    assert!(matches!(outcome(3), Err(OdeError::EventNotFinite { t: 0.0, .. })));
}

fn linear(rate: f64, start: f64, from: f64, to: f64) -> f64 {
    let mut state = [start];
    let mut slopes = |t: f64, y: &[f64], d: &mut [f64]| {
        d[0] = rate * y[0] * libm::cos(t);
        Ok::<(), Never>(())
    };
    // No absolute tolerance to speak of, so that the scale of the state can't matter.
    let settings = Settings {
        relative_tolerance: 1e-10,
        absolute_tolerance: &[1e-200],
        ..FINE
    };
    integrate(
        &mut slopes,
        from,
        to,
        &mut state,
        &settings,
        &mut Workspace::new(1, 0),
        |_| {},
    )
    .unwrap();
    state[0]
}

proptest! {
    #[test]
    fn a_linear_equation_scales(rate in -3.0..3.0_f64, start in 0.1..10.0_f64, power in -20..20_i32) {
        // A power of two scales every number of the way exactly.
        let scale = libm::ldexp(1.0, power);
        prop_assert_eq!(linear(rate, scale * start, 0.0, 2.0), scale * linear(rate, start, 0.0, 2.0));
    }

    #[test]
    fn it_meets_its_closed_form_and_goes_back(rate in -3.0..3.0_f64, start in 0.1..10.0_f64, to in 0.1..5.0_f64) {
        let there = linear(rate, start, 0.0, to);
        let expected = start * libm::exp(rate * libm::sin(to));
        // Some tens of steps, each good to 10⁻¹⁰, and what has come in grows by up to exp(6).
        prop_assert!((there / expected - 1.0).abs() < 1e-7);
        prop_assert!((linear(rate, there, to, 0.0) / start - 1.0).abs() < 1e-7);
    }

    #[test]
    fn nothing_that_is_no_number_comes_out(
        start in any::<f64>(), from in any::<f64>(), to in any::<f64>(), power in 0_u8..4,
    ) {
        let mut state = [start];
        let mut slopes = |t: f64, y: &[f64], d: &mut [f64]| {
            d[0] = [1.0, y[0], y[0] * y[0], y[0].sqrt() * t][usize::from(power)];
            Ok::<(), Never>(())
        };
        let settings = Settings { most_steps: 300, ..FINE };
        let mut finite = true;
        let outcome = integrate(&mut slopes, from, to, &mut state, &settings, &mut Workspace::new(1, 0), |seen| {
            if let Seen::Step(step) = seen {
                let mut at = [0.0];
                finite &= step.state_at(step.from, &mut at).is_ok() && at[0].is_finite();
            }
        });
        prop_assert!(finite && (outcome.is_err() || state[0].is_finite()));
    }
}
