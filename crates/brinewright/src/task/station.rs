//! Loading a station: from a file, or the demo that is built in.

use std::path::Path;

use crate::failure::{Failure, Fault, snippet};
use station::quantity::UnitSystem;
use station::{Position, Station};

/// The demo: an invented station.
pub(crate) const LARKHAVEN: (&str, &str) = (
    "stations/larkhaven.toml",
    include_str!("../../../../stations/larkhaven.toml"),
);

/// A station and the name of the text it came from.
pub(crate) struct Loaded {
    pub(crate) station: Station,
    pub(crate) name: String,
}

/// Reads a file, or the demo where none is named.
pub(crate) fn load(file: Option<&Path>) -> Result<Loaded, Failure> {
    let (name, text) = match file {
        None => (LARKHAVEN.0.to_owned(), LARKHAVEN.1.to_owned()),
        Some(path) => (path.display().to_string(), read_text(path)?),
    };
    match Station::read(&text) {
        Ok(station) => Ok(Loaded { station, name }),
        Err(faults) => Err(refused(&name, &text, &faults)),
    }
}

/// As [`load`], on a day with a named state of the feed, in the units that were asked for or else its own.
pub(crate) fn load_on(
    file: Option<&Path>,
    feed: Option<&str>,
    units: Option<UnitSystem>,
) -> Result<Loaded, Failure> {
    let mut loaded = load(file)?;
    if let Some(units) = units {
        loaded.station.show_in(units);
    }
    let Some(state) = feed else { return Ok(loaded) };
    match loaded.station.in_feed_state(state) {
        Ok(station) => Ok(Loaded { station, ..loaded }),
        Err(mend) => Err(Fault::new(
            "--feed",
            format!("no state of the feed is called `{state}`"),
            mend,
        )
        .into()),
    }
}

pub(crate) fn read_text(path: &Path) -> Result<String, Failure> {
    let place = path.display().to_string();
    let bytes = std::fs::read(path).map_err(|error| {
        let mend = match error.kind() {
            std::io::ErrorKind::NotFound => "check the name, or write a new one: brinewright new FILE",
            _ => "check that it is a file that you may read",
        };
        let what = match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
            std::io::ErrorKind::PermissionDenied => "you may not read that file".to_owned(),
            std::io::ErrorKind::IsADirectory => "that is a folder, not a file".to_owned(),
            _ => format!("the file can't be read: {error}"),
        };
        Failure::from(Fault::new(&place, what, mend))
    })?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        Failure::from(Fault::new(
            &place,
            format!("the file isn't text: byte {at} is no UTF-8"),
            "save it as UTF-8 text",
        ))
    })
}

/// Every fault of the text, listed for machines and drawn for people.
fn refused(name: &str, text: &str, faults: &[station::Fault]) -> Failure {
    let listed = faults
        .iter()
        .map(|fault| {
            let Position { line, column } = Position::of(text, fault.span.start);
            Fault::new(
                &format!("{name}:{line}:{column}"),
                fault.what.clone(),
                fault.mend.clone(),
            )
        })
        .collect();
    let drawn = faults
        .iter()
        .map(|fault| snippet(name, text, fault))
        .collect::<Vec<_>>()
        .join("\n");
    let count = match faults.len() {
        1 => "One fault; nothing was proved.".to_owned(),
        n => format!("{n} faults; nothing was proved."),
    };
    Failure::drawn(listed, format!("{drawn}\n{count}\n"))
}
