//! The file itself: read whole, written whole or not at all, its change noticed by what is in it.

use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::failure::{Failure, Fault};
use crate::task::station::read_text;

/// The largest station file that is opened, bytes (house rule: a hundred times the largest that anybody writes).
const LARGEST: u64 = 2_000_000;

/// A file on the disk, and what it held when it was last read or written here.
#[derive(Debug)]
pub(super) struct Disk {
    path: PathBuf,
    held: String,
}

impl Disk {
    pub(super) fn open(path: &Path) -> Result<(Self, String), Failure> {
        let place = path.display().to_string();
        if fs::metadata(path).is_ok_and(|own| own.len() > LARGEST) {
            return Err(
                Fault::new(&place, "the file is too large for a station", "name another file").into(),
            );
        }
        let text = read_text(path)?;
        // A link stays one: what it leads to is written.
        let path = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
        let disk = Self {
            path,
            held: text.clone(),
        };
        Ok((disk, text))
    }

    /// What the file holds now, where that is something else than before.
    pub(super) fn changed(&mut self) -> Result<Option<String>, Fault> {
        let text = read_text(&self.path).map_err(|failure| {
            let place = self.path.display().to_string();
            let why: Vec<&str> = failure.faults.iter().map(|own| own.what.as_str()).collect();
            Fault::new(
                &place,
                format!("the file can't be read any more: {}", why.join("; ")),
                "put it back where it was",
            )
        })?;
        if text == self.held {
            return Ok(None);
        }
        self.held.clone_from(&text);
        Ok(Some(text))
    }

    /// Writes it: whoever reads meets the old text or the new one.
    pub(super) fn write(&mut self, text: &str) -> Result<(), Fault> {
        write_whole(&self.path, text).map_err(|error| {
            Fault::new(
                &self.path.display().to_string(),
                format!("the file can't be written: {error}"),
                "check that there is room, and that you may write there",
            )
        })?;
        text.clone_into(&mut self.held);
        Ok(())
    }
}

/// Written beside, flushed to the disk, given the rights of the old one, moved into its place.
fn write_whole(path: &Path, text: &str) -> io::Result<()> {
    let name = path.file_name().ok_or(io::ErrorKind::InvalidInput)?;
    let folder = path.parent().ok_or(io::ErrorKind::InvalidInput)?;
    let mut beside = OsString::from(".");
    beside.push(name);
    beside.push(format!(".{}.part", std::process::id()));
    let beside = folder.join(beside);
    let written = (|| {
        let mut file = File::create(&beside)?;
        file.write_all(text.as_bytes())?;
        if let Ok(old) = fs::metadata(path) {
            file.set_permissions(old.permissions())?;
        }
        file.sync_all()?;
        drop(file);
        fs::rename(&beside, path)
    })();
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written?;
    // The new name is on the disk when its folder is; where folders can't be flushed, the rename must do.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}
