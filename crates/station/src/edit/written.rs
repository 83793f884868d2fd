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

    /// What stands at a path, quotes and all; nothing where nothing does.
    pub fn value(&self, path: &str) -> Option<&'t str> {
        self.text.get(self.span(path)?)
    }

    /// The keys of a table, in the order of the file: the owner's names of `vessels`. None where there is no such table; of a
    /// text that can't be parsed, those that could.
    pub fn keys(&self, path: &str) -> Vec<String> {
        let mut table = &self.root;
        for name in path.split('.').filter(|name| !name.is_empty()) {
            match table.get(name).map(|value| value.get_ref()) {
                Some(DeValue::Table(inner)) => table = inner,
                _ => return Vec::new(),
            }
        }
        let mut keys: Vec<(usize, String)> = table
            .iter()
            .map(|(key, _)| (key.span().start, key.get_ref().to_string()))
            .collect();
        keys.sort();
        keys.into_iter().map(|(_, key)| key).collect()
    }

    /// The bytes of the value at a path.
    pub(super) fn span(&self, path: &str) -> Option<Range<usize>> {
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
