//! What hangs on a section of the file: what names it, and can't stay without it.

use crate::register::Need;
use crate::sections::{NAMINGS, Naming, REGISTER};

use super::section::named;
use super::{Edit, Written};

/// What has to change with a section that is taken out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Hanging {
    /// Paths of the sections that go with it: a line without its end, a valve without its line. In the order of the register.
    pub sections: Vec<String>,
    /// Values that are left out, or lose a name of several: the branch of a tee, the valves that a task opens.
    pub values: Vec<Edit>,
}

/// What hangs on the section at a path, and on what hangs on it.
///
/// # Examples
/// ```
/// let text = "[vessels.fresh]\n[draw_points]\ntap = { height = \"400 mm\" }\n\
///             [lines.spout]\nfrom = \"fresh\"\nto = \"tap\"\n[valves]\nspout = { line = \"spout\" }\n";
/// let own = station::edit::hanging(text, "vessels.fresh");
/// assert_eq!(own.sections, ["lines.spout", "valves.spout"]);
/// ```
pub fn hanging(text: &str, path: &str) -> Hanging {
    let written = Written::of(text);
    let mut gone = vec![path.to_owned()];
    let mut next = 0;
    while let Some(path) = gone.get(next).cloned() {
        next += 1;
        if let Some((table, name)) = named(&path) {
            for (naming, section, value) in namers(&written) {
                let names = naming.names(&value, table, name).is_some();
                if names && is_required(naming) && !gone.contains(&section) {
                    gone.push(section);
                }
            }
        }
    }
    let mut values = Vec::new();
    for (naming, section, value) in namers(&written) {
        if is_required(naming) || gone.contains(&section) {
            continue;
        }
        let mut left = value.clone();
        for (table, name) in gone.iter().filter_map(|own| named(own)) {
            if let Some(own) = naming.names(&left, table, name) {
                left = without(&left, own);
            }
        }
        if left != value {
            let path = format!("{section}.{}", naming.key);
            values.push(match left.as_str() {
                "" => Edit {
                    path,
                    text: String::new(),
                },
                left => Edit::quoted(path, left),
            });
        }
    }
    let place = |own: &String| {
        let (table, _) = named(own).unwrap_or((own, ""));
        REGISTER
            .iter()
            .position(|section| section.path.trim_end_matches(".*") == table)
    };
    let mut sections = gone.split_off(1);
    sections.sort_by_key(place);
    Hanging { sections, values }
}

/// Every field of the file that names sections, with its section's path and its text.
pub(super) fn namers(written: &Written<'_>) -> Vec<(&'static Naming, String, String)> {
    let mut found = Vec::new();
    for naming in NAMINGS {
        let sections = match naming.section.strip_suffix(".*") {
            None => vec![naming.section.to_owned()],
            Some(table) => written
                .keys(table)
                .into_iter()
                .map(|name| format!("{table}.{name}"))
                .collect(),
        };
        for section in sections {
            if let Some(text) = written.text(&format!("{section}.{}", naming.key)) {
                found.push((naming, section, text));
            }
        }
    }
    found
}

fn is_required(naming: &Naming) -> bool {
    REGISTER
        .iter()
        .filter(|section| section.path == naming.section)
        .flat_map(|section| section.fields)
        .any(|field| field.key == naming.key && field.need == Need::Required)
}

/// A list without one of its names.
fn without(list: &str, name: core::ops::Range<usize>) -> String {
    let kept = format!("{}{}", &list[..name.start], &list[name.end..]);
    let names: Vec<&str> = kept
        .split(',')
        .map(str::trim)
        .filter(|own| !own.is_empty())
        .collect();
    names.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    const LARKHAVEN: &str = include_str!("../../../../stations/larkhaven.toml");

    #[test]
    fn what_hangs_on_a_section_goes_with_it_and_what_only_names_it_stays() {
        let own = hanging(LARKHAVEN, "tanks.touch-pool");
        assert_eq!(
            own.sections,
            ["lines.pool-hose", "valves.pool", "lineups.touch-pool-change"]
        );
        // The tee keeps its other lines and loses the branch that it told.
        assert_eq!(
            own.values
                .iter()
                .map(|own| (own.path.as_str(), own.text.as_str()))
                .collect::<Vec<_>>(),
            [("tees.wall-top.branch", "")]
        );
        assert_eq!(hanging(LARKHAVEN, "holidays.winter-closing"), Hanging::default());
        assert_eq!(hanging(LARKHAVEN, "salt"), Hanging::default());
    }

    #[test]
    fn a_list_loses_a_name_and_is_left_out_with_its_last() {
        let text = "[pumps.p]\nruns_only_with = \"a, b\"\n[lineups.l]\nfrom = \"x\"\nopen = \"b\"\n[valves]\na = { line = \"y\" }\nb = { line = \"z\" }\n";
        let own = hanging(text, "valves.b");
        assert!(own.sections.is_empty());
        assert_eq!(
            own.values,
            [
                Edit::quoted("pumps.p.runs_only_with", "a"),
                Edit {
                    path: "lineups.l.open".to_owned(),
                    text: String::new()
                },
            ]
        );
    }
}
