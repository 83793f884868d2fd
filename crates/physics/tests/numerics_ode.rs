//! The integrator against closed forms, of the order that it claims, with pinned effort.

use physics::numerics::ode::{Never, Seen, Settings, System, Workspace, integrate};
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
    .expect("a sound question");
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
