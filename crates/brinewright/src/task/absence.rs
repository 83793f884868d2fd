//! A station left alone: what was asked for, and why nothing can be said.

use proof::{Absence, AbsenceFault, Away, MOST_HOURS, Progress};
use station::Station;
use station::register::Date;

use crate::failure::{Failure, Fault};

/// How long nobody is there (else as the file says), from which day on, on as many threads as there are.
pub(crate) fn wanted(station: &Station, hours: Option<f64>, from: Option<&str>) -> Result<Away, Failure> {
    let from = match from {
        Some(text) => Date::parse(text)
            .map(Some)
            .map_err(|fault| Fault::new("--from", fault.what, fault.mend))?,
        None => today(),
    };
    let away = Away::of(station);
    Ok(Away {
        hours: hours.unwrap_or(away.hours),
        from,
        threads: threads(),
        ..away
    })
}

/// What faults do meanwhile; `name` is the station's file.
pub(crate) fn absence(
    station: &Station,
    name: &str,
    away: &Away,
    progress: &Progress,
) -> Result<Absence, Failure> {
    proof::absence_told(station, away, progress, |_| ()).map_err(|fault| {
        let (place, mend) = match fault {
            AbsenceFault::Hours { .. } => (
                "--hours",
                format!("name 1 to {MOST_HOURS:.0}; 64 is a long weekend"),
            ),
            _ => (name, format!("brinewright prove {name} tells what is wrong")),
        };
        Fault::new(place, fault.to_string(), mend).into()
    })
}

/// The longest absence of a station that is proved, by no day; changes that take long to try only where they are asked for.
/// Nothing where the station has no plant.
pub(crate) fn in_short(station: &Station, remedies: bool) -> Option<Absence> {
    let away = Away {
        threads: threads(),
        remedies,
        ..Away::of(station)
    };
    proof::absence(station, &away).ok()
}

/// The same, with everything tried, while somebody watches how far it is. Nothing where the station has no plant, or where
/// somebody stopped it before every fault was looked at.
pub(crate) fn watched(station: &Station, progress: &Progress) -> Option<Absence> {
    watched_with(station, progress, true)
}

/// The same without the changes that take long to try.
pub(crate) fn watched_in_short(station: &Station, progress: &Progress) -> Option<Absence> {
    watched_with(station, progress, false)
}

fn watched_with(station: &Station, progress: &Progress, remedies: bool) -> Option<Absence> {
    let away = Away {
        threads: threads(),
        remedies,
        ..Away::of(station)
    };
    proof::absence_told(station, &away, progress, |_| ()).ok()
}

/// Whether an absence has a table of that name.
pub(crate) fn is_table(name: &str) -> bool {
    [
        "wet-floor",
        "what-helps",
        "test-sheet",
        "faults-alone",
        "rates-assumed",
    ]
    .contains(&name)
}

fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

/// Today by the clock of this machine, in the time of Greenwich: a day more or less doesn't matter here.
#[expect(
    clippy::disallowed_methods,
    reason = "tests are counted to the day on which somebody leaves: today, unless they name another"
)]
fn today() -> Option<Date> {
    let since = std::time::SystemTime::now()
        .duration_since(std::time::UNIX_EPOCH)
        .ok()?;
    Date::from_unix_day(i64::try_from(since.as_secs() / 86_400).ok()?)
}
