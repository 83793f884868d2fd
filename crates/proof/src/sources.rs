//! The works behind the methods, in words: what `docs/sources.md` says of each key.

/// A work that a method leans on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// Its key, as methods cite it.
    pub key: &'static str,
    /// The work itself.
    pub reference: &'static str,
    /// How far it was checked.
    pub checked: &'static str,
}

const REGISTER: &str = include_str!("../../../docs/sources.md");

/// What the register says of a key.
pub fn source(key: &str) -> Option<Source> {
    REGISTER
        .lines()
        .filter_map(|line| line.strip_prefix("| "))
        .find_map(|row| {
            let mut cells = row.trim_end_matches(" |").split(" | ");
            let own = cells.next()?;
            let reference = cells.next()?;
            (own == key).then_some(Source {
                key: own,
                reference,
                checked: cells.last()?,
            })
        })
}

#[cfg(test)]
mod tests {
    use super::source;
    use crate::METHODS;

    #[test]
    fn every_work_that_a_method_cites_is_told() {
        for method in METHODS {
            for key in method.sources {
                let found = source(key).unwrap_or_else(|| panic!("{key}, cited by {}", method.key));
                assert!(found.reference.len() > 3 && found.checked.len() > 3, "{found:?}");
            }
        }
    }
}
