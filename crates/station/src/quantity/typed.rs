//! What somebody types in a field, as a file writes it: a bare number takes the unit that the field shows.
//!
//! A file always says its units; a page shows one beside each field. Where a bare number may mean two things, nobody guesses.

use super::number::number_and_rest;
use super::read::{next_number, split_spread};
use super::{Currency, Kind, QuantityFault, read_amount};

/// The unit that a quantity is written in: `L` of `80 L ± 2 L`. Nothing where it has none, or more than one.
///
/// # Examples
/// ```
/// use station::quantity::written_unit;
/// assert_eq!(written_unit("80 L ± 2 L"), Some("L"));
/// assert_eq!(written_unit("5 ft 3 in"), None);
/// ```
pub fn written_unit(text: &str) -> Option<&str> {
    let (value, _) = split_spread(text.trim());
    let (_, unit) = number_and_rest(value)?;
    (!unit.is_empty() && next_number(unit) == unit.len()).then_some(unit)
}

/// What is typed in a field, as it would stand in a file; `shown` is the unit that the field shows.
///
/// A bare number takes that unit, a bare number above one the per cent where a share is wanted; `weekly` and `every 2 weeks`
/// are times. All else comes back as it was typed, for the reader to judge.
///
/// # Errors
/// [`QuantityFault`] where a bare number may mean two things: `0.5` beside a `%`.
pub fn as_written(text: &str, kind: Kind, shown: Option<&str>) -> Result<String, QuantityFault> {
    let text = text.trim();
    if kind == Kind::Time
        && let Some(period) = period(text)
    {
        return Ok(period);
    }
    let (value, spread) = split_spread(text);
    let Some((number, "")) = number_and_rest(value) else {
        return Ok(text.to_owned());
    };
    // `38 ± 0.5 L` has its unit already.
    let bare = |text: &str| matches!(number_and_rest(text), Some((_, "")));
    let own = spread.map(|(_, spread)| spread);
    if own.is_some_and(|own| !bare(own) && !own.ends_with('%')) {
        return Ok(text.to_owned());
    }
    let unit = match (kind, shown) {
        (Kind::Fraction, shown) => per_cent(number, value, shown)?,
        (kind, _) if kind.is_unitless() => None,
        (_, shown) => shown,
    };
    let Some(unit) = unit else {
        return Ok(text.to_owned());
    };
    // A bare doubt of a share would be a share itself.
    let end = match own {
        Some(own) if bare(own) => format!(" {unit}"),
        _ => String::new(),
    };
    Ok(format!("{value} {unit}{}{end}", blank(&text[value.len()..])))
}

/// What follows a unit stands off from it.
fn blank(rest: &str) -> String {
    match rest.starts_with(|c: char| !c.is_whitespace()) {
        true => format!(" {rest}"),
        false => rest.to_owned(),
    }
}

/// The per cent of a bare share, where it can't be anything else: up to two it may be a share as it is.
fn per_cent(number: f64, value: &str, shown: Option<&str>) -> Result<Option<&'static str>, QuantityFault> {
    let size = number.abs();
    match shown {
        Some("%") if size > 1.0 => Ok(Some("%")),
        Some("%") if size > 0.0 => {
            let hundredfold = (number * 100.0 * 1e9).round() / 1e9;
            Err(QuantityFault::new(
                format!("`{value}` may be {value} % or {hundredfold} %"),
                format!("write \"{value} %\" or \"{hundredfold} %\", whichever you mean"),
            ))
        }
        _ if size > 2.0 => Ok(Some("%")),
        _ => Ok(None),
    }
}

/// A time in words, or told as how often, as a file writes it: `two weeks`, `weekly`, `every 2 weeks`, `twice a week`. Nothing
/// where it is neither.
pub(super) fn period(text: &str) -> Option<String> {
    let lower = text.to_lowercase();
    let every = ["once every ", "once a ", "every ", "each "]
        .into_iter()
        .find_map(|begin| lower.strip_prefix(begin));
    let words: Vec<&str> = every.unwrap_or(&lower).split_whitespace().collect();
    let whole = match words.as_slice() {
        ["hourly" | "hour"] => "1 h",
        ["daily" | "day"] => "1 day",
        ["weekly" | "week"] => "1 week",
        ["fortnightly" | "fortnight"] | ["other" | "second", "week"] => "2 weeks",
        ["monthly" | "month"] => "1 month",
        ["quarterly" | "quarter"] => "3 months",
        ["yearly" | "annually" | "year"] => "1 year",
        ["other" | "second", "day"] => "2 days",
        ["half", "an", "hour"] => "30 min",
        ["twice", "a" | "per", "day"] | ["twice", "daily"] => "12 h",
        ["twice", "a" | "per", "week"] | ["twice", "weekly"] => "3.5 days",
        ["a" | "an" | "one", "fortnight"] => "2 weeks",
        ["two", "fortnights"] => "4 weeks",
        [count, unit] if number(count).is_some() && is_time(unit) => {
            return number(count).map(|count| format!("{count} {unit}"));
        }
        // `every 10 days`: what is left is a time.
        _ => {
            return every
                .filter(|own| number_and_rest(own).is_some())
                .map(str::to_owned);
        }
    };
    Some(whole.to_owned())
}

fn number(word: &str) -> Option<usize> {
    match word {
        "a" | "an" => Some(1),
        word => NUMBERS.iter().position(|own| *own == word).map(|at| at + 1),
    }
}

const NUMBERS: [&str; 12] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
];

fn is_time(unit: &str) -> bool {
    read_amount(&format!("1 {unit}"), Kind::Time, &Currency::default()).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Currency, read_amount};

    #[test]
    fn a_bare_number_takes_the_unit_that_is_shown() {
        for (text, kind, shown, written) in [
            ("30", Kind::Volume, Some("gal"), "30 gal"),
            ("29 1/4", Kind::Length, Some("in"), "29 1/4 in"),
            ("1 200", Kind::Volume, Some("L"), "1 200 L"),
            ("30 ± 2", Kind::Volume, Some("L"), "30 L ± 2 L"),
            ("30±2", Kind::Volume, Some("L"), "30 L ±2 L"),
            ("30 ± 2 %", Kind::Volume, Some("L"), "30 L ± 2 %"),
            ("30 ± 2 L", Kind::Volume, Some("gal"), "30 ± 2 L"),
            ("30 L", Kind::Volume, Some("gal"), "30 L"),
            ("-2", Kind::Temperature, Some("C"), "-2 C"),
            ("0.3", Kind::PricePerEnergy, Some("EUR/kWh"), "0.3 EUR/kWh"),
            ("35", Kind::Salinity, None, "35"),
            ("4", Kind::Number, None, "4"),
            ("15", Kind::Fraction, Some("%"), "15 %"),
            ("15 ± 2", Kind::Fraction, Some("%"), "15 % ± 2 %"),
            ("15", Kind::Fraction, None, "15 %"),
            ("0.15", Kind::Fraction, None, "0.15"),
            ("0.15 ± 0.02", Kind::Fraction, None, "0.15 ± 0.02"),
            ("0", Kind::Fraction, Some("%"), "0"),
            ("10 %", Kind::Fraction, None, "10 %"),
            ("weekly", Kind::Time, Some("week"), "1 week"),
            ("Every other week", Kind::Time, None, "2 weeks"),
            ("every 10 days", Kind::Time, None, "10 days"),
            ("once a month", Kind::Time, None, "1 month"),
            ("3", Kind::Time, Some("days"), "3 days"),
            ("two weeks", Kind::Time, Some("week"), "2 weeks"),
            ("a month", Kind::Time, None, "1 month"),
            ("every three days", Kind::Time, None, "3 days"),
            ("every other day", Kind::Time, None, "2 days"),
            ("Twice a week", Kind::Time, Some("week"), "3.5 days"),
            ("once every ten days", Kind::Time, None, "10 days"),
            ("half an hour", Kind::Time, Some("min"), "30 min"),
        ] {
            let own = as_written(text, kind, shown);
            assert_eq!(own.as_deref(), Ok(written), "{text}");
            assert!(
                read_amount(written, kind, &Currency::default()).is_ok(),
                "{written}"
            );
        }
    }

    #[test]
    fn what_nobody_can_know_is_asked_or_left() {
        let fault = as_written("0.5", Kind::Fraction, Some("%")).expect_err("half of what");
        assert_eq!(fault.mend, "write \"0.5 %\" or \"50 %\", whichever you mean");
        // Without a unit to be seen, with words, with a unit of another kind: for the reader to judge.
        for (text, kind, shown) in [
            ("30", Kind::Volume, None),
            ("lots", Kind::Volume, Some("L")),
            ("10 %", Kind::Volume, Some("L")),
            ("now and then", Kind::Time, Some("week")),
            ("two times", Kind::Time, Some("week")),
            ("every now and then", Kind::Time, Some("week")),
            ("", Kind::Length, Some("mm")),
            ("é", Kind::Time, Some("h")),
        ] {
            assert_eq!(as_written(text, kind, shown).as_deref(), Ok(text));
        }
    }

    #[test]
    fn the_unit_of_a_quantity_is_found() {
        for (text, unit) in [
            ("80 L ± 2 L", Some("L")),
            ("29 1/4 in", Some("in")),
            ("4 EUR/m3", Some("EUR/m3")),
            ("15 %", Some("%")),
            ("0.93 ± 0.02", None),
            ("5 ft 3 in", None),
            ("5' 3\"", None),
            ("9 h 40 min", None),
            ("weekly", None),
        ] {
            assert_eq!(written_unit(text), unit, "{text}");
        }
    }
}
