//! A station's control to take away, and the files that it is taken away as.

use std::path::Path;

use station::Station;
use station::control::take_away::TakeAway;

use super::paper::save;
use crate::failure::{Failure, Fault};

/// Names of the files.
const NAME: &str = "control";

/// The control of a station; `name` is the file that it came from.
pub(crate) fn control(station: &Station, name: &str) -> Result<TakeAway, Failure> {
    // The text is passed on: its reader has no use for the folders of whoever made it.
    let file = Path::new(name)
        .file_name()
        .map_or_else(|| name.into(), |file| file.to_string_lossy());
    TakeAway::of(station, &file).map_err(|error| {
        Fault::new(
            name,
            error.to_string(),
            "join vessels that do the same into fewer",
        )
        .into()
    })
}

/// Writes the program text and the list of inputs and outputs into a folder.
pub(crate) fn write(control: &TakeAway, folder: &Path) -> Result<(), Failure> {
    let files = [
        (
            format!("{NAME}.st"),
            control.structured_text.text.clone().into_bytes(),
        ),
        (
            format!("{NAME}.csv"),
            sheets::control_table(control).csv().into_bytes(),
        ),
    ];
    save(folder, &[], &files, "control")
}
