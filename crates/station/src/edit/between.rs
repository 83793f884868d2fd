//! What leads from one text of a station file to another.

use super::{Edit, Written, apply};

/// The changes of single values that make one text of another, byte for byte; nothing where more than values differs, as a
/// section that came or went, or a comment.
///
/// ```
/// # use station::edit::{Edit, between};
/// let (before, after) = ("[reserve]\nsalt = \"30 gal\"\n", "[reserve]\nsalt = \"32 gal\"\n");
/// assert_eq!(between(before, after), Some(vec![Edit::quoted("reserve.salt", "32 gal")]));
/// assert_eq!(between(before, "# Ours.\n"), None);
/// ```
pub fn between(from: &str, to: &str) -> Option<Vec<Edit>> {
    let (before, after) = (Written::of(from), Written::of(to));
    let mut paths = before.values();
    paths.extend(after.values());
    paths.sort_unstable();
    paths.dedup();
    let differs = |path: &String| before.value(path) != after.value(path);
    let edits: Vec<Edit> = paths
        .into_iter()
        .filter(differs)
        .map(|path| Edit {
            text: after.value(&path).unwrap_or_default().to_owned(),
            path,
        })
        .collect();
    let made = apply(from, &edits).ok()?;
    (made == to).then_some(edits)
}
