//! Reading a quantity: `"55 gal"`, `"1 1/2 in"`, `"5 ft 3 in"`, `"38 L ± 0.5 L"`, `"24 C ± 2 %"`.

use super::commas::{comma_mend, has_comma};
use super::find_unit::{UnitUsed, find_unit};
use super::number::number_and_rest;
use super::typed::period;
use super::{Kind, Spread, SpreadShape, unit};

/// A number in the stored unit of its kind, with its spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    /// Value in the stored unit.
    pub si: f64,
    /// Its doubt.
    pub spread: Spread,
}

/// The station's currency: a code of ISO 4217, such as `EUR`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Currency(String);

impl Currency {
    /// Three capital letters.
    pub fn new(code: &str) -> Option<Self> {
        (code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase())).then(|| Self(code.to_owned()))
    }

    /// The code.
    pub fn code(&self) -> &str {
        &self.0
    }

    /// The sign that people write for the commonest codes.
    pub(super) fn sign(&self) -> Option<char> {
        match self.0.as_str() {
            "EUR" => Some('€'),
            "GBP" => Some('£'),
            "USD" | "CAD" | "AUD" | "NZD" | "SGD" => Some('$'),
            "JPY" => Some('¥'),
            _ => None,
        }
    }
}

impl Default for Currency {
    fn default() -> Self {
        Self("EUR".to_owned())
    }
}

/// Why a text is no quantity of the wanted kind.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what}")]
pub struct QuantityFault {
    /// What is wrong, as a sentence without a full stop.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

impl QuantityFault {
    pub(crate) fn new(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            mend: mend.into(),
        }
    }
}

/// Reads text as a quantity of the wanted kind.
///
/// Accepts a decimal point, an exponent, thousands set apart by a space, fractions (`1/2`, `1 1/2`), several
/// parts of falling size for lengths, masses and times (`5 ft 3 in`), and a spread: `± 0.5 L`, `+/- 2 %`
/// (two standard uncertainties) or `within 0.5 L` (limits). A spread of a temperature is a difference.
///
/// # Errors
/// [`QuantityFault`] with the reason and the mend: no unit, a unit of the wrong kind, an unknown unit,
/// no number, a decimal comma, a spread of the wrong kind or below zero.
pub fn read_amount(text: &str, kind: Kind, currency: &Currency) -> Result<Amount, QuantityFault> {
    let text = text.trim();
    if text.is_empty() {
        return Err(QuantityFault::new(
            format!("empty, where {} is wanted", kind.with_article()),
            example(kind, currency),
        ));
    }
    let (value_text, spread_text) = split_spread(text);
    let (si, unit_used) = read_value(
        value_text,
        spread_text.is_some_and(|(_, s)| ends_in_unit(s)),
        kind,
        currency,
        spread_text,
    )?;
    let spread = match spread_text {
        None => Spread::NONE,
        Some((shape, spread_text)) => read_spread(spread_text, shape, si, kind, unit_used, currency)?,
    };
    Ok(Amount { si, spread })
}

/// How a value of the kind may be written, for the mend of a message.
pub(crate) fn example(kind: Kind, currency: &Currency) -> String {
    let code = currency.code();
    match kind {
        Kind::Salinity => "write it as 35 (practical salinity)".to_owned(),
        Kind::Fraction => "write it as 0.3 or \"30 %\"".to_owned(),
        Kind::Number => "write it as a plain number".to_owned(),
        Kind::Money => format!("write it as \"62 {code}\""),
        Kind::PricePerVolume => format!("write it as \"4.10 {code}/m3\" or \"0.015 {code}/gal\""),
        Kind::PricePerEnergy => format!("write it as \"0.31 {code}/kWh\""),
        Kind::PricePerMass => format!("write it as \"3.20 {code}/kg\" or \"1.45 {code}/lb\""),
        Kind::PricePerTime => format!("write it as \"20 {code}/h\""),
        Kind::Flow => "write it as \"8 L/day\" or \"75 gal/day\"".to_owned(),
        Kind::Volume => "write it as \"200 L\" or \"55 gal\"".to_owned(),
        Kind::Length => "write it as \"740 mm\" or \"29 1/4 in\"".to_owned(),
        Kind::Temperature => "write it as \"24 C\" or \"75 F\"".to_owned(),
        kind => {
            let names: Vec<&str> = unit::units_of(kind).map(|unit| unit.name).take(3).collect();
            format!("give it a unit: {}", names.join(", "))
        }
    }
}

/// The value before its spread, and that with its shape where there is one.
pub(super) fn split_spread(text: &str) -> (&str, Option<(SpreadShape, &str)>) {
    // Most have none: one look for a letter of each sign.
    if !text.contains(['±', '+', 'w']) {
        return (text, None);
    }
    for (first, rest, shape) in [
        ('±', "", SpreadShape::Normal),
        ('+', "/-", SpreadShape::Normal),
        ('+', "-", SpreadShape::Normal),
        (' ', "within ", SpreadShape::Limits),
    ] {
        if let Some((value, spread)) = split_at_sign(text, first, rest) {
            return (value.trim(), Some((shape, spread.trim())));
        }
    }
    (text, None)
}

/// What stands before and behind a sign. Its first letter is looked for alone: to look for a text takes more
/// preparation than these few letters are worth.
fn split_at_sign<'t>(text: &'t str, first: char, rest: &str) -> Option<(&'t str, &'t str)> {
    text.match_indices(first).find_map(|(at, first)| {
        let behind = text[at + first.len()..].strip_prefix(rest)?;
        Some((&text[..at], behind))
    })
}

fn ends_in_unit(text: &str) -> bool {
    text.chars()
        .last()
        .is_some_and(|c| !c.is_ascii_digit() && c != '.')
}

/// The value, and the unit it ended in. `"38 ± 0.5 L"` borrows the unit of its spread.
fn read_value(
    text: &str,
    spread_has_unit: bool,
    kind: Kind,
    currency: &Currency,
    spread: Option<(SpreadShape, &str)>,
) -> Result<(f64, UnitUsed), QuantityFault> {
    let parts = read_parts(text, kind, currency)?;
    if let [
        Part {
            number,
            unit_text: "",
        },
    ] = parts[..]
    {
        if kind.is_unitless() {
            return Ok((number, UnitUsed::NONE));
        }
        if spread_has_unit && let Some((_, spread)) = spread {
            let unit_text = number_and_rest(spread).map_or("", |(_, rest)| rest);
            if unit_text != "%" {
                let used = find_unit(unit_text, kind, currency)?;
                return Ok((used.to_si(number), used));
            }
        }
        return Err(QuantityFault::new(
            format!("`{text}` has no unit, where {} is wanted", kind.with_article()),
            example(kind, currency),
        ));
    }
    let mut total = 0.0;
    let mut last: Option<UnitUsed> = None;
    for part in &parts {
        if let (Some(before), "", true) = (last, part.unit_text, kind.may_be_compound()) {
            // `10 ft 6` is ten feet six inches to whoever says it; here every number carries its unit.
            let next = if kind == Kind::Length && (before.factor - FOOT_M).abs() < 1e-9 {
                format!("write it as \"{text} in\"")
            } else {
                "give each number its unit, as in \"5 ft 3 in\" or \"9 h 40 min\"".to_owned()
            };
            return Err(QuantityFault::new(
                format!("the last number of `{text}` has no unit"),
                next,
            ));
        }
        let used = find_unit(part.unit_text, kind, currency)?;
        if let Some(before) = last {
            if !kind.may_be_compound() {
                return Err(QuantityFault::new(
                    format!("`{text}` has more than one value"),
                    "write one number with one unit",
                ));
            }
            if used.factor >= before.factor || part.number < 0.0 {
                return Err(QuantityFault::new(
                    format!("the parts of `{text}` don't go from large to small"),
                    "write it as \"5 ft 3 in\" or \"9 h 40 min\"",
                ));
            }
        }
        // The sign of the first part holds for all: -5 ft 3 in is 63 in below zero.
        let sign = if parts[0].number < 0.0 && last.is_some() {
            -1.0
        } else {
            1.0
        };
        total += sign * used.to_si(part.number);
        last = Some(used);
    }
    match last {
        Some(used) if total.is_finite() => Ok((total, used)),
        _ => Err(QuantityFault::new(
            format!("`{text}` is too large to be a quantity"),
            example(kind, currency),
        )),
    }
}

fn read_spread(
    text: &str,
    shape: SpreadShape,
    value_si: f64,
    kind: Kind,
    value_unit: UnitUsed,
    currency: &Currency,
) -> Result<Spread, QuantityFault> {
    let fault = |what: String| QuantityFault::new(what, "write the spread as \"± 0.5 L\" or \"± 2 %\"");
    let (number, rest) =
        number_and_rest(text).ok_or_else(|| fault(format!("`{text}` after the ± is no number")))?;
    let half_width = match rest {
        "%" | "per cent" | "percent" if kind == Kind::Temperature => {
            return Err(fault(
                "a temperature has no per cent: its zero is a convention".to_owned(),
            ));
        }
        // The share of a share is ambiguous; the trade means points: "30 % ± 2 %" is 28 to 32 %.
        "%" | "per cent" | "percent" if kind == Kind::Fraction => number / 100.0,
        "%" | "per cent" | "percent" => number / 100.0 * value_si.abs(),
        "" if kind.is_unitless() => number,
        "" => value_unit.difference_to_si(number),
        rest if kind == Kind::Salinity => {
            find_unit(rest, kind, currency)?;
            number
        }
        rest => find_unit(rest, kind, currency)?.difference_to_si(number),
    };
    if half_width < 0.0 {
        return Err(fault("a spread can't be below zero".to_owned()));
    }
    if !half_width.is_finite() {
        return Err(fault(format!("`{text}` is too large to be a spread")));
    }
    Ok(Spread { half_width, shape })
}

/// A foot, m.
const FOOT_M: f64 = 0.3048;

/// One number with one unit, such as the `3 in` of `5 ft 3 in`.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Part<'t> {
    number: f64,
    unit_text: &'t str,
}

fn read_parts<'t>(text: &'t str, kind: Kind, currency: &Currency) -> Result<Vec<Part<'t>>, QuantityFault> {
    let mut rest = text;
    let mut parts = Vec::new();
    // Money may have its sign in front.
    let is_money = matches!(
        kind,
        Kind::Money | Kind::PricePerVolume | Kind::PricePerEnergy | Kind::PricePerMass | Kind::PricePerTime
    );
    if is_money
        && let Some(sign) = currency.sign()
        && let Some(after) = text.strip_prefix(sign)
        && let Some((number, unit_text)) = number_and_rest(after.trim())
    {
        return Ok(vec![Part {
            number,
            unit_text: if unit_text.is_empty() { "sign" } else { unit_text },
        }]);
    }
    while !rest.is_empty() {
        let Some((number, after)) = number_and_rest(rest) else {
            return Err(no_number(text, kind, currency));
        };
        let end = next_number(after);
        parts.push(Part {
            number,
            unit_text: after[..end].trim(),
        });
        rest = after[end..].trim();
    }
    Ok(parts)
}

/// Where the next part begins: a digit after a blank, in text such as `ft 3 in`; `'` also ends a part.
pub(super) fn next_number(text: &str) -> usize {
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        let starts = c.is_ascii_digit() && at > 0 && (before.is_whitespace() || "'′’".contains(before));
        if starts {
            return at;
        }
        before = c;
    }
    text.len()
}

fn no_number(text: &str, kind: Kind, currency: &Currency) -> QuantityFault {
    if has_comma(text) {
        return QuantityFault::new(format!("`{text}` has a comma in its number"), comma_mend(text));
    }
    let said = match kind {
        Kind::Time => period(text),
        _ => None,
    };
    QuantityFault::new(
        format!(
            "`{text}` doesn't begin with a number, where {} is wanted",
            kind.with_article()
        ),
        said.map_or_else(|| example(kind, currency), |own| format!("write \"{own}\"")),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, kind: Kind) -> Result<Amount, QuantityFault> {
        read_amount(text, kind, &Currency::default())
    }

    #[track_caller]
    fn check(text: &str, kind: Kind, si: f64, half_width: f64) {
        let got = read(text, kind).unwrap_or_else(|fault| panic!("{text}: {fault}"));
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-14 * b.abs().max(1e-12);
        assert!(close(got.si, si), "{text}: {} is not {si}", got.si);
        assert!(
            close(got.spread.half_width, half_width),
            "{text}: spread {} is not {half_width}",
            got.spread.half_width
        );
    }

    /// Exact definitions: NIST SP 811 (2008), appendix B.8 and B.6.
    #[test]
    fn units_have_their_exact_factors() {
        #[rustfmt::skip]
        let cases = [
            ("1 gal", Kind::Volume, 3.785_411_784e-3, "NIST SP 811 B.8: gallon (U.S.), exact 231 in3"),
            ("1 imp gal", Kind::Volume, 4.546_09e-3, "NIST SP 811 B.8: gallon [Canadian and U.K. (Imperial)]"),
            ("1 ft3", Kind::Volume, 0.028_316_846_592, "NIST SP 811 B.8: foot cubed, exact 0.3048^3"),
            ("1 fl oz", Kind::Volume, 2.957_352_956_25e-5, "NIST SP 811 B.8: fluid ounce (U.S.), gallon/128"),
            ("1 m3", Kind::Volume, 1.0, "SI"),
            ("250 mL", Kind::Volume, 2.5e-4, "SI"),
            ("75 gal/day", Kind::Flow, 75.0 * 3.785_411_784e-3 / 86_400.0, "gallon and day"),
            ("75 gpd", Kind::Flow, 75.0 * 3.785_411_784e-3 / 86_400.0, "gallon and day"),
            ("10 gal/h", Kind::Flow, 10.0 * 3.785_411_784e-3 / 3600.0, "gallon and hour"),
            ("6 L/min", Kind::Flow, 1e-4, "SI"),
            ("52 psi", Kind::Pressure, 52.0 * 6_894.757_293_168_361, "NIST SP 811 B.8: psi 6.894 757 E+03; digits from lb, g_n, in"),
            ("3.6 bar", Kind::Pressure, 3.6e5, "NIST SP 811: bar 1.0 E+05"),
            ("1 mH2O", Kind::Pressure, 9_806.65, "NIST SP 811 B.8: metre of water, conventional 9.806 65 E+03"),
            ("1 ft H2O", Kind::Pressure, 2_989.066_92, "NIST SP 811 B.8: foot of water, conventional 2.989 067 E+03"),
            ("1 1/2 in", Kind::Length, 0.0381, "inch 0.0254 m"),
            ("1-1/2 in", Kind::Length, 0.0381, "inch 0.0254 m"),
            ("1½ in", Kind::Length, 0.0381, "inch 0.0254 m"),
            ("1/2 in", Kind::Length, 0.0127, "inch 0.0254 m"),
            ("5 ft 3 in", Kind::Length, 1.6002, "63 in"),
            ("10 ft 6 in", Kind::Length, 3.2004, "126 in"),
            ("5' 3\"", Kind::Length, 1.6002, "63 in"),
            ("5'3\"", Kind::Length, 1.6002, "63 in"),
            ("5 ft 3 1/4 in", Kind::Length, 63.25 * 0.0254, "63.25 in"),
            ("1 lb", Kind::Mass, 0.453_592_37, "NIST SP 811 B.8: pound (avoirdupois), exact"),
            ("2 lb 3 oz", Kind::Mass, 35.0 * 0.028_349_523_125, "ounce (avoirdupois) 28.349 523 125 g"),
            ("75 F", Kind::Temperature, (75.0 - 32.0) / 1.8, "NIST SP 811 B.6: (t/F - 32)/1.8"),
            ("-40 F", Kind::Temperature, -40.0, "NIST SP 811 B.6"),
            ("24 C", Kind::Temperature, 24.0, "SI"),
            ("18 F", Kind::TemperatureDifference, 10.0, "NIST SP 811 B.6: difference, /1.8"),
            ("300 ppm", Kind::Concentration, 0.3, "trade: ppm of dilute water is mg/L"),
            ("1 gr/gal", Kind::Concentration, 0.017_118_061_045_270_955, "NIST SP 811 B.8: grain per gallon 1.711 806 E-02 kg/m3"),
            ("8 dKH", Kind::Alkalinity, 8.0 * 0.356_652_460, "10 mg/L CaO over 28.0385 mg/meq; handbook 0.35665"),
            ("2.5 meq/L", Kind::Alkalinity, 2.5, "SI"),
            ("122.032 mg/L HCO3", Kind::Alkalinity, 2.0, "IUPAC 2021: HCO3 61.016 g/mol"),
            ("10.00869 fH", Kind::Alkalinity, 2.0, "French degree, 10 mg/L CaCO3 (common practice, no source)"),
            ("53 mS/cm", Kind::Conductivity, 5.3, "SI"),
            ("250 µS/cm", Kind::Conductivity, 0.025, "SI"),
            ("1 day", Kind::Time, 86_400.0, "NIST SP 811 table 6"),
            ("9 h 40 min", Kind::Time, 34_800.0, "NIST SP 811 table 6"),
            ("0.31 kWh", Kind::Energy, 1.116e6, "NIST SP 811 B.8: kilowatt hour 3.6 E+06"),
            ("1 hp", Kind::Power, 745.699_871_582_270_2, "NIST SP 811 B.8: horsepower (550 ft lbf/s) 7.456 999 E+02"),
            ("163 lb/ft2", Kind::FloorLoad, 163.0 * 4.882_427_636_383_051, "NIST SP 811 B.8: pound per square foot 4.882 428 E+00"),
            ("30 %", Kind::Fraction, 0.3, "SI"),
            ("62 EUR", Kind::Money, 62.0, "station's currency"),
            ("€62", Kind::Money, 62.0, "station's currency"),
            ("18 ct", Kind::Money, 0.18, "hundredth"),
            ("0.36 EUR/kWh", Kind::PricePerEnergy, 1e-7, "kilowatt hour 3.6 E+06"),
            ("4 EUR/m3", Kind::PricePerVolume, 4.0, "SI"),
            ("18 EUR/h", Kind::PricePerTime, 0.005, "NIST SP 811 table 6: hour 3600 s"),
            ("€18/h", Kind::PricePerTime, 0.005, "NIST SP 811 table 6: hour 3600 s"),
            ("30 ct/min", Kind::PricePerTime, 0.005, "NIST SP 811 table 6: minute 60 s"),
            ("2 ct/L", Kind::PricePerVolume, 20.0, "SI"),
            ("1 000 L", Kind::Volume, 1.0, "spaced thousands"),
            ("1e3 L", Kind::Volume, 1.0, "exponent"),
        ];
        for (text, kind, si, source) in cases {
            let got = read(text, kind).unwrap_or_else(|fault| panic!("{text}: {fault}"));
            let relative = if text.contains("dKH") { 1e-8 } else { 1e-14 };
            assert!(
                (got.si - si).abs() <= relative * si.abs(),
                "{text}: {} is not {si} ({source})",
                got.si
            );
        }
    }

    #[test]
    fn spreads_are_read_in_every_form() {
        check("38 L ± 0.5 L", Kind::Volume, 0.038, 0.0005);
        check("38 ± 0.5 L", Kind::Volume, 0.038, 0.0005);
        check("38 L ± 0.5", Kind::Volume, 0.038, 0.0005);
        check("38 L +/- 500 mL", Kind::Volume, 0.038, 0.0005);
        check("200 L ± 2 %", Kind::Volume, 0.2, 0.004);
        check("75 F ± 1.8 F", Kind::Temperature, 43.0 / 1.8, 1.0);
        check("24 C ± 1 C", Kind::Temperature, 24.0, 1.0);
        check("30 % ± 2 %", Kind::Fraction, 0.3, 0.02);
        check("0.93 ± 0.01", Kind::Fraction, 0.93, 0.01);
        check("5 ft 3 in ± 1/4 in", Kind::Length, 1.6002, 0.00635);
        let limits = read("38 L within 0.5 L", Kind::Volume).unwrap();
        assert_eq!(limits.spread, Spread::limits(0.0005));
    }

    #[track_caller]
    fn refuse(text: &str, kind: Kind, what: &str, mend: &str) {
        let fault = read(text, kind).expect_err(text);
        assert!(fault.what.contains(what), "{text}: {}", fault.what);
        assert!(fault.mend.contains(mend), "{text}: {}", fault.mend);
    }

    #[test]
    fn refusals_say_why_and_how_to_mend() {
        refuse(
            "200",
            Kind::Volume,
            "has no unit, where a volume is wanted",
            "\"200 L\"",
        );
        refuse(
            "3 bar",
            Kind::Volume,
            "`bar` measures a pressure, where a volume is wanted",
            "\"200 L\"",
        );
        refuse(
            "200 litrs",
            Kind::Volume,
            "`litrs` is no unit",
            "did you mean `L`?",
        );
        refuse("3,6 bar", Kind::Pressure, "comma", "\"3.6 bar\"");
        let price = "write it as \"4.10 EUR/m3\" or \"0.015 EUR/gal\"";
        refuse(
            "4 EUR per",
            Kind::PricePerVolume,
            "`EUR per` doesn't say for how much",
            price,
        );
        refuse(
            "4 EUR/",
            Kind::PricePerVolume,
            "`EUR/` doesn't say for how much",
            price,
        );
        refuse("", Kind::Length, "empty, where a length", "740 mm");
        refuse(
            "two weeks",
            Kind::Time,
            "doesn't begin with a number",
            "\"2 weeks\"",
        );
        refuse("lots", Kind::Length, "doesn't begin with a number", "740 mm");
        refuse("nan mm", Kind::Length, "doesn't begin with a number", "740 mm");
        refuse("1e999 mm", Kind::Length, "doesn't begin with a number", "740 mm");
        refuse("10 ft 6", Kind::Length, "the last number", "\"10 ft 6 in\"");
        refuse("10' 6", Kind::Length, "the last number", "\"10' 6 in\"");
        refuse("2 m 6", Kind::Length, "the last number", "each number its unit");
        refuse("9 h 40", Kind::Time, "the last number", "each number its unit");
        refuse("3 in 5 ft", Kind::Length, "from large to small", "5 ft 3 in");
        refuse("5 L 3 mL", Kind::Volume, "more than one value", "one number");
        refuse("38 L ± x", Kind::Volume, "no number", "± 0.5 L");
        refuse("38 L ± -1 L", Kind::Volume, "below zero", "± 0.5 L");
        refuse("24 C ± 2 %", Kind::Temperature, "no per cent", "±");
        refuse("38 L ± 2 bar", Kind::Volume, "`bar` measures a pressure", "200 L");
        refuse("62 USD", Kind::Money, "currency is EUR", "62 EUR");
        refuse("1/0 in", Kind::Length, "number", "mm");
    }
}
