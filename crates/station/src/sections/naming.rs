//! What the register's types don't say of fields: which name other sections, of which one must be said.
//!
//! Owns: the lists of them. What a name leads to is found in `crate::plumbing` and `crate::check`, which tell what is wrong
//! with one; this is for who renames a section, takes one out, or offers the names that there are.

/// A field whose text is the name of another section, or several with commas between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Naming {
    /// The section that it is in, as in the register: `lines.*`.
    pub section: &'static str,
    /// Its key.
    pub key: &'static str,
    /// The tables whose names it may bear, in the order in which they are offered.
    pub tables: &'static [&'static str],
    /// Whether there may be several, with commas between.
    pub several: bool,
}

/// What a line may end at, and begin at.
const ENDS: &[&str] = &["vessels", "tanks", "pumps", "tees", "draw_points"];
const BEGINNINGS: &[&str] = &["vessels", "pumps", "tees", "tanks"];
/// What a task draws from, and leads to.
const DRAWN_FROM: &[&str] = &["vessels", "tanks"];
const LED_TO: &[&str] = &["draw_points", "vessels", "tanks"];

/// Every field that names other sections.
pub const NAMINGS: &[Naming] = &[
    one("purifier", "fills", &["vessels"]),
    several("pumps.*", "runs_only_with"),
    one("tees.*", "branch", &["lines"]),
    one("lines.*", "from", BEGINNINGS),
    one("lines.*", "to", ENDS),
    one("valves.*", "line", &["lines"]),
    one("valves.*", "three_way_with", &["valves"]),
    one("lineups.*", "from", DRAWN_FROM),
    one("lineups.*", "to", LED_TO),
    one("lineups.*", "pump", &["pumps"]),
    several("lineups.*", "open"),
];

/// Keys of a section of which one has to be said, though none by itself: who asks for a new one asks for these at once.
pub const ONE_OF: &[(&str, &[&str])] = &[("tanks.*", &["evaporation", "surface"])];

const fn one(section: &'static str, key: &'static str, tables: &'static [&'static str]) -> Naming {
    Naming {
        section,
        key,
        tables,
        several: false,
    }
}

/// Valves, with commas between.
const fn several(section: &'static str, key: &'static str) -> Naming {
    Naming {
        section,
        key,
        tables: &["valves"],
        several: true,
    }
}

impl Naming {
    /// The kind of a table's sections, as a name may be led by where several have it: `tee spout`.
    pub fn kind_of(table: &str) -> String {
        table.strip_suffix('s').unwrap_or(table).replace('_', " ")
    }

    /// Whether the field's text names a section, and where in the text: the bytes of the bare name.
    pub fn names(&self, text: &str, table: &str, name: &str) -> Option<core::ops::Range<usize>> {
        if !self.tables.contains(&table) {
            return None;
        }
        let lead = format!("{} ", Self::kind_of(table));
        let parts = text.split_inclusive(if self.several { ',' } else { '\0' });
        let mut start = 0;
        for part in parts {
            let bare = part.strip_suffix(',').unwrap_or(part);
            let own = bare.trim_start();
            let mut at = start + (bare.len() - own.len());
            let mut own = own.trim_end();
            if !self.several
                && let Some(rest) = own.strip_prefix(&lead)
            {
                let rest = rest.trim_start();
                at += own.len() - rest.len();
                own = rest;
            }
            if own == name {
                return Some(at..at + own.len());
            }
            start += part.len();
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::register::{Form, Need};
    use crate::sections::REGISTER;

    /// Texts that name nothing in the file.
    const FREE: &[&str] = &[
        ".title",
        ".note",
        "display.currency",
        "feed_states.*.test",
        "instruments.*.reference",
        "salt.label",
        "tanks.*.pollutant",
    ];

    /// A new section with all that the register requires, in a sound station: a key that is wanted besides is asked for.
    #[test]
    fn what_a_new_section_needs_besides_is_one_of_these() {
        let base = include_str!("../../../../stations/larkhaven.toml");
        let mut found = Vec::new();
        for section in REGISTER.iter().filter(|own| own.path.ends_with(".*")) {
            let table = section.path.trim_end_matches(".*");
            let required = section.fields.iter().filter(|own| own.need == Need::Required);
            let values: String = required
                .map(|own| format!("{} = {}\n", own.key, own.example))
                .collect();
            let name = section
                .names
                .map_or("newcomer", |names| names[names.len() - 1].word);
            let text = format!("{base}\n[{table}.{name}]\n{values}");
            let faults = crate::Station::read(&text).err().unwrap_or_default();
            let wanted = |key: &str| {
                let lead = format!("{key} = ");
                let own = |fault: &&crate::Fault| fault.why.contains(name) && fault.mend.contains(&lead);
                faults.iter().any(|fault| own(&fault))
            };
            let keys: Vec<&str> = section
                .fields
                .iter()
                .filter(|own| own.need != Need::Required && wanted(own.key))
                .map(|own| own.key)
                .collect();
            if !keys.is_empty() {
                found.push((section.path, keys));
            }
        }
        let listed: Vec<_> = ONE_OF.iter().map(|(path, keys)| (*path, keys.to_vec())).collect();
        assert_eq!(found, listed);
    }

    #[test]
    fn every_text_of_the_register_names_something_or_is_free() {
        for section in REGISTER {
            for field in section.fields.iter().filter(|own| matches!(own.form, Form::Text)) {
                let path = format!("{}.{}", section.path, field.key);
                let names = NAMINGS
                    .iter()
                    .filter(|own| (own.section, own.key) == (section.path, field.key));
                assert_eq!(
                    names.count() + usize::from(FREE.contains(&path.as_str())),
                    1,
                    "{path}"
                );
            }
        }
        for own in NAMINGS {
            for table in own.tables {
                let path = format!("{table}.*");
                assert!(REGISTER.iter().any(|section| section.path == path), "{path}");
            }
            let section = REGISTER
                .iter()
                .find(|section| section.path == own.section)
                .expect("a section");
            let field = section
                .fields
                .iter()
                .find(|field| field.key == own.key)
                .expect("a field");
            // A list that loses its last name can be left out.
            assert!(!own.several || field.need != Need::Required);
        }
    }

    #[test]
    fn a_name_is_found_where_it_stands() {
        let [line, open] = [one("lines.*", "to", ENDS), several("lineups.*", "open")];
        for (naming, text, table, name, found) in [
            (&line, "fresh", "vessels", "fresh", Some(0..5)),
            (&line, " fresh ", "vessels", "fresh", Some(1..6)),
            (&line, "vessel fresh", "vessels", "fresh", Some(7..12)),
            (&line, "draw point tap", "draw_points", "tap", Some(11..14)),
            (&line, "vessel fresh", "tanks", "fresh", None),
            (&line, "fresher", "vessels", "fresh", None),
            (&line, "fresh", "valves", "fresh", None),
            (&open, "outlet, spout", "valves", "spout", Some(8..13)),
            (&open, "outlet,spout", "valves", "outlet", Some(0..6)),
            (&open, "outlet, spouts", "valves", "spout", None),
        ] {
            assert_eq!(naming.names(text, table, name), found, "{text}, {name}");
        }
    }
}
