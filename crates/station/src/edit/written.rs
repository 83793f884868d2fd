//! What stands where in a station file, as it is written: parsed once, asked as often as one likes.

use core::ops::Range;

use toml::de::{DeTable, DeValue};

/// The text of a station file, parsed: what stands at which path, byte by byte as its owner wrote it.
#[derive(Debug)]
pub struct Written<'t> {
    text: &'t str,
    root: DeTable<'t>,
    /// Whether all of it could be parsed.
    is_whole: bool,
}

impl<'t> Written<'t> {
    /// Parses a text; of one that can't be parsed no value is told.
    pub fn of(text: &'t str) -> Self {
        let (root, faults) = DeTable::parse_recoverable(text);
        Self {
            text,
            root: root.into_inner(),
            is_whole: faults.is_empty(),
        }
    }

    /// Whether all of the text is in the notation of the file; of another only a part is known.
    pub fn is_whole(&self) -> bool {
        self.is_whole
    }

    /// The text itself.
    pub fn source(&self) -> &'t str {
        self.text
    }

    /// What stands at a path, quotes and all; nothing where nothing does.
    pub fn value(&self, path: &str) -> Option<&'t str> {
        self.text.get(self.span(path)?)
    }

    /// The text that stands at a path, as the file means it: without its quotes. Nothing where there is no text.
    pub fn text(&self, path: &str) -> Option<String> {
        let (section, key) = path.rsplit_once('.').unwrap_or(("", path));
        match self.table(section)?.get(key)?.get_ref() {
            DeValue::String(text) if self.is_whole => Some(text.to_string()),
            _ => None,
        }
    }

    /// The paths of all single values, in no order that matters.
    pub fn values(&self) -> Vec<String> {
        fn walk(table: &DeTable<'_>, above: &str, all: &mut Vec<String>) {
            for (key, value) in table {
                let path = match above {
                    "" => key.get_ref().to_string(),
                    above => format!("{above}.{}", key.get_ref()),
                };
                match value.get_ref() {
                    DeValue::Table(inner) => walk(inner, &path, all),
                    _ => all.push(path),
                }
            }
        }
        let mut all = Vec::new();
        walk(&self.root, "", &mut all);
        all
    }

    /// The path of what stands at a byte: of a value, or of the section whose heading it is in.
    pub fn path_at(&self, at: usize) -> Option<String> {
        fn walk(table: &DeTable<'_>, at: usize, above: &str) -> Option<String> {
            table.iter().find_map(|(key, value)| {
                let path = match above {
                    "" => key.get_ref().to_string(),
                    above => format!("{above}.{}", key.get_ref()),
                };
                if let DeValue::Table(inner) = value.get_ref()
                    && let Some(found) = walk(inner, at, &path)
                {
                    return Some(found);
                }
                (key.span().contains(&at) || value.span().contains(&at)).then_some(path)
            })
        }
        walk(&self.root, at, "")
    }

    /// A section as it stands there, from its heading to its last line, with the comment directly above it; one on a line by
    /// its value. Nothing where there is none.
    pub fn section(&self, path: &str) -> Option<&'t str> {
        match super::section::bytes_of(self.text, &self.root, path) {
            Some(bytes) => self.text.get(bytes),
            None => self.value(path),
        }
    }

    /// The keys of a table, in the order of the file: the owner's names of `vessels`. None where there is no such table; of a
    /// text that can't be parsed, those that could.
    pub fn keys(&self, path: &str) -> Vec<String> {
        let Some(table) = self.table(path) else {
            return Vec::new();
        };
        let mut keys: Vec<(usize, String)> = table
            .iter()
            .map(|(key, _)| (key.span().start, key.get_ref().to_string()))
            .collect();
        keys.sort();
        keys.into_iter().map(|(_, key)| key).collect()
    }

    /// The table at a path.
    fn table(&self, path: &str) -> Option<&DeTable<'t>> {
        let mut names = path.split('.').filter(|name| !name.is_empty());
        names.try_fold(&self.root, |table, name| match table.get(name)?.get_ref() {
            DeValue::Table(inner) => Some(inner),
            _ => None,
        })
    }

    /// The bytes of the last name of a path.
    pub(super) fn key_span(&self, path: &str) -> Option<Range<usize>> {
        let (section, key) = path.rsplit_once('.').unwrap_or(("", path));
        let (key, _) = self.table(section)?.get_key_value(key)?;
        Some(key.span())
    }

    /// The bytes of the value at a path.
    pub fn span(&self, path: &str) -> Option<Range<usize>> {
        if !self.is_whole {
            return None;
        }
        let mut table = &self.root;
        let mut names = path.split('.').peekable();
        while let Some(name) = names.next() {
            let value = table.get(name)?;
            match (names.peek(), value.get_ref()) {
                (None, _) => return Some(value.span()),
                (Some(_), DeValue::Table(next)) => table = next,
                _ => return None,
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::Written;

    #[test]
    fn names_stand_in_the_order_of_the_file() {
        let text = "[vessels.salt]\n[vessels.fresh]\n[valves]\nb = { line = 'x' }\na = { line = 'y' }\n";
        let written = Written::of(text);
        assert_eq!(written.keys("vessels"), ["salt", "fresh"]);
        assert_eq!(written.keys("valves"), ["b", "a"]);
        assert!(written.keys("pumps").is_empty());
    }

    #[test]
    fn what_stands_at_a_byte_is_told_by_its_path() {
        let text = "title = 'x'\n[vessels.fresh]\nstop = \"1 mm\"\n[valves]\na = { line = 'x' }\n";
        let written = Written::of(text);
        let at = |what: &str| written.path_at(text.find(what).expect("it is there"));
        for (what, path) in [
            ("'x'", "title"),
            ("1 mm", "vessels.fresh.stop"),
            ("stop", "vessels.fresh.stop"),
            ("fresh]", "vessels.fresh"),
            ("line", "valves.a.line"),
            ("a =", "valves.a"),
        ] {
            assert_eq!(at(what).as_deref(), Some(path), "{what}");
        }
        assert_eq!(written.path_at(text.len()), None);
    }

    #[test]
    fn a_value_is_told_as_it_is_written() {
        let text = "title = 'x'   # keep\n[vessels.fresh]\nstop_level   =  \"740 mm\" # marked\n";
        let written = Written::of(text);
        assert_eq!(written.value("vessels.fresh.stop_level"), Some("\"740 mm\""));
        assert_eq!(written.value("title"), Some("'x'"));
        for missing in ["vessels.fresh.start_level", "title.more", "tanks.x", ""] {
            assert_eq!(written.value(missing), None, "{missing}");
        }
        assert_eq!(Written::of("title = 'x'\n[vessels").value("title"), None);
    }
}
