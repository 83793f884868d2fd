//! One day of the calendar: "2026-09-14".

use core::fmt;

use time::{Date as Calendar, Month as CalendarMonth};

use super::{Context, FieldValue, Form, Raw};
use crate::file::clipped;
use crate::quantity::{QuantityFault, Spread};
use crate::sections::Month;

/// A day of the Gregorian calendar, from 2000 to 2100.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    day: Calendar,
}

/// First and last year of a date (house rule: what a station's records reach).
const YEARS: [i32; 2] = [2000, 2100];

const MEND: &str = "write year, month and day: \"2026-09-14\"";

impl Date {
    /// Reads a date as ISO 8601 writes it in full: year, month, day, `2026-09-14`.
    ///
    /// # Errors
    /// [`QuantityFault`] with the reason and the mend: a text of another form, a day that the calendar doesn't have, a year
    /// before 2000 or after 2100.
    ///
    /// # Examples
    /// ```
    /// use station::register::Date;
    /// let day = |text| Date::parse(text).map_err(|fault| fault.what);
    /// assert_eq!(day("2026-09-14")?.days_until(day("2027-09-14")?), 365);
    /// assert_eq!(day("2026-02-29"), Err("February 2026 has no day 29".to_owned()));
    /// # Ok::<(), String>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, QuantityFault> {
        let text = text.trim();
        let Some([year, month, day]) = numbers(text) else {
            return Err(no_date(text));
        };
        if !is_padded(text) {
            return Err(not_as_written(text, year, month, day));
        }
        on(year, month, day)
    }

    /// The day that lies so many days after 1 January 1970; nothing outside the range of a date.
    pub fn from_unix_day(days: i64) -> Option<Self> {
        let since = i64::from(Calendar::from_ordinal_date(1970, 1).ok()?.to_julian_day());
        let day = Calendar::from_julian_day(i32::try_from(since + days).ok()?).ok()?;
        let [first, last] = YEARS;
        (first..=last).contains(&day.year()).then_some(Self { day })
    }

    /// Days from this day to a later one; negative where that one is earlier.
    pub fn days_until(self, later: Self) -> i64 {
        i64::from(later.day.to_julian_day()) - i64::from(self.day.to_julian_day())
    }
}

impl fmt::Display for Date {
    /// As it stands in a file.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.day.to_calendar_date();
        write!(f, "{year:04}-{:02}-{day:02}", u8::from(month))
    }
}

impl FieldValue for Date {
    const FORM: Form = Form::Date;

    fn read(raw: &Raw<'_>, _context: &Context) -> Result<(Self, Spread), QuantityFault> {
        match raw {
            Raw::Text(text) => Self::parse(text),
            // Without quotes it can't mean anything else.
            Raw::Date(text) => Self::parse(text),
            _ => Err(QuantityFault::new("a date is a text", MEND)),
        }
        .map(|date| (date, Spread::NONE))
    }
}

/// The three numbers between hyphens.
fn numbers(text: &str) -> Option<[u16; 3]> {
    let mut parts = text.split('-');
    let mut next = || {
        let part = parts.next()?;
        let digits = (1..=4).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
        part.parse::<u16>().ok().filter(|_| digits)
    };
    let all = [next()?, next()?, next()?];
    parts.next().is_none().then_some(all)
}

/// Whether the numbers have the digits that ISO 8601 gives them: four, two and two.
fn is_padded(text: &str) -> bool {
    text.split('-').map(str::len).eq([4, 2, 2])
}

/// That day, where the calendar has it.
fn on(year: u16, month: u16, day: u16) -> Result<Date, QuantityFault> {
    let [first, last] = YEARS;
    if !(first..=last).contains(&i32::from(year)) {
        return Err(QuantityFault::new(
            format!("the year {year} is outside what it can be"),
            format!("it lies between {first} and {last}"),
        ));
    }
    let named = u8::try_from(month).ok().and_then(|number| {
        let word = Month::ALL.get(usize::from(number).checked_sub(1)?)?;
        Some((CalendarMonth::try_from(number).ok()?, word.word()))
    });
    let Some((month, word)) = named else {
        return Err(QuantityFault::new(
            format!("there is no month {month}"),
            "the months go from 01 to 12, between the year and the day: \"2026-09-14\"",
        ));
    };
    u8::try_from(day)
        .ok()
        .and_then(|day| Calendar::from_calendar_date(i32::from(year), month, day).ok())
        .map(|day| Date { day })
        .ok_or_else(|| {
            let days = month.length(i32::from(year));
            QuantityFault::new(
                format!("{word} {year} has no day {day}"),
                format!("the days of {word} {year} go from 1 to {days}"),
            )
        })
}

/// Numbers in the right order that want zeros before them; otherwise nothing is known of what they mean.
fn not_as_written(text: &str, year: u16, month: u16, day: u16) -> QuantityFault {
    let ordered = text.find('-') == Some(4);
    match on(year, month, day) {
        Ok(date) if ordered => QuantityFault::new(
            format!("`{}` is no date", clipped(text)),
            format!("write \"{date}\""),
        ),
        _ => no_date(text),
    }
}

fn no_date(text: &str) -> QuantityFault {
    QuantityFault::new(format!("`{}` is no date", clipped(text)), MEND)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::sections::FailureFields;

    fn read(text: &str) -> Date {
        Date::parse(text).unwrap()
    }

    /// Counts on the calendar: a leap year each fourth year, but not 2100, a century that 400 doesn't divide (the Gregorian
    /// rule, from memory).
    #[test]
    fn days_are_counted_over_months_and_leap_years() {
        for (from, to, days) in [
            ("2026-09-14", "2026-09-14", 0),
            ("2026-09-14", "2026-09-15", 1),
            ("2026-12-31", "2027-01-01", 1),
            ("2024-02-28", "2024-03-01", 2),
            ("2000-02-28", "2000-03-01", 2),
            ("2100-02-28", "2100-03-01", 1),
            ("2026-09-14", "2027-09-14", 365),
            ("2027-09-14", "2028-09-14", 366),
            // 100 years with 25 leap days: 2000 to 2096.
            ("2000-01-01", "2100-01-01", 36_525),
        ] {
            assert_eq!(read(from).days_until(read(to)), days, "{from} to {to}");
            assert_eq!(read(to).days_until(read(from)), -days, "{to} to {from}");
        }
    }

    /// Every day in turn, from the first to the last, one after the other by the lengths of the months.
    #[test]
    fn every_day_reads_as_it_is_shown() {
        let first = read("2000-01-01");
        let mut count = 0;
        for year in 2000..=2100_u32 {
            let leap = year % 4 == 0 && year != 2100;
            for (month, days) in (1..).zip([31, 28 + u32::from(leap), 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
            {
                for day in 1..=days {
                    let text = format!("{year}-{month:02}-{day:02}");
                    let date = read(&text);
                    assert_eq!((date.to_string(), first.days_until(date)), (text, count));
                    count += 1;
                }
                assert!(Date::parse(&format!("{year}-{month:02}-{:02}", days + 1)).is_err());
            }
        }
        assert_eq!(read(" 2026-09-14 "), read("2026-09-14"));
    }

    /// The range that the register shows is the one that the reader holds.
    #[test]
    fn the_range_is_what_is_read() {
        let field = FailureFields::SPEC
            .fields
            .iter()
            .find(|field| field.key == "tested_last");
        let (least, most) = field.and_then(|field| field.range).unwrap();
        assert_eq!([least, most], ["2000-01-01", "2100-12-31"]);
        assert!(read(least) < read(most));
        for text in ["1999-12-31", "2101-01-01"] {
            assert!(Date::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn what_is_no_date_is_mended() {
        let months = "the months go from 01 to 12, between the year and the day: \"2026-09-14\"";
        for (text, what, mend) in [
            (
                "2026-02-29",
                "February 2026 has no day 29",
                "the days of February 2026 go from 1 to 28",
            ),
            (
                "2028-02-30",
                "February 2028 has no day 30",
                "the days of February 2028 go from 1 to 29",
            ),
            (
                "2026-09-31",
                "September 2026 has no day 31",
                "the days of September 2026 go from 1 to 30",
            ),
            (
                "2026-09-00",
                "September 2026 has no day 0",
                "the days of September 2026 go from 1 to 30",
            ),
            ("2026-14-09", "there is no month 14", months),
            ("2026-00-09", "there is no month 0", months),
            (
                "1926-09-14",
                "the year 1926 is outside what it can be",
                "it lies between 2000 and 2100",
            ),
            (
                "2206-09-14",
                "the year 2206 is outside what it can be",
                "it lies between 2000 and 2100",
            ),
            ("2026-9-14", "`2026-9-14` is no date", "write \"2026-09-14\""),
            ("2026-9-4", "`2026-9-4` is no date", "write \"2026-09-04\""),
            ("14-09-2026", "`14-09-2026` is no date", MEND),
            ("26-09-14", "`26-09-14` is no date", MEND),
            ("2026-09", "`2026-09` is no date", MEND),
            ("2026-09-14-01", "`2026-09-14-01` is no date", MEND),
            ("2026-09-14T08:30", "`2026-09-14T08:30` is no date", MEND),
            ("2026/09/14", "`2026/09/14` is no date", MEND),
            ("14 September 2026", "`14 September 2026` is no date", MEND),
            ("14.9.2026", "`14.9.2026` is no date", MEND),
            ("+2026-09-14", "`+2026-09-14` is no date", MEND),
            ("٢٠٢٦-٠٩-١٤", "`٢٠٢٦-٠٩-١٤` is no date", MEND),
            ("", "`` is no date", MEND),
        ] {
            assert_eq!(Date::parse(text), Err(QuantityFault::new(what, mend)), "{text}");
        }
        let raw = |raw: Raw<'_>| Date::read(&raw, &Context::default()).map(|(date, _)| date);
        assert_eq!(raw(Raw::Date("2026-09-14".into())), Ok(read("2026-09-14")));
        assert!(raw(Raw::Date("08:30:00".into())).is_err());
        assert_eq!(
            raw(Raw::Number("2026".into())),
            Err(QuantityFault::new("a date is a text", MEND))
        );
    }

    proptest! {
        /// Whatever stands there: a date that is shown as it stood, or a fault with its mend.
        #[test]
        fn any_text_ends_well(text in prop_oneof!["\\PC{0,20}", "[0-9]{0,5}-[0-9]{0,3}-[0-9]{0,3}"]) {
            match Date::parse(&text) {
                Ok(date) => prop_assert_eq!(date.to_string(), text.trim()),
                Err(fault) => prop_assert!(!fault.what.is_empty() && !fault.mend.is_empty()),
            }
        }
    }
}
