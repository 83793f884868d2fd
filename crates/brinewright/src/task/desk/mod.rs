//! The station file on the workbench: its text, what was done to it here, what was done to it elsewhere meanwhile.
//!
//! Owns: revisions, changes of single values, undo and redo over whole texts, conflicts, saving. The text is the truth: a
//! value is spliced, nothing else changes by a byte. Must not know: HTTP, pages, what a station is worth.

mod disk;
mod history;

use std::cell::RefCell;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use station::edit::{self, Edit, EditError, Written};
use station::{Position, Station};

use crate::failure::{Failure, Fault};
use crate::task::station::LARKHAVEN;
use disk::Disk;
use history::{By, History};

/// A file that lies open.
#[derive(Debug)]
pub(crate) struct Desk {
    name: String,
    /// The file; nothing for the demo, which nobody saves.
    disk: Option<Disk>,
    text: Arc<str>,
    /// The text that was read last, and the station that it is: it is asked for more often than it changes.
    read: RefCell<Option<(Arc<str>, Arc<Station>)>>,
    /// The text that it was opened with.
    opened: Arc<str>,
    revision: u64,
    history: History,
    /// Whether the file couldn't be read when it was looked at last.
    is_gone: bool,
}

/// Why a change wasn't made. The text is as it was.
#[derive(Debug, thiserror::Error)]
pub(crate) enum DeskFault {
    /// Somebody else changed the same value meanwhile.
    #[error("that value was changed elsewhere meanwhile")]
    Conflict(Clash),
    /// The file would be no station any more.
    #[error("the change was refused")]
    Refused(Vec<Fault>),
    /// There is nothing to take back, or to bring back.
    #[error("there is nothing to {0}")]
    Nothing(&'static str),
    /// What was changed here last was changed in an editor since.
    #[error("what was changed here last was changed in an editor since")]
    Outside,
    /// The file can't be read or written.
    #[error("{}", .0.what)]
    File(Fault),
}

/// A change that met what somebody else changed: enough to settle it value by value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Clash {
    /// The revision whose values stand there now; a change that settles it is based on it.
    pub(crate) revision: u64,
    /// The values that both changed.
    pub(crate) conflicts: Vec<Conflict>,
    /// The whole change, of which nothing was done.
    pub(crate) edits: Vec<Edit>,
}

/// A value that two changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Conflict {
    /// Its path in the file.
    pub(crate) path: String,
    /// What stands there now; nothing where it was taken out.
    pub(crate) theirs: Option<String>,
    /// What was to stand there.
    pub(crate) yours: String,
}

impl Desk {
    /// Opens a file, or the demo where none is named.
    ///
    /// # Errors
    /// [`Failure`] where the file can't be read. What is in it needn't be a station: it may become one.
    pub(crate) fn open(file: Option<&Path>) -> Result<Self, Failure> {
        let (name, disk, text) = match file {
            None => (LARKHAVEN.0.to_owned(), None, LARKHAVEN.1.to_owned()),
            Some(path) => {
                let (disk, text) = Disk::open(path)?;
                (path.display().to_string(), Some(disk), text)
            }
        };
        let text: Arc<str> = text.into();
        Ok(Self {
            name,
            disk,
            revision: 1,
            history: History::new(1, &text),
            opened: text.clone(),
            text,
            read: RefCell::default(),
            is_gone: false,
        })
    }

    /// The folder that it lies in; for the demo the one that the program was started in.
    pub(crate) fn folder(&self) -> PathBuf {
        let own = self.disk.as_ref().and_then(|_| Path::new(&self.name).parent());
        match own {
            Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
            _ => PathBuf::from("."),
        }
    }

    /// Puts this file away, which is saved already, and takes another in its place. Revisions go on counting, so that nobody
    /// takes the one for the other.
    ///
    /// # Errors
    /// [`Failure`] where the other can't be read; this one stays then.
    pub(crate) fn exchange(&mut self, file: &Path) -> Result<u64, Failure> {
        let other = Self::open(Some(file))?;
        let revision = self.revision + 1;
        *self = Self {
            revision,
            history: History::new(revision, &other.text),
            ..other
        };
        Ok(revision)
    }

    /// What the file is called.
    pub(crate) fn name(&self) -> &str {
        &self.name
    }

    /// The same without its folders, as a page shows it.
    pub(crate) fn file_name(&self) -> String {
        Path::new(&self.name)
            .file_name()
            .map_or_else(|| self.name.clone(), |name| name.to_string_lossy().into_owned())
    }

    /// Whether changes are kept: the demo's aren't.
    pub(crate) fn is_kept(&self) -> bool {
        self.disk.is_some()
    }

    /// Its text.
    pub(crate) fn text(&self) -> &Arc<str> {
        &self.text
    }

    /// The station as it was opened; nothing where nothing differs from it, or it was none.
    pub(crate) fn station_as_opened(&self) -> Option<Station> {
        (self.opened != self.text)
            .then(|| Station::read(&self.opened).ok())
            .flatten()
    }

    /// Counts every change of the text.
    pub(crate) fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether something can be taken back, and brought back.
    pub(crate) fn undoable(&self) -> [bool; 2] {
        [self.history.can_undo(), self.history.can_redo()]
    }

    /// Takes in what was done to the file elsewhere; tells whether there was something.
    ///
    /// # Errors
    /// [`DeskFault::File`] where it can't be read any more.
    pub(crate) fn catch_up(&mut self) -> Result<bool, DeskFault> {
        let Some(disk) = &mut self.disk else {
            return Ok(false);
        };
        let changed = disk.changed();
        self.is_gone = changed.is_err();
        match changed.map_err(DeskFault::File)? {
            None => Ok(false),
            Some(text) => {
                self.become_text(text.into(), By::Editor);
                Ok(true)
            }
        }
    }

    /// Whether the file couldn't be read when it was looked at last: it was taken away, or nobody may read it.
    pub(crate) fn is_gone(&self) -> bool {
        self.is_gone
    }

    /// Writes a file that is gone anew, with the text that lies here.
    ///
    /// # Errors
    /// [`DeskFault`]: also where it is there, so that nothing is overwritten.
    pub(crate) fn write_again(&mut self) -> Result<u64, DeskFault> {
        match self.catch_up() {
            Err(DeskFault::File(_)) => {}
            Err(other) => return Err(other),
            Ok(_) => return Err(DeskFault::Nothing("write again")),
        }
        let text = self.text.clone();
        self.save(&text)?;
        self.is_gone = false;
        Ok(self.revision)
    }

    /// Changes values and saves. `based_on` is the revision that was looked at: where the same value was changed since,
    /// nothing is overwritten.
    ///
    /// # Errors
    /// [`DeskFault`].
    pub(crate) fn change(&mut self, based_on: u64, edits: &[Edit]) -> Result<u64, DeskFault> {
        self.catch_up()?;
        let conflicts = self.conflicts(based_on, edits);
        if !conflicts.is_empty() {
            return Err(DeskFault::Conflict(Clash {
                revision: self.revision,
                conflicts,
                edits: edits.to_vec(),
            }));
        }
        let station = self.tried(edits)?;
        self.keep(station)
    }

    /// Gives a section of the newest text another name, and saves. What somebody else changed in it meanwhile stays.
    ///
    /// # Errors
    /// [`DeskFault`].
    pub(crate) fn rename(&mut self, path: &str, name: &str) -> Result<u64, DeskFault> {
        self.catch_up()?;
        let text = edit::renamed(&self.text, path, name).map_err(|error| unmade(path, &error))?;
        let station = self.checked(&text)?;
        self.keep(station)
    }

    fn keep(&mut self, station: Station) -> Result<u64, DeskFault> {
        // What stands there already is no change to take back.
        if *station.text == *self.text {
            return Ok(self.revision);
        }
        self.save(&station.text)?;
        self.become_text(station.text.as_str().into(), By::Page);
        self.read.replace(Some((self.text.clone(), Arc::new(station))));
        Ok(self.revision)
    }

    /// The station with some values changed, which nobody keeps.
    ///
    /// # Errors
    /// [`DeskFault::Refused`], with what is wrong and how to mend it.
    pub(crate) fn tried(&self, edits: &[Edit]) -> Result<Station, DeskFault> {
        let read = self.station();
        let text = match &read {
            Ok(station) => edit::apply_to(station, edits),
            // A text that is no station may be mended by setting values.
            Err(_) => edit::apply(&self.text, edits),
        };
        let text = text.map_err(|error| unmade(edits.first().map_or("", |edit| &edit.path), &error))?;
        self.checked(&text)
    }

    fn checked(&self, text: &str) -> Result<Station, DeskFault> {
        Station::read(text).map_err(|faults| DeskFault::Refused(self.told(text, &faults)))
    }

    /// The station that the text is.
    ///
    /// # Errors
    /// What is wrong with it.
    pub(crate) fn station(&self) -> Result<Arc<Station>, Vec<Fault>> {
        let mut read = self.read.borrow_mut();
        if let Some((text, station)) = &*read
            && Arc::ptr_eq(text, &self.text)
        {
            return Ok(station.clone());
        }
        let station = Station::read(&self.text).map_err(|faults| self.told(&self.text, &faults))?;
        let station = Arc::new(station);
        *read = Some((self.text.clone(), station.clone()));
        Ok(station)
    }

    fn told(&self, text: &str, faults: &[station::Fault]) -> Vec<Fault> {
        let place = |at: usize| {
            let Position { line, column } = Position::of(text, at);
            format!("{}:{line}:{column}", self.name)
        };
        let written = Written::of(text);
        faults
            .iter()
            .map(|fault| {
                let what = match fault.why.as_str() {
                    "" => fault.what.clone(),
                    why => format!("{}: {why}", fault.what),
                };
                Fault::new(&place(fault.span.start), what, fault.mend.clone())
                    .of(written.path_at(fault.span.start))
            })
            .collect()
    }

    /// Takes back the last change that was made here; what was made in an editor since stays.
    ///
    /// # Errors
    /// [`DeskFault`]: also where what was changed here was changed in an editor since.
    pub(crate) fn undo(&mut self) -> Result<u64, DeskFault> {
        self.catch_up()?;
        let own = self.history.last_own().ok_or(DeskFault::Nothing("take back"))?;
        let text: Arc<str> = match own.after {
            None => own.before,
            Some(after) => {
                let text = taken_out(&after, &own.before, &self.text);
                // What would be no station any more can't be taken back either.
                let text = text.filter(|text| self.checked(text).is_ok());
                text.ok_or(DeskFault::Outside)?.into()
            }
        };
        self.save(&text)?;
        self.revision += 1;
        self.history.undone(self.revision, &self.text, &text);
        self.text = text;
        Ok(self.revision)
    }

    /// Brings back what was taken back last.
    ///
    /// # Errors
    /// [`DeskFault`].
    pub(crate) fn redo(&mut self) -> Result<u64, DeskFault> {
        self.catch_up()?;
        let text = self.history.next().ok_or(DeskFault::Nothing("bring back"))?;
        self.save(&text)?;
        self.revision += 1;
        self.history.redone(self.revision, &self.text);
        self.text = text;
        Ok(self.revision)
    }

    fn save(&mut self, text: &str) -> Result<(), DeskFault> {
        match &mut self.disk {
            Some(disk) => disk.write(text).map_err(DeskFault::File),
            None => Ok(()),
        }
    }

    fn become_text(&mut self, text: Arc<str>, by: By) {
        self.revision += 1;
        self.history.done(self.revision, &self.text, &text, by);
        self.text = text;
    }

    /// Values that were changed since a revision and are to be changed again.
    fn conflicts(&self, based_on: u64, edits: &[Edit]) -> Vec<Conflict> {
        if based_on == self.revision {
            return Vec::new();
        }
        let base = self.history.at(based_on);
        let (own, before) = (Written::of(&self.text), base.as_deref().map(Written::of));
        edits
            .iter()
            .filter_map(|edit| {
                // A section that goes is looked at whole.
                let now = own.section(&edit.path);
                // Of a text that is long gone nobody knows what was seen.
                let seen = before.as_ref().map(|before| before.section(&edit.path));
                (seen != Some(now) && now != Some(edit.text.as_str())).then(|| Conflict {
                    path: edit.path.clone(),
                    theirs: now.map(str::to_owned),
                    yours: edit.text.clone(),
                })
            })
            .collect()
    }
}

/// A text without a change that was made to an older one: value by value, else line by line, where nobody changed the same
/// since.
fn taken_out(after: &str, before: &str, now: &str) -> Option<String> {
    let Some(edits) = edit::between(after, before) else {
        return diffy::merge(after, now, before).ok();
    };
    let (seen, own) = (Written::of(after), Written::of(now));
    let is_as_left = |edit: &Edit| seen.value(&edit.path) == own.value(&edit.path);
    edits
        .iter()
        .all(is_as_left)
        .then(|| edit::apply(now, &edits).ok())?
}

/// An edit that the text doesn't take.
fn unmade(path: &str, error: &EditError) -> DeskFault {
    let (what, mend) = match error {
        EditError::Taken { path } => {
            let name = path.rsplit('.').next().unwrap_or(path);
            (format!("there is a `{name}` already"), "choose another name")
        }
        EditError::NoName { name } => {
            return DeskFault::Refused(vec![Fault::no_name(name).of(path.to_owned())]);
        }
        EditError::Scattered { .. } => (error.to_string(), "give it another name there"),
        _ => (error.to_string(), "reload the page: the file may have changed"),
    };
    DeskFault::Refused(vec![Fault::new(path, what, mend).of(path.to_owned())])
}

#[cfg(test)]
mod tests;
