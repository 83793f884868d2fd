//! The polynomials of the practical salinity scale at one temperature, at sea pressure 0.
//!
//! Owns: practical salinity as a function of the root of the conductivity ratio, its slope, its extension below
//! salinity 2, and a first guess for turning it round. Arguments aren't checked here; the callers do.
//!
//! In the names of the sources: the root is `√R_t`, where `R_t` compares the water with water of salinity 35 at
//! the same temperature.

/// Conductivity of water of salinity 35 at 15 °C (IPTS-68) and one atmosphere, in S/m.
pub(super) const STANDARD_CONDUCTIVITY_S_M: f64 = 4.2914;
/// Below this the scale proper gives way to its extension.
pub(super) const LOWEST_PROPER_SALINITY: f64 = 2.0;

/// A step of the root below which the next one would be lost in rounding: Newton's error squares.
const LAST_STEP: f64 = 1e-8;
/// More steps than any salinity and temperature need: four were the most in a sweep.
const MOST_STEPS: u32 = 20;

const A: [f64; 6] = [0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081];
const B: [f64; 6] = [0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144];
const K: f64 = 0.0162;
const C: [f64; 5] = [0.676_609_7, 2.005_64e-2, 1.104_259e-4, -6.969_8e-7, 1.003_1e-9];

/// First guess of the root from the root of the salinity, for 2 to 42 and -2 to 45 °C: own minimax fit, within
/// 1.9e-5. The second array is multiplied by the temperature factor.
const GUESS_PROPER: ([f64; 6], [f64; 4]) = (
    [
        2.799_218_79e-3,
        0.196_854_297,
        -8.862_719_11e-3,
        1.211_633_35e-3,
        -1.121_866_46e-4,
        4.047_446_98e-6,
    ],
    [
        6.818_962_58e-6,
        1.046_229_19e-4,
        -1.910_602_64e-5,
        2.106_671_95e-7,
    ],
);
/// The same for salinity 0 to 2, within 4.7e-4.
const GUESS_LOW: ([f64; 7], [f64; 5]) = (
    [
        5.161_566_78e-3,
        0.128_025_17,
        0.384_477_377,
        -0.961_684_222,
        1.156_118_05,
        -0.668_654_649,
        0.148_713_17,
    ],
    [
        1.983_808_11e-5,
        -8.621_639_6e-5,
        5.424_261_95e-4,
        -5.689_757_22e-4,
        1.876_544_9e-4,
    ],
);

/// The scale at one temperature.
#[derive(Debug, Clone, Copy)]
pub(super) struct PracticalScale {
    /// Coefficients of salinity in the root, temperature already in them.
    coefficients: [f64; 6],
    /// `(t - 15)/(1 + k (t - 15))`.
    temperature_factor: f64,
    /// Conductivity of water of salinity 35 at this temperature, in S/m.
    pub(super) reference_conductivity_s_m: f64,
}

impl PracticalScale {
    #[inline]
    pub(super) fn at(temperature_c: f64) -> Self {
        let temperature_68 = 1.000_24 * temperature_c;
        let above = temperature_68 - 15.0;
        let temperature_factor = above / (1.0 + K * above);
        let mut coefficients = A;
        for (a, b) in coefficients.iter_mut().zip(B) {
            *a += temperature_factor * b;
        }
        Self {
            coefficients,
            temperature_factor,
            reference_conductivity_s_m: STANDARD_CONDUCTIVITY_S_M * horner(temperature_68, C),
        }
    }

    /// Practical salinity for a root, the extension included.
    #[inline]
    pub(super) fn salinity(&self, root: f64) -> f64 {
        let proper = self.proper(root);
        if proper >= LOWEST_PROPER_SALINITY {
            proper
        } else {
            self.extension_factor() * (proper - self.correction(root))
        }
    }

    /// The root for a practical salinity above 0, and the Newton steps it took.
    ///
    /// Near salinity 0 the extension has a second, smaller root without meaning; the guess lies above the larger.
    #[inline]
    pub(super) fn root(&self, practical_salinity: f64) -> (f64, u32) {
        if practical_salinity >= LOWEST_PROPER_SALINITY {
            self.root_proper(practical_salinity)
        } else {
            self.root_extended(practical_salinity)
        }
    }

    #[inline]
    fn proper(&self, root: f64) -> f64 {
        horner(root, self.coefficients)
    }

    #[inline]
    fn proper_with_slope(&self, root: f64) -> (f64, f64) {
        let [_, c1, c2, c3, c4, c5] = self.coefficients;
        let slope = [c1, 2.0 * c2, 3.0 * c3, 4.0 * c4, 5.0 * c5];
        (self.proper(root), horner(root, slope))
    }

    #[inline]
    fn guess_proper(&self, practical_salinity: f64) -> f64 {
        let x = practical_salinity.sqrt();
        horner(x, GUESS_PROPER.0) + self.temperature_factor * horner(x, GUESS_PROPER.1)
    }

    #[inline]
    fn root_proper(&self, practical_salinity: f64) -> (f64, u32) {
        let guess = self.guess_proper(practical_salinity);
        newton(guess, practical_salinity, |root| self.proper_with_slope(root))
    }

    /// What the extension of Hill, Dauphinee and Woods takes off below salinity 2.
    #[inline]
    fn correction(&self, root: f64) -> f64 {
        let (x, y) = (400.0 * root * root, 10.0 * root);
        A[0] / (1.0 + x * (1.5 + x)) + B[0] * self.temperature_factor / (1.0 + y * (1.0 + y * (1.0 + y)))
    }

    /// The extension before it's made to meet the scale at salinity 2, with its slope.
    fn extended_with_slope(&self, root: f64) -> (f64, f64) {
        let (proper, slope) = self.proper_with_slope(root);
        let (x, y) = (400.0 * root * root, 10.0 * root);
        let first = 1.0 + x * (1.5 + x);
        let second = 1.0 + y * (1.0 + y * (1.0 + y));
        let b0 = B[0] * self.temperature_factor;
        let slope = slope
            + A[0] * 800.0 * root * (1.5 + 2.0 * x) / (first * first)
            + b0 * 10.0 * (1.0 + y * (2.0 + 3.0 * y)) / (second * second);
        (proper - self.correction(root), slope)
    }

    /// Factor that joins the extension to the scale proper at salinity 2, as the toolbox of `TEOS-10-2010` does.
    ///
    /// One step of Newton's method is enough: the correction hardly changes with the root there.
    #[inline]
    fn extension_factor(&self) -> f64 {
        let guess = self.guess_proper(LOWEST_PROPER_SALINITY);
        let (value, slope) = self.proper_with_slope(guess);
        let root = guess - (value - LOWEST_PROPER_SALINITY) / slope;
        LOWEST_PROPER_SALINITY / (LOWEST_PROPER_SALINITY - self.correction(root))
    }

    #[inline(never)]
    fn root_extended(&self, practical_salinity: f64) -> (f64, u32) {
        let x = practical_salinity.sqrt();
        let guess = horner(x, GUESS_LOW.0) + self.temperature_factor * horner(x, GUESS_LOW.1);
        let target = practical_salinity / self.extension_factor();
        newton(guess, target, |root| self.extended_with_slope(root))
    }
}

#[inline(always)]
fn newton(guess: f64, target: f64, function: impl Fn(f64) -> (f64, f64)) -> (f64, u32) {
    let mut root = guess;
    for steps in 1..=MOST_STEPS {
        let (value, slope) = function(root);
        let step = (value - target) / slope;
        root -= step;
        if step.abs() < LAST_STEP {
            return (root, steps);
        }
    }
    (root, MOST_STEPS)
}

/// A polynomial, its lowest coefficient first.
#[inline(always)]
pub(super) fn horner<const N: usize>(x: f64, coefficients: [f64; N]) -> f64 {
    let mut sum = 0.0;
    for coefficient in coefficients.into_iter().rev() {
        sum = sum * x + coefficient;
    }
    sum
}
