//! Sections that the owner names: put into the text whole, taken out whole.
//!
//! Owns: where in the text a section of its own heading begins and ends, with the comment lines that stand directly above
//! it. One that stands on one line, or is written with points, is left to the document.

use core::ops::Range;

use toml::de::{DeTable, DeValue};
use toml_edit::{InlineTable, Value};

use super::at_once::is_bare;
use super::{Edit, EditError};
use crate::sections::{REGISTER, of_table};

/// The table of a path and the name that the owner gives there: `tanks` and `reef`.
pub fn named(path: &str) -> Option<(&str, &str)> {
    let (table, name) = path.split_once('.')?;
    (of_table(table).is_some() && !name.contains('.')).then_some((table, name))
}

/// The text with a section put in, where its table has headings of its own: behind the last of its kind, or behind what
/// comes before it in a file. `None` where the document has to do it.
///
/// # Errors
/// [`EditError::Taken`] where there is one of that name.
pub(super) fn put_in(text: &str, edit: &Edit) -> Result<Option<String>, EditError> {
    let Some((table, name)) = named(&edit.path) else {
        return Ok(None);
    };
    let Ok(Value::InlineTable(values)) = edit.text.parse::<Value>() else {
        return Ok(None);
    };
    let (root, faults) = DeTable::parse_recoverable(text);
    let root = root.get_ref();
    if !faults.is_empty() || !is_bare(name) {
        return Ok(None);
    }
    let siblings = match root.get(table).map(|own| own.get_ref()) {
        None => None,
        Some(DeValue::Table(siblings)) => Some(siblings),
        Some(_) => return Ok(None),
    };
    if siblings.is_some_and(|own| own.contains_key(name)) {
        return Err(EditError::Taken {
            path: edit.path.clone(),
        });
    }
    let headings = headings(text, root);
    let is_headed = |own: &DeTable<'_>| own.values().any(|value| is_heading(text, &value.span()));
    // `[valves]` with its valves on a line each has room for one more.
    if siblings.is_some_and(|own| !is_headed(own)) {
        return Ok(None);
    }
    let at = match siblings {
        Some(siblings) => siblings
            .values()
            .filter(|value| is_heading(text, &value.span()))
            .map(|value| end_of(text, &headings, &value.span()))
            .max(),
        None => before(table, root, text, &headings),
    };
    let at = at.unwrap_or_else(|| text.trim_end().len());
    let mut edited = text[..at].to_owned();
    let line_end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    if !edited.is_empty() && !edited.ends_with('\n') {
        edited.push_str(line_end);
    }
    if !edited.is_empty() {
        edited.push_str(line_end);
    }
    edited.push_str(&block(&edit.path, &values, line_end));
    // Blank lines at the end of the file stood there for what comes now.
    if !text[at..].trim().is_empty() {
        edited.push_str(&text[at..]);
    }
    Ok(Some(edited))
}

/// The end of the last section that stands before those of a table in the order of the register.
fn before(table: &str, root: &DeTable<'_>, text: &str, headings: &[Range<usize>]) -> Option<usize> {
    let own = REGISTER
        .iter()
        .position(|section| section.table() == Some(table))?;
    REGISTER[..own].iter().rev().find_map(|section| {
        let earlier = section.path.trim_end_matches(".*");
        let value = root.get(earlier)?;
        let inner = match value.get_ref() {
            DeValue::Table(inner) => inner.values().map(|value| value.span()).collect(),
            _ => Vec::new(),
        };
        inner
            .into_iter()
            .chain([value.span()])
            .filter(|span| is_heading(text, span))
            .map(|span| end_of(text, headings, &span))
            .max()
    })
}

fn block(path: &str, values: &InlineTable, line_end: &str) -> String {
    let mut block = format!("[{path}]{line_end}");
    for (key, value) in values {
        block.push_str(&format!("{key} = {}{line_end}", value.to_string().trim()));
    }
    block
}

/// The text without a section that has a heading of its own; `None` where it has none.
pub(super) fn taken_out(text: &str, path: &str) -> Option<String> {
    let (root, faults) = DeTable::parse_recoverable(text);
    if !faults.is_empty() {
        return None;
    }
    let own = bytes_of(text, root.get_ref(), path)?;
    let rest = &text[own.end..];
    let blank = rest.len() - rest.trim_start_matches(['\r', '\n']).len();
    let (head, tail) = (&text[..own.start], &rest[blank..]);
    if tail.is_empty() {
        let kept = head.trim_end();
        return Some(text[..kept.len()].to_owned() + &first_line_end(&text[kept.len()..]));
    }
    Some(head.to_owned() + tail)
}

fn first_line_end(text: &str) -> String {
    match text {
        _ if text.starts_with("\r\n") => "\r\n".to_owned(),
        _ if text.starts_with('\n') => "\n".to_owned(),
        _ => String::new(),
    }
}

/// The bytes of a section that has a heading of its own: with the comment lines directly above it, to the end of its last
/// line.
pub(super) fn bytes_of(text: &str, root: &DeTable<'_>, path: &str) -> Option<Range<usize>> {
    let mut table = root;
    let mut span = None;
    for name in path.split('.') {
        let value = table.get(name)?;
        let DeValue::Table(inner) = value.get_ref() else {
            return None;
        };
        (table, span) = (inner, Some(value.span()));
    }
    let heading = span.filter(|span| is_heading(text, span))?;
    // Of a section with others under it not all would be taken.
    if table.values().any(|value| is_heading(text, &value.span())) {
        return None;
    }
    let start = with_comments(text, line_start(text, heading.start));
    Some(start..end_of(text, &headings(text, root), &heading))
}

/// Whether a table has a heading of its own at these bytes.
fn is_heading(text: &str, span: &Range<usize>) -> bool {
    let own = &text[span.clone()];
    let before = &text[line_start(text, span.start)..span.start];
    own.starts_with('[') && own.ends_with(']') && before.trim().is_empty()
}

/// Where each heading of the file begins, in its order.
fn headings(text: &str, root: &DeTable<'_>) -> Vec<Range<usize>> {
    fn walk(text: &str, table: &DeTable<'_>, found: &mut Vec<Range<usize>>) {
        for value in table.values() {
            if let DeValue::Table(inner) = value.get_ref() {
                if is_heading(text, &value.span()) {
                    found.push(value.span());
                }
                walk(text, inner, found);
            }
        }
    }
    let mut found = Vec::new();
    walk(text, root, &mut found);
    found.sort_by_key(|span| span.start);
    found
}

/// Behind the last line of a section: of its last value, with the comment lines that follow it without a blank one.
fn end_of(text: &str, headings: &[Range<usize>], heading: &Range<usize>) -> usize {
    let next = headings
        .iter()
        .find(|own| own.start > heading.start)
        .map_or(text.len(), |own| with_comments(text, line_start(text, own.start)));
    // What stands between is values, comments and blank lines: a value's lines hold no blank one at their end.
    let body = &text[heading.end..next];
    let mut end = 0;
    let mut at = 0;
    let mut after_blank = false;
    for line in body.split_inclusive('\n') {
        at += line.len();
        let line = line.trim();
        let is_comment = line.starts_with('#');
        if line.is_empty() {
            after_blank = true;
        } else if !is_comment || !after_blank {
            end = at;
            after_blank = false;
        }
    }
    heading.end + end
}

/// The beginning of the line that a byte is in.
fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |before| before + 1)
}

/// Where the comment lines directly above a line begin.
fn with_comments(text: &str, line: usize) -> usize {
    let mut start = line;
    while start > 0 {
        let above = line_start(text, start - 1);
        if !text[above..start].trim_start().starts_with('#') {
            break;
        }
        start = above;
    }
    start
}

#[cfg(test)]
mod tests {
    use super::super::{Edit, EditError, apply};
    use crate::Station;
    use crate::edit::Written;

    const LARKHAVEN: &str = include_str!("../../../../stations/larkhaven.toml");

    fn edit(path: &str, text: &str) -> Edit {
        Edit {
            path: path.to_owned(),
            text: text.to_owned(),
        }
    }

    const TANK: &str =
        "{ volume = \"90 L\", salinity = 35, temperature = \"24 C\", evaporation = \"1 L/day\" }";

    #[test]
    fn a_section_stands_behind_the_last_of_its_kind_and_goes_again_without_a_trace() {
        let added = apply(LARKHAVEN, &[edit("tanks.lagoon", TANK)]).unwrap();
        let block = "\n[tanks.lagoon]\nvolume = \"90 L\"\nsalinity = 35\ntemperature = \"24 C\"\nevaporation = \"1 L/day\"\n";
        let at = added.find(block).expect("a block");
        assert_eq!(added.replacen(block, "", 1), LARKHAVEN);
        assert!(
            added[..at].ends_with("pollutant_limit = \"15 mg/L\"\n"),
            "{}",
            &added[at - 80..at]
        );
        assert!(added[at + block.len()..].starts_with("\n# ---- vessels"));
        assert!(Station::read(&added).is_ok(), "{:?}", Station::read(&added).err());
        assert_eq!(apply(&added, &[edit("tanks.lagoon", "")]).unwrap(), LARKHAVEN);
    }

    #[test]
    fn each_section_of_a_file_can_be_taken_out_and_nothing_else_moves() {
        let written = Written::of(LARKHAVEN);
        let mut seen = 0;
        for table in [
            "holidays",
            "tanks",
            "vessels",
            "feed_states",
            "filters",
            "lines",
            "lineups",
        ] {
            for name in written.keys(table) {
                let path = format!("{table}.{name}");
                let own = written.section(&path).expect("a section");
                assert!(own.contains(&format!("[{path}]")), "{own}");
                let left = apply(LARKHAVEN, &[edit(&path, "")]).unwrap();
                let lost = LARKHAVEN.len() - left.len() - own.len();
                // The blank line that parted it from the next.
                assert!(lost <= 1, "{path}: {lost}");
                assert_eq!(Written::of(&left).section(&path), None);
                assert!(left.ends_with('\n') && !left.contains("\n\n\n"), "{path}");
                seen += 1;
            }
        }
        assert!(seen > 20);
    }

    /// Comments directly above a heading, or directly below its values, belong to it; others stay.
    #[test]
    fn comments_stay_with_what_they_stand_at() {
        let text = "# ---- tanks ----\n\n# the big one\n[tanks.a]\nvolume = \"1 L\"   # so\n# not measured\n\n# later: another\n\n# vessels now\n[vessels.v]\nx = 1\n";
        assert_eq!(
            apply(text, &[edit("tanks.a", "")]).unwrap(),
            "# ---- tanks ----\n\n# later: another\n\n# vessels now\n[vessels.v]\nx = 1\n"
        );
        assert_eq!(
            apply(text, &[edit("vessels.v", "")]).unwrap(),
            text.split("\n\n# vessels now").next().unwrap().to_owned() + "\n"
        );
        assert_eq!(
            apply(text, &[edit("tanks.b", "{ volume = \"2 L\" }")]).unwrap(),
            text.replace(
                "# not measured\n",
                "# not measured\n\n[tanks.b]\nvolume = \"2 L\"\n"
            )
        );
    }

    #[test]
    fn the_first_of_its_kind_stands_where_a_file_has_it() {
        for (text, path, wanted) in [
            ("title = 'x'\n", "tanks.a", "title = 'x'\n\n[tanks.a]\nv = 1\n"),
            ("", "tanks.a", "[tanks.a]\nv = 1\n"),
            (
                "[room]\nx = 1\n\n[salt]\ny = 1\n",
                "tanks.a",
                "[room]\nx = 1\n\n[tanks.a]\nv = 1\n\n[salt]\ny = 1\n",
            ),
            (
                "[vessels.a]\r\nx = 1\r\n",
                "tanks.a",
                "[vessels.a]\r\nx = 1\r\n\r\n[tanks.a]\r\nv = 1\r\n",
            ),
            (
                "[valves]\na = { x = 1 }   # mine\n\n[salt]\n",
                "valves.b",
                "[valves]\na = { x = 1 }   # mine\nb = { v = 1 }\n\n[salt]\n",
            ),
            (
                "[valves.a]\nx = 1\n\n[salt]\n",
                "valves.b",
                "[valves.a]\nx = 1\n\n[valves.b]\nv = 1\n\n[salt]\n",
            ),
        ] {
            assert_eq!(apply(text, &[edit(path, "{ v = 1 }")]).as_deref(), Ok(wanted));
            // And it goes again.
            let own = [edit(path, "{ v = 1 }"), edit(path, "")];
            assert_eq!(apply(text, &own).as_deref(), Ok(text), "{path}");
        }
    }

    #[test]
    fn a_name_is_taken_once() {
        let taken = |text: &str| matches!(apply(text, &[edit("tanks.a", TANK)]), Err(EditError::Taken { path }) if path == "tanks.a");
        assert!(taken("[tanks.a]\nvolume = \"1 L\"\n"));
        assert!(taken("[tanks]\na = { volume = \"1 L\" }\n"));
        assert!(taken("tanks.a.volume = \"1 L\"\n"));
    }
}
