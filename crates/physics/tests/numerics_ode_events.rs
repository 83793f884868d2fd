//! Events on the way of the integrator: when, in which order, and never twice.

use physics::numerics::ode::{
    Direction, Never, OdeError, Seen, Settings, Step, StepError, System, Watch, Workspace, integrate,
};

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

fn check_step(step: &Step<'_>) {
    let mut at = [0.0; 2];
    for t in [step.from, step.to, (step.from + step.to) / 2.0] {
        step.state_at(t, &mut at).expect("a sound question");
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
    let refusal = step
        .state_at(step.from, &mut [0.0])
        .expect_err("one place is too few");
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
    .expect("a sound question");
    found
}

#[test]
fn events_come_in_order_and_in_their_direction() {
    use std::f64::consts::PI;
    /// Directions, end, places and times.
    type Row<'a> = ([Direction; 2], f64, &'a [(usize, f64)]);
    let rows: [Row<'_>; 4] = [
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

#[test]
fn there_and_back_in_one_step_is_seen_when_the_middle_is_beyond() {
    // One step of a parabola, above zero from 0.3 to 0.7: the step is looked at in its middle as well.
    let mut hill = Watched {
        slopes: |t, _, d| d[0] = 1.0 - 2.0 * t,
        events: |_, y, g| g[0] = y[0],
    };
    let watches = [Watch {
        direction: Direction::Any,
        ends: false,
    }];
    let settings = Settings {
        relative_tolerance: 1.0,
        absolute_tolerance: &[1e9],
        first_step: Some(1.0),
        watches: &watches,
        ..FINE
    };
    let mut found = Vec::new();
    let outcome = integrate(
        &mut hill,
        0.0,
        1.0,
        &mut [-0.21],
        &settings,
        &mut Workspace::new(1, 1),
        |seen| {
            if let Seen::Event { t, .. } = seen {
                found.push(t);
            }
        },
    )
    .unwrap();
    assert_eq!((outcome.effort.steps, found.len()), (1, 2));
    assert!(
        (found[0] - 0.3).abs() < 1e-11 && (found[1] - 0.7).abs() < 1e-11,
        "{found:?}"
    );
}
