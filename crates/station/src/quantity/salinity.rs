//! Reading a salinity on any scale of the trade, as practical salinity.
//!
//! Owns: the scales, the conversion of a value and of its doubt, the questions that a bare number raises.
//! Must not know: how an instrument errs (see `physics`), which water is meant.

use super::{
    Amount, Currency, Kind, QuantityFault, Spread,
    commas::{comma_mend, has_comma},
    number::number_and_rest,
    read::{read_amount, split_spread},
    unit,
};
use physics::OutOfRange;
use physics::seawater::{
    DENSITY_SALINITY, SpecificGravityReference, practical_salinity, practical_salinity_from_absolute,
    practical_salinity_from_density, practical_salinity_from_refractive_index,
    practical_salinity_from_specific_gravity,
};

/// On which scale salinity is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum SalinityScale {
    /// Practical salinity (PSS-78); "ppt" and "psu" of the trade mean it.
    Practical,
    /// Grams of salt per kilogram of sea water.
    GramsPerKilogram,
    /// Conductivity of the sample at its temperature, S/m.
    Conductivity,
    /// Specific gravity, against a stated water.
    SpecificGravity(SpecificGravityReference),
    /// Density of the sample at its temperature, kg/m³.
    Density,
    /// Refractive index of the sample at its temperature, sodium D line.
    RefractiveIndex,
}

impl SalinityScale {
    /// Practical salinity of an amount on this scale, with its doubt and that of the temperature carried along
    /// to first order (JCGM 100, 5.1.2).
    ///
    /// # Errors
    /// [`OutOfRange`] where no salinity from 0 to 42 has that value at this temperature.
    pub fn practical(self, amount: Amount, temperature: Amount) -> Result<Amount, OutOfRange> {
        let si = self.practical_at(amount.si, temperature.si)?;
        let by_amount = match self {
            Self::Practical => 1.0,
            _ => slope(|x| self.practical_at(x, temperature.si), amount.si, 1e-6),
        };
        let by_temperature = slope(|t| self.practical_at(amount.si, t), temperature.si, 1e-4);
        let own = Spread {
            half_width: by_amount.abs() * amount.spread.half_width,
            shape: amount.spread.shape,
        };
        let warmth = Spread {
            half_width: by_temperature.abs() * temperature.spread.half_width,
            shape: temperature.spread.shape,
        };
        Ok(Amount {
            si,
            spread: combined(own, warmth),
        })
    }

    /// Whether the temperature of the sample matters to the conversion.
    pub const fn needs_temperature(self) -> bool {
        matches!(
            self,
            Self::Conductivity
                | Self::Density
                | Self::RefractiveIndex
                | Self::SpecificGravity(SpecificGravityReference::SampleTo4C)
        )
    }

    fn practical_at(self, value: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        match self {
            Self::Practical => DENSITY_SALINITY.require(value),
            Self::GramsPerKilogram => DENSITY_SALINITY.require(practical_salinity_from_absolute(value)),
            Self::Conductivity => practical_salinity(value, temperature_c),
            Self::SpecificGravity(reference) => {
                practical_salinity_from_specific_gravity(value, temperature_c, reference)
            }
            Self::Density => practical_salinity_from_density(value, temperature_c),
            Self::RefractiveIndex => practical_salinity_from_refractive_index(value, temperature_c),
        }
    }
}

/// Reads text as a practical salinity.
///
/// Accepts `35`, `"35 ppt"`, `"35 psu"`, `"35.165 g/kg"`, `"53 mS/cm at 25 C"`, `"1.0264 sg 25C/25C"` and
/// `"1.0234 sg t/4C at 25 C"`, each with a spread before or after its unit: `"35 ± 0.5"`.
///
/// # Arguments
/// * `text`: as written.
/// * `temperature_c`: of the sample, where the text doesn't say it; only conductivity and `t/4C` need one.
///
/// # Errors
/// [`QuantityFault`] for text that is no salinity, for one outside 0 to 42, and, with the question it raises,
/// for a bare number that looks like a specific gravity (0.98 to 1.06) or a conductivity (43 to 60).
pub fn read_salinity(text: &str, temperature_c: Option<f64>) -> Result<Amount, QuantityFault> {
    let text = text.trim();
    if text.is_empty() {
        return Err(QuantityFault::new("empty, where a salinity is wanted", EXAMPLES));
    }
    let (text_without_temperature, temperature) = split_temperature(text, temperature_c)?;
    let written = Written::of(text_without_temperature)?;
    if written.unit.is_empty() {
        refuse_other_scales(written.value)?;
    }
    let (scale, factor) = scale_of(&written)?;
    let temperature = match temperature {
        None if scale.needs_temperature() => return Err(no_temperature(text)),
        // The others don't look at it.
        None => Amount {
            si: 25.0,
            spread: Spread::NONE,
        },
        Some(temperature) => temperature,
    };
    let amount = Amount {
        si: written.value * factor,
        spread: Spread {
            half_width: written.spread.half_width * factor,
            shape: written.spread.shape,
        },
    };
    scale
        .practical(amount, temperature)
        .map_err(|error| outside(text, scale, &error))
}

const EXAMPLES: &str =
    "write it as 35, \"35 ppt\", \"35.2 g/kg\", \"53 mS/cm at 25 C\" or \"1.0264 sg 25C/25C\"";

/// A number with its unit and its doubt, as they stand.
struct Written<'t> {
    value: f64,
    unit: &'t str,
    spread: Spread,
}

impl<'t> Written<'t> {
    fn of(text: &'t str) -> Result<Self, QuantityFault> {
        let (value_text, spread_text) = split_spread(text);
        let (value, unit) = number_and_rest(value_text).ok_or_else(|| no_number(text))?;
        let Some((shape, spread_text)) = spread_text else {
            return Ok(Self {
                value,
                unit,
                spread: Spread::NONE,
            });
        };
        let fault = |what: String| QuantityFault::new(what, "write the spread as \"35 ± 0.5\"");
        let (size, spread_unit) = number_and_rest(spread_text)
            .ok_or_else(|| fault(format!("`{spread_text}` after the ± is no number")))?;
        if size < 0.0 {
            return Err(fault("a spread can't be below zero".to_owned()));
        }
        let (half_width, unit) = match (unit, spread_unit) {
            (_, "%" | "per cent" | "percent") => (size / 100.0 * value.abs(), unit),
            // "35 ± 0.5 ppt" borrows the unit of its spread.
            ("", borrowed) => (size, borrowed),
            (unit, "") => (size, unit),
            (unit, other) if unit.eq_ignore_ascii_case(other) => (size, unit),
            (unit, other) => {
                return Err(fault(format!(
                    "the spread is in `{other}`, the value in `{unit}`"
                )));
            }
        };
        Ok(Self {
            value,
            unit,
            spread: Spread { half_width, shape },
        })
    }
}

fn split_temperature(
    text: &str,
    temperature_c: Option<f64>,
) -> Result<(&str, Option<Amount>), QuantityFault> {
    match text.split_once(" at ") {
        Some((value, temperature)) => {
            let read = read_amount(temperature, Kind::Temperature, &Currency::default())?;
            Ok((value, Some(read)))
        }
        None => Ok((
            text,
            temperature_c.map(|si| Amount {
                si,
                spread: Spread::NONE,
            }),
        )),
    }
}

/// The scale that a unit names, and what one of the unit is on it.
fn scale_of(written: &Written<'_>) -> Result<(SalinityScale, f64), QuantityFault> {
    let text = written.unit;
    let lower = text.to_ascii_lowercase();
    if matches!(lower.as_str(), "" | "ppt" | "psu" | "‰" | "sp" | "pss" | "pss-78") {
        return Ok((SalinityScale::Practical, 1.0));
    }
    if lower == "g/kg" {
        return Ok((SalinityScale::GramsPerKilogram, 1.0));
    }
    for spelled in ["sg", "s.g.", "specific gravity"] {
        if let Some(scale) = lower.strip_prefix(spelled) {
            return specific_gravity_scale(written.value, scale.trim());
        }
    }
    if let Some(unit) = unit::find(Kind::Conductivity, text) {
        return Ok((SalinityScale::Conductivity, unit.factor));
    }
    let what = match unit::kinds_with(text).next() {
        Some(kind) => format!(
            "`{text}` measures {}, where a salinity is wanted",
            kind.with_article()
        ),
        None => format!("`{text}` is no unit known here for a salinity"),
    };
    Err(QuantityFault::new(what, EXAMPLES))
}

fn specific_gravity_scale(value: f64, name: &str) -> Result<(SalinityScale, f64), QuantityFault> {
    match SpecificGravityReference::from_name(name) {
        Some(reference) => Ok((SalinityScale::SpecificGravity(reference), 1.0)),
        None => Err(QuantityFault::new(
            match name {
                "" => format!("specific gravity {value} doesn't say against which water"),
                name => format!("`{name}` is no scale of specific gravity known here"),
            },
            which_specific_gravity(value),
        )),
    }
}

fn which_specific_gravity(value: f64) -> String {
    format!(
        "find the scale on the instrument and write \"{value} sg 25C/25C\", \"… 20C/20C\", \"… 60F/60F\" or \
         \"… t/4C\""
    )
}

/// A bare number that is more likely something else: ask, don't guess.
fn refuse_other_scales(value: f64) -> Result<(), QuantityFault> {
    if (0.98..=1.06).contains(&value) {
        return Err(QuantityFault::new(
            format!("is {value} a specific gravity? As a salinity it would be almost fresh water"),
            format!(
                "{}; for a salinity write \"{value} ppt\"",
                which_specific_gravity(value)
            ),
        ));
    }
    if (43.0..=60.0).contains(&value) {
        return Err(QuantityFault::new(
            format!("is {value} a conductivity in mS/cm? As a salinity it is beyond the valid 0 to 42"),
            format!("write \"{value} mS/cm at 25 C\", with the temperature of the reading"),
        ));
    }
    Ok(())
}

fn no_temperature(text: &str) -> QuantityFault {
    QuantityFault::new(
        format!("`{text}` says nothing without the temperature of the water"),
        format!("write \"{text} at 25 C\"; a meter that compensates says to which temperature"),
    )
}

fn no_number(text: &str) -> QuantityFault {
    if has_comma(text) {
        return QuantityFault::new(format!("`{text}` has a comma in its number"), comma_mend(text));
    }
    QuantityFault::new(
        format!("`{text}` doesn't begin with a number, where a salinity is wanted"),
        EXAMPLES,
    )
}

fn outside(text: &str, scale: SalinityScale, error: &OutOfRange) -> QuantityFault {
    let range = &error.range;
    if range.quantity == "temperature" {
        return QuantityFault::new(
            format!(
                "{} °C is outside the {} to {} °C in which `{text}` can be told",
                error.value, range.min, range.max
            ),
            "check the temperature and its unit",
        );
    }
    let limits = match scale {
        SalinityScale::SpecificGravity(reference) => format!(
            "; on the scale {} that is {:.4} to {:.4}",
            reference.name(),
            range.min,
            range.max
        ),
        _ => String::new(),
    };
    QuantityFault::new(
        format!("`{text}` is no salinity in the valid range of 0 to 42{limits}"),
        "check the number and its scale",
    )
}

/// Slope of a conversion by a small step to both sides, or to the one side that lies in its range.
fn slope(f: impl Fn(f64) -> Result<f64, OutOfRange>, x: f64, least_step: f64) -> f64 {
    let step = least_step * x.abs().max(1.0);
    match (f(x - step), f(x), f(x + step)) {
        (Ok(below), _, Ok(above)) => (above - below) / (2.0 * step),
        (Ok(below), Ok(here), Err(_)) => (here - below) / step,
        (Err(_), Ok(here), Ok(above)) => (above - here) / step,
        _ => 0.0,
    }
}

/// The doubt of two independent causes; one alone keeps its shape.
fn combined(first: Spread, second: Spread) -> Spread {
    if second.is_none() {
        return first;
    }
    if first.is_none() {
        return second;
    }
    let (u, v) = (first.standard_uncertainty(), second.standard_uncertainty());
    Spread::normal(2.0 * (u * u + v * v).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, temperature_c: Option<f64>, salinity: f64, half_width: f64, tolerance: f64) {
        let read = read_salinity(text, temperature_c).unwrap_or_else(|fault| panic!("{text}: {fault}"));
        assert!(
            (read.si - salinity).abs() <= tolerance,
            "{text}: {} for {salinity}",
            read.si
        );
        let half = read.spread.half_width;
        assert!(
            (half - half_width).abs() <= 0.02 * half_width,
            "{text}: ± {half} for ± {half_width}"
        );
    }

    #[track_caller]
    fn refuse(text: &str, temperature_c: Option<f64>, what: &str, mend: &str) {
        let fault = read_salinity(text, temperature_c).expect_err(text);
        assert!(fault.what.contains(what), "{text}: {}", fault.what);
        assert!(fault.mend.contains(mend), "{text}: {}", fault.mend);
    }

    /// Tolerances: exact where the scale is defined, else half a unit of the last digit of the table in the
    /// handbook (values computed with the TEOS-10 library).
    #[test]
    fn every_scale_of_the_trade_is_read() {
        check("35", None, 35.0, 0.0, 0.0);
        check(" 35 ppt ", None, 35.0, 0.0, 0.0);
        check("35 PSU", None, 35.0, 0.0, 0.0);
        check("34.2‰", None, 34.2, 0.0, 0.0);
        check("0", None, 0.0, 0.0, 0.0);
        check("42", None, 42.0, 0.0, 0.0);
        check("1 ppt", None, 1.0, 0.0, 0.0);
        check("35.16504 g/kg", None, 35.0, 0.0, 1e-12);
        check("53.07 mS/cm at 25 C", None, 35.0, 0.0, 0.01);
        check("53.07 mS/cm", Some(25.0), 35.0, 0.0, 0.01);
        check("47.92 mS/cm at 20 C", Some(25.0), 35.0, 0.0, 0.01);
        check("47.92 mS/cm at 68 F", None, 35.0, 0.0, 0.01);
        check("53070 uS/cm", Some(25.0), 35.0, 0.0, 0.01);
        check("1.02637 sg 25C/25C", None, 35.0, 0.0, 0.01);
        check("1.02661 SG 20 °C / 20 °C", None, 35.0, 0.0, 0.01);
        check("1.02686 sg 60F/60F", None, 35.0, 0.0, 0.01);
        check("1.02337 sg t/4C at 25 C", None, 35.0, 0.0, 0.01);
    }

    /// d(SG 25/25)/dSP is 0.000758, dC/dSP 1.37 mS/cm at 25 °C: handbook, section 11.
    #[test]
    fn the_doubt_goes_through_the_scale() {
        check("35 ± 0.5", None, 35.0, 0.5, 0.0);
        check("35 ppt ± 2 %", None, 35.0, 0.7, 0.0);
        check("35 ± 0.5 ppt", None, 35.0, 0.5, 0.0);
        check("1.02637 sg 25C/25C ± 0.001", None, 35.0, 0.001 / 0.000_758, 0.01);
        check("53.07 mS/cm ± 0.5 at 25 C", None, 35.0, 0.372, 0.01);
        check("53.07 mS/cm at 25 C ± 1 C", None, 35.0, 0.76, 0.01);
        let limits = read_salinity("35 within 0.5", None).unwrap();
        assert_eq!(limits.spread, Spread::limits(0.5));
    }

    #[test]
    fn doubtful_numbers_are_asked_about() {
        refuse(
            "1.025",
            None,
            "is 1.025 a specific gravity?",
            "\"1.025 sg 25C/25C\"",
        );
        refuse("1.0264 ± 0.0005", None, "specific gravity?", "60F/60F");
        refuse("0.98", None, "specific gravity?", "20C/20C");
        refuse("1.06", None, "specific gravity?", "t/4C");
        refuse("53", None, "conductivity in mS/cm?", "\"53 mS/cm at 25 C\"");
        refuse("43", Some(25.0), "conductivity in mS/cm?", "mS/cm");
        refuse("60", None, "conductivity in mS/cm?", "mS/cm");
        refuse("1.0264 sg", None, "against which water", "60F/60F");
        refuse("1.0264 sg 30C/30C", None, "`30c/30c` is no scale", "25C/25C");
        refuse("1.0264 sg t/4C", None, "without the temperature", "at 25 C");
        refuse("53 mS/cm", None, "without the temperature", "at 25 C");
    }

    #[test]
    fn what_is_no_salinity_is_refused() {
        refuse("", None, "empty", "35");
        refuse("salty", None, "doesn't begin with a number", "35 ppt");
        refuse("nan", None, "doesn't begin with a number", "35 ppt");
        refuse("inf", None, "doesn't begin with a number", "35 ppt");
        refuse("35,2", None, "comma", "\"35.2\"");
        refuse("-1", None, "0 to 42", "check");
        refuse("42.5", None, "0 to 42", "check");
        refuse("350", None, "0 to 42", "check");
        refuse("43 ppt", None, "0 to 42", "check");
        refuse("1e300", None, "0 to 42", "check");
        refuse("200 mS/cm at 25 C", None, "0 to 42", "check");
        refuse("1.2 sg 25C/25C", None, "1.0000 to 1.0317", "check");
        refuse("35 L", None, "`L` measures a volume", "35 ppt");
        refuse("35 g/L", None, "`g/L` measures a concentration", "g/kg");
        refuse("35 salts", None, "`salts` is no unit", "35 ppt");
        refuse("35 ± -1", None, "below zero", "± 0.5");
        refuse("35 ± x", None, "no number", "± 0.5");
        refuse("35 ppt ± 1 mS/cm", None, "the spread is in `mS/cm`", "± 0.5");
        refuse("53 mS/cm at 80 C", None, "80 °C is outside", "temperature");
        refuse("53 mS/cm at 25", None, "`25` has no unit", "24 C");
    }
}
