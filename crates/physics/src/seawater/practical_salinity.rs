//! Practical salinity (PSS-78) and conductivity, both ways, with the extension below salinity 2.

use crate::{OutOfRange, Range};

/// The range that PSS-78 itself states for salinity; below it the low-salinity extension holds.
pub const PSS78_STATED: Range = Range {
    quantity: "practical salinity",
    unit: "",
    min: 2.0,
    max: 42.0,
    source_key: "UNESCO-44-1983",
};
/// The range that PSS-78 states for temperature. From 35 to 40 °C this room extrapolates.
pub const PSS78_STATED_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 35.0,
    source_key: "UNESCO-44-1983",
};

const USABLE_SALINITY: Range = Range {
    quantity: "practical salinity",
    unit: "",
    min: 0.0,
    max: 42.0,
    source_key: "UNESCO-44-1983",
};
const USABLE_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 40.0,
    source_key: "UNESCO-44-1983",
};

/// Conductivity of standard sea water at salinity 35 and 15 °C on IPTS-68 (Culkin and Smith 1980), S/m.
const STANDARD_CONDUCTIVITY_S_M: f64 = 4.2914;

const A: [f64; 6] = [0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081];
const B: [f64; 6] = [0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144];
const C: [f64; 5] = [0.676_609_7, 2.005_64e-2, 1.104_259e-4, -6.969_8e-7, 1.003_1e-9];
const K: f64 = 0.0162;

/// Practical salinity of water of this conductivity, at this temperature.
///
/// PSS-78 on its own temperature scale (IPTS-68, t68 = 1.00024 t90), and below salinity 2 the extension of
/// `HILL-1986`, scaled so that the two meet.
///
/// Range: −2 to 40 °C (stated to 35 °C), conductivity that gives salinity 0 to 42.
///
/// # Errors
/// [`OutOfRange`] outside the range, and for NaN.
///
/// ```
/// let salinity = physics::seawater::practical_salinity(5.3065, 25.0)?;
/// assert!((salinity - 35.0).abs() < 1e-2);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn practical_salinity(conductivity_s_m: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    USABLE_TEMPERATURE.require(temperature_c)?;
    Range {
        quantity: "conductivity",
        unit: "S/m",
        min: 0.0,
        max: 10.0,
        source_key: "UNESCO-44-1983",
    }
    .require(conductivity_s_m)?;
    let scale = TemperatureTerms::at(temperature_c);
    let root = (conductivity_s_m / (STANDARD_CONDUCTIVITY_S_M * scale.ratio)).sqrt();
    // At almost no conductivity the extension ends a hair below zero, by its own rounding: -4e-5 at most.
    let salinity = scale.salinity(root);
    let salinity = if (-1e-4..0.0).contains(&salinity) {
        0.0
    } else {
        salinity
    };
    USABLE_SALINITY.require(salinity)
}

/// Conductivity of water of this practical salinity, at this temperature, in S/m.
///
/// The inverse of [`practical_salinity`], by Newton's method to convergence.
///
/// # Errors
/// [`OutOfRange`] outside salinity 0 to 42 and −2 to 40 °C, and for NaN.
#[inline]
pub fn conductivity_s_m(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(conductivity_with_effort(practical_salinity, temperature_c)?.0)
}

/// As [`conductivity_s_m`], with the number of Newton steps that it took.
///
/// # Errors
/// As [`conductivity_s_m`].
pub fn conductivity_with_effort(
    practical_salinity: f64,
    temperature_c: f64,
) -> Result<(f64, u32), OutOfRange> {
    USABLE_SALINITY.require(practical_salinity)?;
    USABLE_TEMPERATURE.require(temperature_c)?;
    let scale = TemperatureTerms::at(temperature_c);
    let (root, steps) = if practical_salinity < 2.0 {
        low_salinity_root(&scale, practical_salinity)
    } else {
        newton(&scale, practical_salinity, starting_root(practical_salinity))
    };
    Ok((root * root * scale.ratio * STANDARD_CONDUCTIVITY_S_M, steps))
}

/// What the scale needs of the temperature.
struct TemperatureTerms {
    /// Conductivity ratio of salinity 35 against that at 15 °C.
    ratio: f64,
    /// The temperature factor of the second polynomial.
    factor: f64,
}

impl TemperatureTerms {
    #[inline]
    fn at(temperature_c: f64) -> Self {
        let t68 = 1.000_24 * temperature_c;
        Self {
            ratio: C[0] + t68 * (C[1] + t68 * (C[2] + t68 * (C[3] + t68 * C[4]))),
            factor: (t68 - 15.0) / (1.0 + K * (t68 - 15.0)),
        }
    }

    /// The two polynomials of PSS-78 folded into one.
    #[inline]
    fn coefficients(&self) -> [f64; 6] {
        core::array::from_fn(|i| A[i] + self.factor * B[i])
    }

    /// Salinity from the root of the conductivity ratio.
    #[inline]
    fn salinity(&self, root: f64) -> f64 {
        let salinity = horner(&self.coefficients(), root);
        if salinity < 2.0 {
            self.hill_ratio() * (salinity - self.hill_correction(root))
        } else {
            salinity
        }
    }

    /// What the extension takes off below salinity 2 (`HILL-1986`).
    #[inline]
    fn hill_correction(&self, root: f64) -> f64 {
        let x = 400.0 * root * root;
        let y = 10.0 * root;
        A[0] / (1.0 + x * (1.5 + x)) + B[0] * self.factor / (1.0 + y * (1.0 + y * (1.0 + y)))
    }

    /// Scales the extension so that it meets PSS-78 at salinity 2.
    fn hill_ratio(&self) -> f64 {
        let (root, _) = newton(self, 2.0, starting_root(2.0));
        2.0 / (2.0 - self.hill_correction(root))
    }
}

#[inline]
fn horner(c: &[f64; 6], x: f64) -> f64 {
    c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * (c[4] + x * c[5]))))
}

#[inline]
fn horner_derivative(c: &[f64; 6], x: f64) -> f64 {
    c[1] + x * (2.0 * c[2] + x * (3.0 * c[3] + x * (4.0 * c[4] + x * 5.0 * c[5])))
}

/// A start good to a per cent: the salinity polynomial is nearly a square near 0 and linear near 35.
#[inline]
fn starting_root(practical_salinity: f64) -> f64 {
    let share = practical_salinity / 35.0;
    let root = share.sqrt();
    root * (1.0 + (1.0 - root) * (0.174 - 0.115 * root))
}

const MOST_STEPS: u32 = 12;

#[inline]
fn newton(scale: &TemperatureTerms, practical_salinity: f64, start: f64) -> (f64, u32) {
    let c = scale.coefficients();
    let mut root = start;
    for step in 1..=MOST_STEPS {
        let change = (horner(&c, root) - practical_salinity) / horner_derivative(&c, root);
        root -= change;
        // The error after this step is of the order of its square: below rounding.
        if change.abs() < 1e-8 {
            return (root, step);
        }
    }
    (root, MOST_STEPS)
}

/// Below salinity 2 the curve bends sharply near zero: halve an interval that holds the root, Newton inside.
fn low_salinity_root(scale: &TemperatureTerms, practical_salinity: f64) -> (f64, u32) {
    let ratio = scale.hill_ratio();
    let c = scale.coefficients();
    let salinity = |root: f64| ratio * (horner(&c, root) - scale.hill_correction(root));
    let (mut low, mut high) = (0.0, 0.3);
    if practical_salinity <= salinity(low) {
        return (low, 0);
    }
    let mut root = starting_root(practical_salinity);
    for step in 1..=60 {
        let error = salinity(root) - practical_salinity;
        if error > 0.0 {
            high = root;
        } else {
            low = root;
        }
        let x = 400.0 * root * root;
        let y = 10.0 * root;
        let (p, q) = (1.0 + x * (1.5 + x), 1.0 + y * (1.0 + y * (1.0 + y)));
        let slope = ratio
            * (horner_derivative(&c, root)
                + A[0] * 800.0 * root * (1.5 + 2.0 * x) / (p * p)
                + B[0] * scale.factor * (10.0 + y * (20.0 + 30.0 * y)) / (q * q));
        let next = root - error / slope;
        let next = if next > low && next < high {
            next
        } else {
            0.5 * (low + high)
        };
        if (next - root).abs() <= 1e-13 {
            return (next, step);
        }
        root = next;
    }
    (root, 60)
}

/// Solves `f(x) = target` for a smooth increasing `f` over a range, whose ends hold the target.
///
/// Bisection with secant steps; the answer is good to 1e-12 of the range.
pub(super) fn solve_increasing(range: Range, target: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (range.min, range.max);
    let (mut f_low, mut f_high) = (f(low) - target, f(high) - target);
    for _ in 0..100 {
        if high - low <= 1e-13 * (range.max - range.min) || f_low == f_high {
            break;
        }
        // A secant step, pulled a little inward so that both ends move.
        let secant = (low - f_low * (high - low) / (f_high - f_low)).clamp(low, high);
        for x in [
            secant - 1e-9 * (high - low),
            secant + 1e-9 * (high - low),
            0.5 * (low + high),
        ] {
            if x <= low || x >= high {
                continue;
            }
            let value = f(x) - target;
            if value <= 0.0 {
                (low, f_low) = (x, value);
            } else {
                (high, f_high) = (x, value);
            }
        }
    }
    if f_high == f_low {
        low
    } else {
        (low - f_low * (high - low) / (f_high - f_low)).clamp(low, high)
    }
}
