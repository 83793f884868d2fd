//! Units and their exact factors.
//!
//! Source of the factors: NIST SP 811 (2008), appendix B.8, and the definitions it rests on (inch 0.0254 m,
//! pound 0.453 592 37 kg, US gallon 231 in³, imperial gallon 4.546 09 L, standard gravity 9.806 65 m/s²).
//! The conventional water column (1000 kg/m³) is NIST SP 811's "conventional" metre and foot of water.
//! dKH and hardness: German degree as 10 mg/L of CaO and the equivalent weights from IUPAC atomic weights,
//! see [`MG_CACO3_PER_MEQ`].

use super::Kind;

/// A unit: how it is written, what it measures, and how it becomes the stored unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The spelling that is printed.
    pub name: &'static str,
    /// Other spellings that are read.
    pub also: &'static [&'static str],
    /// What it measures.
    pub kind: Kind,
    /// Stored value of one of it.
    pub factor: f64,
    /// Stored value of zero of it; not 0 for Fahrenheit alone.
    pub offset: f64,
}

const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;
const POUND_KG: f64 = 0.453_592_37;
const OUNCE_KG: f64 = POUND_KG / 16.0;
const GRAIN_KG: f64 = POUND_KG / 7000.0;
pub(crate) const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
const IMPERIAL_GALLON_M3: f64 = 4.546_09e-3;
const CUBIC_FOOT_M3: f64 = FOOT_M * FOOT_M * FOOT_M;
const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;
const POUND_FORCE_N: f64 = POUND_KG * STANDARD_GRAVITY_M_S2;
const PSI_PA: f64 = POUND_FORCE_N / (INCH_M * INCH_M);
const WATER_COLUMN_PA_M: f64 = 1000.0 * STANDARD_GRAVITY_M_S2;
const MINUTE_S: f64 = 60.0;
const HOUR_S: f64 = 3600.0;
const DAY_S: f64 = 86_400.0;
const WEEK_S: f64 = 604_800.0;
/// A year of 365.25 days, a month a twelfth of it: for rates and plans, not for calendars.
const YEAR_S: f64 = 365.25 * DAY_S;
const MONTH_S: f64 = YEAR_S / 12.0;
/// Equivalent weight of calcium carbonate, mg/meq: 100.0869 g/mol over 2 (IUPAC atomic weights 2021,
/// Ca 40.078, C 12.011, O 15.999: 100.086).
const MG_CACO3_PER_MEQ: f64 = 100.0869 / 2.0;
/// Equivalent weight of bicarbonate, mg/meq (IUPAC atomic weights 2021: H 1.008, C 12.011, O 15.999).
const MG_HCO3_PER_MEQ: f64 = 61.016;
/// meq/L in one German degree: 10 mg/L of CaO (DIN 38409), CaO 56.077 g/mol, two equivalents.
const MEQ_PER_DKH: f64 = 10.0 / (56.077 / 2.0);
const GRAIN_PER_GALLON_KG_M3: f64 = GRAIN_KG / GALLON_M3;
/// Resin is rated in thousand grains of calcium carbonate to a cubic foot.
const KILOGRAIN_PER_CUBIC_FOOT_MOL_M3: f64 = 1e3 * GRAIN_KG * 1e3 / MG_CACO3_PER_MEQ / CUBIC_FOOT_M3;
/// The International Table British thermal unit.
const BTU_J: f64 = 1_055.055_852_62;
const MECHANICAL_HORSEPOWER_W: f64 = 550.0 * FOOT_M * POUND_FORCE_N;

const fn unit(name: &'static str, also: &'static [&'static str], kind: Kind, factor: f64) -> Unit {
    Unit {
        name,
        also,
        kind,
        factor,
        offset: 0.0,
    }
}

/// Every unit, the usual ones of a kind first.
#[rustfmt::skip]
pub(crate) const UNITS: &[Unit] = &[
    unit("L", &["l", "litre", "litres", "liter", "liters", "ltr"], Kind::Volume, 1e-3),
    unit("gal", &["gallon", "gallons", "US gal", "us gal", "gal US"], Kind::Volume, GALLON_M3),
    unit("mL", &["ml", "millilitre", "millilitres", "milliliter", "milliliters"], Kind::Volume, 1e-6),
    unit("m3", &["m^3", "m³", "cubic metre", "cubic metres", "cubic meters"], Kind::Volume, 1.0),
    unit("imp gal", &["imperial gal", "imperial gallon", "imperial gallons", "UK gal"], Kind::Volume, IMPERIAL_GALLON_M3),
    unit("ft3", &["ft^3", "ft³", "cu ft", "cubic foot", "cubic feet"], Kind::Volume, CUBIC_FOOT_M3),
    unit("fl oz", &["floz", "fluid ounce", "fluid ounces", "US fl oz"], Kind::Volume, GALLON_M3 / 128.0),
    unit("qt", &["quart", "quarts"], Kind::Volume, GALLON_M3 / 4.0),

    unit("L/h", &["l/h", "lph", "LPH", "L/hr", "litres per hour", "liters per hour"], Kind::Flow, 1e-3 / HOUR_S),
    unit("L/min", &["l/min", "lpm", "LPM", "litres per minute", "liters per minute"], Kind::Flow, 1e-3 / MINUTE_S),
    unit("L/s", &["l/s"], Kind::Flow, 1e-3),
    unit("L/day", &["l/day", "L/d", "l/d", "litres per day", "liters per day"], Kind::Flow, 1e-3 / DAY_S),
    unit("L/week", &["l/week", "L/wk"], Kind::Flow, 1e-3 / WEEK_S),
    unit("mL/min", &["ml/min"], Kind::Flow, 1e-6 / MINUTE_S),
    unit("mL/day", &["ml/day", "mL/d", "ml/d"], Kind::Flow, 1e-6 / DAY_S),
    unit("gal/day", &["gpd", "GPD", "gal/d", "gallons per day"], Kind::Flow, GALLON_M3 / DAY_S),
    unit("gal/h", &["gph", "GPH", "gal/hr", "gallons per hour"], Kind::Flow, GALLON_M3 / HOUR_S),
    unit("gal/min", &["gpm", "GPM", "gallons per minute"], Kind::Flow, GALLON_M3 / MINUTE_S),
    unit("gal/week", &["gal/wk"], Kind::Flow, GALLON_M3 / WEEK_S),
    unit("imp gal/day", &["imp gal/d"], Kind::Flow, IMPERIAL_GALLON_M3 / DAY_S),
    unit("m3/h", &["m³/h", "m^3/h"], Kind::Flow, 1.0 / HOUR_S),
    unit("m3/day", &["m³/day", "m3/d"], Kind::Flow, 1.0 / DAY_S),
    unit("m3/s", &["m³/s", "m^3/s"], Kind::Flow, 1.0),

    unit("mm", &["millimetre", "millimetres", "millimeter", "millimeters"], Kind::Length, 1e-3),
    unit("cm", &["centimetre", "centimetres", "centimeter", "centimeters"], Kind::Length, 1e-2),
    unit("m", &["metre", "metres", "meter", "meters"], Kind::Length, 1.0),
    unit("in", &["inch", "inches", "\"", "″", "”"], Kind::Length, INCH_M),
    unit("ft", &["foot", "feet", "'", "′", "’"], Kind::Length, FOOT_M),
    unit("um", &["µm", "μm", "micron", "microns", "micrometre", "micrometres"], Kind::Length, 1e-6),

    unit("kg", &["kilogram", "kilograms", "kilo", "kilos"], Kind::Mass, 1.0),
    unit("g", &["gram", "grams"], Kind::Mass, 1e-3),
    unit("mg", &["milligram", "milligrams"], Kind::Mass, 1e-6),
    unit("lb", &["lbs", "pound", "pounds"], Kind::Mass, POUND_KG),
    unit("oz", &["ounce", "ounces"], Kind::Mass, OUNCE_KG),
    unit("t", &["tonne", "tonnes"], Kind::Mass, 1000.0),

    unit("bar", &[], Kind::Pressure, 1e5),
    unit("psi", &["psig", "PSI", "lbf/in2"], Kind::Pressure, PSI_PA),
    unit("kPa", &["kpa"], Kind::Pressure, 1e3),
    unit("mbar", &[], Kind::Pressure, 100.0),
    unit("mH2O", &["mH₂O", "m H2O", "mwc", "m of water"], Kind::Pressure, WATER_COLUMN_PA_M),
    unit("ft H2O", &["ftH2O", "ft H₂O", "ft of water"], Kind::Pressure, WATER_COLUMN_PA_M * FOOT_M),
    unit("in H2O", &["inH2O", "in of water"], Kind::Pressure, WATER_COLUMN_PA_M * INCH_M),
    unit("Pa", &[], Kind::Pressure, 1.0),

    unit("C", &["°C", "℃", "deg C", "degC", "celsius", "degrees C"], Kind::Temperature, 1.0),
    Unit { name: "F", also: &["°F", "℉", "deg F", "degF", "fahrenheit", "degrees F"], kind: Kind::Temperature,
           factor: 5.0 / 9.0, offset: -160.0 / 9.0 },

    unit("K", &["C", "°C", "℃", "deg C", "degC", "kelvin"], Kind::TemperatureDifference, 1.0),
    unit("F", &["°F", "℉", "deg F", "degF"], Kind::TemperatureDifference, 5.0 / 9.0),

    unit("mg/L", &["mg/l", "ppm", "PPM", "g/m3"], Kind::Concentration, 1e-3),
    unit("ug/L", &["µg/L", "μg/L", "ug/l", "ppb"], Kind::Concentration, 1e-6),
    unit("g/L", &["g/l", "kg/m3"], Kind::Concentration, 1.0),
    unit("gr/gal", &["gpg", "grains/gal", "grain/gal"], Kind::Concentration, GRAIN_PER_GALLON_KG_M3),

    unit("mg/L/day", &["ppm/day", "mg/l/day", "mg/L per day", "ppm per day", "mg/L/d", "ppm/d"], Kind::ConcentrationRate, 1e-3 / DAY_S),
    unit("mg/L/week", &["ppm/week", "mg/l/week", "mg/L per week", "ppm per week"], Kind::ConcentrationRate, 1e-3 / WEEK_S),
    unit("mg/L/month", &["ppm/month", "mg/L per month", "ppm per month"], Kind::ConcentrationRate, 1e-3 / MONTH_S),

    unit("dKH", &["dkh", "DKH", "°dH", "dH", "dGH"], Kind::Alkalinity, MEQ_PER_DKH),
    unit("meq/L", &["meq/l", "mmol/L charge"], Kind::Alkalinity, 1.0),
    unit("mg/L CaCO3", &["mg/l CaCO3", "ppm CaCO3", "mg/L as CaCO3", "ppm as CaCO3"], Kind::Alkalinity, 1.0 / MG_CACO3_PER_MEQ),
    unit("mg/L HCO3", &["mg/l HCO3", "ppm HCO3", "mg/L as HCO3", "mg/L HCO3-"], Kind::Alkalinity, 1.0 / MG_HCO3_PER_MEQ),
    unit("fH", &["°fH", "French degree", "French degrees"], Kind::Alkalinity, 10.0 / MG_CACO3_PER_MEQ),
    unit("gr/gal", &["gpg", "grains/gal", "gr/gal as CaCO3"], Kind::Alkalinity, GRAIN_PER_GALLON_KG_M3 * 1e3 / MG_CACO3_PER_MEQ),

    unit("mS/cm", &["ms/cm", "millisiemens/cm"], Kind::Conductivity, 0.1),
    unit("uS/cm", &["µS/cm", "μS/cm", "us/cm", "microsiemens/cm"], Kind::Conductivity, 1e-4),
    unit("mS/m", &[], Kind::Conductivity, 1e-3),
    unit("S/m", &[], Kind::Conductivity, 1.0),

    unit("kg/m3", &["kg/m³", "kg/m^3"], Kind::Density, 1.0),
    unit("g/mL", &["g/ml", "g/cm3", "g/cm³", "kg/L", "g/cc"], Kind::Density, 1e3),
    unit("lb/gal", &[], Kind::Density, POUND_KG / GALLON_M3),
    unit("lb/ft3", &["lb/ft³"], Kind::Density, POUND_KG / CUBIC_FOOT_M3),

    unit("min", &["minute", "minutes", "mins"], Kind::Time, MINUTE_S),
    unit("h", &["hr", "hrs", "hour", "hours"], Kind::Time, HOUR_S),
    unit("day", &["d", "days"], Kind::Time, DAY_S),
    unit("week", &["weeks", "wk"], Kind::Time, WEEK_S),
    unit("month", &["months"], Kind::Time, MONTH_S),
    unit("year", &["years", "yr", "a"], Kind::Time, YEAR_S),
    unit("s", &["sec", "second", "seconds"], Kind::Time, 1.0),

    unit("W", &["watt", "watts"], Kind::Power, 1.0),
    unit("kW", &["kilowatt"], Kind::Power, 1e3),
    unit("hp", &["horsepower"], Kind::Power, MECHANICAL_HORSEPOWER_W),

    unit("kWh", &["kwh", "kW h"], Kind::Energy, 3.6e6),
    unit("Wh", &["W h"], Kind::Energy, 3600.0),
    unit("MJ", &[], Kind::Energy, 1e6),
    unit("kJ", &[], Kind::Energy, 1e3),
    unit("J", &[], Kind::Energy, 1.0),
    unit("BTU", &["Btu"], Kind::Energy, BTU_J),

    unit("kg/m2", &["kg/m²", "kg/m^2"], Kind::FloorLoad, 1.0),
    unit("lb/ft2", &["psf", "lb/ft²", "lb/sq ft"], Kind::FloorLoad, POUND_KG / (FOOT_M * FOOT_M)),
    unit("kN/m2", &["kN/m²", "kPa"], Kind::FloorLoad, 1e3 / STANDARD_GRAVITY_M_S2),

    unit("%", &["percent", "per cent"], Kind::Fraction, 0.01),
    unit("%/C", &["%/K", "%/°C", "% per C"], Kind::FractionPerKelvin, 0.01),

    unit("m2", &["m²", "m^2", "square metre", "square metres", "sq m"], Kind::Area, 1.0),
    unit("ft2", &["ft²", "ft^2", "sq ft", "square foot", "square feet"], Kind::Area, FOOT_M * FOOT_M),
    unit("cm2", &["cm²", "cm^2"], Kind::Area, 1e-4),
    unit("in2", &["in²", "in^2", "sq in"], Kind::Area, INCH_M * INCH_M),

    unit("m/s", &[], Kind::Speed, 1.0),
    unit("cm/s", &[], Kind::Speed, 1e-2),
    unit("ft/min", &["fpm"], Kind::Speed, FOOT_M / MINUTE_S),
    unit("ft/s", &["fps"], Kind::Speed, FOOT_M),
    unit("ft/s", &[], Kind::Speed, FOOT_M),

    unit("eq/L", &["eq/l", "meq/mL", "meq/ml"], Kind::ExchangeCapacity, 1e3),
    unit("kgr/ft3", &["kgr/ft³", "kilograins/ft3"], Kind::ExchangeCapacity, KILOGRAIN_PER_CUBIC_FOOT_MOL_M3),
    unit("gr/ft3", &["grains/ft3"], Kind::ExchangeCapacity, KILOGRAIN_PER_CUBIC_FOOT_MOL_M3 / 1e3),

    unit("meq/L", &["meq/l"], Kind::ResinLoad, 1.0),

    unit("L/h/bar", &[], Kind::FlowPerPressure, 1e-3 / HOUR_S / 1e5),
    unit("gal/day/psi", &[], Kind::FlowPerPressure, GALLON_M3 / DAY_S / PSI_PA),

];

/// The units of a kind, the usual ones first. Money and salinity have none here: the first is the
/// station's own currency, the second has several scales (see the reader of salinity).
pub fn units_of(kind: Kind) -> impl Iterator<Item = &'static Unit> {
    let first = UNITS.partition_point(|unit| unit.kind < kind);
    UNITS[first..].iter().take_while(move |unit| unit.kind == kind)
}

/// The unit of this kind with this spelling. Case matters only where two units differ by it alone.
pub(crate) fn find(kind: Kind, text: &str) -> Option<&'static Unit> {
    let spelled = |unit: &&Unit, same: fn(&str, &str) -> bool| {
        same(unit.name, text) || unit.also.iter().any(|also| same(also, text))
    };
    units_of(kind)
        .find(|unit| spelled(unit, |a, b| a == b))
        .or_else(|| units_of(kind).find(|unit| spelled(unit, |a, b| a.eq_ignore_ascii_case(b))))
}

/// Kinds that know this spelling.
pub(crate) fn kinds_with(text: &str) -> impl Iterator<Item = Kind> {
    let text = text.to_owned();
    UNITS
        .iter()
        .filter(move |unit| unit.name == text || unit.also.iter().any(|also| *also == text))
        .map(|unit| unit.kind)
}

/// Whether a word is a unit, as it stands in a sentence: a number before it belongs to it. Money and prices count too:
/// `EUR`, `ct/L`.
pub fn is_unit(word: &str) -> bool {
    let word = word.trim_end_matches(['.', ',', ';', ':', ')']);
    let spelled = |text: &str| {
        UNITS
            .iter()
            .any(|unit| unit.name == text || unit.also.contains(&text))
            || SHOWN.contains(&text)
    };
    let money =
        |text: &str| text == "ct" || (text.len() == 3 && text.bytes().all(|byte| byte.is_ascii_uppercase()));
    spelled(word)
        || money(word)
        || word
            .split_once('/')
            .is_some_and(|(of, per)| money(of) && spelled(per))
}

/// Spellings that are printed and never read.
const SHOWN: [&str; 5] = ["m²", "ft²", "kg/m²", "lb/ft²", "kg/m³"];

#[cfg(test)]
mod tests {
    use super::{UNITS, is_unit};

    /// They are looked for by halves.
    #[test]
    fn units_stand_in_the_order_of_their_kinds() {
        assert!(UNITS.is_sorted_by_key(|unit| unit.kind));
    }

    #[test]
    fn units_are_known_in_a_sentence() {
        for word in [
            "L", "L/day.", "gal,", "°C", "ct/L;", "EUR", "USD/gal", "µS/cm", "days", "%", "m²", "meq/L",
        ] {
            assert!(is_unit(word), "{word}");
        }
        for word in ["of", "", "and", "Fresh", "times", "x"] {
            assert!(!is_unit(word), "{word}");
        }
    }
}
