//! One trial step of the embedded pair, and its error.

use super::{Effort, OdeError, System};

/// Shares of the step at which the slopes 2 to 7 are taken; `DORMAND-PRINCE-1980`.
const C: [f64; 6] = [1.0 / 5.0, 3.0 / 10.0, 4.0 / 5.0, 8.0 / 9.0, 1.0, 1.0];

/// Weights of the earlier slopes in the state at which each of the slopes 2 to 7 is taken. The last row is the result
/// of order 5, so that its slope is the first one of the next step.
const A: [&[f64]; 6] = [
    &[1.0 / 5.0],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[
        19_372.0 / 6561.0,
        -25_360.0 / 2187.0,
        64_448.0 / 6561.0,
        -212.0 / 729.0,
    ],
    &[
        9017.0 / 3168.0,
        -355.0 / 33.0,
        46_732.0 / 5247.0,
        49.0 / 176.0,
        -5103.0 / 18_656.0,
    ],
    &[
        35.0 / 384.0,
        0.0,
        500.0 / 1113.0,
        125.0 / 192.0,
        -2187.0 / 6784.0,
        11.0 / 84.0,
    ],
];

/// Weights of the seven slopes in the difference between the results of order 5 and 4.
const E: [f64; 7] = [
    71.0 / 57_600.0,
    0.0,
    -71.0 / 16_695.0,
    71.0 / 1920.0,
    -17_253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];

/// Asks for the slopes, and refuses what isn't finite.
pub(super) fn evaluate<S: System>(
    system: &mut S,
    t: f64,
    state: &[f64],
    slopes: &mut [f64],
    effort: &mut Effort,
) -> Result<(), OdeError<S::Refusal>> {
    slopes.fill(f64::NAN);
    effort.evaluations = effort.evaluations.saturating_add(1);
    system
        .slopes(t, state, slopes)
        .map_err(|refusal| OdeError::Refused { t, refusal })?;
    finite(t, slopes)
}

/// Refuses the first component that isn't finite.
pub(super) fn finite<E>(t: f64, values: &[f64]) -> Result<(), OdeError<E>> {
    match values.iter().enumerate().find(|(_, value)| !value.is_finite()) {
        Some((index, &value)) => Err(OdeError::NotFinite { t, index, value }),
        None => Ok(()),
    }
}

/// Fills the slopes 2 to 7 and the state at the end of the step, of order 5.
pub(super) fn attempt<S: System>(
    system: &mut S,
    t: f64,
    h: f64,
    state: &[f64],
    k: &mut [Vec<f64>; 7],
    end: &mut [f64],
    effort: &mut Effort,
) -> Result<(), OdeError<S::Refusal>> {
    for (row, (weights, share)) in A.iter().zip(C).enumerate() {
        let (earlier, later) = k.split_at_mut(row + 1);
        for (i, value) in end.iter_mut().enumerate() {
            let sum: f64 = weights.iter().zip(&*earlier).map(|(a, k)| a * k[i]).sum();
            *value = state[i] + h * sum;
        }
        let at = t + share * h;
        finite(at, end)?;
        evaluate(system, at, end, &mut later[0], effort)?;
    }
    Ok(())
}

/// The error of a step, 1 where it just meets the tolerance: root mean square over the state.
pub(super) fn error_of(
    h: f64,
    state: &[f64],
    end: &[f64],
    k: &[Vec<f64>; 7],
    relative: f64,
    absolute: &[f64],
) -> f64 {
    mean_square(state.len(), |i| {
        let difference: f64 = E.iter().zip(k).map(|(e, k)| e * k[i]).sum();
        let allowed = absolute[i] + relative * state[i].abs().max(end[i].abs());
        h * difference / allowed
    })
}

/// Root of the mean square of `count` terms.
pub(super) fn mean_square(count: usize, term: impl Fn(usize) -> f64) -> f64 {
    let mut sum = 0.0;
    for i in 0..count {
        let value = term(i);
        sum += value * value;
    }
    (sum / count as f64).sqrt()
}
