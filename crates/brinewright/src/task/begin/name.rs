//! Names of new files: one in a folder that is known, never a way out of it.

use std::path::{Path, PathBuf};

use crate::failure::Fault;

/// What a first station is called where nobody says otherwise.
const USUAL: &str = "station.toml";
/// The longest name, bytes (house rule: any file system takes it).
const LONGEST: usize = 80;

/// A name in a folder that is free: the usual one, or the usual one with a number.
pub(crate) fn free_name(folder: &Path) -> String {
    let taken = |name: &str| folder.join(name).symlink_metadata().is_ok();
    let numbered = (2..100).map(|count| format!("station-{count}.toml"));
    std::iter::once(USUAL.to_owned())
        .chain(numbered)
        .find(|name| !taken(name))
        .unwrap_or_else(|| USUAL.to_owned())
}

/// The path of a file with this name in a folder.
///
/// # Errors
/// [`Fault`] where it is no plain name that ends in `.toml`.
pub(crate) fn named(folder: &Path, name: &str) -> Result<PathBuf, Fault> {
    let refused = |what: &str, mend: &str| Err(Fault::new("name", what, mend));
    let name = name.trim();
    let plain = |own: char| own.is_alphanumeric() || matches!(own, '-' | '_' | '.' | ' ');
    if name.contains(['/', '\\', ':']) {
        return refused("a name is wanted, not a path", "write it as my-station.toml");
    }
    if name.starts_with('.') || name.is_empty() {
        return refused(
            "a name begins with a letter or a digit",
            "write it as my-station.toml",
        );
    }
    if !name.chars().all(plain) {
        return refused(
            "a name has letters, digits, blanks, hyphens and underscores",
            "write it as my-station.toml",
        );
    }
    if !name.ends_with(".toml") {
        return refused("a station file ends in .toml", "write it as my-station.toml");
    }
    if name.len() > LONGEST {
        return refused("that name is too long", "write it as my-station.toml");
    }
    Ok(folder.join(name))
}
