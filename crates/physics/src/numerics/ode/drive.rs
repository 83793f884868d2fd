//! From the start to the end, step by step.

use super::dense::{Step, bend_of};
use super::event::{Passed, Watcher};
use super::step::{attempt, error_of, evaluate, finite, mean_square};
use super::{Effort, OdeError, Outcome, Seen, Settings, System};

/// A step is chosen a little shorter than its error would allow.
const SAFETY: f64 = 0.9;
/// Least and greatest ratio of a step to the one before; `HAIRER-1993`, section II.4, has 0.2 and 5 among its usual ones.
const LEAST_RATIO: f64 = 0.2;
const GREATEST_RATIO: f64 = 5.0;
/// Ratio after a refusal, of which the size says nothing.
const RATIO_AFTER_REFUSAL: f64 = 0.25;

/// Room for the slopes of a step and the looks at events: made once, used again.
#[derive(Debug, Clone)]
pub struct Workspace {
    k: [Vec<f64>; 7],
    bend: [Vec<f64>; 4],
    end: Vec<f64>,
    watcher: Watcher,
}

impl Workspace {
    /// Makes room for a state of that many components and for that many watched functions.
    pub fn new(states: usize, events: usize) -> Self {
        Self {
            k: std::array::from_fn(|_| vec![0.0; states]),
            bend: std::array::from_fn(|_| vec![0.0; states]),
            end: vec![0.0; states],
            watcher: Watcher::new(states, events),
        }
    }
}

/// Follows a system from one time to another, or to the first event that ends it.
///
/// The state is carried along in place. Each step's error is held below the tolerances, as a root mean square over the
/// state. Backwards in time is as good as forwards.
///
/// A watched function that is zero at the start, or where it was left by an event, counts as having had its event; it has
/// to leave zero before another. The time of an event is at or just beyond zero, never before, within the tolerance: to
/// go on from there doesn't meet it a second time. Everything that has happened by then is shown, so that of two events
/// at the same time none gets lost.
///
/// # Arguments
/// * `system`: slopes, and events if any are watched.
/// * `from`, `to`: finite and different; `to` may be earlier.
/// * `state`: finite; at the end of the interval or at the event afterwards, at the last kept step after an error.
/// * `settings`: tolerances, bounds, watches.
/// * `workspace`: made for this length of state and this number of watches.
/// * `seen`: is shown every event and every step, with the state in between.
///
/// # Errors
/// [`OdeError`]. A slope that is refused or not finite inside a trial step makes the step shorter, and is an error where
/// no shorter one avoids it.
///
/// # Source
/// `DORMAND-PRINCE-1980` for the pair; `HAIRER-1993` for steps, the first of them, and the state in between. From memory.
///
/// # Examples
/// A vessel that drains as the root of its level, watched for a quarter of it:
/// ```
/// use physics::numerics::ode::{Direction, Never, Settings, System, Watch, Workspace, integrate};
///
/// struct Vessel;
/// impl System for Vessel {
///     type Refusal = Never;
///     fn slopes(&mut self, _t: f64, level: &[f64], slopes: &mut [f64]) -> Result<(), Never> {
///         slopes[0] = -level[0].sqrt();
///         Ok(())
///     }
///     fn events(&mut self, _t: f64, level: &[f64], values: &mut [f64]) -> Result<(), Never> {
///         values[0] = level[0] - 0.25;
///         Ok(())
///     }
/// }
///
/// let settings = Settings {
///     relative_tolerance: 1e-9,
///     absolute_tolerance: &[1e-9],
///     first_step: None,
///     longest_step: f64::INFINITY,
///     most_steps: 1000,
///     event_tolerance: 1e-9,
///     watches: &[Watch { direction: Direction::Falling, ends: true }],
/// };
/// let mut level = [1.0];
/// let outcome = integrate(&mut Vessel, 0.0, 9.0, &mut level, &settings, &mut Workspace::new(1, 1), |_| {})?;
/// assert_eq!(outcome.event, Some(0));
/// assert!((outcome.t - 1.0).abs() < 1e-7);
/// # Ok::<(), physics::numerics::ode::OdeError>(())
/// ```
pub fn integrate<S: System>(
    system: &mut S,
    from: f64,
    to: f64,
    state: &mut [f64],
    settings: &Settings<'_>,
    workspace: &mut Workspace,
    mut seen: impl FnMut(Seen<'_>),
) -> Result<Outcome, OdeError<S::Refusal>> {
    check(from, to, state, settings, workspace)?;
    let Workspace {
        k,
        bend,
        end,
        watcher,
    } = workspace;
    let (relative, absolute) = (settings.relative_tolerance, settings.absolute_tolerance);
    let forwards = if from < to { 1.0 } else { -1.0 };
    // A few spacings of the numbers that tell time.
    let shortest = 16.0 * f64::EPSILON * from.abs().max(to.abs());

    let mut effort = Effort::default();
    evaluate(system, from, state, &mut k[0], &mut effort)?;
    let watched = watcher.count() > 0;
    if watched {
        watcher.start(system, from, state, &mut effort)?;
    }
    let mut length = match settings.first_step {
        Some(first) => first,
        None => {
            let [slopes, other, ..] = k;
            first_length(
                system,
                from,
                to,
                state,
                settings,
                [slopes, other, end],
                &mut effort,
            )
        }
    };
    let mut t = from;
    let mut just_rejected = false;
    loop {
        if effort.steps + effort.rejected >= settings.most_steps {
            let most = settings.most_steps;
            return Err(OdeError::TooManySteps { t, most });
        }
        let rest = (to - t).abs();
        // A rest of a hundredth would be a step of its own.
        let last = 1.01 * length >= rest;
        let h = if last { to - t } else { forwards * length };

        let (ratio, refused) = match attempt(system, t, h, state, k, end, &mut effort) {
            Ok(()) => match error_of(h, state, end, k, relative, absolute) {
                error if error <= 1.0 => (ratio_after(error), None),
                error => (ratio_after(error).min(SAFETY), Some(OdeError::StepTooShort { t })),
            },
            Err(refusal) => (RATIO_AFTER_REFUSAL, Some(refusal)),
        };
        if let Some(refusal) = refused {
            effort.rejected += 1;
            length = h.abs() * ratio;
            just_rejected = true;
            if length < shortest {
                return Err(refusal);
            }
            continue;
        }
        effort.steps += 1;
        bend_of(h, state, end, k, bend);
        for part in bend.iter() {
            finite(t, part)?;
        }
        let arrival = if last { to } else { t + h };

        let mut step = Step {
            from: t,
            to: arrival,
            length: h,
            start: state,
            bend,
        };
        let passed = Passed {
            t,
            h,
            arrival,
            start: state,
            bend,
        };
        let mut ending = None;
        if watched {
            let tolerance = settings.event_tolerance;
            ending = watcher.scan(
                system,
                &passed,
                settings.watches,
                tolerance,
                &mut effort,
                &mut seen,
            )?;
        }
        if let Some((share, index)) = ending {
            step.to = passed.time(share);
            seen(Seen::Step(&step));
            t = step.to;
            state.copy_from_slice(&watcher.state);
            let event = Some(index);
            return Ok(Outcome { t, event, effort });
        }
        seen(Seen::Step(&step));
        t = step.to;
        state.copy_from_slice(end);
        k.swap(0, 6);
        if last {
            let event = None;
            return Ok(Outcome { t, event, effort });
        }
        let ratio = if just_rejected { ratio.min(1.0) } else { ratio };
        length = (h.abs() * ratio).min(settings.longest_step);
        just_rejected = false;
    }
}

/// By what to multiply a step of that error; the error goes with its fifth power.
fn ratio_after(error: f64) -> f64 {
    let ratio = SAFETY * libm::pow(error, -0.2);
    // Also for an error that isn't a number.
    if ratio >= LEAST_RATIO {
        ratio.min(GREATEST_RATIO)
    } else {
        LEAST_RATIO
    }
}

/// A first step for which a step of order one moves the state by a hundredth, and the slopes change little.
///
/// `HAIRER-1993`, section II.4, from memory; its least step of 10⁻⁶ is taken as a share of the interval.
fn first_length<S: System>(
    system: &mut S,
    from: f64,
    to: f64,
    state: &[f64],
    settings: &Settings<'_>,
    [slopes, other, moved]: [&mut Vec<f64>; 3],
    effort: &mut Effort,
) -> f64 {
    let whole = (to - from).abs();
    let most = whole.min(settings.longest_step);
    let least = most * 1e-6;
    let n = state.len();
    let allowed = |i: usize| settings.absolute_tolerance[i] + settings.relative_tolerance * state[i].abs();
    let size = mean_square(n, |i| state[i] / allowed(i));
    let slope = mean_square(n, |i| slopes[i] / allowed(i));
    let guess = if size < 1e-5 || slope < 1e-5 {
        least
    } else {
        (0.01 * size / slope).min(most)
    };
    if !(guess > 0.0 && guess.is_finite()) {
        return least;
    }
    let h = if from < to { guess } else { -guess };
    for (i, value) in moved.iter_mut().enumerate() {
        *value = state[i] + h * slopes[i];
    }
    if finite::<S::Refusal>(from + h, moved).is_err()
        || evaluate(system, from + h, moved, other, effort).is_err()
    {
        return guess;
    }
    let change = mean_square(n, |i| (other[i] - slopes[i]) / allowed(i)) / guess;
    let steepest = slope.max(change);
    let by_slope = if steepest <= 1e-15 {
        least.max(guess * 1e-3)
    } else {
        libm::pow(0.01 / steepest, 0.2)
    };
    let length = (100.0 * guess).min(by_slope).min(most);
    if length > 0.0 { length } else { least }
}

fn check<E>(
    from: f64,
    to: f64,
    state: &[f64],
    settings: &Settings<'_>,
    workspace: &Workspace,
) -> Result<(), OdeError<E>> {
    let whole = (to - from).abs();
    if !(from.is_finite() && to.is_finite() && whole.is_finite() && whole > 0.0) {
        return Err(OdeError::NotAnInterval { from, to });
    }
    let states = workspace.end.len();
    for (what, given, expected) in [
        ("the state", state.len(), states),
        (
            "the absolute tolerance",
            settings.absolute_tolerance.len(),
            states,
        ),
        ("the watches", settings.watches.len(), workspace.watcher.count()),
        // A workspace without a state.
        ("an empty state", states.min(1), 1),
    ] {
        if given != expected {
            return Err(OdeError::Length {
                what,
                given,
                expected,
            });
        }
    }
    let above_zero = |value: f64| value > 0.0 && value.is_finite();
    let first = settings.first_step;
    let longest = settings.longest_step;
    let relative = settings.relative_tolerance;
    for (setting, value, possible) in [
        (
            "a relative tolerance",
            relative,
            (1e-14..=1.0).contains(&relative),
        ),
        ("a longest step", longest, longest > 0.0),
        (
            "a first step",
            first.unwrap_or(longest),
            first.is_none_or(|first| above_zero(first) && first <= longest),
        ),
        (
            "a number of steps",
            f64::from(settings.most_steps),
            settings.most_steps > 0,
        ),
        (
            "an event tolerance",
            settings.event_tolerance,
            above_zero(settings.event_tolerance),
        ),
    ] {
        if !possible {
            return Err(OdeError::Setting { setting, value });
        }
    }
    if let Some(&value) = settings
        .absolute_tolerance
        .iter()
        .find(|value| !above_zero(**value))
    {
        let setting = "an absolute tolerance";
        return Err(OdeError::Setting { setting, value });
    }
    finite(from, state)
}
