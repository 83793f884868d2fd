//! Writing a new file: whole or not at all, and never over one that is there.

use std::ffi::OsStr;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use crate::failure::{Failure, Fault};
use crate::task::station::LARKHAVEN;

const JUNIPER_STREET_SCHOOL: &str = include_str!("../../../../stations/juniper-street-school.toml");
const SKELDER_HATCHERY: &str = include_str!("../../../../stations/skelder-hatchery.toml");

/// What a new file starts as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Start {
    /// Every field with its help.
    Template,
    /// The example of a station that is nearly right.
    Larkhaven,
    /// The example of a beginner's first try.
    JuniperStreetSchool,
    /// The example of a large station that is sound.
    SkelderHatchery,
}

impl Start {
    pub(crate) fn text(self) -> String {
        match self {
            Self::Template => station::template(),
            Self::Larkhaven => LARKHAVEN.1.to_owned(),
            Self::JuniperStreetSchool => JUNIPER_STREET_SCHOOL.to_owned(),
            Self::SkelderHatchery => SKELDER_HATCHERY.to_owned(),
        }
    }
}

/// Writes the text to a file that doesn't exist yet.
pub(crate) fn write_new(path: &Path, text: &str) -> Result<(), Failure> {
    let place = path.display().to_string();
    let folder = match path.parent() {
        Some(folder) if folder.as_os_str().is_empty() => Path::new("."),
        Some(folder) => folder,
        None => {
            return Err(Fault::new(
                &place,
                "this names no file",
                "name the file to write: my-station.toml",
            )
            .into());
        }
    };
    let Some(name) = path.file_name() else {
        return Err(Fault::new(
            &place,
            "this names no file",
            "name the file to write: my-station.toml",
        )
        .into());
    };
    if fs::symlink_metadata(path).is_ok() {
        return Err(taken(&place));
    }
    if !folder.is_dir() {
        let what = format!("there is no folder {}", folder.display());
        return Err(Fault::new(&place, what, "make the folder first, or name another").into());
    }
    match write_whole(folder, name, path, text) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Err(taken(&place)),
        Err(error) => Err(Failure::other(Fault::new(
            &place,
            format!("the file can't be written: {error}"),
            "check that there is room, and that you may write in its folder",
        ))),
    }
}

fn taken(place: &str) -> Failure {
    Fault::new(
        place,
        "it is there already, and nothing is overwritten",
        "name another file, or move that one away",
    )
    .into()
}

/// Writes beside the file and moves the whole into place, so that nobody meets half a file.
fn write_whole(folder: &Path, name: &OsStr, path: &Path, text: &str) -> io::Result<()> {
    let (mut file, beside) = open_beside(folder, name)?;
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    drop(file);
    let placed = written.and_then(|()| place(&beside, path));
    // After a link, or a failure, the file beside is left over; after a rename it is gone.
    let _ = fs::remove_file(&beside);
    placed
}

/// As [`write_whole`], in place of what has this name: whoever reads meets the old file or the new one, never half of it.
pub(super) fn replace_whole(folder: &Path, name: &OsStr, bytes: &[u8]) -> io::Result<()> {
    let (mut file, beside) = open_beside(folder, name)?;
    let written = file.write_all(bytes);
    drop(file);
    let placed = written.and_then(|()| fs::rename(&beside, folder.join(name)));
    if placed.is_err() {
        let _ = fs::remove_file(&beside);
    }
    placed
}

/// Gives the file its name. A link refuses a name that was taken meanwhile; where there are no links, a look
/// and a rename must do.
fn place(beside: &Path, path: &Path) -> io::Result<()> {
    match fs::hard_link(beside, path) {
        Err(error) if error.kind() != ErrorKind::AlreadyExists => {
            if fs::symlink_metadata(path).is_ok() {
                return Err(ErrorKind::AlreadyExists.into());
            }
            fs::rename(beside, path)
        }
        linked => linked,
    }
}

/// A file of a name that nobody has, in the same folder.
fn open_beside(folder: &Path, name: &OsStr) -> io::Result<(File, PathBuf)> {
    let process = std::process::id();
    let mut number = 0_u32;
    loop {
        let mut beside = OsStr::new(".").to_owned();
        beside.push(name);
        beside.push(format!(".{process}-{number}.part"));
        let beside = folder.join(beside);
        match OpenOptions::new().write(true).create_new(true).open(&beside) {
            Ok(file) => return Ok((file, beside)),
            Err(error) if error.kind() == ErrorKind::AlreadyExists && number < 100 => number += 1,
            // A leftover isn't the file that was asked for.
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                return Err(io::Error::other("too many unfinished files stand in its folder"));
            }
            Err(error) => return Err(error),
        }
    }
}
