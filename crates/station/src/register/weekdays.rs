//! Days of the week: "every day", "Monday to Friday", "Monday, Wednesday, Saturday".

use super::{Context, FieldValue, Form, Raw};
use crate::file::clipped;
use crate::quantity::{QuantityFault, Spread};

/// Some days of the week, one at least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Weekdays {
    from_monday: [bool; 7],
}

/// The seven, from Monday.
pub const WEEKDAYS: [&str; 7] = [
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
];

const MEND: &str = "write \"every day\", \"Monday to Friday\" or \"Monday, Wednesday, Saturday\"";

impl Weekdays {
    /// Whether each day is among them, from Monday.
    pub fn from_monday(self) -> [bool; 7] {
        self.from_monday
    }

    /// Whether a day is among them, counted from Monday as 0; the eighth is a Monday again.
    pub fn has(self, day: usize) -> bool {
        self.from_monday[day % 7]
    }

    /// How many they are, 1 to 7.
    pub fn count(self) -> usize {
        self.from_monday.iter().filter(|here| **here).count()
    }
}

impl FieldValue for Weekdays {
    const FORM: Form = Form::Weekdays;

    fn read(raw: &Raw<'_>, _context: &Context) -> Result<(Self, Spread), QuantityFault> {
        let text = match raw {
            Raw::Text(text) => text,
            Raw::Texts(days) => {
                return Err(QuantityFault::new(
                    "a list stands where days of the week are wanted",
                    format!("write them in one text: \"{}\"", days.join(", ")),
                ));
            }
            _ => return Err(QuantityFault::new("days of the week are a text", MEND)),
        };
        Self::read_words(text).map_err(|fault| match meant(text) {
            // A word by itself has its own guess.
            Some(days) if text.contains(|c: char| !c.is_alphabetic()) && days != text.trim() => {
                QuantityFault::new(fault.what, format!("write \"{days}\""))
            }
            _ => fault,
        })
    }
}

impl Weekdays {
    fn read_words(text: &str) -> Result<(Self, Spread), QuantityFault> {
        let spaced = text.replace(',', " , ");
        let words: Vec<&str> = spaced.split_whitespace().collect();
        let mut from_monday = [false; 7];
        let mut rest = match words.as_slice() {
            [] => return Err(QuantityFault::new("no day of the week is named", MEND)),
            ["every", "day"] => {
                from_monday = [true; 7];
                return Ok((Self { from_monday }, Spread::NONE));
            }
            words => words,
        };
        loop {
            rest = match rest {
                [first, "to", last, rest @ ..] => {
                    mark(&mut from_monday, day(first)?, day(last)?)?;
                    rest
                }
                [first, rest @ ..] => {
                    from_monday[day(first)?] = true;
                    rest
                }
                [] => {
                    return Err(QuantityFault::new(
                        "a day of the week is missing at the end",
                        MEND,
                    ));
                }
            };
            rest = match rest {
                [] => return Ok((Self { from_monday }, Spread::NONE)),
                [",", "and", rest @ ..] | ["," | "and", rest @ ..] => rest,
                [word, ..] => {
                    return Err(QuantityFault::new(
                        format!("`{}` stands between days of the week", clipped(word)),
                        "set the days apart by commas, or join the first and the last by `to`",
                    ));
                }
            };
        }
    }
}

/// From a day to a day, over the end of the week where the second comes first in it.
fn mark(from_monday: &mut [bool; 7], first: usize, last: usize) -> Result<(), QuantityFault> {
    if first == last {
        let name = WEEKDAYS[first];
        return Err(QuantityFault::new(
            format!("`{name} to {name}` may be one day or all of them"),
            format!("write \"{name}\" or \"every day\""),
        ));
    }
    for step in 0..=(last + 7 - first) % 7 {
        from_monday[(first + step) % 7] = true;
    }
    Ok(())
}

/// Which day a word is, from Monday.
fn day(word: &str) -> Result<usize, QuantityFault> {
    if let Some(at) = WEEKDAYS.iter().position(|day| *day == word) {
        return Ok(at);
    }
    let lower = word.to_lowercase();
    let spans = |first: &str, last: &str| format!("write \"{first} to {last}\"");
    let mend = match lower.as_str() {
        "daily" | "every" | "always" | "all" => "write \"every day\"".to_owned(),
        "weekday" | "weekdays" | "workdays" => spans("Monday", "Friday"),
        "weekend" | "weekends" => spans("Saturday", "Sunday"),
        _ => match nearest(&lower) {
            Some(name) => format!("did you mean `{name}`?"),
            None => MEND.to_owned(),
        },
    };
    Err(QuantityFault::new(
        format!("`{}` is no day of the week", clipped(word)),
        mend,
    ))
}

/// Days of the week as somebody says them, in the words of the file: `Mon-Fri` is `Monday to Friday`. Nothing where a word is
/// no day.
///
/// # Examples
/// ```
/// use station::register::days_meant;
/// assert_eq!(days_meant("mon-fri, Sun").as_deref(), Some("Monday to Friday, Sunday"));
/// assert_eq!(days_meant("when I can"), None);
/// ```
pub fn meant(text: &str) -> Option<String> {
    let mut said = text.to_lowercase();
    for (sign, word) in [
        ("-", " to "),
        ("–", " to "),
        ("/", " , "),
        (",", " , "),
        ("&", " , "),
    ] {
        said = said.replace(sign, word);
    }
    let mut out = String::new();
    let (mut behind_day, mut joined) = (false, "");
    for word in said.split_whitespace() {
        let days = match word {
            "to" | "through" | "thru" | "until" if behind_day => {
                joined = " to ";
                continue;
            }
            "," | "and" if joined != " to " => {
                joined = ", ";
                continue;
            }
            "weekdays" | "workdays" => "Monday to Friday",
            "weekend" | "weekends" => "Saturday to Sunday",
            "daily" => "every day",
            word => nearest(word.trim_end_matches('.'))?,
        };
        if behind_day {
            // Days that only stand beside each other are told one by one.
            out.push_str(if joined.is_empty() { ", " } else { joined });
        }
        out.push_str(days);
        (behind_day, joined) = (true, "");
    }
    // What ends with `to` or a comma lacks a day.
    let is_read = joined.is_empty() && Weekdays::read_words(&out).is_ok();
    is_read.then_some(out)
}

/// The day that a word begins or comes close to.
fn nearest(lower: &str) -> Option<&'static str> {
    // "Mon-Fri" is near Monday at least.
    let letters: String = lower.chars().take_while(|c| c.is_alphabetic()).collect();
    let begun = |day: &&&str| letters.chars().count() >= 2 && day.to_lowercase().starts_with(&letters);
    WEEKDAYS.iter().find(begun).copied().or_else(|| {
        WEEKDAYS
            .iter()
            .map(|day| (strsim::damerau_levenshtein(&day.to_lowercase(), lower), *day))
            .filter(|(distance, _)| *distance <= 2)
            .min()
            .map(|(_, day)| day)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<[bool; 7], QuantityFault> {
        Weekdays::read(&Raw::Text(text), &Context::default()).map(|(days, _)| days.from_monday())
    }

    #[test]
    fn days_are_read_one_by_one_and_as_ranges() {
        for (text, days) in [
            ("every day", "1111111"),
            ("Monday to Friday", "1111100"),
            ("Monday, Wednesday, Saturday", "1010010"),
            ("Saturday to Monday", "1000011"),
            ("Sunday to Saturday", "1111111"),
            ("Sunday", "0000001"),
            ("Tuesday and Friday", "0100100"),
            ("Monday to Wednesday, Saturday, and Sunday", "1110011"),
            (" Monday ,Tuesday  to Thursday ", "1111000"),
            ("Monday, Monday to Tuesday", "1100000"),
        ] {
            let wanted: Vec<bool> = days.bytes().map(|day| day == b'1').collect();
            assert_eq!(read(text).map(Vec::from), Ok(wanted), "{text}");
        }
    }

    #[test]
    fn what_is_no_day_is_mended() {
        for (text, what, mend) in [
            ("", "no day of the week is named", MEND),
            (
                "monday",
                "`monday` is no day of the week",
                "did you mean `Monday`?",
            ),
            (
                "Wendesday",
                "`Wendesday` is no day of the week",
                "did you mean `Wednesday`?",
            ),
            ("Thu", "`Thu` is no day of the week", "did you mean `Thursday`?"),
            (
                "Mon-Fri",
                "`Mon-Fri` is no day of the week",
                "write \"Monday to Friday\"",
            ),
            (
                "mon, Wed & sun",
                "`mon` is no day of the week",
                "write \"Monday, Wednesday, Sunday\"",
            ),
            (
                "weekdays",
                "`weekdays` is no day of the week",
                "write \"Monday to Friday\"",
            ),
            ("daily", "`daily` is no day of the week", "write \"every day\""),
            ("holiday", "`holiday` is no day of the week", MEND),
            ("Monday,", "a day of the week is missing at the end", MEND),
            (
                "Monday,, Friday",
                "`,` is no day of the week",
                "write \"Monday, Friday\"",
            ),
            (
                "Monday Friday",
                "`Friday` stands between days of the week",
                "write \"Monday, Friday\"",
            ),
            (
                "Monday to",
                "`to` stands between days of the week",
                "set the days apart by commas, or join the first and the last by `to`",
            ),
            (
                "Friday to Friday",
                "`Friday to Friday` may be one day or all of them",
                "write \"Friday\" or \"every day\"",
            ),
        ] {
            assert_eq!(read(text), Err(QuantityFault::new(what, mend)), "{text}");
        }
        let list = Raw::Texts(vec!["Monday".to_owned(), "Friday".to_owned()]);
        let fault = Weekdays::read(&list, &Context::default());
        assert!(fault.is_err_and(|fault| fault.mend.contains("\"Monday, Friday\"")));
        assert!(Weekdays::read(&Raw::Number("5".to_owned()), &Context::default()).is_err());
    }

    #[test]
    fn a_week_goes_round() {
        let (days, _) = Weekdays::read(&Raw::Text("Saturday to Monday"), &Context::default()).unwrap();
        assert_eq!(days.count(), 3);
        assert!(days.has(0) && days.has(6) && days.has(7) && !days.has(8));
    }
}
