//! What a meter shows that turns conductivity into dissolved solids.

use crate::{OutOfRange, Range};
use libm::{exp, log};

/// Conductivity over which the table of a meter's scales reaches.
pub const METER_CONDUCTIVITY: Range = Range {
    quantity: "conductivity at 25 °C",
    unit: "S/m",
    min: 0.0,
    max: 1.288,
    source_key: "METER-SCALES",
};

/// The salt whose solutions a meter's scale was made with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeterScale {
    /// Sodium chloride: about half of the conductivity in µS/cm.
    SodiumChloride,
    /// Potassium chloride.
    PotassiumChloride,
    /// Four parts of sodium sulphate, four of sodium bicarbonate, two of sodium chloride, for natural fresh water:
    /// about seven tenths.
    Natural442,
}

/// Conductivity at 25 °C in µS/cm, and mg/L.
type Standard = (f64, f64);

const SODIUM_CHLORIDE: [Standard; 7] = [
    (23.0, 10.7),
    (84.0, 38.04),
    (447.0, 215.5),
    (1413.0, 702.1),
    (2070.0, 1041.0),
    (2764.0, 1414.8),
    (12_880.0, 7230.0),
];
const POTASSIUM_CHLORIDE: [Standard; 6] = [
    (23.0, 11.6),
    (84.0, 40.38),
    (447.0, 225.6),
    (1413.0, 744.7),
    (8974.0, 5101.0),
    (12_880.0, 7447.0),
];
const NATURAL_442: [Standard; 8] = [
    (23.0, 14.74),
    (84.0, 50.5),
    (447.0, 300.0),
    (1413.0, 1000.0),
    (2070.0, 1500.0),
    (2764.0, 2062.7),
    (8974.0, 7608.0),
    (12_880.0, 11_367.0),
];

/// Returns what a meter of that scale shows, kg/m³ (1 ppm on the display is 10⁻³).
///
/// The standards of the table are met; between them the ratio runs as a power of conductivity, below the first it
/// stays. It's the convention of meters, not chemistry: at 84 µS/cm the two chlorides are 4 to 5 % below what their
/// molar conductivity gives, and other meters use one factor throughout. For that see
/// [`dissolved_solids_kg_m3`](super::dissolved_solids_kg_m3).
///
/// # Errors
/// [`OutOfRange`] outside 0 to 1.288 S/m (12 880 µS/cm).
///
/// # Source
/// `METER-SCALES`. Rows above 84 µS/cm whose ratio falls back behind the row before are left out as slips: 1500; for
/// sodium chloride 8974 (8 % off by molar conductivity); for potassium chloride 2070 and 2764 (5 and 7 % off). The
/// interpolation is a house rule.
///
/// # Examples
/// ```
/// use physics::freshwater::{MeterScale, meter_reading_kg_m3};
///
/// let reading = meter_reading_kg_m3(0.1413, MeterScale::Natural442)?;
/// assert!((reading - 1.0).abs() < 1e-12);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn meter_reading_kg_m3(conductivity_25_s_m: f64, scale: MeterScale) -> Result<f64, OutOfRange> {
    let conductivity = 1e4 * METER_CONDUCTIVITY.require(conductivity_25_s_m)?;
    let standards: &[Standard] = match scale {
        MeterScale::SodiumChloride => &SODIUM_CHLORIDE,
        MeterScale::PotassiumChloride => &POTASSIUM_CHLORIDE,
        MeterScale::Natural442 => &NATURAL_442,
    };
    let milligrams = match standards.partition_point(|&(at, _)| at < conductivity) {
        0 => conductivity * standards[0].1 / standards[0].0,
        above => {
            // The range ends at the last standard, but for the rounding of the unit.
            let above = above.min(standards.len() - 1);
            let ((low, at_low), (high, at_high)) = (standards[above - 1], standards[above]);
            let share = log(conductivity / low) / log(high / low);
            at_low * exp(share * log(at_high / at_low))
        }
    };
    Ok(milligrams / 1000.0)
}
