//! What a pump lifts at each flow: from measured points, at any speed, and against water that comes back.
//!
//! Owns: the curve and its slope. Doesn't own: where on it the pump ends up (that is the network's answer).

use super::error::HydraulicsError;
use crate::{OutOfRange, Range};

const FLOW: Range = Range {
    quantity: "flow of a pump",
    unit: "m³/s",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
/// A pump that lifts 500 m belongs to another trade.
const HEAD: Range = Range {
    quantity: "head of a pump",
    unit: "m",
    min: -500.0,
    max: 500.0,
    source_key: "HOUSE-RULE",
};
/// Speed as a share of the speed at which the curve was measured.
pub(super) const SPEED: Range = Range {
    quantity: "speed of a pump by that of its curve",
    unit: "",
    min: 0.0,
    max: 2.0,
    source_key: "HOUSE-RULE",
};

/// A point of a pump's curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpPoint {
    /// Flow, Q, `0..=1`.
    pub flow_m3_s: f64,
    /// Head that it lifts at this flow, H, `-500..=500`.
    pub head_m: f64,
}

/// Head against flow at full speed: it falls all the way.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpCurve {
    points: Vec<PumpPoint>,
    form: Form,
    shut_off_head_m: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Form {
    /// Before the first point, from each point to the next, and beyond the last.
    Pieces(Vec<Piece>),
    /// H = H₀ − a·Qⁿ.
    Power { coefficient: f64, exponent: f64 },
}

/// A cubic in the flow above that of a point.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    from_m3_s: f64,
    /// Lowest first.
    coefficients: [f64; 4],
}

impl Piece {
    /// A straight line.
    fn straight(from: PumpPoint, slope: f64) -> Self {
        Self {
            from_m3_s: from.flow_m3_s,
            coefficients: [from.head_m, slope, 0.0, 0.0],
        }
    }

    /// Hermite's cubic, with its slopes at two points.
    fn cubic([a, b]: [PumpPoint; 2], [slope_a, slope_b]: [f64; 2]) -> Self {
        let width = b.flow_m3_s - a.flow_m3_s;
        let secant = secant([a, b]);
        Self {
            from_m3_s: a.flow_m3_s,
            coefficients: [
                a.head_m,
                slope_a,
                (3.0 * secant - 2.0 * slope_a - slope_b) / width,
                (slope_a + slope_b - 2.0 * secant) / (width * width),
            ],
        }
    }

    /// Head and slope.
    #[inline]
    fn at(&self, flow_m3_s: f64) -> (f64, f64) {
        let [c0, c1, c2, c3] = self.coefficients;
        let above = flow_m3_s - self.from_m3_s;
        (
            c0 + above * (c1 + above * (c2 + above * c3)),
            c1 + above * (2.0 * c2 + 3.0 * above * c3),
        )
    }
}

fn secant([a, b]: [PumpPoint; 2]) -> f64 {
    (b.head_m - a.head_m) / (b.flow_m3_s - a.flow_m3_s)
}

impl PumpCurve {
    /// A smooth curve through measured points that rises nowhere between them.
    ///
    /// Beyond the last point it goes on straight with the slope that it has there, before the first likewise.
    ///
    /// # Errors
    /// [`HydraulicsError`] for fewer than two points, values out of range and points whose flow doesn't rise or
    /// whose head doesn't fall.
    ///
    /// # Source
    /// `FRITSCH-BUTLAND-1984`: slopes by the weighted harmonic mean of the neighbouring secants, which keeps a
    /// falling table falling; ends by the three-point formula, limited as there.
    pub fn through(points: &[PumpPoint]) -> Result<Self, HydraulicsError> {
        check(points, 2)?;
        let slopes = falling_slopes(points);
        let cubic = |at: usize| Piece::cubic([points[at], points[at + 1]], [slopes[at], slopes[at + 1]]);
        Self::assemble(points, pieces(points, cubic, slopes[points.len() - 1]))
    }

    /// Straight lines between measured points; the last one goes on.
    ///
    /// # Errors
    /// As [`through`](Self::through).
    pub fn straight_between(points: &[PumpPoint]) -> Result<Self, HydraulicsError> {
        check(points, 2)?;
        let straight = |at: usize| Piece::straight(points[at], secant([points[at], points[at + 1]]));
        Self::assemble(points, pieces(points, straight, 0.0))
    }

    /// H = H₀ − a·Qⁿ through three points, the first of them with its outlet closed.
    ///
    /// # Errors
    /// As [`through`](Self::through); [`HydraulicsError::NoPowerLaw`] where the exponent would be below 1, for
    /// then the curve would fall off a cliff at no flow.
    ///
    /// # Source
    /// `EPANET-2020`, form of a pump's curve by three points.
    pub fn power_law(points: [PumpPoint; 3]) -> Result<Self, HydraulicsError> {
        check(&points, 3)?;
        let [shut, middle, last] = points;
        if shut.flow_m3_s != 0.0 {
            return Err(HydraulicsError::NoPowerLaw { exponent: f64::NAN });
        }
        let exponent = libm::log((shut.head_m - last.head_m) / (shut.head_m - middle.head_m))
            / libm::log(last.flow_m3_s / middle.flow_m3_s);
        if !(1.0..=20.0).contains(&exponent) {
            return Err(HydraulicsError::NoPowerLaw { exponent });
        }
        let coefficient = (shut.head_m - middle.head_m) / power(middle.flow_m3_s, exponent);
        Self::assemble(
            &points,
            Form::Power {
                coefficient,
                exponent,
            },
        )
    }

    fn assemble(points: &[PumpPoint], form: Form) -> Result<Self, HydraulicsError> {
        let mut curve = Self {
            points: points.to_vec(),
            form,
            shut_off_head_m: 0.0,
        };
        let (shut_off, _) = curve.forward(0.0);
        if !(shut_off > 0.0 && shut_off.is_finite()) {
            return Err(HydraulicsError::OutOfRange(OutOfRange {
                range: Range {
                    quantity: "head of a pump with its outlet closed",
                    min: f64::MIN_POSITIVE,
                    ..HEAD
                },
                value: shut_off,
            }));
        }
        curve.shut_off_head_m = shut_off;
        Ok(curve)
    }

    /// Head at full speed with the outlet closed, m.
    pub fn shut_off_head_m(&self) -> f64 {
        self.shut_off_head_m
    }

    /// The points it was made of.
    pub fn points(&self) -> &[PumpPoint] {
        &self.points
    }

    /// Largest flow that was measured, m³/s; beyond it the curve is a guess.
    pub fn largest_flow_m3_s(&self) -> f64 {
        self.points.last().map_or(0.0, |point| point.flow_m3_s)
    }

    /// Head and its slope by flow, at a share of full speed above 0.
    ///
    /// Affinity: flow goes with speed, head with its square.
    #[inline]
    pub fn at_speed(&self, flow_m3_s: f64, speed: f64) -> (f64, f64) {
        let (head_m, slope) = self.forward(flow_m3_s / speed);
        (speed * speed * head_m, speed * slope)
    }

    /// Head and slope at full speed, for flow 0 or more.
    fn forward(&self, flow_m3_s: f64) -> (f64, f64) {
        match &self.form {
            Form::Pieces(pieces) => {
                // The first piece begins where the second does, and is left there.
                let behind = &pieces[1..];
                let begun = behind.iter().position(|piece| flow_m3_s < piece.from_m3_s);
                pieces[begun.unwrap_or(behind.len())].at(flow_m3_s)
            }
            Form::Power {
                coefficient,
                exponent,
            } => {
                let shut = self.points[0].head_m;
                let steep = coefficient * power(flow_m3_s, exponent - 1.0);
                (shut - steep * flow_m3_s, -exponent * steep)
            }
        }
    }
}

/// Pieces from each point to the next, and straight ones before and beyond all.
fn pieces(points: &[PumpPoint], between: impl Fn(usize) -> Piece, last_slope: f64) -> Form {
    let last = points.len() - 1;
    let first_slope = secant([points[0], points[1]]);
    // An end slope of nothing would make a pump without limit.
    let last_slope = if last_slope < 0.0 {
        last_slope
    } else {
        secant([points[last - 1], points[last]])
    };
    let before = Piece::straight(points[0], first_slope);
    let beyond = Piece::straight(points[last], last_slope);
    let between = (0..last).map(between);
    Form::Pieces([before].into_iter().chain(between).chain([beyond]).collect())
}

/// xⁿ for x of 0 or more; a third of the time of a general power, to 10⁻¹⁴.
fn power(x: f64, n: f64) -> f64 {
    if x > 0.0 {
        libm::exp(n * libm::log(x))
    } else if n > 0.0 {
        0.0
    } else {
        1.0
    }
}

fn check(points: &[PumpPoint], needed: usize) -> Result<(), HydraulicsError> {
    if points.len() < needed {
        return Err(HydraulicsError::TooFewPoints {
            needed,
            given: points.len(),
        });
    }
    for point in points {
        FLOW.require(point.flow_m3_s)?;
        HEAD.require(point.head_m)?;
    }
    for pair in points.windows(2) {
        let [earlier, later] = [pair[0], pair[1]];
        if !(later.flow_m3_s > earlier.flow_m3_s && later.head_m < earlier.head_m) {
            return Err(HydraulicsError::NotFalling {
                earlier_m: earlier.head_m,
                later_m: later.head_m,
                earlier_m3_s: earlier.flow_m3_s,
                later_m3_s: later.flow_m3_s,
            });
        }
    }
    Ok(())
}

/// Slopes at the points, none above 0.
fn falling_slopes(points: &[PumpPoint]) -> Vec<f64> {
    let width: Vec<f64> = points
        .windows(2)
        .map(|p| p[1].flow_m3_s - p[0].flow_m3_s)
        .collect();
    let secant: Vec<f64> = points
        .windows(2)
        .zip(&width)
        .map(|(p, w)| (p[1].head_m - p[0].head_m) / w)
        .collect();
    let last = points.len() - 1;
    if last == 1 {
        return vec![secant[0]; 2];
    }
    let end = |w0: f64, w1: f64, s0: f64, s1: f64| {
        let slope = ((2.0 * w0 + w1) * s0 - w0 * s1) / (w0 + w1);
        // Never rising, never steeper than keeps the cubic monotone.
        slope.min(0.0).max(3.0 * s0)
    };
    (0..=last)
        .map(|at| {
            if at == 0 {
                end(width[0], width[1], secant[0], secant[1])
            } else if at == last {
                end(
                    width[last - 1],
                    width[last - 2],
                    secant[last - 1],
                    secant[last - 2],
                )
            } else {
                let (wa, wb) = (width[at - 1], width[at]);
                let (w1, w2) = (2.0 * wb + wa, wb + 2.0 * wa);
                (w1 + w2) / (w1 / secant[at - 1] + w2 / secant[at])
            }
        })
        .collect()
}
