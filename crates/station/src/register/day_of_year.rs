//! A day of every year: "20 July".

use core::fmt;

use super::{Context, FieldValue, Form, Raw};
use crate::file::clipped;
use crate::quantity::{QuantityFault, Spread};
use crate::sections::Month;

/// A day of a year of 365 days.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct DayOfYear {
    index: u16,
}

/// Days of a year.
const YEAR: u16 = 365;
/// Days of each month, from January, in a year of 365 days.
const DAYS: [u16; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

const MEND: &str = "write the day and the month: \"20 July\"";

impl DayOfYear {
    /// The first day of a month.
    pub fn first_of(month: Month) -> Self {
        let before = month.months_after(Month::January);
        Self {
            index: DAYS.iter().take(before).sum(),
        }
    }

    /// Days after the first of January, 0 to 364.
    pub fn index(self) -> u16 {
        self.index
    }

    /// Days from another one to this one, 0 to 364, over the end of the year where this one comes first in it.
    pub fn days_after(self, other: Self) -> u16 {
        (self.index + YEAR - other.index) % YEAR
    }

    /// The day of its month, from 1, and the month.
    pub fn day_and_month(self) -> (u16, Month) {
        let mut left = self.index;
        for (days, month) in DAYS.into_iter().zip(Month::ALL) {
            if left < days {
                return (left + 1, month);
            }
            left -= days;
        }
        (DAYS[11], Month::December)
    }
}

impl fmt::Display for DayOfYear {
    /// As it stands in a file.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (day, month) = self.day_and_month();
        write!(f, "{day} {}", month.word())
    }
}

impl FieldValue for DayOfYear {
    const FORM: Form = Form::DayOfYear;

    fn read(raw: &Raw<'_>, _context: &Context) -> Result<(Self, Spread), QuantityFault> {
        let text = match raw {
            Raw::Text(text) => text.trim(),
            Raw::Date(_) => {
                return Err(QuantityFault::new(
                    "a date stands where a day of every year is wanted",
                    MEND,
                ));
            }
            _ => return Err(QuantityFault::new("a day of the year is a text", MEND)),
        };
        let words: Vec<&str> = text.split_whitespace().collect();
        let (day, month) = match words.as_slice() {
            // Either order is clear, since the month is a word.
            [first, second] if first.starts_with(|c: char| c.is_ascii_digit()) => (*first, *second),
            [first, second] => (*second, *first),
            _ => return Err(no_day(text)),
        };
        let digits = (1..=2).contains(&day.len()) && day.bytes().all(|byte| byte.is_ascii_digit());
        let (Some(number), Some(known)) = (day.parse().ok().filter(|_| digits), Month::from_word(month))
        else {
            let number = leading_number(day);
            return Err(match (number, near_month(month)) {
                (Some(number), Some(near)) => QuantityFault::new(
                    format!("`{}` is no day of the year", clipped(text)),
                    format!("write \"{number} {}\"", near.word()),
                ),
                _ => no_day(text),
            });
        };
        on(number, known).map(|day| (day, Spread::NONE))
    }
}

/// That day of that month.
fn on(day: u16, month: Month) -> Result<DayOfYear, QuantityFault> {
    let word = month.word();
    let days = DAYS[month.months_after(Month::January)];
    if month == Month::February && day == 29 {
        return Err(QuantityFault::new(
            "29 February comes only every fourth year",
            "write \"28 February\" or \"1 March\"",
        ));
    }
    if !(1..=days).contains(&day) {
        return Err(QuantityFault::new(
            format!("{word} has no day {day}"),
            format!("the days of {word} go from 1 to {days}"),
        ));
    }
    Ok(DayOfYear {
        index: DayOfYear::first_of(month).index + day - 1,
    })
}

fn no_day(text: &str) -> QuantityFault {
    let what = format!("`{}` is no day of the year", clipped(text));
    let numbers = text.bytes().any(|byte| byte.is_ascii_digit()) && !text.chars().any(char::is_alphabetic);
    QuantityFault::new(
        what,
        if numbers {
            "write the month as a word, since numbers alone are read both ways: \"20 July\""
        } else {
            MEND
        },
    )
}

/// The number that `20th` and `20.` begin with.
fn leading_number(text: &str) -> Option<u16> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    text[..digits].parse().ok().filter(|_| digits <= 2)
}

/// The month that a word begins or comes close to.
fn near_month(word: &str) -> Option<Month> {
    let lower = word.trim_matches(['.', ',']).to_lowercase();
    let name = |month: Month| month.word().to_lowercase();
    let begun = |month: &Month| lower.chars().count() >= 3 && name(*month).starts_with(&lower);
    Month::ALL.into_iter().find(begun).or_else(|| {
        Month::ALL
            .into_iter()
            .map(|month| (strsim::damerau_levenshtein(&name(month), &lower), month))
            .filter(|(distance, _)| *distance <= 2)
            .min_by_key(|(distance, _)| *distance)
            .map(|(_, month)| month)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<DayOfYear, QuantityFault> {
        DayOfYear::read(&Raw::Text(text), &Context::default()).map(|(day, _)| day)
    }

    /// Ordinal dates of a common year by ISO 8601 (from memory), less one.
    #[test]
    fn a_day_has_its_number() {
        for (text, index) in [
            ("1 January", 0),
            ("31 January", 30),
            ("28 February", 58),
            ("1 March", 59),
            ("20 July", 200),
            ("July 20", 200),
            (" 04  July ", 184),
            ("31 December", 364),
        ] {
            assert_eq!(read(text).map(DayOfYear::index), Ok(index), "{text}");
        }
    }

    #[test]
    fn every_day_of_the_year_reads_as_it_is_shown() {
        for index in 0..YEAR {
            let day = DayOfYear { index };
            assert_eq!(read(&day.to_string()), Ok(day));
        }
        let day = |text| read(text).unwrap();
        assert_eq!(day("4 January").days_after(day("22 December")), 13);
        assert_eq!(day("20 August").days_after(day("20 June")), 61);
        assert_eq!(day("20 June").days_after(day("20 June")), 0);
    }

    #[test]
    fn what_is_no_day_is_mended() {
        let numbers = "write the month as a word, since numbers alone are read both ways: \"20 July\"";
        for (text, what, mend) in [
            (
                "29 February",
                "29 February comes only every fourth year",
                "write \"28 February\" or \"1 March\"",
            ),
            (
                "31 June",
                "June has no day 31",
                "the days of June go from 1 to 30",
            ),
            ("0 May", "May has no day 0", "the days of May go from 1 to 31"),
            ("20 july", "`20 july` is no day of the year", "write \"20 July\""),
            ("20 Jul", "`20 Jul` is no day of the year", "write \"20 July\""),
            (
                "20th July",
                "`20th July` is no day of the year",
                "write \"20 July\"",
            ),
            (
                "Sept. 3rd",
                "`Sept. 3rd` is no day of the year",
                "write \"3 September\"",
            ),
            (
                "3 Febuary",
                "`3 Febuary` is no day of the year",
                "write \"3 February\"",
            ),
            ("20 Thermidor", "`20 Thermidor` is no day of the year", MEND),
            ("July", "`July` is no day of the year", MEND),
            ("20/7", "`20/7` is no day of the year", numbers),
            ("20 7", "`20 7` is no day of the year", numbers),
            ("2026-07-20", "`2026-07-20` is no day of the year", numbers),
            ("20 July 2026", "`20 July 2026` is no day of the year", MEND),
            ("100 July", "`100 July` is no day of the year", MEND),
            ("", "`` is no day of the year", MEND),
        ] {
            assert_eq!(read(text), Err(QuantityFault::new(what, mend)), "{text}");
        }
        let date = DayOfYear::read(&Raw::Date("2026-07-20".into()), &Context::default());
        assert!(date.is_err_and(|fault| fault.what.starts_with("a date stands")));
    }
}
