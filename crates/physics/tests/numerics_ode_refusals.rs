//! The integrator is never quiet about a bad question, and never goes on without end.

use physics::numerics::ode::{Direction, Never, OdeError, Outcome, Settings, Watch, Workspace, integrate};

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
