//! Where each value and each section of a file stands.

use core::ops::Range;

use toml::de::{DeTable, DeValue};

/// Where each value and each section of a file stands, looked up once.
///
/// All paths stand in one text, sorted: a station has hundreds, and is read and copied for every change that is tried.
#[derive(Debug, Clone, Default)]
pub(crate) struct Places {
    paths: String,
    /// Sorted by path.
    stands: Vec<Stand>,
}

#[derive(Debug, Clone)]
struct Stand {
    /// Its bytes in the text of all paths.
    path: Range<usize>,
    /// Its bytes in the file.
    span: Range<usize>,
    /// Those of what stands behind its key; a section under a heading has nothing there.
    value: Option<Range<usize>>,
}

impl Places {
    pub(crate) fn of(root: &DeTable<'_>) -> Self {
        let mut places = Self::default();
        places.walk(root, 0..0);
        let Self { paths, stands } = &mut places;
        stands.sort_by(|a, b| paths[a.path.clone()].cmp(&paths[b.path.clone()]));
        places
    }

    fn walk(&mut self, table: &DeTable<'_>, above: Range<usize>) {
        for (key, value) in table {
            let start = self.paths.len();
            if !above.is_empty() {
                self.paths.extend_from_within(above.clone());
                self.paths.push('.');
            }
            self.paths.push_str(key.get_ref());
            let path = start..self.paths.len();
            let (span, inner) = match value.get_ref() {
                DeValue::Table(inner) => (key.span(), Some(inner)),
                _ => (value.span(), None),
            };
            let is_behind = key.span().end <= value.span().start;
            self.stands.push(Stand {
                path: path.clone(),
                span,
                value: is_behind.then(|| value.span()),
            });
            if let Some(inner) = inner {
                self.walk(inner, path);
            }
        }
    }

    /// The bytes of a value, or of the nearest section on the way to it.
    pub(crate) fn span_of(&self, path: &str) -> Option<Range<usize>> {
        let mut path = path;
        loop {
            if let Some(stand) = self.of_path(path) {
                return Some(stand.span.clone());
            }
            path = path.rsplit_once('.')?.0;
        }
    }

    /// The bytes of what stands behind the key of this path.
    pub(crate) fn value_of(&self, path: &str) -> Option<Range<usize>> {
        self.of_path(path)?.value.clone()
    }

    /// What has this path; the last such, where a key in quotes has points in it.
    fn of_path(&self, path: &str) -> Option<&Stand> {
        let behind = self
            .stands
            .partition_point(|stand| &self.paths[stand.path.clone()] <= path);
        let stand = &self.stands[behind.checked_sub(1)?];
        (&self.paths[stand.path.clone()] == path).then_some(stand)
    }
}
