//! Printing a quantity in the owner's units, with no more digits than its spread supports.
//!
//! The rule of digits (house rule, after JCGM 100, 7.2.6): the half-width keeps one significant digit, two
//! where the first is 1 or 2, and the value ends at the same decimal. Without a spread, three significant
//! digits, and all digits before the point.

use super::{Currency, Kind};

/// The owner's system of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// Litres, millimetres, kilograms, °C.
    #[default]
    Si,
    /// US customary: gallons, inches, pounds, °F.
    Us,
}

/// A printed quantity: the figure, its unit, its half-width.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The figure without its unit: `3 900`, or with it where unit and figure mix: `9 h 40 min`.
    pub value: String,
    /// The unit, empty where there is none.
    pub unit: String,
    /// The half-width in the same unit; `None` where no input has a spread.
    pub half_width: Option<String>,
}

impl Shown {
    /// `45 L`.
    pub fn value_with_unit(&self) -> String {
        join(&self.value, &self.unit)
    }

    /// `2 L`, or empty.
    pub fn half_width_with_unit(&self) -> String {
        self.half_width
            .as_ref()
            .map_or_else(String::new, |half| join(half, &self.unit))
    }
}

impl core::fmt::Display for Shown {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(&self.value_with_unit())?;
        match &self.half_width {
            Some(_) => write!(f, " ± {}", self.half_width_with_unit()),
            None => Ok(()),
        }
    }
}

fn join(value: &str, unit: &str) -> String {
    match unit {
        "" => value.to_owned(),
        unit => format!("{value} {unit}"),
    }
}

/// The unit a quantity is shown in: name, stored value of one, stored value of zero.
#[derive(Debug, Clone, PartialEq)]
pub struct ShownUnit {
    /// As printed.
    pub name: String,
    /// Stored value of one of it.
    pub factor: f64,
    /// Stored value of its zero.
    pub offset: f64,
}

/// Chooses the unit for a quantity of this size.
pub fn unit_for(kind: Kind, si: f64, system: UnitSystem, currency: &Currency) -> ShownUnit {
    use UnitSystem::{Si, Us};
    let size = si.abs();
    let code = currency.code();
    let of = |name: &str, spelled: &str, kind: Kind| {
        let unit = super::unit::find(kind, spelled).expect("the unit stands in the table");
        ShownUnit {
            name: name.to_owned(),
            factor: unit.factor,
            offset: unit.offset,
        }
    };
    let plain = |name: &str, factor: f64| ShownUnit {
        name: name.to_owned(),
        factor,
        offset: 0.0,
    };
    let pick = |name: &'static str| of(name, name, kind);
    let price = |per: &str, per_kind: Kind| {
        let unit = of(per, per, per_kind);
        // Below one unit of money a litre costs cents.
        let cents = size * unit.factor < 1.0;
        plain(
            &format!("{}/{per}", if cents { "ct" } else { code }),
            if cents { 0.01 } else { 1.0 } / unit.factor,
        )
    };
    match (kind, system) {
        (Kind::Volume, Si) if size < 1e-3 => pick("mL"),
        (Kind::Volume, Si) => pick("L"),
        (Kind::Volume, Us) if size < 0.9e-3 => pick("fl oz"),
        (Kind::Volume, Us) => pick("gal"),
        (Kind::Flow, Si) if size < 2e-3 / 60.0 => pick("L/day"),
        (Kind::Flow, Si) => pick("L/min"),
        (Kind::Flow, Us) if size < 3e-5 => pick("gal/day"),
        (Kind::Flow, Us) => pick("gal/min"),
        (Kind::Length, Si) if size < 10.0 => pick("mm"),
        (Kind::Length, Si) => pick("m"),
        (Kind::Length, Us) if size < 10.0 => pick("in"),
        (Kind::Length, Us) => pick("ft"),
        (Kind::Mass, _) if size < 1e-3 && size > 0.0 => pick("mg"),
        (Kind::Mass, Si) if size < 1.0 => pick("g"),
        (Kind::Mass, Si) => pick("kg"),
        (Kind::Mass, Us) if size < 0.4 => pick("oz"),
        (Kind::Mass, Us) => pick("lb"),
        (Kind::Pressure, Si) => pick("bar"),
        (Kind::Pressure, Us) => pick("psi"),
        (Kind::Temperature, Si) => of("°C", "C", kind),
        (Kind::Temperature, Us) => of("°F", "F", kind),
        (Kind::TemperatureDifference, Si) => of("°C", "C", kind),
        (Kind::TemperatureDifference, Us) => of("°F", "F", kind),
        (Kind::Concentration, _) => pick("mg/L"),
        (Kind::ConcentrationRate, _) => of("mg/L a day", "mg/L/day", kind),
        (Kind::Alkalinity, _) => pick("dKH"),
        (Kind::Conductivity, _) if size < 0.2 => of("µS/cm", "uS/cm", kind),
        (Kind::Conductivity, _) => pick("mS/cm"),
        (Kind::Density, _) => of("kg/m³", "kg/m3", kind),
        (Kind::Time, _) if size < 60.0 => pick("s"),
        (Kind::Time, _) if size < 2.0 * 3600.0 => pick("min"),
        (Kind::Time, _) if size < 2.0 * 86_400.0 => pick("h"),
        (Kind::Time, _) => of("days", "day", kind),
        (Kind::Power, _) => pick("W"),
        (Kind::Energy, _) => pick("kWh"),
        (Kind::FloorLoad, Si) => of("kg/m²", "kg/m2", kind),
        (Kind::FloorLoad, Us) => of("lb/ft²", "lb/ft2", kind),
        (Kind::Money, _) if size < 1.0 => plain("ct", 0.01),
        (Kind::Money, _) => plain(code, 1.0),
        (Kind::PricePerVolume, Si) => price("L", Kind::Volume),
        (Kind::PricePerVolume, Us) => price("gal", Kind::Volume),
        (Kind::PricePerEnergy, _) => price("kWh", Kind::Energy),
        (Kind::PricePerMass, Si) => price("kg", Kind::Mass),
        (Kind::PricePerMass, Us) => price("lb", Kind::Mass),
        (Kind::PricePerTime, _) => price("h", Kind::Time),
        (Kind::Area, Si) => of("m²", "m2", kind),
        (Kind::Area, Us) => of("ft²", "ft2", kind),
        (Kind::Speed, Si) => pick("m/s"),
        (Kind::Speed, Us) => pick("ft/s"),
        (Kind::ExchangeCapacity, Si) => pick("eq/L"),
        (Kind::ExchangeCapacity, Us) => pick("kgr/ft3"),
        (Kind::ResinLoad, _) => pick("meq/L"),
        (Kind::FlowPerPressure, Si) => pick("L/h/bar"),
        (Kind::FlowPerPressure, Us) => pick("gal/day/psi"),
        (Kind::Fraction, _) => pick("%"),
        (Kind::FractionPerKelvin, _) => of("%/°C", "%/C", kind),
        (Kind::Salinity | Kind::Number, _) => plain("", 1.0),
    }
}

/// Prints a value with its half-width, both in the stored unit.
pub fn format_interval(
    kind: Kind,
    si: f64,
    half_width: Option<f64>,
    system: UnitSystem,
    currency: &Currency,
) -> Shown {
    let unit = unit_for(kind, si, system, currency);
    let value = (si - unit.offset) / unit.factor;
    let half = half_width
        .map(|half| half / unit.factor)
        .filter(|half| *half > 0.0 && half.is_finite());
    if kind == Kind::Time && unit.name == "h" {
        return hours_and_minutes(si, half_width);
    }
    if kind == Kind::Time
        && half.is_none()
        && let Some(shown) = whole_months(si)
    {
        return shown;
    }
    let decimals = match half {
        Some(half) => decimals_of_half_width(half),
        None => decimals_without_spread(kind, value),
    };
    Shown {
        value: rounded(value, decimals),
        unit: singular(&unit.name, value, decimals),
        half_width: half.map(|half| rounded(half, decimals)),
    }
}

/// Whether a value sits so far from the middle of its interval that a `±` would mislead: more than 15 % of the half-width
/// (house rule).
pub fn is_lopsided(value: f64, low: f64, high: f64) -> bool {
    ((low + high) / 2.0 - value).abs() > 0.15 * (high - low) / 2.0
}

/// Prints the two ends of an interval about a value: `93 to 102` where all stand in the value's unit, `36 h to 53 h`
/// and `5.2 L to 18 mL` where they don't.
pub fn format_ends(
    kind: Kind,
    (value, low, high): (f64, f64, f64),
    half_width: Option<f64>,
    system: UnitSystem,
    currency: &Currency,
) -> String {
    let shown = |si: f64| format_interval(kind, si, half_width, system, currency);
    // Two ends of one time stand in one unit: a little over two days in hours, beside hours.
    const HOUR_S: f64 = 3600.0;
    if kind == Kind::Time
        && (HOUR_S..48.0 * HOUR_S).contains(&low)
        && (48.0 * HOUR_S..240.0 * HOUR_S).contains(&high)
    {
        let hours = |si: f64| rounded(si / HOUR_S, 0);
        return format!("{} h to {} h", hours(low), hours(high));
    }
    let (own, low, high) = (shown(value), shown(low), shown(high));
    let alike =
        unit_for(kind, value, system, currency).name != "h" && own.unit == low.unit && own.unit == high.unit;
    match alike {
        true => format!("{} to {}", low.value, high.value),
        false => format!("{} to {}", low.value_with_unit(), high.value_with_unit()),
    }
}

/// A plan's months and years, which are no whole days: half a year isn't "183 days".
fn whole_months(si: f64) -> Option<Shown> {
    let month_s = super::unit::find(Kind::Time, "month")?.factor;
    let months = si / month_s;
    let count = months.round();
    if count < 1.0 || (months - count).abs() > 1e-6 {
        return None;
    }
    let (count, name) = match count % 12.0 {
        0.0 => (count / 12.0, "year"),
        _ => (count, "month"),
    };
    let plural = if count > 1.0 { "s" } else { "" };
    Some(Shown {
        value: rounded(count, 0),
        unit: format!("{name}{plural}"),
        half_width: None,
    })
}

/// How many, with its thousands apart: `10 000`.
pub fn format_count(number: impl Into<u64>) -> String {
    // Counts are far below where whole numbers end to have a place in it.
    rounded(number.into() as f64, 0)
}

/// Prints a value without doubt.
pub fn format_plain(kind: Kind, si: f64, system: UnitSystem, currency: &Currency) -> String {
    format_interval(kind, si, None, system, currency).value_with_unit()
}

/// Prints an amount of money that is about so much: whole from ten up.
pub fn format_about(amount: f64, currency: &Currency) -> String {
    if amount.abs() < 10.0 {
        return format_plain(Kind::Money, amount, UnitSystem::Si, currency);
    }
    format!("{} {}", rounded(amount, 0), currency.code())
}

/// A value in three significant digits.
pub fn three_digits(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let step = libm::pow(10.0, libm::floor(libm::log10(value.abs())) - 2.0);
    libm::round(value / step) * step
}

/// Prints a quantity that is known roughly: three digits in the unit that it is shown in (house rule).
pub fn format_rough(kind: Kind, si: f64, system: UnitSystem, currency: &Currency) -> String {
    let unit = unit_for(kind, si, system, currency);
    let rounded = three_digits((si - unit.offset) / unit.factor) * unit.factor + unit.offset;
    format_plain(kind, rounded, system, currency)
}

/// Prints a time that no interval was drawn for and that is known roughly: two figures, no finer than
/// tenths of minutes and of days and ten minutes of hours (house rule).
pub fn format_rough_time(seconds: f64) -> String {
    let (unit_s, least) = match seconds {
        172_800.0.. => (86_400.0, 0.1),
        3600.0.. => (3600.0, 1.0 / 6.0),
        60.0.. => (60.0, 0.1),
        _ => (1.0, 1e-3),
    };
    let value = seconds / unit_s;
    let step = libm::pow(10.0, libm::floor(libm::log10(value)) - 1.0).max(least);
    let rounded_s = libm::round(value / step) * step * unit_s;
    format_plain(Kind::Time, rounded_s, UnitSystem::Si, &Currency::default())
}

/// Prints a quantity as it was given or noted: its value and, where it has one, its `±`.
pub fn format_amount(kind: Kind, amount: super::Amount, system: UnitSystem, currency: &Currency) -> String {
    let half_width = (!amount.spread.is_none()).then_some(amount.spread.half_width);
    format_interval(kind, amount.si, half_width, system, currency).to_string()
}

/// Prints a length as one reads it from a tape: whole millimetres, or inches and eighths.
pub fn format_tape(length_m: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Si => format!("{} mm", rounded(length_m * 1e3, 0)),
        UnitSystem::Us => inches_and_eighths(length_m / 0.0254),
    }
}

fn inches_and_eighths(inches: f64) -> String {
    let sign = if inches < 0.0 { "-" } else { "" };
    let eighths = (inches.abs() * 8.0).round();
    let (whole, part) = ((eighths / 8.0).floor(), eighths % 8.0);
    let fraction = match part as u8 {
        0 => String::new(),
        1 => "1/8".to_owned(),
        2 => "1/4".to_owned(),
        3 => "3/8".to_owned(),
        4 => "1/2".to_owned(),
        5 => "5/8".to_owned(),
        6 => "3/4".to_owned(),
        _ => "7/8".to_owned(),
    };
    match (whole == 0.0, fraction.is_empty()) {
        (_, true) => format!("{sign}{whole} in"),
        (true, false) => format!("{sign}{fraction} in"),
        (false, false) => format!("{sign}{whole} {fraction} in"),
    }
}

fn singular(unit: &str, value: f64, decimals: i32) -> String {
    match unit {
        "days" if rounded(value, decimals) == "1" => "day".to_owned(),
        unit => unit.to_owned(),
    }
}

fn hours_and_minutes(si: f64, half_width: Option<f64>) -> Shown {
    // Ten minutes of doubt or more: the minutes go in tens.
    let step = match half_width {
        Some(half) if half >= 600.0 => 10.0,
        _ => 1.0,
    };
    let clock = |seconds: f64| {
        let minutes = (seconds / 60.0 / step).round() * step;
        let (hours, minutes) = ((minutes / 60.0).floor(), minutes % 60.0);
        match (hours == 0.0, minutes == 0.0) {
            (true, _) => format!("{minutes} min"),
            (false, true) => format!("{hours} h"),
            (false, false) => format!("{hours} h {minutes} min"),
        }
    };
    Shown {
        value: clock(si),
        unit: String::new(),
        half_width: half_width.filter(|half| *half > 0.0).map(clock),
    }
}

/// Decimals that a half-width supports; negative where tens or hundreds are in doubt.
fn decimals_of_half_width(half: f64) -> i32 {
    let exponent = libm::floor(libm::log10(half)) as i32;
    let leading = half / libm::pow(10.0, f64::from(exponent));
    // 2.95 rounds to 3, which keeps one digit.
    if leading < 2.95 { 1 - exponent } else { -exponent }
}

fn decimals_without_spread(kind: Kind, value: f64) -> i32 {
    if kind == Kind::Money {
        return if value.abs() < 1000.0 { 2 } else { 0 };
    }
    if value == 0.0 {
        return 0;
    }
    let exponent = libm::floor(libm::log10(value.abs())) as i32;
    let decimals = (2 - exponent).clamp(0, 9);
    // "20.0 L" says no more than "20 L" where no doubt is known.
    let scale = libm::pow(10.0, f64::from(decimals));
    let shown = (value * scale).round() / scale;
    (0..=decimals)
        .find(|d| {
            let scale = libm::pow(10.0, f64::from(*d));
            ((shown * scale).round() / scale - shown).abs() < 1e-9 * shown.abs()
        })
        .unwrap_or(decimals)
}

/// Rounds to so many decimals and sets thousands apart by a blank.
fn rounded(value: f64, decimals: i32) -> String {
    let text = if decimals >= 0 {
        format!("{value:.*}", decimals as usize)
    } else {
        let step = libm::pow(10.0, f64::from(-decimals));
        format!("{:.0}", (value / step).round() * step)
    };
    let text = if text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        text.replace('-', "")
    } else {
        text
    };
    let (sign, digits) = text
        .strip_prefix('-')
        .map_or(("", text.as_str()), |digits| ("-", digits));
    let (whole, fraction) = digits
        .split_once('.')
        .map_or((digits, None), |(whole, fraction)| (whole, Some(fraction)));
    let mut grouped = String::with_capacity(text.len() + 4);
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            grouped.push(' ');
        }
        grouped.push(digit);
    }
    match fraction {
        Some(fraction) => format!("{sign}{grouped}.{fraction}"),
        None => format!("{sign}{grouped}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(kind: Kind, si: f64, half: Option<f64>, system: UnitSystem, expected: &str) {
        assert_eq!(
            format_interval(kind, si, half, system, &Currency::default()).to_string(),
            expected
        );
    }

    /// JCGM 100, 7.2.6: at most two significant digits of the uncertainty, the result to match.
    #[test]
    fn figures_end_where_their_spread_begins() {
        use UnitSystem::{Si, Us};
        check(Kind::Volume, 0.045_123, Some(0.002), Si, "45.1 L ± 2.0 L");
        check(Kind::Volume, 0.045_123, Some(0.004), Si, "45 L ± 4 L");
        check(Kind::Volume, 3.912, Some(0.51), Si, "3 900 L ± 500 L");
        check(Kind::Volume, 0.2, None, Si, "200 L");
        check(Kind::Volume, 0.208_197_648, None, Us, "55 gal");
        check(Kind::Volume, 0.000_25, None, Si, "250 mL");
        check(Kind::Length, 0.7414, Some(0.005), Si, "741 mm ± 5 mm");
        check(Kind::Length, 0.7414, None, Us, "29.2 in");
        check(Kind::Time, 34_800.0, Some(3000.0), Si, "9 h 40 min ± 50 min");
        check(Kind::Time, 34_812.0, None, Si, "9 h 40 min");
        check(Kind::Time, 86_400.0 * 3.0, None, Si, "3 days");
        check(Kind::Time, 365.25 * 86_400.0 / 2.0, None, Si, "6 months");
        check(Kind::Time, 365.25 * 86_400.0 / 12.0, None, Si, "1 month");
        check(Kind::Time, 365.25 * 86_400.0 * 3.0, None, Si, "3 years");
        check(
            Kind::Time,
            365.25 * 86_400.0 / 2.0,
            Some(6e5),
            Si,
            "183 days ± 7 days",
        );
        check(Kind::Temperature, 24.0, None, Us, "75.2 °F");
        check(Kind::Temperature, 24.0, Some(1.0), Us, "75.2 °F ± 1.8 °F");
        // A difference has no zero to be told from.
        check(Kind::TemperatureDifference, 35.0 / 9.0, None, Us, "7 °F");
        check(Kind::TemperatureDifference, 4.0, None, Si, "4 °C");
        check(Kind::Money, 62.0, None, Si, "62.00 EUR");
        let euro = Currency::new("EUR").unwrap();
        for (seconds, shown) in [
            (6.74, "6.7 s"),
            (0.0123, "0.012 s"),
            (59.96, "1 min"),
            (66.6, "1.1 min"),
            (264.0, "4.4 min"),
            (7.0 * 3600.0 + 1.0, "7 h"),
            (9.8 * 3600.0, "9 h 50 min"),
            (11.4 * 3600.0, "11 h"),
            (47.0 * 3600.0, "47 h"),
            (50.0 * 3600.0, "2.1 days"),
            (100.0 * 3600.0, "4.2 days"),
            (30.4 * 86_400.0, "30 days"),
        ] {
            assert_eq!(format_rough_time(seconds), shown);
        }
        let about = |amount| format_about(amount, &euro);
        assert_eq!([14.0, 209.4, 9.5].map(about), ["14 EUR", "209 EUR", "9.50 EUR"]);
        check(Kind::PricePerVolume, 18.0, Some(2.0), Si, "1.80 ct/L ± 0.20 ct/L");
        check(Kind::PricePerTime, 20.0 / 3600.0, None, Si, "20 EUR/h");
        check(Kind::PricePerTime, 0.25 / 3600.0, None, Us, "25 ct/h");
        check(Kind::Salinity, 35.02, Some(0.7), Si, "35.0 ± 0.7");
        check(Kind::Fraction, 0.3, None, Si, "30 %");
        check(Kind::Mass, 0.35, None, Si, "350 g");
        check(Kind::Volume, -0.0, None, Si, "0 mL");
    }

    /// Ends in other units than the value bring their own.
    #[test]
    fn ends_never_lose_their_unit() {
        let ends = |kind, value, low, high, half| {
            format_ends(
                kind,
                (value, low, high),
                Some(half),
                UnitSystem::Si,
                &Currency::default(),
            )
        };
        assert_eq!(ends(Kind::Volume, 0.1, 0.093, 0.121, 0.014), "93 to 121");
        assert_eq!(
            ends(Kind::PricePerVolume, 930.0, 730.0, 1230.0, 250.0),
            "73 ct/L to 1.23 EUR/L"
        );
        assert_eq!(
            ends(Kind::Time, 43.5 * 3600.0, 36.0 * 3600.0, 2.2 * 86_400.0, 30_000.0),
            "36 h to 53 h"
        );
    }

    #[test]
    fn a_tape_reads_millimetres_or_eighths() {
        assert_eq!(format_tape(0.7414, UnitSystem::Si), "741 mm");
        assert_eq!(format_tape(29.26 * 0.0254, UnitSystem::Us), "29 1/4 in");
        assert_eq!(format_tape(0.1 * 0.0254, UnitSystem::Us), "1/8 in");
        assert_eq!(format_tape(12.0 * 0.0254, UnitSystem::Us), "12 in");
        assert_eq!(format_tape(1.94, UnitSystem::Si), "1 940 mm");
    }
}
