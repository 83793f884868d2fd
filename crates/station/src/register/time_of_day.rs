//! A time of the day, by the clock of 24 hours: "08:00".

use core::fmt;

use super::{Context, FieldValue, Form, Raw};
use crate::file::clipped;
use crate::quantity::{QuantityFault, Spread};

/// A time of the day, to the minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct TimeOfDay {
    minutes: u16,
}

const MEND: &str = "write hours and minutes of a day of 24 hours: \"08:00\", \"17:30\"";

impl TimeOfDay {
    /// Time since midnight, s; below 86 400.
    pub fn s_after_midnight(self) -> f64 {
        60.0 * f64::from(self.minutes)
    }

    /// The hour, 0 to 23.
    pub fn hour(self) -> u16 {
        self.minutes / 60
    }

    /// The minute of the hour, 0 to 59.
    pub fn minute(self) -> u16 {
        self.minutes % 60
    }
}

impl fmt::Display for TimeOfDay {
    /// As it stands in a file.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.hour(), self.minute())
    }
}

impl FieldValue for TimeOfDay {
    const FORM: Form = Form::TimeOfDay;

    fn read(raw: &Raw<'_>, _context: &Context) -> Result<(Self, Spread), QuantityFault> {
        let Raw::Text(text) = raw else {
            return Err(QuantityFault::new("a time of the day is a text in quotes", MEND));
        };
        let text = text.trim();
        let Some(minutes) = clock(text) else {
            let mend = match meant(text) {
                Some(time) => format!("write \"{time}\""),
                None => MEND.to_owned(),
            };
            return Err(QuantityFault::new(
                format!("`{}` is no time of the day", clipped(text)),
                mend,
            ));
        };
        Ok((Self { minutes }, Spread::NONE))
    }
}

/// Minutes after midnight, of `h:mm` or `hh:mm`.
fn clock(text: &str) -> Option<u16> {
    let (hour, minute) = text.split_once(':')?;
    at(number(hour, 1..=2)?, number(minute, 2..=2)?)
}

fn at(hour: u16, minute: u16) -> Option<u16> {
    (hour < 24 && minute < 60).then_some(60 * hour + minute)
}

/// A number of so many digits.
fn number(text: &str, digits: core::ops::RangeInclusive<usize>) -> Option<u16> {
    let sound = digits.contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|_| sound)
}

/// What somebody means who writes it another way: `8`, `8.30`, `5:30 pm`, `24:00`.
fn meant(text: &str) -> Option<TimeOfDay> {
    let text = text.to_lowercase().replace("a.m.", "am").replace("p.m.", "pm");
    let (clock, half) = ["am", "pm"]
        .into_iter()
        .find_map(|half| Some((text.strip_suffix(half)?, Some(half))))
        .unwrap_or((&text, None));
    let clock = clock.trim().trim_end_matches([':', '.', 'h']);
    let (hour, minute) = clock.split_once([':', '.', 'h']).unwrap_or((clock, "00"));
    let (hour, minute) = (number(hour.trim(), 1..=2)?, number(minute.trim(), 2..=2)?);
    let hour = match (half, hour) {
        (None, 24) if minute == 0 => 0,
        (None, hour) => hour,
        (Some("am"), 12) => 0,
        (Some("pm"), 1..=11) => hour + 12,
        (Some(_), 1..=12) => hour,
        (Some(_), _) => return None,
    };
    at(hour, minute).map(|minutes| TimeOfDay { minutes })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<TimeOfDay, QuantityFault> {
        TimeOfDay::read(&Raw::Text(text), &Context::default()).map(|(time, _)| time)
    }

    #[test]
    fn a_time_is_hours_and_minutes() {
        for (text, s, shown) in [
            ("08:00", 28_800.0, "08:00"),
            ("8:05", 29_100.0, "08:05"),
            ("17:30", 63_000.0, "17:30"),
            ("0:00", 0.0, "00:00"),
            (" 23:59 ", 86_340.0, "23:59"),
        ] {
            let time = read(text).unwrap_or_else(|fault| panic!("{text}: {fault}"));
            assert!((time.s_after_midnight() - s).abs() < 1e-9, "{text}");
            assert_eq!(time.to_string(), shown, "{text}");
        }
    }

    #[test]
    fn what_is_no_time_is_mended() {
        for (text, mend) in [
            ("8", "write \"08:00\""),
            ("8.30", "write \"08:30\""),
            ("9h45", "write \"09:45\""),
            ("5:30 pm", "write \"17:30\""),
            ("12 a.m.", "write \"00:00\""),
            ("12:15 PM", "write \"12:15\""),
            ("24:00", "write \"00:00\""),
            ("24:01", MEND),
            ("13 pm", MEND),
            ("0 am", MEND),
            ("8:5", MEND),
            ("08:60", MEND),
            ("+8:00", MEND),
            ("008:00", MEND),
            ("08:00:00", MEND),
            ("noon", MEND),
            ("", MEND),
            (":", MEND),
        ] {
            let what = format!("`{text}` is no time of the day");
            assert_eq!(read(text), Err(QuantityFault::new(what, mend)), "{text}");
        }
        let bare = TimeOfDay::read(&Raw::Date("07:32:00".into()), &Context::default());
        assert!(bare.is_err_and(|fault| fault.mend == MEND));
    }
}
