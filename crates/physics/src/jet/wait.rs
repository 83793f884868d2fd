//! How long to wait, from the last salt in to the first measurement.

use super::blend::time_to_homogeneity_s;
use super::limits::TIME;
use crate::OutOfRange;

/// Homogeneity that is waited for. House rule: 1 % of a strength put in at once is 0.35 of practical salinity 35, which
/// an instrument just sees; the margin takes care of the rest.
pub const WAIT_HOMOGENEITY: f64 = 0.99;

/// How many times the mixing time is waited for. House rule: correlations of mixing times differ by a factor of 2 among
/// each other, corners and difference of density are in none of them. Three times that to 99 % leave a millionth by
/// the law they follow.
pub const MIXING_MARGIN: f64 = 3.0;

/// The wait, in its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstMeasurement {
    /// Until the last grain is gone, s.
    pub dissolution_s: f64,
    /// [`MIXING_MARGIN`] times the mixing to [`WAIT_HOMOGENEITY`], s.
    pub mixing_s: f64,
    /// Until the temperature has settled, s.
    pub temperature_s: f64,
}

impl FirstMeasurement {
    /// All three, one after the other, s.
    pub fn total_s(&self) -> f64 {
        self.dissolution_s + self.mixing_s + self.temperature_s
    }
}

/// Returns the time from the last salt in to the first measurement, in its parts.
///
/// # Arguments
/// * `dissolution_s`: of the largest grain, by [`dissolution_time_s`](super::dissolution_time_s). Where salt was
///   dumped in a heap, what was seen of the heap instead: no formula here knows heaps.
/// * `time_to_95_s`: mixing time, [`BlendTimes::longest_s`](super::BlendTimes::longest_s).
/// * `temperature_s`: until the water has the temperature it is measured at, by
///   [`settling_time_s`](crate::heat::HeatBalance::settling_time_s); 0 for an instrument that compensates and a
///   mixture that is used as it is.
///
/// Each from 0 to a year.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// House rule. The parts overlap in truth, since water mixes and settles while salt dissolves; their sum is on the safe
/// side. Gases and alkalinity settle later than salinity, in hours (common practice, no source). A second reading an
/// hour later, and one at the other end of the vessel, prove what this only expects.
///
/// # Examples
/// ```
/// let wait = physics::jet::first_measurement(120.0, 70.0, 0.0)?;
/// assert!((wait.total_s() / 60.0 - 7.4).abs() < 0.1);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn first_measurement(
    dissolution_s: f64,
    time_to_95_s: f64,
    temperature_s: f64,
) -> Result<FirstMeasurement, OutOfRange> {
    Ok(FirstMeasurement {
        dissolution_s: TIME.require(dissolution_s)?,
        mixing_s: MIXING_MARGIN * time_to_homogeneity_s(time_to_95_s, WAIT_HOMOGENEITY)?,
        temperature_s: TIME.require(temperature_s)?,
    })
}
