//! A record that was kept in a file, put in again: read, checked against the station that lies open, and only then played.

use proof::live::{Beginning, Recorded, live};
use serde::Deserialize;
use serde_json::Value;
use station::Station;

/// The format that is written and read.
pub(super) const FORMAT: u64 = 1;
/// The most acts that are played again.
pub(super) const MOST_ACTS: usize = 2_000;
/// The latest time of an act, s: a thousand hours.
const LATEST_S: f64 = 3.6e6;

/// A record that can be played.
#[derive(Debug)]
pub(super) struct Sound {
    pub(super) beginning: Beginning,
    pub(super) record: Vec<Recorded>,
}

/// Why it can't.
#[derive(Debug, PartialEq, thiserror::Error)]
pub(super) enum Unsound {
    /// No JSON.
    #[error("that file is no record: its text can't be read at line {line}")]
    Text { line: usize },
    /// Something else.
    #[error("that file is no record of Try it")]
    NoRecord,
    /// Another format.
    #[error("that record is written in {given}, and this program reads format 1")]
    Format { given: String },
    /// It doesn't say how everything stood.
    #[error("that record doesn't say how it began")]
    Beginning,
    /// Too long.
    #[error("that record has {given} acts, and {MOST_ACTS} can be played")]
    Long { given: usize },
    /// An act that isn't one.
    #[error("act {at} of the record can't be read: {why}")]
    Act { at: usize, why: String },
    /// An act at a time that can't be.
    #[error("act {at} of the record has a time that can't be")]
    Time { at: usize },
    /// An act of other parts.
    #[error("act {at} of the record can't be done here: {why}")]
    Part { at: usize, why: String, title: String },
    /// It fits, but was made elsewhere.
    #[error("that record was made on another station: {title}")]
    Elsewhere { title: String },
    /// The station can't be tried at all.
    #[error("{0}")]
    Station(String),
}

impl Unsound {
    /// How it is mended.
    pub(super) fn mend(&self) -> String {
        match self {
            Self::Text { .. } | Self::NoRecord => "choose a file that was kept here with Keep it".to_owned(),
            Self::Format { .. } => {
                "play it with the program that it was kept with, or keep it anew".to_owned()
            }
            Self::Beginning => "give it \"beginning\": \"full\" or \"filling\"".to_owned(),
            Self::Long { .. } => "take acts out at its end".to_owned(),
            Self::Act { .. } => "mend that act, or take it out".to_owned(),
            Self::Time { .. } => "times are seconds from the beginning, none before the last".to_owned(),
            Self::Part { title, .. } if title.is_empty() => {
                "take that act out, or open the station that it was made on".to_owned()
            }
            Self::Part { title, .. } => format!("open the station that it was made on: {title}"),
            Self::Elsewhere { .. } => "play it here all the same, or open that station".to_owned(),
            Self::Station(_) => "mend the station on the workbench first".to_owned(),
        }
    }
}

/// Reads and checks a record's text. `anywhere` takes one of another station whose parts are called the same.
///
/// # Errors
/// [`Unsound`]: the first thing that is wrong.
pub(super) fn read(text: &str, station: &Station, anywhere: bool) -> Result<Sound, Unsound> {
    let value: Value = serde_json::from_str(text).map_err(|error| Unsound::Text { line: error.line() })?;
    let acts = value
        .get("record")
        .and_then(Value::as_array)
        .ok_or(Unsound::NoRecord)?;
    match value.get("format") {
        Some(format) if format.as_u64() == Some(FORMAT) => {}
        given => {
            let given = given.map_or_else(|| "no format".to_owned(), |own| format!("format {own}"));
            return Err(Unsound::Format { given });
        }
    }
    let beginning = value.get("beginning").cloned().unwrap_or_default();
    let beginning: Beginning = serde_json::from_value(beginning).map_err(|_broken| Unsound::Beginning)?;
    if acts.len() > MOST_ACTS {
        return Err(Unsound::Long { given: acts.len() });
    }
    let mut record: Vec<Recorded> = Vec::with_capacity(acts.len());
    let mut last_s = 0.0;
    for (at, own) in acts.iter().enumerate() {
        let own = Recorded::deserialize(own).map_err(|error| Unsound::Act {
            at: at + 1,
            why: error.to_string(),
        })?;
        if !(last_s..=LATEST_S).contains(&own.at_s) {
            return Err(Unsound::Time { at: at + 1 });
        }
        last_s = own.at_s;
        record.push(own);
    }
    let title = value.get("station").and_then(Value::as_str).unwrap_or_default();
    let title = if title == station.title.title.value {
        ""
    } else {
        title
    };
    // What is said of another station stays short, whatever the file holds.
    let title: String = title.chars().take(80).collect();
    let known = live(station, beginning, |live| {
        record
            .iter()
            .enumerate()
            .try_for_each(|(at, own)| live.knows(&own.act).map_err(|fault| (at, fault)))
    });
    match known {
        Err(fault) => Err(Unsound::Station(fault.to_string())),
        Ok(Err((at, fault))) => Err(Unsound::Part {
            at: at + 1,
            why: fault.to_string(),
            title,
        }),
        Ok(Ok(())) if !title.is_empty() && !anywhere => Err(Unsound::Elsewhere { title }),
        Ok(Ok(())) => Ok(Sound { beginning, record }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn station() -> Station {
        let text = include_str!("../../../../../stations/larkhaven.toml");
        Station::read(text).expect("a station")
    }

    fn kept(format: &str, station: &str, acts: &str) -> String {
        format!(r#"{{"format":{format},"station":"{station}","beginning":"full","record":[{acts}]}}"#)
    }

    const OPENS: &str = r#"{"at_s":3.5,"act":"valve","valve":"fresh-spout","open":true}"#;
    const HERE: &str = "Larkhaven, old boiler room";

    #[test]
    fn a_kept_record_is_read() {
        let sound = read(&kept("1", HERE, OPENS), &station(), false).expect("sound");
        assert_eq!((sound.beginning, sound.record.len()), (Beginning::Full, 1));
    }

    /// Whatever is wrong is told, with its mend, and nothing is played.
    #[test]
    fn what_is_wrong_is_told() {
        let other = OPENS.replace("fresh-spout", "attic-spout");
        let past = OPENS.replace("3.5", "1.5");
        for (text, says) in [
            ("{\n\"format\": 1,,".to_owned(), "at line 2"),
            ("[1, 2]".to_owned(), "no record of Try it"),
            ("{\"record\": 3}".to_owned(), "no record of Try it"),
            (kept("7", HERE, OPENS), "written in format 7"),
            (
                kept("1", HERE, OPENS).replace("\"format\":1,", ""),
                "written in no format",
            ),
            (kept("1", HERE, OPENS).replace("full", "dry"), "how it began"),
            (
                kept("1", HERE, "{\"act\":\"dance\",\"at_s\":1}"),
                "act 1 of the record can't be read",
            ),
            (
                kept("1", HERE, &format!("{OPENS},{past}")),
                "act 2 of the record has a time",
            ),
            (
                kept("1", HERE, &OPENS.replace("3.5", "-1")),
                "act 1 of the record has a time",
            ),
            (kept("1", "Attic", &other), "no valve called attic-spout"),
            (kept("1", "Attic", OPENS), "made on another station: Attic"),
            (
                kept("1", HERE, &vec![OPENS; MOST_ACTS + 1].join(",")),
                "has 2001 acts",
            ),
        ] {
            let wrong = read(&text, &station(), false).expect_err(says);
            assert!(wrong.to_string().contains(says), "{wrong} isn't: {says}");
            assert!(!wrong.mend().is_empty());
        }
        read(&kept("1", "Attic", OPENS), &station(), true).expect("played here all the same");
    }
}
