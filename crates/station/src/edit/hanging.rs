//! What hangs on a section of the file: what names it, and what the reader refuses without it.

use crate::register::Need;
use crate::sections::{NAMINGS, Naming, REGISTER, of_table};

use super::section::named;
use super::{Edit, Written, apply};
use crate::Station;

/// What has to change with a section that is taken out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Hanging {
    /// Paths of the sections that go with it: a line without its end, a valve without its line. In the order of the register.
    pub sections: Vec<String>,
    /// Values that are left out, or lose a name of several: the branch of a tee, the valves that a task opens.
    pub values: Vec<Edit>,
}

/// What hangs on the section at a path, and on what hangs on it: what names it, and what is no station's without it, such as
/// a pump that no line leads to any more. Where the file is no station, what names it.
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
    let is_sound = Station::read(text).is_ok();
    loop {
        name_all(&written, &mut gone);
        let own = without_all(&written, &gone);
        if !is_sound {
            return own;
        }
        let count = gone.len();
        gone.extend(orphans(text, &gone, &own));
        if gone.len() == count {
            return own;
        }
    }
}

/// Adds what can't be without a name that is gone.
fn name_all(written: &Written<'_>, gone: &mut Vec<String>) {
    let mut next = 0;
    while let Some(path) = gone.get(next).cloned() {
        next += 1;
        let Some((table, name)) = named(&path) else {
            continue;
        };
        for (naming, section, value) in namers(written) {
            let names = naming.names(&value, table, name).is_some();
            if names && is_required(naming) && !gone.contains(&section) {
                gone.push(section);
            }
        }
    }
}

/// Sections that the reader of the file refuses once the others are gone.
fn orphans(text: &str, gone: &[String], own: &Hanging) -> Vec<String> {
    let taken = gone.iter().map(|path| Edit {
        path: path.clone(),
        text: String::new(),
    });
    let edits: Vec<Edit> = own.values.iter().cloned().chain(taken).collect();
    let Ok(left) = apply(text, &edits) else {
        return Vec::new();
    };
    let Err(faults) = Station::read(&left) else {
        return Vec::new();
    };
    let written = Written::of(&left);
    let mut found: Vec<String> = Vec::new();
    for path in faults
        .iter()
        .filter_map(|fault| written.path_at(fault.span.start))
    {
        let parts: Vec<&str> = path.splitn(3, '.').collect();
        let own = match parts[..] {
            [table, name, ..] if of_table(table).is_some() => format!("{table}.{name}"),
            // What is wrong with all of a kind.
            [table] if of_table(table).is_some() => {
                found.extend(written.keys(table).iter().map(|name| format!("{table}.{name}")));
                continue;
            }
            [section, ..] if !written.keys(section).is_empty() => section.to_owned(),
            _ => continue,
        };
        if !found.contains(&own) {
            found.push(own);
        }
    }
    found
}

/// What changes with sections that are gone, the first of them left out.
fn without_all(written: &Written<'_>, gone: &[String]) -> Hanging {
    let mut values = Vec::new();
    for (naming, section, value) in namers(written) {
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
    let mut sections = gone[1..].to_vec();
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
        assert_eq!(hanging(LARKHAVEN, "instruments.bench-meter"), Hanging::default());
    }

    /// Whatever is taken out with all that hangs on it, the rest is a station, but for its last vessel.
    #[test]
    fn what_is_left_is_a_station() {
        let mut seen = 0;
        for text in [
            LARKHAVEN,
            include_str!("../../../../stations/juniper-street-school.toml"),
            include_str!("../../../../stations/skelder-hatchery.toml"),
        ] {
            let written = Written::of(text);
            for section in REGISTER.iter().filter(|own| !own.path.is_empty()) {
                let paths: Vec<String> = match section.table() {
                    Some(table) => written
                        .keys(table)
                        .iter()
                        .map(|name| format!("{table}.{name}"))
                        .collect(),
                    None if written.keys(section.path).is_empty() => Vec::new(),
                    None => vec![section.path.to_owned()],
                };
                for path in paths {
                    let own = hanging(text, &path);
                    assert!(!own.sections.contains(&path));
                    let taken = own.sections.iter().chain([&path]).map(|path| Edit {
                        path: path.clone(),
                        text: String::new(),
                    });
                    let left = apply(text, &own.values.iter().cloned().chain(taken).collect::<Vec<_>>())
                        .expect("it goes");
                    let vessels = Written::of(&left).keys("vessels").len();
                    let faults = Station::read(&left).err();
                    assert!(faults.is_none() || vessels == 0, "{path}: {faults:?}");
                    seen += 1;
                }
            }
        }
        assert!(seen > 100, "{seen}");
    }

    #[test]
    fn a_pump_without_lines_goes_with_its_tasks() {
        let own = hanging(LARKHAVEN, "lines.pump-suction");
        assert!(own.sections.contains(&"pumps.bracket".to_owned()), "{own:?}");
        assert!(own.sections.contains(&"lineups.mix".to_owned()), "{own:?}");
        assert!(!own.sections.contains(&"vessels.salt".to_owned()), "{own:?}");
        // By itself a valve is only missed in the list that opens it.
        assert_eq!(hanging(LARKHAVEN, "valves.jet").sections, Vec::<String>::new());
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
