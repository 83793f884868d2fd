//! Edits that leave each other alone, made at once after one look at the text.
//!
//! Owns: which edits need no more than to put something between two bytes, and where. All others are made one by one,
//! and to add a value the document is taken apart and written anew; the bytes that come out are the same.

use core::ops::Range;

use toml::de::{DeTable, DeValue};

use super::Edit;

/// Something that is put in place of some bytes.
struct Splice {
    span: Range<usize>,
    put: String,
}

/// The text with all edits made; `None` where one of them is more than a splice.
pub(super) fn apply(text: &str, edits: &[Edit]) -> Option<String> {
    if !leave_each_other_alone(edits) {
        return None;
    }
    let (root, faults) = DeTable::parse_recoverable(text);
    if !faults.is_empty() {
        return None;
    }
    let root = root.get_ref();
    let mut splices: Vec<Splice> = Vec::with_capacity(edits.len());
    let mut adds = false;
    for edit in edits {
        splices.push(match value_of(root, &edit.path) {
            Some(span) => Splice {
                span: span?,
                put: edit.text.clone(),
            },
            None => {
                adds = true;
                addition(text, root, edit)?
            }
        });
    }
    if adds && !is_written_as_read(text, root) {
        return None;
    }
    Some(spliced(text, splices))
}

/// The same where it is known already where values stand, so that nothing is parsed: `None` also where one is added.
pub(super) fn replace(
    text: &str,
    value: impl Fn(&str) -> Option<Range<usize>>,
    edits: &[Edit],
) -> Option<String> {
    if !leave_each_other_alone(edits) {
        return None;
    }
    let splice = |edit: &Edit| {
        Some(Splice {
            span: value(&edit.path)?,
            put: edit.text.clone(),
        })
    };
    let splices: Vec<Splice> = edits.iter().map(splice).collect::<Option<_>>()?;
    Some(spliced(text, splices))
}

fn leave_each_other_alone(edits: &[Edit]) -> bool {
    edits.iter().enumerate().all(|(at, edit)| {
        is_plain(edit) && edits[..at].iter().all(|other| are_apart(&edit.path, &other.path))
    })
}

fn spliced(text: &str, mut splices: Vec<Splice>) -> String {
    // What is added to one section stays in the order of the edits.
    splices.sort_by_key(|splice| splice.span.start);
    let added: usize = splices.iter().map(|splice| splice.put.len()).sum();
    let mut edited = String::with_capacity(text.len() + added);
    let mut at = 0;
    for Splice { span, put } in splices {
        edited.push_str(&text[at..span.start]);
        edited.push_str(&put);
        at = span.end;
    }
    edited.push_str(&text[at..]);
    edited
}

/// A value of one line under a path of bare keys, with no room for a comment or for keys of its own.
fn is_plain(edit: &Edit) -> bool {
    let is_value = !edit.text.is_empty()
        && edit.text.trim() == edit.text
        && !edit.text.contains(['\n', '\r', '#', '{'])
        && edit.text.parse::<toml_edit::Value>().is_ok();
    is_value && edit.path.split('.').all(is_bare)
}

/// Whether a key stands in a file without quotes.
pub(super) fn is_bare(key: &str) -> bool {
    let bare = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-');
    !key.is_empty() && key.bytes().all(bare)
}

/// Whether neither path is the other, or leads to it.
fn are_apart(one: &str, other: &str) -> bool {
    let leads = |from: &str, to: &str| {
        to.strip_prefix(from)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    !leads(one, other) && !leads(other, one)
}

/// The bytes of the value at a path: `None` inside where it is a section.
fn value_of(root: &DeTable<'_>, path: &str) -> Option<Option<Range<usize>>> {
    let (section, key) = path.rsplit_once('.').unwrap_or(("", path));
    let (key, value) = table_of(root, section)?.get_key_value(key)?;
    let is_own = key.span().end <= value.span().start;
    Some(is_own.then(|| value.span()))
}

/// The table at a path.
fn table_of<'r, 't>(root: &'r DeTable<'t>, path: &str) -> Option<&'r DeTable<'t>> {
    let mut names = path.split('.').filter(|name| !name.is_empty());
    names.try_fold(root, |table, name| match table.get(name)?.get_ref() {
        DeValue::Table(inner) => Some(inner),
        _ => None,
    })
}

/// A line behind the last of a section that has its own heading.
fn addition(text: &str, root: &DeTable<'_>, edit: &Edit) -> Option<Splice> {
    let (section, key) = edit.path.rsplit_once('.')?;
    let (above, name) = section.rsplit_once('.').unwrap_or(("", section));
    let value = table_of(root, above)?.get(name)?;
    let DeValue::Table(table) = value.get_ref() else {
        return None;
    };
    if !text[value.span()].starts_with('[') {
        return None;
    }
    let mut last = value.span().end;
    for (key, value) in table {
        if key.span().end <= value.span().start {
            last = last.max(value.span().end);
        } else if key.span() == value.span() {
            // A section on the way to another, or a key with points: it doesn't tell where it ends.
            return None;
        }
    }
    let line_end = last + text[last..].find('\n')? + 1;
    Some(Splice {
        span: line_end..line_end,
        put: format!("{key} = {}\n", edit.text),
    })
}

/// Whether the text comes out as it is when it is taken apart and written anew: with its line ends, its headings and the
/// order of its keys.
fn is_written_as_read(text: &str, root: &DeTable<'_>) -> bool {
    text.ends_with('\n')
        && !text.starts_with('\u{feff}')
        && !text.contains('\r')
        && !may_have_pointed_keys(text)
        && has_plain_headings(text, root)
}

/// Keys such as `vessels.fresh.lid = "tight"` are gathered by their section.
fn may_have_pointed_keys(text: &str) -> bool {
    text.match_indices('=').any(|(at, _)| {
        let key = text[..at].rfind(['\n', ',', '{']).map_or(0, |before| before + 1);
        text[key..at].contains(['.', '"', '\''])
    })
}

/// A heading is written in the spelling of the first that has the same name; a list of sections isn't looked into.
fn has_plain_headings(text: &str, table: &DeTable<'_>) -> bool {
    table.iter().all(|(key, value)| {
        if key.span().end <= value.span().start {
            return holds_its_numbers(value.get_ref());
        }
        let DeValue::Table(inner) = value.get_ref() else {
            return false;
        };
        let heading = &text[value.span()];
        let names = heading
            .strip_prefix('[')
            .and_then(|rest| rest.strip_suffix(']'))
            .unwrap_or(heading);
        names.split('.').all(is_bare) && has_plain_headings(text, inner)
    })
}

/// A number of too many digits stands in a file as any other, until the document is taken apart.
fn holds_its_numbers(value: &DeValue<'_>) -> bool {
    match value {
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix()).is_ok(),
        DeValue::Float(number) => number.as_str().parse().is_ok_and(|own: f64| !own.is_infinite()),
        DeValue::Array(items) => items.iter().all(|item| holds_its_numbers(item.get_ref())),
        DeValue::Table(table) => table.values().all(|value| holds_its_numbers(value.get_ref())),
        DeValue::String(_) | DeValue::Boolean(_) | DeValue::Datetime(_) => true,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Edit, one_by_one};
    use super::{apply, replace};
    use crate::Station;

    const LARKHAVEN: &str = include_str!("../../../../stations/larkhaven.toml");

    fn edit(path: &str, text: &str) -> Edit {
        Edit {
            path: path.to_owned(),
            text: text.to_owned(),
        }
    }

    /// Each section's own keys, by the lines of the file.
    fn sections(text: &str) -> Vec<(&str, Vec<&str>)> {
        let mut sections: Vec<(&str, Vec<&str>)> = Vec::new();
        for line in text.lines() {
            if let Some(path) = line.strip_prefix('[').and_then(|line| line.split(']').next()) {
                sections.push((path, Vec::new()));
            } else if let (Some((key, _)), Some((_, keys))) = (line.split_once(" = "), sections.last_mut()) {
                keys.push(key);
            }
        }
        sections
    }

    #[test]
    fn bytes_are_those_of_edits_made_one_by_one() {
        let sections = sections(LARKHAVEN);
        assert!(sections.len() > 20);
        for (section, keys) in &sections {
            let added = [
                edit(&format!("{section}.new_key"), "\"1 mm\""),
                edit(&format!("{section}.newer-key"), "[[1, 2.5], [ 3,4 ]]"),
            ];
            let replaced = keys.iter().map(|key| edit(&format!("{section}.{key}"), "true"));
            let edits: Vec<Edit> = added.into_iter().chain(replaced).collect();
            let at_once = apply(LARKHAVEN, &edits);
            assert!(at_once.is_some(), "{section}");
            assert_eq!(at_once, one_by_one(LARKHAVEN, &edits).ok(), "{section}");
        }
    }

    /// Every value of all examples, found by the station instead of by parsing.
    #[test]
    fn where_a_value_stands_the_station_knows() {
        for text in [
            LARKHAVEN,
            include_str!("../../../../stations/juniper-street-school.toml"),
            include_str!("../../../../stations/skelder-hatchery.toml"),
        ] {
            let station = Station::read(text).expect("an example");
            let paths = super::super::Written::of(text).values();
            assert!(paths.len() > 50);
            for path in paths {
                let edits = [edit(&path, "\"1 mm\"")];
                let known = replace(text, |path| station.value_span(path), &edits);
                assert!(known.is_some(), "{path}");
                assert_eq!(known, apply(text, &edits), "{path}");
            }
            // Neither a section nor what isn't there has a value.
            for path in ["vessels", "room", "room.newer_key", "nowhere.at_all"] {
                assert_eq!(
                    replace(text, |path| station.value_span(path), &[edit(path, "1")]),
                    None
                );
            }
        }
    }

    /// Whatever would be written otherwise than it stands, when a document is taken apart for a value to be added.
    #[test]
    fn more_than_a_splice_is_left_to_the_document() {
        let adds = [edit("b.new", "1")];
        assert_eq!(
            apply("[b]\nx = 1\n", &adds).as_deref(),
            Some("[b]\nx = 1\nnew = 1\n")
        );
        for text in [
            "[b]\nx = 1",
            "[b]\r\nx = 1\r\n",
            "\u{feff}[b]\nx = 1\n",
            "[b]\na.x = 1\nc = 1\na.y = 1\n",
            "[b]\nx = { a.x = 1, c = 1, a.y = 1 }\n",
            "[a.b]\n['a'.c]\n[b]\n",
            "[[a]]\n[b]\n",
            "[b]\nx = 99999999999999999999\n",
            "[b]\nx = [1e999]\n",
            "b = { x = 1 }\n",
            "b.x = 1\n",
            "[b.c]\nx = 1\n",
            "[a]\nx = 1\n",
            "[b]\nx = \n",
        ] {
            assert_eq!(apply(text, &adds), None, "{text}");
        }
        let text = "[b]\nx = 1\ny = { z = 1 }\n";
        for edits in [
            [edit("b.x", "2"), edit("b.x", "3")],
            [edit("b.y", "2"), edit("b.y.z", "3")],
            [edit("b.x", "2"), edit("b.x.z", "3")],
            [edit("b.x", "2"), edit("b.y", "")],
            [edit("b.x", "2"), edit("b.y", "{ z = 2 }")],
            [edit("b.x", "2"), edit("b.y", "3 # three")],
            [edit("b.x", "2"), edit("b.y", "three")],
            [edit("b.x", "2"), edit("b.two words", "3")],
            [edit("b.x", "2"), edit("b", "3")],
        ] {
            assert_eq!(apply(text, &edits), None, "{edits:?}");
        }
    }
}
