//! Editing a station file: one value or one section at a time, nothing else changed by a byte.

mod at_once;
mod beside;
mod between;
mod hanging;
mod pairs;
mod places;
mod renamed;
mod section;
mod written;

use toml_edit::DocumentMut;

use crate::Station;
use crate::sections::REGISTER;

pub use beside::remark_beside;
pub use between::between;
pub use hanging::{Hanging, hanging};
pub use pairs::{lines_as_pairs, pairs_as_lines};
pub(crate) use places::Places;
pub use renamed::renamed;
pub use section::named;
pub use written::Written;

/// A change of one value: its path, and what stands there afterwards, in the file's own notation. A section that the owner
/// names is put in as a table of one line, `{ volume = "900 L" }`; it stands in the file as others of its kind do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// `vessels.fresh.stop_level`.
    pub path: String,
    /// `"810 mm"`, quotes and all; nothing takes the value out of the file, and its key with it, or the whole section.
    pub text: String,
}

/// Why an edit can't be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum EditError {
    /// The text isn't a station file that can be parsed.
    #[error("the file can't be parsed, so nothing in it can be changed")]
    Unreadable(#[source] toml_edit::TomlError),
    /// There is no such section.
    #[error("there is no section for `{path}` in the file")]
    NoSection {
        /// The path asked for.
        path: String,
    },
    /// There is a section of that name.
    #[error("there is a `{path}` already")]
    Taken {
        /// Its path.
        path: String,
    },
    /// A section whose name stands in more than one place.
    #[error("`{path}` is written in more than one place of the file")]
    Scattered {
        /// Its path.
        path: String,
    },
    /// A name that a section can't have.
    #[error("`{name}` can't be a name: use letters, digits and hyphens, such as touch-pool")]
    NoName {
        /// The name offered.
        name: String,
    },
    /// The new value isn't one.
    #[error("`{text}` is no value")]
    NoValue {
        /// The text offered.
        text: String,
        /// What the parser said.
        #[source]
        reason: toml_edit::TomlError,
    },
}

impl Edit {
    /// An edit that writes a text in quotes.
    pub fn quoted(path: impl Into<String>, text: &str) -> Self {
        Self {
            path: path.into(),
            text: format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"")),
        }
    }
}

/// Applies edits in turn and gives the new text.
///
/// A value that stands in the file is replaced in place; a missing one is added to its section, and that to the file where
/// its name is the register's.
///
/// # Errors
/// [`EditError`]; the text is left alone then.
pub fn apply(text: &str, edits: &[Edit]) -> Result<String, EditError> {
    match at_once::apply(text, edits) {
        Some(edited) => Ok(edited),
        None => one_by_one(text, edits),
    }
}

/// As [`apply`], to the text of a station: where values are only given others, it isn't parsed once more.
///
/// # Errors
/// As [`apply`].
pub fn apply_to(station: &Station, edits: &[Edit]) -> Result<String, EditError> {
    match at_once::replace(&station.text, |path| station.value_span(path), edits) {
        Some(edited) => Ok(edited),
        None => apply(&station.text, edits),
    }
}

fn one_by_one(text: &str, edits: &[Edit]) -> Result<String, EditError> {
    let mut text = text.to_owned();
    for edit in edits {
        if edit.text.is_empty() {
            text = without(&text, &edit.path)?;
            continue;
        }
        edit.text
            .parse::<toml_edit::Value>()
            .map_err(|reason| EditError::NoValue {
                text: edit.text.clone(),
                reason,
            })?;
        if let Some(edited) = section::put_in(&text, edit)? {
            text = edited;
            continue;
        }
        text = match Written::of(&text).span(&edit.path) {
            Some(span) => format!("{}{}{}", &text[..span.start], edit.text, &text[span.end..]),
            None => add(&text, edit)?,
        };
    }
    Ok(text)
}

/// The text without a value and its key; the same where it isn't there.
fn without(text: &str, path: &str) -> Result<String, EditError> {
    if let Some(edited) = section::taken_out(text, path) {
        return Ok(edited);
    }
    let mut document: DocumentMut = text.parse().map_err(EditError::Unreadable)?;
    let (section, key) = path.rsplit_once('.').unwrap_or(("", path));
    let mut table: &mut dyn toml_edit::TableLike = document.as_table_mut();
    for name in section.split('.').filter(|name| !name.is_empty()) {
        match table.get_mut(name).and_then(toml_edit::Item::as_table_like_mut) {
            Some(inner) => table = inner,
            None => return Ok(text.to_owned()),
        }
    }
    let removed = table.remove(key);
    let behind = removed.as_ref().and_then(toml_edit::Item::as_value);
    let behind = behind
        .and_then(|own| own.decor().suffix()?.as_str())
        .unwrap_or_default();
    // In a table of one line the blank before its brace stays there, behind the value that is last now.
    if behind.chars().all(|c| c == ' ') && !behind.is_empty() {
        let inline = item_of(&mut document, section).and_then(toml_edit::Item::as_inline_table_mut);
        if let Some((_, last)) = inline.and_then(|own| own.iter_mut().last()) {
            last.decor_mut().set_suffix(behind);
        }
    }
    Ok(document.to_string())
}

/// What stands at the path of a section.
fn item_of<'d>(document: &'d mut DocumentMut, section: &str) -> Option<&'d mut toml_edit::Item> {
    let mut names = section.split('.').filter(|name| !name.is_empty());
    names.try_fold(document.as_item_mut(), |item, name| item.get_mut(name))
}

fn add(text: &str, edit: &Edit) -> Result<String, EditError> {
    let mut document: DocumentMut = text.parse().map_err(EditError::Unreadable)?;
    let (section, key) = edit.path.rsplit_once('.').unwrap_or(("", &edit.path));
    let mut table: &mut dyn toml_edit::TableLike = document.as_table_mut();
    for name in section.split('.').filter(|name| !name.is_empty()) {
        let missing = || EditError::NoSection {
            path: edit.path.clone(),
        };
        if !table.contains_key(name) && is_of_the_register(section) {
            let mut new = toml_edit::Table::new();
            // `[failures]` says nothing beside `[failures.relay]`.
            new.set_implicit(section != name && !section.ends_with(&format!(".{name}")));
            table.insert(name, toml_edit::Item::Table(new));
        }
        table = table
            .get_mut(name)
            .ok_or_else(missing)?
            .as_table_like_mut()
            .ok_or_else(missing)?;
    }
    let value: toml_edit::Value = edit.text.parse().map_err(|reason| EditError::NoValue {
        text: edit.text.clone(),
        reason,
    })?;
    table.insert(key, toml_edit::Item::Value(value));
    close_up(&mut document, section, key);
    Ok(document.to_string())
}

/// In a table of one line the blank before its brace stays there, behind the value that came last.
fn close_up(document: &mut DocumentMut, section: &str, key: &str) -> Option<()> {
    let inline = item_of(document, section)?.as_inline_table_mut()?;
    let mut last = String::new();
    for (_, value) in inline.iter_mut().filter(|(own, _)| own.get() != key) {
        let behind = value
            .decor()
            .suffix()
            .and_then(|own| own.as_str())
            .unwrap_or_default();
        if behind.chars().all(|c| c == ' ') {
            behind.clone_into(&mut last);
            value.decor_mut().set_suffix("");
        }
    }
    inline.get_mut(key)?.decor_mut().set_suffix(last);
    Some(())
}

/// Whether a section can have this name: letters, digits, hyphens and underscores.
pub fn is_name(name: &str) -> bool {
    at_once::is_bare(name)
}

/// Whether a section's name is given by the register and not by the owner: one that is missing can be added.
fn is_of_the_register(section: &str) -> bool {
    section.starts_with("failures.") || REGISTER.iter().any(|own| own.path == section)
}

/// What stands at a path of a file, quotes and all; nothing where nothing does, or where the text can't be parsed. Who asks
/// more than once asks [`Written`].
pub fn value<'t>(text: &'t str, path: &str) -> Option<&'t str> {
    Written::of(text).value(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str =
        "# mine\ntitle = 'x'   # keep\n\n[vessels.fresh]\nstop_level   =  \"740 mm\" # marked\n";

    #[test]
    fn a_value_is_replaced_and_nothing_else_moves() {
        let edit = Edit::quoted("vessels.fresh.stop_level", "810 mm");
        assert_eq!(apply(TEXT, &[edit]).unwrap(), TEXT.replace("740 mm", "810 mm"));
    }

    #[test]
    fn a_value_is_taken_out_with_its_key_and_nothing_else() {
        let without = Edit {
            path: "vessels.fresh.stop_level".to_owned(),
            text: String::new(),
        };
        let text = format!("{TEXT}fill = \"by hand\" # so far\n");
        let taken = apply(&text, core::slice::from_ref(&without)).unwrap();
        assert_eq!(taken, text.replace("stop_level   =  \"740 mm\" # marked\n", ""));
        // What isn't there needn't be taken out.
        assert_eq!(apply(&taken, &[without]).unwrap(), taken);
    }

    #[test]
    fn a_missing_value_is_added_to_its_section() {
        let text = apply(TEXT, &[Edit::quoted("vessels.fresh.fill", "by hand")]).unwrap();
        assert!(
            text.starts_with(TEXT) && text.ends_with("fill = \"by hand\"\n"),
            "{text}"
        );
    }

    #[test]
    fn inline_tables_and_dotted_keys_are_edited_too() {
        for text in [
            "vessels.fresh.stop_level = \"1 m\"\n",
            "vessels = { fresh = { stop_level = \"1 m\" } }\n",
        ] {
            let edited = apply(text, &[Edit::quoted("vessels.fresh.stop_level", "2 m")]).unwrap();
            assert_eq!(edited, text.replace("1 m", "2 m"));
        }
    }

    #[test]
    fn what_is_added_to_a_table_of_one_line_stands_as_one_writes_it() {
        for (text, wanted) in [
            (
                "[valves]\na = { line = \"l\", kind = \"ball\" }   # mine\n",
                "[valves]\na = { line = \"l\", kind = \"ball\", self_closing = true }   # mine\n",
            ),
            (
                "[valves]\na = {line = \"l\"}\n",
                "[valves]\na = {line = \"l\", self_closing = true}\n",
            ),
        ] {
            let own = Edit {
                path: "valves.a.self_closing".to_owned(),
                text: "true".to_owned(),
            };
            assert_eq!(apply(text, core::slice::from_ref(&own)).unwrap(), wanted);
            // And it goes again without a trace.
            let gone = Edit {
                text: String::new(),
                ..own
            };
            assert_eq!(apply(wanted, &[gone]).unwrap(), text);
        }
    }

    #[test]
    fn a_section_that_the_register_names_is_added() {
        let text = apply(TEXT, &[Edit::quoted("room.ceiling", "2.4 m")]).unwrap();
        assert_eq!(text, format!("{TEXT}\n[room]\nceiling = \"2.4 m\"\n"));
        let text = apply(TEXT, &[Edit::quoted("failures.relay.soonest", "9 years")]).unwrap();
        assert_eq!(text, format!("{TEXT}\n[failures.relay]\nsoonest = \"9 years\"\n"));
    }

    #[test]
    fn what_cant_be_edited_is_said() {
        assert!(matches!(
            apply(TEXT, &[Edit::quoted("tanks.x.salinity", "3")]),
            Err(EditError::NoSection { .. })
        ));
        assert!(matches!(
            apply(
                TEXT,
                &[Edit {
                    path: "title".into(),
                    text: "nonsense here".into()
                }]
            ),
            Err(EditError::NoValue { .. })
        ));
    }
}
