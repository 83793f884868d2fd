//! The state between two steps.

/// A step that was kept, and the state anywhere in it.
#[derive(Debug, Clone, Copy)]
pub struct Step<'a> {
    /// Start.
    pub from: f64,
    /// End; before `from` when the integration runs backwards.
    pub to: f64,
    pub(super) length: f64,
    pub(super) start: &'a [f64],
    pub(super) bend: &'a [Vec<f64>; 4],
}

/// Why no state could be given inside a step.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StepError {
    /// A time outside the step.
    #[error("{t} is outside the step from {from} to {to}")]
    Outside {
        /// Time asked for.
        t: f64,
        /// Start of the step.
        from: f64,
        /// End of the step.
        to: f64,
    },
    /// A place for the state that doesn't have its length.
    #[error("{given} places for a state of {expected}")]
    Length {
        /// Places given.
        given: usize,
        /// Length of the state.
        expected: usize,
    },
}

impl StepError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::Outside { .. } => "ask each step only for times between its ends",
            Self::Length { .. } => "give as many places as the state has components",
        }
    }
}

impl Step<'_> {
    /// Writes the state at a time inside the step.
    ///
    /// Of order 4, one less than at the ends, and smooth across them to the first derivative.
    ///
    /// # Errors
    /// [`StepError`] for a time outside the step, and for a place of another length than the state.
    ///
    /// # Source
    /// `HAIRER-1993`, section II.6, from memory.
    pub fn state_at(&self, t: f64, state: &mut [f64]) -> Result<(), StepError> {
        let (from, to) = (self.from, self.to);
        if state.len() != self.start.len() {
            return Err(StepError::Length {
                given: state.len(),
                expected: self.start.len(),
            });
        }
        if !((from..=to).contains(&t) || (to..=from).contains(&t)) {
            return Err(StepError::Outside { t, from, to });
        }
        interpolate((t - from) / self.length, self.start, self.bend, state);
        Ok(())
    }
}

/// The state at a share of the step, 0 to 1.
pub(super) fn interpolate(share: f64, start: &[f64], bend: &[Vec<f64>; 4], state: &mut [f64]) {
    let rest = 1.0 - share;
    let [rise, b, c, d] = bend;
    for (i, value) in state.iter_mut().enumerate() {
        *value = start[i] + share * (rise[i] + rest * (b[i] + share * (c[i] + rest * d[i])));
    }
}

/// Prepares [`interpolate`] from the seven slopes of a step.
pub(super) fn bend_of(h: f64, start: &[f64], end: &[f64], k: &[Vec<f64>; 7], bend: &mut [Vec<f64>; 4]) {
    let [rise, b, c, d] = bend;
    for i in 0..start.len() {
        rise[i] = end[i] - start[i];
        b[i] = h * k[0][i] - rise[i];
        c[i] = rise[i] - h * k[6][i] - b[i];
        d[i] = h
            * (D[0] * k[0][i]
                + D[1] * k[2][i]
                + D[2] * k[3][i]
                + D[3] * k[4][i]
                + D[4] * k[5][i]
                + D[5] * k[6][i]);
    }
}

/// Weights of the slopes 1, 3, 4, 5, 6, 7 in the last term; `HAIRER-1993`. Their sum is zero.
const D: [f64; 6] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];
